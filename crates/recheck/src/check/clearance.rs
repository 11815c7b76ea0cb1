//! Seen from the walls and fixtures: no board comes nearer than the least gap, whatever the edges say.

use super::Scene;
use crate::ground::{is_under_boards, polygon, shape, wall_line};
use crate::plan::{FixtureKind, Range, WallFace};
use crate::report::{Promise, Report};
use geo::{
    BooleanOps, BoundingRect, Contains, Coord, Distance, Euclidean, Line, LineString, MultiLineString,
    MultiPolygon, Point, Polygon,
};

/// How much nearer floor may come at a jog of up to 0.2 that was healed (docs/rules.md), and by 0.01 of rounding, mm.
const NEARER: f64 = 0.21;
/// A wall is looked at from this much further off a jamb, mm.
const OFF_JAMB: f64 = 1.0;
/// Walls are looked at in pieces no longer than this, mm.
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
        hold(report, &floor, &shape(fixture), least, &fixture.name);
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
            for part in left.0.iter().flat_map(|part| standing(scene, part)) {
                let nearest = inside
                    .iter()
                    .map(|polygon| Euclidean.distance(&part, polygon))
                    .fold(f64::INFINITY, f64::min);
                tell(report, nearest, least, &place);
            }
        }
    }
}

/// The pieces of a wall with floor on one side only: rooms that touch with nothing between are open to each other.
fn standing(scene: &Scene, wall: &LineString) -> Vec<Line> {
    let mut pieces = Vec::new();
    for line in wall.lines() {
        let length = libm::hypot(line.dx(), line.dy());
        let count = (length / PIECE).ceil().max(1.0);
        let step = line.delta() / count;
        for i in 0..count as usize {
            let piece = Line::new(line.start + step * i as f64, line.start + step * (i + 1) as f64);
            let middle = (piece.start + piece.end) / 2.0;
            let off = Coord { x: -step.y, y: step.x } * (BESIDE / (length / count));
            let is_floor = |at: Coord| scene.ground.bare.contains(&Point(at));
            if !(is_floor(middle + off) && is_floor(middle - off)) {
                pieces.push(piece);
            }
        }
    }
    pieces
}

fn hold(report: &mut Report, floor: &MultiPolygon, thing: &Polygon, least: f64, place: &str) {
    let Some(bounds) = thing.bounding_rect() else { return };
    let near = |region: &&Polygon| {
        region.bounding_rect().is_some_and(|r| {
            r.min().x < bounds.max().x + least
                && r.max().x > bounds.min().x - least
                && r.min().y < bounds.max().y + least
                && r.max().y > bounds.min().y - least
        })
    };
    let nearest = floor
        .iter()
        .filter(near)
        .map(|region| Euclidean.distance(region, thing))
        .fold(f64::INFINITY, f64::min);
    tell(report, nearest, least, place);
}

fn tell(report: &mut Report, nearest: f64, least: f64, place: &str) {
    report.hold(Promise::Clearance, nearest >= least - NEARER, || {
        (place.to_owned(), format!("floor comes to {nearest} of it, its least gap is {least}"))
    });
}
