//! The owner's view: the floor as it will look, from above and from where one stands, without a figure on it.

mod camera;
mod mesh;
mod wood;

use crate::canvas::{Canvas, Span, View};
use crate::palette::{Palette, text_font};
use crate::reckon::Reckoned;
use camera::Camera;
use egui::{
    Context, Key, Modifiers, Painter, Rect, Sense, Shape, TextureHandle, TextureOptions, Ui, pos2, vec2,
};
use mesh::{Eye, Picture};
use pipeline::House;
use plan::Plan;
use std::sync::Arc;

/// One press of an arrow key: a step, mm, and a turn, radians.
const STEP: f64 = 250.0;
const TURN: f64 = 0.12;
/// A drag across so many points turns by one radian.
const POINTS_TO_RADIAN: f64 = 420.0;

/// How the owner looks at the floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Look {
    /// The drawing table.
    #[default]
    Table,
    /// Straight down.
    Above,
    /// From the end of the hallway.
    Standing,
}

/// The view's own state.
#[derive(Default)]
pub(crate) struct Owner {
    look: Look,
    /// How the table was seen before, to come back to.
    table: Option<View>,
    camera: Option<Camera>,
    sheet: Option<TextureHandle>,
    /// The wood before it is handed to the window.
    grown: Reckoned<(), egui::ColorImage>,
    /// The last picture and what it was made for.
    made: Option<(u64, Eye, Palette, Picture)>,
}

impl Owner {
    /// The table, then the whole floor from above, then from where one stands, then the table again as it was.
    pub(crate) fn next(&mut self, plan: &Plan, canvas: &mut Canvas) {
        match self.look {
            Look::Table => {
                self.table = Some(canvas.view);
                if let Some(span) = Span::of_plan(plan).filter(|_| canvas.view.rect.is_positive()) {
                    canvas.view.fit(span);
                }
                self.look = Look::Above;
            }
            Look::Above => self.look = Look::Standing,
            Look::Standing => drop(self.leave(canvas)),
        }
    }

    /// Back to the table; whether it was left.
    pub(crate) fn leave(&mut self, canvas: &mut Canvas) -> bool {
        if let Some(View { centre, scale, .. }) = self.table.take() {
            (canvas.view.centre, canvas.view.scale) = (centre, scale);
        }
        std::mem::take(&mut self.look) != Look::Table
    }

    pub(crate) fn is_shown(&self) -> bool {
        self.look != Look::Table
    }

    /// Whether arrow keys walk.
    pub(crate) fn walks(&self) -> bool {
        self.look == Look::Standing
    }

    /// Takes the arrow keys: forwards, back and turns; with Shift sideways and the tilt of the head.
    pub(crate) fn keys(&mut self, ctx: &Context) {
        let Some(camera) = &mut self.camera else { return };
        ctx.input_mut(|input| {
            let mut pressed = |modifiers, key| input.count_and_consume_key(modifiers, key) as f64;
            let (shift, none) = (Modifiers::SHIFT, Modifiers::NONE);
            let sideways = pressed(shift, Key::ArrowLeft) - pressed(shift, Key::ArrowRight);
            let tilt = pressed(shift, Key::ArrowDown) - pressed(shift, Key::ArrowUp);
            let forwards = pressed(none, Key::ArrowUp) - pressed(none, Key::ArrowDown);
            let turn = pressed(none, Key::ArrowLeft) - pressed(none, Key::ArrowRight);
            camera.walk(forwards * STEP, sideways * STEP);
            camera.turn(turn * TURN, tilt * TURN / 2.0);
        });
    }

    /// Shows the floor in all of `ui`.
    pub(crate) fn show(&mut self, ui: &mut Ui, house: Option<(&Arc<House>, u64)>, canvas: &mut Canvas) {
        let rect = ui.available_rect_before_wrap();
        ui.advance_cursor_after_rect(rect);
        let response = ui.interact(rect, Canvas::id(), Sense::click_and_drag());
        let words = match self.look {
            Look::Standing => {
                "Owner's view, standing on the floor · arrows walk and turn, Shift: sideways, tilt"
            }
            _ => "Owner's view, the floor from above",
        };
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, words));
        let palette = Palette::current(ui.ctx());
        let painter = ui.painter_at(rect);
        painter.rect_filled(rect, 0.0, palette.paper);
        canvas.look_around(ui, &response, rect);
        let Some((house, generation)) = house else {
            let text = "No floor yet: draw a room on the table first, O goes back";
            painter.text(rect.center(), egui::Align2::CENTER_CENTER, text, text_font(15.0), palette.weak);
            return;
        };
        let eye = match self.look {
            Look::Standing => {
                if self.camera.is_none() {
                    self.camera = Camera::down_the_hallway(&house.plan);
                }
                let Some(camera) = &mut self.camera else { return };
                if response.dragged() {
                    let by = response.drag_delta();
                    camera.turn(f64::from(by.x) / POINTS_TO_RADIAN, -f64::from(by.y) / POINTS_TO_RADIAN);
                }
                if response.contains_pointer() {
                    let scroll = ui.input(|input| input.smooth_scroll_delta());
                    camera.walk(f64::from(scroll.y) * 8.0, f64::from(scroll.x) * 4.0);
                }
                Eye::Standing(camera.sight(), rect)
            }
            _ => Eye::Above(canvas.view),
        };
        // Made once, beside the window: it takes longer than many frames.
        if self.sheet.is_none() {
            self.grown.ask((), canvas.at_once, ui.ctx(), |_| Some(wood::sheet()));
        }
        if self.sheet.is_none()
            && let Some(wood) = self.grown.take_out(&())
        {
            let options = TextureOptions {
                wrap_mode: egui::TextureWrapMode::Repeat,
                mipmap_mode: Some(egui::TextureFilter::Linear),
                ..TextureOptions::LINEAR
            };
            self.sheet = Some(ui.ctx().load_texture("wood to look at", wood, options));
        }
        let Some(sheet) = &self.sheet else {
            let text = "the wood is growing…";
            painter.text(rect.center(), egui::Align2::CENTER_CENTER, text, text_font(15.0), palette.weak);
            return;
        };
        // Standing, one sees the rooms in daylight, whatever the table.
        let colours = if self.look == Look::Standing { Palette::daylight() } else { palette };
        if self.look == Look::Standing {
            painter.rect_filled(rect, 0.0, colours.strip);
        }
        let is_made = self
            .made
            .as_ref()
            .is_some_and(|(of, from, with, _)| (*of, *from, *with) == (generation, eye, *colours));
        if !is_made {
            self.made = Some((generation, eye, *colours, mesh::picture(house, &eye, sheet.id(), colours)));
        }
        let from_above = self.look == Look::Above;
        if let Some((_, _, _, picture)) = &self.made {
            painter.add(Shape::mesh(picture.ground.clone()));
            // Boards go over the walls, so that doorways are seen to be open.
            if from_above {
                canvas.paint_house(&painter, house, generation, false);
            }
            painter.add(Shape::mesh(picture.boards.clone()));
            painter.add(Shape::mesh(picture.standing.clone()));
            if from_above {
                canvas.paint_house(&painter, house, generation, true);
            }
        }
        foot(&painter, rect, words, palette);
    }
}

fn foot(painter: &Painter, rect: Rect, words: &str, palette: &Palette) {
    let width = (rect.width() - 40.0).max(60.0);
    let words = format!("{words} · O: next · Esc: back");
    let galley = painter.layout(words, text_font(13.0), palette.weak, width);
    let min = pos2(rect.left() + 20.0, rect.bottom() - 14.0 - galley.size().y);
    painter.rect_filled(
        Rect::from_min_size(min, galley.size()).expand2(vec2(8.0, 4.0)),
        3.0,
        palette.paper.gamma_multiply(0.92),
    );
    painter.galley(min, galley, palette.weak);
}
