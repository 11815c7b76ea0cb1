//! The set-out sheet's second page: why this line, how far the tape may be out, and the line snapped again in
//! every room and beside what rows go round.

use crate::bound::{List, Sheaf};
use crate::floor_sheet::{fitted_either, measures};
use crate::flow::{Flow, tick_box};
use crate::page::{Page, Type};
use crate::paper::{LEFT, MARGIN};
use crate::told::Told;
use crate::words::{corner, figure};
use crate::{Paper, flow};
use drawing::{Options, Rgb, RipSide};
use pipeline::{House, ShortRip};
use plan::{Units, format_length};
use setout::{Advice, ControlLine, Pull, Rip};

/// Height of one control line, mm.
const LINE: f64 = 13.5;
/// Between the columns of a line, mm.
const BETWEEN: f64 = 3.0;

/// Sets the page; none where there is no line to control.
pub(crate) fn control_sheet<'a>(house: &'a Told<'_>, paper: Paper) -> Sheaf<'a> {
    if house.setout.line.is_none() {
        return Sheaf::default();
    }
    let advice = house.advice();
    let list = List::new("Set-out, control", &house.plan.name, move |flow| {
        flow.heading("Why this line");
        for sentence in advice.why.sentences() {
            flow.paragraph(sentence, Type::plain(4.2));
            flow.gap(1.6);
        }
        put_lines(flow, house, advice);
        put_rips(flow, house);
        put_width(flow, house, advice);
    });
    Sheaf { list: Some(list), drawings: plan_page(house, paper, advice) }
}

/// The control lines on the floor, with the walls' numbers by which corners are found.
fn plan_page(house: &Told<'_>, paper: Paper, advice: &Advice) -> Vec<Page> {
    if advice.control.is_empty() {
        return Vec::new();
    }
    const WORDS: f64 = 16.0;
    let (short, long) = paper.size();
    let area = |w: f64, h: f64| (w - LEFT - MARGIN, h - MARGIN - flow::HEAD - flow::FOOT - WORDS);
    let (plan, stands) = fitted_either(house, area(long, short), area(short, long), Options::control);
    let (width, height) = if stands { (short, long) } else { (long, short) };
    let mut page = Page::new(width, height, "Control lines");
    page.sheets.push(("Control lines".into(), 0.0));
    page.scale = Some(plan.scale_name());
    crate::page_head::head(
        &mut page,
        "numbered as in the list · figures in the rooms: their walls, counted from 1",
    );
    let (room_w, room_h) = area(width, height);
    let x = LEFT + (room_w - plan.extent.width()) / 2.0;
    let y = MARGIN + flow::HEAD + (room_h - plan.extent.height()) / 2.0;
    page.figure("The control lines with their pulls, and the walls' numbers".into(), plan.marks_at(x, y));
    let y = height - flow::FOOT - WORDS + 7.0;
    measures(&mut page, house, plan.scale, (LEFT + 2.0, y), width - LEFT - 2.0 - MARGIN);
    vec![page]
}

/// The rip to expect at every edge, with a box to tick once it is measured.
fn put_rips(flow: &mut Flow, house: &House) {
    let sides = drawing::rip_sides(house);
    if sides.is_empty() {
        return;
    }
    let blocks = house.setout.along.is_some();
    flow.heading(match blocks {
        true => "Expect at every edge: how far the smallest pieces reach in",
        false => "Expect at every edge",
    });
    flow.table(&[]);
    let (big, plain) = (Type::bold(4.8), Type::plain(3.6));
    let half = flow.width() / 2.0;
    let short = house.short_rips();
    // The figure, from where its words begin, and these in lines.
    let of = |side: &RipSide| {
        let rip = house.setout.chosen.rips.get(side.longest)?;
        let limit = (side.seen < house.setout.least).then_some(house.setout.least);
        let reach = drawing::side_figure(side, limit, house.plan.units);
        let after = 7.0 + big.width(&reach).max(20.0) + 2.0;
        let mut place = rip.source.name(&house.plan);
        if let Some(why) = rip_words(house, side, &short) {
            place += &format!(": {why}");
        }
        let lines = plain.wrapped(&place, (half - after - 2.0).max(20.0));
        Some((reach, after, lines))
    };
    let all: Vec<_> = sides.iter().filter_map(of).collect();
    for pair in all.chunks(2) {
        let most = pair.iter().map(|(.., lines)| lines.len()).max().unwrap_or(1);
        let top = flow.take(7.2 + 4.4 * (most.max(1) - 1) as f64);
        for (i, (reach, after, lines)) in pair.iter().enumerate() {
            let at = flow.x() + half * i as f64;
            let row = flow.row();
            let page = flow.page();
            tick_box(page, at, top + 0.8);
            page.begin(row.cell(0));
            page.write(reach, at + 7.0, top + 5.0, big);
            page.begin(row.head(1));
            page.write_lines(lines, at + after, top + 4.9, 4.4, plain);
        }
    }
}

/// What is short about a side: what is seen of it, and whether its boards are, or that nothing of it is seen. A board of any
/// piece of the wall counts.
fn rip_words(house: &House, side: &RipSide, short: &[Option<ShortRip>]) -> Option<String> {
    let rips = &house.setout.chosen.rips;
    let rip = Rip { least: side.least, seen: side.seen, ..*rips.get(side.longest)? };
    if side.seen >= house.setout.least {
        return house.rip_words(&rip, None);
    }
    let source = Some(rip.source);
    let here = rips.iter().zip(short).filter(|(rip, _)| Some(rip.source) == source);
    let kinds: Vec<ShortRip> = here.filter_map(|(_, short)| *short).collect();
    // The reason that weighs most.
    let kind =
        [ShortRip::Boards, ShortRip::Seen, ShortRip::Beside].into_iter().find(|kind| kinds.contains(kind));
    house.rip_words(&rip, Some(kind.unwrap_or(ShortRip::Boards)))
}

fn put_lines(flow: &mut Flow, house: &House, advice: &Advice) {
    if advice.control.is_empty() {
        return;
    }
    flow.heading("Snap again for control");
    let rows = if house.setout.along.is_some() { "columns" } else { "rows" };
    let text = format!(
        "Snap these before you lay. When the {rows} arrive, measure to them; spread what they are out over the {rows} \
         that are left, before two fronts meet."
    );
    flow.paragraph(&text, Type::quiet(3.4));
    flow.gap(1.5);
    let pulls = pull_columns(flow.width());
    flow.table(&[("where, rows", 7.0, 0), ("pull", pulls[0], 0), ("pull", pulls[1], 0)]);
    for (i, line) in advice.control.iter().enumerate() {
        put_line(flow, house, i + 1, line);
    }
}

/// Where the two pulls of a control line stand in a width, mm.
fn pull_columns(width: f64) -> [f64; 2] {
    let first = width * 0.32;
    [first, first + (width - first) / 2.0]
}

fn put_line(flow: &mut Flow, house: &House, number: usize, line: &ControlLine) {
    let [first, second] = pull_columns(flow.width());
    let column = second - first;
    let (kind, quiet) = (Type::bold(4.4), Type::quiet(3.3));
    let place = format!("{number}  {}", line.place.name(&house.plan, &house.site));
    let places = kind.wrapped(&place, first - 7.0 - BETWEEN);
    let rows = quiet.wrapped(&line.rows_in_words(&house.site, &house.setout), first - 7.0 - BETWEEN);
    let pulls: Vec<(String, Vec<String>)> = (line.pulls.iter().take(2))
        .map(|pull| (figure(house, pull.distance), quiet.wrapped(&from(house, pull), column - BETWEEN)))
        .collect();
    // One line of each kind is what most have.
    let own = 5.0 * places.len() as f64 + 4.2 * rows.len() as f64;
    let second = line.second_point(&house.plan, &house.site, &house.setout, |mm| figure(house, mm));
    // Without a pull the words have both columns.
    let is_bare = line.pulls.is_empty();
    let (told, wide) = match is_bare {
        true => ("no corner in reach: ", 2.0 * column - BETWEEN),
        false => ("", column - BETWEEN),
    };
    let second = second.map_or_else(Vec::new, |how| quiet.wrapped(&format!("{told}{how}"), wide));
    let beside = pulls.iter().map(|(_, lines)| 5.0 + 4.2 * lines.len() as f64);
    let beside = beside.chain([4.2 * second.len() as f64]).fold(0.0, f64::max);
    let height = LINE + (own.max(beside) - 9.2).max(0.0);
    let top = flow.take(height);
    let (x, right, row) = (flow.x(), flow.right(), flow.row());
    let page = flow.page();
    tick_box(page, x, top + 1.2);
    page.begin(row.head(0));
    let under = page.write_lines(&places, x + 7.0, top + 5.0, 5.0, kind);
    page.write_lines(&rows, x + 7.0, under - 0.4, 4.2, quiet);
    if !second.is_empty() {
        let columns = pull_columns(right - x);
        page.begin(if is_bare { row.wide(1, 2) } else { row.cell(2) });
        page.write_lines(&second, x + columns[usize::from(!is_bare)], top + 4.6, 4.2, quiet);
    }
    for (i, (pull, from)) in pulls.iter().enumerate() {
        let x = x + first + column * i as f64;
        page.begin(row.cell(1 + i));
        page.write(pull, x, top + 5.4, Type::bold(5.6));
        page.write_lines(from, x, top + 9.6, 4.2, quiet);
    }
    page.line((x, top + height - 1.4), (right, top + height - 1.4), 0.18, Rgb::QUIET);
}

/// The corner of a pull, short enough for half a line.
fn from(house: &House, pull: &Pull) -> String {
    corner(house, pull).replace("corner of walls", "walls")
}

fn put_width(flow: &mut Flow, house: &House, advice: &Advice) {
    // Axis lines lie as far apart as the blocks' length has it.
    if advice.width.errors.is_empty() {
        return;
    }
    flow.heading("If the boards measure otherwise");
    let range = &advice.width.range;
    let place = |end: Option<(f64, setout::EdgeRef)>| {
        end.and_then(|(_, at)| house.edge_place(at)).unwrap_or_default()
    };
    // Rounded towards the measured width, so that the figure can be relied on.
    let least = range.least.map(|(pitch, _)| (pitch * 100.0 - 1e-6).ceil() / 100.0);
    let greatest = range.greatest.map(|(pitch, _)| (pitch * 100.0 + 1e-6).floor() / 100.0);
    let ten = |width: f64| plan::format_small((width * 100.0).round() / 10.0, house.plan.units);
    let mut text = format!(
        "Reckoned with boards {} wide, up to {} rows from the line.",
        plan::format_small(house.setout.pitch, house.plan.units),
        advice.width.most_rows
    );
    match (least, greatest) {
        (None, None) => text.push_str(" No other width makes a further sliver."),
        _ => {
            text.push_str(" Ten of them laid dry may measure");
            if let Some(least) = least {
                text.push_str(&format!(" from {} ({})", ten(least), place(range.least)));
            }
            if let Some(greatest) = greatest {
                text.push_str(&format!(" up to {} ({})", ten(greatest), place(range.greatest)));
            }
            text.push_str(" before a further rip is a sliver.");
        }
    }
    flow.paragraph(&text, Type::plain(3.8));
    flow.gap(1.2);
    flow.table(&[]);
    let quiet = Type::quiet(3.6);
    for error in &advice.width.errors {
        let place = error.at.and_then(|at| house.edge_place(at)).unwrap_or_default();
        let places = quiet.wrapped(&place, flow.width() - 76.0);
        let top = flow.take(5.4 + 4.6 * (places.len().max(1) - 1) as f64);
        let (x, row) = (flow.x(), flow.row());
        let which = if error.wider_by < 0.0 { "narrower" } else { "wider" };
        let narrowest = match house.plan.units {
            Units::Metric => format_length(error.narrowest.floor(), Units::Metric),
            units => format_length(error.narrowest, units),
        };
        let page = flow.page();
        page.begin(row.head(0));
        let by = plan::format_fine(error.wider_by.abs(), house.plan.units);
        page.write(&format!("each {by} {which}"), x, top + 3.8, Type::plain(3.6));
        page.begin(row.cell(1));
        page.write(&format!("narrowest {narrowest}"), x + 42.0, top + 3.8, Type::bold(3.6));
        page.begin(row.cell(2));
        page.write_lines(&places, x + 76.0, top + 3.8, 4.6, quiet);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::Mark;
    use crate::bound::bind;
    use crate::testing::small_house;

    fn texts(pages: &[crate::Page]) -> Vec<&str> {
        let marks = pages.iter().flat_map(|page| &page.marks);
        marks
            .filter_map(|mark| match mark {
                Mark::Text { text, .. } => Some(text.as_str()),
                Mark::Path { .. } | Mark::Within { .. } => None,
            })
            .collect()
    }

    #[test]
    fn the_page_names_rooms_pulls_and_reasons() {
        let house = small_house("Hut");
        let told = Told::new(&house);
        let pages = bind(Paper::A4, vec![control_sheet(&told, Paper::A4)]);
        assert_eq!(pages.len(), 2);
        let texts = texts(&pages);
        for heading in ["Why this line", "Snap again for control", "If the boards measure otherwise"] {
            assert!(texts.contains(&heading), "{texts:?}");
        }
        let control = house.advice().control;
        assert!(!control.is_empty());
        for line in &control {
            for pull in &line.pulls {
                assert!(texts.contains(&figure(&house, pull.distance).as_str()), "{texts:?}");
            }
        }
    }

    #[test]
    fn no_line_no_page() {
        let mut house = small_house("Hut");
        house.setout.line = None;
        assert!(bind(Paper::A4, vec![control_sheet(&Told::new(&house), Paper::A4)]).is_empty());
    }
}
