//! Opening, saving, and guarding unsaved work.

use super::Desk;
use crate::canvas::{Span, Wanted};
use crate::command::Command;
use crate::dialogs::Purpose;
use crate::document::Document;
use crate::files::{self, Unreadable};
use crate::importing::Came;
use crate::job::Step;
use crate::mending::Mending;
use crate::on_demand::OnDemand;
use crate::picture::{self, Trouble};
use crate::preview::Preview;
use crate::prompt::{self, Answer, Prompt, Then, Waiting};
use crate::select::Selected;
use crate::tool::Tool;
use egui::{Context, ViewportCommand};
use import::Outlines;
use keep::{Kind, Stamp};
use plan::{Backdrop, FileError, Plan};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// About how long a house is, mm: a picture is laid as large until it is set to scale.
const HOUSE: f64 = 12_000.0;

impl Desk {
    /// Asks for a plan to open.
    pub(super) fn ask_open(&mut self, ctx: &Context) {
        if self.synchronous {
            self.prompt = Some(Prompt::OpenPath(String::new()));
            return;
        }
        let path = self.document.path().map(Path::to_owned);
        self.dialogs.ask(Purpose::Open, path.as_deref(), "", ctx);
    }

    /// Opens a plan, asking first where that would lose unsaved work. One that cannot be read takes nothing from the table:
    /// then there is nothing to ask.
    pub(super) fn open_or_ask(&mut self, ctx: &Context, path: PathBuf) {
        match files::read(&path) {
            Ok((plan, _)) => self.go_on(ctx, Then::Open(Waiting { path, house: plan.name })),
            Err(unreadable) => {
                self.set_aside(None);
                self.prompt = Some(Prompt::Unreadable(unreadable));
            }
        }
    }

    /// What waited for an answer or for the plan to be saved gives way to what was asked for after it; that is said.
    fn set_aside(&mut self, next: Option<&Then>) {
        let asked = match self.prompt.take() {
            Some(Prompt::Unsaved(then)) => Some(then),
            _ => None,
        };
        if let Some(then) = asked.or(self.after_save.take()).filter(|then| Some(then) != next) {
            self.said = Some(then.not_done());
        }
    }

    /// Goes on with something that would lose unsaved work, asking first where there is any.
    pub(super) fn go_on(&mut self, ctx: &Context, then: Then) {
        self.document.keep();
        self.set_aside(Some(&then));
        if self.document.is_dirty() {
            self.prompt = Some(Prompt::Unsaved(then));
        } else {
            self.go_on_now(ctx, then);
        }
    }

    pub(super) fn go_on_now(&mut self, ctx: &Context, then: Then) {
        match then {
            Then::New => {
                self.put(Document::new(Plan::new("New house"), None));
                self.job.open(Step::Measure);
                // The first house of one's own is led through, too.
                if self.settings_path.is_some() && !self.settings.shown_own_house {
                    self.settings.shown_own_house = true;
                    self.settings.store(self.settings_path.as_deref());
                    self.first_steps.begin(self.document.plan());
                }
            }
            Then::Sample => self.put(Document::new(files::sample(), None)),
            Then::Open(plan) => self.open(&plan.path),
            Then::Quit => {
                self.document.leave();
                self.may_close = true;
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
        }
        self.refresh(ctx);
    }

    /// Puts another document on the table.
    pub(super) fn put(&mut self, document: Document) {
        self.document = document;
        // They were about the house that is gone from the table.
        if self.first_steps.is_open() {
            self.leave_first_steps();
        }
        self.keeping.now_known(None);
        self.compute.forget();
        self.line_seen = None;
        // What is to be mended in the plan is told of each.
        self.had_problems = false;
        self.selected = Selected::Nothing;
        self.tool = Tool::default();
        self.said = None;
        self.canvas.wanted = Some(Wanted::Everything);
        self.writing.forget();
        self.importing.leave();
        self.job.tape.draft = None;
        self.on_demand = OnDemand::default();
        // Another plan's pages are looked at from the first.
        self.preview = Preview::default();
        self.mending = Mending::default();
    }

    pub(super) fn open(&mut self, path: &Path) {
        match files::read(path) {
            Ok((plan, stamp)) => {
                self.put(Document::new(plan, Some(path.to_owned())));
                self.keeping.now_known(Some(stamp));
                self.remember(path);
                tracing::info!(file = %path.display(), "opened");
            }
            Err(unreadable) => self.prompt = Some(Prompt::Unreadable(unreadable)),
        }
    }

    pub(super) fn remember(&mut self, path: &Path) {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        if let Some(folder) = path.parent() {
            self.job.print.folder.get_or_insert_with(|| folder.to_owned());
        }
        self.settings.used(&path, self.settings_path.as_deref());
    }

    pub(super) fn ask_save(&mut self, ctx: &Context) {
        if self.synchronous {
            self.prompt = Some(Prompt::SavePath(String::new(), String::new()));
            return;
        }
        let name = files::stem(self.document.path(), &self.document.plan().name);
        let path = self.document.path().map(Path::to_owned);
        self.dialogs.ask(Purpose::Save, path.as_deref(), &name, ctx);
    }

    /// Saves to a file that was named, by whatever way. Another file that is there already is asked about, unless the
    /// system's dialog has asked.
    pub(super) fn save_named(&mut self, ctx: &Context, named: &Path, was_asked: bool) {
        let path = files::with_ending(named);
        let is_own = self.document.path().is_some_and(|own| files::is_same(own, &path));
        let was_asked = was_asked && path == named;
        if path.is_file() && !is_own && !was_asked {
            let house = files::read(&path).ok().map(|(plan, _)| plan.name);
            self.prompt = Some(Prompt::Over(path, house));
        } else {
            self.save(ctx, &path);
        }
    }

    /// Saves to a file; to the plan's own not where something else has changed it.
    pub(super) fn save(&mut self, ctx: &Context, path: &Path) {
        let is_own = self.document.path().is_some_and(|own| files::is_same(own, path));
        let known = self.keeping.known().filter(|_| is_own);
        self.save_known(ctx, path, known);
    }

    fn save_known(&mut self, ctx: &Context, path: &Path, known: Option<Stamp>) {
        self.document.keep();
        self.carry_picture(path);
        let plan: Arc<Plan> = self.document.plan().clone();
        match files::save(path, &plan, known) {
            Ok(stamp) => {
                tracing::info!(file = %path.display(), bytes = stamp.length, "saved");
                self.document.saved_as(path.to_owned(), plan);
                self.keeping.now_known(Some(stamp));
                self.remember(path);
                let saved = format!("Saved to {}", path.display());
                self.said = Some(saved.clone());
                if let Some(then) = self.after_save.take() {
                    let done = then.done();
                    self.go_on(ctx, then);
                    if self.prompt.is_none() {
                        self.said =
                            Some([Some(saved), done].into_iter().flatten().collect::<Vec<_>>().join("; "));
                    }
                }
            }
            Err(trouble) if trouble.kind == Kind::Changed => {
                self.prompt = Some(Prompt::Changed(path.to_owned()));
            }
            Err(trouble) => {
                // What is asked for stays asked for: the path can be mended.
                let why = format!(
                    "Not saved: {}\nThe plan on the table is unharmed; {}",
                    trouble.what, trouble.mend
                );
                self.prompt = Some(Prompt::SavePath(path.display().to_string(), why));
            }
        }
    }

    /// Keeps unsaved work in the journal, says when the file changes under it, and offers work found after a crash: one after
    /// the other, each when what was taken up before it is saved, since the table holds one.
    pub(super) fn keep_safe(&mut self, ctx: &Context) {
        let state = (self.document.revision(), self.document.is_dirty());
        let said = self.keeping.tick(ctx, self.document.plan(), self.document.path(), state);
        self.said = said.or_else(|| self.said.take());
        let is_free = !self.document.is_dirty() && self.document.redo_name().is_none();
        if self.prompt.is_none()
            && is_free
            && let Some(recovered) = self.keeping.recovered()
        {
            self.prompt = Some(Prompt::Recovered(recovered));
        }
    }

    /// Takes up work found after a crash: its file is opened as it is on disk, and the work is one step to undo.
    fn take_up(&mut self, ctx: &Context) {
        let Some(orphan) = self.keeping.take_found() else { return };
        let entry = orphan.entry.clone();
        let Ok(plan) = plan::read_drawn(&entry.text) else {
            self.said = Some("The work found cannot be read; its journal is left where it is".into());
            return;
        };
        let on_disk = entry.file.as_deref().and_then(|file| files::read(file).ok());
        let base = on_disk.map_or_else(|| Plan::new("New house"), |(plan, _)| plan);
        self.put(Document::new(base, entry.file));
        // What the file held when the work was begun: if it has changed since, saving asks.
        self.keeping.now_known(entry.known);
        self.edit("take up unsaved work", move |on_table| {
            *on_table = plan;
            Ok(())
        });
        // In this program's own journal before it leaves the other's.
        self.keep_safe(ctx);
        orphan.throw_away();
        let mut said = "Unsaved work is taken up; undo goes back to what the file holds".to_owned();
        if let Some(next) = self.keeping.recovered() {
            said.push_str(&format!(
                "; once this is saved, {} is offered, which was not saved either",
                next.name
            ));
        }
        self.said = Some(said);
        self.refresh(ctx);
    }

    pub(super) fn write_sheets(&mut self, ctx: &Context, folder: PathBuf) {
        let Some(house) = self.compute.house().filter(|_| self.compute.is_current()).cloned() else {
            self.said = Some(self.not_yet());
            return;
        };
        let stem = files::stem(self.document.path(), &house.plan.name);
        let options = self.job.print.options.clone();
        self.writing.start(house, folder, stem, options, self.synchronous, ctx);
        self.job.open(Step::Print);
    }

    /// Opens the pages, small and large.
    pub(super) fn look_at_sheets(&mut self, ctx: &Context) {
        let Some(house) = self.compute.house().filter(|_| self.compute.is_current()).cloned() else {
            self.said = Some(self.not_yet());
            return;
        };
        let options = self.job.print.options.set.clone();
        self.preview.open(house, options, self.synchronous, ctx);
    }

    /// Lays a picture under the plan, as wide as a house is, until it is set to scale.
    pub(super) fn lay_picture(&mut self, ctx: &Context, path: &Path) {
        let read = match picture::read(path) {
            Ok(read) => read,
            Err(Trouble { what, mend }) => {
                let reason = FileError { line: 0, place: "the picture".into(), what, mend };
                let unreadable = Unreadable { path: path.to_owned(), reasons: vec![reason] };
                self.prompt = Some(Prompt::Unreadable(unreadable));
                return;
            }
        };
        let noted = picture::noted(path, self.document.path());
        let mut backdrop = Backdrop::new(noted, read.pixels, read.mark.clone());
        backdrop.scale = (HOUSE / f64::from(read.pixels.0.max(read.pixels.1))).clamp(0.001, 10_000.0);
        self.picture.put(picture::place(&backdrop.file, self.document.path()), read, ctx);
        let span = Span::of(backdrop.corners());
        self.edit("lay a picture under", move |plan| {
            plan.backdrop = Some(backdrop);
            Ok(())
        });
        // Two points of it are clicked next, as far apart as can be.
        if let Some(span) = span {
            self.canvas.wanted = Some(Wanted::Span(span));
        }
        self.job.open(Step::Measure);
        self.take(Tool::set_scale());
        self.refresh(ctx);
    }

    /// Takes a backdrop with the picture as it is now.
    pub(super) fn take_picture(&mut self, mut backdrop: Backdrop) {
        if let Some((pixels, mark)) = self.picture.as_it_is() {
            (backdrop.pixels, backdrop.mark) = (pixels, mark);
        }
        self.edit("set the picture to scale", move |plan| {
            plan.backdrop = Some(backdrop);
            Ok(())
        });
    }

    /// A picture noted from the plan's folder is noted anew for a plan that goes to another.
    fn carry_picture(&mut self, to: &Path) {
        let Some(backdrop) = &self.document.plan().backdrop else { return };
        let file = picture::noted(&picture::place(&backdrop.file, self.document.path()), Some(to));
        if file != backdrop.file {
            self.edit("note where the picture is", move |plan| {
                if let Some(backdrop) = &mut plan.backdrop {
                    backdrop.file = file;
                }
                Ok(())
            });
        }
    }

    /// Looks into a drawing of another program's, then asks what to take of it.
    pub(super) fn ask_bringing(&mut self, ctx: &Context, path: &Path) {
        self.document.keep();
        self.importing.look(path.to_owned(), self.synchronous, ctx);
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        self.said = Some(format!("Looking into {name}… · Esc leaves it"));
        self.poll_importing(ctx);
    }

    /// Goes on with a drawing that is being looked into or brought in.
    pub(super) fn poll_importing(&mut self, ctx: &Context) {
        let Some(came) = self.importing.poll() else { return };
        self.said = None;
        match came {
            Came::Looked(Ok(bringing)) => self.prompt = Some(Prompt::BringIn(bringing)),
            Came::Looked(Err(unreadable)) => self.prompt = Some(Prompt::Unreadable(unreadable)),
            Came::Taken((_, Ok(outlines))) => self.bring_in(ctx, outlines),
            Came::Taken((mut bringing, Err(error))) => {
                bringing.trouble = error.faults;
                self.prompt = Some(Prompt::BringIn(bringing));
            }
            Came::Nothing => {
                self.said = Some("That drawing cannot be read; nothing on the table has changed".into());
            }
        }
    }

    /// Adds outlines in one step to undo.
    fn bring_in(&mut self, ctx: &Context, outlines: Outlines) {
        let count = outlines.rooms.len();
        let notes = outlines.notes.join(" ");
        let first = self.document.plan().rooms.len();
        self.edit("bring in outlines", move |plan| {
            outlines.add_to(plan);
            Ok(())
        });
        self.selected = if count == 1 { Selected::Room(first) } else { Selected::Nothing };
        self.canvas.wanted = Some(Wanted::Everything);
        self.job.open(Step::Measure);
        let rooms = crate::names::count(count, "room", "rooms");
        self.said = Some(format!("Brought in {rooms}. {notes}").trim_end().to_owned());
        self.refresh(ctx);
    }

    /// Shows what holds the desk, and does what it is answered with.
    pub(super) fn ask(&mut self, ctx: &Context) {
        let Some(prompt) = &mut self.prompt else { return };
        let house = &self.document.plan().name;
        let Some(answer) = prompt::show(ctx, prompt, house, self.after_save.as_ref()) else { return };
        let asked = self.prompt.take();
        match answer {
            Answer::Stay => {
                let waited = match asked {
                    Some(Prompt::Unsaved(then)) => Some(then),
                    _ => self.after_save.take(),
                };
                self.after_save = None;
                if let Some(then) = waited {
                    self.say_stays(&then);
                }
            }
            Answer::SaveThen(then) => {
                self.after_save = Some(then);
                self.command(ctx, Command::Save);
            }
            Answer::LeaveThen(then) => self.go_on_now(ctx, then),
            Answer::Open(path) => self.open_or_ask(ctx, path),
            Answer::Save(path) => self.save_named(ctx, &path, false),
            Answer::SaveOver(path) => self.save_known(ctx, &path, None),
            Answer::SaveElsewhere => match asked {
                // The path that was typed is changed to another.
                Some(Prompt::Over(path, _)) => {
                    self.prompt = Some(Prompt::SavePath(path.display().to_string(), String::new()));
                }
                _ => self.ask_save(ctx),
            },
            Answer::TakeUp => self.take_up(ctx),
            Answer::LeaveFound => self.keeping.leave_found(),
            Answer::ThrowAway => {
                if let Some(orphan) = self.keeping.take_found() {
                    orphan.throw_away();
                }
            }
            Answer::AskBringing(path) => self.ask_bringing(ctx, &path),
            Answer::LayPicture(path) => self.lay_picture(ctx, &path),
            Answer::BringIn(bringing) => {
                self.importing.take(bringing, self.synchronous, ctx);
                self.said = Some("Taking its outlines… · Esc leaves it".into());
                self.poll_importing(ctx);
            }
        }
        // The answer may have changed the plan, and no action tells of it.
        self.refresh(ctx);
        ctx.request_repaint();
    }

    /// Says that what was asked for is not done, and what stays.
    pub(super) fn say_stays(&mut self, then: &Then) {
        let house = &self.document.plan().name;
        self.said = Some(format!("{}: {house} stays on the table, not saved", then.not_done()));
    }

    /// Holds the window open while there is unsaved work.
    pub(super) fn guard_close(&mut self, ctx: &Context) {
        let asked = ctx.input(|input| input.viewport().close_requested());
        if asked && !self.may_close && self.document.is_dirty() {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.go_on(ctx, Then::Quit);
        }
    }
}
