//! Rectangles that lie side by side made into few: a large floor seen from afar is one colour.

use plan::Point;

/// What lies nearer than this is side by side, mm: rounding must not keep boards apart, a gap must.
const TOUCH: f64 = 0.5;

/// The same ground in fewer pieces. Upright rectangles whose sides meet along their whole length become one; anything else
/// stays as it is.
pub(super) fn merge(quads: impl Iterator<Item = [Point; 4]>) -> Vec<[Point; 4]> {
    let (upright, mut others): (Vec<_>, Vec<_>) = quads.partition(is_upright);
    let mut boxes: Vec<Box> = upright.iter().map(Box::of).collect();
    // Along rows that run across the page, then what lies one over the other; once more for rows up the page.
    for turn in 0..3 {
        boxes = joined(boxes, turn % 2 == 1);
    }
    others.extend(boxes.iter().map(Box::corners));
    others
}

/// An upright rectangle: from and to, across and up, mm.
#[derive(Debug, Clone, Copy)]
struct Box {
    x: [f64; 2],
    y: [f64; 2],
}

impl Box {
    fn of(quad: &[Point; 4]) -> Self {
        let ends = |of: fn(&Point) -> f64| {
            let all = || quad.iter().map(of);
            [all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max)]
        };
        Self { x: ends(|p| p.x), y: ends(|p| p.y) }
    }

    fn corners(&self) -> [Point; 4] {
        let ([left, right], [low, high]) = (self.x, self.y);
        [(left, low), (right, low), (right, high), (left, high)].map(Point::from)
    }

    /// Along which it is joined with others, and the ends that must be alike.
    fn parts(&self, up: bool) -> ([f64; 2], [f64; 2]) {
        if up { (self.y, self.x) } else { (self.x, self.y) }
    }
}

fn is_upright(quad: &[Point; 4]) -> bool {
    let [a, b, c, d] = quad;
    let alike = |a: f64, b: f64| (a - b).abs() < 0.01;
    alike(a.y, b.y) && alike(c.y, d.y) && alike(a.x, d.x) && alike(b.x, c.x)
}

/// Boxes one after the other in one line made into one.
fn joined(mut boxes: Vec<Box>, up: bool) -> Vec<Box> {
    // Hundredths of a millimetre: what is told apart by less is one line.
    let step = |mm: f64| (mm * 100.0).round() as i64;
    boxes.sort_by(|one, other| {
        let ((one_along, one_ends), (other_along, other_ends)) = (one.parts(up), other.parts(up));
        one_ends.map(step).cmp(&other_ends.map(step)).then(one_along[0].total_cmp(&other_along[0]))
    });
    let mut made: Vec<Box> = Vec::new();
    for next in boxes {
        let (along, ends) = next.parts(up);
        let last = made.last_mut().filter(|last| {
            let (before, its_ends) = last.parts(up);
            its_ends.map(step) == ends.map(step) && (along[0] - before[1]).abs() < TOUCH
        });
        match last {
            Some(last) => {
                let of = if up { &mut last.y } else { &mut last.x };
                of[1] = along[1];
            }
            None => made.push(next),
        }
    }
    made
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(quads: &[[Point; 4]]) -> f64 {
        quads.iter().map(|quad| crate::geometry::area(quad.iter().copied())).sum()
    }

    fn quad(x: f64, y: f64, w: f64, h: f64) -> [Point; 4] {
        [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from)
    }

    #[test]
    fn staggered_rows_become_one_piece() {
        // Ten rows of 6000: joints at other places in each.
        let mut floor = Vec::new();
        for row in 0..10 {
            let joint = 700.0 + 413.0 * f64::from(row);
            let y = 190.0 * f64::from(row);
            floor.extend([quad(0.0, y, joint, 190.0), quad(joint, y, 6000.0 - joint, 190.0)]);
        }
        let across = merge(floor.iter().copied());
        assert_eq!(across.len(), 1);
        assert!((area(&across) - area(&floor)).abs() < 1.0);
        // Rows up the page.
        let turned: Vec<[Point; 4]> =
            floor.iter().map(|[a, b, c, d]| [a, d, c, b].map(|p| Point::new(p.y, p.x))).collect();
        assert_eq!(merge(turned.into_iter()).len(), 1);
    }

    #[test]
    fn what_stands_between_stays_open_and_slanting_boards_as_they_are() {
        let slant = [(0.0, 0.0), (1000.0, 100.0), (1000.0, 290.0), (0.0, 190.0)].map(Point::from);
        let apart = [quad(0.0, 500.0, 800.0, 190.0), quad(810.0, 500.0, 800.0, 190.0), slant];
        let merged = merge(apart.iter().copied());
        assert_eq!(merged.len(), 3);
        assert!((area(&merged) - area(&apart)).abs() < 1e-6);
    }
}
