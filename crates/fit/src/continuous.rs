//! The longest unbroken floor across and along the boards.

use crate::Continuous;
use site::{Region, Uv};

/// How far beside a corner a stretch is measured, mm: its length may jump at the corner itself.
const BESIDE: f64 = 0.01;

/// The longest straight stretch across the rows inside a region, from gap to gap.
pub(crate) fn widest(region: &Region, index: usize) -> Option<Continuous> {
    let segments: Vec<(Uv, Uv)> = region.edges().map(|e| (e.a, e.b)).collect();
    longest_chord(&segments).map(|(from, to)| Continuous { region: index, extent: to.v - from.v, from, to })
}

/// The longest straight stretch along the rows inside a region.
pub(crate) fn longest(region: &Region, index: usize) -> Option<Continuous> {
    let swap = |p: Uv| Uv::new(p.v, p.u);
    let segments: Vec<(Uv, Uv)> = region.edges().map(|e| (swap(e.a), swap(e.b))).collect();
    longest_chord(&segments).map(|(from, to)| Continuous {
        region: index,
        extent: to.v - from.v,
        from: swap(from),
        to: swap(to),
    })
}

/// The longest chord at constant u of the region bounded by these segments. Between corners a chord's
/// length changes linearly with u, so the longest stands beside a corner. Goes from left to right with the
/// segments that are crossed at hand.
pub(crate) fn longest_chord(segments: &[(Uv, Uv)]) -> Option<(Uv, Uv)> {
    let mut at: Vec<f64> = Vec::with_capacity(2 * segments.len());
    at.extend(segments.iter().flat_map(|(a, _)| [a.u - BESIDE, a.u + BESIDE]));
    at.sort_unstable_by(f64::total_cmp);
    at.dedup_by(|b, a| *b - *a < BESIDE / 2.0);
    let mut to_come: Vec<&(Uv, Uv)> = Vec::with_capacity(segments.len());
    to_come.extend(segments.iter().filter(|(a, b)| a.u != b.u));
    // What begins at one place begins there in whatever order.
    to_come.sort_unstable_by(|a, b| b.0.u.min(b.1.u).total_cmp(&a.0.u.min(a.1.u)));
    let mut crossed: Vec<&(Uv, Uv)> = Vec::new();
    let mut best: Option<(f64, f64, f64)> = None;
    let mut crossings: Vec<f64> = Vec::new();
    for u in at {
        while let Some(next) = to_come.pop_if(|(a, b)| a.u.min(b.u) <= u) {
            crossed.push(next);
        }
        crossed.retain(|(a, b)| a.u.max(b.u) > u);
        crossings.clear();
        crossings.extend(crossed.iter().map(|(a, b)| a.v + (b.v - a.v) * (u - a.u) / (b.u - a.u)));
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            if best.is_none_or(|(_, low, high)| pair[1] - pair[0] > high - low + BESIDE) {
                best = Some((u, pair[0], pair[1]));
            }
        }
    }
    best.map(|(u, low, high)| (Uv::new(u, low), Uv::new(u, high)))
}
