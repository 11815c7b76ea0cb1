//! Values every line over some edges, exactly, and ranks them.

use crate::curve::{narrowest, stretches};
use crate::halls::Hall;
use crate::one_row::OneRow;
use crate::stretch::{LENGTH_UNIT, SHORT_UNIT, Stretch, keep_apart, units};
use crate::tooth::{SAME, Tooth};
use crate::value::{SEEN_TAPER, Value, sides_band};
use crate::{Candidate, EdgeRef, Rip};
use std::cmp::Ordering;

/// Lines closer together than this are one choice to a person with a tape, mm.
pub(crate) const NEIGHBOUR: f64 = 10.0;
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

    pub(crate) fn in_view(&self) -> Vec<&'a Tooth> {
        self.helped().into_iter().filter(|t| t.in_view).collect()
    }

    pub(crate) fn tapered(&self) -> Vec<&'a Tooth> {
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
            let at_worst = tooth.seen_within(self.tolerance, offset, pitch);
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
        self.put_one_row_first(&mut found, count);
        found
    }

    /// Where each edge's floor lies in one row, if all of them can.
    fn one_rows(&self) -> Option<Vec<OneRow>> {
        self.teeth.iter().map(|tooth| tooth.one_row).collect()
    }

    /// Stretches are read with the line out either way. Where all of the floor can lie in one row there is none to be out, so
    /// that the line which leaves it so, taken as it is, goes first unless another is worth more.
    fn put_one_row_first(&self, found: &mut Vec<f64>, count: usize) {
        let (Some(rows), Some(first)) = (self.one_rows(), found.first().copied()) else { return };
        let is_one_row = |offset: f64| rows.iter().all(|one| one.holds(offset, self.pitch));
        if is_one_row(first) {
            return;
        }
        let places = rows.iter().map(|one| one.places(self.pitch));
        let places: Vec<[f64; 3]> = places.collect();
        let handy = places.iter().map(|[_, handy, _]| *handy);
        let ends = places.iter().flat_map(|[first, _, last]| [*first, *last]);
        let Some(one) = handy.chain(ends).find(|offset| is_one_row(*offset)) else { return };
        let value = |offset: f64| self.candidate(offset, Vec::new()).value;
        if value(one).compare(&value(first)).is_gt() {
            return;
        }
        found.retain(|other| {
            let out = (other - one).rem_euclid(self.pitch);
            out.min(self.pitch - out) >= NEIGHBOUR
        });
        found.insert(0, one);
        found.truncate(count);
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
}

/// The narrowest rip as points, straight between them.
pub(crate) fn curve(judge: &Judge) -> Vec<crate::CurvePoint> {
    crate::curve::points(&stretches(&judge.helped(), judge.pitch))
}
