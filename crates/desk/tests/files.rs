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
        let mut plan = Plan::new("Box");
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)].map(Point::from);
        plan.rooms.push(Room::boarded("Hall", corners));
        let setup = Setup { plan: Some(plan), synchronous: true, ..Setup::default() };
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
        self.0.get_by_label(label).click();
        self.0.run();
    }

    fn bring_in(&mut self, path: &Path) {
        self.run(Command::BringInByPath);
        self.0.get_by_label("path of the file").focus();
        self.0.run();
        self.0.key_press_modifiers(Modifiers::COMMAND, Key::A);
        self.0.run();
        self.0.event(Event::Text(path.display().to_string()));
        self.0.run();
        self.0.key_press_modifiers(Modifiers::NONE, Key::Enter);
        self.0.run();
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
    hands.click("mm");
    hands.click("Bring in");
    assert_eq!(hands.names(), ["Hall", "Study", "Hall 2"]);
    // From the bottom of a page 9000 high: y runs up.
    let corner = hands.desk().plan().rooms[1].walls[0].corner;
    assert_eq!((corner.x, corner.y), (5000.0, 4000.0));
    assert!(hands.says("Brought in 2 rooms."));
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
    hands.click("mm");
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
