//! Work on the desk is safe, headless: the journal after a crash, files changed by something else, disks that refuse.

use crate::hands::Hands;
use plan::{Plan, Point, Room};
use startrow_desk::{Command, Setup};
use std::path::Path;

/// With a file open and a journal.
fn on(file: &Path, journal: &Path) -> Hands {
    let (path, journal_folder) = (Some(file.to_owned()), Some(journal.to_owned()));
    Hands::at(Setup { path, journal_folder, ..Setup::default() })
}

/// A change of the plan that is one step to undo.
fn change(hands: &mut Hands) {
    hands.run(Command::AnotherStagger);
}

fn house() -> Plan {
    let mut plan = Plan::new("Box");
    let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)].map(Point::from);
    plan.rooms.push(Room::boarded("Hall", corners));
    plan
}

struct Place {
    folder: tempfile::TempDir,
}

impl Place {
    fn new() -> Self {
        let place = Self { folder: tempfile::tempdir().expect("a folder") };
        std::fs::write(place.file(), plan::write(&house())).expect("written");
        place
    }

    fn file(&self) -> std::path::PathBuf {
        self.folder.path().join("house.ron")
    }

    fn journal(&self) -> std::path::PathBuf {
        self.folder.path().join("journal")
    }

    fn on_disk(&self) -> Plan {
        plan::read(&std::fs::read_to_string(self.file()).expect("there")).expect("a plan")
    }

    fn journals(&self) -> usize {
        let names = std::fs::read_dir(self.journal()).into_iter().flatten().flatten();
        names.filter(|entry| entry.path().extension().is_some_and(|ending| ending == "journal")).count()
    }
}

#[test]
fn unsaved_work_is_taken_up_after_a_crash_and_can_be_undone() {
    let place = Place::new();
    let mut hands = on(&place.file(), &place.journal());
    assert_eq!(place.journals(), 0, "nothing is unsaved yet");
    change(&mut hands);
    assert_eq!(place.journals(), 1);
    let work = hands.desk().plan().clone();
    assert_ne!(work, house());
    // The program is gone without a word; the file is as it was.
    drop(hands);
    assert_eq!(place.on_disk(), house());

    let mut hands = on(&place.file(), &place.journal());
    assert!(hands.says("Work that was not saved") && hands.says("Box, a moment ago"));
    hands.press("Leave it for later");
    assert_eq!((hands.desk().plan(), place.journals()), (&house(), 1));
    drop(hands);

    let mut hands = on(&place.file(), &place.journal());
    hands.press("Take it up");
    assert_eq!(hands.desk().plan(), &work);
    assert!(hands.desk().is_dirty());
    assert_eq!(hands.desk().undo_name(), Some("take up unsaved work"));
    assert_eq!(place.journals(), 1, "in the new program's journal, no more in the old one's");
    hands.run(Command::Undo);
    assert_eq!(hands.desk().plan(), &house());
    hands.run(Command::Redo);
    hands.run(Command::Save);
    assert_eq!((place.on_disk(), place.journals()), (work, 0));
    let before = std::fs::read_to_string(place.folder.path().join("house.ron.before")).expect("kept");
    assert_eq!(plan::read(&before).expect("a plan"), house(), "what the file held before is kept");
}

/// Two windows with one plan, both gone without a word: the second work is offered once the first is saved, and neither is lost.
#[test]
fn work_of_two_windows_is_taken_up_one_after_the_other() {
    let place = Place::new();
    let mut one = on(&place.file(), &place.journal());
    let mut other = on(&place.file(), &place.journal());
    change(&mut one);
    change(&mut other);
    change(&mut other);
    let works = [one.desk().plan().clone(), other.desk().plan().clone()];
    assert_ne!(works[0], works[1]);
    drop((one, other));
    assert_eq!(place.journals(), 2);

    let mut hands = on(&place.file(), &place.journal());
    assert!(hands.says("1 more was not saved: what is taken up is saved first."));
    hands.press("Take it up");
    let first = hands.desk().plan().clone();
    assert!(works.contains(&first) && !hands.says("Work that was not saved"));
    assert_eq!(place.journals(), 2, "both are still kept");
    assert!(hands.desk().said().is_some_and(|said| said.contains("once this is saved, Box is offered")));
    hands.run(Command::Undo);
    assert!(!hands.says("Work that was not saved"), "do again still leads to the first");
    hands.run(Command::Redo);
    hands.run(Command::Save);
    assert_eq!(place.on_disk(), first);
    assert!(hands.says("Work that was not saved") && !hands.says("more was not saved"));
    hands.press("Take it up");
    let second = hands.desk().plan().clone();
    assert!(works.contains(&second) && second != first);
    assert_eq!(place.on_disk(), first);
}

#[test]
fn work_that_is_thrown_away_does_not_come_back() {
    let place = Place::new();
    let mut hands = on(&place.file(), &place.journal());
    change(&mut hands);
    drop(hands);
    let mut hands = on(&place.file(), &place.journal());
    hands.press("Throw it away");
    assert_eq!((hands.desk().plan(), place.journals()), (&house(), 0));
    assert!(!on(&place.file(), &place.journal()).says("Work that was not saved"));
}

#[test]
fn work_without_a_file_is_taken_up_too() {
    let place = Place::new();
    let start = || Setup { plan: Some(house()), journal_folder: Some(place.journal()), ..Setup::default() };
    let mut hands = Hands::at(start());
    change(&mut hands);
    let work = hands.desk().plan().clone();
    drop(hands);
    let mut hands = Hands::at(start());
    assert!(hands.says("no file yet"));
    hands.press("Take it up");
    assert_eq!(hands.desk().plan(), &work);
}

#[test]
fn a_file_changed_by_something_else_is_not_written_over() {
    let place = Place::new();
    let mut hands = on(&place.file(), &place.journal());
    let theirs = Plan { name: "Theirs".into(), ..house() };
    std::fs::write(place.file(), plan::write(&theirs)).expect("written");
    change(&mut hands);
    let said = hands.desk().said().unwrap_or_default();
    assert!(
        said.starts_with("Something else has changed house.ron"),
        "noticed before anything is saved: {said}"
    );
    hands.run(Command::Save);
    assert!(hands.says("It is not what was opened here any more"));
    assert_eq!(place.on_disk(), theirs);
    hands.press("Stay");
    assert!(hands.desk().is_dirty() && place.on_disk() == theirs);
    hands.run(Command::Save);
    hands.press("Save over it");
    assert_eq!(&place.on_disk(), hands.desk().plan());
    assert!(!hands.desk().is_dirty());
    let before = std::fs::read_to_string(place.folder.path().join("house.ron.before")).expect("kept");
    assert_eq!(plan::read(&before).expect("a plan"), theirs);
    // From here on it is known again.
    change(&mut hands);
    hands.run(Command::Save);
    assert_eq!(&place.on_disk(), hands.desk().plan());
}

#[test]
fn what_cannot_be_saved_is_said_and_stays_on_the_table() {
    let place = Place::new();
    let mut hands = on(&place.file(), &place.journal());
    change(&mut hands);
    let work = hands.desk().plan().clone();
    let nowhere = if cfg!(target_os = "linux") {
        "/sys/kernel/house.ron".into()
    } else {
        place.folder.path().join("no/house.ron")
    };
    hands.type_path(Command::SaveByPath, &nowhere);
    assert!(hands.says("The plan on the table is unharmed"));
    assert!(hands.desk().is_dirty() && hands.desk().plan() == &work);
    assert_eq!((place.on_disk(), place.journals()), (house(), 1));
}

/// Another plan is not written over because a hand typed its name: it is asked about, with the house in it.
#[test]
fn another_plans_file_is_asked_about_before_it_is_written_over() {
    let place = Place::new();
    let other = place.folder.path().join("other.ron");
    let theirs = Plan { name: "Theirs".into(), ..house() };
    std::fs::write(&other, plan::write(&theirs)).expect("written");
    let on_other = || plan::read(&std::fs::read_to_string(&other).expect("there")).expect("a plan");
    let mut hands = on(&place.file(), &place.journal());
    change(&mut hands);
    // With its ending or without it.
    for typed in ["other.ron", "other"] {
        hands.type_path(Command::SaveByPath, &place.folder.path().join(typed));
        assert!(hands.says("other.ron is there already") && hands.says("another plan: Theirs"), "{typed}");
        hands.press("Stay");
        assert!(hands.desk().is_dirty() && on_other() == theirs);
    }
    hands.type_path(Command::SaveByPath, &other);
    hands.press("Save under another name");
    hands.type_into("path of the file", &place.folder.path().join("third").display().to_string());
    assert!(!hands.desk().is_dirty() && place.folder.path().join("third.ron").is_file());
    hands.type_path(Command::SaveByPath, &other);
    hands.press("Save over it");
    assert_eq!(&on_other(), hands.desk().plan());
    let before = std::fs::read_to_string(place.folder.path().join("other.ron.before")).expect("kept");
    assert_eq!(plan::read(&before).expect("a plan"), theirs);
}

/// The plan's own file is its own however its path is typed: what something else wrote to it is asked about, nothing else.
#[test]
fn the_plans_own_file_is_known_by_any_way_to_it() {
    let place = Place::new();
    let mut hands = on(&place.file(), &place.journal());
    std::fs::create_dir(place.folder.path().join("below")).expect("a folder");
    let round = place.folder.path().join("below").join("..").join("house.ron");
    change(&mut hands);
    hands.type_path(Command::SaveByPath, &round);
    assert!(!hands.desk().is_dirty() && &place.on_disk() == hands.desk().plan());
    let theirs = Plan { name: "Theirs".into(), ..house() };
    std::fs::write(place.file(), plan::write(&theirs)).expect("written");
    change(&mut hands);
    hands.type_path(Command::SaveByPath, &place.file());
    assert!(hands.says("It is not what was opened here any more"));
    assert_eq!(place.on_disk(), theirs);
}
