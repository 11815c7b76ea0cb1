//! How irregular a floor looks, in figures. No standard measures this: every figure here is our own.

use crate::joints::JointRows;
use crate::shorts::ShortRows;
use lay::{Board, Floor, Run};
use plan::Plan;
use std::collections::BTreeMap;

/// Steps between joints are told apart in classes this wide, mm: about what an eye sees without a tape.
const CLASS: f64 = 50.0;
/// Boards that overlap along the rows by no more than this are no neighbours, mm.
const TOUCH: f64 = 10.0;

/// How a floor looks.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Look {
    /// Joints against those of the next row; `None` where no two rows have joints beside one another.
    pub spacing: Option<Spacing>,
    /// Pairs of joints two rows apart and in line, within the rules' in-line figure.
    pub h_joints: usize,
    /// Joints that step evenly over four rows.
    pub stairs: usize,
    /// The longest visible repeat, rows: the most rows in a row whose joints stand in line, within the
    /// in-line figure, with those of as many rows higher up in the same region. Two rows are alike when every
    /// joint of the stretch both cover has its fellow and there is at least one; 0 where no two rows are.
    pub repeat: usize,
    /// Share of neighbouring boards, end to end or side by side, that come from one pack, 0 to 1; `None` where
    /// no boards are neighbours. The less, the better the lots are mixed.
    pub same_pack: Option<f64>,
    /// Most whole boards of the shortest length end to end in one row; `None` where the packs hold no length that is short
    /// beside others (see [`lay::Shorts`]).
    pub short_boards: Option<usize>,
}

/// Distances along the rows from each joint to the nearest joint in the row above. Only joints that reach the
/// line between the two rows count.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spacing {
    /// Joints with a joint in the row above.
    pub joints: usize,
    /// Least distance, mm.
    pub least: f64,
    /// Mean distance, mm.
    pub mean: f64,
    /// Standard deviation of the distance, mm.
    pub spread: f64,
    /// Irregularity, 0 to 1: Shannon's entropy of the steps, to the left and to the right, in classes of 50 mm,
    /// against the most it could be for so many joints and boards so long. 0 where every joint steps alike, 1
    /// where all steps are as frequent as one another.
    pub irregularity: f64,
}

/// Measures how the rows of a floor look; blocks of herringbone and chevron and border boards are left out.
pub fn look(plan: &Plan, floor: &Floor) -> Look {
    let in_line = plan.rules.in_line;
    let rows = JointRows::of(floor);
    Look {
        spacing: spacing(floor, &rows, plan.stock.longest()),
        h_joints: rows.h_joints(in_line).len(),
        stairs: rows.stairs(in_line).len(),
        repeat: repeat(floor, &rows, in_line),
        same_pack: same_pack(floor),
        short_boards: ShortRows::of(plan, floor).map(|rows| rows.longest()),
    }
}

fn spacing(floor: &Floor, rows: &JointRows, longest: f64) -> Option<Spacing> {
    // No joint is further than this from the nearest, unless the row ends first.
    let steps: Vec<f64> = rows
        .neighbours(floor, longest)
        .into_iter()
        .filter_map(|(index, near)| {
            let steps = near.iter().map(|(_, other)| other.u - floor.joints[index].u);
            // In whole tenths, so that rounding does not decide a tie.
            steps.min_by_key(|step| (step.abs() * 10.0).round() as i64)
        })
        .collect();
    let count = steps.len() as f64;
    if steps.is_empty() {
        return None;
    }
    let mean = steps.iter().map(|step| step.abs()).sum::<f64>() / count;
    let variance = steps.iter().map(|step| (step.abs() - mean) * (step.abs() - mean)).sum::<f64>() / count;
    Some(Spacing {
        joints: steps.len(),
        least: steps.iter().map(|step| step.abs()).fold(f64::INFINITY, f64::min),
        mean,
        spread: variance.sqrt(),
        irregularity: irregularity(&steps, longest),
    })
}

/// Entropy of the steps against the entropy of as many steps spread evenly over a board either way.
fn irregularity(steps: &[f64], longest: f64) -> f64 {
    let mut classes: BTreeMap<i64, usize> = BTreeMap::new();
    for step in steps {
        *classes.entry((step / CLASS).round() as i64).or_default() += 1;
    }
    let total = steps.len() as f64;
    let entropy: f64 = classes
        .values()
        .map(|count| {
            let share = *count as f64 / total;
            share * libm::log(1.0 / share)
        })
        .sum();
    let most = libm::log((2.0 * longest / CLASS).min(total));
    if most > 0.0 { (entropy / most).clamp(0.0, 1.0) } else { 0.0 }
}

/// A row as a repeat sees it: where its joints stand and from where to where it lies.
struct Line {
    row: i32,
    left: f64,
    right: f64,
    joints: Vec<f64>,
}

fn repeat(floor: &Floor, rows: &JointRows, in_line: f64) -> usize {
    let mut extents: BTreeMap<(usize, i32), (f64, f64)> = BTreeMap::new();
    let in_rows = |run: &&Run| floor.boards[run.boards.clone()].first().is_none_or(is_in_row);
    for run in floor.runs.iter().filter(in_rows) {
        let extent = extents.entry((run.region, run.row)).or_insert((run.left, run.right));
        *extent = (extent.0.min(run.left), extent.1.max(run.right));
    }
    let mut regions: BTreeMap<usize, Vec<Line>> = BTreeMap::new();
    for ((region, row), (left, right)) in extents {
        let joints = rows.row(region, row).iter().map(|stand| stand.u).collect();
        regions.entry(region).or_default().push(Line { row, left, right, joints });
    }
    regions.values().map(|lines| longest_repeat(lines, in_line)).max().unwrap_or(0)
}

fn longest_repeat(lines: &[Line], in_line: f64) -> usize {
    let mut longest = 0;
    for apart in 1..lines.len() {
        let mut rows = 0;
        for (i, (line, other)) in lines.iter().zip(&lines[apart..]).enumerate() {
            let goes_on =
                i > 0 && line.row == lines[i - 1].row + 1 && other.row == lines[i + apart - 1].row + 1;
            rows = if !alike(line, other, in_line) {
                0
            } else if goes_on {
                rows + 1
            } else {
                1
            };
            longest = longest.max(rows);
        }
    }
    longest
}

/// Whether two rows have their joints in line over the stretch that both cover, and any there.
fn alike(a: &Line, b: &Line, in_line: f64) -> bool {
    let (left, right) = (a.left.max(b.left) + in_line, a.right.min(b.right) - in_line);
    let within = |line: &Line| {
        let first = line.joints.partition_point(|u| *u < left);
        let past = line.joints.partition_point(|u| *u <= right);
        first..past.max(first)
    };
    let (a, b) = (&a.joints[within(a)], &b.joints[within(b)]);
    !a.is_empty() && a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() <= in_line)
}

/// Whether a board lies in a row: blocks and border boards have no neighbours row by row.
pub(crate) fn is_in_row(board: &Board) -> bool {
    !board.in_border && !board.is_block()
}

fn same_pack(floor: &Floor) -> Option<f64> {
    let mut rows: BTreeMap<(usize, i32), Vec<&Board>> = BTreeMap::new();
    for board in floor.boards.iter().filter(|board| is_in_row(board)) {
        rows.entry((board.region, board.row)).or_default().push(board);
    }
    for row in rows.values_mut() {
        row.sort_by(|a, b| a.left.total_cmp(&b.left));
    }
    let mut pairs: Vec<(&Board, &Board)> =
        floor.joints.iter().map(|joint| (&floor.boards[joint.left], &floor.boards[joint.right])).collect();
    for ((region, row), boards) in &rows {
        let Some(above) = rows.get(&(*region, row + 1)) else { continue };
        let mut first = 0;
        for board in boards {
            while above.get(first).is_some_and(|other| other.right <= board.left + TOUCH) {
                first += 1;
            }
            let beside = above[first..].iter().take_while(|other| other.left < board.right - TOUCH);
            pairs.extend(
                beside.filter(|other| other.right > board.left + TOUCH).map(|other| (*board, *other)),
            );
        }
    }
    let pack = |board: &Board| floor.stock.get(board.stock).map(|stock| stock.pack);
    let known: Vec<bool> = pairs.iter().filter_map(|(a, b)| Some(pack(a)? == pack(b)?)).collect();
    let same = known.iter().filter(|same| **same).count();
    (!known.is_empty()).then(|| same as f64 / known.len() as f64)
}
