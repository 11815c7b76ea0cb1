//! Paints a scene's labels on their plates: figures in rings, names on tags, flags as pennants.

use super::apart::{CELL, apart};
use super::pen::{LABELLED_BOARD, Pen, Piece};
use super::scene::{Key, Scene};
use super::view::{Span, View};
use crate::palette::Palette;
use crate::tool::Pick;
use drawing::{Anchor, Label, Role};
use egui::emath::GuiRounding as _;
use egui::epaint::Tessellator;
use egui::{Color32, FontId, Galley, Mesh, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2};
use plan::Point;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Writing that can be clicked, where it was placed: a pennant or a room's name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Placed {
    /// What a click on it picks.
    pub(crate) what: Pick,
    /// Its place on the screen.
    pub(crate) rect: Rect,
}

/// Writing as it was placed.
#[derive(Default)]
pub(crate) struct Written {
    /// What can be clicked, the ones on top first.
    pub(crate) placed: Vec<Placed>,
    /// Where any writing but the boards' lies on the screen.
    pub(crate) taken: Vec<Rect>,
    /// Of these the pulls' figures and letters: what the line is snapped by.
    pub(crate) pulls: Vec<Rect>,
    /// Figures of rips and doorways within the view that have no room there.
    pub(crate) left_out: usize,
}

/// A label by all that decides how it looks: everything but where it stands.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Look {
    text: String,
    role: Role,
    anchor: u8,
    /// Size, turn and shift, bit by bit, and the size of boards' labels where it is one.
    figures: [u64; 5],
}

impl Look {
    fn of(label: &Label, of_board: f32) -> Self {
        let anchor = match label.anchor {
            Anchor::Middle => 0,
            Anchor::Start => 1,
            Anchor::End => 2,
        };
        let grows = if label.role == Role::BoardLabel { f64::from(of_board) } else { 0.0 };
        let figures = [label.size, label.turn, label.shift.x, label.shift.y, grows].map(f64::to_bits);
        Self { text: label.text.clone(), role: label.role, anchor, figures }
    }
}

/// What pieces were made for.
#[derive(Debug, Clone, Copy, PartialEq)]
struct MadeFor {
    palette: Palette,
    pixels_per_point: f32,
    /// Size of the sheet of letters: their places on it are in the pieces.
    letters: [usize; 2],
}

/// What the labels of a scene were looked up for.
#[derive(Debug, Clone, Copy, PartialEq)]
struct FoundFor {
    scene: Option<Key>,
    /// Size of boards' labels, points.
    of_board: f32,
}

/// Which labels are shown where there is more writing than can be read.
struct Apart {
    scene: Option<Key>,
    scale: f64,
    /// Where labels were told apart, points from the plan's origin.
    region: Rect,
    kept: Vec<bool>,
}

/// Labels made into triangles, kept while they look the same: moving the view only moves them, and another floor makes only
/// those anew that say something else.
#[derive(Default)]
pub(super) struct Lettering {
    made_for: Option<MadeFor>,
    /// A figure laid out on the sheet of letters. Whoever lays it out again is given the same one until the sheet is begun
    /// anew, as a switch of the light does; its size and how full it is need not change then.
    sheet: Option<Arc<Galley>>,
    pieces: BTreeMap<Look, Arc<Piece>>,
    found_for: Option<FoundFor>,
    found: Vec<Option<Arc<Piece>>>,
    apart: Option<Apart>,
    /// The scale of the last frame.
    scale: f64,
    /// The triangles of the last frame.
    mesh: Arc<Mesh>,
    /// What they were put together for.
    last: Option<Last>,
}

/// Writing as it was put together for the last frame: a view that is only moved moves it.
struct Last {
    scene: Option<Key>,
    view: View,
    /// What of the plan it covers, mm.
    covered: Span,
    selected: Option<usize>,
    written: Written,
    /// Where figures would stand that have no room.
    left_out: Vec<Pos2>,
    /// What stands over the rest.
    on_top: Vec<(Rect, Arc<Piece>, Vec2)>,
}

impl Last {
    /// Moves everything but the triangles.
    fn shift(&mut self, by: Vec2) {
        let Written { placed, taken, pulls, .. } = &mut self.written;
        placed.iter_mut().for_each(|placed| placed.rect = placed.rect.translate(by));
        taken.iter_mut().chain(pulls).for_each(|rect| *rect = rect.translate(by));
        self.left_out.iter_mut().for_each(|at| *at += by);
        for (rect, _, at) in &mut self.on_top {
            (*rect, *at) = (rect.translate(by), *at + by);
        }
    }
}

/// A figure laid out on the sheet of letters as it is now.
fn sheet(painter: &Painter) -> Arc<Galley> {
    painter.layout_no_wrap("0".to_owned(), FontId::default(), Color32::PLACEHOLDER)
}

impl Lettering {
    /// Paints the labels; where they lie.
    pub(super) fn paint(
        &mut self,
        painter: &Painter,
        scene: &Scene,
        view: &View,
        palette: &Palette,
        selected: Option<usize>,
        at_once: bool,
    ) -> Written {
        let pen = Pen { painter, view, palette, board_points: view.points(scene.pitch) };
        if !self.is_moved_to(&pen, scene, selected) {
            self.put_together(&pen, scene, selected, at_once);
        }
        painter.add(Shape::Mesh(self.mesh.clone()));
        let Some(last) = &self.last else { return Written::default() };
        for (rect, piece, by) in &last.on_top {
            let stroke = Stroke::new(1.8, palette.chalk);
            painter.rect_stroke(rect.expand(3.0), 2.0, stroke, StrokeKind::Outside);
            let mut mesh = Mesh::default();
            super::baked::append(&mut mesh, &piece.mesh, 1.0, *by);
            painter.add(Shape::mesh(mesh));
        }
        let Written { placed, taken, pulls, .. } = &last.written;
        let left_out = last.left_out.iter().filter(|at| view.rect.contains(**at)).count();
        Written { placed: placed.clone(), taken: taken.clone(), pulls: pulls.clone(), left_out }
    }

    /// Moves what was put together for the last frame to this view, where that is the same but for its place and all writing
    /// that is seen in it is there.
    fn is_moved_to(&mut self, pen: &Pen<'_>, scene: &Scene, selected: Option<usize>) -> bool {
        let ctx = pen.painter.ctx();
        let letters = ctx.fonts(|fonts| fonts.font_image_size());
        let made_for = MadeFor { palette: *pen.palette, pixels_per_point: ctx.pixels_per_point(), letters };
        // Letters that have come since lie beside those that were there.
        let is_same_sheet = self.made_for == Some(made_for) && self.is_sheet(&sheet(pen.painter));
        let Some(last) = self.last.as_mut().filter(|last| {
            is_same_sheet
                && last.scene == scene.key
                && last.selected == selected
                && last.view.scale == pen.view.scale
                && last.covered.holds(&pen.view.seen())
        }) else {
            return false;
        };
        let at = |view: &View| super::baked::placed(view, Point::default(), ctx.pixels_per_point());
        let by = at(pen.view) - at(&last.view);
        last.view = *pen.view;
        last.shift(by);
        super::baked::shift(&mut self.mesh, by);
        true
    }

    /// Whether the sheet of letters is the one that the pieces have their letters from.
    fn is_sheet(&self, sheet: &Arc<Galley>) -> bool {
        self.sheet.as_ref().is_some_and(|then| Arc::ptr_eq(then, sheet))
    }

    /// Puts the writing of a view and of some way round it together.
    fn put_together(&mut self, pen: &Pen<'_>, scene: &Scene, selected: Option<usize>, at_once: bool) {
        let (painter, view) = (pen.painter, pen.view);
        let is_selected = |label: &Label| {
            matches!(label.role, Role::Fault | Role::Look)
                && selected.is_some_and(|flag| label.subject == Some(flag) || label.also.contains(&flag))
        };
        let in_view = view.rect.expand(BEYOND + super::baked::MARGIN);
        let mut seen: Vec<usize> = (0..scene.labels.len())
            .filter(|index| {
                let label = &scene.labels[*index];
                (label.role != Role::BoardLabel || pen.board_points >= LABELLED_BOARD)
                    && in_view.contains(pen.at(label))
            })
            .collect();
        let mut left_out: Vec<Pos2> = scene.left_out.iter().map(|at| view.screen_from_plan(*at)).collect();
        let mut is_stale = false;
        let near = view.rect.expand(BEYOND);
        let crowd = seen.iter().filter(|index| near.contains(pen.at(&scene.labels[**index]))).count();
        if is_small(view) || crowd > CROWD {
            let (kept, is_old) = self.told_apart(scene, pen, at_once);
            seen.retain(|index| {
                let is_kept = kept.get(*index).copied().unwrap_or(true);
                let label = &scene.labels[*index];
                if !is_kept && is_figure(label.role) {
                    left_out.push(pen.at(label));
                }
                is_kept
            });
            is_stale = is_old;
            if is_stale {
                painter.ctx().request_repaint();
            }
        }
        let (over, under): (Vec<usize>, Vec<usize>) =
            seen.into_iter().partition(|index| is_selected(&scene.labels[*index]));
        self.make(pen, scene, under.iter().chain(&over).copied());
        let to_pixel = |at: Pos2| at.round_to_pixels(painter.pixels_per_point());
        let mut written = Written::default();
        let mesh = super::baked::emptied(&mut self.mesh);
        let mut on_top = Vec::new();
        for (index, is_over) in
            under.into_iter().map(|i| (i, false)).chain(over.into_iter().map(|i| (i, true)))
        {
            let Some(piece) = self.found.get(index).and_then(Option::as_ref) else { continue };
            let label = &scene.labels[index];
            let by = to_pixel(pen.at(label)).to_vec2();
            let rect = piece.rect.translate(by);
            match is_over {
                true => on_top.push((rect, piece.clone(), by)),
                false => super::baked::append(mesh, &piece.mesh, 1.0, by),
            }
            if label.role != Role::BoardLabel {
                written.taken.push(rect);
            }
            if matches!(label.role, Role::Pull | Role::CheckPull | Role::CornerLetter) {
                written.pulls.push(rect);
            }
            let mut picks = |what: Pick, rect: Rect| written.placed.push(Placed { what, rect });
            match (label.role, label.subject) {
                (Role::Fault | Role::Look, Some(worst)) => {
                    let foot = Rect::from_center_size(pen.at(label), Vec2::splat(10.0));
                    picks(Pick::Flag(next_of(worst, &label.also, selected)), rect.union(foot));
                }
                (Role::RoomName, Some(room)) => picks(Pick::Room(room), rect),
                (Role::Dimension, Some(kept)) => picks(Pick::Dimension(kept), rect),
                (Role::JointName, Some(joint)) => picks(Pick::Joint(joint), rect),
                _ => {}
            }
        }
        written.placed.reverse();
        // What is told apart for another zoom is put together anew in the next frame.
        let covered = match is_stale {
            true => Span { min: Point::new(0.0, 0.0), max: Point::new(-1.0, -1.0) },
            false => view.seen().grown(view.mm(super::baked::MARGIN)),
        };
        self.last =
            Some(Last { scene: scene.key, view: *view, covered, selected, written, left_out, on_top });
    }

    /// Makes the pieces of these labels that are not there yet.
    fn make(&mut self, pen: &Pen<'_>, scene: &Scene, labels: impl Iterator<Item = usize> + Clone) {
        let ctx = pen.painter.ctx();
        // New letters may make their sheet larger, and then all places on it are others: once more from the beginning.
        for _ in 0..2 {
            let sheet = sheet(pen.painter);
            let letters = ctx.fonts(|fonts| fonts.font_image_size());
            let made_for =
                MadeFor { palette: *pen.palette, pixels_per_point: ctx.pixels_per_point(), letters };
            let is_same_sheet = self.is_sheet(&sheet);
            self.sheet = Some(sheet);
            if self.made_for != Some(made_for) || !is_same_sheet {
                (self.made_for, self.found_for) = (Some(made_for), None);
                self.pieces.clear();
            }
            let found_for = FoundFor { scene: scene.key, of_board: pen.of_board() };
            if self.found_for != Some(found_for) || self.found.len() != scene.labels.len() {
                self.found_for = Some(found_for);
                self.found = vec![None; scene.labels.len()];
                if self.pieces.len() > 2 * scene.labels.len() + SPARE {
                    self.pieces.clear();
                }
            }
            let options = ctx.tessellation_options(|options| *options);
            let mut maker = Tessellator::new(ctx.pixels_per_point(), options, letters, Vec::new());
            for index in labels.clone() {
                if let (Some(label), Some(found @ None)) =
                    (scene.labels.get(index), self.found.get_mut(index))
                {
                    let piece = self.pieces.entry(Look::of(label, pen.of_board()));
                    *found = Some(piece.or_insert_with(|| Arc::new(pen.piece(label, &mut maker))).clone());
                }
            }
            if ctx.fonts(|fonts| fonts.font_image_size()) == letters {
                return;
            }
        }
    }

    /// Of much writing what does not lie over other writing, for the view and some way round it; and whether that was told
    /// apart for a view a little nearer or farther, so that it has to be told apart once more.
    fn told_apart(&mut self, scene: &Scene, pen: &Pen<'_>, at_once: bool) -> (&[bool], bool) {
        let view = pen.view;
        // From the plan's origin, so that moving the view tells nothing apart anew.
        let from_origin = |at: Pos2| at - view.screen_from_plan(Point::default());
        let seen = view.rect.expand(BEYOND + super::baked::MARGIN);
        let seen = Rect::from_min_max(from_origin(seen.min).to_pos2(), from_origin(seen.max).to_pos2());
        let is_moving = !at_once && self.scale != view.scale;
        self.scale = view.scale;
        let known = self.apart.as_ref().filter(|apart| {
            let times = (apart.scale / view.scale) as f32;
            let then = Rect::from_min_max(seen.min * times, seen.max * times);
            let is_near = times == 1.0 || is_moving && NEARLY.contains(&times);
            apart.scene == scene.key && is_near && apart.region.contains_rect(then)
        });
        let is_stale = known.is_some_and(|apart| apart.scale != view.scale);
        if known.is_none() {
            let region = seen.expand2(seen.size() / 2.0);
            // By whole squares, or a region a little farther would tell other labels apart.
            let whole = |at: Pos2| pos2((at.x / CELL).floor() * CELL, (at.y / CELL).floor() * CELL);
            let region = Rect::from_min_max(whole(region.min), region.max);
            let kept = apart(&scene.labels, pen, region, from_origin);
            self.apart = Some(Apart { scene: scene.key, scale: view.scale, region, kept });
        }
        (self.apart.as_ref().map_or(&[], |apart| &apart.kept), is_stale)
    }
}

/// While the view is being zoomed, what was told apart for one this many times nearer or farther is shown.
const NEARLY: std::ops::RangeInclusive<f32> = 0.87..=1.15;
/// Labels so far out of the view are shown all the same: their writing may reach into it, points.
const BEYOND: f32 = 160.0;
/// So many pieces are kept beside those of the labels that are there.
const SPARE: usize = 600;
/// So much writing at once is more than can be read: what would lie over other writing waits until one is nearer.
const CROWD: usize = 260;
/// Where so much of the plan, mm, is narrower than this on the screen, points, the floor is so small beside its writing that
/// much of it would overlap. It is as wide as a usual board (common practice, no source): narrow blocks make a house no smaller.
const SMALL: (f64, f32) = (190.0, 7.0);

/// Whether the floor is small beside its writing.
fn is_small(view: &View) -> bool {
    view.points(SMALL.0) < SMALL.1
}

/// Figures that one works from: where they have no room that is said.
pub(super) fn is_figure(role: Role) -> bool {
    matches!(role, Role::RipFigure | Role::ShortRipFigure | Role::StopFigure | Role::StepMark)
}

/// The flag that a click on a pennant picks: its worst, then the others one after the other.
fn next_of(worst: usize, also: &[usize], selected: Option<usize>) -> usize {
    let all = || std::iter::once(worst).chain(also.iter().copied());
    let mut after = all().skip_while(|flag| Some(*flag) != selected).skip(1);
    after.next().unwrap_or(worst)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A house of 12 m in a window of 1200 points: a metre is a hundred points wide, and its writing has room, whether it is
    /// laid in boards of 190 or in blocks of 100. A street of 300 m in the same window is small.
    #[test]
    fn how_small_a_floor_is_does_not_hang_on_its_boards() {
        let at = |scale: f64| View { scale, ..View::default() };
        assert!(!is_small(&at(0.1)) && !is_small(&at(0.06)));
        assert!(is_small(&at(0.004)));
    }
}
