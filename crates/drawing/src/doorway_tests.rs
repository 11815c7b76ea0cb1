//! Marks of doorways and the cut through one, on a plan of two rooms.
#![allow(clippy::unwrap_used)]

use crate::{Label, Options, Role, doorway_section, floor_drawing, label_extent, rough_width};
use kurbo::Rect;
use pipeline::House;
use plan::{Beyond, Covering, Leaf, Plan, Point, Room, Side, Surface, SurfaceKind, Units};

/// Boards 15 thick against tile so high in the next room, parted under a 40 mm leaf.
fn house(tile: f64) -> House {
    let corners =
        |y: f64, h: f64| [(0.0, y), (4000.0, y), (4000.0, y + h), (0.0, y + h)].map(Point::from).to_vec();
    let mut plan = Plan::new("t");
    plan.rooms.push(Room::boarded("Sitting room by the garden", corners(0.0, 3000.0)));
    plan.rooms.push(Room {
        covering: Covering::Other("tile".into()),
        surface: Some(Surface { kind: SurfaceKind::Tile, height: tile }),
        ..Room::boarded("Shower and changing room", corners(3100.0, 2000.0))
    });
    let door = plan::edit::add_doorway(&mut plan, 0, 2, 2000.0).unwrap();
    plan.doorways[door].leaf = Some(Leaf::swinging(Side::Near, 40.0));
    plan.doorways[door].beyond = Beyond::UnderLeaf;
    pipeline::run(&plan).unwrap()
}

fn marks(house: &House, flags: bool) -> Vec<String> {
    let options = Options { flags, ..Options::all(50.0, Units::Metric) };
    let drawing = floor_drawing(house, &options);
    drawing.labels().filter(|label| label.role == Role::StepMark).map(|label| label.text.clone()).collect()
}

/// 15 against 10: 5, under the 6.4 of 2010 ADA Standards, 303.2, and marked; against 5: 10, flagged.
#[test]
fn a_step_has_a_plate_or_a_pennant() {
    assert_eq!(marks(&house(10.0), true), ["step 5"]);
    assert_eq!(marks(&house(5.0), true), [""; 0]);
    // Where no flags are drawn the plate is all there is.
    assert_eq!(marks(&house(5.0), false), ["step 10"]);
}

#[test]
fn names_under_a_cut_stand_clear_of_one_another() {
    let house = house(10.0);
    for scale in [2.0, 5.0, 10.0] {
        let drawing = doorway_section(&house, &house.fit.doorways[0], &Options::all(scale, Units::Metric));
        let place = |label: &Label| -> Rect {
            label_extent(label, rough_width(&label.text, label.size)) + label.at.to_vec2() / scale
        };
        let names: Vec<Rect> = drawing.labels().filter(|label| label.role == Role::Note).map(place).collect();
        assert_eq!(names.len(), 2);
        let shared = names[0].intersect(names[1]);
        assert!(shared.width() <= 0.0 || shared.height() <= 0.0, "1:{scale}: {names:?}");
    }
}
