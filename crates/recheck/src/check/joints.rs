//! End joints found on the boards, held to the list and to the rules.

use super::{Scene, extent};
use crate::plan::Pattern;
use crate::report::{Promise, Report};
use std::collections::{BTreeMap, BTreeSet};

/// Ends meet within this, mm.
const MEET: f64 = 0.001;
/// A joint reaches a row line within this, mm: a board so much wider than its place is laid as it is sold.
const REACH: f64 = 0.1;
/// Nearer to a limit than this, either side is right, mm.
const EDGE: f64 = 0.001;
/// Steps over this are no stairs, mm.
const STAIR_STEP: f64 = 900.0;

/// A joint found: where along the rows, its extent across them, the boards that meet.
#[derive(Debug, Clone, Copy)]
struct Found {
    u: f64,
    low: f64,
    high: f64,
    boards: [usize; 2],
}

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let rows = found(scene);
    let all: BTreeMap<[usize; 2], Found> =
        rows.values().flatten().map(|joint| (joint.boards, *joint)).collect();
    let mut listed = BTreeSet::new();
    for joint in &scene.house.joints {
        let (a, b) = (scene.turn.rows(joint.from), scene.turn.rows(joint.to));
        let label = |board: usize| scene.house.boards[board].label.as_str();
        let place = format!("{} and {}", label(joint.boards[0]), label(joint.boards[1]));
        let at = all.get(&joint.boards);
        let holds = at.is_some_and(|at| (at.u - a.x).abs() <= MEET && (at.u - b.x).abs() <= MEET);
        report.hold(Promise::Joints, holds, || (place, format!("no joint there: found {at:?}")));
        listed.insert(joint.boards);
    }
    for (boards, joint) in &all {
        report.hold(Promise::Joints, listed.contains(boards), || {
            (
                scene.house.boards[boards[0]].label.clone(),
                format!("a joint at {} that is not listed", joint.u),
            )
        });
    }
    staggers(scene, report, &rows);
}

/// Joints by region and row, found on the boards: ends of two boards of one run against one another.
fn found(scene: &Scene) -> BTreeMap<(usize, i64), Vec<Found>> {
    let mut runs: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (index, board) in scene.house.boards.iter().enumerate().filter(|(_, board)| board.is_in_row()) {
        runs.entry(board.run).or_default().push(index);
    }
    let mut rows: BTreeMap<(usize, i64), Vec<Found>> = BTreeMap::new();
    for boards in runs.into_values() {
        // Where walls part a run lengthways, two pieces may end against one board.
        let pairs = boards.iter().flat_map(|left| boards.iter().map(move |right| (*left, *right)));
        for (left, right) in pairs.filter(|(left, right)| left != right) {
            let (a, b) = (&scene.rows[left], &scene.rows[right]);
            let u = extent(a).0[1];
            if (extent(b).0[0] - u).abs() > MEET {
                continue;
            }
            // Where their upright sides lie against one another.
            let sides = |polygon: &geo::Polygon| -> Vec<[f64; 2]> {
                let lines = polygon
                    .exterior()
                    .lines()
                    .filter(|l| (l.start.x - u).abs() <= MEET && (l.end.x - u).abs() <= MEET);
                lines.map(|l| [l.start.y.min(l.end.y), l.start.y.max(l.end.y)]).collect()
            };
            let mut shared: Option<[f64; 2]> = None;
            for one in sides(a) {
                for other in sides(b) {
                    let (low, high) = (one[0].max(other[0]), one[1].min(other[1]));
                    if high - low > MEET {
                        let now = shared.unwrap_or([low, high]);
                        shared = Some([now[0].min(low), now[1].max(high)]);
                    }
                }
            }
            let Some([low, high]) = shared else { continue };
            let board = &scene.house.boards[left];
            rows.entry((board.region, board.row)).or_default().push(Found {
                u,
                low,
                high,
                boards: [left, right],
            });
        }
    }
    rows
}

/// Joints too close, in line and stepping are flagged, and what is flagged is so.
fn staggers(scene: &Scene, report: &mut Report, rows: &BTreeMap<(usize, i64), Vec<Found>>) {
    let rules = &scene.plan.rules;
    let flags = |kind: &str| -> BTreeSet<Vec<usize>> {
        scene.house.flags.iter().filter(|flag| flag.kind == kind).map(|flag| sorted(&flag.boards)).collect()
    };
    let above = |region: usize, row: i64| rows.get(&(region, row)).map_or(&[][..], Vec::as_slice);
    let (mut close, mut sure) = (BTreeSet::new(), BTreeSet::new());
    let mut h_joints = BTreeSet::new();
    let mut stairs = BTreeSet::new();
    let mut looked = 0;
    for ((region, row), here) in rows {
        for joint in here {
            for next in above(*region, row + 1) {
                looked += 1;
                // Both reach the line between the rows; where boards meet there the joints touch it.
                if (joint.high - next.low).abs() <= REACH {
                    let apart = (next.u - joint.u).abs();
                    if apart < rules.least_stagger + EDGE {
                        close.insert(sorted(&[joint.boards, next.boards].concat()));
                    }
                    if apart < rules.least_stagger - EDGE {
                        sure.insert(sorted(&[joint.boards, next.boards].concat()));
                    }
                }
            }
            for next in above(*region, row + 2) {
                if (next.u - joint.u).abs() <= rules.in_line + EDGE {
                    let sure = (next.u - joint.u).abs() <= rules.in_line - EDGE;
                    h_joints.insert((sorted(&[joint.boards, next.boards].concat()), sure));
                }
            }
            for one in above(*region, row + 1) {
                let step = one.u - joint.u;
                if step.abs() > STAIR_STEP + EDGE || step.abs() <= rules.in_line - EDGE {
                    continue;
                }
                for two in above(*region, row + 2) {
                    for three in above(*region, row + 3) {
                        let (a, b) = ((two.u - one.u - step).abs(), (three.u - two.u - step).abs());
                        if a.max(b) <= rules.in_line + EDGE {
                            stairs.insert(sorted(
                                &[joint.boards, one.boards, two.boards, three.boards].concat(),
                            ));
                        }
                    }
                }
            }
        }
    }
    let flagged = flags("joints-close");
    let neighbours = rows.keys().any(|(region, row)| rows.contains_key(&(*region, row + 1)));
    report.hold(Promise::Staggers, looked > 0 || !neighbours, || {
        ("the house".into(), "no two joints could be compared".into())
    });
    let label = |boards: &[usize]| {
        boards.iter().map(|board| scene.house.boards[*board].label.as_str()).collect::<Vec<_>>().join(", ")
    };
    for boards in &sure {
        report.hold(Promise::Staggers, flagged.contains(boards), || {
            (label(boards), format!("nearer than {} and not flagged", rules.least_stagger))
        });
    }
    let in_rows = |boards: &[usize]| boards.iter().all(|board| scene.house.boards[*board].is_in_row());
    for boards in flagged.iter().filter(|boards| in_rows(boards)) {
        report.hold(Promise::Staggers, close.contains(boards), || {
            (label(boards), "flagged as close and is not".into())
        });
    }
    if scene.plan.pattern != Pattern::Irregular {
        return;
    }
    let flagged = flags("h-joint");
    for (boards, _) in h_joints.iter().filter(|(_, sure)| *sure) {
        report.hold(Promise::Staggers, flagged.contains(boards), || {
            (label(boards), "an H joint that is not flagged".into())
        });
    }
    let found: BTreeSet<&Vec<usize>> = h_joints.iter().map(|(boards, _)| boards).collect();
    for boards in flagged.iter().filter(|boards| in_rows(boards)) {
        report.hold(Promise::Staggers, found.contains(boards), || {
            (label(boards), "flagged as an H joint and is none".into())
        });
    }
    for boards in flags("stairs").iter().filter(|boards| in_rows(boards)) {
        report.hold(Promise::Staggers, stairs.contains(boards), || {
            (label(boards), "flagged as stairs and are none".into())
        });
    }
}

fn sorted(boards: &[usize]) -> Vec<usize> {
    let mut boards = boards.to_vec();
    boards.sort_unstable();
    boards
}
