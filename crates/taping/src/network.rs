//! Points and the lengths measured between them.

use plan::Point;

/// A measured length between two points, both by index.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// One end.
    pub from: usize,
    /// The other end.
    pub to: usize,
    /// What was measured, mm.
    pub length: f64,
    /// How far that may be out, one standard deviation, mm, above 0.
    pub good_to: f64,
}

/// Points whose places are roughly known, and the lengths between them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Network {
    /// Places to start from: near enough that the shape is the right one of those with these lengths.
    pub points: Vec<Point>,
    /// Points that stay where they are, by index. With none, the points as a whole keep their place and turn.
    pub held: Vec<usize>,
    /// The lengths.
    pub spans: Vec<Span>,
}

/// Why points cannot be found from lengths.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Trouble {
    /// A length is between points that are none, or no length.
    #[error("length {} is between two points that are none, or is no length", .0 + 1)]
    BadSpan(usize),
    /// More unknowns than a room has.
    #[error("more than {} points are to be found at once", crate::adjust::MOST_POINTS)]
    TooMany,
    /// The lengths leave the shape loose.
    #[error("the lengths leave the shape loose in {missing} ways")]
    Loose {
        /// How many more lengths are needed.
        missing: usize,
    },
    /// No shape near the one drawn has such lengths.
    #[error("no shape near the one drawn has such lengths")]
    NotNear,
}
