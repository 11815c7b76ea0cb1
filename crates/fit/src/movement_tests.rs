//! Swelling, shrinkage, joints as laid and proposals on rooms worked out by hand.
#![allow(clippy::unwrap_used)]

use crate::{Fit, ProposedAt, fit, greatest_opening, least_floating_gap, proposals};
use plan::{
    Beyond, Climate, Construction, Doorway, Fixture, FixtureKind, GapRange, Leaf, Lining, MovementJoint,
    Plan, Point, Room, Seasons, Side, Species, StartLine, Wood,
};
use site::{EdgeKind, Site};

fn rect(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from).to_vec()
}

/// One room with exact gaps of 10, multilayer boards 200 wide laid at 9 %, between 6 and 12 %.
pub(crate) fn room(w: f64, h: f64) -> Plan {
    let mut plan = Plan::new("t");
    plan.stock.face_width = 200.0;
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.rooms.push(Room::boarded("Hall", rect(0.0, 0.0, w, h)));
    plan.stock.wood =
        Some(Wood { species: Species::WhiteOak, construction: Construction::Multilayer, held_back: 0.0 });
    plan.air = Some(Seasons {
        laid: Climate::Moisture(9.0),
        driest: Climate::Moisture(6.0),
        dampest: Climate::Moisture(12.0),
    });
    plan
}

fn fitted(plan: &Plan) -> (Site, Fit) {
    assert_eq!(plan.problems(), []);
    let surveyed = site::survey(plan);
    let setout = setout::set_out(plan, &surveyed);
    let site = site::eased(&surveyed, &setout.eases);
    let floor = lay::lay(plan, &site, &setout);
    let fit = fit(plan, &site, &floor);
    (site, fit)
}

#[test]
fn a_rooms_swelling_is_held_against_both_its_gaps() {
    let (site, fit) = fitted(&room(8020.0, 6020.0));
    let movement = fit.movement.unwrap();
    let width = &movement.widths[0];
    // 6000 between the gaps: 6000 · 0.0003 · 3 = 5.4 either way; 10 + 10 to swell into.
    assert!((width.extent - 6000.0).abs() < 1e-6);
    assert!((width.swells.expected - 5.4).abs() < 1e-9 && (width.shrinks.expected - 5.4).abs() < 1e-9);
    // The face alone, flat-sawn white oak: 6000 · 0.00365 · 3.
    assert!((width.swells.free - 65.7).abs() < 1e-6);
    assert!((width.left().unwrap() - (20.0 - 5.4)).abs() < 1e-9);
    // Along the boards 8000 · 0.002 / 30 · 3 = 1.6.
    assert!((movement.lengths[0].swells.expected - 1.6).abs() < 1e-9);
    // Every edge is told: half of what ends there.
    assert_eq!(movement.edges.len(), 4);
    for (i, edge) in site.regions[0].outer.edges.iter().enumerate() {
        let told = movement.at_edge(0, 0, i).unwrap();
        let expected = if edge.is_along_rows() { 2.7 } else { 0.8 };
        assert!((told.closes - expected).abs() < 1e-6 && (told.opens - expected).abs() < 1e-6, "{told:?}");
    }
    // Boards 200 wide: 200 · 0.0003 · 3.
    assert!((movement.opening - 0.18).abs() < 1e-9);
}

#[test]
fn a_bonded_floor_needs_half_at_either_end() {
    let mut plan = room(8020.0, 6020.0);
    // One wall keeps 4 only.
    plan.rooms[0].walls[0].gap = Some(GapRange { least: 4.0, greatest: 4.0 });
    let (_, loose) = fitted(&plan);
    assert!((loose.movement.unwrap().widths[0].room().unwrap() - 14.0).abs() < 1e-9);
    plan.stock.wood = Some(Wood { held_back: 0.25, ..plan.stock.wood.unwrap() });
    let (_, bonded) = fitted(&plan);
    let width = bonded.movement.unwrap().widths[0];
    assert!((width.room().unwrap() - 8.0).abs() < 1e-9);
    // 6006 · 0.0003 · 3 · 0.75.
    assert!((width.swells.expected - 4.05405).abs() < 1e-9 && (width.swells.built - 5.4054).abs() < 1e-9);
}

#[test]
fn nothing_is_said_without_wood_and_air() {
    let plan = room(4000.0, 3000.0);
    let no_air = Plan { air: None, ..plan.clone() };
    assert_eq!(fitted(&no_air).1.movement, None);
    let mut no_wood = plan;
    no_wood.stock.wood = None;
    assert_eq!(fitted(&no_wood).1.movement, None);
}

#[test]
fn published_limits_are_as_printed() {
    // NF DTU 51.2 P1-1, 2020, §7.2: boards of 25 to 140 mm up to 2 % of the width and 2 mm; wider ones 3 mm.
    assert!((greatest_opening(70.0) - 1.4).abs() < 1e-9);
    assert_eq!(greatest_opening(140.0), 2.0);
    assert_eq!(greatest_opening(190.0), 3.0);
    // NF DTU 51.11 P1-1, 2009, §8.2, its own examples: 6 m needs 9, 5 m needs 8.
    assert!((least_floating_gap(6000.0) - 9.0).abs() < 1e-9);
    assert_eq!(least_floating_gap(5000.0), 8.0);
}

#[test]
fn a_kick_and_a_leaf_against_carpet_leave_no_bound() {
    let mut plan = room(4020.0, 3000.0);
    plan.fixtures.push(Fixture::plain(
        "Bench",
        FixtureKind::Kick { clearance: 20.0, tuck: 30.0 },
        rect(-50.0, 2400.0, 4120.0, 700.0),
    ));
    let (_, fit) = fitted(&plan);
    let width = fit.movement.unwrap().widths[0];
    assert!(width.ends.iter().any(|end| end.kind == EdgeKind::Kick && end.room.is_none()));
    assert_eq!((width.room(), width.left()), (None, None));
}

#[test]
fn a_joint_is_told_as_it_lies() {
    let mut plan = room(8020.0, 9020.0);
    plan.start_line = StartLine::At(110.0);
    plan.joints.push(MovementJoint::new(Point::new(0.0, 4563.0), Point::new(8020.0, 4563.0)));
    plan.joints.push(MovementJoint::new(Point::new(4000.0, 0.0), Point::new(4000.0, 9020.0)));
    plan.joints.push(MovementJoint::new(Point::new(0.0, 20_000.0), Point::new(500.0, 20_000.0)));
    plan.joints.push(MovementJoint::new(Point::new(1000.0, 700.0), Point::new(1000.0, 2000.0)));
    let (site, fit) = fitted(&plan);
    assert_eq!(fit.joints.len(), 4);
    // The lower part is the larger and keeps the line at 110, …, 4510, 4710: its side goes from 4558 to 4510.
    let along = &fit.joints[0];
    assert!(along.along_rows && along.above_row.is_some() && along.open_ends.is_empty());
    assert!((along.moved - -48.0).abs() < 0.01, "{}", along.moved);
    // Two stretches, either side of the other joint: 4000 − 5 − 10 and 8010 − 4005.
    let lengths: Vec<f64> = along.stretches.iter().map(|s| s.length()).collect();
    assert_eq!(lengths.len(), 2);
    assert!((lengths[0] - 3985.0).abs() < 0.01 && (lengths[1] - 4005.0).abs() < 0.01, "{lengths:?}");
    assert!((along.length - 7990.0).abs() < 0.01);
    let across = &fit.joints[1];
    assert!(!across.along_rows && across.above_row.is_none() && across.moved == 0.0);
    assert_eq!(fit.joints[2].stretches, []);
    assert_eq!(fit.joints[3].open_ends.len(), 2);
    // Four parts swell apart from one another: 3985 long, from 10 to 4500.
    assert_eq!(site.regions.len(), 4);
    let widest = fit.widths.iter().map(|w| w.extent).fold(0.0, f64::max);
    assert!((widest - (4510.0 - 10.0)).abs() < 0.01, "{widest}");
    // Half the joint is room for either side.
    let movement = fit.movement.as_ref().unwrap();
    assert!((movement.widths[0].room().unwrap() - 15.0).abs() < 1e-9);
    // Marked along the outer walls: the joint's middle at 4515, from the lower corners.
    let marks = crate::joint_marks(&plan, &site, along);
    let told: Vec<(usize, usize, f64)> =
        marks.iter().map(|m| (m.wall, m.corner, m.distance.round())).collect();
    // The wall is 9020 long: the middle at 4515 is nearer to the upper corner by 10.
    assert_eq!(told, [(3, 3, 4505.0), (1, 2, 4505.0)]);
}

/// An L whose neck lies in line with a wall, and a glazed door of 2400 across from the inner corner, in a wall of 250: a joint from
/// that corner straight across is marked by the corner, and along the wall of the door from the corner nearer to it. By hand:
/// the wall begins at −4000 and ends at 5000, the joint lies at 1000, so that 4000 are left to its end.
#[test]
fn a_joint_from_an_inner_corner_to_a_glazed_door_is_marked_at_both() {
    let mut plan = room(6000.0, 4000.0);
    let corners = [
        (0.0, -4000.0),
        (6000.0, -4000.0),
        (6000.0, 5000.0),
        (3000.0, 5000.0),
        (3000.0, 1000.0),
        (0.0, 1000.0),
    ];
    plan.rooms[0] = Room::boarded("Hall", corners.map(Point::from));
    plan.doorways.push(Doorway {
        wall_thickness: 250.0,
        leaf: Some(Leaf { slides: true, ..Leaf::swinging(Side::Near, 40.0) }),
        beyond: Beyond::UnderLeaf,
        width: 2400.0,
        ..door("Garden doors", "Hall", 1, 3800.0)
    });
    plan.joints.push(MovementJoint::new(Point::new(3000.0, 1000.0), Point::new(6100.0, 1000.0)));
    let (site, fit) = fitted(&plan);
    let marks = crate::joint_marks(&plan, &site, &fit.joints[0]);
    let mut told: Vec<(usize, usize, f64)> =
        marks.iter().map(|m| (m.wall, m.corner, m.distance.round())).collect();
    told.sort_by(|a, b| a.2.total_cmp(&b.2));
    assert_eq!(told, [(3, 4, 0.0), (1, 2, 4000.0)]);
    let mut words = crate::marks_in_words(&plan, &site, &fit.joints[0], |mm| format!("{mm:.0}"));
    words.sort();
    assert_eq!(words, ["its middle 4000 from Hall, corner 3, along wall 2", "its middle at Hall, corner 5"]);
}

fn door(name: &str, room: &str, wall: usize, at: f64) -> Doorway {
    Doorway { leaf: Some(Leaf::swinging(Side::Near, 40.0)), ..Doorway::plain(name, room, wall, at, 800.0) }
}

/// An opening of 820 lined to 800 leaves 10 at each jamb; boards 8 under the lining have 2 of that.
#[test]
fn behind_an_undercut_lining_boards_have_what_the_rough_opening_leaves() {
    let mut plan = room(6020.0, 4020.0);
    let rooms = [("Den", rect(0.0, 4120.0, 6020.0, 3020.0))];
    plan.rooms.extend(rooms.map(|(name, corners)| Room::boarded(name, corners)));
    let lined = door("Door", "Hall", 2, 2000.0);
    plan.doorways.push(Doorway {
        rough_width: Some(820.0),
        lining: Lining::Fitted,
        under_lining: Some(8.0),
        ..lined
    });
    let (_, fit) = fitted(&plan);
    let movement = fit.movement.unwrap();
    let ends = movement.widths.iter().chain(&movement.lengths).flat_map(|stretch| stretch.ends);
    let jambs: Vec<Option<f64>> = ends.filter(|e| e.kind == EdgeKind::Jamb).map(|e| e.room).collect();
    assert!(!jambs.is_empty(), "the throat is the tightest stretch along the boards");
    for room in jambs {
        assert!((room.unwrap() - 2.0).abs() < 1e-9, "{room:?}");
    }
}

/// A throat whose trim lies a few millimetres out of square: the stretch between its jambs ends at jambs, 10 off each.
#[test]
fn a_trim_out_of_square_is_no_jamb() {
    let mut plan = room(6000.0, 5000.0);
    // The right wall leans out by 8 over its 5000, so the doorway's trim does, too.
    plan.rooms[0].walls[2].corner = Point::new(6008.0, 5000.0);
    plan.doorways.push(Doorway {
        leaf: None,
        lining: Lining::Fitted,
        beyond: Beyond::Trim(0.0),
        wall_thickness: 250.0,
        ..door("Slide", "Hall", 1, 1000.0)
    });
    plan.doorways[0].width = 2700.0;
    let (_, fit) = fitted(&plan);
    let widths = fit.movement.unwrap().widths;
    // 5000 − 10 − 10 across the boards, 20 to swell into less 4980 · 0.0003 · 3 = 4.482. The throat, 2680 from jamb to jamb,
    // swells by 2.412 into as much, so it has more to spare; between the trim's 5 and a jamb's 10 it would have had less.
    assert_eq!(widths.len(), 1, "{widths:?}");
    assert!((widths[0].left().unwrap() - 15.518).abs() < 0.01, "{widths:?}");
    assert_eq!(widths[0].ends.map(|end| end.kind), [EdgeKind::Wall; 2]);
}

fn proposed(plan: &Plan) -> Vec<crate::Proposal> {
    let (site, fit) = fitted(plan);
    proposals(plan, &site, fit.movement.as_ref())
}

/// Puts every proposal in and sees that none is left to make and every limit kept.
fn mended(plan: &Plan) -> Plan {
    let mut plan = plan.clone();
    plan.joints.extend(proposed(&plan).into_iter().map(|p| p.joint));
    let (_, fit) = fitted(&plan);
    let most = |list: &[crate::Continuous]| list.iter().map(|c| c.extent).fold(0.0, f64::max);
    assert!(most(&fit.widths) <= plan.rules.greatest_width, "{}", most(&fit.widths));
    assert!(most(&fit.lengths) <= plan.rules.greatest_length, "{}", most(&fit.lengths));
    assert_eq!(proposed(&plan), []);
    plan
}

#[test]
fn a_doorway_is_the_first_place_for_a_joint() {
    // 5 m and 4 m in line through a door: 9 m of width, limit 8.
    let mut plan = room(6000.0, 5000.0);
    plan.rooms.push(Room::boarded("Den", rect(0.0, 5100.0, 6000.0, 4000.0)));
    plan.doorways.push(door("Arch", "Hall", 2, 2000.0));
    let found = proposed(&plan);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].at, ProposedAt::Doorway(0));
    // Under the leaf, 20 in from the face at 5000, from jamb to jamb: the wall runs from 6000 back, so 3200 to 4000.
    let joint = &found[0].joint;
    assert_eq!((joint.from, joint.to), (Point::new(3200.0, 5020.0), Point::new(4000.0, 5020.0)));
    assert_eq!(found[0].place(&plan), "in Arch");
    // 10 to 9090: 9080. The longer part from 10 to 5015.
    assert!((found[0].before - 9080.0).abs() < 0.01 && (found[0].after - 5005.0).abs() < 0.01);
    mended(&plan);
}

#[test]
fn a_neck_is_taken_where_there_is_no_doorway() {
    // An hourglass: two rooms joined by a passage 1.2 m wide, 10 m across the boards.
    let mut plan = room(6000.0, 4400.0);
    let corners = [
        (0.0, 0.0),
        (6000.0, 0.0),
        (6000.0, 4400.0),
        (3600.0, 4400.0),
        (3600.0, 5600.0),
        (6000.0, 5600.0),
        (6000.0, 10_000.0),
        (0.0, 10_000.0),
        (0.0, 5600.0),
        (2400.0, 5600.0),
        (2400.0, 4400.0),
        (0.0, 4400.0),
    ];
    plan.rooms[0] = Room::boarded("Hall", corners.map(Point::from));
    let found = proposed(&plan);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(matches!(found[0].at, ProposedAt::Neck(_)));
    assert!((found[0].length - 1180.0).abs() < 1.0, "{}", found[0].length);
    mended(&plan);
}

#[test]
fn a_joint_goes_on_in_line_past_an_island() {
    let mut plan = room(6000.0, 12_000.0);
    plan.fixtures.push(Fixture::plain("Island", FixtureKind::Island, rect(2000.0, 5200.0, 2000.0, 1000.0)));
    let found = proposed(&plan);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].at, ProposedAt::Fixture(0));
    // Both sides of the island: 1990 − 10 and 5990 − 4010.
    assert!((found[0].length - 3960.0).abs() < 0.01);
    assert_eq!(found[0].joint.from.y, 5700.0);
    let (_, fit) = fitted(&mended(&plan));
    assert_eq!(fit.joints[0].stretches.len(), 2);
}

#[test]
fn open_floor_is_parted_evenly_both_ways() {
    // 35 m along the boards and 20 across, limits 16 and 8: two joints each way.
    let plan = room(35_000.0, 20_000.0);
    let found = proposed(&plan);
    let along = found.iter().filter(|p| p.along_rows).count();
    assert_eq!((along, found.len() - along), (2, 2));
    assert!(found.iter().all(|p| p.at == ProposedAt::Open));
    mended(&plan);
}

/// Boards that move by 0.0667 % for each percent, 3 of them: 0.002 of their width, so that 15 of room last for 7.5 m, and a
/// joint between stretches of 3125 is 3125 · 0.002 / 0.25 = 25 wide. Arithmetic.
#[test]
fn swelling_may_ask_for_joints_before_the_rules_do() {
    let stated = Construction::Stated(0.2 / 3.0);
    let with = |height: f64| {
        let mut plan = room(4000.0, height);
        plan.stock.wood = Some(Wood { construction: stated, ..Wood::default() });
        plan
    };
    assert_eq!(proposed(&with(7500.0)), [], "7480 swell by 14.96");
    // 8980 would be 4490 in two, with a joint of 36: so they are three of 2993.
    let plan = with(9000.0);
    let found = proposed(&plan);
    assert!(
        found.len() == 2 && found.iter().all(|p| p.along_rows && (p.limit - 3125.0).abs() < 1e-6),
        "{found:#?}"
    );
    let (_, fit) = fitted(&mended(&plan));
    let movement = fit.movement.unwrap();
    assert_eq!((movement.joints.len(), movement.beyond.len()), (2, 0));
    for joint in &movement.joints {
        assert!(joint.closes.max(joint.opens) / crate::FILLER_TAKES <= crate::WIDEST_JOINT, "{joint:?}");
    }
}

/// Solid white oak, flat-sawn, moves by 0.00365 · 3 = 0.01095 of its width: 2980 by 32.6 against 20 of gaps. 15 of room last for
/// 1370; two stretches of 1370 would open the joint between them by 15, four times as much as a filler of 15 takes: 60 wide. Of
/// 25 it lies every 25 / 4 / 0.01095 = 571.
#[test]
fn joints_are_no_answer_to_loose_solid_boards() {
    let mut plan = room(4000.0, 3000.0);
    assert_eq!(proposed(&plan), []);
    plan.stock.wood = Some(Wood { construction: Construction::FlatSawn, ..Wood::default() });
    assert_eq!(proposed(&plan), []);
    let (site, fit) = fitted(&plan);
    let movement = fit.movement.as_ref().unwrap();
    assert_eq!(crate::first_proposal(&plan, &site, Some(movement), (0, true)), None);
    let [beyond] = movement.beyond[..] else { panic!("{:?}", movement.beyond) };
    assert!(beyond.across && (beyond.apart - 25.0 / 4.0 / 0.01095).abs() < 1e-6, "{beyond:?}");
    assert_eq!(
        beyond.words(&plan, "Hall"),
        "Hall, 2\u{a0}980 across the boards: swells 32.6, shrinks 32.6; joints no wider than 25 would have to lie 570 apart, \
         which is no floor to lay loose: glue or nail it down, or take boards that move less"
    );
    // A floor so narrow that its gaps take it needs none: 1780 · 0.01095 = 19.5.
    let small = Plan { rooms: vec![Room::boarded("Hall", rect(0.0, 0.0, 4000.0, 1800.0))], ..plan.clone() };
    assert_eq!(fitted(&small).1.movement.unwrap().beyond, []);
    // Four fifths held back by adhesive: 10 / (0.01095 / 5) = 4566 a joint of 10 lasts; over that, joints again.
    plan.stock.wood = Some(Wood { held_back: 0.8, ..plan.stock.wood.unwrap() });
    plan.rooms[0] = Room::boarded("Hall", rect(0.0, 0.0, 4000.0, 6000.0));
    let found = proposed(&plan);
    assert!(found.len() == 1 && (found[0].limit - 10.0 / 0.00219).abs() < 0.1, "{found:#?}");
}
