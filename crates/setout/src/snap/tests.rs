//! Pulls of a line, worked out by hand.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::set_out;
use plan::{GapRange, Room};

fn stretch(v: f64) -> Stretch {
    Stretch { region: 0, v, left: 10.0, right: 3990.0 }
}

/// The walls whose corners two pulls and a check start from, of corners numbered as they are listed.
fn pulled(corners: &[(f64, f64)]) -> (Vec<usize>, Option<usize>) {
    let site = site::survey(&Plan::new("t"));
    let corner = |(wall, (u, v)): (usize, &(f64, f64))| Corner { room: 0, wall, at: Uv::new(*u, *v) };
    let corners: Vec<Corner> = corners.iter().enumerate().map(corner).collect();
    let (pulls, check) = choose_pulls(&site, &stretch(0.0), &corners);
    (pulls.iter().map(|pull| pull.wall).collect(), check.map(|pull| pull.wall))
}

/// Corners 4000 and 4100 from the first: 100 more between the pulls does not make up for one that is 1900 longer.
#[test]
fn short_pulls_are_taken_before_ones_a_little_further_apart() {
    assert_eq!(pulled(&[(0.0, 500.0), (4000.0, 600.0), (4100.0, 2500.0)]).0, [0, 1]);
}

/// The check comes from the corner farthest from the line, here 2500 before 900, since it shows most; one on the other side
/// goes before all of them, however near.
#[test]
fn the_check_comes_from_far_away_and_rather_from_the_other_side() {
    let mut corners = vec![(0.0, 500.0), (4000.0, 600.0), (4100.0, 2500.0), (2000.0, 900.0)];
    assert_eq!(pulled(&corners), (vec![0, 1], Some(2)));
    corners.push((1000.0, -700.0));
    assert_eq!(pulled(&corners), (vec![0, 1], Some(4)));
}

fn plan(corners: &[(f64, f64)]) -> Plan {
    let mut plan = Plan::new("t");
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.rooms.push(Room::boarded("Hall", corners.iter().map(|p| Point::from(*p))));
    plan
}

/// Wherever the house lies, all corners within 8 m of the line are found, and none nearer than two tapes' widths.
#[test]
fn corners_are_found_on_both_sides_of_a_line() {
    for off in [-20_000.0, -2000.0, 0.0, 30_000.0] {
        let (low, high) = (off, off + 5000.0);
        let plan = plan(&[(0.0, low), (4000.0, low), (4000.0, high), (0.0, high)]);
        let site = site::survey(&plan);
        let corners = Corners::new(&plan, &site);
        let found = |v: f64| -> Vec<usize> {
            let mut walls: Vec<usize> =
                corners.reaching(&site, &stretch(off + v)).iter().map(|corner| corner.wall).collect();
            walls.sort_unstable();
            walls
        };
        assert_eq!(found(4000.0), [0, 1, 2, 3], "{off}");
        assert_eq!(found(4930.0), [0, 1], "{off}");
    }
}

/// The lower wall rises by 60 over its 4000; a tape down to its far corner meets the rip that lies along it.
#[test]
fn the_first_rip_of_a_pull_lies_along_the_wall_it_starts_from() {
    let mut plan = plan(&[(0.0, 0.0), (4000.0, 60.0), (4000.0, 2000.0), (0.0, 2000.0)]);
    plan.rows_at = 0.0;
    let site = site::survey(&plan);
    let chosen = set_out(&plan, &site).chosen;
    let line = stretch(500.0);
    let floor = Floor::around(&site, &line, CLEAR, LONGEST_CHECK);
    let corner = Point::new(4000.0, 60.0);
    let pull =
        Pull { letter: 'A', room: 0, wall: 1, corner, foot: Point::new(4000.0, 500.0), distance: 440.0 };
    let rip = &chosen.rips[first_rip(&site, &chosen, &line, &floor, &pull).unwrap()];
    let edge = edge_of(&site.regions[0], rip).unwrap();
    assert_eq!(edge.source, site::Source::Wall { room: 0, wall: 0 });
}

/// Two rows of 100 in a floor of 200, more than a board of 182.6: the line lies 110 from every corner, nearer than a tape is held;
/// a rule reaches that.
#[test]
fn a_floor_of_two_rows_is_snapped_from_corners_near_by() {
    let mut plan = plan(&[(0.0, 0.0), (5000.0, 0.0), (5000.0, 220.0), (0.0, 220.0)]);
    plan.stock.face_width = 182.6;
    let set = set_out(&plan, &site::survey(&plan));
    let line = set.line.unwrap();
    let pulls: Vec<f64> = line.pulls.iter().map(|pull| pull.distance).collect();
    assert_eq!(pulls.len(), 2, "{line:?}");
    assert!(pulls.iter().all(|pull| (pull - 110.0).abs() < 1e-6), "{pulls:?}");
    assert!(line.check.is_some() && line.first_rip.is_some(), "{line:?}");
}
