//! Tools: each a state that an event turns into the next one. They read the plan and ask for
//! changes; they never make any.

mod band;
mod drag;
mod draw_joint;
mod draw_room;
mod measure;
mod nudge;
mod pick;
mod place;
mod set_scale;

pub(crate) use draw_room::DrawRoom;
pub(crate) use nudge::nudge;
pub(crate) use pick::{Pick, pick};

use crate::action::{Action, Actions};
use crate::canvas::{Catch, Hidden, Overlay, Placed, Snapped, View};
use crate::select::Selected;
use band::Band;
use drag::Dragging;
use draw_joint::DrawJoint;
use measure::Measure;
use pipeline::House;
use place::{DrawFixture, PlaceDoorway};
use plan::{Plan, Point};
use set_scale::SetScale;

/// What happens on the canvas, on the plan.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Event {
    /// The pointer is here.
    Move(Point),
    /// The pointer is off the canvas.
    Leave,
    /// A drag starts where the button went down.
    DragStart(Point),
    /// The drag is here.
    Drag(Point),
    /// The button is let go.
    DragEnd,
    /// A click.
    Click(Point),
    /// A second click on the same place.
    DoubleClick(Point),
    /// Something is typed.
    Text(String),
    /// The last letter typed is taken back.
    Backspace,
    /// Enter.
    Enter,
    /// An arrow key: its direction on the plan.
    Arrow(Point),
    /// Escape.
    Escape,
}

/// What a tool sees.
pub(crate) struct Surroundings<'a> {
    pub(crate) plan: &'a Plan,
    /// The last house computed.
    pub(crate) house: Option<&'a House>,
    /// Whether that house is this plan's.
    pub(crate) is_current: bool,
    pub(crate) view: &'a View,
    /// Pennants and names as they lie on the screen.
    pub(crate) placed: &'a [Placed],
    pub(crate) selected: Selected,
    /// What is selected together with it.
    pub(crate) together: &'a [Selected],
    /// Layers that are not shown: nothing of them is picked.
    pub(crate) hidden: Hidden,
    pub(crate) grid: bool,
    /// Nothing catches (Alt).
    pub(crate) free: bool,
    /// Walls are drawn at right angles (no Shift).
    pub(crate) square: bool,
}

impl Surroundings<'_> {
    /// The point meant by the pointer, with nothing being drawn.
    pub(crate) fn snap(&self, p: Point, except: &[Point]) -> Snapped {
        self.catch(None, &[], except, false).snap(p)
    }

    /// The same, with the jambs of doorways among the corners: for what measures.
    pub(crate) fn snap_to_jambs(&self, p: Point) -> Snapped {
        Catch { jambs: true, ..self.catch(None, &[], &[], false) }.snap(p)
    }

    /// All that is selected.
    pub(crate) fn selection(&self) -> impl Iterator<Item = Selected> {
        let one = (self.selected != Selected::Nothing).then_some(self.selected);
        self.together.iter().copied().chain(one)
    }

    pub(crate) fn catch<'b>(
        &'b self,
        previous: Option<Point>,
        own: &'b [Point],
        except: &'b [Point],
        square: bool,
    ) -> Catch<'b> {
        let (plan, view) = (self.plan, self.view);
        let thickness = drawing::body_thickness(plan);
        let next_room = false;
        Catch {
            plan,
            view,
            grid: self.grid,
            previous,
            own,
            except,
            next_room,
            jambs: false,
            thickness,
            free: self.free,
            square,
        }
    }
}

/// The tool in hand and its state.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Tool {
    /// Pick: nothing under way. Holds what the pointer is over.
    Ready(Pick),
    /// Pick: something is being dragged.
    Dragging(Box<Dragging>),
    /// Pick: a band is drawn round things.
    Band(Band),
    /// A room is being drawn.
    Room(DrawRoom),
    /// A doorway is being placed.
    Doorway(PlaceDoorway),
    /// A fixture is being drawn.
    Fixture(DrawFixture),
    /// A movement joint is being drawn.
    Joint(DrawJoint),
    /// The picture under the plan is being set to scale.
    Scale(SetScale),
    /// A length is being measured.
    Measure(Measure),
}

impl Default for Tool {
    fn default() -> Self {
        Self::Ready(Pick::Nothing)
    }
}

impl Tool {
    pub(crate) fn draw_room() -> Self {
        Self::Room(DrawRoom::default())
    }

    /// A room to be drawn behind a wall.
    pub(crate) fn draw_room_behind(plan: &Plan, room: usize, wall: usize) -> Option<Self> {
        DrawRoom::behind(plan, room, wall).map(Self::Room)
    }

    pub(crate) fn place_doorway() -> Self {
        Self::Doorway(PlaceDoorway::default())
    }

    pub(crate) fn draw_fixture() -> Self {
        Self::Fixture(DrawFixture::default())
    }

    pub(crate) fn set_scale() -> Self {
        Self::Scale(SetScale::default())
    }

    pub(crate) fn measure() -> Self {
        Self::Measure(Measure::default())
    }

    pub(crate) fn draw_joint() -> Self {
        Self::Joint(DrawJoint::default())
    }

    /// Whether nothing is under way and the tool is the one that picks.
    pub(crate) fn is_ready(&self) -> bool {
        matches!(self, Self::Ready(_))
    }

    /// Whether letters typed now belong to the tool.
    pub(crate) fn is_typing(&self) -> bool {
        match self {
            Self::Room(room) => room.is_typing(),
            Self::Scale(scale) => scale.is_typing(),
            Self::Fixture(fixture) => fixture.is_typing(),
            _ => false,
        }
    }

    /// Whether arrow keys, digits and Enter belong to the tool.
    pub(crate) fn takes_keys(&self) -> bool {
        matches!(
            self,
            Self::Room(_) | Self::Scale(_) | Self::Measure(_) | Self::Fixture(_) | Self::Doorway(_)
        )
    }

    /// What is measured, as it would be kept on the drawing.
    pub(crate) fn measured(&self, plan: &Plan) -> Option<plan::Dimension> {
        match self {
            Self::Measure(measure) => measure.dimension(plan),
            _ => None,
        }
    }

    /// Whether `+`, `-`, `*` and `/` of the numeric pad turn what is drawn.
    pub(crate) fn takes_turns(&self) -> bool {
        matches!(self, Self::Room(room) if room.is_begun())
    }

    pub(crate) fn handle(self, event: Event, around: &Surroundings<'_>, actions: &mut Actions) -> Self {
        match self {
            Self::Ready(over) => ready(over, event, around, actions),
            Self::Dragging(dragging) => dragging.handle(event, around, actions),
            Self::Band(band) => band.handle(event, around, actions),
            Self::Room(room) => room.handle(event, around, actions),
            Self::Doorway(doorway) => doorway.handle(event, around, actions),
            Self::Fixture(fixture) => fixture.handle(event, around, actions),
            Self::Joint(joint) => joint.handle(event, around, actions),
            Self::Scale(scale) => scale.handle(event, around, actions),
            Self::Measure(measure) => measure.handle(event, around, actions),
        }
    }

    /// A drag that turned out to be the beginning of something else: it is dropped, the tool stays in hand.
    pub(crate) fn interrupted(self, around: &Surroundings<'_>, actions: &mut Actions) -> Self {
        match self {
            Self::Dragging(dragging) => dragging.handle(Event::Escape, around, actions),
            Self::Band(_) => Self::default(),
            Self::Fixture(_) => Self::draw_fixture(),
            Self::Joint(_) => Self::draw_joint(),
            other => other,
        }
    }

    pub(crate) fn overlay(&self, around: &Surroundings<'_>) -> Overlay {
        match self {
            Self::Ready(over) => Overlay::hovering(*over, around),
            Self::Dragging(dragging) => dragging.overlay(),
            Self::Band(band) => band.overlay(around),
            Self::Room(room) => room.overlay(around),
            Self::Doorway(doorway) => doorway.overlay(around),
            Self::Fixture(fixture) => fixture.overlay(around),
            Self::Joint(joint) => joint.overlay(),
            Self::Scale(scale) => scale.overlay(around),
            Self::Measure(measure) => measure.overlay(around),
        }
    }
}

fn ready(over: Pick, event: Event, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
    match event {
        Event::Move(p) => Tool::Ready(pick(p, around)),
        Event::Leave => Tool::Ready(Pick::Nothing),
        // With Shift, one more or one less.
        Event::Click(p) | Event::DoubleClick(p) if !around.square => {
            let over = pick(p, around);
            if let Some(thing) = pick::thing(over, p, around) {
                actions.push(Action::SelectMore(thing));
            }
            Tool::Ready(over)
        }
        Event::Click(p) => {
            let over = pick(p, around);
            actions.select(over.selected());
            if let Pick::Figure(_, field) = over {
                actions.push(Action::TypeInto(field));
            }
            Tool::Ready(over)
        }
        Event::DragStart(p) => {
            let over = pick(p, around);
            let dragging = if around.square { Dragging::start(over, p, around, actions) } else { None };
            match dragging {
                Some(dragging) => Tool::Dragging(Box::new(dragging)),
                None => Tool::Band(Band::start(p, around)),
            }
        }
        Event::DoubleClick(p) => {
            let over = pick(p, around);
            if let Pick::Line = over {
                actions.run(crate::command::Command::BestLine);
            }
            Tool::Ready(over)
        }
        Event::Escape => {
            actions.select(Selected::Nothing);
            Tool::Ready(over)
        }
        _ => Tool::Ready(over),
    }
}
