//! A picture of a drawing, set to scale under the plan to draw over.

use crate::Point;
use serde::{Deserialize, Serialize};

/// A picture or scan that lies under the drawing. Nothing of the floor is computed from it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Backdrop {
    /// Path of the picture, relative to the plan file's folder or whole, with `/` between folders.
    pub file: String,
    /// Its width and height as it was set to scale, pixels: another size is another picture.
    pub pixels: (u32, u32),
    /// A mark of its bytes as it was set to scale; another mark is a changed picture.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub mark: String,
    /// Where its lower left corner lies.
    pub at: Point,
    /// Millimetres of the plan to a pixel.
    pub scale: f64,
    /// Turn about that corner, degrees anticlockwise.
    #[serde(default, skip_serializing_if = "is_none")]
    pub turn: f64,
    /// How far it is faded, from 0 as it is to 1 not seen.
    #[serde(default = "half", skip_serializing_if = "is_half")]
    pub dim: f64,
    /// Whether it lies over the floor instead of under it, to see what differs.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub over: bool,
}

fn is_none(turn: &f64) -> bool {
    *turn == 0.0
}

fn half() -> f64 {
    0.5
}

fn is_half(dim: &f64) -> bool {
    *dim == half()
}

impl Backdrop {
    /// A picture as it comes: its lower left corner at the origin, a centimetre to a pixel, until it is set to scale.
    pub fn new(file: impl Into<String>, pixels: (u32, u32), mark: impl Into<String>) -> Self {
        Self {
            file: file.into(),
            pixels,
            mark: mark.into(),
            at: Point::default(),
            scale: 10.0,
            turn: 0.0,
            dim: half(),
            over: false,
        }
    }

    /// The plan's point at a point of the picture, in pixels from its lower left corner, y up.
    pub fn plan_from_picture(&self, p: Point) -> Point {
        let (sin, cos) = self.axes();
        let (x, y) = (p.x * self.scale, p.y * self.scale);
        self.at.moved(x * cos - y * sin, x * sin + y * cos)
    }

    /// The point of the picture at a point of the plan.
    pub fn picture_from_plan(&self, p: Point) -> Point {
        let (sin, cos) = self.axes();
        let (x, y) = (p.x - self.at.x, p.y - self.at.y);
        Point::new((x * cos + y * sin) / self.scale, (y * cos - x * sin) / self.scale)
    }

    fn axes(&self) -> (f64, f64) {
        let turn = self.turn.to_radians();
        (libm::sin(turn), libm::cos(turn))
    }

    /// Its corners on the plan, anticlockwise from the lower left.
    pub fn corners(&self) -> [Point; 4] {
        let (w, h) = (f64::from(self.pixels.0), f64::from(self.pixels.1));
        [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|p| self.plan_from_picture(p.into()))
    }

    /// The same picture with the stretch from `a` to `b` (points of the plan as it lies now) as long as it is in the
    /// house, mm. What lies at `a` stays there. With a `heading`, degrees, the stretch is turned to run that way.
    /// `None` for two points in one place, or a length that is none.
    pub fn set_to_scale(&self, a: Point, b: Point, length: f64, heading: Option<f64>) -> Option<Self> {
        let (from, to) = (self.picture_from_plan(a), self.picture_from_plan(b));
        let pixels = from.distance(to);
        let scale = length / pixels;
        if !(pixels >= 1.0 && SCALES.contains(&scale)) {
            return None;
        }
        let mut next = Self { scale, ..self.clone() };
        if let Some(heading) = heading {
            let own = libm::atan2(to.y - from.y, to.x - from.x).to_degrees();
            // To a thousandth of a degree: 0.2 mm over twelve metres.
            let turn = (heading - own + 180.0).rem_euclid(360.0) - 180.0;
            next.turn = (turn * 1000.0).round() / 1000.0;
        }
        let moved = next.plan_from_picture(from);
        next.at = next.at.moved(a.x - moved.x, a.y - moved.y);
        Some(next)
    }
}

/// Least and greatest scale, mm to a pixel.
pub(crate) const SCALES: std::ops::RangeInclusive<f64> = 0.001..=10_000.0;

#[cfg(test)]
mod tests {
    use super::*;

    /// Similar triangles, written out: 300 pixels that are 4500 mm make 15 mm a pixel.
    #[test]
    fn two_points_and_a_length_set_it_to_scale() {
        let picture = Backdrop::new("scan.png", (800, 600), "");
        // Points 100, 50 and 400, 50 of the picture, as it lies at 10 mm a pixel.
        let (a, b) = (Point::new(1000.0, 500.0), Point::new(4000.0, 500.0));
        let set = picture.set_to_scale(a, b, 4500.0, None).unwrap();
        assert_eq!((set.scale, set.turn), (15.0, 0.0));
        assert_eq!(set.plan_from_picture(Point::new(100.0, 50.0)), a, "the first point stays");
        assert_eq!(set.plan_from_picture(Point::new(400.0, 50.0)), Point::new(5500.0, 500.0));
        assert_eq!(picture.set_to_scale(a, a, 4500.0, None), None);
        for length in [0.0, -3.0, f64::NAN, f64::INFINITY] {
            assert_eq!(picture.set_to_scale(a, b, length, None), None);
        }
    }

    /// A scan that lies askew by the angle of a 3-4-5 triangle: 36.8699° to the thousandth (atan 3/4).
    #[test]
    fn a_heading_turns_it_level() {
        let picture = Backdrop::new("scan.png", (800, 600), "");
        let (a, b) = (Point::new(1000.0, 1000.0), Point::new(5000.0, 4000.0));
        let set = picture.set_to_scale(a, b, 5000.0, Some(0.0)).unwrap();
        assert_eq!((set.scale, set.turn), (10.0, -36.87));
        let end = set.plan_from_picture(picture.picture_from_plan(b));
        assert!(end.distance(Point::new(6000.0, 1000.0)) < 0.1, "{end:?}");
        let upright = set.set_to_scale(a, end, 5000.0, Some(90.0)).unwrap();
        assert!((upright.turn - 53.13).abs() < 0.002, "{}", upright.turn);
    }

    #[test]
    fn points_go_there_and_back() {
        let picture =
            Backdrop { turn: 33.0, at: Point::new(-500.0, 70.0), ..Backdrop::new("a", (80, 60), "") };
        for p in [(0.0, 0.0), (79.0, 3.0), (12.5, 59.0)].map(Point::from) {
            assert!(picture.picture_from_plan(picture.plan_from_picture(p)).distance(p) < 1e-9);
        }
        assert_eq!(picture.corners()[0], picture.at);
    }
}
