//! What is laid: it must hang together, and the plan must still be one it can lie in.

use super::{Checker, Place};
use crate::{Laid, LaidBoard, LaidPart, LaidStock, ONE_LINE, Plan, RowLines, RowPull};
use std::collections::{BTreeMap, BTreeSet};

/// Boards laid over one another by less than this are side by side, mm.
const OVER: f64 = 1.0;
/// Pieces may pass the end of their board by rounding, mm.
const EXACT: f64 = 0.1;
/// Pulls over the same rows that agree to this much do not contradict each other, mm.
const AGREE: f64 = 2.0;
/// Rows are counted no further from the start line than this: a kilometre of the narrowest boards.
const FARTHEST_ROW: i32 = 100_000;

pub(super) fn check(checker: &mut Checker<'_>) {
    let Some(laid) = &checker.plan.laid else { return };
    fits_the_plan(checker, laid);
    parts(checker, laid);
    let before = checker.found.len();
    for (index, board) in laid.boards.iter().enumerate() {
        if checker.is_full() {
            return;
        }
        board_is_sound(checker, laid, index, board);
    }
    if checker.found.len() == before {
        apart(checker, laid);
    }
}

fn place() -> Place {
    Place::Plan("laid")
}

fn fits_the_plan(checker: &mut Checker<'_>, laid: &Laid) {
    let plan = checker.plan;
    if laid.rows_at != plan.rows_at {
        checker.add(
            place(),
            format!("boards lie at {} degrees, the rows at {}", laid.rows_at, plan.rows_at),
            "turn the rows back, or take off what is marked as laid",
        );
    }
    if !plan.pattern.is_irregular() || plan.border.is_some() {
        checker.add(
            place(),
            "the boards that lie were marked in irregular rows without a border",
            "choose that pattern again, or take off what is marked as laid",
        );
    }
    checker.within(place(), "laid rows' pitch", laid.pitch, 20.0, 1200.0);
    if laid.first_row.abs() > FARTHEST_ROW {
        checker.add(place(), format!("row {} is called row 1", laid.first_row), "mark the boards again");
    }
    for stock in &laid.stock {
        stock_is_sound(checker, stock);
    }
}

fn stock_is_sound(checker: &mut Checker<'_>, stock: &LaidStock) {
    if checker.is_full() {
        return;
    }
    checker.within(place(), "opened board's length", stock.length, 100.0, 20_000.0);
    if let Some((from, to)) = stock.rest
        && !(0.0 <= from && from <= to && to <= stock.length + EXACT)
    {
        let (from, to, length) = (checker.length(from), checker.length(to), checker.length(stock.length));
        checker.add(
            place(),
            format!("an offcut reaches from {from} to {to} of a board {length} long"),
            "type the stretch that is in hand, from the board's left end",
        );
    }
    let (left, right) = stock.rest_shifts.unwrap_or_default();
    if left.abs().max(right.abs()) > stock.length {
        checker.add(
            place(),
            format!(
                "an offcut's side slants by {} over its width",
                checker.length(left.abs().max(right.abs()))
            ),
            "type how much further along it lies at the tongue edge",
        );
    }
}

fn parts(checker: &mut Checker<'_>, laid: &Laid) {
    let plan = checker.plan;
    for (index, part) in laid.parts.iter().enumerate() {
        match plan.room_index(&part.room).map(|room| &plan.rooms[room]) {
            None => checker.add(
                place(),
                format!("there is no room `{}`", part.room),
                "draw the room again, or take off what is marked as laid there",
            ),
            Some(room) if !room.is_boarded() => checker.add(
                place(),
                format!("boards are laid in {}, which is not boarded", room.name),
                "give the room boards again, or take off what is marked as laid there",
            ),
            Some(_) => {}
        }
        for pull in part.pulls.iter().chain(&part.as_marked) {
            pull_is_sound(checker, laid, index, pull);
        }
    }
}

fn pull_is_sound(checker: &mut Checker<'_>, laid: &Laid, part: usize, pull: &RowPull) {
    let is_far = pull.first.abs().max(pull.last.abs()) > FARTHEST_ROW;
    if pull.first > pull.last || is_far {
        let rows = format!("rows are measured from {} to {}", pull.first, pull.last);
        checker.add(place(), rows, "name the lowest row first");
        return;
    }
    let planned = pull.rows() as f64 * laid.pitch;
    let across = checker.length(pull.across);
    if (pull.across - planned).abs() > 0.2 * planned {
        let planned = checker.length(planned);
        checker.add(
            place(),
            format!("{} rows measure {across} together, as planned they are {planned}", pull.rows()),
            "measure again from the first row's lower side to the last row's upper side",
        );
        return;
    }
    if let Some(out) = laid.contradiction(part, pull).filter(|out| out.abs() > AGREE) {
        let (out, rows) = (checker.length(out.abs()), pull.rows());
        checker.add(
            place(),
            format!("{rows} rows measure {across} together, which is {out} off what their parts measure"),
            "measure again, or take one of the pulls out",
        );
    }
}

fn board_is_sound(checker: &mut Checker<'_>, laid: &Laid, index: usize, board: &LaidBoard) {
    let named = format!("laid board {}", index + 1);
    if board.part >= laid.parts.len() {
        checker.add(
            place(),
            format!("{named} lies in part {}, which there is not", board.part),
            "add the part",
        );
    }
    if board.row.abs() > FARTHEST_ROW {
        checker.add(place(), format!("{named} lies in row {}", board.row), "mark it again");
        return;
    }
    let lines = laid.planned_lines(board.part);
    let low = board.low.unwrap_or_else(|| lines.at(board.row));
    let high = board.high.unwrap_or_else(|| lines.at(board.row + 1));
    let is_flat = board.outline.is_empty() && (low >= high || board.left >= board.right);
    let is_line = |ring: &Vec<(f64, f64)>| ring.len() < 3;
    if is_flat || is_line(&board.outline) && !board.outline.is_empty() || board.holes.iter().any(is_line) {
        checker.add(place(), format!("{named} has no area"), "mark it again, or take it out");
    }
    let whole = laid.stock.get(board.stock);
    let (from, to) = board.reach();
    if whole.is_none_or(|stock| from < -EXACT || from >= to || to > stock.length + EXACT) {
        checker.add(
            place(),
            format!("{named} is cut from no stretch of an opened board"),
            "give it the board it was cut from, and where on that",
        );
    }
}

/// The line of each part, parts by one line alike: rows of one number that are counted from two lines, or from one that a room has
/// of its own, are two rows.
fn lines_of(plan: &Plan, laid: &Laid) -> Vec<(Option<usize>, usize)> {
    let own = |part: &LaidPart| plan.own_lines.iter().position(|own| own.room == part.room);
    let mut parts: Vec<(f64, usize)> = laid.parts.iter().map(|part| part.line).zip(0..).collect();
    parts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut lines = vec![0; parts.len()];
    for (place, next) in (1..).zip(parts.windows(2)) {
        let [(before, of), (line, part)] = [next[0], next[1]];
        lines[part] = if line - before <= ONE_LINE { lines[of] } else { place };
    }
    laid.parts.iter().map(own).zip(lines).collect()
}

/// Boards of one row do not lie over one another, and each has a number of its own.
fn apart(checker: &mut Checker<'_>, laid: &Laid) {
    let mut rows: BTreeMap<(usize, i32), Vec<&LaidBoard>> = BTreeMap::new();
    let mut numbers = BTreeSet::new();
    let lines = lines_of(checker.plan, laid);
    for board in &laid.boards {
        if !numbers.insert((lines.get(board.part), board.row, board.number)) {
            let row = board.row - laid.first_row + 1;
            let label = format!("two laid boards are called {row}-{}", board.number);
            checker.add(place(), label, "give one of them another number");
        }
        rows.entry((board.part, board.row)).or_default().push(board);
    }
    for ((part, row), boards) in rows {
        // Marked between the lines of rows that were measured, a board may reach past a wall between those planned: only what
        // lies over another both ways does.
        let pitch = checker.plan.stock.pitch();
        let is_over = are_over(laid, &boards, &laid.planned_lines(part))
            && are_over(laid, &boards, &laid.row_lines(part, pitch));
        if is_over && !checker.is_full() {
            let row = row - laid.first_row + 1;
            checker.add(
                place(),
                format!("laid boards of row {row} lie over one another"),
                "mark the row again",
            );
        }
    }
}

/// Whether some boards of a row on these lines lie over one another.
fn are_over(laid: &Laid, boards: &[&LaidBoard], lines: &RowLines) -> bool {
    let mut boards: Vec<Extent> = boards.iter().map(|board| Extent::of(laid.rings(board, lines))).collect();
    boards.sort_by(|a, b| a.left.total_cmp(&b.left));
    boards.iter().enumerate().any(|(place, a)| {
        let beside = boards[place + 1..].iter().take_while(|b| b.left < a.right - OVER);
        beside.into_iter().any(|b| a.lies_over(b))
    })
}

/// A board's rings with how far they reach.
struct Extent {
    left: f64,
    right: f64,
    low: f64,
    high: f64,
    rings: Vec<Vec<(f64, f64)>>,
}

impl Extent {
    fn of(rings: Vec<Vec<(f64, f64)>>) -> Self {
        let (mut left, mut right) = (f64::INFINITY, f64::NEG_INFINITY);
        let (mut low, mut high) = (left, right);
        for (u, v) in rings.iter().flatten() {
            (left, right) = (left.min(*u), right.max(*u));
            (low, high) = (low.min(*v), high.max(*v));
        }
        Self { left, right, low, high, rings }
    }

    /// Whether the boards share floor, looked at in the middle of what they reach across the rows together.
    fn lies_over(&self, other: &Self) -> bool {
        let (low, high) = (self.low.max(other.low), self.high.min(other.high));
        let middle = (low + high) / 2.0;
        let (own, others) = (self.chords(middle), other.chords(middle));
        high - low > OVER && own.iter().any(|a| others.iter().any(|b| a.1.min(b.1) - a.0.max(b.0) > OVER))
    }

    /// Stretches of the board at v.
    fn chords(&self, v: f64) -> Vec<(f64, f64)> {
        let sides = self.rings.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
        let crossed = sides.filter(|(a, b)| (a.1 <= v) != (b.1 <= v));
        let mut at: Vec<f64> = crossed.map(|(a, b)| a.0 + (b.0 - a.0) * (v - a.1) / (b.1 - a.1)).collect();
        at.sort_by(f64::total_cmp);
        at.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::two_rooms;
    use crate::{Border, Corners, Laid, LaidBoard, LaidPart, LaidStock, Pattern, Plan, RowPull, ToCome};

    /// Two boards of a row of 190 in the left room, cut from one of 2200.
    fn laid() -> Plan {
        let board = |number: u32, left: f64, right: f64| LaidBoard {
            from: left,
            to: right,
            starts: number == 1,
            ..LaidBoard::plain(0, number, left, right)
        };
        let mut plan = two_rooms();
        plan.laid = Some(Laid {
            rows_at: 0.0,
            pitch: 190.0,
            first_row: 0,
            to_come: ToCome::AsMeasured,
            parts: vec![LaidPart {
                room: "Left".into(),
                line: 200.0,
                pulls: Vec::new(),
                as_marked: Vec::new(),
            }],
            stock: vec![LaidStock {
                length: 2200.0,
                pack: 0,
                rest: Some((1403.0, 2200.0)),
                rest_shifts: None,
            }],
            boards: vec![board(1, 10.0, 900.0), board(2, 900.0, 1400.0)],
        });
        plan
    }

    #[track_caller]
    fn refused(change: impl FnOnce(&mut Plan, &mut Laid), what: &str) {
        let mut plan = laid();
        assert_eq!(plan.problems(), []);
        let mut laid = plan.laid.clone().unwrap();
        change(&mut plan, &mut laid);
        plan.laid = Some(laid);
        let found = plan.problems();
        let is_it = |p: &&crate::Problem| p.what.contains(what) && p.place_name == "plan, laid";
        assert!(found.iter().find(is_it).is_some_and(|p| !p.mend.is_empty()), "{found:#?}");
    }

    #[test]
    fn what_is_laid_hangs_together() {
        refused(|plan, _| plan.rows_at = 90.0, "boards lie at 0 degrees, the rows at 90");
        refused(|plan, _| plan.pattern = Pattern::Half, "irregular rows");
        refused(|plan, _| plan.border = Some(Border { boards: 1, corners: Corners::Mitred }), "border");
        refused(|_, laid| laid.parts[0].room = "Attic".into(), "no room `Attic`");
        refused(
            |plan, _| plan.rooms[0].covering = crate::Covering::Other("cork".into()),
            "Left, which is not",
        );
        refused(|_, laid| laid.boards[1].part = 4, "part 4");
        refused(|_, laid| laid.boards[1].stock = 9, "no stretch of an opened board");
        refused(|_, laid| laid.boards[1].to = 2300.0, "no stretch of an opened board");
        refused(|_, laid| laid.boards[1].left = 800.0, "row 1 lie over one another");
        refused(|_, laid| laid.boards[1].number = 1, "called 1-1");
        refused(|_, laid| laid.boards[0].high = Some(200.0), "no area");
        refused(|_, laid| laid.boards[0].outline = vec![(0.0, 0.0), (1.0, 1.0)], "no area");
        refused(|_, laid| laid.stock[0].rest = Some((1403.0, 2500.0)), "an offcut reaches");
        refused(|_, laid| laid.boards[0].right = f64::NAN, "NaN");
        refused(|_, laid| laid.boards[0].row = i32::MAX, "lies in row");
    }

    /// Row 0 measures 184 instead of 190. A wedge lies at its upper side, its wall 1 in 25, and ends at 120; 3 on, past the
    /// wall's tip, a board begins. Back on the planned line 6 further up the wedge would end at 126, over that board, where
    /// neither lies.
    #[test]
    fn boards_are_apart_if_they_are_as_they_lie() {
        let mut plan = laid();
        let laid = plan.laid.as_mut().unwrap();
        laid.parts[0].pulls = vec![RowPull { first: 0, last: 0, across: 184.0 }];
        let lines = laid.row_lines(0, 190.0);
        let wedge = vec![vec![(10.0, 380.0), (20.0, 380.0), (120.0, 384.0), (10.0, 384.0)]];
        let kept = laid.kept_rings((0, 0), [true; 2], &lines, &wedge);
        assert!(kept[0].iter().any(|p| (p.0 - 126.0).abs() < 1e-6), "{kept:?}");
        laid.boards[0].outline = kept[0].clone();
        (laid.boards[0].left, laid.boards[0].right) = (10.0, 120.0);
        (laid.boards[0].ends, laid.boards[1].left) = (true, 123.0);
        assert_eq!(plan.problems(), []);
    }

    #[test]
    fn measured_rows_are_believed_within_reason() {
        let pull = |first, last, across| RowPull { first, last, across };
        refused(|_, laid| laid.parts[0].pulls = vec![pull(3, 1, 570.0)], "from 3 to 1");
        refused(|_, laid| laid.parts[0].pulls = vec![pull(0, 9, 2500.0)], "10 rows measure 2\u{a0}500 mm");
        let twice = vec![pull(0, 9, 1900.0), pull(0, 4, 952.0), pull(5, 9, 952.0)];
        refused(|_, laid| laid.parts[0].pulls = twice, "4 mm off what their parts measure");
        let mut plan = laid();
        let agreed = vec![pull(0, 9, 1905.0), pull(0, 4, 952.0), pull(5, 9, 952.0)];
        plan.laid.as_mut().unwrap().parts[0].pulls = agreed;
        assert_eq!(plan.problems(), []);
    }

    #[test]
    fn it_reads_and_writes_back_one_board_a_line() {
        let mut plan = laid();
        let laid = plan.laid.as_mut().unwrap();
        laid.parts[0].pulls = vec![RowPull { first: 0, last: 0, across: 190.4 }];
        laid.boards[1].outline = vec![(900.0, 200.0), (1400.0, 200.0), (1400.0, 390.0), (900.0, 380.0)];
        laid.boards[1].holes = vec![vec![(1000.0, 300.0), (1000.0, 310.0), (1010.0, 300.0)]];
        let text = crate::write(&plan);
        let lines = [
            "            (row: 0, number: 1, left: 10.0, right: 900.0, stock: 0, from: 10.0, to: 900.0, starts: true),",
            "            (length: 2200.0, rest: (1403.0, 2200.0)),",
            "            (room: \"Left\", line: 200.0, pulls: [(first: 0, last: 0, across: 190.4)]),",
        ];
        for line in lines {
            assert!(text.contains(&format!("{line}\n")), "{line}\n{text}");
        }
        assert_eq!(crate::read(&text).unwrap(), plan);
        assert_eq!(crate::write(&crate::read(&text).unwrap()), text);
        let error =
            crate::read(&text.replace("strip", "stripe").replace("number: 2", "nummer: 2")).unwrap_err();
        assert!(error[0].to_string().contains("the laid board has no `nummer`"), "{}", error[0]);
    }
}
