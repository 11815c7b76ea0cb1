//! Edges of the bare floor that are rounding, overlaps or slips of the tape.

use crate::build::{axes, distance, meet};
use crate::named::NamedEdge;

/// Edges of the bare floor no longer than this are rounding and overlaps, mm.
const CHIP: f64 = 0.2;

/// Takes out edges that no tape can show, such as a throat leaves where it reaches into its rooms: with a gap
/// of its own each would cut a notch or a wedge as deep as that gap. The longer neighbour stays where it is.
pub(crate) fn without_chips(edges: Vec<NamedEdge>) -> Vec<NamedEdge> {
    let count = edges.len();
    let is_short = |i: usize| distance(edges[i % count].a, edges[i % count].b) <= CHIP;
    let is_chip = |i: usize| {
        let before = (1..count).map(|back| i + count - back).find(|j| !is_short(*j));
        let after = (1..count).map(|on| i + on).find(|j| !is_short(*j));
        // Where the boundary turns back, the chip is the end of a thin thing or of a thin part of the floor.
        is_short(i)
            && before.zip(after).is_some_and(|(before, after)| {
                let [(d, _), (e, _)] = [before, after].map(|j| axes(edges[j % count].a, edges[j % count].b));
                d.u * e.u + d.v * e.v >= -0.5
            })
    };
    let mut kept: Vec<NamedEdge> = (0..count).filter(|i| !is_chip(*i)).map(|i| edges[i]).collect();
    if kept.len() == count || kept.len() < 3 {
        return edges;
    }
    for i in 0..kept.len() {
        let next = (i + 1) % kept.len();
        let (p, q) = (kept[i], kept[next]);
        if p.b != q.a {
            let end = if distance(p.a, p.b) > distance(q.a, q.b) { p.b } else { q.a };
            let corner = meet(p.a, axes(p.a, p.b).0, q.b, axes(q.a, q.b).0)
                .filter(|m| distance(*m, p.b).max(distance(*m, q.a)) <= 2.0 * CHIP);
            (kept[i].b, kept[next].a) = (corner.unwrap_or(end), corner.unwrap_or(end));
        }
    }
    // An edge that two corners met over has no direction left.
    kept.retain(|edge| edge.a != edge.b);
    kept
}
