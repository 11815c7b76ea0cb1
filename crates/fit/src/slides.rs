//! Boards that must slide in because something fitted stands over their edge.

use crate::continuous::{longest, widest};
use crate::{Fit, Slide};
use lay::Floor;
use plan::{Lining, Plan};
use site::{Edge, EdgeKind, Site, Source};

/// A board this close to an edge reaches it, mm.
const REACH: f64 = 0.5;

/// How the floor goes in.
pub fn fit(plan: &Plan, site: &Site, floor: &Floor) -> Fit {
    let regions = || site.regions.iter().enumerate();
    let over: Vec<(usize, Edge)> = regions()
        .flat_map(|(index, region)| {
            region.edges().filter(|edge| stands_over(plan, edge)).map(move |edge| (index, *edge))
        })
        .collect();
    let slides = floor
        .boards
        .iter()
        .enumerate()
        .filter_map(|(index, board)| {
            let edge = over.iter().find(|(region, edge)| *region == board.region && reaches(board, edge))?.1;
            Some(Slide { board: index, under: edge.kind, source: edge.source })
        })
        .collect();
    Fit {
        widths: regions().filter_map(|(i, r)| widest(r, i)).collect(),
        lengths: regions().filter_map(|(i, r)| longest(r, i)).collect(),
        slides,
    }
}

/// Whether something fitted already reaches over the floor at an edge.
fn stands_over(plan: &Plan, edge: &Edge) -> bool {
    match (edge.kind, edge.source) {
        (EdgeKind::Kick, _) => true,
        (EdgeKind::Jamb, Source::Doorway(index)) => {
            plan.doorways.get(index).is_some_and(|door| door.lining == Lining::Fitted)
        }
        _ => false,
    }
}

/// Whether some side of the board's outline lies on the edge.
fn reaches(board: &lay::Board, edge: &Edge) -> bool {
    let (left, right) = (edge.a.u.min(edge.b.u), edge.a.u.max(edge.b.u));
    if board.right < left - REACH || board.left > right + REACH {
        return false;
    }
    let (low, high) = edge.v_range();
    board.outline.rings().any(|ring| {
        ring.iter().enumerate().any(|(i, a)| {
            let b = ring[(i + 1) % ring.len()];
            let overlaps = |a0: f64, a1: f64, b0: f64, b1: f64| {
                a0.min(a1) <= b0.max(b1) + REACH && a0.max(a1) >= b0.min(b1) - REACH
            };
            overlaps(a.u, b.u, left, right)
                && overlaps(a.v, b.v, low, high)
                && [a, &b].into_iter().all(|p| distance_to_line(edge, p.u, p.v) < REACH)
        })
    })
}

fn distance_to_line(edge: &Edge, u: f64, v: f64) -> f64 {
    let (du, dv) = (edge.b.u - edge.a.u, edge.b.v - edge.a.v);
    let length = edge.length().max(f64::MIN_POSITIVE);
    ((u - edge.a.u) * dv - (v - edge.a.v) * du).abs() / length
}
