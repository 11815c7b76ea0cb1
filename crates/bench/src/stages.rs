//! The stages one by one, with the time each takes.

use plan::Plan;
use std::hint::black_box;
use std::time::{Duration, Instant};

/// Names of the stages, in order.
pub const STAGES: [&str; 8] = ["check", "site", "setout", "lay", "fit", "findings", "order", "all"];

/// Time each stage of [`STAGES`] takes on a plan, the least of `rounds` runs; the last is their sum
/// without the order: plan to findings.
///
/// # Panics
/// When the plan has problems: the floors measured are made to have none.
pub fn times(plan: &Plan, rounds: usize) -> [Duration; 8] {
    let mut least = [Duration::MAX; 8];
    for _ in 0..rounds.max(1) {
        let mut took = [Duration::ZERO; 8];
        let problems = timed(&mut took[0], || plan.problems());
        assert!(problems.is_empty(), "{}: {problems:?}", plan.name);
        let surveyed = timed(&mut took[1], || site::survey(plan));
        let setout = timed(&mut took[2], || setout::set_out(plan, &surveyed));
        let site = site::eased(&surveyed, &setout.eases);
        let floor = timed(&mut took[3], || lay::lay(plan, &site, &setout));
        let fit = timed(&mut took[4], || fit::fit(plan, &site, &floor));
        black_box(timed(&mut took[5], || findings::inspect(plan, &site, &floor, &fit)));
        black_box(timed(&mut took[6], || order::order(plan, &site, &floor)));
        took[7] = took[..6].iter().sum();
        for (least, took) in least.iter_mut().zip(took) {
            *least = took.min(*least);
        }
    }
    least
}

fn timed<T>(took: &mut Duration, run: impl FnOnce() -> T) -> T {
    let start = Instant::now();
    let out = run();
    *took = start.elapsed();
    out
}
