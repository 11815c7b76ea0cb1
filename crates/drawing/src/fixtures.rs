//! Fixtures, leaves, stops and trims.

use crate::geometry::{at, closed, open};
use crate::walls::Opening;
use crate::{Drawing, Role};
use kurbo::Point;
use pipeline::House;
use plan::{Beyond, FixtureKind, Leaf, Plan};
use site::EdgeKind;

/// Fixtures that stand on the floor, tile areas and what lies under the boards, over the boards.
pub(crate) fn draw(drawing: &mut Drawing, house: &House) {
    for fixture in &house.plan.fixtures {
        let outline = closed(fixture.outline.iter().map(|p| at(*p)));
        match fixture.kind {
            kind if kind.is_under_boards() => drawing.path(Role::UnderFloor, outline),
            FixtureKind::TileArea { .. } => {
                drawing.path(Role::TileArea, outline.clone());
                drawing.path(Role::Stop, outline);
            }
            FixtureKind::Stair { .. } => {
                drawing.path(Role::Fixture, outline.clone());
                drawing.path(Role::Stop, outline);
            }
            _ => drawing.path(Role::Fixture, outline),
        }
    }
    for doorway in &house.plan.doorways {
        let Some(opening) = Opening::of(&house.plan, doorway) else { continue };
        let across = (0.0, doorway.width);
        if let Some((Leaf { thickness, .. }, from)) = doorway.leaf.zip(doorway.leaf_from()) {
            drawing.path(Role::Leaf, closed(opening.quad(across, (from, from + thickness))));
        }
        if let Beyond::Trim(width) = doorway.beyond {
            let middle = doorway.stop_line();
            let trim = opening.quad(across, (middle - width / 2.0, middle + width / 2.0));
            drawing.path(Role::Stop, closed(trim));
        }
    }
    stops(drawing, house);
}

/// The ends of the boards under a leaf, where the site put them.
fn stops(drawing: &mut Drawing, house: &House) {
    for edge in house.site.regions.iter().flat_map(|region| region.edges()) {
        if edge.kind == EdgeKind::UnderLeaf {
            let ends = [edge.a, edge.b].map(|uv| at(house.site.frame.plan_from_row(uv)));
            drawing.path(Role::Stop, open(ends));
        }
    }
}

/// The middle of a fixture's bounding box, and its width and height, mm.
pub(crate) fn middle(plan: &Plan, index: usize) -> Option<(Point, f64, f64)> {
    let outline = closed(plan.fixtures.get(index)?.outline.iter().map(|p| at(*p)));
    if outline.is_empty() {
        return None;
    }
    let bounds = kurbo::Shape::bounding_box(&outline);
    Some((bounds.center(), bounds.width(), bounds.height()))
}
