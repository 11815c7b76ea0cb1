//! The line over the floor: the house's name, whether it is saved, the tools in words, undo, and more.

use crate::action::Actions;
use crate::command::Command;
use crate::document::Document;
use crate::palette::{Palette, strong_font, text_font};
use crate::tool::Tool;
use egui::{Button, RichText, Ui};
use plan::Units;
use std::path::PathBuf;

/// What the header reads.
pub(crate) struct Shown<'a> {
    pub(crate) document: &'a Document,
    pub(crate) tool: &'a Tool,
    pub(crate) recent: &'a [PathBuf],
    pub(crate) state: String,
}

pub(crate) fn show(ui: &mut Ui, shown: &Shown<'_>, actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    ui.horizontal_centered(|ui| {
        ui.spacing_mut().item_spacing.x = GAP;
        let units = match shown.document.plan().units {
            Units::Metric => "mm",
            Units::FeetInches => "ft in",
        };
        let undo = shown.document.undo_name().map(|name| format!("undo “{}”", short(name)));
        let redo = shown.document.redo_name().map(|_| "do again");
        // What gives way where the line is short: the name of the step to undo, then the long words.
        let full = (undo.clone().unwrap_or_else(|| "undo".into()), "find a command");
        let words = [full, ("undo".into(), "find a command"), ("undo".into(), "find")]
            .into_iter()
            .find(|(undo, find)| {
                let rest = ui.available_width() - right_width(ui, &[undo, find, units, redo.unwrap_or("")]);
                rest >= LEAST_NAME
            })
            .unwrap_or_else(|| ("undo".into(), "find"));
        let right = right_width(ui, &[&words.0, words.1, units, redo.unwrap_or("")]);
        let start = ui.cursor().left();
        let room = (ui.available_width() - right).max(60.0);
        house_menu(ui, shown, room, actions);
        let state = RichText::new(&shown.state).size(12.5).color(palette.weak);
        let left = room - (ui.cursor().left() - start);
        if width_of(ui, &shown.state, text_font(12.5)) + 8.0 + 2.0 * GAP < left {
            ui.add_space(6.0);
            ui.label(state);
        }
        ui.add_space((room - (ui.cursor().left() - start)).max(0.0));
        let tools = [
            (TOOLS[0], Command::Select, matches!(shown.tool, Tool::Ready(_) | Tool::Dragging(_))),
            (TOOLS[1], Command::DrawRoom, matches!(shown.tool, Tool::Room(_))),
            (TOOLS[2], Command::PlaceDoorway, matches!(shown.tool, Tool::Doorway(_))),
            (TOOLS[3], Command::DrawFixture, matches!(shown.tool, Tool::Fixture(_))),
            (TOOLS[4], Command::DrawJoint, matches!(shown.tool, Tool::Joint(_))),
        ];
        for (name, command, in_hand) in tools {
            tool(ui, name, command, in_hand, actions);
        }
        ui.add_space(10.0);
        if let Some(redo) = redo {
            word(ui, redo, Command::Redo, false, actions);
        }
        word(ui, &words.0, Command::Undo, undo.is_none(), actions);
        word(ui, words.1, Command::Find, false, actions);
        word(ui, units, Command::ToggleUnits, false, actions);
    });
}

/// Between two words.
const GAP: f32 = 2.0;
/// Less than this is no room for a name; the words give way first.
const LEAST_NAME: f32 = 230.0;
const TOOLS: [&str; 5] = ["pick", "draw room", "doorway", "fixture", "joint"];

fn width_of(ui: &Ui, text: &str, font: egui::FontId) -> f32 {
    ui.painter().layout_no_wrap(text.to_owned(), font, egui::Color32::BLACK).size().x
}

/// How wide the tools and these words are together.
fn right_width(ui: &Ui, words: &[&str]) -> f32 {
    let padding = 2.0 * ui.spacing().button_padding.x + GAP;
    let of = |size: f32| move |text: &&&str| width_of(ui, text, text_font(size)) + padding;
    let words = words.iter().filter(|word| !word.is_empty());
    TOOLS.iter().collect::<Vec<_>>().iter().map(of(13.0)).sum::<f32>()
        + words.collect::<Vec<_>>().iter().map(of(12.5)).sum::<f32>()
        + 10.0
        + 4.0 * GAP
}

/// At most so much of a step's name as the line has room for.
fn short(name: &str) -> String {
    if name.chars().count() <= 26 { name.to_owned() } else { name.chars().take(25).chain(['…']).collect() }
}

fn word(ui: &mut Ui, text: &str, command: Command, disabled: bool, actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    let button = Button::new(RichText::new(text).size(12.5).color(palette.weak)).frame_when_inactive(false);
    let tooltip = command.tooltip(ui.ctx());
    if ui.add_enabled(!disabled, button).on_hover_text(tooltip).clicked() {
        actions.run(command);
    }
}

/// A tool's word; the tool in hand is underlined in chalk.
fn tool(ui: &mut Ui, text: &str, command: Command, in_hand: bool, actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    let ink = if in_hand { palette.chalk } else { palette.ink };
    let button = Button::new(RichText::new(text).size(13.0).color(ink)).frame_when_inactive(false);
    let response = ui.add(button).on_hover_text(command.tooltip(ui.ctx()));
    if in_hand {
        let rect = response.rect.shrink2(egui::vec2(8.0, 0.0));
        ui.painter().hline(rect.x_range(), rect.bottom() - 1.0, egui::Stroke::new(2.0, palette.chalk));
    }
    if response.clicked() {
        actions.run(command);
    }
}

/// The house's name, no wider than `room`; it opens the menu.
fn house_menu(ui: &mut Ui, shown: &Shown<'_>, room: f32, actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    let mark = if shown.document.is_dirty() { " •" } else { "" };
    let name = RichText::new(format!("{}{mark}", shown.document.plan().name))
        .font(strong_font(16.0))
        .color(palette.ink);
    let width = width_of(ui, name.text(), strong_font(16.0)) + 2.0 * ui.spacing().button_padding.x + 1.0;
    let button = Button::new(name).frame_when_inactive(false).truncate();
    ui.scope(|ui| {
        ui.set_max_width(width.min(room));
        egui::containers::menu::MenuButton::from_button(button).ui(ui, |ui| {
            for command in [
                Command::New,
                Command::Open,
                Command::Save,
                Command::SaveAs,
                Command::BringIn,
                Command::WriteSheets,
            ] {
                menu_entry(ui, command, actions);
            }
            if !shown.recent.is_empty() {
                ui.separator();
                for path in shown.recent {
                    let name =
                        path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
                    let button = Button::new(name).frame_when_inactive(false);
                    if ui.add(button).on_hover_text(path.display().to_string()).clicked() {
                        actions.push(crate::action::Action::Open(path.clone()));
                    }
                }
            }
            ui.separator();
            ui.menu_button("Show or hide", |ui| {
                for command in [
                    Command::ShowWalls,
                    Command::ShowFixtures,
                    Command::ShowBoards,
                    Command::ShowSetOut,
                    Command::ShowFlags,
                    Command::ShowDimensions,
                    Command::ShowNames,
                    Command::ShowPicture,
                    Command::ShowAll,
                ] {
                    menu_entry(ui, command, actions);
                }
            });
            for command in [
                Command::Sample,
                Command::OpenByPath,
                Command::SaveByPath,
                Command::ToggleTheme,
                Command::ToggleGrid,
                Command::Fit,
                Command::FirstSteps,
                Command::Find,
                Command::Quit,
            ] {
                menu_entry(ui, command, actions);
            }
        });
    });
}

fn menu_entry(ui: &mut Ui, command: Command, actions: &mut Actions) {
    let keys = command.keys_text(ui.ctx());
    let button = Button::new(command.name()).shortcut_text(keys);
    if ui.add(button).on_hover_text(command.about()).clicked() {
        actions.run(command);
    }
}
