//! What flags are read from, and how places and lengths are said.

use fit::Fit;
use lay::Floor;
use plan::{Bounds, Boxes, Places, Plan, format_length};
use site::{Edge, Region, Site};
use std::cell::OnceCell;

/// What flags are read from.
pub(crate) struct Scene<'a> {
    pub(crate) plan: &'a Plan,
    pub(crate) places: &'a Places<'a>,
    pub(crate) site: &'a Site,
    pub(crate) floor: &'a Floor,
    pub(crate) fit: &'a Fit,
    /// Of each region whether boards lie in it: its line is where it is.
    pub(crate) line_lies: Vec<bool>,
    /// The edges of each region by their place, once one is asked for.
    pub(crate) edges: OnceCell<Vec<Filed<'a>>>,
}

/// The edges of a region, and where they lie.
pub(crate) struct Filed<'a> {
    edges: Vec<&'a Edge>,
    boxes: Boxes,
}

impl<'a> Filed<'a> {
    fn new(region: &'a Region) -> Self {
        let edges: Vec<&Edge> = region.edges().collect();
        let bounds = |edge: &&Edge| Bounds::of([[edge.a.u, edge.a.v], [edge.b.u, edge.b.v]]);
        let boxes = Boxes::new(edges.iter().map(bounds));
        Self { edges, boxes }
    }
}

/// Of each region of a site whether boards lie in it.
pub(crate) fn lines_that_lie(site: &Site, floor: &Floor) -> Vec<bool> {
    let mut lies = vec![false; site.regions.len()];
    for (board, laid) in floor.boards.iter().zip(&floor.laid.of_board) {
        if let Some(lies) = lies.get_mut(board.region).filter(|_| laid.is_some()) {
            *lies = true;
        }
    }
    lies
}

impl<'a> Scene<'a> {
    /// `Study, row 12, board 12-3`. The middle of a board with legs on both sides of a wall may lie in the wall; its corners
    /// lie on the floor.
    pub(crate) fn board_place(&self, index: usize) -> String {
        let board = &self.floor.boards[index];
        let place = |at| self.places.place_at(self.site.frame.plan_from_row(at));
        let course = self.course((board.region, board.row), board.in_border, board.is_block());
        match place(board.middle()).or_else(|| board.outline.outer.iter().find_map(|corner| place(*corner))) {
            Some(place) => format!("{place}, {course}, board {}", board.label),
            None => format!("{course}, board {}", board.label),
        }
    }

    /// `row 12`, `column 3` or `border`.
    pub(crate) fn course(&self, (region, row): (usize, i32), in_border: bool, is_block: bool) -> String {
        let row = self.floor.row_name(region, row);
        match (in_border, is_block) {
            (true, _) => "border".to_owned(),
            (false, true) => format!("column {row}"),
            (false, false) => format!("row {row}"),
        }
    }

    /// The edges of a region that come within some bounds.
    pub(crate) fn edges_near(&self, region: usize, around: Bounds) -> Vec<&'a Edge> {
        let filed = self.edges.get_or_init(|| self.site.regions.iter().map(Filed::new).collect());
        let Some(Filed { edges, boxes }) = filed.get(region) else { return Vec::new() };
        boxes.meeting(around).into_iter().filter_map(|index| edges.get(index).copied()).collect()
    }

    pub(crate) fn length(&self, mm: f64) -> String {
        format_length(mm, self.plan.units)
    }
}
