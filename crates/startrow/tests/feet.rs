//! Lengths in feet and inches: each read once, from the length itself.
#![allow(clippy::unwrap_used)]

use crate::cli::{sample, startrow, stdout};
use serde_json::Value;

/// A length as a tape in inches shows it, by arithmetic: 25.4 mm to an inch, the nearest sixteenth.
fn read(mm: f64) -> (i64, i64) {
    let sixteenths = (mm / 25.4 * 16.0).round() as i64;
    (sixteenths / 16, sixteenths % 16)
}

/// `1' 9 13/16"` as whole inches and sixteenths.
fn said(text: &str) -> (i64, i64) {
    let (feet, inches) = text.split_once('\'').unwrap_or(("0", text));
    let (mut whole, mut part) = (feet.trim().parse::<i64>().unwrap() * 12, 0);
    for word in inches.trim_end_matches('"').split_whitespace() {
        match word.split_once('/') {
            Some((a, b)) => part += a.parse::<i64>().unwrap() * 16 / b.parse::<i64>().unwrap(),
            None => whole += word.parse::<i64>().unwrap(),
        }
    }
    (whole, part)
}

/// 554.65 is 21 13/16 in; brought to 555 first it reads 21 7/8, and the sheets said otherwise.
#[test]
fn pulls_read_the_sixteenth_nearest_to_them() {
    let mut read_twice = 0;
    for name in ["hazel-court.ron", "tern-point.ron", "dunlin-flat.ron", "reed-cottage.ron"] {
        let text = std::fs::read_to_string(sample(name)).unwrap();
        let text = text.replace("units: Metric", "units: FeetInches");
        let plan = std::env::temp_dir().join(format!("startrow-feet-{}-{name}", std::process::id()));
        std::fs::write(&plan, text).unwrap();
        let words = stdout(&startrow(&["setout"], &plan));
        let result: Value =
            serde_json::from_slice(&startrow(&["setout", "--json", "-"], &plan).stdout).unwrap();
        std::fs::remove_file(&plan).unwrap();
        let line = &result["setout"]["line"];
        let mut pulls: Vec<&Value> = line["pulls"].as_array().unwrap().iter().collect();
        pulls.extend(line["check"].as_object().map(|_| &line["check"]));
        assert!(pulls.len() > 1, "{name}");
        for pull in pulls {
            let (letter, distance) = (pull["letter"].as_str().unwrap(), pull["distance"].as_f64().unwrap());
            let head = format!("  {letter}  ");
            let told = words.lines().find(|line| line.starts_with(&head)).unwrap();
            let figure = told.rsplit_once(": ").unwrap().1.split_once(' ').unwrap().1;
            assert_eq!(said(figure), read(distance), "{name}: {told}, {distance}");
            read_twice += usize::from(read(distance.round()) != read(distance));
        }
    }
    assert!(read_twice > 0, "no pull that reads another sixteenth once it is brought to millimetres");
}

/// Words behind a column of lengths begin at one place: the saw list's settings, and the rips.
#[test]
fn columns_of_lengths_hold_feet_and_inches() {
    let plan = sample("dunlin-flat.ron");
    let order = stdout(&startrow(&["order"], &plan));
    let settings = order.split("Notched and shaped").next().unwrap();
    let begins: Vec<usize> = settings
        .lines()
        .filter(|line| line.starts_with("  [ ] ") && line.contains(" ×  "))
        .filter_map(|line| Some(line[..line.find(" ×  ")?].chars().count()))
        .collect();
    assert!(begins.len() > 5 && begins.iter().all(|at| *at == begins[0]), "{begins:?}");
    let setout = stdout(&startrow(&["setout"], &plan));
    let rips = setout.split("Expect at the edges").nth(1).unwrap().split("\n\n").next().unwrap();
    // The last inch mark before the name.
    let ends: Vec<usize> =
        rips.lines().filter_map(|line| Some(line[..line.find("\"  ")?].chars().count())).collect();
    assert!(ends.len() > 5 && ends.iter().all(|at| *at == ends[0]), "{rips}");
}
