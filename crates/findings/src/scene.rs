//! What flags are read from, and how places and lengths are said.

use lay::Floor;
use plan::{Places, Plan, format_length};
use site::{Site, Uv};

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
        let count = board.outline.outer.len().max(1) as f64;
        let (u, v) =
            board.outline.outer.iter().fold((0.0, 0.0), |(u, v), p| (u + p.u / count, v + p.v / count));
        let at = self.site.frame.plan_from_row(Uv::new(u, v));
        let row = self.floor.row_number(board.row);
        match self.places.place_at(at) {
            Some(place) => format!("{place}, row {row}, board {}", board.label),
            None => format!("row {row}, board {}", board.label),
        }
    }

    pub(crate) fn length(&self, mm: f64) -> String {
        format_length(mm, self.plan.units)
    }
}
