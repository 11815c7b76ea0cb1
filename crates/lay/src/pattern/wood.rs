//! Wood for patterns: blocks as they are sold, or cut from longer boards, by hand where they have one.

use crate::cut::Saw;
use crate::yard::{AS_SOLD, Need, Yard};
use crate::{Board, Hand, StockBoard};
use plan::{Pattern, Plan, Stock};

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

/// The stock on site, for each hand a yard of its own.
#[derive(Debug)]
pub(super) struct Wood<'a> {
    of: &'a BlockStock,
    saws: Vec<Saw>,
}

impl<'a> Wood<'a> {
    pub(super) fn new(of: &'a BlockStock, plan: &Plan) -> Self {
        let saw = || {
            let yard = Yard::new(&of.stock, &plan.rules, plan.seed, 0.0, 0);
            Saw::new(&of.stock, plan.seed, yard)
        };
        Self { of, saws: (0..if of.handed { 2 } else { 1 }).map(|_| saw()).collect() }
    }

    /// Index of a hand's yard.
    fn yard(&self, hand: Option<Hand>) -> usize {
        usize::from(hand == Some(Hand::Right)).min(self.saws.len() - 1)
    }

    /// Cuts a piece for a board: its stock board, counted within its hand, and its place on it from the left
    /// end. `None` where no board at hand is long enough.
    pub(super) fn take(
        &mut self,
        hand: Option<Hand>,
        length: f64,
        need: Need,
        board: usize,
    ) -> Option<(usize, f64)> {
        let yard = self.yard(hand);
        let longest = self.of.stock.longest();
        let length = if length <= longest + AS_SOLD { length.min(longest) } else { length };
        self.saws[yard].take(length, need, board)
    }

    /// Length of a stock board along a long edge, mm.
    pub(super) fn length(&self, hand: Option<Hand>, stock: usize) -> f64 {
        self.saws[self.yard(hand)].stock.get(stock).map_or(0.0, |board| board.length)
    }

    /// Whether mitred ends are cut on site.
    pub(super) fn mitred_here(&self) -> bool {
        self.of.mitred_here
    }

    /// All boards opened, one hand after the other; the laid boards are told their new numbers.
    pub(super) fn finish(self, boards: &mut [Board]) -> Vec<StockBoard> {
        let second = self.saws.first().map_or(0, |saw| saw.stock.len());
        if self.of.handed {
            let right = boards.iter_mut().filter(|b| b.hand == Some(Hand::Right));
            right.for_each(|board| board.stock += second);
        }
        let mut all: Vec<StockBoard> = Vec::new();
        for saw in self.saws {
            let packs = all.iter().map(|board| board.pack + 1).max().unwrap_or(0);
            let lost = self.of.lost;
            all.extend(saw.done().into_iter().map(|b| StockBoard {
                length: b.length + lost,
                pack: b.pack + packs,
                ..b
            }));
        }
        all
    }
}
