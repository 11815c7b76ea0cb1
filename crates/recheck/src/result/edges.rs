//! Doorways, covers, kicks and appliances of the result.

use super::Xy;
use serde::Deserialize;

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Edges {
    pub(crate) doorways: Vec<DoorwayLine>,
    pub(crate) covers: Vec<Cover>,
    pub(crate) tucks: Vec<Tuck>,
    pub(crate) appliances: Vec<Appliance>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct DoorwayLine {
    pub(crate) name: String,
    pub(crate) boards: String,
    pub(crate) stops: Vec<Stop>,
    pub(crate) sides: [FloorSide; 2],
    pub(crate) step: Option<LevelStep>,
    pub(crate) leaf: Option<LeafRoom>,
    pub(crate) arris: Option<ArrisCut>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Stop {
    pub(crate) boards: String,
    pub(crate) from: Xy,
    pub(crate) to: Xy,
    pub(crate) from_near: [f64; 2],
    pub(crate) from_far: [f64; 2],
    pub(crate) off_jambs: [f64; 2],
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
pub(crate) struct FloorSide {
    pub(crate) room: Option<String>,
    pub(crate) slab: f64,
    pub(crate) covering: Option<String>,
    pub(crate) level: Option<f64>,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct LevelStep {
    pub(crate) rise: f64,
    pub(crate) finish: String,
    pub(crate) run: f64,
    pub(crate) limit: f64,
    pub(crate) too_high: bool,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct LeafRoom {
    pub(crate) clearance: f64,
    pub(crate) take_off: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct ArrisCut {
    pub(crate) arris: String,
    pub(crate) depth: f64,
    pub(crate) wear_layer: Option<f64>,
    pub(crate) through: bool,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Cover {
    pub(crate) place: String,
    pub(crate) edge: String,
    pub(crate) by: String,
    pub(crate) reach: Option<f64>,
    pub(crate) gap: [f64; 2],
    pub(crate) widest: f64,
    pub(crate) left: Option<f64>,
    pub(crate) length: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Tuck {
    pub(crate) place: String,
    pub(crate) clearance: f64,
    pub(crate) build_up: f64,
    pub(crate) depth: f64,
}

#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Appliance {
    pub(crate) clearance: f64,
}
