//! Dimensions that stay on the drawing, layers shown and hidden, what a wall being drawn catches on.

use crate::hands::{Hands, corners, one_room};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use plan::{DimensionEnd, Plan, Point};
use startrow_desk::{Command, Selected};

/// From the middle of the lower wall to the upper one.
fn measured() -> Hands {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::A]);
    hands.click((1300.0, 0.0));
    hands.click((1300.0, 3000.0));
    hands
}

#[test]
fn a_measured_length_is_kept_and_follows() {
    let mut hands = measured();
    assert_eq!(hands.plan().dimensions, [], "measuring keeps nothing by itself");
    hands.keys(&[Key::Enter]);
    let wall = |end: &DimensionEnd| match end {
        DimensionEnd::Wall { wall, .. } => Some(*wall),
        _ => None,
    };
    let kept = hands.plan().dimensions.clone();
    assert_eq!(kept.len(), 1);
    assert_eq!((wall(&kept[0].from), wall(&kept[0].to)), (Some(0), Some(2)));
    assert_eq!(hands.desk().undo_name(), Some("keep a dimension"));
    // Once is enough.
    hands.keys(&[Key::K]);
    assert_eq!(hands.plan().dimensions.len(), 1);
    hands.keys(&[Key::Escape, Key::Escape]);
    // The wall is moved by 200: the room is 3200 deep, and so is the dimension.
    hands.keys(&[Key::M, Key::W, Key::W]);
    hands.letters("3200");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().dimensions[0].length(hands.plan()), Some(3200.0));
    hands.run(Command::OpenAllSteps);
    assert!(hands.says("Room 1, wall 1 to Room 1, wall 3, 3\u{a0}200"), "listed under Measure");
    // It is drawn by the stages' own drawing: on paper as on the table.
    let options = drawing::Options::set_out(50.0, plan::Units::Metric);
    let drawn = drawing::floor_drawing(hands.house(), &options);
    assert!(drawn.labels().any(|label| label.role == drawing::Role::Dimension && label.text == "3\u{a0}200"));
    let text = plan::write(hands.plan());
    assert_eq!(plan::read(&text).as_ref(), Ok(hands.plan()));
}

#[test]
fn a_dimension_is_picked_moved_aside_and_removed() {
    let mut hands = measured();
    hands.keys(&[Key::K, Key::Escape, Key::Escape]);
    hands.click((1300.0, 700.0));
    assert_eq!(hands.desk().selected(), Selected::Dimension(0));
    hands.drag((1300.0, 700.0), (1600.0, 900.0));
    // Up the page, to the left of its line is less x.
    let beside = hands.plan().dimensions[0].beside;
    assert!((beside + 300.0).abs() < 10.0, "{beside}");
    assert_eq!(hands.plan().dimensions[0].length(hands.plan()), Some(3000.0), "its ends stay");
    hands.keys(&[Key::Delete]);
    assert_eq!(hands.plan().dimensions, []);
    assert_eq!(hands.desk().undo_name(), Some("remove dimension"));
}

#[test]
fn a_walls_length_is_kept_by_its_key_and_goes_with_the_room() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::W, Key::K]);
    assert_eq!(hands.plan().dimensions[0].length(hands.plan()), Some(4000.0));
    // Split, it still spans the whole.
    hands.keys(&[Key::S]);
    assert_eq!(hands.plan().rooms[0].walls.len(), 5);
    assert_eq!(hands.plan().dimensions[0].length(hands.plan()), Some(4000.0));
    hands.key(Modifiers::SHIFT, Key::S);
    assert_eq!((hands.plan().rooms[0].walls.len(), hands.desk().undo_name()), (4, Some("join walls")));
    assert_eq!(corners(hands.plan()), corners(&one_room()));
    hands.keys(&[Key::M, Key::Delete]);
    assert_eq!((hands.plan().rooms.len(), hands.plan().dimensions.len()), (0, 0));
    hands.run(Command::Undo);
    assert_eq!(hands.plan().dimensions.len(), 1);
}

#[test]
fn layers_are_hidden_by_keys_and_from_the_menu() {
    let mut hands = Hands::with_plan(one_room());
    let middle = (3000.0, 900.0);
    hands.click(middle);
    assert!(matches!(hands.desk().selected(), Selected::Board(_)));
    hands.key(Modifiers::COMMAND, Key::Num3);
    assert_eq!(hands.desk().said(), Some("Hidden: boards"));
    hands.click(middle);
    assert_eq!(hands.desk().selected(), Selected::Room(0), "what is hidden is not picked");
    hands.key(Modifiers::COMMAND, Key::Num1);
    hands.click((4000.0, 1100.0));
    assert!(!matches!(hands.desk().selected(), Selected::Wall(..)));
    hands.run(Command::ShowAll);
    hands.click((4000.0, 1100.0));
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 1));
    hands.press("Box");
    hands.press("Show or hide");
    assert!(hands.says("Walls and doorways") && hands.says("Show everything"));
    assert_eq!(*hands.plan(), one_room(), "nothing of it is in the plan");
}

/// Drawn beside a room of 4000 × 3000, a wall pointed at about as long as one of its walls is as long.
#[test]
fn a_wall_catches_on_the_length_of_another() {
    let mut hands = Hands::with_plan(one_room());
    for _ in 0..2 {
        hands.run(Command::ZoomOut);
    }
    hands.keys(&[Key::R]);
    // Out of line with every corner of the room, both ways.
    hands.click((4710.0, 330.0));
    // About 25 more than 3000: within five points of the screen.
    hands.click((4730.0, 330.0 + 3025.0));
    hands.click((4710.0 + 1170.0, 330.0 + 3025.0));
    hands.keys(&[Key::Enter]);
    let drawn = hands.plan().rooms.last().expect("a room");
    let (a, b) = drawn.wall_line(0).expect("a wall");
    assert_eq!(a.distance(b), 3000.0, "{drawn:?}");
}

#[test]
fn a_dragged_wall_lines_up_with_another_rooms() {
    let mut plan = one_room();
    let above = [(0.0, 3092.0), (4310.0, 3092.0), (4310.0, 5000.0), (0.0, 5000.0)].map(Point::from);
    plan::edit::add_room(&mut plan, &above).expect("a room");
    let mut hands = Hands::with_plan(plan);
    hands.drag((4000.0, 1100.0), (4290.0, 1100.0));
    assert_eq!(corners(hands.plan())[1].0, 4310.0, "in line with the room above");
    // With Alt nothing catches.
    hands.run(Command::Undo);
    hands.hold(Modifiers::ALT);
    hands.drag((4000.0, 1100.0), (4290.0, 1100.0));
    assert_ne!(corners(hands.plan())[1].0, 4310.0);
}

#[test]
fn the_thickness_of_a_wall_is_typed_and_the_room_behind_follows() {
    let mut plan = one_room();
    let beside = [(4092.0, 0.0), (7000.0, 0.0), (7000.0, 3000.0), (4092.0, 3000.0)].map(Point::from);
    plan::edit::add_room(&mut plan, &beside).expect("a room");
    plan::edit::add_doorway(&mut plan, 0, 1, 1500.0).expect("a doorway");
    let mut hands = Hands::with_plan(plan);
    hands.run(Command::OpenAllSteps);
    hands.click((4000.0, 400.0));
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 1));
    hands.type_into("wall's thickness to Room 2", "140");
    let plan: &Plan = hands.plan();
    assert_eq!(plan.rooms[1].walls[0].corner.x, 4140.0);
    assert_eq!(plan.rooms[1].walls[1].corner.x, 7048.0, "it moves whole");
    assert_eq!(plan.doorways[0].wall_thickness, 140.0);
    assert_eq!(plan.problems(), []);
    assert_eq!(hands.desk().undo_name(), Some("wall thickness, Room 1, wall 2"));
}

#[test]
fn a_room_stands_from_a_list_of_lengths() {
    let mut hands = Hands::with_plan(Plan::new("Empty"));
    hands.key(Modifiers::SHIFT, Key::R);
    for length in ["4000", "3010", "4020", "2990", ""] {
        hands.letters(length);
        hands.keys(&[Key::Enter]);
    }
    assert_eq!(hands.plan().rooms.len(), 1, "Enter alone closes it");
    assert_eq!(hands.desk().undo_name(), Some("room from its lengths"));
    assert_eq!(hands.plan().rooms[0].tape.len(), 4);
    // The diagonal that is asked for has the focus.
    hands.letters("5001");
    hands.keys(&[Key::Enter]);
    let drawn: Vec<Point> = corners(hands.plan()).into_iter().map(Point::from).collect();
    let length = |a: usize, b: usize| drawn[a].distance(drawn[b]);
    for (a, b, taped) in [(0, 1, 4000.0), (1, 2, 3010.0), (2, 3, 4020.0), (3, 0, 2990.0)] {
        assert!((length(a, b) - taped).abs() < 1e-5, "five lengths are what five lengths say");
    }
    assert!((length(0, 2) - 5001.0).abs() < 1e-5 || (length(1, 3) - 5001.0).abs() < 1e-5);
    hands.run(Command::Undo);
    hands.run(Command::Undo);
    assert!(hands.plan().rooms.is_empty());
}

#[test]
fn lengths_that_cannot_meet_are_said_before_anything_is_drawn() {
    let mut hands = Hands::with_plan(one_room());
    hands.key(Modifiers::SHIFT, Key::R);
    for length in ["4000", "300", "200", ""] {
        hands.letters(length);
        hands.keys(&[Key::Enter]);
    }
    assert!(hands.says("they cannot meet"));
    assert_eq!(*hands.plan(), one_room());
    hands.press("leave it");
    assert!(!hands.says("they cannot meet"));
}

/// A room begun from its lengths, its walls typed.
fn begin_room(hands: &mut Hands, lengths: &[&str]) {
    hands.key(Modifiers::SHIFT, Key::R);
    for length in lengths {
        hands.letters(length);
        hands.keys(&[Key::Enter]);
    }
}

#[test]
fn escape_leaves_a_room_that_is_typed_from_its_lengths() {
    let mut hands = Hands::with_plan(one_room());
    begin_room(&mut hands, &["4000", "3000"]);
    hands.letters("35");
    hands.keys(&[Key::Escape]);
    assert!(hands.shows("wall 2 of the new room"), "the half-typed length goes first");
    assert!(!hands.shows("wall 3 of the new room"));
    hands.letters("3600");
    hands.keys(&[Key::Enter]);
    assert!(hands.shows("wall 3 of the new room"), "and its field keeps the keys");
    hands.keys(&[Key::Escape]);
    assert!(!hands.shows("wall 1 of the new room"));
    assert_eq!(*hands.plan(), one_room());
    begin_room(&mut hands, &["5000"]);
    assert!(hands.shows("wall 1 of the new room"));
    assert!(!hands.shows("wall 2 of the new room"), "it begins afresh");
    // With nothing half typed one Escape is enough.
    hands.keys(&[Key::Escape]);
    assert!(!hands.shows("wall 1 of the new room"));
    // Nor does it outlive its box.
    begin_room(&mut hands, &["5000"]);
    hands.run(Command::CloseAllSteps);
    hands.key(Modifiers::SHIFT, Key::R);
    assert!(!hands.shows("wall 1 of the new room"));
}

#[test]
fn escape_in_another_field_leaves_that_field_alone() {
    let mut hands = Hands::with_plan(one_room());
    begin_room(&mut hands, &["4000", "3000"]);
    let role = egui::accesskit::Role::TextInput;
    hands.harness.get_all_by_role_and_label(role, "name of the house").next().expect("a field").focus();
    hands.harness.run();
    hands.letters("Other");
    hands.keys(&[Key::Escape]);
    assert_eq!(hands.plan().name, "Box", "what was typed there is dropped");
    assert!(hands.shows("wall 2 of the new room"), "the room that is begun stays");
    // The key that begins such a room goes on with this one, and says so.
    hands.key(Modifiers::SHIFT, Key::R);
    assert!(hands.desk().said().is_some_and(|said| said.contains("Going on with the room of 2 walls")));
    hands.letters("4000");
    hands.keys(&[Key::Enter]);
    assert!(hands.shows("wall 3 of the new room"));
    hands.keys(&[Key::Escape]);
    assert!(!hands.shows("wall 1 of the new room"));
}

#[test]
fn a_room_half_typed_is_told_what_is_to_come_and_scolded_only_when_it_is_closed() {
    let mut hands = Hands::with_plan(Plan::new("Empty"));
    begin_room(&mut hands, &["6000", "2000", "3500", "-3000"]);
    assert!(!hands.says("does not lead round"));
    assert!(hands.says("a room has 6 walls: 2 more walls to come"));
    hands.keys(&[Key::Enter]);
    assert!(hands.says("does not lead round"), "Enter alone closes it");
    hands.letters("2500");
    hands.keys(&[Key::Enter]);
    assert!(!hands.says("does not lead round"));
    assert!(hands.says("1 more wall to come"));
    for length in ["5000", ""] {
        hands.letters(length);
        hands.keys(&[Key::Enter]);
    }
    assert_eq!(hands.plan().rooms.len(), 1);
}
