//! Taped lengths: between two corners that there are, and of a length.

use super::numbers::See;
use super::{Checker, Place};
use crate::Plan;

/// How good a tape may be said to be, mm: finer is no tape, coarser no measurement.
const GOOD_TO: (f64, f64) = (0.1, 1_000.0);

pub(super) fn numbers(plan: &Plan, see: See<'_>) {
    for (i, room) in plan.rooms.iter().enumerate() {
        for taped in &room.tape {
            see(&|| Place::Room(i), "taped length", taped.length);
            see(&|| Place::Room(i), "taped length's error", taped.good_to());
        }
    }
}

pub(super) fn check(checker: &mut Checker<'_>) {
    let plan = checker.plan;
    for (i, room) in plan.rooms.iter().enumerate() {
        let corners = room.walls.len();
        for taped in &room.tape {
            if checker.is_full() {
                return;
            }
            let last = taped.from.max(taped.to);
            if last >= corners {
                let what = format!("a length is taped to corner {}, and it has {corners}", last + 1);
                checker.add(Place::Room(i), what, "name two of its corners");
                continue;
            }
            if taped.from == taped.to {
                let what = format!("a length is taped from corner {} to itself", taped.from + 1);
                checker.add(Place::Room(i), what, "name two of its corners");
                continue;
            }
            if taped.length < 1.0 {
                let (name, length) = (taped.name(corners), checker.length(taped.length));
                let what = format!("the taped length of {name} is {length}");
                checker.add(Place::Room(i), what, "type what the tape showed, 1 mm or more");
            }
            let what = format!("taped length of {} may be out by some", taped.name(corners));
            if !(GOOD_TO.0..=GOOD_TO.1).contains(&taped.good_to()) {
                checker.within(Place::Room(i), &what, taped.good_to(), GOOD_TO.0, GOOD_TO.1);
            }
        }
    }
}
