//! Rip figures at the edges: one ring for each side of a wall or a fixture.

use crate::geometry::at;
use crate::place::{Keep, Wish};
use crate::rooms::Rooms;
use crate::{Label, Options, Role};
use kurbo::{Point, Vec2};
use pipeline::House;
use plan::{Units, format_length};
use setout::{EdgeRef, GapToLeave, Rip};
use site::{Edge, Source};
use std::collections::BTreeMap;

/// Edges shorter than this get a figure only where their rip is under the least, mm.
const SHORT_EDGE: f64 = 300.0;

/// Rips of one side of a wall or fixture, taken together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RipSide {
    /// Index of the rip of the longest edge.
    pub longest: usize,
    /// Narrowest of them, mm.
    pub least: f64,
    /// Widest of them, mm.
    pub greatest: f64,
    /// Narrowest that is seen, mm: less where boards go under something; more where a whole strip does.
    pub seen: f64,
    /// Length of the edges, mm.
    pub length: f64,
    /// The gap to leave there where it is wider than its least, narrowest and widest, mm.
    pub gap: Option<(f64, f64)>,
}

/// Every side that has a rip, in the plan's order.
pub fn rip_sides(house: &House) -> Vec<RipSide> {
    let rips = &house.setout.chosen.rips;
    let gaps = match rips.iter().any(|rip| rip.play > 0.0) {
        true => house.gaps_to_leave(),
        false => Vec::new(),
    };
    let read = |mm: f64| format_length(mm, house.plan.units);
    let mut sides: BTreeMap<(Source, bool), RipSide> = BTreeMap::new();
    for (i, rip) in rips.iter().enumerate() {
        let above = edge_of(house, rip.edge).is_some_and(Edge::floor_is_above);
        let side = RipSide {
            longest: i,
            least: rip.least,
            greatest: rip.greatest,
            seen: rip.seen,
            length: rip.length,
            gap: gaps
                .iter()
                .find(|gap| (gap.source, gap.kind, gap.floor_is_above) == (rip.source, rip.kind, above))
                .filter(|gap| gap.reads_wider(read))
                .map(GapToLeave::range),
        };
        sides.entry((rip.source, above)).and_modify(|all| merge(all, &side, rips)).or_insert(side);
    }
    sides.into_values().collect()
}

/// One figure for each side that wants a place.
pub(crate) fn wishes(house: &House, options: &Options) -> Vec<Wish> {
    let least_rip = house.setout.least;
    let mut order = rip_sides(house);
    order.retain(|side| side.length >= SHORT_EDGE || side.seen < least_rip);
    // Slivers first, then the longest sides: they get the best places. Where figures are led the shortest come first, for they
    // have the fewest places.
    let rank = if options.leaders { 1.0 } else { -1.0 };
    order.sort_by(|a, b| {
        (a.seen >= least_rip, rank * a.length)
            .partial_cmp(&(b.seen >= least_rip, rank * b.length))
            .unwrap_or(a.longest.cmp(&b.longest))
    });
    let rooms = Rooms::of(&house.plan);
    order.iter().filter_map(|side| wish(house, options, &rooms, side)).collect()
}

fn merge(all: &mut RipSide, one: &RipSide, rips: &[Rip]) {
    let length_of = |i: usize| rips.get(i).map_or(0.0, |rip| rip.length);
    if one.length > length_of(all.longest) {
        all.longest = one.longest;
    }
    all.least = all.least.min(one.least);
    all.greatest = all.greatest.max(one.greatest);
    all.seen = all.seen.min(one.seen);
    all.length += one.length;
    all.gap = all.gap.or(one.gap);
}

fn edge_of(house: &House, edge: EdgeRef) -> Option<&Edge> {
    house.site.fields().get(edge.region)?.rings().nth(edge.ring)?.edges.get(edge.edge)
}

/// Half the height of a ring with room round it, paper mm; and how far off its edge one stands that keeps to its own side.
const RING: f64 = 2.7;
const BESIDE: f64 = 3.5;
/// A line to a ring ends so far within the boards that it belongs to, paper mm.
const WITHIN: f64 = 0.7;

/// Square to an edge, of length 1: the floor lies to the left of its edge.
fn inwards([a, b]: [Point; 2]) -> Vec2 {
    let along = b - a;
    Vec2::new(-along.y, along.x) / libm::sqrt(along.hypot2()).max(1e-9)
}

/// The room of an edge. Boards that stop in a doorway's opening belong to the room from which they reach into it.
fn own_room(rooms: &Rooms, ends: [Point; 2]) -> Option<usize> {
    let middle = ends[0].midpoint(ends[1]);
    [20.0, 250.0, 500.0].into_iter().find_map(|deep| rooms.at(middle + inwards(ends) * deep))
}

/// Where the figure of an edge may stand, the likeliest first. Never in the room behind the wall, whose own figure it would be
/// taken for; astride a wall that has boards on both sides only where its own side is full.
fn places(house: &House, options: &Options, rooms: &Rooms, label: &Label, [a, b]: [Point; 2]) -> Vec<Label> {
    let inwards = inwards([a, b]);
    let own = own_room(rooms, [a, b]);
    let is_boarded = |room: usize| house.plan.rooms.get(room).is_some_and(plan::Room::is_boarded);
    // Another room that a point lies in.
    let other = |p: Point| rooms.at(p).filter(|room| own.is_some_and(|own| own != *room));
    let is_in_room = rooms.at(a.midpoint(b) + inwards * 20.0).is_some();
    let parts_rooms = is_in_room && other(a.midpoint(b) - inwards * (RING * options.scale)).is_some();
    let within = if options.leaders && parts_rooms { WITHIN } else { 0.0 };
    let (mut places, mut astride) = (Vec::new(), Vec::new());
    for depth in [0.0, BESIDE, 4.5, -4.5, 9.0, -9.0] {
        for t in [0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92] {
            let edge: Point = a.lerp(b, t);
            let at = edge + inwards * (within * options.scale);
            let place = Label { at, shift: inwards * (depth - within), ..label.clone() };
            let reach = if depth == 0.0 { -RING } else { depth };
            match other(edge + inwards * (reach * options.scale)) {
                Some(room) if depth == 0.0 && is_boarded(room) => astride.push(place),
                Some(_) if depth != 0.0 => {}
                _ => places.push(place),
            }
        }
    }
    places.extend(astride);
    places
}

fn wish(house: &House, options: &Options, rooms: &Rooms, side: &RipSide) -> Option<Wish> {
    let rip = house.setout.chosen.rips.get(side.longest)?;
    let is_short = side.seen < house.setout.least;
    let role = if is_short { Role::ShortRipFigure } else { Role::RipFigure };
    let mut label = Label::new(role, words(side, house.setout.least, options.units), at(rip.at));
    label.subject = Some(side.longest);
    let (places, own) = match edge_of(house, rip.edge) {
        Some(edge) => {
            let ends = [edge.a, edge.b].map(|uv| at(house.site.frame.plan_from_row(uv)));
            (places(house, options, rooms, &label, ends), own_room(rooms, ends))
        }
        None => (vec![label], None),
    };
    let keep = if is_short { Keep::Always } else { Keep::Led };
    Some(Wish::new(places, keep, rip.source.name(&house.plan)).of_rooms(own))
}

/// A part hidden that is less is not told, mm.
const SEEN: f64 = 0.5;
/// A taper under this is told by its least figure alone, mm: a tape is read no finer on site.
const TAPER: f64 = 2.0;

/// A side's rip, and the gap to leave there where that is not the least. One under the `least` reads as under it, however
/// little, where the side is `short`.
fn words(side: &RipSide, least: f64, units: Units) -> String {
    let limit = (side.seen < least).then_some(least);
    let rip = match side_seen(side, least, units) {
        // In brackets: there is no room for words in a ring.
        Some(seen) => format!("{} ({seen})", side_figure(side, limit, units)),
        None => side_figure(side, limit, units),
    };
    let tenth = |mm: f64| plan::nearest_whole(mm * 10.0) / 10.0;
    match side.gap.map(|(least, greatest)| (tenth(least), tenth(greatest))) {
        Some((least, greatest)) if least == greatest => {
            format!("{rip}, gap {}", format_length(least, units))
        }
        Some((least, greatest)) => {
            format!("{rip}, gap {}–{}", format_length(least, units), format_length(greatest, units))
        }
        None => rip,
    }
}

/// What is seen at a side where that is not its rip and one of the two is under the limit: of the rip the part that nothing
/// hides, or, where all of it is hidden, of the row before. That is what is judged.
pub fn side_seen(side: &RipSide, limit: f64, units: Units) -> Option<String> {
    let is_hidden = side.seen < limit && side.seen < side.least - SEEN;
    let is_wholly = side.least < limit && side.seen > side.least + SEEN;
    let seen = plan::judged(side.seen, limit, plan::tape_step(units));
    let seen = if side.seen < limit { seen } else { plan::nearest_whole(side.seen) };
    (is_hidden || is_wholly).then(|| format_length(seen, units))
}

/// The same without the gap.
pub fn side_figure(side: &RipSide, limit: Option<f64>, units: Units) -> String {
    let least = match limit.filter(|limit| side.least < *limit) {
        Some(limit) => plan::judged(side.least, limit, plan::tape_step(units)),
        None => side.least,
    };
    rip_figure(least, side.greatest.max(least), units)
}

/// A rip's figure: one number, or the least and the greatest where the edge tapers.
pub fn rip_figure(least: f64, greatest: f64, units: Units) -> String {
    let (low, high) = match units {
        Units::Metric => (plan::nearest_whole(least), plan::nearest_whole(greatest)),
        Units::FeetInches => (least, greatest),
    };
    let (from, to) = (format_length(low, units), format_length(high, units));
    // A taper less than a sixteenth of an inch shows in no figure.
    if high - low < TAPER || from == to { from } else { format!("{from}–{to}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rip_under_the_limit_never_reads_as_the_limit() {
        let side = |rip: f64| RipSide {
            longest: 0,
            least: rip,
            greatest: rip,
            seen: rip,
            length: 1000.0,
            gap: None,
        };
        let dark = |rip: f64, limit: f64| words(&side(rip), limit, Units::Metric);
        // Rounded as a tape is read 49.7 would be 50, and 126.9 be 127 beside a limit that is told as 127.
        assert_eq!(
            [dark(49.7, 50.0), dark(126.9, 127.28), dark(25.6, 50.0), dark(33.4, 50.0)],
            ["49", "126", "26", "33"]
        );
        // Of 64 a kick hides 40: 24 are seen, and are under 50. Of 104 it would leave 64, which are not.
        let kick = |least: f64| RipSide { seen: least - 40.0, ..side(least) };
        let told = |least: f64| words(&kick(least), 50.0, Units::Metric);
        assert_eq!(told(64.0), "64 (24)");
        assert_eq!(told(104.0), "104");
        // A strip of 6 that lies wholly under a lining, 12 deep: of the row before, 180.3 wide, 174.3 are seen.
        assert_eq!(words(&RipSide { seen: 174.3, ..side(6.0) }, 50.0, Units::Metric), "6 (174)");
        // One that keeps the limit is rounded.
        assert_eq!(words(&side(126.9), 50.0, Units::Metric), "127");
    }
}
