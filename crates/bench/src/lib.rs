//! Plans that benches and measurements run on, and what their floors are measured against.

pub mod baselines;
pub mod instances;
pub mod proof;

pub use instances::sample;
