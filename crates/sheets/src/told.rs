//! A house with what several sheets and lists ask of it, each worked out once for a set.

use drawing::{FirstBoard, OnDemand, Options, first_board_in};
use fit::{JointPull, Sequence};
use order::{Bound, MaterialList, StageShares, Table};
use pipeline::House;
use setout::{Advice, Square};
use std::ops::Deref;
use std::sync::OnceLock;

/// The house, and what was asked of it so far.
pub(crate) struct Told<'a> {
    house: &'a House,
    advice: OnceLock<Advice>,
    sequence: OnceLock<Sequence>,
    pulls: OnceLock<Vec<Option<JointPull>>>,
    square: OnceLock<Option<Square>>,
    first: OnceLock<Option<FirstBoard>>,
    bound: OnceLock<Bound>,
    materials: OnceLock<MaterialList>,
    tables: OnceLock<Vec<Table>>,
    shares: OnceLock<StageShares>,
}

impl<'a> Told<'a> {
    /// Nothing asked yet.
    pub(crate) fn new(house: &'a House) -> Self {
        Self {
            house,
            advice: OnceLock::new(),
            sequence: OnceLock::new(),
            pulls: OnceLock::new(),
            square: OnceLock::new(),
            first: OnceLock::new(),
            bound: OnceLock::new(),
            materials: OnceLock::new(),
            tables: OnceLock::new(),
            shares: OnceLock::new(),
        }
    }

    /// [`House::advice`].
    pub(crate) fn advice(&self) -> &Advice {
        self.advice.get_or_init(|| self.house.advice())
    }

    /// [`House::sequence`].
    pub(crate) fn sequence(&self) -> &Sequence {
        self.sequence.get_or_init(|| self.house.sequence())
    }

    /// [`House::joint_pulls`].
    pub(crate) fn joint_pulls(&self) -> &[Option<JointPull>] {
        self.pulls.get_or_init(|| self.house.joint_pulls())
    }

    /// [`House::square`].
    pub(crate) fn square(&self) -> Option<&Square> {
        self.square.get_or_init(|| self.house.square()).as_ref()
    }

    /// The first board to lay.
    pub(crate) fn first_board(&self) -> Option<FirstBoard> {
        *self.first.get_or_init(|| first_board_in(self.house, self.sequence()))
    }

    /// [`House::bound`].
    pub(crate) fn bound(&self) -> &Bound {
        self.bound.get_or_init(|| self.house.bound())
    }

    /// [`House::materials`].
    pub(crate) fn materials(&self) -> &MaterialList {
        self.materials.get_or_init(|| self.house.materials())
    }

    /// The lists, as [`crate::tables`] gives them.
    pub(crate) fn tables(&self) -> &[Table] {
        self.tables.get_or_init(|| crate::lists::tables_of(self))
    }

    /// [`House::stage_shares`].
    pub(crate) fn shares(&self) -> &StageShares {
        self.shares.get_or_init(|| self.house.stage_shares())
    }

    /// What the layers of a drawing need.
    pub(crate) fn on_demand(&self, options: &Options) -> OnDemand {
        OnDemand {
            control: if options.control { self.advice().control.clone() } else { Vec::new() },
            square: if options.way { self.square().cloned() } else { None },
            first: if options.way { self.first_board() } else { None },
            shares: if options.stages { self.shares().clone() } else { StageShares::default() },
        }
    }
}

impl Deref for Told<'_> {
    type Target = House;

    fn deref(&self) -> &House {
        self.house
    }
}
