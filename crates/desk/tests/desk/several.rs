//! Several things at once: selected with Shift, by a band, by kind; moved, copied, changed and removed in one step.

use crate::hands::{Hands, one_room};
use egui::{Key, Modifiers};
use plan::{FixtureKind, Plan, Point, edit};
use startrow_desk::{Command, Selected};

/// A room with three columns of 300 along its middle, 700 apart, and a doorway below.
fn columns() -> Plan {
    let mut plan = one_room();
    for x in [600.0, 1600.0, 2600.0] {
        let outline = [(x, 1400.0), (x + 300.0, 1400.0), (x + 300.0, 1700.0), (x, 1700.0)].map(Point::from);
        edit::add_fixture(&mut plan, FixtureKind::Column, &outline).expect("a column");
    }
    edit::add_doorway(&mut plan, 0, 0, 2000.0).expect("a doorway");
    plan
}

fn lefts(plan: &Plan) -> Vec<(f64, f64)> {
    plan.fixtures.iter().map(|fixture| fixture.outline[0].into()).collect()
}

/// A click with Shift held.
fn add(hands: &mut Hands, p: (f64, f64)) {
    hands.hold(Modifiers::SHIFT);
    hands.click(p);
    hands.hold(Modifiers::NONE);
}

#[test]
fn things_are_added_with_shift_and_act_as_one() {
    let mut hands = Hands::with_plan(columns());
    hands.click((750.0, 1550.0));
    add(&mut hands, (1750.0, 1550.0));
    assert_eq!(hands.desk().selection(), [Selected::Fixture(0), Selected::Fixture(1)]);
    assert!(hands.says("2 fixtures"), "their card");
    hands.keys(&[Key::ArrowUp]);
    hands.key(Modifiers::SHIFT, Key::ArrowRight);
    assert_eq!(lefts(hands.plan()), [(610.0, 1401.0), (1610.0, 1401.0), (2600.0, 1400.0)]);
    assert_eq!(hands.desk().undo_name(), Some("move 2 fixtures"));
    hands.key(Modifiers::COMMAND, Key::Z);
    hands.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(*hands.plan(), columns());
    // Dragged by one of them, both move: the same way and as far.
    hands.drag((750.0, 1550.0), (750.0, 2150.0));
    let moved = lefts(hands.plan());
    assert!((moved[0].1 - 2000.0).abs() < 60.0, "{moved:?}");
    assert_eq!((moved[1].0 - moved[0].0, moved[1].1 - moved[0].1), (1000.0, 0.0));
    assert_eq!(moved[2], (2600.0, 1400.0), "the third stays");
    assert_eq!(hands.desk().undo_name(), Some("move 2 fixtures"));
    hands.run(Command::Undo);
    add(&mut hands, (1750.0, 1550.0));
    assert_eq!(hands.desk().selection(), [Selected::Fixture(0)], "taken away again");
    hands.keys(&[Key::Escape]);
    assert_eq!(hands.desk().selection(), []);
}

#[test]
fn a_band_selects_what_lies_wholly_inside() {
    let mut hands = Hands::with_plan(columns());
    hands.drag((300.0, 1000.0), (2050.0, 2000.0));
    assert_eq!(hands.desk().selection(), [Selected::Fixture(0), Selected::Fixture(1)]);
    hands.keys(&[Key::Delete]);
    assert_eq!(lefts(hands.plan()), [(2600.0, 1400.0)]);
    assert_eq!(hands.desk().undo_name(), Some("remove 2 fixtures"));
    hands.run(Command::Undo);
    assert_eq!(*hands.plan(), columns());
    // Only half of a column lies in it.
    hands.drag((300.0, 1000.0), (700.0, 2000.0));
    assert_eq!(hands.desk().selection(), []);
    assert_eq!(*hands.plan(), columns(), "a band changes nothing");
}

#[test]
fn all_of_a_kind_are_selected_copied_and_changed_together() {
    let mut hands = Hands::with_plan(columns());
    hands.click((750.0, 1550.0));
    hands.key(Modifiers::SHIFT, Key::A);
    assert_eq!(hands.desk().selection().len(), 3);
    hands.key(Modifiers::COMMAND, Key::D);
    assert_eq!((hands.plan().fixtures.len(), hands.desk().undo_name()), (6, Some("copy 3 fixtures")));
    assert_eq!(hands.desk().selection(), [3, 4, 5].map(Selected::Fixture), "the copies are selected");
    assert_eq!(hands.plan().problems(), []);
    // What they have in common is typed once.
    hands.type_into("least gap of all", "14");
    let gaps: Vec<_> = hands.plan().fixtures.iter().map(|f| f.gap.map(|gap| gap.least)).collect();
    assert_eq!(gaps, [None, None, None, Some(14.0), Some(14.0), Some(14.0)]);
    assert_eq!(hands.desk().undo_name(), Some("gap of 3 fixtures"));
    hands.key(Modifiers::ALT, Key::A);
    assert_eq!(hands.desk().selection().len(), 8, "a room, a doorway, six columns");
    hands.key(Modifiers::SHIFT, Key::ArrowUp);
    assert_eq!(hands.plan().rooms[0].walls[0].corner, Point::new(0.0, 10.0));
    assert_eq!(lefts(hands.plan())[0], (600.0, 1410.0), "once, though it stands in the room");
    assert_eq!(hands.desk().undo_name(), Some("move 1 room, 1 doorway, 6 fixtures"));
}

#[test]
fn a_selected_room_is_dragged_with_what_stands_in_it() {
    let mut plan = columns();
    let beside = [(4092.0, 0.0), (7000.0, 0.0), (7000.0, 3000.0), (4092.0, 3000.0)].map(Point::from);
    edit::add_room(&mut plan, &beside).expect("a room");
    plan.rooms[1].covering = plan::Covering::Other("stone".into());
    let mut hands = Hands::with_plan(plan);
    hands.click((6800.0, 2700.0));
    assert_eq!(hands.desk().selected(), Selected::Room(1));
    hands.drag((6800.0, 2700.0), (6800.0, 3215.0));
    let y = hands.plan().rooms[1].walls[0].corner.y;
    assert!((y - 515.0).abs() < 60.0, "{y}");
    assert_eq!(hands.desk().undo_name(), Some("move Room 2"));
}

#[test]
fn what_is_pinned_down_stays_and_says_so() {
    let mut hands = Hands::with_plan(columns());
    hands.click((750.0, 1550.0));
    hands.keys(&[Key::I]);
    assert_eq!(hands.desk().undo_name(), Some("pin down Column"));
    let pinned = hands.plan().clone();
    hands.keys(&[Key::ArrowRight, Key::Delete]);
    assert_eq!(*hands.plan(), pinned);
    assert!(
        hands.desk().said().is_some_and(|said| said.contains("pinned down")),
        "{:?}",
        hands.desk().said()
    );
    assert_eq!(hands.desk().selected(), Selected::Fixture(0), "what could not go stays selected");
    hands.drag((750.0, 1550.0), (750.0, 2400.0));
    assert_eq!(*hands.plan(), pinned);
    // Neither a band nor everything takes it. Its card would lie in the way.
    hands.keys(&[Key::Escape]);
    hands.drag((300.0, 1000.0), (3200.0, 2000.0));
    assert_eq!(hands.desk().selection(), [Selected::Fixture(1), Selected::Fixture(2)]);
    let text = plan::write(hands.plan());
    assert!(text.contains("Fixture(\"Column\")"), "it is kept in the plan");
    assert_eq!(plan::read(&text).as_ref(), Ok(hands.plan()));
    hands.click((750.0, 1550.0));
    hands.press("unpin");
    assert_eq!(*hands.plan(), columns());
    hands.keys(&[Key::ArrowRight]);
    assert_eq!(lefts(hands.plan())[0], (601.0, 1400.0));
}
