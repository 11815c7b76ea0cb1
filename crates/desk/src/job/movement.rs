//! Movement: wood and air, swelling against the gaps, joints and what would help.

use super::Facts;
use super::parts::{act, choose, heading, line, note, with, with_several};
use crate::action::{Action, Actions};
use crate::canvas::{Span, extent_of};
use crate::command::Command;
use crate::field;
use crate::names;
use crate::on_demand::JOINED;
use crate::select::Selected;
use ::fit::{JointLaid, Movement, Proposal, Stretch};
use egui::Ui;
use pipeline::{Brings, House};
use plan::{Climate, Construction, MovementJoint, Plan, Seasons, Species, Wood, edit};
use std::sync::Arc;

/// Proposals listed; the rest are counted.
const LISTED: usize = JOINED;

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    joints(ui, facts, actions);
    proposals(ui, facts, actions);
    beyond(ui, facts);
    wood(ui, facts.plan, actions);
    air(ui, facts.plan, actions);
    if let Some(house) = facts.house {
        match &house.fit.movement {
            Some(movement) => seasons(ui, house, movement, actions),
            None => {
                note(ui, "With the wood and the air named, each width's swelling is held against its gaps.");
            }
        }
    }
}

fn joints(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let plan = facts.plan;
    heading(ui, "Movement joints");
    for (index, joint) in plan.joints.iter().enumerate() {
        let selected = facts.selected == Selected::Joint(index);
        let laid = facts.house.and_then(|house| house.fit.joints.get(index));
        let figure = match laid.filter(|laid| !laid.stretches.is_empty()) {
            Some(laid) => format!(
                "{} × {}",
                names::length(joint.width, plan.units),
                names::tape(laid.length, plan.units)
            ),
            None => names::length(joint.width, plan.units),
        };
        if super::measure::item(ui, &joint.called(index), &figure, selected) {
            let selected = Selected::Joint(index);
            actions.select(selected);
            if let Some(at) = extent_of(selected, plan, facts.house) {
                actions.push(Action::Show(at.centre()));
            }
        }
    }
    if act(ui, "draw a movement joint").on_hover_text(Command::DrawJoint.tooltip(ui.ctx())).clicked() {
        actions.run(Command::DrawJoint);
    }
}

fn proposals(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let Some(made) = facts.proposals.filter(|all| !all.value.is_empty()) else { return };
    let proposals = &made.value;
    let units = facts.plan.units;
    // Reckoned after them, for the same house.
    let joined = facts.joined.filter(|joined| Arc::ptr_eq(&joined.house, &made.house));
    let brings = |of: Option<&Brings>| of.and_then(Brings::words);
    heading(ui, "Joints that would help");
    for (index, proposal) in proposals.iter().take(LISTED).enumerate() {
        ui.push_id(index, |ui| {
            with(ui, &proposal.place(&made.house.plan), |ui| {
                let joint = proposal.joint.clone();
                if act(ui, "put it in").clicked() {
                    put_in(joint, facts.plan, actions);
                }
            });
            let brought = brings(joined.and_then(|joined| joined.value.each.get(index)?.as_ref()));
            let brought = brought.map(|words| format!("; {words}")).unwrap_or_default();
            note(ui, format!("{}{brought}", relief(proposal, units)));
            for mark in &proposal.marks {
                note(ui, mark.clone());
            }
        });
    }
    if proposals.len() > LISTED {
        note(ui, format!("and {} more", proposals.len() - LISTED));
    }
    if proposals.len() > 1 {
        if act(ui, "put them all in").clicked() {
            let all: Vec<MovementJoint> = proposals.iter().map(|proposal| proposal.joint.clone()).collect();
            actions.edit("put in movement joints", move |plan| plan.joints.extend(all));
        }
        // One joint's slivers are seen beside it; those of all together only once they are in.
        let words = match joined.map(|joined| joined.value.all.as_ref()) {
            None => "All of them together are being laid through…".to_owned(),
            Some(None) => "No floor can be laid with all of them.".to_owned(),
            Some(Some(all)) => match all.words() {
                Some(words) => format!("All of them together: {words}."),
                None => "All of them together bring in no other flag.".to_owned(),
            },
        };
        note(ui, words);
    }
}

/// Floors that the seasons move more than joints could take.
fn beyond(ui: &mut Ui, facts: &Facts<'_>) {
    let Some(house) = facts.house else { return };
    let count = house.fit.movement.as_ref().map_or(0, |movement| movement.beyond.len());
    if count == 0 {
        return;
    }
    heading(ui, "Where joints do not help");
    for words in house.beyond_joints(LISTED) {
        note(ui, words);
    }
    if count > LISTED {
        note(ui, format!("and {} more", count - LISTED));
    }
}

fn put_in(joint: MovementJoint, plan: &Plan, actions: &mut Actions) {
    let index = plan.joints.len();
    if let Some(span) = Span::of([joint.from, joint.to]) {
        actions.push(Action::Show(span.centre()));
    }
    actions.edit("put in movement joint", move |plan| plan.joints.push(joint));
    actions.select(Selected::Joint(index));
}

/// What a proposal does: `width 9 080 becomes 5 005 of 8 000`.
fn relief(proposal: &Proposal, units: plan::Units) -> String {
    let what = if proposal.along_rows { "width" } else { "length" };
    let figure = |mm: f64| names::tape(mm, units);
    format!(
        "{what} {} becomes {} of {}; the joint is {} long",
        figure(proposal.before),
        figure(proposal.after),
        figure(proposal.limit),
        figure(proposal.length)
    )
}

fn wood(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    heading(ui, "Wood");
    let Some(wood) = plan.stock.wood else {
        if act(ui, "say what the boards are made of").clicked() {
            actions.edit("name wood", |plan| plan.stock.wood = Some(Wood::default()));
        }
        return;
    };
    with(ui, "Face", |ui| {
        let words = Species::ALL.map(Species::word);
        if let Some(species) = choose(ui, "species of the face", wood.species.word(), &words) {
            let wood = Wood { species: Species::ALL[species], ..wood };
            actions.edit("change wood", move |plan| plan.stock.wood = Some(wood));
        }
    });
    with(ui, "Built", |ui| {
        let stated = match wood.construction {
            Construction::Stated(percent) => percent,
            // The published figure of a multilayer board, to be typed over.
            _ => 0.03,
        };
        let all = [
            Construction::Multilayer,
            Construction::FlatSawn,
            Construction::QuarterSawn,
            Construction::Stated(stated),
        ];
        let words = all.map(Construction::word);
        if let Some(built) = choose(ui, "how the boards are built", wood.construction.word(), &words) {
            let wood = Wood { construction: all[built], ..wood };
            actions.edit("change wood", move |plan| plan.stock.wood = Some(wood));
        }
    });
    if let Construction::Stated(percent) = wood.construction {
        with(ui, "Change of width, % for each % of moisture", |ui| {
            if let Some(percent) = field::number(ui, "the maker's percent of the width", percent) {
                let wood = Wood { construction: Construction::Stated(percent), ..wood };
                actions.edit("change wood", move |plan| plan.stock.wood = Some(wood));
            }
        });
    }
    with(ui, "Held back by the adhesive, %", |ui| {
        let shown = (wood.held_back * 1000.0).round() / 10.0;
        if let Some(percent) = field::number(ui, "share held back by the adhesive", shown) {
            let wood = Wood { held_back: percent / 100.0, ..wood };
            actions.edit("change wood", move |plan| plan.stock.wood = Some(wood));
        }
    });
    note(ui, "0 where it lies loose. What adhesive holds back is an assumption, not a measured figure.");
    if act(ui, "forget the wood").clicked() {
        actions.edit("forget wood", |plan| plan.stock.wood = None);
    }
}

/// A season: its words, its climate, and how that is changed.
type Season = (&'static str, Climate, fn(&mut Seasons, Climate));

fn air(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    heading(ui, "Air, °C · % humidity");
    let Some(air) = plan.air else {
        if act(ui, "say what the air is like").clicked() {
            actions.edit("name air", |plan| plan.air = Some(Seasons::default()));
        }
        return;
    };
    let seasons: [Season; 3] = [
        ("As laid", air.laid, |air, climate| air.laid = climate),
        ("Driest", air.driest, |air, climate| air.driest = climate),
        ("Dampest", air.dampest, |air, climate| air.dampest = climate),
    ];
    for (label, climate, set) in seasons {
        ui.push_id(label, |ui| {
            let mut put = |climate: Climate| {
                let mut air = air;
                set(&mut air, climate);
                actions.edit("change air", move |plan| plan.air = Some(air));
            };
            match climate {
                Climate::Air { degrees, humidity } => with_several(ui, label, |ui| {
                    if let Some(degrees) = field::number(ui, &format!("temperature, {label}"), degrees) {
                        put(Climate::Air { degrees, humidity });
                    }
                    if let Some(humidity) = field::number(ui, &format!("humidity, {label}"), humidity) {
                        put(Climate::Air { degrees, humidity });
                    }
                    if act(ui, "by meter")
                        .on_hover_text("Type the wood's moisture as a meter reads it")
                        .clicked()
                    {
                        let read = (::fit::equilibrium(degrees, humidity) * 10.0).round() / 10.0;
                        put(Climate::Moisture(read));
                    }
                }),
                Climate::Moisture(percent) => with_several(ui, &format!("{label}, % in the wood"), |ui| {
                    if let Some(percent) = field::number(ui, &format!("moisture, {label}"), percent) {
                        put(Climate::Moisture(percent));
                    }
                    if act(ui, "by the air").clicked() {
                        put(Climate::Air { degrees: 20.0, humidity: 50.0 });
                    }
                }),
            }
        });
    }
    if act(ui, "forget the air").clicked() {
        actions.edit("forget air", |plan| plan.air = None);
    }
}

fn seasons(ui: &mut Ui, house: &House, movement: &Movement, actions: &mut Actions) {
    let moisture = &movement.moisture;
    heading(ui, "What the seasons do");
    line(
        ui,
        "Moisture of the wood, laid",
        format!("{:.1} %, from {:.1} to {:.1}", moisture.laid, moisture.driest, moisture.dampest),
    );
    let units = house.plan.units;
    let tenth = |mm: f64| names::length((mm * 10.0).round() / 10.0, units);
    let c = &movement.coefficients;
    let per = |part: f64| format!("{:.2} mm a metre for each %", part * 1000.0);
    line(ui, "Its face alone, free", per(c.free));
    line(ui, "As it is built", per(c.built));
    if c.held_back > 0.0 {
        line(ui, "As the adhesive lets it", per(c.built * (1.0 - c.held_back)));
        line(
            ui,
            "Joints between boards open by",
            format!("{} of {}", tenth(movement.opening), tenth(movement.greatest_opening)),
        );
    }
    line(ui, "Along them", per(c.along)).on_hover_text(::fit::ALONG_SOURCE);
    for (title, stretches) in [("Across the boards", &movement.widths), ("Along them", &movement.lengths)] {
        heading(ui, title);
        for stretch in stretches {
            stretch_line(ui, house, stretch, actions);
        }
    }
    note(
        ui,
        "Wood takes weeks to follow the air. Local codes and the makers' sheets for boards and adhesive come first.",
    );
}

fn stretch_line(ui: &mut Ui, house: &House, stretch: &Stretch, actions: &mut Actions) {
    let plan = &house.plan;
    let tenth = |mm: f64| names::length((mm * 10.0).round() / 10.0, plan.units);
    let middle = site::Uv::new(
        f64::midpoint(stretch.from.u, stretch.to.u),
        f64::midpoint(stretch.from.v, stretch.to.v),
    );
    let at = house.site.frame.plan_from_row(middle);
    let place = plan.place_at(at).unwrap_or("the floor");
    let figure = match stretch.left() {
        Some(left) if left < -0.05 => format!("{} too little", tenth(-left)),
        Some(left) => format!("{} to spare", tenth(left)),
        None => "no bound".to_owned(),
    };
    let name = format!("{place}, {}", names::tape(stretch.extent, plan.units));
    if super::measure::item(ui, &name, &figure, false) {
        actions.push(Action::Show(at));
    }
    let ends: Vec<String> = stretch.ends.iter().map(|end| end.source.name(plan)).collect();
    let published = stretch.published_gap();
    let room = stretch
        .room()
        .map_or_else(|| "an end without a bound".to_owned(), |room| format!("{} of gap", tenth(room)));
    note(
        ui,
        format!(
            "swells {}, shrinks {}, against {room}: {} to {}; published for each gap {} ({})",
            tenth(stretch.swells.expected),
            tenth(stretch.shrinks.expected),
            ends[0],
            ends[1],
            published.words(tenth),
            published.source
        ),
    );
}

/// A joint's figures, for its card.
pub(crate) fn joint_figures(
    ui: &mut Ui,
    plan: &Plan,
    house: Option<&House>,
    index: usize,
    actions: &mut Actions,
) {
    let Some(joint) = plan.joints.get(index) else { return };
    with(ui, "Name", |ui| {
        if let Some(name) = field::loose_words(ui, "name of the joint", &joint.name, 150.0) {
            actions.edit("rename joint", move |plan| plan.joints[index].name = name);
        }
    });
    let is_loose = !plan.is_pinned(&plan::Place::Joint(index));
    ui.add_enabled_ui(is_loose, |ui| joint_place(ui, plan, index, actions));
    if let Some((house, laid)) = house.and_then(|house| Some((house, house.fit.joints.get(index)?))) {
        note(ui, lies(house, laid));
    }
}

/// How wide a joint is and where it runs.
fn joint_place(ui: &mut Ui, plan: &Plan, index: usize, actions: &mut Actions) {
    let Some(joint) = plan.joints.get(index) else { return };
    with(ui, "Width", |ui| {
        if let Some(width) = field::length(ui, "width of the joint", joint.width, plan.units) {
            actions.try_edit("width of joint", move |plan| edit::set_joint_width(plan, index, width));
        }
    });
    let ends: [(&str, bool, plan::Point); 2] =
        [("From, x · y", true, joint.from), ("To, x · y", false, joint.to)];
    for (label, is_start, end) in ends {
        with_several(ui, label, |ui| {
            let name =
                |axis: &str| format!("{} of the joint, {axis}", if is_start { "start" } else { "end" });
            if let Some(x) = field::length(ui, &name("x"), end.x, plan.units) {
                let to = plan::Point::new(x, end.y);
                actions.try_edit("move joint", move |plan| edit::move_joint_end(plan, index, is_start, to));
            }
            if let Some(y) = field::length(ui, &name("y"), end.y, plan.units) {
                let to = plan::Point::new(end.x, y);
                actions.try_edit("move joint", move |plan| edit::move_joint_end(plan, index, is_start, to));
            }
        });
    }
}

/// How a joint lies, in a sentence.
fn lies(house: &House, laid: &JointLaid) -> String {
    let figure = |mm: f64| names::tape(mm, house.plan.units);
    if laid.stretches.is_empty() {
        return "It lies on no boards.".into();
    }
    let how = match (laid.above_row, laid.along_rows) {
        (Some(row), _) => format!(
            "It lies after row {}, {} from where it is drawn; whole boards on both sides, the next rows moved on.",
            house.floor.row_name(laid.region.unwrap_or(0), row),
            figure(laid.moved.abs())
        ),
        (None, true) => "No row line is free for it here, so boards are ripped along it.".to_owned(),
        (None, false) => "It lies across the rows.".to_owned(),
    };
    let ends = if laid.open_ends.is_empty() { "" } else { " It ends in the floor: draw it on to an edge." };
    format!("{} long. {how}{ends}", figure(laid.length))
}
