//! What is laid on the command line: marks, pulls, and the report on what comes of them.

use crate::args::Marks;
use crate::{load, rows};
use anyhow::Context;
use findings::FlagKind;
use pipeline::House;
use plan::{ToCome, format_length, parse_length};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Marks, measures and reports; gives the text for standard output.
pub(crate) fn run(
    path: &Path,
    marks: &Marks,
    save: Option<PathBuf>,
    json: Option<PathBuf>,
) -> anyhow::Result<String> {
    let mut house = marked(load::house(path)?, marks)?;
    for pull in &marks.pull {
        let (rows, width) = pull.split_once('=').context("a pull is typed as ROWS=WIDTH, such as 20=2806")?;
        let rows = rows::of(&house, rows)?;
        let across = parse_length(width, house.plan.units)?;
        let room = marks.room.clone().or_else(|| rows.room(&house));
        let plan = house.with_pull(room.as_deref(), (*rows.numbers.start(), *rows.numbers.end()), across)?;
        house = load::computed(&plan)?;
    }
    if marks.as_planned || marks.as_measured {
        let mut plan = house.plan.clone();
        if let Some(laid) = &mut plan.laid {
            laid.to_come = if marks.as_planned { ToCome::AsPlanned } else { ToCome::AsMeasured };
        }
        house = load::computed(&plan)?;
    }
    if let Some(to) = json {
        load::write(&to, &crate::json_text(&house.document())?)?;
        return Ok(String::new());
    }
    if save.as_deref() == Some(Path::new("-")) {
        return Ok(plan::write(&house.plan));
    }
    let mut text = report(&house);
    if let Some(to) = save {
        load::save(&to, &plan::write(&house.plan))?;
        text += &format!("\n{}\n", to.display());
    }
    Ok(text)
}

/// The house with its boards marked and unmarked.
fn marked(house: House, marks: &Marks) -> anyhow::Result<House> {
    let mut house = house;
    let region = match &marks.room {
        Some(room) => {
            let unknown = || load::no_room(&house.plan, room, plan::Room::is_boarded);
            Some(house.region_of_room(room).with_context(unknown)?)
        }
        None => None,
    };
    let mut boards = Vec::new();
    for typed in &marks.rows {
        let rows = rows::of(&house, typed)?;
        let found = rows.boards(&house, region);
        boards.extend(found.map_err(|error| match (&marks.room, house.rows_in(region)) {
            // A count comes to rows nobody typed.
            (Some(room), Some(there)) if !typed.contains("..") => {
                anyhow::anyhow!(rows::counted_past(&house, (typed, room), rows.numbers.clone(), there))
            }
            _ => error.into(),
        })?);
    }
    for label in &marks.up_to {
        boards.extend(house.up_to(rows::board_called(&house, label)?));
    }
    for label in &marks.board {
        boards.push(rows::board_called(&house, label)?);
    }
    if !boards.is_empty() {
        house = load::computed(&house.with_laid(&boards)?)?;
    }
    let mut gone = Vec::new();
    for what in &marks.unmark {
        match (rows::board_called(&house, what), rows::of(&house, what)) {
            (Ok(board), _) => gone.push(board),
            (Err(_), Ok(rows)) => gone.extend(rows.boards(&house, region)?),
            (Err(unknown), Err(_)) => return Err(unknown.into()),
        }
    }
    if !gone.is_empty() {
        house = load::computed(&house.without_laid(&gone))?;
    }
    Ok(house)
}

/// What lies, what is in hand, and what rip every edge to come will get.
fn report(house: &House) -> String {
    let length = |mm: f64| format_length((mm * 10.0).round() / 10.0, house.plan.units);
    let mut out = String::new();
    let mut say = |line: String| {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{line}");
    };
    let name = &house.plan.name;
    let Some(laid) = &house.plan.laid else {
        say(format!("{name} — nothing is marked as laid"));
        return out;
    };
    let (boards, all) = (laid.boards.len(), house.floor.boards.len());
    say(format!("{name} — {boards} of {all} boards laid"));
    let (before, to_open) = (house.order.opened_before, house.order.to_open());
    say(format!("{before} boards opened for them, {to_open} still to open for the {} to lay", all - boards));
    let mut rests: Vec<(f64, usize)> = Vec::new();
    for (index, stock) in laid.stock.iter().enumerate() {
        rests.extend(stock.rest.map(|(from, to)| (to - from, index)));
    }
    rests.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    if !rests.is_empty() {
        say(String::new());
        say("In hand of the boards opened".into());
    }
    for (rest, index) in rests {
        let pieces = house.floor.stock.get(index).map_or(&[][..], |stock| stock.pieces.as_slice());
        let used: Vec<&str> = pieces
            .iter()
            .filter(|piece| !piece.strip && !house.floor.is_laid(piece.board))
            .map(|piece| house.floor.boards[piece.board].label.as_str())
            .collect();
        let use_words =
            if used.is_empty() { "not needed so far".into() } else { format!("for {}", used.join(" ")) };
        say(format!("  {:>9}  of board {}: {use_words}", length(rest), index + 1));
    }
    let strips = house.strips_in_hand();
    if !strips.is_empty() {
        say(String::new());
        say("Strips in hand, beside rips that lie".into());
    }
    for (strip, boards) in strips {
        let labels: Vec<&str> =
            boards.iter().map(|board| house.floor.boards[*board].label.as_str()).collect();
        let use_words =
            if labels.is_empty() { "not needed so far".into() } else { format!("for {}", labels.join(" ")) };
        say(format!(
            "  {:>9}  {} wide, keeps its {}, of board {}: {use_words}",
            length(strip.to - strip.from),
            length(strip.width),
            if strip.keeps_groove { "groove" } else { "tongue" },
            strip.stock + 1
        ));
    }
    for drift in house.drift() {
        say(String::new());
        house.drift_words(&drift, usize::MAX).into_iter().for_each(&mut say);
    }
    let of_laid = house.flags.iter().filter(|f| matches!(f.kind, FlagKind::LaidOver | FlagKind::LaidBare));
    for flag in of_laid {
        say(format!("{} {}: {}; {}", flag.kind.word(), length(flag.figure), flag.place, flag.mend));
    }
    out
}
