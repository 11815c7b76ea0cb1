//! Check: the flags, each with its place, figure, limit and mend.

use super::Facts;
use super::parts::note;
use crate::action::{Action, Actions};
use crate::canvas::Span;
use crate::names;
use crate::palette::{Palette, strong_font, text_font};
use crate::select::Selected;
use egui::{Response, Sense, Shape, Stroke, Ui, pos2, vec2};
use findings::{Flag, Severity};
use plan::Units;

/// Flags listed; more would bury the rest of the job.
const LISTED: usize = 40;

pub(super) fn state(facts: &Facts<'_>) -> String {
    let Some(house) = facts.house else { return "waits for boards".into() };
    let faults = house.flags.iter().filter(|flag| flag.severity == Severity::Fault).count();
    let looks = house.flags.len() - faults;
    match (faults, looks) {
        (0, 0) => "no flags".into(),
        (0, looks) => format!("{looks} to look at"),
        (faults, 0) => names::count(faults, "fault", "faults"),
        (faults, looks) => format!("{}, {looks} to look at", names::count(faults, "fault", "faults")),
    }
}

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, seen: &mut Option<usize>, actions: &mut Actions) {
    let Some(house) = facts.house else {
        note(ui, "Nothing to check yet.");
        return;
    };
    if house.flags.is_empty() {
        note(ui, "No rip, end, joint, leg or width breaks its limit.");
    }
    let selected = match facts.selected {
        Selected::Flag(flag) => Some(flag),
        _ => None,
    };
    // However it was gone to, by its pennant or by a key, its line comes into sight once.
    let is_new = selected.is_some() && *seen != selected;
    *seen = selected;
    let mut show = |ui: &mut Ui, flag: &Flag, index: usize| {
        let is_selected = selected == Some(index);
        let response = entry(ui, flag, index, is_selected, facts.plan.units);
        if is_selected && is_new {
            ui.scroll_to_rect(response.rect.expand2(vec2(0.0, 8.0)), None);
        }
        if response.clicked() {
            actions.select(Selected::Flag(index));
            actions.push(Action::LookAt(Span::round(flag.at, 1800.0)));
        }
    };
    for (index, flag) in house.flags.iter().enumerate().take(LISTED) {
        show(ui, flag, index);
    }
    if let Some(index) = selected.filter(|index| *index >= LISTED)
        && let Some(flag) = house.flags.get(index)
    {
        show(ui, flag, index);
    }
    if house.flags.len() > LISTED {
        note(ui, format!("and {} more on the floor", house.flags.len() - LISTED));
    }
}

fn entry(ui: &mut Ui, flag: &Flag, index: usize, selected: bool, units: Units) -> Response {
    let palette = Palette::current(ui.ctx());
    let width = ui.available_width();
    let indent = 22.0;
    let limit = flag.kind.figure_in_words(flag.limit, units, |mm| names::length(mm, units));
    let figure = flag.kind.figure_in_words(flag.told(units), units, |mm| names::length(mm, units));
    let head = format!("{} {figure}", flag.kind.word());
    let place = ui.painter().layout(
        // Of what must not be at all there is no limit to tell.
        if flag.limit == 0.0 { flag.place.clone() } else { format!("{} · limit {limit}", flag.place) },
        text_font(12.5),
        palette.weak,
        width - indent,
    );
    let mend = ui.painter().layout(flag.mend.clone(), text_font(12.5), palette.weak, width - indent);
    let title =
        ui.painter().layout(head.clone(), strong_font(13.5), egui::Color32::PLACEHOLDER, width - indent);
    let below_title = title.size().y + 3.0;
    let height = below_title + place.size().y + mend.size().y + 6.0;
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
    response.widget_info(|| {
        let label = format!("flag {}: {head}, {}, {}", index + 1, flag.place, flag.mend);
        egui::WidgetInfo::selected(egui::Role::Button, true, selected, label)
    });
    if selected || response.has_focus() {
        ui.painter().rect_filled(rect.expand2(vec2(6.0, 1.0)), 3.0, palette.chalk_wash);
    }
    let painter = ui.painter_at(rect);
    small_pennant(ui, rect.left_top() + vec2(0.0, 4.0), flag.severity, palette);
    let ink = if response.hovered() { palette.chalk } else { palette.ink };
    let text_left = rect.left() + indent;
    painter.galley(pos2(text_left, rect.top()), title, ink);
    let below = rect.top() + below_title;
    let mend_top = below + place.size().y;
    painter.galley(pos2(text_left, below), place, palette.weak);
    painter.galley(pos2(text_left, mend_top), mend, palette.weak);
    response.on_hover_cursor(egui::CursorIcon::PointingHand)
}

fn small_pennant(ui: &Ui, at: egui::Pos2, severity: Severity, palette: &Palette) {
    let (w, h, tail) = (13.0, 9.0, 3.5);
    let corner = |x: f32, y: f32| at + vec2(x, y);
    match severity {
        Severity::Fault => {
            let middle = corner(w - tail, h / 2.0);
            for half in [[corner(0.0, 0.0), corner(w, 0.0), middle], [corner(0.0, h), middle, corner(w, h)]] {
                ui.painter().add(Shape::convex_polygon(half.to_vec(), palette.fault, Stroke::NONE));
            }
            let hoist = [corner(0.0, 0.0), middle, corner(0.0, h)];
            ui.painter().add(Shape::convex_polygon(hoist.to_vec(), palette.fault, Stroke::NONE));
        }
        Severity::Look => {
            let outline = vec![
                corner(0.0, 0.0),
                corner(w - tail, 0.0),
                corner(w, h / 2.0),
                corner(w - tail, h),
                corner(0.0, h),
            ];
            ui.painter().add(Shape::closed_line(outline, Stroke::new(1.4, palette.look)));
        }
    }
}
