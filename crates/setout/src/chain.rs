//! The measured lengths between the pulls of a line and each edge: the tape errors that add up there.
//!
//! A plan is a net of measured lengths. Going from a pull's corner to an edge along walls, through doorways
//! and to fixtures, each length may be out by as much as the tape is; what counts is its part across the
//! rows. The way along which least adds up is the one a careful person would take.

use crate::tooth::Tooth;
use plan::{Beyond, Bounds, Boxes, Places, Plan, Point};
use site::{Edge, EdgeKind, Frame, Site, Source};
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Corners of two rooms nearer than this are one corner, mm: below what is drawn on purpose, above rounding.
const TOUCH: f64 = 2.0;
/// A length whose part across the rows is less than this adds nothing a person would look for.
const COUNTS: f64 = 0.1;

/// A measured length; indices into the plan's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// The pull from a corner of a room to the line; the wall starts at the corner.
    Pull {
        /// Room.
        room: usize,
        /// Wall.
        wall: usize,
    },
    /// The length of a wall.
    Wall {
        /// Room.
        room: usize,
        /// Wall.
        wall: usize,
    },
    /// How far a wall stands back from its straight line.
    Bow {
        /// Room.
        room: usize,
        /// Wall.
        wall: usize,
    },
    /// The thickness of the wall a doorway goes through, or where in it the boards end.
    Thickness(usize),
    /// The distance of a doorway from its wall's corner.
    DoorwayPlace(usize),
    /// The same on the far side.
    FarPlace(usize),
    /// The width of a doorway.
    DoorwayWidth(usize),
    /// The distance of a fixture from the nearest wall.
    FixturePlace(usize),
    /// Where a movement joint is marked.
    JointPlace(usize),
    /// The length of a fixture's side.
    FixtureSide {
        /// Fixture.
        fixture: usize,
        /// Side, from its corner of the same number.
        side: usize,
    },
    /// Where one room's corner meets another's wall.
    Meeting {
        /// Room whose wall is met.
        room: usize,
        /// The wall.
        wall: usize,
    },
}

impl Measure {
    /// What is to be measured, in words: `the length of Hall, wall 3`.
    pub fn name(self, plan: &Plan) -> String {
        let wall = |room: usize, wall: usize| Source::Wall { room, wall }.name(plan);
        let door = |index: usize| Source::Doorway(index).name(plan);
        let fixture = |index: usize| Source::Fixture(index).name(plan);
        match self {
            Self::Pull { room, wall } => {
                let name = plan.rooms.get(room).map_or("", |r| r.name.as_str());
                format!("the pull from {name}, corner {}", wall + 1)
            }
            Self::Wall { room, wall: index } => format!("the length of {}", wall(room, index)),
            Self::Bow { room, wall: index } => format!("the bow of {}", wall(room, index)),
            Self::Thickness(index) => format!("the wall's thickness at {}", door(index)),
            Self::DoorwayPlace(index) => format!("the distance of {} from its corner", door(index)),
            Self::FarPlace(index) => format!("the distance of {} from the far room's corner", door(index)),
            Self::DoorwayWidth(index) => format!("the width of {}", door(index)),
            Self::FixturePlace(index) => format!("the distance of {} from the wall", fixture(index)),
            Self::JointPlace(index) => format!("the place of {}", Source::Joint(index).name(plan)),
            Self::FixtureSide { fixture: index, side } => {
                format!("the length of {}, side {}", fixture(index), side + 1)
            }
            Self::Meeting { room, wall: index } => {
                format!("the distance along {} to the next room's corner", wall(room, index))
            }
        }
    }
}

/// A measured length on the way to an edge, with the part of its error that moves the edge across the rows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// What is measured.
    pub measure: Measure,
    /// Part of the error across the rows, 0 to 1.
    pub part: f64,
}

/// The way from a pull to an edge.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Chain {
    /// How many times the error of one length the edge may be out across the rows.
    pub factor: f64,
    /// The lengths on the way that matter, from the pull on.
    pub steps: Vec<Step>,
}

/// The net of a plan's measured lengths; its nodes are corners.
pub(crate) struct Net<'a> {
    plan: &'a Plan,
    frame: Frame,
    places: Places<'a>,
    /// First node of each room; a room's nodes are its corners.
    rooms: Vec<usize>,
    fixtures: Vec<usize>,
    links: Vec<Link>,
    /// The links at each node.
    beside: Vec<Vec<usize>>,
}

/// The shortest ways through the net from the corners of some pulls.
pub(crate) struct Chains<'n, 'a> {
    net: &'n Net<'a>,
    reached: Vec<f64>,
    came: Vec<Came>,
}

/// The last part of the way to a node.
#[derive(Debug, Clone, Copy)]
enum Came {
    /// None was found.
    Nowhere,
    /// Straight from the line.
    Pull(Measure),
    /// From another node by a link.
    By { from: usize, link: usize },
}

/// Two nodes, and the lengths measured between them.
type Link = (usize, usize, Vec<Step>);

/// A node to go on from; the nearest is the greatest, of those as near the first.
#[derive(PartialEq)]
struct Open {
    reached: f64,
    node: usize,
}

impl Eq for Open {}

impl Ord for Open {
    fn cmp(&self, other: &Self) -> Ordering {
        other.reached.total_cmp(&self.reached).then_with(|| other.node.cmp(&self.node))
    }
}

impl PartialOrd for Open {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<'a> Net<'a> {
    pub(crate) fn new(plan: &'a Plan, site: &Site) -> Self {
        let mut nodes = 0;
        let mut number = |count: usize| {
            nodes += count;
            nodes - count
        };
        let rooms: Vec<usize> = plan.rooms.iter().map(|room| number(room.walls.len())).collect();
        let fixtures: Vec<usize> = plan.fixtures.iter().map(|f| number(f.outline.len())).collect();
        let (frame, places) = (site.frame, Places::new(plan));
        let mut net = Self { plan, frame, places, rooms, fixtures, links: Vec::new(), beside: Vec::new() };
        net.links = net.measured();
        net.beside = vec![Vec::new(); nodes];
        for (index, (a, b, _)) in net.links.iter().enumerate() {
            net.beside[*a].push(index);
            net.beside[*b].push(index);
        }
        net
    }

    /// The part across the rows of a step from `a` to `b`.
    fn across(&self, a: Point, b: Point) -> f64 {
        let length = a.distance(b);
        let rise = self.frame.row_from_plan(b).v - self.frame.row_from_plan(a).v;
        if length > 0.0 { (rise / length).abs().min(1.0) } else { 0.0 }
    }

    /// The part across the rows of a length along a unit vector of the plan.
    fn part(&self, along: Point) -> f64 {
        self.across(Point::new(0.0, 0.0), along)
    }

    fn measured(&self) -> Vec<Link> {
        let mut links = Vec::new();
        for (room, r) in self.plan.rooms.iter().enumerate() {
            for wall in 0..r.walls.len() {
                let Some((a, b)) = r.wall_line(wall) else { continue };
                let step = Step { measure: Measure::Wall { room, wall }, part: self.across(a, b) };
                let next = (wall + 1) % r.walls.len();
                links.push((self.rooms[room] + wall, self.rooms[room] + next, vec![step]));
            }
        }
        links.extend((0..self.plan.doorways.len()).filter_map(|index| self.doorway_link(index)));
        self.meetings(&mut links);
        for index in 0..self.plan.fixtures.len() {
            self.fixture_links(index, &mut links);
        }
        links
    }

    /// From the corner a doorway is measured from, through the wall, to the far wall's corner.
    fn doorway_link(&self, index: usize) -> Option<Link> {
        let door = &self.plan.doorways[index];
        let near = self.places.room_index(&door.room)?;
        let far = self.places.far_room(door)?;
        let (along, away) = self.plan.rooms[near].wall_axes(door.wall)?;
        let (corner, _) = self.plan.rooms[near].wall_line(door.wall)?;
        let (s, t) = (door.at + door.width / 2.0, door.wall_thickness);
        let middle = corner.moved(along.x * s + away.x * t, along.y * s + away.y * t);
        let far_room = &self.plan.rooms[far];
        let distance =
            |wall: usize| far_room.wall_line(wall).map_or(f64::INFINITY, |(a, b)| to_side(middle, a, b));
        let far_wall = (0..far_room.walls.len()).min_by(|a, b| distance(*a).total_cmp(&distance(*b)))?;
        let (through, beside) = (self.part(away), self.part(along));
        let steps = vec![
            Step { measure: Measure::DoorwayPlace(index), part: beside },
            Step { measure: Measure::Thickness(index), part: through },
            Step { measure: Measure::FarPlace(index), part: beside },
        ];
        Some((self.rooms[near] + door.wall, self.rooms[far] + far_wall, steps))
    }

    /// Rooms that touch with nothing between.
    fn meetings(&self, links: &mut Vec<Link>) {
        let rooms = &self.plan.rooms;
        let walls: Vec<(usize, usize, Point, Point)> = rooms
            .iter()
            .enumerate()
            .flat_map(|(room, r)| {
                (0..r.walls.len()).filter_map(move |wall| r.wall_line(wall).map(|(a, b)| (room, wall, a, b)))
            })
            .collect();
        let bounds = |points: &[Point]| Bounds::of(points.iter().map(|p| [p.x, p.y]));
        let near = Boxes::new(walls.iter().map(|(_, _, from, to)| bounds(&[*from, *to])));
        for (a, room) in rooms.iter().enumerate() {
            for (i, wall) in room.walls.iter().enumerate() {
                let Some(around) = bounds(&[wall.corner]) else { continue };
                for met in near.meeting(around.grown(2.0 * TOUCH)) {
                    let (b, j, from, to) = walls[met];
                    if b == a || to_side(wall.corner, from, to) > TOUCH {
                        continue;
                    }
                    let part = if wall.corner.distance(from) <= TOUCH { 0.0 } else { self.across(from, to) };
                    let step = Step { measure: Measure::Meeting { room: b, wall: j }, part };
                    links.push((self.rooms[a] + i, self.rooms[b] + j, vec![step]));
                }
            }
        }
    }

    /// A fixture's sides, and each of its corners from the nearest corner of its room, square to the rows.
    fn fixture_links(&self, index: usize, links: &mut Vec<Link>) {
        let outline = &self.plan.fixtures[index].outline;
        for (side, a) in outline.iter().enumerate() {
            let next = (side + 1) % outline.len();
            let measure = Measure::FixtureSide { fixture: index, side };
            let step = Step { measure, part: self.across(*a, outline[next]) };
            links.push((self.fixtures[index] + side, self.fixtures[index] + next, vec![step]));
        }
        let count = outline.len().max(1) as f64;
        let sum = outline.iter().fold(Point::default(), |s, p| s.moved(p.x, p.y));
        let middle = Point::new(sum.x / count, sum.y / count);
        let holds = |room: &usize| self.plan.rooms[*room].contains(middle);
        let Some(room) = self.places.rooms_near(&[middle]).into_iter().find(holds) else { return };
        for (i, p) in outline.iter().enumerate() {
            let off = |wall: &plan::Wall| {
                (self.frame.row_from_plan(wall.corner).v - self.frame.row_from_plan(*p).v).abs()
            };
            let walls = self.plan.rooms[room].walls.iter().enumerate();
            let Some((wall, distance)) =
                walls.map(|(w, wall)| (w, off(wall))).min_by(|a, b| a.1.total_cmp(&b.1))
            else {
                continue;
            };
            let part = if distance <= TOUCH { 0.0 } else { 1.0 };
            let step = Step { measure: Measure::FixturePlace(index), part };
            links.push((self.rooms[room] + wall, self.fixtures[index] + i, vec![step]));
        }
    }

    /// The corners an edge hangs on, and what is measured from there to it, last first.
    fn ends(&self, edge: &Edge) -> (Vec<usize>, Vec<Step>) {
        let middle = {
            let (a, b) = (self.frame.plan_from_row(edge.a), self.frame.plan_from_row(edge.b));
            a.lerp(b, 0.5)
        };
        match edge.source {
            Source::Wall { room, wall } => {
                let (Some(first), Some(r)) = (self.rooms.get(room), self.plan.rooms.get(room)) else {
                    return (Vec::new(), Vec::new());
                };
                let bowed = r.walls.get(wall).is_some_and(|w| !w.bow.is_empty());
                let across = r.wall_axes(wall).map_or(1.0, |(_, away)| self.part(away));
                let bow = bowed.then_some(Step { measure: Measure::Bow { room, wall }, part: across });
                (vec![first + wall, first + (wall + 1) % r.walls.len().max(1)], bow.into_iter().collect())
            }
            Source::Doorway(index) => self.doorway_ends(index, edge.kind, middle).unwrap_or_default(),
            Source::Fixture(index) => {
                let (Some(first), Some(fixture)) = (self.fixtures.get(index), self.plan.fixtures.get(index))
                else {
                    return (Vec::new(), Vec::new());
                };
                let outline = &fixture.outline;
                let off = |side: usize| to_side(middle, outline[side], outline[(side + 1) % outline.len()]);
                let side = (0..outline.len()).min_by(|a, b| off(*a).total_cmp(&off(*b)));
                let nodes = side.map(|s| vec![first + s, first + (s + 1) % outline.len()]);
                (nodes.unwrap_or_default(), Vec::new())
            }
            // It is marked on the floor, from the line.
            Source::Joint(_) => (Vec::new(), Vec::new()),
        }
    }

    fn doorway_ends(&self, index: usize, kind: EdgeKind, middle: Point) -> Option<(Vec<usize>, Vec<Step>)> {
        let door = self.plan.doorways.get(index)?;
        let room = self.plan.room_index(&door.room)?;
        let (corner, _) = self.plan.rooms[room].wall_line(door.wall)?;
        let (along, away) = self.plan.rooms[room].wall_axes(door.wall)?;
        let mut last = Vec::new();
        if kind == EdgeKind::Jamb {
            let s = (middle.x - corner.x) * along.x + (middle.y - corner.y) * along.y;
            if s > door.at + door.width / 2.0 {
                last.push(Step { measure: Measure::DoorwayWidth(index), part: self.part(along) });
            }
            last.push(Step { measure: Measure::DoorwayPlace(index), part: self.part(along) });
        } else if door.beyond != Beyond::RunThrough || self.places.far_room(door).is_none() {
            last.push(Step { measure: Measure::Thickness(index), part: self.part(away) });
        }
        Some((vec![self.rooms[room] + door.wall], last))
    }
}

impl<'n, 'a> Chains<'n, 'a> {
    /// Shortest ways from pulls at corners given as room and wall (Dijkstra, 1959).
    pub(crate) fn new(net: &'n Net<'a>, pulls: &[(usize, usize)]) -> Self {
        let nodes = net.beside.len();
        let mut ways = Self { net, reached: vec![f64::INFINITY; nodes], came: vec![Came::Nowhere; nodes] };
        for (room, wall) in pulls {
            let corner = net.plan.rooms.get(*room).filter(|r| *wall < r.walls.len());
            let (Some(first), Some(_)) = (net.rooms.get(*room), corner) else { continue };
            ways.reached[first + wall] = 1.0;
            ways.came[first + wall] = Came::Pull(Measure::Pull { room: *room, wall: *wall });
        }
        ways.spread();
        ways
    }

    fn spread(&mut self) {
        let begun = |reached: &f64| reached.is_finite();
        let mut open: BinaryHeap<Open> = self
            .reached
            .iter()
            .enumerate()
            .filter(|(_, reached)| begun(reached))
            .map(|(node, reached)| Open { reached: *reached, node })
            .collect();
        while let Some(Open { reached, node }) = open.pop() {
            // A shorter way has been gone on from already.
            if reached > self.reached[node] {
                continue;
            }
            for link in &self.net.beside[node] {
                let (a, b, steps) = &self.net.links[*link];
                // Summed as walked, so that a way and its figure agree to the last bit.
                let (other, length) = match *a == node {
                    true => (*b, steps.iter().map(|step| step.part).sum::<f64>()),
                    false => (*a, steps.iter().rev().map(|step| step.part).sum::<f64>()),
                };
                let cost = reached + length;
                if cost < self.reached[other] {
                    self.reached[other] = cost;
                    self.came[other] = Came::By { from: node, link: *link };
                    open.push(Open { reached: cost, node: other });
                }
            }
        }
    }

    /// The chain to an edge of the site.
    pub(crate) fn to_edge(&self, site: &Site, tooth: &Tooth) -> Chain {
        let edge = site
            .regions
            .get(tooth.edge.region)
            .and_then(|region| region.rings().nth(tooth.edge.ring))
            .and_then(|ring| ring.edges.get(tooth.edge.edge));
        let Some(edge) = edge else { return Chain::default() };
        let (nodes, last) = self.net.ends(edge);
        let reached = |node: &usize| self.reached.get(*node).copied().unwrap_or(f64::INFINITY);
        // The end of an edge that is out the most decides its narrow end.
        let far = nodes
            .into_iter()
            .filter(|n| reached(n).is_finite())
            .max_by(|a, b| reached(a).total_cmp(&reached(b)));
        let mut steps = last;
        match far {
            None => {
                // Nothing measured leads there: the line is pulled anew from its own walls.
                let measure = match edge.source {
                    Source::Wall { room, wall } => Measure::Pull { room, wall },
                    Source::Doorway(index) => Measure::DoorwayPlace(index),
                    Source::Fixture(index) => Measure::FixturePlace(index),
                    Source::Joint(index) => Measure::JointPlace(index),
                };
                steps.push(Step { measure, part: 1.0 });
            }
            Some(mut node) => loop {
                match self.came[node] {
                    Came::By { from, link } => {
                        let (a, _, between) = &self.net.links[link];
                        match *a == from {
                            true => steps.extend(between.iter().rev()),
                            false => steps.extend(between),
                        }
                        node = from;
                    }
                    Came::Pull(measure) => {
                        steps.push(Step { measure, part: 1.0 });
                        break;
                    }
                    Came::Nowhere => break,
                }
            },
        }
        let factor = steps.iter().map(|step| step.part).sum();
        steps.retain(|step| step.part >= COUNTS);
        steps.reverse();
        Chain { factor, steps }
    }
}

/// Distance from a point to a side, mm.
fn to_side(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let square = dx * dx + dy * dy;
    let t = if square > 0.0 { ((p.x - a.x) * dx + (p.y - a.y) * dy) / square } else { 0.0 };
    p.distance(a.lerp(b, t.clamp(0.0, 1.0)))
}

#[cfg(test)]
mod tests;
