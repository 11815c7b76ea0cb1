//! Marks of doorways on the floor: how far in the boards stop, and the step to the floor beyond.

use crate::geometry::at;
use crate::place::{Keep, Wish};
use crate::rooms::Rooms;
use crate::{Label, Options, Role};
use fit::DoorwayFit;
use kurbo::{Point, Vec2};
use pipeline::House;
use plan::Side;

/// A room lies beside an opening if it is met so far beyond its face, mm.
const INTO: f64 = 100.0;

/// The marks that want a place: the pull to each stop line, and a stepped plate where floors differ.
pub(crate) fn wishes(house: &House, options: &Options) -> Vec<Wish> {
    let mut wishes = Vec::new();
    let rooms = Rooms::of(&house.plan);
    for found in &house.fit.doorways {
        let Some(door) = house.plan.doorways.get(found.doorway) else { continue };
        let beside = rooms_beside(&rooms, door.throat(&house.plan));
        for stop in &found.stops {
            let text = format!("stop {}", stop.figure(&house.plan));
            let (a, b) = (at(stop.from), at(stop.to));
            let mut label = Label::new(Role::StopFigure, text, a.midpoint(b));
            label.subject = Some(found.doorway);
            // Beside the opening, in the room the pull is read from.
            let places = places(&label, (a, b), stop.boards, options);
            wishes.push(Wish::new(places, Keep::Led, door.name.clone()).of_rooms(beside.clone()));
        }
        let Some(text) = step(house, found, options.flags) else { continue };
        let Some([a, b, c, d]) = door.throat(&house.plan) else { continue };
        let (near, far) = (at(a).midpoint(at(b)), at(c).midpoint(at(d)));
        let mut label = Label::new(Role::StepMark, text, near.midpoint(far));
        label.subject = Some(found.doorway);
        let places = places(&label, (at(a), at(b)), Side::Far, options);
        wishes.push(Wish::new(places, Keep::Led, door.name.clone()).of_rooms(beside));
    }
    wishes
}

/// The rooms on both sides of an opening, as far as there are any.
fn rooms_beside(rooms: &Rooms, throat: Option<[plan::Point; 4]>) -> Vec<usize> {
    let Some([a, b, c, d]) = throat.map(|corners| corners.map(at)) else { return Vec::new() };
    let (near, far) = (a.midpoint(b), c.midpoint(d));
    let out = far - near;
    let out = out / libm::sqrt(out.hypot2()).max(1e-9);
    [near - out * INTO, far + out * INTO].into_iter().filter_map(|p| rooms.at(p)).collect()
}

/// The step's words where there is one: what is flush needs no mark, and where flags show a step too high has its
/// pennant.
fn step(house: &House, found: &DoorwayFit, flags: bool) -> Option<String> {
    let step = found.step?;
    let is_marked = step.rise.abs() > house.plan.rules.levels.flush() && !(flags && step.is_too_high);
    is_marked.then(|| found.step_mark(&house.plan)).flatten()
}

/// Places beside an opening, on the side asked for first, farther and along it after.
fn places(label: &Label, (a, b): (Point, Point), side: Side, options: &Options) -> Vec<Label> {
    let along = b - a;
    let length = libm::sqrt(along.hypot2());
    if length <= 0.0 {
        return vec![label.clone()];
    }
    let along = along / length;
    // From the near room outwards: walls run either way round, so both are tried.
    let out = Vec2::new(along.y, -along.x) * if side == Side::Near { -1.0 } else { 1.0 };
    let reach = length / 2.0 / options.scale;
    let mut all = Vec::new();
    for away in [4.5, 8.0, -4.5, -8.0] {
        for slide in [0.0, 0.6, -0.6, 1.4, -1.4] {
            let slide = along * (slide * reach);
            all.push(match options.leaders {
                // It may be led to any point of the opening.
                true => {
                    Label { at: label.at + slide * (0.6 * options.scale), shift: out * away, ..label.clone() }
                }
                false => Label { shift: out * away + slide, ..label.clone() },
            });
        }
    }
    all
}
