//! Prints, in one run, what an edit costs on a workbench against a full run, on the sample house and on a block.
#![allow(clippy::print_stdout)]

use pipeline::{Kept, Workbench};
use plan::{Plan, edit};
use startrow_bench::floors::block;
use startrow_bench::sample;
use std::hint::black_box;
use std::time::{Duration, Instant};

const ROUNDS: usize = 15;

type Edit = fn(&mut Plan, usize);

/// Edits that go back and forth, so that each round changes something.
const EDITS: [(&str, Edit); 5] = [
    ("a wall of one room moves", |plan, round| {
        let by = if round % 2 == 0 { 5.0 } else { -5.0 };
        let wall = 1.min(plan.rooms[1].walls.len() - 1);
        drop(edit::move_wall(plan, 1, wall, by));
    }),
    ("a room is renamed", |plan, round| drop(edit::rename_room(plan, 0, &format!("Renamed {round}")))),
    ("another seed", |plan, _| plan.seed += 1),
    ("another price", |plan, round| plan.stock.pack_price = Some(50.0 + round as f64)),
    ("nothing", |_, _| ()),
];

fn main() {
    println!("| floor | edit | set-out kept | boards kept | part of a full run |");
    println!("| --- | --- | --- | --- | ---: |");
    for plan in [sample(), block(1000.0)] {
        for (name, change) in EDITS {
            let (part, kept) = measured(&plan, change);
            let word = |kept| if kept { "yes" } else { "no" };
            println!("| {} | {name} | {} | {} | {part:.2} |", plan.name, word(kept.setout), word(kept.floor));
        }
    }
}

fn measured(plan: &Plan, change: Edit) -> (f64, Kept) {
    let (mut plan, mut bench) = (plan.clone(), Workbench::default());
    let (mut edited, mut full) = (Duration::MAX, Duration::MAX);
    drop(black_box(bench.run(&plan)));
    for round in 0..ROUNDS {
        change(&mut plan, round);
        let start = Instant::now();
        drop(black_box(bench.run(&plan)));
        edited = edited.min(start.elapsed());
        let start = Instant::now();
        drop(black_box(pipeline::run(&plan)));
        full = full.min(start.elapsed());
    }
    (edited.as_secs_f64() / full.as_secs_f64(), bench.kept())
}
