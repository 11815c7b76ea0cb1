//! Handles to drag and lengths to read on what is selected, and a room's tape.

use super::Brush;
use crate::canvas::Placed;
use crate::canvas::label::Written;
use crate::geometry::doorway_ends;
use crate::palette::strong_font;
use crate::select::Selected;
use crate::tool::Pick;
use egui::{Align2, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, vec2};
use plan::{Plan, Point, Taped, format_length};

/// Whether a taped length is a wall's, not a diagonal.
fn is_wall(taped: &Taped, walls: usize) -> bool {
    let apart = taped.from.abs_diff(taped.to);
    apart == 1 || apart + 1 == walls
}

impl Brush<'_> {
    /// Handles to drag, and lengths to read and to click, on what is selected.
    pub(super) fn handles(&self, selected: Selected, plan: &Plan, written: &mut Written) {
        let palette = self.palette;
        let letters = written.taken.clone();
        let taken = &mut written.taken;
        // Lengths lie over all other writing.
        let mut figures: Vec<Placed> = Vec::new();
        let mut typed = |of: Selected, field: &'static str, rect: Rect| {
            figures.push(Placed { what: Pick::Figure(of, field), rect });
        };
        let handle = |p: Point| {
            // A corner's letter stays readable: it gets a ring.
            let under = letters.iter().find(|rect| rect.center().distance(self.at(p)) < 2.0);
            if let Some(letter) = under {
                let stroke = Stroke::new(2.0, palette.chalk);
                self.painter.circle_stroke(self.at(p), letter.height() / 2.0 + 1.5, stroke);
                return;
            }
            let rect = Rect::from_center_size(self.at(p), Vec2::splat(8.0));
            self.painter.rect(rect, 1.0, palette.card, Stroke::new(1.6, palette.chalk), StrokeKind::Middle);
        };
        if let Some(room) = selected.room().and_then(|room| plan.rooms.get(room)) {
            room.walls.iter().for_each(|wall| handle(wall.corner));
            for index in 0..room.walls.len() {
                let (Some((a, b)), Some((_, away))) = (room.wall_line(index), room.wall_axes(index)) else {
                    continue;
                };
                let room_for_figure = self.view.points(a.distance(b)) > 46.0;
                let is_it = matches!(selected, Selected::Wall(_, wall) if wall == index);
                if room_for_figure && !is_it {
                    let out = vec2(away.x as f32, -away.y as f32);
                    let mut text = format_length(a.distance(b), self.units);
                    if self.view.points(a.distance(b)) > 110.0 {
                        // As it is called in the job and on the sheets.
                        text = format!("wall {} · {text}", index + 1);
                    }
                    let rect = self.figure_beside([self.at(a), self.at(b)], out, &text, taken);
                    let room = selected.room().unwrap_or_default();
                    typed(Selected::Wall(room, index), "length of the wall", rect);
                }
            }
        }
        if let Selected::Doorway(doorway) = selected {
            let names = ["distance from the corner", "distance from the wall's other end"];
            for (rect, name) in self.distances(plan, doorway, taken).into_iter().zip(names) {
                typed(selected, name, rect);
            }
        }
        if let Selected::Fixture(index) = selected
            && let Some(fixture) = plan.fixtures.get(index)
        {
            for (name, towards) in [
                ("From the wall at its left", Point::new(-1.0, 0.0)),
                ("From the wall below", Point::new(0.0, -1.0)),
            ] {
                let Some((side, wall, distance)) = crate::job::to_wall(plan, index, towards) else {
                    continue;
                };
                let (from, to) = (self.at(side), self.at(wall));
                self.painter.line_segment([from, to], Stroke::new(1.4, palette.chalk));
                let beside = vec2(towards.y.abs() as f32, -towards.x.abs() as f32);
                let figure = format_length(distance, self.units);
                typed(selected, name, self.figure_beside([from, to], beside, &figure, taken));
            }
            fixture.outline.iter().copied().for_each(handle);
        }
        if let Selected::Joint(index) = selected
            && let Some(joint) = plan.joints.get(index)
        {
            [joint.from, joint.to].into_iter().for_each(handle);
        }
        written.placed.splice(0..0, figures);
    }

    /// How far a doorway stands from the corners of its wall, on the near face; each with its corner's number. Gives where
    /// they are written.
    fn distances(&self, plan: &Plan, doorway: usize, taken: &mut Vec<Rect>) -> Vec<Rect> {
        let mut places = Vec::new();
        let (Some(ends), Some(drawn)) = (doorway_ends(plan, doorway), plan.doorways.get(doorway)) else {
            return places;
        };
        let (first, second, away) = ends;
        let room = plan.room_index(&drawn.room).and_then(|room| plan.rooms.get(room));
        let Some((room, (from, to))) = room.and_then(|room| Some((room, room.wall_line(drawn.wall)?))) else {
            return places;
        };
        let next = (drawn.wall + 1) % room.walls.len().max(1);
        let rest = from.distance(to) - drawn.at - drawn.width;
        let inwards = vec2(-away.x as f32, away.y as f32);
        let stroke = Stroke::new(1.4, self.palette.chalk);
        for (corner, jamb, number, mm) in [(from, first, drawn.wall, drawn.at), (to, second, next, rest)] {
            let (from, to) = (self.at(corner), self.at(jamb));
            self.painter.line_segment([from + inwards * 6.0, to + inwards * 6.0], stroke);
            for end in [from, to] {
                self.painter.line_segment([end + inwards * 1.0, end + inwards * 11.0], stroke);
            }
            let figure = format_length(mm, self.units);
            let text = match from.distance(to) > 96.0 {
                true => format!("corner {} · {figure}", number + 1),
                false => figure,
            };
            places.push(self.figure_beside([from, to], inwards, &text, taken));
        }
        places
    }

    /// The lines of a room's tape: diagonals, walls that are doubted, and what is taped next. They lie under the floor's writing, which
    /// they would strike through.
    pub(super) fn tape_lines(&self, plan: &Plan, found: &crate::tape::Found) {
        let palette = self.palette;
        let Some(room) = plan.rooms.get(found.room) else { return };
        let at = |corner: usize| room.walls.get(corner).map(|wall| self.at(wall.corner));
        for (index, taped) in room.tape.iter().enumerate() {
            let (Some(from), Some(to)) = (at(taped.from), at(taped.to)) else { continue };
            match (is_wall(taped, room.walls.len()), found.is_doubted(index)) {
                (true, false) => {}
                (true, true) => {
                    self.painter.line_segment([from, to], Stroke::new(4.0, palette.fault));
                }
                (false, is_doubted) => {
                    let ink = if is_doubted { palette.fault } else { palette.chalk };
                    let (dash, gap) = if taped.set_aside { (2.0, 7.0) } else { (9.0, 5.0) };
                    self.painter.extend(Shape::dashed_line(&[from, to], Stroke::new(1.5, ink), dash, gap));
                }
            }
        }
        for (a, b) in &found.next {
            if let (Some(from), Some(to)) = (at(*a), at(*b)) {
                let thin = Stroke::new(1.2, palette.weak);
                self.painter.extend(Shape::dashed_line(&[from, to], thin, 2.0, 6.0));
            }
        }
    }

    /// A room's tape: what it showed along the diagonals, what is doubted marked, and the corners with their numbers.
    pub(super) fn tape(&self, plan: &Plan, found: &crate::tape::Found, taken: &mut Vec<Rect>) {
        let palette = self.palette;
        let Some(room) = plan.rooms.get(found.room) else { return };
        let at = |corner: usize| room.walls.get(corner).map(|wall| self.at(wall.corner));
        for (index, taped) in room.tape.iter().enumerate() {
            let (Some(from), Some(to)) = (at(taped.from), at(taped.to)) else { continue };
            if !is_wall(taped, room.walls.len()) {
                let along = (to - from).normalized();
                let beside = vec2(along.y, -along.x);
                let mark = if found.is_doubted(index) { "? " } else { "" };
                let text = format!("{mark}{}", format_length(taped.length, self.units));
                self.figure_beside([from, to], beside * 0.2, &text, taken);
            }
        }
        for (index, wall) in room.walls.iter().enumerate() {
            let rect = Rect::from_center_size(self.at(wall.corner), Vec2::splat(20.0));
            self.painter.circle(rect.center(), 9.5, palette.card, Stroke::new(1.6, palette.chalk));
            let number = (index + 1).to_string();
            self.painter.text(rect.center(), Align2::CENTER_CENTER, number, strong_font(12.0), palette.ink);
            taken.push(rect);
        }
    }

    /// A figure that stands clear of a wall on the side to which `out` points, and of other writing; where it stands.
    pub(super) fn figure_beside(
        &self,
        [a, b]: [Pos2; 2],
        out: Vec2,
        text: &str,
        taken: &mut Vec<Rect>,
    ) -> Rect {
        let size = self.painter.layout_no_wrap(text.to_owned(), strong_font(12.5), self.palette.ink).size();
        let size = size + vec2(10.0, 3.0);
        let away = 10.0 + out.x.abs() * size.x / 2.0 + out.y.abs() * size.y / 2.0;
        let at = |(t, farther): (f32, f32)| a.lerp(b, t) + out * (away + farther * size.y);
        let along = [0.5, 0.36, 0.64, 0.22, 0.78, 0.1, 0.9];
        // Beside the wall, then a line of writing farther off.
        let places = [0.0, 1.1, 2.2].into_iter().flat_map(|farther| along.map(|t| at((t, farther))));
        // What other writing is hidden there.
        let hides = |at: Pos2| {
            let card = Rect::from_center_size(at, size);
            let common = taken.iter().map(|rect| rect.intersect(card)).filter(|common| common.is_positive());
            common.map(|common| common.area()).sum::<f32>()
        };
        // The first of equals.
        let mut best = (f32::INFINITY, at((0.5, 0.0)));
        for place in places {
            let hidden = hides(place);
            if hidden < best.0 {
                best = (hidden, place);
            }
            if hidden == 0.0 {
                break;
            }
        }
        let at = best.1;
        let place = Rect::from_center_size(at, size);
        taken.push(place);
        self.figure(at, text);
        place
    }

    pub(super) fn figure(&self, at: Pos2, text: &str) {
        let palette = self.palette;
        let galley = self.painter.layout_no_wrap(text.to_owned(), strong_font(12.5), palette.ink);
        let rect = Rect::from_center_size(at, galley.size() + vec2(10.0, 3.0));
        self.painter.rect_filled(rect, 3.0, palette.card.gamma_multiply(0.94));
        self.painter.galley(rect.center() - galley.size() / 2.0, galley, palette.ink);
    }
}
