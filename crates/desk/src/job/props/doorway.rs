//! A doorway: where it stands, its leaf and lining, and how the boards end in it.

use super::super::parts::{choose, with};
use crate::action::Actions;
use crate::field;
use egui::Ui;
use plan::{Beyond, Leaf, Lining, Place, Plan, Side, edit};

pub(crate) fn doorway_props(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let units = plan.units;
    let Some(doorway) = plan.doorways.get(index) else { return };
    with(ui, "Name", |ui| {
        if let Some(name) = field::words(ui, "name of the doorway", &doorway.name, 150.0) {
            actions.try_edit("rename doorway", move |plan| edit::rename_doorway(plan, index, &name));
        }
    });
    doorway_figures(ui, plan, index, actions);
    with(ui, "Rough opening", |ui| {
        if let Some(width) = field::optional_length(ui, "rough opening", doorway.rough_width, units) {
            actions.edit("rough opening", move |plan| plan.doorways[index].rough_width = width);
        }
    });
    ui.add_enabled_ui(!plan.is_pinned(&Place::Doorway(index)), |ui| {
        with(ui, "Wall thickness", |ui| {
            if let Some(thickness) = field::length(ui, "wall thickness", doorway.wall_thickness, units) {
                actions.try_edit("wall thickness", move |plan| {
                    edit::set_doorway_thickness(plan, index, thickness)
                });
            }
        });
    });
    super::super::doorway::doorway_levels(ui, plan, index, actions);
    with(ui, "Leaf", |ui| {
        let words = ["on hinges", "slides, in the wall or on a track", "none: a cased opening"];
        let now = match doorway.leaf {
            Some(leaf) => usize::from(leaf.slides),
            None => 2,
        };
        if let Some(chosen) = choose(ui, "how the leaf is hung", words[now], &words) {
            let usual = Leaf::swinging(Side::Near, 40.0);
            let leaf = doorway.leaf.unwrap_or(usual);
            let leaf = (chosen < 2).then_some(Leaf { slides: chosen == 1, ..leaf });
            actions.edit("door leaf", move |plan| plan.doorways[index].leaf = leaf);
        }
    });
    if let Some(leaf) = doorway.leaf {
        leaf_lines(ui, plan, index, leaf, actions);
    }
    with(ui, "Lining", |ui| {
        let current = if doorway.lining == Lining::Fitted { "fitted" } else { "to come" };
        if let Some(chosen) = choose(ui, "lining", current, &["fitted", "to come"]) {
            let lining = if chosen == 0 { Lining::Fitted } else { Lining::ToCome };
            actions.edit("lining", move |plan| plan::edit::set_lining(plan, index, lining));
        }
    });
}

fn leaf_lines(ui: &mut Ui, plan: &Plan, index: usize, leaf: Leaf, actions: &mut Actions) {
    with(ui, "Leaf thickness", |ui| {
        if let Some(thickness) = field::length(ui, "leaf thickness", leaf.thickness, plan.units) {
            actions.edit("leaf thickness", move |plan| {
                plan.doorways[index].leaf = Some(Leaf { thickness, ..leaf });
            });
        }
    });
    if leaf.slides {
        return;
    }
    let room = plan.doorways.get(index).map_or("", |d| d.room.as_str());
    with(ui, "Leaf closes flush with", |ui| {
        let near = format!("the {room} side");
        let current = if leaf.closes_on == Side::Near { near.as_str() } else { "the far side" };
        if let Some(chosen) = choose(ui, "side the leaf closes on", current, &[&near, "the far side"]) {
            let closes_on = if chosen == 0 { Side::Near } else { Side::Far };
            actions
                .edit("leaf side", move |plan| plan.doorways[index].leaf = Some(Leaf { closes_on, ..leaf }));
        }
    });
}

/// What a doorway's card shows: where, how wide, how the boards end.
pub(crate) fn doorway_figures(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let units = plan.units;
    let Some(doorway) = plan.doorways.get(index) else { return };
    let is_loose = !plan.is_pinned(&Place::Doorway(index));
    ui.add_enabled_ui(is_loose, |ui| doorway_place(ui, plan, index, actions));
    with(ui, "Boards", |ui| {
        let words = ["run through", "stop under the leaf", "stop at a trim"];
        let current = match doorway.beyond {
            Beyond::RunThrough => 0,
            Beyond::UnderLeaf => 1,
            Beyond::Trim(_) => 2,
        };
        if let Some(chosen) = choose(ui, "how the boards end", words[current], &words) {
            let beyond = [Beyond::RunThrough, Beyond::UnderLeaf, Beyond::Trim(30.0)][chosen];
            actions.edit("doorway finish", move |plan| plan.doorways[index].beyond = beyond);
        }
    });
    if let Beyond::Trim(width) = doorway.beyond {
        with(ui, "Trim width", |ui| {
            if let Some(width) = field::length(ui, "width of the trim", width, units) {
                actions.edit("trim width", move |plan| plan.doorways[index].beyond = Beyond::Trim(width));
            }
        });
    }
    doorway_stop(ui, plan, index, actions);
}

/// Where boards that end in a doorway stop: before a track or a frame, where it is not under the leaf.
fn doorway_stop(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let Some(doorway) = plan.doorways.get(index).filter(|door| door.beyond != Beyond::RunThrough) else {
        return;
    };
    let line = ui.scope(|ui| {
        with(ui, &format!("They stop, from {}'s face", doorway.room), |ui| {
            if let Some(stop) = field::optional_length(ui, "where boards stop", doorway.stop, plan.units) {
                actions.edit("where boards stop", move |plan| plan.doorways[index].stop = stop);
            }
        });
    });
    line.response.on_hover_text(
        "For a door that stands on a track or in a frame: the tape from the wall's face to where the last board ends. \
         Empty, they stop under the middle of the leaf.",
    );
}

/// How wide a doorway is and where it stands in its wall.
fn doorway_place(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let units = plan.units;
    let Some(doorway) = plan.doorways.get(index) else { return };
    with(ui, "Width", |ui| {
        if let Some(width) = field::length(ui, "width of the doorway", doorway.width, units) {
            actions.try_edit("doorway width", move |plan| edit::set_doorway_width(plan, index, width));
        }
    });
    let room = plan.room_index(&doorway.room).and_then(|room| plan.rooms.get(room));
    // Counted as on the floor and on the sheets: a wall begins at the corner of its own number.
    let corners = room.map_or(0, |room| room.walls.len()).max(1);
    let [from, to] = [doorway.wall + 1, (doorway.wall + 1) % corners + 1].map(|n| format!("From corner {n}"));
    with(ui, &from, |ui| {
        if let Some(at) = field::length(ui, "distance from the corner", doorway.at, units) {
            actions.try_edit("move doorway", move |plan| edit::place_doorway(plan, index, at));
        }
    });
    let wall = room.and_then(|room| room.wall_line(doorway.wall));
    if let Some(length) = wall.map(|(a, b)| a.distance(b)) {
        let width = doorway.width;
        with(ui, &to, |ui| {
            let left = length - doorway.at - width;
            if let Some(left) = field::length(ui, "distance from the wall's other end", left, units) {
                let at = length - width - left;
                actions.try_edit("move doorway", move |plan| edit::place_doorway(plan, index, at));
            }
        });
    }
}
