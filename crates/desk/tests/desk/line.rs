//! The start line dragged, on the floor and on the strip; rips and boards follow.

use crate::hands::{Hands, one_room};
use egui::Pos2;
use egui_kittest::kittest::Queryable;
use plan::StartLine;
use startrow_desk::Command;

/// What a rip at a wall along the rows must be, from the set-out's definition: the floor lies above
/// the lower wall and below the upper one; a remainder of nothing is a whole board.
fn expected_rips(offset: f64, pitch: f64, gap: f64) -> [f64; 2] {
    let kept = |mm: f64| {
        let rest = mm.rem_euclid(pitch);
        if rest < 1e-6 || pitch - rest < 1e-6 { pitch } else { rest }
    };
    [kept(offset - gap), kept(3000.0 - gap - offset)]
}

fn assert_rips_follow(hands: &Hands, offset: f64) {
    let house = hands.house();
    let chosen = &house.setout.chosen;
    assert!(
        (chosen.offset - offset.rem_euclid(house.setout.pitch)).abs() < 1e-6,
        "{} {offset}",
        chosen.offset
    );
    let gap = house.plan.rules.wall_gap.least;
    let mut expected = expected_rips(offset, house.setout.pitch, gap);
    let mut rips: Vec<f64> = chosen.rips.iter().map(|rip| rip.least).collect();
    rips.sort_by(f64::total_cmp);
    expected.sort_by(f64::total_cmp);
    assert_eq!(rips.len(), 2);
    for (rip, expected) in rips.iter().zip(expected) {
        assert!((rip - expected).abs() < 0.01, "{rips:?} {expected}");
    }
    // The boards are the new line's: one of their lower edges lies on it.
    let pitch = house.setout.pitch;
    let on_line = |v: f64| {
        let rest = (v - offset).rem_euclid(pitch);
        rest.min(pitch - rest) < 1e-6
    };
    let whole = house.floor.boards.iter().filter(|board| !board.shaped);
    for board in whole {
        assert!(board.outline.outer.iter().any(|p| on_line(p.v)), "board {}", board.label);
    }
}

#[test]
fn dragging_the_start_line_moves_rips_and_boards() {
    let mut hands = Hands::with_plan(one_room());
    let line = hands.house().setout.line.clone().expect("a line");
    let middle = line.from.lerp(line.to, 0.4);
    let before = line.v;
    hands.drag((middle.x, middle.y), (middle.x + 15.0, middle.y + 61.0));
    let StartLine::At(offset) = hands.plan().start_line else { panic!("still the best line") };
    let moved = (offset - before).rem_euclid(190.0);
    assert!((moved - 61.0).abs() < 6.0, "moved by {moved}");
    assert_rips_follow(&hands, offset);
    assert_eq!(hands.desk().undo_name(), Some("move start line"));
    hands.run(Command::Undo);
    assert_eq!(hands.plan().start_line, StartLine::Best);
    assert_eq!(hands.desk().undo_name(), None, "the drag was one step");
}

#[test]
fn dragging_the_mark_on_the_strip_moves_the_line() {
    let mut hands = Hands::with_plan(one_room());
    let strip = hands.harness.get_by_role(egui::accesskit::Role::Slider).rect();
    let inner = strip.shrink2(egui::vec2(10.0, 16.0));
    let x = |offset: f64| inner.left() + inner.width() * (offset / 190.0) as f32;
    let now = hands.house().setout.chosen.offset;
    hands.drag_on_screen(Pos2::new(x(now), inner.center().y), Pos2::new(x(57.0), inner.center().y));
    let StartLine::At(offset) = hands.plan().start_line else { panic!("still the best line") };
    assert!((offset - 57.0).abs() < 1.0, "{offset}");
    assert_rips_follow(&hands, offset);
    hands.run(Command::BestLine);
    assert_eq!(hands.plan().start_line, StartLine::Best);
}

/// How far every length may be out stands in a sentence and in a line of its own under Set out: one figure, rounded down so that it
/// can be relied on.
#[test]
fn how_far_lengths_may_be_out_is_told_by_one_figure() {
    let mut plan = one_room();
    // The upper wall 1.3 further, so that the figure is no whole number.
    for corner in [2, 3] {
        plan.rooms[0].walls[corner].corner.y = 3001.3;
    }
    let mut hands = Hands::with_plan(plan);
    hands.run(Command::CloseAllSteps);
    hands.harness.get_by_label_contains("Set out: ").click();
    hands.harness.run();
    let stands = hands.house().advice().robust.stands.expect("an edge that keeps the least");
    assert!(stands > 2.0 && (stands - stands.floor()) > 0.06, "{stands}");
    let figure = format!("{}", stands.floor());
    assert!(hands.says(&format!("may be {figure} out before")), "{figure}");
    let name = hands.harness.get_by_label("Every length may be out by").rect();
    let beside = hands.harness.query_all_by_label(&figure).filter(|node| {
        let rect = node.rect();
        (rect.center().y - name.center().y).abs() < 6.0 && rect.left() > name.right()
    });
    assert_eq!(beside.count(), 1, "{figure}");
}

/// With the line on the first edge and no play in the gap a whole board lies there, and a strip of 2 if the line is snapped 2 out:
/// nothing under the least as drawn, one wall otherwise.
#[test]
fn directions_tell_what_is_under_the_least_as_the_command_line_does() {
    let mut plan = one_room();
    plan.start_line = StartLine::At(plan.rules.wall_gap.least);
    plan.rules.wall_gap.greatest = plan.rules.wall_gap.least;
    let mut hands = Hands::with_plan(plan);
    hands.run(Command::CloseAllSteps);
    hands.harness.get_by_label_contains("Set out: ").click();
    hands.harness.run();
    hands.harness.get_by_label("compare them").click();
    hands.harness.run();
    hands.harness.run();
    let plan = hands.plan();
    let all = pipeline::directions(hands.house(), &[]).unwrap();
    assert!(all[0].short_as_drawn == 0.0 && all[0].short_length > 1000.0, "{:?}", all[0]);
    for direction in all {
        let [drawn, out] = [direction.short_as_drawn, direction.short_length]
            .map(|short| plan::format_length(short.round(), plan.units));
        let words = format!("{}°: under least {drawn}, line 2 out {out}; ", direction.angle);
        assert!(hands.harness.query_all_by_label_contains(&words).next().is_some(), "{words}");
    }
}

/// A room of 40 keeps 20 between its gaps: one row, and no row line to choose. The room of 3000 beside it in this test has both.
#[test]
fn a_floor_of_one_row_offers_no_line_and_tells_no_figure_of_one() {
    let told = |height: f64| {
        let mut plan = one_room();
        for wall in &mut plan.rooms[0].walls {
            wall.corner.y = wall.corner.y.min(height);
        }
        let hands = Hands::with_plan(plan);
        ["start line offset; narrowest rip", "Safe if the line is out by", "Every length may be out by"]
            .map(|words| hands.says(words))
    };
    assert_eq!(told(3000.0), [true; 3]);
    assert_eq!(told(40.0), [false; 3]);
}

/// A search under way is of the plan it began with. Whoever changes that is told that it has stopped, beside what the step
/// itself says.
#[test]
fn a_search_that_a_change_stops_is_told_of() {
    for (change, word) in [(Command::LineUp, ""), (Command::AnotherStagger, ""), (Command::Undo, "undone")] {
        let mut hands = Hands::at(startrow_desk::Setup::default());
        hands.run(Command::LineUp);
        let ctx = hands.harness.ctx.clone();
        let desk = hands.harness.state_mut().desk.as_mut().expect("shown");
        desk.run(&ctx, Command::BetterJoints);
        desk.run(&ctx, change);
        let said = hands.desk().said().expect("something is said").to_lowercase();
        assert!(said.contains("looking for better joints has stopped"), "{change:?}: {said}");
        assert!(said.contains(word), "{said}");
        hands.settle();
        // Told once.
        hands.run(Command::LineUp);
        assert!(!hands.desk().said().unwrap_or_default().to_lowercase().contains("stopped"));
    }
}

/// A hall, a bedroom and a robe that share a line: right beside the best one the curve has a peak 3 mm higher. Its words stand off the ring on
/// it, which is 3 points wide, and where they are raised over it they hide nothing of the curve.
#[test]
fn the_words_of_a_peak_stand_off_the_peak() {
    let rooms =
        [("Hall", 400.0, 6400.0, 1150.0), ("Bed", 1642.0, 3400.0, 3300.0), ("Robe", 5034.0, 2400.0, 600.0)];
    let mut plan = plan::Plan::new("Hall and bed");
    for (name, low, width, height) in rooms {
        let corners = [(0.0, low), (width, low), (width, low + height), (0.0, low + height)];
        plan.rooms.push(plan::Room::boarded(name, corners.map(plan::Point::from)));
    }
    let setup = startrow_desk::Setup { plan: Some(plan), ..Default::default() };
    let hands = Hands::at_size(setup, [1100.0, 720.0]);
    let written = hands.written();
    let (_, words) = written.iter().find(|(text, _)| text.starts_with("peak ")).expect("a peak is told");
    let rings: Vec<_> = hands.circles().into_iter().filter(|(_, radius)| *radius == 3.0).collect();
    let near = |at: &egui::Pos2| words.expand(60.0).contains(*at);
    let rings: Vec<_> = rings.into_iter().filter(|(at, _)| near(at)).collect();
    assert!(!rings.is_empty(), "the peak has its ring: {words:?} {:?}", hands.circles());
    let ground = words.expand2(egui::vec2(3.0, 0.0));
    assert!(rings.iter().all(|(at, radius)| ground.distance_to_pos(*at) > *radius), "{words:?} {rings:?}");
}
