//! A scene's parts as shapes in the desk's colours.

use super::baked::Strips;
use super::scene::{Part, Scene};
use super::view::View;
use crate::laying::Laid;
use crate::palette::Palette;
use drawing::Role;
use egui::{Color32, Mesh, Pos2, Shape, Stroke};
use plan::Point;

pub(super) fn shapes(scene: &Scene, view: &View, palette: &Palette, laid: Option<&Laid<'_>>) -> Vec<Shape> {
    let brush = Brush::new(view, palette, scene.pitch, laid);
    let mut shapes = Vec::new();
    for layer in &scene.layers {
        // Boards are filled together before their joints are drawn: a neighbour's fill would cover
        // half of each joint.
        let is_boards = matches!(layer.role, Role::Board { .. });
        for together in layer.parts.chunks(if is_boards { layer.parts.len() } else { 1 }) {
            let mut mesh = Mesh::default();
            together.iter().for_each(|part| brush.fill(part, &mut mesh));
            together.iter().for_each(|part| brush.grain(part, &mut mesh));
            if !mesh.is_empty() {
                shapes.push(Shape::mesh(mesh));
            }
            if matches!(layer.role, Role::OtherFloor | Role::OtherOpening | Role::TileArea) {
                together.iter().for_each(|part| brush.tiles(part, &mut shapes));
            }
            together.iter().for_each(|part| brush.lines(part, &mut shapes));
        }
    }
    shapes
}

/// What the house has besides its boards, alone: what lies under them, walls with their openings, or what stands on them.
pub(super) fn house(scene: &Scene, view: &View, palette: &Palette, is_over: bool) -> Vec<Shape> {
    let brush = Brush::new(view, palette, scene.pitch, None);
    let stands = |role: Role| match role {
        Role::WallBody | Role::WallFace | Role::Opening | Role::OtherOpening => !is_over,
        Role::Glazing | Role::Cabinets | Role::Fixture | Role::TileArea => is_over,
        _ => false,
    };
    let mut shapes = Vec::new();
    for part in scene.parts().filter(|part| stands(part.role)) {
        let mut mesh = Mesh::default();
        brush.fill(part, &mut mesh);
        if !mesh.is_empty() {
            shapes.push(Shape::mesh(mesh));
        }
        brush.lines(part, &mut shapes);
    }
    shapes
}

pub(super) struct Brush<'a> {
    view: &'a View,
    palette: &'a Palette,
    /// A board's width on the screen, points.
    pub(super) board_points: f32,
    laid: Option<&'a Laid<'a>>,
}

impl<'a> Brush<'a> {
    pub(super) fn new(view: &'a View, palette: &'a Palette, pitch: f64, laid: Option<&'a Laid<'a>>) -> Self {
        Self { view, palette, board_points: view.points(pitch), laid }
    }

    /// Whether a part shows a board that does not lie yet.
    fn is_to_come(&self, part: &Part) -> bool {
        self.laid.zip(part.board).is_some_and(|(laid, board)| !laid.is_down(board))
    }

    pub(super) fn fill_color(&self, role: Role) -> Color32 {
        let palette = self.palette;
        match role {
            Role::OtherFloor | Role::OtherOpening | Role::TileArea => palette.other_floor,
            Role::BareFloor | Role::Opening => palette.bare_floor,
            Role::WallBody => palette.wall,
            Role::Glazing => palette.glazing,
            Role::Cabinets => palette.fixture,
            Role::Board { tone } => palette.wood[usize::from(tone) % palette.wood.len()],
            Role::FlaggedBoard => palette.fault.gamma_multiply(0.30),
            Role::Fixture => palette.fixture,
            Role::UnderFloor => palette.under.gamma_multiply(0.22),
            Role::Leaf => palette.card,
            Role::MovementJoint => palette.joint,
            Role::Slab => palette.wall_face.gamma_multiply(0.35),
            Role::Bed => palette.weak.gamma_multiply(0.7),
            Role::Sealant => palette.weak,
            Role::TrimStrip => palette.fixture,
            Role::Leader => palette.ink,
            _ => Color32::TRANSPARENT,
        }
    }

    fn stroke(&self, role: Role) -> Stroke {
        let palette = self.palette;
        match role {
            // Joints fade as boards grow small, or the floor turns into a dark mesh.
            Role::Board { .. } => {
                let strength = ((self.board_points - 2.0) / 10.0).clamp(0.0, 0.85);
                Stroke::new(
                    if self.board_points > 40.0 { 1.2 } else { 0.8 },
                    palette.seam.gamma_multiply(strength),
                )
            }
            Role::FlaggedBoard => Stroke::new(1.6, palette.fault),
            Role::WallFace => Stroke::new(1.5, palette.wall_face),
            Role::BoardOutline => Stroke::new(0.8, palette.seam),
            Role::LaidHatch => Stroke::new(1.0, palette.seam.gamma_multiply(0.6)),
            Role::Fixture | Role::Cabinets => Stroke::new(1.2, palette.ink),
            Role::Glazing => Stroke::new(1.0, palette.wall_face),
            Role::UnderFloor => Stroke::new(1.2, palette.under),
            Role::Leaf => Stroke::new(1.0, palette.ink),
            Role::Stop => Stroke::new(1.6, palette.ink),
            Role::StageHatch { .. } => Stroke::new(1.0, palette.ink.gamma_multiply(0.62)),
            Role::MovementJoint => Stroke::new(1.2, palette.ink),
            Role::Slab | Role::TrimStrip => Stroke::new(1.0, palette.ink),
            Role::WearLayer => Stroke::new(0.8, palette.seam),
            Role::Leader => Stroke::new(1.0, palette.ink),
            Role::Pull | Role::CheckPull | Role::Dimension => Stroke::new(1.2, palette.ink),
            _ => Stroke::NONE,
        }
    }

    fn to_screen(&self, points: &[Point]) -> Vec<Pos2> {
        points.iter().map(|p| self.view.screen_from_plan(*p)).collect()
    }

    pub(super) fn fill(&self, part: &Part, mesh: &mut Mesh) {
        let color = self.fill_color(part.role);
        if color == Color32::TRANSPARENT || self.is_to_come(part) {
            return;
        }
        for quad in &part.fill {
            add_quad(mesh, quad.map(|p| self.view.screen_from_plan(p)), color);
        }
    }

    /// A few faint streaks along each board, once boards are large enough to show them.
    pub(super) fn grain(&self, part: &Part, mesh: &mut Mesh) {
        let (Some(board), Role::Board { .. }) = (part.board, part.role) else { return };
        if self.board_points < 9.0 || self.is_to_come(part) {
            return;
        }
        let Some(quad) = part.fill.iter().max_by(|a, b| size(a).total_cmp(&size(b))) else { return };
        let [a, b, c, d] = quad.map(|p| self.view.screen_from_plan(p));
        // The streaks run along the longer pair of sides.
        let [a, b, c, d] = if (b - a).length() >= (d - a).length() { [a, b, c, d] } else { [d, a, b, c] };
        let color = self.palette.seam.gamma_multiply(0.16);
        let mut seed = (board as u32).wrapping_mul(2_654_435_761) | 1;
        let mut next = || {
            seed ^= seed << 13;
            seed ^= seed >> 17;
            seed ^= seed << 5;
            (seed >> 8) as f32 / (1_u32 << 24) as f32
        };
        for _ in 0..3 {
            let (across, from, length) = (0.15 + 0.7 * next(), next() * 0.7, 0.12 + 0.3 * next());
            let to = (from + length).min(0.97);
            let at = |t: f32| {
                let (low, high) = (a + (b - a) * t, d + (c - d) * t);
                low + (high - low) * across
            };
            let (p, q) = (at(from), at(to));
            let normal = (q - p).normalized().rot90() * 0.5;
            add_quad(mesh, [p - normal, q - normal, q + normal, p + normal], color);
        }
    }

    /// Joints of stone over a floor that is not boarded, so that it does not read as paper.
    pub(super) fn tiles(&self, part: &Part, shapes: &mut Vec<Shape>) {
        const TILE: f64 = 400.0;
        if self.view.points(TILE) < 7.0 {
            return;
        }
        let stroke = Stroke::new(1.0, self.palette.weak.gamma_multiply(0.22));
        let mut line = |a: Point, b: Point| {
            shapes.push(Shape::line_segment(
                [self.view.screen_from_plan(a), self.view.screen_from_plan(b)],
                stroke,
            ));
        };
        let multiples = |from: f64, to: f64| {
            let first = (from / TILE).ceil() as i64;
            (first..).map(|n| n as f64 * TILE).take_while(move |at| *at < to)
        };
        for [low_left, low_right, high_right, high_left] in &part.fill {
            let (low, high) = (low_left.y, high_left.y);
            let side = |a: &Point, b: &Point, y: f64| a.x + (b.x - a.x) * (y - low) / (high - low);
            for y in multiples(low, high) {
                line(
                    Point::new(side(low_left, high_left, y), y),
                    Point::new(side(low_right, high_right, y), y),
                );
            }
            // Sides are near upright in any room; where they slant, joints stop short of them.
            let (left, right) = (low_left.x.max(high_left.x), low_right.x.min(high_right.x));
            for x in multiples(left, right) {
                line(Point::new(x, low), Point::new(x, high));
            }
        }
    }

    /// A small board's joints as plain strips: of two boards side by side only one has the joint between them, the one
    /// above or to the right of it.
    pub(super) fn joints(&self, part: &Part, strips: &Strips, mesh: &mut Mesh) {
        let is_to_come = self.is_to_come(part);
        let stroke = match is_to_come {
            true => Stroke::new(0.8, self.palette.weak.gamma_multiply(0.6)),
            false => self.stroke(part.role),
        };
        if stroke.is_empty() {
            return;
        }
        for (points, _) in part.lines.iter().filter(|(_, closed)| *closed) {
            let next = |i: usize| points[(i + 1) % points.len()];
            let turn =
                (0..points.len()).map(|i| points[i].x * next(i).y - next(i).x * points[i].y).sum::<f64>();
            for (i, a) in points.iter().enumerate() {
                let b = next(i);
                // Round a board anticlockwise, its lower sides run to the right and its left ones down.
                let (dx, dy) = ((b.x - a.x) * turn.signum(), (b.y - a.y) * turn.signum());
                if is_to_come || dx > 0.0 || dx == 0.0 && dy < 0.0 {
                    let [a, b] = [*a, b].map(|p| self.view.screen_from_plan(p));
                    strips.add(mesh, a, b, stroke.width, stroke.color);
                }
            }
        }
    }

    pub(super) fn lines(&self, part: &Part, shapes: &mut Vec<Shape>) {
        if part.role == Role::StartLine {
            for (points, _) in &part.lines {
                chalk(&self.to_screen(points), self.palette.chalk, shapes);
            }
            return;
        }
        let stroke = match (self.is_to_come(part), part.role) {
            (true, Role::FlaggedBoard) => return,
            (true, _) => Stroke::new(0.8, self.palette.weak.gamma_multiply(0.6)),
            (false, role) => self.stroke(role),
        };
        if stroke.is_empty() {
            return;
        }
        for (points, closed) in &part.lines {
            let mut points = self.to_screen(points);
            if matches!(part.role, Role::CheckPull | Role::UnderFloor) {
                if *closed && let Some(first) = points.first() {
                    points.push(*first);
                }
                shapes.extend(Shape::dashed_line(&points, stroke, 5.0, 4.0));
            } else if *closed {
                shapes.push(Shape::closed_line(points, stroke));
            } else if let [a, b] = points[..] {
                shapes.push(Shape::line_segment([a, b], stroke));
            } else {
                shapes.push(Shape::line(points, stroke));
            }
        }
    }
}

fn size(quad: &[Point; 4]) -> f64 {
    crate::geometry::area(quad.iter().copied())
}

pub(super) fn add_quad(mesh: &mut Mesh, corners: [Pos2; 4], color: Color32) {
    let Ok(first) = u32::try_from(mesh.vertices.len()) else { return };
    for corner in corners {
        mesh.colored_vertex(corner, color);
    }
    mesh.add_triangle(first, first + 1, first + 2);
    mesh.add_triangle(first, first + 2, first + 3);
}

/// A snapped chalk line: a firm core with dust beside it.
pub(super) fn chalk(points: &[Pos2], color: Color32, shapes: &mut Vec<Shape>) {
    for ends in points.windows(2) {
        let (from, to) = (ends[0], ends[1]);
        let length = (to - from).length();
        if length < 1.0 {
            continue;
        }
        let along = (to - from) / length;
        let across = along.rot90();
        shapes.push(Shape::line_segment([from, to], Stroke::new(1.6, color.gamma_multiply(0.8))));
        let mut seed = 0x9e37_79b9_u32;
        let mut next = || {
            seed ^= seed << 13;
            seed ^= seed >> 17;
            seed ^= seed << 5;
            (seed >> 8) as f32 / (1_u32 << 24) as f32
        };
        let mut at = 0.0;
        while at < length {
            let streak = 2.0 + 9.0 * next();
            let off = (next() - 0.5) * 4.6;
            let end = (at + streak).min(length);
            let ends = [from + along * at + across * off, from + along * end + across * off];
            shapes
                .push(Shape::line_segment(ends, Stroke::new(0.9, color.gamma_multiply(0.25 + 0.4 * next()))));
            at += streak * 0.7;
        }
    }
}
