//! Things on the paper filed by where they lie, so that only those nearby are looked at.

use kurbo::{Line, Rect};
use std::collections::BTreeMap;

/// Side of a cell, paper mm: about as wide as a figure with its plate.
const SIDE: f64 = 8.0;
/// What would fill more cells than this is looked at each time instead.
const MOST: i64 = 4000;

/// Things in square cells.
#[derive(Debug, Clone)]
pub(crate) struct Cells<T> {
    of: BTreeMap<(i32, i32), Vec<T>>,
    large: Vec<T>,
}

impl<T> Default for Cells<T> {
    fn default() -> Self {
        Self { of: BTreeMap::new(), large: Vec::new() }
    }
}

impl<T: Copy> Cells<T> {
    /// Files a thing under every cell that its bounds meet.
    pub(crate) fn add(&mut self, bounds: Rect, thing: T) {
        let (x, y) = span(bounds);
        if (i64::from(x.1) - i64::from(x.0) + 1).saturating_mul(i64::from(y.1) - i64::from(y.0) + 1) > MOST {
            self.large.push(thing);
            return;
        }
        for column in x.0..=x.1 {
            for row in y.0..=y.1 {
                self.of.entry((column, row)).or_default().push(thing);
            }
        }
    }

    /// What lies in the cells that an area meets, each with its cell: a thing comes once for each of its cells.
    pub(crate) fn near(&self, area: Rect) -> impl Iterator<Item = (Rect, &T)> {
        let (x, y) = span(area);
        let everywhere = Rect::new(f64::NEG_INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::INFINITY);
        let columns = (x.0..=x.1).flat_map(move |column| self.of.range((column, y.0)..=(column, y.1)));
        let filed = columns.flat_map(|(&(column, row), things)| {
            let corner = (f64::from(column) * SIDE, f64::from(row) * SIDE);
            let cell = Rect::new(corner.0, corner.1, corner.0 + SIDE, corner.1 + SIDE);
            things.iter().map(move |thing| (cell, thing))
        });
        filed.chain(self.large.iter().map(move |thing| (everywhere, thing)))
    }
}

/// First and last column and row of the cells that an area meets.
fn span(area: Rect) -> ((i32, i32), (i32, i32)) {
    // The cast holds what no paper reaches at the ends of its range.
    let cell = |mm: f64| (mm / SIDE).floor() as i32;
    ((cell(area.x0), cell(area.x1)), (cell(area.y0), cell(area.y1)))
}

/// Length of a line within an area (Liang and Barsky's clipping, ACM Transactions on Graphics 3, 1984; from memory).
pub(crate) fn length_within(line: Line, area: Rect) -> f64 {
    if area.width() <= 0.0 || area.height() <= 0.0 {
        return 0.0;
    }
    let along = line.p1 - line.p0;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let sides = [
        (-along.x, line.p0.x - area.x0),
        (along.x, area.x1 - line.p0.x),
        (-along.y, line.p0.y - area.y0),
        (along.y, area.y1 - line.p0.y),
    ];
    for (step, room) in sides {
        if step == 0.0 {
            if room < 0.0 {
                return 0.0;
            }
        } else if step < 0.0 {
            from = from.max(room / step);
        } else {
            to = to.min(room / step);
        }
    }
    (to - from).max(0.0) * libm::sqrt(along.hypot2())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_measured_within_an_area_and_over_its_cells_once() {
        let area = Rect::new(0.0, 0.0, 3.0, 4.0);
        // From corner to corner of 3 by 4, and well past both: 5 within.
        let line = Line::new((-3.0, -4.0), (6.0, 8.0));
        assert!((length_within(line, area) - 5.0).abs() < 1e-12);
        assert_eq!(length_within(Line::new((-1.0, -1.0), (-1.0, 5.0)), area), 0.0);
        let mut cells = Cells::default();
        let long = Line::new((-20.0, 1.0), (50.0, 1.0));
        cells.add(Rect::from_points(long.p0, long.p1), long);
        let area = Rect::new(-15.0, 0.0, 40.0, 2.0);
        let sum: f64 = cells.near(area).map(|(cell, line)| length_within(*line, cell.intersect(area))).sum();
        assert!((sum - 55.0).abs() < 1e-9, "{sum}");
    }

    #[test]
    fn what_is_far_too_large_is_still_found() {
        let mut cells = Cells::default();
        let whole = Rect::new(-1e9, -1e9, 1e9, 1e9);
        cells.add(whole, 7);
        cells.add(Rect::new(0.0, 0.0, 1.0, 1.0), 8);
        let found = |area: Rect| cells.near(area).map(|(_, thing)| *thing).collect::<Vec<_>>();
        assert_eq!(found(Rect::new(5e6, 5e6, 5e6, 5e6)), [7]);
        assert_eq!(found(Rect::new(0.5, 0.5, 0.6, 0.6)), [8, 7]);
    }
}
