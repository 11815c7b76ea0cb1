//! scratch
#![allow(clippy::print_stdout)]
use startrow_bench::instances::all;
use std::hash::{DefaultHasher, Hash, Hasher};
fn main() {
    let word = std::env::args().nth(1).unwrap_or_default();
    for mut instance in all() {
        if !(instance.name.contains("three lengths") || instance.name.starts_with("sample"))
            || !instance.name.contains(&word)
        {
            continue;
        }
        let Ok(first) = pipeline::run(&instance.plan) else { continue };
        instance.plan.effort = 1_000_000.max(300 * first.floor.runs.len() as u64);
        let began = std::time::Instant::now();
        let Ok(house) = pipeline::run(&instance.plan) else { continue };
        let mut hasher = DefaultHasher::new();
        format!("{:?}", house.floor).hash(&mut hasher);
        println!(
            "{}: {} {} {:?} {:x} {:?}",
            instance.name,
            house.order.opened,
            house.order.packs,
            findings::look(&instance.plan, &house.floor).short_boards,
            hasher.finish(),
            began.elapsed()
        );
    }
}
