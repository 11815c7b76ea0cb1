//! Dragging what was picked: corners, walls, doorways, fixtures, joints, the start line.

use super::{Event, Pick, Surroundings, Tool};
use crate::action::{Action, Actions};
use crate::canvas::{Catch, Hint, Overlay, Snapped};
use crate::names;
use crate::select::Selected;
use egui::CursorIcon;
use plan::edit::{self, SkirtingBreak};
use plan::{Place, Plan, Point, Problem, StartLine};

/// A drag under way.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Dragging {
    what: Pick,
    from: Point,
    start: Plan,
    /// For the start line: its v, the rows' unit vector across them, and the pitch.
    line: Option<(f64, Point, f64)>,
    /// Moved together; empty where what was picked is dragged by itself.
    several: Vec<Place>,
    /// The point of what was picked that is caught when several move.
    grip: Point,
    snapped: Option<Snapped>,
    /// Why the plan cannot follow the pointer here.
    trouble: Option<String>,
    /// The wall that the break which is dragged has become: its number changes where it reaches a corner.
    slid: Option<(usize, usize)>,
}

/// What of a break in a skirting is dragged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Grip {
    All,
    Start,
    End,
}

/// A break is dragged no shorter than this, mm: what is meant to go is closed.
const SHORTEST_BREAK: f64 = 50.0;

impl Dragging {
    /// Starts dragging what was picked; `None` for what cannot be dragged.
    pub(super) fn start(
        what: Pick,
        from: Point,
        around: &Surroundings<'_>,
        actions: &mut Actions,
    ) -> Option<Self> {
        let plan = around.plan;
        let selected = what.selected();
        // A wall's length is a handle of the wall, a distance one of the thing.
        let what = match (what, selected) {
            (Pick::Figure(..), Selected::Wall(room, wall)) => Pick::Wall(room, wall),
            (Pick::Figure(..), Selected::Doorway(doorway)) => Pick::Doorway(doorway),
            (Pick::Figure(..), Selected::Fixture(fixture)) => Pick::Fixture(fixture),
            (other, _) => other,
        };
        let is_together = !around.together.is_empty() && around.selection().any(|thing| thing == selected);
        let is_room = matches!(what, Pick::Room(_)) && around.selected == selected;
        if is_together || is_room {
            let several: Vec<Place> = around.selection().filter_map(Selected::thing).collect();
            actions.push(Action::Begin(format!("move {}", names::things(plan, &several))));
            let corners = vertices(plan, selected.thing().as_slice());
            let near = corners.into_iter().min_by(|a, b| a.distance(from).total_cmp(&b.distance(from)));
            let (start, line, snapped, trouble) = (plan.clone(), None, None, None);
            return Some(Self {
                what,
                from,
                start,
                line,
                several,
                grip: near.unwrap_or(from),
                snapped,
                trouble,
                slid: None,
            });
        }
        let is_break = |room: usize, wall: usize| {
            plan.rooms.get(room).is_some_and(|room| edit::skirting_break(room, wall).is_some())
        };
        let name = match what {
            Pick::Wall(room, wall) if is_break(room, wall) => "move skirting break".to_owned(),
            Pick::Corner(room, _) => format!("move corner, {}", plan.rooms.get(room)?.name),
            Pick::Wall(room, _) => format!("move wall, {}", plan.rooms.get(room)?.name),
            Pick::Doorway(doorway) => format!("move doorway, {}", plan.doorways.get(doorway)?.name),
            Pick::Fixture(fixture) => format!("move {}", plan.fixtures.get(fixture)?.name),
            Pick::FixtureCorner(fixture, _) => format!("reshape {}", plan.fixtures.get(fixture)?.name),
            Pick::Joint(joint) | Pick::JointEnd(joint, _) => {
                format!("move {}", plan.joints.get(joint)?.called(joint))
            }
            Pick::Dimension(index) => format!("move {}", plan::Dimension::called(index)),
            Pick::Line => "move start line".to_owned(),
            Pick::Nothing | Pick::Flag(_) | Pick::Board(_) | Pick::Room(_) | Pick::Figure(..) => return None,
        };
        let line = match (what, around.house) {
            (Pick::Line, Some(house)) => {
                let across = house.site.frame.plan_from_row(site::Uv::new(0.0, 1.0));
                Some((house.setout.line.as_ref()?.v, across, house.setout.pitch))
            }
            (Pick::Line, None) => return None,
            _ => None,
        };
        actions.select(what.selected());
        actions.push(Action::Begin(name));
        let (start, several) = (plan.clone(), Vec::new());
        Some(Self { what, from, start, line, several, grip: from, snapped: None, trouble: None, slid: None })
    }

    pub(super) fn handle(
        mut self: Box<Self>,
        event: Event,
        around: &Surroundings<'_>,
        actions: &mut Actions,
    ) -> Tool {
        match event {
            Event::Drag(p) => {
                let mut plan = self.start.clone();
                // Where the plan cannot follow, it stays where it last could.
                match self.apply(&mut plan, p, around) {
                    Ok(()) => {
                        self.trouble = None;
                        actions.push(Action::Live(Box::new(plan)));
                        let slid = self.slid.map(|(room, wall)| Selected::Wall(room, wall));
                        if let Some(wall) = slid.filter(|wall| *wall != around.selected) {
                            actions.select(wall);
                        }
                    }
                    Err(problem) => self.trouble = Some(format!("{}: {}", problem.place_name, problem.what)),
                }
                Tool::Dragging(self)
            }
            Event::DragEnd => {
                actions.push(Action::Keep);
                Tool::Ready(self.slid.map_or(self.what, |(room, wall)| Pick::Wall(room, wall)))
            }
            Event::Escape => {
                actions.push(Action::Drop);
                if self.slid.is_some() {
                    actions.select(self.what.selected());
                }
                Tool::Ready(Pick::Nothing)
            }
            _ => Tool::Dragging(self),
        }
    }

    fn apply(&mut self, plan: &mut Plan, p: Point, around: &Surroundings<'_>) -> Result<(), Problem> {
        let by = Point::new(p.x - self.from.x, p.y - self.from.y);
        if !self.several.is_empty() {
            return self.move_together(plan, by, around);
        }
        match self.what {
            Pick::Corner(room, corner) if self.break_end(room, corner).is_some() => {
                if let Some((wall, grip)) = self.break_end(room, corner) {
                    self.slide_break(plan, (room, wall), by, around, grip)?;
                }
            }
            Pick::Corner(room, wall) => {
                let Some(old) = self.start.rooms.get(room).and_then(|r| r.walls.get(wall)) else {
                    return Ok(());
                };
                // Its own corner must not catch it: neither where it was nor where the drag has it now.
                let now = around.plan.rooms.get(room).and_then(|r| r.walls.get(wall)).map(|w| w.corner);
                let except = [old.corner, now.unwrap_or(old.corner)];
                let snapped = around.snap(old.corner.moved(by.x, by.y), &except);
                self.snapped = Some(snapped);
                edit::move_corner(plan, room, wall, snapped.at)?;
            }
            Pick::Wall(room, wall) if self.break_of(room, wall).is_some() => {
                self.slide_break(plan, (room, wall), by, around, Grip::All)?;
            }
            Pick::Wall(room, wall) => {
                let Some((_, away)) = self.start.rooms.get(room).and_then(|r| r.wall_axes(wall)) else {
                    return Ok(());
                };
                let mut distance = by.x * away.x + by.y * away.y;
                self.snapped = None;
                if !around.free {
                    let ends = self.start.rooms.get(room).and_then(|r| r.wall_line(wall));
                    let lined_up = ends.and_then(|(a, b)| {
                        let own = vertices(&self.start, &[Place::Room(room)]);
                        let now = vertices(around.plan, &[Place::Room(room)]);
                        let except: Vec<Point> = own.into_iter().chain(now).collect();
                        let (off, with) =
                            around.catch(None, &[], &except, false).line_up(a, away, distance)?;
                        let at = a.lerp(b, 0.5).moved(away.x * off, away.y * off);
                        Some((off, Snapped { at, hint: Some(Hint::Line(with)) }))
                    });
                    let step = if around.view.scale > 0.3 { 1.0 } else { 5.0 };
                    distance = lined_up.map_or((distance / step).round() * step, |(off, _)| off);
                    self.snapped = lined_up.map(|(_, snapped)| snapped);
                }
                edit::move_wall(plan, room, wall, distance)?;
            }
            Pick::Doorway(index) => {
                let Some(doorway) = plan.doorways.get(index) else { return Ok(()) };
                let Some(room) = plan.room_index(&doorway.room).map(|room| &plan.rooms[room]) else {
                    return Ok(());
                };
                let (Some((along, _)), Some((a, b))) =
                    (room.wall_axes(doorway.wall), room.wall_line(doorway.wall))
                else {
                    return Ok(());
                };
                let furthest = (a.distance(b) - doorway.width).max(0.0);
                let at = (doorway.at + by.x * along.x + by.y * along.y).clamp(0.0, furthest);
                // The middle of the wall catches, and the doorway as far from one end as from the other.
                let middle = furthest / 2.0;
                let at = match around.free {
                    true => at,
                    false if (at - middle).abs() < around.view.mm(6.0) => middle,
                    false => at.round(),
                };
                self.snapped = (!around.free && at == middle)
                    .then_some(Snapped { at: a.lerp(b, 0.5), hint: Some(Hint::Middle) });
                edit::place_doorway(plan, index, at)?;
            }
            Pick::Fixture(index) => {
                let Some(fixture) = plan.fixtures.get(index) else { return Ok(()) };
                let now = around.plan.fixtures.get(index).map(|f| f.outline.clone()).unwrap_or_default();
                let except: Vec<_> = fixture.outline.iter().copied().chain(now).collect();
                // Whichever of its corners catches best, so that it stands flush with a wall and slides along it.
                let caught = |corner: &Point| {
                    let wanted = corner.moved(by.x, by.y);
                    let snapped = around.snap(wanted, &except);
                    let rank = match snapped.hint {
                        Some(Hint::Corner | Hint::Beyond) => 0,
                        Some(Hint::Edge) => 1,
                        Some(Hint::Crossing(..)) => 2,
                        Some(Hint::Line(_)) => 3,
                        _ => 4,
                    };
                    (rank, snapped.at.distance(wanted), *corner, snapped)
                };
                let tried = fixture.outline.iter().take(MOST_CORNERS).map(caught);
                let best = tried.min_by(|one, other| one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)));
                let Some((_, _, corner, snapped)) = best else { return Ok(()) };
                self.snapped = Some(snapped);
                edit::move_fixture(
                    plan,
                    index,
                    Point::new(snapped.at.x - corner.x, snapped.at.y - corner.y),
                )?;
            }
            Pick::FixtureCorner(index, corner) => {
                let Some(fixture) = plan.fixtures.get(index) else { return Ok(()) };
                let Some(old) = fixture.outline.get(corner).copied() else { return Ok(()) };
                let now = around.plan.fixtures.get(index).map(|f| f.outline.clone()).unwrap_or_default();
                let except: Vec<_> = fixture.outline.iter().copied().chain(now).collect();
                let snapped = around.snap(old.moved(by.x, by.y), &except);
                self.snapped = Some(snapped);
                let mut outline = fixture.outline.clone();
                reshape(&mut outline, corner, snapped.at);
                edit::set_outline(plan, index, outline)?;
            }
            Pick::Joint(index) => {
                // Square to itself, so that it keeps its ends on what they reach; ends are dragged by themselves.
                let Some(joint) = plan.joints.get(index) else { return Ok(()) };
                let length = joint.length().max(f64::MIN_POSITIVE);
                let across =
                    Point::new((joint.from.y - joint.to.y) / length, (joint.to.x - joint.from.x) / length);
                let mut distance = by.x * across.x + by.y * across.y;
                if !around.free {
                    let step = if around.view.scale > 0.3 { 1.0 } else { 5.0 };
                    distance = (distance / step).round() * step;
                }
                edit::move_joint(plan, index, Point::new(across.x * distance, across.y * distance))?;
            }
            Pick::JointEnd(index, is_start) => {
                let Some(joint) = plan.joints.get(index) else { return Ok(()) };
                let (end, other) = if is_start { (joint.from, joint.to) } else { (joint.to, joint.from) };
                let at = end.moved(by.x, by.y);
                let snapped = around.catch(Some(other), &[], &[], around.square).snap(at);
                self.snapped = Some(snapped);
                edit::move_joint_end(plan, index, is_start, snapped.at)?;
            }
            Pick::Line => {
                let Some((v, across, pitch)) = self.line else { return Ok(()) };
                let moved = v + by.x * across.x + by.y * across.y;
                let moved = if around.free { moved } else { moved.round() };
                plan.start_line = StartLine::At(moved.rem_euclid(pitch));
            }
            Pick::Dimension(index) => edit::move_dimension(plan, index, by)?,
            Pick::Nothing | Pick::Flag(_) | Pick::Board(_) | Pick::Room(_) | Pick::Figure(..) => {}
        }
        Ok(())
    }

    /// The break in a skirting that a wall was when the drag began.
    fn break_of(&self, room: usize, wall: usize) -> Option<SkirtingBreak> {
        edit::skirting_break(self.start.rooms.get(room)?, wall)
    }

    /// The break whose end a corner is: its wall, and which end is dragged.
    fn break_end(&self, room: usize, corner: usize) -> Option<(usize, Grip)> {
        let count = self.start.rooms.get(room)?.walls.len();
        let before = (corner + count.max(1) - 1) % count.max(1);
        let begins = self.break_of(room, corner).filter(|found| found.beside[0].is_some());
        let ends = self.break_of(room, before).filter(|found| found.beside[1].is_some());
        begins.map(|_| (corner, Grip::Start)).or_else(|| ends.map(|_| (before, Grip::End)))
    }

    /// Slides a break along its whole wall, or one of its ends.
    fn slide_break(
        &mut self,
        plan: &mut Plan,
        (room, wall): (usize, usize),
        by: Point,
        around: &Surroundings<'_>,
        grip: Grip,
    ) -> Result<(), Problem> {
        let (Some(found), Some((along, _))) =
            (self.break_of(room, wall), self.start.rooms.get(room).and_then(|room| room.wall_axes(wall)))
        else {
            return Ok(());
        };
        let by = by.x * along.x + by.y * along.y;
        let by = if around.free { by } else { by.round() };
        let SkirtingBreak { from, width, length, .. } = found;
        let (from, width) = match grip {
            Grip::All => {
                let at = (from + by).clamp(0.0, length - width);
                let middle = (length - width) / 2.0;
                let is_caught = !around.free && (at - middle).abs() < around.view.mm(6.0);
                (if is_caught { middle } else { at }, width)
            }
            Grip::Start => {
                let start = (from + by).clamp(0.0, (from + width - SHORTEST_BREAK).max(0.0));
                (start, from + width - start)
            }
            Grip::End => {
                let most = length - from;
                (from, (width + by).clamp(SHORTEST_BREAK.min(most), most))
            }
        };
        let now = edit::move_break(plan, room, wall, from, width)?;
        self.slid = Some((room, now));
        Ok(())
    }

    /// Moves all that is selected, so that what was picked catches on what stays.
    fn move_together(
        &mut self,
        plan: &mut Plan,
        by: Point,
        around: &Surroundings<'_>,
    ) -> Result<(), Problem> {
        let own = vertices(&self.start, &self.several);
        let now = vertices(around.plan, &self.several);
        let except: Vec<Point> = own.into_iter().chain(now).collect();
        let next_room = self.several.iter().any(|place| matches!(place, Place::Room(_)));
        let catch = Catch { next_room, ..around.catch(None, &[], &except, false) };
        let snapped = catch.snap(self.grip.moved(by.x, by.y));
        self.snapped = Some(snapped);
        let by = Point::new(snapped.at.x - self.grip.x, snapped.at.y - self.grip.y);
        edit::move_all(plan, &self.several, by)
    }

    pub(super) fn overlay(&self) -> Overlay {
        let hint = match self.what {
            _ if self.trouble.is_some() => self.trouble.clone().unwrap_or_default(),
            _ if !self.several.is_empty() => {
                "All that is selected moves · Alt: no catching · Escape puts it back".to_owned()
            }
            Pick::Wall(room, wall) if self.break_of(room, wall).is_some() => {
                "The break moves along its wall; its ends are dragged by themselves · Alt: no catching"
                    .to_owned()
            }
            Pick::Wall(room, wall) => {
                format!(
                    "{} moves square to itself, its neighbours stretch · Alt: no catching",
                    names::wall(&self.start, room, wall)
                )
            }
            Pick::Joint(_) => {
                "It moves square to itself; along the rows it goes to the nearest row line · Alt: no catching"
                    .to_owned()
            }
            Pick::Dimension(_) => "Its line moves aside; its ends stay on what they are on".to_owned(),
            Pick::JointEnd(..) => "Shift: any angle · Alt: no catching · Escape puts it back".to_owned(),
            Pick::Line => {
                "Rips and boards follow · Alt: tenths of a millimetre · Escape puts it back".to_owned()
            }
            _ => "Alt: no catching · Escape puts it back".to_owned(),
        };
        Overlay { cursor: Some(CursorIcon::Grabbing), hint, snapped: self.snapped, ..Overlay::default() }
    }
}

/// Corners of an outline that are tried: one of many is as good.
const MOST_CORNERS: usize = 16;

/// The corners of things that can be caught.
fn vertices(plan: &Plan, places: &[Place]) -> Vec<Point> {
    let of = |place: &Place| match *place {
        Place::Room(room) => plan
            .rooms
            .get(room)
            .map(|room| room.walls.iter().map(|wall| wall.corner).collect())
            .unwrap_or_default(),
        Place::Fixture(index) => plan.fixtures.get(index).map(|f| f.outline.clone()).unwrap_or_default(),
        Place::Joint(index) => plan.joints.get(index).map(|j| vec![j.from, j.to]).unwrap_or_default(),
        _ => Vec::new(),
    };
    places.iter().flat_map(of).collect()
}

/// Moves one corner of an outline; a rectangle along x and y stays one.
fn reshape(outline: &mut [Point], corner: usize, to: Point) {
    let old = outline[corner];
    let is_rectangle = outline.len() == 4
        && (0..4).all(|i| {
            let (a, b) = (outline[i], outline[(i + 1) % 4]);
            (a.x == b.x) != (a.y == b.y)
        });
    if is_rectangle {
        for other in outline.iter_mut() {
            if other.x == old.x {
                other.x = to.x;
            }
            if other.y == old.y {
                other.y = to.y;
            }
        }
    } else {
        outline[corner] = to;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rectangles_stay_rectangles() {
        let mut outline = [(0., 0.), (4., 0.), (4., 3.), (0., 3.)].map(Point::from);
        reshape(&mut outline, 2, Point::new(6.0, 5.0));
        assert_eq!(outline, [(0., 0.), (6., 0.), (6., 5.), (0., 5.)].map(Point::from));
        let mut triangle = [(0., 0.), (4., 0.), (4., 3.)].map(Point::from);
        reshape(&mut triangle, 0, Point::new(1.0, 1.0));
        assert_eq!(triangle, [(1., 1.), (4., 0.), (4., 3.)].map(Point::from));
    }
}
