//! What covers the gaps, and gaps that differ from edge to edge.

use crate::GapRange;
use serde::{Deserialize, Serialize};

/// The skirting of one wall, where it differs from the rules'.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Skirting {
    /// There is none and none comes: the gap stays in sight, and is filled.
    Without,
    /// It is still to be bought: what it has to cover is said.
    ToCome,
    /// One this thick, mm.
    Thick(f64),
}

/// Gaps of kinds of edges that differ from the wall gap, mm; what is left out has the wall gap.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KindGaps {
    /// Track or frame of glazing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub glazing: Option<GapRange>,
    /// Fixed cabinets along a wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cabinets: Option<GapRange>,
    /// Islands and other cabinets down to the slab.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub islands: Option<GapRange>,
    /// Columns and posts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub columns: Option<GapRange>,
    /// Hearths.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hearths: Option<GapRange>,
    /// Floor vents.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vents: Option<GapRange>,
    /// The sides of doorways.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub jambs: Option<GapRange>,
    /// Tile and trims that the boards meet with their sides; their ends have the tile end gap.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tile_sides: Option<GapRange>,
}

impl KindGaps {
    /// Every kind with its field's name and the words for it, in the order in which they are offered.
    pub const FIELDS: [(&'static str, &'static str); 8] = [
        ("glazing", "gap at glazing"),
        ("cabinets", "gap at cabinets"),
        ("islands", "gap at islands"),
        ("columns", "gap at columns"),
        ("hearths", "gap at hearths"),
        ("vents", "gap at vents"),
        ("jambs", "gap at jambs"),
        ("tile_sides", "gap where sides meet tile"),
    ];

    /// The gaps in the order of [`KindGaps::FIELDS`].
    pub fn all(&self) -> [Option<GapRange>; 8] {
        let Self { glazing, cabinets, islands, columns, hearths, vents, jambs, tile_sides } = *self;
        [glazing, cabinets, islands, columns, hearths, vents, jambs, tile_sides]
    }

    /// The gap at a place in the order of [`KindGaps::FIELDS`], to be changed; `None` past the last.
    pub fn get_mut(&mut self, place: usize) -> Option<&mut Option<GapRange>> {
        let Self { glazing, cabinets, islands, columns, hearths, vents, jambs, tile_sides } = self;
        [glazing, cabinets, islands, columns, hearths, vents, jambs, tile_sides].into_iter().nth(place)
    }

    /// Whether every kind has the wall gap.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// What covers the gaps, mm. Nothing is held to a limit before a thickness is given.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoverRules {
    /// Thickness of the skirting.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub skirting: Option<f64>,
    /// Thickness of the architraves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub architrave: Option<f64>,
    /// Least cover that must be left over the widest gap; 3 where left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least: Option<f64>,
    /// How far a cut at an edge may be off; 1 where left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerance: Option<f64>,
}

impl CoverRules {
    /// Least cover left over the widest gap, mm: ours, what an 18 mm skirting leaves over a gap of 14 cut to 1.
    pub const LEAST: f64 = 3.0;
    /// How far a cut at an edge may be off, mm: ours.
    pub const TOLERANCE: f64 = 1.0;

    /// Least cover in force, mm.
    pub fn least(&self) -> f64 {
        self.least.unwrap_or(Self::LEAST)
    }

    /// Tolerance in force, mm.
    pub fn tolerance(&self) -> f64 {
        self.tolerance.unwrap_or(Self::TOLERANCE)
    }

    /// Whether nothing is given.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
