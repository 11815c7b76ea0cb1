//! Which pack each board is drawn from, so that lots mix on the floor.

use crate::Floor;
use crate::ground::TRUE;
use crate::shelf::OPEN_PACKS;
use crate::yard::below;
use plan::{Plan, Stock};
use rand_core::SeedableRng;
use rand_pcg::Pcg64Mcg;

/// Keeps the lots' chance apart from the joints'.
const OWN_CHANCE: u64 = 0x4c4f_5453;

/// Deals the packs of a floor anew, so that they are opened in the order of these turns, one for each stock board, the least
/// first and of equals as they stand; boards opened for what is laid keep theirs. Boards stay as they are sawn: of one length a
/// board of any pack serves.
///
/// A floor of random lengths, of which each pack holds its own, or of blocks by hand stays as it is.
pub fn deal(plan: &Plan, floor: &mut Floor, turns: &[usize]) {
    let stock = &plan.stock;
    let is_by_hand = floor.boards.iter().any(|board| board.hand.is_some());
    if is_by_hand || stock.lengths.is_empty() || turns.len() != floor.stock.len() {
        return;
    }
    let opened = floor.laid.opened;
    let length_of = |mm: f64| stock.lengths.iter().position(|length| (length.length - mm).abs() < TRUE);
    let mut counts = vec![0_u32; stock.lengths.len()];
    floor.stock.iter().filter_map(|board| length_of(board.length)).for_each(|length| counts[length] += 1);
    let filled =
        counts.iter().zip(&stock.lengths).map(|(count, length)| count.div_ceil(length.per_pack.max(1)));
    let known = floor.stock[..opened].iter().map(|board| board.pack as u32 + 1);
    let mut lots = Lots::new(stock, plan.seed, filled.chain(known).max().unwrap_or(0));
    for board in &floor.stock[..opened] {
        if let Some(length) = length_of(board.length) {
            lots.take(board.pack, length);
        }
    }
    let mut order: Vec<usize> = (opened..turns.len()).collect();
    order.sort_by_key(|board| turns[*board]);
    for board in order {
        let board = &mut floor.stock[board];
        if let Some(length) = length_of(board.length).filter(|length| stock.lengths[*length].per_pack > 0) {
            board.pack = lots.draw(length);
        }
    }
}

/// Packs opened in order, three at a time where the floor needs so many.
#[derive(Debug)]
pub(crate) struct Lots {
    per_pack: Vec<u32>,
    in_pack: u32,
    /// Packs the floor needs in all.
    packs: usize,
    /// Of each length the packs that still hold boards of it, in the order of opening: number and boards left.
    holders: Vec<Vec<(usize, u32)>>,
    /// Boards left in each opened pack, of all lengths, and packs that are not empty.
    left: Vec<u32>,
    open: usize,
    rng: Pcg64Mcg,
}

impl Lots {
    pub(crate) fn new(stock: &Stock, seed: u64, packs: u32) -> Self {
        let per_pack: Vec<u32> = stock.lengths.iter().map(|l| l.per_pack).collect();
        let rng = Pcg64Mcg::seed_from_u64(seed ^ OWN_CHANCE);
        let (in_pack, holders) = (per_pack.iter().sum(), vec![Vec::new(); per_pack.len()]);
        Self { per_pack, in_pack, packs: packs as usize, holders, left: Vec::new(), open: 0, rng }
    }

    /// The pack that the next board of a length comes from.
    pub(crate) fn draw(&mut self, length: usize) -> usize {
        while self.open < OPEN_PACKS && self.left.len() < self.packs && self.in_pack > 0 {
            self.open_next();
        }
        // Packs of many lengths run out of one before the others: then the next is opened for its sake.
        while self.holders[length].is_empty() && self.per_pack[length] > 0 {
            self.open_next();
        }
        let place = below(&mut self.rng, self.holders[length].len());
        let Some((pack, _)) = self.holders[length].get(place).copied() else { return 0 };
        self.take_at(length, place);
        pack
    }

    /// Takes out a board that was drawn before.
    pub(crate) fn take(&mut self, pack: usize, length: usize) {
        while self.left.len() <= pack && self.left.len() < self.packs {
            self.open_next();
        }
        let holders = self.holders.get(length);
        if let Some(place) = holders.and_then(|packs| packs.iter().position(|(number, _)| *number == pack)) {
            self.take_at(length, place);
        }
    }

    /// Takes a board of a length out of the pack at a place among those that hold it.
    fn take_at(&mut self, length: usize, place: usize) {
        let (pack, left) = &mut self.holders[length][place];
        self.left[*pack] -= 1;
        self.open -= usize::from(self.left[*pack] == 0);
        *left -= 1;
        if *left == 0 {
            self.holders[length].remove(place);
        }
    }

    fn open_next(&mut self) {
        let pack = self.left.len();
        for (holders, count) in self.holders.iter_mut().zip(&self.per_pack) {
            if *count > 0 {
                holders.push((pack, *count));
            }
        }
        self.left.push(self.in_pack);
        self.open += usize::from(self.in_pack > 0);
    }
}
