//! A plan saved while something in it is still to be mended: it is opened again, says what that is, and is mended on the table.

use crate::any::{Chance, asked, is_left_out};
use crate::hands::{Hands, one_room};
use plan::{Doorway, Plan, Point, Room};
use startrow_desk::{Command, Setup};
use std::path::PathBuf;

fn room(name: &str, (left, lower): (f64, f64), (right, upper): (f64, f64)) -> Room {
    Room::boarded(name, [(left, lower), (right, lower), (right, upper), (left, upper)].map(Point::from))
}

/// Plans as they stand on a table in the middle of the work, each with something that keeps a floor from being laid.
fn unfinished() -> Vec<Plan> {
    let mut over = one_room();
    over.rooms.push(room("Store", (3000.0, 1000.0), (6000.0, 2500.0)));
    let mut past = one_room();
    past.doorways.push(Doorway::plain("Door", "Room 1", 0, 9000.0, 800.0));
    let mut twice = one_room();
    twice.stock.lengths.push(twice.stock.lengths[0]);
    let mut wide = one_room();
    wide.rules.least_rip = 900.0;
    let mut lost = one_room();
    lost.doorways.push(Doorway::plain("Door", "Nowhere", 7, 100.0, 800.0));
    vec![over, past, twice, wide, lost]
}

/// Saved by one desk, opened by another.
fn opened_again(plan: &Plan) -> (Hands, PathBuf, tempfile::TempDir) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("friday.ron");
    let mut hands = Hands::with_plan(plan.clone());
    hands.type_path(Command::SaveByPath, &path);
    assert!(!hands.desk().is_dirty());
    (Hands::at(Setup { path: Some(path.clone()), ..Setup::default() }), path, folder)
}

#[test]
fn what_was_saved_unfinished_is_opened_again() {
    for plan in unfinished() {
        let (mut hands, path, _folder) = opened_again(&plan);
        assert_eq!(hands.plan(), &plan);
        assert!(hands.desk().house().is_none(), "no floor is laid of it");
        let first = plan.problems().swap_remove(0);
        let said = hands.desk().said().unwrap_or_default().to_owned();
        assert!(said.contains(&first.what) && said.contains(&first.mend), "{said}");
        // The other way in, from a plan that has the same to be mended.
        hands.type_path(Command::OpenByPath, &path);
        assert_eq!(hands.plan(), &plan);
        assert!(hands.desk().said().unwrap_or_default().contains(&first.what), "said of this one, too");
    }
}

#[test]
fn it_is_mended_on_the_table() {
    let (mut hands, ..) = opened_again(&unfinished()[0]);
    hands.run(Command::NextRoom);
    hands.run(Command::NextRoom);
    hands.run(Command::Delete);
    assert!(hands.plan().problems().is_empty(), "{:?}", hands.plan().problems());
    assert_eq!(hands.house().plan.rooms.len(), 1);
}

/// Plans that hands, editors and other programs have left in any state: figures that make no sense, names that nothing has, lists
/// cut short. Whatever is not refused is shown, with every step open, gone through and drawn on, without a panic.
/// `STARTROW_HANDS` asks for more.
#[test]
fn odd_plans_are_shown_and_gone_through() {
    const ODD: [&str; 10] =
        ["0.0", "-1.0", "1e6", "-1e6", "0.001", "99999.9", "3.0", "1500.0", "-250.0", "4000.0"];
    let samples = [
        include_str!("../../../../sample-plans/dunlin-flat.ron"),
        include_str!("../../../../sample-plans/reed-cottage.ron"),
        include_str!("../../../../sample-plans/plover-parlour.ron"),
        include_str!("../../../../sample-plans/tern-point.ron"),
    ];
    let commands: Vec<Command> = Command::all()
        .filter(|command| {
            !is_left_out(*command) && !matches!(command, Command::LayOn | Command::Find | Command::TryMends)
        })
        .collect();
    let from = asked("STARTROW_FROM", 0);
    let mut shown = 0;
    for seed in from..from + asked("STARTROW_HANDS", 4) {
        let chance = &mut Chance::of(seed);
        let sample = samples[seed as usize % samples.len()];
        let mut text = String::new();
        let changes = 1 + chance.below(6);
        let numbers = sample.split(' ').filter(|word| word.starts_with(|c: char| c.is_ascii_digit())).count();
        let places: Vec<usize> = (0..changes).map(|_| chance.below(numbers)).collect();
        let mut number = 0;
        for (i, word) in sample.split(' ').enumerate() {
            if i > 0 {
                text.push(' ');
            }
            let is_number = word.starts_with(|c: char| c.is_ascii_digit());
            let end = word.find(|c: char| !(c.is_ascii_digit() || ".-".contains(c))).unwrap_or(word.len());
            if is_number && places.contains(&number) && word[..end].contains('.') {
                text += ODD[chance.below(ODD.len())];
                text += &word[end..];
            } else {
                text += word;
            }
            number += usize::from(is_number);
        }
        if chance.below(3) == 0 {
            text = text.replacen("room: \"", "room: \"no ", 1 + chance.below(3));
        }
        let Ok(plan) = plan::read_drawn(&text) else { continue };
        shown += 1;
        let mut hands = Hands::with_plan(plan);
        hands.waits = true;
        hands.run(Command::OpenAllSteps);
        for _ in 0..20 {
            hands.run(commands[chance.below(commands.len())]);
            let at = chance.place();
            hands.click(at);
        }
    }
    assert!(shown > 0);
}
