//! Seen from the walls and fixtures: no board comes nearer than the least gap, whatever the edges say.

use super::Scene;
use crate::ground::{is_under_boards, polygon, shape, wall_line};
use crate::plan::{FixtureKind, Range, WallFace};
use crate::report::{Promise, Report};
use geo::{
    BooleanOps, BoundingRect, Contains, Coord, Distance, Euclidean, Line, LineString, MultiLineString,
    MultiPolygon, Point, Polygon, Rect,
};

/// How much nearer floor may come, mm: what is thinner than 0.01 is healed (docs/rules.md), and rounding.
const NEARER: f64 = 0.011;
/// How much beside a jog of up to 0.2 that was healed.
const NEARER_AT_JOG: f64 = 0.211;
/// A wall is looked at from this much further off a jamb, mm.
const OFF_JAMB: f64 = 1.0;
/// Walls and sides are looked at in pieces no longer than this, mm.
const PIECE: f64 = 100.0;
/// Whether there is floor beside a wall is looked at this far off it, mm: past what rooms that touch may be drawn apart.
const BESIDE: f64 = 1.0;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let floor = MultiPolygon(scene.regions.clone());
    walls(scene, report, &floor);
    for fixture in &scene.plan.fixtures {
        let least = match fixture.kind {
            // Boards go under its open sides.
            FixtureKind::Kick { .. } => continue,
            kind if is_under_boards(kind) => continue,
            FixtureKind::Stair { nosing } => nosing,
            kind => least_of(fixture.gap.or(kind_gap(scene, kind)), scene, kind),
        };
        hold(scene, report, &floor, &shape(fixture), least, &fixture.name);
    }
}

/// The least gap of a fixture's kind where it has none of its own; of tile the lesser of sides and ends.
fn least_of(own: Option<Range>, scene: &Scene, kind: FixtureKind) -> f64 {
    let least = own.unwrap_or(scene.plan.rules.wall_gap).least;
    match kind {
        FixtureKind::TileArea { .. } => least.min(scene.plan.rules.tile_end_gap),
        _ => least,
    }
}

fn kind_gap(scene: &Scene, kind: FixtureKind) -> Option<Range> {
    let kinds = &scene.plan.rules.gaps;
    match kind {
        FixtureKind::Island => kinds.islands,
        FixtureKind::Column => kinds.columns,
        FixtureKind::Hearth => kinds.hearths,
        FixtureKind::Vent => kinds.vents,
        FixtureKind::TileArea { .. } => kinds.tile_sides,
        _ => None,
    }
}

fn walls(scene: &Scene, report: &mut Report, floor: &MultiPolygon) {
    let kinds = &scene.plan.rules.gaps;
    // Under a kick boards go nearer to a wall than they may in the open.
    let kicks: Vec<Polygon> = scene
        .plan
        .fixtures
        .iter()
        .filter(|f| matches!(f.kind, FixtureKind::Kick { .. }))
        .map(shape)
        .collect();
    let open = floor.difference(&geo::unary_union(&kicks));
    for (index, room) in scene.plan.rooms.iter().enumerate() {
        if !scene.ground.is_boarded(index) {
            continue;
        }
        // A wall may be thin: only the floor on its own side keeps its gap from it.
        let inside = open.intersection(&polygon(&scene.ground.outlines[index]));
        for (number, wall) in room.walls.iter().enumerate() {
            let own = wall.gap.or(match wall.face {
                WallFace::Plain => None,
                WallFace::Glazing => kinds.glazing,
                WallFace::Cabinets => kinds.cabinets,
            });
            let least = own.unwrap_or(scene.plan.rules.wall_gap).least;
            // What is left of the wall between doorways: within its gap of a jamb, the jamb's own gap counts, and boards
            // that go under a lining come nearer to the wall behind it.
            let throats = scene.ground.openings.iter().map(|opening| {
                opening.quad(-60.0, opening.door.wall_thickness + 60.0, OFF_JAMB + least + opening.under())
            });
            let throats = geo::unary_union(&throats.collect::<Vec<_>>());
            let line = MultiLineString(vec![LineString::new(wall_line(room, number))]);
            let left = throats.clip(&line, true);
            let place = format!("{}, wall {}", room.name, number + 1);
            let inside = near(inside.iter(), line.bounding_rect(), least);
            for part in left.0.iter().flat_map(|part| standing(scene, part)) {
                tell(scene, report, &inside, &part, least, &place);
            }
        }
    }
}

/// A line in pieces no longer than `PIECE`.
fn pieces(line: &LineString) -> Vec<Line> {
    let mut pieces = Vec::new();
    for line in line.lines().filter(|line| line.start != line.end) {
        let count = (libm::hypot(line.dx(), line.dy()) / PIECE).ceil().max(1.0);
        let step = line.delta() / count;
        let at = |i: usize| line.start + step * i as f64;
        pieces.extend((0..count as usize).map(|i| Line::new(at(i), at(i + 1))));
    }
    pieces
}

/// The pieces of a wall with floor on one side only: rooms that touch with nothing between are open to each other.
fn standing(scene: &Scene, wall: &LineString) -> Vec<Line> {
    let mut pieces = pieces(wall);
    pieces.retain(|piece| {
        let middle = (piece.start + piece.end) / 2.0;
        let off = Coord { x: -piece.dy(), y: piece.dx() } * (BESIDE / libm::hypot(piece.dx(), piece.dy()));
        let is_floor = |at: Coord| scene.ground.bare.contains(&Point(at));
        !(is_floor(middle + off) && is_floor(middle - off))
    });
    pieces
}

fn hold(scene: &Scene, report: &mut Report, floor: &MultiPolygon, thing: &Polygon, least: f64, place: &str) {
    let near = near(floor.iter(), thing.bounding_rect(), least);
    for part in pieces(thing.exterior()) {
        tell(scene, report, &near, &part, least, place);
    }
}

/// The parts of the floor that may come within so much of these bounds.
fn near<'a>(floor: impl Iterator<Item = &'a Polygon>, bounds: Option<Rect>, least: f64) -> Vec<&'a Polygon> {
    let Some(bounds) = bounds else { return Vec::new() };
    let is_near = |region: &&Polygon| {
        region.bounding_rect().is_some_and(|r| {
            r.min().x < bounds.max().x + least
                && r.max().x > bounds.min().x - least
                && r.min().y < bounds.max().y + least
                && r.max().y > bounds.min().y - least
        })
    };
    floor.filter(is_near).collect()
}

fn tell(scene: &Scene, report: &mut Report, floor: &[&Polygon], part: &Line, least: f64, place: &str) {
    let nearest = floor.iter().map(|region| Euclidean.distance(part, *region)).fold(f64::INFINITY, f64::min);
    let is_whole =
        nearest >= least - NEARER || nearest >= least - NEARER_AT_JOG && scene.jogs.turn_beside(part);
    report.hold(Promise::Clearance, is_whole, || {
        let what = format!("floor comes to {nearest} of it, its least gap is {least}, from {:?}", part.start);
        (place.to_owned(), what)
    });
}
