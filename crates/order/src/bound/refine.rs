//! Shares that make runs dear as they are really charged: by whole pieces, as wide as the widest place they cover.
//!
//! A wide place in a narrow run may be short, and the piece that holds it long. So shares that charge most of all stretches
//! need not charge the runs most. What several lines along the board charge may be mixed: shares that fit, in any proportions,
//! fit. Each run's cheapest division gives a plane over the proportions; a linear programme over the planes so far gives the
//! next, as prices are looked for.

use super::MM_PER_M;
use super::divide::{Cells, Pays, Scratch, side};
use super::need::{RunNeed, Side, TRUE};
use super::prices::{Market, Prices};
use super::shares::{Kind, Shares};
use microlp::{ComparisonOp, OptimizationDirection, Problem};

/// Shares tried.
const ROUNDS: usize = 16;
/// Lines along the board that are mixed.
const LINES: usize = 60;
/// Runs are put together in so many groups, each with planes of its own.
const GROUPS: usize = 40;
/// The search ends when no shares can charge more than this share of all that is charged.
const CLOSE: f64 = 1e-4;

/// What a group of runs is charged by each of the shares that are mixed, and whatever the shares.
type Plane = (Vec<f64>, f64);

/// The best shares found for these runs, those given among them.
pub(super) fn refined(shares: Shares, runs: &[RunNeed], market: &Market) -> Shares {
    let kinds = shares.kinds();
    let ripped =
        |run: &&RunNeed| run.is_square() && run.widths.iter().any(|w| w.width < shares.pitch() - TRUE);
    let runs: Vec<&RunNeed> = runs.iter().filter(ripped).collect();
    let longest = market.kinds.first().map_or(0.0, |kind| kind.longest);
    let Some(side) = side(&market.kinds).filter(|_| market.end_match) else { return shares };
    if kinds.is_empty() || runs.is_empty() {
        return shares;
    }
    // As dear as wood may be where boards cost their length.
    let prices = Prices {
        wood: longest / (longest + market.kerf),
        end: 0.0,
        boards: vec![0.0; market.kinds.len()],
        metre: 1.0,
    };
    let mut much = vec![0.0; kinds.len()];
    for width in runs.iter().flat_map(|run| &run.widths) {
        for place in width.sides().filter_map(|side| shares.place(&side, &kinds)) {
            much[place] += width.length;
        }
    }
    let mixed = shares.lines(&kinds, &much, LINES);
    let each = runs.len().div_ceil(GROUPS);
    let mut planes: Vec<Vec<Plane>> = vec![Vec::new(); runs.len().div_ceil(each)];
    let mut shares = shares;
    let mut best: Option<(f64, Shares)> = None;
    for round in 0..=ROUNDS {
        let mut charged = 0.0;
        for (group, planes) in runs.chunks(each).zip(&mut planes) {
            let (plane, charge) = plane(group, (&shares, &kinds, &mixed), market, &prices, side);
            charged += charge;
            planes.push(plane);
        }
        if best.as_ref().is_none_or(|(most, _)| charged > *most) {
            best = Some((charged, shares.clone()));
        }
        let most = best.as_ref().map_or(charged, |(most, _)| *most);
        let found = if round < ROUNDS { next(mixed.len(), &planes) } else { None };
        let Some((hope, weights)) = found else { break };
        if hope <= most * (1.0 + CLOSE) {
            break;
        }
        shares = shares.mean(&kinds, &mixed, &weights);
    }
    best.map_or(shares, |(_, shares)| shares)
}

/// A group's plane where its runs are divided as is cheapest by these shares, and what they are charged.
fn plane(
    group: &[&RunNeed],
    (shares, kinds, mixed): (&Shares, &[Kind], &[Vec<f64>]),
    market: &Market,
    prices: &Prices,
    side: f64,
) -> (Plane, f64) {
    let (mut by_kind, mut fixed, mut charged) = (vec![0.0; kinds.len()], 0.0, 0.0);
    let mut scratch = Scratch::default();
    for run in group {
        let pays = |rip: &Side| (shares.share(rip), shares.place(rip, kinds).unwrap_or(kinds.len()));
        let cells = Cells::new(run, pays, &market.kinds, side);
        let parts = cells.and_then(|cells| {
            cells.division(prices, &market.kinds, (market.kerf, market.near), true, &mut scratch)
        });
        let mut charge = |(share, kind): Pays, cost: f64| {
            charged += share * cost;
            match by_kind.get_mut(kind) {
                Some(sum) => *sum += cost,
                None => fixed += share * cost,
            }
        };
        match parts {
            Some(parts) => parts.iter().for_each(|part| {
                charge((part.share, part.kind), part.cost(prices, &market.kinds, market.kerf));
                part.beside.iter().for_each(|(pays, length)| charge(*pays, prices.wood * length));
            }),
            // Of one kind, or too long to be looked at cell by cell: its wood.
            None => run.widths.iter().for_each(|width| {
                charge(pays(&width.least()), prices.wood * width.length / MM_PER_M);
            }),
        }
    }
    let by_shares = |shares: &Vec<f64>| shares.iter().zip(&by_kind).map(|(share, cost)| share * cost).sum();
    ((mixed.iter().map(by_shares).collect(), fixed), charged)
}

/// The proportions at which the planes so far stand highest, and how high.
fn next(count: usize, planes: &[Vec<Plane>]) -> Option<(f64, Vec<f64>)> {
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let weights: Vec<_> = (0..count).map(|_| problem.add_var(0.0, (0.0, 1.0))).collect();
    let all: Vec<_> = weights.iter().map(|weight| (*weight, 1.0)).collect();
    problem.add_constraint(&all, ComparisonOp::Eq, 1.0);
    for planes in planes {
        let top = problem.add_var(1.0, (0.0, f64::INFINITY));
        for (by_shares, fixed) in planes {
            let mut row = vec![(top, 1.0)];
            row.extend(weights.iter().zip(by_shares).filter(|(_, n)| **n > 0.0).map(|(v, n)| (*v, -n)));
            problem.add_constraint(&row, ComparisonOp::Le, *fixed);
        }
    }
    let solution = problem.solve().ok()?.into_solution().ok()?;
    let found: Vec<f64> = weights.iter().map(|weight| solution[*weight].max(0.0)).collect();
    let sum: f64 = found.iter().sum();
    (sum > 0.0).then(|| (solution.objective(), found.iter().map(|weight| weight / sum).collect()))
}
