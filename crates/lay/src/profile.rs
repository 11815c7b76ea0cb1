//! How wide a run is along its length, where it is not one rip from end to end.

use crate::Outline;
use crate::ground::TRUE;
use crate::slice::{extent, rise};

/// A run that misses less than this share of its rectangle is ripped as one.
const LEAST_MISSING: f64 = 0.06;
/// Nor is one parted whose narrow stretches are all shorter than this, mm: a piece there reaches into the next.
const LEAST_STRETCH: f64 = 200.0;
/// A taper is looked at in steps in which it changes by this, mm, but not shorter ones than the least stretch.
const TAPER_STEP: f64 = 10.0;

/// What a piece must be ripped to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rip {
    /// Extent across the rows, mm.
    pub(crate) width: f64,
    pub(crate) keeps_groove: bool,
    pub(crate) keeps_tongue: bool,
}

impl Rip {
    /// Whether it keeps just one long edge, so that a strip with the other is left beside it.
    pub(crate) fn is_of_one_edge(&self) -> bool {
        self.keeps_groove != self.keeps_tongue
    }
}

/// A stretch of a run, on the plan, and how far it reaches across the row.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stretch {
    from: f64,
    to: f64,
    low: f64,
    high: f64,
}

/// Stretches of a run of several widths; none where one rip does for all.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Profile {
    stretches: Vec<Stretch>,
    row: (f64, f64),
    turned: bool,
}

impl Profile {
    /// The profile of a run's outline in the row between two lines; `turned` below the start line.
    pub(crate) fn new(outline: &Outline, row: (f64, f64), turned: bool) -> Self {
        let ((left, right), (low, high)) = (extent(&outline.outer), rise(&outline.outer));
        let none = Self { stretches: Vec::new(), row, turned };
        if outline.area() > (1.0 - LEAST_MISSING) * (right - left) * (high - low) {
            return none;
        }
        let mut corners: Vec<f64> = outline.rings().flatten().map(|p| p.u).collect();
        corners.sort_by(f64::total_cmp);
        corners.dedup_by(|b, a| *b - *a < TRUE);
        let mut stretches: Vec<Stretch> = Vec::new();
        for pair in corners.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            // How far the sides that span it reach where it begins and where it ends.
            let mut reach = [(f64::INFINITY, f64::NEG_INFINITY); 2];
            for ring in outline.rings() {
                for (i, a) in ring.iter().enumerate() {
                    let b = ring[(i + 1) % ring.len()];
                    let (a, b) = if a.u < b.u { (*a, b) } else { (b, *a) };
                    if a.u > from + TRUE || b.u < to - TRUE || b.u - a.u < TRUE {
                        continue;
                    }
                    for (place, u) in [from, to].into_iter().enumerate() {
                        let v = a.v + (b.v - a.v) * ((u - a.u) / (b.u - a.u)).clamp(0.0, 1.0);
                        reach[place] = (reach[place].0.min(v), reach[place].1.max(v));
                    }
                }
            }
            let [start, end] = reach;
            if start.0 > start.1 {
                continue;
            }
            let change = (end.0 - start.0).abs().max((end.1 - start.1).abs());
            let parts = (change / TAPER_STEP).min((to - from) / LEAST_STRETCH).floor().max(1.0);
            for part in 0..parts as usize {
                let at = |i: usize, a: f64, b: f64| a + (b - a) * (i as f64 / parts);
                let lows = (at(part, start.0, end.0), at(part + 1, start.0, end.0));
                let highs = (at(part, start.1, end.1), at(part + 1, start.1, end.1));
                stretches.push(Stretch {
                    from: at(part, from, to),
                    to: at(part + 1, from, to),
                    low: lows.0.min(lows.1),
                    high: highs.0.max(highs.1),
                });
            }
        }
        let is_narrow = |s: &&Stretch| s.high - s.low < (high - low) * (1.0 - LEAST_MISSING);
        let narrow: f64 = stretches.iter().filter(is_narrow).map(|s| s.to - s.from).sum();
        if narrow < LEAST_STRETCH { none } else { Self { stretches, ..none } }
    }

    pub(crate) fn is_even(&self) -> bool {
        self.stretches.is_empty()
    }

    /// What a piece between two places on the plan must be ripped to: as wide as the run is anywhere between.
    pub(crate) fn rip(&self, from: f64, to: f64) -> Rip {
        let touched = self.stretches.iter().filter(|s| s.to > from + TRUE && s.from < to - TRUE);
        let (low, high) = touched
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), s| (low.min(s.low), high.max(s.high)));
        self.between(low, high)
    }

    fn between(&self, low: f64, high: f64) -> Rip {
        let (keeps_low, keeps_high) = (low - self.row.0 < TRUE, self.row.1 - high < TRUE);
        let (keeps_groove, keeps_tongue) =
            if self.turned { (keeps_high, keeps_low) } else { (keeps_low, keeps_high) };
        Rip { width: (high - low).max(0.0), keeps_groove, keeps_tongue }
    }

    /// What each stretch long enough for a piece is ripped to, with its length.
    pub(crate) fn rips(&self) -> impl Iterator<Item = (Rip, f64)> {
        let long = self.stretches.iter().filter(|s| s.to - s.from > LEAST_STRETCH - TRUE);
        long.map(|s| (self.between(s.low, s.high), s.to - s.from))
    }
}
