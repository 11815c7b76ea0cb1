//! Stages: parts of the house in order, waits between steps, the day plan, and where stages meet.

use super::Facts;
use super::parts::{act, caution, choose, heading, line, note, with, with_several};
use crate::action::Actions;
use crate::field;
use crate::names;
use egui::Ui;
use plan::{Plan, Stage, Waits};

pub(super) fn state(facts: &Facts<'_>) -> String {
    match facts.plan.stages.len() {
        0 => "laid in one".into(),
        count => names::count(count, "stage", "stages"),
    }
}

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let plan = facts.plan;
    if plan.stages.is_empty() {
        note(ui, "The house is laid in one. Give it stages to lay rooms or groups of rooms day after day.");
    }
    for (index, stage) in plan.stages.iter().enumerate() {
        ui.push_id(("stage", index), |ui| stage_fields(ui, plan, index, stage, actions));
    }
    let free = free_rooms(plan);
    if !free.is_empty() && act(ui, "add a stage").clicked() {
        let room = free[0].clone();
        actions.edit("add stage", move |plan| {
            let day = plan.stages.iter().map(|stage| stage.day).max().map_or(1, |day| day + 1);
            let name = (1..)
                .map(|n| format!("Stage {n}"))
                .find(|name| !plan.stages.iter().any(|stage| stage.name == *name))
                .unwrap_or_default();
            plan.stages.push(Stage { name, rooms: vec![room], day, hours: None });
        });
    }
    if plan.stages.is_empty() {
        return;
    }
    waits(ui, plan, actions);
    day_plan(ui, facts);
}

/// Boarded rooms in no stage.
fn free_rooms(plan: &Plan) -> Vec<String> {
    let boarded = plan.rooms.iter().filter(|room| room.is_boarded()).map(|room| &room.name);
    boarded.filter(|name| !plan.stages.iter().any(|stage| stage.rooms.contains(name))).cloned().collect()
}

fn stage_fields(ui: &mut Ui, plan: &Plan, index: usize, stage: &Stage, actions: &mut Actions) {
    with_several(ui, "Stage · day", |ui| {
        if let Some(name) = field::words(ui, "name of the stage", &stage.name, 120.0) {
            actions.edit("name stage", move |plan| plan.stages[index].name = name);
        }
        if let Some(day) = field::whole(ui, "day on which laying begins", u64::from(stage.day)) {
            let day = u32::try_from(day).unwrap_or(u32::MAX);
            actions.edit("stage's day", move |plan| plan.stages[index].day = day);
        }
        if act(ui, "remove").clicked() {
            actions.edit("remove stage", move |plan| {
                plan.stages.remove(index);
            });
        }
    });
    ui.horizontal_wrapped(|ui| {
        for room in &stage.rooms {
            let response = act(ui, &format!("{room} ×"));
            response.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::Button, true, format!("take {room} out of the stage"))
            });
            if response.clicked() {
                let room = room.clone();
                actions.edit("take room out of stage", move |plan| {
                    plan.stages[index].rooms.retain(|other| *other != room);
                });
            }
        }
        let free = free_rooms(plan);
        if !free.is_empty() {
            let words: Vec<&str> = free.iter().map(String::as_str).collect();
            if let Some(chosen) = choose(ui, "room for the stage", "add a room", &words) {
                let room = free[chosen].clone();
                actions.edit("add room to stage", move |plan| plan.stages[index].rooms.push(room));
            }
        }
    });
    with(ui, "Hours of laying", |ui| {
        if let Some(hours) = field::optional_number(ui, "hours of laying", stage.hours) {
            actions.edit("hours of laying", move |plan| plan.stages[index].hours = hours);
        }
    });
    ui.add_space(4.0);
}

fn waits(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    heading(ui, "Waits, hours");
    note(ui, "From the makers' sheets. What is left empty is said to be unknown.");
    let mut wait = |label: &str, hours: Option<f64>, set: fn(&mut Waits, Option<f64>)| {
        with(ui, label, |ui| {
            if let Some(hours) = field::optional_number(ui, &format!("hours: {label}"), hours) {
                actions.edit("wait", move |plan| set(&mut plan.waits, hours));
            }
        });
    };
    wait("Leveller, until it is covered", plan.waits.leveller, |w, h| w.leveller = h);
    wait("Primer", plan.waits.primer, |w, h| w.primer = h);
    wait("Each coat of the barrier", plan.waits.barrier_coat, |w, h| w.barrier_coat = h);
    wait("Last board, until it is walked on", plan.waits.walk, |w, h| w.walk = h);
    wait("Last board, until packs stand on it", plan.waits.load, |w, h| w.load = h);
}

fn day_plan(ui: &mut Ui, facts: &Facts<'_>) {
    let Some(made) = facts.stages else { return };
    let (house, all) = (&*made.house, &made.value);
    for words in &all.cautions {
        caution(ui, words);
    }
    heading(ui, "Day plan");
    if let Some(words) = all.work_words() {
        note(ui, words);
    }
    let mut last = None;
    for step in &all.steps {
        if last != Some(step.day) {
            line(ui, &format!("Day {}", step.day), "");
            last = Some(step.day);
        }
        let name = house.stage_name(all, step.stage);
        let time = step.time_words();
        let time = if time.is_empty() { time } else { format!(", {time}") };
        note(ui, format!("{name}: {}{time}", step.words()));
    }
    for (place, part) in all.stages.iter().enumerate() {
        heading(ui, &format!("{} {}", place + 1, house.stage_name(all, place)));
        line(
            ui,
            &names::count(part.boards.len(), "board", "boards"),
            names::area(part.area * 1e6, facts.plan.units),
        );
        line(ui, "Packs not opened before", part.packs.to_string());
        note(ui, format!("Carry in and open {}", part.carry_words()));
        for of in &part.materials.lines {
            line(ui, &of.title(), of.quantity_words());
        }
        note(ui, part.protection_words(&house.plan));
    }
    if !all.unstaged.is_empty() {
        let rooms: Vec<&str> = all
            .unstaged
            .iter()
            .filter_map(|room| house.plan.rooms.get(*room))
            .map(|r| r.name.as_str())
            .collect();
        note(ui, format!("In no stage: {}", rooms.join(", ")));
    }
    for boundary in &all.boundaries {
        heading(ui, &boundary.place);
        for sentence in house.boundary_words(all, boundary) {
            note(ui, sentence);
        }
    }
}
