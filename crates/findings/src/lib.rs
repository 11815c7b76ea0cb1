//! Flags on a laid floor, each with a place, a figure, a limit and a mend.

mod boards;
mod continuous;
mod courses;
mod doorways;
#[cfg(test)]
mod edge_tests;
mod edges;
mod fitting;
mod inspect;
mod joints;
mod kind;
mod laid;
mod look;
#[cfg(test)]
mod look_tests;
mod many_packs;
mod movement;
#[cfg(test)]
mod movement_tests;
mod points;
mod scene;
mod shorts;
mod slab;
#[cfg(test)]
mod tests;
mod types;

pub use boards::lies_along;
pub use inspect::inspect;
pub use kind::{FlagKind, Measure};
pub use look::{Look, Spacing, look};
pub use slab::{CAUTIONS, PointState, SlabItem, days_to_dry, dryness_limit, readings_needed, slab_list};
pub use types::{Flag, Severity, Subject, Together, together};
