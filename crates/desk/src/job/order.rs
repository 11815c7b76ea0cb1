//! Order: what is bought, and the saw list in short.

use super::Facts;
use super::parts::{caution, heading, line, note};
use crate::action::Actions;
use crate::names;
use ::order::{Order, SawEntry};
use egui::Ui;

/// Settings listed of each kind.
const LISTED: usize = 6;

pub(super) fn state(facts: &Facts<'_>) -> String {
    let Some(house) = facts.house else { return "waits for boards".into() };
    let packs = names::count(house.order.packs as usize, "pack", "packs");
    match price(&house.order, &facts.plan.stock.currency) {
        Some(price) => format!("{packs}, {price}"),
        None => packs,
    }
}

fn price(order: &Order, currency: &str) -> Option<String> {
    order.price.map(|price| names::money(price, currency))
}

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let Some(house) = facts.house else {
        note(ui, "Nothing to order yet.");
        return;
    };
    let (order, units) = (&house.order, facts.plan.units);
    line(ui, "Packs", order.packs.to_string());
    if let Some(price) = price(order, &facts.plan.stock.currency) {
        line(ui, "Price", price);
    }
    for of in &order.lines {
        let label = format!("Boards of {}", ::order::line_words(facts.plan, of.length));
        line(ui, &label, format!("{} opened of {}", of.opened, of.bought));
    }
    if let Some(words) = ::order::drawn_words(facts.plan) {
        note(ui, words);
    }
    if let Some(words) = facts.bound.and_then(|bound| order.left_whole_words(&bound)) {
        note(ui, words + ".");
    }
    line(
        ui,
        "Opened · laid",
        format!(
            "{} · {}",
            names::area(order.opened_area * 1e6, units),
            names::area(order.laid_area * 1e6, units)
        ),
    );
    if order.opened_area > 0.0 {
        let waste = 100.0 * (1.0 - order.laid_area / order.opened_area);
        line(ui, "Waste, computed", format!("{waste:.1} %"));
    }
    let saw = &order.saw;
    settings(ui, facts, "Fence, keep tongue", &saw.rips_keep_tongue);
    settings(ui, facts, "Fence, keep groove", &saw.rips_keep_groove);
    settings(ui, facts, "Fence, keep neither", &saw.rips_keep_neither);
    settings(ui, facts, "Stop, keep left end", &saw.crosscuts_keep_left);
    settings(ui, facts, "Stop, keep right end", &saw.crosscuts_keep_right);
    settings(ui, facts, "Stop, cut both ends", &saw.crosscuts_both);
    if let Some(words) = ::order::skim_words(facts.plan, &house.floor, saw) {
        note(ui, words);
    }
    if !saw.tapers.is_empty() {
        heading(ui, "Tapered rip");
        for entry in saw.tapers.iter().take(LISTED) {
            let label = house.floor.boards.get(entry.board).map_or("", |board| board.label.as_str());
            let width = |mm: f64| names::length((mm * 10.0).round() / 10.0, facts.plan.units);
            line(ui, label, entry.taper.words(width))
                .on_hover_text("Widths kept from its left end to its right, with the marks between");
        }
        if saw.tapers.len() > LISTED {
            note(ui, format!("{}, all on the saw list", names::count(saw.tapers.len(), "board", "boards")));
        }
    }
    if !saw.notches.is_empty() {
        heading(ui, "Notch");
        note(ui, format!("{}, drawn on the saw list", names::count(saw.notches.len(), "board", "boards")));
    }
    super::materials::show(ui, facts, actions);
    caution(
        ui,
        "Saws: guards on, ears and eyes covered, wood dust extracted. The maker's instructions come first.",
    );
}

fn settings(ui: &mut Ui, facts: &Facts<'_>, title: &str, entries: &[SawEntry]) {
    if entries.is_empty() {
        return;
    }
    let boards: usize = entries.iter().map(|entry| entry.boards.len()).sum();
    heading(ui, title);
    for entry in entries.iter().take(LISTED) {
        let setting = names::length(entry.setting, facts.plan.units);
        line(ui, &setting, names::count(entry.boards.len(), "board", "boards"));
    }
    if entries.len() > LISTED {
        note(ui, format!("{} settings, {boards} boards in all", entries.len()));
    }
}
