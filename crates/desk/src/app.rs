//! The desk itself: what is open, what is selected, and the one place where actions are applied.

mod boards;
mod commands;
mod editing;
mod filing;
mod going;
mod keys;
mod letters;
mod line;
mod reading;
mod several;
mod show;
mod sides;

use crate::action::{Action, Actions};
use crate::beside::Beside;
use crate::canvas::{Canvas, Span, Wanted};
use crate::command::Command;
use crate::compute::Compute;
use crate::dialogs::{Dialogs, Purpose};
use crate::document::Document;
use crate::finder::Finder;
use crate::first_steps::FirstSteps;
use crate::importing::Importing;
use crate::job::Job;
use crate::keeping::Keeping;
use crate::laying::Laying;
use crate::mending::Mending;
use crate::on_demand::OnDemand;
use crate::owner::Owner;
use crate::palette;
use crate::picture::Picture;
use crate::preview::Preview;
use crate::prompt::{Prompt, Then};
use crate::search::{Found, Search};
use crate::select::{Selected, Together};
use crate::settings::{Settings, Table};
use crate::spent::{Clock, Meter, Spent};
use crate::strip::Strip;
use crate::tool::Tool;
use crate::writing::Writing;
use crate::{files, names};
use egui::{Context, Theme, Ui};
use pipeline::House;
use plan::{Plan, Point, StartLine};
use std::path::PathBuf;

pub(crate) use several::everything;
use sides::{Side, Sides};

/// How a desk starts.
#[derive(Debug, Default)]
pub struct Setup {
    /// The plan file to open; the sample house where there is none.
    pub path: Option<PathBuf>,
    /// A plan to start with instead of a file or the sample.
    pub plan: Option<Plan>,
    /// Where settings are kept; nowhere if `None`.
    pub settings_path: Option<PathBuf>,
    /// Where the journal of unsaved work is kept; nowhere if `None`.
    pub journal_folder: Option<PathBuf>,
    /// Everything is computed and written at once, without threads, and no system dialog is shown.
    pub synchronous: bool,
    /// A clock by which the frames' own time is measured; not measured if `None`.
    pub clock: Option<Clock>,
}

/// The drawing table.
pub struct Desk {
    document: Document,
    compute: Compute,
    search: Search,
    on_demand: OnDemand,
    /// The label of the board to select once the floor is laid again.
    reselect: Option<String>,
    canvas: Canvas,
    tool: Tool,
    selected: Selected,
    together: Together,
    strip: Strip,
    sides: Sides,
    job: Job,
    laying: Laying,
    owner: Owner,
    beside: Beside,
    mending: Mending,
    finder: Finder,
    first_steps: FirstSteps,
    prompt: Option<Prompt>,
    dialogs: Dialogs,
    importing: Importing,
    writing: Writing,
    picture: Picture,
    preview: Preview,
    after_save: Option<Then>,
    keeping: Keeping,
    settings: Settings,
    settings_path: Option<PathBuf>,
    synchronous: bool,
    said: Option<String>,
    /// Whether the plan had problems when that was last told of.
    had_problems: bool,
    /// The best line as it was last told of: direction, pitch and place.
    line_seen: Option<[f64; 3]>,
    /// How a wall's length gives way when it is typed: what moves, and whether corners keep their angles.
    giving: (plan::edit::Gives, bool),
    burst: letters::Burst,
    /// What was pressed in the last frame and waits for this one.
    later: Vec<egui::Event>,
    title: String,
    may_close: bool,
    meter: Meter,
}

impl Desk {
    /// A desk in this context.
    pub fn new(ctx: &Context, setup: Setup) -> Self {
        keep_large_pieces();
        palette::install(ctx);
        let settings = Settings::load(setup.settings_path.as_deref());
        apply_table(ctx, settings.table);
        palette::set_hard(ctx, settings.hard);
        // The desk's own commands scale it, within their bounds, and keep it.
        ctx.options_mut(|options| options.zoom_with_keyboard = false);
        if settings.scale() != 100 {
            ctx.set_zoom_factor(f32::from(settings.scale()) / 100.0);
        }
        // Whoever opens a plan of their own, or has been shown, is not held up.
        let is_first = setup.settings_path.is_some() && !settings.shown_first_steps;
        let is_first = is_first && setup.path.is_none() && setup.plan.is_none();
        let mut desk = Self {
            document: Document::new(setup.plan.unwrap_or_else(files::sample), None),
            compute: Compute::new(setup.synchronous),
            search: Search::default(),
            on_demand: OnDemand::default(),
            reselect: None,
            canvas: Canvas::new(setup.synchronous),
            tool: Tool::default(),
            selected: Selected::Nothing,
            together: Together::default(),
            strip: Strip::default(),
            sides: Sides::of(settings.job, settings.strip),
            job: Job::default(),
            laying: Laying::default(),
            owner: Owner::default(),
            beside: Beside::new(setup.synchronous),
            mending: Mending::default(),
            finder: Finder::default(),
            first_steps: FirstSteps::default(),
            prompt: None,
            dialogs: Dialogs::default(),
            importing: Importing::default(),
            writing: Writing::default(),
            picture: Picture::default(),
            preview: Preview::default(),
            after_save: None,
            keeping: Keeping::new(setup.journal_folder, setup.synchronous),
            settings,
            settings_path: setup.settings_path,
            synchronous: setup.synchronous,
            said: None,
            had_problems: false,
            line_seen: None,
            giving: (plan::edit::Gives::End, true),
            burst: letters::Burst::default(),
            later: Vec::new(),
            title: String::new(),
            may_close: false,
            meter: Meter { clock: setup.clock, ..Meter::default() },
        };
        if let Some(path) = setup.path {
            desk.open(&path);
        }
        if is_first {
            desk.first_steps.begin(desk.document.plan());
        }
        desk.refresh(ctx);
        desk
    }

    /// The open plan.
    pub fn plan(&self) -> &Plan {
        self.document.plan()
    }

    /// The last house computed.
    pub fn house(&self) -> Option<&House> {
        self.compute.house().map(|house| &**house)
    }

    /// What is selected.
    pub fn selected(&self) -> Selected {
        self.selected
    }

    /// Whether the plan holds changes that are not saved.
    pub fn is_dirty(&self) -> bool {
        self.document.is_dirty()
    }

    /// The last thing that was said at the foot of the floor.
    pub fn said(&self) -> Option<&str> {
        self.said.as_deref()
    }

    /// The name of the step that undo would take back.
    pub fn undo_name(&self) -> Option<&str> {
        self.document.undo_name()
    }

    /// Whether a floor is still being laid, or laid out to be shown.
    pub fn is_busy(&self) -> bool {
        self.compute.is_busy() || self.canvas.is_busy()
    }

    /// Where the last frame's own time went, by the clock it was set up with.
    pub fn spent(&self) -> Spent {
        self.meter.spent
    }

    /// Where a point of the plan is on the screen.
    pub fn screen_from_plan(&self, p: Point) -> egui::Pos2 {
        self.canvas.view.screen_from_plan(p)
    }

    /// Carries out a command.
    pub fn run(&mut self, ctx: &Context, command: Command) {
        let mut actions = Actions::default();
        actions.run(command);
        self.apply(ctx, &mut actions);
    }

    /// Takes over what threads have finished. Also called while the window is hidden.
    pub fn poll(&mut self, ctx: &Context) {
        let before = self.compute.generation();
        self.compute.poll();
        if self.compute.generation() != before {
            self.house_changed();
        }
        self.tell_of_problems(ctx);
        self.poll_mends(ctx);
        if let Some(found) = self.search.poll() {
            self.take_found(ctx, found);
        }
        if let Some((purpose, path)) = self.dialogs.poll() {
            match (purpose, path) {
                (Purpose::Open, Some(path)) => self.open_or_ask(ctx, path),
                (Purpose::Save, Some(path)) => self.save_named(ctx, &path, true),
                (Purpose::Save, None) => match self.after_save.take() {
                    Some(then) => self.say_stays(&then),
                    None => self.said = Some(nothing_chosen(ctx, Command::SaveByPath)),
                },
                (Purpose::SheetsFolder, Some(path)) => self.job.print.folder = Some(path),
                (Purpose::Outlines, Some(path)) => self.ask_bringing(ctx, &path),
                (Purpose::Outlines, None) => self.said = Some(nothing_chosen(ctx, Command::BringInByPath)),
                (Purpose::Picture, Some(path)) => self.lay_picture(ctx, &path),
                (Purpose::Picture, None) => self.said = Some(nothing_chosen(ctx, Command::LayPictureByPath)),
                (Purpose::Open, None) => self.said = Some(nothing_chosen(ctx, Command::OpenByPath)),
                (Purpose::SheetsFolder, None) => {}
            }
        }
        self.poll_importing(ctx);
        if self.writing.poll() {
            self.said = self.writing.last().map(|said| match said {
                Ok(said) => said.clone(),
                Err(trouble) => format!("No sheets: {trouble}"),
            });
        }
        self.keep_safe(ctx);
    }

    /// Applies what was asked for, in order; whether anything changed by it.
    fn apply(&mut self, ctx: &Context, actions: &mut Actions) -> bool {
        let asked = actions.take();
        let before = self.document.revision();
        // A drag held still asks for the same plan over and over: that is no change.
        let only_live = asked.iter().all(|action| matches!(action, Action::Live(_) | Action::LiveLine(_)));
        for action in asked {
            match action {
                Action::Run(command) => self.run_and_say(ctx, command),
                Action::Give(giving) => self.giving = giving,
                Action::Edit(name, change) => self.edit(&name, change),
                Action::Begin(name) => self.document.begin(&name),
                Action::Live(plan) => self.document.live(*plan),
                Action::LiveLine(_) if self.document.plan().laid.is_some() => {
                    self.said = Some("The start line stays where the laid rows have it".into());
                }
                Action::LiveLine(offset) => {
                    let mut plan = Plan::clone(self.document.plan());
                    plan.start_line = StartLine::At(offset);
                    self.document.live(plan);
                }
                Action::Keep => self.document.keep(),
                Action::Drop => self.document.drop_gesture(),
                Action::Select(selected) => {
                    self.selected = selected;
                    self.said = None;
                }
                Action::SelectMore(thing) => {
                    self.selected = self.together.toggle(self.selected, thing);
                    self.said = None;
                }
                Action::TypeInto(name) => self.type_into(ctx, name),
                Action::SelectTogether(all) => {
                    self.select_together(all);
                    self.said = None;
                }
                Action::LookAt(span) => self.canvas.wanted = Some(Wanted::Span(span)),
                Action::KeepInSight(span) => self.canvas.wanted = Some(Wanted::InSight(span)),
                Action::Show(at) => {
                    let view = &self.canvas.view;
                    if !view.rect.shrink(40.0).contains(view.screen_from_plan(at)) {
                        self.canvas.wanted = Some(Wanted::Span(Span::round(at, 1800.0)));
                    }
                }
                Action::Open(path) => self.open_or_ask(ctx, path),
                Action::BringIn(path) => self.ask_bringing(ctx, &path),
                Action::LayPicture(path) => self.lay_picture(ctx, &path),
                Action::TakePicture(backdrop) => self.take_picture(*backdrop),
                Action::ReadPicture => self.picture.again(self.synchronous, ctx),
                Action::WriteSheets(folder) => self.write_sheets(ctx, folder),
                Action::LayTo(step) => self.lay_to(ctx, step),
                Action::StopWriting => self.writing.stop(),
                Action::DoMend(index) => self.do_mend(index),
                Action::StopMends => self.mending.stop(),
                Action::Say(text) => self.said = Some(text),
            }
        }
        let changed = !only_live || self.document.revision() != before;
        if changed {
            self.selected = self.selected.within(self.document.plan());
            self.together.keep_within(self.document.plan());
            self.refresh(ctx);
        }
        changed
    }

    /// Carries out a command. What a bare letter has changed in the plan is said, with the key that takes it back: the
    /// letter may have been meant for something else.
    fn run_and_say(&mut self, ctx: &Context, command: Command) {
        let before = self.document.revision();
        let (selected, said) = (self.selected, self.said.clone());
        self.command(ctx, command);
        // What was said of one thing does not stand beside the next.
        if self.selected != selected && self.said == said {
            self.said = None;
        }
        // What it selected or brought into view has yet to be shown.
        ctx.request_repaint();
        let is_letter = command.keys().is_some_and(|keys| letters::is_bare(keys.modifiers));
        if is_letter && self.said.is_none() && self.document.revision() != before {
            let undo = Command::Undo.keys_text(ctx);
            self.said = self.document.undo_name().map(|name| format!("Done: {name} · {undo} takes it back"));
        }
    }

    fn edit(&mut self, name: &str, change: impl FnOnce(&mut Plan) -> Result<(), plan::Problem>) {
        self.said = match self.document.edit(name, change) {
            Ok(()) => None,
            Err(problem) => Some(several::in_words(&problem)),
        };
    }

    /// Takes over the floor a search found, unless the plan has changed since; the moves that lead to it
    /// are kept in the plan, so that the same floor comes of it again.
    fn take_found(&mut self, ctx: &Context, found: Found) {
        let Ok(house) = found.house else { return };
        if found.revision != self.document.revision() || self.document.in_gesture() {
            return;
        }
        let before = self.house().map(|house| (house.order.opened, house.flags.len()));
        let (moves, after) = (house.plan.effort, (house.order.opened, house.flags.len()));
        self.edit("better joints", move |plan| {
            plan.effort = moves;
            Ok(())
        });
        self.compute.take(self.document.revision(), house);
        self.house_changed();
        if let Some(before) = before {
            let figure = |(boards, flags): (usize, usize)| {
                format!(
                    "{}, {}",
                    names::count(boards, "board", "boards"),
                    names::count(flags, "flag", "flags")
                )
            };
            self.said = Some(format!(
                "{} moves: {} instead of {}",
                names::figure(moves),
                figure(after),
                figure(before)
            ));
        }
        self.refresh(ctx);
    }

    /// Asks for the house of the plan as it is now.
    fn refresh(&mut self, ctx: &Context) {
        if self.search.keep_only(self.document.revision()) {
            let stopped = "looking for better joints has stopped, since the plan has changed";
            self.said = Some(match self.said.take() {
                Some(said) => format!("{said} · {stopped}"),
                None => format!("{}{}", stopped[..1].to_uppercase(), &stopped[1..]),
            });
        }
        let before = self.compute.generation();
        let draft = self.document.in_gesture();
        let begun = self.meter.now();
        self.compute.request(self.document.revision(), self.document.plan(), draft, ctx);
        self.meter.spent.floor += self.meter.now().saturating_sub(begun);
        if self.compute.generation() != before {
            self.house_changed();
        }
        self.tell_of_problems(ctx);
    }

    /// Says that an edit has left a plan of which no floor can be laid: where, why, and the key that takes it back. The
    /// list under Measure may be out of sight.
    fn tell_of_problems(&mut self, ctx: &Context) {
        if self.document.in_gesture() || self.compute.is_busy() {
            return;
        }
        let has = !self.compute.problems().is_empty() && !self.document.plan().rooms.is_empty();
        if std::mem::replace(&mut self.had_problems, has) || !has {
            return;
        }
        let Some(first) = self.compute.problems().first() else { return };
        let back = match self.document.undo_name() {
            Some(_) => format!(" · {} takes the last step back", Command::Undo.keys_text(ctx)),
            None => String::new(),
        };
        self.said = Some(format!("{}: {}; {}{back}", first.place_name, first.what, first.mend));
    }

    /// Boards and flags of another house are not those that were selected.
    fn house_changed(&mut self) {
        if matches!(self.selected, Selected::Board(_) | Selected::Flag(_)) {
            self.selected = Selected::Nothing;
        }
        let wanted = self.reselect.take();
        let found = wanted.and_then(|label| self.house()?.board_called(&label).ok());
        self.selected = found.map_or(self.selected, Selected::Board);
        self.tell_of_line();
    }
}

/// A dialog that was left says no more than one the system could not show: name the other way.
fn nothing_chosen(ctx: &Context, other: Command) -> String {
    format!("No file chosen · {} takes a typed path, {}", other.name(), other.keys_text(ctx))
}

/// The C library gives a large piece of memory back to the system when it is freed, and asks for it anew in the next frame, until
/// one larger has been freed, of 32 MB at most: then such pieces are kept. The triangles of a frame of a large floor are 10 MB.
fn keep_large_pieces() {
    drop(std::hint::black_box(Vec::<u8>::with_capacity(31 << 20)));
}

fn apply_table(ctx: &Context, table: Table) {
    // Where the system says nothing, paper.
    ctx.options_mut(|options| options.fallback_theme = Theme::Light);
    ctx.set_theme(match table {
        Table::System => egui::ThemePreference::System,
        Table::Paper => egui::ThemePreference::Light,
        Table::Slate => egui::ThemePreference::Dark,
    });
}

impl eframe::App for Desk {
    fn logic(&mut self, ctx: &Context, _frame: &mut eframe::Frame) {
        self.poll(ctx);
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.show(ui);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.keeping.close();
        (self.settings.job, self.settings.strip) = (self.sides.size(Side::Job), self.sides.size(Side::Strip));
        self.settings.store(self.settings_path.as_deref());
    }
}
