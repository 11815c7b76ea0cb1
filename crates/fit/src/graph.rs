//! Which runs meet: each with the runs on the laid side of its row, and those beyond it.

use crate::slip::along;
use lay::{Board, Floor, Meeting, meeting};
use std::collections::BTreeMap;

/// The runs of a floor's rows and how they hang together. Lists have a place for every run of the floor; those
/// without boards, of blocks or of the border have no entries.
#[derive(Debug, Default)]
pub(crate) struct Graph {
    /// Runs of rows with boards, in the floor's order.
    pub(crate) runs: Vec<usize>,
    /// For each run those it is joined to along its groove edge; along the start line, for the row laid second only.
    pub(crate) before: Vec<Vec<usize>>,
    /// For each run those that are joined to it.
    pub(crate) after: Vec<Vec<usize>>,
}

impl Graph {
    pub(crate) fn of(floor: &Floor) -> Self {
        Self::with(floor, |run| floor.runs[run].backwards)
    }

    /// The same as if no run were laid back.
    pub(crate) fn away(floor: &Floor) -> Self {
        Self::with(floor, |_| false)
    }

    fn with(floor: &Floor, is_back: impl Fn(usize) -> bool) -> Self {
        let count = floor.runs.len();
        let mut graph =
            Self { runs: Vec::new(), before: vec![Vec::new(); count], after: vec![Vec::new(); count] };
        // By region and row line: what lies along it from below, and from above.
        let mut lines: BTreeMap<(usize, i32), [Vec<Meeting>; 2]> = BTreeMap::new();
        for (index, run) in floor.runs.iter().enumerate() {
            let boards = floor.boards.get(run.boards.clone()).unwrap_or_default();
            if !boards.first().is_some_and(is_in_row) {
                continue;
            }
            graph.runs.push(index);
            for (line, side) in [(run.row, 1), (run.row + 1, 0)] {
                let v = floor.row_low(run.region, line);
                let on_line = boards.iter().flat_map(|board| along(board, v));
                let stretches = on_line.map(|(from, to)| (from, to, index));
                lines.entry((run.region, line)).or_default()[side].extend(stretches);
            }
        }
        for ((_, line), [below, above]) in lines {
            for (low, high) in meeting(below, above) {
                // Rows above the start line hang on the one below them, rows below it on the one above; and on the
                // start line the lower side comes second.
                let (first, second) = if line > 0 { (low, high) } else { (high, low) };
                // What is laid back hangs on what lies beyond it.
                let (first, second) = if is_back(first) { (second, first) } else { (first, second) };
                graph.before[second].push(first);
                graph.after[first].push(second);
            }
        }
        for list in graph.before.iter_mut().chain(&mut graph.after) {
            list.sort_unstable();
            list.dedup();
        }
        graph
    }
}

fn is_in_row(board: &Board) -> bool {
    !board.in_border && !board.is_block()
}
