//! Places a drawing on paper.

use crate::font::{self, CAP_HEIGHT};
use crate::page::{Mark, clean};
use drawing::{Drawing, Item, Label, PlateKind, Role, Shape, label_extent, paper_ink, plate_path};
use kurbo::{Affine, Point, Rect};

/// Where a drawing goes and how large.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placing {
    /// A point of the drawing, plan mm.
    pub plan: Point,
    /// Where it comes on the page, paper mm, y down.
    pub paper: Point,
    /// Plan mm to a paper mm.
    pub scale: f64,
}

impl Placing {
    /// Where a point of the drawing comes on the page.
    pub fn paper_from_plan(&self, p: Point) -> Point {
        self.affine() * p
    }

    fn affine(&self) -> Affine {
        let k = 1.0 / self.scale;
        Affine::new([k, 0.0, 0.0, -k, self.paper.x - self.plan.x * k, self.paper.y + self.plan.y * k])
    }
}

/// A drawing's marks on the page.
pub fn marks_of(drawing: &Drawing, placing: &Placing) -> Vec<Mark> {
    let affine = placing.affine();
    let mut marks = Vec::with_capacity(drawing.items.len());
    // Names are given once: those of further start lines, which rooms have of their own, are numbered.
    let mut lines = 0;
    for item in &drawing.items {
        match item {
            Item::Shape(shape) if shape.role == Role::StartLine => {
                lines += 1;
                marks.extend(shape_mark(shape, affine, lines));
            }
            Item::Shape(shape) => marks.extend(shape_mark(shape, affine, 0)),
            Item::Label(label) => label_marks(&mut marks, label, affine),
        }
    }
    marks
}

/// What a drawing covers, writing and plates included, in paper mm with y up and the plan's origin at the origin.
pub(crate) fn extent(drawing: &Drawing, scale: f64) -> Rect {
    let shapes = drawing.bounds().unwrap_or_default();
    let shapes = Rect::new(shapes.x0 / scale, shapes.y0 / scale, shapes.x1 / scale, shapes.y1 / scale);
    drawing.labels().fold(shapes, |all, label| {
        let width = font::width(&label.text, label.size, paper_ink(label.role).bold);
        all.union(label_extent(label, width) + label.at.to_vec2() / scale)
    })
}

/// The mark of a shape; `line` counts start lines from 1.
fn shape_mark(shape: &Shape, affine: Affine, line: usize) -> Option<Mark> {
    if shape.path.is_empty() {
        return None;
    }
    let ink = paper_ink(shape.role);
    // Lines of writing's roles are lines only: their fill belongs to the plate.
    let is_line = matches!(
        shape.role,
        Role::StartLine | Role::Pull | Role::CheckPull | Role::Dimension | Role::ControlPull | Role::Triangle
    );
    Some(Mark::Path {
        path: affine * shape.path.clone(),
        fill: ink.fill.filter(|_| !is_line),
        even_odd: true,
        stroke: ink.stroke.map(|colour| (colour, ink.weight)),
        dash: ink.dash,
        id: match (shape.role, shape.board) {
            (Role::StartLine, _) if line < 2 => Some("start-line".into()),
            (Role::StartLine, _) => Some(format!("start-line-{line}")),
            (Role::Board { .. } | Role::BoardOutline, Some(board)) => Some(format!("board-{board}")),
            _ => None,
        },
    })
}

fn label_marks(marks: &mut Vec<Mark>, label: &Label, affine: Affine) {
    let text = clean(&label.text);
    if text.trim().is_empty() {
        return;
    }
    let ink = paper_ink(label.role);
    let at = affine * label.at;
    let width = font::width(&text, label.size, ink.bold);
    if let Some(plate) = plate_path(label, width) {
        let up = Affine::new([1.0, 0.0, 0.0, -1.0, at.x, at.y]);
        marks.push(Mark::Path {
            path: up * plate,
            fill: ink.fill,
            even_odd: false,
            stroke: ink.stroke.filter(|_| label.role.plate() != PlateKind::Clear).map(|c| (c, ink.weight)),
            dash: None,
            id: None,
        });
    }
    // The figure's middle is half the capitals' height over its baseline, across its turn.
    let drop = CAP_HEIGHT / 2.0 * label.size;
    let radians = label.turn.to_radians();
    let (sin, cos) = (libm::sin(radians), libm::cos(radians));
    let centre = Point::new(at.x + label.shift.x, at.y - label.shift.y);
    marks.push(Mark::Text {
        text,
        at: Point::new(centre.x + drop * sin, centre.y + drop * cos),
        anchor: label.anchor,
        size: label.size,
        bold: ink.bold,
        colour: ink.text,
        turn: label.turn,
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{BezPath, Shape as _};

    #[test]
    fn a_length_on_paper_is_the_plans_over_the_scale() {
        let mut drawing = Drawing::default();
        let mut path = BezPath::new();
        path.move_to((500.0, 0.0));
        path.line_to((4250.0, 0.0));
        drawing.path(Role::StartLine, path);
        let placing = Placing { plan: Point::ZERO, paper: Point::new(20.0, 100.0), scale: 75.0 };
        let marks = marks_of(&drawing, &placing);
        let Some(Mark::Path { path, .. }) = marks.first() else { panic!("no path") };
        // 3750 mm at 1:75 are 50 mm.
        assert!((path.bounding_box().width() - 50.0).abs() < 1e-9);
    }
}
