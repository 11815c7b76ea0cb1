//! A new room from its lengths: walls typed one after the other going round it; diagonals follow in its tape.

use super::parts::{act, heading, note, row, with};
use crate::action::{Action, Actions};
use crate::canvas::Span;
use crate::command::Command;
use crate::field;
use crate::names;
use crate::palette::Palette;
use crate::select::Selected;
use crate::tape::TapeTable;
use egui::{RichText, Ui};
use plan::{Plan, Point};
use taping::Leg;

/// The field for the wall that comes next.
pub(crate) const NEXT: &str = "next wall of the new room";

/// The walls typed so far and a field for the next; Enter on an empty one closes the room.
pub(super) fn show(ui: &mut Ui, plan: &Plan, table: &mut TapeTable, actions: &mut Actions) {
    let Some(draft) = &mut table.draft else { return };
    heading(ui, "New room from its lengths");
    note(
        ui,
        "Tape each wall going round the room and press Enter; a minus before a length that turns back into the room. Enter alone closes it, then diagonals set it right.",
    );
    let mut gone = None;
    for (index, leg) in draft.legs.iter_mut().enumerate() {
        ui.push_id(index, |ui| {
            with(ui, &format!("wall {}", index + 1), |ui| {
                match field::leg(ui, &format!("wall {} of the new room", index + 1), Some(*leg), plan.units).0
                {
                    Some(Some(typed)) => {
                        *leg = typed;
                        draft.tried = false;
                    }
                    Some(None) => gone = Some(index),
                    None => {}
                }
            });
        });
    }
    if let Some(index) = gone {
        draft.legs.remove(index);
        draft.tried = false;
    }
    let count = draft.legs.len();
    let mut done = false;
    with(ui, &format!("wall {}", count + 1), |ui| {
        let (typed, entered) = field::leg(ui, NEXT, None, plan.units);
        draft.half = field::is_half_typed(ui, NEXT);
        match typed.flatten() {
            Some(leg) => {
                draft.legs.push(leg);
                draft.tried = false;
                field::focus(ui.ctx(), NEXT);
            }
            None if entered => done = true,
            None => {}
        }
    });
    ui.checkbox(&mut draft.clockwise, "going round to the right")
        .on_hover_text("Ticked where you stood in the room and went round it clockwise");
    let shape = (count >= 3).then(|| taping::rough_shape(&draft.legs, plan));
    match &shape {
        Some(Err(trouble)) if draft.tried => {
            let palette = Palette::current(ui.ctx());
            ui.label(RichText::new(format!("{}; {}", trouble.what, trouble.mend)).color(palette.fault));
        }
        Some(Err(_)) => note(ui, to_come(&draft.legs)),
        _ => {}
    }
    let mut left = false;
    row(ui, |ui| {
        done |= act(ui, "it goes round").clicked();
        left = act(ui, "leave it").clicked();
    });
    if left {
        table.draft = None;
        return;
    }
    if !done {
        return;
    }
    draft.tried = true;
    let (legs, clockwise) = (draft.legs.clone(), draft.clockwise);
    if !matches!(shape, Some(Ok(_))) {
        if count < 3 {
            actions.push(Action::Say("A room needs three walls or more".into()));
        }
        field::focus(ui.ctx(), NEXT);
        return;
    }
    table.draft = None;
    let room = plan.rooms.len();
    // Right of everything drawn, a wall away, so that it lies over nothing.
    let at = Span::of_plan(plan)
        .filter(|_| room > 0)
        .map_or(Point::default(), |all| Point::new(all.max.x + drawing::body_thickness(plan), all.min.y));
    actions.try_edit("room from its lengths", move |plan| {
        taping::add_taped_room(plan, &legs, clockwise, at).map(drop)
    });
    actions.select(Selected::Room(room));
    actions.run(Command::Fit);
    actions.run(Command::TapeRoom);
}

/// What is still to be typed until the walls lead round.
fn to_come(legs: &[Leg]) -> String {
    let back = legs.iter().filter(|leg| leg.turns_back).count();
    let walls = 4 + 2 * back;
    match walls.checked_sub(legs.len()) {
        Some(left @ 1..) if back > 0 => {
            let more = names::count(left, "more wall", "more walls");
            let turns = if back == 1 { "corner that turns" } else { "corners that turn" };
            format!("With {back} {turns} back a room has {walls} walls: {more} to come.")
        }
        _ if back > 0 => "More of its corners turn back: a minus before their walls.".to_owned(),
        _ => "More walls to come until they lead round.".to_owned(),
    }
}
