//! Corners of a room from taped lengths: least squares, residuals, the length most likely wrong.
//!
//! Rooms are not square. Their walls and a few diagonals are taped, more than shape alone needs, and no two tapes agree
//! to the millimetre. [`room_tape`] finds the corners that leave the least sum of squared residuals, each divided by how
//! far its tape may be out, and says which length disagrees with the rest. [`set_corners`] puts them into the plan.
//!
//! Lengths are millimetres. The crate knows the plan and no stage of a floor.

mod adjust;
mod doubt;
mod meeting;
mod misclosure;
mod network;
mod room;
mod rough;
mod words;

pub use adjust::{Adjusted, Fitted, adjust};
pub use doubt::{AGREED, DOUBTED, Doubt};
pub use misclosure::{Misclosure, misclosure};
pub use network::{Network, Span, Trouble};
pub use room::{Line, RoomTape, RoomTrouble, put_length, room_tape, set_corners, take_out, wanted};
pub use rough::{Leg, add_taped_room, rough_shape};
pub use words::{corners_warning, doubt_words, room_words, unit_words};
