//! Doorways, fixtures, joints and dimensions one by one: moved, reshaped, renamed, taken out, pinned down.

use super::{FARTHEST, problem, tidy};
use crate::check::{Place, Problem};
use crate::pinned::require_loose;
use crate::{Dimension, Lining, Pinned, Plan, Point, Side};

pub(super) fn require(plan: &Plan, place: &Place) -> Result<(), Problem> {
    let (count, index, kind) = match *place {
        Place::Doorway(index) => (plan.doorways.len(), index, "doorway"),
        Place::Fixture(index) => (plan.fixtures.len(), index, "fixture"),
        Place::Joint(index) => (plan.joints.len(), index, "movement joint"),
        Place::Dimension(index) => (plan.dimensions.len(), index, "dimension"),
        _ => return Ok(()),
    };
    if index < count {
        return Ok(());
    }
    Err(problem(plan, place.clone(), &format!("there is no such {kind}"), "choose one of the plan"))
}

/// A figure that is none, or that leads further than a plan reaches, is refused.
pub(super) fn require_near(plan: &Plan, place: &Place, figures: &[f64]) -> Result<(), Problem> {
    if figures.iter().all(|figure| figure.abs() <= FARTHEST) {
        return Ok(());
    }
    let mend = "draw near the origin, in millimetres";
    Err(problem(plan, place.clone(), "it would be more than a kilometre away", mend))
}

/// Puts a doorway `at` mm from its wall's corner. What it had from behind it, it has from what is behind it there.
///
/// # Errors
/// When there is no such doorway, it is pinned down, or would stand a kilometre away.
pub fn place_doorway(plan: &mut Plan, index: usize, at: f64) -> Result<(), Problem> {
    require(plan, &Place::Doorway(index))?;
    require_loose(plan, Place::Doorway(index))?;
    require_near(plan, &Place::Doorway(index), &[at])?;
    super::add::put_along(plan, index, at);
    Ok(())
}

/// Gives a doorway another width, mm. In the middle of its wall it stays in the middle; else it stays where it begins, unless it
/// would run past the wall's end though the wall is long enough: then it ends there.
///
/// # Errors
/// When there is no such doorway, it is pinned down, or that is no width.
pub fn set_doorway_width(plan: &mut Plan, index: usize, width: f64) -> Result<(), Problem> {
    require(plan, &Place::Doorway(index))?;
    require_loose(plan, Place::Doorway(index))?;
    if !(width > 0.0 && width.is_finite()) {
        let mend = "type millimetres, more than 0";
        return Err(problem(plan, Place::Doorway(index), "that is no width of a doorway", mend));
    }
    let doorway = &plan.doorways[index];
    let room = plan.rooms.iter().find(|room| room.name == doorway.room);
    let wall = room.and_then(|room| room.wall_line(doorway.wall)).map_or(0.0, |(a, b)| a.distance(b));
    let left = wall - width;
    let is_in_middle = (wall - doorway.width - 2.0 * doorway.at).abs() < MIDDLE;
    let at = match left >= 0.0 {
        true if is_in_middle => left / 2.0,
        true if doorway.at + doorway.width <= wall => doorway.at.min(left),
        _ => doorway.at,
    };
    if at != doorway.at {
        super::add::put_along(plan, index, at);
    }
    plan.doorways[index].width = width;
    Ok(())
}

/// Says how thick the wall is that a doorway goes through, mm.
///
/// # Errors
/// When there is no such doorway, or it is pinned down.
pub fn set_doorway_thickness(plan: &mut Plan, index: usize, thickness: f64) -> Result<(), Problem> {
    require(plan, &Place::Doorway(index))?;
    require_loose(plan, Place::Doorway(index))?;
    plan.doorways[index].wall_thickness = thickness;
    Ok(())
}

/// A doorway whose distances from both corners differ by less stands in the middle of its wall, mm: a tape shows no less.
const MIDDLE: f64 = 1.0;
/// How far boards go under a lining that stands, where nobody has said otherwise, mm: common practice, no source.
const UNDER_LINING: f64 = 12.0;

/// Says whether a doorway's lining stands. Under one that does boards go by 12 mm, or by as much as leaves the wall gap before
/// the rough opening, unless the doorway already says how far.
pub fn set_lining(plan: &mut Plan, index: usize, lining: Lining) {
    let gap = plan.rules.wall_gap.least;
    let Some(doorway) = plan.doorways.get_mut(index) else { return };
    let room = doorway.rough_width.map_or(UNDER_LINING, |rough| (rough - doorway.width) / 2.0 - gap);
    let usual = room.clamp(0.0, UNDER_LINING);
    doorway.lining = lining;
    doorway.under_lining = match (lining, doorway.under_lining) {
        (Lining::Fitted, None) => Some(usual),
        (Lining::ToCome, Some(under)) if under == usual => None,
        (_, under) => under,
    };
}

/// Gives a movement joint another width, mm.
///
/// # Errors
/// When there is no such joint, or it is pinned down.
pub fn set_joint_width(plan: &mut Plan, index: usize, width: f64) -> Result<(), Problem> {
    require(plan, &Place::Joint(index))?;
    require_loose(plan, Place::Joint(index))?;
    plan.joints[index].width = width;
    Ok(())
}

/// Turns a doorway's leaf over: it closes on the other face of the wall.
///
/// # Errors
/// When there is no such doorway, it is pinned down, or it has no leaf that swings.
pub fn turn_leaf(plan: &mut Plan, index: usize) -> Result<(), Problem> {
    require(plan, &Place::Doorway(index))?;
    require_loose(plan, Place::Doorway(index))?;
    let Some(leaf) = plan.doorways[index].leaf.as_mut().filter(|leaf| !leaf.slides) else {
        let mend = "give it a leaf on hinges first";
        return Err(problem(plan, Place::Doorway(index), "it has no leaf that swings", mend));
    };
    leaf.closes_on = match leaf.closes_on {
        Side::Near => Side::Far,
        Side::Far => Side::Near,
    };
    Ok(())
}

/// Gives a fixture another outline.
///
/// # Errors
/// When there is no such fixture, it is pinned down, or a corner would lie a kilometre away.
pub fn set_outline(plan: &mut Plan, index: usize, outline: Vec<Point>) -> Result<(), Problem> {
    require(plan, &Place::Fixture(index))?;
    require_loose(plan, Place::Fixture(index))?;
    let is_near = |p: &Point| p.x.abs() <= FARTHEST && p.y.abs() <= FARTHEST;
    if !outline.iter().all(is_near) {
        let mend = "draw near the origin, in millimetres";
        return Err(problem(
            plan,
            Place::Fixture(index),
            "its corner would be more than a kilometre away",
            mend,
        ));
    }
    plan.fixtures[index].outline = outline.into_iter().map(tidy).collect();
    Ok(())
}

/// Moves a fixture by `by` mm.
///
/// # Errors
/// As [`set_outline`].
pub fn move_fixture(plan: &mut Plan, index: usize, by: Point) -> Result<(), Problem> {
    require(plan, &Place::Fixture(index))?;
    let outline = plan.fixtures[index].outline.iter().map(|p| p.moved(by.x, by.y)).collect();
    set_outline(plan, index, outline)
}

/// Renames a doorway; dimensions and pins follow.
///
/// # Errors
/// When there is no such doorway, or the name is empty or taken.
pub fn rename_doorway(plan: &mut Plan, index: usize, name: &str) -> Result<(), Problem> {
    require(plan, &Place::Doorway(index))?;
    let names: Vec<&str> = plan.doorways.iter().map(|doorway| doorway.name.as_str()).collect();
    let name = free(plan, Place::Doorway(index), &names, index, name)?;
    let old = std::mem::replace(&mut plan.doorways[index].name, name.clone());
    plan.rename_in_marks("doorway", &old, &name);
    Ok(())
}

/// Renames a fixture; dimensions and pins follow.
///
/// # Errors
/// When there is no such fixture, or the name is empty or taken.
pub fn rename_fixture(plan: &mut Plan, index: usize, name: &str) -> Result<(), Problem> {
    require(plan, &Place::Fixture(index))?;
    let names: Vec<&str> = plan.fixtures.iter().map(|fixture| fixture.name.as_str()).collect();
    let name = free(plan, Place::Fixture(index), &names, index, name)?;
    let old = std::mem::replace(&mut plan.fixtures[index].name, name.clone());
    plan.rename_in_marks("fixture", &old, &name);
    Ok(())
}

fn free(plan: &Plan, place: Place, names: &[&str], own: usize, name: &str) -> Result<String, Problem> {
    let name = name.trim();
    if name.is_empty() {
        return Err(problem(plan, place, "it needs a name", "type one"));
    }
    if names.iter().enumerate().any(|(other, taken)| other != own && *taken == name) {
        return Err(problem(plan, place, &format!("there is a {name} already"), "type another name"));
    }
    Ok(name.to_owned())
}

/// Takes a doorway out, with the dimensions that end on it.
///
/// # Errors
/// When there is no such doorway, or it is pinned down.
pub fn remove_doorway(plan: &mut Plan, index: usize) -> Result<(), Problem> {
    require(plan, &Place::Doorway(index))?;
    require_loose(plan, Place::Doorway(index))?;
    let gone = plan.doorways.remove(index);
    plan.drop_marks_of("doorway", &gone.name);
    Ok(())
}

/// Takes a fixture out, with the dimensions that end on it.
///
/// # Errors
/// When there is no such fixture, or it is pinned down.
pub fn remove_fixture(plan: &mut Plan, index: usize) -> Result<(), Problem> {
    require(plan, &Place::Fixture(index))?;
    require_loose(plan, Place::Fixture(index))?;
    let gone = plan.fixtures.remove(index);
    plan.drop_marks_of("fixture", &gone.name);
    Ok(())
}

/// Takes a movement joint out; those after it are numbered anew.
///
/// # Errors
/// When there is no such joint, or it is pinned down.
pub fn remove_joint(plan: &mut Plan, index: usize) -> Result<(), Problem> {
    require(plan, &Place::Joint(index))?;
    require_loose(plan, Place::Joint(index))?;
    plan.joints.remove(index);
    for pinned in &mut plan.pinned {
        if let Pinned::Joint(number) = pinned
            && *number > index
        {
            *number -= 1;
        }
    }
    Ok(())
}

/// Keeps a dimension on the drawing and gives its index.
///
/// # Errors
/// When something it is to end on is not there, or both ends are the same.
pub fn add_dimension(plan: &mut Plan, dimension: Dimension) -> Result<usize, Problem> {
    let index = plan.dimensions.len();
    let is_length = dimension.length(plan).is_some_and(|length| length.is_finite() && length >= 1.0);
    if !is_length || dimension.from == dimension.to {
        return Err(problem(
            plan,
            Place::Dimension(index),
            "there is no length between its ends",
            "measure from one thing to another",
        ));
    }
    if let Some(same) = plan.dimensions.iter().position(|kept| {
        (&kept.from, &kept.to) == (&dimension.from, &dimension.to)
            || (&kept.from, &kept.to) == (&dimension.to, &dimension.from)
    }) {
        return Err(problem(plan, Place::Dimension(same), "it is kept already", "measure another length"));
    }
    plan.dimensions.push(dimension);
    Ok(index)
}

/// Moves a dimension's line beside its ends by the part of `by` that is square to it; its ends stay on what they are on.
///
/// # Errors
/// When there is no such dimension, or its line would lie a kilometre away.
pub fn move_dimension(plan: &mut Plan, index: usize, by: Point) -> Result<(), Problem> {
    require(plan, &Place::Dimension(index))?;
    require_near(plan, &Place::Dimension(index), &[by.x, by.y])?;
    let Some((a, b)) = plan.dimensions[index].ends(plan) else { return Ok(()) };
    let length = a.distance(b);
    if length > 0.0 {
        let off = (by.y * (b.x - a.x) - by.x * (b.y - a.y)) / length;
        let beside = &mut plan.dimensions[index].beside;
        *beside = ((*beside + off) * 10.0).round() / 10.0 + 0.0;
    }
    Ok(())
}

/// Takes a dimension off the drawing.
///
/// # Errors
/// When there is no such dimension.
pub fn remove_dimension(plan: &mut Plan, index: usize) -> Result<(), Problem> {
    require(plan, &Place::Dimension(index))?;
    plan.dimensions.remove(index);
    Ok(())
}

/// Pins these places down, or takes their pins out.
///
/// # Errors
/// When one of them cannot be pinned.
pub fn pin(plan: &mut Plan, places: &[Place], down: bool) -> Result<(), Problem> {
    let pins: Option<Vec<Pinned>> = places.iter().map(|place| Pinned::of(plan, place)).collect();
    let Some(pins) = pins else {
        let mend = "choose rooms, doorways, fixtures or movement joints";
        return Err(problem(plan, Place::Plan("pinned"), "one of these cannot be pinned down", mend));
    };
    plan.pinned.retain(|pinned| !pins.contains(pinned));
    if down {
        plan.pinned.extend(pins);
    }
    Ok(())
}
