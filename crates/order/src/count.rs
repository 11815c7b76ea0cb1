//! What is opened and bought.

use crate::saw::saw_list;
use crate::{CountError, Demand, Ends, Order, PackLine, YieldBar, fewest_boards};
use lay::Floor;
use plan::{Plan, Stock};
use site::Site;

const MM2_PER_M2: f64 = 1.0e6;

/// The order for a laid floor, counted from the boards opened, not from a percentage.
pub fn order(plan: &Plan, site: &Site, floor: &Floor) -> Order {
    let stock = &plan.stock;
    let opened_of = |length: f64| floor.stock.iter().filter(|b| b.length == length).count();
    let packs = stock
        .lengths
        .iter()
        .filter(|l| l.per_pack > 0)
        .map(|l| (opened_of(l.length) as u32).div_ceil(l.per_pack))
        .max()
        // Of random lengths a pack holds what it holds, so the packs opened are counted.
        .unwrap_or_else(|| floor.stock.iter().map(|b| b.pack as u32 + 1).max().unwrap_or(0));
    let lines = stock
        .lengths
        .iter()
        .map(|l| PackLine {
            length: l.length,
            opened: opened_of(l.length),
            bought: (packs * l.per_pack) as usize,
        })
        .collect();
    let yields = floor
        .stock
        .iter()
        .enumerate()
        .filter(|(_, b)| b.pieces.len() > 1 || b.left_over(stock.kerf) > 0.0)
        .map(|(index, b)| YieldBar { stock: index, left_over: b.left_over(stock.kerf).max(0.0) })
        .collect();
    let opened_length: f64 = floor.stock.iter().map(|b| b.length).sum();
    Order {
        saw: saw_list(plan, site, floor),
        packs,
        lines,
        opened: floor.stock.len(),
        bound: least_possible(stock, floor, packs),
        opened_area: opened_length * floor.pitch / MM2_PER_M2,
        laid_area: floor.boards.iter().map(|b| b.area).sum::<f64>() / MM2_PER_M2,
        price: stock.pack_price.map(|price| price * f64::from(packs)),
        yields,
    }
}

/// A number of boards below which these pieces cannot be cut from the packs bought. With end-matched
/// boards each board has one left and one right end to give; and the pieces with a saw cut each are no
/// longer than the boards with one saw cut each, the last cut of a board falling off its end, even if
/// the longest boards of all the packs are taken first.
fn least_possible(stock: &Stock, floor: &Floor, packs: u32) -> usize {
    // Strips left from rips are had for nothing.
    let pieces = || floor.stock.iter().flat_map(|b| &b.pieces).filter(|piece| !piece.strip);
    let mut rest: f64 = pieces().map(|piece| piece.to - piece.from + stock.kerf).sum();
    let mut lengths = stock.lengths.clone();
    lengths.sort_by(|a, b| b.length.total_cmp(&a.length));
    let mut by_length = 0;
    for l in lengths.iter().filter(|l| l.length > 0.0) {
        let needed = (rest / (l.length + stock.kerf) - 1e-9).ceil().max(0.0) as u64;
        let taken = needed.min(u64::from(l.per_pack) * u64::from(packs));
        by_length += taken as usize;
        rest -= taken as f64 * (l.length + stock.kerf);
    }
    if !stock.end_match {
        return by_length;
    }
    let boards = || pieces().filter_map(|piece| floor.boards.get(piece.board));
    let left_ends = boards().filter(|b| !b.starts_run).count();
    let right_ends = boards().filter(|b| !b.ends_run).count();
    by_length.max(left_ends).max(right_ends)
}

/// The fewest boards from which this floor's own pieces could have been cut, proven by a general solver.
///
/// # Errors
/// When the floor has more pieces than can be proven; then [`Order::bound`] stands alone.
pub fn fewest(plan: &Plan, floor: &Floor) -> Result<usize, CountError> {
    let demand: Vec<Demand> = floor
        .boards
        .iter()
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
