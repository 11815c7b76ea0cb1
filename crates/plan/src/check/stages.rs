//! Stages and waits: rooms that exist and are boarded, each in one stage.

use super::numbers::See;
use super::{Checker, Place};
use crate::{Places, Plan};
use std::collections::BTreeMap;

/// Days and hours that a job may have.
const MOST_DAYS: u32 = 1000;
const MOST_HOURS: f64 = 10_000.0;

pub(super) fn check(checker: &mut Checker<'_>, places: &Places<'_>) {
    let plan = checker.plan;
    checker.names("stage", plan.stages.iter().map(|stage| stage.name.as_str()), Place::Stage);
    let mut stage_of: BTreeMap<&str, usize> = BTreeMap::new();
    for (index, stage) in plan.stages.iter().enumerate() {
        if !(1..=MOST_DAYS).contains(&stage.day) {
            let what = format!("it begins on day {}", stage.day);
            checker.add(Place::Stage(index), what, format!("type a day from 1 to {MOST_DAYS}"));
        }
        hours(checker, Place::Stage(index), stage.hours);
        for room in &stage.rooms {
            if checker.is_full() {
                return;
            }
            match places.room_index(room).map(|room| plan.rooms[room].is_boarded()) {
                None => {
                    let what = format!("there is no room `{room}`");
                    checker.add(Place::Stage(index), what, "name a boarded room, or take it out");
                }
                Some(false) => {
                    let what = format!("{room} is not boarded");
                    checker.add(Place::Stage(index), what, "name a boarded room");
                }
                Some(true) => {
                    if let Some(earlier) = stage_of.insert(room, index) {
                        let first = &plan.stages[earlier].name;
                        let what = format!("{room} stands in {first} already");
                        checker.add(Place::Stage(index), what, "take it out of one of them");
                    }
                }
            }
        }
    }
    for (field, wait) in plan.waits.all() {
        hours(checker, Place::Waits(field), wait);
    }
}

fn hours(checker: &mut Checker<'_>, place: Place, hours: Option<f64>) {
    if let Some(hours) = hours.filter(|hours| !(0.0..=MOST_HOURS).contains(hours)) {
        checker.add(place, format!("it takes {hours} hours"), format!("type 0 to {MOST_HOURS} hours"));
    }
}

/// Every number of stages and waits.
pub(super) fn numbers(plan: &Plan, see: See<'_>) {
    for (index, stage) in plan.stages.iter().enumerate() {
        see(&|| Place::Stage(index), "hours", stage.hours.unwrap_or(0.0));
    }
    for (field, wait) in plan.waits.all() {
        see(&|| Place::Waits(field), "hours", wait.unwrap_or(0.0));
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{accept, expect};
    use crate::{Covering, Stage};

    fn stage(name: &str, rooms: &[&str], day: u32) -> Stage {
        Stage { name: name.into(), rooms: rooms.iter().map(|&room| room.into()).collect(), day, hours: None }
    }

    #[test]
    fn a_room_is_boarded_and_stands_in_one_stage() {
        accept(|plan| plan.stages = vec![stage("A", &["Left"], 1), stage("B", &["Right"], 2)]);
        accept(|plan| plan.stages = vec![stage("A", &[], 1)]);
        expect(|plan| plan.stages = vec![stage("A", &["Attic"], 1)], "A", "no room `Attic`");
        expect(
            |plan| plan.stages = vec![stage("A", &["Left"], 1), stage("B", &["Left"], 2)],
            "B",
            "stands in A already",
        );
        expect(|plan| plan.stages = vec![stage("A", &["Left"], 0)], "A", "begins on day 0");
        expect(|plan| plan.stages = vec![stage("A", &[], 1), stage("A", &[], 2)], "A", "same name");
        expect(|plan| plan.waits.walk = Some(f64::NAN), "waits, walk", "NaN");
        expect(|plan| plan.waits.barrier_coat = Some(-2.0), "waits, barrier coat", "-2 hours");
        expect(
            |plan| {
                plan.stages = vec![stage("B", &["Right"], 1)];
                plan.doorways[0].beyond = crate::Beyond::UnderLeaf;
                plan.rooms[1].covering = Covering::Other("stone".into());
            },
            "B",
            "Right is not boarded",
        );
    }
}
