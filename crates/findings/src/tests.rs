//! Every kind of flag on floors worked out by hand, just outside its limit and just inside.
#![allow(clippy::unwrap_used)]

use crate::{Flag, FlagKind, Severity, Subject, inspect};
use fit::Fit;
use lay::{Board, End, Floor, Joint, Outline, Run};
use plan::{Pattern, Plan, Point, Room};
use site::{Site, Uv};

const PITCH: f64 = 200.0;

pub(crate) fn plan() -> Plan {
    let mut plan = Plan::new("t");
    plan.stock.face_width = PITCH;
    plan.rules.least_rip = 50.0;
    plan.rules.least_end = 300.0;
    plan.rules.least_stagger = 300.0;
    plan.rules.in_line = 10.0;
    plan.rules.least_leg = 30.0;
    let corners = [(0.0, 0.0), (6000.0, 0.0), (6000.0, 3000.0), (0.0, 3000.0)];
    plan.rooms.push(Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y))));
    plan
}

fn rectangle(left: f64, low: f64, right: f64, high: f64) -> Vec<Uv> {
    [(left, low), (right, low), (right, high), (left, high)].map(|(u, v)| Uv::new(u, v)).to_vec()
}

fn board(row: i32, run: usize, outline: Vec<Uv>, ends: (bool, bool)) -> Board {
    let range = |f: fn(&Uv) -> f64| {
        let low = outline.iter().map(f).fold(f64::INFINITY, f64::min);
        (low, outline.iter().map(f).fold(f64::NEG_INFINITY, f64::max))
    };
    let ((left, right), (low, high)) = (range(|p| p.u), range(|p| p.v));
    Board {
        label: format!("{row}-{run}"),
        region: 0,
        row,
        run,
        along: Uv::new(1.0, 0.0),
        left,
        right,
        base: f64::from(row) * PITCH,
        lean: 0.0,
        hand: None,
        in_border: false,
        area: 0.0,
        turned: false,
        left_end: End::Factory,
        right_end: End::Factory,
        starts_run: ends.0,
        ends_run: ends.1,
        shaped: outline.len() > 4,
        width: high - low,
        outline: Outline { outer: outline, holes: Vec::new() },
        stock: 0,
        from: 0.0,
    }
}

/// A floor of rows from 0 to 6000 with joints at these places, each row a full board high.
pub(crate) fn rows(joints: &[&[f64]]) -> Floor {
    let mut floor = Floor { pitch: PITCH, lines: vec![0.0], ..Floor::default() };
    for (row, places) in joints.iter().enumerate() {
        let (low, high) = (row as f64 * PITCH, (row + 1) as f64 * PITCH);
        let first = floor.boards.len();
        let ends: Vec<f64> = std::iter::once(0.0).chain(places.iter().copied()).chain([6000.0]).collect();
        for (i, pair) in ends.windows(2).enumerate() {
            let outline = rectangle(pair[0], low, pair[1], high);
            floor.boards.push(board(row as i32, row, outline, (i == 0, i + 2 == ends.len())));
        }
        for (i, u) in places.iter().enumerate() {
            let left = first + i;
            floor.joints.push(Joint { row: row as i32, u: *u, low, high, left, right: left + 1 });
        }
        let boards = first..floor.boards.len();
        floor.runs.push(Run {
            region: 0,
            row: row as i32,
            left: 0.0,
            right: 6000.0,
            boards,
            ..Run::default()
        });
    }
    floor
}

/// One board alone in its run.
fn single(outline: Vec<Uv>, shaped: bool) -> Floor {
    let mut floor = rows(&[]);
    let mut board = board(0, 0, outline, (true, true));
    board.shaped = shaped;
    floor.runs.push(Run {
        region: 0,
        row: 0,
        left: board.left,
        right: board.right,
        boards: 0..1,
        ..Run::default()
    });
    floor.boards.push(board);
    floor
}

fn flags_of(floor: &Floor) -> Vec<Flag> {
    let plan = plan();
    let site: Site = site::survey(&plan);
    inspect(&plan, &site, floor, &Fit::default())
}

fn only(floor: &Floor, kind: FlagKind) -> Flag {
    let flags = flags_of(floor);
    assert_eq!(flags.iter().map(|f| f.kind).collect::<Vec<_>>(), [kind]);
    flags.into_iter().next().unwrap()
}

fn none(floor: &Floor) {
    assert_eq!(flags_of(floor), []);
}

#[test]
fn a_rip_under_the_least_is_a_sliver() {
    let flag = only(&single(rectangle(1000.0, 0.0, 2500.0, 49.0), false), FlagKind::Sliver);
    assert_eq!((flag.severity, flag.figure, flag.limit), (Severity::Fault, 49.0, 50.0));
    assert_eq!(flag.subject, Subject::Board(0));
    assert_eq!(flag.place, "Hall, row 1, board 0-0");
    assert!(flag.mend.contains("start line"));
    none(&single(rectangle(1000.0, 0.0, 2500.0, 50.0), false));
}

/// Gaps of 10 may be 14 wide: a strip of 3.5 is taken up in that play, one of 19.5 is not. Boards that go 30 under a kick may
/// leave a strip of 6 out: 24 stay under it, more than 3 of cover and 1 of tolerance; of 27 that leaves 3 stay.
#[test]
fn a_sliver_is_mended_only_by_what_can_be_done_there() {
    let mend = |fixture: bool, width: f64| {
        let mut plan = plan();
        if fixture {
            let outline = [(-20.0, -20.0), (6020.0, -20.0), (6020.0, 600.0), (-20.0, 600.0)].map(Point::from);
            let kick = plan::FixtureKind::Kick { clearance: 100.0, tuck: 30.0 };
            plan.fixtures.push(plan::Fixture::plain("Bench", kick, outline.to_vec()));
        }
        let edge = if fixture { 570.0 } else { 10.0 };
        let floor = single(rectangle(1000.0, edge, 2500.0, edge + width), false);
        let site = site::survey(&plan);
        let flags = inspect(&plan, &site, &floor, &Fit::default());
        flags.into_iter().find(|flag| flag.kind == FlagKind::Sliver).unwrap().mend
    };
    let move_by = |by: f64| format!("move the start line {by} away from this edge");
    assert_eq!(mend(false, 3.5), move_by(47.0) + ", or take up the strip in the gap's play");
    assert_eq!(mend(false, 19.5), move_by(31.0));
    let leave = ", or leave the strip out: the row before it still goes 24 under";
    assert_eq!(mend(true, 6.0), move_by(44.0) + leave);
    assert_eq!(mend(true, 27.0), move_by(23.0));
}

/// A room 40 wide keeps 20 between its gaps on any line: to move that mends nothing. One of 240 keeps 220, and a strip of 20
/// beside its wall is the line's doing.
#[test]
fn a_floor_as_narrow_as_its_sliver_is_not_mended_by_the_line() {
    let mend = |height: f64| {
        let mut plan = plan();
        let corners = [(0.0, 0.0), (6000.0, 0.0), (6000.0, height), (0.0, height)];
        plan.rooms = vec![Room::boarded("Niche", corners.map(Point::from))];
        let site = site::survey(&plan);
        let floor = single(rectangle(1000.0, 10.0, 2500.0, 30.0), false);
        let flags = inspect(&plan, &site, &floor, &Fit::default());
        flags.into_iter().find(|flag| flag.kind == FlagKind::Sliver).unwrap().mend
    };
    assert!(mend(40.0).starts_with("the floor is no wider here between its gaps"), "{}", mend(40.0));
    assert!(mend(240.0).starts_with("move the start line 30 away"), "{}", mend(240.0));
}

#[test]
fn a_tapered_rip_counts_at_its_narrow_end() {
    let taper = |end: f64| {
        let mut outline = rectangle(1000.0, 0.0, 2500.0, 60.0);
        outline[2].v = end;
        single(outline, true)
    };
    let flag = only(&taper(42.0), FlagKind::Sliver);
    assert!((flag.figure - 42.0).abs() < 1e-9);
    none(&taper(51.0));
}

#[test]
fn a_slanted_end_is_no_sliver() {
    // An end cut at 45° runs to a point; it narrows nothing along the board.
    let mut outline = rectangle(1000.0, 0.0, 2500.0, PITCH);
    outline[1].u = 2300.0;
    none(&single(outline, true));
}

#[test]
fn a_notch_that_leaves_a_thin_leg_is_flagged() {
    let notched = |left: f64| {
        let points = [
            (1000.0, 0.0),
            (2500.0, 0.0),
            (2500.0, PITCH),
            (1600.0, PITCH),
            (1600.0, left),
            (1300.0, left),
            (1300.0, PITCH),
            (1000.0, PITCH),
        ];
        single(points.map(|(u, v)| Uv::new(u, v)).to_vec(), true)
    };
    let flag = only(&notched(29.0), FlagKind::ThinLeg);
    assert!((flag.figure - 29.0).abs() < 1e-9 && flag.severity == Severity::Look);
    assert!((flag.at.x - 1450.0).abs() < 1e-9, "the pennant stands on the leg");
    none(&notched(30.0));
}

#[test]
fn a_leg_across_the_board_is_flagged_too() {
    // A notch 22 from the end leaves a tab 22 long and 150 high.
    let tab = |end: f64| {
        let points = [
            (1000.0, 0.0),
            (2500.0, 0.0),
            (2500.0, PITCH),
            (2500.0 - end, PITCH),
            (2500.0 - end, 50.0),
            (2200.0, 50.0),
            (2200.0, PITCH),
            (1000.0, PITCH),
        ];
        single(points.map(|(u, v)| Uv::new(u, v)).to_vec(), true)
    };
    let flag = only(&tab(22.0), FlagKind::ThinLeg);
    assert!((flag.figure - 22.0).abs() < 1e-9);
    assert!(flag.mend.starts_with("cut the notch last"), "{}", flag.mend);
    none(&tab(31.0));
    // What no glue holds is not to be glued: common practice, no source.
    let crumb = only(&tab(3.0), FlagKind::ThinLeg).mend;
    assert!(crumb.starts_with("so thin a leg holds nothing: saw it off"), "{crumb}");
}

#[test]
fn short_starters_and_closers_are_faults_where_they_could_be_longer() {
    let flag = only(&rows(&[&[299.0, 2400.0, 4500.0]]), FlagKind::ShortEnd);
    assert_eq!((flag.severity, flag.figure), (Severity::Fault, 299.0));
    let flag = only(&rows(&[&[2100.0, 4200.0, 5800.0]]), FlagKind::ShortEnd);
    assert_eq!(flag.figure, 200.0);
    none(&rows(&[&[300.0, 2400.0, 5700.0]]));
    // In a run no longer than that there is nothing to move.
    let flag = only(&single(rectangle(1000.0, 0.0, 1250.0, PITCH), false), FlagKind::ShortEnd);
    assert_eq!(flag.severity, Severity::Look);
    assert!(flag.mend.starts_with("the walls leave no more here"), "{}", flag.mend);
    // A passage of 10 between a wall and an island, each with its gap, holds no board worth fixing; one of 30 holds a leg.
    let slot = |width: f64| {
        only(&single(rectangle(1000.0, 0.0, 1000.0 + width, PITCH), false), FlagKind::ShortEnd).mend
    };
    assert!(slot(10.0).starts_with("so narrow a passage holds no board"), "{}", slot(10.0));
    assert!(slot(30.0).starts_with("the walls leave no more here"), "{}", slot(30.0));
    // Nor does a tip of 20 between two walls aslant.
    let tip = [(1000.0, 0.0), (1020.0, 0.0), (1000.0, 90.0)].map(|(u, v)| Uv::new(u, v)).to_vec();
    let flags = flags_of(&single(tip, true));
    let mend = &flags.iter().find(|flag| flag.kind == FlagKind::ShortEnd).unwrap().mend;
    assert!(mend.starts_with("so small a tip holds nothing"), "{mend}");
    // A run of 6000 from 1000 to 7000 is as long.
    let mut further = rows(&[&[299.0, 2400.0, 4500.0]]);
    (further.runs[0].left, further.runs[0].right) = (1000.0, 7000.0);
    for board in &mut further.boards {
        (board.left, board.right) = (board.left + 1000.0, board.right + 1000.0);
        board.outline.outer.iter_mut().for_each(|p| p.u += 1000.0);
    }
    assert_eq!(only(&further, FlagKind::ShortEnd).severity, Severity::Fault);
}

/// In halves and thirds a starter's neighbour is a whole board and its joint one of a line through the house: no board is made
/// longer there at its neighbour's cost. Of a border's boards it still is.
#[test]
fn a_short_end_of_a_bond_is_not_mended_by_its_neighbour() {
    let mend = |pattern: Pattern, in_border: bool| {
        let plan = Plan { pattern, ..plan() };
        let mut floor = rows(&[&[299.0, 2400.0, 4500.0]]);
        floor.boards[0].in_border = in_border;
        let flags = inspect(&plan, &site::survey(&plan), &floor, &Fit::default());
        flags.into_iter().find(|flag| flag.kind == FlagKind::ShortEnd).unwrap().mend
    };
    let longer = "lengthen it by 1 and shorten its neighbour";
    assert_eq!(mend(Pattern::Irregular, false), longer);
    assert_eq!(mend(Pattern::Third, true), longer);
    for (pattern, other) in [(Pattern::Half, "thirds"), (Pattern::Third, "halves")] {
        let told = mend(pattern, false);
        assert!(told.contains("hang together") && told.contains(&format!("or {other} in place")), "{told}");
    }
}

/// Blocks at 45° to the axis: a strip of 16 along a wall aslant, and a tip of 3 that a wall across the axis leaves. Neither is
/// mended by the line alone, and nobody glues a tip of 3.
#[test]
fn small_pieces_of_blocks_are_mended_by_axis_and_points() {
    let half = std::f64::consts::FRAC_1_SQRT_2;
    let mend = |shape: &[(f64, f64)], shaped: bool, kind: FlagKind| {
        let turned = |(s, t): &(f64, f64)| Uv::new(2000.0 + half * (s - t), 1000.0 + half * (s + t));
        let mut floor = single(shape.iter().map(turned).collect(), shaped);
        floor.boards[0].along = Uv::new(half, half);
        floor.boards[0].width = shape.iter().map(|(_, t)| *t).fold(0.0, f64::max);
        let flags = flags_of(&floor);
        flags.into_iter().find(|flag| flag.kind == kind).unwrap().mend
    };
    let strip = mend(&[(0.0, 0.0), (369.0, 0.0), (369.0, 16.0), (0.0, 16.0)], false, FlagKind::Sliver);
    assert_eq!(
        strip,
        "shift the axis line or the points along it until the piece is 34 wider, or lay a border"
    );
    let tip = |high: f64| mend(&[(0.0, 0.0), (2.0 * high, 0.0), (high, high)], true, FlagKind::PointPiece);
    assert!(tip(3.0).contains("leave so small a tip out"), "{}", tip(3.0));
    assert!(tip(20.0).ends_with("or glue them to their neighbours"), "{}", tip(20.0));
}

#[test]
fn joints_nearer_than_the_least_stagger_are_faults() {
    let flag = only(&rows(&[&[2000.0], &[2299.0]]), FlagKind::JointsClose);
    assert_eq!((flag.severity, flag.figure, flag.limit), (Severity::Fault, 299.0, 300.0));
    assert_eq!(flag.subject, Subject::Joints(vec![0, 1]));
    none(&rows(&[&[2000.0], &[2300.0]]));
}

#[test]
fn joints_in_line_two_rows_apart_make_an_h() {
    let flag = only(&rows(&[&[2000.0], &[3000.0], &[2010.0]]), FlagKind::HJoint);
    assert_eq!((flag.severity, flag.figure), (Severity::Look, 10.0));
    none(&rows(&[&[2000.0], &[3000.0], &[2011.0]]));
}

#[test]
fn three_even_steps_make_a_stair() {
    let stair = only(&rows(&[&[1000.0], &[1400.0], &[1805.0], &[2200.0]]), FlagKind::Stairs);
    assert_eq!(stair.severity, Severity::Look);
    assert_eq!(stair.subject, Subject::Joints(vec![0, 1, 2, 3]));
    none(&rows(&[&[1000.0], &[1400.0], &[1800.0], &[2240.0]]));
    // Two steps are no stair.
    none(&rows(&[&[1000.0], &[1400.0], &[1800.0]]));
}

#[test]
fn floor_over_its_limit_is_a_fault_either_way() {
    let plan = plan();
    let site = site::survey(&plan);
    let floor = rows(&[]);
    let stretch =
        |extent| fit::Continuous { region: 0, extent, from: Uv::new(10.0, 10.0), to: Uv::new(10.0, 2990.0) };
    let with = |width: f64, length: f64| {
        let fit = Fit { widths: vec![stretch(width)], lengths: vec![stretch(length)], ..Fit::default() };
        inspect(&plan, &site, &floor, &fit).into_iter().map(|f| (f.kind, f.severity)).collect::<Vec<_>>()
    };
    assert_eq!(with(8000.0, 16000.0), []);
    assert_eq!(with(8000.5, 16000.0), [(FlagKind::WideFloor, Severity::Fault)]);
    assert_eq!(with(8000.0, 16000.5), [(FlagKind::LongFloor, Severity::Fault)]);
    // In the middle of the stretch from (10, 10) to (10, 2990).
    let fit = Fit { widths: vec![stretch(9000.0)], ..Fit::default() };
    let at = inspect(&plan, &site, &floor, &fit)[0].at;
    assert_eq!((at.x, at.y), (10.0, 1500.0));
}

#[test]
fn a_stretch_without_boards_is_flagged_with_the_packs_that_are_missing() {
    let mut floor = rows(&[&[2000.0], &[3000.0]]);
    assert!(flags_of(&floor).iter().all(|flag| flag.kind != FlagKind::StockShort));
    floor.short.push(lay::Short {
        run: 1,
        left: 0.0,
        right: 6000.0,
        at: Uv::new(3000.0, 1.5 * PITCH),
        length: 6000.0,
        in_border: false,
    });
    let flag = flags_of(&floor).into_iter().find(|flag| flag.kind == FlagKind::StockShort).unwrap();
    assert_eq!((flag.severity, flag.figure, flag.place.as_str()), (Severity::Fault, 6000.0, "Hall, row 2"));
    // A pack holds 4 × 2200 + 1900 + 1250 = 11 950 mm.
    assert!(flag.mend.starts_with("have 1 more of the packs"), "{}", flag.mend);
}

#[test]
fn faults_come_first() {
    let flags = flags_of(&rows(&[&[2000.0], &[2299.0], &[2005.0]]));
    let severities: Vec<Severity> = flags.iter().map(|f| f.severity).collect();
    let mut sorted = severities.clone();
    sorted.sort();
    assert_eq!(severities, sorted);
    assert!(flags.len() >= 3);
}

/// Two courses side by side along the lower wall, and one along another that they do not touch.
#[test]
fn joints_of_two_courses_keep_the_stagger() {
    let border = |second: f64, between: usize| {
        let mut joints: Vec<&[f64]> = vec![&[]; between];
        let second = [second];
        joints.insert(0, &[3000.0]);
        joints.push(&second);
        let mut floor = rows(&joints);
        floor.joints.clear();
        floor.boards.iter_mut().for_each(|board| board.in_border = true);
        floor
    };
    let flag = only(&border(3299.0, 0), FlagKind::JointsClose);
    assert_eq!((flag.severity, flag.figure, flag.limit), (Severity::Fault, 299.0, 300.0));
    assert_eq!(flag.place, "Hall, border, board 1-1");
    none(&border(3300.0, 0));
    // Two courses apart they may not stand in line.
    assert_eq!(only(&border(3010.0, 1), FlagKind::HJoint).limit, 10.0);
    none(&border(3011.0, 1));
    none(&border(3000.0, 2));
    // 3 mm apart, and in line up to 10: by 8 they come to 11.
    let mend = only(&border(3003.0, 1), FlagKind::HJoint).mend;
    assert!(mend.starts_with("move its joint by 8 or more"), "{mend}");
}

/// Four courses whose joints step by 310 each make a stair; with the last one 11 further on they do not.
#[test]
fn joints_of_four_courses_that_step_evenly_make_a_stair() {
    let border = |last: f64| {
        let mut floor = rows(&[&[3000.0], &[3310.0], &[3620.0], &[last]]);
        floor.joints.clear();
        floor.boards.iter_mut().for_each(|board| board.in_border = true);
        floor
    };
    let flag = only(&border(3930.0), FlagKind::Stairs);
    assert_eq!((flag.figure, flag.limit), (310.0, 10.0));
    none(&border(3941.0));
    // Of five courses the first four make one, and the last four.
    let mut five = rows(&[&[3000.0], &[3310.0], &[3620.0], &[3930.0], &[4240.0]]);
    five.joints.clear();
    five.boards.iter_mut().for_each(|board| board.in_border = true);
    let kinds: Vec<FlagKind> = flags_of(&five).iter().map(|flag| flag.kind).collect();
    assert_eq!(kinds, [FlagKind::Stairs, FlagKind::Stairs]);
}

/// Two courses along the upper wall, their tongues down to the floor: the outer one lies above.
#[test]
fn joints_of_courses_along_the_upper_wall_keep_the_stagger() {
    let border = |inner: f64| {
        let mut floor = rows(&[&[inner], &[3000.0]]);
        floor.joints.clear();
        for board in &mut floor.boards {
            (board.in_border, board.turned, board.row) = (true, true, 1 - board.row);
        }
        floor
    };
    let flag = only(&border(3299.0), FlagKind::JointsClose);
    assert_eq!((flag.figure, flag.limit), (299.0, 300.0));
    none(&border(3300.0));
}

/// A border's course and the second of two rows beside it: the row that lies along it counts, the next one does not.
#[test]
fn joints_of_a_border_keep_the_stagger_from_the_row_along_it() {
    let beside = |first: f64, second: f64| {
        let mut floor = rows(&[&[3000.0], &[first], &[second]]);
        floor.joints.remove(0);
        floor.boards.iter_mut().take(2).for_each(|board| board.in_border = true);
        floor
    };
    let flag = only(&beside(3100.0, 1000.0), FlagKind::JointsClose);
    assert_eq!((flag.figure, flag.limit), (100.0, 300.0));
    none(&beside(3300.0, 3900.0));
    // Where a wall keeps the row's boards 100 mm off the border its joint does not count.
    let mut off = beside(3100.0, 1000.0);
    off.joints[0].low += 100.0;
    none(&off);
}

/// A flag stands between the joints it is about: at the mean of their middles.
#[test]
fn flags_on_joints_stand_between_them() {
    // Rows of 200 mm: their middles lie 100 and 300 up.
    let flag = only(&rows(&[&[3000.0], &[3100.0]]), FlagKind::JointsClose);
    assert_eq!((flag.at.x, flag.at.y), (3050.0, 200.0));
    // A joint of 250 to 300 needs 50 more, and the row is counted from 1.
    let flag = only(&rows(&[&[3000.0], &[3250.0]]), FlagKind::JointsClose);
    assert_eq!((flag.figure, flag.mend.as_str()), (250.0, "move the joint in row 2 by 50"));
    let flag = only(&rows(&[&[3000.0], &[1500.0], &[3004.0]]), FlagKind::HJoint);
    assert_eq!((flag.at.x, flag.at.y), (3002.0, 300.0));
    assert_eq!((flag.figure, flag.mend.as_str()), (4.0, "move one of the two joints by more than 20"));
}

/// A board's way in as fitting gives it: what stands at its right end, so far off.
fn way(board: usize, motion: fit::Motion, kind: site::EdgeKind, gap: f64) -> fit::WayIn {
    let at =
        fit::Meets { part: fit::Part::Right, kind, source: site::Source::Wall { room: 0, wall: 1 }, gap };
    let is_blocked = motion == fit::Motion::Blocked;
    fit::WayIn {
        board,
        motion,
        from: None,
        shaved: if is_blocked { Vec::new() } else { vec![fit::Part::Left] },
        under: if is_blocked { vec![at] } else { Vec::new() },
        tuck: None,
        astride: Vec::new(),
        tight: if is_blocked { Vec::new() } else { vec![fit::Tight { at, need: 5.0, edge: (0, 1) }] },
    }
}

#[test]
fn a_board_without_a_way_in_is_a_fault_and_a_tight_gap_is_worth_a_look() {
    let floor = rows(&[&[2000.0, 4000.0], &[1000.0, 3000.0]]);
    let (plan, site) = (plan(), site::survey(&plan()));
    let ways = vec![
        way(1, fit::Motion::Blocked, site::EdgeKind::Kick, -30.0),
        way(2, fit::Motion::Drop, site::EdgeKind::TileTrim, 5.0),
        way(5, fit::Motion::Drop, site::EdgeKind::TileTrim, 4.5),
    ];
    let flags = inspect(&plan, &site, &floor, &Fit { ways, ..Fit::default() });
    let of = |kind| flags.iter().filter(|flag| flag.kind == kind).collect::<Vec<&Flag>>();
    let blocked = of(FlagKind::NoWayIn);
    assert_eq!(blocked.len(), 1);
    assert_eq!((blocked[0].severity, &blocked[0].subject), (Severity::Fault, &Subject::Board(1)));
    assert_eq!((blocked[0].figure, blocked[0].limit), (30.0, 0.0));
    assert!(blocked[0].mend.starts_with("take the kick off Hall, wall 2"), "{}", blocked[0].mend);
    // Two boards at one edge have one flag, on the smaller gap.
    let tight = of(FlagKind::TightGap);
    assert_eq!(tight.len(), 1);
    assert_eq!((tight[0].severity, &tight[0].subject), (Severity::Look, &Subject::Boards(vec![2, 5])));
    assert_eq!((tight[0].figure, tight[0].limit), (4.5, 5.0));
    assert!(tight[0].place.contains("row 2") && tight[0].mend.contains("shave the left end"));
}
