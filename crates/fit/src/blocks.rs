//! The order of blocks: herringbone and chevron go forwards along their axis, column by column as far as blocks allow.

use lay::{Board, Floor};
use plan::{Bounds, Boxes};
use site::Uv;
use std::cmp::Ordering;
use std::collections::BTreeSet;

/// Sides of two blocks this close lie on one another, mm.
const ON: f64 = 0.2;
/// Blocks that share less than this touch at a corner only, mm.
const TOUCH: f64 = 1.0;
/// A side counts as facing along the axis from this part of its length on: a head joint of chevron does not.
const FACES: f64 = 0.1;

/// Blocks in the order in which they are laid, each as an index of the floor's boards.
///
/// Grooves face backwards along the axis, tongues forwards, so a block waits for every block that a side of its facing
/// backwards lies on. Of those that may be laid, the one in the column nearest to the axis line comes first, in a column
/// the one farthest back. `rank` puts regions in order.
pub(crate) fn blocks(floor: &Floor, rank: impl Fn(usize) -> usize) -> Vec<usize> {
    let all: Vec<usize> = (0..floor.boards.len()).filter(|board| floor.boards[*board].is_block()).collect();
    let boxes = Boxes::new(all.iter().map(|board| bounds(&floor.boards[*board])));
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); all.len()];
    let mut waits = vec![0_usize; all.len()];
    for (at, index) in all.iter().enumerate() {
        let board = &floor.boards[*index];
        let Some(around) = bounds(board) else { continue };
        let mut behind = BTreeSet::new();
        boxes.each(around.grown(ON), |other| {
            let its = &floor.boards[all[other]];
            if other != at && its.region == board.region && lies_behind(board, its) {
                behind.insert(other);
            }
        });
        waits[at] = behind.len();
        behind.into_iter().for_each(|other| after[other].push(at));
    }
    let key = |at: usize| -> (usize, i64, bool, f64) {
        let board = &floor.boards[all[at]];
        let column = i64::from(board.row);
        let away = if column >= 0 { column } else { -1 - column };
        (rank(board.region), away, column < 0, board.middle().u)
    };
    let order = |a: &usize, b: &usize| -> Ordering {
        let ((rank, away, below, u), (other_rank, other_away, other_below, other_u)) = (key(*a), key(*b));
        (rank, away, below)
            .cmp(&(other_rank, other_away, other_below))
            .then(u.total_cmp(&other_u))
            .then(a.cmp(b))
    };
    let mut places: Vec<usize> = (0..all.len()).collect();
    places.sort_by(order);
    // Each block's place in that order, so that the next is the least of a set.
    let mut place_of = vec![0; all.len()];
    places.iter().enumerate().for_each(|(place, at)| place_of[*at] = place);
    let mut ready: BTreeSet<usize> =
        (0..all.len()).filter(|at| waits[*at] == 0).map(|at| place_of[at]).collect();
    let mut left: BTreeSet<usize> = (0..all.len()).collect();
    let mut laid = Vec::with_capacity(all.len());
    // Notched pieces may wait for one another in a ring: then the first that is left goes in.
    while let Some(place) = ready.pop_first().or_else(|| left.first().copied()) {
        if !left.remove(&place) {
            continue;
        }
        let at = places[place];
        laid.push(all[at]);
        for next in &after[at] {
            waits[*next] = waits[*next].saturating_sub(1);
            if waits[*next] == 0 {
                ready.insert(place_of[*next]);
            }
        }
    }
    laid
}

fn bounds(board: &Board) -> Option<Bounds> {
    Bounds::of(board.outline.outer.iter().map(|p| [p.u, p.v]))
}

/// Whether a side of a board that faces backwards along the axis lies on a side of another.
fn lies_behind(board: &Board, other: &Board) -> bool {
    sides(board).any(|(a, b)| {
        let (du, dv) = (b.u - a.u, b.v - a.v);
        let length = (du * du + dv * dv).sqrt();
        // Rings run with the wood to their left, so away from it is to the right.
        length > TOUCH && dv / length < -FACES && sides(other).any(|other| shared((a, b), other) > TOUCH)
    })
}

fn sides(board: &Board) -> impl Iterator<Item = (Uv, Uv)> {
    board.outline.rings().flat_map(|ring| (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()])))
}

/// How much of two sides lies on one another, mm. Both run with the wood to their left, so blocks that meet have them run
/// against one another; of two that run the same way, one has a hair of its own wood before the other.
fn shared((a, b): (Uv, Uv), (c, d): (Uv, Uv)) -> f64 {
    let (du, dv) = (b.u - a.u, b.v - a.v);
    let length = (du * du + dv * dv).sqrt();
    let (du, dv) = (du / length, dv / length);
    let place = |p: Uv| ((p.u - a.u) * du + (p.v - a.v) * dv, ((p.u - a.u) * dv - (p.v - a.v) * du).abs());
    let ((s, off), (t, other_off)) = (place(c), place(d));
    if off > ON || other_off > ON || s < t { 0.0 } else { s.min(length) - t.max(0.0) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tests::{corners, fitted};
    use plan::{Pattern, Plan, Room};

    /// A slot 1 wide along the middle half of each block's forward long side, a hair of 0.05 behind it. It takes no wood from
    /// a side that lies on another block, so nothing waits for anything else than without it.
    #[test]
    fn a_hair_of_wood_along_a_forward_side_waits_for_nothing() {
        for pattern in [
            Pattern::Herringbone { block: 600.0, abreast: 1 },
            Pattern::Chevron { block: 600.0, mitre: 45.0 },
        ] {
            let mut plan = Plan::new("t");
            plan.stock.face_width = 120.0;
            plan.pattern = pattern;
            plan.rooms.push(Room::boarded("A", corners(0.0, 0.0, 3000.0, 2400.0)));
            let (mut floor, _) = fitted(&plan);
            let whole = blocks(&floor, |_| 0);
            let mut slots = 0;
            for board in &mut floor.boards {
                let forwards = |(a, b): &(Uv, Uv)| b.v - a.v > 300.0;
                let Some((a, b)) = sides(board).find(forwards) else { continue };
                let at = |part: f64, back: f64| {
                    let (du, dv) = (b.u - a.u, b.v - a.v);
                    let length = (du * du + dv * dv).sqrt();
                    Uv::new(a.u + part * du - back * dv / length, a.v + part * dv + back * du / length)
                };
                board.outline.holes.push(vec![
                    at(0.25, 0.05),
                    at(0.25, 1.05),
                    at(0.75, 1.05),
                    at(0.75, 0.05),
                ]);
                slots += 1;
            }
            assert!(slots > 10, "{slots}");
            assert_eq!(blocks(&floor, |_| 0), whole);
        }
    }
}
