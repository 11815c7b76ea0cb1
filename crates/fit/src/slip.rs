//! Slip tongues: where boards of both sides of the start line meet groove to groove.

use crate::Slip;
use lay::{Board, Floor};
use site::Uv;
use std::collections::BTreeMap;

/// A side this near to the line lies on it, and stretches closer than this are one, mm.
const TRUE: f64 = 0.1;
/// Shorter stretches need no tongue, mm.
const SHORT: f64 = 1.0;

/// Stretches along a line, least and greatest u.
type Spans = Vec<(f64, f64)>;

/// Stretches of each region's start line with boards on both sides.
pub(crate) fn slips(floor: &Floor) -> Vec<Slip> {
    let mut sides: BTreeMap<usize, [Spans; 2]> = BTreeMap::new();
    let in_rows = |board: &&Board| !board.in_border && !board.is_block() && (-1..=0).contains(&board.row);
    for board in floor.boards.iter().filter(in_rows) {
        let line = floor.row_low(board.region, 0);
        let side = usize::from(board.row < 0);
        sides.entry(board.region).or_default()[side].extend(along(board, line));
    }
    let mut found = Vec::new();
    for (region, [above, below]) in sides {
        let line = floor.row_low(region, 0);
        let at = |u: f64| Uv::new(u, line);
        let shared = joined(both(joined(above), joined(below)));
        found.extend(shared.into_iter().map(|(from, to)| Slip { region, from: at(from), to: at(to) }));
    }
    found
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
