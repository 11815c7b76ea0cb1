//! Control lines with the pulls that fix them, and the numbers of walls by which corners are found.

use crate::geometry::{at, open, readable_turn};
use crate::place::{Keep, Taken};
use crate::{Drawing, Label, Options, Role, rough_width};
use kurbo::{Point, Vec2};
use pipeline::House;
use plan::{Units, format_length};
use setout::ControlLine;

/// Size of a pull's figure beside a control line, paper mm.
const FIGURE: f64 = 3.6;
/// What it costs to hide a mm of a control line, which carries its own number, and of a pull.
const LINE: f64 = 0.4;
const PULL: f64 = 1.5;
/// A wall's number stands this far inside its face, paper mm.
const INSIDE: f64 = 2.3;

/// Draws the lines and their pulls; each line carries its number in the list, counted from 1, and its figures.
pub(crate) fn draw(
    drawing: &mut Drawing,
    lines: &[ControlLine],
    options: &Options,
    taken: &mut Taken,
) -> Vec<Label> {
    let mut labels = Vec::new();
    for line in lines {
        drawing.path(Role::ControlLine, open([at(line.from), at(line.to)]));
        if options.leaders {
            taken.take_line(at(line.from), at(line.to), LINE);
        }
    }
    for pull in lines.iter().flat_map(|line| line.pulls.iter().take(2)) {
        drawing.path(Role::ControlPull, open([at(pull.corner), at(pull.foot)]));
        if options.leaders {
            taken.take_line(at(pull.corner), at(pull.foot), PULL);
        }
    }
    for (i, line) in lines.iter().enumerate() {
        let (from, to) = (at(line.from), at(line.to));
        let number = Label::new(Role::ControlNumber, (i + 1).to_string(), from);
        let places = [0.5, 0.35, 0.65, 0.2, 0.8].map(|t| Label { at: from.lerp(to, t), ..number.clone() });
        labels.extend(taken.put(drawing, &places, Keep::Always, || format!("control line {}", i + 1)));
    }
    for pull in lines.iter().flat_map(|line| line.pulls.iter().take(2)) {
        let (corner, foot) = (at(pull.corner), at(pull.foot));
        let along = foot - corner;
        let length = libm::sqrt(along.hypot2());
        if length <= 0.0 {
            continue;
        }
        let (along, side) = (along / length, Vec2::new(-along.y, along.x) / length);
        let tick = (side + along) * (1.0 * options.scale);
        for end in [corner, foot] {
            drawing.path(Role::ControlPull, open([end - tick, end + tick]));
        }
        let distance = match options.units {
            Units::Metric => pull.distance.round(),
            Units::FeetInches => pull.distance,
        };
        let mut label = Label::new(Role::ControlPull, format_length(distance, options.units), foot);
        label.size = FIGURE;
        let half = rough_width(&label.text, label.size) / 2.0;
        let off = side.x.abs() * half + side.y.abs() * label.size * 0.6 + 1.2;
        let mut places = Vec::new();
        for t in [0.5, 0.35, 0.65, 0.2, 0.8] {
            for shift in [off, -off, off + 4.0, -off - 4.0] {
                places.push(Label { at: corner.lerp(foot, t), shift: side * shift, ..label.clone() });
            }
        }
        labels.extend(taken.put(drawing, &places, Keep::Always, || "pull".to_owned()));
    }
    labels
}

/// The number of each wall inside its face, where there is room for it.
pub(crate) fn wall_numbers(house: &House, options: &Options, taken: &mut Taken) -> Vec<Label> {
    let mut labels = Vec::new();
    for (index, room) in house.plan.rooms.iter().enumerate() {
        for wall in 0..room.walls.len() {
            let Some((along, away)) = room.wall_axes(wall) else { continue };
            let start = at(room.walls[wall].corner);
            let end = at(room.walls[(wall + 1) % room.walls.len()].corner);
            let (along, inwards) = (Vec2::new(along.x, along.y), Vec2::new(-away.x, -away.y));
            let mut label = Label::new(Role::WallNumber, (wall + 1).to_string(), Point::ZERO);
            label.subject = Some(index);
            label.turn = readable_turn(along.x, along.y);
            let length = (end - start).dot(along) / options.scale;
            if rough_width(&label.text, label.size) + 1.0 > length {
                continue;
            }
            let shift = inwards * INSIDE;
            let places = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8].map(|t| Label {
                at: start.lerp(end, t),
                shift,
                ..label.clone()
            });
            labels.extend(taken.first_free(places));
        }
    }
    labels
}
