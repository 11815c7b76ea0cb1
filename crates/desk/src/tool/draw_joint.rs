//! Drawing a movement joint: from one edge of the floor to another.

use super::{Event, Pick, Surroundings, Tool};
use crate::action::{Action, Actions};
use crate::canvas::{Ghost, Overlay, Snapped};
use crate::select::Selected;
use egui::CursorIcon;
use plan::{Point, edit};

/// A joint shorter than this is a slip of the hand, mm.
const LEAST: f64 = 20.0;

/// A joint being drawn.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct DrawJoint {
    from: Option<Point>,
    to: Option<Snapped>,
}

impl DrawJoint {
    /// The point meant by the pointer; the second keeps to right angles with the first.
    fn catch(&self, p: Point, around: &Surroundings<'_>) -> Snapped {
        around.catch(self.from, &[], &[], self.from.is_some() && around.square).snap(p)
    }

    pub(super) fn handle(mut self, event: Event, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        match event {
            Event::Move(p) | Event::Drag(p) => self.to = Some(self.catch(p, around)),
            Event::DragStart(p) => self.from = Some(around.snap(p, &[]).at),
            Event::DragEnd => return self.finish(around, actions),
            // Two clicks do as well as a drag.
            Event::Click(p) => {
                if self.from.is_some() {
                    self.to = Some(self.catch(p, around));
                    return self.finish(around, actions);
                }
                self.from = Some(around.snap(p, &[]).at);
            }
            Event::Escape if self.from.is_some() => self.from = None,
            Event::Escape => return Tool::Ready(Pick::Nothing),
            _ => {}
        }
        Tool::Joint(self)
    }

    fn finish(self, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        let (Some(from), Some(to)) = (self.from, self.to) else { return Tool::Joint(Self::default()) };
        if from.distance(to.at) < LEAST {
            actions.push(Action::Say(
                "A joint goes from one edge of the floor to another: drag it across".into(),
            ));
            return Tool::Joint(Self::default());
        }
        let index = around.plan.joints.len();
        actions.try_edit("draw movement joint", move |plan| edit::add_joint(plan, from, to.at).map(drop));
        actions.select(Selected::Joint(index));
        Tool::Ready(Pick::Nothing)
    }

    pub(super) fn overlay(&self) -> Overlay {
        let ghost = match (self.from, self.to) {
            (Some(from), Some(to)) => Ghost::Line(from, to.at),
            _ => Ghost::None,
        };
        let hint = match self.from {
            None => "Click where the joint begins at an edge of the floor, or drag it across",
            Some(_) => {
                "Then the edge where it ends · Shift: any angle · along the rows it goes to a row line"
            }
        };
        Overlay {
            cursor: Some(CursorIcon::Crosshair),
            hint: hint.into(),
            snapped: self.to,
            ghost,
            ..Overlay::default()
        }
    }
}
