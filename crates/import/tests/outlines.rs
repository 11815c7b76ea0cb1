//! Outlines read from drawings: files that another DXF library (ezdxf 1.4) wrote, and texts written by hand after
//! the formats' own references. Areas are reckoned by geo, or written out.
#![allow(clippy::unwrap_used)]

use geo::Area;
use plan::{Point, Room};
use startrow_import::{Ask, FaultKind, FileKind, ImportError, Outlines, Unit, contents, outlines};

const METRES: &[u8] = include_bytes!("files/metres-2010.dxf");
const CYRILLIC: &[u8] = include_bytes!("files/millimetres-2000-cyrillic.dxf");
const UNSAID: &[u8] = include_bytes!("files/inches-unsaid-2018.dxf");

fn ask(kind: FileKind, layers: &[&str]) -> Ask {
    Ask { layers: layers.iter().map(|layer| (*layer).to_owned()).collect(), ..Ask::new(kind) }
}

fn dxf(bytes: &[u8], layers: &[&str]) -> Result<Outlines, ImportError> {
    outlines(bytes, &ask(FileKind::Dxf, layers))
}

fn svg(text: &str) -> Result<Outlines, ImportError> {
    outlines(text.as_bytes(), &Ask { unit: Some(Unit::Millimetre), ..Ask::new(FileKind::Svg) })
}

/// A room's area by geo, m².
fn area(room: &Room) -> f64 {
    let ring = room.outline().into_iter().map(|(p, _)| geo::Coord { x: p.x, y: p.y }).collect();
    geo::Polygon::new(geo::LineString::new(ring), Vec::new()).unsigned_area() / 1e6
}

fn kind(result: Result<Outlines, ImportError>) -> FaultKind {
    result.unwrap_err().faults[0].kind
}

fn sound(outlines: &Outlines) {
    let mut plan = plan::Plan::new("Brought in");
    outlines.add_to(&mut plan);
    assert_eq!(plan.problems(), []);
    assert_eq!(plan::read(&plan::write(&plan)).unwrap(), plan, "a plan of it is written and read");
}

/// The hall is 6 × 4 m, the bay 3 × 3 m and half a circle of radius 1.5 m (π · 1.5² / 2 = 3.5343 m²), the study
/// 2.5 × 3 m, the store 2 × 1 m, drawn from below. The circle within the hall has a radius of 150.
#[test]
fn rooms_come_out_of_a_drawing_in_metres() {
    let found = dxf(METRES, &["ROOMS"]).unwrap();
    let names: Vec<&str> = found.rooms.iter().map(|room| room.name.as_str()).collect();
    assert_eq!(names, ["Hall", "Зал 9 m2", "Room 1", "Room 2"]);
    let areas: Vec<f64> = found.rooms.iter().map(area).collect();
    let half_circle = std::f64::consts::PI * 1.5 * 1.5 / 2.0;
    for (found, expected) in areas.iter().zip([24.0, 9.0 + half_circle, 7.5, 2.0]) {
        // A piece within 1 mm of an arc of 4.7 m cuts off less than 1 mm · 4.7 m.
        assert!((found - expected).abs() < 0.0048, "{areas:?}");
    }
    // The curve is two bowed walls, not a hundred: 3 straight ones and 2.
    assert_eq!(found.rooms[1].walls.len(), 5);
    assert_eq!(found.rooms[1].walls.iter().filter(|wall| !wall.bow.is_empty()).count(), 2);
    assert!(found.rooms[1].walls[1].bow.iter().all(|bow| bow.back > 0.0), "it stands back from the room");
    let store = &found.rooms[3];
    assert!(store.walls.iter().all(|wall| wall.corner.x >= 3000.0 - 1e-6), "seen from above again");
    assert_eq!(found.fixtures.len(), 1);
    let round = &found.fixtures[0].outline;
    assert!(round.iter().all(|p| (p.distance(Point::new(3000.0, 2000.0)) - 150.0).abs() < 0.01));
    assert_eq!(found.notes.len(), 3, "{:?}", found.notes);
    assert!(found.notes[0].starts_with("1 outline does not close"));
    assert!(found.notes[1].contains("1 lines") && found.notes[1].contains("1 block inserts"));
    sound(&found);
}

#[test]
fn an_older_file_has_its_letters_and_layers() {
    let found = dxf(CYRILLIC, &["СТЕНЫ"]).unwrap();
    assert_eq!(area(&found.rooms[0]), 4.0);
    let rooms = dxf(CYRILLIC, &["ROOMS"]).unwrap();
    assert_eq!(rooms.rooms, dxf(METRES, &["ROOMS"]).unwrap().rooms, "metres or millimetres, the same house");
    let layers = contents(CYRILLIC, FileKind::Dxf).unwrap();
    assert_eq!(layers.unit, Some(Unit::Millimetre));
    let of = |name: &str| layers.layers.iter().find(|layer| layer.name == name).unwrap();
    assert_eq!((of("ROOMS").closed, of("ROOMS").open, of("ROOMS").writing), (5, 1, 3));
    assert_eq!((of("СТЕНЫ").closed, of("FURNITURE").closed), (1, 1));
}

#[test]
fn a_unit_that_is_not_said_is_asked_for() {
    let error = dxf(UNSAID, &["ROOMS"]).unwrap_err();
    assert_eq!(error.faults[0].kind, FaultKind::UnitUnknown);
    assert_eq!(
        error.to_string(),
        "the file: it does not say in which unit it is drawn; name it: mm, cm, m, in or ft"
    );
    // An SVG is mostly a plan on paper, which has a scale.
    let paper = r#"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><path d="M0 0H9V9H0Z"/></svg>"#;
    let unsized_svg = outlines(paper.as_bytes(), &Ask { unit: None, scale: None, ..ask(FileKind::Svg, &[]) });
    assert!(unsized_svg.unwrap_err().to_string().ends_with("its scale, such as 50 for 1:50"));
    let named = Ask { unit: Some(Unit::Inch), ..ask(FileKind::Dxf, &["ROOMS"]) };
    let found = outlines(UNSAID, &named).unwrap();
    // 1 in = 25.4 mm exactly (international inch of 1959).
    assert!((area(&found.rooms[0]) - 24.0).abs() < 1e-5);
}

#[test]
fn layers_are_named_by_what_is_there() {
    let several = dxf(METRES, &[]).unwrap_err();
    assert_eq!(several.faults[0].kind, FaultKind::LayerOpen);
    assert!(several.to_string().contains("3 layers: FURNITURE, ROOMS, СТЕНЫ"), "{several}");
    let missing = dxf(METRES, &["rooms", "Walls"]).unwrap_err();
    assert_eq!(missing.faults.len(), 2);
    assert_eq!(missing.faults[1].kind, FaultKind::LayerMissing);
    assert!(missing.faults[1].what.contains("`Walls`") && missing.faults[1].mend.contains("ROOMS"));
}

/// A DXF text of polylines, after the reference's group codes.
fn polylines(unit: i16, lines: &[(&str, &[(f64, f64)])]) -> Vec<u8> {
    let mut text =
        format!("0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1021\n9\n$INSUNITS\n70\n{unit}\n0\nENDSEC\n");
    text.push_str("0\nSECTION\n2\nENTITIES\n");
    for (layer, points) in lines {
        text.push_str(&format!(
            "0\nLWPOLYLINE\n100\nAcDbEntity\n8\n{layer}\n100\nAcDbPolyline\n90\n{}\n70\n1\n",
            points.len()
        ));
        for (x, y) in *points {
            text.push_str(&format!("10\n{x}\n20\n{y}\n"));
        }
    }
    text.push_str("0\nENDSEC\n0\nEOF\n");
    text.into_bytes()
}

const SQUARE: &[(f64, f64)] = &[(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)];

#[test]
fn what_makes_no_room_is_named_with_its_line_and_wall() {
    let bow_tie: &[(f64, f64)] = &[(5e3, 0.0), (9e3, 3e3), (9e3, 0.0), (5e3, 3e3)];
    let error = dxf(&polylines(4, &[("A", SQUARE), ("A", bow_tie)]), &[]).unwrap_err();
    assert_eq!(error.faults[0].kind, FaultKind::NoRoom);
    assert!(
        error.to_string().starts_with("polyline 2 on layer A, wall 1: it crosses or touches wall 3;"),
        "{error}"
    );
    let over: &[(f64, f64)] = &[(2e3, 1e3), (6e3, 1e3), (6e3, 2e3), (2e3, 2e3)];
    let error = dxf(&polylines(4, &[("A", SQUARE), ("A", over)]), &[]).unwrap_err();
    assert!(error.to_string().starts_with("polyline 2 on layer A: it overlaps Room 1;"), "{error}");
    let far: &[(f64, f64)] = &[(0.0, 0.0), (4e12, 0.0), (4e12, 3e3)];
    assert_eq!(kind(dxf(&polylines(4, &[("A", far)]), &[])), FaultKind::OutOfRange);
    let large: &[(f64, f64)] = &[(0.0, 0.0), (4e6, 0.0), (4e6, 3e6)];
    assert_eq!(kind(dxf(&polylines(4, &[("A", large)]), &[])), FaultKind::OutOfRange);
    let nan: &[(f64, f64)] = &[(0.0, 0.0), (f64::NAN, 0.0), (4e3, 3e3)];
    assert_eq!(kind(dxf(&polylines(4, &[("A", nan)]), &[])), FaultKind::OutOfRange);
}

#[test]
fn an_outline_within_another_is_a_column_and_one_within_that_is_refused() {
    let inner = |by: f64| -> Vec<(f64, f64)> {
        vec![(by, by), (3000.0 - by, by), (3000.0 - by, 2500.0 - by), (by, 2500.0 - by)]
    };
    let (column, deeper) = (inner(500.0), inner(800.0));
    let found = dxf(&polylines(4, &[("A", &column), ("A", SQUARE)]), &[]).unwrap();
    assert_eq!((found.rooms.len(), found.fixtures.len()), (1, 1));
    assert_eq!(found.fixtures[0].kind, plan::FixtureKind::Column);
    sound(&found);
    let error = dxf(&polylines(4, &[("A", SQUARE), ("A", &column), ("A", &deeper)]), &[]).unwrap_err();
    assert_eq!(error.faults[0].kind, FaultKind::Nested);
    // Drawn twice, the other way round and from another corner.
    let again: Vec<(f64, f64)> = vec![SQUARE[2], SQUARE[1], SQUARE[0], SQUARE[3]];
    let found = dxf(&polylines(4, &[("A", SQUARE), ("A", &again)]), &[]).unwrap();
    assert_eq!((found.rooms.len(), found.fixtures.len()), (1, 0));
    assert_eq!(found.notes, ["1 drawn twice over, and taken once."]);
}

#[test]
fn a_drawing_on_the_national_grid_is_moved_home() {
    let grid: Vec<(f64, f64)> =
        SQUARE.iter().map(|(x, y)| (x / 1e3 + 512_345.0, y / 1e3 + 5_403_210.5)).collect();
    let found = dxf(&polylines(6, &[("A", &grid)]), &[]).unwrap();
    assert!((area(&found.rooms[0]) - 12.0).abs() < 1e-5);
    assert!(found.rooms[0].walls.iter().all(|wall| (0.0..5000.0).contains(&wall.corner.x)));
    assert!(found.notes[0].contains("moved by -512345000.000, -5403210500.000 mm"), "{:?}", found.notes);
}

#[test]
fn limits_have_their_own_kinds() {
    let long = vec![b' '; startrow_import::GREATEST_FILE + 1];
    for kind_of_file in [FileKind::Dxf, FileKind::Svg, FileKind::GeoJson] {
        assert_eq!(kind(outlines(&long, &Ask::new(kind_of_file))), FaultKind::TooLong);
        assert_eq!(kind(outlines(b"", &Ask::new(kind_of_file))), FaultKind::Unreadable);
        assert_eq!(kind(outlines(b"hello", &Ask::new(kind_of_file))), FaultKind::Unreadable);
        let coarse = Ask { flatten: f64::NAN, ..Ask::new(kind_of_file) };
        assert_eq!(kind(outlines(b"", &coarse)), FaultKind::Asked);
    }
    let corners: Vec<(f64, f64)> = (0..2001).map(|i| (f64::from(i) * 10.0, f64::from(i % 2) * 5e3)).collect();
    assert_eq!(kind(dxf(&polylines(4, &[("A", &corners)]), &[])), FaultKind::TooManyPoints);
    let many: Vec<(&str, &[(f64, f64)])> = vec![("A", SQUARE); 2001];
    assert_eq!(kind(dxf(&polylines(4, &many), &[])), FaultKind::TooManyOutlines);
    assert_eq!(kind(dxf(&polylines(4, &[]), &[])), FaultKind::NoOutline);
}

#[test]
fn a_date_that_no_calendar_has_is_a_fault_of_the_file() {
    let text = "0\nSECTION\n2\nHEADER\n9\n$TDCREATE\n40\n1e300\n0\nENDSEC\n0\nEOF\n";
    assert_eq!(kind(outlines(text.as_bytes(), &Ask::new(FileKind::Dxf))), FaultKind::Unreadable);
}

#[test]
fn an_svg_has_groups_transforms_and_y_downwards() {
    let text = r##"<svg xmlns="http://www.w3.org/2000/svg" xmlns:e="http://www.inkscape.org/namespaces/inkscape"
        width="210mm" height="297mm" viewBox="0 0 210 297">
      <g e:groupmode="layer" e:label="Rooms" transform="translate(10 20) scale(2)">
        <path id="path12" d="M0 0 h40 v30 h-40 z"/>
        <g id="more"><rect id="Study" x="50" y="0" width="20" height="30"/></g>
        <text x="5" y="10">Wohn<tspan>zimmer</tspan></text>
        <polygon points="0,40 20,40 20,60 0,60"><title>Küche</title></polygon>
        <path d="M0 70 h10 v10" /><use href="#Study"/>
        <rect display="none" width="5" height="5"/><rect style="fill:red; display : none" width="5" height="5"/>
      </g>
      <defs><rect id="none" width="9" height="9"/></defs>
    </svg>"##;
    // On paper at 1:50, twice enlarged: 40 · 2 · 50 = 4000 mm.
    let ask = Ask { scale: Some(50.0), ..ask(FileKind::Svg, &["Rooms"]) };
    let found = outlines(text.as_bytes(), &ask).unwrap();
    let names: Vec<&str> = found.rooms.iter().map(|room| room.name.as_str()).collect();
    assert_eq!(names, ["Wohnzimmer", "Study", "Küche"], "{found:?}");
    let areas: Vec<f64> = found.rooms.iter().map(area).collect();
    assert_eq!(areas, [12.0, 6.0, 4.0]);
    // The top left corner of the first: 10 mm from the left, 20 from the top of a page of 297, at 1:50.
    assert_eq!(found.rooms[0].walls[0].corner, Point::new(500.0, 277.0 * 50.0));
    assert!(found.notes.iter().any(|note| note.contains("1 copies by `use`")), "{:?}", found.notes);
    sound(&found);
    let unsaid = outlines(text.as_bytes(), &Ask { layers: vec!["Rooms".into()], ..Ask::new(FileKind::Svg) });
    assert_eq!(kind(unsaid), FaultKind::UnitUnknown);
}

/// A quarter circle of radius 2000: area by π r² / 4.
#[test]
fn an_svgs_curves_are_bowed_walls() {
    let found = svg("<svg><path d='M0 0 H2000 A2000 2000 0 0 1 0 2000 Z'/></svg>").unwrap();
    let expected = std::f64::consts::PI * 4.0 / 4.0;
    assert!((area(&found.rooms[0]) - expected).abs() < 0.0032, "{}", area(&found.rooms[0]));
    assert!(found.rooms[0].walls.len() < 40);
    sound(&found);
    let found = svg("<svg><circle cx='0' cy='0' r='1000'/></svg>").unwrap();
    assert!((area(&found.rooms[0]) - std::f64::consts::PI).abs() < 0.0063);
}

/// The shape and its hole of RFC 7946, appendix A, at a size of metres.
#[test]
fn geojson_has_names_layers_and_holes() {
    let text = r#"{"type": "FeatureCollection", "features": [
        {"type": "Feature", "properties": {"name": "חדר 🏠", "layer": "floor"}, "geometry": {"type": "Polygon",
         "coordinates": [[[100, 0], [101, 0], [101, 1], [100, 1], [100, 0]],
                         [[100.8, 0.8], [100.8, 0.2], [100.2, 0.2], [100.2, 0.8], [100.8, 0.8]]]}},
        {"type": "Feature", "properties": null, "geometry": {"type": "Point", "coordinates": [1, 2]}}]}"#;
    assert_eq!(kind(outlines(text.as_bytes(), &Ask::new(FileKind::GeoJson))), FaultKind::UnitUnknown);
    let ask = Ask { unit: Some(Unit::Metre), ..ask(FileKind::GeoJson, &["floor"]) };
    let found = outlines(text.as_bytes(), &ask).unwrap();
    assert_eq!(found.rooms[0].name, "חדר 🏠");
    assert!((area(&found.rooms[0]) - 1.0).abs() < 1e-6);
    assert_eq!(found.fixtures[0].outline.len(), 4);
    assert_eq!(found.notes[0], "Passed over: 1 points.");
    sound(&found);
    let short = text.replace("[101, 1]", "[101]");
    assert_eq!(kind(outlines(short.as_bytes(), &ask)), FaultKind::OutOfRange);
}

#[test]
fn names_stay_unique_and_fit_a_plan() {
    let long = "🏠בית\u{202e}".repeat(60);
    let feature = |x: i32| {
        format!(
            r#"{{"type":"Feature","properties":{{"name":"{long}"}},"geometry":{{"type":"Polygon","coordinates":[[[{x},0],[{0},0],[{0},2],[{x},2],[{x},0]]]}}}}"#,
            x + 2
        )
    };
    let text = format!(
        r#"{{"type":"FeatureCollection","features":[{},{},{}]}}"#,
        feature(0),
        feature(3),
        feature(6)
    );
    let ask = Ask { unit: Some(Unit::Metre), ..Ask::new(FileKind::GeoJson) };
    let found = outlines(text.as_bytes(), &ask).unwrap();
    assert_eq!(found.rooms.len(), 3);
    let mut plan = plan::Plan::new("Twice");
    assert_eq!(found.add_to(&mut plan), 0);
    found.rooms.iter().for_each(|room| assert!(room.name.chars().count() <= 100));
    let again = found.add_to(&mut plan);
    assert_eq!(again, 3);
    let names: std::collections::BTreeSet<&str> = plan.rooms.iter().map(|room| room.name.as_str()).collect();
    assert_eq!(names.len(), 6);
}
