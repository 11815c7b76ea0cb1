//! Plans opened and saved, sheets written, unsaved work asked about.

use crate::hands::{Hands, one_room};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use startrow_desk::{Command, Setup};
use std::path::PathBuf;

#[test]
fn sheets_are_written_into_the_folder() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("box.ron");
    let mut hands = Hands::with_plan(one_room());
    hands.type_path(Command::SaveByPath, &path);
    hands.run(Command::WriteSheets);
    let pdf = std::fs::read(folder.path().join("box-sheets.pdf")).expect("a PDF");
    assert!(pdf.starts_with(b"%PDF-"));
    let svg = std::fs::read_to_string(folder.path().join("box-floor.svg")).expect("an SVG");
    assert!(svg.contains("<svg") && svg.contains("Room 1"));
    let png = std::fs::read(folder.path().join("box-floor.png")).expect("a PNG");
    assert!(png.starts_with(b"\x89PNG"));
}

#[test]
fn a_bad_file_leaves_the_plan_on_the_table() {
    let folder = tempfile::tempdir().expect("a folder");
    let bad = folder.path().join("bad.ron");
    std::fs::write(&bad, "(\n    format: 99,\n    name: \"From tomorrow\",\n)\n").expect("written");
    let mut hands = Hands::with_plan(one_room());
    for path in [bad, folder.path().join("missing.ron")] {
        hands.type_path(Command::OpenByPath, &path);
        assert_eq!(*hands.plan(), one_room());
        let title = format!("{} cannot be opened", path.file_name().expect("named").to_string_lossy());
        assert!(hands.harness.query_by_label(&title).is_some(), "said in the window");
        hands.harness.get_by_label("Close").click();
        hands.harness.run();
    }
    assert!(hands.house().plan == one_room(), "the floor stays");
}

#[test]
fn a_plan_is_saved_and_opened_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let path: PathBuf = folder.path().join("box.ron");
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::AnotherStagger);
    assert!(hands.desk().is_dirty());
    hands.type_path(Command::SaveByPath, &path);
    assert!(!hands.desk().is_dirty());
    let saved = hands.plan().clone();
    assert_eq!(std::fs::read_to_string(&path).expect("saved"), plan::write(&saved));
    let left: Vec<_> = std::fs::read_dir(folder.path()).expect("a folder").collect();
    assert_eq!(left.len(), 1, "nothing is left beside it");
    let again = Hands::at(Setup { path: Some(path), ..Setup::default() });
    assert_eq!(*again.plan(), saved);
}

#[test]
fn unsaved_work_is_asked_about() {
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::AnotherStagger);
    let changed = hands.plan().clone();
    hands.run(Command::New);
    assert!(hands.harness.query_by_label("Box is not saved").is_some());
    hands.harness.get_by_label("Stay").click();
    hands.harness.run();
    assert_eq!(*hands.plan(), changed);
    hands.run(Command::New);
    hands.harness.get_by_label("Begin it without saving").click();
    hands.harness.run();
    assert!(hands.plan().rooms.is_empty());
}

#[test]
fn the_window_is_not_closed_over_unsaved_work() {
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::AnotherStagger);
    let root = egui::ViewportId::ROOT;
    let close = egui::ViewportEvent::Close;
    hands.harness.input_mut().viewports.entry(root).or_default().events.push(close);
    hands.harness.step();
    let cancels =
        hands.harness.output().viewport_output[&root].commands.contains(&egui::ViewportCommand::CancelClose);
    assert!(cancels);
    hands.harness.input_mut().viewports.entry(root).or_default().events.clear();
    hands.harness.run();
    assert!(hands.harness.query_by_label("Box is not saved").is_some());
}

#[test]
fn a_path_that_cannot_be_saved_to_is_mended_where_it_was_typed() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::AnotherStagger);
    hands.type_path(Command::SaveByPath, &folder.path().join("missing").join("box.ron"));
    assert!(hands.desk().is_dirty());
    assert!(hands.harness.query_by_label("Not saved: there is no such folder").is_some());
    hands.harness.get_by_label("path of the file").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters(&folder.path().join("box.ron").display().to_string());
    hands.keys(&[Key::Enter]);
    assert!(!hands.desk().is_dirty());
    assert!(folder.path().join("box.ron").exists());
}
