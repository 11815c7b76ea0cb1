//! What is read, what is refused and in which words, on the sample plans and slips of the hand.

use super::*;
use proptest::prelude::*;

const HOUSE: &str = include_str!("../../../../sample-plans/hazel-court.ron");
const ONE_ROOM: &str = include_str!("../../../../sample-plans/one-room.ron");

fn first(text: &str) -> FileError {
    read(text).unwrap_err().swap_remove(0)
}

#[test]
fn a_comma_in_a_number_and_a_line_without_its_place_are_told_with_their_mend() {
    let plan = include_str!("../../../../sample-plans/one-room.ron");
    for (from, to, what, mend) in [
        ("width: 820.0", "width: 820,5", "`5` stands where", "a decimal takes a point"),
        ("(4200.0, 0.0)", "(4200,5, 0.0)", "more here than belongs", "a decimal takes a point"),
        ("start_line: Best", "start_line: At", "`At` stands without", "`At(offset)`"),
    ] {
        assert!(plan.contains(from));
        let told = crate::read(&plan.replacen(from, to, 1)).unwrap_err().remove(0);
        assert!(told.what.contains(what) && told.mend.contains(mend), "{to}: {told:?}");
    }
    let small = plan.replace("4200.0", "4.2").replace("3600.0", "3.6");
    let told = crate::read(&small).unwrap_err();
    assert!(told.iter().any(|told| told.mend.contains("lengths are millimetres")), "{told:?}");
}

#[test]
fn the_samples_are_written_as_they_were_read() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../sample-plans");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        let plan = read(&text).unwrap();
        assert_eq!(write(&plan), text, "{}", plan.name);
        assert_eq!(plan.problems(), [], "{}", plan.name);
        count += 1;
    }
    assert!(count >= 7);
}

/// Areas against geo's; the house is one of about 140 m².
#[test]
fn the_sample_houses_rooms_have_their_areas() {
    use geo::{Area, Coord, LineString, Polygon};
    let plan = read(HOUSE).unwrap();
    let mut total = 0.0;
    for room in &plan.rooms {
        let ring = room.outline().into_iter().map(|(p, _)| Coord { x: p.x, y: p.y }).collect();
        let expected = Polygon::new(LineString::new(ring), Vec::new()).unsigned_area();
        assert!((room.area() - expected).abs() < 1e-3, "{}", room.name);
        println!("{:8} {:6.2} m²", room.name, room.area() / 1e6);
        total += room.area() / 1e6;
    }
    println!("together {total:6.2} m²");
    assert!((135.0..145.0).contains(&total));
}

#[test]
fn a_wall_and_a_leaf_stand_on_one_line() {
    assert!(HOUSE.contains("\n                (corner: (10497.0, -702.0), face: Glazing),\n"));
    assert!(HOUSE.contains("\n            leaf: (closes_on: Near, thickness: 36.0),\n"));
    let mut plan = read(HOUSE).unwrap();
    plan.rooms[3].walls[2].corner.x += 1.0;
    let text = write(&plan);
    assert_eq!(HOUSE.lines().zip(text.lines()).filter(|(a, b)| a != b).count(), 1);
    assert_eq!(HOUSE.lines().count(), text.lines().count());
}

#[test]
fn formats_this_program_does_not_read_are_named() {
    let newer = first(&ONE_ROOM.replace("format: 1", "format: 7, surprise: [1, 2]"));
    assert_eq!(
        newer.to_string(),
        "line 2: this file is format 7, this program reads format 1; open it with a newer Startrow"
    );
    assert!(
        first(&ONE_ROOM.replace("format: 1", "format: 0")).what.contains("no format that was ever written")
    );
    assert!(first(&ONE_ROOM.replace("format: 1", "format: one")).what.contains("`one`"));
    assert!(first(&ONE_ROOM.replace("format: 1,\n", "\n")).what.contains("does not say its format"));
    for text in ["", "hello", "[1, 2]", "{\"format\": 1}"] {
        assert!(first(text).what.contains("no plan file"), "{text}");
    }
}

#[test]
fn what_cannot_be_read_is_named_with_its_line_and_place() {
    let cases = [
        ("kerf: 3.0,", "", 8, "stock", "`kerf` is missing from the stock"),
        ("kerf: 3.0,", "kerf: \"3\",", 20, "stock, kerf", "no number"),
        ("kerf: 3.0,", "kerff: 3.0,", 20, "stock, kerff", "the stock has no `kerff`"),
        ("kerf: 3.0,", "kerf: 3.0, kerf: 3.0,", 20, "stock, kerf", "twice in the stock"),
        ("tongue: 6.0,", "tongue: 6.0", 20, "stock, tongue", "comma is missing"),
        ("lock: T", "lock: S", 17, "stock, lock", "no choice here"),
        ("(length: 2200.0, ", "(", 13, "stock, lengths, entry 1", "`length` is missing"),
        ("seed: 1", "seed: -1", 7, "seed", "out of bounds"),
        ("name: \"One room\"", "name: 5", 3, "name", "no text"),
        ("wall_thickness: 112.0,", "", 0, "Door", "`wall_thickness` is missing from the doorway"),
        ("wall: 1,", "wall: 0,", 0, "Door, wall", "counted from 1"),
        ("thickness: 40.0", "thick: 40.0", 0, "Door, leaf, thick", "the leaf has no `thick`"),
        ("(corner: (4200.0, 0.0))", "(corner: (4200.0))", 0, "Bedroom, wall 2", ""),
        ("(corner: (4200.0, 0.0))", "()", 0, "Bedroom, wall 2", "`corner` is missing from the wall"),
        ("(corner: (4200.0, 0.0))", "(corner: (x, 0.0))", 0, "Bedroom, wall 2, corner", "no number"),
    ];
    for (good, bad, line, place, what) in cases {
        let text = ONE_ROOM.replace(good, bad);
        assert_ne!(text, ONE_ROOM, "{good}");
        let error = first(&text);
        assert!(error.what.contains(what) && error.place.starts_with(place), "{bad}: {error}");
        assert!(line == 0 || error.line == line, "{bad}: {error}");
        assert!(!error.mend.is_empty());
    }
    let cut = first(&ONE_ROOM[..ONE_ROOM.len() - 4]);
    assert!(cut.what.contains("breaks off") || cut.what.contains("expected"), "{cut}");
}

/// What the text says is right but cannot be: all of it, each at its line.
#[test]
fn what_cannot_be_computed_is_named_with_its_line_and_place() {
    let line_of = |text: &str, part: &str| 1 + text.lines().position(|line| line.contains(part)).unwrap();
    let swap = "(corner: (4200.0, 0.0)),\n                (corner: (4200.0, 3600.0)),";
    let cases = [
        (
            swap,
            "(corner: (4200.0, 3600.0)),\n                (corner: (4200.0, 0.0)),",
            "(corner: (0.0, 0.0))",
            "Bedroom, wall 1",
            "crosses",
        ),
        ("(4200.0, 0.0)", "(NaN, 0.0)", "NaN", "Bedroom, wall 2", "corner's x is NaN"),
        ("(4200.0, 0.0)", "(1e999, 0.0)", "1e999", "Bedroom, wall 2", "corner's x is inf"),
        ("(4200.0, 0.0)", "(-inf, 0.0)", "-inf", "Bedroom, wall 2", "corner's x is -inf"),
        ("(4200.0, 0.0)", "(42e8, 0.0)", "42e8", "Bedroom, wall 2", "more than a kilometre"),
        ("at: 600.0", "at: 4000.0", "name: \"Door\"", "Door", "which is 4\u{a0}200 mm long"),
        ("wall: 1", "wall: 9", "name: \"Door\"", "Door", "Bedroom has no wall 9"),
        ("kerf: 3.0", "kerf: 300.0", "kerf", "stock, kerf", "kerf is 300 mm"),
        ("least_rip: 50.0", "least_rip: 500.0", "least_rip", "rules, least rip", "least rip is 500 mm"),
        ("rows_at: 0.0", "rows_at: 500.0", "rows_at", "plan, rows at", "500 degrees"),
    ];
    for (good, bad, at, place, what) in cases {
        let text = ONE_ROOM.replacen(good, bad, 1);
        let errors = read(&text).unwrap_err();
        // A thing of several lines is named at the line of its bracket.
        let line = line_of(&text, at) - usize::from(at.starts_with("name"));
        let found = errors.iter().find(|error| error.place == place && error.what.contains(what));
        assert_eq!(found.map(|error| error.line), Some(line), "{bad}: {errors:#?}");
        assert!(read_unchecked(&text).is_ok());
    }
    let both = ONE_ROOM.replace("kerf: 3.0", "kerf: 300.0").replace("at: 600.0", "at: 4000.0");
    assert_eq!(read(&both).unwrap_err().len(), 2);
}

#[test]
fn counts_beyond_a_house_are_named() {
    let room = "(name: \"R\", covering: Boards, walls: []),";
    let text = ONE_ROOM.replace("rooms: [", &format!("rooms: [{}", room.repeat(2000)));
    let error = first(&text);
    assert_eq!(
        (error.place.as_str(), error.what.as_str()),
        ("plan, rooms", "there are 2001 rooms, more than 2000")
    );
    let walls = "(corner: (0.0, 0.0)),".repeat(2001);
    let error = first(&ONE_ROOM.replace("(corner: (0.0, 0.0)),", &walls));
    assert_eq!(
        (error.place.as_str(), error.what.as_str()),
        ("Bedroom", "there are 2004 walls, more than 2000")
    );
}

#[test]
fn a_plan_without_rooms_is_read_again() {
    let plan = Plan::new("To be drawn");
    assert_eq!(read(&write(&plan)), Ok(plan));
}

#[test]
fn a_file_too_long_is_refused_unread() {
    let error = first(&" ".repeat(GREATEST_FILE + 1));
    assert!(error.what.contains("more than 16777216 bytes"), "{error}");
}

#[test]
fn windows_line_ends_comments_and_a_byte_order_mark_are_read() {
    let text = format!("\u{feff}// by hand\r\n{}", ONE_ROOM.replace('\n', "\r\n"));
    assert_eq!(read(&text), read(ONE_ROOM));
}

/// A list of rooms inside the stock, as a slip of the hand may leave it: found by the fuzzer.
#[test]
fn a_list_of_rooms_where_none_belongs_has_a_place() {
    let text = "(format: 1,\n pattern: Chevron(\n  stock: (\n   rooms: [7x";
    let (place, (holder, line)) = Outline::new(text).place_at(4, 13);
    assert_eq!((place.as_str(), holder.as_str(), line), ("room 1", "pattern, stock", 3));
    for line in 1..=5 {
        for column in 1..20 {
            Outline::new(text).place_at(line, column);
        }
    }
}

proptest! {
    /// Whatever a slip of the hand does to a file, it is read or refused, at a line that it has.
    #[test]
    fn a_damaged_file_is_refused_with_a_line(at in 0..HOUSE.len(), cut in 0..40_usize, put in "[-()\\[\\]{},:\"'/*r#0-9aeNi.\n ]{0,6}") {
        let from = (0..=at).rev().find(|&i| HOUSE.is_char_boundary(i)).unwrap();
        let to = (from + cut..HOUSE.len()).find(|&i| HOUSE.is_char_boundary(i)).unwrap_or(HOUSE.len());
        let text = format!("{}{put}{}", &HOUSE[..from], &HOUSE[to..]);
        if let Err(errors) = read(&text) {
            prop_assert!(!errors.is_empty());
            for error in errors {
                prop_assert!((1..=text.lines().count() + 1).contains(&error.line), "{}", error);
                prop_assert!(!error.what.is_empty() && !error.mend.is_empty());
            }
        }
    }
}

#[test]
fn what_is_merely_wrong_is_read_to_be_mended_and_what_is_no_number_is_not() {
    let mut plan = Plan::new("A");
    plan.rules.least_rip = 900.0;
    let text = write(&plan);
    assert!(read(&text).is_err());
    assert_eq!(read_drawn(&text), Ok(plan));
    let line = |text: &str| 1 + text.lines().position(|line| line.contains("least_rip")).unwrap();
    for none in ["NaN", "inf", "2000000.0"] {
        let text = text.replace("least_rip: 900.0", &format!("least_rip: {none}"));
        let errors = read_drawn(&text).unwrap_err();
        assert_eq!((errors.len(), errors[0].line), (1, line(&text)), "{errors:?}");
    }
}
