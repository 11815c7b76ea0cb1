//! Floors that are not planned here, as far as levels are concerned.

use serde::{Deserialize, Serialize};

/// What a floor that is not boarded is, and how high it stands.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Surface {
    /// What it is: how boards may meet it.
    pub kind: SurfaceKind,
    /// Height of its finished top above its room's slab, mm; of what lies outside above the near room's slab.
    pub height: f64,
}

/// What a floor that is not boarded is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum SurfaceKind {
    /// Tile, stone, terrazzo: hard, to an edge of its own.
    Tile,
    /// Carpet, whose pile gives.
    Carpet,
    /// The slab itself.
    BareSlab,
    /// The track or sill of a door to the outside.
    Track,
}

impl SurfaceKind {
    /// Every kind, in the order in which they are offered.
    pub const ALL: [Self; 4] = [Self::Tile, Self::Carpet, Self::BareSlab, Self::Track];

    /// The trade's word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Tile => "tile",
            Self::Carpet => "carpet",
            Self::BareSlab => "bare slab",
            Self::Track => "track",
        }
    }
}
