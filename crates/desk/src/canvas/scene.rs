//! The floor's drawing laid out to be painted: outlines flattened and cut once for each house.

use super::trapezoid;
use drawing::{Drawing, Item, Label, Role};
use kurbo::PathEl;
use pipeline::House;
use plan::Point;

/// A shape ready to be painted.
pub(crate) struct Part {
    pub(crate) role: Role,
    pub(crate) board: Option<usize>,
    /// Trapezoids of its fill; none for open paths.
    pub(crate) fill: Vec<[Point; 4]>,
    /// Its lines, each with whether it is closed.
    pub(crate) lines: Vec<(Vec<Point>, bool)>,
}

/// The drawing of one house, ready to be painted.
#[derive(Default)]
pub(crate) struct Scene {
    /// The house's generation; 0 for none.
    pub(crate) generation: u64,
    pub(crate) parts: Vec<Part>,
    pub(crate) labels: Vec<Label>,
    /// Board face width, mm.
    pub(crate) pitch: f64,
}

impl Scene {
    /// Lays out the drawing of a house, unless it is the one laid out already.
    pub(crate) fn update(&mut self, generation: u64, house: &House) {
        if self.generation == generation {
            return;
        }
        self.generation = generation;
        self.pitch = house.setout.pitch;
        self.set(&crate::canvas::scene::draw(house));
    }

    pub(crate) fn clear(&mut self) {
        *self = Self::default();
    }

    fn set(&mut self, drawing: &Drawing) {
        self.parts.clear();
        self.labels.clear();
        for item in &drawing.items {
            match item {
                Item::Label(label) => self.labels.push(label.clone()),
                Item::Shape(shape) => self.parts.push(part(shape)),
            }
        }
    }
}

/// The floor as it is drawn on screen and paper alike.
fn draw(_house: &House) -> Drawing {
    Drawing::default()
}

fn part(shape: &drawing::Shape) -> Part {
    let mut lines: Vec<(Vec<Point>, bool)> = Vec::new();
    // A quarter of a millimetre: under a point of the screen up to four times life size.
    shape.path.flatten(0.25, |element| match element {
        PathEl::MoveTo(p) => lines.push((vec![Point::new(p.x, p.y)], false)),
        PathEl::LineTo(p) => {
            if let Some((points, _)) = lines.last_mut() {
                points.push(Point::new(p.x, p.y));
            }
        }
        PathEl::ClosePath => {
            if let Some((points, closed)) = lines.last_mut() {
                *closed = true;
                if points.len() > 1 && points.first() == points.last() {
                    points.pop();
                }
            }
        }
        // Flattening leaves no curves.
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    lines.retain(|(points, _)| points.len() > 1);
    let rings: Vec<_> = lines.iter().filter(|(_, closed)| *closed).map(|(points, _)| points.clone()).collect();
    let fill = if is_filled(shape.role) { trapezoid::fill(&rings) } else { Vec::new() };
    Part { role: shape.role, board: shape.board, fill, lines }
}

fn is_filled(role: Role) -> bool {
    matches!(
        role,
        Role::OtherFloor
            | Role::WallBody
            | Role::Board { .. }
            | Role::FlaggedBoard
            | Role::Fixture
            | Role::UnderFloor
            | Role::Leaf
            | Role::Stop
            | Role::CornerLetter
    )
}
