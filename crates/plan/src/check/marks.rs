//! Dimensions and pins: what they are on must be there.

use super::{Checker, Place};
use crate::DimensionEnd;

pub(super) fn check(checker: &mut Checker<'_>) {
    dimensions(checker);
    pins(checker);
}

fn dimensions(checker: &mut Checker<'_>) {
    let plan = checker.plan;
    for (index, dimension) in plan.dimensions.iter().enumerate() {
        let mut whole = true;
        for end in [&dimension.from, &dimension.to] {
            let alone = crate::Dimension::new(end.clone(), DimensionEnd::Point(crate::Point::default()));
            if alone.ends(plan).is_none() {
                whole = false;
                checker.add(
                    Place::Dimension(index),
                    format!("one end is on {}, which is not there", end.words()),
                    "take the dimension out, or name a thing of the plan",
                );
            }
        }
        if whole && dimension.from == dimension.to {
            checker.add(
                Place::Dimension(index),
                "both its ends are on the same thing",
                "take the dimension out, or measure to another",
            );
        }
    }
}

fn pins(checker: &mut Checker<'_>) {
    let plan = checker.plan;
    for pin in plan.pinned.iter().filter(|pin| !pin.is_there(plan)) {
        checker.add(
            Place::Plan("pinned"),
            format!("{} is pinned down, but is not there", pin.words(plan)),
            "take it out of `pinned`, or name a thing of the plan",
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::check::tests::{accept, expect};
    use crate::{Dimension, DimensionEnd, Pinned};

    fn corner(room: &str, corner: usize) -> DimensionEnd {
        DimensionEnd::Corner { room: room.into(), corner }
    }

    #[test]
    fn what_they_are_on_is_there() {
        let on = |from, to| Dimension::new(from, to);
        accept(|plan| plan.dimensions.push(on(corner("Left", 0), corner("Right", 2))));
        accept(|plan| plan.pinned = vec![Pinned::Room("Left".into()), Pinned::Doorway("Door".into())]);
        expect(
            |plan| plan.dimensions.push(on(corner("Left", 4), corner("Left", 1))),
            "dimension 1",
            "Left, corner 5, which is not there",
        );
        expect(
            |plan| plan.dimensions.push(on(corner("Left", 1), corner("Left", 1))),
            "dimension 1",
            "the same thing",
        );
        expect(
            |plan| {
                let far = DimensionEnd::Point(crate::Point::new(f64::NAN, 0.0));
                plan.dimensions.push(on(corner("Left", 1), far));
            },
            "dimension 1",
            "NaN",
        );
        expect(|plan| plan.pinned.push(Pinned::Fixture("Bench".into())), "plan, pinned", "not there");
        expect(|plan| plan.pinned.push(Pinned::Joint(0)), "plan, pinned", "movement joint 1");
    }
}
