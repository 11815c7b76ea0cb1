//! What a line is worth, in bands.

use plan::{Plan, format_length};
use std::cmp::Ordering;

/// Weighted lengths of edge under the least rip are told apart in steps of this, mm. Ours, no source.
pub(crate) const SHORT_BAND: f64 = 100.0;
/// Narrowest rips are told apart in steps of this, mm. Ours, no source.
pub(crate) const RIP_BAND: f64 = 5.0;
/// Differences between two sides that are seen together are told apart in steps of this, mm. Ours, no source.
pub(crate) const SIDES_BAND: f64 = 10.0;
/// Lengths of edge to be ripped are told apart in steps of this, mm. Ours, no source.
pub(crate) const RIPPED_BAND: f64 = 500.0;
/// A taper of less than this is not seen, mm. Common practice, no source.
pub(crate) const SEEN_TAPER: f64 = 3.0;
/// What tables call the length of edge that a line leaves under the least where it is drawn.
pub const UNDER_LEAST: &str = "under least";
/// A rip, or a length under the least, that misses its band by no more than this is in it, mm. Walls drawn to the millimetre often
/// bring two parts to their limits on one line: rounding of the boundary, some hundred-thousandths, must not decide whether a line
/// has both. Larger, and it would be seen in figures.
pub(crate) const EVEN: f64 = 1e-3;
/// A difference, or a length to be ripped, that keeps under its band's limit by no more than this is over it, mm. It is more than
/// [`EVEN`], so that a line on which a rip just reaches its band and a difference just its limit has the first and not the second,
/// as it would without rounding.
pub(crate) const REACHED: f64 = 2.0 * EVEN;
/// Figures that are one but for the order in which they are reckoned differ by less, mm: on the limit itself all are in one band.
const SAME_FIGURE: f64 = 1e-6;

/// What tables call the same length with what falls under the least if the line is snapped out by the rules' tolerance:
/// `line 2 out`.
pub fn line_out(plan: &Plan) -> String {
    let tolerance = (plan.rules.line_tolerance * 10.0).round() / 10.0;
    format!("line {} out", format_length(tolerance, plan.units))
}

/// What a line is worth. Real numbers never tie, so it is compared in bands, part by part: see [`Value::bands`].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Value {
    /// Length of edge whose seen rip is under the least within the line tolerance, each edge weighed by how much it
    /// is seen (an open room counts whole), mm.
    pub short: f64,
    /// Narrowest seen rip in view within the line tolerance, mm: edges in closed rooms, and those where no line
    /// reaches the least rip, are left out.
    pub narrowest: f64,
    /// The narrowest of: seen rip less its taper, over edges in view whose taper shows, within the line
    /// tolerance, mm; the pitch where no taper shows. A taper shows more beside a narrow rip.
    pub tapered: f64,
    /// Greatest difference between the rips of two long walls of one room that are seen together, mm.
    pub uneven: f64,
    /// Length of edge along which the boards are ripped, mm; whole boards at a wall need none.
    pub ripped: f64,
    /// Rips this wide look no better for being wider, mm: half a board (common practice, no source); in herringbone and
    /// chevron the distance of axis lines.
    pub enough: f64,
    /// Edges at an angle that rise by a board or more: they show every rip on any line, and are judged by their
    /// point pieces, not here.
    pub steep: usize,
    /// Edges where no line reaches the least rip, since their taper leaves no room for it or another edge
    /// faces them nearer than that.
    pub beyond_help: usize,
}

/// The greatest whole number no greater than a figure. The processor that is built for has no instruction for it, and bands
/// are asked for very often: so it is done by hand.
pub(crate) fn whole_below(figure: f64) -> i64 {
    let whole = figure as i64;
    if whole as f64 > figure { whole.saturating_sub(1) } else { whole }
}

/// The least whole number no less than a figure.
pub(crate) fn whole_above(figure: f64) -> i64 {
    let whole = figure as i64;
    if (whole as f64) < figure { whole.saturating_add(1) } else { whole }
}

/// The band of a rip, more is better.
pub(crate) fn rip_band(rip: f64, enough: f64) -> i64 {
    whole_below((rip.min(enough) + EVEN + SAME_FIGURE) / RIP_BAND)
}

/// The greatest rip that is told apart: a whole number of bands up to half a board, mm.
pub(crate) fn enough(pitch: f64) -> f64 {
    (pitch / 2.0 / RIP_BAND).floor() * RIP_BAND
}

/// The band of a weighted length under the least, less is better; only nothing is nothing.
pub(crate) fn short_band(short: f64) -> i64 {
    whole_above((short - EVEN - SAME_FIGURE) / SHORT_BAND).max(0)
}

/// The band of a difference between two sides, less is better.
pub(crate) fn sides_band(uneven: f64) -> i64 {
    whole_below((uneven + REACHED + SAME_FIGURE) / SIDES_BAND)
}

/// The band of a length to be ripped, less is better.
pub(crate) fn ripped_band(ripped: f64) -> i64 {
    whole_below((ripped + REACHED + SAME_FIGURE) / RIPPED_BAND)
}

impl Value {
    /// The bands in the order in which they are compared, the less the better: length under the least rip,
    /// narrowest rip, narrowest rip beside a taper, difference of two sides, length to be ripped.
    pub fn bands(&self) -> [i64; 5] {
        [
            short_band(self.short),
            -rip_band(self.narrowest, self.enough),
            -rip_band(self.tapered, self.enough),
            sides_band(self.uneven),
            ripped_band(self.ripped),
        ]
    }

    /// Orders values, the better first. Lines equal in every band leave the choice to what follows: the
    /// boards they open, then how far each may be off.
    pub fn compare(&self, other: &Self) -> Ordering {
        self.bands().cmp(&other.bands())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line on which a rip is 22 and two sides differ by 50, each but for rounding: whichever way that falls, the rip less a
    /// tolerance of 2 is in the band from 20, and the difference in that from 50. A hundredth off they are not.
    #[test]
    fn figures_on_their_limits_are_in_one_band_whatever_rounding_does() {
        for rounding in [-1e-5, 0.0, 1e-5] {
            assert_eq!(rip_band(20.0 + rounding, 85.0), 4);
            assert_eq!(sides_band(50.0 + rounding), 5);
            assert_eq!(ripped_band(54_000.0 + rounding), 108);
            assert_eq!((short_band(200.0 + rounding), short_band(rounding)), (2, 0));
            // What helps the rip on to its band does not help the difference under its limit.
            let by = rounding - EVEN;
            assert_eq!((rip_band(20.0 + by + 2e-5, 85.0), sides_band(50.0 + by)), (4, 5));
        }
        assert_eq!((rip_band(19.99, 85.0), sides_band(49.99), ripped_band(53_999.99)), (3, 4, 107));
        assert_eq!((short_band(200.01), short_band(0.01), sides_band(0.0), ripped_band(0.0)), (3, 1, 0, 0));
    }

    /// Against the standard library's.
    #[test]
    fn whole_numbers_are_those_of_floor_and_ceiling() {
        let quarters = (-40..=40).map(|n| f64::from(n) / 4.0);
        let others = [0.1, -0.1, 1e-300, -1e-300, 4503599627370495.5, -4503599627370495.5, 1e300, -1e300];
        let ends = [f64::INFINITY, f64::NEG_INFINITY, f64::NAN, -0.0];
        for figure in quarters.chain(others).chain(ends) {
            assert_eq!(whole_below(figure), figure.floor() as i64, "{figure}");
            assert_eq!(whole_above(figure), figure.ceil() as i64, "{figure}");
        }
    }
}
