//! The labels of boards: each on its board, clear of what is drawn over it and of its neighbours' labels.

use crate::cells::Cells;
use crate::floor::lies_in;
use crate::geometry::{at, readable_turn};
use crate::place::Taken;
use crate::{Drawing, Label, Options, Role, rough_width};
use kurbo::{Point, Rect, Vec2};
use lay::Board;
use pipeline::House;

/// Labels of two rows keep so far apart, paper mm: nearer, two read as one.
const APART: f64 = 0.4;
/// Where there is no such place, they may stand so near.
const CLOSE: f64 = 0.25;
/// From the tails of letters to the tops of capitals, in their size.
const LETTERS: f64 = 0.85;

/// Labels that stand already, in rows' coordinates and paper mm.
#[derive(Default)]
struct Written(Cells<Rect>);

impl Written {
    fn is_clear(&self, area: Rect, apart: f64) -> bool {
        let area = area.inflate(0.0, apart);
        self.0.near(area).all(|(_, other)| {
            let common = area.intersect(*other);
            common.width() <= 0.0 || common.height() <= 0.0
        })
    }
}

/// A ring of a board in the board's own places, along it and across.
fn own_ring(board: &Board, ring: &[site::Uv]) -> Vec<Point> {
    ring.iter().map(|uv| Point::from(board.place(*uv))).collect()
}

/// Where a board's label may be sought.
#[derive(Clone, Copy)]
struct Search {
    /// Its size as a part of what the board has room for.
    part: f64,
    /// Whether what is drawn over the board must not hide it.
    is_seen: bool,
    /// Least distance from the labels of other rows, paper mm.
    apart: f64,
}

/// Places a label on every board that has room for one.
pub(crate) fn place(drawing: &Drawing, house: &House, options: &Options, taken: &Taken) -> Vec<Label> {
    let frame = &house.site.frame;
    // On paper walls, leaves and fixtures are drawn over the boards for good: a label across their sides is half hidden.
    let mut over = Taken::new(options.scale);
    if options.leaders {
        over.take_drawn(drawing);
    }
    let mut written = Written::default();
    let mut labels = Vec::new();
    for (i, board) in house.floor.boards.iter().enumerate() {
        let along = frame.plan_from_row(board.along);
        let turn = readable_turn(along.x, along.y);
        let spread = |places: &dyn Fn(&site::Uv) -> f64| {
            let all = board.outline.outer.iter().map(places);
            all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p), high.max(p)))
        };
        let (low, high) = spread(&|p| board.place(*p).1);
        let (left, right) = spread(&|p| board.place(*p).0);
        let length = right - left;
        let height = (high - low) / options.scale;
        let size = Role::BoardLabel.type_size().min(height * 0.66);
        let laid = format!("{} laid", board.label);
        let is_laid = house.floor.is_laid(i) && rough_width(&laid, size) + 0.6 <= length / options.scale;
        let text = if is_laid { laid } else { board.label.clone() };
        let width = rough_width(&text, size) + 0.6;
        // Writing under a millimetre high helps nobody.
        if !size.is_finite() || size < 1.0 || width > length / options.scale {
            continue;
        }
        // A point or a notched board has room for writing only where all of it lies on the board.
        let is_whole = board.area > 0.98 * length * (high - low);
        let rings: Vec<Vec<Point>> = match is_whole {
            true => Vec::new(),
            false => board.outline.rings().map(|ring| own_ring(board, ring)).collect(),
        };
        let middle = f64::midpoint(low, high);
        let slack = (length / options.scale - width) / (length / options.scale);
        // Blocks lie each their own way, so that theirs are not told apart by rows.
        let in_rows = |u: f64, v: f64, part: f64| {
            let p = board.at(u, v);
            let middle = (p.u / options.scale, p.v / options.scale);
            (!board.is_block()).then(|| Rect::from_center_size(middle, (part * width, part * LETTERS * size)))
        };
        let label = |drop: f64, t: f64, search: Search| {
            let Search { part, is_seen, apart } = search;
            let (u, v) = (f64::midpoint(left, right) + t * slack * length, middle + drop * (high - low));
            let area = Vec2::new(width, 0.8 * size) * (part * options.scale);
            if !is_whole && !lies_in(&rings, Rect::from_center_size((u, v), area.to_size())) {
                return None;
            }
            let own_area = in_rows(u, v, part);
            if own_area.is_some_and(|area| !written.is_clear(area, apart)) {
                return None;
            }
            let at = at(frame.plan_from_row(board.at(u, v)));
            let own = Label::new(Role::BoardLabel, text.clone(), at);
            let own = Label { size: part * size, turn, subject: Some(i), ..own };
            let area = taken.box_of(&own);
            let is_free = taken.is_free(area) && !(is_seen && over.hidden_by(area, false) > 0.0);
            is_free.then_some((own, own_area))
        };
        let along = |drop: f64, search: Search| {
            [0.0, -0.3, 0.3, -0.48, 0.48].into_iter().find_map(|t| label(drop, t, search))
        };
        let across = |search: Search| {
            let drops = [0.0, -0.16, 0.16, -0.28, 0.28];
            drops.into_iter().find_map(|drop| along(drop, search))
        };
        let parts = |is_seen: bool, apart: f64| {
            let parts = [1.0, 0.8].into_iter().filter(|part| part * size >= 1.0);
            parts.map(move |part| Search { part, is_seen, apart })
        };
        let found = parts(true, APART).find_map(across).or_else(|| match is_whole {
            true => along(0.0, Search { part: 1.0, is_seen: false, apart: APART }),
            false => parts(false, APART).find_map(across),
        });
        let found = found.or_else(|| parts(true, CLOSE).find_map(across));
        if let Some((label, area)) = found {
            if let Some(area) = area {
                written.0.add(area, area);
            }
            labels.push(label);
        }
    }
    labels
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::floor_drawing;
    use plan::Units;

    /// On no sample, at no scale, do labels of two rows stand nearer than they may where rows run across or up the page, read by
    /// their own boxes from tails to capitals; hardly any stands nearer than it should.
    #[test]
    fn labels_of_two_rows_keep_apart() {
        for name in ["hazel-court", "quince-row", "tern-point", "reed-cottage", "dunlin-flat", "one-room"] {
            let path = format!("{}/../../sample-plans/{name}.ron", env!("CARGO_MANIFEST_DIR"));
            let text = std::fs::read_to_string(path).expect("a sample");
            let house = pipeline::run(&plan::read(&text).expect("it reads")).expect("it is sound");
            for scale in [50.0, 75.0, 100.0] {
                let drawing = floor_drawing(&house, &Options::laying(scale, Units::Metric));
                let labels: Vec<&Label> = drawing
                    .labels()
                    .filter(|label| label.role == Role::BoardLabel)
                    .filter(|label| label.turn.abs() < 1.0 || (label.turn.abs() - 90.0).abs() < 1.0)
                    .collect();
                let boxes: Vec<Rect> = labels
                    .iter()
                    .map(|label| {
                        let (width, high) = (rough_width(&label.text, label.size), LETTERS * label.size);
                        let size = if label.turn.abs() < 1.0 { (width, high) } else { (high, width) };
                        Rect::from_center_size((label.at.to_vec2() / scale).to_point(), size)
                    })
                    .collect();
                let mut close = 0;
                for (i, a) in boxes.iter().enumerate() {
                    for (j, b) in boxes.iter().enumerate().skip(i + 1) {
                        let (x, y) = (a.x0.max(b.x0) - a.x1.min(b.x1), a.y0.max(b.y0) - a.y1.min(b.y1));
                        let across = if labels[i].turn.abs() < 1.0 { (x, y) } else { (y, x) };
                        let what = || format!("{name} 1:{scale}: {} and {}", labels[i].text, labels[j].text);
                        assert!(across.0 > 0.0 || across.1 > CLOSE - 1e-6, "{}", what());
                        close += usize::from(across.0 < 0.0 && across.1 < APART - 1e-6);
                    }
                }
                assert!(close * 100 <= boxes.len(), "{name} 1:{scale}: {close} of {}", boxes.len());
            }
        }
    }
}
