//! Boards with a leg on both sides of a wall: they come in lengthways, or not at all.

use super::{Scene, extent};
use crate::ground::{outline, polygon};
use crate::report::{Promise, Report};
use crate::result::OtherWay;
use geo::{Area, BooleanOps, BoundingRect, Contains, Coord, Point, Polygon, Rect};
use std::collections::BTreeMap;

/// Legs are looked for this far in from where one ends, mm.
const IN: f64 = 0.5;
/// The same for a leg that begins as a point.
const SLENDER: f64 = 5.0;
/// A leg that must be told is longer than this, mm: the side of a notch that lies a little aslant to the rows is none.
const REAL: f64 = 20.0;
/// How wide the strip is in which they are looked for, mm.
const STRIP: f64 = 0.2;
/// A wall that reaches farther in between two legs than this and three times the board's width must be told, mm: well past any gap
/// about its end, any corner that is let into an end, and a wall that lies more than 10° aslant to the rows.
const DEEP: f64 = 200.0;

pub(super) fn check(scene: &Scene, report: &mut Report, told: &BTreeMap<usize, &OtherWay>) {
    let rows = |p: &Coord| scene.turn.rows([p.x, p.y]);
    let rooms =
        scene.plan.rooms.iter().map(|room| polygon(&outline(room).iter().map(rows).collect::<Vec<_>>()));
    let rooms: Vec<Polygon> = rooms.collect();
    for (index, board) in scene.house.boards.iter().enumerate() {
        if !board.is_in_row() || board.laid {
            continue;
        }
        let label = || board.label.clone();
        let way = told.get(&index);
        let tells = |end: &str| way.is_some_and(|way| way.astride.iter().any(|between| between.end == end));
        for end in ["left", "right"] {
            // The left end lies right on the plan where the board is turned.
            let at_left = (end == "left") != board.turned;
            let between = [IN, SLENDER, REAL]
                .iter()
                .find_map(|beyond| between_legs(&scene.rows[index], at_left, *beyond));
            report.hold(Promise::Ways, !tells(end) || between.is_some(), || {
                (label(), format!("no two legs at its {end} end"))
            });
            let Some((deep, middle)) = between_legs(&scene.rows[index], at_left, REAL) else { continue };
            let is_wall = !rooms.iter().any(|room| room.contains(&Point::from(middle)));
            report.hold(Promise::Ways, tells(end) || !is_wall || deep < DEEP + 3.0 * board.width, || {
                (
                    label(),
                    format!(
                        "a wall reaches {deep:.0} in between the legs at its {end} end, which is not told"
                    ),
                )
            });
        }
        // What was laid before it stands at its left.
        let way = &scene.house.fitting.boards[index].way;
        report.hold(Promise::Ways, !tells("right") || way == "blocked", || {
            (label(), format!("`{way}`, and its left end has no room to come from"))
        });
    }
}

/// Where something reaches deepest in between two legs of a board that are open to one of its ends: how deep, counted from so
/// far in as is said from where the shorter leg ends, and a place in between.
fn between_legs(board: &Polygon, at_left: bool, beyond: f64) -> Option<(f64, Coord)> {
    // A slot has four corners more than a rectangle, or three where a leg is pointed.
    if board.exterior().coords().count() < 8 {
        return None;
    }
    let ([left, right], [low, high]) = extent(board);
    let within = |x: [f64; 2], y: [f64; 2]| {
        board.intersection(&Rect::new(Coord { x: x[0], y: y[0] }, Coord { x: x[1], y: y[1] }).to_polygon())
    };
    let mut deepest: Option<(f64, Coord)> = None;
    for corner in board.exterior().coords() {
        let at = if at_left { corner.x + beyond } else { corner.x - beyond };
        let legs = within([at - STRIP / 2.0, at + STRIP / 2.0], [low - 1.0, high + 1.0]);
        let mut legs: Vec<Rect> = legs
            .iter()
            .filter(|leg| leg.unsigned_area() > 1e-4)
            .filter_map(BoundingRect::bounding_rect)
            .collect();
        legs.sort_by(|a, b| a.min().y.total_cmp(&b.min().y));
        for pair in legs.windows(2) {
            let y = f64::midpoint(pair[0].max().y, pair[1].min().y);
            let along = |x: [f64; 2]| within(x, [y - STRIP / 2.0, y + STRIP / 2.0]).bounding_rect();
            let (to_end, inwards) = match at_left {
                true => ([left - 1.0, at], [at, right + 1.0]),
                false => ([at, right + 1.0], [left - 1.0, at]),
            };
            // What lies between them is open to the end where it comes out there, or past one of the legs.
            let end = Rect::new(Coord { x: to_end[0], y: low - 1.0 }, Coord { x: to_end[1], y: high + 1.0 });
            let mouth = Point::new(if at_left { at - STRIP / 2.0 } else { at + STRIP / 2.0 }, y);
            let is_out = |part: &Polygon| {
                let reach = part.bounding_rect();
                let out = |reach: Rect| {
                    let along = if at_left { reach.min().x < left } else { reach.max().x > right };
                    along || reach.min().y < low || reach.max().y > high
                };
                reach.is_some_and(out) && part.contains(&mouth)
            };
            let is_open = end.to_polygon().difference(board).iter().any(is_out);
            let Some(body) = along(inwards).filter(|_| is_open) else { continue };
            let deep = if at_left { body.min().x - at } else { at - body.max().x };
            if deepest.is_none_or(|(most, _)| deep > most) {
                deepest = Some((deep, Coord { x: at, y }));
            }
        }
    }
    deepest
}
