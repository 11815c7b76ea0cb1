//! Prices for wood, ends and scarce lengths that make the bound high; the least charge of each run at them.
//!
//! The bound is concave in the prices. Every set of prices tried gives the plane that touches it there; a
//! linear programme over the planes so far gives the next prices (J. E. Kelley, *The cutting-plane method for
//! solving convex programs*, J. SIAM 8, 1960; from memory).

use super::MM_PER_M;
use super::divide::{Cells, Scratch, side};
use super::need::{Class, RunNeed, TRUE, classes, own_class};
use super::shares::Shares;
use microlp::{ComparisonOp, OptimizationDirection, Problem};
use plan::Stock;

/// Prices tried. More are of use only where many lengths are scarce at once; the bound holds for any.
const MOST_ROUNDS: usize = 40;
/// The search ends when no prices can raise the bound by more than this share of itself, or
/// [`CLOSE`] boards.
const CLOSE_SHARE: f64 = 5e-5;
const CLOSE: f64 = 1e-4;
/// Classes the search looks at; the bound itself is taken over all.
const MOST_CLASSES: usize = 120;
/// Runs of several shares that it looks at.
const MOST_PARTED: usize = 24;
/// Shares of a board that its two ends cost in the first prices.
const FIRST_ENDS: [f64; 4] = [0.0, 0.1, 0.3, 0.6];
/// Prices from the search that are tried on all classes.
const MOST_TRIED: usize = 6;
/// Divisions of one run that are gone through one by one; beyond, the boards between its ends may be parts.
const MOST_DIVISIONS: f64 = 2000.0;
/// The most a scarce length may cost beside an ordinary one. Less would weaken the bound.
const MOST_SCARCITY: f64 = 50.0;

/// What is to be as little as can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Aim {
    Boards,
    Wood,
    Packs,
}

/// Boards of one length, or of lengths between two, m.
#[derive(Debug, Clone, Copy)]
pub(super) struct Kind {
    pub(super) shortest: f64,
    pub(super) longest: f64,
    per_pack: f64,
}

/// What is charged: runs of one share put together, and each run of several with where they lie along it.
#[derive(Debug)]
pub(super) struct Charged {
    classes: Vec<Class>,
    parted: Vec<Parted>,
}

/// A run of several shares, and as how many it counts.
#[derive(Debug, Clone)]
struct Parted {
    cells: Cells,
    class: Class,
}

impl Charged {
    pub(super) fn new(runs: &[RunNeed], of: &Shares, stock: &Stock, kinds: &[Kind]) -> Self {
        let side = side(kinds).filter(|_| stock.end_match);
        let (mut parted, mut others) = (Vec::new(), Vec::new());
        for run in runs {
            // Pieces at a slanting end pay less than the greatest share along them.
            let side = side.filter(|_| run.is_square());
            match side.and_then(|side| Cells::new(run, |rip| (of.share(rip), 0), kinds, side)) {
                Some(cells) => parted.push(Parted { cells, class: own_class(run, of, stock, runs.len()) }),
                None => others.push(run),
            }
        }
        Self { classes: classes(&others, of, stock, runs.len()), parted }
    }
}

/// The stock as prices see it, m.
#[derive(Debug)]
pub(super) struct Market {
    /// Longest first.
    pub(super) kinds: Vec<Kind>,
    pub(super) kerf: f64,
    pub(super) end_match: bool,
    packs: f64,
    /// Lengths this close to a limit keep it: rounding, and the step in which runs are put together.
    pub(super) near: f64,
}

/// A price of everything.
#[derive(Debug, Clone)]
pub(super) struct Prices {
    pub(super) wood: f64,
    pub(super) end: f64,
    /// What a board of each kind costs, whatever its length.
    pub(super) boards: Vec<f64>,
    /// What a metre of board costs besides.
    pub(super) metre: f64,
}

/// What is charged: a plane over the prices.
#[derive(Debug, Clone, Default)]
pub(super) struct Charge {
    pub(super) wood: f64,
    pub(super) ends: f64,
    pub(super) boards: Vec<f64>,
    pub(super) metres: f64,
}

impl Charge {
    pub(super) fn at(&self, prices: &Prices) -> f64 {
        let boards: f64 = self.boards.iter().zip(&prices.boards).map(|(n, price)| n * price).sum();
        self.wood * prices.wood + self.ends * prices.end + boards + self.metres * prices.metre
    }

    pub(super) fn add(&mut self, other: &Charge, times: f64) {
        self.wood += other.wood * times;
        self.ends += other.ends * times;
        self.metres += other.metres * times;
        self.boards.resize(other.boards.len().max(self.boards.len()), 0.0);
        for (mine, theirs) in self.boards.iter_mut().zip(&other.boards) {
            *mine += theirs * times;
        }
    }
}

impl Market {
    pub(super) fn new(stock: &Stock, packs: u32, step: f64) -> Self {
        let mut kinds: Vec<Kind> = stock
            .lengths
            .iter()
            .filter(|l| l.per_pack > 0 && l.length > 0.0)
            .map(|l| Kind {
                shortest: l.length / MM_PER_M,
                longest: l.length / MM_PER_M,
                per_pack: f64::from(l.per_pack),
            })
            .collect();
        kinds.extend(stock.random.filter(|r| r.per_pack > 0 && r.shortest > 0.0).map(|r| Kind {
            shortest: r.shortest / MM_PER_M,
            longest: r.longest / MM_PER_M,
            per_pack: f64::from(r.per_pack),
        }));
        kinds.sort_by(|a, b| b.longest.total_cmp(&a.longest));
        Self {
            kinds,
            kerf: stock.kerf / MM_PER_M,
            end_match: stock.end_match,
            packs: f64::from(packs),
            near: (TRUE + step) / MM_PER_M,
        }
    }

    /// The best bound found for these runs.
    pub(super) fn bound(&self, charged: &Charged, aim: Aim) -> f64 {
        let sample = Charged { classes: sample(&charged.classes), parted: few(&charged.parted) };
        let mut planes: Vec<Charge> = Vec::new();
        let mut tried: Vec<(f64, Prices)> = Vec::new();
        let mut best = f64::NEG_INFINITY;
        let mut waiting = self.firsts(aim);
        for _ in 0..waiting.len() + MOST_ROUNDS {
            let prices = match waiting.pop() {
                Some(prices) => prices,
                None => match self.next(&planes, aim) {
                    Some((top, next)) if top - best > CLOSE.max(CLOSE_SHARE * top) => next,
                    _ => break,
                },
            };
            let plane = self.charge(&sample, &prices, false);
            let value = plane.at(&prices) - self.rent(&prices, aim);
            best = best.max(value);
            tried.push((value, prices));
            planes.push(plane);
        }
        // What is best for the sample need not be for all.
        tried.sort_by(|a, b| b.0.total_cmp(&a.0));
        let over_all =
            |prices: &Prices| self.charge(charged, prices, true).at(prices) - self.rent(prices, aim);
        tried.iter().take(MOST_TRIED).map(|(_, prices)| over_all(prices)).fold(0.0, f64::max)
    }

    /// What boards of a kind cost before any is scarce.
    fn base(aim: Aim) -> (f64, f64) {
        match aim {
            Aim::Boards => (1.0, 0.0),
            Aim::Wood => (0.0, 1.0),
            Aim::Packs => (0.0, 0.0),
        }
    }

    /// Prices to begin with: each kind in turn is the shortest that is needed, longer ones are scarce by what they
    /// give more, and ends cost nothing or a share of a board.
    fn firsts(&self, aim: Aim) -> Vec<Prices> {
        let (base, metre) = match aim {
            Aim::Packs => (1.0, 0.0),
            _ => Self::base(aim),
        };
        let mut firsts = Vec::new();
        for last in &self.kinds {
            let whole = base + metre * last.longest;
            for share in FIRST_ENDS {
                let end = share * whole / 2.0;
                let wood = (whole - 2.0 * end) / (last.longest + self.kerf);
                let worth = |length: f64| wood * (length + self.kerf) + 2.0 * end - metre * length;
                let boards: Vec<f64> = self
                    .kinds
                    .iter()
                    .map(|kind| worth(kind.longest).max(worth(kind.shortest)).max(base))
                    .collect();
                let pack: f64 =
                    self.kinds.iter().zip(&boards).map(|(kind, board)| kind.per_pack * board).sum();
                // What is sought for packs is what their boards cost together: 1.
                let scale = if aim == Aim::Packs { 1.0 / pack } else { 1.0 };
                let boards = boards.into_iter().map(|board| board * scale).collect();
                firsts.push(self.afforded(Prices { wood, end: end * scale, boards, metre }));
            }
        }
        firsts
    }

    /// The same prices with wood as dear as the boards allow, or ends cheaper where they leave wood nothing.
    fn afforded(&self, mut prices: Prices) -> Prices {
        let costs = || {
            self.kinds.iter().zip(&prices.boards).flat_map(|(k, board)| {
                [k.shortest, k.longest].map(|length| (length + self.kerf, board + prices.metre * length))
            })
        };
        let end = costs().map(|(_, cost)| cost / 2.0).fold(prices.end, f64::min).max(0.0);
        let wood = costs().map(|(length, cost)| (cost - 2.0 * end) / length).fold(f64::INFINITY, f64::min);
        (prices.end, prices.wood) = (end, wood.max(0.0));
        prices
    }

    /// What the boards at hand cost more than they would if none was scarce.
    fn rent(&self, prices: &Prices, aim: Aim) -> f64 {
        if aim == Aim::Packs {
            return 0.0;
        }
        let (base, _) = Self::base(aim);
        self.kinds
            .iter()
            .zip(&prices.boards)
            .map(|(kind, board)| (board - base) * kind.per_pack * self.packs)
            .sum()
    }

    /// The prices at which the planes so far stand highest, and how high.
    fn next(&self, planes: &[Charge], aim: Aim) -> Option<(f64, Prices)> {
        let (base, metre) = Self::base(aim);
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let wood = problem.add_var(0.0, (0.0, f64::INFINITY));
        let end = problem.add_var(0.0, (0.0, f64::INFINITY));
        let bound = problem.add_var(1.0, (0.0, f64::INFINITY));
        let longest = self.kinds.first().map_or(1.0, |kind| kind.longest);
        let most = if aim == Aim::Wood { MOST_SCARCITY * longest } else { MOST_SCARCITY };
        // What each kind costs over the base.
        let scarcity: Vec<_> = self
            .kinds
            .iter()
            .map(|kind| {
                let rent = if aim == Aim::Packs { 0.0 } else { kind.per_pack * self.packs };
                problem.add_var(-rent, (0.0, most))
            })
            .collect();
        for (kind, scarcity) in self.kinds.iter().zip(&scarcity) {
            let mut lengths = vec![kind.longest];
            if kind.shortest < kind.longest {
                lengths.push(kind.shortest);
            }
            for length in lengths {
                let row = [(wood, length + self.kerf), (end, 2.0), (*scarcity, -1.0)];
                problem.add_constraint(row, ComparisonOp::Le, base + metre * length);
            }
        }
        if aim == Aim::Packs {
            let pack: Vec<_> = self.kinds.iter().zip(&scarcity).map(|(k, s)| (*s, k.per_pack)).collect();
            problem.add_constraint(&pack, ComparisonOp::Le, 1.0);
        }
        for plane in planes {
            let boards: f64 = plane.boards.iter().sum();
            let mut row = vec![(bound, 1.0), (wood, -plane.wood), (end, -plane.ends)];
            row.extend(scarcity.iter().zip(&plane.boards).map(|(s, n)| (*s, -n)));
            problem.add_constraint(&row, ComparisonOp::Le, base * boards + metre * plane.metres);
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        let boards: Vec<f64> = scarcity.iter().map(|s| base + solution[*s].max(0.0)).collect();
        let boards = if aim == Aim::Packs { self.in_one_pack(boards) } else { boards };
        let prices = Prices { wood: solution[wood].max(0.0), end: solution[end].max(0.0), boards, metre };
        Some((solution.objective(), self.afforded(prices)))
    }

    /// Board prices scaled so that a pack costs no more than 1, however the solver rounded.
    fn in_one_pack(&self, boards: Vec<f64>) -> Vec<f64> {
        let pack: f64 = self.kinds.iter().zip(&boards).map(|(kind, board)| kind.per_pack * board).sum();
        boards.into_iter().map(|board| board / pack.max(1.0)).collect()
    }

    /// What all runs are charged at least: the least share of a board along a run on its cheapest division, and
    /// what is charged over that share on the wood alone, for no piece is charged less than its wood.
    ///
    /// A run of several shares is charged by its own cheapest division where that is more.
    fn charge(&self, charged: &Charged, prices: &Prices, all: bool) -> Charge {
        let mut scratch = Scratch::default();
        let mut total = Charge { boards: vec![0.0; self.kinds.len()], ..Charge::default() };
        for class in &charged.classes {
            total.add(&self.class_charge(class, prices), class.count);
        }
        for Parted { cells, class } in &charged.parted {
            let by_share = self.class_charge(class, prices);
            let by_cells = cells.charge(prices, &self.kinds, (self.kerf, self.near), all, &mut scratch);
            let dearer = by_cells.filter(|charge| charge.at(prices) > by_share.at(prices));
            total.add(dearer.as_ref().unwrap_or(&by_share), class.count);
        }
        total
    }

    /// What one run of a class is charged at least.
    fn class_charge(&self, class: &Class, prices: &Prices) -> Charge {
        let mut charge = Charge::default();
        if class.share > 0.0 {
            charge.add(&self.least_charge(class, prices), class.share);
        }
        charge.wood += class.more;
        charge
    }

    /// The cheapest legal division of a run.
    fn least_charge(&self, class: &Class, prices: &Prices) -> Charge {
        let longest = self.kinds[0].longest;
        let length = class.length;
        if !self.end_match {
            let pieces = ((length - self.near) / longest).ceil().max(1.0);
            return Charge { wood: length + self.kerf * pieces, ..Charge::default() };
        }
        // A run without a legal division is charged its length.
        let mut best = Cheapest { cost: f64::INFINITY, charge: Charge { wood: length, ..Charge::default() } };
        if length <= longest + self.near {
            best.offer(Charge { wood: length + self.kerf, ..Charge::default() }, prices);
        }
        let divisions: f64 = self.kinds.iter().skip(1).map(|kind| 1.0 + length / kind.shortest).product();
        if divisions > MOST_DIVISIONS {
            self.divide_loosely(length, prices, &mut best);
        } else {
            self.divide(class, prices, &mut best);
        }
        best.charge
    }

    /// Every division: any counts of the shorter kinds, and those of the longest that reach both ends.
    fn divide(&self, class: &Class, prices: &Prices, best: &mut Cheapest) {
        let mut counts = vec![0.0; self.kinds.len()];
        loop {
            let others = |at: fn(&Kind) -> f64| -> f64 {
                self.kinds.iter().zip(&counts).skip(1).map(|(kind, count)| at(kind) * count).sum()
            };
            let (low, high) = (others(|kind| kind.shortest), others(|kind| kind.longest));
            self.with_first(class, prices, &mut counts, (low, high), best);
            // The next counts, as an odometer turns; a kind that passes the run's length begins again.
            let mut turned = false;
            for kind in 1..counts.len() {
                counts[kind] += 1.0;
                let taken: f64 = (kind..counts.len()).map(|i| counts[i] * self.kinds[i].shortest).sum();
                if taken <= class.length + self.near {
                    turned = true;
                    break;
                }
                counts[kind] = 0.0;
            }
            if !turned {
                return;
            }
        }
    }

    /// Divisions with these counts of the shorter kinds, whose lengths lie in `(low, high)`.
    fn with_first(
        &self,
        class: &Class,
        prices: &Prices,
        counts: &mut [f64],
        (low, high): (f64, f64),
        best: &mut Cheapest,
    ) {
        let first = self.kinds[0];
        let (length, longest) = (class.length, first.longest);
        let fewest = ((length - high - 2.0 * longest - 2.0 * self.near) / longest).ceil().max(0.0);
        let most = ((length - low + self.near) / first.shortest).floor();
        let mut count = fewest;
        while count <= most {
            let (low, high) = (low + count * first.shortest, high + count * longest);
            counts[0] = count;
            for sawn in 0..=2_u8 {
                let sawn = f64::from(sawn);
                // Whole boards leave the sawn ends something between their limits.
                let least = (length - sawn * longest - self.near).max(low);
                let greatest = (length - sawn * class.least_end + self.near).min(high);
                if least > greatest {
                    continue;
                }
                for whole in [least, greatest] {
                    let wood = (length - whole + sawn * self.kerf).max(0.0);
                    let cost = wood * prices.wood
                        + sawn * prices.end
                        + whole * prices.metre
                        + counts.iter().zip(&prices.boards).map(|(n, price)| n * price).sum::<f64>();
                    if cost < best.cost {
                        let charge = Charge { wood, ends: sawn, boards: counts.to_vec(), metres: whole };
                        *best = Cheapest { cost, charge };
                    }
                }
            }
            count += 1.0;
        }
    }

    /// Divisions of a long run into parts of whole boards, the cheapest by the metre.
    fn divide_loosely(&self, length: f64, prices: &Prices, best: &mut Cheapest) {
        let longest = self.kinds[0].longest;
        for sawn in [0.0, 1.0, 2.0] {
            let whole = (length - sawn * longest).max(0.0);
            for (i, kind) in self.kinds.iter().enumerate() {
                for each in [kind.shortest, kind.longest] {
                    let mut boards = vec![0.0; self.kinds.len()];
                    boards[i] = whole / each;
                    let wood = length - whole + sawn * self.kerf;
                    best.offer(Charge { wood, ends: sawn, boards, metres: whole }, prices);
                }
            }
        }
    }
}

/// The cheapest division so far.
struct Cheapest {
    cost: f64,
    charge: Charge,
}

impl Cheapest {
    fn offer(&mut self, charge: Charge, prices: &Prices) {
        let cost = charge.at(prices);
        if cost < self.cost {
            *self = Self { cost, charge };
        }
    }
}

/// Length of a run that is charged, all shares taken.
fn charged(class: &Class) -> f64 {
    class.share * class.length + class.more
}

/// Few enough classes to search with: of many, evenly chosen ones that stand for their neighbours too, and are
/// charged for as much length in all.
fn sample(classes: &[Class]) -> Vec<Class> {
    let step = classes.len().div_ceil(MOST_CLASSES).max(1);
    classes
        .chunks(step)
        .map(|chunk| {
            let middle = chunk[chunk.len() / 2];
            let total: f64 = chunk.iter().map(|class| class.count * charged(class)).sum();
            let each = charged(&middle);
            Class { count: if each > 0.0 { total / each } else { middle.count }, ..middle }
        })
        .collect()
}

/// Few enough runs of several shares to search with, evenly chosen, that stand for the others.
fn few(parted: &[Parted]) -> Vec<Parted> {
    let step = parted.len().div_ceil(MOST_PARTED).max(1);
    parted
        .chunks(step)
        .map(|chunk| {
            let middle = &chunk[chunk.len() / 2];
            let total: f64 = chunk.iter().map(|run| run.class.count * charged(&run.class)).sum();
            let each = charged(&middle.class);
            let count = if each > 0.0 { total / each } else { middle.class.count };
            Parted { class: Class { count, ..middle.class }, ..middle.clone() }
        })
        .collect()
}

#[cfg(test)]
mod tests;
