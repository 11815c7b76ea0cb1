//! Prints, in one run, what an edit costs on a workbench against a full run, on the sample house and on a block.
#![allow(clippy::print_stdout)]

use pipeline::{Kept, Workbench};
use plan::{Plan, StartLine, edit};
use startrow_bench::floors::block;
use startrow_bench::sample;
use std::hint::black_box;
use std::time::{Duration, Instant};

const ROUNDS: usize = 15;

type Edit = fn(&mut Plan, usize);

/// Edits that go back and forth, so that each round changes something.
const EDITS: [(&str, Edit); 6] = [
    ("a wall of the second room moves", |plan, round| move_wall(plan, 1, round)),
    ("a wall of a room in the middle moves", |plan, round| move_wall(plan, plan.rooms.len() / 2, round)),
    ("a room is renamed", |plan, round| drop(edit::rename_room(plan, 0, &format!("Renamed {round}")))),
    ("another seed", |plan, _| plan.seed += 1),
    ("another price", |plan, round| plan.stock.pack_price = Some(50.0 + round as f64)),
    ("nothing", |_, _| ()),
];

fn move_wall(plan: &mut Plan, room: usize, round: usize) {
    let by = if round.is_multiple_of(2) { 5.0 } else { -5.0 };
    let wall = 1.min(plan.rooms[room].walls.len() - 1);
    drop(edit::move_wall(plan, room, wall, by));
}

fn main() {
    println!("| floor | edit | set-out kept | boards kept | runs from memory, % | part of a full run |");
    println!("| --- | --- | --- | --- | ---: | ---: |");
    for plan in [sample(), block(1000.0)] {
        for (line, plan) in [("best line", plan.clone()), ("line snapped", snapped(plan))] {
            for (name, change) in EDITS {
                let Measured { part, kept, again } = measured(&plan, change);
                let word = |kept| if kept { "yes" } else { "no" };
                println!(
                    "| {}, {line} | {name} | {} | {} | {again:.0} | {part:.2} |",
                    plan.name,
                    word(kept.setout),
                    word(kept.floor)
                );
            }
        }
    }
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

fn measured(plan: &Plan, change: Edit) -> Measured {
    let (mut plan, mut bench) = (plan.clone(), Workbench::default());
    let (mut edited, mut full) = (Duration::MAX, Duration::MAX);
    drop(black_box(bench.run(&plan)));
    let mut again = 0.0;
    for round in 0..ROUNDS {
        change(&mut plan, round);
        let start = Instant::now();
        let house = black_box(bench.run(&plan));
        edited = edited.min(start.elapsed());
        let count = house.map_or(1, |house| house.floor.runs.len().max(1));
        again += 100.0 * bench.runs_laid_again() as f64 / (count * ROUNDS) as f64;
        let start = Instant::now();
        drop(black_box(pipeline::run(&plan)));
        full = full.min(start.elapsed());
    }
    Measured { part: edited.as_secs_f64() / full.as_secs_f64(), kept: bench.kept(), again }
}
