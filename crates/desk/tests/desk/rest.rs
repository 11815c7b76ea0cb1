//! While nothing happens nothing is drawn: no frame is asked for, at once or later.

use super::hands::Hands;
use egui::Key;
use startrow_desk::{Command, Setup};
use std::time::Duration;

/// Whether the desk at rest asks for no further frame within a day.
fn is_at_rest(hands: &mut Hands) -> bool {
    hands.harness.run();
    // What fades in or is due soon comes to its end.
    for _ in 0..60 {
        hands.harness.step();
    }
    (0..10).all(|_| {
        hands.harness.step();
        let views = hands.harness.output().viewport_output.values();
        views.map(|view| view.repaint_delay).min().is_none_or(|delay| delay > Duration::from_secs(86_400))
    })
}

#[test]
fn idle_nothing_is_painted_whatever_is_on_show() {
    let folder = tempfile::tempdir().expect("a folder");
    let settings_path = Some(folder.path().join("desk.ron"));
    let mut hands = Hands::at(Setup { settings_path, ..Setup::default() });
    assert!(is_at_rest(&mut hands), "the sample house and the first steps");
    hands.keys(&[Key::F1, Key::G]);
    assert!(is_at_rest(&mut hands), "a flag and its card");
    hands.run(Command::TryMends);
    assert!(is_at_rest(&mut hands), "mends");
    hands.run(Command::OpenAllSteps);
    assert!(is_at_rest(&mut hands), "every step");
    hands.run(Command::CloseAllSteps);
    for (command, what) in [
        (Command::SideBySide, "two floors side by side"),
        (Command::OwnersView, "the owner's view from above"),
        (Command::OwnersView, "the owner's view from the hallway"),
        (Command::NextBoard, "the laying, held"),
        (Command::DrawRoom, "a room about to be drawn"),
    ] {
        hands.run(command);
        assert!(is_at_rest(&mut hands), "{what}");
    }
}
