//! The table as a whole: undo, the finder, menus, the sample house, flags.

use crate::hands::{Hands, one_room};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use plan::{Point, StartLine};
use startrow_desk::{Command, Selected, Setup};

#[test]
fn everything_is_undone_and_done_again() {
    let mut hands = Hands::with_plan(one_room());
    let mut states = vec![hands.plan().clone()];
    hands.run(Command::AnotherStagger);
    states.push(hands.plan().clone());
    hands.run(Command::RowsAlongY);
    states.push(hands.plan().clone());
    hands.drag((4000.0, 1100.0), (4200.0, 1100.0));
    states.push(hands.plan().clone());
    hands.run(Command::ToggleUnits);
    states.push(hands.plan().clone());
    hands.click((0.0, 0.0));
    hands.keys(&[Key::ArrowLeft]);
    states.push(hands.plan().clone());
    for pair in states.windows(2) {
        assert_ne!(pair[0], pair[1], "each of these changes something");
    }
    for state in states.iter().rev().skip(1) {
        hands.key(Modifiers::COMMAND, Key::Z);
        assert_eq!(hands.plan(), state);
        assert_eq!(hands.house().plan, *state, "the floor follows");
    }
    assert!(!hands.desk().is_dirty());
    for state in &states[1..] {
        hands.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
        assert_eq!(hands.plan(), state);
    }
}

#[test]
fn a_command_is_found_by_its_words() {
    let mut hands = Hands::with_plan(one_room());
    let seed = hands.plan().seed;
    hands.key(Modifiers::COMMAND, Key::K);
    hands.letters("stagger");
    assert!(hands.harness.query_by_label("Another stagger").is_some());
    assert!(hands.harness.query_by_label("Draw a room").is_none());
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().seed, seed + 1);
    assert!(hands.harness.query_by_label("Another stagger").is_none(), "closed again");
}

#[test]
fn a_plan_with_problems_keeps_the_last_floor() {
    let mut hands = Hands::with_plan(one_room());
    let boards = hands.house().floor.boards.len();
    hands.run(Command::OpenAllSteps);
    let role = egui::accesskit::Role::TextInput;
    hands.harness.get_by_role_and_label(role, "Face width as sold").scroll_to_me();
    hands.harness.run();
    hands.harness.get_by_role_and_label(role, "Face width as sold").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters("0");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().stock.face_width, 0.0);
    assert!(!hands.plan().problems().is_empty());
    assert_eq!(hands.house().floor.boards.len(), boards);
    hands.run(Command::Undo);
    assert_eq!(*hands.plan(), one_room());
}

#[test]
fn the_sample_house_is_on_the_table_at_first() {
    let mut hands = Hands::at(Setup::default());
    let house = hands.house();
    // Some 140 m² of house with its stone floors; the boards lie in the rest.
    let all: f64 = house.site.rooms.iter().map(|room| room.area).sum();
    assert!((110e6..170e6).contains(&all), "{all}");
    assert!(house.floor.boards.len() > 300);
    let flags = house.flags.len();
    hands.run(Command::NextFlag);
    if flags > 0 {
        assert_eq!(hands.desk().selected(), Selected::Flag(0));
        hands.run(Command::PreviousFlag);
        assert_eq!(hands.desk().selected(), Selected::Flag(flags - 1));
    }
    // A click on bare boards picks one.
    let board = &hands.house().floor.boards[hands.house().floor.boards.len() / 2];
    let frame = hands.house().site.frame;
    let corners = board.outline.outer.iter().map(|uv| frame.plan_from_row(*uv));
    let sum = corners.clone().fold(Point::default(), |sum, p| sum.moved(p.x, p.y));
    let count = board.outline.outer.len() as f64;
    hands.run(Command::Fit);
    hands.click((sum.x / count, sum.y / count));
    assert!(!matches!(hands.desk().selected(), Selected::Nothing));
}

#[test]
fn the_table_speaks() {
    let hands = Hands::with_plan(one_room());
    let canvas = hands.harness.get_by_role(egui::accesskit::Role::Canvas);
    let label = egui_kittest::kittest::NodeT::accesskit_node(&canvas).label().expect("a label");
    assert!(label.starts_with("Floor of Box: 1 room,"), "{label}");
}

#[test]
fn the_house_menu_closes_on_escape() {
    let mut hands = Hands::with_plan(one_room());
    hands.harness.get_by_role_and_label(egui::accesskit::Role::Button, "Box").click();
    hands.harness.run();
    assert!(hands.harness.query_by_label_contains("Save by path").is_some());
    hands.keys(&[Key::Escape]);
    assert!(hands.harness.query_by_label_contains("Save by path").is_none());
    hands.key(Modifiers::COMMAND, Key::N);
    assert!(hands.plan().rooms.is_empty());
    assert!(hands.harness.query_by_label_contains("Save by path").is_none());
}

#[test]
fn crowded_slivers_share_a_pennant_that_steps_through_them() {
    // A line that leaves 20 along the lower wall: every board there is a sliver.
    let mut hands = Hands::with_plan(one_room());
    let pitch = hands.house().setout.pitch;
    let mut plan = hands.plan().clone();
    plan.start_line = StartLine::At((plan.rules.wall_gap.least + 20.0).rem_euclid(pitch));
    hands = Hands::with_plan(plan);
    let slivers = hands.house().flags.iter().filter(|flag| flag.kind == findings::FlagKind::Sliver).count();
    assert!(slivers >= 2, "{slivers}");
    for _ in 0..14 {
        hands.run(Command::ZoomOut);
    }
    let at = hands.house().flags[0].at;
    let foot = hands.screen(at.into());
    let mut seen = std::collections::BTreeSet::new();
    for _ in 0..slivers {
        hands.harness.hover_at(foot);
        hands.harness.run();
        hands.click(at.into());
        if let Selected::Flag(flag) = hands.desk().selected() {
            seen.insert(flag);
        }
    }
    assert_eq!(seen.len(), slivers, "each click picks the next of them");
}
