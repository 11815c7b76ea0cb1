//! Taped rooms on the command line, end to end.
#![allow(clippy::unwrap_used)]

use plan::{Plan, Point, Room};
use std::process::{Command, Output};

fn startrow(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_startrow")).args(args).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A room drawn 4000 × 3000, taped 4000, 3000, 4000, 3000 with both diagonals 5004: by similar shapes it is 1.0004 times
/// as large, residuals 1.6, 1.2, −2 (as `taping`'s rectangle worked out by hand, with 4 for 10).
fn taped() -> Plan {
    let mut plan = Plan::new("Tape");
    let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)];
    plan.rooms.push(Room::boarded("Den", corners.map(Point::from)));
    for (a, b, length) in [(0, 1, 4e3), (1, 2, 3e3), (2, 3, 4e3), (3, 0, 3e3), (0, 2, 5004.0), (1, 3, 5004.0)]
    {
        taping::put_length(&mut plan.rooms[0], a, b, length);
    }
    plan
}

#[test]
fn the_adjustment_is_printed_written_and_saved() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("den.ron");
    let file = file.to_str().unwrap();
    std::fs::write(file, plan::write(&taped())).unwrap();
    let output = startrow(&["tape", file]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let said = text(&output.stdout);
    for words in
        ["Den: 6 taped", "1 length more", "+1.6 mm", "−2 mm", "The lengths agree", "corner 1 to corner 3"]
    {
        assert!(said.contains(words), "no {words:?} in\n{said}");
    }

    let output = startrow(&["tape", file, "--json", "-"]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let room = &json["tape"][0];
    assert_eq!((room["room"].as_str(), room["redundancy"].as_u64()), (Some("Den"), Some(1)));
    assert_eq!(room["lengths"][4]["corners"], serde_json::json!([1, 3]));
    assert!((room["lengths"][4]["residual_mm"].as_f64().unwrap() + 2.0).abs() < 1e-6);

    let output = startrow(&["tape", file, "--hold", "2", "--save", "-"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let set = plan::read(&text(&output.stdout)).unwrap();
    let corner = |i: usize| set.rooms[0].walls[i].corner;
    assert_eq!((corner(1), set.rooms[0].tape.len()), (Point::new(4000.0, 0.0), 6));
    assert!((corner(1).distance(corner(2)) - 3001.2).abs() < 1e-5);

    // A length wrong by a hundred is doubted, and nothing is written.
    let mut wrong = taped();
    taping::put_length(&mut wrong.rooms[0], 0, 2, 5100.0);
    std::fs::write(file, plan::write(&wrong)).unwrap();
    let output = startrow(&["tape", file, "--save", "-"]);
    assert_eq!((output.status.code(), output.stdout.len()), (Some(2), 0));
    assert!(text(&output.stderr).contains("Den: one of these is out"), "{}", text(&output.stderr));
    let output = startrow(&["tape", file, "--room", "Attic"]);
    assert!(text(&output.stderr).contains("no room `Attic`"));
    let output = startrow(&["tape", file, "--hold", "7"]);
    assert!(text(&output.stderr).contains("Den has no wall 7"), "{}", text(&output.stderr));
}
