//! Kinds of flags, what each is called and what its figure measures.

use plan::{Units, format_length};

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
    /// More of the shortest boards end to end than an eye passes over.
    ShortBoards,
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
    /// Packs that are opened for a part of their boards alone.
    ManyPacks,
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
    /// Boards that stop before a lining that stands, their gap in sight.
    BareJamb,
    /// A kick too low for the boards that are to go under it.
    LowKick,
    /// A board that cannot be got under a kick.
    NoWayUnder,
    /// A kick under which boards go from side to side, so that none of it reaches the slab.
    OverBoards,
    /// An appliance that does not come out over the floor, or only just.
    Trapped,
    /// A laid board that reaches past the edge of the floor as drawn.
    LaidOver,
    /// Floor as drawn beside a laid board that nothing covers.
    LaidBare,
    /// A board that cannot be got into its place.
    NoWayIn,
    /// A gap that leaves no room for the way in which boards' locks ask for.
    TightGap,
}

/// A kind whose figure lies over its limit.
const OVER: bool = true;
/// A kind whose figure lies under its limit.
const UNDER: bool = false;

impl FlagKind {
    /// Its key in the result, its word, the word for several, and whether its figure lies over the limit.
    fn row(self) -> (&'static str, &'static str, &'static str, bool) {
        match self {
            Self::Sliver => ("sliver", "sliver", "slivers", UNDER),
            Self::ShortEnd => ("short-end", "short end", "short ends", UNDER),
            Self::JointsClose => ("joints-close", "joints close", "joints close", UNDER),
            Self::HJoint => ("h-joint", "H joint", "H joints", UNDER),
            Self::Stairs => ("stairs", "stairs", "stairs", UNDER),
            Self::ShortBoards => ("short-boards", "short boards", "rows of short boards", OVER),
            Self::ThinLeg => ("thin-leg", "thin leg", "thin legs", UNDER),
            Self::PointPiece => ("point-piece", "points", "points", UNDER),
            Self::WideFloor => ("wide-floor", "wide floor", "wide floors", OVER),
            Self::LongFloor => ("long-floor", "long floor", "long floors", OVER),
            Self::StockShort => ("stock-short", "stock short", "stock short", OVER),
            Self::ManyPacks => ("many-packs", "many packs", "many packs", OVER),
            Self::DampSlab => ("damp-slab", "damp slab", "damp readings", OVER),
            Self::UnevenSlab => ("uneven-slab", "uneven slab", "uneven readings", OVER),
            Self::SlabOpen => ("slab-open", "slab open", "slab open", OVER),
            Self::Swelling => ("swelling", "swelling", "swellings", OVER),
            Self::OpenJoints => ("open-joints", "open joints", "open joints", OVER),
            Self::JointShort => ("joint-short", "joint short", "joints short", UNDER),
            Self::JointStrained => ("joint-strained", "joint strained", "joints strained", OVER),
            Self::HighStep => ("high-step", "step", "steps", OVER),
            Self::LowLeaf => ("low-leaf", "leaf", "leaves", UNDER),
            Self::DeepArris => ("deep-arris", "arris", "arrises", OVER),
            Self::LittleCover => ("little-cover", "cover", "covers", UNDER),
            Self::BareJamb => ("bare-jamb", "bare jamb", "bare jambs", OVER),
            Self::LowKick => ("low-kick", "low kick", "low kicks", UNDER),
            Self::NoWayUnder => ("no-way-under", "no way under", "no way under", UNDER),
            Self::OverBoards => ("over-boards", "over boards", "over boards", UNDER),
            Self::Trapped => ("trapped", "appliance", "appliances", UNDER),
            Self::LaidOver => ("laid-over", "laid over", "laid over", OVER),
            Self::LaidBare => ("laid-bare", "bare beside", "bare beside", OVER),
            Self::NoWayIn => ("no-way-in", "no way in", "no way in", OVER),
            Self::TightGap => ("tight-gap", "tight gap", "tight gaps", UNDER),
        }
    }

    /// How much worse a fault of this kind is than something that is only looked at: what stops the work or harms the whole
    /// floor, then a piece under its limit, then a piece that asks for care (common practice, no source). Mends are ranked
    /// by it: four slivers are as bad as a floor that lifts.
    pub fn weight(self) -> u32 {
        match self {
            Self::WideFloor
            | Self::LongFloor
            | Self::Swelling
            | Self::StockShort
            | Self::DampSlab
            | Self::UnevenSlab
            | Self::HighStep
            | Self::LowLeaf
            | Self::DeepArris
            | Self::LowKick
            | Self::NoWayUnder
            | Self::NoWayIn
            | Self::Trapped
            | Self::LaidOver => 24,
            Self::Sliver
            | Self::ShortEnd
            | Self::JointsClose
            | Self::LittleCover
            | Self::BareJamb
            | Self::LaidBare
            | Self::JointShort
            | Self::JointStrained
            | Self::OpenJoints
            | Self::SlabOpen
            | Self::ManyPacks
            | Self::OverBoards
            | Self::TightGap => 6,
            Self::ThinLeg | Self::PointPiece => 2,
            Self::HJoint | Self::Stairs | Self::ShortBoards => 1,
        }
    }

    /// The key in the result.
    pub fn key(self) -> &'static str {
        self.row().0
    }

    /// The word on the pennant.
    pub fn word(self) -> &'static str {
        self.row().1
    }

    /// The word on the pennant of several.
    pub fn plural(self) -> &'static str {
        self.row().2
    }

    /// Whether the figure lies over the limit rather than under it.
    pub fn is_over(self) -> bool {
        self.row().3
    }

    /// What its figure and limit measure.
    pub fn measure(self) -> Measure {
        match self {
            Self::UnevenSlab => Measure::Depth,
            Self::DampSlab => Measure::Percent,
            Self::SlabOpen | Self::ShortBoards | Self::ManyPacks => Measure::Count,
            _ => Measure::Length,
        }
    }

    /// A figure or limit of such a flag in words; `length` says lengths, as roughly as they are wanted. Of lengths
    /// under 10 mm tenths are said too.
    pub fn figure_in_words(self, figure: f64, units: Units, length: impl Fn(f64) -> String) -> String {
        match self.measure() {
            Measure::Length if units == Units::Metric && figure.abs() < FINE => {
                format_length((figure * 10.0).round() / 10.0, units)
            }
            Measure::Length => length(figure),
            Measure::Depth => format_length(figure, units),
            Measure::Percent => format!("{figure} %"),
            Measure::Count => format!("{figure}"),
        }
    }
}

/// Under this, tenths of a length count, mm.
pub(crate) const FINE: f64 = 10.0;

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_lengths_show_tenths() {
        let say = |mm: f64| {
            FlagKind::LowLeaf.figure_in_words(mm, Units::Metric, |mm| {
                format_length(plan::nearest_whole(mm), Units::Metric)
            })
        };
        assert_eq!([1.5, -0.24, 9.94, 10.4].map(say), ["1.5", "−0.2", "9.9", "10"]);
        // In feet and inches a sixteenth is fine enough: the words are the caller's.
        let feet =
            FlagKind::LowLeaf.figure_in_words(1.5, Units::FeetInches, |mm| format!("{mm} of the caller's"));
        assert_eq!(feet, "1.5 of the caller's");
    }

    #[test]
    fn figures_that_are_no_lengths_have_their_own_words() {
        let say = |kind: FlagKind, figure| kind.figure_in_words(figure, Units::Metric, |_| "a length".into());
        assert_eq!(say(FlagKind::SlabOpen, 12.0), "12");
        assert_eq!(say(FlagKind::DampSlab, 2.25), "2.25 %");
        assert_eq!(say(FlagKind::UnevenSlab, 4.5), "4.5");
        assert_eq!(say(FlagKind::WideFloor, 9000.0), "a length");
    }

    /// Every key is one that the schema of the result names, and none is left over; no kind goes without words.
    #[test]
    fn keys_are_those_of_the_schema() {
        use FlagKind::*;
        let all = [
            Sliver,
            ShortEnd,
            JointsClose,
            HJoint,
            Stairs,
            ShortBoards,
            ThinLeg,
            PointPiece,
            WideFloor,
            LongFloor,
            StockShort,
            ManyPacks,
            DampSlab,
            UnevenSlab,
            SlabOpen,
            Swelling,
            OpenJoints,
            JointShort,
            JointStrained,
            HighStep,
            LowLeaf,
            DeepArris,
            LittleCover,
            BareJamb,
            LowKick,
            NoWayUnder,
            OverBoards,
            Trapped,
            LaidOver,
            LaidBare,
            NoWayIn,
            TightGap,
        ];
        let schema = include_str!("../../../docs/result-schema.md");
        let row = schema.lines().find(|line| line.starts_with("| `kind` | text | `sliver`"));
        let mut named: Vec<&str> = row.unwrap_or_default().split('`').skip(3).step_by(2).collect();
        let mut keys = all.map(FlagKind::key);
        named.sort_unstable();
        keys.sort_unstable();
        assert_eq!(named, keys);
        let mut words = all.map(FlagKind::word);
        words.sort_unstable();
        assert!(words.windows(2).all(|pair| pair[0] != pair[1]), "{words:?}");
        assert!(all.iter().all(|kind| !kind.word().is_empty() && !kind.plural().is_empty()));
        // Too much floor lies over its limit, too narrow a board under it.
        assert!(WideFloor.is_over() && !Sliver.is_over());
    }
}
