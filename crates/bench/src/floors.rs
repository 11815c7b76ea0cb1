//! Invented floors of any size: houses side by side, a wing of rooms joined by doorways, a hall with columns.

use plan::{
    BoardLength, Covering, Doorway, Fixture, FixtureKind, Leaf, Lining, Plan, Point, Room, Side, Stock,
};

/// Space between two houses of a block, mm.
const APART: f64 = 6000.0;
/// Room for the largest house of the block, mm.
const PLOT: f64 = 14_000.0;
/// Inner walls of a wing, mm.
const WALL: f64 = 120.0;
const MM2_PER_M2: f64 = 1.0e6;

/// A kind of floor that grows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Invented houses that stand apart: many small regions.
    Block,
    /// Rooms on both sides of corridors, joined by doorways: one region of many edges.
    Wing,
    /// One hall with a column every eight metres: one region of many holes.
    Hall,
}

impl Kind {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Block, Self::Wing, Self::Hall];

    /// Its name in tables.
    pub fn word(self) -> &'static str {
        match self {
            Self::Block => "block of houses",
            Self::Wing => "wing of rooms",
            Self::Hall => "hall with columns",
        }
    }

    /// The largest floor of this kind that stays within a plan's 2000 rooms, m².
    pub fn largest(self) -> f64 {
        match self {
            Self::Block => 10_000.0,
            Self::Wing | Self::Hall => 100_000.0,
        }
    }

    /// A floor of about `area` m².
    pub fn floor(self, area: f64) -> Plan {
        match self {
            Self::Block => block(area),
            Self::Wing => wing(area),
            Self::Hall => hall(area),
        }
    }
}

/// The boarded rooms' area, m².
pub fn boarded_area(plan: &Plan) -> f64 {
    plan.rooms.iter().filter(|room| room.is_boarded()).map(Room::area).sum::<f64>() / MM2_PER_M2
}

fn started(name: &str) -> Plan {
    let stock = Stock {
        face_width: 185.0,
        lengths: vec![
            BoardLength { length: 2200.0, per_pack: 4 },
            BoardLength { length: 1800.0, per_pack: 1 },
            BoardLength { length: 1200.0, per_pack: 1 },
        ],
        ..Stock::default()
    };
    Plan { stock, ..Plan::new(name) }
}

/// Houses of the tests' kind on plots of their own, as many as give `area` m². All rows run along x.
pub fn block(area: f64) -> Plan {
    let mut plan = started("block");
    let mut boarded = 0.0;
    let across = libm::ceil((area / 60.0).sqrt()).max(1.0) as u64;
    for seed in 0.. {
        let (column, line) = (seed % across, seed / across);
        let house = startrow_tests::house(seed);
        add_house(&mut plan, house, seed, column as f64 * (PLOT + APART), line as f64 * (PLOT + APART));
        boarded = boarded_area(&plan).max(boarded);
        if boarded >= area {
            break;
        }
    }
    plan
}

fn add_house(plan: &mut Plan, house: Plan, number: u64, x: f64, y: f64) {
    let named = |name: &str| format!("{} {name}", number + 1);
    for mut room in house.rooms {
        room.name = named(&room.name);
        room.walls.iter_mut().for_each(|wall| wall.corner = wall.corner.moved(x, y));
        plan.rooms.push(room);
    }
    for mut door in house.doorways {
        (door.name, door.room) = (named(&door.name), named(&door.room));
        plan.doorways.push(door);
    }
    for mut fixture in house.fixtures {
        fixture.name = named(&fixture.name);
        fixture.outline.iter_mut().for_each(|p| *p = p.moved(x, y));
        plan.fixtures.push(fixture);
    }
}

fn rectangle(x: f64, y: f64, w: f64, h: f64) -> [Point; 4] {
    [Point::new(x, y), Point::new(x + w, y), Point::new(x + w, y + h), Point::new(x, y + h)]
}

/// Corridors 2 m wide with rooms of 7 m by 7.5 m on both sides, every door run through, corridors joined at
/// their ends; a floor under 100 m² has smaller rooms.
pub fn wing(area: f64) -> Plan {
    let mut plan = started("wing");
    let (wide, deep) = if area < 100.0 { (2500.0, 3000.0) } else { (7000.0, 7500.0) };
    let corridor = 2000.0;
    let bay = (wide + WALL) * (2.0 * deep + corridor) / MM2_PER_M2;
    let bays = libm::round(area / bay).max(1.0);
    let lines = libm::round((bays / 3.0).sqrt()).max(1.0) as usize;
    let along = libm::ceil(bays / lines as f64) as usize;
    let length = along as f64 * (wide + WALL) - WALL;
    // The spine joins all corridors at their left end.
    let pitch = 2.0 * deep + corridor + 3.0 * WALL;
    if lines > 1 {
        let height = lines as f64 * pitch;
        plan.rooms.push(Room::boarded("Spine", rectangle(-corridor - WALL, -deep, corridor, height)));
    }
    for line in 0..lines {
        let y = line as f64 * pitch;
        let hall = format!("Corridor {}", line + 1);
        plan.rooms.push(Room::boarded(&*hall, rectangle(0.0, y, length, corridor)));
        if lines > 1 {
            plan.doorways.push(door(format!("Corridor door {}", line + 1), &hall, 3, 300.0));
        }
        for place in 0..along {
            let x = place as f64 * (wide + WALL);
            for (above, side) in [(true, "north"), (false, "south")] {
                let name = format!("Room {}-{} {side}", line + 1, place + 1);
                let low = if above { y + corridor + WALL } else { y - WALL - deep };
                plan.rooms.push(Room::boarded(&*name, rectangle(x, low, wide, deep)));
                // The corridor's upper wall runs from right to left.
                let (wall, at) = if above { (2, length - x - 1500.0) } else { (0, x + 600.0) };
                plan.doorways.push(door(format!("Door of {name}"), &hall, wall, at));
            }
        }
    }
    plan
}

fn door(name: String, room: &str, wall: usize, at: f64) -> Doorway {
    Doorway {
        wall_thickness: WALL,
        leaf: Some(Leaf::swinging(Side::Far, 40.0)),
        lining: Lining::Fitted,
        ..Doorway::plain(name, room, wall, at, 900.0)
    }
}

/// One hall half as long again as it is deep, with a column every eight metres.
pub fn hall(area: f64) -> Plan {
    let mut plan = started("hall");
    let depth = (area * MM2_PER_M2 / 1.5).sqrt();
    let width = depth * 1.5;
    plan.rooms.push(Room {
        covering: Covering::Boards,
        ..Room::boarded("Hall", rectangle(0.0, 0.0, width.round(), depth.round()))
    });
    let (columns, lines) = ((width / 8000.0) as usize, (depth / 8000.0) as usize);
    for line in 0..lines {
        for column in 0..columns {
            let (x, y) = (4000.0 + 8000.0 * column as f64, 4000.0 + 8000.0 * line as f64);
            plan.fixtures.push(Fixture::plain(
                format!("Column {}-{}", line + 1, column + 1),
                FixtureKind::Column,
                rectangle(x, y, 400.0, 400.0).to_vec(),
            ));
        }
    }
    plan
}
