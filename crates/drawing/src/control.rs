//! Control lines with the pulls that fix them, and the numbers of walls by which corners are found.

use crate::geometry::{at, clearance, open, readable_turn, sides};
use crate::place::{Keep, Taken};
use crate::{Drawing, Label, Options, Role, rough_width, walls};
use kurbo::{Point, Vec2};
use pipeline::House;
use plan::{Places, Units, format_length};
use setout::ControlLine;

/// Size of a pull's figure beside a control line, paper mm.
const FIGURE: f64 = 3.6;
/// What it costs to hide a mm of a control line, which carries its own number, and of a pull.
const LINE: f64 = 0.4;
const PULL: f64 = 1.5;
/// A wall's number stands this far inside its face, paper mm.
const INSIDE: f64 = 2.3;
/// The same where a line runs along the wall.
const FARTHER: [f64; 2] = [5.6, 6.6];
/// Past its wall it stands so far outside that, paper mm.
const PAST: f64 = 2.0;

/// Draws the lines and their pulls; each line carries its number in the list, counted from 1, and its figures.
pub(crate) fn draw(
    drawing: &mut Drawing,
    lines: &[ControlLine],
    options: &Options,
    taken: &mut Taken,
) -> Vec<Label> {
    let mut labels = Vec::new();
    let mut ticks = Vec::new();
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
            ticks.push((end - tick, end + tick));
        }
        let distance = match options.units {
            Units::Metric => plan::nearest_whole(pull.distance),
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
    // A pull's own figure may stand by its ends; what comes after keeps off them.
    for (from, to) in ticks.into_iter().filter(|_| options.leaders) {
        taken.take_line(from, to, PULL);
    }
    labels
}

/// The number of each wall inside its face, where there is room for it.
pub(crate) fn wall_numbers(house: &House, options: &Options, taken: &mut Taken) -> Vec<Label> {
    let mut labels = Vec::new();
    let known = Places::new(&house.plan);
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
            let places = |inside: f64| {
                let label = Label { shift: inwards * inside, ..label.clone() };
                [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.9, 0.1]
                    .map(|t| Label { at: start.lerp(end, t), ..label.clone() })
            };
            let is_nobodys = |label: &Label| {
                let p = label.at + label.shift * options.scale;
                known.place_at(plan::Point::new(p.x, p.y)).is_none()
            };
            // Beside a line along the wall there is room only farther inside; in a niche that lines cross, only past the wall.
            let past = walls::body_thickness(&house.plan) / options.scale + PAST;
            let outside = places(-past).into_iter().filter(is_nobodys);
            let inside = std::iter::once(INSIDE).chain(FARTHER).flat_map(places);
            let all: Vec<Label> = inside.chain(outside).collect();
            // In a room as shallow as a robe a number farther in would be read as the wall's across: rather it is small.
            let corners: Vec<Point> = room.walls.iter().map(|wall| at(wall.corner)).collect();
            let is_its_own = |label: &Label| is_nearest(&corners, wall, label, options);
            let own: Vec<Label> = all.iter().filter(|label| is_its_own(label)).cloned().collect();
            let small =
                SHALLOW.into_iter().flat_map(places).map(|label| Label { size: SMALL * label.size, ..label });
            let small: Vec<Label> = small.filter(is_its_own).collect();
            // A figure under a control line, or under its pull along a wall, cannot be read.
            let placed = taken.first_unstruck(own);
            labels.extend(placed.or_else(|| taken.first_unstruck(small)));
        }
    }
    labels
}

/// A wall's number that has no room in its size is written in so much of it.
const SMALL: f64 = 0.75;

/// So far inside such a wall's face it may stand, paper mm.
const SHALLOW: [f64; 8] = [1.2, 1.6, 2.0, 2.4, 2.8, 3.2, 3.6, 4.0];

/// Whether a number stands nearer to its own wall's face than to any that faces it across the room.
fn is_nearest(corners: &[Point], wall: usize, label: &Label, options: &Options) -> bool {
    let p = label.at + label.shift * options.scale;
    let off = |(a, b): (Point, Point)| clearance(&[a, b], p);
    let Some(own) = sides(corners).nth(wall) else { return false };
    let faces = |(a, b): &(Point, Point)| (own.1 - own.0).dot(*b - *a) < 0.0;
    sides(corners).filter(faces).all(|ends| off(own) < off(ends))
}

#[cfg(test)]
mod tests {
    use super::INSIDE;
    use crate::place::Taken;
    use crate::{Options, Role, floor_drawing};
    use plan::Units;

    /// The line runs across walls 2 and 4 through their middles, 1800 of 3600: their numbers stand aside by more than half
    /// a figure's width, 50 of the house at 1:50.
    #[test]
    fn no_control_line_strikes_a_walls_number() {
        let text = include_str!("../../../sample-plans/one-room.ron");
        let mut plan = plan::read(text).expect("the sample reads");
        plan.start_line = plan::StartLine::At(1800.0 % 190.0);
        let house = pipeline::run(&plan).expect("the sample is sound");
        let scale = 50.0;
        let drawing = floor_drawing(&house, &Options::control(scale, Units::Metric));
        let line = house.setout.line.as_ref().expect("a line").v;
        assert_eq!(line, 1800.0);
        let numbers: Vec<_> = drawing.labels().filter(|label| label.role == Role::WallNumber).collect();
        assert_eq!(numbers.len(), 4);
        for number in numbers {
            let off = (number.at.y + number.shift.y * scale - line).abs();
            assert!(off > 50.0, "{} stands {off} off the line", number.text);
        }
    }

    /// The sample house's control lines in its bedrooms run 100 to 200 off a wall, where its number would stand at 1:75: no
    /// number is under one.
    #[test]
    fn a_number_stands_farther_in_where_a_line_runs_along_its_wall() {
        let text = include_str!("../../../sample-plans/hazel-court.ron");
        let plan = plan::read(text).expect("the sample reads");
        let house = pipeline::run(&plan).expect("the sample is sound");
        let scale = 75.0;
        let drawing = floor_drawing(&house, &Options::control(scale, Units::Metric));
        let lines = house.advice().control;
        let half = 1.0 * scale;
        let struck = drawing.labels().filter(|label| label.role == Role::WallNumber).filter(|number| {
            let (x, y) = (number.at.x + number.shift.x * scale, number.at.y + number.shift.y * scale);
            lines.iter().any(|line| {
                let [left, right] = [line.from.x.min(line.to.x), line.from.x.max(line.to.x)];
                (line.from.y - y).abs() < half && left - half < x && x < right + half
            })
        });
        let struck: Vec<_> = struck.map(|number| (number.text.clone(), number.at)).collect();
        assert!(struck.is_empty(), "{struck:?}");
        // Their size has room farther in, as much as for a figure and the line.
        let size = Role::WallNumber.type_size();
        let numbers = drawing.labels().filter(|label| label.role == Role::WallNumber && label.size == size);
        let farther = numbers.filter(|number| number.shift.hypot() > INSIDE + size);
        assert!(farther.count() > 1);
    }

    /// Numbers of walls with a line or a pull through them, of all that are drawn.
    fn struck(text: &str, scale: f64) -> (Vec<String>, usize) {
        let plan = plan::read(text).expect("the sample reads");
        let house = pipeline::run(&plan).expect("the sample is sound");
        let drawing = floor_drawing(&house, &Options::control(scale, Units::Metric));
        let taken = Taken::new(scale);
        let lines: Vec<kurbo::Line> = drawing
            .shapes()
            .filter(|shape| matches!(shape.role, Role::ControlLine | Role::ControlPull))
            .flat_map(|shape| shape.path.segments())
            .filter_map(|segment| match segment {
                kurbo::PathSeg::Line(line) => {
                    Some(kurbo::Line::new(taken.on_paper(line.p0), taken.on_paper(line.p1)))
                }
                _ => None,
            })
            .collect();
        let numbers: Vec<&crate::Label> =
            drawing.labels().filter(|label| label.role == Role::WallNumber).collect();
        let is_struck = |label: &&&crate::Label| {
            let figure = taken.box_of(label);
            lines.iter().any(|line| crate::cells::length_within(*line, figure) > 0.1)
        };
        let struck = numbers.iter().filter(is_struck);
        let struck = struck.map(|label| format!("{} at {:?}", label.text, label.at)).collect();
        (struck, numbers.len())
    }

    /// At the scales that fit these houses on A4 none is. At 1:100, which does for A5 or so, a robe 560 deep with a line along
    /// it has 5.6 of paper for two numbers and the line: one is struck at most.
    #[test]
    fn no_line_strikes_a_number_in_any_sample() {
        for name in ["hazel-court", "quince-row", "tern-point", "reed-cottage", "dunlin-flat", "one-room"] {
            let path = format!("{}/../../sample-plans/{name}.ron", env!("CARGO_MANIFEST_DIR"));
            let text = std::fs::read_to_string(path).expect("a sample");
            for (scale, most) in [(50.0, 0), (75.0, 0), (100.0, 1)] {
                let (struck, all) = struck(&text, scale);
                assert!(struck.len() <= most && all > 3, "{name} at 1:{scale}: {struck:?} of {all}");
            }
        }
    }

    /// A robe 600 deep behind its sliding doors, beside a bedroom, its rows along it: on the control sheet each number of its walls
    /// stands nearer to its own wall than to the one across. At 1:75 the robe is 8 deep on paper; a small figure, 2.4 high, with
    /// half a mm on either side takes 3.4. Where the control line runs 178, 208 or 248 off wall 1 there are 2.4, 2.8 or 3.3 of
    /// paper this side of it, and past it the middle of the figure would lie 4.1, 4.5 or 5.0 in, over half of the way: there, and
    /// only there, number 1 is left out.
    #[test]
    fn a_robes_walls_are_told_apart() {
        let mut plan = plan::Plan::new("t");
        let corners = |low: f64, high: f64| {
            [(0.0, low), (3600.0, low), (3600.0, high), (0.0, high)].map(|(x, y)| plan::Point::new(x, y))
        };
        plan.rooms.push(plan::Room::boarded("Bed", corners(0.0, 3500.0)));
        plan.rooms.push(plan::Room::boarded("Robe", corners(3592.0, 4192.0)));
        let all = ["1", "2", "3", "4"];
        let cases = [
            (0.0, 208.0, &all[1..]),
            (40.0, 248.0, &all[1..]),
            (80.0, 288.0, &all[..]),
            (120.0, 138.0, &all[..]),
            (160.0, 178.0, &all[1..]),
        ];
        for (offset, off, expected) in cases {
            plan.start_line = plan::StartLine::At(offset);
            let house = pipeline::run(&plan).expect("a house");
            let lines = house.advice().control;
            let in_robe: Vec<f64> = lines.iter().map(|l| l.from.y).filter(|y| *y > 3592.0).collect();
            assert_eq!(in_robe, [3592.0 + off]);
            let options = Options::control(75.0, Units::Metric);
            let drawing = floor_drawing(&house, &options);
            let of_robe = drawing.labels().filter(|l| l.role == Role::WallNumber && l.subject == Some(1));
            let mut seen: Vec<&str> = Vec::new();
            for label in of_robe {
                let (x, y) = (label.at.x + label.shift.x * 75.0, label.at.y + label.shift.y * 75.0);
                match label.text.as_str() {
                    "1" => assert!(y < 3892.0, "{offset}: {y}"),
                    "2" => assert!(x > 1800.0, "{offset}: {x}"),
                    "3" => assert!(y > 3892.0, "{offset}: {y}"),
                    _ => assert!(x < 1800.0, "{offset}: {x}"),
                }
                seen.push(&label.text);
            }
            seen.sort_unstable();
            assert_eq!(seen, expected, "{offset}");
        }
    }
}
