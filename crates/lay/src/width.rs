//! How wide a board's outline is along its length, piece by piece.

use site::Uv;

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
/// strip both sides are straight.
pub(crate) fn strips(rings: &[Vec<Uv>]) -> Vec<Strip> {
    let mut corners: Vec<f64> = rings.iter().flatten().map(|p| p.u).collect();
    corners.sort_by(f64::total_cmp);
    corners.dedup_by(|b, a| *b - *a < 1e-6);
    let mut found = Vec::new();
    for pair in corners.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        if to - from < SHORTEST {
            continue;
        }
        let middle = (from + to) / 2.0;
        // Sides that span this stretch, by their height in the middle.
        let mut sides: Vec<(f64, f64)> = Vec::new();
        for ring in rings {
            for (i, a) in ring.iter().enumerate() {
                let b = ring[(i + 1) % ring.len()];
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
