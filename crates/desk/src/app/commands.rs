//! Every command carried out.

use super::{Desk, apply_table};
use crate::action::Actions;
use crate::canvas::{Hidden, Layer, Span, Wanted, extent_of};
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
            Command::Open => self.go_on(ctx, Then::AskOpen),
            Command::OpenByPath => self.go_on(ctx, Then::AskPath),
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
            Command::BackOut if self.owner.leave() || self.beside.leave(&mut self.canvas) => {}
            Command::BackOut if self.importing.is_under_way() => {
                self.importing.leave();
                self.said = Some("The drawing is left; nothing on the table has changed".into());
            }
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
                self.owner.next();
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
            Command::FirstSteps if self.first_steps.is_open() => self.leave_first_steps(),
            Command::FirstSteps => self.first_steps.begin(),
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

    pub(super) fn set_line(&mut self, line: StartLine, name: &str) {
        if self.document.plan().laid.is_some() {
            self.said = Some("The start line stays where the laid rows have it".into());
            return;
        }
        self.edit(name, move |plan| {
            plan.start_line = line;
            Ok(())
        });
    }

    pub(super) fn move_line(&mut self, by: f64) {
        let Some(now) = self.house().map(|house| house.setout.chosen.offset) else { return };
        let pitch = self.document.plan().stock.pitch();
        if pitch > 0.0 {
            self.set_line(StartLine::At((now + by).rem_euclid(pitch)), "move start line");
        }
    }

    pub(super) fn turn_rows(&mut self, degrees: f64) {
        self.edit("turn the rows", move |plan| {
            plan.rows_at = degrees;
            Ok(())
        });
    }

    pub(super) fn rows_along_wall(&mut self) {
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

    /// The selected board of the house as the plan has it now; says what is missing where there is none.
    fn selected_board(&mut self) -> Option<(std::sync::Arc<pipeline::House>, usize)> {
        let house = self.compute.house().filter(|house| house.plan == **self.document.plan()).cloned();
        let Some(house) = house else {
            self.said = Some(self.not_yet());
            return None;
        };
        match self.selected {
            Selected::Board(board) if board < house.floor.boards.len() => Some((house, board)),
            _ => {
                self.said = Some("Select a board first".into());
                None
            }
        }
    }

    /// Marks the selected board as laid, with all that was laid before it or alone.
    fn mark_laid(&mut self, with_all_before: bool) {
        let Some((house, board)) = self.selected_board() else { return };
        let boards = if with_all_before { house.up_to(board) } else { vec![board] };
        match house.with_laid(&boards) {
            Ok(plan) => {
                self.reselect = Some(house.floor.boards[board].label.clone());
                self.replace("mark as laid", plan);
                self.job.open(Step::Laid);
            }
            Err(error) => self.said = Some(error.to_string()),
        }
    }

    fn unmark_laid(&mut self) {
        let Some((house, board)) = self.selected_board() else { return };
        if house.floor.is_laid(board) {
            self.replace("not laid after all", house.without_laid(&[board]));
        } else {
            self.said = Some("That board is not marked as laid".into());
        }
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
        let word = if self.canvas.hidden.is(layer) { "Hidden" } else { "Shown" };
        self.said = Some(format!("{word}: {}", layer.word()));
    }

    pub(super) fn delete(&mut self) {
        if self.has_several() {
            return self.remove_several();
        }
        let before = self.document.revision();
        match self.selected {
            Selected::Room(room) => self.edit("remove room", move |plan| edit::remove_room(plan, room)),
            Selected::Corner(room, wall) => {
                self.edit("remove corner", move |plan| edit::remove_corner(plan, room, wall));
            }
            Selected::Doorway(doorway) => {
                self.edit("remove doorway", move |plan| edit::remove_doorway(plan, doorway));
            }
            Selected::Fixture(fixture) => {
                self.edit("remove fixture", move |plan| edit::remove_fixture(plan, fixture));
            }
            Selected::Joint(joint) => {
                self.edit("remove movement joint", move |plan| edit::remove_joint(plan, joint));
            }
            Selected::Dimension(index) => {
                self.edit("remove dimension", move |plan| edit::remove_dimension(plan, index));
            }
            Selected::Wall(..) => {
                self.said = Some("A wall goes with one of its corners: select a corner to remove it".into());
                return;
            }
            Selected::Line => self.set_line(StartLine::Best, "use best line"),
            Selected::Nothing | Selected::Board(_) | Selected::Flag(_) => return,
        }
        // What could not be removed stays selected.
        if self.document.revision() != before {
            self.selected = Selected::Nothing;
        }
    }

    pub(super) fn split_wall(&mut self) {
        let Selected::Wall(room, wall) = self.selected else {
            self.said = Some("Select the wall that is to be split".into());
            return;
        };
        let line = self.document.plan().rooms.get(room).and_then(|room| room.wall_line(wall));
        let half = line.map_or(0.0, |(a, b)| a.distance(b) / 2.0);
        self.edit("split wall", move |plan| edit::split_wall(plan, room, wall, half.round()));
        self.selected = Selected::Corner(room, wall + 1).within(self.document.plan());
    }

    /// Copies the selected room a wall's thickness beside itself, or the selected fixture beside itself.
    fn duplicate(&mut self) {
        if self.has_several() {
            return self.copy_several();
        }
        let plan = self.document.plan().clone();
        match self.selected {
            Selected::Room(room) | Selected::Wall(room, _) | Selected::Corner(room, _) => {
                let Some(span) = extent_of(Selected::Room(room), &plan, None) else { return };
                // Right of everything drawn, so that it lies over nothing.
                let right = Span::of_plan(&plan).map_or(span.max.x, |all| all.max.x);
                let by = plan::Point::new(right - span.min.x + drawing::body_thickness(&plan), 0.0);
                self.edit("copy room", move |plan| {
                    edit::copy_room(plan, room, edit::Mirror::No, by).map(drop)
                });
                self.selected = Selected::Room(plan.rooms.len()).within(self.document.plan());
                self.canvas.wanted = Some(Wanted::Everything);
            }
            Selected::Fixture(fixture) => {
                let Some(span) = extent_of(self.selected, &plan, None) else { return };
                let (across, up) = (span.max.x - span.min.x + 100.0, span.max.y - span.min.y + 100.0);
                // Beside it on the side where there is floor.
                let sides = [(across, 0.0), (-across, 0.0), (0.0, up), (0.0, -up)];
                self.edit("copy fixture", move |plan| {
                    let mut refused = None;
                    for (x, y) in sides {
                        match edit::copy_fixture(plan, fixture, edit::Mirror::No, plan::Point::new(x, y)) {
                            Ok(_) => return Ok(()),
                            Err(problem) => refused = refused.or(Some(problem)),
                        }
                    }
                    refused.map_or(Ok(()), Err)
                });
                self.selected = Selected::Fixture(plan.fixtures.len()).within(self.document.plan());
            }
            Selected::Doorway(_) | Selected::Joint(_) => self.copy_several(),
            _ => {
                self.said =
                    Some("Select a room, a doorway, a fixture or a joint first, then it can be copied".into())
            }
        }
    }

    fn turn_over(&mut self, mirror: edit::Mirror) {
        let all: Vec<Selected> = match self.selected {
            Selected::Wall(room, _) | Selected::Corner(room, _) => vec![Selected::Room(room)],
            _ => self.selection(),
        };
        let can = |thing: &Selected| {
            matches!(thing, Selected::Room(_) | Selected::Fixture(_) | Selected::Doorway(_))
        };
        if !all.iter().any(can) {
            self.said =
                Some("Select a room, a fixture or a doorway first, then it can be turned over".into());
            return;
        }
        let name = match all.as_slice() {
            [Selected::Room(_)] => "turn room over".to_owned(),
            [Selected::Fixture(_)] => "turn fixture over".to_owned(),
            [Selected::Doorway(_)] => "turn the leaf over".to_owned(),
            all => format!("turn {} things over", all.len()),
        };
        self.edit(&name, move |plan| {
            for thing in all {
                match thing {
                    Selected::Room(room) => edit::mirror_room(plan, room, mirror)?,
                    Selected::Fixture(fixture) => edit::mirror_fixture(plan, fixture, mirror)?,
                    Selected::Doorway(doorway) => edit::turn_leaf(plan, doorway)?,
                    _ => {}
                }
            }
            Ok(())
        });
    }

    /// Opens the tape of the selected room, or of the first one, at the first length that is missing.
    fn tape_room(&mut self, ctx: &Context) {
        let plan = self.document.plan().clone();
        let room = self.selected.room().unwrap_or(0);
        let Some(drawn) = plan.rooms.get(room) else {
            return self.room_from_lengths(ctx);
        };
        self.take(Tool::default());
        if self.selected.room().is_none() {
            self.selected = Selected::Room(room);
        }
        self.job.tape.open = true;
        self.job.open(Step::Measure);
        let (a, b) = crate::job::first_untaped(drawn).unwrap_or((0, 1));
        crate::field::focus(ctx, &crate::job::tape_field(a, b, drawn.walls.len()));
    }

    /// Begins a new room from its lengths, or goes on with the one begun.
    fn room_from_lengths(&mut self, ctx: &Context) {
        self.take(Tool::default());
        self.job.tape.draft.get_or_insert_default();
        self.job.open(Step::Measure);
        crate::field::focus(ctx, crate::job::NEXT_LEG);
    }

    fn set_by_tape(&mut self) {
        let Some(room) = self.selected.room() else {
            self.said = Some("Select the room whose corners its tape is to set".into());
            return;
        };
        let hold = self.job.tape.hold;
        self.edit("set the corners by the tape", move |plan| taping::set_corners(plan, room, hold, false));
    }

    pub(super) fn step_room(&mut self) {
        let count = self.document.plan().rooms.len();
        if count > 0 {
            let next = self.selected.room().map_or(0, |room| (room + 1) % count);
            self.selected = Selected::Room(next);
        }
    }

    pub(super) fn step_wall(&mut self, by: i64) {
        let room = self.selected.room().unwrap_or(0);
        let count = self.document.plan().rooms.get(room).map_or(0, |room| room.walls.len()) as i64;
        if count == 0 {
            return;
        }
        let next = match self.selected {
            Selected::Wall(_, wall) => (wall as i64 + by).rem_euclid(count),
            _ if by < 0 => count - 1,
            _ => 0,
        };
        self.selected = Selected::Wall(room, next as usize);
    }

    /// Starts the laying by itself, or holds it.
    pub(super) fn lay_on(&mut self, ctx: &Context) {
        let is_new = !self.laying.is_shown();
        self.laying.toggle(ctx.input(|input| input.time));
        self.keep_laying(ctx);
        if is_new {
            self.job.open(Step::Fit);
        }
    }

    /// Lays boards or takes them up, and brings the next into view.
    pub(super) fn lay_by(&mut self, ctx: &Context, by: Move) {
        let is_shown = self.laying.is_shown();
        let is_back = matches!(by, Move::Board(..=-1) | Move::Row(..=-1));
        self.laying.open(is_back);
        self.keep_laying(ctx);
        // The first step forwards shows the bare floor and the first board.
        if is_shown || is_back {
            self.laying.go(by);
        }
        if !is_shown {
            self.job.open(Step::Fit);
        }
        self.show_next();
    }

    /// Lays all runs before one.
    pub(super) fn lay_to(&mut self, ctx: &Context, step: usize) {
        self.laying.open(false);
        self.keep_laying(ctx);
        self.laying.go_to_step(step);
        self.show_next();
    }

    fn show_next(&mut self) {
        let Some(span) = self.house().and_then(|house| self.laying.span(house)) else { return };
        let view = &self.canvas.view;
        if view.rect.is_positive() && !view.rect.shrink(30.0).contains(view.screen_from_plan(span.centre())) {
            self.canvas.wanted = Some(Wanted::Span(Span::round(span.centre(), 1800.0)));
        }
    }

    pub(super) fn keep_laying(&mut self, ctx: &Context) {
        let (house, generation) = (self.compute.house(), self.compute.generation());
        self.laying.keep_up(house, generation, self.synchronous, ctx);
    }
}
