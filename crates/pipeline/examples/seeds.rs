//! probe
fn main() {
    let path = std::env::args().nth(1).unwrap();
    let mut plan = plan::read(&std::fs::read_to_string(path).unwrap()).unwrap();
    for seed in 1..=12 { plan.seed = seed;
    let t = std::time::Instant::now();
    let h = startrow_pipeline::run(&plan).unwrap();
    let e = t.elapsed();
    let mut k = std::collections::BTreeMap::new(); for f in &h.flags { *k.entry(f.kind).or_insert(0) += 1; }
    println!("{e:?} boards {} joints {} opened {} packs {} area {:.2} {k:?}", h.floor.boards.len(), h.floor.joints.len(), h.floor.stock.len(), h.order.packs, h.order.opened_area);
    }
}
