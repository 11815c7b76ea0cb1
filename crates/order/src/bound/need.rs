//! What a run needs whatever its joints: its length, the least end, and how wide it is along the way.

use super::MM_PER_M;
use lay::{Board, Floor, Run};
use plan::{Rules, Stock};
use std::collections::BTreeMap;

/// A run's end lies at a board's end within this, mm; lengths this close to a limit keep it. Wider only
/// weakens the bound.
pub(super) const TRUE: f64 = 0.1;
/// Runs are put together in steps of this, mm, rounded down; under [`TRUE`], so that no limit is missed.
const STEP: f64 = 0.05;
/// Stretches of a run shorter than this are corners rounded off, mm.
const CORNER: f64 = 0.02;

/// A stretch of a run and the least width across the row in it, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Width {
    /// Length along the row.
    pub length: f64,
    /// Narrowest part of the floor across it, 0 to the pitch.
    pub width: f64,
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
        Self { length, least_end, widths: vec![Width { length, width: pitch }] }
    }
}

/// The runs of a floor. A run that is not laid from end to end, for want of boards, is left out. Where the
/// floor itself has a shorter end than the rules allow, that end is allowed to all staggers of its run, so
/// that the bound never passes the floor.
pub fn needs(floor: &Floor, rules: &Rules) -> Vec<RunNeed> {
    floor.runs.iter().filter_map(|run| need(floor, run, rules)).collect()
}

fn need(floor: &Floor, run: &Run, rules: &Rules) -> Option<RunNeed> {
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
        vec![Width { length, width: floor.pitch }]
    } else {
        widths(boards, floor.pitch)
    };
    Some(RunNeed { length, least_end, widths })
}

/// Widths of a run between the corners of its boards.
fn widths(boards: &[Board], pitch: f64) -> Vec<Width> {
    let mut corners: Vec<f64> =
        boards.iter().flat_map(|b| b.outline.rings()).flatten().map(|corner| corner.u).collect();
    corners.sort_by(f64::total_cmp);
    corners.dedup_by(|b, a| *b - *a < CORNER);
    let mut widths: Vec<Width> = Vec::new();
    for pair in corners.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let inset = CORNER / 2.0;
        // Straight sides: the narrowest place is at an end. Beside a hole each leg is a place of its own.
        let chords = |u: f64| boards.iter().flat_map(move |b| b.outline.chords(u));
        let narrowest = chords(from + inset)
            .chain(chords(to - inset))
            .map(|(low, high)| high - low)
            .fold(pitch, f64::min);
        // A hair off the pitch is rounding.
        let width = if narrowest > pitch - TRUE { pitch } else { narrowest };
        match widths.last_mut() {
            Some(last) if last.width == width => last.length += to - from,
            _ => widths.push(Width { length: to - from, width }),
        }
    }
    widths
}

/// The share of a board's width that a piece takes, with a saw cut each.
pub(super) fn share(width: f64, pitch: f64, kerf: f64) -> f64 {
    ((width + kerf) / (pitch + kerf)).clamp(0.0, 1.0)
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

/// Puts runs of one length together. Pieces taking a share of their board's width over 1 − `count_from` are
/// charged in full, those under `count_from` nothing, the others their share.
pub(super) fn classes(runs: &[RunNeed], stock: &Stock, pitch: f64, count_from: f64) -> Vec<Class> {
    let mut classes: BTreeMap<[u64; 4], Class> = BTreeMap::new();
    let steps = |mm: f64| (mm.max(0.0) / STEP).floor();
    for run in runs {
        let shares: Vec<(f64, f64)> = run
            .widths
            .iter()
            .map(|w| (w.length, counted(share(w.width, pitch, stock.kerf), count_from)))
            .collect();
        let share = least_share(&shares, run, stock);
        let charged: f64 = shares.iter().map(|(length, share)| length * share).sum();
        let (length, least_end, charged) = (steps(run.length), steps(run.least_end), steps(charged));
        let metres = |steps: f64| steps * STEP / MM_PER_M;
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

fn counted(share: f64, count_from: f64) -> f64 {
    if share > 1.0 - count_from {
        1.0
    } else if share < count_from {
        0.0
    } else {
        share
    }
}

/// The least share that any legal piece of a run is charged: a stretch of lesser share than its neighbours
/// matters only if a piece fits within it.
fn least_share(shares: &[(f64, f64)], run: &RunNeed, stock: &Stock) -> f64 {
    let mut levels: Vec<f64> = shares.iter().map(|(_, share)| *share).collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup();
    // With square ends a piece between two others may be short.
    let least_middle = if stock.end_match { stock.shortest() } else { 0.0 };
    let holds_a_piece = |level: f64| {
        let mut at = 0.0;
        let mut from = None;
        let mut holds = false;
        for (length, share) in shares.iter().chain([&(0.0, f64::INFINITY)]) {
            if *share < level {
                from.get_or_insert(at);
            } else if let Some(from) = from.take() {
                let is_end = from <= TRUE || at >= run.length - TRUE;
                let least = if is_end { least_middle.min(run.least_end) } else { least_middle };
                holds |= at - from >= least - TRUE;
            }
            at += length;
        }
        holds
    };
    let mut least = levels.first().copied().unwrap_or(1.0);
    for level in levels.into_iter().skip(1) {
        if holds_a_piece(level) {
            break;
        }
        least = level;
    }
    least
}
