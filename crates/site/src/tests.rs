//! Small sites against closed-form areas.
#![allow(clippy::unwrap_used)]

use crate::{EdgeKind, survey};
use plan::{Beyond, Covering, Doorway, Fixture, FixtureKind, Leaf, Lining, Plan, Point, Room, Side};

fn rectangle(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    vec![Point::new(x, y), Point::new(x + w, y), Point::new(x + w, y + h), Point::new(x, y + h)]
}

fn door(room: &str, wall: usize, at: f64, beyond: Beyond) -> Doorway {
    Doorway {
        name: "door".into(),
        room: room.into(),
        wall,
        at,
        width: 800.0,
        rough_width: None,
        wall_thickness: 100.0,
        leaf: Some(Leaf { closes_on: Side::Near, thickness: 40.0 }),
        lining: Lining::ToCome,
        beyond,
    }
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-6 * b.abs(), "{a} is not {b}");
}

#[test]
fn a_rectangle_loses_its_gap_all_round() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    let site = survey(&plan);
    assert_eq!(site.regions.len(), 1);
    near(site.bare_area, 4000.0 * 3000.0);
    near(site.boarded_area(), 3980.0 * 2980.0);
    let corners: Vec<_> = site.regions[0].outer.edges.iter().map(|e| (e.a.u, e.a.v)).collect();
    assert_eq!(corners, [(10.0, 10.0), (3990.0, 10.0), (3990.0, 2990.0), (10.0, 2990.0)]);
}

#[test]
fn each_wall_keeps_its_own_gap() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    plan.rooms[0].walls[1].gap = Some(plan::GapRange { least: 25.0, greatest: 30.0 });
    plan.rooms[0].walls[2].gap = Some(plan::GapRange { least: 0.0, greatest: 3.0 });
    near(survey(&plan).boarded_area(), (4000.0 - 10.0 - 25.0) * (3000.0 - 10.0));
}

#[test]
fn rooms_join_through_a_throat() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    plan.rooms.push(Room::boarded("B", rectangle(0.0, 3100.0, 4000.0, 2000.0)));
    plan.doorways.push(door("A", 2, 1000.0, Beyond::RunThrough));
    let site = survey(&plan);
    assert_eq!(site.regions.len(), 1);
    near(site.bare_area, 4000.0 * 3000.0 + 4000.0 * 2000.0 + 800.0 * 100.0);
    // The throat loses its two jamb gaps over its depth and the walls' gaps on both faces.
    near(site.boarded_area(), 3980.0 * 2980.0 + 3980.0 * 1980.0 + 780.0 * 120.0);
    let jambs = site.regions[0].edges().filter(|e| e.kind == EdgeKind::Jamb).count();
    assert_eq!(jambs, 2);
}

#[test]
fn boards_stop_half_the_leaf_in() {
    // A 30 mm leaf closing on the room's face stops the boards 15 mm in (common practice, no source).
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    let mut d = door("A", 1, 1000.0, Beyond::UnderLeaf);
    d.leaf = Some(Leaf { closes_on: Side::Near, thickness: 30.0 });
    plan.doorways.push(d);
    let site = survey(&plan);
    let stop = site.regions[0].edges().find(|e| e.kind == EdgeKind::UnderLeaf).copied().unwrap();
    near(stop.a.u, 4000.0 + 15.0);
    assert_eq!(stop.gap, 0.0);
}

#[test]
fn a_trim_parts_two_boarded_rooms() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    plan.rooms.push(Room::boarded("B", rectangle(4100.0, 0.0, 2000.0, 3000.0)));
    plan.doorways.push(door("A", 1, 1000.0, Beyond::Trim(30.0)));
    let site = survey(&plan);
    assert_eq!(site.regions.len(), 2);
    let mut stops: Vec<f64> = site
        .regions
        .iter()
        .flat_map(|r| r.edges())
        .filter(|e| e.kind == EdgeKind::Trim)
        .map(|e| e.a.u)
        .collect();
    stops.sort_by(f64::total_cmp);
    near(stops[0], 4020.0 - 15.0 - 5.0);
    near(stops[1], 4020.0 + 15.0 + 5.0);
    near(site.bare_area, 4000.0 * 3000.0 + 2000.0 * 3000.0 + 800.0 * 70.0);
}

#[test]
fn fixtures_are_cut_out_and_kicks_tuck_under() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 6000.0, 5000.0)));
    plan.fixtures.push(Fixture {
        name: "Bench".into(),
        kind: FixtureKind::Island,
        gap: None,
        outline: rectangle(1000.0, 1000.0, 2000.0, 900.0),
    });
    let site = survey(&plan);
    near(site.bare_area, 6000.0 * 5000.0 - 2000.0 * 900.0);
    near(site.boarded_area(), 5980.0 * 4980.0 - 2020.0 * 920.0);
    plan.fixtures[0].kind = FixtureKind::Kick { clearance: 17.0, tuck: 30.0 };
    let site = survey(&plan);
    near(site.bare_area, 6000.0 * 5000.0 - 2000.0 * 900.0);
    near(site.boarded_area(), 5980.0 * 4980.0 - 1940.0 * 840.0);
    assert!(site.regions[0].holes[0].edges.iter().all(|e| e.kind == EdgeKind::Kick && e.gap == -30.0));
}

#[test]
fn a_kick_against_a_wall_tucks_on_its_open_sides_only() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 6000.0, 5000.0)));
    plan.fixtures.push(Fixture {
        name: "Peninsula".into(),
        kind: FixtureKind::Kick { clearance: 17.0, tuck: 30.0 },
        gap: None,
        outline: rectangle(4000.0, 2000.0, 2000.0, 900.0),
    });
    let site = survey(&plan);
    near(site.boarded_area(), 5980.0 * 4980.0 - (2000.0 - 30.0 - 10.0) * 840.0);
}

#[test]
fn the_area_does_not_turn_with_the_rows_where_all_gaps_are_one() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    plan.rooms.push(Room {
        covering: Covering::Other("stone".into()),
        ..Room::boarded("S", rectangle(5000.0, 0.0, 1.0e3, 1.0e3))
    });
    for angle in [0.0, 17.0, 45.0, 90.0, -33.0] {
        plan.rows_at = angle;
        near(survey(&plan).boarded_area(), 3980.0 * 2980.0);
    }
    near(survey(&plan).rooms[1].area, 1.0e6);
}
