//! Boards marked as laid and rows measured, at the prompt.
#![allow(clippy::unwrap_used)]

use std::path::Path;
use std::process::{Command, Output};

fn startrow(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_startrow")).args(args).output().unwrap()
}

fn text(output: &Output) -> String {
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout.clone()).unwrap()
}

const ONE_ROOM: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../sample-plans/one-room.ron");

/// Five rows of 190 measure 952: 190.4 a row, 2 mm further than planned. Nothing lies below the line yet: 1868 are left to the
/// gap of wall 1 there, nine rows and 158 as planned, nine of 190.4 and 154.4 as measured; 30 more to the door's end.
#[test]
fn rows_are_marked_measured_and_reported() {
    let folder = tempfile::tempdir().unwrap();
    let saved = folder.path().join("laid.ron");
    let to = saved.to_str().unwrap();
    let said = text(&startrow(&["laid", ONE_ROOM, "--rows", "5", "--pull", "5=952", "--save", to]));
    assert!(said.contains("a row measures 190.4 where 190 was planned"), "{said}");
    assert!(said.contains("lies 2 too far from the start line"), "{said}");
    for words in [
        "down the plan from the start line: no row lies yet; the rows to come are taken to be 190.4 wide, as those that lie measure, where 190 was planned.",
        "Bedroom, wall 1, 10 rows to come: gets a rip of 154.4 where 158 was planned.",
        "Door, 10 rows to come: gets a rip of 184.4 where 188 was planned.",
    ] {
        assert!(said.contains(words), "no {words:?} in\n{said}");
    }
    let plan = plan::read(&std::fs::read_to_string(Path::new(to)).unwrap()).unwrap();
    let laid = plan.laid.unwrap();
    assert_eq!(laid.parts[0].pulls, [plan::RowPull { first: 0, last: 4, across: 952.0 }]);
    // The saved plan gives the same report; the JSON says the same.
    let again = text(&startrow(&["laid", to]));
    assert!(said.starts_with(&again), "{again}");
    let json: serde_json::Value =
        serde_json::from_str(&text(&startrow(&["laid", to, "--json", "-"]))).unwrap();
    assert_eq!(json["laid"]["boards"], laid.boards.len());
    let drift = &json["laid"]["drift"][0];
    assert!((drift["off"].as_f64().unwrap() - 2.0).abs() < 1e-9, "{drift}");
    assert_eq!(json["laid"]["drift"][1]["rows_laid"], 0);
    let marked = json["boards"].as_array().unwrap().iter().filter(|board| board["laid"] == true).count();
    assert_eq!(marked, laid.boards.len());
    // The saw list names none of them.
    let order = text(&startrow(&["order", to]));
    assert!(order.contains("opened for what lies"), "{order}");
    // Marks come off again.
    let rows = json["boards"].as_array().unwrap().iter().filter(|board| board["laid"] == true);
    let numbers: Vec<i64> = rows.map(|board| board["row"].as_i64().unwrap()).collect();
    let all = format!("{}..{}", numbers.iter().min().unwrap(), numbers.iter().max().unwrap());
    let bare = text(&startrow(&["laid", to, "--unmark", &all]));
    assert!(bare.contains("nothing is marked as laid"), "{bare}");
}

#[test]
fn what_cannot_be_marked_is_told() {
    for (args, what) in [
        (["laid", ONE_ROOM, "--up-to", "99-1"], "there is no board `99-1`"),
        (["laid", ONE_ROOM, "--rows", "many"], "names no rows"),
        (["laid", ONE_ROOM, "--rows", "90..99"], "there is no row 90"),
        (["laid", ONE_ROOM, "--rows", "99"], "lie above the start line, not 99"),
        (["laid", ONE_ROOM, "--rows", "-99"], "lie below the start line, not 99"),
        (["laid", ONE_ROOM, "--rows", "2-3"], "`2-3` names no rows; type 20, -5 or 7..26\n"),
        (["setot", ONE_ROOM, "--json", "-"], "there is no command `setot`"),
        (["search", ONE_ROOM, "--moves", "abc"], "give a number of moves"),
        (["laid", ONE_ROOM, "--pull", "5=952"], "nothing is laid"),
    ] {
        let output = startrow(&args);
        assert_eq!(output.status.code(), Some(2));
        assert!(String::from_utf8_lossy(&output.stderr).contains(what), "{args:?}: {output:?}");
    }
}

/// Two rooms that no doorway joins, 3000 and 2900 deep, the start line in the lower one: rows counted from it lie there alone.
#[test]
fn rows_counted_from_a_line_outside_the_room_are_told_as_typed() {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("two.ron");
    let mut two = plan::Plan::new("Two");
    for (name, low, high, wide) in [("Hall", 0.0, 3000.0, 6000.0), ("Den", 3100.0, 6000.0, 4000.0)] {
        let corners = [(0.0, low), (wide, low), (wide, high), (0.0, high)].map(plan::Point::from);
        two.rooms.push(plan::Room::boarded(name, corners));
    }
    std::fs::write(&to, plan::write(&two)).unwrap();
    let to = to.to_str().unwrap();
    let output = startrow(&["laid", to, "--rows", "5", "--room", "Den"]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("`5`, counted from the start line, is rows "), "{said}");
    assert!(said.contains("the floor of `Den` has rows "), "{said}");
    assert!(
        said.contains(", and the start line lies outside it: name them by their numbers, as `"),
        "{said}"
    );
    // What it names can be typed.
    let named = said.trim_end().rsplit("as `").next().unwrap().trim_end_matches('`');
    let laid = text(&startrow(&["laid", to, "--rows", named, "--room", "Den"]));
    assert!(laid.contains("boards laid"), "{laid}");
}

#[test]
fn rows_of_a_room_with_a_line_of_its_own_are_typed_by_their_letter() {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("two.ron");
    let mut two = plan::Plan::new("Two");
    for (name, low, high) in [("Hall", 0.0, 3000.0), ("Den", 3100.0, 6000.0)] {
        let corners = [(0.0, low), (5000.0, low), (5000.0, high), (0.0, high)].map(plan::Point::from);
        two.rooms.push(plan::Room::boarded(name, corners));
    }
    two.start_line = plan::StartLine::At(100.0);
    two.own_lines.push(plan::OwnLine { room: "Den".into(), line: plan::StartLine::At(160.0) });
    let house = pipeline::run(&two).unwrap();
    let (hall, den) = (house.floor.row_number(0), house.floor.row_name(1, 0));
    let count =
        |region: usize| house.floor.boards.iter().filter(|b| b.region == region && b.row == 0).count();
    std::fs::write(&to, plan::write(&two)).unwrap();
    let to = to.to_str().unwrap();
    let laid = |rows: &str, wanted: usize| {
        let said = text(&startrow(&["laid", to, "--rows", rows]));
        assert!(said.contains(&format!("— {wanted} of ")), "{rows}: {said}");
    };
    laid(&format!("{den}..{den}"), count(1));
    laid(&format!("{}..{}", den.to_lowercase(), den.trim_start_matches('A')), count(1));
    // A number without a letter, and a count, go by the house's line.
    laid(&format!("{hall}..{hall}"), count(0));
    laid("1", count(0));
    let label = format!("{den}-1");
    let said = text(&startrow(&["laid", to, "--board", &label]));
    assert!(said.contains("— 1 of "), "{said}");
    let pulled = startrow(&[
        "laid",
        to,
        "--rows",
        &format!("{den}..{den}"),
        "--pull",
        &format!("{den}..{den}=191"),
        "--save",
        "-",
    ]);
    let saved = plan::read(&text(&pulled)).unwrap();
    let part = &saved.laid.unwrap().parts[0];
    assert_eq!((part.room.as_str(), part.pulls[0].first, part.pulls[0].across), ("Den", 0, 191.0));
    for (rows, wanted) in [
        (den.clone(), "a row by its name is typed as"),
        ("A1..C2".into(), "counted from two lines"),
        ("Q1..Q2".into(), "there is no row 1"),
    ] {
        let output = startrow(&["laid", to, "--rows", &rows]);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.code() == Some(2) && said.contains(wanted), "{rows}: {said}");
    }
    let lay = text(&startrow(&["lay", to]));
    assert!(lay.contains(&format!("row  {den}")) || lay.contains(&format!("row {den:>3}")), "{lay}");
    assert!(lay.contains("Rows in Den are counted from a line of their own: A stands before them"), "{lay}");
}

/// Five rows lie; a sixth, counted by mistake, would make each 32 narrower and move every rip to come.
#[test]
fn rows_that_do_not_lie_are_not_measured() {
    let said = |pull: &str| startrow(&["laid", ONE_ROOM, "--rows", "5", "--pull", pull]);
    assert!(said("5=952").status.success());
    let refused = said("6=952");
    assert_eq!(refused.status.code(), Some(2));
    let why = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(why.contains("does not lie, only rows 11 to 15 do there"), "{why}");
    // Below the line nothing lies.
    assert_eq!(said("-1=190").status.code(), Some(2));
}

/// What the sheet says first: with rows down the next board lies far from the pull's corner, where one starts only once.
#[test]
fn with_rows_down_one_goes_on_and_does_not_start_again() {
    let folder = tempfile::tempdir().unwrap();
    let (plan, out) = (folder.path().join("laid.ron"), folder.path().join("sheets"));
    let (plan, out) = (plan.to_str().unwrap(), out.to_str().unwrap());
    let first_step = |plan: &str| {
        text(&startrow(&["sheets", plan, "--out", out, "--write", "pdf", "--only", "set-out"]));
        let page = Command::new("pdftotext").args([&format!("{out}/sheets.pdf"), "-"]).output().unwrap();
        String::from_utf8_lossy(&page.stdout).into_owned()
    };
    let bare = first_step(ONE_ROOM);
    assert!(bare.contains("Start at ") && !bare.contains("Go on:"), "{bare}");
    text(&startrow(&["laid", ONE_ROOM, "--rows", "5", "--save", plan]));
    let laid = first_step(plan);
    assert!(laid.contains("Go on: board ") && !laid.contains("Start at "), "{laid}");
    // So does the word at the arrow on the floor.
    let arrow = |page: &str, word: &str| page.lines().any(|line| line.trim() == word);
    assert!(arrow(&bare, "start") && arrow(&laid, "go on") && !arrow(&laid, "start"), "{laid}");
}
