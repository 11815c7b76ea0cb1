//! What flags are read from, and how places and lengths are said.

use lay::Floor;
use plan::{Plan, format_length};
use site::Site;

/// What flags are read from.
pub(crate) struct Scene<'a> {
    pub(crate) plan: &'a Plan,
    pub(crate) site: &'a Site,
    pub(crate) floor: &'a Floor,
}

impl Scene<'_> {
    /// `Study, row 12, board 12-3`.
    pub(crate) fn board_place(&self, index: usize) -> String {
        let board = &self.floor.boards[index];
        let at = self.site.frame.plan_from_row(board.middle());
        let row = self.floor.row_number(board.row);
        let course = match (board.in_border, board.is_block()) {
            (true, _) => "border".to_owned(),
            (false, true) => format!("column {row}"),
            (false, false) => format!("row {row}"),
        };
        match self.plan.place_at(at) {
            Some(place) => format!("{place}, {course}, board {}", board.label),
            None => format!("{course}, board {}", board.label),
        }
    }

    pub(crate) fn length(&self, mm: f64) -> String {
        format_length(mm, self.plan.units)
    }
}
