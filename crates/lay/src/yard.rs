//! The stock on site: fresh boards, boards cut into, and strips left from rips.

mod bar;
mod offers;
mod slanting;

pub(crate) use bar::{Bar, Need, Offer, Source, Want};

use crate::nest::{Nest, Parting};
use crate::ranked::Ranked;
use crate::shelf::Shelf;
use bar::NEEDS;
use plan::{LaidStock, Rules, Stock};
use rand_core::Rng;
use rand_pcg::Pcg64Mcg;

/// A piece shorter than this is not worth carrying back, mm. Common practice, no source.
pub const WORTH_KEEPING: f64 = 200.0;
/// Offcuts are worth less once they are more than this part of the runs left to be laid in a first floor, down to
/// the least share.
const OFFCUTS_PER_RUN: f64 = 0.67;
const LEAST_WORTH: f64 = 0.3;
/// About as much of all wood is cut off again.
const CUT_OFF: f64 = 0.1;
/// A board no more than this longer than a piece is that piece as it is sold, mm.
pub(crate) const AS_SOLD: f64 = 0.1;
/// No strip, no kind.
pub(crate) const NONE: u32 = u32::MAX;
/// The kind of a board opened for what is laid: it never goes back on the shelf.
pub(crate) const LAID: u32 = u32::MAX - 1;

/// Offcuts of one class sorted by length, for each of the needs they can serve: right end, left end, any, both ends.
type Pool = [Ranked; 4];

/// The stock on site.
#[derive(Debug, Clone)]
pub(crate) struct Yard {
    pub(crate) shelf: Shelf,
    pub(crate) bars: Vec<Bar>,
    kerf: f64,
    end_match: bool,
    longest: f64,
    least_end: f64,
    idle: Vec<u32>,
    pools: Vec<Pool>,
    /// Slants of the floor's ends, mm, as they are told apart, and the boards of whole width on which an end of each saves
    /// wood, by the room they then have: for a starter's left end, a closer's right end, and either end of a piece that is
    /// a whole run.
    slants: Vec<f64>,
    nests: Vec<[Ranked; 4]>,
    parting: Parting,
    /// Boards opened.
    pub(crate) opened: usize,
    /// What part of their worth offcuts have: less where few runs are left that could use them.
    scale: f64,
    /// What the boards opened cost less what their offcuts are worth, mm of board.
    pub(crate) wood: f64,
}

impl Yard {
    /// A yard before anything is cut. `classes` counts the kinds of strip beside whole width.
    pub(crate) fn new(stock: &Stock, rules: &Rules, seed: u64, longest_run: f64, classes: usize) -> Self {
        Self {
            shelf: Shelf::new(stock, seed, longest_run),
            bars: Vec::new(),
            kerf: stock.kerf,
            end_match: stock.end_match,
            longest: stock.longest().max(1.0),
            least_end: rules.least_end,
            idle: Vec::new(),
            pools: vec![Pool::default(); classes + 1],
            slants: Vec::new(),
            nests: Vec::new(),
            parting: Parting::default(),
            opened: 0,
            scale: 1.0,
            wood: 0.0,
        }
    }

    /// Makes room for the boards that so much wood is cut from, mm: growing step by step would copy them again and again.
    pub(crate) fn make_room(&mut self, wood: f64) {
        self.bars.reserve(((1.0 + CUT_OFF) * wood / self.longest) as usize);
    }

    pub(crate) fn longest(&self) -> f64 {
        self.longest
    }

    pub(crate) fn end_match(&self) -> bool {
        self.end_match
    }

    /// Whether any end on the floor slants, so that pieces may share saw cuts.
    pub(crate) fn has_slants(&self) -> bool {
        !self.slants.is_empty()
    }

    /// Values offcuts by how many runs are left to be laid with them; with none given at their whole worth.
    pub(crate) fn rate(&mut self, runs_left: Option<usize>) {
        let offcuts = self.pools[0][Need::Neither.place()].len();
        let needed = offcuts as f64 / OFFCUTS_PER_RUN;
        self.scale = match runs_left {
            Some(runs) if needed > 0.0 => (runs as f64 / needed).clamp(LEAST_WORTH, 1.0),
            _ => 1.0,
        };
        if runs_left.is_none() {
            let live = self.bars.iter().filter(|bar| bar.is_live);
            self.wood = live.map(|bar| self.cost(bar)).sum();
        }
    }

    /// What part of their worth offcuts have.
    pub(crate) fn scale(&self) -> f64 {
        self.scale
    }

    fn cost(&self, bar: &Bar) -> f64 {
        if bar.class > 0 || bar.pieces == 0 {
            0.0
        } else if bar.kind == LAID {
            -self.worth(bar.free, bar.left || bar.right)
        } else {
            self.shelf.plain_price(bar.kind) - self.worth(bar.free, bar.left || bar.right)
        }
    }

    /// Whether pieces may come from offcuts of this class at all.
    pub(crate) fn has_offcuts(&self, class: u16, need: Need) -> usize {
        self.pools[class as usize][need.place()].len()
    }

    /// The offcut at a place in the list of those that serve a need, by length: how long a piece it gives, and its bar.
    pub(crate) fn offcut(&self, class: u16, need: Need, place: usize) -> Option<(f64, u32)> {
        self.pools[class as usize][need.place()].get(place).copied()
    }

    /// A strip of these classes, just so long and with both its ends, that is not taken.
    pub(crate) fn strip_between(&self, length: f64, classes: &[u16], taken: &[u32]) -> Option<u32> {
        classes.iter().find_map(|class| {
            let pool = self.pools[*class as usize][Need::Both.place()].from(length - AS_SOLD);
            let mut as_long = pool.take_while(|(free, _)| *free <= length + AS_SOLD);
            as_long.find(|(_, bar)| !taken.contains(bar)).map(|(_, bar)| *bar)
        })
    }

    /// What of a board cut into is good for nothing, mm.
    pub(crate) fn loss_of(&self, bar: &Bar) -> f64 {
        if bar.pieces == 0 || bar.class > 0 { 0.0 } else { self.lost(bar.free, bar.left || bar.right) }
    }

    /// Brings a board opened for what is laid, by boards of that pitch, with what of it is in hand. Bars are numbered as they
    /// are brought.
    pub(crate) fn bring(&mut self, stock: &LaidStock, pitch: f64) {
        self.shelf.was_opened(stock);
        let number = self.free_slot();
        let (from, to) = stock.rest.unwrap_or_default();
        let (square_from, square_to) = stock.square_rest(self.kerf, pitch);
        let square = !self.end_match;
        let bar = &mut self.bars[number as usize];
        (bar.length, bar.kind, bar.class, bar.is_live) = (stock.length, LAID, 0, true);
        bar.nest = stock
            .rest_shifts
            .filter(|_| !self.slants.is_empty())
            .map(|(left, right)| Box::new(Nest { sides: [left, right], ..Nest::default() }));
        // What lies counts as a piece, so that the board is never taken for whole.
        (bar.free, bar.pieces) = (square_to - square_from, 1);
        bar.left = square || from <= AS_SOLD;
        bar.right = square || to >= stock.length - AS_SOLD;
        self.wood += self.cost(&self.bars[number as usize]);
        self.enlist(number);
    }

    /// Opens a fresh board.
    pub(crate) fn draw(&mut self, kind: u32) -> u32 {
        let bar = self.free_slot();
        self.revive(bar, kind);
        bar
    }

    /// Opens a fresh board under the number it had before.
    pub(crate) fn revive(&mut self, bar: u32, kind: u32) {
        let length = self.shelf.length(kind);
        self.shelf.take(kind);
        let bar = &mut self.bars[bar as usize];
        (bar.length, bar.kind, bar.class, bar.is_live) = (length, kind, 0, true);
        (bar.free, bar.left, bar.right) = (length, true, true);
        bar.nest = None;
    }

    pub(crate) fn is_live(&self, bar: u32) -> bool {
        self.bars[bar as usize].is_live
    }

    /// Lays aside the strip that a rip of this class and length leaves; it has the ends its piece has.
    pub(crate) fn lay_aside(&mut self, class: u16, length: f64, need: Need, number: Option<u32>) -> u32 {
        let number = number.unwrap_or_else(|| self.free_slot());
        let square = !self.end_match;
        let bar = &mut self.bars[number as usize];
        (bar.length, bar.kind, bar.class, bar.is_live) = (length, NONE, class, true);
        bar.nest = None;
        bar.free = length;
        bar.left = square || matches!(need, Need::Left | Need::Both);
        bar.right = square || matches!(need, Need::Right | Need::Both);
        self.enlist(number);
        number
    }

    /// Throws a strip away that nothing was cut from.
    pub(crate) fn throw_away(&mut self, strip: u32) {
        self.strike(strip);
        self.bars[strip as usize].is_live = false;
        self.idle.push(strip);
    }

    fn free_slot(&mut self) -> u32 {
        while let Some(bar) = self.idle.pop() {
            if !self.bars[bar as usize].is_live {
                return bar;
            }
        }
        self.bars.push(Bar::empty());
        self.bars.len() as u32 - 1
    }

    /// Forgets numbers noted as free more than once.
    pub(crate) fn tidy(&mut self) {
        let bars = &self.bars;
        self.idle = (0..bars.len() as u32).rev().filter(|bar| !bars[*bar as usize].is_live).collect();
    }

    /// Notes that what is left of a bar has lost its left end-match.
    pub(crate) fn use_left_end(&mut self, number: u32) {
        if self.end_match && self.bars[number as usize].left {
            self.strike(number);
            self.bars[number as usize].left = false;
            self.enlist(number);
        }
    }

    /// Cuts a piece off a bar.
    pub(crate) fn cut(&mut self, number: u32, want: &Want, owner: u32) {
        let Want { length, need, .. } = *want;
        self.strike(number);
        let before = self.cost(&self.bars[number as usize]);
        let (end_match, kerf) = (self.end_match, self.kerf);
        let bar = &mut self.bars[number as usize];
        if bar.pieces == 0 && bar.class == 0 {
            self.opened += 1;
        }
        bar.pieces += 1;
        bar.free -= length + kerf;
        if end_match {
            bar.left &= !matches!(need, Need::Left | Need::Both);
            bar.right &= !matches!(need, Need::Right | Need::Both);
        }
        bar.owners.push(owner);
        self.note(number, want.nested(owner), true);
        self.wood += self.cost(&self.bars[number as usize]) - before;
        self.enlist(number);
    }

    /// Undoes a cut; a board without pieces goes back on the shelf.
    pub(crate) fn undo(&mut self, number: u32, want: &Want, owner: u32) {
        let Want { length, need, .. } = *want;
        self.strike(number);
        let before = self.cost(&self.bars[number as usize]);
        let kerf = self.kerf;
        let bar = &mut self.bars[number as usize];
        bar.pieces -= 1;
        if bar.pieces == 0 {
            (bar.free, bar.nest) = (bar.length, None);
        } else {
            bar.free += length + kerf;
        }
        bar.left |= matches!(need, Need::Left | Need::Both);
        bar.right |= matches!(need, Need::Right | Need::Both);
        if let Some(place) = bar.owners.iter().position(|other| *other == owner) {
            bar.owners.swap_remove(place);
        }
        if bar.nest.is_some() {
            self.note(number, want.nested(owner), false);
        }
        let bar = &self.bars[number as usize];
        let (class, is_empty, kind) = (bar.class, bar.pieces == 0, bar.kind);
        self.wood += self.cost(&self.bars[number as usize]) - before;
        if is_empty && class == 0 {
            self.opened -= 1;
            self.shelf.put_back(kind);
            self.bars[number as usize].is_live = false;
            self.idle.push(number);
        } else {
            self.enlist(number);
        }
    }

    /// Puts a bar with something left into its pools.
    fn enlist(&mut self, number: u32) {
        let bar = &self.bars[number as usize];
        if bar.is_slanting() {
            return self.enlist_nest(number);
        }
        if (bar.pieces == 0 && bar.class == 0) || bar.free < WORTH_KEEPING {
            return;
        }
        let entry = (bar.free, number);
        let pool = &mut self.pools[bar.class as usize];
        for (pool, need) in pool.iter_mut().zip(NEEDS) {
            if bar.is_listed(need) {
                pool.insert(entry);
            }
        }
    }

    fn strike(&mut self, number: u32) {
        let nest = self.bars[number as usize].nest.as_mut();
        if let Some(nest) = nest.filter(|nest| nest.is_slanting()) {
            for (pool, room) in std::mem::take(&mut nest.listed) {
                self.nest_pool(pool).remove(&(room, number));
            }
            return;
        }
        let bar = &self.bars[number as usize];
        if (bar.pieces == 0 && bar.class == 0) || bar.free < WORTH_KEEPING {
            return;
        }
        let entry = (bar.free, number);
        for (pool, need) in self.pools[bar.class as usize].iter_mut().zip(NEEDS) {
            if bar.is_listed(need) {
                pool.remove(&entry);
            }
        }
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

#[cfg(test)]
mod tests {
    use super::*;
    use plan::BoardLength;

    /// Of a board of 2200 the stretch from 500 to 2200 is in hand: 1700, with its right end, and worth something.
    #[test]
    fn what_is_in_hand_of_an_opened_board_is_an_offcut() {
        let lengths = vec![BoardLength { length: 2200.0, per_pack: 4 }];
        let stock = Stock { lengths, end_match: true, ..Stock::default() };
        let mut yard = Yard::new(&stock, &Rules::default(), 0, 4000.0, 0);
        let opened = LaidStock { length: 2200.0, pack: 0, rest: Some((500.0, 2200.0)), rest_shifts: None };
        yard.bring(&opened, 190.0);
        let bar = &yard.bars[0];
        assert_eq!((bar.free, bar.left, bar.right), (1700.0, false, true));
        assert_eq!(yard.offcut(0, Need::Right, 0), Some((1700.0, 0)));
        assert!(yard.wood < -WORTH_KEEPING, "{}", yard.wood);
    }
}
