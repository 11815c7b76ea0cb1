//! What fitting gives.

use crate::{ApplianceRoom, Cover, DoorwayFit, JointLaid, Movement, Tuck, TuckWay};
use plan::Lock;
use site::{EdgeKind, Source, Uv};
use std::collections::BTreeMap;

/// The longest unbroken stretch of floor in one direction inside a region.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Continuous {
    /// Region.
    pub region: usize,
    /// Extent from gap to gap, mm.
    pub extent: f64,
    /// One end, row coordinates.
    pub from: Uv,
    /// The other end.
    pub to: Uv,
}

/// A side of a board in its own frame: face up, tongue away from the worker, left end left.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// The long edge towards the rows laid before.
    Groove,
    /// The long edge away from them.
    Tongue,
    /// The left end, at which the board laid before it in its run lies.
    Left,
    /// The right end.
    Right,
}

impl Part {
    /// All four, in their order.
    pub const ALL: [Self; 4] = [Self::Groove, Self::Tongue, Self::Left, Self::Right];
}

/// How a board goes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash, PartialOrd, Ord)]
pub enum Motion {
    /// Its groove edge is hooked on to the laid row, then it is folded down flat.
    Fold,
    /// It is held at an angle to the laid row and turned down.
    Tilt,
    /// It is pushed home flat on the slab.
    #[default]
    Slide,
    /// It is let down flat in its place, a lock shaved.
    Drop,
    /// There is none.
    Blocked,
}

impl Motion {
    /// How boards with a lock go in where nothing is in the way.
    pub fn usual(lock: Lock) -> Self {
        match lock {
            Lock::FoldDown => Self::Fold,
            Lock::Angle => Self::Tilt,
            Lock::TongueAndGroove => Self::Slide,
        }
    }
}

/// A thing at one side of a board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meets {
    /// The board's side there.
    pub part: Part,
    /// What it is.
    pub kind: EdgeKind,
    /// Where it comes from.
    pub source: Source,
    /// How far the board stays short of it, mm; negative where it goes under.
    pub gap: f64,
}

/// A gap too small for the way in that a board's lock asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tight {
    /// What stands there, and at which side.
    pub at: Meets,
    /// What the lock needs, mm.
    pub need: f64,
    /// Region, and the edge among all of the region's.
    pub edge: (usize, usize),
}

/// What stands between two legs of a board, open at one of its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Astride {
    /// The end at which the legs are.
    pub end: Part,
    /// What stands between them.
    pub at: Meets,
    /// How far it reaches in between them, mm: so far the board comes lengthways.
    pub reach: f64,
}

/// The way in of a board that cannot go in as its lock asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct WayIn {
    /// Index of the board.
    pub board: usize,
    /// How it goes in.
    pub motion: Motion,
    /// The side from which it comes, where it slides.
    pub from: Option<Part>,
    /// Sides whose lock is shaved; the joints there are glued and taped.
    pub shaved: Vec<Part>,
    /// What stands over it.
    pub under: Vec<Meets>,
    /// How it gets under a kick, where it goes under one.
    pub tuck: Option<TuckWay>,
    /// Gaps too small for the usual way.
    pub tight: Vec<Tight>,
    /// What stands between its legs.
    pub astride: Vec<Astride>,
}

/// A jamb to undercut.
#[derive(Debug, Clone, PartialEq)]
pub struct Undercut {
    /// Doorway.
    pub doorway: usize,
    /// Whether it is the jamb farther from the wall's corner.
    pub farther: bool,
    /// Height of the cut above the slab, mm.
    pub height: f64,
    /// Where, row coordinates.
    pub at: Uv,
    /// Boards that go under it, in the floor's order.
    pub boards: Vec<usize>,
}

/// A stretch along which boards meet groove to groove on a slip tongue: of the start line, or of a row line from which
/// a room is laid back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slip {
    /// Region.
    pub region: usize,
    /// Its left end, row coordinates.
    pub from: Uv,
    /// Its right end.
    pub to: Uv,
    /// The doorway through which the row runs on that a room is laid back from; `None` along the start line.
    pub doorway: Option<usize>,
}

impl Slip {
    /// Length, mm.
    pub fn length(&self) -> f64 {
        self.to.u - self.from.u
    }
}

/// How the floor goes in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Fit {
    /// Widest continuous floor across the boards, one for each region.
    pub widths: Vec<Continuous>,
    /// Longest continuous floor along the boards, one for each region.
    pub lengths: Vec<Continuous>,
    /// How boards go in where nothing is in the way.
    pub usual: Motion,
    /// The boards that go in another way, in the floor's order.
    pub ways: Vec<WayIn>,
    /// Jambs to undercut, doorway by doorway.
    pub undercuts: Vec<Undercut>,
    /// Slip tongues, region by region, left to right.
    pub slips: Vec<Slip>,
    /// The plan's movement joints as they lie.
    pub joints: Vec<JointLaid>,
    /// What the seasons do; `None` while the plan does not say what the boards are made of or what air they live in.
    pub movement: Option<Movement>,
    /// Doorways as the floor meets them.
    pub doorways: Vec<DoorwayFit>,
    /// Gaps and what covers them.
    pub covers: Vec<Cover>,
    /// Open sides of kicks and the boards that go under them.
    pub tucks: Vec<Tuck>,
    /// Appliances that have to come out over the floor.
    pub appliances: Vec<ApplianceRoom>,
}

impl Fit {
    /// The way in of a board that does not go in as usual.
    pub fn other_way(&self, board: usize) -> Option<&WayIn> {
        self.ways.binary_search_by_key(&board, |way| way.board).ok().map(|at| &self.ways[at])
    }

    /// How a board goes in.
    pub fn motion(&self, board: usize) -> Motion {
        self.other_way(board).map_or(self.usual, |way| way.motion)
    }

    /// Sides of a board whose lock is shaved.
    pub fn shaved(&self, board: usize) -> &[Part] {
        self.other_way(board).map_or(&[], |way| &way.shaved)
    }

    /// Boards whose locks are shaved, gathered by the sides; within those in the floor's order.
    pub fn shaves(&self) -> Vec<(Vec<Part>, Vec<usize>)> {
        let mut all: BTreeMap<Vec<Part>, Vec<usize>> = BTreeMap::new();
        for way in self.ways.iter().filter(|way| !way.shaved.is_empty()) {
            all.entry(way.shaved.clone()).or_default().push(way.board);
        }
        all.into_iter().collect()
    }

    /// The mark that a board whose lock is shaved has on lists; nothing for others.
    pub fn mark(&self, board: usize) -> &'static str {
        if self.shaved(board).is_empty() { "" } else { "*" }
    }

    /// Slip tongue in all, mm.
    pub fn slip_length(&self) -> f64 {
        self.slips.iter().map(Slip::length).sum()
    }
}
