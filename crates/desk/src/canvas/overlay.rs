//! What lies over the floor: hover, selection and its handles, what is being drawn, catching, hints.

mod drawn;
mod handles;
mod hover;
mod marks;

use super::label::Written;
use super::snap::Snapped;
use super::view::View;
use super::{Shown, Span};
use crate::geometry::doorway_ends;
use crate::palette::{Palette, text_font};
use crate::select::Selected;
use egui::{CursorIcon, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};
use pipeline::House;
use plan::{Plan, Point, Units};

/// What is being drawn.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) enum Ghost {
    #[default]
    None,
    Room {
        corners: Vec<Point>,
        next: Option<Point>,
        typed: String,
        /// The next wall ends where the hand points, so that its length means something.
        pointed: bool,
    },
    Doorway {
        start: Point,
        end: Point,
        away: Point,
    },
    Rectangle(Point, Point),
    /// A band round things.
    Band(Point, Point),
    Line(Point, Point),
    /// A stretch whose ends can be dragged.
    Stretch(Point, Point),
}

/// What a tool shows over the floor.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Overlay {
    pub(crate) cursor: Option<CursorIcon>,
    pub(crate) hint: String,
    /// What the desk has to say about the last step.
    pub(crate) said: String,
    /// Why the floor shown is not the plan's; empty where it is.
    pub(crate) stale: String,
    /// What is not shown, in words.
    pub(crate) hidden: String,
    pub(crate) snapped: Option<Snapped>,
    pub(crate) ghost: Ghost,
    pub(crate) hover: Selected,
}

/// Where something is on the plan, for its card and for bringing it into view.
pub(crate) fn extent_of(selected: Selected, plan: &Plan, house: Option<&House>) -> Option<Span> {
    match selected {
        Selected::Nothing => None,
        Selected::Room(room) => Span::of(plan.rooms.get(room)?.outline().into_iter().map(|(p, _)| p)),
        Selected::Wall(room, wall) => Span::of(<[Point; 2]>::from(plan.rooms.get(room)?.wall_line(wall)?)),
        Selected::Corner(room, wall) => Span::of([plan.rooms.get(room)?.walls.get(wall)?.corner]),
        Selected::Doorway(doorway) => {
            let (a, b, away) = doorway_ends(plan, doorway)?;
            let depth = plan.doorways.get(doorway)?.wall_thickness;
            let out = |p: Point| p.moved(away.x * depth, away.y * depth);
            Span::of([a, b, out(a), out(b)])
        }
        Selected::Fixture(fixture) => Span::of(plan.fixtures.get(fixture)?.outline.iter().copied()),
        Selected::Joint(joint) => {
            let drawn = plan.joints.get(joint)?;
            Span::of([drawn.from, drawn.to])
        }
        Selected::Dimension(index) => {
            let dimension = plan.dimensions.get(index)?;
            let ((a, b), (c, d)) = dimension.line(plan).zip(dimension.ends(plan))?;
            Span::of([a, b, c, d])
        }
        Selected::Board(board) => {
            let house = house?;
            let outline = &house.floor.boards.get(board)?.outline.outer;
            Span::of(outline.iter().map(|p| house.site.frame.plan_from_row(*p)))
        }
        Selected::Flag(flag) => Span::of([house?.flags.get(flag)?.at]),
        Selected::Line => {
            let line = house?.setout.line.as_ref()?;
            let (across, up) = ((line.from.x - line.to.x).abs(), (line.from.y - line.to.y).abs());
            // A slanting line's box holds half the floor: its middle stands for it.
            let is_straight = across.min(up) < 0.05 * across.max(up);
            Span::of(if is_straight { [line.from, line.to] } else { [line.from.lerp(line.to, 0.5); 2] })
        }
    }
}

/// Paints what lies on the floor but under its writing: the plan ahead of its floor, hover, selection.
pub(super) fn paint_under(
    painter: &Painter,
    overlay: &Overlay,
    shown: &Shown<'_>,
    view: &View,
    palette: &Palette,
) {
    let plan = shown.document.plan();
    let brush = Brush { painter, view, palette, units: plan.units };
    let house = shown.compute.house().map(|house| &**house);
    if !shown.compute.is_current() {
        brush.outlines(plan, house.map(|house| &house.plan));
    }
    if overlay.hover != shown.selected && !shown.hidden.hides(overlay.hover) {
        brush.mark(overlay.hover, plan, house, Stroke::new(3.0, palette.chalk.gamma_multiply(0.4)));
    }
    // Of what is hidden nothing is left, no outline either.
    let selected =
        shown.together.iter().chain([&shown.selected]).filter(|thing| !shown.hidden.hides(**thing));
    for thing in selected {
        brush.mark(*thing, plan, house, Stroke::new(2.6, palette.chalk));
    }
    if let Some(found) = shown.tape.filter(|found| shown.selected.room() == Some(found.room)) {
        brush.tape_lines(plan, found);
    }
}

/// Paints what lies over everything, handles, what is being drawn, what is caught, words at the foot, and adds where it
/// writes to what is written.
pub(super) fn paint_over(
    painter: &Painter,
    overlay: &Overlay,
    shown: &Shown<'_>,
    view: &View,
    palette: &Palette,
    written: &mut Written,
) {
    let plan = shown.document.plan();
    let brush = Brush { painter, view, palette, units: plan.units };
    let selected = if shown.hidden.hides(shown.selected) { Selected::Nothing } else { shown.selected };
    brush.handles(selected, plan, written);
    if let Some(found) = shown.tape.filter(|found| shown.selected.room() == Some(found.room)) {
        brush.tape(plan, found, &mut written.taken);
    }
    brush.ghost(&overlay.ghost);
    if let Some(snapped) = overlay.snapped {
        brush.caught(snapped, plan);
    }
    if plan.rooms.is_empty() && overlay.ghost == Ghost::None && overlay.snapped.is_none() {
        let text = "Draw the first room: press R, then click its corners or type its walls' lengths";
        let free = view.free_of(crate::first_steps::place_taken(painter.ctx()));
        let width = (free.width() - 40.0).max(60.0);
        let galley = painter.layout(text.to_owned(), text_font(15.0), palette.weak, width);
        painter.galley(free.center() - galley.size() / 2.0, galley, palette.weak);
    }
    let hidden = match overlay.hidden.as_str() {
        "" => String::new(),
        hidden => {
            let keys = crate::command::Command::ShowAll.keys_text(painter.ctx());
            format!("Hidden: {hidden} · {keys} shows everything")
        }
    };
    brush.stale(&overlay.stale);
    let left_out = match written.left_out {
        0 => String::new(),
        count => {
            let figures = crate::names::count(count, "figure has", "figures have");
            let keys = crate::command::Command::ZoomIn.keys_text(painter.ctx());
            format!("{figures} no room here · {keys} comes nearer")
        }
    };
    brush.foot([&overlay.hint, &overlay.said, &hidden, &left_out]);
    brush.pins(plan);
}

struct Brush<'a> {
    painter: &'a Painter,
    view: &'a View,
    palette: &'a Palette,
    units: Units,
}

impl Brush<'_> {
    fn at(&self, p: Point) -> Pos2 {
        self.view.screen_from_plan(p)
    }

    fn ring(&self, points: impl IntoIterator<Item = Point>, stroke: Stroke) {
        let points: Vec<_> = points.into_iter().map(|p| self.at(p)).collect();
        self.painter.add(Shape::closed_line(points, stroke));
    }

    /// Along the head of the table: that the floor under it is an older one, and why.
    fn stale(&self, why: &str) {
        if why.is_empty() {
            return;
        }
        let table = self.view.rect;
        let width = (table.width() - 60.0).max(60.0);
        let galley = self.painter.layout(why.to_owned(), text_font(13.5), self.palette.on_fault, width);
        let min = pos2(table.center().x - galley.size().x / 2.0, table.top() + 12.0);
        let band = Rect::from_min_size(min, galley.size()).expand2(vec2(12.0, 6.0));
        self.painter.rect_filled(band, 3.0, self.palette.fault);
        self.painter.galley(min, galley, self.palette.on_fault);
    }

    /// At the foot of the floor: what the tool waits for or the pointer is over, and over it what the
    /// desk has to say.
    fn foot(&self, [hint, said, hidden, left_out]: [&str; 4]) {
        let mut bottom = self.view.rect.bottom() - 14.0;
        let width = (self.view.rect.width() - 40.0).max(60.0);
        let lines = [
            (hint, self.palette.weak),
            (said, self.palette.ink),
            (hidden, self.palette.look),
            (left_out, self.palette.weak),
        ];
        for (text, ink) in lines {
            if text.is_empty() {
                continue;
            }
            let galley = self.painter.layout(text.to_owned(), text_font(13.0), ink, width);
            let min = pos2(self.view.rect.left() + 20.0, bottom - galley.size().y);
            let rect = Rect::from_min_size(min, galley.size()).expand2(vec2(8.0, 4.0));
            self.painter.rect_filled(rect, 3.0, self.palette.paper.gamma_multiply(0.92));
            self.painter.galley(min, galley, ink);
            bottom = rect.top() - 4.0;
        }
    }
}
