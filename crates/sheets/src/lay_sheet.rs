//! The lay list: run by run in the order of laying, the boards of each as they go in, with their notes.

use crate::bound::List;
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
    /// Of a row's name alone.
    name: f64,
    pulls: &'a [Option<JointPull>],
}

pub(crate) fn lay_sheet<'a>(house: &'a Told<'_>) -> Option<List<'a>> {
    let note = format!(
        "as they go in: label, length × width · {} unless noted · * lock shaved",
        house.fit.usual.word()
    );
    let sequence = house.sequence();
    Some(List::new("Lay list", note, move |flow| {
        let pulls = house.joint_pulls();
        if pulls.iter().any(Option::is_some) {
            let how = "Under each board: where its far joint lies, a tape along the middle of the row from what the row names, \
                   its gap counted in; then the board's pack.";
            flow.paragraph(how, Type::plain(3.4));
        }
        if let Some(words) = order::drawn_words(&house.plan) {
            flow.gap(1.6);
            flow.paragraph(&words, Type::bold(3.8));
        }
        let stages = stages_in_words(house);
        if let Some(said) = &stages {
            let how = "Laid in stages: NAMED. Where one meets what an earlier one laid, its rows say so.";
            flow.paragraph(&how.replace("NAMED", said), Type::bold(3.8));
        }
        for words in house.letter_words() {
            flow.paragraph(&words, Type::bold(3.8));
        }
        let cells = Cells::of(house, sequence, pulls, flow.width());
        let mut heading = String::new();
        let part_at = |at: usize| {
            let step = sequence.steps.get(at)?;
            let part = part_of(house, step, house.floor.runs.get(step.run)?);
            let stage = stages.as_ref().map(|_| format!("{}. ", stage_name(house, step.stage)));
            Some(stage.unwrap_or_default() + &part)
        };
        let mut next = 0;
        while let Some(step) = sequence.steps.get(next) {
            let at = next;
            next += 1;
            let Some(part) = part_at(at) else { continue };
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
            // Rows of one board that follow one another without a word between them stand abreast.
            let goes_on = |after: &usize| {
                let step = sequence.steps.get(*after);
                step.is_some_and(|step| is_brief(house, step))
                    && sequence.notes(&house.plan, &house.floor, *after).is_empty()
                    && part_at(*after).as_ref() == Some(&heading)
            };
            let abreast = if is_brief(house, step) { cells.abreast(flow.width()) } else { 1 };
            next += (next..).take(abreast - 1).take_while(goes_on).count();
            match sequence.steps.get(at..next) {
                Some(steps) if steps.len() > 1 => put_abreast(flow, house, steps, is_new_part, &cells),
                _ => put_step(flow, house, step, is_new_part, &cells),
            }
        }
        if sequence.is_empty() {
            flow.paragraph("No boards are laid.", Type::plain(4.0));
        }
    }))
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
        let of_board = |index: usize| {
            let Some(board) = house.floor.boards.get(index) else { return 0.0 };
            // A width beside the length is written smaller where it has no room, down to the least.
            let both = LEAST_SIZE * SIZE.width(&measure(house, board)) + AFTER - APART;
            let length = SIZE.width(&cut_length(house, board)).max(both);
            let first = LABEL.width(&marked(house, index)) + BETWEEN + length;
            let pull = pulls
                .get(index)
                .copied()
                .flatten()
                .map_or(0.0, |pull| PULL.width(&figure(house, pull.joint(board))) + BETWEEN);
            first.max(pull + HOOK.width(&pack_words(house, board).unwrap_or_default()))
        };
        let widest = sequence.boards().map(of_board).fold(CELL, |all, one| all.max(one + APART));
        let own = sequence.steps.iter().map(named).fold(0.0, f64::max) + 3.0;
        let own = own.clamp(ROW.0 - INDENT, ROW.1 - INDENT);
        let names = sequence.steps.iter().filter_map(|step| row_name(house, step));
        let name = names.map(|name| NAME.width(&name)).fold(0.0, f64::max) + 3.0;
        let of = |own: f64| Self { own, board: widest.min(width - own - INDENT), pulls, name };
        // A narrower first cell may leave room for one board more on a line, while what the row is pulled from takes a line more.
        let across = ((width - ROW.0) / widest).floor();
        let narrower = (width - INDENT - across * widest).clamp(ROW.0 - INDENT, own);
        let height = |cells: &Self| {
            sequence.steps.iter().map(|step| cells.height(house, step, width)).fold(0.0, |all, one| all + one)
        };
        let (wide, narrow) = (of(own), of(narrower));
        if height(&narrow) < height(&wide) { narrow } else { wide }
    }

    /// How many boards stand on a line.
    fn across(&self, width: f64) -> usize {
        (((width - INDENT - self.own) / self.board).floor() as usize).max(1)
    }

    /// How many rows of one board stand abreast.
    fn abreast(&self, width: f64) -> usize {
        ((width / (INDENT + self.name + self.board)).floor() as usize).max(1)
    }

    /// What a row is pulled from, in the lines of its own cell.
    fn hooks(&self, house: &House, step: &LaidRun) -> Vec<String> {
        let boards = || step.boards.iter().copied();
        let lies = boards().all(|board| house.floor.is_laid(board));
        let pull = hook_of(step, self.pulls).filter(|_| !lies && step.boards.len() > 1);
        pull.map_or_else(Vec::new, |pull| HOOK.wrapped(&from_words(house, &pull), self.own - 2.0))
    }

    /// Height of a row's lines, mm.
    fn height(&self, house: &House, step: &LaidRun, width: f64) -> f64 {
        let lines = step.boards.len().div_ceil(self.across(width)).max(1);
        LINE.max(7.6 + 4.1 * self.hooks(house, step).len() as f64) + LINE * (lines - 1) as f64
    }
}

const NAME: Type = Type { size: 4.6, bold: true, colour: drawing::Rgb::INK };
const LABEL: Type = Type { size: 3.9, bold: true, colour: drawing::Rgb::INK };
const SIZE: Type = Type { size: 3.9, bold: false, colour: drawing::Rgb::INK };
const PULL: Type = Type { size: 3.9, bold: false, colour: drawing::Rgb::INK };
const HOOK: Type = Type { size: 3.3, bold: false, colour: drawing::Rgb::QUIET };
/// Height of a line of boards, with what stands under them, and of one of boards that lie, mm.
const LINE: f64 = 11.6;
const LAID_LINE: f64 = 6.8;
/// How far below a row's last line the rule lies, mm: clear of what hangs under the letters of a list that is drawn together.
const RULE: f64 = 0.4;
/// Between two boards' cells, mm.
const APART: f64 = 2.2;
/// Between two figures of a board, mm.
const BETWEEN: f64 = 1.6;
/// What stays free after a board's size in its cell, mm, and how much smaller it is written at most.
const AFTER: f64 = 3.0;
const LEAST_SIZE: f64 = 0.7;

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
    let hooks = cells.hooks(house, step);
    let from = INDENT + cells.own;
    let across = cells.across(flow.width());
    let line_height = if lies { LAID_LINE } else { LINE };
    let mut row = flow.row();
    for (i, line) in boards.chunks(across).enumerate() {
        let hooked = if i == 0 { 7.6 + 4.1 * hooks.len() as f64 } else { 0.0 };
        let top = flow.take(line_height.max(hooked));
        let (x, right) = (flow.x(), flow.right());
        let page = flow.page();
        if i == 0 {
            if !is_first {
                page.line((x, top + RULE), (right, top + RULE), 0.18, drawing::Rgb::QUIET);
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

/// Whether a row is one board of which nothing is said but its figures.
fn is_brief(house: &House, step: &LaidRun) -> bool {
    matches!(step.boards.as_slice(), [only] if house.fit.other_way(*only).is_none())
}

/// Rows of one board each, abreast.
fn put_abreast(flow: &mut Flow, house: &House, steps: &[LaidRun], is_first: bool, cells: &Cells<'_>) {
    let lies = |step: &LaidRun| step.boards.iter().all(|board| house.floor.is_laid(*board));
    let top = flow.take(if steps.iter().all(lies) { LAID_LINE } else { LINE });
    let (left, right) = (flow.x(), flow.right());
    if !is_first {
        flow.page().line((left, top + RULE), (right, top + RULE), 0.18, drawing::Rgb::QUIET);
    }
    let wide = flow.width() / cells.abreast(flow.width()) as f64;
    for (place, step) in steps.iter().enumerate() {
        let (x, row) = (left + wide * place as f64, flow.row());
        let page = flow.page();
        tick_box(page, x, top + 0.8);
        if step.start == fit::Start::Lies {
            tick(page, x, top + 0.8);
        }
        page.begin(row.head(0));
        page.write(&row_name(house, step).unwrap_or_default(), x + INDENT, top + 5.2, NAME);
        for index in &step.boards {
            let Some(board) = house.floor.boards.get(*index) else { continue };
            put_board(page, house, (*index, board), None, (x + INDENT + cells.name, top, cells.board), row);
        }
    }
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
    let room = (at + wide - AFTER - after) / kind.width(&said).max(1.0);
    page.begin(row.cell(2));
    page.write(&said, after, top + 5.0, Type { size: kind.size * room.clamp(LEAST_SIZE, 1.0), ..kind });
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
