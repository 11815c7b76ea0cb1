//! Results in plain words.

use findings::Severity;
use pipeline::House;
use plan::{format_length, format_tape};
use std::fmt::Write;

/// The set-out as one would say it on site.
pub(crate) fn setout(house: &House) -> String {
    let length = |mm: f64| format_length(mm, house.plan.units);
    let rips = |least: f64, greatest: f64| {
        let shown = |mm: f64| format_tape(mm, house.plan.units);
        let (from, to) = (shown(least), shown(greatest));
        if greatest - least < 0.5 || from == to { from } else { format!("{from}–{to}") }
    };
    let mut out = String::new();
    let mut say = |line: String| {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{line}");
    };
    let chosen = &house.setout.chosen;
    let is_blocks = house.setout.along.is_some();
    let lines = length(house.setout.pitch);
    let lines = if is_blocks { format!("axis lines {lines} apart") } else { format!("boards {lines} wide") };
    say(format!("{} — set-out, {lines}, {} edges valued", house.plan.name, chosen.rips.len()));
    say(String::new());
    if let Some(line) = &house.setout.line {
        say("Snap the line".into());
        if line.pulls.is_empty() {
            say("  No corner is in reach of a tape: set it by the rip to expect at a wall beside it, its gap included.".into());
        }
        for pull in line.pulls.iter().chain(&line.check) {
            let room = &house.plan.rooms[pull.room].name;
            let what = if pull.letter == 'C' { "check" } else { "pull" };
            say(format!(
                "  {}  {room}, corner {}: {what} {}",
                pull.letter,
                pull.wall + 1,
                format_tape(pull.distance, house.plan.units)
            ));
        }
        let first = line.first_rip.map(|i| &chosen.rips[i]);
        if let Some(rip) = first.filter(|_| is_blocks) {
            say(format!(
                "  The smallest pieces at {} reach {} in; then {} whole spaces between axis lines to the line.",
                rip.source.name(&house.plan),
                rips(rip.least, rip.greatest),
                line.rows_to_wall
            ));
        } else if let Some(rip) = first {
            let fence = house.setout.fence(rip, &chosen.rips, house.plan.units);
            say(format!(
                "  First rip {}; then {} whole rows to the line.",
                fenced(&fence, &rip.source.name(&house.plan)),
                line.rows_to_wall
            ));
            if let Some(whole) = &fence.whole_wall {
                say(format!("  Along the whole of that wall the rip is {whole}; the edges below say where."));
            }
        }
        points(house, &mut say);
        own_lines(house, &mut say);
    } else {
        say("No row line to snap.".into());
    }
    let advice = house.advice();
    say(String::new());
    say("Why this line".into());
    for sentence in advice.why.sentences() {
        say(format!("  {sentence}"));
    }
    // Where nothing hangs on the line it may lie anywhere.
    if house.setout.hangs_on_line() {
        say(format!("  The line itself may be out by up to {}.", length(chosen.safe_by)));
    }
    say(String::new());
    say("Expect at the edges".into());
    if chosen.rips.is_empty() {
        say("  no edge runs along the rows".into());
    }
    let wide = column(house);
    for (rip, short) in chosen.rips.iter().zip(house.short_rips()) {
        let mark = house.rip_words(rip, short).map_or(String::new(), |words| format!("  {words}"));
        let least = match short {
            Some(_) => plan::judged(rip.least, house.setout.least + rip.hidden, 1.0),
            None => rip.least,
        };
        say(format!(
            "  {:>wide$}  {} ({}, {} long){mark}",
            rips(least, rip.greatest.max(least)),
            rip.source.name(&house.plan),
            rip.kind.word(),
            format_tape(rip.length, house.plan.units)
        ));
    }
    gaps_to_leave(house, &mut say);
    across_the_axis(house, &mut say);
    control(house, &advice, &mut say);
    widths(house, &advice, &mut say);
    out
}

/// A first rip with what comes off for it.
fn fenced(fence: &setout::Fence, place: &str) -> String {
    match &fence.off {
        Some(off) => format!("{} at {place}: take {off} off", fence.kept),
        None => format!("at {place}: none, a whole board"),
    }
}

/// What its rows are called.
fn letter(house: &House, region: usize) -> String {
    match house.floor.letter(region) {
        "" => String::new(),
        letter => format!(", {letter} before its rows' numbers"),
    }
}

/// The lines that rooms have of their own, each with its pulls and its first rip.
fn own_lines(house: &House, say: &mut impl FnMut(String)) {
    let room = |room: usize| house.plan.rooms.get(room).map_or("", |room| room.name.as_str());
    for (choice, line) in house.setout.own_lines() {
        let pulls = line.pulls.iter().chain(&line.check).map(|pull| {
            format!(
                "{} from {}, corner {}",
                format_tape(pull.distance, house.plan.units),
                room(pull.room),
                pull.wall + 1
            )
        });
        let pulls: Vec<String> = pulls.collect();
        let name = choice.rooms.first().map_or("", |index| room(*index));
        say(format!(
            "  {name}, a line of its own{}: {}",
            letter(house, house.site.region_of(choice.region)),
            pulls.join(", ")
        ));
        if let Some(rip) = line.first_rip.and_then(|rip| choice.own.rips.get(rip)) {
            let fence = house.setout.fence(rip, &choice.own.rips, house.plan.units);
            say(format!(
                "     first rip {}; then {} whole rows to that line",
                fenced(&fence, &rip.source.name(&house.plan)),
                line.rows_to_wall
            ));
        }
    }
}

/// How wide a column of rips is, characters: the longest of `105.5–112.5`, or of `3 13/16"–10 11/16"`.
fn column(house: &House) -> usize {
    match house.plan.units {
        plan::Units::Metric => 13,
        plan::Units::FeetInches => 17,
    }
}

/// The gaps that the set-out makes wider within their play.
fn gaps_to_leave(house: &House, say: &mut impl FnMut(String)) {
    let length = |mm: f64| format_length(mm, house.plan.units);
    let wide = column(house);
    let mut gaps = house.gaps_to_leave();
    gaps.retain(|gap| gap.reads_wider(length));
    if gaps.is_empty() {
        return;
    }
    say(String::new());
    say("Gaps to leave wider than their least, so that no strip is left beside a whole board".into());
    for gap in gaps {
        say(format!(
            "  {:>wide$}  {} ({}, {} long), least {}",
            gap.words(length),
            gap.source.name(&house.plan),
            gap.kind.word(),
            format_tape(gap.length, house.plan.units),
            length(gap.least)
        ));
    }
}

/// How the points of a pattern are marked on the line.
fn points(house: &House, say: &mut impl FnMut(String)) {
    let length = |mm: f64| format_tape(mm, house.plan.units);
    let Some(points) = &house.setout.points else { return };
    let Some(first) = points.first else {
        say("  No point stands on this stretch of the line.".into());
        return;
    };
    say(format!("Mark the points, each {}", point_is(house)));
    let from = |mark: &setout::PointMark| mark.source.name(&house.plan);
    say(format!(
        "  {}  from {}, {} along the line to the first point",
        first.letter,
        from(&first),
        length(first.distance)
    ));
    if let Some(last) = points.last {
        say(format!(
            "  {}  check: the last point lies {} from {}, {} steps of {} on",
            last.letter,
            length(last.distance),
            from(&last),
            points.steps,
            format_length((points.step * 10.0).round() / 10.0, house.plan.units)
        ));
    }
}

/// What a point is in the plan's pattern.
fn point_is(house: &House) -> &'static str {
    match house.plan.pattern {
        plan::Pattern::Chevron { .. } => "the tip where two blocks meet",
        _ => "the middle of a right-hand block's forward end",
    }
}

/// What the points' place leaves at the walls across the axis.
fn across_the_axis(house: &House, say: &mut impl FnMut(String)) {
    let length = |mm: f64| format_tape(mm, house.plan.units);
    let Some(points) = house.setout.points.as_ref().filter(|points| !points.ends.rips.is_empty()) else {
        return;
    };
    say(String::new());
    say("Smallest pieces at the walls across the axis".into());
    let wide = column(house);
    for rip in &points.ends.rips {
        let mark = if rip.seen < points.least { "  under the least" } else { "" };
        say(format!(
            "  {:>wide$}  {} ({}){mark}",
            length(if mark.is_empty() {
                rip.least
            } else {
                plan::judged(rip.least, points.least + rip.hidden, 1.0)
            }),
            rip.source.name(&house.plan),
            rip.kind.word()
        ));
    }
}

/// The line snapped again, room by room.
fn control(house: &House, advice: &setout::Advice, say: &mut impl FnMut(String)) {
    let length = |mm: f64| format_tape(mm, house.plan.units);
    if advice.control.is_empty() {
        return;
    }
    say(String::new());
    say("Snap again for control".into());
    for line in &advice.control {
        let rows = line.rows_in_words(&house.site, &house.setout);
        let pulls: Vec<String> = line
            .pulls
            .iter()
            .map(|pull| {
                let room = &house.plan.rooms[pull.room].name;
                format!("{} from {room}, corner {}", length(pull.distance), pull.wall + 1)
            })
            .collect();
        let pulls = match pulls.is_empty() {
            true => "no corner in reach".to_owned(),
            false => pulls.join("; "),
        };
        let second = line.second_point(&house.plan, &house.site, &house.setout, length);
        let second = second.map_or(String::new(), |how| format!("; {how}"));
        say(format!("  {}: {rows}; {pulls}{second}", line.place.name(&house.plan, &house.site)));
    }
}

/// What boards of another width would do.
fn widths(house: &House, advice: &setout::Advice, say: &mut impl FnMut(String)) {
    let width = &advice.width;
    // Axis lines lie as far apart as the blocks' length has it.
    if width.errors.is_empty() {
        return;
    }
    let place = |at: setout::EdgeRef| house.edge_place(at).unwrap_or_default();
    let fine = |mm: f64| plan::format_fine(mm, house.plan.units);
    say(String::new());
    say(format!("If the boards do not measure {}", fine(house.setout.pitch)));
    let bound = |end: Option<(f64, setout::EdgeRef)>, word: &str| {
        end.map(|(pitch, at)| format!("{word} {} ({})", fine(pitch), place(at)))
    };
    // Rounded towards the measured width, so that the figure can be relied on.
    let least = width.range.least.map(|(pitch, at)| ((pitch * 100.0 - 1e-6).ceil() / 100.0, at));
    let greatest = width.range.greatest.map(|(pitch, at)| ((pitch * 100.0 + 1e-6).floor() / 100.0, at));
    let ends: Vec<String> = [bound(least, "from"), bound(greatest, "to")].into_iter().flatten().collect();
    if ends.is_empty() {
        say("  No width of theirs makes a further sliver.".into());
    } else {
        say(format!("  No further rip is a sliver {}.", ends.join(" ")));
    }
    for error in &width.errors {
        let by = fine(error.wider_by.abs());
        let which = if error.wider_by < 0.0 { "narrower" } else { "wider" };
        let place = error.at.map_or_else(String::new, |at| format!(" at {}", place(at)));
        let narrowest = format_length(error.narrowest, house.plan.units);
        say(format!("  {by:>4} {which:<8}  {narrowest:>6}{place}"));
    }
}

/// Directions side by side.
pub(crate) fn directions(house: &House, all: &[pipeline::Direction]) -> String {
    let length = |mm: f64| format_tape(mm, house.plan.units);
    let line_out = setout::line_out(&house.plan);
    let heads = [
        "rows at",
        "narrowest",
        setout::UNDER_LEAST,
        &line_out,
        "boards",
        "packs",
        "faults",
        "looks",
        "widest",
        "cut edge",
        "why",
    ];
    let mut rows: Vec<Vec<String>> = vec![heads.map(str::to_owned).to_vec()];
    rows.extend(all.iter().map(|d| {
        let reasons: Vec<String> = d.reasons.iter().map(|reason| reason.words(&house.plan)).collect();
        vec![
            // Finer than any tape can turn a row.
            format!("{}°", (d.angle * 100.0).round() / 100.0 + 0.0),
            d.narrowest.map_or_else(|| "–".to_owned(), length),
            length(d.short_as_drawn),
            length(d.short_length),
            d.opened.to_string(),
            d.packs.to_string(),
            d.faults.to_string(),
            d.looks.to_string(),
            length(d.continuous_width),
            length(d.cut_edge),
            reasons.join("; "),
        ]
    }));
    format!("{} — directions of the rows\n\n{}", house.plan.name, table(&rows))
}

/// The best few lines side by side, each laid.
pub(crate) fn lines(house: &House, laid: &[pipeline::LaidLine]) -> String {
    let length = |mm: f64| format_length((mm * 10.0).round() / 10.0, house.plan.units);
    let line_out = setout::line_out(&house.plan);
    let heads = [
        "line at",
        "narrowest",
        setout::UNDER_LEAST,
        &line_out,
        "by sight",
        "even to",
        "ripped",
        "boards",
        "packs",
        "faults",
        "looks",
        "",
    ];
    let mut rows: Vec<Vec<String>> = vec![heads.map(str::to_owned).to_vec()];
    rows.extend(laid.iter().filter_map(|line| {
        let candidate = house.setout.lines.get(line.line)?;
        let value = &candidate.value;
        let used = (candidate.offset - house.setout.chosen.offset).abs() < 1e-9;
        Some(vec![
            length(candidate.offset),
            length(candidate.narrowest),
            format_tape(house.setout.short_as_drawn(candidate), house.plan.units),
            format_tape(candidate.short_length, house.plan.units),
            format_tape(value.short, house.plan.units),
            length(value.uneven),
            format_tape(value.ripped, house.plan.units),
            line.opened.to_string(),
            line.packs.to_string(),
            line.faults.to_string(),
            line.looks.to_string(),
            if used { "in use".into() } else { String::new() },
        ])
    }));
    format!("{} — the best lines, laid\n\n{}", house.plan.name, table(&rows))
}

/// Columns under their heads, figures at the right, the last column at the left.
fn table(rows: &[Vec<String>]) -> String {
    let columns = rows.first().map_or(0, Vec::len);
    let widths: Vec<usize> = (0..columns)
        .map(|i| rows.iter().filter_map(|row| row.get(i)).map(|cell| cell.chars().count()).max().unwrap_or(0))
        .collect();
    let mut out = String::new();
    for row in rows {
        let last = row.len() - 1;
        let cells: Vec<String> = row
            .iter()
            .zip(&widths)
            .enumerate()
            .map(|(i, (cell, width))| if i == last { cell.clone() } else { format!("{cell:>width$}") })
            .collect();
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{}", cells.join("  ").trim_end());
    }
    out
}

/// The floor row by row.
pub(crate) fn lay(house: &House) -> String {
    let length = |mm: f64| format_tape(mm, house.plan.units);
    let floor = &house.floor;
    let mut out = String::new();
    let mut say = |line: String| {
        let _ = writeln!(out, "{line}");
    };
    say(format!(
        "{} — {} boards, {} end joints, {}",
        house.plan.name,
        floor.boards.len(),
        floor.joints.len(),
        plan::format_area(house.order.laid_area * 1e6, house.plan.units)
    ));
    house.letter_words().into_iter().for_each(&mut say);
    order::drawn_words(&house.plan).into_iter().for_each(&mut say);
    for run in &floor.runs {
        let boards: Vec<String> = floor.boards[run.boards.clone()]
            .iter()
            .map(|b| {
                let rip = match b.taper(floor.pitch) {
                    Some(taper) => format!(" × {}", taper.words(length)),
                    None if b.width < floor.pitch => format!(" × {}", length(b.width)),
                    None => String::new(),
                };
                format!("{} {}{rip}", b.label, length(b.cut_length()))
            })
            .collect();
        let first = floor.boards[run.boards.clone()].first();
        let (word, number) = match first {
            Some(board) if board.in_border => ("course", (run.row + 1).to_string()),
            Some(board) if board.is_block() => ("column", floor.row_name(run.region, run.row)),
            _ => ("row", floor.row_name(run.region, run.row)),
        };
        say(format!("  {word} {number:>3}  {}", boards.join(" | ")));
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
    let all = findings::together(&house.flags);
    for of in &all {
        let flag = &house.flags[of.worst];
        let told = |flag: &findings::Flag| {
            let figure = plan::judged(flag.figure, flag.limit, 0.1);
            flag.kind.figure_in_words(figure, house.plan.units, length)
        };
        let severity = match flag.severity {
            Severity::Fault => "fault",
            Severity::Look => "look ",
        };
        // Of what must not be at all there is no limit to tell.
        let limit = match flag.limit == 0.0 {
            true => String::new(),
            false => {
                format!(" (limit {})", flag.kind.figure_in_words(flag.limit, house.plan.units, length))
            }
        };
        say(format!(
            "{severity}  {} {}{limit}  {}  — {}",
            flag.kind.word(),
            told(flag),
            of.places(&house.flags, told),
            flag.mend
        ));
    }
    let faults = house.flags.iter().filter(|f| f.severity == Severity::Fault).count();
    let entries = match all.len() < house.flags.len() {
        true => format!("; in {}, those of one cause together", entries(all.len())),
        false => String::new(),
    };
    say(format!("{}, {} worth a look{entries}", self::faults(faults), house.flags.len() - faults));
    out
}

/// `1 entry`, `2 entries`.
fn entries(count: usize) -> String {
    if count == 1 { "1 entry".to_owned() } else { format!("{count} entries") }
}

/// `1 fault`, `2 faults`.
pub(crate) fn faults(count: usize) -> String {
    if count == 1 { "1 fault".to_owned() } else { format!("{count} faults") }
}
