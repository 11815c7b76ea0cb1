//! What the seasons do, of the result.

use super::Xy;
use serde::Deserialize;

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Seasons {
    pub(crate) moisture: Moisture,
    pub(crate) coefficients: Coefficients,
    pub(crate) widths: Vec<Stretch>,
    pub(crate) lengths: Vec<Stretch>,
    pub(crate) opening: f64,
    pub(crate) greatest_opening: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Moisture {
    pub(crate) laid: f64,
    pub(crate) driest: f64,
    pub(crate) dampest: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Coefficients {
    pub(crate) free: f64,
    pub(crate) built: f64,
    pub(crate) along: f64,
    pub(crate) held_back: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Stretch {
    pub(crate) region: usize,
    pub(crate) extent: f64,
    pub(crate) from: Xy,
    pub(crate) to: Xy,
    pub(crate) ends: Vec<StretchEnd>,
    pub(crate) swells: Change,
    pub(crate) shrinks: Change,
    pub(crate) room: Option<f64>,
    pub(crate) left: Option<f64>,
    pub(crate) published_gap: PublishedGap,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct StretchEnd {
    pub(crate) edge: String,
    pub(crate) place: String,
    pub(crate) room: Option<f64>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Change {
    pub(crate) free: f64,
    pub(crate) built: f64,
    pub(crate) expected: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct PublishedGap {
    pub(crate) least: f64,
    pub(crate) greatest: Option<f64>,
}
