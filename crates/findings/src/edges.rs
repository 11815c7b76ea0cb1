//! Flags at edges: covers that hide too little, kicks that are too low, boards that do not get under one.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use fit::{Cover, CoveredBy, Fit, Tuck};
use plan::Lining;
use site::Source;
use std::collections::BTreeSet;

/// Figures are held to limits to this accuracy, mm.
const EXACT: f64 = 0.05;

/// Flags covers and tucks.
pub(crate) fn edges(scene: &Scene, fit: &Fit, flags: &mut Vec<Flag>) {
    let least = scene.plan.rules.cover.least();
    for cover in &fit.covers {
        if let Some(left) = cover.left().filter(|left| *left < least - EXACT) {
            flags.push(little_cover(scene, cover, left, least));
        }
    }
    // Both jambs of a doorway are one thing to do.
    let mut bare = BTreeSet::new();
    for cover in fit.covers.iter().filter(|cover| cover.by == CoveredBy::BeforeLining) {
        if is_lining_fitted(scene, cover.source) && bare.insert(cover.source) {
            flags.push(bare_jamb(scene, cover, least));
        }
    }
    let mut low = BTreeSet::new();
    for tuck in &fit.tucks {
        let play = scene.plan.rules.levels.kick();
        if tuck.room_over() < play - EXACT {
            // Said once for each kick, whatever its sides.
            if low.insert(tuck.fixture) {
                flags.push(low_kick(scene, tuck, play));
            }
        } else {
            flags.extend(no_way_under(scene, tuck));
        }
    }
}

fn little_cover(scene: &Scene, cover: &Cover, left: f64, least: f64) -> Flag {
    let needed = scene.length((cover.needed(least) * 10.0).round() / 10.0);
    let narrower = scene.length(((least - left) * 10.0).round() / 10.0);
    let cause = match (cover.by, cover.reach) {
        (CoveredBy::Kick | CoveredBy::Lining, _) | (_, None) => None,
        (by, Some(reach)) => Some(format!("{} {} {}", by.word(), scene.length(reach), by.measured())),
    };
    let mend = match cover.by {
        CoveredBy::Kick | CoveredBy::Lining => format!("let the boards go under by {needed} or more"),
        by => {
            format!("take {} {needed} {} or more, or make the gap {narrower} less", by.word(), by.measured())
        }
    };
    Flag {
        cause,
        kind: FlagKind::LittleCover,
        severity: Severity::Fault,
        subject: Subject::Thing(cover.source),
        at: cover.at,
        place: cover.source.name(scene.plan),
        figure: left,
        limit: least,
        mend,
    }
}

fn is_lining_fitted(scene: &Scene, source: Source) -> bool {
    match source {
        Source::Doorway(index) => {
            scene.plan.doorways.get(index).is_some_and(|doorway| doorway.lining == Lining::Fitted)
        }
        _ => false,
    }
}

fn bare_jamb(scene: &Scene, cover: &Cover, least: f64) -> Flag {
    let under = scene.length((cover.needed_under(least) * 10.0).round() / 10.0);
    Flag {
        kind: FlagKind::BareJamb,
        severity: Severity::Look,
        cause: None,
        subject: Subject::Thing(cover.source),
        at: cover.at,
        place: cover.source.name(scene.plan),
        figure: cover.greatest_gap,
        limit: 0.0,
        mend: format!(
            "undercut its lining and let the boards go under it by {under} or more, or give the gap a bead"
        ),
    }
}

fn low_kick(scene: &Scene, tuck: &Tuck, play: f64) -> Flag {
    let needed = scene.length(tuck.build_up + play);
    Flag {
        cause: None,
        kind: FlagKind::LowKick,
        severity: Severity::Fault,
        subject: Subject::Thing(Source::Fixture(tuck.fixture)),
        at: tuck.at,
        place: Source::Fixture(tuck.fixture).name(scene.plan),
        figure: tuck.clearance,
        limit: tuck.build_up + play,
        mend: format!(
            "raise the kick to {needed} above the slab or undercut it, or stop the boards before it"
        ),
    }
}

/// The board of a side that needs the most room and has no way under.
fn no_way_under(scene: &Scene, tuck: &Tuck) -> Option<Flag> {
    let stuck = tuck.boards.iter().filter(|under| under.way.is_none());
    let count = stuck.clone().count();
    let worst = stuck.max_by(|a, b| a.tilt_needs.total_cmp(&b.tilt_needs))?;
    let board = scene.floor.boards.get(worst.board)?;
    let more = if count > 1 { format!(" and {} more", count - 1) } else { String::new() };
    let lift = match worst.tilt_needs.is_finite() {
        true => format!("raise the kick to {} above the slab", scene.length(worst.tilt_needs.ceil())),
        false => "fit the kick after the floor".to_owned(),
    };
    Some(Flag {
        cause: None,
        kind: FlagKind::NoWayUnder,
        severity: Severity::Fault,
        subject: Subject::Board(worst.board),
        at: tuck.at,
        place: format!("{}, board {}{more}", Source::Fixture(tuck.fixture).name(scene.plan), board.label),
        figure: tuck.clearance,
        limit: if worst.tilt_needs.is_finite() { worst.tilt_needs } else { tuck.clearance },
        mend: format!(
            "{lift}, tuck less, or start the rows at this side so that boards are pushed under from open floor"
        ),
    })
}
