//! Movement joints put in and moved.

use super::{problem, tidy};
use crate::check::{Place, Problem};
use crate::pinned::require_loose;
use crate::{MovementJoint, Plan, Point};

/// A joint shorter than this is a slip of the hand, mm.
const LEAST: f64 = 20.0;

/// Adds a movement joint of the usual width and gives its index.
///
/// # Errors
/// When it has hardly any length.
pub fn add_joint(plan: &mut Plan, from: Point, to: Point) -> Result<usize, Problem> {
    let index = plan.joints.len();
    plan.joints.push(sound(plan, index, from, to)?);
    Ok(index)
}

/// Moves a whole joint by `by` mm.
///
/// # Errors
/// When there is no such joint, or it is pinned down.
pub fn move_joint(plan: &mut Plan, index: usize, by: Point) -> Result<(), Problem> {
    require_loose(plan, Place::Joint(index))?;
    let joint = joint_of(plan, index)?;
    let (from, to) = (joint.from.moved(by.x, by.y), joint.to.moved(by.x, by.y));
    place(plan, index, from, to)
}

/// Moves one end of a joint: the one it starts at, or the other.
///
/// # Errors
/// When there is no such joint, it is pinned down, or it would have hardly any length.
pub fn move_joint_end(plan: &mut Plan, index: usize, is_start: bool, to: Point) -> Result<(), Problem> {
    require_loose(plan, Place::Joint(index))?;
    let joint = joint_of(plan, index)?;
    let ends = if is_start { (to, joint.to) } else { (joint.from, to) };
    place(plan, index, ends.0, ends.1)
}

fn joint_of(plan: &Plan, index: usize) -> Result<MovementJoint, Problem> {
    plan.joints.get(index).cloned().ok_or_else(|| {
        problem(plan, Place::Joint(index), "there is no such joint", "choose one of the plan's joints")
    })
}

fn place(plan: &mut Plan, index: usize, from: Point, to: Point) -> Result<(), Problem> {
    let sound = sound(plan, index, from, to)?;
    let joint = &mut plan.joints[index];
    (joint.from, joint.to) = (sound.from, sound.to);
    Ok(())
}

fn sound(plan: &Plan, index: usize, from: Point, to: Point) -> Result<MovementJoint, Problem> {
    // A length that is no number is no greater than the least either.
    if from.distance(to) >= LEAST && from.distance(to).is_finite() {
        return Ok(MovementJoint::new(tidy(from), tidy(to)));
    }
    Err(problem(
        plan,
        Place::Joint(index),
        "it has hardly any length",
        "draw it from one edge of the floor to another",
    ))
}

#[cfg(test)]
mod tests {
    use super::super::tests::refused;
    use super::*;
    use crate::check::tests::two_rooms;

    #[test]
    fn joints_are_put_in_and_moved() {
        let mut plan = two_rooms();
        assert_eq!(add_joint(&mut plan, Point::new(0.0, 1000.0), Point::new(4000.0, 1000.0)), Ok(0));
        assert_eq!(plan.joints[0].width, crate::JOINT_WIDTH);
        move_joint(&mut plan, 0, Point::new(0.0, 250.0)).unwrap();
        move_joint_end(&mut plan, 0, false, Point::new(3000.0, 1250.0)).unwrap();
        assert_eq!(
            (plan.joints[0].from, plan.joints[0].to),
            (Point::new(0.0, 1250.0), Point::new(3000.0, 1250.0))
        );
        assert_eq!(plan.problems(), []);
        refused(
            |plan| add_joint(plan, Point::new(5.0, 5.0), Point::new(5.0, 5.0)),
            "movement joint 1",
            "length",
        );
        refused(
            |plan| add_joint(plan, Point::new(f64::NAN, 5.0), Point::new(5.0, 5.0)),
            "movement joint 1",
            "length",
        );
        refused(|plan| move_joint(plan, 3, Point::new(5.0, 5.0)), "movement joint 4", "no such joint");
    }
}
