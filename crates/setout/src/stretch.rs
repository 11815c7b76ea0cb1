//! Stretches of offsets over which a line's value keeps to one band in each part.

use crate::curve::breakpoints;
use crate::halls::Hall;
use crate::judge::{Judge, NEIGHBOUR};
use crate::sweep::{Arc, Sums, Tent, sorted_cuts, sums, tents};
use crate::tooth::{SAME, Tooth, turned};
use crate::value::{
    EVEN, REACHED, RIP_BAND, SIDES_BAND, rip_band, ripped_band, short_band, whole_above, whole_below,
};

/// Lengths are summed in hundredths of a millimetre, and weighted ones in hundredths of those, so that the sums
/// do not depend on their order.
pub(crate) const LENGTH_UNIT: f64 = 0.01;
pub(crate) const SHORT_UNIT: f64 = 0.0001;

/// Room is made at once for what so many bands part; more take it as they come.
const MOST_BANDS: i64 = 1000;

/// Offsets over which a line's value keeps to one band in each part; one offset where both are the same.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stretch {
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) short: i32,
    pub(crate) narrowest: i32,
    pub(crate) tapered: i32,
    pub(crate) ripped: i32,
}

impl Stretch {
    pub(crate) fn middle(&self) -> f64 {
        (self.from + self.to) / 2.0
    }
}

/// A band as a small number: there are very many stretches.
fn small(band: i64) -> i32 {
    i32::try_from(band).unwrap_or(i32::MAX)
}

pub(crate) fn units(length: f64) -> i64 {
    (length / LENGTH_UNIT).round() as i64
}

impl Judge<'_> {
    /// Every stretch of offsets over which the bands stay, and every offset between two; or only those where least is short.
    pub(crate) fn stretches(&self, only_least: bool) -> Vec<Stretch> {
        let pitch = self.pitch;
        let short = self.short_arcs();
        let whole = self.whole_arcs();
        // The cliffs of other edges are ends of their arcs.
        let mut cuts: Vec<f64> = Vec::with_capacity(5 * self.teeth.len());
        cuts.extend(&short.cliffs);
        for tooth in &self.teeth {
            cuts.push(tooth.widened(self.tolerance).offset_past(2.0 * self.tolerance, pitch));
        }
        for arc in short.arcs.iter().chain(&whole) {
            cuts.extend([arc.from, turned(arc.from + arc.reach, pitch)]);
        }
        self.halls.iter().for_each(|hall| self.hall_cuts(hall, &mut cuts));
        let cuts = sorted_cuts(cuts, pitch);

        let total: i64 = self.teeth.iter().map(|t| units(t.length)).sum();
        let (short_sums, whole_sums) = (sums(&short.arcs, &cuts, pitch), sums(&whole, &cuts, pitch));
        let narrow = tents(&self.in_view(), |_| 0.0, self.tolerance, &cuts, pitch);
        let taper = tents(&self.tapered(), Tooth::taper, self.tolerance, &cuts, pitch);
        let short_of = |sum: i64| small(short_band((sum + short.always) as f64 * SHORT_UNIT));
        let ripped_of = |sum: i64| small(ripped_band((total - sum) as f64 * LENGTH_UNIT));
        let enough = self.enough;
        let rip_band = |rip: f64| small(rip_band(rip, enough));

        let Sums { inside, open, .. } = &short_sums;
        let shorts = inside.iter().chain(open).copied();
        let most = if only_least { shorts.min().map_or(i32::MAX, short_of) } else { i32::MAX };
        // A stretch and its end for each cut; two more where a rip that rises or falls, in view or tapered, passes the
        // limit of a band on its way over a pitch.
        let limits = 4 * whole_above(pitch / RIP_BAND).clamp(0, MOST_BANDS) as usize;
        let mut found = Vec::with_capacity(if only_least { limits } else { 2 * (narrow.len() + limits) });
        let mut parts: Vec<f64> = Vec::new();
        for (k, (narrow_here, taper_here)) in narrow.iter().zip(&taper).enumerate() {
            let before = if k == 0 { narrow.len() - 1 } else { k - 1 };
            let [at_cut, short] = [open[k], inside[k]].map(short_of);
            if at_cut <= most {
                found.push(Stretch {
                    from: narrow_here.from,
                    to: narrow_here.from,
                    short: at_cut,
                    narrowest: rip_band(Tent::between(&narrow[before], narrow_here)),
                    tapered: rip_band(Tent::between(&taper[before], taper_here)),
                    ripped: ripped_of(whole_sums.closed[k]),
                });
            }
            if short > most {
                continue;
            }
            parts.clear();
            parts.push(narrow_here.from);
            band_limits(narrow_here, enough, &mut parts);
            band_limits(taper_here, enough, &mut parts);
            parts.push(narrow_here.to);
            parts.sort_by(f64::total_cmp);
            let mut push = |from: f64, to: f64| {
                let middle = (from + to) / 2.0;
                found.push(Stretch {
                    from,
                    to,
                    short,
                    narrowest: rip_band(narrow_here.at(middle)),
                    tapered: rip_band(taper_here.at(middle)),
                    ripped: ripped_of(whole_sums.inside[k]),
                });
            };
            for ends in parts.windows(2) {
                if ends[0] > narrow_here.from {
                    push(ends[0], ends[0]);
                }
                if ends[1] - ends[0] > SAME {
                    push(ends[0], ends[1]);
                }
            }
        }
        found
    }

    /// Offsets over which each edge is short within the tolerance.
    fn short_arcs(&self) -> ShortArcs {
        let mut short =
            ShortArcs { arcs: Vec::with_capacity(self.teeth.len()), always: 0, cliffs: Vec::new() };
        for tooth in &self.teeth {
            let judged = tooth.widened(self.tolerance);
            let count = units(tooth.length) * tooth.weight;
            let until = judged.short_until(self.least);
            match until {
                Some(until) if until < self.pitch - SAME && self.pitch >= self.least => {
                    short.arcs.push(arc(&judged, 0.0, until.max(0.0), count, self.pitch));
                    continue;
                }
                Some(_) => short.always += count,
                None => {}
            }
            short.cliffs.push(judged.offset_past(0.0, self.pitch));
        }
        short
    }

    /// Offsets over which each edge ends in a whole board.
    fn whole_arcs(&self) -> Vec<Arc> {
        let pitch = self.pitch;
        let can_be_whole = |t: &&&Tooth| t.start() >= -SAME && t.cap >= pitch && t.start() < pitch;
        // A board is whole by its wood, whatever hides it.
        let arc_of = |t: &&Tooth| arc(&t.wood(), pitch - t.start().max(0.0), pitch, units(t.length), pitch);
        self.teeth.iter().filter(can_be_whole).map(arc_of).collect()
    }

    /// Offsets at which the difference of a hallway's sides bends or passes a band's limit.
    fn hall_cuts(&self, hall: &Hall, cuts: &mut Vec<f64>) {
        let pitch = self.pitch;
        let sides = [self.all[hall.below], self.all[hall.above]];
        let is_offset = |at: &f64| *at >= 0.0 && *at < pitch;
        let bends = breakpoints(&sides, 0.0, pitch);
        for ends in bends.windows(2) {
            let (from, to) = (ends[0], ends[1]);
            let difference = |at: f64| sides[0].seen(at, pitch) - sides[1].seen(at, pitch);
            // Two places inside tell the straight line: its ends may be steps.
            let (p, q) = (from + (to - from) * 0.25, from + (to - from) * 0.75);
            let (at_p, at_q) = (difference(p), difference(q));
            let slope = (at_q - at_p) / (q - p);
            let (low, high) = {
                let (a, b) = (at_p - slope * (p - from), at_q + slope * (to - q));
                (a.min(b), a.max(b))
            };
            if slope.abs() > 0.5 {
                // Either side may be the wider.
                for (side, low, high) in [(1.0, low, high), (-1.0, -high, -low)] {
                    let first = whole_above((low + REACHED) / SIDES_BAND).max(1);
                    let last = whole_below((high + REACHED) / SIDES_BAND);
                    let limits = (first..=last).map(|k| side * (k as f64 * SIDES_BAND - REACHED));
                    cuts.extend(limits.map(|limit| p + (limit - at_p) / slope).filter(is_offset));
                }
            }
        }
        cuts.extend(bends.into_iter().filter(is_offset));
    }
}

#[derive(Debug)]
struct ShortArcs {
    arcs: Vec<Arc>,
    /// What counts on every line.
    always: i64,
    /// Cliffs, within the tolerance, of edges that are short always or never.
    cliffs: Vec<f64>,
}

/// The arc from one distance past a tooth's cliff to another.
fn arc(tooth: &Tooth, from: f64, to: f64, count: i64, pitch: f64) -> Arc {
    let start = if tooth.floor_is_above { from } else { to };
    Arc { from: tooth.offset_past(start, pitch), reach: to - from, count }
}

/// Offsets inside a tent at which the least rip passes the limit of a band.
fn band_limits(tent: &Tent, enough: f64, limits: &mut Vec<f64>) {
    let most = (enough / RIP_BAND).round() as i64;
    let inside = |at: &f64| *at > tent.from + SAME && *at < tent.to - SAME;
    let mut add = |low: f64, high: f64, place: &dyn Fn(f64) -> f64| {
        let (low, high) = ((low + EVEN) / RIP_BAND, (high + EVEN) / RIP_BAND);
        let (first, last) = (whole_above(low).max(1), whole_below(high).min(most));
        limits.extend((first..=last).map(|k| place(k as f64 * RIP_BAND - EVEN)).filter(inside));
    };
    if tent.rising.is_finite() {
        add(tent.from - tent.rising, tent.to - tent.rising, &|rip| tent.rising + rip);
    }
    if tent.falling.is_finite() {
        add(tent.falling - tent.to, tent.falling - tent.from, &|rip| tent.falling - rip);
    }
}

/// Leaves of stretches what is at least ten millimetres from an offset, on the circle of one pitch.
pub(crate) fn keep_apart(stretches: &mut Vec<Stretch>, offset: f64, pitch: f64) {
    for centre in [offset - pitch, offset, offset + pitch] {
        let (low, high) = (centre - NEIGHBOUR, centre + NEIGHBOUR);
        if high <= 0.0 || low >= pitch {
            continue;
        }
        let mut above = None;
        stretches.retain_mut(|s| {
            if s.to <= low || s.from >= high {
                return true;
            }
            let rest = (s.to > high).then_some(Stretch { from: high, ..*s });
            if s.from < low {
                above = above.or(rest);
                s.to = low;
                return true;
            }
            match rest {
                Some(rest) => *s = rest,
                None => return false,
            }
            true
        });
        stretches.extend(above);
    }
}
