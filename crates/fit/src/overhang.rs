//! What something fitted reaches over the floor covers of it, and the boards that lie under it without touching the floor's
//! edge there: a narrow rip of the next row, or a short end, lies between.

use geo::{Area, BooleanOps, Coord, LineString, Polygon};
use lay::{Board, Outline};
use plan::{Bounds, Boxes};
use site::{Edge, EdgeKind, Region, Site, Source, Uv};

/// A board lies under a thing by more than this, mm²: more than corners that were healed along a side make, and less than
/// anything that a board could catch on.
const UNDER: f64 = 50.0;
/// A strip's corner is no farther from the floor's than so many times what the thing reaches over: past that two sides are
/// as good as in line.
const FARTHEST: f64 = 8.0;

/// The strip of floor between an edge and the face of what reaches over it.
#[derive(Debug, Clone, Copy)]
struct Strip {
    /// Region, and the edge among the region's.
    edge: (usize, usize),
    of: (EdgeKind, Source),
    /// Anticlockwise.
    corners: [Uv; 4],
}

/// The strips of all regions, and where they lie.
pub(crate) struct Overhangs {
    strips: Vec<Strip>,
    filed: Boxes,
}

/// What of a board lies under a thing whose edges it does not touch.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Covered {
    /// Region, and the edge among the region's under the greatest part of it.
    pub(crate) edge: (usize, usize),
    /// Corners of that part.
    pub(crate) part: Vec<Uv>,
}

impl Overhangs {
    /// `over` says whether something fitted reaches over the floor at an edge.
    pub(crate) fn new(site: &Site, over: impl Fn(&Edge) -> bool) -> Self {
        let of_region = |(index, region): (usize, &Region)| strips(index, region, &over);
        let strips: Vec<Strip> = site.regions.iter().enumerate().flat_map(of_region).collect();
        let filed = Boxes::new(strips.iter().map(|strip| bounds(&strip.corners)));
        Self { strips, filed }
    }

    /// Whether anything within these bounds may lie under one of the strips.
    pub(crate) fn meets(&self, bounds: Bounds) -> bool {
        let mut meets = false;
        self.filed.each(bounds, |_| meets = true);
        meets
    }

    /// What lies of a board under each thing that it touches no edge of; `touched` are what it touches.
    pub(crate) fn over(&self, board: &Board, touched: &[(EdgeKind, Source)]) -> Vec<Covered> {
        let mut found: Vec<(f64, &Strip, Covered)> = Vec::new();
        let Some(around) = bounds(&board.outline.outer) else { return Vec::new() };
        if self.strips.is_empty() {
            return Vec::new();
        }
        self.filed.each(around, |index| {
            let strip = &self.strips[index];
            if strip.edge.0 != board.region || touched.contains(&strip.of) {
                return;
            }
            let (area, part) = within(&board.outline, &strip.corners);
            if area > UNDER {
                found.push((area, strip, Covered { edge: strip.edge, part }));
            }
        });
        // Of one thing's sides the one under which most of it lies.
        found.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.edge.cmp(&b.1.edge)));
        let mut named: Vec<(EdgeKind, Source)> = Vec::new();
        found.retain(|(_, strip, _)| {
            let is_new = !named.contains(&strip.of);
            named.push(strip.of);
            is_new
        });
        found.into_iter().map(|(_, _, covered)| covered).collect()
    }
}

fn bounds(points: &[Uv]) -> Option<Bounds> {
    Bounds::of(points.iter().map(|p| [p.u, p.v]))
}

fn strips(index: usize, region: &Region, over: impl Fn(&Edge) -> bool) -> Vec<Strip> {
    let mut found = Vec::new();
    let mut first = 0;
    for ring in region.rings() {
        let count = ring.edges.len();
        for (i, edge) in ring.edges.iter().enumerate() {
            if edge.gap >= 0.0 || !over(edge) {
                continue;
            }
            // A side of the same thing reaches as far over; along anything else the strip ends at its own edge.
            let goes_on = |other: &Edge| (other.kind, other.source) == (edge.kind, edge.source);
            let reach = |other: &Edge| if goes_on(other) { -other.gap } else { 0.0 };
            let (before, after) = (&ring.edges[(i + count - 1) % count], &ring.edges[(i + 1) % count]);
            let own = -edge.gap;
            let corner = |at: Uv, other: &Edge| moved(at, (other, reach(other)), (edge, own));
            let corners = [edge.a, edge.b, corner(edge.b, after), corner(edge.a, before)];
            if area(&corners) > 0.0 {
                found.push(Strip { edge: (index, first + i), of: (edge.kind, edge.source), corners });
            }
        }
        first += count;
    }
    found
}

/// Where two edges' lines that meet at `at` meet when each is moved into the floor by so much.
fn moved(at: Uv, (one, by): (&Edge, f64), (other, also): (&Edge, f64)) -> Uv {
    // The floor lies to the left.
    let inwards = |edge: &Edge| {
        let length = edge.length().max(f64::MIN_POSITIVE);
        Uv::new((edge.a.v - edge.b.v) / length, (edge.b.u - edge.a.u) / length)
    };
    let (m, n) = (inwards(one), inwards(other));
    let cross = m.u * n.v - m.v * n.u;
    let square = Uv::new(n.u * also, n.v * also);
    let met = Uv::new((by * n.v - also * m.v) / cross, (m.u * also - n.u * by) / cross);
    let is_near = met.u * met.u + met.v * met.v <= (FARTHEST * also) * (FARTHEST * also);
    let by = if cross != 0.0 && is_near { met } else { square };
    Uv::new(at.u + by.u, at.v + by.v)
}

/// Area of an outline inside a shape, mm², and the corners of that part.
fn within(outline: &Outline, shape: &[Uv; 4]) -> (f64, Vec<Uv>) {
    let ring = |points: &[Uv]| points.iter().map(|p| Coord { x: p.u, y: p.v }).collect::<LineString>();
    let board = Polygon::new(ring(&outline.outer), outline.holes.iter().map(|hole| ring(hole)).collect());
    let under = board.intersection(&Polygon::new(ring(shape), Vec::new()));
    let corners = under.iter().flat_map(|part| part.exterior().coords());
    (under.unsigned_area(), corners.map(|c| Uv::new(c.x, c.y)).collect())
}

/// Signed area, mm²; positive where the corners go anticlockwise.
fn area(ring: &[Uv]) -> f64 {
    let Some(first) = ring.first() else { return 0.0 };
    let off = |p: &Uv| (p.u - first.u, p.v - first.v);
    let twice = |pair: &[Uv]| {
        let ((a, b), (c, d)) = (off(&pair[0]), off(&pair[1]));
        a * d - b * c
    };
    ring.windows(2).map(twice).sum::<f64>() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A U whose legs reach 30 into a square of 100: two times 40 by 30. By hand.
    #[test]
    fn what_hangs_together_no_more_is_counted_in_all() {
        let corners = |all: &[(f64, f64)]| all.iter().map(|p| Uv::new(p.0, p.1)).collect::<Vec<Uv>>();
        let outer = corners(&[
            (0.0, 70.0),
            (40.0, 70.0),
            (40.0, 150.0),
            (60.0, 150.0),
            (60.0, 70.0),
            (100.0, 70.0),
            (100.0, 200.0),
            (0.0, 200.0),
        ]);
        let square = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)].map(|p| Uv::new(p.0, p.1));
        let (area, _) = within(&Outline { outer, holes: Vec::new() }, &square);
        assert!((area - 2400.0).abs() < 1e-9, "{area}");
        // A hole of 20 by 10 in what lies inside is left out.
        let outer = corners(&[(-50.0, 0.0), (50.0, 0.0), (50.0, 50.0), (-50.0, 50.0)]);
        let hole = corners(&[(-10.0, 10.0), (-10.0, 20.0), (10.0, 20.0), (10.0, 10.0)]);
        let (area, _) = within(&Outline { outer, holes: vec![hole] }, &square);
        assert!((area - (2500.0 - 100.0)).abs() < 1e-9, "{area}");
    }
}
