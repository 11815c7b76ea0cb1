//! Check: the flags, each with its place, figure, limit and mend.

use super::Facts;
use super::parts::note;
use crate::action::{Action, Actions};
use crate::canvas::Span;
use crate::names;
use crate::palette::{Palette, strong_font, text_font};
use crate::select::Selected;
use egui::{Color32, FontId, Response, Sense, Shape, Stroke, Ui, pos2, vec2};
use findings::{Flag, FlagKind, Severity, Subject};
use pipeline::House;
use plan::Units;
use std::collections::HashMap;

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
    let mut list = List { facts, house, selected, is_new, actions };
    let groups = groups(house);
    let mut listed = 0;
    for group in &groups {
        let room = LISTED.saturating_sub(listed);
        let is_far = |flag: &usize| group.iter().position(|other| other == flag).is_some_and(|at| at >= room);
        list.group(ui, group, room);
        if let Some(flag) = selected.filter(is_far) {
            list.entry(ui, flag, Said::All);
        }
        listed += group.len();
    }
    if house.flags.len() > LISTED {
        note(ui, format!("and {} more on the floor", house.flags.len() - LISTED));
    }
}

/// Flags that one sentence mends, the worst first, in the order in which the first of each stands: slivers along one row,
/// and others of a kind of which the same is to be done.
fn groups(house: &House) -> Vec<Vec<usize>> {
    /// What makes flags one group: slivers of one row share their wall, others their mend.
    #[derive(PartialEq, Eq, Hash)]
    enum Shared<'a> {
        Row(usize, i32),
        Mend(&'a str),
    }
    let mut groups: Vec<Vec<usize>> = Vec::new();
    let mut place_of: HashMap<(FlagKind, Severity, u64, Shared<'_>), usize> = HashMap::new();
    for (index, flag) in house.flags.iter().enumerate() {
        let board = match flag.subject {
            Subject::Board(board) if flag.kind == FlagKind::Sliver => house.floor.boards.get(board),
            _ => None,
        };
        let shared = board.map_or(Shared::Mend(&flag.mend), |board| Shared::Row(board.region, board.row));
        let place =
            *place_of.entry((flag.kind, flag.severity, flag.limit.to_bits(), shared)).or_insert(groups.len());
        match groups.get_mut(place) {
            Some(group) => group.push(index),
            None => groups.push(vec![index]),
        }
    }
    for group in &mut groups {
        let worth = |index: &usize| {
            let Some(flag) = house.flags.get(*index) else { return 0.0 };
            if flag.kind.is_over() { -flag.figure } else { flag.figure }
        };
        group.sort_by(|a, b| worth(a).total_cmp(&worth(b)));
    }
    groups
}

/// How much is said of a flag in its line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Said {
    /// Its figure, place, limit and mend.
    All,
    /// Its figure and place: the rest is said over it, of the whole group.
    Place,
}

struct List<'a> {
    facts: &'a Facts<'a>,
    house: &'a House,
    selected: Option<usize>,
    is_new: bool,
    actions: &'a mut Actions,
}

impl List<'_> {
    /// A group's flags, no more than `room` of them.
    fn group(&mut self, ui: &mut Ui, group: &[usize], room: usize) {
        match group {
            _ if room == 0 => {}
            [one] => self.entry(ui, *one, Said::All),
            [worst, ..] => {
                let Some(flag) = self.house.flags.get(*worst) else { return };
                head(ui, flag, group.len(), self.facts.plan.units);
                for index in group.iter().take(room) {
                    self.entry(ui, *index, Said::Place);
                }
                ui.add_space(6.0);
            }
            [] => {}
        }
    }

    /// One flag's line; a click goes to it.
    fn entry(&mut self, ui: &mut Ui, index: usize, said: Said) {
        let Some(flag) = self.house.flags.get(index) else { return };
        let is_selected = self.selected == Some(index);
        let response = entry(ui, flag, index, is_selected, said, self.facts.plan.units);
        if is_selected && self.is_new {
            ui.scroll_to_rect(response.rect.expand2(vec2(0.0, 8.0)), None);
        }
        if response.clicked() {
            self.actions.select(Selected::Flag(index));
            self.actions.push(Action::LookAt(Span::round(flag.at, 1800.0)));
        }
    }
}

/// What is said of several flags once: how many, the worst figure, the limit, and what mends the worst.
fn head(ui: &mut Ui, worst: &Flag, count: usize, units: Units) {
    let palette = Palette::current(ui.ctx());
    let width = ui.available_width() - INDENT;
    let figure = worst.kind.figure_in_words(worst.told(units), units, |mm| names::length(mm, units));
    let which = if worst.kind.is_over() { "most" } else { "least" };
    let title = format!("{count} {}, {which} {figure}", worst.kind.plural());
    let limit = worst.kind.figure_in_words(worst.limit, units, |mm| names::length(mm, units));
    let under = match worst.limit == 0.0 {
        true => worst.mend.clone(),
        false => format!("limit {limit} · {}", worst.mend),
    };
    let lay = |text: &str, font, ink| ui.painter().layout(text.to_owned(), font, ink, width);
    let (named, told) =
        (lay(&title, strong_font(13.5), palette.ink), lay(&under, text_font(12.5), palette.weak));
    let height = named.size().y + told.size().y + 5.0;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, format!("{title}: {under}")));
    small_pennant(ui, rect.left_top() + vec2(0.0, 4.0), worst.severity, palette);
    let below = rect.top() + named.size().y + 3.0;
    let painter = ui.painter_at(rect);
    painter.galley(pos2(rect.left() + INDENT, rect.top()), named, palette.ink);
    painter.galley(pos2(rect.left() + INDENT, below), told, palette.weak);
}

/// Room for a pennant before a flag's words, points.
const INDENT: f32 = 22.0;

fn entry(ui: &mut Ui, flag: &Flag, index: usize, selected: bool, said: Said, units: Units) -> Response {
    let palette = Palette::current(ui.ctx());
    let width = ui.available_width() - INDENT;
    let limit = flag.kind.figure_in_words(flag.limit, units, |mm| names::length(mm, units));
    let figure = flag.kind.figure_in_words(flag.told(units), units, |mm| names::length(mm, units));
    let head = format!("{} {figure}", flag.kind.word());
    let lines: Vec<(String, FontId, Color32)> = match said {
        Said::Place => vec![(format!("{figure} · {}", flag.place), text_font(12.5), Color32::PLACEHOLDER)],
        Said::All => vec![
            (head.clone(), strong_font(13.5), Color32::PLACEHOLDER),
            // Of what must not be at all there is no limit to tell.
            match flag.limit == 0.0 {
                true => (flag.place.clone(), text_font(12.5), palette.weak),
                false => (format!("{} · limit {limit}", flag.place), text_font(12.5), palette.weak),
            },
            (flag.mend.clone(), text_font(12.5), palette.weak),
        ],
    };
    let galleys: Vec<_> =
        lines.into_iter().map(|(text, font, ink)| ui.painter().layout(text, font, ink, width)).collect();
    // Over and under its words; the title stands a little off.
    let (off, between) = if said == Said::All { (6.0, 3.0) } else { (3.0, 0.0) };
    let height = galleys.iter().map(|galley| galley.size().y).sum::<f32>() + off + between;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::click());
    response.widget_info(|| {
        let label = format!("flag {}: {head}, {}, {}", index + 1, flag.place, flag.mend);
        egui::WidgetInfo::selected(egui::Role::Button, true, selected, label)
    });
    if selected || response.has_focus() {
        ui.painter().rect_filled(rect.expand2(vec2(6.0, 1.0)), 3.0, palette.chalk_wash);
    }
    if said == Said::All {
        small_pennant(ui, rect.left_top() + vec2(0.0, 4.0), flag.severity, palette);
    }
    let painter = ui.painter_at(rect);
    let ink = if response.hovered() { palette.chalk } else { palette.ink };
    let mut top = rect.top();
    for (line, galley) in galleys.into_iter().enumerate() {
        let height = galley.size().y + if line == 0 { between } else { 0.0 };
        painter.galley(pos2(rect.left() + INDENT, top), galley, ink);
        top += height;
    }
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
