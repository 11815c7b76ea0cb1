//! Joints of rows to come stay where they were planned before other rows were laid, as far as they can.

use crate::again::Memory;
use crate::ground::{Lie, TRUE};
use crate::nest::SQUARE;
use crate::search::lay_runs;
use crate::shelf::EXACT;
use crate::state::{Cut, Planned, State, Task};
use crate::yard::{AS_SOLD, LAID, NONE, Need, Source, Want};
use plan::Plan;
use std::collections::BTreeMap;

/// Lays what is left of a ground with the pieces that a floor without anything laid has there, each from the board it was
/// planned to come from; a run that cannot have them is laid anew. `planned` is that floor, of the same rows.
pub(crate) fn keep<'a>(task: &'a Task<'a>, plan: &Plan, planned: &State) -> State<'a> {
    let mut state = State::new(task, plan);
    let mut left = Vec::new();
    let Some(taken) = &task.ground.taken else { return state };
    // Of each bar of the planned floor the one it is now; of a board opened for what lies its number among those.
    let mut bars: BTreeMap<u32, u32> = BTreeMap::new();
    for (whole, run) in taken.runs.iter().zip(0..planned.cuts.len()) {
        for (from, to, cut) in places(&planned.task.ground.lies[run], &planned.cuts[run]) {
            let is_it = |index: &&usize| {
                let piece = &taken.boards[**index];
                (piece.left - from).abs() < TRUE && (piece.right - to).abs() < TRUE
            };
            let Some(index) = whole.laid.iter().find(is_it) else { continue };
            bars.insert(cut.bar, taken.laid.boards[*index].stock as u32);
            let strip = task.laid_strips.iter().position(|held| held.strip.board == *index);
            if let (Some(strip), true) = (strip, cut.strip != NONE) {
                bars.insert(cut.strip, (taken.laid.stock.len() + strip) as u32);
            }
        }
    }
    // As in a first floor, what is cut from strips comes when they are there.
    let rests = taken
        .runs
        .iter()
        .enumerate()
        .flat_map(|(run, whole)| whole.rests.iter().map(move |rest| (run, *rest)));
    let (waiting, others): (Vec<_>, Vec<_>) = rests.partition(|(_, rest)| task.rips.waits(*rest));
    for (run, rest) in others.into_iter().chain(waiting) {
        let lie = &task.ground.lies[rest];
        let inside: Vec<Cut> = match planned.cuts.get(run) {
            Some(cuts) => places(&planned.task.ground.lies[run], cuts)
                .filter(|(from, to, _)| *from > lie.run.left - TRUE && *to < lie.run.right + TRUE)
                .map(|(_, _, cut)| cut)
                .collect(),
            None => Vec::new(),
        };
        let covered: f64 = inside.iter().map(|cut| cut.length).sum();
        let pieces = match (covered - lie.length()).abs() < TRUE {
            true => pieces(&state, rest, &inside, &bars),
            false => None,
        };
        let Some(pieces) = pieces else {
            left.push(rest);
            continue;
        };
        state.lay(rest, &pieces, false);
        for (was, now) in inside.iter().zip(&state.cuts[rest]) {
            bars.insert(was.bar, now.bar);
            if was.strip != NONE && now.strip != NONE {
                bars.insert(was.strip, now.strip);
            }
        }
    }
    lay_runs(&mut state, plan, left, &mut Memory::default());
    state
}

/// Where each piece of a run lies on the plan, from the worker's left.
fn places<'c>(lie: &'c Lie, cuts: &'c [Cut]) -> impl Iterator<Item = (f64, f64, Cut)> {
    let mut at = 0.0;
    cuts.iter().map(move |cut| {
        let sides = [at, at + cut.length].map(|s| lie.plan_u(s));
        at += cut.length;
        (sides[0].min(sides[1]), sides[0].max(sides[1]), *cut)
    })
}

/// The pieces of a run as they were planned, each with its source; `None` where one of them can be had from nothing.
fn pieces(state: &State, run: usize, cuts: &[Cut], bars: &BTreeMap<u32, u32>) -> Option<Vec<Planned>> {
    let lie = &state.task.ground.lies[run];
    let (mut taken, mut spoken, mut scratch) = (Vec::new(), Vec::new(), Vec::new());
    let mut at = 0.0;
    let mut pieces: Vec<Planned> = Vec::with_capacity(cuts.len());
    let yard = &state.yard;
    let is_cut = |kind: u32, length: f64| yard.shelf.length(kind) > length + AS_SOLD;
    for (number, cut) in cuts.iter().enumerate() {
        let length = if number + 1 == cuts.len() { lie.length() - at } else { cut.length };
        let need = match (number > 0 || lie.joined[0], number + 1 < cuts.len() || lie.joined[1]) {
            (false, false) => Need::Neither,
            (false, true) => Need::Right,
            (true, false) => Need::Left,
            (true, true) => Need::Both,
        };
        let ends = [number == 0 && !lie.joined[0], number + 1 == cuts.len() && !lie.joined[1]];
        let shifts = lie.shifts(length, ends);
        let want = Want { length, need, shifts };
        // A closer from what a starter leaves of its offcut.
        let of_first = pieces.first().filter(|first| {
            let (rest, less) = yard.rest(first.source, &first.want(), &want);
            let is_it = |bar: u32| {
                let of = &yard.bars[bar as usize];
                of.left && of.right && bars.get(&cut.bar) == Some(&bar)
            };
            let is_same = matches!(first.source, Source::Bar(bar) if is_it(bar));
            shifts != SQUARE && number + 1 == cuts.len() && is_same && rest + less + EXACT >= length
        });
        let as_planned = match bars.get(&cut.bar) {
            Some(_) if of_first.is_some() => Some(Source::Rest),
            Some(bar) => {
                let of = &yard.bars[*bar as usize];
                let has_ends = match need {
                    Need::Right => of.right,
                    Need::Left => of.left,
                    Need::Neither => true,
                    Need::Both => {
                        of.left && of.right && (of.class > 0 && of.pieces == 0 || !yard.end_match())
                    }
                };
                (has_ends && yard.room(*bar, need, shifts) + EXACT >= length && !taken.contains(bar))
                    .then_some(Source::Bar(*bar))
            }
            // Two pieces of one board at both ends of a run.
            None if number > 0 && cuts[0].bar == cut.bar && matches!(pieces[0].source, Source::Fresh(_)) => {
                Some(Source::Rest)
            }
            None if cut.kind < LAID => {
                yard.shelf.fits(length, 0.0, &spoken, &mut scratch);
                scratch.contains(&cut.kind).then_some(Source::Fresh(cut.kind))
            }
            None => None,
        };
        let source = match as_planned {
            Some(source) => source,
            None => {
                let sides = [at, at + length].map(|s| lie.plan_u(s));
                let sides = (sides[0].min(sides[1]), sides[0].max(sides[1]));
                let classes = state.task.rips.serving(run, lie, sides);
                yard.best(&want, classes, (&taken, &spoken), &mut scratch)?.source
            }
        };
        match source {
            Source::Bar(bar) => taken.push(bar),
            // A board between two others is used whole.
            Source::Fresh(kind) if need == Need::Both && yard.end_match() && is_cut(kind, length) => {
                return None;
            }
            Source::Fresh(kind) => spoken.push(kind),
            Source::Rest => {}
        }
        pieces.push(Planned::new(want, source));
        at += length;
    }
    Some(pieces)
}
