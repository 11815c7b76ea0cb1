//! What a piece would cost, by the board it is cut from.

use super::{AS_SOLD, NONE, Need, Offer, Source, WORTH_KEEPING, Want, Yard};
use crate::nest::{Nest, Nested, SQUARE};
use crate::shelf::EXACT;

/// What an offcut that can end a run is held to be worth, as a share of its length, and what more it is worth as a
/// share of its length squared over a whole board's, so that what is left over gathers in few boards until one of
/// them is not needed.
const OFFCUT_WORTH: f64 = 0.85;
const LONG_WORTH: f64 = 0.1;
/// The share of its length that an offcut without an end is worth: only a run of one piece uses it.
const ENDLESS_WORTH: f64 = 0.3;
/// The share of its length that an offcut too short to end a run is worth.
const SHORT_WORTH: f64 = 0.05;
/// Boards looked at for a slanting end.
const LOOKED_AT: usize = 8;
/// What each wider class of strip than is needed costs, mm of board, and at most what all classes cost together: wide strips
/// are kept for wide rips.
const WIDER: f64 = 5.0;
const ALL_WIDER: f64 = 170.0;

impl Yard {
    /// What an offcut of this length is worth, mm of board, whether it can end a run or lie between two sawn ends only.
    pub(super) fn worth(&self, free: f64, has_end: bool) -> f64 {
        self.scale * self.whole_worth(free, has_end)
    }

    fn whole_worth(&self, free: f64, has_end: bool) -> f64 {
        if free < WORTH_KEEPING {
            0.0
        } else if free < self.least_end {
            SHORT_WORTH * free
        } else if !has_end {
            ENDLESS_WORTH * free
        } else {
            OFFCUT_WORTH * free + LONG_WORTH * free * free / self.longest
        }
    }

    /// What a square piece so long that ends a run costs at least, of whatever board of whole width. An offcut that serves is at
    /// least as long, has the end that is needed, and loses what the piece was worth; a fresh board costs more than all its
    /// offcuts are worth.
    pub(crate) fn least_cost(&self, length: f64) -> f64 {
        let is_long = length > self.least_end.max(WORTH_KEEPING) + 1.0;
        let share = if is_long { OFFCUT_WORTH } else { 0.0 };
        self.scale * share * length
    }

    /// A piece taken off a bar.
    pub(crate) fn of_bar(&self, number: u32, want: &Want) -> Offer {
        let Want { length, need, .. } = *want;
        let bar = &self.bars[number as usize];
        let source = Source::Bar(number);
        if bar.class > 0 {
            // A strip is there for nothing; the shortest that serves is taken.
            return Offer { source, cost: 0.01 * (bar.free - length), loss: 0.0 };
        }
        let (left, right) = self.ends_after((bar.left, bar.right), need);
        let rest = bar.free - length - self.kerf + self.saved_more(bar, want);
        let cost = self.worth(bar.free, bar.left || bar.right) - self.worth(rest, left || right);
        Offer { source, cost, loss: self.lost(rest, left || right) }
    }

    /// What of a rest is good for nothing, mm.
    pub(super) fn lost(&self, rest: f64, has_end: bool) -> f64 {
        if rest >= self.least_end && has_end { 0.0 } else { rest.max(0.0) }
    }

    /// Which end-matches are left, left and right, once a piece is cut.
    fn ends_after(&self, (left, right): (bool, bool), need: Need) -> (bool, bool) {
        let kept = |taken: bool| !self.end_match || !taken;
        let both = need == Need::Both;
        (left && kept(both || need == Need::Left), right && kept(both || need == Need::Right))
    }

    /// A piece of a fresh board.
    pub(crate) fn of_fresh(&self, kind: u32, length: f64) -> Offer {
        let rest = self.shelf.length(kind) - length - self.kerf;
        let cost = self.shelf.price(kind) - self.worth(rest, true);
        Offer { source: Source::Fresh(kind), cost, loss: self.lost(rest, true) + self.shelf.left_whole(kind) }
    }

    /// A piece taken off what the first piece of its run leaves.
    pub(crate) fn of_rest(&self, rest: f64, length: f64) -> Offer {
        let (after, has_end) = (rest - length - self.kerf, !self.end_match);
        let cost = self.worth(rest, true) - self.worth(after, has_end);
        Offer { source: Source::Rest, cost, loss: self.lost(after, has_end) - self.lost(rest, true) }
    }

    /// What is left of a piece's board when the piece is cut off, and how much less than its length another piece then
    /// takes of it, mm.
    pub(crate) fn rest(&self, source: Source, first: &Want, other: &Want) -> (f64, f64) {
        let (whole, bar) = match source {
            Source::Bar(bar) => (self.bars[bar as usize].free, Some(&self.bars[bar as usize])),
            Source::Fresh(kind) => (self.shelf.length(kind), None),
            Source::Rest => (0.0, None),
        };
        let rest = whole - first.length - self.kerf;
        if self.slants.is_empty() || first.shifts == SQUARE || other.shifts == SQUARE {
            return (rest, 0.0);
        }
        let none = Nest::default();
        let nest = bar.and_then(|bar| bar.nest.as_deref()).unwrap_or(&none);
        let (first, other) = (first.nested(NONE), other.nested(NONE));
        let saved = |more: &[Nested]| self.parting.saved(nest, more).unwrap_or(f64::NEG_INFINITY);
        let (one, both) = (saved(&[first]), saved(&[first, other]));
        (rest + one - nest.saved, both - one)
    }

    /// The cheapest source of a piece among offcuts of these classes and fresh boards. `spoken` names fresh
    /// boards and `taken` bars that are spoken for.
    pub(crate) fn best(
        &self,
        want: &Want,
        classes: &[u16],
        (taken, spoken): (&[u32], &[u32]),
        scratch: &mut Vec<u32>,
    ) -> Option<Offer> {
        let Want { length, need, .. } = *want;
        let mut best: Option<Offer> = None;
        let mut consider = |offer: Offer| {
            if best.is_none_or(|b| offer.cost < b.cost) {
                best = Some(offer);
            }
        };
        // A board between two others keeps both its ends, so it is used whole.
        let keeps_both = need == Need::Both && self.end_match;
        let each_wider = WIDER.min(ALL_WIDER / self.pools.len() as f64);
        for (place, class) in classes.iter().enumerate().take(if keeps_both { 0 } else { classes.len() }) {
            // Square ends serve every need.
            let pool = &self.pools[*class as usize][if self.end_match { need.place() } else { 0 }];
            let wider = each_wider * place as f64;
            for least in [length, length + self.kerf + self.least_end.max(WORTH_KEEPING)] {
                if let Some((_, bar)) = pool.from(least - EXACT).find(|(_, bar)| !taken.contains(bar)) {
                    let offer = self.of_bar(*bar, want);
                    consider(Offer { cost: offer.cost + wider, ..offer });
                }
            }
        }
        if want.shifts != SQUARE {
            for pool in self.nests_for(want) {
                for least in [length, length + self.kerf + self.least_end.max(WORTH_KEEPING)] {
                    // Slants are told apart roughly: not every one of them has the room it is listed with.
                    let serves = |bar: u32| {
                        !taken.contains(&bar) && self.room(bar, need, want.shifts) + EXACT >= length
                    };
                    if let Some((_, bar)) =
                        pool.from(least - EXACT).take(LOOKED_AT).find(|entry| serves(entry.1))
                    {
                        consider(self.of_bar(*bar, want));
                    }
                }
            }
        }
        self.shelf.fits(length, self.kerf + self.least_end.max(WORTH_KEEPING), spoken, scratch);
        let is_whole = |kind: &u32| self.shelf.length(*kind) <= length + AS_SOLD;
        if keeps_both && scratch.iter().any(is_whole) {
            scratch.retain(is_whole);
        }
        for kind in scratch.iter() {
            consider(self.of_fresh(*kind, length));
        }
        best
    }
}
