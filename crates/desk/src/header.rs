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
    pub(crate) is_job_open: bool,
    pub(crate) is_strip_open: bool,
}

/// The words at the right, in their order, as long as the line has room for: command, words, whether they are idle, and
/// whether they are underlined.
type Word = (Command, String, bool, bool);

fn words(shown: &Shown<'_>, is_short: bool, names_undo: bool) -> Vec<Word> {
    let units = match shown.document.plan().units {
        Units::Metric => "mm",
        Units::FeetInches => "ft in",
    };
    let undo = shown.document.undo_name();
    let redo = shown.document.redo_name().map(|_| (Command::Redo, "do again".to_owned(), false, false));
    let undone = match undo.filter(|_| names_undo) {
        Some(name) => format!("undo “{}”", short(name)),
        None => "undo".to_owned(),
    };
    let find = if is_short { "find" } else { "find a command" };
    let mut words: Vec<Word> = redo.into_iter().collect();
    words.push((Command::Undo, undone, undo.is_none(), false));
    words.push((Command::Find, find.to_owned(), false, false));
    words.push((Command::ToggleUnits, units.to_owned(), false, false));
    words.push((Command::FoldStrip, "curve".to_owned(), false, shown.is_strip_open));
    words.push((Command::FoldJob, "job".to_owned(), false, shown.is_job_open));
    words
}

/// What gives way where the line is short: the name of the step to undo, then the long words.
fn fitting_words(ui: &Ui, width: f32, shown: &Shown<'_>) -> (Vec<Word>, bool) {
    for (is_short, names_undo) in [(false, true), (false, false), (true, false)] {
        let words = words(shown, is_short, names_undo);
        if width - right_width(ui, &words) >= LEAST_NAME {
            return (words, true);
        }
    }
    // Not even so: everything wraps.
    (words(shown, true, false), false)
}

/// How high the header is in a window of some width: one row, or as many as it wraps to.
pub(crate) fn height(ui: &Ui, width: f32, shown: &Shown<'_>) -> f32 {
    let (words, is_one_row) = fitting_words(ui, width, shown);
    if is_one_row {
        return 40.0;
    }
    let padding = 2.0 * ui.spacing().button_padding.x;
    let name = (width_of(ui, &house_name(shown), strong_font(16.0)) + padding + 1.0).min(width);
    let tools = TOOLS.iter().map(|(word, _)| width_of(ui, word, text_font(13.0)) + padding);
    let words = words.iter().map(|word| width_of(ui, &word.1, text_font(12.5)) + padding);
    let (mut rows, mut x) = (1.0, 0.0);
    for width_of_one in std::iter::once(name).chain(tools).chain(words) {
        if x > 0.0 && x + width_of_one > width - 1.0 {
            (rows, x) = (rows + 1.0, 0.0);
        }
        x += width_of_one + GAP;
    }
    8.0 + rows * ROW
}

pub(crate) fn show(ui: &mut Ui, shown: &Shown<'_>, actions: &mut Actions) {
    let (words, is_one_row) = fitting_words(ui, ui.available_width(), shown);
    if is_one_row {
        ui.horizontal_centered(|ui| {
            ui.spacing_mut().item_spacing.x = GAP;
            one_row(ui, shown, &words, actions);
        });
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = egui::vec2(GAP, ROW - ui.spacing().interact_size.y);
        house_menu(ui, shown, ui.available_width(), actions);
        tools_and_words(ui, shown, &words, actions);
    });
}

fn one_row(ui: &mut Ui, shown: &Shown<'_>, words: &[Word], actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    let right = right_width(ui, words);
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
    tools_and_words(ui, shown, words, actions);
}

fn tools_and_words(ui: &mut Ui, shown: &Shown<'_>, words: &[Word], actions: &mut Actions) {
    for (name, command) in TOOLS {
        let in_hand = match command {
            Command::Select => matches!(shown.tool, Tool::Ready(_) | Tool::Dragging(_)),
            Command::DrawRoom => matches!(shown.tool, Tool::Room(_)),
            Command::PlaceDoorway => matches!(shown.tool, Tool::Doorway(_)),
            Command::DrawFixture => matches!(shown.tool, Tool::Fixture(_)),
            _ => matches!(shown.tool, Tool::Joint(_)),
        };
        tool(ui, name, command, in_hand, actions);
    }
    if !ui.layout().main_wrap() {
        ui.add_space(BETWEEN);
    }
    for (command, text, is_idle, is_marked) in words {
        word(ui, text, *command, *is_idle, *is_marked, actions);
    }
}

/// Between two words.
const GAP: f32 = 2.0;
/// Less than this is no room for a name; the words give way first.
const LEAST_NAME: f32 = 150.0;
/// Between the tools and the words after them.
const BETWEEN: f32 = 10.0;
/// Height of a row where the header has several.
const ROW: f32 = 26.0;
const TOOLS: [(&str, Command); 5] = [
    ("pick", Command::Select),
    ("draw room", Command::DrawRoom),
    ("doorway", Command::PlaceDoorway),
    ("fixture", Command::DrawFixture),
    ("joint", Command::DrawJoint),
];

fn width_of(ui: &Ui, text: &str, font: egui::FontId) -> f32 {
    ui.painter().layout_no_wrap(text.to_owned(), font, egui::Color32::BLACK).size().x
}

/// How wide the tools and these words are together.
fn right_width(ui: &Ui, words: &[Word]) -> f32 {
    let padding = 2.0 * ui.spacing().button_padding.x + GAP;
    let tools: f32 = TOOLS.iter().map(|(word, _)| width_of(ui, word, text_font(13.0)) + padding).sum();
    let words: f32 = words.iter().map(|word| width_of(ui, &word.1, text_font(12.5)) + padding).sum();
    tools + words + BETWEEN + 4.0 * GAP
}

/// At most so much of a step's name as the line has room for.
fn short(name: &str) -> String {
    if name.chars().count() <= 26 { name.to_owned() } else { name.chars().take(25).chain(['…']).collect() }
}

fn word(ui: &mut Ui, text: &str, command: Command, is_idle: bool, is_marked: bool, actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    let button = Button::new(RichText::new(text).size(12.5).color(palette.weak)).frame_when_inactive(false);
    let tooltip = command.tooltip(ui.ctx());
    let response = ui.add_enabled(!is_idle, button).on_hover_text(tooltip);
    if is_marked {
        let rect = response.rect.shrink2(egui::vec2(8.0, 0.0));
        ui.painter().hline(rect.x_range(), rect.bottom() - 1.0, egui::Stroke::new(1.5, palette.weak));
    }
    if response.clicked() {
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

/// The house's name, with a mark while it is not saved.
fn house_name(shown: &Shown<'_>) -> String {
    let mark = if shown.document.is_dirty() { " •" } else { "" };
    format!("{}{mark}", shown.document.plan().name)
}

/// The house's name, no wider than `room`; it opens the menu.
fn house_menu(ui: &mut Ui, shown: &Shown<'_>, room: f32, actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    let name = RichText::new(house_name(shown)).font(strong_font(16.0)).color(palette.ink);
    let width = width_of(ui, name.text(), strong_font(16.0)) + 2.0 * ui.spacing().button_padding.x + 1.0;
    let button = Button::new(name).frame_when_inactive(false).truncate();
    ui.scope(|ui| {
        ui.set_max_width(width.min(room));
        egui::containers::menu::MenuButton::from_button(button).ui(ui, |ui| {
            in_sight(ui, |ui| menu(ui, shown, actions));
        });
    });
}

/// A menu longer than the window is scrolled.
fn in_sight(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    let highest = (ui.ctx().content_rect().height() - 70.0).max(80.0);
    egui::ScrollArea::vertical().max_height(highest).min_scrolled_height(highest).show(ui, add);
}

fn menu(ui: &mut Ui, shown: &Shown<'_>, actions: &mut Actions) {
    for command in
        [Command::New, Command::Open, Command::Save, Command::SaveAs, Command::BringIn, Command::WriteSheets]
    {
        menu_entry(ui, command, actions);
    }
    if !shown.recent.is_empty() {
        ui.separator();
        for path in shown.recent {
            let name = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
            let button = Button::new(name).frame_when_inactive(false);
            if ui.add(button).on_hover_text(path.display().to_string()).clicked() {
                actions.push(crate::action::Action::Open(path.clone()));
            }
        }
    }
    ui.separator();
    ui.menu_button("Show or hide", |ui| {
        in_sight(ui, |ui| {
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
                Command::FoldJob,
                Command::FoldStrip,
            ] {
                menu_entry(ui, command, actions);
            }
        });
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
}

fn menu_entry(ui: &mut Ui, command: Command, actions: &mut Actions) {
    let keys = command.keys_text(ui.ctx());
    let button = Button::new(command.name()).shortcut_text(keys);
    if ui.add(button).on_hover_text(command.about()).clicked() {
        actions.run(command);
    }
}
