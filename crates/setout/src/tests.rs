//! Set-outs that can be worked out by hand.
#![allow(clippy::unwrap_used)]

use crate::set_out;
use plan::{GapRange, Plan, Point, Room, StartLine};

/// A rectangular room with boards 200 wide and a gap of 10.
fn room(width: f64, height: f64) -> Plan {
    let mut plan = Plan::new("t");
    plan.stock.face_width = 200.0;
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 14.0 };
    plan.rules.line_tolerance = 1.0;
    plan.rooms.push(Room::boarded(
        "Hall",
        [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)].map(|(x, y)| Point::new(x, y)),
    ));
    plan
}

#[test]
fn two_walls_share_what_is_left_over() {
    // Between the gaps lie 2100 mm: ten boards and 100 over. Nine whole rows leave 300 for two rips of 150.
    let plan = room(4000.0, 2120.0);
    let set = set_out(&plan, &site::survey(&plan));
    assert!((set.best.narrowest - 150.0).abs() < 1e-9, "{}", set.best.narrowest);
    assert!((set.best.narrowest_within_tolerance - 149.0).abs() < 1e-9);
    assert!(set.best.short_length == 0.0);
    for rip in &set.best.rips {
        assert!((rip.least - 150.0).abs() < 1e-9 && (rip.greatest - 150.0).abs() < 1e-9);
    }
    // The line may move until one wall has a whole board and the next moment a sliver: 50 mm.
    assert!((set.best.safe_by - 50.0).abs() < 1e-9, "{}", set.best.safe_by);
    assert_eq!(set.best.binding.len(), 2);
}

#[test]
fn the_curve_has_the_two_peaks_of_two_walls() {
    // Offsets count from the plan's origin. Floor from 10 to 2110: the lower wall's rip is o − 10, the upper's
    // 2110 − o − 1800 or so; they meet at 150 and at 50.
    let plan = room(4000.0, 2120.0);
    let set = set_out(&plan, &site::survey(&plan));
    let at = |offset: f64| {
        let pair = set.curve.windows(2).find(|p| p[0].offset <= offset && offset < p[1].offset).unwrap();
        let t = (offset - pair[0].offset) / (pair[1].offset - pair[0].offset);
        pair[0].rip + t * (pair[1].rip - pair[0].rip)
    };
    assert!((at(160.0) - 150.0).abs() < 1e-9);
    assert!((at(60.0) - 50.0).abs() < 1e-9);
    assert!((at(30.0) - 20.0).abs() < 1e-9);
    // Just past 110 the upper wall's sliver begins again.
    assert!(at(109.0) < 2.0 && at(111.0) > 90.0);
}

#[test]
fn whole_boards_at_both_walls_are_not_chosen_since_they_stand_on_a_cliff() {
    // 2000 mm between the gaps is ten boards exactly; a line 0.1 out leaves a sliver of 0.1.
    let plan = room(4000.0, 2020.0);
    let set = set_out(&plan, &site::survey(&plan));
    assert!((set.best.narrowest - 100.0).abs() < 1e-9, "{}", set.best.narrowest);
    assert!(set.best.safe_by > 40.0);
}

#[test]
fn a_wall_out_of_square_counts_at_its_narrow_end() {
    // The upper wall falls by 30 over its length: 2100 on the left, 2070 on the right, between the gaps about.
    let mut plan = room(4000.0, 2120.0);
    plan.rooms[0].walls[2].corner.y = 2090.0;
    let set = set_out(&plan, &site::survey(&plan));
    let upper = set.best.rips.iter().find(|r| r.at.y > 1000.0).unwrap();
    assert!((upper.greatest - upper.least - 30.0).abs() < 0.2, "{} to {}", upper.least, upper.greatest);
    let lower = set.best.rips.iter().find(|r| r.at.y < 1000.0).unwrap();
    // The two narrow ends are as wide as each other: 2070 less nine rows, halved.
    assert!((upper.least - lower.least).abs() < 0.2 && (lower.least - 135.0).abs() < 0.2);
}

#[test]
fn a_line_set_by_hand_is_valued_but_does_not_hide_the_best() {
    let mut plan = room(4000.0, 2120.0);
    plan.start_line = StartLine::At(-170.0);
    let set = set_out(&plan, &site::survey(&plan));
    // −170 is 30 modulo a board of 200: a rip of 20 at the lower wall.
    assert!((set.chosen.offset - 30.0).abs() < 1e-9);
    assert!((set.chosen.narrowest - 20.0).abs() < 1e-9);
    assert!((set.best.narrowest - 150.0).abs() < 1e-9);
    let runner_up = set.runner_up.unwrap();
    assert!(runner_up.narrowest <= set.best.narrowest);
}

#[test]
fn pulls_are_wall_gap_rip_and_rows() {
    let plan = room(4000.0, 2120.0);
    let set = set_out(&plan, &site::survey(&plan));
    let line = set.line.unwrap();
    assert_eq!(line.pulls.len(), 2);
    assert_eq!((line.pulls[0].letter, line.pulls[1].letter), ('A', 'B'));
    let rip = &set.chosen.rips[line.first_rip.unwrap()];
    for pull in &line.pulls {
        let expected = 10.0 + rip.least + line.rows_to_wall as f64 * 200.0;
        assert!((pull.distance - expected).abs() < 1e-9, "{} is not {expected}", pull.distance);
    }
    // The check comes from the other side of the line, and the two make up the room.
    let check = line.check.unwrap();
    assert!((check.distance + line.pulls[0].distance - 2120.0).abs() < 1e-9);
}

#[test]
fn a_plan_without_floor_gives_no_line() {
    let plan = Plan::new("empty");
    let set = set_out(&plan, &site::survey(&plan));
    assert!(set.line.is_none() && set.best.rips.is_empty());
    assert_eq!(set.best.narrowest, set.pitch);
}

#[test]
fn lines_equal_within_the_tolerance_are_parted_by_what_a_true_line_leaves() {
    // No line keeps the least rip, a whole board, at either wall within 20 mm: all are equals but for their narrowest.
    // Boards 40 wide and 2110 between the gaps, 30 over: 35 at both walls.
    let mut plan = room(4000.0, 2130.0);
    (plan.stock.face_width, plan.rules.least_rip, plan.rules.line_tolerance) = (40.0, 40.0, 20.0);
    for shift in [0.0, 7.0, 23.0] {
        for wall in &mut plan.rooms[0].walls {
            wall.corner.y += shift;
        }
        let set = set_out(&plan, &site::survey(&plan));
        assert!((set.best.narrowest - 35.0).abs() < 1e-6, "{}", set.best.narrowest);
    }
}

#[test]
fn the_first_rip_and_the_whole_rows_reach_from_the_wall_to_the_line() {
    // 2000 mm between the gaps; lines at 10, 210 … leave a whole board at the wall, which is no row twice.
    for (offset, kept) in [(10.0, 200.0), (110.0, 100.0), (70.0, 60.0), (209.0, 199.0)] {
        let mut plan = room(4000.0, 2020.0);
        plan.start_line = StartLine::At(offset);
        let set = set_out(&plan, &site::survey(&plan));
        let line = set.line.unwrap();
        let rip = &set.chosen.rips[line.first_rip.unwrap()];
        let from_wall = (rip.at.y - line.v).abs();
        assert!(
            (rip.least + 200.0 * line.rows_to_wall as f64 - from_wall).abs() < 1e-6,
            "{kept} {from_wall}"
        );
    }
}
