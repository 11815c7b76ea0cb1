//! dbg
fn main() {
    let seed: u64 = std::env::args().nth(1).unwrap().parse().unwrap();
    let plan = startrow_tests::house(seed);
    let h = pipeline::run(&plan).unwrap();
    println!("rows {} line {} pitch {}", plan.rows_at, h.floor.line, h.floor.pitch);
    for (i, region) in h.site.regions.iter().enumerate() {
        let laid: f64 = h.floor.boards.iter().filter(|b| b.region == i).map(|b| b.area).sum();
        println!("region {i} {} {}", region.area, laid);
        if std::env::args().nth(2).is_some() {
            for ring in region.rings() { println!("-"); for e in &ring.edges { println!("{:?} {} {} {:.3} ({:.4},{:.4})", e.kind, e.source.name(&plan), e.gap, e.length(), e.a.u, e.a.v); } }
            let mut rows = std::collections::BTreeMap::new();
            for b in h.floor.boards.iter().filter(|b| b.region == i) { *rows.entry(b.row).or_insert(0.0) += b.area; }
            println!("{rows:?}");
            let rings: Vec<Vec<site::Uv>> = region.rings().map(|r| r.edges.iter().map(|e| e.a).collect()).collect();
            let cuts: Vec<f64> = (-4..18).map(|k| h.floor.line + k as f64 * h.floor.pitch).collect();
            let rows = lay::slice(&rings, &cuts);
            for (k, r) in rows.iter().enumerate() { let a: f64 = r.iter().map(|o| o.area()).sum(); println!("row {} {} {}", k as i32 - 4, a, r.len()); }
            for o in &rows[6] { println!("{o:?}"); }
            for r in h.floor.runs.iter().filter(|r| r.row == 2) { println!("{r:?}"); for b in &h.floor.boards[r.boards.clone()] { println!("  {} {} {} {}", b.left, b.right, b.area, b.label); } }
        }
    }
    if let Some(l) = std::env::args().nth(2) { for b in &h.floor.boards { let s = &h.floor.stock[b.stock]; if b.label.starts_with(&l) { println!("{b:?}\n{s:?}"); } } }
}
