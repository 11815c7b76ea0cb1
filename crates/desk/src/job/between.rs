//! The wall between two rooms: its thickness, typed; the room behind follows.

use super::parts::{choose, with};
use crate::action::Actions;
use crate::field;
use crate::names;
use egui::Ui;
use plan::Plan;
use plan::edit::{self, Follows};

/// The thickness to each room behind a wall, and what moves when it is typed; nothing where no room stands behind it.
pub(super) fn between(ui: &mut Ui, plan: &Plan, room: usize, wall: usize, actions: &mut Actions) {
    let behind = edit::behind(plan, room, wall);
    if behind.is_empty() {
        return;
    }
    let id = egui::Id::unique("what follows a thickness");
    let mut follows = ui.data(|data| data.get_temp(id)).unwrap_or(Follows::Room);
    for other in behind {
        let name = plan.rooms.get(other.room).map_or("", |room| &room.name).to_owned();
        with(ui, &format!("Thick, to {name}"), |ui| {
            let now = (other.thickness * 10.0).round() / 10.0;
            if let Some(thickness) =
                field::length(ui, &format!("wall's thickness to {name}"), now, plan.units)
            {
                let step = format!("wall thickness, {}", names::wall(plan, room, wall));
                actions.try_edit(step, move |plan| {
                    edit::set_thickness(plan, room, wall, other, thickness, follows)
                });
            }
        });
    }
    with(ui, "Then moves", |ui| {
        let words = ["the room behind, whole", "its wall alone"];
        let current = words[usize::from(follows == Follows::Wall)];
        if let Some(chosen) = choose(ui, "what follows a thickness", current, &words) {
            follows = if chosen == 0 { Follows::Room } else { Follows::Wall };
        }
    });
    ui.data_mut(|data| data.insert_temp(id, follows));
}
