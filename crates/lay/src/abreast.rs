//! Joints of ripped runs, chosen so that their pieces lie side by side on boards.
//!
//! A rip and one narrow enough for the strip beside it share a board as far as both reach. On a floor of many rooms what that
//! saves hangs on the joints of all ripped runs together, which moves of a few runs find slowly: among so many others the one
//! that is as long and ends as it should is seldom taken up. So the ripped runs are looked at alone first, as if every other wood
//! was used to the last: a run is divided anew, its pieces find places beside others, and what is better stays, or what is not
//! much worse while it is warm. The floor is then laid around them, and moved as any other.

mod deal;
mod divide;
mod lines;
#[cfg(test)]
mod tests;

use self::deal::{Deal, Rip};
use self::divide::Boards;
use self::lines::Lines;
use crate::again::Memory;
use crate::nest::SQUARE;
use crate::rips::Use;
use crate::rules::{Joints, Marks};
use crate::search::lay_runs;
use crate::state::{Apart, Cut, HARD, LOOK, Leg, State, Task, places};
use crate::yard::{Source, Want, below, unit};
use plan::Plan;
use rand_core::SeedableRng;
use rand_pcg::Pcg64Mcg;
use std::collections::BTreeMap;
use std::ops::ControlFlow;

/// Divisions tried for each ripped run in the first spell; each later one is twice as long.
const FIRST_SPELL: u64 = 20;
/// One of so many divisions is drawn by what lines along the boards cross, the others by the rips that lie.
const BY_LINES: usize = 2;
/// Divisions tried between two looks at whether to go on.
const ROUND: u64 = 2000;
/// How much worse a division may make it at the beginning of a spell, and at its end, mm of board; for the last part of it
/// nothing may be worse.
const WARMEST: f64 = 50.0;
const COOLEST: f64 = 0.5;
const COLD: f64 = 0.05;
/// Throws for a run's first division.
const FIRST_THROWS: usize = 100;
/// What each joint costs, mm of board.
const JOINT: f64 = 30.0;

/// A run that is ripped somewhere.
#[derive(Debug)]
struct Ripped {
    run: usize,
    length: f64,
    /// Where its width changes, from the worker's left.
    corners: Vec<f64>,
    cuts: Vec<Cut>,
    /// Its pieces among all rips; of a piece that falls in two the part as long as it first.
    rips: Vec<Part>,
    /// What its joints and its pieces' shapes cost, mm of board.
    marks: f64,
}

/// A piece, or a part of one that falls in two.
#[derive(Debug, Clone, Copy)]
struct Part {
    /// Its place among the run's cuts, and its number among all rips.
    cut: usize,
    rip: u32,
    /// Of the other part of a piece that falls in two, whether it lies at the row's upper side on the plan.
    is_above: bool,
}

/// The ripped runs of a floor.
pub(crate) struct Abreast<'a, 'p> {
    task: &'a Task<'a>,
    boards: Boards<'p>,
    lines: Lines,
    deal: Deal,
    runs: Vec<Ripped>,
    joints: Joints,
    rng: Pcg64Mcg,
}

impl<'a, 'p> Abreast<'a, 'p> {
    /// The ripped runs of a ground, each divided somehow; `None` where there are none that could lie side by side, where
    /// boards are of random lengths, or may run out.
    pub(crate) fn new(task: &'a Task<'a>, plan: &'p Plan) -> Option<Self> {
        let (ground, rips) = (task.ground, &task.rips);
        let stock = &plan.stock;
        if ground.taken.is_some()
            || stock.packs.is_some()
            || (stock.lengths.is_empty() && stock.random.is_some())
        {
            return None;
        }
        let boards = Boards::new(&stock.lengths, plan.rules.least_end)?;
        let has_to_do = |run: &usize| {
            let is_square = ground.lies[*run].run.slants == SQUARE;
            is_square && rips.is_ripped(*run)
        };
        let ripped = |run: usize| {
            let lie = &ground.lies[run];
            let corners = rips.corners(run, lie).map(|u| (u - lie.plan_u(0.0)).abs()).collect();
            Ripped { run, length: lie.length(), corners, cuts: Vec::new(), rips: Vec::new(), marks: 0.0 }
        };
        let runs: Vec<Ripped> = (0..ground.lies.len()).filter(has_to_do).map(ripped).collect();
        if runs.len() < 2 {
            return None;
        }
        let deal = Deal::new(rips.count(), rips.first_groove(), stock.kerf, stock.end_match);
        let joints = Joints::new(ground);
        let lines = Lines::new(task, &stock.lengths, &plan.rules, &runs);
        let rng = Pcg64Mcg::seed_from_u64(plan.seed);
        let mut this = Self { task, boards, lines, deal, runs, joints, rng };
        for place in 0..this.runs.len() {
            // By the lines at first: no rips lie yet.
            for throw in 0..FIRST_THROWS {
                if this.step(place, f64::INFINITY, 2 * throw < FIRST_THROWS) {
                    break;
                }
            }
        }
        Some(this)
    }

    /// Divisions tried in a spell, counted from 0.
    pub(crate) fn divisions(&self, spell: u32) -> u64 {
        (FIRST_SPELL * self.runs.len() as u64) << spell
    }

    /// Tries so many divisions, unless `look`, called with those tried every now and then, breaks it off.
    pub(crate) fn spell(&mut self, count: u64, look: impl Fn(u64) -> ControlFlow<()>) -> ControlFlow<()> {
        for tried in 0..count {
            if tried % ROUND == 0 {
                look(tried)?;
            }
            let left = (count - tried) as f64 / count as f64;
            let warmth = if left < COLD { 0.0 } else { COOLEST * libm::pow(WARMEST / COOLEST, left) };
            let place = below(&mut self.rng, self.runs.len());
            let by_lines = below(&mut self.rng, BY_LINES) == 0;
            self.step(place, warmth, by_lines);
        }
        ControlFlow::Continue(())
    }

    /// Divides a run anew, and keeps what is better, or not much worse while it is warm; says whether it did.
    fn step(&mut self, place: usize, warmth: f64, by_lines: bool) -> bool {
        let Self { boards, lines, runs, rng, .. } = self;
        let some_rip = |rng: &mut Pcg64Mcg| {
            let cuts = &runs[below(rng, runs.len())].cuts;
            cuts.get(below(rng, cuts.len())).map(|cut| cut.length)
        };
        let way = match by_lines {
            true => lines.way(place, rng),
            false => boards.way(&runs[place], some_rip, rng),
        };
        let Some(cuts) = way else { return false };
        let slack = if warmth > 0.0 { -warmth * libm::log(1.0 - unit(rng)) } else { 0.0 };
        let most = self.deal.cost + self.runs[place].marks + slack;
        self.deal.begin();
        for part in &self.runs[place].rips {
            self.deal.remove(part.rip);
        }
        let rips = self.rips(place, &cuts).into_iter();
        let new: Vec<Part> =
            rips.map(|(cut, rip, is_above)| Part { cut, rip: self.deal.add(rip), is_above }).collect();
        self.deal.settle();
        // Most divisions are given up before their joints are looked at.
        if self.deal.cost <= most {
            let (ground, run) = (self.task.ground, self.runs[place].run);
            self.joints.clear(ground, run);
            let marks = self.marks(run, &cuts);
            let is_kept = self.deal.cost + marks <= most;
            if is_kept {
                let ripped = &mut self.runs[place];
                (ripped.cuts, ripped.rips, ripped.marks) = (cuts, new, marks);
            }
            self.joints.add(ground, run, places(&ground.lies[run], &self.runs[place].cuts));
            if is_kept {
                return true;
            }
        }
        self.deal.back();
        false
    }

    /// The pieces of a run that is divided so, and the parts of those that fall in two, each with its place among the cuts and
    /// the side of the row that a second part lies at.
    fn rips(&self, place: usize, cuts: &[Cut]) -> Vec<(usize, Rip, bool)> {
        let run = self.runs[place].run;
        let task = self.task;
        let lie = &task.ground.lies[run];
        let mut at = 0.0;
        let mut rips = Vec::with_capacity(cuts.len());
        let rip = |want: &Want, strips: Use| {
            let Want { length, need, .. } = *want;
            Rip { length, need, strips, cost: length }
        };
        for (number, cut) in cuts.iter().enumerate() {
            let sides = [at, at + cut.length].map(|s| lie.plan_u(s));
            at += cut.length;
            let sides = (sides[0].min(sides[1]), sides[0].max(sides[1]));
            match task.apart(run, &cut.want(), sides) {
                Some(Apart { own, other, of_other, is_above }) => {
                    rips.push((number, rip(&cut.want(), own), false));
                    rips.push((number, rip(&other, of_other), is_above));
                }
                None => rips.push((number, rip(&cut.want(), task.rips.of_piece(run, lie, sides)), false)),
            }
        }
        rips
    }

    /// What a run's joints among those of the other ripped runs, and its pieces' shapes, cost, mm of board.
    fn marks(&self, run: usize, cuts: &[Cut]) -> f64 {
        let (lie, judge) = (&self.task.ground.lies[run], self.task.judge());
        let mut marks = self.task.own_marks(run, cuts);
        let beside = judge.beside(&self.joints, run);
        let joints = places(lie, cuts);
        marks.faint += JOINT * (cuts.len() - 1) as f64;
        joints.for_each(|u| marks += judge.joint(&beside, u));
        let Marks { hard, looks, faint } = marks;
        HARD * hard as f64 + LOOK * looks as f64 + faint
    }

    /// The floor with these runs divided as they are now and all others laid around them; `None` where some board is not to
    /// be had.
    pub(crate) fn floor(&self, plan: &Plan, wish: f64) -> Option<State<'a>> {
        let mut state = State::new(self.task, plan);
        state.wish = wish;
        state.yard.shelf.price_by_length();
        self.lay(&mut state)?;
        // A run that no throw divided is laid as the others are.
        let others = (0..state.cuts.len()).filter(|run| state.cuts[*run].is_empty()).collect();
        lay_runs(&mut state, plan, others, &mut Memory::default());
        state.recount();
        Some(state)
    }

    /// Lays the ripped runs: first what has a board of its own, the longest first, then what is cut from the strips.
    fn lay(&self, state: &mut State) -> Option<()> {
        let mut cuts: Vec<Vec<Cut>> = self.runs.iter().map(|ripped| ripped.cuts.clone()).collect();
        let all = self.runs.iter().enumerate();
        let mut rips: Vec<(usize, u32)> =
            all.flat_map(|(place, ripped)| ripped.rips.iter().map(move |part| (place, part.rip))).collect();
        rips.sort_by(|a, b| self.deal.length(b.1).total_cmp(&self.deal.length(a.1)));
        let mut strips: BTreeMap<u32, u32> = BTreeMap::new();
        let mut scratch = Vec::new();
        let owned = rips.iter().filter(|(_, rip)| self.deal.from(*rip).is_none());
        let served = rips.iter().filter(|(_, rip)| self.deal.from(*rip).is_some());
        let mut sawn: BTreeMap<u32, Cut> = BTreeMap::new();
        for (place, rip) in owned.chain(served) {
            let mut cut = self.deal.cut(*rip);
            match self.deal.from(*rip) {
                None => {
                    let offer = state.yard.best(&cut.want(), &[0], (&[], &[]), &mut scratch)?;
                    cut.bar = match offer.source {
                        Source::Bar(bar) => bar,
                        Source::Fresh(kind) => state.yard.draw(kind),
                        Source::Rest => return None,
                    };
                    cut.kind = state.yard.bars[cut.bar as usize].kind;
                    cut.class = self.deal.leaves(*rip).unwrap_or(0);
                }
                Some(from) => cut.bar = *strips.get(&from)?,
            }
            cut = state.saw(self.runs[*place].run, cut);
            strips.insert(*rip, cut.strip);
            sawn.insert(*rip, cut);
        }
        for (place, ripped) in self.runs.iter().enumerate() {
            let mut parts = ripped.rips.iter().peekable();
            while let Some(part) = parts.next() {
                let leg = match parts.next_if(|next| next.cut == part.cut) {
                    Some(other) => Some(Leg::new(*sawn.get(&other.rip)?, other.is_above)),
                    None => None,
                };
                cuts[place][part.cut] = Cut { leg, ..*sawn.get(&part.rip)? };
            }
        }
        for (ripped, cuts) in self.runs.iter().zip(cuts).filter(|(_, cuts)| !cuts.is_empty()) {
            state.set(ripped.run, cuts);
        }
        state.recount();
        Some(())
    }
}
