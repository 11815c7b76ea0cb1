//! Prints, in one run, what an edit costs on a workbench against a full run, on the sample house and on a block.
#![allow(clippy::print_stdout)]

use pipeline::{Kept, Workbench};
use plan::{FixtureKind, Plan, Slab, StartLine, edit};
use startrow_bench::floors::block;
use startrow_bench::sample;
use std::hint::black_box;
use std::time::{Duration, Instant};

const ROUNDS: usize = 40;
/// How far things move, to and fro, mm.
const BY: f64 = 5.0;

type Edit = Box<dyn Fn(&mut Plan, usize)>;

/// Edits of a plan that go back and forth, so that each round changes something and none breaks it.
fn edits(plan: &Plan) -> Vec<(&'static str, Edit)> {
    let middle = plan.rooms.len() / 2;
    let mut edits: Vec<(&str, Edit)> = vec![
        ("a wall of the second room moves", Box::new(|plan, round| move_wall(plan, 1, round))),
        ("a wall of a room in the middle moves", Box::new(move |plan, round| move_wall(plan, middle, round))),
    ];
    if let Some(door) = movable(plan, plan.doorways.len(), move_doorway) {
        edits.push(("a doorway moves", Box::new(move |plan, round| move_doorway(plan, door, by(round)))));
    }
    if let Some(fixture) = movable(plan, plan.fixtures.len(), move_fixture) {
        edits.push(("a fixture moves", Box::new(move |plan, round| move_fixture(plan, fixture, by(round)))));
    }
    edits.push((
        "a room is renamed",
        Box::new(|plan, round| drop(edit::rename_room(plan, 0, &format!("Renamed {round}")))),
    ));
    edits.push((
        "a slab lies higher",
        Box::new(|plan, round| plan.rooms[0].slab_level = 1.0 + (round % 2) as f64),
    ));
    edits.push((
        "the slab's record",
        Box::new(|plan, round| {
            let thickness = Some(100.0 + round as f64);
            plan.slab = Some(Slab { thickness, ..plan.slab.take().unwrap_or_default() });
        }),
    ));
    edits.push(("another seed", Box::new(|plan, _| plan.seed += 1)));
    edits.push(("another price", Box::new(|plan, round| plan.stock.pack_price = Some(50.0 + round as f64))));
    edits.push(("nothing", Box::new(|_, _| ())));
    edits
}

fn by(round: usize) -> f64 {
    if round.is_multiple_of(2) { BY } else { -BY }
}

/// Of so many things the one nearest to the middle of their list that may move.
fn movable(plan: &Plan, count: usize, change: fn(&mut Plan, usize, f64)) -> Option<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by_key(|thing| thing.abs_diff(count / 2));
    order.into_iter().find(|thing| {
        let mut moved = plan.clone();
        change(&mut moved, *thing, BY);
        moved != *plan && moved.problems().is_empty()
    })
}

fn move_wall(plan: &mut Plan, room: usize, round: usize) {
    let wall = 1.min(plan.rooms[room].walls.len() - 1);
    drop(edit::move_wall(plan, room, wall, by(round)));
}

fn move_doorway(plan: &mut Plan, doorway: usize, by: f64) {
    plan.doorways[doorway].at += by;
}

/// Boards pass over some, which move without changing anything.
fn move_fixture(plan: &mut Plan, fixture: usize, by: f64) {
    let fixture = &mut plan.fixtures[fixture];
    if !matches!(fixture.kind, FixtureKind::LowSpot { .. } | FixtureKind::Rebate { .. }) {
        fixture.outline.iter_mut().for_each(|corner| *corner = corner.moved(by, 0.0));
    }
}

fn main() {
    println!("| floor | edit | kept | runs from memory, % | part of a full run |");
    println!("| --- | --- | --- | ---: | ---: |");
    for plan in [sample(), block(1000.0)] {
        for (line, plan) in [("best line", plan.clone()), ("line snapped", snapped(plan))] {
            for (name, change) in edits(&plan) {
                let Measured { part, kept, again } = measured(&plan, &change);
                println!("| {}, {line} | {name} | {} | {again:.0} | {part:.2} |", plan.name, words(kept));
            }
        }
    }
}

fn words(kept: Kept) -> String {
    let all =
        [(kept.setout, "set-out"), (kept.floor, "boards"), (kept.fit, "fit"), (kept.flags, "flags, order")];
    let kept: Vec<&str> = all.into_iter().filter(|(kept, _)| *kept).map(|(_, word)| word).collect();
    kept.join(", ")
}

/// The same plan with its best line taken for good, as it is once it is snapped.
fn snapped(mut plan: Plan) -> Plan {
    if let Ok(house) = pipeline::run(&plan) {
        plan.start_line = StartLine::At(house.setout.chosen.offset);
    }
    plan
}

/// What an edit costs.
struct Measured {
    /// Its time over that of a full run.
    part: f64,
    kept: Kept,
    /// Runs laid from memory where boards are not kept, % of all.
    again: f64,
}

fn measured(plan: &Plan, change: &Edit) -> Measured {
    let (mut plan, mut bench) = (plan.clone(), Workbench::default());
    let (mut edited, mut full) = ([Duration::MAX; 2], [Duration::MAX; 2]);
    drop(black_box(bench.run(&plan)));
    let mut again = 0.0;
    for round in 0..ROUNDS {
        change(&mut plan, round);
        assert!(plan.problems().is_empty(), "an edit broke the plan");
        let start = Instant::now();
        let house = black_box(bench.run(&plan));
        // To and fro are two plans, which may take unlike time.
        let way = round % 2;
        edited[way] = edited[way].min(start.elapsed());
        let count = house.map_or(1, |house| house.floor.runs.len().max(1));
        again += 100.0 * bench.runs_laid_again() as f64 / (count * ROUNDS) as f64;
        let start = Instant::now();
        drop(black_box(pipeline::run(&plan)));
        full[way] = full[way].min(start.elapsed());
    }
    let sum = |least: [Duration; 2]| least.iter().map(Duration::as_secs_f64).sum::<f64>();
    Measured { part: sum(edited) / sum(full), kept: bench.kept(), again }
}
