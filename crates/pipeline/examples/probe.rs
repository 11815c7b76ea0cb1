//! probe
fn main() {
    let path = std::env::args().nth(1).unwrap();
    let plan = plan::read(&std::fs::read_to_string(path).unwrap()).unwrap();
    let t = std::time::Instant::now();
    let site = site::survey(&plan); let t1 = t.elapsed();
    let so = setout::set_out(&plan, &site); let t2 = t.elapsed();
    let fl = lay::lay(&plan, &site, &so); let t3 = t.elapsed();
    let fit = fit::fit(&plan, &site, &fl); let t4 = t.elapsed();
    let fg = findings::inspect(&plan, &site, &fl, &fit); let t5 = t.elapsed();
    let or = order::order(&plan, &site, &fl); let t6 = t.elapsed();
    println!("site {t1:?} setout {:?} lay {:?} fit {:?} find {:?} order {:?} total {t6:?}", t2-t1, t3-t2, t4-t3, t5-t4, t6-t5);
    println!("regions {} bare {:.2} boarded {:.2} edges {}", site.regions.len(), site.bare_area/1e6, site.boarded_area()/1e6, site.regions.iter().map(|r| r.edges().count()).sum::<usize>());
    for (n, c) in [("best", Some(&so.best)), ("next", so.runner_up.as_ref())] { if let Some(c) = c { println!("{n} off {:.3} narrow {:.2} tol {:.2} short {:.0} safe {:.2} binding {:?}", c.offset, c.narrowest, c.narrowest_within_tolerance, c.short_length, c.safe_by, c.binding.len()); } }
    for r in &so.best.rips { println!("  {:?} {} len {:.0} rip {:.1}..{:.1} hid {}", r.kind, r.source.name(&plan), r.length, r.least, r.greatest, r.hidden); }
    println!("{:?}", so.line);
    println!("boards {} area {:.3} joints {} opened {} bound {} packs {} open area {:.2}", fl.boards.len(), fl.boards.iter().map(|b| b.area).sum::<f64>()/1e6, fl.joints.len(), fl.stock.len(), or.bound, or.packs, or.opened_area);
    let mut k = std::collections::BTreeMap::new(); for f in &fg { *k.entry((f.severity, f.kind)).or_insert(0) += 1; } println!("{k:?}");
    for f in fg.iter().take(60) { println!("  {:?} {} {:.1}/{} {}", f.kind, f.place, f.figure, f.limit, f.mend); }
}
