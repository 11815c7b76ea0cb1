//! A band drawn round things: what lies wholly inside it is selected.

use super::{Event, Pick, Surroundings, Tool};
use crate::action::{Action, Actions};
use crate::canvas::{Ghost, Layer, Overlay, extent_of};
use crate::select::Selected;
use plan::Point;

/// A band under way, from one corner to the other.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Band {
    from: Point,
    to: Point,
    /// What was selected before stays selected (Shift).
    more: bool,
}

impl Band {
    pub(super) fn start(from: Point, around: &Surroundings<'_>) -> Self {
        Self { from, to: from, more: !around.square }
    }

    pub(super) fn handle(mut self, event: Event, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        match event {
            Event::Drag(p) => self.to = p,
            Event::DragEnd => {
                let mut all = self.inside(around);
                if self.more {
                    let before: Vec<Selected> =
                        around.selection().filter(|thing| !all.contains(thing)).collect();
                    all.splice(0..0, before);
                }
                actions.push(Action::SelectTogether(all));
                return Tool::Ready(Pick::Nothing);
            }
            Event::Escape => return Tool::Ready(Pick::Nothing),
            _ => {}
        }
        Tool::Band(self)
    }

    /// What can be moved and lies wholly inside, as far as it is shown.
    fn inside(&self, around: &Surroundings<'_>) -> Vec<Selected> {
        let plan = around.plan;
        let (low, high) = (
            Point::new(self.from.x.min(self.to.x), self.from.y.min(self.to.y)),
            Point::new(self.from.x.max(self.to.x), self.from.y.max(self.to.y)),
        );
        let is_inside = |thing: &Selected| {
            extent_of(*thing, plan, None).is_some_and(|span| {
                low.x <= span.min.x && low.y <= span.min.y && span.max.x <= high.x && span.max.y <= high.y
            })
        };
        let is_shown = |thing: &Selected| match thing {
            Selected::Room(_) | Selected::Doorway(_) => !around.hidden.is(Layer::Walls),
            Selected::Fixture(_) | Selected::Joint(_) => !around.hidden.is(Layer::Fixtures),
            Selected::Dimension(_) => !around.hidden.is(Layer::Dimensions),
            _ => false,
        };
        let is_loose = |thing: &Selected| thing.thing().is_some_and(|place| !plan.is_pinned(&place));
        crate::app::everything(plan).filter(is_shown).filter(is_loose).filter(is_inside).collect()
    }

    pub(super) fn overlay(&self, around: &Surroundings<'_>) -> Overlay {
        let count = self.inside(around).len();
        let hint = match count {
            0 => "What lies wholly inside is selected · Escape leaves it".to_owned(),
            count => format!("{} inside · Escape leaves it", crate::names::count(count, "thing", "things")),
        };
        Overlay { hint, ghost: Ghost::Band(self.from, self.to), ..Overlay::default() }
    }
}
