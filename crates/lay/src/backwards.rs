//! Rooms that rows enter against the way they are laid: there rows lie that hang on nothing laid before, until a row
//! runs on to them through a doorway. They can be laid back from that row, turned, on a slip tongue.

use plan::{Beyond, Bounds, Places, Plan};
use site::{Frame, Uv};
use std::collections::BTreeSet;

/// Runs that share less than this of a row line do not meet, mm: corners that touch.
const SHORT: f64 = 1.0;

/// A stretch of a row line that a run lies along: least and greatest u, and the run.
pub type Meeting = (f64, f64, usize);

/// Pairs of runs that share some of a row line, from both sides of it: the one below and the one above.
pub fn meeting(mut below: Vec<Meeting>, mut above: Vec<Meeting>) -> Vec<(usize, usize)> {
    below.sort_by(|a, b| a.0.total_cmp(&b.0));
    above.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut i, mut j) = (0, 0);
    let mut found = Vec::new();
    while let (Some(low), Some(high)) = (below.get(i), above.get(j)) {
        if low.1.min(high.1) - low.0.max(high.0) > SHORT {
            found.push((low.2, high.2));
        }
        if low.1 < high.1 {
            i += 1;
        } else {
            j += 1;
        }
    }
    found
}

/// A run as it lies, row coordinates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunPlace {
    /// Its number in the lists of what meets.
    pub run: usize,
    /// Row, as in [`crate::Run::row`].
    pub row: i32,
    /// Its lower left corner.
    pub least: Uv,
    /// Its upper right corner.
    pub greatest: Uv,
}

/// Runs that lie behind a row which runs on through a doorway.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entered {
    /// The doorway.
    pub doorway: usize,
    /// The runs that hang on nothing laid before.
    pub runs: Vec<usize>,
    /// The runs that run on: they hang on what is laid before, and those above are laid back from them.
    pub onto: Vec<usize>,
}

/// Where rows of one region enter a room against the way they are laid. `before` and `after` hold for each run those it
/// meets on its laid side and beyond, all laid away from the start line.
///
/// Runs that could not all be laid back, because some row of theirs ends before a wall, are left out.
pub fn entered(
    plan: &Plan,
    places: &Places<'_>,
    frame: Frame,
    runs: &[RunPlace],
    (before, after): (&[Vec<usize>], &[Vec<usize>]),
) -> Vec<Entered> {
    let mut outwards: Vec<&RunPlace> = runs.iter().collect();
    outwards.sort_by_key(|run| if run.row < 0 { -1 - i64::from(run.row) } else { i64::from(run.row) });
    let mut hangs = vec![false; before.len()];
    for place in &outwards {
        hangs[place.run] = matches!(place.row, -1 | 0) || before[place.run].iter().any(|run| hangs[*run]);
    }
    let mut found = Vec::new();
    let mut seen = vec![false; before.len()];
    let mut by_run: Vec<Option<&RunPlace>> = vec![None; before.len()];
    runs.iter().for_each(|place| by_run[place.run] = Some(place));
    let of_run = |run: usize| by_run.get(run).copied().flatten();
    for place in outwards.iter().filter(|place| !hangs[place.run]) {
        if seen[place.run] {
            continue;
        }
        // All that hangs together with it and on nothing laid.
        let mut group = vec![place.run];
        let mut onto = BTreeSet::new();
        seen[place.run] = true;
        let mut next = 0;
        while let Some(run) = group.get(next).copied() {
            for other in before[run].iter().chain(&after[run]) {
                if hangs[*other] {
                    onto.insert(*other);
                } else if !std::mem::replace(&mut seen[*other], true) {
                    group.push(*other);
                }
            }
            next += 1;
        }
        if group.iter().any(|run| after[*run].is_empty()) {
            continue;
        }
        group.sort_unstable();
        let onto: Vec<usize> = onto.into_iter().collect();
        let middle = |run: &RunPlace| {
            Uv::new(f64::midpoint(run.least.u, run.greatest.u), f64::midpoint(run.least.v, run.greatest.v))
        };
        let names: BTreeSet<&str> = group
            .iter()
            .filter_map(|run| places.place_at(frame.plan_from_row(middle(of_run(*run)?))))
            .collect();
        let is_through = |doorway: &usize| {
            let door = &plan.doorways[*doorway];
            let far = places.far_room(door).and_then(|room| plan.rooms.get(room));
            let is_beside = names.contains(door.room.as_str())
                || far.is_some_and(|far| names.contains(far.name.as_str()));
            let throat = places.throat(*doorway).map(|throat| throat.map(|p| frame.row_from_plan(p)));
            let throat = throat.and_then(|corners| Bounds::of(corners.map(|p| [p.u, p.v])));
            // A doorway in a wall along the rows is passed in the row before.
            let reaches = |run: &usize| {
                let (Some(place), Some(throat)) = (of_run(*run), throat) else { return false };
                let height = place.greatest.v - place.least.v;
                let (low, high) = (place.least.v - height, place.greatest.v + height);
                let run = Bounds::of([[place.least.u, low], [place.greatest.u, high]]);
                run.is_some_and(|run| run.meets(throat))
            };
            door.beyond == Beyond::RunThrough && is_beside && onto.iter().any(reaches)
        };
        let through: Vec<usize> = (0..plan.doorways.len()).filter(is_through).collect();
        // Where several lead to it, one that is chosen counts.
        let chosen = through.iter().find(|door| plan.doorways[**door].slip_tongue).or(through.first());
        found.extend(chosen.map(|doorway| Entered { doorway: *doorway, runs: group, onto }));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn corners_that_touch_do_not_meet() {
        let below = vec![(0.0, 100.0, 0), (150.0, 300.0, 1)];
        // Touching at 100; a millimetre shared, no more; half a metre.
        assert_eq!(meeting(below.clone(), vec![(100.0, 150.0, 7)]), []);
        assert_eq!(meeting(below.clone(), vec![(99.0, 151.0, 7)]), []);
        assert_eq!(meeting(below, vec![(-500.0, 98.0, 7), (98.5, 152.0, 8)]), [(0, 7), (0, 8), (1, 8)]);
    }

    /// Stretches one after the other, as the runs of a row are: gaps and lengths by turns.
    fn stretches(steps: &[(f64, f64)]) -> Vec<Meeting> {
        let mut at = 0.0;
        let place = |(number, (gap, length)): (usize, &(f64, f64))| {
            let from = at + gap;
            at = from + length;
            (from, at, number)
        };
        steps.iter().enumerate().map(place).collect()
    }

    proptest! {
        /// Against every pair looked at by itself.
        #[test]
        fn what_meets_is_what_shares_a_stretch(
            below in proptest::collection::vec((0.0..40.0_f64, 5.0..200.0_f64), 0..9),
            above in proptest::collection::vec((0.0..40.0_f64, 5.0..200.0_f64), 0..9),
        ) {
            let (below, above) = (stretches(&below), stretches(&above));
            let mut expected = Vec::new();
            for low in &below {
                for high in &above {
                    if low.1.min(high.1) - low.0.max(high.0) > 1.0 {
                        expected.push((low.2, high.2));
                    }
                }
            }
            let mut found = meeting(below.into_iter().rev().collect(), above.into_iter().rev().collect());
            found.sort_unstable();
            prop_assert_eq!(found, expected);
        }
    }
}
