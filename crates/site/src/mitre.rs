//! The inset of a part of the floor, found from its lines alone where nothing in it meets.
//!
//! Move every edge in by its gap at once, slowly: the corners run along straight lines, and every edge grows or
//! shrinks evenly. If at the end every edge still has some length, no two meet, and every hole lies inside the
//! outline and outside the others, then nothing met on the way, since what has passed through something either
//! crosses it still, has turned an edge round, or has left the outline. The corners are then where neighbouring
//! lines cross, and no clipping is needed. Everything else is left to the boolean operations.

use crate::build::{MATCH, MITRE_LIMIT, STRAIGHT, axes, distance, is_blunt, meet};
use crate::named::NamedEdge;
use crate::outline::region_of;
use crate::{EdgeKind, Region, Ring, Uv};
use geo::{Contains, Coord, Intersects, LineString, Polygon};
use plan::{Bounds, Boxes};

/// An edge that comes out shorter than this is left to the boolean operations, mm: rounding might turn it round.
const LEAST_EDGE: f64 = 1.0;
/// A corner of edges that stay where they are lies this near to where it lay, mm: between edges aslant to the rows their
/// crossing is rounded.
const STAYS: f64 = 1e-6;

/// The region inside named rings, the outline first; `None` where anything meets, or corners are cut off.
pub(crate) fn mitred(rings: &[Vec<NamedEdge>]) -> Option<Region> {
    let mut made: Vec<Ring> = rings.iter().map(|edges| mitred_ring(edges)).collect::<Option<_>>()?;
    if !are_apart(&made) {
        return None;
    }
    let holes = made.split_off(1).into_iter().map(from_lowest).collect();
    region_of(from_lowest(made.pop()?), holes)
}

fn mitred_ring(edges: &[NamedEdge]) -> Option<Ring> {
    let count = edges.len();
    if count < 3 {
        return None;
    }
    let corners: Vec<Uv> =
        (0..count).map(|i| corner(&edges[(i + count - 1) % count], &edges[i])).collect::<Option<_>>()?;
    let made = |i: usize| {
        let (edge, a, b) = (&edges[i], corners[i], corners[(i + 1) % count]);
        let (d, _) = axes(edge.a, edge.b);
        let keeps_way = (b.u - a.u) * d.u + (b.v - a.v) * d.v > LEAST_EDGE;
        keeps_way.then(|| edge.at(a, b))
    };
    Some(Ring { edges: (0..count).map(made).collect::<Option<_>>()? })
}

/// Where the lines of two neighbouring edges cross once both have moved in.
fn corner(before: &NamedEdge, after: &NamedEdge) -> Option<Uv> {
    let ((d, n), (e, m)) = (axes(before.a, before.b), axes(after.a, after.b));
    let turn = d.u * e.v - d.v * e.u;
    let moved = |p: Uv, n: Uv, by: f64| Uv::new(p.u + n.u * by, p.v + n.v * by);
    let (p, q) = (moved(before.a, n, before.inset), moved(after.a, m, after.inset));
    if turn.abs() <= STRAIGHT {
        // In line they stay in line if they move alike; else there is a jog, and a spike turns back.
        let in_line = d.u * e.u + d.v * e.v > 0.0 && before.inset == after.inset;
        return in_line.then_some(q);
    }
    let corner = meet(p, d, q, e)?;
    // A gap is kept from a face, not from the line it would go on along: where a wide gap turns into a narrow one
    // nearly in line with it, the wide one ends in a step.
    let along = |from: Uv, d: Uv| (corner.u - from.u) * d.u + (corner.v - from.v) * d.v;
    let (past, ahead) = (along(before.b, d), -along(after.a, e));
    let reach = MITRE_LIMIT * before.inset.max(after.inset) + STAYS;
    let is_whole = match turn < 0.0 {
        true => past.min(ahead) >= -MATCH && distance(corner, after.a) <= reach,
        // A joint goes on to the gap that it runs into, a wide gap into a narrow one.
        false if is_blunt(before, after) || [before.kind, after.kind].contains(&EdgeKind::MovementJoint) => {
            distance(corner, after.a) <= reach
        }
        false => past.max(ahead) <= MATCH,
    };
    is_whole.then_some(corner)
}

/// Whether no two edges but neighbours meet, and every hole lies inside the outline and outside the others.
fn are_apart(rings: &[Ring]) -> bool {
    let mut lines: Vec<(usize, usize, geo::Line)> = Vec::new();
    for (r, ring) in rings.iter().enumerate() {
        lines.extend(
            ring.edges.iter().enumerate().map(|(i, e)| (r, i, geo::Line::new(coord(e.a), coord(e.b)))),
        );
    }
    let bounds = |line: &geo::Line| Bounds::of([line.start, line.end].map(|c| [c.x, c.y]));
    let boxes = Boxes::new(lines.iter().map(|(.., line)| bounds(line)));
    let neighbours = |r: usize, i: usize, j: usize| {
        let count = rings[r].edges.len();
        (i + 1) % count == j || (j + 1) % count == i
    };
    for (index, (r, i, line)) in lines.iter().enumerate() {
        let Some(bounds) = bounds(line) else { return false };
        let mut meets = false;
        boxes.each(bounds, |other| {
            let (s, j, other_line) = &lines[other];
            meets |= other > index && !(r == s && neighbours(*r, *i, *j)) && line.intersects(other_line);
        });
        if meets {
            return false;
        }
    }
    holes_lie_well(rings)
}

fn holes_lie_well(rings: &[Ring]) -> bool {
    if rings.len() == 1 {
        return true;
    }
    let shapes: Vec<Polygon> = rings.iter().map(polygon).collect();
    let bounds = |ring: &Ring| Bounds::of(ring.edges.iter().map(|e| [e.a.u, e.a.v]));
    let boxes = Boxes::new(rings[1..].iter().map(bounds));
    (1..rings.len()).all(|hole| {
        let Some(corner) = rings[hole].edges.first().map(|e| e.a) else { return false };
        let at = Bounds { low: [corner.u, corner.v], high: [corner.u, corner.v] };
        let mut is_nested = false;
        boxes.each(at, |other| {
            is_nested |= other + 1 != hole && shapes[other + 1].contains(&coord(corner));
        });
        !is_nested && shapes[0].contains(&coord(corner))
    })
}

fn polygon(ring: &Ring) -> Polygon {
    Polygon::new(ring.edges.iter().map(|e| coord(e.a)).collect::<LineString>(), Vec::new())
}

fn coord(p: Uv) -> Coord {
    Coord { x: p.u, y: p.v }
}

/// The ring begun at its lowest, then leftmost corner.
fn from_lowest(mut ring: Ring) -> Ring {
    let lowest = (0..ring.edges.len()).min_by(|a, b| {
        let (p, q) = (ring.edges[*a].a, ring.edges[*b].a);
        p.v.total_cmp(&q.v).then(p.u.total_cmp(&q.u))
    });
    ring.edges.rotate_left(lowest.unwrap_or(0));
    ring
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::clipped;
    use crate::{Edge, Source};
    use proptest::prelude::*;

    fn ring(points: &[Uv], insets: &[f64]) -> Vec<NamedEdge> {
        let edge = |i: usize| NamedEdge {
            a: points[i],
            b: points[(i + 1) % points.len()],
            kind: EdgeKind::Wall,
            source: Source::Wall { room: 0, wall: i },
            gap: insets[i % insets.len()],
            play: 0.0,
            inset: insets[i % insets.len()],
        };
        (0..points.len()).map(edge).collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]
        /// Against geo's boolean operations, on rooms of any shape with a column, gaps narrow to far too wide.
        #[test]
        fn lines_alone_give_what_clipping_gives(
            reach in proptest::collection::vec(900.0..4000.0_f64, 4..11),
            insets in proptest::collection::vec(0.0..250.0_f64, 3..6),
            column in 50.0..500.0_f64,
        ) {
            let turn = std::f64::consts::TAU / reach.len() as f64;
            let at = |(i, r): (usize, &f64)| Uv::new(r * libm::cos(turn * i as f64), r * libm::sin(turn * i as f64));
            let outer: Vec<Uv> = reach.iter().enumerate().map(at).collect();
            let hole = [(-1.0, -1.0), (-1.0, 1.0), (1.0, 1.0), (1.0, -1.0)].map(|(u, v)| Uv::new(u * column, v * column));
            let rings = [ring(&outer, &insets), ring(&hole, &insets[1..])];
            let Some(region) = mitred(&rings) else { return Ok(()) };
            let expected = clipped(&rings, &[]);
            prop_assert_eq!(expected.len(), 1);
            prop_assert_eq!(region.holes.len(), expected[0].holes.len());
            // The clipper rounds corners to a grid: a hundredth of a millimetre along every edge is far more.
            let length: f64 = region.edges().map(Edge::length).sum();
            prop_assert!((region.area - expected[0].area).abs() < 0.01 * length, "{} {}", region.area, expected[0].area);
        }
    }

    /// A room with a recess whose edges keep no gap, turned against the rows: its corners stay where they are, also those
    /// that point into the floor, whatever way rounding takes them.
    #[test]
    fn corners_of_edges_that_keep_no_gap_stay_however_they_lie() {
        let corners =
            [(0.0, 0.0), (5000.0, 0.0), (5000.0, 2000.0), (3000.0, 2000.0), (3000.0, 3000.0), (0.0, 3000.0)];
        for degrees in 0..90 {
            let (sin, cos) = libm::sincos(f64::from(degrees).to_radians());
            let turned = corners.map(|(x, y)| Uv::new(x * cos - y * sin, x * sin + y * cos));
            let region = mitred(&[ring(&turned, &[0.0])]).expect("nothing meets");
            let area = 5000.0 * 2000.0 + 3000.0 * 1000.0;
            assert!((region.area - area).abs() < 1e-3, "{degrees}: {}", region.area);
            assert!(mitred(&[ring(&turned, &[0.0, 0.0, 8.0])]).is_some(), "{degrees}");
        }
    }

    /// What meets is left to the clipper; what does not is not.
    #[test]
    fn only_what_meets_is_left_to_the_clipper() {
        let square =
            |side: f64| [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)].map(|(u, v)| Uv::new(u, v));
        assert!(mitred(&[ring(&square(1000.0), &[10.0])]).is_some());
        assert!(mitred(&[ring(&square(19.0), &[10.0])]).is_none());
        let hole = |at: f64| {
            [(0.0, 0.0), (0.0, 100.0), (100.0, 100.0), (100.0, 0.0)].map(|(u, v)| Uv::new(u + at, v + at))
        };
        let with_hole = |at: f64| mitred(&[ring(&square(1000.0), &[10.0]), ring(&hole(at), &[10.0])]);
        assert!(with_hole(30.0).is_some());
        assert!(with_hole(15.0).is_none());
        // Swallowed by the wall's gap, it lies outside.
        let deep = mitred(&[ring(&square(1000.0), &[200.0]), ring(&hole(40.0), &[1.0])]);
        assert!(deep.is_none());
    }
}
