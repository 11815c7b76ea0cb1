//! Paper and files: PDF, SVG, PNG and DXF from the one drawing; the lists as a workbook and CSV.
//!
//! Pages are placed drawings and writing in paper millimetres, y down, whatever they are written to.
//! Everything is a pure function of the house and the options: no file is read, no clock is asked.

mod book;
mod bound;
mod carry;
mod control_sheet;
mod doorways_sheet;
mod dxf;
mod error;
mod fit_sheet;
mod flags_sheet;
mod floor_sheet;
mod flow;
mod font;
mod laid_sheet;
mod lay_sheet;
mod layer;
mod lists;
mod materials_sheet;
mod movement_sheet;
mod owner_sheet;
mod page;
mod page_head;
mod paper;
mod pdf;
mod placing;
mod png;
mod saw_sheet;
mod set;
mod setout_sheet;
mod setout_steps;
mod shaping;
mod sheet;
mod slab_sheet;
mod stages_sheet;
mod svg;
mod tagging;
mod tiles;
mod told;
mod words;
mod write;
mod yields;

pub use book::workbook;
pub use dxf::floor_dxf;
pub use error::SheetError;
pub use layer::{LAYERS, Layer, layer_of};
pub use lists::tables;
pub use page::{Cell, Mark, Page, Part};
pub use paper::Paper;
pub use pdf::pdf;
pub use placing::{Placing, marks_of};
pub use png::{PNG_SIDE_LIMIT, Picture, PngSize, page_picture, png};
pub use set::{SetOptions, mark, revision, set};
pub use sheet::Sheet;
pub use svg::{floor_svg, svg};
pub use write::{OutFile, Output, PICTURE_WIDTH, WriteOptions, write_set};

#[cfg(test)]
mod on_paper;
#[cfg(test)]
mod outputs;
#[cfg(test)]
mod poppler;
#[cfg(test)]
mod read_back;
#[cfg(test)]
mod samples;
#[cfg(test)]
#[path = "../../drawing/src/testing.rs"]
mod testing;
