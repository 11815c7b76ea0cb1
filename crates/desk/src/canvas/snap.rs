//! What the pointer catches on: corners, edges, right angles, other corners' lines, the grid.

use super::grid::catch_step;
use super::view::View;
use crate::geometry::to_segment;
use plan::{Plan, Point};

/// How near the pointer must be, points of the screen.
const REACH: f32 = 9.0;

/// Why a point was caught.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Hint {
    /// On a corner.
    Corner,
    /// On a wall or a fixture's edge.
    Edge,
    /// In line with another point, along x or y: that point.
    Line(Point),
    /// In line with two points.
    Crossing(Point, Point),
    /// On the grid.
    Grid,
}

/// A point, caught or free.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Snapped {
    pub(crate) at: Point,
    pub(crate) hint: Option<Hint>,
}

/// What may be caught.
pub(crate) struct Catch<'a> {
    pub(crate) plan: &'a Plan,
    pub(crate) view: &'a View,
    pub(crate) grid: bool,
    /// The point drawn last, from which right angles are taken.
    pub(crate) previous: Option<Point>,
    /// Further points of what is being drawn.
    pub(crate) own: &'a [Point],
    /// Corners that move with the pointer and must not catch it.
    pub(crate) except: &'a [Point],
    /// Nothing catches.
    pub(crate) free: bool,
    /// The wall drawn keeps to right angles: the point stays on x or y of the previous one.
    pub(crate) square: bool,
}

impl Catch<'_> {
    fn corners(&self) -> impl Iterator<Item = Point> {
        let rooms = self.plan.rooms.iter().flat_map(|room| room.walls.iter().map(|wall| wall.corner));
        let fixtures = self.plan.fixtures.iter().flat_map(|fixture| fixture.outline.iter().copied());
        rooms.chain(fixtures).chain(self.own.iter().copied()).filter(|p| !self.except.contains(p))
    }

    fn edges(&self) -> impl Iterator<Item = (Point, Point)> {
        let rooms = self.plan.rooms.iter().flat_map(|room| {
            let points = room.outline();
            (0..points.len())
                .map(move |i| (points[i].0, points[(i + 1) % points.len()].0))
                .collect::<Vec<_>>()
        });
        let fixtures = self.plan.fixtures.iter().flat_map(|fixture| {
            let points = &fixture.outline;
            (0..points.len()).map(move |i| (points[i], points[(i + 1) % points.len()]))
        });
        rooms.chain(fixtures).filter(|(a, b)| !self.except.contains(a) && !self.except.contains(b))
    }

    /// The point meant by the pointer at `p`.
    pub(crate) fn snap(&self, p: Point) -> Snapped {
        if self.free {
            return Snapped { at: p, hint: None };
        }
        let reach = self.view.mm(REACH);
        let nearest = self
            .corners()
            .map(|corner| (corner.distance(p), corner))
            .filter(|(distance, _)| *distance < reach)
            .min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, corner)) = nearest {
            return Snapped { at: corner, hint: Some(Hint::Corner) };
        }
        // Lines along x and y through corners, the previous point's before the others'.
        let in_line = |of: fn(Point) -> f64| {
            let near = |corner: &Point| (of(*corner) - of(p)).abs();
            let first = self.previous.filter(|corner| near(corner) < reach);
            first.or_else(|| {
                self.corners()
                    .filter(|corner| near(corner) < reach)
                    .min_by(|a, b| near(a).total_cmp(&near(b)))
            })
        };
        let (by_x, by_y) = (in_line(|p| p.x), in_line(|p| p.y));
        let squared = self.previous.filter(|_| self.square).map(|previous| {
            // Right angles: the smaller of the two ways is dropped.
            let upright = (p.x - previous.x).abs() < (p.y - previous.y).abs();
            (previous, upright)
        });
        let grid = |value: f64| {
            let step = catch_step(self.view);
            if self.grid { (value / step).round() * step } else { value.round() }
        };
        if let Some((previous, upright)) = squared {
            let at = if upright {
                Point::new(previous.x, by_y.map_or_else(|| grid(p.y), |other| other.y))
            } else {
                Point::new(by_x.map_or_else(|| grid(p.x), |other| other.x), previous.y)
            };
            let other = if upright { by_y } else { by_x }.filter(|other| *other != previous);
            let hint = other.map_or(Hint::Line(previous), |other| Hint::Crossing(previous, other));
            return Snapped { at, hint: Some(hint) };
        }
        let on_edge = self
            .edges()
            .map(|(a, b)| (to_segment(p, a, b), a, b))
            .filter(|((distance, _), _, _)| *distance < reach)
            .min_by(|a, b| a.0.0.total_cmp(&b.0.0));
        if let Some(((_, along), a, b)) = on_edge {
            let at = a.lerp(b, along / a.distance(b).max(1e-9));
            return Snapped { at, hint: Some(Hint::Edge) };
        }
        match (by_x, by_y) {
            (Some(x), Some(y)) => Snapped { at: Point::new(x.x, y.y), hint: Some(Hint::Crossing(x, y)) },
            (Some(x), None) => Snapped { at: Point::new(x.x, grid(p.y)), hint: Some(Hint::Line(x)) },
            (None, Some(y)) => Snapped { at: Point::new(grid(p.x), y.y), hint: Some(Hint::Line(y)) },
            (None, None) => {
                Snapped { at: Point::new(grid(p.x), grid(p.y)), hint: self.grid.then_some(Hint::Grid) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::{Rect, pos2, vec2};

    fn snap(plan: &Plan, previous: Option<Point>, square: bool, free: bool, p: (f64, f64)) -> Snapped {
        let rect = Rect::from_min_size(pos2(0.0, 0.0), vec2(800.0, 600.0));
        let view = View { rect, scale: 0.1, ..View::default() };
        let catch = Catch { plan, view: &view, grid: true, previous, own: &[], except: &[], free, square };
        catch.snap(p.into())
    }

    #[test]
    fn catches_in_order() {
        let mut plan = Plan::new("Test");
        plan::edit::add_room(&mut plan, &[(0.0, 0.0), (4013.0, 0.0), (4013.0, 3000.0)].map(Point::from))
            .unwrap();
        let corner = snap(&plan, None, false, false, (3990.0, 30.0));
        assert_eq!(corner, Snapped { at: Point::new(4013.0, 0.0), hint: Some(Hint::Corner) });
        let edge = snap(&plan, None, false, false, (4000.0, 1500.0));
        assert_eq!(edge, Snapped { at: Point::new(4013.0, 1500.0), hint: Some(Hint::Edge) });
        let free = snap(&plan, None, false, true, (3990.0, 30.0));
        assert_eq!(free, Snapped { at: Point::new(3990.0, 30.0), hint: None });
        let square = snap(&plan, Some(Point::new(6000.0, 5000.0)), true, false, (6700.0, 8040.0));
        assert_eq!(square.at, Point::new(6000.0, 8050.0));
        let crossing = snap(&plan, Some(Point::new(6000.0, 5000.0)), true, false, (4050.0, 5300.0));
        assert_eq!(crossing.at, Point::new(4013.0, 5000.0));
    }
}
