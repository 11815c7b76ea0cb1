//! A floor as the search sees it: which pieces make up each run and which boards they come from.

use crate::ground::Lie;
use crate::rips::Use;
use crate::rules::{Joints, Judge, Marks};
use crate::search::Progress;
use crate::task::InHand;
pub(crate) use crate::task::{Apart, Cut, Leg, Planned, Task, places};
use crate::yard::{NONE, Need, Source, Want, Yard};
use plan::Plan;
use smallvec::SmallVec;

/// A run that is not laid counts as this many broken rules.
const UNLAID: i64 = 10;
/// What a broken rule, an H joint or a stair costs while the search weighs changes, mm of board: more than the
/// wood any change of a few runs can save.
pub(crate) const HARD: f64 = 100_000.0;
pub(crate) const LOOK: f64 = 6000.0;

/// How good a floor is; the lesser is the better, field by field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Value {
    pub(crate) hard: i64,
    pub(crate) looks: i64,
    /// Short boards too many end to end.
    pub(crate) crowded: usize,
    pub(crate) packs: u32,
    pub(crate) opened: usize,
    pub(crate) weight: f64,
}

impl Value {
    pub(crate) fn beats(&self, other: &Self) -> bool {
        let key = |v: &Self| (v.hard, v.looks, v.crowded, v.packs, v.opened);
        key(self).cmp(&key(other)).then(self.weight.total_cmp(&other.weight)).is_lt()
    }

    /// How far a search has come whose best floor is so good.
    pub(crate) fn progress(&self, moves: u64, of: u64) -> Progress {
        let Self { hard, looks, opened, .. } = *self;
        Progress { moves, of, opened, faults: hard.max(0) as u64, looks: looks.max(0) as u64 }
    }

    /// Whether it breaks no more rules, shows no more looks, has no more short boards too many and opens no more packs and boards
    /// than another.
    pub(crate) fn costs_no_more(&self, than: &Self) -> bool {
        self.hard <= than.hard
            && self.looks <= than.looks
            && self.crowded <= than.crowded
            && self.packs <= than.packs
            && self.opened <= than.opened
    }
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
        self.task.judge()
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
            crowded: self.crowded(),
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
        for (number, piece) in pieces.iter().enumerate() {
            let sides =
                [at, at + piece.length].map(|s| lie.plan_u(if mirrored { lie.length() - s } else { s }));
            at += piece.length;
            let sides = (sides[0].min(sides[1]), sides[0].max(sides[1]));
            if let Some(apart) = self.task.apart(run, &piece.want(), sides) {
                let cut = self.lay_apart(run, (pieces, number), first_bar, &apart);
                first_bar = if first_bar == NONE { cut.bar } else { first_bar };
                cuts.push(cut);
                continue;
            }
            let bar = match piece.source {
                Source::Bar(bar) => bar,
                Source::Fresh(kind) => self.yard.draw(kind),
                Source::Rest => first_bar,
            };
            if first_bar == NONE {
                first_bar = bar;
            }
            let kind = self.yard.bars[bar as usize].kind;
            let class = self.task.rips.strip_of(run, lie, sides).filter(|_| kind != NONE);
            let class = class.unwrap_or(0);
            let Planned { length, need, shifts, .. } = *piece;
            let cut = Cut { bar, kind, class, shifts, ..Cut::square(length, need) };
            cuts.push(self.saw(run, cut));
        }
        if mirrored {
            cuts.reverse();
        }
        self.set(run, cuts);
        let after = self.run_marks(run);
        self.marks -= before;
        self.marks += after;
    }

    /// Cuts a part of a run from its bar, and lays its strip aside.
    pub(crate) fn saw(&mut self, run: usize, mut cut: Cut) -> Cut {
        self.yard.cut(cut.bar, &cut.want(), run as u32);
        cut.strip = self.lay_aside(&cut);
        cut
    }

    /// Lays a planned piece that falls in two: each part from the best strip or board that no other piece of the run is planned
    /// to come from. The strip left beside the first is wide enough for the second, so that no more wood is taken than for both
    /// from one board. Where the second is not to be had, it is told when the floor is cut.
    fn lay_apart(
        &mut self,
        run: usize,
        (pieces, number): (&[Planned], usize),
        first_bar: u32,
        apart: &Apart,
    ) -> Cut {
        let Apart { own, other, of_other, is_above } = *apart;
        let piece = pieces[number];
        let mut taken: SmallVec<[u32; 8]> = SmallVec::new();
        let mut spoken: SmallVec<[u32; 8]> = SmallVec::new();
        let mut is_leant_on = false;
        for piece in &pieces[number + 1..] {
            match piece.source {
                Source::Bar(bar) => taken.push(bar),
                Source::Fresh(kind) => spoken.push(kind),
                Source::Rest => is_leant_on = true,
            }
        }
        // What the first piece leaves of its board is spoken for.
        if is_leant_on && number > 0 {
            taken.push(first_bar);
        }
        let found = match is_leant_on && number == 0 {
            true => None,
            false => self.source_of(&piece.want(), own, (&taken, &spoken)),
        };
        let bar = match found.unwrap_or(piece.source) {
            Source::Bar(bar) => bar,
            Source::Fresh(kind) => self.yard.draw(kind),
            Source::Rest => first_bar,
        };
        if is_leant_on && number == 0 {
            taken.push(bar);
        }
        let part = |state: &Self, bar: u32, want: &Want, (_, leaves): Use| {
            let kind = state.yard.bars[bar as usize].kind;
            let class = leaves.filter(|_| kind != NONE).unwrap_or(0);
            Cut { bar, kind, class, ..Cut::square(want.length, want.need) }
        };
        let cut = self.saw(run, part(self, bar, &piece.want(), own));
        let Some(source) = self.source_of(&other, of_other, (&taken, &spoken)) else { return cut };
        let bar = match source {
            Source::Bar(bar) => bar,
            Source::Fresh(kind) => self.yard.draw(kind),
            Source::Rest => return cut,
        };
        let leg = self.saw(run, part(self, bar, &other, of_other));
        Cut { leg: Some(Leg::new(leg, is_above)), ..cut }
    }

    /// The cheapest source of a part of a piece.
    fn source_of(&self, want: &Want, of: Use, spoken_for: (&[u32], &[u32])) -> Option<Source> {
        let classes = self.task.rips.serving_use(of);
        let strip = (want.need == Need::Both && self.yard.end_match())
            .then(|| self.yard.strip_between(want.length, &classes[1..], spoken_for.0))
            .flatten();
        match strip {
            Some(bar) => Some(Source::Bar(bar)),
            None => Some(self.yard.best(want, classes, spoken_for, &mut Vec::new())?.source),
        }
    }

    pub(crate) fn lay_aside(&mut self, cut: &Cut) -> u32 {
        let again = Some(cut.strip).filter(|strip| *strip != NONE);
        if cut.class == 0 { NONE } else { self.yard.lay_aside(cut.class, cut.length, cut.need, again) }
    }

    /// Sets a run's pieces and the joints between them.
    pub(crate) fn set(&mut self, run: usize, cuts: Vec<Cut>) {
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
            let strips = self.cuts[run].iter().flat_map(Cut::parts).map(|part| part.strip);
            for strip in strips.filter(|strip| *strip != NONE) {
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
                for cut in cuts.iter().flat_map(Cut::parts).filter(|cut| (cut.kind == NONE) == from_strips) {
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
                for cut in cuts.iter().flat_map(Cut::parts).filter(|cut| (cut.kind == NONE) == from_strips) {
                    if !self.yard.is_live(cut.bar) {
                        self.yard.revive(cut.bar, cut.kind);
                    }
                    self.yard.cut(cut.bar, &cut.want(), *run as u32);
                    self.lay_aside(&cut);
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
