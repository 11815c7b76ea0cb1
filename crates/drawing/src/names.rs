//! Names of rooms and fixtures, and how large rooms are.

use crate::geometry::{at, clearance, closed, contains, room_outline, sides};
use crate::place::{BESIDE, Keep, Taken};
use crate::rooms::Rooms;
use crate::{Drawing, Label, Options, Role, fixtures, rough_width, stages};
use kurbo::{Point, Rect, Vec2};
use order::StageShares;
use pipeline::House;
use plan::{Covering, Units};

/// A room's name is never cut off shorter than this, paper mm: in a small room it stands out of it.
const SHORT_NAME: f64 = 24.0;
/// Where names may be led to their rooms they are cut off past this, paper mm: no trade has a room called so.
const LONG_NAME: f64 = 70.0;
/// A name that has no room is written in so much of its size.
const SMALL_NAME: f64 = 0.78;
/// Size of a room's name for who lives there, paper mm.
const OWNER_NAME: f64 = 4.6;

/// Places the names.
pub(crate) fn place(
    drawing: &mut Drawing,
    house: &House,
    options: &Options,
    shares: &StageShares,
    taken: &mut Taken,
) -> Vec<Label> {
    let mut labels = Vec::new();
    let rooms = Rooms::of(&house.plan);
    // On paper a room is found by its name; a bench is seen.
    let fixtures_first = !options.leaders;
    if fixtures_first {
        labels.extend(fixture_names(drawing, house, options, taken));
    }
    for (i, room) in house.plan.rooms.iter().enumerate() {
        let text = match &room.covering {
            Covering::Boards => room.name.clone(),
            Covering::Other(what) => format!("{} · {what}", room.name),
        };
        let text = match stages::name(house, shares, i) {
            Some(stage) => format!("{text} · {stage}"),
            None => text,
        };
        let mut label = Label::new(Role::RoomName, text, Point::ZERO);
        label.subject = Some(i);
        if options.owner {
            label.size = OWNER_NAME;
        }
        let outline = room_outline(room);
        let bounds = kurbo::Shape::bounding_box(&closed(outline.iter().copied()));
        let whole = label.text.clone();
        let short = if options.leaders { LONG_NAME } else { SHORT_NAME };
        let most = (bounds.width().max(bounds.height()) / options.scale).max(short);
        label.text = shortened(&label.text, label.size, most);
        let standing: Vec<Rect> = standing(&house.plan).collect();
        let half = rough_width(&label.text, label.size) / 2.0 * options.scale;
        let high = label.size * 0.6 * options.scale;
        // A name on a fixture reads as the fixture's.
        let mut spots = name_spots(&outline);
        spots.sort_by_key(|at| {
            let own = Rect::from_center_size(*at, (2.0 * half, 2.0 * high));
            standing.iter().any(|fixture| !fixture.intersect(own).is_zero_area())
        });
        let fits =
            |label: &Label| [-half, half].iter().all(|dx| contains(&outline, label.at + Vec2::new(*dx, 0.0)));
        let spots: Vec<Label> = spots.into_iter().map(|at| Label { at, ..label.clone() }).collect();
        let (roomy, tight): (Vec<Label>, Vec<Label>) = spots.into_iter().partition(fits);
        // In a room too narrow for its name the name stands upright along it.
        let upright = tight.into_iter().map(|label| Label { turn: 90.0, ..label });
        let stands =
            |label: &Label| [-half, half].iter().all(|dy| contains(&outline, label.at + Vec2::new(0.0, *dy)));
        // Where it may be led, a name that stands out of its room is no place for it; rather it is written smaller.
        let (upright, through): (Vec<Label>, Vec<Label>) = upright.partition(stands);
        let mut places: Vec<Label> = roomy.into_iter().chain(upright).collect();
        if !options.leaders {
            // Rings may fill a small room. Its name then stands beside the house, tied to it, and through its walls only
            // where there is no bare table next to it either.
            let small = bounds.width().max(bounds.height()) < SMALL_ROOM * options.scale;
            if small && house.plan.rooms.len() <= FEW_ROOMS {
                places.extend(outside(&rooms, &outline, &label, options));
            }
            places.extend(through);
        }
        if options.leaders {
            let small = places.iter().map(|label| Label { size: SMALL_NAME * label.size, ..label.clone() });
            let small: Vec<Label> = small.collect();
            places.extend(small);
            if room.covering != Covering::Boards {
                // Its tint shows that no boards lie there.
                let bare = places.iter().map(|label| Label { text: room.name.clone(), ..label.clone() });
                let bare: Vec<Label> = bare.collect();
                places.extend(bare);
            }
        }
        if places.is_empty() {
            let middle = name_spots(&outline).into_iter().next().unwrap_or_else(|| bounds.center());
            places.push(Label { at: middle, ..label.clone() });
        }
        if options.owner {
            // A name in the middle of a robe may leave no room at either side for what the robe measures.
            places.sort_by_key(|name| !areas(room, name, options).iter().any(|(is_within, _)| *is_within));
        }
        // A key has room for what the floor cuts off.
        let keys = drawing.key.len();
        let Some(name) = taken.put(drawing, &places, Keep::Always, String::new) else {
            continue;
        };
        if let Some(line) = drawing.key.get_mut(keys) {
            line.text.clone_from(&whole);
        }
        if options.owner {
            labels.extend(
                taken.put(drawing, &area_labels(room, &name, options), Keep::Always, || room.name.clone()),
            );
        }
        labels.push(name);
    }
    if !fixtures_first {
        labels.extend(fixture_names(drawing, house, options, taken));
    }
    labels
}

/// A room no larger than this may be filled by the rings at its walls, paper mm.
const SMALL_ROOM: f64 = 20.0;
/// In a house of more rooms names do not stand outside: there they wait until one is nearer.
const FEW_ROOMS: usize = 40;
/// So far within its room a line to a name outside begins, and so far past that the name begins at the nearest, paper mm.
const WITHIN: f64 = 1.5;
const OUTSIDE: [f64; 3] = [4.0, 8.0, 13.0];

/// A room's name beside the house: on the bare table next to one of its walls, where no other room is.
fn outside(rooms: &Rooms, outline: &[Point], label: &Label, options: &Options) -> Vec<Label> {
    let half = Vec2::new(rough_width(&label.text, label.size) / 2.0, 0.7 * label.size);
    let mut places = Vec::new();
    for away in OUTSIDE {
        for (a, b) in sides(outline) {
            let along = b - a;
            let length = libm::sqrt(along.hypot2());
            if length <= 0.0 {
                continue;
            }
            // A room lies to the left of its walls.
            let out = Vec2::new(along.y, -along.x) / length;
            for t in [0.5, 0.25, 0.75] {
                let at = a.lerp(b, t) - out * (WITHIN * options.scale);
                let off = away.max(BESIDE + 0.1) + out.x.abs() * half.x + out.y.abs() * half.y;
                let middle = at + out * (off * options.scale);
                // Its line runs into no other room; nor do its corners, and what lies between.
                let own = rooms.at(at);
                let is_way_bare = [0.25, 0.5, 0.75].iter().all(|t| {
                    let on_it = rooms.at(at.lerp(middle, *t));
                    on_it.is_none() || on_it == own
                });
                let is_bare = [-1.0, -0.5, 0.0, 0.5, 1.0].iter().all(|x| {
                    [-1.0, 1.0].iter().all(|y| {
                        let spot = middle + Vec2::new(x * half.x, y * half.y) * options.scale;
                        rooms.at(spot).is_none()
                    })
                });
                if is_bare && is_way_bare {
                    places.push(Label { at, shift: out * off, ..label.clone() });
                }
            }
        }
    }
    places
}

/// Names of the fixtures on which they fit, and of what lies under the boards.
fn fixture_names(drawing: &mut Drawing, house: &House, options: &Options, taken: &mut Taken) -> Vec<Label> {
    let mut labels = Vec::new();
    for (i, fixture) in house.plan.fixtures.iter().enumerate() {
        let Some((centre, width, height)) = fixtures::middle(&house.plan, i) else { continue };
        let mut label = Label::new(Role::FixtureName, fixture.name.clone(), centre);
        let own = rough_width(&label.text, label.size) + 1.0;
        if own * options.scale > width && own * options.scale <= height {
            label.turn = 90.0;
        }
        let fits =
            own * options.scale <= width.max(height) && label.size * options.scale <= width.min(height);
        if fixture.kind.is_under_boards() && options.owner {
            continue;
        }
        if fits || fixture.kind.is_under_boards() {
            let slide = |t: f64| match label.turn == 0.0 {
                true => Vec2::new(0.0, t * (height / 2.0 - 0.7 * label.size * options.scale).max(0.0)),
                false => Vec2::new(t * (width / 2.0 - 0.7 * label.size * options.scale).max(0.0), 0.0),
            };
            let slides: &[f64] = if options.leaders { &[0.0, 0.5, -0.5, 1.0, -1.0] } else { &[0.0] };
            let places: Vec<Label> =
                slides.iter().map(|t| Label { at: centre + slide(*t), ..label.clone() }).collect();
            labels.extend(taken.put(drawing, &places, Keep::IfFree, String::new));
        }
    }
    labels
}

/// Writing, cut off with an ellipsis where it is wider than `most` paper mm.
fn shortened(text: &str, size: f64, most: f64) -> String {
    if rough_width(text, size) <= most {
        return text.to_owned();
    }
    let mut kept = String::new();
    for letter in text.chars() {
        kept.push(letter);
        if rough_width(&kept, size) + size > most {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}

/// How large a room is: under its name, over it, or in a room as shallow as a robe beside it.
fn area_labels(room: &plan::Room, name: &Label, options: &Options) -> Vec<Label> {
    let (within, out): (Vec<_>, Vec<_>) =
        areas(room, name, options).into_iter().partition(|(is_within, _)| *is_within);
    let of = |all: Vec<(bool, Label)>| all.into_iter().map(|(_, label)| label);
    if within.is_empty() { of(out).take(2).collect() } else { of(within).collect() }
}

/// Under a name, over it, and at either side of it: each with whether it stands within the room there.
fn areas(room: &plan::Room, name: &Label, options: &Options) -> [(bool, Label); 4] {
    let text = match options.units {
        Units::Metric => format!("{:.1} m²", room.area() / 1e6),
        // A foot is 304.8 mm.
        Units::FeetInches => format!("{:.0} sq ft", room.area() / (304.8 * 304.8)),
    };
    let radians = name.turn.to_radians();
    let along = Vec2::new(libm::cos(radians), libm::sin(radians));
    let up = Vec2::new(-along.y, along.x);
    let size = 0.8 * name.size;
    let half = rough_width(&text, size) / 2.0;
    let beside = rough_width(&name.text, name.size) / 2.0 + half + 0.6 * name.size;
    let places = [up * (-1.15 * name.size), up * (1.15 * name.size), along * beside, along * -beside];
    let outline = room_outline(room);
    let is_within = |shift: &Vec2| {
        let corners = [(1.0, 0.6), (1.0, -0.6), (-1.0, 0.6), (-1.0, -0.6)];
        corners.iter().all(|(x, y)| {
            let corner = name.shift + *shift + along * (x * half) + up * (y * size);
            contains(&outline, name.at + corner * options.scale)
        })
    };
    let label = |shift: &Vec2| {
        let own = Label::new(Role::RoomArea, text.clone(), name.at);
        Label { turn: name.turn, shift: name.shift + *shift, size, ..own }
    };
    places.map(|shift| (is_within(&shift), label(&shift)))
}

/// Boxes round the fixtures that stand on the floor.
fn standing(plan: &plan::Plan) -> impl Iterator<Item = Rect> {
    let on_floor = plan.fixtures.iter().filter(|fixture| !fixture.kind.is_under_boards());
    on_floor
        .map(|fixture| closed(fixture.outline.iter().map(|p| at(*p))))
        .filter(|path| !path.is_empty())
        .map(|path| kurbo::Shape::bounding_box(&path))
}

/// Points inside a room for its name: the middle of the widest open floor first.
fn name_spots(outline: &[Point]) -> Vec<Point> {
    let path = closed(outline.iter().copied());
    if path.is_empty() {
        return Vec::new();
    }
    let bounds = kurbo::Shape::bounding_box(&path);
    let steps = 17;
    let mut spots: Vec<(f64, Point)> = Vec::new();
    for i in 1..steps {
        for j in 1..steps {
            let (tx, ty) = (f64::from(i) / f64::from(steps), f64::from(j) / f64::from(steps));
            let p = Point::new(bounds.x0 + tx * bounds.width(), bounds.y0 + ty * bounds.height());
            if contains(outline, p) {
                let off = libm::sqrt((p - bounds.center()).hypot2());
                spots.push((clearance(outline, p) - 0.35 * off, p));
            }
        }
    }
    spots.sort_by(|a, b| b.0.total_cmp(&a.0));
    spots.into_iter().map(|(_, p)| p).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A robe 600 deep on a page at 1:64 is 9 mm high, its name 5: what it measures has no room above or below that, and stands
    /// beside it; in one 2400 long, as of 37 mm, only because its name stands off the middle.
    #[test]
    fn the_size_of_a_shallow_room_stands_in_it() {
        [3600.0, 2400.0].into_iter().for_each(the_size_stands_in_a_robe);
    }

    fn the_size_stands_in_a_robe(long: f64) {
        let mut plan = plan::Plan::new("t");
        let corners = |low: f64, high: f64| {
            [(0.0, low), (long, low), (long, high), (0.0, high)].map(|(x, y)| plan::Point::new(x, y))
        };
        plan.rooms.push(plan::Room::boarded("Bed", corners(0.0, 3000.0)));
        plan.rooms.push(plan::Room::boarded("Robe 1", corners(3092.0, 3692.0)));
        let house = pipeline::run(&plan).expect("a house");
        let options = Options::owner(64.0, plan.units);
        let drawing = crate::floor_drawing(&house, &options);
        let taken = Taken::new(options.scale);
        let sizes: Vec<Rect> = drawing
            .items
            .iter()
            .filter_map(|item| match item {
                crate::Item::Label(label) if label.role == Role::RoomArea => Some(taken.box_of(label)),
                _ => None,
            })
            .collect();
        // On paper y runs down.
        let y = |mm: f64| taken.on_paper(Point::new(0.0, mm)).y;
        for (low, high) in [(0.0, 3000.0), (3092.0, 3692.0)] {
            let (low, high) = (y(low).min(y(high)), y(low).max(y(high)));
            let within = sizes.iter().filter(|size| low <= size.y0 && size.y1 <= high).count();
            assert_eq!(within, 1, "{sizes:?} from {low} to {high}");
        }
    }

    /// A cupboard of 900 × 700 beside a room on a screen: its own two rings fill it. Its name stands on the bare table, under
    /// no ring, in no other room, and tied to the cupboard.
    #[test]
    fn the_name_of_a_cupboard_stands_under_no_ring() {
        let mut plan = plan::Plan::new("t");
        let corners = |x0: f64, x1: f64, y1: f64| {
            [(x0, 0.0), (x1, 0.0), (x1, y1), (x0, y1)].map(|(x, y)| plan::Point::new(x, y))
        };
        plan.rooms.push(plan::Room::boarded("Bed", corners(0.0, 3600.0, 3000.0)));
        plan.rooms.push(plan::Room::boarded("Linen", corners(3692.0, 4592.0, 700.0)));
        let house = pipeline::run(&plan).expect("a house");
        for scale in [95.0, 110.0] {
            let drawing = crate::floor_drawing(&house, &Options::all(scale, plan.units));
            let taken = Taken::new(scale);
            let is_ring = |label: &&Label| matches!(label.role, Role::RipFigure | Role::ShortRipFigure);
            let rings: Vec<Rect> =
                drawing.labels().filter(is_ring).map(|label| taken.box_of(label)).collect();
            let name = drawing.labels().find(|label| label.text == "Linen").expect("its name");
            let area = taken.box_of(name);
            assert!(rings.iter().all(|ring| ring.intersect(area).is_zero_area()), "1:{scale}: {area:?}");
            let bed = Rect::new(0.0, 0.0, 3600.0 / scale, 3000.0 / scale);
            assert!(bed.intersect(area).is_zero_area(), "1:{scale}: {area:?}");
            let cupboard = Rect::new(3692.0, 0.0, 4592.0, 700.0);
            assert!(cupboard.contains(name.at), "1:{scale}: it is told from the cupboard: {:?}", name.at);
        }
    }
}
