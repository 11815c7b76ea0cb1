//! Continuous floor and ways in on rooms worked out by hand.
#![allow(clippy::unwrap_used)]

use crate::{Fit, Motion, Part, TuckWay, WayIn, fit};
use plan::{
    Beyond, Doorway, Fixture, FixtureKind, GapRange, Leaf, Lining, Lock, Plan, Point, Room, Side, StartLine,
};
use site::EdgeKind;

pub(crate) fn corners(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Point::new(x, y)).to_vec()
}

pub(crate) fn two_rooms(lining: Lining) -> Plan {
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("A", corners(0.0, 0.0, 4000.0, 3000.0)));
    plan.rooms.push(Room::boarded("B", corners(0.0, 3100.0, 5000.0, 2000.0)));
    plan.doorways.push(Doorway {
        leaf: Some(Leaf::swinging(Side::Near, 40.0)),
        lining,
        ..Doorway::plain("Door", "A", 2, 1000.0, 800.0)
    });
    plan
}

pub(crate) fn fitted(plan: &Plan) -> (lay::Floor, Fit) {
    let site = site::survey(plan);
    let floor = lay::lay(plan, &site, &setout::set_out(plan, &site));
    let fit = fit(plan, &site, &floor);
    (floor, fit)
}

/// The same with gaps as wide as the set-out makes them, which take up strips within their play.
fn fitted_as_set_out(plan: &Plan) -> (lay::Floor, Fit) {
    let surveyed = site::survey(plan);
    let set = setout::set_out(plan, &surveyed);
    let site = site::eased(&surveyed, &set.eases);
    let floor = lay::lay(plan, &site, &set);
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

/// The line lies in B, which has the longer rows; A is reached through the throat, below the line, boards turned. Row lines at 66 and
/// every 190 from there: one lies at 2916, so that A begins below its wall at 3000 and the gap of 10 with 2990 − 2916 = 74 on both
/// sides of the throat, where the row comes through from 3106. The groove's side goes, at the wall.
#[test]
fn a_far_room_that_begins_with_a_rip_is_told_before_its_first_row() {
    let mut plan = two_rooms(Lining::ToCome);
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.start_line = StartLine::At(66.0);
    let told = |plan: &Plan| {
        let site = site::survey(plan);
        let floor = lay::lay(plan, &site, &setout::set_out(plan, &site));
        let sequence = crate::sequence(plan, &site, &floor, &[]);
        let rips: Vec<(usize, crate::BeginningRip)> = (0..)
            .zip(&sequence.steps)
            .flat_map(|(at, step)| step.begins_with.iter().map(move |rip| (at, rip.clone())))
            .collect();
        let notes: Vec<String> = (0..sequence.steps.len())
            .flat_map(|at| sequence.notes(plan, &floor, at))
            .filter(|note| note.contains("with a rip"))
            .collect();
        (floor, sequence, rips, notes)
    };
    let (floor, sequence, rips, notes) = told(&plan);
    let [(at, rip)] = &rips[..] else { panic!("{rips:?}") };
    assert_eq!((rip.room.as_deref(), rip.keeps), (Some("A"), Some(lay::KeptEdge::Tongue)));
    assert!((rip.least - 74.0).abs() < 1e-6 && (rip.greatest - 74.0).abs() < 1e-6, "{rip:?}");
    let high = |board: &usize| {
        floor.boards[*board].outline.outer.iter().map(|p| p.v).fold(f64::NEG_INFINITY, f64::max)
    };
    let step = &sequence.steps[*at];
    let at_wall: Vec<usize> = step.boards.iter().copied().filter(|board| high(board) < 2991.0).collect();
    assert!(!at_wall.is_empty() && at_wall.len() < step.boards.len());
    assert_eq!(rip.boards, at_wall);
    assert!(rip.is_part && step.start == crate::Start::OnRow);
    let [note] = &notes[..] else { panic!("{notes:?}") };
    assert!(note.starts_with("A begins with a rip at ") && note.contains(&floor.boards[at_wall[0]].label));
    assert!(note.ends_with(": keep 74 and the tongue, groove side off"), "{note}");
    // A line from which a row begins at that gap: 2990 = 140 + 15 · 190. The room begins with whole boards, and nothing is said.
    plan.start_line = StartLine::At(140.0);
    assert_eq!(told(&plan).2, []);
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

/// One room 4000 × 3000 with boards 190 × 15 and a line from which rows reach its upper gap exactly.
fn one_room(lock: Lock, upper_gap: f64) -> Plan {
    let mut plan = Plan::new("t");
    plan.stock.lock = lock;
    plan.rooms.push(Room::boarded("A", corners(0.0, 0.0, 4000.0, 3000.0)));
    plan.rooms[0].walls[2].gap = Some(GapRange { least: upper_gap, greatest: upper_gap });
    plan.start_line = StartLine::At((3000.0 - upper_gap) % 190.0);
    plan
}

/// A room whose right end is a doorway as wide as boards reach, with a trim: rows end 5 short of it.
fn by_a_trim(lock: Lock, end_gap: f64) -> Plan {
    let mut plan = one_room(lock, 10.0);
    plan.rules.tile_end_gap = end_gap;
    plan.doorways.push(Doorway {
        wall_thickness: 200.0,
        beyond: Beyond::Trim(40.0),
        ..Doorway::plain("Garden doors", "A", 1, 300.0, 2400.0)
    });
    plan
}

fn by_label<'f>(floor: &lay::Floor, fit: &'f Fit, label: &str) -> Option<&'f WayIn> {
    fit.other_way(floor.boards.iter().position(|board| board.label == label)?)
}

#[test]
fn boards_go_in_as_their_lock_asks_where_nothing_is_in_the_way() {
    // Gaps of 10: a folded board travels 5, one 190 wide swings 0.6 out, a tongue of 6 is drawn home.
    let usual =
        [(Lock::FoldDown, Motion::Fold), (Lock::Angle, Motion::Tilt), (Lock::TongueAndGroove, Motion::Slide)];
    for (lock, way) in usual {
        let (floor, fit) = fitted(&one_room(lock, 10.0));
        assert_eq!(fit.usual, way);
        assert!(fit.ways.is_empty(), "{lock:?} {:?}", fit.ways);
        assert_eq!(fit.motion(0), way);
        assert!(!floor.boards.is_empty() && fit.undercuts.is_empty());
    }
}

/// A folded board stands about 5 mm off its end joint before it is tapped home: common practice, no source. Where the
/// gap is no more than that, the pull bar has no room.
#[test]
fn an_end_gap_no_greater_than_the_travel_is_seen() {
    let tight = |plan: &Plan| {
        let (floor, fit) = fitted(plan);
        for way in &fit.ways {
            let board = &floor.boards[way.board];
            assert_eq!(
                (way.motion, way.shaved.as_slice()),
                (Motion::Drop, &[Part::Left][..]),
                "{}",
                board.label
            );
            assert!(board.ends_run && !board.starts_run && !board.turned, "{}", board.label);
            assert_eq!(way.tight[0].at.kind, EdgeKind::Trim);
            assert!((board.right - (4000.0 + 100.0 - 20.0 - plan.rules.tile_end_gap)).abs() < 0.1);
        }
        fit.ways.len()
    };
    // Rows above the line run into the trim with their closers; below it boards are turned, and it is the starters
    // that lie there, which close no joint.
    let plan = by_a_trim(Lock::FoldDown, 5.0);
    let (floor, _) = fitted(&plan);
    let ends = |board: &&lay::Board| board.right > 4050.0 && !board.turned && !board.starts_run;
    let closers = floor.boards.iter().filter(ends).count();
    assert!(closers >= 3, "{closers}");
    assert_eq!(tight(&plan), closers);
    assert_eq!(tight(&by_a_trim(Lock::FoldDown, 5.1)), 0);
    let mut own = plan.clone();
    own.rules.travel = Some(4.9);
    assert_eq!(tight(&own), 0);
    // A tongue of 6 is not drawn home in 5, but is in 6.
    assert_eq!(tight(&by_a_trim(Lock::TongueAndGroove, 5.0)), closers);
    assert_eq!(tight(&by_a_trim(Lock::TongueAndGroove, 6.0)), 0);
    // Ends that do not join need no travel.
    let mut square = plan;
    square.stock.end_match = false;
    assert_eq!(fitted(&square).1.ways.len(), 0);
}

#[test]
fn a_board_turned_down_beside_a_wall_needs_room_to_swing() {
    // Turned about its groove edge a board 190 × 15 reaches √(190² + 15²) = √36325 = 190.591: 0.591 too far.
    let tight = |lock, gap| {
        let (floor, fit) = fitted(&one_room(lock, gap));
        for way in &fit.ways {
            assert_eq!((way.motion, way.shaved.as_slice()), (Motion::Drop, &[Part::Groove][..]));
            assert!(floor.boards[way.board].outline.outer.iter().any(|p| p.v > 2990.0));
            let need = way.tight[0].need;
            assert!(lock == Lock::TongueAndGroove || (need - 0.591).abs() < 0.001, "{need}");
        }
        !fit.ways.is_empty()
    };
    assert!(tight(Lock::FoldDown, 0.59));
    assert!(!tight(Lock::FoldDown, 0.60));
    assert!(tight(Lock::Angle, 0.59));
    // A tongue is drawn home in its own depth, 6.
    assert!(tight(Lock::TongueAndGroove, 5.9));
    assert!(!tight(Lock::TongueAndGroove, 6.0));
    let mut own = one_room(Lock::Angle, 10.0);
    own.rules.tilt_room = Some(10.5);
    assert!(!fitted(&own).1.ways.is_empty());
}

/// A lining that stands is undercut by the board's thickness, and a lock cannot be folded under it: it is shaved and
/// the joint glued. Common practice, no source.
#[test]
fn under_a_fitted_lining_locks_are_shaved_and_jambs_undercut() {
    let mut plan = two_rooms(Lining::ToCome);
    plan.stock.lock = Lock::FoldDown;
    let (_, fit) = fitted_as_set_out(&plan);
    assert!(fit.ways.is_empty() && fit.undercuts.is_empty());
    plan.doorways[0].lining = Lining::Fitted;
    let (_, fit) = fitted_as_set_out(&plan);
    assert!(fit.ways.is_empty() && fit.undercuts.is_empty(), "boards stop 10 short of the lining");
    plan.doorways[0].under_lining = Some(12.0);
    let (floor, fit) = fitted_as_set_out(&plan);
    // Wall 3 of A runs from (4000, 3000) to the left: the opening from 1000 to 1800 along it is x 2200 to 3000, and boards
    // reach 12 past both.
    assert_eq!(fit.undercuts.len(), 2);
    for (jamb, x, farther) in [(&fit.undercuts[0], 3012.0, false), (&fit.undercuts[1], 2188.0, true)] {
        assert_eq!((jamb.doorway, jamb.farther, jamb.height), (0, farther, 15.0));
        assert!((jamb.at.u - x).abs() < 0.1, "{jamb:?}");
        assert!(!jamb.boards.is_empty());
    }
    assert_eq!(fit.undercuts[0].name(&plan), "Door, jamb nearer to corner 3 of A");
    assert!(!fit.ways.is_empty());
    for way in &fit.ways {
        let board = &floor.boards[way.board];
        assert_eq!(way.motion, Motion::Slide, "{}", board.label);
        assert!(way.under.iter().all(|at| at.kind == EdgeKind::Jamb));
        let high = board.outline.outer.iter().map(|p| p.v).fold(0.0, f64::max);
        assert!(high > 2980.0 && board.right > 2190.0 && board.left < 3010.0, "{}", board.label);
        if board.row != 0 {
            assert!(way.shaved.contains(&Part::Groove), "{}", board.label);
        }
    }
    // A tongue is slid home anyhow: where the board comes from the open side, nothing is shaved.
    plan.stock.lock = Lock::TongueAndGroove;
    let (_, fit) = fitted_as_set_out(&plan);
    assert!(fit.ways.iter().any(|way| way.from == Some(Part::Tongue) && way.shaved.is_empty()));
}

/// A passage of 1000 between two kicks 30 deep, from one height of the room to another: rows 1060 long there, one
/// board each.
fn between_kicks(lock: Lock, (low, high): (f64, f64)) -> Plan {
    let mut plan = one_room(lock, 10.0);
    // No two ends fit into 1060.
    plan.rules.least_end = 600.0;
    for (name, x) in [("Left run", 0.0), ("Right run", 2500.0)] {
        plan.fixtures.push(Fixture::plain(
            name,
            FixtureKind::Kick { clearance: 17.0, tuck: 30.0 },
            corners(x, low, 1500.0, high - low),
        ));
    }
    plan
}

#[test]
fn a_board_longer_than_the_floor_between_two_kicks_comes_from_past_their_end_or_not_at_all() {
    for lock in [Lock::FoldDown, Lock::TongueAndGroove] {
        // From wall to wall there is no end to come from.
        let (floor, fit) = fitted(&between_kicks(lock, (0.0, 3000.0)));
        assert_eq!(fit.ways.len(), floor.boards.len(), "each lies under both kicks");
        for way in &fit.ways {
            assert!((floor.boards[way.board].length() - 1060.0).abs() < 0.1);
            assert_eq!((way.motion, way.under.len(), way.shaved.len()), (Motion::Blocked, 2, 0));
        }
        // Kicks that leave 1000 at either end let boards slide in between them along the rows laid before.
        let (floor, fit) = fitted(&between_kicks(lock, (1000.0, 2000.0)));
        // Whole rows between them: from kick to kick in one board.
        let is_between = |way: &&WayIn| (floor.boards[way.board].length() - 1060.0).abs() < 0.1;
        let between: Vec<&WayIn> = fit.ways.iter().filter(is_between).collect();
        assert!(between.len() >= 3, "{}", between.len());
        for way in between {
            let board = &floor.boards[way.board];
            assert_eq!((way.motion, way.tuck), (Motion::Slide, Some(TuckWay::Along)), "{}", board.label);
            // A tongue is slid home anyhow; a lock cannot be folded there. The first row closes no joint.
            let shaves = lock == Lock::FoldDown && board.row != 0;
            assert_eq!(way.shaved == [Part::Groove], shaves, "{}", board.label);
        }
    }
}

#[test]
fn between_two_jambs_at_its_long_sides_a_board_comes_along_the_row() {
    // Rows run through a doorway 166 wide, with 12 under either lining one board of 190: linings at both its long sides.
    // The opening lies from 1000 to 1166 along a wall from x 4000 down, so that the board lies from x 2822 to 3012;
    // turned by 90° that is v −3012 to −2822, and −3012 is 28 past a multiple of 190.
    let mut plan = two_rooms(Lining::Fitted);
    plan.stock.lock = Lock::FoldDown;
    plan.rows_at = 90.0;
    plan.doorways[0].width = 166.0;
    plan.doorways[0].under_lining = Some(12.0);
    plan.start_line = StartLine::At(28.0);
    let (floor, fit) = fitted(&plan);
    let both: Vec<&WayIn> = fit
        .ways
        .iter()
        .filter(|way| {
            [Part::Groove, Part::Tongue].iter().all(|part| way.under.iter().any(|at| at.part == *part))
        })
        .collect();
    assert!(!both.is_empty(), "{:?}", fit.ways.iter().map(|w| w.words(&plan)).collect::<Vec<_>>());
    for way in both {
        let board = &floor.boards[way.board];
        let expected = if board.ends_run { Motion::Blocked } else { Motion::Slide };
        assert_eq!(way.motion, expected, "{}", board.label);
    }
}

#[test]
fn in_a_throat_closed_by_a_trim_a_board_under_both_linings_has_no_way_in() {
    // Boards 840 long in an opening of 800, 20 under each lining; rows go through the wall from the line in A.
    let mut plan = two_rooms(Lining::Fitted);
    plan.stock.lock = Lock::FoldDown;
    plan.rooms.truncate(1);
    plan.doorways[0].rough_width = Some(880.0);
    plan.doorways[0].under_lining = Some(20.0);
    let throat = |plan: &Plan| {
        let (floor, fit) = fitted(plan);
        let is_there = |board: &lay::Board| board.outline.outer.iter().all(|p| p.v > 2995.0);
        let mut found: Vec<(Motion, Option<Part>)> = Vec::new();
        for (index, board) in floor.boards.iter().enumerate().filter(|(_, board)| is_there(board)) {
            assert!((board.length() - 840.0).abs() < 0.1, "{}", board.length());
            let way = fit.other_way(index).unwrap();
            found.push((way.motion, way.from));
        }
        found
    };
    // The line such that a row lies in the throat alone: 3000 on a row line, its sides in the wall.
    plan.start_line = StartLine::At(3000.0 % 190.0);
    plan.doorways[0].wall_thickness = 250.0;
    // Under the leaf of a door that closes far out nothing stands, and the board comes from there.
    plan.doorways[0].leaf = Some(Leaf::swinging(Side::Far, 40.0));
    plan.doorways[0].beyond = Beyond::UnderLeaf;
    let open = throat(&plan);
    assert!(
        !open.is_empty() && open.iter().all(|found| *found == (Motion::Slide, Some(Part::Tongue))),
        "{open:?}"
    );
    // A trim there closes it.
    plan.doorways[0].beyond = Beyond::Trim(40.0);
    let closed = throat(&plan);
    assert_eq!(closed.last(), Some(&(Motion::Blocked, None)), "{closed:?}");
    // Linings to come stand over nothing yet.
    plan.doorways[0].lining = Lining::ToCome;
    assert!(fitted(&plan).1.ways.is_empty());
}

#[test]
fn along_a_kick_the_groove_edge_is_shaved() {
    // The bench's front lies along the rows, above them: boards go under it with their tongue edge.
    let mut plan = one_room(Lock::TongueAndGroove, 10.0);
    plan.fixtures.push(Fixture::plain(
        "Bench",
        FixtureKind::Kick { clearance: 17.0, tuck: 30.0 },
        corners(0.0, 2400.0, 4000.0, 600.0),
    ));
    let (floor, fit) = fitted(&plan);
    // The floor ends 30 behind the bench's front at 2400. A row line lies at 140 + 12 · 190 = 2420: the last row is 10 wide and
    // lies under the kick all of it, the one before it with its last 20. All of both, and no others, go in otherwise.
    let high = |board: &lay::Board| board.outline.outer.iter().map(|p| p.v).fold(f64::NEG_INFINITY, f64::max);
    let is_under = |board: &&lay::Board| high(board) > 2400.0 + 1.0;
    assert_eq!(fit.ways.len(), floor.boards.iter().filter(is_under).count());
    for at in [2420.0, 2430.0] {
        let count = fit.ways.iter().filter(|way| (high(&floor.boards[way.board]) - at).abs() < 0.1).count();
        assert!(count > 0, "no board that ends at {at}");
    }
    for way in &fit.ways {
        assert_eq!((way.motion, way.from), (Motion::Slide, Some(Part::Groove)));
        assert_eq!(way.shaved[0], Part::Groove);
        assert_eq!(
            way.words(&plan).split(';').next(),
            Some("slide under kick of Bench, pushed further under, drawn back on to the next board")
        );
    }
    assert!(by_label(&floor, &fit, "1-1").is_none());
}

#[test]
fn the_slip_tongue_runs_from_gap_to_gap() {
    let (floor, fit) = fitted(&one_room(Lock::TongueAndGroove, 10.0));
    assert_eq!(fit.slips.len(), 1);
    // 4000 less a gap of 10 at each end.
    assert!((fit.slip_length() - 3980.0).abs() < 0.1);
    assert!((fit.slips[0].from.v - floor.lines[0]).abs() < 1e-9);
}
