//! The floor sheet, and plans fitted to paper at a standard scale.

use crate::page::{Mark, Page, Type};
use crate::paper::{LEFT, MARGIN, scales};
use crate::placing::{Placing, extent, marks_of};
use crate::tiles::tiles;
use crate::told::Told;
use crate::{Paper, flow};
use drawing::{Drawing, Options, Rgb, floor_drawing_with};
use kurbo::{Point, Rect};
use pipeline::House;
use plan::Units;

/// A floor drawing at the largest standard scale that fits.
pub(crate) struct FittedPlan {
    pub(crate) drawing: Drawing,
    pub(crate) scale: f64,
    /// What it covers, figures included, in paper mm with y up, plan origin at the origin.
    pub(crate) extent: Rect,
}

/// Fits the floor into `width` × `height` mm.
pub(crate) fn fitted(
    house: &Told<'_>,
    area: (f64, f64),
    options: impl Fn(f64, Units) -> Options,
) -> FittedPlan {
    let [plan] = fitted_each(house, [area], options);
    plan
}

/// Fits the floor into a lying and a standing area; gives the larger drawing, and whether it is the standing one. Of two
/// at one scale the lying one is taken.
pub(crate) fn fitted_either(
    house: &Told<'_>,
    lying: (f64, f64),
    standing: (f64, f64),
    options: impl Fn(f64, Units) -> Options,
) -> (FittedPlan, bool) {
    let [lying, standing] = fitted_each(house, [lying, standing], options);
    if standing.scale < lying.scale { (standing, true) } else { (lying, false) }
}

/// Fits the floor into each of some areas, drawing it once for each scale that is tried.
pub(crate) fn fitted_each<const N: usize>(
    house: &Told<'_>,
    areas: [(f64, f64); N],
    options: impl Fn(f64, Units) -> Options,
) -> [FittedPlan; N] {
    let corners = house.plan.rooms.iter().flat_map(|room| &room.walls).map(|wall| wall.corner);
    let rooms = corners
        .map(|p| Rect::from_points((p.x, p.y), (p.x, p.y)))
        .reduce(|all, one| all.union(one))
        .unwrap_or_default();
    let on_demand = house.on_demand(&options(100.0, house.plan.units));
    let mut found: [Option<FittedPlan>; N] = std::array::from_fn(|_| None);
    let mut last: [Option<FittedPlan>; N] = std::array::from_fn(|_| None);
    for scale in scales(house.plan.units) {
        // The rooms alone show quickly which scales are far too large.
        let may_fit = |area: (f64, f64)| rooms.width() / scale <= area.0 && rooms.height() / scale <= area.1;
        let open = |at: usize| found[at].is_none() && may_fit(areas[at]);
        if !(0..N).any(open) {
            continue;
        }
        let drawing = floor_drawing_with(house, &options(scale, house.plan.units), &on_demand);
        let extent = extent(&drawing, scale);
        let mut is_over = true;
        for at in 0..N {
            let (width, height) = areas[at];
            if found[at].is_some() || !may_fit(areas[at]) {
                is_over &= found[at].is_some();
                continue;
            }
            let plan = FittedPlan { drawing: drawing.clone(), scale, extent };
            if extent.width() <= width && extent.height() <= height {
                found[at] = Some(plan);
            } else {
                last[at] = Some(plan);
                // Past a twentyfold of room nothing but figures is left to shrink, and they do not.
                is_over &= rooms.width() / scale < width / 20.0 && rooms.height() / scale < height / 20.0;
            }
        }
        if is_over {
            break;
        }
    }
    let none = || FittedPlan { drawing: Drawing::default(), scale: 100.0, extent: Rect::ZERO };
    std::array::from_fn(|at| found[at].take().or_else(|| last[at].take()).unwrap_or_else(none))
}

impl FittedPlan {
    /// The plan's marks with the extent's top left at `x`, `y`.
    pub(crate) fn marks_at(&self, x: f64, y: f64) -> Vec<Mark> {
        let placing = Placing {
            plan: Point::new(self.extent.x0 * self.scale, self.extent.y1 * self.scale),
            paper: Point::new(x, y),
            scale: self.scale,
        };
        marks_of(&self.drawing, &placing)
    }

    pub(crate) fn scale_name(&self) -> String {
        format!("1:{}", self.scale)
    }
}

/// Draws a scale bar of at most `room` mm with its left end at `x` and its line at `y`; gives where its
/// writing ends.
pub(crate) fn scale_bar(page: &mut Page, house: &House, scale: f64, (x, y): (f64, f64), room: f64) -> f64 {
    // Steps of one unit or a round number of them, far enough apart for their figures.
    let (unit, name) = match house.plan.units {
        Units::Metric => (1000.0, "m"),
        Units::FeetInches => (304.8, "ft"),
    };
    let rounds = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 1e4, 1e5, 1e6];
    // Figures of one letter may stand nearer.
    let apart = |n: f64| if n == 1.0 { 6.0 } else { 9.0 };
    let step = rounds.into_iter().find(|n| n * unit / scale >= apart(*n)).unwrap_or(1e6);
    let width = step * unit / scale;
    let count = ((room / width).floor()).clamp(1.0, 5.0) as usize;
    page.line((x, y), (x + width * count as f64, y), 0.5, Rgb::INK);
    for i in 0..=count {
        let at = x + width * i as f64;
        page.line((at, y - 1.4), (at, y + 1.4), 0.35, Rgb::INK);
        let mut text = format!("{}", (step * i as f64 * 10.0).round() / 10.0);
        if i == count {
            text = format!("{text} {name}");
        }
        page.write_as(&text, at, y + 5.0, Type::plain(3.2), drawing::Anchor::Middle);
    }
    x + width * count as f64 + 5.0
}

/// Draws a line of a known length on the paper itself, 100 mm or 4 in: what it measures says how true the print is.
fn check_length(page: &mut Page, house: &House, (x, y): (f64, f64)) {
    let (length, name) = check(house);
    page.line((x, y), (x + length, y), 0.35, Rgb::INK);
    for end in [x, x + length] {
        page.line((end, y - 2.2), (end, y + 2.2), 0.35, Rgb::INK);
    }
    let text = format!("this line measures {name}; if not, the print is out of scale");
    page.write_as(&text, x + length / 2.0, y + 5.0, Type::plain(3.0), drawing::Anchor::Middle);
}

/// Draws the scale bar and the check length beside one another, or the second under the first where `room` mm do not hold
/// both.
pub(crate) fn measures(page: &mut Page, house: &House, scale: f64, (x, y): (f64, f64), room: f64) {
    const BAR: f64 = 55.0;
    let check = check_room(house);
    // Past the bar stands half of its last figure.
    let beside = (room - check - 11.0).min(BAR);
    if beside >= 25.0 {
        let end = scale_bar(page, house, scale, (x, y), beside);
        check_length(page, house, (end + 6.0, y));
    } else {
        scale_bar(page, house, scale, (x, y), (room - 5.0).min(BAR));
        check_length(page, house, (x, y + 10.0));
    }
}

/// Height of the measures in so much room, mm.
pub(crate) fn measures_height(house: &House, room: f64) -> f64 {
    if room - check_room(house) - 11.0 >= 25.0 { 6.0 } else { 16.0 }
}

/// Room that the check length takes, mm.
fn check_room(house: &House) -> f64 {
    check(house).0
}

/// Length and name of the check length.
fn check(house: &House) -> (f64, &'static str) {
    match house.plan.units {
        Units::Metric => (100.0, "100 mm"),
        // An inch is 25.4 mm.
        Units::FeetInches => (101.6, "4 in"),
    }
}

/// Room at the foot of a floor for the scale bar and a note, mm.
const FOOT: f64 = flow::FOOT + 14.0;

/// The floor on one page: boards with their labels, flags, names and dimensions; then in parts at the scale that is
/// asked for, or at one at which the labels are read where one page shows them too small.
pub(crate) fn floor_sheet(house: &Told<'_>, paper: Paper, asked: Option<f64>) -> Vec<Page> {
    let (short, long) = paper.size();
    let area = |w: f64, h: f64| (w - LEFT - MARGIN, h - MARGIN - flow::HEAD - FOOT);
    let (plan, stands) = fitted_either(house, area(long, short), area(short, long), Options::laying);
    let (width, height) = if stands { (short, long) } else { (long, short) };
    let mut page = Page::new(width, height, "Floor");
    page.sheets.push(("Floor".into(), 0.0));
    page.scale = Some(plan.scale_name());
    let boards = crate::words::count(house.floor.boards.len(), "board");
    let flags = crate::words::count(house.flags.len(), "flag");
    crate::page_head::head(&mut page, &format!("{boards} laid · {flags} · label: row-board"));
    let (room_w, room_h) = area(width, height);
    let x = LEFT + (room_w - plan.extent.width()) / 2.0;
    let y = MARGIN + flow::HEAD + (room_h - plan.extent.height()) / 2.0;
    page.figure(format!("The floor with {boards}, their labels and {flags}"), plan.marks_at(x, y));
    let y = height - FOOT + 3.5;
    measures(&mut page, house, plan.scale, (LEFT + 2.0, y), width - LEFT - 2.0 - MARGIN);
    let note = "Swallowtail: a fault. Point: worth a look. One pennant may stand for several: see the list.";
    page.write(note, LEFT, height - FOOT + 14.0, Type::quiet(3.2));
    let scale = plan.scale;
    let mut pages = vec![page];
    pages.extend(tiles(house, paper, asked, scale));
    pages
}
