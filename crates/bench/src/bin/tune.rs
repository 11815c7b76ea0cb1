//! Temporary.
#![allow(clippy::print_stdout)]
use startrow_bench::instances::all;
fn main() {
    let effort: u64 = std::env::args().nth(1).unwrap().parse().unwrap();
    let names: Vec<String> = std::env::args().skip(2).collect();
    for instance in all() {
        if !names.iter().any(|n| instance.name.contains(n.as_str())) {
            continue;
        }
        let mut plan = instance.plan.clone();
        plan.effort = 0;
        let first = pipeline::run(&plan).unwrap();
        let mut curve = std::sync::Mutex::new(Vec::new());
        let t = std::time::Instant::now();
        let floor = lay::search(&plan, &first.site, &first.setout, effort, &|p| {
            curve.lock().unwrap().push((p.moves, p.opened, p.faults, p.looks, t.elapsed().as_millis()));
            std::ops::ControlFlow::Continue(())
        });
        let took = t.elapsed();
        plan.effort = effort;
        let order = order::order(&plan, &first.site, &floor);
        let wood: f64 = floor.stock.iter().map(|s| s.length).sum::<f64>() / 1e3;
        let bound = if std::env::var("BOUND").is_ok() {
            let b = order::bound(&plan, &floor, &order);
            format!("bound {} wood {:.1} packs {}", b.boards, b.wood, b.packs)
        } else {
            String::new()
        };
        println!(
            "{}: at once {}/{} -> {}/{} wood {wood:.1} {bound} took {took:?}",
            instance.name, first.order.opened, first.order.packs, order.opened, order.packs
        );
        let c = curve.get_mut().unwrap();
        let step = (c.len() / 6).max(1);
        println!("   {:?}", c.iter().step_by(step).chain(c.last()).collect::<Vec<_>>());
    }
}
