//! What lies and what comes of it, in the sentences a person would say on site.

use crate::House;
use plan::{Units, format_length};
use setout::{Correction, Drift, MOST_A_ROW};

/// Figures nearer than this are one to a person with a tape, mm.
const SEEN: f64 = 0.5;
/// Edges named besides those that newly fall under the least, where there is little room: the rest is counted.
pub const FEW_EDGES: usize = 6;

/// Pieces of one wall, least and greatest of each figure.
struct Wall {
    place: String,
    rows: i32,
    /// On which side of it the floor lies: a column within one row has a rip on both.
    floor_is_above: bool,
    planned: Rips,
    now: Rips,
    corrected: Rips,
    is_short: bool,
    was_short: bool,
}

/// Rips of a wall's pieces, least and greatest: their wood, and what is seen.
#[derive(Clone, Copy)]
struct Rips {
    wood: (f64, f64),
    seen: (f64, f64),
}

impl Rips {
    fn new(wood: f64, seen: f64) -> Self {
        Self { wood: (wood, wood), seen: (seen, seen) }
    }

    fn and(self, other: Self) -> Self {
        let within = |a: (f64, f64), b: (f64, f64)| (a.0.min(b.0), a.1.max(b.1));
        Self { wood: within(self.wood, other.wood), seen: within(self.seen, other.seen) }
    }

    /// Whether what is seen is the rip itself.
    fn shows(self) -> bool {
        (self.wood.0 - self.seen.0).abs() < SEEN && (self.wood.1 - self.seen.1).abs() < SEEN
    }
}

impl House {
    /// What lies on one side of a start line and what to do about it. Figures are in the plan's units. Every edge that newly
    /// falls under the least is named, and of the others so many, those planned under it first.
    pub fn drift_words(&self, drift: &Drift, others: usize) -> Vec<String> {
        let length = |mm: f64| format_length((mm * 10.0).round() / 10.0, self.plan.units);
        let fine = |mm: f64| match self.plan.units {
            Units::Metric => format_length((mm * 100.0).round() / 100.0, Units::Metric),
            // Rows differ by less than a sixteenth.
            units => plan::format_fine(mm, units),
        };
        let mut said = Vec::new();
        let part = self.plan.laid.as_ref().and_then(|laid| laid.parts.get(drift.part));
        let place = part.map_or("", |part| part.room.as_str());
        let measured = match drift.measured_pitch {
            // What was measured lies on the other side.
            _ if drift.rows_laid == 0 => match (drift.pitch - drift.planned_pitch).abs() < 1e-6 {
                true => format!("the rows to come are {} wide, as planned", fine(drift.pitch)),
                false => format!(
                    "the rows to come are taken to be {} wide, as those that lie measure, where {} was planned",
                    fine(drift.pitch),
                    fine(drift.planned_pitch)
                ),
            },
            Some(pitch) => format!(
                "a row measures {} where {} was planned, and the last one's side lies {}",
                fine(pitch),
                fine(drift.planned_pitch),
                match drift.off {
                    off if off.abs() < SEEN => "where it was planned".to_owned(),
                    off if off > 0.0 => format!("{} too far from the start line", length(off)),
                    off => format!("{} too near the start line", length(-off)),
                }
            ),
            None => "none is measured yet: measure several together, side to side, and type it in".to_owned(),
        };
        let lie = match drift.rows_laid {
            0 => "no row lies yet".to_owned(),
            1 => "1 row lies".to_owned(),
            rows => format!("{rows} rows lie"),
        };
        said.push(format!("{place}, {} from the start line: {lie}; {measured}.", drift.way));
        if drift.edges.is_empty() {
            said.push("No edge along the rows is still to come.".into());
            return said;
        }
        let walls = self.walls(drift);
        let fallen = walls.iter().filter(|wall| wall.is_short && !wall.was_short).count();
        let named = fallen.saturating_add(others).min(walls.len());
        for wall in &walls[..named] {
            let mark = match (wall.is_short, wall.was_short) {
                (true, true) => ", under the least as planned",
                (true, false) => ", under the least",
                _ => "",
            };
            let range = |(least, greatest): (f64, f64)| match length(least) == length(greatest) {
                true => length(least),
                false => format!("{} to {}", length(least), length(greatest)),
            };
            // The wood, as it is cut; what is seen of it in brackets, as in the rings.
            let both = |rips: Rips| match rips.shows() {
                true => range(rips.wood),
                false => format!("{} ({} seen)", range(rips.wood), range(rips.seen)),
            };
            let (planned, now) = (both(wall.planned), both(wall.now));
            let is_as_planned =
                |of: fn(Rips) -> (f64, f64)| (of(wall.planned).0 - of(wall.now).0).abs() < SEEN;
            let gets = match is_as_planned(|rips| rips.wood) && is_as_planned(|rips| rips.seen) {
                true => format!("gets its rip of {now} as planned"),
                false => format!("gets a rip of {now} where {planned} was planned"),
            };
            said.push(format!("{}, {} to come: {gets}{mark}.", wall.place, rows_of(wall.rows)));
        }
        if walls.len() > named {
            let more = walls.len() - named;
            let edges = if more == 1 { "edge" } else { "edges" };
            let under = match walls[named..].iter().filter(|wall| wall.is_short).count() {
                0 => "none under the least that is not named".to_owned(),
                under => format!("{under} of them under the least as planned"),
            };
            said.push(format!("{more} {edges} more, {under}."));
        }
        match (drift.correction, drift.room) {
            (Some(correction), _) => said.extend(self.correction_words(drift, &correction)),
            (None, (nearer, further)) if nearer.is_finite() && further.is_finite() => {
                let (nearer, further) = (length(nearer), length(further));
                said.push(format!(
                    "Nothing is to be corrected: the rows may still end {further} further from the start line, or {nearer} nearer to it, before a rip falls under the least."
                ));
            }
            (None, _) => said.push("Nothing is to be corrected.".into()),
        }
        said
    }

    /// The edges of a side, pieces of one wall together, those under the least first, then the nearest.
    fn walls(&self, drift: &Drift) -> Vec<Wall> {
        let mut walls: Vec<Wall> = Vec::new();
        for edge in &drift.edges {
            let place = self.edge_place(edge.edge).unwrap_or_default();
            let setout::EdgeRef { region, ring, edge: index } = edge.edge;
            let ring = self.site.regions.get(region).and_then(|region| region.rings().nth(ring));
            let floor_is_above =
                ring.and_then(|ring| ring.edges.get(index)).is_some_and(|e| e.floor_is_above());
            let is_it = |wall: &&mut Wall| {
                wall.place == place
                    && wall.rows == edge.rows
                    && wall.floor_is_above == floor_is_above
                    && (wall.is_short, wall.was_short) == (edge.is_short, edge.was_short)
            };
            let [planned, now, corrected] = [
                Rips::new(edge.wood[0], edge.planned),
                Rips::new(edge.wood[1], edge.now),
                Rips::new(edge.wood[2], edge.corrected),
            ];
            match walls.iter_mut().find(is_it) {
                Some(wall) => {
                    wall.planned = wall.planned.and(planned);
                    wall.now = wall.now.and(now);
                    wall.corrected = wall.corrected.and(corrected);
                }
                None => walls.push(Wall {
                    place,
                    rows: edge.rows,
                    floor_is_above,
                    planned,
                    now,
                    corrected,
                    is_short: edge.is_short,
                    was_short: edge.was_short,
                }),
            }
        }
        walls.sort_by_key(|wall| (!wall.is_short || wall.was_short, !wall.is_short));
        walls
    }

    fn correction_words(&self, drift: &Drift, correction: &Correction) -> Vec<String> {
        let length = |mm: f64| format_length((mm * 10.0).round() / 10.0, self.plan.units);
        let fine = |mm: f64| match self.plan.units {
            Units::Metric => format_length((mm * 100.0).round() / 100.0, Units::Metric),
            // Rows differ by less than a sixteenth.
            units => plan::format_fine(mm, units),
        };
        let name = |row: i32| self.floor.row_name(drift.region, row);
        let Correction { by, each, rows, latest, left_short } = *correction;
        let mut said = Vec::new();
        let opens = by > 0.0;
        match latest {
            Some(latest) => {
                let wide =
                    if opens { "wider, its joint left open" } else { "narrower, its joint driven closer" };
                said.push(format!(
                    "Lay the next {}, from row {} on, each {} {wide}: {} in all.",
                    rows_of(rows),
                    name(drift.next_row),
                    fine(each.abs()),
                    length(by.abs())
                ));
                said.push(format!(
                    "Begin at row {} at the latest: from there it is {} a row, the most that is not seen.",
                    name(latest),
                    fine(MOST_A_ROW)
                ));
                if !opens {
                    said.push("Joints can be driven closer only as far as they stand open; boards that measure wider cannot.".into());
                }
            }
            None => said.push(format!(
                "The rows to come would have to end {} {}, and {} can hide no more than {}.",
                length(by.abs()),
                if opens { "further from the start line" } else { "nearer to the start line" },
                rows_of(rows),
                length(MOST_A_ROW * f64::from(rows))
            )),
        }
        // A row can be ripped narrower, not wider; but a pitch less serves every row after it as well.
        let ripped = if opens { by } else { drift.pitch + by };
        if rows > 0 && ripped >= self.plan.rules.least_rip {
            said.push(format!(
                "Or rip one row to come to {}: it loses an edge, so groove it again or set a slip tongue.",
                length(ripped)
            ));
        }
        for wall in self.walls(drift).iter().filter(|wall| wall.is_short && !wall.was_short) {
            let Rips { wood, seen } = wall.corrected;
            let seen =
                if wall.corrected.shows() { String::new() } else { format!(" ({} seen)", length(seen.0)) };
            said.push(format!("{} then gets {}{seen}.", wall.place, length(wood.0)));
        }
        if left_short > 0 {
            let edges =
                if left_short == 1 { "1 edge stays".to_owned() } else { format!("{left_short} edges stay") };
            said.push(format!("{edges} under the least all the same."));
        }
        said
    }
}

fn rows_of(count: i32) -> String {
    if count == 1 { "1 row".into() } else { format!("{count} rows") }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use plan::{Plan, Point, Room};
    use setout::{DriftEdge, EdgeRef};

    /// Eight edges fall under the least, two were planned under it, and three keep it: of few others six, that is all five, or
    /// one, are named beside the eight, which are always named.
    #[test]
    fn what_newly_falls_under_the_least_is_always_named() {
        let mut plan = Plan::new("t");
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)].map(Point::from);
        plan.rooms.push(Room::boarded("Hall", corners));
        let house = crate::run(&plan).unwrap();
        let edge = |rows: i32, planned: f64, now: f64| DriftEdge {
            edge: EdgeRef { region: 0, ring: 0, edge: 0 },
            planned,
            now,
            corrected: now,
            wood: [planned, now, now],
            rows,
            is_short: now < 50.0,
            was_short: planned < 50.0,
        };
        // The nearest edges are none of those that fall.
        let kept = (1..=3).map(|rows| edge(rows, 90.0, 80.0));
        let planned_short = (4..=5).map(|rows| edge(rows, 20.0, 10.0));
        let fallen = (6..=13).map(|rows| edge(rows, 60.0, 40.0));
        let drift = Drift {
            region: 0,
            part: 0,
            is_above: false,
            way: "down the plan",
            rows_laid: 0,
            next_row: -1,
            off: 0.0,
            planned_pitch: 190.0,
            measured_pitch: Some(190.6),
            pitch: 190.6,
            edges: kept.chain(planned_short).chain(fallen).collect(),
            correction: None,
            room: (1.0, 1.0),
        };
        let rips = |others: usize| {
            let said = house.drift_words(&drift, others);
            assert!(said[0].contains("no row lies yet"), "{said:?}");
            let of = |mark: &str| said.iter().filter(|line| line.ends_with(mark)).count();
            let named = said.iter().filter(|line| line.contains("gets a rip of")).count();
            let rest = said.iter().find(|line| line.contains(" more, ")).cloned();
            // Those that fall come first.
            assert!(
                said[1..9].iter().all(|line| line.ends_with("was planned, under the least.")),
                "{said:?}"
            );
            (named, of("under the least as planned."), rest)
        };
        assert_eq!(rips(usize::MAX), (13, 2, None));
        assert_eq!(rips(FEW_EDGES), (13, 2, None));
        let rest = "4 edges more, 1 of them under the least as planned.";
        assert_eq!(rips(1), (9, 2, Some(rest.into())));
        let rest = "2 edges more, none under the least that is not named.";
        assert_eq!(rips(3), (11, 2, Some(rest.into())));
    }

    /// A post within one row, with 60 before it and 40 behind: two rips, not one that runs from 40 to 60.
    #[test]
    fn both_sides_of_a_post_are_told_apart() {
        let mut plan = Plan::new("t");
        let corners = |x: f64, y: f64, wide: f64, high: f64| {
            [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)].map(Point::from)
        };
        plan.rooms.push(Room::boarded("Hall", corners(0.0, 0.0, 4000.0, 3000.0)));
        let post = corners(2000.0, 1500.0, 70.0, 70.0).to_vec();
        plan.fixtures.push(plan::Fixture::plain("Post", plan::FixtureKind::Column, post));
        let house = crate::run(&plan).unwrap();
        let sides = &house.site.regions[0].holes[0].edges;
        let side = |index: usize, planned: f64| DriftEdge {
            edge: EdgeRef { region: 0, ring: 1, edge: index },
            planned,
            now: planned - 6.0,
            corrected: planned,
            wood: [planned, planned - 6.0, planned],
            rows: 5,
            is_short: false,
            was_short: false,
        };
        let along = |above: bool| {
            let is_it = |e: &site::Edge| e.a.v == e.b.v && e.floor_is_above() == above;
            sides.iter().position(is_it).unwrap()
        };
        let drift = Drift {
            region: 0,
            part: 0,
            is_above: true,
            way: "up the plan",
            rows_laid: 0,
            next_row: 0,
            off: 0.0,
            planned_pitch: 190.0,
            measured_pitch: Some(190.6),
            pitch: 190.6,
            edges: vec![side(along(true), 60.0), side(along(false), 40.0)],
            correction: None,
            room: (1.0, 1.0),
        };
        let said = house.drift_words(&drift, usize::MAX);
        let told = |words: &str| said.iter().any(|line| line.starts_with("Post, ") && line.contains(words));
        assert!(told("gets a rip of 54 where 60 was planned"), "{said:?}");
        assert!(told("gets a rip of 34 where 40 was planned"), "{said:?}");
    }
}
