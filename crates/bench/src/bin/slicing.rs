//! Prints, in one run, how much faster boards are cut by row slices than each by a general clipper.
#![allow(clippy::print_stdout)]

use startrow_bench::cutting::Cutting;
use startrow_bench::floors::{hall, wing};
use startrow_bench::sample;
use std::hint::black_box;
use std::time::{Duration, Instant};

const ROUNDS: usize = 20;

fn least(mut run: impl FnMut()) -> Duration {
    let timed = |_| {
        let start = Instant::now();
        run();
        start.elapsed()
    };
    (0..ROUNDS).map(timed).min().unwrap_or_default()
}

fn main() {
    println!("| floor | boards | by slices | by clipping | times faster |");
    println!("| --- | ---: | ---: | ---: | ---: |");
    for plan in [sample(), hall(140.0), wing(500.0)] {
        let cutting = Cutting::new(&plan);
        let sliced = least(|| drop(black_box(cutting.by_slicing())));
        let clipped = least(|| drop(black_box(cutting.by_clipping())));
        println!(
            "| {} | {} | {sliced:.0?} | {clipped:.0?} | {:.0} |",
            plan.name,
            cutting.len(),
            clipped.as_secs_f64() / sliced.as_secs_f64()
        );
    }
}
