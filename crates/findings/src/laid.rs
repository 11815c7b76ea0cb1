//! What lies is a fact: flags on it say what is so, and where it and the drawing do not agree.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use lay::Misfit;

/// A laid board and the drawing agree to this, mm: less than a tape shows.
const AGREE: f64 = 1.0;

/// Flags laid boards that reach past the floor as drawn, and floor beside them that is bare.
pub(crate) fn misfits(scene: &Scene, flags: &mut Vec<Flag>) {
    let gap = scene.plan.rules.wall_gap;
    let play = gap.greatest - gap.least;
    for Misfit { board, over, bare } in &scene.floor.laid.misfits {
        if *over > AGREE {
            let over_words = scene.length((over * 10.0).round() / 10.0);
            let mend = format!(
                "the board lies {over_words} past where the plan ends it: measure what stands there and draw it as it is, or take the board up"
            );
            flags.push(flag(scene, FlagKind::LaidOver, (*board, *over), 0.0, mend));
        }
        if *bare > play + AGREE {
            let mend = "measure again and draw what stands there as it is, or take the board up and cut one that reaches";
            flags.push(flag(scene, FlagKind::LaidBare, (*board, *bare), play, mend.into()));
        }
    }
}

fn flag(scene: &Scene, kind: FlagKind, (board, figure): (usize, f64), limit: f64, mend: String) -> Flag {
    Flag {
        cause: None,
        kind,
        severity: Severity::Look,
        subject: Subject::Board(board),
        at: scene.site.frame.plan_from_row(scene.floor.boards[board].middle()),
        place: scene.board_place(board),
        figure,
        limit,
        mend,
    }
}

/// Flags that stand on laid boards alone are no faults any more: what lies can be left or taken up, not planned better.
pub(crate) fn settle(scene: &Scene, flags: &mut [Flag]) {
    let floor = scene.floor;
    if floor.laid.of_board.is_empty() {
        return;
    }
    let is_laid = |subject: &Subject| match subject {
        Subject::Board(board) => floor.is_laid(*board),
        Subject::Boards(boards) => boards.iter().all(|board| floor.is_laid(*board)),
        Subject::Joints(joints) => joints.iter().all(|joint| {
            floor.joints.get(*joint).is_some_and(|j| floor.is_laid(j.left) && floor.is_laid(j.right))
        }),
        Subject::Region(_) | Subject::Room(_) | Subject::Thing(_) => false,
    };
    let is_fact = |flag: &&mut Flag| {
        !matches!(flag.kind, FlagKind::LaidOver | FlagKind::LaidBare) && is_laid(&flag.subject)
    };
    for flag in flags.iter_mut().filter(is_fact) {
        flag.severity = Severity::Look;
        flag.mend = format!("it lies so: leave it, or take it up; for a row to come: {}", flag.mend);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use crate::{FlagKind, Severity};

    /// A floor of one room with all its boards taken for laid, and a wall moved afterwards.
    #[test]
    fn what_lies_is_said_and_not_blamed() {
        use lay::{LaidFloor, Misfit};
        let plan = crate::tests::plan();
        let site = site::survey(&plan);
        let fit = fit::Fit::default();
        let mut floor = crate::tests::rows(&[&[2000.0], &[2100.0]]);
        let before = crate::inspect(&plan, &site, &floor, &fit);
        assert!(before.iter().any(|flag| flag.severity == Severity::Fault), "{before:#?}");
        let count = floor.boards.len();
        let misfits = vec![
            Misfit { board: 0, over: 12.0, bare: 0.0 },
            Misfit { board: 1, over: 0.4, bare: 4.5 },
            Misfit { board: 2, over: 0.0, bare: 40.0 },
        ];
        floor.laid = LaidFloor { of_board: (0..count).map(Some).collect(), misfits, ..LaidFloor::default() };
        let after = crate::inspect(&plan, &site, &floor, &fit);
        let on_boards = |flag: &&crate::Flag| !matches!(flag.subject, crate::Subject::Region(_));
        assert!(after.iter().filter(on_boards).all(|flag| flag.severity == Severity::Look), "{after:#?}");
        // The gap's play of 4 may take up 4.5 less a tape's millimetre; 12 over and 40 bare are seen.
        let of =
            |kind| after.iter().filter(|flag| flag.kind == kind).map(|flag| flag.figure).collect::<Vec<_>>();
        assert_eq!((of(FlagKind::LaidOver), of(FlagKind::LaidBare)), (vec![12.0], vec![40.0]));
        assert_eq!(after.len(), before.len() + 2);
    }
}
