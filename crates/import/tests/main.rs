//! Drawings of other programs, sound and damaged.

mod hostile;
mod outlines;
