//! Each stage on the sample house, and the whole from plan to findings.

use divan::Bencher;
use startrow_bench::sample;

fn main() {
    divan::main();
}

#[divan::bench]
fn a_problems(bencher: Bencher) {
    let plan = sample();
    bencher.bench(|| plan.problems());
}

#[divan::bench]
fn b_site(bencher: Bencher) {
    let plan = sample();
    bencher.bench(|| site::survey(&plan));
}

#[divan::bench]
fn c_setout(bencher: Bencher) {
    let plan = sample();
    let site = site::survey(&plan);
    bencher.bench(|| setout::set_out(&plan, &site));
}

#[divan::bench]
fn d_lay(bencher: Bencher) {
    let plan = sample();
    let site = site::survey(&plan);
    let setout = setout::set_out(&plan, &site);
    bencher.bench(|| lay::lay(&plan, &site, &setout));
}

#[divan::bench]
fn e_findings(bencher: Bencher) {
    let house = house();
    bencher.bench(|| findings::inspect(&house.plan, &house.site, &house.floor, &house.fit));
}

#[divan::bench]
fn f_order(bencher: Bencher) {
    let house = house();
    bencher.bench(|| order::order(&house.plan, &house.site, &house.floor));
}

#[divan::bench]
fn g_plan_to_order(bencher: Bencher) {
    let plan = sample();
    bencher.bench(|| pipeline::run(&plan));
}

fn house() -> pipeline::House {
    match pipeline::run(&sample()) {
        Ok(house) => house,
        Err(problems) => panic!("the sample house has problems: {problems:?}"),
    }
}
