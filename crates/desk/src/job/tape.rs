//! The tape of a room: lengths of walls and diagonals typed one after the other, with what becomes of each.

use super::parts::{Parts, act, choose, heading, named, note, with, with_several};
use crate::action::Actions;
use crate::command::Command;
use crate::field;
use crate::names;
use crate::palette::{Palette, strong_font};
use crate::tape::{Found, TapeTable};
use egui::{Align, Layout, RichText, Ui, vec2};
use plan::{Plan, Room, span_name};
use taping::{Doubt, Line, RoomTape};

/// Width of a row's figures, points.
const FIGURE: f32 = 52.0;

/// The name of a stretch's field.
pub(crate) fn field_name(from: usize, to: usize, corners: usize) -> String {
    format!("taped, {}", span_name(from, to, corners))
}

/// The first stretch of a room that waits for its length: walls, then what is worth taping.
pub(crate) fn first_open(room: &Room) -> Option<(usize, usize)> {
    rows(room, &taping::wanted(room)).into_iter().find(|(a, b)| taped(room, *a, *b).is_none())
}

fn taped(room: &Room, a: usize, b: usize) -> Option<usize> {
    room.tape.iter().position(|taped| taped.is_between(a, b))
}

/// The stretches of the table in their order: every wall, what else is taped, what is worth taping next.
fn rows(room: &Room, next: &[(usize, usize)]) -> Vec<(usize, usize)> {
    let count = room.walls.len();
    let mut rows: Vec<(usize, usize)> = (0..count).map(|wall| (wall, (wall + 1) % count)).collect();
    let mut add = |(a, b): (usize, usize)| {
        if !rows.iter().any(|row| *row == (a, b) || *row == (b, a)) {
            rows.push((a, b));
        }
    };
    room.tape.iter().for_each(|taped| add((taped.from, taped.to)));
    next.iter().copied().for_each(&mut add);
    rows
}

pub(super) fn show(ui: &mut Ui, plan: &Plan, room: usize, table: &mut TapeTable, actions: &mut Actions) {
    let Some(drawn) = plan.rooms.get(room) else { return };
    if !table.open {
        let words = if drawn.tape.is_empty() { "tape it: walls and diagonals" } else { "show its tape" };
        if act(ui, words).on_hover_text(Command::TapeRoom.tooltip(ui.ctx())).clicked() {
            actions.run(Command::TapeRoom);
        }
        return;
    }
    heading(ui, "Tape");
    let count = drawn.walls.len();
    let mut go_on = false;
    let asked = std::mem::take(&mut table.go_on);
    let Some(found) = table.found().filter(|found| found.room == room) else { return };
    let next: Vec<_> =
        found.next.iter().chain(&table.asked).copied().filter(|(a, b)| a.max(b) < &count).collect();
    let rows = rows(drawn, &next);
    if asked && let Some((a, b)) = rows.iter().find(|(a, b)| taped(drawn, *a, *b).is_none()) {
        field::focus(ui.ctx(), &field_name(*a, *b, count));
    }
    for (index, (a, b)) in rows.iter().copied().enumerate() {
        let entered = ui.push_id((a, b), |ui| row(ui, plan, room, (a, b), found, actions)).inner;
        match rows.get(index + 1) {
            Some((c, d)) if entered => field::focus(ui.ctx(), &field_name(*c, *d, count)),
            // What is to be taped next is known once this length is in.
            None if entered => go_on = true,
            _ => {}
        }
    }
    said(ui, plan, room, found, table.hold, actions);
    if go_on {
        table.go_on = true;
        ui.ctx().request_repaint();
    }
    another(ui, count, table);
    with(ui, "Keeps its line", |ui| {
        let walls: Vec<String> = (1..=count).map(|wall| format!("wall {wall}")).collect();
        let words: Vec<&str> = walls.iter().map(String::as_str).collect();
        if let Some(hold) = choose(ui, "wall that keeps its line", words[table.hold.min(count - 1)], &words) {
            table.hold = hold;
            ui.ctx().request_repaint();
        }
    });
    if act(ui, "put the tape away").clicked() {
        table.open = false;
    }
}

/// One stretch: its name, what the tape showed, what is left over. Whether Enter left it.
fn row(
    ui: &mut Ui,
    plan: &Plan,
    room: usize,
    (a, b): (usize, usize),
    found: &Found,
    actions: &mut Actions,
) -> bool {
    let palette = Palette::current(ui.ctx());
    let drawn = &plan.rooms[room];
    let count = drawn.walls.len();
    let name = span_name(a, b, count);
    let tape = found.tape.as_ref().ok();
    let index = taped(drawn, a, b);
    let line = tape.zip(index).and_then(|(tape, index)| tape.lines.get(index));
    let is_doubted = line.is_some_and(|line| line.doubted);
    let ink = match (index, is_doubted) {
        (_, true) => palette.fault,
        (None, _) => palette.weak,
        _ => palette.ink,
    };
    let mark = if is_doubted { "? " } else { "" };
    let is_wall = a.abs_diff(b) == 1 || a.abs_diff(b) + 1 == count;
    let corners = if is_wall { "" } else { "corners " };
    let words = format!("{mark}{corners}{}", name.replace("corner ", "").replace(" to ", "–"));
    let said = |ui: &mut Ui| {
        ui.label(RichText::new(words.as_str()).color(ink)).on_hover_text(name.as_str());
    };
    let width = super::parts::width_of(ui, &words);
    named(ui, &name, width, said, Parts::Several, |ui| {
        let shown = index.map(|index| drawn.tape[index].length);
        let (typed, entered) = field::entry(ui, &field_name(a, b, count), shown, plan.units);
        if let Some(length) = typed {
            put(room, (a, b), length, found, &name, actions);
        }
        residual(ui, plan, line);
        aside(ui, room, index.map(|index| (index, drawn.tape[index].set_aside)), &name, actions);
        entered
    })
    .inner
}

/// Notes a length, or takes it out, and sets the corners where nothing speaks against it.
fn put(
    room: usize,
    (a, b): (usize, usize),
    length: Option<f64>,
    found: &Found,
    name: &str,
    actions: &mut Actions,
) {
    let hold = found.hold();
    let step = if length.is_some() { format!("tape {name}") } else { format!("take {name} off the tape") };
    actions.try_edit(step, move |plan| {
        let Some(drawn) = plan.rooms.get_mut(room) else { return Ok(()) };
        match length {
            Some(length) => taping::put_length(drawn, a, b, length),
            None => taping::take_out(drawn, a, b),
        }
        // Too few lengths yet, or a doubted one, is told beside the table; the length is kept all the same.
        let _ = taping::set_corners(plan, room, hold, false);
        Ok(())
    });
}

fn residual(ui: &mut Ui, plan: &Plan, line: Option<&Line>) {
    let palette = Palette::current(ui.ctx());
    let (words, told) = match line {
        None => (String::new(), String::new()),
        Some(line) => {
            let mm = |length: f64| names::length((length * 10.0).round() / 10.0 + 0.0, plan.units);
            let sign = if line.residual < -0.049 {
                "−"
            } else if line.residual > 0.049 {
                "+"
            } else {
                ""
            };
            let by = match line.by_others {
                Some(by) => format!("By the other lengths it is {}", mm(by)),
                None => "No other length checks it".to_owned(),
            };
            (format!("{sign}{}", mm(line.residual.abs())), format!("Solved {}. {by}", mm(line.solved)))
        }
    };
    let ink = if line.is_some_and(|line| line.doubted) { palette.fault } else { palette.ink };
    ui.allocate_ui_with_layout(vec2(FIGURE, 20.0), Layout::right_to_left(Align::Center), |ui| {
        ui.set_min_width(FIGURE);
        let label = ui.label(RichText::new(words).font(strong_font(13.0)).color(ink));
        if !told.is_empty() {
            label.on_hover_text(told);
        }
    });
}

/// Whether the length counts: it may be kept without.
fn aside(ui: &mut Ui, room: usize, taped: Option<(usize, bool)>, name: &str, actions: &mut Actions) {
    ui.allocate_ui_with_layout(vec2(30.0, 20.0), Layout::right_to_left(Align::Center), |ui| {
        ui.set_min_width(30.0);
        let Some((index, set_aside)) = taped else { return };
        let mut used = !set_aside;
        let shown = ui.checkbox(&mut used, "").accessible_name(format!("use {name}"));
        if shown.on_hover_text("Unticked it is kept, but not used").changed() {
            let step = if used { "use a taped length" } else { "set a taped length aside" };
            actions.edit(step, move |plan| {
                if let Some(taped) = plan.rooms.get_mut(room).and_then(|room| room.tape.get_mut(index)) {
                    taped.set_aside = !used;
                }
            });
        }
    });
}

/// What the table says as a whole, and what can be done about it.
fn said(ui: &mut Ui, plan: &Plan, room: usize, found: &Found, hold: usize, actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    let drawn = &plan.rooms[room];
    let tape = match &found.tape {
        Err(_) if drawn.tape.is_empty() => {
            note(
                ui,
                "Type what the tape shows, Enter for the next. Corners are numbered on the floor; residuals stand beside each length once the shape is fast.",
            );
            return;
        }
        Err(trouble) => {
            ui.label(RichText::new(sentence(&trouble.what)).color(palette.ink));
            note(ui, sentence(&trouble.mend));
            return;
        }
        Ok(tape) => tape,
    };
    let words = sentence(&taping::doubt_words(plan, tape));
    let ink = if tape.doubt.is_any() { palette.fault } else { palette.ink };
    ui.label(RichText::new(words).color(ink));
    if let Some(closing) = tape.closing.filter(|closing| closing.length >= 0.5) {
        let one_in = closing.one_in().map_or(String::new(), |n| format!(", 1 in {n:.0}"));
        let miss = names::length((closing.length * 10.0).round() / 10.0, plan.units);
        note(ui, format!("Misclosure of the walls as drawn {miss}{one_in}."));
    }
    if let Some(words) = taping::unit_words(tape) {
        note(ui, format!("{words}."));
    }
    settle(ui, plan, room, tape, hold, actions);
}

fn settle(ui: &mut Ui, plan: &Plan, room: usize, tape: &RoomTape, hold: usize, actions: &mut Actions) {
    let drawn = &plan.rooms[room];
    if let Doubt::One(one) = tape.doubt
        && let Some(line) = tape.lines.get(one)
        && act(ui, &format!("set {} aside", line.name)).clicked()
    {
        let index = line.index;
        actions.try_edit("set a taped length aside", move |plan| {
            if let Some(taped) = plan.rooms.get_mut(room).and_then(|room| room.tape.get_mut(index)) {
                taped.set_aside = true;
            }
            let _ = taping::set_corners(plan, room, hold, false);
            Ok(())
        });
    }
    if tape.off < 0.05 {
        note(ui, "The room is drawn as the tape has it.");
        return;
    }
    let off = names::length((tape.off * 10.0).round() / 10.0, plan.units);
    note(ui, format!("Corner {} is drawn {off} from where the tape has it.", tape.off_corner + 1));
    if tape.doubt.is_any()
        && let Some(warning) = taping::corners_warning(tape)
    {
        let ink = Palette::current(ui.ctx()).fault;
        ui.label(RichText::new(format!("{warning}.")).color(ink));
    }
    let words =
        if tape.doubt.is_any() { "set the corners all the same" } else { "set the corners by the tape" };
    if act(ui, words).on_hover_text(Command::SetByTape.tooltip(ui.ctx())).clicked() {
        let all_the_same = tape.doubt.is_any();
        let step = format!("set the corners of {}", drawn.name);
        actions.try_edit(step, move |plan| taping::set_corners(plan, room, hold, all_the_same));
    }
}

/// A diagonal of one's own choice.
fn another(ui: &mut Ui, count: usize, table: &mut TapeTable) {
    if count < 4 {
        return;
    }
    with_several(ui, "From corner · to corner", |ui| {
        let corner = |ui: &mut Ui, name: &str, at: &mut usize| {
            if let Some(typed) = field::small_whole(ui, name, *at as u64 + 1) {
                *at = usize::try_from(typed).unwrap_or(1).clamp(1, count) - 1;
            }
        };
        corner(ui, "from corner", &mut table.diagonal.0);
        corner(ui, "to corner", &mut table.diagonal.1);
        if act(ui, "tape it").clicked() && table.diagonal.0 != table.diagonal.1 {
            table.asked.push(table.diagonal);
            field::focus(ui.ctx(), &field_name(table.diagonal.0, table.diagonal.1, count));
        }
    });
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_uppercase().chain(letters).collect::<String>());
    first.map(|words| format!("{words}.")).unwrap_or_default()
}
