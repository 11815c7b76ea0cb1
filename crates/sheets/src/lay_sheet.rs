//! The lay list: run by run in the order of laying, the boards of each as they go in, with their notes.

use crate::Paper;
use crate::flow::{Flow, Row, tick, tick_box};
use crate::page::{Page, Type};
use crate::told::Told;
use crate::words::{across, count, cut_length, figure, marked};
use fit::{JointPull, LaidRun, Sequence};
use lay::{Board, Run};
use pipeline::House;

/// Least width of a board's cell, mm.
const CELL: f64 = 26.0;
/// Least and greatest width of the row's own cell, mm.
const ROW: (f64, f64) = (30.0, 40.0);
/// From the box to the row's name, mm.
const INDENT: f64 = 7.0;
/// Columns of the list as it is read: the row, then of each board its label, size, far joint and pack.
const COLUMNS: usize = 5;

/// How wide the cells are, and where joints are pulled from: the same for the whole list, so that boards stand under one
/// another.
struct Cells<'a> {
    own: f64,
    board: f64,
    pulls: &'a [Option<JointPull>],
}

pub(crate) fn lay_sheet(house: &Told<'_>, paper: Paper) -> Vec<Page> {
    let note = format!(
        "as they go in: label, length × width · {} unless noted · * lock shaved",
        house.fit.usual.word()
    );
    let sequence = house.sequence();
    Flow::set(paper, "Lay list", &note, |flow| {
        let pulls = house.joint_pulls();
        if pulls.iter().any(Option::is_some) {
            let how = "Under each board: where its far joint lies, a tape along the middle of the row from what the row names, \
                   its gap counted in; then the board's pack.";
            flow.paragraph(how, Type::plain(3.4));
        }
        let stages = stages_in_words(house);
        if let Some(said) = &stages {
            let how = "Laid in stages: NAMED. Where one meets what an earlier one laid, its rows say so.";
            flow.paragraph(&how.replace("NAMED", said), Type::bold(3.8));
        }
        let cells = Cells::of(house, sequence, pulls, flow.width());
        let mut heading = String::new();
        for (at, step) in sequence.steps.iter().enumerate() {
            let Some(run) = house.floor.runs.get(step.run) else { continue };
            let part = match stages {
                Some(_) => format!("{}. {}", stage_name(house, step.stage), part_of(house, step, run)),
                None => part_of(house, step, run),
            };
            let is_new_part = part != heading;
            if is_new_part {
                flow.heading(&part);
                let board = cells.own + INDENT;
                flow.table(&[
                    ("row, pulled from", INDENT, 0),
                    ("board", board, 0),
                    ("length", board + 9.0, 0),
                    ("joint at", board, 1),
                    ("pack", board + 14.0, 1),
                ]);
                heading = part;
            }
            for note in sequence.notes(&house.plan, &house.floor, at) {
                put_note(flow, &note);
            }
            put_step(flow, house, step, is_new_part, &cells);
        }
        if sequence.is_empty() {
            flow.paragraph("No boards are laid.", Type::plain(4.0));
        }
    })
}

/// The stages in the order in which they are laid, with their days; none in a house laid in one.
pub(crate) fn stages_in_words(house: &Told<'_>) -> Option<String> {
    let order = &house.shares().order;
    let name = |stage: &usize| {
        let stage = house.plan.stages.get(*stage)?;
        Some(format!("{} on day {}", stage.name, stage.day))
    };
    let names: Vec<String> = order.iter().filter_map(name).collect();
    (!names.is_empty()).then(|| names.join(", then "))
}

/// A stage's name, by its place among those in the order of laying.
pub(crate) fn stage_name<'h>(house: &'h Told<'_>, place: Option<usize>) -> &'h str {
    let stage = place.and_then(|place| house.shares().order.get(place));
    stage.and_then(|stage| house.plan.stages.get(*stage)).map_or("In no stage", |stage| stage.name.as_str())
}

/// The part of the list that a step stands in: on which side of the line, and where.
fn part_of(house: &House, step: &LaidRun, run: &Run) -> String {
    let first = house.floor.boards.get(run.boards.start);
    let place = step.place.as_deref().map_or_else(String::new, |place| format!("{place}: "));
    let way = match first {
        Some(board) if board.in_border => "border, from the field to the wall".to_owned(),
        // Columns take turns on both sides of the line: no heading for each turn.
        Some(board) if board.is_block() => "blocks, from the first point on".to_owned(),
        _ if run.backwards && run.row < 0 => format!("back to the start line {}", across(house, 1.0)),
        _ if run.backwards => format!("back to the start line {}, boards turned", across(house, -1.0)),
        _ if run.row < 0 => format!("from the start line {}, boards turned", across(house, -1.0)),
        _ => format!("from the start line {}", across(house, 1.0)),
    };
    place + &way
}

fn put_note(flow: &mut Flow, note: &str) {
    let kind = Type::plain(3.6);
    let lines = kind.wrapped(note, flow.width() - INDENT);
    let top = flow.take(1.0 + 4.6 * lines.len() as f64);
    let (x, row) = (flow.x(), flow.row());
    flow.page().begin(row.wide(0, COLUMNS));
    for (i, line) in lines.iter().enumerate() {
        flow.page().write(line, x + INDENT, top + 4.2 + 4.6 * i as f64, kind);
    }
}

impl<'a> Cells<'a> {
    fn of(house: &House, sequence: &Sequence, pulls: &'a [Option<JointPull>], width: f64) -> Self {
        let named = |step: &LaidRun| {
            let hook = hook_of(step, pulls).map(|pull| from_words(house, &pull));
            let name = row_name(house, step).map_or(0.0, |name| NAME.width(&name));
            hook.map_or(0.0, |hook| HOOK.width(&hook)).max(name)
        };
        let own = sequence.steps.iter().map(named).fold(0.0, f64::max) + 3.0;
        let own = own.clamp(ROW.0 - INDENT, ROW.1 - INDENT);
        let of_board = |index: usize| {
            let Some(board) = house.floor.boards.get(index) else { return 0.0 };
            // A width beside the length is written smaller where it has no room.
            let length = SIZE.width(&cut_length(house, board));
            let first = LABEL.width(&marked(house, index)) + BETWEEN + length;
            let pull = pulls
                .get(index)
                .copied()
                .flatten()
                .map_or(0.0, |pull| PULL.width(&figure(house, pull.joint(board))) + BETWEEN);
            first.max(pull + HOOK.width(&pack_words(house, board).unwrap_or_default()))
        };
        let widest = sequence.boards().map(of_board).fold(CELL, |all, one| all.max(one + 3.0));
        Self { own, board: widest.min(width - own - INDENT), pulls }
    }
}

const NAME: Type = Type { size: 4.6, bold: true, colour: drawing::Rgb::INK };
const LABEL: Type = Type { size: 3.9, bold: true, colour: drawing::Rgb::INK };
const SIZE: Type = Type { size: 3.9, bold: false, colour: drawing::Rgb::INK };
const PULL: Type = Type { size: 3.9, bold: false, colour: drawing::Rgb::INK };
const HOOK: Type = Type { size: 3.3, bold: false, colour: drawing::Rgb::QUIET };
/// Between two figures of a board, mm.
const BETWEEN: f64 = 1.6;

/// What the run is called: its label's own row number, so that list and floor agree.
fn row_name(house: &House, step: &LaidRun) -> Option<String> {
    let first = house.floor.boards.get(*step.boards.first()?)?;
    let row = first.label.rsplit_once('-').map_or("", |(row, _)| row);
    let what = match (first.in_border, first.is_block()) {
        (true, _) => "Course",
        (_, true) => "Column",
        _ => "Row",
    };
    Some(format!("{what} {}", row.trim_start_matches('B')))
}

fn from_words(house: &House, pull: &JointPull) -> String {
    format!("from {}", pull.words(&house.plan))
}

fn pack_words(house: &House, board: &Board) -> Option<String> {
    Some(format!("pack {}", house.floor.stock.get(board.stock)?.pack + 1))
}

fn put_step(flow: &mut Flow, house: &House, step: &LaidRun, is_first: bool, cells: &Cells<'_>) {
    let boards: Vec<(usize, &Board)> =
        step.boards.iter().filter_map(|index| Some((*index, house.floor.boards.get(*index)?))).collect();
    let Some(name) = row_name(house, step) else { return };
    // Laid boards are found; blocks and borders have no joints to pull.
    let lies = boards.iter().all(|(index, _)| house.floor.is_laid(*index));
    let pull = hook_of(step, cells.pulls).filter(|_| !lies && boards.len() > 1);
    let hooks = pull.map_or_else(Vec::new, |pull| HOOK.wrapped(&from_words(house, &pull), cells.own - 2.0));
    let from = INDENT + cells.own;
    let across = (((flow.width() - from) / cells.board).floor() as usize).max(1);
    let line_height: f64 = if lies { 6.8 } else { 11.6 };
    let mut row = flow.row();
    for (i, line) in boards.chunks(across).enumerate() {
        let hooked = if i == 0 { 7.6 + 4.1 * hooks.len() as f64 } else { 0.0 };
        let top = flow.take(line_height.max(hooked));
        let (x, right) = (flow.x(), flow.right());
        let page = flow.page();
        if i == 0 {
            if !is_first {
                page.line((x, top), (right, top), 0.18, drawing::Rgb::QUIET);
            }
            tick_box(page, x, top + 0.8);
            if step.start == fit::Start::Lies {
                tick(page, x, top + 0.8);
            }
            page.begin(row.head(0));
            page.write(&name, x + INDENT, top + 5.2, NAME);
            for (j, hook) in hooks.iter().enumerate() {
                page.write(hook, x + INDENT, top + 9.8 + 4.1 * j as f64, HOOK);
            }
        }
        for (j, (index, board)) in line.iter().enumerate() {
            if i + j > 0 {
                row = flow.row();
            }
            let at = x + from + cells.board * j as f64;
            let is_last = board.ends_run || i * across + j + 1 == boards.len();
            let pull = cells.pulls.get(*index).copied().flatten().filter(|_| !is_last && !lies);
            put_board(flow.page(), house, (*index, board), pull, (at, top, cells.board), row);
        }
    }
    if !lies {
        put_hooks(flow, house, step, cells.pulls);
    }
    put_ways(flow, house, step);
}

/// What the tape of a row is hooked on first.
fn hook_of(step: &LaidRun, pulls: &[Option<JointPull>]) -> Option<JointPull> {
    step.boards.iter().find_map(|board| pulls.get(*board).copied().flatten())
}

/// The boards whose far joints are pulled from something else than the row's first ones, and that.
fn put_hooks(flow: &mut Flow, house: &House, step: &LaidRun, pulls: &[Option<JointPull>]) {
    let nearer = step.boards.get(..step.boards.len().saturating_sub(1)).unwrap_or(&[]);
    for (pull, boards) in fit::hooks(nearer, pulls).into_iter().skip(1) {
        let names: Vec<String> = boards.iter().map(|board| marked(house, *board)).collect();
        put_note(flow, &format!("{}: joint pulled {}", names.join(" "), from_words(house, &pull)));
    }
}

/// One board: its label and size, under them where its far joint lies, and its pack.
fn put_board(
    page: &mut Page,
    house: &House,
    (index, board): (usize, &Board),
    pull: Option<JointPull>,
    (at, top, wide): (f64, f64, f64),
    row: Row,
) {
    let name = marked(house, index);
    page.begin(row.cell(1));
    page.write(&name, at, top + 5.0, LABEL);
    let is_laid = house.floor.is_laid(index);
    let (said, kind) = match is_laid {
        true => ("laid".to_owned(), Type::quiet(SIZE.size)),
        false => (measure(house, board), SIZE),
    };
    let after = at + LABEL.width(&name) + BETWEEN;
    let room = (at + wide - 3.0 - after) / kind.width(&said).max(1.0);
    page.begin(row.cell(2));
    page.write(&said, after, top + 5.0, Type { size: kind.size * room.clamp(0.7, 1.0), ..kind });
    if is_laid {
        return;
    }
    let mut after = at;
    if let Some(pull) = pull {
        let figure = figure(house, pull.joint(board));
        page.begin(row.cell(3));
        page.write(&figure, at, top + 9.9, PULL);
        after += PULL.width(&figure) + BETWEEN;
    }
    if let Some(pack) = pack_words(house, board) {
        page.begin(row.cell(4));
        page.write(&pack, after, top + 9.9, HOOK);
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
    let mut text = cut_length(house, board);
    if house.floor.pitch - board.width > 0.05 {
        text.push_str(&format!("×{}", figure(house, board.width)));
    }
    text
}

/// What the lay list holds, in words for its note.
pub(crate) fn summary(house: &House) -> String {
    format!("{}, {}", count(house.floor.runs.len(), "run"), count(house.floor.boards.len(), "board"))
}
