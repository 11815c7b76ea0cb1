//! How wide a board's outline is along its length, piece by piece.

use crate::slice::sides as ring_sides;
use site::Uv;
use smallvec::SmallVec;

/// Sides steeper than this against the measured direction end a board; they do not narrow it.
const SIDE_SLOPE: f64 = 0.1;
/// Stretches shorter than this are corners, not legs, mm.
const SHORTEST: f64 = 2.0;

/// A stretch of an outline between two sides that run along it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Strip {
    /// Where it begins and ends along the outline.
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// Width at its narrower end, mm.
    pub(crate) least: f64,
    /// Width at its wider end, mm.
    pub(crate) greatest: f64,
    /// Middle of the strip across, where a flag points.
    pub(crate) middle: f64,
}

/// The strips of an outline along u, with its width across. Cut at every corner, so that within each
/// strip both sides are straight. `turn` is how its corners are seen.
pub(crate) fn strips<R: AsRef<[Uv]>>(rings: &[R], turn: impl Fn(Uv) -> Uv) -> SmallVec<[Strip; 8]> {
    let rings = || rings.iter().map(|ring| -> &[Uv] { ring.as_ref() });
    let mut corners: SmallVec<[f64; 16]> = rings().flatten().map(|p| turn(*p).u).collect();
    corners.sort_by(f64::total_cmp);
    corners.dedup_by(|b, a| *b - *a < 1e-6);
    let mut found = SmallVec::new();
    // Sides that span a stretch, by their height in its middle.
    let mut sides: SmallVec<[(f64, f64); 8]> = SmallVec::new();
    for pair in corners.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        if to - from < SHORTEST {
            continue;
        }
        let middle = (from + to) / 2.0;
        sides.clear();
        for ring in rings() {
            for (a, b) in ring_sides(ring) {
                let (a, b) = (turn(a), turn(b));
                if (a.u <= middle) != (b.u <= middle) {
                    let slope = (b.v - a.v) / (b.u - a.u);
                    sides.push((a.v + slope * (middle - a.u), slope));
                }
            }
        }
        sides.sort_by(|a, b| a.0.total_cmp(&b.0));
        for sides in sides.chunks_exact(2) {
            let ((low, low_slope), (high, high_slope)) = (sides[0], sides[1]);
            if low_slope.abs() > SIDE_SLOPE || high_slope.abs() > SIDE_SLOPE {
                continue;
            }
            let half = (high_slope - low_slope).abs() * (to - from) / 2.0;
            let width = high - low;
            found.push(Strip {
                from,
                to,
                least: (width - half).max(0.0),
                greatest: width + half,
                middle: (low + high) / 2.0,
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strips_of(outline: &[(f64, f64)]) -> Vec<Strip> {
        strips(&[outline.iter().map(|(u, v)| Uv::new(*u, *v)).collect::<Vec<Uv>>()], |p| p).into_vec()
    }

    #[test]
    fn widths_along_an_outline_are_worked_out_by_hand() {
        // Both sides lean alike: 100 wide all along.
        let leaning = strips_of(&[(200.0, 0.0), (1200.0, 20.0), (1200.0, 120.0), (200.0, 100.0)]);
        let strip = Strip { from: 200.0, to: 1200.0, least: 100.0, greatest: 100.0, middle: 60.0 };
        assert_eq!(leaning, [strip]);
        // Ten narrower at the left end: 90 to 100, in the middle half of 95 up.
        let taper = strips_of(&[(200.0, 0.0), (1200.0, 0.0), (1200.0, 100.0), (200.0, 90.0)]);
        assert_eq!(taper, [Strip { from: 200.0, to: 1200.0, least: 90.0, greatest: 100.0, middle: 47.5 }]);
        // A notch from below, 40 deep and 300 long; the sides of a step of a millimetre and a half are a corner.
        let notched = strips_of(&[
            (200.0, 0.0),
            (500.0, 0.0),
            (500.0, 40.0),
            (800.0, 40.0),
            (801.5, 0.0),
            (1200.0, 0.0),
            (1200.0, 100.0),
            (200.0, 100.0),
        ]);
        let widths: Vec<[f64; 4]> = notched.iter().map(|s| [s.from, s.to, s.least, s.greatest]).collect();
        assert_eq!(
            widths,
            [[200.0, 500.0, 100.0, 100.0], [500.0, 800.0, 60.0, 60.0], [801.5, 1200.0, 100.0, 100.0]]
        );
    }
}
