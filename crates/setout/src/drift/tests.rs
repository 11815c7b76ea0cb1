//! What measured rows leave at the edges to come, worked out by hand.
#![allow(clippy::unwrap_used)]
use super::*;
use crate::set_out;
use plan::{
    Fixture, FixtureKind, GapRange, Laid, LaidBoard, LaidPart, LaidStock, Point, Room, RowPull, StartLine,
    ToCome,
};
use site::Source;

/// A room 5000 deep between gaps of 10 without play, boards 140 wide, the start line at 10 + 90: a rip of 90 at the
/// lower wall. Rows of which the first `rows` are laid, `across` together.
fn begun(depth: f64, rows: i32, across: Option<f64>) -> Plan {
    let mut plan = Plan::new("t");
    plan.stock.face_width = 140.0;
    plan.rules.least_rip = 50.0;
    plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
    plan.start_line = StartLine::At(100.0);
    let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, depth + 20.0), (0.0, depth + 20.0)];
    plan.rooms.push(Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y))));
    let board =
        |row: i32| LaidBoard { stock: row as usize, starts: true, ..LaidBoard::plain(row, 1, 10.0, 2210.0) };
    let pulls = across.map(|across| RowPull { first: 0, last: rows - 1, across });
    plan.laid = Some(Laid {
        rows_at: 0.0,
        pitch: 140.0,
        first_row: -1,
        to_come: ToCome::AsMeasured,
        parts: vec![LaidPart {
            room: "Hall".into(),
            line: 100.0,
            pulls: pulls.into_iter().collect(),
            as_marked: Vec::new(),
        }],
        stock: vec![LaidStock { length: 2200.0, pack: 0, rest: None, rest_shifts: None }; rows as usize],
        boards: (0..rows).map(board).collect(),
    });
    plan
}

fn drift_of(plan: &Plan) -> Drift {
    assert_eq!(plan.problems(), []);
    let site = site::survey(plan);
    let set = set_out(plan, &site);
    // The side on which something lies; the other is told too.
    drift(plan, &site, &set).into_iter().find(|side| side.rows_laid > 0).unwrap()
}

/// From the line at 100 to the upper gap at 4970 lie 4870 mm: 34 rows of 140 are 4760, which leaves a rip of 110.
/// Twenty rows measure 2806, so a row is 140.3 and 34 rows 4770.2, which leaves 99.8.
#[test]
fn far_walls_get_what_the_measured_rows_leave() {
    let drift = drift_of(&begun(4960.0, 20, Some(2806.0)));
    assert!((drift.off - 6.0).abs() < 1e-9);
    assert_eq!((drift.rows_laid, drift.next_row), (20, 20));
    assert!((drift.measured_pitch.unwrap() - 140.3).abs() < 1e-9);
    let [wall] = drift.edges[..] else { panic!("{:?}", drift.edges) };
    assert!((wall.planned - 110.0).abs() < 1e-9, "{wall:?}");
    assert!((wall.now - 99.8).abs() < 1e-6, "{wall:?}");
    // Fourteen whole rows and the rip.
    assert_eq!((wall.rows, wall.is_short), (15, false));
    assert_eq!(drift.correction, None);
    // 49.8 further from the start line, and it is under 50; 40.5 nearer, and past the pitch a sliver begins.
    assert!((drift.room.1 - 49.8).abs() < 1e-6 && (drift.room.0 - 40.5).abs() < 1e-6, "{:?}", drift.room);
}

/// The same rows 4914 deep between the gaps, 4824 from the line: planned rip 64. With rows of 140.6 (20 make 2812)
/// 34 rows are 4780.4, which leaves 43.6: 6.4 under 50. Fourteen rows remain, 6.4 / 14 = 0.457 narrower each, or
/// 0.5 a row from 13 rows before the wall on: from row 21, the second to come.
#[test]
fn a_rip_under_the_least_is_brought_back_row_by_row() {
    let drift = drift_of(&begun(4914.0, 20, Some(2812.0)));
    let [wall] = drift.edges[..] else { panic!("{:?}", drift.edges) };
    assert!((wall.planned - 64.0).abs() < 1e-9 && (wall.now - 43.6).abs() < 1e-6, "{wall:?}");
    let mend = drift.correction.unwrap();
    assert!((mend.by + 6.4).abs() < 1e-5, "{mend:?}");
    assert_eq!((mend.rows, mend.latest, mend.left_short), (14, Some(21), 0));
    assert!((mend.each + 6.4 / 14.0).abs() < 1e-5);
    assert!((wall.corrected - 50.0).abs() < 1e-5, "{wall:?}");
}

/// A bench stands 4708 above the line, and boards go 60 under it, to 4768: 34 rows of 140 and a strip of 8, all of it
/// hidden; of the row before it 140 − (60 − 8) = 88 are seen. With rows of 140.3 the 34th ends 4770.2 off, 2.2 past the
/// boards' end: the 34th is itself the last, 4768 − 33 · 140.3 = 138.1 wide, of which 78.1 are seen. To the eye that is
/// 9.9 less, and nothing is to be corrected.
#[test]
fn a_strip_that_disappears_under_a_kick_alarms_nobody() {
    let mut plan = begun(4980.0, 20, Some(2806.0));
    let outline = [(-20.0, 4808.0), (4020.0, 4808.0), (4020.0, 5020.0), (-20.0, 5020.0)].map(Point::from);
    let kick = FixtureKind::Kick { clearance: 100.0, tuck: 60.0 };
    plan.fixtures.push(Fixture::plain("Bench", kick, outline.to_vec()));
    let drift = drift_of(&plan);
    let [bench] = drift.edges[..] else { panic!("{:?}", drift.edges) };
    let figures = [bench.planned, bench.now, bench.corrected, bench.wood[0], bench.wood[1], bench.wood[2]];
    for (figure, by_hand) in figures.into_iter().zip([88.0, 78.1, 78.1, 8.0, 138.1, 138.1]) {
        assert!((figure - by_hand).abs() < 1e-6, "{bench:?}");
    }
    assert_eq!((bench.is_short, bench.was_short, drift.correction), (false, false, None));
}

/// Two rooms that no doorway joins, laid from one line: what lies in each is told as that room's.
#[test]
fn what_lies_is_told_of_its_own_room_where_two_lie_by_one_line() {
    let mut plan = begun(4960.0, 5, None);
    let corners = [(5000.0, 0.0), (9000.0, 0.0), (9000.0, 4980.0), (5000.0, 4980.0)];
    plan.rooms.push(Room::boarded("Den", corners.map(|(x, y)| Point::new(x, y))));
    let laid = plan.laid.as_mut().unwrap();
    laid.parts.push(LaidPart { room: "Den".into(), ..laid.parts[0].clone() });
    let beside = |board: &LaidBoard| LaidBoard {
        part: 1,
        number: 2,
        left: board.left + 5000.0,
        right: board.right + 5000.0,
        stock: board.stock + 5,
        ..board.clone()
    };
    laid.boards.extend(laid.boards.iter().map(beside).collect::<Vec<_>>());
    laid.stock.extend(laid.stock.clone());
    assert_eq!(plan.problems(), []);
    let site = site::survey(&plan);
    let all = drift(&plan, &site, &set_out(&plan, &site));
    assert_eq!(all.len(), 4);
    for side in &all {
        let name = &plan.laid.as_ref().unwrap().parts[side.part].room;
        let room = plan.rooms.iter().position(|room| room.name == *name).unwrap();
        let source = |edge: &DriftEdge| site.regions[side.region].outer.edges[edge.edge.edge].source;
        let is_of_room = |edge| matches!(source(edge), Source::Wall { room: of, .. } if of == room);
        assert!(!side.edges.is_empty() && side.edges.iter().all(is_of_room), "{name}: {:?}", side.edges);
    }
}

/// The same house upside down: rows are laid downwards from a line 100 under the upper wall, so that what is made up is
/// made up towards the lower one.
#[test]
fn below_the_line_the_same_is_made_up_the_other_way() {
    for (depth, across, (by, rows, latest)) in
        [(4914.0, 2812.0, (-6.4, 14, 21)), (4986.0, 2796.0, (3.0, 15, 29))]
    {
        let mut plan = begun(depth, 20, Some(across));
        let line = depth + 20.0 - 100.0;
        plan.start_line = StartLine::At(line);
        let laid = plan.laid.as_mut().unwrap();
        laid.first_row = -36;
        laid.parts[0].line = line;
        laid.parts[0].pulls = vec![RowPull { first: -20, last: -1, across }];
        laid.boards.iter_mut().for_each(|board| board.row = -1 - board.row);
        let drift = drift_of(&plan);
        let mend = drift.correction.unwrap();
        assert!((mend.by - by).abs() < 1e-5 && mend.left_short == 0, "{mend:?}");
        // Row −1 is the first below the line.
        assert_eq!((mend.rows, mend.latest), (rows, Some(-1 - latest)));
    }
}

/// 4896 deep from the line: planned 34 rows of 140 and a rip of 136. Rows of 139.8 (20 make 2796) lie 35 times in it,
/// 4893, and leave a strip of 3: the 15 rows before it laid 0.2 wider each end in a whole board. The most a row
/// would do from 6 rows before the wall on: row 29.
#[test]
fn a_strip_goes_into_the_rows_where_that_is_nearer() {
    let drift = drift_of(&begun(4986.0, 20, Some(2796.0)));
    let [wall] = drift.edges[..] else { panic!("{:?}", drift.edges) };
    assert!((wall.planned - 136.0).abs() < 1e-9 && (wall.now - 3.0).abs() < 1e-6, "{wall:?}");
    let mend = drift.correction.unwrap();
    assert!((mend.by - 3.0).abs() < 1e-5 && mend.left_short == 0, "{mend:?}");
    assert_eq!((mend.rows, mend.latest), (15, Some(29)));
    assert!((mend.each - 0.2).abs() < 1e-6);
    assert!((wall.corrected - 139.8).abs() < 1e-5, "{wall:?}");
}

/// The side below the line on which nothing lies: 90 + 3 · 140 = 510 are left there, a rip of 90 as planned. Rows above
/// it measure 140.3, and so are those below taken: 510 − 3 · 140.3 = 89.1. With rows of 154, as 20 that measure 3080,
/// 510 − 3 · 154 = 48: under 50, so three rows are laid 2 narrower in all, 2/3 each, more than a joint hides.
#[test]
fn the_side_not_yet_begun_gets_what_the_rows_measured_leave() {
    let below = |across: Option<f64>| {
        let mut plan = begun(4960.0, 20, across);
        // The lower gap's end lies at 10: the line at 520 is three rows and 90 above it.
        plan.start_line = StartLine::At(520.0_f64.rem_euclid(140.0));
        let laid = plan.laid.as_mut().unwrap();
        laid.parts[0].line = 520.0;
        assert_eq!(plan.problems(), []);
        let site = site::survey(&plan);
        let set = set_out(&plan, &site);
        let mut all = drift(&plan, &site, &set);
        assert_eq!(all.len(), 2, "{all:?}");
        assert!(all[0].is_above && !all[1].is_above);
        all.swap_remove(1)
    };
    let side = below(Some(2806.0));
    assert_eq!((side.rows_laid, side.next_row, side.off), (0, -1, 0.0));
    let [wall] = side.edges[..] else { panic!("{:?}", side.edges) };
    assert!((wall.planned - 90.0).abs() < 1e-9 && (wall.now - 89.1).abs() < 1e-6, "{wall:?}");
    assert_eq!((wall.rows, wall.is_short, side.correction), (4, false, None));

    let side = below(Some(3080.0));
    let [wall] = side.edges[..] else { panic!("{:?}", side.edges) };
    assert!((wall.now - 48.0).abs() < 1e-6 && wall.is_short && !wall.was_short, "{wall:?}");
    let mend = side.correction.unwrap();
    // Below the line, nearer to it is less: the rows end 2 nearer.
    assert!((mend.by + 2.0).abs() < 1e-5 && mend.rows == 3 && mend.latest.is_none(), "{mend:?}");
    assert!((wall.corrected - 50.0).abs() < 1e-5, "{wall:?}");

    // Nobody measured: the side is told all the same, its rip as planned.
    let side = below(None);
    let [wall] = side.edges[..] else { panic!("{:?}", side.edges) };
    assert!((wall.planned - 90.0).abs() < 1e-9 && (wall.now - 90.0).abs() < 1e-9, "{wall:?}");
}

/// 4766 deep from the line a strip of 6 was planned: it is said, and no row is blamed for it.
#[test]
fn what_was_planned_short_is_not_corrected() {
    let drift = drift_of(&begun(4856.0, 20, None));
    let [wall] = drift.edges[..] else { panic!("{:?}", drift.edges) };
    assert!((wall.now - 6.0).abs() < 1e-6 && wall.is_short && wall.was_short);
    assert_eq!((drift.off, drift.correction), (0.0, None));
}

/// 4815 from the line: planned rip 55. 32 rows of 140.4375 measure 4494, 34 are 4774.875 and leave 40.125: 9.875 under the
/// least with two rows to come, which hide 1 mm. No row is early enough.
#[test]
fn what_cannot_be_made_up_is_said() {
    let drift = drift_of(&begun(4905.0, 32, Some(4494.0)));
    let [wall] = drift.edges[..] else { panic!("{:?}", drift.edges) };
    assert!((wall.now - 40.125).abs() < 1e-6 && wall.is_short, "{wall:?}");
    let mend = drift.correction.unwrap();
    assert!((mend.by + 9.875).abs() < 1e-5 && mend.latest.is_none(), "{mend:?}");
}

/// Of the rips that measured rows leave, 100 - 10 = 90 at the lower wall and 99.8 at the upper one, the lower binds.
#[test]
fn the_narrowest_of_what_measured_rows_leave_binds() {
    let plan = begun(4960.0, 20, Some(2806.0));
    let chosen = set_out(&plan, &site::survey(&plan)).chosen;
    assert!((chosen.narrowest - 90.0).abs() < 1e-6, "{}", chosen.narrowest);
    let [binding] = chosen.binding[..] else { panic!("{:?}", chosen.binding) };
    let rip = chosen.rips.iter().find(|rip| rip.edge == binding).unwrap();
    assert!((rip.least - 90.0).abs() < 1e-6, "{rip:?}");
}

/// The rows that measure 140.6 leave 43.6 at the upper wall, 4000 less 2 · 10 long, where 64 was planned; 90 stay at the
/// lower. So the line as it is leaves one edge of 3980 under 50, which as planned it did not, and no other line is offered.
#[test]
fn why_this_line_is_told_of_the_line_as_it_lies() {
    let told = |across: Option<f64>| {
        let plan = begun(4914.0, 20, across);
        let site = site::survey(&plan);
        let set = set_out(&plan, &site);
        let why = crate::advise(&plan, &site, &set).why;
        (set.chosen.short_length, set.chosen.value.short, why)
    };
    let (short, weighed, why) = told(Some(2812.0));
    assert!((short - 3980.0).abs() < 1e-6 && (weighed - 3980.0).abs() < 1e-6, "{short}, {weighed}");
    assert_eq!(
        why.leaves,
        "This line leaves 44 along wall 3 of Hall, 3\u{a0}980 long, where 50 is the least; every other edge keeps 90 or more."
    );
    assert_eq!(why.instead, "Boards lie from it, so no other line is to be had.");
    assert!(why.care.starts_with("Glue what is left at wall 3 of Hall"), "{}", why.care);
    let (short, _, why) = told(None);
    assert_eq!(short, 0.0);
    assert_eq!(why.leaves, "This line keeps 64 or more at every edge; it is narrowest at wall 3 of Hall.");
}
