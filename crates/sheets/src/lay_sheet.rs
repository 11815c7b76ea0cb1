//! The lay list: run by run in the order of laying, the boards of each as they go in, with their notes.

use crate::Paper;
use crate::flow::{Flow, tick, tick_box};
use crate::page::{Page, Type};
use crate::words::{across, count, figure, marked};
use fit::LaidRun;
use lay::{Board, Run};
use pipeline::House;

/// Width of one board's cell, mm.
const CELL: f64 = 30.0;
/// Width of the row's own cell, and of a column's or course's, whose names are longer, mm.
const ROW: f64 = 26.0;
const COLUMN: f64 = 32.0;

pub(crate) fn lay_sheet(house: &House, paper: Paper) -> Vec<Page> {
    let note = format!(
        "as they go in: label, length × width · {} unless noted · * lock shaved",
        house.fit.usual.word()
    );
    let mut flow = Flow::new(paper, "Lay list", &note);
    let sequence = house.sequence();
    let mut heading = String::new();
    for (at, step) in sequence.steps.iter().enumerate() {
        let Some(run) = house.floor.runs.get(step.run) else { continue };
        let part = part_of(house, step, run);
        let is_new_part = part != heading;
        if is_new_part {
            flow.heading(&part);
            heading = part;
        }
        for note in sequence.notes(&house.plan, &house.floor, at) {
            put_note(&mut flow, &note);
        }
        put_step(&mut flow, house, step, is_new_part);
    }
    if sequence.is_empty() {
        flow.paragraph("No boards are laid.", Type::plain(4.0));
    }
    flow.finish()
}

/// The part of the list that a step stands in: on which side of the line, and where.
fn part_of(house: &House, step: &LaidRun, run: &Run) -> String {
    let first = house.floor.boards.get(run.boards.start);
    let place = step.place.as_deref().map_or_else(String::new, |place| format!("{place}: "));
    let way = match first {
        Some(board) if board.in_border => "border, from the field to the wall".to_owned(),
        _ if run.backwards && run.row < 0 => format!("back to the start line {}", across(house, 1.0)),
        _ if run.backwards => format!("back to the start line {}, boards turned", across(house, -1.0)),
        _ if run.row < 0 => format!("from the start line {}, boards turned", across(house, -1.0)),
        _ => format!("from the start line {}", across(house, 1.0)),
    };
    place + &way
}

fn put_note(flow: &mut Flow, note: &str) {
    let kind = Type::plain(3.6);
    let lines = kind.wrapped(note, flow.width() - 7.0);
    let top = flow.take(1.0 + 4.6 * lines.len() as f64);
    let x = flow.x();
    for (i, line) in lines.iter().enumerate() {
        flow.page().write(line, x + 7.0, top + 4.2 + 4.6 * i as f64, kind);
    }
}

fn put_step(flow: &mut Flow, house: &House, step: &LaidRun, is_first: bool) {
    let boards: Vec<(usize, &Board)> =
        step.boards.iter().filter_map(|index| Some((*index, house.floor.boards.get(*index)?))).collect();
    let Some((_, first)) = boards.first() else { return };
    let own = if first.in_border || first.is_block() { COLUMN } else { ROW };
    let across = (((flow.width() - own) / CELL).floor() as usize).max(1);
    for (i, line) in boards.chunks(across).enumerate() {
        let top = flow.take(6.4);
        let (x, right) = (flow.x(), flow.right());
        if i == 0 {
            if !is_first {
                flow.page().line((x, top), (right, top), 0.18, drawing::Rgb::QUIET);
            }
            tick_box(flow.page(), x, top + 0.8);
            if step.start == fit::Start::Lies {
                tick(flow.page(), x, top + 0.8);
            }
            // The label's own row number, so that list and floor agree.
            let row = first.label.rsplit_once('-').map_or("", |(row, _)| row);
            let what = if first.in_border {
                "Course"
            } else if first.is_block() {
                "Column"
            } else {
                "Row"
            };
            let name = format!("{what} {}", row.trim_start_matches('B'));
            flow.page().write(&name, x + 7.0, top + 4.8, Type::bold(4.2));
        }
        for (j, (index, board)) in line.iter().enumerate() {
            let at = x + own + CELL * j as f64;
            let bold = Type::bold(3.4);
            let page = flow.page();
            let name = marked(house, *index);
            page.write(&name, at, top + 4.6, bold);
            let after = at + bold.width(&name) + 1.6;
            let is_laid = house.floor.is_laid(*index);
            let kind = if is_laid { Type::quiet(3.4) } else { Type::plain(3.4) };
            let said = if is_laid { "laid".to_owned() } else { measure(house, board) };
            let text = crate::font::fitted(&said, kind.size, false, at + CELL - after - 0.6);
            page.write(&text, after, top + 4.6, kind);
        }
    }
    put_joints(flow, house, &boards);
    put_ways(flow, house, step);
}

/// Where the end joints of a row lie, measured from its first end, and the packs its boards come from.
fn put_joints(flow: &mut Flow, house: &House, boards: &[(usize, &Board)]) {
    let Some((_, first)) = boards.first() else { return };
    if first.in_border || first.is_block() || boards.iter().all(|(index, _)| house.floor.is_laid(*index)) {
        return;
    }
    let joints: Vec<String> = boards
        .iter()
        .take(boards.len() - 1)
        .map(|(_, board)| if first.turned { first.right - board.left } else { board.right - first.left })
        .map(|length| figure(house, length))
        .collect();
    let mut packs: Vec<usize> =
        boards.iter().filter_map(|(_, board)| Some(house.floor.stock.get(board.stock)?.pack + 1)).collect();
    packs.sort_unstable();
    packs.dedup();
    let packs: Vec<String> = packs.iter().map(ToString::to_string).collect();
    let from = if packs.len() == 1 { "pack" } else { "packs" };
    let text = match joints.is_empty() {
        true => format!("{from} {}", packs.join(", ")),
        false => format!("joints at {} from its first end · {from} {}", joints.join(" · "), packs.join(", ")),
    };
    let kind = Type::quiet(3.2);
    for line in kind.wrapped(&text, flow.width() - 7.0) {
        let top = flow.take(4.4);
        let x = flow.x();
        flow.page().write(&line, x + 7.0, top + 3.2, kind);
    }
}

/// How the boards of a run go in that do not go in as usual, those alike together.
fn put_ways(flow: &mut Flow, house: &House, step: &LaidRun) {
    let mut alike: Vec<(String, Vec<String>)> = Vec::new();
    for way in step.boards.iter().filter_map(|board| house.fit.other_way(*board)) {
        let words = way.words(&house.plan);
        let name = marked(house, way.board);
        match alike.iter_mut().find(|(known, _)| *known == words) {
            Some((_, names)) => names.push(name),
            None => alike.push((words, vec![name])),
        }
    }
    for (words, names) in alike {
        put_note(flow, &format!("{}: {words}", names.join(" ")));
    }
}

fn measure(house: &House, board: &Board) -> String {
    let mut text = figure(house, board.length());
    if house.floor.pitch - board.width > 0.05 {
        text.push_str(&format!("×{}", figure(house, board.width)));
    }
    text
}

/// What the lay list holds, in words for its note.
pub(crate) fn summary(house: &House) -> String {
    format!("{}, {}", count(house.floor.runs.len(), "run"), count(house.floor.boards.len(), "board"))
}
