//! Lays one run among the others: a starter, whole boards, a closer, from offcuts and fresh boards.

use crate::ground::Lie;
use crate::nest::SQUARE;
use crate::rules::{Beside, Judge, Marks};
use crate::shelf::EXACT;
use crate::state::{HARD, LOOK, Planned, State};
use crate::yard::{Need, Offer, Source, Want, below, unit};
use rand_pcg::Pcg64Mcg;

/// Lengths drawn by chance are cut in steps of this, mm, so that one setting of the stop serves several.
const STOP_STEP: f64 = 10.0;
/// What each joint costs, mm of board: of two runs alike in all else the one with longer boards is laid.
const JOINT: f64 = 30.0;
/// Chance added to the cost of a run, mm of board, so that runs alike are not laid alike.
const SHAKE: f64 = 60.0;
/// How many times the usual ways a run is tried while every way breaks a rule: in a first floor, and in a move,
/// which is given up where the run does not fit.
const PATIENCE: usize = 8;
const MOVE_PATIENCE: usize = 2;
/// Kinds of board tried at each joint, unless one stands well sooner.
const KINDS: usize = 3;
/// A board that costs no more than this beside its wood stands well, mm of board.
const WELL: f64 = 340.0;
/// Closers tried for one first piece, each a board further on.
const CLOSERS: usize = 2;
/// Boards changed for others in one try because no joint after them is legal.
const STEPS_BACK: usize = 10;
/// Joints looked at for one run: a long run is tried fewer ways, since only its ends differ.
const JOINTS: f64 = 60.0;
/// A way that makes no more wood than this good for nothing, and breaks nothing, is laid without looking for another,
/// mm; of one piece, that could be a run of two.
const GOOD_LOSS: f64 = 15.0;
const WHOLE_LOSS: f64 = 60.0;
/// Ways tried for the longest run; and for any run of a small floor, however good.
const FEWEST_TRIES: usize = 3;
/// How many times the usual ways a run is tried in a first floor while every way shows something.
const LOOK_PATIENCE: usize = 3;
/// One of so many first pieces with a slanting end is not looked for among offcuts of its slant; one of so many that is, is
/// shortened.
const NEST_ODDS: usize = 4;
/// Strips tried at each joint.
const STRIPS: usize = 4;

/// How a run is to be laid.
#[derive(Debug, Default)]
struct Way {
    pieces: Vec<Planned>,
    mirrored: bool,
    cost: f64,
    hard: i64,
    looks: i64,
    /// Wood that it makes good for nothing, mm.
    loss: f64,
}

impl Way {
    fn is_good(&self, most_loss: f64) -> bool {
        self.hard == 0 && self.looks == 0 && self.loss <= most_loss
    }
}

/// Lays runs; keeps its lists between runs.
#[derive(Debug, Default)]
pub(crate) struct Builder {
    best: Option<Way>,
    pieces: Vec<Planned>,
    /// Bars and fresh boards spoken for by the pieces so far.
    taken: Vec<u32>,
    spoken: Vec<u32>,
    scratch: Vec<u32>,
    trail: Vec<Fork>,
    /// The list of the best way's pieces while there is none.
    spare: Vec<Planned>,
    /// Whether the first good way is taken.
    is_hasty: bool,
}

/// A board that goes in at a joint, and the marks against the joint at its far end.
struct Step {
    length: f64,
    offer: Offer,
    marks: Marks,
}

/// A place in a run up to which it is laid.
#[derive(Debug, Clone, Copy)]
struct Fork {
    at: f64,
    cost: f64,
    marks: Marks,
    /// Closers offered so far.
    closed: usize,
    /// Wood made good for nothing so far, mm.
    loss: f64,
}

/// The run being laid.
#[derive(Clone, Copy)]
struct Job<'s, 'a> {
    state: &'s State<'a>,
    judge: &'s Judge<'a>,
    beside: &'s Beside<'s>,
    run: usize,
    lie: &'s Lie,
    length: f64,
    /// Whether it is laid from the worker's right.
    mirrored: bool,
}

impl Job<'_, '_> {
    /// What the first piece, and the last, need of their ends.
    fn needs(&self) -> (Need, Need) {
        let (first, last) = if self.mirrored { (Need::Left, Need::Right) } else { (Need::Right, Need::Left) };
        let [starts_joined, ends_joined] = self.joined();
        (if starts_joined { Need::Both } else { first }, if ends_joined { Need::Both } else { last })
    }

    /// The first piece of the run, or its last, or the one that is all of it, so long.
    fn want(&self, length: f64, need: Need, [is_first, is_last]: [bool; 2]) -> Want {
        let ends = if self.mirrored { [is_last, is_first] } else { [is_first, is_last] };
        Want { length, need, shifts: self.lie.shifts(length, ends) }
    }

    fn first(&self, length: f64) -> Want {
        self.want(length, self.needs().0, [true, false])
    }

    fn last(&self, length: f64) -> Want {
        self.want(length, self.needs().1, [false, true])
    }

    /// Whether the run goes on from a laid board where it is begun, and where it is closed.
    fn joined(&self) -> [bool; 2] {
        let [left, right] = self.lie.joined;
        if self.mirrored { [right, left] } else { [left, right] }
    }

    /// Classes that serve a piece of this length at a distance from the first end, whole width first.
    fn classes(&self, at: f64, length: f64) -> &[u16] {
        let (task, lie) = (self.state.task, self.lie);
        let side = |at: f64| lie.plan_u(if self.mirrored { self.length - at } else { at });
        let (a, b) = (side(at), side(at + length));
        task.rips.serving(self.run, lie, (a.min(b), a.max(b)))
    }

    /// What a board from a place on costs for being short where it is seen, mm of board.
    fn short(&self, from: f64, length: f64) -> f64 {
        if self.state.wish == 0.0 {
            return 0.0;
        }
        let at = from + length / 2.0;
        let s = if self.mirrored { self.length - at } else { at };
        self.state.wish * self.state.task.seen.short(self.run, self.lie.plan_u(s), length)
    }

    /// Marks against a joint at a distance from the first end. Where only legal joints are wanted, one that is
    /// not is looked at no further.
    fn marks(&self, at: f64, is_strict: bool) -> Option<Marks> {
        let s = if self.mirrored { self.length - at } else { at };
        let u = self.lie.plan_u(s);
        let mut marks = match is_strict {
            true => self.judge.legal_joint(self.beside, u)?,
            false => self.judge.joint(self.beside, u),
        };
        marks.faint += JOINT;
        Some(marks)
    }
}

impl Builder {
    pub(crate) fn new(is_hasty: bool) -> Self {
        Self { is_hasty, ..Self::default() }
    }

    /// Lays an empty run the best way found in about `tries`, and says whether that is from the worker's right. It stays
    /// empty, `None`, only where the stock on hand does not reach.
    pub(crate) fn build(
        &mut self,
        state: &mut State,
        run: usize,
        tries: usize,
        may_split: bool,
        rng: &mut Pcg64Mcg,
    ) -> Option<bool> {
        self.best = None;
        let task = state.task;
        let lie = &task.ground.lies[run];
        let length = lie.length();
        let judge = state.judge();
        let beside = judge.beside(&state.joints, run);
        let job = Job { state, judge: &judge, beside: &beside, run, lie, length, mirrored: false };
        self.whole(&job);
        let from_strips = task.rips.serving_some(run)[1..].iter();
        let may_be_strips =
            from_strips.into_iter().any(|class| state.yard.has_offcuts(*class, Need::Neither) > 0);
        // Strips save whole boards, and where rooms are seen unlike a way may be better than good.
        let is_choosy = may_be_strips || (task.seen.asks() && state.wish > 0.0 && !self.is_hasty);
        let few = if is_choosy { tries } else { usize::from(!self.is_hasty) * (FEWEST_TRIES - 1) + 1 };
        if self.best.as_ref().is_none_or(|best| !best.is_good(WHOLE_LOSS)) || may_split {
            let boards = length / state.yard.longest();
            let tries = ((JOINTS / boards.max(1.0)) as usize).clamp(FEWEST_TRIES.min(tries), tries);
            let patience = if may_split { MOVE_PATIENCE } else { PATIENCE };
            for number in 0..tries * patience {
                let is_over = self.best.as_ref().is_some_and(|best| {
                    let is_enough = best.looks == 0 || number >= LOOK_PATIENCE * tries;
                    let is_tried = number >= tries && best.hard == 0 && (may_split || is_enough);
                    is_tried || (!may_split && number >= few && best.is_good(GOOD_LOSS))
                });
                if is_over {
                    break;
                }
                // What goes on from a laid board is laid from there.
                let mirrored = match lie.joined {
                    [true, false] => false,
                    [false, true] => true,
                    _ => below(rng, 2) == 0,
                };
                self.attempt(&Job { mirrored, ..job }, rng);
            }
        }
        let best = self.best.take()?;
        state.lay(run, &best.pieces, best.mirrored);
        self.spare = best.pieces;
        Some(best.mirrored)
    }

    /// The pieces of the run laid last.
    pub(crate) fn laid(&self) -> &[Planned] {
        &self.spare
    }

    /// One board from end to end, if there is one so long.
    fn whole(&mut self, job: &Job) {
        let nothing: (&[u32], &[u32]) = (&[], &[]);
        let yard = &job.state.yard;
        let need = match job.lie.joined {
            [false, false] => Need::Neither,
            [true, false] => Need::Left,
            [false, true] => Need::Right,
            [true, true] => Need::Both,
        };
        let want = job.want(job.length, need, [true, true]);
        let offer = yard.best(&want, job.classes(0.0, job.length), nothing, &mut self.scratch);
        if let Some(Offer { source, cost, loss }) = offer {
            let mut pieces = std::mem::take(&mut self.spare);
            pieces.clear();
            pieces.push(Planned::new(want, source));
            self.best = Some(Way { pieces, cost, loss, ..Way::default() });
        }
    }

    /// Tries one first piece and lays on from it.
    fn attempt(&mut self, job: &Job, rng: &mut Pcg64Mcg) {
        self.pieces.clear();
        self.taken.clear();
        self.spoken.clear();
        self.trail.clear();
        let mut here = Fork { at: 0.0, cost: 0.0, marks: Marks::default(), closed: 0, loss: 0.0 };
        if !job.joined()[0] {
            let Some((length, Offer { source, cost, loss })) = first_piece(job, rng) else { return };
            // A way that breaks a rule is followed only as long as no legal one is known.
            let is_strict = self.best.as_ref().is_some_and(|best| best.hard == 0);
            let Some(marks) = job.marks(length, is_strict) else { return };
            self.push(job.first(length), source);
            let cost = cost + job.short(0.0, length);
            here = Fork { at: length, cost, marks, closed: 0, loss };
        }
        here.cost += SHAKE * unit(rng);
        let mut patience = STEPS_BACK;
        loop {
            here.closed += usize::from(self.close(job, &here));
            let step = loop {
                if here.closed == CLOSERS {
                    return;
                }
                if let Some(step) = self.middle(job, &here, patience > 0, rng) {
                    break step;
                }
                // Where every board's far end stands too close to a neighbour's the last one is changed for another.
                match self.trail.pop().filter(|_| patience > 0 && here.closed == 0) {
                    Some(fork) => {
                        patience -= 1;
                        here = fork;
                        self.pop();
                    }
                    None if patience > 0 => patience = 0,
                    None => return,
                }
            };
            self.trail.push(here);
            self.push(Want::square(step.length, Need::Both), step.offer.source);
            here.cost += step.offer.cost;
            here.loss += step.offer.loss;
            here.at += step.length;
            here.marks += step.marks;
            let is_worse = |best: &Way| here.cost + weight(&here.marks) > best.cost;
            if self.best.as_ref().is_some_and(is_worse) {
                return;
            }
        }
    }

    fn pop(&mut self) {
        match self.pieces.pop().map(|piece| piece.source) {
            Some(Source::Bar(_)) => drop(self.taken.pop()),
            Some(Source::Fresh(_)) => drop(self.spoken.pop()),
            Some(Source::Rest) | None => {}
        }
    }

    fn push(&mut self, want: Want, source: Source) {
        match source {
            Source::Bar(bar) => self.taken.push(bar),
            Source::Fresh(kind) => self.spoken.push(kind),
            Source::Rest => {}
        }
        self.pieces.push(Planned::new(want, source));
    }

    /// Ends the run with one piece and keeps it if it is the cheapest so far. A piece under the least end is
    /// taken only where nothing else reached the end.
    fn close(&mut self, job: &Job, here: &Fork) -> bool {
        let state = job.state;
        // A run laid as one board is tried apart.
        let Some(first) = self.pieces.first().copied() else { return false };
        let [starts_joined, ends_joined] = job.joined();
        let rest = job.length - here.at;
        let is_short = !ends_joined && rest < state.task.rules.least_end - EXACT;
        if rest > state.yard.longest() + EXACT || (is_short && here.closed > 0) || rest <= EXACT {
            return false;
        }
        let want = job.last(rest);
        let spoken_for = (self.taken.as_slice(), self.spoken.as_slice());
        let offer = state.yard.best(&want, job.classes(here.at, rest), spoken_for, &mut self.scratch);
        let from_first = self.rest_of_first(job, here.at, &want);
        let cheaper = |a: &Offer, b: &Offer| a.cost.total_cmp(&b.cost);
        let Some(Offer { source, cost: closing, loss }) =
            [from_first, offer].into_iter().flatten().min_by(cheaper)
        else {
            return false;
        };
        let first_short = !starts_joined && first.length < state.task.rules.least_end - EXACT;
        let hard = here.marks.hard + i64::from(is_short) + i64::from(first_short);
        let closing = closing + job.short(here.at, rest);
        let cost = here.cost + closing + weight(&Marks { hard, ..here.marks });
        if self.best.as_ref().is_none_or(|best| cost < best.cost) {
            let pieces = &mut self.spare;
            let best =
                self.best.get_or_insert_with(|| Way { pieces: std::mem::take(pieces), ..Way::default() });
            best.pieces.clear();
            best.pieces.extend_from_slice(&self.pieces);
            best.pieces.push(Planned::new(want, source));
            (best.mirrored, best.cost, best.hard) = (job.mirrored, cost, hard);
            (best.looks, best.loss) = (here.marks.looks, here.loss + loss);
        }
        true
    }

    /// The last piece cut from what the first leaves of its board.
    fn rest_of_first(&self, job: &Job, at: f64, want: &Want) -> Option<Offer> {
        let length = want.length;
        let first = *self.pieces.first()?;
        let yard = &job.state.yard;
        // A board that lies between two others is no part of another.
        if job.joined()[1] && yard.end_match() {
            return None;
        }
        let has_both_ends = match first.source {
            Source::Bar(bar) => {
                let bar = &yard.bars[bar as usize];
                bar.left && bar.right && job.classes(at, length).contains(&bar.class)
            }
            Source::Fresh(_) => true,
            Source::Rest => false,
        };
        let (rest, less) = yard.rest(first.source, &first.want(), want);
        let length = length - less;
        let fits = has_both_ends && rest + EXACT >= length;
        fits.then(|| yard.of_rest(rest, length))
    }

    /// The board that goes in at a joint: of a few by chance the one whose far end stands best. Where every board
    /// would leave a closer under the least and nothing has closed the run, the shortest goes in.
    fn middle(&self, job: &Job, here: &Fork, is_strict: bool, rng: &mut Pcg64Mcg) -> Option<Step> {
        let yard = &job.state.yard;
        let at = here.at;
        let rest = job.length - at;
        let most = rest - job.state.task.rules.least_end;
        let mut best: Option<(f64, Step)> = None;
        // Gives whether it stands so well that no other need be tried.
        let mut offer = |length: f64, offer: Offer| -> bool {
            let offer = Offer { cost: offer.cost + job.short(at, length), ..offer };
            if best.as_ref().is_some_and(|(_, step)| step.length == length) {
                return false;
            }
            // It weighs as much with nothing against its joint: where that is too much its joint need not be looked at.
            let least = JOINT + offer.cost - length;
            if least >= WELL && best.as_ref().is_some_and(|(best, _)| least >= *best) {
                return false;
            }
            let is_strict = is_strict || best.as_ref().is_some_and(|(_, step)| step.marks.hard == 0);
            let Some(marks) = job.marks(at + length, is_strict) else { return false };
            // The price stands for the wood at hand too: longer boards need fewer.
            let weight = weight(&marks) + offer.cost - length;
            if best.as_ref().is_none_or(|(least, _)| weight < *least) {
                best = Some((weight, Step { length, offer, marks }));
            }
            weight < WELL
        };
        let may_be_strip = job.state.task.rips.serving_some(job.run).len() > 1;
        for _ in 0..if may_be_strip { STRIPS } else { 1 } {
            let Some(bar) = offcut_between(job, (at, most), &self.taken, rng) else { continue };
            let length = yard.room(bar, Need::Both, SQUARE);
            if offer(length, yard.of_bar(bar, &Want::square(length, Need::Both))) {
                break;
            }
        }
        let mut kind = yard.shelf.some(most, &self.spoken, rng);
        for _ in 0..KINDS {
            let Some(this) = kind else { break };
            let length = yard.shelf.length(this);
            if offer(length, yard.of_fresh(this, length)) {
                break;
            }
            kind = yard.shelf.next(this, most, &self.spoken);
        }
        if let Some((_, step)) = best {
            return Some(step);
        }
        let kind = yard.shelf.shortest(&self.spoken).filter(|_| here.closed == 0 && !is_strict)?;
        let length = yard.shelf.length(kind);
        if length >= rest - EXACT {
            return None;
        }
        let offer = yard.of_fresh(kind, length);
        Some(Step { length, offer, marks: job.marks(at + length, false)? })
    }
}

fn weight(marks: &Marks) -> f64 {
    HARD * marks.hard as f64 + LOOK * marks.looks as f64 + marks.faint
}

/// A class that serves some of the run: mostly a kind of strip of which there is any, where the floor is searched any that
/// serves a need; else whole width.
fn some_class(job: &Job, need: Need, rng: &mut Pcg64Mcg) -> u16 {
    let strips = &job.state.task.rips.serving_some(job.run)[1..];
    if strips.is_empty() || below(rng, 8) == 0 {
        return 0;
    }
    let need = if job.state.task.is_searched { need } else { Need::Neither };
    let start = below(rng, strips.len());
    let mut round = strips[start..].iter().chain(&strips[..start]).copied();
    round.find(|class| job.state.yard.has_offcuts(*class, need) > 0).unwrap_or(0)
}

/// Offcuts that may lie between two boards: with square ends any, else strips with both their ends.
fn offcut_between(job: &Job, (at, most): (f64, f64), taken: &[u32], rng: &mut Pcg64Mcg) -> Option<u32> {
    let yard = &job.state.yard;
    let square = !yard.end_match();
    let need = if square { Need::Neither } else { Need::Both };
    let class = some_class(job, need, rng);
    if class == 0 && !square {
        return None;
    }
    let count = yard.has_offcuts(class, need);
    let (free, bar) = yard.offcut(class, need, below(rng, count))?;
    let least = job.state.task.rules.least_end;
    let serves = free <= most && free >= least && !taken.contains(&bar);
    (serves && job.classes(at, free).contains(&class)).then_some(bar)
}

/// A first piece by chance: an offcut whole or shortened, a fresh board whole or shortened.
fn first_piece(job: &Job, rng: &mut Pcg64Mcg) -> Option<(f64, Offer)> {
    let yard = &job.state.yard;
    let least = job.state.task.rules.least_end;
    let most = job.length - least;
    if let Some(first) = nested(job, most, rng) {
        return Some(first);
    }
    let class = some_class(job, job.needs().0, rng);
    let count = yard.has_offcuts(class, job.needs().0);
    let roll = below(rng, 8);
    if count > 0 && (roll < 5 || class > 0) {
        let (free, bar) = yard.offcut(class, job.needs().0, below(rng, count))?;
        let length = if (roll < 4 || class > 0) && free <= most {
            free
        } else {
            by_chance(least, free.min(most), rng)
        };
        let is_served = class == 0 || job.classes(0.0, length).contains(&class);
        if is_served && length >= least - EXACT && length <= free + EXACT && length < job.length {
            return Some((length, yard.of_bar(bar, &job.first(length))));
        }
    }
    let kind = yard.shelf.some(f64::INFINITY, &[], rng)?;
    let whole = yard.shelf.length(kind);
    let mut length = whole;
    if roll != 5 || whole > most {
        length = by_chance(least, whole.min(most), rng);
    }
    if roll > 5
        && let Some(aimed) = aimed(job, whole, rng)
    {
        length = aimed;
    }
    // Where a run is too short for two ends it is halved.
    if length >= job.length - EXACT || most < least {
        length = (job.length / 2.0).min(whole);
    }
    Some((length, yard.of_fresh(kind, length)))
}

/// In a run that begins with a slanting end, mostly: an offcut with an end of its slant, whole or shortened.
fn nested(job: &Job, most: f64, rng: &mut Pcg64Mcg) -> Option<(f64, Offer)> {
    let yard = &job.state.yard;
    let least = job.state.task.rules.least_end;
    // Any first piece long enough has the slant.
    let some = job.first(f64::INFINITY);
    if some.shifts == SQUARE || below(rng, NEST_ODDS) == 0 {
        return None;
    }
    let bar = yard.nesting(&some, below(rng, usize::MAX))?;
    let room = yard.room(bar, some.need, some.shifts);
    let is_whole = room <= most && below(rng, NEST_ODDS) > 0;
    let length = if is_whole { room } else { by_chance(least, room.min(most), rng) };
    let want = job.first(length);
    let fits = want.shifts == some.shifts && length >= least - EXACT && length < job.length;
    (fits && length <= room + EXACT).then(|| (length, yard.of_bar(bar, &want)))
}

/// A first piece of a fresh board after which, with boards as long between, some offcut closes the run as it is.
fn aimed(job: &Job, whole: f64, rng: &mut Pcg64Mcg) -> Option<f64> {
    let yard = &job.state.yard;
    let need = job.needs().1;
    let some = job.last(f64::INFINITY);
    let nesting = if some.shifts == SQUARE { None } else { yard.nesting(&some, below(rng, usize::MAX)) };
    let free = match nesting {
        Some(bar) => yard.room(bar, need, some.shifts),
        None => yard.offcut(0, need, below(rng, yard.has_offcuts(0, need)))?.0,
    };
    let rest = job.length - free;
    let least = job.state.task.rules.least_end;
    let first = rest - (rest / whole).floor() * whole;
    (first >= least && rest > 0.0).then_some(first)
}

fn by_chance(least: f64, most: f64, rng: &mut Pcg64Mcg) -> f64 {
    let length = least + unit(rng) * (most - least);
    ((length / STOP_STEP).ceil() * STOP_STEP).min(most)
}
