//! Lengths on the table that are clicked and typed; breaks in a skirting, round and turned fixtures as one thing.

use crate::hands::{Hands, corners, one_room};
use egui::{Key, Modifiers, Pos2};
use plan::{FixtureKind, Plan, Point, Skirting, edit};
use startrow_desk::{Command, Selected};

/// Clicks a place on the screen.
fn click_at(hands: &mut Hands, at: Pos2) {
    hands.harness.hover_at(at);
    hands.harness.run();
    hands.harness.drag_at(at);
    hands.harness.run();
    hands.harness.drop_at(at);
    hands.harness.run();
    for _ in 0..3 {
        hands.harness.step();
    }
}

#[test]
fn the_length_beside_a_wall_is_clicked_and_typed_over() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::M]);
    assert_eq!(hands.desk().selected(), Selected::Room(0));
    // Below the lower wall, in its middle: the figure stands 10 points and half a line off.
    let wall = hands.screen((2000.0, 0.0));
    click_at(&mut hands, wall + egui::vec2(0.0, 19.0));
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 0));
    hands.letters("4200");
    hands.keys(&[Key::Enter]);
    assert_eq!(corners(hands.plan()), [(0.0, 0.0), (4200.0, 0.0), (4200.0, 3000.0), (0.0, 3000.0)]);
    assert_eq!(hands.desk().undo_name(), Some("wall length, Room 1, wall 1"));
}

#[test]
fn of_a_room_that_is_pinned_down_no_length_is_typed() {
    let mut plan = one_room();
    edit::pin(&mut plan, &[plan::Place::Room(0)], true).expect("pinned");
    let mut hands = Hands::with_plan(plan);
    hands.keys(&[Key::M]);
    let wall = hands.screen((2000.0, 0.0));
    click_at(&mut hands, wall + egui::vec2(0.0, 19.0));
    assert!(
        hands.desk().said().is_some_and(|said| said.contains("pinned down")),
        "{:?}",
        hands.desk().said()
    );
    hands.letters("4200");
    hands.keys(&[Key::Enter]);
    assert_eq!(corners(hands.plan())[1], (4000.0, 0.0));
}

#[test]
fn a_doorways_distance_is_clicked_and_typed_over() {
    let mut plan = one_room();
    edit::add_doorway(&mut plan, 0, 0, 1500.0).expect("a doorway");
    let width = plan.doorways[0].width;
    let mut hands = Hands::with_plan(plan);
    hands.click((1500.0 + width / 2.0, -40.0));
    assert_eq!(hands.desk().selected(), Selected::Doorway(0));
    // The distance from corner 1 is written inside, over the lower wall's first stretch.
    let middle = hands.screen((750.0, 0.0));
    click_at(&mut hands, middle - egui::vec2(0.0, 19.0));
    hands.letters("900");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().doorways[0].at, 900.0);
}

fn broken() -> Hands {
    let mut plan = one_room();
    edit::break_skirting(&mut plan, 0, 0, 500.0, 800.0).expect("a break");
    Hands::with_plan(plan)
}

/// Where the break begins and how wide it is, mm.
fn found(plan: &Plan) -> (f64, f64) {
    let bare = plan.rooms[0].walls.iter().position(|wall| wall.skirting == Some(Skirting::Without));
    let found = edit::skirting_break(&plan.rooms[0], bare.expect("a break")).expect("a break");
    assert_eq!(found.length, 4000.0);
    (found.from, found.width)
}

#[test]
fn a_break_in_the_skirting_is_dragged_along_its_wall() {
    let mut hands = broken();
    hands.drag((900.0, 0.0), (1650.0, 400.0));
    let (from, width) = found(hands.plan());
    assert!((from - 1250.0).abs() < 15.0 && width == 800.0, "{from} {width}");
    assert_eq!(hands.desk().undo_name(), Some("move skirting break"));
    assert!(hands.plan().rooms[0].walls.iter().all(|wall| wall.corner.y == 0.0 || wall.corner.y == 3000.0));
    // By its end it gets wider; the other stays.
    hands.run(Command::BackOut);
    hands.drag((from + width, 0.0), (from + width + 400.0, 300.0));
    let wider = found(hands.plan());
    assert_eq!(wider.0, from);
    assert!((wider.1 - 1200.0).abs() < 15.0, "{wider:?}");
    // Up to the corner and past it: it stays on its wall.
    hands.run(Command::BackOut);
    hands.drag((from + 600.0, 0.0), (9000.0, 0.0));
    let (from, width) = found(hands.plan());
    assert!((from + width - 4000.0).abs() < 1e-6, "{from} {width}");
    assert_eq!(hands.plan().problems(), []);
    assert!(matches!(hands.desk().selected(), Selected::Wall(0, _)));
}

#[test]
fn a_break_in_the_skirting_is_nudged_typed_flipped_and_closed() {
    let mut hands = broken();
    hands.run(Command::OpenAllSteps);
    hands.click((900.0, 0.0));
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 1));
    hands.keys(&[Key::ArrowRight]);
    let (from, _) = found(hands.plan());
    assert!(from > 500.0, "{from}");
    hands.type_into("break begins, from its wall's start", "600");
    assert_eq!(found(hands.plan()), (600.0, 800.0));
    hands.type_into("break ends, from its wall's end", "400");
    assert_eq!(found(hands.plan()), (2800.0, 800.0));
    hands.type_into("width of the skirting break", "1000");
    assert_eq!(found(hands.plan()), (2800.0, 1000.0));
    hands.run(Command::TurnOverAcross);
    assert_eq!(found(hands.plan()), (200.0, 1000.0));
    assert_eq!(hands.desk().undo_name(), Some("flip skirting break"));
    hands.press("flip it");
    assert_eq!(found(hands.plan()), (2800.0, 1000.0));
    hands.press("close the break");
    assert_eq!(*hands.plan(), one_room());
}

fn with_column(corners: [(f64, f64); 4]) -> Hands {
    let mut plan = one_room();
    edit::add_fixture(&mut plan, FixtureKind::Column, &corners.map(Point::from)).expect("a column");
    Hands::with_plan(plan)
}

#[test]
fn a_column_is_made_round_and_its_diameter_typed() {
    let mut hands = with_column([(1800.0, 1300.0), (2200.0, 1300.0), (2200.0, 1700.0), (1800.0, 1700.0)]);
    hands.click((2000.0, 1500.0));
    assert_eq!(hands.desk().selected(), Selected::Fixture(0));
    hands.press("make it round");
    hands.type_into("diameter of the fixture", "320");
    let outline = &hands.plan().fixtures[0].outline;
    let diameter = edit::diameter_of(outline).expect("round");
    assert!((diameter - 320.0).abs() < 1e-5, "{diameter}");
    assert_eq!(hands.plan().problems(), []);
    // Boards keep their gap from the round itself: none of their corners comes nearer to its middle.
    let house = hands.house();
    let middle = Point::new(2000.0, 1500.0);
    let gap = hands.plan().rules.wall_gap.least;
    let corners = house.floor.boards.iter().flat_map(|board| board.outline.outer.iter());
    let nearest =
        corners.map(|uv| house.site.frame.plan_from_row(*uv).distance(middle)).fold(f64::MAX, f64::min);
    assert!(nearest > 160.0 + gap - 0.1, "{nearest}");
    // From its side, 160 off its middle, to the wall at its left.
    hands.type_into("From the wall at its left", "1000");
    let span = hands.plan().fixtures[0].outline.iter().map(|p| p.x).fold(f64::MAX, f64::min);
    assert!((span - 1000.0).abs() < 1e-5, "{span}");
    let text = plan::write(hands.plan());
    assert_eq!(plan::read(&text).as_ref(), Ok(hands.plan()));
    hands.press("make it square");
    assert_eq!(hands.plan().fixtures[0].outline.len(), 4);
}

#[test]
fn a_turned_fixtures_sides_and_angle_are_typed() {
    // 3-4-5: sides of 500 and 250.
    let mut hands = with_column([(1000.0, 1000.0), (1400.0, 1300.0), (1250.0, 1500.0), (850.0, 1200.0)]);
    hands.click((1125.0, 1250.0));
    assert_eq!(hands.desk().selected(), Selected::Fixture(0));
    hands.type_into("Side from corner 1 to 2", "600");
    let outline: Vec<(f64, f64)> = hands.plan().fixtures[0].outline.iter().map(|p| (*p).into()).collect();
    assert_eq!(outline, [(1000.0, 1000.0), (1480.0, 1360.0), (1330.0, 1560.0), (850.0, 1200.0)]);
    hands.type_into("turn of the fixture", "0");
    let sides = edit::rectangle_of(&hands.plan().fixtures[0].outline).expect("a rectangle");
    assert!(sides.turn.abs() < 0.001 && (sides.sides[0] - 600.0).abs() < 1e-4, "{sides:?}");
    hands.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(hands.plan().fixtures[0].outline[0], Point::new(1000.0, 1000.0));
}
