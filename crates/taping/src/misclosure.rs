//! How far walls laid off one after another end from where they began.

use plan::Point;

/// The gap between where a round of walls began and where it ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Misclosure {
    /// End less beginning, mm.
    pub gap: Point,
    /// Its length, mm.
    pub length: f64,
    /// Length of all walls, mm.
    pub perimeter: f64,
}

impl Misclosure {
    /// The perimeter over the gap: 1 in so many. `None` where the round closes.
    pub fn one_in(&self) -> Option<f64> {
        (self.length > 0.0).then(|| self.perimeter / self.length)
    }
}

/// Lays off walls one after another, each a length (mm) in a direction (unit vector).
pub fn misclosure(walls: impl IntoIterator<Item = (f64, Point)>) -> Misclosure {
    let mut end = Point::default();
    let mut perimeter = 0.0;
    for (length, along) in walls {
        end = end.moved(along.x * length, along.y * length);
        perimeter += length;
    }
    Misclosure { gap: end, length: end.distance(Point::default()), perimeter }
}
