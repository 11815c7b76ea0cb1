//! Set out: the rows' direction, the start line, its pulls and what it leaves.

use super::Facts;
use super::parts::{act, line, note, with};
use crate::action::Actions;
use crate::command::Command;
use crate::field;
use crate::names;
use egui::Ui;
use plan::StartLine;

pub(super) fn state(facts: &Facts<'_>) -> String {
    let Some(house) = facts.house else { return "waits for a room".into() };
    let edges = names::count(house.setout.chosen.rips.len(), "edge", "edges");
    let which = match facts.plan.start_line {
        StartLine::Best => "best line",
        StartLine::At(_) => "line by hand",
        StartLine::Safest => "safest line",
    };
    format!("{which}, {edges} valued")
}

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let (plan, units) = (facts.plan, facts.plan.units);
    let word = if ui.available_width() < 290.0 { "Rows" } else { "Rows run at" };
    with(ui, word, |ui| {
        ui.label("°");
        if let Some(angle) = field::number(ui, "direction of the rows, degrees", plan.rows_at) {
            actions.edit("turn the rows", move |plan| plan.rows_at = half_turn(angle));
        }
        for (angle, word) in [(90.0, "up"), (0.0, "across")] {
            if ui.selectable_label(plan.rows_at == angle, word).clicked() {
                actions.edit("turn the rows", move |plan| plan.rows_at = angle);
            }
        }
    });
    let Some(house) = facts.house else {
        note(ui, "Draw a boarded room to see where the start line goes.");
        return;
    };
    let setout = &house.setout;
    if let Some(snap) = &setout.line {
        for pull in &snap.pulls {
            let room = plan.rooms.get(pull.room).map_or("", |room| room.name.as_str());
            line(
                ui,
                &format!("Pull {} from {room}, corner {}", pull.letter, pull.wall + 1),
                names::length(pull.distance.round(), units),
            )
            .on_hover_text(
                "A pull is a tape measure from a corner, square to the start line; two of them snap it",
            );
        }
        if let Some(check) = &snap.check {
            let room = plan.rooms.get(check.room).map_or("", |room| room.name.as_str());
            line(
                ui,
                &format!("Check {} from {room}, corner {}", check.letter, check.wall + 1),
                names::length(check.distance.round(), units),
            )
            .on_hover_text("A third pull: if it does not agree, snap the line again");
        }
        if let Some(first) = snap.first_rip.and_then(|rip| setout.chosen.rips.get(rip)) {
            let taken_off = (setout.pitch - first.least).max(0.0);
            line(ui, "First rip", names::length(round_tenth(first.least), units)).on_hover_text(
                "A rip is the width kept of a board sawn along its length; the first rip is the one along the wall that the line is pulled from",
            );
            line(ui, "Taken off", names::length(round_tenth(taken_off), units))
                .on_hover_text("What is sawn away, kerf and all: rip and taken off make a board");
        }
    }
    line(
        ui,
        "Safe if the tape is out by",
        format!("± {}", names::length(round_tenth(setout.chosen.safe_by), units)),
    )
    .on_hover_text("So far may the line be out before another edge ends in a rip under the least");
    ui.add_space(4.0);
    note(ui, sentence(facts, house));
    ui.horizontal(|ui| {
        if act(ui, "use the best line").on_hover_text(Command::BestLine.tooltip(ui.ctx())).clicked() {
            actions.run(Command::BestLine);
        }
        if setout.runner_up.is_some() && act(ui, "use the runner-up").clicked() {
            actions.run(Command::RunnerUp);
        }
        if act(ui, "use the safest").on_hover_text(Command::SafestLine.tooltip(ui.ctx())).clicked() {
            actions.run(Command::SafestLine);
        }
    });
}

fn sentence(facts: &Facts<'_>, house: &pipeline::House) -> String {
    let (plan, units) = (facts.plan, facts.plan.units);
    let setout = &house.setout;
    let figure = |mm: f64| names::length(round_tenth(mm), units);
    let at = |line: &setout::Candidate| names::binding(plan, line);
    let mut text = format!(
        "This line leaves {} at the narrowest, at {}.",
        figure(setout.chosen.narrowest),
        at(&setout.chosen)
    );
    if setout.chosen.short_length > 0.0 {
        text +=
            &format!(" {} of edge falls under the least rip.", figure(setout.chosen.short_length.round()));
    }
    let is_best = (setout.chosen.offset - setout.best.offset).abs() < 0.05;
    if !is_best {
        text += &format!(" The best line leaves {}.", figure(setout.best.narrowest));
    } else if let Some(next) = &setout.runner_up {
        let over = (next.offset - setout.chosen.offset).abs();
        text += &format!(
            " The next best, {} over, leaves {} at {}.",
            figure(over.min(setout.pitch - over).round()),
            figure(next.narrowest),
            at(next)
        );
    }
    text
}

fn round_tenth(mm: f64) -> f64 {
    (mm * 10.0).round() / 10.0
}

/// The same direction in -90..=90: rows have no head.
fn half_turn(degrees: f64) -> f64 {
    let turned = degrees.rem_euclid(180.0);
    if turned > 90.0 { turned - 180.0 } else { turned }
}

#[cfg(test)]
mod tests {
    #[test]
    fn rows_have_no_head() {
        for (typed, stored) in [(0.0, 0.0), (90.0, 90.0), (-90.0, 90.0), (135.0, -45.0), (725.0, 5.0)] {
            assert_eq!(super::half_turn(typed), stored);
        }
    }
}
