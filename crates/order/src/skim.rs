//! Cuts that take less off than the blade is thick: they are skimmed, with part of the blade in the air, or planed.
//!
//! Looked at board by board as it is sawn: pieces a blade apart are parted by one cut; where they lie a little further apart, a
//! second one takes the rest off. A factory end that is kept is not sawn, and slanting ends lose a wedge anyway.

use crate::saw::{TRUE, kept_edges};
use crate::{SawEntry, SawList};
use lay::{Board, End, Floor, Piece};
use plan::{Plan, Units, format_length, tape_step};

/// Boards told by name, at most.
const NAMED: usize = 12;

/// Where a board is sawn, in its own frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SawnAt {
    /// Along it: a rip.
    Side,
    /// Across its left end.
    LeftEnd,
    /// Across its right end.
    RightEnd,
}

/// A cut that takes off less than the saw's kerf.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Skim {
    /// The board.
    pub board: usize,
    /// What comes off, mm.
    pub off: f64,
    /// Where it comes off.
    pub at: SawnAt,
}

/// The cuts that take off less than the kerf: rips in the order of their settings, then ends in the order of the boards opened.
/// `rips` are those that keep one long edge, then those that keep none.
pub(crate) fn skims(kerf: f64, floor: &Floor, rips: [&[SawEntry]; 3]) -> Vec<Skim> {
    let mut found = Found { floor, kerf, skims: Vec::new() };
    let [keep_tongue, keep_groove, keep_neither] = rips;
    for (entries, keeps_one) in [(keep_tongue, true), (keep_groove, true), (keep_neither, false)] {
        for entry in entries {
            entry.boards.iter().for_each(|board| found.rip(*board, entry.setting, keeps_one));
        }
    }
    for stock in &floor.stock {
        let whole: Vec<usize> = of(&stock.pieces, false).collect();
        found.ends(&whole, 0.0, stock.length);
        if whole.len() == stock.pieces.len() {
            continue;
        }
        // A strip is as long as the piece that it is ripped from until it is cut to its own length.
        for holder in whole {
            let strips: Vec<usize> =
                of(&stock.pieces, true).filter(|strip| floor.strip_beside(*strip) == Some(holder)).collect();
            if let Some(board) = floor.boards.get(holder) {
                let [begin, end] = stretch(board, floor.is_laid(holder));
                found.ends(&strips, begin, end);
            }
        }
    }
    found.skims
}

/// The boards of a stock board's pieces, or of its strips, from left to right.
fn of(pieces: &[Piece], strips: bool) -> impl Iterator<Item = usize> + '_ {
    pieces.iter().filter(move |piece| piece.strip == strips).map(|piece| piece.board)
}

/// The stretch of its stock board that a board takes when the stop is set: what its length is rounded down by comes off the
/// end that is measured to.
fn stretch(board: &Board, is_laid: bool) -> [f64; 2] {
    let (from, to) = (board.from, board.from + board.length());
    let short = if is_laid { 0.0 } else { board.length() - board.cut_length() };
    match (board.left_end, board.right_end) {
        (End::Cut, End::Factory) => [from + short, to],
        _ => [from, to - short],
    }
}

struct Found<'a> {
    floor: &'a Floor,
    kerf: f64,
    skims: Vec<Skim>,
}

impl Found<'_> {
    fn is_thin(&self, off: f64) -> bool {
        // Less is not sawn off, and what lacks less of the blade's thickness takes all of it.
        off > TRUE / 2.0 && off < self.kerf - TRUE / 2.0
    }

    fn add(&mut self, board: usize, off: f64, at: SawnAt) {
        if self.is_thin(off) && !self.floor.is_laid(board) {
            self.skims.push(Skim { board, off, at });
        }
    }

    /// A rip: beside it the rest of the board comes off, of a strip what its neighbour and the cut between both leave.
    fn rip(&mut self, board: usize, setting: f64, keeps_one: bool) {
        let pitch = self.floor.pitch;
        match self.floor.strip_beside(board) {
            // What both edges lose may be shared out between them as one likes.
            None if keeps_one => self.add(board, pitch - setting, SawnAt::Side),
            None => {}
            Some(holder) => {
                let Some(beside) = self.floor.boards.get(holder) else { return };
                let (groove, tongue) = kept_edges(self.floor, beside);
                // One that keeps neither edge may lie anywhere on the board's width.
                if !beside.shaped && groove != tongue {
                    let width = (beside.width * 10.0).round() / 10.0;
                    self.add(board, pitch - width - self.kerf - setting, SawnAt::Side);
                }
            }
        }
    }

    /// The ends of boards that lie one after another on a stretch of a stock board.
    fn ends(&mut self, boards: &[usize], begin: f64, end: f64) {
        let floor = self.floor;
        // Where the wood begins that is left, as it is sawn and as it is drawn, and the board before.
        let (mut sawn, mut drawn) = (begin, begin);
        let mut before: Option<usize> = None;
        for index in boards {
            let Some(board) = floor.boards.get(*index) else { continue };
            let is_laid = floor.is_laid(*index);
            let [mut from, mut to] = stretch(board, is_laid);
            // A blade apart: one cut parts both. What is measured from it begins there; what keeps its other end stays as it comes
            // out, though its stop, rounded down, stands a hair inside.
            if before.is_some() && !is_laid && board.from - drawn < TRUE {
                if board.right_end == End::Cut {
                    to -= from - sawn;
                }
                from = sawn;
            }
            // Few cuts are thin: only of those the ends are looked at.
            let is_square = |found: &Self| {
                found.is_sawn_square(*index, SawnAt::LeftEnd)
                    && before.is_none_or(|before| found.is_sawn_square(before, SawnAt::RightEnd))
            };
            if self.is_thin(from - sawn) && is_square(self) {
                // Of two the one still to be sawn.
                match before.filter(|_| is_laid) {
                    Some(before) => self.add(before, from - sawn, SawnAt::RightEnd),
                    None => self.add(*index, from - sawn, SawnAt::LeftEnd),
                }
            }
            (sawn, drawn) = (to + self.kerf, board.from + board.length() + self.kerf);
            before = Some(*index);
        }
        let off = end - (sawn - self.kerf);
        if let Some(last) = before.filter(|_| self.is_thin(off))
            && self.is_sawn_square(last, SawnAt::RightEnd)
        {
            self.add(last, off, SawnAt::RightEnd);
        }
    }

    /// Whether an end is sawn, square across: slanting, it comes to its full length in one corner only.
    fn is_sawn_square(&self, index: usize, at: SawnAt) -> bool {
        let Some(board) = self.floor.boards.get(index) else { return false };
        let (end, x) = match at {
            SawnAt::LeftEnd => (board.left_end, 0.0),
            _ => (board.right_end, board.length()),
        };
        let is_there = |p: &(f64, f64)| (p.0 - x).abs() < TRUE;
        let corners = || board.own_rings(self.floor.pitch).next().unwrap_or_default();
        end == End::Cut
            && board.lean == 0.0
            && (!board.shaped || corners().iter().filter(|p| is_there(p)).count() > 1)
    }
}

/// The cuts that take off less than the kerf in a sentence, each board by its label; nothing where there are none.
pub fn skim_words(plan: &Plan, floor: &Floor, saw: &SawList) -> Option<String> {
    let skims = &saw.skims;
    let named = skims.iter().take(NAMED).map(|skim| {
        let off = match plan.units {
            Units::FeetInches if skim.off < tape_step(plan.units) / 2.0 => {
                format!("under {}", format_length(tape_step(plan.units), plan.units))
            }
            units => format_length((skim.off * 10.0).round() / 10.0, units),
        };
        let from = match skim.at {
            SawnAt::Side => "along",
            SawnAt::LeftEnd => "off its left end",
            SawnAt::RightEnd => "off its right end",
        };
        format!("{} ({off} {from})", floor.saw_label(skim.board))
    });
    let mut named = named.collect::<Vec<_>>().join(", ");
    match skims.len() {
        0 => return None,
        count if count > NAMED => named += &format!(" and {} more", count - NAMED),
        _ => {}
    }
    Some(format!("Less than the blade is thick comes off: {named}. Clamp and skim, or plane it."))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use lay::{LaidFloor, Outline, StockBoard};
    use site::Uv;

    const PITCH: f64 = 190.0;
    /// Thickness of the blade, and length of the one board opened, mm.
    const KERF: f64 = 3.0;
    const LONG: f64 = 2000.0;

    /// A board of this stretch of the stock board, this high over its groove edge, its ends sawn where they are not the stock
    /// board's.
    fn board(from: f64, to: f64, [low, high]: [f64; 2]) -> Board {
        let outer = [(from, low), (to, low), (to, high), (from, high)].map(|(u, v)| Uv::new(u, v)).to_vec();
        let end = |is_factory: bool| if is_factory { End::Factory } else { End::Cut };
        let outline = Outline { outer, holes: Vec::new() };
        Board {
            label: String::new(),
            region: 0,
            row: 0,
            run: 0,
            along: Uv::new(1.0, 0.0),
            left: from,
            right: to,
            base: 0.0,
            lean: 0.0,
            hand: None,
            in_border: false,
            area: outline.area(),
            turned: false,
            left_end: end(from < TRUE),
            right_end: end(to > LONG - TRUE),
            starts_run: false,
            ends_run: false,
            shaped: false,
            width: high - low,
            outline,
            stock: 0,
            from,
        }
    }

    /// Whole boards from these stretches of one stock board.
    fn whole(stretches: &[(f64, f64)]) -> Floor {
        floor(stretches.iter().map(|(from, to)| (board(*from, *to, [0.0, PITCH]), false)).collect())
    }

    fn floor(boards: Vec<(Board, bool)>) -> Floor {
        let piece = |(board, (of, strip)): (usize, &(Board, bool))| Piece {
            board,
            from: of.from,
            to: of.from + of.length(),
            strip: *strip,
            ..Piece::default()
        };
        let pieces = boards.iter().enumerate().map(piece).collect();
        let stock = vec![StockBoard { length: LONG, pack: 0, pieces }];
        let boards = boards.into_iter().map(|(board, _)| board).collect();
        Floor { pitch: PITCH, boards, stock, ..Floor::default() }
    }

    fn ends(floor: &Floor) -> Vec<(usize, f64, SawnAt)> {
        told(&skims(KERF, floor, [&[], &[], &[]]))
    }

    fn told(skims: &[Skim]) -> Vec<(usize, f64, SawnAt)> {
        skims.iter().map(|skim| (skim.board, (skim.off * 1000.0).round() / 1000.0, skim.at)).collect()
    }

    use SawnAt::{LeftEnd, RightEnd, Side};

    /// By hand: between 1000 and 1004 the blade takes 3, a second cut 1. At 1003 one cut parts both, from 1006 on a second one
    /// has a whole blade's wood to take.
    #[test]
    fn between_two_pieces_a_second_cut_takes_what_the_first_leaves() {
        let after = |from: f64| ends(&whole(&[(0.0, 1000.0), (from, LONG)]));
        assert_eq!(after(1003.0), []);
        assert_eq!(after(1004.0), [(1, 1.0, LeftEnd)]);
        assert_eq!(after(1005.0), [(1, 2.0, LeftEnd)]);
        assert_eq!(after(1006.0), []);
        // One cut parts these two, though the stops stand at 1000 and 996.
        assert_eq!(ends(&whole(&[(0.0, 1000.6), (1003.6, LONG)])), []);
        // Stops stand at whole millimetres: 1000.6 is sawn at 1000, and 995.7 from the right end at 1005: 2 past the blade.
        assert_eq!(ends(&whole(&[(0.0, 1000.6), (1004.3, LONG)])), [(1, 2.0, LeftEnd)]);
    }

    /// Factory ends that are kept are not sawn; what is sawn there takes off what lies before it, or after it.
    #[test]
    fn the_ends_of_a_board_opened_are_looked_at() {
        assert_eq!(ends(&whole(&[(0.0, LONG)])), []);
        assert_eq!(ends(&whole(&[(2.0, LONG)])), [(0, 2.0, LeftEnd)]);
        assert_eq!(ends(&whole(&[(0.0, 1998.4)])), [(0, 2.0, RightEnd)]);
        assert_eq!(ends(&whole(&[(1.0, 1999.0)])), [(0, 1.0, LeftEnd), (0, 1.0, RightEnd)]);
        assert_eq!(ends(&whole(&[(3.0, 1997.0)])), []);
        // Past another piece the last end is looked at still.
        assert_eq!(ends(&whole(&[(0.0, 700.0), (800.0, 1999.0)])), [(1, 1.0, RightEnd)]);
    }

    /// Three pieces of 600.6, 696.6 and 696.0, a blade apart, each measured from the cut before it: 600, 696 and 696 with two
    /// cuts of 3 come to 1998, and 2 are left. As drawn it would be 0.8.
    #[test]
    fn a_piece_is_measured_from_the_cut_that_parts_it() {
        let pieces = whole(&[(0.0, 600.6), (603.6, 1300.2), (1303.2, 1999.2)]);
        assert_eq!(ends(&pieces), [(2, 2.0, RightEnd)]);
    }

    /// A slanting end comes to its length in one corner: a wedge comes off it, however thin at its tip.
    #[test]
    fn slanting_ends_are_left_out() {
        let mut slanting = whole(&[(0.0, 1000.0), (1004.0, LONG)]);
        slanting.boards[0].outline.outer[2].u = 950.0;
        slanting.boards[0].shaped = true;
        assert_eq!(ends(&slanting), []);
        let mut slanting = whole(&[(0.0, 1998.0)]);
        slanting.boards[0].outline.outer[1].u = 1900.0;
        slanting.boards[0].shaped = true;
        assert_eq!(ends(&slanting), []);
    }

    /// Beside a rip that keeps 100 and the cut of 3 there are 87 left of 190: a strip of 86 loses 1, one of 87 nothing. It is cut to
    /// 1398 after it is ripped off a piece of 1400.
    #[test]
    fn strips_lose_what_their_neighbour_leaves() {
        let beside = |width: f64| {
            let holder = board(0.0, 1400.0, [PITCH - 100.0, PITCH]);
            let strip = board(0.0, 1398.0, [0.0, width]);
            let floor = floor(vec![(holder, false), (strip, true)]);
            let entry = |setting: f64, board: usize| SawEntry { setting, boards: vec![board], run: 0.0 };
            told(&skims(KERF, &floor, [&[entry(100.0, 0)], &[entry(width, 1)], &[]]))
        };
        assert_eq!(beside(86.0), [(1, 1.0, Side), (1, 2.0, RightEnd)]);
        assert_eq!(beside(87.0), [(1, 2.0, RightEnd)]);
        assert_eq!(beside(80.0), [(1, 2.0, RightEnd)]);
    }

    /// What lies is cut: the thin cut is the other piece's.
    #[test]
    fn boards_that_lie_are_not_sawn_again() {
        let laid = |which: [bool; 2]| {
            let of_board = which.map(|is_laid| is_laid.then_some(0)).to_vec();
            let laid = LaidFloor { of_board, ..LaidFloor::default() };
            ends(&Floor { laid, ..whole(&[(0.0, 1000.0), (1004.0, LONG)]) })
        };
        assert_eq!(laid([true, false]), [(1, 1.0, LeftEnd)]);
        assert_eq!(laid([false, true]), [(0, 1.0, RightEnd)]);
        assert_eq!(laid([true, true]), []);
    }

    /// A tape in inches shows no less than a sixteenth, 1.6 mm: what is under half of that is told as less than one.
    #[test]
    fn what_a_tape_does_not_show_is_told_as_less_than_its_step() {
        let mut floor = whole(&[(0.0, 1000.0), (1004.0, LONG)]);
        floor.boards[1].label = "4-1".into();
        let said = |off: f64, units: Units| {
            let saw = crate::SawList {
                skims: vec![Skim { board: 1, off, at: LeftEnd }],
                ..crate::SawList::default()
            };
            let plan = Plan { units, ..Plan::new("t") };
            skim_words(&plan, &floor, &saw).unwrap()
        };
        let expected = "Less than the blade is thick comes off: 4-1 (0.5 off its left end). Clamp and skim, or plane it.";
        assert_eq!(said(0.5, Units::Metric), expected);
        assert!(said(0.5, Units::FeetInches).contains("(under 1/16\" off its left end)"));
        assert!(said(1.0, Units::FeetInches).contains("(1/16\" off its left end)"));
    }
}
