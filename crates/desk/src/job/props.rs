//! Every value of a room, wall, corner, doorway or fixture, to be typed over.

mod doorway;
mod fixture;

pub(crate) use doorway::{doorway_figures, doorway_props};
pub(super) use fixture::KINDS;
pub(crate) use fixture::{fixture_figures, fixture_props};

use super::Facts;
use super::parts::{act, choose, heading, note, row, with, with_several};
use crate::action::{Action, Actions};
use crate::command::Command;
use crate::field;
use crate::names;
use egui::Ui;
use plan::edit::{self, Bay, Gives};
use plan::{Bow, Covering, GapRange, Place, Plan, Point, Sight, Units, WallFace};

pub(crate) fn room_props(ui: &mut Ui, plan: &Plan, room: usize, actions: &mut Actions) {
    let Some(drawn) = plan.rooms.get(room) else { return };
    with(ui, "Name", |ui| {
        if let Some(name) = field::words(ui, "name of the room", &drawn.name, 150.0) {
            actions.try_edit("rename room", move |plan| edit::rename_room(plan, room, &name));
        }
    });
    let is_boarded = drawn.covering == Covering::Boards;
    with(ui, "Covering", |ui| {
        let current = if is_boarded { "boards" } else { "something else" };
        match choose(ui, "covering", current, &["boards", "something else"]) {
            Some(0) => actions.edit("board room", move |plan| plan.rooms[room].covering = Covering::Boards),
            Some(_) => actions.edit("leave room unboarded", move |plan| {
                crate::covering::leave_unboarded(plan, room, Covering::Other("stone".into()));
            }),
            None => {}
        }
    });
    if is_boarded {
        with(ui, "Its walls are", |ui| {
            const SIGHTS: [Sight; 3] = [Sight::Open, Sight::Passing, Sight::Closed];
            let words = SIGHTS.map(names::sight);
            if let Some(sight) = choose(ui, "how much the room is seen", names::sight(drawn.sight), &words) {
                actions.edit("change sight", move |plan| plan.rooms[room].sight = SIGHTS[sight]);
            }
        });
    }
    if let Covering::Other(what) = &drawn.covering {
        with(ui, "What lies there", |ui| {
            if let Some(what) = field::words(ui, "what covers the room", what, 110.0) {
                actions
                    .edit("change covering", move |plan| plan.rooms[room].covering = Covering::Other(what));
            }
        });
    }
    super::levels::room_levels(ui, plan, room, actions);
}

/// A wall's length, and what moves when it is typed over.
pub(crate) fn wall_length(ui: &mut Ui, facts: &Facts<'_>, room: usize, wall: usize, actions: &mut Actions) {
    let plan = facts.plan;
    let Some(drawn) = plan.rooms.get(room) else { return };
    let Some((a, b)) = drawn.wall_line(wall) else { return };
    let (gives, mut keep) = facts.giving;
    with(ui, "Length", |ui| {
        if let Some(length) = field::length(ui, "length of the wall", a.distance(b), plan.units)
            && length > 0.0
        {
            let name = format!("wall length, {}", names::wall(plan, room, wall));
            actions
                .try_edit(name, move |plan| edit::set_wall_length_by(plan, room, wall, length, keep, gives));
        }
    });
    with(ui, "Then moves", |ui| {
        let end = (wall + 1) % drawn.walls.len() + 1;
        let words = [
            format!("corner {end}, its end"),
            format!("corner {}, its start", wall + 1),
            "both by half".into(),
        ];
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        const ALL: [Gives; 3] = [Gives::End, Gives::Start, Gives::Both];
        let current = ALL.iter().position(|other| *other == gives).unwrap_or(0);
        if let Some(chosen) = choose(ui, "corner that moves", words[current], &words) {
            actions.push(Action::Give((ALL[chosen], keep)));
        }
    });
    let checked = ui
        .checkbox(&mut keep, "corners keep their angles")
        .on_hover_text("The next wall moves along whole, so that right angles stay right");
    if checked.changed() {
        actions.push(Action::Give((gives, keep)));
    }
}

pub(crate) fn wall_props(ui: &mut Ui, facts: &Facts<'_>, room: usize, wall: usize, actions: &mut Actions) {
    let plan = facts.plan;
    let is_loose = !plan.is_pinned(&Place::Room(room));
    let Some(drawn) = plan.rooms.get(room).and_then(|room| room.walls.get(wall)) else { return };
    heading(ui, &format!("Wall {}", wall + 1));
    ui.add_enabled_ui(is_loose, |ui| wall_length(ui, facts, room, wall, actions));
    with(ui, "Boards meet", |ui| {
        const FACES: [WallFace; 3] = [WallFace::Plain, WallFace::Glazing, WallFace::Cabinets];
        let words = FACES.map(names::face);
        if let Some(face) = choose(ui, "what boards meet", names::face(drawn.face), &words) {
            actions.edit("change wall", move |plan| plan.rooms[room].walls[wall].face = FACES[face]);
        }
    });
    gap(ui, plan, drawn.gap, actions, move |plan, gap| plan.rooms[room].walls[wall].gap = gap);
    super::between::between(ui, plan, room, wall, actions);
    super::skirting::wall_cover(ui, plan, room, wall, actions);
    ui.add_enabled_ui(is_loose, |ui| wall_shape(ui, plan, room, wall, actions));
    if act(ui, "rows along it").clicked() {
        actions.run(Command::RowsAlongWall);
    }
}

/// What shapes a wall: its bow, an arc, a bay, where it is split and joined.
fn wall_shape(ui: &mut Ui, plan: &Plan, room: usize, wall: usize, actions: &mut Actions) {
    let units = plan.units;
    let Some(drawn) = plan.rooms.get(room).and_then(|room| room.walls.get(wall)) else { return };
    heading(ui, "Bow");
    for (index, bow) in drawn.bow.iter().copied().enumerate() {
        ui.push_id(index, |ui| bow_line(ui, bow, units, room, wall, index, actions));
    }
    note(
        ui,
        "How far the wall stands back from the straight line between its corners; less than 0 where it bulges in.",
    );
    let length = plan.rooms[room].wall_line(wall).map_or(0.0, |(a, b)| a.distance(b));
    with(ui, "Arc, back in its middle", |ui| {
        let now = (plan.rooms[room].back_at(wall, length / 2.0) * 10.0).round() / 10.0;
        if let Some(back) = field::length(ui, "arc stands back by", now, units) {
            actions.try_edit("arc a wall", move |plan| edit::arc_wall(plan, room, wall, back));
        }
    });
    with(ui, "Split, from its corner", |ui| {
        if let Some(Some(along)) = field::optional_length(ui, "split the wall at", None, units) {
            actions.try_edit("split wall", move |plan| edit::split_wall(plan, room, wall, along));
        }
    });
    bay(ui, plan, room, wall, length, actions);
    row(ui, |ui| {
        if act(ui, "join").on_hover_text(Command::JoinWalls.tooltip(ui.ctx())).clicked() {
            actions.run(Command::JoinWalls);
        }
        if act(ui, "split in the middle").on_hover_text(Command::SplitWall.tooltip(ui.ctx())).clicked() {
            actions.run(Command::SplitWall);
        }
        if act(ui, "add an offset").clicked() {
            actions.edit("add bow offset", move |plan| add_bow(plan, room, wall));
        }
    });
}

/// A bay to be built into a wall: its measures typed first.
fn bay(ui: &mut Ui, plan: &Plan, room: usize, wall: usize, length: f64, actions: &mut Actions) {
    let id = egui::Id::unique(("bay of a wall", room, wall));
    let Some(mut bay) = ui.data(|data| data.get_temp::<Bay>(id)) else {
        if act(ui, "build a bay…").clicked() {
            let width = (length / 2.0).min(2400.0).round();
            let depth = (width / 4.0).round();
            let from = ((length - width) / 2.0).round();
            let bay = Bay { from, width, depth, front: Some(width - 2.0 * depth) };
            ui.data_mut(|data| data.insert_temp(id, bay));
        }
        return;
    };
    heading(ui, "Bay");
    let figure = |ui: &mut Ui, label: &str, at: &mut f64| {
        with(ui, label, |ui| {
            if let Some(mm) = field::length(ui, label, *at, plan.units) {
                *at = mm;
            }
        });
    };
    figure(ui, "Begins, from the corner", &mut bay.from);
    figure(ui, "Width in the wall", &mut bay.width);
    figure(ui, "Depth", &mut bay.depth);
    let mut is_round = bay.front.is_none();
    if let Some(front) = &mut bay.front {
        figure(ui, "Width of its front", front);
    }
    if ui.checkbox(&mut is_round, "round").changed() {
        bay.front = (!is_round).then_some((bay.width - 2.0 * bay.depth).max(10.0));
    }
    let mut done = false;
    row(ui, |ui| {
        if act(ui, "build it").clicked() {
            actions.try_edit("build a bay", move |plan| edit::add_bay(plan, room, wall, bay).map(drop));
            done = true;
        }
        done |= act(ui, "leave it").clicked();
    });
    ui.data_mut(|data| {
        if done {
            data.remove::<Bay>(id);
        } else {
            data.insert_temp(id, bay);
        }
    });
}

fn bow_line(
    ui: &mut Ui,
    bow: Bow,
    units: Units,
    room: usize,
    wall: usize,
    index: usize,
    actions: &mut Actions,
) {
    with_several(ui, "at · back", |ui| {
        if let Some(along) = field::length(ui, "distance along the wall", bow.along, units) {
            actions.edit("bow offset", move |plan| {
                let bow = &mut plan.rooms[room].walls[wall].bow;
                bow[index].along = along;
                bow.sort_by(|a, b| a.along.total_cmp(&b.along));
            });
        }
        if let Some(back) = field::length(ui, "stands back by", bow.back, units) {
            actions.edit("bow offset", move |plan| plan.rooms[room].walls[wall].bow[index].back = back);
        }

        if act(ui, "remove").clicked() {
            actions.edit("remove bow offset", move |plan| {
                plan.rooms[room].walls[wall].bow.remove(index);
            });
        }
    });
}

/// Puts an offset in the middle of the longest stretch that has none.
fn add_bow(plan: &mut Plan, room: usize, wall: usize) {
    let Some(drawn) = plan.rooms.get_mut(room) else { return };
    let Some(length) = drawn.wall_line(wall).map(|(a, b)| a.distance(b)) else { return };
    let bow = &mut drawn.walls[wall].bow;
    let mut stops: Vec<f64> = bow.iter().map(|b| b.along).collect();
    stops.insert(0, 0.0);
    stops.push(length);
    let widest = stops.windows(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])));
    let along = widest.map_or(length / 2.0, |ends| f64::midpoint(ends[0], ends[1]).round());
    bow.push(Bow { along, back: 0.0 });
    bow.sort_by(|a, b| a.along.total_cmp(&b.along));
}

/// A gap of its own, or the rules'.
fn gap(
    ui: &mut Ui,
    plan: &Plan,
    own: Option<GapRange>,
    actions: &mut Actions,
    set: impl Fn(&mut Plan, Option<GapRange>) + Clone + 'static,
) {
    let units = plan.units;
    let mut has_own = own.is_some();
    let rules = plan.rules.wall_gap;
    if ui.checkbox(&mut has_own, "gap of its own").changed() {
        let set = set.clone();
        actions.edit("change gap", move |plan| set(plan, has_own.then_some(rules)));
    }
    let Some(range) = own else { return };
    with_several(ui, "Least · greatest", |ui| {
        if let Some(least) = field::length(ui, "least gap", range.least, units) {
            let set = set.clone();
            actions.edit("change gap", move |plan| set(plan, Some(GapRange { least, ..range })));
        }
        if let Some(greatest) = field::length(ui, "greatest gap", range.greatest, units) {
            actions.edit("change gap", move |plan| set(plan, Some(GapRange { greatest, ..range })));
        }
    });
}

pub(crate) fn corner_props(ui: &mut Ui, plan: &Plan, room: usize, wall: usize, actions: &mut Actions) {
    let Some(corner) = plan.rooms.get(room).and_then(|r| r.walls.get(wall)).map(|w| w.corner) else { return };
    heading(ui, &format!("Corner {}", wall + 1));
    let is_loose = !plan.is_pinned(&Place::Room(room));
    ui.add_enabled_ui(is_loose, |ui| corner_place(ui, plan, room, wall, corner, actions));
}

fn corner_place(ui: &mut Ui, plan: &Plan, room: usize, wall: usize, corner: Point, actions: &mut Actions) {
    with_several(ui, "From the left · from the foot", |ui| {
        if let Some(x) = field::length(ui, "corner's x", corner.x, plan.units) {
            actions.try_edit("move corner", move |plan| {
                edit::move_corner(plan, room, wall, Point::new(x, corner.y))
            });
        }
        if let Some(y) = field::length(ui, "corner's y", corner.y, plan.units) {
            actions.try_edit("move corner", move |plan| {
                edit::move_corner(plan, room, wall, Point::new(corner.x, y))
            });
        }
    });
}
