//! What covers the gap at every edge, and what is left of it where the gap is widest; boards under kicks.

use super::Scene;
use super::gaps::{is_across, is_along_rows, thing};
use crate::plan::{FixtureKind, Range, Skirting};
use crate::report::{Promise, Report};
use crate::result::{Cover, Edge};
use geo::{Coord, Line};
use std::collections::BTreeMap;

/// Figures follow from others given in full, mm.
const EXACT: f64 = 1e-6;
/// A gap that was made wider is measured on the drawing: an edge that turned to heal a jog lies off by as much at an end, mm
/// (docs/rules.md).
const MEASURED: f64 = 0.21;
/// Lengths of edges follow from their corners, mm.
const LENGTH: f64 = 1e-3;
/// A cover is held to its limit so, mm (docs/rules.md).
const LIMIT: f64 = 0.05;
/// What must be left of a cover, how far a cut may be off, room over boards under a kick, mm, where the plan gives none
/// (docs/plan-format.md).
const LEAST: f64 = 3.0;
const TOLERANCE: f64 = 1.0;
const KICK: f64 = 1.0;

/// A cover found: reach, greatest gap, shrinkage.
#[derive(Debug, Clone, Copy)]
struct Found {
    reach: Option<f64>,
    least: f64,
    greatest: f64,
    widest: f64,
    length: f64,
    /// An edge of it lies so near to 45° to the rows that boards may meet it as ends or as sides.
    is_either: bool,
    /// One of its gaps was made wider: how far it lies off its thing is measured on the drawing.
    is_eased: bool,
}

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let Some(edges) = &scene.house.edges else { return };
    let (found, wider) = (found(scene, f64::min), found(scene, f64::max));
    let key = |place: &str, edge: &str, by: &str| (place.to_owned(), edge.to_owned(), by.to_owned());
    for cover in &edges.covers {
        let name = format!("{} `{}`, {}", cover.edge, cover.place, cover.by);
        let Some(one) = found.get(&key(&cover.place, &cover.edge, &cover.by)) else {
            report.hold(Promise::Covers, false, || (name, "no such edge is so covered".into()));
            continue;
        };
        if let (true, Some(other)) = (one.is_either, wider.get(&key(&cover.place, &cover.edge, &cover.by))) {
            either(report, &name, cover, [one, other]);
            continue;
        }
        let mut same = |what: &str, said: f64, found: f64, within: f64| {
            report.same(Promise::Covers, &name, what, said, found, within);
        };
        let exact = if one.is_eased { MEASURED } else { EXACT };
        same("least gap", cover.gap[0], one.least, exact);
        same("greatest gap", cover.gap[1], one.greatest, exact);
        same("the widest it becomes", cover.widest, one.widest, exact);
        same("length", cover.length, one.length, LENGTH);
        let left = one.reach.map(|reach| reach - one.widest);
        let near = |said: Option<f64>, found: Option<f64>| match (said, found) {
            (Some(said), Some(found)) => (said - found).abs() <= exact,
            (said, found) => said.is_none() && found.is_none(),
        };
        report.hold(Promise::Covers, near(cover.left, left) && near(cover.reach, one.reach), || {
            (
                name.clone(),
                format!("{:?} left of {:?}, found {left:?} of {:?}", cover.left, cover.reach, one.reach),
            )
        });
        let least = scene.plan.rules.cover.least.unwrap_or(LEAST);
        if let Some(left) = left.filter(|left| (left - least + LIMIT).abs() > exact) {
            let mut flags = scene.house.flags.iter().filter(|flag| flag.kind == "little-cover");
            let is_flagged =
                flags.any(|flag| flag.place == cover.place && (flag.figure - left).abs() <= exact);
            let is_little = left < least - LIMIT;
            report.hold(Promise::Covers, is_flagged == is_little || !is_little, || {
                (name, format!("{left} is left and not flagged"))
            });
        }
    }
    for (place, edge, by) in found.keys() {
        let is_told = edges.covers.iter().any(|c| (&c.place, &c.edge, &c.by) == (place, edge, by));
        report.hold(Promise::Covers, is_told, || (format!("{edge} `{place}`"), format!("{by}: not told")));
    }
    kicks(scene, report);
}

/// A cover of an edge at 45° to the rows, where boards may meet it as ends or as sides: its figures are those of the one or
/// the other, or lie between where it has several edges.
fn either(report: &mut Report, name: &str, cover: &Cover, [low, high]: [&Found; 2]) {
    let mut between = |what: &str, said: f64, low: f64, high: f64| {
        report.hold(Promise::Covers, said >= low - EXACT && said <= high + EXACT, || {
            (name.to_owned(), format!("{what}: the result says {said}, found {low} to {high}"))
        });
    };
    between("least gap", cover.gap[0], low.least, high.least);
    between("greatest gap", cover.gap[1], low.greatest, high.greatest);
    between("the widest it becomes", cover.widest, low.widest, high.widest);
    between("length", cover.length, low.length - LENGTH, high.length + LENGTH);
    let left = |found: &Found| found.reach.map(|reach| reach - found.widest);
    if let (Some(most), Some(least), true) = (left(low), left(high), low.reach == high.reach) {
        between("what is left", cover.left.unwrap_or(f64::NAN), least, most);
    }
}

/// What covers an edge's gap: the words for it, and how far that reaches; `None` where boards end without a gap.
fn covered(scene: &Scene, edge: &Edge) -> Option<(&'static str, Option<f64>)> {
    let nothing = Some(("nothing, sealant", None));
    let fixture = || scene.plan.fixtures.iter().find(|fixture| fixture.name == edge.place);
    match edge.edge.as_str() {
        "end under the leaf" => None,
        "nosing" => Some(("nosing", None)),
        "wall" | "glazing track" | "cabinets" => {
            let (room, wall) = edge.place.rsplit_once(", wall ")?;
            let room = &scene.plan.rooms[scene.ground.room_called(room)?];
            match room.walls.get(wall.parse::<usize>().ok()?.checked_sub(1)?)?.skirting {
                Some(Skirting::Thick(thick)) => Some(("skirting", Some(thick))),
                Some(Skirting::ToCome) => Some(("skirting to come", None)),
                Some(Skirting::Without) => nothing,
                None if edge.edge == "wall" => Some(("skirting", scene.plan.rules.cover.skirting)),
                None => nothing,
            }
        }
        "jamb" if edge.gap < 0.0 => Some(("lining", Some(-edge.gap))),
        "jamb" => Some(("nothing, stops before the lining", None)),
        "trim" | "movement joint" => nothing,
        "kick" => Some(("kick", Some(-edge.gap))),
        _ => match fixture().map(|fixture| (fixture.cover, fixture.kind))? {
            (Some(cover), _) => Some(("flange", Some(cover))),
            (None, FixtureKind::Vent) => Some(("flange", None)),
            (None, _) => nothing,
        },
    }
}

/// Every cover by place, edge and words; at 45° to the rows the gap is which of the two that may be meant.
fn found(scene: &Scene, which: fn(f64, f64) -> f64) -> BTreeMap<(String, String, String), Found> {
    let mut all: BTreeMap<(String, String, String), Found> = BTreeMap::new();
    let tolerance = scene.plan.rules.cover.tolerance.unwrap_or(TOLERANCE);
    for ring in scene.house.regions.iter().flat_map(|region| &region.rings) {
        let count = ring.len();
        for (i, edge) in ring.iter().enumerate() {
            let line = Line::new(Coord::from(edge.from), Coord::from(ring[(i + 1) % count].from));
            let Some(thing) = thing(scene, &edge.edge, &edge.place) else { continue };
            let is_either = is_across(scene, &line);
            let along = is_along_rows(scene, &line);
            let (given, other) = (thing.gap(scene, along), thing.gap(scene, along != is_either));
            let given = Range {
                least: which(given.least, other.least),
                greatest: which(given.greatest, other.greatest),
            };
            // A gap is its least, or what the set-out made of it: then how far the edge lies off its thing, end by end.
            let laid = match edge.gap > given.least + EXACT && given.greatest > given.least + EXACT {
                true => {
                    thing.off(scene, &line).map(|off| off.map(|gap| gap.clamp(given.least, given.greatest)))
                }
                false => None,
            };
            let is_eased = laid.is_some();
            let mut take = |place: &str, by: &str, reach: Option<f64>, length: f64| {
                let [least, greatest] = match by {
                    "kick" | "lining" => [0.0, 0.0],
                    _ => laid.unwrap_or([edge.gap; 2]),
                };
                let widest = greatest + edge.opens.unwrap_or(0.0) + tolerance;
                let one = Found { reach, least, greatest, widest, length, is_either, is_eased };
                let key = (place.to_owned(), edge.edge.clone(), by.to_owned());
                all.entry(key)
                    .and_modify(|all| {
                        all.least = all.least.min(least);
                        all.greatest = all.greatest.max(greatest);
                        all.length += length;
                        all.is_either |= is_either;
                        all.is_eased |= is_eased;
                        if widest > all.widest {
                            (all.widest, all.reach) = (widest, reach);
                        }
                    })
                    .or_insert(one);
            };
            if let Some((by, reach)) = covered(scene, edge) {
                take(&edge.place, by, reach, libm::hypot(line.dx(), line.dy()));
            }
            if edge.edge == "wall" {
                // Beside a doorway an architrave stands on the wall.
                for beside in [&ring[(i + count - 1) % count], &ring[(i + 1) % count]] {
                    if beside.edge == "jamb" {
                        take(&beside.place, "architrave", scene.plan.rules.cover.architrave, 0.0);
                    }
                }
            }
        }
    }
    all
}

/// Heights under kicks, and the flag of one that is too low.
fn kicks(scene: &Scene, report: &mut Report) {
    let Some(edges) = &scene.house.edges else { return };
    let build_up = scene.plan.stock.thickness + scene.plan.stock.bed;
    for tuck in &edges.tucks {
        let kind =
            scene.plan.fixtures.iter().find(|fixture| fixture.name == tuck.place).map(|fixture| fixture.kind);
        let Some(FixtureKind::Kick { clearance, tuck: depth }) = kind else {
            report.hold(Promise::Covers, false, || (tuck.place.clone(), "no kick of that name".into()));
            continue;
        };
        let mut same = |what: &str, said: f64, found: f64| {
            report.same(Promise::Covers, &tuck.place, what, said, found, EXACT);
        };
        same("clearance", tuck.clearance, clearance);
        same("boards' height", tuck.build_up, build_up);
        same("depth of the tuck", tuck.depth, depth);
        let play = scene.plan.rules.levels.kick.unwrap_or(KICK);
        let is_low = clearance - build_up < play - LIMIT;
        let flags =
            scene.house.flags.iter().filter(|flag| flag.kind == "low-kick" && flag.place == tuck.place);
        let count = flags.count();
        report.hold(Promise::Covers, count == usize::from(is_low), || {
            (tuck.place.clone(), format!("{clearance} over {build_up}, flagged {count} times"))
        });
    }
}
