//! What is opened and bought.

use crate::filler::filler;
use crate::saw::saw_list;
use crate::{CountError, Demand, Ends, HandLine, Leftover, Order, PackLine, YieldBar, fewest_boards};
use lay::{Floor, Hand, Piece, StockBoard};
use plan::{Plan, Stock};
use site::Site;

const MM_PER_M: f64 = 1000.0;
const MM2_PER_M2: f64 = 1.0e6;

/// The order for a laid floor, counted from the boards opened, not from a percentage.
pub fn order(plan: &Plan, site: &Site, floor: &Floor) -> Order {
    let stock = &plan.stock;
    let lines = pack_lines(stock, &floor.stock);
    let hands = hands(plan, floor);
    let packs = hands.iter().map(|hand| hand.packs).sum();
    let lines = lines
        .into_iter()
        .map(|(line, per_pack)| PackLine { bought: packs as usize * per_pack as usize, ..line })
        .collect();
    let yields = floor
        .stock
        .iter()
        .enumerate()
        .filter(|(_, b)| b.pieces.len() > 1 || b.left_over(stock.kerf) > 0.0)
        // Of a board opened before only what is still to be cut is of use.
        .filter(|(_, b)| b.pieces.iter().any(|piece| !floor.is_laid(piece.board)))
        .map(|(index, b)| YieldBar { stock: index, left_over: b.left_over(stock.kerf).max(0.0) })
        .collect();
    let wood_opened = floor.stock.iter().map(|b| b.length).sum::<f64>() / MM_PER_M;
    let laid_area = floor.boards.iter().map(|b| b.area).sum::<f64>() / MM2_PER_M2;
    Order {
        saw: saw_list(plan, site, floor),
        packs,
        hands,
        lines,
        opened: floor.stock.len(),
        opened_before: floor.laid.opened,
        wood_opened,
        opened_area: wood_opened * floor.pitch / MM_PER_M,
        laid_area,
        price: price(stock, packs),
        yields,
        leftovers: leftovers(stock, floor, plan.rules.least_end),
        filler: filler(plan, &fit::joints(plan, site, floor)),
    }
}

/// What so many packs cost, where the price of one is given.
fn price(stock: &Stock, packs: u32) -> Option<f64> {
    stock.pack_price.map(|price| price * f64::from(packs))
}

impl Order {
    /// The same order at another price for a pack.
    pub fn priced(self, stock: &Stock) -> Self {
        Self { price: price(stock, self.packs), ..self }
    }
}

/// Boards and packs by hand: one entry without a hand where blocks of both are the same.
fn hands(plan: &Plan, floor: &Floor) -> Vec<HandLine> {
    let stock = &plan.stock;
    // Blocks cut on site come from boards that give either hand.
    let sold_by_hand = !plan.pattern.is_cut_from_longer(stock);
    let hand_of = |b: &StockBoard| {
        let first = b.pieces.first().and_then(|piece| floor.boards.get(piece.board));
        first.and_then(|board| board.hand).filter(|_| sold_by_hand)
    };
    let all = [None, Some(Hand::Left), Some(Hand::Right)];
    let line = |hand: Option<Hand>| {
        let boards: Vec<StockBoard> = floor.stock.iter().filter(|b| hand_of(b) == hand).cloned().collect();
        let opened = boards.len();
        let packs = pack_lines(stock, &boards)
            .iter()
            .map(|(line, per_pack)| u32::try_from(line.opened).unwrap_or(u32::MAX).div_ceil(*per_pack))
            .max()
            // Of random lengths a pack holds what it holds, so the packs opened are counted.
            .filter(|_| stock.random.is_none())
            .unwrap_or_else(|| boards.iter().map(|b| b.pack as u32 + 1).max().unwrap_or(0));
        HandLine { hand, opened, packs }
    };
    all.into_iter().map(line).filter(|line| line.opened > 0).collect()
}

/// What is opened and laid of each length, with its count in a pack; random lengths are one line.
fn pack_lines(stock: &Stock, opened: &[StockBoard]) -> Vec<(PackLine, u32)> {
    let line = |length: f64, is_of: &dyn Fn(f64) -> bool| {
        let boards = || opened.iter().filter(|b| is_of(b.length));
        PackLine {
            length,
            opened: boards().count(),
            bought: 0,
            opened_length: boards().map(|b| b.length).sum::<f64>() / MM_PER_M,
            laid_length: boards()
                .flat_map(|b| &b.pieces)
                .filter(|p| !p.strip)
                .map(Piece::length)
                .sum::<f64>()
                / MM_PER_M,
        }
    };
    let listed = stock.lengths.iter().filter(|l| l.per_pack > 0);
    let mut lines: Vec<(PackLine, u32)> =
        listed.map(|l| (line(l.length, &|length| length == l.length), l.per_pack)).collect();
    if let Some(random) = stock.random.filter(|random| random.per_pack > 0) {
        let is_listed = |length: f64| stock.lengths.iter().any(|l| l.length == length);
        lines.push((line(random.longest, &|length| !is_listed(length)), random.per_pack));
    }
    lines
}

/// Stretches left of the boards opened that are no shorter than the least end, longest first.
fn leftovers(stock: &Stock, floor: &Floor, least_end: f64) -> Vec<Leftover> {
    let mut all = Vec::new();
    for (index, board) in floor.stock.iter().enumerate() {
        // Strips left from rips lie beside pieces, not between them.
        let pieces: Vec<_> = board.pieces.iter().filter(|piece| !piece.strip).collect();
        for place in 0..=pieces.len() {
            let before = place.checked_sub(1).map(|i| pieces[i]);
            let after = pieces.get(place);
            // Beside a mitred piece a square end begins past its long point.
            let from = before.map_or(0.0, |piece| piece.reach().1 + stock.kerf);
            let to = after.map_or(board.length, |piece| piece.reach().0 - stock.kerf);
            let ends = match (before.is_none(), after.is_none()) {
                _ if !stock.end_match => Ends::Neither,
                (true, true) => Ends::Both,
                (true, false) => Ends::Left,
                (false, true) => Ends::Right,
                (false, false) => Ends::Neither,
            };
            if to - from >= least_end.max(f64::MIN_POSITIVE) {
                all.push(Leftover { stock: index, length: to - from, ends });
            }
        }
    }
    all.sort_by(|a, b| b.length.total_cmp(&a.length).then(a.stock.cmp(&b.stock)));
    all
}

/// The fewest boards from which this floor's own pieces could have been cut, proven by a general solver. Blocks of
/// each hand are counted apart: they share no board.
///
/// # Errors
/// When the floor has more pieces than can be proven, or such with slanting ends; then the bound stands alone.
pub fn fewest(plan: &Plan, floor: &Floor) -> Result<usize, CountError> {
    let has_slants = floor.runs.iter().any(|run| run.slants != [0.0; 2]);
    if has_slants || floor.boards.iter().any(|board| board.lean != 0.0) {
        return Err(CountError::Mitred);
    }
    let hands = [None, Some(Hand::Left), Some(Hand::Right)];
    hands.into_iter().map(|hand| fewest_of(plan, floor, hand)).sum()
}

fn fewest_of(plan: &Plan, floor: &Floor, hand: Option<Hand>) -> Result<usize, CountError> {
    let demand: Vec<Demand> = floor
        .boards
        .iter()
        .filter(|board| board.hand == hand)
        .map(|b| {
            let ends = match (b.starts_run, b.ends_run) {
                (true, true) => Ends::Neither,
                (true, false) => Ends::Right,
                (false, true) => Ends::Left,
                (false, false) => Ends::Both,
            };
            Demand { length: b.length(), ends, count: 1 }
        })
        .collect();
    fewest_boards(&demand, &plan.stock)
}
