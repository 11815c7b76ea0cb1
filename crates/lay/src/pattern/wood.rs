//! Wood for patterns and borders: blocks as they are sold, or cut from longer boards, by hand where they have one.

use super::heap::{Ask, Heap, Opened};
use crate::nest::Shifts;
use crate::yard::{AS_SOLD, Need};
use crate::{Board, Floor, Hand, Piece, StockBoard};
use plan::{Pattern, Plan, Stock};

/// What a plan's pattern is laid from.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Blocks {
    /// How far a block's slanted ends lie further along at the tongue edge, mm: to the right in right-hand ones.
    shift: f64,
    /// Whether blocks come in packs by hand, so that one of one hand cannot lie in the other's place.
    handed: bool,
    /// Whether they are cut on site, from boards with square ends.
    cut_here: bool,
}

/// Mitred blocks cut on site are not sold by hand: the saw is turned over to the other side of square, and a board
/// face up gives blocks of either hand. It cannot be turned over to give the other hand of a block already cut.
fn blocks(plan: &Plan) -> Blocks {
    let cut_here = plan.pattern.is_cut_from_longer(&plan.stock);
    match plan.pattern {
        Pattern::Irregular | Pattern::Half | Pattern::Third => {
            Blocks { shift: 0.0, handed: false, cut_here: false }
        }
        Pattern::Herringbone { .. } => Blocks { shift: 0.0, handed: plan.stock.end_match, cut_here },
        Pattern::Chevron { mitre, .. } => {
            let shift = libm::tan(mitre.to_radians()) * plan.stock.pitch();
            Blocks { shift, handed: !cut_here, cut_here }
        }
    }
}

impl Blocks {
    /// The slant of a piece's ends, mm.
    fn shift_of(&self, hand: Option<Hand>) -> f64 {
        match hand {
            Some(Hand::Left) => -self.shift,
            Some(Hand::Right) => self.shift,
            None => 0.0,
        }
    }

    /// Which heap wood of a hand lies on: all on one; or one for each hand, and a third for border boards where
    /// blocks are sold mitred.
    fn heap(&self, hand: Option<Hand>) -> usize {
        match hand {
            _ if !self.handed => 0,
            Some(Hand::Left) => 0,
            Some(Hand::Right) => 1,
            None => 2,
        }
    }

    fn heaps(&self) -> usize {
        if self.handed { 3 } else { 1 }
    }
}

/// The boards a pattern is laid from: where a block is sold as it is, only those.
fn block_stock(plan: &Plan) -> Stock {
    let mut stock = plan.stock.clone();
    if let Pattern::Herringbone { block, .. } | Pattern::Chevron { block, .. } = plan.pattern {
        let is_it = |length: f64| (length - block).abs() <= AS_SOLD;
        if stock.lengths.iter().any(|l| l.per_pack > 0 && is_it(l.length)) {
            // What lies between them in a pack keeps its place in the list.
            stock.lengths.iter_mut().filter(|l| !is_it(l.length)).for_each(|l| l.per_pack = 0);
        }
    }
    stock
}

/// The stock on site.
#[derive(Debug)]
pub(super) struct Wood {
    blocks: Blocks,
    longest: f64,
    heaps: Vec<Heap>,
    opened: Opened,
    /// Number of the first board laid from here.
    first_board: usize,
}

impl Wood {
    /// Fresh stock for a plan's field.
    pub(super) fn new(plan: &Plan) -> Self {
        let blocks = blocks(plan);
        let stock = block_stock(plan);
        let heaps = (0..blocks.heaps()).map(|heap| fresh(plan, &blocks, &stock, heap)).collect();
        Self { blocks, longest: longest(&stock), heaps, opened: Opened::default(), first_board: 0 }
    }

    /// Has pieces of straight rows, before anything is opened, end in these slants.
    pub(super) fn slant(&mut self, shifts: Vec<Shifts>) {
        self.heaps =
            std::mem::take(&mut self.heaps).into_iter().map(|heap| heap.with(shifts.clone())).collect();
    }

    /// Stock for a plan's border: what its field has left of the boards opened and of their packs, and more.
    pub(super) fn after(plan: &Plan, floor: &mut Floor) -> Self {
        let blocks = blocks(plan);
        let opened = std::mem::take(&mut floor.stock);
        let hand_of = |board: &StockBoard| {
            board.pieces.first().and_then(|piece| floor.boards.get(piece.board)).and_then(|board| board.hand)
        };
        let packs = opened.iter().map(|board| board.pack + 1).max().unwrap_or(0);
        let heap = |heap: usize| {
            let of_heap = opened.iter().enumerate().filter(|(_, b)| blocks.heap(hand_of(b)) == heap);
            fresh(plan, &blocks, &plan.stock, heap).after(&plan.stock, of_heap)
        };
        let heaps = (0..blocks.heaps()).map(heap).collect();
        let (longest, first_board) = (longest(&plan.stock), floor.boards.len());
        Self { blocks, longest, heaps, opened: Opened { stock: opened, packs }, first_board }
    }

    /// The hand whose blocks a strip of border is laid from: that with more left in its open packs. `None` where
    /// boards lie either way, or blocks are sold with mitred ends and serve no border.
    pub(super) fn hand_for_border(&self) -> Option<Hand> {
        if !self.blocks.handed || self.blocks.shift > 0.0 {
            return None;
        }
        let left = |hand| self.heaps[self.blocks.heap(Some(hand))].left_in_packs();
        Some(if left(Hand::Right) > left(Hand::Left) { Hand::Right } else { Hand::Left })
    }

    /// Cuts a piece, so long along its groove edge, for the `board`-th board laid from here: its stock board, and where it begins there along the
    /// groove edge. `None` where no board at hand is long enough.
    pub(super) fn take(
        &mut self,
        (hand, in_border): (Option<Hand>, bool),
        (length, slants): (f64, Shifts),
        need: Need,
        board: usize,
    ) -> Option<(usize, f64)> {
        let length = if length <= self.longest + AS_SOLD { length.min(self.longest) } else { length };
        let mitre = if in_border { 0.0 } else { self.blocks.shift_of(hand) };
        let [shift, right_shift] = slants.map(|slant| slant + mitre);
        let heap = self.blocks.heap(hand);
        let ask = Ask { length, shifts: [shift, right_shift], need };
        let (stock, from) = self.heaps.get_mut(heap)?.take(ask, &mut self.opened)?;
        let board = self.first_board + board;
        self.opened.stock[stock].pieces.push(Piece {
            board,
            from,
            to: from + length,
            shift,
            right_shift,
            strip: false,
        });
        Some((stock, from))
    }

    /// Length of a stock board along a long edge, mm.
    pub(super) fn length(&self, stock: usize) -> f64 {
        self.opened.stock.get(stock).map_or(0.0, |board| board.length)
    }

    /// Whether mitred ends are cut on site.
    pub(super) fn mitred_here(&self) -> bool {
        self.blocks.cut_here && self.blocks.shift > 0.0
    }

    /// All boards opened: those of the field as they were, then, of blocks sold by hand, one hand after the other.
    /// `boards` are those laid from here.
    pub(super) fn finish(self, plan: &Plan, boards: &mut [Board]) -> Vec<StockBoard> {
        let Self { blocks, heaps, mut opened, first_board, .. } = self;
        let stock = block_stock(plan);
        heaps.iter().for_each(|heap| heap.draw_packs(&stock, plan.seed, &mut opened));
        let mut stock = opened.stock;
        if blocks.handed && first_board == 0 {
            // Packs of one hand follow those of the other.
            let mut order: Vec<usize> = (0..stock.len()).collect();
            let hand = |index: &usize| {
                let first = stock[*index].pieces.first().and_then(|piece| boards.get(piece.board));
                first.and_then(|board| board.hand)
            };
            order.sort_by_key(hand);
            let mut places = vec![0; stock.len()];
            for (place, index) in order.iter().enumerate() {
                places[*index] = place;
            }
            boards.iter_mut().for_each(|board| board.stock = places[board.stock]);
            stock = order.into_iter().map(|index| std::mem::take(&mut stock[index])).collect();
        }
        stock.iter_mut().for_each(|board| board.pieces.sort_by(|a, b| a.from.total_cmp(&b.from)));
        stock
    }
}

fn longest(stock: &Stock) -> f64 {
    stock.lengths.iter().filter(|l| l.per_pack > 0).map(|l| l.length).fold(0.0, f64::max)
}

/// One of the heaps before anything is opened.
fn fresh(plan: &Plan, blocks: &Blocks, stock: &Stock, heap: usize) -> Heap {
    let shift = blocks.shift;
    match (blocks.handed, heap) {
        (true, 0) => Heap::new(plan, stock, -shift, &[[-shift; 2]]),
        (true, 1) => Heap::new(plan, stock, shift, &[[shift; 2]]),
        _ if blocks.cut_here && shift > 0.0 => {
            Heap::new(plan, stock, 0.0, &[[-shift; 2], [shift; 2], [0.0; 2]])
        }
        _ => Heap::new(plan, stock, 0.0, &[[0.0; 2]]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// tan 30° · 90 = 51.96, tan 45° · 90 = 90; square blocks have none.
    #[test]
    fn a_mitred_end_lies_further_along_by_the_tangent_of_its_mitre() {
        let mut plan = Plan::new("t");
        plan.stock.face_width = 90.0;
        let shift = |pattern: Pattern| blocks(&Plan { pattern, ..plan.clone() }).shift;
        assert!((shift(Pattern::Chevron { block: 600.0, mitre: 30.0 }) - 51.9615).abs() < 1e-3);
        assert!((shift(Pattern::Chevron { block: 600.0, mitre: 45.0 }) - 90.0).abs() < 1e-9);
        assert_eq!(shift(Pattern::Herringbone { block: 600.0, abreast: 1 }), 0.0);
    }
}
