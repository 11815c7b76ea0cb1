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
    /// What is said beside the name, the longest first: as much of it as there is room for.
    pub(crate) state: Vec<State>,
    pub(crate) is_job_open: bool,
    pub(crate) is_strip_open: bool,
}

/// One way to say how the plan stands.
pub(crate) struct State {
    pub(crate) words: String,
    /// The longest that these words become without the house being another: it is for them that there must be room, or
    /// the figures would come and go with each step taken back.
    pub(crate) longest: String,
}

/// A word at the right.
struct Word {
    command: Command,
    text: String,
    /// There is nothing for it to do.
    is_idle: bool,
    /// Whether it is underlined.
    is_marked: bool,
    /// The width it keeps whatever it says, points: nothing after it moves under the pointer.
    width: f32,
}

/// How much is said at the right, by the window's width alone.
#[derive(Clone, Copy)]
struct Room {
    is_short: bool,
    /// Of the step to undo, its name stands there.
    names_undo: bool,
}

/// How wide the word for undo is where it names its step, points.
const NAMED_UNDO: f32 = 172.0;

fn words(ui: &Ui, shown: &Shown<'_>, room: Room) -> Vec<Word> {
    let units = match shown.document.plan().units {
        Units::Metric => "mm",
        Units::FeetInches => "ft in",
    };
    let (undo, redo) = (shown.document.undo_name(), shown.document.redo_name());
    let undone = match undo.filter(|_| room.names_undo) {
        Some(name) => format!("undo “{name}”"),
        None => "undo".to_owned(),
    };
    let find = if room.is_short { "find" } else { "find a command" };
    let padding = 2.0 * ui.spacing().button_padding.x;
    let width_of = |text: &str| width_of(ui, text, text_font(12.5)) + padding;
    let word = |command, text: &str, width| Word {
        command,
        text: text.to_owned(),
        is_idle: false,
        is_marked: false,
        width,
    };
    let undo_width = if room.names_undo { NAMED_UNDO } else { width_of("undo") };
    vec![
        Word { is_idle: redo.is_none(), ..word(Command::Redo, "do again", width_of("do again")) },
        Word { is_idle: undo.is_none(), ..word(Command::Undo, &undone, undo_width) },
        word(Command::Find, find, width_of(find)),
        word(Command::ToggleUnits, units, width_of("mm").max(width_of("ft in"))),
        Word { is_marked: shown.is_strip_open, ..word(Command::FoldStrip, "curve", width_of("curve")) },
        Word { is_marked: shown.is_job_open, ..word(Command::FoldJob, "job", width_of("job")) },
    ]
}

/// What gives way where the line is short: the name of the step to undo, then the long words. Nothing of it depends on
/// what has been done: a tool never moves because something can be undone.
fn fitting_words(ui: &Ui, width: f32, shown: &Shown<'_>) -> (Vec<Word>, bool) {
    for (is_short, names_undo) in [(false, true), (false, false), (true, false)] {
        let words = words(ui, shown, Room { is_short, names_undo });
        if width - right_width(ui, &words) >= LEAST_NAME {
            return (words, true);
        }
    }
    // Not even so: everything wraps.
    (words(ui, shown, Room { is_short: true, names_undo: false }), false)
}

/// How high the header is in a window of some width: one row, or as many as it wraps to.
pub(crate) fn height(ui: &Ui, width: f32, shown: &Shown<'_>) -> f32 {
    let (words, is_one_row) = fitting_words(ui, width, shown);
    if is_one_row {
        return 40.0;
    }
    let padding = 2.0 * ui.spacing().button_padding.x;
    let name = name_width(ui, shown).min(width);
    let tools = TOOLS.iter().map(|(word, _)| width_of(ui, word, text_font(13.0)) + padding);
    let words = words.iter().map(|word| word.width);
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
    let left = room - (ui.cursor().left() - start);
    let fits = |state: &&State| width_of(ui, &state.longest, text_font(12.5)) + 8.0 + 2.0 * GAP < left;
    if let Some(state) = shown.state.iter().find(fits) {
        ui.add_space(6.0);
        ui.label(RichText::new(&state.words).size(12.5).color(palette.weak));
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
    for one in words {
        word(ui, one, actions);
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
    let words: f32 = words.iter().map(|word| word.width + GAP).sum();
    tools + words + BETWEEN + 4.0 * GAP
}

/// A word in its place, which is as wide as whatever it may come to say.
fn word(ui: &mut Ui, word: &Word, actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    let tooltip = word.command.tooltip(ui.ctx());
    let text = RichText::new(&word.text).size(12.5).color(palette.weak);
    let button = Button::new(text).frame_when_inactive(false).truncate();
    let place = egui::vec2(word.width, ui.spacing().interact_size.y);
    let shown = ui.allocate_ui_with_layout(place, egui::Layout::left_to_right(egui::Align::Center), |ui| {
        ui.set_min_size(place);
        ui.set_max_width(word.width);
        ui.add_enabled(!word.is_idle, button).on_hover_text(tooltip)
    });
    let response = shown.inner;
    if word.is_marked {
        let rect = response.rect.shrink2(egui::vec2(8.0, 0.0));
        ui.painter().hline(rect.x_range(), rect.bottom() - 1.0, egui::Stroke::new(1.5, palette.weak));
    }
    if response.clicked() {
        actions.run(word.command);
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

/// How wide the house's name is, with room for the mark whether it is there or not.
fn name_width(ui: &Ui, shown: &Shown<'_>) -> f32 {
    let marked = format!("{} •", shown.document.plan().name);
    width_of(ui, &marked, strong_font(16.0)) + 2.0 * ui.spacing().button_padding.x + 1.0
}

/// The house's name, no wider than `room`; it opens the menu.
fn house_menu(ui: &mut Ui, shown: &Shown<'_>, room: f32, actions: &mut Actions) {
    let palette = Palette::current(ui.ctx());
    let name = RichText::new(house_name(shown)).font(strong_font(16.0)).color(palette.ink);
    let place = egui::vec2(name_width(ui, shown).min(room), ui.spacing().interact_size.y);
    let button = Button::new(name).frame_when_inactive(false).truncate();
    ui.allocate_ui_with_layout(place, egui::Layout::left_to_right(egui::Align::Center), |ui| {
        ui.set_min_size(place);
        ui.set_max_width(place.x);
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
