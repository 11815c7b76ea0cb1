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

/// What triangles were made for.
#[derive(Debug, Clone, Copy, PartialEq)]
struct MadeFor {
    scene: Option<Key>,
    scale: f64,
    palette: Palette,
    down: Option<usize>,
    pixels_per_point: f32,
}

/// Fills and lines of one stretch of a layer, points of the screen from the origin.
#[derive(Default)]
struct Triangles {
    fill: Mesh,
    lines: Mesh,
}

/// The triangles made so far.
#[derive(Default)]
pub(super) struct Baked {
    made_for: Option<MadeFor>,
    /// The point of the plan from which they are placed: near by, so that single precision does.
    origin: Point,
    /// For each layer of the scene and each of its stretches, once it has come into view.
    layers: Vec<Vec<Option<Triangles>>>,
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
        let made_for = MadeFor {
            scene: scene.key,
            scale: view.scale,
            palette: *palette,
            down: laid.map(|laid| laid.down),
            pixels_per_point: ctx.pixels_per_point(),
        };
        // Far from the origin single precision would show.
        let is_far = (view.screen_from_plan(self.origin) - view.rect.center()).length() > 100_000.0;
        if self.made_for != Some(made_for) || is_far {
            self.made_for = Some(made_for);
            self.origin = view.centre;
            self.layers = scene.layers.iter().map(|layer| none(layer.stretches.len())).collect();
            self.last = None;
        }
        if self.last.as_ref().is_none_or(|(of, _)| of != view) {
            self.last = Some((*view, self.put_together(ctx, scene, view, palette, laid)));
        }
        if let Some((_, shapes)) = &self.last {
            painter.extend(shapes.iter().cloned());
        }
    }

    fn put_together(
        &mut self,
        ctx: &Context,
        scene: &Scene,
        view: &View,
        palette: &Palette,
        laid: Option<&Laid<'_>>,
    ) -> Vec<Shape> {
        let pixels_per_point = ctx.pixels_per_point();
        let at_origin = View { centre: self.origin, scale: view.scale, rect: Rect::ZERO };
        let brush = Brush::new(&at_origin, palette, scene.pitch, laid);
        let options = ctx.tessellation_options(|options| *options);
        let mut tessellator = Tessellator::new(pixels_per_point, options, [1, 1], Vec::new());
        let strips = Strips::new(pixels_per_point, &options);
        // By whole pixels, so that upright and level lines stay crisp.
        let to_pixel = |points: f32| (points * pixels_per_point).round() / pixels_per_point;
        let origin = view.screen_from_plan(self.origin);
        let by = pos2(to_pixel(origin.x), to_pixel(origin.y)).to_vec2();
        let margin = view.mm(REACH);
        let seen = Span {
            min: view.plan_from_screen(view.rect.left_bottom()),
            max: view.plan_from_screen(view.rect.right_top()),
        };
        let seen = seen.grown(margin);
        let mut shapes = Vec::new();
        for (layer, made) in scene.layers.iter().zip(&mut self.layers) {
            let (mut fill, mut lines) = (Mesh::default(), Mesh::default());
            for (stretch, made) in layer.stretches.iter().zip(made) {
                if !seen.meets(&stretch.span) {
                    continue;
                }
                let triangles = made.get_or_insert_with(|| {
                    triangles(scene, layer, &stretch.parts, &brush, &mut tessellator, &strips)
                });
                append(&mut fill, &triangles.fill, by);
                append(&mut lines, &triangles.lines, by);
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

fn none(count: usize) -> Vec<Option<Triangles>> {
    std::iter::repeat_with(|| None).take(count).collect()
}

fn triangles(
    scene: &Scene,
    layer: &Layer,
    parts: &[u32],
    brush: &Brush<'_>,
    tessellator: &mut Tessellator,
    strips: &Strips,
) -> Triangles {
    let mut made = Triangles::default();
    let parts = || parts.iter().filter_map(|part| scene.parts.get(*part as usize));
    for part in parts() {
        brush.fill(part, &mut made.fill);
    }
    let is_boards = matches!(layer.role, Role::Board { .. });
    if is_boards {
        parts().for_each(|part| brush.grain(part, &mut made.fill));
    }
    let mut shapes = Vec::new();
    if matches!(layer.role, Role::OtherFloor | Role::OtherOpening | Role::TileArea) {
        parts().for_each(|part| brush.tiles(part, &mut shapes));
    }
    if is_boards && brush.board_points < PLAIN {
        parts().for_each(|part| brush.joints(part, strips, &mut made.lines));
    } else {
        parts().for_each(|part| brush.lines(part, &mut shapes));
    }
    for shape in shapes {
        tessellator.tessellate_shape(shape, &mut made.lines);
    }
    made
}

/// Adds triangles moved by some way.
fn append(to: &mut Mesh, from: &Mesh, by: Vec2) {
    let Ok(first) = u32::try_from(to.vertices.len()) else { return };
    to.indices.extend(from.indices.iter().map(|index| index + first));
    to.vertices.extend(from.vertices.iter().map(|vertex| Vertex { pos: vertex.pos + by, ..*vertex }));
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
