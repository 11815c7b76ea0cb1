//! The search of a floor of many runs: its ripped runs are laid side by side first, the others around them.

use super::{Chain, Progress, epoch_of, is_new_spell, warmth};
use crate::abreast::Abreast;
use crate::state::{State, Value};
use plan::Plan;
use std::ops::ControlFlow;

/// So many times as much as a chain of a small floor a move may make a large one worse: it has too few moves for each run to settle
/// what it loosens.
const COOLER: f64 = 0.2;
/// In each stage so many spells of divisions, and then moves for each run, from the floor that they leave. A stage may leave a worse floor than
/// the one before, of which then the best stands; so they are few, and each takes much more time than all before it.
const STAGES: [(u32, u64); 3] = [(3, 30), (2, 30), (1, u64::MAX)];
/// Moves for each run in which the ripped ones stay as they were laid side by side. What a floor just laid around them wastes would
/// else be saved at their cost.
const HELD: u64 = 20;
/// Divisions that take as long as a move.
const DIVISIONS: u64 = 4;

/// The best floor so far.
struct Best<'a> {
    floor: State<'a>,
    value: Value,
}

impl<'a> Best<'a> {
    fn offer(&mut self, floor: &State<'a>, value: &Value) {
        if value.beats(&self.value) {
            *self = Self { floor: floor.clone(), value: *value };
        }
    }
}

/// Improves a floor until `effort` moves are taken or `look` breaks it off; gives the best floor and the moves taken. A few divisions of
/// ripped runs count as a move. Where they are broken off, those since the last floor were for nothing and do not count, so that the
/// moves that do name the floor.
pub(super) fn improve<'a>(
    mut first: State<'a>,
    plan: &Plan,
    effort: u64,
    look: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
) -> (State<'a>, u64) {
    first.yard.shelf.price_by_length();
    first.yard.tidy();
    let runs = first.cuts.len() as u64;
    let length = epoch_of(runs);
    let look = |value: &Value, moves: u64| look(value.progress(moves, effort.max(moves)));
    let mut best = Best { value: first.value(), floor: first.clone() };
    let mut chain = Chain::new(first, plan.seed, 0);
    // A better floor is soon there: rips take a second to lie side by side on 10,000 m².
    chain.epoch(COOLER * warmth(0), length);
    best.offer(&chain.best, &chain.value);
    let (mut epoch, mut moves, mut begun, mut spell) = (1, length, 0, 0);
    if look(&best.value, moves).is_break() {
        return (best.floor, moves);
    }
    let mut abreast = Abreast::new(best.floor.task, plan);
    for (spells, per_run) in STAGES {
        let mut laid = None;
        for _ in 0..spells {
            let Some(abreast) = &mut abreast else { break };
            let divisions = abreast.divisions(spell);
            let cost = divisions.div_ceil(DIVISIONS);
            if moves + cost > effort {
                break;
            }
            let tried = |tried: u64| look(&best.value, moves + tried / DIVISIONS);
            if abreast.spell(divisions, tried).is_break() {
                return (best.floor, moves);
            }
            moves += cost;
            spell += 1;
            if let Some(floor) = abreast.floor(plan, best.floor.wish) {
                best.offer(&floor, &floor.value());
                laid = Some(floor);
            }
        }
        let is_around = laid.is_some();
        if let Some(floor) = laid {
            chain.begin_from(floor);
            (epoch, begun) = (0, moves);
        }
        let since = moves;
        while moves < effort && moves - since < runs.saturating_mul(per_run) {
            if is_new_spell(epoch) {
                chain.go_on_from(chain.best.clone());
            }
            chain.holds_rips = is_around && moves - begun < HELD * runs;
            chain.epoch(COOLER * warmth(epoch), length);
            epoch += 1;
            moves += length;
            best.offer(&chain.best, &chain.value);
            if look(&best.value, moves).is_break() {
                return (best.floor, moves);
            }
        }
    }
    (best.floor, moves)
}
