//! The desk itself: what is open, what is selected, and the one place where actions are applied.

use crate::action::{Action, Actions};
use crate::canvas::{Canvas, Shown, Span, Wanted, anchor_of};
use crate::command::Command;
use crate::compute::Compute;
use crate::dialogs::{Dialogs, Purpose};
use crate::document::Document;
use crate::finder::Finder;
use crate::job::{Facts, Job, Step};
use crate::palette::{self, Palette};
use crate::prompt::{Answer, Prompt, Then};
use crate::select::Selected;
use crate::settings::{Settings, Table};
use crate::strip::Strip;
use crate::tool::{Event, Tool, nudge};
use crate::writing::Writing;
use crate::{card, files, header, names, prompt};
use egui::{CentralPanel, Context, Frame, Key, Margin, Modifiers, Panel, Theme, Ui, ViewportCommand};
use pipeline::House;
use plan::{Plan, Point, StartLine, Units, edit};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// How a desk starts.
#[derive(Debug, Default)]
pub struct Setup {
    /// The plan file to open; the sample house where there is none.
    pub path: Option<PathBuf>,
    /// A plan to start with instead of a file or the sample.
    pub plan: Option<Plan>,
    /// Where settings are kept; nowhere if `None`.
    pub settings_path: Option<PathBuf>,
    /// Everything is computed and written at once, without threads, and no system dialog is shown.
    pub synchronous: bool,
}

/// The drawing table.
pub struct Desk {
    document: Document,
    compute: Compute,
    canvas: Canvas,
    tool: Tool,
    selected: Selected,
    strip: Strip,
    job: Job,
    finder: Finder,
    prompt: Option<Prompt>,
    dialogs: Dialogs,
    writing: Writing,
    after_save: Option<Then>,
    settings: Settings,
    settings_path: Option<PathBuf>,
    synchronous: bool,
    said: Option<String>,
    title: String,
    may_close: bool,
}

impl Desk {
    /// A desk in this context.
    pub fn new(ctx: &Context, setup: Setup) -> Self {
        palette::install(ctx);
        let settings = Settings::load(setup.settings_path.as_deref());
        apply_table(ctx, settings.table);
        let mut desk = Self {
            document: Document::new(setup.plan.unwrap_or_else(files::sample), None),
            compute: Compute::new(setup.synchronous),
            canvas: Canvas::default(),
            tool: Tool::default(),
            selected: Selected::Nothing,
            strip: Strip::default(),
            job: Job::default(),
            finder: Finder::default(),
            prompt: None,
            dialogs: Dialogs::default(),
            writing: Writing::default(),
            after_save: None,
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
        if let Some((purpose, path)) = self.dialogs.poll() {
            match (purpose, path) {
                (Purpose::Open, Some(path)) => self.go_on(ctx, Then::Open(path)),
                (Purpose::Save, Some(path)) => self.save(ctx, &path),
                (Purpose::Save, None) => self.after_save = None,
                (Purpose::SheetsFolder, Some(path)) => self.job.print.folder = Some(path),
                (Purpose::Open | Purpose::SheetsFolder, None) => {}
            }
        }
        self.writing.poll();
    }

    /// Shows the desk in all of `ui`.
    pub fn show(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        self.poll(&ctx);
        self.guard_close(&ctx);
        let mut actions = Actions::default();
        self.keys(&ctx, &mut actions);
        self.drops(&ctx, &mut actions);
        self.apply(&ctx, &mut actions);

        let palette = Palette::current(&ctx);
        let ground = |color, margin| Frame::new().fill(color).inner_margin(margin);
        Panel::right("job")
            .default_size(392.0)
            .size_range(300.0..=620.0)
            .frame(ground(palette.panel, Margin { left: 22, right: 14, top: 8, bottom: 0 }))
            .show(ui, |ui| {
                let plan = self.document.plan().clone();
                let house = self.compute.house().cloned();
                let facts = Facts {
                    plan: &plan,
                    house: house.as_deref(),
                    is_current: self.compute.is_current(),
                    problems: self.compute.problems(),
                    selected: self.selected,
                    sheets: self.writing.last(),
                };
                self.job.show(ui, &facts, &mut actions);
            });
        Panel::bottom("set-out strip")
            .default_size(232.0)
            .size_range(120.0..=460.0)
            .frame(ground(palette.strip, Margin::ZERO))
            .show(ui, |ui| {
                let house = self.compute.house().map(|house| &**house);
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
        let (spoken, pulls) = (self.spoken(), self.job.is_open(Step::SetOut));
        let interacted = CentralPanel::no_frame()
            .show(ui, |ui| {
                let shown = Shown {
                    document: &self.document,
                    compute: &self.compute,
                    selected: self.selected,
                    label: spoken,
                    pulls,
                };
                self.canvas.interact(ui, &shown, std::mem::take(&mut self.tool), &mut actions)
            })
            .inner;
        self.tool = interacted.tool;
        self.card(&ctx, &mut actions);
        self.finder.show(&ctx, &mut actions);
        self.ask(&ctx);
        if std::mem::take(&mut self.job.print.choose) && !self.synchronous {
            let path = self.document.path().map(Path::to_owned);
            self.dialogs.ask(Purpose::SheetsFolder, path.as_deref(), "", &ctx);
        }
        let changed = self.apply(&ctx, &mut actions);
        let mut overlay = interacted.overlay;
        if overlay.hint.is_empty() {
            overlay.hint = self.said.clone().unwrap_or_default();
        }
        let shown = Shown {
            document: &self.document,
            compute: &self.compute,
            selected: self.selected,
            label: String::new(),
            pulls,
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
            label: self.spoken(),
            pulls: self.job.is_open(Step::SetOut),
        }
    }

    /// The canvas in words, for a screen reader.
    fn spoken(&self) -> String {
        let plan = self.document.plan();
        let rooms = names::count(plan.rooms.len(), "room", "rooms");
        let mut text = format!("Floor of {}: {rooms}", plan.name);
        if let Some(house) = self.house() {
            let boards = names::count(house.floor.boards.len(), "board", "boards");
            let flags = names::count(house.flags.len(), "flag", "flags");
            text += &format!(", {boards}, {flags}");
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
        let area = names::area(house.site.boarded_area());
        let boards = names::count(house.floor.boards.len(), "board", "boards");
        let busy = if self.compute.is_busy() { " · laying…" } else { "" };
        format!("{saved} · {area} boarded · {boards} laid{busy}")
    }

    fn card(&self, ctx: &Context, actions: &mut Actions) {
        if !self.tool.is_ready() || self.prompt.is_some() || self.document.in_gesture() {
            return;
        }
        let facts = Facts {
            plan: self.document.plan(),
            house: self.house(),
            is_current: self.compute.is_current(),
            problems: self.compute.problems(),
            selected: self.selected,
            sheets: self.writing.last(),
        };
        card::show(ctx, &self.canvas.view, &facts, actions);
    }

    /// Keys that are not a text field's: a tool's first, then the commands'.
    fn keys(&mut self, ctx: &Context, actions: &mut Actions) {
        if self.prompt.is_some() || self.finder.is_open() {
            return;
        }
        let typing = ctx.text_edit_focused();
        let focused = ctx.memory(|memory| memory.focused());
        let on_canvas = !typing && focused.is_none_or(|id| id == Canvas::id());
        if on_canvas && self.tool.takes_keys() {
            self.tool_keys(ctx, actions);
        } else if on_canvas {
            self.nudge(ctx);
        }
        for command in Command::pressed(ctx, !typing && !self.tool.is_typing()) {
            actions.run(command);
        }
    }

    /// Hands letters, Enter and arrows to the tool.
    fn tool_keys(&mut self, ctx: &Context, actions: &mut Actions) {
        let arrows = [
            (Key::ArrowLeft, Point::new(-1.0, 0.0)),
            (Key::ArrowRight, Point::new(1.0, 0.0)),
            (Key::ArrowUp, Point::new(0.0, 1.0)),
            (Key::ArrowDown, Point::new(0.0, -1.0)),
        ];
        let is_typing = self.tool.is_typing();
        let mut events = Vec::new();
        ctx.input_mut(|input| {
            let mut starts_length = is_typing;
            input.events.retain(|event| match event {
                egui::Event::Text(text) => {
                    starts_length |= text.starts_with(|c: char| c.is_ascii_digit() || c == '.');
                    if starts_length {
                        events.push(Event::Text(text.clone()));
                    }
                    !starts_length
                }
                _ => true,
            });
            if input.consume_key(Modifiers::NONE, Key::Enter) {
                events.push(Event::Enter);
            }
            if input.consume_key(Modifiers::NONE, Key::Backspace) {
                events.push(Event::Backspace);
            }
            for (key, direction) in arrows {
                if input.consume_key(Modifiers::NONE, key) {
                    events.push(Event::Arrow(direction));
                }
            }
        });
        for event in events {
            self.tool_event(ctx, event, actions);
        }
    }

    fn tool_event(&mut self, ctx: &Context, event: Event, actions: &mut Actions) {
        let tool = std::mem::take(&mut self.tool);
        let shown = self.shown();
        let next = tool.handle(event, &self.canvas.surroundings(ctx, &shown), actions);
        self.tool = next;
    }

    /// Arrow keys move what is selected by 1 mm, with Shift by 10.
    fn nudge(&mut self, ctx: &Context) {
        let mut by = Point::default();
        ctx.input_mut(|input| {
            for (modifiers, step) in [(Modifiers::SHIFT, 10.0), (Modifiers::NONE, 1.0)] {
                let mut pressed = |key| input.count_and_consume_key(modifiers, key) as f64;
                by.x += step * (pressed(Key::ArrowRight) - pressed(Key::ArrowLeft));
                by.y += step * (pressed(Key::ArrowUp) - pressed(Key::ArrowDown));
            }
        });
        if by != Point::default() {
            self.nudge_selected(self.selected, by);
            self.refresh(ctx);
        }
    }

    fn nudge_selected(&mut self, selected: Selected, by: Point) {
        let line_now = self.house().map(|house| house.setout.chosen.offset);
        let mut trial = Plan::clone(self.document.plan());
        if let Some(name) = nudge(&mut trial, selected, by, line_now) {
            let _ = self.document.edit(&name, move |plan| {
                *plan = trial;
                Ok(())
            });
        }
    }

    /// Files dropped on the window.
    fn drops(&self, ctx: &Context, actions: &mut Actions) {
        let dropped = ctx.input(|input| input.raw.dropped_files.first().map(|file| file.path().to_owned()));
        if let Some(path) = dropped {
            actions.push(Action::Open(path));
        }
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
                Action::LookAt(span) => self.canvas.wanted = Some(Wanted::Span(span)),
                Action::Show(at) => {
                    let view = &self.canvas.view;
                    if !view.rect.shrink(40.0).contains(view.screen_from_plan(at)) {
                        self.canvas.wanted = Some(Wanted::Span(Span::round(at, 1800.0)));
                    }
                }
                Action::Open(path) => self.go_on(ctx, Then::Open(path)),
                Action::WriteSheets(folder) => self.write_sheets(ctx, folder),
                Action::Say(text) => self.said = Some(text),
            }
        }
        let changed = !only_live || self.document.revision() != before;
        if changed {
            self.selected = self.selected.within(self.document.plan());
            self.refresh(ctx);
        }
        changed
    }

    fn edit(&mut self, name: &str, change: impl FnOnce(&mut Plan) -> Result<(), plan::Problem>) {
        self.said = match self.document.edit(name, change) {
            Ok(()) => None,
            Err(problem) => Some(format!("{}: {}; {}", problem.place_name, problem.what, problem.mend)),
        };
    }

    /// Asks for the house of the plan as it is now.
    fn refresh(&mut self, ctx: &Context) {
        let before = self.compute.generation();
        self.compute.request(self.document.revision(), self.document.plan(), ctx);
        if self.compute.generation() != before {
            self.house_changed();
        }
    }

    /// Boards and flags of another house are not those that were selected.
    fn house_changed(&mut self) {
        if matches!(self.selected, Selected::Board(_) | Selected::Flag(_)) {
            self.selected = Selected::Nothing;
        }
    }

    fn command(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::New => self.go_on(ctx, Then::New),
            Command::Sample => self.go_on(ctx, Then::Sample),
            Command::Open => self.go_on(ctx, Then::AskOpen),
            Command::OpenByPath => self.go_on(ctx, Then::AskPath),
            Command::Save => match self.document.path().map(Path::to_owned) {
                Some(path) => self.save(ctx, &path),
                None => self.ask_save(ctx),
            },
            Command::SaveAs => self.ask_save(ctx),
            Command::SaveByPath => {
                let path = self.document.path().map(|path| path.display().to_string()).unwrap_or_default();
                self.prompt = Some(Prompt::SavePath(path));
            }
            Command::WriteSheets => match self.job.print.folder.clone() {
                Some(folder) => self.write_sheets(ctx, folder),
                None => {
                    self.job.open(Step::Print);
                    self.said = Some("Choose a folder for the sheets under Print".into());
                }
            },
            Command::Quit => self.go_on(ctx, Then::Quit),
            Command::Undo => self.said = self.document.undo().map(|name| format!("Undone: {name}")),
            Command::Redo => self.said = self.document.redo().map(|name| format!("Done again: {name}")),
            Command::Select => self.take(Tool::default()),
            Command::DrawRoom => self.take(Tool::draw_room()),
            Command::PlaceDoorway => self.take(Tool::place_doorway()),
            Command::DrawFixture => self.take(Tool::draw_fixture()),
            Command::Delete => self.delete(),
            Command::SplitWall => self.split_wall(),
            Command::BackOut => {
                let mut actions = Actions::default();
                self.tool_event(ctx, Event::Escape, &mut actions);
                self.apply(ctx, &mut actions);
            }
            Command::Fit => self.canvas.wanted = Some(Wanted::Everything),
            Command::ZoomIn => self.zoom(1.25),
            Command::ZoomOut => self.zoom(0.8),
            Command::BestLine => self.set_line(StartLine::Best, "use best line"),
            Command::RunnerUp => {
                let runner_up = self.house().and_then(|house| house.setout.runner_up.as_ref());
                if let Some(offset) = runner_up.map(|line| line.offset) {
                    self.set_line(StartLine::At(offset), "use runner-up");
                }
            }
            Command::LineUp => self.move_line(1.0),
            Command::LineDown => self.move_line(-1.0),
            Command::RowsAlongX => self.turn_rows(0.0),
            Command::RowsAlongY => self.turn_rows(90.0),
            Command::RowsAlongWall => self.rows_along_wall(),
            Command::AnotherStagger => self.edit("another stagger", |plan| {
                plan.seed = plan.seed.wrapping_add(1);
                Ok(())
            }),
            Command::NextFlag => self.step_flag(1),
            Command::PreviousFlag => self.step_flag(-1),
            Command::ToggleUnits => self.edit("change units", |plan| {
                plan.units = match plan.units {
                    Units::Metric => Units::FeetInches,
                    Units::FeetInches => Units::Metric,
                };
                Ok(())
            }),
            Command::ToggleTheme => {
                self.settings.table = match ctx.theme() {
                    Theme::Light => Table::Slate,
                    Theme::Dark => Table::Paper,
                };
                apply_table(ctx, self.settings.table);
                self.settings.store(self.settings_path.as_deref());
            }
            Command::ToggleGrid => self.canvas.grid = !self.canvas.grid,
            Command::OpenAllSteps => self.job.set_all(true),
            Command::CloseAllSteps => self.job.set_all(false),
            Command::Find => self.finder.open(),
        }
    }

    fn take(&mut self, tool: Tool) {
        self.document.keep();
        self.tool = tool;
        self.said = None;
    }

    fn zoom(&mut self, factor: f64) {
        let middle = self.canvas.view.rect.center();
        self.canvas.view.zoom_at(middle, factor);
    }

    fn set_line(&mut self, line: StartLine, name: &str) {
        self.edit(name, move |plan| {
            plan.start_line = line;
            Ok(())
        });
    }

    fn move_line(&mut self, by: f64) {
        let Some(now) = self.house().map(|house| house.setout.chosen.offset) else { return };
        let pitch = self.document.plan().stock.pitch();
        if pitch > 0.0 {
            self.set_line(StartLine::At((now + by).rem_euclid(pitch)), "move start line");
        }
    }

    fn turn_rows(&mut self, degrees: f64) {
        self.edit("turn the rows", move |plan| {
            plan.rows_at = degrees;
            Ok(())
        });
    }

    fn rows_along_wall(&mut self) {
        let Selected::Wall(room, wall) = self.selected else {
            self.said = Some("Select a wall first, then its rows can run along it".into());
            return;
        };
        let Some((along, _)) = self.document.plan().rooms.get(room).and_then(|room| room.wall_axes(wall))
        else {
            return;
        };
        let degrees = along.y.atan2(along.x).to_degrees().rem_euclid(180.0);
        let degrees = if degrees > 90.0 { degrees - 180.0 } else { degrees };
        // A thousandth of a degree is 0.2 mm over twelve metres.
        self.turn_rows((degrees * 1000.0).round() / 1000.0);
    }

    fn delete(&mut self) {
        match self.selected {
            Selected::Room(room) => self.edit("remove room", move |plan| edit::remove_room(plan, room)),
            Selected::Corner(room, wall) => {
                self.edit("remove corner", move |plan| edit::remove_corner(plan, room, wall));
            }
            Selected::Doorway(doorway) => self.edit("remove doorway", move |plan| {
                plan.doorways.remove(doorway);
                Ok(())
            }),
            Selected::Fixture(fixture) => self.edit("remove fixture", move |plan| {
                plan.fixtures.remove(fixture);
                Ok(())
            }),
            Selected::Wall(..) => {
                self.said = Some("A wall goes with one of its corners: select a corner to remove it".into());
                return;
            }
            Selected::Line => self.set_line(StartLine::Best, "use best line"),
            Selected::Nothing | Selected::Board(_) | Selected::Flag(_) => return,
        }
        self.selected = Selected::Nothing;
    }

    fn split_wall(&mut self) {
        let Selected::Wall(room, wall) = self.selected else {
            self.said = Some("Select the wall that is to be split".into());
            return;
        };
        let line = self.document.plan().rooms.get(room).and_then(|room| room.wall_line(wall));
        let half = line.map_or(0.0, |(a, b)| a.distance(b) / 2.0);
        self.edit("split wall", move |plan| edit::split_wall(plan, room, wall, half.round()));
        self.selected = Selected::Corner(room, wall + 1).within(self.document.plan());
    }

    fn step_flag(&mut self, by: i64) {
        let Some(house) = self.compute.house().cloned() else { return };
        let count = house.flags.len() as i64;
        if count == 0 {
            self.said = Some("No flags on this floor".into());
            return;
        }
        let next = match self.selected {
            Selected::Flag(flag) => (flag as i64 + by).rem_euclid(count),
            _ if by < 0 => count - 1,
            _ => 0,
        };
        self.selected = Selected::Flag(next as usize);
        if let Some(at) = anchor_of(self.selected, self.document.plan(), Some(&house)) {
            self.canvas.wanted = Some(Wanted::Span(Span::round(at, 1800.0)));
        }
    }

    /// Goes on with something that would lose unsaved work, asking first where there is any.
    fn go_on(&mut self, ctx: &Context, then: Then) {
        self.document.keep();
        if self.document.is_dirty() {
            self.prompt = Some(Prompt::Unsaved(then));
        } else {
            self.go_on_now(ctx, then);
        }
    }

    fn go_on_now(&mut self, ctx: &Context, then: Then) {
        match then {
            Then::New => self.put(Document::new(Plan::new("New house"), None)),
            Then::Sample => self.put(Document::new(files::sample(), None)),
            Then::AskOpen if self.synchronous => self.prompt = Some(Prompt::OpenPath(String::new())),
            Then::AskOpen => {
                let path = self.document.path().map(Path::to_owned);
                self.dialogs.ask(Purpose::Open, path.as_deref(), "", ctx);
            }
            Then::AskPath => self.prompt = Some(Prompt::OpenPath(String::new())),
            Then::Open(path) => self.open(&path),
            Then::Quit => {
                self.may_close = true;
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
        }
        self.refresh(ctx);
    }

    /// Puts another document on the table.
    fn put(&mut self, document: Document) {
        self.document = document;
        self.compute.forget();
        self.selected = Selected::Nothing;
        self.tool = Tool::default();
        self.said = None;
        self.canvas.wanted = Some(Wanted::Everything);
        self.writing.forget();
    }

    fn open(&mut self, path: &Path) {
        match files::read(path) {
            Ok(plan) => {
                self.put(Document::new(plan, Some(path.to_owned())));
                self.remember(path);
            }
            Err(unreadable) => self.prompt = Some(Prompt::Unreadable(unreadable)),
        }
    }

    fn remember(&mut self, path: &Path) {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        self.settings.used(&path);
        self.settings.store(self.settings_path.as_deref());
    }

    fn ask_save(&mut self, ctx: &Context) {
        if self.synchronous {
            self.prompt = Some(Prompt::SavePath(String::new()));
            return;
        }
        let name = files::stem(self.document.path(), &self.document.plan().name);
        let path = self.document.path().map(Path::to_owned);
        self.dialogs.ask(Purpose::Save, path.as_deref(), &name, ctx);
    }

    fn save(&mut self, ctx: &Context, path: &Path) {
        self.document.keep();
        let plan: Arc<Plan> = self.document.plan().clone();
        match files::save(path, &plan) {
            Ok(()) => {
                self.document.saved_as(path.to_owned(), plan);
                self.remember(path);
                self.said = Some(format!("Saved to {}", path.display()));
                if let Some(then) = self.after_save.take() {
                    self.go_on(ctx, then);
                }
            }
            Err(trouble) => {
                self.after_save = None;
                self.prompt = Some(Prompt::Trouble(trouble));
            }
        }
    }

    fn write_sheets(&mut self, ctx: &Context, folder: PathBuf) {
        let Some(house) = self.compute.house().filter(|_| self.compute.is_current()).cloned() else {
            self.said = Some("Sheets are written from a floor without open problems; mend them first".into());
            return;
        };
        let stem = files::stem(self.document.path(), &house.plan.name);
        self.writing.start(house, folder, stem, self.synchronous, ctx);
        self.job.open(Step::Print);
    }

    /// Shows what holds the desk, and does what it is answered with.
    fn ask(&mut self, ctx: &Context) {
        let Some(prompt) = &mut self.prompt else { return };
        let Some(answer) = prompt::show(ctx, prompt, &self.document.plan().name) else { return };
        self.prompt = None;
        match answer {
            Answer::Stay => self.after_save = None,
            Answer::SaveThen(then) => {
                self.after_save = Some(then);
                self.command(ctx, Command::Save);
            }
            Answer::LeaveThen(then) => self.go_on_now(ctx, then),
            Answer::Open(path) => self.go_on_now(ctx, Then::Open(path)),
            Answer::Save(path) => self.save(ctx, &path),
        }
        ctx.request_repaint();
    }

    /// Holds the window open while there is unsaved work.
    fn guard_close(&mut self, ctx: &Context) {
        let asked = ctx.input(|input| input.viewport().close_requested());
        if asked && !self.may_close && self.document.is_dirty() {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.prompt = Some(Prompt::Unsaved(Then::Quit));
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
}
