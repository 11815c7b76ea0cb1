//! Results in plain words.

use findings::Severity;
use pipeline::House;
use plan::format_length;
use std::fmt::Write;

/// The set-out as one would say it on site.
pub(crate) fn setout(house: &House) -> String {
    let length = |mm: f64| format_length(mm, house.plan.units);
    let rips = |least: f64, greatest: f64| {
        if greatest - least < 0.5 {
            length(least.round())
        } else {
            format!("{}–{}", length(least.round()), length(greatest.round()))
        }
    };
    let mut out = String::new();
    let mut say = |line: String| {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{line}");
    };
    let chosen = &house.setout.chosen;
    say(format!(
        "{} — set-out, boards {} wide, {} edges valued",
        house.plan.name,
        length(house.setout.pitch),
        chosen.rips.len()
    ));
    say(String::new());
    if let Some(line) = &house.setout.line {
        say("Snap the line".into());
        for pull in line.pulls.iter().chain(&line.check) {
            let room = &house.plan.rooms[pull.room].name;
            let what = if pull.letter == 'C' { "check" } else { "pull" };
            say(format!(
                "  {}  {room}, corner {}: {what} {}",
                pull.letter,
                pull.wall + 1,
                length(pull.distance.round())
            ));
        }
        if let Some(rip) = line.first_rip.map(|i| &chosen.rips[i]) {
            say(format!(
                "  First rip {} at {}: take {} off; then {} whole rows to the line.",
                rips(rip.least, rip.greatest),
                rip.source.name(&house.plan),
                rips(house.setout.pitch - rip.greatest, house.setout.pitch - rip.least),
                line.rows_to_wall
            ));
        }
    } else {
        say("No row line lies on the floor: is there a boarded room?".into());
    }
    say(format!(
        "  Narrowest {}; safe if the line is out by up to {}.",
        length(chosen.narrowest),
        length(chosen.safe_by)
    ));
    if chosen.short_length > 0.0 {
        say(format!(
            "  {} of edge keep less than {}: no line serves them all.",
            length(chosen.short_length.round()),
            length(house.plan.rules.least_rip)
        ));
    }
    if chosen.offset != house.setout.best.offset {
        say(format!(
            "  This line was set by hand; the best one, at offset {}, leaves {}.",
            length(house.setout.best.offset),
            length(house.setout.best.narrowest)
        ));
    }
    if let Some(next) = &house.setout.runner_up {
        say(format!(
            "  Next best, at offset {}: narrowest {}, {} of edge under the least.",
            length(next.offset),
            length(next.narrowest),
            length(next.short_length.round())
        ));
    }
    say(String::new());
    say("Expect at the edges".into());
    for rip in &chosen.rips {
        let mark = if rip.least - rip.hidden < house.plan.rules.least_rip { "  under the least" } else { "" };
        say(format!(
            "  {:>13}  {} ({}, {} long){mark}",
            rips(rip.least, rip.greatest),
            rip.source.name(&house.plan),
            rip.kind.word(),
            length(rip.length.round())
        ));
    }
    out
}

/// The floor row by row.
pub(crate) fn lay(house: &House) -> String {
    let length = |mm: f64| format_length(mm.round(), house.plan.units);
    let floor = &house.floor;
    let mut out = String::new();
    let mut say = |line: String| {
        let _ = writeln!(out, "{line}");
    };
    say(format!(
        "{} — {} boards, {} end joints, {:.2} m²",
        house.plan.name,
        floor.boards.len(),
        floor.joints.len(),
        house.order.laid_area
    ));
    for run in &floor.runs {
        let boards: Vec<String> = floor.boards[run.boards.clone()]
            .iter()
            .map(|b| {
                let rip =
                    if b.width < floor.pitch { format!(" × {}", length(b.width)) } else { String::new() };
                format!("{} {}{rip}", b.label, length(b.length()))
            })
            .collect();
        say(format!("  row {:>3}  {}", floor.row_number(run.row), boards.join(" | ")));
    }
    out
}

/// The flags, faults first.
pub(crate) fn flags(house: &House) -> String {
    let length = |mm: f64| format_length(mm, house.plan.units);
    let mut out = String::new();
    let mut say = |line: String| {
        let _ = writeln!(out, "{line}");
    };
    for flag in &house.flags {
        let severity = match flag.severity {
            Severity::Fault => "fault",
            Severity::Look => "look ",
        };
        say(format!(
            "{severity}  {} {} (limit {})  {}  — {}",
            flag.kind.word(),
            length(flag.figure),
            length(flag.limit),
            flag.place,
            flag.mend
        ));
    }
    let faults = house.flags.iter().filter(|f| f.severity == Severity::Fault).count();
    say(format!("{faults} faults, {} worth a look", house.flags.len() - faults));
    out
}
