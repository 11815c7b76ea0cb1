//! The flags as a list.

use ::order::{Cell, Table};
use findings::{Measure, Severity, Subject};
use pipeline::House;
use std::collections::BTreeMap;

/// One row a flag, faults first, numbered as on the sheet: those told there as one have its number.
pub(super) fn flags(house: &House) -> Table {
    let mut table = Table::new(
        "flags",
        "Flags",
        &[
            ("number", "Number"),
            ("severity", "Severity"),
            ("flag", "Flag"),
            ("figure", "Figure"),
            ("limit", "Limit"),
            ("unit", "Unit"),
            ("place", "Place"),
            ("mend", "Mend"),
            ("boards", "Boards"),
            ("x_mm", "x"),
            ("y_mm", "y"),
        ],
    );
    let all = findings::together(&house.flags);
    let numbers: BTreeMap<usize, usize> =
        all.iter().enumerate().flat_map(|(i, of)| of.flags.iter().map(move |flag| (*flag, i + 1))).collect();
    for (i, flag) in house.flags.iter().enumerate() {
        table.rows.push(vec![
            Cell::count(numbers.get(&i).copied().unwrap_or_default()),
            Cell::text(match flag.severity {
                Severity::Fault => "fault",
                Severity::Look => "look",
            }),
            Cell::text(flag.kind.word()),
            Cell::Figure(flag.figure, 1),
            Cell::Figure(flag.limit, 1),
            Cell::text(match flag.kind.measure() {
                Measure::Length | Measure::Depth => "mm",
                Measure::Percent => "%",
                Measure::Count => "",
            }),
            Cell::text(flag.place.as_str()),
            Cell::text(flag.mend.as_str()),
            Cell::text(boards(house, &flag.subject)),
            Cell::Length(flag.at.x),
            Cell::Length(flag.at.y),
        ]);
    }
    table
}

/// The labels of the boards a flag stands on.
fn boards(house: &House, subject: &Subject) -> String {
    let of_joint = |joint: &usize| {
        let joint = house.floor.joints.get(*joint);
        joint.map(|joint| [joint.left, joint.right]).into_iter().flatten()
    };
    let boards: Vec<usize> = match subject {
        Subject::Board(board) => vec![*board],
        Subject::Boards(boards) => boards.clone(),
        Subject::Joints(joints) => joints.iter().flat_map(of_joint).collect(),
        Subject::Region(_) | Subject::Room(_) | Subject::Thing(_) => Vec::new(),
    };
    boards.iter().map(|board| crate::words::label(house, *board)).collect::<Vec<_>>().join(" ")
}
