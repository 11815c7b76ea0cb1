//! The run that is being laid, as everything that chooses its pieces sees it.

use super::JOINT;
use crate::ground::Lie;
use crate::menu::Menu;
use crate::rules::{Beside, CROWDED, Judge, Marks};
use crate::state::State;
use crate::yard::{Need, Offer, Source, Want};
use rand_pcg::Pcg64Mcg;

/// The run being laid.
#[derive(Clone, Copy)]
pub(super) struct Job<'s, 'a> {
    pub(super) state: &'s State<'a>,
    pub(super) judge: &'s Judge<'a>,
    pub(super) beside: &'s Beside<'s>,
    pub(super) run: usize,
    pub(super) lie: &'s Lie,
    pub(super) length: f64,
    /// Whether it is laid from the worker's right.
    pub(super) mirrored: bool,
    /// The boards that may be drawn, where they never run out.
    pub(super) menu: Option<&'s Menu>,
    /// What a further board costs at least, mm of board, where one is drawn by a single throw.
    pub(super) further: Option<f64>,
}

impl Job<'_, '_> {
    /// What the first piece, and the last, need of their ends.
    pub(super) fn needs(&self) -> (Need, Need) {
        let (first, last) = if self.mirrored { (Need::Left, Need::Right) } else { (Need::Right, Need::Left) };
        let [starts_joined, ends_joined] = self.joined();
        (if starts_joined { Need::Both } else { first }, if ends_joined { Need::Both } else { last })
    }

    /// The first piece of the run, or its last, or the one that is all of it, so long.
    pub(super) fn want(&self, length: f64, need: Need, [is_first, is_last]: [bool; 2]) -> Want {
        let ends = if self.mirrored { [is_last, is_first] } else { [is_first, is_last] };
        Want { length, need, shifts: self.lie.shifts(length, ends) }
    }

    pub(super) fn first(&self, length: f64) -> Want {
        self.want(length, self.needs().0, [true, false])
    }

    pub(super) fn last(&self, length: f64) -> Want {
        self.want(length, self.needs().1, [false, true])
    }

    /// Whether the run goes on from a laid board where it is begun, and where it is closed.
    pub(super) fn joined(&self) -> [bool; 2] {
        let [left, right] = self.lie.joined;
        if self.mirrored { [right, left] } else { [left, right] }
    }

    /// Classes that serve a piece of this length at a distance from the first end, whole width first.
    pub(super) fn classes(&self, at: f64, length: f64) -> &[u16] {
        let (task, lie) = (self.state.task, self.lie);
        let side = |at: f64| lie.plan_u(if self.mirrored { self.length - at } else { at });
        let (a, b) = (side(at), side(at + length));
        task.rips.serving(self.run, lie, (a.min(b), a.max(b)))
    }

    /// What a board from a place on costs for being short where it is seen, mm of board.
    pub(super) fn short(&self, from: f64, length: f64) -> f64 {
        if self.state.wish == 0.0 {
            return 0.0;
        }
        let at = from + length / 2.0;
        let s = if self.mirrored { self.length - at } else { at };
        self.state.wish * self.state.task.seen.short(self.run, self.lie.plan_u(s), length)
    }

    /// Short boards that lie end to end with where the run is begun.
    pub(super) fn begins_after(&self) -> usize {
        let crowds = self.state.task.crowds.as_ref();
        crowds.map_or(0, |crowds| crowds.beside(self.run)[usize::from(self.mirrored)])
    }

    /// Short boards end to end once a piece so long goes in after so many of them, and what it costs if they are too many,
    /// mm of board.
    pub(super) fn crowd(&self, before: usize, length: f64) -> (usize, f64) {
        let Some(crowds) = &self.state.task.crowds else { return (0, 0.0) };
        let together = crowds.after(before, length);
        (together, if crowds.too_many(together) > 0 { CROWDED } else { 0.0 })
    }

    /// What the last piece costs if it makes short boards too many, mm of board.
    pub(super) fn crowd_at_end(&self, before: usize, length: f64) -> f64 {
        let Some(crowds) = &self.state.task.crowds else { return 0.0 };
        let together = match crowds.after(before, length) {
            0 => return 0.0,
            together => together + crowds.beside(self.run)[usize::from(!self.mirrored)],
        };
        CROWDED * (crowds.too_many(together) - crowds.too_many(before)) as f64
    }

    /// Some fresh board no longer than `most`, by chance.
    pub(super) fn some(&self, most: f64, spoken: &[u32], rng: &mut Pcg64Mcg) -> Option<u32> {
        match self.menu {
            Some(menu) => menu.some(most, rng),
            None => self.state.yard.shelf.some(most, spoken, rng),
        }
    }

    /// The next after that.
    pub(super) fn next(&self, kind: u32, most: f64, spoken: &[u32]) -> Option<u32> {
        match self.menu {
            Some(menu) => menu.next(kind, most),
            None => self.state.yard.shelf.next(kind, most, spoken),
        }
    }

    /// A fresh board used whole, and its length.
    pub(super) fn whole(&self, kind: u32) -> (f64, Offer) {
        match self.menu {
            Some(menu) => {
                let (cost, loss) = menu.whole(kind);
                (menu.length(kind), Offer { source: Source::Fresh(kind), cost, loss })
            }
            None => {
                let length = self.state.yard.shelf.length(kind);
                (length, self.state.yard.of_fresh(kind, length))
            }
        }
    }

    /// Whether a joint at a distance from the first end stands far enough from its neighbours.
    pub(super) fn is_legal(&self, at: f64) -> bool {
        let s = if self.mirrored { self.length - at } else { at };
        self.judge.is_legal(self.beside, self.lie.plan_u(s))
    }

    /// Marks against a joint at a distance from the first end. Where only legal joints are wanted, one that is
    /// not is looked at no further.
    pub(super) fn marks(&self, at: f64, is_strict: bool) -> Option<Marks> {
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
