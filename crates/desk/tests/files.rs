//! Files in and out on the desk, headless: what is brought in is one step to undo, and what cannot be is said.

use egui::{Event, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use plan::{Plan, Point, Room};
use startrow_desk::{Command, Desk, Setup};
use std::path::Path;

/// The desk and how it starts: fonts must be in place a frame before it is first shown.
struct Table {
    setup: Option<Setup>,
    desk: Option<Desk>,
}

struct Hands(Harness<'static, Table>);

impl Hands {
    fn new() -> Self {
        Self::at(Setup { plan: Some(Self::house()), ..Setup::default() })
    }

    fn house() -> Plan {
        let mut plan = Plan::new("Box");
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)].map(Point::from);
        plan.rooms.push(Room::boarded("Hall", corners));
        plan
    }

    fn at(setup: Setup) -> Self {
        let setup = Setup { synchronous: true, ..setup };
        let mut harness = Harness::builder().with_size([1400.0, 900.0]).build_ui_state(
            |ui, table: &mut Table| match (&mut table.desk, table.setup.take()) {
                (Some(desk), _) => desk.show(ui),
                (none, Some(setup)) => {
                    *none = Some(Desk::new(ui.ctx(), setup));
                    ui.ctx().request_repaint();
                }
                (None, None) => {}
            },
            Table { setup: Some(setup), desk: None },
        );
        harness.run();
        Self(harness)
    }

    fn desk(&self) -> &Desk {
        self.0.state().desk.as_ref().expect("shown")
    }

    fn names(&self) -> Vec<&str> {
        self.desk().plan().rooms.iter().map(|room| room.name.as_str()).collect()
    }

    fn run(&mut self, command: Command) {
        let ctx = self.0.ctx.clone();
        self.0.state_mut().desk.as_mut().expect("shown").run(&ctx, command);
        self.0.run();
    }

    fn click(&mut self, label: &str) {
        self.0.get_by_label(label).scroll_to_me();
        self.0.run();
        self.0.get_by_label(label).click();
        self.0.run();
    }

    /// A click on a point of the plan.
    fn click_at(&mut self, p: (f64, f64)) {
        let at = self.desk().screen_from_plan(p.into());
        self.0.hover_at(at);
        self.0.run();
        self.0.drag_at(at);
        self.0.run();
        self.0.drop_at(at);
        self.0.run();
        // Two clicks in a hurry would be a double click.
        for _ in 0..3 {
            self.0.step();
        }
    }

    fn letters(&mut self, text: &str) {
        self.0.event(Event::Text(text.into()));
        self.0.run();
    }

    fn enter(&mut self) {
        self.0.key_press_modifiers(Modifiers::NONE, Key::Enter);
        self.0.run();
    }

    fn backdrop(&self) -> &plan::Backdrop {
        self.desk().plan().backdrop.as_ref().expect("a picture")
    }

    fn bring_in(&mut self, path: &Path) {
        self.type_path(Command::BringInByPath, path);
    }

    fn type_path(&mut self, command: Command, path: &Path) {
        self.run(command);
        self.0.get_by_label("path of the file").focus();
        self.0.run();
        self.0.key_press_modifiers(Modifiers::COMMAND, Key::A);
        self.0.run();
        self.letters(&path.display().to_string());
        self.enter();
    }

    fn says(&self, words: &str) -> bool {
        self.0.query_all_by_label_contains(words).next().is_some()
    }
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
    let mut hands = Hands::new();
    hands.bring_in(&path);
    assert!(hands.says("Bring in outlines from drawn.svg"));
    assert!(hands.says("choose a layer of rooms"), "neither of two is taken for granted");
    hands.click("rooms of walls");
    assert!(hands.says("choose the unit"));
    hands.click("unit of the drawing");
    // The first is the plan's own unit in the header.
    hands.0.get_all_by_label("mm").last().expect("a choice").click();
    hands.0.run();
    hands.click("Bring in");
    assert_eq!(hands.names(), ["Hall", "Study", "Hall 2"]);
    // From the bottom of a page 9000 high: y runs up.
    let corner = hands.desk().plan().rooms[1].walls[0].corner;
    assert_eq!((corner.x, corner.y), (5000.0, 4000.0));
    assert_eq!(hands.desk().undo_name(), Some("bring in outlines"));
    assert!(hands.desk().house().is_some_and(|house| house.plan.rooms.len() == 3), "the floor follows");
    hands.run(Command::Undo);
    assert_eq!(hands.names(), ["Hall"]);
    hands.run(Command::Redo);
    assert_eq!(hands.names().len(), 3);
}

#[test]
fn what_cannot_be_brought_in_is_said_and_nothing_changes() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("drawn.svg");
    std::fs::write(&path, DRAWING).expect("written");
    let mut hands = Hands::new();
    hands.bring_in(&path);
    hands.click("rooms of odd");
    hands.click("unit of the drawing");
    // The first is the plan's own unit in the header.
    hands.0.get_all_by_label("mm").last().expect("a choice").click();
    hands.0.run();
    hands.click("Bring in");
    assert!(hands.says("it crosses or touches wall 3"), "the fault stands in the window");
    assert_eq!((hands.names(), hands.desk().undo_name()), (vec!["Hall"], None));
    hands.click("Stay");
    for (name, text, words) in [
        ("bad.dxf", "no drawing", "cannot be read as DXF"),
        ("bad.geojson", "[1, 2", "cannot be read as GeoJSON"),
        ("bad.txt", "", "its ending says nothing"),
    ] {
        let path = folder.path().join(name);
        std::fs::write(&path, text).expect("written");
        hands.bring_in(&path);
        assert!(hands.says(&format!("{name} cannot be opened")) && hands.says(words), "{name}");
        hands.click("Close");
    }
    assert_eq!(hands.names(), ["Hall"]);
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
    let mut hands = Hands::new();
    hands.type_path(Command::SaveByPath, &folder.path().join("box.ron"));
    hands.type_path(Command::LayPictureByPath, &scan);
    assert_eq!(hands.backdrop().file, "scan.png", "noted from the plan's folder");
    assert_eq!((hands.backdrop().pixels, hands.backdrop().scale), ((800, 600), 15.0), "12 m wide at first");
    // At 15 mm a pixel 200 pixels are 3000 on the plan; they are 3600 in the house: 18 mm a pixel.
    hands.click_at((450.0, 300.0));
    hands.click_at((3450.0, 300.0));
    hands.letters("3600");
    hands.enter();
    assert!((hands.backdrop().scale - 18.0).abs() < 0.1, "{}", hands.backdrop().scale);
    let stays = hands.backdrop().plan_from_picture(Point::new(30.0, 20.0));
    assert!(stays.distance(Point::new(450.0, 300.0)) < 20.0, "{stays:?}: a click is a point of the screen");
    assert_eq!(hands.desk().undo_name(), Some("set the picture to scale"));
    let floor = hands.desk().house().expect("a house").floor.clone();
    hands.run(Command::Undo);
    assert_eq!(hands.backdrop().scale, 15.0);
    hands.run(Command::Undo);
    assert_eq!(hands.desk().plan().backdrop, None);
    assert_eq!(hands.desk().house().expect("a house").floor, floor, "no board knows of it");
    // What is no length is said, and the two points stay.
    hands.run(Command::Redo);
    hands.run(Command::SetPictureScale);
    hands.click_at((450.0, 300.0));
    hands.click_at((3450.0, 300.0));
    hands.letters("3 pigs");
    hands.enter();
    assert_eq!(hands.backdrop().scale, 15.0);
}

#[test]
fn a_picture_that_is_gone_or_changed_is_told_and_nothing_is_lost() {
    let folder = tempfile::tempdir().expect("a folder");
    let (scan, path) = (folder.path().join("scan.png"), folder.path().join("box.ron"));
    picture(&scan, (800, 600));
    let mut hands = Hands::new();
    hands.type_path(Command::SaveByPath, &path);
    hands.type_path(Command::LayPictureByPath, &scan);
    hands.run(Command::BackOut);
    hands.run(Command::Save);
    let saved = std::fs::read_to_string(&path).expect("saved");
    // Saved into another folder the picture is still found.
    let other = tempfile::tempdir().expect("a folder");
    hands.type_path(Command::SaveByPath, &other.path().join("copy.ron"));
    assert!(Path::new(&hands.backdrop().file).ends_with("scan.png") && hands.backdrop().file != "scan.png");

    std::fs::remove_file(&scan).expect("removed");
    let mut hands = Hands::at(Setup { path: Some(path.clone()), ..Setup::default() });
    hands.run(Command::OpenAllSteps);
    assert!(hands.says("there is no "), "said under Measure");
    assert_eq!(hands.backdrop().file, "scan.png");
    hands.run(Command::Save);
    assert_eq!(std::fs::read_to_string(&path).expect("saved"), saved, "byte for byte");
    picture(&scan, (400, 300));
    hands.click("read it again");
    assert!(hands.says("400 × 300 pixels now, 800 × 600 when it was set to scale"));
    hands.click("take it as it is");
    assert_eq!(hands.backdrop().pixels, (400, 300));
    assert!(!hands.says("when it was set to scale"));
    hands.click("take the picture out");
    assert_eq!(hands.desk().plan().backdrop, None);
    std::fs::write(&scan, "no picture").expect("written");
    hands.type_path(Command::LayPictureByPath, &scan);
    assert!(hands.says("scan.png cannot be opened") && hands.says("cannot be read as a picture"));
    assert_eq!(hands.desk().plan().backdrop, None);
}

#[test]
fn the_pages_are_looked_at_one_by_one_before_they_are_printed() {
    let mut hands = Hands::new();
    hands.run(Command::LookAtSheets);
    assert!(hands.says("page 1: Before a pack is opened"), "small pages, each with its name");
    assert!(hands.says("page 1 of "));
    let first = hands.0.query_all_by_label_contains("page 3: Set-out").next().is_some();
    assert!(first, "the set-out sheet is the third");
    // Small pages stand one under the other at the side; nothing pushes the window's edge out.
    let [one, three] =
        ["page 1: Before a pack is opened", "page 3: Set-out"].map(|name| hands.0.get_by_label(name).rect());
    assert!((one.left() - three.left()).abs() < 1.0 && three.top() > one.bottom(), "{one:?} {three:?}");
    let close = hands.0.get_by_label("Close").rect();
    assert!(one.left() > 0.0 && close.left() > three.right(), "{one:?} {close:?}");
    hands.0.key_press(Key::PageDown);
    hands.0.run();
    assert!(hands.says("page 2 of "));
    hands.0.get_by_label("page 3: Set-out").click();
    hands.0.run();
    assert!(hands.says("page 3 of "));
    // The large page speaks: what stands on it is read aloud.
    assert!(hands.says("Snap the line"), "the large page in words");
    let before = hands.desk().plan().clone();
    hands.0.key_press(Key::Escape);
    hands.0.run();
    assert!(!hands.says("page 3 of "), "closed");
    assert_eq!(hands.desk().plan(), &before);
}
