//! Makes boards of the pieces that lie on a pattern's places.

use super::turn::Turn;
use super::wood::Wood;
use crate::ground::{TRUE, is_shaped};
use crate::nest::Shifts;
use crate::slice::{extent, rise};
use crate::yard::Need;
use crate::{Board, End, Floor, Hand, Joint, Outline, Run, Short};
use plan::Plan;
use site::Uv;
use std::collections::BTreeMap;

/// A whole board's place on the floor. Fields as in [`Board`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    pub(super) region: usize,
    pub(super) row: i32,
    pub(super) run: usize,
    pub(super) along: Uv,
    pub(super) base: f64,
    /// Where the whole board begins and ends along its lower side.
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) lean: f64,
    pub(super) turned: bool,
    pub(super) hand: Option<Hand>,
    pub(super) in_border: bool,
    /// Slants of the piece's ends where a wall aslant to a straight row ends it, in its own frame, mm.
    pub(super) slants: Shifts,
    /// Whether the whole board's ends meet other boards, left and right on the plan.
    pub(super) joined: (bool, bool),
}

/// Boards laid so far.
#[derive(Debug)]
pub(super) struct Layer {
    pub(super) pitch: f64,
    pub(super) wood: Wood,
    pub(super) boards: Vec<Board>,
    pub(super) runs: Vec<Run>,
    pub(super) joints: Vec<Joint>,
    /// What no stock reached.
    short: Vec<Short>,
}

impl Layer {
    pub(super) fn new(pitch: f64, wood: Wood) -> Self {
        Self { pitch, wood, boards: Vec::new(), runs: Vec::new(), joints: Vec::new(), short: Vec::new() }
    }

    /// Lays the pieces of one column in their order, as one run.
    pub(super) fn lay_column<K: Ord>(
        &mut self,
        region: usize,
        column: i32,
        mut pieces: Vec<(K, Place, Outline)>,
    ) {
        if pieces.is_empty() {
            return;
        }
        pieces.sort_by(|a, b| a.0.cmp(&b.0));
        let start = self.boards.len();
        for (_, place, outline) in pieces {
            self.lay(&place, outline);
        }
        let boards = start..self.boards.len();
        let (left, right) = reach(&self.boards[boards.clone()]);
        self.runs.push(Run { region, row: column, left, right, boards, ..Run::default() });
    }

    /// Lays the piece of floor that lies on a place; `outline` in row coordinates.
    pub(super) fn lay(&mut self, place: &Place, outline: Outline) {
        let upright = upright(place, &outline);
        let ((left, right), (low, high)) = (extent(&upright.outer), rise(&upright.outer));
        let meets_left = place.joined.0 && left < place.from + TRUE;
        let meets_right = place.joined.1 && right > place.to - TRUE;
        let (own_left, own_right) =
            if place.turned { (meets_right, meets_left) } else { (meets_left, meets_right) };
        let need = match (own_left, own_right) {
            (true, true) => Need::Both,
            (true, false) => Need::Left,
            (false, true) => Need::Right,
            (false, false) => Need::Neither,
        };
        // Corners put on a cut may make it longer than its place by a hair.
        let length = (right - left).min(place.to - place.from);
        let [slant, right_slant] = place.slants;
        // Along the groove edge.
        let groove = length + slant.min(0.0) - right_slant.max(0.0);
        // The plan's check sees to it that some board is long enough for every place; the packs may run out.
        let Some((stock, from)) =
            self.wood.take((place.hand, place.in_border), (groove, place.slants), need, self.boards.len())
        else {
            let (left, right) = extent(&outline.outer);
            let (low, high) = rise(&outline.outer);
            let at = Uv::new((left + right) / 2.0, (low + high) / 2.0);
            let (run, in_border) = (place.run, place.in_border);
            self.short.push(Short { run, left, right, at, length, in_border });
            return;
        };
        let from = from + slant.min(0.0);
        let to = from + length;
        let sawn = place.lean != 0.0 && self.wood.mitred_here();
        let end = |factory: bool, slant: f64| {
            if factory && !sawn && slant == 0.0 { End::Factory } else { End::Cut }
        };
        self.boards.push(Board {
            label: String::new(),
            region: place.region,
            row: place.row,
            run: place.run,
            along: place.along,
            left,
            right,
            base: place.base,
            lean: place.lean,
            hand: place.hand,
            in_border: place.in_border,
            area: outline.area(),
            turned: place.turned,
            left_end: end(from < TRUE, slant),
            right_end: end(to > self.wood.length(stock) - TRUE, right_slant),
            starts_run: !own_left,
            ends_run: !own_right,
            shaped: is_shaped(&upright, upright.area(), (left, low), (right, high)),
            width: if high - low > self.pitch - TRUE { self.pitch } else { high - low },
            outline,
            stock,
            from,
        });
    }

    /// The floor of everything laid.
    pub(super) fn finish(self, plan: &Plan, lines: Vec<f64>, anchor: Option<Uv>) -> Floor {
        let Self { pitch, wood, mut boards, runs, joints, short } = self;
        let stock = wood.finish(plan, &mut boards);
        let first_row = runs.iter().map(|run| run.row).min().unwrap_or(0);
        let mut floor =
            Floor { pitch, lines, first_row, runs, boards, joints, stock, short, anchor, ..Floor::default() };
        label(&mut floor);
        floor
    }
}

/// Labels boards in the order in which they are laid within their row.
fn label(floor: &mut Floor) {
    let mut numbers: BTreeMap<i32, usize> = BTreeMap::new();
    for index in 0..floor.boards.len() {
        let row = floor.boards[index].row;
        let number = numbers.entry(row).or_default();
        *number += 1;
        floor.boards[index].label = format!("{}-{number}", floor.row_number(row));
    }
}

/// An outline in the board's direction with the lean of its ends taken out: a whole mitred block becomes a rectangle.
fn upright(place: &Place, outline: &Outline) -> Outline {
    let turn = Turn::to(place.along);
    let map = |p: &Uv| {
        let q = turn.into(*p);
        Uv::new(q.u - (q.v - place.base) * place.lean, q.v)
    };
    let ring = |ring: &Vec<Uv>| ring.iter().map(map).collect();
    Outline { outer: ring(&outline.outer), holes: outline.holes.iter().map(ring).collect() }
}

/// Extent of boards along the rows, least and greatest u.
fn reach(boards: &[Board]) -> (f64, f64) {
    boards.iter().map(|board| extent(&board.outline.outer)).fold((0.0, 0.0), |(left, right), (from, to)| {
        if left == right { (from, to) } else { (left.min(from), right.max(to)) }
    })
}
