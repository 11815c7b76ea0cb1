//! Slivers and thin legs: where a board's outline leaves little wood.

use crate::Outline;
use crate::slice::{extent, rise};
use crate::width::{Strip, strips};
use plan::Rules;
use site::Uv;
use smallvec::SmallVec;

/// Figures are held to limits to this accuracy, mm.
const EXACT: f64 = 0.05;

/// An end that goes on so many times as far along a board as across it may be read as a taper, and is looked at.
const MOST_LEAN: f64 = 9.0;

/// The narrowest place of an outline that falls under a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Narrow {
    /// Whether the board as a whole is a sliver, held to the least rip; else it has a leg under the least leg.
    pub is_sliver: bool,
    /// Width there, mm.
    pub figure: f64,
    /// The place, row coordinates.
    pub at: Uv,
}

/// The sliver or thin leg that a notched, tapered or slanted outline makes, if it makes one.
///
/// A tapered rip is held by its narrowest place: it is ripped along its whole length, so there is no leg to speak of.
pub fn narrow(outline: &Outline, rules: &Rules) -> Option<Narrow> {
    if is_wide_between_level_sides(outline, rules) {
        return None;
    }
    if let Some((figure, at)) = crate::taper::narrowest(outline) {
        return (figure < rules.least_rip - EXACT).then_some(Narrow { is_sliver: true, figure, at });
    }
    let rings: SmallVec<[&Vec<Uv>; 2]> = outline.rings().collect();
    let ((left, right), (low, high)) = (extent(&outline.outer), rise(&outline.outer));
    let across = strips(&rings, |p| p);
    let under = |limit: f64| across.iter().filter(move |s| s.least < limit - EXACT);
    let narrow_length: f64 = under(rules.least_rip).map(|s| s.to - s.from).sum();
    let widest = across.iter().map(|s| s.greatest).fold(0.0, f64::max);
    let narrowest = |a: &&Strip, b: &&Strip| a.least.total_cmp(&b.least);
    let point = |s: &Strip| Uv::new((s.from + s.to) / 2.0, s.middle);
    if narrow_length > (right - left) / 2.0 || (widest < rules.least_rip && narrow_length > 0.0) {
        let strip = under(rules.least_rip).min_by(narrowest)?;
        return Some(Narrow { is_sliver: true, figure: strip.least, at: point(strip) });
    }
    let leg_across = under(rules.least_leg).min_by(narrowest).map(|s| (s.least, point(s)));
    let along = strips(&rings, |p| Uv::new(-p.v, p.u));
    let leg_along = along
        .iter()
        .filter(|s| s.least < rules.least_leg - EXACT && s.to - s.from < high - low - EXACT)
        .min_by(narrowest)
        .map(|s| (s.least, Uv::new(s.middle, -(s.from + s.to) / 2.0)));
    let (figure, at) = [leg_across, leg_along].into_iter().flatten().min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Narrow { is_sliver: false, figure, at })
}

/// Whether an outline is wide enough all along for having two level sides that far apart and two ends, aslant or square.
/// Most outlines that are looked at on a floor whose walls stand aslant to the rows are of this kind.
fn is_wide_between_level_sides(outline: &Outline, rules: &Rules) -> bool {
    let [a, b, c, d] = outline.outer.as_slice() else { return false };
    // Each side is left level, the other above it or below.
    let are_level = |p: &Uv, q: &Uv, r: &Uv, s: &Uv| p.v == q.v && r.v == s.v;
    let ends = match (are_level(a, b, c, d), are_level(b, c, d, a)) {
        (true, false) => [(b, c), (d, a)],
        (false, true) => [(a, b), (c, d)],
        _ => return false,
    };
    let height = (a.v - c.v).abs();
    let is_end = |(p, q): &(&Uv, &Uv)| (q.u - p.u).abs() < MOST_LEAN * height;
    outline.holes.is_empty() && height >= rules.least_rip.max(rules.least_leg) && ends.iter().all(is_end)
}

/// Whether an outline is anywhere narrower than the rules like, so that its pieces hang on where it is parted.
pub(crate) fn is_narrow(outline: &Outline, rules: &Rules) -> bool {
    let rings: SmallVec<[&Vec<Uv>; 2]> = outline.rings().collect();
    strips(&rings, |p| p).iter().any(|s| s.least < rules.least_rip.max(rules.least_leg) - EXACT)
}
