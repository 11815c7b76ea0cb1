//! Doorways and edges in plain words.

use pipeline::House;
use std::fmt::Write;

/// What stands under the table: sawing a leaf or a lining off raises dust.
const CAUTION: &str = "Leaves, linings and kicks are cut with extraction, mask, eye and ear protection; old paint may \
                       hold lead, old adhesive asbestos: have them tested first. A fire door is not cut. Local codes, \
                       the makers' sheets and licensed practice come first.";

/// Every doorway with its stop line, levels, step and leaf; then the gap and cover of every edge; then the kicks.
pub(crate) fn doorways(house: &House) -> String {
    let (plan, fit) = (&house.plan, &house.fit);
    let mut out = String::new();
    let mut say = |line: String| {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{line}");
    };
    let mm = |value: f64| plan::format_length((value * 10.0).round() / 10.0, plan.units);
    let bed = match plan.stock.bed {
        Some(bed) => format!("{} of bed or underlay", mm(bed)),
        None => "no bed or underlay given".to_owned(),
    };
    say(format!("{} — doorways and edges", plan.name));
    say(format!(
        "Boards {} thick, {bed}: {} above the slab.",
        mm(plan.stock.thickness),
        mm(plan.stock.build_up())
    ));
    for found in &fit.doorways {
        let Some(door) = plan.doorways.get(found.doorway) else { continue };
        say(String::new());
        say(door.name.clone());
        for (about, words) in found.facts(plan) {
            say(format!("  {about:<10} {words}"));
        }
    }
    say(String::new());
    say("Gaps and covers".into());
    for line in house.cover_lines() {
        let mark = if line.is_short { "too little: " } else { "" };
        say(format!("  {}: {mark}{}", line.name, line.words));
    }
    if !fit.tucks.is_empty() {
        say(String::new());
        say("Under kicks".into());
        for tuck in &fit.tucks {
            say(format!("  {}: {}", tuck.name(plan), tuck.words(plan)));
        }
    }
    if !fit.appliances.is_empty() {
        say(String::new());
        say("Appliances".into());
        for found in &fit.appliances {
            let Some(fixture) = plan.fixtures.get(found.fixture) else { continue };
            let clearance = match found.clearance < 0.0 {
                true => format!("trapped, {} too high to come out over the boards", mm(-found.clearance)),
                false => format!("{} over it as it comes out over the boards", mm(found.clearance)),
            };
            say(format!("  {}: {clearance}, least {}", fixture.name, mm(found.least)));
        }
    }
    say(String::new());
    say(CAUTION.into());
    out
}
