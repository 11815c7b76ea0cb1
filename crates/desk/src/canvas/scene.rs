//! The floor's drawing laid out to be painted: outlines flattened and cut once for each house.

use super::layers::Hidden;
use super::trapezoid;
use super::view::View;
use drawing::{Drawing, Item, Label, Options, Role};
use kurbo::PathEl;
use pipeline::House;
use plan::Point;

/// Points of the screen for a millimetre of paper: writing keeps its size while the floor zooms.
pub(crate) const PAPER_MM: f64 = 3.6;

/// A shape ready to be painted.
pub(crate) struct Part {
    pub(crate) role: Role,
    pub(crate) board: Option<usize>,
    /// Trapezoids of its fill; none for open paths.
    pub(crate) fill: Vec<[Point; 4]>,
    /// Its lines, each with whether it is closed.
    pub(crate) lines: Vec<(Vec<Point>, bool)>,
}

/// What a scene was laid out for.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Key {
    /// The house's generation.
    generation: u64,
    /// Plan mm to one paper mm for which the writing was placed.
    scale: f64,
    units: plan::Units,
    pulls: bool,
    stages: bool,
    hidden: Hidden,
}

/// The drawing of one house, ready to be painted.
#[derive(Default)]
pub(crate) struct Scene {
    pub(crate) key: Option<Key>,
    pub(crate) parts: Vec<Part>,
    pub(crate) labels: Vec<Label>,
    /// Board face width, mm.
    pub(crate) pitch: f64,
}

impl Scene {
    /// Lays out the drawing of a house for a view, unless that is what is laid out already.
    pub(crate) fn update(
        &mut self,
        generation: u64,
        house: &House,
        view: &View,
        pulls: bool,
        stages: bool,
        hidden: Hidden,
    ) {
        // Writing is placed anew at every third of a doubling, not at every turn of the wheel.
        let scale = PAPER_MM / view.scale;
        let scale = ((scale.log2() * 3.0).round() / 3.0).exp2();
        let key = Key { generation, scale, units: house.plan.units, pulls, stages, hidden };
        if self.key == Some(key) {
            return;
        }
        self.key = Some(key);
        self.pitch = house.setout.pitch;
        let options = Options { dimensions: false, pulls, stages, ..Options::all(scale, house.plan.units) };
        let mut drawing = drawing::floor_drawing(house, &options);
        drawing.items.retain(|item| {
            hidden.shows(match item {
                Item::Label(label) => label.role,
                Item::Shape(shape) => shape.role,
            })
        });
        self.set(&drawing);
    }

    pub(crate) fn clear(&mut self) {
        *self = Self::default();
    }

    pub(super) fn set(&mut self, drawing: &Drawing) {
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

fn part(shape: &drawing::Shape) -> Part {
    let mut lines: Vec<(Vec<Point>, bool)> = Vec::new();
    // A quarter of a millimetre: under a point of the screen up to four times life size.
    kurbo::flatten(&shape.path, 0.25, |element| match element {
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
    let rings: Vec<_> =
        lines.iter().filter(|(_, closed)| *closed).map(|(points, _)| points.clone()).collect();
    let fill = if is_filled(shape.role) { trapezoid::fill(&rings) } else { Vec::new() };
    Part { role: shape.role, board: shape.board, fill, lines }
}

fn is_filled(role: Role) -> bool {
    matches!(
        role,
        Role::OtherFloor
            | Role::OtherOpening
            | Role::TileArea
            | Role::BareFloor
            | Role::Opening
            | Role::WallBody
            | Role::Glazing
            | Role::Cabinets
            | Role::Board { .. }
            | Role::FlaggedBoard
            | Role::Fixture
            | Role::UnderFloor
            | Role::Leaf
            | Role::Stop
            | Role::MovementJoint
            | Role::Slab
            | Role::Bed
            | Role::Sealant
            | Role::TrimStrip
    )
}
