//! What fitting gives.

use crate::{ApplianceRoom, Cover, DoorwayFit, Tuck};
use crate::{JointLaid, Movement};
use site::{EdgeKind, Source, Uv};

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

/// A board that cannot be folded down because something fitted stands over its edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slide {
    /// Index of the board.
    pub board: usize,
    /// What stands over it.
    pub under: EdgeKind,
    /// Where that comes from.
    pub source: Source,
}

/// How the floor goes in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Fit {
    /// Widest continuous floor across the boards, one for each region.
    pub widths: Vec<Continuous>,
    /// Longest continuous floor along the boards, one for each region.
    pub lengths: Vec<Continuous>,
    /// Boards that slide in under fitted linings or kicks.
    pub slides: Vec<Slide>,
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
