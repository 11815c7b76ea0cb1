//! The stock on site: packs opened in order, boards drawn from them, and what is left of cut boards.

use crate::{Piece, StockBoard};
use plan::Stock;
use rand_core::Rng;
use rand_pcg::Pcg64Mcg;

/// Packs kept open at once, so that boards of several packs mix on the floor.
const OPEN_PACKS: usize = 3;
/// A piece shorter than this is not worth carrying back, mm. Common practice, no source.
const WORTH_KEEPING: f64 = 200.0;
/// A piece measured on the floor may exceed the board it fills by rounding, mm.
const EXACT: f64 = 1e-6;
/// What opening a pack for one length is held to cost, mm of board: less than any broken rule, more than
/// any offcut.
const OPENING: f64 = 3000.0;
/// How strongly lengths are drawn in the proportions of the pack, mm of board.
const DRAWING: f64 = 30.0;

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

/// A stretch of a stock board not used yet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Offcut {
    pub(crate) stock: usize,
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) left_match: bool,
    pub(crate) right_match: bool,
}

impl Offcut {
    pub(crate) fn length(&self) -> f64 {
        self.to - self.from
    }

    pub(crate) fn serves(&self, need: Need) -> bool {
        match need {
            Need::Right => self.right_match,
            Need::Left => self.left_match,
            Need::Neither => true,
            Need::Both => self.left_match && self.right_match,
        }
    }
}

/// Where a piece would come from and what that costs in wood, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Source {
    pub(crate) from: From,
    pub(crate) cost: f64,
}

/// A source of a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum From {
    /// Index into the offcuts.
    Offcut(usize),
    /// A fresh board, by index into the stock's lengths.
    Fresh(usize),
}

/// Boards of one length in the open packs.
#[derive(Debug, Clone, Copy)]
struct Shelf {
    at_hand: u32,
    /// How scarce the length is against its share of a pack, -1 for plenty to 1 for none: drawing lengths
    /// evenly keeps whole packs from standing about.
    scarcity: f64,
}

/// The stock on site.
#[derive(Debug)]
pub(crate) struct Yard<'a> {
    stock: &'a Stock,
    /// Open packs: number of the pack and boards left in it of each length.
    open: Vec<(usize, Vec<u32>)>,
    opened_packs: usize,
    /// What stands in the open packs, by length; brought up to date with every draw.
    shelf: Vec<Shelf>,
    pub(crate) offcuts: Vec<Offcut>,
    pub(crate) boards: Vec<StockBoard>,
}

impl<'a> Yard<'a> {
    pub(crate) fn new(stock: &'a Stock) -> Self {
        let mut yard = Self {
            stock,
            open: Vec::new(),
            opened_packs: 0,
            shelf: Vec::new(),
            offcuts: Vec::new(),
            boards: Vec::new(),
        };
        yard.top_up();
        yard
    }

    fn top_up(&mut self) {
        self.open.retain(|(_, left)| left.iter().any(|n| *n > 0));
        while self.open.len() < OPEN_PACKS {
            let left = self.stock.lengths.iter().map(|l| l.per_pack).collect();
            self.open.push((self.opened_packs, left));
            self.opened_packs += 1;
        }
        self.count_shelf();
    }

    /// Counts what stands in the open packs.
    fn count_shelf(&mut self) {
        let lengths = &self.stock.lengths;
        let at_hand = |length: usize| -> u32 { self.open.iter().map(|(_, left)| left[length]).sum() };
        let total: f64 = (0..lengths.len()).map(|i| f64::from(at_hand(i))).sum();
        let in_pack: f64 = lengths.iter().map(|l| f64::from(l.per_pack)).sum();
        self.shelf = (0..lengths.len())
            .map(|length| {
                let fair = total * f64::from(lengths[length].per_pack) / in_pack.max(1.0);
                let here = at_hand(length);
                let scarcity =
                    if fair <= 0.0 { 1.0 } else { (1.0 - f64::from(here) / fair).clamp(-1.0, 1.0) };
                Shelf { at_hand: here, scarcity }
            })
            .collect();
    }

    /// Price in wood of drawing a fresh board of a length when `drawn` more of it are spoken for: boards
    /// of a length that has run out mean opening a pack for its sake.
    pub(crate) fn drawing(&self, length: usize, drawn: u32) -> f64 {
        let shelf = self.shelf[length];
        let opening = if shelf.at_hand <= drawn { OPENING } else { 0.0 };
        opening + DRAWING * (shelf.scarcity + f64::from(drawn) / 4.0)
    }

    /// Whether what is left of a cut is worth keeping.
    fn worth_keeping(&self, length: f64) -> bool {
        length >= WORTH_KEEPING
    }

    /// Price in wood of leaving a stretch of this length over: lost if short, at some risk if kept.
    pub(crate) fn leaving(&self, length: f64) -> f64 {
        if length <= 0.0 {
            0.0
        } else if self.worth_keeping(length) {
            0.35 * length
        } else {
            length
        }
    }

    /// The cheapest source for a piece, leaving out what is spoken for: one offcut, and fresh boards by length.
    pub(crate) fn source(
        &self,
        length: f64,
        need: Need,
        taken: Option<usize>,
        drawn: &[u32],
    ) -> Option<Source> {
        self.source_among(&self.offcuts_for(need), length, need, taken, drawn)
    }

    /// Offcuts that serve a need, by length: what [`Self::source_among`] looks in, made once for many pieces.
    pub(crate) fn offcuts_for(&self, need: Need) -> Vec<(f64, usize)> {
        let serving = self.offcuts.iter().enumerate().filter(|(_, offcut)| offcut.serves(need));
        let mut serving: Vec<(f64, usize)> = serving.map(|(index, o)| (o.length(), index)).collect();
        serving.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        serving
    }

    /// The cheapest source among these offcuts, sorted by length, and the fresh boards.
    pub(crate) fn source_among(
        &self,
        offcuts: &[(f64, usize)],
        length: f64,
        need: Need,
        taken: Option<usize>,
        drawn: &[u32],
    ) -> Option<Source> {
        let kerf = self.stock.kerf;
        let mut best: Option<Source> = None;
        let mut offer = |from, cost| {
            if best.is_none_or(|b| cost < b.cost) {
                best = Some(Source { from, cost });
            }
        };
        let first_from = |least: f64| {
            let first = offcuts.partition_point(|(offcut, _)| offcut + EXACT < least);
            offcuts[first..].iter().find(|(_, index)| Some(*index) != taken)
        };
        // The closest fit wastes least; the closest that leaves a piece worth keeping wastes none, and from
        // there on all cost the same.
        for least in [length, length + kerf + WORTH_KEEPING] {
            if let Some((offcut, index)) = first_from(least) {
                // What leaves the heap of offcuts is worth as much as it would cost to leave it.
                let cost = self.leaving(offcut - length - kerf) - self.leaving(*offcut);
                offer(From::Offcut(*index), cost);
            }
        }
        for (index, l) in self.stock.lengths.iter().enumerate() {
            // A board between two others keeps both its ends, so it is no longer than its place.
            let whole = need != Need::Both || !self.stock.end_match || l.length <= length + EXACT;
            if l.length + EXACT >= length && l.per_pack > 0 && whole {
                let left = self.leaving(l.length - length - kerf);
                offer(From::Fresh(index), left + self.drawing(index, drawn[index]));
            }
        }
        best
    }

    /// Cuts a piece and gives the stock board and the place on it, from its left end.
    pub(crate) fn cut(
        &mut self,
        from: From,
        length: f64,
        need: Need,
        board: usize,
        rng: &mut Pcg64Mcg,
    ) -> (usize, f64) {
        let offcut = match from {
            From::Offcut(index) => self.offcuts.remove(index),
            From::Fresh(length) => self.draw(length, rng),
        };
        let kerf = self.stock.kerf;
        let square = !self.stock.end_match;
        let length = length.min(offcut.length());
        // A starter is cut from the right, everything else from the left.
        let spare = offcut.length() - length;
        let at_right = need == Need::Right && offcut.right_match && !square;
        let start = if at_right { offcut.to - length } else { offcut.from };
        self.boards[offcut.stock].pieces.push(Piece { board, from: start, to: start + length });
        self.boards[offcut.stock].pieces.sort_by(|a, b| a.from.total_cmp(&b.from));
        if self.worth_keeping(spare - kerf) {
            self.offcuts.push(if at_right {
                Offcut { to: start - kerf, right_match: square, ..offcut }
            } else {
                Offcut { from: start + length + kerf, left_match: square, ..offcut }
            });
        }
        (offcut.stock, start)
    }

    /// Opens a board of this length from one of the open packs.
    fn draw(&mut self, length: usize, rng: &mut Pcg64Mcg) -> Offcut {
        while self.open.iter().all(|(_, left)| left[length] == 0) {
            let left = self.stock.lengths.iter().map(|l| l.per_pack.max(1)).collect();
            self.open.push((self.opened_packs, left));
            self.opened_packs += 1;
        }
        let holders: Vec<usize> = (0..self.open.len()).filter(|i| self.open[*i].1[length] > 0).collect();
        let (pack, left) = &mut self.open[holders[below(rng, holders.len())]];
        left[length] -= 1;
        let full = self.stock.lengths[length].length;
        let stock = self.boards.len();
        self.boards.push(StockBoard { length: full, pack: *pack, pieces: Vec::new() });
        self.top_up();
        Offcut { stock, from: 0.0, to: full, left_match: true, right_match: true }
    }
}

/// A number in 0..count; 0 for an empty range. The slight bias is far below what a floor can show.
pub(crate) fn below(rng: &mut Pcg64Mcg, count: usize) -> usize {
    if count == 0 { 0 } else { (rng.next_u64() % count as u64) as usize }
}

/// A number in 0..1.
pub(crate) fn unit(rng: &mut Pcg64Mcg) -> f64 {
    (rng.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
}
