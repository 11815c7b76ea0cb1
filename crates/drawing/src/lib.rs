//! One neutral drawing of the floor for screen and paper.
//!
//! A drawing holds paths and labels in plan millimetres (y up) with roles instead of colours: each
//! output gives a role its own ink. Line weights and text sizes are in paper millimetres, so a
//! drawing reads the same at any scale.

mod types;

pub use types::{Anchor, Drawing, Item, Label, Role, Shape};
