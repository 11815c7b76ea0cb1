//! Two floors of one house side by side: the one on the table and another, with what differs in figures.

use crate::action::Actions;
use crate::canvas::{Canvas, Span, View};
use crate::job::act;
use crate::names;
use crate::palette::{Palette, strong_font, text_font};
use crate::reckon::Reckoned;
use egui::{Align2, Grid, Rect, RichText, ScrollArea, Sense, Ui, UiBuilder, pos2, vec2};
use pipeline::{Choice, Figures, House};
use plan::Plan;
use setout::Value;
use std::sync::Arc;

/// Height of the table of figures, points.
const TABLE: f32 = 138.0;
/// Generations of floors shown here; those of the table count from 1.
const FIRST_GENERATION: u64 = 1 << 40;

/// The other floor and which others there are.
#[derive(Default)]
pub(crate) struct Beside {
    shown: Option<Shown>,
    canvas: Canvas,
    /// The other floor, laid off the window's thread: for which floor on the table, and which of the choices.
    other: Reckoned<(u64, usize), Arc<House>>,
    /// Counts the floors painted for comparison, so that none is painted as another.
    painted: u64,
    last_painted: Option<(u64, usize)>,
}

struct Shown {
    /// The generation of the floor on the table for which the choices were made.
    generation: u64,
    choices: Vec<Choice>,
    at: usize,
    /// How the table was seen before, and is seen again afterwards.
    before: Option<View>,
}

impl Beside {
    /// With `at_once`, every floor is laid in the frame that asks for it.
    pub(crate) fn new(at_once: bool) -> Self {
        Self { canvas: Canvas::new(at_once), ..Self::default() }
    }

    pub(crate) fn is_shown(&self) -> bool {
        self.shown.is_some()
    }

    /// Back to the table; whether it was left.
    pub(crate) fn leave(&mut self, canvas: &mut Canvas) -> bool {
        let Some(shown) = self.shown.take() else { return false };
        if let Some(before) = shown.before {
            (canvas.view.centre, canvas.view.scale) = (before.centre, before.scale);
        }
        true
    }

    /// Holds another floor beside the one on the table; the next one where one is shown already. `false` where there is
    /// none.
    pub(crate) fn next(&mut self, house: &House, generation: u64) -> bool {
        match &mut self.shown {
            Some(shown) if shown.generation == generation => {
                shown.at = (shown.at + 1) % shown.choices.len().max(1);
            }
            _ => {
                let choices = house.choices();
                if choices.is_empty() {
                    self.shown = None;
                    return false;
                }
                self.shown = Some(Shown { generation, choices, at: 0, before: None });
            }
        }
        true
    }

    /// Shows both in all of `ui`.
    pub(crate) fn show(
        &mut self,
        ui: &mut Ui,
        house: &Arc<House>,
        generation: u64,
        canvas: &mut Canvas,
        actions: &mut Actions,
    ) {
        let rect = ui.available_rect_before_wrap();
        ui.advance_cursor_after_rect(rect);
        if self.shown.as_ref().is_some_and(|shown| shown.generation != generation) {
            // The floor on the table is another one now.
            self.shown = None;
            if !self.next(house, generation) {
                return;
            }
        }
        let Some(shown) = &mut self.shown else { return };
        let Some(choice) = shown.choices.get(shown.at).cloned() else { return };
        let key = (generation, shown.at);
        self.other.poll();
        let plan = choice.plan.clone();
        self.other.ask(key, self.canvas.at_once, ui.ctx(), move |_| pipeline::run(&plan).ok().map(Arc::new));
        let other = self.other.get_for(&key).cloned();
        if other.is_some() && self.last_painted != Some(key) {
            self.last_painted = Some(key);
            self.painted += 1;
        }
        let palette = Palette::current(ui.ctx());
        let painter = ui.painter_at(rect);
        painter.rect_filled(rect, 0.0, palette.paper);
        let figures = TABLE.min(0.5 * rect.height());
        let floors = Rect::from_min_max(rect.min, pos2(rect.right(), rect.bottom() - figures));
        let middle = floors.center().x;
        let left = Rect::from_min_max(floors.min, pos2(middle - 1.0, floors.bottom()));
        let right = Rect::from_min_max(pos2(middle + 1.0, floors.top()), floors.max);
        let response = ui.interact(floors, Canvas::id(), Sense::click_and_drag());
        let words = format!("Two floors side by side: the one on the table, and {}", choice.name);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, &words));
        if shown.before.is_none() {
            shown.before = Some(canvas.view);
            canvas.view.rect = left;
            if let Some(span) = Span::of_plan(&house.plan) {
                canvas.view.fit(span);
            }
        }
        // Both are seen from the same place; the hand moves whichever it is over.
        let over_right = ui.input(|input| input.pointer.latest_pos()).is_some_and(|pos| right.contains(pos));
        if over_right {
            self.canvas.view = canvas.view;
            self.canvas.look_around(ui, &response, right);
            (canvas.view.centre, canvas.view.scale) = (self.canvas.view.centre, self.canvas.view.scale);
            canvas.view.rect = left;
        } else {
            canvas.look_around(ui, &response, left);
        }
        self.canvas.view = canvas.view;
        self.canvas.view.rect = right;
        canvas.paint_floor(&ui.painter_at(left), house, generation);
        match &other {
            Some(other) => {
                self.canvas.paint_floor(&ui.painter_at(right), other, FIRST_GENERATION + self.painted);
            }
            None if !self.other.is_given_up(&key) => {
                let at = right.center();
                painter.text(at, Align2::CENTER_CENTER, "being laid…", text_font(15.0), palette.weak);
            }
            None => {}
        }
        painter.vline(middle, floors.y_range(), egui::Stroke::new(2.0, palette.rule));
        for (half, name) in [(left, "on the table"), (right, choice.name.as_str())] {
            let at = half.left_top() + vec2(14.0, 10.0);
            let galley = painter.layout(
                name.to_owned(),
                strong_font(15.0),
                palette.ink,
                (half.width() - 28.0).max(40.0),
            );
            let place = Align2::LEFT_TOP.anchor_size(at, galley.size());
            painter.rect_filled(place.expand2(vec2(7.0, 3.0)), 3.0, palette.card.gamma_multiply(0.94));
            painter.galley(place.min, galley, palette.ink);
        }
        let below =
            Rect::from_min_max(pos2(rect.left(), floors.bottom()), rect.max).shrink2(vec2(20.0, 10.0));
        painter.rect_filled(below.expand2(vec2(20.0, 10.0)), 0.0, palette.strip);
        let mut leave = false;
        let mut step = 0_usize;
        ui.scope_builder(UiBuilder::new().max_rect(below), |ui| {
            ScrollArea::both().auto_shrink(false).show(ui, |ui| {
                let count = shown.choices.len();
                ui.horizontal_wrapped(|ui| {
                    ui.label(
                        RichText::new(format!("{} of {count}: {}", shown.at + 1, choice.name))
                            .font(strong_font(14.0)),
                    );
                    ui.add_space(12.0);
                    if act(ui, "the one before").clicked() {
                        step = count - 1;
                    }
                    if act(ui, "the next one").clicked() {
                        step = 1;
                    }
                    if other.is_some() && act(ui, "put it on the table").clicked() {
                        let plan = choice.plan.clone();
                        actions.try_edit(format!("take {}", choice.name), move |old| {
                            *old = plan;
                            Ok(())
                        });
                        leave = true;
                    }
                    leave |= act(ui, "back to the table").clicked();
                });
                match &other {
                    Some(other) => table(ui, house, other, &choice.name),
                    None => {
                        let is_given_up = self.other.is_given_up(&key);
                        let words = if is_given_up { "This one cannot be laid." } else { "Being laid…" };
                        ui.label(RichText::new(words).font(text_font(13.0)));
                    }
                }
            })
        });
        if step > 0 {
            shown.at = (shown.at + step) % shown.choices.len().max(1);
            ui.ctx().request_repaint();
        }
        if leave {
            self.leave(canvas);
            ui.ctx().request_repaint();
        }
    }
}

/// A row of the table: what it is, either figure, and which of the two is better.
type Row = (String, String, String, std::cmp::Ordering);

fn rows(one: &Figures, other: &Figures, plan: &Plan) -> Vec<Row> {
    let mm = |mm: f64| names::length((mm * 10.0).round() / 10.0, plan.units);
    let line_out = setout::line_out(plan);
    let rip = |figures: &Figures| figures.narrowest.map_or("none".to_owned(), mm);
    let less = |a: f64, b: f64| a.total_cmp(&b);
    let mut rows = vec![
        ("faults", one.faults.to_string(), other.faults.to_string(), one.faults.cmp(&other.faults)),
        ("to look at", one.looks.to_string(), other.looks.to_string(), one.looks.cmp(&other.looks)),
        (
            "narrowest",
            rip(one),
            rip(other),
            less(other.narrowest.unwrap_or(f64::MAX), one.narrowest.unwrap_or(f64::MAX)),
        ),
        (
            setout::UNDER_LEAST,
            mm(one.short_as_drawn),
            mm(other.short_as_drawn),
            less(one.short_as_drawn, other.short_as_drawn),
        ),
        (
            line_out.as_str(),
            mm(one.short_length),
            mm(other.short_length),
            less(one.short_length, other.short_length),
        ),
        (
            "by sight",
            mm(one.value.short),
            mm(other.value.short),
            one.value.bands()[0].cmp(&other.value.bands()[0]),
        ),
        ("cut", one.cuts.to_string(), other.cuts.to_string(), one.cuts.cmp(&other.cuts)),
        ("boards", one.opened.to_string(), other.opened.to_string(), one.opened.cmp(&other.opened)),
        ("packs", one.packs.to_string(), other.packs.to_string(), one.packs.cmp(&other.packs)),
    ];
    // Where a later part of their worth parts the two lines, that stands beside the length under the least.
    let has_rips = one.narrowest.is_some() && other.narrowest.is_some();
    if let Some((what, figures, order)) = parting(&one.value, &other.value).filter(|_| has_rips) {
        let at = rows.len().min(6);
        rows.insert(at, (what, mm(figures[0]), mm(figures[1]), order));
    }
    if let (Some(a), Some(b)) = (one.price, other.price) {
        let money = |price: f64| names::money(price, &plan.stock.currency);
        rows.push(("cost", money(a), money(b), less(a, b)));
    }
    rows.into_iter().map(|(what, one, other, better)| (what.to_owned(), one, other, better)).collect()
}

/// The first part of their worth in which two lines differ, where that is not the length under the least: its name, the
/// figures of both, and which line is better in it.
fn parting(one: &Value, other: &Value) -> Option<(&'static str, [f64; 2], std::cmp::Ordering)> {
    let (a, b) = (one.bands(), other.bands());
    let part = a.iter().zip(&b).position(|(a, b)| a != b)?;
    let (what, of): (_, fn(&Value) -> f64) = match part {
        1 => ("narrowest in view", |value| value.narrowest),
        2 => ("less its taper", |value| value.tapered),
        3 => ("hallway sides differ", |value| value.uneven),
        4 => ("edge to rip", |value| value.ripped),
        _ => return None,
    };
    Some((what, [of(one), of(other)], a[part].cmp(&b[part])))
}

fn table(ui: &mut Ui, one: &House, other: &House, name: &str) {
    let palette = Palette::current(ui.ctx());
    let rows = rows(&one.figures(), &other.figures(), &one.plan);
    let weak = |text: &str| RichText::new(text).size(12.5).color(palette.weak);
    let figure = |text: &str| RichText::new(text).font(strong_font(13.0)).color(palette.ink);
    let grid = Grid::new("two floors in figures").num_columns(rows.len() + 1).spacing(vec2(11.0, 1.0));
    grid.min_row_height(17.0).show(ui, |ui| {
        ui.label("");
        rows.iter().for_each(|row| {
            ui.label(weak(&row.0));
        });
        ui.end_row();
        ui.label(weak("on the table"));
        rows.iter().for_each(|row| {
            ui.label(figure(&row.1));
        });
        ui.end_row();
        ui.label(weak(name));
        rows.iter().for_each(|row| {
            ui.label(figure(&row.2));
        });
        ui.end_row();
        ui.label(weak("better is"));
        for row in &rows {
            // In words, so that nothing hangs on colour or on remembering which way is better.
            ui.label(weak(match row.3 {
                std::cmp::Ordering::Less => "the table",
                std::cmp::Ordering::Equal => "either",
                std::cmp::Ordering::Greater => "the other",
            }));
        }
        ui.end_row();
    });
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use std::cmp::Ordering;

    #[test]
    fn the_better_of_two_is_told_row_by_row() {
        let one = Figures {
            faults: 2,
            looks: 1,
            weight: 14,
            narrowest: Some(60.0),
            short_length: 0.0,
            short_as_drawn: 0.0,
            value: Value { short: 0.0, narrowest: 60.0, tapered: 60.0, enough: 95.0, ..Value::default() },
            cuts: 40,
            opened: 120,
            packs: 20,
            price: Some(900.0),
        };
        let other = Figures { faults: 3, narrowest: Some(80.0), opened: 118, price: None, ..one };
        let mut plan = Plan::new("t");
        plan.stock.currency = "kr".into();
        let told = rows(&one, &other, &plan);
        let of = |what: &str| told.iter().find(|row| row.0 == what).map(|row| row.3);
        assert_eq!(of("faults"), Some(Ordering::Less));
        assert_eq!(of("narrowest"), Some(Ordering::Greater), "a wider one is better");
        assert_eq!((of("boards"), of("packs")), (Some(Ordering::Greater), Some(Ordering::Equal)));
        assert_eq!(of("cost"), None, "both prices are known, or neither is told");
        let priced = Figures { price: Some(10_312.0), ..one };
        let told_of = rows(&one, &priced, &plan);
        let cost = told_of.iter().find(|row| row.0 == "cost").map(|row| (row.1.as_str(), row.2.as_str()));
        assert_eq!(cost, Some(("kr 900", "kr 10\u{a0}312")));
        assert_eq!((of("by sight"), of("narrowest in view")), (Some(Ordering::Equal), None));
    }

    /// 15 409 of edge under the least against 13 627, but weighed by sight 4561 against 5740: in bands of 100 that is 46
    /// against 58, so the table's line is the better one, and the figure that says so stands there. Where as much is under the
    /// least on both, what is narrowest in view parts them: 62 is in the band from 60, 48 in that from 45.
    #[test]
    fn the_figure_that_parts_two_lines_is_told() {
        let value = |short, narrowest| Value { short, narrowest, enough: 95.0, ..Value::default() };
        let figures = |short_length, value| Figures {
            faults: 0,
            looks: 0,
            weight: 0,
            narrowest: Some(4.0),
            short_length,
            short_as_drawn: 0.0,
            value,
            cuts: 0,
            opened: 0,
            packs: 0,
            price: None,
        };
        let one = figures(15_409.0, value(4561.0, 0.0));
        let plan = Plan::new("t");
        let told = rows(&one, &figures(13_627.0, value(5740.0, 0.0)), &plan);
        let of = |told: &[Row], what: &str| told.iter().find(|row| row.0 == what).cloned();
        // As drawn neither leaves any, snapped out by the rules' 2 the table's line leaves more.
        assert_eq!(of(&told, "under least").unwrap().3, Ordering::Equal);
        let (_, mine, theirs, better) = of(&told, "line 2 out").unwrap();
        assert_eq!((mine.as_str(), theirs.as_str()), ("15\u{a0}409", "13\u{a0}627"));
        assert_eq!(better, Ordering::Greater);
        let (_, mine, theirs, better) = of(&told, "by sight").unwrap();
        assert_eq!((mine.as_str(), theirs.as_str(), better), ("4\u{a0}561", "5\u{a0}740", Ordering::Less));
        let one = figures(0.0, value(0.0, 62.0));
        let told = rows(&one, &figures(0.0, value(0.0, 48.0)), &plan);
        let (_, mine, theirs, better) = of(&told, "narrowest in view").unwrap();
        assert_eq!((mine.as_str(), theirs.as_str(), better), ("62", "48", Ordering::Less));
    }
}
