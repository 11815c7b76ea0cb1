//! Prints how each stage's time grows with the floor, from 20 to 100 000 m², in one run: time per m² as a multiple
//! of the smallest floor's, and each stage's part of the whole. An area as argument stops there.
#![allow(clippy::print_stdout)]

use startrow_bench::floors::{Kind, boarded_area};
use startrow_bench::stages::{STAGES, times};

const AREAS: [f64; 5] = [20.0, 140.0, 1000.0, 10_000.0, 100_000.0];
/// Runs of the smallest floors; larger ones have fewer, but always some, so that one disturbed run does not count.
const MOST_ROUNDS: f64 = 100.0;
const LEAST_ROUNDS: f64 = 3.0;

fn main() {
    let most: f64 = std::env::args().nth(1).and_then(|arg| arg.parse().ok()).unwrap_or(f64::INFINITY);
    println!("\nSample house: each stage's part of plan to findings, % (the whole in ms)\n");
    heading("m²");
    let plan = startrow_bench::sample();
    parts_row(boarded_area(&plan), &times(&plan, MOST_ROUNDS as usize).map(|took| took.as_secs_f64()));
    for kind in Kind::ALL {
        println!("\n{}: time per m² as a multiple of the smallest floor's\n", kind.word());
        heading("m²");
        let mut smallest: Option<[f64; 8]> = None;
        let mut parts = Vec::new();
        for area in AREAS.into_iter().filter(|area| *area <= kind.largest().min(most)) {
            let plan = kind.floor(area);
            let area = boarded_area(&plan);
            let rounds = (20_000.0 / area).clamp(LEAST_ROUNDS, MOST_ROUNDS) as usize;
            let took = times(&plan, rounds).map(|took| took.as_secs_f64());
            let per_area = took.map(|took| took / area);
            let first = *smallest.get_or_insert(per_area);
            row(
                area,
                (0..STAGES.len()).map(|i| format!("{:.2}", per_area[i] / first[i].max(f64::MIN_POSITIVE))),
            );
            parts.push((area, took));
        }
        println!("\n{}: each stage's part of plan to findings, % (the whole in ms)\n", kind.word());
        heading("m²");
        for (area, took) in parts {
            parts_row(area, &took);
        }
    }
}

fn parts_row(area: f64, took: &[f64; 8]) {
    let all = took[STAGES.len() - 1];
    let part = |i: usize| match i + 1 == STAGES.len() {
        true => format!("{:.3}", all * 1e3),
        false => format!("{:.1}", 100.0 * took[i] / all),
    };
    row(area, (0..STAGES.len()).map(part));
}

fn heading(first: &str) {
    println!("| {first} | {} |", STAGES.join(" | "));
    println!("| ---: |{}", " ---: |".repeat(STAGES.len()));
}

fn row(area: f64, cells: impl Iterator<Item = String>) {
    println!("| {area:.0} | {} |", cells.collect::<Vec<_>>().join(" | "));
}
