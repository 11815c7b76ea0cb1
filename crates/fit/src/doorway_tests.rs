//! Doorways, levels, covers and tucks on rooms worked out by hand.
#![allow(clippy::unwrap_used)]

use crate::tests::{corners, fitted, two_rooms};
use crate::{Covered, CoveredBy, Finish, Fit, Step, TuckWay as Way};
use plan::{
    Appliance, Arris, Beyond, Covering, Fixture, FixtureKind, GapRange, Leaf, Lining, Plan, Side, Skirting,
    Surface, SurfaceKind,
};
use site::{EdgeKind, Source};

fn fit(plan: &Plan) -> Fit {
    fitted(plan).1
}

/// Boards in A, another floor in B, ended under a 30 mm leaf flush with A's face.
fn under_leaf(kind: SurfaceKind, height: f64) -> Plan {
    let mut plan = two_rooms(Lining::ToCome);
    plan.rooms[1].covering = Covering::Other("what lies there".into());
    plan.rooms[1].surface = Some(Surface { kind, height });
    plan.doorways[0].beyond = Beyond::UnderLeaf;
    plan.doorways[0].leaf = Some(Leaf::swinging(Side::Near, 30.0));
    plan
}

#[track_caller]
fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-6, "{found} for {expected}");
}

/// Common practice, no source: a 30 mm leaf flush with the room-side face of the lining gives 15 mm in from it.
#[test]
fn boards_stop_under_the_middle_of_the_leaf() {
    let plan = under_leaf(SurfaceKind::Carpet, 17.0);
    let fit = fit(&plan);
    let [stop] = fit.doorways[0].stops[..] else { panic!("{:?}", fit.doorways[0].stops) };
    assert_eq!(stop.boards, Side::Near);
    for jamb in 0..2 {
        near(stop.pulls()[jamb], 15.0);
        // The wall is 100 thick.
        near(stop.from_far[jamb], 85.0);
        near(stop.off_jambs[jamb], 10.0);
    }
    near(stop.length(), 780.0);
}

#[test]
fn pulls_follow_a_bowed_wall_and_count_from_the_far_face_too() {
    let mut plan = under_leaf(SurfaceKind::Carpet, 17.0);
    plan.doorways[0].leaf = Some(Leaf::swinging(Side::Far, 40.0));
    // A stands back by 4 at the first jamb and is straight from the second one on; wall 3 runs from (4000, 3000).
    plan.rooms[0].walls[2].bow =
        vec![plan::Bow { along: 1000.0, back: 4.0 }, plan::Bow { along: 1800.0, back: 0.0 }];
    let fit = fit(&plan);
    let stop = fit.doorways[0].stops[0];
    near(stop.from_near[0], 76.0);
    near(stop.from_near[1], 80.0);
    near(stop.from_far[0], 20.0);
}

/// Boards from both sides stop a gap apart, half of 5 mm each; each side's boards are pulled from their own room.
#[test]
fn boards_from_both_sides_have_a_stop_each() {
    let mut plan = two_rooms(Lining::ToCome);
    plan.doorways[0].beyond = Beyond::UnderLeaf;
    let found = fit(&plan).doorways.remove(0);
    let sides: Vec<Side> = found.stops.iter().map(|stop| stop.boards).collect();
    assert_eq!(sides, [Side::Near, Side::Far]);
    near(found.stops[0].pulls()[0], 20.0 - 2.5);
    near(found.stops[1].pulls()[0], 100.0 - 20.0 - 2.5);
    plan.doorways[0].beyond = Beyond::RunThrough;
    assert!(fit_stops(&plan).is_empty());
    // A trim 30 wide: 15 either side of the leaf's middle, and the ends' or sides' gap.
    plan.doorways[0].beyond = Beyond::Trim(30.0);
    near(fit_stops(&plan)[0].pulls()[1], 20.0 - 15.0 - 10.0);
}

/// A trim 40 wide on a leaf's middle 20 in from A's face lies flush with it. Its gap of 20 is wider than the wall's 10, so
/// that boards in A end beside it on the way from one to the other: no line to stop at. In A they stop 20 before the face,
/// in B 100 − 40 − 20 from theirs, from jamb to jamb less a gap each.
#[test]
fn a_trim_with_a_wider_gap_than_the_wall_has_one_line_on_each_side() {
    let mut plan = two_rooms(Lining::ToCome);
    plan.doorways[0].beyond = Beyond::Trim(40.0);
    plan.rules.gaps.tile_sides = Some(GapRange { least: 20.0, greatest: 20.0 });
    let stops = fit_stops(&plan);
    assert_eq!(stops.iter().map(|stop| stop.boards).collect::<Vec<_>>(), [Side::Near, Side::Far]);
    for jamb in 0..2 {
        near(stops[0].pulls()[jamb], -20.0);
        near(stops[1].pulls()[jamb], 40.0);
        near(stops[1].off_jambs[jamb], 10.0);
    }
}

fn fit_stops(plan: &Plan) -> Vec<crate::Stop> {
    fit(plan).doorways.remove(0).stops
}

fn step(plan: &Plan) -> Step {
    fit(plan).doorways[0].step.unwrap()
}

/// Common practice, no source: 15 mm boards against 15 mm tile are flush; against carpet of 15 to 20 the edge is
/// eased.
#[test]
fn steps_of_the_trade_are_named() {
    let flush = step(&under_leaf(SurfaceKind::Tile, 15.0));
    assert_eq!((flush.rise, flush.finish, flush.is_too_high), (0.0, Finish::Sealant, false));
    for height in [15.0, 17.0, 20.0] {
        let carpet = step(&under_leaf(SurfaceKind::Carpet, height));
        assert_eq!(
            (carpet.rise, carpet.finish, carpet.is_too_high),
            (15.0 - height, Finish::EasedEdge, false)
        );
    }
}

/// 2010 ADA Standards: up to 6.4 mm upright (303.2), up to 13 bevelled by no more than 1:2 (303.3), above that a
/// ramp (303.4) by no more than 1:12 (405.2).
#[test]
fn higher_steps_take_a_reducer_then_a_ramp() {
    let rise = |mm: f64| step(&under_leaf(SurfaceKind::Tile, 15.0 - mm));
    assert_eq!(rise(1.0).finish, Finish::Sealant);
    assert_eq!(rise(6.4).finish, Finish::SealantEased);
    assert!(!rise(6.4).is_too_high && rise(6.5).is_too_high);
    assert_eq!(rise(10.0).finish, Finish::Reducer { run: 20.0 });
    assert_eq!((rise(10.0).limit, rise(10.0).source), (6.4, "2010 ADA Standards, 303.2"));
    assert_eq!(rise(13.0).finish, Finish::Reducer { run: 26.0 });
    assert_eq!(rise(14.0).finish, Finish::Ramp { run: 168.0 });
    // The far floor higher: the same steps.
    assert_eq!(rise(-10.0).finish, Finish::Reducer { run: 20.0 });
    let mut own = under_leaf(SurfaceKind::Tile, 12.0);
    own.rules.levels.upright = Some(2.0);
    assert_eq!((step(&own).finish, step(&own).source), (Finish::Reducer { run: 6.0 }, "the plan's own rule"));
}

#[test]
fn beds_slabs_and_trims_count() {
    let mut plan = under_leaf(SurfaceKind::Tile, 15.0);
    plan.stock.bed = Some(2.0);
    near(step(&plan).rise, 2.0);
    plan.rooms[1].slab_level = -8.0;
    near(step(&plan).rise, 10.0);
    // A trim bridges what it is wide enough to bevel at 1:2.
    plan.doorways[0].beyond = Beyond::Trim(20.0);
    assert_eq!((step(&plan).finish, step(&plan).is_too_high), (Finish::Trim, false));
    plan.doorways[0].beyond = Beyond::Trim(19.0);
    assert!(step(&plan).is_too_high);
    // Unknown stays unknown.
    plan.rooms[1].surface = None;
    let found = fit(&plan).doorways.remove(0);
    assert_eq!((found.step, found.sides[1].covering, found.sides[1].level), (None, None, None));
    assert_eq!(found.sides[0].covering, Some(Covered::Boards));
}

#[test]
fn boards_do_not_run_over_a_step_in_the_slab() {
    let mut plan = two_rooms(Lining::ToCome);
    assert_eq!(step(&plan).finish, Finish::RunsThrough);
    plan.rooms[1].slab_level = 3.0;
    assert_eq!((step(&plan).rise, step(&plan).finish), (-3.0, Finish::LevelSlab));
    assert!(step(&plan).is_too_high);
}

/// What lies outside is measured from the near room's slab.
#[test]
fn a_track_outside_is_compared_too() {
    let mut plan = under_leaf(SurfaceKind::Tile, 15.0);
    plan.rooms.pop();
    plan.rooms[0].slab_level = 100.0;
    assert_eq!(fit(&plan).doorways[0].step, None);
    plan.doorways[0].outside = Some(Surface { kind: SurfaceKind::Track, height: 20.0 });
    near(step(&plan).rise, -5.0);
}

/// Edge 22 above the slab, 15 mm boards and 2 mm of bed: 5 left. On 18 mm of carpet on the same slab 4 are left.
#[test]
fn leaves_are_cut_to_clear_the_higher_floor() {
    let mut plan = under_leaf(SurfaceKind::Tile, 10.0);
    plan.stock.bed = Some(2.0);
    assert_eq!(fit(&plan).doorways[0].leaf, None);
    plan.doorways[0].leaf.as_mut().unwrap().above_slab = Some(22.0);
    let leaf = fit(&plan).doorways[0].leaf.unwrap();
    assert_eq!((leaf.clearance, leaf.take_off()), (5.0, 0.0));
    plan.rooms[1].surface = Some(Surface { kind: SurfaceKind::Carpet, height: 18.0 });
    let leaf = fit(&plan).doorways[0].leaf.unwrap();
    assert_eq!((leaf.clearance, leaf.take_off()), (4.0, 1.0));
    // A leaf that opens into B is measured from B's slab.
    plan.doorways[0].leaf.as_mut().unwrap().closes_on = Side::Far;
    plan.rooms[1].slab_level = -10.0;
    near(fit(&plan).doorways[0].leaf.unwrap().clearance, 22.0 - 10.0 - 17.0);
}

/// Practice: the arris is eased within the wear layer, 4 to 5 mm of veneer.
#[test]
fn an_arris_stays_in_the_wear_layer() {
    let mut plan = under_leaf(SurfaceKind::Carpet, 15.0);
    plan.stock.wear_layer = Some(4.0);
    plan.doorways[0].arris = Some(Arris::Chamfered(4.0));
    assert!(!fit(&plan).doorways[0].arris.unwrap().is_through());
    plan.doorways[0].arris = Some(Arris::Eased(4.5));
    assert!(fit(&plan).doorways[0].arris.unwrap().is_through());
    plan.stock.wear_layer = None;
    assert!(!fit(&plan).doorways[0].arris.unwrap().is_through());
}

/// 870 high under 890, 15 mm boards: 5 left. Arithmetic.
#[test]
fn an_appliance_has_to_come_out_over_the_boards() {
    let mut plan = two_rooms(Lining::ToCome);
    plan.fixtures.push(bench(17.0, 30.0));
    plan.fixtures[0].appliance = Some(Appliance { height: 870.0, opening: 890.0 });
    let found = fit(&plan).appliances;
    assert_eq!((found.len(), found[0].clearance), (1, 5.0));
}

fn cover_of(fit: &Fit, source: Source, by: CoveredBy) -> crate::Cover {
    *fit.covers.iter().find(|cover| cover.source == source && cover.by == by).unwrap()
}

/// Common practice, no source: 18 mm over a gap of 10 leave 8, 11 mm leave 1.
#[test]
fn covers_leave_what_the_trade_says() {
    let mut plan = two_rooms(Lining::ToCome);
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.rules.cover.tolerance = Some(0.0);
    let wall = |wall| Source::Wall { room: 0, wall };
    assert_eq!(cover_of(&fit(&plan), wall(0), CoveredBy::Skirting).left(), None);
    plan.rules.cover.skirting = Some(18.0);
    plan.rules.cover.architrave = Some(11.0);
    plan.rooms[0].walls[1].skirting = Some(Skirting::Thick(11.0));
    plan.rooms[0].walls[3].skirting = Some(Skirting::ToCome);
    let found = fit(&plan);
    assert_eq!(cover_of(&found, wall(0), CoveredBy::Skirting).left(), Some(8.0));
    assert_eq!(cover_of(&found, wall(1), CoveredBy::Skirting).left(), Some(1.0));
    assert_eq!(cover_of(&found, Source::Doorway(0), CoveredBy::Architrave).left(), Some(1.0));
    let to_come = cover_of(&found, wall(3), CoveredBy::SkirtingToCome);
    assert_eq!((to_come.left(), to_come.needed(3.0)), (None, 13.0));
    // The gap as it is laid and the tolerance, 10 + 1, whatever the gap might be widened to; widened at this wall by 3 at one end
    // and 1 at the other, 13 + 1.
    plan.rules.wall_gap.greatest = 14.0;
    plan.rules.cover.tolerance = None;
    assert_eq!(cover_of(&fit(&plan), wall(0), CoveredBy::Skirting).left(), Some(7.0));
    let surveyed = site::survey(&plan);
    let set = setout::set_out(&plan, &surveyed);
    let edge = surveyed.regions[0].outer.edges.iter().position(|edge| edge.source == wall(0)).unwrap();
    let ease = site::Ease { region: 0, ring: 0, edge, start: 3.0, end: 1.0 };
    let site = site::eased(&surveyed, &[ease]);
    let floor = lay::lay(&plan, &site, &set);
    let eased = cover_of(&crate::fit(&plan, &site, &floor), wall(0), CoveredBy::Skirting);
    assert_eq!((eased.least_gap, eased.greatest_gap, eased.left()), (11.0, 13.0, Some(4.0)));
}

#[test]
fn flanges_and_tucks_cover_and_tile_is_filled() {
    let mut plan = two_rooms(Lining::ToCome);
    plan.fixtures.push(bench(17.0, 30.0));
    let outline = corners(300.0, 300.0, 300.0, 100.0);
    let vent = Fixture {
        gap: Some(GapRange { least: 3.0, greatest: 5.0 }),
        cover: Some(15.0),
        ..Fixture::plain("Vent", FixtureKind::Vent, outline)
    };
    plan.fixtures.push(vent);
    plan.rooms[1].walls[2].face = plan::WallFace::Glazing;
    let found = fit(&plan);
    assert_eq!(cover_of(&found, Source::Fixture(0), CoveredBy::Kick).left(), Some(29.0));
    let flange = cover_of(&found, Source::Fixture(1), CoveredBy::Flange);
    // 15 less 3 of gap and 1 of tolerance.
    assert_eq!((flange.left(), flange.length), (Some(11.0), 2.0 * (300.0 + 100.0) + 8.0 * 3.0));
    let glass = cover_of(&found, Source::Wall { room: 1, wall: 2 }, CoveredBy::Nothing);
    assert_eq!((glass.kind, glass.left()), (EdgeKind::Glazing, None));
}

fn bench(clearance: f64, tuck: f64) -> Fixture {
    Fixture::plain("Bench", FixtureKind::Kick { clearance, tuck }, corners(1500.0, 1000.0, 1000.0, 600.0))
}

/// Common practice, no source: a 15 mm board goes under a kick held 17 mm up, slid in 30 mm.
#[test]
fn boards_go_under_the_kick_of_the_trade() {
    let mut plan = two_rooms(Lining::ToCome);
    plan.fixtures.push(bench(17.0, 30.0));
    let (floor, found) = fitted(&plan);
    assert_eq!(found.tucks.len(), 4);
    for tuck in &found.tucks {
        near(tuck.room_over(), 2.0);
        near(tuck.depth, 30.0);
        assert!(!tuck.boards.is_empty());
        near(tuck.hollow, if tuck.with_sides { 600.0 } else { 1000.0 });
        near(tuck.length, if tuck.with_sides { 940.0 } else { 540.0 });
        for under in &tuck.boards {
            assert!(under.way.is_some(), "{} {under:?}", floor.boards[under.board].label);
        }
    }
    // From the line up: the row past the bench is pushed under it, the row before it is not.
    let ways = |above: bool| -> Vec<Option<Way>> {
        let of = |tuck: &&crate::Tuck| tuck.with_sides && (tuck.at.y > 1300.0) == above;
        let of_side = found.tucks.iter().filter(of);
        of_side.flat_map(|tuck| tuck.boards.iter().map(|under| under.way)).collect()
    };
    let line = floor.lines[0];
    let first_side = line < 1300.0;
    assert!(ways(first_side).iter().all(|way| *way == Some(Way::Pushed)), "{:?}", ways(first_side));
    // A whole board let down needs 17.42; under the bench, 600 deep, it is pushed further and drawn back.
    assert!(ways(!first_side).contains(&Some(Way::DrawnBack)), "{:?}", ways(!first_side));
    assert!(!ways(!first_side).contains(&Some(Way::Pushed)), "{:?}", ways(!first_side));
    // 17.5 and it is let down.
    plan.fixtures[0].kind = FixtureKind::Kick { clearance: 17.5, tuck: 30.0 };
    let all = fit(&plan).tucks;
    assert!(all.iter().flat_map(|tuck| &tuck.boards).all(|under| under.way != Some(Way::DrawnBack)));
}

#[test]
fn a_low_kick_and_a_bed_leave_no_way() {
    let mut plan = two_rooms(Lining::ToCome);
    plan.fixtures.push(bench(17.0, 30.0));
    plan.stock.bed = Some(1.5);
    let found = fit(&plan);
    near(found.tucks[0].room_over(), 0.5);
    assert!(found.tucks.iter().flat_map(|tuck| &tuck.boards).all(|under| under.way.is_none()));
    plan.rules.levels.kick = Some(0.5);
    assert!(fit(&plan).tucks.iter().flat_map(|tuck| &tuck.boards).any(|under| under.way.is_some()));
}

/// Between two kicks a board of the whole way is longer than the floor between them by both tucks: it can be
/// neither pushed nor let down; past the kicks' end it slides along.
#[test]
fn between_two_kicks_a_board_slides_in_from_their_end() {
    let mut plan = two_rooms(Lining::ToCome);
    plan.rooms.pop();
    plan.doorways.clear();
    let kick = FixtureKind::Kick { clearance: 17.0, tuck: 30.0 };
    let fixture = |name: &str, x: f64, height: f64| Fixture {
        name: name.into(),
        kind: kick,
        outline: corners(x, 0.0, 600.0, height),
        ..bench(17.0, 30.0)
    };
    plan.fixtures = vec![fixture("Left", 0.0, 2000.0), fixture("Right", 1700.0, 2000.0)];
    let spanning = |plan: &Plan| -> Vec<(f64, Option<Way>, f64)> {
        let (floor, found) = fitted(plan);
        let all = found.tucks.iter().filter(|tuck| !tuck.with_sides).flat_map(|tuck| tuck.boards.clone());
        all.filter(|under| (floor.boards[under.board].length() - 1160.0).abs() < 0.1)
            .map(|under| (under.room, under.way, floor.boards[under.board].middle().v))
            .collect()
    };
    let found = spanning(&plan);
    assert!(!found.is_empty());
    for (room, way, _) in &found {
        near(*room, 1100.0);
        assert!(matches!(way, None | Some(Way::Along)), "{found:?}");
    }
    // The floor is open above the kicks: boards above the line come in from there, those below it do not.
    let (floor, _) = fitted(&plan);
    for (_, way, v) in &found {
        assert_eq!(way.is_some(), *v > floor.lines[0], "{found:?}");
    }
}
