//! Where laying starts and which way it goes, and the triangle that proves a line square.

use crate::geometry::{at, closed, contains, readable_turn, room_outline};
use crate::place::Taken;
use crate::{Drawing, Label, Options, Role};
use fit::Start;
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
    let sequence = house.sequence();
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

/// Draws an arrow to the first corner along the first row, and one for each way the rows go, numbered in order.
pub(crate) fn draw(
    drawing: &mut Drawing,
    house: &House,
    first: Option<FirstBoard>,
    options: &Options,
    taken: &mut Taken,
) -> Vec<Label> {
    let mut labels = Vec::new();
    let Some(first) = first else { return labels };
    let scale = options.scale;
    // The foot of the arrow stands a little off the line, so that both are seen.
    let foot = first.corner + first.across * (2.6 * scale) + first.along * (2.0 * scale);
    arrow(drawing, foot, first.along, ALONG * scale);
    drawing.path(Role::Arrow, square_mark(first.corner, first.along, first.across, 1.7 * scale));
    let tip = foot + first.along * (ALONG * scale);
    taken.take(
        Rect::from_points((foot.to_vec2() / scale).to_point(), (tip.to_vec2() / scale).to_point())
            .inflate(1.5, 1.5),
    );
    let mut start = Label::new(Role::ArrowWord, "start", foot.lerp(tip, 0.5));
    start.turn = readable_turn(first.along.x, first.along.y);
    let places: Vec<Label> = [3.2, 6.5, -5.0]
        .iter()
        .flat_map(|off| [0.0, 8.0, 16.0].map(|on| first.across * *off + first.along * on))
        .map(|shift| Label { shift, ..start.clone() })
        .collect();
    labels.extend(taken.first_free_or_first(&places));
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
        let place = tries()
            .find(|(foot, length)| is_on_floor(*foot, *length) && taken.is_free(box_of(*foot, *length)))
            .or_else(|| tries().find(|(foot, length)| is_on_floor(*foot, *length)))
            .unwrap_or((foot_at(spots[0]), 0.4 * ACROSS));
        let (foot, length) = place;
        arrow(drawing, foot, up, length * scale);
        taken.take(box_of(foot, length));
        let label = Label::new(Role::ArrowWord, number, foot + up * (length * 0.4 * scale));
        let beside = first.along * 3.2;
        labels.extend(
            taken.first_free_or_first(&[beside, -beside].map(|shift| Label { shift, ..label.clone() })),
        );
    }
    labels
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

/// Draws the triangle with the lengths of its three sides.
pub(crate) fn draw_square(
    drawing: &mut Drawing,
    square: &Square,
    options: &Options,
    taken: &mut Taken,
) -> Vec<Label> {
    let corners = [square.corner, square.on_line, square.across].map(at);
    drawing.path(Role::Triangle, closed(corners));
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
            Units::Metric => length.round(),
            Units::FeetInches => length,
        };
        let mut label = Label::new(Role::Triangle, format_length(length, options.units), a);
        label.turn = readable_turn(along.x, along.y);
        let side = Vec2::new(-along.y, along.x) / long;
        // Inside the triangle first, where no other figure stands.
        let inwards = if (middle - a).dot(side) > 0.0 { side } else { -side };
        let mut places = Vec::new();
        for off in [2.6, -2.6, 5.5] {
            for t in [0.5, 0.35, 0.65] {
                places.push(Label { at: a.lerp(b, t), shift: inwards * off, ..label.clone() });
            }
        }
        labels.extend(taken.first_free_or_first(&places));
    }
    labels
}
