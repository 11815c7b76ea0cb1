//! The plate behind a label: ring, pennant, disc or plain.

use crate::{Anchor, Label, Role};
use kurbo::{Affine, BezPath, Circle, Point, Rect, RoundedRect, Shape as _, Vec2};

/// The shape behind a label's writing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlateKind {
    /// None.
    Bare,
    /// A rectangle that keeps lines clear of the writing; it has no line of its own.
    Clear,
    /// A ring with flat sides.
    Ring,
    /// A disc.
    Disc,
    /// A rectangle with a step in its upper edge: two floors of two heights.
    Stepped,
    /// A pennant on a pole with a swallowtail: a fault.
    Swallowtail,
    /// A pennant on a pole with a point: worth a look.
    Pointed,
}

impl Role {
    /// The plate behind this role's writing. Shape alone tells the kinds apart.
    pub fn plate(self) -> PlateKind {
        match self {
            Self::RipFigure | Self::ShortRipFigure => PlateKind::Ring,
            Self::CornerLetter | Self::ControlNumber | Self::KeyMark => PlateKind::Disc,
            Self::Fault => PlateKind::Swallowtail,
            Self::Look => PlateKind::Pointed,
            Self::StepMark => PlateKind::Stepped,
            Self::StopFigure
            | Self::RoomName
            | Self::Pull
            | Self::CheckPull
            | Self::StartLine
            | Self::Dimension
            | Self::JointName
            | Self::ControlPull
            | Self::Triangle
            | Self::ArrowWord
            | Self::RoomArea => PlateKind::Clear,
            _ => PlateKind::Bare,
        }
    }
}

/// The rectangle of a label's plate about the middle of its writing's anchor, before turn and shift, in
/// paper mm with y up, for writing `width` paper mm wide. Writing without a plate gives its own rectangle.
fn label_box(label: &Label, width: f64) -> Rect {
    let size = label.size;
    let (left, right) = match label.anchor {
        Anchor::Middle => (-width / 2.0, width / 2.0),
        Anchor::Start => (0.0, width),
        Anchor::End => (-width, 0.0),
    };
    let (pad_x, half) = match label.role.plate() {
        PlateKind::Bare => (0.0, 0.5),
        PlateKind::Clear => (0.25, 0.55),
        PlateKind::Ring => (0.62, 0.68),
        PlateKind::Disc => (0.0, 0.68),
        PlateKind::Stepped => (0.45, 0.8),
        PlateKind::Swallowtail | PlateKind::Pointed => (0.45, 0.72),
    };
    let tail = match label.role.plate() {
        PlateKind::Swallowtail | PlateKind::Pointed => 0.55,
        PlateKind::Stepped => 0.9,
        _ => 0.0,
    };
    Rect::new(left - pad_x * size, -half * size, right + (pad_x + tail) * size, half * size)
}

/// The turn and shift of a label as a map from its own box to the paper round its point.
fn stand(label: &Label) -> Affine {
    let radians = label.turn.to_radians();
    let (sin, cos) = (libm::sin(radians), libm::cos(radians));
    Affine::new([cos, sin, -sin, cos, label.shift.x, label.shift.y])
}

/// The upright box that a label and its plate cover, turn and shift counted, in paper mm with y up and
/// the label's point at the origin, for writing `width` paper mm wide. A pennant's pole is not counted.
pub fn label_extent(label: &Label, width: f64) -> Rect {
    let own = label_box(label, width);
    let stand = stand(label);
    let turned = |x: f64, y: f64| stand * Point::new(x, y);
    Rect::from_points(turned(own.x0, own.y0), turned(own.x1, own.y1))
        .union(Rect::from_points(turned(own.x0, own.y1), turned(own.x1, own.y0)))
}

/// The plate of a label as a path in paper mm, y up, the label's point at the origin, turn and shift
/// counted, for writing `width` paper mm wide; `None` where the role has none. A pennant's pole is part
/// of it and overlaps its cloth: fill it by the non-zero rule.
pub fn plate_path(label: &Label, width: f64) -> Option<BezPath> {
    let area = label_box(label, width);
    let plain = match label.role.plate() {
        PlateKind::Bare => return None,
        PlateKind::Clear => RoundedRect::from_rect(area, 0.2 * label.size).to_path(0.01),
        PlateKind::Ring => RoundedRect::from_rect(area, area.height() / 2.0).to_path(0.01),
        PlateKind::Stepped => stepped(area, 0.45 * label.size),
        PlateKind::Disc => Circle::new(Point::ZERO, area.height() / 2.0).to_path(0.01),
        kind => return Some(pennant(label, area + label.shift, kind)),
    };
    Some(stand(label) * plain)
}

/// A rectangle whose upper edge steps down past the writing.
fn stepped(area: Rect, step: f64) -> BezPath {
    let mut path = BezPath::new();
    path.move_to((area.x0, area.y0));
    path.line_to((area.x1, area.y0));
    path.line_to((area.x1, area.y1 - 2.0 * step));
    path.line_to((area.x1 - 1.6 * step, area.y1 - 2.0 * step));
    path.line_to((area.x1 - 1.6 * step, area.y1));
    path.line_to((area.x0, area.y1));
    path.close_path();
    path
}

fn pennant(label: &Label, area: Rect, kind: PlateKind) -> BezPath {
    let (x0, x1, low, high) = (area.x0, area.x1, area.y0, area.y1);
    let tail = 0.55 * label.size;
    let middle = f64::midpoint(low, high);
    let mut path = BezPath::new();
    path.move_to((x0, low));
    match kind {
        PlateKind::Swallowtail => {
            path.line_to((x1, low));
            path.line_to((x1 - tail, middle));
            path.line_to((x1, high));
        }
        _ => {
            path.line_to((x1 - tail, low));
            path.line_to((x1, middle));
            path.line_to((x1 - tail, high));
        }
    }
    path.line_to((x0, high));
    path.close_path();
    // The pole is a thin upright from the marked point to the pennant's hoist, with a foot.
    let half = 0.06 * label.size;
    let foot = Point::ZERO;
    let top = if middle >= 0.0 { high } else { low };
    path.move_to(foot + Vec2::new(-half, 0.0));
    path.line_to(foot + Vec2::new(half, 0.0));
    path.line_to((x0 + half, top));
    path.line_to((x0 - half, top));
    path.close_path();
    path.extend(Circle::new(foot, 0.2 * label.size).path_elements(0.01));
    path
}

/// About how wide `text` is at a type size, paper mm: for keeping writing apart where no font is at hand.
/// Errs on the wide side for figures and short words in a plain sans.
pub fn rough_width(text: &str, size: f64) -> f64 {
    let ems: f64 = text
        .chars()
        .map(|c| match c {
            '\u{2009}' | ' ' | '.' | ',' | '\'' | '′' | 'i' | 'l' | 'j' | 'I' | '|' => 0.3,
            '1' | '"' => 0.45,
            '/' => 0.42,
            '-' => 0.48,
            '0'..='9' => 0.66,
            'm' | 'w' | 'M' | 'W' | '@' => 0.9,
            c if c.is_ascii() => 0.62,
            '·' | '–' | '″' => 0.5,
            _ => 1.0,
        })
        .sum();
    ems * size
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ring_holds_its_figure_and_a_pennant_reaches_its_point() {
        let mut label = Label::new(Role::RipFigure, "115", Point::ZERO);
        let ring = plate_path(&label, 7.0).expect("a ring").bounding_box();
        assert!(ring.x0 < -3.5 && ring.x1 > 3.5 && ring.height() > label.size);
        label.role = Role::Fault;
        label.anchor = Anchor::Start;
        label.shift = Vec2::new(0.0, 6.0);
        let pennant = plate_path(&label, 12.0).expect("a pennant").bounding_box();
        assert!(pennant.y0 <= 0.0 && pennant.y1 > 6.0, "{pennant:?}");
    }
}
