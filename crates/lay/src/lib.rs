//! Rows, runs and boards: staggered joints from whole and left-over stock, cut to exact outlines.

mod floor;
mod pattern;
mod slice;
mod stagger;
#[cfg(test)]
mod tests;
mod touch;
mod types;
mod yard;

pub use floor::lay;
pub use slice::{slice, slice_across};
pub use stagger::STAIR_STEP;

pub use types::{Board, End, Floor, Hand, Joint, Outline, Piece, Run, StockBoard};
