//! Where a card goes: near its thing, off it, and off the floor as far as there is room.

use egui::{Pos2, Rect, Vec2, pos2, vec2};

/// Between a card and its thing, points.
const AWAY: f32 = 22.0;
/// Farther from its thing than this a card is tied to it by a line, points.
pub(super) const NEAR: f32 = 70.0;

/// How bad it is to cover any of a thing, and any of what lies beside it: worse than to lie anywhere else in the room.
const HIDES_IT: f32 = 1000.0;
const HIDES_BESIDE: f32 = 250.0;
/// How bad it is to cover any writing, and how much worse a pull's figure or letter: the floor, which may be covered
/// wherever it is in the way, is 70.
const HIDES_WRITING: f32 = 5.0;
const HIDES_PULL: f32 = 40.0;

/// What a card is about, on the screen.
#[derive(Default)]
pub(super) struct Marked {
    /// The thing itself, in as many pieces as it takes to lie close to it.
    pub(super) own: Vec<Rect>,
    /// What one looks at with it, such as a board's neighbours.
    pub(super) beside: Vec<Rect>,
}

impl Marked {
    /// Whether a card there hides the thing.
    pub(super) fn is_hidden_by(&self, card: Rect) -> bool {
        self.own.iter().any(|own| own.intersects(card))
    }
}

/// How much of some rectangles lies within another, 0 to 1.
fn share_within(all: &[Rect], area: Rect) -> f32 {
    let within = |rect: &Rect| {
        let common = rect.intersect(area);
        if common.is_positive() { common.area() } else { 0.0 }
    };
    let sum: f32 = all.iter().map(|rect| rect.area()).sum();
    if sum > 0.0 { all.iter().map(within).sum::<f32>() / sum } else { 0.0 }
}

/// A card's place for a thing in a room on the screen, off it and off what is beside it where there is room, and off what is
/// `written` as far as may be, off `pulls` rather than off other writing; `floor` tells how bad it is to cover a point, 0 to 1.
pub(super) fn place(
    thing: Rect,
    marked: &Marked,
    size: Vec2,
    room: Rect,
    (written, pulls): (&[Rect], &[Rect]),
    floor: impl Fn(Pos2) -> f32,
) -> Rect {
    let inside = |min: Pos2| {
        let most = (room.max - size).max(room.min);
        Rect::from_min_size(min.clamp(room.min, most), size)
    };
    let cost = |card: Rect| {
        let hides = |all: &[Rect], any: f32, whole: f32| {
            let share = share_within(all, card.expand(8.0));
            if share > 0.0 { any + whole * share } else { 0.0 }
        };
        let covers = hides(&marked.own, HIDES_IT, 4000.0) + hides(&marked.beside, HIDES_BESIDE, 300.0);
        let hides_of =
            |all: &[Rect]| all.iter().filter(|rect| rect.intersects(card.expand(4.0))).count() as f32;
        let hidden = HIDES_WRITING * hides_of(written) + HIDES_PULL * hides_of(pulls);
        let away = distance(card, thing).max(AWAY);
        covers + 70.0 * covered(card.expand(12.0), &floor) + hidden + 0.14 * away
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

    fn alone(thing: Rect) -> Marked {
        Marked { own: vec![thing], beside: Vec::new() }
    }

    /// Boards 40 high and as long as the room but for 300 at its right, one over the other: there a card of 260 stands, beside
    /// them all, though floor lies everywhere else too. Where they reach right across the room it stands off the thing and
    /// its neighbours, over or under them.
    #[test]
    fn a_card_keeps_off_a_board_and_its_neighbours() {
        for across in [690.0, 1000.0] {
            for middle in [60.0, 300.0, 540.0] {
                let row = |y: f32| Rect::from_min_max(pos2(0.0, y - 20.0), pos2(across, y + 20.0));
                let marked =
                    Marked { own: vec![row(middle)], beside: vec![row(middle - 40.0), row(middle + 40.0)] };
                let card = place(row(middle), &marked, CARD, ROOM, (&[], &[]), |_| 1.0);
                let all = marked.own.iter().chain(&marked.beside);
                assert!(all.clone().all(|rect| !rect.intersects(card)), "{middle}, {across}: {card:?}");
            }
        }
        // A board that fills the room but for a corner that its card nearly fits into: as little as may be is hidden.
        let board = Rect::from_min_max(pos2(0.0, 0.0), pos2(1000.0, 450.0));
        let card = place(board, &alone(board), CARD, ROOM, (&[], &[]), |_| 1.0);
        assert!((card.top() - 440.0).abs() < 1.0, "{card:?}");
    }

    #[test]
    fn a_card_keeps_off_its_thing_and_in_the_room() {
        for thing in [(20.0, 20.0), (980.0, 590.0), (500.0, 300.0), (30.0, 580.0)] {
            let thing = Rect::from_center_size(thing.into(), vec2(60.0, 20.0));
            for floor in [0.0, 1.0] {
                let card = place(thing, &alone(thing), CARD, ROOM, (&[], &[]), |_| floor);
                assert!(!card.intersects(thing), "{thing:?} {card:?}");
                assert!(ROOM.contains_rect(card), "{card:?}");
                assert!(distance(card, thing) < NEAR, "near where all is alike: {card:?}");
            }
        }
    }

    /// A room at the right of a floor along the upper edge, its figures 104 round it: no place beside it is off both the figures'
    /// ground and the floor, and its card goes over bare ground of theirs, not over the other rooms. The table as it was drawn.
    #[test]
    fn a_card_of_a_room_goes_over_bare_ground_rather_than_other_rooms() {
        let table = Rect::from_min_max(pos2(8.0, 48.0), pos2(784.0, 495.0));
        let own = Rect::from_min_max(pos2(372.0, 151.0), pos2(515.0, 407.0));
        let seen = own.expand2(vec2(104.0, 36.0));
        let others = Rect::from_min_max(pos2(198.0, 100.0), pos2(440.0, 290.0));
        let marked = Marked { own: vec![own], beside: vec![seen] };
        let floor = |p: Pos2| f32::from(u8::from(others.contains(p) || own.contains(p)));
        let card = place(seen, &marked, vec2(298.0, 120.0), table, (&[], &[]), floor);
        assert!(!card.intersects(others) && !card.intersects(own), "{card:?}");
        // As long as all of that ground was the room's own, it went over the others.
        let alone = place(seen, &alone(seen), vec2(298.0, 120.0), table, (&[], &[]), floor);
        assert!(alone.intersects(others), "{alone:?}");
    }

    #[test]
    fn a_card_goes_beside_the_floor_where_there_is_room_beside_it() {
        // The floor fills the left half; the thing lies at its middle.
        let thing = Rect::from_center_size(pos2(330.0, 300.0), vec2(120.0, 16.0));
        let card = place(thing, &alone(thing), CARD, ROOM, (&[], &[]), |p| f32::from(u8::from(p.x < 500.0)));
        assert!(500.0 - card.left() < CARD.x / 6.0, "all but a margin lies off the floor: {card:?}");
        // Where the floor fills the room, it stays near.
        let card = place(thing, &alone(thing), CARD, ROOM, (&[], &[]), |_| 1.0);
        assert!(distance(card, thing) < NEAR, "{card:?}");
    }

    /// A thing in the middle of a floor that fills the room, with one figure under it and two pieces of writing over it and
    /// at either side: its card goes under it, over that one figure, but not where that is a pull's.
    #[test]
    fn a_card_keeps_off_the_figure_of_a_pull() {
        let thing = Rect::from_center_size(pos2(500.0, 250.0), vec2(60.0, 20.0));
        let figure = Rect::from_center_size(pos2(500.0, 360.0), vec2(40.0, 18.0));
        let around = [
            Rect::from_min_max(pos2(0.0, 0.0), pos2(360.0, 600.0)),
            Rect::from_min_max(pos2(640.0, 0.0), pos2(1000.0, 600.0)),
            Rect::from_min_max(pos2(0.0, 0.0), pos2(1000.0, 235.0)),
        ];
        let written: Vec<Rect> = [figure].into_iter().chain(around).chain(around).collect();
        let put = |pulls: &[Rect]| place(thing, &alone(thing), CARD, ROOM, (&written, pulls), |_| 1.0);
        assert!(put(&[]).intersects(figure), "{:?}", put(&[]));
        assert!(!put(&[figure]).intersects(figure), "{:?}", put(&[figure]));
    }
}
