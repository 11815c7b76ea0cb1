//! Dimensions that are kept on the drawing: from one thing to another, each with its figure.

use crate::geometry::{at, open, readable_turn};
use crate::place::{Keep, Taken};
use crate::{Drawing, Label, Options, Role, rough_width};
use kurbo::Vec2;
use plan::{Plan, Units, format_length};

/// How far an extension line runs past its dimension line, paper mm.
const PAST: f64 = 1.2;
/// Half of a tick along the line and across it, paper mm.
const TICK: f64 = 1.0;

/// Takes the lines, so that writing keeps off them.
pub(crate) fn take_lines(plan: &Plan, taken: &mut Taken) {
    for (a, b) in plan.dimensions.iter().filter_map(|dimension| dimension.line(plan)) {
        taken.take_line(at(a), at(b), 0.6);
    }
}

/// Draws the lines and gives the figures. A kept dimension is never left out: where no place on its line is free, its figure
/// stands in the middle all the same.
pub(crate) fn draw(drawing: &mut Drawing, plan: &Plan, options: &Options, taken: &mut Taken) -> Vec<Label> {
    let mut labels = Vec::new();
    for (index, dimension) in plan.dimensions.iter().enumerate() {
        let Some(((a, b), (from, to))) = dimension.line(plan).zip(dimension.ends(plan)) else { continue };
        let (a, b, ends) = (at(a), at(b), [at(from), at(to)]);
        let length = libm::sqrt((b - a).hypot2());
        if length <= 0.0 {
            continue;
        }
        let along = (b - a) / length;
        let across = Vec2::new(-along.y, along.x);
        let mut path = open([a, b]);
        let tick = (along + across) * (TICK * options.scale);
        for (end, foot) in [a, b].into_iter().zip(ends) {
            path.extend(open([end - tick, end + tick]));
            let out = end - foot;
            let reach = libm::sqrt(out.hypot2());
            if reach > 1e-6 {
                path.extend(open([foot, end + out / reach * (PAST * options.scale)]));
            }
        }
        drawing.path(Role::Dimension, path);
        let shown = match options.units {
            Units::Metric => (length * 10.0).round() / 10.0,
            Units::FeetInches => length,
        };
        let mut label = Label::new(Role::Dimension, format_length(shown, options.units), a.midpoint(b));
        label.subject = Some(index);
        label.turn = readable_turn(along.x, along.y);
        // On a short line the figure stands beside it.
        if (rough_width(&label.text, label.size) + 4.0) * options.scale > length {
            label.at += across * (3.5 * options.scale);
        }
        let middle = label.at;
        let mut places: Vec<Label> =
            [0.5, 0.35, 0.65].map(|t| Label { at: middle + (b - a) * (t - 0.5), ..label.clone() }).into();
        if options.leaders {
            let more = [0.2, 0.8].map(|t| Label { at: middle + (b - a) * (t - 0.5), ..label.clone() });
            places.extend(more);
        }
        let name = || format!("dimension {}", index + 1);
        labels.extend(taken.put(drawing, &places, Keep::Always, name));
    }
    labels
}

#[cfg(test)]
mod tests {
    use crate::testing::small_house;
    use crate::{Options, Role, floor_drawing};
    use pipeline::House;
    use plan::{Dimension, DimensionEnd, Units};

    /// Between the walls of a room drawn 4000 × 3000.
    #[test]
    fn a_kept_dimension_is_drawn_and_follows() {
        let mut house = small_house("Hut");
        let wall = |wall| DimensionEnd::Wall { room: "Snug".into(), wall, at: 700.0 };
        house.plan.dimensions.push(Dimension { beside: 400.0, ..Dimension::new(wall(0), wall(2)) });
        let figures = |house: &House, options: &Options| {
            let drawing = floor_drawing(house, options);
            let kept = drawing.labels().filter(|l| l.role == Role::Dimension && l.subject == Some(0));
            kept.map(|label| label.text.clone()).collect::<Vec<_>>()
        };
        let set_out = Options::set_out(50.0, Units::Metric);
        assert_eq!(figures(&house, &set_out), ["3\u{a0}000"]);
        plan::edit::move_wall(&mut house.plan, 0, 2, 30.0).expect("it moves");
        assert_eq!(figures(&house, &set_out), ["3\u{a0}030"]);
        for without in [Options::owner(50.0, Units::Metric), Options::control(50.0, Units::Metric)] {
            assert_eq!(figures(&house, &without), Vec::<String>::new());
        }
    }
}
