//! Values every line over some edges, exactly, and ranks them.

use crate::curve::{breakpoints, narrowest, stretches};
use crate::halls::Hall;
use crate::sweep::{Arc, Sums, Tent, sorted_cuts, sums, tents};
use crate::tooth::{SAME, Tooth};
use crate::value::{
    RIP_BAND, SEEN_TAPER, SIDES_BAND, Value, enough, rip_band, ripped_band, short_band, sides_band,
};

/// Lines closer together than this are one choice to a person with a tape, mm.
pub(crate) const NEIGHBOUR: f64 = 10.0;
/// Lengths are summed in hundredths of a millimetre, and weighted ones in hundredths of those, so that the sums
/// do not depend on their order.
const LENGTH_UNIT: f64 = 0.01;
const SHORT_UNIT: f64 = 0.0001;
/// A line keeps this far from the end of a stretch that its end does not belong to, mm.
const INSIDE: f64 = 0.01;

/// The edges that carry one line, and what they are held to.
#[derive(Debug)]
pub(crate) struct Judge<'a> {
    pub(crate) teeth: Vec<&'a Tooth>,
    /// All teeth of the site, to which the halls point.
    pub(crate) all: &'a [Tooth],
    pub(crate) halls: Vec<Hall>,
    pub(crate) steep: usize,
    pub(crate) pitch: f64,
    pub(crate) least: f64,
    pub(crate) tolerance: f64,
}

/// Offsets over which a line's value keeps to one band in each part; one offset where both are the same.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: f64,
    to: f64,
    short: i64,
    narrowest: i64,
    tapered: i64,
    ripped: i64,
}

impl Stretch {
    fn middle(&self) -> f64 {
        (self.from + self.to) / 2.0
    }
}

fn units(length: f64) -> i64 {
    (length / LENGTH_UNIT).round() as i64
}

impl<'a> Judge<'a> {
    fn can_be_helped(&self, tooth: &Tooth) -> bool {
        !tooth.is_beyond_help(self.least, self.pitch)
    }

    /// Teeth that hold the narrowest rip.
    pub(crate) fn helped(&self) -> Vec<&'a Tooth> {
        self.teeth.iter().filter(|t| self.can_be_helped(t)).copied().collect()
    }

    fn in_view(&self) -> Vec<&'a Tooth> {
        self.helped().into_iter().filter(|t| t.in_view).collect()
    }

    fn tapered(&self) -> Vec<&'a Tooth> {
        self.in_view().into_iter().filter(|t| t.taper() >= SEEN_TAPER).collect()
    }

    /// Whether an edge's rip is under the least somewhere within the tolerance.
    pub(crate) fn is_short(&self, tooth: &Tooth, offset: f64) -> bool {
        tooth.widened(self.tolerance).seen(offset, self.pitch) < self.least - SAME
    }

    fn uneven(&self, offset: f64) -> f64 {
        self.halls.iter().map(|hall| hall.uneven(self.all, offset, self.pitch)).fold(0.0, f64::max)
    }

    /// The value of the line at one offset.
    pub(crate) fn value(&self, offset: f64) -> Value {
        let (mut short, mut ripped) = (0, 0);
        for tooth in &self.teeth {
            if self.is_short(tooth, offset) {
                short += units(tooth.length) * tooth.weight;
            }
            if !tooth.is_whole(offset, self.pitch) {
                ripped += units(tooth.length);
            }
        }
        let seen = |t: &Tooth| t.widened(self.tolerance).seen(offset, self.pitch);
        let faced = |t: &&&Tooth| t.facing < self.least + t.hidden;
        Value {
            short: short as f64 * SHORT_UNIT,
            narrowest: self.in_view().into_iter().map(seen).fold(self.pitch, f64::min),
            tapered: self
                .tapered()
                .into_iter()
                .map(|t| (seen(t) - t.taper()).max(0.0))
                .fold(self.pitch, f64::min),
            uneven: self.uneven(offset),
            ripped: ripped as f64 * LENGTH_UNIT,
            enough: enough(self.pitch),
            steep: self.steep,
            beyond_help: self.teeth.iter().filter(|t| !self.can_be_helped(t) || faced(t)).count(),
        }
    }

    /// How far the line may be off either way before another edge falls under the least; half the pitch where
    /// no edge can.
    pub(crate) fn safe_by(&self, offset: f64) -> f64 {
        let slack = |t: &&Tooth| t.slack(offset, self.least, self.pitch);
        let slack = self.teeth.iter().filter_map(slack).fold(f64::INFINITY, f64::min);
        if slack.is_finite() { slack } else { self.pitch / 2.0 }
    }

    /// The best lines, best first, all at least ten millimetres from one another.
    ///
    /// Value changes band only at cliffs, where a rip passes the least or a band's limit, where a board comes to
    /// lie whole, and where two sides' difference passes a band's limit. Between such offsets, and at each, the
    /// bands are read once; of lines equal in all of them the safest is taken.
    pub(crate) fn best(&self, count: usize) -> Vec<f64> {
        let mut stretches = self.stretches();
        let mut found: Vec<f64> = Vec::new();
        while found.len() < count {
            let Some(offset) = self.best_of(&stretches) else { break };
            found.push(offset);
            stretches = stretches.iter().flat_map(|s| apart_from(s, offset, self.pitch)).collect();
        }
        found
    }

    fn best_of(&self, stretches: &[Stretch]) -> Option<f64> {
        let bands = |s: &Stretch| (s.short, -s.narrowest, -s.tapered);
        let best = stretches.iter().map(bands).min()?;
        let tied: Vec<(&Stretch, (i64, i64))> = stretches
            .iter()
            .filter(|s| bands(s) == best)
            .map(|s| (s, (sides_band(self.uneven(s.middle())), s.ripped)))
            .collect();
        let least = tied.iter().map(|(_, bands)| *bands).min()?;
        let tied = tied.into_iter().filter(|(_, bands)| *bands == least);
        let step = |mm: f64| (mm / LENGTH_UNIT).round();
        let helped = self.helped();
        tied.flat_map(|(stretch, _)| self.safest_in(stretch, &helped))
            .map(|offset| {
                let safe = step(self.safe_by(offset));
                (safe, step(narrowest(helped.iter().copied(), offset, self.pitch)), offset)
            })
            .min_by(|a, b| b.0.total_cmp(&a.0).then(b.1.total_cmp(&a.1)).then(a.2.total_cmp(&b.2)))
            .map(|(.., offset)| offset)
    }

    /// Offsets of a stretch at which the line may be furthest off, or, where that is all one, leaves most.
    fn safest_in(&self, stretch: &Stretch, helped: &[&Tooth]) -> Vec<f64> {
        let (pitch, least) = (self.pitch, self.least);
        let inside = INSIDE.min((stretch.to - stretch.from) / 4.0);
        let (from, to) = (stretch.from + inside, stretch.to - inside);
        if to - from < SAME {
            return vec![stretch.from];
        }
        // Where an edge begins or ends to be short on a dead true line, another edge may become the nearest.
        let mut cuts: Vec<f64> = self
            .teeth
            .iter()
            .flat_map(|t| [Some(0.0), t.short_until(least)].map(|past| (t, past)))
            .filter_map(|(t, past)| Some(t.offset_past(past?, pitch)))
            .filter(|at| *at > from && *at < to)
            .chain([from, to])
            .collect();
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|b, a| *b - *a < SAME);
        let mut places = vec![from, to];
        let mut has_limit = false;
        for ends in cuts.windows(2) {
            let middle = (ends[0] + ends[1]) / 2.0;
            let (mut down, mut up) = (f64::INFINITY, f64::INFINITY);
            for (d, u) in self.teeth.iter().filter_map(|t| t.room_to_move(middle, least, pitch)) {
                (down, up) = (down.min(d), up.min(u));
            }
            if down.is_finite() && up.is_finite() {
                has_limit = true;
                places.push((middle + (up - down) / 2.0).clamp(ends[0], ends[1]));
            } else {
                places.push(middle);
            }
        }
        if !has_limit {
            let peaks = crate::curve::stretches(helped, pitch).into_iter().flat_map(|tent| tent.bends());
            places.extend(peaks.filter(|at| *at > from && *at < to));
        }
        places
    }

    /// Every stretch of offsets over which the bands stay, and every offset between two.
    fn stretches(&self) -> Vec<Stretch> {
        let pitch = self.pitch;
        let short = self.short_arcs();
        let whole = self.whole_arcs();
        let mut cuts: Vec<f64> = Vec::with_capacity(4 * self.teeth.len());
        for tooth in &self.teeth {
            let judged = tooth.widened(self.tolerance);
            cuts.extend([0.0, 2.0 * self.tolerance].map(|past| judged.offset_past(past, pitch)));
        }
        for arc in short.arcs.iter().chain(&whole) {
            cuts.extend([arc.from, (arc.from + arc.reach).rem_euclid(pitch)]);
        }
        self.halls.iter().for_each(|hall| self.hall_cuts(hall, &mut cuts));
        let cuts = sorted_cuts(cuts, pitch);

        let total: i64 = self.teeth.iter().map(|t| units(t.length)).sum();
        let (short_sums, whole_sums) = (sums(&short.arcs, &cuts, pitch), sums(&whole, &cuts, pitch));
        let narrow = tents(&self.in_view(), |_| 0.0, self.tolerance, &cuts, pitch);
        let taper = tents(&self.tapered(), Tooth::taper, self.tolerance, &cuts, pitch);
        let short_of = |sum: i64| short_band((sum + short.always) as f64 * SHORT_UNIT);
        let ripped_of = |sum: i64| ripped_band((total - sum) as f64 * LENGTH_UNIT);
        let enough = enough(pitch);

        let mut found = Vec::with_capacity(2 * narrow.len());
        for (k, (narrow_here, taper_here)) in narrow.iter().zip(&taper).enumerate() {
            let before = if k == 0 { narrow.len() - 1 } else { k - 1 };
            let Sums { inside, open, .. } = &short_sums;
            found.push(Stretch {
                from: narrow_here.from,
                to: narrow_here.from,
                short: short_of(open[k]),
                narrowest: rip_band(Tent::between(&narrow[before], narrow_here), enough),
                tapered: rip_band(Tent::between(&taper[before], taper_here), enough),
                ripped: ripped_of(whole_sums.closed[k]),
            });
            let mut parts = vec![narrow_here.from];
            band_limits(narrow_here, enough, &mut parts);
            band_limits(taper_here, enough, &mut parts);
            parts.push(narrow_here.to);
            parts.sort_by(f64::total_cmp);
            let mut push = |from: f64, to: f64| {
                let middle = (from + to) / 2.0;
                found.push(Stretch {
                    from,
                    to,
                    short: short_of(inside[k]),
                    narrowest: rip_band(narrow_here.at(middle), enough),
                    tapered: rip_band(taper_here.at(middle), enough),
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
        let mut short = ShortArcs { arcs: Vec::with_capacity(self.teeth.len()), always: 0 };
        for tooth in &self.teeth {
            let judged = tooth.widened(self.tolerance);
            let count = units(tooth.length) * tooth.weight;
            match judged.short_until(self.least) {
                None => {}
                Some(until) if until < self.pitch - SAME && self.pitch - tooth.hidden >= self.least => {
                    short.arcs.push(arc(&judged, 0.0, until.max(0.0), count, self.pitch));
                }
                Some(_) => short.always += count,
            }
        }
        short
    }

    /// Offsets over which each edge ends in a whole board.
    fn whole_arcs(&self) -> Vec<Arc> {
        let pitch = self.pitch;
        let can_be_whole = |t: &&&Tooth| t.start() >= -SAME && t.cap >= pitch && t.start() < pitch;
        let arc_of = |t: &&Tooth| arc(t, pitch - t.start().max(0.0), pitch, units(t.length), pitch);
        self.teeth.iter().filter(can_be_whole).map(arc_of).collect()
    }

    /// Offsets at which the difference of a hallway's sides bends or passes a band's limit.
    fn hall_cuts(&self, hall: &Hall, cuts: &mut Vec<f64>) {
        let pitch = self.pitch;
        let sides = [self.all[hall.below], self.all[hall.above]];
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
                let first = (low / SIDES_BAND).ceil() as i64;
                let last = (high / SIDES_BAND).floor() as i64;
                cuts.extend((first..=last).map(|k| p + (k as f64 * SIDES_BAND - at_p) / slope));
            }
        }
        cuts.extend(bends);
        cuts.retain(|at| *at >= 0.0 && *at < pitch);
    }
}

#[derive(Debug)]
struct ShortArcs {
    arcs: Vec<Arc>,
    /// What counts on every line.
    always: i64,
}

/// The arc from one distance past a tooth's cliff to another.
fn arc(tooth: &Tooth, from: f64, to: f64, count: i64, pitch: f64) -> Arc {
    let start = if tooth.floor_is_above { from } else { to };
    Arc { from: tooth.offset_past(start, pitch), reach: to - from, count }
}

/// Offsets inside a tent at which the least rip passes the limit of a band.
fn band_limits(tent: &Tent, enough: f64, limits: &mut Vec<f64>) {
    let most = (enough / RIP_BAND).round();
    let inside = |at: &f64| *at > tent.from + SAME && *at < tent.to - SAME;
    let mut add = |low: f64, high: f64, place: &dyn Fn(f64) -> f64| {
        let (mut k, last) = ((low / RIP_BAND).ceil().max(1.0), (high / RIP_BAND).floor().min(most));
        while k <= last {
            limits.extend(Some(place(k * RIP_BAND)).filter(inside));
            k += 1.0;
        }
    };
    if tent.rising.is_finite() {
        add(tent.from - tent.rising, tent.to - tent.rising, &|rip| tent.rising + rip);
    }
    if tent.falling.is_finite() {
        add(tent.falling - tent.to, tent.falling - tent.from, &|rip| tent.falling - rip);
    }
}

/// What is left of a stretch at least ten millimetres from an offset, on the circle of one pitch.
fn apart_from(stretch: &Stretch, offset: f64, pitch: f64) -> Vec<Stretch> {
    let mut left = vec![*stretch];
    for centre in [offset - pitch, offset, offset + pitch] {
        left = left
            .into_iter()
            .flat_map(|s| {
                let (low, high) = (centre - NEIGHBOUR, centre + NEIGHBOUR);
                if s.to <= low || s.from >= high {
                    return vec![s];
                }
                let below = (s.from < low).then_some(Stretch { to: low, ..s });
                let above = (s.to > high).then_some(Stretch { from: high, ..s });
                below.into_iter().chain(above).collect()
            })
            .collect();
    }
    left
}

/// The narrowest rip as points, straight between them.
pub(crate) fn curve(judge: &Judge) -> Vec<crate::CurvePoint> {
    crate::curve::points(&stretches(&judge.helped(), judge.pitch))
}
