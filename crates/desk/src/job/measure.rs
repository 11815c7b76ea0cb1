//! Measure: the rooms, doorways and fixtures as they are on site.

use super::parts::{act, heading, long, note, with, with_several};
use super::{Facts, corner_props, doorway_props, fixture_props, room_props, wall_props};
use crate::action::{Action, Actions};
use crate::canvas::extent_of;
use crate::command::Command;
use crate::field;
use crate::names;
use crate::palette::{Palette, strong_font};
use crate::select::Selected;
use crate::tape::TapeTable;
use egui::{Align2, Sense, Ui, vec2};
use plan::{Place, Units};

pub(super) fn state(facts: &Facts<'_>) -> String {
    if facts.plan.rooms.is_empty() {
        return "draw the first room".into();
    }
    match facts.problems.len() {
        0 => {
            let rooms = names::count(facts.plan.rooms.len(), "room", "rooms");
            match facts.house {
                Some(house) => {
                    format!("{rooms}, {} to board", names::area(house.site.bare_area, facts.plan.units))
                }
                None => rooms,
            }
        }
        n => format!("{} to mend", names::count(n, "thing", "things")),
    }
}

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, tape: &mut TapeTable, actions: &mut Actions) {
    let plan = facts.plan;
    if plan.rooms.is_empty() {
        note(
            ui,
            "Draw the rooms at the finished wall face: click corners, or type each wall's length and Enter.",
        );
    }
    with(ui, "House", |ui| {
        if let Some(name) = field::words(ui, "name of the house", &plan.name, 200.0) {
            actions.edit("rename house", move |plan| plan.name = name);
        }
    });
    with_several(ui, "Lengths in", |ui| {
        for (units, word) in [(Units::Metric, "millimetres"), (Units::FeetInches, "feet and inches")] {
            if ui.selectable_label(plan.units == units, word).clicked() {
                actions.edit("change units", move |plan| plan.units = units);
            }
        }
    });
    if facts.has_several() {
        let places: Vec<Place> = facts.selection().filter_map(Selected::thing).collect();
        heading(ui, &format!("Selected: {}", names::things(plan, &places)));
        inset(ui, |ui| super::several(ui, facts, actions));
    }
    super::draft::show(ui, plan, tape, actions);
    rooms(ui, facts, tape, actions);
    doorways(ui, facts, actions);
    fixtures(ui, facts, actions);
    dimensions(ui, facts, actions);
    super::picture::show(ui, facts, actions);
}

/// What keeps the plan from giving a floor, each with its mend; a click goes there.
pub(super) fn problems(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    for problem in facts.problems {
        let shown = ui
            .scope(|ui| {
                ui.label(
                    egui::RichText::new(format!("{}: {}", problem.place_name, problem.what))
                        .color(palette.fault),
                );
                note(ui, &problem.mend);
            })
            .response;
        let clicked = ui.interact(shown.rect, shown.id.with("go"), Sense::click()).clicked();
        if clicked {
            go(facts, selected_of(&problem.place), actions);
        }
    }
    if facts.house.is_some() {
        note(ui, "The floor shown is the last one that could be computed.");
    }
}

fn selected_of(place: &Place) -> Selected {
    match place {
        Place::Room(room) => Selected::Room(*room),
        Place::Wall(room, wall) => Selected::Wall(*room, *wall),
        Place::Doorway(doorway) => Selected::Doorway(*doorway),
        Place::Fixture(fixture) => Selected::Fixture(*fixture),
        Place::Joint(joint) => Selected::Joint(*joint),
        Place::Dimension(dimension) => Selected::Dimension(*dimension),
        _ => Selected::Nothing,
    }
}

fn go(facts: &Facts<'_>, selected: Selected, actions: &mut Actions) {
    actions.select(selected);
    if let Some(at) = extent_of(selected, facts.plan, facts.house) {
        actions.push(Action::Show(at.centre()));
    }
}

/// A line of a list: name left, figure right; true when clicked.
pub(super) fn item(ui: &mut Ui, name: &str, figure: &str, selected: bool) -> bool {
    let palette = Palette::current(ui.ctx());
    let width = ui.available_width();
    let lay =
        |text: &str, font, wrap| ui.painter().layout(text.to_owned(), font, egui::Color32::PLACEHOLDER, wrap);
    let named = lay(name, egui::FontId::proportional(13.5), width);
    let told = lay(figure, strong_font(13.0), width);
    // Where both have no room in one line, the figure stands under the name.
    let is_one_line = named.size().x + told.size().x + 12.0 <= width;
    let height = if is_one_line { 22.0 } else { named.size().y + told.size().y + 6.0 };
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
    response.widget_info(|| {
        egui::WidgetInfo::selected(egui::Role::Button, true, selected, format!("{name}, {figure}"))
    });
    if selected {
        ui.painter().rect_filled(rect.expand2(vec2(6.0, 0.0)), 3.0, palette.chalk_wash);
    }
    let ink = if response.hovered() || response.has_focus() { palette.chalk } else { palette.ink };
    let painter = ui.painter_at(rect.expand2(vec2(0.0, 2.0)));
    let (left, right) = match is_one_line {
        true => (Align2::LEFT_CENTER, Align2::RIGHT_CENTER),
        false => (Align2::LEFT_TOP, Align2::RIGHT_BOTTOM),
    };
    for (galley, place, ink) in [(named, left, ink), (told, right, palette.ink)] {
        let at = place.align_size_within_rect(galley.size(), rect).min;
        painter.galley(at, galley, ink);
    }
    super::parts::ring(ui, &response);
    response.on_hover_cursor(egui::CursorIcon::PointingHand).clicked()
}

/// How high a row of a list is taken for that was never laid out, points.
const ROW: f32 = 26.0;

fn rooms(ui: &mut Ui, facts: &Facts<'_>, tape: &mut TapeTable, actions: &mut Actions) {
    let plan = facts.plan;
    heading(ui, "Rooms");
    long(ui, "rooms", plan.rooms.len(), ROW, facts.selected.room(), |ui, index| {
        let room = &plan.rooms[index];
        let outline: Vec<_> = room.outline().into_iter().map(|(p, _)| p).collect();
        let area = names::area(crate::geometry::area(outline.into_iter()), plan.units);
        let figure = format!("{area} {}", names::covering(&room.covering));
        let listed = facts.selected.room() == Some(index) || facts.is_selected(Selected::Room(index));
        let selected = facts.selected.room() == Some(index) && !facts.has_several();
        if item(ui, &room.name, &figure, listed) {
            go(facts, Selected::Room(index), actions);
        }
        if selected {
            inset(ui, |ui| {
                let shown = ui.scope(|ui| room_props(ui, plan, index, actions)).response.rect;
                if ui.clip_rect().contains_rect(shown) {
                    let frame = ui.ctx().cumulative_pass_nr();
                    ui.data_mut(|data| data.insert_temp(in_sight(), (index, frame)));
                }
                match facts.selected {
                    Selected::Wall(_, wall) => wall_props(ui, facts, index, wall, actions),
                    Selected::Corner(_, corner) => corner_props(ui, plan, index, corner, actions),
                    _ if tape.open => {}
                    _ => walls(ui, facts, index, actions),
                }
                super::tape::show(ui, plan, index, tape, actions);
            });
        }
    });
    ui.horizontal_wrapped(|ui| {
        if act(ui, "draw a room").on_hover_text(Command::DrawRoom.tooltip(ui.ctx())).clicked() {
            actions.run(Command::DrawRoom);
        }
        let from_lengths = act(ui, "a room from its lengths");
        if from_lengths.on_hover_text(Command::RoomFromLengths.tooltip(ui.ctx())).clicked() {
            actions.run(Command::RoomFromLengths);
        }
    });
}

fn in_sight() -> egui::Id {
    egui::Id::unique("a room's figures in sight")
}

/// Whether all figures of a room are in sight in the job: its card need not say them again.
pub(crate) fn shows_room(ctx: &egui::Context, room: usize) -> bool {
    ctx.data(|data| data.get_temp(in_sight())) == Some((room, ctx.cumulative_pass_nr()))
}

fn walls(ui: &mut Ui, facts: &Facts<'_>, room: usize, actions: &mut Actions) {
    let Some(drawn) = facts.plan.rooms.get(room) else { return };
    for wall in 0..drawn.walls.len() {
        let length = drawn.wall_line(wall).map_or(0.0, |(a, b)| a.distance(b));
        let bowed = if drawn.walls[wall].bow.is_empty() { "" } else { ", bowed" };
        let figure = format!("{}{bowed}", names::length(length, facts.plan.units));
        if item(ui, &format!("wall {}", wall + 1), &figure, false) {
            go(facts, Selected::Wall(room, wall), actions);
        }
    }
}

fn doorways(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let plan = facts.plan;
    heading(ui, "Doorways");
    let held = match facts.selected {
        Selected::Doorway(index) => Some(index),
        _ => None,
    };
    long(ui, "doorways", plan.doorways.len(), ROW, held, |ui, index| {
        let doorway = &plan.doorways[index];
        let listed = facts.is_selected(Selected::Doorway(index));
        let selected = listed && !facts.has_several();
        if item(ui, &doorway.name, &names::length(doorway.width, plan.units), listed) {
            go(facts, Selected::Doorway(index), actions);
        }
        if selected {
            inset(ui, |ui| doorway_props(ui, plan, index, actions));
        }
    });
    if act(ui, "place a doorway").clicked() {
        actions.run(Command::PlaceDoorway);
    }
}

fn fixtures(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let plan = facts.plan;
    heading(ui, "Fixtures");
    let held = match facts.selected {
        Selected::Fixture(index) => Some(index),
        _ => None,
    };
    long(ui, "fixtures", plan.fixtures.len(), ROW, held, |ui, index| {
        let fixture = &plan.fixtures[index];
        let listed = facts.is_selected(Selected::Fixture(index));
        let selected = listed && !facts.has_several();
        if item(ui, &fixture.name, names::fixture_kind(fixture.kind), listed) {
            go(facts, Selected::Fixture(index), actions);
        }
        if selected {
            inset(ui, |ui| fixture_props(ui, plan, index, actions));
        }
    });
    if act(ui, "draw a fixture").clicked() {
        actions.run(Command::DrawFixture);
    }
}

/// Lengths kept on the drawing, each with what it is between.
fn dimensions(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let plan = facts.plan;
    heading(ui, "Dimensions");
    for (index, dimension) in plan.dimensions.iter().enumerate() {
        let length = dimension.length(plan).map(|mm| names::length((mm * 10.0).round() / 10.0, plan.units));
        let name = format!("{} to {}", dimension.from.words(), dimension.to.words());
        if item(ui, &name, &length.unwrap_or_default(), facts.is_selected(Selected::Dimension(index))) {
            go(facts, Selected::Dimension(index), actions);
        }
    }
    if act(ui, "measure between two things").clicked() {
        actions.run(Command::MeasureBetween);
    }
}

fn inset(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    let palette = Palette::current(ui.ctx());
    let margin = egui::Margin { left: 14, right: 0, top: 4, bottom: 8 };
    let shown = egui::Frame::new().inner_margin(margin).show(ui, add);
    let rect = shown.response.rect;
    ui.painter().vline(rect.left() + 4.0, rect.y_range(), egui::Stroke::new(1.5, palette.chalk));
}
