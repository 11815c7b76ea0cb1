//! The desk itself: what is open, what is selected, and the one place where actions are applied.

mod commands;
mod filing;
mod keys;
mod several;

use crate::action::{Action, Actions};
use crate::beside::Beside;
use crate::canvas::{Canvas, Shown, Span, Wanted};
use crate::command::Command;
use crate::compute::Compute;
use crate::dialogs::{Dialogs, Purpose};
use crate::document::Document;
use crate::finder::Finder;
use crate::job::{Facts, Job, Step};
use crate::keeping::Keeping;
use crate::laying::Laying;
use crate::on_demand::OnDemand;
use crate::owner::Owner;
use crate::palette::{self, Palette};
use crate::picture::Picture;
use crate::preview::Preview;
use crate::prompt::{Prompt, Then};
use crate::search::{Found, Search};
use crate::select::{Selected, Together};
use crate::settings::{Settings, Table};
use crate::strip::Strip;
use crate::tool::Tool;
use crate::writing::Writing;
use crate::{card, files, header, names};
use egui::{CentralPanel, Context, Frame, Margin, Panel, Theme, Ui, ViewportCommand};
use pipeline::House;
use plan::{Plan, Point, StartLine};
use std::path::{Path, PathBuf};

pub(crate) use several::everything;

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
    job: Job,
    laying: Laying,
    owner: Owner,
    beside: Beside,
    /// What was tried to mend a flag.
    mends: Option<Tried>,
    finder: Finder,
    prompt: Option<Prompt>,
    dialogs: Dialogs,
    writing: Writing,
    picture: Picture,
    preview: Preview,
    after_save: Option<Then>,
    keeping: Keeping,
    settings: Settings,
    settings_path: Option<PathBuf>,
    synchronous: bool,
    said: Option<String>,
    title: String,
    may_close: bool,
}

/// Mends tried for one flag of one floor.
struct Tried {
    generation: u64,
    flag: usize,
    mends: Vec<pipeline::Mend>,
}

impl Tried {
    /// What was tried for the selected flag of the floor on the table.
    fn of_selected<'a>(
        tried: Option<&'a Self>,
        compute: &Compute,
        selected: Selected,
    ) -> Option<&'a [pipeline::Mend]> {
        let tried = tried?;
        let is_of_it = tried.generation == compute.generation() && selected == Selected::Flag(tried.flag);
        is_of_it.then_some(tried.mends.as_slice())
    }
}

impl Desk {
    /// A desk in this context.
    pub fn new(ctx: &Context, setup: Setup) -> Self {
        palette::install(ctx);
        let settings = Settings::load(setup.settings_path.as_deref());
        apply_table(ctx, settings.table);
        palette::set_hard(ctx, settings.hard);
        // The desk's own commands scale it, within their bounds, and keep it.
        ctx.options_mut(|options| options.zoom_with_keyboard = false);
        if settings.scale() != 100 {
            ctx.set_zoom_factor(f32::from(settings.scale()) / 100.0);
        }
        let mut desk = Self {
            document: Document::new(setup.plan.unwrap_or_else(files::sample), None),
            compute: Compute::new(setup.synchronous),
            search: Search::default(),
            on_demand: OnDemand::default(),
            reselect: None,
            canvas: Canvas::default(),
            tool: Tool::default(),
            selected: Selected::Nothing,
            together: Together::default(),
            strip: Strip::default(),
            job: Job::default(),
            laying: Laying::default(),
            owner: Owner::default(),
            beside: Beside::default(),
            mends: None,
            finder: Finder::default(),
            prompt: None,
            dialogs: Dialogs::default(),
            writing: Writing::default(),
            picture: Picture::default(),
            preview: Preview::default(),
            after_save: None,
            keeping: Keeping::new(setup.journal_folder, setup.synchronous),
            settings,
            settings_path: setup.settings_path,
            synchronous: setup.synchronous,
            said: None,
            title: String::new(),
            may_close: false,
        };
        if let Some(path) = setup.path {
            desk.open(&path);
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
        if let Some(found) = self.search.poll() {
            self.take_found(ctx, found);
        }
        if let Some((purpose, path)) = self.dialogs.poll() {
            match (purpose, path) {
                (Purpose::Open, Some(path)) => self.go_on(ctx, Then::Open(path)),
                (Purpose::Save, Some(path)) => self.save(ctx, &path),
                (Purpose::Save, None) => {
                    self.after_save = None;
                    self.said = Some(nothing_chosen(ctx, Command::SaveByPath));
                }
                (Purpose::SheetsFolder, Some(path)) => self.job.print.folder = Some(path),
                (Purpose::Outlines, Some(path)) => self.ask_bringing(&path),
                (Purpose::Outlines, None) => self.said = Some(nothing_chosen(ctx, Command::BringInByPath)),
                (Purpose::Picture, Some(path)) => self.lay_picture(ctx, &path),
                (Purpose::Picture, None) => self.said = Some(nothing_chosen(ctx, Command::LayPictureByPath)),
                (Purpose::Open, None) => self.said = Some(nothing_chosen(ctx, Command::OpenByPath)),
                (Purpose::SheetsFolder, None) => {}
            }
        }
        if self.writing.poll() {
            self.said = self.writing.last().map(|said| match said {
                Ok(said) => said.clone(),
                Err(trouble) => format!("No sheets: {trouble}"),
            });
        }
        self.keep_safe(ctx);
    }

    /// Shows the desk in all of `ui`.
    pub fn show(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        self.poll(&ctx);
        self.measure_window(&ctx);
        self.guard_close(&ctx);
        self.picture.follow(self.document.plan(), self.document.path(), self.synchronous, &ctx);
        let mut actions = Actions::default();
        self.keys(&ctx, &mut actions);
        self.drops(&ctx, &mut actions);
        self.apply(&ctx, &mut actions);
        self.keep_laying();
        self.laying.tick(&ctx);

        let palette = Palette::current(&ctx);
        let ground = |color, margin| Frame::new().fill(color).inner_margin(margin);
        let window = ctx.content_rect().size();
        Panel::right("job")
            .default_size((0.28 * window.x).clamp(300.0, 392.0))
            .size_range(300.0..=620.0)
            .frame(ground(palette.panel, Margin { left: 22, right: 14, top: 8, bottom: 0 }))
            .show(ui, |ui| {
                let plan = self.document.plan().clone();
                let house = self.compute.house().cloned();
                self.on_demand.keep_up(&self.compute, &self.job, self.document.in_gesture());
                self.job.tape.keep_up(&plan, self.document.revision(), self.selected.room());
                let facts = Facts {
                    plan: &plan,
                    house: house.as_deref(),
                    is_current: self.compute.is_current(),
                    problems: self.compute.problems(),
                    selected: self.selected,
                    together: self.together.with(self.selected),
                    sheets: self.writing.last(),
                    search: self.search.progress(),
                    laying: &self.laying,
                    advice: self.on_demand.advice.get(),
                    drift: self.on_demand.drift.get().map_or(&[], Vec::as_slice),
                    proposals: self.on_demand.proposals.get().map(Vec::as_slice),
                    bought: self.on_demand.bought.get(),
                    stages: self.on_demand.stages.get(),
                    bound: self.on_demand.bound.get().copied(),
                    mends: Tried::of_selected(self.mends.as_ref(), &self.compute, self.selected),
                    picture: plan.backdrop.as_ref().and_then(|backdrop| self.picture.trouble(backdrop)),
                };
                self.job.show(ui, &facts, &mut actions);
            });
        Panel::bottom("set-out strip")
            .default_size((0.24 * window.y).clamp(150.0, 232.0))
            .size_range(120.0..=460.0)
            .frame(ground(palette.strip, Margin::ZERO))
            .show(ui, |ui| {
                let house = self.compute.house().map(|house| (&**house, self.compute.generation()));
                self.strip.show(ui, &self.document, house, &mut actions);
            });
        Panel::top("header")
            .exact_size(40.0)
            .show_separator_line(false)
            .frame(ground(palette.paper, Margin { left: 14, right: 12, top: 4, bottom: 0 }))
            .show(ui, |ui| {
                let shown = header::Shown {
                    document: &self.document,
                    tool: &self.tool,
                    recent: &self.settings.recent,
                    state: self.state(),
                };
                header::show(ui, &shown, &mut actions);
            });
        if self.owner.is_shown() || self.beside.is_shown() {
            CentralPanel::no_frame().show(ui, |ui| {
                let house = self.compute.house().map(|house| (&**house, self.compute.generation()));
                match house.filter(|_| self.beside.is_shown()) {
                    Some((house, generation)) => {
                        self.beside.show(ui, house, generation, &mut self.canvas, &mut actions);
                    }
                    None => self.owner.show(ui, house, &mut self.canvas),
                }
            });
            self.finder.show(&ctx, &mut actions);
            self.ask(&ctx);
            if self.apply(&ctx, &mut actions) {
                ctx.request_repaint();
            }
            self.name_window(&ctx);
            return;
        }
        let (spoken, pulls) = (self.spoken(), self.job.is_open(Step::SetOut));
        let stages = self.job.is_open(Step::Stages);
        let interacted = CentralPanel::no_frame()
            .show(ui, |ui| {
                let shown = Shown {
                    document: &self.document,
                    compute: &self.compute,
                    selected: self.selected,
                    together: self.together.with(self.selected),
                    label: spoken,
                    pulls,
                    laid: self.laying.laid(),
                    stages,
                    picture: self.picture.texture(),
                    tape: self.job.tape.found(),
                };
                self.canvas.interact(ui, &shown, std::mem::take(&mut self.tool), &mut actions)
            })
            .inner;
        self.tool = interacted.tool;
        self.card(&ctx, &mut actions);
        self.finder.show(&ctx, &mut actions);
        self.ask(&ctx);
        self.preview.show(&ctx, self.synchronous);
        if std::mem::take(&mut self.job.print.choose) && !self.synchronous {
            let path = self.document.path().map(Path::to_owned);
            self.dialogs.ask(Purpose::SheetsFolder, path.as_deref(), "", &ctx);
        }
        let changed = self.apply(&ctx, &mut actions);
        let mut overlay = interacted.overlay;
        overlay.said = self.said.clone().unwrap_or_default();
        overlay.hidden = self.canvas.hidden.words();
        let shown = Shown {
            document: &self.document,
            compute: &self.compute,
            selected: self.selected,
            together: self.together.with(self.selected),
            label: String::new(),
            pulls,
            laid: self.laying.laid(),
            stages,
            picture: self.picture.texture(),
            tape: self.job.tape.found(),
        };
        self.canvas.paint(&interacted.painter, &shown, &overlay);
        if changed {
            // The panels were shown before the change.
            ctx.request_repaint();
        }
        self.name_window(&ctx);
    }

    fn shown(&self) -> Shown<'_> {
        Shown {
            document: &self.document,
            compute: &self.compute,
            selected: self.selected,
            together: self.together.with(self.selected),
            label: self.spoken(),
            pulls: self.job.is_open(Step::SetOut),
            laid: self.laying.laid(),
            stages: self.job.is_open(Step::Stages),
            picture: self.picture.texture(),
            tape: self.job.tape.found(),
        }
    }

    /// The canvas in words, for a screen reader.
    fn spoken(&self) -> String {
        let plan = self.document.plan();
        let rooms = names::count(plan.rooms.len(), "room", "rooms");
        let mut text = format!("Floor of {}: {rooms}", plan.name);
        if let Some(house) = self.house() {
            let boards = match &house.plan.laid {
                Some(laid) => format!("{} of {} boards", laid.boards.len(), house.floor.boards.len()),
                None => names::count(house.floor.boards.len(), "board", "boards"),
            };
            let flags = names::count(house.flags.len(), "flag", "flags");
            text += &format!(", {boards}, {flags}");
            if let Some((next, notes)) = self.laying.words(house) {
                text += &format!(". {next}. {}", notes.join(". "));
            }
        }
        text
    }

    /// One line on the state of the plan, beside its name.
    fn state(&self) -> String {
        let saved = match (self.document.path(), self.document.is_dirty()) {
            (_, true) => "not saved",
            (Some(_), false) => "saved",
            (None, false) => "no file yet",
        };
        let Some(house) = self.house() else { return saved.to_owned() };
        let area = names::area(house.site.boarded_area(), self.document.plan().units);
        let boards = names::count(house.floor.boards.len(), "board", "boards");
        let busy = if self.compute.is_busy() { " · laying…" } else { "" };
        format!("{saved} · {area} boarded · {boards} laid{busy}")
    }

    fn card(&self, ctx: &Context, actions: &mut Actions) {
        if !self.tool.is_ready()
            || self.prompt.is_some()
            || self.preview.is_open()
            || self.document.in_gesture()
        {
            return;
        }
        // Beside the open tape a room's card would say the same again, over the floor that is numbered.
        if self.job.tape.found().is_some() && matches!(self.selected, Selected::Room(_)) {
            return;
        }
        let facts = Facts {
            plan: self.document.plan(),
            house: self.house(),
            is_current: self.compute.is_current(),
            problems: self.compute.problems(),
            selected: self.selected,
            together: self.together.with(self.selected),
            sheets: self.writing.last(),
            search: self.search.progress(),
            laying: &self.laying,
            advice: self.on_demand.advice.get(),
            drift: &[],
            proposals: None,
            bought: None,
            stages: None,
            bound: self.on_demand.bound.get().copied(),
            mends: self.mends_of_selected(),
            picture: None,
        };
        card::show(ctx, &self.canvas, &facts, actions);
    }

    /// Applies what was asked for, in order; whether anything changed by it.
    fn apply(&mut self, ctx: &Context, actions: &mut Actions) -> bool {
        let asked = actions.take();
        let before = self.document.revision();
        // A drag held still asks for the same plan over and over: that is no change.
        let only_live = asked.iter().all(|action| matches!(action, Action::Live(_) | Action::LiveLine(_)));
        for action in asked {
            match action {
                Action::Run(command) => self.command(ctx, command),
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
                Action::SelectTogether(all) => {
                    self.select_together(all);
                    self.said = None;
                }
                Action::LookAt(span) => self.canvas.wanted = Some(Wanted::Span(span)),
                Action::Show(at) => {
                    let view = &self.canvas.view;
                    if !view.rect.shrink(40.0).contains(view.screen_from_plan(at)) {
                        self.canvas.wanted = Some(Wanted::Span(Span::round(at, 1800.0)));
                    }
                }
                Action::Open(path) => self.go_on(ctx, Then::Open(path)),
                Action::BringIn(path) => self.ask_bringing(&path),
                Action::LayPicture(path) => self.lay_picture(ctx, &path),
                Action::TakePicture(backdrop) => self.take_picture(*backdrop),
                Action::ReadPicture => self.picture.again(self.synchronous, ctx),
                Action::WriteSheets(folder) => self.write_sheets(ctx, folder),
                Action::LayTo(step) => self.lay_to(step),
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
            self.said = Some(format!("{moves} moves: {} instead of {}", figure(after), figure(before)));
        }
        self.refresh(ctx);
    }

    /// Asks for the house of the plan as it is now.
    fn refresh(&mut self, ctx: &Context) {
        self.search.keep_only(self.document.revision());
        let before = self.compute.generation();
        let draft = self.document.in_gesture();
        self.compute.request(self.document.revision(), self.document.plan(), draft, ctx);
        if self.compute.generation() != before {
            self.house_changed();
        }
    }

    /// Boards and flags of another house are not those that were selected.
    fn house_changed(&mut self) {
        if matches!(self.selected, Selected::Board(_) | Selected::Flag(_)) {
            self.selected = Selected::Nothing;
        }
        let wanted = self.reselect.take();
        let found = wanted.and_then(|label| self.house()?.board_called(&label).ok());
        self.selected = found.map_or(self.selected, Selected::Board);
    }

    /// Keeps the window's size in mind; it is written when the desk is closed.
    fn measure_window(&mut self, ctx: &Context) {
        let size = ctx.content_rect().size() * ctx.zoom_factor();
        let part = |points: f32| points.round().clamp(0.0, f32::from(u16::MAX)) as u16;
        if size.x >= 300.0 && size.y >= 200.0 {
            self.settings.window = Some((part(size.x), part(size.y)));
        }
    }

    fn name_window(&mut self, ctx: &Context) {
        let mark = if self.document.is_dirty() { "• " } else { "" };
        let title = format!("{mark}{} · Startrow", self.document.plan().name);
        if title != self.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }
}

/// A dialog that was left says no more than one the system could not show: name the other way.
fn nothing_chosen(ctx: &Context, other: Command) -> String {
    format!("No file chosen · {} takes a typed path, {}", other.name(), other.keys_text(ctx))
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
        self.settings.store(self.settings_path.as_deref());
    }
}
