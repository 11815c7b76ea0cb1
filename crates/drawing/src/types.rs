//! Items of a drawing.

use kurbo::{BezPath, Point, Rect, Vec2};

/// What an item is; each output gives it an ink, a fill and a weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// Floor of a room that is not boarded.
    OtherFloor,
    /// Tile let into a boarded room.
    TileArea,
    /// Bare floor of a boarded room, seen in the gaps.
    BareFloor,
    /// Bare floor of a doorway's opening, from face to face of its wall.
    Opening,
    /// The part of an opening past the leaf that has the floor of a room beyond.
    OtherOpening,
    /// The body of walls between and around rooms.
    WallBody,
    /// The finished face of a wall.
    WallFace,
    /// The track or frame of a glazed door, in the thickness of its wall.
    Glazing,
    /// Fixed cabinets along a wall, in the place of its thickness.
    Cabinets,
    /// A board; `tone` picks the shade of its lot.
    Board {
        /// Shade: 0..=7 pale, for boards that carry writing; from 8 on as wood looks, four lots of eight.
        tone: u8,
    },
    /// A board as an outline only, where other things matter more.
    BoardOutline,
    /// Hatching over a board that lies already.
    LaidHatch,
    /// An end joint.
    Joint,
    /// Where the boards end: the inner line of the gaps round a region.
    Boundary,
    /// A board that carries a flag, over its own shape.
    FlaggedBoard,
    /// A fixture that stands on the floor.
    Fixture,
    /// A low spot or rebate under the boards.
    UnderFloor,
    /// A door leaf, shown closed.
    Leaf,
    /// A trim or the end of the boards in a doorway.
    Stop,
    /// A movement joint, in its width.
    MovementJoint,
    /// A movement joint's name and width.
    JointName,
    /// How far in from a wall face boards stop in a doorway.
    StopFigure,
    /// A step between floors in a doorway, on a stepped plate.
    StepMark,
    /// The slab, cut through.
    Slab,
    /// The adhesive bed or underlay, cut through.
    Bed,
    /// The lower face of a board's wear layer, cut through.
    WearLayer,
    /// Sealant in a joint, cut through.
    Sealant,
    /// A trim, cut through.
    TrimStrip,
    /// The start line.
    StartLine,
    /// A pull from a corner to the start line.
    Pull,
    /// The pull that checks the line.
    CheckPull,
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
    /// A fixture's name.
    FixtureName,
    /// The sawn outline of one board.
    SawnBoard,
    /// What is sawn off a board.
    Waste,
    /// Hatching over what is sawn off.
    Hatch,
    /// Hatching over the boards of a stage.
    StageHatch {
        /// Place of the stage among those laid, from 0.
        stage: u8,
    },
    /// The tongue along a board's side.
    Tongue,
    /// The row line snapped again for control.
    ControlLine,
    /// The number of a control line in its list.
    ControlNumber,
    /// A pull to a control line.
    ControlPull,
    /// The number of a wall, inside its room.
    WallNumber,
    /// The triangle that proves a line square, and its lengths.
    Triangle,
    /// An arrow: where laying starts, which way it goes.
    Arrow,
    /// The word or number beside an arrow.
    ArrowWord,
    /// Lines of grain on a board.
    Grain,
    /// How large a room is.
    RoomArea,
    /// A line from writing to the thing that it stands for.
    Leader,
    /// The letter under which a thing stands in the drawing's key.
    KeyMark,
    /// Other writing.
    Note,
}

/// How boards are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Boards {
    /// Not at all.
    Hidden,
    /// As thin outlines.
    Outlined,
    /// In the colour of wood.
    #[default]
    Filled,
}

/// What a floor drawing shows, and how large it will be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// Plan millimetres to one paper millimetre: 75 for 1:75. Places writing so that it does not overlap;
    /// not a number above zero counts as 100.
    pub scale: f64,
    /// How lengths are written.
    pub units: plan::Units,
    /// How boards are shown.
    pub boards: Boards,
    /// Labels on the boards on which they fit.
    pub board_labels: bool,
    /// Rip figures at the edges.
    pub rips: bool,
    /// Flags as pennants, and the boards that carry them.
    pub flags: bool,
    /// Dimensions of walls.
    pub dimensions: bool,
    /// Dimensions that are kept on the drawing.
    pub kept: bool,
    /// The start line.
    pub start_line: bool,
    /// Pulls with the letters of their corners.
    pub pulls: bool,
    /// Names of rooms and fixtures.
    pub names: bool,
    /// End joints and the regions' boundaries as lines of their own, for drawings that are measured in.
    pub lines: bool,
    /// Stages, by a hatch each and in the names of rooms.
    pub stages: bool,
    /// Where boards stop in doorways, and steps there.
    pub doorways: bool,
    /// Control lines with their pulls.
    pub control: bool,
    /// The numbers of walls.
    pub wall_numbers: bool,
    /// The first corner, the way rows go, and the triangle that proves a line square.
    pub way: bool,
    /// Grain on the boards, and how large the rooms are: the floor for who lives on it.
    pub owner: bool,
    /// Whether writing that finds no free place is led to its thing by a line, or stands in the key: on paper, where nobody
    /// can look nearer.
    pub leaders: bool,
    /// So far right of the rooms there is room for pennants, paper mm: where the view ends.
    pub beyond: f64,
    /// So far over the rooms, likewise.
    pub above: f64,
}

impl Options {
    /// Every layer but the stages, at 1:`scale`.
    pub fn all(scale: f64, units: plan::Units) -> Self {
        Self {
            scale,
            units,
            boards: Boards::Filled,
            board_labels: true,
            rips: true,
            flags: true,
            dimensions: true,
            kept: true,
            start_line: true,
            pulls: true,
            names: true,
            lines: false,
            stages: false,
            doorways: true,
            control: false,
            wall_numbers: false,
            way: false,
            owner: false,
            leaders: false,
            beyond: f64::INFINITY,
            above: f64::INFINITY,
        }
    }

    /// Every layer on a picture or a page of its own: writing without room at its thing is led to it.
    pub fn whole(scale: f64, units: plan::Units) -> Self {
        Self { leaders: true, ..Self::all(scale, units) }
    }

    /// Every layer, joints and boundaries as lines of their own.
    pub fn every_line(scale: f64, units: plan::Units) -> Self {
        Self { lines: true, ..Self::all(scale, units) }
    }

    /// What snapping the line needs.
    pub fn set_out(scale: f64, units: plan::Units) -> Self {
        Self {
            boards: Boards::Outlined,
            board_labels: false,
            flags: false,
            dimensions: false,
            way: true,
            leaders: true,
            ..Self::all(scale, units)
        }
    }

    /// What snapping the line again needs: control lines, and the walls' numbers to find their corners by.
    pub fn control(scale: f64, units: plan::Units) -> Self {
        Self {
            boards: Boards::Hidden,
            kept: false,
            rips: false,
            pulls: false,
            doorways: false,
            control: true,
            wall_numbers: true,
            way: false,
            ..Self::set_out(scale, units)
        }
    }

    /// The floor for who will live on it.
    pub fn owner(scale: f64, units: plan::Units) -> Self {
        Self {
            board_labels: false,
            rips: false,
            flags: false,
            dimensions: false,
            kept: false,
            start_line: false,
            pulls: false,
            doorways: false,
            owner: true,
            leaders: true,
            ..Self::all(scale, units)
        }
    }

    /// What laying needs.
    pub fn laying(scale: f64, units: plan::Units) -> Self {
        Self { rips: false, pulls: false, leaders: true, ..Self::all(scale, units) }
    }
}

/// A path with its role.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// Outline in plan millimetres; even-odd where it has holes.
    pub path: BezPath,
    /// Role.
    pub role: Role,
    /// Index of the board it shows, for the boards' roles.
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
    /// How far the writing stands from there, paper millimetres, x right and y up; a pennant's pole
    /// bridges it.
    pub shift: Vec2,
    /// How it stands to that point. Figures are centred on it in height too.
    pub anchor: Anchor,
    /// Size of the type (its em) on paper, mm; capitals are about 0.73 of it high.
    pub size: f64,
    /// Turn of the writing, degrees anticlockwise.
    pub turn: f64,
    /// Role.
    pub role: Role,
    /// Index of the flag, rip or board it shows, by role.
    pub subject: Option<usize>,
    /// Indices of further flags that the same pennant stands for.
    pub also: Vec<usize>,
}

/// One item.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A path.
    Shape(Shape),
    /// Writing.
    Label(Label),
}

/// Writing that had no room on the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct KeyLine {
    /// Its letter on the drawing; empty where that had no room either.
    pub mark: String,
    /// What it stands for, in words; empty where what would stand there says so itself.
    pub name: String,
    /// What would stand there.
    pub text: String,
}

/// A drawing: items from the bottom up.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawing {
    /// Items, painted in this order.
    pub items: Vec<Item>,
    /// What stands beside the drawing because it had no room on it.
    pub key: Vec<KeyLine>,
    /// Figures that found no room on it and stand nowhere: what each is, and where it would have stood.
    pub left_out: Vec<(Role, Point)>,
}

impl Drawing {
    /// Adds a path.
    pub fn path(&mut self, role: Role, path: BezPath) {
        self.items.push(Item::Shape(Shape { path, role, board: None }));
    }

    /// Adds a path that shows a board.
    pub fn board(&mut self, role: Role, board: usize, path: BezPath) {
        self.items.push(Item::Shape(Shape { path, role, board: Some(board) }));
    }

    /// Adds writing.
    pub fn label(&mut self, label: Label) {
        self.items.push(Item::Label(label));
    }

    /// The shapes, from the bottom up.
    pub fn shapes(&self) -> impl Iterator<Item = &Shape> {
        self.items.iter().filter_map(|item| match item {
            Item::Shape(shape) => Some(shape),
            Item::Label(_) => None,
        })
    }

    /// The writing, from the bottom up.
    pub fn labels(&self) -> impl Iterator<Item = &Label> {
        self.items.iter().filter_map(|item| match item {
            Item::Label(label) => Some(label),
            Item::Shape(_) => None,
        })
    }

    /// The smallest rectangle round all shapes, plan millimetres; `None` for a drawing without any.
    pub fn bounds(&self) -> Option<Rect> {
        self.shapes()
            .filter(|shape| !shape.path.is_empty())
            .map(|shape| kurbo::Shape::bounding_box(&shape.path))
            .reduce(|all, one| all.union(one))
    }
}

impl Label {
    /// Writing of a role centred on a point, at the role's size.
    pub fn new(role: Role, text: impl Into<String>, at: Point) -> Self {
        Self {
            text: text.into(),
            at,
            shift: Vec2::ZERO,
            anchor: Anchor::Middle,
            size: role.type_size(),
            turn: 0.0,
            role,
            subject: None,
            also: Vec::new(),
        }
    }
}

impl Role {
    /// Size of the role's type on paper, mm: figures that are worked from are read at arm's length.
    pub fn type_size(self) -> f64 {
        match self {
            Self::Pull | Self::CheckPull => 5.0,
            Self::CornerLetter => 4.2,
            Self::StopFigure | Self::StepMark => 3.2,
            Self::RipFigure | Self::ShortRipFigure => 3.6,
            Self::Fault | Self::Look => 3.0,
            Self::Dimension => 3.0,
            Self::RoomName => 3.4,
            Self::ControlNumber => 3.6,
            Self::ControlPull | Self::Triangle | Self::ArrowWord => 3.6,
            Self::KeyMark => 2.8,
            Self::WallNumber => 3.2,
            Self::RoomArea => 3.4,
            Self::FixtureName | Self::JointName => 2.6,
            Self::BoardLabel => 3.0,
            _ => 3.0,
        }
    }
}
