//! The first steps: shown once, watching what is done, left and found again.

use super::hands::{Hands, one_room};
use egui::{Key, Modifiers, Rect};
use egui_kittest::kittest::Queryable;
use startrow_desk::{Command, Selected, Setup};
use std::path::Path;

fn first_run(folder: &Path) -> Hands {
    Hands::at(Setup { settings_path: Some(folder.join("desk.ron")), ..Setup::default() })
}

fn shows(hands: &Hands, title: &str) -> bool {
    hands.harness.query_by_label(title).is_some()
}

#[test]
fn the_first_steps_watch_what_is_done_with_the_keyboard_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut hands = first_run(folder.path());
    assert!(shows(&hands, "Pick a room"));
    hands.keys(&[Key::H]);
    hands.key(Modifiers::COMMAND, Key::Z);
    assert!(shows(&hands, "Pick a room"), "turning the rows picks no room");
    hands.keys(&[Key::M]);
    assert!(shows(&hands, "Type a wall's length"));
    hands.keys(&[Key::W]);
    assert!(shows(&hands, "Type a wall's length"), "a wall is marked, no length typed");
    let Selected::Wall(room, wall) = hands.desk().selected() else { panic!("no wall is marked") };
    let (a, b) = hands.plan().rooms[room].wall_line(wall).expect("a wall");
    // So short a wall loses what stands at its end.
    hands.letters("5060");
    hands.keys(&[Key::Enter]);
    assert!(hands.harness.query_by_label_contains("Something does not fit").is_some());
    hands.run(Command::Undo);
    assert!(shows(&hands, "Type a wall's length"));
    hands.letters(&format!("{:.0}", a.distance(b) + 40.0));
    hands.keys(&[Key::Enter]);
    assert!(shows(&hands, "Move the start line"));
    hands.key(Modifiers::ALT, Key::ArrowUp);
    assert!(shows(&hands, "Read a flag"));
    hands.keys(&[Key::G]);
    assert!(shows(&hands, "Mend it"));
    // Not every flag has a mend in the plan alone.
    for _ in 0..8 {
        hands.key(Modifiers::ALT, Key::M);
        if !shows(&hands, "Mend it") {
            break;
        }
        hands.keys(&[Key::G]);
    }
    assert!(shows(&hands, "Look at the sheets"));
    hands.run(Command::LookAtSheets);
    hands.keys(&[Key::Escape]);
    assert!(shows(&hands, "That is the whole job"));
    hands.harness.get_by_label("put this away").click();
    hands.harness.run();
    assert!(!shows(&hands, "That is the whole job"));
    drop(hands);
    assert!(!shows(&first_run(folder.path()), "Pick a room"), "shown once");
}

#[test]
fn the_first_steps_are_passed_over_left_and_found_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut hands = first_run(folder.path());
    hands.harness.get_by_label("go on").click();
    hands.harness.run();
    assert!(shows(&hands, "Type a wall's length"));
    hands.harness.get_by_label("leave the first steps").click();
    hands.harness.run();
    assert!(!shows(&hands, "Type a wall's length"));
    let mut again = first_run(folder.path());
    assert!(!shows(&again, "Pick a room"));
    again.keys(&[Key::F1]);
    assert!(shows(&again, "Pick a room"));
    again.keys(&[Key::F1]);
    assert!(!shows(&again, "Pick a room"));
    again.key(Modifiers::COMMAND, Key::K);
    again.letters("first steps");
    again.keys(&[Key::Enter]);
    assert!(shows(&again, "Pick a room"));
}

#[test]
fn who_opens_a_plan_of_their_own_is_not_held_up() {
    let folder = tempfile::tempdir().expect("a folder");
    let settings_path = Some(folder.path().join("desk.ron"));
    let setup = Setup { settings_path, plan: Some(one_room()), ..Setup::default() };
    assert!(!shows(&Hands::at(setup), "Pick a room"));
    assert!(!shows(&Hands::at(Setup::default()), "Pick a room"), "where nothing is kept, nothing is first");
}

#[test]
fn the_card_opens_in_a_corner_of_the_table() {
    for size in [[1600.0, 1000.0], [1280.0, 800.0]] {
        let folder = tempfile::tempdir().expect("a folder");
        let setup = Setup { settings_path: Some(folder.path().join("desk.ron")), ..Setup::default() };
        let hands = Hands::at_size(setup, size);
        let label = |text: &str| hands.harness.get_by_label_contains(text).rect();
        let card =
            label("Pick a room").union(label("A room is picked by its name")).union(label("leave the first"));
        let table =
            hands.harness.ctx.read_response(egui::Id::unique("startrow canvas")).expect("a table").rect;
        // Its margin and its frame; at its right some of the last line of words.
        let aside = (card.left() - table.left()).min(table.right() - card.right());
        let off = (card.top() - table.top()).min(table.bottom() - card.bottom());
        assert!(aside < 70.0 && off < 80.0, "{size:?}: {card:?} on {table:?}");
    }
}

#[test]
fn the_card_goes_out_of_the_way_of_what_it_speaks_of() {
    let folder = tempfile::tempdir().expect("a folder");
    let setup = Setup { settings_path: Some(folder.path().join("desk.ron")), ..Setup::default() };
    let mut hands = Hands::at_size(setup, [1280.0, 800.0]);
    let card = |hands: &Hands, title: &str| {
        let title = hands.harness.get_by_label(title).rect();
        title.union(hands.harness.get_by_label("leave the first steps").rect())
    };
    hands.keys(&[Key::M]);
    for _ in 0..hands.plan().rooms[0].walls.len() {
        hands.keys(&[Key::W]);
        let Selected::Wall(room, wall) = hands.desk().selected() else { panic!("no wall is marked") };
        let (a, b) = hands.plan().rooms[room].wall_line(wall).expect("a wall");
        let [a, b] = [a, b].map(|end| hands.desk().screen_from_plan(end));
        let card = card(&hands, "Type a wall's length");
        assert!(!card.intersects(egui::Rect::from_two_pos(a, b)), "wall {wall}: {card:?} over {a:?} {b:?}");
    }
    for (command, title) in [(Command::NextFlag, "Read a flag"), (Command::TryMends, "Mend it")] {
        while !shows(&hands, title) {
            hands.harness.get_by_label("go on").click();
            hands.harness.run();
        }
        hands.run(command);
        let Selected::Flag(flag) = hands.desk().selected() else { continue };
        let at = hands.desk().screen_from_plan(hands.house().flags[flag].at);
        // Where nothing would mend the flag that step is through, too.
        let title =
            ["Read a flag", "Mend it", "Look at the sheets"].into_iter().find(|title| shows(&hands, title));
        let title = title.expect("one of the steps");
        let card = card(&hands, title);
        assert!(!card.contains(at), "{title}: {card:?} over {at:?}");
    }
}

/// A small window, and writing half as large again in it: the floor is there to be worked on.
#[test]
fn on_a_small_table_the_card_lies_folded_to_a_line_that_opens() {
    for (size, percent) in [([900.0, 600.0], 100), ([1024.0, 700.0], 100), ([900.0, 600.0], 150)] {
        let folder = tempfile::tempdir().expect("a folder");
        let setup = Setup { settings_path: Some(folder.path().join("desk.ron")), ..Setup::default() };
        let larger = percent as f32 / 100.0;
        let mut hands = Hands::at_size(setup, size.map(|side| side / larger));
        let span = |hands: &Hands| {
            let rooms = &hands.plan().rooms;
            let corners = rooms.iter().flat_map(|room| &room.walls);
            Rect::from_points(
                &corners.map(|wall| hands.desk().screen_from_plan(wall.corner)).collect::<Vec<_>>(),
            )
        };
        let line = |hands: &Hands| {
            let label = |text: &str| hands.harness.get_by_label(text).rect();
            let line = label("First steps, 1 of 6").union(label("leave the first steps"));
            line.expand2(egui::vec2(12.0, 4.0))
        };
        let words = "A room is picked by its name";
        assert!(!hands.says(words), "{size:?}");
        let (folded, floor) = (line(&hands), span(&hands));
        assert!(folded.height() < 50.0 && !floor.intersects(folded), "{size:?}: {folded:?} over {floor:?}");
        hands.press("show how");
        assert!(hands.says(words) && !shows(&hands, "show how"));
        assert_eq!(span(&hands), floor, "the floor stays where it is while the words are read");
        hands.press("fold");
        assert!(!hands.says(words));
        assert_eq!(line(&hands), folded);
        // Without it the floor is hardly larger.
        hands.press("show how");
        hands.press("go on");
        assert!(
            shows(&hands, "Type a wall's length") && shows(&hands, "show how"),
            "the next step is folded"
        );
        hands.press("leave the first steps");
        hands.run(Command::Fit);
        let alone = span(&hands);
        assert!(floor.width() > 0.85 * alone.width(), "{size:?}: {floor:?}, alone {alone:?}");
    }
}

#[test]
fn what_is_folded_or_opened_by_hand_stays_so_where_there_is_room() {
    let folder = tempfile::tempdir().expect("a folder");
    let setup = Setup { settings_path: Some(folder.path().join("desk.ron")), ..Setup::default() };
    let mut hands = Hands::at_size(setup, [1600.0, 1000.0]);
    assert!(hands.says("A room is picked by its name"));
    hands.press("fold");
    assert!(!hands.says("A room is picked by its name") && shows(&hands, "Pick a room"));
    hands.keys(&[Key::M]);
    assert!(shows(&hands, "Type a wall's length") && shows(&hands, "show how"), "the next one, too");
    hands.press("show how");
    assert!(hands.says("until the wall you mean is marked"));
    hands.press("go on");
    assert!(hands.says("The blue chalk line"));
}
