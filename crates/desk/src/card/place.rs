//! Where a card goes: near its thing, off it, and off the floor as far as there is room.

use egui::{Pos2, Rect, Vec2, pos2, vec2};

/// Between a card and its thing, points.
const AWAY: f32 = 22.0;
/// Farther from its thing than this a card is tied to it by a line, points.
pub(super) const NEAR: f32 = 70.0;

/// A card's place for a thing in a room on the screen, off what is `written` as far as may be; `floor` tells
/// how bad it is to cover a point, 0 to 1.
pub(super) fn place(
    thing: Rect,
    size: Vec2,
    room: Rect,
    written: &[Rect],
    floor: impl Fn(Pos2) -> f32,
) -> Rect {
    let inside = |min: Pos2| {
        let most = (room.max - size).max(room.min);
        Rect::from_min_size(min.clamp(room.min, most), size)
    };
    let cost = |card: Rect| {
        let common = card.intersect(thing.expand(8.0));
        let covers = if common.is_positive() { common.area() / card.area() } else { 0.0 };
        let hidden = written.iter().filter(|rect| rect.intersects(card.expand(4.0))).count();
        let away = distance(card, thing).max(AWAY);
        4000.0 * covers + 70.0 * covered(card.expand(12.0), &floor) + 5.0 * hidden as f32 + 0.14 * away
    };
    let mut best = (f32::INFINITY, inside(thing.left_bottom() + vec2(0.0, AWAY)));
    for min in around(thing, size, room) {
        let card = inside(min);
        let cost = cost(card);
        // The first of equals: what is tried first reads best.
        if cost + 0.5 < best.0 {
            best = (cost, card);
        }
    }
    best.1
}

/// Upper left corners to try: under, over and beside the thing, then along the room's edges.
fn around(thing: Rect, size: Vec2, room: Rect) -> Vec<Pos2> {
    let (x, y) = (thing.center().x - size.x / 2.0, thing.center().y - size.y / 2.0);
    let (under, over) = (thing.bottom() + AWAY, thing.top() - AWAY - size.y);
    let (right, left) = (thing.right() + AWAY, thing.left() - AWAY - size.x);
    let mut all = Vec::new();
    for slide in [0.0, -0.5, 0.5, -1.0, 1.0] {
        let (dx, dy) = (slide * size.x, slide * size.y);
        all.extend([pos2(x + dx, under), pos2(right, y + dy), pos2(x + dx, over), pos2(left, y + dy)]);
    }
    let steps = |from: f32, to: f32| (0..=8).map(move |i| from + (to - from) * i as f32 / 8.0);
    for row in steps(room.top(), room.bottom() - size.y) {
        all.extend(steps(room.left(), room.right() - size.x).map(|x| pos2(x, row)));
    }
    all
}

/// How much of a card lies on the floor, 0 to 1.
fn covered(card: Rect, floor: &impl Fn(Pos2) -> f32) -> f32 {
    let (across, down) = (7, 5);
    let mut sum = 0.0;
    for i in 0..across {
        for j in 0..down {
            let part = vec2((i as f32 + 0.5) / across as f32, (j as f32 + 0.5) / down as f32);
            sum += floor(card.min + part * card.size());
        }
    }
    sum / (across * down) as f32
}

/// How far apart two rectangles are.
pub(super) fn distance(a: Rect, b: Rect) -> f32 {
    let gap = |a0: f32, a1: f32, b0: f32, b1: f32| (b0 - a1).max(a0 - b1).max(0.0);
    vec2(gap(a.left(), a.right(), b.left(), b.right()), gap(a.top(), a.bottom(), b.top(), b.bottom()))
        .length()
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROOM: Rect = Rect { min: pos2(0.0, 0.0), max: pos2(1000.0, 600.0) };
    const CARD: Vec2 = vec2(260.0, 160.0);

    #[test]
    fn a_card_keeps_off_its_thing_and_in_the_room() {
        for thing in [(20.0, 20.0), (980.0, 590.0), (500.0, 300.0), (30.0, 580.0)] {
            let thing = Rect::from_center_size(thing.into(), vec2(60.0, 20.0));
            for floor in [0.0, 1.0] {
                let card = place(thing, CARD, ROOM, &[], |_| floor);
                assert!(!card.intersects(thing), "{thing:?} {card:?}");
                assert!(ROOM.contains_rect(card), "{card:?}");
                assert!(distance(card, thing) < NEAR, "near where all is alike: {card:?}");
            }
        }
    }

    #[test]
    fn a_card_goes_beside_the_floor_where_there_is_room_beside_it() {
        // The floor fills the left half; the thing lies at its middle.
        let thing = Rect::from_center_size(pos2(330.0, 300.0), vec2(120.0, 16.0));
        let card = place(thing, CARD, ROOM, &[], |p| f32::from(u8::from(p.x < 500.0)));
        assert!(500.0 - card.left() < CARD.x / 6.0, "all but a margin lies off the floor: {card:?}");
        // Where the floor fills the room, it stays near.
        let card = place(thing, CARD, ROOM, &[], |_| 1.0);
        assert!(distance(card, thing) < NEAR, "{card:?}");
    }
}
