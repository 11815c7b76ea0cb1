//! Setting the picture under the plan to scale: two points whose distance is known, and the distance.

use super::{Event, Pick, Surroundings, Tool};
use crate::action::{Action, Actions};
use crate::canvas::{Ghost, Overlay};
use egui::CursorIcon;
use plan::{Point, Units, parse_length};

/// How near an end it is taken hold of, points of the screen.
const GRIP: f32 = 11.0;

/// Two points being clicked, then their distance typed.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct SetScale {
    from: Option<Point>,
    to: Option<Point>,
    pointer: Option<Point>,
    /// The end that is dragged: the one clicked first, or the other.
    held: Option<bool>,
    typed: String,
    /// The direction in which the stretch is to run, degrees.
    heading: Option<f64>,
}

impl SetScale {
    /// Whether letters typed now belong to it.
    pub(super) fn is_typing(&self) -> bool {
        !self.typed.is_empty()
    }

    pub(super) fn handle(mut self, event: Event, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        match event {
            Event::Drag(p) if self.held.is_some() => {
                let end = if self.held == Some(true) { &mut self.from } else { &mut self.to };
                *end = Some(p);
                self.pointer = Some(p);
            }
            Event::Move(p) | Event::Drag(p) => self.pointer = Some(p),
            Event::Leave => self.pointer = None,
            // An end that is there already is taken hold of, not clicked anew.
            Event::DragStart(p) if self.to.is_some() && self.end_at(p, around).is_some() => {
                self.held = self.end_at(p, around);
            }
            Event::DragEnd if self.held.is_some() => self.held = None,
            Event::Click(p) if self.to.is_some() && self.end_at(p, around).is_some() => {}
            Event::Click(p) | Event::DragStart(p) if self.from.is_none() => self.from = Some(p),
            Event::Click(p) if self.to.is_none() => self.to = Some(p),
            Event::DragEnd => self.to = self.to.or(self.pointer),
            // The stretch is clicked anew.
            Event::Click(p) => self = Self { from: Some(p), ..Self::default() },
            Event::Text(text) if self.to.is_some() => self.typed.push_str(&text),
            Event::Backspace => drop(self.typed.pop()),
            Event::Arrow(direction) => {
                let heading = direction.y.atan2(direction.x).to_degrees();
                self.heading = if self.heading == Some(heading) { None } else { Some(heading) };
            }
            Event::Enter => return self.finish(around, actions),
            Event::Escape if self.from.is_some() => self = Self::default(),
            Event::Escape => return Tool::Ready(Pick::Nothing),
            _ => {}
        }
        Tool::Scale(self)
    }

    /// The end of the stretch near a point: whether it is the one clicked first.
    fn end_at(&self, p: Point, around: &Surroundings<'_>) -> Option<bool> {
        let reach = around.view.mm(GRIP);
        [(true, self.from), (false, self.to)]
            .into_iter()
            .find(|(_, end)| end.is_some_and(|end| end.distance(p) < reach))
            .map(|(is_first, _)| is_first)
    }

    fn finish(self, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        let (Some(from), Some(to), Some(picture)) = (self.from, self.to, around.plan.backdrop.as_ref())
        else {
            return Tool::Scale(self);
        };
        let length = match parse_length(&self.typed, around.plan.units) {
            Ok(length) => length,
            Err(error) => {
                actions.push(Action::Say(error.to_string()));
                return Tool::Scale(self);
            }
        };
        match picture.set_to_scale(from, to, length, self.heading) {
            Some(set) => {
                actions.push(Action::TakePicture(Box::new(set)));
                Tool::Ready(Pick::Nothing)
            }
            None => {
                actions.push(Action::Say("The two points lie too near to each other for that length".into()));
                Tool::Scale(Self { typed: self.typed, heading: self.heading, ..Self::default() })
            }
        }
    }

    pub(super) fn overlay(&self, around: &Surroundings<'_>) -> Overlay {
        let ghost = match (self.from, self.to, self.pointer) {
            (Some(from), Some(to), _) => Ghost::Stretch(from, to),
            (Some(from), None, Some(to)) => Ghost::Line(from, to),
            _ => Ghost::None,
        };
        let over_end = self.to.is_some() && self.pointer.is_some_and(|p| self.end_at(p, around).is_some());
        let cursor = match (self.held, over_end) {
            (Some(_), _) => CursorIcon::Grabbing,
            (None, true) => CursorIcon::Grab,
            _ => CursorIcon::Crosshair,
        };
        let example = match around.plan.units {
            Units::Metric => "4200",
            Units::FeetInches => "13' 9\"",
        };
        let turned = match self.heading {
            Some(_) => "; it will be turned to run that way",
            None => "; an arrow key turns it to run that way",
        };
        let hint = match (self.from, self.to) {
            (None, _) => "Click one end of a length you know in the picture, as long as can be".into(),
            (_, None) => "Then its other end".into(),
            (Some(_), Some(_)) if self.typed.is_empty() => {
                format!(
                    "Type how long that is in the house, such as {example}, and Enter; its ends can be dragged{turned}"
                )
            }
            (Some(_), Some(_)) => format!("{} · Enter sets the picture to scale{turned}", self.typed),
        };
        Overlay { cursor: Some(cursor), hint, ghost, ..Overlay::default() }
    }
}
