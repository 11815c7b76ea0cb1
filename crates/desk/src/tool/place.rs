//! Placing doorways and drawing fixtures.

use super::{Event, Pick, Surroundings, Tool};
use crate::action::{Action, Actions};
use crate::canvas::{Ghost, Overlay, Snapped};
use crate::edit::{self, to_segment};
use crate::select::Selected;
use egui::CursorIcon;
use plan::{Covering, Point};

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
                actions.edit("place doorway", move |plan| {
                    edit::add_doorway(plan, room, wall, middle);
                });
                actions.select(Selected::Doorway(index));
                return Tool::Ready(Pick::Nothing);
            }
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
            let at = (middle - edit::DOORWAY_WIDTH / 2.0).clamp(0.0, a.distance(b) - edit::DOORWAY_WIDTH);
            let start = a.moved(along.x * at, along.y * at);
            let end = start.moved(along.x * edit::DOORWAY_WIDTH, along.y * edit::DOORWAY_WIDTH);
            Some(Ghost::Doorway { start, end, away })
        });
        Overlay {
            cursor: Some(CursorIcon::Crosshair),
            hint: "Click a wall of a boarded room to open a doorway in it".into(),
            ghost: ghost.unwrap_or_default(),
            ..Overlay::default()
        }
    }
}

fn wall_at(p: Point, around: &Surroundings<'_>) -> Option<(usize, usize, f64)> {
    let boarded = around.plan.rooms.iter().enumerate().filter(|(_, room)| room.covering == Covering::Boards);
    boarded
        .flat_map(|(r, room)| (0..room.walls.len()).filter_map(move |w| Some((r, w, room.wall_line(w)?))))
        .filter(|(_, _, (a, b))| a.distance(*b) >= edit::DOORWAY_WIDTH)
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
}

impl DrawFixture {
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
        let mut trial = around.plan.clone();
        let Some(index) = edit::add_fixture(&mut trial, from, to.at) else {
            actions.push(Action::Say("A fixture needs 20 mm each way: drag from corner to corner".into()));
            return Tool::Fixture(Self::default());
        };
        actions.edit("draw fixture", move |plan| *plan = trial);
        actions.select(Selected::Fixture(index));
        Tool::Ready(Pick::Nothing)
    }

    pub(super) fn overlay(&self) -> Overlay {
        let ghost = match (self.from, self.to) {
            (Some(from), Some(to)) => Ghost::Rectangle(from, to.at),
            _ => Ghost::None,
        };
        Overlay {
            cursor: Some(CursorIcon::Crosshair),
            hint: "Drag from corner to corner, then say what it is in its card".into(),
            snapped: self.to,
            ghost,
            ..Overlay::default()
        }
    }
}
