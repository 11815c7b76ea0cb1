//! What is drawn by chance for a run: its first piece, offcuts between two boards.

use super::Job;
use crate::nest::SQUARE;
use crate::shelf::EXACT;
use crate::yard::{Need, Offer, below, unit};
use rand_pcg::Pcg64Mcg;

/// Lengths drawn by chance are cut in steps of this, mm, so that one setting of the stop serves several.
const STOP_STEP: f64 = 10.0;
/// One of so many first pieces with a slanting end is not looked for among offcuts of its slant; one of so many that is, is
/// shortened.
const NEST_ODDS: usize = 4;

/// A class that serves some of the run: mostly a kind of strip of which there is any, where the floor is searched any that
/// serves a need; else whole width.
fn some_class(job: &Job, need: Need, rng: &mut Pcg64Mcg) -> u16 {
    let strips = &job.state.task.rips.serving_some(job.run)[1..];
    if strips.is_empty() || below(rng, 8) == 0 {
        return 0;
    }
    let need = if job.state.task.is_searched { need } else { Need::Neither };
    let start = below(rng, strips.len());
    let mut round = strips[start..].iter().chain(&strips[..start]).copied();
    round.find(|class| job.state.yard.has_offcuts(*class, need) > 0).unwrap_or(0)
}

/// Offcuts that may lie between two boards: with square ends any, else strips with both their ends.
pub(super) fn offcut_between(
    job: &Job,
    (at, most): (f64, f64),
    taken: &[u32],
    rng: &mut Pcg64Mcg,
) -> Option<u32> {
    let yard = &job.state.yard;
    let square = !yard.end_match();
    let need = if square { Need::Neither } else { Need::Both };
    let class = some_class(job, need, rng);
    if class == 0 && !square {
        return None;
    }
    let count = yard.has_offcuts(class, need);
    let (free, bar) = yard.offcut(class, need, below(rng, count))?;
    let least = job.state.task.rules.least_end;
    let serves = free <= most && free >= least && !taken.contains(&bar);
    (serves && job.classes(at, free).contains(&class)).then_some(bar)
}

/// A first piece by chance: an offcut whole or shortened, a fresh board whole or shortened.
pub(super) fn first_piece(job: &Job, rng: &mut Pcg64Mcg) -> Option<(f64, Offer)> {
    let yard = &job.state.yard;
    let least = job.state.task.rules.least_end;
    let most = job.length - least;
    if let Some(first) = nested(job, most, rng) {
        return Some(first);
    }
    let class = some_class(job, job.needs().0, rng);
    let count = yard.has_offcuts(class, job.needs().0);
    let roll = below(rng, 8);
    if count > 0 && (roll < 5 || class > 0) {
        let (free, bar) = yard.offcut(class, job.needs().0, below(rng, count))?;
        let length = if (roll < 4 || class > 0) && free <= most {
            free
        } else {
            by_chance(least, free.min(most), rng)
        };
        let is_served = class == 0 || job.classes(0.0, length).contains(&class);
        if is_served && length >= least - EXACT && length <= free + EXACT && length < job.length {
            return Some((length, yard.of_bar(bar, &job.first(length))));
        }
    }
    let kind = job.some(f64::INFINITY, &[], rng)?;
    let whole = yard.shelf.length(kind);
    let mut length = whole;
    if roll != 5 || whole > most {
        length = by_chance(least, whole.min(most), rng);
    }
    if roll > 5
        && let Some(aimed) = aimed(job, whole, rng)
    {
        length = aimed;
    }
    // Where a run is too short for two ends it is halved.
    if length >= job.length - EXACT || most < least {
        length = (job.length / 2.0).min(whole);
    }
    Some((length, yard.of_fresh(kind, length)))
}

/// In a run that begins with a slanting end, mostly: an offcut with an end of its slant, whole or shortened.
fn nested(job: &Job, most: f64, rng: &mut Pcg64Mcg) -> Option<(f64, Offer)> {
    let yard = &job.state.yard;
    let least = job.state.task.rules.least_end;
    // Any first piece long enough has the slant.
    let some = job.first(f64::INFINITY);
    if some.shifts == SQUARE || below(rng, NEST_ODDS) == 0 {
        return None;
    }
    let bar = yard.nesting(&some, below(rng, usize::MAX))?;
    let room = yard.room(bar, some.need, some.shifts);
    let is_whole = room <= most && below(rng, NEST_ODDS) > 0;
    let length = if is_whole { room } else { by_chance(least, room.min(most), rng) };
    let want = job.first(length);
    let fits = want.shifts == some.shifts && length >= least - EXACT && length < job.length;
    (fits && length <= room + EXACT).then(|| (length, yard.of_bar(bar, &want)))
}

/// A first piece of a fresh board after which, with boards as long between, some offcut closes the run as it is.
fn aimed(job: &Job, whole: f64, rng: &mut Pcg64Mcg) -> Option<f64> {
    let yard = &job.state.yard;
    let need = job.needs().1;
    let some = job.last(f64::INFINITY);
    let nesting = if some.shifts == SQUARE { None } else { yard.nesting(&some, below(rng, usize::MAX)) };
    let free = match nesting {
        Some(bar) => yard.room(bar, need, some.shifts),
        None => yard.offcut(0, need, below(rng, yard.has_offcuts(0, need)))?.0,
    };
    let rest = job.length - free;
    let least = job.state.task.rules.least_end;
    let first = rest - (rest / whole).floor() * whole;
    (first >= least && rest > 0.0).then_some(first)
}

fn by_chance(least: f64, most: f64, rng: &mut Pcg64Mcg) -> f64 {
    let length = least + unit(rng) * (most - least);
    ((length / STOP_STEP).ceil() * STOP_STEP).min(most)
}
