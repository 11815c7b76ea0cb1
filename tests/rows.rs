//! No row of a house is called as another, whatever lines its rooms have, and a label that lies keeps its number.
#![allow(clippy::unwrap_used)]

use pipeline::House;
use plan::{OwnLine, Plan, Point, Room, StartLine};
use startrow_tests::house;
use std::collections::{BTreeMap, BTreeSet};

/// Three rooms over one another that share no floor, the second by a line 60 beside the first one's, the third by it too or by
/// one of its own.
fn flat(third: Option<f64>) -> Plan {
    let mut plan = Plan::new("Three");
    let rooms = [("Hall", 0.0, 3000.0), ("Den", 3100.0, 6000.0), ("Loft", 6100.0, 8000.0)];
    for (name, low, high) in rooms {
        let corners = [(0.0, low), (5000.0, low), (5000.0, high), (0.0, high)].map(Point::from);
        plan.rooms.push(Room::boarded(name, corners));
    }
    plan.start_line = StartLine::At(100.0);
    let own = |room: &str, at: f64| OwnLine { room: room.into(), line: StartLine::At(at) };
    plan.own_lines = vec![own("Den", 160.0)];
    plan.own_lines.extend(third.map(|at| own("Loft", at)));
    plan
}

fn run(plan: &Plan) -> House {
    assert_eq!(plan.problems(), []);
    pipeline::run(plan).unwrap()
}

/// The row's name as a label has it.
fn row_of(label: &str) -> &str {
    label.rsplit_once('-').unwrap().0
}

/// Each label once; boards of one name within one pitch across the rows.
fn hold(house: &House) {
    let floor = &house.floor;
    let labels: BTreeSet<&str> = floor.boards.iter().map(|board| board.label.as_str()).collect();
    assert_eq!(labels.len(), floor.boards.len());
    let mut rows: BTreeMap<&str, [f64; 2]> = BTreeMap::new();
    for board in floor.boards.iter().filter(|board| !board.in_border) {
        let v = || board.outline.outer.iter().map(|p| p.v);
        let (low, high) = (v().fold(f64::INFINITY, f64::min), v().fold(f64::NEG_INFINITY, f64::max));
        let row = rows.entry(row_of(&board.label)).or_insert([low, high]);
        *row = [row[0].min(low), row[1].max(high)];
        assert_eq!(row_of(&board.label), floor.row_name(board.region, board.row));
    }
    for (name, [low, high]) in rows {
        assert!(high - low < floor.pitch + 0.1, "{}: row {name} from {low} to {high}", house.plan.name);
    }
}

fn letters(house: &House) -> Vec<&str> {
    (0..3).map(|region| house.floor.letter(region)).collect()
}

#[test]
fn rows_by_another_line_have_a_letter_and_count_their_boards_from_1() {
    for (third, wanted) in
        [(None, ["", "A", ""]), (Some(160.0), ["", "A", "C"]), (Some(130.0), ["", "A", "C"])]
    {
        let house = run(&flat(third));
        let room = |region: usize| house.setout.regions.iter().find(|choice| choice.region == region);
        // One line typed for two rooms is snapped in each, on another row: two lines for who counts from them.
        let is_one =
            third == Some(160.0) && room(1).unwrap().line.as_ref().unwrap().v == house.floor.lines[2];
        assert!(!is_one, "the rooms would have one letter");
        assert_eq!(letters(&house), wanted, "{third:?}");
        hold(&house);
        for run in house.floor.runs.iter().filter(|run| run.region == 1) {
            let name = house.floor.row_name(1, run.row);
            assert!(name.starts_with('A'));
            for (place, board) in (1..).zip(&house.floor.boards[run.boards.clone()]) {
                assert_eq!(board.label, format!("{name}-{place}"));
            }
        }
        let said = house.letter_words();
        assert_eq!(said.len(), wanted.iter().filter(|letter| !letter.is_empty()).count(), "{said:?}");
        assert!(said[0].starts_with("Rows in Den "), "{said:?}");
    }
}

#[test]
fn a_house_by_one_line_has_figures_alone() {
    let plan = Plan { own_lines: Vec::new(), ..flat(None) };
    let house = run(&plan);
    assert!(house.floor.letters.is_empty() && house.letter_words().is_empty());
    assert!(house.floor.boards.iter().all(|board| board.label.starts_with(|c: char| c.is_ascii_digit())));
    hold(&house);
}

#[test]
fn no_row_of_an_invented_house_is_called_as_another() {
    let mut lettered = 0;
    for seed in 0..40 {
        let mut plan = house(seed);
        // A movement joint moves rows on, which keep their names.
        plan.joints.clear();
        let kinds = [StartLine::Best, StartLine::At(50.0), StartLine::Safest];
        let rooms = plan.rooms.iter().filter(|room| room.is_boarded()).take(1 + seed as usize % 3).zip(kinds);
        plan.own_lines = rooms.map(|(room, line)| OwnLine { room: room.name.clone(), line }).collect();
        if !plan.pattern.is_rows() {
            continue;
        }
        let house = run(&plan);
        lettered += usize::from(!house.floor.letters.is_empty());
        hold(&house);
    }
    assert!(lettered > 5, "only {lettered} houses have letters");
}

/// The first row above the line of a room, marked.
fn marked(house: &House, regions: &[usize]) -> Plan {
    let is_of = |b: &lay::Board| b.row == 0 && regions.contains(&b.region);
    let boards = house.floor.boards.iter().enumerate().filter(|(_, board)| is_of(board));
    house.with_laid(&boards.map(|(index, _)| index).collect::<Vec<_>>()).unwrap()
}

#[test]
fn what_lies_keeps_its_label() {
    let planned = run(&flat(Some(130.0)));
    let plan = marked(&planned, &[0, 1, 2]);
    // The same number stands in three rows, and the file is read again as it was.
    let again = plan::read(&plan::write(&plan)).unwrap();
    assert_eq!(again, plan);
    let house = run(&again);
    assert_eq!(letters(&house), ["", "A", "C"]);
    hold(&house);
    let laid = |house: &House| -> BTreeSet<(String, i64, i64)> {
        let on = |board: &lay::Board| {
            let middle = board.middle();
            (board.label.clone(), (middle.u * 10.0).round() as i64, (middle.v * 10.0).round() as i64)
        };
        let boards = house.floor.boards.iter().enumerate();
        boards.filter(|(_, board)| board.row == 0).map(|(_, board)| on(board)).collect()
    };
    assert_eq!(laid(&house), laid(&planned));
    assert!(house.floor.boards.iter().enumerate().all(|(i, b)| house.floor.is_laid(i) == (b.row == 0)));
}

/// In files of before rows of all lines shared their numbers, and the boards of one number were counted through the house.
#[test]
fn a_plan_marked_before_rows_had_letters_keeps_its_numbers() {
    let planned = run(&flat(None));
    let mut plan = marked(&planned, &[0, 1]);
    let mut next = 1;
    for board in &mut plan.laid.as_mut().unwrap().boards {
        (board.number, next) = (next, next + 1);
    }
    let house = run(&plan);
    hold(&house);
    let laid: Vec<(&str, u32)> = house
        .floor
        .boards
        .iter()
        .zip(&house.floor.laid.of_board)
        .filter_map(|(board, of)| {
            Some((board.label.as_str(), plan.laid.as_ref().unwrap().boards[(*of)?].number))
        })
        .collect();
    assert_eq!(laid.len(), next as usize - 1);
    for (label, number) in laid {
        assert_eq!(label.rsplit_once('-').unwrap().1, number.to_string(), "{label}");
    }
}

#[test]
fn two_boards_of_one_line_may_not_share_a_label() {
    let house = run(&flat(None));
    let of = |region: usize| {
        house
            .floor
            .boards
            .iter()
            .position(|b| b.region == region && b.row >= 0 && b.width == house.floor.pitch)
            .unwrap()
    };
    let said = |line: f64| {
        let mut plan = house.with_laid(&[of(0), of(2)]).unwrap();
        let laid = plan.laid.as_mut().unwrap();
        assert!(laid.parts.len() == 2 && laid.parts[0].line == laid.parts[1].line);
        laid.parts[1].line += line;
        laid.boards.iter_mut().for_each(|board| (board.row, board.number) = (3, 1));
        plan.problems().iter().map(ToString::to_string).collect::<String>()
    };
    // Counted from another line it is another row.
    assert!(!said(60.0).contains("two laid boards are called"), "{}", said(60.0));
    let said = said(0.0);
    assert!(said.contains("two laid boards are called"), "{said}");
}
