//! Lengths that cannot meet, whatever the shape: one that is longer than the way round by others.

use crate::Span;

/// A length that is longer than the way round.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TooLong {
    /// Its index.
    pub(crate) span: usize,
    /// Length of the way round, mm.
    pub(crate) way: f64,
    /// Points of the way round, its ends among them.
    pub(crate) by: Vec<usize>,
}

/// How many standard deviations a length may be longer than the way round: chance reaches no further.
const BY_CHANCE: f64 = 6.0;

/// The length that is longest over the way round by others; `None` where each may be as it is.
pub(crate) fn too_long(points: usize, spans: &[Span]) -> Option<TooLong> {
    let mut worst: Option<(f64, TooLong)> = None;
    for (index, span) in spans.iter().enumerate() {
        let Some((way, by, variance)) = way_round(points, spans, index) else { continue };
        let over = span.length - way;
        let play = BY_CHANCE * (variance + span.good_to * span.good_to).sqrt();
        if over > play && worst.as_ref().is_none_or(|(most, _)| over > *most) {
            worst = Some((over, TooLong { span: index, way, by }));
        }
    }
    worst.map(|(_, found)| found)
}

/// The shortest way between a length's ends by the other lengths, its points and its variance.
fn way_round(points: usize, spans: &[Span], without: usize) -> Option<(f64, Vec<usize>, f64)> {
    let goal = spans[without];
    // Plain Dijkstra: a room has tens of corners.
    let mut best = vec![(f64::INFINITY, usize::MAX, 0.0); points];
    let mut done = vec![false; points];
    best[goal.from].0 = 0.0;
    loop {
        let at = (0..points)
            .filter(|i| !done[*i] && best[*i].0.is_finite())
            .min_by(|a, b| best[*a].0.total_cmp(&best[*b].0))?;
        if at == goal.to {
            break;
        }
        done[at] = true;
        for (_, span) in spans.iter().enumerate().filter(|(i, _)| *i != without) {
            let to = match (span.from == at, span.to == at) {
                (true, _) => span.to,
                (_, true) => span.from,
                _ => continue,
            };
            // The same stretch taped twice is a check, no way round.
            if at == goal.from && to == goal.to {
                continue;
            }
            let length = best[at].0 + span.length;
            if length < best[to].0 {
                best[to] = (length, at, best[at].2 + span.good_to * span.good_to);
            }
        }
    }
    let mut by = vec![goal.to];
    while let Some(before) = by.last().map(|last| best[*last].1).filter(|before| *before != usize::MAX) {
        by.push(before);
    }
    by.reverse();
    Some((best[goal.to].0, by, best[goal.to].2))
}
