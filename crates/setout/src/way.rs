//! Which way something lies on the plan, as a person looks at it.

use plan::Point;
use site::{Site, Uv};

/// One of the four ways on the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Way {
    Up,
    Down,
    Left,
    Right,
}

impl Way {
    /// The way nearest to a direction in row coordinates.
    pub(crate) fn of(site: &Site, direction: Uv) -> Self {
        let Point { x, y } = site.frame.plan_from_row(direction);
        match (y.abs() >= x.abs(), y > 0.0, x > 0.0) {
            (true, true, _) => Self::Up,
            (true, false, _) => Self::Down,
            (false, _, true) => Self::Right,
            (false, _, false) => Self::Left,
        }
    }

    /// `up the plan`.
    pub(crate) fn along(self) -> &'static str {
        match self {
            Self::Up => "up the plan",
            Self::Down => "down the plan",
            Self::Left => "to the left",
            Self::Right => "to the right",
        }
    }

    /// `above it`.
    pub(crate) fn beside(self) -> &'static str {
        match self {
            Self::Up => "above it",
            Self::Down => "below it",
            Self::Left => "left of it",
            Self::Right => "right of it",
        }
    }
}
