//! A large floor over several pages: each page a part of it, with marks by which the prints are joined.

use crate::floor_sheet::measures;
use crate::page::{Mark, Page, Part, Type};
use crate::paper::{LEFT, MARGIN, scales};
use crate::placing::{Placing, extent, marks_of};
use crate::{Paper, flow};
use drawing::{Anchor, Options, Rgb, floor_drawing};
use kurbo::{Point, Rect};
use pipeline::House;

/// Neighbouring parts show this much of the floor twice, mm, so that marks can be laid on one another.
const OVERLAP: f64 = 12.0;
/// Room round a part for the words that say what joins it, mm.
const RIM: f64 = 5.0;
/// Where no scale is asked for, no more pages than this are given to the floor.
const MOST_UNASKED: usize = 8;
/// No print has more pages than this: past it a smaller scale is taken and said.
const MOST: usize = 120;
/// A cross is slid along its seam by so many steps of 3 mm at most, to lie on no writing.
const SLIDES: i32 = 12;
/// Crosses of upright seams keep so far off level ones, mm.
const APART: f64 = 12.0;
/// A plate is at most so much wider and higher than twice its writing, mm.
const PLATE: f64 = 10.0;
/// Board labels of this size (mm) are read at arm's length; a board's height holds them at two thirds.
const READABLE: f64 = 2.3;

/// How a floor is parted.
#[derive(Debug, Clone, Copy)]
struct Grid {
    scale: f64,
    lying: bool,
    /// Size of a part, paper mm.
    part: (f64, f64),
    columns: usize,
    rows: usize,
    /// From one part to the next, paper mm.
    step: (f64, f64),
}

impl Grid {
    /// The parts of a drawing of a size on paper, all as large, the paper turned so that there are fewest.
    fn of(paper: Paper, scale: f64, (width, height): (f64, f64)) -> Self {
        let (short, long) = paper.size();
        let way = |lying: bool| {
            let (w, h) = if lying { (long, short) } else { (short, long) };
            let part =
                (w - LEFT - MARGIN - 2.0 * RIM, h - MARGIN - flow::HEAD - flow::FOOT - 2.0 * RIM - BELOW);
            let parts =
                |size: f64, part: f64| ((size - OVERLAP) / (part - OVERLAP)).ceil().clamp(1.0, 1e6) as usize;
            let (columns, rows) = (parts(width, part.0), parts(height, part.1));
            // Parts share the floor evenly; what they show twice grows from OVERLAP.
            let step = |size: f64, part: f64, count: usize| match count {
                0 | 1 => part,
                _ => (size - part) / (count - 1) as f64,
            };
            let step = (step(width, part.0, columns), step(height, part.1, rows));
            Self { scale, lying, part, columns, rows, step }
        };
        let (standing, lying) = (way(false), way(true));
        if lying.count() <= standing.count() { lying } else { standing }
    }

    /// Half of what neighbouring parts show twice: how far their seam lies inside them, mm.
    fn inset(&self) -> (f64, f64) {
        ((self.part.0 - self.step.0) / 2.0, (self.part.1 - self.step.1) / 2.0)
    }

    fn count(&self) -> usize {
        self.columns.saturating_mul(self.rows)
    }
}

/// The pages that show the floor part by part: at `asked` if a scale is asked for, else where one page shows the
/// boards' labels too small to be read. None where `whole`, the scale of the one page, does as well.
pub(crate) fn tiles(house: &House, paper: Paper, asked: Option<f64>, whole: f64) -> Vec<Page> {
    let Some(grid) = grid(house, paper, asked, whole) else { return Vec::new() };
    let drawing = floor_drawing(house, &Options::laying(grid.scale, house.plan.units));
    let extent = extent(&drawing, grid.scale);
    let grid = Grid::of(paper, grid.scale, (extent.width(), extent.height()));
    let placing = Placing {
        plan: Point::new(extent.x0 * grid.scale, extent.y1 * grid.scale),
        paper: Point::ZERO,
        scale: grid.scale,
    };
    let marks = marks_of(&drawing, &placing);
    let bounds: Vec<Rect> = marks.iter().map(Mark::bounds).collect();
    let count = grid.count();
    let mut pages = Vec::with_capacity(count);
    for row in 0..grid.rows {
        for column in 0..grid.columns {
            let mut page = tile(house, paper, &grid, (column, row), (&marks, &bounds));
            if pages.is_empty() {
                page.sheets.push((page.title.clone(), 0.0));
            }
            let asked = asked.filter(|asked| (asked - grid.scale).abs() > 1e-9);
            let note = match asked {
                Some(asked) => format!(
                    "part {} of {count} · 1:{asked} would take too many pages, so 1:{}",
                    pages.len() + 1,
                    grid.scale
                ),
                None if count > 1 => format!("part {} of {count} · join at the crosses", pages.len() + 1),
                None => "the whole floor in one part".to_owned(),
            };
            let drawn = std::mem::take(&mut page.marks);
            let parts = std::mem::take(&mut page.parts);
            crate::page_head::head(&mut page, &note);
            let before = page.marks.len();
            page.parts.extend(parts.into_iter().map(|(from, part)| (from + before, part)));
            page.marks.extend(drawn);
            pages.push(page);
        }
    }
    pages
}

/// Chooses scale and direction of the paper.
fn grid(house: &House, paper: Paper, asked: Option<f64>, whole: f64) -> Option<Grid> {
    let units = house.plan.units;
    match asked.filter(|scale| scale.is_finite() && *scale > 0.0) {
        Some(asked) => {
            let from = |scale: f64| (scale - asked).abs() < 1e-9 || scale > asked;
            std::iter::once(asked)
                .chain(scales(units).filter(|scale| from(*scale)))
                .map(|scale| at_scale(house, paper, scale))
                .find(|grid| grid.count() <= MOST)
        }
        None => {
            let readable = house.floor.pitch * 0.66 / READABLE;
            let largest = scales(units).filter(|scale| *scale <= readable).last()?;
            scales(units)
                .filter(|scale| *scale >= largest && *scale < whole)
                .map(|scale| at_scale(house, paper, scale))
                .find(|grid| (2..=MOST_UNASKED).contains(&grid.count()))
        }
    }
}

/// The parts of a floor at a scale, by the size of its rooms.
fn at_scale(house: &House, paper: Paper, scale: f64) -> Grid {
    // Dimensions and pennants stand out a little past the walls.
    const ROUND: f64 = 22.0;
    let corners = house.plan.rooms.iter().flat_map(|room| &room.walls).map(|wall| wall.corner);
    let rooms = corners
        .map(|p| Rect::from_points((p.x, p.y), (p.x, p.y)))
        .reduce(|all, one| all.union(one))
        .unwrap_or_default();
    Grid::of(paper, scale, (rooms.width() / scale + ROUND, rooms.height() / scale + ROUND))
}

/// Room under a part for the scale bar, mm.
const BELOW: f64 = 12.0;

fn tile(
    house: &House,
    paper: Paper,
    grid: &Grid,
    (column, row): (usize, usize),
    (marks, bounds): (&[Mark], &[Rect]),
) -> Page {
    let (short, long) = paper.size();
    let (width, height) = if grid.lying { (long, short) } else { (short, long) };
    let mut page = Page::new(width, height, "Floor, in parts");
    page.scale = Some(format!("1:{}", grid.scale));
    let corner = Point::new(LEFT + RIM, MARGIN + flow::HEAD + RIM);
    let from = Point::new(grid.step.0 * column as f64, grid.step.1 * row as f64);
    let window = Rect::from_origin_size(from, grid.part);
    let shift = corner - from;
    let is_shown =
        |i: usize| window.overlaps(bounds[i]) && !stands_elsewhere(grid, window, written(marks, bounds, i));
    let shown: Vec<Mark> =
        (0..marks.len()).filter(|i| is_shown(*i)).map(|i| moved(&marks[i], shift)).collect();
    let area = Rect::from_origin_size(corner, grid.part);
    let number = |column: usize, row: usize| row * grid.columns + column + 1;
    let words =
        format!("Part {} of {} of the floor with its boards' labels", number(column, row), grid.count());
    page.figure(words, [Mark::Within { area, marks: shown }]);
    page.begin(Part::Aside);
    let writing: Vec<Rect> = (0..marks.len()).filter_map(|i| written(marks, bounds, i)).collect();
    put_seams(&mut page, grid, (column, row), area, &number, &writing);
    put_key(&mut page, grid, (column, row));
    page.begin(Part::Lines);
    let y = height - flow::FOOT - BELOW + 6.0;
    measures(&mut page, house, grid.scale, (LEFT + RIM, y), width - LEFT - RIM - MARGIN);
    page
}

/// What a piece of writing covers with its plate, on the whole drawing; `i` is the one or the other.
fn written(marks: &[Mark], bounds: &[Rect], i: usize) -> Option<Rect> {
    let is_text = |i: usize| matches!(marks.get(i), Some(Mark::Text { .. }));
    // A plate is drawn right before its writing and lies round it.
    let plate = |text: usize| {
        let plate = text.checked_sub(1).filter(|plate| !is_text(*plate))?;
        let (around, words) = (*bounds.get(plate)?, bounds[text]);
        // Writing may reach past its plate with what hangs below its line.
        let is_near = |plate: f64, words: f64| plate < 2.0 * words + PLATE;
        let lies_round = around.contains(words.center())
            && is_near(around.width(), words.width())
            && is_near(around.height(), words.height());
        lies_round.then(|| around.union(words))
    };
    match is_text(i) {
        true => Some(plate(i).unwrap_or(bounds[i])),
        false => is_text(i + 1).then(|| plate(i + 1)).flatten(),
    }
}

/// Whether writing would be cut by a part's edge while another part shows it whole.
fn stands_elsewhere(grid: &Grid, window: Rect, writing: Option<Rect>) -> bool {
    let Some(writing) = writing.filter(|writing| window.union(*writing) != window) else { return false };
    let parts = (0..grid.rows).flat_map(|row| (0..grid.columns).map(move |column| (column, row)));
    parts
        .map(|(column, row)| Point::new(grid.step.0 * column as f64, grid.step.1 * row as f64))
        .map(|from| Rect::from_origin_size(from, grid.part))
        .any(|part| part.union(writing) == part)
}

/// A mark moved on the paper.
fn moved(mark: &Mark, by: kurbo::Vec2) -> Mark {
    let mut mark = mark.clone();
    match &mut mark {
        Mark::Path { path, .. } => path.apply_affine(kurbo::Affine::translate(by)),
        Mark::Text { at, .. } => *at += by,
        Mark::Within { area, marks } => {
            *area = *area + by;
            *marks = marks.iter().map(|mark| moved(mark, by)).collect();
        }
    }
    mark
}

/// Draws the seams with their crosses: the same letter and number on both pages of a seam.
fn put_seams(
    page: &mut Page,
    grid: &Grid,
    (column, row): (usize, usize),
    area: Rect,
    number: &impl Fn(usize, usize) -> usize,
    writing: &[Rect],
) {
    let inset = grid.inset();
    let level = [
        (row > 0).then(|| (area.y0 + inset.1, row - 1)),
        (row + 1 < grid.rows).then_some((area.y1 - inset.1, row)),
    ];
    let on_floor = Point::new(grid.step.0 * column as f64, grid.step.1 * row as f64) - area.origin();
    // A cross stands where it hides least writing, on both pages at the same place of the floor.
    let clear = |at: Point, along: kurbo::Vec2| {
        let hides = |at: Point| -> f64 {
            let covered = Rect::new(at.x - 5.0, at.y - 5.5, at.x + 9.5, at.y + 5.0) + on_floor;
            let hidden: f64 = writing.iter().map(|area| area.intersect(covered).area()).sum();
            // In steps that both pages reckon alike.
            (hidden * 10.0).round()
        };
        let steps = (0..SLIDES).flat_map(|step| [f64::from(step), -f64::from(step)]);
        let most = 0.2 * (along.x * area.width() + along.y * area.height());
        // Crosses of upright seams keep off the level ones, on which others stand.
        let is_apart =
            |by: &f64| along.y == 0.0 || level.iter().flatten().all(|(y, _)| (at.y + by - y).abs() >= APART);
        let offsets = steps.map(|step| 3.0 * step).filter(|by| by.abs() <= most && is_apart(by));
        let places = offsets.map(|by| at + along * by).map(|at| (hides(at), at));
        places.min_by(|a, b| a.0.total_cmp(&b.0)).map_or(at, |(_, at)| at)
    };
    let upright = [
        (column > 0).then(|| (area.x0 + inset.0, column - 1)),
        (column + 1 < grid.columns).then_some((area.x1 - inset.0, column)),
    ];
    for (x, seam) in upright.into_iter().flatten() {
        for (k, t) in [0.25, 0.75].into_iter().enumerate() {
            let name = format!("{}{}", letters(seam), 2 * row + k + 1);
            cross(page, clear(Point::new(x, area.y0 + t * area.height()), kurbo::Vec2::new(0.0, 1.0)), &name);
        }
    }
    for (y, seam) in level.into_iter().flatten() {
        for (k, t) in [0.25, 0.75].into_iter().enumerate() {
            let name = format!("{}{}", 2 * column + k + 1, letters(seam));
            cross(page, clear(Point::new(area.x0 + t * area.width(), y), kurbo::Vec2::new(1.0, 0.0)), &name);
        }
    }
    let kind = Type::bold(3.4);
    let middle = area.center();
    if column > 0 {
        turned(
            page,
            &format!("joins part {}", number(column - 1, row)),
            Point::new(area.x0 - 1.4, middle.y),
            kind,
        );
    }
    if column + 1 < grid.columns {
        turned(
            page,
            &format!("joins part {}", number(column + 1, row)),
            Point::new(area.x1 + 3.8, middle.y),
            kind,
        );
    }
    if row > 0 {
        let text = format!("joins part {}", number(column, row - 1));
        page.write_as(&text, middle.x, area.y0 - 1.4, kind, Anchor::Middle);
    }
    if row + 1 < grid.rows {
        let text = format!("joins part {}", number(column, row + 1));
        page.write_as(&text, middle.x, area.y1 + 3.8, kind, Anchor::Middle);
    }
}

/// Writes upwards.
fn turned(page: &mut Page, text: &str, at: Point, kind: Type) {
    page.marks.push(Mark::Text {
        text: text.to_owned(),
        at,
        anchor: Anchor::Middle,
        size: kind.size,
        bold: kind.bold,
        colour: kind.colour,
        turn: 90.0,
    });
}

/// A, B … Z, AA, AB …
fn letters(index: usize) -> String {
    let mut name = Vec::new();
    let mut rest = index + 1;
    while rest > 0 {
        rest -= 1;
        name.push(char::from(b'A' + (rest % 26) as u8));
        rest /= 26;
    }
    name.iter().rev().collect()
}

/// A cross in a ring with its name: laid on its like, two prints fit.
fn cross(page: &mut Page, at: Point, name: &str) {
    const ARM: f64 = 4.5;
    page.shape(&kurbo::Circle::new(at, 2.2), None, Some((Rgb::PAPER, 1.0)));
    for (dx, dy) in [(ARM, 0.0), (0.0, ARM)] {
        page.line((at.x - dx, at.y - dy), (at.x + dx, at.y + dy), 1.0, Rgb::PAPER);
        page.line((at.x - dx, at.y - dy), (at.x + dx, at.y + dy), 0.35, Rgb::INK);
    }
    page.shape(&kurbo::Circle::new(at, 2.2), None, Some((Rgb::INK, 0.35)));
    let kind = Type::bold(3.2);
    let width = kind.width(name) + 0.8;
    page.rect(Rect::new(at.x + 1.9, at.y - 4.9, at.x + 1.9 + width, at.y - 1.3), Some(Rgb::PAPER), None);
    page.write(name, at.x + 2.3, at.y - 1.9, kind);
}

/// A small chart of the parts at the head, this one dark.
fn put_key(page: &mut Page, grid: &Grid, (column, row): (usize, usize)) {
    let cell = (18.0 / grid.columns.max(1) as f64).min(11.0 / grid.rows.max(1) as f64).min(6.0);
    let (x, y) = (page.width - MARGIN - cell * grid.columns as f64, MARGIN);
    for j in 0..grid.rows {
        for i in 0..grid.columns {
            let area =
                Rect::new(0.0, 0.0, cell, cell) + kurbo::Vec2::new(x + cell * i as f64, y + cell * j as f64);
            let fill = ((i, j) == (column, row)).then_some(Rgb::INK);
            page.rect(area, fill, Some((Rgb::INK, 0.18)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::small_house;

    fn crosses(page: &Page) -> Vec<(String, Point)> {
        let is_name = |text: &str| text.len() == 2 && text.bytes().any(|b| b.is_ascii_uppercase());
        let named = page.marks.iter().filter_map(|mark| match mark {
            Mark::Text { text, at, .. } if is_name(text) => Some((text.clone(), *at)),
            _ => None,
        });
        named.collect()
    }

    #[test]
    fn a_cross_marks_the_same_point_of_the_floor_on_both_pages() {
        // 4000 × 3000 mm at 1:10 are 400 × 300 mm: more than one sheet of A4 either way.
        let house = small_house("Hut");
        let pages = tiles(&house, Paper::A4, Some(10.0), 25.0);
        let drawing = floor_drawing(&house, &Options::laying(10.0, house.plan.units));
        let extent = extent(&drawing, 10.0);
        let grid = Grid::of(Paper::A4, 10.0, (extent.width(), extent.height()));
        assert_eq!(pages.len(), grid.count());
        assert!(pages.len() >= 4, "{}", pages.len());
        let step = grid.step;
        let mut seen: Vec<(String, Point)> = Vec::new();
        let mut met = 0;
        for (i, page) in pages.iter().enumerate() {
            let (column, row) = ((i % grid.columns) as f64, (i / grid.columns) as f64);
            for (name, at) in crosses(page) {
                // Back to the whole drawing's millimetres.
                let on_floor = Point::new(at.x + column * step.0, at.y + row * step.1);
                match seen.iter().find(|(known, _)| *known == name) {
                    Some((_, known)) => {
                        assert!((*known - on_floor).hypot() < 1e-9, "{name}: {known:?} {on_floor:?}");
                        met += 1;
                    }
                    None => seen.push((name, on_floor)),
                }
            }
        }
        assert_eq!(met, seen.len(), "each cross stands on two pages: {seen:?}");
    }

    #[test]
    fn all_parts_together_show_every_board() {
        let house = small_house("Hut");
        let mut shown: Vec<String> = Vec::new();
        for page in tiles(&house, Paper::A4, Some(10.0), 25.0) {
            for mark in &page.marks {
                let Mark::Within { area, marks } = mark else { continue };
                assert!(area.x1 <= page.width - MARGIN && area.y1 <= page.height - flow::FOOT);
                shown.extend(marks.iter().filter_map(|mark| match mark {
                    Mark::Path { id: Some(id), .. } if id.starts_with("board-") => Some(id.clone()),
                    _ => None,
                }));
            }
        }
        shown.sort();
        shown.dedup();
        assert_eq!(shown.len(), house.floor.boards.len());
    }

    #[test]
    fn a_scale_that_would_take_a_thousand_pages_is_made_smaller_and_said() {
        let house = small_house("Hut");
        let pages = tiles(&house, Paper::A4, Some(0.5), 25.0);
        assert!((1..=MOST).contains(&pages.len()), "{}", pages.len());
        let says = |page: &Page| {
            page.marks
                .iter()
                .any(|mark| matches!(mark, Mark::Text { text, .. } if text.contains("too many pages")))
        };
        assert!(pages.iter().all(says));
        for odd in [0.0, -5.0, f64::NAN, f64::INFINITY] {
            assert!(tiles(&house, Paper::A4, Some(odd), 25.0).len() <= MOST);
        }
    }

    #[test]
    fn seams_are_lettered_like_columns_of_a_sheet() {
        assert_eq!([0, 25, 26, 51, 52].map(letters), ["A", "Z", "AA", "AZ", "BA"]);
    }
}
