//! A room's corners from its taped lengths.

use crate::adjust::firming;
use crate::doubt::{ALIKE, Doubt};
use crate::meeting::too_long;
use crate::{Adjusted, Misclosure, Network, Span, Trouble, adjust, misclosure};
use plan::{Place, Plan, Point, Problem, Room, Taped, Units, edit, format_length, span_name};

/// Rooms of more corners get no advice on diagonals: there are too many of them to choose from.
const MOST_ADVISED: usize = 60;
/// Stretches that are tried to part lengths that look alike.
const MOST_TRIED: usize = 24;
/// Points along a stretch at which it must lie in the room to be taped.
const LOOKS: usize = 16;

/// A taped length and what became of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Its place in the room's tape.
    pub index: usize,
    /// Its ends: corners, from 0.
    pub from: usize,
    /// The other end.
    pub to: usize,
    /// What it is called: `wall 3`, `corner 1 to corner 3`.
    pub name: String,
    /// What the tape showed, mm.
    pub taped: f64,
    /// Whether it is kept but not used.
    pub set_aside: bool,
    /// Its length between the corners found, mm.
    pub solved: f64,
    /// The length found less the one taped, mm.
    pub residual: f64,
    /// The residual over its own standard deviation; `None` where no other length checks it, or it is set aside.
    pub score: Option<f64>,
    /// What the other lengths say it is, mm; of one set aside, what those used say.
    pub by_others: Option<f64>,
    /// Whether it is most likely wrong, or one of those of which one is.
    pub doubted: bool,
}

/// A room as its tape has it.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomTape {
    /// The room, by index.
    pub room: usize,
    /// Its taped lengths, in the order of the plan.
    pub lines: Vec<Line>,
    /// Where its corners are, the held wall as it is drawn.
    pub corners: Vec<Point>,
    /// Lengths more than the shape needs.
    pub redundancy: usize,
    /// How far out the lengths are against how good they were said to be, 1 where just as good.
    pub unit: Option<f64>,
    /// What is most likely wrong, by places in `lines`.
    pub doubt: Doubt,
    /// How far the corner that is drawn furthest off stands from where the tape has it, mm.
    pub off: f64,
    /// That corner, from 0.
    pub off_corner: usize,
    /// The walls' taped lengths laid off one after another in the directions drawn; `None` where one is not taped.
    pub closing: Option<Misclosure>,
    /// What to tape next, so that an error shows, or shows where it is: two corners, from 0.
    pub next: Option<(usize, usize)>,
}

/// Why a room's corners cannot be found from its tape.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{what}; {mend}")]
pub struct RoomTrouble {
    /// What is wrong.
    pub what: String,
    /// What would mend it.
    pub mend: String,
    /// What to tape next: pairs of corners, from 0.
    pub next: Vec<(usize, usize)>,
}

impl RoomTrouble {
    fn new(what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { what: what.into(), mend: mend.into(), next: Vec::new() }
    }

    /// The trouble at its place.
    pub fn at(self, plan: &Plan, room: usize) -> Problem {
        let place = Place::Room(room);
        Problem { place_name: place.name(plan), place, what: self.what, mend: self.mend }
    }
}

/// Finds a room's corners from its tape. Wall `hold` keeps the direction in which it is drawn, and its corner its place.
///
/// # Errors
/// When there is no such room or wall, nothing is taped, the lengths are too few or cannot meet.
pub fn room_tape(plan: &Plan, room: usize, hold: usize) -> Result<RoomTape, RoomTrouble> {
    let Some(drawn) = plan.rooms.get(room) else {
        return Err(RoomTrouble::new("there is no such room", "choose a room of the plan"));
    };
    let count = drawn.walls.len();
    if drawn.tape.is_empty() || hold >= count {
        return Err(RoomTrouble::new(
            "nothing is taped in it",
            "type the lengths of its walls and of a diagonal",
        ));
    }
    let used: Vec<usize> = (0..drawn.tape.len()).filter(|i| !drawn.tape[*i].set_aside).collect();
    let network = network_of(drawn, &used);
    let mm = |length: f64| length_words(length, plan.units);
    if let Some(found) = too_long(count, &network.spans) {
        let span = network.spans[found.span];
        let by: Vec<String> = found.by.windows(2).map(|ends| span_name(ends[0], ends[1], count)).collect();
        return Err(RoomTrouble::new(
            format!(
                "{} is taped {}, but round by {} it is only {}: they cannot meet",
                span_name(span.from, span.to, count),
                mm(span.length),
                by.join(" and "),
                mm(found.way)
            ),
            "measure these again, and type what the tape shows",
        ));
    }
    let adjusted = adjust(&network).map_err(|trouble| in_words(plan, room, trouble))?;
    Ok(told(plan, room, hold, &used, &network, &adjusted))
}

fn network_of(drawn: &Room, used: &[usize]) -> Network {
    let spans = used.iter().map(|i| {
        let taped = drawn.tape[*i];
        Span { from: taped.from, to: taped.to, length: taped.length, good_to: taped.good_to() }
    });
    Network {
        points: drawn.walls.iter().map(|wall| wall.corner).collect(),
        held: Vec::new(),
        spans: spans.collect(),
    }
}

fn in_words(plan: &Plan, room: usize, trouble: Trouble) -> RoomTrouble {
    let drawn = &plan.rooms[room];
    match trouble {
        Trouble::Loose { missing } => {
            let next = wanted(drawn);
            let names: Vec<String> =
                next.iter().take(3).map(|(a, b)| span_name(*a, *b, drawn.walls.len())).collect();
            let mend = match names.as_slice() {
                [] => "tape more diagonals, and draw the room nearer to how it is".to_owned(),
                names => format!("tape {}", names.join(", then ")),
            };
            let lengths = if missing == 1 { "one length".to_owned() } else { format!("{missing} lengths") };
            RoomTrouble {
                next,
                ..RoomTrouble::new(
                    format!("{lengths} more must be taped before its corners stand fast"),
                    mend,
                )
            }
        }
        Trouble::NotNear => RoomTrouble::new(
            "no shape near the one drawn has these lengths",
            "draw the room roughly as it is, or look for a length typed wrong",
        ),
        Trouble::TooMany => {
            RoomTrouble::new("it has too many corners to be found from a tape", "split it into several rooms")
        }
        Trouble::BadSpan(_) => {
            RoomTrouble::new("a taped length is none, or is not between two of its corners", "type it again")
        }
    }
}

fn told(
    plan: &Plan,
    room: usize,
    hold: usize,
    used: &[usize],
    network: &Network,
    adjusted: &Adjusted,
) -> RoomTape {
    let drawn = &plan.rooms[room];
    let count = drawn.walls.len();
    let corners = held(drawn, hold, &adjusted.points);
    let (doubt, next) = match Doubt::of(adjusted) {
        Doubt::Unchecked => (Doubt::Unchecked, checking(drawn)),
        Doubt::None if adjusted.redundancy < 2 => (Doubt::None, checking(drawn)),
        Doubt::None => (Doubt::None, None),
        Doubt::Together if adjusted.redundancy < 2 => (Doubt::Together, checking(drawn)),
        Doubt::Together => (Doubt::Together, None),
        Doubt::One(one) => (Doubt::One(used[one]), None),
        Doubt::Among(several) => {
            let next = parting(drawn, network, adjusted, &several);
            (Doubt::Among(several.into_iter().map(|i| used[i]).collect()), next)
        }
    };
    let lines: Vec<Line> = drawn
        .tape
        .iter()
        .enumerate()
        .map(|(index, taped)| {
            let fitted = used.iter().position(|i| *i == index).map(|i| adjusted.fitted[i]);
            let solved = corners[taped.from].distance(corners[taped.to]);
            Line {
                index,
                from: taped.from,
                to: taped.to,
                name: taped.name(count),
                taped: taped.length,
                set_aside: taped.set_aside,
                solved,
                residual: solved - taped.length,
                score: fitted.and_then(|fitted| fitted.score),
                by_others: fitted.map_or(Some(solved), |fitted| fitted.by_others),
                doubted: doubt.is_of(index),
            }
        })
        .collect();
    let off = |corner: &usize| corners[*corner].distance(drawn.walls[*corner].corner);
    let off_corner = (0..count).max_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(0);
    RoomTape {
        room,
        off: off(&off_corner),
        off_corner,
        closing: closing(drawn),
        next,
        lines,
        corners,
        redundancy: adjusted.redundancy,
        unit: adjusted.unit,
        doubt,
    }
}

/// The corners turned and moved as a whole so that one wall lies in its drawn line from its drawn corner.
fn held(drawn: &Room, hold: usize, points: &[Point]) -> Vec<Point> {
    let count = points.len();
    let (a, b) = (points[hold], points[(hold + 1) % count]);
    let (from, to) = (drawn.walls[hold].corner, drawn.walls[(hold + 1) % count].corner);
    let lengths = a.distance(b) * from.distance(to);
    if lengths <= 0.0 {
        return points.to_vec();
    }
    let (ux, uy, vx, vy) = (b.x - a.x, b.y - a.y, to.x - from.x, to.y - from.y);
    let (cos, sin) = ((ux * vx + uy * vy) / lengths, (ux * vy - uy * vx) / lengths);
    let turned = |p: &Point| {
        let (x, y) = (p.x - a.x, p.y - a.y);
        from.moved(x * cos - y * sin, x * sin + y * cos)
    };
    points.iter().map(turned).collect()
}

/// The walls' taped lengths laid off in the directions drawn.
fn closing(drawn: &Room) -> Option<Misclosure> {
    let count = drawn.walls.len();
    let wall = |i: usize| {
        let taped = drawn.tape.iter().find(|t| !t.set_aside && t.is_between(i, (i + 1) % count))?;
        Some((taped.length, drawn.wall_axes(i)?.0))
    };
    Some(misclosure((0..count).map(wall).collect::<Option<Vec<_>>>()?))
}

/// What is still to be taped before a room's corners stand fast, best first: its walls, then diagonals that a tape
/// reaches, then any. Empty where they do, or where there are too many corners to advise on.
pub fn wanted(drawn: &Room) -> Vec<(usize, usize)> {
    let count = drawn.walls.len();
    if !(3..=MOST_ADVISED).contains(&count) {
        return Vec::new();
    }
    let used: Vec<usize> = (0..drawn.tape.len()).filter(|i| !drawn.tape[*i].set_aside).collect();
    let mut network = network_of(drawn, &used);
    let is_taped = |a: usize, b: usize| used.iter().any(|i| drawn.tape[*i].is_between(a, b));
    let walls = (0..count).map(|i| (i, (i + 1) % count)).filter(|(a, b)| !is_taped(*a, *b));
    let diagonals: Vec<_> = diagonals(count).filter(|(a, b)| !is_taped(*a, *b)).collect();
    let within = diagonals.iter().copied().filter(|(a, b)| is_within(drawn, *a, *b)).collect();
    let mut chosen = Vec::new();
    for offered in [walls.collect(), within, diagonals] {
        let firm = firming(&network, &offered);
        network.spans.extend(firm.iter().map(|(from, to)| Span {
            from: *from,
            to: *to,
            length: 1.0,
            good_to: 1.0,
        }));
        chosen.extend(firm);
    }
    chosen
}

fn diagonals(count: usize) -> impl Iterator<Item = (usize, usize)> {
    let all = (0..count).flat_map(move |a| (a + 2..count).map(move |b| (a, b)));
    all.filter(move |(a, b)| *a > 0 || *b + 1 < count)
}

/// Whether a tape can be stretched between two corners: all of the stretch lies in the room.
fn is_within(drawn: &Room, a: usize, b: usize) -> bool {
    let (from, to) = (drawn.walls[a].corner, drawn.walls[b].corner);
    (1..LOOKS).all(|i| drawn.contains(from.lerp(to, i as f64 / LOOKS as f64)))
}

/// Stretches not taped yet that a tape reaches, longest first; none where there are too many corners to advise on.
fn open_stretches(drawn: &Room) -> Vec<(usize, usize)> {
    let count = drawn.walls.len();
    if count > MOST_ADVISED {
        return Vec::new();
    }
    let length = |(a, b): &(usize, usize)| drawn.walls[*a].corner.distance(drawn.walls[*b].corner);
    let is_taped = |a: usize, b: usize| drawn.tape.iter().any(|taped| taped.is_between(a, b));
    let walls = (0..count).map(|i| (i, (i + 1) % count));
    let open = walls.chain(diagonals(count)).filter(|(a, b)| !is_taped(*a, *b));
    let mut open: Vec<_> =
        open.filter(|(a, b)| (*b == (*a + 1) % count) || is_within(drawn, *a, *b)).collect();
    open.sort_by(|one, other| length(other).total_cmp(&length(one)));
    open
}

/// The longest diagonal not taped yet that a tape reaches: it checks most of the room.
fn checking(drawn: &Room) -> Option<(usize, usize)> {
    open_stretches(drawn).into_iter().next()
}

/// The stretch that parts lengths which cannot be told apart, best: with it taped fewest still look like the worst one.
/// `None` where none would.
fn parting(
    drawn: &Room,
    network: &Network,
    adjusted: &Adjusted,
    several: &[usize],
) -> Option<(usize, usize)> {
    let worst = *several.first()?;
    let points = &adjusted.points;
    let mut best: Option<(usize, (usize, usize))> = None;
    for (a, b) in open_stretches(drawn).into_iter().take(MOST_TRIED) {
        let mut with = Network { points: points.clone(), ..network.clone() };
        let length = points[a].distance(points[b]);
        with.spans.push(Span { from: a, to: b, length, good_to: Taped::GOOD_TO });
        let Ok(then) = adjust(&with) else { continue };
        let alike = several.iter().filter(|i| then.likeness(**i, worst).abs() > ALIKE).count();
        if alike < several.len() && best.is_none_or(|(least, _)| alike < least) {
            best = Some((alike, (a, b)));
        }
    }
    best.map(|(_, pair)| pair)
}

/// Puts a room's corners where its tape has them. Wall `hold` keeps its line and its corner. While a length is doubted
/// they stay, unless `all_the_same`.
///
/// # Errors
/// As [`room_tape`], when a length is doubted, or when the walls would cross or lose a doorway.
pub fn set_corners(plan: &mut Plan, room: usize, hold: usize, all_the_same: bool) -> Result<(), Problem> {
    let tape = room_tape(plan, room, hold).map_err(|trouble| trouble.at(plan, room))?;
    if tape.doubt.is_any() && !all_the_same {
        let what = crate::doubt_words(plan, &tape);
        let mend = match tape.doubt {
            Doubt::One(_) => "measure it again, or set it aside; until then the corners stay",
            // Their words say already what to measure.
            _ => "until then the corners stay",
        };
        return Err(RoomTrouble::new(what, mend).at(plan, room));
    }
    edit::set_corners(plan, room, &tape.corners)
}

/// Notes what the tape showed between two corners: in place of what was noted there, or as another length. Walls come
/// before diagonals.
pub fn put_length(room: &mut Room, from: usize, to: usize, length: f64) {
    match room.tape.iter_mut().find(|taped| taped.is_between(from, to)) {
        Some(taped) => {
            taped.length = length;
            taped.set_aside = false;
        }
        None => room.tape.push(Taped::new(from, to, length)),
    }
    let count = room.walls.len();
    let rank = |taped: &Taped| {
        let (a, b) = (taped.from.min(taped.to), taped.from.max(taped.to));
        match (b == a + 1, a == 0 && b + 1 == count) {
            (true, _) => (0, a, b),
            (_, true) => (0, b, a),
            _ => (1, a, b),
        }
    };
    room.tape.sort_by_key(rank);
}

/// Takes out what was taped between two corners.
pub fn take_out(room: &mut Room, from: usize, to: usize) {
    room.tape.retain(|taped| !taped.is_between(from, to));
}

/// A length in the plan's units, with a unit where it would have none.
pub(crate) fn length_words(mm: f64, units: Units) -> String {
    let tenths = (mm * 10.0).round() / 10.0 + 0.0;
    match units {
        Units::Metric => format!("{} mm", format_length(tenths, units)),
        Units::FeetInches => format_length(tenths, units),
    }
}
