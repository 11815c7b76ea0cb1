//! Numbers that are none, absurd sizes and counts beyond what a house has.

use super::{Checker, Place};
use crate::{
    Arris, Climate, Construction, DimensionEnd, FixtureKind, GapRange, KindGaps, Laid, Pattern, Plan,
    Skirting, StartLine, Surface,
};

/// What numbers are called that are neither lengths nor directions, or begin with.
const NO_LENGTHS: [&str; 16] = [
    "pack price",
    "figure",
    "hours",
    "reading",
    "humidity",
    "carbide",
    "age",
    "acclimatise",
    "temperature",
    "moisture",
    "share held back",
    "movement",
    "mitre",
    "scale",
    "turn",
    "fading",
];

/// Nothing in a house is a kilometre away, mm.
const FARTHEST: f64 = 1_000_000.0;
const MOST_THINGS: usize = 2_000;
const MOST_WALLS: usize = 2_000;
const MOST_BOWS: usize = 500;
const MOST_CORNERS: usize = 2_000;
const MOST_LENGTHS: usize = 100;
/// As many boards as a floor may take.
const MOST_LAID: usize = 300_000;
/// Corners and bow offsets of all outlines together: keeps validation within a second or so whatever a file holds.
const MOST_POINTS: usize = 50_000;

pub(super) fn check(checker: &mut Checker<'_>) {
    let plan = checker.plan;
    counts(checker);
    if !checker.found.is_empty() {
        return;
    }
    numbers(plan, &mut |place, what, value| {
        if checker.is_full() {
            return;
        }
        let is_angle = what.starts_with("direction");
        let is_length = !is_angle && !NO_LENGTHS.iter().any(|word| what.starts_with(word));
        if !value.is_finite() {
            let number = match (is_angle, is_length) {
                (true, _) => "angle",
                (false, true) => "length",
                (false, false) => "number",
            };
            let what = format!("its {what} is {value}, which is no {number}");
            checker.add(place(), what, "type the number again");
        } else if is_angle && value.abs() > FARTHEST {
            checker.add(place(), format!("its {what} is {value:e}°"), "type degrees, such as 45 or -90");
        } else if !is_length && value.abs() > FARTHEST {
            checker.add(
                place(),
                format!("its {what} is {value:e}, more than a million"),
                "type a number that is nearer to nothing",
            );
        } else if value.abs() > FARTHEST {
            checker.add(
                place(),
                format!("its {what} is {value:e}, more than a kilometre in millimetres"),
                "type it in millimetres, and draw near the origin",
            );
        }
    });
}

fn counts(checker: &mut Checker<'_>) {
    let plan = checker.plan;
    let mut most = |place: Place, what: &str, count: usize, most: usize| {
        if count > most && !checker.is_full() {
            checker.add(
                place,
                format!("there are {count} {what}, more than {most}"),
                "split the plan into several, or take out what is not needed",
            );
        }
    };
    most(Place::Plan("rooms"), "rooms", plan.rooms.len(), MOST_THINGS);
    most(Place::Plan("doorways"), "doorways", plan.doorways.len(), MOST_THINGS);
    most(Place::Plan("fixtures"), "fixtures", plan.fixtures.len(), MOST_THINGS);
    most(Place::Plan("joints"), "movement joints", plan.joints.len(), MOST_THINGS);
    most(Place::Plan("dimensions"), "dimensions", plan.dimensions.len(), MOST_THINGS);
    most(Place::Plan("pinned"), "pins", plan.pinned.len(), 4 * MOST_THINGS);
    most(Place::Plan("own_lines"), "lines of their own", plan.own_lines.len(), MOST_THINGS);
    most(Place::Plan("stages"), "stages", plan.stages.len(), MOST_THINGS);
    for (i, stage) in plan.stages.iter().enumerate() {
        most(Place::Stage(i), "rooms", stage.rooms.len(), MOST_THINGS);
    }
    if let Some(slab) = &plan.slab {
        most(Place::Slab("dryness"), "readings", slab.dryness.len(), MOST_THINGS);
        most(Place::Slab("flatness"), "readings", slab.flatness.len(), MOST_THINGS);
        most(Place::Slab("signed"), "signatures", slab.signed.len(), MOST_THINGS);
    }
    most(Place::Stock("lengths"), "lengths", plan.stock.lengths.len(), MOST_LENGTHS);
    if let Some(laid) = &plan.laid {
        most(Place::Plan("laid"), "laid parts", laid.parts.len(), MOST_THINGS);
        most(Place::Plan("laid"), "laid boards", laid.boards.len(), MOST_LAID);
        most(Place::Plan("laid"), "boards opened", laid.stock.len(), MOST_LAID);
        for part in &laid.parts {
            most(Place::Plan("laid"), "rows measured", part.pulls.len() + part.as_marked.len(), MOST_BOWS);
        }
        let corners =
            |board: &crate::LaidBoard| board.outline.len() + board.holes.iter().map(Vec::len).sum::<usize>();
        for board in &laid.boards {
            most(Place::Plan("laid"), "corners of a laid board", corners(board), MOST_CORNERS);
        }
    }
    let mut points = 0;
    for (i, room) in plan.rooms.iter().enumerate() {
        most(Place::Room(i), "walls", room.walls.len(), MOST_WALLS);
        most(Place::Room(i), "taped lengths", room.tape.len(), MOST_BOWS);
        for (j, wall) in room.walls.iter().enumerate() {
            most(Place::Wall(i, j), "bow offsets", wall.bow.len(), MOST_BOWS);
            points += 1 + wall.bow.len();
        }
    }
    for (i, fixture) in plan.fixtures.iter().enumerate() {
        most(Place::Fixture(i), "corners", fixture.outline.len(), MOST_CORNERS);
        points += fixture.outline.len();
    }
    most(Place::Plan("rooms"), "corners and bow offsets in all", points, MOST_POINTS);
}

/// Takes a number with its place and what it is.
pub(super) type See<'a> = &'a mut dyn FnMut(&dyn Fn() -> Place, &str, f64);

/// Hands over every number of the plan with its place and what it is.
fn numbers(plan: &Plan, see: See<'_>) {
    see(&|| Place::Plan("rows_at"), "direction of the rows", plan.rows_at);
    if let StartLine::At(offset) = plan.start_line {
        see(&|| Place::Plan("start_line"), "start line", offset);
    }
    for own in &plan.own_lines {
        if let StartLine::At(offset) = own.line {
            see(&|| Place::Plan("own_lines"), "start line", offset);
        }
    }
    match plan.pattern {
        Pattern::Irregular | Pattern::Half | Pattern::Third => {}
        Pattern::Herringbone { block, .. } => see(&|| Place::Plan("pattern"), "block", block),
        Pattern::Chevron { block, mitre } => {
            see(&|| Place::Plan("pattern"), "block", block);
            see(&|| Place::Plan("pattern"), "mitre", mitre);
        }
    }
    if let Some(picture) = &plan.backdrop {
        for (what, value) in [
            ("x", picture.at.x),
            ("y", picture.at.y),
            ("scale", picture.scale),
            ("turn", picture.turn),
            ("fading", picture.dim),
        ] {
            see(&|| Place::Plan("backdrop"), what, value);
        }
    }
    if let Some(angle) = plan.light_from {
        see(&|| Place::Plan("light_from"), "direction of the light", angle);
    }
    if let Some(random) = plan.stock.random {
        see(&|| Place::Stock("random"), "shortest board", random.shortest);
        see(&|| Place::Stock("random"), "longest board", random.longest);
    }
    let stock = &plan.stock;
    let stock_numbers = [
        ("thickness", stock.thickness),
        ("wear_layer", stock.wear_layer.unwrap_or(0.0)),
        ("bed", stock.bed.unwrap_or(0.0)),
        ("face_width", stock.face_width),
        ("ten_boards", stock.ten_boards.unwrap_or(0.0)),
        ("tongue", stock.tongue),
        ("kerf", stock.kerf),
        ("pack_price", stock.pack_price.unwrap_or(0.0)),
    ];
    for (field, value) in stock_numbers {
        see(&|| Place::Stock(field), &field.replace('_', " "), value);
    }
    for length in &stock.lengths {
        see(&|| Place::Stock("lengths"), "board length", length.length);
    }
    if let Some(wood) = stock.wood {
        see(&|| Place::Stock("wood"), "share held back", wood.held_back);
        if let Construction::Stated(percent) = wood.construction {
            see(&|| Place::Stock("wood"), "movement", percent);
        }
    }
    let rules = &plan.rules;
    let rule_numbers = [
        ("wall_gap", rules.wall_gap.least),
        ("wall_gap", rules.wall_gap.greatest),
        ("tile_end_gap", rules.tile_end_gap),
        ("least_rip", rules.least_rip),
        ("least_end", rules.least_end),
        ("least_stagger", rules.least_stagger),
        ("in_line", rules.in_line),
        ("least_leg", rules.least_leg),
        ("greatest_width", rules.greatest_width),
        ("greatest_length", rules.greatest_length),
        ("line_tolerance", rules.line_tolerance),
        ("travel", rules.travel.unwrap_or(0.0)),
        ("tilt_room", rules.tilt_room.unwrap_or(0.0)),
        ("slide_room", rules.slide_room.unwrap_or(0.0)),
    ];
    for (field, value) in rule_numbers {
        see(&|| Place::Rules(field), &field.replace('_', " "), value);
    }
    super::slab::numbers(plan, see);
    super::materials::numbers(plan, see);
    super::stages::numbers(plan, see);
    super::tape::numbers(plan, see);
    if let Some(laid) = &plan.laid {
        see_laid(laid, see);
    }
    for (field, climate) in plan.air.iter().flat_map(crate::Seasons::each) {
        let place = || Place::Plan("air");
        match climate {
            Climate::Air { degrees, humidity } => {
                see(&place, &format!("temperature, {field},"), degrees);
                see(&place, &format!("humidity, {field},"), humidity);
            }
            Climate::Moisture(percent) => see(&place, &format!("moisture, {field},"), percent),
        }
    }
    for ((_, what), gap) in KindGaps::FIELDS.iter().zip(rules.gaps.all()) {
        let Some(gap) = gap else { continue };
        see(&|| Place::Rules("gaps"), &format!("least {what}"), gap.least);
        see(&|| Place::Rules("gaps"), &format!("greatest {what}"), gap.greatest);
    }
    see(&|| Place::Rules("cover"), "skirting", rules.cover.skirting.unwrap_or(0.0));
    see(&|| Place::Rules("cover"), "architrave", rules.cover.architrave.unwrap_or(0.0));
    see(&|| Place::Rules("cover"), "least cover", rules.cover.least());
    see(&|| Place::Rules("cover"), "tolerance", rules.cover.tolerance());
    for (field, value) in rules.levels.all() {
        see(&|| Place::Rules("levels"), field, value);
    }
    for (i, room) in plan.rooms.iter().enumerate() {
        see(&|| Place::Room(i), "slab level", room.slab_level);
        see_surface(room.surface, &|| Place::Room(i), see);
        for (j, wall) in room.walls.iter().enumerate() {
            let place = || Place::Wall(i, j);
            see(&place, "corner's x", wall.corner.x);
            see(&place, "corner's y", wall.corner.y);
            see_gap(wall.gap, &place, see);
            if let Some(Skirting::Thick(thickness)) = wall.skirting {
                see(&place, "skirting", thickness);
            }
            for bow in &wall.bow {
                see(&place, "bow offset's distance along", bow.along);
                see(&place, "bow offset", bow.back);
            }
        }
    }
    for (i, doorway) in plan.doorways.iter().enumerate() {
        let place = || Place::Doorway(i);
        see(&place, "distance from the corner", doorway.at);
        see(&place, "width", doorway.width);
        see(&place, "rough width", doorway.rough_width.unwrap_or(0.0));
        see(&place, "wall thickness", doorway.wall_thickness);
        see(&place, "leaf thickness", doorway.leaf.map_or(0.0, |leaf| leaf.thickness));
        see(
            &place,
            "leaf's height above the slab",
            doorway.leaf.and_then(|leaf| leaf.above_slab).unwrap_or(0.0),
        );
        see(&place, "tuck under the lining", doorway.under_lining.unwrap_or(0.0));
        see(&place, "place where boards stop", doorway.stop.unwrap_or(0.0));
        see(&place, "arris", doorway.arris.map_or(0.0, Arris::depth));
        see_surface(doorway.outside, &place, see);
        if let crate::Beyond::Trim(width) = doorway.beyond {
            see(&place, "trim width", width);
        }
    }
    for (i, fixture) in plan.fixtures.iter().enumerate() {
        let place = || Place::Fixture(i);
        match fixture.kind {
            FixtureKind::Kick { clearance, tuck } => {
                see(&place, "kick clearance", clearance);
                see(&place, "tuck", tuck);
            }
            FixtureKind::TileArea { trim } => see(&place, "trim width", trim),
            FixtureKind::Rebate { depth } | FixtureKind::LowSpot { depth } => see(&place, "depth", depth),
            FixtureKind::Stair { nosing } => see(&place, "nosing", nosing),
            FixtureKind::Island | FixtureKind::Column | FixtureKind::Hearth | FixtureKind::Vent => {}
        }
        see_gap(fixture.gap, &place, see);
        see(&place, "cover", fixture.cover.unwrap_or(0.0));
        if let Some(appliance) = fixture.appliance {
            see(&place, "appliance's height", appliance.height);
            see(&place, "appliance's opening", appliance.opening);
        }
        for (n, point) in fixture.outline.iter().enumerate() {
            see(&place, &format!("corner {}'s x", n + 1), point.x);
            see(&place, &format!("corner {}'s y", n + 1), point.y);
        }
    }
    for (i, joint) in plan.joints.iter().enumerate() {
        let place = || Place::Joint(i);
        for (what, value) in [
            ("start's x", joint.from.x),
            ("start's y", joint.from.y),
            ("end's x", joint.to.x),
            ("end's y", joint.to.y),
            ("width", joint.width),
        ] {
            see(&place, what, value);
        }
    }
    for (i, dimension) in plan.dimensions.iter().enumerate() {
        let place = || Place::Dimension(i);
        see(&place, "distance beside its ends", dimension.beside);
        for end in [&dimension.from, &dimension.to] {
            match end {
                DimensionEnd::Point(point) => {
                    see(&place, "end's x", point.x);
                    see(&place, "end's y", point.y);
                }
                DimensionEnd::Wall { at, .. } | DimensionEnd::FixtureSide { at, .. } => {
                    see(&place, "end's place on its wall", *at);
                }
                _ => {}
            }
        }
    }
}

fn see_surface(surface: Option<Surface>, place: &dyn Fn() -> Place, see: See<'_>) {
    if let Some(surface) = surface {
        see(place, "floor's height", surface.height);
    }
}

fn see_laid(laid: &Laid, see: See<'_>) {
    let place = || Place::Plan("laid");
    see(&place, "laid rows' direction", laid.rows_at);
    see(&place, "laid rows' pitch", laid.pitch);
    for part in &laid.parts {
        see(&place, "laid part's start line", part.line);
        for pull in part.pulls.iter().chain(&part.as_marked) {
            see(&place, "width of the rows measured", pull.across);
        }
    }
    for stock in &laid.stock {
        see(&place, "opened board's length", stock.length);
        let (from, to) = stock.rest.unwrap_or_default();
        see(&place, "offcut's beginning", from);
        see(&place, "offcut's end", to);
        let (left, right) = stock.rest_shifts.unwrap_or_default();
        see(&place, "slant of an offcut's left side", left);
        see(&place, "slant of an offcut's right side", right);
    }
    for board in &laid.boards {
        let corners = board.outline.iter().chain(board.holes.iter().flatten()).flat_map(|(u, v)| [*u, *v]);
        let sides = [board.low, board.high, board.at].into_iter().flatten();
        let own = [board.left, board.right, board.from, board.to, board.shifts.0, board.shifts.1];
        for number in own.into_iter().chain(sides).chain(corners) {
            see(&place, "laid board's measure", number);
        }
    }
}

fn see_gap(gap: Option<GapRange>, place: &dyn Fn() -> Place, see: See<'_>) {
    if let Some(gap) = gap {
        see(place, "least gap", gap.least);
        see(place, "greatest gap", gap.greatest);
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::expect;
    use super::*;
    use crate::{Beyond, Bow, Fixture, Point, Wall};

    fn fixture(kind: FixtureKind) -> Fixture {
        let outline = [(500.0, 500.0), (900.0, 500.0), (900.0, 900.0)].map(Point::from);
        Fixture::plain("Thing", kind, outline.into())
    }

    fn plan_leaf(above_slab: f64) -> Option<crate::Leaf> {
        Some(crate::Leaf { above_slab: Some(above_slab), ..crate::Leaf::swinging(crate::Side::Near, 40.0) })
    }

    #[test]
    fn what_is_no_number_is_named() {
        expect(|plan| plan.rooms[1].walls[2].corner.y = f64::NAN, "Right, wall 3", "corner's y is NaN");
        expect(|plan| plan.rooms[0].walls[0].corner.x = f64::INFINITY, "Left, wall 1", "corner's x is inf");
        expect(|plan| plan.rows_at = f64::NAN, "plan, rows at", "direction");
        expect(|plan| plan.start_line = StartLine::At(f64::NAN), "plan, start line", "NaN");
        expect(|plan| plan.stock.ten_boards = Some(f64::NAN), "stock, ten boards", "NaN");
        expect(|plan| plan.stock.lengths[1].length = f64::NAN, "stock, lengths", "board length");
        expect(|plan| plan.rules.in_line = f64::NEG_INFINITY, "rules, in line", "-inf");
        expect(|plan| plan.doorways[0].at = f64::NAN, "Door", "distance from the corner");
        expect(|plan| plan.doorways[0].beyond = Beyond::Trim(f64::NAN), "Door", "trim width");
        let bow = Bow { along: 10.0, back: f64::NAN };
        expect(|plan| plan.rooms[0].walls[3].bow.push(bow), "Left, wall 4", "bow offset");
        let gap = Some(GapRange { least: f64::NAN, greatest: 1.0 });
        expect(|plan| plan.rooms[0].walls[3].gap = gap, "Left, wall 4", "least gap");
        let kick = FixtureKind::Kick { clearance: f64::NAN, tuck: 10.0 };
        expect(|plan| plan.fixtures.push(fixture(kick)), "Thing", "kick clearance");
        expect(|plan| plan.stock.wear_layer = Some(f64::NAN), "stock, wear layer", "NaN");
        expect(|plan| plan.stock.bed = Some(f64::NAN), "stock, bed", "NaN");
        expect(|plan| plan.rules.gaps.columns = gap, "rules, gaps", "least gap at columns is NaN");
        expect(|plan| plan.rules.cover.least = Some(f64::NAN), "rules, cover", "least cover is NaN");
        expect(|plan| plan.rules.levels.leaf = Some(f64::NAN), "rules, levels", "leaf is NaN");
        expect(|plan| plan.rooms[0].slab_level = f64::NAN, "Left", "slab level is NaN");
        let surface = Some(Surface { kind: crate::SurfaceKind::Tile, height: f64::NAN });
        expect(|plan| plan.rooms[1].surface = surface, "Right", "floor's height is NaN");
        expect(|plan| plan.doorways[0].outside = surface, "Door", "floor's height is NaN");
        expect(|plan| plan.doorways[0].arris = Some(Arris::Eased(f64::NAN)), "Door", "arris is NaN");
        expect(|plan| plan.doorways[0].under_lining = Some(f64::NAN), "Door", "under the lining is NaN");
        expect(|plan| plan.doorways[0].stop = Some(f64::NAN), "Door", "where boards stop is NaN");
        let leaf = plan_leaf(f64::NAN);
        expect(|plan| plan.doorways[0].leaf = leaf, "Door", "leaf's height above the slab is NaN");
        let thick = Some(Skirting::Thick(f64::NAN));
        expect(|plan| plan.rooms[0].walls[1].skirting = thick, "Left, wall 2", "skirting is NaN");
        let mut odd = fixture(FixtureKind::Vent);
        odd.cover = Some(f64::NAN);
        expect(|plan| plan.fixtures.push(odd), "Thing", "cover is NaN");
        let mut odd = fixture(FixtureKind::Island);
        odd.appliance = Some(crate::Appliance { height: 820.0, opening: f64::NAN });
        expect(|plan| plan.fixtures.push(odd), "Thing", "appliance's opening is NaN");
        for kind in [
            FixtureKind::TileArea { trim: f64::NAN },
            FixtureKind::Rebate { depth: f64::NAN },
            FixtureKind::Stair { nosing: f64::NAN },
        ] {
            expect(|plan| plan.fixtures.push(fixture(kind)), "Thing", "NaN");
        }
        let mut bent = fixture(FixtureKind::Column);
        bent.outline[2].y = f64::NAN;
        expect(|plan| plan.fixtures.push(bent), "Thing", "corner 3's y");
    }

    #[test]
    fn absurd_sizes_are_named() {
        expect(|plan| plan.rooms[0].walls[1].corner.x = 1e7, "Left, wall 2", "more than a kilometre");
        expect(|plan| plan.doorways[0].width = -1e300, "Door", "more than a kilometre");
        expect(|plan| plan.stock.pack_price = Some(1e12), "stock, pack price", "1e12, more than a million");
    }

    #[test]
    fn counts_beyond_a_house_are_named() {
        expect(
            |plan| plan.rooms = vec![plan.rooms[0].clone(); 2001],
            "plan, rooms",
            "2001 rooms, more than 2000",
        );
        expect(
            |plan| plan.doorways = vec![plan.doorways[0].clone(); 2001],
            "plan, doorways",
            "2001 doorways",
        );
        let post = fixture(FixtureKind::Column);
        expect(|plan| plan.fixtures = vec![post.clone(); 2001], "plan, fixtures", "2001 fixtures");
        let wall = Wall::from_corner(Point::default());
        expect(|plan| plan.rooms[0].walls = vec![wall.clone(); 2001], "Left", "2001 walls");
        let bow = Bow { along: 1.0, back: 1.0 };
        expect(|plan| plan.rooms[0].walls[2].bow = vec![bow; 501], "Left, wall 3", "501 bow offsets");
        expect(|plan| plan.stock.lengths = vec![plan.stock.lengths[0]; 101], "stock, lengths", "101 lengths");
        let round = Fixture { outline: vec![Point::default(); 2001], ..post };
        expect(|plan| plan.fixtures.push(round), "Thing", "2001 corners");
        let long = Wall { bow: vec![bow; 500], ..wall };
        expect(|plan| plan.rooms[0].walls = vec![long; 200], "plan, rooms", "in all");
    }
}
