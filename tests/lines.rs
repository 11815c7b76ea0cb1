//! x
use startrow_tests::house;
fn show(plan: &plan::Plan) {
    let site = site::survey(plan);
    let set = setout::set_out(plan, &site);
    let t = std::time::Instant::now();
    let a = setout::advise(plan, &site, &set);
    println!("{} {:?}  [{:?}]", plan.name, plan.start_line, t.elapsed());
    for s in a.why.sentences() { println!("  {s}"); }
    println!("  stands {:?} safest {:?} set.offset {} twice {:?}", a.robust.stands, a.robust.safest, set.chosen.offset, a.robust.check_twice.map(|m| m.name(plan)));
    for e in &a.robust.endangered { println!("    {} {:.2} slack {:.2} k {:.2}: {}", e.source.name(plan), e.stands, e.slack, e.chain.factor, e.chain.steps.iter().map(|s| format!("{} ({:.2})", s.measure.name(plan), s.part)).collect::<Vec<_>>().join(" > ")); }
    for c in &a.control { println!("  control {} rows {} v {:.1} {:?}", c.place.name(plan, &site), c.rows, c.v, c.pulls.iter().map(|p| (plan.rooms[p.room].name.clone(), p.wall+1, p.distance.round())).collect::<Vec<_>>()); }
    println!("  width range {:?} rows {}", a.width.range, a.width.most_rows);
    for e in &a.width.errors { println!("    {} narrowest {:.1} {:?}", e.wider_by, e.narrowest, e.at); }
}
#[test]
fn x() {
    for n in ["hazel-court", "one-room"] {
        let text = std::fs::read_to_string(format!("{}/../sample-plans/{n}.ron", env!("CARGO_MANIFEST_DIR"))).unwrap();
        let mut plan = plan::read(&text).unwrap();
        show(&plan);
        plan.start_line = plan::StartLine::Safest; show(&plan);
        plan.start_line = plan::StartLine::At(33.0); show(&plan);
        plan.units = plan::Units::FeetInches; show(&plan);
    }
    for seed in 0..12 { show(&house(seed)); }
}
