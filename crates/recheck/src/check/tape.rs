//! How far the tape may be out: what the endangered edges stand, and what the safest line does.

use super::Scene;
use super::chains::Lengths;
use super::lines::{Along, TRUE};
use super::worth::{carried, short, worst};
use crate::report::{Promise, Report};
use crate::result::{Endangered, Rip};

/// Figures that follow from one another, mm.
const EXACT: f64 = 1e-6;
/// Edges that fail within so many times the first one's error are named, and no more than so many (docs/rules.md).
const NEARLY: f64 = 1.5;
const NAMED: usize = 4;
/// Walls within this of along or across the rows, sine.
const SQUARE: f64 = 1e-9;
/// Lines are told apart in hundredths.
const TIE: f64 = 0.011;
/// Lines that leave no more than this beyond the least length under the least rip leave as little, mm (docs/rules.md).
const AS_LITTLE: f64 = 1.0;
/// Lines tried, evenly over a board's width, beside those at which an edge begins or ceases to keep the least rip.
const TRIED: usize = 200;

pub(super) fn check(scene: &Scene, edges: &[Option<Along>], report: &mut Report) {
    let set = &scene.house.setout;
    if edges.len() != set.chosen.rips.len() || edges.is_empty() {
        return;
    }
    let robust = &set.robust;
    let name = || "the tape".to_owned();
    let first = robust.endangered.first().map(|edge| edge.stands);
    report.hold(Promise::Tape, first == robust.stands, || {
        (name(), format!("{:?} stands, the first edge {first:?}", robust.stands))
    });
    let in_order = robust.endangered.windows(2).all(|pair| pair[0].stands <= pair[1].stands);
    let all_near =
        robust.endangered.iter().all(|edge| edge.stands <= first.unwrap_or(0.0) * NEARLY + 2.0 * EXACT);
    report.hold(Promise::Tape, in_order && all_near && robust.endangered.len() <= NAMED, || {
        (name(), "edges that fail are not the first few, worst first".into())
    });
    let rips: Vec<(&Rip, Option<&Along>)> =
        set.chosen.rips.iter().zip(edges.iter().map(Option::as_ref)).collect();
    let lengths = set.line.as_ref().map(|line| Lengths::of(scene, line));
    for edge in &robust.endangered {
        endangered(scene, report, edge, &rips);
        if let Some(lengths) = &lengths {
            on_its_way(scene, report, edge, (&rips, lengths));
        }
    }
    // The pull alone may be out by as much, so no edge stands more than it may be off.
    let (least, tolerance) = (scene.plan.rules.least_rip, scene.plan.rules.line_tolerance);
    let stands = |(rip, edge): (&Rip, &Along), offset: f64, error: f64| {
        worst(scene, edge, rip, offset, tolerance + 2.0 * TRUE).low < least
            || worst(scene, edge, rip, offset, error - TRUE).high >= least
    };
    let known = || rips.iter().filter_map(|(rip, edge)| Some((*rip, (*edge)?)));
    if let Some(error) = robust.stands {
        let line = |edge: &Along| edge.own_line(scene).unwrap_or(set.chosen.offset);
        // What adds up on its way at the least; a region with its own line is pulled from elsewhere.
        let adds_up = |rip: &Rip, edge: &Along| {
            let all = lengths.as_ref().filter(|_| edge.own_line(scene).is_none());
            all.and_then(|all| all.factors(&rip.edge, &rip.place).first().copied()).unwrap_or(1.0)
        };
        let bad = known().find(|(rip, edge)| !stands((*rip, *edge), line(edge), error * adds_up(rip, edge)));
        report.hold(Promise::Tape, bad.is_none(), || {
            (name(), format!("{error} is said to be stood, not by {}", bad.map_or("", |(rip, _)| &rip.place)))
        });
    }
    if let Some(safest) = &robust.safest {
        let shared = known().filter(|(_, edge)| edge.own_line(scene).is_none());
        let bad = shared.into_iter().find(|edge| !stands(*edge, safest.offset, safest.stands));
        report.hold(Promise::Tape, bad.is_none(), || {
            let place = bad.map_or("", |(rip, _)| &rip.place);
            (name(), format!("the safest line is said to stand {}, not at {place}", safest.stands))
        });
        is_safest(scene, report, edges);
    }
}

/// What one edge may be off against the line, and the lengths between it and the pull.
fn endangered(scene: &Scene, report: &mut Report, edge: &Endangered, rips: &[(&Rip, Option<&Along>)]) {
    let (set, rules) = (&scene.house.setout, &scene.plan.rules);
    let name = format!("{} `{}`", edge.edge, edge.place);
    let is_it = |rip: &Rip| rip.place == edge.place && rip.edge == edge.edge;
    let mut its = rips.iter().filter(|(rip, _)| is_it(rip));
    let holds = its.any(|(rip, along)| {
        along.is_none_or(|along| {
            let offset = along.own_line(scene).unwrap_or(set.chosen.offset);
            worst(scene, along, rip, offset, edge.slack - TRUE).high >= rules.least_rip
                && worst(scene, along, rip, offset, edge.slack + TRUE).low < rules.least_rip
        })
    });
    report.hold(Promise::Tape, holds && edge.slack >= rules.line_tolerance - TRUE, || {
        (name.clone(), format!("it is said to fail when it is off by {}", edge.slack))
    });
    let pulls = set.line.iter().flat_map(|line| &line.pulls);
    let mut names = pulls.map(|pull| format!("the pull from {}, corner {}", pull.room, pull.wall));
    let from_pull = edge.lengths.first().is_some_and(|first| names.any(|name| name == *first));
    report.hold(Promise::Tape, from_pull || scene.house.regions.len() > 1, || {
        (name.clone(), format!("no pull begins {:?}", edge.lengths))
    });
    // Where everything is square to the rows each length counts once.
    if is_square(scene) {
        let stands = edge.slack / edge.lengths.len() as f64;
        report.same(Promise::Tape, &name, "the error it stands", edge.stands, stands, EXACT);
    }
}

/// The lengths named between the pulls and an edge are those of the shortest way, and its error is shared out by it.
fn on_its_way(
    scene: &Scene,
    report: &mut Report,
    edge: &Endangered,
    (rips, lengths): (&[(&Rip, Option<&Along>)], &Lengths),
) {
    let has_own = scene.house.setout.regions.iter().any(|region| region.has_own);
    let mut its = rips.iter().filter(|(rip, _)| rip.place == edge.place && rip.edge == edge.edge);
    // What hangs on a line of its own is pulled from where that is snapped, which is not told.
    let is_shared =
        !has_own || its.all(|(_, along)| along.is_some_and(|along| along.own_line(scene).is_none()));
    // A movement joint is marked from the line.
    if !is_shared || edge.edge == "movement joint" {
        return;
    }
    let name = format!("{} `{}`", edge.edge, edge.place);
    let factors = lengths.factors(&edge.edge, &edge.place);
    let is_it = |factor: &f64| (edge.stands * factor - edge.slack).abs() <= EXACT * factor.max(1.0);
    let found = factors.iter().copied().find(is_it);
    report.hold(Promise::Tape, found.is_some(), || {
        let what = format!(
            "{} of it is stood for {}: {} add up, on the shortest way {factors:?}",
            edge.stands,
            edge.slack,
            edge.slack / edge.stands
        );
        (name.clone(), what)
    });
    let ways = lengths.ways(&edge.edge, &edge.place, &edge.lengths);
    report.hold(Promise::Tape, found.is_none() || ways.iter().any(is_it), || {
        (name.clone(), format!("{:?} is no shortest way: {ways:?}, {factors:?}", edge.lengths))
    });
}

/// Whether all walls and fixtures run along or across the rows.
fn is_square(scene: &Scene) -> bool {
    let rooms = scene.plan.rooms.iter();
    let walls = rooms.map(|room| room.walls.iter().map(|wall| wall.corner).collect::<Vec<_>>());
    let fixtures = scene.plan.fixtures.iter().map(|fixture| fixture.outline.clone());
    let straight = scene.plan.rooms.iter().all(|room| room.walls.iter().all(|wall| wall.bow.is_empty()));
    straight
        && walls.chain(fixtures).all(|ring| {
            (0..ring.len()).all(|i| {
                let [a, b] = [ring[i], ring[(i + 1) % ring.len()]].map(|(x, y)| scene.turn.rows([x, y]));
                let (du, dv) = ((b.x - a.x).abs(), (b.y - a.y).abs());
                du.min(dv) <= SQUARE * du.max(dv)
            })
        })
}

/// Lines over a board's width, and those at which an edge begins or ceases to keep the least rip within the tolerance.
fn tried(scene: &Scene, edges: &[(&Rip, Option<&Along>)]) -> Vec<f64> {
    let (pitch, rules) = (scene.house.setout.pitch, &scene.plan.rules);
    let mut all: Vec<f64> = (0..TRIED).map(|i| pitch * i as f64 / TRIED as f64).collect();
    for (rip, edge) in edges.iter().filter_map(|(rip, edge)| Some((rip, (*edge)?))) {
        let narrow = rules.least_rip + rip.hidden;
        for height in [edge.low, edge.high] {
            for by in [-narrow, -rip.most_play, 0.0, rip.most_play, narrow] {
                let at = [-1.0, 0.0, 1.0].map(|side| height + by + side * (rules.line_tolerance + TRUE));
                all.extend(at.map(|at| at.rem_euclid(pitch)));
            }
        }
    }
    all
}

/// No line leaves less length under the least rip as it is seen, by a millimetre; and the one in use, where it leaves as little,
/// stands no more.
fn is_safest(scene: &Scene, report: &mut Report, edges: &[Option<Along>]) {
    let set = &scene.house.setout;
    let (Some(safest), Some(carried)) = (&set.robust.safest, carried(scene, &set.chosen, edges)) else {
        return;
    };
    let found = short(scene, &carried, safest.offset, |rip| rip.weight);
    let slack = TIE * (1 + carried.len()) as f64;
    let other = |offset: &f64| short(scene, &carried, *offset, |rip| rip.weight).high;
    let lines = tried(scene, &carried);
    let best = lines.iter().copied().min_by(|a, b| other(a).total_cmp(&other(b)));
    if let Some(best) = best {
        report.hold(Promise::Tape, found.low <= other(&best) + AS_LITTLE + slack, || {
            let what = format!("it leaves {} short, a line at {best} {}", found.low, other(&best));
            ("the safest line".into(), what)
        });
    }
    for line in set.lines.iter().chain([&set.chosen]) {
        report.hold(Promise::Tape, found.low <= line.value.short + AS_LITTLE + slack, || {
            let what =
                format!("it leaves {} short, the line at {} {}", found.low, line.offset, line.value.short);
            ("the safest line".into(), what)
        });
    }
    let least =
        best.map_or(found.low, |best| found.low.min(short(scene, &carried, best, |rip| rip.weight).low));
    let as_little = set.chosen.value.short <= least + AS_LITTLE;
    let stands = set.robust.stands.unwrap_or(0.0);
    report.hold(Promise::Tape, !as_little || safest.stands >= stands - TIE, || {
        ("the safest line".into(), format!("it stands {}, the line in use {stands}", safest.stands))
    });
}
