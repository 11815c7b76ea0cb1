//! Rows, runs and boards: staggered joints from whole and left-over stock, cut to exact outlines.

mod types;

pub use types::{Board, End, Floor, Joint, Outline, Piece, Run, StockBoard};
