//! The least charge of a run along which the share of a board differs: every division of it, by where its joints are.
//!
//! Joints are looked at cell by cell. A joint in a cell stands anywhere between its sides, and a piece from one cell to
//! another covers at least what lies between them; so it pays at least the greatest share there. Whole boards are whole
//! numbers of cells, so all joints of a division stand equally far into theirs, and its charge changes evenly with that
//! distance: it is least at one side of the cells or at the other. Dynamic programming finds the cheapest for each.

use super::MM_PER_M;
use super::need::{RunNeed, Side, TRUE, Width};
use super::prices::{Charge, Kind, Prices};
use smallvec::{SmallVec, smallvec};

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
    /// Which one piece over the whole run pays.
    alone: u8,
    /// Where something parts the run lengthways: its stretches; and for a piece that pays each of the shares, what second pieces
    /// beside it pay from the run's left end to each side of a cell, and to the run's right end: share times metres. Empty elsewhere.
    spans: Vec<Span>,
    beside: Vec<Vec<f64>>,
}

/// A stretch of a run, m, and the ways to cover it.
#[derive(Debug, Clone)]
struct Span {
    from: f64,
    to: f64,
    ways: SmallVec<[Way; 3]>,
}

/// Which share a piece pays that goes along a stretch, and what a second one beside it pays, if there is one.
#[derive(Debug, Clone, Copy)]
struct Way {
    number: u8,
    beside: Option<Pays>,
}

impl Span {
    /// What the second piece pays at least where the first pays so much; the first cannot pay less than any way asks.
    fn beside(&self, number: u8) -> Pays {
        let fits = self.ways.iter().filter(|way| way.number <= number);
        let least = fits.map(|way| way.beside.unwrap_or_default()).min_by(|a, b| a.0.total_cmp(&b.0));
        least.unwrap_or_default()
    }

    /// How much of it lies between two places, m.
    fn within(&self, from: f64, to: f64) -> f64 {
        (self.to.min(to) - self.from.max(from)).max(0.0)
    }
}

/// A piece of a division, and what it is charged, its share not taken.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Part {
    pub(super) share: f64,
    /// The kind of piece that pays this share.
    pub(super) kind: usize,
    /// What second pieces beside it pay, and their lengths, m.
    pub(super) beside: Vec<(Pays, f64)>,
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
    /// A run of which pieces are paid for so; none where all pay alike and nothing lies beside them, or there are too many
    /// stretches. Of kinds that pay alike a piece over several is of the greatest.
    pub(super) fn new(
        run: &RunNeed,
        pays: impl Fn(&Side) -> Pays,
        kinds: &[Kind],
        side: f64,
    ) -> Option<Self> {
        let order = |a: &Pays, b: &Pays| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1));
        let greater = |a: Pays, b: Pays| if order(&a, &b).is_lt() { b } else { a };
        // The ways to cover a stretch: what goes along it, and what lies beside that.
        let ways = |width: &Width| -> SmallVec<[(Pays, Option<Pays>); 3]> {
            let least = pays(&width.least());
            let Some(parted) = width.parted else { return smallvec![(least, None)] };
            let [low, high, both] = [parted.sides[0], parted.sides[1], parted.both].map(|side| pays(&side));
            smallvec![
                (greater(least, low), Some(high)),
                (greater(least, high), Some(low)),
                (greater(least, both), None)
            ]
        };
        let all: Vec<_> = run.widths.iter().map(ways).collect();
        let mut shares: Vec<Pays> = all.iter().flatten().map(|way| way.0).collect();
        shares.sort_by(order);
        shares.dedup();
        let (length, count) = (run.length / MM_PER_M, (run.length / MM_PER_M / side).ceil() as usize);
        let is_fit = shares.len() > 1 && shares.len() <= usize::from(u8::MAX) && count <= MOST_CELLS;
        if !is_fit || count == 0 {
            return None;
        }
        let number = |pays: &Pays| shares.partition_point(|other| order(other, pays).is_lt()) as u8;
        let mut at = 0.0;
        let spans: Vec<Span> = run
            .widths
            .iter()
            .zip(&all)
            .map(|(width, ways)| {
                let from = at;
                at += width.length / MM_PER_M;
                let ways = ways.iter().map(|(pays, beside)| Way { number: number(pays), beside: *beside });
                Span { from, to: at, ways: ways.collect() }
            })
            .collect();
        let near = TRUE / MM_PER_M;
        let greatest = |from: f64, to: f64| {
            let first = spans.partition_point(|span| span.to <= from + near);
            let touched = spans[first..].iter().take_while(|span| span.from < to - near);
            touched.filter_map(|span| span.ways.iter().map(|way| way.number).min()).max().unwrap_or(0)
        };
        let cell = |place: usize| (place as f64 * side, (place + 1) as f64 * side);
        let cells = || (0..count).map(cell);
        let boards: Vec<usize> = kinds.iter().map(|kind| (kind.longest / side).round() as usize).collect();
        let mut this = Self {
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
            alone: greatest(0.0, length),
            shares,
            spans: Vec::new(),
            beside: Vec::new(),
        };
        if run.widths.iter().any(|width| width.parted.is_some()) {
            this.beside =
                (0..this.shares.len()).map(|number| this.paid_beside(&spans, number as u8)).collect();
            this.spans = spans;
        }
        Some(this)
    }

    /// What second pieces beside one that pays this share pay from the left end to each side of a cell.
    fn paid_beside(&self, spans: &[Span], number: u8) -> Vec<f64> {
        let mut paid = Vec::with_capacity(self.starters.len() + 1);
        let (mut sum, mut from, mut first) = (0.0, 0.0, 0);
        paid.push(sum);
        for place in 1..=self.starters.len() {
            let to = (place as f64 * self.side).min(self.length);
            while spans.get(first).is_some_and(|span| span.to <= from) {
                first += 1;
            }
            let touched = spans[first..].iter().take_while(|span| span.from < to);
            sum += touched.map(|span| span.within(from, to) * span.beside(number).0).sum::<f64>();
            paid.push(sum);
            from = to;
        }
        paid
    }

    /// The share that a piece over these cells pays at least cost, with what then lies beside it, and this cost, where it pays
    /// this share at least and all of it costs so much.
    fn cheapest(&self, least: u8, (from, to): (usize, usize), price: f64, wood: f64) -> (f64, u8) {
        let mut best = (self.shares[usize::from(least)].0 * price, least);
        if self.beside.is_empty() || to <= from {
            return best;
        }
        best.0 = f64::INFINITY;
        for (number, paid) in self.beside.iter().enumerate().skip(usize::from(least)) {
            let own = self.shares[number].0 * price;
            if own >= best.0 {
                break;
            }
            let cost = own + wood * (paid[to] - paid[from]);
            if cost < best.0 {
                best = (cost, number as u8);
            }
        }
        best
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
            charge.wood += part.beside.iter().map(|((share, _), length)| share * length).sum::<f64>();
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
            let (over, price) = ((0, self.starters.len()), (self.length + kerf) * prices.wood);
            let (cost, number) = self.cheapest(self.alone, over, price, prices.wood);
            offer(cost, vec![self.part(number, over, self.length, Cut::Alone)]);
        }
        for into in [0.0, self.side].into_iter().take(if all { 2 } else { 1 }) {
            if let Some((cost, parts)) = self.divided(prices, kinds, (kerf, near), into, scratch) {
                offer(cost, parts);
            }
        }
        best.map(|(_, parts)| parts)
    }

    /// A piece that pays this share and lies over these cells.
    fn part(&self, number: u8, (from, to): (usize, usize), length: f64, cut: Cut) -> Part {
        let (share, kind) = self.shares[usize::from(number)];
        let [from, to] = [from, to].map(|place| (place as f64 * self.side).min(self.length));
        let beside = self.spans.iter().map(|span| (span.beside(number), span.within(from, to)));
        Part { share, kind, beside: beside.filter(|(_, length)| *length > 0.0).collect(), length, cut }
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
        let end = |length: f64| (length + kerf) * prices.wood + prices.end;
        // A joint anywhere in the cell may be legal where one at this side of it is not.
        let is_end = |low: f64| low + self.side >= self.least_end - near && low <= longest + near;
        let whole: Vec<f64> = kinds
            .iter()
            .zip(&prices.boards)
            .map(|(kind, board)| board + prices.metre * kind.longest)
            .collect();
        let at = |place: usize| place as f64 * self.side + into;
        let starter =
            |place: usize| self.cheapest(self.starters[place], (0, place), end(at(place)), prices.wood);
        let closer = |place: usize| {
            self.cheapest(self.closers[place], (place + 1, count), end(self.length - at(place)), prices.wood)
        };
        let between = |kind: usize, place: usize| {
            let over = (place + 1, place + self.boards[kind]);
            self.cheapest(self.wholes[kind][place], over, whole[kind], prices.wood)
        };
        cost.clear();
        cost.resize(count, f64::INFINITY);
        from.clear();
        from.resize(count, u8::MAX);
        let (mut least, mut last) = (f64::INFINITY, None);
        for place in 0..count {
            if is_end(place as f64 * self.side) {
                let (starter, _) = starter(place);
                if starter < cost[place] {
                    (cost[place], from[place]) = (starter, u8::MAX);
                }
            }
            let here = cost[place];
            if here == f64::INFINITY {
                continue;
            }
            for kind in 0..whole.len() {
                let to = place + self.boards[kind];
                let Some(there) = cost.get_mut(to) else { continue };
                let laid = here + between(kind, place).0;
                if laid < *there {
                    *there = laid;
                    from[to] = kind as u8;
                }
            }
            if is_end(self.length - (place + 1) as f64 * self.side) {
                let closed = here + closer(place).0;
                if closed < least {
                    (least, last) = (closed, Some(place));
                }
            }
        }
        let mut place = last?;
        let length = self.length - at(place);
        let mut parts = vec![self.part(closer(place).1, (place + 1, count), length, Cut::End)];
        while let Some(kind) = Some(usize::from(from[place])).filter(|kind| *kind < kinds.len()) {
            let to = place;
            place -= self.boards[kind];
            parts.push(self.part(
                between(kind, place).1,
                (place + 1, to),
                kinds[kind].longest,
                Cut::Whole(kind),
            ));
        }
        parts.push(self.part(starter(place).1, (0, place), at(place), Cut::End));
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
    use super::super::need::{Edge, Parted, Width};
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
        let width = |width: f64| Width::new(1000.0, width, Edge::Neither);
        let widths = [25.0, 100.0, 25.0].map(width).to_vec();
        let run = RunNeed { length: 3000.0, least_end: 300.0, widths, slants: [0.0; 2] };
        let side = side(&kinds).unwrap();
        let cells = Cells::new(&run, by_width, &kinds, side).unwrap();
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

    /// What is a hundred wide pays all.
    fn by_width(rip: &Side) -> Pays {
        (rip.width / 100.0, 0)
    }

    /// Boards of two metres only, wood at 1 a metre; the cheapest charge of a run of stretches with these shares.
    fn charged(stretches: &[(f64, f64)], board: f64) -> f64 {
        let width = |(length, share): &(f64, f64)| Width::new(*length, share * 100.0, Edge::Neither);
        charged_widths(stretches.iter().map(width).collect(), board)
    }

    fn charged_widths(widths: Vec<Width>, board: f64) -> f64 {
        let lengths = vec![BoardLength { length: 2000.0, per_pack: 1 }];
        let kinds = Market::new(&Stock { lengths, ..Stock::default() }, 1, 0.0).kinds;
        let length = widths.iter().map(|width| width.length).sum();
        let run = RunNeed { length, least_end: 300.0, widths, slants: [0.0; 2] };
        let cells = Cells::new(&run, by_width, &kinds, side(&kinds).unwrap()).unwrap();
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

    /// A stretch that a wall parts into two sides with these shares; a piece over both pays all.
    fn parted(length: f64, [low, high]: [f64; 2]) -> Width {
        let side = |share: f64| Side { width: share * 100.0, edge: Edge::Neither };
        let parted = Parted { sides: [side(low), side(high)], both: side(1.0) };
        Width { parted: Some(parted), ..Width::new(length, low.min(high) * 100.0, Edge::Neither) }
    }

    /// A run parted from end to end: 3 · (0.25 + 0.5) = 2.25 with a piece for each side, less what a joint anywhere in its cell may
    /// save, 0.5 · 10 mm; or 3 with pieces over both sides. With sides of 0.5 and 0.75 one over both is cheaper: 3. By hand.
    #[test]
    fn both_sides_of_a_wall_are_paid_for() {
        let charged = |sides| charged_widths(vec![parted(3000.0, sides)], 5.0);
        assert!((charged([0.25, 0.5]) - 2.245).abs() < 1e-9, "{}", charged([0.25, 0.5]));
        assert!((charged([0.5, 0.25]) - 2.245).abs() < 1e-9);
        assert!((charged([0.5, 0.75]) - 3.0).abs() < 1e-9, "{}", charged([0.5, 0.75]));
    }

    /// What goes on into a place of whole width pays all and may hold both sides: with a joint where the wall begins
    /// 1 + 2 · (0.25 + 0.5) = 2.5, less 0.75 · 10 mm; with any other joint the starter pays for more. By hand.
    #[test]
    fn a_piece_past_the_end_of_a_wall_may_hold_both_sides() {
        let whole = Width::new(1000.0, 100.0, Edge::Neither);
        let charged = charged_widths(vec![whole, parted(2000.0, [0.25, 0.5])], 5.0);
        assert!((charged - 2.4925).abs() < 1e-9, "{charged}");
        // Half a metre of wall: one piece over both its sides costs no more than the floor beside it.
        let charged = charged_widths(vec![whole, parted(500.0, [0.25, 0.5]), whole], 5.0);
        assert!((charged - 2.5).abs() < 1e-9, "{charged}");
    }
}
