//! Doorways and edges: each doorway cut through to scale with what is worked from, then every gap and its cover,
//! then what goes under kicks.

use crate::bound::List;
use crate::flow::{Flow, tick_box};
use crate::page::{Part, Type};
use crate::placing::{Placing, extent, marks_of};
use crate::words::setting;
use drawing::{Options, Rgb, doorway_section};
use fit::DoorwayFit;
use kurbo::Point;
use pipeline::House;
use plan::Beyond;

/// Scales at which a doorway is cut through, section mm to a paper mm (ISO 5455: 2, 5, 10; memory). The largest that
/// fits across the column is taken.
const SCALES: [f64; 3] = [2.0, 5.0, 10.0];
/// The words stand beside the cut where they have so much room there, mm, and else below it.
const BESIDE: f64 = 62.0;
/// Between the cut and the words beside it, mm.
const GUTTER: f64 = 5.0;
/// Height of a doorway's name over its cut, mm.
const TITLE: f64 = 9.5;
/// A line of such a name.
const TITLE_LINE: f64 = 6.0;
/// A line of words, mm.
const LINE: f64 = 4.7;
/// Width of what a fact is about, mm.
const ABOUT: f64 = 18.0;

const CAUTION: &str = "Before a leaf, lining or kick is cut: extract at the tool; mask, eye and ear protection. Old \
     paint may hold lead, old adhesive asbestos: stop and get it tested. A fire door is not cut. Local codes, the \
     makers' sheets and licensed practice come first.";

/// Sets the pages; none for a floor without edges.
pub(crate) fn doorways_sheet(house: &House) -> Option<List<'_>> {
    let fit = &house.fit;
    if fit.doorways.is_empty() && fit.covers.is_empty() {
        return None;
    }
    let stock = &house.plan.stock;
    let bed = match stock.bed {
        Some(bed) => format!("on {} of bed or underlay", setting(house, bed)),
        None => "no bed or underlay given".to_owned(),
    };
    let up = setting(house, stock.build_up());
    Some(List::new("Doorways and edges", format!("boards' face {up} above the slab"), move |flow| {
        let built = format!("Boards {} thick, {bed}: {up} above the slab.", setting(house, stock.thickness));
        flow.paragraph(&built, Type::plain(3.7));
        flow.paragraph(CAUTION, Type::plain(3.4));
        flow.gap(3.0);
        for found in &fit.doorways {
            put_doorway(flow, house, found);
        }
        put_covers(flow, house);
        put_tucks(flow, house);
    }))
}

fn put_doorway(flow: &mut Flow, house: &House, found: &DoorwayFit) {
    let Some(door) = house.plan.doorways.get(found.doorway) else { return };
    let cut = |scale: f64| {
        let drawing = doorway_section(house, found, &Options::all(scale, house.plan.units));
        let size = extent(&drawing, scale);
        (scale, drawing, size)
    };
    let all = SCALES.map(cut);
    let last = all.len() - 1;
    let fits = |width: f64| all.iter().position(|(_, _, size)| size.width() <= width).unwrap_or(last);
    // Where boards run through nothing is cut by the drawing: it may be smaller, so that the words stand beside it.
    let beside_it = fits(flow.width() - GUTTER - BESIDE);
    let may_be_small = door.beyond == Beyond::RunThrough && beside_it < last;
    let chosen = if may_be_small { beside_it } else { fits(flow.width()) };
    let (scale, drawing, size) = &all[chosen];
    let kind = Type::plain(3.7);
    let beside = flow.width() - size.width() - GUTTER;
    let facts = |words: f64| -> Vec<(&str, Vec<String>)> {
        let all = found.facts(&house.plan).into_iter();
        all.map(|(about, text)| (about, kind.wrapped(&text, words - ABOUT))).collect()
    };
    let said = |facts: &[(&str, Vec<String>)]| {
        LINE * facts.iter().map(|(_, lines)| lines.len()).sum::<usize>() as f64 + 1.2 * facts.len() as f64
    };
    // Beside the cut or below it, whichever takes less of the page.
    let (below, narrow) = (facts(flow.width()), facts(beside.max(BESIDE)));
    let heights = (size.height().max(said(&narrow)), size.height() + 3.0 + said(&below));
    let is_beside = beside >= BESIDE && heights.0 <= heights.1;
    let (facts, height) = if is_beside { (narrow, heights.0) } else { (below, heights.1) };
    let title = Type::bold(5.0);
    let names = title.wrapped(&door.name, flow.width() - 14.0);
    let head = TITLE + TITLE_LINE * (names.len().max(1) - 1) as f64;
    let height = head + height + 4.0;
    let top = flow.take(height);
    let (x, right) = (flow.x(), flow.right());
    let page = flow.page();
    page.write_lines(&names, x, top + 5.5, TITLE_LINE, title);
    page.write_as(&format!("1:{scale}"), right, top + 5.5, Type::quiet(3.4), drawing::Anchor::End);
    let under = top + head;
    let paper = Point::new(x - size.x0, under + size.y1);
    let placing = Placing { plan: Point::ZERO, paper, scale: *scale };
    page.figure(format!("{} cut through", door.name), marks_of(drawing, &placing));
    let (left, mut y) = match is_beside {
        true => (x + size.width() + GUTTER, under + 3.0),
        false => (x, under + size.height() + 6.0),
    };
    flow.table(&[]);
    for (about, lines) in &facts {
        let row = flow.row();
        let page = flow.page();
        page.begin(row.head(0));
        page.write(about, left, y, Type::bold(3.5));
        page.begin(row.cell(1));
        for line in lines {
            page.write(line, left + ABOUT, y, kind);
            y += LINE;
        }
        y += 1.2;
    }
    flow.page().begin(Part::Lines);
    flow.page().line((x, top + height - 1.0), (right, top + height - 1.0), 0.18, Rgb::QUIET);
}

fn put_covers(flow: &mut Flow, house: &House) {
    if house.fit.covers.is_empty() {
        return;
    }
    flow.heading("Gaps and covers");
    flow.table(&[]);
    for line in house.cover_lines() {
        let mark = if line.is_short { "too little: " } else { "" };
        put_row(flow, &line.name, &format!("{mark}{}", line.words), line.is_short);
    }
}

fn put_tucks(flow: &mut Flow, house: &House) {
    if !house.fit.tucks.is_empty() {
        flow.heading("Under kicks");
        flow.table(&[]);
    }
    for tuck in &house.fit.tucks {
        put_row(flow, &tuck.name(&house.plan), &tuck.words(&house.plan), false);
    }
    if !house.fit.appliances.is_empty() {
        flow.heading("Appliances");
        flow.table(&[]);
    }
    for found in &house.fit.appliances {
        let Some(fixture) = house.plan.fixtures.get(found.fixture) else { continue };
        let words = match found.clearance < 0.0 {
            true => {
                format!("trapped: {} too high to come out over the boards", setting(house, -found.clearance))
            }
            false => format!("{} over it as it comes out over the boards", setting(house, found.clearance)),
        };
        put_row(flow, &fixture.name, &words, found.clearance < found.least);
    }
}

/// A line of a list: a box to tick, the thing, what is said of it.
fn put_row(flow: &mut Flow, name: &str, words: &str, is_bold: bool) {
    // A name of many things has as many lines as what is said of them, where it may be wider.
    let bold = Type::bold(3.6);
    let narrow = (flow.width() * 0.28).min(56.0);
    let lines = |indent: f64| {
        let words = Type::plain(3.6).wrapped(words, flow.width() - indent).len();
        words.max(bold.wrapped(name, indent - 10.0).len())
    };
    let wide = flow.width() * 0.45;
    let indent = if lines(wide) < lines(narrow) { wide } else { narrow };
    let kind = if is_bold { Type::bold(3.6) } else { Type::plain(3.6) };
    let lines = kind.wrapped(words, flow.width() - indent);
    let names = bold.wrapped(name, indent - 10.0);
    let rows = lines.len().max(names.len());
    let top = flow.take((2.4 + 4.7 * rows as f64).max(7.2));
    let (x, row) = (flow.x(), flow.row());
    let page = flow.page();
    tick_box(page, x, top + 0.4);
    page.begin(row.head(0));
    for (i, line) in names.iter().enumerate() {
        page.write(line, x + 7.5, top + 4.2 + 4.7 * i as f64, bold);
    }
    page.begin(row.cell(1));
    for (i, line) in lines.iter().enumerate() {
        page.write(line, x + indent, top + 4.2 + 4.7 * i as f64, kind);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::{Mark, Page, Paper};
    use plan::{Arris, Covering, Leaf, Plan, Room, Side, Surface, SurfaceKind};

    fn texts(pages: &[Page]) -> Vec<&str> {
        let marks = pages.iter().flat_map(|page| &page.marks);
        marks
            .filter_map(|mark| match mark {
                Mark::Text { text, .. } => Some(text.as_str()),
                Mark::Path { .. } | Mark::Within { .. } => None,
            })
            .collect()
    }

    fn house() -> House {
        let corners =
            |y: f64, h: f64| [(0.0, y), (4000.0, y), (4000.0, y + h), (0.0, y + h)].map(plan::Point::from);
        let mut plan = Plan::new("Hut");
        plan.rooms.push(Room::boarded("Snug", corners(0.0, 3000.0)));
        plan.rooms.push(Room {
            covering: Covering::Other("wool".into()),
            surface: Some(Surface { kind: SurfaceKind::Carpet, height: 18.0 }),
            ..Room::boarded("Nook", corners(3100.0, 2000.0))
        });
        let door = plan::edit::add_doorway(&mut plan, 0, 2, 2000.0).unwrap();
        let door = &mut plan.doorways[door];
        door.leaf = Some(Leaf { above_slab: Some(20.0), ..Leaf::swinging(Side::Near, 30.0) });
        (door.beyond, door.arris) = (Beyond::UnderLeaf, Some(Arris::Eased(3.0)));
        plan.rules.cover.skirting = Some(18.0);
        pipeline::run(&plan).unwrap()
    }

    /// A 30 mm leaf flush with the near face: the stop lies 15 in from it (common practice, no source); at 1:2 that
    /// is 7.5 mm of paper.
    #[test]
    fn a_doorway_is_cut_through_to_scale_with_its_figures() {
        let house = house();
        let pages = doorways_sheet(&house).expect("a list").alone(Paper::A4);
        let texts = texts(&pages);
        for words in ["Snug door", "1:2", "Stop line", "Gaps and covers", "Step", "Leaf", "15", "eased to 3"]
        {
            assert!(texts.iter().any(|text| text.contains(words)), "{words}: {texts:?}");
        }
        let drawing =
            doorway_section(&house, &house.fit.doorways[0], &Options::all(2.0, plan::Units::Metric));
        let board = drawing.shapes().find(|shape| matches!(shape.role, drawing::Role::Board { .. })).unwrap();
        let bounds = kurbo::Shape::bounding_box(&board.path);
        assert!((bounds.x1 - 15.0).abs() < 1e-6 && (bounds.y1 - 15.0).abs() < 1e-6, "{bounds:?}");
        let carpet = drawing.shapes().find(|shape| shape.role == drawing::Role::OtherFloor).unwrap();
        assert!((kurbo::Shape::bounding_box(&carpet.path).y1 - 18.0).abs() < 1e-6);
        // Nothing of a page runs over its margins.
        for page in &pages {
            for mark in &page.marks {
                if let Mark::Path { path, .. } = mark {
                    let bounds = kurbo::Shape::bounding_box(path);
                    assert!(bounds.x0 > 10.0 && bounds.x1 < page.width - 10.0, "{bounds:?}");
                }
            }
        }
    }
}
