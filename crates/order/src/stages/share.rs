//! What belongs to each stage: rooms, boards, stock and what materials are reckoned from.

use crate::materials::Takings;
use lay::{Board, Floor};
use plan::{Beyond, Places, Plan, Point, WallFace};
use site::{Site, Source};
use std::collections::BTreeSet;

/// Corners are looked at this far inside a board, mm: on a wall's line they would lie in either room.
const INSIDE: f64 = 1.0;

/// What a board lies in.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Lies {
    /// Rooms in which its middle or a corner lies.
    pub(super) rooms: Vec<usize>,
    /// Doorways whose throat it lies in or passes.
    pub(super) doorways: Vec<usize>,
}

/// What is opened first for a stage.
pub(super) struct Opened {
    /// Boards of each length, mm, longest first.
    pub(super) boards: Vec<(f64, usize)>,
    /// The packs, by their numbers from 1.
    pub(super) new: Vec<usize>,
    /// Packs opened before of which boards are opened for it, too.
    pub(super) open: Vec<usize>,
}

/// The floor shared out to the stages.
pub(super) struct Share<'a> {
    pub(super) plan: &'a Plan,
    pub(super) places: Places<'a>,
    /// Indices of the plan's stages in the order in which they are laid.
    pub(super) order: Vec<usize>,
    /// For each room the place of its stage in that order.
    pub(super) of_room: Vec<Option<usize>>,
    /// For each board the place of its stage.
    pub(super) stage_of: Vec<Option<usize>>,
    /// For each board what it lies in.
    pub(super) lies: Vec<Lies>,
    frame: site::Frame,
}

impl<'a> Share<'a> {
    pub(super) fn of(plan: &'a Plan, site: &Site, floor: &Floor) -> Self {
        let places = Places::new(plan);
        let mut order: Vec<usize> = (0..plan.stages.len()).collect();
        // A stable sort keeps the plan's order on one day.
        order.sort_by_key(|stage| plan.stages[*stage].day);
        let mut of_room = vec![None; plan.rooms.len()];
        for (place, stage) in order.iter().enumerate() {
            for room in plan.stages[*stage].rooms.iter().filter_map(|name| places.room_index(name)) {
                of_room[room] = Some(place);
            }
        }
        let mut share =
            Self { plan, places, order, of_room, stage_of: Vec::new(), lies: Vec::new(), frame: site.frame };
        share.lies = floor.boards.iter().map(|board| share.lies_in(board)).collect();
        share.stage_of = share.lies.iter().map(|lies| share.stage(lies)).collect();
        share
    }

    /// The outline of a board on the plan.
    pub(super) fn outline(&self, board: &Board) -> Vec<Point> {
        board.outline.outer.iter().map(|p| self.frame.plan_from_row(*p)).collect()
    }

    fn lies_in(&self, board: &Board) -> Lies {
        let outline = self.outline(board);
        let middle = self.frame.plan_from_row(board.middle());
        let near = self.places.rooms_near(&outline);
        let doorways = self.places.doorways_near(&outline);
        let inside = outline.iter().map(|p| {
            let length = p.distance(middle).max(INSIDE);
            p.moved((middle.x - p.x) * INSIDE / length, (middle.y - p.y) * INSIDE / length)
        });
        let points: Vec<Point> = std::iter::once(middle).chain(inside).collect();
        let rooms: Vec<usize> = match near.as_slice() {
            // Most boards have one room about them, and no doorway.
            [only] if doorways.is_empty() => vec![*only],
            _ => near
                .into_iter()
                .filter(|room| points.iter().any(|p| self.plan.rooms[*room].contains(*p)))
                .collect(),
        };
        let is_in = |throat: &[Point; 4]| points.iter().any(|p| contains(throat, *p));
        let doorways = doorways
            .into_iter()
            .filter(|door| {
                let joins = self.rooms_of(*door);
                let passes = joins.len() == 2 && joins.iter().all(|room| rooms.contains(room));
                passes || self.places.throat(*door).is_some_and(is_in)
            })
            .collect();
        Lies { rooms, doorways }
    }

    /// The boarded rooms that a doorway joins: its own, and the far one if boards run through.
    pub(super) fn rooms_of(&self, doorway: usize) -> Vec<usize> {
        let Some(door) = self.plan.doorways.get(doorway) else { return Vec::new() };
        let near = self.places.room_index(&door.room);
        let far = match door.beyond {
            Beyond::RunThrough => self.places.far_room(door),
            Beyond::UnderLeaf | Beyond::Trim(_) => None,
        };
        near.into_iter().chain(far).collect()
    }

    /// Whether each room can be come to from outside over no floor of a stage: by a doorway, or a wall of glass, which may open.
    /// All can where neither leads outside, since it is not known then where one comes in.
    pub(super) fn reached_without(&self, stage: usize) -> Vec<bool> {
        let is_barred = |room: usize| self.of_room[room] == Some(stage);
        let mut beside: Vec<Vec<usize>> = vec![Vec::new(); self.plan.rooms.len()];
        let mut join = |a: usize, b: usize| {
            beside[a].push(b);
            beside[b].push(a);
        };
        let has_glass =
            |room: &usize| self.plan.rooms[*room].walls.iter().any(|wall| wall.face == WallFace::Glazing);
        let mut open: Vec<usize> = (0..self.plan.rooms.len()).filter(has_glass).collect();
        for door in &self.plan.doorways {
            let Some(near) = self.places.room_index(&door.room) else { continue };
            match self.places.far_room(door) {
                Some(far) => join(near, far),
                None => open.push(near),
            }
        }
        // Rooms that are open to each other, by boards that lie in both.
        let shared = self.lies.iter().filter(|lies| lies.rooms.len() > 1);
        shared.for_each(|lies| lies.rooms.windows(2).for_each(|pair| join(pair[0], pair[1])));
        if open.is_empty() {
            return vec![true; beside.len()];
        }
        let mut reached = vec![false; beside.len()];
        while let Some(room) = open.pop() {
            if !reached[room] && !is_barred(room) {
                reached[room] = true;
                open.extend(&beside[room]);
            }
        }
        reached
    }

    fn earliest(&self, rooms: &[usize]) -> Option<usize> {
        rooms.iter().filter_map(|room| self.of_room.get(*room).copied().flatten()).min()
    }

    fn stage(&self, lies: &Lies) -> Option<usize> {
        if !lies.rooms.is_empty() {
            return self.earliest(&lies.rooms);
        }
        let rooms: Vec<usize> = lies.doorways.iter().flat_map(|door| self.rooms_of(*door)).collect();
        self.earliest(&rooms)
    }

    /// The boards of a stage in the order of the floor.
    pub(super) fn boards(&self, place: usize) -> Vec<usize> {
        (0..self.stage_of.len()).filter(|board| self.stage_of[*board] == Some(place)).collect()
    }

    pub(super) fn rooms(&self, place: usize) -> Vec<usize> {
        (0..self.of_room.len()).filter(|room| self.of_room[*room] == Some(place)).collect()
    }

    /// Boarded rooms in no stage.
    pub(super) fn unstaged(&self) -> Vec<usize> {
        let rooms = self.plan.rooms.iter().enumerate();
        rooms.filter(|(i, room)| room.is_boarded() && self.of_room[*i].is_none()).map(|(i, _)| i).collect()
    }

    /// The stage that first takes a piece of each stock board; boards in no stage come last of all.
    fn opens(&self, pieces: &[lay::Piece]) -> Option<usize> {
        pieces.iter().filter_map(|piece| self.stage_of.get(piece.board).copied().flatten()).min()
    }

    /// Boards and packs opened first for a stage, without those that are open for what lies.
    pub(super) fn opened(&self, floor: &Floor, place: usize) -> Opened {
        let mut lengths: Vec<f64> = Vec::new();
        let mut before: BTreeSet<usize> = BTreeSet::new();
        let mut packs: BTreeSet<usize> = BTreeSet::new();
        // What lies was cut from boards whose packs stand open.
        let (open, to_open) = floor.stock.split_at(floor.laid.opened.min(floor.stock.len()));
        before.extend(open.iter().map(|stock| stock.pack));
        for stock in to_open {
            match self.opens(&stock.pieces) {
                Some(first) if first == place => {
                    lengths.push(stock.length);
                    packs.insert(stock.pack);
                }
                Some(first) if first < place => {
                    before.insert(stock.pack);
                }
                _ => {}
            }
        }
        lengths.sort_by(|a, b| b.total_cmp(a));
        let boards = lengths.chunk_by(|a, b| a == b).map(|same| (same[0], same.len())).collect();
        let numbers = |packs: &mut dyn Iterator<Item = &usize>| packs.map(|pack| pack + 1).collect();
        Opened {
            boards,
            new: numbers(&mut packs.difference(&before)),
            open: numbers(&mut packs.intersection(&before)),
        }
    }

    /// Whether a low spot or rebate lies in a stage's rooms.
    pub(super) fn has_fills(&self, place: usize) -> bool {
        let fills = self.plan.fixtures.iter().filter(|fixture| fixture.kind.is_under_boards());
        fills.into_iter().any(|fixture| self.of_point(middle(&fixture.outline)) == Some(place))
    }

    /// The stage of the room in which a point lies.
    fn of_point(&self, at: Point) -> Option<usize> {
        let near = self.places.rooms_near(&[at]);
        let room = near.into_iter().find(|room| self.plan.rooms[*room].contains(at))?;
        self.of_room[room]
    }

    /// What materials are reckoned from in a stage: its boards, the slab by its share of the boards' area, the faces
    /// along its rooms, the hollows in them. What stands in a doorway between two stages is the earlier one's.
    pub(super) fn takings(&self, site: &Site, floor: &Floor, all: &Takings, place: usize) -> Takings {
        let laid = self.boards(place).iter().map(|board| floor.boards[*board].area).sum::<f64>();
        let of_doorway = |doorway: usize| self.earliest(&self.rooms_of(doorway));
        let is_here = |source: Source, at: site::Uv| {
            let stage = match source {
                Source::Wall { room, .. } => self.of_room.get(room).copied().flatten(),
                Source::Doorway(doorway) => of_doorway(doorway),
                Source::Fixture(_) | Source::Joint(_) => self.of_point(site.frame.plan_from_row(at)),
            };
            stage == Some(place)
        };
        let at = |fixture: usize| {
            middle(self.plan.fixtures.get(fixture).map_or(&[][..], |fixture| &fixture.outline))
        };
        Takings {
            laid,
            bare: if all.laid > 0.0 { all.bare * laid / all.laid } else { 0.0 },
            stretches: all.stretches.iter().filter(|s| is_here(s.source, s.at)).cloned().collect(),
            fills: all
                .fills
                .iter()
                .filter(|f| self.of_point(at(f.fixture)) == Some(place))
                .cloned()
                .collect(),
            doorways: all.doorways.iter().copied().filter(|door| of_doorway(*door) == Some(place)).collect(),
        }
    }
}

/// The middle of an outline's corners.
fn middle(outline: &[Point]) -> Point {
    let count = outline.len().max(1) as f64;
    let sum = |m: Point, p: &Point| Point::new(m.x + p.x / count, m.y + p.y / count);
    outline.iter().fold(Point::new(0.0, 0.0), sum)
}

/// Whether a point lies in a quadrangle whose corners go round.
fn contains(corners: &[Point; 4], at: Point) -> bool {
    let side = |i: usize| {
        let (a, b) = (corners[i], corners[(i + 1) % 4]);
        (b.x - a.x) * (at.y - a.y) - (b.y - a.y) * (at.x - a.x)
    };
    let sides = [0, 1, 2, 3].map(side);
    sides.iter().all(|s| *s >= 0.0) || sides.iter().all(|s| *s <= 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The middle of a rectangle 200 by 100 from (30, 40) on.
    #[test]
    fn the_middle_of_corners_is_their_mean() {
        let corners = [(30.0, 40.0), (230.0, 40.0), (230.0, 140.0), (30.0, 140.0)].map(Point::from);
        assert_eq!(middle(&corners), Point::new(130.0, 90.0));
    }

    /// A square of side √5 on its corner (0, 0), turned so that no side runs along an axis.
    #[test]
    fn what_lies_in_a_turned_square_is_told_from_what_lies_beside_it() {
        let corners = [(0.0, 0.0), (2.0, 1.0), (1.0, 3.0), (-1.0, 2.0)].map(Point::from);
        for inside in [(0.5, 1.5), (0.1, 0.2), (1.5, 1.5), (0.9, 2.8), (-0.5, 1.9)] {
            assert!(contains(&corners, inside.into()), "{inside:?}");
        }
        for outside in [(3.0, 3.0), (2.0, 0.0), (1.9, 2.5), (-0.5, 0.5), (0.0, 2.9)] {
            assert!(!contains(&corners, outside.into()), "{outside:?}");
        }
    }
}
