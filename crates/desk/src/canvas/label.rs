//! Paints a scene's labels on their plates: figures in rings, names on tags, flags as pennants.

use super::scene::{PAPER_MM, Scene};
use super::trapezoid;
use super::view::View;
use crate::palette::{Palette, strong, text_font};
use crate::tool::Pick;
use drawing::{Anchor, Label, PlateKind, Role, label_extent, plate_path};
use egui::epaint::TextShape;
use egui::{Align2, Color32, FontId, Mesh, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, vec2};
use kurbo::PathEl;
use plan::Point;

/// Writing that can be clicked, where it was placed: a pennant or a room's name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Placed {
    /// What a click on it picks.
    pub(crate) what: Pick,
    /// Its place on the screen.
    pub(crate) rect: Rect,
}

/// Writing as it was placed.
#[derive(Default)]
pub(crate) struct Written {
    /// What can be clicked, the ones on top first.
    pub(crate) placed: Vec<Placed>,
    /// Where any writing but the boards' lies on the screen.
    pub(crate) taken: Vec<Rect>,
}

/// Paints the labels.
pub(super) fn paint(
    painter: &Painter,
    scene: &Scene,
    view: &View,
    palette: &Palette,
    selected: Option<usize>,
) -> Written {
    let pen = Pen { painter, view, palette, board_points: view.points(scene.pitch) };
    let (mut placed, mut taken) = (Vec::new(), Vec::new());
    let is_selected = |label: &Label| {
        matches!(label.role, Role::Fault | Role::Look)
            && selected.is_some_and(|flag| label.subject == Some(flag) || label.also.contains(&flag))
    };
    let in_view = view.rect.expand(160.0);
    let seen: Vec<&Label> = scene
        .labels
        .iter()
        .filter(|label| label.role != Role::BoardLabel || pen.board_points >= LABELLED_BOARD)
        .filter(|label| in_view.contains(pen.at(label)))
        .collect();
    let is_small = pen.board_points < SMALL;
    let seen = if is_small || seen.len() > CROWD { apart(seen, &pen, &is_selected) } else { seen };
    let (over, under): (Vec<&Label>, Vec<&Label>) = seen.into_iter().partition(|label| is_selected(label));
    for label in under.into_iter().chain(over) {
        let rect = pen.write(label, is_selected(label));
        if label.role != Role::BoardLabel {
            taken.push(rect);
        }
        match (label.role, label.subject) {
            (Role::Fault | Role::Look, Some(worst)) => {
                let what = Pick::Flag(next_of(worst, &label.also, selected));
                let foot = Rect::from_center_size(pen.at(label), Vec2::splat(10.0));
                placed.push(Placed { what, rect: rect.union(foot) });
            }
            (Role::RoomName, Some(room)) => placed.push(Placed { what: Pick::Room(room), rect }),
            (Role::Dimension, Some(kept)) => placed.push(Placed { what: Pick::Dimension(kept), rect }),
            (Role::JointName, Some(joint)) => placed.push(Placed { what: Pick::Joint(joint), rect }),
            _ => {}
        }
    }
    placed.reverse();
    Written { placed, taken }
}

/// So much writing at once is more than can be read: what would lie over other writing waits until one is nearer.
const CROWD: usize = 260;
/// Where boards are narrower than this the floor is so small beside its writing that much of it would overlap, points.
const SMALL: f32 = 7.0;
/// Squares of the screen in which writing is told apart, points.
const CELL: f32 = 12.0;

/// Of much writing what does not lie over other writing: what is selected and the flags first, then the line and the names.
fn apart<'a>(seen: Vec<&'a Label>, pen: &Pen<'_>, is_selected: &dyn Fn(&Label) -> bool) -> Vec<&'a Label> {
    let rank = |label: &Label| match label.role {
        _ if is_selected(label) => 0,
        Role::Fault => 1,
        Role::StartLine => 2,
        Role::Look => 3,
        Role::Pull | Role::CheckPull | Role::CornerLetter => 4,
        Role::RoomName => 5,
        Role::JointName | Role::Dimension => 6,
        Role::ShortRipFigure => 7,
        _ => 8,
    };
    let mut order: Vec<usize> = (0..seen.len()).collect();
    order.sort_by_key(|index| rank(seen[*index]));
    let screen = pen.view.rect.expand(160.0);
    let columns = (screen.width() / CELL).ceil().max(1.0) as usize;
    let rows = (screen.height() / CELL).ceil().max(1.0) as usize;
    let mut taken = vec![false; columns * rows];
    let cell = |at: f32, of: usize| ((at / CELL).max(0.0) as usize).min(of - 1);
    let mut kept = vec![false; seen.len()];
    for index in order {
        let label = seen[index];
        let at = pen.at(label) - screen.min;
        // About as large as it will be: half a letter's height is a letter's width.
        let height = (label.size * PAPER_MM) as f32 * 1.5;
        let width = height * 0.42 * label.text.chars().count() as f32 + height * 0.5;
        let shift = vec2((label.shift.x * PAPER_MM) as f32, (-label.shift.y * PAPER_MM) as f32);
        let middle = at + shift;
        let across = cell(middle.x - width / 2.0, columns)..=cell(middle.x + width / 2.0, columns);
        let down = cell(middle.y - height / 2.0, rows)..=cell(middle.y + height / 2.0, rows);
        let places = || down.clone().flat_map(|row| across.clone().map(move |column| row * columns + column));
        if rank(label) > 0 && places().any(|place| taken[place]) {
            continue;
        }
        places().for_each(|place| taken[place] = true);
        kept[index] = true;
    }
    seen.into_iter().zip(kept).filter(|(_, kept)| *kept).map(|(label, _)| label).collect()
}

/// The flag that a click on a pennant picks: its worst, then the others one after the other.
fn next_of(worst: usize, also: &[usize], selected: Option<usize>) -> usize {
    let all = || std::iter::once(worst).chain(also.iter().copied());
    let mut after = all().skip_while(|flag| Some(*flag) != selected).skip(1);
    after.next().unwrap_or(worst)
}

struct Pen<'a> {
    painter: &'a Painter,
    view: &'a View,
    palette: &'a Palette,
    /// A board's width on the screen.
    board_points: f32,
}

/// Boards narrower than this on the screen go without their labels, points.
const LABELLED_BOARD: f32 = 22.0;

/// Inks of a label.
struct Look {
    ink: Color32,
    ground: Color32,
    edge: Stroke,
    bold: bool,
}

impl Pen<'_> {
    fn look(&self, role: Role) -> Look {
        let palette = self.palette;
        let edge = |width, color| Stroke::new(width, color);
        let (ink, ground, edge, bold) = match role {
            Role::RoomName => (palette.ink, palette.fixture.gamma_multiply(0.93), Stroke::NONE, true),
            Role::RipFigure => (palette.ink, palette.card, edge(1.1, palette.ink), true),
            Role::ShortRipFigure | Role::Fault => {
                (palette.on_fault, palette.fault, edge(1.1, palette.fault), true)
            }
            Role::Look => (palette.look, palette.card, edge(1.4, palette.look), true),
            Role::StartLine => (palette.chalk, palette.card, edge(1.1, palette.chalk), true),
            Role::JointName => (palette.ink, palette.card.gamma_multiply(0.93), Stroke::NONE, true),
            Role::Pull | Role::CheckPull => {
                (palette.ink, palette.card.gamma_multiply(0.9), Stroke::NONE, true)
            }
            Role::StopFigure => (palette.ink, palette.card.gamma_multiply(0.9), Stroke::NONE, true),
            Role::StepMark => (palette.ink, palette.card, edge(1.2, palette.ink), true),
            Role::Dimension => (palette.ink, palette.paper, Stroke::NONE, false),
            Role::CornerLetter => (palette.paper, palette.ink, Stroke::NONE, true),
            Role::BoardLabel => (Color32::from_black_alpha(150), Color32::TRANSPARENT, Stroke::NONE, false),
            _ => (palette.weak, Color32::TRANSPARENT, Stroke::NONE, false),
        };
        Look { ink, ground, edge, bold }
    }

    fn at(&self, label: &Label) -> Pos2 {
        self.view.screen_from_plan(Point::new(label.at.x, label.at.y))
    }

    /// Writes a label on its plate; its rectangle on the screen.
    fn write(&self, label: &Label, is_selected: bool) -> Rect {
        let look = self.look(label.role);
        let size = match label.role {
            Role::BoardLabel => (self.board_points * 0.4).clamp(8.0, 12.0),
            _ => (label.size * PAPER_MM) as f32,
        };
        let font = if look.bold { FontId::new(size, strong()) } else { text_font(size) };
        let galley = self.painter.layout_no_wrap(label.text.clone(), font, look.ink);
        let width = f64::from(galley.size().x) / PAPER_MM;
        let at = self.at(label);
        let on_screen = |x: f64, y: f64| at + vec2((x * PAPER_MM) as f32, (-y * PAPER_MM) as f32);
        let extent = label_extent(label, width);
        let rect = Rect::from_two_pos(on_screen(extent.x0, extent.y0), on_screen(extent.x1, extent.y1));
        if look.ground != Color32::TRANSPARENT
            && let Some(path) = plate_path(label, width)
        {
            self.plate(&rings(&path), label.role.plate(), &look, at);
        }
        if is_selected {
            let stroke = Stroke::new(1.8, self.palette.chalk);
            self.painter.rect_stroke(rect.expand(3.0), 2.0, stroke, StrokeKind::Outside);
        }
        let anchor = match label.anchor {
            Anchor::Middle => Align2::CENTER_CENTER,
            Anchor::Start => Align2::LEFT_CENTER,
            Anchor::End => Align2::RIGHT_CENTER,
        };
        let pos = on_screen(label.shift.x, label.shift.y);
        let angle = -label.turn.to_radians() as f32;
        if angle == 0.0 {
            let place = anchor.anchor_size(pos, galley.size());
            self.painter.galley(place.min, galley, look.ink);
        } else {
            let text = TextShape::new(pos, galley.clone(), look.ink);
            let offset = anchor.anchor_size(Pos2::ZERO, galley.size()).min.to_vec2();
            let turned = egui::emath::Rot2::from_angle(angle) * offset;
            self.painter.add(TextShape { pos: pos + turned, angle, ..text });
        }
        rect
    }

    fn plate(&self, rings: &[Vec<Point>], kind: PlateKind, look: &Look, at: Pos2) {
        let on_screen = |p: &Point| at + vec2((p.x * PAPER_MM) as f32, (-p.y * PAPER_MM) as f32);
        for ring in rings {
            let points: Vec<Pos2> = ring.iter().map(on_screen).collect();
            if !matches!(kind, PlateKind::Swallowtail | PlateKind::Pointed | PlateKind::Stepped) {
                self.painter.add(Shape::convex_polygon(points, look.ground, look.edge));
                continue;
            }
            let mut mesh = Mesh::default();
            for quad in trapezoid::fill(std::slice::from_ref(ring)) {
                super::paint::add_quad(&mut mesh, quad.map(|p| on_screen(&p)), look.ground);
            }
            self.painter.add(Shape::mesh(mesh));
            self.painter.add(Shape::closed_line(points, look.edge));
        }
    }
}

/// The rings of a plate, curves flattened, paper mm.
fn rings(path: &kurbo::BezPath) -> Vec<Vec<Point>> {
    let mut rings: Vec<Vec<Point>> = Vec::new();
    kurbo::flatten(path, 0.03, |element| match element {
        PathEl::MoveTo(p) => rings.push(vec![Point::new(p.x, p.y)]),
        PathEl::LineTo(p) => {
            if let Some(ring) = rings.last_mut() {
                ring.push(Point::new(p.x, p.y));
            }
        }
        PathEl::QuadTo(..) | PathEl::CurveTo(..) | PathEl::ClosePath => {}
    });
    for ring in &mut rings {
        // Repeated points would give the screen's line a spike.
        ring.dedup_by(|a, b| a.distance(*b) < 1e-6);
        if ring.len() > 1 && ring.first().zip(ring.last()).is_some_and(|(a, b)| a.distance(*b) < 1e-6) {
            ring.pop();
        }
    }
    rings.retain(|ring| ring.len() > 2);
    rings
}
