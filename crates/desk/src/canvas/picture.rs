//! The picture under the plan, or over it where that is chosen.

use super::Shown;
use super::view::View;
use egui::epaint::Vertex;
use egui::{Color32, Mesh, Painter, Shape, pos2};

/// Paints the picture where it lies `over` the floor, or not.
pub(super) fn paint(painter: &Painter, shown: &Shown<'_>, view: &View, over: bool) {
    let Some(backdrop) = shown.document.plan().backdrop.as_ref().filter(|b| b.over == over) else { return };
    let Some(texture) = shown.picture else { return };
    let mut mesh = Mesh::with_texture(texture.id());
    let color = Color32::WHITE.gamma_multiply((1.0 - backdrop.dim).clamp(0.0, 1.0) as f32);
    // Pictures have their first row on top.
    let uvs = [pos2(0.0, 1.0), pos2(1.0, 1.0), pos2(1.0, 0.0), pos2(0.0, 0.0)];
    for (corner, uv) in backdrop.corners().into_iter().zip(uvs) {
        mesh.vertices.push(Vertex { pos: view.screen_from_plan(corner), uv, color });
    }
    mesh.add_triangle(0, 1, 2);
    mesh.add_triangle(0, 2, 3);
    painter.add(Shape::mesh(mesh));
}
