//! One notched board, measured from its factory edges.

use crate::geometry::{closed, contains, open};
use crate::place::Taken;
use crate::{Anchor, Drawing, Label, Options, Role, rough_width};
use kurbo::{BezPath, Point, Vec2};
use order::Notch;
use pipeline::House;
use plan::{Units, format_length};

/// Type size of the measures on paper, mm: larger than a dimension's, for they are worked from.
const FIGURE: f64 = 3.8;

/// Measures closer than this count as one, mm.
const SAME: f64 = 1.0;

/// Draws one board of the saw list in its own frame: left end 0, groove side 0, tongue on top. What is
/// sawn off is hatched; measures run from a factory end below the board and from a factory edge at its
/// right. Of the options only scale and units count. A board the floor does not hold gives an empty drawing.
pub fn board_drawing(house: &House, notch: &Notch, options: &Options) -> Drawing {
    let mut drawing = Drawing::default();
    let Some(board) = house.floor.boards.get(notch.board) else { return drawing };
    let scale = if options.scale > 0.0 && options.scale.is_finite() { options.scale } else { 20.0 };
    let (length, pitch) = (board.length(), house.floor.pitch);
    let point = |p: &(f64, f64)| Point::new(p.0, p.1);
    let over = board.lean * pitch;
    let blank = [(0.0, 0.0), (length, 0.0), (length + over, pitch), (over, pitch)];
    drawing.path(Role::Waste, closed(blank.iter().map(point)));
    let hatch_of: Vec<&[(f64, f64)]> = std::iter::once(blank.as_slice())
        .chain(std::iter::once(notch.outline.as_slice()))
        .chain(notch.holes.iter().map(Vec::as_slice))
        .collect();
    drawing.path(Role::Hatch, hatch(&hatch_of, 1.6 * scale));
    let mut sawn = closed(notch.outline.iter().map(point));
    for hole in &notch.holes {
        sawn.extend(closed(hole.iter().map(point)));
    }
    drawing.board(Role::SawnBoard, notch.board, sawn);
    if reach(&notch.outline, pitch) > 0.0 {
        let lip = 0.9 * scale;
        for (from, to) in touching(&notch.outline, pitch) {
            let tongue = [(from, pitch), (to, pitch), (to, pitch + lip), (from, pitch + lip)];
            drawing.path(Role::Tongue, closed(tongue.iter().map(point)));
        }
    }
    let all = || notch.outline.iter().chain(notch.holes.iter().flatten());
    let from = MeasuredFrom::of(house, notch);
    let along = distinct(all().map(|p| p.0));
    measures_along(&mut drawing, &along, (length, from.right), (options, scale), |mm| {
        marked(notch.marked(&house.floor, mm), options.units)
    });
    measures_across(
        &mut drawing,
        &distinct(all().map(|p| p.1)),
        (length, pitch),
        from.groove,
        options,
        scale,
    );
    name_sides(&mut drawing, notch, (length, pitch), scale);
    drawing
}

/// Names the tongue's side and the groove's inside the board, where they are left of it and stand clear.
fn name_sides(drawing: &mut Drawing, notch: &Notch, (length, pitch): (f64, f64), scale: f64) {
    let outline: Vec<Point> = notch.outline.iter().map(|p| Point::new(p.0, p.1)).collect();
    let mut taken = Taken::new(scale);
    for (word, y, inwards) in [("tongue", pitch, -1.0), ("groove", 0.0, 1.0)] {
        let label = Label { size: 2.8, ..Label::new(Role::Note, word, Point::ZERO) };
        let half = (rough_width(word, label.size) / 2.0 + 0.8) * scale;
        let high = (label.size * 0.5 + 1.0) * scale;
        let middle = y + inwards * high;
        let stretches = touching(&notch.outline, y);
        let longest = stretches.iter().max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
        let Some((from, to)) = longest.filter(|(from, to)| to - from > 2.0 * half) else { continue };
        let spots = [(from + to) / 2.0, from + half, to - half];
        // The writing's corners and middle must all lie on wood.
        let is_clear = |x: f64| {
            [-half, 0.0, half].iter().all(|dx| {
                [-high * 0.7, high * 0.7].iter().all(|dy| {
                    (0.0..=length).contains(&(x + dx)) && contains(&outline, Point::new(x + dx, middle + dy))
                })
            })
        };
        // On a narrow board the two stand beside one another.
        let places = spots.into_iter().filter(|x| is_clear(*x));
        let places = places.map(|x| Label { at: Point::new(x, middle), ..label.clone() });
        if let Some(label) = taken.first_free(places) {
            drawing.label(label);
        }
    }
}

/// Where a notched board's measures begin: a factory end if it has one, and the long edge the factory made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MeasuredFrom {
    /// Whether lengths count from the right end; from the left one otherwise.
    pub right: bool,
    /// Whether that end is the factory's.
    pub factory: bool,
    /// Whether widths count from the groove edge; from the tongue edge otherwise.
    pub groove: bool,
}

impl MeasuredFrom {
    /// Where the measures of a notched board begin.
    pub fn of(house: &House, notch: &Notch) -> Self {
        let pitch = house.floor.pitch;
        let is_factory = |end: fn(&lay::Board) -> lay::End| {
            house.floor.boards.get(notch.board).is_some_and(|board| end(board) == lay::End::Factory)
        };
        let (left, right) = (is_factory(|board| board.left_end), is_factory(|board| board.right_end));
        Self {
            right: right && !left,
            factory: left || right,
            groove: reach(&notch.outline, 0.0) >= reach(&notch.outline, pitch),
        }
    }

    /// The end in words.
    pub fn end_words(self) -> &'static str {
        match (self.right, self.factory) {
            (true, _) => "right end (factory)",
            (false, true) => "left end (factory)",
            (false, false) => "left end (sawn)",
        }
    }

    /// The long edge in words.
    pub fn side_words(self) -> &'static str {
        if self.groove { "groove edge" } else { "tongue edge" }
    }
}

/// The lines' ends along the board: a tick and a figure for each, from the end they count from.
fn measures_along(
    drawing: &mut Drawing,
    at: &[f64],
    (length, from_right): (f64, bool),
    (options, scale): (&Options, f64),
    told: impl Fn(f64) -> f64,
) {
    let base = -3.0 * scale;
    drawing.path(Role::Dimension, open([Point::new(0.0, base), Point::new(length, base)]));
    // Figures that would touch go down a line.
    let mut ends: Vec<f64> = Vec::new();
    let zero = if from_right { length } else { 0.0 };
    let mut zeros: Vec<f64> = at.iter().copied().filter(|x| (*x - zero).abs() > SAME).collect();
    zeros.push(zero);
    zeros.sort_by(f64::total_cmp);
    for x in zeros {
        let text = format_length(told((x - zero).abs()), options.units);
        let mut label = Label::new(Role::Dimension, text, Point::new(x, base));
        label.size = FIGURE;
        let half = rough_width(&label.text, label.size) / 2.0 + 0.8;
        let row = ends.iter().position(|end| x / scale - half > *end).unwrap_or(ends.len());
        match ends.get_mut(row) {
            Some(end) => *end = x / scale + half,
            None => ends.push(x / scale + half),
        }
        let drop = 3.2 + 4.1 * row as f64;
        label.shift = Vec2::new(0.0, -drop);
        drawing.path(
            Role::Dimension,
            open([Point::new(x, base + 1.4 * scale), Point::new(x, base - 0.9 * scale)]),
        );
        drawing.label(label);
    }
}

/// The levels across the board: a tick and a figure for each, from the edge that keeps its profile.
fn measures_across(
    drawing: &mut Drawing,
    at: &[f64],
    (length, pitch): (f64, f64),
    from_groove: bool,
    options: &Options,
    scale: f64,
) {
    let base = length + 3.0 * scale;
    let zero = if from_groove { 0.0 } else { pitch };
    drawing.path(Role::Dimension, open([Point::new(base, 0.0), Point::new(base, pitch)]));
    let mut levels: Vec<f64> = at.iter().copied().filter(|y| (*y - zero).abs() > SAME).collect();
    levels.insert(0, zero);
    levels.sort_by(f64::total_cmp);
    let mut free_above = f64::NEG_INFINITY;
    for y in levels {
        let mut label = Label::new(
            Role::Dimension,
            format_length(marked((y - zero).abs(), options.units), options.units),
            Point::new(base, y),
        );
        label.anchor = Anchor::Start;
        label.size = FIGURE;
        // Figures climb where levels lie closer than the type is high.
        let stand = (y / scale).max(free_above + label.size * 1.02);
        free_above = stand;
        label.shift = Vec2::new(1.8, stand - y / scale);
        drawing.path(
            Role::Dimension,
            open([Point::new(base - 0.9 * scale, y), Point::new(base + 0.9 * scale, y)]),
        );
        drawing.label(label);
    }
}

/// Whole millimetres: a board is marked with a pencil.
fn marked(length: f64, units: Units) -> f64 {
    match units {
        Units::Metric => plan::nearest_whole(length),
        Units::FeetInches => length,
    }
}

/// Values in order, those within [`SAME`] of one another once.
fn distinct(values: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut all: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    all.sort_by(f64::total_cmp);
    all.dedup_by(|b, a| *b - *a < SAME);
    all
}

/// Stretches of the outline that lie on the line `y`, as (from, to).
fn touching(outline: &[(f64, f64)], y: f64) -> Vec<(f64, f64)> {
    let next = outline.iter().cycle().skip(1);
    outline
        .iter()
        .zip(next)
        .filter(|(a, b)| (a.1 - y).abs() < SAME && (b.1 - y).abs() < SAME)
        .map(|(a, b)| (a.0.min(b.0), a.0.max(b.0)))
        .collect()
}

/// How much of the outline lies on the line `y`, mm.
fn reach(outline: &[(f64, f64)], y: f64) -> f64 {
    touching(outline, y).iter().map(|(from, to)| to - from).sum()
}

/// Lines at 45° over the even-odd inside of rings, `spacing` apart across the page.
pub(crate) fn hatch(rings: &[&[(f64, f64)]], spacing: f64) -> BezPath {
    let sides: Vec<((f64, f64), (f64, f64))> = rings
        .iter()
        .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| (*a, *b)))
        .collect();
    let key = |p: (f64, f64)| p.0 - p.1;
    let least = sides.iter().map(|(a, _)| key(*a)).fold(f64::INFINITY, f64::min);
    let most = sides.iter().map(|(a, _)| key(*a)).fold(f64::NEG_INFINITY, f64::max);
    let mut path = BezPath::new();
    if !(least.is_finite() && spacing > 0.0) {
        return path;
    }
    let count = ((most - least) / spacing).clamp(0.0, 5000.0) as usize;
    for i in 0..count {
        // Half a step off keeps lines from running along a corner.
        let k = least + (i as f64 + 0.5) * spacing;
        let mut crossings: Vec<(f64, f64)> = sides
            .iter()
            .filter(|(a, b)| (key(*a) > k) != (key(*b) > k))
            .map(|(a, b)| {
                let t = (k - key(*a)) / (key(*b) - key(*a));
                (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t)
            })
            .collect();
        crossings.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in crossings.chunks_exact(2) {
            // A side shared by blank and board gives a pair of no length.
            if pair[1].0 - pair[0].0 > 1e-6 {
                path.move_to(pair[0]);
                path.line_to(pair[1]);
            }
        }
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatching_covers_the_waste_only() {
        let blank = [(0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0)];
        let kept = [(0.0, 0.0), (60.0, 0.0), (60.0, 50.0), (0.0, 50.0)];
        let lines = hatch(&[&blank, &kept], 2.0);
        let bounds = kurbo::Shape::bounding_box(&lines);
        assert!(bounds.x0 >= 60.0 - 1e-9 && bounds.x1 <= 100.0 + 1e-9, "{bounds:?}");
        // Area by the lines: each stands for a strip `spacing` wide along x, so length/√2 · spacing.
        let run: f64 = lines.segments().map(|s| kurbo::ParamCurveArclen::arclen(&s, 1e-6)).sum();
        assert!((run / std::f64::consts::SQRT_2 * 2.0 - 40.0 * 50.0).abs() < 60.0, "{run}");
    }
}
