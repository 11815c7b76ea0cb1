//! A plan that is asked for while the one on the table is not saved: it is named, and what becomes of it is said.

use crate::hands::{Hands, one_room};
use egui::Key;
use startrow_desk::{Command, Setup};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A file held over the window and let go.
#[derive(Debug)]
struct Held(PathBuf);

impl egui::DroppedFile for Held {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

fn drop_on(hands: &mut Hands, paths: &[PathBuf]) {
    let held =
        paths.iter().map(|path| -> Arc<dyn egui::DroppedFile + Send + Sync> { Arc::new(Held(path.clone())) });
    hands.harness.input_mut().dropped_files.extend(held);
    hands.harness.run();
}

/// A desk with a plan that is not saved, and two plans in files.
struct Place {
    folder: tempfile::TempDir,
    hands: Hands,
}

impl Place {
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        for (file, name) in [("barn.ron", "Heron Barn"), ("loft.ron", "Wren Loft")] {
            let mut plan = one_room();
            plan.name = name.into();
            std::fs::write(folder.path().join(file), plan::write(&plan)).expect("written");
        }
        let settings_path = Some(folder.path().join("settings"));
        let mut hands = Hands::at(Setup { plan: Some(one_room()), settings_path, ..Setup::default() });
        hands.run(Command::AnotherStagger);
        assert!(hands.desk().is_dirty());
        Self { folder, hands }
    }

    fn path(&self, file: &str) -> PathBuf {
        self.folder.path().join(file)
    }

    fn said(&self) -> &str {
        self.hands.desk().said().unwrap_or_default()
    }

    fn name(&self) -> &str {
        &self.hands.plan().name
    }

    fn drop(&mut self, file: &str) {
        self.drop_all(&[file]);
    }

    fn drop_all(&mut self, files: &[&str]) {
        let paths: Vec<PathBuf> = files.iter().map(|file| self.path(file)).collect();
        drop_on(&mut self.hands, &paths);
    }
}

/// Of files let go together the first is opened; the others are named, as far as a line holds them.
#[test]
fn files_that_are_left_out_are_named() {
    let mut place = Place::new();
    let own = place.path("box.ron");
    place.hands.type_path(Command::SaveByPath, &own);
    place.drop_all(&["barn.ron", "loft.ron"]);
    assert_eq!(place.name(), "Heron Barn");
    assert_eq!(place.said(), "One file is taken at a time: barn.ron; left out: loft.ron");
    place.drop_all(&["loft.ron", "barn.ron", "a.png", "b.dxf", "c.ron", "d.ron"]);
    assert_eq!(place.name(), "Wren Loft");
    let words = "One file is taken at a time: loft.ron; left out: barn.ron, a.png, b.dxf and 2 more";
    assert_eq!(place.said(), words);
    place.drop("barn.ron");
    assert_eq!(place.said(), "", "one alone leaves none");
}

#[test]
fn the_plan_that_waits_is_named_and_opened_once_the_other_is_saved() {
    let mut place = Place::new();
    place.drop("barn.ron");
    assert!(place.hands.shows("Box is not saved"));
    assert!(place.hands.shows("barn.ron waits to be opened: Heron Barn."));
    place.hands.press("Save, then open it");
    // Box has no file yet: its path is asked for, and what comes after is still said.
    assert_eq!(place.name(), "Box");
    assert!(place.hands.shows("barn.ron is opened after that."));
    let own = place.path("box.ron");
    place.hands.type_into("path of the file", &own.display().to_string());
    assert_eq!(place.name(), "Heron Barn");
    assert!(own.exists());
    assert_eq!(place.said(), format!("Saved to {}; barn.ron is open", own.display()));
}

#[test]
fn a_plan_with_a_file_is_saved_to_it_and_the_other_opened_at_once() {
    let mut place = Place::new();
    let own = place.path("box.ron");
    place.hands.type_path(Command::SaveByPath, &own);
    place.hands.run(Command::AnotherStagger);
    let changed = plan::write(place.hands.plan());
    place.drop("barn.ron");
    place.hands.press("Save, then open it");
    assert_eq!(place.name(), "Heron Barn");
    assert_eq!(std::fs::read_to_string(own).expect("saved"), changed);
}

#[test]
fn without_saving_it_is_opened_and_stay_says_that_it_is_not() {
    let mut place = Place::new();
    place.drop("barn.ron");
    place.hands.press("Stay");
    assert_eq!(place.name(), "Box");
    assert!(place.hands.desk().is_dirty());
    assert_eq!(place.said(), "barn.ron was not opened: Box stays on the table, not saved");
    place.drop("barn.ron");
    place.hands.keys(&[Key::Escape]);
    assert_eq!(place.said(), "barn.ron was not opened: Box stays on the table, not saved");
    place.drop("barn.ron");
    place.hands.press("Open it without saving");
    assert_eq!(place.name(), "Heron Barn");
    assert!(!place.hands.desk().is_dirty());
}

#[test]
fn leaving_the_path_that_is_asked_for_leaves_the_plan_that_waits() {
    let mut place = Place::new();
    place.drop("barn.ron");
    place.hands.press("Save, then open it");
    place.hands.press("Stay");
    assert_eq!(place.said(), "barn.ron was not opened: Box stays on the table, not saved");
    // Saved later on, nothing is opened any more.
    let own = place.path("box.ron");
    place.hands.type_path(Command::SaveByPath, &own);
    assert_eq!((place.name(), place.said()), ("Box", format!("Saved to {}", own.display()).as_str()));
}

#[test]
fn of_two_plans_asked_for_the_later_waits_and_the_other_is_told_of() {
    let mut place = Place::new();
    place.drop("barn.ron");
    place.drop("loft.ron");
    assert!(place.hands.shows("loft.ron waits to be opened: Wren Loft."));
    assert_eq!(place.said(), "barn.ron was not opened");
    // Also while a path to save to is typed.
    place.hands.press("Save, then open it");
    place.drop("barn.ron");
    assert_eq!(place.said(), "loft.ron was not opened");
    place.hands.press("Open it without saving");
    assert_eq!(place.name(), "Heron Barn");
    // What was given up does not come back with the next saving.
    place.hands.run(Command::AnotherStagger);
    place.hands.run(Command::Save);
    assert_eq!(place.name(), "Heron Barn");
}

#[test]
fn a_typed_path_and_a_recent_plan_ask_in_the_same_words() {
    let mut place = Place::new();
    let barn = place.path("barn.ron");
    // The path comes first: there is nothing to lose before it is known.
    place.hands.type_path(Command::OpenByPath, &barn);
    assert!(place.hands.shows("barn.ron waits to be opened: Heron Barn."));
    place.hands.press("Open it without saving");
    let loft = place.path("loft.ron");
    place.hands.type_path(Command::OpenByPath, &loft);
    assert_eq!(place.name(), "Wren Loft", "nothing is asked where nothing is lost");
    place.hands.run(Command::AnotherStagger);
    place.hands.press("Wren Loft •");
    place.hands.press("barn");
    assert!(place.hands.shows("Wren Loft is not saved"));
    assert!(place.hands.shows("barn.ron waits to be opened: Heron Barn."));
    place.hands.press("Stay");
    assert_eq!(place.name(), "Wren Loft");
    // Choosing is broken off: nothing is lost by it.
    place.hands.run(Command::OpenByPath);
    place.hands.press("Stay");
    assert!(place.hands.desk().is_dirty());
}

#[test]
fn a_file_that_cannot_be_read_takes_nothing_from_the_table() {
    let mut place = Place::new();
    let bad = place.path("bad.ron");
    std::fs::write(&bad, "no plan").expect("written");
    drop_on(&mut place.hands, std::slice::from_ref(&bad));
    assert!(place.hands.shows("bad.ron cannot be opened"), "nothing is asked before that");
    place.hands.press("Close");
    assert!(place.hands.desk().is_dirty());
    // One that goes while it waits leaves the work as it is, and guarded.
    place.drop("barn.ron");
    std::fs::remove_file(place.path("barn.ron")).expect("gone");
    place.hands.press("Open it without saving");
    assert!(place.hands.shows("barn.ron cannot be opened"));
    place.hands.press("Close");
    assert_eq!(place.name(), "Box");
    assert!(place.hands.desk().is_dirty(), "work that is on the table still counts as not saved");
}
