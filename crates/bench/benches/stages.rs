//! Each stage, and the whole from plan to order, on the sample house and on 10 000 m².

use divan::Bencher;
use plan::Plan;
use startrow_bench::floors::{hall, wing};
use startrow_bench::sample;

const FLOORS: [&str; 3] = ["sample", "hall of 10 000 m²", "wing of 10 000 m²"];

fn main() {
    divan::main();
}

fn floor(name: &str) -> Plan {
    match name {
        "sample" => sample(),
        "hall of 10 000 m²" => hall(10_000.0),
        _ => wing(10_000.0),
    }
}

fn house(name: &str) -> pipeline::House {
    match pipeline::run(&floor(name)) {
        Ok(house) => house,
        Err(problems) => panic!("{name} has problems: {problems:?}"),
    }
}

#[divan::bench(args = FLOORS)]
fn a_problems(bencher: Bencher, name: &str) {
    let plan = floor(name);
    bencher.bench(|| plan.problems());
}

#[divan::bench(args = FLOORS)]
fn b_site(bencher: Bencher, name: &str) {
    let plan = floor(name);
    bencher.bench(|| site::survey(&plan));
}

#[divan::bench(args = FLOORS)]
fn c_setout(bencher: Bencher, name: &str) {
    let plan = floor(name);
    let site = site::survey(&plan);
    bencher.bench(|| setout::set_out(&plan, &site));
}

#[divan::bench(args = FLOORS, max_time = 5)]
fn d_lay(bencher: Bencher, name: &str) {
    let plan = floor(name);
    let surveyed = site::survey(&plan);
    let setout = setout::set_out(&plan, &surveyed);
    let site = site::eased(&surveyed, &setout.eases);
    bencher.bench(|| lay::lay(&plan, &site, &setout));
}

#[divan::bench(args = FLOORS)]
fn e_fit(bencher: Bencher, name: &str) {
    let house = house(name);
    bencher.bench(|| fit::fit(&house.plan, &house.site, &house.floor));
}

#[divan::bench(args = FLOORS)]
fn f_findings(bencher: Bencher, name: &str) {
    let house = house(name);
    bencher.bench(|| findings::inspect(&house.plan, &house.site, &house.floor, &house.fit));
}

#[divan::bench(args = FLOORS)]
fn g_order(bencher: Bencher, name: &str) {
    let house = house(name);
    bencher.bench(|| order::order(&house.plan, &house.site, &house.floor));
}

#[divan::bench(args = FLOORS, max_time = 5)]
fn h_plan_to_order(bencher: Bencher, name: &str) {
    let plan = floor(name);
    bencher.bench(|| pipeline::run(&plan));
}
