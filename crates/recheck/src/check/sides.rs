//! What stands over boards and at their sides: linings that stand, and whatever else boards go under; the room past a board's
//! tongue; the side from which one slides in.

use super::gaps::is_across;
use super::ways::{EXACT, UNDER, lies_on, need};
use super::{Scene, extent};
use crate::ground::polygon;
use crate::plan::Lining;
use crate::report::{Promise, Report};
use crate::result::{Edge, OtherWay};
use geo::{Area, BooleanOps, Line, Polygon};
use std::collections::{BTreeMap, BTreeSet};

/// Bounds of boards and edges further apart than this have nothing to do with one another, mm.
const NEAR: f64 = 1.0;

/// An edge of a region along and across the rows.
struct Side<'a> {
    edge: &'a Edge,
    line: Line,
    /// So near to 45° that boards may meet it with their ends or their sides.
    is_either: bool,
}

impl Side<'_> {
    /// Which side of a board lies there, by the way the edge faces: the floor lies to its left.
    fn of(&self, turned: bool) -> &'static str {
        let sign = if turned { -1.0 } else { 1.0 };
        let (out_along, out_across) = (sign * self.line.dy(), -sign * self.line.dx());
        match out_along.abs() > out_across.abs() {
            true if out_along > 0.0 => "right",
            true => "left",
            false if out_across > 0.0 => "tongue",
            false => "groove",
        }
    }

    /// Whether a board lies along it by more than a touch.
    fn is_beside(&self, board: &Polygon) -> bool {
        let ([left, right], [low, high]) = extent(board);
        let Line { start, end } = self.line;
        let meets = start.x.min(end.x) <= right + NEAR
            && start.x.max(end.x) >= left - NEAR
            && start.y.min(end.y) <= high + NEAR
            && start.y.max(end.y) >= low - NEAR;
        meets && lies_on(board, &self.line, None)
    }
}

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let told: BTreeMap<usize, &OtherWay> =
        scene.house.fitting.other_ways.iter().map(|way| (way.board, way)).collect();
    let sides = sides(scene);
    over(scene, report, &told, &sides);
    linings(scene, report, &told);
    past_the_tongue(scene, report, &told, &sides);
    for way in told.values().filter(|way| scene.house.boards[way.board].is_in_row()) {
        told_at_their_side(scene, report, way, &sides);
        comes_from(scene, report, way, &sides);
    }
}

fn sides<'a>(scene: &'a Scene) -> Vec<Vec<Side<'a>>> {
    let of_ring = |ring: &'a Vec<Edge>| {
        (0..ring.len()).map(move |i| {
            let ends = [ring[i].from, ring[(i + 1) % ring.len()].from];
            let [a, b] = ends.map(|p| scene.turn.rows(p));
            let is_either = is_across(scene, &Line::new(ends[0], ends[1]));
            Side { edge: &ring[i], line: Line::new(a, b), is_either }
        })
    };
    scene.house.regions.iter().map(|region| region.rings.iter().flat_map(of_ring).collect()).collect()
}

/// Boards that are still to go in, in rows.
fn to_lay<'a>(scene: &'a Scene) -> impl Iterator<Item = usize> + 'a {
    let boards = scene.house.boards.iter().enumerate();
    boards.filter(|(_, board)| board.is_in_row() && !board.laid).map(|(index, _)| index)
}

fn is_told(told: &BTreeMap<usize, &OtherWay>, board: usize, edge: &str, place: &str) -> bool {
    told.get(&board).is_some_and(|way| way.under.iter().any(|at| at.edge == edge && at.place == place))
}

/// Whether something that stands reaches over the floor at an edge. Before a lining that boards stop short of only the gap counts.
fn stands_over(scene: &Scene, edge: &Edge) -> bool {
    let is_fitted = || {
        let mut doors = scene.plan.doorways.iter();
        doors.any(|door| door.name == edge.place && door.lining == Lining::Fitted)
    };
    match edge.edge.as_str() {
        "kick" => true,
        "jamb" => edge.gap < 0.0 && is_fitted(),
        _ => edge.gap < 0.0,
    }
}

/// Every board along an edge of what stands over it is told to go under.
fn over(scene: &Scene, report: &mut Report, told: &BTreeMap<usize, &OtherWay>, sides: &[Vec<Side>]) {
    for board in to_lay(scene) {
        let region = &sides[scene.house.boards[board].region];
        for side in region.iter().filter(|side| stands_over(scene, side.edge)) {
            if !side.is_beside(&scene.rows[board]) {
                continue;
            }
            let Edge { edge, place, .. } = side.edge;
            report.hold(Promise::Ways, is_told(told, board, edge, place), || {
                let label = scene.house.boards[board].label.clone();
                (label, format!("{edge} `{place}` stands over it, which is not told"))
            });
        }
    }
}

/// Every board that lies under a lining that stands is told to, whether or not it reaches the floor's edge there.
fn linings(scene: &Scene, report: &mut Report, told: &BTreeMap<usize, &OtherWay>) {
    for opening in &scene.ground.openings {
        let (door, under) = (opening.door, opening.under());
        if door.lining != Lining::Fitted || under <= 0.0 {
            continue;
        }
        for (from, to) in [(door.at - under, door.at), (door.at + door.width, door.at + door.width + under)] {
            let deep = door.wall_thickness;
            let lining = polygon(&[
                opening.at(from, 0.0),
                opening.at(to, 0.0),
                opening.at(to, deep),
                opening.at(from, deep),
            ]);
            let ([left, right], [low, high]) = extent(&lining);
            for board in to_lay(scene) {
                let shape = &scene.boards[board];
                let ([a, b], [c, d]) = extent(shape);
                let is_far = a > right || b < left || c > high || d < low;
                if is_far || shape.intersection(&lining).unsigned_area() <= UNDER {
                    continue;
                }
                report.hold(Promise::Ways, is_told(told, board, "jamb", &door.name), || {
                    let label = scene.house.boards[board].label.clone();
                    (label, format!("it goes under the lining of `{}`, which is not told", door.name))
                });
            }
        }
    }
}

/// A board on a row laid before goes in as its lock asks for only where its far side has room to come down, or to be drawn home.
fn past_the_tongue(
    scene: &Scene,
    report: &mut Report,
    told: &BTreeMap<usize, &OtherWay>,
    sides: &[Vec<Side>],
) {
    let joined = joined(scene);
    for board in to_lay(scene).filter(|board| joined.contains(board)) {
        let made = &scene.house.boards[board];
        // What gets in under things comes otherwise, and what has legs on both sides of one may not get in at all.
        let is_held = |way: &&OtherWay| way.way == "blocked" && !way.astride.is_empty();
        if told.get(&board).is_some_and(|way| !way.under.is_empty() || is_held(way)) {
            continue;
        }
        let (need, _) = need(scene, board, "tongue");
        let is_plain = |side: &&Side| {
            let kind =
                matches!(side.edge.edge.as_str(), "wall" | "cabinets" | "island" | "column" | "hearth");
            kind && !side.is_either && side.of(made.turned) == "tongue"
        };
        let mut beside = sides[made.region].iter().filter(is_plain);
        let tight =
            beside.any(|side| side.edge.gap < need - 2.0 * EXACT && side.is_beside(&scene.rows[board]));
        let is_told = told.get(&board).is_some_and(|way| way.tight.iter().any(|at| at.side == "tongue"));
        report.hold(Promise::Ways, is_told || !tight, || {
            (made.label.clone(), format!("its far side has no room of {need}, which is not told"))
        });
    }
}

/// Boards whose groove edge lies along a row laid before theirs, the same way round: no slip tongue lies between.
fn joined(scene: &Scene) -> BTreeSet<usize> {
    let mut rows: BTreeMap<(usize, i64), Vec<usize>> = BTreeMap::new();
    let in_row = |board: &usize| scene.house.boards[*board].is_in_row();
    for board in (0..scene.house.boards.len()).filter(in_row) {
        let made = &scene.house.boards[board];
        rows.entry((made.region, made.row)).or_default().push(board);
    }
    let mut found = BTreeSet::new();
    for board in (0..scene.house.boards.len()).filter(in_row) {
        let made = &scene.house.boards[board];
        let before = if made.turned { made.row + 1 } else { made.row - 1 };
        let ([left, right], [low, high]) = extent(&scene.rows[board]);
        let groove = if made.turned { high } else { low };
        let beside = rows.get(&(made.region, before)).into_iter().flatten().any(|other| {
            let is_same_way = scene.house.boards[*other].turned == made.turned;
            let ([a, b], _) = extent(&scene.rows[*other]);
            let edge = Line::new((left, groove), (right, groove));
            is_same_way && a < right && b > left && shares(scene, [board, *other], &edge)
        });
        if beside {
            found.insert(board);
        }
    }
    found
}

/// Whether two boards both lie along a line, one past the other's ends nowhere but by more than a touch in common.
fn shares(scene: &Scene, boards: [usize; 2], line: &Line) -> bool {
    let along = |board: usize| {
        let sides = scene.rows[board].exterior().lines();
        sides.filter(|side| {
            (side.start.y - line.start.y).abs() <= 0.01 && (side.end.y - line.start.y).abs() <= 0.01
        })
    };
    let common = |a: &Line, b: &Line| {
        let left = a.start.x.min(a.end.x).max(b.start.x.min(b.end.x));
        a.start.x.max(a.end.x).min(b.start.x.max(b.end.x)) - left
    };
    let [one, other] = boards;
    along(one).any(|a| along(other).any(|b| common(&a, &b) > 20.0))
}

/// What is told at a side faces that side.
fn told_at_their_side(scene: &Scene, report: &mut Report, way: &OtherWay, sides: &[Vec<Side>]) {
    let board = &scene.house.boards[way.board];
    for at in way.under.iter().chain(&way.tight) {
        let is_it = |side: &&Side| side.edge.edge == at.edge && side.edge.place == at.place;
        let mut all = sides[board.region].iter().filter(is_it);
        let holds = all.any(|side| side.is_either || side.of(board.turned) == at.side);
        report.hold(Promise::Ways, holds, || {
            (board.label.clone(), format!("no {} `{}` faces its {}", at.edge, at.place, at.side))
        });
    }
}

/// A board slides in from where nothing stands, or in the one way that what it goes under leaves (docs/rules.md).
fn comes_from(scene: &Scene, report: &mut Report, way: &OtherWay, sides: &[Vec<Side>]) {
    let board = &scene.house.boards[way.board];
    let is_under = |side: &str| way.under.iter().any(|at| at.side == side);
    // How a kick's height lets a board under it is reckoned apart.
    let has_kick = way.under.iter().any(|at| at.edge == "kick");
    let from = way.from.as_deref();
    report.hold(Promise::Ways, way.way == "slide" || from.is_none(), || {
        (board.label.clone(), format!("`{}`, and comes from its {from:?}", way.way))
    });
    if way.way != "slide" || has_kick {
        return;
    }
    let shape = &scene.rows[way.board];
    // A leaf, a trim and a lining to come leave room for what comes from the other side.
    let is_closed = |side: &&Side| {
        let kind = matches!(
            side.edge.edge.as_str(),
            "wall" | "cabinets" | "island" | "column" | "hearth" | "nosing" | "tile trim"
        );
        kind && !side.is_either && side.of(board.turned) == "tongue"
    };
    let holds = match from {
        Some("tongue") => {
            let mut closed = sides[board.region].iter().filter(is_closed);
            !is_under("tongue") && !closed.any(|side| side.is_beside(shape))
        }
        Some("groove") => is_under("tongue") || (is_under("left") && is_under("right")),
        Some("left") => is_under("right") && !is_under("left"),
        Some("right") => !is_under("right"),
        _ => false,
    };
    report.hold(Promise::Ways, holds, || {
        let under: Vec<&str> = way.under.iter().map(|at| at.side.as_str()).collect();
        (board.label.clone(), format!("it slides from its {from:?}, and goes under things at {under:?}"))
    });
}
