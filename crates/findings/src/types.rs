//! What a flag says.

use plan::{Point, Units, format_length};
use site::Source;

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
    /// A dryness reading of the slab over its limit.
    DampSlab,
    /// A flatness reading of the slab over its limit.
    UnevenSlab,
    /// Points of the slab's list that are open.
    SlabOpen,
    /// Floor that swells more than its gaps take.
    Swelling,
    /// Joints between boards that open too far.
    OpenJoints,
    /// A movement joint that ends in the floor, or lies on none.
    JointShort,
    /// A movement joint that is moved more than its filler takes.
    JointStrained,
    /// Floors in a doorway that differ by more than what is drawn there takes.
    HighStep,
    /// A leaf with too little room under it once the floor lies.
    LowLeaf,
    /// An arris cut through the wear layer.
    DeepArris,
    /// Too little of a cover left over the widest gap.
    LittleCover,
    /// A kick too low for the boards that are to go under it.
    LowKick,
    /// A board that cannot be got under a kick.
    NoWayUnder,
    /// An appliance that does not come out over the floor.
    Trapped,
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
            Self::DampSlab => "damp slab",
            Self::UnevenSlab => "uneven slab",
            Self::SlabOpen => "slab open",
            Self::Swelling => "swelling",
            Self::OpenJoints => "open joints",
            Self::JointShort => "joint short",
            Self::JointStrained => "joint strained",
            Self::HighStep => "step",
            Self::LowLeaf => "leaf",
            Self::DeepArris => "arris",
            Self::LittleCover => "cover",
            Self::LowKick => "low kick",
            Self::NoWayUnder => "no way under",
            Self::Trapped => "trapped",
        }
    }

    /// What its figure and limit measure.
    pub fn measure(self) -> Measure {
        match self {
            Self::UnevenSlab => Measure::Depth,
            Self::DampSlab => Measure::Percent,
            Self::SlabOpen => Measure::Count,
            _ => Measure::Length,
        }
    }

    /// A figure or limit of such a flag in words; `length` says lengths, as roughly as they are wanted.
    pub fn figure_in_words(self, figure: f64, units: Units, length: impl Fn(f64) -> String) -> String {
        match self.measure() {
            Measure::Length => length(figure),
            Measure::Depth => format_length(figure, units),
            Measure::Percent => format!("{figure} %"),
            Measure::Count => format!("{figure}"),
        }
    }
}

/// What a flag's figure measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// A length, mm.
    Length,
    /// A length of a few millimetres, whose tenths matter, mm.
    Depth,
    /// A share, %.
    Percent,
    /// A number of things.
    Count,
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
    /// Joints, two or more.
    Joints(Vec<usize>),
    /// A region.
    Region(usize),
    /// A room of the plan.
    Room(usize),
    /// A thing of the plan.
    Thing(Source),
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
    /// The measured figure, mm, or what [`FlagKind::measure`] says.
    pub figure: f64,
    /// The limit it is held to, in the same unit.
    pub limit: f64,
    /// What would mend it.
    pub mend: String,
}
