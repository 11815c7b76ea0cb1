//! The floor's drawing laid out to be painted: outlines flattened and cut once for each house.

use super::layers::Hidden;
use super::trapezoid;
use super::view::{Span, View};
use crate::reckon::Reckoned;
use drawing::{Drawing, Item, Label, Options, Role};
use egui::Context;
use kurbo::PathEl;
use pipeline::House;
use plan::Point;
use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::{Duration, Instant};

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

/// Parts one after the other that are painted alike: all their fills, then all their lines.
pub(crate) struct Layer {
    /// The role of its first part.
    pub(crate) role: Role,
    pub(crate) stretches: Vec<Stretch>,
    /// Boards of a large floor as they are seen from afar: what they cover together, in few pieces.
    pub(crate) from_afar: Vec<[Point; 4]>,
}

/// The parts of a layer that begin in one square of the plan.
pub(crate) struct Stretch {
    /// What they cover together, mm.
    pub(crate) span: Span,
    /// Their places among the scene's parts.
    pub(crate) parts: Vec<u32>,
}

/// Side of the squares by which parts are found, mm: a room or two. Smaller, and a large floor is looked for in thousands
/// of squares; larger, and much out of sight is made with what is seen.
const SQUARE: f64 = 8000.0;

/// Fewer boards than this are shown one by one from wherever.
const MANY: usize = 1500;

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
    /// The parts in the order in which they are painted.
    pub(crate) layers: Vec<Layer>,
    pub(crate) labels: Vec<Label>,
    /// Board face width, mm.
    pub(crate) pitch: f64,
    /// How long it took to lay out.
    took: Duration,
}

/// The scene on show, and the one that is being laid out.
#[derive(Default)]
pub(crate) struct Scenes {
    shown: Arc<Scene>,
    next: Reckoned<Key, Arc<Scene>>,
}

/// A scene that was laid out quicker than this is laid out in the frame the next time, too.
const SHORT: Duration = Duration::from_micros(1200);

/// Floors of so many boards are laid out off the window's thread without trying.
const LARGE: usize = 4000;

impl Scenes {
    /// The scene on show.
    pub(crate) fn shown(&self) -> Arc<Scene> {
        self.shown.clone()
    }

    /// Lays out the drawing of a house for a view, unless that is what is on show already. A large one is laid out off
    /// the window's thread: the last one stays on show until then.
    pub(crate) fn update(&mut self, wanted: Wanted<'_>, view: &View, at_once: bool, ctx: &Context) {
        // Writing is placed anew at every third of a doubling, not at every turn of the wheel.
        let scale = PAPER_MM / view.scale;
        let scale = ((scale.log2() * 3.0).round() / 3.0).exp2();
        let Wanted { generation, house, pulls, stages, hidden } = wanted;
        let key = Key { generation, scale, units: house.plan.units, pulls, stages, hidden };
        if self.shown.key == Some(key) {
            return;
        }
        let is_small = house.floor.boards.len() < LARGE;
        if at_once || is_small && self.shown.took < SHORT {
            self.shown = Arc::new(Scene::of(house, key));
            return;
        }
        let house = house.clone();
        self.next.ask(key, false, ctx, move |_| Some(Arc::new(Scene::of(&house, key))));
        if let Some((key, scene)) = self.next.known()
            && self.shown.key.is_none_or(|shown| shown.generation <= key.generation && shown != *key)
        {
            self.shown = scene.clone();
        }
    }

    pub(crate) fn clear(&mut self) {
        *self = Self::default();
    }
}

/// What is to be laid out.
#[derive(Clone, Copy)]
pub(crate) struct Wanted<'a> {
    pub(crate) generation: u64,
    pub(crate) house: &'a Arc<House>,
    pub(crate) pulls: bool,
    pub(crate) stages: bool,
    pub(crate) hidden: Hidden,
}

impl Scene {
    fn of(house: &House, key: Key) -> Self {
        let begun = Instant::now();
        let mut scene = Self { key: Some(key), pitch: house.setout.pitch, ..Self::default() };
        let Key { scale, units, pulls, stages, hidden, .. } = key;
        let options = Options { dimensions: false, pulls, stages, ..Options::all(scale, units) };
        let mut drawing = drawing::floor_drawing(house, &options);
        drawing.items.retain(|item| {
            hidden.shows(match item {
                Item::Label(label) => label.role,
                Item::Shape(shape) => shape.role,
            })
        });
        scene.set(&drawing);
        scene.took = begun.elapsed();
        scene
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
        self.layers = layers(&self.parts);
    }
}

/// Whether parts of these roles may be painted together.
fn is_alike(a: Role, b: Role) -> bool {
    std::mem::discriminant(&a) == std::mem::discriminant(&b)
}

fn layers(parts: &[Part]) -> Vec<Layer> {
    let mut layers = Vec::new();
    let mut first = 0;
    for alike in parts.chunk_by(|a, b| is_alike(a.role, b.role)) {
        let mut squares: BTreeMap<(i64, i64), Stretch> = BTreeMap::new();
        for (place, part) in (first..).zip(alike) {
            let points = part.lines.iter().flat_map(|(points, _)| points.iter().copied());
            let (Some(span), Ok(place)) = (Span::of(points), u32::try_from(place)) else { continue };
            let square = |mm: f64| (mm / SQUARE).floor() as i64;
            let stretch = squares
                .entry((square(span.min.x), square(span.min.y)))
                .or_insert_with(|| Stretch { span, parts: Vec::new() });
            stretch.span = stretch.span.with(&span);
            stretch.parts.push(place);
        }
        let role = alike[0].role;
        let is_many = matches!(role, Role::Board { .. }) && alike.len() > MANY;
        let from_afar = match is_many {
            true => super::merge::merge(alike.iter().flat_map(|part| part.fill.iter().copied())),
            false => Vec::new(),
        };
        layers.push(Layer { role, stretches: squares.into_values().collect(), from_afar });
        first += alike.len();
    }
    layers
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
