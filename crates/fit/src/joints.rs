//! Movement joints as they lie on the floor.

use lay::Floor;
use plan::Plan;
use site::{Edge, EdgeKind, Site, Source, Uv};

/// A joint's side that lies this near to a row line lies on it, mm.
const ON_LINE: f64 = 0.01;
/// Stretches of a joint nearer to one another than this are one, mm.
const ONE: f64 = 1.0;

/// A straight stretch of a joint: its middle line, row coordinates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointStretch {
    /// One end.
    pub from: Uv,
    /// The other, to the right of it, or above.
    pub to: Uv,
}

impl JointStretch {
    /// Length, mm.
    pub fn length(&self) -> f64 {
        let (du, dv) = (self.to.u - self.from.u, self.to.v - self.from.v);
        (du * du + dv * dv).sqrt()
    }
}

/// A movement joint as it lies on the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct JointLaid {
    /// Its place in the plan's list.
    pub joint: usize,
    /// Visible width, mm.
    pub width: f64,
    /// Whether it lies within 45° of the rows, so that it relieves width.
    pub along_rows: bool,
    /// Its stretches on the floor, from left to right or from below.
    pub stretches: Vec<JointStretch>,
    /// Length of its stretches together, mm.
    pub length: f64,
    /// How far it lies across the rows from where it is drawn, mm: up positive.
    pub moved: f64,
    /// The row whose whole boards end at its lower side, where both its sides lie on row lines.
    pub above_row: Option<i32>,
    /// The region on its lower side there.
    pub region: Option<usize>,
    /// Ends that stop in the floor instead of at an edge of it.
    pub open_ends: Vec<Uv>,
}

/// Every joint of the plan, in its order. One that meets no floor has no stretches.
pub fn joints(plan: &Plan, site: &Site, floor: &Floor) -> Vec<JointLaid> {
    if plan.joints.is_empty() {
        return Vec::new();
    }
    let mut sides: Vec<Vec<(usize, &Edge)>> = vec![Vec::new(); plan.joints.len()];
    for (region, r) in site.regions.iter().enumerate() {
        for edge in r.edges().filter(|edge| edge.kind == EdgeKind::MovementJoint) {
            if let Source::Joint(joint) = edge.source
                && let Some(sides) = sides.get_mut(joint)
            {
                sides.push((region, edge));
            }
        }
    }
    (0..plan.joints.len()).map(|joint| laid(plan, site, floor, joint, &sides[joint])).collect()
}

fn laid(plan: &Plan, site: &Site, floor: &Floor, joint: usize, edges: &[(usize, &Edge)]) -> JointLaid {
    let drawn = &plan.joints[joint];
    let [from, to] = [drawn.from, drawn.to].map(|p| site.frame.row_from_plan(p));
    let length = drawn.length().max(f64::MIN_POSITIVE);
    let is_rightwards =
        if (to.v - from.v).abs() <= (to.u - from.u).abs() { to.u >= from.u } else { to.v >= from.v };
    let sign = if is_rightwards { 1.0 } else { -1.0 };
    let drawn_way = Uv::new(sign * (to.u - from.u) / length, sign * (to.v - from.v) / length);
    let way_of = |e: &Edge| {
        let length = e.length().max(f64::MIN_POSITIVE);
        Uv::new((e.b.u - e.a.u) / length, (e.b.v - e.a.v) / length)
    };
    let dot = |a: Uv, b: Uv| a.u * b.u + a.v * b.v;
    let is_side = |e: &Edge| dot(way_of(e), drawn_way).abs() > 0.9;
    let sides: Vec<(usize, &Edge)> = edges.iter().filter(|(_, e)| is_side(e)).copied().collect();
    let mut out = JointLaid {
        joint,
        width: drawn.width,
        along_rows: (to.v - from.v).abs() <= (to.u - from.u).abs(),
        stretches: Vec::new(),
        length: 0.0,
        moved: 0.0,
        above_row: None,
        region: None,
        open_ends: Vec::new(),
    };
    let Some((_, longest)) = sides.iter().max_by(|a, b| a.1.length().total_cmp(&b.1.length())) else {
        return out;
    };
    // The joint's own direction: nearly along the rows is along them.
    let way = way_of(longest);
    let way = if dot(way, drawn_way) < 0.0 { Uv::new(-way.u, -way.v) } else { way };
    let normal = Uv::new(-way.v, way.u);
    let middle_of = |e: &Edge| {
        let (d, half) = (way_of(e), drawn.width / 2.0);
        Uv::new(e.a.u + d.v * half, e.a.v - d.u * half)
    };
    let across = dot(middle_of(longest), normal);
    let at = |s: f64| Uv::new(way.u * s + normal.u * across, way.v * s + normal.v * across);
    let mut ranges: Vec<(f64, f64)> = sides
        .iter()
        .map(|(_, e)| (dot(e.a, way), dot(e.b, way)))
        .map(|(a, b)| (a.min(b), a.max(b)))
        .collect();
    ranges.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut joined: Vec<(f64, f64)> = Vec::new();
    for range in ranges {
        match joined.last_mut() {
            Some(last) if range.0 <= last.1 + ONE => last.1 = last.1.max(range.1),
            _ => joined.push(range),
        }
    }
    out.stretches = joined.iter().map(|(a, b)| JointStretch { from: at(*a), to: at(*b) }).collect();
    out.length = out.stretches.iter().map(JointStretch::length).sum();
    let drawn_middle = Uv::new(f64::midpoint(from.u, to.u), f64::midpoint(from.v, to.v));
    out.moved = if out.along_rows { across - dot(drawn_middle, normal) } else { 0.0 };
    out.open_ends = edges
        .iter()
        .filter(|(_, e)| !is_side(e))
        .map(|(_, e)| Uv::new(f64::midpoint(e.a.u, e.b.u), f64::midpoint(e.a.v, e.b.v)))
        .collect();
    if out.along_rows
        && plan.pattern.is_rows()
        && plan.border.is_none()
        && let Some((region, lower)) = sides.iter().find(|(_, e)| !e.floor_is_above())
    {
        let line = floor.lines.get(*region).copied().unwrap_or(0.0);
        let rows = ((lower.a.v - line) / floor.pitch).round();
        let is_on_line = |(region, side): &(usize, &Edge)| {
            let line = floor.lines.get(*region).copied().unwrap_or(0.0);
            let off = |v: f64| (v - line - ((v - line) / floor.pitch).round() * floor.pitch).abs();
            off(side.a.v).max(off(side.b.v)) <= ON_LINE
        };
        out.above_row = sides.iter().all(is_on_line).then_some(rows as i32 - 1);
        out.region = Some(*region);
    }
    out
}
