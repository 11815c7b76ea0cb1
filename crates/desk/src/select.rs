//! What is selected on the floor: one thing, and others together with it.

use plan::{Place, Plan};

/// One selected thing; indices into the plan's or the floor's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Selected {
    /// Nothing.
    #[default]
    Nothing,
    /// A room.
    Room(usize),
    /// A wall of a room.
    Wall(usize, usize),
    /// The corner at which a wall of a room starts.
    Corner(usize, usize),
    /// A doorway.
    Doorway(usize),
    /// A fixture.
    Fixture(usize),
    /// A movement joint.
    Joint(usize),
    /// A dimension kept on the drawing.
    Dimension(usize),
    /// A laid board.
    Board(usize),
    /// A flag.
    Flag(usize),
    /// The start line.
    Line,
}

impl Selected {
    /// The selection as far as the plan still holds it.
    pub(crate) fn within(self, plan: &Plan) -> Self {
        let wall_exists = |room: usize, wall| plan.rooms.get(room).is_some_and(|r| wall < r.walls.len());
        let exists = match self {
            Self::Nothing | Self::Board(_) | Self::Flag(_) | Self::Line => true,
            Self::Room(room) => room < plan.rooms.len(),
            Self::Wall(room, wall) | Self::Corner(room, wall) => wall_exists(room, wall),
            Self::Doorway(doorway) => doorway < plan.doorways.len(),
            Self::Fixture(fixture) => fixture < plan.fixtures.len(),
            Self::Joint(joint) => joint < plan.joints.len(),
            Self::Dimension(dimension) => dimension < plan.dimensions.len(),
        };
        if exists { self } else { Self::Nothing }
    }

    /// The room it belongs to, for a room, wall or corner.
    pub(crate) fn room(self) -> Option<usize> {
        match self {
            Self::Room(room) | Self::Wall(room, _) | Self::Corner(room, _) => Some(room),
            _ => None,
        }
    }

    /// Its place in the plan, for what can be moved, copied and taken out together with others.
    pub(crate) fn thing(self) -> Option<Place> {
        Some(match self {
            Self::Room(room) => Place::Room(room),
            Self::Doorway(doorway) => Place::Doorway(doorway),
            Self::Fixture(fixture) => Place::Fixture(fixture),
            Self::Joint(joint) => Place::Joint(joint),
            Self::Dimension(dimension) => Place::Dimension(dimension),
            _ => return None,
        })
    }

    /// The thing at a place of the plan.
    pub(crate) fn at(place: &Place) -> Self {
        match *place {
            Place::Room(room) => Self::Room(room),
            Place::Wall(room, wall) => Self::Wall(room, wall),
            Place::Doorway(doorway) => Self::Doorway(doorway),
            Place::Fixture(fixture) => Self::Fixture(fixture),
            Place::Joint(joint) => Self::Joint(joint),
            Place::Dimension(dimension) => Self::Dimension(dimension),
            _ => Self::Nothing,
        }
    }
}

/// Things selected together with the one that is selected; they are forgotten when another is.
#[derive(Debug, Clone, Default)]
pub(crate) struct Together {
    with: Selected,
    others: Vec<Selected>,
}

impl Together {
    /// The others, while the same thing is selected.
    pub(crate) fn with(&self, selected: Selected) -> &[Selected] {
        if selected == self.with { &self.others } else { &[] }
    }

    /// Adds a thing to what is selected, or takes it away; gives what is selected then.
    pub(crate) fn toggle(&mut self, selected: Selected, thing: Selected) -> Selected {
        let mut all: Vec<Selected> = self.with(selected).to_vec();
        all.extend((selected.thing().is_some()).then_some(selected));
        match all.iter().position(|other| *other == thing) {
            Some(at) => drop(all.remove(at)),
            None => all.push(thing),
        }
        self.set(all)
    }

    /// Selects these things, the last of them first; gives that one.
    pub(crate) fn set(&mut self, mut all: Vec<Selected>) -> Selected {
        self.with = all.pop().unwrap_or_default();
        self.others = all;
        self.with
    }

    /// Forgets what the plan no longer holds.
    pub(crate) fn keep_within(&mut self, plan: &Plan) {
        self.others.retain(|other| other.within(plan) == *other);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_are_added_and_taken_away() {
        let (a, b, c) = (Selected::Fixture(0), Selected::Fixture(1), Selected::Room(0));
        let mut together = Together::default();
        let mut selected = together.toggle(a, b);
        assert_eq!((selected, together.with(selected)), (b, [a].as_slice()));
        selected = together.toggle(selected, c);
        assert_eq!((selected, together.with(selected)), (c, [a, b].as_slice()));
        selected = together.toggle(selected, c);
        assert_eq!((selected, together.with(selected)), (b, [a].as_slice()));
        assert!(together.with(a).is_empty(), "another thing is selected alone");
        selected = together.toggle(Selected::Line, a);
        assert_eq!(
            (selected, together.with(selected)),
            (a, [].as_slice()),
            "a line does not go together with things"
        );
    }
}
