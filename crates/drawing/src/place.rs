//! Keeps writing apart: boxes taken on the paper, first come first served, and the lines that writing should not hide.

use crate::cells::{Cells, length_within};
use crate::rooms::Rooms;
use crate::{Drawing, Label, PlateKind, Role, label_extent, rough_width};
use kurbo::{Line, PathSeg, Point, Rect, Vec2};
use std::sync::Arc;

/// Boxes already taken, in paper mm, y up, plan origin at the paper origin.
#[derive(Debug, Clone)]
pub(crate) struct Taken {
    scale: f64,
    boxes: Cells<Rect>,
    lines: Cells<Heavy>,
    /// Where writing may stand that is led to its thing; none where nothing is led.
    field: Option<Rect>,
    /// Points that writing still to come stands for, and the wish whose turn it is.
    ends: Cells<End>,
    wishes: u32,
    turn: u32,
    /// Whether what finds no place stands in the drawing's key.
    has_key: bool,
    /// So many places off their things may still be tried.
    tries: u32,
    /// The plan's rooms, where it matters in which of them writing stands.
    rooms: Option<Arc<Rooms>>,
    /// Rooms in which the writing whose turn it is may stand; none where it may stand in any.
    at_home: Vec<usize>,
}

/// A point that writing still to come stands for.
#[derive(Debug, Clone, Copy)]
struct End {
    at: Point,
    /// The wish it belongs to.
    wish: u32,
    /// What it costs to hide it, mm.
    weight: f64,
}

/// Writing that wants a place.
#[derive(Debug, Clone)]
pub(crate) struct Wish {
    /// The label in each place it may take, the likeliest first.
    pub(crate) places: Vec<Label>,
    /// What becomes of it where none is free.
    pub(crate) keep: Keep,
    /// What it stands for, in words for a key.
    pub(crate) name: String,
    /// Its number among all wishes, from 1 once it is told of.
    pub(crate) number: u32,
    /// The rooms that it speaks of; led into another, it would be taken for that one's. None where that is no matter.
    pub(crate) rooms: Vec<usize>,
}

impl Wish {
    /// A wish that nobody knows of yet.
    pub(crate) fn new(places: Vec<Label>, keep: Keep, name: String) -> Self {
        Self { places, keep, name, number: 0, rooms: Vec::new() }
    }

    /// The same, of these rooms.
    pub(crate) fn of_rooms(self, rooms: impl IntoIterator<Item = usize>) -> Self {
        Self { rooms: rooms.into_iter().collect(), ..self }
    }
}

/// A line that writing should not hide.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Heavy {
    line: Line,
    /// What a hidden millimetre costs, in millimetres of way from the best place.
    weight: f64,
    /// Whether rings and discs may stand on it: they tell of a wall or its corner by lying over it.
    is_wall: bool,
}

/// What becomes of writing that finds no free place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Keep {
    /// It is left out.
    IfFree,
    /// It is led to its thing or stands in the key; it is left out where it cannot be led and the drawing has no key.
    Led,
    /// The same; where it would be left out it stands in its first place all the same.
    Always,
}

/// A place beside its thing costs this much more than the one before it, mm, and no more than that.
const RANK: (f64, f64) = (0.15, 3.0);
/// What it costs to hide all the points that writing still to come may stand for, mm.
const EXPECTED: f64 = 9.0;
/// Places off their things that are tried for one drawing: a house takes a few ten thousand of them; on a drawing of a whole
/// street, where nothing is free, the rest stands in the key at once.
const TRIES: u32 = 120_000;
/// What it costs to stand on another room's boards, mm: more than to be led past its walls into the open.
const ASTRAY: f64 = 15.0;
/// A pole whose cloth stands no farther aside than this is taken for upright, mm.
const LEANS: f64 = 5.0;
/// Of one wish no more points than this are looked at.
const ENDS: usize = 12;
/// Writing further off its point than this needs a line to it, mm.
pub(crate) const BESIDE: f64 = 3.5;
/// A line nearer to a figure than this runs into it, mm.
const CLEAR: f64 = 0.5;

impl Taken {
    /// Nothing taken yet, at `scale` plan mm to a paper mm.
    pub(crate) fn new(scale: f64) -> Self {
        Self {
            scale,
            boxes: Cells::default(),
            lines: Cells::default(),
            field: None,
            ends: Cells::default(),
            wishes: 0,
            turn: 0,
            has_key: false,
            tries: TRIES,
            rooms: None,
            at_home: Vec::new(),
        }
    }

    /// The same where writing may be led to its thing from anywhere in a field, paper mm.
    pub(crate) fn with_field(scale: f64, field: Rect) -> Self {
        Self { field: Some(field), ..Self::new(scale) }
    }

    /// The same where writing that is led keeps to the rooms it speaks of, if it can.
    pub(crate) fn with_rooms(self, rooms: Rooms) -> Self {
        Self { rooms: Some(Arc::new(rooms)), ..self }
    }

    /// What it costs the writing whose turn it is to stand in a room it does not speak of, mm.
    pub(crate) fn astray(&self, area: Rect) -> f64 {
        let Some(rooms) = self.rooms.as_ref().filter(|_| !self.at_home.is_empty()) else { return 0.0 };
        match rooms.at(self.on_plan(area.center())) {
            Some(room) if !self.at_home.contains(&room) => ASTRAY,
            _ => 0.0,
        }
    }

    /// The same where what finds no place stands in the drawing's key, which is shown beside it.
    pub(crate) fn with_key(self) -> Self {
        Self { has_key: true, ..self }
    }

    /// Whether what finds no place stands in the drawing's key.
    pub(crate) fn has_key(&self) -> bool {
        self.has_key
    }

    /// Where writing may stand that is led to its thing.
    pub(crate) fn field(&self) -> Option<Rect> {
        self.field
    }

    /// Notes places off their things that were tried; whether more may be.
    pub(crate) fn tried(&mut self, places: u32) -> bool {
        self.tries = self.tries.saturating_sub(places);
        self.tries > 0
    }

    /// A point of the plan on paper.
    pub(crate) fn on_paper(&self, p: Point) -> Point {
        (p.to_vec2() / self.scale).to_point()
    }

    /// A point on paper on the plan.
    pub(crate) fn on_plan(&self, p: Point) -> Point {
        (p.to_vec2() * self.scale).to_point()
    }

    /// The upright box that a label covers on paper.
    pub(crate) fn box_of(&self, label: &Label) -> Rect {
        label_extent(label, rough_width(&label.text, label.size)) + label.at.to_vec2() / self.scale
    }

    /// Whether a box is free.
    pub(crate) fn is_free(&self, area: Rect) -> bool {
        self.boxes.near(area).all(|(_, taken)| !overlaps(*taken, area))
    }

    /// Takes a box, free or not.
    pub(crate) fn take(&mut self, area: Rect) {
        self.boxes.add(area, area);
    }

    /// Boxes taken near an area, each perhaps several times.
    pub(crate) fn boxes_near(&self, area: Rect) -> impl Iterator<Item = &Rect> {
        self.boxes.near(area).map(|(_, taken)| taken)
    }

    /// Takes a line of the plan that costs `weight` for each paper mm hidden.
    pub(crate) fn take_line(&mut self, from: Point, to: Point, weight: f64) {
        let line = Line::new(self.on_paper(from), self.on_paper(to));
        self.take_heavy(Heavy { line, weight, is_wall: false });
    }

    fn take_heavy(&mut self, heavy: Heavy) {
        let bounds = Rect::from_points(heavy.line.p0, heavy.line.p1);
        // A slanting line would fill the cells of its whole box: in pieces it takes those that it runs through.
        let pieces = (bounds.width().min(bounds.height()) / 8.0).ceil().clamp(1.0, 500.0) as usize;
        for i in 0..pieces {
            let part = |i: usize| heavy.line.p0.lerp(heavy.line.p1, i as f64 / pieces as f64);
            let line = Line::new(part(i), part(i + 1));
            self.lines.add(Rect::from_points(line.p0, line.p1), Heavy { line, ..heavy });
        }
    }

    /// Takes the lines of what is drawn so far.
    pub(crate) fn take_drawn(&mut self, drawing: &Drawing) {
        for shape in drawing.shapes() {
            let (weight, is_wall) = match shape.role {
                Role::WallBody => (0.8, true),
                Role::MovementJoint => (1.0, false),
                Role::Leaf | Role::Stop => (0.4, false),
                Role::Fixture => (0.15, false),
                _ => continue,
            };
            for segment in shape.path.segments() {
                if let PathSeg::Line(line) = segment {
                    let line = Line::new(self.on_paper(line.p0), self.on_paper(line.p1));
                    self.take_heavy(Heavy { line, weight, is_wall });
                }
            }
        }
    }

    /// The points that a label in its places stands for, on paper: apart from one another, and not too many.
    pub(crate) fn ends_of(&self, places: &[Label]) -> Vec<Point> {
        let mut ends: Vec<Point> = Vec::new();
        for label in places.iter().step_by(places.len().div_ceil(8 * ENDS).max(1)) {
            let at = self.on_paper(label.at);
            if ends.iter().all(|end| (*end - at).hypot2() > 1.0) {
                ends.push(at);
            }
        }
        let step = ends.len().div_ceil(ENDS).max(1);
        ends.into_iter().step_by(step).collect()
    }

    /// Tells what is still to come, so that what comes first leaves it room.
    pub(crate) fn expect(&mut self, wishes: &mut [Wish]) {
        for wish in wishes {
            self.wishes += 1;
            wish.number = self.wishes;
            if self.field.is_none() {
                continue;
            }
            let ends = self.ends_of(&wish.places);
            for at in &ends {
                let weight = EXPECTED / ends.len() as f64;
                self.ends.add(Rect::from_points(*at, *at), End { at: *at, wish: wish.number, weight });
            }
        }
    }

    /// Puts what was wished for.
    pub(crate) fn grant(&mut self, drawing: &mut Drawing, wish: &Wish) -> Option<Label> {
        self.turn = wish.number;
        self.at_home.clone_from(&wish.rooms);
        let placed = self.put(drawing, &wish.places, wish.keep, || wish.name.clone());
        self.turn = 0;
        self.at_home.clear();
        placed
    }

    /// What a box would hide, mm.
    pub(crate) fn hidden_by(&self, area: Rect, is_ring: bool) -> f64 {
        let cost = |(cell, heavy): (Rect, &Heavy)| {
            if is_ring && heavy.is_wall {
                0.0
            } else {
                heavy.weight * length_within(heavy.line, cell.intersect(area))
            }
        };
        let ends = self.ends.near(area).map(|(_, end)| end);
        let ends = ends.filter(|end| end.wish != self.turn && area.contains(end.at));
        self.lines.near(area).map(cost).sum::<f64>() + ends.map(|end| end.weight).sum::<f64>()
    }

    /// What a line to its thing costs for the lines that it crosses, mm.
    pub(crate) fn crossed_by(&self, leader: Line) -> f64 {
        let area = Rect::from_points(leader.p0, leader.p1).inflate(0.01, 0.01);
        let cost = |(cell, heavy): (Rect, &Heavy)| match leader.crossing_point(heavy.line) {
            Some(at) if cell.contains(at) && on(leader, at) && on(heavy.line, at) => heavy.weight.min(2.0),
            _ => 0.0,
        };
        self.lines.near(area).map(cost).sum()
    }

    /// The free place of least cost beside its thing, with its cost.
    pub(crate) fn best_beside<'a>(&self, places: &'a [Label]) -> Option<(f64, &'a Label)> {
        let mut best: Option<(f64, &Label)> = None;
        for (rank, label) in places.iter().enumerate() {
            let rank = (rank as f64 * RANK.0).min(RANK.1);
            if best.is_some_and(|(least, _)| least <= rank) {
                break;
            }
            let area = self.box_of(label);
            if distance(area, self.on_paper(label.at)) > BESIDE || !self.is_free(area) {
                continue;
            }
            let cost =
                rank + self.hidden_by(area, matches!(label.role.plate(), PlateKind::Ring | PlateKind::Disc));
            if best.is_none_or(|(least, _)| cost < least) {
                best = Some((cost, label));
            }
        }
        best
    }

    /// Takes the first place that is free; `None` if none is.
    pub(crate) fn first_free(&mut self, places: impl IntoIterator<Item = Label>) -> Option<Label> {
        let label = places.into_iter().find(|label| self.is_free(self.box_of(label)))?;
        self.take(self.box_of(&label));
        Some(label)
    }

    /// Takes the first place that is free and hides nothing of lines; `None` if none is.
    pub(crate) fn first_unstruck(&mut self, places: impl IntoIterator<Item = Label>) -> Option<Label> {
        let is_unstruck = |label: &Label| {
            let area = self.box_of(label);
            self.is_free(area) && self.hidden_by(area.inflate(CLEAR, CLEAR), false) < 0.05
        };
        let label = places.into_iter().find(is_unstruck)?;
        self.take(self.box_of(&label));
        Some(label)
    }

    /// Takes the first place of a pennant whose cloth and pole are free; `None` if none is.
    pub(crate) fn first_free_pole(&mut self, places: impl IntoIterator<Item = Label>) -> Option<Label> {
        let label = places.into_iter().find(|label| {
            let cloth = self.box_of(label);
            self.is_free(cloth) && self.poles_of(label, cloth).all(|pole| self.is_free(pole))
        })?;
        let cloth = self.box_of(&label);
        let poles: Vec<Rect> = self.poles_of(&label, cloth).collect();
        poles.into_iter().chain([cloth]).for_each(|area| self.take(area));
        Some(label)
    }

    /// Takes the place that covers least of what is written already; of those alike the first.
    pub(crate) fn least_over(&mut self, places: &[Label]) -> Option<Label> {
        let covers = |label: &&Label| {
            let cloth = self.box_of(label);
            self.boxes_near(cloth).map(|taken| cloth.intersect(*taken).area().max(0.0)).sum::<f64>()
        };
        let label = places.iter().min_by(|a, b| covers(a).total_cmp(&covers(b)))?.clone();
        self.take(self.box_of(&label));
        Some(label)
    }

    /// Upright boxes round a pennant's pole, without its foot: one, or of a pole that leans far several that follow it.
    fn poles_of(&self, label: &Label, cloth: Rect) -> impl Iterator<Item = Rect> + use<> {
        let whole = self.pole_of(label, cloth);
        let parts: u32 = if label.shift.x.abs() <= LEANS { 1 } else { 8 };
        // It runs from corner to corner.
        let rises = label.shift.x * label.shift.y > 0.0;
        (0..parts).map(move |i| {
            let at = |i: u32| f64::from(i) / f64::from(parts);
            let (left, right) = (whole.x0 + at(i) * whole.width(), whole.x0 + at(i + 1) * whole.width());
            let (from, to) = if rises { (at(i), at(i + 1)) } else { (1.0 - at(i + 1), 1.0 - at(i)) };
            Rect::new(left, whole.y0 + from * whole.height(), right, whole.y0 + to * whole.height())
        })
    }

    /// Takes the first free place. Where none is free it is the one that covers least; a room's name then stands in its
    /// likeliest, where the figures that it would cover elsewhere stand over it.
    pub(crate) fn first_free_or_least(&mut self, places: &[Label]) -> Option<Label> {
        let free = self.first_free(places.iter().cloned());
        free.or_else(|| match places.first()?.role {
            Role::RoomName => self.least_over(&places[..1]),
            _ => self.least_over(places),
        })
    }

    /// The upright box round a pennant's pole, without its foot.
    fn pole_of(&self, label: &Label, cloth: Rect) -> Rect {
        let foot = label.at.to_vec2() / self.scale;
        let (near, far) =
            if label.shift.y > 0.0 { (1.0, cloth.y0 - foot.y) } else { (cloth.y1 - foot.y, -1.0) };
        let (left, right) = (label.shift.x.min(0.0) - 0.3, label.shift.x.max(0.0) + 0.3);
        Rect::new(left, near.min(far), right, far.max(near)) + foot
    }
}

fn overlaps(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

/// Whether a point of a line's infinite run lies on its stretch.
fn on(line: Line, at: Point) -> bool {
    let along = line.p1 - line.p0;
    (0.0..=along.hypot2()).contains(&(at - line.p0).dot(along))
}

/// The point of a box nearest to another.
pub(crate) fn nearest(area: Rect, to: Point) -> Point {
    Point::new(to.x.clamp(area.x0, area.x1), to.y.clamp(area.y0, area.y1))
}

/// How far a point lies from a box, mm.
fn distance(area: Rect, from: Point) -> f64 {
    libm::sqrt((nearest(area, from) - from).hypot2())
}

/// Shifts of a pennant on its pole, the likeliest first, paper mm.
pub(crate) fn pole_shifts() -> impl Iterator<Item = Vec2> {
    [6.0, 11.0, -6.0, 16.0, -11.0]
        .into_iter()
        .flat_map(|y| [0.0, -5.0, 5.0].into_iter().map(move |x| Vec2::new(x, y)))
}

/// Further ones that lean to the left, for a pennant by the right edge of a view.
pub(crate) fn leaning_pole_shifts() -> impl Iterator<Item = Vec2> {
    [-12.0, -20.0, -28.0, -36.0]
        .into_iter()
        .flat_map(|x| [6.0, 11.0, -6.0, -11.0].into_iter().map(move |y| Vec2::new(x, y)))
}

/// Further ones for a drawing on which nobody can look nearer.
pub(crate) fn long_pole_shifts() -> impl Iterator<Item = Vec2> {
    [21.0, -16.0, 26.0, -21.0, 6.0, -6.0]
        .into_iter()
        .flat_map(|y| [0.0, -10.0, 10.0, -20.0, 20.0].into_iter().map(move |x| Vec2::new(x, y)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_figures_on_one_spot_are_parted() {
        let mut taken = Taken::new(50.0);
        let spots = [0.0, 0.0, 1000.0].map(|x| Label::new(Role::RipFigure, "115", Point::new(x, 0.0)));
        let first = taken.first_free(spots.clone());
        let second = taken.first_free(spots);
        assert_eq!(first.map(|l| l.at.x), Some(0.0));
        assert_eq!(second.map(|l| l.at.x), Some(1000.0));
    }

    /// Where no place is free, the one that covers least of what stands there is taken.
    #[test]
    fn where_nothing_is_free_least_is_covered() {
        let mut taken = Taken::new(1.0);
        let figure = |x: f64| Label::new(Role::RipFigure, "115", Point::new(x, 0.0));
        let beside = taken.box_of(&figure(100.0));
        taken.take(taken.box_of(&figure(0.0)));
        // Of the second place a quarter is free.
        taken.take(Rect::new(beside.x0 + 0.25 * beside.width(), beside.y0, beside.x1, beside.y1));
        assert_eq!(taken.least_over(&[figure(0.0), figure(100.0)]).map(|label| label.at.x), Some(100.0));
        // It is taken now: both cover a whole box or more, and the first covers less.
        assert_eq!(taken.least_over(&[figure(0.0), figure(100.0)]).map(|label| label.at.x), Some(0.0));
    }

    #[test]
    fn writing_stands_beside_a_heavy_line_rather_than_on_it() {
        let mut taken = Taken::with_field(50.0, Rect::new(-50.0, -50.0, 50.0, 50.0));
        taken.take_line(Point::new(-1000.0, 0.0), Point::new(1000.0, 0.0), 3.0);
        // On the line first, then 3 mm of paper over it.
        let places = [0.0, 3.0]
            .map(|y| Label { shift: Vec2::new(0.0, y), ..Label::new(Role::Triangle, "900", Point::ZERO) });
        let (cost, label) = taken.best_beside(&places).expect("a place");
        assert_eq!((label.shift.y, cost), (3.0, RANK.0));
        // A box 10 wide across a line of weight 3 hides 10 mm of it: 30 by hand.
        assert!((taken.hidden_by(Rect::new(0.0, -1.0, 10.0, 1.0), false) - 30.0).abs() < 1e-9);
        // A line square to it crosses it once; one beside it not at all.
        assert_eq!(taken.crossed_by(Line::new((0.0, -5.0), (0.0, 5.0))), 2.0);
        assert_eq!(taken.crossed_by(Line::new((0.0, 1.0), (9.0, 5.0))), 0.0);
    }
}
