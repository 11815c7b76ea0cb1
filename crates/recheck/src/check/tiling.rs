//! Regions are the bare floor less the gaps; boards tile the regions.

use super::{Scene, extent};
use crate::ground::shape;
use crate::plan::FixtureKind;
use crate::report::{Promise, Report};
use geo::{Area, BooleanOps, Coord, Distance, Euclidean, InteriorPoint, MultiPolygon, Point, Polygon};

/// Areas agree to this share of themselves.
const SHARE: f64 = 1e-6;
/// Rounding of the boolean operations that compare areas, mm² for each metre of boundary.
const FILM: f64 = 0.1;
/// A corner this near to a row line is put on it, mm: geometry thinner than 0.01 is healed (docs/rules.md), half of it on either
/// side.
const ON_ROW_LINE: f64 = 0.005;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let house = scene.house;
    let bare = scene.ground.bare.unsigned_area();
    report.same(
        Promise::BareFloor,
        "the house",
        "bare area",
        house.bare_area,
        bare,
        2.0 * SHARE * bare + 1.0,
    );
    let mut together = 0.0;
    for (index, (region, shape)) in house.regions.iter().zip(&scene.regions).enumerate() {
        let area = shape.unsigned_area();
        together += area;
        report.same(Promise::Tiling, &format!("region {index}"), "its area", region.area, area, SHARE * area);
    }
    report.same(Promise::Tiling, "the house", "boarded area", house.boarded_area, together, SHARE * together);
    left_out(scene, report);
    boards(scene, report);
}

/// The floor reaches nowhere it must not, and what of the bare floor it does not cover lies within the gaps.
fn left_out(scene: &Scene, report: &mut Report) {
    let floor = geo::unary_union(&scene.regions);
    let kicks = scene.plan.fixtures.iter().filter(|f| matches!(f.kind, FixtureKind::Kick { .. })).map(shape);
    let under: Vec<Polygon> = scene.ground.bare.iter().cloned().chain(kicks).collect();
    let outside = floor.difference(&geo::unary_union(&under)).unsigned_area();
    let film = FILM * length(&scene.regions) / 1000.0 + scene.jogs.most_outside();
    report.hold(Promise::NothingLeftOut, outside <= film, || {
        ("the house".into(), format!("{outside} mm² of floor lie outside rooms and doorways"))
    });
    // What each edge keeps free: a strip as wide as its gap, a little longer at both ends for the mitres.
    let mut strips: Vec<Polygon> = Vec::new();
    let mut widest = 0.0_f64;
    for region in &scene.house.regions {
        for ring in &region.rings {
            for (i, edge) in ring.iter().enumerate() {
                let (a, b) = (Coord::from(edge.from), Coord::from(ring[(i + 1) % ring.len()].from));
                let length = libm::hypot(b.x - a.x, b.y - a.y);
                if edge.gap <= 0.0 || length <= 0.0 {
                    continue;
                }
                widest = widest.max(edge.gap);
                let along = (b - a) / length;
                let out = Coord { x: along.y, y: -along.x } * (edge.gap + 0.3);
                let past = along * (4.0 * edge.gap);
                strips.push(crate::ground::polygon(&[a - past, b + past, b + past + out, a - past + out]));
            }
        }
    }
    let rest = scene.ground.bare.difference(&floor).difference(&geo::unary_union(&strips));
    for part in rest.iter().filter(|part| part.unsigned_area() > 1.0) {
        // A place too narrow for its two gaps has no floor: then its middle lies within a gap of its sides.
        let inside = part.interior_point().unwrap_or(Point::new(0.0, 0.0));
        let off = scene.ground.bare.iter().map(|bare| off_sides(bare, inside)).fold(f64::INFINITY, f64::min);
        let most = widest.max(scene.plan.rules.wall_gap.greatest) + 1.0;
        report.hold(Promise::NothingLeftOut, off <= most, || {
            let at = (inside.x(), inside.y());
            (
                format!("at {at:?}"),
                format!("{} mm² of bare floor have no boards, {off} off the sides", part.unsigned_area()),
            )
        });
    }
    report.hold(Promise::NothingLeftOut, true, || (String::new(), String::new()));
}

/// The most by which boards' area differs from their region's since corners near a row line lie on it, mm²: each edge that ends
/// there sweeps a triangle.
fn on_row_lines(scene: &Scene, region: usize, boards: &[usize]) -> f64 {
    let mut lines: Vec<f64> = boards.iter().flat_map(|board| extent(&scene.rows[*board]).1).collect();
    lines.sort_by(f64::total_cmp);
    let off = |v: f64| {
        let near = lines[lines.partition_point(|line| *line < v - ON_ROW_LINE)..].iter();
        near.take_while(|line| **line <= v + ON_ROW_LINE).map(|line| (line - v).abs()).fold(0.0, f64::max)
    };
    let mut most = 0.0;
    for ring in &scene.house.regions[region].rings {
        for (i, edge) in ring.iter().enumerate() {
            let [a, b] = [edge.from, ring[(i + 1) % ring.len()].from].map(|p| scene.turn.rows(p));
            most += (off(a.y) + off(b.y)) * (b.x - a.x).abs() / 2.0;
        }
    }
    most
}

fn off_sides(polygon: &Polygon, at: Point) -> f64 {
    let rings = std::iter::once(polygon.exterior()).chain(polygon.interiors());
    rings.map(|ring| Euclidean.distance(&at, ring)).fold(f64::INFINITY, f64::min)
}

fn length(polygons: &[Polygon]) -> f64 {
    let rings = polygons.iter().flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()));
    rings.flat_map(geo::LineString::lines).map(|line| libm::hypot(line.dx(), line.dy())).sum()
}

fn boards(scene: &Scene, report: &mut Report) {
    let house = scene.house;
    for (index, region) in scene.regions.iter().enumerate() {
        let of_region: Vec<usize> =
            (0..house.boards.len()).filter(|board| house.boards[*board].region == index).collect();
        let shapes: Vec<Polygon> = of_region.iter().map(|board| scene.boards[*board].clone()).collect();
        let place = format!("region {index}");
        let laid: f64 = shapes.iter().map(Area::unsigned_area).sum();
        let covered = geo::unary_union(&shapes);
        let area = region.unsigned_area();
        let film = FILM * length(&shapes) / 1000.0 + SHARE * area;
        report.hold(Promise::Tiling, laid - covered.unsigned_area() <= film, || {
            let over = laid - covered.unsigned_area();
            (place.clone(), format!("boards lie over one another by {over} mm²"))
        });
        if scene.is_partly_given() {
            continue;
        }
        let snapped = on_row_lines(scene, index, &of_region);
        report.same(Promise::Tiling, &place, "boards' area", laid, area, SHARE * area + snapped);
        let outside = covered.difference(&MultiPolygon(vec![region.clone()])).unsigned_area();
        report.hold(Promise::Tiling, outside <= film, || {
            (place.clone(), format!("{outside} mm² of boards lie outside the region"))
        });
    }
}
