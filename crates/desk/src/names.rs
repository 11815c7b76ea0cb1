//! Things of the plan in words, and figures in the plan's units.

use plan::{
    Corners, Covering, FixtureKind, Lock, Pattern, Place, Plan, Sight, Units, WallFace, format_length,
};
use setout::{Candidate, EdgeRef};

/// A length with its unit where that is not plain from the figure itself.
pub(crate) fn length(mm: f64, units: Units) -> String {
    format_length(mm, units)
}

/// A length as a tape reads it.
pub(crate) fn tape(mm: f64, units: Units) -> String {
    plan::format_tape(mm, units)
}

/// A price with its currency, where the plan names one; whole amounts without decimals.
pub(crate) fn money(price: f64, currency: &str) -> String {
    let text = plan::format_money(price);
    format!("{currency} {}", text.strip_suffix(".00").unwrap_or(&text)).trim_start().to_owned()
}

/// An area from mm²: m² to a tenth, or whole square feet.
pub(crate) fn area(mm2: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{:.1} m²", mm2 / 1e6),
        // A foot is 304.8 mm exactly.
        Units::FeetInches => format!("{:.0} ft²", mm2 / (304.8 * 304.8)),
    }
}

/// A number with its thousands apart, as lengths have them.
pub(crate) fn figure(number: u64) -> String {
    format_length(number as f64, Units::Metric)
}

/// `1 flag`, `2 flags`.
pub(crate) fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// A wall in words.
pub(crate) fn wall(plan: &Plan, room: usize, wall: usize) -> String {
    let name = plan.rooms.get(room).map_or("room", |room| room.name.as_str());
    format!("{name}, wall {}", wall + 1)
}

/// Things by name where there is one, by number and kind where there are more: `2 rooms, 1 doorway`.
pub(crate) fn things(plan: &Plan, places: &[Place]) -> String {
    if let [one] = places {
        return one.name(plan);
    }
    let of = |is: fn(&Place) -> bool| places.iter().filter(|place| is(place)).count();
    let kinds = [
        (of(|place| matches!(place, Place::Room(_))), "room", "rooms"),
        (of(|place| matches!(place, Place::Doorway(_))), "doorway", "doorways"),
        (of(|place| matches!(place, Place::Fixture(_))), "fixture", "fixtures"),
        (of(|place| matches!(place, Place::Joint(_))), "movement joint", "movement joints"),
        (of(|place| matches!(place, Place::Dimension(_))), "dimension", "dimensions"),
    ];
    let words = kinds.into_iter().filter(|kind| kind.0 > 0).map(|(n, one, many)| count(n, one, many));
    words.collect::<Vec<_>>().join(", ")
}

/// The edges that hold a line's narrowest rip, in words, each thing once.
pub(crate) fn binding(plan: &Plan, line: &Candidate) -> String {
    let mut names: Vec<String> = Vec::new();
    for edge in &line.binding {
        if let Some(name) = edge_name(plan, line, *edge)
            && !names.contains(&name)
        {
            names.push(name);
        }
    }
    match names.len() {
        0..=2 => names.join(" and "),
        more => format!("{}, {} and {} more", names[0], names[1], more - 2),
    }
}

fn edge_name(plan: &Plan, line: &Candidate, edge: EdgeRef) -> Option<String> {
    line.rips.iter().find(|rip| rip.edge == edge).map(|rip| rip.source.name(plan))
}

/// The word for a fixture's kind.
pub(crate) fn fixture_kind(kind: FixtureKind) -> &'static str {
    match kind {
        FixtureKind::Island => "island or cabinet",
        FixtureKind::Kick { .. } => "cabinet on a kick",
        FixtureKind::Column => "column",
        FixtureKind::Hearth => "hearth",
        FixtureKind::TileArea { .. } => "tile area",
        FixtureKind::Rebate { .. } => "rebate",
        FixtureKind::LowSpot { .. } => "low spot",
        FixtureKind::Vent => "vent",
        FixtureKind::Stair { .. } => "stair",
    }
}

/// The word for a lock.
pub(crate) fn lock(lock: Lock) -> &'static str {
    match lock {
        Lock::FoldDown => "fold-down lock",
        Lock::Angle => "angle lock",
        Lock::TongueAndGroove => "tongue and groove",
    }
}

/// The word for a wall's face.
pub(crate) fn face(face: WallFace) -> &'static str {
    match face {
        WallFace::Plain => "wall",
        WallFace::Glazing => "glazing",
        WallFace::Cabinets => "cabinets",
    }
}

/// The words for how much a room is seen.
pub(crate) fn sight(sight: Sight) -> &'static str {
    match sight {
        Sight::Open => "lived in",
        Sight::Passing => "seen in passing",
        Sight::Closed => "behind shut doors",
    }
}

/// The words for a pattern.
pub(crate) fn pattern(pattern: Pattern) -> &'static str {
    match pattern {
        Pattern::Irregular => "rows, joints irregular",
        Pattern::Half => "rows, half bond",
        Pattern::Third => "rows, third bond",
        Pattern::Herringbone { abreast: 1, .. } => "herringbone",
        Pattern::Herringbone { .. } => "double herringbone",
        Pattern::Chevron { .. } => "chevron",
    }
}

/// The word for how border boards meet.
pub(crate) fn corners(corners: Corners) -> &'static str {
    match corners {
        Corners::Mitred => "mitred",
        Corners::Butted => "butted",
    }
}

/// The word for a covering.
pub(crate) fn covering(covering: &Covering) -> &str {
    match covering {
        Covering::Boards => "boards",
        Covering::Other(other) => other,
    }
}
