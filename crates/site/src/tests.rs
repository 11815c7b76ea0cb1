//! Small sites against closed-form areas.
#![allow(clippy::unwrap_used)]

use crate::{Ease, EdgeKind, eased, gap_range, spans, survey};
use plan::{Beyond, Covering, Doorway, Fixture, FixtureKind, Leaf, Plan, Point, Room, Side};

fn rectangle(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    vec![Point::new(x, y), Point::new(x + w, y), Point::new(x + w, y + h), Point::new(x, y + h)]
}

fn door(room: &str, wall: usize, at: f64, beyond: Beyond) -> Doorway {
    Doorway {
        leaf: Some(Leaf::swinging(Side::Near, 40.0)),
        beyond,
        ..Doorway::plain("door", room, wall, at, 800.0)
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

/// A hearth across a corner at 45°, 40 clear of which no board may lie, between walls with gaps of 10. It takes from the floor
/// all that lies nearer: the corner of legs 800 + 40 √2 from the walls, 10 of either gap taken off at both ends.
#[test]
fn a_wide_gap_goes_on_to_a_narrow_one_at_a_blunt_corner() {
    let legs = |gap: f64| 800.0 + gap * std::f64::consts::SQRT_2 - 20.0;
    let site = |outline: Vec<Point>, gap: f64| {
        let mut plan = Plan::new("t");
        plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
        let range = plan::GapRange { least: gap, greatest: gap };
        plan.fixtures
            .push(Fixture { gap: Some(range), ..Fixture::plain("Hearth", FixtureKind::Hearth, outline) });
        survey(&plan)
    };
    let corner = |by: f64| [(-by, 800.0 + by), (-by, -by), (800.0 + by, -by)].map(Point::from).to_vec();
    // Drawn on into the walls, or only up to them.
    for (by, gap) in [(100.0, 40.0), (100.0, 11.0), (100.0, 90.0), (0.0, 40.0)] {
        let site = site(corner(by), gap);
        near(site.boarded_area(), 3980.0 * 2980.0 - legs(gap) * legs(gap) / 2.0);
        let [region] = site.regions.as_slice() else { panic!("{}", site.regions.len()) };
        assert_eq!(region.edges().count(), 5, "{by}, {gap}");
    }
    // A second thing leaves it to the boolean operations: the narrow gap's wall ends before the wide one meets it.
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    let range = plan::GapRange { least: 40.0, greatest: 40.0 };
    plan.fixtures
        .push(Fixture { gap: Some(range), ..Fixture::plain("Hearth", FixtureKind::Hearth, corner(100.0)) });
    plan.fixtures.push(Fixture::plain("Column", FixtureKind::Column, rectangle(2000.0, 0.0, 15.0, 15.0)));
    plan.fixtures.push(Fixture::plain("Post", FixtureKind::Column, rectangle(2030.0, 0.0, 15.0, 15.0)));
    // Between the posts, 15 apart with gaps of 10, there is no floor: together they take 65 by 15 before the gap.
    let off = 3980.0 * 2980.0 - legs(40.0) * legs(40.0) / 2.0 - 65.0 * 15.0;
    assert!((survey(&plan).boarded_area() - off).abs() < 0.5, "{}", survey(&plan).boarded_area() - off);
}

/// The far room's wall runs out by 1 in 200: where boards go 25 under a lining it stands 0.125 further off than at the opening,
/// more than a throat reaches into its rooms. The floor goes on under the lining all the same, up to that wall's gap of 10:
/// at 3025 the wall stands at 3100 + 3025 / 200.
#[test]
fn under_a_lining_the_throat_reaches_a_wall_that_runs_out() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    let far = [(0.0, 3100.0), (4000.0, 3120.0), (4000.0, 6000.0), (0.0, 6000.0)];
    plan.rooms.push(Room::boarded("B", far.map(Point::from)));
    plan.doorways.push(Doorway { under_lining: Some(25.0), ..door("A", 2, 1000.0, Beyond::RunThrough) });
    let site = survey(&plan);
    let [region] = site.regions.as_slice() else { panic!("{}", site.regions.len()) };
    let jamb = region.edges().find(|e| e.kind == EdgeKind::Jamb && (e.a.u - 3025.0).abs() < 0.01).unwrap();
    let (low, high) = jamb.v_range();
    assert!((low - 2990.0).abs() < 0.01 && (high - 3115.125).abs() < 0.02, "{low} to {high}");
    // There the wall's gap begins, square to the wall, and nothing else stands out before it.
    let corners = region.edges().map(|e| e.a).filter(|p| (p.u - 3012.5).abs() < 20.0 && p.v > 3000.0);
    let corners: Vec<_> = corners.collect();
    let [a, b] = corners.as_slice() else { panic!("{corners:?}") };
    assert!((b.u - 3025.0).abs() < 0.06 && (b.v - a.v - 10.0).abs() < 0.02, "{corners:?}");
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
    d.leaf = Some(Leaf::swinging(Side::Near, 30.0));
    plan.doorways.push(d);
    let site = survey(&plan);
    let stop = site.regions[0].edges().find(|e| e.kind == EdgeKind::UnderLeaf).copied().unwrap();
    near(stop.a.u, 4000.0 + 15.0);
    assert_eq!(stop.gap, 0.0);
    // Before a track whose frame begins 22 mm in, 10 mm off it: at 12, whatever leaf there is.
    plan.doorways[0].stop = Some(12.0);
    let site = survey(&plan);
    let stop = site.regions[0].edges().find(|e| e.kind == EdgeKind::UnderLeaf).copied().unwrap();
    near(stop.a.u, 4000.0 + 12.0);
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
    plan.fixtures.push(Fixture::plain(
        "Bench",
        FixtureKind::Island,
        rectangle(1000.0, 1000.0, 2000.0, 900.0),
    ));
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
fn kinds_of_edges_keep_gaps_of_their_own() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 6000.0, 5000.0)));
    plan.rooms[0].walls[0].face = plan::WallFace::Glazing;
    plan.fixtures.push(fixture(FixtureKind::Column, rectangle(1000.0, 1000.0, 300.0, 300.0)));
    plan.fixtures
        .push(fixture(FixtureKind::TileArea { trim: 10.0 }, rectangle(3000.0, 1000.0, 900.0, 600.0)));
    plan.rules.tile_end_gap = 5.0;
    near(survey(&plan).boarded_area(), 5980.0 * 4980.0 - 320.0 * 320.0 - 910.0 * 620.0);
    let range = |least, greatest| Some(plan::GapRange { least, greatest });
    plan.rules.gaps.glazing = range(4.0, 6.0);
    plan.rules.gaps.columns = range(15.0, 15.0);
    plan.rules.gaps.tile_sides = range(7.0, 7.0);
    // By hand: 4 mm before the glazing, 15 round the column, 5 at the tile's ends and 7 at its sides.
    let site = survey(&plan);
    near(site.boarded_area(), 5980.0 * (5000.0 - 10.0 - 4.0) - 330.0 * 330.0 - 910.0 * 614.0);
    for edge in site.regions[0].edges() {
        let gap = gap_range(&plan, edge);
        assert_eq!((gap.least, gap.greatest), (edge.gap, edge.gap + edge.play), "{edge:?}");
    }
}

#[test]
fn boards_go_under_an_undercut_lining() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    plan.rooms.push(Room::boarded("B", rectangle(0.0, 3100.0, 4000.0, 3000.0)));
    plan.doorways.push(door("A", 2, 1000.0, Beyond::RunThrough));
    // 10 mm off each jamb: 780 wide through the wall and both gaps before it.
    near(survey(&plan).boarded_area(), 2.0 * 3980.0 * 2980.0 + 780.0 * 120.0);
    plan.doorways[0].under_lining = Some(20.0);
    let site = survey(&plan);
    near(site.boarded_area(), 2.0 * 3980.0 * 2980.0 + 840.0 * 120.0);
    let jambs: Vec<&crate::Edge> =
        site.regions[0].edges().filter(|edge| edge.kind == EdgeKind::Jamb).collect();
    assert_eq!(jambs.len(), 2);
    assert!(jambs.iter().all(|edge| edge.gap == -20.0 && gap_range(&plan, edge).least == -20.0));
    plan.doorways[0].beyond = Beyond::UnderLeaf;
    // Under the leaf the boards part by 5 mm.
    near(survey(&plan).boarded_area(), 2.0 * 3980.0 * 2980.0 + 840.0 * 115.0);
}

#[test]
fn a_kick_against_a_wall_tucks_on_its_open_sides_only() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 6000.0, 5000.0)));
    plan.fixtures.push(Fixture::plain(
        "Peninsula",
        FixtureKind::Kick { clearance: 17.0, tuck: 30.0 },
        rectangle(4000.0, 2000.0, 2000.0, 900.0),
    ));
    let site = survey(&plan);
    near(site.boarded_area(), 5980.0 * 4980.0 - (2000.0 - 30.0 - 10.0) * 840.0);
}

/// A wall that leans by 2 mm over the cabinet's depth leaves a slit beside it that no board comes through.
#[test]
fn a_kick_a_hair_off_a_leaning_wall_stands_against_it() {
    let house = |end: f64| {
        let mut plan = Plan::new("t");
        let corners = [(0.0, 0.0), (6000.0, 0.0), (6012.0, 5000.0), (0.0, 5000.0)];
        plan.rooms.push(Room::boarded("A", corners.map(Point::from)));
        let kick = FixtureKind::Kick { clearance: 17.0, tuck: 30.0 };
        plan.fixtures.push(fixture(kick, rectangle(4000.0, 2000.0, end - 4000.0, 900.0).to_vec()));
        survey(&plan)
    };
    // The wall stands at 6004.8 beside the kick's lower corner and at 6006.96 beside its upper one.
    let (off, into) = (house(6004.5), house(6020.0));
    // By hand: the wall's face less the gap stands at 6000 + 0.0024 v − 10 √(1 + 0.0024²). The floor inside the gaps from
    // v 10 to 4990, less what is left of the kick, from u 4030 and v 2030 to 2870.
    let inside = 4980.0 * 5979.9999712 + 0.0012 * (4990.0_f64 * 4990.0 - 100.0);
    let core = 840.0 * 1959.9999712 + 0.0012 * (2870.0_f64 * 2870.0 - 2030.0 * 2030.0);
    near(off.boarded_area(), inside - core);
    near(into.boarded_area(), inside - core);
    let is_kick = |region: &crate::Region| {
        region.holes.is_empty() && region.outer.edges.iter().any(|e| e.kind == EdgeKind::Kick)
    };
    assert!(off.regions.len() == 1 && off.regions.iter().all(is_kick), "it is no island");
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

fn gap(least: f64) -> Option<plan::GapRange> {
    Some(plan::GapRange { least, greatest: least.max(20.0) })
}

fn fixture(kind: FixtureKind, outline: Vec<Point>) -> Fixture {
    Fixture::plain(format!("thing {kind:?}"), kind, outline)
}

#[test]
fn a_needle_keeps_its_gap_at_the_point() {
    // A column pointed at 11°: its mitre would reach far, cut off square it stays one gap before the point.
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    let needle = [(2000.0, 1500.0), (1000.0, 1600.0), (1000.0, 1400.0)].map(|(x, y)| Point::new(x, y));
    plan.fixtures.push(fixture(FixtureKind::Column, needle.to_vec()));
    let site = survey(&plan);
    let hole = &site.regions[0].holes[0];
    let point = hole.edges.iter().map(|e| e.a.u).fold(f64::MIN, f64::max);
    near(point, 2010.0);
}

#[test]
fn walls_in_one_line_keep_a_gap_each() {
    // A window to the floor in the middle of a wall: three walls in one line.
    let mut plan = Plan::new("t");
    let corners = [(0.0, 0.0), (1000.0, 0.0), (2500.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)];
    plan.rooms.push(Room::boarded("A", corners.map(|(x, y)| Point::new(x, y))));
    plan.rooms[0].walls[1].face = plan::WallFace::Glazing;
    for angle in [0.0, 23.0] {
        plan.rows_at = angle;
        plan.rooms[0].walls[1].gap = gap(15.0);
        let site = survey(&plan);
        near(site.boarded_area(), 3980.0 * 2980.0 - 1500.0 * 5.0);
        // The same gap everywhere, and the window is still told from the wall.
        plan.rooms[0].walls[1].gap = None;
        let site = survey(&plan);
        let glazing: f64 =
            site.regions[0].edges().filter(|e| e.kind == EdgeKind::Glazing).map(crate::Edge::length).sum();
        near(glazing, 1500.0);
    }
}

#[test]
fn a_vent_that_touches_the_corner_is_cut_out_whichever_way_the_plan_lies() {
    let corners = [(0.0, 0.0), (3072.0, 0.0), (3072.0, 1000.0), (0.0, 1300.0)];
    let vent = [(0.0, 0.0), (600.0, 200.0), (300.0, 600.0)];
    let area = |turn: f64, angle: f64| {
        let placed = |list: &[(f64, f64)]| {
            list.iter().map(|(x, y)| Point::new(x * turn, y * turn)).collect::<Vec<_>>()
        };
        let mut plan = Plan::new("t");
        plan.rows_at = angle;
        plan.rooms.push(Room::boarded("A", placed(&corners)));
        plan.fixtures.push(fixture(FixtureKind::Vent, placed(&vent)));
        plan.fixtures[0].gap = gap(0.0);
        survey(&plan).boarded_area()
    };
    for angle in [0.0, 45.0, 90.0, -45.0, 30.0] {
        near(area(-1.0, angle), area(1.0, 0.0));
        near(area(1.0, angle), area(1.0, 0.0));
    }
}

#[test]
fn kicks_side_by_side_tuck_at_their_fronts_only() {
    // Three cabinets in a row in a corner: only their fronts and the free end are open.
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 6000.0, 4000.0)));
    for (x, width) in [(0.0, 600.0), (600.0, 800.0), (1400.0, 600.0)] {
        let kick = FixtureKind::Kick { clearance: 17.0, tuck: 30.0 };
        plan.fixtures.push(fixture(kick, rectangle(x, 3400.0, width, 600.0)));
    }
    for angle in [0.0, 31.0] {
        plan.rows_at = angle;
        let core = (2000.0 - 30.0 - 10.0) * (600.0 - 30.0 - 10.0);
        near(survey(&plan).boarded_area(), 5980.0 * 3980.0 - core);
    }
    // An island on the free end closes that too.
    plan.fixtures.push(fixture(FixtureKind::Island, rectangle(2000.0, 3400.0, 500.0, 600.0)));
    let (core, island) = ((2000.0 - 10.0) * 560.0, 510.0 * 600.0);
    let site = survey(&plan);
    near(site.bare_area, 6000.0 * 4000.0 - 2500.0 * 600.0);
    // The island keeps its own gap all round, over the 30 mm of its side that the tuck lays bare too.
    near(site.boarded_area(), 5980.0 * 3980.0 - core - island - 10.0 * 40.0);
}

#[test]
fn a_trim_wider_than_its_place_in_the_wall_stops_boards_in_the_room() {
    // A 70 mm trim centred under a leaf whose middle is 20 mm in reaches 15 mm into the room.
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    plan.doorways.push(door("A", 1, 1000.0, Beyond::Trim(70.0)));
    let site = survey(&plan);
    let trim = || site.regions[0].edges().filter(|e| e.kind == EdgeKind::Trim);
    let stop = trim().find(|e| !e.is_along_rows()).copied().unwrap();
    near(stop.a.u, 4000.0 - 15.0 - 5.0);
    near(stop.length(), 800.0 + 2.0 * 10.0);
    // Beside its ends boards keep their gap from the trim; no jamb stands in the room.
    let ends: Vec<_> = trim().filter(|e| e.is_along_rows()).map(|e| (e.a.v, e.gap)).collect();
    assert_eq!(ends.len(), 2);
    ends.iter().for_each(|(v, gap)| near((v - 1400.0).abs(), 400.0 + gap));
    assert!(site.regions[0].edges().all(|e| e.kind != EdgeKind::Jamb));
    // Where the wall keeps more than the trim stands out, what steps between the two is the end of the wall's gap.
    plan.rooms[0].walls[1].gap = Some(plan::GapRange { least: 30.0, greatest: 30.0 });
    let site = survey(&plan);
    let step = site.regions[0].edges().filter(|e| e.length() < 20.0).copied().collect::<Vec<_>>();
    assert!(step.iter().all(|e| (e.kind, e.gap) == (EdgeKind::Wall, 30.0)), "{step:?}");
    near(step.iter().map(|e| e.length()).sum(), 2.0 * (30.0 - 15.0 - 5.0));
    plan.rooms[0].walls[1].gap = None;
    // A wall that stands 40 mm back does not take the boards past the line under the leaf either.
    plan.doorways[0].beyond = Beyond::UnderLeaf;
    plan.rooms[0].walls[1].bow = vec![plan::Bow { along: 1400.0, back: 40.0 }];
    let site = survey(&plan);
    let farthest = site.regions[0].edges().map(|e| e.a).filter(|p| p.v > 1020.0 && p.v < 1780.0);
    assert!(farthest.map(|p| p.u).fold(0.0, f64::max) <= 4020.001);
}

/// A trim as wide as the leaf above it begins at the wall's face, here of a wall out of square: the boards end along the wall, as they
/// would without the doorway, wherever it stands and whichever way the house lies.
#[test]
fn a_trim_that_begins_at_the_walls_face_parts_no_edge() {
    for (place, lean) in (0..96).map(|case| (f64::from(case / 12), f64::from(case % 12))) {
        let mut hall = [(3.0, -4.0), (10726.0, lean - 4.0), (10723.0, 1670.0), (-2.0, 1669.0)];
        let mut den = [(7209.7, -2933.0), (10721.0, -2932.0), (10728.0, -95.0), (7214.7, -96.0)];
        for quarter in 0..4 {
            let mut plan = Plan::new("t");
            plan.rooms.push(Room::boarded("Hall", hall.map(|(x, y)| Point::new(x, y))));
            plan.rooms.push(Room::boarded("Den", den.map(|(x, y)| Point::new(x, y))));
            let mut door = door("Hall", 0, 8655.0 + 31.0 * place, Beyond::Trim(36.0));
            door.leaf = Some(Leaf::swinging(Side::Near, 36.0));
            plan.doorways.push(door);
            let site = survey(&plan);
            let of_hall = |region: &&crate::Region| region.area > 12e6;
            let edges = site.regions.iter().find(of_hall).unwrap().edges().count();
            assert_eq!(edges, 4, "{place}, leaning {lean}, {quarter} quarters");
            hall.iter_mut().chain(&mut den).for_each(|(x, y)| (*x, *y) = (-*y, *x));
        }
    }
}

/// The boarded area, which is the same at every angle where no gap depends on the rows.
#[track_caller]
fn same_at_every_angle(plan: &mut Plan) -> f64 {
    plan.rows_at = 0.0;
    let upright = survey(plan).boarded_area();
    for angle in -90..=90 {
        plan.rows_at = f64::from(angle);
        let area = survey(plan).boarded_area();
        assert!((area - upright).abs() < 10.0, "{area} at {angle}°, {upright} upright");
    }
    upright
}

#[test]
fn a_kick_that_goes_on_behind_a_round_wall_tucks_inside_the_room() {
    let mut plan = Plan::new("t");
    plan.rules.wall_gap = plan::GapRange { least: 0.0, greatest: 0.0 };
    let round = (0..46).map(|i| f64::from(i) * std::f64::consts::TAU / 46.0);
    let wall = round.map(|turn| Point::new(800.0 * libm::cos(turn), 800.0 * libm::sin(turn)));
    plan.rooms.push(Room::boarded("A", wall));
    let corners = [(-1200.0, -800.0), (800.0, -600.0), (-200.0, -200.0)].map(|(x, y)| Point::new(x, y));
    plan.fixtures.push(fixture(FixtureKind::Kick { clearance: 17.0, tuck: 30.0 }, corners.to_vec()));
    let tucked = same_at_every_angle(&mut plan) - survey(&plan).bare_area;
    // The sides show 849, 867 and 521 mm in the room: 30 mm under each, less where they meet and end.
    assert!((65_500.0..67_100.0).contains(&tucked), "{tucked}");
}

#[test]
fn a_doorway_out_of_square_at_a_corner_leaves_no_chip_with_a_gap_of_its_own() {
    let mut plan = Plan::new("t");
    let corners =
        [(0.0, 1064.5), (310.4, 1064.3), (308.2, -3.5), (-3.0, -1.7)].map(|(x, y)| Point::new(x, y));
    plan.rooms.push(Room::boarded("A", corners));
    plan.rooms[0].walls[0].gap = gap(90.0);
    plan.rooms[0].walls[3].gap = gap(0.0);
    plan.doorways.push(Doorway { width: 310.4, ..door("A", 0, 0.0, Beyond::UnderLeaf) });
    same_at_every_angle(&mut plan);
}

/// A wall jogs by 0.15 a metre from its lower end. The metre turns and the two above stay, so that the floor is that of a wall drawn
/// so; whatever corners are drawn in the middle of the straight wall, and whichever way round the jog goes.
#[test]
fn beside_a_jog_the_shorter_straight_stretch_turns_whatever_corners_it_has() {
    let area = |below: &[f64], above: &[f64], jog: f64, is_drawn_turned: bool| {
        let mut plan = Plan::new("t");
        let mut corners = vec![(0.0, 0.0), (4000.0, 0.0)];
        corners.extend(below.iter().map(|y| (4000.0, *y)));
        corners.extend((!is_drawn_turned).then_some((4000.0, 1000.0)));
        corners.push((4000.0 + jog, 1000.0));
        corners.extend(above.iter().map(|y| (4000.0 + jog, *y)));
        corners.extend([(4000.0 + jog, 3000.0), (0.0, 3000.0)]);
        plan.rooms.push(Room::boarded("A", corners.iter().map(|(x, y)| Point::new(*x, *y))));
        let upright = same_at_every_angle(&mut plan);
        for wall in &mut plan.rooms[0].walls {
            wall.corner.x = -wall.corner.x;
        }
        plan.rooms[0].walls.reverse();
        near(same_at_every_angle(&mut plan), upright);
        upright
    };
    for jog in [0.15, -0.15] {
        let turned = area(&[], &[], jog, true);
        let needless: [(&[f64], &[f64]); 5] = [
            (&[], &[]),
            (&[], &[1100.0]),
            (&[600.0], &[]),
            (&[100.0, 900.0], &[1500.0, 2999.0]),
            (&[990.0], &[1020.0]),
        ];
        for (below, above) in needless {
            let healed = area(below, above, jog, false);
            assert!((healed - turned).abs() < 0.5, "{below:?} {above:?} {jog}: {healed} and {turned}");
        }
    }
}

#[test]
fn two_lobes_joined_by_a_strip_keep_their_corners() {
    let mut plan = Plan::new("t");
    plan.rules.wall_gap = plan::GapRange { least: 5.0, greatest: 5.0 };
    let corners = [
        (0.0, 0.0),
        (0.0, 1258.0),
        (-564.0, 1258.0),
        (-564.0, 1989.0),
        (500.0, 1989.0),
        (500.0, 3247.0),
        (-3152.0, 3247.0),
        (-3152.0, 1989.0),
        (-584.0, 1989.0),
        (-584.0, 1258.0),
        (-2752.0, 1258.0),
        (-2752.0, 0.0),
    ];
    plan.rooms.push(Room::boarded("A", corners.map(|(x, y)| Point::new(x, y))));
    let kick = [(500.0, 1247.0), (499.333, 3247.0), (498.0, 2247.0)].map(|(x, y)| Point::new(x, y));
    plan.fixtures.push(fixture(FixtureKind::Kick { clearance: 17.0, tuck: 1.0 }, kick.to_vec()));
    for angle in -90..=90 {
        plan.rows_at = f64::from(angle);
        // Two lobes and the strip, which goes 5 mm on into each.
        let area = survey(&plan).boarded_area();
        let expected = 3642.0 * 1248.0 + 2742.0 * 1248.0 + 10.0 * 741.0;
        assert!((area - expected).abs() < 2000.0, "{area} at {angle}°, {expected}");
    }
}

#[test]
fn spans_are_the_floor_between_facing_edges() {
    let mut plan = Plan::new("t");
    plan.rules.wall_gap = plan::GapRange { least: 0.0, greatest: 4.0 };
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    plan.fixtures.push(Fixture::plain(
        "Island",
        FixtureKind::Island,
        rectangle(1000.0, 500.0, 2000.0, 900.0),
    ));
    let site = survey(&plan);
    let mut found: Vec<_> =
        spans(&site.regions[0]).iter().map(|s| (s.from, s.to, s.heights[0], s.heights[1])).collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.2.total_cmp(&b.2)));
    let sides = [(0.0, 1000.0, 3000.0, 3000.0), (3000.0, 4000.0, 3000.0, 3000.0)];
    let about_island = [(1000.0, 3000.0, 500.0, 500.0), (1000.0, 3000.0, 1600.0, 1600.0)];
    assert_eq!(found, [sides[0], about_island[0], about_island[1], sides[1]]);
}

#[test]
fn an_eased_edge_moves_across_the_rows_and_runs_on_to_its_neighbours() {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", rectangle(0.0, 0.0, 4000.0, 3000.0)));
    let site = survey(&plan);
    assert!(site.regions[0].outer.edges.iter().all(|edge| edge.play == 4.0));
    let ease = |edge: usize, start: f64, end: f64| Ease { region: 0, ring: 0, edge, start, end };
    // The lower edge rises by 3 all along; the upper, walked from right to left, falls by nothing to 2.
    let moved = eased(&site, &[ease(2, 0.0, 2.0), ease(0, 3.0, 3.0)]);
    near(moved.boarded_area(), 3980.0 * 2980.0 - 3980.0 * 3.0 - 3980.0 * 2.0 / 2.0);
    let corners: Vec<_> = moved.regions[0].outer.edges.iter().map(|e| (e.a.u, e.a.v)).collect();
    assert_eq!(corners, [(10.0, 13.0), (3990.0, 13.0), (3990.0, 2990.0), (10.0, 2988.0)]);
    let gaps: Vec<f64> = moved.regions[0].outer.edges.iter().map(|e| e.gap).collect();
    assert_eq!(gaps, [13.0, 10.0, 11.0, 10.0]);
    assert_eq!(eased(&site, &[]), site);
}

/// A wall out of true by 60 in 3980 that meets walls aslant, one leaning out by a fifth and one leaning in by a tenth. Its lower
/// end is moved up by 5, to a row line: there it lies on the line and on its neighbour, to the last bit, so that no chip is left
/// below the line. Arithmetic.
#[test]
fn an_eased_end_lies_on_its_row_line_however_its_neighbour_leans() {
    for lean in [-0.2, 0.0, 0.1] {
        let mut plan = Plan::new("t");
        plan.rules.wall_gap = plan::GapRange { least: 0.0, greatest: 8.0 };
        let corners = [(0.0, 0.0), (4000.0, 60.0), (4000.0, 3000.0), (lean * 3000.0, 3000.0)];
        plan.rooms.push(Room::boarded("A", corners.map(|(x, y)| Point::new(x, y))));
        let site = survey(&plan);
        let edges = &site.regions[0].outer.edges;
        let is_lower = |edge: &crate::Edge| edge.source == crate::Source::Wall { room: 0, wall: 0 };
        let edge = edges.iter().position(is_lower).unwrap();
        let moved = eased(&site, &[Ease { region: 0, ring: 0, edge, start: 5.0, end: 0.0 }]);
        let wall = moved.regions[0].outer.edges[edge];
        assert_eq!((wall.a.v, wall.b), (edges[edge].a.v + 5.0, edges[edge].b), "{lean}");
        near(wall.a.u, lean * 5.0);
    }
}
