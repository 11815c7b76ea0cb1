//! The floor's drawing laid out to be painted: outlines flattened and cut once for each house.

use super::layers::Hidden;
use super::trapezoid;
use super::view::{Span, View};
use crate::reckon::Reckoned;
use crate::tidy;
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
#[derive(PartialEq)]
pub(crate) struct Part {
    pub(crate) role: Role,
    pub(crate) board: Option<usize>,
    /// What it covers, mm; none where it has no lines.
    pub(crate) span: Option<Span>,
    /// Trapezoids of its fill; none for open paths.
    pub(crate) fill: Vec<[Point; 4]>,
    /// Its lines, each with whether it is closed.
    pub(crate) lines: Vec<(Vec<Point>, bool)>,
}

/// Parts one after the other that are painted alike: all their fills, then all their lines.
#[derive(PartialEq)]
pub(crate) struct Layer {
    /// The role of its first part.
    pub(crate) role: Role,
    /// In the order in which they are painted.
    pub(crate) parts: Vec<Part>,
    pub(crate) stretches: Vec<Stretch>,
    /// Boards, walls and bare floor of a large floor as they are seen from afar: what they cover together, in few pieces.
    pub(crate) from_afar: Vec<[Point; 4]>,
}

/// The parts of a layer that begin in one square of the plan.
#[derive(PartialEq)]
pub(crate) struct Stretch {
    /// What they cover together, mm.
    pub(crate) span: Span,
    /// Their places among the layer's parts.
    pub(crate) parts: Vec<u32>,
}

impl Layer {
    /// The parts of one of its stretches.
    pub(crate) fn of<'a>(&'a self, stretch: &'a Stretch) -> impl Iterator<Item = &'a Part> + Clone {
        stretch.parts.iter().filter_map(|part| self.parts.get(*part as usize))
    }
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
    /// How far right of the rooms and over them pennants have room, paper mm.
    beyond: f64,
    above: f64,
}

/// The drawing of one house, ready to be painted.
#[derive(Default)]
pub(crate) struct Scene {
    pub(crate) key: Option<Key>,
    /// In the order in which they are painted. One that is the same as in the scene before is that one, so that what was
    /// made of it is still of use.
    pub(crate) layers: Vec<Arc<Layer>>,
    pub(crate) labels: Vec<Label>,
    /// Where figures would stand that found no room.
    pub(crate) left_out: Vec<Point>,
    /// Board face width, mm: of blocks theirs, not how far their points lie apart.
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
    /// Whether a scene is being laid out beside the window.
    pub(crate) fn is_under_way(&self) -> bool {
        self.next.progress().is_some()
    }

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
        let (beyond, above) = room_beyond(house, view);
        let key = Key { generation, scale, units: house.plan.units, pulls, stages, hidden, beyond, above };
        if self.shown.key == Some(key) {
            return;
        }
        let is_small = house.floor.boards.len() < LARGE;
        if at_once || is_small && self.shown.took < SHORT {
            let scene = Scene::of(house, key, &self.shown);
            tidy::let_go(std::mem::replace(&mut self.shown, Arc::new(scene)));
            return;
        }
        let (house, before) = (house.clone(), self.shown.clone());
        self.next.ask(key, false, ctx, move |_| Some(Arc::new(Scene::of(&house, key, &before))));
        if let Some((key, scene)) = self.next.known()
            && self.shown.key.is_none_or(|shown| shown.generation <= key.generation && shown != *key)
        {
            tidy::let_go(std::mem::replace(&mut self.shown, scene.clone()));
        }
    }

    pub(crate) fn clear(&mut self) {
        if self.shown.key.is_some() || self.next.known().is_some() {
            *self = Self::default();
        }
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

/// How far right of the rooms and over them pennants have room where the whole floor is on show, paper mm. In few steps: the
/// floor is not laid out anew at every turn of the wheel. A pennant is seldom longer, or its pole higher, than the last of them.
fn room_beyond(house: &House, view: &View) -> (f64, f64) {
    let Some(span) = Span::of_plan(&house.plan) else { return (f64::INFINITY, f64::INFINITY) };
    let (side, head) = view.free_round(span);
    let beyond = match side / PAPER_MM {
        free if free > 45.0 => f64::INFINITY,
        free if free > 30.0 => 30.0,
        _ => 20.0,
    };
    let above = match head / PAPER_MM {
        free if free > 25.0 => f64::INFINITY,
        free if free > 16.0 => 16.0,
        _ => 9.0,
    };
    (beyond, above)
}

impl Scene {
    fn of(house: &House, key: Key, before: &Self) -> Self {
        let begun = Instant::now();
        let mut scene = Self { key: Some(key), pitch: house.plan.stock.pitch(), ..Self::default() };
        let Key { scale, units, pulls, stages, hidden, beyond, above, .. } = key;
        let options =
            Options { dimensions: false, pulls, stages, beyond, above, ..Options::all(scale, units) };
        let mut drawing = drawing::floor_drawing(house, &options);
        drawing.items.retain(|item| {
            hidden.shows(match item {
                Item::Label(label) => label.role,
                Item::Shape(shape) => shape.role,
            })
        });
        scene.set(&drawing);
        let left_out = drawing.left_out.iter().filter(|(role, _)| hidden.shows(*role));
        scene.left_out = left_out.map(|(_, at)| Point::new(at.x, at.y)).collect();
        scene.take_over(before);
        scene.took = begun.elapsed();
        scene
    }

    /// All parts in the order in which they are painted.
    pub(crate) fn parts(&self) -> impl Iterator<Item = &Part> {
        self.layers.iter().flat_map(|layer| &layer.parts)
    }

    pub(super) fn set(&mut self, drawing: &Drawing) {
        self.labels.clear();
        let mut parts = Vec::new();
        for item in &drawing.items {
            match item {
                Item::Label(label) => self.labels.push(label.clone()),
                Item::Shape(shape) => parts.push(part(shape)),
            }
        }
        self.layers = layers(parts);
    }

    /// Takes over the layers of the scene before that are the same in this one.
    fn take_over(&mut self, before: &Self) {
        for (place, layer) in self.layers.iter_mut().enumerate() {
            // Most often in the same place; where a layer has come in, a place or two farther.
            let near = place.saturating_sub(2)..(place + 3).min(before.layers.len());
            let same = before.layers.get(near).into_iter().flatten().find(|old| ***old == **layer);
            if let Some(old) = same {
                *layer = old.clone();
            }
        }
    }
}

fn layers(parts: Vec<Part>) -> Vec<Arc<Layer>> {
    let groups = super::together::together(parts).into_iter();
    let layer = |parts: Vec<Part>| {
        let role = parts.first()?.role;
        Some(Layer { role, parts, stretches: Vec::new(), from_afar: Vec::new() })
    };
    groups.filter_map(layer).map(|layer| Arc::new(layer.parted())).collect()
}

impl Layer {
    /// With its parts told apart by where they lie.
    fn parted(self) -> Self {
        let mut squares: BTreeMap<(i64, i64), Stretch> = BTreeMap::new();
        for (place, part) in (0..).zip(&self.parts) {
            let Some(span) = part.span else { continue };
            let square = |mm: f64| (mm / SQUARE).floor() as i64;
            let stretch = squares
                .entry((square(span.min.x), square(span.min.y)))
                .or_insert_with(|| Stretch { span, parts: Vec::new() });
            stretch.span = stretch.span.with(&span);
            stretch.parts.push(place);
        }
        let is_many = match self.role {
            Role::Board { .. } => self.parts.len() > MANY,
            // What lies under boards and between rooms, of a street of houses.
            Role::WallBody | Role::BareFloor => {
                self.parts.iter().map(|part| part.fill.len()).sum::<usize>() > MANY
            }
            _ => false,
        };
        let from_afar = match is_many {
            true => super::merge::merge(self.parts.iter().flat_map(|part| part.fill.iter().copied())),
            false => Vec::new(),
        };
        Self { stretches: squares.into_values().collect(), from_afar, ..self }
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
    let span = Span::of(lines.iter().flat_map(|(points, _)| points.iter().copied()));
    Part { role: shape.role, board: shape.board, span, fill, lines }
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
            | Role::MovementJoint
            | Role::Slab
            | Role::Bed
            | Role::Sealant
            | Role::TrimStrip
            | Role::Leader
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Seen from above, the middle of a tile area shows its tiles: what is filled there last is no trim.
    #[test]
    fn a_tile_area_lies_bare_within_its_trim() {
        let plan = plan::read(include_str!("../../../../sample-plans/quince-row.ron")).expect("it reads");
        let house = pipeline::run(&plan).expect("it is sound");
        let is_tile = |fixture: &&plan::Fixture| matches!(fixture.kind, plan::FixtureKind::TileArea { .. });
        let tile = plan.fixtures.iter().find(is_tile).expect("an area of tile");
        let sum = tile.outline.iter().fold((0.0, 0.0), |(x, y), p| (x + p.x, y + p.y));
        let corners = tile.outline.len() as f64;
        let middle = Point::new(sum.0 / corners, sum.1 / corners);
        let mut scene = Scene::default();
        scene.set(&drawing::floor_drawing(&house, &Options::all(50.0, plan.units)));
        let covers = |[low_left, low_right, high_right, high_left]: &[Point; 4]| {
            let (low, high) = (low_left.y, high_left.y);
            let t = (middle.y - low) / (high - low);
            (0.0..=1.0).contains(&t)
                && low_left.x + (high_left.x - low_left.x) * t <= middle.x
                && middle.x <= low_right.x + (high_right.x - low_right.x) * t
        };
        let last = scene.parts().filter(|part| part.fill.iter().any(covers)).last();
        assert_eq!(last.map(|part| part.role), Some(Role::TileArea));
    }

    /// How wide a board is on the screen decides whether it is numbered. Of herringbone it is the block's own width, 100 as
    /// the sample's plan has it, and not the 424 from point to point that its set-out counts by.
    #[test]
    fn blocks_are_as_wide_as_they_are_sold() {
        let plan = plan::read(include_str!("../../../../sample-plans/plover-parlour.ron")).expect("it reads");
        let house = pipeline::run(&plan).expect("it is sound");
        let scene = Scene::of(
            &house,
            Key { scale: 50.0, beyond: 20.0, above: 9.0, ..Key::default() },
            &Scene::default(),
        );
        assert_eq!((scene.pitch, plan.stock.face_width), (100.0, 100.0));
        assert!(house.setout.pitch > 400.0);
    }
}
