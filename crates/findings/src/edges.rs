//! Flags at edges: covers that hide too little, kicks that are too low, boards that do not get under one.

use crate::scene::Scene;
use crate::{Flag, FlagKind, Severity, Subject};
use fit::{Cover, CoveredBy, Fit, Tuck};
use plan::{FixtureKind, Lining, Point};
use site::{Region, Source, Uv};
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
                flags.push(low_kick(scene, tuck.fixture, tuck.clearance, tuck.at));
            }
        } else {
            flags.extend(no_way_under(scene, tuck));
        }
    }
    over_boards(scene, flags);
}

/// Flags kicks of which the site has no side, since the tucks from both meet: boards go on under them.
fn over_boards(scene: &Scene, flags: &mut Vec<Flag>) {
    let kicks = scene.plan.fixtures.iter().enumerate().filter_map(|(index, fixture)| match fixture.kind {
        FixtureKind::Kick { clearance, tuck } => Some((index, fixture, clearance, tuck)),
        _ => None,
    });
    let mut sides: Option<BTreeSet<usize>> = None;
    for (index, fixture, clearance, tuck) in kicks {
        let sides = sides.get_or_insert_with(|| {
            let edges = scene.site.regions.iter().flat_map(Region::edges);
            edges
                .filter_map(|edge| if let Source::Fixture(of) = edge.source { Some(of) } else { None })
                .collect()
        });
        let outline: Vec<Uv> = fixture.outline.iter().map(|p| scene.site.frame.row_from_plan(*p)).collect();
        let is_over = |p: &Uv| scene.site.regions.iter().any(|region| is_inside(region, *p));
        if sides.contains(&index) || !outline.iter().any(is_over) {
            continue;
        }
        let count = fixture.outline.len().max(1) as f64;
        let at = fixture.outline.iter().fold(Point::default(), |m, p| m.moved(p.x / count, p.y / count));
        let depth = narrowest(&outline);
        flags.push(Flag {
            cause: None,
            kind: FlagKind::OverBoards,
            severity: Severity::Look,
            subject: Subject::Thing(Source::Fixture(index)),
            at,
            place: fixture.name.clone(),
            figure: depth.min(2.0 * tuck),
            limit: 2.0 * tuck,
            mend: "boards go on under it from side to side, and how they get there is not reckoned: let them go under by less \
                   than half its depth, or fit it after the floor and see what carries it"
                .to_owned(),
        });
        if clearance - scene.plan.stock.build_up() < scene.plan.rules.levels.kick() - EXACT {
            flags.push(low_kick(scene, index, clearance, at));
        }
    }
}

/// Whether a point lies on a region's floor.
fn is_inside(region: &Region, p: Uv) -> bool {
    let crossed = region.edges().filter(|e| {
        (e.a.v <= p.v) != (e.b.v <= p.v) && e.a.u + (e.b.u - e.a.u) * (p.v - e.a.v) / (e.b.v - e.a.v) > p.u
    });
    crossed.count() % 2 == 1
}

/// The least distance from the middle of a side to what of the outline lies over against it, mm.
fn narrowest(outline: &[Uv]) -> f64 {
    let side = |i: usize| (outline[i], outline[(i + 1) % outline.len()]);
    let mut least = f64::INFINITY;
    for i in 0..outline.len() {
        let (a, b) = side(i);
        let (du, dv) = (b.u - a.u, b.v - a.v);
        let length = (du * du + dv * dv).sqrt();
        let middle = Uv::new(f64::midpoint(a.u, b.u), f64::midpoint(a.v, b.v));
        // Along the side, and square to it.
        let seen = |p: Uv| {
            let (u, v) = (p.u - middle.u, p.v - middle.v);
            ((u * du + v * dv) / length, (u * dv - v * du) / length)
        };
        for j in (0..outline.len()).filter(|j| *j != i) {
            let (p, q) = side(j);
            let ((s, off), (t, other)) = (seen(p), seen(q));
            if (s <= 0.0) != (t <= 0.0) {
                least = least.min((off + (other - off) * s / (s - t)).abs());
            }
        }
    }
    least
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

fn low_kick(scene: &Scene, fixture: usize, clearance: f64, at: Point) -> Flag {
    let least = scene.plan.stock.build_up() + scene.plan.rules.levels.kick();
    let needed = scene.length(least);
    Flag {
        cause: None,
        kind: FlagKind::LowKick,
        severity: Severity::Fault,
        subject: Subject::Thing(Source::Fixture(fixture)),
        at,
        place: Source::Fixture(fixture).name(scene.plan),
        figure: clearance,
        limit: least,
        mend: format!(
            "raise the kick to {needed} above the slab or undercut it, or stop the boards before it"
        ),
    }
}

/// The boards of a side that have no way under, first the one that needs the most room; of several the one laid last.
fn no_way_under(scene: &Scene, tuck: &Tuck) -> Option<Flag> {
    let mut stuck: Vec<_> = tuck.boards.iter().rev().filter(|under| under.way.is_none()).collect();
    stuck.sort_by(|a, b| b.tilt_needs.total_cmp(&a.tilt_needs));
    let worst = *stuck.first()?;
    let board = scene.floor.boards.get(worst.board)?;
    let more = if stuck.len() > 1 { format!(" and {} more", stuck.len() - 1) } else { String::new() };
    let lift = match worst.tilt_needs.is_finite() {
        true => format!("raise the kick to {} above the slab", scene.length(worst.tilt_needs.ceil())),
        false => "fit the kick after the floor".to_owned(),
    };
    Some(Flag {
        cause: None,
        kind: FlagKind::NoWayUnder,
        severity: Severity::Fault,
        subject: Subject::Boards(stuck.iter().map(|under| under.board).collect()),
        at: tuck.at,
        place: format!("{}, board {}{more}", Source::Fixture(tuck.fixture).name(scene.plan), board.label),
        figure: tuck.clearance,
        limit: if worst.tilt_needs.is_finite() { worst.tilt_needs } else { tuck.clearance },
        mend: format!(
            "{lift}, tuck less, or start the rows at this side so that boards are pushed under from open floor"
        ),
    })
}
