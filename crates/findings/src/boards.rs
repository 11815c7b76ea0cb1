//! Flags on single boards: slivers, thin legs, short ends.

use crate::scene::Scene;
use crate::width::{Strip, strips};
use crate::{Flag, FlagKind, Severity, Subject};
use lay::Board;
use site::Uv;

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
    let upright = |p: &Uv| {
        let (s, t) = board.place(*p);
        Uv::new(s, t)
    };
    let rings: Vec<Vec<Uv>> = board.outline.rings().map(|ring| ring.iter().map(upright).collect()).collect();
    let across = strips(&rings);
    let under = |limit: f64| across.iter().filter(move |s| s.least < limit - EXACT);
    let narrow_length: f64 = under(rules.least_rip).map(|s| s.to - s.from).sum();
    let widest = across.iter().map(|s| s.greatest).fold(0.0, f64::max);
    let narrowest = |a: &&Strip, b: &&Strip| a.least.total_cmp(&b.least);
    let point = |s: &Strip| board.at((s.from + s.to) / 2.0, s.middle);
    if narrow_length > board.length() / 2.0 || (widest < rules.least_rip && narrow_length > 0.0) {
        if let Some(strip) = under(rules.least_rip).min_by(narrowest) {
            flags.push(sliver(scene, index, strip.least, point(strip)));
        }
        return;
    }
    let turned: Vec<Vec<Uv>> =
        rings.iter().map(|ring| ring.iter().map(|p| Uv::new(-p.v, p.u)).collect()).collect();
    let along = strips(&turned);
    let leg_across = under(rules.least_leg).min_by(narrowest).map(|s| (s.least, point(s)));
    let leg_along = along
        .iter()
        .filter(|s| s.least < rules.least_leg - EXACT && s.to - s.from < board.width - EXACT)
        .min_by(narrowest)
        .map(|s| (s.least, board.at(s.middle, -(s.from + s.to) / 2.0)));
    let leg = [leg_across, leg_along].into_iter().flatten().min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((figure, at)) = leg {
        flags.push(Flag {
            kind: FlagKind::ThinLeg,
            severity: Severity::Look,
            subject: Subject::Board(index),
            at: scene.site.frame.plan_from_row(at),
            place: scene.board_place(index),
            figure,
            limit: rules.least_leg,
            mend: "cut the notch last and glue the leg down, or move the start line or a joint so that more wood stays beside the notch".into(),
        });
    }
}

fn sliver(scene: &Scene, index: usize, figure: f64, at: Uv) -> Flag {
    let limit = scene.plan.rules.least_rip;
    Flag {
        kind: FlagKind::Sliver,
        severity: Severity::Fault,
        subject: Subject::Board(index),
        at: scene.site.frame.plan_from_row(at),
        place: scene.board_place(index),
        figure,
        limit,
        mend: format!(
            "move the start line {} away from this edge, or take up the strip in the gap's play",
            scene.length((limit - figure).ceil())
        ),
    }
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
