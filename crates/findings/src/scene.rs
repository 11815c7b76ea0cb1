//! What flags are read from, and how places and lengths are said.

use lay::Floor;
use plan::{Places, Plan, format_length};
use site::Site;

/// What flags are read from.
pub(crate) struct Scene<'a> {
    pub(crate) plan: &'a Plan,
    pub(crate) places: &'a Places<'a>,
    pub(crate) site: &'a Site,
    pub(crate) floor: &'a Floor,
}

impl Scene<'_> {
    /// `Study, row 12, board 12-3`.
    pub(crate) fn board_place(&self, index: usize) -> String {
        let board = &self.floor.boards[index];
        let at = self.site.frame.plan_from_row(board.middle());
        let course = self.course(board.row, board.in_border, board.is_block());
        match self.places.place_at(at) {
            Some(place) => format!("{place}, {course}, board {}", board.label),
            None => format!("{course}, board {}", board.label),
        }
    }

    /// `row 12`, `column 3` or `border`.
    pub(crate) fn course(&self, row: i32, in_border: bool, is_block: bool) -> String {
        let row = self.floor.row_number(row);
        match (in_border, is_block) {
            (true, _) => "border".to_owned(),
            (false, true) => format!("column {row}"),
            (false, false) => format!("row {row}"),
        }
    }

    pub(crate) fn length(&self, mm: f64) -> String {
        format_length(mm, self.plan.units)
    }
}
