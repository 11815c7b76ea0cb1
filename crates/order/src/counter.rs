//! The fewest boards from which given pieces can be cut, proven, where the pieces are few enough.
//!
//! Cutting patterns of one board each are listed and the fewest that serve the demand are found by
//! a general solver: P. C. Gilmore and R. E. Gomory, *A linear programming approach to the
//! cutting-stock problem*, Operations Research 9 (1961), with all patterns listed instead of priced
//! (reference from memory).

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};
use plan::Stock;
use std::collections::BTreeSet;

/// More patterns than this are not listed: proving a whole house this way would take longer than laying it.
const MOST_PATTERNS: usize = 4000;
/// More kinds of piece than this make more patterns than can be listed.
const MOST_KINDS: usize = 60;
/// Lengths are compared to this, mm: a piece as long as its board is cut from it.
const EXACT: f64 = 1e-6;

/// Which factory ends a piece needs or keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Ends {
    /// None: a whole run, or stock without end-match.
    Neither,
    /// Its left end: a closer.
    Left,
    /// Its right end: a starter.
    Right,
    /// Both: a whole board.
    Both,
}

/// Pieces of one kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demand {
    /// Length, mm.
    pub length: f64,
    /// Ends.
    pub ends: Ends,
    /// How many.
    pub count: usize,
}

/// Why no fewest count can be given.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CountError {
    /// A piece fits no board.
    #[error("a piece of {0} mm fits no board; add a longer length to the stock")]
    TooLong(f64),
    /// Too many ways to cut.
    #[error("these pieces can be cut in more than {MOST_PATTERNS} ways; only small floors are proven")]
    TooMany,
    /// Pieces lie on their boards aslant.
    #[error("pieces with slanting ends are not proven")]
    Mitred,
    /// The solver gave up.
    #[error("the solver gave no answer: {0}")]
    Solver(String),
}

/// The fewest boards from which these pieces can be cut, a saw cut of the stock's kerf between
/// neighbouring pieces. Packs are not counted: any number of each length is at hand.
///
/// # Errors
/// When a piece fits no board, or the pieces are too many to prove.
pub fn fewest_boards(demand: &[Demand], stock: &Stock) -> Result<usize, CountError> {
    let longest = stock.longest();
    let demand: Vec<Demand> = merged(demand);
    if let Some(piece) = demand.iter().find(|d| d.length > longest + EXACT) {
        return Err(CountError::TooLong(piece.length));
    }
    if demand.is_empty() {
        return Ok(0);
    }
    if demand.len() > MOST_KINDS {
        return Err(CountError::TooMany);
    }
    let mut patterns = Patterns::new();
    for l in stock.lengths.iter().filter(|l| l.per_pack > 0) {
        let mut cut =
            Pattern { counts: vec![0; demand.len()], rest: l.length + stock.kerf, left: true, right: true };
        list(&demand, stock, l.length, 0, &mut cut, &mut patterns)?;
    }
    solve(&demand, &patterns)
}

/// Demand with equal pieces put together, longest first.
fn merged(demand: &[Demand]) -> Vec<Demand> {
    let mut all: Vec<Demand> = demand.iter().copied().filter(|d| d.count > 0).collect();
    all.sort_by(|a, b| b.length.total_cmp(&a.length).then(a.ends.cmp(&b.ends)));
    all.dedup_by(|b, a| {
        let same = a.ends == b.ends && (a.length - b.length).abs() < EXACT;
        if same {
            a.count += b.count;
        }
        same
    });
    all
}

/// How many pieces of each kind one board gives; each way once.
type Patterns = BTreeSet<Vec<usize>>;

struct Pattern {
    counts: Vec<usize>,
    /// Length left, with one kerf more than the board has: each piece takes its own.
    rest: f64,
    left: bool,
    right: bool,
}

/// Lists the maximal ways to cut one board, longest pieces first.
fn list(
    demand: &[Demand],
    stock: &Stock,
    board: f64,
    first: usize,
    cut: &mut Pattern,
    patterns: &mut Patterns,
) -> Result<(), CountError> {
    let fits = |cut: &Pattern, d: &Demand, used: usize| {
        used < d.count
            && d.length + stock.kerf <= cut.rest + EXACT
            && (!stock.end_match
                || match d.ends {
                    Ends::Neither => true,
                    Ends::Left => cut.left,
                    Ends::Right => cut.right,
                    Ends::Both => cut.left && cut.right && (d.length - board).abs() < EXACT,
                })
    };
    for (i, d) in demand.iter().enumerate().skip(first) {
        if !fits(cut, d, cut.counts[i]) {
            continue;
        }
        let (left, right) = (cut.left, cut.right);
        cut.counts[i] += 1;
        cut.rest -= d.length + stock.kerf;
        cut.left &= !matches!(d.ends, Ends::Left | Ends::Both);
        cut.right &= !matches!(d.ends, Ends::Right | Ends::Both);
        let result = list(demand, stock, board, i, cut, patterns);
        cut.counts[i] -= 1;
        cut.rest += d.length + stock.kerf;
        (cut.left, cut.right) = (left, right);
        result?;
    }
    let maximal = demand.iter().enumerate().all(|(i, d)| !fits(cut, d, cut.counts[i]));
    if maximal && cut.counts.iter().any(|n| *n > 0) {
        patterns.insert(cut.counts.clone());
        if patterns.len() > MOST_PATTERNS {
            return Err(CountError::TooMany);
        }
    }
    Ok(())
}

fn solve(demand: &[Demand], patterns: &Patterns) -> Result<usize, CountError> {
    let total: usize = demand.iter().map(|d| d.count).sum();
    let most = i32::try_from(total).map_err(|_| CountError::TooMany)?;
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let used: Vec<Variable> = patterns.iter().map(|_| problem.add_integer_var(1.0, (0, most))).collect();
    for (i, d) in demand.iter().enumerate() {
        let row: Vec<(Variable, f64)> = patterns
            .iter()
            .zip(&used)
            .filter(|(pattern, _)| pattern[i] > 0)
            .map(|(pattern, variable)| (*variable, pattern[i] as f64))
            .collect();
        problem.add_constraint(&row, ComparisonOp::Ge, d.count as f64);
    }
    let outcome = problem.solve().map_err(|e| CountError::Solver(e.to_string()))?;
    let solution =
        outcome.into_solution().map_err(|e| CountError::Solver(format!("stopped early: {e:?}")))?;
    Ok(solution.objective().round() as usize)
}
