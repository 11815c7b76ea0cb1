//! What the pointer catches on: corners, edges, right angles, other corners' lines, the grid.

use super::grid::catch_step;
use super::view::View;
use crate::geometry::{is_inside, is_near, to_segment};
use plan::{Plan, Point};

/// How near the pointer must be, points of the screen.
const REACH: f32 = 9.0;

/// A length must be this near to another to be taken for it, points of the screen: less, since there are many.
const EQUAL_REACH: f32 = 5.0;
/// Shorter walls are no measure for another, mm.
const LEAST_EQUAL: f64 = 300.0;

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
    /// As long as a wall: that one, or one of what is being drawn.
    Equal(Equal),
    /// On the line of a slanting wall, beyond its end: that end.
    Extension(Point),
    /// Square to the wall drawn before, or in line with it.
    Square(Point),
    /// In the middle of its wall.
    Middle,
}

/// A wall that another is as long as.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Equal {
    /// A wall of a room, both by index.
    Wall(usize, usize),
    /// A wall drawn before, counted from 0.
    Drawn(usize),
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
    /// Jambs of doorways catch like corners.
    pub(crate) jambs: bool,
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
        let doorways = self.plan.doorways.iter().filter(|_| self.jambs);
        let jambs = doorways.filter_map(|doorway| doorway.throat(self.plan)).flat_map(|[a, b, ..]| [a, b]);
        rooms
            .chain(fixtures)
            .chain(jambs)
            .chain(self.own.iter().copied())
            .filter(|p| !self.except.contains(p))
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
        let near = crossings.chain(ends).filter(|corner| corner.distance(p) < reach);
        near.filter(|corner| !self.is_floor(*corner)).collect()
    }

    /// Whether a point lies on a room's floor or at its walls' faces.
    fn is_floor(&self, p: Point) -> bool {
        self.plan.rooms.iter().filter(|room| is_near(room, p, 1.0)).any(|room| {
            let outline: Vec<Point> = room.outline().into_iter().map(|(p, _)| p).collect();
            let at_face = || {
                (0..outline.len())
                    .any(|i| to_segment(p, outline[i], outline[(i + 1) % outline.len()]).0 < 1.0)
            };
            is_inside(p, outline.iter().copied()) || at_face()
        })
    }

    /// On the line of a slanting wall or side, beyond one of its ends. Level and upright ones are met by their corners.
    fn extension(&self, p: Point, reach: f64) -> Option<Snapped> {
        let caught = self.edges().filter_map(|(a, b)| {
            let length = a.distance(b);
            let (ux, uy) = ((b.x - a.x) / length, (b.y - a.y) / length);
            if !length.is_normal() || ux.abs().min(uy.abs()) < 1e-6 {
                return None;
            }
            let (along, off) = ((p.x - a.x) * ux + (p.y - a.y) * uy, (p.x - a.x) * uy - (p.y - a.y) * ux);
            let end = if along < 0.0 { a } else { b };
            let at = a.moved(ux * along, uy * along);
            (off.abs() < reach && !(0.0..=length).contains(&along))
                .then_some((off.abs(), Snapped { at, hint: Some(Hint::Extension(end)) }))
        });
        caught.min_by(|one, other| one.0.total_cmp(&other.0)).map(|(_, caught)| caught)
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

    /// Where a line through `a`, moved `distance` along a unit vector, comes to lie in line with something near: how far it is
    /// moved then, and with what it is in line.
    pub(crate) fn line_up(&self, a: Point, along: Point, distance: f64) -> Option<(f64, Point)> {
        let reach = self.view.mm(REACH);
        let beyond = self.beyond();
        let off = |p: &Point| (p.x - a.x) * along.x + (p.y - a.y) * along.y;
        self.corners()
            .chain(beyond.iter().map(|(start, _)| *start))
            .map(|p| (off(&p), p))
            .filter(|(off, _)| (off - distance).abs() < reach)
            .min_by(|one, other| (one.0 - distance).abs().total_cmp(&(other.0 - distance).abs()))
    }

    /// The wall whose length is nearest to one, near enough to catch: what is being drawn before what is drawn.
    fn equal(&self, length: f64) -> Option<(f64, Equal)> {
        let reach = self.view.mm(EQUAL_REACH);
        let drawn =
            self.own.windows(2).enumerate().map(|(i, ends)| (ends[0].distance(ends[1]), Equal::Drawn(i)));
        let walls = self.plan.rooms.iter().enumerate().flat_map(|(r, room)| {
            let line = move |w: usize| room.wall_line(w).map(|(a, b)| (a.distance(b), Equal::Wall(r, w)));
            (0..room.walls.len()).filter_map(line)
        });
        let near = |(other, _): &(f64, Equal)| (other - length).abs() < reach && *other >= LEAST_EQUAL;
        let nearest = |one: &(f64, Equal), other: &(f64, Equal)| {
            (one.0 - length).abs().total_cmp(&(other.0 - length).abs())
        };
        drawn.filter(near).min_by(nearest).or_else(|| walls.filter(near).min_by(nearest))
    }

    /// The wall drawn last, where it slants: its unit vector.
    fn slant(&self) -> Option<Point> {
        let [.., a, b] = self.own else { return None };
        let length = a.distance(*b);
        let along = Point::new((b.x - a.x) / length, (b.y - a.y) / length);
        (length > 0.0 && along.x.abs().min(along.y.abs()) > 1e-6).then_some(along)
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
            // Right angles are also those to the wall before, where it slants.
            if let Some(along) = self.slant() {
                let (x, y) = (p.x - previous.x, p.y - previous.y);
                let axes = [along, Point::new(-along.y, along.x)];
                let off = |axis: &Point| (axis.x * y - axis.y * x).abs();
                let page = if upright { x.abs() } else { y.abs() };
                let nearest = axes.into_iter().min_by(|one, other| off(one).total_cmp(&off(other)));
                if let Some(axis) = nearest.filter(|axis| off(axis) < page) {
                    let run = x * axis.x + y * axis.y;
                    let equal = self.equal(run.abs());
                    let length = equal.map_or_else(|| grid(run.abs()), |(length, _)| length) * run.signum();
                    let at = previous.moved(axis.x * length, axis.y * length);
                    let hint = equal.map_or(Hint::Square(previous), |(_, equal)| Hint::Equal(equal));
                    return Snapped { at, hint: Some(hint) };
                }
            }
            let at = if upright {
                Point::new(previous.x, by_y.map_or_else(|| grid(p.y), |other| other.y))
            } else {
                Point::new(by_x.map_or_else(|| grid(p.x), |other| other.x), previous.y)
            };
            let other = if upright { by_y } else { by_x }.filter(|other| *other != previous);
            if other.is_none()
                && let Some((length, equal)) = self.equal(previous.distance(p_on(upright, previous, p)))
            {
                let way = if upright { (p.y - previous.y).signum() } else { (p.x - previous.x).signum() };
                let at = if upright {
                    Point::new(previous.x, previous.y + way * length)
                } else {
                    Point::new(previous.x + way * length, previous.y)
                };
                return Snapped { at, hint: Some(Hint::Equal(equal)) };
            }
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
        if by_x.is_none()
            && by_y.is_none()
            && let Some(caught) = self.extension(p, reach)
        {
            return caught;
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

/// A point dropped on the upright or the level line through the previous one.
fn p_on(upright: bool, previous: Point, p: Point) -> Point {
    if upright { Point::new(previous.x, p.y) } else { Point::new(p.x, previous.y) }
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
            jambs: false,
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
        let square = snap(&plan, Some(Point::new(6000.0, 5000.0)), true, false, (6700.0, 8240.0));
        assert_eq!(square.at, Point::new(6000.0, 8250.0));
        // Within five points of the screen, 50 mm, of the length of wall 2, which is 3000.
        let equal = snap(&plan, Some(Point::new(6000.0, 5000.0)), true, false, (6700.0, 8040.0));
        assert_eq!(equal.at, Point::new(6000.0, 8000.0));
        assert_eq!(equal.hint, Some(Hint::Equal(Equal::Wall(0, 1))));
        let crossing = snap(&plan, Some(Point::new(6000.0, 5000.0)), true, false, (4050.0, 5300.0));
        assert_eq!(crossing.at, Point::new(4013.0, 5000.0));
    }

    /// A wall slants by 3 in 4: what is drawn beyond its end, square to it, and as long.
    #[test]
    fn slanting_walls_are_carried_on_and_met_square() {
        let mut plan = Plan::new("Test");
        plan::edit::add_room(&mut plan, &[(0.0, 0.0), (4000.0, 3000.0), (-350.0, 3110.0)].map(Point::from))
            .unwrap();
        // Beyond the end at (4000, 3000), off the line by 40 and out of line with every corner.
        let beyond = snap(&plan, None, false, false, (6000.0 - 24.0, 4500.0 + 32.0));
        assert_eq!(beyond.hint, Some(Hint::Extension(Point::new(4000.0, 3000.0))));
        assert!(beyond.at.distance(Point::new(6000.0, 4500.0)) < 1e-6, "{beyond:?}");

        let rect = Rect::from_min_size(pos2(0.0, 0.0), vec2(800.0, 600.0));
        let view = View { rect, scale: 0.1, ..View::default() };
        let own = [Point::new(8000.0, 1000.0), Point::new(12000.0, 4000.0)];
        let catch = Catch {
            plan: &plan,
            view: &view,
            grid: true,
            previous: Some(own[1]),
            own: &own,
            except: &[],
            next_room: true,
            jambs: false,
            thickness: 92.0,
            free: false,
            square: true,
        };
        // Square to the wall drawn, which is 5000 long: 3 to the left, 4 up. 2000 along it, a little off.
        let square = catch.snap(Point::new(12000.0 - 1200.0 + 16.0, 4000.0 + 1600.0 + 12.0));
        assert_eq!(square.hint, Some(Hint::Square(own[1])));
        let (x, y) = (square.at.x - 12000.0, square.at.y - 4000.0);
        assert!((4.0 * x + 3.0 * y).abs() < 1e-6, "square to 4 across and 3 up: {square:?}");
        // As long as that wall within 5 points of the screen, 50 mm.
        let equal = catch.snap(Point::new(12000.0 - 3024.0, 4000.0 + 4032.0));
        assert_eq!(equal.hint, Some(Hint::Equal(Equal::Drawn(0))));
        assert!((equal.at.distance(own[1]) - 5000.0).abs() < 1e-6, "{equal:?}");
        // Right angles of the page hold as before.
        let page = catch.snap(Point::new(14010.0, 4020.0));
        assert_eq!(page.at.y, 4000.0);
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
