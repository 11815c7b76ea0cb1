//! Writing told apart where there is more of it than can be read: what is shown, and what waits until one is nearer.

use super::label::is_figure;
use super::pen::{LABELLED_BOARD, Pen};
use super::scene::PAPER_MM;
use drawing::{Label, Role};
use egui::{Pos2, Rect, Vec2, vec2};

/// Squares of the screen in which writing is told apart, points.
pub(super) const CELL: f32 = 12.0;

/// Whether each label is shown: the flags first, then the line and the names, the figures of rips and doorways, and of the
/// rest, boards last, what lies over none of them. Those outside of `region` are not.
pub(super) fn apart(
    labels: &[Label],
    pen: &Pen<'_>,
    region: Rect,
    from_origin: impl Fn(Pos2) -> Vec2,
) -> Vec<bool> {
    let rank = |label: &Label| match label.role {
        Role::Pull | Role::CheckPull | Role::CornerLetter => 1,
        Role::Fault => 2,
        Role::StartLine => 3,
        Role::Look => 4,
        Role::RoomName => 5,
        Role::JointName | Role::Dimension => 6,
        Role::ShortRipFigure => 7,
        role if is_figure(role) => 8,
        // A floor of blocks has hundreds of them: nobody works from one before the wall is known.
        Role::BoardLabel => 10,
        _ => 9,
    };
    let places: Vec<Vec2> = labels.iter().map(|label| from_origin(pen.at(label))).collect();
    let is_shown = |index: &usize| {
        (labels[*index].role != Role::BoardLabel || pen.board_points >= LABELLED_BOARD)
            && region.contains(places[*index].to_pos2())
    };
    let mut order: Vec<usize> = (0..labels.len()).filter(is_shown).collect();
    order.sort_by_key(|index| rank(&labels[*index]));
    let columns = (region.width() / CELL).ceil().max(1.0) as usize;
    let rows = (region.height() / CELL).ceil().max(1.0) as usize;
    let mut taken = vec![false; columns * rows];
    let cell = |at: f32, of: usize| ((at / CELL).max(0.0) as usize).min(of - 1);
    let mut kept = vec![false; labels.len()];
    for index in order {
        let label = &labels[index];
        let at = places[index] - region.min.to_vec2();
        // About as large as it will be: half a letter's height is a letter's width.
        let height = (label.size * PAPER_MM) as f32 * 1.5;
        let width = height * 0.42 * label.text.chars().count() as f32 + height * 0.5;
        let shift = vec2((label.shift.x * PAPER_MM) as f32, (-label.shift.y * PAPER_MM) as f32);
        let middle = at + shift;
        let across = cell(middle.x - width / 2.0, columns)..=cell(middle.x + width / 2.0, columns);
        let down = cell(middle.y - height / 2.0, rows)..=cell(middle.y + height / 2.0, rows);
        let places = || down.clone().flat_map(|row| across.clone().map(move |column| row * columns + column));
        // Pulls with their letters are what the line is snapped by, and no flag is hidden: they are never left out.
        let stays = matches!(
            label.role,
            Role::Pull | Role::CheckPull | Role::CornerLetter | Role::Fault | Role::Look
        );
        if !stays && places().any(|place| taken[place]) {
            continue;
        }
        places().for_each(|place| taken[place] = true);
        kept[index] = true;
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::canvas::view::View;
    use crate::palette::Palette;
    use egui::{Context, LayerId, Painter, RawInput, pos2};
    use kurbo::Point;

    /// On a floor of blocks their numbers come first in the drawing, some of them under the wall's figure: it is the figure
    /// that is shown, and the numbers that lie over none of it.
    #[test]
    fn the_figure_of_a_rip_comes_before_the_numbers_of_boards() {
        let ctx = Context::default();
        let rect = Rect::from_min_size(Pos2::ZERO, vec2(400.0, 400.0));
        let view = View { rect, scale: 1.0, ..View::default() };
        let board = |x: f64| Label::new(Role::BoardLabel, "B1-72", Point::new(x, 0.0));
        let labels = [board(0.0), board(90.0), Label::new(Role::RipFigure, "332", Point::new(4.0, 0.0))];
        let mut kept = Vec::new();
        let mut output = ctx.run_ui(RawInput::default(), |ui| {
            let painter = Painter::new(ui.ctx().clone(), LayerId::background(), rect);
            let palette = Palette::current(ui.ctx());
            let pen = Pen { painter: &painter, view: &view, palette, board_points: 40.0 };
            let region = Rect::from_center_size(pos2(0.0, 0.0), vec2(480.0, 480.0));
            let origin = view.screen_from_plan(plan::Point::default());
            kept = apart(&labels, &pen, region, |at| at - origin);
        });
        output.textures_delta.clear();
        assert_eq!(kept, [false, true, true]);
    }
}
