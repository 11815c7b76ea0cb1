//! What is selected on the floor.

use plan::Plan;

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
}
