//! The plates under a scene's labels: rings, tags, pennants.

use super::pen::Inks;
use super::scene::PAPER_MM;
use super::trapezoid;
use drawing::PlateKind;
use egui::{Mesh, Pos2, Shape, pos2};
use kurbo::PathEl;
use plan::Point;

/// A plate, drawn from its label's point.
pub(super) fn plate(rings: &[Vec<Point>], kind: PlateKind, look: &Inks) -> Vec<Shape> {
    let on_screen = |p: &Point| pos2((p.x * PAPER_MM) as f32, (-p.y * PAPER_MM) as f32);
    let mut shapes = Vec::new();
    for ring in rings {
        let points: Vec<Pos2> = ring.iter().map(on_screen).collect();
        if !matches!(kind, PlateKind::Swallowtail | PlateKind::Pointed | PlateKind::Stepped) {
            shapes.push(Shape::convex_polygon(points, look.ground, look.edge));
            continue;
        }
        let mut mesh = Mesh::default();
        for quad in trapezoid::fill(std::slice::from_ref(ring)) {
            super::paint::add_quad(&mut mesh, quad.map(|p| on_screen(&p)), look.ground);
        }
        shapes.push(Shape::mesh(mesh));
        shapes.push(Shape::closed_line(points, look.edge));
    }
    shapes
}

/// The rings of a plate, curves flattened, paper mm.
pub(super) fn rings(path: &kurbo::BezPath) -> Vec<Vec<Point>> {
    let mut rings: Vec<Vec<Point>> = Vec::new();
    kurbo::flatten(path, 0.03, |element| match element {
        PathEl::MoveTo(p) => rings.push(vec![Point::new(p.x, p.y)]),
        PathEl::LineTo(p) => {
            if let Some(ring) = rings.last_mut() {
                ring.push(Point::new(p.x, p.y));
            }
        }
        PathEl::QuadTo(..) | PathEl::CurveTo(..) | PathEl::ClosePath => {}
    });
    for ring in &mut rings {
        // Repeated points would give the screen's line a spike.
        ring.dedup_by(|a, b| a.distance(*b) < 1e-6);
        if ring.len() > 1 && ring.first().zip(ring.last()).is_some_and(|(a, b)| a.distance(*b) < 1e-6) {
            ring.pop();
        }
    }
    rings.retain(|ring| ring.len() > 2);
    rings
}
