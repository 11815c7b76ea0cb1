//! Items of a drawing.

use kurbo::{BezPath, Point};

/// What an item is; each output gives it an ink, a fill and a weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// Floor of a room that is not boarded.
    OtherFloor,
    /// The body of walls between and around rooms.
    WallBody,
    /// The finished face of a wall.
    WallFace,
    /// A board; `tone` picks the shade of its lot.
    Board {
        /// Shade, 0..=7.
        tone: u8,
    },
    /// The part of a board that carries a flag.
    FlaggedBoard,
    /// A fixture that stands on the floor.
    Fixture,
    /// A low spot or rebate under the boards.
    UnderFloor,
    /// A door leaf, shown closed.
    Leaf,
    /// A trim or the end of the boards in a doorway.
    Stop,
    /// The start line.
    StartLine,
    /// A pull from a corner to the start line.
    Pull,
    /// A dimension line with its ends.
    Dimension,
    /// The figure of a rip at an edge, in a ring.
    RipFigure,
    /// A rip figure under the least.
    ShortRipFigure,
    /// A flag that marks a fault.
    Fault,
    /// A flag worth a look.
    Look,
    /// A room's name.
    RoomName,
    /// A board's label.
    BoardLabel,
    /// A corner's letter.
    CornerLetter,
    /// Other writing.
    Note,
}

/// A path with its role.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// Outline in plan millimetres; even-odd where it has holes.
    pub path: BezPath,
    /// Role.
    pub role: Role,
    /// Index of the board it shows, for [`Role::Board`].
    pub board: Option<usize>,
}

/// How a label stands to its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Centred on the point.
    Middle,
    /// Starts at the point.
    Start,
    /// Ends at the point.
    End,
}

/// Writing at a point of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// The words or figure.
    pub text: String,
    /// Where, plan millimetres.
    pub at: Point,
    /// How it stands to that point.
    pub anchor: Anchor,
    /// Height of the letters on paper, mm.
    pub size: f64,
    /// Role.
    pub role: Role,
    /// Index of the flag or rip it shows, by role.
    pub subject: Option<usize>,
}

/// One item.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A path.
    Shape(Shape),
    /// Writing.
    Label(Label),
}

/// A drawing: items from the bottom up.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawing {
    /// Items, painted in this order.
    pub items: Vec<Item>,
}
