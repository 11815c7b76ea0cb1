//! Fit: the laying, continuous floor against its limits, doorways, covers, kicks, ways in.

use super::Facts;
use super::parts::{heading, line, note};
use crate::action::{Action, Actions};
use crate::canvas::{Span, extent_of};
use crate::names;
use crate::select::Selected;
use egui::Ui;
use pipeline::House;
use site::Source;

/// Things listed of one kind.
const LISTED: usize = 12;

pub(super) fn state(facts: &Facts<'_>) -> String {
    let Some(house) = facts.house else { return "waits for boards".into() };
    let widest = house.fit.widths.iter().map(|width| width.extent).fold(0.0, f64::max);
    let undercuts = match house.fit.undercuts.len() {
        0 => "nothing to undercut".to_owned(),
        n => format!("{} to undercut", names::count(n, "jamb", "jambs")),
    };
    format!("{undercuts}, {} wide", names::tape(widest, facts.plan.units))
}

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let Some(house) = facts.house else {
        note(ui, "Nothing to fit yet.");
        return;
    };
    super::ways::laying(ui, facts, house, actions);
    let units = facts.plan.units;
    heading(ui, "Continuous floor");
    let widest = |list: &[::fit::Continuous]| list.iter().map(|c| c.extent).fold(0.0, f64::max);
    let against =
        |mm: f64, limit: f64| format!("{} of {}", names::tape(mm, units), names::length(limit, units));
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
    doorways(ui, facts, house, actions);
    edges(ui, facts, house, actions);
    super::ways::show(ui, facts, house, actions);
}

/// Where boards stop in each doorway, and the step there.
fn doorways(ui: &mut Ui, facts: &Facts<'_>, house: &House, actions: &mut Actions) {
    if house.fit.doorways.is_empty() {
        return;
    }
    heading(ui, "Doorways");
    for found in house.fit.doorways.iter().take(LISTED) {
        let Some(door) = house.plan.doorways.get(found.doorway) else { continue };
        thing(ui, facts, &door.name, Selected::Doorway(found.doorway), actions);
        note(ui, super::doorway::line(&house.plan, found));
    }
    more(ui, house.fit.doorways.len());
}

/// Covers that leave too little, and what goes under kicks.
fn edges(ui: &mut Ui, facts: &Facts<'_>, house: &House, actions: &mut Actions) {
    let plan = &house.plan;
    let short: Vec<&::fit::Cover> = house.fit.covers.iter().filter(|cover| cover.is_short(plan)).collect();
    let covered = house.fit.covers.iter().filter(|cover| cover.left().is_some()).count();
    heading(ui, "Covers");
    note(
        ui,
        match (covered, short.len()) {
            (0, _) => "No thickness of skirting or architrave is given, so nothing is checked.".to_owned(),
            (all, 0) => format!("{} leave enough.", names::count(all, "cover", "covers")),
            (all, some) => format!("{some} of {} leave too little.", names::count(all, "cover", "covers")),
        },
    );
    for cover in short.iter().take(LISTED) {
        thing(ui, facts, &cover.name(plan), selected(cover.source), actions);
        note(ui, cover.words(plan));
    }
    more(ui, short.len());
    let before: Vec<&::fit::Cover> =
        house.fit.covers.iter().filter(|cover| cover.by == ::fit::CoveredBy::BeforeLining).collect();
    for cover in before.iter().take(LISTED) {
        thing(ui, facts, &cover.name(plan), selected(cover.source), actions);
        note(ui, cover.words(plan));
    }
    more(ui, before.len());
    if house.fit.tucks.is_empty() {
        return;
    }
    heading(ui, "Under kicks");
    for tuck in house.fit.tucks.iter().take(LISTED) {
        thing(ui, facts, &tuck.name(plan), Selected::Fixture(tuck.fixture), actions);
        note(ui, tuck.words(plan));
    }
    more(ui, house.fit.tucks.len());
}

fn more(ui: &mut Ui, count: usize) {
    if count > LISTED {
        note(ui, format!("and {} more", count - LISTED));
    }
}

/// What a thing of the plan is selected as.
pub(crate) fn selected(source: Source) -> Selected {
    match source {
        Source::Wall { room, wall } => Selected::Wall(room, wall),
        Source::Doorway(doorway) => Selected::Doorway(doorway),
        Source::Fixture(fixture) => Selected::Fixture(fixture),
        Source::Joint(index) => Selected::Joint(index),
    }
}

/// A thing's name; clicked, it is selected and brought into view.
fn thing(ui: &mut Ui, facts: &Facts<'_>, name: &str, what: Selected, actions: &mut Actions) {
    if super::parts::act(ui, name).clicked() {
        actions.select(what);
        if let Some(at) = extent_of(what, facts.plan, facts.house) {
            actions.push(Action::LookAt(Span::round(at.centre(), 1800.0)));
        }
    }
}
