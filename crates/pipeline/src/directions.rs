//! Which way the rows might run, and what each way costs.

use crate::{House, run};
use findings::Severity;
use lay::{Board, End};
use plan::{Beyond, Covering, OwnLine, Plan, Point, Problem, StartLine, WallFace};
use site::{Site, Source, Uv};

/// Walls within this of one another run one way, degrees: rooms are a few millimetres out of square.
const ONE_WAY: f64 = 2.0;
/// Two ways this close are one choice, degrees.
const SAME_WAY: f64 = 0.5;
/// Typed angles this close to another are that one, degrees.
const TYPED_SAME: f64 = 0.005;
/// A way that less than this part of all walls follows is no choice of its own. Ours, no source.
const MUCH: f64 = 0.1;
/// A room whose floor is no more than this part of the square on its longest wall is narrow. Ours.
const NARROW: f64 = 0.4;
/// An opening to the outside at least this wide is taken for glazed, mm. Ours.
const GLAZED: f64 = 1500.0;
/// A sight line is looked for this far inside each corner, mm: past rounding.
const INSIDE: f64 = 0.5;
/// A side this near to where the factory made one is that one, mm.
const FACTORY: f64 = 1e-3;

/// Why a direction is worth a look.
#[derive(Debug, Clone, PartialEq)]
pub enum Reason {
    /// The plan has it.
    Plan,
    /// Along a hallway: the narrow room with the longest wall.
    Hallway(usize),
    /// Along the longest straight line of sight that follows walls, through open doorways.
    Sight {
        /// Its length, mm.
        length: f64,
    },
    /// With the main light, as the plan names it, or square to the widest glazing.
    Light(Option<Source>),
    /// Along walls.
    Walls {
        /// Length of wall that runs this way, mm.
        length: f64,
    },
    /// Somebody asked for it.
    Typed,
}

impl Reason {
    /// The reason in words, its lengths as the plan shows them.
    pub fn words(&self, plan: &Plan) -> String {
        let length = |mm: f64| plan::format_length(mm.round(), plan.units);
        match self {
            Self::Plan => "as planned".into(),
            Self::Hallway(room) => {
                format!("along {}", plan.rooms.get(*room).map_or("the hallway", |room| room.name.as_str()))
            }
            Self::Sight { length: mm } => format!("longest sight line, {}", length(*mm)),
            Self::Light(None) => "with the light".into(),
            Self::Light(Some(source)) => format!("with the light from {}", source.name(plan)),
            Self::Walls { length: mm } => format!("{} of wall", length(*mm)),
            Self::Typed => "asked for".into(),
        }
    }
}

/// A direction of the rows with what it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Direction {
    /// Degrees anticlockwise from the plan's x axis, over −90 up to 90.
    pub angle: f64,
    /// Why it is worth a look.
    pub reasons: Vec<Reason>,
    /// Narrowest seen rip of the line, mm; `None` where no edge runs along the rows.
    pub narrowest: Option<f64>,
    /// Length of edge under the least rip, mm, the line out by up to the rules' tolerance.
    pub short_length: f64,
    /// Length of edge under it with the line as drawn, mm.
    pub short_as_drawn: f64,
    /// Boards opened.
    pub opened: usize,
    /// Packs to buy.
    pub packs: u32,
    /// Flags that break a rule.
    pub faults: usize,
    /// Flags worth a look.
    pub looks: usize,
    /// Widest continuous floor across the boards, mm.
    pub continuous_width: f64,
    /// Length of all sides of boards that are cut on site, mm.
    pub cut_edge: f64,
}

/// Compares directions, each through the whole pipeline: the plan's own, along the hallway, the longest sight
/// line, with the light, along walls that carry much length, and those typed (degrees).
///
/// In another direction than the plan's a line set by hand means nothing, so the best line is taken there.
///
/// # Errors
/// Problems of the plan in a direction.
pub fn directions(house: &House, typed: &[f64]) -> Result<Vec<Direction>, Vec<Problem>> {
    directions_while(house, typed, &|_, _| true).unwrap_or_else(|| Ok(Vec::new()))
}

/// The same, told before each direction how many of how many are done: `None` once `goes_on` says no.
pub fn directions_while(
    house: &House,
    typed: &[f64],
    goes_on: &dyn Fn(usize, usize) -> bool,
) -> Option<Result<Vec<Direction>, Vec<Problem>>> {
    let ways = ways(&house.plan, &house.surveyed, typed);
    let count = ways.len();
    let mut compared = Vec::with_capacity(count);
    for (done, (angle, reasons)) in ways.into_iter().enumerate() {
        if !goes_on(done, count) {
            return None;
        }
        if reasons.contains(&Reason::Plan) {
            compared.push(cost(house, reasons));
            continue;
        }
        match run(&turned(&house.plan, angle)) {
            Ok(turned) => compared.push(cost(&turned, reasons)),
            Err(problems) => return Some(Err(problems)),
        }
    }
    Some(Ok(compared))
}

/// The plan with its rows another way.
fn turned(plan: &Plan, angle: f64) -> Plan {
    let line = |line: StartLine| if let StartLine::At(_) = line { StartLine::Best } else { line };
    let own = |own: &OwnLine| OwnLine { line: line(own.line), ..own.clone() };
    Plan {
        rows_at: angle,
        start_line: line(plan.start_line),
        own_lines: plan.own_lines.iter().map(own).collect(),
        // Boards that lie cannot be turned: the directions are compared for a bare floor.
        laid: None,
        ..plan.clone()
    }
}

fn cost(house: &House, reasons: Vec<Reason>) -> Direction {
    let chosen = &house.setout.chosen;
    let faults = house.flags.iter().filter(|flag| flag.severity == Severity::Fault).count();
    Direction {
        angle: house.plan.rows_at,
        reasons,
        narrowest: (!chosen.rips.is_empty()).then_some(chosen.narrowest),
        short_length: chosen.short_length,
        short_as_drawn: house.setout.short_as_drawn(chosen),
        opened: house.order.opened,
        packs: house.order.packs,
        faults,
        looks: house.flags.len() - faults,
        continuous_width: house.fit.widths.iter().map(|w| w.extent).fold(0.0, f64::max),
        cut_edge: house.floor.boards.iter().map(|board| cut_edge(house, board)).sum(),
    }
}

/// Length of a board's sides that the factory did not make, mm.
fn cut_edge(house: &House, board: &Board) -> f64 {
    let sides = [board.base, board.base + house.floor.pitch];
    let (left_end, right_end) = match board.turned {
        false => (board.left_end, board.right_end),
        true => (board.right_end, board.left_end),
    };
    let ends = [(board.left, left_end), (board.right, right_end)];
    // Along the board from where a whole one's end meets the place across it, and square to it.
    let own = |p: &Uv| {
        let (along, across) = board.place(*p);
        (along - (across - board.base) * board.lean, across)
    };
    let near = |a: f64, b: f64| (a - b).abs() <= FACTORY;
    board
        .outline
        .rings()
        .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)))
        .filter(|(a, b)| {
            let (a, b) = (own(a), own(b));
            let on_side = sides.iter().any(|v| near(a.1, *v) && near(b.1, *v));
            let on_end = |(u, end): &(f64, End)| *end == End::Factory && near(a.0, *u) && near(b.0, *u);
            !on_side && !ends.iter().any(on_end)
        })
        .map(|(a, b)| ((b.u - a.u) * (b.u - a.u) + (b.v - a.v) * (b.v - a.v)).sqrt())
        .sum()
}

/// The directions with their reasons, in a fixed order; those that are nearly one are one.
fn ways(plan: &Plan, site: &Site, typed: &[f64]) -> Vec<(f64, Vec<Reason>)> {
    let walls = wall_ways(plan);
    let total: f64 = walls.iter().map(|way| way.length).sum();
    let mut found: Vec<(f64, Vec<Reason>)> = vec![(plan.rows_at, vec![Reason::Plan])];
    let mut add = |angle: f64, reason: Reason, same: f64| match found
        .iter_mut()
        .find(|(other, _)| between(*other, angle) <= same)
    {
        Some((_, reasons)) => reasons.push(reason),
        None => found.push((upright(angle), vec![reason])),
    };
    let way_of = |angle: f64| {
        walls.iter().find(|way| between(way.seed, angle) <= ONE_WAY).map_or(angle, |way| way.angle)
    };
    if let Some((room, angle)) = hallway(plan) {
        add(way_of(angle), Reason::Hallway(room), SAME_WAY);
    }
    let sights = walls.iter().map(|way| (way.angle, sight(site, way.angle)));
    let longest = sights.fold(None, |best: Option<(f64, f64)>, (angle, length)| match best {
        Some((_, most)) if length <= most => best,
        _ => Some((angle, length)),
    });
    if let Some((angle, length)) = longest.filter(|(_, length)| *length > 0.0) {
        add(angle, Reason::Sight { length }, SAME_WAY);
    }
    if let Some((angle, source)) = light(plan) {
        add(angle, Reason::Light(source), SAME_WAY);
    }
    for way in walls.iter().filter(|way| way.length >= MUCH * total) {
        add(way.angle, Reason::Walls { length: way.length }, SAME_WAY);
    }
    for angle in typed {
        add(*angle, Reason::Typed, TYPED_SAME);
    }
    found
}

/// Walls that run one way.
#[derive(Debug, Clone, Copy)]
struct Way {
    /// Direction of the longest of them.
    seed: f64,
    /// Their mean by length, to a tenth of a degree.
    angle: f64,
    length: f64,
}

/// The ways in which the walls of boarded rooms run, most length first.
fn wall_ways(plan: &Plan) -> Vec<Way> {
    let mut walls: Vec<(f64, f64)> = plan
        .rooms
        .iter()
        .filter(|room| room.covering == Covering::Boards)
        .flat_map(|room| (0..room.walls.len()).filter_map(|wall| room.wall_line(wall)))
        .map(|(a, b)| (a.distance(b), degrees(a, b)))
        .filter(|(length, _)| *length > 0.0)
        .collect();
    walls.sort_by(|a, b| b.0.total_cmp(&a.0));
    // Seed, length, and the sum of differences from the seed by length.
    let mut groups: Vec<(f64, f64, f64)> = Vec::new();
    for (length, angle) in walls {
        match groups.iter_mut().find(|(seed, ..)| between(*seed, angle) <= ONE_WAY) {
            Some((seed, sum, turn)) => {
                *sum += length;
                *turn += length * upright(angle - *seed);
            }
            None => groups.push((angle, length, 0.0)),
        }
    }
    let mut ways: Vec<Way> = groups
        .into_iter()
        .map(|(seed, length, turn)| Way {
            seed,
            length,
            angle: upright(((seed + turn / length) * 10.0).round() / 10.0),
        })
        .collect();
    ways.sort_by(|a, b| b.length.total_cmp(&a.length));
    ways
}

/// The narrow room with the longest wall, and that wall's direction.
fn hallway(plan: &Plan) -> Option<(usize, f64)> {
    let mut longest: Option<(f64, usize, f64)> = None;
    for (index, room) in plan.rooms.iter().enumerate().filter(|(_, room)| room.is_boarded()) {
        let walls = (0..room.walls.len()).filter_map(|wall| room.wall_line(wall));
        let Some((length, angle)) =
            walls.map(|(a, b)| (a.distance(b), degrees(a, b))).max_by(|a, b| a.0.total_cmp(&b.0))
        else {
            continue;
        };
        let is_longer = longest.is_none_or(|(most, ..)| length > most);
        if room.area() <= NARROW * length * length && is_longer {
            longest = Some((length, index, angle));
        }
    }
    longest.map(|(_, room, angle)| (room, angle))
}

/// The direction of the main light: the plan's, else square to the widest glazing.
fn light(plan: &Plan) -> Option<(f64, Option<Source>)> {
    if let Some(from) = plan.light_from {
        return Some((upright(from), None));
    }
    let mut widest: Option<(f64, f64, Source)> = None;
    let mut offer = |width: f64, out: Point, source: Source| {
        if widest.is_none_or(|(most, ..)| width > most) {
            widest = Some((width, degrees(Point::new(0.0, 0.0), out), source));
        }
    };
    for (room, r) in plan.rooms.iter().enumerate().filter(|(_, room)| room.is_boarded()) {
        for (wall, _) in r.walls.iter().enumerate().filter(|(_, wall)| wall.face == WallFace::Glazing) {
            if let (Some((a, b)), Some((_, away))) = (r.wall_line(wall), r.wall_axes(wall)) {
                offer(a.distance(b), away, Source::Wall { room, wall });
            }
        }
    }
    for (index, door) in plan.doorways.iter().enumerate() {
        let leads_out = door.beyond != Beyond::RunThrough && door.far_room(plan).is_none();
        let axes = plan.room_index(&door.room).and_then(|room| plan.rooms[room].wall_axes(door.wall));
        if let Some((_, away)) = axes.filter(|_| leads_out && door.width >= GLAZED) {
            offer(door.width, away, Source::Doorway(index));
        }
    }
    widest.map(|(_, angle, source)| (angle, Some(source)))
}

/// The longest stretch of floor along a direction, mm: it passes a corner, so those levels are looked at.
fn sight(site: &Site, angle: f64) -> f64 {
    let frame = site::Frame::new(angle);
    site.regions
        .iter()
        .map(|region| {
            let edges: Vec<(site::Uv, site::Uv)> = region
                .edges()
                .map(|e| [e.a, e.b].map(|p| frame.row_from_plan(site.frame.plan_from_row(p))))
                .map(|[a, b]| (a, b))
                .collect();
            let levels = edges.iter().flat_map(|(a, _)| [a.v - INSIDE, a.v + INSIDE]);
            levels.map(|v| longest_chord(&edges, v)).fold(0.0, f64::max)
        })
        .fold(0.0, f64::max)
}

fn longest_chord(edges: &[(site::Uv, site::Uv)], v: f64) -> f64 {
    let mut crossings: Vec<f64> = edges
        .iter()
        .filter(|(a, b)| (a.v <= v) != (b.v <= v))
        .map(|(a, b)| a.u + (b.u - a.u) * (v - a.v) / (b.v - a.v))
        .collect();
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| pair[1] - pair[0]).fold(0.0, f64::max)
}

/// Direction from one point to another, degrees, over −90 up to 90.
fn degrees(a: Point, b: Point) -> f64 {
    upright(libm::atan2(b.y - a.y, b.x - a.x).to_degrees())
}

/// A direction of rows has no sense: over −90 up to 90.
fn upright(angle: f64) -> f64 {
    let turned = angle.rem_euclid(180.0);
    let angle = if turned > 90.0 { turned - 180.0 } else { turned };
    // Rounding must not make −0 or a hair under a quarter turn of it.
    let tidy = (angle * 1e9).round() / 1e9;
    if tidy == 0.0 { 0.0 } else { tidy }
}

/// The angle between two directions of rows, degrees, 0 to 90.
fn between(a: f64, b: f64) -> f64 {
    upright(a - b).abs()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use plan::{Doorway, Room};

    fn room(name: &str, [x, y, w, h]: [f64; 4]) -> Room {
        Room::boarded(name, [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| Point::new(x, y)))
    }

    fn door(name: &str, room: &str, wall: usize, at: f64, width: f64, beyond: Beyond) -> Doorway {
        Doorway { beyond, ..Doorway::plain(name, room, wall, at, width) }
    }

    /// A hall 1.2 by 7 along x; a den above it through a doorway, 4.5 deep; a wide opening on the hall's left.
    fn house() -> Plan {
        let mut plan = Plan::new("t");
        plan.rooms =
            vec![room("Hall", [0.0, 0.0, 7000.0, 1200.0]), room("Den", [0.0, 1300.0, 4000.0, 4500.0])];
        plan.doorways = vec![
            door("Den door", "Hall", 2, 4000.0, 900.0, Beyond::RunThrough),
            door("Terrace", "Den", 2, 800.0, 2000.0, Beyond::Trim(40.0)),
        ];
        plan
    }

    #[test]
    fn directions_have_their_reasons() {
        let plan = house();
        let house = run(&plan).unwrap();
        let ways = ways(&plan, &house.site, &[30.0, 210.0, 45.0]);
        let angles: Vec<f64> = ways.iter().map(|(angle, _)| *angle).collect();
        // 210° is 30° from the other end.
        assert_eq!(angles, [0.0, 90.0, 30.0, 45.0]);
        let of = |index: usize| ways[index].1.clone();
        assert_eq!(of(0)[..2], [Reason::Plan, Reason::Hallway(0)]);
        // 7000 less a gap of 10 at each end, along the hall.
        assert!(
            matches!(of(0)[2], Reason::Sight { length } if (length - 6980.0).abs() < 1e-6),
            "{:?}",
            of(0)
        );
        // The hall's 14 000 and the den's 8000; 2400 and 9000 the other way.
        assert_eq!(of(0)[3], Reason::Walls { length: 22_000.0 });
        assert_eq!(of(1), [Reason::Light(Some(Source::Doorway(1))), Reason::Walls { length: 11_400.0 }]);
        assert_eq!(of(2), [Reason::Typed, Reason::Typed]);
    }

    #[test]
    fn a_sight_line_runs_through_open_doorways() {
        let mut plan = house();
        // The den's depth, the wall and the hall together: 4500 + 100 + 1200 less two gaps, and the terrace's trim.
        let run_on = |plan: &Plan| sight(&run(plan).unwrap().site, 90.0);
        let through = run_on(&plan);
        assert!(through >= 5780.0, "{through}");
        plan.doorways[0].beyond = Beyond::Trim(30.0);
        assert!(run_on(&plan) < through - 1000.0);
    }

    #[test]
    fn the_plans_own_light_goes_before_glazing() {
        let mut plan = house();
        plan.light_from = Some(-135.0);
        assert_eq!(light(&plan), Some((45.0, None)));
    }

    #[test]
    fn every_direction_is_a_house_of_its_own() {
        let mut plan = house();
        plan.start_line = StartLine::At(33.0);
        let house = run(&plan).unwrap();
        let all = directions(&house, &[30.0]).unwrap();
        assert_eq!(all.len(), 3);
        assert_eq!(all[0].narrowest, Some(house.setout.chosen.narrowest));
        let mut turned = plan.clone();
        (turned.rows_at, turned.start_line) = (90.0, StartLine::Best);
        let other = run(&turned).unwrap();
        assert_eq!((all[1].opened, all[1].packs), (other.order.opened, other.order.packs));
        assert_eq!(all[1].narrowest, Some(other.setout.best.narrowest));
        // At 30° no wall runs along the rows and every board's end at a wall is cut on the slant.
        assert_eq!((all[2].angle, all[2].narrowest), (30.0, None));
        assert!(all[2].cut_edge > all[0].cut_edge);
    }

    #[test]
    fn cut_edge_of_one_board_by_hand() {
        // A closet one board wide and shorter than a board: 150 between the gaps, 980 long. One board of 190 ripped
        // to 150 along 980, at least one end crosscut, 150.
        let mut plan = Plan::new("t");
        plan.rooms = vec![room("Closet", [0.0, 0.0, 1000.0, 170.0])];
        plan.start_line = StartLine::At(10.0);
        plan.rules.least_rip = 20.0;
        let house = run(&plan).unwrap();
        assert_eq!(house.floor.boards.len(), 1);
        let cut = cost(&house, vec![Reason::Plan]).cut_edge;
        assert!((cut - 980.0 - 150.0).abs() < 1e-6 || (cut - 980.0 - 300.0).abs() < 1e-6, "{cut}");
    }
}
