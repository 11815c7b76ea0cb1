//! Movement joints across rooms worked out by hand, areas by arithmetic.
#![allow(clippy::unwrap_used)]

use crate::{Edge, EdgeKind, Site, Source, survey};
use plan::{Fixture, FixtureKind, MovementJoint, Plan, Point, Room};

fn rect(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from).to_vec()
}

/// A room 6 m by 4 m with a joint; walls keep 10 mm.
fn hall(from: (f64, f64), to: (f64, f64)) -> Plan {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("Hall", rect(0.0, 0.0, 6000.0, 4000.0)));
    plan.joints.push(MovementJoint::new(from.into(), to.into()));
    plan
}

fn joint_edges(site: &Site) -> Vec<&Edge> {
    site.regions.iter().flat_map(|r| r.edges()).filter(|e| e.kind == EdgeKind::MovementJoint).collect()
}

#[test]
fn a_joint_parts_the_floor_and_takes_its_width() {
    let site = survey(&hall((0.0, 1500.0), (6000.0, 1500.0)));
    assert_eq!(site.regions.len(), 2);
    // 5980 between the gaps; 10 to 1495 and 1505 to 3990 across.
    let areas: Vec<f64> = site.regions.iter().map(|r| r.area).collect();
    assert!(
        (areas[0] - 5980.0 * 1485.0).abs() < 1.0 && (areas[1] - 5980.0 * 2485.0).abs() < 1.0,
        "{areas:?}"
    );
    let edges = joint_edges(&site);
    assert_eq!(edges.len(), 2);
    for edge in edges {
        assert_eq!((edge.source, edge.gap, edge.play), (Source::Joint(0), 5.0, 0.0));
        assert!((edge.length() - 5980.0).abs() < 0.01);
    }
    // The floor before its gaps is what it was.
    assert!((site.bare_area - 24e6).abs() < 1.0);
}

/// A wall jogs by 0.15 at 2900 of 6000, so that the 2900 before it turn. Of the rest, which stays at 4000, a joint at 3000 leaves 95 on
/// its one side: they lie 10 off the wall like those on the other.
#[test]
fn a_jog_beside_a_joint_is_healed_as_without_it() {
    let mut plan = hall((3000.0, 0.0), (3000.0, 4000.0));
    let corners =
        [(0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (2900.0, 4000.0), (2900.0, 4000.15), (0.0, 4000.15)];
    plan.rooms[0] = Room::boarded("Hall", corners.map(Point::from));
    let site = survey(&plan);
    assert_eq!(site.regions.len(), 2);
    for (from, to) in [(2900.0, 2995.0), (3005.0, 5990.0)] {
        let is_it = |edge: &&Edge| {
            edge.kind == EdgeKind::Wall
                && edge.a.v > 3000.0
                && (edge.b.u - from).abs() + (edge.a.u - to).abs() < 0.1
        };
        let edge = site.regions.iter().flat_map(|region| region.edges()).find(is_it).unwrap();
        assert!((edge.a.v - 3990.0).abs().max((edge.b.v - 3990.0).abs()) < 1e-4, "{edge:?}");
    }
}

#[test]
fn an_end_near_a_wall_reaches_it_and_one_far_off_ends_in_the_floor() {
    // Drawn short of one wall and past the other, by less than a hand's breadth.
    assert_eq!(survey(&hall((60.0, 1500.0), (6080.0, 1500.0))).regions.len(), 2);
    let site = survey(&hall((500.0, 1500.0), (6000.0, 1500.0)));
    assert_eq!(site.regions.len(), 1);
    // Both sides and the end of the opening.
    assert_eq!(joint_edges(&site).len(), 3);
    let expected = 5980.0 * 3980.0 - 5490.0 * 10.0;
    assert!((site.regions[0].area - expected).abs() < 1.0, "{}", site.regions[0].area);
}

#[test]
fn nearly_along_the_rows_is_along_them() {
    // 40 mm out over 6 m: less than a degree.
    let site = survey(&hall((0.0, 1480.0), (6000.0, 1520.0)));
    for edge in joint_edges(&site) {
        assert!((edge.a.v - edge.b.v).abs() < 0.01 && (edge.a.v - 1500.0).abs() < 5.01);
    }
    // Two degrees are meant.
    let site = survey(&hall((0.0, 1400.0), (6000.0, 1610.0)));
    let edges = joint_edges(&site);
    assert!(edges.iter().all(|edge| (edge.a.v - edge.b.v).abs() > 200.0), "{edges:#?}");
}

#[test]
fn one_line_goes_on_past_a_fixture_on_both_its_sides() {
    let mut plan = hall((0.0, 2000.0), (6000.0, 2000.0));
    plan.fixtures.push(Fixture::plain("Island", FixtureKind::Island, rect(2000.0, 1500.0, 1500.0, 1000.0)));
    let site = survey(&plan);
    assert_eq!(site.regions.len(), 2);
    let mut lengths: Vec<f64> = joint_edges(&site).iter().map(|edge| edge.length()).collect();
    lengths.sort_by(f64::total_cmp);
    // Wall at 10 to the island's gap at 1990; from 3510 to 5990.
    for (found, expected) in lengths.iter().zip([1980.0, 1980.0, 2480.0, 2480.0]) {
        assert!((found - expected).abs() < 0.01, "{lengths:?}");
    }
}

#[test]
fn boards_under_a_kick_are_parted_too() {
    let mut plan = hall((0.0, 2000.0), (6000.0, 2000.0));
    plan.fixtures.push(Fixture::plain(
        "Bench",
        FixtureKind::Kick { clearance: 17.0, tuck: 30.0 },
        rect(2000.0, 1500.0, 1500.0, 1000.0),
    ));
    let site = survey(&plan);
    assert_eq!(site.regions.len(), 2);
    let mut lengths: Vec<f64> = joint_edges(&site).iter().map(|edge| edge.length()).collect();
    lengths.sort_by(f64::total_cmp);
    // 30 mm under the bench's front at 2000, and from 30 inside its back at 3500.
    assert!((lengths[0] - 2020.0).abs() < 0.01 && (lengths[3] - 2520.0).abs() < 0.01, "{lengths:?}");
}

#[test]
fn a_joint_on_no_floor_changes_nothing() {
    let away = survey(&hall((0.0, 9000.0), (6000.0, 9000.0)));
    let without = survey(&Plan { joints: Vec::new(), ..hall((0.0, 0.0), (1.0, 1.0)) });
    assert_eq!(away, without);
}

#[test]
fn a_kept_patch_knows_its_joints() {
    let mut surveyor = crate::Surveyor::default();
    let mut plan = hall((0.0, 1500.0), (6000.0, 1500.0));
    for y in [1500.0, 1700.0, 900.0] {
        plan.joints[0].from.y = y;
        plan.joints[0].to.y = y;
        assert_eq!(surveyor.survey(&plan), survey(&plan));
    }
    plan.joints.clear();
    assert_eq!(surveyor.survey(&plan), survey(&plan));
}

#[test]
fn an_end_near_another_joint_reaches_it() {
    let mut plan = hall((0.0, 1500.0), (6000.0, 1500.0));
    plan.joints.push(MovementJoint::new(Point::new(2500.0, 0.0), Point::new(2500.0, 1440.0)));
    let site = survey(&plan);
    assert_eq!(site.regions.len(), 3);
    // 10 to 1495 high below, less the second's 10 mm.
    let below: f64 = site.regions.iter().filter(|r| r.outer.edges[0].a.v < 20.0).map(|r| r.area).sum();
    assert!((below - 5970.0 * 1485.0).abs() < 1.0, "{below}");
}

/// A joint that runs into a wall at under a degree: on the way there a strip of itself lies between wall and floor, and the
/// floor keeps the wall's gap all the same.
#[test]
fn beside_a_joint_that_runs_along_a_wall_the_walls_gap_is_kept() {
    let mut plan = hall((5960.0, -50.0), (6020.0, 4050.0));
    // Well off the rows, or the joint would be laid true with them.
    plan.rows_at = 10.0;
    let site = survey(&plan);
    assert_eq!(site.regions.len(), 2);
    let left = &site.regions.iter().find(|region| region.area > 1e6).unwrap();
    for edge in left.edges() {
        let corner = site.frame.plan_from_row(edge.a);
        assert!(corner.x <= 5990.0 + 1e-6, "{corner:?}");
    }
    // The joint's side leans by 60 in 4100 and lies half of 10 mm off its middle; it comes to the wall's gap, x = 5990,
    // at y = 2341.703. Below that the floor ends at the side, above it at the gap.
    let lean = 60.0 / 4100.0;
    let side = |y: f64| 5960.0 + (y + 50.0) * lean - 5.0 * (1.0_f64 + lean * lean).sqrt();
    let met = (5990.0 - side(0.0)) / lean;
    assert!((met - 2341.703).abs() < 0.001, "{met}");
    let expected = (met - 10.0) * ((side(10.0) + side(met)) / 2.0 - 10.0) + (3990.0 - met) * 5980.0;
    assert!((left.area - expected).abs() < 1.0, "{} {expected}", left.area);
    // The strip on the other side: a triangle from its gap to where the joint's other side meets the wall's.
    let strip = site.regions.iter().find(|region| region.area < 1e6).unwrap();
    let wide = 5990.0 - (side(10.0) + 10.0 * (1.0_f64 + lean * lean).sqrt());
    assert!((strip.area - wide * wide / lean / 2.0).abs() < 1.0, "{}", strip.area);
}
