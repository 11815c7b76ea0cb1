//! The order of laying: every board once, on boards that lie already, with a side free to come in from.

use super::{Scene, extent};
use crate::ground::{outline, polygon};
use crate::report::{Promise, Report};
use geo::{Contains, Point, Polygon};
use std::collections::{BTreeMap, BTreeSet};

/// Sides lie against one another within this, mm.
const MEET: f64 = 0.001;
/// They share more than this, or touch at a corner only, mm.
const SHARED: f64 = 1.0;
/// How fine the boards' places along the rows are filed, mm.
const CELL: f64 = 1000.0;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let (house, fitting) = (scene.house, &scene.house.fitting);
    let count = house.boards.len();
    let mut place = vec![usize::MAX; count];
    let mut at = 0;
    for step in &fitting.order {
        for board in &step.boards {
            at += 1;
            let again = place[*board] != usize::MAX;
            let of_run = house.boards[*board].run == step.run;
            report.hold(Promise::Order, !again && of_run, || {
                (house.boards[*board].label.clone(), "it is laid twice, or in another run's turn".into())
            });
            place[*board] = at;
        }
    }
    report.hold(Promise::Order, at == count && fitting.boards.len() == count, || {
        ("the order".into(), format!("{at} boards are laid, there are {count}"))
    });
    for (index, way) in fitting.boards.iter().enumerate().take(count) {
        report.hold(Promise::Order, way.laid == place[index], || {
            (
                house.boards[index].label.clone(),
                format!("its turn is {}, the order has it at {}", way.laid, place[index]),
            )
        });
    }
    if at == count {
        let turn = turns(scene, report);
        feasible(scene, report, &place, &turn);
    }
}

/// When each board's turn comes: what lies, then the stages in the order of their days, then what is in none. A board all
/// in one room goes in with that room's stage.
fn turns(scene: &Scene, report: &mut Report) -> Vec<usize> {
    let house = scene.house;
    let mut days: Vec<usize> = (0..scene.plan.stages.len()).collect();
    days.sort_by_key(|stage| scene.plan.stages[*stage].day);
    let place_of = |room: &str| {
        days.iter().position(|stage| scene.plan.stages[*stage].rooms.iter().any(|name| name == room))
    };
    let is_staged = |_: &&crate::plan::Room| !days.is_empty();
    let rooms: Vec<Polygon> =
        scene.plan.rooms.iter().filter(is_staged).map(|room| polygon(&outline(room))).collect();
    let mut turn = vec![0; house.boards.len()];
    let mut last = 0;
    for (number, step) in house.fitting.order.iter().enumerate() {
        let own = match step.start.as_str() {
            "lies" => 0,
            _ if scene.plan.stages.is_empty() => 1,
            _ => step.stage.map_or(usize::MAX, |stage| stage + 1),
        };
        let known = step.stage.is_none_or(|stage| stage < days.len());
        report.hold(Promise::Order, own >= last && known, || {
            (
                format!("step {}", number + 1),
                "it belongs to an earlier stage, or to none of the plan's".into(),
            )
        });
        last = last.max(own);
        for board in &step.boards {
            turn[*board] = own;
            let corners = || scene.boards[*board].exterior().coords();
            let room = rooms.iter().position(|room| corners().all(|at| room.contains(&Point::from(*at))));
            let Some(room) = room.filter(|_| own > 0 && !days.is_empty()) else { continue };
            let stage = place_of(&scene.plan.rooms[room].name);
            report.hold(Promise::Order, step.stage == stage, || {
                let (label, name) = (house.boards[*board].label.clone(), &scene.plan.rooms[room].name);
                (label, format!("it lies in {name} and is laid with another stage"))
            });
        }
    }
    turn
}

/// Boards beside one another across a row line: which lies against the other's groove edge.
struct Beside {
    /// On its groove side, nearer to the start line.
    near: usize,
    far: usize,
    /// Whether a slip tongue joins them.
    is_slip: bool,
}

fn feasible(scene: &Scene, report: &mut Report, place: &[usize], turn: &[usize]) {
    let house = scene.house;
    let mut before: Vec<Vec<usize>> = vec![Vec::new(); house.boards.len()];
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); house.boards.len()];
    for Beside { near, far, is_slip } in beside(scene) {
        // What an earlier stage laid waits for nothing of a later one, and stands in its way.
        if turn[near] <= turn[far] {
            before[far].push(near);
        }
        // Along the start line both show their grooves: neither stands in the other's way.
        if !is_slip && turn[far] >= turn[near] {
            after[near].push(far);
        }
    }
    // From the worker's left: along the rows above the line, against them below it.
    for joint in &house.joints {
        let [left, right] = joint.boards;
        let (first, second) = if house.boards[left].turned { (right, left) } else { (left, right) };
        let lies = (house.boards[first].laid && house.boards[second].laid) || turn[second] < turn[first];
        report.hold(Promise::Order, lies || place[first] < place[second], || {
            (house.boards[first].label.clone(), "the board past its end joint goes in before it".into())
        });
    }
    for (number, step) in house.fitting.order.iter().enumerate() {
        let in_rows = step.boards.iter().all(|board| house.boards[*board].is_in_row());
        if !in_rows || step.start == "lies" {
            continue;
        }
        let label = || {
            format!(
                "step {}, run of {}",
                number + 1,
                step.boards.first().map_or("", |b| house.boards[*b].label.as_str())
            )
        };
        let held = step.boards.iter().flat_map(|board| &before[*board]);
        let all_lie = held.clone().all(|near| place[*near] < place[step.boards[0]]);
        report.hold(Promise::Order, all_lie, || (label(), "what it is joined to is not laid yet".into()));
        let has_any = held.count() > 0;
        report.hold(
            Promise::Order,
            (step.start == "on-row") == has_any || matches!(step.start.as_str(), "on-slip" | "back"),
            || (label(), format!("it begins `{}`, and rows beside its groove edge: {has_any}", step.start)),
        );
        // Runs that come together in it are those on its groove side.
        let mut near: Vec<usize> =
            step.boards.iter().flat_map(|b| &before[*b]).map(|b| house.boards[*b].run).collect();
        near.sort_unstable();
        near.dedup();
        let mut joins = step.joins.clone();
        joins.sort_unstable();
        report.hold(Promise::Order, joins.is_empty() || joins == near, || {
            (label(), format!("it says it joins runs {joins:?}, beside it lie {near:?}"))
        });
    }
    // A board goes in from its tongue side: nothing may lie there before it, but what goes in another way.
    for (index, beyond) in after.iter().enumerate() {
        let free = beyond.iter().all(|far| place[*far] > place[index]);
        report.hold(Promise::Order, free || house.fitting.boards[index].way == "blocked", || {
            (house.boards[index].label.clone(), "a board lies already where it comes in".into())
        });
    }
}

/// Pairs of boards in neighbouring rows whose long sides lie against one another, in one region.
fn beside(scene: &Scene) -> Vec<Beside> {
    let house = scene.house;
    let mut filed: BTreeMap<(usize, i64, i64), Vec<usize>> = BTreeMap::new();
    let cells = |board: usize| {
        let ([left, right], _) = extent(&scene.rows[board]);
        (left / CELL).floor() as i64..=(right / CELL).floor() as i64
    };
    for (index, board) in house.boards.iter().enumerate().filter(|(_, board)| board.is_in_row()) {
        for cell in cells(index) {
            filed.entry((board.region, board.row, cell)).or_default().push(index);
        }
    }
    // What is laid back from a doorway comes second along its slip tongue, on whichever side of it.
    let back_steps = house.fitting.order.iter().filter(|step| step.start == "back");
    let back: BTreeSet<usize> = back_steps.flat_map(|step| step.boards.iter().copied()).collect();
    let mut all = Vec::new();
    for (index, board) in house.boards.iter().enumerate().filter(|(_, board)| board.is_in_row()) {
        let mut above: Vec<usize> = cells(index)
            .flat_map(|cell| filed.get(&(board.region, board.row + 1, cell)).map_or(&[][..], Vec::as_slice))
            .copied()
            .collect();
        above.sort_unstable();
        above.dedup();
        for other in above {
            if !touch(scene, index, other) {
                continue;
            }
            let is_slip = house.boards[other].turned != board.turned;
            // Below the line boards lie turned, and the row above them lies first.
            let is_second = match is_slip && back.contains(&index) != back.contains(&other) {
                true => back.contains(&index),
                false => board.turned,
            };
            all.push(match is_second {
                true => Beside { near: other, far: index, is_slip },
                false => Beside { near: index, far: other, is_slip },
            });
        }
    }
    all
}

/// Whether the upper side of one lies along the lower side of the other.
fn touch(scene: &Scene, low: usize, high: usize) -> bool {
    let level = |board: usize| {
        let lines = scene.rows[board].exterior().lines().collect::<Vec<_>>();
        lines.into_iter().filter(|line| (line.start.y - line.end.y).abs() <= MEET)
    };
    let shared = |a: &geo::Line, b: &geo::Line| {
        let left = a.start.x.min(a.end.x).max(b.start.x.min(b.end.x));
        let right = a.start.x.max(a.end.x).min(b.start.x.max(b.end.x));
        (a.start.y - b.start.y).abs() <= MEET && right - left > SHARED
    };
    level(low).any(|a| level(high).any(|b| shared(&a, &b)))
}
