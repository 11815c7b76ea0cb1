//! What a run needs whatever its joints: its length, the least end, and how wide it is along the way.

use super::MM_PER_M;
use super::shares::Shares;
use lay::{Board, Floor, Run};
use plan::{Rules, Stock};
use std::collections::BTreeMap;

/// A run's end lies at a board's end within this, mm; lengths this close to a limit keep it. Wider only
/// weakens the bound.
pub(super) const TRUE: f64 = 0.1;
/// Runs are put together in steps of this, mm, rounded down: what that takes off the bound cannot be seen.
const STEP: f64 = 0.05;
/// From so many runs on they are put together in wider steps, mm: a thousandth of a board a run at most.
const MANY_RUNS: usize = 2000;
const WIDE_STEP: f64 = 1.0;
/// Stretches of a run shorter than this are corners rounded off, mm.
const CORNER: f64 = 0.02;

/// The long edge that a rip needs whole, for the row beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Edge {
    /// Neither, or not known.
    Neither,
    /// The groove.
    Groove,
    /// The tongue.
    Tongue,
}

/// A stretch of a run and the least width across the row in it, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Width {
    /// Length along the row.
    pub length: f64,
    /// Narrowest part of the floor across it, 0 to the pitch.
    pub width: f64,
    /// The long edge that a piece there cannot do without.
    pub edge: Edge,
}

/// A run as every legal stagger finds it, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct RunNeed {
    /// Length along the row.
    pub length: f64,
    /// The shortest starter or closer that is allowed.
    pub least_end: f64,
    /// Widths from one end to the other.
    pub widths: Vec<Width>,
}

impl RunNeed {
    /// A run of whole width.
    pub fn whole(length: f64, least_end: f64, pitch: f64) -> Self {
        Self { length, least_end, widths: vec![Width { length, width: pitch, edge: Edge::Neither }] }
    }
}

/// The runs of a floor. A run that is not laid from end to end, for want of boards, is left out. Where the
/// floor itself has a shorter end than the rules allow, that end is allowed to all staggers of its run, so
/// that the bound never passes the floor.
pub fn needs(floor: &Floor, rules: &Rules) -> Vec<RunNeed> {
    let mut rows = Rows::new();
    // Blocks and borders are no runs of a stagger: charging nothing for them keeps the bound sound.
    let is_of_rows = |run: &&Run| !boards_of_run(floor, run).iter().any(|b| b.is_block() || b.in_border);
    let runs: Vec<&Run> = floor.runs.iter().filter(is_of_rows).collect();
    for run in &runs {
        rows.entry((run.region, run.row)).or_default().push(run);
    }
    runs.into_iter().filter_map(|run| need(floor, &rows, run, rules)).collect()
}

fn boards_of_run<'a>(floor: &'a Floor, run: &Run) -> &'a [Board] {
    floor.boards.get(run.boards.clone()).unwrap_or_default()
}

/// Runs by region and row.
type Rows<'a> = BTreeMap<(usize, i32), Vec<&'a Run>>;

fn need(floor: &Floor, rows: &Rows, run: &Run, rules: &Rules) -> Option<RunNeed> {
    let boards = floor.boards.get(run.boards.clone())?;
    let length = run.right - run.left;
    let laid: f64 = boards.iter().map(Board::length).sum();
    if length <= 0.0 || laid < length - TRUE {
        return None;
    }
    let at_left = |b: &&Board| b.left < run.left + TRUE;
    let at_right = |b: &&Board| b.right > run.right - TRUE;
    let ends = boards.iter().filter(|b| at_left(b) != at_right(b));
    let least_end = ends.map(Board::length).fold(rules.least_end, f64::min);
    let is_whole = |b: &Board| !b.shaped && b.width > floor.pitch - TRUE;
    let widths = if boards.iter().all(is_whole) {
        vec![Width { length, width: floor.pitch, edge: Edge::Neither }]
    } else {
        widths(floor, rows, run, boards)
    };
    Some(RunNeed { length, least_end, widths })
}

/// Widths of a run between the corners of its boards and of those beside it.
fn widths(floor: &Floor, rows: &Rows, run: &Run, boards: &[Board]) -> Vec<Width> {
    let beside = [run.row - 1, run.row + 1].map(|row| boards_of(floor, rows, (run.region, row), run));
    let mut corners: Vec<f64> = boards
        .iter()
        .chain(beside.iter().flatten().copied())
        .flat_map(|b| b.outline.rings())
        .flatten()
        .map(|corner| corner.u.clamp(run.left, run.right))
        .collect();
    corners.sort_by(f64::total_cmp);
    corners.dedup_by(|b, a| *b - *a < CORNER);
    let mut widths: Vec<Width> = Vec::new();
    for pair in corners.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        // Straight sides: the narrowest place is at an end.
        let places = [from + CORNER / 2.0, to - CORNER / 2.0];
        let own: Vec<&Board> = boards.iter().collect();
        let chords = chords(&own, places);
        // Beside a hole each leg is a place of its own.
        let narrowest = chords.iter().map(|(low, high)| high - low).fold(floor.pitch, f64::min);
        // A hair off the pitch is rounding.
        let is_whole = narrowest > floor.pitch - TRUE;
        let width = if is_whole { floor.pitch } else { narrowest };
        let edge = if is_whole { Edge::Neither } else { edge(floor, run, &beside, places, &chords) };
        match widths.last_mut() {
            Some(last) if last.width == width && last.edge == edge => last.length += to - from,
            _ => widths.push(Width { length: to - from, width, edge }),
        }
    }
    widths
}

/// Boards of a row that lie beside a run.
fn boards_of<'a>(floor: &'a Floor, rows: &Rows, row: (usize, i32), run: &Run) -> Vec<&'a Board> {
    let runs = rows.get(&row).map_or(&[][..], Vec::as_slice);
    let near = |b: &&Board| b.left < run.right && b.right > run.left;
    runs.iter().flat_map(|other| &floor.boards[other.boards.clone()]).filter(near).collect()
}

/// Stretches across the row that boards take at two places along it.
fn chords(boards: &[&Board], places: [f64; 2]) -> Vec<(f64, f64)> {
    let at = |u: f64| boards.iter().filter(move |b| b.left <= u && u <= b.right);
    places.into_iter().flat_map(|u| at(u).flat_map(move |b| b.outline.chords(u))).collect()
}

/// The long edge that the pieces of a stretch keep, if boards of the next row lie all along it.
fn edge(
    floor: &Floor,
    run: &Run,
    [below, above]: &[Vec<&Board>; 2],
    places: [f64; 2],
    own: &[(f64, f64)],
) -> Edge {
    let low = boards_of_run(floor, run).first().map_or(0.0, |board| board.base);
    let high = low + floor.pitch;
    let is_at = |v: f64, side: f64| (v - side).abs() < TRUE;
    let joined = |side: f64, others: &[&Board]| {
        places.iter().all(|u| {
            let mut chords = chords(others, [*u; 2]).into_iter();
            chords.any(|(low, high)| is_at(low, side) || is_at(high, side))
        })
    };
    let keeps_low = own.iter().all(|chord| is_at(chord.0, low)) && joined(low, below);
    let keeps_high = own.iter().all(|chord| is_at(chord.1, high)) && joined(high, above);
    // Boards below the start line lie turned, their tongue towards the plan's low side.
    match (keeps_low, keeps_high, run.row < 0) {
        (true, false, false) | (false, true, true) => Edge::Groove,
        (false, true, false) | (true, false, true) => Edge::Tongue,
        _ => Edge::Neither,
    }
}

/// The same run with stretches too short to hold a piece made as wide as the narrower of their neighbours: a
/// piece that lies in one reaches into the next.
pub(super) fn settled(run: &RunNeed, stock: &Stock) -> RunNeed {
    // With square ends a piece between two others may be short.
    let least_middle = if stock.end_match { stock.shortest() } else { 0.0 };
    let least_end = least_middle.min(run.least_end);
    let mut widths = run.widths.clone();
    loop {
        let count = widths.len();
        let raised = (0..count).find_map(|i| {
            let least = if i == 0 || i + 1 == count { least_end } else { least_middle };
            let neighbours = [i.checked_sub(1), Some(i + 1)].into_iter().flatten();
            let narrower = neighbours
                .filter_map(|n| widths.get(n))
                .copied()
                .min_by(|a, b| a.width.total_cmp(&b.width))?;
            let is_short = widths[i].length < least - TRUE && widths[i].width < narrower.width;
            is_short.then_some((i, narrower))
        });
        let Some((i, narrower)) = raised else { break };
        widths[i] = Width { length: widths[i].length, ..narrower };
        widths.dedup_by(|b, a| {
            let same = a.width == b.width && a.edge == b.edge;
            if same {
                a.length += b.length;
            }
            same
        });
    }
    RunNeed { widths, ..run.clone() }
}

/// Runs that are charged alike, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Class {
    pub(super) count: f64,
    pub(super) length: f64,
    pub(super) least_end: f64,
    /// The least share of its charge that any piece of such a run pays.
    pub(super) share: f64,
    /// Length times the share charged along it.
    pub(super) charged_length: f64,
}

/// The step in which this many runs are put together, mm.
pub(super) fn step(runs: usize) -> f64 {
    if runs < MANY_RUNS { STEP } else { WIDE_STEP }
}

/// Puts runs of one length and one share together, rounded down to whole steps.
pub(super) fn classes(runs: &[RunNeed], of: &Shares) -> Vec<Class> {
    let mut classes: BTreeMap<[u64; 4], Class> = BTreeMap::new();
    let step = step(runs.len());
    let steps = |mm: f64| (mm.max(0.0) / step).floor();
    for run in runs {
        let shares: Vec<(f64, f64)> = run.widths.iter().map(|w| (w.length, of.share(w))).collect();
        let share = shares.iter().map(|(_, share)| *share).fold(1.0, f64::min);
        let charged: f64 = shares.iter().map(|(length, share)| length * share).sum();
        let (length, least_end, charged) = (steps(run.length), steps(run.least_end), steps(charged));
        let metres = |steps: f64| steps * step / MM_PER_M;
        let key = [length as u64, least_end as u64, charged as u64, share.to_bits()];
        classes
            .entry(key)
            .or_insert(Class {
                count: 0.0,
                length: metres(length),
                least_end: metres(least_end),
                share,
                charged_length: metres(charged),
            })
            .count += 1.0;
    }
    classes.into_values().collect()
}
