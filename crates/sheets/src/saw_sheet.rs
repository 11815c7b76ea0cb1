//! The saw list: each setting once, notched boards drawn, what is shaved; for the house, or for each stage.

use crate::bound::List;
use crate::flow::{Flow, Row, tick_box};
use crate::font;
use crate::page::{Page, Part, Type, clean};
use crate::placing::{Placing, extent, marks_of};
use crate::told::Told;
use crate::words::{count, cut_length, figure, label, labels, marked, setting, strip_note};
use crate::yields::put_yields;
use drawing::{Options, board_drawing};
use kurbo::Point;
use order::{MitreEntry, Notch, SawEntry, SawList, SawPart, TaperEntry};
use pipeline::House;
use std::collections::VecDeque;

/// The saw list, or one for each stage; none of a floor that lies, of which nothing is left to saw.
pub(crate) fn saw_lists<'a>(house: &'a Told<'_>, by_stage: bool) -> Vec<List<'a>> {
    if (0..house.floor.boards.len()).all(|board| house.floor.is_laid(board)) {
        return Vec::new();
    }
    let parts = match by_stage {
        true => order::saw_parts(&house.plan, &house.floor, &house.order, house.shares()),
        false => vec![order::whole_saw_list(&house.order)],
    };
    parts.into_iter().map(|part| saw_list(house, part)).collect()
}

/// A stage's name in a title takes this much of the page at most, mm.
const NAME: f64 = 80.0;

fn saw_list<'a>(house: &'a House, part: SawPart) -> List<'a> {
    let title = part.name.as_ref().map_or_else(
        || "Saw list".to_owned(),
        |name| format!("Saw list, {}", font::fitted(&clean(name), 8.0, true, NAME)),
    );
    let day = part.day.map_or_else(String::new, |day| format!("day {day} · "));
    let note = format!(
        "{day}face {} · kerf {} · face up, tongue away from you, left end left",
        setting(house, house.floor.pitch),
        setting(house, house.plan.stock.kerf)
    );
    List::new(title, note, move |flow| {
        let caution = "Extract at the saw; mask, eye and ear protection. Blade guard and push stick for narrow rips. \
         Rip first, then cut to length: no short piece goes along a fence. The saw maker's sheet and local rules come first.";
        flow.paragraph(caution, Type::plain(3.4));
        if let Some(words) = order::drawn_words(&house.plan) {
            flow.gap(1.6);
            flow.paragraph(&words, Type::bold(3.8));
        }
        let saw = &part.saw;
        let parts: [(&str, &[SawEntry]); 6] = [
            ("Fence, keep tongue", &saw.rips_keep_tongue),
            ("Fence, keep groove", &saw.rips_keep_groove),
            ("Fence, both sides off", &saw.rips_keep_neither),
            ("Stop, keep left end", &saw.crosscuts_keep_left),
            ("Stop, keep right end", &saw.crosscuts_keep_right),
            ("Stop, both ends cut", &saw.crosscuts_both),
        ];
        for (i, (heading, entries)) in parts.into_iter().enumerate() {
            if entries.is_empty() {
                continue;
            }
            flow.heading(heading);
            // A rip's run is what the fence sees; a crosscut has none.
            put_entries(flow, house, entries, i < 3);
        }
        if let Some(words) = order::skim_words(&house.plan, &house.floor, saw) {
            flow.gap(1.0);
            flow.paragraph(&words, Type::plain(3.6));
        }
        // Entries of one pair of angles follow one another: one heading each.
        for mitres in saw.mitres.chunk_by(|a, b| (a.left, a.right) == (b.left, b.right)) {
            flow.heading(&format!("Mitre, {}", mitres[0].words()));
            let entry = |m: &MitreEntry| SawEntry { setting: m.setting, boards: m.boards.clone(), run: 0.0 };
            put_entries(flow, house, &mitres.iter().map(entry).collect::<Vec<_>>(), false);
        }
        put_parted(flow, house, saw);
        if !saw.tapers.is_empty() {
            flow.heading("Tapered rip, left end to right, straight from mark to mark");
            flow.table(&[]);
            for entry in &saw.tapers {
                put_taper(flow, house, entry);
            }
        }
        if !saw.notches.is_empty() {
            flow.heading("Notch");
            put_notches(flow, house, saw);
        }
        put_shaves(flow, house, &part);
        put_yields(flow, house, &part);
    })
}

/// Slanting cuts that part two pieces of a board: where each is marked on it.
fn put_parted(flow: &mut Flow, house: &House, saw: &SawList) {
    if saw.parted.is_empty() {
        return;
    }
    flow.heading("One slanting cut for two");
    let about = "From the left end of the board opened, its groove edge towards you. The saw takes the wood to the right of \
                 the line.";
    flow.paragraph(about, Type::quiet(3.4));
    flow.gap(1.5);
    flow.table(&[("board", SETTING, 0), ("on the groove and the tongue edge", 24.0, 0), ("parts", 110.0, 0)]);
    for cut in &saw.parted {
        let top = flow.take(6.6);
        let (x, row) = (flow.x(), flow.row());
        let page = flow.page();
        tick_box(page, x, top + 0.4);
        page.begin(row.head(0));
        page.write(&(cut.stock + 1).to_string(), x + SETTING, top + 4.6, Type::bold(4.2));
        page.begin(row.cell(1));
        let (groove, tongue) = (figure(house, cut.at), figure(house, cut.at + cut.shift));
        let leaning = if cut.shift > 0.0 { "right" } else { "left" };
        let marks = format!("{groove} / {tongue}, {}° leaning {leaning}", cut.angle.abs());
        page.write(&marks, x + 24.0, top + 4.6, Type::plain(4.2));
        page.begin(row.cell(2));
        let parts = format!("{} and {}", label(house, cut.left), label(house, cut.right));
        page.write(&parts, x + 110.0, top + 4.6, Type::plain(4.0));
    }
}

/// Width of the columns of an entry: from the box to the setting, and to the labels of shaved locks, mm.
const SETTING: f64 = 8.0;
const LABELS: f64 = 86.0;

/// A cell of entries that stand abreast is at least this wide, mm: of crosscuts, and of rips with their runs.
const CELL: f64 = 56.0;
const RIP_CELL: f64 = 86.0;

/// Entries of one heading, as many abreast as a line holds where their labels are few.
fn put_entries(flow: &mut Flow, house: &House, entries: &[SawEntry], with_run: bool) {
    let least = if with_run { RIP_CELL } else { CELL };
    let abreast = ((flow.width() / least).floor() as usize).max(1);
    let cell = flow.width() / abreast as f64;
    let said = |entry: &SawEntry| said_of(house, entry, with_run);
    // Words stand in one column past the widest of the settings, and labels past the widest words.
    let widest = |words: &dyn Fn(&SawEntry) -> f64| entries.iter().map(words).fold(0.0, f64::max);
    let settings = widest(&|entry| SAWN.width(&setting(house, entry.setting)));
    let said_from = SETTING + settings + 3.0;
    let is_brief = |entry: &SawEntry| entry.boards.len() <= BRIEF;
    let words =
        widest(&|entry| if with_run && is_brief(entry) { PLAIN.width(&said(entry)) + 3.0 } else { 0.0 });
    let labels_from = said_from + words;
    let cells = |entry: &SawEntry| {
        let width = labels_from + PLAIN.width(&labels(house, &entry.boards)) + 3.0;
        let cells = (width / cell).ceil() as usize;
        (is_brief(entry) && cells <= abreast).then_some(cells)
    };
    flow.table(&[("set to", SETTING, 0), ("boards", labels_from, 0)]);
    let mut rest = entries;
    while let Some(first) = rest.first() {
        if cells(first).is_none() {
            put_entry(flow, house, first, [said_from, labels_from], with_run);
            rest = &rest[1..];
            continue;
        }
        let (top, mut taken) = (flow.take(8.2), 0);
        let x = flow.x();
        while let Some((entry, wide)) = rest.first().and_then(|entry| Some((entry, cells(entry)?)))
            && taken + wide <= abreast
        {
            let row = flow.row();
            let at = x + cell * taken as f64;
            put_brief(flow.page(), house, entry, (at, top), [said_from, labels_from], row);
            (taken, rest) = (taken + wide, &rest[1..]);
        }
    }
}

/// Entries of no more boards than this stand abreast.
const BRIEF: usize = 3;
/// Words and labels of an entry.
const PLAIN: Type = Type { size: 4.0, bold: false, colour: drawing::Rgb::INK };
/// What the saw is set to, in the largest figures of the list.
const SAWN: Type = Type { size: 6.2, bold: true, colour: drawing::Rgb::INK };

/// Writes a setting in large figures and gives where the next thing may start.
fn put_setting(page: &mut Page, text: &str, (x, top): (f64, f64)) -> f64 {
    page.write(text, x + SETTING, top + 5.6, SAWN);
    x + SETTING + SAWN.width(text) + 2.5
}

fn put_brief(
    page: &mut Page,
    house: &House,
    entry: &SawEntry,
    (x, top): (f64, f64),
    [said_from, labels_from]: [f64; 2],
    row: Row,
) {
    tick_box(page, x, top + 0.8);
    page.begin(row.head(0));
    put_setting(page, &setting(house, entry.setting), (x, top));
    page.begin(row.cell(1));
    if labels_from > said_from {
        page.write(&said_of(house, entry, true), x + said_from, top + 5.4, PLAIN);
    }
    page.write(&labels(house, &entry.boards), x + labels_from, top + 5.4, PLAIN);
}

/// How many boards an entry is for, and of a rip how far the fence is run.
fn said_of(house: &House, entry: &SawEntry, with_run: bool) -> String {
    let boards = count(entry.boards.len(), "board");
    if with_run { format!("{boards}, {} run", figure(house, entry.run)) } else { boards }
}

/// An entry of many boards, its words and labels in the columns of those beside it.
fn put_entry(
    flow: &mut Flow,
    house: &House,
    entry: &SawEntry,
    [said_from, labels_from]: [f64; 2],
    with_run: bool,
) {
    let (small, plain) = (Type::plain(3.6), PLAIN);
    let what = said_of(house, entry, with_run);
    let text = setting(house, entry.setting);
    // Labels stand in their column, or past words that reach into it.
    let labels_from = labels_from.max(said_from + plain.width(&what) + 3.0);
    let lines = small.wrapped(&labels(house, &entry.boards), (flow.width() - labels_from).max(20.0));
    let height = 8.2_f64.max(2.6 + 4.8 * lines.len() as f64);
    let top = flow.take(height);
    let (x, row) = (flow.x(), flow.row());
    let page = flow.page();
    tick_box(page, x, top + 0.8);
    page.begin(row.head(0));
    put_setting(page, &text, (x, top));
    page.begin(row.cell(1));
    page.write(&what, x + said_from, top + 5.4, plain);
    for (i, line) in lines.iter().enumerate() {
        page.write(line, x + labels_from, top + 5.2 + 4.8 * i as f64, small);
    }
}

fn put_taper(flow: &mut Flow, house: &House, entry: &TaperEntry) {
    let Some(board) = house.floor.boards.get(entry.board) else { return };
    let widths = entry.taper.words(|mm| setting(house, mm));
    let kind = Type::bold(6.2);
    // A bow with several marks takes lines of its own.
    let lines = kind.wrapped(&widths, flow.width() - SETTING);
    let name = marked(house, entry.board);
    let strip = strip_note(house, entry.board);
    let keeps = entry.taper.keeps.word();
    let note = format!("keep {keeps} · {strip}{} long · {}", cut_length(house, board), entry.round);
    let beside = SETTING + Type::bold(4.0).width(&name) + 3.0;
    let notes = Type::quiet(3.6).wrapped(&note, flow.width() - beside);
    let top = flow.take(8.2 * lines.len() as f64 + 6.0 + 4.6 * (notes.len().max(1) - 1) as f64);
    let (x, row) = (flow.x(), flow.row());
    let page = flow.page();
    tick_box(page, x, top + 0.8);
    page.begin(row.cell(1));
    for (i, line) in lines.iter().enumerate() {
        page.write(line, x + SETTING, top + 5.6 + 8.2 * i as f64, kind);
    }
    let base = top + 8.2 * lines.len() as f64 + 3.2;
    page.begin(row.head(0));
    page.write(&name, x + SETTING, base, Type::bold(4.0));
    page.begin(row.cell(2));
    page.write_lines(&notes, x + beside, base, 4.6, Type::quiet(3.6));
}

/// A notched board as it is drawn: its drawing, how far that reaches, and what stands over it.
struct Notched<'a> {
    notch: &'a Notch,
    board: &'a lay::Board,
    drawing: drawing::Drawing,
    /// How far it reaches over and under the board's groove edge, right of where its length begins, and left of it, paper mm.
    high: f64,
    low: f64,
    right: f64,
    out: f64,
    name: String,
    words: String,
}

/// Notched boards at one scale, so that they can be compared. Beside a short one stands the next that is short, too.
fn put_notches(flow: &mut Flow, house: &House, saw: &SawList) {
    let pitch = house.floor.pitch;
    let boards = saw.notches.iter().filter_map(|notch| house.floor.boards.get(notch.board));
    let longest = boards.map(|board| board.length() + (board.lean * pitch).abs()).fold(1.0, f64::max);
    let scale = (longest / (flow.width() - 30.0)).max(4.0);
    let all: Vec<Notched> = saw.notches.iter().filter_map(|notch| Notched::of(house, notch, scale)).collect();
    let half = (flow.width() - HALVES) / 2.0;
    let mut rest: VecDeque<Notched> = all.into();
    while let Some(first) = rest.pop_front() {
        let is_short = |one: &Notched| one.width() <= half;
        let beside = if is_short(&first) { rest.iter().position(is_short) } else { None };
        let now: Vec<Notched> = std::iter::once(first).chain(beside.and_then(|at| rest.remove(at))).collect();
        let wide = if now.len() > 1 { half } else { flow.width() };
        let heads: Vec<NotchHead> = now.iter().map(|one| NotchHead::of(house, one, wide)).collect();
        // Drawings side by side stand on one line.
        let under = now.iter().zip(&heads).map(|(one, head)| head.height() + one.high).fold(0.0, f64::max);
        let low = now.iter().map(|one| -one.low).fold(0.0, f64::max);
        let top = flow.take(under + low + UNDER);
        for (place, (one, head)) in now.iter().zip(&heads).enumerate() {
            let x = flow.x() + (half + HALVES) * place as f64;
            let paper = Point::new(x + 1.0 - one.out, top + under);
            put_notch(flow.page(), one, head, (x, top), &Placing { plan: Point::ZERO, paper, scale });
        }
    }
}

/// Under a drawing, before the next board, mm.
const UNDER: f64 = 3.0;
/// Between two drawings side by side, mm.
const HALVES: f64 = 6.0;

impl<'a> Notched<'a> {
    fn of(house: &'a House, notch: &'a Notch, scale: f64) -> Option<Self> {
        let board = house.floor.boards.get(notch.board)?;
        let pitch = house.floor.pitch;
        let drawing = board_drawing(house, notch, &Options::all(scale, house.plan.units));
        let low = drawing
            .labels()
            .map(|label| label.at.y / scale + label.shift.y - label.size)
            .fold(-6.0, f64::min);
        let high = (pitch / scale)
            .max(drawing.labels().map(|l| l.at.y / scale + l.shift.y + l.size / 2.0).fold(0.0, f64::max));
        // A mitred end may lean out to the left of where the board's length begins.
        let out = notch.outline.iter().map(|p| p.0).fold((board.lean * pitch).min(0.0), f64::min) / scale;
        let mut words = strip_note(house, notch.board) + &notch.round;
        if !notch.alike.is_empty() {
            let alike = format!("{} alike: {}", notch.alike.len() + 1, labels(house, &notch.alike));
            words = if words.is_empty() { alike } else { format!("{alike} · {words}") };
        }
        let right = extent(&drawing, scale).x1;
        let name = marked(house, notch.board);
        Some(Self { notch, board, drawing, high, low, right, out, name, words })
    }

    /// Width of its drawing with its figures, mm.
    fn width(&self) -> f64 {
        self.right - self.out + 1.0
    }
}

/// What stands over a notched board, in lines.
struct NotchHead {
    beside: f64,
    words: Vec<String>,
    how: Vec<String>,
}

impl NotchHead {
    fn of(house: &House, one: &Notched<'_>, width: f64) -> Self {
        let beside = SETTING + Type::bold(5.4).width(&one.name) + 4.0;
        let words = Type::plain(4.0).wrapped(&one.words, width - beside);
        let how = Type::quiet(3.4).wrapped(&how_measured(house, one.notch, one.board), width - SETTING);
        Self { beside, words, how }
    }

    fn height(&self) -> f64 {
        let more = |lines: &[String], each: f64| each * (lines.len().max(1) - 1) as f64;
        12.0 + more(&self.words, 5.0) + more(&self.how, 4.4)
    }
}

fn put_notch(page: &mut Page, one: &Notched<'_>, head: &NotchHead, (x, top): (f64, f64), placing: &Placing) {
    let (plain, quiet) = (Type::plain(4.0), Type::quiet(3.4));
    page.begin(Part::Lines);
    tick_box(page, x, top + 0.6);
    page.write(&one.name, x + SETTING, top + 5.4, Type::bold(5.4));
    let under = page.write_lines(&head.words, x + head.beside, top + 5.2, 5.0, plain);
    page.write_lines(&head.how, x + SETTING, under.max(top + 10.2), 4.4, quiet);
    page.figure(format!("Board {} with what is cut out of it", one.name), marks_of(&one.drawing, placing));
}

/// What a notched board is cut from, how it lies, and where its measures begin.
fn how_measured(house: &House, notch: &Notch, board: &lay::Board) -> String {
    let from = drawing::MeasuredFrom::of(house, notch);
    let stock = house.floor.stock.get(board.stock).map_or(0.0, |stock| stock.length);
    let row = board.label.rsplit_once('-').map_or("", |(row, _)| row);
    format!(
        "face up · from {} and {} · gap included · row {row}, out of board {} ({})",
        from.end_words(),
        from.side_words(),
        board.stock + 1,
        figure(house, stock)
    )
}

/// Boards whose lock is shaved, by the sides.
fn put_shaves(flow: &mut Flow, house: &House, part: &SawPart) {
    let shaves = part.shaves(&house.fit);
    if shaves.is_empty() {
        return;
    }
    flow.heading("Shave the lock (*), glue and tape the joint");
    flow.table(&[("sides", SETTING, 0), ("boards", LABELS, 0)]);
    for (parts, boards) in shaves {
        let small = Type::quiet(3.6);
        let lines = small.wrapped(&labels(house, &boards), flow.width() - LABELS);
        let top = flow.take(8.2_f64.max(2.6 + 4.8 * lines.len() as f64));
        let (x, row) = (flow.x(), flow.row());
        let page = flow.page();
        tick_box(page, x, top + 0.8);
        page.begin(row.head(0));
        page.write(&fit::shaved_words(&parts), x + SETTING, top + 5.4, Type::bold(4.6));
        page.begin(row.cell(1));
        for (i, line) in lines.iter().enumerate() {
            page.write(line, x + LABELS, top + 5.2 + 4.8 * i as f64, small);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Mark, Paper};

    /// Rips of one board each: two settings on a line, each with its box, its run and its board.
    #[test]
    fn settings_of_the_fence_stand_two_abreast() {
        let plan =
            plan::read(include_str!("../../../sample-plans/hazel-court.ron")).expect("the sample reads");
        let house = pipeline::run(&plan).expect("the sample is sound");
        let told = Told::new(&house);
        let pages = saw_lists(&told, false)[0].alone(Paper::A4);
        let entries = &house.order.saw.rips_keep_tongue;
        assert!(entries.len() >= 4 && entries.iter().all(|entry| entry.boards.len() == 1));
        let runs = pages[0].marks.iter().filter_map(|mark| match mark {
            Mark::Text { text, at, size, bold: false, .. } if text.ends_with(" run") => Some((*at, *size)),
            _ => None,
        });
        let runs: Vec<(Point, f64)> = runs.take(entries.len()).collect();
        assert_eq!(runs.len(), entries.len());
        for pair in runs.chunks(2) {
            assert!(pair.iter().all(|(at, size)| at.y == pair[0].0.y && *size == 4.0), "{runs:?}");
        }
        assert!(runs[2].0.y > runs[1].0.y && runs[1].0.x > runs[0].0.x + 80.0);
    }
}
