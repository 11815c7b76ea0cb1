//! Outlines of the plan, of what is hovered and what is selected, and the pins.

use super::Brush;
use crate::canvas::Span;
use crate::canvas::paint::chalk;
use crate::geometry::doorway_ends;
use crate::palette::strong_font;
use crate::select::Selected;
use egui::{Align2, Shape, Stroke, vec2};
use pipeline::House;
use plan::{Covering, Plan, Point};

impl Brush<'_> {
    /// The plan as it is now, while the floor shown is not yet its own: what of it differs from the plan of that floor, if
    /// there is one.
    pub(super) fn outlines(&self, plan: &Plan, drawn: Option<&Plan>) {
        let palette = self.palette;
        let bare = drawn.is_none();
        let mut others = Vec::new();
        for (index, room) in plan.rooms.iter().enumerate() {
            if drawn.is_some_and(|drawn| drawn.rooms.get(index) == Some(room)) {
                continue;
            }
            others.push(room.name.as_str());
            let points: Vec<_> = room.outline().into_iter().map(|(p, _)| p).collect();
            if bare {
                let ground =
                    if room.covering == Covering::Boards { palette.card } else { palette.other_floor };
                let mut mesh = egui::Mesh::default();
                for quad in crate::canvas::trapezoids(std::slice::from_ref(&points)) {
                    let Ok(first) = u32::try_from(mesh.vertices.len()) else { continue };
                    for corner in quad {
                        mesh.colored_vertex(self.at(corner), ground);
                    }
                    mesh.add_triangle(first, first + 1, first + 2);
                    mesh.add_triangle(first, first + 2, first + 3);
                }
                self.painter.add(Shape::mesh(mesh));
                if let Some(span) = Span::of(points.iter().copied()) {
                    let font = strong_font(14.0);
                    self.painter.text(
                        self.at(span.centre()),
                        Align2::CENTER_CENTER,
                        &room.name,
                        font,
                        palette.weak,
                    );
                }
            }
            self.ring(points, Stroke::new(1.4, palette.ink));
        }
        for (index, fixture) in plan.fixtures.iter().enumerate() {
            if drawn.is_some_and(|drawn| drawn.fixtures.get(index) == Some(fixture)) {
                continue;
            }
            self.ring(fixture.outline.iter().copied(), Stroke::new(1.0, palette.ink));
        }
        for doorway in 0..plan.doorways.len() {
            // With its room it moves, too.
            let is_drawn = drawn.is_some_and(|drawn| {
                drawn.doorways.get(doorway) == plan.doorways.get(doorway)
                    && !others.contains(&plan.doorways[doorway].room.as_str())
            });
            if is_drawn {
                continue;
            }
            if let Some((a, b, _)) = doorway_ends(plan, doorway) {
                self.painter.line_segment([self.at(a), self.at(b)], Stroke::new(3.0, palette.look));
            }
        }
    }

    pub(super) fn mark(&self, selected: Selected, plan: &Plan, house: Option<&House>, stroke: Stroke) {
        match selected {
            Selected::Nothing | Selected::Flag(_) => {}
            Selected::Room(room) => {
                let Some(room) = plan.rooms.get(room) else { return };
                self.ring(room.outline().into_iter().map(|(p, _)| p), stroke);
            }
            Selected::Wall(room, wall) => {
                let Some(room) = plan.rooms.get(room) else { return };
                let mut points = room.wall_points(wall);
                points.extend(room.wall_line(wall).map(|(_, end)| end));
                let points = points.into_iter().map(|p| self.at(p)).collect();
                self.painter.add(Shape::line(points, Stroke::new(stroke.width + 1.4, stroke.color)));
            }
            Selected::Corner(room, wall) => {
                let Some(wall) = plan.rooms.get(room).and_then(|r| r.walls.get(wall)) else { return };
                self.painter.circle_stroke(self.at(wall.corner), 8.0, stroke);
            }
            Selected::Doorway(doorway) => {
                let Some((a, b, away)) = doorway_ends(plan, doorway) else { return };
                let depth = plan.doorways[doorway].wall_thickness;
                let out = |p: Point| p.moved(away.x * depth, away.y * depth);
                self.ring([a, b, out(b), out(a)], stroke);
            }
            Selected::Fixture(fixture) => {
                let Some(fixture) = plan.fixtures.get(fixture) else { return };
                self.ring(fixture.outline.iter().copied(), stroke);
            }
            Selected::Joint(joint) => {
                let Some(drawn) = plan.joints.get(joint) else { return };
                let ends = [self.at(drawn.from), self.at(drawn.to)];
                self.painter.extend(Shape::dashed_line(&ends, Stroke::new(1.2, stroke.color), 4.0, 4.0));
                let laid = house.and_then(|house| Some((house, house.fit.joints.get(joint)?)));
                for (house, stretch) in
                    laid.iter().flat_map(|(house, laid)| laid.stretches.iter().map(move |s| (house, s)))
                {
                    let ends = [stretch.from, stretch.to].map(|p| self.at(house.site.frame.plan_from_row(p)));
                    self.painter.line_segment(ends, stroke);
                }
            }
            Selected::Dimension(index) => {
                if let Some((a, b)) = plan.dimensions.get(index).and_then(|dimension| dimension.line(plan)) {
                    self.painter.line_segment([self.at(a), self.at(b)], stroke);
                }
            }
            Selected::Board(board) => {
                let Some((house, board)) = house.and_then(|h| Some((h, h.floor.boards.get(board)?))) else {
                    return;
                };
                self.ring(board.outline.outer.iter().map(|p| house.site.frame.plan_from_row(*p)), stroke);
            }
            Selected::Line => {
                let Some(line) = house.and_then(|house| house.setout.line.as_ref()) else { return };
                let (from, to) = (self.at(line.from), self.at(line.to));
                let mut shapes = Vec::new();
                chalk(&[from, to], self.palette.chalk, &mut shapes);
                self.painter.extend(shapes);
                for end in [from, to] {
                    self.painter.circle(end, 6.0, self.palette.card, stroke);
                }
            }
        }
    }

    /// A pin's head on what is pinned down, as large as a thumb's on any scale.
    pub(super) fn pins(&self, plan: &Plan) {
        for pinned in &plan.pinned {
            let at = match pinned {
                plan::Pinned::Room(name) => {
                    let room = plan.room_index(name).and_then(|room| plan.rooms.get(room));
                    room.and_then(|room| {
                        Some((room.walls.first()?.corner, Span::of(room.walls.iter().map(|w| w.corner))?))
                    })
                    .map(|(corner, span)| {
                        let middle = span.centre();
                        let far = corner.distance(middle).max(1.0);
                        corner.lerp(middle, (self.view.mm(16.0) / far).min(0.5))
                    })
                }
                plan::Pinned::Doorway(name) => {
                    let index = plan.doorways.iter().position(|doorway| doorway.name == *name);
                    index.and_then(|index| doorway_ends(plan, index)).map(|(a, b, _)| a.lerp(b, 0.5))
                }
                plan::Pinned::Fixture(name) => {
                    let fixture = plan.fixtures.iter().find(|fixture| fixture.name == *name);
                    fixture
                        .and_then(|fixture| Span::of(fixture.outline.iter().copied()))
                        .map(|span| span.centre())
                }
                plan::Pinned::Joint(index) => {
                    plan.joints.get(*index).map(|joint| joint.from.lerp(joint.to, 0.5))
                }
            };
            let Some(at) = at.map(|at| self.at(at)) else { continue };
            let ink = self.palette.ink;
            self.painter.line_segment([at, at + vec2(5.0, -9.0)], Stroke::new(1.6, ink));
            self.painter.circle(at + vec2(6.5, -11.5), 4.0, self.palette.look, Stroke::new(1.2, ink));
        }
    }
}
