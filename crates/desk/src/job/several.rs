//! Several things selected together: what they have in common, typed once for all.

use super::Facts;
use super::parts::{act, choose, note, with, with_several};
use crate::action::Actions;
use crate::command::Command;
use crate::field;
use crate::names;
use egui::Ui;
use plan::{Beyond, Covering, FixtureKind, Lining, Place, Plan, Sight};

/// What is shown where they differ.
const DIFFERS: &str = "several";

/// The figures they share, and what can be done with all of them.
pub(crate) fn several(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let plan = facts.plan;
    let places: Vec<Place> = facts.selection().filter_map(|thing| thing.thing()).collect();
    let of = |kind: fn(&Place) -> Option<usize>| places.iter().filter_map(kind).collect::<Vec<usize>>();
    let rooms = of(|place| if let Place::Room(index) = place { Some(*index) } else { None });
    let doorways = of(|place| if let Place::Doorway(index) = place { Some(*index) } else { None });
    let fixtures = of(|place| if let Place::Fixture(index) = place { Some(*index) } else { None });
    let joints = of(|place| if let Place::Joint(index) = place { Some(*index) } else { None });
    // What they have in common is theirs all: of mixed things nothing is.
    let count = places.len();
    if rooms.len() == count {
        room_figures(ui, plan, &rooms, actions);
    } else if doorways.len() == count {
        doorway_figures(ui, plan, &doorways, actions);
    } else if fixtures.len() == count {
        fixture_figures(ui, plan, &fixtures, actions);
    } else if joints.len() == count {
        joint_figures(ui, plan, &joints, actions);
    } else {
        note(ui, "They are of several kinds: move, copy, pin or remove them together.");
    }
    let pinned = places.iter().filter(|place| plan.is_pinned(place)).count();
    note(
        ui,
        match pinned {
            0 => "Arrows and drags move all of them. Shift and a click adds one or takes it away.".to_owned(),
            n => format!("{n} of them pinned down: so none is moved or removed until the pins are out."),
        },
    );
    ui.horizontal_wrapped(|ui| {
        let is_pinned = !places.is_empty() && places.iter().all(|place| plan.is_pinned(place));
        let any_pinned = places.iter().any(|place| plan.is_pinned(place));
        for (word, command) in [
            ("remove", Command::Delete),
            ("copy", Command::Duplicate),
            (if is_pinned { "unpin" } else { "pin down" }, Command::PinDown),
        ] {
            // What is pinned down cannot be removed: it is not offered.
            if command == Command::Delete && any_pinned {
                continue;
            }
            if act(ui, word).on_hover_text(command.tooltip(ui.ctx())).clicked() {
                actions.run(command);
            }
        }
    });
}

/// The value they share; `None` where they differ.
fn common<T: PartialEq>(mut values: impl Iterator<Item = T>) -> Option<T> {
    let first = values.next()?;
    values.all(|value| value == first).then_some(first)
}

fn room_figures(ui: &mut Ui, plan: &Plan, rooms: &[usize], actions: &mut Actions) {
    let of = rooms.iter().filter_map(|index| plan.rooms.get(*index));
    let step = |what: &str| format!("{what} of {} rooms", rooms.len());
    let boarded = common(of.clone().map(|room| room.covering == Covering::Boards));
    with(ui, "Covering", |ui| {
        let words = ["boards", "something else"];
        let now = boarded.map_or(DIFFERS, |boarded| words[usize::from(!boarded)]);
        if let Some(chosen) = choose(ui, "covering of all", now, &words) {
            let rooms = rooms.to_vec();
            actions.edit(step("covering"), move |plan| {
                for room in rooms {
                    match chosen {
                        0 => plan.rooms[room].covering = Covering::Boards,
                        _ => crate::covering::leave_unboarded(plan, room, Covering::Other("stone".into())),
                    }
                }
            });
        }
    });
    with(ui, "Their walls are", |ui| {
        const SIGHTS: [Sight; 3] = [Sight::Open, Sight::Passing, Sight::Closed];
        let now = common(of.clone().map(|room| room.sight)).map_or(DIFFERS, names::sight);
        if let Some(chosen) = choose(ui, "how much they are seen", now, &SIGHTS.map(names::sight)) {
            let rooms = rooms.to_vec();
            actions.edit(step("sight"), move |plan| {
                rooms.iter().for_each(|room| plan.rooms[*room].sight = SIGHTS[chosen]);
            });
        }
    });
}

fn doorway_figures(ui: &mut Ui, plan: &Plan, doorways: &[usize], actions: &mut Actions) {
    let of = doorways.iter().filter_map(|index| plan.doorways.get(*index));
    let step = |what: &str| format!("{what} of {} doorways", doorways.len());
    with(ui, "Width", |ui| {
        let now = common(of.clone().map(|doorway| doorway.width));
        if let Some(Some(width)) = field::optional_length(ui, "width of all", now, plan.units)
            && width > 0.0
        {
            let doorways = doorways.to_vec();
            actions.try_edit(step("width"), move |plan| {
                doorways.iter().try_for_each(|index| plan::edit::set_doorway_width(plan, *index, width))
            });
        }
    });
    with(ui, "Boards", |ui| {
        let words = ["run through", "stop under the leaf", "stop at a trim"];
        let now = common(of.clone().map(|doorway| match doorway.beyond {
            Beyond::RunThrough => 0,
            Beyond::UnderLeaf => 1,
            Beyond::Trim(_) => 2,
        }));
        if let Some(chosen) =
            choose(ui, "how the boards end in all", now.map_or(DIFFERS, |at| words[at]), &words)
        {
            let (doorways, beyond) =
                (doorways.to_vec(), [Beyond::RunThrough, Beyond::UnderLeaf, Beyond::Trim(30.0)][chosen]);
            actions.edit(step("finish"), move |plan| {
                doorways.iter().for_each(|index| plan.doorways[*index].beyond = beyond);
            });
        }
    });
    with(ui, "Lining", |ui| {
        let words = ["fitted", "to come"];
        let now = common(of.clone().map(|doorway| usize::from(doorway.lining == Lining::ToCome)));
        if let Some(chosen) = choose(ui, "lining of all", now.map_or(DIFFERS, |at| words[at]), &words) {
            let (doorways, lining) =
                (doorways.to_vec(), if chosen == 0 { Lining::Fitted } else { Lining::ToCome });
            actions.edit(step("lining"), move |plan| {
                doorways.iter().for_each(|index| plan::edit::set_lining(plan, *index, lining));
            });
        }
    });
}

fn fixture_figures(ui: &mut Ui, plan: &Plan, fixtures: &[usize], actions: &mut Actions) {
    let of = fixtures.iter().filter_map(|index| plan.fixtures.get(*index));
    let step = |what: &str| format!("{what} of {} fixtures", fixtures.len());
    let kind = common(of.clone().map(|fixture| names::fixture_kind(fixture.kind)));
    with(ui, "They are", |ui| {
        let words = super::props::KINDS.map(names::fixture_kind);
        if let Some(chosen) = choose(ui, "kind of all", kind.unwrap_or(DIFFERS), &words) {
            let fixtures = fixtures.to_vec();
            actions.edit(step("kind"), move |plan| {
                fixtures.iter().for_each(|index| plan.fixtures[*index].kind = super::props::KINDS[chosen]);
            });
        }
    });
    if common(of.clone().map(|fixture| fixture.kind)).is_some_and(FixtureKind::is_under_boards) {
        return;
    }
    with_several(ui, "Gap, least · greatest", |ui| {
        let gap = common(of.clone().map(|fixture| fixture.gap)).flatten();
        let typed = |greatest: bool, mm: f64| {
            let fixtures = fixtures.to_vec();
            move |plan: &mut Plan| {
                let usual = plan.rules.wall_gap;
                for index in fixtures {
                    let gap = plan.fixtures[index].gap.get_or_insert(usual);
                    if greatest {
                        gap.greatest = mm
                    } else {
                        gap.least = mm
                    }
                    // The one that was not typed gives way.
                    match greatest {
                        true => gap.least = gap.least.min(mm),
                        false => gap.greatest = gap.greatest.max(mm),
                    }
                }
            }
        };
        let (least, greatest) = {
            let of = |ui: &mut Ui, name, mm| field::optional_length(ui, name, mm, plan.units).flatten();
            (
                of(ui, "least gap of all", gap.map(|gap| gap.least)),
                of(ui, "greatest gap of all", gap.map(|gap| gap.greatest)),
            )
        };
        if let Some(mm) = greatest {
            actions.edit(step("gap"), typed(true, mm));
        }
        if let Some(mm) = least {
            actions.edit(step("gap"), typed(false, mm));
        }
    });
}

fn joint_figures(ui: &mut Ui, plan: &Plan, joints: &[usize], actions: &mut Actions) {
    with(ui, "Width", |ui| {
        let now = common(joints.iter().filter_map(|index| plan.joints.get(*index)).map(|joint| joint.width));
        if let Some(Some(width)) = field::optional_length(ui, "width of all joints", now, plan.units) {
            let joints = joints.to_vec();
            actions.try_edit(format!("width of {} movement joints", joints.len()), move |plan| {
                joints.iter().try_for_each(|index| plan::edit::set_joint_width(plan, *index, width))
            });
        }
    });
}
