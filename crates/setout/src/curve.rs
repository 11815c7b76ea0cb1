//! The narrowest seen rip over all edges as an exact piecewise linear function of the offset.

use crate::CurvePoint;
use crate::tooth::{SAME, Tooth};

/// Narrowest seen rip at one offset; the pitch where no edge counts.
pub(crate) fn narrowest(teeth: &[Tooth], offset: f64, pitch: f64) -> f64 {
    teeth.iter().map(|tooth| tooth.seen(offset, pitch)).fold(pitch, f64::min)
}

/// Every offset at which some edge's rip bends, jumps or passes `least`, sorted, with 0 and the pitch.
pub(crate) fn breakpoints(teeth: &[Tooth], least: f64, pitch: f64) -> Vec<f64> {
    let mut at: Vec<f64> = teeth.iter().flat_map(|tooth| tooth.breakpoints(least, pitch)).collect();
    at.extend([0.0, pitch]);
    at.sort_by(f64::total_cmp);
    at.dedup_by(|b, a| *b - *a < SAME);
    if let Some(last) = at.last_mut() {
        *last = pitch;
    }
    at
}

/// A stretch between neighbouring breakpoints on which every rip is linear: limits of the curve at its
/// ends, and the offset at which a rising and a falling rip meet between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stretch {
    pub(crate) from: CurvePoint,
    pub(crate) peak: Option<CurvePoint>,
    pub(crate) to: CurvePoint,
}

/// The whole curve, stretch by stretch.
///
/// Between breakpoints each rip rises with the offset, falls with it, or is hidden or cut to nothing;
/// so the narrowest is the lower of one rising and one falling line, and peaks where they meet.
pub(crate) fn stretches(teeth: &[Tooth], at: &[f64], pitch: f64) -> Vec<Stretch> {
    at.windows(2)
        .map(|ends| {
            let (from, to) = (ends[0], ends[1]);
            let middle = (from + to) / 2.0;
            let (mut rising, mut falling, mut flat) = (f64::INFINITY, f64::INFINITY, pitch);
            for tooth in teeth {
                let seen = tooth.seen(middle, pitch);
                if seen <= 0.0 {
                    flat = 0.0;
                } else if tooth.floor_is_above {
                    rising = rising.min(seen);
                } else {
                    falling = falling.min(seen);
                }
            }
            let value = |offset: f64| {
                let d = offset - middle;
                (rising + d).min(falling - d).min(flat).max(0.0)
            };
            let point = |offset| CurvePoint { offset, rip: value(offset) };
            let meet = middle + (falling - rising) / 2.0;
            Stretch {
                from: point(from),
                peak: (meet > from && meet < to && flat > 0.0).then(|| point(meet)),
                to: point(to),
            }
        })
        .collect()
}

/// The curve as points, straight between them.
pub(crate) fn points(stretches: &[Stretch]) -> Vec<CurvePoint> {
    let mut points: Vec<CurvePoint> = Vec::new();
    for stretch in stretches {
        for point in std::iter::once(stretch.from).chain(stretch.peak).chain([stretch.to]) {
            if points.last() != Some(&point) {
                points.push(point);
            }
        }
    }
    points
}
