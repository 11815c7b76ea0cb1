//! What the order holds. Lengths mm; indices into the floor's boards and stock.

use lay::{Board, Floor, Hand, Taper};

use crate::{Bound, Ends, FillerLine, Skim};

/// Boards cut at one setting of the saw.
#[derive(Debug, Clone, PartialEq)]
pub struct SawEntry {
    /// The setting: the width kept to a tenth, or the length kept to a whole millimetre, rounded down, mm.
    pub setting: f64,
    /// Boards cut at this setting, in lay order.
    pub boards: Vec<usize>,
    /// Total length of the boards, mm: the run of the cut for a rip.
    pub run: f64,
}

/// A notched, tapered or slanted board with the measures of its outline in its own frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Notch {
    /// The board.
    pub board: usize,
    /// Outer outline in the board's frame, face up, anticlockwise: left end 0, groove edge of the
    /// whole board 0, tongue edge at the pitch.
    pub outline: Vec<(f64, f64)>,
    /// Holes in the board's frame.
    pub holes: Vec<Vec<(f64, f64)>>,
    /// What it is notched round, in words.
    pub round: String,
    /// More boards of the same shape and hand, in lay order.
    pub alike: Vec<usize>,
}

impl Notch {
    /// Points of it as a tape finds them, hooked on what of the board lies furthest left: a point may reach out past the
    /// left end of its groove edge.
    pub fn measures(&self, points: &[(f64, f64)]) -> Vec<(f64, f64)> {
        let out = self.outline.iter().map(|p| p.0).fold(0.0, f64::min);
        points.iter().map(|(along, across)| (along - out, *across)).collect()
    }

    /// A measure along it as it is told: that of its whole length is the board's length as it is cut, wherever it stands.
    pub fn marked(&self, floor: &Floor, along: f64) -> f64 {
        // An end out of square by less is cut square.
        const SAME: f64 = 1.0;
        let board = floor.boards.get(self.board).filter(|board| board.lean == 0.0);
        board.filter(|board| (board.length() - along).abs() < SAME).map_or(along, Board::cut_length)
    }
}

/// A board ripped along a wall out of true or bowed: its widths are marked, not set at the fence.
#[derive(Debug, Clone, PartialEq)]
pub struct TaperEntry {
    /// The board.
    pub board: usize,
    /// The edge it keeps, and its widths.
    pub taper: Taper,
    /// What it is ripped along, in words.
    pub round: String,
}

/// Boards sawn across at an angle with one setting.
#[derive(Debug, Clone, PartialEq)]
pub struct MitreEntry {
    /// Angle of the saw off square at the board's own left end, degrees to a tenth; `None` where that end is
    /// not sawn. Above 0 the end leans to the right going from the groove edge to the tongue edge.
    pub left: Option<f64>,
    /// The same at its right end.
    pub right: Option<f64>,
    /// Length from long point to long point, to a whole millimetre, rounded down, mm.
    pub setting: f64,
    /// Boards cut at this setting.
    pub boards: Vec<usize>,
}

/// A slanting saw cut that parts two pieces of one stock board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartedCut {
    /// Index of the stock board.
    pub stock: usize,
    /// The board cut to its left.
    pub left: usize,
    /// The board cut to its right.
    pub right: usize,
    /// Where its line meets the groove edge: there the left piece ends, mm from the stock board's left end.
    pub at: f64,
    /// How much further along it meets the tongue edge, mm.
    pub shift: f64,
    /// Its angle off square, degrees to a tenth; above 0 it leans to the right going from the groove edge to the tongue edge.
    pub angle: f64,
}

/// Boards opened that are of one hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HandLine {
    /// The hand; `None` for boards that lie either way.
    pub hand: Option<Hand>,
    /// Boards opened.
    pub opened: usize,
    /// Packs of them.
    pub packs: u32,
}

/// Cuts grouped as one works at a saw: each setting once.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SawList {
    /// Fence settings that keep the tongue edge (the groove edge is taken off), widest first.
    pub rips_keep_tongue: Vec<SawEntry>,
    /// Fence settings that keep the groove edge.
    pub rips_keep_groove: Vec<SawEntry>,
    /// Rips that lose both edges.
    pub rips_keep_neither: Vec<SawEntry>,
    /// Stop settings that keep the left end: closers.
    pub crosscuts_keep_left: Vec<SawEntry>,
    /// Stop settings that keep the right end: starters.
    pub crosscuts_keep_right: Vec<SawEntry>,
    /// Boards cut at both ends.
    pub crosscuts_both: Vec<SawEntry>,
    /// Boards sawn across at an angle and otherwise whole, by their angles, longest first.
    pub mitres: Vec<MitreEntry>,
    /// Slanting cuts that part two pieces of a board, in the order of the boards opened.
    pub parted: Vec<PartedCut>,
    /// Boards whose rip tapers, in lay order.
    pub tapers: Vec<TaperEntry>,
    /// Notched and shaped boards.
    pub notches: Vec<Notch>,
    /// Cuts that take off less than the kerf: rips, then ends in the order of the boards opened.
    pub skims: Vec<Skim>,
}

/// Boards of one length to buy.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PackLine {
    /// Length, mm; the longest there is where lengths are random.
    pub length: f64,
    /// Boards opened.
    pub opened: usize,
    /// Boards in the packs bought.
    pub bought: usize,
    /// Length of the boards opened, m.
    pub opened_length: f64,
    /// Length of the pieces cut from them, m.
    pub laid_length: f64,
}

/// A stretch of an opened board that is left and long enough to end a row elsewhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leftover {
    /// Index of the stock board.
    pub stock: usize,
    /// Length, mm, saw cuts taken off.
    pub length: f64,
    /// Factory ends it keeps; neither where the stock has no end-match.
    pub ends: Ends,
}

impl Leftover {
    /// Its length as it is told: a board cut to it comes out of it.
    pub fn cut_length(&self) -> f64 {
        plan::cut_down(self.length)
    }
}

/// What one stock board yields.
#[derive(Debug, Clone, PartialEq)]
pub struct YieldBar {
    /// Index of the stock board.
    pub stock: usize,
    /// Length left over, mm.
    pub left_over: f64,
}

/// The order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Order {
    /// Saw list.
    pub saw: SawList,
    /// Packs to buy.
    pub packs: u32,
    /// By hand.
    pub hands: Vec<HandLine>,
    /// By length.
    pub lines: Vec<PackLine>,
    /// Boards opened in all.
    pub opened: usize,
    /// Of those, boards opened for what lies already.
    pub opened_before: usize,
    /// Length of the boards opened, m.
    pub wood_opened: f64,
    /// Area of boards opened, m².
    pub opened_area: f64,
    /// Area of floor laid, m².
    pub laid_area: f64,
    /// Price of the packs, where the plan has one.
    pub price: Option<f64>,
    /// Stock boards that are cut, with what is left of each.
    pub yields: Vec<YieldBar>,
    /// What is left and worth keeping, longest first.
    pub leftovers: Vec<Leftover>,
    /// What fills the movement joints, by section.
    pub filler: Vec<FillerLine>,
}

impl Order {
    /// Boards that stay whole in the packs bought, where they are a pack's worth or more: one length is laid out of
    /// proportion to what packs hold of it.
    pub fn left_whole(&self) -> Option<usize> {
        let (bought, opened) = self
            .lines
            .iter()
            .fold((0, 0), |(b, o), line| (b + line.bought, o + line.opened.min(line.bought)));
        let whole = bought - opened;
        (self.packs > 0 && whole * self.packs as usize >= bought).then_some(whole).filter(|whole| *whole > 0)
    }

    /// The same in words, with what another floor might need.
    pub fn left_whole_words(&self, bound: &Bound) -> Option<String> {
        let mut words = match self.left_whole()? {
            1 => "1 board stays whole in its pack".to_owned(),
            whole => format!("{whole} boards stay whole in their packs"),
        };
        if bound.packs > 0 && bound.packs < self.packs {
            words +=
                &format!("; a search for better joints may need fewer packs, {} at the least", bound.packs);
        }
        Some(words)
    }

    /// Boards still to open.
    pub fn to_open(&self) -> usize {
        self.opened.saturating_sub(self.opened_before)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: of packs of four long boards and a short one, 40 short ones take 40 packs, 160 long ones come with them, and
    /// 160 − 103 = 57 of those stay whole, more than the 5 of a pack. Four left over are less than a pack.
    #[test]
    fn boards_that_stay_whole_are_told_from_a_packs_worth_on() {
        let line = |opened: usize, bought: usize| PackLine {
            length: 1900.0,
            opened,
            bought,
            opened_length: 0.0,
            laid_length: 0.0,
        };
        let order = |packs: u32, lines: Vec<PackLine>| Order { packs, lines, ..Order::default() };
        let bound = |packs: u32| Bound { packs, ..Bound::default() };
        let lopsided = order(40, vec![line(103, 160), line(40, 40)]);
        assert_eq!(lopsided.left_whole(), Some(57));
        let words = |packs| lopsided.left_whole_words(&bound(packs)).unwrap_or_default();
        assert!(
            words(27).starts_with("57 boards") && words(27).ends_with("27 at the least"),
            "{}",
            words(27)
        );
        // Nothing is said of fewer packs where none is known, or none would do.
        assert_eq!([words(0), words(40)], ["57 boards stay whole in their packs"; 2]);
        assert_eq!(order(10, vec![line(36, 40), line(10, 10)]).left_whole(), None);
        assert_eq!(Order::default().left_whole(), None);
    }

    #[test]
    fn a_point_is_measured_from_its_tip() {
        let notch = |outline: &[(f64, f64)]| Notch {
            board: 0,
            outline: outline.to_vec(),
            holes: Vec::new(),
            round: String::new(),
            alike: Vec::new(),
        };
        // A triangle that reaches 90 past the left end of its groove edge: by hand, everything is 90 further on.
        let point = notch(&[(-90.0, 90.0), (-2.1, 2.1), (85.8, 90.0)]);
        let measured = point.measures(&point.outline);
        let by_hand = [(0.0, 90.0), (87.9, 2.1), (175.8, 90.0)];
        assert!(
            measured.iter().zip(by_hand).all(|(a, b)| (a.0 - b.0).abs() < 1e-9 && a.1 == b.1),
            "{measured:?}"
        );
        let square = notch(&[(0.0, 0.0), (500.0, 0.0), (500.0, 190.0), (0.0, 190.0)]);
        assert_eq!(square.measures(&square.outline), square.outline);
    }
}
