//! A house from nothing by the keyboard alone: a hallway, two bedrooms and a kitchen with its island, doorways between.

use crate::hands::Hands;
use egui::{Key, Modifiers};
use plan::{FixtureKind, Plan, Point};
use startrow_desk::{Command, Selected};

/// Types what stands on the numeric pad; `=` stands for its Enter.
fn pad(hands: &mut Hands, keys: &str) {
    for key in keys.chars() {
        match key {
            '=' => hands.keys(&[Key::Enter]),
            other => hands.letters(&other.to_string()),
        }
    }
}

fn shape(plan: &Plan, room: usize) -> Vec<(f64, f64)> {
    let corner = plan.rooms[0].walls[0].corner;
    plan.rooms[room].walls.iter().map(|wall| (wall.corner.x - corner.x, wall.corner.y - corner.y)).collect()
}

#[test]
fn a_house_is_drawn_without_a_pointer() {
    let mut hands = Hands::with_plan(Plan::new("Empty"));
    // The hallway, 6000 by 1200.
    hands.keys(&[Key::R]);
    pad(&mut hands, "6000=1200=6000==");
    // Its third wall is the upper one: a bedroom of 3600 by 3000 behind it, from its far end on.
    hands.keys(&[Key::W, Key::W, Key::W]);
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 2));
    hands.keys(&[Key::R]);
    pad(&mut hands, "3600=3000=3600==");
    let wall = 92.0;
    let bedroom =
        [(0.0, 1200.0), (3600.0, 1200.0), (3600.0, 4200.0), (0.0, 4200.0)].map(|(x, y)| (x, y + wall));
    assert_eq!(shape(hands.plan(), 1), bedroom, "a wall's thickness away");
    // The second bedroom beside the first: behind its second wall.
    hands.keys(&[Key::W, Key::W, Key::R]);
    pad(&mut hands, "3000=2308=3000==");
    assert_eq!(hands.plan().rooms.len(), 3);
    // Down along the wall first, on its right: the room lies beyond.
    assert_eq!(shape(hands.plan(), 2)[0], (3600.0 + wall, 4200.0 + wall));
    assert_eq!(shape(hands.plan(), 2)[1], (3600.0 + wall, 1200.0 + wall));
    // The kitchen below the hall.
    hands.run(Command::NextRoom);
    assert_eq!(hands.desk().selected(), Selected::Room(0));
    hands.keys(&[Key::W, Key::R]);
    pad(&mut hands, "6000=4000=6000==");
    assert_eq!(shape(hands.plan(), 3)[0], (6000.0, -wall));
    assert_eq!(hands.plan().problems(), []);
    // Its island: 1800 by 900, in the middle.
    hands.keys(&[Key::X]);
    pad(&mut hands, "1800=900=");
    assert_eq!(hands.plan().fixtures[0].kind, FixtureKind::Island);
    let corner = hands.plan().rooms[0].walls[0].corner;
    let low = hands.plan().fixtures[0].outline[0];
    let expected = Point::new(corner.x + 2100.0, corner.y - wall - 2450.0);
    assert!(low.distance(expected) < 1.5, "{low:?} {expected:?}: to the millimetre");
    // Doorways from the hall into the first bedroom and the kitchen.
    hands.run(Command::NextRoom);
    for walls in [3, 1] {
        hands.run(Command::NextRoom);
        while hands.desk().selected() != Selected::Room(0) {
            hands.run(Command::NextRoom);
        }
        for _ in 0..walls {
            hands.keys(&[Key::W]);
        }
        hands.keys(&[Key::D, Key::Enter]);
        assert!(matches!(hands.desk().selected(), Selected::Doorway(_)));
    }
    assert_eq!(hands.plan().doorways.len(), 2);
    assert_eq!(hands.plan().doorways[0].wall_thickness, wall);
    assert_eq!(hands.plan().problems(), []);
    assert_eq!(hands.house().plan, *hands.plan(), "a floor lies in it");
}

#[test]
fn a_fixtures_size_is_typed_and_what_is_none_is_said() {
    let mut hands = Hands::with_plan(crate::hands::one_room());
    hands.keys(&[Key::M, Key::X]);
    pad(&mut hands, "5=");
    assert!(hands.plan().fixtures.is_empty(), "under 20 mm");
    hands.keys(&[Key::Backspace]);
    pad(&mut hands, "600=400=");
    let outline: Vec<(f64, f64)> = hands.plan().fixtures[0].outline.iter().map(|p| (*p).into()).collect();
    assert_eq!(outline[0], (1700.0, 1300.0));
    assert_eq!(outline[2], (2300.0, 1700.0));
    assert_eq!(hands.desk().undo_name(), Some("draw fixture"));
    hands.key(Modifiers::COMMAND, Key::Z);
    // Escape takes back what is typed, then the tool.
    hands.keys(&[Key::M, Key::X]);
    pad(&mut hands, "700=3");
    hands.keys(&[Key::Escape, Key::Escape]);
    assert!(hands.plan().fixtures.is_empty());
}

/// All of it arrives in one frame, as from a quick hand on a slow machine: each key means what the one before led to.
#[test]
fn keys_of_one_frame_are_taken_in_their_order() {
    let mut hands = Hands::with_plan(Plan::new("Empty"));
    // The harness hands over queued events frame by frame; these go into one.
    let key = |hands: &mut Hands, key: Key, text: &str| {
        for pressed in [true, false] {
            hands.harness.input_mut().events.push(egui::Event::Key {
                key,
                physical_key: None,
                pressed,
                repeat: false,
                modifiers: Modifiers::NONE,
            });
            if pressed && !text.is_empty() {
                hands.harness.input_mut().events.push(egui::Event::Text(text.into()));
            }
        }
    };
    key(&mut hands, Key::R, "r");
    for wall in ["6000", "1200", "6000"] {
        for digit in wall.chars() {
            let digit = digit.to_string();
            key(&mut hands, Key::from_name(&digit).expect("a key"), &digit);
        }
        key(&mut hands, Key::Enter, "");
    }
    key(&mut hands, Key::Enter, "");
    // Its third wall, and a room behind it.
    for _ in 0..3 {
        key(&mut hands, Key::W, "w");
    }
    key(&mut hands, Key::R, "r");
    hands.harness.step();
    hands.harness.run();
    assert_eq!(shape(hands.plan(), 0), [(0.0, 0.0), (6000.0, 0.0), (6000.0, 1200.0), (0.0, 1200.0)]);
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 2));
    pad(&mut hands, "3600=3000=3600==");
    assert_eq!(shape(hands.plan(), 1)[0], (0.0, 1292.0));
}
