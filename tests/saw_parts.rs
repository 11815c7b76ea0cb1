//! A saw list for each stage: what is sawn for it, what is kept for a later one, and nothing twice.

use order::{SawEntry, SawPart};
use plan::{Plan, Point, Room, Stage};
use std::cmp::Ordering;
use std::collections::BTreeMap;

/// Two rooms 3 m deep with 100 between them and no doorway: what lies left of 3050 belongs to the first, which is laid last.
fn two_stages() -> Plan {
    let mut plan = Plan::new("t");
    let room = |name: &str, x: f64, wide: f64| {
        let corners = [(x, 0.0), (x + wide, 0.0), (x + wide, 3000.0), (x, 3000.0)];
        Room::boarded(name, corners.map(Point::from))
    };
    plan.rooms = vec![room("West", 0.0, 3000.0), room("East", 3100.0, 4100.0)];
    let stage = |name: &str, room: &str, day: u32| Stage {
        name: name.into(),
        rooms: vec![room.into()],
        day,
        hours: None,
    };
    plan.stages = vec![stage("Later", "West", 9), stage("First", "East", 2)];
    plan
}

fn entries(part: &SawPart) -> impl Iterator<Item = &SawEntry> {
    let saw = &part.saw;
    [
        &saw.rips_keep_tongue,
        &saw.rips_keep_groove,
        &saw.rips_keep_neither,
        &saw.crosscuts_keep_left,
        &saw.crosscuts_keep_right,
        &saw.crosscuts_both,
    ]
    .into_iter()
    .flatten()
}

/// How often each board stands on lists.
fn counted<'a>(parts: impl IntoIterator<Item = &'a SawPart>) -> BTreeMap<usize, usize> {
    let mut count = BTreeMap::new();
    for board in parts.into_iter().flat_map(entries).flat_map(|entry| &entry.boards) {
        *count.entry(*board).or_insert(0) += 1;
    }
    count
}

#[test]
fn each_stage_saws_the_boards_of_its_room() {
    let house = pipeline::run(&two_stages()).expect("a sound plan");
    let parts = house.saw_parts();
    let headings: Vec<String> = parts.iter().filter_map(SawPart::heading).collect();
    assert_eq!(headings, ["1 First, day 2", "2 Later, day 9"]);
    // By the boards' places alone: the rooms lie either side of x = 3050.
    let is_east = |board: usize| house.floor.boards[board].outline.outer.iter().all(|p| p.u > 3050.0);
    for (part, east) in [(&parts[0], true), (&parts[1], false)] {
        assert!(entries(part).count() > 2);
        for entry in entries(part) {
            assert!(entry.boards.iter().all(|board| is_east(*board) == east), "{entry:?}");
            let run: f64 = entry.boards.iter().map(|board| house.floor.boards[*board].length()).sum();
            assert!((entry.run - run).abs() < 1e-9, "{entry:?}");
        }
        // A bar stands where a piece of it is sawn; what else lies on the board is of the other room.
        for bar in &part.yields {
            let pieces = &house.floor.stock[bar.stock].pieces;
            assert!(pieces.iter().any(|piece| is_east(piece.board) == east));
            let other = if east { Ordering::Greater } else { Ordering::Less };
            let is_shared = pieces.iter().any(|piece| is_east(piece.board) != east);
            assert_eq!(part.shares_with(&house.floor, bar.stock, other), is_shared);
            assert!(!part.shares_with(&house.floor, bar.stock, other.reverse()));
        }
    }
    // What is kept on the first day is what is sawn on with on the second; some board is.
    let kept = parts[0].shared(&house.floor, Ordering::Greater);
    assert!(!kept.is_empty());
    assert_eq!(kept, parts[1].shared(&house.floor, Ordering::Less));
    // Together they are the list of the whole house, no cut twice.
    assert_eq!(counted(&parts), counted([&order::whole_saw_list(&house.order)]));
}

#[test]
fn one_stage_or_what_lies_leaves_one_list() {
    let mut plan = two_stages();
    plan.stages[0].rooms.push("East".into());
    plan.stages.truncate(1);
    let parts = pipeline::run(&plan).expect("a sound plan").saw_parts();
    assert!(parts.len() == 1 && parts[0].heading().is_none());
    // A room in no stage is sawn last, under its own head.
    plan.stages[0].rooms.retain(|room| room == "East");
    let parts = pipeline::run(&plan).expect("a sound plan").saw_parts();
    let headings: Vec<String> = parts.iter().filter_map(SawPart::heading).collect();
    assert_eq!(headings, ["1 Later, day 9", "In no stage"]);
}

/// Every stage of a house as it is read out: the labels under its head are those of its boards on the lay list.
#[test]
fn the_list_in_words_goes_stage_by_stage() {
    let house = pipeline::run(&two_stages()).expect("a sound plan");
    let parts = house.saw_parts();
    let said =
        order::text(&house.plan, &house.floor, &house.fit, (&house.order, &parts), &house.bound(), None);
    let at = |words: &str| said.find(words).unwrap_or_else(|| panic!("{words} is not in {said}"));
    let (first, later, packs) = (at("Stage 1 First, day 2"), at("Stage 2 Later, day 9"), at("\nPacks\n"));
    assert!(first < later && later < packs);
    let sequence = house.sequence();
    for run in &sequence.steps {
        let other = &said[if run.stage == Some(0) { later..packs } else { first..later }];
        let lists: Vec<&str> = other.lines().filter(|line| line.trim_start().starts_with("[ ]")).collect();
        assert!(lists.len() > 2);
        for board in &run.boards {
            let label = house.floor.boards[*board].label.as_str();
            let is_said =
                |line: &&str| line.split_whitespace().any(|word| word.trim_end_matches('*') == label);
            assert!(!lists.iter().any(is_said), "{label} is on the list of the other stage");
        }
    }
    for kept in parts[0].shared(&house.floor, Ordering::Greater) {
        let number = (kept + 1).to_string();
        for words in ["Keep what is left of these boards", "Sawn out of what an earlier stage left"] {
            let line = said.lines().find(|line| line.starts_with(words)).expect("the line");
            assert!(line.split(' ').any(|word| word == number), "{line}");
        }
    }
}
