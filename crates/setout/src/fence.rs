//! The first rip as a saw's fence is set for it: what is kept and what comes off make the board, in the very figures told.

use crate::{Rip, SetOut};
use plan::{Units, format_length, tape_step};

/// Rips that differ by less are cut at one setting, mm.
const ONE_SETTING: f64 = 1.0;
/// A rip that is short of a board by less is a whole board, mm.
const WHOLE: f64 = 0.5;

/// A rip in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fence {
    /// What is kept: `103.5`, or `81.7 to 83` where the rip changes along its edge.
    pub kept: String,
    /// What comes off, kerf and all, in the same order; `None` where a whole board is kept.
    pub off: Option<String>,
    /// What the rip is along the whole wall where other stretches of that wall leave another.
    pub whole_wall: Option<String>,
}

/// The step in which a fence is set, mm.
fn fence_step(units: Units) -> f64 {
    match units {
        Units::Metric => 0.1,
        Units::FeetInches => tape_step(units),
    }
}

impl SetOut {
    /// The width kept at a fence's setting and what then comes off, in whole steps, mm. The two make the board as it is told.
    pub fn fence_settings(&self, width: f64, units: Units) -> [f64; 2] {
        let step = fence_step(units);
        let steps = |width: f64| (width / step).round();
        let (board, kept) = (steps(self.pitch), steps(width).min(steps(self.pitch)));
        [kept * step, (board - kept) * step]
    }

    /// A rip, one of `rips`, in words.
    pub fn fence(&self, rip: &Rip, rips: &[Rip], units: Units) -> Fence {
        let [least, greatest] = [rip.least, rip.greatest].map(|width| self.fence_settings(width, units));
        let is_one = rip.greatest - rip.least < ONE_SETTING;
        let told = |part: usize| {
            let (from, to) = (format_length(least[part], units), format_length(greatest[part], units));
            if is_one || from == to { from } else { format!("{from} to {to}") }
        };
        let off = (self.pitch - rip.least >= WHOLE).then(|| told(1));
        Fence { kept: told(0), off, whole_wall: self.whole_wall(rip, rips, units) }
    }

    fn whole_wall(&self, rip: &Rip, rips: &[Rip], units: Units) -> Option<String> {
        let same = rips.iter().filter(|other| other.source == rip.source && other.kind == rip.kind);
        let (least, greatest) = same.fold((rip.least, rip.greatest), |(least, greatest), other| {
            (least.min(other.least), greatest.max(other.greatest))
        });
        if rip.least - least < ONE_SETTING && greatest - rip.greatest < ONE_SETTING {
            return None;
        }
        let told = |width: f64| format_length(self.fence_settings(width, units)[0], units);
        Some(format!("{} to {}", told(least), told(greatest)))
    }
}
