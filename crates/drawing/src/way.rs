//! Where laying starts and which way it goes, and the triangle that proves a line square.

use crate::geometry::{at, closed, contains, readable_turn, room_outline};
use crate::place::{Keep, Taken};
use crate::{Drawing, Label, Options, Role, rough_width};
use fit::{Sequence, Start};
use kurbo::{Point, Rect, Vec2};
use pipeline::House;
use plan::{Units, format_length};
use setout::Square;

/// Length of the arrow across the rows, and of the one along the first row, paper mm.
const ACROSS: f64 = 13.0;
const ALONG: f64 = 11.0;

/// The first board to lay, its starting corner at the line, and the way along the row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstBoard {
    /// Index of the board.
    pub board: usize,
    /// The corner it starts from, on the plan.
    pub corner: Point,
    /// Unit vector along the row, the way boards follow.
    pub along: Vec2,
    /// Unit vector across the row, the way rows follow.
    pub across: Vec2,
}

/// The first board that does not lie yet; `None` where nothing is left to lay.
pub fn first_board(house: &House) -> Option<FirstBoard> {
    first_board_in(house, &house.sequence())
}

/// The same where the order of laying is at hand.
pub fn first_board_in(house: &House, sequence: &Sequence) -> Option<FirstBoard> {
    let step = sequence.steps.iter().find(|step| step.start != Start::Lies)?;
    let index = *step.boards.iter().find(|board| !house.floor.is_laid(**board))?;
    // Blocks of a pattern start from points, not from a corner.
    let board = house.floor.boards.get(index).filter(|board| !board.is_block())?;
    // The board's own frame lies turned past the slip tongue; what comes first to hand is its own left end.
    let own = |along: f64, across: f64| {
        let (along, across) = if board.turned {
            (board.right - along, board.base + house.floor.pitch - across)
        } else {
            (board.left + along, board.base + across)
        };
        at(house.site.frame.plan_from_row(board.at(along, across)))
    };
    let (corner, next, up) = (own(0.0, 0.0), own(1.0, 0.0), own(0.0, 1.0));
    Some(FirstBoard { board: index, corner, along: next - corner, across: up - corner })
}

/// Draws an arrow along the row from the corner of the first board to come, and marks that: one starts there, or goes on where
/// rows lie.
pub(crate) fn draw_start(
    drawing: &mut Drawing,
    (first, goes_on): (&FirstBoard, bool),
    options: &Options,
    taken: &mut Taken,
) -> Option<Label> {
    let scale = options.scale;
    drawing.path(Role::Arrow, square_mark(first.corner, first.along, first.across, 1.7 * scale));
    // The foot of the arrow stands a little off the line, so that both are seen; where another thing stands there the arrow
    // is shorter, or further along or off.
    let tries = [ALONG, 0.7 * ALONG].into_iter().flat_map(|length| {
        [2.0, 5.0, 9.0].into_iter().flat_map(move |on| [2.6, 4.2, 5.8].map(|off| (length, on, off)))
    });
    let place = |(length, on, off): (f64, f64, f64)| {
        let foot = first.corner + first.across * (off * scale) + first.along * (on * scale);
        (foot, foot + first.along * (length * scale))
    };
    let box_of = |taken: &Taken, (foot, tip): (Point, Point)| {
        Rect::from_points(taken.on_paper(foot), taken.on_paper(tip)).inflate(1.5, 1.5)
    };
    let free = tries.map(place).filter(|ends| taken.is_free(box_of(taken, *ends)));
    let cost = |ends: &(Point, Point)| taken.hidden_by(box_of(taken, *ends), false);
    let best = free.min_by(|a, b| cost(a).total_cmp(&cost(b)));
    let (foot, tip) = best.filter(|_| options.leaders).unwrap_or_else(|| place((ALONG, 2.0, 2.6)));
    arrow(drawing, foot, first.along, libm::sqrt((tip - foot).hypot2()));
    taken.take(box_of(taken, (foot, tip)));
    let word = if goes_on { "go on" } else { "start" };
    let mut start = Label::new(Role::ArrowWord, word, foot.lerp(tip, 0.5));
    start.turn = readable_turn(first.along.x, first.along.y);
    let half = rough_width(&start.text, start.size) / 2.0;
    let mut places: Vec<Label> = Vec::new();
    if options.leaders {
        // Before its tip, over it, under it.
        let ahead = tip + first.along * (2.4 * scale);
        let ahead = Label { at: ahead, shift: first.along * (half + 1.2), ..start.clone() };
        let over = [3.6, -3.6].map(|off| Label { shift: first.across * off, ..start.clone() });
        places.extend(over.into_iter().chain([ahead]));
    } else {
        places.extend([3.2, 6.5, -5.0].iter().flat_map(|off| {
            [0.0, 8.0, 16.0]
                .map(|on| Label { shift: first.across * *off + first.along * on, ..start.clone() })
        }));
    }
    taken.put(drawing, &places, Keep::Always, || "the first board".to_owned())
}

/// Draws an arrow for each way the rows go, numbered in order.
pub(crate) fn draw_ways(
    drawing: &mut Drawing,
    house: &House,
    first: &FirstBoard,
    options: &Options,
    taken: &mut Taken,
) -> Vec<Label> {
    let mut labels = Vec::new();
    let scale = options.scale;
    let Some(line) = &house.setout.line else { return labels };
    let (a, b) = (at(line.from), at(line.to));
    let boarded = house.plan.rooms.iter().filter(|room| room.is_boarded());
    let rooms: Vec<Vec<Point>> = boarded.map(room_outline).collect();
    let sides: Vec<f64> = {
        let rows = || house.floor.boards.iter().map(|board| board.row);
        let up = house.site.frame.plan_from_row(site::Uv::new(0.0, 1.0));
        let origin = house.site.frame.plan_from_row(site::Uv::new(0.0, 0.0));
        let climbs = (Vec2::new(up.x - origin.x, up.y - origin.y)).dot(first.across) > 0.0;
        let (above, below) = (rows().any(|row| row >= 0), rows().any(|row| row < 0));
        // The first way is the first board's; the other comes second.
        let other = if climbs { below } else { above };
        if other { vec![1.0, -1.0] } else { vec![1.0] }
    };
    for (i, side) in sides.iter().enumerate() {
        let up = first.across * *side;
        let number = (i + 1).to_string();
        let spots = [0.25, 0.4, 0.15, 0.55, 0.7, 0.85, 0.32, 0.62];
        let foot_at = |t: f64| a.lerp(b, t) + up * (2.0 * scale);
        let box_of = |foot: Point, length: f64| {
            let ends = [foot, foot + up * (length * scale)].map(|p| (p.to_vec2() / scale).to_point());
            Rect::from_points(ends[0], ends[1]).inflate(2.0, 0.5)
        };
        // Long and on free floor at best; where rows reach only a little way, short rather than out of the house.
        let is_on_floor = |foot: Point, length: f64| {
            let tip = foot + up * (length * scale);
            rooms.iter().any(|room| contains(room, tip)) && rooms.iter().any(|room| contains(room, foot))
        };
        let tries =
            || [ACROSS, 0.6 * ACROSS, 0.4 * ACROSS].into_iter().flat_map(|l| spots.map(|t| (foot_at(t), l)));
        let on_floor = |(foot, length): &(Point, f64)| is_on_floor(*foot, *length);
        // Where figures are led, an arrow leaves their things in sight, and room for its own number.
        let fits = |(foot, length): &(Point, f64)| {
            taken.is_free(box_of(*foot, *length))
                && (!options.leaders
                    || number_places(&number, *foot, up, *length, first, options)
                        .iter()
                        .any(|label| taken.is_free(taken.box_of(label))))
        };
        let cost = |(foot, length): &(Point, f64)| taken.hidden_by(box_of(*foot, *length), false);
        let free = tries().filter(on_floor).filter(fits);
        let place = match options.leaders {
            true => free.min_by(|a, b| cost(a).total_cmp(&cost(b))),
            false => tries().filter(on_floor).find(fits),
        };
        let place = place
            .or_else(|| tries().find(|(foot, length)| is_on_floor(*foot, *length)))
            .unwrap_or((foot_at(spots[0]), 0.4 * ACROSS));
        let (foot, length) = place;
        arrow(drawing, foot, up, length * scale);
        taken.take(box_of(foot, length));
        let places = number_places(&number, foot, up, length, first, options);
        labels.extend(taken.put(drawing, &places, Keep::Always, || "way".to_owned()));
    }
    labels
}

/// Where the number of an arrow may stand: on either side of it, clear of its own box, or past its tip.
fn number_places(
    number: &str,
    foot: Point,
    up: Vec2,
    length: f64,
    first: &FirstBoard,
    options: &Options,
) -> Vec<Label> {
    let scale = options.scale;
    let label = Label::new(Role::ArrowWord, number, foot + up * (length * 0.4 * scale));
    if !options.leaders {
        let beside = first.along * 3.2;
        return [beside, -beside].map(|shift| Label { shift, ..label.clone() }).into();
    }
    let half = rough_width(&label.text, label.size) / 2.0 + 0.25 * label.size;
    let clear = |way: Vec2| way.x.abs() * half + way.y.abs() * 0.55 * label.size;
    let beside = first.along * (clear(first.along) + 2.1);
    let mut places = Vec::new();
    for part in [0.4, 0.75, 0.1] {
        let at = foot + up * (length * part * scale);
        places.extend([beside, -beside].map(|shift| Label { at, shift, ..label.clone() }));
    }
    let tip = foot + up * ((length + 0.6) * scale);
    places.push(Label { at: tip, shift: up * (clear(up) + 0.6), ..label.clone() });
    places
}

/// A solid arrow from its foot.
fn arrow(drawing: &mut Drawing, foot: Point, way: Vec2, length: f64) {
    let side = Vec2::new(-way.y, way.x);
    let (shaft, head) = (0.05 * length, 0.17 * length);
    let neck = foot + way * (length - 2.0 * head);
    let tip = foot + way * length;
    drawing.path(
        Role::Arrow,
        closed([
            foot - side * shaft,
            neck - side * shaft,
            neck - side * head,
            tip,
            neck + side * head,
            neck + side * shaft,
            foot + side * shaft,
        ]),
    );
}

/// A filled corner at which laying starts.
fn square_mark(corner: Point, along: Vec2, across: Vec2, size: f64) -> kurbo::BezPath {
    closed([corner, corner + along * size, corner + across * size])
}

/// What it costs to hide a mm of the triangle: a length on another side than its own would be taken for that one's.
const SIDE: f64 = 0.5;

/// Draws the triangle.
pub(crate) fn draw_triangle(drawing: &mut Drawing, square: &Square, taken: &mut Taken) {
    let corners = [square.corner, square.on_line, square.across].map(at);
    drawing.path(Role::Triangle, closed(corners));
    if taken.field().is_some() {
        for (from, to) in [(0, 1), (0, 2), (1, 2)] {
            taken.take_line(corners[from], corners[to], SIDE);
        }
    }
}

/// Places the lengths of the triangle's three sides.
pub(crate) fn place_lengths(
    drawing: &mut Drawing,
    square: &Square,
    options: &Options,
    taken: &mut Taken,
) -> Vec<Label> {
    let corners = [square.corner, square.on_line, square.across].map(at);
    let middle = Point::new(
        corners.iter().map(|p| p.x).sum::<f64>() / 3.0,
        corners.iter().map(|p| p.y).sum::<f64>() / 3.0,
    );
    let sides = [
        (corners[0], corners[1], square.along_length),
        (corners[0], corners[2], square.across_length),
        (corners[1], corners[2], square.between),
    ];
    let mut labels = Vec::new();
    for (a, b, length) in sides {
        let along = b - a;
        let long = libm::sqrt(along.hypot2());
        if long <= 0.0 {
            continue;
        }
        let length = match options.units {
            Units::Metric => plan::nearest_whole(length),
            Units::FeetInches => length,
        };
        let mut label = Label::new(Role::Triangle, format_length(length, options.units), a);
        let side = Vec2::new(-along.y, along.x) / long;
        // Inside the triangle first, where no other figure stands.
        let inwards = if (middle - a).dot(side) > 0.0 { side } else { -side };
        let mut places = Vec::new();
        if options.leaders {
            // Upright, so that nobody turns the sheet: in the side where that hides nothing else, or beside it.
            let half = rough_width(&label.text, label.size) / 2.0;
            let off = side.x.abs() * half + side.y.abs() * 0.55 * label.size + 0.8;
            for off in [0.0, off, -off] {
                for t in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.45, 0.55, 0.35, 0.65, 0.25, 0.75, 0.14, 0.86] {
                    places.push(Label { at: a.lerp(b, t), shift: inwards * off, ..label.clone() });
                }
            }
        } else {
            label.turn = readable_turn(along.x, along.y);
            for off in [2.6, -2.6, 5.5] {
                for t in [0.5, 0.35, 0.65] {
                    places.push(Label { at: a.lerp(b, t), shift: inwards * off, ..label.clone() });
                }
            }
        }
        labels.extend(taken.put(drawing, &places, Keep::Always, || "the triangle".to_owned()));
    }
    labels
}
