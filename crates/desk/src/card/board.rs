//! The card of a board, and its line at the foot of the floor.

use super::{say, title};
use crate::action::{Action, Actions};
use crate::canvas::extent_of;
use crate::command::Command;
use crate::names;
use crate::palette::strong_font;
use crate::select::Selected;
use egui::{RichText, Ui};
use lay::{Board, End};
use pipeline::House;
use plan::Plan;

/// A board in one line, for the foot of the floor.
pub(crate) fn board_line(house: &House, board: usize) -> Option<String> {
    let board = house.floor.boards.get(board)?;
    let units = house.plan.units;
    let width = match board.taper(house.floor.pitch) {
        Some(taper) => taper.words(|mm| names::length(tenth(mm), units)),
        None => names::length(tenth(board.width), units),
    };
    let size = format!("{} × {width}", names::length(board.cut_length().round(), units));
    Some(format!(
        "Board {} · {size} · {} · click to read its piece",
        board.label,
        cuts(board, house.floor.pitch)
    ))
}

fn tenth(mm: f64) -> f64 {
    (mm * 10.0).round() / 10.0
}

/// What is done to a board at the saw, in words.
fn cuts(board: &Board, pitch: f64) -> String {
    let mut cuts = Vec::new();
    let tapers = board.taper(pitch).is_some();
    if tapers {
        cuts.push("ripped to a taper");
    } else if board.width < pitch - 0.05 {
        cuts.push("ripped");
    }
    match (board.left_end, board.right_end) {
        (End::Cut, End::Cut) => cuts.push("crosscut at both ends"),
        (End::Cut, End::Factory) => cuts.push("crosscut at its left end"),
        (End::Factory, End::Cut) => cuts.push("crosscut at its right end"),
        (End::Factory, End::Factory) => {}
    }
    if tapers {
        // Its sawn edge is all its shape.
    } else if board.shaped && board.outline.outer.len() > 4 {
        cuts.push("notched");
    } else if board.shaped && board.width >= pitch - 0.05 {
        cuts.push("shaped");
    }
    if cuts.is_empty() { "whole, no cuts".into() } else { cuts.join(", ") }
}

pub(super) fn board_card(ui: &mut Ui, plan: &Plan, house: &House, index: usize, actions: &mut Actions) {
    let Some(board) = house.floor.boards.get(index) else { return };
    let units = plan.units;
    title(ui, &format!("Board {}", board.label));
    let row = if board.row >= 0 {
        format!("row {} above the start line", board.row + 1)
    } else {
        format!("row {} below the start line", -board.row)
    };
    say(ui, row);
    ui.horizontal_wrapped(|ui| {
        let choices: &[(Command, &str)] = match house.floor.is_laid(index) {
            true => &[(Command::NotLaid, "not laid after all")],
            false => &[(Command::LaidToHere, "laid up to here"), (Command::LaidBoard, "this board is laid")],
        };
        if house.floor.is_laid(index) {
            say(ui, "laid ·");
        }
        for (command, word) in choices {
            if crate::job::act(ui, word).on_hover_text(command.tooltip(ui.ctx())).clicked() {
                actions.run(*command);
            }
        }
    });
    ui.label(
        RichText::new(format!(
            "{} × {}",
            names::length(tenth(board.cut_length()), units),
            names::length(tenth(board.width), units)
        ))
        .font(strong_font(20.0)),
    );
    ui.label(cuts(board, house.floor.pitch));
    if let Some(taper) = board.taper(house.floor.pitch) {
        ui.label(taper.words(|mm| names::length(tenth(mm), units)))
            .on_hover_text("Widths kept from its left end to its right, with the marks between; saw straight from mark to mark");
        say(ui, format!("keep the {}", taper.keeps.word()));
    }
    if let Some((distance, pull)) = house.joint_pull(index) {
        let distance = names::length(tenth(distance), units);
        say(ui, format!("far joint {distance} from {}", pull.words(plan)));
    }
    let Some(stock) = house.floor.stock.get(board.stock) else { return };
    let from = names::length(tenth(board.from), units);
    let to = names::length(tenth(board.from + board.length()), units);
    say(
        ui,
        format!(
            "From stock board {}, {} long, pack {}",
            board.stock + 1,
            names::length(stock.length, units),
            stock.pack + 1
        ),
    );
    say(ui, format!("cut from {from} to {to} of it"));
    let others: Vec<_> =
        stock.pieces.iter().map(|piece| piece.board).filter(|other| *other != index).collect();
    if !others.is_empty() {
        ui.horizontal_wrapped(|ui| {
            say(ui, "the same stock board gives");
            for other in others {
                let Some(sister) = house.floor.boards.get(other) else { continue };
                if crate::job::act(ui, &sister.label).clicked() {
                    actions.select(Selected::Board(other));
                    if let Some(at) = extent_of(Selected::Board(other), plan, Some(house)) {
                        actions.push(Action::Show(at.centre()));
                    }
                }
            }
        });
    }
    let left = tenth(stock.left_over(plan.stock.kerf).max(0.0));
    say(
        ui,
        if left > 0.0 {
            format!("{} of it left over", names::length(left, units))
        } else {
            "nothing left over".into()
        },
    );
}
