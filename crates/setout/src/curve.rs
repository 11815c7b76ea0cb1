//! The narrowest seen rip over all edges as an exact piecewise linear function of the offset.

use crate::CurvePoint;
use crate::sweep::{Tent, sorted_cuts, tents};
use crate::tooth::{SAME, Tooth};

/// Narrowest seen rip at one offset; the pitch where no edge counts.
pub(crate) fn narrowest<'a>(teeth: impl IntoIterator<Item = &'a Tooth>, offset: f64, pitch: f64) -> f64 {
    teeth.into_iter().map(|tooth| tooth.seen(offset, pitch)).fold(pitch, f64::min)
}

/// Every offset at which some edge's rip bends, jumps or passes `least`, sorted, with 0 and the pitch.
pub(crate) fn breakpoints(teeth: &[Tooth], least: f64, pitch: f64) -> Vec<f64> {
    sorted_cuts(teeth.iter().flat_map(|tooth| tooth.breakpoints(least, pitch)).collect(), pitch)
}

/// The narrowest rip between the offsets at which some edge's rip jumps.
pub(crate) fn stretches(teeth: &[&Tooth], pitch: f64) -> Vec<Tent> {
    let cuts = sorted_cuts(teeth.iter().map(|tooth| tooth.offset_past(0.0, pitch)).collect(), pitch);
    tents(teeth, |_| 0.0, 0.0, &cuts, pitch)
}

/// The curve as points, straight between them. Where boards come to lie whole at edges on both sides of their line at once, one
/// line alone is good and neither side of it: a peak without a slope.
pub(crate) fn points(stretches: &[Tent]) -> Vec<CurvePoint> {
    let (Some(first), Some(last)) = (stretches.first(), stretches.last()) else { return Vec::new() };
    let mut points: Vec<CurvePoint> = Vec::new();
    let mut push = |offset: f64, rip: f64| {
        let point = CurvePoint { offset, rip };
        if let [.., a, b] = points[..]
            && a.rip == b.rip
            && b.rip == point.rip
        {
            points.pop();
        }
        if points.last() != Some(&point) {
            points.push(point);
        }
    };
    // The line at 0 is that at the pitch: both ends have its own figure, and a step beside it where it is wider.
    let at_zero = Tent::between(last, first);
    let is_wider = |tent: &Tent, offset: f64| at_zero > tent.at(offset) + SAME;
    if is_wider(first, first.from) {
        push(first.from, at_zero);
    }
    let mut before: Option<&Tent> = None;
    for tent in stretches {
        if let Some(peak) = before.and_then(|before| peak(before, tent)) {
            push(tent.from, peak);
        }
        for offset in std::iter::once(tent.from).chain(tent.bends()).chain([tent.to]) {
            push(offset, tent.at(offset));
        }
        before = Some(tent);
    }
    if is_wider(last, last.to) {
        push(last.to, at_zero);
    }
    points
}

/// The narrowest rip on the line between two stretches, where it is wider than on either side.
fn peak(before: &Tent, after: &Tent) -> Option<f64> {
    let peak = Tent::between(before, after);
    (peak > before.at(before.to).max(after.at(after.from)) + SAME).then_some(peak)
}
