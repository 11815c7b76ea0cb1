//! What was laid last: after an edit a floor is laid as before up to the first run that the edit touches.
//!
//! Runs are laid one after another, each from what the runs before it have left. So a floor comes out the same up to the
//! first run that is not what it was, or whose boards are worth something else; from there on it is laid anew, with the
//! chance that stood there. What a run is, which strips serve it and how much it is seen are compared, not guessed.

use crate::Floor;
use crate::floor::lay_with;
use crate::ground::{Ground, Lie};
use crate::rips::Rips;
use crate::search::is_large;
use crate::seen::Seen;
use crate::state::{Planned, State, Task, longest_run};
use plan::{Plan, Rules, Stock};
use rand_pcg::Pcg64Mcg;
use setout::SetOut;
use site::Site;
use std::ops::{ControlFlow, Range};

/// Lays floors one after another and remembers the last: it gives what [`crate::lay`] gives.
#[derive(Debug, Default)]
pub struct Layer {
    past: Option<Past>,
    again: usize,
}

impl Layer {
    /// Lays a site's floor, as [`crate::lay`] does; as far as it is the last floor, from memory.
    ///
    /// What is searched for, what goes on from laid boards and patterns are always laid whole.
    pub fn lay(&mut self, plan: &Plan, site: &Site, setout: &SetOut) -> Floor {
        let mut memory = Memory { keeps: plan.effort == 0, past: self.past.take(), ..Memory::default() };
        let floor = lay_with(plan, site, setout, (plan.effort, &|_| ControlFlow::Continue(())), &mut memory);
        (self.past, self.again) = (memory.past, memory.again);
        floor
    }

    /// How many runs of the last floor were laid as in the floor before without looking for another way.
    pub fn laid_again(&self) -> usize {
        self.again
    }
}

/// How a run was laid.
#[derive(Debug)]
struct Entry {
    run: usize,
    /// What part of their worth offcuts had then.
    scale: f64,
    /// Its pieces; none where the stock did not reach.
    pieces: Range<usize>,
    mirrored: bool,
    /// Chance as it stood afterwards.
    chance: Pcg64Mcg,
}

/// How the runs of a first floor were laid, in order of laying.
#[derive(Debug, Default)]
struct Log {
    entries: Vec<Entry>,
    pieces: Vec<Planned>,
}

/// What the runs of a floor were, and how they were laid.
#[derive(Debug)]
struct Past {
    stock: Stock,
    rules: Rules,
    seed: u64,
    lies: Vec<Lie>,
    /// Slants by which offcuts are put in order.
    slants: Vec<f64>,
    rips: Rips,
    seen: Seen,
    /// Of each of the first floors among which one was chosen.
    logs: Vec<Log>,
}

impl Past {
    /// Whether runs are laid by the same rules, from the same stock, with the same strips.
    fn is_of(&self, task: &Task, plan: &Plan) -> bool {
        let lies = &task.ground.lies;
        self.stock == plan.stock
            && self.rules == plan.rules
            && self.seed == plan.seed
            && is_large(self.lies.len()) == is_large(lies.len())
            // Of random lengths as many are at hand as the longest run asks for.
            && (plan.stock.random.is_none() || longest_run(&self.lies) == longest_run(lies))
            && self.slants == task.ground.slants()
            && self.rips.is_alike(&task.rips)
            && self.seen.asks() == task.seen.asks()
    }

    fn is_same(&self, run: usize, task: &Task, now: usize) -> bool {
        let lie = &self.lies[run];
        // Which strips serve a run of one width is known by their classes; where its width changes, the classes' own widths
        // are asked for at every piece.
        *lie == task.ground.lies[now]
            && self.rips.of_run(run) == task.rips.of_run(now)
            && (self.rips.is_even(run, lie) || self.rips.has_widths_of(&task.rips))
            && self.seen.of(run) == task.seen.of(now)
    }
}

/// What is remembered while a floor is laid; by default nothing.
#[derive(Debug, Default)]
pub(crate) struct Memory {
    keeps: bool,
    past: Option<Past>,
    /// Of the first floors laid now; the last is being written.
    logs: Vec<Log>,
    /// Whether all runs of this floor so far are as they were.
    is_same: bool,
    again: usize,
}

impl Memory {
    /// A ground is about to be laid.
    pub(crate) fn open(&mut self, task: &Task, plan: &Plan) {
        self.past = self.past.take().filter(|past| self.keeps && past.is_of(task, plan));
    }

    /// A first floor is begun.
    pub(crate) fn begin(&mut self) {
        if self.keeps {
            self.is_same = self.past.as_ref().is_some_and(|past| past.logs.len() > self.logs.len());
            self.logs.push(Log::default());
        }
    }

    /// Lays a run, the one at a place in the order of laying, as it was laid, and gives the chance after it; `None` where
    /// it must be laid anew.
    pub(crate) fn lay_again(&mut self, state: &mut State, place: usize, run: usize) -> Option<Pcg64Mcg> {
        let (past, number) = (self.past.as_ref().filter(|_| self.is_same)?, self.logs.len().checked_sub(1)?);
        let log = &past.logs[number];
        let as_it_was =
            |entry: &&Entry| entry.scale == state.yard.scale() && past.is_same(entry.run, state.task, run);
        let Some(entry) = log.entries.get(place).filter(as_it_was) else {
            self.is_same = false;
            return None;
        };
        let pieces = &log.pieces[entry.pieces.clone()];
        if !pieces.is_empty() {
            state.lay(run, pieces, entry.mirrored);
        }
        let (mirrored, chance) = (entry.mirrored, entry.chance.clone());
        self.again += usize::from(number == 0);
        note(&mut self.logs[number], (&*state, run), (pieces, mirrored), &chance);
        Some(chance)
    }

    /// Notes how a run was laid anew.
    pub(crate) fn note(&mut self, laid: (&State, usize), pieces: (&[Planned], bool), chance: &Pcg64Mcg) {
        if let Some(log) = self.logs.last_mut() {
            note(log, laid, pieces, chance);
        }
    }

    /// The floor is laid: it is the past now.
    pub(crate) fn close(&mut self, plan: &Plan, ground: Ground, rips: Rips, seen: Seen) {
        if self.keeps {
            let (slants, lies) = (ground.slants(), ground.lies);
            let (stock, rules, seed) = (plan.stock.clone(), plan.rules.clone(), plan.seed);
            let logs = std::mem::take(&mut self.logs);
            self.past = Some(Past { stock, rules, seed, lies, slants, rips, seen, logs });
        }
    }
}

fn note(
    log: &mut Log,
    (state, run): (&State, usize),
    (pieces, mirrored): (&[Planned], bool),
    chance: &Pcg64Mcg,
) {
    let from = log.pieces.len();
    log.pieces.extend_from_slice(pieces);
    let pieces = from..log.pieces.len();
    log.entries.push(Entry { run, scale: state.yard.scale(), pieces, mirrored, chance: chance.clone() });
}
