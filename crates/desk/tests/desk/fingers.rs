//! Fingers and pens on the glass, as the system tells of them: two fingers move and widen the view and touch nothing else;
//! one finger, or a pen, is the pointer.

use super::hands::{Hands, corners, one_room};
use egui::{Event, Modifiers, PointerButton, Pos2, TouchDeviceId, TouchId, TouchPhase, Vec2, vec2};
use startrow_desk::{Command, Selected};

impl Hands {
    fn touch(&mut self, finger: u64, phase: TouchPhase, pos: Pos2) {
        let device_id = TouchDeviceId(1);
        self.harness.event(Event::Touch { device_id, id: TouchId(finger), phase, pos, force: Some(0.4) });
    }

    /// The first finger on the glass, or a pen, comes with the pointer's events, as windows send them.
    fn first_down(&mut self, pos: Pos2) {
        self.touch(1, TouchPhase::Start, pos);
        self.harness.event(Event::PointerMoved(pos));
        self.button(pos, true);
        self.harness.step();
    }

    fn first_to(&mut self, pos: Pos2) {
        self.touch(1, TouchPhase::Move, pos);
        self.harness.event(Event::PointerMoved(pos));
    }

    fn first_up(&mut self, pos: Pos2) {
        self.touch(1, TouchPhase::End, pos);
        self.button(pos, false);
        self.harness.event(Event::PointerGone);
        self.harness.run();
    }

    fn button(&mut self, pos: Pos2, pressed: bool) {
        let (button, modifiers) = (PointerButton::Primary, Modifiers::NONE);
        self.harness.event(Event::PointerButton { pos, button, pressed, modifiers });
    }

    /// Two fingers go from some places to others, in steps.
    fn pinch(&mut self, from: [Pos2; 2], to: [Pos2; 2]) {
        self.first_down(from[0]);
        self.touch(2, TouchPhase::Start, from[1]);
        self.harness.step();
        for step in 1..=8 {
            let part = step as f32 / 8.0;
            self.first_to(from[0].lerp(to[0], part));
            self.touch(2, TouchPhase::Move, from[1].lerp(to[1], part));
            self.harness.step();
        }
        self.touch(2, TouchPhase::End, to[1]);
        self.harness.step();
        self.first_up(to[0]);
    }
}

/// How many points of the screen a metre takes.
fn metre(hands: &Hands) -> f32 {
    hands.screen((1000.0, 0.0)).distance(hands.screen((0.0, 0.0)))
}

#[test]
fn two_fingers_move_the_floor_and_nothing_else() {
    let mut hands = Hands::with_plan(one_room());
    let before = hands.plan().clone();
    // The first finger comes down on a corner, which one finger would drag.
    let (corner, scale) = (hands.screen((4000.0, 3000.0)), metre(&hands));
    let other = corner + vec2(-140.0, 60.0);
    let by = vec2(-90.0, 40.0);
    hands.pinch([corner, other], [corner + by, other + by]);
    let now = hands.screen((4000.0, 3000.0));
    assert!((now - (corner + by)).length() < 1.0, "{corner:?} went to {now:?}");
    assert!((metre(&hands) - scale).abs() < 0.01 * scale, "moved, not widened");
    assert_eq!(*hands.plan(), before);
    assert_eq!(hands.desk().undo_name(), None);
    assert_eq!(hands.desk().selected(), Selected::Nothing, "lifting the fingers is no click");
}

#[test]
fn fingers_that_part_widen_what_lies_between_them() {
    let mut hands = Hands::with_plan(one_room());
    let (middle, scale) = (hands.screen((2000.0, 1500.0)), metre(&hands));
    let apart = |half: f32| [middle - Vec2::new(half, 0.0), middle + Vec2::new(half, 0.0)];
    hands.pinch(apart(60.0), apart(120.0));
    // Twice as far apart: twice as large, the middle where it was.
    assert!((metre(&hands) / scale - 2.0).abs() < 0.02, "{} {scale}", metre(&hands));
    assert!((hands.screen((2000.0, 1500.0)) - middle).length() < 1.5);
    hands.pinch(apart(120.0), apart(60.0));
    assert!((metre(&hands) / scale - 1.0).abs() < 0.02);
}

#[test]
fn a_drag_begun_by_the_first_finger_is_dropped_when_the_second_comes() {
    let mut hands = Hands::with_plan(one_room());
    let before = hands.plan().clone();
    let wall = hands.screen((4000.0, 1100.0));
    hands.first_down(wall);
    for step in 1..=4 {
        hands.first_to(wall + vec2(10.0 * step as f32, 0.0));
        hands.harness.step();
    }
    assert_ne!(*hands.plan(), before, "one finger drags");
    hands.touch(2, TouchPhase::Start, wall + vec2(-100.0, 50.0));
    hands.harness.step();
    hands.harness.step();
    assert_eq!(*hands.plan(), before, "two do not");
    hands.touch(2, TouchPhase::End, wall + vec2(-100.0, 50.0));
    hands.harness.step();
    hands.first_to(wall + vec2(80.0, 0.0));
    hands.harness.step();
    hands.first_up(wall + vec2(80.0, 0.0));
    assert_eq!(*hands.plan(), before);
    assert_eq!(hands.desk().undo_name(), None);
}

#[test]
fn a_pen_picks_and_drags_like_a_pointer() {
    let mut hands = Hands::with_plan(one_room());
    let wall = hands.screen((4000.0, 1100.0));
    hands.first_down(wall);
    hands.harness.step();
    hands.first_up(wall);
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 1));
    let metre = metre(&hands);
    hands.run(Command::BackOut);
    for _ in 0..20 {
        hands.harness.step();
    }
    hands.first_down(wall);
    for step in 1..=8 {
        hands.first_to(wall + vec2(metre * 0.3 * step as f32 / 8.0, 0.0));
        hands.harness.step();
    }
    hands.first_up(wall + vec2(metre * 0.3, 0.0));
    let x = corners(hands.plan())[1].0;
    assert!((x - 4300.0).abs() < 15.0, "{x}");
}

#[test]
fn a_touchpad_moves_by_two_fingers_and_widens_by_a_pinch() {
    let mut hands = Hands::with_plan(one_room());
    let (at, scale) = (hands.screen((2000.0, 1500.0)), metre(&hands));
    hands.harness.hover_at(at);
    hands.harness.run();
    hands.harness.event(Event::Zoom(1.5));
    hands.harness.run();
    assert!((metre(&hands) / scale - 1.5).abs() < 0.01);
    assert!((hands.screen((2000.0, 1500.0)) - at).length() < 1.5, "what is under the pointer stays there");
}
