//! Every edge of every region keeps the gap it states from the thing it names, and the plan gives that gap.

use super::Scene;
use crate::ground::{Opening, coord, sides, wall_line};
use crate::plan::{Fixture, FixtureKind, Range, WallFace};
use crate::report::{Promise, Report};
use geo::{Coord, Line};

/// How far an edge may lie from where its gap puts it, mm: a throat is drawn 0.05 into its rooms so that no film is left
/// between them, and what is thinner than 0.01 is healed (docs/rules.md).
const TRUE: f64 = 0.06;
/// At an edge shorter than this boards may meet it as sides or as ends, mm.
const SHORT: f64 = 20.0;
/// An edge that turned to heal a jog, of up to 0.2 mm (docs/rules.md), may lie off by all of it at one end, and by half in
/// its middle.
const HEALED: f64 = 0.21;
const TURNED: f64 = 0.11;
/// A corner cut off square is no longer than so many gaps, to within [`TRUE`].
const CUT_OFF: f64 = 4.0;
/// An edge lies along its face within this sine, or it belongs to a corner.
const ALONG: f64 = 2e-3;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    for (index, region) in scene.house.regions.iter().enumerate() {
        for ring in &region.rings {
            let to = |i: usize| ring[(i + 1) % ring.len()].from;
            let ring_lines: Vec<Line> = ring
                .iter()
                .enumerate()
                .map(|(i, edge)| Line::new(Coord::from(edge.from), Coord::from(to(i))))
                .collect();
            for (i, edge) in ring.iter().enumerate() {
                let line = ring_lines[i];
                let length = libm::hypot(line.dx(), line.dy());
                let Some(thing) = thing(scene, &edge.edge, &edge.place) else {
                    report.hold(Promise::Gaps, false, || {
                        (format!("region {index}"), format!("no {} `{}` in the plan", edge.edge, edge.place))
                    });
                    continue;
                };
                let place = || format!("region {index}, {} `{}`", edge.edge, edge.place);
                let along = is_along_rows(scene, &line);
                let given = thing.gap(scene, along);
                // So near to 45° that walls drawn to the millimetre decide, either may be meant.
                let is_either = length < SHORT || is_across(scene, &line);
                let other = if is_either { thing.gap(scene, !along) } else { given };
                let is_in =
                    |range: Range| edge.gap >= range.least - 1e-6 && edge.gap <= range.greatest + 1e-6;
                let within = is_in(given) || is_in(other);
                report.hold(Promise::Gaps, within, || {
                    let what = format!("gap {}, given {} to {}", edge.gap, given.least, given.greatest);
                    (place(), what)
                });
                // A gap that uses its play may turn the edge by as much.
                let play = given.greatest - given.least;
                let lines = thing.lines(scene);
                let Some((found, foot)) = distance(&lines, &line, play) else {
                    // A corner that is cut off square, or the end of a wider gap, lies along no face. It is no longer than
                    // a few gaps, and one of its ends lies a gap off.
                    let gap = edge.gap.abs();
                    let off = |end: Coord| {
                        let of_face = |face: &Line| {
                            let (away, foot) = away(face, end);
                            // Where what it ends turned to heal a jog, that lies off by all of it at its end.
                            let healed = if scene.jogs.turn_at(foot) { HEALED - TRUE } else { 0.0 };
                            (away - gap).abs() - healed
                        };
                        lines.iter().map(of_face).fold(f64::INFINITY, f64::min)
                    };
                    let beside =
                        distance(&thing.ends(scene), &line, play).map(|(found, _)| (found - gap).abs());
                    let beside = beside.unwrap_or(f64::INFINITY);
                    let off = off(line.start).min(off(line.end)).min(beside);
                    // Along the end of a trim that stands out into the room it is as long as that.
                    let is_short = length <= CUT_OFF * gap + TRUE || beside <= TRUE;
                    report.hold(Promise::Gaps, is_short && off <= TRUE, || {
                        let what = format!(
                            "along no side of it, {length} mm from {:?}, {off} off its gap",
                            line.start
                        );
                        (place(), what)
                    });
                    continue;
                };
                let within = match scene.jogs.turn_at(foot) {
                    true if length < SHORT => HEALED,
                    true => TURNED,
                    false => TRUE,
                };
                report.hold(Promise::Gaps, (found - edge.gap.abs()).abs() <= within, || {
                    let what =
                        format!("gap {} stated, {found} found, {length} mm from {:?}", edge.gap, line.start);
                    (place(), what)
                });
            }
        }
    }
}

/// Whether an edge lies within 45° of the rows.
pub(super) fn is_along_rows(scene: &Scene, line: &Line) -> bool {
    let (a, b) = (scene.turn.rows(line.start.into()), scene.turn.rows(line.end.into()));
    (b.y - a.y).abs() <= (b.x - a.x).abs()
}

/// Whether an edge lies within a thousandth of 45° to the rows.
pub(super) fn is_across(scene: &Scene, line: &Line) -> bool {
    let (a, b) = (scene.turn.rows(line.start.into()), scene.turn.rows(line.end.into()));
    let (du, dv) = ((b.x - a.x).abs(), (b.y - a.y).abs());
    (du - dv).abs() <= 2e-3 * du.max(dv)
}

/// Distance of a place from a face, or from where that would go on; and the place there.
fn away(face: &Line, at: Coord) -> (f64, Coord) {
    let (d, long) = (at - face.start, libm::hypot(face.dx(), face.dy()));
    let s = (face.dx() * d.x + face.dy() * d.y) / long;
    ((face.dx() * d.y - face.dy() * d.x).abs() / long, face.start + face.delta() * (s / long))
}

/// Distance of an edge's middle from the nearest line that runs its way, turned by `play` mm at most, and the place on that
/// line; `None` where none does.
fn distance(faces: &[Line], edge: &Line, play: f64) -> Option<(f64, Coord)> {
    let length = libm::hypot(edge.dx(), edge.dy());
    let middle = (edge.start + edge.end) / 2.0;
    let off = |face: &Line| {
        let long = libm::hypot(face.dx(), face.dy());
        let sine = (face.dx() * edge.dy() - face.dy() * edge.dx()) / (long * length);
        // Of an edge no longer than a few mm the direction is less sure; one across the face is its gap's end.
        let is_along = sine.abs() <= (ALONG + (HEALED + play) / length).min(std::f64::consts::FRAC_1_SQRT_2);
        let (across, foot) = away(face, middle);
        let d = middle - face.start;
        let s = (face.dx() * d.x + face.dy() * d.y) / long;
        let past = (-s).max(s - long).max(0.0);
        (is_along && long > 0.0).then_some((across, past, foot))
    };
    // Of lines in line with one another the one beside the edge counts.
    let found = faces.iter().filter_map(off).min_by(|a, b| (a.0 + a.1).total_cmp(&(b.0 + b.1)))?;
    Some((found.0, found.2))
}

/// What an edge names.
pub(super) enum Thing<'a> {
    Wall { room: usize, wall: usize },
    Jamb(&'a Opening<'a>),
    Stop(&'a Opening<'a>),
    Fixture(&'a Fixture),
    Joint { width: f64, lines: Vec<Line> },
}

pub(super) fn thing<'a>(scene: &'a Scene<'a>, edge: &str, place: &str) -> Option<Thing<'a>> {
    let opening = || scene.ground.openings.iter().find(|opening| opening.door.name == place);
    let fixture = |is: fn(FixtureKind) -> bool| {
        let mut named = scene.plan.fixtures.iter().filter(|fixture| fixture.name == place);
        named.find(|fixture| is(fixture.kind)).map(Thing::Fixture)
    };
    match edge {
        "wall" | "glazing track" | "cabinets" => {
            let face = match edge {
                "wall" => WallFace::Plain,
                "cabinets" => WallFace::Cabinets,
                _ => WallFace::Glazing,
            };
            let (room, wall) = place.rsplit_once(", wall ")?;
            let (room, wall) = (scene.ground.room_called(room)?, wall.parse::<usize>().ok()?.checked_sub(1)?);
            let found = scene.plan.rooms[room].walls.get(wall)?;
            (found.face == face).then_some(Thing::Wall { room, wall })
        }
        "jamb" => opening().map(Thing::Jamb),
        "end under the leaf" | "trim" => opening().map(Thing::Stop),
        "tile trim" => fixture(|kind| matches!(kind, FixtureKind::TileArea { .. })),
        "island" => fixture(|kind| matches!(kind, FixtureKind::Island)),
        "kick" => fixture(|kind| matches!(kind, FixtureKind::Kick { .. })),
        "column" => fixture(|kind| matches!(kind, FixtureKind::Column)),
        "hearth" => fixture(|kind| matches!(kind, FixtureKind::Hearth)),
        "vent" => fixture(|kind| matches!(kind, FixtureKind::Vent)),
        "nosing" => fixture(|kind| matches!(kind, FixtureKind::Stair { .. })),
        "movement joint" => {
            let called = |index: usize| {
                let joint = &scene.plan.joints[index];
                joint.name.clone().unwrap_or_else(|| format!("movement joint {}", index + 1))
            };
            let index = (0..scene.plan.joints.len()).find(|index| called(*index) == place)?;
            let drawn = scene.house.movement.as_ref()?.joints.get(index)?;
            let lines = drawn.stretches.iter().map(|[a, b]| Line::new(Coord::from(*a), Coord::from(*b)));
            Some(Thing::Joint { width: scene.plan.joints[index].width, lines: lines.collect() })
        }
        _ => None,
    }
}

impl Thing<'_> {
    /// How far an edge whose gap was made wider lies off its thing at its two ends, the less first, mm; `None` where it runs
    /// along no side of it.
    pub(super) fn off(&self, scene: &Scene, edge: &Line) -> Option<[f64; 2]> {
        let length = libm::hypot(edge.dx(), edge.dy());
        let middle = (edge.start + edge.end) / 2.0;
        let lines = self.lines(scene);
        let sine = |face: &Line| {
            let long = libm::hypot(face.dx(), face.dy());
            ((face.dx() * edge.dy() - face.dy() * edge.dx()) / (long * length)).abs()
        };
        let along = lines.iter().filter(|face| sine(face) <= std::f64::consts::FRAC_1_SQRT_2);
        let face = along.min_by(|a, b| away(a, middle).0.total_cmp(&away(b, middle).0))?;
        let [a, b] = [edge.start, edge.end].map(|end| away(face, end).0);
        Some([a.min(b), a.max(b)])
    }

    /// The gap the plan gives, least and greatest, mm.
    pub(super) fn gap(&self, scene: &Scene, along_rows: bool) -> Range {
        let rules = &scene.plan.rules;
        let kinds = &rules.gaps;
        let tile = |along| if along { kinds.tile_sides } else { Some(Range::one(rules.tile_end_gap)) };
        let own = match self {
            Self::Wall { room, wall } => {
                let wall = &scene.plan.rooms[*room].walls[*wall];
                wall.gap.or(match wall.face {
                    WallFace::Plain => None,
                    WallFace::Glazing => kinds.glazing,
                    WallFace::Cabinets => kinds.cabinets,
                })
            }
            Self::Jamb(opening) => opening.door.under_lining.map(|under| Range::one(-under)).or(kinds.jambs),
            Self::Stop(opening) => match opening.door.beyond {
                crate::plan::Beyond::UnderLeaf => Some(Range::one(0.0)),
                _ => tile(along_rows),
            },
            Self::Fixture(fixture) => match fixture.kind {
                FixtureKind::Kick { tuck, .. } => Some(Range::one(-tuck)),
                FixtureKind::Stair { nosing } => Some(Range::one(nosing)),
                kind => fixture.gap.or(match kind {
                    FixtureKind::TileArea { .. } => tile(along_rows),
                    FixtureKind::Island => kinds.islands,
                    FixtureKind::Column => kinds.columns,
                    FixtureKind::Hearth => kinds.hearths,
                    FixtureKind::Vent => kinds.vents,
                    _ => None,
                }),
            },
            Self::Joint { width, .. } => Some(Range::one(width / 2.0)),
        };
        own.unwrap_or(rules.wall_gap)
    }

    /// The lines its gap is kept from.
    fn lines(&self, scene: &Scene) -> Vec<Line> {
        match self {
            Self::Wall { room, wall } => {
                let points = wall_line(&scene.plan.rooms[*room], *wall);
                points.windows(2).map(|pair| Line::new(pair[0], pair[1])).collect()
            }
            Self::Jamb(opening) => {
                let deep = opening.door.wall_thickness + 60.0;
                let jamb = |s: f64| Line::new(opening.at(s, -60.0), opening.at(s, deep));
                vec![jamb(opening.door.at), jamb(opening.door.at + opening.door.width)]
            }
            Self::Stop(opening) => {
                let half = scene.ground.half_stop(opening);
                let (left, right) = (opening.door.at, opening.door.at + opening.door.width);
                let stop = |t: f64| Line::new(opening.at(left, t), opening.at(right, t));
                vec![stop(opening.door.stop() - half), stop(opening.door.stop() + half)]
            }
            Self::Fixture(fixture) => {
                sides(&fixture.outline.iter().copied().map(coord).collect::<Vec<_>>()).collect()
            }
            Self::Joint { lines, .. } => lines.clone(),
        }
    }

    /// The ends of a trim, beside which the gap is kept where it stands out into the room.
    fn ends(&self, scene: &Scene) -> Vec<Line> {
        let Self::Stop(opening) = self else { return Vec::new() };
        let (half, under, stop) = (scene.ground.half_stop(opening), opening.under(), opening.door.stop());
        let (left, right) = (opening.door.at - under, opening.door.at + opening.door.width + under);
        let end = |s: f64| Line::new(opening.at(s, stop - half), opening.at(s, stop + half));
        vec![end(left), end(right)]
    }
}
