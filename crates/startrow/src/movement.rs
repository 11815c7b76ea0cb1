//! What the seasons do to the floor, on the command line.

use crate::load;
use fit::{Change, JointLaid, Proposal, Stretch};
use pipeline::House;
use plan::{Climate, Plan, format_length, format_tape};
use site::Source;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Says it, or writes it as JSON; and writes the plan with the joints proposed where that is asked for.
pub(crate) fn run(
    path: &Path,
    propose: bool,
    save: Option<PathBuf>,
    json: Option<PathBuf>,
) -> anyhow::Result<()> {
    let house = load::house(path)?;
    let proposals = propose.then(|| house.proposals());
    match &json {
        Some(to) => load::write(to, &crate::json_text(&house.movement_document(proposals.as_deref()))?)?,
        // What goes to standard output must be the plan alone.
        None if save.as_deref() == Some(Path::new("-")) => {}
        None => crate::print(&text(&house, proposals.as_deref()))?,
    }
    if let Some(to) = save {
        let mut plan = Plan::clone(&house.plan);
        plan.joints.extend(proposals.into_iter().flatten().map(|proposal| proposal.joint));
        load::save(&to, &plan::write(&plan))?;
    }
    Ok(())
}

fn text(house: &House, proposals: Option<&[Proposal]>) -> String {
    let mut out = String::new();
    let mut say = |line: String| {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{line}");
    };
    say(format!("{} — movement", house.plan.name));
    say(String::new());
    seasons(house, &mut say);
    limits(house, &mut say);
    joints(house, &mut say);
    if let Some(proposals) = proposals {
        say(String::new());
        say("Proposed joints".into());
        let beyond = house.beyond_joints(usize::MAX);
        if proposals.is_empty() && beyond.is_empty() {
            say("  none: the floor is within its limits".into());
        }
        for words in beyond {
            say(format!("  none for {words}"));
        }
        for proposal in proposals {
            say(format!("  {}", proposed(house, proposal)));
            for mark in &proposal.marks {
                say(format!("      {mark}"));
            }
            for what in &proposal.comes_with {
                say(format!("      comes with {what}"));
            }
        }
    }
    out
}

fn length(house: &House, mm: f64) -> String {
    format_tape(mm, house.plan.units)
}

fn tenth(house: &House, mm: f64) -> String {
    format_length((mm * 10.0).round() / 10.0, house.plan.units)
}

fn seasons(house: &House, say: &mut impl FnMut(String)) {
    let plan = &house.plan;
    let (Some(movement), Some(wood), Some(air)) = (&house.fit.movement, &plan.stock.wood, &plan.air) else {
        let missing = match (plan.stock.wood.is_some(), plan.air.is_some()) {
            (false, false) => "what the boards are made of (`stock`, `wood`), and the air (`air`)",
            (false, true) => "what the boards are made of (`stock`, `wood`)",
            _ => "the air as laid, driest and dampest (`air`)",
        };
        say(format!("Moisture and swelling are not known: the plan does not say {missing}."));
        return;
    };
    say("Air, and where the wood comes to rest in it".into());
    let contents = [movement.moisture.laid, movement.moisture.driest, movement.moisture.dampest];
    for ((field, climate), content) in air.each().into_iter().zip(contents) {
        let air = match climate {
            Climate::Air { degrees, humidity } => format!("{degrees} °C, {humidity} % humidity"),
            Climate::Moisture(_) => "as a meter reads".to_owned(),
        };
        say(format!("  {field:<8}  {air:<22}  {content:.2} %"));
    }
    let outside = contents.iter().any(|content| !(fit::VALID[0]..=fit::VALID[1]).contains(content));
    if outside && wood.construction.is_solid() {
        say(format!(
            "  The species' figure is published for {} to {} %; outside that it is a guess.",
            fit::VALID[0],
            fit::VALID[1]
        ));
    }
    let c = &movement.coefficients;
    say(String::new());
    say(format!("{}, {} — mm a metre for each percent", wood.species.word(), wood.construction.word()));
    say(format!("  the face's wood, free  {:.2}", c.free * 1000.0));
    say(format!("  as the boards are built  {:.2}  ({})", c.built * 1000.0, fit::source(wood)));
    say(format!("  along them  {:.2}  ({})", c.along * 1000.0, fit::ALONG_SOURCE));
    say(match c.held_back > 0.0 {
        true => {
            format!("  held back by the adhesive  {:.0} %, an assumption, no source", c.held_back * 100.0)
        }
        false => "  held back by the adhesive  nothing: it lies loose".to_owned(),
    });
    if c.held_back > 0.0 {
        say(format!(
            "  joints between boards open by {} at the driest; the most is {}",
            tenth(house, movement.opening),
            tenth(house, movement.greatest_opening)
        ));
    }
    for (title, stretches) in [
        ("Across the boards, gaps against movement", &movement.widths),
        ("Along the boards", &movement.lengths),
    ] {
        say(String::new());
        say(title.into());
        for each in stretches {
            stretch(house, each, say);
        }
    }
    say("  The wood takes weeks to follow the air, and a finish slows it; makers' sheets and local codes come first.".into());
}

fn stretch(house: &House, stretch: &Stretch, say: &mut impl FnMut(String)) {
    let ends: Vec<String> = stretch
        .ends
        .iter()
        .map(|end| {
            let room = end.room.map_or_else(|| "no bound".to_owned(), |room| tenth(house, room));
            format!("{} ({room})", end.source.name(&house.plan))
        })
        .collect();
    say(format!("  {}  {}", length(house, stretch.extent), ends.join(" to ")));
    let all = |c: &Change| {
        format!(
            "{} (built {}, free {})",
            tenth(house, c.expected),
            tenth(house, c.built),
            tenth(house, c.free)
        )
    };
    let verdict = match stretch.left() {
        Some(left) if left < -0.05 => format!("{} too little", tenth(house, -left)),
        Some(left) => format!("{} to spare", tenth(house, left)),
        None => "no bound at an end".to_owned(),
    };
    say(format!("      swells {}, shrinks {}; {verdict}", all(&stretch.swells), all(&stretch.shrinks)));
    let published = stretch.published_gap();
    let words = published.words(|mm| tenth(house, mm));
    say(format!("      a gap of {words} at each end is published ({})", published.source));
}

fn limits(house: &House, say: &mut impl FnMut(String)) {
    say(String::new());
    say("Continuous floor".into());
    let widest = |list: &[fit::Continuous]| list.iter().map(|c| c.extent).fold(0.0, f64::max);
    let rules = &house.plan.rules;
    for (word, list, limit) in [
        ("across", &house.fit.widths, rules.greatest_width),
        ("along", &house.fit.lengths, rules.greatest_length),
    ] {
        let extent = widest(list);
        let over = if extent > limit { ": too much" } else { "" };
        say(format!("  {word:<6}  {} of {}{over}", length(house, extent), length(house, limit)));
    }
}

fn joints(house: &House, say: &mut impl FnMut(String)) {
    say(String::new());
    say("Movement joints".into());
    if house.fit.joints.is_empty() {
        say("  none".into());
    }
    for joint in &house.fit.joints {
        say(format!("  {}: {}", Source::Joint(joint.joint).name(&house.plan), laid(house, joint)));
        for mark in fit::marks_in_words(&house.plan, &house.site, joint, |mm| length(house, mm)) {
            say(format!("      {mark}"));
        }
        let moved = house.fit.movement.as_ref().and_then(|movement| movement.joints.get(joint.joint));
        if let Some(moved) = moved.filter(|_| !joint.stretches.is_empty()) {
            say(format!(
                "      closes by {}, opens by {}; its filler takes {}",
                tenth(house, moved.closes),
                tenth(house, moved.opens),
                tenth(house, fit::FILLER_TAKES * joint.width)
            ));
        }
    }
    for line in &house.order.filler {
        say(format!("  filler  {}", line.arithmetic(house.plan.units)));
    }
}

fn laid(house: &House, joint: &JointLaid) -> String {
    if joint.stretches.is_empty() {
        return "lies on no boards".into();
    }
    let size = format!("{} wide, {} long", length(house, joint.width), length(house, joint.length));
    let how = match (joint.above_row, joint.along_rows) {
        (Some(row), _) => {
            format!(
                "after row {}, {} from where it is drawn",
                house.floor.row_name(joint.region.unwrap_or(0), row),
                length(house, joint.moved.abs())
            )
        }
        (None, true) => "along the rows, boards ripped beside it".to_owned(),
        (None, false) => "across the rows".to_owned(),
    };
    let ends = match joint.open_ends.len() {
        0 => "",
        _ => "; it ends in the floor",
    };
    format!("{size}, {how}{ends}")
}

fn proposed(house: &House, proposal: &Proposal) -> String {
    let what = if proposal.along_rows { "width" } else { "length" };
    format!(
        "{}, {} long, {} wide: {what} {} becomes {} of {}",
        proposal.place(&house.plan),
        length(house, proposal.length),
        length(house, proposal.joint.width),
        length(house, proposal.before),
        length(house, proposal.after),
        length(house, proposal.limit)
    )
}
