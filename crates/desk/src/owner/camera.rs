//! Where the owner stands and looks: a plain perspective, or straight down.

use egui::{Pos2, Rect, pos2};
use plan::{Plan, Point};

/// Height of the eyes over the floor, mm: common practice in drawing, no source.
const EYES: f64 = 1550.0;
/// What is nearer than this is not drawn, mm.
const NEAR: f64 = 240.0;
/// A wall is looked along only if it is this long, mm.
const LEAST_END: f64 = 500.0;

/// Where someone stands on the plan and looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Camera {
    pub(super) at: Point,
    /// Direction of the look, radians anticlockwise from x.
    pub(super) heading: f64,
    /// How far the look is tilted down, radians.
    pub(super) down: f64,
}

impl Camera {
    /// At the end of the floor's longest and narrowest stretch of one room, looking along it: down the hallway.
    pub(super) fn down_the_hallway(plan: &Plan) -> Option<Self> {
        let mut best: Option<(f64, Self)> = None;
        for room in plan.rooms.iter().filter(|room| room.is_boarded()) {
            let sides: Vec<(Point, Point)> =
                (0..room.walls.len()).filter_map(|i| room.wall_line(i)).collect();
            for wall in 0..room.walls.len() {
                let Some(((a, b), (_, away))) = room.wall_line(wall).zip(room.wall_axes(wall)) else {
                    continue;
                };
                let width = a.distance(b);
                if width < LEAST_END {
                    continue;
                }
                let (from, inward) = (a.lerp(b, 0.5), Point::new(-away.x, -away.y));
                let others = sides.iter().enumerate().filter(|(i, _)| *i != wall);
                let hits = others.filter_map(|(_, (c, d))| met(from, inward, *c, *d));
                let reach = hits.fold(f64::INFINITY, f64::min);
                if !reach.is_finite() {
                    continue;
                }
                let narrow = narrowness(from, inward, reach, &sides).unwrap_or(width);
                let worth = reach * (reach / narrow.max(LEAST_END)).sqrt();
                if best.is_none_or(|(most, _)| worth > most) {
                    let back = (0.06 * reach).clamp(60.0, 350.0);
                    let at = from.moved(inward.x * back, inward.y * back);
                    best = Some((worth, Self { at, heading: inward.y.atan2(inward.x), down: 0.2 }));
                }
            }
        }
        best.map(|(_, camera)| camera)
    }

    /// Turns by so many radians, to the left and down.
    pub(super) fn turn(&mut self, left: f64, down: f64) {
        self.heading = (self.heading + left).rem_euclid(std::f64::consts::TAU);
        self.down = (self.down + down).clamp(-0.5, 1.0);
    }

    /// Goes forwards and to the left, mm.
    pub(super) fn walk(&mut self, forwards: f64, left: f64) {
        let (sin, cos) = self.heading.sin_cos();
        self.at = self.at.moved(cos * forwards - sin * left, sin * forwards + cos * left);
    }

    /// The look with its angles reckoned once, for many points.
    pub(super) fn sight(&self) -> Sight {
        let (sin, cos) = self.heading.sin_cos();
        Sight { at: self.at, sin, cos, slope: self.down.tan() }
    }

    /// Where a seen point stands on the screen; `None` where it is behind or too near.
    pub(super) fn on_screen(seen: [f64; 3], rect: Rect) -> Option<Pos2> {
        let [right, up, ahead] = seen;
        if ahead < NEAR {
            return None;
        }
        // About 70° across, as one sees a room without turning the head.
        let zoom = f64::from(rect.width().max(rect.height() * 1.2)) * 0.72;
        let middle = rect.center();
        Some(pos2(middle.x + (right / ahead * zoom) as f32, middle.y - (up / ahead * zoom) as f32))
    }
}

/// A look, its angles as they are needed for every point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sight {
    pub(super) at: Point,
    sin: f64,
    cos: f64,
    /// How far the picture is shifted up for each millimetre ahead.
    slope: f64,
}

impl Sight {
    /// A point of the room in the eye's own directions: to the right, up, ahead. The picture stays upright, so that
    /// upright edges do: looking down shifts it instead of tilting it.
    pub(super) fn seen(&self, p: Point, height: f64) -> [f64; 3] {
        let (dx, dy) = (p.x - self.at.x, p.y - self.at.y);
        let (ahead, left) = (dx * self.cos + dy * self.sin, dy * self.cos - dx * self.sin);
        [-left, height - EYES + ahead * self.slope, ahead]
    }
}

/// How wide the floor is beside a ray, on average over its length, mm.
fn narrowness(from: Point, along: Point, reach: f64, sides: &[(Point, Point)]) -> Option<f64> {
    const LOOKS: usize = 9;
    let mut sum = 0.0;
    for i in 0..LOOKS {
        let t = reach * (i as f64 + 0.5) / LOOKS as f64;
        let at = from.moved(along.x * t, along.y * t);
        for beside in [Point::new(-along.y, along.x), Point::new(along.y, -along.x)] {
            let hits = sides.iter().filter_map(|(c, d)| met(at, beside, *c, *d));
            sum += hits.fold(f64::INFINITY, f64::min);
        }
    }
    let mean = sum / LOOKS as f64;
    mean.is_finite().then_some(mean)
}

/// How far along a ray a side is met.
fn met(from: Point, along: Point, c: Point, d: Point) -> Option<f64> {
    let (ux, uy) = (d.x - c.x, d.y - c.y);
    let cross = along.x * uy - along.y * ux;
    if cross.abs() < 1e-9 {
        return None;
    }
    let (wx, wy) = (c.x - from.x, c.y - from.y);
    let reach = (wx * uy - wy * ux) / cross;
    let part = (wx * along.y - wy * along.x) / cross;
    (reach > 1.0 && (0.0..=1.0).contains(&part)).then_some(reach)
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::vec2;

    #[test]
    fn one_stands_at_the_end_of_the_hallway() {
        let mut plan = Plan::new("Test");
        let room = |x: f64, y: f64, w: f64, h: f64| {
            [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from)
        };
        plan::edit::add_room(&mut plan, &room(0.0, 0.0, 5000.0, 4000.0)).unwrap();
        plan::edit::add_room(&mut plan, &room(0.0, 4100.0, 8000.0, 1200.0)).unwrap();
        let camera = Camera::down_the_hallway(&plan).unwrap();
        // Both ends see as far: the wall drawn first is taken.
        assert!((camera.at.y - 4700.0).abs() < 1.0 && (camera.at.x - 7650.0).abs() < 1.0, "{camera:?}");
        assert!((camera.heading - std::f64::consts::PI).abs() < 1e-9);
        assert_eq!(Camera::down_the_hallway(&Plan::new("Empty")), None);
    }

    /// Similar triangles: with a level look, what is twice as far stands half as far from the middle.
    #[test]
    fn what_is_twice_as_far_is_half_as_large() {
        let camera = Camera { at: Point::default(), heading: 0.0, down: 0.0 };
        let rect = Rect::from_min_size(pos2(0.0, 0.0), vec2(800.0, 600.0));
        let at = |x, y, h| Camera::on_screen(camera.sight().seen(Point::new(x, y), h), rect);
        let (near, far) = (at(2000.0, -500.0, 0.0).unwrap(), at(4000.0, -500.0, 0.0).unwrap());
        let middle = rect.center();
        assert!(((near - middle) - (far - middle) * 2.0).length() < 1e-3);
        assert!(near.x > middle.x && near.y > middle.y, "right of the look and on the floor");
        assert_eq!(at(2000.0, 0.0, EYES).unwrap(), middle);
        assert_eq!(at(-10.0, 0.0, 0.0), None);
    }
}
