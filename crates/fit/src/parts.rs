//! Runs as they are laid in stages: parted where one stage takes over from another.

use crate::graph::Graph;
use lay::Floor;
use std::borrow::Cow;

/// A floor whose runs are parted so that each part is of one stage.
pub(crate) struct Parts<'f> {
    /// The floor with a run for each part.
    pub(crate) floor: Cow<'f, Floor>,
    /// The run that each part is of.
    run: Vec<usize>,
    /// The place of each part's stage.
    stage: Vec<Option<usize>>,
    pub(crate) is_staged: bool,
}

impl<'f> Parts<'f> {
    /// Parts a floor's runs by the places of their boards' stages; without any every run is whole.
    pub(crate) fn of(floor: &'f Floor, stage_of: &[Option<usize>]) -> Self {
        let count = floor.runs.len();
        if stage_of.iter().all(Option::is_none) {
            let (run, stage) = ((0..count).collect(), vec![None; count]);
            return Self { floor: Cow::Borrowed(floor), run, stage, is_staged: false };
        }
        let of = |board: usize| stage_of.get(board).copied().flatten();
        let mut parted = floor.clone();
        parted.runs.clear();
        let (mut run, mut stage) = (Vec::new(), Vec::new());
        for (index, whole) in floor.runs.iter().enumerate() {
            let mut from = whole.boards.start;
            for to in whole.boards.clone().map(|board| board + 1) {
                if to == whole.boards.end || of(to) != of(from) {
                    parted.runs.push(lay::Run { boards: from..to, ..whole.clone() });
                    run.push(index);
                    stage.push(of(from));
                    from = to;
                }
            }
        }
        Self { floor: Cow::Owned(parted), run, stage, is_staged: true }
    }

    /// The run that a part is of.
    pub(crate) fn run(&self, part: usize) -> usize {
        self.run.get(part).copied().unwrap_or(part)
    }

    /// The place of a part's stage; `None` without stages, and in rooms that stand in none.
    pub(crate) fn stage(&self, part: usize) -> Option<usize> {
        self.stage.get(part).copied().flatten()
    }

    /// When a part's turn comes: what lies, then stage by stage, last what is in none.
    pub(crate) fn turn(&self, part: usize) -> usize {
        let boards = self.floor.runs[part].boards.clone();
        match self.is_staged {
            false => 0,
            true if boards.clone().all(|board| self.floor.is_laid(board)) => 0,
            true => self.stage(part).map_or(usize::MAX, |place| place + 1),
        }
    }

    /// Takes out of a graph what would wait for a later stage. Gives for each part the parts that lie past its tongue
    /// edge when it is laid.
    pub(crate) fn take_turns(&self, graph: &mut Graph) -> Vec<Vec<usize>> {
        let mut beyond = vec![Vec::new(); self.floor.runs.len()];
        if !self.is_staged {
            return beyond;
        }
        for part in graph.runs.clone() {
            let is_later = |other: &usize| self.turn(*other) > self.turn(part);
            let later: Vec<usize> = graph.before[part].iter().copied().filter(is_later).collect();
            graph.before[part].retain(|other| !later.contains(other));
            for other in later {
                graph.after[other].retain(|after| *after != part);
                beyond[other].push(part);
            }
        }
        beyond
    }

    /// Joins parts of one run that meet end to end, so that a way over bare floor leads from one to the other.
    pub(crate) fn join_ends(&self, graph: &mut Graph) {
        for (first, second) in (0..self.run.len()).zip(1..self.run.len()) {
            if self.run[first] == self.run[second] {
                graph.before[second].push(first);
                graph.after[first].push(second);
            }
        }
    }

    /// The boards of earlier turns that a part lies against end to end.
    pub(crate) fn ends_on(&self, part: usize) -> Vec<usize> {
        let is_of = |other: &usize| self.run(*other) == self.run(part) && self.turn(*other) < self.turn(part);
        let before =
            part.checked_sub(1).filter(is_of).and_then(|other| self.floor.runs[other].boards.clone().last());
        let after = Some(part + 1).filter(|other| *other < self.run.len()).filter(is_of);
        let after = after.map(|other| self.floor.runs[other].boards.start);
        before.into_iter().chain(after).collect()
    }
}
