//! Boards marked as laid, and the laying shown board by board.

use super::Desk;
use crate::canvas::{Span, Wanted};
use crate::job::Step;
use crate::laying::Move;
use crate::select::Selected;
use egui::Context;

impl Desk {
    /// The selected board of the house as the plan has it now; says what is missing where there is none.
    pub(super) fn selected_board(&mut self) -> Option<(std::sync::Arc<pipeline::House>, usize)> {
        let house = self.compute.house().filter(|house| house.plan == **self.document.plan()).cloned();
        let Some(house) = house else {
            self.said = Some(self.not_yet());
            return None;
        };
        match self.selected {
            Selected::Board(board) if board < house.floor.boards.len() => Some((house, board)),
            _ => {
                self.said = Some("Select a board first".into());
                None
            }
        }
    }

    /// Marks the selected board as laid, with all that was laid before it or alone.
    pub(super) fn mark_laid(&mut self, with_all_before: bool) {
        let Some((house, board)) = self.selected_board() else { return };
        let boards = if with_all_before { house.up_to(board) } else { vec![board] };
        match house.with_laid(&boards) {
            Ok(plan) => {
                self.reselect = Some(house.floor.boards[board].label.clone());
                self.replace("mark as laid", plan);
                self.job.open(Step::Laid);
            }
            Err(error) => self.said = Some(error.to_string()),
        }
    }

    pub(super) fn unmark_laid(&mut self) {
        let Some((house, board)) = self.selected_board() else { return };
        if house.floor.is_laid(board) {
            self.replace("not laid after all", house.without_laid(&[board]));
        } else {
            self.said = Some("That board is not marked as laid".into());
        }
    }

    /// Starts the laying by itself, or holds it.
    pub(super) fn lay_on(&mut self, ctx: &Context) {
        let is_new = !self.laying.is_shown();
        self.laying.toggle(ctx.input(|input| input.time));
        self.keep_laying(ctx);
        if is_new {
            self.job.open(Step::Fit);
        }
    }

    /// Lays boards or takes them up, and brings the next into view.
    pub(super) fn lay_by(&mut self, ctx: &Context, by: Move) {
        let is_shown = self.laying.is_shown();
        let is_back = matches!(by, Move::Board(..=-1) | Move::Row(..=-1));
        self.laying.open(is_back);
        self.keep_laying(ctx);
        // The first step forwards shows the bare floor and the first board.
        if is_shown || is_back {
            self.laying.go(by);
        }
        if !is_shown {
            self.job.open(Step::Fit);
        }
        self.show_next();
    }

    /// Lays all runs before one.
    pub(super) fn lay_to(&mut self, ctx: &Context, step: usize) {
        self.laying.open(false);
        self.keep_laying(ctx);
        self.laying.go_to_step(step);
        self.show_next();
    }

    pub(super) fn show_next(&mut self) {
        let Some(span) = self.house().and_then(|house| self.laying.span(house)) else { return };
        let view = &self.canvas.view;
        if view.rect.is_positive() && !view.rect.shrink(30.0).contains(view.screen_from_plan(span.centre())) {
            self.canvas.wanted = Some(Wanted::Span(Span::round(span.centre(), 1800.0)));
        }
    }

    pub(super) fn keep_laying(&mut self, ctx: &Context) {
        let (house, generation) = (self.compute.house(), self.compute.generation());
        self.laying.keep_up(house, generation, self.synchronous, ctx);
    }
}
