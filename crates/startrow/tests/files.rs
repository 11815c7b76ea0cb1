//! Files out and in by the command line, end to end; areas are reckoned by geo.
#![allow(clippy::unwrap_used)]

use calamine::{Reader, Xlsx, open_workbook};
use geo::Area;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-plans").join(name)
}

fn startrow(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_startrow")).args(args).output().unwrap()
}

fn good(args: &[&str]) -> String {
    let output = startrow(args);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

fn bad(args: &[&str]) -> String {
    let output = startrow(args);
    assert_eq!(output.status.code(), Some(2), "{}", String::from_utf8_lossy(&output.stdout));
    String::from_utf8(output.stderr).unwrap()
}

fn read(path: &Path) -> plan::Plan {
    plan::read(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// A room as geo has it.
fn polygon(room: &plan::Room) -> geo::Polygon {
    let ring = room.outline().into_iter().map(|(p, _)| geo::Coord { x: p.x, y: p.y }).collect();
    geo::Polygon::new(geo::LineString::new(ring), Vec::new())
}

#[test]
fn what_is_written_is_what_is_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let plan = sample("one-room.ron");
    let plan = plan.to_str().unwrap();
    let written = |args: &[&str], name: &str| -> BTreeSet<String> {
        let out = folder.path().join(name);
        let said = good(&[&["sheets", plan, "--out", out.to_str().unwrap()], args].concat());
        let there: BTreeSet<String> = std::fs::read_dir(&out)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        assert_eq!(said.lines().count(), there.len());
        there
    };
    let usual = written(&[], "usual");
    for name in
        ["sheets.pdf", "floor.svg", "floor.png", "saw-list.csv", "lay-list.csv", "order.csv", "flags.csv"]
    {
        assert!(usual.contains(name), "{name}");
    }
    assert!(!usual.contains("floor.dxf"));
    let some = written(&["--write", "dxf,xlsx,json", "--png-width", "77"], "some");
    assert_eq!(some.into_iter().collect::<Vec<_>>(), ["floor.dxf", "lists.xlsx", "result.json"]);
    let alone = good(&["lay", plan, "--json", "-"]);
    assert_eq!(std::fs::read_to_string(folder.path().join("some/result.json")).unwrap(), alone);
    let mut book: Xlsx<_> = open_workbook(folder.path().join("some/lists.xlsx")).unwrap();
    assert!(book.worksheet_range("Lay list").unwrap().height() > 10);
    assert!(
        bad(&["sheets", plan, "--out", "x", "--write", "dwg"])
            .contains("pdf, svg, png, dxf, xlsx, csv, json")
    );
}

/// A plan without stages has no page of them: a blank one would be printed. What a document holds stands in its properties.
#[test]
fn sheets_that_a_plan_does_not_have_are_not_printed_blank() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("sheets");
    let (plan, to) = (sample("one-room.ron"), out.to_str().unwrap().to_owned());
    let plan = plan.to_str().unwrap();
    let args = ["sheets", plan, "--out", &to, "--write", "pdf", "--only"];
    let refused = bad(&[&args[..], &["laid,stages"]].concat());
    assert!(refused.contains("nothing for laid, stages"), "{refused}");
    assert!(!out.exists(), "nothing is written");
    good(&[&args[..], &["stages,lay-list"]].concat());
    let said = Command::new("pdfinfo").arg(out.join("sheets.pdf")).output().unwrap();
    let said = String::from_utf8_lossy(&said.stdout).into_owned();
    let subject = said.lines().find(|line| line.starts_with("Subject:")).unwrap_or_default();
    assert!(subject.contains("lay-list") && !subject.contains("set-out"), "{said}");
}

#[test]
fn the_picture_is_as_fine_as_asked() {
    let folder = tempfile::tempdir().unwrap();
    let plan = sample("one-room.ron");
    let width = |args: &[&str]| {
        let out = folder.path().to_str().unwrap();
        good(&[&["sheets", plan.to_str().unwrap(), "--out", out, "--write", "png"], args].concat());
        image::open(folder.path().join("floor.png")).unwrap().width()
    };
    assert_eq!(width(&["--png-width", "640"]), 640);
    let (coarse, fine) = (width(&["--png-dpi", "50"]), width(&["--png-dpi", "150"]));
    assert!(coarse.abs_diff(fine / 3) <= 1, "{coarse} {fine}");
    for refused in [["--png-width", "0"], ["--png-width", "20000"], ["--png-dpi", "9999"], ["--png-dpi", "x"]]
    {
        bad(&[&["sheets", plan.to_str().unwrap(), "--out", "x"], refused.as_slice()].concat());
    }
}

/// The rooms of the sample house go out as DXF and come in again, bowed walls as corners, with names and places.
#[test]
fn rooms_go_out_as_dxf_and_come_in_again() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    for name in ["hazel-court.ron", "one-room.ron", "plover-parlour.ron", "quince-row.ron", "tern-point.ron"]
    {
        good(&["sheets", sample(name).to_str().unwrap(), "--out", &at(""), "--write", "dxf"]);
        let listed = good(&["import", &at("floor.dxf"), "--list"]);
        assert!(listed.starts_with("unit: mm\n") && listed.contains("  BOARDS"), "{listed}");
        let layers = ["--layer", "ROOMS", "--names", "ROOM-NAMES"];
        let said =
            good(&[&["import", &at("floor.dxf"), "--out", &at("again.ron")], layers.as_slice()].concat());
        let (before, after) = (read(&sample(name)), read(Path::new(&at("again.ron"))));
        assert_eq!(before.rooms.len(), after.rooms.len(), "{said}");
        for (before, after) in before.rooms.iter().zip(&after.rooms) {
            assert!(after.name.starts_with(&before.name), "{} {}", before.name, after.name);
            let (b, a) = (polygon(before), polygon(after));
            let common = geo::BooleanOps::intersection(&b, &a).unsigned_area();
            assert!((b.unsigned_area() - a.unsigned_area()).abs() < 100.0, "{}", before.name);
            assert!((b.unsigned_area() - common).abs() < 100.0, "{}", before.name);
        }
        assert_eq!(after.problems(), []);
    }
}

#[test]
fn outlines_are_added_to_a_plan_and_troubles_named() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let square = |x: i32| {
        format!(
            r#"{{"type":"Feature","properties":{{"name":"Bedroom"}},"geometry":{{"type":"Polygon","coordinates":[[[{x},0],[{0},0],[{0},3],[{x},3],[{x},0]]]}}}}"#,
            x + 3
        )
    };
    let all = format!(r#"{{"type":"FeatureCollection","features":[{}]}}"#, square(5));
    std::fs::write(at("rooms.geojson"), &all).unwrap();
    let plan = sample("one-room.ron");
    let plan = plan.to_str().unwrap();
    let file = at("rooms.geojson");
    let unsaid = bad(&["import", &file, "--out", &at("x.ron")]);
    assert!(unsaid.contains("rooms.geojson: the file: it does not say in which unit"), "{unsaid}");
    assert!(!Path::new(&at("x.ron")).exists());
    good(&["import", &file, "--unit", "m", "--into", plan, "--out", &at("both.ron")]);
    let both = read(Path::new(&at("both.ron")));
    let names: Vec<&str> = both.rooms.iter().map(|room| room.name.as_str()).collect();
    assert_eq!(names, ["Bedroom", "Bedroom 2"]);
    assert_eq!(both.doorways, read(Path::new(plan)).doorways);
    // Over what is there already: refused, and nothing is written.
    std::fs::write(at("rooms.geojson"), all.replace("[5,", "[1,")).unwrap();
    let over = bad(&["import", &file, "--unit", "m", "--into", plan, "--out", &at("over.ron")]);
    assert!(over.contains("overlaps Bedroom"), "{over}");
    assert!(!Path::new(&at("over.ron")).exists());
    assert!(bad(&["import", plan, "--out", "-"]).contains("its ending says nothing"));
    assert!(bad(&["import", &file]).contains("--out"));
}
