//! The least of many rips as a function of the offset, swept once round the pitch.

use crate::tooth::{SAME, Tooth, turned};
use std::collections::VecDeque;

/// The least rip between two neighbouring cuts: the lower of one that rises with the offset, one that falls,
/// and some that stay level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tent {
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// Offset at which the lowest rising rip would be nothing.
    pub(crate) rising: f64,
    /// The lowest level rip among edges whose rips rise.
    rising_level: f64,
    /// Offset at which the lowest falling rip would be nothing.
    pub(crate) falling: f64,
    falling_level: f64,
    /// No edge leaves more than this on any line.
    ceiling: f64,
}

impl Tent {
    fn level(&self) -> f64 {
        self.rising_level.min(self.falling_level).min(self.ceiling)
    }

    /// The least rip inside.
    pub(crate) fn at(&self, offset: f64) -> f64 {
        (offset - self.rising).min(self.falling - offset).min(self.level()).max(0.0)
    }

    /// Offsets inside at which it bends, in order.
    pub(crate) fn bends(&self) -> Vec<f64> {
        let (level, middle) = (self.level(), self.rising / 2.0 + self.falling / 2.0);
        let places = [self.rising, self.rising + level, middle, self.falling - level, self.falling];
        let mut inside: Vec<f64> =
            places.into_iter().filter(|o| *o > self.from + SAME && *o < self.to - SAME).collect();
        inside.sort_by(f64::total_cmp);
        inside
    }

    /// The least rip at the cut between two tents, where some edges leave a whole board: rising rips are still
    /// what they were before it, falling ones already what they are after it.
    pub(crate) fn between(before: &Self, after: &Self) -> f64 {
        let rising = (before.to - before.rising).min(before.rising_level);
        let falling = (after.falling - after.from).min(after.falling_level);
        rising.min(falling).min(after.ceiling).max(0.0)
    }
}

/// The least of values that come and go in one order, each valid up to some offset.
#[derive(Debug, Default)]
struct Least(VecDeque<(f64, f64)>);

impl Least {
    /// A value that stays as long as any before it, or longer: greater ones before it no longer matter.
    fn push(&mut self, value: f64, until: f64) {
        while self.0.back().is_some_and(|(other, _)| *other >= value) {
            self.0.pop_back();
        }
        self.0.push_back((value, until));
    }

    fn at(&mut self, offset: f64) -> f64 {
        while self.0.front().is_some_and(|(_, until)| *until < offset) {
            self.0.pop_front();
        }
        self.0.front().map_or(f64::INFINITY, |(value, _)| *value)
    }
}

/// The least seen rip of some teeth between all neighbouring cuts when the line may be off by `tolerance` either
/// way, each rip lowered by `lowered`. The cuts hold 0, the pitch, and every offset `tolerance` from a cliff.
///
/// Rips of one kind all grow alike from their cliffs, so those that count form a queue in order of their cliffs.
pub(crate) fn tents(
    teeth: &[&Tooth],
    lowered: impl Fn(&Tooth) -> f64,
    tolerance: f64,
    cuts: &[f64],
    pitch: f64,
) -> Vec<Tent> {
    let ceiling = teeth.iter().map(|t| (t.cap - t.hidden).min(pitch) - lowered(t)).fold(pitch, f64::min);
    let turned = |offset: f64| turned(offset, pitch);
    let mut order: Vec<(f64, &Tooth)> = teeth.iter().map(|t| (turned(t.front()), *t)).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    // Near its cliff a rip is as bad as just past it; from there on it grows, or shrinks towards it. Each of the two kinds is
    // sorted already but for its turn round the pitch, so that sorting them is putting four lists together; and which of
    // two kinds at one place comes first is all one, since they go into different queues.
    let mut events: Vec<(f64, bool, &Tooth)> = Vec::with_capacity(2 * order.len());
    events.extend(order.iter().map(|(cliff, t)| (turned(cliff - tolerance), true, *t)));
    events.extend(order.iter().map(|(cliff, t)| (turned(cliff + tolerance), false, *t)));
    events.sort_by(|a, b| a.0.total_cmp(&b.0));

    let [mut rising, mut rising_level, mut falling, mut falling_level] = <[Least; 4]>::default();
    let take = |turn: f64, (at, is_near, tooth): (f64, bool, &Tooth), all: [&mut Least; 4]| {
        let [rising, rising_level, falling, falling_level] = all;
        let at = at + turn;
        let below = lowered(tooth);
        if is_near {
            let level = tooth.foot.min(tooth.cap - tooth.hidden) - below;
            let levels = if tooth.floor_is_above { rising_level } else { falling_level };
            levels.push(level, at + 2.0 * tolerance);
            return;
        }
        let until = at + pitch - 2.0 * tolerance;
        let start = tooth.start() - below;
        if tooth.floor_is_above {
            // The lowest rising rip is that with the greatest zero.
            rising.push(start - at, until);
        } else {
            falling.push(until + start, until);
        }
    };
    for event in &events {
        take(-pitch, *event, [&mut rising, &mut rising_level, &mut falling, &mut falling_level]);
    }
    let mut next = events.iter().peekable();
    cuts.windows(2)
        .map(|ends| {
            let (from, to) = (ends[0], ends[1]);
            let middle = (from + to) / 2.0;
            while let Some(event) = next.next_if(|(at, ..)| *at <= middle) {
                take(0.0, *event, [&mut rising, &mut rising_level, &mut falling, &mut falling_level]);
            }
            Tent {
                from,
                to,
                rising: -rising.at(middle),
                rising_level: rising_level.at(middle),
                falling: falling.at(middle),
                falling_level: falling_level.at(middle),
                ceiling,
            }
        })
        .collect()
}

/// A stretch of offsets that counts something.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Arc {
    /// Where it begins, in 0..pitch.
    pub(crate) from: f64,
    /// How far it reaches upwards, less than the pitch.
    pub(crate) reach: f64,
    pub(crate) count: i64,
}

/// Sums of what the arcs over each place count.
#[derive(Debug, Default)]
pub(crate) struct Sums {
    /// Between neighbouring cuts.
    pub(crate) inside: Vec<i64>,
    /// At each cut but the last, of arcs without their ends.
    pub(crate) open: Vec<i64>,
    /// The same, of arcs with their ends.
    pub(crate) closed: Vec<i64>,
}

/// Sums arcs between and at cuts; the cuts hold every end of an arc.
pub(crate) fn sums(arcs: &[Arc], cuts: &[f64], pitch: f64) -> Sums {
    let mut ends: Vec<(f64, i64, i64)> = Vec::with_capacity(2 * arcs.len());
    for arc in arcs {
        let to = turned(arc.from + arc.reach, pitch);
        ends.push((arc.from, arc.count, 0));
        ends.push((to, 0, arc.count));
    }
    // Those at one place are summed, in whatever order.
    ends.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    let middles: Vec<f64> = cuts.windows(2).map(|ends| (ends[0] + ends[1]) / 2.0).collect();
    let (Some(first), Some(last)) = (middles.first(), middles.last()) else { return Sums::default() };
    let over = |at: &f64| {
        arcs.iter().filter(|arc| turned(at - arc.from, pitch) < arc.reach).map(|arc| arc.count).sum()
    };
    let mut sums = Sums {
        inside: Vec::with_capacity(middles.len()),
        open: Vec::with_capacity(middles.len()),
        closed: Vec::with_capacity(middles.len()),
    };
    sums.inside.push(over(first));
    let mut next = ends.iter().peekable();
    let mut step = |to: f64| {
        let (mut begun, mut ended) = (0, 0);
        while let Some((_, begins, ends)) = next.next_if(|(at, ..)| *at <= to) {
            (begun, ended) = (begun + begins, ended + ends);
        }
        (begun, ended)
    };
    let at_zero = step(*first);
    for middle in &middles[1..] {
        let before: i64 = sums.inside[sums.inside.len() - 1];
        let (begun, ended) = step(*middle);
        sums.inside.push(before + begun - ended);
        sums.open.push(before - ended);
        sums.closed.push(before + begun);
    }
    let round = step(f64::INFINITY);
    let before: i64 = over(last);
    sums.open.insert(0, before - at_zero.1 - round.1);
    sums.closed.insert(0, before + at_zero.0 + round.0);
    sums
}

/// Sorted offsets from 0 to the pitch, those that are one offset once.
pub(crate) fn sorted_cuts(mut at: Vec<f64>, pitch: f64) -> Vec<f64> {
    at.extend([0.0, pitch]);
    at.sort_unstable_by(f64::total_cmp);
    at.dedup_by(|b, a| *b - *a < SAME);
    if let Some(last) = at.last_mut() {
        *last = pitch;
    }
    at
}
