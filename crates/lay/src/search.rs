//! The search for better joints: runs are taken up a few at a time and laid again among the rest.

mod choose;
mod large;

use self::choose::Taken;
use crate::again::Memory;
use crate::build::Builder;
use crate::ground::Lie;
use crate::rules::CROWDED;
use crate::state::{Cut, LOOK, State, Task, Value};
use crate::yard::{NONE, below, unit};
use plan::Plan;
use rand_core::SeedableRng;
use rand_pcg::Pcg64Mcg;
use rayon::prelude::*;
use std::ops::ControlFlow;

/// Searches that run side by side from the first floor, each with its own chance. Their number is part of the
/// result: more threads only make them faster.
const CHAINS: u64 = 4;
/// A floor of more runs than this is searched by one chain: there every move helps somewhere, and moves of several
/// chains would be made for one floor and thrown away for the others.
const ONE_CHAIN: u64 = 300;
/// The first floor of one of more runs than this is laid in haste.
const MANY_RUNS: u64 = 600;
/// Moves of one chain between two looks at how far the search has come, for each run of the floor, and the fewest
/// and most.
const MOVES_PER_RUN: u64 = 2;
const FEWEST_MOVES: u64 = 100;
const MOST_MOVES: u64 = 2000;
/// Ways tried for each run of a first floor, and in a move.
const FIRST_TRIES: usize = 10;
const TRIES: usize = 5;
/// How much worse a move may make a floor, mm of board, step by step through a spell. It ends at none, so that what
/// was loosened settles.
const WARMTH: [f64; 8] = [80.0, 50.0, 30.0, 18.0, 10.0, 5.0, 2.0, 0.0];
/// Epochs of the first spell; each later spell is twice as long, so that a long search cools slowly.
const FIRST_SPELL: u64 = 8;
/// Epochs without a floor of fewer packs after which the packs aimed for are taken as too few.
const PATIENCE: u64 = 24;
/// Moves for each run, and at most, that may bring a floor with long boards where eyes fall down to the boards it may
/// open; between two looks at whether it has come so far.
const SETTLING_PER_RUN: u64 = 3;
const MOST_SETTLING: u64 = 600;
const SETTLING_ROUND: u64 = 20;

/// How far a search has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Progress {
    /// Moves taken.
    pub moves: u64,
    /// Moves it may take.
    pub of: u64,
    /// Boards the best floor opens.
    pub opened: usize,
    /// Hard rules it breaks.
    pub faults: u64,
    /// H joints and stairs it shows.
    pub looks: u64,
}

/// Lays every run once, in order of laying. What a board of no length would cost in an open room is the wish for long
/// boards where eyes fall, mm of board.
pub(crate) fn first_floor<'a>(task: &'a Task<'a>, plan: &Plan, wish: f64, memory: &mut Memory) -> State<'a> {
    let mut state = State::new(task, plan);
    state.wish = wish;
    lay_all(state, plan, memory)
}

/// The same of a floor that is compared with no other: no marks are counted.
pub(crate) fn only_floor<'a>(task: &'a Task<'a>, plan: &Plan, memory: &mut Memory) -> State<'a> {
    let mut state = State::new(task, plan);
    state.is_marked = false;
    lay_all(state, plan, memory)
}

fn lay_all<'a>(mut state: State<'a>, plan: &Plan, memory: &mut Memory) -> State<'a> {
    let runs = (0..state.task.ground.lies.len()).collect();
    lay_runs(&mut state, plan, runs, memory);
    if state.yard.shelf.is_lopsided() { in_proportion(state, plan) } else { state }
}

/// Lays a floor again that draws one length out of proportion to the packs: the leading length counts as waste, so that a
/// run that one such board would cover, or fit, is looked at further. What breaks a rule more for it, or still leaves many
/// boards whole, is moved for a while. Where that is no better the floor stays.
fn in_proportion<'a>(floor: State<'a>, plan: &Plan) -> State<'a> {
    let mut again = State::new(floor.task, plan);
    again.wish = floor.wish;
    again.yard.shelf.watch(true);
    lay_runs(&mut again, plan, (0..floor.cuts.len()).collect(), &mut Memory::default());
    let hard = floor.all_marks().hard;
    let will_do = |state: &State| state.all_marks().hard <= hard && !state.yard.shelf.is_lopsided();
    if !will_do(&again) {
        again = moved(again, plan.seed, false, will_do);
    }
    again.yard.shelf.watch(false);
    // As the search weighs it, with whole packs.
    let cost = |state: &State| {
        let looks = LOOK * state.all_marks().looks as f64 + CROWDED * state.crowded() as f64;
        looks + state.yard.shelf.packs_wood() + state.yard.wood
    };
    if again.all_marks().hard <= hard && cost(&again) < cost(&floor) { again } else { floor }
}

/// Whether the first floor of a ground of so many runs is laid in haste.
pub(crate) fn is_large(runs: usize) -> bool {
    runs as u64 > MANY_RUNS
}

/// Lays some runs once, in order of laying, and sets the packs to aim for.
pub(crate) fn lay_runs(state: &mut State, plan: &Plan, runs: Vec<usize>, memory: &mut Memory) {
    let task = state.task;
    let mut rng = Pcg64Mcg::seed_from_u64(plan.seed);
    let mut builder = Builder::new(is_large(task.ground.lies.len()));
    memory.begin();
    let count = runs.len();
    let (waiting, others): (Vec<usize>, Vec<usize>) = runs.into_iter().partition(|run| task.rips.waits(*run));
    for (place, run) in others.into_iter().chain(waiting).enumerate() {
        state.yard.rate(Some(count - place));
        if let Some(chance) = memory.lay_again(state, place, run) {
            rng = chance;
            continue;
        }
        let mirrored = builder.build(state, run, FIRST_TRIES, false, &mut rng);
        let pieces = if mirrored.is_some() { builder.laid() } else { &[] };
        memory.note((&*state, run), (pieces, mirrored.unwrap_or(false)), &rng);
    }
    state.yard.rate(None);
    let wood: f64 = task.ground.lies.iter().map(Lie::length).sum();
    let shelf = &mut state.yard.shelf;
    let wood = wood + shelf.opened_wood;
    shelf.target = (wood / shelf.pack_wood().max(1.0)).ceil() as u32;
}

/// Improves a floor until `effort` moves are taken or `look` breaks it off; gives the best floor and the moves taken.
pub(crate) fn improve<'a>(
    mut first: State<'a>,
    plan: &Plan,
    effort: u64,
    look: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
) -> (State<'a>, u64) {
    first.recount();
    let runs = first.cuts.len() as u64;
    if is_one_chain(runs) {
        return large::improve(first, plan, effort, look);
    }
    let length = epoch_of(runs);
    let epochs = if runs == 0 { 0 } else { effort.div_ceil(CHAINS * length) };
    let (mut moves, of) = (0, epochs * CHAINS * length);
    let mut chains: Vec<Chain> =
        (0..CHAINS).map(|number| Chain::new(first.clone(), plan.seed, number)).collect();
    for epoch in 0..epochs {
        if is_new_spell(epoch) {
            let best = leader(&chains).best.clone();
            chains.iter_mut().for_each(|chain| chain.go_on_from(best.clone()));
        }
        chains.par_iter_mut().for_each(|chain| chain.epoch(warmth(epoch), length));
        moves += CHAINS * length;
        if look(leader(&chains).value.progress(moves, of)).is_break() {
            break;
        }
    }
    (leader(&chains).best.clone(), moves)
}

/// Whether a floor of so many runs is searched by one chain.
fn is_one_chain(runs: u64) -> bool {
    runs > ONE_CHAIN
}

/// Moves of one chain between two looks at how far the search has come.
fn epoch_of(runs: u64) -> u64 {
    (MOVES_PER_RUN * runs).clamp(FEWEST_MOVES, MOST_MOVES)
}

/// Moves a floor, never to a worse one, until it costs no more than it may or the moves are used up.
pub(crate) fn settle<'a>(first: State<'a>, seed: u64, most: &Value) -> State<'a> {
    moved(first, seed, false, |state| state.value().costs_no_more(most))
}

/// Finds other boards for a floor's pieces, all joints as they are, never to a worse floor, until it will do or the moves are
/// used up.
pub(crate) fn trade<'a>(first: State<'a>, seed: u64, will_do: impl Fn(&State) -> bool) -> State<'a> {
    moved(first, seed, true, will_do)
}

/// Moves a floor, never to a worse one, until it will do or the moves are used up.
fn moved<'a>(first: State<'a>, seed: u64, keeps_joints: bool, will_do: impl Fn(&State) -> bool) -> State<'a> {
    let runs = first.cuts.len() as u64;
    let mut chain = Chain::new(first, seed, 0);
    for _ in 0..(SETTLING_PER_RUN * runs).min(MOST_SETTLING) / SETTLING_ROUND {
        for _ in 0..SETTLING_ROUND {
            chain.step(0.0, keeps_joints);
        }
        chain.state.recount();
        if will_do(&chain.state) {
            break;
        }
    }
    chain.state
}

/// An epoch's place in its spell, and the spell's length.
fn spell(epoch: u64) -> (u64, u64) {
    let (mut since, mut spell) = (epoch, FIRST_SPELL);
    while since >= spell {
        since -= spell;
        spell *= 2;
    }
    (since, spell)
}

/// Whether every chain goes on from the best floor of all.
fn is_new_spell(epoch: u64) -> bool {
    epoch > 0 && spell(epoch).0 == 0
}

/// How much worse a move of an epoch may make a floor, mm of board.
fn warmth(epoch: u64) -> f64 {
    let (since, spell) = spell(epoch);
    WARMTH[(since * WARMTH.len() as u64 / spell) as usize]
}

/// The chain with the best floor; of equals the first.
fn leader<'c, 'a>(chains: &'c [Chain<'a>]) -> &'c Chain<'a> {
    let mut best = &chains[0];
    for chain in &chains[1..] {
        if chain.value.beats(&best.value) {
            best = chain;
        }
    }
    best
}

struct Chain<'a> {
    number: u64,
    state: State<'a>,
    best: State<'a>,
    value: Value,
    rng: Pcg64Mcg,
    builder: Builder,
    /// Runs with marks against them when the epoch began.
    marked: Vec<usize>,
    /// Narrow runs that then took a board of whole width somewhere.
    hungry: Vec<usize>,
    since_fewer_packs: u64,
    /// Whether ripped runs stay as they are.
    holds_rips: bool,
}

impl<'a> Chain<'a> {
    fn new(first: State<'a>, seed: u64, number: u64) -> Self {
        // Far enough apart that the chains' streams have nothing in common.
        let own = seed ^ (number + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let mut chain = Self {
            number,
            value: first.value(),
            best: first.clone(),
            state: first.clone(),
            rng: Pcg64Mcg::seed_from_u64(own),
            builder: Builder::default(),
            marked: Vec::new(),
            hungry: Vec::new(),
            since_fewer_packs: 0,
            holds_rips: false,
        };
        chain.go_on_from(first);
        chain
    }

    /// Goes on from a floor. Every other search draws lengths in the proportions of the pack, so that no length runs out
    /// long before the others; the rest draw whatever fits best, which wastes less where packs are few. One chain does both
    /// by turns.
    fn go_on_from(&mut self, floor: State<'a>) {
        self.state = floor;
        self.state.yard.shelf.balancing = self.number.is_multiple_of(2);
    }

    /// Begins anew from a floor, which need not be better.
    fn begin_from(&mut self, floor: State<'a>) {
        (self.value, self.best, self.since_fewer_packs) = (floor.value(), floor.clone(), 0);
        self.go_on_from(floor);
    }

    fn epoch(&mut self, warmth: f64, moves: u64) {
        self.state.yard.tidy();
        if is_one_chain(self.state.cuts.len() as u64) {
            let shelf = &mut self.state.yard.shelf;
            shelf.balancing = !shelf.balancing;
        }
        let state = &self.state;
        self.marked.clear();
        self.marked.extend((0..state.cuts.len()).filter(|run| {
            let marks = state.run_marks(*run);
            marks.hard + marks.looks > 0 || state.task.crowded(*run, &state.cuts[*run]) > 0
        }));
        self.hungry.clear();
        let is_hungry =
            |run: &usize| state.task.rips.waits(*run) && state.cuts[*run].iter().any(|cut| cut.kind != NONE);
        self.hungry.extend((0..state.cuts.len()).filter(is_hungry));
        for _ in 0..moves {
            self.step(warmth, false);
        }
        self.state.recount();
        let value = self.state.value();
        self.since_fewer_packs = if value.packs < self.value.packs { 0 } else { self.since_fewer_packs + 1 };
        if value.beats(&self.value) {
            self.value = value;
            self.best = self.state.clone();
        }
        // The wood that is used says how few packs might do: rips cut from strips take none.
        let shelf = &mut self.state.yard.shelf;
        shelf.target =
            if self.since_fewer_packs < PATIENCE { shelf.fewest_packs() } else { self.value.packs };
    }

    /// One move: takes a few runs up, lays them again, all with the joints they had if so asked, and keeps what is better, or not
    /// much worse while it is warm.
    fn step(&mut self, warmth: f64, keeps_joints: bool) {
        let Some(Taken { runs, chosen }) = self.choose() else { return };
        let before = self.state.weight();
        let taken = self.state.take_up(&runs);
        let mut order: Vec<usize> = (0..runs.len()).collect();
        for i in (1..order.len()).rev() {
            order.swap(i, below(&mut self.rng, i + 1));
        }
        let task = self.state.task;
        if task.is_searched {
            // Strips must lie there before they can serve.
            order.sort_by_key(|place| task.rips.serving_some(runs[*place]).len() > 1);
        }
        for place in order {
            // What was taken up only because it hangs on another's strips may keep its joints.
            let may_keep = keeps_joints || (task.is_searched && place >= chosen);
            let had: &[Cut] = if may_keep { &taken[place] } else { &[] };
            let tries = if keeps_joints { 0 } else { TRIES };
            self.builder.build_or_keep(&mut self.state, runs[place], (tries, true), had, &mut self.rng);
        }
        let slack = if warmth > 0.0 { -warmth * libm::log(1.0 - unit(&mut self.rng)) } else { 0.0 };
        if self.state.weight() > before + slack {
            self.state.take_up(&runs);
            self.state.restore(&runs, taken);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ground::Ground;
    use plan::{GapRange, Point, Room};

    /// The rounds in which lengths are drawn in proportion, of a room with so many rows and chains.
    fn rounds(rows: f64, number: u64) -> Vec<bool> {
        let mut plan = Plan::new("t");
        plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
        let corners = [(0.0, 0.0), (2520.0, 0.0), (2520.0, 190.0 * rows), (0.0, 190.0 * rows)];
        plan.rooms.push(Room::boarded("Room", corners.map(Point::from)));
        plan.stock.face_width = 190.0;
        let site = site::survey(&plan);
        let setout = setout::set_out(&plan, &site);
        let ground = Ground::new(&plan, &site, &setout);
        let task = Task::new(&ground, &plan, true);
        let first = first_floor(&task, &plan, 0.0, &mut Memory::default());
        let mut chain = Chain::new(first, plan.seed, number);
        let round = |chain: &mut Chain| {
            chain.epoch(0.0, 1);
            chain.state.yard.shelf.balancing
        };
        (0..4).map(|_| round(&mut chain)).collect()
    }

    /// The one chain of a large floor takes turns; of a small floor's chains every other one does it always, the rest never.
    #[test]
    fn one_chain_draws_in_proportion_every_other_round() {
        assert_eq!(rounds(320.0, 0), [false, true, false, true]);
        assert_eq!(rounds(12.0, 0), [true; 4]);
        assert_eq!(rounds(12.0, 1), [false; 4]);
    }
}
