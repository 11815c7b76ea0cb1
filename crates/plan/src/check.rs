//! Validation: every reason why a plan cannot be computed, with its place and mend.

use crate::Plan;

/// Where in the plan something is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// The plan as a whole, or one of its named values.
    Plan(&'static str),
    /// A value of the stock.
    Stock(&'static str),
    /// A value of the rules.
    Rules(&'static str),
    /// A room by index.
    Room(usize),
    /// A wall of a room, both by index.
    Wall(usize, usize),
    /// A doorway by index.
    Doorway(usize),
    /// A fixture by index.
    Fixture(usize),
}

/// One reason why a plan cannot be computed.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Where.
    pub place: Place,
    /// The place in words, such as `Hall, wall 3`.
    pub place_name: String,
    /// What is wrong.
    pub what: String,
    /// What would mend it.
    pub mend: String,
}

pub(crate) fn faults(_plan: &Plan) -> Vec<Problem> {
    Vec::new()
}

pub(crate) fn problems(_plan: &Plan) -> Vec<Problem> {
    Vec::new()
}
