//! Flags on joints of a border that are too close from one course to the next.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use lay::Board;
use site::Uv;

/// Places and directions this close are one, mm.
const TRUE: f64 = 0.1;
/// Directions are told apart in steps of this.
const TURN: f64 = 1e-6;

/// Where two boards of a course meet.
#[derive(Debug, Clone, Copy)]
struct Meeting {
    board: usize,
    /// Region and direction.
    way: (usize, i64, i64),
    /// Lower side of the course, square to its direction, and the joint's place along it, mm.
    base: f64,
    at: f64,
}

/// Flags border joints nearer than the least stagger to one of the course beside it.
pub(crate) fn courses(scene: &Scene, flags: &mut Vec<Flag>) {
    let (pitch, limit) = (scene.floor.pitch, scene.plan.rules.least_stagger);
    let mut all = meetings(scene);
    all.sort_by(|a, b| a.way.cmp(&b.way).then(a.base.total_cmp(&b.base)).then(a.at.total_cmp(&b.at)));
    for (index, low) in all.iter().enumerate() {
        let beside =
            all[index + 1..].iter().take_while(|m| m.way == low.way && m.base < low.base + pitch + TRUE);
        for high in beside.filter(|m| m.base > low.base + pitch - TRUE) {
            let apart = (high.at - low.at).abs();
            if apart < limit - 1e-6 {
                let board = &scene.floor.boards[high.board];
                flags.push(Flag {
                    kind: FlagKind::JointsClose,
                    severity: Severity::Fault,
                    subject: Subject::Board(high.board),
                    at: scene.site.frame.plan_from_row(board.at(high.at, high.base)),
                    place: scene.board_place(high.board),
                    figure: apart,
                    limit,
                    mend: format!("move its joint by {}", scene.length((limit - apart).ceil())),
                });
            }
        }
    }
}

fn meetings(scene: &Scene) -> Vec<Meeting> {
    let boards = &scene.floor.boards;
    let mut all = Vec::new();
    for run in &scene.floor.runs {
        let of_run = || run.boards.clone().filter(|index| boards[*index].in_border);
        for (left, right) in of_run().zip(of_run().skip(1)) {
            let (before, after): (&Board, &Board) = (&boards[left], &boards[right]);
            if (before.right - after.left).abs() < TRUE {
                let Uv { u, v } = after.along;
                let way = (after.region, (u / TURN).round() as i64, (v / TURN).round() as i64);
                all.push(Meeting { board: right, way, base: after.base, at: after.left });
            }
        }
    }
    all
}
