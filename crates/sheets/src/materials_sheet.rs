//! Materials: what is bought besides boards, each with its arithmetic, and what is cut from each length.

use crate::bound::List;
use crate::flow::{Flow, tick_box};
use crate::page::Type;
use crate::told::Told;
use drawing::{Anchor, Rgb};
use order::{MaterialLine, MaterialList};
use pipeline::House;
use plan::format_money;

/// From a material's box to its words, mm.
const INDENT: f64 = 8.0;

/// The sheet; none for a plan that names no products.
pub(crate) fn materials_sheet<'a>(house: &'a Told<'_>) -> Option<List<'a>> {
    let list = house.materials();
    if list.lines.is_empty() {
        return None;
    }
    Some(List::new("Materials", "from the floor as laid; nothing is added to a quantity", move |flow| {
        let caution = "The makers' sheets and local code come first. Solvents, epoxies and isocyanates: fresh air, gloves, no \
                   flame. Powders: a mask when the bag is opened.";
        flow.paragraph(caution, Type::plain(3.4));
        flow.gap(2.0);
        flow.table(&[]);
        for line in &list.lines {
            put_line(flow, house, line);
        }
        put_price(flow, house, list);
        for line in list.lines.iter().filter(|line| line.packs > 0 && line.cutting.is_some()) {
            put_cuts(flow, house, line);
        }
    }))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn put_line(flow: &mut Flow, house: &House, line: &MaterialLine) {
    let (plain, quiet) = (Type::plain(3.7), Type::quiet(3.3));
    let room = flow.width() - INDENT;
    let mut below: Vec<(String, Type)> = Vec::new();
    // The price stands at the right of the first lines.
    for sum in &line.sums {
        below.extend(plain.wrapped(sum, room - 46.0).into_iter().map(|text| (text, plain)));
    }
    if let Some(allowance) = line.allowance_words() {
        below.extend(plain.wrapped(&capital(&allowance), room).into_iter().map(|text| (text, plain)));
    }
    below
        .extend(quiet.wrapped(&format!("From: {}", line.source), room).into_iter().map(|text| (text, quiet)));
    let big = Type::bold(5.6);
    let bought = line.bought_words();
    let title = Type::bold(4.6);
    let names = title.wrapped(&capital(&line.title()), room - big.width(&bought) - 4.0);
    // A long name pushes what is under it down.
    let more = 5.4 * (names.len().max(1) - 1) as f64;
    let top = flow.take(11.5 + more + 4.6 * below.len() as f64);
    let (x, right, row) = (flow.x(), flow.right(), flow.row());
    let page = flow.page();
    tick_box(page, x, top + 1.0);
    page.begin(row.cell(1));
    page.write_as(&bought, right, top + 5.4, big, Anchor::End);
    page.begin(row.head(0));
    page.write_lines(&names, x + INDENT, top + 5.2, 5.4, title);
    page.begin(row.cell(2));
    let mut y = top + more + 10.4;
    for (text, kind) in &below {
        page.write(text, x + INDENT, y, *kind);
        y += 4.6;
    }
    if let Some(price) = line.price {
        let currency = &house.plan.stock.currency;
        // Mouldings are priced by the metre, hired tools in their own sum.
        let by_pack = line.packs > 0 && line.cutting.is_none() && line.material != order::Material::Hired;
        let text = match by_pack {
            true => {
                let each = format_money(price / f64::from(line.packs));
                format!("{} × {each} = {} {currency}", line.packs, format_money(price))
            }
            false => format!("{} {currency}", format_money(price)),
        };
        page.begin(row.cell(3));
        page.write_as(text.trim_end(), right, top + more + 10.4, Type::plain(3.7), Anchor::End);
    }
}

fn put_price(flow: &mut Flow, house: &House, list: &MaterialList) {
    if list.price <= 0.0 {
        return;
    }
    let unpriced: Vec<&str> = list.unpriced.iter().map(|material| material.word()).collect();
    let without = match unpriced.is_empty() {
        true => String::new(),
        false => format!(", without {}", unpriced.join(", ")),
    };
    let currency = &house.plan.stock.currency;
    let boards = house.order.price.unwrap_or(0.0);
    let mut text = format!("Materials {} {currency}{without}.", format_money(list.price));
    if boards > 0.0 {
        text += &format!(" With the boards' packs {} {currency}.", format_money(list.price + boards));
    }
    flow.gap(2.0);
    flow.paragraph(&text, Type::bold(4.2));
}

/// What is cut from each length of a moulding.
fn put_cuts(flow: &mut Flow, house: &House, line: &MaterialLine) {
    flow.heading(&format!("Cut: {}", line.title()));
    let kind = Type::plain(3.6);
    let cuts = line.cut_words(&house.plan);
    // The pieces stand past the longest length's figure.
    let longest = cuts.iter().map(|(length, _)| Type::bold(4.6).width(length)).fold(18.0, f64::max);
    let from = INDENT + longest + 4.0;
    flow.table(&[("length", INDENT, 0), ("cut into", from, 0)]);
    for (length, pieces) in cuts {
        let lines = kind.wrapped(&pieces, flow.width() - from);
        let top = flow.take(7.4_f64.max(2.6 + 4.6 * lines.len() as f64));
        let (x, right, row) = (flow.x(), flow.right(), flow.row());
        let page = flow.page();
        tick_box(page, x, top + 0.8);
        page.begin(row.head(0));
        page.write(&length, x + INDENT, top + 5.0, Type::bold(4.6));
        page.begin(row.cell(1));
        let mut y = top + 4.8;
        for text in &lines {
            page.write(text, x + from, y, kind);
            y += 4.6;
        }
        let low = y - 4.6 + 2.2;
        page.line((x, low.max(top + 7.0)), (right, low.max(top + 7.0)), 0.18, Rgb::QUIET);
    }
}
