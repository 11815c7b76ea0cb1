//! Files in and out on the desk, headless: what is brought in is one step to undo, and what cannot be is said.

use crate::hands::Hands;
use egui::Key;
use egui_kittest::kittest::Queryable;
use plan::{Plan, Point, Room};
use startrow_desk::{Command, Setup};
use std::path::Path;

fn house() -> Plan {
    let mut plan = Plan::new("Box");
    let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)].map(Point::from);
    plan.rooms.push(Room::boarded("Hall", corners));
    plan
}

fn names(hands: &Hands) -> Vec<&str> {
    hands.plan().rooms.iter().map(|room| room.name.as_str()).collect()
}

fn backdrop(hands: &Hands) -> &plan::Backdrop {
    hands.plan().backdrop.as_ref().expect("a picture")
}

fn bring_in(hands: &mut Hands, path: &Path) {
    hands.type_path(Command::BringInByPath, path);
}

/// A drawing of two rooms on one layer and a bow tie on another.
const DRAWING: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20000 9000">
  <g id="walls"><rect id="Study" x="5000" y="5000" width="3000" height="4000"/>
  <rect id="Hall" x="9000" y="5000" width="3000" height="4000"/></g>
  <g id="odd"><path d="M0 0 L4000 3000 L4000 0 L0 3000 z"/></g></svg>"#;

#[test]
fn outlines_are_brought_in_as_one_step() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("drawn.svg");
    std::fs::write(&path, DRAWING).expect("written");
    let mut hands = Hands::with_plan(house());
    bring_in(&mut hands, &path);
    assert!(hands.says("Bring in outlines from drawn.svg"));
    assert!(hands.says("choose a layer of rooms"), "neither of two is taken for granted");
    hands.press("rooms of walls");
    assert!(hands.says("choose the unit"));
    hands.press("unit of the drawing");
    // The first is the plan's own unit in the header.
    hands.harness.get_all_by_label("mm").last().expect("a choice").click();
    hands.harness.run();
    hands.press("Bring in");
    assert_eq!(names(&hands), ["Hall", "Study", "Hall 2"]);
    // From the bottom of a page 9000 high: y runs up.
    let corner = hands.desk().plan().rooms[1].walls[0].corner;
    assert_eq!((corner.x, corner.y), (5000.0, 4000.0));
    assert_eq!(hands.desk().undo_name(), Some("bring in outlines"));
    assert!(hands.desk().house().is_some_and(|house| house.plan.rooms.len() == 3), "the floor follows");
    hands.run(Command::Undo);
    assert_eq!(names(&hands), ["Hall"]);
    hands.run(Command::Redo);
    assert_eq!(names(&hands).len(), 3);
}

#[test]
fn what_cannot_be_brought_in_is_said_and_nothing_changes() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("drawn.svg");
    std::fs::write(&path, DRAWING).expect("written");
    let mut hands = Hands::with_plan(house());
    bring_in(&mut hands, &path);
    hands.press("rooms of odd");
    hands.press("unit of the drawing");
    // The first is the plan's own unit in the header.
    hands.harness.get_all_by_label("mm").last().expect("a choice").click();
    hands.harness.run();
    hands.press("Bring in");
    assert!(hands.says("it crosses or touches wall 3"), "the fault stands in the window");
    assert_eq!((names(&hands), hands.desk().undo_name()), (vec!["Hall"], None));
    hands.press("Stay");
    for (name, text, words) in [
        ("bad.dxf", "no drawing", "cannot be read as DXF"),
        ("bad.geojson", "[1, 2", "cannot be read as GeoJSON"),
        ("bad.txt", "", "its ending says nothing"),
    ] {
        let path = folder.path().join(name);
        std::fs::write(&path, text).expect("written");
        bring_in(&mut hands, &path);
        assert!(hands.says(&format!("{name} cannot be opened")) && hands.says(words), "{name}");
        hands.press("Close");
    }
    assert_eq!(names(&hands), ["Hall"]);
}

/// A picture of this size on disk.
fn picture(path: &Path, size: (u32, u32)) {
    image::RgbImage::from_pixel(size.0, size.1, image::Rgb([200, 90, 40])).save(path).expect("saved");
}

#[test]
fn a_picture_is_laid_and_set_to_scale_by_two_points() {
    let folder = tempfile::tempdir().expect("a folder");
    let scan = folder.path().join("scan.png");
    picture(&scan, (800, 600));
    let mut hands = Hands::with_plan(house());
    hands.type_path(Command::SaveByPath, &folder.path().join("box.ron"));
    hands.type_path(Command::LayPictureByPath, &scan);
    assert_eq!(backdrop(&hands).file, "scan.png", "noted from the plan's folder");
    assert_eq!((backdrop(&hands).pixels, backdrop(&hands).scale), ((800, 600), 15.0), "12 m wide at first");
    // At 15 mm a pixel 200 pixels are 3000 on the plan; they are 3600 in the house: 18 mm a pixel.
    hands.click((450.0, 300.0));
    hands.click((3450.0, 300.0));
    hands.letters("3600");
    hands.keys(&[Key::Enter]);
    assert!((backdrop(&hands).scale - 18.0).abs() < 0.1, "{}", backdrop(&hands).scale);
    let stays = backdrop(&hands).plan_from_picture(Point::new(30.0, 20.0));
    assert!(stays.distance(Point::new(450.0, 300.0)) < 20.0, "{stays:?}: a click is a point of the screen");
    assert_eq!(hands.desk().undo_name(), Some("set the picture to scale"));
    let floor = hands.desk().house().expect("a house").floor.clone();
    hands.run(Command::Undo);
    assert_eq!(backdrop(&hands).scale, 15.0);
    hands.run(Command::Undo);
    assert_eq!(hands.desk().plan().backdrop, None);
    assert_eq!(hands.desk().house().expect("a house").floor, floor, "no board knows of it");
    // What is no length is said, and the two points stay.
    hands.run(Command::Redo);
    hands.run(Command::SetPictureScale);
    hands.click((450.0, 300.0));
    hands.click((3450.0, 300.0));
    hands.letters("3 pigs");
    hands.keys(&[Key::Enter]);
    assert_eq!(backdrop(&hands).scale, 15.0);
}

#[test]
fn a_picture_that_is_gone_or_changed_is_told_and_nothing_is_lost() {
    let folder = tempfile::tempdir().expect("a folder");
    let (scan, path) = (folder.path().join("scan.png"), folder.path().join("box.ron"));
    picture(&scan, (800, 600));
    let mut hands = Hands::with_plan(house());
    hands.type_path(Command::SaveByPath, &path);
    hands.type_path(Command::LayPictureByPath, &scan);
    hands.run(Command::BackOut);
    hands.run(Command::Save);
    let saved = std::fs::read_to_string(&path).expect("saved");
    // Saved into another folder the picture is still found.
    let other = tempfile::tempdir().expect("a folder");
    hands.type_path(Command::SaveByPath, &other.path().join("copy.ron"));
    assert!(Path::new(&backdrop(&hands).file).ends_with("scan.png") && backdrop(&hands).file != "scan.png");

    std::fs::remove_file(&scan).expect("removed");
    let mut hands = Hands::at(Setup { path: Some(path.clone()), ..Setup::default() });
    hands.run(Command::OpenAllSteps);
    assert!(hands.says("there is no "), "said under Measure");
    assert_eq!(backdrop(&hands).file, "scan.png");
    hands.run(Command::Save);
    assert_eq!(std::fs::read_to_string(&path).expect("saved"), saved, "byte for byte");
    picture(&scan, (400, 300));
    hands.press("read it again");
    assert!(hands.says("400 × 300 pixels now, 800 × 600 when it was set to scale"));
    hands.press("take it as it is");
    assert_eq!(backdrop(&hands).pixels, (400, 300));
    assert!(!hands.says("when it was set to scale"));
    hands.press("take the picture out");
    assert_eq!(hands.desk().plan().backdrop, None);
    std::fs::write(&scan, "no picture").expect("written");
    hands.type_path(Command::LayPictureByPath, &scan);
    assert!(hands.says("scan.png cannot be opened") && hands.says("cannot be read as a picture"));
    assert_eq!(hands.desk().plan().backdrop, None);
}

#[test]
fn the_pages_are_looked_at_one_by_one_before_they_are_printed() {
    let mut hands = Hands::with_plan(house());
    hands.run(Command::LookAtSheets);
    assert!(hands.says("page 1: Before a pack is opened"), "small pages, each with its name");
    assert!(hands.says("page 1 of "));
    let first = hands.harness.query_all_by_label_contains("page 2: Set-out").next().is_some();
    assert!(first, "the set-out sheet is the second");
    // Small pages stand one under the other at the side; nothing pushes the window's edge out.
    let [one, two] = ["page 1: Before a pack is opened", "page 2: Set-out"]
        .map(|name| hands.harness.get_by_label(name).rect());
    assert!((one.left() - two.left()).abs() < 1.0 && two.top() > one.bottom(), "{one:?} {two:?}");
    let close = hands.harness.get_by_label("Close").rect();
    assert!(one.left() > 0.0 && close.left() > two.right(), "{one:?} {close:?}");
    hands.harness.key_press(Key::PageDown);
    hands.harness.run();
    assert!(hands.says("page 2 of "));
    hands.harness.key_press(Key::PageDown);
    hands.harness.run();
    assert!(hands.says("page 3 of "));
    hands.harness.get_by_label("page 2: Set-out").click();
    hands.harness.run();
    assert!(hands.says("page 2 of "));
    // The large page speaks: what stands on it is read aloud.
    assert!(hands.says("Snap the line"), "the large page in words");
    let before = hands.desk().plan().clone();
    hands.harness.key_press(Key::Escape);
    hands.harness.run();
    assert!(!hands.says("page 2 of "), "closed");
    assert_eq!(hands.desk().plan(), &before);
    // The same plan's pages open where they were left, another's at the first.
    hands.run(Command::LookAtSheets);
    assert!(hands.says("page 2 of "), "still at the set-out");
    // In a lower window the small page of the one in view is scrolled to, when the pages are opened again.
    while !hands.says("page 9 of ") {
        hands.harness.key_press(Key::PageDown);
        hands.harness.run();
    }
    hands.harness.key_press(Key::Escape);
    hands.harness.run();
    hands.harness.set_size(egui::vec2(640.0, 400.0));
    hands.harness.run();
    hands.run(Command::LookAtSheets);
    let window = hands.harness.ctx.content_rect();
    let small = hands.harness.get_all_by_label_contains("page 9: ").next().expect("a small page").rect();
    assert!(window.contains(small.center()), "{small:?} in {window:?}");
    hands.harness.set_size(egui::vec2(1400.0, 900.0));
    hands.harness.run();
    hands.harness.key_press(Key::Escape);
    hands.harness.run();
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("other.ron");
    std::fs::write(&path, plan::write(&Plan { name: "Other".into(), ..house() })).expect("written");
    hands.type_path(Command::OpenByPath, &path);
    assert_eq!(hands.plan().name, "Other");
    hands.run(Command::LookAtSheets);
    assert!(hands.says("page 1 of "), "another plan's pages from the first");
}
