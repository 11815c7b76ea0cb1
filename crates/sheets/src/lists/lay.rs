//! The lay list: every board in the order of laying, with its way in.

use crate::told::Told;
use ::lay::End;
use ::order::{Cell, Table};

/// One row a board, in the order in which they go in.
pub(super) fn lay_list(house: &Told<'_>) -> Table {
    let mut table = Table::new(
        "lay-list",
        "Lay list",
        &[
            ("number", "Number"),
            ("board", "Board"),
            ("row", "Row"),
            ("side", "Side of the line"),
            ("length_mm", "Length"),
            ("width_mm", "Width"),
            ("left_width_mm", "At its left end"),
            ("right_width_mm", "At its right end"),
            ("left_end", "Left end"),
            ("right_end", "Right end"),
            ("turned", "Turned"),
            ("stock_board", "Stock board"),
            ("from_mm", "From its left end"),
            ("pack", "Pack"),
            ("joint_mm", "Far joint at"),
            ("joint_from", "Pulled from"),
            ("x_mm", "Middle x"),
            ("y_mm", "Middle y"),
            ("way_in", "Way in"),
            ("stage", "Stage"),
        ],
    );
    let end = |end: End| match end {
        End::Factory => "factory",
        End::Cut => "cut",
    };
    let pulls = house.joint_pulls();
    let stages = house.shares();
    for index in house.sequence().boards() {
        let stage = stages.of_board.get(index).copied().flatten().and_then(|place| stages.order.get(place));
        let stage = stage.and_then(|stage| house.plan.stages.get(*stage));
        let Some(board) = house.floor.boards.get(index) else { continue };
        let way =
            if house.floor.is_laid(index) { "laid".to_owned() } else { house.fit.words(&house.plan, index) };
        let pack =
            house.floor.stock.get(board.stock).map_or(Cell::Empty, |stock| Cell::count(stock.pack + 1));
        let middle = house.site.frame.plan_from_row(middle(&board.outline.outer));
        let side = match (board.in_border, board.row < 0) {
            (true, _) => "border",
            (_, true) => "below",
            (_, false) => "above",
        };
        // A tapered rip has a width at each end; a straight one has its own at both, a notched board none.
        let taper = board.taper(house.floor.pitch);
        let marks = taper.as_ref().and_then(|t| t.marks.first().zip(t.marks.last()));
        let [left, right] = match marks {
            Some((left, right)) => [left, right].map(|mark| Cell::Length(mark.width)),
            None if board.shaped => [Cell::Empty, Cell::Empty],
            None => [Cell::Length(board.width), Cell::Length(board.width)],
        };
        // The last board of a row ends at what stands there, not at a joint.
        let pull = pulls.get(index).copied().flatten();
        table.rows.push(vec![
            Cell::count(table.rows.len() + 1),
            Cell::text(board.label.as_str()),
            ::order::row_cell(&house.floor, board),
            Cell::text(side),
            Cell::Length(board.length()),
            Cell::Length(board.width),
            left,
            right,
            Cell::text(end(board.left_end)),
            Cell::text(end(board.right_end)),
            Cell::text(if board.turned { "yes" } else { "no" }),
            Cell::count(board.stock + 1),
            Cell::Length(board.from),
            pack,
            pull.map_or(Cell::Empty, |pull| Cell::Length(pull.joint(board))),
            pull.map_or(Cell::Empty, |pull| Cell::text(pull.words(&house.plan))),
            Cell::Length(middle.x),
            Cell::Length(middle.y),
            Cell::text(way),
            stage.map_or(Cell::Empty, |stage| Cell::text(stage.name.as_str())),
        ]);
    }
    table
}

/// The middle of the box round an outline.
fn middle(outline: &[site::Uv]) -> site::Uv {
    let spread = |place: fn(&site::Uv) -> f64| {
        let bounds = outline.iter().map(place).fold(None, |bounds: Option<(f64, f64)>, p| {
            Some(bounds.map_or((p, p), |(low, high)| (low.min(p), high.max(p))))
        });
        bounds.map_or(0.0, |(low, high)| f64::midpoint(low, high))
    };
    site::Uv::new(spread(|p| p.u), spread(|p| p.v))
}
