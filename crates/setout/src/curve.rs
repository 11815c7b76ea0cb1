//! The narrowest seen rip over all edges as an exact piecewise linear function of the offset.

use crate::CurvePoint;
use crate::sweep::{Tent, sorted_cuts, tents};
use crate::tooth::Tooth;

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

/// The curve as points, straight between them.
pub(crate) fn points(stretches: &[Tent]) -> Vec<CurvePoint> {
    let mut points: Vec<CurvePoint> = Vec::new();
    for tent in stretches {
        for offset in std::iter::once(tent.from).chain(tent.bends()).chain([tent.to]) {
            let point = CurvePoint { offset, rip: tent.at(offset) };
            if let [.., a, b] = points[..]
                && a.rip == b.rip
                && b.rip == point.rip
            {
                points.pop();
            }
            if points.last() != Some(&point) {
                points.push(point);
            }
        }
    }
    points
}
