//! What lies over the floor: hover, selection and its handles, what is being drawn, catching, hints.

use super::paint::chalk;
use super::snap::{Equal, Hint, Snapped};
use super::view::View;
use super::{Shown, Span};
use crate::geometry::doorway_ends;
use crate::names;
use crate::palette::{Palette, strong_font, text_font};
use crate::select::Selected;
use crate::tool::{Pick, Surroundings};
use egui::{Align2, CursorIcon, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2};
use pipeline::House;
use plan::{Covering, Plan, Point, Units, format_length};

/// What is being drawn.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) enum Ghost {
    #[default]
    None,
    Room {
        corners: Vec<Point>,
        next: Option<Point>,
        typed: String,
        /// The next wall ends where the hand points, so that its length means something.
        pointed: bool,
    },
    Doorway {
        start: Point,
        end: Point,
        away: Point,
    },
    Rectangle(Point, Point),
    /// A band round things.
    Band(Point, Point),
    Line(Point, Point),
}

/// What a tool shows over the floor.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Overlay {
    pub(crate) cursor: Option<CursorIcon>,
    pub(crate) hint: String,
    /// What the desk has to say about the last step.
    pub(crate) said: String,
    /// What is not shown, in words.
    pub(crate) hidden: String,
    pub(crate) snapped: Option<Snapped>,
    pub(crate) ghost: Ghost,
    pub(crate) hover: Selected,
}

impl Overlay {
    /// The overlay of the tool that picks, with the pointer over something.
    pub(crate) fn hovering(over: Pick, around: &Surroundings<'_>) -> Self {
        let plan = around.plan;
        let units = plan.units;
        let (cursor, hint) = match over {
            Pick::Nothing => (None, String::new()),
            Pick::Flag(flag) => {
                let flag = around.house.and_then(|house| house.flags.get(flag));
                (
                    Some(CursorIcon::PointingHand),
                    flag.map(|f| format!("{} · {}", f.place, f.mend)).unwrap_or_default(),
                )
            }
            Pick::Corner(room, _) => {
                let name = plan.rooms.get(room).map_or("", |room| &room.name);
                (Some(CursorIcon::Grab), format!("Corner of {name} · drag it"))
            }
            Pick::Wall(room, wall) => {
                let length =
                    plan.rooms.get(room).and_then(|r| r.wall_line(wall)).map_or(0.0, |(a, b)| a.distance(b));
                let name = names::wall(plan, room, wall);
                (
                    Some(CursorIcon::Grab),
                    format!("{name} · {} · drag it, or click and type", format_length(length, units)),
                )
            }
            Pick::Doorway(doorway) => {
                let name = plan.doorways.get(doorway).map_or("", |d| &d.name);
                (Some(CursorIcon::Grab), format!("{name} · drag it along its wall"))
            }
            Pick::Fixture(fixture) | Pick::FixtureCorner(fixture, _) => {
                let name = plan.fixtures.get(fixture).map_or("", |f| &f.name);
                (Some(CursorIcon::Grab), format!("{name} · drag it"))
            }
            Pick::Joint(joint) | Pick::JointEnd(joint, _) => {
                let name = plan.joints.get(joint).map(|j| j.called(joint)).unwrap_or_default();
                (Some(CursorIcon::Grab), format!("{name} · drag it, or its ends; click for its width"))
            }
            Pick::Dimension(index) => {
                let length = plan.dimensions.get(index).and_then(|dimension| dimension.length(plan));
                let figure =
                    length.map(|mm| format_length((mm * 10.0).round() / 10.0, units)).unwrap_or_default();
                (
                    Some(CursorIcon::Grab),
                    format!("Dimension {figure} · drag its line aside; click for what it is on"),
                )
            }
            Pick::Line => {
                (Some(CursorIcon::Grab), "Start line · drag it, or double-click for the best".into())
            }
            Pick::Board(board) => (
                Some(CursorIcon::Default),
                around.house.and_then(|house| crate::card::board_line(house, board)).unwrap_or_default(),
            ),
            Pick::Room(room) => {
                let name = plan.rooms.get(room).map_or("", |room| &room.name);
                (Some(CursorIcon::PointingHand), format!("{name} · click for its name, covering and walls"))
            }
        };
        Self { cursor, hint, hover: over.selected(), ..Self::default() }
    }
}

/// Where something is on the plan, for its card and for bringing it into view.
pub(crate) fn extent_of(selected: Selected, plan: &Plan, house: Option<&House>) -> Option<Span> {
    match selected {
        Selected::Nothing => None,
        Selected::Room(room) => Span::of(plan.rooms.get(room)?.outline().into_iter().map(|(p, _)| p)),
        Selected::Wall(room, wall) => Span::of(<[Point; 2]>::from(plan.rooms.get(room)?.wall_line(wall)?)),
        Selected::Corner(room, wall) => Span::of([plan.rooms.get(room)?.walls.get(wall)?.corner]),
        Selected::Doorway(doorway) => {
            let (a, b, away) = doorway_ends(plan, doorway)?;
            let depth = plan.doorways.get(doorway)?.wall_thickness;
            let out = |p: Point| p.moved(away.x * depth, away.y * depth);
            Span::of([a, b, out(a), out(b)])
        }
        Selected::Fixture(fixture) => Span::of(plan.fixtures.get(fixture)?.outline.iter().copied()),
        Selected::Joint(joint) => {
            let drawn = plan.joints.get(joint)?;
            Span::of([drawn.from, drawn.to])
        }
        Selected::Dimension(index) => {
            let dimension = plan.dimensions.get(index)?;
            let ((a, b), (c, d)) = dimension.line(plan).zip(dimension.ends(plan))?;
            Span::of([a, b, c, d])
        }
        Selected::Board(board) => {
            let house = house?;
            let outline = &house.floor.boards.get(board)?.outline.outer;
            Span::of(outline.iter().map(|p| house.site.frame.plan_from_row(*p)))
        }
        Selected::Flag(flag) => Span::of([house?.flags.get(flag)?.at]),
        Selected::Line => {
            let line = house?.setout.line.as_ref()?;
            let (across, up) = ((line.from.x - line.to.x).abs(), (line.from.y - line.to.y).abs());
            // A slanting line's box holds half the floor: its middle stands for it.
            let is_straight = across.min(up) < 0.05 * across.max(up);
            Span::of(if is_straight { [line.from, line.to] } else { [line.from.lerp(line.to, 0.5); 2] })
        }
    }
}

/// Paints what lies on the floor but under its writing: the plan ahead of its floor, hover, selection.
pub(super) fn paint_under(
    painter: &Painter,
    overlay: &Overlay,
    shown: &Shown<'_>,
    view: &View,
    palette: &Palette,
) {
    let plan = shown.document.plan();
    let brush = Brush { painter, view, palette, units: plan.units };
    let house = shown.compute.house().map(|house| &**house);
    if !shown.compute.is_current() {
        brush.outlines(plan, house.is_none());
    }
    if overlay.hover != shown.selected {
        brush.mark(overlay.hover, plan, house, Stroke::new(3.0, palette.chalk.gamma_multiply(0.4)));
    }
    for thing in shown.together.iter().chain([&shown.selected]) {
        brush.mark(*thing, plan, house, Stroke::new(2.6, palette.chalk));
    }
}

/// Paints what lies over everything, and gives where all writing lies now: handles, what is being drawn, what is caught, words at the foot.
pub(super) fn paint_over(
    painter: &Painter,
    overlay: &Overlay,
    shown: &Shown<'_>,
    view: &View,
    palette: &Palette,
    taken: &[Rect],
) -> Vec<Rect> {
    let plan = shown.document.plan();
    let brush = Brush { painter, view, palette, units: plan.units };
    let mut taken = brush.handles(shown.selected, plan, taken);
    if let Some(found) = shown.tape.filter(|found| shown.selected.room() == Some(found.room)) {
        brush.tape(plan, found, &mut taken);
    }
    brush.ghost(&overlay.ghost);
    if let Some(snapped) = overlay.snapped {
        brush.caught(snapped, plan);
    }
    if plan.rooms.is_empty() && overlay.ghost == Ghost::None && overlay.snapped.is_none() {
        let text = "Draw the first room: press R, then click its corners or type its walls' lengths";
        painter.text(view.rect.center(), Align2::CENTER_CENTER, text, text_font(15.0), palette.weak);
    }
    let hidden = match overlay.hidden.as_str() {
        "" => String::new(),
        hidden => {
            let keys = crate::command::Command::ShowAll.keys_text(painter.ctx());
            format!("Hidden: {hidden} · {keys} shows everything")
        }
    };
    brush.foot([&overlay.hint, &overlay.said, &hidden]);
    brush.pins(plan);
    taken
}

struct Brush<'a> {
    painter: &'a Painter,
    view: &'a View,
    palette: &'a Palette,
    units: Units,
}

impl Brush<'_> {
    fn at(&self, p: Point) -> Pos2 {
        self.view.screen_from_plan(p)
    }

    fn ring(&self, points: impl IntoIterator<Item = Point>, stroke: Stroke) {
        let points: Vec<_> = points.into_iter().map(|p| self.at(p)).collect();
        self.painter.add(Shape::closed_line(points, stroke));
    }

    /// The plan as it is now, while the floor shown is not yet its own.
    fn outlines(&self, plan: &Plan, bare: bool) {
        let palette = self.palette;
        for room in &plan.rooms {
            let points: Vec<_> = room.outline().into_iter().map(|(p, _)| p).collect();
            if bare {
                let ground =
                    if room.covering == Covering::Boards { palette.card } else { palette.other_floor };
                let mut mesh = egui::Mesh::default();
                for quad in super::trapezoid::fill(std::slice::from_ref(&points)) {
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
        for fixture in &plan.fixtures {
            self.ring(fixture.outline.iter().copied(), Stroke::new(1.0, palette.ink));
        }
        for doorway in 0..plan.doorways.len() {
            if let Some((a, b, _)) = doorway_ends(plan, doorway) {
                self.painter.line_segment([self.at(a), self.at(b)], Stroke::new(3.0, palette.look));
            }
        }
    }

    fn mark(&self, selected: Selected, plan: &Plan, house: Option<&House>, stroke: Stroke) {
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

    /// Handles to drag and lengths to read on what is selected.
    fn handles(&self, selected: Selected, plan: &Plan, taken: &[Rect]) -> Vec<Rect> {
        let palette = self.palette;
        let letters = taken;
        let mut taken = taken.to_vec();
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
                    self.figure_beside([self.at(a), self.at(b)], out, &text, &mut taken);
                }
            }
        }
        if let Selected::Doorway(doorway) = selected
            && let Some((jamb, _, away)) = doorway_ends(plan, doorway)
            && let Some(drawn) = plan.doorways.get(doorway)
        {
            // From which corner its distance is taken, on the near face.
            let room = plan.room_index(&drawn.room).and_then(|room| plan.rooms.get(room));
            if let Some((corner, _)) = room.and_then(|room| room.wall_line(drawn.wall)) {
                let (from, to) = (self.at(corner), self.at(jamb));
                let inwards = vec2(-away.x as f32, away.y as f32);
                let stroke = Stroke::new(1.4, palette.chalk);
                self.painter.line_segment([from + inwards * 6.0, to + inwards * 6.0], stroke);
                for end in [from, to] {
                    self.painter.line_segment([end + inwards * 1.0, end + inwards * 11.0], stroke);
                }
                self.figure_beside([from, to], inwards, &format_length(drawn.at, self.units), &mut taken);
            }
        }
        if let Selected::Fixture(index) = selected
            && let Some(fixture) = plan.fixtures.get(index)
        {
            for towards in [Point::new(-1.0, 0.0), Point::new(0.0, -1.0)] {
                let Some((side, wall, distance)) = crate::job::to_wall(plan, index, towards) else {
                    continue;
                };
                let (from, to) = (self.at(side), self.at(wall));
                self.painter.line_segment([from, to], Stroke::new(1.4, palette.chalk));
                let beside = vec2(towards.y.abs() as f32, -towards.x.abs() as f32);
                self.figure_beside([from, to], beside, &format_length(distance, self.units), &mut taken);
            }
            fixture.outline.iter().copied().for_each(handle);
        }
        if let Selected::Joint(index) = selected
            && let Some(joint) = plan.joints.get(index)
        {
            [joint.from, joint.to].into_iter().for_each(handle);
        }
        taken
    }

    /// A room's tape: its corners numbered, its diagonals drawn with what the tape showed, what is doubted marked.
    fn tape(&self, plan: &Plan, found: &crate::tape::Found, taken: &mut Vec<Rect>) {
        let palette = self.palette;
        let Some(room) = plan.rooms.get(found.room) else { return };
        let count = room.walls.len();
        let at = |corner: usize| room.walls.get(corner).map(|wall| self.at(wall.corner));
        let is_doubted = |index: usize| {
            found.tape.as_ref().is_ok_and(|tape| tape.lines.get(index).is_some_and(|line| line.doubted))
        };
        for (index, taped) in room.tape.iter().enumerate() {
            let (Some(from), Some(to)) = (at(taped.from), at(taped.to)) else { continue };
            let ink = if is_doubted(index) { palette.fault } else { palette.chalk };
            let is_wall =
                matches!(taped.from.abs_diff(taped.to), 1) || taped.from.abs_diff(taped.to) + 1 == count;
            match (is_wall, is_doubted(index)) {
                (true, false) => {}
                (true, true) => {
                    self.painter.line_segment([from, to], Stroke::new(4.0, ink));
                }
                (false, _) => {
                    let dashes = if taped.set_aside { (2.0, 7.0) } else { (9.0, 5.0) };
                    self.painter.extend(Shape::dashed_line(
                        &[from, to],
                        Stroke::new(1.5, ink),
                        dashes.0,
                        dashes.1,
                    ));
                    let along = (to - from).normalized();
                    let beside = vec2(along.y, -along.x);
                    let mark = if is_doubted(index) { "? " } else { "" };
                    let text = format!("{mark}{}", format_length(taped.length, self.units));
                    self.figure_beside([from, to], beside * 0.2, &text, taken);
                }
            }
        }
        for (a, b) in &found.next {
            if let (Some(from), Some(to)) = (at(*a), at(*b)) {
                let thin = Stroke::new(1.2, palette.weak);
                self.painter.extend(Shape::dashed_line(&[from, to], thin, 2.0, 6.0));
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

    /// A figure that stands clear of a wall on the side to which `out` points, and of other writing.
    fn figure_beside(&self, [a, b]: [Pos2; 2], out: Vec2, text: &str, taken: &mut Vec<Rect>) {
        let size = self.painter.layout_no_wrap(text.to_owned(), strong_font(12.5), self.palette.ink).size();
        let size = size + vec2(10.0, 3.0);
        let away = 10.0 + out.x.abs() * size.x / 2.0 + out.y.abs() * size.y / 2.0;
        let places = [0.5, 0.36, 0.64, 0.22, 0.78].map(|t| a.lerp(b, t) + out * away);
        let is_free =
            |at: &&Pos2| taken.iter().all(|rect| !rect.intersects(Rect::from_center_size(**at, size)));
        let at = *places.iter().find(is_free).unwrap_or(&places[0]);
        taken.push(Rect::from_center_size(at, size));
        self.figure(at, text);
    }

    fn figure(&self, at: Pos2, text: &str) {
        let palette = self.palette;
        let galley = self.painter.layout_no_wrap(text.to_owned(), strong_font(12.5), palette.ink);
        let rect = Rect::from_center_size(at, galley.size() + vec2(10.0, 3.0));
        self.painter.rect_filled(rect, 3.0, palette.card.gamma_multiply(0.94));
        self.painter.galley(rect.center() - galley.size() / 2.0, galley, palette.ink);
    }

    fn ghost(&self, ghost: &Ghost) {
        let palette = self.palette;
        let firm = Stroke::new(2.4, palette.ink);
        let loose = Stroke::new(2.0, palette.chalk);
        match ghost {
            Ghost::None => {}
            Ghost::Room { corners, next, typed, pointed } => {
                let points: Vec<_> = corners.iter().map(|p| self.at(*p)).collect();
                self.painter.add(Shape::line(points.clone(), firm));
                if let (Some(last), Some(next)) = (corners.last(), next) {
                    self.painter.line_segment([self.at(*last), self.at(*next)], loose);
                    if corners.len() > 1 {
                        let back = Stroke::new(1.0, palette.weak);
                        self.painter.extend(Shape::dashed_line(&[self.at(*next), points[0]], back, 5.0, 5.0));
                    }
                    let shown = if typed.is_empty() {
                        format_length(last.distance(*next), self.units)
                    } else {
                        typed.clone()
                    };
                    if !typed.is_empty() || (*pointed && last.distance(*next) > 0.05) {
                        let middle = self.at(last.lerp(*next, 0.5));
                        self.figure(middle - vec2(0.0, 16.0), &shown);
                    }
                }
                for pair in corners.windows(2) {
                    let text = format_length(pair[0].distance(pair[1]), self.units);
                    self.figure(self.at(pair[0].lerp(pair[1], 0.5)), &text);
                }
                for point in points {
                    self.painter.circle(point, 4.0, palette.card, Stroke::new(1.6, palette.ink));
                }
            }
            Ghost::Doorway { start, end, away } => {
                let depth = 110.0;
                let out = |p: Point| p.moved(away.x * depth, away.y * depth);
                let corners = [*start, *end, out(*end), out(*start)].map(|p| self.at(p));
                self.painter.add(Shape::convex_polygon(corners.to_vec(), palette.chalk_wash, loose));
            }
            Ghost::Line(a, b) => {
                self.painter.line_segment([self.at(*a), self.at(*b)], loose);
                for end in [a, b] {
                    self.painter.circle(self.at(*end), 4.0, palette.card, Stroke::new(1.6, palette.chalk));
                }
                let text = format_length(a.distance(*b), self.units);
                self.figure(self.at(a.lerp(*b, 0.5)) - vec2(0.0, 16.0), &text);
            }
            Ghost::Band(a, b) => {
                let rect = Rect::from_two_pos(self.at(*a), self.at(*b));
                self.painter.rect_filled(rect, 0.0, palette.chalk_wash.gamma_multiply(0.5));
                let ring = [
                    rect.left_top(),
                    rect.right_top(),
                    rect.right_bottom(),
                    rect.left_bottom(),
                    rect.left_top(),
                ];
                self.painter.extend(Shape::dashed_line(&ring, Stroke::new(1.4, palette.chalk), 6.0, 4.0));
            }
            Ghost::Rectangle(a, b) => {
                let rect = Rect::from_two_pos(self.at(*a), self.at(*b));
                self.painter.rect(rect, 0.0, palette.chalk_wash, loose, StrokeKind::Middle);
                let text = format!(
                    "{} × {}",
                    format_length((a.x - b.x).abs(), self.units),
                    format_length((a.y - b.y).abs(), self.units)
                );
                self.figure(rect.center_top() - vec2(0.0, 14.0), &text);
            }
        }
    }

    /// Shows what the pointer has caught.
    fn caught(&self, snapped: Snapped, plan: &Plan) {
        let at = self.at(snapped.at);
        let stroke = Stroke::new(1.4, self.palette.chalk);
        let guide = |to: Point| {
            let thin = Stroke::new(0.9, self.palette.chalk.gamma_multiply(0.7));
            self.painter.extend(Shape::dashed_line(&[at, self.at(to)], thin, 3.0, 4.0));
        };
        match snapped.hint {
            None => {}
            Some(Hint::Corner) => {
                self.painter.rect_stroke(
                    Rect::from_center_size(at, Vec2::splat(11.0)),
                    0.0,
                    stroke,
                    StrokeKind::Middle,
                );
            }
            Some(Hint::Edge) => {
                self.painter.circle_stroke(at, 5.5, stroke);
            }
            Some(Hint::Beyond) => {
                self.painter.circle_stroke(at, 5.5, stroke);
                self.figure(at + vec2(0.0, 22.0), "other side of the wall");
            }
            Some(Hint::Line(other)) => {
                guide(other);
                self.painter.circle_filled(at, 3.0, self.palette.chalk);
            }
            Some(Hint::Crossing(one, other)) => {
                guide(one);
                guide(other);
                self.painter.circle_filled(at, 3.5, self.palette.chalk);
            }
            Some(Hint::Extension(end) | Hint::Square(end)) => {
                guide(end);
                self.painter.circle_filled(at, 3.0, self.palette.chalk);
            }
            Some(Hint::Middle) => {
                self.painter.circle_stroke(at, 5.5, stroke);
                self.figure(at + vec2(0.0, 22.0), "middle of the wall");
            }
            Some(Hint::Equal(equal)) => {
                self.painter.circle_filled(at, 3.5, self.palette.chalk);
                let words = match equal {
                    Equal::Wall(room, wall) => format!("as long as {}", names::wall(plan, room, wall)),
                    Equal::Drawn(wall) => format!("as long as your wall {}", wall + 1),
                };
                self.figure(at + vec2(0.0, 22.0), &words);
            }
            Some(Hint::Grid) => {
                for arm in [vec2(5.0, 0.0), vec2(0.0, 5.0)] {
                    self.painter.line_segment([at - arm, at + arm], Stroke::new(1.0, stroke.color));
                }
            }
        }
    }

    /// A pin's head on what is pinned down, as large as a thumb's on any scale.
    fn pins(&self, plan: &Plan) {
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

    /// At the foot of the floor: what the tool waits for or the pointer is over, and over it what the
    /// desk has to say.
    fn foot(&self, [hint, said, hidden]: [&str; 3]) {
        let mut bottom = self.view.rect.bottom() - 14.0;
        for (text, ink) in [(hint, self.palette.weak), (said, self.palette.ink), (hidden, self.palette.look)]
        {
            if text.is_empty() {
                continue;
            }
            let galley = self.painter.layout_no_wrap(text.to_owned(), text_font(13.0), ink);
            let min = pos2(self.view.rect.left() + 20.0, bottom - galley.size().y);
            let rect = Rect::from_min_size(min, galley.size()).expand2(vec2(8.0, 4.0));
            self.painter.rect_filled(rect, 3.0, self.palette.paper.gamma_multiply(0.92));
            self.painter.galley(min, galley, ink);
            bottom = rect.top() - 4.0;
        }
    }
}
