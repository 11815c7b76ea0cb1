//! Invented floors from 20 m² to 10,000 m², small ones that can be proven, and the sample plans.

use plan::{BoardLength, Doorway, Lining, Plan, Point, Room, StartLine, Stock};
use startrow_tests::{Dice, house};

/// A plan to be laid and measured.
#[derive(Debug, Clone)]
pub struct Instance {
    /// What it is, in a few words.
    pub name: String,
    /// The plan.
    pub plan: Plan,
    /// Whether it is small enough for [`crate::proof::fewest`].
    pub is_small: bool,
}

/// Floor areas of the generated houses, m².
const AREAS: [f64; 6] = [20.0, 60.0, 140.0, 500.0, 2000.0, 10_000.0];
/// Areas from which there is a hall without inner walls too, m².
const HALLS_FROM: f64 = 500.0;
/// Houses of a block stand this far apart, mm: more than any is wide or deep.
const PLOT: f64 = 16_000.0;

/// The sample house.
pub fn sample() -> Plan {
    read(include_str!("../../../sample-plans/hazel-court.ron"))
}

fn read(text: &str) -> Plan {
    plan::read(text).unwrap_or_else(|errors| panic!("a sample plan does not read: {errors:?}"))
}

/// Every instance, small ones first.
pub fn all() -> Vec<Instance> {
    // Of several rooms two: the solver has not ended on the third within minutes.
    let mut all: Vec<Instance> = (1..=12).map(closet).chain((1..=2).map(rooms)).collect();
    let sample_plans = [
        ("sample, one room", read(include_str!("../../../sample-plans/one-room.ron"))),
        ("sample, house", sample()),
    ];
    all.extend(sample_plans.map(|(name, plan)| Instance { name: name.into(), plan, is_small: false }));
    for area in AREAS {
        for (word, stock) in [("one length", one_length()), ("three lengths", Stock::default())] {
            let name = format!("{} of {area} m², {word}", if area < 30.0 { "room" } else { "houses" });
            let plan = if area < 30.0 { room(area, stock) } else { houses(area, stock) };
            all.push(Instance { name, plan, is_small: false });
        }
        if area >= HALLS_FROM {
            let plan = room(area, one_length());
            all.push(Instance { name: format!("hall of {area} m², one length"), plan, is_small: false });
        }
    }
    all
}

fn one_length() -> Stock {
    Stock { lengths: vec![BoardLength { length: 2200.0, per_pack: 6 }], ..Stock::default() }
}

fn rectangle(name: &str, w: f64, h: f64) -> Room {
    Room::boarded(name, [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| Point::new(x, y)))
}

/// A closet of two to five whole rows, each longer than one board.
fn closet(seed: u64) -> Instance {
    let dice = &mut Dice::new(seed);
    let length = dice.mm(160.0, 240.0) * 10.0;
    let rows = 2 + dice.below(4);
    let gap = 10.0;
    let width = length * dice.between(1.1, 3.4);
    let mut plan = Plan::new(format!("closet {seed}"));
    plan.seed = seed;
    plan.stock = Stock { lengths: vec![BoardLength { length, per_pack: 6 }], ..Stock::default() };
    plan.start_line = StartLine::At(gap);
    let depth = 2.0 * gap + rows as f64 * plan.stock.pitch();
    plan.rooms.push(rectangle("Closet", width.round(), depth));
    Instance { name: format!("closet {seed}, {rows} rows"), plan, is_small: true }
}

/// Two or three rooms of two to four rows, side by side and laid from one stock: every other time with doorways through
/// which two or three rows run on, and now and then with a last row ripped to more than half.
fn rooms(seed: u64) -> Instance {
    let dice = &mut Dice::new(100 + seed);
    let length = dice.mm(160.0, 240.0) * 10.0;
    let (count, rows) = (2 + dice.below(2), 2 + dice.below(3));
    let (gap, wall) = (10.0, 92.0);
    let mut plan = Plan::new(format!("rooms {seed}"));
    plan.seed = seed;
    plan.stock = Stock { lengths: vec![BoardLength { length, per_pack: 6 }], ..Stock::default() };
    plan.start_line = StartLine::At(gap);
    let pitch = plan.stock.pitch();
    let rip = if dice.one_in(3) { (pitch * dice.between(0.6, 0.9)).round() } else { 0.0 };
    let depth = 2.0 * gap + rows as f64 * pitch + rip;
    let are_joined = seed.is_multiple_of(2);
    let mut x = 0.0;
    for number in 1..=count {
        let width = (length * dice.between(1.1, 2.6)).round();
        let corners = [(x, 0.0), (x + width, 0.0), (x + width, depth), (x, depth)];
        let name = format!("Room {number}");
        plan.rooms.push(Room::boarded(&*name, corners.map(|(x, y)| Point::new(x, y))));
        if are_joined && number < count {
            // A doorway is at least two rows wide.
            let through = 2 + dice.below(2.min(rows - 1));
            let first = dice.below(rows + 1 - through);
            plan.doorways.push(Doorway {
                wall_thickness: wall,
                lining: Lining::Fitted,
                ..Doorway::plain(
                    format!("Doorway {number}"),
                    name,
                    1,
                    first as f64 * pitch,
                    2.0 * gap + through as f64 * pitch,
                )
            });
        }
        x += width + wall;
    }
    let joined = if are_joined { "joined" } else { "apart" };
    let all = if rip > 0.0 { rows + 1 } else { rows };
    Instance { name: format!("rooms {seed}: {count} of {all} rows, {joined}"), plan, is_small: true }
}

/// A room or hall of this area, m², a third longer than wide.
fn room(area: f64, stock: Stock) -> Plan {
    let mut plan = Plan::new(format!("room of {area} m²"));
    plan.stock = stock;
    let wide = (area / 0.75).sqrt() * 1000.0;
    plan.rooms.push(rectangle("Hall", wide.round(), (area * 1.0e6 / wide).round()));
    // A hall this wide needs movement joints; joints and boards are what is measured here.
    plan.rules.greatest_width = plan.rules.greatest_width.max(wide);
    plan.rules.greatest_length = plan.rules.greatest_length.max(wide);
    plan
}

/// A block of invented houses whose floors come to at least this area, m².
fn houses(area: f64, stock: Stock) -> Plan {
    let mut block = Plan::new(format!("houses of {area} m²"));
    block.stock = stock;
    let mut laid = 0.0;
    for number in 1.. {
        let mut one = house(number);
        one.rows_at = block.rows_at;
        laid += site::survey(&one).boarded_area() / 1.0e6;
        let place = number as f64 - 1.0;
        // Rows of ten plots.
        let to = Point::new(PLOT * (place % 10.0), PLOT * (place / 10.0).floor());
        put(&mut block, one, number, to);
        if laid >= area {
            break;
        }
    }
    block
}

/// Puts a house on its plot, its names told apart by its number.
fn put(block: &mut Plan, house: Plan, number: u64, to: Point) {
    let named = |name: &str| format!("{number} {name}");
    for mut room in house.rooms {
        room.name = named(&room.name);
        for wall in &mut room.walls {
            wall.corner = Point::new(wall.corner.x + to.x, wall.corner.y + to.y);
        }
        block.rooms.push(room);
    }
    for mut door in house.doorways {
        door.name = named(&door.name);
        door.room = named(&door.room);
        block.doorways.push(door);
    }
    for mut thing in house.fixtures {
        thing.name = named(&thing.name);
        for corner in &mut thing.outline {
            *corner = Point::new(corner.x + to.x, corner.y + to.y);
        }
        block.fixtures.push(thing);
    }
}
