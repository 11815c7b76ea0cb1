//! What is typed over the floor: figures, names, and letters that were not meant as commands.

use crate::hands::{Hands, one_room};
use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::Queryable;
use startrow_desk::{Command, Selected};

/// A key with the letter it gives, among the events of the next frame.
fn queue(hands: &mut Hands, key: Key, text: &str) {
    for pressed in [true, false] {
        let modifiers = Modifiers::NONE;
        let event = Event::Key { key, physical_key: None, pressed, repeat: false, modifiers };
        hands.harness.input_mut().events.push(event);
        if pressed && !text.is_empty() {
            hands.harness.input_mut().events.push(Event::Text(text.into()));
        }
    }
}

/// All of these in one frame.
fn queue_all(hands: &mut Hands, keys: &str) {
    for letter in keys.chars() {
        match letter {
            '=' => queue(hands, Key::Enter, ""),
            letter => {
                let name = letter.to_ascii_uppercase().to_string();
                let key = Key::from_name(&name).unwrap_or(Key::Period);
                queue(hands, key, &letter.to_string());
            }
        }
    }
    hands.harness.step();
    hands.harness.run();
}

#[test]
fn a_figure_and_its_enter_in_one_frame_are_taken() {
    let mut hands = Hands::with_plan(one_room());
    // With the pointer over the floor, as a hand leaves it.
    let over = hands.screen((2000.0, 1500.0));
    hands.harness.hover_at(over);
    hands.harness.run();
    hands.keys(&[Key::M, Key::W]);
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 0));
    queue_all(&mut hands, "3500=");
    let length = |hands: &Hands| hands.plan().rooms[0].wall_line(0).map(|(a, b)| a.distance(b));
    assert_eq!(length(&hands), Some(3500.0));
    // A unit's letters belong to the figure, not to the commands.
    queue_all(&mut hands, "4.1m=");
    assert_eq!(length(&hands), Some(4100.0));
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 0), "no room was gone to");
    // What is no length is said, and changes nothing.
    queue_all(&mut hands, "4..=");
    assert_eq!(length(&hands), Some(4100.0));
    assert!(hands.desk().said().is_some());
    // Digit by digit, frame by frame, it stands in the card's field and waits for its Enter.
    hands.letters("39");
    hands.letters("00");
    assert_eq!(length(&hands), Some(4100.0));
    hands.keys(&[Key::Enter]);
    assert_eq!(length(&hands), Some(3900.0));
}

#[test]
fn letters_for_the_whole_floor_wait_while_a_wall_is_selected() {
    let mut hands = Hands::with_plan(one_room());
    let before = hands.plan().clone();
    hands.keys(&[Key::M, Key::W]);
    for key in [Key::N, Key::H, Key::B, Key::U] {
        hands.keys(&[key]);
        assert_eq!(*hands.plan(), before, "{key:?}");
        let said = hands.desk().said().expect("it says why");
        assert!(said.contains("for the whole floor: Esc"), "{said}");
    }
    hands.keys(&[Key::Escape, Key::N]);
    assert_ne!(hands.plan().seed, before.seed, "with nothing selected it is done");
    let said = hands.desk().said().expect("what a letter did is said");
    assert!(said.starts_with("Done: another stagger"), "{said}");
    // What concerns the wall itself is done.
    hands.keys(&[Key::M, Key::W, Key::S]);
    assert_eq!(hands.plan().rooms[0].walls.len(), 5);
    assert!(hands.desk().said().is_some_and(|said| said.contains("takes it back")));
}

#[test]
fn a_word_typed_over_a_room_is_its_name() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::M]);
    let before = hands.plan().clone();
    // K, I, T, C and H are commands each; typed as a word they are none.
    queue_all(&mut hands, "kitchen");
    assert_eq!(*hands.plan(), before, "what the letters did is taken back");
    assert_eq!(hands.desk().selected(), Selected::Room(0));
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().rooms[0].name, "kitchen");
    // To a wall of the next room, and a room behind it, with a practised hand: no word, however quick.
    hands.keys(&[Key::Escape]);
    queue_all(&mut hands, "mwr3000=2000=3000==");
    assert_eq!(hands.plan().rooms.len(), 2, "{:?}", hands.desk().said());
    assert_eq!(hands.plan().rooms[0].name, "kitchen");
    hands.run(Command::Undo);
    // One by one they are commands.
    hands.keys(&[Key::Escape, Key::M, Key::I]);
    assert!(hands.plan().is_pinned(&plan::Place::Room(0)));
}

#[test]
fn a_key_goes_to_the_name() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::F2]);
    assert!(hands.desk().said().is_some_and(|said| said.contains("then it can be named")));
    hands.keys(&[Key::M, Key::W, Key::F2]);
    hands.letters("Parlour");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().rooms[0].name, "Parlour", "of a wall, its room");
    // The key, the name and its Enter in one frame, as on a slow machine.
    hands.keys(&[Key::Escape, Key::M]);
    queue(&mut hands, Key::F2, "");
    queue_all(&mut hands, "hall=");
    assert_eq!(hands.plan().rooms[0].name, "hall");
    assert_eq!(hands.plan().seed, one_room().seed, "none of it was a command");
    // The key in one frame, the letters in the next, before the field has the keys.
    queue(&mut hands, Key::F2, "");
    hands.harness.step();
    queue_all(&mut hands, "den");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().rooms[0].name, "den");
    // A name, its Enter and the next command's letter in one frame: the letter is neither lost nor part of the name.
    hands.keys(&[Key::F2]);
    queue_all(&mut hands, "loft=w");
    hands.harness.run();
    assert_eq!(hands.plan().rooms[0].name, "loft");
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 0), "W goes to the first wall");
    // Enter, and Escape on its heels in the same frame: the name is taken first.
    hands.keys(&[Key::F2]);
    hands.letters("Study");
    queue(&mut hands, Key::Enter, "");
    queue(&mut hands, Key::Escape, "");
    hands.harness.step();
    hands.harness.run();
    assert_eq!(hands.plan().rooms[0].name, "Study");
    hands.run(Command::PlaceDoorway);
    hands.click((2000.0, 0.0));
    hands.keys(&[Key::F2]);
    hands.letters("Front door");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().doorways[0].name, "Front door");
    assert!(hands.harness.query_all_by_label_contains("Front door").next().is_some());
}

#[test]
fn a_wall_gone_to_out_of_view_is_shown_at_once_and_loses_no_digit() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::M]);
    for _ in 0..8 {
        hands.run(Command::ZoomIn);
    }
    hands.keys(&[Key::Escape]);
    let is_seen = |hands: &Hands, p| hands.desk().screen_from_plan(plan::Point::from(p));
    let before = is_seen(&hands, (2000.0, 0.0));
    hands.keys(&[Key::W]);
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 0));
    assert_ne!(is_seen(&hands, (2000.0, 0.0)), before, "the view goes to the wall");
    assert!(hands.harness.query_all_by_label("length of the wall").next().is_some(), "its card stands");
    // The next wall and its figure, each key in a frame of its own.
    for _ in 0..8 {
        hands.run(Command::ZoomIn);
    }
    for (key, text) in [(Key::W, "w"), (Key::Num4, "4"), (Key::Num5, "5"), (Key::Num0, "0"), (Key::Num0, "0")]
    {
        queue(&mut hands, key, text);
        hands.harness.step();
    }
    hands.keys(&[Key::Enter]);
    let length = |hands: &Hands, wall| hands.plan().rooms[0].wall_line(wall).map(|(a, b)| a.distance(b));
    assert_eq!(length(&hands, 1), Some(4500.0));
    // The key and the first digit in one frame, the others each in theirs.
    for _ in 0..8 {
        hands.run(Command::ZoomIn);
    }
    queue(&mut hands, Key::W, "w");
    for (key, text) in [(Key::Num4, "4"), (Key::Num2, "2"), (Key::Num0, "0"), (Key::Num0, "0")] {
        queue(&mut hands, key, text);
        hands.harness.step();
    }
    hands.keys(&[Key::Enter]);
    assert_eq!(length(&hands, 2), Some(4200.0));
}
