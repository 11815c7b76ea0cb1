//! Values every line over some edges, exactly, and ranks them.

use crate::curve::{breakpoints, narrowest, stretches};
use crate::halls::Hall;
use crate::sweep::{Arc, Sums, Tent, sorted_cuts, sums, tents};
use crate::tooth::{SAME, Tooth, turned};
use crate::value::{
    RIP_BAND, SEEN_TAPER, SIDES_BAND, Value, rip_band, ripped_band, short_band, sides_band, whole_above,
    whole_below,
};
use crate::{Candidate, EdgeRef, Rip};
use std::cmp::Ordering;

/// Lines closer together than this are one choice to a person with a tape, mm.
pub(crate) const NEIGHBOUR: f64 = 10.0;
/// Lengths are summed in hundredths of a millimetre, and weighted ones in hundredths of those, so that the sums
/// do not depend on their order.
const LENGTH_UNIT: f64 = 0.01;
const SHORT_UNIT: f64 = 0.0001;
/// A line keeps this far from the end of a stretch that its end does not belong to, mm.
const INSIDE: f64 = 0.01;

/// Room is made at once for what so many bands part; more take it as they come.
const MOST_BANDS: i64 = 1000;

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
    /// Rips wider than this are told apart no further, mm.
    pub(crate) enough: f64,
    pub(crate) tolerance: f64,
}

/// Where edges begin to be short on a dead true line, going up and going down.
#[derive(Debug)]
struct Limits<'a> {
    /// Offsets past which an edge is short, going up, sorted.
    up: Vec<(f64, &'a Tooth)>,
    /// The same going down.
    down: Vec<(f64, &'a Tooth)>,
    least: f64,
    pitch: f64,
}

impl<'a> Limits<'a> {
    fn new(teeth: &[&'a Tooth], least: f64, pitch: f64) -> Self {
        let (mut up, mut down) = (Vec::with_capacity(teeth.len()), Vec::with_capacity(teeth.len()));
        for tooth in teeth {
            let Some(until) = tooth.short_until(least).filter(|until| *until <= pitch + SAME) else {
                continue;
            };
            let ends = [0.0, until].map(|past| (tooth.offset_past(past, pitch), *tooth));
            let [from, to] = if tooth.floor_is_above { ends } else { [ends[1], ends[0]] };
            up.push(from);
            down.push(to);
        }
        up.sort_by(|a, b| a.0.total_cmp(&b.0));
        down.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self { up, down, least, pitch }
    }

    /// How far a line may move down and up before an edge that is not short becomes short.
    fn room(&self, offset: f64) -> (f64, f64) {
        let is_whole = |tooth: &Tooth| tooth.seen(offset, self.pitch) >= self.least - SAME;
        let first_up = self.up.partition_point(|(at, _)| *at < offset - SAME);
        let next = self.up[first_up..].iter().map(|(at, t)| (at - offset, t));
        let again = self.up[..first_up].iter().map(|(at, t)| (at + self.pitch - offset, t));
        let up = next.chain(again).find(|(_, tooth)| is_whole(tooth)).map_or(f64::INFINITY, |(d, _)| d);
        let first_down = self.down.partition_point(|(at, _)| *at <= offset + SAME);
        let next = self.down[..first_down].iter().rev().map(|(at, t)| (offset - at, t));
        let again = self.down[first_down..].iter().rev().map(|(at, t)| (offset + self.pitch - at, t));
        let down = next.chain(again).find(|(_, tooth)| is_whole(tooth)).map_or(f64::INFINITY, |(d, _)| d);
        (down.max(0.0), up.max(0.0))
    }

    /// The limits between two offsets.
    fn between(&self, from: f64, to: f64) -> impl Iterator<Item = f64> + '_ {
        let inside = move |limits: &'_ [(f64, &'a Tooth)]| {
            let first = limits.partition_point(|(at, _)| *at <= from);
            let end = limits.partition_point(|(at, _)| *at < to);
            first..end.max(first)
        };
        let (up, down) = (inside(&self.up), inside(&self.down));
        self.up[up].iter().chain(&self.down[down]).map(|(at, _)| *at)
    }
}

/// Offsets over which a line's value keeps to one band in each part; one offset where both are the same.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: f64,
    to: f64,
    short: i32,
    narrowest: i32,
    tapered: i32,
    ripped: i32,
}

impl Stretch {
    fn middle(&self) -> f64 {
        (self.from + self.to) / 2.0
    }
}

/// A band as a small number: there are very many stretches.
fn small(band: i64) -> i32 {
    i32::try_from(band).unwrap_or(i32::MAX)
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
        let mut helped = Vec::with_capacity(self.teeth.len());
        helped.extend(self.teeth.iter().filter(|t| self.can_be_helped(t)).copied());
        helped
    }

    fn in_view(&self) -> Vec<&'a Tooth> {
        self.helped().into_iter().filter(|t| t.in_view).collect()
    }

    fn tapered(&self) -> Vec<&'a Tooth> {
        self.in_view().into_iter().filter(|t| t.taper() >= SEEN_TAPER).collect()
    }

    fn uneven(&self, offset: f64) -> f64 {
        self.halls.iter().map(|hall| hall.uneven(self.all, offset, self.pitch)).fold(0.0, f64::max)
    }

    /// A line with its figures over these edges, which are gone through once, and the rips it is given.
    pub(crate) fn candidate(&self, offset: f64, rips: Vec<Rip>) -> Candidate {
        let pitch = self.pitch;
        let offset = if offset >= pitch { 0.0 } else { offset };
        let (mut short, mut ripped, mut short_length, mut beyond_help) = (0, 0, 0.0, 0);
        let [mut narrow, mut within, mut in_view, mut tapered] = [pitch; 4];
        let mut slack = f64::INFINITY;
        let mut kept: Vec<(f64, EdgeRef)> = Vec::with_capacity(self.teeth.len());
        for tooth in &self.teeth {
            let at_worst = tooth.widened(self.tolerance).seen(offset, pitch);
            let length = units(tooth.length);
            if at_worst < self.least - SAME {
                short += length * tooth.weight;
                short_length += tooth.length;
            }
            if !tooth.is_whole(offset, pitch) {
                ripped += length;
            }
            slack = tooth.slack(offset, self.least, pitch).map_or(slack, |own| own.min(slack));
            let can_be_helped = self.can_be_helped(tooth);
            if !can_be_helped || tooth.facing < self.least + tooth.hidden {
                beyond_help += 1;
            }
            if !can_be_helped {
                continue;
            }
            let seen = tooth.seen(offset, pitch);
            kept.push((seen, tooth.edge));
            narrow = narrow.min(seen);
            within = within.min(at_worst);
            if tooth.in_view {
                in_view = in_view.min(at_worst);
                if tooth.taper() >= SEEN_TAPER {
                    tapered = tapered.min((at_worst - tooth.taper()).max(0.0));
                }
            }
        }
        let value = Value {
            short: short as f64 * SHORT_UNIT,
            narrowest: in_view,
            tapered,
            uneven: self.uneven(offset),
            ripped: ripped as f64 * LENGTH_UNIT,
            enough: self.enough,
            steep: self.steep,
            beyond_help,
        };
        Candidate {
            offset,
            value,
            narrowest: narrow,
            narrowest_within_tolerance: within,
            short_length,
            // Half the pitch where no edge can fall under the least.
            safe_by: if slack.is_finite() { slack } else { pitch / 2.0 },
            binding: kept.iter().filter(|(seen, _)| *seen <= narrow + 0.05).map(|(_, edge)| *edge).collect(),
            rips,
        }
    }

    /// The best lines, best first, all at least ten millimetres from one another.
    ///
    /// Value changes band only at cliffs, where a rip passes the least or a band's limit, where a board comes to
    /// lie whole, and where two sides' difference passes a band's limit. Between such offsets, and at each, the
    /// bands are read once; of lines equal in all of them the safest is taken.
    pub(crate) fn best(&self, count: usize) -> Vec<f64> {
        // What is short on a line counts first: for one line only stretches with least of it need be read.
        let mut stretches = self.stretches(count == 1);
        let limits = Limits::new(&self.teeth, self.least, self.pitch);
        let mut found: Vec<f64> = Vec::new();
        while found.len() < count {
            let Some(offset) = self.best_of(&stretches, &limits) else { break };
            found.push(offset);
            if found.len() < count {
                keep_apart(&mut stretches, offset, self.pitch);
            }
        }
        found
    }

    fn best_of(&self, stretches: &[Stretch], limits: &Limits) -> Option<f64> {
        let bands = |s: &Stretch| (s.short, -s.narrowest, -s.tapered);
        // There are very many stretches, which are gone through once.
        let mut best: Option<(i32, i32, i32)> = None;
        let mut equals: Vec<&Stretch> = Vec::new();
        for stretch in stretches {
            // Most fail by the first band.
            if best.is_some_and(|best| stretch.short > best.0) {
                continue;
            }
            let bands = bands(stretch);
            match best.map_or(Ordering::Less, |best| bands.cmp(&best)) {
                Ordering::Greater => continue,
                Ordering::Less => {
                    best = Some(bands);
                    equals.clear();
                }
                Ordering::Equal => {}
            }
            equals.push(stretch);
        }
        let tied: Vec<(&Stretch, (i64, i32))> =
            equals.into_iter().map(|s| (s, (sides_band(self.uneven(s.middle())), s.ripped))).collect();
        let least = tied.iter().map(|(_, bands)| *bands).min()?;
        let tied = tied.into_iter().filter(|(_, bands)| *bands == least);
        let step = |mm: f64| (mm / LENGTH_UNIT).round();
        let places: Vec<(f64, f64)> = tied
            .flat_map(|(stretch, _)| self.safest_in(stretch, limits))
            .map(|offset| {
                let (down, up) = limits.room(offset);
                (step(down.min(up).min(self.pitch / 2.0)), offset)
            })
            .collect();
        let safest = places.iter().map(|(safe, _)| *safe).max_by(f64::total_cmp)?;
        let helped = self.helped();
        let safe = places.into_iter().filter(|(safe, _)| *safe == safest).map(|(_, offset)| offset);
        let seen = |offset: f64| step(narrowest(helped.iter().copied(), offset, self.pitch));
        let most: Vec<(f64, f64)> = safe.map(|offset| (seen(offset), offset)).collect();
        let widest = most.iter().map(|(seen, _)| *seen).max_by(f64::total_cmp)?;
        let mut most: Vec<f64> =
            most.into_iter().filter(|(seen, _)| *seen == widest).map(|(_, at)| at).collect();
        if most.len() > 1 {
            // The bands' own figures part what is left, which do not hang on how the plan lies, as the offset does.
            let figures = |offset: f64| {
                let Value { short, tapered, uneven, ripped, .. } = self.candidate(offset, Vec::new()).value;
                [short, -tapered, uneven, ripped].map(step)
            };
            most.sort_by_cached_key(|offset| figures(*offset).map(|figure| figure as i64));
            let best = figures(most[0]);
            most.retain(|offset| figures(*offset) == best);
        }
        most.into_iter().min_by(f64::total_cmp)
    }

    /// Offsets of a stretch at which the line may be furthest off, or, where that is all one, leaves most.
    fn safest_in(&self, stretch: &Stretch, limits: &Limits) -> Vec<f64> {
        if stretch.to - stretch.from < SAME {
            return vec![stretch.from];
        }
        // Where an edge begins or ends to be short on a dead true line, another edge may become the nearest.
        let mut cuts: Vec<f64> = limits.between(stretch.from, stretch.to).collect();
        cuts.extend([stretch.from, stretch.to]);
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|b, a| *b - *a < SAME);
        let mut places = Vec::new();
        let mut has_limit = false;
        for ends in cuts.windows(2) {
            let middle = (ends[0] + ends[1]) / 2.0;
            let (down, up) = limits.room(middle);
            if down.is_finite() && up.is_finite() {
                has_limit = true;
                // The ends may belong to another stretch.
                let inside = INSIDE.min((ends[1] - ends[0]) / 4.0);
                places.push((middle + (up - down) / 2.0).clamp(ends[0] + inside, ends[1] - inside));
            } else {
                places.push(middle);
            }
        }
        if !has_limit {
            let peaks = stretches(&self.helped(), self.pitch).into_iter().flat_map(|tent| tent.bends());
            places.extend(peaks.filter(|at| *at > stretch.from && *at < stretch.to));
        }
        places
    }

    /// Every stretch of offsets over which the bands stay, and every offset between two; or only those where least is short.
    fn stretches(&self, only_least: bool) -> Vec<Stretch> {
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
                let (first, last) = (whole_above(low / SIDES_BAND), whole_below(high / SIDES_BAND));
                let crossings = (first..=last).map(|k| p + (k as f64 * SIDES_BAND - at_p) / slope);
                cuts.extend(crossings.filter(is_offset));
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
        let (first, last) = (whole_above(low / RIP_BAND).max(1), whole_below(high / RIP_BAND).min(most));
        limits.extend((first..=last).map(|k| place(k as f64 * RIP_BAND)).filter(inside));
    };
    if tent.rising.is_finite() {
        add(tent.from - tent.rising, tent.to - tent.rising, &|rip| tent.rising + rip);
    }
    if tent.falling.is_finite() {
        add(tent.falling - tent.to, tent.falling - tent.from, &|rip| tent.falling - rip);
    }
}

/// Leaves of stretches what is at least ten millimetres from an offset, on the circle of one pitch.
fn keep_apart(stretches: &mut Vec<Stretch>, offset: f64, pitch: f64) {
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

/// The narrowest rip as points, straight between them.
pub(crate) fn curve(judge: &Judge) -> Vec<crate::CurvePoint> {
    crate::curve::points(&stretches(&judge.helped(), judge.pitch))
}
