//! Faces and lines found by place, with the same answer as going through all of them.

use crate::Uv;
use crate::build::{MATCH, axes, distance};
use plan::{Bounds, Boxes};

/// A line whose score against an edge is no greater than this lies this near to it, mm: what lies further off
/// need not be looked at. Smaller, and mitred corners fall back to going through all; larger, more are tried.
const NEAR: f64 = 3.0;

/// A straight piece that an edge may lie on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line {
    pub(crate) p: Uv,
    /// Unit vector along it, and its left normal.
    pub(crate) d: Uv,
    pub(crate) n: Uv,
    pub(crate) length: f64,
}

impl Line {
    pub(crate) fn between(a: Uv, b: Uv) -> Self {
        let (d, n) = axes(a, b);
        Self { p: a, d, n, length: distance(a, b) }
    }

    pub(crate) fn end(&self) -> Uv {
        Uv::new(self.p.u + self.d.u * self.length, self.p.v + self.d.v * self.length)
    }

    /// How far a point lies off the line, and how far past its ends.
    pub(crate) fn off_and_past(&self, at: Uv) -> (f64, f64) {
        let (du, dv) = (at.u - self.p.u, at.v - self.p.v);
        if self.length <= 0.0 {
            // It has no direction, and would lie everywhere.
            return (distance(at, self.p), 0.0);
        }
        let off = (du * self.n.u + dv * self.n.v).abs();
        let t = du * self.d.u + dv * self.d.v;
        (off, (-t).max(t - self.length).max(0.0))
    }

    /// The sine between an edge's direction and the line's, and whether the two run against each other.
    pub(crate) fn turned_and_against(&self, d: Uv) -> (f64, f64) {
        let turned = (d.u * self.d.v - d.v * self.d.u).abs();
        (turned, if d.u * self.d.u + d.v * self.d.v < 0.0 { 1.0 } else { 0.0 })
    }
}

/// An index over lines.
#[derive(Debug)]
pub(crate) struct Lines {
    pub(crate) lines: Vec<Line>,
    filed: Boxes,
}

impl Lines {
    pub(crate) fn new(lines: Vec<Line>) -> Self {
        let filed = Boxes::new(lines.iter().map(|line| Bounds::of([line.p, line.end()].map(pair))));
        Self { lines, filed }
    }

    /// The lines of least score at a point, within `level` of the least, in their order; each with its score.
    /// A score must not be less than a line's distance from the point; `None` leaves a line out.
    pub(crate) fn least(
        &self,
        at: Uv,
        level: f64,
        score: impl Fn(&Line) -> Option<f64>,
    ) -> Vec<(f64, usize)> {
        let scored = |i: usize| score(&self.lines[i]).map(|score| (score, i));
        let keep = |mut found: Vec<(f64, usize)>| {
            let least = found.iter().map(|(score, _)| *score).fold(f64::INFINITY, f64::min);
            found.retain(|(score, _)| *score <= least + level);
            found.sort_unstable_by_key(|(_, i)| *i);
            (least, found)
        };
        let mut near = Vec::new();
        let around = Bounds { low: pair(at), high: pair(at) }.grown(NEAR);
        self.filed.each(around, |i| near.extend(scored(i)));
        let (least, found) = keep(near);
        if least + level < NEAR {
            return found;
        }
        keep((0..self.lines.len()).filter_map(scored).collect()).1
    }
}

/// An index over points at which an edge may be parted.
#[derive(Debug)]
pub(crate) struct Ends {
    points: Vec<Uv>,
    filed: Boxes,
}

impl Ends {
    pub(crate) fn new(points: Vec<Uv>) -> Self {
        let filed = Boxes::new(points.iter().map(|p| Bounds::of([pair(*p)])));
        Self { points, filed }
    }

    /// A ring with further corners where the points lie on its sides: the boolean operations leave out
    /// corners on a straight line, though one thing may end and another begin there.
    pub(crate) fn split(&self, ring: &[Uv]) -> Vec<Uv> {
        let mut out = Vec::with_capacity(ring.len());
        let mut cuts: Vec<f64> = Vec::new();
        for (i, a) in ring.iter().enumerate() {
            let b = ring[(i + 1) % ring.len()];
            out.push(*a);
            let Some(bounds) = Bounds::of([pair(*a), pair(b)]) else { continue };
            let (d, n) = axes(*a, b);
            let length = distance(*a, b);
            cuts.clear();
            self.filed.each(bounds.grown(2.0 * MATCH), |p| {
                let (u, v) = (self.points[p].u - a.u, self.points[p].v - a.v);
                let s = u * d.u + v * d.v;
                if (u * n.u + v * n.v).abs() <= MATCH && s > MATCH && s < length - MATCH {
                    cuts.push(s);
                }
            });
            cuts.sort_by(f64::total_cmp);
            cuts.dedup_by(|b, a| *b - *a <= MATCH);
            out.extend(cuts.iter().map(|s| Uv::new(a.u + d.u * s, a.v + d.v * s)));
        }
        out
    }
}

fn pair(p: Uv) -> [f64; 2] {
    [p.u, p.v]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn point() -> impl Strategy<Value = Uv> {
        (-40..40_i32, -40..40_i32).prop_map(|(u, v)| Uv::new(f64::from(u) / 4.0, f64::from(v) / 4.0))
    }

    proptest! {
        /// Against going through all lines.
        #[test]
        fn the_least_line_is_found_wherever_it_lies(
            ends in proptest::collection::vec((point(), point()), 1..30),
            at in point(),
        ) {
            // A boundary's lines have a length.
            let ends = ends.iter().filter(|(a, b)| a != b);
            let lines: Vec<Line> = ends.map(|(a, b)| Line::between(*a, *b)).collect();
            let score = |line: &Line| {
                let (off, past) = line.off_and_past(at);
                Some(off * 2.0 + past)
            };
            let all: Vec<f64> = lines.iter().map(|line| score(line).unwrap_or(f64::NAN)).collect();
            let least = all.iter().copied().fold(f64::INFINITY, f64::min);
            let expected: Vec<(f64, usize)> =
                all.iter().enumerate().filter(|(_, s)| **s <= least + 0.5).map(|(i, s)| (*s, i)).collect();
            prop_assert_eq!(Lines::new(lines).least(at, 0.5, score), expected);
        }
    }
}
