//! Flags on how boards go in: none at all, or a gap too small for the lock.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use fit::{Fit, Motion, Part, Tight, WayIn, side_word};
use site::EdgeKind;
use std::collections::{BTreeMap, BTreeSet};

/// Gaps that are too small, with their boards: by the edge and the side of the boards that meets it.
type Tights = BTreeMap<((usize, usize), Part), Vec<(usize, Tight)>>;

/// Flags boards without a way in, each, and gaps that are too small, one flag for each edge and side.
pub(crate) fn fitting(scene: &Scene, fit: &Fit, flags: &mut Vec<Flag>) {
    let mut tight = Tights::new();
    // What does not get under a kick has its flag at the kick.
    let boards = fit.tucks.iter().flat_map(|tuck| &tuck.boards);
    let stuck: BTreeSet<usize> =
        boards.filter(|under| under.way.is_none()).map(|under| under.board).collect();
    for way in &fit.ways {
        if way.motion == Motion::Blocked && !stuck.contains(&way.board) {
            flags.push(blocked(scene, way));
        }
        for gap in &way.tight {
            tight.entry((gap.edge, gap.at.part)).or_default().push((way.board, *gap));
        }
    }
    flags.extend(tight.into_values().filter_map(|boards| tight_gap(scene, &boards)));
}

fn blocked(scene: &Scene, way: &WayIn) -> Flag {
    let under: f64 = way.under.iter().map(|at| (-at.gap).max(0.0)).sum();
    let astride = way.astride.iter().map(|between| between.reach).max_by(f64::total_cmp);
    let takes_off = |kind: EdgeKind| match kind {
        EdgeKind::Jamb => "the lining",
        EdgeKind::Kick => "the kick",
        _ => "what stands over it",
    };
    let mut off: Vec<String> = Vec::new();
    for at in &way.under {
        let one = format!("{} off {}", takes_off(at.kind), at.source.name(scene.plan));
        if !off.contains(&one) {
            off.push(one);
        }
    }
    let mend = match astride {
        Some(_) => format!(
            "it has a leg on both sides of {}: saw one off beside it and glue that in as a strip of its own, or move the \
             start line so that a row ends there",
            way.astride_of(scene.plan)
        ),
        None => format!(
            "take {}, cut the board in two beside it, or lay it loose before the row beside it and glue the joint",
            off.join(" or ")
        ),
    };
    Flag {
        cause: None,
        kind: FlagKind::NoWayIn,
        severity: Severity::Fault,
        subject: Subject::Board(way.board),
        at: scene.site.frame.plan_from_row(scene.floor.boards[way.board].middle()),
        place: scene.board_place(way.board),
        figure: astride.unwrap_or(under),
        limit: 0.0,
        mend,
    }
}

fn tight_gap(scene: &Scene, boards: &[(usize, Tight)]) -> Option<Flag> {
    let (first, worst) =
        boards.iter().min_by(|a, b| a.1.at.gap.total_cmp(&b.1.at.gap).then(a.0.cmp(&b.0)))?;
    let (which, joint) = match worst.at.part {
        Part::Left => ("an end", Part::Right),
        Part::Right => ("an end", Part::Left),
        Part::Groove => ("a side", Part::Tongue),
        Part::Tongue => ("a side", Part::Groove),
    };
    let count = match boards.len() {
        1 => "its board meets it".to_owned(),
        n => format!("{n} boards meet it"),
    };
    let all = boards.iter().map(|(board, _)| *board).collect();
    Some(Flag {
        cause: None,
        kind: FlagKind::TightGap,
        severity: Severity::Look,
        subject: Subject::Boards(all),
        at: scene.site.frame.plan_from_row(scene.floor.boards[*first].middle()),
        place: format!(
            "{}, at {} of {}",
            scene.board_place(*first),
            worst.at.kind.word(),
            worst.at.source.name(scene.plan)
        ),
        figure: worst.at.gap,
        limit: worst.need,
        mend: format!(
            "{count} with {which}: shave the {}, drop it in, glue and tape the joint; or keep a gap over {}",
            side_word(joint),
            scene.length(worst.need)
        ),
    })
}
