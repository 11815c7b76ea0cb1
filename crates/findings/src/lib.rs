//! Flags on a laid floor, each with a place, a figure, a limit and a mend.

mod boards;
mod courses;
mod fitting;
mod inspect;
mod joints;
mod look;
#[cfg(test)]
mod look_tests;
mod points;
mod scene;
#[cfg(test)]
mod tests;
mod types;

pub use inspect::inspect;
pub use look::{Look, Spacing, look};

pub use types::{Flag, FlagKind, Severity, Subject};
