//! Figures and phrases the sheets share.

use pipeline::House;
use plan::format_length;
use setout::Pull;

/// A length to the millimetre, as a tape reads it; feet and inches to their sixteenth.
pub(crate) fn figure(house: &House, length: f64) -> String {
    plan::format_tape(length, house.plan.units)
}

/// A board's length as it is cut: whole millimetres, never longer than the board, as the saw list sets the stop.
pub(crate) fn cut_length(house: &House, board: &lay::Board) -> String {
    figure(house, board.cut_length())
}

/// A length to a tenth of a millimetre, as a saw is set.
pub(crate) fn setting(house: &House, length: f64) -> String {
    format_length((length * 10.0).round() / 10.0, house.plan.units)
}

/// `1 board`, `5 boards`.
pub(crate) fn count(number: usize, one: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {one}s") }
}

/// The corner of a pull in words: its room and the walls that meet there, counted from 1.
pub(crate) fn corner(house: &House, pull: &Pull) -> String {
    corner_of(house, pull.room, pull.wall)
}

/// The corner at which a wall starts, in the same words.
pub(crate) fn corner_of(house: &House, room: usize, wall: usize) -> String {
    let Some(room) = house.plan.rooms.get(room) else { return String::new() };
    let walls = room.walls.len().max(1);
    let before = (wall + walls - 1) % walls + 1;
    format!("{}, corner of walls {before} and {}", room.name, wall + 1)
}

/// Where the rows climb (`sign` 1) or fall (-1) on the sheet, in words.
pub(crate) fn across(house: &House, sign: f64) -> &'static str {
    match heading(house, site::Uv::new(0.0, sign)) {
        Heading::Up => "up the sheet",
        Heading::Down => "down the sheet",
        Heading::Left => "to the left",
        Heading::Right => "to the right",
    }
}

/// How the rows run on the sheet, in words.
pub(crate) fn along(house: &House) -> &'static str {
    let way = house.site.frame.plan_from_row(site::Uv::new(1.0, 0.0));
    // Within 30° of a side of the sheet people call it that.
    let (x, y) = (way.x.abs(), way.y.abs());
    match (y < 0.5, x < 0.5) {
        (true, _) => "from left to right",
        (_, true) => "from top to bottom",
        _ => "aslant",
    }
}

/// Where a direction on the plan goes on the sheet, in words.
pub(crate) fn towards(way: kurbo::Vec2) -> &'static str {
    match (way.y.abs() >= way.x.abs(), way.y > 0.0, way.x > 0.0) {
        (true, true, _) => "up the sheet",
        (true, false, _) => "down the sheet",
        (false, _, true) => "to the right",
        (false, _, false) => "to the left",
    }
}

enum Heading {
    Up,
    Down,
    Left,
    Right,
}

fn heading(house: &House, direction: site::Uv) -> Heading {
    let on_plan = house.site.frame.plan_from_row(direction);
    match (on_plan.y.abs() >= on_plan.x.abs(), on_plan.y > 0.0, on_plan.x > 0.0) {
        (true, true, _) => Heading::Up,
        (true, false, _) => Heading::Down,
        (false, _, true) => Heading::Right,
        (false, _, false) => Heading::Left,
    }
}

/// The label of a board.
pub(crate) fn label(house: &House, board: usize) -> &str {
    house.floor.boards.get(board).map_or("", |board| &board.label)
}

/// The labels of boards, separated by spaces; strips name the board whose rip leaves them, and a star marks a lock to
/// be shaved.
pub(crate) fn labels(house: &House, boards: &[usize]) -> String {
    let label = |board: &usize| house.floor.saw_label(*board) + house.fit.mark(*board);
    boards.iter().map(label).collect::<Vec<_>>().join("  ")
}

/// A board's label with the star of a lock to be shaved.
pub(crate) fn marked(house: &House, board: usize) -> String {
    label(house, board).to_owned() + house.fit.mark(board)
}

/// `strip of 5-1 · ` for a board whose wood another's rip leaves, else nothing.
pub(crate) fn strip_note(house: &House, board: usize) -> String {
    let beside = house.floor.strip_beside(board);
    beside.map(|rip| format!("strip of {} · ", label(house, rip))).unwrap_or_default()
}

/// What the boards are: name, measured face width and kerf.
pub(crate) fn stock_line(house: &House) -> String {
    let stock = &house.plan.stock;
    format!("{} · face {} · kerf {}", stock.name, setting(house, stock.pitch()), setting(house, stock.kerf))
}
