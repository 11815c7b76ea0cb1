//! Flags with their mends, and the pack count with its arithmetic.

use crate::bound::List;
use crate::flow::Flow;
use crate::page::{Page, Type, clean};
use crate::told::Told;
use crate::words::{count, figure, stock_line};
use drawing::{Anchor, Label, Role, paper_ink, plate_path};
use findings::Severity;
use kurbo::{Affine, Point, Vec2};
use pipeline::House;
use plan::format_money;

/// From a flag's number to its place, mm.
const INDENT: f64 = 62.0;

pub(crate) fn flags_sheet<'a>(house: &'a Told<'_>) -> Option<List<'a>> {
    Some(List::new("Flags and packs", stock_line(house), move |flow| {
        flow.heading("Flags");
        if house.flags.is_empty() {
            flow.paragraph("None: the floor keeps every rule of the plan.", Type::plain(4.2));
        }
        if !house.flags.is_empty() {
            flow.table(&[("no.", 2.5, 0), ("flag", 10.0, 0), ("where, limit, mend", INDENT, 0)]);
        }
        let all = findings::together(&house.flags);
        if all.len() < house.flags.len() {
            let faults = house.flags.iter().filter(|flag| flag.severity == Severity::Fault).count();
            let (faults, looks) = (count(faults, "fault"), house.flags.len() - faults);
            let entries = match all.len() {
                1 => "1 entry".to_owned(),
                many => format!("{many} entries"),
            };
            let text = format!("{faults}, {looks} worth a look; in {entries}, those of one cause together.");
            flow.paragraph(&text, Type::plain(3.8));
        }
        for (i, of) in all.iter().enumerate() {
            let flag = &house.flags[of.worst];
            let place_kind = Type::plain(3.8);
            let mend_kind = Type::quiet(3.6);
            let room = flow.width() - INDENT;
            let say = |value| flag.kind.figure_in_words(value, house.plan.units, |mm| figure(house, mm));
            let places = of.places(&house.flags, |flag| say(flag.told(house.plan.units)));
            // Of what must not be at all there is no limit to tell.
            let limit = match flag.limit == 0.0 {
                true => places,
                false => format!("{places} (limit {})", say(flag.limit)),
            };
            let places = place_kind.wrapped(&limit, room);
            let mends = mend_kind.wrapped(&flag.mend, room);
            let height = 3.0 + 5.0 * places.len() as f64 + 4.7 * mends.len() as f64;
            let top = flow.take(height.max(9.0));
            let (x, row) = (flow.x(), flow.row());
            let role = if flag.severity == Severity::Fault { Role::Fault } else { Role::Look };
            let text = format!("{} {}", flag.kind.word(), say(flag.told(house.plan.units)));
            let page = flow.page();
            page.begin(row.head(0));
            page.write_as(&(i + 1).to_string(), x + 7.0, top + 5.0, Type::quiet(3.8), Anchor::End);
            page.begin(row.cell(1));
            put_pennant(page, role, &text, (x + 10.0, top + 3.8));
            page.begin(row.cell(2));
            let mut y = top + 4.8;
            for line in &places {
                page.write(line, x + INDENT, y, place_kind);
                y += 5.0;
            }
            for line in &mends {
                page.write(line, x + INDENT, y, mend_kind);
                y += 4.7;
            }
        }
        put_packs(flow, house);
    }))
}

/// A pennant as on the floor, lying in a line of the list with its hoist at `x`.
fn put_pennant(page: &mut Page, role: Role, text: &str, (x, y): (f64, f64)) {
    let ink = paper_ink(role);
    let text = clean(text);
    let mut label = Label::new(role, text.clone(), Point::ZERO);
    label.size = 3.4;
    label.anchor = Anchor::Start;
    // The pole starts at the pennant's own foot.
    label.shift = Vec2::new(0.45 * label.size, 2.6);
    let kind = Type { size: label.size, bold: ink.bold, colour: ink.text };
    if let Some(plate) = plate_path(&label, kind.width(&text)) {
        let up = Affine::new([1.0, 0.0, 0.0, -1.0, x, y + 2.6]);
        page.shape(&(up * plate), ink.fill, ink.stroke.map(|colour| (colour, ink.weight)));
    }
    page.write(&text, x + 0.45 * label.size, y + 0.36 * label.size, kind);
}

fn put_packs(flow: &mut Flow, house: &Told<'_>) {
    let order = &house.order;
    flow.heading("Packs");
    let big = Type::bold(7.0);
    let top = flow.take(11.0);
    let x = flow.x();
    let text = count(order.packs as usize, "pack");
    flow.page().write(&text, x, top + 7.0, big);
    let bought: usize = order.lines.iter().map(|line| line.bought).sum();
    let per_pack = house.plan.stock.boards_per_pack();
    let sum = format!("{} × {per_pack} = {}", order.packs, count(bought, "board"));
    flow.page().write(&sum, x + big.width(&text) + 6.0, top + 6.8, Type::quiet(4.2));
    let kind = Type::bold(5.0);
    let words = |line: &order::PackLine| order::line_words(&house.plan, line.length);
    // A range is wider than a length.
    let boards = order.lines.iter().map(|line| kind.width(&words(line)) + 5.0).fold(34.0, f64::max);
    flow.table(&[("length", 0.0, 0), ("boards", boards, 0)]);
    for line in &order.lines {
        let top = flow.take(7.4);
        let (x, right, row) = (flow.x(), flow.right(), flow.row());
        let page = flow.page();
        page.begin(row.head(0));
        page.write(&words(line), x, top + 5.0, kind);
        let spare = line.bought.saturating_sub(line.opened);
        let text = format!("{} opened, {} bought, {spare} left whole", line.opened, line.bought);
        page.begin(row.cell(1));
        page.write(&text, x + boards, top + 5.0, Type::plain(4.0));
        page.line((x, top + 7.0), (right, top + 7.0), 0.18, drawing::Rgb::QUIET);
    }
    put_by_stage(flow, house);
    flow.gap(2.5);
    if let Some(words) = order::drawn_words(&house.plan) {
        flow.paragraph(&words, Type::plain(4.0));
    }
    let waste = (order.opened_area - order.laid_area).max(0.0);
    let area = |m2: f64| plan::format_area(m2 * 1e6, house.plan.units);
    // What one who takes the figures from one another finds: they are told to a hundredth.
    let hundredths = |m2: f64| (m2 * 100.0).round();
    let not_laid = match house.plan.units {
        plan::Units::Metric => (hundredths(order.opened_area) - hundredths(order.laid_area)).max(0.0) / 100.0,
        plan::Units::FeetInches => waste,
    };
    let share = if order.opened_area > 0.0 { waste / order.opened_area * 100.0 } else { 0.0 };
    let lines = [
        format!(
            "Laid {} from {} of {}.",
            area(order.laid_area),
            opened(order.opened),
            area(order.opened_area)
        ),
        format!(
            "Not laid: {} − {} = {}, {share:.1} % of what is opened.",
            area(order.opened_area),
            area(order.laid_area),
            area(not_laid)
        ),
        format!("No legal stagger opens fewer than {}.", count(house.bound().boards, "board")),
    ];
    for line in &lines {
        flow.paragraph(line, Type::plain(4.0));
    }
    if let Some(words) = order.left_whole_words(house.bound()) {
        flow.paragraph(&format!("{words}."), Type::plain(4.0));
    }
    if !house.fit.slips.is_empty() {
        let stretches: Vec<String> =
            house.fit.slips.iter().map(|slip| figure(house, slip.length())).collect();
        let is_on_line = house.fit.slips.iter().all(|slip| slip.doorway.is_none());
        let what = if is_on_line { "for the start line" } else { "where the direction reverses" };
        let sum = if stretches.len() > 1 { format!(" = {}", stretches.join(" + ")) } else { String::new() };
        let text = format!("Slip tongue {what}: {}{sum}.", figure(house, house.fit.slip_length()));
        flow.paragraph(&text, Type::plain(4.0));
    }
    if let (Some(price), Some(each)) = (order.price, house.plan.stock.pack_price) {
        let currency = &house.plan.stock.currency;
        let (each, price) = (format_money(each), format_money(price));
        let text = format!("Packs cost {} × {each} = {price} {currency}", order.packs);
        flow.paragraph(text.trim_end(), Type::plain(4.0));
    }
    put_allowance(flow, house);
    put_leftovers(flow, house);
}

/// Which packs are carried in and opened for each stage; nothing in a house laid in one.
fn put_by_stage(flow: &mut Flow, house: &Told<'_>) {
    const PACKS: f64 = 48.0;
    let all = house.stages();
    if all.stages.is_empty() {
        return;
    }
    flow.heading("Packs, stage by stage");
    let about = "Carried in early enough to acclimatise in the stage's own rooms for as long as their maker says, and opened for it.";
    flow.paragraph(about, Type::plain(3.6));
    flow.gap(1.0);
    flow.table(&[("stage", 0.0, 0), ("boards, and the packs by their numbers", PACKS, 0)]);
    let (name_kind, kind) = (Type::bold(4.2), Type::plain(4.0));
    for (place, part) in all.stages.iter().enumerate() {
        let name = format!("{} {}, day {}", place + 1, house.stage_name(&all, place), part.day);
        let names = name_kind.wrapped(&name, PACKS - 3.0);
        let words = format!("{}: {}", part.opened_words(&house.plan), part.carry_words());
        let mut lines = kind.wrapped(&words, flow.width() - PACKS);
        if part.would_do.is_some_and(|fewer| fewer < part.packs) {
            lines.extend(kind.wrapped(&format!("({})", part.pack_words()), flow.width() - PACKS));
        }
        let height = 2.6 + 4.9 * lines.len().max(names.len()) as f64;
        let top = flow.take(height);
        let (x, right, row) = (flow.x(), flow.right(), flow.row());
        let page = flow.page();
        page.begin(row.head(0));
        page.write_lines(&names, x, top + 4.8, 4.9, name_kind);
        page.begin(row.cell(1));
        page.write_lines(&lines, x + PACKS, top + 4.8, 4.9, kind);
        page.line((x, top + height - 0.4), (right, top + height - 0.4), 0.18, drawing::Rgb::QUIET);
    }
}

/// What an allowance on the boards opened would add, beside the count and never in it.
fn put_allowance(flow: &mut Flow, house: &House) {
    let share = house.plan.materials.as_ref().and_then(|materials| materials.allowance).unwrap_or(0.0);
    if share <= 0.0 {
        return;
    }
    let order = &house.order;
    let more = (order.opened as f64 * share / 100.0 - 1e-9).ceil().max(0.0) as usize;
    let bought: usize = order.lines.iter().map(|line| line.bought).sum();
    let spare = bought.saturating_sub(order.opened);
    let missing = more.saturating_sub(spare);
    let packs = missing.div_ceil(house.plan.stock.boards_per_pack().max(1) as usize);
    let text = format!(
        "Allowance, not counted above: {share} % of {} opened, {} more; {} left whole, so {} more.",
        count(order.opened, "board"),
        count(more, "board"),
        count(spare, "board"),
        count(packs, "pack")
    );
    flow.paragraph(&text, Type::plain(4.0));
}

/// Pieces left that are long enough to lay elsewhere, those of one length together, longest first.
fn put_leftovers(flow: &mut Flow, house: &House) {
    const SHOWN: usize = 40;
    let mut lengths: Vec<f64> = house.order.leftovers.iter().map(|left| left.cut_length()).collect();
    if lengths.is_empty() {
        return;
    }
    lengths.sort_by(|a, b| b.total_cmp(a));
    let mut alike: Vec<(String, usize)> = Vec::new();
    for length in &lengths {
        let length = figure(house, *length);
        match alike.last_mut() {
            Some((known, count)) if *known == length => *count += 1,
            _ => alike.push((length, 1)),
        }
    }
    flow.heading("Worth keeping");
    let said: Vec<String> = alike
        .iter()
        .take(SHOWN)
        .map(|(length, count)| if *count == 1 { length.clone() } else { format!("{count} of {length}") })
        .collect();
    let rest = alike.len().saturating_sub(SHOWN);
    let rest = if rest > 0 { format!(", and {} more lengths", rest) } else { String::new() };
    let pieces = count(lengths.len(), "piece");
    let text = format!("{pieces} no shorter than the least end: {}{rest}.", said.join(", "));
    flow.paragraph(&text, Type::plain(4.0));
}

fn opened(boards: usize) -> String {
    format!("{} opened", count(boards, "board"))
}
