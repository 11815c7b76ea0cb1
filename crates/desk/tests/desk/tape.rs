//! Rooms that are not square, taped at the desk: lengths typed one after the other, what is wrong pointed at.

use super::hands::{Hands, corners, one_room};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use plan::Point;
use startrow_desk::{Command, Selected};

/// Types a length into the field that has the focus.
fn type_length(hands: &mut Hands, text: &str) {
    hands.letters(text);
    hands.keys(&[Key::Enter]);
}

#[test]
fn a_room_is_taped_with_the_keyboard_alone() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::T]);
    assert_eq!(hands.desk().selected(), Selected::Room(0));
    // Walls 1 to 4, then the diagonal that is asked for; Enter goes on each time.
    for length in ["4000", "3010", "4020", "2990", "5001"] {
        type_length(&mut hands, length);
    }
    let drawn = corners(hands.plan());
    assert_eq!(drawn[0], (0.0, 0.0), "the held wall's corner stays");
    assert!(drawn[1].1.abs() < 1e-6, "and its line: {drawn:?}");
    let length = |a: usize, b: usize| Point::from(drawn[a]).distance(drawn[b].into());
    for (a, b, taped) in [(0, 1, 4000.0), (1, 2, 3010.0), (2, 3, 4020.0), (3, 0, 2990.0)] {
        assert!((length(a, b) - taped).abs() < 1e-5, "five lengths are what five lengths say");
    }
    assert_eq!(hands.plan().rooms[0].tape.len(), 5);
    assert!(hands.harness.query_by_label_contains("othing checks these lengths").is_some());
    assert!(hands.desk().undo_name().is_some_and(|name| name.starts_with("tape ")));
    // The second diagonal checks: worked out with the cosine rule, 5012.6.
    let other = length(1, 3).min(length(0, 2)).max(0.0);
    assert!(other > 4900.0);
}

#[test]
fn a_wrong_length_is_pointed_at_and_moves_nothing() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::T]);
    for length in ["4000", "3000", "4000", "3000", "5000"] {
        type_length(&mut hands, length);
    }
    let before = corners(hands.plan());
    // The other diagonal waits for its length and has the focus.
    type_length(&mut hands, "5120");
    assert_eq!(hands.plan().rooms[0].tape.len(), 6, "kept as it was read");
    assert_eq!(corners(hands.plan()), before, "corners stay while a length is doubted");
    assert!(hands.harness.query_by_label_contains("One of these is out").is_some());
    assert!(hands.harness.query_by_label_contains("set the corners all the same").is_some());
    hands.run(Command::SetByTape);
    assert_eq!(corners(hands.plan()), before, "nor by the key");
    hands.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(hands.plan().rooms[0].tape.len(), 5, "one step takes it off again");
}

#[test]
fn the_tape_is_opened_for_the_room_that_is_selected_and_put_away() {
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::TapeRoom);
    assert!(hands.harness.query_by_label("taped, wall 1").is_some());
    hands.harness.get_by_label("put the tape away").click();
    hands.harness.run();
    assert!(hands.harness.query_by_label("taped, wall 1").is_none());
}

/// The walls that wait for their length, and the diagonals, are dotted from corner to corner, through the rings at the walls: under
/// the writing, which is painted as one mesh of letters and the plates they stand on.
#[test]
fn the_lines_of_the_tape_lie_under_the_rings() {
    use egui::Shape;
    let mut hands = Hands::with_plan(one_room());
    let dashes = |hands: &Hands| {
        let shapes = &hands.harness.output().shapes;
        let at = |is_it: &dyn Fn(&Shape) -> bool| -> Vec<usize> {
            let all = shapes.iter().enumerate().filter(|(_, clipped)| is_it(&clipped.shape));
            all.map(|(at, _)| at).collect()
        };
        let lines = at(
            &|shape| matches!(shape, Shape::LineSegment { stroke, .. } if [1.2, 1.5].contains(&stroke.width)),
        );
        (lines, at(&|shape| matches!(shape, Shape::Mesh(mesh) if mesh.vertices.len() > 200)))
    };
    let (before, _) = dashes(&hands);
    hands.run(Command::TapeRoom);
    let (lines, writing) = dashes(&hands);
    assert!(lines.len() > before.len() + 20, "{} dashes", lines.len());
    for length in ["4000", "3010", "4020", "2990", "5001"] {
        type_length(&mut hands, length);
    }
    let (taped, written) = dashes(&hands);
    for (lines, writing) in [(lines, writing), (taped, written)] {
        let (last, letters) = (lines.last().expect("lines"), writing.last().expect("writing"));
        assert!(last < letters, "a line is painted at {last}, the writing at {letters}");
    }
}

#[test]
fn letters_typed_ahead_of_the_next_field_are_kept() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::T]);
    // All of it arrives in one frame, as from a quick hand on a slow machine.
    let enter = |pressed| egui::Event::Key {
        key: Key::Enter,
        physical_key: None,
        pressed,
        repeat: false,
        modifiers: Modifiers::NONE,
    };
    for event in [egui::Event::Text("4001".into()), enter(true), enter(false), egui::Event::Text("30".into())]
    {
        hands.harness.event(event);
    }
    hands.harness.run();
    type_length(&mut hands, "02");
    let taped: Vec<f64> = hands.plan().rooms[0].tape.iter().map(|taped| taped.length).collect();
    assert_eq!(taped, [4001.0, 3002.0]);
    // A length of nothing is no reading.
    type_length(&mut hands, "0");
    assert_eq!(hands.plan().rooms[0].tape.len(), 2);
}
