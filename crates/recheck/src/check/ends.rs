//! Short starters and closers and slivers have their flags, and those flags stand on such boards.

use super::{Scene, extent};
use crate::report::{Promise, Report};
use geo::{Line, Polygon};
use std::collections::BTreeMap;

/// Figures are held to limits to this accuracy, mm: docs/rules.md, Flags.
const EXACT: f64 = 0.05;
/// Sides that slope by more than this against the rows hold no strip between them, and stretches no longer than that, mm, are corners
/// (docs/rules.md, Flags).
const SLOPE: f64 = 0.1;
const CORNER: f64 = 2.0;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let house = scene.house;
    let rules = &scene.plan.rules;
    let flagged =
        |kind: &str, board: usize| house.flags.iter().any(|flag| flag.kind == kind && flag.boards == [board]);
    let mut runs: BTreeMap<usize, [usize; 2]> = BTreeMap::new();
    let left_of = |board: usize| extent(&scene.rows[board]).0[0];
    for (index, _) in house.boards.iter().enumerate().filter(|(_, board)| board.is_in_row()) {
        let ends = runs.entry(house.boards[index].run).or_insert([index, index]);
        if left_of(index) < left_of(ends[0]) {
            ends[0] = index;
        }
        if left_of(index) > left_of(ends[1]) {
            ends[1] = index;
        }
    }
    for ends in runs.values() {
        for board in ends {
            let ([left, right], _) = extent(&scene.rows[*board]);
            if right - left < rules.least_end - EXACT - 0.01 {
                report.hold(Promise::Ends, flagged("short-end", *board), || {
                    (
                        house.boards[*board].label.clone(),
                        format!("an end of {} that is not flagged", right - left),
                    )
                });
            }
        }
    }
    for (index, board) in house.boards.iter().enumerate().filter(|(_, board)| board.is_in_row()) {
        let (_, [low, high]) = extent(&scene.rows[index]);
        // One nowhere as wide as the least rip is a sliver, but for points, as rows aslant to a wall end in.
        if high - low < rules.least_rip - EXACT - 0.01 && has_strip(&scene.rows[index]) {
            let kinds = ["sliver", "thin-leg", "short-end"];
            report.hold(Promise::Ends, kinds.iter().any(|kind| flagged(kind, index)), || {
                (board.label.clone(), format!("a rip of {} that is not flagged", high - low))
            });
        }
    }
    for flag in &house.flags {
        let (limit, figure) = match flag.kind.as_str() {
            "short-end" => (rules.least_end, Some(0)),
            "sliver" => (rules.least_rip, None),
            _ => continue,
        };
        report.hold(Promise::Ends, flag.figure < limit, || {
            (flag.place.clone(), format!("{} flagged, and {} is not under {limit}", flag.kind, flag.figure))
        });
        if let (Some(_), [board]) = (figure, flag.boards.as_slice())
            && house.boards[*board].is_in_row()
        {
            let ([left, right], _) = extent(&scene.rows[*board]);
            report.same(Promise::Ends, &flag.place, "the end's length", flag.figure, right - left, EXACT);
        }
    }
    report.hold(Promise::Ends, true, || (String::new(), String::new()));
}

/// Whether somewhere between two corners a board lies between sides that run along the rows.
fn has_strip(board: &Polygon) -> bool {
    let sides = || board.exterior().lines().chain(board.interiors().iter().flat_map(geo::LineString::lines));
    let mut corners: Vec<f64> = sides().map(|side| side.start.x).collect();
    corners.sort_by(f64::total_cmp);
    corners.windows(2).filter(|pair| pair[1] - pair[0] > CORNER).any(|pair| {
        let middle = (pair[0] + pair[1]) / 2.0;
        let mut over: Vec<Line> =
            sides().filter(|side| (side.start.x - middle) * (side.end.x - middle) < 0.0).collect();
        let at = |side: &Line| side.start.y + side.slope() * (middle - side.start.x);
        over.sort_by(|a, b| at(a).total_cmp(&at(b)));
        over.chunks_exact(2).any(|pair| pair.iter().all(|side| side.slope().abs() <= SLOPE))
    })
}
