//! Chooses the joints of one run: which boards, from which stock, so that joints keep apart.

use crate::yard::{From, Need, Source, Yard, below, unit};
use plan::{Rules, Stock};
use rand_pcg::Pcg64Mcg;

/// Search nodes spent on one run: past some hundreds a run hardly improves.
const EFFORT: usize = 260;
/// Nodes after which a run takes the best found, even one that breaks a rule.
const MOST_EFFORT: usize = 20 * EFFORT;
/// Evenly stepping joints further apart than this are not read as a stair, mm. Common practice, no source.
pub const STAIR_STEP: f64 = 900.0;
/// A joint this close to a notch's corner leaves little wood beside it, mm. Common practice, no source.
const NEAR_NOTCH: f64 = 80.0;

/// Costs are millimetres of wood: what one would throw away to avoid a thing.
const COST_HARD: f64 = 100_000.0;
const COST_H: f64 = 2000.0;
const COST_STAIR: f64 = 2000.0;
const COST_EVEN_STEP: f64 = 60.0;
const COST_NOTCH: f64 = 150.0;
const COST_JITTER: f64 = 60.0;

/// A run as the search sees it: places are distances from the worker's left end, mm.
#[derive(Debug)]
pub(crate) struct RunShape {
    pub(crate) length: f64,
    /// Joints in the three rows laid before, nearest row first, sorted.
    pub(crate) before: [Vec<f64>; 3],
    /// Corners of notches.
    pub(crate) notches: Vec<f64>,
}

/// One chosen board of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Chosen {
    pub(crate) length: f64,
    pub(crate) need: Need,
    pub(crate) from: From,
}

/// Chooses the boards of a run from left to right.
pub(crate) fn choose(
    run: &RunShape,
    yard: &Yard,
    stock: &Stock,
    rules: &Rules,
    rng: &mut Pcg64Mcg,
) -> Vec<Chosen> {
    let mut search = Search {
        run,
        yard,
        stock,
        rules,
        rng,
        closers: yard.offcuts_for(Need::Left),
        nodes: 0,
        trail: Vec::new(),
        drawn: vec![0; stock.lengths.len()],
        best: None,
    };
    // One board without a joint is the best run there is.
    if !search.whole_run() {
        search.starters();
    }
    search.best.map(|(_, boards)| boards).unwrap_or_default()
}

/// A joint from which the run may go on with one board or another.
struct Fork {
    at: f64,
    cost: f64,
    /// Index of the length tried first, and how many have been.
    first: usize,
    tried: usize,
    /// Whether no closer reaches the end and no board has been tried yet.
    must_go_on: bool,
}

struct Search<'a, 'y> {
    run: &'a RunShape,
    yard: &'a Yard<'y>,
    stock: &'a Stock,
    rules: &'a Rules,
    rng: &'a mut Pcg64Mcg,
    /// Offcuts that may close a run, by length.
    closers: Vec<(f64, usize)>,
    nodes: usize,
    trail: Vec<Chosen>,
    /// Fresh boards of each length on the trail.
    drawn: Vec<u32>,
    best: Option<(f64, Vec<Chosen>)>,
}

impl Search<'_, '_> {
    /// One board from end to end, if there is one so long.
    fn whole_run(&mut self) -> bool {
        let length = self.run.length;
        let Some(source) = self.yard.source(length, Need::Neither, None, &self.drawn) else { return false };
        self.offer(source.cost, Chosen { length, need: Need::Neither, from: source.from });
        true
    }

    /// Keeps the trail with `last` added if it is the cheapest so far.
    fn offer(&mut self, cost: f64, last: Chosen) {
        if self.best.as_ref().is_none_or(|(least, _)| cost < *least) {
            let mut boards = self.trail.clone();
            boards.push(last);
            self.best = Some((cost, boards));
        }
    }

    fn starters(&mut self) {
        let mut starters: Vec<(f64, Source)> = Vec::new();
        let least = self.rules.least_end;
        let kerf = self.stock.kerf;
        for (index, offcut) in self.yard.offcuts.iter().enumerate() {
            if !offcut.serves(Need::Right) {
                continue;
            }
            let gain = self.yard.leaving(offcut.length());
            let whole = offcut.length();
            let mut lengths = vec![whole];
            for _ in 0..2 {
                lengths.push(settable(least + unit(self.rng) * (whole - least)));
            }
            for length in lengths.into_iter().filter(|l| *l >= least && *l <= whole) {
                let left = self.yard.leaving(whole - length - kerf);
                starters.push((length, Source { from: From::Offcut(index), cost: left - gain }));
            }
        }
        for (index, l) in self.stock.lengths.iter().enumerate() {
            if l.per_pack == 0 {
                continue;
            }
            let draw = self.yard.drawing(index, 0);
            starters.push((l.length, Source { from: From::Fresh(index), cost: draw }));
            for _ in 0..5 {
                let length = settable(least + unit(self.rng) * (l.length - least));
                if length >= least && length <= l.length {
                    let cost = self.yard.leaving(l.length - length - kerf) + draw;
                    starters.push((length, Source { from: From::Fresh(index), cost }));
                }
            }
        }
        // Wood first, but shaken: sorting by cost alone would start every row alike.
        let mut order: Vec<(f64, usize)> = starters
            .iter()
            .enumerate()
            .map(|(i, (_, source))| (source.cost + 400.0 * unit(self.rng), i))
            .collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0));
        let share = (EFFORT / order.len().max(1)).max(12);
        for (_, index) in order {
            let (length, source) = starters[index];
            if length >= self.run.length {
                continue;
            }
            let enough = |cost: f64| self.nodes >= if cost < COST_HARD { EFFORT } else { MOST_EFFORT };
            if self.best.as_ref().is_some_and(|(cost, _)| enough(*cost)) {
                break;
            }
            let taken = match source.from {
                From::Offcut(index) => Some(index),
                From::Fresh(length) => {
                    self.drawn[length] += 1;
                    None
                }
            };
            self.trail.push(Chosen { length, need: Need::Right, from: source.from });
            let cost = source.cost + self.joint_cost(length);
            let limit = self.nodes + share;
            self.extend(length, cost, taken, limit);
            self.trail.pop();
            if let From::Fresh(length) = source.from {
                self.drawn[length] -= 1;
            }
        }
    }

    /// Continues a run whose last joint stands at `at`, depth first. A run may take thousands of boards, so
    /// the forks are kept in a list instead of on the stack.
    fn extend(&mut self, at: f64, cost: f64, taken: Option<usize>, limit: usize) {
        let base = self.trail.len();
        let mut ended = false;
        let mut open = vec![self.fork(at, cost, taken, &mut ended)];
        while let Some(fork) = open.last_mut() {
            // A starter is worth one way to the far wall, however many boards that takes.
            let spent = self.nodes >= limit && (ended || self.nodes >= MOST_EFFORT);
            if spent && self.best.is_some() {
                break;
            }
            let Some(index) = self.next_length(fork) else {
                open.pop();
                if self.trail.len() > base {
                    self.step_back();
                }
                continue;
            };
            let length = self.stock.lengths[index].length;
            let next = fork.at + length;
            let draw = self.yard.drawing(index, self.drawn[index]);
            let cost = fork.cost + draw + self.joint_cost(next);
            self.drawn[index] += 1;
            self.trail.push(Chosen { length, need: Need::Both, from: From::Fresh(index) });
            open.push(self.fork(next, cost, taken, &mut ended));
        }
        while self.trail.len() > base {
            self.step_back();
        }
    }

    /// Offers a closer from a joint at `at` to the end, and opens the choice of a board instead.
    fn fork(&mut self, at: f64, cost: f64, taken: Option<usize>, ended: &mut bool) -> Fork {
        self.nodes += 1;
        let rest = self.run.length - at;
        let mut fork = Fork { at, cost, first: 0, tried: self.stock.lengths.len(), must_go_on: false };
        if self.best.as_ref().is_some_and(|(least, _)| cost >= least + self.most_gain()) {
            *ended = true;
            return fork;
        }
        let source = self.yard.source_among(&self.closers, rest, Need::Left, taken, &self.drawn);
        if let Some(source) = source {
            *ended = true;
            let short = (self.rules.least_end - rest).max(0.0);
            let hard = if short > 0.0 { COST_HARD + short } else { 0.0 };
            self.offer(
                cost + source.cost + hard,
                Chosen { length: rest, need: Need::Left, from: source.from },
            );
        }
        fork.must_go_on = source.is_none();
        fork.first = below(self.rng, fork.tried);
        fork.tried = 0;
        fork
    }

    /// The next length to try. Where the end is out of reach and every board would leave a closer under the
    /// least, the shortest goes in: a run is never left unlaid.
    fn next_length(&self, fork: &mut Fork) -> Option<usize> {
        let rest = self.run.length - fork.at;
        let lengths = &self.stock.lengths;
        while fork.tried < lengths.len() {
            let index = (fork.first + fork.tried) % lengths.len();
            fork.tried += 1;
            let l = lengths[index];
            if l.per_pack > 0 && l.length < rest && rest - l.length >= self.rules.least_end {
                fork.must_go_on = false;
                return Some(index);
            }
        }
        let shortest = || {
            let drawn = lengths.iter().enumerate().filter(|(_, l)| l.per_pack > 0 && l.length < rest);
            drawn.min_by(|a, b| a.1.length.total_cmp(&b.1.length)).map(|(index, _)| index)
        };
        std::mem::take(&mut fork.must_go_on).then(shortest).flatten()
    }

    /// Takes the last board off the trail.
    fn step_back(&mut self) {
        if let Some(Chosen { from: From::Fresh(index), .. }) = self.trail.pop() {
            self.drawn[index] -= 1;
        }
    }

    /// What the closer may still win by taking an offcut off the heap.
    fn most_gain(&self) -> f64 {
        0.35 * self.stock.longest()
    }

    /// Cost of a joint at `at` against the rows laid before.
    fn joint_cost(&mut self, at: f64) -> f64 {
        let rules = self.rules;
        let [one, two, three] = &self.run.before;
        let mut cost = COST_JITTER * unit(self.rng);
        for neighbour in within(one, at, rules.least_stagger) {
            let short = rules.least_stagger - (neighbour - at).abs();
            if short > 1e-9 {
                cost += COST_HARD + short;
            }
        }
        if within(two, at, rules.in_line).next().is_some() {
            cost += COST_H;
        }
        for neighbour in within(one, at, STAIR_STEP) {
            let step = neighbour - at;
            if within(two, neighbour + step, rules.in_line).next().is_some() {
                cost += COST_EVEN_STEP;
                if within(three, neighbour + 2.0 * step, rules.in_line * 2.0).next().is_some() {
                    cost += COST_STAIR;
                }
            }
        }
        if within(&self.run.notches, at, NEAR_NOTCH).next().is_some() {
            cost += COST_NOTCH;
        }
        cost
    }
}

/// Starters are cut in steps of this, mm, so that one setting of the stop serves several.
const STOP_STEP: f64 = 10.0;

fn settable(length: f64) -> f64 {
    (length / STOP_STEP).ceil() * STOP_STEP
}

/// Members of a sorted list within `reach` of `at`.
fn within(sorted: &[f64], at: f64, reach: f64) -> impl Iterator<Item = f64> {
    let first = sorted.partition_point(|x| *x < at - reach);
    sorted[first..].iter().copied().take_while(move |x| *x <= at + reach)
}
