//! Ways to divide a ripped run into a starter, whole boards and a closer.

use super::Ripped;
use crate::shelf::EXACT;
use crate::state::Cut;
use crate::yard::{Need, below, unit};
use plan::BoardLength;
use rand_pcg::Pcg64Mcg;

/// One of so many ways to lay a run as long as a board or shorter parts it.
const PARTED: usize = 4;
/// An end is moved by so much at most, mm.
const NEARBY: f64 = 100.0;

/// What a run may be divided into.
#[derive(Debug)]
pub(super) struct Boards<'p> {
    kinds: &'p [BoardLength],
    longest: f64,
    shortest: f64,
    least_end: f64,
    in_pack: u64,
}

impl<'p> Boards<'p> {
    /// `None` where there are no boards of fixed lengths.
    pub(super) fn new(kinds: &'p [BoardLength], least_end: f64) -> Option<Self> {
        let lengths = || kinds.iter().filter(|kind| kind.per_pack > 0).map(|kind| kind.length);
        let in_pack = kinds.iter().map(|kind| u64::from(kind.per_pack)).sum();
        let longest = lengths().fold(0.0, f64::max);
        let shortest = lengths().fold(f64::INFINITY, f64::min);
        (longest > 0.0).then_some(Self { kinds, longest, shortest, least_end, in_pack })
    }

    /// Some board, as often as packs hold it.
    fn some(&self, rng: &mut Pcg64Mcg) -> f64 {
        let mut ticket = below(rng, self.in_pack as usize) as u64;
        for kind in self.kinds {
            match ticket.checked_sub(u64::from(kind.per_pack)) {
                Some(rest) => ticket = rest,
                None => return kind.length,
            }
        }
        self.longest
    }

    /// A way to lay a run, by chance; `some_rip` draws the length of a rip that lies now. `None` where the throw gives none that
    /// is legal.
    pub(super) fn way(
        &self,
        run: &Ripped,
        some_rip: impl Fn(&mut Pcg64Mcg) -> Option<f64>,
        rng: &mut Pcg64Mcg,
    ) -> Option<Vec<Cut>> {
        let length = run.length;
        let may_be_one = length <= self.longest + EXACT;
        if may_be_one && (length < 2.0 * self.least_end || below(rng, PARTED) > 0) {
            return Some(vec![Cut::square(length, Need::Neither)]);
        }
        let from_right = below(rng, 2) == 0;
        let most = (length - self.least_end).min(self.longest);
        let first = match below(rng, 10) {
            0..=3 => some_rip(rng)?,
            // So that the last piece is as long as another rip.
            4 | 5 => {
                let (rest, whole) = (length - some_rip(rng)?, self.some(rng));
                rest - (rest / whole).floor() * whole
            }
            // So that a joint stands where the width changes.
            6 => {
                let at = *run.corners.get(below(rng, run.corners.len()))?;
                let (at, whole) = (if from_right { length - at } else { at }, self.some(rng));
                at - below(rng, 1 + (at / whole) as usize) as f64 * whole
            }
            7 => {
                let now = if from_right { run.cuts.last() } else { run.cuts.first() };
                now?.length + (2.0 * unit(rng) - 1.0) * NEARBY
            }
            8 => self.some(rng),
            _ => self.least_end + unit(rng) * (most - self.least_end),
        };
        if first < self.least_end || first > most {
            return None;
        }
        let [begins, ends] = if from_right { [Need::Left, Need::Right] } else { [Need::Right, Need::Left] };
        let mut cuts = vec![Cut::square(first, begins)];
        let mut rest = length - first;
        loop {
            let may_end = rest <= self.longest + EXACT;
            if may_end && (rest < self.shortest + self.least_end || below(rng, 2) == 0) {
                break;
            }
            let whole = self.some(rng);
            match rest - whole >= self.least_end {
                true => {
                    cuts.push(Cut::square(whole, Need::Both));
                    rest -= whole;
                }
                false if may_end => break,
                false => return None,
            }
        }
        cuts.push(Cut::square(rest, ends));
        if from_right {
            cuts.reverse();
        }
        Some(cuts)
    }
}
