//! What is said of lines whose rips are worked out by hand.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::{advise, set_out};
use plan::{GapRange, Point, Room, Units};

fn room(name: &str, [x, y, w, h]: [f64; 4]) -> Room {
    Room::boarded(name, [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Point::new(x, y)))
}

fn one(height: f64) -> Plan {
    let mut plan = Plan::new("t");
    plan.stock.face_width = 200.0;
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.rooms.push(room("Hall", [0.0, 0.0, 4000.0, height]));
    plan
}

fn why(plan: &Plan) -> Why {
    let site = site::survey(plan);
    let set = set_out(plan, &site);
    let why = advise(plan, &site, &set).why;
    for sentence in why.sentences() {
        assert!(
            sentence.ends_with('.') && !sentence.contains("  ") && !sentence.contains(" ."),
            "{sentence}"
        );
        assert!(!sentence.contains("NaN") && !sentence.contains("inf"), "{sentence}");
    }
    why
}

#[test]
fn two_equal_walls() {
    // 2100 between the gaps: nine rows and two rips of 150; the other way ten rows and 50 at each wall, which
    // is under the least as soon as the line is 2 out.
    let why = why(&one(2120.0));
    assert_eq!(
        why.leaves,
        "This line keeps 150 or more at every edge; it is narrowest at walls 1 and 3 of Hall."
    );
    assert!(why.instead.starts_with("The next best, "), "{}", why.instead);
    // Pulled from one wall, the other is that pull and the room's depth away: 50 mm of play for two lengths.
    assert!(
        why.care.starts_with("Each measured length may be 25 out before a rip falls under 50"),
        "{}",
        why.care
    );
    assert!(why.care.contains("measure the length of Hall, wall "), "{}", why.care);
}

/// 2000 between the gaps are ten boards.
#[test]
fn edges_that_all_end_in_whole_boards_are_told_so() {
    let mut plan = one(2020.0);
    plan.rules.line_tolerance = 0.0;
    plan.start_line = StartLine::At(10.0);
    assert_eq!(why(&plan).leaves, "Every edge along the rows ends in a whole board.");
}

#[test]
fn a_line_set_by_hand_is_held_against_the_best() {
    let mut plan = one(2120.0);
    plan.start_line = StartLine::At(30.0);
    let why = why(&plan);
    assert_eq!(
        why.leaves,
        "This line leaves 20 along wall 1 of Hall, 3\u{a0}980 long, where 50 is the least; every other edge keeps 80 or more."
    );
    assert_eq!(
        why.instead,
        "It was set by hand; the best line, 70 down the plan, would keep 150 or more at every edge."
    );
    assert!(why.care.starts_with("Each measured length may be "), "{}", why.care);
}

/// Rips of 150 at both walls; moved by 70 one wall, 3980 between the gaps at its ends, has 20.
#[test]
fn of_another_line_it_is_said_what_falls_under_the_least() {
    let set_of = |plan: &Plan| set_out(plan, &site::survey(plan));
    let plan = one(2120.0);
    let other = set_of(&Plan { start_line: plan::StartLine::At(30.0), ..plan.clone() }).chosen;
    let mut set = set_of(&plan);
    assert!((set.chosen.narrowest - 150.0).abs() < 1e-6);
    set.runner_up = Some(other);
    let why = explain(&plan, &site::survey(&plan), &set, &Robust::default());
    let said = "would leave 3\u{a0}980 of edge under 50, at wall 1 of Hall, 20 at its narrowest.";
    assert!(why.instead.ends_with(said), "{}", why.instead);
}

#[test]
fn a_line_by_hand_that_is_the_best_is_no_worse_for_it() {
    let mut plan = one(2120.0);
    plan.start_line = StartLine::At(160.0);
    assert!(why(&plan).instead.starts_with("The next best, "));
}

#[test]
fn walls_at_an_angle_and_no_floor_at_all() {
    let mut plan = one(2120.0);
    plan.rows_at = 30.0;
    let slanted = why(&plan);
    assert!(slanted.leaves.contains("cuts the boards to points"), "{}", slanted.leaves);
    assert_eq!(slanted.instead, "Any other line would do as well.");
    let nothing = why(&Plan::new("empty"));
    assert!(nothing.leaves.contains("nothing to snap"), "{}", nothing.leaves);
    // A floor narrower than a board has no row line; it is boarded all the same, and no line would help it.
    let mut narrow = one(2120.0);
    narrow.stock.face_width = 3000.0;
    let narrow = why(&narrow);
    assert!(narrow.leaves.starts_with("The floor is one row wide"), "{}", narrow.leaves);
    assert!(!narrow.care.contains("Draw"), "{}", narrow.care);
}

#[test]
fn the_safest_line_says_what_the_best_would_keep() {
    let mut plan = one(2050.0);
    plan.start_line = StartLine::Safest;
    let why = why(&plan);
    // 2030 over: rips of 115 and 115 are the widest; the safest gives more play to the wall farther from the pulls.
    assert!(why.instead.starts_with("This is the line that stands the most tape error, "), "{}", why.instead);
    assert!(why.instead.contains("would leave 115 at its narrowest"), "{}", why.instead);
    // At 115 its near wall may come 65 nearer, and the far one, two lengths away, 65 for both: 32.5 each, said as 32.
    assert!(why.instead.ends_with(" but stands 32."), "{}", why.instead);
    assert!(!why.care.contains("safest line"), "{}", why.care);
}

#[test]
fn no_runner_up_is_said_so() {
    let plan = one(2120.0);
    let site = site::survey(&plan);
    let mut set = set_out(&plan, &site);
    set.runner_up = None;
    let why = explain(&plan, &site, &set, &Robust::default());
    assert_eq!(why.instead, "No other line is far enough from it to be another choice.");
    assert_eq!(why.care, "Snap it true; no tape error makes a sliver here.");
}

#[test]
fn figures_are_in_the_plans_units() {
    let mut plan = one(2120.0);
    plan.units = Units::FeetInches;
    let why = why(&plan);
    // 150 mm is 5.9055 in: 5 29/32, to the nearest sixteenth 5 7/8 (arithmetic; 1 in = 25.4 mm).
    assert!(why.leaves.contains("5 7/8\""), "{}", why.leaves);
}
