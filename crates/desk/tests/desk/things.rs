//! Walls, corners, doorways and fixtures dragged, nudged and typed.

use crate::hands::{Hands, corners, one_room};
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use startrow_desk::{Command, Selected};

#[test]
fn a_wall_is_dragged_square_to_itself() {
    let mut hands = Hands::with_plan(one_room());
    hands.drag((4000.0, 1100.0), (4300.0, 1500.0));
    let moved = corners(hands.plan());
    let x = moved[1].0;
    assert!((x - 4300.0).abs() < 10.0, "{moved:?}");
    assert_eq!(moved, [(0.0, 0.0), (x, 0.0), (x, 3000.0), (0.0, 3000.0)]);
    assert!((hands.house().site.bare_area - x * 3000.0).abs() < 1.0);
    assert_eq!(hands.desk().undo_name(), Some("move wall, Room 1"));
    hands.run(Command::Undo);
    assert_eq!(*hands.plan(), one_room());
}

#[test]
fn a_drag_that_is_escaped_or_returns_leaves_no_step() {
    let mut hands = Hands::with_plan(one_room());
    let (from, to) = (hands.screen((4000.0, 1100.0)), hands.screen((4300.0, 1100.0)));
    hands.harness.hover_at(from);
    hands.harness.run();
    hands.harness.drag_at(from);
    hands.harness.run();
    hands.harness.hover_at(to);
    hands.harness.run();
    assert_ne!(*hands.plan(), one_room(), "follows live");
    hands.keys(&[Key::Escape]);
    assert_eq!(*hands.plan(), one_room());
    hands.harness.drop_at(to);
    hands.harness.run();
    assert_eq!(*hands.plan(), one_room());
    assert_eq!(hands.desk().undo_name(), None);
}

#[test]
fn a_typed_length_changes_the_selected_wall() {
    let mut hands = Hands::with_plan(one_room());
    hands.click((2000.0, 0.0));
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 0));
    let field = hands.harness.get_by_label("length of the wall");
    field.focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters("4321");
    hands.keys(&[Key::Enter]);
    assert_eq!(corners(hands.plan()), [(0.0, 0.0), (4321.0, 0.0), (4321.0, 3000.0), (0.0, 3000.0)]);
}

#[test]
fn figures_typed_over_the_floor_go_to_the_selected_wall() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::M, Key::W, Key::W]);
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 1));
    for letter in ["2", "8", "0", "5"] {
        hands.letters(letter);
    }
    hands.keys(&[Key::Enter]);
    assert_eq!(corners(hands.plan()), [(0.0, 0.0), (4000.0, 0.0), (4000.0, 2805.0), (0.0, 2805.0)]);
}

#[test]
fn what_is_no_length_leaves_the_wall() {
    let mut hands = Hands::with_plan(one_room());
    hands.click((2000.0, 0.0));
    hands.harness.get_by_label("length of the wall").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters("about four");
    hands.keys(&[Key::Enter]);
    assert_eq!(*hands.plan(), one_room());
}

#[test]
fn arrows_nudge_and_delete_removes() {
    let mut hands = Hands::with_plan(one_room());
    hands.click((4000.0, 3000.0));
    assert_eq!(hands.desk().selected(), Selected::Corner(0, 2));
    hands.keys(&[Key::ArrowRight, Key::ArrowRight, Key::ArrowDown]);
    hands.key(Modifiers::SHIFT, Key::ArrowRight);
    assert_eq!(corners(hands.plan())[2], (4012.0, 2999.0));
    hands.keys(&[Key::Delete]);
    assert_eq!(corners(hands.plan()).len(), 3);
}

#[test]
fn a_doorway_is_placed_and_slides_along_its_wall() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::D]);
    hands.click((1500.0, 0.0));
    assert_eq!(hands.plan().doorways.len(), 1);
    let at = hands.plan().doorways[0].at;
    // Its middle is where the click was, within what the screen can tell.
    assert!((at + 410.0 - 1500.0).abs() < 10.0, "{at}");
    hands.drag((1500.0, -50.0), (2100.0, -20.0));
    let moved = hands.plan().doorways[0].at - at;
    assert!((moved - 600.0).abs() < 10.0, "{moved}");
    assert_eq!(corners(hands.plan()), corners(&one_room()), "the wall stays");
}

/// A new doorway to the outside has a 40 mm leaf flush with the far face: in a wall 250 thick the boards stop 230 in.
#[test]
fn a_doorways_card_says_where_boards_stop() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::D]);
    hands.click((1500.0, 0.0));
    hands.keys(&[Key::Escape]);
    hands.click((1500.0, -60.0));
    assert_eq!(hands.desk().selected(), Selected::Doorway(0));
    let stop = hands.house().fit.doorways[0].stops[0];
    assert!((stop.pulls()[0] - 230.0).abs() < 1e-6, "{stop:?}");
    hands.harness.get_by_label_contains("Stop line: 230 in from");
    // A glazed door's track stands 95 in: the boards stop where the tape says, the leaf or none. Undone by an empty field.
    hands.type_into("where boards stop", "85");
    assert_eq!(hands.plan().doorways[0].stop, Some(85.0));
    let stop = hands.house().fit.doorways[0].stops[0];
    assert!((stop.pulls()[0] - 85.0).abs() < 1e-6, "{stop:?}");
    hands.harness.get_by_label_contains("Stop line: 85 in from");
    hands.type_into("where boards stop", " ");
    assert_eq!(hands.plan().doorways[0].stop, None);
}

/// A stretch of 900 without skirting, typed from either corner of a wall of 4000: the wall parts in three, the floor stays.
#[test]
fn skirting_is_broken_where_it_is_typed() {
    let mut hands = Hands::with_plan(one_room());
    let area = hands.house().site.boarded_area();
    hands.run(Command::OpenAllSteps);
    hands.click((1200.0, 0.0));
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 0));
    hands.press("break the skirting…");
    hands.type_into("width of the break", "900");
    hands.type_into("break begins, from the wall's start", "300");
    hands.type_into("break ends, from the wall's end", "600");
    hands.press("break it there");
    // 4000 − 600 − 900.
    let corners: Vec<f64> = hands.plan().rooms[0].walls.iter().take(4).map(|wall| wall.corner.x).collect();
    assert_eq!(corners, [0.0, 2500.0, 3400.0, 4000.0]);
    assert_eq!(hands.plan().rooms[0].walls[1].skirting, Some(plan::Skirting::Without));
    assert_eq!(hands.desk().undo_name(), Some("break the skirting"));
    assert!((hands.house().site.boarded_area() - area).abs() < 1e-3);
    hands.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(hands.plan().rooms[0].walls.len(), 4);
}

#[test]
fn a_fixture_is_dragged_out() {
    let mut hands = Hands::with_plan(one_room());
    let before = hands.house().site.boarded_area();
    hands.keys(&[Key::X]);
    hands.drag((1000.0, 1000.0), (1800.0, 1600.0));
    assert_eq!(hands.plan().fixtures.len(), 1);
    let outline = &hands.plan().fixtures[0].outline;
    let (width, height) = (outline[1].x - outline[0].x, outline[2].y - outline[1].y);
    // Taken out with its gap of 10 all round: closed form.
    let expected = before - (width + 20.0) * (height + 20.0);
    assert!((hands.house().site.boarded_area() - expected).abs() < 1.0);
    assert_eq!(hands.desk().selected(), Selected::Fixture(0));
}

#[test]
fn a_fixture_is_sized_and_stood_by_its_tape_measures() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::X]);
    hands.drag((1000.0, 1000.0), (1800.0, 1600.0));
    for (label, typed) in [
        ("Size across the page", "1400"),
        ("Size up the page", "900"),
        ("From the wall at its left", "650"),
        ("From the wall below", "1020"),
    ] {
        let role = egui::accesskit::Role::TextInput;
        hands.harness.get_by_role_and_label(role, label).focus();
        hands.harness.run();
        hands.key(Modifiers::COMMAND, Key::A);
        hands.letters(typed);
        hands.keys(&[Key::Enter]);
    }
    let outline: Vec<(f64, f64)> = hands.plan().fixtures[0].outline.iter().map(|p| (*p).into()).collect();
    assert_eq!(outline, [(650.0, 1020.0), (2050.0, 1020.0), (2050.0, 1920.0), (650.0, 1920.0)]);
}

#[test]
fn a_room_is_picked_by_its_name_and_its_card_renames_it() {
    let mut hands = Hands::with_plan(one_room());
    // The name stands in the middle of the widest open floor.
    let found =
        (0..40).flat_map(|i| (0..30).map(move |j| (100.0 * f64::from(i), 100.0 * f64::from(j)))).find(|p| {
            let at = hands.screen(*p);
            hands.harness.hover_at(at);
            hands.harness.run();
            hands.click(*p);
            hands.desk().selected() == Selected::Room(0)
        });
    assert!(found.is_some(), "the name can be clicked");
    hands.harness.get_by_label("name of the room").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters("Hall");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().rooms[0].name, "Hall");
}

/// A list opened, gone through and picked from by keys is put away, and what had the keys has them again: the next key is not
/// swallowed by a list that still lies over the fields.
#[test]
fn a_list_is_picked_from_by_keys_alone() {
    use egui::accesskit::Role;
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::NextRoom);
    assert_eq!(hands.desk().selected(), Selected::Room(0));
    hands.harness.get_by_role_and_label(Role::ComboBox, "covering").focus();
    hands.settle();
    hands.keys(&[Key::Enter]);
    assert!(hands.says("something else"), "it is open");
    hands.keys(&[Key::ArrowDown, Key::ArrowDown, Key::Enter]);
    assert_ne!(hands.plan().rooms[0].covering, plan::Covering::Boards);
    let choices = hands.harness.query_all_by_label("boards").count();
    assert_eq!(choices, 0, "it is put away");
    let list = hands.harness.get_by_role_and_label(Role::ComboBox, "covering");
    assert!(list.accesskit_node().is_focused());
}

/// A living room in the angle of a house, its figures round it, in a small window: its card has room under the hall, over bare
/// ground of the figures, and lies on no other room.
#[test]
fn the_card_of_a_room_lies_on_no_other_room() {
    let rect = |x: f64, y: f64, w: f64, h: f64| vec![(x, y), (x + w, y), (x + w, y + h), (x, y + h)];
    let mut plan = plan::Plan::new("Angle");
    let living = vec![
        (6492.0, 1150.0),
        (6492.0, -4600.0),
        (10792.0, -4600.0),
        (11852.0, -3540.0),
        (11852.0, 5000.0),
        (9092.0, 5000.0),
        (9092.0, 1150.0),
    ];
    let rooms = [
        ("Living", living),
        ("Hall", rect(0.0, 0.0, 6400.0, 1150.0)),
        ("Bed 1", rect(0.0, 1242.0, 3400.0, 3300.0)),
        ("Robe 1", rect(0.0, 4634.0, 2400.0, 600.0)),
        ("Bath", rect(3492.0, 1242.0, 1700.0, 3300.0)),
        ("Bed 2", rect(5284.0, 1242.0, 3600.0, 3300.0)),
        ("Robe 2", rect(5284.0, 4634.0, 2400.0, 600.0)),
    ];
    for (name, corners) in rooms {
        plan.rooms.push(plan::Room::boarded(name, corners.into_iter().map(plan::Point::from)));
    }
    let setup = startrow_desk::Setup { plan: Some(plan), ..Default::default() };
    let mut hands = Hands::at_size(setup, [1100.0, 720.0]);
    // Without the line and its pulls, which a card keeps off rather than off floor.
    hands.key(Modifiers::COMMAND, Key::Num4);
    for zoom in 0..3 {
        hands.run(Command::NextRoom);
        assert_eq!(hands.desk().selected(), Selected::Room(0));
        let card = hands.harness.get_by_label_contains("Click a wall or a corner").rect();
        for room in &hands.plan().rooms {
            let on_screen = room.walls.iter().map(|wall| hands.desk().screen_from_plan(wall.corner));
            let room_at = egui::Rect::from_points(&on_screen.collect::<Vec<_>>());
            assert!(!room_at.intersects(card), "{zoom}: {card:?} on {} at {room_at:?}", room.name);
        }
        hands.keys(&[Key::Escape]);
        hands.run(Command::ZoomOut);
    }
}
