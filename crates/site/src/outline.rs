//! Regions made of polygons: their corners put back on the exact lines they come from, every edge with its name.

use crate::build::{HEALED, MATCH, NO_FLOOR, axes, distance, meet, ring_points};
use crate::face::{anticlockwise, signed_area};
use crate::index::{Ends, Line, Lines};
use crate::named::NamedEdge;
use crate::{Edge, Region, Ring, Uv};
use geo::{LineString, Polygon};

/// The lines to which edges have moved, and where they lie.
pub(crate) struct Offsets {
    edges: Vec<NamedEdge>,
    lines: Lines,
    ends: Ends,
}

impl Offsets {
    pub(crate) fn new(edges: Vec<NamedEdge>) -> Self {
        let moved = |edge: &NamedEdge| {
            let line = Line::between(edge.a, edge.b);
            let (n, inset) = (line.n, edge.inset);
            Line { p: Uv::new(edge.a.u + n.u * inset, edge.a.v + n.v * inset), ..line }
        };
        let lines: Vec<Line> = edges.iter().map(moved).collect();
        let ends = Ends::new(lines.iter().flat_map(|line| [line.p, line.end()]).collect());
        Self { edges, lines: Lines::new(lines), ends }
    }

    /// The line on which a final edge lies.
    fn nearest(&self, a: Uv, b: Uv) -> usize {
        let middle = Uv::new((a.u + b.u) / 2.0, (a.v + b.v) / 2.0);
        let (d, _) = axes(a, b);
        let found = self.lines.least(middle, 0.0, |line| {
            let (off, past) = line.off_and_past(middle);
            let (turned, against) = line.turned_and_against(d);
            // A mitred corner lies a little past the end of its line; lying off the line counts far more.
            Some(off * 100.0 + past + (turned + against) * 100.0)
        });
        found.first().map_or(0, |(_, line)| *line)
    }
}

pub(crate) fn region(polygon: &Polygon, offsets: &Offsets) -> Option<Region> {
    let outer = ring(polygon.exterior(), offsets, true)?;
    let holes: Vec<Ring> = polygon.interiors().iter().filter_map(|hole| ring(hole, offsets, false)).collect();
    region_of(outer, holes)
}

/// The region of these rings, unless it is too thin to take a board.
pub(crate) fn region_of(outer: Ring, holes: Vec<Ring>) -> Option<Region> {
    let ring_area = |r: &Ring| signed_area(&r.edges.iter().map(|e| e.a).collect::<Vec<_>>());
    let area = ring_area(&outer) + holes.iter().map(ring_area).sum::<f64>();
    let perimeter: f64 = outer.edges.iter().map(Edge::length).sum();
    // Twice the area over the perimeter is about the width of a long thin piece.
    (area > 0.0 && 2.0 * area > NO_FLOOR * perimeter).then_some(Region { outer, holes, area })
}

/// A named ring with its corners put back on the exact lines they come from.
fn ring(line: &LineString, offsets: &Offsets, outer: bool) -> Option<Ring> {
    let mut points = ring_points(line);
    points.dedup_by(|a, b| near(*a, *b));
    while points.len() > 1 && near(points[0], points[points.len() - 1]) {
        points.pop();
    }
    if points.len() < 3 {
        return None;
    }
    let points = offsets.ends.split(&points);
    let points = match (outer, anticlockwise(points)) {
        (true, points) => points,
        (false, mut points) => {
            points.reverse();
            points
        }
    };
    let count = points.len();
    let lines: Vec<usize> = (0..count).map(|i| offsets.nearest(points[i], points[(i + 1) % count])).collect();
    let line = |i: usize| &offsets.lines.lines[lines[i]];
    // Corners that part two pieces of one line are no corners. A jog shorter than the gaps may belong to
    // no line; then its corners do not lie on the nearest one, and stay.
    let on_line = |i: usize, point: Uv| line(i).off_and_past(point).0 <= MATCH;
    let lies = |i: usize| on_line(i, points[i]) && on_line(i, points[(i + 1) % count]);
    // A step from one gap to another is the end of the wider, whatever runs its way nearby.
    let inset = |i: usize| offsets.edges[lines[i]].inset;
    let names = |i: usize| {
        let beside = [(i + count - 1) % count, (i + 1) % count];
        let wider = beside
            .into_iter()
            .filter(|j| !lies(i) && lies(*j))
            .max_by(|a, b| inset(*a).total_cmp(&inset(*b)));
        lines[wider.unwrap_or(i)]
    };
    let keep: Vec<usize> = (0..count)
        .filter(|i| {
            let before = (i + count - 1) % count;
            lines[*i] != lines[before] || !lies(*i) || !lies(before)
        })
        .collect();
    if keep.len() < 3 {
        return None;
    }
    let corner = |i: usize| {
        let (before, after) = (line((i + count - 1) % count), line(i));
        meet(before.p, before.d, after.p, after.d)
            .filter(|exact| {
                let (du, dv) = (exact.u - points[i].u, exact.v - points[i].v);
                du * du + dv * dv <= MATCH * MATCH
            })
            .unwrap_or(points[i])
    };
    let first = (0..keep.len()).min_by(|a, b| {
        let (p, q) = (points[keep[*a]], points[keep[*b]]);
        p.v.total_cmp(&q.v).then(p.u.total_cmp(&q.u))
    })?;
    let mut edges: Vec<Edge> = (0..keep.len())
        .map(|k| {
            let i = keep[(first + k) % keep.len()];
            let j = keep[(first + k + 1) % keep.len()];
            offsets.edges[names(i)].at(corner(i), corner(j))
        })
        .collect();
    // Put back on its lines, a chip may have no length left.
    without_spikes(&mut edges);
    for i in 0..edges.len() {
        edges[i].b = edges[(i + 1) % edges.len()].a;
    }
    (edges.len() >= 3).then_some(Ring { edges })
}

/// Takes out edges without length and spikes, corners at which the ring turns back on itself. The longer edge at a spike keeps its
/// name and its line, and the edge past the spike meets it there; so does the longer of those beside an edge without length.
fn without_spikes(edges: &mut Vec<Edge>) {
    let (mut i, mut sound) = (0, 0);
    while edges.len() >= 3 && sound < edges.len() {
        let count = edges.len();
        let at = |steps: usize| edges[(i + steps) % count].a;
        let (past, a, b, c, beyond) = (at(count - 1), at(0), at(1), at(2), at(3));
        let next = (i + 1) % count;
        let ((du, dv), (eu, ev)) = ((b.u - a.u, b.v - a.v), (c.u - b.u, c.v - b.v));
        let (before, after) = (distance(a, b), distance(b, c));
        let is_spike = du * eu + dv * ev < 0.0 && (du * ev - dv * eu).abs() < HEALED * before.max(after);
        let found = edges.len();
        if is_spike && before >= after {
            edges[(i + 2) % count].a = ending_on((a, b), c, beyond);
            edges.remove(next);
        } else if is_spike {
            edges[next].a = ending_on((c, b), a, past);
            edges.remove(i);
        } else if before <= HEALED {
            if distance(past, a) > after {
                edges[next].a = a;
            }
            edges.remove(i);
        }
        (i, sound) = if edges.len() == found { (next, sound + 1) } else { (i.saturating_sub(1), 0) };
    }
}

/// Where the edge between `end` and `past` meets the line of a spike's longer edge, which runs from `far` to the spike's tip: on its
/// own line if that lies within the spike, else at the foot of its end.
fn ending_on((far, tip): (Uv, Uv), end: Uv, past: Uv) -> Uv {
    let (d, _) = axes(far, tip);
    let (e, _) = axes(past, end);
    let along = |p: Uv| (p.u - far.u) * d.u + (p.v - far.v) * d.v;
    let foot = along(end);
    let met = meet(far, d, end, e).map(along);
    let met = met.filter(|met| *met <= distance(far, tip) && *met - foot > -2.0 * HEALED);
    let by = met.unwrap_or(foot);
    Uv::new(far.u + d.u * by, far.v + d.v * by)
}

fn near(a: Uv, b: Uv) -> bool {
    (a.u - b.u).abs() < HEALED && (a.v - b.v).abs() < HEALED
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{EdgeKind, Source};

    fn healed(corners: &[(f64, f64)]) -> Vec<(usize, Uv)> {
        let corner = |i: usize| Uv::new(corners[i % corners.len()].0, corners[i % corners.len()].1);
        let edge = |i: usize| Edge {
            a: corner(i),
            b: corner(i + 1),
            kind: EdgeKind::Wall,
            source: Source::Wall { room: 0, wall: i },
            gap: 0.0,
            play: 0.0,
        };
        let mut edges: Vec<Edge> = (0..corners.len()).map(edge).collect();
        without_spikes(&mut edges);
        let wall = |edge: &Edge| match edge.source {
            Source::Wall { wall, .. } => wall,
            _ => usize::MAX,
        };
        edges.iter().map(|edge| (wall(edge), edge.a)).collect()
    }

    /// A floor of 400 by 500, or 900 wide at its top, with a hair along its lower side, from the right or the left, in which the ring
    /// turns back 1000 off: the side stays on its line, whichever way the hair's other side leans, and the side beyond on its own.
    /// By hand.
    #[test]
    fn a_side_beside_a_spike_stays_on_its_line() {
        for (lean, top) in [(-0.008, 400.0), (0.008, 400.0), (-0.008, 900.0), (0.008, 900.0)] {
            let right = [(0.0, 0.0), (1000.0, 0.0), (400.0, lean), (top, 500.0), (0.0, 500.0)];
            let mut left = right.map(|(u, v)| (-u, v));
            left.reverse();
            let meets = 400.0 - lean * (top - 400.0) / (500.0 - lean);
            for (corners, walls) in [(right, [0, 2, 3, 4]), (left, [0, 1, 3, 4])] {
                let found = healed(&corners);
                assert_eq!(found.iter().map(|(wall, _)| *wall).collect::<Vec<_>>(), walls, "{found:?}");
                let mut low: Vec<Uv> = found.iter().map(|(_, p)| *p).filter(|p| p.v < 1.0).collect();
                low.sort_by(|p, q| p.u.abs().total_cmp(&q.u.abs()));
                assert_eq!((low.len(), low[0].u, low[0].v, low[1].v), (2, 0.0, 0.0, 0.0), "{found:?}");
                assert!((low[1].u.abs() - meets).abs() < 1e-9, "{found:?}: {meets}");
            }
        }
    }

    /// An edge of 0.006 between a long side and a short one: the long one keeps its corner.
    #[test]
    fn the_longer_side_beside_an_edge_without_length_keeps_its_corner() {
        let short_before = [(0.0, 0.0), (10.0, 0.0), (10.0, 0.006), (9.0, 500.0), (0.0, 500.0)];
        assert!(healed(&short_before).contains(&(2, Uv::new(10.0, 0.006))));
        let short_after = [(0.0, 0.0), (500.0, 0.0), (500.0, 0.006), (499.0, 10.0), (0.0, 10.0)];
        let found = healed(&short_after);
        assert!(found.contains(&(2, Uv::new(500.0, 0.0))), "{found:?}");
    }
}
