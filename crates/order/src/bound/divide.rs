//! The least charge of a run along which the share of a board differs: every division of it, by where its joints are.
//!
//! Joints are looked at cell by cell. A joint in a cell stands anywhere between its sides, and a piece from one cell to
//! another covers at least what lies between them; so it pays at least the greatest share there. Whole boards are whole
//! numbers of cells, so all joints of a division stand equally far into theirs, and its charge changes evenly with that
//! distance: it is least at one side of the cells or at the other. Dynamic programming finds the cheapest for each.

use super::MM_PER_M;
use super::need::{RunNeed, TRUE};
use super::prices::{Charge, Kind, Prices};

/// Sides of cells that are tried, mm, the wider first: the first that divides all boards' lengths is taken.
const CELLS: [f64; 2] = [10.0, 5.0];
/// A run of more cells is charged as its least share has it.
const MOST_CELLS: usize = 2000;
/// Lengths are whole numbers of cells within this, mm.
const WHOLE: f64 = 1e-6;

/// A share of a board, and the kind of piece that pays it.
pub(super) type Pays = (f64, usize);

/// A run with the shares that pieces pay by the cells they reach from and to.
#[derive(Debug, Clone)]
pub(super) struct Cells {
    /// Side of a cell, m.
    side: f64,
    /// Length of the run and its least end, m.
    length: f64,
    least_end: f64,
    /// Shares told apart, least first, and the kind of piece that pays each.
    shares: Vec<Pays>,
    /// Which of them a starter pays that ends in each cell, and a closer that begins there.
    starters: Vec<u8>,
    closers: Vec<u8>,
    /// Which a whole board of each kind pays that begins in each cell, and how many cells such a board is long.
    wholes: Vec<Vec<u8>>,
    boards: Vec<usize>,
}

/// A piece of a division, and what it is charged, its share not taken.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Part {
    pub(super) share: f64,
    /// The kind of piece that pays this share.
    pub(super) kind: usize,
    length: f64,
    cut: Cut,
}

/// How a piece is come by: a whole board of a kind, or sawn from one with an end of it, or without.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Cut {
    Whole(usize),
    End,
    Alone,
}

/// What the cheapest way to each cell costs and which board comes before; kept between runs.
#[derive(Debug, Default)]
pub(super) struct Scratch {
    cost: Vec<f64>,
    from: Vec<u8>,
}

/// The side of cells that divides all these lengths, m; none where lengths are a range or no side does.
pub(super) fn side(kinds: &[Kind]) -> Option<f64> {
    let is_whole = |mm: f64, side: f64| ((mm / side).round() * side - mm).abs() < WHOLE;
    let divides = |side: &f64| {
        kinds.iter().all(|kind| kind.shortest == kind.longest && is_whole(kind.longest * MM_PER_M, *side))
    };
    CELLS.into_iter().find(divides).map(|side| side / MM_PER_M)
}

impl Cells {
    /// A run whose stretches are paid for so; none where they are all one or too many. Of kinds that pay alike a piece over
    /// several is of the greatest.
    pub(super) fn new(run: &RunNeed, own: &[Pays], kinds: &[Kind], side: f64) -> Option<Self> {
        let order = |a: &Pays, b: &Pays| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1));
        let mut shares = own.to_vec();
        shares.sort_by(order);
        shares.dedup();
        let (length, count) = (run.length / MM_PER_M, (run.length / MM_PER_M / side).ceil() as usize);
        let is_fit = shares.len() > 1 && shares.len() <= usize::from(u8::MAX) && count <= MOST_CELLS;
        if !is_fit || count == 0 {
            return None;
        }
        let number = |pays: &Pays| shares.partition_point(|other| order(other, pays).is_lt()) as u8;
        let mut at = 0.0;
        let spans: Vec<(f64, f64, u8)> = run
            .widths
            .iter()
            .zip(own)
            .map(|(width, pays)| {
                let from = at;
                at += width.length / MM_PER_M;
                (from, at, number(pays))
            })
            .collect();
        let near = TRUE / MM_PER_M;
        let greatest = |from: f64, to: f64| {
            let first = spans.partition_point(|span| span.1 <= from + near);
            let touched = spans[first..].iter().take_while(|span| span.0 < to - near);
            touched.map(|span| span.2).max().unwrap_or(0)
        };
        let cell = |place: usize| (place as f64 * side, (place + 1) as f64 * side);
        let cells = || (0..count).map(cell);
        let boards: Vec<usize> = kinds.iter().map(|kind| (kind.longest / side).round() as usize).collect();
        Some(Self {
            side,
            length,
            least_end: run.least_end / MM_PER_M,
            starters: cells().map(|(low, _)| greatest(0.0, low)).collect(),
            closers: cells().map(|(_, high)| greatest(high, length)).collect(),
            wholes: kinds
                .iter()
                .map(|kind| cells().map(|(low, high)| greatest(high, low + kind.longest)).collect())
                .collect(),
            boards,
            shares,
        })
    }

    /// What the cheapest division is charged, shares taken; as [`Self::division`] has it.
    pub(super) fn charge(
        &self,
        prices: &Prices,
        kinds: &[Kind],
        (kerf, near): (f64, f64),
        all: bool,
        scratch: &mut Scratch,
    ) -> Option<Charge> {
        let parts = self.division(prices, kinds, (kerf, near), all, scratch)?;
        let mut charge = Charge { boards: vec![0.0; kinds.len()], ..Charge::default() };
        for part in &parts {
            charge.add(&part.charge(kinds, kerf), part.share);
        }
        Some(charge)
    }

    /// The cheapest division at these prices; none where there is no legal one. Not `all`: only joints at the lower sides of
    /// their cells are looked at, which does to look for prices by.
    pub(super) fn division(
        &self,
        prices: &Prices,
        kinds: &[Kind],
        (kerf, near): (f64, f64),
        all: bool,
        scratch: &mut Scratch,
    ) -> Option<Vec<Part>> {
        let longest = kinds.first()?.longest;
        let mut best: Option<(f64, Vec<Part>)> = None;
        let mut offer = |cost: f64, parts: Vec<Part>| {
            if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                best = Some((cost, parts));
            }
        };
        if self.length <= longest + near {
            let whole = self.part(self.shares.len() - 1, self.length, Cut::Alone);
            offer(whole.share * (self.length + kerf) * prices.wood, vec![whole]);
        }
        for into in [0.0, self.side].into_iter().take(if all { 2 } else { 1 }) {
            if let Some((cost, parts)) = self.divided(prices, kinds, (kerf, near), into, scratch) {
                offer(cost, parts);
            }
        }
        best.map(|(_, parts)| parts)
    }

    fn part(&self, number: usize, length: f64, cut: Cut) -> Part {
        let (share, kind) = self.shares[number];
        Part { share, kind, length, cut }
    }

    /// The cheapest division into a starter, whole boards and a closer with every joint so far into its cell.
    fn divided(
        &self,
        prices: &Prices,
        kinds: &[Kind],
        (kerf, near): (f64, f64),
        into: f64,
        Scratch { cost, from }: &mut Scratch,
    ) -> Option<(f64, Vec<Part>)> {
        let longest = kinds.first()?.longest;
        let count = self.starters.len();
        let share = |number: u8| self.shares[usize::from(number)].0;
        let end = |length: f64| (length + kerf) * prices.wood + prices.end;
        // A joint anywhere in the cell may be legal where one at this side of it is not.
        let is_end = |low: f64| low + self.side >= self.least_end - near && low <= longest + near;
        let whole: Vec<f64> = kinds
            .iter()
            .zip(&prices.boards)
            .map(|(kind, board)| board + prices.metre * kind.longest)
            .collect();
        cost.clear();
        cost.resize(count, f64::INFINITY);
        from.clear();
        from.resize(count, u8::MAX);
        let (mut least, mut last) = (f64::INFINITY, None);
        for place in 0..count {
            let at = place as f64 * self.side + into;
            if is_end(place as f64 * self.side) {
                let starter = share(self.starters[place]) * end(at);
                if starter < cost[place] {
                    (cost[place], from[place]) = (starter, u8::MAX);
                }
            }
            let here = cost[place];
            if here == f64::INFINITY {
                continue;
            }
            for (kind, price) in whole.iter().enumerate() {
                let to = place + self.boards[kind];
                let Some(there) = cost.get_mut(to) else { continue };
                let laid = here + share(self.wholes[kind][place]) * price;
                if laid < *there {
                    *there = laid;
                    from[to] = kind as u8;
                }
            }
            if is_end(self.length - (place + 1) as f64 * self.side) {
                let closed = here + share(self.closers[place]) * end(self.length - at);
                if closed < least {
                    (least, last) = (closed, Some(place));
                }
            }
        }
        let mut place = last?;
        let at = |place: usize| place as f64 * self.side + into;
        let number = |number: u8| usize::from(number);
        let mut parts = vec![self.part(number(self.closers[place]), self.length - at(place), Cut::End)];
        while let Some(kind) = Some(usize::from(from[place])).filter(|kind| *kind < kinds.len()) {
            place -= self.boards[kind];
            parts.push(self.part(number(self.wholes[kind][place]), kinds[kind].longest, Cut::Whole(kind)));
        }
        parts.push(self.part(number(self.starters[place]), at(place), Cut::End));
        Some((least, parts))
    }
}

impl Part {
    /// What it is charged where all of it is.
    fn charge(&self, kinds: &[Kind], kerf: f64) -> Charge {
        let mut charge = Charge { boards: vec![0.0; kinds.len()], ..Charge::default() };
        match self.cut {
            Cut::Whole(kind) => {
                charge.boards[kind] = 1.0;
                charge.metres = self.length;
            }
            Cut::End => (charge.wood, charge.ends) = (self.length + kerf, 1.0),
            Cut::Alone => charge.wood = self.length + kerf,
        }
        charge
    }

    /// What it costs at these prices where it pays all of it.
    pub(super) fn cost(&self, prices: &Prices, kinds: &[Kind], kerf: f64) -> f64 {
        self.charge(kinds, kerf).at(prices)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::need::{Edge, Width};
    use super::super::prices::Market;
    use super::*;
    use plan::{BoardLength, Stock};

    /// A run of three stretches of a metre, the middle one charged whole and the others a quarter; wood at 1 a metre, a
    /// board of one metre at 1.76, one of two too dear. A starter over the first stretch and a closer over the others take
    /// 0.25 · 1 + 2 = 2.25 without saw cuts, two ends with the short board between them 0.5 + 1.76 = 2.26; with saw cuts
    /// of a tenth of a metre 2.25 + 0.1 · 1.25 = 2.375 and 2.26 + 0.1 · 0.5 = 2.31. By hand.
    #[test]
    fn saw_cuts_count_in_the_choice_of_joints() {
        let stock = Stock {
            lengths: [2000.0, 1000.0].map(|length| BoardLength { length, per_pack: 1 }).to_vec(),
            ..Stock::default()
        };
        let kinds = Market::new(&stock, 1, 0.0).kinds;
        let width = |width: f64| Width { length: 1000.0, width, edge: Edge::Neither };
        let widths = [40.0, 190.0, 40.0].map(width).to_vec();
        let run = RunNeed { length: 3000.0, least_end: 300.0, widths, slants: [0.0; 2] };
        let side = side(&kinds).unwrap();
        let cells = Cells::new(&run, &[0.25, 1.0, 0.25].map(|share| (share, 0)), &kinds, side).unwrap();
        let prices = Prices { wood: 1.0, end: 0.0, boards: vec![5.0, 1.76], metre: 0.0 };
        let charged = |kerf: f64| {
            let charge =
                cells.charge(&prices, &kinds, (kerf, TRUE / MM_PER_M), true, &mut Scratch::default());
            charge.unwrap().at(&prices)
        };
        assert!((charged(0.1) - 2.31).abs() < 1e-9, "{}", charged(0.1));
        // Without saw cuts a joint anywhere in its cell may save a quarter less than it costs: 0.75 · 10 mm.
        assert!((charged(0.0) - 2.2425).abs() < 1e-9, "{}", charged(0.0));
    }

    /// Boards of two metres only, wood at 1 a metre; the cheapest charge of a run of stretches with these shares.
    fn charged(stretches: &[(f64, f64)], board: f64) -> f64 {
        let lengths = vec![BoardLength { length: 2000.0, per_pack: 1 }];
        let kinds = Market::new(&Stock { lengths, ..Stock::default() }, 1, 0.0).kinds;
        let length = stretches.iter().map(|(length, _)| length).sum();
        let width = |(length, _): &(f64, f64)| Width { length: *length, width: 40.0, edge: Edge::Neither };
        let widths = stretches.iter().map(width).collect();
        let run = RunNeed { length, least_end: 300.0, widths, slants: [0.0; 2] };
        let own: Vec<Pays> = stretches.iter().map(|(_, share)| (*share, 0)).collect();
        let cells = Cells::new(&run, &own, &kinds, side(&kinds).unwrap()).unwrap();
        let prices = Prices { wood: 1.0, end: 0.0, boards: vec![board], metre: 0.0 };
        let charge = cells.charge(&prices, &kinds, (0.0, TRUE / MM_PER_M), true, &mut Scratch::default());
        charge.unwrap().at(&prices)
    }

    /// A board between two ends that are just as long as they must be: 0.25 · (0.3 + 0.3) + 1.76 = 1.91. Two pieces alone,
    /// both over the dear middle, would take 2.6. By hand.
    #[test]
    fn ends_as_short_as_the_least_are_looked_at() {
        let charged = charged(&[(300.0, 0.25), (2000.0, 1.0), (300.0, 0.25)], 1.76);
        assert!((charged - 1.91).abs() < 1e-9, "{charged}");
    }

    /// Two ends that are each a whole board: 0.25 · 2 + 2 = 2.5, less what a joint anywhere in its cell may save, 0.75 · 10 mm.
    /// With a board between them it is 5 and more. By hand.
    #[test]
    fn ends_as_long_as_a_board_are_looked_at() {
        let charged = charged(&[(2000.0, 0.25), (2000.0, 1.0)], 5.0);
        assert!((charged - 2.4925).abs() < 1e-9, "{charged}");
    }
}
