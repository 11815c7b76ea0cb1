//! Slip tongues: where boards meet groove to groove, along the start line and where a room is laid back.

use crate::Slip;
use crate::backwards::laid_back;
use crate::graph::Graph;
use lay::{Board, Floor};
use plan::{Places, Plan};
use site::{Frame, Uv};
use std::collections::BTreeMap;

/// A side this near to the line lies on it, and stretches closer than this are one, mm.
const TRUE: f64 = 0.1;
/// Shorter stretches need no tongue, mm.
const SHORT: f64 = 1.0;

/// Stretches along a line, least and greatest u.
type Spans = Vec<(f64, f64)>;

/// Stretches of each region's start line with boards on both sides, then those of row lines from which a room is laid
/// back.
pub(crate) fn slips(plan: &Plan, places: &Places<'_>, frame: Frame, floor: &Floor) -> Vec<Slip> {
    let mut lines: BTreeMap<(usize, i32), [Spans; 2]> = BTreeMap::new();
    let in_rows = |board: &&Board| !board.in_border && !board.is_block();
    for board in floor.boards.iter().filter(in_rows) {
        if (-1..=0).contains(&board.row) {
            let side = usize::from(board.row < 0);
            let line = floor.row_low(board.region, 0);
            lines.entry((board.region, 0)).or_default()[side].extend(along(board, line));
        }
    }
    let mut found = Vec::new();
    let mut add = |region: usize, row: i32, sides: [Spans; 2], doorway: Option<usize>| {
        let line = floor.row_low(region, row);
        let at = |u: f64| Uv::new(u, line);
        let [above, below] = sides;
        let shared = joined(both(joined(above), joined(below)));
        found.extend(shared.into_iter().map(|(from, to)| Slip {
            region,
            from: at(from),
            to: at(to),
            doorway,
        }));
    };
    for ((region, row), sides) in lines {
        add(region, row, sides, None);
    }
    for ((region, row, doorway), sides) in back_lines(plan, places, frame, floor) {
        add(region, row, sides, Some(doorway));
    }
    found
}

/// Row lines between a row that runs on through a doorway and those that are laid back from it, with what lies along
/// them from above and from below.
fn back_lines(
    plan: &Plan,
    places: &Places<'_>,
    frame: Frame,
    floor: &Floor,
) -> BTreeMap<(usize, i32, usize), [Spans; 2]> {
    let mut lines: BTreeMap<(usize, i32, usize), [Spans; 2]> = BTreeMap::new();
    if floor.runs.iter().all(|run| !run.backwards) {
        return lines;
    }
    let graph = Graph::of(floor);
    for (doorway, runs) in laid_back(plan, places, frame, floor) {
        for run in runs {
            // On its groove edge: the row that runs on.
            for onto in graph.before[run].iter().filter(|onto| !floor.runs[**onto].backwards) {
                let row = floor.runs[run].row.max(floor.runs[*onto].row);
                let line = floor.row_low(floor.runs[run].region, row);
                let sides = lines.entry((floor.runs[run].region, row, doorway)).or_default();
                for (of, side) in [
                    (run, usize::from(floor.runs[run].row < row)),
                    (*onto, usize::from(floor.runs[*onto].row < row)),
                ] {
                    let boards = floor.boards.get(floor.runs[of].boards.clone()).unwrap_or_default();
                    sides[side].extend(boards.iter().flat_map(|board| along(board, line)));
                }
            }
        }
    }
    lines
}

/// Where a board's outline lies along a line across v.
pub(crate) fn along(board: &Board, line: f64) -> impl Iterator<Item = (f64, f64)> {
    board.outline.rings().flat_map(move |ring| {
        (0..ring.len()).filter_map(move |i| {
            let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
            let on_line = (a.v - line).abs() < TRUE && (b.v - line).abs() < TRUE;
            (on_line && (a.u - b.u).abs() > TRUE).then(|| (a.u.min(b.u), a.u.max(b.u)))
        })
    })
}

/// The stretches in order, those that touch put together.
fn joined(mut spans: Spans) -> Spans {
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut joined = Spans::new();
    for (from, to) in spans {
        match joined.last_mut() {
            Some(last) if from <= last.1 + TRUE => last.1 = last.1.max(to),
            _ => joined.push((from, to)),
        }
    }
    joined
}

/// What two sorted lists of stretches share.
fn both(a: Spans, b: Spans) -> Spans {
    let (mut i, mut j) = (0, 0);
    let mut shared = Spans::new();
    while let (Some(one), Some(other)) = (a.get(i), b.get(j)) {
        let (from, to) = (one.0.max(other.0), one.1.min(other.1));
        if to - from > SHORT {
            shared.push((from, to));
        }
        if one.1 < other.1 {
            i += 1;
        } else {
            j += 1;
        }
    }
    shared
}
