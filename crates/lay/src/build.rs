//! Lays one run among the others: a starter, whole boards, a closer, from offcuts and fresh boards.

mod drawn;
mod job;
mod kept;

use self::drawn::{first_piece, offcut_between};
use self::job::Job;
use crate::menu::Menu;
use crate::nest::SQUARE;
use crate::rules::Marks;
use crate::shelf::EXACT;
use crate::state::{Cut, HARD, LOOK, Planned, State};
use crate::yard::{Need, Offer, Source, Want, below, unit};
use rand_pcg::Pcg64Mcg;

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
/// Strips tried at each joint.
const STRIPS: usize = 4;

/// The same of a large first floor, which is laid in haste and improved at once by the search: ways tried, wood that may be
/// good for nothing, mm, and closers. What breaks a rule or shows something is looked at as long as on any floor.
const HASTY_TRIES: usize = 5;
const HASTY_LOSS: f64 = 100.0;
const HASTY_CLOSERS: usize = 1;

/// A way that is dearer than another by this, mm of board, is dearer however sums are rounded.
const SURELY: f64 = 1.0;

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
    /// What short boards too many end to end cost it, mm of board.
    crowd: f64,
}

impl Way {
    fn is_good(&self, most_loss: f64) -> bool {
        self.hard == 0 && self.looks == 0 && self.loss <= most_loss && self.crowd == 0.0
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
    /// Short boards that then lie end to end, and what they cost if they are too many, mm of board.
    crowd: (usize, f64),
}

/// A place in a run up to which it is laid.
#[derive(Debug, Clone, Copy, Default)]
struct Fork {
    at: f64,
    cost: f64,
    marks: Marks,
    /// Closers offered so far.
    closed: usize,
    /// Wood made good for nothing so far, mm.
    loss: f64,
    /// Short boards end to end here, and what those too many have cost so far, mm of board.
    shorts: usize,
    crowd: f64,
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
        self.build_or_keep(state, run, (tries, may_split), &[], rng)
    }

    /// The same; the pieces it had, if any are given, are one of the ways, and the only one where no others are tried.
    pub(crate) fn build_or_keep(
        &mut self,
        state: &mut State,
        run: usize,
        (tries, may_split): (usize, bool),
        had: &[Cut],
        rng: &mut Pcg64Mcg,
    ) -> Option<bool> {
        self.best = None;
        let task = state.task;
        let lie = &task.ground.lies[run];
        let length = lie.length();
        let judge = state.judge();
        let beside = judge.beside(&state.joints, run);
        // Strips and square ends are drawn from offcuts too, by further throws.
        let is_simple = task.rips.serving_some(run).len() == 1 && state.yard.end_match();
        let menu = state.yard.shelf.menu();
        let is_simple = is_simple && !state.yard.has_slants();
        let further = menu.as_ref().filter(|_| is_simple).map(Menu::least_price);
        let (judge, beside, menu) = (&judge, &beside, menu.as_ref());
        let job = Job { state, judge, beside, run, lie, length, mirrored: false, menu, further };
        if had.len() < 2 || tries > 0 {
            self.whole(&job);
        }
        if had.len() > 1 {
            self.as_before(&job, had);
        }
        let from_strips = task.rips.serving_some(run)[1..].iter();
        let may_be_strips =
            from_strips.into_iter().any(|class| state.yard.has_offcuts(*class, Need::Neither) > 0);
        // Strips save whole boards, and where rooms are seen unlike a way may be better than good.
        let is_choosy = may_be_strips || (task.seen.asks() && state.wish > 0.0 && !self.is_hasty);
        // Of a narrow run every piece more is one more rip, so that it is not laid in haste where strips may do.
        let is_quick = self.is_hasty && !is_choosy;
        let most = if is_quick { HASTY_TRIES } else { tries };
        let few = match (is_choosy, is_quick) {
            (true, _) => tries,
            (_, true) => 1,
            _ => FEWEST_TRIES,
        };
        let [good_loss, whole_loss] = if is_quick { [HASTY_LOSS; 2] } else { [GOOD_LOSS, WHOLE_LOSS] };
        if self.best.as_ref().is_none_or(|best| !best.is_good(whole_loss)) || may_split {
            let boards = length / state.yard.longest();
            let tries = ((JOINTS / boards.max(1.0)) as usize).clamp(FEWEST_TRIES.min(tries), tries);
            let enough = tries.min(most);
            let patience = if may_split { MOVE_PATIENCE } else { PATIENCE };
            for number in 0..tries * patience {
                let is_over = self.best.as_ref().is_some_and(|best| {
                    let is_enough = (best.looks == 0 && best.crowd == 0.0) || number >= LOOK_PATIENCE * tries;
                    let is_tried = number >= enough && best.hard == 0 && (may_split || is_enough);
                    is_tried || (!may_split && number >= few && best.is_good(good_loss))
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
        // Boards that lie may have been longer than those that are bought now.
        let is_as_bought = job.state.task.ground.taken.is_none() && !yard.has_slants();
        if is_as_bought && job.length > yard.longest() + EXACT {
            return;
        }
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
        let mut here = Fork { shorts: job.begins_after(), ..Fork::default() };
        if !job.joined()[0] {
            let Some((length, Offer { source, cost, loss })) = first_piece(job, rng) else { return };
            // A way that breaks a rule is followed only as long as no legal one is known.
            let is_strict = self.best.as_ref().is_some_and(|best| best.hard == 0);
            let Some(marks) = job.marks(length, is_strict) else { return };
            self.push(job.first(length), source);
            let cost = cost + job.short(0.0, length);
            let (shorts, _) = job.crowd(0, length);
            here = Fork { at: length, cost, marks, loss, shorts, ..here };
        }
        here.cost += SHAKE * unit(rng);
        let mut patience = STEPS_BACK;
        let closers = if self.is_hasty { HASTY_CLOSERS } else { CLOSERS };
        loop {
            here.closed += usize::from(self.close(job, &here));
            if here.closed > 0 && here.closed < closers && self.is_last(job, &here) {
                return self.draw_last(job, &here, patience > 0, rng);
            }
            let step = loop {
                if here.closed == closers {
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
            here.shorts = step.crowd.0;
            here.crowd += step.crowd.1;
            here.at += step.length;
            here.marks += step.marks;
            let is_worse = |best: &Way| here.cost + weight(&here.marks) > best.cost;
            if self.best.as_ref().is_some_and(is_worse) {
                return;
            }
        }
    }

    /// Whether a way that costs so much at least is dearer than the best.
    fn is_beaten(&self, least: f64) -> bool {
        self.best.as_ref().is_some_and(|best| least > best.cost + SURELY)
    }

    /// Whether the run can be closed here, and by no piece for less than so much. Checked while the program is tested.
    fn costs_at_least(&self, job: &Job, here: &Fork, least: f64) -> bool {
        let yard = &job.state.yard;
        let want = job.last(job.length - here.at);
        let classes = job.classes(here.at, want.length);
        let offer = yard.best(&want, classes, (&self.taken, &self.spoken), &mut Vec::new());
        let is_dear = |offer: Offer| offer.cost > least - SURELY / 2.0;
        offer.is_some_and(is_dear) && self.rest_of_first(job, here.at, &want).is_none_or(is_dear)
    }

    /// Whether a way that is closed here comes to nothing with any further board, and one is drawn by a single throw.
    fn is_last(&self, job: &Job, here: &Fork) -> bool {
        let least = |price: f64| here.cost + weight(&here.marks) + JOINT + price;
        job.further.is_some_and(|price| self.is_beaten(least(price)))
    }

    /// Throws for a further board as [`Self::attempt`] would before it gives the way up: once more where no joint is legal.
    fn draw_last(&self, job: &Job, here: &Fork, is_strict: bool, rng: &mut Pcg64Mcg) {
        let most = job.length - here.at - job.state.task.rules.least_end;
        let first = job.some(most, &self.spoken, rng);
        let is_legal = |kind: u32| {
            let at = here.at + job.whole(kind).0;
            debug_assert_eq!(job.is_legal(at), job.marks(at, true).is_some(), "a joint is legal or not");
            job.is_legal(at)
        };
        let mut tried = 0;
        let mut kind = first.filter(|_| is_strict);
        while let Some(this) = kind {
            if is_legal(this) {
                return;
            }
            tried += 1;
            kind = if tried < KINDS { job.next(this, most, &self.spoken) } else { None };
        }
        if is_strict {
            job.some(most, &self.spoken, rng);
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
        let first_short = !starts_joined && first.length < state.task.rules.least_end - EXACT;
        let hard = here.marks.hard + i64::from(is_short) + i64::from(first_short);
        // Where the way is too dear even with the cheapest piece there could be, that there is one is all that counts.
        let classes = job.classes(here.at, rest);
        let least = if classes.len() > 1 { 0.0 } else { state.yard.least_cost(rest) };
        if !state.yard.has_slants()
            && self.is_beaten(here.cost + least + weight(&Marks { hard, ..here.marks }))
            && state.yard.shelf.never_lacks(rest)
        {
            debug_assert!(self.costs_at_least(job, here, least), "a closer for less");
            return true;
        }
        let want = job.last(rest);
        let Some(Offer { source, cost: closing, loss }) = self.closer(job, here.at, &want) else {
            return false;
        };
        let crowd = job.crowd_at_end(here.shorts, rest);
        let closing = closing + job.short(here.at, rest) + crowd;
        let way = Way {
            pieces: Vec::new(),
            mirrored: job.mirrored,
            cost: here.cost + closing + weight(&Marks { hard, ..here.marks }),
            hard,
            looks: here.marks.looks,
            loss: here.loss + loss,
            crowd: here.crowd + crowd,
        };
        self.keep_if_best(way, Some(Planned::new(want, source)));
        true
    }

    /// The cheapest source of a run's last piece.
    fn closer(&mut self, job: &Job, at: f64, want: &Want) -> Option<Offer> {
        let spoken_for = (self.taken.as_slice(), self.spoken.as_slice());
        let classes = job.classes(at, want.length);
        let offer = job.state.yard.best(want, classes, spoken_for, &mut self.scratch);
        let from_first = self.rest_of_first(job, at, want);
        [from_first, offer].into_iter().flatten().min_by(|a, b| a.cost.total_cmp(&b.cost))
    }

    /// Keeps the pieces so far, and a last one, as the best way if none is cheaper; `way` brings what else is known of them.
    fn keep_if_best(&mut self, way: Way, last: Option<Planned>) {
        if self.best.as_ref().is_some_and(|best| way.cost >= best.cost) {
            return;
        }
        let mut pieces = self.best.take().map_or_else(|| std::mem::take(&mut self.spare), |best| best.pieces);
        pieces.clear();
        pieces.extend_from_slice(&self.pieces);
        pieces.extend(last);
        self.best = Some(Way { pieces, ..way });
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
            let crowd = job.crowd(here.shorts, length);
            let offer = Offer { cost: offer.cost + job.short(at, length) + crowd.1, ..offer };
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
                best = Some((weight, Step { length, offer, marks, crowd }));
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
        let mut kind = job.some(most, &self.spoken, rng);
        for tried in 1..=KINDS {
            let Some(this) = kind else { break };
            let (length, whole) = job.whole(this);
            if offer(length, whole) || tried == KINDS {
                break;
            }
            kind = job.next(this, most, &self.spoken);
        }
        if let Some((_, step)) = best {
            return Some(step);
        }
        let kind = yard.shelf.shortest(&self.spoken).filter(|_| here.closed == 0 && !is_strict)?;
        let length = yard.shelf.length(kind);
        if length >= rest - EXACT {
            return None;
        }
        let (offer, crowd) = (yard.of_fresh(kind, length), job.crowd(here.shorts, length));
        let offer = Offer { cost: offer.cost + crowd.1, ..offer };
        Some(Step { length, offer, marks: job.marks(at + length, false)?, crowd })
    }
}

fn weight(marks: &Marks) -> f64 {
    HARD * marks.hard as f64 + LOOK * marks.looks as f64 + marks.faint
}
