//! Paints a scene's labels: figures in rings, names on tags, flags as pennants. Labels that would
//! lie on one another give way in order of what matters.

use super::scene::Scene;
use super::view::View;
use crate::palette::{Palette, strong_font, text_font};
use drawing::{Anchor, Label, Role};
use egui::{Color32, CornerRadius, FontId, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2};
use plan::Point;

/// A pennant where it was placed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Placed {
    /// Index of the flag.
    pub(crate) flag: usize,
    /// Its place on the screen.
    pub(crate) rect: Rect,
}

/// Height of a pennant's pole.
const POLE: f32 = 26.0;

/// Paints the labels; the pennants placed, those on top first.
pub(super) fn paint(
    painter: &Painter,
    scene: &Scene,
    view: &View,
    palette: &Palette,
    selected: Option<usize>,
) -> Vec<Placed> {
    let mut order: Vec<(usize, &Label)> = scene
        .labels
        .iter()
        .map(|label| (importance(label, selected), label))
        .filter(|(_, label)| view.rect.expand(60.0).contains(position(view, label)))
        .collect();
    order.sort_by_key(|(importance, _)| *importance);
    let mut pen = Pen { painter, view, palette, board_points: view.points(scene.pitch), taken: Vec::new() };
    let mut pennants = Vec::new();
    let mut late = Vec::new();
    for (_, label) in order {
        match label.role {
            Role::Fault | Role::Look => late.push(label),
            _ => pen.tag(label),
        }
    }
    // Pennants lie over everything; the selected one is painted last, and so on top.
    for label in late.iter().rev() {
        if let Some(placed) = pen.pennant(label, selected) {
            pennants.push(placed);
        }
    }
    pennants.reverse();
    pennants
}

fn importance(label: &Label, selected: Option<usize>) -> usize {
    match label.role {
        Role::Fault | Role::Look if label.subject.is_some() && label.subject == selected => 0,
        Role::Fault => 1,
        Role::Look => 2,
        Role::CornerLetter => 3,
        Role::ShortRipFigure => 4,
        Role::StartLine | Role::Pull => 5,
        Role::RoomName => 6,
        Role::RipFigure => 7,
        Role::Dimension => 8,
        _ => 9,
    }
}

fn position(view: &View, label: &Label) -> Pos2 {
    view.screen_from_plan(Point::new(label.at.x, label.at.y))
}

struct Pen<'a> {
    painter: &'a Painter,
    view: &'a View,
    palette: &'a Palette,
    board_points: f32,
    taken: Vec<Rect>,
}

/// How a label is written.
struct Look {
    font: FontId,
    ink: Color32,
    ground: Color32,
    edge: Stroke,
    corner: f32,
    margin: Vec2,
}

impl Pen<'_> {
    fn look(&self, role: Role) -> Option<Look> {
        let palette = self.palette;
        let plain = |font, ink| Look {
            font,
            ink,
            ground: Color32::TRANSPARENT,
            edge: Stroke::NONE,
            corner: 0.0,
            margin: Vec2::ZERO,
        };
        let look = match role {
            Role::RoomName => Look {
                font: strong_font(14.0),
                ink: palette.ink,
                ground: palette.fixture.gamma_multiply(0.92),
                edge: Stroke::NONE,
                corner: 3.0,
                margin: vec2(9.0, 3.0),
            },
            Role::RipFigure => Look {
                font: strong_font(12.5),
                ink: palette.ink,
                ground: palette.card,
                edge: Stroke::new(1.0, palette.ink),
                corner: 10.0,
                margin: vec2(8.0, 2.0),
            },
            // Under the least: a square-cut tag with a firm edge, so that it differs by shape too.
            Role::ShortRipFigure => Look {
                font: strong_font(12.5),
                ink: palette.fault,
                ground: palette.card,
                edge: Stroke::new(2.2, palette.fault),
                corner: 2.0,
                margin: vec2(7.0, 2.0),
            },
            Role::StartLine => Look {
                font: strong_font(12.5),
                ink: palette.chalk,
                ground: palette.card,
                edge: Stroke::new(1.2, palette.chalk),
                corner: 3.0,
                margin: vec2(9.0, 3.0),
            },
            Role::Pull | Role::Dimension => Look {
                font: strong_font(13.0),
                ink: palette.ink,
                ground: palette.paper.gamma_multiply(0.85),
                edge: Stroke::NONE,
                corner: 3.0,
                margin: vec2(4.0, 1.0),
            },
            Role::CornerLetter => Look {
                font: strong_font(12.5),
                ink: palette.paper,
                ground: palette.ink,
                edge: Stroke::NONE,
                corner: 10.0,
                margin: vec2(5.5, 2.5),
            },
            Role::BoardLabel if self.board_points < 17.0 => return None,
            Role::BoardLabel => plain(text_font(11.0), Color32::from_black_alpha(150)),
            _ => plain(text_font(12.0), palette.weak),
        };
        Some(look)
    }

    fn tag(&mut self, label: &Label) {
        let Some(look) = self.look(label.role) else { return };
        let galley = self.painter.layout_no_wrap(label.text.clone(), look.font, look.ink);
        let mut size = galley.size() + 2.0 * look.margin;
        if label.role == Role::CornerLetter {
            size = Vec2::splat(size.max_elem());
        }
        let at = position(self.view, label);
        let min = match label.anchor {
            Anchor::Middle => at - size / 2.0,
            Anchor::Start => pos2(at.x, at.y - size.y / 2.0),
            Anchor::End => pos2(at.x - size.x, at.y - size.y / 2.0),
        };
        let rect = Rect::from_min_size(min, size);
        if self.taken.iter().any(|other| other.intersects(rect)) {
            return;
        }
        self.taken.push(rect.expand(1.0));
        if look.ground != Color32::TRANSPARENT {
            let corner = CornerRadius::same(look.corner.min(size.y / 2.0).round() as u8);
            self.painter.rect(rect, corner, look.ground, look.edge, StrokeKind::Inside);
        }
        self.painter.galley(rect.center() - galley.size() / 2.0, galley, look.ink);
    }

    /// A pennant on its pole. A fault's is filled and ends in a swallowtail; one worth a look is open
    /// and ends in a point. Where its words find no room only a small bare pennant is shown.
    fn pennant(&mut self, label: &Label, selected: Option<usize>) -> Option<Placed> {
        let flag = label.subject?;
        let is_selected = selected == Some(flag);
        let is_fault = label.role == Role::Fault;
        let palette = self.palette;
        let (ground, ink) = if is_fault { (palette.fault, palette.on_fault) } else { (palette.card, palette.look) };
        let edge = if is_fault { palette.fault } else { palette.look };
        let foot = position(self.view, label);
        let top = foot - vec2(0.0, POLE);
        let galley = self.painter.layout_no_wrap(label.text.clone(), strong_font(12.5), ink);
        let full = Rect::from_min_size(top, galley.size() + vec2(22.0, 6.0));
        let fits = is_selected || !self.taken.iter().any(|other| other.intersects(full));
        let rect = if fits { full } else { Rect::from_min_size(top + vec2(0.0, 6.0), vec2(13.0, 9.0)) };
        if fits {
            self.taken.push(full.expand(1.0));
        }
        let (right, notch) = (rect.right(), rect.height() * 0.32);
        let tail = if is_fault {
            [pos2(right, rect.top()), pos2(right - notch, rect.center().y), pos2(right, rect.bottom())]
        } else {
            [pos2(right - notch, rect.top()), pos2(right, rect.center().y), pos2(right - notch, rect.bottom())]
        };
        let body = pos2(right - notch, rect.bottom());
        let body = Rect::from_min_max(rect.min, body);
        self.painter.line_segment([foot, pos2(foot.x, rect.top())], Stroke::new(1.5, edge));
        self.painter.circle_filled(foot, 3.5, edge);
        self.painter.rect_filled(body, 0.0, ground);
        let (upper, lower) = (body.right_top(), body.right_bottom());
        if is_fault {
            for triangle in [[upper, tail[0], tail[1]], [tail[1], tail[2], lower]] {
                self.painter.add(Shape::convex_polygon(triangle.to_vec(), ground, Stroke::NONE));
            }
            let middle = [upper, tail[1], lower];
            self.painter.add(Shape::convex_polygon(middle.to_vec(), ground, Stroke::NONE));
        } else {
            self.painter.add(Shape::convex_polygon(tail.to_vec(), ground, Stroke::NONE));
            let outline = vec![rect.left_top(), tail[0], tail[1], tail[2], rect.left_bottom()];
            self.painter.add(Shape::closed_line(outline, Stroke::new(1.4, edge)));
        }
        if is_selected {
            self.painter.rect_stroke(
                rect.expand(3.0),
                2.0,
                Stroke::new(1.5, palette.chalk),
                StrokeKind::Outside,
            );
        }
        if fits {
            self.painter.galley(rect.min + vec2(8.0, 3.0), galley, ink);
        }
        Some(Placed { flag, rect: rect.union(Rect::from_center_size(foot, Vec2::splat(9.0))) })
    }
}
