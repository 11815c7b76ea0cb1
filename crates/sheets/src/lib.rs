//! Paper and files: PDF, SVG and PNG from the one drawing.
//!
//! Pages are placed drawings and writing in paper millimetres, y down, whatever they are written to.
//! Everything is a pure function of the house and the options: no file is read, no clock is asked.

mod control_sheet;
mod doorways_sheet;
mod error;
mod fit_sheet;
mod flags_sheet;
mod floor_sheet;
mod flow;
mod font;
mod laid_sheet;
mod lay_sheet;
mod materials_sheet;
mod movement_sheet;
mod page;
mod paper;
mod pdf;
mod placing;
mod png;
mod saw_sheet;
mod set;
mod setout_sheet;
mod slab_sheet;
mod stages_sheet;
mod svg;
mod words;

pub use error::SheetError;
pub use page::{Mark, Page};
pub use paper::Paper;
pub use pdf::pdf;
pub use placing::{Placing, marks_of};
pub use png::{PNG_SIDE_LIMIT, PngSize, png};
pub use set::{SetOptions, SheetSet, revision, set, write_set};
pub use svg::{floor_svg, svg};

#[cfg(test)]
mod outputs;
#[cfg(test)]
#[path = "../../drawing/src/testing.rs"]
mod testing;
