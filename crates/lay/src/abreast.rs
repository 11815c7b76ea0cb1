//! Joints of ripped runs, chosen so that their pieces lie side by side on boards.
//!
//! A rip and one narrow enough for the strip beside it share a board as far as both reach. On a floor of many rooms what that
//! saves hangs on the joints of all ripped runs together, which moves of a few runs find slowly: among so many others the one
//! that is as long and ends as it should is seldom taken up. So the ripped runs are looked at alone first, as if every other wood
//! was used to the last: a run is divided anew, its pieces find places beside others, and what is better stays, or what is not
//! much worse while it is warm. The floor is then laid around them, and moved as any other.

mod deal;
mod divide;
#[cfg(test)]
mod tests;

use self::deal::{Deal, Rip};
use self::divide::Boards;
use crate::again::Memory;
use crate::nest::SQUARE;
use crate::rules::{Joints, Marks};
use crate::search::lay_runs;
use crate::shelf::PER_BOARD;
use crate::state::{Cut, HARD, LOOK, State, Task, places};
use crate::yard::{Need, Source, below, unit};
use plan::Plan;
use rand_core::SeedableRng;
use rand_pcg::Pcg64Mcg;
use std::collections::BTreeMap;
use std::ops::ControlFlow;

/// Divisions tried for each ripped run in the first spell; each later one is twice as long.
const FIRST_SPELL: u64 = 20;
const SPELLS: u32 = 3;
/// Divisions tried between two looks at whether to go on.
const ROUND: u64 = 2000;
/// How much worse a division may make it at the beginning of a spell, and at its end, mm of board; for the last part of it
/// nothing may be worse.
const WARMEST: f64 = 150.0;
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
    /// Its pieces among all rips, as its cuts are.
    rips: Vec<u32>,
    /// What its joints and its pieces' shapes cost, mm of board.
    marks: f64,
}

/// The ripped runs of a floor.
pub(crate) struct Abreast<'a, 'p> {
    task: &'a Task<'a>,
    boards: Boards<'p>,
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
            is_square && (rips.serving_some(*run).len() > 1 || rips.leaving().binary_search(run).is_ok())
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
        let mut this = Self { task, boards, deal, runs, joints, rng: Pcg64Mcg::seed_from_u64(plan.seed) };
        for place in 0..this.runs.len() {
            for _ in 0..FIRST_THROWS {
                if this.step(place, f64::INFINITY) {
                    break;
                }
            }
        }
        Some(this)
    }

    /// Divisions tried in each spell, one spell after another, as far as so many divisions reach.
    pub(crate) fn spells(&self, most: u64) -> impl Iterator<Item = u64> + use<> {
        let first = FIRST_SPELL * self.runs.len() as u64;
        (0..SPELLS).map(move |spell| first << spell).scan(most, |left, spell| {
            *left = left.checked_sub(spell)?;
            Some(spell)
        })
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
            self.step(place, warmth);
        }
        ControlFlow::Continue(())
    }

    /// Divides a run anew, and keeps what is better, or not much worse while it is warm; says whether it did.
    fn step(&mut self, place: usize, warmth: f64) -> bool {
        let Self { boards, runs, rng, .. } = self;
        let some_rip = |rng: &mut Pcg64Mcg| {
            let cuts = &runs[below(rng, runs.len())].cuts;
            cuts.get(below(rng, cuts.len())).map(|cut| cut.length)
        };
        let Some(cuts) = boards.way(&runs[place], some_rip, rng) else { return false };
        let slack = if warmth > 0.0 { -warmth * libm::log(1.0 - unit(rng)) } else { 0.0 };
        let most = self.deal.cost + self.runs[place].marks + slack;
        self.deal.begin();
        for rip in &self.runs[place].rips {
            self.deal.remove(*rip);
        }
        let new: Vec<u32> = self.rips(place, &cuts).into_iter().map(|rip| self.deal.add(rip)).collect();
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

    /// The pieces of a run that is divided so.
    fn rips(&self, place: usize, cuts: &[Cut]) -> Vec<Rip> {
        let run = self.runs[place].run;
        let lie = &self.task.ground.lies[run];
        let mut at = 0.0;
        let rip = |cut: &Cut| {
            let sides = [at, at + cut.length].map(|s| lie.plan_u(s));
            at += cut.length;
            let strips = self.task.rips.of_piece(run, lie, (sides[0].min(sides[1]), sides[0].max(sides[1])));
            // As a board is opened: the length sawn off is as dear as any.
            let cost = match cut.need {
                Need::Both => cut.length + PER_BOARD,
                _ => cut.length * (1.0 + PER_BOARD / self.boards.longest),
            };
            Rip { length: cut.length, need: cut.need, strips, cost }
        };
        cuts.iter().map(rip).collect()
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
        let mut pieces: Vec<(usize, usize, u32)> = all
            .flat_map(|(place, ripped)| ripped.rips.iter().enumerate().map(move |(i, rip)| (place, i, *rip)))
            .collect();
        let length = |piece: &(usize, usize, u32)| self.runs[piece.0].cuts[piece.1].length;
        pieces.sort_by(|a, b| length(b).total_cmp(&length(a)));
        let mut strips: BTreeMap<u32, u32> = BTreeMap::new();
        let mut scratch = Vec::new();
        let owned = pieces.iter().filter(|piece| self.deal.from(piece.2).is_none());
        let served = pieces.iter().filter(|piece| self.deal.from(piece.2).is_some());
        for (place, i, rip) in owned.chain(served) {
            let cut = &mut cuts[*place][*i];
            let run = self.runs[*place].run as u32;
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
            state.yard.cut(cut.bar, &cut.want(), run);
            cut.strip = state.lay_aside(cut);
            strips.insert(*rip, cut.strip);
        }
        for (ripped, cuts) in self.runs.iter().zip(cuts).filter(|(_, cuts)| !cuts.is_empty()) {
            state.set(ripped.run, cuts);
        }
        state.recount();
        Some(())
    }
}
