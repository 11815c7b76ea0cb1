//! The saw list: every cut grouped by its setting, so that each setting is made once.

use crate::{Notch, SawEntry, SawList};
use lay::{Board, End, Floor};
use plan::{Bounds, Boxes, Plan};
use site::{Edge, Region, Site, Source};
use std::collections::BTreeMap;

/// An edge misses this much of the factory edge before it counts as taken off, mm.
const TRUE: f64 = 0.1;
/// An edge this near to a board's bounds is looked at, mm; past what [`Board::lies_along`] reaches.
const NEAR: f64 = 1.0;

/// The saw list of a floor.
pub(crate) fn saw_list(plan: &Plan, site: &Site, floor: &Floor) -> SawList {
    let mut keep_tongue = Settings::default();
    let mut keep_groove = Settings::default();
    let mut keep_neither = Settings::default();
    let mut keep_left = Settings::default();
    let mut keep_right = Settings::default();
    let mut both = Settings::default();
    let mut notches = Vec::new();
    let filed: Vec<Filed> = site.regions.iter().map(Filed::new).collect();
    for (index, board) in floor.boards.iter().enumerate() {
        match (board.left_end, board.right_end) {
            (End::Factory, End::Factory) => {}
            (End::Factory, End::Cut) => keep_left.add(stop(board), index, board),
            (End::Cut, End::Factory) => keep_right.add(stop(board), index, board),
            (End::Cut, End::Cut) => both.add(stop(board), index, board),
        }
        if board.shaped {
            notches.push(notch(plan, &filed, floor, index));
        } else if board.width < floor.pitch - TRUE {
            match kept_edges(floor, board) {
                (_, true) => keep_tongue.add(board.width, index, board),
                (true, false) => keep_groove.add(board.width, index, board),
                (false, false) => keep_neither.add(board.width, index, board),
            }
        }
    }
    SawList {
        rips_keep_tongue: keep_tongue.done(),
        rips_keep_groove: keep_groove.done(),
        rips_keep_neither: keep_neither.done(),
        crosscuts_keep_left: keep_left.done(),
        crosscuts_keep_right: keep_right.done(),
        crosscuts_both: both.done(),
        notches,
    }
}

/// v of the lower and upper side of a board's row.
fn row_sides(floor: &Floor, board: &Board) -> (f64, f64) {
    let low = floor.row_low(board.region, board.row);
    (low, low + floor.pitch)
}

/// Whether the board keeps its groove edge and its tongue edge.
fn kept_edges(floor: &Floor, board: &Board) -> (bool, bool) {
    let (row_low, row_high) = row_sides(floor, board);
    let (low, high) = board
        .outline
        .outer
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| (l.min(p.v), h.max(p.v)));
    let (keeps_low, keeps_high) = (low - row_low < TRUE, row_high - high < TRUE);
    if board.turned { (keeps_high, keeps_low) } else { (keeps_low, keeps_high) }
}

/// The stop's setting for a crosscut: whole millimetres, never longer than the board; the end gap takes the rest.
fn stop(board: &Board) -> f64 {
    (board.length() + 1e-6).floor()
}

/// Boards by setting, in tenths of a millimetre.
#[derive(Default)]
struct Settings(BTreeMap<i64, SawEntry>);

impl Settings {
    fn add(&mut self, setting: f64, index: usize, board: &Board) {
        let tenths = (setting * 10.0).round() as i64;
        let entry = self.0.entry(tenths).or_insert_with(|| SawEntry {
            setting: tenths as f64 / 10.0,
            boards: Vec::new(),
            run: 0.0,
        });
        entry.boards.push(index);
        entry.run += board.length();
    }

    /// Widest first: a piece spoiled at one setting still serves at a later one.
    fn done(self) -> Vec<SawEntry> {
        self.0.into_values().rev().collect()
    }
}

/// A region's edges, and where they lie.
struct Filed<'a> {
    edges: Vec<&'a Edge>,
    boxes: Boxes,
}

impl<'a> Filed<'a> {
    fn new(region: &'a Region) -> Self {
        let edges: Vec<&Edge> = region.edges().collect();
        let boxes = Boxes::new(edges.iter().map(|edge| Bounds::of([edge.a, edge.b].map(|p| [p.u, p.v]))));
        Self { edges, boxes }
    }

    /// What a board lies along, in the region's order.
    fn round(&self, board: &Board) -> Vec<Source> {
        let mut round: Vec<Source> = Vec::new();
        let Some(bounds) = Bounds::of(board.outline.outer.iter().map(|p| [p.u, p.v])) else { return round };
        for edge in self.boxes.meeting(bounds.grown(NEAR)).into_iter().map(|edge| self.edges[edge]) {
            if !round.contains(&edge.source) && board.lies_along(edge) {
                round.push(edge.source);
            }
        }
        round
    }
}

fn notch(plan: &Plan, filed: &[Filed<'_>], floor: &Floor, index: usize) -> Notch {
    let board = &floor.boards[index];
    let (row_low, row_high) = row_sides(floor, board);
    let own = |ring: &Vec<site::Uv>| -> Vec<(f64, f64)> {
        ring.iter()
            .map(|p| {
                if board.turned {
                    (board.right - p.u, row_high - p.v)
                } else {
                    (p.u - board.left, p.v - row_low)
                }
            })
            .collect()
    };
    let round = filed.get(board.region).map_or_else(Vec::new, |region| region.round(board));
    let names: Vec<String> = round.into_iter().map(|source| source.name(plan)).collect();
    Notch {
        board: index,
        outline: own(&board.outline.outer),
        holes: board.outline.holes.iter().map(own).collect(),
        round: names.join("; "),
    }
}
