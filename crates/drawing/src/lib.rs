//! One neutral drawing of the floor for screen and paper.
//!
//! A drawing holds paths and labels in plan millimetres (y up) with roles instead of colours: each
//! output gives a role its own ink. Line weights and text sizes are in paper millimetres, so a
//! drawing reads the same at any scale.

mod board;
mod board_labels;
mod cells;
mod control;
mod dimensions;
#[cfg(test)]
mod doorway_tests;
mod doorways;
mod fixtures;
mod flags;
mod floor;
mod geometry;
mod grain;
mod ink;
mod joints;
mod kept;
mod lead;
mod names;
mod place;
mod plate;
mod pulls;
mod rips;
mod rooms;
mod section;
mod stages;
mod types;
mod walls;
mod way;

pub use board::{MeasuredFrom, board_drawing};
pub use floor::{OnDemand, floor_drawing, floor_drawing_with};
pub use ink::{Ink, Rgb, paper_ink};
pub use lead::KEY_LINES;
pub use plate::{PlateKind, label_extent, plate_path, rough_width};
pub use rips::{RipSide, rip_figure, rip_sides, side_figure, side_seen};
pub use section::{doorway_section, section_span};
pub use types::{Anchor, Boards, Drawing, Item, KeyLine, Label, Options, Role, Shape};
pub use walls::body_thickness;
pub use way::{FirstBoard, first_board, first_board_in};

#[cfg(test)]
mod testing;
