//! Slices and small floors worked out by hand.
#![allow(clippy::unwrap_used)]

use crate::{End, Floor, lay, slice, slice_across};
use plan::{BoardLength, Plan, Point, Room, StartLine};
use site::Uv;

fn ring(points: &[(f64, f64)]) -> Vec<Uv> {
    points.iter().map(|(u, v)| Uv::new(*u, *v)).collect()
}

fn areas(bands: &[Vec<crate::Outline>]) -> Vec<Vec<f64>> {
    bands.iter().map(|band| band.iter().map(|o| o.area()).collect()).collect()
}

#[test]
fn a_rectangle_falls_into_rows() {
    let bands = slice(&[ring(&[(0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (0.0, 5.0)])], &[-1.0, 1.0, 3.0, 6.0]);
    assert_eq!(areas(&bands), [[10.0], [20.0], [20.0]]);
    assert_eq!(bands[0][0].outer.len(), 4);
}

#[test]
fn a_wall_on_a_row_line_leaves_no_film() {
    let bands =
        slice(&[ring(&[(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0)])], &[-2.0, 0.0, 2.0, 4.0, 6.0]);
    assert_eq!(areas(&bands), [vec![], vec![20.0], vec![20.0], vec![]]);
}

#[test]
fn a_bay_parts_a_row_into_two_runs() {
    // A U: two arms above a base.
    let u = ring(&[
        (0.0, 0.0),
        (9.0, 0.0),
        (9.0, 4.0),
        (6.0, 4.0),
        (6.0, 2.0),
        (3.0, 2.0),
        (3.0, 4.0),
        (0.0, 4.0),
    ]);
    let bands = slice(&[u], &[0.0, 2.0, 4.0]);
    assert_eq!(areas(&bands), [vec![18.0], vec![6.0, 6.0]]);
    assert!(bands[1][0].outer.iter().all(|p| p.u <= 3.0), "left to right");
}

#[test]
fn a_hole_stays_in_its_row_or_notches_two() {
    let outer = ring(&[(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0)]);
    let hole = ring(&[(4.0, 0.5), (4.0, 1.5), (6.0, 1.5), (6.0, 0.5)]);
    let bands = slice(&[outer.clone(), hole], &[0.0, 2.0, 4.0]);
    assert_eq!(areas(&bands), [[18.0], [20.0]]);
    assert_eq!((bands[0][0].holes.len(), bands[0][0].outer.len()), (1, 4));
    let across = ring(&[(4.0, 1.0), (4.0, 3.0), (6.0, 3.0), (6.0, 1.0)]);
    let bands = slice(&[outer, across], &[0.0, 2.0, 4.0]);
    assert_eq!(areas(&bands), [[18.0], [18.0]]);
    assert_eq!((bands[0][0].holes.len(), bands[0][0].outer.len()), (0, 8));
}

#[test]
fn slicing_across_cuts_at_the_joints() {
    let bands =
        slice_across(&[ring(&[(0.0, 0.0), (10.0, 0.0), (10.0, 2.0), (0.0, 2.0)])], &[-1.0, 3.0, 7.0, 11.0]);
    assert_eq!(areas(&bands), [[6.0], [8.0], [6.0]]);
    assert!(bands[1][0].outer.iter().all(|p| (3.0..=7.0).contains(&p.u)));
}

fn floor(plan: &Plan) -> Floor {
    let site = site::survey(plan);
    lay(plan, &site, &setout::set_out(plan, &site))
}

fn room(width: f64, height: f64) -> Plan {
    let mut plan = Plan::new("t");
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    plan.rooms.push(Room::boarded("Room", corners.map(|(x, y)| Point::new(x, y))));
    plan
}

#[test]
fn rows_fill_the_room_from_the_start_line_both_ways() {
    let mut plan = room(5000.0, 2020.0);
    plan.stock.face_width = 200.0;
    plan.start_line = StartLine::At(110.0);
    let floor = floor(&plan);
    // 2000 mm between the gaps, lines at 110, 310 … 1910: nine whole rows and a rip of 100 at each wall.
    let mut rows: Vec<i32> = floor.boards.iter().map(|b| floor.row_number(b.row)).collect();
    rows.sort_unstable();
    rows.dedup();
    assert_eq!(rows, (1..=11).collect::<Vec<_>>());
    for board in &floor.boards {
        let edge = [1, 11].contains(&floor.row_number(board.row));
        assert!((board.width - if edge { 100.0 } else { 200.0 }).abs() < 1e-6);
        assert_eq!(board.turned, board.row < 0);
    }
    assert!(floor.boards.iter().any(|b| b.turned) && floor.boards.iter().any(|b| !b.turned));
}

#[test]
fn offcuts_start_later_runs_and_ends_that_meet_are_the_factorys() {
    let floor = floor(&room(5100.0, 4000.0));
    let reused = floor.stock.iter().filter(|s| s.pieces.len() > 1).count();
    assert!(reused > 5, "{reused} boards gave two pieces");
    for joint in &floor.joints {
        let (a, b) = (&floor.boards[joint.left], &floor.boards[joint.right]);
        let (left, right) = if a.turned { (b, a) } else { (a, b) };
        assert_eq!((left.right_end, right.left_end), (End::Factory, End::Factory));
    }
}

#[test]
fn another_seed_lays_another_floor_and_the_same_seed_the_same() {
    let mut plan = room(6000.0, 4000.0);
    let joints = |plan: &Plan| floor(plan).joints.iter().map(|j| j.u).collect::<Vec<_>>();
    let first = joints(&plan);
    assert_eq!(first, joints(&plan));
    for seed in 2..6 {
        plan.seed = seed;
        assert_ne!(first, joints(&plan), "seed {seed}");
    }
}

#[test]
fn labels_count_up_each_row_from_the_left() {
    let floor = floor(&room(6000.0, 2000.0));
    for run in &floor.runs {
        for (i, board) in floor.boards[run.boards.clone()].iter().enumerate() {
            assert_eq!(board.label, format!("{}-{}", floor.row_number(run.row), i + 1));
        }
    }
}

#[test]
fn packs_are_opened_in_order_and_never_give_more_than_they_hold() {
    let mut plan = room(6000.0, 5000.0);
    plan.stock.lengths =
        vec![BoardLength { length: 2200.0, per_pack: 3 }, BoardLength { length: 1400.0, per_pack: 2 }];
    let floor = floor(&plan);
    let packs = floor.stock.iter().map(|s| s.pack).max().unwrap() + 1;
    for pack in 0..packs {
        let count = |length: f64| floor.stock.iter().filter(|s| s.pack == pack && s.length == length).count();
        assert!(count(2200.0) <= 3 && count(1400.0) <= 2);
    }
    // No more than three packs stand open at the end.
    let whole = floor.stock.len() / 5;
    assert!(packs <= whole + 3, "{packs} packs for {} boards", floor.stock.len());
}

#[track_caller]
fn laid_whole(plan: &Plan) {
    assert_eq!(plan.problems(), []);
    let (laid, region) =
        (floor(plan).boards.iter().map(|b| b.area).sum::<f64>(), site::survey(plan).boarded_area());
    assert!((laid - region).abs() < 1.0, "{laid} of {region}");
}

#[test]
fn a_run_of_any_length_is_laid_to_the_far_wall() {
    for width in [30_000.0, 120_000.0] {
        let mut plan = room(width, 1000.0);
        plan.stock.lengths = vec![BoardLength { length: 700.0, per_pack: 6 }];
        laid_whole(&plan);
    }
    // A kilometre of the shortest boards: ten thousand in a row.
    let mut plan = room(1_000_000.0, 250.0);
    plan.stock.lengths = vec![BoardLength { length: 100.0, per_pack: 6 }];
    (plan.rules.least_end, plan.rules.least_stagger) = (50.0, 50.0);
    laid_whole(&plan);
}

#[test]
fn a_run_no_boards_fit_by_the_rules_is_laid_all_the_same() {
    // Only whole boards may start and end a run here, and 5000 is no whole number of them.
    let mut plan = room(5020.0, 1000.0);
    plan.stock.lengths = vec![BoardLength { length: 2000.0, per_pack: 6 }];
    plan.rules.least_end = 2000.0;
    laid_whole(&plan);
}

#[test]
fn a_hole_that_touches_the_outline_is_a_hole() {
    let outer = ring(&[(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0)]);
    let hole = ring(&[(10.0, 2.0), (9.0, 1.0), (8.0, 2.0), (9.0, 3.0)]);
    assert_eq!(areas(&slice(&[outer, hole], &[-1.0, 5.0])), [[40.0 - 2.0]]);
}

#[test]
fn a_board_does_not_reach_along_a_spike() {
    let spiked =
        [(0.0, 0.0), (40.0, 0.0), (40.0, 10.0), (90.0, 10.0), (40.0, 10.000_01), (40.0, 20.0), (0.0, 20.0)];
    let bands = slice(&[ring(&spiked)], &[-1.0, 30.0]);
    assert_eq!(bands[0][0].outer.len(), 4);
    assert!(bands[0][0].outer.iter().all(|p| p.u <= 40.0), "{:?}", bands[0][0]);
}
