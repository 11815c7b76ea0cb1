//! What a flag says.

use plan::Point;

/// What kind of trouble a flag marks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FlagKind {
    /// A rip under the least.
    Sliver,
    /// A starter or closer under the least.
    ShortEnd,
    /// End joints of neighbouring rows under the least stagger.
    JointsClose,
    /// Joints in line two rows apart.
    HJoint,
    /// Joints that step evenly over four rows.
    Stairs,
    /// A thin leg beside a notch.
    ThinLeg,
    /// Small pieces of herringbone or chevron along a wall, thinner than the least leg.
    PointPiece,
    /// Continuous floor across the boards over its limit.
    WideFloor,
    /// Continuous floor along the boards over its limit.
    LongFloor,
    /// Floor that the packs on hand do not reach.
    StockShort,
    /// A board that cannot be got into its place.
    NoWayIn,
    /// A gap that leaves no room for the way in which boards' locks ask for.
    TightGap,
}

impl FlagKind {
    /// The word on the pennant.
    pub fn word(self) -> &'static str {
        match self {
            Self::Sliver => "sliver",
            Self::ShortEnd => "short end",
            Self::JointsClose => "joints close",
            Self::HJoint => "H joint",
            Self::Stairs => "stairs",
            Self::ThinLeg => "thin leg",
            Self::PointPiece => "points",
            Self::WideFloor => "wide floor",
            Self::LongFloor => "long floor",
            Self::StockShort => "stock short",
            Self::NoWayIn => "no way in",
            Self::TightGap => "tight gap",
        }
    }
}

/// How much a flag matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Severity {
    /// Breaks a rule: mend before laying.
    Fault,
    /// Breaks no rule, but look at it.
    Look,
}

/// What a flag stands on; indices into the floor's lists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Subject {
    /// One board.
    Board(usize),
    /// Several boards, at least one.
    Boards(Vec<usize>),
    /// Joints, two or more.
    Joints(Vec<usize>),
    /// A region.
    Region(usize),
}

/// One flag.
#[derive(Debug, Clone, PartialEq)]
pub struct Flag {
    /// Kind.
    pub kind: FlagKind,
    /// Severity.
    pub severity: Severity,
    /// What it stands on.
    pub subject: Subject,
    /// Where the pennant stands, on the plan.
    pub at: Point,
    /// The place in words, such as `Study, row 12, board 12-3`.
    pub place: String,
    /// The measured figure, mm.
    pub figure: f64,
    /// The limit it is held to, mm.
    pub limit: f64,
    /// What would mend it.
    pub mend: String,
}
