//! Everything shown once: panels, canvas, what lies over them; and the desk in words.

use super::Desk;
use super::sides::{Side, ground};
use crate::action::Actions;
use crate::canvas::{Shown, extent_of};
use crate::dialogs::Purpose;
use crate::first_steps::{Floor, OnTable, Seen, State};
use crate::header::State as Stands;
use crate::job::{Facts, Step};
use crate::mending::Tried;
use crate::on_demand::Made;
use crate::palette::Palette;
use crate::select::Selected;
use crate::spent::Spent;
use crate::strip::Peak;
use crate::{card, header, names};
use egui::{CentralPanel, Context, Frame, Margin, Panel, Ui, ViewportCommand};
use std::path::Path;
use std::sync::Arc;
use std::time::Instant;

impl Desk {
    /// Shows the desk in all of `ui`.
    pub fn show(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        self.meter.spent = Spent::default();
        self.canvas.begun = Some(Instant::now());
        self.poll(&ctx);
        self.measure_window(&ctx);
        self.guard_close(&ctx);
        self.picture.follow(self.document.plan(), self.document.path(), self.synchronous, &ctx);
        let mut actions = Actions::default();
        self.keys(&ctx, &mut actions);
        self.drops(&ctx, &mut actions);
        self.apply(&ctx, &mut actions);
        self.keep_laying(&ctx);
        self.laying.tick(&ctx);

        self.sides.measure(&ctx);
        if self.job.is_wanted() {
            // What a command opens is shown, even where the job was folded away.
            self.sides.set_open(Side::Job, true);
        }
        // In a narrow window the header goes over floor and job together.
        if self.sides.is_narrow() {
            self.show_header(ui, &mut actions);
        }
        self.show_job(ui, &mut actions);
        self.show_strip(ui, &mut actions);
        if !self.sides.is_narrow() {
            self.show_header(ui, &mut actions);
        }
        if self.owner.is_shown() || self.beside.is_shown() {
            CentralPanel::no_frame().show(ui, |ui| {
                let house = self.compute.house().map(|house| (house, self.compute.generation()));
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
                    hidden: self.canvas.hidden,
                };
                self.canvas.interact(ui, &shown, std::mem::take(&mut self.tool), &mut actions)
            })
            .inner;
        self.tool = interacted.tool;
        self.card(&ctx, &mut actions);
        self.walk(&ctx);
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
        overlay.stale = self.stale();
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
            hidden: self.canvas.hidden,
        };
        let begun = self.meter.now();
        self.canvas.paint(&interacted.painter, &shown, &overlay);
        self.meter.spent.picture += self.meter.now().saturating_sub(begun);
        if let Some(place) = self.first_steps.place {
            self.canvas.keep_clear(place);
        }
        if changed {
            // The panels were shown before the change.
            ctx.request_repaint();
        }
        self.name_window(&ctx);
    }

    /// The job beside the floor, unless it is folded away.
    fn show_job(&mut self, ui: &mut Ui, actions: &mut Actions) {
        let ctx = ui.ctx().clone();
        let plan = self.document.plan().clone();
        let house = self.compute.house().cloned();
        let (in_gesture, at_once) = (self.document.in_gesture(), self.synchronous);
        let shows = (&self.job, self.sides.is_open(Side::Strip));
        self.on_demand.keep_up(&self.compute, shows, in_gesture, at_once, &ctx);
        self.job.directions.keep_up(self.compute.house(), at_once, &ctx);
        self.job.tape.keep_up(&plan, self.document.revision(), self.selected.room());
        if !self.sides.is_open(Side::Job) {
            return;
        }
        let facts = Facts {
            plan: &plan,
            house: house.as_deref(),
            is_current: self.compute.is_current(),
            problems: self.compute.problems(),
            selected: self.selected,
            together: self.together.with(self.selected),
            sheets: self.writing.last(),
            writing: self.writing.progress(),
            search: self.search.progress(),
            laying: &self.laying,
            advice: self.on_demand.advice.get(),
            gaps: self.on_demand.gaps.get(),
            drift: self.on_demand.drift.get(),
            proposals: self.on_demand.proposals.get(),
            joined: self.on_demand.joined.get(),
            bought: self.on_demand.bought.get().map(|made| &made.value),
            stages: self.on_demand.stages.get(),
            bound: self.on_demand.bound.get().map(|made| made.value),
            mends: match self.selected {
                Selected::Flag(flag) => self.mending.of((self.compute.generation(), flag)),
                _ => Tried::Not,
            },
            giving: self.giving,
            picture: plan.backdrop.as_ref().and_then(|backdrop| self.picture.trouble(backdrop)),
        };
        let job = &mut self.job;
        self.sides.show(Side::Job, ui, ground(&ctx, Side::Job), |ui| job.show(ui, &facts, actions));
    }

    /// The strip under the floor, unless it is folded away.
    fn show_strip(&mut self, ui: &mut Ui, actions: &mut Actions) {
        if !self.sides.is_open(Side::Strip) {
            return;
        }
        let house = self.compute.house().map(|house| (&**house, self.compute.generation()));
        // Of this very floor: a peak of the one before may lie elsewhere.
        let of_this = |made: &&Made<Option<Peak>>| {
            self.compute.house().is_some_and(|house| Arc::ptr_eq(house, &made.house))
        };
        let peak = self.on_demand.peak.get().filter(of_this).and_then(|made| made.value.as_ref());
        let (strip, document) = (&mut self.strip, &self.document);
        let frame = ground(ui.ctx(), Side::Strip);
        self.sides.show(Side::Strip, ui, frame, |ui| strip.show(ui, document, (house, peak), actions));
    }

    fn show_header(&self, ui: &mut Ui, actions: &mut Actions) {
        let palette = Palette::current(ui.ctx());
        let shown = header::Shown {
            document: &self.document,
            tool: &self.tool,
            recent: &self.settings.recent,
            state: self.state(),
            is_job_open: self.sides.is_open(Side::Job),
            is_strip_open: self.sides.is_open(Side::Strip),
        };
        let margin = Margin { left: 14, right: 12, top: 4, bottom: 0 };
        let height = header::height(ui, ui.available_width() - 26.0, &shown);
        Panel::top("header")
            .exact_size(height)
            .resizable(false)
            .show_separator_line(false)
            .frame(Frame::new().fill(palette.paper).inner_margin(margin))
            .show(ui, |ui| header::show(ui, &shown, actions));
    }

    pub(super) fn shown(&self) -> Shown<'_> {
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
            hidden: self.canvas.hidden,
        }
    }

    /// Why the floor shown is not this plan's; empty where it is, or while a hand still drags.
    fn stale(&self) -> String {
        let problem = self.compute.problems().first().filter(|_| {
            self.compute.house().is_some()
                && !self.document.plan().rooms.is_empty()
                && !self.document.in_gesture()
        });
        problem.map_or_else(String::new, |problem| {
            format!(
                "An older floor: this plan gives none. {}: {}; {}",
                problem.place_name, problem.what, problem.mend
            )
        })
    }

    /// The canvas in words, for a screen reader.
    fn spoken(&self) -> String {
        let plan = self.document.plan();
        let rooms = names::count(plan.rooms.len(), "room", "rooms");
        let mut text = format!("Floor of {}: {rooms}", plan.name);
        let stale = self.stale();
        if !stale.is_empty() {
            return format!("{text}. {stale}");
        }
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

    /// The state of the plan in a line beside its name, and in ever shorter ones.
    fn state(&self) -> Vec<Stands> {
        const SAVED: [&str; 3] = ["not saved", "saved", "no file yet"];
        const LAYING: &str = " · laying…";
        let saved = match (self.document.path(), self.document.is_dirty()) {
            (_, true) => SAVED[0],
            (Some(_), false) => SAVED[1],
            (None, false) => SAVED[2],
        };
        let busy = if self.compute.is_busy() { LAYING } else { "" };
        // Each with the longest that it becomes while the house stays the same.
        let said = |figures: &str, busy: &str| Stands {
            words: format!("{saved}{figures}{busy}"),
            longest: format!("{}{figures}{}", SAVED[2], if figures.is_empty() { "" } else { LAYING }),
        };
        let Some(house) = self.house() else { return vec![said("", "")] };
        if !self.stale().is_empty() {
            let short = "does not fit".to_owned();
            return vec![
                said(" · does not fit: no floor of it is laid", ""),
                said(" · does not fit", ""),
                Stands { words: short.clone(), longest: short },
            ];
        }
        let area = names::area(house.site.boarded_area(), self.document.plan().units);
        let boards = names::count(house.floor.boards.len(), "board", "boards");
        vec![
            said(&format!(" · {area} boarded · {boards} laid"), busy),
            said(&format!(" · {area} · {boards}"), busy),
            said(&format!(" · {boards}"), busy),
            said("", ""),
        ]
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
            writing: self.writing.progress(),
            search: self.search.progress(),
            laying: &self.laying,
            advice: self.on_demand.advice.get(),
            gaps: None,
            drift: None,
            proposals: None,
            joined: None,
            bought: None,
            stages: None,
            bound: self.on_demand.bound.get().map(|made| made.value),
            mends: self.mends_of_selected(),
            giving: self.giving,
            picture: None,
        };
        card::show(ctx, &self.canvas, &facts, actions);
    }

    /// The first steps: watched, and shown over the floor.
    fn walk(&mut self, ctx: &Context) {
        let house = self.compute.house().filter(|_| self.compute.is_current());
        self.canvas.leave_room(self.first_steps.wants(), ctx);
        if !self.first_steps.is_open() {
            self.first_steps.place = None;
            return;
        }
        let state = match self.compute.house() {
            _ if !self.compute.problems().is_empty() => State::Unfit,
            Some(house) if !house.flags.is_empty() => State::Flagged,
            _ => State::Sound,
        };
        let reaches_least = self.compute.house().is_none_or(|house| {
            let setout = &house.setout;
            setout.curve.iter().any(|point| point.rip >= setout.least)
        });
        let floor = Floor { state, reaches_least };
        self.first_steps.watch(&Seen {
            plan: self.document.plan(),
            house: house.map(|house| &**house),
            selected: self.selected,
            sheets: self.preview.is_open(),
        });
        let (plan, view) = (self.document.plan(), &self.canvas.view);
        let on_screen = |span: crate::canvas::Span| {
            egui::Rect::from_two_pos(view.screen_from_plan(span.min), view.screen_from_plan(span.max))
        };
        let rooms = plan.rooms.iter().filter_map(crate::canvas::Span::of_room).map(on_screen);
        let on_table = OnTable {
            plan,
            selected: self.selected,
            thing: extent_of(self.selected, plan, self.house()).map(on_screen),
            rooms: rooms.collect(),
            corner: self.canvas.corner,
        };
        if self.first_steps.show(ctx, self.canvas.view.rect, floor, &on_table) {
            self.leave_first_steps();
        }
    }

    /// Puts the first steps away, and keeps in mind that they were shown.
    pub(super) fn leave_first_steps(&mut self) {
        self.first_steps.leave();
        self.settings.shown_first_steps = true;
        self.settings.store(self.settings_path.as_deref());
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
