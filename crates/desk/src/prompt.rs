//! Questions and reports that hold the desk: unsaved work, files that cannot be read, typed paths.

use crate::bringing::Bringing;
use crate::files::Unreadable;
use crate::keeping::Recovered;
use crate::palette::{Palette, strong_font};
use egui::{Context, Id, Key, Modal, RichText, ScrollArea, TextEdit, Ui};
use std::path::{Path, PathBuf};

/// What goes on once unsaved work is seen to.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Then {
    New,
    Sample,
    Open(Waiting),
    Quit,
}

/// A plan that is to be opened: its file, and the name of the house in it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Waiting {
    pub(crate) path: PathBuf,
    pub(crate) house: String,
}

impl Waiting {
    fn file(&self) -> String {
        file_name(&self.path)
    }
}

impl Then {
    /// What waits, in a sentence.
    fn waits(&self) -> String {
        match self {
            Self::New => "A new plan waits to be begun.".into(),
            Self::Sample => "The sample house waits to be opened.".into(),
            Self::Open(plan) => format!("{} waits to be opened: {}.", plan.file(), plan.house),
            Self::Quit => "The window waits to be closed.".into(),
        }
    }

    /// What the buttons say: save first, and go on without.
    fn buttons(&self) -> [&'static str; 2] {
        match self {
            Self::New => ["Save, then begin it", "Begin it without saving"],
            Self::Sample | Self::Open(_) => ["Save, then open it", "Open it without saving"],
            Self::Quit => ["Save, then close", "Close without saving"],
        }
    }

    /// What happens once the plan on the table is saved.
    fn comes(&self) -> String {
        match self {
            Self::New => "A new plan is begun after that.".into(),
            Self::Sample => "The sample house is opened after that.".into(),
            Self::Open(plan) => format!("{} is opened after that.", plan.file()),
            Self::Quit => "The window is closed after that.".into(),
        }
    }

    /// That it was not done, for the foot of the floor.
    pub(crate) fn not_done(&self) -> String {
        match self {
            Self::New => "No new plan was begun".into(),
            Self::Sample => "The sample house was not opened".into(),
            Self::Open(plan) => format!("{} was not opened", plan.file()),
            Self::Quit => "The window was not closed".into(),
        }
    }

    /// That it was done, where the window does not say so by itself.
    pub(crate) fn done(&self) -> Option<String> {
        match self {
            Self::Open(plan) => Some(format!("{} is open", plan.file())),
            _ => None,
        }
    }
}

fn file_name(path: &Path) -> String {
    path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}

/// What holds the desk.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Prompt {
    /// There is unsaved work in the way of something.
    Unsaved(Then),
    /// A file could not be read; the open plan stays.
    Unreadable(Unreadable),
    /// The path of a file to open is typed.
    OpenPath(String),
    /// The path to save to is typed; with what went wrong with it before.
    SavePath(String, String),
    /// The plan's file was changed by something else.
    Changed(PathBuf),
    /// There is another file of that name already, with the house in it if it is a plan.
    Over(PathBuf, Option<String>),
    /// Work was found that a program which ended had not saved.
    Recovered(Recovered),
    /// The path of a drawing to bring in is typed.
    BringPath(String),
    /// The path of a picture to lay under the plan is typed.
    PicturePath(String),
    /// What to take of a drawing is chosen.
    BringIn(Box<Bringing>),
}

/// The answer to a prompt.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Answer {
    /// Nothing happens.
    Stay,
    /// Save, then go on.
    SaveThen(Then),
    /// Go on without saving.
    LeaveThen(Then),
    Open(PathBuf),
    Save(PathBuf),
    /// Save over what something else wrote.
    SaveOver(PathBuf),
    SaveElsewhere,
    /// Take up the work found.
    TakeUp,
    /// Leave it for another time.
    LeaveFound,
    ThrowAway,
    AskBringing(PathBuf),
    LayPicture(PathBuf),
    BringIn(Box<Bringing>),
}

/// Shows a prompt, with what waits until the plan on the table is saved; its answer once there is one.
pub(crate) fn show(
    ctx: &Context,
    prompt: &mut Prompt,
    house: &str,
    waiting: Option<&Then>,
) -> Option<Answer> {
    let mut answer = None;
    let frame = egui::Frame::popup(&ctx.global_style()).inner_margin(20);
    let modal = Modal::new(Id::unique("prompt"))
        .frame(frame)
        .backdrop_color(egui::Color32::from_black_alpha(60))
        .show(ctx, |ui| {
            let window = ui.ctx().content_rect().size();
            ui.set_width((window.x - 90.0).clamp(160.0, 460.0));
            let highest = (window.y - 80.0).max(80.0);
            let show = |ui: &mut Ui| match prompt {
                Prompt::Unsaved(then) => unsaved(ui, house, then),
                Prompt::Unreadable(unreadable) => report(ui, unreadable),
                Prompt::Changed(path) => changed(ui, path, waiting),
                Prompt::Over(path, house) => over(ui, path, house.as_deref(), waiting),
                Prompt::Recovered(recovered) => found(ui, recovered),
                Prompt::OpenPath(path) => typed_path(ui, "Open a plan by its path", "Open", path, "")
                    .map(|path| path.map_or(Answer::Stay, Answer::Open)),
                Prompt::BringPath(path) => {
                    typed_path(ui, "Bring in outlines from a path", "Look into it", path, "")
                        .map(|path| path.map_or(Answer::Stay, Answer::AskBringing))
                }
                Prompt::PicturePath(path) => {
                    typed_path(ui, "Lay a picture under by its path", "Lay it under", path, "")
                        .map(|path| path.map_or(Answer::Stay, Answer::LayPicture))
                }
                Prompt::BringIn(bringing) => bringing.show(ui).map(|is_wanted| match is_wanted {
                    true => Answer::BringIn(bringing.clone()),
                    false => Answer::Stay,
                }),
                Prompt::SavePath(path, trouble) => {
                    comes_after(ui, waiting);
                    typed_path(ui, "Save the plan to a path", "Save", path, trouble)
                        .map(|path| path.map_or(Answer::Stay, Answer::Save))
                }
            };
            answer =
                ScrollArea::vertical().max_height(highest).min_scrolled_height(highest).show(ui, show).inner;
        });
    if answer.is_none() && modal.should_close() {
        answer = Some(match prompt {
            Prompt::Recovered(_) => Answer::LeaveFound,
            _ => Answer::Stay,
        });
    }
    answer
}

pub(crate) fn title(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(strong_font(16.0)));
    ui.add_space(4.0);
}

fn buttons(ui: &mut Ui, add: impl FnOnce(&mut Ui) -> Option<Answer>) -> Option<Answer> {
    ui.add_space(8.0);
    ui.horizontal_wrapped(add).inner
}

fn unsaved(ui: &mut Ui, house: &str, then: &Then) -> Option<Answer> {
    title(ui, &format!("{house} is not saved"));
    ui.label(then.waits());
    ui.label(format!("Without saving, what was changed in {house} since it was last saved would be lost."));
    let [save_first, without] = then.buttons();
    buttons(ui, |ui| {
        let save = ui.button(save_first);
        if ui.ctx().memory(|memory| memory.focused().is_none()) {
            save.request_focus();
        }
        if save.clicked() {
            return Some(Answer::SaveThen(then.clone()));
        }
        if ui.button(without).clicked() {
            return Some(Answer::LeaveThen(then.clone()));
        }
        ui.button("Stay").clicked().then_some(Answer::Stay)
    })
}

/// What goes on after the saving that is being asked about.
fn comes_after(ui: &mut Ui, waiting: Option<&Then>) {
    if let Some(then) = waiting {
        ui.label(RichText::new(then.comes()).weak());
    }
}

fn changed(ui: &mut Ui, path: &Path, waiting: Option<&Then>) -> Option<Answer> {
    title(ui, &format!("Something else has changed {}", file_name(path)));
    comes_after(ui, waiting);
    ui.label("It is not what was opened here any more.");
    save_over(ui, path)
}

fn over(ui: &mut Ui, path: &Path, house: Option<&str>, waiting: Option<&Then>) -> Option<Answer> {
    title(ui, &format!("{} is there already", file_name(path)));
    comes_after(ui, waiting);
    ui.label(match house {
        Some(house) => format!("It holds another plan: {house}."),
        None => "It is no plan that can be read.".into(),
    });
    save_over(ui, path)
}

fn save_over(ui: &mut Ui, path: &Path) -> Option<Answer> {
    ui.label("Saved over, what it holds now is kept beside it, under its name and “.before”.");
    buttons(ui, |ui| {
        let elsewhere = ui.button("Save under another name");
        if ui.ctx().memory(|memory| memory.focused().is_none()) {
            elsewhere.request_focus();
        }
        if elsewhere.clicked() {
            return Some(Answer::SaveElsewhere);
        }
        if ui.button("Save over it").clicked() {
            return Some(Answer::SaveOver(path.to_owned()));
        }
        ui.button("Stay").clicked().then_some(Answer::Stay)
    })
}

fn found(ui: &mut Ui, recovered: &Recovered) -> Option<Answer> {
    title(ui, "Work that was not saved");
    let file =
        recovered.file.as_ref().map_or_else(|| "no file yet".to_owned(), |file| file.display().to_string());
    ui.label(format!("{}, {}", recovered.name, ago(recovered.ago)));
    ui.label(RichText::new(file).size(12.0).weak());
    ui.label("The program ended before it was saved. Taken up, it is one step that can be undone.");
    if recovered.more > 0 {
        let more = crate::names::count(recovered.more, "more was", "more were");
        ui.label(format!("{more} not saved: what is taken up is saved first."));
    }
    buttons(ui, |ui| {
        let take = ui.button("Take it up");
        if ui.ctx().memory(|memory| memory.focused().is_none()) {
            take.request_focus();
        }
        if take.clicked() {
            return Some(Answer::TakeUp);
        }
        if ui.button("Leave it for later").clicked() {
            return Some(Answer::LeaveFound);
        }
        ui.button("Throw it away").clicked().then_some(Answer::ThrowAway)
    })
}

/// How long ago, in words.
fn ago(seconds: u64) -> String {
    let of = |count: u64, one: &str, several: &str| {
        format!("{} ago", crate::names::count(count as usize, one, several))
    };
    match seconds {
        0..=119 => "a moment ago".into(),
        120..=7199 => of(seconds / 60, "minute", "minutes"),
        7200..=172_799 => of(seconds / 3600, "hour", "hours"),
        _ => of(seconds / 86_400, "day", "days"),
    }
}

fn report(ui: &mut Ui, unreadable: &Unreadable) -> Option<Answer> {
    let palette = Palette::current(ui.ctx());
    title(ui, &format!("{} cannot be opened", file_name(&unreadable.path)));
    ui.label(RichText::new(unreadable.path.display().to_string()).size(12.0).weak());
    ui.label(RichText::new("The plan on the table stays as it is.").weak());
    ui.add_space(4.0);
    ScrollArea::vertical().max_height(320.0).show(ui, |ui| {
        for reason in &unreadable.reasons {
            let mut place = String::new();
            if reason.line > 0 {
                place = format!("line {}", reason.line);
            }
            if !reason.place.is_empty() {
                place = if place.is_empty() {
                    reason.place.clone()
                } else {
                    format!("{place}, {}", reason.place)
                };
            }
            ui.label(RichText::new(place).font(strong_font(13.0)));
            ui.colored_label(palette.fault, &reason.what);
            ui.label(RichText::new(&reason.mend).weak());
            ui.add_space(6.0);
        }
    });
    buttons(ui, |ui| ui.button("Close").clicked().then_some(Answer::Stay))
}

/// A path being typed: `Some(None)` when left, `Some(Some(path))` when taken.
fn typed_path(
    ui: &mut Ui,
    heading: &str,
    word: &str,
    path: &mut String,
    trouble: &str,
) -> Option<Option<PathBuf>> {
    title(ui, heading);
    let field = ui
        .add(TextEdit::singleline(path).hint_text("path of the file").desired_width(f32::INFINITY))
        .accessible_name("path of the file");
    let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    if !field.has_focus() && !entered && !ui.ctx().memory(|memory| memory.focused().is_some()) {
        field.request_focus();
        // A quick hand types before the field has the keys.
        ui.input(|input| {
            for event in &input.events {
                if let egui::Event::Text(letters) = event {
                    path.push_str(letters);
                }
            }
        });
    }
    let (what, mend) = trouble.split_once('\n').unwrap_or((trouble, ""));
    if !what.is_empty() {
        ui.colored_label(Palette::current(ui.ctx()).fault, what);
    }
    if !mend.is_empty() {
        ui.label(RichText::new(mend).weak());
    }
    ui.add_space(8.0);
    ui.horizontal_wrapped(|ui| {
        let taken = ui.add_enabled(!path.trim().is_empty(), egui::Button::new(word)).clicked();
        if (taken || entered) && !path.trim().is_empty() {
            return Some(Some(PathBuf::from(path.trim())));
        }
        ui.button("Stay").clicked().then_some(None)
    })
    .inner
}
