//! Before a pack is opened: cautions, each point of the slab's list with its state, and lines for readings to be
//! written in on site.

use crate::bound::List;
use crate::flow::{Flow, tick_box};
use crate::page::{Page, Type};
use drawing::{Anchor, Rgb};
use findings::{CAUTIONS, PointState, SlabItem};
use kurbo::{BezPath, Rect};
use pipeline::House;

/// Between what was found and what it is held to, mm.
const BEHIND: f64 = 4.0;
/// From a point's box to its words, mm.
const INDENT: f64 = 9.0;
/// Room for a state at the right, mm.
const STATE: f64 = 34.0;
/// Where the lines for date and initials begin beside a point's name, mm from its words, and their words' type.
const SIGNED: (f64, f64) = (58.0, 98.0);
const SIGN: Type = Type { size: 3.2, bold: false, colour: Rgb::QUIET };

pub(crate) fn slab_sheet(house: &House) -> Option<List<'_>> {
    Some(List::new("Before a pack is opened", "local code and makers first", move |flow| {
        flow.table(&[]);
        for item in house.slab() {
            put_item(flow, &item);
        }
        put_lines(flow, house);
        flow.heading("Take care");
        for (of, caution) in CAUTIONS {
            flow.paragraph(&format!("{of}: {caution}"), Type::plain(3.6));
            flow.gap(0.5);
        }
    }))
}

fn put_item(flow: &mut Flow, item: &SlabItem) {
    let (plain, quiet) = (Type::plain(3.8), Type::quiet(3.5));
    let room = flow.width() - INDENT;
    let limit = match item.limit.is_empty() {
        true => String::new(),
        false => format!("Held to {}", item.limit),
    };
    // What it is held to stands behind what was found where both go on one line.
    let behind = plain.width(&item.found) + BEHIND;
    let is_behind = !item.found.is_empty() && !limit.is_empty() && behind + quiet.width(&limit) <= room;
    let mut lines: Vec<(String, Type)> = Vec::new();
    let (own_limit, limit) = if is_behind { (String::new(), limit) } else { (limit, String::new()) };
    for (text, kind) in [(&item.found, plain), (&own_limit, quiet), (&item.missing, plain)] {
        let mut text = text.clone();
        if let Some(first) = text.get(..1) {
            text = first.to_uppercase() + &text[1..];
        }
        lines.extend(kind.wrapped(&text, room).into_iter().map(|line| (line, kind)));
    }
    if item.state == PointState::NotApplicable && item.signed.is_none() && lines.len() == 1 {
        return put_passed_over(flow, item, lines.remove(0));
    }
    let signed = item.signed.as_ref();
    let date = signed.map_or("", |signed| signed.date.as_str());
    let by = signed.map_or("", |signed| signed.by.as_str());
    // Beside the name where all of it has room there, and else on a line of its own.
    let name = Type::bold(4.6);
    let state_from = flow.width() - INDENT - STATE;
    let holds = |label: &str, words: &str, room: f64| SIGN.width(label) + 3.5 + plain.width(words) <= room;
    let is_beside = name.width(item.point.name()) + 3.0 <= SIGNED.0
        && holds("date", date, SIGNED.1 - SIGNED.0 - 4.0)
        && holds("initials", by, state_from - SIGNED.1 - 4.0);
    let own_line = if is_beside { 0.0 } else { 4.7 };
    let height = 7.3 + own_line + 4.7 * lines.len() as f64;
    let top = flow.take(height);
    let (x, right, row) = (flow.x(), flow.right(), flow.row());
    let page = flow.page();
    put_box(page, x, top + 0.8, item.state);
    page.begin(row.head(0));
    page.write(item.point.name(), x + INDENT, top + 4.8, name);
    let weight = if item.state == PointState::Over { Type::bold(4.2) } else { Type::plain(4.2) };
    page.begin(row.cell(1));
    page.write_as(item.state_word(), right, top + 4.8, weight, Anchor::End);
    page.begin(row.cell(2));
    let mut y = top + 9.4;
    if !limit.is_empty() {
        page.write(&limit, x + INDENT + behind, y, quiet);
    }
    for (line, kind) in &lines {
        page.write(line, x + INDENT, y, *kind);
        y += 4.7;
    }
    page.begin(row.cell(3));
    let left = x + INDENT;
    let middle = right - STATE;
    let places = match is_beside {
        true => [(left + SIGNED.0, left + SIGNED.1 - 4.0), (left + SIGNED.1, left + state_from - 4.0)],
        false => [(left, middle - 4.0), (middle, right)],
    };
    let y = if is_beside { top + 4.8 } else { y };
    for ((label, words), (from, to)) in [("date", date), ("initials", by)].into_iter().zip(places) {
        page.write(label, from, y, SIGN);
        let start = from + SIGN.width(label) + 1.5;
        page.line((start, y + 0.6), (to, y + 0.6), 0.18, Rgb::QUIET);
        page.write(words, start + 1.0, y - 0.2, plain);
    }
}

/// A point with nothing to be done or signed: its reason stands beside its name.
fn put_passed_over(flow: &mut Flow, item: &SlabItem, (why, kind): (String, Type)) {
    let name = Type::bold(4.6);
    let state_from = flow.width() - INDENT - STATE;
    let is_beside = name.width(item.point.name()) + 3.0 <= SIGNED.0
        && SIGNED.0 + kind.width(&why) + 4.0 <= state_from + 6.0;
    let top = flow.take(if is_beside { 7.3 } else { 12.0 });
    let (x, right, row) = (flow.x(), flow.right(), flow.row());
    let page = flow.page();
    put_box(page, x, top + 0.8, item.state);
    page.begin(row.head(0));
    page.write(item.point.name(), x + INDENT, top + 4.8, name);
    page.begin(row.cell(1));
    page.write_as(item.state_word(), right, top + 4.8, Type::plain(4.2), Anchor::End);
    page.begin(row.cell(2));
    let at = if is_beside { (x + INDENT + SIGNED.0, top + 4.8) } else { (x + INDENT, top + 9.4) };
    page.write(&why, at.0, at.1, kind);
}

/// A state as a box: empty, ticked, crossed or struck through; its word stands beside the point.
fn put_box(page: &mut Page, x: f64, top: f64, state: PointState) {
    const SIDE: f64 = 4.8;
    if state == PointState::Over {
        page.rect(Rect::new(x, top, x + SIDE, top + SIDE), Some(Rgb::INK), Some((Rgb::INK, 0.35)));
        for (a, b) in [((1.1, 1.1), (3.7, 3.7)), ((1.1, 3.7), (3.7, 1.1))] {
            page.line((x + a.0, top + a.1), (x + b.0, top + b.1), 0.7, Rgb::PAPER);
        }
        return;
    }
    tick_box(page, x, top);
    match state {
        PointState::Within => {
            let mut tick = BezPath::new();
            tick.move_to((x + 1.0, top + 2.5));
            tick.line_to((x + 2.1, top + 3.8));
            tick.line_to((x + 4.0, top + 0.9));
            page.shape(&tick, None, Some((Rgb::INK, 0.7)));
        }
        PointState::NotApplicable => {
            page.line((x + 1.0, top + SIDE / 2.0), (x + SIDE - 1.0, top + SIDE / 2.0), 0.5, Rgb::INK);
        }
        _ => {}
    }
}

/// Rooms with a line for each reading, two abreast where that leaves room for every word on one line; what has been typed
/// stands on it.
fn put_lines(flow: &mut Flow, house: &House) {
    flow.heading("Readings");
    let lines = lines_of(house);
    let kind = Type::plain(3.8);
    let half = (flow.width() - BETWEEN) / 2.0;
    let holds = |cells: &[String; 3]| {
        let [at, ends] = columns(half, HALF_COLUMNS);
        (0..3).all(|i| kind.width(&cells[i]) <= ends[i] - at[i])
    };
    let (wide, abreast, parts) =
        if lines.iter().all(holds) { (half, 2, HALF_COLUMNS) } else { (flow.width(), 1, COLUMNS) };
    let [at, ends] = columns(wide, parts);
    let flatness = if abreast == 1 { "gap under the straightedge" } else { "flatness" };
    let heads = ["room", "dryness", flatness];
    let all = (0..abreast).flat_map(|place| {
        let left = (half + BETWEEN) * place as f64;
        (0..3).map(move |i| (heads[i], left + at[i], 0))
    });
    flow.table(&all.collect::<Vec<_>>());
    // Down the first column, then down the second, as rooms are walked.
    let count = lines.len().div_ceil(abreast);
    for place in 0..count {
        let now: Vec<&[String; 3]> = lines.iter().skip(place).step_by(count).collect();
        let cells: Vec<Vec<Vec<String>>> = (now.iter())
            .map(|cells| (0..3).map(|i| kind.wrapped(&cells[i], ends[i] - at[i])).collect())
            .collect();
        let most = cells.iter().flatten().map(Vec::len).max().unwrap_or(1).max(1);
        let more = 4.8 * (most - 1) as f64;
        let top = flow.take(7.0 + more);
        let (x, row) = (flow.x(), flow.row());
        let page = flow.page();
        for (place, cells) in cells.iter().enumerate() {
            let left = x + (half + BETWEEN) * place as f64;
            for (column, lines) in cells.iter().enumerate() {
                let part = 3 * place + column;
                page.begin(if column == 0 { row.head(part) } else { row.cell(part) });
                page.write_lines(lines, left + at[column], top + 4.8, 4.8, kind);
            }
            let under = top + more + 6.4;
            page.line((left, under), (left + wide, under), 0.18, Rgb::QUIET);
        }
    }
}

/// Between readings that stand abreast, mm.
const BETWEEN: f64 = 6.0;

/// Where dryness and flatness begin, as parts of the width, and where readings stand abreast.
const COLUMNS: [f64; 2] = [0.42, 0.72];
const HALF_COLUMNS: [f64; 2] = [0.36, 0.65];

/// Where the columns of readings begin and end in so much room, mm.
fn columns(width: f64, parts: [f64; 2]) -> [[f64; 3]; 2] {
    let at = [0.0, parts[0] * width, parts[1] * width];
    [at, [at[1] - 3.0, at[2] - 3.0, width]]
}

/// Room, dryness and flatness of each line of readings; the room stands on its first.
fn lines_of(house: &House) -> Vec<[String; 3]> {
    let units = house.plan.units;
    let slab = house.plan.slab.as_ref();
    let mut lines = Vec::new();
    for room in house.plan.rooms.iter().filter(|room| room.is_boarded()) {
        let dryness = slab.iter().flat_map(|slab| &slab.dryness).filter(|reading| reading.room == room.name);
        let mut dryness = dryness.map(|reading| format!("{} {}", reading.reading, reading.method.unit()));
        let flatness =
            slab.iter().flat_map(|slab| &slab.flatness).filter(|reading| reading.room == room.name);
        let mut flatness = flatness.map(|reading| {
            let length = |mm| plan::format_length(mm, units);
            format!("{} under {}", length(reading.gap), length(reading.straightedge))
        });
        let mut name = room.name.clone();
        loop {
            let (dry, flat) = (dryness.next(), flatness.next());
            if name.is_empty() && dry.is_none() && flat.is_none() {
                break;
            }
            lines.push([std::mem::take(&mut name), dry.unwrap_or_default(), flat.unwrap_or_default()]);
        }
    }
    lines
}
