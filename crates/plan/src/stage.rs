//! A house laid in parts: stages with their rooms and days, and waits between steps.

use serde::{Deserialize, Serialize};

/// Rooms that are laid together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stage {
    /// What it is called.
    pub name: String,
    /// Its rooms, by name; a room belongs to one stage.
    pub rooms: Vec<String>,
    /// The day on which its laying begins, from 1. Several days may be needed; stages go by their days, then by their
    /// order in the plan.
    pub day: u32,
    /// Hours its laying takes, as far as that is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<f64>,
}

/// Hours between steps, as the makers' sheets have them; what is left out is not known.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Waits {
    /// After leveller is poured, before anything covers it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leveller: Option<f64>,
    /// After primer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub primer: Option<f64>,
    /// After each coat of the moisture barrier.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub barrier_coat: Option<f64>,
    /// After the last board, before anyone walks on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub walk: Option<f64>,
    /// After the last board, before packs, furniture or other trades' loads stand on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load: Option<f64>,
}

impl Waits {
    /// Whether none is known.
    pub fn are_unknown(&self) -> bool {
        *self == Self::default()
    }

    /// Every wait with its name in the plan file.
    pub fn all(&self) -> [(&'static str, Option<f64>); 5] {
        [
            ("leveller", self.leveller),
            ("primer", self.primer),
            ("barrier_coat", self.barrier_coat),
            ("walk", self.walk),
            ("load", self.load),
        ]
    }
}
