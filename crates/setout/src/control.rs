//! Control lines: the row line snapped again in every room and on both sides of what rows go round, where
//! an error would show when they meet.

use crate::choose::field_of;
use crate::snap::{AS_LONG, CLEAR, Corners, Stretch, choose_pulls, chords, in_pairs, row_lines};
use crate::way::Way;
use crate::{Pull, SetOut};
use plan::{Plan, Point};
use site::{Ring, Site, Source, Uv};

/// A line on the floor this near to another is that line, mm.
const SAME_LINE: f64 = 0.5;

/// Where a control line is snapped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ControlPlace {
    /// In a room.
    Room(usize),
    /// Beside what rows go round, at its end with the least u.
    Before(Source),
    /// At its other end.
    Past(Source),
}

impl ControlPlace {
    /// The place as a person reads it on the plan: `Study`; `Bench, left of it`.
    pub fn name(self, plan: &Plan, site: &Site) -> String {
        let beside = |source: Source, u: f64| {
            format!("{}, {}", source.name(plan), Way::of(site, Uv::new(u, 0.0)).beside())
        };
        match self {
            Self::Room(room) => plan.rooms.get(room).map_or_else(String::new, |r| r.name.clone()),
            Self::Before(source) => beside(source, -1.0),
            Self::Past(source) => beside(source, 1.0),
        }
    }
}

/// A row line snapped again.
#[derive(Debug, Clone, PartialEq)]
pub struct ControlLine {
    /// Where.
    pub place: ControlPlace,
    /// Region it lies in.
    pub region: usize,
    /// Its place across the rows, mm.
    pub v: f64,
    /// One end on the plan.
    pub from: Point,
    /// The other.
    pub to: Point,
    /// Whole rows from the start line, or the region's own, up to it; negative below, 0 for that line itself.
    pub rows: i32,
    /// Up to two pulls that fix it, from corners of the room.
    pub pulls: Vec<Pull>,
}

impl ControlLine {
    /// Where it lies against the line its rows are counted from: `17 rows up the plan`, `the start line`.
    pub fn rows_in_words(&self, site: &Site, set: &SetOut) -> String {
        let own = set.has_own_line(self.region);
        let from = if own { " from the room's own line" } else { "" };
        match self.rows {
            0 if own => "the room's own line".into(),
            0 => "the start line".into(),
            rows => {
                let word = match (set.along, rows.abs()) {
                    (None, 1) => "row",
                    (None, _) => "rows",
                    (Some(_), 1) => "axis line",
                    (Some(_), _) => "axis lines",
                };
                let way = Way::of(site, Uv::new(0.0, f64::from(rows.signum()))).along();
                format!("{} {word} {way}{from}", rows.abs())
            }
        }
    }
}

impl SetOut {
    /// v of the line that a region's rows are counted from, mm.
    pub fn line_of(&self, region: usize) -> f64 {
        self.region_lines.get(region).copied().unwrap_or(self.chosen.offset)
    }

    /// How far a region's row lines lie beside the shared ones because of movement joints, mm.
    pub fn shift_of(&self, region: usize) -> f64 {
        self.shifts.get(region).copied().unwrap_or(0.0)
    }

    /// The line of a region where it would lie if no movement joint had moved its rows on, mm.
    pub(crate) fn line_as_shared(&self, region: usize) -> f64 {
        self.line_of(region) - self.shift_of(region)
    }

    /// Whether a region's rows lie on other lines than the start line's, for another reason than a movement joint.
    pub fn has_own_line(&self, region: usize) -> bool {
        let off = (self.line_as_shared(region) - self.chosen.offset).rem_euclid(self.pitch);
        off.min(self.pitch - off) > 1e-6
    }

    /// Whether boards lie from the line in use: it is no more to be chosen, nor can it be snapped out of its place.
    pub fn line_lies(&self) -> bool {
        (0..self.laid.len()).any(|region| self.laid[region].is_some() && !self.has_own_line(region))
    }
}

/// The control lines of a set-out: one in each boarded room, then two at each hole that parts rows.
///
/// In a room it is the row line that lies longest; of those as long within 3 % the start line itself, else
/// the one nearest the middle that can be pulled from two corners of the room. At a hole that at least two
/// row lines run into, it is the last of them from the start line on: there the rows that went round meet.
pub fn control_lines(plan: &Plan, site: &Site, set: &SetOut) -> Vec<ControlLine> {
    let field = field_of(plan, site);
    let site = field.as_ref();
    let corners = Corners::new(plan, site);
    let rooms = (0..plan.rooms.len()).filter(|room| plan.rooms[*room].is_boarded());
    let mut lines: Vec<ControlLine> =
        rooms.filter_map(|room| in_room(plan, site, set, &corners, room)).collect();
    for (index, region) in site.regions.iter().enumerate() {
        for hole in &region.holes {
            lines.extend(beside(site, set, &corners, index, hole));
        }
    }
    lines
}

fn in_room(plan: &Plan, site: &Site, set: &SetOut, corners: &Corners, room: usize) -> Option<ControlLine> {
    let outline: Vec<Uv> =
        plan.rooms[room].outline().iter().map(|(p, _)| site.frame.row_from_plan(*p)).collect();
    let mut stretches: Vec<Stretch> = Vec::new();
    for (region, r) in site.regions.iter().enumerate() {
        for v in row_lines(r, &set.row_lines(region)) {
            let inside = chords_of(&outline, v);
            if inside.is_empty() {
                continue;
            }
            let longest =
                common(&chords(r, v), &inside).into_iter().max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
            stretches.extend(longest.map(|(left, right)| Stretch { region, v, left, right }));
        }
    }
    // A shorter stretch has no room for a tape at both ends.
    stretches.retain(|s| s.length() > 2.0 * CLEAR);
    let longest = stretches.iter().map(Stretch::length).fold(0.0, f64::max);
    stretches.retain(|s| s.length() >= AS_LONG * longest);
    let middle = (stretches.first()?.v + stretches.last()?.v) / 2.0;
    let is_start = |s: &Stretch| (s.v - set.line_of(s.region)).abs() < SAME_LINE;
    stretches.sort_by(|a, b| {
        let off = |s: &Stretch| (s.v - middle).abs();
        is_start(b).cmp(&is_start(a)).then(off(a).total_cmp(&off(b)))
    });
    let pulls = |line: &Stretch| {
        let mut corners = corners.reaching(site, line);
        corners.retain(|corner| corner.room == room);
        choose_pulls(site, line, &corners).0
    };
    let mut first: Option<(Stretch, Vec<Pull>)> = None;
    for line in &stretches {
        let found = pulls(line);
        let enough = found.len() >= 2;
        if first.as_ref().is_none_or(|(_, pulls)| found.len() > pulls.len()) {
            first = Some((*line, found));
        }
        if enough {
            break;
        }
    }
    let (line, pulls) = first?;
    Some(control(site, set, ControlPlace::Room(room), &line, pulls))
}

fn beside(site: &Site, set: &SetOut, corners: &Corners, region: usize, hole: &Ring) -> Vec<ControlLine> {
    let corners_of = hole.edges.iter().map(|edge| edge.a).collect::<Vec<_>>();
    let start = set.line_of(region);
    let crossing: Vec<(f64, (f64, f64))> = row_lines(&site.regions[region], &set.row_lines(region))
        .into_iter()
        .filter_map(|v| {
            let inside = chords_of(&corners_of, v);
            Some((v, (inside.first()?.0, inside.last()?.1)))
        })
        .collect();
    if crossing.len() < 2 {
        return Vec::new();
    }
    let far = crossing.iter().max_by(|a, b| (a.0 - start).abs().total_cmp(&(b.0 - start).abs()));
    let (Some(&(v, (left, right))), Some(edge)) = (far, hole.edges.first()) else { return Vec::new() };
    let floor = chords(&site.regions[region], v);
    let before = floor.iter().find(|c| (c.1 - left).abs() < SAME_LINE).map(|c| (*c, true));
    let past = floor.iter().find(|c| (c.0 - right).abs() < SAME_LINE).map(|c| (*c, false));
    let mut lines = Vec::new();
    for ((left, right), is_before) in [before, past].into_iter().flatten() {
        let line = Stretch { region, v, left, right };
        if line.length() <= 2.0 * CLEAR {
            continue;
        }
        let pulls = choose_pulls(site, &line, &corners.reaching(site, &line)).0;
        let place =
            if is_before { ControlPlace::Before(edge.source) } else { ControlPlace::Past(edge.source) };
        lines.push(control(site, set, place, &line, pulls));
    }
    lines
}

fn control(site: &Site, set: &SetOut, place: ControlPlace, line: &Stretch, pulls: Vec<Pull>) -> ControlLine {
    let [from, to] = line.ends(site);
    let rows = set.row_lines(line.region).place(line.v).round() as i32;
    ControlLine { place, region: line.region, v: line.v, from, to, rows, pulls }
}

/// Stretches of the line at `v` inside a closed outline, left to right.
fn chords_of(outline: &[Uv], v: f64) -> Vec<(f64, f64)> {
    let sides = outline.iter().zip(outline.iter().cycle().skip(1));
    let crossed = sides.filter(|(a, b)| (a.v <= v) != (b.v <= v));
    in_pairs(crossed.map(|(a, b)| a.u + (b.u - a.u) * (v - a.v) / (b.v - a.v)).collect())
}

/// What two lists of stretches have in common.
fn common(a: &[(f64, f64)], b: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let shared = |p: &(f64, f64), q: &(f64, f64)| (p.0.max(q.0), p.1.min(q.1));
    a.iter().flat_map(|p| b.iter().map(move |q| shared(p, q))).filter(|c| c.1 > c.0).collect()
}

impl ControlLine {
    /// How a line with one pull gets its second point, `length` saying lengths; none where two pulls fix it.
    pub fn second_point(&self, set: &SetOut, length: impl Fn(f64) -> String) -> Option<String> {
        if self.pulls.len() != 1 {
            return None;
        }
        let away = (self.v - set.line_of(self.region)).abs();
        Some(match self.rows {
            0 => "for a second point carry the start line on".to_owned(),
            _ => format!(
                "for a second point measure {} square from the start line, or from a control line as many rows off",
                length(away)
            ),
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::set_out;
    use plan::{Fixture, FixtureKind, Room};

    fn plan(rooms: &[(&str, [f64; 4])]) -> Plan {
        let mut plan = Plan::new("t");
        plan.stock.face_width = 200.0;
        for (name, [x, y, w, h]) in rooms {
            let corners = [(*x, *y), (x + w, *y), (x + w, y + h), (*x, y + h)];
            plan.rooms.push(Room::boarded(*name, corners.map(|(x, y)| Point::new(x, y))));
        }
        plan
    }

    fn controls(plan: &Plan) -> (SetOut, Vec<ControlLine>) {
        let site = site::survey(plan);
        let set = set_out(plan, &site);
        let lines = control_lines(plan, &site, &set);
        (set, lines)
    }

    #[test]
    fn the_start_line_is_its_own_rooms_control_line() {
        let plan = plan(&[("Hall", [0.0, 0.0, 4000.0, 2120.0])]);
        let (set, lines) = controls(&plan);
        assert_eq!(lines.len(), 1);
        assert_eq!((lines[0].rows, lines[0].pulls.len()), (0, 2));
        assert!((lines[0].v - set.line.unwrap().v).abs() < 1e-9);
    }

    #[test]
    fn every_control_line_is_whole_rows_off_and_pulled_from_its_own_room() {
        // Two rooms that touch: one floor, the upper one too far from the start line for a tape.
        let plan = plan(&[("Hall", [0.0, 0.0, 6000.0, 1500.0]), ("Den", [0.0, 1500.0, 3000.0, 4000.0])]);
        let (set, lines) = controls(&plan);
        assert_eq!(lines.len(), 2);
        for (line, room) in lines.iter().zip(0..) {
            assert_eq!(line.place, ControlPlace::Room(room));
            assert!((line.v - set.line_of(0) - f64::from(line.rows) * 200.0).abs() < 1e-9);
            assert_eq!(line.pulls.len(), 2);
            for pull in &line.pulls {
                assert_eq!(pull.room, room);
                // A tape from the corner square to the rows, which run along x here.
                assert!((pull.distance - (pull.corner.y - line.v).abs()).abs() < 1e-9);
                assert_eq!(pull.corner, plan.rooms[room].walls[pull.wall].corner);
            }
        }
        assert!(lines[1].rows > 0);
    }

    #[test]
    fn rows_that_go_round_an_island_have_a_line_on_both_sides() {
        let mut plan = plan(&[("Kitchen", [0.0, 0.0, 5000.0, 4000.0])]);
        let outline = [(2000.0, 2500.0), (3000.0, 2500.0), (3000.0, 3300.0), (2000.0, 3300.0)];
        plan.fixtures.push(Fixture::plain(
            "Island",
            FixtureKind::Island,
            outline.map(|(x, y)| Point::new(x, y)).to_vec(),
        ));
        let (set, lines) = controls(&plan);
        let beside: Vec<&ControlLine> =
            lines.iter().filter(|l| !matches!(l.place, ControlPlace::Room(_))).collect();
        assert_eq!(beside.len(), 2);
        assert_eq!(beside[0].v, beside[1].v);
        // With its gap of 10 it reaches to 3310: the last row line before that, from a start line below it.
        assert!(set.line_of(0) < 2490.0);
        assert!(beside[0].v < 3310.0 && beside[0].v + 200.0 >= 3310.0, "{}", beside[0].v);
        let site = site::survey(&plan);
        assert_eq!(beside[0].place.name(&plan, &site), "Island, left of it");
        assert_eq!(beside[1].place.name(&plan, &site), "Island, right of it");
        assert!((beside[0].to.x - 1990.0).abs() < 1e-6 && (beside[1].from.x - 3010.0).abs() < 1e-6);
        assert!(beside.iter().all(|line| !line.pulls.is_empty()));
    }

    /// A wide hall above the kitchen has the start line; the last row line that crosses the island, seen from there, is
    /// the lowest: with its gap of 10 the island begins at 690.
    #[test]
    fn below_the_start_line_the_last_row_line_before_an_island_ends_is_the_lowest() {
        let mut plan =
            plan(&[("Kitchen", [0.0, 0.0, 5000.0, 3000.0]), ("Hall", [-3000.0, 3000.0, 11_000.0, 1500.0])]);
        let outline = [(2000.0, 700.0), (3000.0, 700.0), (3000.0, 1500.0), (2000.0, 1500.0)];
        plan.fixtures.push(Fixture::plain(
            "Island",
            FixtureKind::Island,
            outline.map(|(x, y)| Point::new(x, y)).to_vec(),
        ));
        let (set, lines) = controls(&plan);
        assert!(set.line_of(0) > 1510.0);
        let mut beside = lines.iter().filter(|line| !matches!(line.place, ControlPlace::Room(_)));
        let (Some(left), Some(right), None) = (beside.next(), beside.next(), beside.next()) else {
            panic!("{lines:?}")
        };
        assert_eq!(left.v, right.v);
        assert!(left.v > 690.0 && left.v - 200.0 <= 690.0, "{}", left.v);
    }

    #[test]
    fn a_line_with_one_pull_says_how_its_second_point_is_found() {
        let plan = plan(&[("Hall", [0.0, 0.0, 6000.0, 1500.0]), ("Den", [0.0, 1500.0, 3000.0, 4000.0])]);
        let (set, lines) = controls(&plan);
        let said = |line: &ControlLine| line.second_point(&set, |mm| format!("{mm:.0}"));
        assert_eq!(lines.iter().filter_map(said).count(), 0, "two pulls fix a line");
        let one = ControlLine { pulls: lines[1].pulls[..1].to_vec(), ..lines[1].clone() };
        // So many whole rows of 200.
        let away = format!("measure {} square from the start line", one.rows * 200);
        assert!(said(&one).is_some_and(|how| how.contains(&away)), "{:?}", said(&one));
    }

    #[test]
    fn a_column_within_a_row_needs_none() {
        let mut plan = plan(&[("Kitchen", [0.0, 0.0, 5000.0, 4000.0])]);
        let outline = [(2000.0, 2500.0), (2100.0, 2500.0), (2100.0, 2600.0), (2000.0, 2600.0)];
        plan.fixtures.push(Fixture::plain(
            "Post",
            FixtureKind::Column,
            outline.map(|(x, y)| Point::new(x, y)).to_vec(),
        ));
        assert_eq!(controls(&plan).1.len(), 1);
    }
}
