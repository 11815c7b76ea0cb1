//! The saw list: each setting once, notched boards drawn, what each board yields.

use crate::Paper;
use crate::flow::Flow;
use crate::page::{Page, Type};
use crate::placing::{Placing, marks_of};
use crate::words::{count, figure, label, labels, setting, stock_line};
use drawing::{Anchor, Options, Rgb, board_drawing, paper_ink};
use kurbo::{Point, Rect};
use order::{Notch, SawEntry};
use pipeline::House;

pub(crate) fn saw_sheet(house: &House, paper: Paper) -> Vec<Page> {
    let note = format!("{} · face up, tongue away from you, left end left", stock_line(house));
    let mut flow = Flow::new(paper, "Saw list", &note);
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
        for entry in entries {
            // A rip's run is what the fence sees; a crosscut has none.
            put_entry(&mut flow, house, entry, i < 3);
        }
    }
    if !saw.notches.is_empty() {
        flow.heading("Notch");
        for notch in &saw.notches {
            put_notch(&mut flow, house, notch);
        }
    }
    put_yields(&mut flow, house);
    flow.finish()
}

/// Width of the columns of an entry: from the box to the setting, the count and the labels, mm.
const SETTING: f64 = 8.0;
const COUNT: f64 = 36.0;
const LABELS: f64 = 84.0;

fn put_entry(flow: &mut Flow, house: &House, entry: &SawEntry, with_run: bool) {
    let small = Type::quiet(3.6);
    let lines = small.wrapped(&labels(house, &entry.boards), flow.width() - LABELS);
    let height = 8.2_f64.max(2.6 + 4.8 * lines.len() as f64);
    let top = flow.take(height);
    flow.tick_box(top + 0.8);
    let x = flow.x();
    let boards = count(entry.boards.len(), "board");
    let what = if with_run { format!("{boards}, {} run", figure(house, entry.run)) } else { boards };
    let page = flow.page();
    page.write(&setting(house, entry.setting), x + SETTING, top + 5.6, Type::bold(6.2));
    page.write(&what, x + COUNT, top + 5.4, Type::plain(4.0));
    for (i, line) in lines.iter().enumerate() {
        page.write(line, x + LABELS, top + 5.2 + 4.8 * i as f64, small);
    }
}

fn put_notch(flow: &mut Flow, house: &House, notch: &Notch) {
    let Some(board) = house.floor.boards.get(notch.board) else { return };
    // One scale for all notched boards, so that they can be compared.
    let room = flow.width() - 30.0;
    let scale = (house.plan.stock.longest().max(board.length()).max(1.0) / room).max(4.0);
    let drawing = board_drawing(house, notch, &Options::all(scale, house.plan.units));
    let low =
        drawing.labels().map(|label| label.at.y / scale + label.shift.y - label.size).fold(-6.0, f64::min);
    let high = (house.floor.pitch / scale)
        .max(drawing.labels().map(|l| l.at.y / scale + l.shift.y + l.size / 2.0).fold(0.0, f64::max));
    let head = 8.0;
    let top = flow.take(head + high - low + 5.0);
    flow.tick_box(top + 0.6);
    let x = flow.x();
    let placing = Placing { plan: Point::ZERO, paper: Point::new(x + 1.0, top + head + high), scale };
    let width = flow.width();
    let page = flow.page();
    page.write(&board.label, x + SETTING, top + 5.4, Type::bold(5.4));
    let round_x = x + SETTING + Type::bold(5.4).width(&board.label) + 4.0;
    let round = crate::font::fitted(&crate::page::clean(&notch.round), 4.0, false, x + width - round_x);
    page.write(&round, round_x, top + 5.2, Type::plain(4.0));
    page.marks.extend(marks_of(&drawing, &placing));
}

/// Bars of the stock boards that give more than one piece.
fn put_yields(flow: &mut Flow, house: &House) {
    if house.order.yields.is_empty() {
        return;
    }
    flow.heading("What each board yields");
    let longest = house.floor.stock.iter().map(|stock| stock.length).fold(1.0, f64::max);
    let kerf = house.plan.stock.kerf;
    let mut single = Vec::new();
    for bar in &house.order.yields {
        let Some(stock) = house.floor.stock.get(bar.stock) else { continue };
        if stock.pieces.len() < 2 {
            single.extend(stock.pieces.iter().map(|piece| piece.board));
            continue;
        }
        let top = flow.take(9.0);
        let (x, right) = (flow.x(), flow.right());
        // Right of the bars stands what is left over.
        let mm = (right - x - 34.0) / longest;
        let page = flow.page();
        let whole = Rect::new(x, top, x + stock.length * mm, top + 6.4);
        page.rect(whole, None, Some((Rgb::QUIET, 0.18)));
        for piece in &stock.pieces {
            let area = Rect::new(x + piece.from * mm, top, x + piece.to * mm, top + 6.4);
            page.rect(area, paper_ink(drawing::Role::SawnBoard).fill, Some((Rgb::INK, 0.25)));
            let kind = Type::plain(3.2);
            let name = label(house, piece.board);
            let long = format!("{name} · {}", setting(house, piece.to - piece.from));
            let text = if kind.width(&long) + 1.5 < area.width() { long.as_str() } else { name };
            let text = crate::font::fitted(text, kind.size, kind.bold, area.width() - 1.0);
            page.write_as(&text, area.center().x, top + 4.4, kind, Anchor::Middle);
        }
        let left = format!("left {}", setting(house, bar.left_over));
        page.write_as(&left, right, top + 4.4, Type::quiet(3.4), Anchor::End);
    }
    let rest = count(single.len(), "cut board");
    let text = format!("Bars drawn left to right as sawn, kerf {} at each cut. ", setting(house, kerf));
    let more = if single.is_empty() {
        String::new()
    } else {
        format!("{rest} give one piece each: {}.", labels(house, &single))
    };
    flow.paragraph(&format!("{text}{more}"), Type::quiet(3.4));
}
