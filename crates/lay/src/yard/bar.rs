//! What is asked of a board, what is left of one that was cut into, and where a piece comes from.

use super::NONE;
use crate::nest::{Nest, Nested, SQUARE, Shifts};
use smallvec::SmallVec;

/// What a piece needs of its ends. The piece is seen in the board's own frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Need {
    /// A starter: the right-hand end-match.
    Right,
    /// A closer: the left-hand end-match.
    Left,
    /// A piece that is a whole run.
    Neither,
    /// A board between two others.
    Both,
}

/// Every need, in the order of [`Need::place`].
pub(super) const NEEDS: [Need; 4] = [Need::Right, Need::Left, Need::Neither, Need::Both];

impl Need {
    /// Its place among all needs.
    pub(super) fn place(self) -> usize {
        match self {
            Self::Right => 0,
            Self::Left => 1,
            Self::Neither => 2,
            Self::Both => 3,
        }
    }
}

/// A piece that is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Want {
    /// From long point to long point, mm.
    pub(crate) length: f64,
    pub(crate) need: Need,
    /// How much further along its ends lie at the tongue edge, mm.
    pub(crate) shifts: Shifts,
}

impl Want {
    /// A piece with square ends.
    pub(crate) fn square(length: f64, need: Need) -> Self {
        Self { length, need, shifts: SQUARE }
    }

    /// What a nest holds of it.
    pub(super) fn nested(&self, owner: u32) -> Nested {
        Nested { owner, need: self.need, shifts: self.shifts }
    }
}

/// A board cut into, or a strip of one.
#[derive(Debug, Clone)]
pub(crate) struct Bar {
    pub(crate) length: f64,
    /// What it was on the shelf; [`NONE`] for a strip.
    pub(crate) kind: u32,
    /// 0 for whole width; else the kind of rip it is the strip of.
    pub(crate) class: u16,
    /// The longest further piece it gives, mm.
    pub(crate) free: f64,
    pub(crate) pieces: u32,
    /// Whether its left and right end-match are still to be had.
    pub(crate) left: bool,
    pub(crate) right: bool,
    /// Runs that hold a piece of it, one entry for each piece.
    pub(crate) owners: SmallVec<[u32; 4]>,
    pub(super) is_live: bool,
    /// Its pieces by their ends, where some of the floor's slant.
    pub(super) nest: Option<Box<Nest>>,
}

impl Bar {
    /// Whether any of its ends slants.
    pub(crate) fn is_slanting(&self) -> bool {
        self.nest.as_ref().is_some_and(|nest| nest.is_slanting())
    }

    /// A board not cut yet, or a strip; nothing of it is in hand.
    pub(super) fn empty() -> Self {
        Self {
            length: 0.0,
            kind: NONE,
            class: 0,
            free: 0.0,
            pieces: 0,
            left: true,
            right: true,
            owners: SmallVec::new(),
            is_live: false,
            nest: None,
        }
    }

    /// Shifts of the lines between which its pieces lie, mm.
    pub(crate) fn sides(&self) -> Shifts {
        self.nest.as_ref().map_or(SQUARE, |nest| nest.sides)
    }

    fn serves(&self, need: Need) -> bool {
        match need {
            Need::Right => self.right,
            Need::Left => self.left,
            Need::Neither => true,
            Need::Both => self.left && self.right && self.pieces == 0,
        }
    }

    /// Whether it stands among the offcuts for a need: a board cut into lies between no two others.
    pub(super) fn is_listed(&self, need: Need) -> bool {
        self.serves(need) && (need != Need::Both || self.class > 0)
    }
}

/// Where a piece comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Source {
    /// A board cut into.
    Bar(u32),
    /// A fresh board, by kind.
    Fresh(u32),
    /// What the first piece of the same run leaves of its board.
    Rest,
}

/// A source and what it costs, mm of board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Offer {
    pub(crate) source: Source,
    pub(crate) cost: f64,
    /// Wood that is then good for nothing, mm: what is left of it, and what stays whole in its pack for it.
    pub(crate) loss: f64,
}
