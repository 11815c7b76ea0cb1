//! The canvas: where the floor is seen and changed. Model (plan, house, view), layout (scene) and
//! paint are kept apart.

mod apart;
mod baked;
mod grid;
mod label;
mod layers;
mod laying;
mod merge;
mod overlay;
mod paint;
mod pen;
mod picture;
mod plates;
mod scene;
mod section;
mod snap;
mod together;
mod trapezoid;
mod view;

pub(crate) use label::Placed;
pub(crate) use layers::{Hidden, Layer};
pub(crate) use overlay::{Ghost, Overlay, extent_of};
pub(crate) use scene::Scene;
pub(crate) use section::section;
pub(crate) use snap::{Catch, Hint, Snapped};
pub(crate) use trapezoid::fill as trapezoids;
pub(crate) use view::{Span, View};

use crate::action::Actions;
use crate::compute::Compute;
use crate::document::Document;
use crate::laying::Laid;
use crate::palette::Palette;
use crate::select::Selected;
use crate::tool::{Event, Surroundings, Tool};
use egui::{CursorIcon, EventFilter, Id, Key, Painter, PointerButton, Pos2, Rect, Response, Sense, Ui, Vec2};
use pipeline::House;
use std::sync::Arc;
use std::time::Instant;

/// The canvas' own state: what is not in the plan.
pub(crate) struct Canvas {
    pub(crate) view: View,
    pub(crate) grid: bool,
    /// Layers that are not shown.
    pub(crate) hidden: Hidden,
    /// What to bring into view as soon as the canvas has a size.
    pub(crate) wanted: Option<Wanted>,
    /// The view after the whole floor was fitted to the table: while it is still that one, it is fitted again whenever the
    /// table's size changes.
    fitted: Option<View>,
    /// A card for which the whole floor leaves room, as large as it is, and the corner that it then has.
    beside: Option<Vec2>,
    pub(crate) corner: Option<Pos2>,
    scenes: scene::Scenes,
    /// Everything is laid out in the frame that asks for it.
    pub(crate) at_once: bool,
    /// When this frame was begun: what may wait does where little of it is left.
    pub(crate) begun: Option<Instant>,
    painted: baked::Baked,
    lettering: label::Lettering,
    /// Writing as it was last placed.
    written: label::Written,
    panning: bool,
    /// Two fingers or more have been on the glass since it was last untouched: nothing is picked or drawn.
    fingers: bool,
}

/// What to bring into view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Wanted {
    Everything,
    /// A stretch, as near as reads well.
    Span(Span),
    /// A stretch, no nearer than the view is.
    InSight(Span),
}

/// What the canvas shows.
pub(crate) struct Shown<'a> {
    pub(crate) document: &'a Document,
    pub(crate) compute: &'a Compute,
    pub(crate) selected: Selected,
    /// What is selected together with it.
    pub(crate) together: &'a [Selected],
    pub(crate) label: String,
    /// Whether the pulls that snap the line are shown.
    pub(crate) pulls: bool,
    /// How far the laying is shown, if it is.
    pub(crate) laid: Option<Laid<'a>>,
    /// Whether stages are hatched.
    pub(crate) stages: bool,
    /// The picture under the plan, while there is one.
    pub(crate) picture: Option<&'a egui::TextureHandle>,
    /// The tape of the selected room, while its table is open.
    pub(crate) tape: Option<&'a crate::tape::Found>,
    /// Layers that are not shown.
    pub(crate) hidden: Hidden,
}

/// What came of a frame's events.
pub(crate) struct Interacted {
    pub(crate) tool: Tool,
    pub(crate) overlay: Overlay,
    pub(crate) painter: Painter,
}

impl Default for Canvas {
    fn default() -> Self {
        Self {
            view: View::default(),
            grid: true,
            hidden: Hidden::default(),
            wanted: Some(Wanted::Everything),
            fitted: None,
            beside: None,
            corner: None,
            scenes: scene::Scenes::default(),
            at_once: false,
            begun: None,
            painted: baked::Baked::default(),
            lettering: label::Lettering::default(),
            written: label::Written::default(),
            panning: false,
            fingers: false,
        }
    }
}

impl Canvas {
    /// With `at_once`, a floor is laid out in the frame that asks for it, however large.
    pub(crate) fn new(at_once: bool) -> Self {
        Self { at_once, ..Self::default() }
    }

    /// The id of the canvas' response.
    pub(crate) fn id() -> Id {
        Id::unique("startrow canvas")
    }

    /// Whether a floor is being laid out beside the window.
    pub(crate) fn is_busy(&self) -> bool {
        self.scenes.is_under_way()
    }

    /// Where writing lies on the screen.
    pub(crate) fn written(&self) -> &[Rect] {
        &self.written.taken
    }

    /// Where the pulls' figures and letters lie on the screen.
    pub(crate) fn pulls(&self) -> &[Rect] {
        &self.written.pulls
    }

    /// A place over the floor that cards keep clear of.
    pub(crate) fn keep_clear(&mut self, place: Rect) {
        self.written.taken.push(place);
    }

    /// Takes all the room `ui` has, and lets the tool act. Painting follows once what the tool asked
    /// for is done, so that the floor under a drag is this frame's.
    pub(crate) fn interact(
        &mut self,
        ui: &mut Ui,
        shown: &Shown<'_>,
        tool: Tool,
        actions: &mut Actions,
    ) -> Interacted {
        let rect = ui.available_rect_before_wrap();
        ui.advance_cursor_after_rect(rect);
        let response = ui.interact(rect, Self::id(), Sense::click_and_drag());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, &shown.label));
        if response.has_focus() {
            let filter =
                EventFilter { horizontal_arrows: true, vertical_arrows: true, escape: true, tab: false };
            ui.memory_mut(|memory| memory.set_focus_lock_filter(Self::id(), filter));
        }
        self.take_place(rect);
        self.bring_into_view(shown);
        let had_fingers = self.fingers;
        self.navigate(ui, &response);

        let surroundings = self.surroundings(ui.ctx(), shown);
        let mut tool = tool;
        if self.fingers && !had_fingers && response.dragged() {
            // The first finger has begun to drag: that was not meant.
            tool = tool.interrupted(&surroundings, actions);
        }
        if !self.panning && !self.fingers && !had_fingers {
            for event in pointer_events(ui, &response, &self.view) {
                tool = tool.handle(event, &surroundings, actions);
            }
        }
        let overlay = tool.overlay(&surroundings);
        if let Some(icon) = self.cursor(ui, &response, &overlay) {
            ui.ctx().set_cursor_icon(icon);
        }
        Interacted { tool, overlay, painter: ui.painter_at(rect) }
    }

    /// What a tool sees now.
    pub(crate) fn surroundings<'a>(&'a self, ctx: &egui::Context, shown: &Shown<'a>) -> Surroundings<'a> {
        Surroundings {
            plan: shown.document.plan(),
            house: shown.compute.house().map(|house| &**house),
            is_current: shown.compute.is_current(),
            view: &self.view,
            placed: &self.written.placed,
            selected: shown.selected,
            together: shown.together,
            hidden: self.hidden,
            grid: self.grid,
            free: ctx.input(|input| input.modifiers.alt),
            square: ctx.input(|input| !input.modifiers.shift),
        }
    }

    /// Lies in another place on the screen. A view of the whole floor stays one.
    fn take_place(&mut self, rect: Rect) {
        let is_whole = self.fitted == Some(self.view);
        if is_whole && self.view.rect.size() != rect.size() {
            self.wanted.get_or_insert(Wanted::Everything);
        }
        self.view.rect = rect;
        if is_whole {
            self.fitted = Some(self.view);
        }
    }

    /// Leaves room for a card beside the whole floor from now on, or for none: where the view is of the whole floor it
    /// stays one.
    pub(crate) fn leave_room(&mut self, card: Option<Vec2>, ctx: &egui::Context) {
        let is_same = match (self.beside, card) {
            (Some(before), Some(now)) => (before - now).length() < 1.0,
            (before, now) => before == now,
        };
        if is_same {
            return;
        }
        self.beside = card;
        if self.fitted == Some(self.view) {
            self.wanted.get_or_insert(Wanted::Everything);
            ctx.request_repaint();
        }
    }

    fn bring_into_view(&mut self, shown: &Shown<'_>) {
        let Some(wanted) = self.wanted.take() else { return };
        match wanted {
            Wanted::Everything => {
                let plan = shown.document.plan();
                let span = Span::of_plan(plan);
                let rooms: Vec<Span> = plan.rooms.iter().filter_map(Span::of_room).collect();
                self.corner =
                    self.beside.zip(span).and_then(|(card, span)| self.view.fit_beside(span, card, &rooms));
                if self.corner.is_none() {
                    self.view.fit(span.unwrap_or(Span::of_empty_table()));
                }
                self.fitted = Some(self.view);
            }
            Wanted::Span(span) => self.view.look_at(span),
            Wanted::InSight(span) => self.view.keep_in_sight(span),
        }
    }

    /// Pan by middle drag, space and drag, or two fingers; zoom by ctrl and wheel, or pinch.
    fn navigate(&mut self, ui: &Ui, response: &Response) {
        if self.touch(ui) {
            return;
        }
        let typing = ui.ctx().text_edit_focused();
        let space = !typing && ui.input(|input| input.key_down(Key::Space));
        let by_middle = response.dragged_by(PointerButton::Middle);
        let by_space = space && response.dragged_by(PointerButton::Primary);
        self.panning = by_middle || by_space || (self.panning && response.dragged());
        if self.panning {
            self.view.pan(response.drag_delta());
        }
        // Not `hovered`: the wheel turns the view while a drag goes on, too.
        if response.contains_pointer()
            && let Some(pos) = ui.input(|input| input.pointer.latest_pos())
        {
            let (zoom, scroll) = ui.input(|input| (input.zoom_delta(), input.smooth_scroll_delta()));
            if (zoom - 1.0).abs() > 1e-4 {
                self.view.zoom_at(pos, f64::from(zoom));
            } else if scroll != egui::Vec2::ZERO {
                self.view.pan(scroll);
            }
        }
    }

    /// Two fingers on the glass: what lies between them stays between them. Whether they hold the view.
    fn touch(&mut self, ui: &Ui) -> bool {
        let (touch, is_held) =
            ui.input(|input| (input.multi_touch(), input.any_touches() || input.pointer.any_down()));
        self.fingers &= is_held;
        let Some(touch) = touch else { return self.fingers };
        let at = touch.center_pos;
        let is_ours = self.view.rect.contains(at) && ui.ctx().layer_id_at(at) == Some(ui.layer_id());
        if !is_ours && !self.fingers {
            return false;
        }
        self.fingers = true;
        self.panning = false;
        self.view.pan(touch.translation_delta);
        if touch.zoom_delta.is_finite() && touch.zoom_delta > 0.0 {
            self.view.zoom_at(at, f64::from(touch.zoom_delta));
        }
        true
    }

    /// Lets the hand move the view where nothing is picked or drawn: the owner's view from above.
    pub(crate) fn look_around(&mut self, ui: &Ui, response: &Response, rect: Rect) {
        self.view.rect = rect;
        self.wanted = None;
        self.navigate(ui, response);
        if response.dragged_by(PointerButton::Primary) && !self.panning && !self.fingers {
            self.view.pan(response.drag_delta());
        }
    }

    /// Lays out a floor as it is to be seen now.
    fn lay_out(
        &mut self,
        ctx: &egui::Context,
        house: &Arc<House>,
        generation: u64,
        pulls: bool,
        stages: bool,
        hidden: Hidden,
    ) -> Arc<Scene> {
        let wanted = scene::Wanted { generation, house, pulls, stages, hidden };
        self.scenes.update(wanted, &self.view, self.at_once, ctx);
        self.scenes.shown()
    }

    /// Paints a floor with its figures and flags, with nothing of what is drawn or selected.
    pub(crate) fn paint_floor(&mut self, painter: &Painter, house: &Arc<House>, generation: u64) {
        let palette = Palette::current(painter.ctx());
        let scene = self.lay_out(painter.ctx(), house, generation, false, false, Hidden::default());
        let spell = self.spell();
        self.painted.paint(painter, &scene, &self.view, palette, None, spell);
        self.written = self.lettering.paint(painter, &scene, &self.view, palette, None, self.at_once);
    }

    /// Paints the house without its boards, figures and flags: what lies under boards, or what stands over them.
    pub(crate) fn paint_house(
        &mut self,
        painter: &Painter,
        house: &Arc<House>,
        generation: u64,
        is_over: bool,
    ) {
        let scene = self.lay_out(painter.ctx(), house, generation, false, false, Hidden::default());
        let palette = Palette::current(painter.ctx());
        painter.extend(paint::house(&scene, &self.view, palette, is_over));
    }

    /// For how long lines may be made anew in this frame.
    fn spell(&self) -> baked::Spell {
        if self.at_once {
            return baked::Spell::Whatever;
        }
        baked::Spell::of(self.begun.map(|begun| begun.elapsed()).unwrap_or_default())
    }

    fn cursor(&self, ui: &Ui, response: &Response, overlay: &Overlay) -> Option<CursorIcon> {
        if !response.contains_pointer() {
            return None;
        }
        if self.panning {
            return Some(CursorIcon::Grabbing);
        }
        if ui.input(|input| input.key_down(Key::Space)) && !ui.ctx().text_edit_focused() {
            return Some(CursorIcon::Grab);
        }
        overlay.cursor
    }

    /// Paints the table, the floor and what lies over it.
    pub(crate) fn paint(&mut self, painter: &Painter, shown: &Shown<'_>, overlay: &Overlay) {
        let palette = Palette::current(painter.ctx());
        painter.rect_filled(self.view.rect, 0.0, palette.paper);
        let picture = !self.hidden.is(Layer::Picture);
        if picture {
            picture::paint(painter, shown, &self.view, false);
        }
        if self.grid {
            grid::paint(painter, &self.view, palette);
        }
        if let Some(house) = shown.compute.house() {
            let (generation, hidden) = (shown.compute.generation(), self.hidden);
            let scene = self.lay_out(painter.ctx(), house, generation, shown.pulls, shown.stages, hidden);
            let spell = self.spell();
            self.painted.paint(painter, &scene, &self.view, palette, shown.laid.as_ref(), spell);
            if picture {
                picture::paint(painter, shown, &self.view, true);
            }
            if let Some(laid) = &shown.laid {
                laying::paint(painter, laid, house, &self.view, palette);
            }
            let is_stale = !overlay.stale.is_empty();
            if !is_stale {
                overlay::paint_under(painter, overlay, shown, &self.view, palette);
            }
            let selected_flag = match shown.selected {
                Selected::Flag(flag) => Some(flag),
                _ => None,
            };
            self.written =
                self.lettering.paint(painter, &scene, &self.view, palette, selected_flag, self.at_once);
            if is_stale {
                // It is not the plan's floor any more: it stands back behind the outlines of what is drawn.
                painter.rect_filled(self.view.rect, 0.0, palette.paper.gamma_multiply(0.6));
                overlay::paint_under(painter, overlay, shown, &self.view, palette);
            }
        } else {
            self.scenes.clear();
            self.written = label::Written::default();
            overlay::paint_under(painter, overlay, shown, &self.view, palette);
        }
        overlay::paint_over(painter, overlay, shown, &self.view, palette, &mut self.written);
    }
}

/// The pointer's doings on the canvas, as events on the plan.
fn pointer_events(ui: &Ui, response: &Response, view: &View) -> Vec<Event> {
    let mut events = Vec::new();
    let at = |pos: egui::Pos2| view.plan_from_screen(pos);
    let latest = ui.input(|input| input.pointer.latest_pos());
    if let Some(pos) = latest
        && (response.contains_pointer() || response.dragged())
    {
        events.push(Event::Move(at(pos)));
    } else {
        events.push(Event::Leave);
    }
    if response.drag_started_by(PointerButton::Primary)
        && let Some(pos) = ui.input(|input| input.pointer.press_origin())
    {
        response.request_focus();
        events.push(Event::DragStart(at(pos)));
    }
    if response.dragged_by(PointerButton::Primary)
        && let Some(pos) = response.interact_pointer_pos()
    {
        events.push(Event::Drag(at(pos)));
    }
    if response.drag_stopped_by(PointerButton::Primary) {
        events.push(Event::DragEnd);
    }
    if response.double_clicked()
        && let Some(pos) = response.interact_pointer_pos()
    {
        events.push(Event::DoubleClick(at(pos)));
    } else if response.clicked_by(PointerButton::Primary)
        && let Some(pos) = response.interact_pointer_pos()
    {
        response.request_focus();
        events.push(Event::Click(at(pos)));
    }
    events
}
