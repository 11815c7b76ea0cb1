//! The strips of floor that one course of a border takes along each edge, and how they meet at corners.

use super::rings::outlines;
use super::turn::rings_of;
use crate::Outline;
use crate::slice::area;
use geo::algorithm::bool_ops::{BooleanOps, FillRule};
use geo::{Coord, LineString, MultiPolygon, Polygon};
use plan::{Bounds, Boxes, Corners};
use site::{Region, Uv};

/// Corners computed by the boolean operations lie this close to those they stand for, mm.
const MATCH: f64 = 0.05;
/// Two directions whose sine is less than this are one.
const STRAIGHT: f64 = 1e-6;
/// A corner is butted only where the edges turn by this much or more, as a sine; flatter and sharper ones
/// leave points no saw cuts and are mitred. Common practice, no source.
const BUTTED: f64 = 0.5;
/// A corner further than this many widths from its edges is cut off.
const FARTHEST: f64 = 4.0;
/// A boundary crosses the end of a strip where it reaches past it on both sides by more than this, mm.
const HEALED: f64 = 0.01;

/// The floor along one edge.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Strip {
    /// Outer and inner sides, row coordinates.
    pub(super) outline: Outline,
    /// A point of the edge.
    pub(super) at: Uv,
    /// Its direction, a unit vector; the floor lies to its left.
    pub(super) along: Uv,
}

/// An edge of a course's outer side with its corners.
#[derive(Debug, Clone, Copy)]
struct Side {
    a: Uv,
    b: Uv,
    along: Uv,
    /// Where the inner side begins and ends, if it keeps both its corners.
    inner: Option<(Uv, Uv)>,
}

/// The strips of a course `width` wide between the outer parts of a region and the inner ones.
///
/// Where the inner outline has an edge for an outer one, its strip is known corner for corner. What is left,
/// beside edges too short for the course or where the floor is too narrow for it, is parted by the lines that
/// halve the corners; a strip there may be wider than one board.
pub(super) fn strips(outer: &[Region], inner: &[Region], width: f64, corners: Corners) -> Vec<Strip> {
    let inner_edges: Vec<(Uv, Uv)> = inner.iter().flat_map(|r| r.edges()).map(|e| (e.a, e.b)).collect();
    // What stands nearby may reach into a strip from its end and leave its inner side whole.
    let boundary = Boundary::of(outer);
    let mut strips = Vec::new();
    let mut lost: Vec<(Side, Vec<Uv>)> = Vec::new();
    for region in outer {
        for ring in region.rings() {
            let corners_of: Vec<(Uv, Uv)> = ring.edges.iter().map(|e| (e.a, e.b)).collect();
            let mut sides = sides(&corners_of, &inner_edges, width);
            for side in &mut sides {
                side.inner = side.inner.filter(|(a, b)| {
                    [(side.a, *a), (side.b, *b)].into_iter().all(|end| !is_crossed(end, &boundary))
                });
            }
            for (i, side) in sides.iter().enumerate() {
                let count = sides.len();
                let (before, after) = (&sides[(i + count - 1) % count], &sides[(i + 1) % count]);
                match side.inner {
                    Some(_) => {
                        let outline = strip(before, side, after, width, corners);
                        strips.push(Strip {
                            outline: Outline { outer: outline, holes: Vec::new() },
                            at: side.a,
                            along: side.along,
                        });
                    }
                    None => lost.push((*side, halved(before, side, after, width))),
                }
            }
        }
    }
    if !lost.is_empty() {
        left_over(outer, inner, &lost, &mut strips);
    }
    strips
}

/// The edges round the parts of a region, found by place.
struct Boundary {
    edges: Vec<(Uv, Uv)>,
    places: Boxes,
}

impl Boundary {
    fn of(parts: &[Region]) -> Self {
        let edges: Vec<(Uv, Uv)> = parts.iter().flat_map(Region::edges).map(|e| (e.a, e.b)).collect();
        let places = Boxes::new(edges.iter().map(|(a, b)| Bounds::of([[a.u, a.v], [b.u, b.v]])));
        Self { edges, places }
    }
}

/// Whether an edge goes through the end of a strip.
fn is_crossed((from, to): (Uv, Uv), boundary: &Boundary) -> bool {
    let off = |p: Uv, (a, b): (Uv, Uv)| {
        let d = direction(a, b);
        d.u * (p.v - a.v) - d.v * (p.u - a.u)
    };
    let parts = |line: (Uv, Uv), (p, q): (Uv, Uv)| {
        let (p, q) = (off(p, line), off(q, line));
        p.min(q) < -HEALED && p.max(q) > HEALED
    };
    let Some(bounds) = Bounds::of([[from.u, from.v], [to.u, to.v]]) else { return false };
    let mut is_crossed = false;
    boundary.places.each(bounds, |index| {
        let edge = boundary.edges[index];
        is_crossed |= parts((from, to), edge) && parts(edge, (from, to));
    });
    is_crossed
}

fn sides(ring: &[(Uv, Uv)], inner: &[(Uv, Uv)], width: f64) -> Vec<Side> {
    let directions: Vec<Uv> = ring.iter().map(|(a, b)| direction(*a, *b)).collect();
    let count = ring.len();
    let corner = |i: usize| {
        let before = (i + count - 1) % count;
        mitre(ring[i].0, directions[before], directions[i], width)
    };
    (0..count)
        .map(|i| {
            let ends = corner(i).zip(corner((i + 1) % count));
            let kept = ends.and_then(|(a, b)| inner.iter().find(|e| near(e.0, a) && near(e.1, b)).copied());
            Side { a: ring[i].0, b: ring[i].1, along: directions[i], inner: kept }
        })
        .collect()
}

/// The outline of a strip with both its inner corners.
fn strip(before: &Side, side: &Side, after: &Side, width: f64, corners: Corners) -> Vec<Uv> {
    let Some((inner_a, inner_b)) = side.inner else { return Vec::new() };
    let butted = |one: &Side, other: &Side| match corners {
        Corners::Mitred => None,
        Corners::Butted => butt(one, other, width),
    };
    let mut outline = Vec::new();
    // The strip before may run through the corner; then this one begins beside it.
    match butted(before, side) {
        Some(Butt::OnWall(from)) => outline.push(from),
        Some(Butt::OnInner(from)) => outline.extend([from, side.a]),
        None => outline.extend([inner_a, side.a]),
    }
    if let Some(Butt::OnWall(_)) = butted(before, side) {
        outline.insert(0, inner_a);
    }
    outline.push(side.b);
    match butted(side, after) {
        Some(Butt::OnWall(to) | Butt::OnInner(to)) => outline.extend([to, inner_b]),
        None => outline.push(inner_b),
    }
    outline
}

/// Where a strip that runs through a corner ends.
#[derive(Debug, Clone, Copy)]
enum Butt {
    /// Its inner side meets the next wall here: a corner of the room.
    OnWall(Uv),
    /// Its outer side, run on past the corner, meets the next strip's inner side here: a corner that points
    /// into the floor.
    OnInner(Uv),
}

fn butt(side: &Side, next: &Side, width: f64) -> Option<Butt> {
    let (inner, next_inner) = side.inner.zip(next.inner)?;
    let (d, e) = (side.along, next.along);
    let turn = d.u * e.v - d.v * e.u;
    if turn.abs() < BUTTED || d.u * e.u + d.v * e.v < -BUTTED {
        return None;
    }
    let reach = |p: Uv, limit: Uv, from: Uv| {
        let along = |q: Uv| (q.u - from.u) * e.u + (q.v - from.v) * e.v;
        (along(p) > 0.0 && along(p) < along(limit)).then_some(p)
    };
    if turn > 0.0 {
        let at = meet(inner.1, d, side.b, e)?;
        let within = reach(at, next.b, next.a).and_then(|p| reach(p, next_inner.1, next.a))?;
        Some(Butt::OnWall(within))
    } else {
        let at = meet(side.b, d, shifted(next.a, e, width), e)?;
        reach(at, next_inner.1, next_inner.0).map(Butt::OnInner)
    }
}

/// The floor beside an edge without an inner one, as far as the lines that halve its corners.
fn halved(before: &Side, side: &Side, after: &Side, width: f64) -> Vec<Uv> {
    let square = |p: Uv| shifted(p, side.along, width);
    let start = mitre(side.a, before.along, side.along, width).unwrap_or_else(|| square(side.a));
    let end = mitre(side.b, side.along, after.along, width).unwrap_or_else(|| square(side.b));
    let forwards = (end.u - start.u) * side.along.u + (end.v - start.v) * side.along.v;
    if forwards > 0.0 {
        return vec![side.a, side.b, end, start];
    }
    // The halving lines meet before the course's width.
    let tip = meet(side.a, direction(side.a, start), side.b, direction(side.b, end));
    tip.map_or_else(Vec::new, |tip| vec![side.a, side.b, tip])
}

/// Parts what no strip has taken among the edges that have none.
fn left_over(outer: &[Region], inner: &[Region], lost: &[(Side, Vec<Uv>)], strips: &mut Vec<Strip>) {
    let taken: Vec<Polygon> = strips.iter().map(|strip| polygon(&strip.outline)).collect();
    let of = |regions: &[Region]| MultiPolygon(regions.iter().map(region_polygon).collect::<Vec<_>>());
    let taken = MultiPolygon(of(inner).into_iter().chain(taken).collect::<Vec<_>>());
    // Corners keep their exact places: the operations move them by rounding.
    let regions = outer.iter().chain(inner).flat_map(rings_of).flatten();
    let known: Vec<Uv> = regions.chain(strips.iter().flat_map(|s| s.outline.outer.iter().copied())).collect();
    let mut rest = of(outer).difference_with_fill_rule(&taken, FillRule::NonZero);
    for (side, shape) in lost {
        if shape.len() >= 3 {
            let shape = MultiPolygon(vec![polygon(&Outline { outer: shape.clone(), holes: Vec::new() })]);
            // Even-odd: a hole that touches its outline may come back the wrong way round.
            let here = rest.intersection(&shape);
            rest = rest.difference(&shape);
            push_pieces(&here, side, &known, strips);
        }
    }
    // What lies beyond every halving line goes to the nearest edge without a strip.
    for piece in rest {
        let Some(p) = piece.exterior().0.first().map(|c| Uv::new(c.x, c.y)) else { continue };
        let off = |side: &Side| distance(p, side.a).min(distance(p, side.b));
        if let Some((side, _)) = lost.iter().min_by(|a, b| off(&a.0).total_cmp(&off(&b.0))) {
            push_pieces(&MultiPolygon(vec![piece]), side, &known, strips);
        }
    }
}

fn push_pieces(pieces: &MultiPolygon, side: &Side, known: &[Uv], strips: &mut Vec<Strip>) {
    for piece in pieces {
        let ring = |line: &LineString, way: f64| -> Vec<Uv> {
            let open = line.0.len().saturating_sub(1);
            let mut ring: Vec<Uv> = line.0[..open].iter().map(|c| Uv::new(c.x, c.y)).collect();
            if area(&ring) * way < 0.0 {
                ring.reverse();
            }
            ring
        };
        let holes = piece.interiors().iter().map(|hole| ring(hole, -1.0));
        let rings: Vec<Vec<Uv>> = std::iter::once(ring(piece.exterior(), 1.0)).chain(holes).collect();
        let strip = |outline| Strip { outline, at: side.a, along: side.along };
        strips.extend(outlines(&rings, known).into_iter().map(strip));
    }
}

fn polygon(outline: &Outline) -> Polygon {
    Polygon::new(line(&outline.outer), outline.holes.iter().map(|hole| line(hole)).collect())
}

fn region_polygon(region: &Region) -> Polygon {
    let mut rings = rings_of(region).into_iter();
    let outer = rings.next().map(|ring| line(&ring));
    Polygon::new(outer.unwrap_or_else(|| LineString(Vec::new())), rings.map(|ring| line(&ring)).collect())
}

fn line(ring: &[Uv]) -> LineString {
    ring.iter().map(|p| Coord { x: p.u, y: p.v }).collect()
}

/// Where the sides `width` inside two edges that meet at `corner` meet; for edges in line the point square to it.
fn mitre(corner: Uv, d: Uv, e: Uv, width: f64) -> Option<Uv> {
    let at = meet(shifted(corner, d, width), d, shifted(corner, e, width), e);
    let in_line = || (d.u * e.u + d.v * e.v > 0.0).then(|| shifted(corner, d, width));
    at.or_else(in_line).filter(|at| distance(*at, corner) <= FARTHEST * width)
}

/// A point moved to the left of a direction.
fn shifted(p: Uv, along: Uv, by: f64) -> Uv {
    Uv::new(p.u - along.v * by, p.v + along.u * by)
}

/// Where the line through `p` along `d` meets the line through `q` along `e`.
fn meet(p: Uv, d: Uv, q: Uv, e: Uv) -> Option<Uv> {
    let cross = d.u * e.v - d.v * e.u;
    if cross.abs() < STRAIGHT {
        return None;
    }
    let t = ((q.u - p.u) * e.v - (q.v - p.v) * e.u) / cross;
    Some(Uv::new(p.u + d.u * t, p.v + d.v * t))
}

fn direction(a: Uv, b: Uv) -> Uv {
    let length = distance(a, b);
    if length > 0.0 { Uv::new((b.u - a.u) / length, (b.v - a.v) / length) } else { Uv::new(1.0, 0.0) }
}

fn distance(a: Uv, b: Uv) -> f64 {
    let (du, dv) = (b.u - a.u, b.v - a.v);
    (du * du + dv * dv).sqrt()
}

fn near(a: Uv, b: Uv) -> bool {
    (a.u - b.u).abs() < MATCH && (a.v - b.v).abs() < MATCH
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Round a square corner the sides 190 inside meet 190 from both edges; on a straight one, square to it; where the edge
    /// turns back on itself, nowhere.
    #[test]
    fn inner_sides_meet_where_both_are_as_far_inside() {
        let corner = Uv::new(1000.0, 500.0);
        let (right, up, left) = (Uv::new(1.0, 0.0), Uv::new(0.0, 1.0), Uv::new(-1.0, 0.0));
        assert_eq!(mitre(corner, right, up, 190.0), Some(Uv::new(810.0, 690.0)));
        assert_eq!(mitre(corner, right, right, 190.0), Some(Uv::new(1000.0, 690.0)));
        assert_eq!(mitre(corner, up, up, 190.0), Some(Uv::new(810.0, 500.0)));
        assert_eq!(mitre(corner, right, left, 190.0), None);
    }
}
