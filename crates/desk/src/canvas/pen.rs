//! One label drawn: its inks, where it stands, and its letters on their plate in triangles.

use super::plates::{plate, rings};
use super::scene::PAPER_MM;
use super::view::View;
use crate::palette::{Palette, strong, text_font};
use drawing::{Anchor, Label, Role, label_extent, plate_path};
use egui::epaint::{Tessellator, TextShape};
use egui::{Align2, Color32, FontId, Mesh, Painter, Pos2, Rect, Stroke, pos2};
use plan::Point;

/// A label made into triangles, as it stands to its point.
pub(super) struct Piece {
    pub(super) mesh: Mesh,
    pub(super) rect: Rect,
}

pub(super) struct Pen<'a> {
    pub(super) painter: &'a Painter,
    pub(super) view: &'a View,
    pub(super) palette: &'a Palette,
    /// A board's width on the screen.
    pub(super) board_points: f32,
}

/// Boards narrower than this on the screen go without their labels, points.
pub(super) const LABELLED_BOARD: f32 = 22.0;

/// Inks of a label.
pub(super) struct Inks {
    ink: Color32,
    pub(super) ground: Color32,
    pub(super) edge: Stroke,
    bold: bool,
}

impl Pen<'_> {
    fn inks(&self, role: Role) -> Inks {
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
        Inks { ink, ground, edge, bold }
    }

    /// Size of boards' labels, points: it grows with them in steps, so that a nearer view makes few of them anew.
    pub(super) fn of_board(&self) -> f32 {
        (self.board_points * 0.4).clamp(8.0, 12.0).round()
    }

    pub(super) fn at(&self, label: &Label) -> Pos2 {
        self.view.screen_from_plan(Point::new(label.at.x, label.at.y))
    }

    /// A label on its plate in triangles, as it stands to its point.
    pub(super) fn piece(&self, label: &Label, maker: &mut Tessellator) -> Piece {
        let look = self.inks(label.role);
        let mut mesh = Mesh::default();
        let size = match label.role {
            Role::BoardLabel => self.of_board(),
            _ => (label.size * PAPER_MM) as f32,
        };
        let font = if look.bold { FontId::new(size, strong()) } else { text_font(size) };
        let galley = self.painter.layout_no_wrap(label.text.clone(), font, look.ink);
        let width = f64::from(galley.size().x) / PAPER_MM;
        let on_screen = |x: f64, y: f64| pos2((x * PAPER_MM) as f32, (-y * PAPER_MM) as f32);
        let extent = label_extent(label, width);
        let rect = Rect::from_two_pos(on_screen(extent.x0, extent.y0), on_screen(extent.x1, extent.y1));
        if look.ground != Color32::TRANSPARENT
            && let Some(path) = plate_path(label, width)
        {
            for shape in plate(&rings(&path), label.role.plate(), &look) {
                maker.tessellate_shape(shape, &mut mesh);
            }
        }
        let anchor = match label.anchor {
            Anchor::Middle => Align2::CENTER_CENTER,
            Anchor::Start => Align2::LEFT_CENTER,
            Anchor::End => Align2::RIGHT_CENTER,
        };
        let pos = on_screen(label.shift.x, label.shift.y);
        let angle = -label.turn.to_radians() as f32;
        let offset = anchor.anchor_size(Pos2::ZERO, galley.size()).min.to_vec2();
        let turned = egui::emath::Rot2::from_angle(angle) * offset;
        let text = TextShape { angle, ..TextShape::new(pos + turned, galley, look.ink) };
        maker.tessellate_shape(text.into(), &mut mesh);
        Piece { mesh, rect }
    }
}
