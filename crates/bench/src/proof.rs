//! The fewest boards for a small floor over all legal staggers on a grid of joints, proven by a general MILP solver.

use lay::{Floor, Run};
use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};
use plan::Plan;

/// Starters are tried at these steps, mm, from the least end up; and as long as makes the closer fall on a step.
const STEP: f64 = 50.0;
const EXACT: f64 = 1e-6;

/// One way to part a run: a starter, whole boards, a closer.
#[derive(Debug, Clone)]
struct Division {
    starter: f64,
    closer: f64,
    pieces: usize,
    /// Joints on the plan.
    joints: Vec<f64>,
}

/// The fewest boards over all staggers with joints on the grid that keep the least end and the least stagger.
/// For rows in any number of rooms, joined or apart, each longer than one board, of one length with end-match; of whole
/// width, or ripped to more than half, so that no strip serves elsewhere.
/// `None` where the floor is another, or the solver gives no answer.
///
/// A starter and a closer come from one board where both fit it with a saw cut between. Closers by length against
/// starters by length, that is a bipartite graph whose neighbourhoods are nested; so (König) the most pairs are
/// the least, over all lengths t, of the closers shorter than t and the starters that fit beside t. That makes
/// the number of pairs one variable.
pub fn fewest(plan: &Plan, floor: &Floor) -> Option<usize> {
    let [only] = plan.stock.lengths.as_slice() else { return None };
    let length = only.length;
    let is_plain =
        |run: &Run| run.right - run.left > length + EXACT && !run.shaped && 2.0 * run.width > floor.pitch;
    if !plan.stock.end_match || !floor.runs.iter().all(is_plain) {
        return None;
    }
    let mut runs: Vec<&Run> = floor.runs.iter().collect();
    runs.sort_by(|a, b| (a.region, a.row).cmp(&(b.region, b.row)).then(a.left.total_cmp(&b.left)));
    let divisions: Vec<Vec<Division>> = runs.iter().map(|run| divisions(plan, run, length)).collect();

    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let chosen: Vec<Vec<Variable>> = divisions
        .iter()
        .map(|all| all.iter().map(|d| problem.add_integer_var(d.pieces as f64, (0, 1))).collect())
        .collect();
    let pairs = problem.add_integer_var(-1.0, (0, i32::try_from(runs.len()).ok()?));
    for row in &chosen {
        let once: Vec<(Variable, f64)> = row.iter().map(|v| (*v, 1.0)).collect();
        problem.add_constraint(&once, ComparisonOp::Eq, 1.0);
    }
    let all = || divisions.iter().zip(&chosen).flat_map(|(d, v)| d.iter().zip(v));
    let mut limits: Vec<f64> = all().map(|(division, _)| division.closer).chain([f64::INFINITY]).collect();
    limits.sort_by(f64::total_cmp);
    limits.dedup_by(|b, a| *b - *a < EXACT);
    for limit in limits {
        let beside = length - plan.stock.kerf - limit;
        let mut row = vec![(pairs, 1.0)];
        for (division, variable) in all() {
            let is_short = division.closer < limit - EXACT && division.closer < length - EXACT;
            let fits = division.starter <= beside + EXACT;
            let cover = f64::from(u8::from(is_short)) + f64::from(u8::from(fits));
            if cover > 0.0 {
                row.push((*variable, -cover));
            }
        }
        problem.add_constraint(&row, ComparisonOp::Le, 0.0);
    }
    let least = plan.rules.least_stagger;
    // Rows one over the other: every joint of both reaches the line between them.
    let meets = |a: &Run, b: &Run| a.region == b.region && a.row + 1 == b.row;
    let both = (0..runs.len()).flat_map(|i| (0..runs.len()).map(move |j| (i, j)));
    for (i, j) in both.filter(|(i, j)| meets(runs[*i], runs[*j])) {
        for (division, variable) in divisions[i].iter().zip(&chosen[i]) {
            let mut row = vec![(*variable, 1.0)];
            for (other, other_variable) in divisions[j].iter().zip(&chosen[j]) {
                let is_close = |u: &f64| other.joints.iter().any(|joint| (joint - u).abs() < least - EXACT);
                if division.joints.iter().any(is_close) {
                    row.push((*other_variable, 1.0));
                }
            }
            problem.add_constraint(&row, ComparisonOp::Le, 1.0);
        }
    }
    let solution = problem.solve().ok()?.into_solution().ok()?;
    Some(solution.objective().round() as usize)
}

/// Every division of a run on the grid, without two alike.
fn divisions(plan: &Plan, run: &Run, length: f64) -> Vec<Division> {
    let least = plan.rules.least_end;
    let whole = run.right - run.left;
    let mut starters = vec![length];
    let mut at = least;
    while at < length {
        starters.push(at);
        // The starter beside which the closer has this length.
        let rest = whole - at;
        starters.push(rest - (rest / length).floor() * length);
        at += STEP;
    }
    starters.sort_by(f64::total_cmp);
    starters.dedup_by(|b, a| *b - *a < EXACT);
    starters
        .into_iter()
        .filter(|starter| *starter >= least - EXACT)
        .filter_map(|starter| {
            let rest = whole - starter;
            let boards = ((rest - EXACT) / length).floor();
            let closer = rest - boards * length;
            if closer < least - EXACT {
                return None;
            }
            let joints = (0..=boards as usize).map(|i| starter + i as f64 * length);
            // Below the start line a starter lies at the plan's right.
            let place = |s: f64| if run.is_turned() { run.right - s } else { run.left + s };
            Some(Division {
                starter,
                closer,
                pieces: boards as usize + 2,
                joints: joints.map(place).collect(),
            })
        })
        .collect()
}
