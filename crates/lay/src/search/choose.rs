//! Which runs a move of the search takes up.

use super::{Chain, is_one_chain};
use crate::state::State;
use crate::yard::{Need, below};
use rand_pcg::Pcg64Mcg;

/// Runs taken up in a move at most, beside those that hang on their strips.
const TAKEN_UP: usize = 4;
/// Boards looked at for the one with most wood that is good for nothing.
const LOSSES: usize = 12;
/// One of so many moves begins with a narrow run that takes whole boards, where strips might do; and where one chain searches
/// a floor whose rips lie side by side already.
const HUNGRY: usize = 4;
const SELDOM_HUNGRY: usize = 16;
/// Of so many other moves one begins with a run that breaks a rule or shows a look, if any does, one with an offcut, one with any
/// run, and the rest with wood that is good for nothing.
const ODDS: usize = 6;
/// Runs this many places away in order of laying are neighbours.
const NEAR: usize = 6;
/// With those that hang on their strips more than this are not taken up together, only the first, or the pair, and what hangs on
/// it: rips that lie beside each other's strips may tie dozens of runs into one move.
const MOST_TAKEN_UP: usize = 12;
/// One of so many moves that begin with a narrow run takes up a run with it whose strips serve it, or that its own serve.
const PAIRED: usize = 2;
/// Draws for runs of which none is ripped.
const DRAWS: usize = 8;
/// Runs drawn for such a partner.
const PARTNERS: usize = 12;

/// Runs that are taken up together.
pub(super) struct Taken {
    pub(super) runs: Vec<usize>,
    /// How many of them, the first ones, were chosen; the others hang on their strips.
    pub(super) chosen: usize,
}

impl Chain<'_> {
    /// Runs to be taken up together. While ripped runs stay as they are, none of those; `None` where no draw was without.
    pub(super) fn choose(&mut self) -> Option<Taken> {
        if !self.holds_rips {
            return Some(self.some_runs());
        }
        let rips = &self.state.task.rips;
        (0..DRAWS).map(|_| self.some_runs()).find(|taken| !taken.runs.iter().any(|run| rips.is_ripped(*run)))
    }

    /// Runs to be taken up together: one, and some that stand beside it or share its boards; or a narrow run and one beside
    /// whose rips its own could lie.
    fn some_runs(&mut self) -> Taken {
        let rng = &mut self.rng;
        let state = &self.state;
        let count = state.cuts.len();
        let hungry = if is_one_chain(count as u64) { SELDOM_HUNGRY } else { HUNGRY };
        let mut runs = Vec::with_capacity(2 * TAKEN_UP);
        let mut add = |run: usize| {
            if !runs.contains(&run) {
                runs.push(run);
            }
        };
        let owner_of_offcut = |rng: &mut Pcg64Mcg| {
            let offcuts = state.yard.has_offcuts(0, Need::Neither);
            let (_, bar) = state.yard.offcut(0, Need::Neither, below(rng, offcuts))?;
            let owners = &state.yard.bars[bar as usize].owners;
            owners.get(below(rng, owners.len())).map(|run| *run as usize)
        };
        // Of a few boards by chance the one with most wood that is good for nothing.
        let owner_of_loss = |rng: &mut Pcg64Mcg| {
            let bars = &state.yard.bars;
            let drawn = (0..LOSSES).filter_map(|_| bars.get(below(rng, bars.len())));
            let bar = drawn.max_by(|a, b| state.yard.loss_of(a).total_cmp(&state.yard.loss_of(b)))?;
            bar.owners.get(below(rng, bar.owners.len())).map(|run| *run as usize).filter(|run| *run < count)
        };
        let is_for_strips = !self.hungry.is_empty() && below(rng, hungry) == 0;
        let first = match below(rng, ODDS) {
            _ if is_for_strips => self.hungry[below(rng, self.hungry.len())],
            0 if !self.marked.is_empty() => self.marked[below(rng, self.marked.len())],
            0 | 1 => owner_of_offcut(rng).unwrap_or(0),
            2 => below(rng, count),
            _ => owner_of_loss(rng).unwrap_or(0),
        };
        add(first);
        let partner = if is_for_strips { partner(state, first, rng) } else { None };
        partner.into_iter().for_each(&mut add);
        let further = if partner.is_some() { 0 } else { below(rng, TAKEN_UP) };
        for _ in 0..further {
            let next = match below(rng, 4) {
                0 => owner_of_offcut(rng),
                1 => {
                    let cuts = &state.cuts[first];
                    let owners =
                        cuts.get(below(rng, cuts.len())).map(|cut| &state.yard.bars[cut.bar as usize].owners);
                    owners.and_then(|owners| owners.get(below(rng, owners.len()))).map(|run| *run as usize)
                }
                // Runs are numbered row by row, so that neighbours have numbers close by.
                2 => (first + below(rng, 2 * NEAR + 1)).checked_sub(NEAR).filter(|run| *run < count),
                _ => Some(below(rng, count)),
            };
            next.into_iter().for_each(&mut add);
        }
        let mut chosen = runs.len();
        state.add_dependents(&mut runs);
        if runs.len() > MOST_TAKEN_UP {
            chosen = if partner.is_some() { 2 } else { 1 };
            runs.truncate(chosen);
            state.add_dependents(&mut runs);
        }
        Taken { runs, chosen }
    }
}

/// A run whose strips serve a narrow one, or that its strips serve, by chance; now and then, and where one is found soon.
fn partner(state: &State, run: usize, rng: &mut Pcg64Mcg) -> Option<usize> {
    let rips = &state.task.rips;
    let leaving = rips.leaving();
    if leaving.is_empty() || below(rng, PAIRED) > 0 {
        return None;
    }
    (0..PARTNERS)
        .map(|_| leaving[below(rng, leaving.len())])
        .find(|other| *other != run && (rips.serves(*other, run) || rips.serves(run, *other)))
}
