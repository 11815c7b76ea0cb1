//! Placing doorways and drawing fixtures.

use super::{Event, Pick, Surroundings, Tool};
use crate::action::{Action, Actions};
use crate::canvas::{Ghost, Overlay, Snapped, extent_of};
use crate::geometry::to_segment;
use crate::select::Selected;
use egui::CursorIcon;
use plan::{Covering, FixtureKind, Point, edit, parse_length};

/// Width of a doorway as it is placed, mm.
const DOORWAY_WIDTH: f64 = 820.0;
/// A fixture smaller than this either way is a slip of the hand, mm.
const LEAST_FIXTURE: f64 = 20.0;

/// A doorway looking for its wall.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct PlaceDoorway {
    /// Room, wall, and the middle's distance along it.
    over: Option<(usize, usize, f64)>,
}

impl PlaceDoorway {
    pub(super) fn handle(mut self, event: Event, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        match event {
            Event::Move(p) => self.over = wall_at(p, around),
            Event::Click(p) => {
                let Some((room, wall, middle)) = wall_at(p, around) else {
                    actions.push(Action::Say(
                        "A doorway goes into a wall of a boarded room, 820 or longer: click on one".into(),
                    ));
                    return Tool::Doorway(self);
                };
                let index = around.plan.doorways.len();
                actions.try_edit("place doorway", move |plan| {
                    edit::add_doorway(plan, room, wall, middle).map(drop)
                });
                actions.select(Selected::Doorway(index));
                return Tool::Ready(Pick::Nothing);
            }
            Event::Enter => {
                let Selected::Wall(room, wall) = around.selected else { return Tool::Doorway(self) };
                let Some((a, b)) = around.plan.rooms.get(room).and_then(|room| room.wall_line(wall)) else {
                    return Tool::Doorway(self);
                };
                let (index, middle) = (around.plan.doorways.len(), a.distance(b) / 2.0);
                // Tried here first: where it cannot be, the tool stays in hand and the reason is said.
                if edit::add_doorway(&mut around.plan.clone(), room, wall, middle).is_ok() {
                    actions.select(Selected::Doorway(index));
                }
                actions.try_edit("place doorway", move |plan| {
                    edit::add_doorway(plan, room, wall, middle).map(drop)
                });
                return Tool::Ready(Pick::Nothing);
            }
            Event::Leave => self.over = None,
            Event::Escape => return Tool::Ready(Pick::Nothing),
            _ => {}
        }
        Tool::Doorway(self)
    }

    pub(super) fn overlay(&self, around: &Surroundings<'_>) -> Overlay {
        let ghost = self.over.and_then(|(room, wall, middle)| {
            let room = around.plan.rooms.get(room)?;
            let (a, b) = room.wall_line(wall)?;
            let (along, away) = room.wall_axes(wall)?;
            let at = (middle - DOORWAY_WIDTH / 2.0).clamp(0.0, a.distance(b) - DOORWAY_WIDTH);
            let start = a.moved(along.x * at, along.y * at);
            let end = start.moved(along.x * DOORWAY_WIDTH, along.y * DOORWAY_WIDTH);
            Some(Ghost::Doorway { start, end, away })
        });
        Overlay {
            cursor: Some(CursorIcon::Crosshair),
            hint: match around.selected {
                Selected::Wall(room, wall) => format!(
                    "Click a wall of a boarded room to open a doorway in it · Enter opens one in the middle of {}",
                    crate::names::wall(around.plan, room, wall)
                ),
                _ => "Click a wall of a boarded room to open a doorway in it".into(),
            },
            ghost: ghost.unwrap_or_default(),
            ..Overlay::default()
        }
    }
}

fn wall_at(p: Point, around: &Surroundings<'_>) -> Option<(usize, usize, f64)> {
    let boarded = around.plan.rooms.iter().enumerate().filter(|(_, room)| room.covering == Covering::Boards);
    boarded
        .flat_map(|(r, room)| (0..room.walls.len()).filter_map(move |w| Some((r, w, room.wall_line(w)?))))
        .filter(|(_, _, (a, b))| a.distance(*b) >= DOORWAY_WIDTH)
        .map(|(r, w, (a, b))| (to_segment(p, a, b), r, w))
        .filter(|((distance, _), ..)| *distance < around.view.mm(24.0))
        .min_by(|a, b| a.0.0.total_cmp(&b.0.0))
        .map(|((_, along), r, w)| (r, w, along))
}

/// A fixture's rectangle being dragged out.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct DrawFixture {
    from: Option<Point>,
    to: Option<Snapped>,
    /// What is typed now, and the size across that was typed before it, mm.
    typed: String,
    across: Option<f64>,
    trouble: Option<String>,
}

impl DrawFixture {
    pub(super) fn is_typing(&self) -> bool {
        !self.typed.is_empty()
    }

    /// Takes the size typed; with both sizes the fixture stands, about the pointer or in the middle of the selected room.
    fn enter(mut self, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        let size = match parse_length(&self.typed, around.plan.units) {
            Ok(size) if size >= LEAST_FIXTURE => size,
            Ok(_) => {
                self.trouble = Some("a fixture needs 20 mm each way".into());
                return Tool::Fixture(self);
            }
            Err(error) => {
                self.trouble = Some(error.to_string());
                return Tool::Fixture(self);
            }
        };
        self.typed.clear();
        let Some(across) = self.across else {
            self.across = Some(size);
            return Tool::Fixture(self);
        };
        let selected =
            around.selected.room().and_then(|room| extent_of(Selected::Room(room), around.plan, None));
        let pointed = self.to.map(|to| to.at);
        let middle = match (self.from, selected, pointed) {
            (Some(from), ..) => from.moved(across / 2.0, size / 2.0),
            (None, Some(span), _) => span.centre(),
            (None, None, Some(at)) => at,
            (None, None, None) => around.view.centre,
        };
        let round = |mm: f64| mm.round() + 0.0;
        let low = Point::new(round(middle.x - across / 2.0), round(middle.y - size / 2.0));
        self.from = Some(low);
        self.to = Some(Snapped { at: low.moved(across, size), hint: None });
        self.finish(around, actions)
    }

    pub(super) fn handle(mut self, event: Event, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        match event {
            Event::Move(p) if self.from.is_none() => self.to = Some(around.snap(p, &[])),
            Event::DragStart(p) => self.from = Some(around.snap(p, &[]).at),
            Event::Drag(p) => self.to = Some(around.snap(p, &[])),
            Event::DragEnd => return self.finish(around, actions),
            // Two clicks do as well as a drag.
            Event::Click(p) => {
                let at = around.snap(p, &[]);
                if self.from.is_some() {
                    self.to = Some(at);
                    return self.finish(around, actions);
                }
                self.from = Some(at.at);
            }
            Event::Text(ref text) => {
                self.trouble = None;
                for letter in text.chars() {
                    if letter.is_ascii_digit() || letter == '.' || !self.typed.is_empty() {
                        self.typed.push(letter);
                    }
                }
            }
            Event::Backspace => drop(self.typed.pop()),
            Event::Enter if !self.typed.is_empty() => return self.enter(around, actions),
            Event::Escape if !self.typed.is_empty() || self.across.is_some() => {
                self = Self { from: self.from, to: self.to, ..Self::default() };
            }
            Event::Escape if self.from.is_some() => self.from = None,
            Event::Escape => return Tool::Ready(Pick::Nothing),
            _ => {}
        }
        if let (Event::Move(p), Some(_)) = (&event, self.from) {
            self.to = Some(around.snap(*p, &[]));
        }
        Tool::Fixture(self)
    }

    fn finish(self, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        let (Some(from), Some(to)) = (self.from, self.to) else { return Tool::Fixture(Self::default()) };
        let (a, b) = (from, to.at);
        if (a.x - b.x).abs() < LEAST_FIXTURE || (a.y - b.y).abs() < LEAST_FIXTURE {
            actions.push(Action::Say("A fixture needs 20 mm each way: drag from corner to corner".into()));
            return Tool::Fixture(Self::default());
        }
        let index = around.plan.fixtures.len();
        let (left, right) = (a.x.min(b.x), a.x.max(b.x));
        let (low, high) = (a.y.min(b.y), a.y.max(b.y));
        let outline = [(left, low), (right, low), (right, high), (left, high)].map(Point::from);
        actions.try_edit("draw fixture", move |plan| {
            edit::add_fixture(plan, FixtureKind::Island, &outline).map(drop)
        });
        actions.select(Selected::Fixture(index));
        Tool::Ready(Pick::Nothing)
    }

    pub(super) fn overlay(&self, around: &Surroundings<'_>) -> Overlay {
        let show = |mm: f64| plan::format_length(mm, around.plan.units);
        let hint = match (&self.trouble, self.across, self.typed.as_str()) {
            (Some(trouble), ..) => format!("{}: {trouble}", self.typed),
            (None, Some(across), "") => format!("{} across the page · type its size up the page and Enter", show(across)),
            (None, Some(across), typed) => format!("{} across, {typed} up · Enter stands it there", show(across)),
            (None, None, "") => match around.selected.room() {
                Some(_) => "Drag from corner to corner, or type its size across the page and Enter: it stands in the middle of the selected room".into(),
                None => "Drag from corner to corner, or type its size across the page and Enter; then say what it is in its card".into(),
            },
            (None, None, typed) => format!("{typed} across the page · Enter, then its size up the page"),
        };
        let ghost = match (self.from, self.to) {
            (Some(from), Some(to)) => Ghost::Rectangle(from, to.at),
            _ => Ghost::None,
        };
        Overlay { cursor: Some(CursorIcon::Crosshair), hint, snapped: self.to, ghost, ..Overlay::default() }
    }
}
