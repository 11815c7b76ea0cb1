//! Where a fixture stands and how large it is, as a tape tells: sizes, and distances from the walls.

use super::parts::with;
use crate::action::Actions;
use crate::field;
use crate::geometry::{is_inside, upright_box};
use egui::Ui;
use plan::{Plan, Point, edit};

/// The least size of a fixture that can be typed, mm.
const LEAST: f64 = 20.0;

/// Sizes and distances of a fixture that is an upright rectangle, to be typed over; nothing for another.
pub(super) fn stand(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let Some((low, high)) = plan.fixtures.get(index).and_then(|f| upright_box(&f.outline)) else { return };
    let units = plan.units;
    for (label, size, along_x) in
        [("Size across the page", high.x - low.x, true), ("Size up the page", high.y - low.y, false)]
    {
        with(ui, label, |ui| {
            if let Some(mm) = field::length(ui, label, size, units)
                && mm >= LEAST
            {
                actions.try_edit("size of fixture", move |plan| {
                    let mut outline = plan.fixtures[index].outline.clone();
                    for p in &mut outline {
                        if along_x && p.x > low.x {
                            p.x = low.x + mm;
                        } else if !along_x && p.y > low.y {
                            p.y = low.y + mm;
                        }
                    }
                    edit::set_outline(plan, index, outline)
                });
            }
        });
    }
    for (label, towards) in [
        ("From the wall at its left", Point::new(-1.0, 0.0)),
        ("From the wall at its right", Point::new(1.0, 0.0)),
        ("From the wall below", Point::new(0.0, -1.0)),
        ("From the wall above", Point::new(0.0, 1.0)),
    ] {
        let Some((_, _, distance)) = to_wall(plan, index, towards) else { continue };
        with(ui, label, |ui| {
            if let Some(mm) = field::length(ui, label, distance, units)
                && mm >= 0.0
            {
                let by = distance - mm;
                let by = Point::new(towards.x * by, towards.y * by);
                actions.try_edit("move fixture", move |plan| edit::move_fixture(plan, index, by));
            }
        });
    }
}

/// From the middle of an upright fixture's side straight to the wall: the two points and their distance, mm.
pub(crate) fn to_wall(plan: &Plan, index: usize, towards: Point) -> Option<(Point, Point, f64)> {
    let (low, high) = upright_box(&plan.fixtures.get(index)?.outline)?;
    let middle = low.lerp(high, 0.5);
    let half = ((high.x - low.x) / 2.0, (high.y - low.y) / 2.0);
    let side = middle.moved(towards.x * half.0, towards.y * half.1);
    let outlines =
        plan.rooms.iter().map(|room| room.outline().into_iter().map(|(p, _)| p).collect::<Vec<_>>());
    let room = outlines.into_iter().find(|outline| is_inside(middle, outline.iter().copied()))?;
    let hits = (0..room.len()).filter_map(|i| hit(middle, towards, room[i], room[(i + 1) % room.len()]));
    let distance = hits.fold(f64::INFINITY, f64::min) - middle.distance(side);
    (distance.is_finite() && distance > -0.05)
        .then(|| (side, side.moved(towards.x * distance, towards.y * distance), distance.max(0.0)))
}

/// How far along a ray a segment is met.
fn hit(from: Point, towards: Point, a: Point, b: Point) -> Option<f64> {
    let (ux, uy) = (b.x - a.x, b.y - a.y);
    let cross = towards.x * uy - towards.y * ux;
    if cross.abs() < 1e-9 {
        return None;
    }
    let (wx, wy) = (a.x - from.x, a.y - from.y);
    let along = (wx * uy - wy * ux) / cross;
    let part = (wx * towards.y - wy * towards.x) / cross;
    (along > 0.0 && (0.0..=1.0).contains(&part)).then_some(along)
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::FixtureKind;

    #[test]
    fn distances_are_taken_square_to_the_nearest_wall() {
        let mut plan = Plan::new("Test");
        let room = [(0.0, 0.0), (5000.0, 0.0), (5000.0, 3000.0), (0.0, 4000.0)].map(Point::from);
        edit::add_room(&mut plan, &room).unwrap();
        let island = [(1000.0, 800.0), (2000.0, 800.0), (2000.0, 1400.0), (1000.0, 1400.0)].map(Point::from);
        edit::add_fixture(&mut plan, FixtureKind::Island, &island).unwrap();
        let to = |x, y| to_wall(&plan, 0, Point::new(x, y)).map(|(_, _, distance)| distance);
        assert_eq!(to(-1.0, 0.0), Some(1000.0));
        assert_eq!(to(0.0, -1.0), Some(800.0));
        assert_eq!(to(1.0, 0.0), Some(3000.0));
        // The sloping wall stands at 4000 - 1500/5 over the island's middle.
        assert!((to(0.0, 1.0).unwrap() - 2300.0).abs() < 1e-9);
    }
}
