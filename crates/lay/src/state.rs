//! A floor as the search sees it: which pieces make up each run and which boards they come from.

use crate::cut::strips;
use crate::ground::{Ground, Lie, TRUE, is_shaped};
use crate::narrow::{is_narrow, narrow};
use crate::nest::Shifts;
use crate::rips::Rips;
use crate::rules::{CROWDED, Joints, Judge, Marks};
use crate::seen::Seen;
use crate::shorts::Crowds;
use crate::slice::{Slicer, Strip, extent, rise};
use crate::yard::{AS_SOLD, NONE, Need, Source, Want, Yard};
use plan::{Laid, LaidStrip, Plan, Rules};
use std::sync::OnceLock;

/// A run that is not laid counts as this many broken rules.
const UNLAID: i64 = 10;
/// Lengths are held to limits to this accuracy, mm.
const ACCURATE: f64 = 0.05;
/// What a broken rule, an H joint or a stair costs while the search weighs changes, mm of board: more than the
/// wood any change of a few runs can save.
pub(crate) const HARD: f64 = 100_000.0;
pub(crate) const LOOK: f64 = 6000.0;

/// A piece of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Cut {
    pub(crate) length: f64,
    pub(crate) need: Need,
    pub(crate) bar: u32,
    /// What the bar was on the shelf; for a strip the kind is none.
    pub(crate) kind: u32,
    /// The strip its rip leaves; none where nobody wants it.
    pub(crate) strip: u32,
    /// That strip's class.
    pub(crate) class: u16,
    /// How much further along its ends lie at the tongue edge, mm.
    pub(crate) shifts: Shifts,
}

impl Cut {
    /// What it asks of its bar.
    pub(crate) fn want(&self) -> Want {
        Want { length: self.length, need: self.need, shifts: self.shifts }
    }
}

/// A piece planned for a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Planned {
    pub(crate) length: f64,
    pub(crate) need: Need,
    pub(crate) shifts: Shifts,
    pub(crate) source: Source,
}

impl Planned {
    /// What is asked for, and where it comes from.
    pub(crate) fn new(Want { length, need, shifts }: Want, source: Source) -> Self {
        Self { length, need, shifts, source }
    }

    /// What it asks of its source.
    pub(crate) fn want(&self) -> Want {
        Want { length: self.length, need: self.need, shifts: self.shifts }
    }
}

/// How good a floor is; the lesser is the better, field by field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Value {
    pub(crate) hard: i64,
    pub(crate) looks: i64,
    pub(crate) packs: u32,
    pub(crate) opened: usize,
    pub(crate) weight: f64,
}

impl Value {
    pub(crate) fn beats(&self, other: &Self) -> bool {
        let key = |v: &Self| (v.hard, v.looks, v.packs, v.opened);
        key(self).cmp(&key(other)).then(self.weight.total_cmp(&other.weight)).is_lt()
    }

    /// Whether it breaks no more rules, shows no more looks and opens no more packs and boards than another.
    pub(crate) fn costs_no_more(&self, than: &Self) -> bool {
        self.hard <= than.hard
            && self.looks <= than.looks
            && self.packs <= than.packs
            && self.opened <= than.opened
    }
}

/// What never changes while joints are chosen.
#[derive(Debug)]
pub(crate) struct Task<'a> {
    pub(crate) ground: &'a Ground<'a>,
    pub(crate) rips: Rips,
    /// Whether better joints are searched for: then strips are looked for with more care.
    pub(crate) is_searched: bool,
    pub(crate) rules: &'a Rules,
    pub(crate) seen: Seen,
    /// Short boards, where the stock has any.
    pub(crate) crowds: Option<Crowds>,
    /// Whether each run is somewhere so narrow that its pieces must be looked at one by one; found once it is asked for.
    narrow: OnceLock<Vec<bool>>,
    /// Strips beside rips that lie, as far as anything still to be laid could be cut from them. Their bars come right
    /// after those of the boards opened for what lies.
    pub(crate) laid_strips: Vec<InHand>,
}

/// A strip in hand: its class among rips, and the ends it keeps.
#[derive(Debug, Clone, Copy)]
pub(crate) struct InHand {
    pub(crate) strip: LaidStrip,
    class: u16,
    ends: Need,
}

impl<'a> Task<'a> {
    /// `is_searched` by the moves that are asked for, which need not be the plan's.
    pub(crate) fn new(ground: &'a Ground<'a>, plan: &'a Plan, is_searched: bool) -> Self {
        let rips = Rips::new(ground, plan.stock.kerf, is_searched);
        let laid = ground.taken.as_ref().map(|taken| taken.laid);
        let laid_strips = laid.map_or_else(Vec::new, |laid| in_hand(laid, plan, &rips));
        Self {
            ground,
            rips,
            is_searched,
            laid_strips,
            rules: &plan.rules,
            seen: Seen::new(ground, plan),
            crowds: Crowds::new(ground, &plan.stock),
            narrow: OnceLock::new(),
        }
    }

    fn is_narrow(&self, run: usize) -> bool {
        let is_narrow = |lie: &Lie| match lie.run.shaped {
            true => is_narrow(&lie.outline, self.rules),
            false => lie.run.width < self.rules.least_rip - ACCURATE,
        };
        self.narrow.get_or_init(|| self.ground.lies.iter().map(is_narrow).collect())[run]
    }

    /// How short the boards of a run are where they are seen, in boards of no length.
    fn seen_short(&self, run: usize, cuts: &[Cut]) -> f64 {
        if !self.seen.asks() {
            return 0.0;
        }
        let mut at = 0.0;
        let short = |cut: &Cut| {
            at += cut.length;
            self.seen.short(run, self.ground.lies[run].plan_u(at - cut.length / 2.0), cut.length)
        };
        cuts.iter().map(short).sum()
    }

    /// Short boards of a run beyond those that may lie end to end.
    pub(crate) fn crowded(&self, run: usize, cuts: &[Cut]) -> usize {
        let lengths = || cuts.iter().map(|cut| cut.length);
        self.crowds.as_ref().map_or(0, |crowds| crowds.in_run(run, lengths()))
    }

    /// Marks against the pieces of one run, whatever lies beside it.
    pub(crate) fn own_marks(&self, run: usize, cuts: &[Cut]) -> Marks {
        let lie = &self.ground.lies[run];
        let mut marks = Marks { faint: CROWDED * self.crowded(run, cuts) as f64, ..Marks::default() };
        // A run that goes on from a laid board has no end there.
        let has_joints = cuts.len() > 1 || lie.joined != [false; 2];
        if let (Some(first), Some(last), true) = (cuts.first(), cuts.last(), has_joints) {
            for (cut, _) in [first, last].into_iter().zip(lie.joined).filter(|(_, joined)| !joined) {
                marks.hard += i64::from(cut.length < self.rules.least_end - ACCURATE);
            }
        }
        if !lie.run.shaped {
            marks.hard += if self.is_narrow(run) { cuts.len() as i64 } else { 0 };
            return marks;
        }
        let by_notch = |u: f64| lie.is_by_notch(u, self.rules.least_leg);
        if !self.is_narrow(run) && !lie.has_forks() && !places(lie, cuts).any(by_notch) {
            return marks;
        }
        let pieces = strips(lie, cuts, &mut Slicer::default());
        let is_short = |length: f64| length < self.rules.least_end - ACCURATE;
        let can_grow = lie.length() >= self.rules.least_end || lie.joined != [false; 2];
        for pieces in pieces.chunk_by(|a: &Strip, b: &Strip| a.0 == b.0) {
            // A second piece beside a thing within the row may be short where the stretch is not. As the findings have it: one
            // that is an end of its run, square, in a run that leaves it room to be longer, is a fault.
            let is_several = pieces.len() > 1;
            for (stretch, outline) in pieces {
                let ((left, right), (low, high)) = (extent(&outline.outer), rise(&outline.outer));
                let is_shaped = is_shaped(outline, outline.area(), (left, low), (right, high));
                if is_several && is_short(right - left) {
                    match is_end(lie, cuts, *stretch, (left, right)) {
                        true if !is_shaped && can_grow => marks.hard += 1,
                        true => marks.looks += 1,
                        false => {}
                    }
                }
                if !is_shaped {
                    marks.hard += i64::from(high - low < self.rules.least_rip - ACCURATE);
                } else if let Some(found) = narrow(outline, self.rules) {
                    marks.hard += i64::from(found.is_sliver);
                    marks.looks += i64::from(!found.is_sliver);
                }
            }
        }
        marks
    }
}

/// Whether a piece of a stretch of a run, counted from the left on the plan, ends at a wall and not at a joint.
fn is_end(lie: &Lie, cuts: &[Cut], stretch: usize, (left, right): (f64, f64)) -> bool {
    let mut joints: Vec<f64> = places(lie, cuts).collect();
    joints.sort_by(f64::total_cmp);
    let mut joined = lie.joined;
    if lie.run.is_turned() {
        joined.reverse();
    }
    let first = joined[0].then_some(lie.run.left);
    let before = stretch.checked_sub(1).map_or(first, |before| joints.get(before).copied());
    let after = joints.get(stretch).copied().or(joined[1].then_some(lie.run.right));
    !(before.is_some_and(|u| left < u + TRUE) && after.is_some_and(|u| right > u - TRUE))
}

/// The choice of joints and boards for a whole ground.
#[derive(Debug, Clone)]
pub(crate) struct State<'a> {
    pub(crate) task: &'a Task<'a>,
    pub(crate) yard: Yard,
    /// Pieces of each run, from the worker's left; empty where it is not laid.
    pub(crate) cuts: Vec<Vec<Cut>>,
    /// Marks against the pieces of each run, whatever lies beside it.
    own: Vec<Marks>,
    pub(crate) joints: Joints,
    pub(crate) marks: Marks,
    /// Whether marks are counted: a floor that is compared with no other needs none.
    pub(crate) is_marked: bool,
    /// What a board of no length would cost in an open room, mm of board.
    pub(crate) wish: f64,
    /// How short the boards are where they are seen, in boards of no length.
    pub(crate) short: f64,
}

impl<'a> State<'a> {
    /// A floor with no run laid.
    pub(crate) fn new(task: &'a Task<'a>, plan: &Plan) -> Self {
        let longest_run = longest_run(&task.ground.lies);
        let count = task.ground.lies.len();
        let mut yard = Yard::new(&plan.stock, &plan.rules, plan.seed, longest_run, task.rips.count());
        yard.make_room(task.ground.lies.iter().map(Lie::length).sum());
        let slants = task.ground.slants();
        if !slants.is_empty() {
            yard.nest(slants, task.ground.pitch);
        }
        let mut state = Self {
            task,
            yard,
            cuts: vec![Vec::new(); count],
            own: vec![Marks::default(); count],
            joints: Joints::new(task.ground),
            marks: Marks::default(),
            is_marked: true,
            wish: 0.0,
            short: 0.0,
        };
        if let Some(taken) = &task.ground.taken {
            taken.laid.stock.iter().for_each(|stock| state.yard.bring(stock, taken.laid.pitch));
            for InHand { strip, class, ends } in &task.laid_strips {
                state.yard.lay_aside(*class, strip.to - strip.from, *ends, None);
            }
            state.joints.fix(&taken.joints);
        }
        for run in 0..count {
            let marks = state.run_marks(run);
            state.marks += marks;
        }
        state
    }

    pub(crate) fn judge(&self) -> Judge<'a> {
        Judge { ground: self.task.ground, rules: self.task.rules }
    }

    /// The scalar the search weighs changes by, mm of board.
    pub(crate) fn weight(&self) -> f64 {
        HARD * self.marks.hard as f64
            + LOOK * self.marks.looks as f64
            + self.marks.faint
            + self.wish * self.short
            + self.yard.wood
            + self.yard.shelf.packs_price()
    }

    pub(crate) fn value(&self) -> Value {
        Value {
            hard: self.marks.hard,
            looks: self.marks.looks,
            packs: self.yard.shelf.packs_used(),
            opened: self.yard.opened,
            weight: self.weight(),
        }
    }

    /// Marks against one run as it is laid among the others.
    pub(crate) fn run_marks(&self, run: usize) -> Marks {
        let mut marks = Marks::default();
        if !self.is_marked {
            return marks;
        }
        let cuts = &self.cuts[run];
        if cuts.is_empty() {
            marks.hard = UNLAID;
            marks.faint = self.task.ground.lies[run].length();
            return marks;
        }
        if cuts.len() > 1 {
            let judge = self.judge();
            let beside = judge.beside(&self.joints, run);
            for u in places(&self.task.ground.lies[run], cuts) {
                marks += judge.joint(&beside, u);
            }
        }
        marks += self.own[run];
        marks
    }

    /// Counts the marks afresh, run by run, each against those before it. While runs are taken up and laid again they are added
    /// and taken away as one run sees them; but a line of joints may just be even from one of its joints and not from another,
    /// and what is taken away then is not what was added. Uncorrected, a long search would see fewer looks than there are.
    pub(crate) fn recount(&mut self) {
        if !self.is_marked {
            return;
        }
        let ground = self.task.ground;
        self.joints = Joints::new(ground);
        if let Some(taken) = &ground.taken {
            self.joints.fix(&taken.joints);
        }
        self.marks = Marks::default();
        for run in 0..self.cuts.len() {
            self.joints.add(ground, run, places(&ground.lies[run], &self.cuts[run]));
            let marks = self.run_marks(run);
            self.marks += marks;
        }
    }

    /// Marks against every run as all are laid, whether marks were counted or not; what two runs break together counts at
    /// both.
    pub(crate) fn all_marks(&self) -> Marks {
        let mut marks = Marks::default();
        let judge = self.judge();
        for (run, cuts) in self.cuts.iter().enumerate() {
            if cuts.is_empty() {
                marks.hard += UNLAID;
            }
            let beside = judge.beside(&self.joints, run);
            for u in places(&self.task.ground.lies[run], cuts) {
                marks += judge.joint(&beside, u);
            }
            marks += self.task.own_marks(run, cuts);
        }
        marks
    }

    /// Short boards beyond those that may lie end to end, in all runs.
    pub(crate) fn crowded(&self) -> usize {
        self.cuts.iter().enumerate().map(|(run, cuts)| self.task.crowded(run, cuts)).sum()
    }

    /// Lays an empty run from planned pieces; where they are mirrored the first is the worker's last.
    pub(crate) fn lay(&mut self, run: usize, pieces: &[Planned], mirrored: bool) {
        let before = self.run_marks(run);
        let mut first_bar = NONE;
        let mut cuts = Vec::with_capacity(pieces.len());
        let lie = &self.task.ground.lies[run];
        let mut at = 0.0;
        for piece in pieces {
            let bar = match piece.source {
                Source::Bar(bar) => bar,
                Source::Fresh(kind) => self.yard.draw(kind),
                Source::Rest => first_bar,
            };
            if first_bar == NONE {
                first_bar = bar;
            }
            let kind = self.yard.bars[bar as usize].kind;
            let sides =
                [at, at + piece.length].map(|s| lie.plan_u(if mirrored { lie.length() - s } else { s }));
            at += piece.length;
            let sides = (sides[0].min(sides[1]), sides[0].max(sides[1]));
            let class = self.task.rips.strip_of(run, lie, sides).filter(|_| kind != NONE);
            let class = class.unwrap_or(0);
            let Planned { length, need, shifts, .. } = *piece;
            let mut cut = Cut { length, need, bar, kind, strip: NONE, class, shifts };
            self.yard.cut(bar, &cut.want(), run as u32);
            cut.strip = self.lay_aside(&cut);
            cuts.push(cut);
        }
        if mirrored {
            cuts.reverse();
        }
        self.set(run, cuts);
        let after = self.run_marks(run);
        self.marks -= before;
        self.marks += after;
    }

    fn lay_aside(&mut self, cut: &Cut) -> u32 {
        let again = Some(cut.strip).filter(|strip| *strip != NONE);
        if cut.class == 0 { NONE } else { self.yard.lay_aside(cut.class, cut.length, cut.need, again) }
    }

    /// Sets a run's pieces and the joints between them.
    fn set(&mut self, run: usize, cuts: Vec<Cut>) {
        let ground = self.task.ground;
        self.joints.add(ground, run, places(&ground.lies[run], &cuts));
        if self.is_marked {
            self.own[run] = self.task.own_marks(run, &cuts);
        }
        self.short += self.task.seen_short(run, &cuts);
        self.cuts[run] = cuts;
    }

    /// Adds the runs that use strips of these, without which these cannot be taken up.
    pub(crate) fn add_dependents(&self, runs: &mut Vec<usize>) {
        let mut next = 0;
        while let Some(run) = runs.get(next).copied() {
            for strip in self.cuts[run].iter().map(|cut| cut.strip).filter(|strip| *strip != NONE) {
                for owner in &self.yard.bars[strip as usize].owners {
                    if !runs.contains(&(*owner as usize)) {
                        runs.push(*owner as usize);
                    }
                }
            }
            next += 1;
        }
    }

    /// Takes runs up and gives their pieces, to be laid again.
    pub(crate) fn take_up(&mut self, runs: &[usize]) -> Vec<Vec<Cut>> {
        let mut taken = Vec::with_capacity(runs.len());
        for &run in runs {
            let before = self.run_marks(run);
            self.short -= self.task.seen_short(run, &self.cuts[run]);
            taken.push(std::mem::take(&mut self.cuts[run]));
            self.joints.clear(self.task.ground, run);
            let after = self.run_marks(run);
            self.marks -= before;
            self.marks += after;
        }
        // Pieces of strips first: a strip lies there only as long as the rip it is left from.
        for from_strips in [true, false] {
            for (run, cuts) in runs.iter().zip(&taken) {
                for cut in cuts.iter().filter(|cut| (cut.kind == NONE) == from_strips) {
                    if cut.strip != NONE {
                        self.yard.throw_away(cut.strip);
                    }
                    self.yard.undo(cut.bar, &cut.want(), *run as u32);
                }
            }
        }
        taken
    }

    /// Lays runs again as they were before they were taken up.
    pub(crate) fn restore(&mut self, runs: &[usize], taken: Vec<Vec<Cut>>) {
        for from_strips in [false, true] {
            for (run, cuts) in runs.iter().zip(&taken) {
                for cut in cuts.iter().filter(|cut| (cut.kind == NONE) == from_strips) {
                    if !self.yard.is_live(cut.bar) {
                        self.yard.revive(cut.bar, cut.kind);
                    }
                    self.yard.cut(cut.bar, &cut.want(), *run as u32);
                    self.lay_aside(cut);
                }
            }
        }
        for (run, cuts) in runs.iter().zip(taken) {
            let before = self.run_marks(*run);
            self.set(*run, cuts);
            let after = self.run_marks(*run);
            self.marks -= before;
            self.marks += after;
        }
    }
}

/// Length of the longest run, mm.
pub(crate) fn longest_run(lies: &[Lie]) -> f64 {
    lies.iter().map(Lie::length).fold(0.0, f64::max)
}

/// The strips beside rips that lie that some rip still to come wants.
fn in_hand(laid: &Laid, plan: &Plan, rips: &Rips) -> Vec<InHand> {
    let strips = laid.strips(plan.stock.pitch(), plan.stock.kerf, plan.rules.least_rip);
    let wanted = strips.into_iter().filter_map(|strip| {
        let class = rips.class_of(strip.width, strip.keeps_groove)?;
        let length = laid.stock.get(strip.stock)?.length;
        // It has the ends of its board where it reaches them.
        let ends = match (strip.from <= AS_SOLD, strip.to >= length - AS_SOLD) {
            (true, true) => Need::Both,
            (true, false) => Need::Left,
            (false, true) => Need::Right,
            (false, false) => Need::Neither,
        };
        Some(InHand { strip, class, ends })
    });
    wanted.collect()
}

/// Where the joints between a run's pieces stand, from the worker's left.
pub(crate) fn places(lie: &Lie, cuts: &[Cut]) -> impl Iterator<Item = f64> {
    let joined = &cuts[..cuts.len().saturating_sub(1)];
    joined.iter().scan(0.0, |s, cut| {
        *s += cut.length;
        Some(lie.plan_u(*s))
    })
}
