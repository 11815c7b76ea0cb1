//! Writing that finds no free place beside its thing: further off with a line to it, or under a letter in a key.
//!
//! Each place has a cost in millimetres of way: how far down its list it stands, what it would hide, how long its line is
//! and what that crosses. What is placed later keeps off what was placed before.

use crate::geometry::open;
use crate::place::{BESIDE, Keep, Taken, Wish, nearest};
use crate::{Anchor, Drawing, Item, KeyLine, Label, Role};
use kurbo::{Line, Point, Rect, Shape as _, Vec2};

/// A place beside its thing that costs less is taken without looking for others, mm.
const GOOD: f64 = 4.0;
/// A line to its thing costs this much whatever its length, and so much for each mm of it.
const LEADER: (f64, f64) = (5.0, 0.35);
/// How far off its thing writing may stand, and the steps in which it is tried, mm.
const REACH: (f64, f64, f64) = (4.5, 2.5, 60.0);
/// Ways in which it is tried.
const WAYS: usize = 16;
/// Boxes keep this much off a line to another thing, mm.
const CLEAR: f64 = 0.4;
/// Lines of a drawing's key that are shown beside it.
pub const KEY_LINES: usize = 10;
/// So far round the rooms writing may stand that is led to its thing, mm.
pub(crate) const FIELD: f64 = 15.0;
/// More wishes than this are put once.
const MANY: usize = 150;
/// So often what found no place is put first.
const ROUNDS: usize = 6;
/// Radius of the dot at a line's end, mm.
const DOT: f64 = 0.5;
/// A tie runs so far in under the plate of its figure, mm.
const UNDER: f64 = 1.0;

/// What came of a round of wishes.
struct Round {
    /// How many found no place but in the key.
    missing: usize,
    taken: Taken,
    items: Vec<Item>,
    key: Vec<KeyLine>,
    placed: Vec<(u32, Label)>,
}

impl Taken {
    /// Puts writing in the best of its places, the likeliest first, or leads it to its thing; `name` says in a key what it
    /// stands for. Gives what is to be written: nothing where it is left out or stands in the key alone.
    pub(crate) fn put(
        &mut self,
        drawing: &mut Drawing,
        places: &[Label],
        keep: Keep,
        name: impl FnOnce() -> String,
    ) -> Option<Label> {
        if self.field().is_none() {
            let placed = match keep {
                Keep::Always => self.first_free_or_least(places),
                Keep::IfFree | Keep::Led => self.first_free(places.iter().cloned()),
            };
            match (&placed, places.first()) {
                (Some(label), _) => self.tie(drawing, label),
                (None, Some(first)) if keep != Keep::IfFree => drawing.left_out.push((first.role, first.at)),
                _ => {}
            }
            return placed;
        }
        let beside = self.best_beside(places).map(|(cost, label)| (cost, label.clone()));
        if let Some((_, label)) = beside.clone().filter(|(cost, _)| *cost < GOOD || keep == Keep::IfFree) {
            return Some(self.set(drawing, label, None));
        }
        if keep == Keep::IfFree {
            return None;
        }
        let most = beside.as_ref().map_or(f64::INFINITY, |(cost, _)| *cost);
        match (self.led(places, most), beside) {
            (Some((label, leader)), _) => Some(self.set(drawing, label, Some(leader))),
            (None, Some((_, label))) => Some(self.set(drawing, label, None)),
            (None, None) if self.has_key() => self.key(drawing, places, name()),
            (None, None) if keep == Keep::Always => Some(self.set(drawing, places.first()?.clone(), None)),
            (None, None) => None,
        }
    }

    /// Ties a figure to its thing where it stands far off it: the line runs in under its plate, so that it still meets it
    /// where the writing keeps its size and the floor does not.
    fn tie(&self, drawing: &mut Drawing, label: &Label) {
        let is_figure = matches!(
            label.role,
            Role::RipFigure | Role::ShortRipFigure | Role::StopFigure | Role::StepMark | Role::RoomName
        );
        let (thing, area) = (self.on_paper(label.at), self.box_of(label));
        let way = nearest(area, thing) - thing;
        let length = libm::sqrt(way.hypot2());
        if !is_figure || length <= BESIDE {
            return;
        }
        let end = thing + way * ((length + UNDER) / length);
        drawing.path(
            Role::Leader,
            led_by(Line::new(self.on_plan(thing), self.on_plan(end)), self.on_plan(Point::new(DOT, 0.0)).x),
        );
    }

    /// Takes a label's box, and draws the line to its thing.
    fn set(&mut self, drawing: &mut Drawing, label: Label, leader: Option<Line>) -> Label {
        self.take(self.box_of(&label));
        if let Some(line) = leader {
            let on_plan = Line::new(self.on_plan(line.p0), self.on_plan(line.p1));
            drawing.path(Role::Leader, led_by(on_plan, self.on_plan(Point::new(DOT, 0.0)).x));
            self.take_line(self.on_plan(line.p0), self.on_plan(line.p1), 2.0);
        }
        label
    }

    /// The place off its thing of least cost under `most`, with the line from the thing to it.
    fn led(&mut self, places: &[Label], most: f64) -> Option<(Label, Line)> {
        let field = self.field()?;
        let first = places.first()?;
        let rooms = field.inflate(-FIELD, -FIELD);
        let ends = self.ends_of(places);
        // A line out of another's box would seem to be that one's.
        let is_bare = |end: &Point| self.is_free(Rect::from_center_size(*end, (0.2, 0.2)));
        let bare: Vec<Point> = ends.iter().copied().filter(is_bare).collect();
        let plain = Label { anchor: Anchor::Middle, turn: 0.0, shift: Vec2::ZERO, ..first.clone() };
        let own = self.box_of(&Label { at: Point::ZERO, ..plain.clone() });
        let half = own.size() / 2.0;
        let mut best: Option<(f64, Label, Line)> = None;
        let steps = ((REACH.2 - REACH.0) / REACH.1) as usize;
        for step in 0..=steps {
            let away = REACH.0 + REACH.1 * step as f64;
            let base = LEADER.0 + LEADER.1 * away;
            let is_over = best.as_ref().map_or(most, |(least, ..)| *least) <= base;
            if is_over || !self.tried((bare.len() * WAYS) as u32) {
                break;
            }
            for (rank, end) in bare.iter().enumerate() {
                for way in 0..WAYS {
                    let turn = std::f64::consts::TAU * way as f64 / WAYS as f64;
                    let way = Vec2::new(libm::cos(turn), libm::sin(turn));
                    let off = away + way.x.abs() * half.width + way.y.abs() * half.height;
                    // The box's middle may lie off the label's point.
                    let at = *end + way * off - own.center().to_vec2();
                    let area = own + at.to_vec2();
                    if field.union(area) != field || !self.is_free(area) {
                        continue;
                    }
                    // A room's name in another room would be taken for that one's.
                    if first.role == Role::RoomName && !rooms.intersect(area).is_zero_area() {
                        continue;
                    }
                    // What costs too much already is looked at no further.
                    let least = best.as_ref().map_or(most, |(least, ..)| *least);
                    let own_cost = base + 0.3 * rank as f64 + self.astray(area);
                    if own_cost >= least {
                        continue;
                    }
                    let hidden = own_cost + self.hidden_by(area, false);
                    if hidden >= least {
                        continue;
                    }
                    let leader = Line::new(*end, nearest(area, *end));
                    let cost = hidden + self.crossed_by(leader);
                    if cost < least && self.is_way_free(leader) {
                        let label = Label { at: self.on_plan(*end), shift: at - *end, ..plain.clone() };
                        best = Some((cost, label, leader));
                    }
                }
            }
        }
        best.map(|(_, label, line)| (label, line))
    }

    /// Whether a line to its thing runs over no box.
    fn is_way_free(&self, line: Line) -> bool {
        let bounds = Rect::from_points(line.p0, line.p1).inflate(CLEAR, CLEAR);
        // Close to its thing a line may run as near by another box as the thing itself lies.
        let length = libm::sqrt((line.p1 - line.p0).hypot2()).max(1e-9);
        let after = Line::new(line.p0.lerp(line.p1, (2.0 * CLEAR / length).min(1.0)), line.p1);
        let runs_over = |taken: &Rect| {
            crate::cells::length_within(line, *taken) > 0.0
                || crate::cells::length_within(after, taken.inflate(CLEAR, CLEAR)) > 0.0
        };
        !self.boxes_near(bounds).any(runs_over)
    }

    /// Puts what was wished for, each in its turn. What finds no place but in the key goes first in another round, where that
    /// leaves fewer in it.
    pub(crate) fn grant_all(&mut self, drawing: &mut Drawing, mut wishes: Vec<Wish>) -> Vec<(u32, Label)> {
        if self.field().is_none() {
            return wishes
                .iter()
                .filter_map(|wish| Some((wish.number, self.grant(drawing, wish)?)))
                .collect();
        }
        let mut best: Option<Round> = None;
        let before = (drawing.items.len(), drawing.key.len());
        let said = |drawing: &Drawing| drawing.key.iter().map(|line| line.text.len()).sum::<usize>();
        // Of a whole street's figures many find none whatever their order.
        let rounds = if wishes.len() > MANY { 1 } else { ROUNDS };
        for _ in 0..rounds {
            let mut trial = self.clone();
            let mut placed = Vec::with_capacity(wishes.len());
            let mut missing = Vec::new();
            for wish in &wishes {
                let keys = said(drawing);
                placed.extend(trial.grant(drawing, wish).map(|label| (wish.number, label)));
                if said(drawing) > keys {
                    missing.push(wish.number);
                }
            }
            let (items, key) = (drawing.items.split_off(before.0), drawing.key.split_off(before.1));
            let is_better = best.as_ref().is_none_or(|best| missing.len() < best.missing);
            if is_better {
                best = Some(Round { missing: missing.len(), taken: trial, items, key, placed });
            }
            if missing.is_empty() {
                break;
            }
            wishes.sort_by_key(|wish| !missing.contains(&wish.number));
        }
        let Some(Round { taken, items, key, placed, .. }) = best else { return Vec::new() };
        *self = taken;
        drawing.items.extend(items);
        drawing.key.extend(key);
        placed
    }

    /// Puts writing into the key, and its letter where there is room for that.
    fn key(&mut self, drawing: &mut Drawing, places: &[Label], name: String) -> Option<Label> {
        let first = places.first()?;
        // What stands for the same thing stands under one letter.
        let alike = drawing
            .key
            .iter_mut()
            .find(|line| !name.is_empty() && line.name == name && !line.mark.is_empty());
        if let Some(line) = alike {
            line.text = format!("{}, {}", line.text, first.text);
            return None;
        }
        let letter = letter(drawing.key.len());
        let mark = Label { anchor: Anchor::Middle, turn: 0.0, shift: Vec2::ZERO, ..first.clone() };
        let mark =
            Label { text: letter.clone(), role: Role::KeyMark, size: Role::KeyMark.type_size(), ..mark };
        let own = places.iter().map(|label| Label { at: label.at, ..mark.clone() });
        let marks: Vec<Label> = own.collect();
        let beside = self.best_beside(&marks).map(|(_, label)| label.clone());
        // Letters that the key has no line for would only take the room of others.
        let is_shown = drawing.key.len() < KEY_LINES;
        let placed = match beside.filter(|_| is_shown) {
            _ if !is_shown => None,
            Some(label) => Some(self.set(drawing, label, None)),
            None => self.led(&marks, f64::INFINITY).map(|(label, line)| self.set(drawing, label, Some(line))),
        };
        let mark = if placed.is_some() { letter } else { String::new() };
        drawing.key.push(KeyLine { mark, name, text: first.text.clone() });
        placed
    }
}

/// A line from a thing with a dot on it.
fn led_by(line: Line, dot: f64) -> kurbo::BezPath {
    let mut path = open([line.p0, line.p1]);
    path.extend(kurbo::Circle::new(line.p0, dot).path_elements(0.01));
    path
}

/// a, b … z, aa, ab …: small, so that no corner's letter is meant.
fn letter(index: usize) -> String {
    let mut name = Vec::new();
    let mut rest = index + 1;
    while rest > 0 {
        rest -= 1;
        name.push(char::from(b'a' + (rest % 26) as u8));
        rest /= 26;
    }
    name.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn crowd(field: Rect, count: usize) -> (Taken, Drawing, Vec<Label>) {
        let mut taken = Taken::with_field(50.0, field).with_key();
        let mut drawing = Drawing::default();
        let mut placed = Vec::new();
        for i in 0..count {
            // All of them want one spot.
            let wish = [Label::new(Role::RipFigure, "115", Point::ZERO)];
            placed.extend(taken.put(&mut drawing, &wish, Keep::Always, || format!("wall {i}")));
        }
        (taken, drawing, placed)
    }

    fn apart(taken: &Taken, placed: &[Label]) {
        let boxes: Vec<Rect> = placed.iter().map(|label| taken.box_of(label)).collect();
        for (i, a) in boxes.iter().enumerate() {
            for b in &boxes[i + 1..] {
                let common = a.intersect(*b);
                assert!(common.width() <= 0.0 || common.height() <= 0.0, "{a:?} {b:?}");
            }
        }
    }

    #[test]
    fn figures_of_one_spot_are_led_to_it_from_places_of_their_own() {
        // Rings on the corner of the first: its point is hidden, so one more is led from its side.
        let mut taken = Taken::with_field(50.0, Rect::new(-60.0, -60.0, 60.0, 60.0));
        let mut drawing = Drawing::default();
        let mut placed = Vec::new();
        for x in [0.0, 300.0, 0.0] {
            let wish = [x, x + 400.0].map(|x| Label::new(Role::RipFigure, "115", Point::new(x, 0.0)));
            placed.extend(taken.put(&mut drawing, &wish, Keep::Always, String::new));
        }
        assert_eq!((placed.len(), drawing.key.len()), (3, 0));
        apart(&taken, &placed);
        assert!(drawing.shapes().any(|shape| shape.role == Role::Leader), "{placed:?}");
    }

    /// A hall of 1000 between two rooms: a figure of the upper room that finds no place beside its wall is led past the
    /// hall's end rather than into the hall or the lower room.
    #[test]
    fn what_is_led_keeps_out_of_rooms_that_it_does_not_speak_of() {
        let room = |name: &str, low: f64, high: f64| {
            let corners = [(0.0, low), (3000.0, low), (3000.0, high), (0.0, high)];
            plan::Room::boarded(name, corners.map(plan::Point::from))
        };
        let mut plan = plan::Plan::new("t");
        plan.rooms =
            vec![room("Upper", 1100.0, 2000.0), room("Hall", 0.0, 1000.0), room("Lower", -2100.0, -100.0)];
        let wish = |rooms: Vec<usize>| {
            let mut taken = Taken::with_field(50.0, Rect::new(-40.0, -60.0, 100.0, 60.0))
                .with_rooms(crate::rooms::Rooms::of(&plan));
            // All of the upper room is full of other things but its wall.
            taken.take(Rect::new(0.0, 24.0, 60.0, 60.0));
            let mut drawing = Drawing::default();
            let place = Label::new(Role::RipFigure, "127–130", Point::new(1000.0, 1110.0));
            let wish = Wish::new(vec![place], Keep::Led, String::new()).of_rooms(rooms);
            let label = taken.grant(&mut drawing, &wish).unwrap();
            crate::rooms::Rooms::of(&plan).at(taken.on_plan(taken.box_of(&label).center()))
        };
        assert!(matches!(wish(Vec::new()), Some(1 | 2)), "the nearest place is in another room");
        assert_eq!(wish(vec![0]), None, "outside the house");
    }

    #[test]
    fn what_finds_no_place_at_all_stands_in_the_key() {
        // A field in which one ring fits, and no disc beside it.
        let (taken, drawing, placed) = crowd(Rect::new(-7.0, -3.0, 7.0, 3.0), 3);
        apart(&taken, &placed);
        assert_eq!(placed.len(), 1);
        let key: Vec<(&str, &str)> =
            drawing.key.iter().map(|line| (line.name.as_str(), line.text.as_str())).collect();
        assert_eq!(key, [("wall 1", "115"), ("wall 2", "115")]);
    }

    #[test]
    fn nothing_is_led_where_a_drawing_has_no_field() {
        let mut taken = Taken::new(50.0);
        let mut drawing = Drawing::default();
        let wish = [Label::new(Role::RipFigure, "115", Point::ZERO)];
        assert!(taken.put(&mut drawing, &wish, Keep::Led, String::new).is_some());
        assert!(taken.put(&mut drawing, &wish, Keep::Led, String::new).is_none());
        assert!(taken.put(&mut drawing, &wish, Keep::Always, String::new).is_some());
        assert!(drawing.key.is_empty() && drawing.shapes().next().is_none());
        // What found no room is not lost without a word.
        assert_eq!(drawing.left_out, [(Role::RipFigure, Point::ZERO)]);
    }

    #[test]
    fn a_figure_far_off_its_thing_is_tied_to_it_and_one_beside_it_is_not() {
        let mut taken = Taken::new(50.0);
        let mut drawing = Drawing::default();
        let off =
            |y: f64| Label { shift: Vec2::new(0.0, y), ..Label::new(Role::RipFigure, "115", Point::ZERO) };
        let places = [off(0.0), off(9.0)];
        let first = taken.put(&mut drawing, &places, Keep::Led, String::new);
        assert_eq!((first.map(|label| label.shift.y), drawing.shapes().count()), (Some(0.0), 0));
        let second = taken.put(&mut drawing, &places, Keep::Led, String::new);
        assert_eq!((second.map(|label| label.shift.y), drawing.shapes().count()), (Some(9.0), 1));
        let tie = drawing.shapes().next().expect("a tie");
        assert_eq!(tie.role, Role::Leader);
        // From the thing to a millimetre of paper within the ring: 9 up less half a ring, 50 to a mm.
        let bounds = kurbo::Shape::bounding_box(&tie.path);
        let half = taken.box_of(&off(0.0)).height() / 2.0;
        assert!((bounds.y1 - (9.0 - half + UNDER) * 50.0).abs() < 1e-6, "{bounds:?}");
    }
}
