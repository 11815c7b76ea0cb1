//! Reading the floor: mends tried, another floor beside, the owner's view.

use super::hands::{Hands, one_room};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use plan::StartLine;
use startrow_desk::{Command, Selected, Setup};

#[test]
fn a_flag_is_gone_to_and_its_mend_carried_out() {
    let mut plan = one_room();
    // 3000 less two gaps is 15 boards of 190 and 130: set at 30, the lower rip is 20.
    plan.start_line = StartLine::At(30.0);
    let mut hands = Hands::with_plan(plan);
    let before = hands.house().figures();
    assert!(before.faults > 0);
    hands.keys(&[Key::G]);
    assert_eq!(hands.desk().selected(), Selected::Flag(0));
    hands.key(Modifiers::SHIFT, Key::M);
    assert!(hands.harness.query_all_by_label_contains("Tried, each laid through").next().is_some());
    hands.key(Modifiers::ALT, Key::M);
    let after = hands.house().figures();
    assert!(after.faults < before.faults, "{before:?} {after:?}");
    hands.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(hands.house().figures(), before, "one step back");
}

#[test]
fn another_floor_is_held_beside_and_taken() {
    let mut hands = Hands::with_plan(one_room());
    let before = hands.plan().clone();
    hands.keys(&[Key::C]);
    assert!(hands.harness.query_by_label("under least").is_some());
    assert!(hands.harness.query_all_by_label_contains("on the table").next().is_some());
    hands.keys(&[Key::Escape]);
    assert!(hands.harness.query_by_label("under least").is_none(), "Escape leads back");
    assert_eq!(*hands.plan(), before, "looking changes nothing");
    hands.keys(&[Key::C, Key::C]);
    hands.harness.get_by_label("put it on the table").click();
    hands.harness.run();
    assert!(*hands.plan() != before);
    assert!(hands.desk().undo_name().is_some_and(|name| name.starts_with("take ")));
}

#[test]
fn the_owner_sees_the_floor_from_above_and_from_the_hallway() {
    let mut hands = Hands::at(Setup::default());
    let before = hands.plan().clone();
    hands.keys(&[Key::O]);
    assert!(hands.harness.query_by_label_contains("the floor from above").is_some());
    hands.keys(&[Key::O]);
    assert!(hands.harness.query_by_label_contains("standing on the floor").is_some());
    hands.keys(&[Key::ArrowUp, Key::ArrowLeft, Key::ArrowUp]);
    hands.keys(&[Key::O]);
    assert!(hands.harness.query_by_label_contains("Owner's view").is_none());
    hands.keys(&[Key::O, Key::Escape]);
    assert!(hands.harness.query_by_label_contains("Owner's view").is_none());
    assert_eq!(*hands.plan(), before);
    hands.run(Command::OwnersView);
    assert!(hands.harness.query_by_label_contains("the floor from above").is_some());
}

#[test]
fn the_owner_sees_the_whole_floor_wherever_the_table_was_looked_at() {
    let mut hands = Hands::at(Setup::default());
    hands.keys(&[Key::G]);
    let corners: Vec<_> =
        hands.plan().rooms.iter().flat_map(|room| room.walls.iter().map(|wall| wall.corner)).collect();
    let places = |hands: &Hands| -> Vec<egui::Pos2> {
        corners.iter().map(|corner| hands.desk().screen_from_plan(*corner)).collect()
    };
    let window = hands.harness.ctx.content_rect();
    let near = places(&hands);
    assert!(near.iter().any(|at| !window.contains(*at)), "gone to a flag, the house is not whole in view");
    hands.keys(&[Key::O]);
    let above = places(&hands);
    assert!(above.iter().all(|at| window.contains(*at)), "{above:?}");
    hands.keys(&[Key::O, Key::O]);
    assert_eq!(places(&hands), near, "back on the table as it was left");
    hands.keys(&[Key::O, Key::Escape]);
    assert_eq!(places(&hands), near);
}

#[test]
fn a_distance_is_measured_between_two_things() {
    let mut hands = Hands::with_plan(one_room());
    let before = hands.plan().clone();
    hands.keys(&[Key::A]);
    hands.click((0.0, 0.0));
    hands.click((4000.0, 3000.0));
    // The 3-4-5 triangle; nothing of it is kept. The next click begins anew, and Escape leaves.
    hands.click((4000.0, 0.0));
    hands.keys(&[Key::Escape, Key::Escape]);
    assert_eq!(*hands.plan(), before);
    assert_eq!(hands.desk().selected(), Selected::Nothing);
}

#[test]
fn size_and_contrast_are_kept_for_the_next_time() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("desk.ron");
    let setup = || Setup { settings_path: Some(path.clone()), plan: Some(one_room()), ..Setup::default() };
    let mut hands = Hands::at(setup());
    hands.key(Modifiers::COMMAND, Key::Plus);
    hands.key(Modifiers::COMMAND, Key::Plus);
    assert!((hands.harness.ctx.zoom_factor() - 1.5).abs() < 1e-6);
    hands.run(Command::ToggleContrast);
    let kept = std::fs::read_to_string(&path).expect("settings are written");
    assert!(kept.contains("scale: 150") && kept.contains("hard: true"), "{kept}");
    for _ in 0..20 {
        hands.run(Command::Larger);
    }
    assert!((hands.harness.ctx.zoom_factor() - 3.0).abs() < 1e-6, "no more than 300 %");
    // In so little room everything can still be asked for, a search with a thread of its own too.
    hands.waits = true;
    for command in Command::all()
        .filter(|command| !matches!(command, Command::Quit | Command::WriteSheets | Command::LayOn))
    {
        hands.run(command);
        hands.keys(&[Key::Escape]);
    }
    hands.run(Command::UsualSize);
    assert!((hands.harness.ctx.zoom_factor() - 1.0).abs() < 1e-6);
}
