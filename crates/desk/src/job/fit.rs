//! Fit: continuous floor against its limits, and the boards that slide in.

use super::Facts;
use super::parts::{caution, heading, line, note};
use crate::action::{Action, Actions};
use crate::canvas::{Span, extent_of};
use crate::names;
use crate::select::Selected;
use egui::Ui;

/// Slides listed by label.
const LISTED: usize = 12;

pub(super) fn state(facts: &Facts<'_>) -> String {
    let Some(house) = facts.house else { return "waits for boards".into() };
    let widest = house.fit.widths.iter().map(|width| width.extent).fold(0.0, f64::max);
    let slides = match house.fit.slides.len() {
        0 => "nothing to undercut".to_owned(),
        n => names::count(n, "board slides", "boards slide"),
    };
    format!("{slides}, {} wide", names::length(widest.round(), facts.plan.units))
}

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let Some(house) = facts.house else {
        note(ui, "Nothing to fit yet.");
        return;
    };
    let units = facts.plan.units;
    let widest = |list: &[::fit::Continuous]| list.iter().map(|c| c.extent).fold(0.0, f64::max);
    let against = |mm: f64, limit: f64| {
        format!("{} of {}", names::length(mm.round(), units), names::length(limit, units))
    };
    line(ui, "Widest across the boards", against(widest(&house.fit.widths), facts.plan.rules.greatest_width));
    line(
        ui,
        "Longest along the boards",
        against(widest(&house.fit.lengths), facts.plan.rules.greatest_length),
    );
    note(
        ui,
        "Continuous floor from gap to gap, through doorways without a joint; wider needs a movement joint.",
    );
    super::movement::show(ui, facts, actions);
    if house.fit.slides.is_empty() {
        return;
    }
    heading(ui, "Boards that slide in");
    for slide in house.fit.slides.iter().take(LISTED) {
        let Some(board) = house.floor.boards.get(slide.board) else { continue };
        let under = format!("{}, {}", slide.under.word(), slide.source.name(facts.plan));
        ui.horizontal(|ui| {
            if super::parts::act(ui, &board.label).clicked() {
                let selected = Selected::Board(slide.board);
                actions.select(selected);
                if let Some(at) = extent_of(selected, facts.plan, Some(house)) {
                    actions.push(Action::LookAt(Span::round(at.centre(), 1800.0)));
                }
            }
            note(ui, under);
        });
    }
    if house.fit.slides.len() > LISTED {
        note(ui, format!("and {} more", house.fit.slides.len() - LISTED));
    }
    note(ui, "Under a fitted lining or a kick a board cannot fold: shave the lock, glue and tape the joint.");
    caution(
        ui,
        "Undercutting and sawing make fine dust: extraction, mask, eye and ear protection. Old adhesive may hold asbestos; have it tested first.",
    );
}
