//! The ways of the tape: every measured length of the plan as a link between corners, and the shortest way from the corners of
//! the line's pulls, found by going over all links until nothing gets shorter (Bellman, 1958; Ford, 1956).

use crate::ground::{Ground, Opening, outline, polygon, wall_line};
use crate::plan::Beyond;
use crate::result::Snapped;
use geo::{Contains, Coord, Distance, Euclidean, Line, Point};
use std::collections::BTreeMap;

use super::Scene;

/// Corners nearer than this to another room's wall touch it, mm (docs/rules.md says rooms that touch).
const TOUCH: f64 = 2.0;
/// A length of which less than this goes across the rows is not named.
const NAMED: f64 = 0.1;
/// Ways as long as one another to this are one.
const EXACT: f64 = 1e-9;

/// A length that is measured, and the part of it across the rows.
#[derive(Debug, Clone)]
struct Measured {
    name: String,
    part: f64,
}

/// Two corners, and what is measured between them, from the first to the second.
#[derive(Debug)]
struct Link {
    ends: [usize; 2],
    lengths: Vec<Measured>,
}

/// The measured lengths of a plan.
pub(super) struct Lengths<'a> {
    scene: &'a Scene<'a>,
    links: Vec<Link>,
    nodes: usize,
    /// First node of each room and of each fixture; their corners follow one another.
    rooms: Vec<usize>,
    fixtures: Vec<usize>,
    /// Where the line's pulls start: node, and the pull's name.
    pulls: Vec<(usize, String)>,
    shortest: Vec<f64>,
}

/// An end of the way: the corner it comes to, and what is measured from there to the edge.
#[derive(Debug)]
struct Last {
    /// Corners the edge hangs on: that counts which is out the most.
    corners: Vec<usize>,
    lengths: Vec<Measured>,
    /// Name of the pull where nothing measured leads there.
    alone: String,
}

impl<'a> Lengths<'a> {
    pub(super) fn of(scene: &'a Scene<'a>, line: &Snapped) -> Self {
        let plan = scene.plan;
        let mut nodes = 0;
        let mut first = |count: usize| {
            nodes += count;
            nodes - count
        };
        let rooms: Vec<usize> = plan.rooms.iter().map(|room| first(room.walls.len())).collect();
        let fixtures: Vec<usize> = plan.fixtures.iter().map(|fixture| first(fixture.outline.len())).collect();
        let mut all = Self {
            scene,
            links: Vec::new(),
            nodes,
            rooms,
            fixtures,
            pulls: Vec::new(),
            shortest: Vec::new(),
        };
        all.walls();
        scene.ground.openings.iter().for_each(|opening| all.doorway(&scene.ground, opening));
        all.touching();
        (0..plan.fixtures.len()).for_each(|fixture| all.fixture(fixture));
        for pull in line.pulls.iter().filter(|pull| pull.letter != "C") {
            let corner = all.wall(&format!("{}, wall {}", pull.room, pull.wall));
            let name = format!("the pull from {}, corner {}", pull.room, pull.wall);
            all.pulls.extend(corner.map(|(room, wall)| (all.rooms[room] + wall, name)));
        }
        all.shortest = all.reach_all();
        all
    }

    /// The room and wall, from 0, of the name `Hall, wall 3`.
    fn wall(&self, place: &str) -> Option<(usize, usize)> {
        let (name, number) = place.rsplit_once(", wall ")?;
        let room = self.scene.plan.rooms.iter().position(|room| room.name == name)?;
        let number = number.parse::<usize>().ok()?.checked_sub(1)?;
        (number < self.scene.plan.rooms[room].walls.len()).then_some((room, number))
    }

    fn across(&self, a: Coord, b: Coord) -> f64 {
        let [from, to] = [a, b].map(|p| self.scene.turn.rows([p.x, p.y]));
        let long = Euclidean.distance(Point(a), Point(b));
        if long > 0.0 { ((to.y - from.y) / long).abs().min(1.0) } else { 0.0 }
    }

    fn link(&mut self, ends: [usize; 2], lengths: Vec<Measured>) {
        self.links.push(Link { ends, lengths });
    }

    fn corner(&self, room: usize, wall: usize) -> Coord {
        let walls = &self.scene.plan.rooms[room].walls;
        Coord::from(walls[wall % walls.len()].corner)
    }

    fn walls(&mut self) {
        for (index, room) in self.scene.plan.rooms.iter().enumerate() {
            for wall in 0..room.walls.len() {
                let part = self.across(self.corner(index, wall), self.corner(index, wall + 1));
                let name = format!("the length of {}, wall {}", room.name, wall + 1);
                let ends = [wall, (wall + 1) % room.walls.len()].map(|corner| self.rooms[index] + corner);
                self.link(ends, vec![Measured { name, part }]);
            }
        }
    }

    /// From the corner that a doorway is measured from to the far room's corner, through the wall.
    fn doorway(&mut self, ground: &Ground, opening: &Opening) {
        let (Some(near), Some(far)) = (ground.room_called(&opening.door.room), opening.far) else { return };
        let door = opening.door;
        let middle = opening.at(door.at + door.width / 2.0, door.wall_thickness);
        let off = |wall: usize| {
            Euclidean.distance(&Line::new(self.corner(far, wall), self.corner(far, wall + 1)), &Point(middle))
        };
        let walls = 0..self.scene.plan.rooms[far].walls.len();
        let Some(wall) = walls.min_by(|a, b| off(*a).total_cmp(&off(*b))) else { return };
        let [along, away] = self.axes(opening);
        let lengths = vec![
            Measured { name: format!("the distance of {} from its corner", door.name), part: along },
            Measured { name: format!("the wall's thickness at {}", door.name), part: away },
            Measured {
                name: format!("the distance of {} from the far room's corner", door.name),
                part: along,
            },
        ];
        self.link([self.rooms[near] + door.wall - 1, self.rooms[far] + wall], lengths);
    }

    /// Parts across the rows of lengths along a doorway's wall and through it.
    fn axes(&self, opening: &Opening) -> [f64; 2] {
        let origin = opening.at(0.0, 0.0);
        [opening.at(1000.0, 0.0), opening.at(0.0, 1000.0)].map(|p| self.across(origin, p))
    }

    /// Corners of rooms that touch another room's wall.
    fn touching(&mut self) {
        let rooms = &self.scene.plan.rooms;
        for (index, room) in rooms.iter().enumerate() {
            for corner in 0..room.walls.len() {
                let at = self.corner(index, corner);
                for (other, met) in rooms.iter().enumerate().filter(|(other, _)| *other != index) {
                    for wall in 0..met.walls.len() {
                        let (from, to) = (self.corner(other, wall), self.corner(other, wall + 1));
                        if Euclidean.distance(&Line::new(from, to), &Point(at)) > TOUCH {
                            continue;
                        }
                        let is_corner = Euclidean.distance(Point(at), Point(from)) <= TOUCH;
                        let part = if is_corner { 0.0 } else { self.across(from, to) };
                        let name = format!(
                            "the distance along {}, wall {} to the next room's corner",
                            met.name,
                            wall + 1
                        );
                        self.link(
                            [self.rooms[index] + corner, self.rooms[other] + wall],
                            vec![Measured { name, part }],
                        );
                    }
                }
            }
        }
    }

    /// A fixture's sides, and each of its corners from the corner of its room that is nearest across the rows.
    fn fixture(&mut self, index: usize) {
        let fixture = &self.scene.plan.fixtures[index];
        let count = fixture.outline.len();
        let corners: Vec<Coord> = fixture.outline.iter().copied().map(Coord::from).collect();
        for side in 0..count {
            let part = self.across(corners[side], corners[(side + 1) % count]);
            let name = format!("the length of {}, side {}", fixture.name, side + 1);
            let ends = [side, (side + 1) % count].map(|corner| self.fixtures[index] + corner);
            self.link(ends, vec![Measured { name, part }]);
        }
        let middle = corners.iter().fold(Coord::zero(), |sum, p| sum + *p / count as f64);
        let holds = |room: &&crate::plan::Room| polygon(&outline(room)).contains(&Point(middle));
        let Some(room) = self.scene.plan.rooms.iter().position(|room| holds(&room)) else { return };
        for (number, at) in corners.iter().enumerate() {
            let height = |p: Coord| self.scene.turn.rows([p.x, p.y]).y;
            let off = |wall: &usize| (height(self.corner(room, *wall)) - height(*at)).abs();
            let walls = 0..self.scene.plan.rooms[room].walls.len();
            let Some(wall) = walls.min_by(|a, b| off(a).total_cmp(&off(b))) else { continue };
            let part = if off(&wall) <= TOUCH { 0.0 } else { 1.0 };
            let name = format!("the distance of {} from the wall", fixture.name);
            self.link(
                [self.rooms[room] + wall, self.fixtures[index] + number],
                vec![Measured { name, part }],
            );
        }
    }

    /// How much adds up on the shortest way to each corner.
    fn reach_all(&self) -> Vec<f64> {
        let mut reached = vec![f64::INFINITY; self.nodes];
        self.pulls.iter().for_each(|(node, _)| reached[*node] = 1.0);
        for _ in 0..self.nodes {
            let mut is_done = true;
            for Link { ends: [a, b], lengths } in &self.links {
                let long: f64 = lengths.iter().map(|length| length.part).sum();
                for (from, to) in [(*a, *b), (*b, *a)] {
                    if reached[from] + long < reached[to] - EXACT {
                        (reached[to], is_done) = (reached[from] + long, false);
                    }
                }
            }
            if is_done {
                break;
            }
        }
        reached
    }

    /// What an edge of this kind and name may hang on: a doorway's jambs lie either way of its middle, and any side of a fixture
    /// may be meant.
    fn lasts(&self, edge: &str, place: &str) -> Vec<Last> {
        let plan = self.scene.plan;
        let near = |wall: &str, alone: String, lengths: Vec<Measured>| {
            let (room, number) = self.wall(wall)?;
            let corners = [number, (number + 1) % plan.rooms[room].walls.len()];
            let corners = corners.map(|corner| self.rooms[room] + corner).to_vec();
            Some(Last { corners, lengths, alone })
        };
        if matches!(edge, "wall" | "glazing track" | "cabinets") {
            let bow = self.bow(place);
            let alone = place.replace(", wall ", ", corner ");
            return near(place, format!("the pull from {alone}"), bow.into_iter().collect())
                .into_iter()
                .collect();
        }
        if let Some(opening) = self.scene.ground.openings.iter().find(|opening| opening.door.name == place) {
            let ([along, away], door) = (self.axes(opening), opening.door);
            let measured = |what: &str, part: f64| Measured { name: format!("{what} {place}"), part };
            let from_corner =
                Measured { name: format!("the distance of {place} from its corner"), part: along };
            let alone = from_corner.name.clone();
            let ways = match edge {
                "jamb" => vec![
                    vec![from_corner.clone()],
                    vec![from_corner.clone(), measured("the width of", along)],
                ],
                _ if door.beyond == Beyond::RunThrough && opening.far.is_some() => vec![Vec::new()],
                _ => vec![vec![measured("the wall's thickness at", away)]],
            };
            let Some(room) = self.scene.ground.room_called(&door.room) else { return Vec::new() };
            let last = |lengths| Last {
                corners: vec![self.rooms[room] + door.wall - 1],
                lengths,
                alone: alone.clone(),
            };
            return ways.into_iter().map(last).collect();
        }
        let Some(index) = plan.fixtures.iter().position(|fixture| fixture.name == place) else {
            return Vec::new();
        };
        let count = plan.fixtures[index].outline.len();
        let side = |side: usize| Last {
            corners: [side, (side + 1) % count].map(|corner| self.fixtures[index] + corner).to_vec(),
            lengths: Vec::new(),
            alone: format!("the distance of {place} from the wall"),
        };
        (0..count).map(side).collect()
    }

    /// How far a bowed wall stands back, which is measured besides.
    fn bow(&self, place: &str) -> Option<Measured> {
        let (room, number) = self.wall(place)?;
        let line = wall_line(&self.scene.plan.rooms[room], number);
        let [from, to] = [*line.first()?, *line.last()?];
        let square = Coord { x: to.y - from.y, y: from.x - to.x };
        (line.len() > 2)
            .then(|| Measured { name: format!("the bow of {place}"), part: self.across(from, from + square) })
    }

    /// What adds up on the shortest way to an edge, by each thing that may be meant; least first.
    pub(super) fn factors(&self, edge: &str, place: &str) -> Vec<f64> {
        let factor = |last: &Last| {
            let own: f64 = last.lengths.iter().map(|length| length.part).sum();
            own + self.farther(last).map_or(1.0, |node| self.shortest[node])
        };
        let mut all: Vec<f64> = self.lasts(edge, place).iter().map(factor).collect();
        all.sort_by(f64::total_cmp);
        all
    }

    /// Of the corners an edge hangs on the one that is out the most.
    fn farther(&self, last: &Last) -> Option<usize> {
        let reached = last.corners.iter().copied().filter(|node| self.shortest[*node].is_finite());
        reached.max_by(|a, b| self.shortest[*a].total_cmp(&self.shortest[*b]))
    }

    /// What adds up on the shortest way on which just these lengths are named, in this order, to each thing that may be meant:
    /// of two sides of a fixture the same lengths may be named, where what parts them is too little to be.
    pub(super) fn ways(&self, edge: &str, place: &str, names: &[String]) -> Vec<f64> {
        let ways = self.lasts(edge, place).into_iter().filter_map(|last| {
            let own: f64 = last.lengths.iter().map(|length| length.part).sum();
            let told: Vec<&str> =
                last.lengths.iter().filter(|l| l.part >= NAMED).map(|l| l.name.as_str()).collect();
            let (before, after) = names.split_at_checked(names.len().checked_sub(told.len())?)?;
            if !after.iter().map(String::as_str).eq(told) {
                return None;
            }
            match last.corners.iter().any(|node| self.shortest[*node].is_finite()) {
                // The end that is out as much: names of either may be told where both are.
                true => {
                    let most = self.shortest[self.farther(&last)?];
                    let ends = last.corners.iter().filter(|node| self.shortest[**node] >= most - EXACT);
                    ends.filter_map(|end| self.named(*end, before)).reduce(f64::min).map(|way| way + own)
                }
                false => (before == [last.alone.clone()]).then_some(1.0 + own),
            }
        });
        ways.collect()
    }

    /// The shortest way from a pull to a corner that names just these lengths: over corners, each with how many names are told.
    fn named(&self, end: usize, names: &[String]) -> Option<f64> {
        let (first, rest) = names.split_first()?;
        let mut reached: BTreeMap<(usize, usize), f64> = BTreeMap::new();
        self.pulls.iter().filter(|(_, name)| name == first).for_each(|(node, _)| {
            reached.insert((*node, 0), 1.0);
        });
        let mut open: Vec<(usize, usize)> = reached.keys().copied().collect();
        while let Some((node, told)) = open.pop() {
            let so_far = reached[&(node, told)];
            for Link { ends, lengths } in self.links.iter().filter(|link| link.ends.contains(&node)) {
                let (other, backwards) = if ends[0] == node { (ends[1], false) } else { (ends[0], true) };
                let (mut now, mut long) = (told, so_far);
                let mut fits = true;
                let ordered: Vec<&Measured> =
                    if backwards { lengths.iter().rev().collect() } else { lengths.iter().collect() };
                for length in ordered {
                    long += length.part;
                    if length.part >= NAMED {
                        fits &= rest.get(now) == Some(&length.name);
                        now += 1;
                    }
                }
                let best = reached.get(&(other, now)).copied().unwrap_or(f64::INFINITY);
                if fits && long < best - EXACT {
                    reached.insert((other, now), long);
                    open.push((other, now));
                }
            }
        }
        reached.get(&(end, rest.len())).copied()
    }
}
