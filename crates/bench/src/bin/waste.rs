//! scratch
#![allow(clippy::print_stdout)]
use startrow_bench::waste::waste;
fn main() {
    let only = std::env::args().nth(1);
    let effort: u64 = std::env::args().nth(2).and_then(|w| w.parse().ok()).unwrap_or(0);
    for mut instance in startrow_bench::instances::all() {
        if instance.is_small || only.as_ref().is_some_and(|o| !instance.name.contains(o.as_str())) {
            continue;
        }
        instance.plan.effort = effort;
        let at = std::time::Instant::now();
        let house = pipeline::run(&instance.plan).unwrap();
        let w = waste(&house.plan, &house.floor);
        let o = &house.order;
        let b = house.bound();
        let faults = house.flags.iter().filter(|f| f.severity == findings::Severity::Fault).count();
        if std::env::var("FLAGS").is_ok() {
            for flag in house.flags.iter().filter(|f| f.severity == findings::Severity::Fault) {
                println!("  {:?} {} {:?}", flag.kind, flag.place, flag.subject);
            }
        }
        println!(
            "{:34} open {} bound {} packs {}/{} wood {:.1} bound {:.1} | laid {:.1} beside {:.1} = {:.1} ripped + {:.1} shaped - {:.1} strips; sawn {:.1} short {:.1} left {:.1} ({}) faults {faults} looks {} {:.0} ms",
            instance.name,
            o.opened,
            b.boards,
            o.packs,
            b.packs,
            o.wood_opened,
            b.wood,
            w.laid,
            w.beside,
            w.ripped,
            w.shaped,
            w.strips,
            w.sawn,
            w.short,
            w.left,
            w.left_count,
            house.flags.len() - faults,
            at.elapsed().as_secs_f64() * 1e3
        );
    }
}
