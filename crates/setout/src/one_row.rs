//! Floors that lie in one row. Nothing is snapped there: the boards go in by the wall, so that no line can be out.

use crate::tooth::{SAME, Tooth, turned};
use site::Region;

/// Offsets of row lines at which all of a floor lies between two of them: from one up, as far as it may be moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct OneRow {
    from: f64,
    reach: f64,
    /// How far past the first the board is whole, if it can be, or has its one side on the row line.
    handy: f64,
}

impl OneRow {
    /// Those of a region by its teeth, which were lowered by `shift`; `None` where it is wider than a board and what its gaps
    /// take up.
    pub(crate) fn of(region: &Region, teeth: &[Tooth], shift: f64, pitch: f64) -> Option<Self> {
        let [mut low, mut line_below] = [f64::INFINITY; 2];
        let [mut high, mut line_above] = [f64::NEG_INFINITY; 2];
        for tooth in teeth {
            (low, high) = (low.min(tooth.low), high.max(tooth.high));
            match tooth.floor_is_above {
                true => line_below = line_below.min(tooth.cliff()),
                false => line_above = line_above.max(tooth.cliff()),
            }
        }
        // What reaches past the edges along the rows, a point or a wall aslant, is floor of another row.
        let bounds = low + shift - SAME..=high + shift + SAME;
        let is_bounded = region.outer.edges.iter().all(|edge| bounds.contains(&edge.a.v));
        let (from, reach) = (line_above - pitch, line_below - (line_above - pitch));
        // What is wider than a board is shared by both gaps; what is narrower is ripped at its upper side.
        let handy = low + ((high - low - pitch) / 2.0).max(0.0) - from;
        let holds = is_bounded && reach.is_finite() && reach > -SAME / 2.0;
        holds.then(|| Self { from, reach, handy: handy.min(reach).max(0.0) })
    }

    /// Whether the floor lies in one row with its row lines at an offset.
    pub(crate) fn holds(&self, offset: f64, pitch: f64) -> bool {
        turned(offset - self.from + SAME / 2.0, pitch) <= self.reach.max(0.0) + SAME
    }

    /// The first, the handiest and the last of them, in 0..pitch.
    pub(crate) fn places(&self, pitch: f64) -> [f64; 3] {
        [0.0, self.handy, self.reach].map(|by| turned(self.from + by, pitch))
    }
}
