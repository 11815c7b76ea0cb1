//! Flags on the small pieces that walls leave of blocks laid aslant.

use crate::boards::CRUMB;
use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use site::{Source, Uv};
use std::collections::BTreeMap;

/// The small pieces along one wall or fixture.
#[derive(Debug, Clone, Copy)]
struct Points {
    count: usize,
    /// The thinnest of them, and how thin it is, mm.
    board: usize,
    least: f64,
}

/// Flags pieces of blocks thinner than the least leg, once for each wall or fixture they lie along: every wall
/// aslant to the blocks makes some, and a flag on each would hide the others.
pub(crate) fn points(scene: &Scene, flags: &mut Vec<Flag>) {
    let limit = scene.plan.rules.least_leg;
    let mut walls: BTreeMap<(usize, Option<Source>), Points> = BTreeMap::new();
    for (index, board) in scene.floor.boards.iter().enumerate() {
        if !board.is_block() || !board.shaped {
            continue;
        }
        let least = least_width(&board.outline.outer);
        if least >= limit {
            continue;
        }
        let edges = scene.site.fields().iter().flat_map(|field| field.edges());
        let source = edges.into_iter().find(|edge| board.lies_along(edge)).map(|edge| edge.source);
        let all = walls.entry((board.region, source)).or_insert(Points { count: 0, board: index, least });
        all.count += 1;
        if least < all.least {
            (all.board, all.least) = (index, least);
        }
    }
    for ((_, source), Points { count, board, least }) in walls {
        let wall = source.map_or_else(|| scene.board_place(board), |source| source.name(scene.plan));
        flags.push(Flag {
            cause: None,
            kind: FlagKind::PointPiece,
            severity: Severity::Look,
            subject: Subject::Board(board),
            at: scene.site.frame.plan_from_row(scene.floor.boards[board].middle()),
            place: format!("{wall}, {count} small piece{}", if count == 1 { "" } else { "s" }),
            figure: least,
            limit,
            mend: match least < CRUMB {
                // Nobody saws or glues it.
                true => "shift the axis line or the points along it, lay a border, or leave so small a tip out, and let the cover or a filler hide the place",
                false => "shift the axis line or the points along it, lay a border, or glue them to their neighbours",
            }
            .into(),
        });
    }
}

/// The least distance between two parallel lines that hold an outline between them, mm. One of them always
/// lies along a side of its hull; a side of the outline that is none of the hull's only gives more.
fn least_width(ring: &[Uv]) -> f64 {
    let mut least = f64::INFINITY;
    for (i, a) in ring.iter().enumerate() {
        for b in &ring[i + 1..] {
            let (du, dv) = (b.u - a.u, b.v - a.v);
            let length = (du * du + dv * dv).sqrt();
            if length > 0.0 {
                let off = ring.iter().map(|p| ((p.u - a.u) * dv - (p.v - a.v) * du) / length);
                let (low, high) = off.fold((0.0_f64, 0.0_f64), |(l, h), d| (l.min(d), h.max(d)));
                least = least.min(high - low);
            }
        }
    }
    least
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A right triangle is as thin as the height on its long side: 30 · 40 / 50. Arithmetic.
    #[test]
    fn a_triangle_is_as_thin_as_its_least_height() {
        let ring = [(0.0, 0.0), (40.0, 0.0), (0.0, 30.0)].map(|(u, v)| Uv::new(u, v));
        assert!((least_width(&ring) - 24.0).abs() < 1e-9);
    }
}
