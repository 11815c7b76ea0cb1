//! A scene's shapes turned into triangles once for each zoom, stretch by stretch of the plan as it comes into view; moving
//! the view only moves them.

use super::paint::Brush;
use super::scene::{Layer, Scene, Stretch};
use super::view::{Span, View};
use crate::laying::Laid;
use crate::palette::Palette;
use drawing::Role;
use egui::epaint::{TessellationOptions, Tessellator, Vertex};
use egui::{Color32, Context, Mesh, Painter, Pos2, Rect, Shape, Vec2, pos2};
use plan::Point;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// Lines reach this far beyond the shapes they bound, points of the screen.
const REACH: f32 = 6.0;
/// So far beyond the view triangles are put together, points: a view that is moved by less only moves them. Farther, and
/// more is handed over in each frame than is seen.
pub(super) const MARGIN: f32 = 160.0;
/// Boards narrower than this on the screen have their joints as plain strips, each joint once, points. Wider ones, of
/// which the screen holds few, have them as whole outlines with proper corners.
const PLAIN: f32 = 40.0;

/// Boards narrower than this are seen as one colour, pixels: joints and shades between would only flicker.
const AFAR: f32 = 3.5;
/// Boards narrower than this have no joints, pixels.
const UNJOINTED: f32 = 6.0;
/// Lines along things so thin are left out, pixels: their fill is thinner than a line would be.
const THIN: f32 = 0.9;
/// What is thinner than this is not drawn at all, pixels: a fill so narrow flickers as the view moves.
const SPECK: f32 = 0.35;
/// About how thick a wall is, mm.
const WALL: f64 = 92.0;

/// So long lines are made anew in a frame of which little is spent, and where much of it is. What is left has those of a
/// moment ago, made larger or smaller, or none yet, and comes in the next frames: the view follows the hand, and what is at
/// rest is as it should be.
const LONGEST: Duration = Duration::from_micros(1500);
const SHORTEST: Duration = Duration::from_micros(250);
/// What a frame has for all that comes before the triangles are handed over: at 120 a second it is 8 ms in all.
const FRAME: Duration = Duration::from_micros(6000);

/// For how long lines may be made anew in a frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Spell {
    /// However long it takes.
    Whatever,
    For(Duration),
}

impl Spell {
    /// In a frame of which so much is spent.
    pub(super) fn of(spent: Duration) -> Self {
        Self::For(FRAME.saturating_sub(spent).clamp(SHORTEST, LONGEST))
    }

    fn is_over(self, begun: Instant) -> bool {
        matches!(self, Self::For(spell) if begun.elapsed() >= spell)
    }
}

/// Joints made for a view this many times nearer or farther are still shown until there are new ones.
const STALE: std::ops::RangeInclusive<f32> = 0.6..=1.7;

/// What fills were made for: they grow with the view.
#[derive(Debug, Clone, Copy, PartialEq)]
struct MadeFor {
    palette: Palette,
    is_laid: bool,
    pixels_per_point: f32,
}

/// Fills and lines of one stretch of a layer, points of the screen from the origin.
#[derive(Default)]
struct Triangles {
    fill: Option<Mesh>,
    /// Lines keep their thickness while the view grows: the scale they were made for goes with them.
    lines: Option<(f64, Mesh)>,
}

/// What was made of a layer, for each of its stretches.
struct Made {
    of: Arc<Layer>,
    stretches: Vec<Triangles>,
}

impl Made {
    fn of(layer: &Arc<Layer>) -> Self {
        let stretches = std::iter::repeat_with(Triangles::default).take(layer.stretches.len()).collect();
        Self { of: layer.clone(), stretches }
    }
}

/// The triangles made so far.
#[derive(Default)]
pub(super) struct Baked {
    made_for: Option<MadeFor>,
    /// Boards down when they were made, while the laying is shown.
    down: usize,
    /// Points of the screen to a millimetre for which fills were made.
    scale: f64,
    /// The point of the plan from which they are placed: near by, so that single precision does.
    origin: Point,
    /// For each layer of the scene.
    layers: Vec<Made>,
    /// All triangles of the last frame.
    mesh: Arc<Mesh>,
    /// The view they stand for, while everything in them is as it is to be.
    last: Option<View>,
    /// What of the plan they cover, mm: somewhat more than is seen, so that a view that is moved moves them.
    covered: Option<Span>,
}

impl Baked {
    /// Paints a scene; what cannot be made within `spell` comes in the next frames.
    pub(super) fn paint(
        &mut self,
        painter: &Painter,
        scene: &Scene,
        view: &View,
        palette: &Palette,
        laid: Option<&Laid<'_>>,
        spell: Spell,
    ) {
        let ctx = painter.ctx();
        let pixels_per_point = ctx.pixels_per_point();
        let made_for = MadeFor { palette: *palette, is_laid: laid.is_some(), pixels_per_point };
        // Far from the origin single precision would show, and so it would far from the scale it was made for.
        let is_far = (view.screen_from_plan(self.origin) - view.rect.center()).length() > 100_000.0
            || !(0.125..8.0).contains(&(view.scale / self.scale.max(f64::MIN_POSITIVE)));
        if self.made_for != Some(made_for) || is_far {
            self.made_for = Some(made_for);
            (self.origin, self.scale) = (view.centre, view.scale);
            self.layers.clear();
        }
        self.keep_to(&scene.layers);
        if let Some(laid) = laid.filter(|laid| laid.down != self.down) {
            self.lay(laid);
        }
        if self.last != Some(*view) && self.is_moved_to(view, pixels_per_point) {
            self.last = Some(*view);
        } else if self.last != Some(*view) {
            let is_whole = self.put_together(ctx, scene, view, palette, laid, spell);
            if !is_whole {
                ctx.request_repaint();
            }
            self.last = is_whole.then_some(*view);
        }
        if !self.mesh.is_empty() {
            painter.add(Shape::Mesh(self.mesh.clone()));
        }
    }

    /// Moves the triangles of the last frame to this view, where it is the same but for its place and all that is seen in it
    /// is among them: to put them together anew costs several times as much.
    fn is_moved_to(&mut self, view: &View, pixels_per_point: f32) -> bool {
        let Some(last) = self.last.filter(|last| last.scale == view.scale) else { return false };
        if !self.covered.is_some_and(|covered| covered.holds(&view.seen())) {
            return false;
        }
        let by = placed(view, self.origin, pixels_per_point) - placed(&last, self.origin, pixels_per_point);
        shift(&mut self.mesh, by);
        true
    }

    /// Keeps what was made of layers that are still shown, and forgets the rest.
    fn keep_to(&mut self, layers: &[Arc<Layer>]) {
        let is_same = self.layers.len() == layers.len()
            && self.layers.iter().zip(layers).all(|(made, layer)| Arc::ptr_eq(&made.of, layer));
        if is_same {
            return;
        }
        let mut before: Vec<Option<Made>> = std::mem::take(&mut self.layers).into_iter().map(Some).collect();
        self.layers = layers
            .iter()
            .map(|layer| {
                let same = before
                    .iter_mut()
                    .find(|made| made.as_ref().is_some_and(|made| Arc::ptr_eq(&made.of, layer)));
                same.and_then(Option::take).unwrap_or_else(|| Made::of(layer))
            })
            .collect();
        self.last = None;
        crate::tidy::let_go(before);
    }

    /// Forgets what was made of the stretches in which boards have come down or been taken up since.
    fn lay(&mut self, laid: &Laid<'_>) {
        let changed = self.down.min(laid.down)..self.down.max(laid.down);
        self.down = laid.down;
        self.last = None;
        for Made { of, stretches } in &mut self.layers {
            for (stretch, made) in of.stretches.iter().zip(stretches) {
                let mut boards = of.of(stretch).filter_map(|part| part.board);
                if boards.any(|board| laid.place(board).is_some_and(|place| changed.contains(&place))) {
                    *made = Triangles::default();
                }
            }
        }
    }

    /// Puts the triangles of a view together; whether everything in them is as it is to be.
    fn put_together(
        &mut self,
        ctx: &Context,
        scene: &Scene,
        view: &View,
        palette: &Palette,
        laid: Option<&Laid<'_>>,
        spell: Spell,
    ) -> bool {
        let pixels_per_point = ctx.pixels_per_point();
        let is_afar = laid.is_none() && view.points(scene.pitch) * pixels_per_point < AFAR;
        let filled = View { centre: self.origin, scale: self.scale, rect: Rect::ZERO };
        let lined = View { scale: view.scale, ..filled };
        let fills = Brush::new(&filled, palette, scene.pitch, laid);
        let lines = Brush::new(&lined, palette, scene.pitch, laid);
        let options = ctx.tessellation_options(|options| *options);
        let mut maker = Maker {
            brush: &lines,
            tessellator: Tessellator::new(pixels_per_point, options, [1, 1], Vec::new()),
            strips: Strips::new(pixels_per_point, &options),
            has_joints: lines.board_points * pixels_per_point >= UNJOINTED,
            has_thin: view.points(WALL) * pixels_per_point >= THIN,
        };
        let has_specks = view.points(WALL) * pixels_per_point >= SPECK;
        let by = placed(view, self.origin, pixels_per_point);
        // What is not moved by whole pixels with the rest goes with it all the same.
        let snapped = by - view.screen_from_plan(self.origin).to_vec2();
        let times = (view.scale / self.scale) as f32;
        let covered = view.seen().grown(view.mm(MARGIN));
        self.covered = Some(covered);
        let seen = covered.grown(view.mm(REACH));
        let mut is_whole = true;
        let mesh = emptied(&mut self.mesh);
        // Lines of a layer, which come over all its fills.
        let mut lined_over = Vec::new();
        let begun = Instant::now();
        for Made { of: layer, stretches } in &mut self.layers {
            if !has_specks && is_thin(layer.role) {
                continue;
            }
            if is_afar && !layer.from_afar.is_empty() {
                let color = match layer.role {
                    Role::Board { .. } => palette.wood_from_afar(),
                    role => fills.fill_color(role),
                };
                for quad in &layer.from_afar {
                    let span = Span::of(*quad);
                    if span.is_some_and(|span| seen.meets(&span)) {
                        super::paint::add_quad(mesh, quad.map(|p| view.screen_from_plan(p) + snapped), color);
                    }
                }
                continue;
            }
            lined_over.clear();
            for (place, (stretch, made)) in layer.stretches.iter().zip(stretches.iter_mut()).enumerate() {
                if !seen.meets(&stretch.span) {
                    continue;
                }
                let filled = made.fill.get_or_insert_with(|| {
                    let mut mesh = Mesh::default();
                    layer.of(stretch).for_each(|part| fills.fill(part, &mut mesh));
                    mesh
                });
                append(mesh, filled, times, by);
                let is_stale = made.lines.as_ref().is_none_or(|(scale, _)| *scale != view.scale);
                let is_near = |(made, _): &(f64, Mesh)| STALE.contains(&((view.scale / made) as f32));
                let may_wait = is_fine(layer.role) || made.lines.as_ref().is_some_and(is_near);
                if is_stale && (!may_wait || !spell.is_over(begun)) {
                    made.lines = Some((view.scale, maker.lines(layer, stretch)));
                } else if is_stale {
                    is_whole = false;
                }
                lined_over.push(place);
            }
            for (scale, lines) in lined_over.iter().filter_map(|place| stretches.get(*place)?.lines.as_ref())
            {
                let times = (view.scale / scale) as f32;
                if STALE.contains(&times) {
                    append(mesh, lines, times, by);
                }
            }
        }
        is_whole
    }
}

/// Where a point of the plan lies on the screen, by whole pixels, so that upright and level lines stay crisp.
pub(super) fn placed(view: &View, origin: Point, pixels_per_point: f32) -> Vec2 {
    let to_pixel = |points: f32| (points * pixels_per_point).round() / pixels_per_point;
    let at = view.screen_from_plan(origin);
    pos2(to_pixel(at.x), to_pixel(at.y)).to_vec2()
}

/// Moves triangles where they are.
pub(super) fn shift(mesh: &mut Arc<Mesh>, by: Vec2) {
    if by != Vec2::ZERO {
        Arc::make_mut(mesh).vertices.iter_mut().for_each(|vertex| vertex.pos += by);
    }
}

/// A mesh with nothing in it, in the memory it had: a large one made anew in each frame costs more than filling it.
pub(super) fn emptied(mesh: &mut Arc<Mesh>) -> &mut Mesh {
    if Arc::get_mut(mesh).is_none() {
        *mesh = Arc::default();
    }
    let mesh = Arc::make_mut(mesh);
    mesh.indices.clear();
    mesh.vertices.clear();
    mesh
}

/// Whether things of a role are as thin as a wall.
fn is_thin(role: Role) -> bool {
    matches!(
        role,
        Role::WallBody
            | Role::WallFace
            | Role::Opening
            | Role::OtherOpening
            | Role::Leaf
            | Role::Glazing
            | Role::Cabinets
            | Role::Stop
    )
}

/// Whether a layer is of so many lines that they may come a frame later than what they lie on.
fn is_fine(role: Role) -> bool {
    matches!(role, Role::Board { .. } | Role::BoardOutline | Role::StageHatch { .. } | Role::LaidHatch)
}

/// Makes lines of parts as they are seen at one zoom.
struct Maker<'a> {
    brush: &'a Brush<'a>,
    tessellator: Tessellator,
    strips: Strips,
    /// Boards are wide enough for their joints to be seen.
    has_joints: bool,
    /// Walls are thick enough for their faces to be seen.
    has_thin: bool,
}

impl Maker<'_> {
    fn lines(&mut self, layer: &Layer, stretch: &Stretch) -> Mesh {
        let mut made = Mesh::default();
        let parts = || layer.of(stretch);
        let mut shapes = Vec::new();
        match layer.role {
            Role::Board { .. } if !self.has_joints => {}
            Role::Board { .. } => {
                parts().for_each(|part| self.brush.grain(part, &mut made));
                if self.brush.board_points < PLAIN {
                    parts().for_each(|part| self.brush.joints(part, &self.strips, &mut made));
                } else {
                    parts().for_each(|part| self.brush.lines(part, &mut shapes));
                }
            }
            // Of what is thinner than a line its fill says enough.
            Role::WallFace
            | Role::Leaf
            | Role::Glazing
            | Role::Cabinets
            | Role::Stop
            | Role::BoardOutline
            | Role::FlaggedBoard
            | Role::Fixture
            | Role::UnderFloor
                if !self.has_thin => {}
            role => {
                if matches!(role, Role::OtherFloor | Role::OtherOpening | Role::TileArea) {
                    parts().for_each(|part| self.brush.tiles(part, &mut shapes));
                }
                parts().for_each(|part| self.brush.lines(part, &mut shapes));
            }
        }
        for shape in shapes {
            match shape {
                // Straight from one end to the other, of which a hatch or chalk has hundreds: no corner to be made.
                Shape::LineSegment { points: [a, b], stroke } => {
                    self.strips.add(&mut made, a, b, stroke.width, stroke.color);
                }
                shape => self.tessellator.tessellate_shape(shape, &mut made),
            }
        }
        made
    }
}

/// Adds triangles, made larger and moved by some way.
pub(super) fn append(to: &mut Mesh, from: &Mesh, times: f32, by: Vec2) {
    let Ok(first) = u32::try_from(to.vertices.len()) else { return };
    to.indices.extend(from.indices.iter().map(|index| index + first));
    to.vertices.extend(
        from.vertices
            .iter()
            .map(|vertex| Vertex { pos: (vertex.pos.to_vec2() * times + by).to_pos2(), ..*vertex }),
    );
}

/// Thin lines as strips that fade to both sides.
pub(super) struct Strips {
    /// From the middle of a line to where it has faded, points.
    fade: f32,
    /// A pixel, points.
    pixel: f32,
}

impl Strips {
    fn new(pixels_per_point: f32, options: &TessellationOptions) -> Self {
        let pixel = 1.0 / pixels_per_point;
        let fade = if options.feathering { options.feathering_size_in_pixels * pixel } else { pixel / 2.0 };
        Self { fade, pixel }
    }

    /// Adds a straight line.
    pub(super) fn add(&self, mesh: &mut Mesh, a: Pos2, b: Pos2, width: f32, color: Color32) {
        let Ok(first) = u32::try_from(mesh.vertices.len()) else { return };
        let across = (b - a).normalized().rot90();
        // A line thinner than its fading is paler instead; a thicker one has a firm middle.
        let color = color.gamma_multiply((width / self.pixel).min(1.0));
        let firm = (width - self.fade).max(0.0) / 2.0;
        let outer = across * (firm + self.fade);
        let sides: &[(Vec2, Color32)] = match firm > 0.0 {
            true => &[
                (-outer, Color32::TRANSPARENT),
                (-across * firm, color),
                (across * firm, color),
                (outer, Color32::TRANSPARENT),
            ],
            false => &[(-outer, Color32::TRANSPARENT), (Vec2::ZERO, color), (outer, Color32::TRANSPARENT)],
        };
        for end in [a, b] {
            for (side, color) in sides {
                mesh.colored_vertex(end + *side, *color);
            }
        }
        let count = sides.len() as u32;
        for side in 0..count - 1 {
            mesh.add_triangle(first + side, first + side + 1, first + side + count);
            mesh.add_triangle(first + side + 1, first + side + count, first + side + count + 1);
        }
    }
}
