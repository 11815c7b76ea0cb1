//! The set-out strip: narrowest rip against offset, with the start line's mark to drag.

mod peak;
mod room;

pub(crate) use self::peak::Peak;
use self::peak::drawback;
use self::room::{MARK_FREE, beside_mark, is_struck};
use crate::action::{Action, Actions};
use crate::command::Command;
use crate::document::Document;
use crate::names;
use crate::palette::{Palette, strong_font, text_font};
use crate::select::Selected;
use egui::{
    Align2, CursorIcon, Galley, Id, Key, Painter, Pos2, Rangef, Rect, Response, Sense, Shape, Stroke, Ui,
    pos2, vec2,
};
use pipeline::House;
use plan::{Plan, StartLine};
use setout::{CurvePoint, SetOut};
use std::sync::Arc;

/// What the strip shows.
const TITLE: &str = "Narrowest rip for every start line";
/// A strip lower than this has no room for its title over the curve, points.
const LEAST_TITLED: f32 = 116.0;
/// Words for a peak stand no further from it than this.
const PEAK_NEAR: f32 = 120.0;
/// So much farther from it they stand rather than over the curve, points.
const STRUCK: f32 = 40.0;
/// Words of another line keep off a peak's point by this, points.
const PEAK_FREE: f32 = 6.0;

/// The strip's own state.
#[derive(Default)]
pub(crate) struct Strip {
    dragging: bool,
    looked_at: Option<LookedAt>,
}

/// The line under the pointer, valued; kept while neither floor nor pointer changes.
struct LookedAt {
    generation: u64,
    offset: f64,
    words: String,
}

/// Where the curve lies on the screen.
struct Frame {
    rect: Rect,
    pitch: f64,
    top: f64,
}

impl Frame {
    fn x(&self, offset: f64) -> f32 {
        egui::lerp(self.rect.x_range(), (offset / self.pitch) as f32)
    }

    fn y(&self, rip: f64) -> f32 {
        self.rect.bottom() - self.rect.height() * (rip / self.top) as f32
    }

    fn offset(&self, x: f32) -> f64 {
        let part = f64::from((x - self.rect.left()) / self.rect.width());
        part.clamp(0.0, 1.0) * self.pitch
    }
}

/// How the line is moved, and why the best one need not be the highest; ever shorter.
const HINTS: [&str; 2] = [
    "drag the mark, or the chalk line on the floor · double-click for the best: first the least edge under the least rip, weighed by how much it is seen, then the widest rip in view",
    "drag the mark, or the chalk line on the floor · double-click for the best",
];

impl Strip {
    /// The id of the curve's response.
    pub(crate) fn id() -> Id {
        Id::unique("startrow set-out strip")
    }

    pub(crate) fn show(
        &mut self,
        ui: &mut Ui,
        document: &Document,
        (house, peak): (Option<(&House, u64)>, Option<&Peak>),
        actions: &mut Actions,
    ) {
        let palette = Palette::current(ui.ctx());
        let rect = ui.available_rect_before_wrap();
        ui.advance_cursor_after_rect(rect);
        let painter = ui.painter_at(rect);
        let has_curve = |house: &House| house.setout.pitch > 0.0 && !house.setout.curve.is_empty();
        let can_choose = |house: &House| has_curve(house) && house.setout.line.is_some();
        let Some((house, generation)) = house.filter(|(house, _)| can_choose(house)) else {
            // On a floor of one row, too, there is nothing to move.
            let words = match house.is_some_and(|(house, _)| !house.floor.boards.is_empty()) {
                true => format!("{TITLE}: there is no line to choose on this floor"),
                false => format!("{TITLE}: drawn once there is a boarded room"),
            };
            let width = (rect.width() - 44.0).max(60.0);
            let galley = painter.layout(words, strong_font(13.5), palette.ink, width);
            painter.galley(rect.left_top() + vec2(22.0, 12.0), galley, palette.ink);
            return;
        };
        let setout = &house.setout;
        let least = setout.least;
        let highest = setout.curve.iter().map(|p| p.rip).fold(0.0, f64::max);
        let units = document.plan().units;
        let rip = |mm: f64| names::length((mm * 10.0).round() / 10.0, units);
        // What the line in use leaves stands over the curve, in as many rows as it needs; its title gives way first.
        let words = headline(document.plan(), setout, &rip);
        let headline =
            painter.layout(words, strong_font(13.0), palette.chalk, (rect.width() - 34.0).max(60.0));
        let has_title = rect.height() > LEAST_TITLED;
        let head = if has_title { 38.0 } else { 12.0 };
        let top = head + headline.size().y + 2.0;
        let frame = Frame {
            rect: Rect::from_min_max(rect.min + vec2(40.0, top), rect.max - vec2(34.0, 30.0)),
            pitch: setout.pitch,
            top: highest.max(least) * 1.08,
        };
        let response = ui.interact(frame.rect.expand2(vec2(10.0, 16.0)), Self::id(), Sense::click_and_drag());
        response.widget_info(|| {
            let said = format!(
                "start line offset; narrowest rip {} at {}",
                rip(setout.chosen.narrowest),
                names::binding(document.plan(), &setout.chosen)
            );
            egui::WidgetInfo::slider(true, setout.chosen.offset, said)
        });
        self.act(ui, &response, &frame, setout.chosen.offset, actions);

        if has_title {
            let at = rect.left_top() + vec2(22.0, 12.0);
            let title = painter.text(at, Align2::LEFT_TOP, TITLE, strong_font(13.5), palette.ink);
            let hint_at = title.right_top() + vec2(14.0, 1.0);
            // The longest that has room.
            for hint in HINTS {
                let hint = painter.layout_no_wrap(hint.to_owned(), text_font(12.5), palette.weak);
                if hint_at.x + hint.size().x < rect.right() {
                    painter.galley(hint_at, hint, palette.weak);
                    break;
                }
            }
        }
        let pen = Pen { painter: &painter, palette, frame: &frame };
        let marks = [Some(&setout.chosen), Some(&setout.best), setout.runner_up.as_ref()];
        let marks: Vec<f32> = marks.into_iter().flatten().map(|line| frame.x(line.offset)).collect();
        let curve = pen.on_screen(&setout.curve);
        let mut taken = vec![pen.ground(least, &rip(least), &marks, &curve)];
        pen.scale(units);
        painter.add(Shape::line(curve, Stroke::new(1.8, palette.ink)));
        let top = peak.map(|peak| pos2(frame.x(peak.at.offset), frame.y(peak.at.rip)));
        taken.extend(pen.runner_up(document.plan(), setout, (rect.x_range(), top), &rip));
        if let Some(peak) = peak {
            let words = peak.words(document.plan(), setout, &rip);
            let curve = pen.on_screen(&setout.curve);
            pen.peak((peak.at, words), frame.x(setout.chosen.offset), &taken, &curve);
        }
        pen.mark(setout, headline, rect, response.hovered() || response.has_focus() || self.dragging);
        if !self.dragging
            && let Some(pos) = response.hover_pos()
        {
            let offset = frame.offset(pos.x).round();
            let words = self.value(house, generation, offset, &rip);
            pen.hover(setout, offset, &words);
        }
    }

    /// What a line at an offset would leave, in words.
    fn value(&mut self, house: &House, generation: u64, offset: f64, rip: &dyn Fn(f64) -> String) -> String {
        let known = self.looked_at.as_ref().filter(|at| at.generation == generation && at.offset == offset);
        if let Some(at) = known {
            return at.words.clone();
        }
        let plan = Plan { start_line: StartLine::At(offset), ..house.plan.clone() };
        let line = setout::set_out(&plan, &house.surveyed).chosen;
        let mut words = format!("{} at {}", rip(line.narrowest), rip(offset));
        let binding = names::binding(&plan, &line);
        if !binding.is_empty() {
            words += &format!(" · {binding}");
        }
        if line.short_length > 0.0 {
            // Why a higher peak of the curve may still be the worse line.
            words += &format!(" · {} of edge under the least", rip(line.short_length.round()));
        }
        self.looked_at = Some(LookedAt { generation, offset, words: words.clone() });
        words
    }

    fn act(&mut self, ui: &Ui, response: &Response, frame: &Frame, now: f64, actions: &mut Actions) {
        let _ = response.clone().on_hover_and_drag_cursor(CursorIcon::ResizeHorizontal);
        let to = |x: f32, free: bool| {
            let offset = frame.offset(x);
            // The curve's end is its beginning: the pitch itself is offset 0.
            let rounded = if free { offset } else { (offset * 2.0).round() / 2.0 };
            if rounded >= frame.pitch { 0.0 } else { rounded }
        };
        let free = ui.input(|input| input.modifiers.alt);
        if response.double_clicked() {
            actions.run(Command::BestLine);
            return;
        }
        let set = |offset: f64, actions: &mut Actions| {
            actions.edit("move start line", move |plan| plan.start_line = StartLine::At(offset));
        };
        if response.drag_started() {
            self.dragging = true;
            actions.push(Action::Begin("move start line".into()));
            actions.select(Selected::Line);
        }
        if self.dragging
            && let Some(pos) = response.interact_pointer_pos()
        {
            actions.push(Action::LiveLine(to(pos.x, free)));
        }
        if response.drag_stopped() {
            self.dragging = false;
            actions.push(Action::Keep);
        } else if response.clicked()
            && let Some(pos) = response.interact_pointer_pos()
        {
            response.request_focus();
            set(to(pos.x, free), actions);
        }
        if response.has_focus() {
            let filter = egui::EventFilter { horizontal_arrows: true, ..Default::default() };
            ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
            let (left, right, shift) = ui.input(|input| {
                (input.num_presses(Key::ArrowLeft), input.num_presses(Key::ArrowRight), input.modifiers.shift)
            });
            if left != right {
                let step = if shift { 10.0 } else { 1.0 };
                set((now + step * (right as f64 - left as f64)).rem_euclid(frame.pitch), actions);
            }
        }
    }
}

struct Pen<'a> {
    painter: &'a Painter,
    palette: &'a Palette,
    frame: &'a Frame,
}

impl Pen<'_> {
    /// The shaded band under the least rip; its words stand off the curve where they can, and there farthest from the marks.
    fn ground(&self, least: f64, figure: &str, marks: &[f32], curve: &[Pos2]) -> Rect {
        let rect = self.frame.rect;
        let top = self.frame.y(least);
        let band = Rect::from_min_max(pos2(rect.left(), top), rect.max);
        self.painter.rect_filled(band, 0.0, self.palette.band);
        self.painter.hline(rect.x_range(), top, Stroke::new(1.0, self.palette.fault.gamma_multiply(0.35)));
        let text = format!("under the least rip, {figure}");
        let galley = self.painter.layout_no_wrap(text, text_font(12.0), self.palette.fault);
        let half = galley.size().x / 2.0 + 6.0;
        let free = |x: &f32| marks.iter().map(|mark| (mark - x).abs()).fold(f32::INFINITY, f32::min);
        let size = galley.size();
        let place = |x: f32| Rect::from_min_size(pos2(x - half + 6.0, top + 4.0), size);
        let is_clear = |x: &f32| free(x) >= half && !is_struck(curve, place(*x).expand(1.0));
        let farthest = |places: &[f32]| places.iter().copied().max_by(|a, b| free(a).total_cmp(&free(b)));
        // Its ends and its middle first, then what lies between.
        let ends = [rect.right() - half, rect.left() + half, rect.center().x];
        let steps = (1..16).map(|i| egui::lerp(ends[1]..=ends[0], i as f32 / 16.0));
        let clear = |places: &[f32]| places.iter().copied().filter(is_clear).collect::<Vec<f32>>();
        let x = farthest(&clear(&ends)).or_else(|| farthest(&clear(&steps.collect::<Vec<f32>>())));
        let place = place(x.or_else(|| farthest(&ends)).unwrap_or(ends[0]));
        self.painter.galley(place.min, galley, self.palette.fault);
        place
    }

    fn scale(&self, units: plan::Units) {
        let rect = self.frame.rect;
        self.painter.hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, self.palette.weak));
        let step = match units {
            plan::Units::Metric if self.frame.pitch > 120.0 => 10.0,
            plan::Units::Metric => 5.0,
            plan::Units::FeetInches => 25.4 / 2.0,
        };
        let count = (self.frame.pitch / step).floor() as i64;
        for n in 0..=count {
            let offset = n as f64 * step;
            let x = self.frame.x(offset);
            let is_named = match units {
                plan::Units::Metric => n % 5 == 0,
                plan::Units::FeetInches => n % 2 == 0,
            };
            let height = if is_named { 6.0 } else { 3.0 };
            let ticks = rect.bottom()..=rect.bottom() + height;
            self.painter.vline(x, ticks, Stroke::new(1.0, self.palette.weak));
            if is_named {
                let text = names::length(offset, units);
                let at = pos2(x, rect.bottom() + 8.0);
                self.painter.text(at, Align2::CENTER_TOP, text, text_font(11.5), self.palette.weak);
            }
        }
    }

    fn on_screen(&self, curve: &[CurvePoint]) -> Vec<Pos2> {
        curve.iter().map(|p| pos2(self.frame.x(p.offset), self.frame.y(p.rip))).collect()
    }

    /// The best line and the runner-up where they are not in use; gives where their words stand. These keep off the point of
    /// a peak that is told, where they have room.
    fn runner_up(
        &self,
        plan: &Plan,
        setout: &SetOut,
        (strip, peak): (Rangef, Option<Pos2>),
        rip: &dyn Fn(f64) -> String,
    ) -> Vec<Rect> {
        let mut taken = Vec::new();
        for (line, word) in [(Some(&setout.best), "best"), (setout.runner_up.as_ref(), "runner-up")] {
            let Some(line) = line else { continue };
            if (line.offset - setout.chosen.offset).abs() < 0.05 {
                continue;
            }
            let at = pos2(self.frame.x(line.offset), self.frame.y(line.narrowest));
            self.painter.circle(at, 4.0, self.palette.strip, Stroke::new(1.6, self.palette.weak));
            let text = format!("{word} {}{}", rip(line.narrowest), drawback(plan, setout, line, rip));
            let galley = self.painter.layout_no_wrap(text, text_font(12.0), self.palette.weak);
            let (rect, size) = (self.frame.rect, galley.size());
            let half = size.x / 2.0;
            // In a very narrow window the word is wider than the strip.
            let left = rect.left() + half;
            let x = at.x.clamp(left, (rect.right() - half).max(left));
            let mark = self.frame.x(setout.chosen.offset);
            let mut x = beside_mark(x, half, mark, strip);
            let words = Rangef::new(at.y - 8.0 - size.y, at.y - 8.0).expand(PEAK_FREE);
            if let Some(peak) = peak.filter(|peak| words.contains(peak.y)) {
                let aside = beside_mark(x, half, peak.x, strip);
                if (aside - mark).abs() >= half + MARK_FREE - 1.0 {
                    x = aside;
                }
            }
            // The mark's words stand over the curve: there the word goes beside its point, or under it, off the mark's line.
            let under = beside_mark(at.x.clamp(left, (rect.right() - half).max(left)), half, mark, strip);
            let places = [
                pos2(x - half, at.y - 8.0 - size.y),
                pos2(at.x + 8.0, at.y - size.y / 2.0),
                pos2(at.x - 8.0 - size.x, at.y - size.y / 2.0),
                pos2(under - half, at.y + 8.0),
            ];
            let is_free = |min: &Pos2| {
                min.y > rect.top() - 2.0
                    && strip.contains(min.x)
                    && strip.contains(min.x + size.x)
                    && !Rangef::new(min.x, min.x + size.x).expand(MARK_FREE - 1.0).contains(mark)
            };
            let min = places.into_iter().find(is_free).unwrap_or(places[1]);
            let ground = Rect::from_min_size(min, galley.size()).expand2(vec2(3.0, 0.0));
            self.painter.rect_filled(ground, 2.0, self.palette.strip.gamma_multiply(0.9));
            self.painter.galley(min, galley, self.palette.weak);
            taken.push(ground);
        }
        taken
    }

    /// What speaks against the highest peak, beside it, where that covers no other words and not the mark's line; off the peak
    /// itself, and off the curve where there is room over it.
    fn peak(&self, (at, words): (CurvePoint, String), mark: f32, taken: &[Rect], curve: &[Pos2]) {
        let at = pos2(self.frame.x(at.offset), self.frame.y(at.rip));
        let galley = self.painter.layout_no_wrap(words, text_font(12.0), self.palette.weak);
        let size = galley.size();
        // Right or left of it, or of the mark or the words that are in the way.
        let beside = |[left, right]: [f32; 2], clear: f32| [right + clear, left - clear - size.x];
        let others = taken.iter().flat_map(|other| beside([other.left(), other.right()], MARK_FREE));
        let places = [beside([at.x; 2], MARK_FREE), beside([mark; 2], 2.0 * MARK_FREE)].concat();
        let places = places.into_iter().chain(others);
        // Level with it, or raised over the curve, which is nowhere higher.
        let rows = [at.y - size.y / 2.0, at.y - size.y - 2.0];
        let places = places.flat_map(|left| rows.map(|top| Rect::from_min_size(pos2(left, top), size)));
        // Further off they are not read as its own.
        let away = |place: &Rect| (place.left() - at.x).max(at.x - place.right());
        let is_free = |place: &Rect| {
            let range = self.frame.rect.x_range();
            range.contains(place.left())
                && range.contains(place.right())
                && place.top() > self.frame.rect.top() - 2.0
                && away(place) > MARK_FREE - 1.0
                && !place.x_range().expand(MARK_FREE - 1.0).contains(mark)
                && taken.iter().all(|other| !other.intersects(*place))
        };
        // Off the curve rather than over it, but not far off the peak for that.
        let worth =
            |place: &Rect| away(place) + if is_struck(curve, place.expand(1.0)) { STRUCK } else { 0.0 };
        let nearest = places
            .filter(|place| is_free(place) && away(place) < PEAK_NEAR)
            .min_by(|a, b| worth(a).total_cmp(&worth(b)));
        if let Some(place) = nearest {
            self.painter.circle(at, 3.0, self.palette.strip, Stroke::new(1.2, self.palette.weak));
            let ground = place.expand2(vec2(3.0, 0.0));
            self.painter.rect_filled(ground, 2.0, self.palette.strip.gamma_multiply(0.9));
            self.painter.galley(place.min, galley, self.palette.weak);
        }
    }

    fn mark(&self, setout: &SetOut, headline: Arc<Galley>, strip: Rect, lively: bool) {
        let (x, y) = (self.frame.x(setout.chosen.offset), self.frame.y(setout.chosen.narrowest));
        let rect = self.frame.rect;
        self.painter.vline(x, rect.top() - 14.0..=rect.bottom(), Stroke::new(1.8, self.palette.chalk));
        let radius = if lively { 7.0 } else { 5.5 };
        self.painter.circle(pos2(x, y), radius, self.palette.chalk, Stroke::new(1.5, self.palette.strip));
        // Beside the mark, on the side where there is more room, and wholly on the strip.
        let width = headline.size().x;
        let wanted = if x > rect.center().x { x - 10.0 - width } else { x + 10.0 };
        let left = strip.left() + 12.0;
        let at = wanted.clamp(left, (strip.right() - 12.0 - width).max(left));
        let top = rect.top() - 2.0 - headline.size().y;
        self.painter.galley(pos2(at, top), headline, self.palette.chalk);
    }

    /// The rip under the pointer.
    fn hover(&self, setout: &SetOut, offset: f64, words: &str) {
        let Some(narrowest) = on_curve(&setout.curve, offset) else { return };
        let at = pos2(self.frame.x(offset), self.frame.y(narrowest));
        if (at.x - self.frame.x(setout.chosen.offset)).abs() < 8.0 {
            return;
        }
        self.painter.vline(at.x, at.y..=self.frame.rect.bottom(), Stroke::new(1.0, self.palette.weak));
        self.painter.circle_filled(at, 3.5, self.palette.ink);
        let left = at.x > self.frame.rect.center().x;
        let (align, shift) = if left { (Align2::RIGHT_BOTTOM, -8.0) } else { (Align2::LEFT_BOTTOM, 8.0) };
        let galley = self.painter.layout_no_wrap(words.to_owned(), strong_font(12.5), self.palette.ink);
        let place = align.anchor_size(at + vec2(shift, -6.0), galley.size());
        self.painter.rect_filled(place.expand2(vec2(5.0, 2.0)), 3.0, self.palette.card);
        self.painter.galley(place.min, galley, self.palette.ink);
    }
}

/// What the line in use leaves, in words.
fn headline(plan: &Plan, setout: &SetOut, rip: &dyn Fn(f64) -> String) -> String {
    let first = setout.line.as_ref().and_then(|line| setout.chosen.rips.get(line.first_rip?));
    let first = first.map(|first| match setout.along {
        Some(_) => rip(first.least),
        None => setout.fence(first, &setout.chosen.rips, plan.units).kept,
    });
    let mut words = first.map(|first| format!("first rip {first} · ")).unwrap_or_default();
    words += &format!("narrowest {}", rip(setout.chosen.narrowest));
    let binding = names::binding(plan, &setout.chosen);
    if !binding.is_empty() {
        words += &format!(", at {binding}");
    }
    words
}

/// The curve's value at an offset; at a step the lower one.
fn on_curve(curve: &[CurvePoint], offset: f64) -> Option<f64> {
    let spans = curve.windows(2).filter(|ends| ends[0].offset <= offset && offset <= ends[1].offset);
    spans
        .map(|ends| {
            let width = ends[1].offset - ends[0].offset;
            if width <= 0.0 {
                return ends[0].rip.min(ends[1].rip);
            }
            ends[0].rip + (ends[1].rip - ends[0].rip) * (offset - ends[0].offset) / width
        })
        .min_by(f64::total_cmp)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_the_curve_between_its_points() {
        let curve = [(0.0, 40.0), (10.0, 50.0), (10.0, 0.0), (30.0, 20.0)]
            .map(|(offset, rip)| CurvePoint { offset, rip });
        assert_eq!(on_curve(&curve, 5.0), Some(45.0));
        assert_eq!(on_curve(&curve, 10.0), Some(0.0), "a step is judged by its foot");
        assert_eq!(on_curve(&curve, 20.0), Some(10.0));
        assert_eq!(on_curve(&curve, 31.0), None);
    }
}
