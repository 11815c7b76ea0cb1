//! Wood for patterns: blocks as they are sold, or cut from longer boards, by hand where they have one.

use crate::yard::{From, Need, Offcut, Yard};
use crate::{Board, Hand, StockBoard};
use plan::{Pattern, Plan, Stock};
use rand_core::SeedableRng;
use rand_pcg::Pcg64Mcg;

/// Offcuts looked through for a piece, newest first: those cut long ago lie at the bottom of the heap, and
/// looking through all would make the work grow with the square of the floor.
const LOOKED_THROUGH: usize = 200;
/// A piece measured on the floor may exceed the board it fills by rounding, mm.
const EXACT: f64 = 1e-6;
/// A board this much longer than the block is the block, mm.
const AS_SOLD: f64 = 0.1;

/// The boards a pattern is laid from, as lengths along one long edge.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct BlockStock {
    stock: Stock,
    /// Whether blocks of one hand cannot lie in the other's place.
    pub(super) handed: bool,
    /// Length each board loses to the lean of its first mitre where mitres are cut on site, mm.
    lost: f64,
    /// Whether mitred ends are cut on site.
    pub(super) mitred_here: bool,
}

impl BlockStock {
    /// Boards laid as they are sold.
    pub(super) fn plain(stock: Stock) -> Self {
        Self { stock, handed: false, lost: 0.0, mitred_here: false }
    }
}

/// What a plan's pattern is laid from. Lengths run along one long edge, so that a mitred block is as long as
/// its name says and every cut parallel to its mitre leaves pieces measured the same way.
pub(super) fn block_stock(plan: &Plan) -> BlockStock {
    let mut stock = plan.stock.clone();
    let (block, lean, handed) = match plan.pattern {
        Pattern::Irregular | Pattern::Half | Pattern::Third => {
            return BlockStock::plain(stock);
        }
        Pattern::Herringbone { block, .. } => (block, 0.0, stock.end_match),
        Pattern::Chevron { block, mitre } => (block, libm::tan(mitre.to_radians()), true),
    };
    // A saw cut along the mitre takes more of the length than a square one.
    stock.kerf *= (1.0 + lean * lean).sqrt();
    let as_sold = stock.lengths.iter().any(|l| l.per_pack > 0 && (l.length - block).abs() <= AS_SOLD);
    if as_sold {
        stock.lengths.retain(|l| (l.length - block).abs() <= AS_SOLD);
        return BlockStock { stock, handed, lost: 0.0, mitred_here: false };
    }
    let lost = lean * plan.stock.pitch();
    stock.lengths.iter_mut().for_each(|l| l.length -= lost);
    BlockStock { stock, handed, lost, mitred_here: lean > 0.0 }
}

/// The stock on site, for each hand a heap of its own.
#[derive(Debug)]
pub(super) struct Wood<'a> {
    of: &'a BlockStock,
    yards: Vec<Yard<'a>>,
    rng: Pcg64Mcg,
}

impl<'a> Wood<'a> {
    pub(super) fn new(of: &'a BlockStock, seed: u64) -> Self {
        let yards = (0..if of.handed { 2 } else { 1 }).map(|_| Yard::new(&of.stock)).collect();
        Self { of, yards, rng: Pcg64Mcg::seed_from_u64(seed) }
    }

    /// Index of a hand's heap.
    fn heap(&self, hand: Option<Hand>) -> usize {
        usize::from(hand == Some(Hand::Right)).min(self.yards.len() - 1)
    }

    /// Cuts a piece for a board: its stock board, counted within its hand, and its place on it from the left
    /// end. `None` where no board is long enough.
    pub(super) fn take(
        &mut self,
        hand: Option<Hand>,
        length: f64,
        need: Need,
        board: usize,
    ) -> Option<(usize, f64)> {
        let heap = self.heap(hand);
        let longest = self.of.stock.longest();
        let length = if length <= longest + AS_SOLD { length.min(longest) } else { length };
        let from = self.offcut(heap, length, need).or_else(|| self.fresh(length, need))?;
        Some(self.yards[heap].cut(from, length, need, board, &mut self.rng))
    }

    /// The newest of the closest offcuts.
    fn offcut(&self, heap: usize, length: f64, need: Need) -> Option<From> {
        let serves = |offcut: &Offcut| offcut.serves(need) && offcut.length() + EXACT >= length;
        self.yards[heap]
            .offcuts
            .iter()
            .enumerate()
            .rev()
            .take(LOOKED_THROUGH)
            .filter(|(_, offcut)| serves(offcut))
            .min_by(|a, b| a.1.length().total_cmp(&b.1.length()))
            .map(|(index, _)| From::Offcut(index))
    }

    /// The shortest board that serves; one with both its ends where the piece needs them, if there is one.
    fn fresh(&self, length: f64, need: Need) -> Option<From> {
        let lengths = &self.of.stock.lengths;
        let long_enough = || {
            let all = lengths.iter().enumerate();
            all.filter(|(_, l)| l.per_pack > 0 && l.length + EXACT >= length)
        };
        let shortest = |a: &(usize, f64), b: &(usize, f64)| a.1.total_cmp(&b.1);
        let whole = |l: f64| need != Need::Both || !self.of.stock.end_match || l <= length + AS_SOLD;
        let of = |whole_only: bool| {
            let fitting = long_enough().map(|(i, l)| (i, l.length)).filter(|(_, l)| !whole_only || whole(*l));
            fitting.min_by(shortest)
        };
        of(true).or_else(|| of(false)).map(|(index, _)| From::Fresh(index))
    }

    /// Length of a stock board along a long edge, mm.
    pub(super) fn length(&self, hand: Option<Hand>, stock: usize) -> f64 {
        self.yards[self.heap(hand)].boards.get(stock).map_or(0.0, |board| board.length)
    }

    /// Whether mitred ends are cut on site.
    pub(super) fn mitred_here(&self) -> bool {
        self.of.mitred_here
    }

    /// All boards opened, one hand after the other; the laid boards are told their new numbers.
    pub(super) fn finish(self, boards: &mut [Board]) -> Vec<StockBoard> {
        let second = self.yards.first().map_or(0, |yard| yard.boards.len());
        if self.of.handed {
            let right = boards.iter_mut().filter(|b| b.hand == Some(Hand::Right));
            right.for_each(|board| board.stock += second);
        }
        let mut all: Vec<StockBoard> = Vec::new();
        for yard in self.yards {
            let packs = all.iter().map(|board| board.pack + 1).max().unwrap_or(0);
            let lost = self.of.lost;
            all.extend(yard.boards.into_iter().map(|b| StockBoard {
                length: b.length + lost,
                pack: b.pack + packs,
                ..b
            }));
        }
        all
    }
}
