//! Stages on the floor: each stage's boards hatched its own way, so that a board across a doorway shows who lays it.

use crate::geometry::at;
use crate::{Drawing, Role};
use kurbo::{BezPath, Point, Vec2};
use lay::Board;
use order::StageShares;
use pipeline::House;

/// Hatches in turn: degrees from the rows, and the distance of the lines, paper mm. None runs along rows or joints.
const HATCHES: [(f64, f64); 6] =
    [(45.0, 2.6), (-45.0, 2.6), (65.0, 1.7), (-65.0, 1.7), (25.0, 3.6), (-25.0, 3.6)];

/// Hatches the boards of every stage; boards in no stage stay plain.
pub(crate) fn draw(drawing: &mut Drawing, house: &House, shares: &StageShares, scale: f64) {
    let mut hatches = vec![BezPath::new(); shares.order.len()];
    for (board, stage) in house.floor.boards.iter().zip(&shares.of_board) {
        let Some(hatch) = stage.and_then(|stage| hatches.get_mut(stage)) else { continue };
        let (degrees, apart) = HATCHES[stage.unwrap_or(0) % HATCHES.len()];
        hatch_board(hatch, house, board, degrees, apart * scale);
    }
    for (stage, path) in hatches.into_iter().enumerate() {
        drawing.path(Role::StageHatch { stage: u8::try_from(stage).unwrap_or(u8::MAX) }, path);
    }
}

/// Lines over one board, on a grid that all boards share.
fn hatch_board(path: &mut BezPath, house: &House, board: &Board, degrees: f64, apart: f64) {
    let frame = &house.site.frame;
    let rings: Vec<Vec<Point>> = board
        .outline
        .rings()
        .map(|ring| ring.iter().map(|uv| at(frame.plan_from_row(*uv))).collect())
        .collect();
    let radians = (degrees + house.plan.rows_at).to_radians();
    let along = Vec2::new(libm::cos(radians), libm::sin(radians));
    let across = Vec2::new(-along.y, along.x);
    let heights = rings.iter().flatten().map(|p| p.to_vec2().dot(across));
    let (low, high) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), d| (l.min(d), h.max(d)));
    if !(apart > 0.0 && low < high) {
        return;
    }
    // No board is so large that its lines would count in thousands.
    let first = (low / apart).ceil();
    let count = ((high / apart).floor() - first).clamp(-1.0, 5000.0) as i64;
    for i in 0..=count {
        let height = (first + i as f64) * apart;
        let mut crossed: Vec<f64> = Vec::new();
        for ring in &rings {
            for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
                let (da, db) = (a.to_vec2().dot(across) - height, b.to_vec2().dot(across) - height);
                if (da > 0.0) != (db > 0.0) {
                    let p = a.lerp(*b, da / (da - db));
                    crossed.push(p.to_vec2().dot(along));
                }
            }
        }
        crossed.sort_by(f64::total_cmp);
        for ends in crossed.chunks_exact(2) {
            let point = |s: f64| (along * s + across * height).to_point();
            path.move_to(point(ends[0]));
            path.line_to(point(ends[1]));
        }
    }
}

/// What a room's name says of its stage: `2 Bedrooms, day 3`.
pub(crate) fn name(house: &House, shares: &StageShares, room: usize) -> Option<String> {
    let place = shares.of_room.get(room).copied().flatten()?;
    let stage = house.plan.stages.get(*shares.order.get(place)?)?;
    Some(format!("{} {}, day {}", place + 1, stage.name, stage.day))
}
