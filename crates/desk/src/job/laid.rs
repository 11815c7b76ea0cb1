//! As laid: what lies, rows measured, the rip each edge to come will get, and offcuts in hand.

use super::Facts;
use super::parts::{act, choose, heading, line, note, with, with_several};
use crate::action::Actions;
use crate::command::Command;
use crate::field;
use crate::names;
use egui::Ui;
use pipeline::{FEW_EDGES, House};
use plan::{Laid, Plan, RowPull, ToCome};
use setout::Drift;

/// Offcuts listed; of more the rest is counted.
const LISTED: usize = 8;

pub(super) fn state(facts: &Facts<'_>) -> String {
    match (&facts.plan.laid, facts.house) {
        (None, _) => "nothing marked yet".into(),
        (Some(laid), Some(house)) => {
            format!("{} of {} laid", laid.boards.len(), house.floor.boards.len())
        }
        (Some(laid), None) => format!("{} laid", names::count(laid.boards.len(), "board", "boards")),
    }
}

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    ui.horizontal_wrapped(|ui| {
        for (command, word) in [
            (Command::LaidToHere, "laid up to here"),
            (Command::LaidBoard, "this board is laid"),
            (Command::NotLaid, "not laid after all"),
        ] {
            if act(ui, word).on_hover_text(command.tooltip(ui.ctx())).clicked() {
                actions.run(command);
            }
        }
    });
    let Some(laid) = &facts.plan.laid else {
        note(
            ui,
            "Select a board on the floor and mark what lies: it stays as it is, and the rest is planned again from there.",
        );
        return;
    };
    if let Some(house) = facts.house {
        line(ui, "Boards laid", laid.boards.len().to_string());
        line(
            ui,
            "Boards still to lay",
            house.floor.boards.len().saturating_sub(laid.boards.len()).to_string(),
        );
        line(ui, "Boards still to open", house.order.to_open().to_string());
    }
    pulls(ui, facts, laid, actions);
    if let Some(made) = facts.drift {
        made.value.iter().for_each(|drift| said(ui, &made.house, drift));
    }
    if let Some(house) = facts.house {
        offcuts(ui, facts.plan, house, laid, actions);
        strips(ui, facts.plan, house, actions);
    }
    if act(ui, "take all marks off").clicked() {
        actions.edit("take all marks off", |plan| plan.laid = None);
    }
}

fn said(ui: &mut Ui, house: &House, drift: &Drift) {
    let mut sentences = house.drift_words(drift, FEW_EDGES).into_iter();
    if let Some(first) = sentences.next() {
        ui.add_space(6.0);
        ui.label(first);
    }
    for sentence in sentences {
        note(ui, sentence);
    }
}

/// Rows measured together, and how wide the rows to come are taken.
fn pulls(ui: &mut Ui, facts: &Facts<'_>, laid: &Laid, actions: &mut Actions) {
    heading(ui, "Rows measured together, side to side");
    let on_paper = |row: i32| f64::from(row) - f64::from(laid.first_row) + 1.0;
    let first_row = laid.first_row;
    let from_paper = move |number: f64| number.round().clamp(-1e5, 1e5) as i32 + first_row - 1;
    for (part, of) in laid.parts.iter().enumerate() {
        for (index, pull) in of.pulls.iter().copied().enumerate() {
            let mut changed = None;
            ui.push_id((part, index), |ui| {
                with_several(ui, &format!("{}, rows · measure", of.room), |ui| {
                    if let Some(first) = field::number(ui, "first row measured", on_paper(pull.first)) {
                        changed = Some(RowPull { first: from_paper(first), ..pull });
                    }
                    if let Some(last) = field::number(ui, "last row measured", on_paper(pull.last)) {
                        changed = Some(RowPull { last: from_paper(last), ..pull });
                    }
                    if let Some(across) =
                        field::length(ui, "width of the rows measured", pull.across, facts.plan.units)
                    {
                        changed = Some(RowPull { across, ..pull });
                    }
                });
                if act(ui, "take this pull out").clicked() {
                    actions.edit("take pull out", move |plan| change(plan, part, index, None));
                }
            });
            if changed.is_some() {
                actions.edit("rows measured", move |plan| change(plan, part, index, changed));
            }
        }
    }
    for drift in facts.drift.iter().flat_map(|made| &made.value) {
        let (part, rows) = (drift.part, drift.rows_laid);
        let (first, last) = if drift.is_above { (0, rows - 1) } else { (-rows, -1) };
        let is_measured = laid
            .parts
            .get(part)
            .is_some_and(|part| part.pulls.iter().any(|pull| (pull.first, pull.last) == (first, last)));
        let word = format!("measure the {} {}", names::count(rows.max(0) as usize, "row", "rows"), drift.way);
        if rows > 0 && !is_measured && act(ui, &word).clicked() {
            let across = (f64::from(rows) * drift.pitch * 10.0).round() / 10.0;
            actions.edit("measure rows", move |plan| {
                let part = plan.laid.as_mut().and_then(|laid| laid.parts.get_mut(part));
                if let Some(part) = part {
                    part.pulls.push(RowPull { first, last, across });
                }
            });
        }
    }
    with(ui, "Rows to come are taken", |ui| {
        const WORDS: [&str; 2] = ["as wide as measured", "as wide as planned"];
        const CHOICES: [ToCome; 2] = [ToCome::AsMeasured, ToCome::AsPlanned];
        let now = WORDS[usize::from(laid.to_come == ToCome::AsPlanned)];
        if let Some(chosen) = choose(ui, "width of the rows to come", now, &WORDS) {
            actions.edit("rows to come", move |plan| {
                if let Some(laid) = &mut plan.laid {
                    laid.to_come = CHOICES[chosen];
                }
            });
        }
    });
}

/// Changes one pull, or takes it out.
fn change(plan: &mut Plan, part: usize, index: usize, to: Option<RowPull>) {
    let Some(part) = plan.laid.as_mut().and_then(|laid| laid.parts.get_mut(part)) else { return };
    match (to, part.pulls.get_mut(index)) {
        (Some(to), Some(pull)) => *pull = to,
        (None, Some(_)) => drop(part.pulls.remove(index)),
        (_, None) => {}
    }
}

/// What is left of the boards opened; what is lost or broken can be struck.
fn offcuts(ui: &mut Ui, plan: &Plan, house: &House, laid: &Laid, actions: &mut Actions) {
    let mut rests: Vec<(f64, usize)> = Vec::new();
    for (index, stock) in laid.stock.iter().enumerate() {
        rests.extend(stock.rest.map(|(from, to)| (to - from, index)));
    }
    if rests.is_empty() {
        return;
    }
    rests.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    heading(ui, "Offcuts in hand");
    for (rest, index) in rests.iter().copied().take(LISTED) {
        let pieces = house.floor.stock.get(index).map_or(&[][..], |stock| stock.pieces.as_slice());
        let used = pieces.iter().find(|piece| !piece.strip && !house.floor.is_laid(piece.board));
        let used = used.and_then(|piece| house.floor.boards.get(piece.board));
        let word =
            used.map_or_else(|| "not needed so far".to_owned(), |board| format!("for {}", board.label));
        ui.push_id(index, |ui| {
            with(ui, &format!("{} of board {}, {word}", names::tape(rest, plan.units), index + 1), |ui| {
                if act(ui, "gone").on_hover_text("It is lost or broken: plan without it").clicked() {
                    actions.edit("offcut gone", move |plan| {
                        let stock = plan.laid.as_mut().and_then(|laid| laid.stock.get_mut(index));
                        if let Some(stock) = stock {
                            stock.rest = None;
                        }
                    });
                }
            });
        });
    }
    if rests.len() > LISTED {
        note(ui, format!("{} more, shorter", names::count(rests.len() - LISTED, "offcut", "offcuts")));
    }
}

/// Strips beside rips that lie; what is lost or broken can be struck.
fn strips(ui: &mut Ui, plan: &Plan, house: &House, actions: &mut Actions) {
    let strips = house.strips_in_hand();
    if strips.is_empty() {
        return;
    }
    heading(ui, "Strips in hand, beside rips that lie");
    for (strip, boards) in strips.iter().take(LISTED) {
        let first = boards.first().and_then(|board| house.floor.boards.get(*board));
        let word =
            first.map_or_else(|| "not needed so far".to_owned(), |board| format!("for {}", board.label));
        let size = |mm: f64| names::length(mm.floor(), plan.units);
        let text = format!(
            "{} × {} of board {}, {word}",
            size(strip.to - strip.from),
            size(strip.width),
            strip.stock + 1
        );
        let board = strip.board;
        ui.push_id(("strip", board), |ui| {
            with(ui, &text, |ui| {
                if act(ui, "gone").on_hover_text("It is lost or broken: plan without it").clicked() {
                    actions.edit("strip gone", move |plan| {
                        let beside = plan.laid.as_mut().and_then(|laid| laid.boards.get_mut(board));
                        if let Some(beside) = beside {
                            beside.strip_gone = true;
                        }
                    });
                }
            });
        });
    }
    if strips.len() > LISTED {
        note(ui, format!("{} more", names::count(strips.len() - LISTED, "strip", "strips")));
    }
}
