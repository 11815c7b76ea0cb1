//! Where a fixture stands and how large it is, as a tape tells: sizes, and distances from the walls.

use super::parts::{act, with};
use crate::action::Actions;
use crate::canvas::Span;
use crate::field;
use crate::geometry::{is_inside, upright_box};
use egui::Ui;
use plan::edit::Rectangle;
use plan::{Plan, Point, edit};

/// The least size of a fixture that can be typed, mm.
const LEAST: f64 = 20.0;

/// Sizes and distances of a fixture that is a rectangle or round, to be typed over; nothing for another.
pub(super) fn stand(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let Some(outline) = plan.fixtures.get(index).map(|fixture| &fixture.outline) else { return };
    let (upright, rectangle) = (upright_box(outline), edit::rectangle_of(outline));
    if let Some(diameter) = edit::diameter_of(outline) {
        round(ui, plan, index, diameter, actions);
    } else if let Some(corners) = upright {
        sizes(ui, plan, index, corners, actions);
    } else if let Some(rectangle) = rectangle {
        sides(ui, plan, index, rectangle, actions);
    }
    if let Some(rectangle) = rectangle {
        turn_and_shape(ui, index, rectangle, actions);
    }
    distances(ui, plan, index, actions);
}

/// A round fixture's diameter.
fn round(ui: &mut Ui, plan: &Plan, index: usize, diameter: f64, actions: &mut Actions) {
    with(ui, "Diameter", |ui| {
        if let Some(mm) = field::length(ui, "diameter of the fixture", tenth(diameter), plan.units) {
            actions.try_edit("size of fixture", move |plan| edit::set_diameter(plan, index, mm));
        }
    });
    if act(ui, "make it square").clicked() {
        actions.try_edit("make fixture square", move |plan| edit::set_square(plan, index, tenth(diameter)));
    }
}

/// The sides of a rectangle that stands at an angle, by the numbers of its corners.
fn sides(ui: &mut Ui, plan: &Plan, index: usize, rectangle: Rectangle, actions: &mut Actions) {
    for (side, label) in ["Side from corner 1 to 2", "Side from corner 2 to 3"].into_iter().enumerate() {
        with(ui, label, |ui| {
            if let Some(mm) = field::length(ui, label, tenth(rectangle.sides[side]), plan.units) {
                let mut sides = rectangle.sides;
                sides[side] = mm;
                actions.try_edit("size of fixture", move |plan| edit::set_sides(plan, index, sides));
            }
        });
    }
}

/// How a rectangle is turned; and that it may be round.
fn turn_and_shape(ui: &mut Ui, index: usize, rectangle: Rectangle, actions: &mut Actions) {
    with(ui, "Turned by, degrees", |ui| {
        let shown = (rectangle.turn * 1000.0).round() / 1000.0 + 0.0;
        if let Some(degrees) = field::number(ui, "turn of the fixture", shown) {
            let by = degrees - rectangle.turn;
            actions.try_edit("turn fixture", move |plan| edit::turn_fixture(plan, index, by));
        }
    });
    if act(ui, "make it round")
        .on_hover_text("As wide as its narrower side; its diameter is typed then")
        .clicked()
    {
        let diameter = tenth(rectangle.sides[0].min(rectangle.sides[1]));
        actions.try_edit("make fixture round", move |plan| edit::set_diameter(plan, index, diameter));
    }
}

fn tenth(mm: f64) -> f64 {
    (mm * 10.0).round() / 10.0
}

fn sizes(ui: &mut Ui, plan: &Plan, index: usize, (low, high): (Point, Point), actions: &mut Actions) {
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
}

/// How far it stands from the walls round it.
fn distances(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let units = plan.units;
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

/// From the middle of an upright fixture's side, or the nearest point of a round one, straight to the wall: the two points
/// and their distance, mm.
pub(crate) fn to_wall(plan: &Plan, index: usize, towards: Point) -> Option<(Point, Point, f64)> {
    let outline = &plan.fixtures.get(index)?.outline;
    let of_round = || {
        edit::diameter_of(outline)?;
        Span::of(outline.iter().copied()).map(|span| (span.min, span.max))
    };
    let (low, high) = upright_box(outline).or_else(of_round)?;
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
