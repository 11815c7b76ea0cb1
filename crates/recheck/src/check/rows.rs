//! Rows lie a pitch apart from the line that was snapped, and boards lie in their rows.

use super::{Scene, extent};
use crate::ground::coord;
use crate::plan::StartLine;
use crate::report::{Promise, Report};
use std::collections::BTreeMap;

/// Row lines and lengths agree to this, mm.
const TRUE: f64 = 0.001;
/// A board no more than this wider than its place is laid as it is sold, and said to be whole, mm.
const WHOLE: f64 = 0.1;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let house = scene.house;
    let pitch = scene.plan.stock.pitch();
    if scene.plan.pattern.is_rows() {
        report.same(Promise::Rows, "the set-out", "pitch", house.setout.pitch, pitch, 1e-9);
    }
    if let StartLine::At(offset) = scene.plan.start_line
        && scene.plan.pattern.is_rows()
    {
        let off = between_lines(house.setout.chosen.offset, offset, pitch);
        report.hold(Promise::Rows, off <= TRUE, || {
            let what = format!("the plan's line is {offset}, the chosen one {}", house.setout.chosen.offset);
            ("the set-out".into(), what)
        });
    }
    pulls(scene, report);
    if scene.plan.pattern.is_rows() {
        lines(scene, report, pitch);
    }
    boards(scene, report, pitch);
}

/// Rows that are less than this out of line are one row, mm: nobody measures it.
const ONE_LINE: f64 = 0.1;

/// How far a place across the rows lies from the nearest of lines a pitch apart, one of which lies at `line`.
pub(super) fn between_lines(at: f64, line: f64, pitch: f64) -> f64 {
    let rest = (at - line).rem_euclid(pitch);
    rest.min(pitch - rest)
}

fn pulls(scene: &Scene, report: &mut Report) {
    let Some(line) = &scene.house.setout.line else { return };
    let (from, to) = (scene.turn.rows(line.from), scene.turn.rows(line.to));
    report.same(Promise::Pulls, "the line", "its ends across the rows", from.y, to.y, TRUE);
    let off = between_lines(from.y, scene.house.setout.chosen.offset, scene.house.setout.pitch);
    report.hold(
        Promise::Pulls,
        off <= TRUE || scene.is_partly_given() || !scene.plan.joints.is_empty(),
        || ("the line".into(), format!("it lies {off} off the row lines")),
    );
    for pull in &line.pulls {
        let place = format!("pull {}", pull.letter);
        let room = scene.ground.room_called(&pull.room).map(|room| &scene.plan.rooms[room]);
        let wall = room.and_then(|room| room.walls.get(pull.wall.checked_sub(1)?));
        let corner = wall.map(|wall| coord(wall.corner));
        report.hold(
            Promise::Pulls,
            corner.is_some_and(|c| libm::hypot(c.x - pull.corner[0], c.y - pull.corner[1]) <= 1e-6),
            || {
                (
                    place.clone(),
                    format!("{}, wall {} does not begin at {:?}", pull.room, pull.wall, pull.corner),
                )
            },
        );
        let off = (scene.turn.rows(pull.corner).y - from.y).abs();
        report.same(Promise::Pulls, &place, "distance to the line", pull.distance, off, TRUE);
    }
}

/// Whole boards of each region lie on row lines a pitch apart, those of the line the region carries.
fn lines(scene: &Scene, report: &mut Report, pitch: f64) {
    let house = scene.house;
    // What is laid lies where it lies; past a movement joint along the rows the lines are moved on.
    if house.laid.is_some() || !scene.plan.joints.is_empty() {
        return;
    }
    for (index, board) in house.boards.iter().enumerate() {
        if !board.is_in_row() || (board.width - pitch).abs() > 1e-6 {
            continue;
        }
        let own = house.setout.regions.iter().find(|own| own.region == board.region && own.has_own);
        let line = own.map_or(house.setout.chosen.offset, |own| own.own.offset);
        // One whose other side tapers by a hair is whole, too.
        let (_, sides) = extent(&scene.rows[index]);
        let off = sides.map(|side| between_lines(side, line, pitch)).into_iter().fold(pitch, f64::min);
        report.hold(Promise::Rows, off <= TRUE, || {
            (board.label.clone(), format!("its side lies {off} off the row lines"))
        });
    }
}

/// Every board has the size it states, and those of one row lie between the same two lines.
fn boards(scene: &Scene, report: &mut Report, pitch: f64) {
    let mut rows: BTreeMap<(usize, i64), [f64; 2]> = BTreeMap::new();
    // What a person reads: one name, one row of the house; one label, one board.
    let mut named: BTreeMap<&str, [f64; 2]> = BTreeMap::new();
    let mut labels: BTreeMap<&str, usize> = BTreeMap::new();
    for board in &scene.house.boards {
        *labels.entry(&board.label).or_default() += 1;
    }
    for (label, count) in labels {
        report
            .hold(Promise::Rows, count == 1, || (label.to_owned(), format!("{count} boards are called so")));
    }
    let drift = scene.house.laid.iter().flat_map(|laid| &laid.drift);
    let measured: Vec<f64> =
        drift.flat_map(|side| [Some(side.pitch), side.measured_pitch]).flatten().collect();
    for (index, board) in scene.house.boards.iter().enumerate().filter(|(_, board)| board.is_in_row()) {
        let ([left, right], [low, high]) = extent(&scene.rows[index]);
        report.same(Promise::Rows, &board.label, "its length", board.length, right - left, TRUE);
        // Whole boards of rows that were measured, and of those to come after them, take up what such a row measures.
        let is_whole = (board.width - pitch).abs() < 1e-6;
        let takes = measured.iter().find(|row| is_whole && (high - low - **row).abs() <= WHOLE);
        let width = if takes.is_some() { high - low } else { board.width };
        report.same(Promise::Rows, &board.label, "its width", width, high - low, WHOLE);
        let name = board.label.split('-').next().unwrap_or_default();
        let letter = scene.house.regions.get(board.region).map_or("", |region| region.letter.as_str());
        let own: String = name.chars().take_while(char::is_ascii_uppercase).collect();
        report.hold(Promise::Rows, own == letter, || {
            (board.label.clone(), format!("rows of its region have the letter `{letter}`"))
        });
        let figures = name.trim_start_matches(|letter: char| letter.is_ascii_uppercase());
        let number = figures.parse::<i64>().ok();
        report.hold(Promise::Rows, number == Some(board.row), || {
            (board.label.clone(), format!("it stands in row {}", board.row))
        });
        let of_name = named.entry(name).or_insert([low, high]);
        let of_region = rows.entry((board.region, board.row)).or_insert([low, high]);
        for row in [of_name, of_region] {
            *row = [row[0].min(low), row[1].max(high)];
        }
    }
    if scene.house.laid.is_some() {
        return;
    }
    // Past a movement joint along the rows they are moved on by it.
    if scene.plan.joints.is_empty() {
        for (name, [low, high]) in named {
            report.hold(Promise::Rows, high - low <= pitch + ONE_LINE, || {
                (format!("row {name}"), format!("boards over {} mm are called so", high - low))
            });
        }
    }
    for ((region, row), [low, high]) in rows {
        report.hold(Promise::Rows, high - low <= pitch + TRUE, || {
            (format!("region {region}, row {row}"), format!("its boards reach over {} mm", high - low))
        });
    }
}
