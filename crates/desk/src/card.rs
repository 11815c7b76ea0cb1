//! The card beside what is selected: what it is, in figures that can be typed over.

mod board;
mod place;

pub(crate) use board::board_line;

use crate::action::{Action, Actions};
use crate::canvas::{Canvas, Span, extent_of};
use crate::command::Command;
use crate::geometry::is_inside;
use crate::job::{
    Facts, corner_props, doorway_facts, doorway_figures, fixture_figures, room_props, shows_room, wall_length,
};
use crate::mending::Tried;
use crate::names;
use crate::palette::{Palette, strong_font};
use crate::select::Selected;
use egui::{
    Area, Context, Frame, Id, Margin, Order, Pos2, Rect, RichText, ScrollArea, Stroke, Ui, Vec2, vec2,
};
use findings::{FlagKind, Subject};
use pipeline::{House, Mend};
use plan::{Covering, Plan, Point, StartLine, Units};

/// Widest a card grows.
const WIDTH: f32 = 268.0;
/// What its frame takes, across and up.
const FRAME: Vec2 = vec2(28.0, 20.0);
/// A table smaller than this has no room for a card: it may lie over the panels then, points.
const LEAST_TABLE: Vec2 = vec2(310.0, 230.0);

/// Where a card was put: it stays at that place of the plan while its thing is selected, also while that is moved by a typed
/// figure, or the hand would have to look for the next field.
#[derive(Clone, Copy)]
struct Put {
    /// The card's upper left corner on the plan.
    at: Point,
    scale: f64,
    size: Vec2,
}

/// Shows the card of the selection, if it has one and is in view.
pub(crate) fn show(ctx: &Context, canvas: &Canvas, facts: &Facts<'_>, actions: &mut Actions) {
    let view = &canvas.view;
    let extents = facts.selection().filter_map(|thing| extent_of(thing, facts.plan, facts.house));
    let Some(extent) = Span::of(extents.flat_map(|span| [span.min, span.max])) else { return };
    let palette = Palette::current(ctx);
    let on_screen = Rect::from_two_pos(view.screen_from_plan(extent.min), view.screen_from_plan(extent.max));
    if !view.rect.intersects(on_screen.expand(1.0)) {
        return;
    }
    let seen = match facts.selected {
        // A flag's pennant stands beside its foot, up to two lines away.
        Selected::Flag(_) => on_screen.expand2(vec2(120.0, 58.0)),
        // A room's figures stand round it.
        Selected::Room(_) => on_screen.expand2(vec2(104.0, 36.0)),
        // Its distances from the corners are read beside the wall.
        Selected::Doorway(doorway) => wall_of(facts.plan, doorway).map_or(on_screen, |(a, b)| {
            let wall = Rect::from_two_pos(view.screen_from_plan(a), view.screen_from_plan(b));
            on_screen.union(wall.expand(DISTANCE))
        }),
        _ => on_screen,
    };
    // What only touches the view would be turned inside out.
    let seen = seen.intersect(view.rect);
    let seen = Rect::from_two_pos(seen.min, seen.max);
    let id = Id::unique(("card", facts.selected_key()));
    let room = room_for_card(ctx, view.rect, facts.is_stale());
    let marked = match (facts.selected, facts.house) {
        (Selected::Board(index), Some(house)) if !facts.has_several() => board::on_table(view, house, index),
        // A room's figures are looked at with it; what of their ground is bare may be covered.
        (Selected::Room(_), _) => place::Marked { own: vec![on_screen], beside: vec![seen] },
        _ => place::Marked { own: vec![seen], beside: Vec::new() },
    };
    let card = find_place(ctx, (id, seen, &marked), room, canvas, facts);
    let is_tied = place::distance(card, seen) > place::NEAR && !matches!(facts.selected, Selected::Room(_));
    let frame = Frame::new()
        .fill(palette.card)
        .stroke(Stroke::new(1.0, palette.rule))
        .corner_radius(4)
        .shadow(egui::Shadow {
            offset: [0, 2],
            blur: 10,
            spread: 0,
            color: egui::Color32::from_black_alpha(34),
        })
        .inner_margin(Margin::symmetric(14, 10));
    Area::new(id).order(Order::Middle).fixed_pos(card.min).constrain_to(room).show(ctx, |ui| {
        if is_tied {
            let ends = [seen.clamp(card.center()), card.clamp(seen.center())];
            let painter = ui.painter().with_clip_rect(view.rect);
            painter.line_segment(ends, Stroke::new(1.2, palette.chalk));
        }
        frame.show(ui, |ui| {
            ui.set_width(WIDTH.min(room.width() - FRAME.x));
            ui.spacing_mut().item_spacing = vec2(8.0, 4.0);
            // What is longer than the table is high is scrolled.
            let highest = (room.height() - FRAME.y).max(60.0);
            ScrollArea::vertical()
                .max_height(highest)
                .min_scrolled_height(highest)
                .show(ui, |ui| body(ui, facts, actions));
        });
    });
}

/// So far from its wall a doorway's distances are written, points.
const DISTANCE: f32 = 26.0;

/// The ends of the wall that a doorway stands in.
fn wall_of(plan: &Plan, doorway: usize) -> Option<(Point, Point)> {
    let doorway = plan.doorways.get(doorway)?;
    plan.rooms.get(plan.room_index(&doorway.room)?)?.wall_line(doorway.wall)
}

/// Where a card may lie: over the table, or where that is too small over the panels too.
fn room_for_card(ctx: &Context, table: Rect, is_stale: bool) -> Rect {
    let is_small = table.width() < LEAST_TABLE.x || table.height() < LEAST_TABLE.y;
    let room = if is_small { ctx.content_rect() } else { table };
    let mut room = room.shrink(8.0);
    // What is said at the foot of the table is read beside a card, not under it: why a figure was refused, the key back.
    if table.height() > FOOT_FREE {
        room.max.y -= FOOT;
        // So is, at its head, why the floor shown is an older one.
        room.min.y += if is_stale { BAND } else { 0.0 };
    }
    room
}

/// As high are the two lines at the foot of the table, points.
const FOOT: f32 = 52.0;
/// As high is the band that says so, in two lines, points.
const BAND: f32 = 56.0;
/// A table lower than this has no room to leave them free, points.
const FOOT_FREE: f32 = 420.0;

/// How much worse than floor it is to cover the card of the first steps.
const HIDES_STEPS: f32 = 60.0;

/// The card's place: where it was, unless it now covers its thing, leaves the view or is of another size.
fn find_place(
    ctx: &Context,
    (id, thing, marked): (Id, Rect, &place::Marked),
    room: Rect,
    canvas: &Canvas,
    facts: &Facts<'_>,
) -> Rect {
    let view = &canvas.view;
    let size =
        ctx.memory(|memory| memory.area_rect(id)).map_or(vec2(WIDTH + 28.0, 180.0), |rect| rect.size());
    let taken = crate::first_steps::place_taken(ctx);
    let before = ctx.data(|data| data.get_temp::<Put>(id));
    if let Some(put) = before.filter(|put| put.scale == view.scale && (put.size - size).length() < 60.0) {
        let card = Rect::from_min_size(view.screen_from_plan(put.at), size);
        let is_free = !marked.is_hidden_by(card) && taken.is_none_or(|taken| !taken.intersects(card));
        if room.contains_rect(card) && is_free {
            return card;
        }
    }
    // Of a large house only the rooms that can be seen count.
    let table = Span {
        min: view.plan_from_screen(view.rect.left_bottom()),
        max: view.plan_from_screen(view.rect.right_top()),
    };
    let rooms: Vec<(bool, Span, Vec<Point>)> = facts
        .plan
        .rooms
        .iter()
        .filter_map(|room| {
            let outline: Vec<Point> = room.outline().into_iter().map(|(p, _)| p).collect();
            let span = Span::of(outline.iter().copied()).filter(|span| span.meets(&table))?;
            Some((room.covering == Covering::Boards, span, outline))
        })
        .collect();
    let floor = |pos: Pos2| {
        if taken.is_some_and(|taken| taken.contains(pos)) {
            return HIDES_STEPS;
        }
        let p = view.plan_from_screen(pos);
        let at = Span { min: p, max: p };
        let here =
            rooms.iter().find(|(_, span, outline)| span.meets(&at) && is_inside(p, outline.iter().copied()));
        here.map_or(0.0, |(boarded, ..)| if *boarded { 1.0 } else { 0.5 })
    };
    let card = place::place(thing, marked, size, room, (canvas.written(), canvas.pulls()), floor);
    let put = Put { at: view.plan_from_screen(card.min), scale: view.scale, size };
    ctx.data_mut(|data| data.insert_temp(id, put));
    card
}

fn title(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(strong_font(14.5)));
}

fn say(ui: &mut Ui, text: impl Into<String>) {
    ui.label(RichText::new(text).size(12.5).weak());
}

/// Takes out what is selected, and pins it down or lets it go. What is pinned down is not offered to be taken out.
fn remove_and_pin(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let is_pinned = facts.selected.thing().is_some_and(|place| facts.plan.is_pinned(&place));
    if is_pinned {
        say(ui, "Pinned down: no hand moves, reshapes or removes it.");
    }
    ui.horizontal_wrapped(|ui| {
        if !is_pinned {
            remove(ui, actions);
        }
        pin(ui, facts, actions);
    });
}

fn remove(ui: &mut Ui, actions: &mut Actions) {
    if crate::job::act(ui, "remove").on_hover_text(Command::Delete.tooltip(ui.ctx())).clicked() {
        actions.run(Command::Delete);
    }
}

fn body(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let plan = facts.plan;
    if facts.has_several() {
        let places: Vec<plan::Place> = facts.selection().filter_map(Selected::thing).collect();
        title(ui, &names::things(plan, &places));
        crate::job::several(ui, facts, actions);
        return;
    }
    match facts.selected {
        Selected::Nothing => {}
        Selected::Room(room) => {
            title(ui, plan.rooms.get(room).map_or("", |room| &room.name));
            if shows_room(ui.ctx(), room) {
                say(ui, room_in_words(plan, room));
            } else {
                room_props(ui, plan, room, actions);
            }
            say(ui, "Click a wall or a corner to change it; all are listed under Measure.");
            remove_and_pin(ui, facts, actions);
        }
        Selected::Wall(room, wall) => {
            title(ui, &names::wall(plan, room, wall));
            let is_loose = !plan.is_pinned(&plan::Place::Room(room));
            ui.add_enabled_ui(is_loose, |ui| wall_length(ui, facts, room, wall, actions));
            if plan.is_pinned(&plan::Place::Room(room)) {
                say(ui, "Its room is pinned down: no hand moves its walls.");
            } else {
                say(ui, "Arrows move the wall; more of it stands under Measure.");
            }
        }
        Selected::Corner(room, wall) => {
            corner_props(ui, plan, room, wall, actions);
            if plan.is_pinned(&plan::Place::Room(room)) {
                say(ui, "Its room is pinned down: no hand moves its corners.");
            } else {
                remove(ui, actions);
            }
        }
        Selected::Doorway(doorway) => {
            title(ui, plan.doorways.get(doorway).map_or("", |d| &d.name));
            doorway_figures(ui, plan, doorway, actions);
            if let Some(house) = facts.house.filter(|_| facts.is_current) {
                doorway_facts(ui, house, doorway);
            }
            remove_and_pin(ui, facts, actions);
        }
        Selected::Fixture(fixture) => {
            fixture_figures(ui, plan, fixture, actions);
            remove_and_pin(ui, facts, actions);
        }
        Selected::Joint(joint) => {
            title(ui, &plan.joints.get(joint).map(|j| j.called(joint)).unwrap_or_default());
            crate::job::joint_figures(ui, plan, facts.house, joint, actions);
            remove_and_pin(ui, facts, actions);
        }
        Selected::Dimension(index) => {
            dimension_card(ui, plan, index, actions);
            remove(ui, actions);
        }
        Selected::Board(board) => {
            if let Some(house) = facts.house {
                board::board_card(ui, plan, house, board, actions);
            }
        }
        Selected::Flag(flag) => {
            if let Some(house) = facts.house {
                flag_card(ui, plan.units, house, flag, facts.mends, actions);
            }
        }
        Selected::Line => {
            if let Some(house) = facts.house {
                line_card(ui, plan, house, actions);
            }
        }
    }
}

/// A room whose figures stand in the job: how large it is and what covers it.
fn room_in_words(plan: &Plan, room: usize) -> String {
    let Some(room) = plan.rooms.get(room) else { return String::new() };
    let outline = room.outline().into_iter().map(|(p, _)| p);
    let area = names::area(crate::geometry::area(outline), plan.units);
    format!("{area} {}", names::covering(&room.covering))
}

/// A dimension: its length, what it is between, how far its line stands aside.
fn dimension_card(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let Some(dimension) = plan.dimensions.get(index) else { return };
    let length = dimension.length(plan).map(|mm| names::length((mm * 10.0).round() / 10.0, plan.units));
    title(ui, &length.unwrap_or_else(|| "Dimension".into()));
    say(ui, format!("from {}", dimension.from.words()));
    say(ui, format!("to {}", dimension.to.words()));
    crate::job::with(ui, "Its line stands aside by", |ui| {
        if let Some(beside) =
            crate::field::length(ui, "how far its line stands aside", dimension.beside, plan.units)
        {
            actions.edit("move dimension", move |plan| plan.dimensions[index].beside = beside);
        }
    });
    say(ui, "It follows what it is on, and stands on the set-out sheet.");
}

/// Pins down what is selected, or takes its pin out.
fn pin(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let Some(place) = facts.selected.thing() else { return };
    let word = if facts.plan.is_pinned(&place) { "unpin" } else { "pin down" };
    if crate::job::act(ui, word).on_hover_text(Command::PinDown.tooltip(ui.ctx())).clicked() {
        actions.run(Command::PinDown);
    }
}

fn flag_card(ui: &mut Ui, units: Units, house: &House, flag: usize, mends: Tried<'_>, actions: &mut Actions) {
    let Some(flag) = house.flags.get(flag) else { return };
    let figure = flag.kind.figure_in_words(flag.told(units), units, |mm| names::length(mm, units));
    title(ui, &format!("{} {figure}", flag.kind.word()));
    say(ui, &flag.place);
    let limit = flag.kind.figure_in_words(flag.limit, units, |mm| names::length(mm, units));
    say(ui, format!("Limit {limit}"));
    ui.label(&flag.mend);
    match mends {
        Tried::Through(mends) => {
            mend_lines(ui, house, mends, actions);
            if matches!(flag.kind, FlagKind::WideFloor | FlagKind::LongFloor) {
                say(ui, "Movement joints that would help, each with its place, stand under Fit.");
            }
        }
        Tried::Trying(done, of) => {
            ui.horizontal_wrapped(|ui| {
                say(ui, format!("laying the floor with each mend: {done} of {of}"));
                if crate::job::act(ui, "stop").clicked() {
                    actions.push(Action::StopMends);
                }
            });
        }
        Tried::Not => {
            let asked = crate::job::act(ui, "what would mend it");
            if asked.on_hover_text(Command::TryMends.tooltip(ui.ctx())).clicked() {
                actions.run(Command::TryMends);
            }
        }
    }
    ui.horizontal_wrapped(|ui| {
        let board = match &flag.subject {
            Subject::Board(board) => Some(*board),
            Subject::Boards(boards) => boards.first().copied(),
            _ => None,
        };
        if let Some(board) = board
            && crate::job::act(ui, "its board").clicked()
        {
            actions.select(Selected::Board(board));
        }
        if let Subject::Thing(source) = flag.subject
            && crate::job::act(ui, "what it stands on").clicked()
        {
            actions.select(crate::job::selected(source));
        }
        if crate::job::act(ui, "next flag").on_hover_text(Command::NextFlag.tooltip(ui.ctx())).clicked() {
            actions.run(Command::NextFlag);
        }
    });
}

/// What was tried against a flag, each with what the floor then comes to.
fn mend_lines(ui: &mut Ui, house: &House, mends: &[Mend], actions: &mut Actions) {
    if mends.is_empty() {
        say(ui, "Nothing in the plan alone does away with it.");
        return;
    }
    let now = house.figures();
    let words = |figures: &pipeline::Figures| {
        let faults = names::count(figures.faults, "fault", "faults");
        format!("{faults}, {} to look at, {} boards", figures.looks, figures.opened)
    };
    let (lowering, moving): (Vec<_>, Vec<_>) =
        mends.iter().enumerate().partition(|(_, mend)| mend.lowers(&now));
    let mut told = |ui: &mut Ui, index: usize, mend: &Mend, word: &str| {
        ui.push_id(index, |ui| {
            ui.horizontal_wrapped(|ui| {
                ui.label(&mend.name);
                let doing = crate::job::act(ui, word).on_hover_text(&mend.name);
                if doing.clicked() {
                    actions.push(Action::DoMend(index));
                }
            });
            let stays = if mend.does_away { "" } else { "; this flag stays" };
            // What one would find out only after it is done.
            let brings = mend.brings.words().map(|words| format!("; {words}")).unwrap_or_default();
            say(ui, format!("then {}{stays}{brings}", words(&mend.figures)));
        });
    };
    say(ui, format!("Tried, each laid through. Now {}:", words(&now)));
    for (index, mend) in lowering {
        told(ui, index, mend, "do it");
    }
    if !moving.is_empty() {
        // Said before it is done: the flag goes, the floor is no better.
        say(ui, "No mend: this flag would go, and others as bad would stand elsewhere.");
    }
    for (index, mend) in moving {
        told(ui, index, mend, "do it all the same");
    }
}

fn line_card(ui: &mut Ui, plan: &Plan, house: &House, actions: &mut Actions) {
    let (setout, units) = (&house.setout, plan.units);
    title(ui, "Start line");
    let rip = |mm: f64| names::length((mm * 10.0).round() / 10.0, units);
    crate::job::with(ui, "Offset across the rows", |ui| {
        if let Some(offset) = crate::field::length(
            ui,
            "offset of the start line",
            (setout.chosen.offset * 10.0).round() / 10.0,
            units,
        ) {
            let offset = offset.rem_euclid(setout.pitch);
            actions.edit("move start line", move |plan| plan.start_line = StartLine::At(offset));
        }
    });
    say(
        ui,
        format!(
            "Narrowest rip {}, at {}",
            rip(setout.chosen.narrowest),
            names::binding(plan, &setout.chosen)
        ),
    );
    if plan.start_line != StartLine::Best && crate::job::act(ui, "use the best line").clicked() {
        actions.run(Command::BestLine);
    }
}
