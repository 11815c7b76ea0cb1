//! dbg
fn main() {
    let plan = startrow_tests::house(150935);
    let site = site::survey(&plan);
    let s = setout::set_out(&plan, &site);
    println!("pitch {}", s.pitch);
    for w in s.curve.windows(2) { if w[1].offset > 63.0 && w[0].offset < 65.0 { println!("{:?} {:?}", w[0], w[1]); } }
    for e in site.regions.iter().flat_map(|r| r.edges()) { if (e.b.v - e.a.v).abs() <= 0.1 * (e.b.u - e.a.u).abs() { let (l, h) = e.v_range(); println!("{:?} {} above {} low {:.4} high {:.4} gap {}", e.kind, e.length(), e.floor_is_above(), l.rem_euclid(s.pitch), h.rem_euclid(s.pitch), e.gap); } }
    let plan = startrow_tests::house(724808);
    let site = site::survey(&plan);
    let s = setout::set_out(&plan, &site);
    let l = s.line.unwrap(); println!("{l:?} {:?} v {}", s.chosen.rips[l.first_rip.unwrap()], site.frame.row_from_plan(s.chosen.rips[l.first_rip.unwrap()].at).v);
}
