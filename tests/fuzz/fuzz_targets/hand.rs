//! A hand led by bytes: one change of a plan after the other, as the desk makes them.

use plan::edit::{self, Bay, Follows, Gives, Mirror};
use plan::{Dimension, DimensionEnd, FixtureKind, Place, Plan, Point, Problem};
use std::sync::LazyLock;

/// Plans that a hand begins with.
pub(crate) static STARTS: LazyLock<[Plan; 3]> = LazyLock::new(|| {
    [
        include_str!("../../../sample-plans/one-room.ron"),
        include_str!("../../../sample-plans/lark-study.ron"),
        include_str!("../../../sample-plans/reed-cottage.ron"),
    ]
    .map(|text| plan::read(text).expect("a sample"))
});

/// Numbers that break reckonings, beside those a hand would draw.
const ODD: [f64; 12] =
    [0.0, -0.0, 1e-9, 0.01, 1.0, 90.0, 4200.0, 999_999.0, 1e7, 1e300, f64::INFINITY, f64::NAN];

/// Kinds of change there are.
const KINDS: usize = 40;

/// The bytes one after the other; nothing after the last.
pub(crate) struct Hand<'a>(pub(crate) &'a [u8]);

impl Hand<'_> {
    pub(crate) fn byte(&mut self) -> usize {
        let Some((first, rest)) = self.0.split_first() else { return 0 };
        self.0 = rest;
        usize::from(*first)
    }

    pub(crate) fn yes(&mut self) -> bool {
        self.byte() % 2 == 0
    }

    /// An index; one more than there is, now and then.
    fn one_of(&mut self, count: usize) -> usize {
        self.byte() % (count + 1)
    }

    /// A length or place: odd ones now and then, else whole and half millimetres up to 8 m either way.
    pub(crate) fn number(&mut self) -> f64 {
        match self.byte() {
            odd @ 0..=11 => ODD[odd],
            high => ((high as f64 - 134.0) * 256.0 + self.byte() as f64) / 4.0,
        }
    }

    /// A number from `low` to `high` in 255 steps.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.byte() as f64 / 255.0
    }

    fn point(&mut self) -> Point {
        Point::new(self.number(), self.number())
    }

    /// A point within 16 mm, or 4 m, of another.
    fn near(&mut self, p: Point) -> Point {
        let reach = if self.yes() { 16.0 } else { 4000.0 };
        p.moved(self.between(-reach, reach), self.between(-reach, reach))
    }

    fn mirror(&mut self) -> Mirror {
        [Mirror::No, Mirror::LeftRight, Mirror::UpDown][self.byte() % 3]
    }

    fn name(&mut self) -> &'static str {
        ["", " ", "Hall", "Study", "a, wall 2"][self.byte() % 5]
    }

    fn kind(&mut self) -> FixtureKind {
        match self.byte() % 9 {
            0 => FixtureKind::Island,
            1 => FixtureKind::Kick { clearance: self.number(), tuck: self.between(0.0, 60.0) },
            2 => FixtureKind::Column,
            3 => FixtureKind::Hearth,
            4 => FixtureKind::TileArea { trim: self.number() },
            5 => FixtureKind::Rebate { depth: self.number() },
            6 => FixtureKind::LowSpot { depth: self.number() },
            7 => FixtureKind::Vent,
            _ => FixtureKind::Stair { nosing: self.between(0.0, 120.0) },
        }
    }

    fn points(&mut self) -> Vec<Point> {
        (0..self.byte() % 7).map(|_| self.point()).collect()
    }

    fn rectangle(&mut self) -> Vec<Point> {
        let (at, wide, deep) = (self.point(), self.between(20.0, 2000.0), self.between(20.0, 2000.0));
        [(0.0, 0.0), (wide, 0.0), (wide, deep), (0.0, deep)].map(|(x, y)| at.moved(x, y)).to_vec()
    }

    fn places(&mut self, plan: &Plan) -> Vec<Place> {
        (0..1 + self.byte() % 4)
            .map(|_| match self.byte() % 7 {
                0 => Place::Room(self.one_of(plan.rooms.len())),
                1 => Place::Wall(self.one_of(plan.rooms.len()), self.byte() % 5),
                2 => Place::Doorway(self.one_of(plan.doorways.len())),
                3 => Place::Fixture(self.one_of(plan.fixtures.len())),
                4 => Place::Joint(self.one_of(plan.joints.len())),
                5 => Place::Dimension(self.one_of(plan.dimensions.len())),
                _ => Place::Rules("least rip"),
            })
            .collect()
    }

    fn dimension_end(&mut self, plan: &Plan) -> DimensionEnd {
        let room = plan.rooms.get(self.byte()).map_or("Attic", |room| room.name.as_str()).to_owned();
        match self.byte() % 3 {
            0 => DimensionEnd::Point(self.point()),
            1 => DimensionEnd::Corner { room, corner: self.byte() % 9 },
            _ => DimensionEnd::Wall { room, wall: self.byte() % 9, at: self.number() },
        }
    }
}

/// One change of the plan.
pub(crate) fn change(plan: &mut Plan, hand: &mut Hand) -> Result<(), Problem> {
    let which = hand.byte() % KINDS;
    let room = hand.one_of(plan.rooms.len());
    let wall = hand.one_of(plan.rooms.get(room).map_or(0, |room| room.walls.len()));
    let corner = plan.rooms.get(room).and_then(|room| room.walls.get(wall)).map(|wall| wall.corner);
    let none = |done: Result<usize, Problem>| done.map(drop);
    match which {
        0 => edit::move_corner(plan, room, wall, hand.point()),
        1 => edit::move_corner(plan, room, wall, hand.near(corner.unwrap_or_default())),
        2 => edit::move_wall(plan, room, wall, hand.number()),
        3 => edit::set_wall_length(plan, room, wall, hand.number(), hand.yes()),
        4 => {
            let gives = [Gives::End, Gives::Start, Gives::Both][hand.byte() % 3];
            edit::set_wall_length_by(plan, room, wall, hand.number(), hand.yes(), gives)
        }
        5 => edit::split_wall(plan, room, wall, hand.number()),
        6 => edit::remove_corner(plan, room, wall),
        7 => edit::arc_wall(plan, room, wall, hand.number()),
        8 => {
            let front = hand.yes().then(|| hand.number());
            let bay = Bay { from: hand.number(), width: hand.number(), depth: hand.number(), front };
            none(edit::add_bay(plan, room, wall, bay))
        }
        9 => none(edit::add_room(plan, &hand.points())),
        10 => none(edit::add_room(plan, &hand.rectangle())),
        11 => none(edit::copy_room(plan, room, hand.mirror(), hand.point())),
        12 => edit::mirror_room(plan, room, hand.mirror()),
        13 => edit::remove_room(plan, room),
        14 => edit::rename_room(plan, room, hand.name()),
        15 => none(edit::add_doorway(plan, room, wall, hand.number())),
        16 => {
            let kind = hand.kind();
            none(edit::add_fixture(plan, kind, &hand.points()))
        }
        17 => {
            let kind = hand.kind();
            none(edit::add_fixture(plan, kind, &hand.rectangle()))
        }
        18 => none(edit::copy_fixture(plan, hand.byte() % 4, hand.mirror(), hand.point())),
        19 => edit::mirror_fixture(plan, hand.byte() % 4, hand.mirror()),
        20 => none(edit::add_joint(plan, hand.point(), hand.point())),
        21 => edit::move_joint(plan, hand.byte() % 3, hand.point()),
        22 => edit::move_joint_end(plan, hand.byte() % 3, hand.yes(), hand.point()),
        23 => edit::set_corners(plan, room, &hand.points()),
        24 => edit::place_doorway(plan, hand.byte() % 4, hand.number()),
        25 => edit::turn_leaf(plan, hand.byte() % 4),
        26 => {
            let outline = if hand.yes() { hand.rectangle() } else { hand.points() };
            edit::set_outline(plan, hand.byte() % 4, outline)
        }
        27 => edit::move_fixture(plan, hand.byte() % 4, hand.point()),
        28 => edit::rename_doorway(plan, hand.byte() % 4, hand.name()),
        29 => edit::rename_fixture(plan, hand.byte() % 4, hand.name()),
        30 => edit::remove_doorway(plan, hand.byte() % 4),
        31 => edit::remove_fixture(plan, hand.byte() % 4),
        32 => edit::remove_joint(plan, hand.byte() % 3),
        33 => {
            let ends = [hand.dimension_end(plan), hand.dimension_end(plan)];
            let [from, to] = ends;
            none(edit::add_dimension(plan, Dimension::new(from, to)))
        }
        34 => match hand.byte() % 2 {
            0 => edit::move_dimension(plan, hand.byte() % 3, hand.point()),
            _ => edit::remove_dimension(plan, hand.byte() % 3),
        },
        35 => {
            let places = hand.places(plan);
            edit::pin(plan, &places, hand.yes())
        }
        36 => {
            let places = hand.places(plan);
            edit::move_all(plan, &places, hand.point())
        }
        37 => {
            let places = hand.places(plan);
            edit::remove_all(plan, &places)
        }
        38 => {
            let places = hand.places(plan);
            match hand.yes() {
                true => edit::copy_all(plan, &places, hand.point()).map(drop),
                false => none(edit::copy_doorway(plan, hand.byte() % 4)),
            }
        }
        _ => {
            let behind = edit::behind(plan, room, wall);
            let Some(other) = behind.get(hand.byte() % (behind.len() + 1)) else {
                return edit::join_wall(plan, room, wall).map(drop);
            };
            let follows = [Follows::Room, Follows::Wall][hand.byte() % 2];
            edit::set_thickness(plan, room, wall, other.clone(), hand.between(-20.0, 400.0), follows)
        }
    }
}
