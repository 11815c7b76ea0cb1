//! Rows, runs and boards: staggered joints from whole and left-over stock, cut to exact outlines.

mod abreast;
mod again;
mod backwards;
mod build;
mod cut;
mod floor;
mod ground;
#[cfg(test)]
mod held_tests;
mod keep;
mod label;
mod letters;
mod level;
mod lots;
mod menu;
mod narrow;
mod nest;
mod pattern;
mod profile;
mod ranked;
mod rips;
mod rules;
mod search;
mod seen;
mod shelf;
mod shorts;
mod slice;
mod state;
mod taken;
mod taper;
mod task;
#[cfg(test)]
mod tests;
mod touch;
mod types;
mod weave;
mod width;
mod yard;

pub use again::Layer;
pub use backwards::{Entered, Meeting, RunPlace, entered, meeting};
pub use floor::{lay, search};
pub use lots::deal;
pub use narrow::{Narrow, narrow};
pub use rules::STAIR_STEP;
pub use search::Progress;
pub use shorts::Shorts;
pub use slice::{slice, slice_across, slice_run};
pub use taper::{KeptEdge, RipMark, Taper};
pub use yard::WORTH_KEEPING;

pub use types::{Board, End, Floor, Hand, Joint, LaidFloor, Misfit, Outline, Piece, Run, Short, StockBoard};
