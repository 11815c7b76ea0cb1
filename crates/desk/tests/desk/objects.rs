//! Every kind of object on the table: drawn or placed, typed from either side, turned over, copied, dragged along a wall.

use crate::hands::{Hands, one_room};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use plan::{FixtureKind, Plan, Point, edit};
use startrow_desk::{Command, Selected};

/// Says in the selected fixture's card what it is.
fn make_it(hands: &mut Hands, kind: &str) {
    hands.harness.get_all_by_label("kind of fixture").next().expect("a choice").click();
    hands.harness.run();
    hands.press(kind);
}

fn outline(plan: &Plan) -> Vec<(f64, f64)> {
    plan.fixtures[0].outline.iter().map(|p| (*p).into()).collect()
}

/// A figure of a kind: its label, what is typed, and whether it is that then.
type Figure = (&'static str, &'static str, fn(FixtureKind) -> bool);

/// Every kind is drawn, named, given a figure of its own where it has one, stood by the tape from either side, turned over,
/// copied and taken out; the floor is computed each time. `figure` is what of the kind is typed, and its value then.
fn goes_through(kind: &str, is_it: fn(FixtureKind) -> bool, figure: Option<Figure>) {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::X]);
    hands.drag((1000.0, 1000.0), (1800.0, 1600.0));
    make_it(&mut hands, kind);
    assert!(is_it(hands.plan().fixtures[0].kind), "{kind}");
    if let Some((label, typed, is_typed)) = figure {
        hands.type_into(label, typed);
        assert!(is_typed(hands.plan().fixtures[0].kind), "{kind}: {label}");
    }
    hands.type_into("Size across the page", "800");
    hands.type_into("Size up the page", "500");
    hands.type_into("From the wall at its right", "400");
    hands.type_into("From the wall above", "250");
    // 4000 − 400 − 800, 3000 − 250 − 500.
    assert_eq!(outline(hands.plan())[0], (2800.0, 2250.0), "{kind}");
    hands.type_into("From the wall at its left", "1900");
    hands.type_into("From the wall below", "1300");
    assert_eq!(outline(hands.plan())[0], (1900.0, 1300.0), "{kind}");
    assert_eq!(hands.plan().problems(), [], "{kind}");
    hands.run(Command::TurnOverAcross);
    assert_eq!(hands.desk().undo_name(), Some("turn fixture over"), "{kind}");
    hands.key(Modifiers::COMMAND, Key::D);
    assert_eq!((hands.plan().fixtures.len(), hands.desk().undo_name()), (2, Some("copy fixture")), "{kind}");
    assert_eq!(hands.plan().fixtures[0].kind, hands.plan().fixtures[1].kind);
    assert_eq!(hands.house().plan, *hands.plan(), "{kind}: the floor follows");
    hands.keys(&[Key::Delete]);
    assert_eq!(hands.plan().fixtures.len(), 1, "{kind}");
}

#[test]
fn islands_columns_and_hearths() {
    goes_through("island or cabinet", |kind| kind == FixtureKind::Island, None);
    goes_through("column", |kind| kind == FixtureKind::Column, None);
    goes_through("hearth", |kind| kind == FixtureKind::Hearth, None);
}

#[test]
fn kicks_stairs_and_tile_areas() {
    goes_through(
        "cabinet on a kick",
        |kind| matches!(kind, FixtureKind::Kick { .. }),
        Some(("Boards go under by", "45", |kind| matches!(kind, FixtureKind::Kick { tuck: 45.0, .. }))),
    );
    goes_through(
        "stair",
        |kind| matches!(kind, FixtureKind::Stair { .. }),
        Some(("Nosing width", "72", |kind| matches!(kind, FixtureKind::Stair { nosing: 72.0 }))),
    );
    goes_through(
        "tile area",
        |kind| matches!(kind, FixtureKind::TileArea { .. }),
        Some(("Trim width", "8", |kind| matches!(kind, FixtureKind::TileArea { trim: 8.0 }))),
    );
}

#[test]
fn vents_low_spots_and_rebates() {
    goes_through("vent", |kind| kind == FixtureKind::Vent, None);
    goes_through(
        "low spot",
        |kind| matches!(kind, FixtureKind::LowSpot { .. }),
        Some(("Mean depth", "6", |kind| matches!(kind, FixtureKind::LowSpot { depth: 6.0 }))),
    );
    goes_through(
        "rebate",
        |kind| matches!(kind, FixtureKind::Rebate { .. }),
        Some(("Depth", "9", |kind| matches!(kind, FixtureKind::Rebate { depth: 9.0 }))),
    );
}

/// Whichever corner is nearest, a dragged island comes to stand flush with the wall and slides along it.
#[test]
fn a_fixture_is_dragged_along_a_wall() {
    let mut plan = one_room();
    let island = [(1500.0, 1200.0), (2100.0, 1200.0), (2100.0, 1700.0), (1500.0, 1700.0)].map(Point::from);
    edit::add_fixture(&mut plan, FixtureKind::Island, &island).expect("an island");
    let mut hands = Hands::with_plan(plan);
    // To the upper wall: its upper corners are the third and the fourth.
    hands.drag((1800.0, 1450.0), (1810.0, 2740.0));
    assert_eq!(outline(hands.plan())[2].1, 3000.0, "flush: {:?}", outline(hands.plan()));
    let before = outline(hands.plan())[0].0;
    let from = (before + 300.0, 2750.0);
    hands.drag(from, (from.0 + 700.0, 2760.0));
    let after = outline(hands.plan());
    assert!((after[0].0 - before - 700.0).abs() < 60.0 && after[2].1 == 3000.0, "{after:?}");
    assert_eq!(hands.desk().undo_name(), Some("move Island"));
}

#[test]
fn a_doorway_is_placed_from_either_end_copied_and_centred() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::D]);
    hands.click((1500.0, 0.0));
    hands.type_into("width of the doorway", "900");
    hands.type_into("distance from the wall's other end", "300");
    // 4000 − 300 − 900.
    assert_eq!(hands.plan().doorways[0].at, 2800.0);
    hands.type_into("distance from the corner", "450");
    assert_eq!(hands.plan().doorways[0].at, 450.0);
    // The corners are named by their numbers, and the card stays under the hand while its doorway goes elsewhere.
    assert!(hands.shows("From corner 1") && hands.shows("From corner 2"));
    let card = |hands: &Hands| hands.harness.get_by_label("pin down").rect();
    let before = card(&hands);
    hands.type_into("distance from the corner", "700");
    hands.type_into("distance from the corner", "450");
    assert_eq!(card(&hands), before);
    hands.key(Modifiers::COMMAND, Key::D);
    assert_eq!((hands.plan().doorways.len(), hands.plan().doorways[1].at), (2, 1450.0));
    assert_eq!(hands.desk().selected(), Selected::Doorway(1));
    assert_eq!(hands.desk().undo_name(), Some("copy Room 1 door"));
    hands.keys(&[Key::Delete]);
    // Dragged near the middle it stands in the middle: (4000 − 900) / 2.
    hands.drag((900.0, -60.0), (2020.0, -60.0));
    assert_eq!(hands.plan().doorways[0].at, 1550.0);
}

/// Hinged, sliding, cased: where boards stop follows. A leaf of 40 in a wall of 250, flush with the far face: 230; sliding in
/// the wall's middle: 125.
#[test]
fn doorways_are_hinged_sliding_or_cased() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::D]);
    hands.click((1500.0, 0.0));
    hands.run(Command::OpenAllSteps);
    let stop = |hands: &Hands| hands.house().fit.doorways[0].stops[0].pulls()[0];
    assert!((stop(&hands) - 230.0).abs() < 1e-6);
    hands.key(Modifiers::ALT, Key::O);
    assert_eq!(hands.desk().undo_name(), Some("turn the leaf over"));
    assert!((stop(&hands) - 20.0).abs() < 1e-6, "flush with the near face");
    hands.press("how the leaf is hung");
    hands.press("slides, in the wall or on a track");
    assert!(hands.plan().doorways[0].leaf.is_some_and(|leaf| leaf.slides));
    assert!((stop(&hands) - 125.0).abs() < 1e-6);
    let text = plan::write(hands.plan());
    assert_eq!(plan::read(&text).as_ref(), Ok(hands.plan()));
    // Cased, there is no leaf to stop under: a trim takes its place.
    hands.harness.get_all_by_label("how the boards end").next().expect("a choice").click();
    hands.harness.run();
    hands.press("stop at a trim");
    hands.press("how the leaf is hung");
    hands.press("none: a cased opening");
    assert_eq!(hands.plan().doorways[0].leaf, None);
    assert_eq!(hands.plan().problems(), []);
}
