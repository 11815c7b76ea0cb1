//! How often a pattern repeats across and along its rows or axis, and where its pieces begin and end.

use crate::value::enough;
use plan::{Pattern, Plan};
use std::f64::consts::FRAC_1_SQRT_2;

/// One direction of a pattern: lines that repeat, and what a piece at an edge is measured from.
///
/// In rows a rip is measured from a row line. Blocks aslant reach past their line by their corners: those
/// that begin at it start a little before, those that end at it stop a little after. Moving the edges out by
/// as much gives the piece at an edge as the same sawtooth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pace {
    /// Distance between the lines, mm.
    pub(crate) pitch: f64,
    /// The least piece at an edge, measured square to the lines, mm.
    pub(crate) least: f64,
    /// Pieces wider than this look no better for being wider, mm. Half a board in rows; blocks aslant show at
    /// every wall whether they are centred, so there all is told apart.
    pub(crate) enough: f64,
    /// How far edges with the floor above them are moved, mm.
    pub(crate) low_edges: f64,
    /// How far edges with the floor below them are moved, mm.
    pub(crate) high_edges: f64,
}

impl Pace {
    /// Across the rows, or across the pattern's axis.
    ///
    /// Herringbone of blocks L long, W wide abreast: axis lines L/√2 apart, whose blocks reach W/(2√2) past
    /// them. Chevron: mitre lines L·cos(mitre) apart; the piece at a wall is a block's end.
    pub(crate) fn across(plan: &Plan) -> Self {
        let (pitch, least) = (plan.stock.pitch(), plan.rules.least_rip);
        match plan.pattern {
            Pattern::Irregular | Pattern::Half | Pattern::Third => {
                Self { pitch, least, enough: enough(pitch), low_edges: 0.0, high_edges: 0.0 }
            }
            Pattern::Herringbone { block, abreast } => {
                let lines = block * FRAC_1_SQRT_2;
                let past = f64::from(abreast) * pitch * FRAC_1_SQRT_2 / 2.0;
                let least = least.min(lines / 2.0);
                Self { pitch: lines, least, enough: enough(2.0 * lines), low_edges: -past, high_edges: past }
            }
            Pattern::Chevron { block, mitre } => {
                let cos = libm::cos(mitre.to_radians());
                let (lines, end) = (block * cos, plan.rules.least_end * cos);
                let least = end.min(lines / 2.0);
                Self { pitch: lines, least, enough: enough(2.0 * lines), low_edges: 0.0, high_edges: 0.0 }
            }
        }
    }

    /// Along the axis of a pattern of blocks; `None` for rows.
    ///
    /// Herringbone: blocks w wide begin every w/√2 and are (L + w)/√2 long that way. Chevron: the points of a
    /// line stand w/cos(mitre) apart, the blocks' other ends H·tan(mitre) behind them, H being the distance
    /// between mitre lines.
    pub(crate) fn along(plan: &Plan) -> Option<Self> {
        let (width, least) = (plan.stock.pitch(), plan.rules.least_rip);
        match plan.pattern {
            Pattern::Irregular | Pattern::Half | Pattern::Third => None,
            Pattern::Herringbone { block, .. } => {
                let pitch = width * FRAC_1_SQRT_2;
                let long = (block + width) * FRAC_1_SQRT_2;
                let least = least.min(pitch / 2.0);
                Some(Self { pitch, least, enough: enough(2.0 * pitch), low_edges: -long, high_edges: 0.0 })
            }
            Pattern::Chevron { block, mitre } => {
                let (sin, cos) = (libm::sin(mitre.to_radians()), libm::cos(mitre.to_radians()));
                let pitch = width / cos;
                let (least, high_edges) = (least.min(pitch / 2.0), block * sin);
                Some(Self { pitch, least, enough: enough(2.0 * pitch), low_edges: 0.0, high_edges })
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Blocks 600 long mitred at 45°: mitre lines 600 · cos 45° = 424.26 apart, and of a least end of 200 along a block
    /// 200 · cos 45° = 141.42 square to them. At 30° the cosine is 0.8660: 519.62 and 173.21.
    #[test]
    fn a_least_end_along_a_block_is_less_across_it() {
        for (mitre, lines, least) in [(45.0, 424.264, 141.421), (30.0, 519.615, 173.205)] {
            let mut plan = Plan::new("t");
            plan.pattern = Pattern::Chevron { block: 600.0, mitre };
            plan.rules.least_end = 200.0;
            let pace = Pace::across(&plan);
            assert!((pace.pitch - lines).abs() < 1e-3 && (pace.least - least).abs() < 1e-3, "{pace:?}");
        }
    }
}
