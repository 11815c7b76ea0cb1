//! The air of the house: what the wood's moisture follows.

use serde::{Deserialize, Serialize};

/// The air the floor lives in.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seasons {
    /// While the boards are laid.
    pub laid: Climate,
    /// The driest weeks of the year, heating on.
    pub driest: Climate,
    /// The dampest weeks of the year.
    pub dampest: Climate,
}

/// What a floor's wood comes to rest at: from the air, or as a meter reads it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Climate {
    /// Air, from which the wood's moisture is computed.
    Air {
        /// Temperature, °C.
        degrees: f64,
        /// Relative humidity, percent.
        humidity: f64,
    },
    /// Moisture content of the wood itself, percent of its dry weight.
    Moisture(f64),
}

impl Seasons {
    /// The three, each with the name of its field.
    pub fn each(&self) -> [(&'static str, Climate); 3] {
        [("laid", self.laid), ("driest", self.driest), ("dampest", self.dampest)]
    }
}

impl Default for Seasons {
    /// What is offered first, to be typed over: a heated house of a temperate climate. Common practice, no source.
    fn default() -> Self {
        Self {
            laid: Climate::Air { degrees: 20.0, humidity: 50.0 },
            driest: Climate::Air { degrees: 21.0, humidity: 35.0 },
            dampest: Climate::Air { degrees: 22.0, humidity: 65.0 },
        }
    }
}
