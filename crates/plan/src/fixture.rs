//! Fixtures: things that stand on, or are let into, the floor.

use crate::{GapRange, Point};
use serde::{Deserialize, Serialize};

/// A fixture with its outline in plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fixture {
    /// Name, unique among the fixtures.
    pub name: String,
    /// What it is.
    pub kind: FixtureKind,
    /// This fixture's own gap where it differs from the rules'.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gap: Option<GapRange>,
    /// How far what is fixed round it reaches over the floor from its outline, mm: a vent's flange, a column's
    /// collar, a bead along a hearth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cover: Option<f64>,
    /// An appliance that stands on the slab in it and has to come out over the floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub appliance: Option<Appliance>,
    /// Outline, in either direction.
    pub outline: Vec<Point>,
}

impl Fixture {
    /// A fixture with the rules' gap, nothing fixed round it and no appliance in it.
    pub fn plain(name: impl Into<String>, kind: FixtureKind, outline: Vec<Point>) -> Self {
        Self { name: name.into(), kind, gap: None, cover: None, appliance: None, outline }
    }
}

/// A built-in appliance under a worktop, mm above the slab.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Appliance {
    /// Height of the appliance with its feet wound in.
    pub height: f64,
    /// Height of the opening, from the slab to the worktop's underside.
    pub opening: f64,
}

/// What a fixture is and how the boards meet it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum FixtureKind {
    /// An island, peninsula, bench or cabinet down to the slab: boards stop at a gap.
    Island,
    /// A cabinet whose kick stands clear of the slab: boards slide under it.
    Kick {
        /// Height of the kick above the slab, mm.
        clearance: f64,
        /// How far the boards go under its face, mm.
        tuck: f64,
    },
    /// A column or post.
    Column,
    /// A hearth.
    Hearth,
    /// An area of tile or stone with a trim round it.
    TileArea {
        /// Visible width of the trim, mm; it belongs to the tile's outline.
        trim: f64,
    },
    /// A rebate in the slab, filled with leveller before boards cover it.
    Rebate {
        /// Depth, mm.
        depth: f64,
    },
    /// A low spot of the slab, filled with leveller before boards cover it.
    LowSpot {
        /// Mean depth, mm.
        depth: f64,
    },
    /// A floor vent.
    Vent,
    /// The opening of a stair.
    Stair {
        /// Width of the nosing, which takes the place of boards along the edge, mm.
        nosing: f64,
    },
}

impl FixtureKind {
    /// Whether boards pass over it, so that nothing is cut out.
    pub fn is_under_boards(self) -> bool {
        matches!(self, Self::Rebate { .. } | Self::LowSpot { .. })
    }
}
