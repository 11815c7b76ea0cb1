//! The card of a board, and its line at the foot of the floor.

use super::place::Marked;
use super::{say, title};
use crate::action::{Action, Actions};
use crate::canvas::{View, extent_of};
use crate::command::Command;
use crate::names;
use crate::palette::strong_font;
use crate::select::Selected;
use egui::{Rect, RichText, Ui};
use lay::{Board, End};
use pipeline::House;
use plan::Plan;
use site::Uv;

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

/// So many pieces lie close to a board that lies aslant.
const PIECES: u8 = 8;

/// Where a board lies on the screen, and the boards that it touches.
pub(super) fn on_table(view: &View, house: &House, index: usize) -> Marked {
    let Some(board) = house.floor.boards.get(index) else { return Marked::default() };
    let screen = |u: f64, v: f64| view.screen_from_plan(house.site.frame.plan_from_row(Uv::new(u, v)));
    let pieces = |board: &Board| -> Vec<Rect> {
        let (low, high) = board
            .outline
            .outer
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p.v), high.max(p.v)));
        let at = |part: u8| board.left + (board.right - board.left) * f64::from(part) / f64::from(PIECES);
        let piece = |part: u8| {
            let (left, right) = (at(part), at(part + 1));
            Rect::from_points(&[
                screen(left, low),
                screen(left, high),
                screen(right, low),
                screen(right, high),
            ])
        };
        let all = (0..PIECES).map(piece).map(|rect| rect.intersect(view.rect));
        all.filter(Rect::is_positive).collect()
    };
    if board.is_block() {
        let outline = board.outline.outer.iter().map(|p| screen(p.u, p.v));
        let own = Rect::from_points(&outline.collect::<Vec<_>>()).intersect(view.rect);
        return Marked { own: vec![own], beside: Vec::new() };
    }
    let touches = |other: &&Board| {
        let is_beside = other.left < board.right - 1.0 && other.right > board.left + 1.0;
        let follows = (other.left - board.right).abs() < 1.0 || (board.left - other.right).abs() < 1.0;
        if other.row == board.row { follows } else { is_beside }
    };
    // Looked for in every frame: only the runs of these rows are gone through, not every board of a large floor.
    let near = |run: &&lay::Run| run.region == board.region && run.row.abs_diff(board.row) <= 1;
    let runs = house.floor.runs.iter().filter(near);
    let others = runs.filter_map(|run| house.floor.boards.get(run.boards.clone())).flatten();
    Marked { own: pieces(board), beside: others.filter(touches).flat_map(pieces).collect() }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Of a board at the start, the middle and the end of each run those are told that touch it, by going through all boards of
    /// the floor, where boards lie already, too.
    #[test]
    fn the_neighbours_of_a_board_are_all_that_touch_it() {
        for text in [
            include_str!("../../../../sample-plans/dunlin-flat.ron"),
            include_str!("../../../../sample-plans/hazel-court.ron"),
            include_str!("../../../../sample-plans/quince-row.ron"),
        ] {
            let house = pipeline::run(&plan::read(text).unwrap()).unwrap();
            let boards = &house.floor.boards;
            let rect = Rect::from_center_size(egui::Pos2::ZERO, egui::Vec2::splat(1e5));
            let view = View { scale: 1.0, rect, ..View::default() };
            let picked = house.floor.runs.iter().filter_map(|run| {
                let (first, last) = (run.boards.start, run.boards.end.checked_sub(1)?);
                Some([first, usize::midpoint(first, last), last])
            });
            for index in picked.flatten() {
                let board = &boards[index];
                // More than a millimetre of a long side in common, or an end.
                let beside = |a: &Board, b: &Board| a.right.min(b.right) - a.left.max(b.left) > 1.0;
                let end_to_end =
                    |a: &Board, b: &Board| (a.right - b.left).abs().min((b.right - a.left).abs()) < 1.0;
                let touches = |other: &&Board| {
                    board.region == other.region
                        && match board.row.abs_diff(other.row) {
                            0 => end_to_end(board, other),
                            1 => beside(board, other),
                            _ => false,
                        }
                };
                let expected = boards.iter().filter(touches).count();
                let told = on_table(&view, &house, index).beside.len();
                assert_eq!(told, expected * usize::from(PIECES), "{}", board.label);
            }
        }
    }
}
