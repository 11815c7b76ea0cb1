//! Invented houses for the tests: the same seed gives the same house.

pub mod figures;
pub mod parts;
pub mod slanted;
pub mod tiny;

use plan::{
    Beyond, BoardLength, Covering, Doorway, Fixture, FixtureKind, GapRange, Leaf, Lining, Plan, Point, Room,
    Side,
};
use rand_core::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;

/// Dice that fall the same on every machine.
#[derive(Debug)]
pub struct Dice(Pcg64Mcg);

impl Dice {
    /// Dice from a seed.
    pub fn new(seed: u64) -> Self {
        Self(Pcg64Mcg::seed_from_u64(seed))
    }

    /// A number in 0..1.
    pub fn unit(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A number in `low..high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// A whole number of millimetres in `low..=high`.
    pub fn mm(&mut self, low: f64, high: f64) -> f64 {
        self.between(low, high + 1.0).floor()
    }

    /// A number in `0..count`.
    pub fn below(&mut self, count: usize) -> usize {
        (self.unit() * count as f64) as usize
    }

    /// True once in `n` throws.
    pub fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }
}

const WALL: f64 = 92.0;

/// A house of a hall with rooms on both sides, corners a few millimetres out, doors of every kind,
/// now and then something standing on the floor; rows along the hall, across it or at an angle.
pub fn house(seed: u64) -> Plan {
    let dice = &mut Dice::new(seed);
    let mut plan = Plan::new(format!("house {seed}"));
    plan.seed = seed;
    plan.rows_at = match dice.below(4) {
        0 | 1 => 0.0,
        2 => 90.0,
        _ => dice.between(-60.0, 60.0),
    };
    stock(&mut plan, dice);
    let width = dice.mm(5000.0, 11000.0);
    let depth = dice.mm(1000.0, 1700.0);
    plan.rooms.push(room("Hall", dice, 0.0, 0.0, width, depth));
    let mut number = 0;
    for above in [true, false] {
        let count = 1 + dice.below(3);
        let share = (width - WALL * (count - 1) as f64) / count as f64;
        let deep = dice.mm(2200.0, 3800.0);
        for i in 0..count {
            number += 1;
            let x = (share + WALL) * i as f64;
            let y = if above { depth + WALL } else { -WALL - deep };
            let name = format!("Room {number}");
            let mut made = room(&name, dice, x, y, share, deep);
            if dice.one_in(5) {
                made.covering = Covering::Other("stone".into());
            }
            let boarded = made.covering == Covering::Boards;
            plan.rooms.push(made);
            door(&mut plan, dice, above, width, x, share, boarded, number);
            if boarded && dice.one_in(3) {
                stand(&mut plan, dice, x, y, share, deep, number);
            }
        }
    }
    plan
}

fn stock(plan: &mut Plan, dice: &mut Dice) {
    plan.stock.face_width = dice.mm(120.0, 240.0);
    if dice.one_in(2) {
        plan.stock.ten_boards = Some(plan.stock.face_width * 10.0 + dice.mm(-3.0, 3.0));
    }
    let longest = dice.mm(1800.0, 2400.0);
    plan.stock.lengths = vec![
        BoardLength { length: longest, per_pack: 3 },
        BoardLength { length: longest - dice.mm(200.0, 500.0), per_pack: 1 + dice.below(2) as u32 },
        BoardLength { length: dice.mm(1100.0, 1250.0), per_pack: 1 },
    ];
    plan.stock.end_match = !dice.one_in(4);
    plan.rules.wall_gap = GapRange { least: dice.mm(5.0, 12.0), greatest: 15.0 };
}

fn room(name: &str, dice: &mut Dice, x: f64, y: f64, w: f64, h: f64) -> Room {
    let corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)];
    Room::boarded(name, corners.map(|(x, y)| Point::new(x + dice.mm(-4.0, 4.0), y + dice.mm(-4.0, 4.0))))
}

#[expect(clippy::too_many_arguments)]
fn door(
    plan: &mut Plan,
    dice: &mut Dice,
    above: bool,
    width: f64,
    x: f64,
    share: f64,
    boarded: bool,
    number: usize,
) {
    let opening = dice.mm(700.0, 900.0);
    let from = x + dice.between(120.0, share - opening - 120.0);
    // The hall's upper wall runs from right to left.
    let (wall, at) = if above { (2, width - from - opening) } else { (0, from) };
    let beyond = match dice.below(3) {
        0 if boarded => Beyond::RunThrough,
        1 => Beyond::Trim(dice.mm(10.0, 40.0)),
        _ => Beyond::UnderLeaf,
    };
    plan.doorways.push(Doorway {
        wall_thickness: WALL,
        leaf: Some(Leaf {
            closes_on: if dice.one_in(2) { Side::Near } else { Side::Far },
            thickness: dice.mm(30.0, 44.0),
            above_slab: None,
            slides: false,
        }),
        lining: if dice.one_in(2) { Lining::Fitted } else { Lining::ToCome },
        beyond,
        ..Doorway::plain(format!("Door {number}"), "Hall", wall, at.round(), opening)
    });
}

fn stand(plan: &mut Plan, dice: &mut Dice, x: f64, y: f64, w: f64, h: f64, number: usize) {
    let kind = match dice.below(5) {
        0 => FixtureKind::Island,
        1 => FixtureKind::Column,
        2 => FixtureKind::Vent,
        3 => FixtureKind::Hearth,
        _ => FixtureKind::Kick { clearance: 17.0, tuck: dice.mm(10.0, 40.0) },
    };
    let (wide, deep) = (dice.mm(250.0, (w / 2.0).min(1500.0)), dice.mm(150.0, 800.0));
    let (left, low) = (x + dice.between(200.0, w - wide - 200.0), y + dice.between(400.0, h - deep - 400.0));
    let corners = [(left, low), (left + wide, low), (left + wide, low + deep), (left, low + deep)];
    plan.fixtures.push(Fixture::plain(
        format!("Thing {number}"),
        kind,
        corners.map(|(x, y)| Point::new(x.round(), y.round())).to_vec(),
    ));
}

/// A whole number asked for by an environment variable, or the usual one.
pub fn asked(variable: &str, usual: u64) -> u64 {
    std::env::var(variable).ok().and_then(|count| count.parse().ok()).unwrap_or(usual)
}

/// How many cases a property is tried on: the usual number, or what `PROPTEST_CASES` asks for.
pub fn cases(usual: u32) -> u32 {
    u32::try_from(asked("PROPTEST_CASES", u64::from(usual))).unwrap_or(u32::MAX)
}
