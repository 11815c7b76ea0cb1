//! Wood, air and movement joints.

use super::{Checker, Place};
use crate::{Climate, Construction};

/// A shorter joint is a slip of the hand, mm.
const LEAST_JOINT: f64 = 20.0;

pub(super) fn check(checker: &mut Checker<'_>) {
    wood(checker);
    air(checker);
    joints(checker);
}

fn wood(checker: &mut Checker<'_>) {
    let Some(wood) = checker.plan.stock.wood else { return };
    if !(0.0..=1.0).contains(&wood.held_back) {
        checker.add(
            Place::Stock("wood"),
            format!("the adhesive holds back {} of the movement", wood.held_back),
            "type a share between 0, for a floor that lies loose, and 1",
        );
    }
    if let Construction::Stated(percent) = wood.construction
        && !(0.0..=1.0).contains(&percent)
    {
        checker.add(
            Place::Stock("wood"),
            format!("its width changes by {percent} % for each percent of moisture"),
            "type the maker's figure, between 0 and 1 %; wood moves by a third of a percent or less",
        );
    }
}

fn air(checker: &mut Checker<'_>) {
    let Some(air) = checker.plan.air else { return };
    for (field, climate) in air.each() {
        match climate {
            Climate::Air { degrees, humidity } => {
                if !(-20.0..=60.0).contains(&degrees) {
                    checker.add(
                        Place::Plan("air"),
                        format!("{field}, it is {degrees} °C"),
                        "type the temperature of the room's air, between -20 and 60 °C",
                    );
                }
                if !(0.0..=95.0).contains(&humidity) {
                    checker.add(
                        Place::Plan("air"),
                        format!("{field}, the humidity is {humidity} %"),
                        "type the relative humidity in percent, between 0 and 95",
                    );
                }
            }
            Climate::Moisture(percent) => {
                if !(0.0..=30.0).contains(&percent) {
                    checker.add(
                        Place::Plan("air"),
                        format!("{field}, the wood's moisture is {percent} %"),
                        "type what a meter reads, between 0 and 30 %",
                    );
                }
            }
        }
    }
}

fn joints(checker: &mut Checker<'_>) {
    let plan = checker.plan;
    let mut named = std::collections::BTreeMap::new();
    for (i, joint) in plan.joints.iter().enumerate() {
        if checker.is_full() {
            return;
        }
        if !joint.name.is_empty() {
            checker.name("movement joint", &joint.name, Place::Joint(i));
            if let Some(earlier) = named.insert(joint.name.as_str(), i) {
                checker.add(
                    Place::Joint(i),
                    format!("movement joint {} has the same name as movement joint {}", i + 1, earlier + 1),
                    "give one of them another name, or none",
                );
            }
        }
        checker.within(Place::Joint(i), "width", joint.width, 2.0, 50.0);
        if joint.length() < LEAST_JOINT {
            let length = checker.length(joint.length());
            checker.add(
                Place::Joint(i),
                format!("it is {length} long"),
                "draw it from one edge of the floor to another",
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{accept, expect};
    use crate::{Climate, Construction, MovementJoint, Plan, Point, Seasons, Wood};

    fn joint() -> MovementJoint {
        MovementJoint::new(Point::new(0.0, 1500.0), Point::new(4000.0, 1500.0))
    }

    fn with(plan: &mut Plan, wood: Wood) {
        plan.stock.wood = Some(wood);
    }

    #[test]
    fn wood_and_air_have_sane_figures() {
        accept(|plan| with(plan, Wood::default()));
        accept(|plan| plan.air = Some(Seasons::default()));
        expect(
            |plan| with(plan, Wood { held_back: 1.2, ..Wood::default() }),
            "stock, wood",
            "holds back 1.2",
        );
        let stated = Wood { construction: Construction::Stated(3.0), ..Wood::default() };
        expect(|plan| with(plan, stated), "stock, wood", "3 % for each percent");
        let damp = Climate::Air { degrees: 20.0, humidity: 101.0 };
        expect(|plan| plan.air = Some(Seasons { dampest: damp, ..Seasons::default() }), "plan, air", "101 %");
        let hot = Climate::Air { degrees: 80.0, humidity: 50.0 };
        expect(|plan| plan.air = Some(Seasons { laid: hot, ..Seasons::default() }), "plan, air", "80 °C");
        let wet = Climate::Moisture(40.0);
        expect(|plan| plan.air = Some(Seasons { driest: wet, ..Seasons::default() }), "plan, air", "40 %");
        let none = Climate::Moisture(f64::NAN);
        expect(|plan| plan.air = Some(Seasons { driest: none, ..Seasons::default() }), "plan, air", "NaN");
    }

    #[test]
    fn joints_have_sane_figures() {
        accept(|plan| plan.joints = vec![joint(), joint()]);
        expect(
            |plan| plan.joints.push(MovementJoint { width: 0.0, ..joint() }),
            "movement joint 1",
            "width is 0",
        );
        let short = MovementJoint { to: Point::new(5.0, 1500.0), ..joint() };
        expect(|plan| plan.joints.push(short), "movement joint 1", "5 mm long");
        let named = MovementJoint { name: "Hall joint".into(), ..joint() };
        expect(|plan| plan.joints = vec![named.clone(), named], "Hall joint", "same name");
        let lost = MovementJoint { to: Point::new(f64::NAN, 0.0), ..joint() };
        expect(|plan| plan.joints.push(lost), "movement joint 1", "NaN");
    }
}
