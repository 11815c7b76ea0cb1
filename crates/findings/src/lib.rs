//! Flags on a laid floor, each with a place, a figure, a limit and a mend.

mod types;

pub use types::{Flag, FlagKind, Severity, Subject};
