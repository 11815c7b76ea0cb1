//! Edges moved across the rows: gaps made wider than their least, and movement joints put on row lines.

use crate::{Edge, EdgeKind, Site, Uv};

/// An edge moved across the rows: further into the floor under the cover of its gap, or, at a movement joint, with
/// the joint either way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ease {
    /// Region.
    pub region: usize,
    /// Ring of the region; 0 is the outline.
    pub ring: usize,
    /// Edge of the ring.
    pub edge: usize,
    /// How far it moves into the floor at its start, mm; negative only at a movement joint.
    pub start: f64,
    /// How far it moves at its end.
    pub end: f64,
}

/// The site with some edges along the rows moved further in.
///
/// Every edge keeps its place in its ring. An eased edge becomes the straight line through its moved ends; at a
/// corner with an edge that is not moved its end slips along that edge's line, as far across the rows as it is moved. Expects moves that leave every neighbour
/// some length, as the set-out gives them.
pub fn eased(site: &Site, eases: &[Ease]) -> Site {
    let mut site = site.clone();
    let mut order: Vec<&Ease> = eases.iter().filter(|ease| ease.start != 0.0 || ease.end != 0.0).collect();
    order.sort_by_key(|ease| (ease.region, ease.ring, ease.edge));
    for ring in order.chunk_by(|a, b| (a.region, a.ring) == (b.region, b.ring)) {
        let Some(region) = site.regions.get_mut(ring[0].region) else { continue };
        let edges = match ring[0].ring {
            0 => Some(&mut region.outer.edges),
            hole => region.holes.get_mut(hole - 1).map(|hole| &mut hole.edges),
        };
        let Some(edges) = edges else { continue };
        let before = doubled_area(edges);
        ease_ring(edges, ring);
        region.area += (doubled_area(edges) - before) / 2.0;
    }
    site
}

fn doubled_area(edges: &[Edge]) -> f64 {
    edges.iter().map(|e| e.a.u * e.b.v - e.b.u * e.a.v).sum()
}

fn ease_ring(edges: &mut [Edge], eases: &[&Ease]) {
    let count = edges.len();
    // The moved ends of each eased edge.
    let mut moved: Vec<Option<(Uv, Uv)>> = vec![None; count];
    for ease in eases.iter().filter(|ease| ease.edge < count) {
        let edge = &edges[ease.edge];
        let inwards = if edge.floor_is_above() { 1.0 } else { -1.0 };
        let a = Uv::new(edge.a.u, edge.a.v + inwards * ease.start);
        let b = Uv::new(edge.b.u, edge.b.v + inwards * ease.end);
        moved[ease.edge] = Some((a, b));
    }
    let corners: Vec<Uv> = (0..count)
        .map(|i| {
            let before = (i + count - 1) % count;
            match (moved[before], moved[i]) {
                (None, None) => edges[i].a,
                (Some((_, end)), Some((start, _))) => match edges[i].floor_is_above() {
                    true if end.v > start.v => end,
                    false if end.v < start.v => end,
                    _ => start,
                },
                (Some((_, end)), None) => slipped(end, &edges[i]),
                (None, Some((start, _))) => slipped(start, &edges[before]),
            }
        })
        .collect();
    for i in 0..count {
        let (a, b) = (corners[i], corners[(i + 1) % count]);
        edges[i].a = a;
        edges[i].b = b;
    }
    let widens = |ease: &&&Ease| ease.edge < count && edges[ease.edge].kind != EdgeKind::MovementJoint;
    let widened: Vec<&&Ease> = eases.iter().filter(widens).collect();
    for ease in widened {
        let more = (ease.start + ease.end) / 2.0;
        edges[ease.edge].gap += more;
        edges[ease.edge].play = (edges[ease.edge].play - ease.start.max(ease.end)).max(0.0);
    }
}

/// The place of a moved end on the line of a neighbour that stays, as far across the rows as it was moved: off it by as little as
/// a neighbour out of square takes it along, the edge would lie a hair beside its row line there. Its own place where the
/// neighbour lies too nearly along the rows to meet it soundly.
fn slipped(end: Uv, neighbour: &Edge) -> Uv {
    let (a, b) = (neighbour.a, neighbour.b);
    let (du, dv) = (b.u - a.u, b.v - a.v);
    if dv == 0.0 || dv.abs() < NEARLY_ALONG * du.abs() {
        return end;
    }
    Uv::new(a.u + du * (end.v - a.v) / dv, end.v)
}

/// Edges that rise by less than this part of their run go on from one another: a move runs through their corner.
pub const NEARLY_ALONG: f64 = 0.25;
