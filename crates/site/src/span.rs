//! The floor between two edges that face each other across the rows.

use crate::{Edge, Region};

/// Edges that run less far than this along the rows face nothing, mm.
const UPRIGHT: f64 = 1e-6;

/// A place of an edge: ring (0 is the outline) and edge in the ring.
pub type Place = (usize, usize);

/// Floor between an edge below it and the edge above it, as far along the rows as no other edge comes between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// The edge below.
    pub below: Place,
    /// The edge above.
    pub above: Place,
    /// Where it begins along the rows, mm.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// Height of the floor across the rows at its beginning and at its end, mm.
    pub heights: [f64; 2],
}

impl Span {
    /// Extent along the rows, mm.
    pub fn length(&self) -> f64 {
        self.to - self.from
    }

    /// The lesser of the two heights, mm.
    pub fn least(&self) -> f64 {
        self.heights[0].min(self.heights[1])
    }
}

/// One edge in the sweep along the rows.
#[derive(Debug, Clone, Copy)]
struct Side<'a> {
    place: Place,
    edge: &'a Edge,
    left: f64,
    right: f64,
    /// v at its left end, and the rise from there along the rows.
    start: f64,
    slope: f64,
    /// For an edge with floor above: the side above it, and since where.
    open: Option<(usize, f64)>,
}

impl Side<'_> {
    fn height_at(&self, u: f64) -> f64 {
        self.start + self.slope * (u.clamp(self.left, self.right) - self.left)
    }

    /// Whether it lies below another that it shares a stretch of the rows with.
    fn is_below(&self, other: &Self) -> bool {
        let middle = (self.left.max(other.left) + self.right.min(other.right)) / 2.0;
        self.height_at(middle) < other.height_at(middle)
    }
}

/// The spans of a region, in order of where they end along the rows. Each part of the floor lies in one.
///
/// A sweep along the rows keeps the edges in order across them; only neighbours of an edge that begins or ends
/// change, so the cost is about that of sorting the corners.
pub fn spans(region: &Region) -> Vec<Span> {
    let mut sides: Vec<Side> = Vec::with_capacity(region.rings().map(|ring| ring.edges.len()).sum());
    for (ring, r) in region.rings().enumerate() {
        for (index, edge) in r.edges.iter().enumerate() {
            let (left, right) = if edge.a.u < edge.b.u { (edge.a, edge.b) } else { (edge.b, edge.a) };
            let run = right.u - left.u;
            if run > UPRIGHT {
                sides.push(Side {
                    place: (ring, index),
                    edge,
                    left: left.u,
                    right: right.u,
                    start: left.v,
                    slope: (right.v - left.v) / run,
                    open: None,
                });
            }
        }
    }
    let in_order = |key: fn(&Side) -> f64| {
        let mut order: Vec<usize> = (0..sides.len()).collect();
        order.sort_by(|a, b| key(&sides[*a]).total_cmp(&key(&sides[*b])));
        order
    };
    let mut begins = in_order(|side| side.left).into_iter().peekable();
    let mut ends = in_order(|side| side.right).into_iter().peekable();

    // Each side ends or begins a span, and mostly both.
    let mut found = Vec::with_capacity(sides.len());
    let mut active: Vec<usize> = Vec::new();
    let mut touched: Vec<usize> = Vec::new();
    while let Some(&next_end) = ends.peek() {
        let u = begins.peek().map_or(f64::INFINITY, |next| sides[*next].left).min(sides[next_end].right);
        let reached = u + UPRIGHT;
        touched.clear();
        while let Some(side) = ends.next_if(|side| sides[*side].right <= reached) {
            let Some(at) = find(&active, &sides, side) else { continue };
            active.remove(at);
            touched.extend(at.checked_sub(1).map(|below| active[below]));
            close(&mut sides, side, u, &mut found);
        }
        while let Some(side) = begins.next_if(|side| sides[*side].left <= reached) {
            let at = active.partition_point(|other| sides[*other].is_below(&sides[side]));
            active.insert(at, side);
            touched.extend(at.checked_sub(1).map(|below| active[below]));
            touched.push(side);
        }
        for side in &touched {
            let Some(at) = find(&active, &sides, *side) else { continue };
            let above = active.get(at + 1).copied().filter(|above| !sides[*above].edge.floor_is_above());
            let now = above.filter(|_| sides[*side].edge.floor_is_above());
            if now != sides[*side].open.map(|(above, _)| above) {
                close(&mut sides, *side, u, &mut found);
                sides[*side].open = now.map(|above| (above, u));
            }
        }
    }
    found
}

/// The place of a side among the active ones.
fn find(active: &[usize], sides: &[Side], side: usize) -> Option<usize> {
    let guess = active.partition_point(|other| sides[*other].is_below(&sides[side]));
    // Sides that lie on one another have no order.
    if active.get(guess) == Some(&side) {
        Some(guess)
    } else {
        active.iter().position(|other| *other == side)
    }
}

/// Ends the span above a side.
fn close(sides: &mut [Side], side: usize, to: f64, found: &mut Vec<Span>) {
    let Some((above, from)) = sides[side].open.take() else { return };
    let (below, above) = (&sides[side], &sides[above]);
    if to - from > UPRIGHT {
        let height = |u: f64| (above.height_at(u) - below.height_at(u)).max(0.0);
        let heights = [height(from), height(to)];
        found.push(Span { below: below.place, above: above.place, from, to, heights });
    }
}
