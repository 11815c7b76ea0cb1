//! How uneven the two sides of hallways are on each line: walls of one room that face each other are found anew, stretch by
//! stretch between all corners of a region.

use super::lines::{Along, TRUE, seen as seen_of};
use super::{Scene, rips};
use crate::report::{Promise, Report};
use crate::result::{Line, Rip};
use geo::Line as Side;
use std::collections::BTreeMap;

/// Walls further apart are not seen together, and a hallway is so many times as long as it is wide (docs/rules.md).
const SEEN_TOGETHER: f64 = 2500.0;
const LONG: f64 = 1.5;
/// So near to either limit it may be one or not, mm; and of pieces as long as one another to this either may be meant.
const NEAR: f64 = 1.0;
/// Edges of rooms behind doors that are mostly shut count no more than this, and are not looked at (docs/rules.md).
const CLOSED: f64 = 0.1;
/// An edge that a rip stands for is found by its ends to this, mm.
const SAME: f64 = 1e-6;

/// Two walls of one room with floor between them.
struct Hall {
    region: usize,
    /// Places among the rips of the pieces that face each other furthest, of which one is meant.
    sides: Vec<[usize; 2]>,
    /// Whether it surely is one.
    is_sure: bool,
}

/// How far two walls face each other, how much floor lies between, and how much of it by pair of rips.
#[derive(Default)]
struct Facing {
    length: f64,
    area: f64,
    pairs: BTreeMap<[usize; 2], f64>,
}

pub(super) fn check(scene: &Scene, edges: &[Option<Along>], report: &mut Report) {
    let set = &scene.house.setout;
    if edges.len() != set.chosen.rips.len() || edges.is_empty() {
        return;
    }
    // A wall that was moved out of a strip's way lies nearer to what faces it by that, and so do its neighbours' ends.
    let moved = set.chosen.rips.iter().map(|rip| rip.play).fold(0.0, f64::max);
    let halls = halls(scene, NEAR + 4.0 * moved);
    for line in set.lines.iter().filter(|line| line.rips.len() == edges.len()) {
        of_line(scene, report, line, edges, &halls);
    }
    in_use(scene, report, edges, &halls);
}

/// Whether boards of a region go by a line of its own.
fn has_own(scene: &Scene, region: usize) -> bool {
    scene.house.setout.regions.iter().any(|own| own.region == region && own.has_own)
}

/// The line in use. What it leaves at a wall that was moved for it is told among its rips, which are held to the boards.
fn in_use(scene: &Scene, report: &mut Report, edges: &[Option<Along>], halls: &[Hall]) {
    let set = &scene.house.setout;
    let (line, pitch, least) = (&set.chosen, set.pitch, scene.plan.rules.least_rip);
    let seen = |i: usize| {
        let rip = &line.rips[i];
        let facing = rip.facing.filter(|facing| *facing >= rip.hidden + least).unwrap_or(pitch);
        match &edges[i] {
            Some(edge) => [-TRUE, 0.0, TRUE].map(|off| seen_of(edge, rip, line.offset + off, pitch, least)),
            // Boards go under nothing where a wall was moved.
            None => [-TRUE, 0.0, TRUE].map(|off| (rip.seen + off).clamp(0.0, facing)),
        }
    };
    let (mut low, mut high) = (0.0_f64, 0.0_f64);
    for hall in halls.iter().filter(|hall| !has_own(scene, hall.region)) {
        let apart: Vec<f64> = hall
            .sides
            .iter()
            .flat_map(|[below, above]| {
                let (one, other) = (seen(*below), seen(*above));
                one.into_iter().flat_map(move |a| other.into_iter().map(move |b| (a - b).abs()))
            })
            .collect();
        let least = apart.iter().copied().fold(f64::INFINITY, f64::min);
        low = if hall.is_sure { low.max(least) } else { low };
        high = apart.into_iter().fold(high, f64::max);
    }
    hold(report, line, [low, high]);
}

fn hold(report: &mut Report, line: &Line, [low, high]: [f64; 2]) {
    let said = line.value.uneven;
    report.hold(Promise::Worth, said >= low - 4.0 * TRUE && said <= high + 4.0 * TRUE, || {
        let what = format!("two sides of a hallway are said to differ by {said}, found {low} to {high}");
        (format!("the line at {}", line.offset), what)
    });
}

fn of_line(scene: &Scene, report: &mut Report, line: &Line, edges: &[Option<Along>], halls: &[Hall]) {
    let set = &scene.house.setout;
    let (pitch, least) = (set.pitch, scene.plan.rules.least_rip);
    let (mut low, mut high) = (0.0_f64, 0.0_f64);
    for hall in halls.iter().filter(|hall| !has_own(scene, hall.region)) {
        let mut apart: Vec<f64> = Vec::new();
        for side in &hall.sides {
            let [Some(below), Some(above)] = side.map(|i| edges[i].as_ref()) else {
                apart.extend([0.0, pitch]);
                continue;
            };
            let [one, other] = side.map(|i| &line.rips[i]);
            // So near to a step either side of it is right.
            let seen = |edge: &Along, rip: &Rip| {
                [-TRUE, 0.0, TRUE].map(|off| seen_of(edge, rip, line.offset + off, pitch, least))
            };
            let (one, other) = (seen(below, one), seen(above, other));
            apart.extend(one.iter().flat_map(|a| other.iter().map(move |b| (a - b).abs())));
        }
        let least = apart.iter().copied().fold(f64::INFINITY, f64::min);
        low = if hall.is_sure { low.max(least) } else { low };
        high = apart.into_iter().fold(high, f64::max);
    }
    hold(report, line, [low, high]);
}

/// Room and wall of the name `Hall, wall 3`.
fn wall_of(place: &str) -> Option<(&str, &str)> {
    place.rsplit_once(", wall ")
}

/// Hallways of the floor as it lies; `near` is how far off what was drawn its edges may be.
fn halls(scene: &Scene, near: f64) -> Vec<Hall> {
    let all = &scene.house.setout.chosen.rips;
    let lines: Vec<Option<(usize, Side)>> = all.iter().map(|rip| rips::edge(scene, rip)).collect();
    let mut found = Vec::new();
    for (index, region) in scene.house.regions.iter().enumerate() {
        let mut edges: Vec<(Side, Option<usize>)> = Vec::new();
        for ring in &region.rings {
            for (i, edge) in ring.iter().enumerate() {
                let ends = [edge.from, ring[(i + 1) % ring.len()].from].map(|p| scene.turn.rows(p));
                let side = Side::new(ends[0], ends[1]);
                let is_it = |line: &Option<(usize, Side)>| {
                    line.is_some_and(|(region, line)| {
                        let off = [line.start - side.start, line.end - side.end];
                        region == index && off.iter().all(|d| d.x.abs() <= SAME && d.y.abs() <= SAME)
                    })
                };
                edges.push((side, lines.iter().position(is_it)));
            }
        }
        let mut facing: BTreeMap<(&str, &str, &str), Facing> = BTreeMap::new();
        let mut corners: Vec<f64> = edges.iter().map(|(side, _)| side.start.x).collect();
        corners.sort_by(f64::total_cmp);
        for ends in corners.windows(2).filter(|ends| ends[1] - ends[0] > SAME) {
            let (middle, wide) = (f64::midpoint(ends[0], ends[1]), ends[1] - ends[0]);
            let mut met: Vec<(f64, Option<usize>)> = edges
                .iter()
                .filter(|(side, _)| (side.start.x - middle) * (side.end.x - middle) < 0.0)
                .map(|(side, rip)| {
                    let part = (middle - side.start.x) / (side.end.x - side.start.x);
                    (side.start.y + (side.end.y - side.start.y) * part, *rip)
                })
                .collect();
            met.sort_by(|a, b| a.0.total_cmp(&b.0));
            for pair in met.chunks_exact(2) {
                let [(low, Some(below)), (high, Some(above))] = [pair[0], pair[1]] else { continue };
                let names = wall_of(&all[below].place).zip(wall_of(&all[above].place));
                let Some(((room, wall), (other, opposite))) = names else { continue };
                if room == other && [below, above].iter().all(|rip| all[*rip].weight > CLOSED + SAME) {
                    let facing = facing.entry((room, wall, opposite)).or_default();
                    facing.length += wide;
                    facing.area += wide * (high - low);
                    *facing.pairs.entry([below, above]).or_default() += wide;
                }
            }
        }
        found.extend(facing.into_values().filter_map(|facing| hall(index, &facing, near)));
    }
    found
}

fn hall(region: usize, facing: &Facing, near: f64) -> Option<Hall> {
    let apart = facing.area / facing.length;
    let is_one = |by: f64| apart <= SEEN_TOGETHER + by && facing.length >= LONG * apart - by;
    let longest = facing.pairs.values().copied().fold(0.0, f64::max);
    let sides = facing.pairs.iter().filter(|(_, length)| **length >= longest - near).map(|(pair, _)| *pair);
    is_one(near).then(|| Hall { region, sides: sides.collect(), is_sure: is_one(-near) })
}
