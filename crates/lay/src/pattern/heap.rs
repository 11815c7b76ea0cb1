//! Boards on site that a pattern or a border is cut from: fresh ones, and what is left of those cut into.
//!
//! A stretch of a board that is free ends at either side in a line across the board, square or slanted: the
//! board's own end or a saw cut. A piece with slanted ends goes in beside a cut of its own slant with one saw
//! cut between; beside one of another slant a wedge is lost.

use crate::StockBoard;
use crate::lots::Lots;
use crate::nest::Shifts;
use crate::ranked::Ranked;
use crate::shelf::EXACT;
use crate::yard::{AS_SOLD, Need, Yard};
use plan::{Plan, Stock};

/// A piece shorter than this is not worth carrying back, mm. Blocks leave small pieces at every wall, which small
/// offcuts serve. Common practice, no source.
const WORTH_KEEPING: f64 = 50.0;

/// A stretch of a stock board that nothing is cut from yet, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stretch {
    /// The stock board.
    pub(super) stock: usize,
    /// Where it begins and ends along the groove edge.
    pub(super) from: f64,
    pub(super) to: f64,
    /// How much further along each end lies at the tongue edge.
    pub(super) shifts: (f64, f64),
    /// Whether each end is the board's own.
    pub(super) own: (bool, bool),
}

/// What is asked of the wood for one board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ask {
    /// Along the groove edge, mm.
    pub(super) length: f64,
    /// How much further along its left and right end lie at the tongue edge, mm.
    pub(super) shifts: Shifts,
    pub(super) need: Need,
}

/// Boards of one kind, and their offcuts.
#[derive(Debug)]
pub(super) struct Heap {
    yard: Yard,
    packs: Packs,
    per_pack: Vec<u32>,
    kerf: f64,
    pitch: f64,
    end_match: bool,
    /// How much further along a fresh board's ends lie at its tongue edge, mm.
    made: f64,
    /// The slants that pieces' two ends may have, mm; each pair has its pools.
    shifts: Vec<Shifts>,
    /// Free stretches, and those of them that serve each slant and need, by the room they have.
    stretches: Vec<Stretch>,
    pools: Vec<[Ranked; 3]>,
}

/// Boards opened, and how many packs were opened for them.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Opened {
    pub(super) stock: Vec<StockBoard>,
    pub(super) packs: usize,
}

/// Which pack the next board comes from.
#[derive(Debug)]
enum Packs {
    /// Told when all boards are opened, so that lots mix over as few packs as it takes. The boards, with their kinds.
    Later(Vec<(usize, u32)>),
    /// The first open one that still has such a board. Of each pack the boards left of each kind.
    First(Vec<(usize, Vec<u32>)>),
}

impl Heap {
    /// A heap of fresh boards. `made` is the slant their ends have, `shifts` the slants that pieces' ends may have.
    pub(super) fn new(plan: &Plan, stock: &Stock, made: f64, shifts: &[Shifts]) -> Self {
        Self {
            yard: Yard::new(stock, &plan.rules, plan.seed, 0.0, 0),
            packs: Packs::Later(Vec::new()),
            per_pack: stock.lengths.iter().map(|l| l.per_pack).collect(),
            kerf: stock.kerf,
            pitch: plan.stock.pitch(),
            end_match: stock.end_match,
            made,
            shifts: shifts.to_vec(),
            stretches: Vec::new(),
            pools: shifts.iter().map(|_| Default::default()).collect(),
        }
    }

    /// The same before anything is opened, with pieces of other slants.
    pub(super) fn with(self, shifts: Vec<Shifts>) -> Self {
        Self { pools: shifts.iter().map(|_| Default::default()).collect(), shifts, ..self }
    }

    /// Goes on with what a floor has opened of these boards.
    pub(super) fn after<'s>(
        mut self,
        stock: &Stock,
        opened: impl Iterator<Item = (usize, &'s StockBoard)>,
    ) -> Self {
        let mut known: Vec<(usize, Vec<u32>)> = Vec::new();
        for (index, board) in opened {
            let is_it = |length: &plan::BoardLength| (length.length - board.length).abs() <= AS_SOLD;
            let Some(kind) = stock.lengths.iter().position(is_it) else { continue };
            self.yard.shelf.take(kind as u32);
            let place = known.binary_search_by_key(&board.pack, |(pack, _)| *pack).unwrap_or_else(|place| {
                known.insert(place, (board.pack, stock.lengths.iter().map(|l| l.per_pack).collect()));
                place
            });
            let left = &mut known[place].1[kind];
            *left = left.saturating_sub(1);
            for stretch in free(index, board, self.made) {
                self.put(stretch);
            }
        }
        self.packs = Packs::First(known);
        self
    }

    /// Boards left in the packs that are open.
    pub(super) fn left_in_packs(&self) -> u32 {
        match &self.packs {
            Packs::Later(_) => 0,
            Packs::First(known) => known.iter().flat_map(|(_, left)| left).sum(),
        }
    }

    /// The saw cut between lines across the board with these slants, along an edge, mm.
    fn cut(&self, a: f64, b: f64) -> f64 {
        let lean = a.abs().max(b.abs()) / self.pitch;
        self.kerf * (1.0 + lean * lean).sqrt()
    }

    /// Where a piece of these slants may begin and end in a stretch.
    fn room(&self, stretch: &Stretch, [at_left, at_right]: Shifts) -> (f64, f64) {
        let (left, right) = stretch.shifts;
        let cut = |own: bool, end: f64, shift: f64| if own { 0.0 } else { self.cut(end, shift) };
        let from = stretch.from + (left - at_left).max(0.0) + cut(stretch.own.0, left, at_left);
        (from, stretch.to - (at_right - right).max(0.0) - cut(stretch.own.1, right, at_right))
    }

    fn serves(&self, stretch: &Stretch, [at_left, at_right]: Shifts, need: Need) -> bool {
        // An end joins only as the factory made it, with the slant it has.
        let joins =
            |own: bool, end: f64, shift: f64| !self.end_match || (own && (end - shift).abs() <= AS_SOLD);
        let left = joins(stretch.own.0, stretch.shifts.0, at_left);
        let right = joins(stretch.own.1, stretch.shifts.1, at_right);
        match need {
            Need::Left => left,
            Need::Right => right,
            Need::Both => left && right && !self.end_match,
            Need::Neither => true,
        }
    }

    /// Every pool a stretch belongs to, with the room it has there.
    fn places(&self, stretch: &Stretch) -> Vec<(usize, usize, f64)> {
        let mut places = Vec::new();
        for (class, shift) in self.shifts.iter().enumerate() {
            let (from, to) = self.room(stretch, *shift);
            if to - from < WORTH_KEEPING {
                continue;
            }
            for (pool, need) in [Need::Left, Need::Right, Need::Neither].into_iter().enumerate() {
                if self.serves(stretch, *shift, need) {
                    places.push((class, pool, to - from));
                }
            }
        }
        places
    }

    /// Keeps a stretch, if anything is worth keeping of it.
    fn put(&mut self, stretch: Stretch) {
        let places = self.places(&stretch);
        if places.is_empty() {
            return;
        }
        let number = self.stretches.len() as u32;
        self.stretches.push(stretch);
        for (class, pool, room) in places {
            self.pools[class][pool].insert((room, number));
        }
    }

    /// Takes a stretch off the pools.
    fn draw(&mut self, number: u32) -> Option<Stretch> {
        let stretch = *self.stretches.get(number as usize)?;
        for (class, pool, room) in self.places(&stretch) {
            self.pools[class][pool].remove(&(room, number));
        }
        Some(stretch)
    }

    /// Cuts a piece: its stock board and where it begins there along the groove edge. A board opened for it is
    /// put at the end of `opened`. `None` where the stock on hand does not reach.
    pub(super) fn take(&mut self, ask: Ask, opened: &mut Opened) -> Option<(usize, f64)> {
        let Ask { length, shifts: [left, right], need } = ask;
        let is_it = |s: &Shifts| (s[0] - left).abs().max((s[1] - right).abs()) <= EXACT;
        let class = self.shifts.iter().position(is_it).unwrap_or(0);
        let pool = match need {
            Need::Left => 0,
            Need::Right => 1,
            Need::Neither | Need::Both => 2,
        };
        // A board between two others that join keeps both its ends, so it is used whole.
        let keeps_both = need == Need::Both && self.end_match;
        let spare = self.kerf + WORTH_KEEPING;
        let mut best: Option<(f64, u32)> = None;
        if !keeps_both {
            for least in [length, length + spare] {
                if let Some((room, number)) = self.pools[class][pool].from(least - EXACT).next() {
                    let cost = self.yard.of_rest(*room, length).cost;
                    if best.is_none_or(|(least, _)| cost < least) {
                        best = Some((cost, *number));
                    }
                }
            }
        }
        // The wedges that a piece of another slant leaves at the ends of a fresh board.
        let lost = (self.made - left).max(0.0) + (right - self.made).max(0.0);
        let mut kinds = Vec::new();
        self.yard.shelf.fits(length + lost, spare, &[], &mut kinds);
        let is_whole = |kind: &u32| self.yard.shelf.length(*kind) <= length + lost + AS_SOLD;
        if keeps_both && kinds.iter().any(is_whole) {
            kinds.retain(is_whole);
        }
        let fresh = kinds.iter().map(|kind| (self.yard.of_fresh(*kind, length + lost).cost, *kind));
        let fresh = fresh.min_by(|a, b| a.0.total_cmp(&b.0));
        let stretch = match (best, fresh) {
            (Some((cost, number)), fresh) if fresh.is_none_or(|(other, _)| cost <= other) => {
                self.draw(number)?
            }
            (_, Some((_, kind))) => self.open(kind, opened),
            (_, None) => return None,
        };
        Some((stretch.stock, self.part(stretch, ask)))
    }

    fn open(&mut self, kind: u32, opened: &mut Opened) -> Stretch {
        let length = self.yard.shelf.length(kind);
        self.yard.shelf.take(kind);
        let stock = opened.stock.len();
        let pack = match &mut self.packs {
            Packs::Later(boards) => {
                boards.push((stock, kind));
                0
            }
            Packs::First(known) => {
                let has_one = |(_, left): &&mut (usize, Vec<u32>)| left[kind as usize] > 0;
                match known.iter_mut().find(has_one) {
                    Some((pack, left)) => {
                        left[kind as usize] -= 1;
                        *pack
                    }
                    None => {
                        let mut left = self.per_pack.clone();
                        left[kind as usize] = left[kind as usize].saturating_sub(1);
                        known.push((opened.packs, left));
                        opened.packs += 1;
                        opened.packs - 1
                    }
                }
            }
        };
        opened.stock.push(StockBoard { length, pack, pieces: Vec::new() });
        Stretch { stock, from: 0.0, to: length, shifts: (self.made, self.made), own: (true, true) }
    }

    /// Draws every board opened from a pack, from `opened.packs` on.
    pub(super) fn draw_packs(&self, stock: &Stock, seed: u64, opened: &mut Opened) {
        let Packs::Later(boards) = &self.packs else { return };
        let count = |kind: usize| boards.iter().filter(|(_, k)| *k as usize == kind).count() as u32;
        let packs = (0..self.per_pack.len())
            .filter(|kind| self.per_pack[*kind] > 0)
            .map(|kind| count(kind).div_ceil(self.per_pack[kind]))
            .max()
            .unwrap_or(0);
        let mut lots = Lots::new(stock, seed, packs);
        for (board, kind) in boards {
            if let Some(board) = opened.stock.get_mut(*board) {
                board.pack = opened.packs + lots.draw(*kind as usize);
            }
        }
        opened.packs += packs as usize;
    }

    /// Parts a piece off a stretch, keeps the rest, and gives where the piece begins.
    fn part(&mut self, stretch: Stretch, ask: Ask) -> f64 {
        let (from, to) = self.room(&stretch, ask.shifts);
        // A starter lies at the right of its board, and so does a piece that keeps neither end where the
        // right end is spoiled already.
        let at_right = self.end_match
            && (ask.need == Need::Right || (ask.need == Need::Neither && stretch.own.0 && !stretch.own.1));
        let (begin, rest) = if at_right {
            let begin = to - ask.length;
            let rest = Stretch {
                to: begin,
                shifts: (stretch.shifts.0, ask.shifts[0]),
                own: (stretch.own.0, false),
                ..stretch
            };
            (begin, rest)
        } else {
            let rest = Stretch {
                from: from + ask.length,
                shifts: (ask.shifts[1], stretch.shifts.1),
                own: (false, stretch.own.1),
                ..stretch
            };
            (from, rest)
        };
        self.put(rest);
        begin
    }
}

/// The stretches of a stock board that no piece is cut from.
fn free(stock: usize, board: &StockBoard, made: f64) -> Vec<Stretch> {
    let mut all = Vec::new();
    let start = Stretch { stock, from: 0.0, to: board.length, shifts: (made, made), own: (true, true) };
    let mut rest = start;
    // A strip lies beside the piece it is left from.
    for piece in board.pieces.iter().filter(|piece| !piece.strip) {
        let before = Stretch {
            to: piece.from,
            shifts: (rest.shifts.0, piece.shift),
            own: (rest.own.0, false),
            ..rest
        };
        if before.to > before.from {
            all.push(before);
        }
        rest = Stretch {
            from: piece.to,
            shifts: (piece.right_shift, rest.shifts.1),
            own: (false, rest.own.1),
            ..rest
        };
    }
    if rest.to > rest.from {
        all.push(rest);
    }
    all
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use plan::BoardLength;

    const SQUARE: f64 = 0.0;

    /// Boards of 2000 by 100 with a saw that takes 3; `slants` in mm over the width.
    fn heap(slants: &[f64], made: f64, end_match: bool) -> (Heap, Opened) {
        let mut plan = Plan::new("t");
        plan.stock.face_width = 100.0;
        plan.stock.lengths = vec![BoardLength { length: 2000.0, per_pack: 5 }];
        (plan.stock.kerf, plan.stock.end_match) = (3.0, end_match);
        let slants: Vec<Shifts> = slants.iter().map(|slant| [*slant; 2]).collect();
        (Heap::new(&plan, &plan.stock, made, &slants), Opened::default())
    }

    fn ask(length: f64, shift: f64, need: Need) -> Ask {
        Ask { length, shifts: [shift; 2], need }
    }

    /// Mitres of 45° over 100 mm: a saw cut along the edge takes 3·√2. Blocks of one hand share their cuts, so three
    /// of 600 and two cuts reach 1808.5, and the long point of the last 1908.5. A fourth needs another board.
    #[test]
    fn blocks_of_one_hand_share_their_cuts() {
        let (mut heap, mut opened) = heap(&[-100.0, 100.0], 0.0, false);
        let cut = 3.0 * 2.0_f64.sqrt();
        for i in 0..3 {
            let (board, from) = heap.take(ask(600.0, 100.0, Need::Both), &mut opened).unwrap();
            assert_eq!(board, 0);
            assert!((from - f64::from(i) * (600.0 + cut)).abs() < 1e-9, "{from}");
        }
        assert_eq!(heap.take(ask(600.0, 100.0, Need::Both), &mut opened).unwrap().0, 1);
    }

    /// A left-hand block leans the other way. At a square end its tongue edge begins at 0, its groove edge 100 in;
    /// beside a right-hand one, whose tongue edge ends 100 past its groove edge, it begins 200 and a cut after it.
    #[test]
    fn the_other_hand_costs_a_wedge() {
        let (mut heap, mut opened) = heap(&[-100.0, 100.0], 0.0, false);
        let cut = 3.0 * 2.0_f64.sqrt();
        assert_eq!(heap.take(ask(600.0, -100.0, Need::Both), &mut opened), Some((0, 100.0)));
        // The left-hand one ends at 700 and 600; the next begins at 700 and 800 of both.
        let (board, from) = heap.take(ask(600.0, 100.0, Need::Both), &mut opened).unwrap();
        assert_eq!(board, 0);
        assert!((from - (700.0 + cut)).abs() < 1e-9, "{from}");
        // 2000 less 100 for its own long point, and what lies before it: no room for 600 of the other hand.
        assert_eq!(heap.take(ask(600.0, -100.0, Need::Both), &mut opened).unwrap().0, 1);
    }

    /// Square ends that join: a starter at the right, a closer at the left of one board, and between them what is left
    /// less two saw cuts, which keeps neither end. 2000 − 700 − 800 − 6 = 494.
    #[test]
    fn ends_that_join_are_given_once() {
        let (mut heap, mut opened) = heap(&[SQUARE], SQUARE, true);
        assert_eq!(heap.take(ask(700.0, SQUARE, Need::Right), &mut opened), Some((0, 1300.0)));
        assert_eq!(heap.take(ask(800.0, SQUARE, Need::Left), &mut opened), Some((0, 0.0)));
        assert_eq!(
            heap.take(ask(300.0, SQUARE, Need::Left), &mut opened).unwrap().0,
            1,
            "its left end is gone"
        );
        assert_eq!(heap.take(ask(494.0, SQUARE, Need::Neither), &mut opened), Some((0, 803.0)));
        assert_eq!(heap.take(ask(2000.0, SQUARE, Need::Both), &mut opened), Some((2, 0.0)));
    }

    /// What is left of a floor's boards serves what comes after, and packs that are open go before new ones.
    #[test]
    fn a_heap_goes_on_with_what_is_left() {
        let (mut first, mut opened) = heap(&[SQUARE], SQUARE, true);
        let (stock, from) = first.take(ask(700.0, SQUARE, Need::Left), &mut opened).unwrap();
        let piece = crate::Piece { from, to: from + 700.0, ..crate::Piece::default() };
        opened.stock[stock].pieces.push(piece);
        let (heap, _) = heap(&[SQUARE], SQUARE, true);
        let mut plan = Plan::new("t");
        plan.stock.lengths = vec![BoardLength { length: 2000.0, per_pack: 5 }];
        let boards = opened.stock.clone();
        opened.packs = 1;
        let mut heap = heap.after(&plan.stock, boards.iter().enumerate());
        assert_eq!(heap.left_in_packs(), 4);
        assert_eq!(heap.take(ask(1297.0, SQUARE, Need::Right), &mut opened), Some((0, 703.0)));
        for _ in 0..5 {
            heap.take(ask(2000.0, SQUARE, Need::Both), &mut opened).unwrap();
        }
        let packs: Vec<usize> = opened.stock.iter().map(|board| board.pack).collect();
        assert_eq!(packs, [0, 0, 0, 0, 0, 1]);
    }
}
