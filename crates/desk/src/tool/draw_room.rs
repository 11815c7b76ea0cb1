//! Drawing a room: corners clicked, or lengths typed in the direction of the pointer.

use super::{Event, Pick, Surroundings, Tool};
use crate::action::{Action, Actions};
use crate::canvas::{Catch, Ghost, Overlay, Snapped, Span};
use crate::command::Command;
use crate::geometry::to_segment;
use crate::select::Selected;
use egui::CursorIcon;
use plan::edit;
use plan::{Plan, Point, format_length, parse_length};

/// A typed last wall that ends this near the first corner closes the room, mm; what is missing is said.
const CLOSES_WITHIN: f64 = 60.0;

/// A room being drawn.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct DrawRoom {
    corners: Vec<Point>,
    typed: String,
    pointer: Option<Snapped>,
    /// Direction chosen by a key, or taken over from the last turn.
    direction: Option<Point>,
    /// Where the hand rested on the screen when the direction was chosen.
    rest: Option<egui::Pos2>,
    trouble: Option<String>,
}

/// Between two rooms behind one wall there may be another of this width, mm: a cupboard. Smaller, and a room begins in what is
/// left of the wall between two others; larger, and a closet is passed over.
const NARROWEST: f64 = 300.0;

/// Walls that meet at less than this, as a sine, have no inner corner that a room could begin in.
const SQUARE_ENOUGH: f64 = 0.5;

/// An angle typed after this stroke is the turn from the wall before, degrees to the left.
const ANGLE: char = '/';

/// How far along a wall's other side from `at` the first free place is, mm, a wall's thickness off the rooms that stand there; 0
/// where the wall, `length` long, has none.
fn past_rooms(plan: &Plan, (at, along, away): (Point, Point, Point), length: f64, thick: f64) -> f64 {
    let on = |p: Point, axis: Point| (p.x - at.x) * axis.x + (p.y - at.y) * axis.y;
    // Where each room meets the line a millimetre beyond the start, along the wall.
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for room in &plan.rooms {
        let outline: Vec<Point> = room.outline().into_iter().map(|(p, _)| p).collect();
        let ends = outline.iter().zip(outline.iter().cycle().skip(1));
        let mut met: Vec<f64> = ends
            .map(|(a, b)| ((on(*a, along), on(*a, away) - 1.0), (on(*b, along), on(*b, away) - 1.0)))
            .filter(|(a, b)| (a.1 > 0.0) != (b.1 > 0.0))
            .map(|(a, b)| a.0 + (b.0 - a.0) * a.1 / (a.1 - b.1))
            .collect();
        met.sort_by(f64::total_cmp);
        taken.extend(met.chunks_exact(2).map(|ends| (ends[0], ends[1])));
    }
    taken.sort_by(|a, b| a.0.total_cmp(&b.0));
    let past = taken.iter().fold(0.0, |past, (from, to)| {
        let leaves_room = *from - thick >= past + NARROWEST;
        if leaves_room || *to <= past { past } else { *to + thick }
    });
    if past + NARROWEST <= length { past } else { 0.0 }
}

impl DrawRoom {
    pub(crate) fn is_typing(&self) -> bool {
        !self.typed.is_empty()
    }

    /// Begins behind a wall: on its other side at its far end, along it, so that the room lies beyond it; past the rooms that
    /// stand there already.
    pub(crate) fn behind(plan: &Plan, room: usize, wall: usize) -> Option<Self> {
        let drawn = plan.rooms.get(room)?;
        let ((a, b), (along, away)) = drawn.wall_line(wall).zip(drawn.wall_axes(wall))?;
        let thick = drawing::body_thickness(plan);
        // Round to the left: the wall is met the other way than from its own room.
        let (start, back) = if drawn.is_anticlockwise() { (b, -1.0) } else { (a, 1.0) };
        let direction = Point::new(along.x * back, along.y * back);
        // At an inner corner the room's own next wall goes on beside the new one: a wall's thickness off that, too.
        let count = drawn.walls.len();
        let next = if back < 0.0 { (wall + 1) % count } else { (wall + count - 1) % count };
        let beside = drawn.wall_axes(next).map_or(0.0, |(_, off)| {
            let (reached, step) =
                (away.x * off.x + away.y * off.y, direction.x * off.x + direction.y * off.y);
            // Of a corner that turns outwards the next wall faces away from where the new one runs.
            if step > SQUARE_ENOUGH && reached < SQUARE_ENOUGH { thick * (1.0 - reached) / step } else { 0.0 }
        });
        let at = start.moved(away.x * thick, away.y * thick);
        let at = at.moved(direction.x * beside, direction.y * beside);
        // Where a room stands behind the wall already, this one begins beyond it.
        let length = a.distance(b) - beside;
        let past = past_rooms(plan, (at, direction, away), length, thick);
        let start = tidy(at.moved(direction.x * past, direction.y * past));
        Some(Self { corners: vec![start], direction: Some(direction), ..Self::default() })
    }

    pub(super) fn is_begun(&self) -> bool {
        self.corners.len() >= 2
    }

    pub(super) fn handle(mut self, event: Event, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        match event {
            Event::Move(p) => {
                let snapped = self.snap(p, around);
                // A direction chosen by key holds until the hand is moved on purpose.
                let hand = around.view.screen_from_plan(p);
                match (self.direction, self.rest) {
                    (Some(_), Some(rest)) if rest.distance(hand) > 4.0 => self.turn_to(None),
                    (Some(_), None) => self.rest = Some(hand),
                    _ => {}
                }
                if self.direction.is_none() {
                    self.pointer = Some(snapped);
                }
            }
            Event::Click(p) | Event::DoubleClick(p) | Event::DragStart(p) => {
                let at = self.snap(p, around).at;
                return self.add(at, 0.0, around, actions);
            }
            Event::Text(text) => {
                self.trouble = None;
                for letter in text.chars() {
                    if self.typed.is_empty()
                        && let Some(turn) = turn_key(letter)
                        && let Some(along) = self.last_along()
                    {
                        self.turn_to(Some(turned(along, turn)));
                        continue;
                    }
                    if self.typed.is_empty() && letter == ANGLE && self.last_along().is_some() {
                        self.typed.push(letter);
                        continue;
                    }
                    // A length starts with a figure; letters are units and come later.
                    if letter.is_ascii_digit() || letter == '.' || !self.typed.is_empty() {
                        self.typed.push(letter);
                    }
                }
            }
            Event::Backspace => {
                // What was wrong was wrong with what is taken back.
                self.trouble = None;
                if self.typed.pop().is_none() {
                    self.corners.pop();
                }
            }
            Event::Arrow(direction) => self.turn_to(Some(direction)),
            Event::Enter if self.typed.is_empty() => return self.close(0.0, around, actions),
            Event::Enter if self.typed.starts_with(ANGLE) => self.turn_by_typed(),
            Event::Enter => return self.add_typed(around, actions),
            Event::Escape if !self.typed.is_empty() => self.typed.clear(),
            Event::Escape if !self.corners.is_empty() => {
                self.trouble = None;
                self.corners.pop();
            }
            Event::Escape => return Tool::Ready(Pick::Nothing),
            Event::Leave | Event::Drag(_) | Event::DragEnd => {}
        }
        Tool::Room(self)
    }

    fn snap(&self, p: Point, around: &Surroundings<'_>) -> Snapped {
        let catch = around.catch(self.corners.last().copied(), &self.corners, &[], around.square);
        Catch { next_room: true, ..catch }.snap(p)
    }

    fn turn_to(&mut self, direction: Option<Point>) {
        self.direction = direction;
        self.rest = None;
    }

    /// Unit vector of the wall drawn last.
    fn last_along(&self) -> Option<Point> {
        let [.., a, b] = self.corners.as_slice() else { return None };
        let length = a.distance(*b);
        (length > 0.0).then(|| Point::new((b.x - a.x) / length, (b.y - a.y) / length))
    }

    /// The turn between the last two walls, as that of a right angle to the same side; to the left before there are two.
    fn same_turn(&self) -> f64 {
        let [.., a, b, c] = self.corners.as_slice() else { return 90.0 };
        let cross = (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x);
        if cross < 0.0 { -90.0 } else { 90.0 }
    }

    /// Takes the typed angle as the turn from the wall before.
    fn turn_by_typed(&mut self) {
        let angle = self.typed.trim_start_matches(ANGLE).replace(',', ".").parse::<f64>();
        match (angle, self.last_along()) {
            (Ok(angle), Some(along)) if angle.abs() < 180.0 => {
                self.turn_to(Some(turned(along, angle)));
                self.typed.clear();
            }
            _ => self.trouble = Some("type the turn in degrees, to the left, such as /45 or /-30".into()),
        }
    }

    /// Unit vector in which a typed length goes.
    fn heading(&self) -> Option<Point> {
        if self.direction.is_some() {
            return self.direction;
        }
        let from = *self.corners.last()?;
        let pointed =
            self.pointer.map(|to| (to.at, from.distance(to.at))).filter(|(_, length)| *length > 0.0);
        if let Some((to, length)) = pointed {
            return Some(Point::new((to.x - from.x) / length, (to.y - from.y) / length));
        }
        // Nothing is pointed at: round the same way, and the first wall to the right.
        Some(self.last_along().map_or(Point::new(1.0, 0.0), |along| turned(along, self.same_turn())))
    }

    fn add_typed(mut self, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        let length = match parse_length(&self.typed, around.plan.units) {
            Ok(length) if length > 0.0 => length,
            Ok(_) => {
                self.trouble = Some("a wall needs a length; type it, or point and click".into());
                return Tool::Room(self);
            }
            Err(error) => {
                self.trouble = Some(error.to_string());
                return Tool::Room(self);
            }
        };
        if self.corners.is_empty() {
            // The first length needs a corner to start from: where the pointer is, or the middle.
            // The first room of a house begins at the plan's origin; whole millimetres, or its corners would never be.
            let middle = match around.plan.rooms.is_empty() {
                true => Point::default(),
                false => Point::new(around.view.centre.x.round(), around.view.centre.y.round()),
            };
            let start = self.pointer.map_or(middle, |snapped| snapped.at);
            self.corners.push(start);
            self.direction = self.direction.or(Some(Point::new(1.0, 0.0)));
        }
        let (Some(from), Some(heading)) = (self.corners.last().copied(), self.heading()) else {
            self.trouble = Some("point where the wall goes, or press an arrow key".into());
            return Tool::Room(self);
        };
        self.typed.clear();
        let to = tidy(from.moved(heading.x * length, heading.y * length));
        let misclosure = self.corners.first().map_or(f64::MAX, |first| first.distance(to));
        if self.corners.len() >= 3 && misclosure <= CLOSES_WITHIN {
            return self.close(misclosure, around, actions);
        }
        let mut next = self.add(to, 0.0, around, actions);
        if let Tool::Room(room) = &mut next
            && let Some(along) = room.last_along()
        {
            // The next wall goes round the same way, until a key or the hand says otherwise.
            let turn = room.same_turn();
            room.turn_to(Some(turned(along, turn)));
        }
        next
    }

    fn add(mut self, at: Point, misclosure: f64, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        self.trouble = None;
        self.turn_to(None);
        if self.corners.len() >= 3 && self.corners.first() == Some(&at) {
            return self.close(misclosure, around, actions);
        }
        if self.corners.last() != Some(&at) {
            self.corners.push(at);
        }
        // A typed wall may end off the table.
        let room = around.view.rect.shrink(48.0);
        if !room.contains(around.view.screen_from_plan(at))
            && let Some(drawn) = Span::of(self.corners.iter().copied())
        {
            let margin = 0.25 * (drawn.max.x - drawn.min.x).max(drawn.max.y - drawn.min.y) + 500.0;
            // What of the house was in sight stays in sight: the next wall is drawn by it.
            let view = around.view;
            let seen = Span {
                min: view.plan_from_screen(view.rect.left_bottom()),
                max: view.plan_from_screen(view.rect.right_top()),
            };
            let rooms = around.plan.rooms.iter();
            let rooms = rooms.filter_map(|room| Span::of(room.walls.iter().map(|wall| wall.corner)));
            let all =
                rooms.filter(|room| seen.meets(room)).fold(drawn.grown(margin), |all, room| all.with(&room));
            actions.push(Action::KeepInSight(all));
        }
        self.pointer = Some(Snapped { at, hint: None });
        Tool::Room(self)
    }

    fn close(mut self, misclosure: f64, around: &Surroundings<'_>, actions: &mut Actions) -> Tool {
        if self.corners.len() < 3 {
            self.trouble = Some("a room needs three corners or more".into());
            return Tool::Room(self);
        }
        let index = around.plan.rooms.len();
        let units = around.plan.units;
        // Tried here first: a room that cannot be added stays on the table to be mended.
        if let Err(problem) = edit::add_room(&mut around.plan.clone(), &self.corners) {
            let wall = match problem.place {
                plan::Place::Wall(_, wall) => format!("wall {}: ", wall + 1),
                _ => String::new(),
            };
            self.trouble = Some(format!("{wall}{}; Backspace takes the last wall back", problem.what));
            return Tool::Room(self);
        }
        let open_to = open_to(&self.corners, around.plan);
        let corners = self.corners;
        let drawn = corners.clone();
        actions.try_edit("draw room", move |plan| edit::add_room(plan, &corners).map(drop));
        actions.select(Selected::Room(index));
        // The house grows off the table: it is shown whole, where the next room goes on.
        let table = around.view.rect.shrink(8.0);
        let outlines = around.plan.rooms.iter().flat_map(|room| room.walls.iter().map(|wall| wall.corner));
        if outlines.chain(drawn).any(|p| !table.contains(around.view.screen_from_plan(p))) {
            actions.run(Command::Fit);
        }
        actions.push(Action::Say(if let Some(room) = open_to {
            format!("Open to {room} where they touch. If a wall stands between, leave its thickness")
        } else if misclosure > 0.05 {
            format!(
                "The room closes to {}; its last wall ends in the first corner",
                format_length(misclosure, units)
            )
        } else {
            "The room is closed; name it and say what covers it".into()
        }));
        Tool::Ready(Pick::Nothing)
    }

    pub(super) fn overlay(&self, around: &Surroundings<'_>) -> Overlay {
        let units = around.plan.units;
        let next = match (self.direction, self.corners.last(), parse_length(&self.typed, units)) {
            (_, Some(from), Ok(length)) if self.is_typing() => {
                self.heading().map(|h| from.moved(h.x * length, h.y * length))
            }
            (Some(h), Some(from), _) => {
                let reach = around.view.mm(120.0);
                Some(from.moved(h.x * reach, h.y * reach))
            }
            _ => self.pointer.map(|snapped| snapped.at),
        };
        let hint = if let Some(trouble) = &self.trouble {
            let typed = if self.typed.is_empty() { "This does not go" } else { &self.typed };
            format!("{typed}: {trouble}")
        } else if self.typed.starts_with(ANGLE) {
            format!(
                "Turn of {}° to the left from the wall before · Enter",
                self.typed.trim_start_matches(ANGLE)
            )
        } else if self.is_typing() {
            let closing = self.closing(next, around).map(|words| format!(" · from there {words}"));
            format!("Wall of {} · Enter sets it{}", self.typed, closing.unwrap_or_default())
        } else if self.corners.is_empty() {
            "Click the first corner · or type the first wall's length and press Enter".into()
        } else if self.corners.len() == 1 && self.direction.is_some() {
            "Behind the selected wall, along it · type the wall's length and Enter, or point and click · Escape begins elsewhere".into()
        } else if self.corners.len() < 3 {
            "Click the next corner, or type the wall's length · + left, − right, / angle · Shift: any angle · Alt: no catching".into()
        } else {
            let (first, last) = (self.corners.first(), self.corners.last());
            let closing = first.zip(last).map_or(0.0, |(first, last)| first.distance(*last));
            let mut hint = format!("Enter closes the room with a wall of {}", format_length(closing, units));
            if let Some(words) = self.closing(last.copied(), around) {
                hint += &format!(" · from here {words}");
            }
            hint
        };
        let snapped = if self.direction.is_some() || self.is_typing() { None } else { self.pointer };
        let pointed = self.direction.is_none();
        let ghost = Ghost::Room { corners: self.corners.clone(), next, typed: self.typed.clone(), pointed };
        Overlay { cursor: Some(CursorIcon::Crosshair), hint, snapped, ghost, ..Overlay::default() }
    }
}

impl DrawRoom {
    /// How far it is from a point to the first corner, across and up: what the room misses if it closes there.
    fn closing(&self, from: Option<Point>, around: &Surroundings<'_>) -> Option<String> {
        let (first, from) = (*self.corners.first()?, from?);
        if self.corners.len() < 2 {
            return None;
        }
        let part = |by: f64, less: &str, more: &str| {
            (by.abs() > 0.05).then(|| {
                let word = if by < 0.0 { less } else { more };
                format!("{} {word}", format_length(by.abs(), around.plan.units))
            })
        };
        let parts: Vec<String> =
            [part(first.x - from.x, "left", "right"), part(first.y - from.y, "down", "up")]
                .into_iter()
                .flatten()
                .collect();
        Some(match parts.as_slice() {
            [] => "the room closes to nothing".into(),
            parts => format!("to the first corner {}", parts.join(", ")),
        })
    }
}

/// What a key of the numeric pad turns by, degrees to the left.
fn turn_key(letter: char) -> Option<f64> {
    match letter {
        '+' => Some(90.0),
        '-' => Some(-90.0),
        '*' => Some(0.0),
        _ => None,
    }
}

/// A direction turned to the left by so many degrees; by right angles exactly.
fn turned(along: Point, degrees: f64) -> Point {
    let (sin, cos) = match degrees {
        90.0 => (1.0, 0.0),
        -90.0 => (-1.0, 0.0),
        other => (other.to_radians().sin(), other.to_radians().cos()),
    };
    Point::new(along.x * cos - along.y * sin, along.x * sin + along.y * cos)
}

/// To the millionth: what was typed as 4200 stays 4200.
fn tidy(p: Point) -> Point {
    Point::new((p.x * 1e6).round() / 1e6 + 0.0, (p.y * 1e6).round() / 1e6 + 0.0)
}

/// The room that a drawn one touches along a wall, with nothing between.
fn open_to(corners: &[Point], plan: &Plan) -> Option<String> {
    // A wall is thicker than this, and a touch shorter than this is a corner's, mm.
    const TOUCHES: f64 = 20.0;
    const SHORTEST: f64 = 100.0;
    let own = (0..corners.len()).map(|i| (corners[i], corners[(i + 1) % corners.len()]));
    let touch = |(a, b): (Point, Point), (c, d): (Point, Point)| {
        let (from, to) = (to_segment(c, a, b), to_segment(d, a, b));
        // Both ends' feet lie on the wall, so that in-line walls side by side do not count.
        let line = |p: Point| {
            let length = a.distance(b).max(1e-9);
            ((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)).abs() / length
        };
        line(c) < TOUCHES && line(d) < TOUCHES && (from.1 - to.1).abs() > SHORTEST
    };
    let sides =
        |room: &plan::Room| (0..room.walls.len()).filter_map(|w| room.wall_line(w)).collect::<Vec<_>>();
    let found = plan.rooms.iter().find(|room| {
        let theirs = sides(room);
        own.clone().any(|wall| theirs.iter().any(|other| touch(wall, *other)))
    });
    found.map(|room| room.name.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rooms_that_touch_are_open_to_each_other() {
        let mut plan = Plan::new("Test");
        let hall = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 1200.0), (0.0, 1200.0)].map(Point::from);
        edit::add_room(&mut plan, &hall).unwrap();
        let beside = |x: f64, y: f64| {
            let room = [(x, y), (x + 2000.0, y), (x + 2000.0, y + 2000.0), (x, y + 2000.0)];
            open_to(&room.map(Point::from), &plan)
        };
        assert_eq!(beside(500.0, 1200.0), Some(plan.rooms[0].name.clone()));
        assert_eq!(beside(500.0, 1292.0), None, "a wall between");
        assert_eq!(beside(4000.0, 1200.0), None, "corner to corner");
        assert_eq!(beside(4000.0, -900.0), Some(plan.rooms[0].name.clone()));
    }

    /// An L whose wall 1 runs to an inner corner at (3000, 0), from where wall 2 goes down: behind wall 1 a room keeps a wall's
    /// thickness off both, so that it begins at (3000 − t, −t). At the outer corner of wall 4 it keeps it off that alone.
    #[test]
    fn behind_a_wall_at_an_inner_corner_both_walls_stand() {
        let mut plan = Plan::new("Test");
        let corners = [
            (0.0, 0.0),
            (3000.0, 0.0),
            (3000.0, -2000.0),
            (5000.0, -2000.0),
            (5000.0, 1200.0),
            (0.0, 1200.0),
        ];
        edit::add_room(&mut plan, &corners.map(Point::from)).unwrap();
        let thick = drawing::body_thickness(&plan);
        let begun = |plan: &Plan, wall| DrawRoom::behind(plan, 0, wall).unwrap().corners[0];
        assert_eq!(begun(&plan, 0), tidy(Point::new(3000.0 - thick, -thick)));
        assert_eq!(begun(&plan, 3), tidy(Point::new(5000.0 + thick, 1200.0)));
        // The same drawn the other way round.
        plan.rooms[0].walls.reverse();
        assert_eq!(begun(&plan, 4), tidy(Point::new(3000.0 - thick, -thick)));
    }

    /// Behind the wall of 9000 under a hall stand rooms of 3000 and of 2000, the second 600 past the first: between them there is
    /// room for a cupboard, and once that is drawn the next room begins past all three. A wall with no place left is begun at its
    /// end as ever.
    #[test]
    fn behind_a_wall_the_next_room_begins_past_those_that_stand_there() {
        let mut plan = Plan::new("Test");
        let thick = drawing::body_thickness(&plan);
        let mut add = |left: f64, right: f64, (low, high): (f64, f64)| {
            let corners = [(left, low), (right, low), (right, high), (left, high)].map(Point::from);
            edit::add_room(&mut plan, &corners).unwrap();
            DrawRoom::behind(&plan, 0, 0).unwrap().corners[0]
        };
        let under = (-3000.0 - thick, -thick);
        assert_eq!(add(0.0, 9000.0, (0.0, 1200.0)), tidy(Point::new(9000.0, -thick)));
        assert_eq!(add(6000.0, 9000.0, under), tidy(Point::new(6000.0 - thick, -thick)));
        assert_eq!(
            add(3400.0 - 2.0 * thick, 5400.0 - 2.0 * thick, under),
            tidy(Point::new(6000.0 - thick, -thick))
        );
        let cupboard = add(5400.0 - thick, 6000.0 - thick, under);
        assert_eq!(cupboard, tidy(Point::new(3400.0 - 3.0 * thick, -thick)));
        assert_eq!(add(0.0, 3400.0 - 3.0 * thick, under), tidy(Point::new(9000.0, -thick)));
        // Of another wall nothing has changed.
        assert_eq!(DrawRoom::behind(&plan, 0, 2).unwrap().corners[0], tidy(Point::new(0.0, 1200.0 + thick)));
    }
}
