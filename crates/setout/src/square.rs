//! The triangle that proves a line square to the start line: sides as 3, 4 and 5.

use crate::SetOut;
use plan::{Plan, Point, Units};
use site::{Edge, Frame, Region, Site, Uv};

/// The smallest unit: a shortest side under 300 mm proves nothing.
const SMALLEST: f64 = 100.0;
/// The triangle's corners stay this far from the floor's edges, mm: a mark is made there, a tape held.
const CLEAR: f64 = 50.0;
/// Corners tried along the line.
const STEPS: u32 = 20;
/// At the check pull's foot the triangle proves the pull too: one elsewhere must be so much larger to be taken.
const WORTH: f64 = 1.5;

/// A triangle marked on the floor: a side on the start line, a side square to it, and what must lie between their
/// ends. By the converse of Pythagoras' theorem (Euclid, Elements, book I, proposition 48) the corner is square
/// when the three lengths hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Square {
    /// The corner, on the start line.
    pub corner: Point,
    /// The other end of the side on the line.
    pub on_line: Point,
    /// The other end of the side across.
    pub across: Point,
    /// Length of the side on the line, mm.
    pub along_length: f64,
    /// Length of the side across, mm.
    pub across_length: f64,
    /// What must lie between the sides' ends, mm.
    pub between: f64,
    /// Whether the corner is the check pull's foot and the side across lies on the pull.
    pub proves_check: bool,
}

/// The largest triangle that lies on the floor beside the start line, its sides whole steps of a tape; `None` where
/// there is no line or no room for one. Up to 3, 4 and 5 m, or 9, 12 and 15 ft.
pub fn square(plan: &Plan, site: &Site, set: &SetOut) -> Option<Square> {
    let line = set.line.as_ref()?;
    let region = site.regions.get(line.region)?;
    let (step, most) = match plan.units {
        Units::Metric => (100.0, 1000.0),
        Units::FeetInches => (152.4, 914.4),
    };
    let ends = [line.from, line.to].map(|p| site.frame.row_from_plan(p).u);
    let (left, right) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
    let floor = OnFloor { region, v: line.v, left, right, step, most };
    let check = line.check.as_ref().map(|pull| {
        let [foot, corner] = [pull.foot, pull.corner].map(|p| site.frame.row_from_plan(p));
        (foot.u, (corner.v - foot.v).signum())
    });
    let at_check = check.and_then(|(u, side)| floor.best(u, &[side]));
    let (first, last) = (left + CLEAR, right - CLEAR);
    let corner = |i: u32| first + (last - first) * f64::from(i) / f64::from(STEPS);
    let elsewhere = (0..=STEPS)
        .filter_map(|i| floor.best(corner(i), &[1.0, -1.0]))
        .reduce(|best, next| if next.unit > best.unit + 1e-9 { next } else { best });
    let (sides, proves_check) = match (at_check, elsewhere) {
        (Some(here), Some(there)) if there.unit >= here.unit * WORTH => (there, false),
        (Some(here), _) => (here, true),
        (None, there) => (there?, false),
    };
    Some(sides.on_plan(&site.frame, line.v, proves_check))
}

/// A triangle in row coordinates: its corner on the line, the signed sides, and its unit.
#[derive(Debug, Clone, Copy)]
struct Sides {
    u: f64,
    along: f64,
    across: f64,
    unit: f64,
}

impl Sides {
    fn on_plan(&self, frame: &Frame, v: f64, proves_check: bool) -> Square {
        let at = |du: f64, dv: f64| frame.plan_from_row(Uv::new(self.u + du, v + dv));
        Square {
            corner: at(0.0, 0.0),
            on_line: at(self.along, 0.0),
            across: at(0.0, self.across),
            along_length: self.along.abs(),
            across_length: self.across.abs(),
            between: 5.0 * self.unit,
            proves_check,
        }
    }
}

/// The floor beside one stretch of line.
struct OnFloor<'a> {
    region: &'a Region,
    v: f64,
    left: f64,
    right: f64,
    step: f64,
    most: f64,
}

impl OnFloor<'_> {
    /// The largest triangle with its corner at `u`, on the sides of the line that are named.
    fn best(&self, u: f64, sides: &[f64]) -> Option<Sides> {
        let mut best: Option<Sides> = None;
        for side in sides {
            let free = self.free_across(u, *side) - CLEAR;
            for (way, run) in [(1.0, self.right - u), (-1.0, u - self.left)] {
                for (along, across) in [(4.0, 3.0), (3.0, 4.0)] {
                    let room = ((run - CLEAR) / along).min(free / across).min(self.most);
                    let mut unit = (room / self.step + 1e-9).floor() * self.step;
                    let least = best.map_or(SMALLEST, |best| best.unit + self.step / 2.0);
                    while unit >= least {
                        let (du, dv) = (way * along * unit, side * across * unit);
                        if self.is_clear((u + du, self.v), (u, self.v + dv)) {
                            best = Some(Sides { u, along: du, across: dv, unit });
                            break;
                        }
                        unit -= self.step;
                    }
                }
            }
        }
        best
    }

    /// How far the floor reaches from the line at `u` to one side.
    fn free_across(&self, u: f64, side: f64) -> f64 {
        let crossing = |e: &Edge| {
            let is_crossed = (e.a.u <= u) != (e.b.u <= u);
            is_crossed.then(|| e.a.v + (e.b.v - e.a.v) * (u - e.a.u) / (e.b.u - e.a.u))
        };
        let reach = |v: f64| (v - self.v) * side;
        self.region.edges().filter_map(crossing).map(reach).filter(|r| *r > 0.0).fold(f64::INFINITY, f64::min)
    }

    /// Whether no edge crosses the line between two points that lie on the floor.
    fn is_clear(&self, a: (f64, f64), b: (f64, f64)) -> bool {
        let turn = |p: (f64, f64), q: (f64, f64), r: (f64, f64)| {
            (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0)
        };
        self.region.edges().all(|e| {
            let (c, d) = ((e.a.u, e.a.v), (e.b.u, e.b.v));
            let is_apart = turn(a, b, c).signum() == turn(a, b, d).signum();
            is_apart || turn(c, d, a).signum() == turn(c, d, b).signum()
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use plan::Room;

    fn triangle(corners: &[(f64, f64)], units: Units) -> Option<Square> {
        let mut plan = Plan::new("Hut");
        plan.units = units;
        plan.rooms.push(Room::boarded("Hut", corners.iter().map(|p| Point::from(*p))));
        let site = site::survey(&plan);
        let set = crate::set_out(&plan, &site);
        square(&plan, &site, &set)
    }

    /// Distance of two points by arithmetic written out.
    fn apart(a: Point, b: Point) -> f64 {
        libm::sqrt((a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y))
    }

    #[test]
    fn its_sides_hold_pythagoras_and_lie_on_the_floor() {
        for units in [Units::Metric, Units::FeetInches] {
            let found =
                triangle(&[(0.0, 0.0), (6000.0, 0.0), (6000.0, 5000.0), (0.0, 5000.0)], units).unwrap();
            let (a, b, c) = (found.along_length, found.across_length, found.between);
            assert!((a * a + b * b - c * c).abs() < 1e-6, "{found:?}");
            for (from, to, length) in [
                (found.corner, found.on_line, a),
                (found.corner, found.across, b),
                (found.on_line, found.across, c),
            ] {
                assert!((apart(from, to) - length).abs() < 1e-6, "{found:?}");
            }
            for p in [found.corner, found.on_line, found.across] {
                assert!(p.x > 0.0 && p.x < 6000.0 && p.y > 0.0 && p.y < 5000.0, "{found:?}");
            }
        }
    }

    #[test]
    fn a_narrow_hall_has_a_small_one_and_a_closet_none() {
        // 1000 deep less two gaps of 10: from any line at least 490 to one side, so 300 across at least.
        let hall =
            triangle(&[(0.0, 0.0), (8000.0, 0.0), (8000.0, 1000.0), (0.0, 1000.0)], Units::Metric).unwrap();
        assert!(hall.across_length <= 930.0 && hall.between >= 500.0, "{hall:?}");
        assert_eq!(triangle(&[(0.0, 0.0), (320.0, 0.0), (320.0, 320.0), (0.0, 320.0)], Units::Metric), None);
    }

    /// A hall 9 m long and 1 m wide with a bay beyond its last 4 m: only there is room for 3 by 4 m.
    #[test]
    fn the_largest_is_found_at_the_far_end_of_a_hall() {
        let corners =
            [(0.0, 0.0), (9000.0, 0.0), (9000.0, 5000.0), (5000.0, 5000.0), (5000.0, 1000.0), (0.0, 1000.0)];
        let found = triangle(&corners, Units::Metric).unwrap();
        assert!((found.between - 5000.0).abs() < 1e-6, "{found:?}");
        // Either side of it stands in the bay, and the line runs along the hall: all three lie on the floor.
        for p in [found.corner, found.on_line, found.across] {
            let is_on = |low: (f64, f64), high: (f64, f64)| {
                p.x > low.0 && p.x < high.0 && p.y > low.1 && p.y < high.1
            };
            assert!(
                is_on((0.0, 0.0), (9000.0, 1000.0)) || is_on((5000.0, 0.0), (9000.0, 5000.0)),
                "{found:?}"
            );
        }
    }

    /// A far wall that rises by half of what it goes along, from 1000, and keeps a gap of 10 square to it, which is
    /// 10 · √1.25 = 11.18 up: over 2000 along it stands at 1988.82, 1488.82 from a line at 500. Arithmetic.
    #[test]
    fn the_room_before_a_slanting_wall_is_what_lies_up_to_it() {
        let mut plan = Plan::new("Hut");
        plan.rules.wall_gap = plan::GapRange { least: 10.0, greatest: 10.0 };
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 1000.0)];
        plan.rooms.push(Room::boarded("Hut", corners.map(Point::from)));
        let site = site::survey(&plan);
        let floor = OnFloor {
            region: &site.regions[0],
            v: 500.0,
            left: 10.0,
            right: 3990.0,
            step: 100.0,
            most: 1000.0,
        };
        assert!(
            (floor.free_across(2000.0, 1.0) - 1488.8197).abs() < 1e-3,
            "{}",
            floor.free_across(2000.0, 1.0)
        );
        assert!((floor.free_across(2000.0, -1.0) - 490.0).abs() < 1e-6);
    }
}
