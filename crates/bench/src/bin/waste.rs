//! Where the wood of the instances goes: laid, ripped off, shaped off, sawn, too short to use, left.
//!
//! `waste [NAME] [MOVES]`: only instances whose name holds NAME, searched for so many moves.
#![allow(clippy::print_stdout)]

use startrow_bench::{instances, waste::waste};

fn main() {
    let mut words = std::env::args().skip(1);
    let name = words.next().unwrap_or_default();
    let moves: u64 = words.next().and_then(|word| word.parse().ok()).unwrap_or(0);
    println!("metres: laid, ripped off, shaped off, strips used again, sawn, too short, left");
    for mut instance in instances::all().into_iter().filter(|i| !i.is_small && i.name.contains(&name)) {
        instance.plan.effort = moves;
        let house = match pipeline::run(&instance.plan) {
            Ok(house) => house,
            Err(problems) => {
                println!("{}: {problems:?}", instance.name);
                continue;
            }
        };
        let w = waste(&house.plan, &house.floor);
        println!(
            "{:34} opened {} of {} · {:.1} {:.1} {:.1} {:.1} {:.1} {:.1} {:.1}",
            instance.name,
            house.order.opened,
            house.bound().boards,
            w.laid,
            w.ripped,
            w.shaped,
            w.strips,
            w.sawn,
            w.short,
            w.left
        );
    }
}
