//! Writes the whole set of floors that grow, and prints what comes out: pages, sizes, times, the most memory held.
//!
//!     cargo run --release -p startrow-bench --bin papers -- [MOST_AREA] [PLAN_OUT]
//!
//! Floors over `MOST_AREA`, m², are left out; with `PLAN_OUT` the largest plan of each kind is written to that folder and
//! nothing is measured.
#![allow(clippy::print_stdout)]

use anyhow::{Result, anyhow};
use sheets::{Output, SetOptions, WriteOptions, write_set};
use startrow_bench::floors::{Kind, boarded_area};
use std::collections::BTreeMap;
use std::time::Instant;

const AREAS: [f64; 3] = [140.0, 1000.0, 10_000.0];

fn main() -> Result<()> {
    let most: f64 = std::env::args().nth(1).and_then(|arg| arg.parse().ok()).unwrap_or(f64::INFINITY);
    let areas = || AREAS.into_iter().filter(|area| *area <= most);
    if let Some(folder) = std::env::args().nth(2) {
        for kind in Kind::ALL {
            let Some(area) = areas().next_back() else { continue };
            let name = kind.word().split(' ').next_back().unwrap_or("floor");
            std::fs::write(format!("{folder}/{name}-{area}.ron"), plan::write(&kind.floor(area)))?;
        }
        return Ok(());
    }
    println!(
        "| floor | m² | boards | pages | pages, s | PDF, MB | PDF and lists, s | most memory so far, MB |"
    );
    println!("| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: |");
    for kind in Kind::ALL {
        for area in areas() {
            let house = pipeline::run(&kind.floor(area)).map_err(|problems| anyhow!("{problems:?}"))?;
            let started = Instant::now();
            let pages = sheets::set(&house, &SetOptions::default());
            let paged = started.elapsed().as_secs_f64();
            let outputs = [Output::Pdf, Output::Csv, Output::Xlsx].into();
            let started = Instant::now();
            let files = write_set(&house, &WriteOptions { outputs, ..WriteOptions::default() })?;
            let took = started.elapsed().as_secs_f64();
            let pdf = files.iter().find(|file| file.name.ends_with("pdf")).map_or(0, |file| file.bytes.len());
            println!(
                "| {} | {:.0} | {} | {} | {paged:.2} | {:.1} | {took:.2} | {} |",
                kind.word(),
                boarded_area(&house.plan),
                house.floor.boards.len(),
                pages.len(),
                pdf as f64 / 1e6,
                memory().map_or_else(|| "?".into(), |mb| format!("{mb:.0}"))
            );
            let mut of_sheet: BTreeMap<&str, usize> = BTreeMap::new();
            pages.iter().for_each(|page| *of_sheet.entry(&page.title).or_default() += 1);
            eprintln!("  {of_sheet:?}");
        }
    }
    Ok(())
}

/// The most memory held so far, MB; Linux tells it.
fn memory() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    Some(line.trim().trim_end_matches("kB").trim().parse::<f64>().ok()? / 1000.0)
}
