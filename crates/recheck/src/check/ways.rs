//! How boards go in: what lies under a kick slides in, what has no room to be joined at its end is dropped in, and no
//! other board goes in otherwise than its lock asks for.

use super::gaps::is_across;
use super::{Scene, extent};
use crate::ground::shape;
use crate::plan::{FixtureKind, Lock};
use crate::report::{Promise, Report};
use crate::result::{Beside, OtherWay};
use geo::{Area, BooleanOps, Coord, Distance, Euclidean, Line, LineString, MultiPolygon, Polygon};
use std::collections::{BTreeMap, BTreeSet};

/// Gaps are held to what is needed so, mm.
pub(super) const EXACT: f64 = 1e-6;
/// A board lies under a thing by more than this, mm², or beside it.
pub(super) const UNDER: f64 = 100.0;
/// What stands at a board's side is no further off, mm.
const NEAR: f64 = 1.0;
/// An end lies on an edge within this, mm.
const ON: f64 = 0.03;
/// It shares more than this with it, mm.
const SHARED: f64 = 20.0;
/// What is no further from a board's end is that end, mm.
const AT_END: f64 = 1.0;
/// A folded board stands off its end joint by so much where the plan gives nothing, mm (docs/plan-format.md).
const TRAVEL: f64 = 5.0;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let (house, fitting) = (scene.house, &scene.house.fitting);
    let usual = match scene.plan.stock.lock {
        Lock::FoldDown => "fold",
        Lock::Angle => "tilt",
        Lock::TongueAndGroove => "slide",
    };
    report.hold(Promise::Ways, fitting.usual_way == usual, || {
        ("the lock".into(), format!("it goes in by `{usual}`, told is `{}`", fitting.usual_way))
    });
    let told: BTreeMap<usize, &OtherWay> = fitting.other_ways.iter().map(|way| (way.board, way)).collect();
    report.hold(Promise::Ways, told.len() == fitting.other_ways.len(), || {
        ("other ways".into(), "a board is told twice".into())
    });
    for (index, (board, way)) in house.boards.iter().zip(&fitting.boards).enumerate() {
        let other = told.get(&index);
        let is_told = other.map_or(way.way == usual, |other| other.way == way.way);
        report.hold(Promise::Ways, is_told, || {
            (board.label.clone(), format!("`{}`, told is {:?}", way.way, other.map(|other| &other.way)))
        });
    }
    for way in told.values() {
        of_board(scene, report, way);
    }
    super::astride::check(scene, report, &told);
    kicks(scene, report, &told);
    ends(scene, report, &told);
}

/// What a side's gap must be for the lock, mm; and whether as much is too little.
pub(super) fn need(scene: &Scene, board: usize, side: &str) -> (f64, bool) {
    let (stock, rules) = (&scene.plan.stock, &scene.plan.rules);
    let slide = rules.slide_room.unwrap_or(stock.tongue);
    match (stock.lock, side) {
        (Lock::TongueAndGroove, _) => (slide, false),
        (_, "left" | "right") => (rules.travel.unwrap_or(TRAVEL), true),
        // A board turned about its groove edge reaches its diagonal from it (docs/rules.md).
        _ => {
            let width = scene.house.boards[board].width;
            (rules.tilt_room.unwrap_or_else(|| libm::hypot(width, stock.thickness) - width), false)
        }
    }
}

/// A board that goes in in another way: what stands over it, or the gaps that are too small, are there.
fn of_board(scene: &Scene, report: &mut Report, way: &OtherWay) {
    let label = || scene.house.boards[way.board].label.clone();
    let holds = match way.way.as_str() {
        "drop" => way.under.is_empty() && !way.tight.is_empty() && way.astride.is_empty(),
        "slide" | "blocked" => !way.under.is_empty() || !way.astride.is_empty(),
        _ => false,
    };
    report.hold(Promise::Ways, holds, || {
        (label(), format!("`{}`, under {}, tight at {}", way.way, way.under.len(), way.tight.len()))
    });
    // A board may lie under what reaches over the floor and stay short of the edge there.
    let under = way.under.iter().map(|at| (at, NEAR.max(-at.gap)));
    for (at, near) in under.chain(way.tight.iter().map(|at| (at, NEAR))) {
        report.hold(Promise::Ways, stands_there(scene, way.board, at, near), || {
            (label(), format!("no {} `{}` with a gap of {} at its {}", at.edge, at.place, at.gap, at.side))
        });
    }
    for at in &way.tight {
        let (need, _) = need(scene, way.board, &at.side);
        let holds = at.need.is_some_and(|said| (said - need).abs() <= EXACT) && at.gap <= need + EXACT;
        report.hold(Promise::Ways, holds, || {
            (label(), format!("{} at its {}, needed is {:?}, found {need}", at.gap, at.side, at.need))
        });
    }
    let flags = scene.house.flags.iter().filter(|flag| flag.boards.contains(&way.board));
    let is_flagged = flags.into_iter().any(|flag| matches!(flag.kind.as_str(), "no-way-in" | "no-way-under"));
    report.hold(Promise::Ways, is_flagged == (way.way == "blocked"), || {
        (label(), format!("`{}`, flagged as without a way in: {is_flagged}", way.way))
    });
}

/// Whether an edge of the board's region, of that name and gap, lies no farther from the board than `near`; of a kick one
/// whose cabinet reaches over the board, which at a corner may lie farther from both its sides than the kick is deep.
fn stands_there(scene: &Scene, board: usize, at: &Beside, near: f64) -> bool {
    let is_it = |fixture: &&crate::plan::Fixture| {
        fixture.name == at.place && matches!(fixture.kind, FixtureKind::Kick { .. })
    };
    let kick = scene.plan.fixtures.iter().find(is_it).filter(|_| at.edge == "kick").map(shape);
    let is_over = kick.is_some_and(|kick| scene.boards[board].intersection(&kick).unsigned_area() > 0.0);
    let near = if is_over { f64::INFINITY } else { near };
    let region = &scene.house.regions[scene.house.boards[board].region];
    let mut edges = region.rings.iter().flat_map(|ring| {
        ring.iter()
            .enumerate()
            .map(move |(i, edge)| (edge, Line::new(edge.from, ring[(i + 1) % ring.len()].from)))
    });
    edges.any(|(edge, line)| {
        edge.place == at.place
            && edge.edge == at.edge
            && (edge.gap - at.gap).abs() <= EXACT
            && Euclidean.distance(&line, &scene.boards[board]) <= near
    })
}

/// What lies under a kick is told to, and slides in.
fn kicks(scene: &Scene, report: &mut Report, told: &BTreeMap<usize, &OtherWay>) {
    let is_kick = |kind: FixtureKind| matches!(kind, FixtureKind::Kick { .. });
    for fixture in scene.plan.fixtures.iter().filter(|fixture| is_kick(fixture.kind)) {
        let kick = shape(fixture);
        // One narrower than two tucks lies over boards from side to side: that is told, and no way under it.
        let bare = kick.difference(&MultiPolygon(scene.regions.clone())).unsigned_area();
        let is_told = scene.house.flags.iter().any(|f| f.kind == "over-boards" && f.place == fixture.name);
        let is_over = bare <= UNDER.min(kick.unsigned_area() / 2.0);
        report.hold(Promise::Ways, is_told || !is_over, || {
            (fixture.name.clone(), "boards lie under all of it, which is not told".into())
        });
        if is_told {
            continue;
        }
        let ([left, right], [low, high]) = extent(&kick);
        for (index, board) in scene.house.boards.iter().enumerate() {
            let ([from, to], [under, over]) = extent(&scene.boards[index]);
            let is_far = from > right || to < left || under > high || over < low;
            if is_far || board.laid || !board.is_in_row() {
                continue;
            }
            // Whether or not it reaches the floor's edge there: it cannot be folded or turned down under the kick.
            if scene.boards[index].intersection(&kick).unsigned_area() <= UNDER {
                continue;
            }
            let is_told = told
                .get(&index)
                .is_some_and(|way| way.under.iter().any(|at| at.edge == "kick" && at.place == fixture.name));
            report.hold(Promise::Ways, is_told, || {
                (board.label.clone(), format!("it goes under `{}`, which is not told", fixture.name))
            });
        }
    }
}

/// A board whose end joint cannot be closed, since the gap at its far end leaves no room, is not laid as its lock asks for.
fn ends(scene: &Scene, report: &mut Report, told: &BTreeMap<usize, &OtherWay>) {
    if !scene.plan.stock.end_match {
        return;
    }
    // In its own frame a board's left end is at the one laid before it; turned, that is the right one on the plan.
    let second = |joint: &crate::result::Joint| {
        let [left, right] = joint.boards;
        if scene.house.boards[left].turned { left } else { right }
    };
    let joined: BTreeSet<usize> = scene.house.joints.iter().map(second).collect();
    let mut walls: Vec<Vec<(f64, Line)>> = vec![Vec::new(); scene.house.regions.len()];
    for (region, walls) in scene.house.regions.iter().zip(&mut walls) {
        for ring in &region.rings {
            for (i, edge) in ring.iter().enumerate() {
                let ends = [edge.from, ring[(i + 1) % ring.len()].from];
                let [a, b] = ends.map(|p| scene.turn.rows(p));
                // So near to 45° boards may be said to meet it as sides.
                let is_either = is_across(scene, &Line::new(ends[0], ends[1]));
                let is_plain =
                    matches!(edge.edge.as_str(), "wall" | "cabinets" | "island" | "column" | "hearth");
                if is_plain && !is_either && (b.x - a.x).abs() < (b.y - a.y).abs() && edge.gap >= 0.0 {
                    walls.push((edge.gap, Line::new(a, b)));
                }
            }
        }
    }
    for index in joined {
        let board = &scene.house.boards[index];
        // What has no way in about legs is not joined at its end either.
        let is_held =
            |way: &&OtherWay| !way.under.is_empty() || (way.way == "blocked" && !way.astride.is_empty());
        if board.laid || told.get(&index).is_some_and(is_held) {
            continue;
        }
        let shape = &scene.rows[index];
        let ([left, right], _) = extent(shape);
        let end = if board.turned { left } else { right };
        let (need, as_much) = need(scene, index, "right");
        let is_tight = |gap: f64| if as_much { gap <= need + EXACT } else { gap < need - EXACT };
        // The floor lies to the left of an edge. One that faces the end's own way, as the back of what stands in a notch, leaves
        // the board free to stand off.
        let faces = |wall: &Line| (wall.dy() > 0.0) != board.turned;
        let at_end = walls[board.region].iter().filter(|(_, wall)| faces(wall));
        let mut at_end = at_end.filter(|(_, wall)| lies_on(shape, wall, Some(end)));
        let tight = at_end.any(|(gap, _)| is_tight(*gap));
        let is_told = told.get(&index).is_some_and(|way| way.tight.iter().any(|at| at.side == "right"));
        report.hold(Promise::Ways, is_told || !tight, || {
            (board.label.clone(), "its far end has no room to close the joint, which is not told".into())
        });
    }
}

/// Whether a side of a board lies on an edge; only one that reaches that far along the rows, where that is asked for.
pub(super) fn lies_on(board: &Polygon, edge: &Line, end: Option<f64>) -> bool {
    let length = libm::hypot(edge.dx(), edge.dy());
    let place = |p: Coord| {
        let d = p - edge.start;
        ((d.x * edge.dx() + d.y * edge.dy()) / length, (d.x * edge.dy() - d.y * edge.dx()) / length)
    };
    let rings = std::iter::once(board.exterior()).chain(board.interiors());
    rings.flat_map(LineString::lines).any(|side| {
        let ((a, off_a), (b, off_b)) = (place(side.start), place(side.end));
        off_a.abs() <= ON
            && off_b.abs() <= ON
            && a.max(b).min(length) - a.min(b).max(0.0) > SHARED
            && end.is_none_or(|end| (side.start.x - end).abs().min((side.end.x - end).abs()) <= AT_END)
    })
}
