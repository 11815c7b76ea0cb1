//! From a file to rooms.

use crate::limits::{MOST_FAULTS, MOST_OUTLINES, MOST_POINTS};
use crate::names::Names;
use crate::nest::{self, Role};
use crate::ring::{Ring, bounds};
use crate::sketch::{self, Sketch};
use crate::{Ask, Fault, FaultKind, FileKind, ImportError, room, text};
use kurbo::{Point, Vec2};
use plan::{Fixture, FixtureKind, Place, Plan, Room};
use std::collections::BTreeSet;

/// Room outlines with what else is worth saying about the file.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlines {
    /// Boarded rooms, in the file's order, each sound by itself and with the others; names are unique.
    pub rooms: Vec<Room>,
    /// What stands within them: an outline that lies within another is a column, around which boards stop at a gap.
    pub fixtures: Vec<Fixture>,
    /// What was left out, moved or taken for something, in sentences.
    pub notes: Vec<String>,
}

/// Coordinates a plan takes, mm; a drawing that lies farther out is moved.
const FARTHEST_PLAN: f64 = 1e6;

/// The room outlines of a file, at the finished wall face, in millimetres, x right and y up.
///
/// # Errors
/// Every reason why it gives none, each with place, what and mend. Nothing is half taken.
pub fn outlines(bytes: &[u8], ask: &Ask) -> Result<Outlines, ImportError> {
    let sketch = sketch::read(bytes, ask)?;
    if sketch.is_spent() {
        return Err(ImportError::one(
            FaultKind::TooManyPoints,
            "the file",
            "its outlines take more points than can be read",
            "save the outlines alone to a file of their own",
        ));
    }
    if !sketch.is_sized {
        return Err(ImportError::one(
            FaultKind::UnitUnknown,
            "the file",
            "it does not say in which unit it is drawn",
            match ask.kind {
                FileKind::Svg => {
                    "name it: mm, cm, m, in or ft; of a plan on paper its scale, such as 50 for 1:50"
                }
                _ => "name it: mm, cm, m, in or ft",
            },
        ));
    }
    let layers = layers(&sketch, ask)?;
    let faults: Vec<Fault> = sketch
        .faults
        .iter()
        .filter(|(layer, _)| layers.contains(layer.as_str()))
        .map(|(_, fault)| fault.clone())
        .take(MOST_FAULTS)
        .collect();
    if !faults.is_empty() {
        return Err(ImportError { faults });
    }
    let rings: Vec<&Ring> = sketch.rings.iter().filter(|ring| layers.contains(ring.layer.as_str())).collect();
    if rings.len() > MOST_OUTLINES {
        return Err(ImportError::one(
            FaultKind::TooManyOutlines,
            "the file",
            format!("it has {} outlines, more than {MOST_OUTLINES}", rings.len()),
            "name the layer on which the rooms are drawn",
        ));
    }
    let points: usize = rings.iter().map(|ring| ring.point_count()).sum();
    if points > MOST_POINTS {
        return Err(ImportError::one(
            FaultKind::TooManyPoints,
            "the file",
            format!("its outlines have {points} points, more than {MOST_POINTS}"),
            "name the layer on which the rooms are drawn, or let curves be made straight more coarsely",
        ));
    }
    let mut notes = notes(&sketch, &layers);
    let by = shift(&rings);
    if by != Vec2::ZERO {
        notes.push(format!(
            "The drawing lies far from its origin: everything was moved by {:.3}, {:.3} mm.",
            by.x, by.y
        ));
    }
    assemble(&sketch, &rings, ask, by, notes)
}

/// The layers whose outlines are taken.
fn layers<'a>(sketch: &'a Sketch, ask: &'a Ask) -> Result<BTreeSet<&'a str>, ImportError> {
    let mut all: BTreeSet<&str> = sketch.rings.iter().map(|ring| ring.layer.as_str()).collect();
    all.extend(sketch.faults.iter().map(|(layer, _)| layer.as_str()));
    let known = || {
        let named = all.iter().map(|layer| if layer.is_empty() { "(none)" } else { layer });
        let mut named: Vec<&str> = named.collect();
        let more = named.len().saturating_sub(30);
        named.truncate(30);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        format!("{}{more}", named.join(", "))
    };
    if all.is_empty() {
        let open: usize = sketch.open.values().sum();
        let what = match open {
            0 => "it has no closed outline".to_owned(),
            open => format!("it has no closed outline, and {open} that do not close"),
        };
        return Err(ImportError::one(
            FaultKind::NoOutline,
            "the file",
            what,
            "draw each room as one closed line, and take blocks apart",
        ));
    }
    if ask.layers.is_empty() {
        return match all.len() {
            1 => Ok(all),
            _ => Err(ImportError::one(
                FaultKind::LayerOpen,
                "the file",
                format!("it has closed outlines on {} layers: {}", all.len(), known()),
                "name the one on which the rooms are drawn",
            )),
        };
    }
    let faults: Vec<Fault> = ask
        .layers
        .iter()
        .filter(|layer| !all.contains(layer.as_str()))
        .take(MOST_FAULTS)
        .map(|layer| {
            let what = format!("there is no closed outline on layer `{layer}`");
            Fault::new(FaultKind::LayerMissing, "the file", what, format!("name one of {}", known()))
        })
        .collect();
    if faults.is_empty() {
        Ok(ask.layers.iter().map(String::as_str).collect())
    } else {
        Err(ImportError { faults })
    }
}

fn notes(sketch: &Sketch, layers: &BTreeSet<&str>) -> Vec<String> {
    let mut notes = Vec::new();
    let open: usize = layers.iter().filter_map(|layer| sketch.open.get(*layer)).sum();
    match open {
        0 => {}
        1 => notes.push("1 outline does not close, and was left out.".into()),
        open => notes.push(format!("{open} outlines do not close, and were left out.")),
    }
    if !sketch.passed_over.is_empty() {
        let all: Vec<String> =
            sketch.passed_over.iter().map(|(what, count)| format!("{count} {what}")).collect();
        notes.push(format!("Passed over: {}.", all.join(", ")));
    }
    notes
}

/// By how much rings that lie farther out than a plan reaches are moved: their lower left corner to the origin.
fn shift(rings: &[&Ring]) -> Vec2 {
    let all = bounds(rings.iter().flat_map(|ring| ring.points()));
    let is_far = [all.x0, all.y0, all.x1, all.y1].iter().any(|v| v.abs() > FARTHEST_PLAN);
    if is_far { -Vec2::new(all.x0.floor(), all.y0.floor()) } else { Vec2::ZERO }
}

fn assemble(
    sketch: &Sketch,
    rings: &[&Ring],
    ask: &Ask,
    by: Vec2,
    mut notes: Vec<String>,
) -> Result<Outlines, ImportError> {
    let roles = nest::roles(rings);
    let mut plan = Plan::new("import");
    // The ring of each room and fixture, for naming what is wrong with it.
    let (mut of_room, mut of_fixture) = (Vec::new(), Vec::new());
    let mut faults = Vec::new();
    let (mut dropped, mut again) = (0, 0);
    let (mut rooms, mut fixtures) = (Names::default(), Names::default());
    let names = names(sketch, rings, &roles, ask);
    let moved = |ring: &Ring| {
        let mut ring = ring.clone();
        for side in &mut ring.sides {
            side.from += by;
            side.through.iter_mut().for_each(|p| *p += by);
        }
        ring
    };
    for (i, (ring, role)) in rings.iter().zip(&roles).enumerate() {
        match role {
            Role::Room => {
                let name = match &names[i] {
                    Some(name) => rooms.free(name),
                    None => rooms.next("Room"),
                };
                let (room, left_out) = room::room(&name, &moved(ring));
                dropped += left_out;
                plan.rooms.push(room);
                of_room.push(*ring);
            }
            Role::Hole(_) => {
                let name = fixtures.free(names[i].as_deref().unwrap_or("Column"));
                let outline = room::outline(&moved(ring));
                plan.fixtures.push(Fixture::plain(name, FixtureKind::Column, outline));
                of_fixture.push(*ring);
            }
            Role::Deeper => faults.push(Fault::new(
                FaultKind::Nested,
                ring.place.as_str(),
                "it lies within an outline that lies within another",
                "leave out one of the three, or put rooms and what stands in them on layers of their own",
            )),
            Role::Again => again += 1,
        }
    }
    let place = |place: Place| match place {
        Place::Room(i) => of_room.get(i).map(|ring| ring.place.clone()),
        Place::Wall(i, wall) => of_room.get(i).map(|ring| format!("{}, wall {}", ring.place, wall + 1)),
        Place::Fixture(i) => of_fixture.get(i).map(|ring| ring.place.clone()),
        _ => None,
    };
    if faults.is_empty() {
        faults.extend(plan.problems().into_iter().map(|problem| {
            let place = place(problem.place).unwrap_or_else(|| "the outlines".into());
            Fault::new(FaultKind::NoRoom, place, problem.what, problem.mend)
        }));
    }
    if !faults.is_empty() {
        faults.truncate(MOST_FAULTS);
        return Err(ImportError { faults });
    }
    if again > 0 {
        notes.push(format!("{again} drawn twice over, and taken once."));
    }
    if dropped > 0 {
        notes.push(format!("{dropped} corners within 1 mm of the one before were left out."));
    }
    match plan.fixtures.len() {
        0 => {}
        1 => notes.push("1 outline lies within a room, and was taken for a column; say what it is.".into()),
        count => {
            notes.push(format!(
                "{count} outlines lie within rooms, and were taken for columns; say what they are."
            ));
        }
    }
    Ok(Outlines { rooms: plan.rooms, fixtures: plan.fixtures, notes })
}

/// The name of each ring: its own, or the first writing in it that looks like one.
fn names(sketch: &Sketch, rings: &[&Ring], roles: &[Role], ask: &Ask) -> Vec<Option<String>> {
    let mut names: Vec<Option<String>> =
        rings.iter().map(|ring| ring.name.as_deref().and_then(text::name)).collect();
    let layers: BTreeSet<&str> = match ask.names.is_empty() {
        true => rings.iter().map(|ring| ring.layer.as_str()).collect(),
        false => ask.names.iter().map(String::as_str).collect(),
    };
    let corners: Vec<Vec<Point>> = rings.iter().map(|ring| ring.points().collect()).collect();
    let boxes: Vec<_> = rings.iter().map(|ring| ring.bounds()).collect();
    let written = sketch.writing.iter().filter(|writing| layers.contains(writing.layer.as_str()));
    for writing in written.take(4 * MOST_OUTLINES) {
        let Some(name) = text::name(&writing.text).filter(|name| text::is_name(name)) else { continue };
        // What stands in a hole names the hole, not the room round it.
        let inside = |i: &usize| boxes[*i].contains(writing.at) && nest::contains(&corners[*i], writing.at);
        let holes = (0..rings.len()).filter(|i| matches!(roles[*i], Role::Hole(_)));
        let rooms = (0..rings.len()).filter(|i| roles[*i] == Role::Room);
        if let Some(i) = holes.chain(rooms).find(inside)
            && names[i].is_none()
        {
            names[i] = Some(name);
        }
    }
    names
}

impl Outlines {
    /// Adds everything to a plan; names that are taken there get a number. Gives the index of the first new room.
    ///
    /// That rooms lie over those of the plan is left to [`Plan::problems`], as when they are drawn there.
    pub fn add_to(&self, plan: &mut Plan) -> usize {
        let first = plan.rooms.len();
        let mut names = Names::of(plan.rooms.iter().map(|room| room.name.as_str()));
        for room in &self.rooms {
            let name = names.free(&room.name);
            plan.rooms.push(Room { name, ..room.clone() });
        }
        let mut names = Names::of(plan.fixtures.iter().map(|fixture| fixture.name.as_str()));
        for fixture in &self.fixtures {
            let name = names.free(&fixture.name);
            plan.fixtures.push(Fixture { name, ..fixture.clone() });
        }
        first
    }
}
