//! Any bytes as edits of a plan, with gestures kept and dropped, undo and redo, on the desk's own document. What is
//! refused leaves the plan as it was; after every step the plan can be written and read; undo leads back to the
//! first plan and redo to the last.
#![no_main]
#![allow(dead_code)]

#[path = "../../../crates/desk/src/document.rs"]
mod document;

use document::Document;
use plan::edit::{self, Bay, Gives, Mirror};
use plan::{FixtureKind, Plan, Point, Problem};
use std::sync::LazyLock;

static STARTS: LazyLock<[Plan; 3]> = LazyLock::new(|| {
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

/// The bytes one after the other; nothing after the last.
struct Hand<'a>(&'a [u8]);

impl Hand<'_> {
    fn byte(&mut self) -> usize {
        let Some((first, rest)) = self.0.split_first() else { return 0 };
        self.0 = rest;
        usize::from(*first)
    }

    /// A length or place: odd ones now and then, else whole and half millimetres up to 8 m either way.
    fn number(&mut self) -> f64 {
        match self.byte() {
            odd @ 0..=11 => ODD[odd],
            high => ((high as f64 - 134.0) * 256.0 + self.byte() as f64) / 4.0,
        }
    }

    fn point(&mut self) -> Point {
        Point::new(self.number(), self.number())
    }

    fn mirror(&mut self) -> Mirror {
        [Mirror::No, Mirror::LeftRight, Mirror::UpDown][self.byte() % 3]
    }

    fn kind(&mut self) -> FixtureKind {
        match self.byte() % 9 {
            0 => FixtureKind::Island,
            1 => FixtureKind::Kick { clearance: self.number(), tuck: self.number() },
            2 => FixtureKind::Column,
            3 => FixtureKind::Hearth,
            4 => FixtureKind::TileArea { trim: self.number() },
            5 => FixtureKind::Rebate { depth: self.number() },
            6 => FixtureKind::LowSpot { depth: self.number() },
            7 => FixtureKind::Vent,
            _ => FixtureKind::Stair { nosing: self.number() },
        }
    }

    fn points(&mut self) -> Vec<Point> {
        (0..self.byte() % 7).map(|_| self.point()).collect()
    }
}

/// One change of the plan, as the desk makes it.
fn change(plan: &mut Plan, hand: &mut Hand) -> Result<(), Problem> {
    let which = hand.byte();
    // One more than there is, now and then.
    let room = hand.byte() % (plan.rooms.len() + 1);
    let wall = hand.byte() % (plan.rooms.get(room).map_or(0, |room| room.walls.len()) + 1);
    let none = |done: Result<usize, Problem>| done.map(drop);
    match which % 21 {
        0 => edit::move_corner(plan, room, wall, hand.point()),
        1 => edit::move_wall(plan, room, wall, hand.number()),
        2 => edit::set_wall_length(plan, room, wall, hand.number(), hand.byte() % 2 == 0),
        3 => {
            let gives = [Gives::End, Gives::Start, Gives::Both][hand.byte() % 3];
            edit::set_wall_length_by(plan, room, wall, hand.number(), hand.byte() % 2 == 0, gives)
        }
        4 => edit::split_wall(plan, room, wall, hand.number()),
        5 => edit::remove_corner(plan, room, wall),
        6 => edit::arc_wall(plan, room, wall, hand.number()),
        7 => {
            let front = (hand.byte() % 2 == 0).then(|| hand.number());
            let bay = Bay { from: hand.number(), width: hand.number(), depth: hand.number(), front };
            none(edit::add_bay(plan, room, wall, bay))
        }
        8 => none(edit::add_room(plan, &hand.points())),
        9 => none(edit::copy_room(plan, room, hand.mirror(), hand.point())),
        10 => edit::mirror_room(plan, room, hand.mirror()),
        11 => edit::remove_room(plan, room),
        12 => edit::rename_room(plan, room, ["", " ", "Hall", "Study", "a, wall 2"][hand.byte() % 5]),
        13 => none(edit::add_doorway(plan, room, wall, hand.number())),
        14 => {
            let kind = hand.kind();
            none(edit::add_fixture(plan, kind, &hand.points()))
        }
        15 => none(edit::copy_fixture(plan, hand.byte() % 4, hand.mirror(), hand.point())),
        16 => edit::mirror_fixture(plan, hand.byte() % 4, hand.mirror()),
        17 => none(edit::add_joint(plan, hand.point(), hand.point())),
        18 => edit::move_joint(plan, hand.byte() % 3, hand.point()),
        19 => edit::move_joint_end(plan, hand.byte() % 3, hand.byte() % 2 == 0, hand.point()),
        _ => edit::set_corners(plan, room, &hand.points()),
    }
}

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let hand = &mut Hand(bytes);
    let start = STARTS[hand.byte() % 3].clone();
    let mut document = Document::new(start.clone(), None);
    while !hand.0.is_empty() {
        let before = document.plan().clone();
        match hand.byte() % 12 {
            0 => drop(document.undo()),
            1 => drop(document.redo()),
            2 => document.begin("drag"),
            3 => document.keep(),
            4 => document.drop_gesture(),
            5 | 6 => {
                let mut live = Plan::clone(document.plan());
                if change(&mut live, hand).is_ok() {
                    document.live(live);
                }
            }
            _ => {
                if document.edit("change", |plan| change(plan, hand)).is_err() {
                    assert_eq!(document.plan(), &before, "refused, and changed all the same");
                }
            }
        }
        let plan = document.plan();
        assert_eq!(plan::read_unchecked(&plan::write(plan)).as_ref(), Ok(&**plan));
        let _ = plan.problems();
    }
    document.keep();
    let last = Plan::clone(document.plan());
    let steps = std::iter::from_fn(|| document.undo()).count();
    assert_eq!(**document.plan(), start, "undone");
    for _ in 0..steps {
        document.redo();
    }
    assert_eq!(**document.plan(), last, "done again");
});
