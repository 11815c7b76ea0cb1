//! Pieces cut from stock lengths to least waste: skirting, trims and their like, whose ends keep nothing.
//!
//! Where all ways to cut one length can be listed, a general solver chooses among them (P. C. Gilmore and R. E. Gomory,
//! Operations Research 9 (1961), with every pattern listed; reference from memory), and mostly proves the choice. Else
//! each length is filled as full as can be round its longest piece, one after the other (J. N. D. Gupta and J. C. Ho, a
//! new heuristic algorithm for the one-dimensional bin-packing problem, Production Planning & Control 10 (1999), from
//! memory). What is bought is held against a bound that no cutting goes below.

use microlp::{ComparisonOp, OptimizationDirection, Problem, SolutionStatus, SolveOptions, Variable};
use std::collections::BTreeSet;

/// More ways to cut are not listed: the solver would take longer than a person waits.
const MOST_PATTERNS: usize = 1500;
/// Branches the solver may look into before it hands over the best it has; the same everywhere, unlike a time.
const MOST_NODES: u64 = 300;
/// Totals are told apart to this, mm.
const SAME: f64 = 0.01;

/// One stock length with what is cut from it.
#[derive(Debug, Clone, PartialEq)]
pub struct CutLength {
    /// Length as bought, mm.
    pub length: f64,
    /// Indices of the pieces, longest first.
    pub pieces: Vec<usize>,
}

/// Pieces shared out over stock lengths.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cutting {
    /// The lengths to buy, each with its pieces.
    pub lengths: Vec<CutLength>,
    /// No cutting of these pieces buys less in all, mm.
    pub bound: f64,
    /// Whether what is bought is proven to be the least.
    pub is_proven: bool,
}

impl Cutting {
    /// Length bought in all, mm.
    pub fn bought(&self) -> f64 {
        self.lengths.iter().map(|of| of.length).sum()
    }
}

/// Cuts pieces (mm) from lengths of the given kinds (mm), a saw cut between neighbours. Pieces and saw cut are taken
/// to whole millimetres, up. Any number of each length is at hand.
///
/// # Errors
/// The index of a piece that no length holds.
pub fn cut_lengths(pieces: &[f64], lengths: &[f64], kerf: f64) -> Result<Cutting, usize> {
    let up = |mm: f64| (mm - 1e-6).ceil().max(0.0) as usize;
    let kerf = up(kerf);
    let mut kinds: Vec<usize> = lengths.iter().map(|length| length.max(0.0) as usize).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let wanted: Vec<usize> = pieces.iter().map(|piece| up(*piece)).collect();
    let longest = kinds.last().copied().unwrap_or(0);
    if let Some(long) = wanted.iter().position(|piece| *piece > longest) {
        return Err(long);
    }
    let task = Task { wanted: &wanted, kinds: &kinds, kerf };
    let filled = task.fill_all();
    let by_length = task.bound_by_length();
    let found = task.by_patterns(&filled);
    let (best, bound) = match found {
        Some((lengths, bound)) if total(&lengths) <= total(&filled) => (lengths, bound.max(by_length)),
        Some((_, bound)) => (filled, bound.max(by_length)),
        None => (filled, by_length),
    };
    let is_proven = total(&best) as f64 <= bound + SAME;
    let lengths =
        best.into_iter().map(|(length, pieces)| CutLength { length: length as f64, pieces }).collect();
    Ok(Cutting { lengths, bound, is_proven })
}

type Filled = Vec<(usize, Vec<usize>)>;

fn total(filled: &[(usize, Vec<usize>)]) -> usize {
    filled.iter().map(|(length, _)| length).sum()
}

struct Task<'a> {
    /// Pieces, mm.
    wanted: &'a [usize],
    /// Lengths, shortest first, mm.
    kinds: &'a [usize],
    /// mm.
    kerf: usize,
}

impl Task<'_> {
    /// Fills one length after the other as full as can be, each round the longest piece that is left.
    fn fill_all(&self) -> Filled {
        let mut left: Vec<usize> = (0..self.wanted.len()).collect();
        // Equal pieces keep their order, so that the list reads as the rooms do.
        left.sort_by_key(|piece| std::cmp::Reverse(self.wanted[*piece]));
        let mut filled = Vec::new();
        while let Some(&first) = left.first() {
            let fits = self.kinds.iter().filter(|kind| **kind >= self.wanted[first]);
            let best = fits
                .map(|kind| (*kind, self.fullest(*kind, &left)))
                .min_by(|a, b| self.waste(a).total_cmp(&self.waste(b)).then(b.0.cmp(&a.0)));
            let Some((kind, pieces)) = best else { break };
            left.retain(|piece| !pieces.contains(piece));
            let used = self.used(&pieces);
            let length = self.kinds.iter().copied().find(|shorter| *shorter >= used).unwrap_or(kind);
            filled.push((length, pieces));
        }
        filled
    }

    /// Share of a length that is not used.
    fn waste(&self, (kind, pieces): &(usize, Vec<usize>)) -> f64 {
        1.0 - self.used(pieces) as f64 / (*kind).max(1) as f64
    }

    fn used(&self, pieces: &[usize]) -> usize {
        let sum: usize = pieces.iter().map(|piece| self.wanted[*piece] + self.kerf).sum();
        sum.saturating_sub(self.kerf)
    }

    /// The first piece and those that fill a length best beside it: exact sums of subsets, to the millimetre.
    fn fullest(&self, kind: usize, left: &[usize]) -> Vec<usize> {
        let Some((&first, rest)) = left.split_first() else { return Vec::new() };
        let room = (kind + self.kerf).saturating_sub(self.wanted[first] + self.kerf);
        // For each sum the piece that reached it first; the sum before it is reached by earlier ones.
        let mut reached: Vec<Option<usize>> = vec![None; room + 1];
        for (place, piece) in rest.iter().enumerate() {
            let size = self.wanted[*piece] + self.kerf;
            for sum in (size..=room).rev() {
                if reached[sum].is_none() && (sum == size || reached[sum - size].is_some()) {
                    reached[sum] = Some(place);
                }
            }
        }
        let mut pieces = vec![first];
        let mut sum = (0..=room).rev().find(|sum| reached[*sum].is_some()).unwrap_or(0);
        while let Some(place) = reached[sum] {
            pieces.push(rest[place]);
            sum -= self.wanted[rest[place]] + self.kerf;
            if sum == 0 {
                break;
            }
        }
        pieces
    }

    /// No cutting buys less than the pieces' length, nor fewer lengths than there are pieces that share none.
    fn bound_by_length(&self) -> f64 {
        let (Some(&shortest), Some(&longest)) = (self.kinds.first(), self.kinds.last()) else { return 0.0 };
        let sum: usize = self.wanted.iter().map(|piece| piece + self.kerf).sum();
        let least = sum.div_ceil(longest + self.kerf);
        let alone = self.wanted.iter().filter(|piece| 2 * **piece + self.kerf > longest).count();
        let by_count = least.max(alone) * shortest;
        // However many lengths there are, each gives a saw cut less than its pieces take.
        let by_sum = sum.saturating_sub(self.kerf * least.max(self.wanted.len()));
        match shortest == longest {
            true => by_count as f64,
            false => by_count.max(by_sum) as f64,
        }
    }

    /// The best choice among all ways to cut, and a bound, where the ways can be listed.
    fn by_patterns(&self, known: &Filled) -> Option<(Filled, f64)> {
        let mut sizes: Vec<usize> = self.wanted.to_vec();
        sizes.sort_unstable_by(|a, b| b.cmp(a));
        sizes.dedup();
        let demand: Vec<usize> =
            sizes.iter().map(|size| self.wanted.iter().filter(|piece| *piece == size).count()).collect();
        let mut ways: BTreeSet<(usize, Vec<usize>)> = BTreeSet::new();
        for &kind in self.kinds {
            let mut counts = vec![0; sizes.len()];
            self.list(&sizes, &demand, kind, 0, kind + self.kerf, &mut counts, &mut ways)?;
        }
        // What is known already need not be a maximal way: it is added, to start from.
        let mut start: Vec<((usize, Vec<usize>), usize)> = Vec::new();
        for (length, pieces) in known {
            let counts: Vec<usize> = sizes
                .iter()
                .map(|size| pieces.iter().filter(|piece| self.wanted[**piece] == *size).count())
                .collect();
            let way = (*length, counts);
            ways.insert(way.clone());
            match start.iter_mut().find(|(known, _)| *known == way) {
                Some((_, times)) => *times += 1,
                None => start.push((way, 1)),
            }
        }
        let ways: Vec<(usize, Vec<usize>)> = ways.into_iter().collect();
        let (times, bound) = choose(&ways, &demand, &start)?;
        Some((self.shared_out(&sizes, &ways, &times), bound))
    }

    /// Lists the maximal ways to cut one length, longest pieces first; `None` where there are too many.
    #[expect(clippy::too_many_arguments, reason = "the state of one descent")]
    fn list(
        &self,
        sizes: &[usize],
        demand: &[usize],
        kind: usize,
        from: usize,
        room: usize,
        counts: &mut Vec<usize>,
        ways: &mut BTreeSet<(usize, Vec<usize>)>,
    ) -> Option<()> {
        let fits = |i: usize, counts: &[usize]| counts[i] < demand[i] && sizes[i] + self.kerf <= room;
        for i in from..sizes.len() {
            if fits(i, counts) {
                counts[i] += 1;
                let listed = self.list(sizes, demand, kind, i, room - sizes[i] - self.kerf, counts, ways);
                counts[i] -= 1;
                listed?;
            }
        }
        let is_maximal = (0..sizes.len()).all(|i| !fits(i, counts));
        if is_maximal && counts.iter().any(|count| *count > 0) {
            ways.insert((kind, counts.clone()));
            if ways.len() > MOST_PATTERNS {
                return None;
            }
        }
        Some(())
    }

    /// Hands the pieces out to the ways chosen, in the order in which they were given.
    fn shared_out(&self, sizes: &[usize], ways: &[(usize, Vec<usize>)], times: &[usize]) -> Filled {
        let mut of_size: Vec<Vec<usize>> = sizes
            .iter()
            .map(|size| (0..self.wanted.len()).rev().filter(|piece| self.wanted[*piece] == *size).collect())
            .collect();
        let mut filled: Filled = Vec::new();
        for ((_, counts), times) in ways.iter().zip(times) {
            for _ in 0..*times {
                let mut pieces = Vec::new();
                for (left, count) in of_size.iter_mut().zip(counts) {
                    let from = left.len().saturating_sub(*count);
                    pieces.extend(left.drain(from..).rev());
                }
                let used = self.used(&pieces);
                if let Some(length) = self.kinds.iter().copied().find(|kind| *kind >= used)
                    && !pieces.is_empty()
                {
                    filled.push((length, pieces));
                }
            }
        }
        filled.sort_by_key(|(length, pieces)| (std::cmp::Reverse(*length), pieces.first().copied()));
        filled
    }
}

/// How often each way is cut so that the demand is met from the least length, and a bound on that length.
fn choose(
    ways: &[(usize, Vec<usize>)],
    demand: &[usize],
    start: &[((usize, Vec<usize>), usize)],
) -> Option<(Vec<usize>, f64)> {
    let most = i32::try_from(demand.iter().sum::<usize>()).ok()?;
    // In metres: a solver wants figures of like size.
    let metres = |length: usize| length as f64 / 1000.0;
    let build = |whole: bool| {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let used: Vec<Variable> = ways
            .iter()
            .map(|(length, _)| match whole {
                true => problem.add_integer_var(metres(*length), (0, most)),
                false => problem.add_var(metres(*length), (0.0, f64::INFINITY)),
            })
            .collect();
        for (i, count) in demand.iter().enumerate() {
            let row: Vec<(Variable, f64)> = ways
                .iter()
                .zip(&used)
                .filter(|((_, counts), _)| counts[i] > 0)
                .map(|((_, counts), variable)| (*variable, counts[i] as f64))
                .collect();
            problem.add_constraint(&row, ComparisonOp::Ge, *count as f64);
        }
        (problem, used)
    };
    let (relaxed, _) = build(false);
    let relaxed = relaxed.solve().ok()?.into_solution().ok()?.objective();
    let (problem, used) = build(true);
    let known = |way: &(usize, Vec<usize>)| start.iter().find(|(s, _)| s == way).map_or(0, |(_, n)| *n);
    let warm = used.iter().zip(ways).map(|(variable, way)| (*variable, known(way) as f64)).collect();
    let mut options = SolveOptions::default();
    options.node_limit = Some(MOST_NODES);
    options.warm_start = Some(warm);
    let solution = problem.solve_with(options).ok()?.into_solution().ok()?;
    let times: Vec<usize> = used.iter().map(|v| solution.var_value(*v).round().max(0.0) as usize).collect();
    let served = demand.iter().enumerate().all(|(i, count)| {
        ways.iter().zip(&times).map(|((_, counts), times)| counts[i] * times).sum::<usize>() >= *count
    });
    let bound = match solution.status() {
        // Lengths are whole millimetres; what is over one is the solver's rounding.
        SolutionStatus::Optimal => (solution.objective() * 1000.0).round(),
        // Lengths are whole numbers of the greatest one that divides them all: the total is a multiple of it.
        _ => {
            let step = ways.iter().fold(0, |step, (length, _)| divisor(step, *length)).max(1) as f64;
            (relaxed * 1000.0 / step - 1e-6).ceil() * step
        }
    };
    served.then_some((times, bound))
}

/// The greatest common divisor.
fn divisor(a: usize, b: usize) -> usize {
    if b == 0 { a } else { divisor(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From 2000 one piece of 900 and two of 400 are wanted: all fit, with saw cuts. No way to cut takes more than that.
    #[test]
    fn no_way_to_cut_takes_more_than_is_wanted() {
        let task = Task { wanted: &[900, 400, 400], kinds: &[2000], kerf: 3 };
        let mut ways = BTreeSet::new();
        assert!(task.list(&[900, 400], &[1, 2], 2000, 0, 2003, &mut vec![0; 2], &mut ways).is_some());
        assert_eq!(ways.into_iter().collect::<Vec<_>>(), [(2000, vec![1, 2])]);
    }

    fn pieces(list: &[(f64, usize)]) -> Vec<f64> {
        list.iter().flat_map(|(length, count)| std::iter::repeat_n(*length, *count)).collect()
    }

    /// Every piece is cut once, and no length holds more than it has.
    #[track_caller]
    fn sound(cutting: &Cutting, pieces: &[f64], kerf: f64) {
        let mut cut: Vec<usize> = cutting.lengths.iter().flat_map(|of| of.pieces.clone()).collect();
        cut.sort_unstable();
        assert_eq!(cut, (0..pieces.len()).collect::<Vec<_>>());
        for of in &cutting.lengths {
            let used: f64 = of.pieces.iter().map(|piece| pieces[*piece] + kerf).sum::<f64>() - kerf;
            assert!(used <= of.length + 1e-6, "{used} from {}", of.length);
        }
        assert!(cutting.bound <= cutting.bought() + 1e-6);
    }

    #[test]
    fn published_examples_take_their_optimum() {
        // The worked example of the encyclopedia article "Cutting stock problem": 73 rolls of 5600.
        let paper = [
            (1380.0, 22),
            (1520.0, 25),
            (1560.0, 12),
            (1710.0, 14),
            (1820.0, 18),
            (1880.0, 18),
            (1930.0, 20),
            (2000.0, 10),
            (2050.0, 12),
            (2100.0, 14),
            (2140.0, 16),
            (2150.0, 18),
            (2200.0, 20),
        ];
        // With a saw cut of 3: LP bound 73.071, optimum 74; stock 2000: LP 8.143, optimum 9; stock 100: LP 452.25,
        // optimum 453. All three computed beforehand with a separate program.
        let four = [(14.0, 211), (31.0, 395), (36.0, 610), (45.0, 97)];
        let three = [(255.0, 10), (750.0, 7), (550.0, 13)];
        for (list, stock, kerf, optimum) in [
            (&paper[..], 5600.0, 0.0, 73),
            (&paper[..], 5600.0, 3.0, 74),
            (&three[..], 2000.0, 0.0, 9),
            (&four[..], 100.0, 0.0, 453),
        ] {
            let pieces = pieces(list);
            let cutting = cut_lengths(&pieces, &[stock], kerf).expect("every piece fits");
            sound(&cutting, &pieces, kerf);
            assert_eq!(cutting.lengths.len(), optimum, "stock {stock}, kerf {kerf}");
            assert!(cutting.is_proven, "stock {stock}, kerf {kerf}: bound {}", cutting.bound);
        }
    }

    #[test]
    fn of_several_lengths_the_least_in_all_is_bought() {
        // By hand: 2300 needs 2400, 3500 needs 3600, and 1100 + 1200 + 3 take 2400: 8400 in all; 3600 + 4800 holds
        // 3500 and 2300 + 1100 + 1200 + 6 = 4606: 8400 as well. None is less: 8100 and a length's step of 1200.
        let list = [2300.0, 3500.0, 1100.0, 1200.0];
        let cutting = cut_lengths(&list, &[2400.0, 3600.0, 4800.0], 3.0).expect("every piece fits");
        sound(&cutting, &list, 3.0);
        assert_eq!(cutting.bought(), 8400.0);
        assert!(cutting.is_proven);
    }

    #[test]
    fn many_different_pieces_stay_near_the_bound() {
        // Sixty lengths in steps of 37 mm: more ways than are listed.
        let list: Vec<f64> = (0..60).map(|i| 400.0 + f64::from(i * 37 % 2999)).collect();
        let cutting = cut_lengths(&list, &[3600.0], 3.0).expect("every piece fits");
        sound(&cutting, &list, 3.0);
        assert!(cutting.bought() <= cutting.bound + 3600.0, "{} over {}", cutting.bought(), cutting.bound);
    }

    #[test]
    fn a_piece_that_no_length_holds_is_named() {
        assert_eq!(cut_lengths(&[900.0, 2500.0], &[2400.0], 3.0), Err(1));
        assert_eq!(cut_lengths(&[], &[2400.0], 3.0).map(|cutting| cutting.bought()), Ok(0.0));
    }
}
