//! Movement joints cut into the floor.

use crate::build::{axes, distance, polygons, ring_points, rings};
use crate::face::{Face, Shape, anticlockwise, fixed, push_ring};
use crate::{EdgeKind, Frame, Source, Uv};
use geo::MultiPolygon;
use geo::algorithm::bool_ops::{BooleanOps, FillRule};
use plan::{Bounds, Boxes, MovementJoint};

/// A joint out of true with the rows, or with square to them, by less than this part of its length is taken to run
/// so: about a degree, which no hand draws on purpose.
const TRUE_ENOUGH: f64 = 0.02;
/// A joint drawn to within this of an edge of the floor, or of another joint, reaches it, mm.
const REACH: f64 = 100.0;
/// A joint is cut this far past the edge that it reaches, beside its own width, so that no film is left, mm.
const PAST: f64 = 1.0;

/// The middle line of a joint in row coordinates, and half its width, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct JointLine {
    pub(crate) joint: usize,
    a: Uv,
    b: Uv,
    half: f64,
}

impl JointLine {
    /// A joint as drawn, laid true with the rows or square to them where it nearly is.
    pub(crate) fn new(joint: &MovementJoint, index: usize, frame: &Frame) -> Self {
        let (mut a, mut b) = (frame.row_from_plan(joint.from), frame.row_from_plan(joint.to));
        let (du, dv) = ((b.u - a.u).abs(), (b.v - a.v).abs());
        if dv <= TRUE_ENOUGH * du {
            (a.v, b.v) = (f64::midpoint(a.v, b.v), f64::midpoint(a.v, b.v));
        } else if du <= TRUE_ENOUGH * dv {
            (a.u, b.u) = (f64::midpoint(a.u, b.u), f64::midpoint(a.u, b.u));
        }
        Self { joint: index, a, b, half: joint.width / 2.0 }
    }

    /// The ground it takes, anticlockwise.
    fn shape(&self) -> Shape {
        let (_, n) = axes(self.a, self.b);
        let beside = |p: Uv, by: f64| Uv::new(p.u + n.u * by, p.v + n.v * by);
        let half = self.half;
        anticlockwise(vec![
            beside(self.a, half),
            beside(self.b, half),
            beside(self.b, -half),
            beside(self.a, -half),
        ])
    }
}

/// Takes the joints out of the floor and adds their sides to the faces. An end near an edge of the floor goes up to
/// it; one further off ends in the floor.
pub(crate) fn part(floor: &MultiPolygon, joints: &[JointLine], faces: &mut Vec<Face>) -> MultiPolygon {
    let mut sides: Vec<Side> = Vec::new();
    for polygon in floor {
        for (index, ring) in rings(polygon).enumerate() {
            let mut points = anticlockwise(ring_points(ring));
            if index > 0 {
                points.reverse();
            }
            let next = points.iter().copied().cycle().skip(1);
            sides.extend(points.iter().copied().zip(next).map(|(a, b)| Side { a, b, joint: None }));
        }
    }
    for joint in joints {
        // Round something cut out the floor lies to the left going clockwise.
        let shape = joint.shape();
        let next = shape.iter().copied().cycle().skip(1);
        let of = Some((joint.joint, joint.half));
        sides.extend(shape.iter().copied().zip(next).map(|(b, a)| Side { a, b, joint: of }));
    }
    let filed = Boxes::new(sides.iter().map(|side| Bounds::of([side.a, side.b].map(|p| [p.u, p.v]))));
    let mut cut: Vec<Shape> = Vec::with_capacity(joints.len());
    for joint in joints {
        let (a, b) = (joint.a, joint.b);
        let reached = JointLine {
            a: end(joint, a, axes(b, a).0, &sides, &filed),
            b: end(joint, b, axes(a, b).0, &sides, &filed),
            ..*joint
        };
        if distance(reached.a, reached.b) <= 0.0 {
            continue;
        }
        let shape = reached.shape();
        push_ring(faces, &shape, EdgeKind::MovementJoint, Source::Joint(joint.joint), fixed(joint.half));
        cut.push(shape);
    }
    floor.difference_with_fill_rule(&polygons(&cut), FillRule::NonZero)
}

/// A straight piece that a joint may reach, the floor to its left; of another joint with half its width.
#[derive(Debug, Clone, Copy)]
struct Side {
    a: Uv,
    b: Uv,
    joint: Option<(usize, f64)>,
}

/// Where a joint that comes to `at` going along `d` ends: just past the nearest edge by which it leaves the floor, or
/// in the middle of the joint that it runs into.
fn end(joint: &JointLine, at: Uv, d: Uv, sides: &[Side], filed: &Boxes) -> Uv {
    let around = Bounds { low: [at.u, at.v], high: [at.u, at.v] }.grown(REACH);
    let half = joint.half;
    let mut nearest: Option<(f64, f64)> = None;
    filed.each(around, |index| {
        let side = &sides[index];
        let (p, q) = (side.a, side.b);
        let (e, _) = axes(p, q);
        // Going out, the line crosses the floor's sides to their right.
        let cross = d.u * e.v - d.v * e.u;
        if cross <= 0.0 || side.joint.is_some_and(|(other, _)| other == joint.joint) {
            return;
        }
        let along = ((p.u - at.u) * e.v - (p.v - at.v) * e.u) / cross;
        let on_side = ((p.u - at.u) * d.v - (p.v - at.v) * d.u) / cross;
        let is_met = (-half..=distance(p, q) + half).contains(&on_side);
        if is_met && along.abs() <= REACH && nearest.is_none_or(|(best, _)| along.abs() < best.abs()) {
            let past = side.joint.map_or(2.0 * half + PAST, |(_, half)| half);
            nearest = Some((along, past));
        }
    });
    let by = nearest.map_or(0.0, |(along, past)| along + past);
    Uv::new(at.u + d.u * by, at.v + d.v * by)
}
