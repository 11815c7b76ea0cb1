//! Movement joints: where they lie, their names, and where they are marked.

use crate::geometry::{at, closed, open, readable_turn};
use crate::place::{Keep, Taken};
use crate::{Drawing, Label, Options, Role, rough_width};
use kurbo::{Point, Vec2};
use pipeline::House;
use plan::{Units, format_length};
use site::Uv;

/// The joints in their width.
pub(crate) fn draw(drawing: &mut Drawing, house: &House) {
    for joint in &house.fit.joints {
        for stretch in &joint.stretches {
            let (du, dv) = (stretch.to.u - stretch.from.u, stretch.to.v - stretch.from.v);
            let length = stretch.length().max(f64::MIN_POSITIVE);
            let (nu, nv) = (-dv / length * joint.width / 2.0, du / length * joint.width / 2.0);
            let corner = |p: Uv, side: f64| {
                at(house.site.frame.plan_from_row(Uv::new(p.u + side * nu, p.v + side * nv)))
            };
            let (from, to) = (stretch.from, stretch.to);
            drawing.path(
                Role::MovementJoint,
                closed([corner(from, 1.0), corner(to, 1.0), corner(to, -1.0), corner(from, -1.0)]),
            );
        }
    }
}

/// Each joint's name and width beside its longest stretch.
pub(crate) fn place_names(
    drawing: &mut Drawing,
    house: &House,
    options: &Options,
    taken: &mut Taken,
) -> Vec<Label> {
    let mut labels = Vec::new();
    for joint in &house.fit.joints {
        let longest = joint.stretches.iter().max_by(|a, b| a.length().total_cmp(&b.length()));
        let Some(stretch) = longest else { continue };
        let [a, b] = [stretch.from, stretch.to].map(|p| at(house.site.frame.plan_from_row(p)));
        let along = b - a;
        let length = libm::sqrt(along.hypot2());
        let width = format_length(joint.width, options.units);
        let name = match house.plan.joints.get(joint.joint).map(|drawn| drawn.name.trim()) {
            Some(name) if !name.is_empty() => format!("{name} {width}"),
            _ => format!("joint {} · {width}", joint.joint + 1),
        };
        let mut label = Label::new(Role::JointName, name, a);
        label.subject = Some(joint.joint);
        let is_longer = rough_width(&label.text, label.size) * options.scale > length;
        if length <= 0.0 || is_longer && !options.leaders {
            continue;
        }
        label.turn = readable_turn(along.x, along.y);
        let side = Vec2::new(-along.y, along.x) / length;
        let places: Vec<Label> = [0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6, 0.22, 0.78]
            .into_iter()
            .flat_map(|t| {
                let label = label.clone();
                [2.8, -2.8].map(|off| Label { at: a.lerp(b, t), shift: side * off, ..label.clone() })
            })
            .collect();
        labels.extend(taken.put(drawing, &places, Keep::Led, || label.text.clone()));
    }
    labels
}

/// Dimensions along the walls from the corners that the joints' ends are marked from.
pub(crate) fn draw_marks(
    drawing: &mut Drawing,
    house: &House,
    options: &Options,
    taken: &mut Taken,
) -> Vec<Label> {
    let mut labels = Vec::new();
    let marks = house.fit.joints.iter().flat_map(|joint| fit::joint_marks(&house.plan, &house.site, joint));
    for mark in marks {
        let Some((along, away)) = house.plan.rooms.get(mark.room).and_then(|room| room.wall_axes(mark.wall))
        else {
            continue;
        };
        let (along, away) = (Vec2::new(along.x, along.y), Vec2::new(away.x, away.y));
        let length = match options.units {
            Units::Metric => plan::nearest_whole(mark.distance),
            Units::FeetInches => mark.distance,
        };
        let mut label = Label::new(Role::Dimension, format_length(length, options.units), Point::ZERO);
        label.turn = readable_turn(along.x, along.y);
        let needs = rough_width(&label.text, label.size) + 4.0;
        if needs * options.scale > mark.distance {
            continue;
        }
        let (from, to) = (at(mark.from), at(mark.to));
        // Inside the room, clear of its rip figures; nearer or further in where another figure stands.
        let depths = [4.5, 9.0, 13.5].map(|depth| away * (-depth * options.scale));
        let places: Vec<Label> = depths
            .iter()
            .flat_map(|shift| {
                [0.5, 0.35, 0.65].map(|t| Label { at: from.lerp(to, t) + *shift, ..label.clone() })
            })
            .collect();
        let placed = match options.leaders {
            true => taken.best_beside(&places).map(|(_, label)| label.clone()),
            false => places.iter().find(|label| taken.is_free(taken.box_of(label))).cloned(),
        };
        let Some(label) = placed else { continue };
        taken.take(taken.box_of(&label));
        let shift = away * (label.at - from).dot(away);
        let mut path = open([from + shift, to + shift]);
        let tick = (along + away) * options.scale;
        for end in [from + shift, to + shift] {
            path.extend(open([end - tick, end + tick]));
        }
        drawing.path(Role::Dimension, path);
        labels.push(label);
    }
    labels
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use crate::{Options, Role, floor_drawing};
    use plan::{MovementJoint, Plan, Point, Room, Units};

    #[test]
    fn joints_are_drawn_in_their_width_named_and_marked() {
        let mut plan = Plan::new("Barn");
        let corners = [(0.0, 0.0), (6000.0, 0.0), (6000.0, 5000.0), (0.0, 5000.0)];
        plan.rooms.push(Room::boarded("Barn", corners.map(Point::from)));
        plan.joints.push(MovementJoint::new(Point::new(2000.0, 0.0), Point::new(2000.0, 5000.0)));
        let house = pipeline::run(&plan).unwrap();
        let drawing = floor_drawing(&house, &Options::set_out(50.0, Units::Metric));
        let joints: Vec<_> = drawing.shapes().filter(|shape| shape.role == Role::MovementJoint).collect();
        assert_eq!(joints.len(), 1);
        let bounds = kurbo::Shape::bounding_box(&joints[0].path);
        // From gap to gap, 10 wide about where it is drawn.
        assert!((bounds.width() - 10.0).abs() < 1e-6 && (bounds.height() - 4980.0).abs() < 0.1, "{bounds:?}");
        assert!((bounds.center().x - 2000.0).abs() < 1e-6);
        let texts: Vec<&str> = drawing.labels().map(|label| label.text.as_str()).collect();
        assert!(texts.contains(&"joint 1 · 10"), "{texts:?}");
        let dimensions = drawing.labels().filter(|label| label.role == Role::Dimension);
        assert_eq!(dimensions.filter(|label| label.text == "2\u{a0}000").count(), 2);
        // Laying needs no marks.
        let laying = floor_drawing(&house, &Options::laying(50.0, Units::Metric));
        assert!(laying.labels().all(|label| label.text != "2\u{a0}000"));
    }
}
