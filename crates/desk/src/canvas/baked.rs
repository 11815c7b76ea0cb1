//! A scene's shapes turned into triangles once for each zoom, stretch by stretch of the plan as it comes into view; moving
//! the view only moves them.

use super::paint::Brush;
use super::scene::{Key, Layer, Scene};
use super::view::{Span, View};
use crate::laying::Laid;
use crate::palette::Palette;
use drawing::Role;
use egui::epaint::{TessellationOptions, Tessellator, Vertex};
use egui::{Color32, Context, Mesh, Painter, Pos2, Rect, Shape, Vec2, pos2};
use plan::Point;

/// Lines reach this far beyond the shapes they bound, points of the screen.
const REACH: f32 = 6.0;
/// Boards narrower than this on the screen have their joints as plain strips, each joint once, points. Wider ones, of
/// which the screen holds few, have them as whole outlines with proper corners.
const PLAIN: f32 = 14.0;

/// Boards narrower than this are seen as one colour, pixels: joints and shades between would only flicker.
const AFAR: f32 = 3.5;
/// Boards narrower than this have no joints, pixels.
const UNJOINTED: f32 = 6.0;
/// Lines along things so thin are left out, pixels: their fill is thinner than a line would be.
const THIN: f32 = 0.9;
/// About how thick a wall is, mm.
const WALL: f64 = 92.0;

/// What fills were made for: they grow with the view.
#[derive(Debug, Clone, Copy, PartialEq)]
struct FilledFor {
    scene: Option<Key>,
    palette: Palette,
    is_laid: bool,
    /// How much of a floor is shown.
    detail: Detail,
}

/// What lines were made for: they keep their thickness while the view grows.
#[derive(Debug, Clone, Copy, PartialEq)]
struct LinedFor {
    scale: f64,
    pixels_per_point: f32,
}

/// How much of a floor is shown, by how large its boards are on the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Detail {
    /// Where boards lie, in one colour.
    Afar,
    /// Boards, their joints where they are wide enough.
    Boards,
}

/// Fills and lines of one stretch of a layer, points of the screen from the origin.
#[derive(Default)]
struct Triangles {
    fill: Option<Mesh>,
    lines: Option<Mesh>,
}

/// The triangles made so far.
#[derive(Default)]
pub(super) struct Baked {
    filled_for: Option<FilledFor>,
    lined_for: Option<LinedFor>,
    /// Boards down when they were made, while the laying is shown.
    down: usize,
    /// Points of the screen to a millimetre for which fills were made.
    scale: f64,
    /// The point of the plan from which they are placed: near by, so that single precision does.
    origin: Point,
    /// For each layer of the scene and each of its stretches.
    layers: Vec<Vec<Triangles>>,
    /// The shapes of the last frame, and the view they were put together for.
    last: Option<(View, Vec<Shape>)>,
}

impl Baked {
    pub(super) fn paint(
        &mut self,
        painter: &Painter,
        scene: &Scene,
        view: &View,
        palette: &Palette,
        laid: Option<&Laid<'_>>,
    ) {
        let ctx = painter.ctx();
        let pixels_per_point = ctx.pixels_per_point();
        let is_afar = laid.is_none() && view.points(scene.pitch) * pixels_per_point < AFAR;
        let filled_for = FilledFor {
            scene: scene.key,
            palette: *palette,
            is_laid: laid.is_some(),
            detail: if is_afar { Detail::Afar } else { Detail::Boards },
        };
        let lined_for = LinedFor { scale: view.scale, pixels_per_point };
        // Far from the origin single precision would show, and so it would far from the scale it was made for.
        let is_far = (view.screen_from_plan(self.origin) - view.rect.center()).length() > 100_000.0
            || !(0.125..8.0).contains(&(view.scale / self.scale.max(f64::MIN_POSITIVE)));
        if self.filled_for != Some(filled_for) || is_far {
            (self.filled_for, self.lined_for) = (Some(filled_for), Some(lined_for));
            (self.origin, self.scale) = (view.centre, view.scale);
            self.layers = scene.layers.iter().map(|layer| none(layer.stretches.len())).collect();
            self.last = None;
        } else if self.lined_for != Some(lined_for) {
            self.lined_for = Some(lined_for);
            self.layers.iter_mut().flatten().for_each(|made| made.lines = None);
            self.last = None;
        }
        if let Some(laid) = laid.filter(|laid| laid.down != self.down) {
            self.lay(scene, laid);
        }
        if self.last.as_ref().is_none_or(|(of, _)| of != view) {
            self.last = Some((*view, self.put_together(ctx, scene, view, palette, laid, is_afar)));
        }
        if let Some((_, shapes)) = &self.last {
            painter.extend(shapes.iter().cloned());
        }
    }

    /// Forgets what was made of the stretches in which boards have come down or been taken up since.
    fn lay(&mut self, scene: &Scene, laid: &Laid<'_>) {
        let changed = self.down.min(laid.down)..self.down.max(laid.down);
        self.down = laid.down;
        self.last = None;
        for (layer, made) in scene.layers.iter().zip(&mut self.layers) {
            for (stretch, made) in layer.stretches.iter().zip(made) {
                let mut boards =
                    stretch.parts.iter().filter_map(|part| scene.parts.get(*part as usize)?.board);
                if boards.any(|board| laid.place(board).is_some_and(|place| changed.contains(&place))) {
                    *made = Triangles::default();
                }
            }
        }
    }

    fn put_together(
        &mut self,
        ctx: &Context,
        scene: &Scene,
        view: &View,
        palette: &Palette,
        laid: Option<&Laid<'_>>,
        is_afar: bool,
    ) -> Vec<Shape> {
        let pixels_per_point = ctx.pixels_per_point();
        let filled = View { centre: self.origin, scale: self.scale, rect: Rect::ZERO };
        let lined = View { scale: view.scale, ..filled };
        let fills = Brush::new(&filled, palette, scene.pitch, laid);
        let lines = Brush::new(&lined, palette, scene.pitch, laid);
        let options = ctx.tessellation_options(|options| *options);
        let mut maker = Maker {
            scene,
            brush: &lines,
            tessellator: Tessellator::new(pixels_per_point, options, [1, 1], Vec::new()),
            strips: Strips::new(pixels_per_point, &options),
            has_joints: lines.board_points * pixels_per_point >= UNJOINTED,
            has_thin: view.points(WALL) * pixels_per_point >= THIN,
        };
        // By whole pixels, so that upright and level lines stay crisp.
        let to_pixel = |points: f32| (points * pixels_per_point).round() / pixels_per_point;
        let origin = view.screen_from_plan(self.origin);
        let by = pos2(to_pixel(origin.x), to_pixel(origin.y)).to_vec2();
        let times = (view.scale / self.scale) as f32;
        let seen = Span {
            min: view.plan_from_screen(view.rect.left_bottom()),
            max: view.plan_from_screen(view.rect.right_top()),
        };
        let seen = seen.grown(view.mm(REACH));
        let mut shapes = Vec::new();
        for (layer, made) in scene.layers.iter().zip(&mut self.layers) {
            let (mut fill, mut lines) = (Mesh::default(), Mesh::default());
            if is_afar && !layer.from_afar.is_empty() {
                let color = palette.wood_from_afar();
                for quad in &layer.from_afar {
                    let span = Span::of(*quad);
                    if span.is_some_and(|span| seen.meets(&span)) {
                        super::paint::add_quad(&mut fill, quad.map(|p| view.screen_from_plan(p)), color);
                    }
                }
                shapes.push(Shape::mesh(fill));
                continue;
            }
            for (stretch, made) in layer.stretches.iter().zip(made) {
                if !seen.meets(&stretch.span) {
                    continue;
                }
                let filled = made.fill.get_or_insert_with(|| {
                    let mut mesh = Mesh::default();
                    let parts = stretch.parts.iter().filter_map(|part| scene.parts.get(*part as usize));
                    parts.for_each(|part| fills.fill(part, &mut mesh));
                    mesh
                });
                append(&mut fill, filled, times, by);
                append(
                    &mut lines,
                    made.lines.get_or_insert_with(|| maker.lines(layer, &stretch.parts)),
                    1.0,
                    by,
                );
            }
            for mesh in [fill, lines] {
                if !mesh.is_empty() {
                    shapes.push(Shape::mesh(mesh));
                }
            }
        }
        shapes
    }
}

fn none(count: usize) -> Vec<Triangles> {
    std::iter::repeat_with(Triangles::default).take(count).collect()
}

/// Makes lines of parts as they are seen at one zoom.
struct Maker<'a> {
    scene: &'a Scene,
    brush: &'a Brush<'a>,
    tessellator: Tessellator,
    strips: Strips,
    /// Boards are wide enough for their joints to be seen.
    has_joints: bool,
    /// Walls are thick enough for their faces to be seen.
    has_thin: bool,
}

impl Maker<'_> {
    fn lines(&mut self, layer: &Layer, parts: &[u32]) -> Mesh {
        let mut made = Mesh::default();
        let parts = || parts.iter().filter_map(|part| self.scene.parts.get(*part as usize));
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
                if !self.has_thin => {}
            role => {
                if matches!(role, Role::OtherFloor | Role::OtherOpening | Role::TileArea) {
                    parts().for_each(|part| self.brush.tiles(part, &mut shapes));
                }
                parts().for_each(|part| self.brush.lines(part, &mut shapes));
            }
        }
        for shape in shapes {
            self.tessellator.tessellate_shape(shape, &mut made);
        }
        made
    }
}

/// Adds triangles, made larger and moved by some way.
fn append(to: &mut Mesh, from: &Mesh, times: f32, by: Vec2) {
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

    /// Adds a line no thicker than a pixel or so.
    pub(super) fn add(&self, mesh: &mut Mesh, a: Pos2, b: Pos2, width: f32, color: Color32) {
        let Ok(first) = u32::try_from(mesh.vertices.len()) else { return };
        let aside = (b - a).normalized().rot90() * self.fade;
        // A line thinner than its fading is paler instead.
        let color = color.gamma_multiply((width / self.pixel).min(1.0));
        for (end, side, color) in [
            (a, -aside, Color32::TRANSPARENT),
            (a, Vec2::ZERO, color),
            (a, aside, Color32::TRANSPARENT),
            (b, -aside, Color32::TRANSPARENT),
            (b, Vec2::ZERO, color),
            (b, aside, Color32::TRANSPARENT),
        ] {
            mesh.colored_vertex(end + side, color);
        }
        for side in [0, 1] {
            mesh.add_triangle(first + side, first + side + 1, first + side + 3);
            mesh.add_triangle(first + side + 1, first + side + 3, first + side + 4);
        }
    }
}
