//! Pulls to the start line with the letters of their corners, and the line's own name.

use crate::geometry::{at, clearance, contains, open, readable_turn, room_outline};
use crate::place::{Keep, Taken};
use crate::{Drawing, Label, Options, Role, rough_width};
use kurbo::{Point, Vec2};
use pipeline::House;
use plan::{Units, format_length};
use setout::{PointMark, Pull, SnapLine};

/// What it costs to hide a mm of the start line, and of a pull.
const LINE: f64 = 3.0;
const PULL: f64 = 2.0;
/// A pull with its middle so near to a wall's face, mm, is drawn so far off it, paper mm.
const NEAR_WALL: f64 = 25.0;
const OFF_WALL: f64 = 0.8;
/// So much farther off its pull a figure may stand where nearer by there is no room, paper mm.
const FARTHER: [f64; 3] = [7.0, 13.0, 19.0];

/// Takes the start line's stretch, so that writing keeps clear of it.
pub(crate) fn take_line(house: &House, options: &Options, taken: &mut Taken) {
    if !options.start_line {
        return;
    }
    for line in house.setout.line.iter().chain(house.setout.own_lines().map(|(_, line)| line)) {
        let (a, b) = (at(line.from), at(line.to));
        if taken.field().is_some() {
            taken.take_line(a, b, LINE);
            continue;
        }
        let steps = (libm::sqrt((b - a).hypot2()) / (2.0 * options.scale)).ceil().clamp(1.0, 2000.0) as usize;
        for i in 0..=steps {
            let p = taken.on_paper(a.lerp(b, i as f64 / steps as f64));
            taken.take(kurbo::Rect::from_center_size(p, (2.0, 1.0)));
        }
    }
}

/// Names the start line, and those that regions have of their own, where there is room beside them.
pub(crate) fn place_line_names(drawing: &mut Drawing, house: &House, taken: &mut Taken) -> Vec<Label> {
    let own = house.setout.own_lines().map(|(_, line)| (line, "own line"));
    let all = house.setout.line.iter().map(|line| (line, "start line")).chain(own);
    all.filter_map(|(line, name)| place_line_name(drawing, (line, name), taken)).collect()
}

fn place_line_name(
    drawing: &mut Drawing,
    (line, name): (&SnapLine, &str),
    taken: &mut Taken,
) -> Option<Label> {
    let (a, b) = (at(line.from), at(line.to));
    let along = b - a;
    let length = libm::sqrt(along.hypot2());
    if length <= 0.0 {
        return None;
    }
    let side = Vec2::new(-along.y, along.x) / length;
    let mut label = Label::new(Role::StartLine, name, a);
    label.turn = readable_turn(along.x, along.y);
    let places: Vec<Label> = [0.8, 0.65, 0.5, 0.35, 0.2]
        .into_iter()
        .flat_map(|t| {
            let label = label.clone();
            [2.8, -2.8].map(|off| Label { at: a.lerp(b, t), shift: side * off, ..label.clone() })
        })
        .collect();
    taken.put(drawing, &places, Keep::IfFree, String::new)
}

/// A length measured off on the floor.
struct Tape {
    letter: char,
    from: Point,
    to: Point,
    distance: f64,
    /// The room whose corner it starts from.
    room: Option<usize>,
    role: Role,
}

/// What is measured off: the pulls, the check, and the points of a pattern along the line itself.
fn tapes(house: &House) -> Vec<Tape> {
    let Some(line) = &house.setout.line else { return Vec::new() };
    let tape = |pull: &Pull, role| Tape {
        letter: pull.letter,
        from: at(pull.corner),
        to: at(pull.foot),
        distance: pull.distance,
        room: Some(pull.room),
        role,
    };
    // Points of a pattern are measured along the line itself.
    let mark = |mark: &PointMark, role| Tape {
        letter: mark.letter,
        from: at(mark.face),
        to: at(mark.at),
        distance: mark.distance,
        room: None,
        role,
    };
    let points = house.setout.points.iter();
    line.pulls
        .iter()
        .map(|pull| tape(pull, Role::Pull))
        .chain(line.check.iter().map(|pull| tape(pull, Role::CheckPull)))
        .chain(points.clone().filter_map(|p| p.first.as_ref()).map(|m| mark(m, Role::Pull)))
        .chain(points.filter_map(|p| p.last.as_ref()).map(|m| mark(m, Role::CheckPull)))
        .collect()
}

/// Draws the pulls and places their letters.
pub(crate) fn draw(drawing: &mut Drawing, house: &House, options: &Options, taken: &mut Taken) -> Vec<Label> {
    let mut labels = Vec::new();
    let all = tapes(house);
    for tape in &all {
        let along = tape.to - tape.from;
        let length = libm::sqrt(along.hypot2());
        if length <= 0.0 {
            continue;
        }
        let along = along / length;
        let side = Vec2::new(-along.y, along.x);
        // A pull that runs along a wall's face is drawn beside it, or the wall would hide it.
        let room = tape.room.filter(|_| options.leaders).and_then(|room| house.plan.rooms.get(room));
        let outline = room.map(room_outline).unwrap_or_default();
        let middle = tape.from.midpoint(tape.to);
        let off = match clearance(&outline, middle) < NEAR_WALL {
            true => {
                let inwards =
                    if contains(&outline, middle + side * (2.0 * NEAR_WALL)) { side } else { -side };
                inwards * (OFF_WALL * options.scale)
            }
            false => Vec2::ZERO,
        };
        // Beside its foot it would cut the start line short.
        let foot = if off == Vec2::ZERO {
            tape.to
        } else {
            tape.to - along * (OFF_WALL * options.scale).min(length)
        };
        drawing.path(tape.role, open([tape.from + off, foot + off]));
        // A tick across the foot, drawn solid whatever the pull's dash.
        let tick = (side + along) * (1.2 * options.scale);
        drawing.path(Role::Pull, open([tape.to - tick, tape.to + tick]));
        if taken.field().is_some() {
            taken.take_line(tape.from, tape.to, PULL);
        }
    }
    for tape in &all {
        let mut letter = Label::new(Role::CornerLetter, tape.letter.to_string(), tape.from);
        letter.subject = tape.room;
        if taken.field().is_none() {
            taken.take(taken.box_of(&letter));
            labels.push(letter);
            continue;
        }
        // Two corners may lie nearer to one another than their letters are wide: the letter then stands beside its corner,
        // off the pull.
        let away = tape.from - tape.to;
        let length = libm::sqrt(away.hypot2()).max(1e-9);
        let (away, side) = (away / length, Vec2::new(-away.y, away.x) / length);
        let shifts = [Vec2::ZERO, away * 3.4, side * 3.4, -side * 3.4, away * 6.0, side * 6.0, -side * 6.0];
        let places = shifts.map(|shift| Label { shift, ..letter.clone() });
        labels.extend(taken.put(drawing, &places, Keep::Always, || format!("corner {}", tape.letter)));
    }
    labels
}

/// Places the pulls' figures.
pub(crate) fn place_figures(
    drawing: &mut Drawing,
    house: &House,
    options: &Options,
    taken: &mut Taken,
) -> Vec<Label> {
    let mut labels = Vec::new();
    for tape in &tapes(house) {
        let (role, corner, foot) = (&tape.role, tape.from, tape.to);
        let along = foot - corner;
        let length = libm::sqrt(along.hypot2());
        if length <= 0.0 {
            continue;
        }
        let along = along / length;
        let side = Vec2::new(-along.y, along.x);
        let label = Label::new(*role, format_length(tidy(tape.distance, options.units), options.units), foot);
        let half = rough_width(&label.text, label.size) / 2.0;
        let mut places = Vec::new();
        for t in [0.5, 0.35, 0.65, 0.2, 0.8] {
            for sign in [1.0, -1.0] {
                // Far enough to the side that the upright figure clears the pull.
                let off = side.x.abs() * half + side.y.abs() * label.size * 0.6 + 1.6;
                for more in [0.0, 4.0] {
                    let shift = side * (sign * (off + more));
                    places.push(Label { at: corner.lerp(foot, t), shift, ..label.clone() });
                }
            }
        }
        if taken.field().is_none() {
            // Two tapes may end at one corner: where the room beside one is full its figure stands farther off.
            let near = places.clone();
            places.extend(FARTHER.iter().flat_map(|more| {
                near.iter().map(move |label| {
                    let length = libm::sqrt(label.shift.hypot2()).max(1e-9);
                    Label { shift: label.shift * ((length + more) / length), ..label.clone() }
                })
            }));
        }
        labels.extend(taken.put(drawing, &places, Keep::Always, || format!("pull from {}", tape.letter)));
    }
    labels
}

/// Whole millimetres: finer than a tape reads helps nobody.
fn tidy(length: f64, units: Units) -> f64 {
    match units {
        Units::Metric => plan::nearest_whole(length),
        Units::FeetInches => length,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A hall of 1200 with herringbone: the tape A runs down from its corner, D from the door beside it along the line, both
    /// a few hundred long. On a screen where a paper mm is 50 to 110 of the plan their figures stand apart, and off the letters.
    #[test]
    fn figures_of_two_tapes_at_one_corner_stand_apart() {
        let plan = plan::read(include_str!("../../../sample-plans/plover-parlour.ron")).expect("it reads");
        let mut hall = plan::Plan::new("Hall");
        let corners = [(0.0, 0.0), (7000.0, 0.0), (7000.0, 1198.0), (0.0, 1198.0)];
        hall.rooms.push(plan::Room::boarded("Hall", corners.map(|(x, y)| plan::Point::new(x, y))));
        (hall.pattern, hall.border) = (plan.pattern, plan.border);
        hall.stock = plan.stock;
        let house = pipeline::run(&hall).expect("a house");
        for scale in [50.0, 65.0, 80.0, 95.0, 110.0] {
            let drawing = crate::floor_drawing(&house, &Options::all(scale, hall.units));
            let taken = Taken::new(scale);
            let is_figure =
                |label: &&Label| matches!(label.role, Role::Pull | Role::CheckPull | Role::CornerLetter);
            let figures: Vec<&Label> = drawing.labels().filter(is_figure).collect();
            assert!(figures.len() >= 8, "A, B, D and E, each with its letter: {figures:?}");
            for (i, a) in figures.iter().enumerate() {
                for b in
                    figures.iter().skip(i + 1).filter(|b| b.role != a.role || b.role != Role::CornerLetter)
                {
                    let common = taken.box_of(a).intersect(taken.box_of(b));
                    assert!(common.is_zero_area(), "1:{scale}: {} over {}", a.text, b.text);
                }
            }
        }
    }
}
