//! The lay list: row by row from the start line, left to right as on the floor sheet.

use crate::Paper;
use crate::flow::{Flow, tick, tick_box};
use crate::page::{Page, Type};
use crate::words::{across, along, count, figure};
use lay::{Board, Run};
use pipeline::House;

/// Width of one board's cell, mm.
const CELL: f64 = 30.0;
/// Width of the row's own cell, and of a column's or course's, whose names are longer, mm.
const ROW: f64 = 26.0;
const COLUMN: f64 = 32.0;

pub(crate) fn lay_sheet(house: &House, paper: Paper) -> Vec<Page> {
    let note = format!("row by row, {} as on the floor sheet: label, length × width", along(house));
    let mut flow = Flow::new(paper, "Lay list", &note);
    let order = order(house);
    for (way, is_below) in [(across(house, 1.0), false), (across(house, -1.0), true)] {
        let runs: Vec<&Run> = order.iter().copied().filter(|run| (run.row < 0) == is_below).collect();
        if runs.is_empty() {
            continue;
        }
        // Past the slip tongue a board's own left end lies at the right.
        let turned = if runs.iter().any(|run| is_turned(house, run)) { ", boards turned" } else { "" };
        flow.heading(&format!("From the start line {way}{turned}"));
        let mut last = None;
        for run in runs {
            put_run(&mut flow, house, run, (last != Some(run.row), last.is_none()));
            last = Some(run.row);
        }
    }
    if order.is_empty() {
        flow.paragraph("No boards are laid.", Type::plain(4.0));
    }
    flow.finish()
}

fn in_border(house: &House, run: &Run) -> bool {
    house.floor.boards.get(run.boards.start).is_some_and(|board| board.in_border)
}

fn is_turned(house: &House, run: &Run) -> bool {
    house.floor.boards.get(run.boards.start).is_some_and(|board| board.turned)
}

/// Runs row by row away from the line, left to right in a row; the border last, course by course.
pub(crate) fn order(house: &House) -> Vec<&Run> {
    let mut runs: Vec<&Run> = house.floor.runs.iter().collect();
    // Row 0 stands first above the line, row -1 first below it.
    let away = |row: i32| if row >= 0 { i64::from(row) } else { -1 - i64::from(row) };
    runs.sort_by(|a, b| {
        let place = |run: &Run| (in_border(house, run), run.row < 0, away(run.row));
        place(a).cmp(&place(b)).then(a.left.total_cmp(&b.left))
    });
    runs
}

fn put_run(flow: &mut Flow, house: &House, run: &Run, (is_new_row, is_first): (bool, bool)) {
    let boards: Vec<(usize, &Board)> =
        run.boards.clone().filter_map(|index| Some((index, house.floor.boards.get(index)?))).collect();
    let Some((_, first)) = boards.first() else { return };
    let own = if first.in_border || first.is_block() { COLUMN } else { ROW };
    let across = (((flow.width() - own) / CELL).floor() as usize).max(1);
    for (i, line) in boards.chunks(across).enumerate() {
        let top = flow.take(6.4);
        let (x, right) = (flow.x(), flow.right());
        if i == 0 {
            if is_new_row && !is_first {
                flow.page().line((x, top), (right, top), 0.18, drawing::Rgb::QUIET);
            }
            tick_box(flow.page(), x, top + 0.8);
            if run.boards.clone().all(|board| house.floor.is_laid(board)) {
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
            let row = row.trim_start_matches('B');
            let name = if is_new_row { format!("{what} {row}") } else { String::new() };
            flow.page().write(&name, x + 7.0, top + 4.8, Type::bold(4.2));
        }
        for (j, (index, board)) in line.iter().enumerate() {
            let at = x + own + CELL * j as f64;
            let bold = Type::bold(3.4);
            let page = flow.page();
            page.write(&board.label, at, top + 4.6, bold);
            let after = at + bold.width(&board.label) + 1.6;
            let is_laid = house.floor.is_laid(*index);
            let kind = if is_laid { Type::quiet(3.4) } else { Type::plain(3.4) };
            let said = if is_laid { "laid".to_owned() } else { measure(house, board) };
            let text = crate::font::fitted(&said, kind.size, false, at + CELL - after - 0.6);
            page.write(&text, after, top + 4.6, kind);
        }
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
