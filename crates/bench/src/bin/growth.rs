//! Prints how each stage's time grows with the floor, from 20 to 100 000 m², in one run.

use startrow_bench::floors::{Kind, boarded_area};
use startrow_bench::stages::{STAGES, times};
use std::time::Duration;

const AREAS: [f64; 5] = [20.0, 140.0, 1000.0, 10_000.0, 100_000.0];

fn main() {
    let most: f64 = std::env::args().nth(1).and_then(|arg| arg.parse().ok()).unwrap_or(100_000.0);
    for kind in Kind::ALL {
        print!("{:<18} {:>9}", kind.word(), "m²");
        STAGES.iter().for_each(|stage| print!(" {stage:>17}"));
        println!();
        let mut smallest: Option<[f64; 8]> = None;
        for area in AREAS.into_iter().filter(|area| *area <= kind.largest().min(most)) {
            let plan = kind.floor(area);
            let area = boarded_area(&plan);
            let rounds = (20_000.0 / area).clamp(1.0, 50.0) as usize;
            let took = times(&plan, rounds);
            let per_area = took.map(|took: Duration| took.as_secs_f64() * 1e6 / area);
            let first = *smallest.get_or_insert(per_area);
            print!("{:<18} {area:>9.0}", "");
            for i in 0..STAGES.len() {
                print!(" {:>9.3}ms {:>5.2}", took[i].as_secs_f64() * 1e3, per_area[i] / first[i].max(1e-9));
            }
            println!();
        }
    }
}
