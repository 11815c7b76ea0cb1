//! Flags on single boards: slivers, thin legs, short ends.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use lay::{Board, Narrow, Outline};
use site::Uv;
use std::borrow::Cow;

/// Figures are held to limits to this accuracy, mm.
const EXACT: f64 = 0.05;

/// Flags slivers and thin legs by the width of the board's outline, whichever way it was cut.
pub(crate) fn narrow(scene: &Scene, index: usize, board: &Board, flags: &mut Vec<Flag>) {
    let rules = &scene.plan.rules;
    if !board.shaped {
        if board.width < rules.least_rip - EXACT {
            flags.push(sliver(scene, index, board.width, board.middle()));
        }
        return;
    }
    // Along the board, whichever way it lies.
    let upright = |ring: &Vec<Uv>| {
        ring.iter()
            .map(|p| {
                let (along, across) = board.place(*p);
                Uv::new(along, across)
            })
            .collect()
    };
    let lies_along_rows = (board.along.u, board.along.v) == (1.0, 0.0);
    let outline = match lies_along_rows {
        true => Cow::Borrowed(&board.outline),
        false => Cow::Owned(Outline {
            outer: upright(&board.outline.outer),
            holes: board.outline.holes.iter().map(upright).collect(),
        }),
    };
    let Some(Narrow { is_sliver, figure, at }) = lay::narrow(&outline, rules) else { return };
    let at = board.at(at.u, at.v);
    if is_sliver {
        flags.push(sliver(scene, index, figure, at));
    } else {
        flags.push(Flag {
            cause: None,
            kind: FlagKind::ThinLeg,
            severity: Severity::Look,
            subject: Subject::Board(index),
            at: scene.site.frame.plan_from_row(at),
            place: scene.board_place(index),
            figure,
            limit: rules.least_leg,
            mend: match line_lies(scene, index) {
                true => "cut the notch last and glue the leg down, or move a joint of a row to come so that more wood stays beside the notch".into(),
                false => "cut the notch last and glue the leg down, or move the start line or a joint so that more wood stays beside the notch".into(),
            },
        });
    }
}

fn sliver(scene: &Scene, index: usize, figure: f64, at: Uv) -> Flag {
    let limit = scene.plan.rules.least_rip;
    Flag {
        cause: None,
        kind: FlagKind::Sliver,
        severity: Severity::Fault,
        subject: Subject::Board(index),
        at: scene.site.frame.plan_from_row(at),
        place: scene.board_place(index),
        figure,
        limit,
        mend: match line_lies(scene, index) {
            // The line cannot move any more.
            true => format!(
                "the line lies: lay the rows to come so that they end {} further from this edge, as the step As laid says, take up the strip in the gap's play, or rip the row before it too, so that both are wide enough",
                scene.length((limit - figure).ceil())
            ),
            false => format!(
                "move the start line {} away from this edge, or take up the strip in the gap's play",
                scene.length((limit - figure).ceil())
            ),
        },
    }
}

/// Whether boards lie in a board's region.
fn line_lies(scene: &Scene, board: usize) -> bool {
    let region = scene.floor.boards.get(board).map(|board| board.region);
    region.is_some_and(|region| scene.line_lies.get(region) == Some(&true))
}

/// Flags starters and closers under the least. Where the run itself is no longer, or walls shape the end, there
/// is nothing to move, so it is only worth a look.
pub(crate) fn short_end(scene: &Scene, index: usize, board: &Board, flags: &mut Vec<Flag>) {
    let limit = scene.plan.rules.least_end;
    // Blocks aslant to the wall end in points of every length: those are looked at apart.
    if board.is_block() || !(board.starts_run || board.ends_run) || board.length() >= limit - EXACT {
        return;
    }
    let run = &scene.floor.runs[board.run];
    let can_grow = run.right - run.left >= limit && !board.shaped;
    flags.push(Flag {
        cause: None,
        kind: FlagKind::ShortEnd,
        severity: if can_grow { Severity::Fault } else { Severity::Look },
        subject: Subject::Board(index),
        at: scene.site.frame.plan_from_row(board.middle()),
        place: scene.board_place(index),
        figure: board.length(),
        limit,
        mend: if can_grow {
            format!(
                "lengthen it by {} and shorten its neighbour",
                scene.length((limit - board.length()).ceil())
            )
        } else {
            "the walls leave no more here: fix it well, and keep the grain with its neighbours".into()
        },
    });
}
