//! Movement joints, wood and air, points of patterns.

use crate::hands::{Hands, one_room};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use plan::Plan;
use startrow_desk::{Command, Selected};

/// A room 4 m by 9 m across the boards: over the width that a floor may be.
fn deep_room() -> Plan {
    let mut plan = one_room();
    for wall in [2, 3] {
        plan.rooms[0].walls[wall].corner.y = 9000.0;
    }
    plan
}

/// Opens the step that tells of movement, and no other, so that all of it is in sight.
fn only_fit(hands: &mut Hands) {
    hands.run(Command::CloseAllSteps);
    hands.harness.get_by_label_contains("Fit: ").click();
    hands.harness.run();
}

#[test]
fn a_joint_is_drawn_dragged_typed_and_taken_out() {
    let mut hands = Hands::with_plan(deep_room());
    assert!(hands.house().flags.iter().any(|flag| flag.kind == findings::FlagKind::WideFloor));
    hands.keys(&[Key::J]);
    hands.drag((0.0, 4000.0), (4000.0, 4010.0));
    assert_eq!(hands.plan().joints.len(), 1);
    let joint = hands.plan().joints[0].clone();
    assert_eq!((joint.from.y, joint.to.y, joint.width), (joint.from.y, joint.from.y, 10.0));
    assert_eq!(hands.desk().selected(), Selected::Joint(0));
    assert_eq!(hands.house().site.regions.len(), 2);
    assert!(hands.house().flags.is_empty(), "{:?}", hands.house().flags);
    // It lies on a row line, and the rows past it are moved on.
    assert!(hands.house().fit.joints[0].above_row.is_some());
    let shifts = &hands.house().setout.shifts;
    assert!((shifts[0] - shifts[1]).abs() == 10.0, "{shifts:?}");

    hands.harness.get_by_label("width of the joint").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters("14");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().joints[0].width, 14.0);

    // Dragged square to itself: sideways moves do nothing.
    let y = hands.house().fit.joints[0].stretches[0].from.v;
    hands.keys(&[Key::Escape]);
    hands.drag((1000.0, y), (1300.0, y + 600.0));
    let moved = &hands.plan().joints[0];
    assert!((moved.from.y - joint.from.y - 600.0).abs() < 40.0 && moved.from.x == joint.from.x, "{moved:?}");
    // By an end, to the left wall's line at an angle with Shift; without it the joint stays square.
    let end = hands.plan().joints[0].to;
    hands.drag((end.x, end.y), (end.x - 1500.0, end.y + 30.0));
    let joint = hands.plan().joints[0].clone();
    assert!((joint.to.x - end.x + 1500.0).abs() < 60.0 && joint.to.y == joint.from.y, "{joint:?}");
    assert!(hands.house().flags.iter().any(|flag| flag.kind == findings::FlagKind::JointShort));

    hands.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(hands.plan().joints[0].to, end);
    hands.keys(&[Key::Delete]);
    assert!(hands.plan().joints.is_empty());
    hands.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(hands.plan().joints.len(), 1);
}

#[test]
fn a_joint_that_would_help_is_put_in_from_the_job() {
    let mut hands = Hands::with_plan(deep_room());
    only_fit(&mut hands);
    hands.harness.get_by_label("put it in").click();
    hands.harness.run();
    assert_eq!(hands.plan().joints.len(), 1);
    assert_eq!(hands.desk().undo_name(), Some("put in movement joint"));
    assert!(hands.house().fit.widths.iter().all(|width| width.extent <= 8000.0));
    assert!(hands.harness.query_by_label("put it in").is_none());
}

#[test]
fn wood_and_air_are_named_and_their_movement_is_told() {
    let mut hands = Hands::with_plan(one_room());
    only_fit(&mut hands);
    for word in ["say what the boards are made of", "say what the air is like"] {
        hands.harness.get_by_label(word).click();
        hands.harness.run();
    }
    let movement = hands.house().fit.movement.clone().expect("movement");
    // 20 °C and 50 %: 9.271 % by the published equation.
    assert!((movement.moisture.laid - 9.271_141).abs() < 1e-6);
    hands.harness.get_by_label("share held back by the adhesive").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters("40");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().stock.wood.map(|wood| wood.held_back), Some(0.4));
    let held = hands.house().fit.movement.clone().expect("movement");
    let swells = |m: &fit::Movement| m.widths[0].swells.expected;
    assert!((swells(&held) - 0.6 * swells(&movement)).abs() < 1e-9);
    hands.key(Modifiers::COMMAND, Key::Z);
    hands.key(Modifiers::COMMAND, Key::Z);
    hands.key(Modifiers::COMMAND, Key::Z);
    assert_eq!((hands.plan().stock.wood, hands.plan().air), (None, None));
}

/// A chevron's points are named with their tapes under Set out, and drawn on the floor with the pulls.
#[test]
fn a_patterns_points_are_marked_on_the_desk() {
    let plan = plan::read(include_str!("../../../../sample-plans/lark-study.ron")).expect("a plan");
    let mut hands = Hands::with_plan(plan);
    hands.run(Command::CloseAllSteps);
    hands.harness.get_by_label_contains("Set out: ").click();
    hands.harness.run();
    let points = hands.house().setout.points.clone().expect("points");
    for (mark, words) in
        [(points.first, "First point D from Study door"), (points.last, "Last point E from Study")]
    {
        assert!(mark.is_some());
        assert!(hands.harness.query_by_label_contains(words).is_some(), "{words}");
    }
}
