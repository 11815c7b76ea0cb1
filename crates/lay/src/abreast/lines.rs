//! Divisions by what lines along the boards cross.
//!
//! Of rips that keep the groove and are wider than some width, and those that keep the tongue and are too wide to lie beside any
//! of them, no two fit one board: one line along the boards crosses them all, so that the boards are as long together as what
//! it crosses at least. By widths alone they need not be longer than what the line crosses that crosses most (D. König 1931; from
//! memory). So every line has its price, the higher the more it crosses, and run after run is divided as is cheapest by what
//! its pieces cross, until no line stands out. At such prices many divisions of a run cost nearly the same. Which of them lie
//! side by side by their lengths and ends too is found by trying: they are drawn by chance, the cheaper the more often.

use super::{JOINT, Ripped};
use crate::state::{Cut, Task};
use crate::yard::{Need, Want, unit};
use plan::{BoardLength, Rules};
use rand_pcg::Pcg64Mcg;

/// Joints are looked at by cells of this length, mm, or, where that makes more cells in all, of so many times as much.
const CELL: f64 = 10.0;
const MOST_CELLS: f64 = 1.5e6;
/// What a piece under the least rip is held to cost, mm of board: such pieces are as few as can be.
const SLIVER: f32 = 3000.0;
/// How much a line's price rises with each mm of board that it crosses more than others, round by round: the logarithm.
const RISES: [f64; 9] = [5e-5, 1e-4, 2e-4, 4e-4, 7e-4, 1e-3, 1e-3, 1.5e-3, 2e-3];
/// Rounds at the end of which the prices are the mean.
const SETTLED: usize = 6;
/// A division that costs so much more, mm of board, is drawn a third as often (1/e).
const SPREAD: f32 = 20.0;

/// No piece may lie so; no second part.
const ILLEGAL: u16 = u16::MAX;
const NO_OTHER: u16 = u16::MAX;

/// What a piece asks: the class of strip that serves it, and that of a second part beside a wall or thing, with its length.
#[derive(Debug, Clone, Copy)]
struct Piece {
    asked: u16,
    other: u16,
    more: f32,
    is_sliver: bool,
}

/// How a run may be divided, by the cells in which its joints are.
#[derive(Debug)]
struct Ways {
    length: f64,
    /// By the cell in which they end, begin, and begin for each kind of board.
    starters: Vec<Piece>,
    closers: Vec<Piece>,
    wholes: Vec<Vec<Piece>>,
    alone: Option<Piece>,
    /// For a joint in each cell the logarithm of how often all that may follow are drawn, as a sum.
    rest: Vec<f32>,
    /// How often the run is one piece, and begins with a starter to each cell, added up.
    starts: Vec<f32>,
}

/// A division's piece with its length, mm.
type Laid = (Piece, f32);

/// Ways to divide ripped runs, and what they cost.
#[derive(Debug)]
pub(super) struct Lines {
    cell: f64,
    /// Lengths of boards, and how many cells each is long.
    kinds: Vec<(f64, usize)>,
    least_end: f64,
    longest: f64,
    /// The lines that a rip crosses, by the class of strip that serves it: from one to before another.
    crossed: Vec<(u16, u16)>,
    count: usize,
    /// What a mm of a rip costs, by the class of strip that serves it.
    prices: Vec<f32>,
    runs: Vec<Ways>,
}

impl Lines {
    /// The ways to divide these runs, at prices at which no line stands out.
    pub(super) fn new(task: &Task, kinds: &[BoardLength], rules: &Rules, runs: &[Ripped]) -> Self {
        let (crossed, count) = task.rips.lines();
        let all: f64 = runs.iter().map(|run| run.length).sum();
        let cell = CELL * (all / CELL / MOST_CELLS).ceil().max(1.0);
        let kinds: Vec<(f64, usize)> = kinds
            .iter()
            .filter(|kind| kind.per_pack > 0)
            .map(|kind| (kind.length, (kind.length / cell).round().max(1.0) as usize))
            .collect();
        let longest = kinds.iter().map(|kind| kind.0).fold(0.0, f64::max);
        let mut this = Self {
            cell,
            kinds,
            least_end: rules.least_end,
            longest,
            crossed,
            count,
            prices: Vec::new(),
            runs: Vec::new(),
        };
        this.runs = runs.iter().map(|run| this.ways(task, rules, run)).collect();
        this.prices = this.classes(&this.settled());
        for place in 0..this.runs.len() {
            this.weigh(place);
        }
        this
    }

    /// Where a joint in a cell stands, mm from the worker's left.
    fn joint(&self, cell: usize) -> f64 {
        (cell as f64 + 0.5) * self.cell
    }

    fn ways(&self, task: &Task, rules: &Rules, run: &Ripped) -> Ways {
        let lie = &task.ground.lies[run.run];
        let length = run.length;
        let piece = |from: f64, piece: f64, need: Need| {
            let sides = [from, (from + piece).min(length)].map(|s| lie.plan_u(s));
            let sides = (sides[0].min(sides[1]), sides[0].max(sides[1]));
            let is_sliver = task.rips.narrowest(run.run, lie, sides) < rules.least_rip;
            match task.apart(run.run, &Want::square(piece, need), sides) {
                Some(apart) => Piece {
                    asked: apart.own.0,
                    other: apart.of_other.0,
                    more: apart.other.length as f32,
                    is_sliver,
                },
                None => Piece {
                    asked: task.rips.of_piece(run.run, lie, sides).0,
                    other: NO_OTHER,
                    more: 0.0,
                    is_sliver,
                },
            }
        };
        let legal = |is_legal: bool, from: f64, length: f64, need: Need| {
            let none = Piece { asked: ILLEGAL, other: NO_OTHER, more: 0.0, is_sliver: false };
            if is_legal { piece(from, length, need) } else { none }
        };
        let is_end = |length: f64| length >= self.least_end && length <= self.longest;
        let joints = || (0..(length / self.cell).ceil() as usize).map(|cell| self.joint(cell));
        let whole = |(whole, _): &(f64, usize)| {
            joints().map(|at| legal(at + whole < length, at, *whole, Need::Both)).collect()
        };
        Ways {
            length,
            starters: joints().map(|at| legal(is_end(at), 0.0, at, Need::Right)).collect(),
            closers: joints().map(|at| legal(is_end(length - at), at, length - at, Need::Left)).collect(),
            wholes: self.kinds.iter().map(whole).collect(),
            alone: (length <= self.longest).then(|| piece(0.0, length, Need::Neither)),
            rest: Vec::new(),
            starts: Vec::new(),
        }
    }

    /// What a mm of a rip costs by its class, at these prices of the lines.
    fn classes(&self, lines: &[f64]) -> Vec<f32> {
        let mut sums = vec![0.0];
        let mut sum = 0.0;
        sums.extend(lines.iter().map(|price| {
            sum += price;
            sum
        }));
        let price = |(from, to): &(u16, u16)| (sums[usize::from(*to)] - sums[usize::from(*from)]) as f32;
        self.crossed.iter().map(price).collect()
    }

    /// Lengths of a starter and a closer with a joint in a cell.
    fn ends(&self, ways: &Ways, cell: usize) -> (f32, f32) {
        let at = self.joint(cell);
        (at as f32, (ways.length - at) as f32)
    }

    /// The cheapest division of a run at these prices of the classes; none where there is no legal one.
    fn cheapest(&self, ways: &Ways, prices: &[f32]) -> Vec<Laid> {
        let count = ways.starters.len();
        let mut cost = vec![f32::INFINITY; count];
        let mut before = vec![usize::MAX; count];
        let mut best = (f32::INFINITY, None);
        for cell in 0..count {
            let (starter, closer) = self.ends(ways, cell);
            let begun = price(prices, &ways.starters[cell], starter);
            if begun < cost[cell] {
                (cost[cell], before[cell]) = (begun, usize::MAX);
            }
            let here = cost[cell];
            if here == f32::INFINITY {
                continue;
            }
            for (kind, (length, cells)) in self.kinds.iter().enumerate() {
                let Some(there) = cost.get_mut(cell + cells) else { continue };
                let laid = here + JOINT as f32 + price(prices, &ways.wholes[kind][cell], *length as f32);
                if laid < *there {
                    *there = laid;
                    before[cell + cells] = kind;
                }
            }
            let closed = here + JOINT as f32 + price(prices, &ways.closers[cell], closer);
            if closed < best.0 {
                best = (closed, Some(cell));
            }
        }
        let whole = ways.length as f32;
        if let Some(alone) = ways.alone.filter(|alone| price(prices, alone, whole) <= best.0) {
            return vec![(alone, whole)];
        }
        let Some(mut cell) = best.1 else { return Vec::new() };
        let mut laid = vec![(ways.closers[cell], self.ends(ways, cell).1)];
        while let Some((length, cells)) = self.kinds.get(before[cell]) {
            let kind = before[cell];
            cell -= cells;
            laid.push((ways.wholes[kind][cell], *length as f32));
        }
        laid.push((ways.starters[cell], self.ends(ways, cell).0));
        laid
    }

    /// Adds what a division crosses, so many times: at the line where each rip begins, and taken off where it ends.
    fn add(&self, laid: &[Laid], times: f64, change: &mut [f64]) {
        let mut add = |class: u16, length: f32| {
            let (from, to) = self.crossed[usize::from(class)];
            change[usize::from(from)] += times * f64::from(length);
            change[usize::from(to)] -= times * f64::from(length);
        };
        for (piece, length) in laid {
            add(piece.asked, *length);
            if piece.other != NO_OTHER {
                add(piece.other, piece.more);
            }
        }
    }

    /// Prices of the lines, 1 in all, at which the runs' cheapest divisions let no line stand out.
    fn settled(&self) -> Vec<f64> {
        let mut change = vec![0.0; self.count + 1];
        let mut laid: Vec<Vec<Laid>> = vec![Vec::new(); self.runs.len()];
        let mut mean = vec![0.0; self.count];
        for (round, rise) in RISES.into_iter().enumerate() {
            for (ways, laid) in self.runs.iter().zip(&mut laid) {
                self.add(laid, -1.0, &mut change);
                let prices = by_what_they_cross(&change, rise);
                *laid = self.cheapest(ways, &self.classes(&prices));
                self.add(laid, 1.0, &mut change);
                if round + SETTLED >= RISES.len() {
                    mean.iter_mut().zip(&prices).for_each(|(mean, price)| *mean += price);
                }
            }
        }
        let sum: f64 = mean.iter().sum();
        mean.into_iter().map(|price| price / sum.max(f64::MIN_POSITIVE)).collect()
    }

    /// Makes a run ready to be drawn from: how often all that may follow a joint are drawn, from the last cell to the first.
    fn weigh(&mut self, place: usize) {
        let ways = &self.runs[place];
        let count = ways.starters.len();
        let mut rest = vec![f32::NEG_INFINITY; count];
        for cell in (0..count).rev() {
            let mut all = self.weight(&ways.closers[cell], self.ends(ways, cell).1);
            for (kind, (length, cells)) in self.kinds.iter().enumerate() {
                if let Some(then) = rest.get(cell + cells) {
                    all = sum_of(all, self.weight(&ways.wholes[kind][cell], *length as f32) + then);
                }
            }
            rest[cell] = all - JOINT as f32 / SPREAD;
        }
        let starter = |cell| self.weight(&ways.starters[cell], self.ends(ways, cell).0) + rest[cell];
        let begun: Vec<f32> = (0..count).map(starter).collect();
        let alone = ways.alone.map_or(f32::NEG_INFINITY, |alone| self.weight(&alone, ways.length as f32));
        let most = begun.iter().copied().fold(alone, f32::max);
        let mut sum = 0.0;
        let starts = std::iter::once(alone).chain(begun).map(|weight| {
            sum += if most == f32::NEG_INFINITY { 0.0 } else { libm::expf(weight - most) };
            sum
        });
        let starts = starts.collect();
        let ways = &mut self.runs[place];
        (ways.rest, ways.starts) = (rest, starts);
    }

    /// The logarithm of how often a piece is drawn, beside others.
    fn weight(&self, piece: &Piece, length: f32) -> f32 {
        -price(&self.prices, piece, length) / SPREAD
    }

    /// A way to lay a run, by chance, the cheaper the more often; joints stand anywhere in their cells. `None` where the throw gives
    /// none that is legal.
    pub(super) fn way(&self, place: usize, rng: &mut Pcg64Mcg) -> Option<Vec<Cut>> {
        let ways = &self.runs[place];
        let thrown = unit(rng) as f32 * ways.starts.last()?;
        let start = ways.starts.partition_point(|sum| *sum <= thrown);
        let Some(mut cell) = start.checked_sub(1) else {
            return Some(vec![Cut::square(ways.length, Need::Neither)]);
        };
        let first = (cell as f64 + unit(rng)) * self.cell;
        let mut cuts = vec![Cut::square(first, Need::Right)];
        let mut left = ways.length - first;
        while let Some((kind, (length, cells))) = self.next(ways, cell, unit(rng) as f32) {
            debug_assert!(ways.wholes[kind][cell].asked != ILLEGAL, "cell {cell}");
            cuts.push(Cut::square(length, Need::Both));
            left -= length;
            cell += cells;
        }
        let is_end = |length: f64| length >= self.least_end && length <= self.longest;
        if !is_end(first) || !is_end(left) {
            return None;
        }
        cuts.push(Cut::square(left, Need::Left));
        Some(cuts)
    }

    /// The whole board that follows a joint in a cell, by a throw from 0 to 1; none where the closer does.
    fn next(&self, ways: &Ways, cell: usize, thrown: f32) -> Option<(usize, (f64, usize))> {
        let all = *ways.rest.get(cell)? + JOINT as f32 / SPREAD;
        let mut sum = 0.0;
        self.kinds.iter().copied().enumerate().find(|(kind, (length, cells))| {
            if let Some(then) = ways.rest.get(cell + cells) {
                let weight = self.weight(&ways.wholes[*kind][cell], *length as f32) + then;
                sum += libm::expf(weight - all);
            }
            thrown < sum
        })
    }
}

/// What a piece so long costs at these prices of the classes, mm of board.
fn price(prices: &[f32], piece: &Piece, length: f32) -> f32 {
    if piece.asked == ILLEGAL {
        return f32::INFINITY;
    }
    let of = |class: u16| prices[usize::from(class)];
    let other = if piece.other == NO_OTHER { 0.0 } else { of(piece.other) * piece.more };
    of(piece.asked) * length + other + if piece.is_sliver { SLIVER } else { 0.0 }
}

/// The logarithm of the sum of two numbers given by theirs.
fn sum_of(a: f32, b: f32) -> f32 {
    let most = a.max(b);
    if most == f32::NEG_INFINITY {
        return most;
    }
    most + libm::logf(libm::expf(a - most) + libm::expf(b - most))
}

/// Prices of the lines, 1 in all, by what they cross; given from line to line as what comes and goes.
fn by_what_they_cross(change: &[f64], rise: f64) -> Vec<f64> {
    let mut sum = 0.0;
    let mut prices: Vec<f64> = change[..change.len() - 1]
        .iter()
        .map(|change| {
            sum += change;
            sum
        })
        .collect();
    let most = prices.iter().copied().fold(0.0, f64::max);
    prices.iter_mut().for_each(|crossed| *crossed = libm::exp(rise * (*crossed - most)));
    let all: f64 = prices.iter().sum();
    prices.iter_mut().for_each(|price| *price /= all);
    prices
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::Abreast;
    use super::*;
    use crate::ground::Ground;
    use microlp::{ComparisonOp, OptimizationDirection, Problem};
    use plan::{GapRange, Plan, Point, Room, StartLine};
    use rand_core::SeedableRng;

    const BOARD: f64 = 2200.0;
    const BOTTOM: f64 = 100.0;
    /// How much wider the top rows are along the first two fifths of their rooms.
    const STEP: f64 = 60.0;

    /// Rooms of which the bottom row is 100 wide from end to end, and the top row of some width, and 60 more as far as its jog.
    fn rooms() -> (Plan, Vec<(f64, f64)>) {
        let mut plan = Plan::new("t");
        plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
        plan.rules.least_rip = 30.0;
        plan.stock.lengths = vec![BoardLength { length: BOARD, per_pack: 6 }];
        plan.start_line = StartLine::At(10.0);
        // Whole rows only, and the start line. Of the rooms above it the bottom rows keep their tongues.
        let hall = [(0.0, 0.0), (9000.0, 0.0), (9000.0, 7620.0), (0.0, 7620.0)];
        plan.rooms.push(Room::boarded("Hall", hall.map(Point::from)));
        let above = 90.0 + 190.0 * 60.0;
        let mut tops = Vec::new();
        for number in 0..6_u32 {
            let n = f64::from(number);
            let (x, length, width) = (n * 9000.0, 3000.0 + 370.0 * n, 62.0 + 5.0 * n);
            let (jog, depth) = ((0.4 * length).round(), 10.0 + BOTTOM + 5.0 * 190.0 + width + 10.0);
            let corners = [
                (x, above),
                (x + length, above),
                (x + length, above + depth),
                (x + jog, above + depth),
                (x + jog, above + depth + STEP),
                (x, above + depth + STEP),
            ];
            plan.rooms.push(Room::boarded(format!("Room {number}"), corners.map(Point::from)));
            tops.push((length - 20.0, width));
        }
        (plan, tops)
    }

    /// What a solver needs at least for these rooms' ripped rows, each divided in any proportions between the cells, with joints and
    /// slivers as dear as here: every mm of rip takes a mm of board, but for those that lie beside a rip of the other edge; of all pairs
    /// that fit by width any may. It knows of no lines.
    fn by_pairs(
        tops: &[(f64, f64)],
        jog: impl Fn(f64) -> f64,
        kerf: f64,
        joints: impl Fn(usize) -> f64,
    ) -> f64 {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        // By the width of the top rows' pieces, how much there is of it.
        let mut much: std::collections::BTreeMap<u64, Vec<(microlp::Variable, f64)>> = Default::default();
        let mut divide = |length: f64, width: &dyn Fn(f64) -> f64, is_top: bool| {
            let cells = (length / CELL).ceil() as usize;
            let is_end = |length: f64| (300.0..=BOARD).contains(&length);
            let mut ways = Vec::new();
            for cell in 0..cells {
                for wholes in 0..4_usize {
                    let (first, between) = (joints(cell), BOARD * wholes as f64);
                    let last = length - first - between;
                    if !is_end(first) || !is_end(last) {
                        continue;
                    }
                    let way = problem.add_var(length + JOINT * (wholes + 1) as f64, (0.0, 1.0));
                    ways.push((way, 1.0));
                    let mut at = 0.0;
                    let pieces = std::iter::once(first).chain(vec![BOARD; wholes]).chain([last]);
                    for piece in pieces.filter(|_| is_top) {
                        let much = much.entry(width(at).to_bits()).or_default();
                        match much.last_mut().filter(|last| last.0 == way) {
                            Some(last) => last.1 += piece,
                            None => much.push((way, piece)),
                        }
                        at += piece;
                    }
                }
            }
            problem.add_constraint(&ways, ComparisonOp::Eq, 1.0);
        };
        for (length, width) in tops {
            divide(*length, &|_| BOTTOM, false);
            // As wide as it is where it begins: the wider stretch comes first.
            divide(*length, &|at| if at < jog(*length) { width + STEP } else { *width }, true);
        }
        let mut beside = Vec::new();
        for (width, ways) in much {
            if f64::from_bits(width) + BOTTOM + kerf <= 190.0 {
                let pair = problem.add_var(-1.0, (0.0, f64::INFINITY));
                beside.push((pair, 1.0));
                let mut row = vec![(pair, 1.0)];
                row.extend(ways.iter().map(|(way, length)| (*way, -length)));
                problem.add_constraint(&row, ComparisonOp::Le, 0.0);
            }
        }
        let bottom: f64 = tops.iter().map(|top| top.0).sum();
        problem.add_constraint(&beside, ComparisonOp::Le, bottom);
        problem.solve().unwrap().into_solution().unwrap().objective()
    }

    /// At the prices of the lines the runs' cheapest divisions cost as much as a solver (microlp) needs for all of them together, which
    /// pairs rips by width and knows of no lines; by duality they can cost no more, and less by as much as the last prices blur the
    /// dearest of n lines, ln(n) / rise, at most.
    #[test]
    fn prices_of_lines_are_as_high_as_pairs_allow() {
        let (plan, tops) = rooms();
        let site = site::survey(&plan);
        let ground = Ground::new(&plan, &site, &setout::set_out(&plan, &site));
        let task = Task::new(&ground, &plan, true);
        let abreast = Abreast::new(&task, &plan).unwrap();
        let lines = &abreast.lines;
        assert_eq!(lines.runs.len(), 2 * tops.len());
        let cost = |ways: &Ways| -> f64 {
            let laid = lines.cheapest(ways, &lines.prices);
            let joints = JOINT * (laid.len() - 1) as f64;
            joints
                + laid
                    .iter()
                    .map(|(piece, length)| f64::from(price(&lines.prices, piece, *length)))
                    .sum::<f64>()
        };
        let cost: f64 = lines.runs.iter().map(cost).sum();
        // The jog stands 10 nearer in the row than in the room; the gap beside it takes 10 more of the wider stretch.
        let jog = |length: f64| (0.4 * (length + 20.0)).round() - 20.0;
        let least = by_pairs(&tops, jog, plan.stock.kerf, |cell| lines.joint(cell));
        assert!(cost <= least * 1.0001, "{cost} of {least}");
        let blurred = libm::log(lines.count as f64) / RISES[RISES.len() - 1];
        assert!(cost >= least - blurred, "{cost} of {least}, {blurred}");
    }

    /// Every division drawn is legal and as long as its run, and over many draws they cost little more than the cheapest.
    #[test]
    fn divisions_are_drawn_legal_and_cheap() {
        let (plan, _) = rooms();
        let site = site::survey(&plan);
        let ground = Ground::new(&plan, &site, &setout::set_out(&plan, &site));
        let task = Task::new(&ground, &plan, true);
        let abreast = Abreast::new(&task, &plan).unwrap();
        let lines = &abreast.lines;
        let rng = &mut Pcg64Mcg::seed_from_u64(1);
        for (place, ripped) in abreast.runs.iter().enumerate() {
            let least: f32 = lines
                .cheapest(&lines.runs[place], &lines.prices)
                .iter()
                .map(|(piece, length)| price(&lines.prices, piece, *length))
                .sum();
            let (mut drawn, mut over) = (0, 0.0);
            for _ in 0..200 {
                let Some(cuts) = lines.way(place, rng) else { continue };
                drawn += 1;
                let laid: f64 = cuts.iter().map(|cut| cut.length).sum();
                assert!((laid - ripped.length).abs() < 1e-6, "run {place}: {laid} of {}", ripped.length);
                let (first, last) = (cuts[0].length, cuts[cuts.len() - 1].length);
                assert!(first >= plan.rules.least_end && last >= plan.rules.least_end, "{cuts:?}");
                assert!(cuts.iter().all(|cut| cut.length <= BOARD), "{cuts:?}");
                assert!(cuts.iter().skip(1).rev().skip(1).all(|cut| cut.length == BOARD), "{cuts:?}");
                let lie = &ground.lies[ripped.run];
                let mut at = 0.0;
                for cut in &cuts {
                    let sides = [at, at + cut.length].map(|s| lie.plan_u(s));
                    at += cut.length;
                    let sides = (sides[0].min(sides[1]), sides[0].max(sides[1]));
                    let class = task.rips.of_piece(ripped.run, lie, sides).0;
                    over += f64::from(lines.prices[usize::from(class)]) * cut.length;
                }
            }
            assert!(drawn > 150, "run {place}: {drawn}");
            let over = over / f64::from(drawn) - f64::from(least);
            assert!(over < 8.0 * f64::from(SPREAD) + JOINT, "run {place}: {over}");
        }
    }
}
