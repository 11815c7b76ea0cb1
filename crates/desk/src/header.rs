//! The line over the floor: the house's name, whether it is saved, the tools in words, undo, and more.

use crate::action::Actions;
use crate::command::Command;
use crate::document::Document;
use crate::palette::{Palette, strong_font};
use crate::tool::Tool;
use egui::{Align, Button, Layout, RichText, Ui};
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
        ui.spacing_mut().item_spacing.x = 4.0;
        house_menu(ui, shown, actions);
        let state = RichText::new(&shown.state).size(12.5).color(palette.weak);
        let narrow = ui.available_width() < 760.0;
        if !narrow {
            ui.label(state);
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.spacing_mut().item_spacing.x = 2.0;
            let units = match shown.document.plan().units {
                Units::Metric => "mm",
                Units::FeetInches => "ft in",
            };
            word(ui, units, Command::ToggleUnits, false, actions);
            word(ui, "find a command", Command::Find, false, actions);
            let undo = shown.document.undo_name().map(|name| format!("undo “{}”", short(name)));
            word(ui, undo.as_deref().unwrap_or("undo"), Command::Undo, undo.is_none(), actions);
            if shown.document.redo_name().is_some() {
                word(ui, "do again", Command::Redo, false, actions);
            }
            ui.add_space(10.0);
            let tools = [
                ("fixture", Command::DrawFixture, matches!(shown.tool, Tool::Fixture(_))),
                ("doorway", Command::PlaceDoorway, matches!(shown.tool, Tool::Doorway(_))),
                ("draw room", Command::DrawRoom, matches!(shown.tool, Tool::Room(_))),
                ("pick", Command::Select, matches!(shown.tool, Tool::Ready(_) | Tool::Dragging(_))),
            ];
            for (name, command, in_hand) in tools {
                tool(ui, name, command, in_hand, actions);
            }
        });
    });
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

fn house_menu(ui: &mut Ui, shown: &Shown<'_>, actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    let mark = if shown.document.is_dirty() { " •" } else { "" };
    let name = RichText::new(format!("{}{mark}", shown.document.plan().name))
        .font(strong_font(16.0))
        .color(palette.ink);
    egui::containers::menu::MenuButton::from_button(Button::new(name).frame_when_inactive(false)).ui(
        ui,
        |ui| {
            for command in [Command::New, Command::Open, Command::Save, Command::SaveAs, Command::WriteSheets]
            {
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
            for command in [
                Command::Sample,
                Command::OpenByPath,
                Command::SaveByPath,
                Command::ToggleTheme,
                Command::ToggleGrid,
                Command::Fit,
                Command::Find,
                Command::Quit,
            ] {
                menu_entry(ui, command, actions);
            }
        },
    );
}

fn menu_entry(ui: &mut Ui, command: Command, actions: &mut Actions) {
    let keys = command.keys_text(ui.ctx());
    let button = Button::new(command.name()).shortcut_text(keys);
    if ui.add(button).on_hover_text(command.about()).clicked() {
        actions.run(command);
    }
}
