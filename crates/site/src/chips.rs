//! Edges of the bare floor that are rounding, overlaps or slips of the tape.

use crate::Uv;
use crate::build::{HEALED, axes, distance, meet};
use crate::named::{NamedEdge, goes_on};

/// Edges of the bare floor no longer than this are rounding and overlaps, mm.
const CHIP: f64 = 0.2;
/// So many edges in line are looked at as one stretch; a wall drawn of more is its part next to the chip.
const IN_STRETCH: usize = 64;

/// Takes out edges that no tape can show, such as a throat leaves where it reaches into its rooms: with a gap
/// of its own each would cut a notch or a wedge as deep as that gap. Of the straight stretches beside one the longer stays where it
/// is, and the other turns as a whole: what moves hangs on no corner in the middle of a straight wall. Two edges of one face, told by
/// their places, that go on in line past a chip are one.
pub(crate) fn without_chips(
    edges: &[NamedEdge],
    are_of_one_face: impl Fn(usize, usize) -> bool,
) -> Vec<NamedEdge> {
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
    let places: Vec<usize> = (0..count).filter(|i| !is_chip(*i)).collect();
    if places.len() == count || places.len() < 3 {
        return edges.to_vec();
    }
    let mut kept: Vec<NamedEdge> = places.iter().map(|place| edges[*place]).collect();
    let mut had_chip = vec![false; kept.len()];
    for i in 0..kept.len() {
        let next = (i + 1) % kept.len();
        let (p, q) = (kept[i], kept[next]);
        if p.b != q.a {
            had_chip[i] = true;
            let corner = meet(p.a, axes(p.a, p.b).0, q.b, axes(q.a, q.b).0)
                .filter(|m| distance(*m, p.b).max(distance(*m, q.a)) <= 2.0 * CHIP);
            if let Some(corner) = corner {
                (kept[i].b, kept[next].a) = (corner, corner);
                continue;
            }
            let [before, after] = [Way::Back, Way::On].map(|way| Stretch::from_corner(&kept, i, way));
            match before.length > after.length {
                true => after.turn(&mut kept, p.b),
                false => before.turn(&mut kept, q.a),
            }
        }
    }
    for i in (0..kept.len()).rev().filter(|i| had_chip[*i]) {
        let next = (i + 1) % kept.len();
        let is_one = are_of_one_face(places[i], places[(i + 1) % places.len()]);
        if is_one && kept.len() > 3 && goes_on(kept[i].a, kept[i].b, kept[next].b) {
            kept[next].a = kept[i].a;
            kept.remove(i);
        }
    }
    // An edge that two corners met over has no direction left.
    kept.retain(|edge| edge.a != edge.b);
    kept
}

/// Which way round a ring.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Way {
    Back,
    On,
}

/// Edges of a ring that lie in one line, from the corner at the end of one of them.
#[derive(Debug)]
struct Stretch {
    /// The edges, from the corner on.
    edges: Vec<usize>,
    way: Way,
    /// From the corner to the far end, mm.
    length: f64,
}

impl Stretch {
    /// The stretch that ends, or begins, at the end of edge `i`.
    fn from_corner(ring: &[NamedEdge], i: usize, way: Way) -> Self {
        let count = ring.len();
        let nth = |n: usize| match way {
            Way::Back => (i + count - n) % count,
            Way::On => (i + 1 + n) % count,
        };
        let near_and_far = |j: usize| near_and_far(&ring[j], way);
        let (from, mut to) = near_and_far(nth(0));
        let mut edges = vec![nth(0)];
        let mut corners = vec![to];
        while edges.len() < IN_STRETCH.min(count - 2) {
            let next = nth(edges.len());
            let (near, far) = near_and_far(next);
            let ((along, across), (further, _)) = (axes(from, far), axes(near, far));
            let is_in_line = |corner: &Uv| {
                ((corner.u - from.u) * across.u + (corner.v - from.v) * across.v).abs() <= HEALED
            };
            let goes_on = along.u * further.u + along.v * further.v > 0.0;
            if near != to || !goes_on || !corners.iter().all(is_in_line) {
                break;
            }
            edges.push(next);
            corners.push(far);
            to = far;
        }
        Self { edges, way, length: distance(from, to) }
    }

    /// Turns it round its far end until the corner lies at `to`.
    fn turn(&self, ring: &mut [NamedEdge], to: Uv) {
        let Some(first) = self.edges.first() else { return };
        let (from, _) = near_and_far(&ring[*first], self.way);
        let turned = |p: Uv| {
            let share = (1.0 - distance(from, p) / self.length).max(0.0);
            Uv::new(p.u + (to.u - from.u) * share, p.v + (to.v - from.v) * share)
        };
        for (n, j) in self.edges.iter().enumerate() {
            let (near, far) = near_and_far(&ring[*j], self.way);
            let near = if n == 0 { to } else { turned(near) };
            // The last corner is where the next stretch begins.
            let far = if n + 1 == self.edges.len() { far } else { turned(far) };
            match self.way {
                Way::Back => (ring[*j].a, ring[*j].b) = (far, near),
                Way::On => (ring[*j].a, ring[*j].b) = (near, far),
            }
        }
    }
}

/// An edge's ends, as one comes to them.
fn near_and_far(edge: &NamedEdge, way: Way) -> (Uv, Uv) {
    match way {
        Way::Back => (edge.b, edge.a),
        Way::On => (edge.a, edge.b),
    }
}
