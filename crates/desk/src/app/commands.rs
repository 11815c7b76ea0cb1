//! Every command carried out.

use super::sides::Side;
use super::{Desk, apply_table};
use crate::action::Actions;
use crate::canvas::{Hidden, Layer, Wanted};
use crate::command::Command;
use crate::dialogs::Purpose;
use crate::job::Step;
use crate::laying::Move;
use crate::prompt::{Prompt, Then};
use crate::select::Selected;
use crate::settings::{SCALES, Table};
use crate::tool::{Event, Tool};
use egui::{Context, Theme};
use plan::{StartLine, Units, edit};
use std::path::Path;

impl Desk {
    pub(super) fn command(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::New => self.go_on(ctx, Then::New),
            Command::Sample => self.go_on(ctx, Then::Sample),
            Command::Open => self.ask_open(ctx),
            Command::OpenByPath => self.prompt = Some(Prompt::OpenPath(String::new())),
            Command::Save => match self.document.path().map(Path::to_owned) {
                Some(path) => self.save(ctx, &path),
                None => self.ask_save(ctx),
            },
            Command::SaveAs => self.ask_save(ctx),
            Command::SaveByPath => {
                let path = self.document.path().map(|path| path.display().to_string()).unwrap_or_default();
                self.prompt = Some(Prompt::SavePath(path, String::new()));
            }
            Command::BringIn if self.synchronous => self.prompt = Some(Prompt::BringPath(String::new())),
            Command::BringIn => {
                let path = self.document.path().map(Path::to_owned);
                self.dialogs.ask(Purpose::Outlines, path.as_deref(), "", ctx);
            }
            Command::BringInByPath => self.prompt = Some(Prompt::BringPath(String::new())),
            Command::LayPicture if self.synchronous => self.prompt = Some(Prompt::PicturePath(String::new())),
            Command::LayPicture => {
                let path = self.document.path().map(Path::to_owned);
                self.dialogs.ask(Purpose::Picture, path.as_deref(), "", ctx);
            }
            Command::LayPictureByPath => self.prompt = Some(Prompt::PicturePath(String::new())),
            Command::SetPictureScale if self.document.plan().backdrop.is_none() => {
                self.said = Some("There is no picture yet: lay one under the plan first".into());
            }
            Command::SetPictureScale => self.take(Tool::set_scale()),
            Command::WriteSheets => match self.job.print.folder.clone() {
                Some(folder) => self.write_sheets(ctx, folder),
                None => {
                    self.job.open(Step::Print);
                    self.said = Some("Choose a folder for the sheets under Print".into());
                }
            },
            Command::LookAtSheets => self.look_at_sheets(ctx),
            Command::Quit => self.go_on(ctx, Then::Quit),
            Command::Undo => self.said = self.document.undo().map(|name| format!("Undone: {name}")),
            Command::Redo => self.said = self.document.redo().map(|name| format!("Done again: {name}")),
            Command::Select => self.take(Tool::default()),
            Command::DrawRoom => {
                let behind = match self.selected {
                    Selected::Wall(room, wall) => Tool::draw_room_behind(self.document.plan(), room, wall),
                    _ => None,
                };
                self.take(behind.unwrap_or_else(Tool::draw_room));
            }
            Command::RoomFromLengths => self.room_from_lengths(ctx),
            Command::PlaceDoorway => self.take(Tool::place_doorway()),
            Command::DrawFixture => self.take(Tool::draw_fixture()),
            Command::DrawJoint => self.take(Tool::draw_joint()),
            Command::MeasureBetween => self.take(Tool::measure()),
            Command::Delete => self.delete(),
            Command::SplitWall => self.split_wall(),
            Command::JoinWalls => self.join_walls(),
            Command::AllOfKind => self.select_all_of_kind(),
            Command::SelectEverything => self.select_everything(),
            Command::PinDown => self.pin_selected(),
            Command::KeepLength => self.keep_length(),
            Command::Duplicate => self.duplicate(),
            Command::TurnOverAcross => self.turn_over(edit::Mirror::LeftRight),
            Command::TurnOverUp => self.turn_over(edit::Mirror::UpDown),
            Command::TapeRoom => self.tape_room(ctx),
            Command::SetByTape => self.set_by_tape(),
            Command::BackOut if self.owner.leave(&mut self.canvas) || self.beside.leave(&mut self.canvas) => {
            }
            Command::BackOut if self.importing.is_under_way() => {
                self.importing.leave();
                self.said = Some("The drawing is left; nothing on the table has changed".into());
            }
            Command::BackOut if self.leave_lengths(ctx) => {}
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
            Command::SafestLine => self.set_line(StartLine::Safest, "use safest line"),
            Command::LineUp => self.move_line(1.0),
            Command::LineDown => self.move_line(-1.0),
            Command::RowsAlongX => self.turn_rows(0.0),
            Command::RowsAlongY => self.turn_rows(90.0),
            Command::RowsAlongWall => self.rows_along_wall(),
            Command::AnotherStagger => self.edit("another stagger", |plan| {
                plan.seed = plan.seed.wrapping_add(1);
                Ok(())
            }),
            Command::BetterJoints if self.search.progress().is_some() => self.search.stop(),
            Command::BetterJoints => {
                self.document.keep();
                self.search.start(self.document.revision(), self.document.plan().clone(), ctx);
                self.job.open(Step::Lay);
            }
            Command::LaidToHere => self.mark_laid(true),
            Command::LaidBoard => self.mark_laid(false),
            Command::NotLaid => self.unmark_laid(),
            Command::NextRoom => self.step_room(),
            Command::NextWall => self.step_wall(1),
            Command::PreviousWall => self.step_wall(-1),
            Command::NextFlag => self.step_flag(1),
            Command::PreviousFlag => self.step_flag(-1),
            Command::TryMends => self.try_mends(ctx),
            Command::FirstMend => self.first_mend(ctx),
            Command::SideBySide => self.side_by_side(),
            Command::LayOn => self.lay_on(ctx),
            Command::NextBoard => self.lay_by(ctx, Move::Board(1)),
            Command::BoardBefore => self.lay_by(ctx, Move::Board(-1)),
            Command::NextRow => self.lay_by(ctx, Move::Row(1)),
            Command::RowBefore => self.lay_by(ctx, Move::Row(-1)),
            Command::WholeFloor => self.laying.stop(),
            Command::OwnersView => {
                self.take(Tool::default());
                self.beside.leave(&mut self.canvas);
                self.owner.next(self.document.plan(), &mut self.canvas);
            }
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
            Command::ToggleContrast => {
                self.settings.hard = !self.settings.hard;
                crate::palette::set_hard(ctx, self.settings.hard);
                self.settings.store(self.settings_path.as_deref());
            }
            Command::Larger => self.set_scale(ctx, self.settings.scale().saturating_add(25)),
            Command::Smaller => self.set_scale(ctx, self.settings.scale().saturating_sub(25)),
            Command::UsualSize => self.set_scale(ctx, 100),
            Command::ToggleGrid => self.canvas.grid = !self.canvas.grid,
            Command::ShowWalls => self.show_or_hide(Layer::Walls),
            Command::ShowFixtures => self.show_or_hide(Layer::Fixtures),
            Command::ShowBoards => self.show_or_hide(Layer::Boards),
            Command::ShowSetOut => self.show_or_hide(Layer::SetOut),
            Command::ShowFlags => self.show_or_hide(Layer::Flags),
            Command::ShowDimensions => self.show_or_hide(Layer::Dimensions),
            Command::ShowNames => self.show_or_hide(Layer::Names),
            Command::ShowPicture => self.show_or_hide(Layer::Picture),
            Command::ShowAll => self.canvas.hidden = Hidden::default(),
            Command::OpenAllSteps => self.job.set_all(true),
            Command::CloseAllSteps => self.job.set_all(false),
            Command::FoldJob => self.fold(Side::Job),
            Command::FoldStrip => self.fold(Side::Strip),
            Command::NameIt => drop(self.name_it(ctx)),
            Command::FirstSteps if self.first_steps.is_open() => self.leave_first_steps(),
            Command::FirstSteps => self.first_steps.begin(self.document.plan()),
            Command::Find => self.finder.open(),
        }
    }

    /// Sets the size of everything, per cent, and keeps it for the next time.
    fn set_scale(&mut self, ctx: &Context, percent: u16) {
        self.settings.scale = percent.clamp(SCALES.0, SCALES.1);
        ctx.set_zoom_factor(f32::from(self.settings.scale) / 100.0);
        self.said = Some(format!("Everything at {} %", self.settings.scale));
        self.settings.store(self.settings_path.as_deref());
    }

    pub(super) fn take(&mut self, tool: Tool) {
        self.document.keep();
        self.tool = tool;
        self.said = None;
    }

    pub(super) fn zoom(&mut self, factor: f64) {
        let middle = self.canvas.view.rect.center();
        self.canvas.view.zoom_at(middle, factor);
    }

    fn fold(&mut self, side: Side) {
        let is_open = self.sides.is_open(side);
        self.sides.set_open(side, !is_open);
    }

    /// Puts another plan in the place of the one on the table, as one step.
    pub(super) fn replace(&mut self, name: &str, plan: plan::Plan) {
        self.edit(name, move |old| {
            *old = plan;
            Ok(())
        });
    }

    fn show_or_hide(&mut self, layer: Layer) {
        self.canvas.hidden.toggle(layer);
        let hidden = self.canvas.hidden;
        let word = if hidden.is(layer) { "Hidden" } else { "Shown" };
        // What is hidden is not picked, and does not stay selected.
        if self.selection().into_iter().any(|thing| hidden.hides(thing)) {
            let left = self.selection().into_iter().filter(|thing| !hidden.hides(*thing)).collect();
            self.select_together(left);
        }
        self.said = Some(format!("{word}: {}", layer.word()));
    }
}
