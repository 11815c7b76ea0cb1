//! The card beside what is selected: what it is, in figures that can be typed over.

use crate::action::{Action, Actions};
use crate::canvas::{View, extent_of};
use crate::command::Command;
use crate::job::{Facts, corner_props, doorway_figures, fixture_figures, wall_length};
use crate::names;
use crate::palette::{Palette, strong_font};
use crate::select::Selected;
use egui::{Align2, Area, Context, Frame, Id, Margin, Order, Pos2, Rect, RichText, Stroke, Ui, pos2, vec2};
use findings::Subject;
use lay::{Board, End};
use pipeline::House;
use plan::{Plan, StartLine, Units};

/// Widest a card grows.
const WIDTH: f32 = 268.0;

/// Shows the card of the selection, if it has one and is in view.
pub(crate) fn show(ctx: &Context, view: &View, facts: &Facts<'_>, actions: &mut Actions) {
    let Some(extent) = extent_of(facts.selected, facts.plan, facts.house) else { return };
    let palette = Palette::current(ctx);
    let on_screen = Rect::from_two_pos(view.screen_from_plan(extent.min), view.screen_from_plan(extent.max));
    if matches!(facts.selected, Selected::Room(_)) || !view.rect.intersects(on_screen.expand(1.0)) {
        return;
    }
    let seen = match facts.selected {
        // A flag's pennant stands beside its foot, up to two lines away.
        Selected::Flag(_) => on_screen.expand2(vec2(120.0, 58.0)),
        _ => on_screen,
    };
    let seen = seen.intersect(view.rect);
    let (pos, pivot) = beside(seen, view.rect);
    let frame = Frame::new()
        .fill(palette.card)
        .stroke(Stroke::new(1.0, palette.rule))
        .corner_radius(4)
        .shadow(egui::Shadow {
            offset: [0, 2],
            blur: 10,
            spread: 0,
            color: egui::Color32::from_black_alpha(34),
        })
        .inner_margin(Margin::symmetric(14, 10));
    Area::new(Id::unique(("card", facts.selected_key())))
        .order(Order::Middle)
        .fixed_pos(pos)
        .pivot(pivot)
        .constrain_to(view.rect.shrink(8.0))
        .show(ctx, |ui| {
            frame.show(ui, |ui| {
                ui.set_width(WIDTH);
                ui.spacing_mut().item_spacing = vec2(8.0, 4.0);
                body(ui, facts, actions);
            });
        });
}

/// Where a card goes so that it does not cover its thing: under or over a wide one, beside a tall one.
fn beside(thing: Rect, room: Rect) -> (Pos2, Align2) {
    const AWAY: f32 = 26.0;
    // About how high a card is.
    const HEIGHT: f32 = 180.0;
    let middle = thing.center();
    if thing.width() > thing.height() {
        return if thing.bottom() + AWAY + HEIGHT < room.bottom() {
            (pos2(middle.x, thing.bottom() + AWAY), Align2::CENTER_TOP)
        } else {
            (pos2(middle.x, thing.top() - AWAY), Align2::CENTER_BOTTOM)
        };
    }
    if thing.right() + AWAY + WIDTH + 30.0 < room.right() {
        (pos2(thing.right() + AWAY, middle.y), Align2::LEFT_CENTER)
    } else {
        (pos2(thing.left() - AWAY, middle.y), Align2::RIGHT_CENTER)
    }
}

fn title(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(strong_font(14.5)));
}

fn say(ui: &mut Ui, text: impl Into<String>) {
    ui.label(RichText::new(text).size(12.5).weak());
}

fn remove(ui: &mut Ui, actions: &mut Actions) {
    if crate::job::act(ui, "remove").on_hover_text(Command::Delete.tooltip(ui.ctx())).clicked() {
        actions.run(Command::Delete);
    }
}

fn body(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let plan = facts.plan;
    match facts.selected {
        Selected::Nothing | Selected::Room(_) => {}
        Selected::Wall(room, wall) => {
            title(ui, &names::wall(plan, room, wall));
            wall_length(ui, plan, room, wall, actions);
            say(ui, "Its other end moves, the next wall with it. Arrows move the wall.");
        }
        Selected::Corner(room, wall) => {
            corner_props(ui, plan, room, wall, actions);
            remove(ui, actions);
        }
        Selected::Doorway(doorway) => {
            title(ui, plan.doorways.get(doorway).map_or("", |d| &d.name));
            doorway_figures(ui, plan, doorway, actions);
            remove(ui, actions);
        }
        Selected::Fixture(fixture) => {
            fixture_figures(ui, plan, fixture, actions);
            remove(ui, actions);
        }
        Selected::Board(board) => {
            if let Some(house) = facts.house {
                board_card(ui, plan, house, board, actions);
            }
        }
        Selected::Flag(flag) => {
            if let Some(house) = facts.house {
                flag_card(ui, plan.units, house, flag, actions);
            }
        }
        Selected::Line => {
            if let Some(house) = facts.house {
                line_card(ui, plan, house, actions);
            }
        }
    }
}

fn flag_card(ui: &mut Ui, units: Units, house: &House, flag: usize, actions: &mut Actions) {
    let Some(flag) = house.flags.get(flag) else { return };
    title(ui, &format!("{} {}", flag.kind.word(), names::length(flag.figure.round(), units)));
    say(ui, &flag.place);
    say(ui, format!("Limit {}", names::length(flag.limit, units)));
    ui.label(&flag.mend);
    ui.horizontal(|ui| {
        if let Subject::Board(board) = flag.subject
            && crate::job::act(ui, "its board").clicked()
        {
            actions.select(Selected::Board(board));
        }
        if crate::job::act(ui, "next flag").on_hover_text(Command::NextFlag.tooltip(ui.ctx())).clicked() {
            actions.run(Command::NextFlag);
        }
    });
}

fn line_card(ui: &mut Ui, plan: &Plan, house: &House, actions: &mut Actions) {
    let (setout, units) = (&house.setout, plan.units);
    title(ui, "Start line");
    let rip = |mm: f64| names::length((mm * 10.0).round() / 10.0, units);
    crate::job::with(ui, "Offset across the rows", |ui| {
        if let Some(offset) = crate::field::length(
            ui,
            "offset of the start line",
            (setout.chosen.offset * 10.0).round() / 10.0,
            units,
        ) {
            let offset = offset.rem_euclid(setout.pitch);
            actions.edit("move start line", move |plan| plan.start_line = StartLine::At(offset));
        }
    });
    say(
        ui,
        format!(
            "Narrowest rip {}, at {}",
            rip(setout.chosen.narrowest),
            names::binding(plan, &setout.chosen)
        ),
    );
    if plan.start_line != StartLine::Best && crate::job::act(ui, "use the best line").clicked() {
        actions.run(Command::BestLine);
    }
}

/// A board in one line, for the foot of the floor.
pub(crate) fn board_line(house: &House, board: usize) -> Option<String> {
    let board = house.floor.boards.get(board)?;
    let units = house.plan.units;
    let size = format!(
        "{} × {}",
        names::length(board.length().round(), units),
        names::length(tenth(board.width), units)
    );
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
    if board.width < pitch - 0.05 {
        cuts.push("ripped");
    }
    match (board.left_end, board.right_end) {
        (End::Cut, End::Cut) => cuts.push("crosscut at both ends"),
        (End::Cut, End::Factory) => cuts.push("crosscut at its left end"),
        (End::Factory, End::Cut) => cuts.push("crosscut at its right end"),
        (End::Factory, End::Factory) => {}
    }
    if board.shaped && board.outline.outer.len() > 4 {
        cuts.push("notched");
    } else if board.shaped && board.width >= pitch - 0.05 {
        cuts.push("shaped");
    }
    if cuts.is_empty() { "whole, no cuts".into() } else { cuts.join(", ") }
}

fn board_card(ui: &mut Ui, plan: &Plan, house: &House, index: usize, actions: &mut Actions) {
    let Some(board) = house.floor.boards.get(index) else { return };
    let units = plan.units;
    title(ui, &format!("Board {}", board.label));
    let row = if board.row >= 0 {
        format!("row {} above the start line", board.row + 1)
    } else {
        format!("row {} below the start line", -board.row)
    };
    say(ui, row);
    ui.label(
        RichText::new(format!(
            "{} × {}",
            names::length(tenth(board.length()), units),
            names::length(tenth(board.width), units)
        ))
        .font(strong_font(20.0)),
    );
    ui.label(cuts(board, house.floor.pitch));
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
