//! The rips with which a room, or a stretch on a line or begun anew, begins: every one is told, with its width and the edge it keeps.

use super::Scene;
use crate::ground::{outline, polygon};
use crate::report::{Promise, Report};
use crate::result::Beginning;
use geo::{Contains, Point, Polygon};
use std::collections::BTreeSet;

/// A side this far off its row's line is sawn, mm: no more than that is left on boards laid as they are sold (docs/rules.md).
const SAWN: f64 = 0.1;
/// An end out of square by less is cut square, mm (docs/rules.md): what of a board lies so near to its end is no width of it.
const SQUARE: f64 = 1.0;
/// Widths agree to this, mm; those of tapered rips, which are told where they are marked, to the second.
const WIDTH: (f64, f64) = (0.05, 1.0);

/// A board that lies within its row, as it is drawn.
struct Rip {
    width: f64,
    keeps: &'static str,
    is_straight: bool,
}

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let house = scene.house;
    // Row lines are moved by what is measured and past movement joints.
    if house.laid.is_some() || !scene.plan.joints.is_empty() || !scene.plan.pattern.is_rows() {
        return;
    }
    let rooms: Vec<(&str, Polygon)> =
        scene.plan.rooms.iter().map(|room| (room.name.as_str(), polygon(&outline(room)))).collect();
    let mut begun: BTreeSet<&str> = BTreeSet::new();
    for step in &house.fitting.order {
        let on_line = matches!(step.start.as_str(), "on-line" | "anew");
        let mut here: BTreeSet<&str> = BTreeSet::new();
        let mut told = 0;
        for board in step.boards.iter().copied().filter(|board| house.boards[*board].is_in_row()) {
            let room = room_of(scene, &rooms, board);
            here.extend(room);
            let begins = room.filter(|room| !begun.contains(room));
            if begins.is_none() && !on_line {
                continue;
            }
            let own = step.begins_with.iter().find(|own| own.boards.contains(&board));
            let Some(rip) = rip(scene, board) else {
                // A tapered rip may be as wide as its row at one end, or within what is cut off there.
                let may_be = |own: &Beginning| {
                    let reach = within_ends(&scene.rows[board]);
                    own.greatest > house.setout.pitch - WIDTH.1 || reach < own.greatest + WIDTH.1
                };
                told += usize::from(own.is_some_and(may_be));
                continue;
            };
            told += 1;
            let is_so = own.is_some_and(|own| own.room.as_deref() == begins && is_of(&rip, own));
            report.hold(Promise::Order, is_so, || {
                let Rip { width, keeps, .. } = rip;
                let what =
                    format!("it begins {begins:?} with a rip of {width} that keeps {keeps}; told is {own:?}");
                (house.boards[board].label.clone(), what)
            });
        }
        let said: usize = step.begins_with.iter().map(|own| own.boards.len()).sum();
        report.hold(Promise::Order, said == told, || {
            let first = step.boards.first().map_or("", |board| house.boards[*board].label.as_str());
            (format!("run of {first}"), format!("{said} boards are said to begin with a rip, found {told}"))
        });
        begun.extend(here);
    }
}

/// The room in which the middle of a board's corners lies.
fn room_of<'r>(scene: &Scene, rooms: &[(&'r str, Polygon)], board: usize) -> Option<&'r str> {
    let corners = scene.house.boards[board].outline.first()?;
    let count = corners.len() as f64;
    let middle = [0, 1].map(|axis| corners.iter().map(|p| p[axis]).sum::<f64>() / count);
    let middle = Point::new(middle[0], middle[1]);
    rooms.iter().find(|(_, room)| room.contains(&middle)).map(|(name, _)| *name)
}

/// What of its row a board is; `None` where it reaches over all of it somewhere.
fn rip(scene: &Scene, board: usize) -> Option<Rip> {
    let (house, drawn) = (scene.house, &scene.house.boards[board]);
    let pitch = house.setout.pitch;
    let own = house.setout.regions.iter().find(|own| own.region == drawn.region && own.has_own);
    let line = own.map_or(house.setout.chosen.offset, |own| own.own.offset);
    let (_, [low, high]) = super::extent(&scene.rows[board]);
    if high - low > pitch - SAWN {
        return None;
    }
    // The row it lies in is that of its middle: a rip may be so narrow that both its sides lie by one line.
    let row = line + (((low + high) / 2.0 - line) / pitch).floor() * pitch;
    let off = [low - row, row + pitch - high].map(|off| off > SAWN);
    let [groove, tongue] = if drawn.turned { [off[1], off[0]] } else { off };
    let keeps = match (groove, tongue) {
        (true, false) => "tongue",
        (false, true) => "groove",
        _ => "neither",
    };
    Some(Rip {
        width: high - low,
        keeps,
        is_straight: drawn.outline.iter().map(Vec::len).sum::<usize>() == 4,
    })
}

/// How far a board reaches across the rows but for what lies at its ends.
fn within_ends(board: &Polygon) -> f64 {
    let ([left, right], _) = super::extent(board);
    let (from, to) = (left + SQUARE, right - SQUARE);
    let mut reach = [f64::INFINITY, f64::NEG_INFINITY];
    for side in board.exterior().lines().filter(|side| side.dx() != 0.0) {
        let (a, b) = (side.start.x.min(side.end.x).max(from), side.start.x.max(side.end.x).min(to));
        for u in [a, b].into_iter().filter(|_| a <= b) {
            let v = side.start.y + side.slope() * (u - side.start.x);
            reach = [reach[0].min(v), reach[1].max(v)];
        }
    }
    reach[1] - reach[0]
}

fn is_of(rip: &Rip, own: &Beginning) -> bool {
    let within = if rip.is_straight { WIDTH.0 } else { WIDTH.1 };
    own.keeps == rip.keeps && rip.width > own.least - within && rip.width < own.greatest + within
}
