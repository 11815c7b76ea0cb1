//! Real programs that save, killed and cut off.

mod gone;
mod killed;
