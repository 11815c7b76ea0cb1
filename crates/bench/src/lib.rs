//! Plans that benches and measurements run on, the stages one by one, and what floors are measured against.

pub mod baselines;
pub mod cutting;
pub mod floors;
pub mod instances;
pub mod proof;
pub mod stages;
pub mod waste;

pub use instances::sample;
