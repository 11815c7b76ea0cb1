//! The picture under the plan: its file, its scale, how it lies and how far it is faded.

use super::Facts;
use super::parts::{act, heading, line, note, row, with, with_several};
use crate::action::{Action, Actions};
use crate::command::Command;
use crate::field;
use crate::palette::Palette;
use egui::{Slider, Ui};
use plan::{Backdrop, Point};

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    heading(ui, "Picture to draw over");
    let Some(backdrop) = &facts.plan.backdrop else {
        if act(ui, "lay a picture under…").clicked() {
            actions.run(Command::LayPicture);
        }
        return;
    };
    ui.add(egui::Label::new(&backdrop.file).truncate()).on_hover_text(&backdrop.file);
    if let Some(trouble) = &facts.picture {
        ui.colored_label(Palette::current(ui.ctx()).fault, &trouble.what);
        note(ui, &trouble.mend);
        row(ui, |ui| {
            if act(ui, "read it again").clicked() {
                actions.push(Action::ReadPicture);
            }
            if act(ui, "choose it again…").clicked() {
                actions.run(Command::LayPicture);
            }
            if act(ui, "take it as it is").clicked() {
                actions.push(Action::TakePicture(Box::new(backdrop.clone())));
            }
        });
    }
    line(ui, "One pixel is", format!("{:.2} mm", backdrop.scale));
    if act(ui, "set it to scale").on_hover_text(Command::SetPictureScale.about()).clicked() {
        actions.run(Command::SetPictureScale);
    }
    note(ui, "Prints and scans are stretched: check a second length, across the first, before you trust it.");
    let units = facts.plan.units;
    with_several(ui, "Lower left corner, x and y", |ui| {
        if let Some(x) = field::length(ui, "x of the picture", backdrop.at.x, units) {
            let at = Point::new(x, backdrop.at.y);
            edit(actions, "move picture", move |backdrop| backdrop.at = at);
        }
        if let Some(y) = field::length(ui, "y of the picture", backdrop.at.y, units) {
            let at = Point::new(backdrop.at.x, y);
            edit(actions, "move picture", move |backdrop| backdrop.at = at);
        }
    });
    with(ui, "Turned by, degrees", |ui| {
        if let Some(turn) = field::number(ui, "turn of the picture", backdrop.turn) {
            edit(actions, "turn picture", move |backdrop| backdrop.turn = turn);
        }
    });
    with(ui, "Faded, %", |ui| {
        let mut faded = (backdrop.dim * 100.0).round();
        let slider = ui.add(Slider::new(&mut faded, 0.0..=100.0).step_by(5.0).show_value(false));
        let slider = slider.accessible_name("fading of the picture");
        // One step to undo for a drag; each press of a key is one, too.
        if slider.drag_started() {
            actions.push(Action::Begin("fade picture".into()));
        }
        if slider.changed() {
            let dim = faded / 100.0;
            match slider.dragged() {
                true => actions.push(Action::Live(Box::new(faded_plan(facts, dim)))),
                false => edit(actions, "fade picture", move |backdrop| backdrop.dim = dim),
            }
        }
        if slider.drag_stopped() {
            actions.push(Action::Keep);
        }
    });
    let mut over = backdrop.over;
    if ui.checkbox(&mut over, "over the floor, to see what differs").changed() {
        edit(actions, "picture over or under", move |backdrop| backdrop.over = over);
    }
    if act(ui, "take the picture out").clicked() {
        actions.edit("take the picture out", |plan| plan.backdrop = None);
    }
}

fn edit(actions: &mut Actions, name: &str, change: impl FnOnce(&mut Backdrop) + 'static) {
    actions.edit(name, move |plan| {
        if let Some(backdrop) = &mut plan.backdrop {
            change(backdrop);
        }
    });
}

fn faded_plan(facts: &Facts<'_>, dim: f64) -> plan::Plan {
    let mut plan = facts.plan.clone();
    if let Some(backdrop) = &mut plan.backdrop {
        backdrop.dim = dim;
    }
    plan
}
