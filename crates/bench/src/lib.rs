//! Benches of each stage and of the whole.
