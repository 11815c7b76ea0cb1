//! Continuous floor and sliding boards on rooms worked out by hand.
#![allow(clippy::unwrap_used)]

use crate::{Fit, fit};
use plan::{Beyond, Doorway, Fixture, FixtureKind, Leaf, Lining, Plan, Point, Room, Side};
use site::EdgeKind;

pub(crate) fn corners(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Point::new(x, y)).to_vec()
}

pub(crate) fn two_rooms(lining: Lining) -> Plan {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", corners(0.0, 0.0, 4000.0, 3000.0)));
    plan.rooms.push(Room::boarded("B", corners(0.0, 3100.0, 5000.0, 2000.0)));
    plan.doorways.push(Doorway {
        name: "Door".into(),
        room: "A".into(),
        wall: 2,
        at: 1000.0,
        width: 800.0,
        rough_width: None,
        wall_thickness: 100.0,
        leaf: Some(Leaf { closes_on: Side::Near, thickness: 40.0, above_slab: None }),
        lining,
        beyond: Beyond::RunThrough,
        under_lining: None,
        arris: None,
        outside: None,
    });
    plan
}

pub(crate) fn fitted(plan: &Plan) -> (lay::Floor, Fit) {
    let site = site::survey(plan);
    let floor = lay::lay(plan, &site, &setout::set_out(plan, &site));
    let fit = fit(plan, &site, &floor);
    (floor, fit)
}

#[test]
fn width_is_counted_through_a_doorway_and_length_along_the_longest_row() {
    let (_, fit) = fitted(&two_rooms(Lining::ToCome));
    assert_eq!((fit.widths.len(), fit.lengths.len()), (1, 1));
    // From gap to gap: 3000 + 100 + 2000 less 10 at each end; 5000 less 20.
    assert!((fit.widths[0].extent - 5080.0).abs() < 0.1);
    assert!((fit.lengths[0].extent - 4980.0).abs() < 0.1);
}

#[test]
fn a_trim_ends_continuous_floor() {
    let mut plan = two_rooms(Lining::ToCome);
    plan.doorways[0].beyond = Beyond::Trim(20.0);
    let (_, fit) = fitted(&plan);
    let mut widths: Vec<f64> = fit.widths.iter().map(|w| w.extent).collect();
    widths.sort_by(f64::total_cmp);
    assert_eq!(widths.len(), 2);
    // The trim's middle stands 20 in from A's face: 3020 less the trim's half, its gap and A's gap.
    assert!((widths[1] - (3020.0 - 10.0 - 10.0 - 10.0)).abs() < 0.1, "{widths:?}");
}

#[test]
fn boards_slide_under_fitted_jambs_and_kicks_only() {
    let (_, fit) = fitted(&two_rooms(Lining::ToCome));
    assert!(fit.slides.is_empty());
    let (floor, fit) = fitted(&two_rooms(Lining::Fitted));
    assert!(!fit.slides.is_empty());
    for slide in &fit.slides {
        let board = &floor.boards[slide.board];
        assert_eq!(slide.under, EdgeKind::Jamb);
        let high = board.outline.outer.iter().map(|p| p.v).fold(0.0, f64::max);
        assert!(high > 2980.0 && board.right > 990.0 && board.left < 3010.0, "{}", board.label);
    }
    let mut plan = two_rooms(Lining::ToCome);
    plan.fixtures.push(Fixture {
        name: "Bench".into(),
        kind: FixtureKind::Kick { clearance: 17.0, tuck: 30.0 },
        gap: None,
        cover: None,
        appliance: None,
        outline: corners(1500.0, 1000.0, 1000.0, 600.0),
    });
    let (floor, fit) = fitted(&plan);
    assert!(fit.slides.iter().all(|s| s.under == EdgeKind::Kick));
    // Front and back rows along its length, and every row at its two ends.
    let rows: std::collections::BTreeSet<i32> =
        fit.slides.iter().map(|s| floor.boards[s.board].row).collect();
    assert!(rows.len() >= 4, "{rows:?}");
}
