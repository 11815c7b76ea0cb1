//! What the pointer catches on: corners, edges, right angles, other corners' lines, the grid.

use super::grid::catch_step;
use super::view::View;
use crate::geometry::{is_inside, to_segment};
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
    /// On the other side of a wall, or a corner of it: where the next room begins.
    Beyond,
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
    /// A room is being drawn: where a wall's two sides are both near, the other side is meant.
    pub(crate) next_room: bool,
    /// Thickness of walls as they are drawn, mm.
    pub(crate) thickness: f64,
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

    /// The other sides of the walls, as thick as they are drawn.
    fn beyond(&self) -> Vec<(Point, Point)> {
        let thick = self.thickness;
        let mut sides = Vec::new();
        for room in &self.plan.rooms {
            let count = room.walls.len();
            // Where a wall's other side starts: a wall away from its own line and from the one before it.
            let start = |wall: usize| -> Option<Point> {
                let before = (wall + count - 1) % count;
                let ((along, away), (_, back)) = (room.wall_axes(wall)?, room.wall_axes(before)?);
                let corner = room.walls.get(wall)?.corner;
                // The mitre: along the wall by so much that both sides meet.
                let turn = along.x * back.x + along.y * back.y;
                let square = (back.x * away.x + back.y * away.y).clamp(-1.0, 1.0);
                let run = if turn.abs() < 1e-6 { 0.0 } else { thick * (1.0 - square) / turn };
                let run = run.clamp(-2.0 * thick, 2.0 * thick);
                Some(corner.moved(away.x * thick + along.x * run, away.y * thick + along.y * run))
            };
            for wall in 0..count {
                let Some((a, b)) = room.wall_line(wall) else { continue };
                if self.except.contains(&a) || self.except.contains(&b) {
                    continue;
                }
                sides.extend(start(wall).zip(start((wall + 1) % count)));
            }
        }
        sides
    }

    /// Where the next room begins in line with a wall of this one: a wall's thickness straight out from its ends.
    fn in_line(&self, p: Point, reach: f64) -> Vec<Point> {
        let mut found = Vec::new();
        for room in &self.plan.rooms {
            for wall in 0..room.walls.len() {
                let Some(((a, b), (_, away))) = room.wall_line(wall).zip(room.wall_axes(wall)) else {
                    continue;
                };
                if self.except.contains(&a) || self.except.contains(&b) {
                    continue;
                }
                let out = |p: Point| p.moved(away.x * self.thickness, away.y * self.thickness);
                found.extend([out(a), out(b)].into_iter().filter(|end| end.distance(p) < reach));
            }
        }
        found.retain(|end| !self.is_floor(*end));
        found
    }

    /// Corners for the next room near a point: ends of other sides, and where two of them cross.
    fn beyond_corners(&self, sides: &[(Point, Point)], p: Point, reach: f64) -> Vec<Point> {
        let near: Vec<_> = sides.iter().filter(|(a, b)| to_segment(p, *a, *b).0 < reach).collect();
        let crossings = near
            .iter()
            .enumerate()
            .flat_map(|(i, one)| near[i + 1..].iter().filter_map(|other| crossing(**one, **other)));
        let ends = near.iter().map(|(start, _)| *start).chain(near.iter().map(|(_, end)| *end));
        crossings.chain(ends).filter(|corner| !self.is_floor(*corner)).collect()
    }

    /// Whether a point lies on a room's floor or at its walls' faces.
    fn is_floor(&self, p: Point) -> bool {
        self.plan.rooms.iter().any(|room| {
            let outline: Vec<Point> = room.outline().into_iter().map(|(p, _)| p).collect();
            let at_face = || {
                (0..outline.len())
                    .any(|i| to_segment(p, outline[i], outline[(i + 1) % outline.len()]).0 < 1.0)
            };
            is_inside(p, outline.iter().copied()) || at_face()
        })
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

    /// Whether a candidate gives way to a wall's other side.
    fn is_later(&self, hint: Hint, corner: Option<Point>) -> bool {
        self.next_room && hint != Hint::Beyond && !corner.is_some_and(|corner| self.own.contains(&corner))
    }

    /// The point meant by the pointer at `p`.
    pub(crate) fn snap(&self, p: Point) -> Snapped {
        if self.free {
            return Snapped { at: p, hint: None };
        }
        let reach = self.view.mm(REACH);
        let beyond = self.beyond();
        let nearest = self
            .corners()
            .map(|corner| (corner, Hint::Corner))
            .chain(self.beyond_corners(&beyond, p, reach).into_iter().map(|corner| (corner, Hint::Beyond)))
            .chain(self.in_line(p, reach).into_iter().map(|corner| (corner, Hint::Beyond)))
            .map(|(corner, hint)| (corner.distance(p), corner, hint))
            .filter(|(distance, ..)| *distance < reach)
            .min_by(|a, b| {
                let later = |(_, corner, hint): &(f64, Point, Hint)| self.is_later(*hint, Some(*corner));
                later(a).cmp(&later(b)).then(a.0.total_cmp(&b.0))
            });
        if let Some((_, corner, hint)) = nearest {
            return Snapped { at: corner, hint: Some(hint) };
        }
        // Lines along x and y through corners, the previous point's before the others'.
        let in_line = |of: fn(Point) -> f64| {
            let near = |corner: &Point| (of(*corner) - of(p)).abs();
            let first = self.previous.filter(|corner| near(corner) < reach);
            first.or_else(|| {
                self.corners()
                    .chain(beyond.iter().map(|(start, _)| *start))
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
            .map(|edge| (edge, Hint::Edge))
            .chain(beyond.iter().map(|side| (*side, Hint::Beyond)))
            .map(|((a, b), hint)| (to_segment(p, a, b), a, b, hint))
            .filter(|((distance, _), ..)| *distance < reach)
            // What is another room's floor, or its wall's face, is no place for the next room.
            .filter(|((_, along), a, b, hint)| {
                *hint != Hint::Beyond || !self.is_floor(a.lerp(*b, along / a.distance(*b).max(1e-9)))
            })
            .min_by(|a, b| {
                let later = |hint| self.is_later(hint, None);
                later(a.3).cmp(&later(b.3)).then(a.0.0.total_cmp(&b.0.0))
            });
        if let Some(((_, along), a, b, hint)) = on_edge {
            let at = a.lerp(b, along / a.distance(b).max(1e-9));
            return Snapped { at, hint: Some(hint) };
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

/// Where the lines of two segments cross; `None` for parallel ones.
fn crossing((a, b): (Point, Point), (c, d): (Point, Point)) -> Option<Point> {
    let (ux, uy, vx, vy) = (b.x - a.x, b.y - a.y, d.x - c.x, d.y - c.y);
    let cross = ux * vy - uy * vx;
    let lengths = a.distance(b) * c.distance(d);
    if cross.abs() < 0.02 * lengths {
        return None;
    }
    Some(a.lerp(b, ((c.x - a.x) * vy - (c.y - a.y) * vx) / cross))
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::{Rect, pos2, vec2};

    fn snap(plan: &Plan, previous: Option<Point>, square: bool, free: bool, p: (f64, f64)) -> Snapped {
        let rect = Rect::from_min_size(pos2(0.0, 0.0), vec2(800.0, 600.0));
        let view = View { rect, scale: 0.1, ..View::default() };
        let (own, except) = (&[], &[]);
        let catch = Catch {
            plan,
            view: &view,
            grid: true,
            previous,
            own,
            except,
            next_room: false,
            thickness: 92.0,
            free,
            square,
        };
        let snapped = catch.snap(p.into());
        // With a room in hand the same holds, but for what a wall's other side takes first.
        let drawing = Catch { next_room: true, ..catch }.snap(p.into());
        assert!(drawing == snapped || drawing.hint == Some(Hint::Beyond), "{drawing:?} {snapped:?}");
        snapped
    }

    #[test]
    fn catches_in_order() {
        let mut plan = Plan::new("Test");
        plan::edit::add_room(&mut plan, &[(0.0, 0.0), (4013.0, 0.0), (4013.0, 3000.0)].map(Point::from))
            .unwrap();
        let corner = snap(&plan, None, false, false, (3990.0, 30.0));
        assert_eq!(corner, Snapped { at: Point::new(4013.0, 0.0), hint: Some(Hint::Corner) });
        let edge = snap(&plan, None, false, false, (4010.0, 1500.0));
        assert_eq!(edge, Snapped { at: Point::new(4013.0, 1500.0), hint: Some(Hint::Edge) });
        let free = snap(&plan, None, false, true, (3990.0, 30.0));
        assert_eq!(free, Snapped { at: Point::new(3990.0, 30.0), hint: None });
        let square = snap(&plan, Some(Point::new(6000.0, 5000.0)), true, false, (6700.0, 8040.0));
        assert_eq!(square.at, Point::new(6000.0, 8050.0));
        let crossing = snap(&plan, Some(Point::new(6000.0, 5000.0)), true, false, (4050.0, 5300.0));
        assert_eq!(crossing.at, Point::new(4013.0, 5000.0));
    }

    #[test]
    fn the_next_room_starts_on_the_other_side_of_a_wall() {
        let mut plan = Plan::new("Test");
        let hall =
            [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (2000.0, 3000.0), (2000.0, 1200.0), (0.0, 1200.0)];
        plan::edit::add_room(&mut plan, &hall.map(Point::from)).unwrap();
        // Outward corners lie a wall away both ways, inward ones too.
        let outward = snap(&plan, None, false, false, (4080.0, -100.0));
        assert_eq!(outward, Snapped { at: Point::new(4092.0, -92.0), hint: Some(Hint::Beyond) });
        let inward = snap(&plan, None, false, false, (1890.0, 1300.0));
        assert_eq!(inward, Snapped { at: Point::new(1908.0, 1292.0), hint: Some(Hint::Beyond) });
        // In line with its wall, for a room as wide as this one.
        let in_line = snap(&plan, None, false, false, (3990.0, -88.0));
        assert_eq!(in_line, Snapped { at: Point::new(4000.0, -92.0), hint: Some(Hint::Beyond) });
        let side = snap(&plan, None, false, false, (4085.0, 1500.0));
        assert_eq!(side, Snapped { at: Point::new(4092.0, 1500.0), hint: Some(Hint::Beyond) });
        // A room there, and the next one beside it: a wall from both.
        let bed = [(0.0, 1292.0), (1908.0, 1292.0), (1908.0, 3000.0), (0.0, 3000.0)]
            .map(|(x, y)| Point::new(x - 500.0, y));
        plan::edit::add_room(&mut plan, &bed).unwrap();
        let third = snap(&plan, None, false, false, (1490.0, 1300.0));
        assert_eq!(third, Snapped { at: Point::new(1500.0, 1292.0), hint: Some(Hint::Beyond) });
        // Drawn on square, the wall ends in line with another wall's other side.
        let square = snap(&plan, Some(Point::new(1908.0, 1292.0)), true, false, (30.0 - 92.0, 1300.0));
        assert_eq!(square.at, Point::new(-92.0, 1292.0));
    }
}
