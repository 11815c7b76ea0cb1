//! The set-out as lists: what to pull from where, and the rip to expect at every edge.

use crate::told::Told;
use ::order::{Cell, Table};
use ::setout::{Profile, Pull};
use pipeline::House;

/// Pulls A and B that fix the line, the check, then the control lines room by room. Corner and wall count from 1;
/// a corner is the one at which that wall begins.
pub(super) fn pulls(house: &Told<'_>) -> Table {
    let mut table = Table::new(
        "pulls",
        "Pulls",
        &[
            ("use", "Use"),
            ("letter", "Letter"),
            ("place", "Place"),
            ("room", "Room"),
            ("corner", "Corner"),
            ("distance_mm", "Distance"),
            ("corner_x_mm", "Corner x"),
            ("corner_y_mm", "Corner y"),
        ],
    );
    let mut add = |what: &str, letter: &str, place: &str, pull: &Pull| {
        let room = house.plan.rooms.get(pull.room).map_or("", |room| room.name.as_str());
        table.rows.push(vec![
            Cell::text(what),
            Cell::text(letter),
            Cell::text(place),
            Cell::text(room),
            Cell::count(pull.wall + 1),
            Cell::Length(pull.distance),
            Cell::Length(pull.corner.x),
            Cell::Length(pull.corner.y),
        ]);
    };
    if let Some(line) = &house.setout.line {
        for pull in &line.pulls {
            add("start line", &pull.letter.to_string(), "", pull);
        }
        if let Some(pull) = &line.check {
            add("check", &pull.letter.to_string(), "", pull);
        }
        for (choice, line) in house.setout.own_lines() {
            let place = choice.rooms.first().and_then(|room| house.plan.rooms.get(*room));
            let place = place.map_or("", |room| room.name.as_str());
            for pull in line.pulls.iter().chain(&line.check) {
                add("own line", "", place, pull);
            }
        }
        for control in &house.advice().control {
            let place = control.place.name(&house.plan, &house.site);
            for pull in &control.pulls {
                add("control", "", &place, pull);
            }
        }
    }
    table
}

/// The rip to expect at every edge along the rows.
pub(super) fn rips(house: &House) -> Table {
    let mut table = Table::new(
        "rips",
        "Rips",
        &[
            ("place", "Place"),
            ("edge", "Edge"),
            ("edge_length_mm", "Edge length"),
            ("least_mm", "Narrowest"),
            ("greatest_mm", "Widest"),
            ("hidden_mm", "Hidden"),
            ("wider_gap_mm", "Gap wider by"),
            ("keeps", "Keeps"),
            ("under_least", "Under the least"),
            ("x_mm", "x"),
            ("y_mm", "y"),
            ("seen_mm", "Seen"),
        ],
    );
    for rip in &house.setout.chosen.rips {
        let is_short = rip.seen < house.setout.least;
        table.rows.push(vec![
            Cell::text(rip.source.name(&house.plan)),
            Cell::text(rip.kind.word()),
            Cell::Length(rip.length),
            Cell::Length(rip.least),
            Cell::Length(rip.greatest),
            Cell::Length(rip.hidden),
            Cell::Length(rip.play),
            Cell::text(match house.keeps(rip) {
                Profile::Tongue => "tongue",
                Profile::Groove => "groove",
            }),
            Cell::text(if is_short { "yes" } else { "no" }),
            Cell::Length(rip.at.x),
            Cell::Length(rip.at.y),
            Cell::Length(rip.seen),
        ]);
    }
    table
}
