//! What is being drawn, and what the pointer has caught.

use super::{Brush, Ghost};
use crate::canvas::snap::{Equal, Hint, Snapped};
use crate::names;
use egui::{Rect, Shape, Stroke, StrokeKind, Vec2, vec2};
use plan::{Plan, Point, format_length};

impl Brush<'_> {
    pub(super) fn ghost(&self, ghost: &Ghost) {
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
            Ghost::Stretch(a, b) => {
                self.painter.line_segment([self.at(*a), self.at(*b)], loose);
                for end in [a, b] {
                    // Square like every handle, with a cross where exactly it stands.
                    let at = self.at(*end);
                    let grip = Rect::from_center_size(at, Vec2::splat(13.0));
                    let edge = Stroke::new(1.8, palette.chalk);
                    self.painter.rect(grip, 1.0, palette.card.gamma_multiply(0.6), edge, StrokeKind::Middle);
                    for arm in [vec2(3.5, 0.0), vec2(0.0, 3.5)] {
                        self.painter.line_segment([at - arm, at + arm], Stroke::new(1.0, palette.ink));
                    }
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
    pub(super) fn caught(&self, snapped: Snapped, plan: &Plan) {
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
}
