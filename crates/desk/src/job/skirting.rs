//! A wall's skirting: the rules', none, one to come or its own; and a break in it, typed from either corner.

use super::parts::{act, choose, heading, row, with, with_several};
use crate::action::Actions;
use crate::field;
use crate::select::Selected;
use egui::{Id, Ui};
use plan::edit::SkirtingBreak;
use plan::{Plan, Skirting, edit};

/// A usual skirting, mm; practice.
const SKIRTING: f64 = 18.0;
/// How wide a break is before its width is typed, mm.
const BREAK: f64 = 600.0;

/// What runs along a wall.
pub(super) fn wall_cover(ui: &mut Ui, plan: &Plan, room: usize, wall: usize, actions: &mut Actions) {
    let Some(drawn) = plan.rooms.get(room).and_then(|room| room.walls.get(wall)) else { return };
    with_several(ui, "Skirting", |ui| {
        const WORDS: [&str; 4] = ["as the rules", "none", "to come", "its own"];
        let at = match drawn.skirting {
            None => 0,
            Some(Skirting::Without) => 1,
            Some(Skirting::ToCome) => 2,
            Some(Skirting::Thick(_)) => 3,
        };
        if let Some(chosen) = choose(ui, "skirting of the wall", WORDS[at], &WORDS) {
            let thickness = plan.rules.cover.skirting.unwrap_or(SKIRTING);
            let skirting = match chosen {
                0 => None,
                1 => Some(Skirting::Without),
                2 => Some(Skirting::ToCome),
                _ => Some(Skirting::Thick(thickness)),
            };
            actions.edit("skirting", move |plan| plan.rooms[room].walls[wall].skirting = skirting);
        }
        if let Some(Skirting::Thick(thickness)) = drawn.skirting
            && let Some(thickness) =
                field::length(ui, "thickness of the wall's skirting", thickness, plan.units)
        {
            actions.edit("skirting", move |plan| {
                plan.rooms[room].walls[wall].skirting = Some(Skirting::Thick(thickness));
            });
        }
    });
    if let Some(found) = plan.rooms.get(room).and_then(|room| edit::skirting_break(room, wall)) {
        made_break(ui, plan, (room, wall), found, actions);
    } else if drawn.skirting != Some(Skirting::Without) {
        skirting_break(ui, plan, room, wall, actions);
    }
}

/// A break that is there, to be typed over as one thing: where it begins and ends in its whole wall.
fn made_break(
    ui: &mut Ui,
    plan: &Plan,
    (room, wall): (usize, usize),
    found: SkirtingBreak,
    actions: &mut Actions,
) {
    let count = plan.rooms.get(room).map_or(1, |room| room.walls.len().max(1));
    let SkirtingBreak { beside, from, width, length } = found;
    let first = beside[0].unwrap_or(wall) + 1;
    let last = (beside[1].unwrap_or(wall) + 1) % count + 1;
    heading(ui, "Break in the skirting");
    let put = |actions: &mut Actions, from: f64, width: f64| {
        actions.try_edit("move skirting break", move |plan| {
            edit::move_break(plan, room, wall, from, width).map(drop)
        });
    };
    with(ui, &format!("Begins, from corner {first}"), |ui| {
        if let Some(mm) = field::length(ui, "break begins, from its wall's start", from, plan.units) {
            put(actions, mm, width);
        }
    });
    with(ui, "Width of the break", |ui| {
        if let Some(mm) = field::length(ui, "width of the skirting break", width, plan.units) {
            put(actions, from, mm);
        }
    });
    with(ui, &format!("Ends, from corner {last}"), |ui| {
        let left = length - from - width;
        if let Some(mm) = field::length(ui, "break ends, from its wall's end", left, plan.units) {
            put(actions, length - width - mm, width);
        }
    });
    row(ui, |ui| {
        let flip = act(ui, "flip it").on_hover_text("As far from the other end of its wall");
        if flip.clicked() {
            put(actions, found.flipped(), width);
        }
        if act(ui, "close the break").on_hover_text("The skirting runs on, the wall is one again").clicked() {
            actions
                .try_edit("close skirting break", move |plan| edit::close_break(plan, room, wall).map(drop));
            actions.select(Selected::Room(room));
        }
    });
}

/// A break to be made in the skirting: its measures typed first.
fn skirting_break(ui: &mut Ui, plan: &Plan, room: usize, wall: usize, actions: &mut Actions) {
    let Some(drawn) = plan.rooms.get(room) else { return };
    let Some(length) = drawn.wall_line(wall).map(|(a, b)| a.distance(b)) else { return };
    let id = Id::unique(("skirting break of a wall", room, wall));
    let Some((mut from, mut width)) = ui.data(|data| data.get_temp::<(f64, f64)>(id)) else {
        let begun = act(ui, "break the skirting…").on_hover_text(
            "Where something stands at the wall down to the floor, or the wall is left bare: no skirting is bought for that stretch, and its gap is filled",
        );
        if begun.clicked() {
            let width = BREAK.min(length / 2.0).round();
            ui.data_mut(|data| data.insert_temp(id, (((length - width) / 2.0).round(), width)));
        }
        return;
    };
    heading(ui, "Skirting break");
    let end = (wall + 1) % drawn.walls.len().max(1) + 1;
    with(ui, &format!("Begins, from corner {}", wall + 1), |ui| {
        if let Some(mm) = field::length(ui, "break begins, from the wall's start", from, plan.units) {
            from = mm;
        }
    });
    with(ui, "Width of the break", |ui| {
        if let Some(mm) = field::length(ui, "width of the break", width, plan.units) {
            width = mm;
        }
    });
    with(ui, &format!("Ends, from corner {end}"), |ui| {
        if let Some(mm) =
            field::length(ui, "break ends, from the wall's end", length - from - width, plan.units)
        {
            from = length - width - mm;
        }
    });
    let mut done = false;
    row(ui, |ui| {
        if act(ui, "break it there").clicked() {
            actions.try_edit("break the skirting", move |plan| {
                edit::break_skirting(plan, room, wall, from, width).map(drop)
            });
            done = true;
        }
        done |= act(ui, "leave it whole").clicked();
    });
    ui.data_mut(|data| {
        if done {
            data.remove::<(f64, f64)>(id);
        } else {
            data.insert_temp(id, (from, width));
        }
    });
}
