//! Where herringbone or chevron begins along its axis: which place, what it leaves at the walls across the axis,
//! and how the first point is marked on the snapped line.

use crate::choose::{Work, field_of};
use crate::pace::Pace;
use crate::{Candidate, EdgeRef, Rip, SnapLine};
use plan::{Pattern, Plan, Point};
use site::{Edge, EdgeKind, Ring, Site, Source, Uv};
use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};

/// A place this near to an edge lies on it, mm.
const ON_EDGE: f64 = 0.01;
/// A point this little outside the floor is on it, mm.
const ON_FLOOR: f64 = 1e-6;
/// An edge that runs this nearly along the line has no face to hold a tape to, as a sine.
const STEEP: f64 = 0.05;

/// Where the points of herringbone or chevron stand along the axis.
///
/// In chevron a point is where two blocks meet at the tip. In herringbone it is the middle of the forward end of a
/// right-hand block, or of those abreast: the axis line halves it.
#[derive(Debug, Clone, PartialEq)]
pub struct Points {
    /// Distance between the points of one axis line, mm.
    pub step: f64,
    /// What their place is worth and leaves: its offset is [`crate::SetOut::along`], its rips those at the edges
    /// across the axis, how far the smallest pieces reach in from each, mm.
    pub ends: Candidate,
    /// The least piece at an edge across the axis, mm.
    pub least: f64,
    /// The first point on the snapped line, from where that begins; `None` where no point lies on it.
    pub first: Option<PointMark>,
    /// The last one, from where the line ends: the check.
    pub last: Option<PointMark>,
    /// Whole steps from the first to the last.
    pub steps: usize,
}

/// A point marked on the snapped line with a tape along it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointMark {
    /// Letter on the drawing: `D` for the first point, `E` for the check.
    pub letter: char,
    /// The point on the plan.
    pub at: Point,
    /// Where the tape starts: on the line, at the face of what ends the floor there.
    pub face: Point,
    /// Distance along the line from there, mm.
    pub distance: f64,
    /// What the tape starts from.
    pub source: Source,
    /// What the boards meet there.
    pub kind: EdgeKind,
}

/// Distance between the points of an axis line, and how far the first lies past the place that the pace along the
/// axis counts from, mm. Pythagoras: herringbone repeats by W·√2, W being the width of the blocks abreast, and the
/// middle of its falling blocks' ends lies (L + W/2)/√2 past their corner; chevron's points stand w / cos(mitre) apart.
fn spacing(plan: &Plan) -> Option<(f64, f64)> {
    let width = plan.stock.pitch();
    match plan.pattern {
        Pattern::Irregular | Pattern::Half | Pattern::Third => None,
        Pattern::Herringbone { block, abreast } => {
            let across = f64::from(abreast) * width;
            Some((across * SQRT_2, (block + across / 2.0) * FRAC_1_SQRT_2))
        }
        Pattern::Chevron { mitre, .. } => Some((width / libm::cos(mitre.to_radians()), 0.0)),
    }
}

/// The place along the axis that leaves the best pieces at the edges across it, valued like a line across it: by
/// what is seen, short pieces first, then the smallest. `None` for rows.
pub(crate) fn best_points(plan: &Plan, site: &Site) -> Option<Points> {
    let pace = Pace::along(plan)?;
    let (step, _) = spacing(plan)?;
    let mut seen = field_of(plan, site).into_owned();
    let swap = |p: Uv| Uv::new(p.v, p.u);
    for region in &mut seen.regions {
        for ring in std::iter::once(&mut region.outer).chain(&mut region.holes) {
            // Seen from the other side a ring runs the other way to keep the floor on its left.
            ring.edges.reverse();
            ring.edges.iter_mut().for_each(|edge| (edge.a, edge.b) = (swap(edge.b), swap(edge.a)));
        }
    }
    let work = Work::at_pace(plan, &seen, pace);
    let judge = work.judge(|_| true);
    let offset = judge.best(1).first().copied().unwrap_or(0.0);
    let mut ends = judge.candidate(offset, work.rips(&work.teeth, |_| offset));
    let turned_back = |at: EdgeRef| {
        let ring = seen.regions.get(at.region).and_then(|region| region.rings().nth(at.ring));
        let count = ring.map_or(0, |ring: &Ring| ring.edges.len());
        EdgeRef { edge: count.saturating_sub(at.edge + 1), ..at }
    };
    for rip in &mut ends.rips {
        let at = swap(site.frame.row_from_plan(rip.at));
        *rip = Rip { edge: turned_back(rip.edge), at: site.frame.plan_from_row(at), ..*rip };
    }
    ends.binding.iter_mut().for_each(|at| *at = turned_back(*at));
    Some(Points { step, ends, least: pace.least, first: None, last: None, steps: 0 })
}

impl Points {
    /// The points with their first and last marked on a snapped line. `site` is that with the border in it.
    pub(crate) fn marked(mut self, plan: &Plan, site: &Site, line: Option<&SnapLine>) -> Self {
        (self.first, self.last, self.steps) = (None, None, 0);
        let (Some(line), Some((_, past))) = (line, spacing(plan)) else { return self };
        let [from, to] = [line.from, line.to].map(|p| site.frame.row_from_plan(p).u);
        let zero = self.ends.offset + past;
        let number = |u: f64| (u - zero) / self.step;
        let (first, last) = (number(from - ON_FLOOR).ceil(), number(to + ON_FLOOR).floor());
        if first > last {
            return self;
        }
        let mark = |letter: char, number: f64, up: bool| {
            let u = zero + number * self.step;
            let (face, edge) = face(site, line.v, u, up)?;
            let plan_point = |u: f64| site.frame.plan_from_row(Uv::new(u, line.v));
            Some(PointMark {
                letter,
                at: plan_point(u),
                face: plan_point(face),
                distance: (u - face).abs(),
                source: edge.source,
                kind: edge.kind,
            })
        };
        self.steps = (last - first) as usize;
        self.first = mark('D', first, false);
        self.last = mark('E', last, true).filter(|_| self.steps > 0);
        self
    }
}

/// Where the line at `v` meets the face of what ends the floor before, or past, a place on it; and its edge.
fn face(site: &Site, v: f64, u: f64, is_past: bool) -> Option<(f64, &Edge)> {
    let sign = if is_past { 1.0 } else { -1.0 };
    let edges = site.regions.iter().flat_map(|region| region.edges());
    let crossed = edges.filter(|edge| (edge.a.v <= v) != (edge.b.v <= v)).filter_map(|edge| {
        let at = edge.a.u + (edge.b.u - edge.a.u) * (v - edge.a.v) / (edge.b.v - edge.a.v);
        ((at - u) * sign > -ON_EDGE).then_some((at, edge))
    });
    let (at, edge) = crossed.min_by(|a, b| ((a.0 - u) * sign).total_cmp(&((b.0 - u) * sign)))?;
    // The gap is measured square to the edge.
    let sine = (edge.b.v - edge.a.v).abs() / edge.length().max(ON_FLOOR);
    Some((at + sign * edge.gap / sine.max(STEEP), edge))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use plan::Room;

    /// A room from 0 to 4000: whatever gap its floor keeps, the tape begins at the faces of its walls.
    #[test]
    fn faces_are_those_of_the_walls_on_either_side() {
        let mut plan = Plan::new("t");
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 2000.0), (0.0, 2000.0)];
        plan.rooms.push(Room::boarded("Hall", corners.map(Point::from)));
        let site = site::survey(&plan);
        let at = |is_past: bool| face(&site, 1000.0, 1500.0, is_past).unwrap();
        assert!(at(false).0.abs() < 1e-6 && at(false).1.source == Source::Wall { room: 0, wall: 3 });
        assert!((at(true).0 - 4000.0).abs() < 1e-6 && at(true).1.source == Source::Wall { room: 0, wall: 1 });
    }
}
