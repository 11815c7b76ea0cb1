//! The saw list: each setting once, notched boards drawn, what is shaved.

use crate::Paper;
use crate::flow::{Flow, Row, tick_box};
use crate::page::{Page, Type};
use crate::placing::{Placing, marks_of};
use crate::words::{count, cut_length, figure, label, labels, marked, setting, strip_note};
use crate::yields::put_yields;
use drawing::{Options, board_drawing};
use kurbo::Point;
use order::{MitreEntry, Notch, SawEntry, TaperEntry};
use pipeline::House;

pub(crate) fn saw_sheet(house: &House, paper: Paper) -> Vec<Page> {
    let note = format!(
        "face {} · kerf {} · face up, tongue away from you, left end left",
        setting(house, house.floor.pitch),
        setting(house, house.plan.stock.kerf)
    );
    Flow::set(paper, "Saw list", &note, |flow| {
        let caution = "Extract at the saw; mask, eye and ear protection. Blade guard and push stick for narrow rips. \
         The saw maker's sheet and local rules come first.";
        flow.paragraph(caution, Type::plain(3.4));
        let saw = &house.order.saw;
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
        // Entries of one pair of angles follow one another: one heading each.
        for mitres in saw.mitres.chunk_by(|a, b| (a.left, a.right) == (b.left, b.right)) {
            flow.heading(&format!("Mitre, {}", mitres[0].words()));
            let entry = |m: &MitreEntry| SawEntry { setting: m.setting, boards: m.boards.clone(), run: 0.0 };
            put_entries(flow, house, &mitres.iter().map(entry).collect::<Vec<_>>(), false);
        }
        put_parted(flow, house);
        if !saw.tapers.is_empty() {
            flow.heading("Tapered rip, left end to right, straight from mark to mark");
            flow.table(&[]);
            for entry in &saw.tapers {
                put_taper(flow, house, entry);
            }
        }
        if !saw.notches.is_empty() {
            flow.heading("Notch");
            for notch in &saw.notches {
                put_notch(flow, house, notch);
            }
        }
        put_shaves(flow, house);
        put_yields(flow, house);
    })
}

/// Slanting cuts that part two pieces of a board: where each is marked on it.
fn put_parted(flow: &mut Flow, house: &House) {
    if house.order.saw.parted.is_empty() {
        return;
    }
    flow.heading("One slanting cut for two");
    let about = "From the left end of the board opened, its groove edge towards you. The saw takes the wood to the right of \
                 the line.";
    flow.paragraph(about, Type::quiet(3.4));
    flow.gap(1.5);
    flow.table(&[("board", SETTING, 0), ("on the groove and the tongue edge", 24.0, 0), ("parts", 110.0, 0)]);
    for cut in &house.order.saw.parted {
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

/// Width of the columns of an entry: from the box to the setting, the count and the labels, mm.
const SETTING: f64 = 8.0;
const COUNT: f64 = 36.0;
const LABELS: f64 = 86.0;

/// Entries of one heading, two abreast where their labels are few.
fn put_entries(flow: &mut Flow, house: &House, entries: &[SawEntry], with_run: bool) {
    let half = flow.width() / 2.0;
    flow.table(&[("set to", SETTING, 0), ("boards", COUNT + 2.0, 0)]);
    let mut rest = entries;
    while let [first, more @ ..] = rest {
        match more {
            [second, after @ ..]
                if !with_run && is_brief(house, first, half) && is_brief(house, second, half) =>
            {
                let top = flow.take(8.2);
                let x = flow.x();
                for (at, entry) in [(x, first), (x + half, second)] {
                    let row = flow.row();
                    put_brief(flow.page(), house, entry, (at, top), row);
                }
                rest = after;
            }
            _ if !with_run && is_brief(house, first, half) => {
                let top = flow.take(8.2);
                let (x, row) = (flow.x(), flow.row());
                put_brief(flow.page(), house, first, (x, top), row);
                rest = more;
            }
            _ => {
                put_entry(flow, house, first, with_run);
                rest = more;
            }
        }
    }
}

/// Whether an entry's setting and labels stand in half of the width.
fn is_brief(house: &House, entry: &SawEntry, half: f64) -> bool {
    let setting = SETTING + Type::bold(6.2).width(&setting(house, entry.setting)) + 2.5;
    let labels = Type::plain(4.0).width(&labels(house, &entry.boards));
    entry.boards.len() <= 3 && setting.max(COUNT + 2.0) + labels + 2.0 <= half
}

/// Writes a setting in large figures and gives where the next thing may start.
fn put_setting(page: &mut Page, text: &str, (x, top): (f64, f64)) -> f64 {
    let kind = Type::bold(6.2);
    page.write(text, x + SETTING, top + 5.6, kind);
    x + SETTING + kind.width(text) + 2.5
}

fn put_brief(page: &mut Page, house: &House, entry: &SawEntry, (x, top): (f64, f64), row: Row) {
    tick_box(page, x, top + 0.8);
    page.begin(row.head(0));
    let end = put_setting(page, &setting(house, entry.setting), (x, top));
    page.begin(row.cell(1));
    page.write(&labels(house, &entry.boards), end.max(x + COUNT + 2.0), top + 5.4, Type::plain(4.0));
}

fn put_entry(flow: &mut Flow, house: &House, entry: &SawEntry, with_run: bool) {
    let (small, plain) = (Type::quiet(3.6), Type::plain(4.0));
    let boards = count(entry.boards.len(), "board");
    let what = if with_run { format!("{boards}, {} run", figure(house, entry.run)) } else { boards };
    let text = setting(house, entry.setting);
    let what_from = (SETTING + Type::bold(6.2).width(&text) + 2.5).max(COUNT);
    // Labels stand in their column, or past words that reach into it.
    let labels_from = (what_from + plain.width(&what) + 3.0).max(LABELS);
    let lines = small.wrapped(&labels(house, &entry.boards), (flow.width() - labels_from).max(20.0));
    let height = 8.2_f64.max(2.6 + 4.8 * lines.len() as f64);
    let top = flow.take(height);
    let (x, row) = (flow.x(), flow.row());
    let page = flow.page();
    tick_box(page, x, top + 0.8);
    page.begin(row.head(0));
    put_setting(page, &text, (x, top));
    page.begin(row.cell(1));
    page.write(&what, x + what_from, top + 5.4, plain);
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

fn put_notch(flow: &mut Flow, house: &House, notch: &Notch) {
    let Some(board) = house.floor.boards.get(notch.board) else { return };
    // One scale for all notched boards, so that they can be compared.
    let room = flow.width() - 30.0;
    let pitch = house.floor.pitch;
    let boards = house.order.saw.notches.iter().filter_map(|notch| house.floor.boards.get(notch.board));
    let longest = boards.map(|board| board.length() + (board.lean * pitch).abs()).fold(1.0, f64::max);
    let scale = (longest / room).max(4.0);
    let drawing = board_drawing(house, notch, &Options::all(scale, house.plan.units));
    let low =
        drawing.labels().map(|label| label.at.y / scale + label.shift.y - label.size).fold(-6.0, f64::min);
    let high = (house.floor.pitch / scale)
        .max(drawing.labels().map(|l| l.at.y / scale + l.shift.y + l.size / 2.0).fold(0.0, f64::max));
    let name = marked(house, notch.board);
    let beside = SETTING + Type::bold(5.4).width(&name) + 4.0;
    let mut words = strip_note(house, notch.board) + &notch.round;
    if !notch.alike.is_empty() {
        let alike = format!("{} alike: {}", notch.alike.len() + 1, labels(house, &notch.alike));
        words = if words.is_empty() { alike } else { format!("{alike} · {words}") };
    }
    let (plain, quiet) = (Type::plain(4.0), Type::quiet(3.4));
    let words = plain.wrapped(&words, flow.width() - beside);
    let how = quiet.wrapped(&how_measured(house, notch, board), flow.width() - SETTING);
    let head = 12.6 + 5.0 * (words.len().max(1) - 1) as f64 + 4.4 * (how.len().max(1) - 1) as f64;
    let top = flow.take(head + high - low + 5.0);
    let x = flow.x();
    // A mitred end may lean out to the left of where the board's length begins.
    let out = notch.outline.iter().map(|p| p.0).fold((board.lean * pitch).min(0.0), f64::min);
    let paper = Point::new(x + 1.0 - out / scale, top + head + high);
    let placing = Placing { plan: Point::ZERO, paper, scale };
    let page = flow.page();
    tick_box(page, x, top + 0.6);
    page.write(&name, x + SETTING, top + 5.4, Type::bold(5.4));
    let under = page.write_lines(&words, x + beside, top + 5.2, 5.0, plain);
    page.write_lines(&how, x + SETTING, under.max(top + 10.2), 4.4, quiet);
    page.figure(format!("Board {name} with what is cut out of it"), marks_of(&drawing, &placing));
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
fn put_shaves(flow: &mut Flow, house: &House) {
    let shaves = house.fit.shaves();
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
