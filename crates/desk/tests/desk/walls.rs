//! Walls by typing: drawn with the numeric pad alone, and changed afterwards.

use super::hands::{Hands, corners, one_room};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use plan::Plan;
use startrow_desk::{Command, Selected};

/// Types what stands on the numeric pad; `=` stands for its Enter.
fn pad(hands: &mut Hands, keys: &str) {
    for key in keys.chars() {
        match key {
            '=' => hands.keys(&[Key::Enter]),
            other => hands.letters(&other.to_string()),
        }
    }
}

/// Corners from the first one, to the hundredth.
fn shape(plan: &Plan) -> Vec<(f64, f64)> {
    let drawn = corners(plan);
    let (x, y) = drawn[0];
    let part = |value: f64| (value * 100.0).round() / 100.0 + 0.0;
    drawn.iter().map(|c| (part(c.0 - x), part(c.1 - y))).collect()
}

#[test]
fn a_rectangle_needs_its_lengths_alone() {
    let mut hands = Hands::with_plan(Plan::new("Empty"));
    hands.keys(&[Key::R]);
    pad(&mut hands, "4250=3100=4250=");
    assert!(hands.plan().rooms.is_empty());
    pad(&mut hands, "=");
    assert_eq!(shape(hands.plan()), [(0.0, 0.0), (4250.0, 0.0), (4250.0, 3100.0), (0.0, 3100.0)]);
}

#[test]
fn a_first_corner_that_was_clicked_needs_no_pointing() {
    let mut hands = Hands::with_plan(Plan::new("Empty"));
    hands.keys(&[Key::R]);
    // The pointer rests on the corner: the first wall goes to the right.
    hands.click((1000.0, 1000.0));
    pad(&mut hands, "4250=3100=4250==");
    assert_eq!(shape(hands.plan()), [(0.0, 0.0), (4250.0, 0.0), (4250.0, 3100.0), (0.0, 3100.0)]);
}

#[test]
fn signs_of_the_pad_turn_the_next_wall() {
    let mut hands = Hands::with_plan(Plan::new("Empty"));
    hands.keys(&[Key::R]);
    // An L: left, left, then back to the right at the inward corner.
    pad(&mut hands, "6000=+2000=+3500=-3000=+2500=");
    pad(&mut hands, "+5000=");
    let ell =
        [(0.0, 0.0), (6000.0, 0.0), (6000.0, 2000.0), (2500.0, 2000.0), (2500.0, 5000.0), (0.0, 5000.0)];
    assert_eq!(shape(hands.plan()), ell);
}

#[test]
fn an_angle_is_typed_after_a_stroke() {
    let mut hands = Hands::with_plan(Plan::new("Empty"));
    hands.keys(&[Key::R]);
    // An equilateral triangle turns by 120° at each corner: closed form.
    pad(&mut hands, "3000=/120=3000=/120=3000=");
    assert_eq!(shape(hands.plan()), [(0.0, 0.0), (3000.0, 0.0), (1500.0, 2598.08)]);
}

#[test]
fn the_corner_that_moves_is_chosen_before_a_length_is_typed() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::W]);
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 0));
    let choice =
        hands.harness.get_all_by_label("corner that moves").next().expect("on the card or under Measure");
    choice.click();
    hands.harness.run();
    hands.harness.get_by_label("corner 1, its start").click();
    hands.harness.run();
    hands.letters("4200");
    hands.keys(&[Key::Enter]);
    assert_eq!(corners(hands.plan()), [(-200.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (-200.0, 3000.0)]);
}

#[test]
fn rooms_and_fixtures_are_copied_and_turned_over() {
    let mut hands = Hands::with_plan(one_room());
    let wedge = [(500.0, 500.0), (1500.0, 500.0), (500.0, 900.0)].map(plan::Point::from);
    let mut plan = hands.plan().clone();
    plan::edit::add_fixture(&mut plan, plan::FixtureKind::Hearth, &wedge).expect("a hearth");
    hands = Hands::with_plan(plan);
    hands.keys(&[Key::M]);
    hands.key(Modifiers::COMMAND, Key::D);
    assert_eq!(hands.plan().rooms.len(), 2);
    assert_eq!(hands.desk().selected(), Selected::Room(1));
    assert_eq!(hands.plan().problems(), [], "a wall stands between");
    assert_eq!(hands.plan().fixtures.len(), 2);
    assert_eq!(hands.desk().undo_name(), Some("copy room"));
    let before = hands.plan().fixtures[1].outline[1].x;
    hands.run(Command::TurnOverAcross);
    assert!(hands.plan().fixtures[1].outline[1].x > before, "the wedge points the other way");
}
