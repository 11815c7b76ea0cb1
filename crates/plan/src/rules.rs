//! Limits the floor is held to, with their defaults.

use crate::{CoverRules, KindGaps, LevelRules};
use serde::{Deserialize, Serialize};

/// An expansion gap as a range, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GapRange {
    /// The least that movement needs.
    pub least: f64,
    /// The greatest that the cover allows.
    pub greatest: f64,
}

/// Limits and gaps, mm. Defaults are common practice without a source unless docs/rules.md names one;
/// local codes and the makers' instructions come first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rules {
    /// Gap at walls, frames and fixed cabinets.
    pub wall_gap: GapRange,
    /// Gap where the boards' ends meet tile, a trim, or one another under a leaf.
    pub tile_end_gap: f64,
    /// A rip narrower than this is a sliver.
    pub least_rip: f64,
    /// A starter or closer shorter than this is a short end board.
    pub least_end: f64,
    /// Least distance between end joints of neighbouring rows.
    pub least_stagger: f64,
    /// Joints within this distance count as in line (H joints and stairs).
    pub in_line: f64,
    /// A leg left beside a notch thinner than this is weak.
    pub least_leg: f64,
    /// Greatest continuous floor across the boards without a movement joint.
    pub greatest_width: f64,
    /// Greatest continuous floor along the boards without a movement joint.
    pub greatest_length: f64,
    /// How true the start line can be snapped: the set-out is judged at its worst within this.
    pub line_tolerance: f64,
    /// How far a folded or tilted board stands off its end joint before it is tapped home; `None` for
    /// [`Rules::USUAL_TRAVEL`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub travel: Option<f64>,
    /// Free room a board needs on the side away from the laid row to be folded or tilted in; `None` reckons it from
    /// the board's width and thickness.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tilt_room: Option<f64>,
    /// Free room a board needs to be drawn home on to a tongue; `None` for the depth of the tongue.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slide_room: Option<f64>,
    /// Gaps of kinds of edges that differ from the wall gap.
    #[serde(default, skip_serializing_if = "KindGaps::is_empty")]
    pub gaps: KindGaps,
    /// What covers the gaps.
    #[serde(default, skip_serializing_if = "CoverRules::is_empty")]
    pub cover: CoverRules,
    /// Limits on steps, leaves, appliances and kicks.
    #[serde(default, skip_serializing_if = "LevelRules::is_empty")]
    pub levels: LevelRules,
}

impl Rules {
    /// How far a folded board stands off its end joint, mm. Common practice, no source.
    pub const USUAL_TRAVEL: f64 = 5.0;

    /// How far a folded or tilted board stands off its end joint before it is tapped home, mm.
    pub fn travel(&self) -> f64 {
        self.travel.unwrap_or(Self::USUAL_TRAVEL)
    }
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            wall_gap: GapRange { least: 10.0, greatest: 14.0 },
            tile_end_gap: 5.0,
            least_rip: 50.0,
            least_end: 300.0,
            least_stagger: 300.0,
            in_line: 10.0,
            least_leg: 30.0,
            greatest_width: 8000.0,
            greatest_length: 16000.0,
            line_tolerance: 2.0,
            travel: None,
            tilt_room: None,
            slide_room: None,
            gaps: KindGaps::default(),
            cover: CoverRules::default(),
            levels: LevelRules::default(),
        }
    }
}
