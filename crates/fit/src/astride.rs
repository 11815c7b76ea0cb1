//! Boards with a leg on both sides of what stands in their row: a wall that ends in a doorway, a column. Such a board comes in
//! lengthways alone.

use crate::contact::Contact;
use crate::{Astride, Part};
use lay::Board;
use site::EdgeKind;

/// Legs are looked for this far in from where one ends, mm. Larger than rounding, smaller than any step at an end.
const AT_END: f64 = 0.5;
/// A slot is straight that is less than so many times as wide where it opens as half way in. A V opens to twice as much.
const STRAIGHT: f64 = 1.5;
/// It runs along the rows where it leaves them by no more than so much of its depth, as at 10°: aslant a board comes otherwise.
const ASLANT: f64 = 0.18;
/// What lies between the legs stands this near to their sides, mm.
const BESIDE: f64 = 1.0;
/// What reaches no farther in between the legs takes no room along the row, mm: nobody cuts nearer.
const HELD: f64 = 1.0;

/// What stands between the legs of a board at its left and its right end, and how far it reaches in between them.
pub(crate) fn astride(board: &Board, contacts: &[Contact], pitch: f64) -> Vec<Astride> {
    if !board.shaped || board.in_border || board.is_block() || contacts.is_empty() {
        return Vec::new();
    }
    let Some(ring) = board.own_rings(pitch).next() else { return Vec::new() };
    let length = board.length();
    let at_end = |end: Part| {
        let from_end = ring.iter().map(|(x, y)| (if end == Part::Left { *x } else { length - x }, *y));
        let (depth, across) = slot(&from_end.collect::<Vec<_>>())?;
        let is_within =
            |c: &&Contact| c.across.0 >= across.0 - BESIDE && c.across.1 <= across.1 + BESIDE && stands(c);
        let between = || contacts.iter().filter(is_within);
        let at = between().find(|c| c.at.part == end).or_else(|| between().next())?.at;
        let reach = depth - at.gap.max(0.0);
        (reach > HELD).then_some(Astride { end, at, reach })
    };
    [Part::Left, Part::Right].into_iter().filter_map(at_end).collect()
}

/// Whether what a board meets there stands so high that no board is let down over it.
fn stands(contact: &Contact) -> bool {
    matches!(
        contact.at.kind,
        EdgeKind::Wall
            | EdgeKind::Glazing
            | EdgeKind::Cabinets
            | EdgeKind::Jamb
            | EdgeKind::Island
            | EdgeKind::Column
    )
}

/// The slot of an outline that reaches deepest in between two legs, counted from where the shorter one ends: how deep, and its
/// extent across: where walls are out of true it may be wider within than where it opens. Corners as (distance from the end, across). Legs that part like a V, or lie aslant to the rows, are none:
/// the board is drawn off aslant.
fn slot(ring: &[(f64, f64)]) -> Option<(f64, (f64, f64))> {
    let mut found: Option<(f64, (f64, f64))> = None;
    for (x, _) in ring {
        let at = x + AT_END;
        let Some(Slot { bottom, across, extent }) = slot_at(ring, at) else { continue };
        let half = f64::midpoint(at, bottom);
        let is_straight = slot_at(ring, half).is_some_and(|Slot { across: within, .. }| {
            let drift = (within.0 + within.1 - across.0 - across.1) / 2.0;
            across.1 - across.0 < STRAIGHT * (within.1 - within.0) && drift.abs() <= ASLANT * (half - at)
        });
        if is_straight && found.is_none_or(|(most, _)| bottom - x > most) {
            found = Some((bottom - x, extent));
        }
    }
    found
}

/// A slot that is open at some distance from the end.
#[derive(Debug, Clone, Copy)]
struct Slot {
    /// Where its bottom lies.
    bottom: f64,
    /// Its extent across at that distance, and from there on to its bottom.
    across: (f64, f64),
    extent: (f64, f64),
}

/// The deepest slot that is open at some distance from the end.
fn slot_at(ring: &[(f64, f64)], at: f64) -> Option<Slot> {
    let next = |i: usize| (i + 1) % ring.len();
    let crossings: Vec<(usize, f64)> = (0..ring.len())
        .filter_map(|i| {
            let ((x, y), (to_x, to_y)) = (ring[i], ring[next(i)]);
            ((x < at) != (to_x < at)).then(|| (i, y + (to_y - y) * (at - x) / (to_x - x)))
        })
        .collect();
    if crossings.len() < 4 {
        return None;
    }
    // From the lowest crossing up the outline is left and come back into by turns.
    let rank = |y: f64| crossings.iter().filter(|(_, other)| *other < y).count();
    let mut deepest: Option<Slot> = None;
    for (place, (edge, y)) in crossings.iter().enumerate() {
        let (end, to_y) = crossings[(place + 1) % crossings.len()];
        let (low, high) = (y.min(to_y), y.max(to_y));
        if ring[next(*edge)].0 < at || rank(low) % 2 == 0 || rank(high) != rank(low) + 1 {
            continue;
        }
        let (mut bottom, mut extent, mut corner) = (at, (low, high), *edge);
        while corner != end {
            corner = next(corner);
            let (x, y) = ring[corner];
            (bottom, extent) = (bottom.max(x), (extent.0.min(y), extent.1.max(y)));
        }
        if deepest.is_none_or(|deepest| bottom > deepest.bottom) {
            deepest = Some(Slot { bottom, across: (low, high), extent });
        }
    }
    deepest
}

#[cfg(test)]
mod tests {
    use super::slot;

    /// A fork with legs of 60 and 40 and a slot of 80 between them, 300 deep; with one leg 50 shorter; without the slot; with a
    /// notch at its side; from its other end; with a corner let in at 45°, 80 deep; and leaning.
    #[test]
    fn a_slot_is_what_lies_between_two_legs() {
        let with = |end: &[(f64, f64)]| [&[(0.0, 0.0), (900.0, 0.0), (900.0, 180.0)], end].concat();
        let is = |ring: &[(f64, f64)], deep: f64| {
            let (depth, (low, high)) = slot(ring).expect("a slot");
            assert!((depth - deep).abs() < 1e-9 && low == 60.0 && high == 140.0, "{depth} {low} {high}");
        };
        let fork = with(&[(0.0, 180.0), (0.0, 140.0), (300.0, 140.0), (300.0, 60.0), (0.0, 60.0)]);
        is(&fork, 300.0);
        is(&fork.iter().rev().copied().collect::<Vec<_>>(), 300.0);
        is(&with(&[(50.0, 180.0), (50.0, 140.0), (300.0, 140.0), (300.0, 60.0), (0.0, 60.0)]), 250.0);
        assert_eq!(slot(&with(&[(0.0, 180.0)])), None);
        assert_eq!(slot(&with(&[(300.0, 180.0), (300.0, 60.0), (0.0, 60.0)])), None);
        assert_eq!(slot(&fork.iter().map(|(x, y)| (900.0 - x, *y)).collect::<Vec<_>>()), None);
        assert_eq!(slot(&with(&[(0.0, 180.0), (0.0, 170.0), (80.0, 90.0), (0.0, 10.0)])), None);
        // Walls out of true: 76 where it opens, 80 at its bottom, which is as far as what stands there reaches.
        is(&with(&[(0.0, 180.0), (0.0, 138.0), (300.0, 140.0), (300.0, 60.0), (0.0, 62.0)]), 300.0);
        // 5° and 15° aslant: 300 deep it drifts by 26 and by 80.
        let leaning = |drift: f64| {
            let (low, high) = (20.0 + drift, 80.0 + drift);
            slot(&with(&[(0.0, 180.0), (0.0, 80.0), (300.0, high), (300.0, low), (0.0, 20.0)]))
        };
        assert!(leaning(26.0).is_some() && leaning(80.0).is_none());
    }
}
