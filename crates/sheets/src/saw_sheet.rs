//! The saw list: each setting once, notched boards drawn, what each board yields.

use crate::Paper;
use crate::flow::{Flow, Row, tick_box};
use crate::page::{Page, Type};
use crate::placing::{Placing, marks_of};
use crate::words::{count, cut_length, figure, label, labels, marked, setting, strip_note};
use drawing::{Anchor, Options, Rgb, board_drawing, paper_ink};
use kurbo::{BezPath, PathEl, Point, Rect};
use lay::StockBoard;
use order::{MitreEntry, Notch, SawEntry, TaperEntry, YieldBar};
use pipeline::House;
use std::collections::BTreeMap;

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

/// From a bar's left side to its board, mm.
const BAR: f64 = 15.0;
/// What is no wider on the board than this (mm) is no waste to hatch: it goes to dust and rounding.
const DUST: f64 = 6.0;

/// Bars of the stock boards that give more than one piece.
fn put_yields(flow: &mut Flow, house: &House) {
    if house.order.yields.is_empty() {
        return;
    }
    flow.heading("What each board yields");
    let kerf = setting(house, house.plan.stock.kerf);
    let mitred = match house.order.saw.mitres.is_empty() {
        true => "",
        false => ", mitred pieces from long point to long point",
    };
    let about = format!(
        "Boards as they are opened, numbered, sawn from left to right; right of each its length and pack; kerf {kerf} at each cut. Lengths as the stop is \
         set{mitred}. Hatched: left over."
    );
    let stops = stops(house);
    flow.paragraph(&about, Type::quiet(3.4));
    flow.gap(1.5);
    let longest = house.floor.stock.iter().map(|stock| stock.length).fold(1.0, f64::max);
    let bars: Vec<(&YieldBar, &StockBoard)> = (house.order.yields.iter())
        .filter_map(|bar| Some((bar, house.floor.stock.get(bar.stock)?)))
        .collect();
    let (several, single): (Vec<_>, Vec<_>) = bars.into_iter().partition(|(_, stock)| stock.pieces.len() > 1);
    let beside = right_of(house, &several);
    flow.table(&[("board", 0.0, 0), ("pieces", BAR, 0), ("left over", flow.width() - 14.0, 0)]);
    for bar in several {
        let width = flow.width();
        let mm = (width - BAR - beside) / longest;
        let narrow = NARROW.wrapped(&narrow_pieces(house, &stops, bar.1, mm), width - BAR);
        let top = flow.take(9.0 + NARROW_LINE * narrow.len() as f64);
        let (x, right, row) = (flow.x() + BAR, flow.right(), flow.row());
        let place = BarPlace { x, right, top, mm, row, stops: &stops };
        put_bar(flow.page(), house, bar, &place);
        flow.page().write_lines(&narrow, x, top + 9.7, NARROW_LINE, NARROW);
    }
    if single.is_empty() {
        return;
    }
    flow.gap(1.0);
    flow.paragraph("Boards that give one cut piece each:", Type::quiet(3.4));
    flow.gap(1.0);
    flow.table(&[]);
    let beside = right_of(house, &single);
    for pair in single.chunks(2) {
        let half = flow.width() / 2.0;
        let mm = (half - 4.0 - BAR - beside) / longest;
        let narrow =
            pair.iter().map(|bar| NARROW.wrapped(&narrow_pieces(house, &stops, bar.1, mm), half - 4.0 - BAR));
        let narrow: Vec<Vec<String>> = narrow.collect();
        let most = narrow.iter().map(Vec::len).max().unwrap_or(0);
        let top = flow.take(8.4 + NARROW_LINE * most as f64);
        for (i, (bar, narrow)) in pair.iter().zip(&narrow).enumerate() {
            let (x, row) = (flow.x() + half * i as f64, flow.row());
            let (from, right) = (x + BAR, x + half - 4.0);
            let place = BarPlace { x: from, right, top, mm, row, stops: &stops };
            put_bar(flow.page(), house, *bar, &place);
            flow.page().write_lines(narrow, from, top + 9.7, NARROW_LINE, NARROW);
        }
    }
}

/// What stands under a bar of pieces too narrow for their words, and the height of its lines, mm.
const NARROW: Type = Type { size: 3.2, bold: false, colour: Rgb::INK };
const NARROW_LINE: f64 = 4.2;

/// The setting at which a board is crosscut or mitred, mm, by its index: one cut has one figure on every list.
type Stops = BTreeMap<usize, f64>;

fn stops(house: &House) -> Stops {
    let saw = &house.order.saw;
    let crosscuts = [&saw.crosscuts_keep_left, &saw.crosscuts_keep_right, &saw.crosscuts_both];
    let crosscuts = crosscuts.into_iter().flatten().map(|entry| (&entry.boards, entry.setting));
    let mitres = saw.mitres.iter().map(|entry| (&entry.boards, entry.setting));
    let all = crosscuts.chain(mitres);
    all.flat_map(|(boards, setting)| boards.iter().map(move |board| (*board, setting))).collect()
}

/// A piece's label with the strips beside it, and its length.
fn piece_words(house: &House, stops: &Stops, stock: &StockBoard, piece: &lay::Piece) -> (String, String) {
    // A strip lies beside the rip that leaves it.
    let strips = stock.pieces.iter().filter(|strip| strip.strip);
    let beside = strips.filter(|strip| house.floor.strip_beside(strip.board) == Some(piece.board));
    let name = beside.fold(label(house, piece.board).to_owned(), |name, strip| {
        format!("{name} + {}", label(house, strip.board))
    });
    let length = stops.get(&piece.board).copied().unwrap_or_else(|| piece.reach().1 - piece.reach().0);
    (name, setting(house, length))
}

/// What is written on a piece: words, type size and baseline under the bar's top, mm. In one line, in two small ones, or its
/// label alone; `None` where not even that has room.
fn on_piece(name: &str, length: &str, room: f64, lean: f64) -> Option<Vec<(String, f64, f64)>> {
    // A mitred end leans over writing by as much of its lean as that takes of the bar's height.
    let fits = |text: &str, size: f64, part: f64| Type::plain(size).width(text) + part * lean.abs() <= room;
    let one = format!("{name} · {length}");
    if fits(&one, 3.4, 0.45) {
        return Some(vec![(one, 3.4, 4.4)]);
    }
    let two = [2.9, 2.6].into_iter().find(|size| fits(name, *size, 0.9) && fits(length, *size, 0.9));
    if let Some(size) = two {
        return Some(vec![(name.to_owned(), size, 2.8), (length.to_owned(), size, 5.8)]);
    }
    let alone = [3.4, 3.0, 2.6].into_iter().find(|size| fits(name, *size, 0.45))?;
    Some(vec![(name.to_owned(), alone, 4.4)])
}

/// How far a piece's ends lean over the writing on it, mm of board: the more of the two, and both where they lean apart.
fn lean(piece: &lay::Piece) -> f64 {
    let (left, right) = (piece.shift, piece.right_shift);
    if left == right { left } else { left.abs().max(right.abs()).max((left - right).abs()) }
}

/// The pieces of a board whose label or length has no room on its bar, from the left.
fn narrow_pieces(house: &House, stops: &Stops, stock: &StockBoard, mm: f64) -> String {
    let mut pieces: Vec<&lay::Piece> = stock.pieces.iter().filter(|piece| !piece.strip).collect();
    pieces.sort_by(|a, b| a.from.total_cmp(&b.from));
    let unsaid = pieces.into_iter().filter_map(|piece| {
        let (name, length) = piece_words(house, stops, stock, piece);
        let written = on_piece(&name, &length, (piece.to - piece.from) * mm - 1.0, lean(piece) * mm);
        let is_whole = written.is_some_and(|lines| lines.len() > 1 || lines[0].0.ends_with(&length));
        (!is_whole).then(|| format!("{name} · {length}"))
    });
    let unsaid: Vec<String> = unsaid.collect();
    if unsaid.is_empty() { String::new() } else { format!("narrow, from the left: {}", unsaid.join(", ")) }
}

/// Where a bar stands.
struct BarPlace<'a> {
    /// Left side of the board, mm; its number and box stand before it.
    x: f64,
    /// Right side of what is left over.
    right: f64,
    top: f64,
    /// Paper mm to a mm of board.
    mm: f64,
    row: Row,
    /// What each piece is cut at.
    stops: &'a Stops,
}

/// One opened board with its pieces; what is left is hatched, and said where it is worth keeping.
fn put_bar(page: &mut Page, house: &House, (bar, stock): (&YieldBar, &StockBoard), place: &BarPlace<'_>) {
    let BarPlace { x, right, top, mm, row, stops } = *place;
    tick_box(page, x - BAR, top + 0.8);
    page.begin(row.head(0));
    page.write_as(&(bar.stock + 1).to_string(), x - 1.5, top + 4.6, Type::bold(3.8), Anchor::End);
    let whole = Rect::new(x, top, x + stock.length * mm, top + 6.4);
    page.rect(whole, None, Some((Rgb::QUIET, 0.18)));
    let mut pieces: Vec<&lay::Piece> = stock.pieces.iter().filter(|piece| !piece.strip).collect();
    pieces.sort_by(|a, b| a.from.total_cmp(&b.from));
    // What no piece takes, from the left.
    let starts = pieces.iter().map(|piece| piece.from).chain([stock.length]);
    let ends = std::iter::once(0.0).chain(pieces.iter().map(|piece| piece.to));
    let shifted = pieces.iter().any(|piece| piece.shift.abs().max(piece.right_shift.abs()) > 0.5);
    for (from, to) in ends.zip(starts).filter(|(from, to)| to - from > DUST && !shifted) {
        page.hatch(Rect::new(x + from * mm, top, x + to * mm, top + 6.4), 0.18, Rgb::QUIET);
    }
    // Between mitred ends lie points; what is left past the last of them is hatched all the same.
    let last = pieces.iter().map(|piece| piece.reach().1).fold(0.0, f64::max);
    if shifted && stock.length - last > DUST {
        page.hatch(Rect::new(x + last * mm, top, x + stock.length * mm, top + 6.4), 0.18, Rgb::QUIET);
    }
    page.begin(row.cell(1));
    for piece in pieces {
        let area = Rect::new(x + piece.from * mm, top, x + piece.to * mm, top + 6.4);
        // The groove edge lies at the bottom; mitred ends lean from there.
        let (left, right) = (piece.shift * mm, piece.right_shift * mm);
        let corners =
            [(area.x0, area.y1), (area.x1, area.y1), (area.x1 + right, area.y0), (area.x0 + left, area.y0)];
        let mut shape = BezPath::from_iter(corners.iter().enumerate().map(|(i, p)| match i {
            0 => PathEl::MoveTo((*p).into()),
            _ => PathEl::LineTo((*p).into()),
        }));
        shape.close_path();
        page.shape(&shape, paper_ink(drawing::Role::SawnBoard).fill, Some((Rgb::INK, 0.25)));
        let (name, length) = piece_words(house, stops, stock, piece);
        for (text, size, y) in
            on_piece(&name, &length, area.width() - 1.0, lean(piece) * mm).unwrap_or_default()
        {
            page.write_as(
                &text,
                area.center().x + (left + right) / 4.0,
                top + y,
                Type::plain(size),
                Anchor::Middle,
            );
        }
    }
    for (line, y) in source_lines(house, stock) {
        page.write(&line, whole.x1 + SOURCE_OFF, top + y, SOURCE);
    }
    if let Some((text, kind)) = left_words(house, bar) {
        page.begin(row.cell(2));
        page.write_as(&text, right, top + 4.4, kind, Anchor::End);
    }
}

/// What is left of a board, where that is more than dust.
fn left_words(house: &House, bar: &YieldBar) -> Option<(String, Type)> {
    let keep: Vec<String> = (house.order.leftovers.iter())
        .filter(|left| left.stock == bar.stock)
        .map(|left| figure(house, left.cut_length()))
        .collect();
    match (keep.is_empty(), bar.left_over >= DUST) {
        (false, _) => Some((format!("keep {}", keep.join(" + ")), Type::bold(3.6))),
        (true, true) => Some((format!("left {}", figure(house, bar.left_over)), Type::quiet(3.4))),
        (true, false) => None,
    }
}

/// Writing right of a bar, and how far off it stands, mm.
const SOURCE: Type = Type { size: 2.8, bold: false, colour: Rgb::QUIET };
const SOURCE_OFF: f64 = 1.2;

/// Which board to pick up: its length, where boards are sold in several, and its pack; each with its baseline under the bar's
/// top, mm.
fn source_lines(house: &House, stock: &StockBoard) -> Vec<(String, f64)> {
    let pack = format!("pack {}", stock.pack + 1);
    match house.plan.stock.longest() - house.plan.stock.shortest() < 0.05 {
        true => vec![(pack, 4.2)],
        false => vec![(setting(house, stock.length), 2.8), (pack, 5.8)],
    }
}

/// Room that bars need at their right for which boards they are and what is left, mm.
fn right_of(house: &House, bars: &[(&YieldBar, &StockBoard)]) -> f64 {
    let room = |(bar, stock): &(&YieldBar, &StockBoard)| {
        let lines = source_lines(house, stock);
        let source = lines.iter().map(|(line, _)| SOURCE.width(line)).fold(0.0, f64::max);
        let left = left_words(house, bar).map_or(0.0, |(text, kind)| kind.width(&text) + 1.5);
        SOURCE_OFF + source + left + 1.0
    };
    bars.iter().map(room).fold(0.0, f64::max)
}
