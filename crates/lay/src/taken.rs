//! What is laid already, on the ground as it is drawn now: which stretches of runs it takes, which are left to lay.

use crate::ground::{Lie, TRUE, lie};
use crate::slice::{extent, rise, slice_across};
use crate::{Misfit, Outline};
use plan::{Laid, Plan, RowLines};
use setout::SetOut;
use site::Uv;
use std::collections::BTreeMap;

/// A laid board and the floor as drawn agree to this, mm.
const AGREE: f64 = 0.5;

/// A laid board as it lies.
#[derive(Debug)]
pub(crate) struct LaidPiece {
    pub(crate) outline: Outline,
    pub(crate) left: f64,
    pub(crate) right: f64,
    low: f64,
    high: f64,
    /// The run it lies in, among [`Taken::runs`]; `None` while none is found.
    pub(crate) run: Option<usize>,
}

impl LaidPiece {
    /// Whether it lies over a piece of floor, by more than a touch.
    fn covers(&self, outline: &Outline) -> bool {
        let ((left, right), (low, high)) = (extent(&outline.outer), rise(&outline.outer));
        // Of a chip more than half must lie under the board.
        let (along_touch, across_touch) = (TRUE.min((right - left) / 2.0), TRUE.min((high - low) / 2.0));
        let (low, high) = (self.low.max(low), self.high.min(high));
        if self.right.min(right) - self.left.max(left) <= along_touch || high - low <= across_touch {
            return false;
        }
        shared(&self.outline, outline, (low, high)) > along_touch / 2.0
    }
}

/// A run of the whole floor, laid or not.
#[derive(Debug)]
pub(crate) struct WholeRun {
    pub(crate) lie: Lie,
    /// Laid boards in it, by index.
    pub(crate) laid: Vec<usize>,
    /// What is left of it to lay, as indices of the ground's lies.
    pub(crate) rests: Vec<usize>,
}

/// An end joint that lies.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FixedJoint {
    pub(crate) lane: usize,
    pub(crate) u: f64,
    /// Whether it reaches the lower and the upper side of its row.
    pub(crate) reaches: [bool; 2],
}

/// What is laid on a ground.
#[derive(Debug)]
pub(crate) struct Taken<'a> {
    pub(crate) laid: &'a Laid,
    pub(crate) boards: Vec<LaidPiece>,
    pub(crate) runs: Vec<WholeRun>,
    pub(crate) joints: Vec<FixedJoint>,
    pub(crate) misfits: Vec<Misfit>,
    /// Row lines of each part.
    pub(crate) lines: Vec<RowLines>,
    /// Boards by row, left to right.
    rows: BTreeMap<i32, Vec<usize>>,
    least_end: f64,
}

impl<'a> Taken<'a> {
    /// What a plan says is laid; `None` where nothing is.
    pub(crate) fn new(plan: &'a Plan, setout: &SetOut) -> Option<Self> {
        let laid = plan.laid.as_ref().filter(|laid| !laid.is_empty())?;
        let lines: Vec<RowLines> =
            (0..laid.parts.len()).map(|part| laid.row_lines(part, setout.pitch)).collect();
        let piece = |board: &plan::LaidBoard| {
            let lines = lines.get(board.part).cloned();
            let rings = laid.rings(board, &lines.unwrap_or_else(|| RowLines::even(0.0, laid.pitch)));
            let mut rings =
                rings.into_iter().map(|ring| ring.into_iter().map(|(u, v)| Uv::new(u, v)).collect());
            let outline = Outline { outer: rings.next().unwrap_or_default(), holes: rings.collect() };
            let ((left, right), (low, high)) = (extent(&outline.outer), rise(&outline.outer));
            LaidPiece { outline, left, right, low, high, run: None }
        };
        let boards: Vec<LaidPiece> = laid.boards.iter().map(piece).collect();
        let mut rows: BTreeMap<i32, Vec<usize>> = BTreeMap::new();
        for (index, board) in laid.boards.iter().enumerate() {
            rows.entry(board.row).or_default().push(index);
        }
        for row in rows.values_mut() {
            row.sort_by(|a, b| boards[*a].left.total_cmp(&boards[*b].left));
        }
        let least_end = plan.rules.least_end;
        Some(Self {
            laid,
            boards,
            runs: Vec::new(),
            joints: Vec::new(),
            misfits: Vec::new(),
            lines,
            rows,
            least_end,
        })
    }

    /// Takes what is laid out of a run and gives what is left of it, left to right.
    /// `floor` is the boundary of the region.
    pub(crate) fn part(&mut self, whole: Lie, sides: (f64, f64), next: usize, floor: &[Vec<Uv>]) -> Vec<Lie> {
        let (region, row, lane) = (whole.run.region, whole.run.row, whole.lane);
        let boards = &self.boards;
        let mut laid: Vec<usize> = self
            .rows
            .get(&row)
            .map_or(&[][..], Vec::as_slice)
            .iter()
            .copied()
            .filter(|index| boards[*index].covers(&whole.outline))
            // Rows of another line lie across these.
            .filter(|index| self.lies_on(*index, sides))
            .collect();
        let number = self.runs.len();
        if laid.is_empty() {
            let lies = vec![whole.clone()];
            self.runs.push(WholeRun { lie: whole, laid, rests: vec![next] });
            return lies;
        }
        let mut ends: Vec<f64> = laid.iter().flat_map(|i| [boards[*i].left, boards[*i].right]).collect();
        ends.retain(|u| *u > whole.run.left + TRUE && *u < whole.run.right - TRUE);
        ends.sort_by(f64::total_cmp);
        ends.dedup_by(|b, a| *b - *a < TRUE);
        ends.insert(0, whole.run.left - 1.0);
        ends.push(whole.run.right + 1.0);
        let rings: Vec<Vec<Uv>> = whole.outline.rings().cloned().collect();
        let mut rests: Vec<Lie> = Vec::new();
        let mut under: Vec<Vec<Outline>> = vec![Vec::new(); laid.len()];
        for outline in slice_across(&rings, &ends).into_iter().flatten() {
            let over = laid.iter().position(|index| boards[*index].covers(&outline));
            if let Some(over) = over {
                under[over].push(outline);
                continue;
            }
            let mut rest = lie(region, (row, lane), outline, sides, whole.run.backwards);
            // A laid board that ends at a wall has no end to go on from: a little floor beyond it is bare.
            let mut beyond_an_end = None;
            for index in &laid {
                let (piece, board) = (&boards[*index], &self.laid.boards[*index]);
                let turned = whole.run.is_turned();
                let (starts, ends) =
                    if turned { (board.ends, board.starts) } else { (board.starts, board.ends) };
                let at_left = (piece.right - rest.run.left).abs() < TRUE;
                let at_right = (piece.left - rest.run.right).abs() < TRUE;
                let is_beside = piece.high.min(rise(&rest.outline.outer).1)
                    - piece.low.max(rise(&rest.outline.outer).0)
                    > TRUE;
                if !is_beside || !(at_left || at_right) {
                    continue;
                }
                let is_end = if at_left { ends } else { starts };
                if is_end && rest.length() < self.least_end {
                    beyond_an_end = Some(*index);
                }
                rest.joined[usize::from(at_right) ^ usize::from(turned)] = true;
            }
            match beyond_an_end {
                // What is seen of a film beside its end is how wide it is.
                Some(board) => {
                    let (low, high) = rise(&rest.outline.outer);
                    let bare = rest.length().min(high - low);
                    self.misfits.push(Misfit { board, over: 0.0, bare });
                }
                None => rests.push(rest),
            }
        }
        for (index, pieces) in laid.iter().zip(&under) {
            let misfit = misfit(&boards[*index].outline, pieces, sides, floor);
            self.misfits.extend(misfit.map(|(over, bare)| Misfit { board: *index, over, bare }));
        }
        let at = |u: f64| [whole.touches(false, u), whole.touches(true, u)];
        for index in &laid {
            let right = boards[*index].right;
            let is_joint = |u: f64| (u - right).abs() < TRUE;
            let goes_on = laid.iter().any(|other| other != index && is_joint(boards[*other].left))
                || rests.iter().any(|rest| is_joint(rest.run.left));
            if goes_on {
                self.joints.push(FixedJoint { lane, u: right, reaches: at(right) });
            }
            let left = boards[*index].left;
            if rests.iter().any(|rest| (rest.run.right - left).abs() < TRUE) {
                self.joints.push(FixedJoint { lane, u: left, reaches: at(left) });
            }
        }
        // A thing drawn since may part the run under a board, which then stands in the first of them.
        laid.retain(|index| self.boards[*index].run.is_none());
        laid.iter().for_each(|index| self.boards[*index].run = Some(number));
        laid.sort_by(|a, b| self.boards[*a].left.total_cmp(&self.boards[*b].left));
        let numbers = (next..next + rests.len()).collect();
        self.runs.push(WholeRun { lie: whole, laid, rests: numbers });
        rests
    }

    /// Whether a board's row has these sides.
    fn lies_on(&self, index: usize, (low, high): (f64, f64)) -> bool {
        let (board, marked) = (&self.boards[index], &self.laid.boards[index]);
        // A strip that measured rows have no room for keeps its shape, whatever is left of its row.
        let is_its_own = self.lines.get(marked.part).is_some_and(|lines| {
            let own = [lines.at(marked.row), lines.at(marked.row.saturating_add(1))];
            (own[0] - low).abs().max((own[1] - high).abs()) < AGREE
        });
        is_its_own
            || board.low > low - AGREE && board.high < high + AGREE
            || board.low.max(low) + (high - low) / 2.0 < board.high.min(high)
    }

    /// Notes the boards that lie on no run: the floor was drawn away from under them.
    pub(crate) fn close(&mut self) {
        for (board, piece) in self.boards.iter().enumerate().filter(|(_, piece)| piece.run.is_none()) {
            let over = (piece.right - piece.left).min(piece.high - piece.low);
            self.misfits.push(Misfit { board, over, bare: 0.0 });
        }
        self.misfits.sort_by_key(|misfit| misfit.board);
    }
}

/// How far a laid board reaches past the pieces of floor under it, and how far these reach past the board, mm; `None`
/// where they agree.
///
/// Across the rows only the floor's boundary counts: measured rows may leave a rip more or less than it was planned.
fn misfit(
    board: &Outline,
    pieces: &[Outline],
    (row_low, row_high): (f64, f64),
    floor: &[Vec<Uv>],
) -> Option<(f64, f64)> {
    let (mut over, mut bare) = (0.0_f64, 0.0_f64);
    let off = |rings: &mut dyn Iterator<Item = &Vec<Uv>>, p: Uv| {
        rings.map(|ring| distance(ring, p)).fold(f64::INFINITY, f64::min)
    };
    let inside = |rings: &mut dyn Iterator<Item = &Vec<Uv>>, p: Uv| {
        rings.filter(|ring| contains(ring, p)).count() % 2 == 1
    };
    for p in board.rings().flatten().copied() {
        let away = off(&mut pieces.iter().flat_map(Outline::rings), p);
        if away <= AGREE {
            continue;
        }
        if inside(&mut pieces.iter().flat_map(Outline::rings), p) {
            bare = bare.max(away);
        } else if !inside(&mut floor.iter(), p) {
            over = over.max(off(&mut floor.iter(), p));
        }
    }
    for p in pieces.iter().flat_map(Outline::rings).flatten().copied() {
        let away = off(&mut board.rings(), p);
        let is_on_line = (p.v - row_low).abs() < TRUE || (p.v - row_high).abs() < TRUE;
        if away <= AGREE {
            continue;
        }
        // A corner of the floor inside the board is a thing that stands in it.
        match inside(&mut board.rings(), p) {
            true if !is_on_line => over = over.max(away),
            true => {}
            false => bare = bare.max(away),
        }
    }
    (over > AGREE || bare > AGREE).then_some((over, bare))
}

/// How far two outlines lie over one another along the rows, on average over the heights between `low` and `high`, mm.
/// Of a piece with a thin leg one height says little.
fn shared(a: &Outline, b: &Outline, (low, high): (f64, f64)) -> f64 {
    let corners = a.rings().chain(b.rings()).flatten().map(|p| p.v).filter(|v| *v > low && *v < high);
    let mut heights: Vec<f64> = corners.chain([low, high]).collect();
    heights.sort_by(f64::total_cmp);
    let band = |pair: &[f64]| {
        let middle = f64::midpoint(pair[0], pair[1]);
        let (own, others) = (along(a, middle), along(b, middle));
        let over = own.iter().flat_map(|a| others.iter().map(|b| (a.1.min(b.1) - a.0.max(b.0)).max(0.0)));
        (pair[1] - pair[0]) * over.sum::<f64>()
    };
    heights.windows(2).map(band).sum::<f64>() / (high - low)
}

/// Stretches of an outline along the rows at v, left to right.
fn along(outline: &Outline, v: f64) -> Vec<(f64, f64)> {
    let sides = outline.rings().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
    let crossed = sides.filter(|(a, b)| (a.v <= v) != (b.v <= v));
    let mut at: Vec<f64> = crossed.map(|(a, b)| a.u + (b.u - a.u) * (v - a.v) / (b.v - a.v)).collect();
    at.sort_by(f64::total_cmp);
    at.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

/// Distance of a point from a ring, mm.
fn distance(ring: &[Uv], p: Uv) -> f64 {
    let sides = ring.iter().zip(ring.iter().cycle().skip(1));
    let off = sides.map(|(a, b)| {
        let (du, dv) = (b.u - a.u, b.v - a.v);
        let square = du * du + dv * dv;
        let share = if square > 0.0 { ((p.u - a.u) * du + (p.v - a.v) * dv) / square } else { 0.0 };
        let share = share.clamp(0.0, 1.0);
        let (u, v) = (a.u + share * du - p.u, a.v + share * dv - p.v);
        (u * u + v * v).sqrt()
    });
    off.fold(f64::INFINITY, f64::min)
}

fn contains(ring: &[Uv], p: Uv) -> bool {
    let sides = ring.iter().zip(ring.iter().cycle().skip(1));
    let crossed = sides
        .filter(|(a, b)| (a.v <= p.v) != (b.v <= p.v) && a.u + (b.u - a.u) * (p.v - a.v) / (b.v - a.v) > p.u);
    crossed.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(left: f64, low: f64, right: f64, high: f64) -> Vec<Uv> {
        [(left, low), (right, low), (right, high), (left, high)].map(|(u, v)| Uv::new(u, v)).to_vec()
    }

    /// A board that measured rows left 20 wider than its row, over floor in two pieces: where these meet, on either line of
    /// the row, a corner lies inside the board, and nothing stands there. A corner 30 off them is that of a thing.
    #[test]
    fn corners_on_the_lines_of_a_row_are_no_things_in_a_board() {
        let outline = |outer| Outline { outer, holes: Vec::new() };
        let misfit_of = |(low, high): (f64, f64), inner: f64| {
            let pieces = [rectangle(0.0, 0.0, 400.0, 200.0), rectangle(400.0, inner, 1000.0, 200.0)];
            let floor = [rectangle(-500.0, -500.0, 1500.0, 700.0)];
            misfit(&outline(rectangle(0.0, low, 1000.0, high)), &pieces.map(outline), (0.0, 200.0), &floor)
        };
        assert_eq!(misfit_of((-20.0, 200.0), 0.0), None);
        assert_eq!(misfit_of((0.0, 220.0), 0.0), None);
        assert!(misfit_of((-20.0, 200.0), 30.0).is_some());
    }

    /// A room 4 m wide and so high, rows of 140 from 100 up, with one board laid.
    fn hall(high: f64, board: plan::LaidBoard, pulls: Vec<plan::RowPull>) -> Plan {
        let mut plan = Plan::new("t");
        plan.stock.face_width = 140.0;
        plan.rules.wall_gap = plan::GapRange { least: 10.0, greatest: 10.0 };
        plan.start_line = plan::StartLine::At(100.0);
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, high), (0.0, high)];
        plan.rooms.push(plan::Room::boarded("Hall", corners.map(plan::Point::from)));
        let length = board.to;
        plan.laid = Some(Laid {
            rows_at: 0.0,
            pitch: 140.0,
            first_row: -1,
            to_come: plan::ToCome::AsMeasured,
            parts: vec![plan::LaidPart { room: "Hall".into(), line: 100.0, pulls, as_marked: Vec::new() }],
            stock: vec![plan::LaidStock { length, pack: 0, rest: None, rest_shifts: None }],
            boards: vec![board],
        });
        assert_eq!(plan.problems(), []);
        plan
    }

    /// A board that lies from 10 to 2210: its row goes on from there to the wall at 3990, from that board's end.
    #[test]
    fn a_row_goes_on_from_the_board_that_lies_in_it() {
        let board = plan::LaidBoard { starts: true, ..plan::LaidBoard::plain(0, 1, 10.0, 2210.0) };
        let plan = hall(3000.0, board, Vec::new());
        let site = site::survey(&plan);
        let ground = crate::ground::Ground::new(&plan, &site, &setout::set_out(&plan, &site));
        let rests: Vec<&Lie> = ground.lies.iter().filter(|lie| lie.run.row == 0).collect();
        let [rest] = rests[..] else { panic!("{rests:?}") };
        assert!((rest.run.left - 2210.0).abs() < 1e-6 && (rest.run.right - 3990.0).abs() < 1e-6, "{rest:?}");
        assert_eq!(rest.joined, [true, false]);
    }

    /// A strip of 3 lies along the wall, from 2900 to 2903, past twenty rows of 140 that measure 2802.5 instead of 2800. It
    /// keeps its shape, and the half millimetre left of its row is under it: nothing is to be laid there.
    #[test]
    fn a_strip_without_room_lies_in_its_row() {
        let strip = plan::LaidBoard {
            high: Some(2903.0),
            starts: true,
            ends: true,
            ..plan::LaidBoard::plain(20, 1, 10.0, 3990.0)
        };
        let pulls = vec![plan::RowPull { first: 0, last: 19, across: 2802.5 }];
        let plan = hall(2913.0, strip, pulls);
        let site = site::survey(&plan);
        let ground = crate::ground::Ground::new(&plan, &site, &setout::set_out(&plan, &site));
        assert!(ground.lies.iter().any(|lie| lie.run.row == 19));
        assert!(ground.lies.iter().all(|lie| lie.run.row < 20));
        let taken = ground.taken.unwrap();
        assert!(taken.boards[0].run.is_some() && taken.misfits.is_empty(), "{:?}", taken.misfits);
    }

    /// A closer ends at the wall of 4 m, 3990; then the wall is drawn 50 out along the lower 20 of its row. What is bare beside
    /// its end is 20 wide, not 50.
    #[test]
    fn a_film_beside_an_end_is_as_bare_as_it_is_wide() {
        let board =
            plan::LaidBoard { starts: true, ends: true, ..plan::LaidBoard::plain(0, 1, 10.0, 3990.0) };
        let mut plan = hall(3000.0, board, Vec::new());
        let corners =
            [(0.0, 0.0), (4050.0, 0.0), (4050.0, 130.0), (4000.0, 130.0), (4000.0, 3000.0), (0.0, 3000.0)];
        plan.rooms[0] = plan::Room::boarded("Hall", corners.map(plan::Point::from));
        let site = site::survey(&plan);
        let ground = crate::ground::Ground::new(&plan, &site, &setout::set_out(&plan, &site));
        let misfits = ground.taken.unwrap().misfits;
        assert!(misfits.iter().any(|misfit| (misfit.bare - 20.0).abs() < 1e-6), "{misfits:?}");
        assert!(misfits.iter().all(|misfit| misfit.bare < 20.5), "{misfits:?}");
    }
}
