//! A closed outline as a file has it, in millimetres.

use crate::limits::{FARTHEST, LARGEST, MOST_CORNERS, MOST_POINTS};
use crate::{Fault, FaultKind};
use kurbo::{Point, Rect};

/// One side: from its corner to the next side's, by way of the points of a curve made straight.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Side {
    pub(crate) from: Point,
    pub(crate) through: Vec<Point>,
}

impl Side {
    pub(crate) fn straight(from: Point) -> Self {
        Self { from, through: Vec::new() }
    }
}

/// A closed outline.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Ring {
    /// What it is in the file's words: `polyline 3 on layer ROOMS`.
    pub(crate) place: String,
    pub(crate) layer: String,
    /// The name it carries itself.
    pub(crate) name: Option<String>,
    pub(crate) sides: Vec<Side>,
}

impl Ring {
    /// Every point round it.
    pub(crate) fn points(&self) -> impl Iterator<Item = Point> {
        self.sides.iter().flat_map(|side| std::iter::once(side.from).chain(side.through.iter().copied()))
    }

    pub(crate) fn point_count(&self) -> usize {
        self.sides.iter().map(|side| 1 + side.through.len()).sum()
    }

    pub(crate) fn bounds(&self) -> Rect {
        bounds(self.points())
    }

    /// Its fault, if it is too much for a room.
    pub(crate) fn fault(&self) -> Option<Fault> {
        let fault = |kind, what: String, mend: &str| Some(Fault::new(kind, self.place.as_str(), what, mend));
        if self.sides.len() > MOST_CORNERS || self.point_count() > MOST_POINTS {
            let what = format!("it has {} corners, more than {MOST_CORNERS}", self.sides.len());
            return fault(FaultKind::TooManyPoints, what, "draw it with fewer");
        }
        let bounds = self.bounds();
        if bounds.width().max(bounds.height()) > LARGEST {
            let what =
                format!("it is {:.0} mm long, more than a kilometre", bounds.width().max(bounds.height()));
            return fault(FaultKind::OutOfRange, what, "name the unit in which the file is drawn");
        }
        None
    }
}

pub(crate) fn bounds(points: impl Iterator<Item = Point>) -> Rect {
    points.map(|p| Rect::from_points(p, p)).reduce(|all, one| all.union(one)).unwrap_or_default()
}

/// Whether a coordinate can be reckoned with, mm.
pub(crate) fn is_near(p: Point) -> bool {
    p.x.abs() <= FARTHEST && p.y.abs() <= FARTHEST
}

/// The fault of a coordinate that cannot.
pub(crate) fn far(place: &str) -> Fault {
    Fault::new(
        FaultKind::OutOfRange,
        place,
        "a corner is no number or lies farther away than the earth is round",
        "draw it again, or name the unit in which the file is drawn",
    )
}
