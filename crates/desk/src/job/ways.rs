//! How boards go in: the laying shown board by board, jambs to undercut, boards that go in another way.

use super::Facts;
use super::parts::{act, caution, fold, heading, line, note, with};
use crate::action::{Action, Actions};
use crate::canvas::{Span, extent_of};
use crate::command::Command;
use crate::field;
use crate::names;
use crate::select::Selected;
use ::fit::{Motion, WayIn};
use egui::{Slider, Ui};
use pipeline::House;
use plan::{Lock, Plan, Rules};

/// Boards listed by label; more would bury the rest of the job.
const LISTED: usize = 12;

/// What to undercut and shave, and the room that boards need.
pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, house: &House, actions: &mut Actions) {
    let fit = &house.fit;
    heading(ui, "Ways in");
    let usual = house.floor.boards.len().saturating_sub(fit.ways.len());
    line(ui, &format!("Boards that {}", fit.usual.word()), usual.to_string());
    if !fit.slips.is_empty() {
        let length = names::tape(fit.slip_length(), facts.plan.units);
        line(ui, "Slip tongue in all", length);
        for (index, door) in facts.plan.doorways.iter().enumerate() {
            let back = fit.slips.iter().filter(|slip| slip.doorway == Some(index));
            let back: f64 = back.map(fit::Slip::length).sum();
            if back > 0.0 {
                let label = format!("of it to lay back from {}", door.name);
                line(ui, &label, names::tape(back, facts.plan.units));
            }
        }
    }
    if !fit.undercuts.is_empty() {
        let title = format!("Jambs to undercut, {}", fit.undercuts.len());
        fold(ui, "undercuts", &title, |ui| {
            undercuts(ui, house, actions);
        });
    }
    if !fit.ways.is_empty() {
        let title = format!("Boards that go in another way, {}", fit.ways.len());
        fold(ui, "ways", &title, |ui| ways(ui, house, actions));
    }
    fold(ui, "room to go in", "Room to go in", |ui| room(ui, facts.plan, actions));
}

/// The laying, board by board: its words are read out as they change.
pub(super) fn laying(ui: &mut Ui, facts: &Facts<'_>, house: &House, actions: &mut Actions) {
    heading(ui, "Laying");
    ui.horizontal_wrapped(|ui| {
        let by_itself = if facts.laying.goes_on() { "hold" } else { "lay board by board" };
        for (word, command) in [
            (by_itself, Command::LayOn),
            ("board down", Command::NextBoard),
            ("board up", Command::BoardBefore),
            ("row down", Command::NextRow),
            ("row up", Command::RowBefore),
        ] {
            if act(ui, word).on_hover_text(command.tooltip(ui.ctx())).clicked() {
                actions.run(command);
            }
        }
        if facts.laying.is_shown()
            && act(ui, "whole floor").on_hover_text(Command::WholeFloor.tooltip(ui.ctx())).clicked()
        {
            actions.run(Command::WholeFloor);
        }
    });
    let Some((head, notes)) = facts.laying.words(house) else {
        note(ui, "Shows on the floor which board goes in next, and how.");
        return;
    };
    let (steps, begun) = facts.laying.steps();
    let mut step = begun;
    let slider = ui.add(Slider::new(&mut step, 0..=steps).show_value(false).text("rows begun"));
    if slider.changed() && step != begun {
        actions.push(Action::LayTo(step));
    }
    let said = ui.label(head);
    ui.ctx().accesskit_node_builder(said.id, |node| node.set_live(egui::accesskit::Live::Polite));
    for text in notes {
        note(ui, text);
    }
}

fn undercuts(ui: &mut Ui, house: &House, actions: &mut Actions) {
    for (index, jamb) in house.fit.undercuts.iter().enumerate() {
        ui.push_id(("undercut", index), |ui| {
            ui.horizontal_wrapped(|ui| {
                if act(ui, &jamb.height_words(&house.plan)).clicked() {
                    let at = house.site.frame.plan_from_row(jamb.at);
                    actions.push(Action::LookAt(Span::round(at, 1800.0)));
                }
                note(ui, jamb.name(&house.plan));
            });
        });
    }
    caution(
        ui,
        "Undercutting and sawing make fine dust: extraction, mask, eye and ear protection. Old paint may hold lead and old adhesive asbestos; have them tested first.",
    );
}

/// Boards that do not go in as their lock asks, those without a way in first.
fn ways(ui: &mut Ui, house: &House, actions: &mut Actions) {
    let plan = &house.plan;
    let mut ways: Vec<&WayIn> = house.fit.ways.iter().collect();
    ways.sort_by_key(|way| (way.motion != Motion::Blocked, way.board));
    for way in ways.iter().take(LISTED) {
        let Some(board) = house.floor.boards.get(way.board) else { continue };
        ui.push_id(("way", way.board), |ui| {
            ui.horizontal_wrapped(|ui| {
                if act(ui, &board.label).clicked() {
                    let selected = Selected::Board(way.board);
                    actions.select(selected);
                    if let Some(at) = extent_of(selected, plan, Some(house)) {
                        actions.push(Action::LookAt(Span::round(at.centre(), 1800.0)));
                    }
                }
                note(ui, way.words(plan));
            });
        });
    }
    if ways.len() > LISTED {
        note(ui, format!("and {} more: the sheet Undercut and shave lists them all", ways.len() - LISTED));
    }
}

/// The room that ways in need.
fn room(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    let mut figure = |label: &str, about: &str, mm: Option<f64>, set: fn(&mut Rules, Option<f64>)| {
        with(ui, label, |ui| {
            if let Some(mm) = field::optional_length(ui, about, mm, plan.units) {
                actions.edit("room to go in", move |plan| set(&mut plan.rules, mm));
            }
        });
    };
    let rules = &plan.rules;
    if plan.stock.lock == Lock::TongueAndGroove {
        figure("To draw a board home", "room to draw a board home", rules.slide_room, |r, mm| {
            r.slide_room = mm
        });
    } else {
        figure("Off the end joint before the tap", "travel of a folded board", rules.travel, |r, mm| {
            r.travel = mm
        });
        figure("To turn a board down", "room to turn a board down", rules.tilt_room, |r, mm| {
            r.tilt_room = mm
        });
    }
    let usual = names::length(Rules::USUAL_TRAVEL, plan.units);
    let text = match plan.stock.lock {
        Lock::TongueAndGroove => "Left empty: the depth of the tongue.".to_owned(),
        _ => format!("Left empty: {usual} off the joint, and the swing of the board's width and thickness."),
    };
    note(ui, text);
}
