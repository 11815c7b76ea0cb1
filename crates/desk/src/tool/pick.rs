//! What lies under the pointer.

use super::Surroundings;
use crate::canvas::Layer;
use crate::geometry::{doorway_ends, is_inside, is_near, to_segment};
use crate::select::Selected;
use plan::Point;

/// What lies under the pointer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Pick {
    Nothing,
    Flag(usize),
    Corner(usize, usize),
    Wall(usize, usize),
    Doorway(usize),
    Fixture(usize),
    FixtureCorner(usize, usize),
    Joint(usize),
    Dimension(usize),
    /// An end of a joint: the one it starts at, or the other.
    JointEnd(usize, bool),
    Line,
    Board(usize),
    Room(usize),
    /// A length that stands beside something, and the name of its field.
    Figure(Selected, &'static str),
}

impl Pick {
    /// What is selected by a click on it.
    pub(crate) fn selected(self) -> Selected {
        match self {
            Self::Nothing => Selected::Nothing,
            Self::Flag(flag) => Selected::Flag(flag),
            Self::Corner(room, wall) => Selected::Corner(room, wall),
            Self::Wall(room, wall) => Selected::Wall(room, wall),
            Self::Doorway(doorway) => Selected::Doorway(doorway),
            Self::Fixture(fixture) | Self::FixtureCorner(fixture, _) => Selected::Fixture(fixture),
            Self::Joint(joint) | Self::JointEnd(joint, _) => Selected::Joint(joint),
            Self::Dimension(dimension) => Selected::Dimension(dimension),
            Self::Line => Selected::Line,
            Self::Board(board) => Selected::Board(board),
            Self::Room(room) => Selected::Room(room),
            Self::Figure(of, _) => of,
        }
    }
}

/// The thing meant by a pick that goes together with others: of a board, a wall or a corner its room.
pub(super) fn thing(over: Pick, p: Point, around: &Surroundings<'_>) -> Option<Selected> {
    let selected = over.selected();
    if selected.thing().is_some() {
        return Some(selected);
    }
    if let Some(room) = selected.room() {
        return Some(Selected::Room(room));
    }
    let plan = around.plan;
    let room = plan.rooms.iter().position(|room| is_inside(p, room.outline().into_iter().map(|(p, _)| p)));
    room.map(Selected::Room)
}

/// What lies under a point, the smallest things first.
pub(crate) fn pick(p: Point, around: &Surroundings<'_>) -> Pick {
    let pos = around.view.screen_from_plan(p);
    if let Some(placed) = around.placed.iter().find(|placed| placed.rect.contains(pos)) {
        return placed.what;
    }
    let plan = around.plan;
    let reach = around.view.mm(8.0);
    let own_room = around.selected.room();

    let shown = |layer: Layer| !around.hidden.is(layer);
    // Corners of the selected room come first: its neighbours' corners often lie a wall away.
    let near: Vec<usize> = (0..plan.rooms.len()).filter(|r| is_near(&plan.rooms[*r], p, reach)).collect();
    let rooms = || near.iter().map(|r| (*r, &plan.rooms[*r]));
    let corner = rooms()
        .flat_map(|(r, room)| {
            room.walls.iter().enumerate().map(move |(w, wall)| (wall.corner.distance(p), r, w))
        })
        .filter(|(distance, ..)| *distance < reach && shown(Layer::Walls))
        .min_by(|a, b| {
            (own_room != Some(a.1), a.0)
                .partial_cmp(&(own_room != Some(b.1), b.0))
                .unwrap_or(std::cmp::Ordering::Equal)
        });
    if let Some((_, room, wall)) = corner {
        return Pick::Corner(room, wall);
    }
    if let Selected::Fixture(fixture) = around.selected
        && let Some(drawn) = plan.fixtures.get(fixture)
        && let Some(corner) = drawn.outline.iter().position(|corner| corner.distance(p) < reach)
    {
        return Pick::FixtureCorner(fixture, corner);
    }
    if let Selected::Joint(joint) = around.selected
        && let Some(drawn) = plan.joints.get(joint)
        && let Some(is_start) = [(true, drawn.from), (false, drawn.to)]
            .into_iter()
            .find(|(_, end)| end.distance(p) < reach)
            .map(|(is_start, _)| is_start)
    {
        return Pick::JointEnd(joint, is_start);
    }
    if shown(Layer::Dimensions)
        && let Some(dimension) = plan.dimensions.iter().position(|dimension| {
            dimension.line(plan).is_some_and(|(a, b)| to_segment(p, a, b).0 < around.view.mm(5.0))
        })
    {
        return Pick::Dimension(dimension);
    }
    if shown(Layer::Fixtures)
        && let Some(joint) = joint_at(p, around)
    {
        return Pick::Joint(joint);
    }
    let by_doorways = (0..plan.doorways.len()).filter(|_| shown(Layer::Walls));
    let near_names: Vec<&str> = near_doorways(plan, p, reach);
    for doorway in by_doorways.filter(|index| near_names.contains(&plan.doorways[*index].room.as_str())) {
        if let Some((a, b, away)) = doorway_ends(plan, doorway) {
            let half = plan.doorways[doorway].wall_thickness / 2.0;
            let shift = |p: Point| p.moved(away.x * half, away.y * half);
            if to_segment(p, shift(a), shift(b)).0 < half.max(reach) {
                return Pick::Doorway(doorway);
            }
        }
    }
    if around.is_current
        && shown(Layer::SetOut)
        && let Some(line) = around.house.and_then(|house| house.setout.line.as_ref())
        && to_segment(p, line.from, line.to).0 < around.view.mm(6.0)
    {
        return Pick::Line;
    }
    let wall = rooms()
        .flat_map(|(r, room)| (0..room.walls.len()).map(move |w| (r, w, room)))
        .filter_map(|(r, w, room)| {
            let mut points = room.wall_points(w);
            points.push(room.wall_line(w)?.1);
            let distance =
                points.windows(2).map(|ends| to_segment(p, ends[0], ends[1]).0).fold(f64::MAX, f64::min);
            Some((distance, r, w))
        })
        .filter(|(distance, ..)| *distance < around.view.mm(7.0) && shown(Layer::Walls))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((_, room, wall)) = wall {
        return Pick::Wall(room, wall);
    }
    if shown(Layer::Fixtures)
        && let Some(fixture) = plan.fixtures.iter().rposition(|f| is_inside(p, f.outline.iter().copied()))
    {
        // What lies under the boards is picked by its edge, or the boards over it could not be.
        let drawn = &plan.fixtures[fixture];
        let on_edge = (0..drawn.outline.len()).any(|i| {
            let (a, b) = (drawn.outline[i], drawn.outline[(i + 1) % drawn.outline.len()]);
            to_segment(p, a, b).0 < reach
        });
        if !drawn.kind.is_under_boards() || on_edge {
            return Pick::Fixture(fixture);
        }
    }
    if around.is_current
        && shown(Layer::Boards)
        && let Some(board) = board_at(p, around)
    {
        return Pick::Board(board);
    }
    match rooms().find(|(_, room)| is_inside(p, room.outline().into_iter().map(|(p, _)| p))) {
        Some((room, _)) => Pick::Room(room),
        None => Pick::Nothing,
    }
}

/// The rooms in whose walls a doorway at a point may stand: it may lie a wall's thickness beyond.
fn near_doorways(plan: &plan::Plan, p: Point, reach: f64) -> Vec<&str> {
    const THICKEST: f64 = 1000.0;
    let rooms = plan.rooms.iter().filter(|room| is_near(room, p, reach.max(THICKEST)));
    rooms.map(|room| room.name.as_str()).collect()
}

/// A joint under a point: as it lies on the floor, or where it is drawn while it lies on none.
fn joint_at(p: Point, around: &Surroundings<'_>) -> Option<usize> {
    let reach = around.view.mm(6.0);
    let laid = around.house.filter(|_| around.is_current);
    let near = |index: &usize| {
        let drawn = &around.plan.joints[*index];
        let stretches = laid.and_then(|house| Some((house, house.fit.joints.get(*index)?)));
        match stretches.filter(|(_, joint)| !joint.stretches.is_empty()) {
            Some((house, joint)) => joint.stretches.iter().any(|stretch| {
                let [a, b] = [stretch.from, stretch.to].map(|end| house.site.frame.plan_from_row(end));
                to_segment(p, a, b).0 < reach.max(joint.width / 2.0)
            }),
            None => to_segment(p, drawn.from, drawn.to).0 < reach,
        }
    };
    (0..around.plan.joints.len()).find(near)
}

fn board_at(p: Point, around: &Surroundings<'_>) -> Option<usize> {
    let house = around.house?;
    let uv = house.site.frame.row_from_plan(p);
    let as_points = |ring: &[site::Uv]| ring.iter().map(|c| Point::new(c.u, c.v)).collect::<Vec<_>>();
    let here = Point::new(uv.u, uv.v);
    house.floor.boards.iter().position(|board| {
        // Along the rows a few figures tell most boards off.
        let across = board.base - 1.0..=board.base + house.floor.pitch + 1.0;
        (board.along.v != 0.0 || (board.left <= uv.u && uv.u <= board.right && across.contains(&uv.v)))
            && is_inside(here, as_points(&board.outline.outer).into_iter())
            && !board.outline.holes.iter().any(|hole| is_inside(here, as_points(hole).into_iter()))
    })
}
