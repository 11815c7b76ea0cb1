//! Where words find room beside the curve, the marks and one another.

use egui::{Pos2, Rangef, Rect};

/// Between the mark's line and other words, points.
pub(super) const MARK_FREE: f32 = 8.0;

/// Whether a line through points runs through an area.
pub(super) fn is_struck(line: &[Pos2], area: Rect) -> bool {
    line.windows(2).any(|ends| {
        let (a, b) = (ends[0], ends[1]);
        // The part of the way within its width, and that within its height: where they have something in common it is met.
        let (mut from, mut to) = (0.0_f32, 1.0_f32);
        for (start, by, range) in [(a.x, b.x - a.x, area.x_range()), (a.y, b.y - a.y, area.y_range())] {
            if by.abs() < 1e-6 {
                if !range.contains(start) {
                    return false;
                }
                continue;
            }
            let ends = [(range.min - start) / by, (range.max - start) / by];
            (from, to) = (from.max(ends[0].min(ends[1])), to.min(ends[0].max(ends[1])));
        }
        from <= to
    })
}

/// Where words so wide to either side of their middle stand so that the mark's line does not go through them: on the side where
/// they move less, where they have room on it.
pub(super) fn beside_mark(x: f32, half: f32, mark: f32, strip: Rangef) -> f32 {
    let far = half + MARK_FREE;
    if (x - mark).abs() >= far {
        return x;
    }
    let places = [mark - far, mark + far].into_iter();
    let has_room = |place: &f32| *place - half >= strip.min && *place + half <= strip.max;
    places.filter(has_room).min_by(|a, b| (a - x).abs().total_cmp(&(b - x).abs())).unwrap_or(x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    /// Words 80 wide on a strip from 0 to 400, 8 from the mark, by hand: far from the mark they stay, near it they move to its nearer side, and
    /// where that side has no room to the other.
    #[test]
    fn words_stand_beside_the_mark() {
        let placed = |x: f32, mark: f32| beside_mark(x, 40.0, mark, Rangef::new(0.0, 400.0));
        assert_eq!(placed(200.0, 300.0), 200.0);
        assert_eq!(placed(200.0, 210.0), 162.0);
        assert_eq!(placed(200.0, 190.0), 238.0);
        assert_eq!(placed(40.0, 50.0), 98.0);
        assert_eq!(beside_mark(30.0, 40.0, 30.0, Rangef::new(0.0, 60.0)), 30.0, "no room on either side");
    }

    /// A slope from (0, 0) to (100, 50) and a step down to 0 there, by hand: at 40 it lies at 20, at 100 anywhere from 0 to 50.
    #[test]
    fn words_that_a_curve_runs_through_are_told() {
        let line = [pos2(0.0, 0.0), pos2(100.0, 50.0), pos2(100.0, 0.0), pos2(200.0, 0.0)];
        let at = |x: f32, y: f32| Rect::from_center_size(pos2(x, y), egui::vec2(10.0, 6.0));
        assert!(is_struck(&line, at(40.0, 20.0)) && is_struck(&line, at(100.0, 30.0)));
        assert!(is_struck(&line, at(150.0, 1.0)));
        for (x, y) in [(40.0, 28.0), (40.0, 12.0), (150.0, 10.0), (110.0, 30.0), (210.0, 0.0)] {
            assert!(!is_struck(&line, at(x, y)), "{x} {y}");
        }
    }
}
