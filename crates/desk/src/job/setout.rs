//! Set out: the rows' direction, the start line, its pulls and what it leaves.

use super::Facts;
use super::parts::{act, fold, heading, line, long, note, with, with_several};
use crate::action::Actions;
use crate::command::Command;
use crate::field;
use crate::names;
use crate::reckon::Reckoned;
use egui::{Context, Ui};
use pipeline::House;
use plan::{OwnLine, Plan, StartLine};
use setout::Advice;
use std::sync::Arc;

pub(super) fn state(facts: &Facts<'_>) -> String {
    let Some(house) = facts.house else { return "waits for a room".into() };
    let edges = names::count(house.setout.chosen.rips.len(), "edge", "edges");
    let which = match facts.plan.start_line {
        StartLine::Best => "best line",
        StartLine::At(_) => "line by hand",
        StartLine::Safest => "safest line",
    };
    format!("{which}, {edges} valued")
}

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, directions: &mut Directions, actions: &mut Actions) {
    let (plan, units) = (facts.plan, facts.plan.units);
    let word = if ui.available_width() < 290.0 { "Rows" } else { "Rows run at" };
    with_several(ui, word, |ui| {
        for (angle, word) in [(0.0, "across"), (90.0, "up")] {
            if ui.selectable_label(plan.rows_at == angle, word).clicked() {
                actions.edit("turn the rows", move |plan| plan.rows_at = angle);
            }
        }
        if let Some(angle) = field::number(ui, "direction of the rows, degrees", plan.rows_at) {
            actions.edit("turn the rows", move |plan| plan.rows_at = half_turn(angle));
        }
        ui.label("°");
    });
    let Some(house) = facts.house else {
        note(ui, "Draw a boarded room to see where the start line goes.");
        return;
    };
    // Named by the floor's own plan, which may not be the one on the table.
    let setout = &house.setout;
    if let Some(snap) = &setout.line {
        if snap.pulls.is_empty() {
            note(
                ui,
                "No corner is in reach of a tape: set the line by the rip to expect at a wall beside it, its gap included.",
            );
        }
        for pull in &snap.pulls {
            let room = house.plan.rooms.get(pull.room).map_or("", |room| room.name.as_str());
            line(
                ui,
                &format!("Pull {} from {room}, corner {}", pull.letter, pull.wall + 1),
                names::tape(pull.distance, units),
            )
            .on_hover_text(
                "A pull is a tape measure from a corner, square to the start line; two of them snap it",
            );
        }
        if let Some(check) = &snap.check {
            let room = house.plan.rooms.get(check.room).map_or("", |room| room.name.as_str());
            line(
                ui,
                &format!("Check {} from {room}, corner {}", check.letter, check.wall + 1),
                names::tape(check.distance, units),
            )
            .on_hover_text("A third pull: if it does not agree, snap the line again");
        }
        points(ui, facts, house);
        let rip = snap.first_rip.and_then(|rip| setout.chosen.rips.get(rip));
        if let Some(first) = rip.filter(|_| setout.points.is_some()) {
            line(ui, "First pieces", names::length(round_tenth(first.least), units))
                .on_hover_text("How far the smallest pieces reach in from the wall the line is pulled from");
        } else if let Some(first) = rip {
            let fence = setout.fence(first, &setout.chosen.rips, units);
            let words = format!("First rip, at {}", first.source.name(&house.plan));
            line(ui, &words, fence.kept).on_hover_text(
                "A rip is the width kept of a board sawn along its length; the first rip is the one along the wall that the line is pulled from",
            );
            if let Some(whole) = fence.whole_wall {
                line(ui, "along the whole of that wall", whole).on_hover_text(
                    "Other stretches of the wall leave another rip; the ring at the wall holds them all",
                );
            }
            line(ui, "Taken off", fence.off.unwrap_or_else(|| "nothing, a whole board".to_owned()))
                .on_hover_text("What is sawn away, kerf and all: rip and taken off make a board");
        }
    }
    let is_short = setout.chosen.rips.iter().any(|rip| rip.seen < setout.least - 1e-6);
    let safe = match is_short {
        true => format!("No other rip under {} within", names::length(setout.least, units)),
        false => "Safe if the line is out by".to_owned(),
    };
    // A line that boards lie from is snapped no more, and where no rip hangs on it, it may lie anywhere.
    if setout.hangs_on_line() {
        line(ui, &safe, format!("± {}", names::length(round_tenth(setout.chosen.safe_by), units)))
            .on_hover_text("So far may the line be out before another edge ends in a rip under the least");
    }
    if let Some(made) = facts.gaps {
        long(ui, "gaps to leave", made.value.len(), 24.0, None, |ui, index| {
            let gap = &made.value[index];
            let what = format!("Gap to leave at {}", gap.source.name(&made.house.plan));
            line(ui, &what, gap.words(|mm| names::length(mm, units))).on_hover_text(format!(
                "Wider than its least, {}, within its play: so no strip is left beside a whole board",
                names::length(gap.least, units)
            ));
        });
    }
    ui.add_space(4.0);
    why(ui, facts);
    ui.horizontal_wrapped(|ui| {
        if act(ui, "use the best line").on_hover_text(Command::BestLine.tooltip(ui.ctx())).clicked() {
            actions.run(Command::BestLine);
        }
        if setout.runner_up.is_some() && act(ui, "use the runner-up").clicked() {
            actions.run(Command::RunnerUp);
        }
        if act(ui, "use the safest").on_hover_text(Command::SafestLine.tooltip(ui.ctx())).clicked() {
            actions.run(Command::SafestLine);
        }
    });
    own_lines(ui, facts, house, actions);
    if let Some(made) = facts.advice {
        control_lines(ui, &made.house, &made.value);
        widths(ui, facts, &made.value);
    }
    directions.show(ui, facts, house, actions);
}

/// How the points of a pattern are marked on the line.
fn points(ui: &mut Ui, facts: &Facts<'_>, house: &House) {
    let Some(points) = &house.setout.points else { return };
    let (plan, units) = (&house.plan, facts.plan.units);
    for (mark, what) in [(points.first, "First point"), (points.last, "Last point")] {
        let Some(mark) = mark else { continue };
        let label = format!("{what} {} from {}", mark.letter, mark.source.name(plan));
        line(ui, &label, names::tape(mark.distance, units)).on_hover_text(
            "Along the line from the wall's face: the tip of chevron, the middle of a right-hand block's forward end in herringbone; the last one is the check",
        );
    }
    if let Some(rip) = points.ends.rips.iter().min_by(|a, b| a.least.total_cmp(&b.least)) {
        line(ui, "Smallest across the axis", names::length(round_tenth(rip.least), units))
            .on_hover_text(format!("How far the smallest pieces reach in at {}", rip.source.name(plan)));
    }
}

/// Why this line: what it leaves, what another would do instead, and what to be careful about.
fn why(ui: &mut Ui, facts: &Facts<'_>) {
    let Some(made) = facts.advice else { return };
    let advice = &made.value;
    for sentence in advice.why.sentences().into_iter().filter(|sentence| !sentence.is_empty()) {
        note(ui, sentence);
    }
    let units = facts.plan.units;
    if let Some(stands) = advice.robust.stands.filter(|_| made.house.setout.line.is_some()) {
        // The sentence above gives the same figure.
        line(ui, "Every length may be out by", setout::format_error(stands, units)).on_hover_text(
            "With every measured length wrong by less than this, no rip that is wide enough falls under the least",
        );
    }
}

/// Floors past a trim: the shared line carried on, or one of their own.
fn own_lines(ui: &mut Ui, facts: &Facts<'_>, house: &House, actions: &mut Actions) {
    if house.setout.regions.is_empty() {
        return;
    }
    heading(ui, "Past a trim or a leaf");
    let regions = &house.setout.regions;
    long(ui, "lines of their own", regions.len(), 68.0, None, |ui, index| {
        let choice = &regions[index];
        let Some(name) = choice.rooms.first().and_then(|room| facts.plan.rooms.get(*room)) else { return };
        let (room, units) = (name.name.clone(), facts.plan.units);
        let figure = |mm: f64| names::length(round_tenth(mm), units);
        let costs = format!(
            "the rows carried on leave {}, a line of its own {}, its rows then {} out of line",
            figure(choice.shared.narrowest),
            figure(choice.own.narrowest),
            figure(choice.out_of_line)
        );
        let is_named = |own: &OwnLine| {
            let mut rooms = choice.rooms.iter().filter_map(|room| facts.plan.rooms.get(*room));
            rooms.any(|room| room.name == own.room)
        };
        if choice.has_own && choice.line.is_none() && !facts.plan.own_lines.iter().any(is_named) {
            let letter =
                facts.house.map_or("", |house| house.floor.letter(house.site.region_of(choice.region)));
            let name = if letter.is_empty() { "" } else { &format!("; {letter} stands before its number") };
            note(ui, format!("{room}: one row, put in by its wall; no line is snapped there{name}"));
            return;
        }
        ui.push_id(choice.region, |ui| {
            with(ui, &room, |ui| {
                let word = if choice.has_own { "carry the rows on" } else { "give it its own line" };
                if act(ui, word).clicked() {
                    let rooms: Vec<String> = choice
                        .rooms
                        .iter()
                        .filter_map(|room| facts.plan.rooms.get(*room).map(|room| room.name.clone()))
                        .collect();
                    let has_own = choice.has_own;
                    actions.edit(format!("line of {room}"), move |plan| {
                        plan.own_lines.retain(|own| !rooms.contains(&own.room));
                        if !has_own && let Some(room) = rooms.into_iter().next() {
                            plan.own_lines.push(OwnLine { room, line: StartLine::Best });
                        }
                    });
                }
            });
            note(ui, costs);
            if let Some(line) = choice.line.as_ref().filter(|_| choice.has_own) {
                let pulls = line.pulls.iter().chain(&line.check).map(|pull| {
                    let room = facts.plan.rooms.get(pull.room).map_or("", |room| room.name.as_str());
                    format!("{} from {room}, corner {}", names::tape(pull.distance, units), pull.wall + 1)
                });
                note(ui, format!("pull {}", pulls.collect::<Vec<_>>().join(", ")));
                if let Some(letter) =
                    facts.house.map(|house| house.floor.letter(house.site.region_of(choice.region)))
                    && !letter.is_empty()
                {
                    note(ui, format!("{letter} stands before the numbers of its rows"));
                }
            }
        });
    });
}

/// The line snapped again in every room and beside what rows go round.
fn control_lines(ui: &mut Ui, house: &House, advice: &Advice) {
    if advice.control.is_empty() {
        return;
    }
    ui.add_space(4.0);
    fold(ui, "control lines", &format!("Control lines, {}", advice.control.len()), |ui| {
        for control in &advice.control {
            let rows = match control.rows {
                0 => "the line itself".to_owned(),
                rows => {
                    names::count(rows.unsigned_abs() as usize, "row", "rows")
                        + if rows > 0 { " up" } else { " down" }
                }
            };
            line(ui, &control.place.name(&house.plan, &house.surveyed), rows);
            for pull in &control.pulls {
                let room = house.plan.rooms.get(pull.room).map_or("", |room| room.name.as_str());
                let length = names::tape(pull.distance, house.plan.units);
                note(ui, format!("{length} from {room}, corner {}", pull.wall + 1));
            }
            let figure = |mm: f64| names::tape(mm, house.plan.units);
            if let Some(how) = control.second_point(&house.plan, &house.surveyed, &house.setout, figure) {
                note(ui, how);
            }
        }
    });
}

/// What boards off their width would do.
fn widths(ui: &mut Ui, facts: &Facts<'_>, advice: &Advice) {
    let (units, width) = (facts.plan.units, &advice.width);
    let figure = |mm: f64| names::length((mm * 100.0).round() / 100.0, units);
    let ends = (width.range.least.map(|(mm, _)| figure(mm)), width.range.greatest.map(|(mm, _)| figure(mm)));
    let words = match ends {
        (Some(least), Some(greatest)) => format!("{least} to {greatest}"),
        (Some(least), None) => format!("{least} or wider"),
        (None, Some(greatest)) => format!("{greatest} or narrower"),
        (None, None) => return,
    };
    line(ui, "Boards may measure", words).on_hover_text(
        "Each row adds its board's error; outside this range a rip that is wide enough falls under the least",
    );
}

/// The directions of the rows compared: asked for by hand, since every one is laid through.
#[derive(Default)]
pub(crate) struct Directions {
    /// The plan for which they were asked last.
    asked: Option<Arc<Plan>>,
    compared: Reckoned<Arc<Plan>, Vec<pipeline::Direction>>,
}

impl Directions {
    /// Compares them where that was asked for, off the window's thread.
    pub(crate) fn keep_up(&mut self, house: Option<&Arc<House>>, at_once: bool, ctx: &Context) {
        self.compared.poll();
        let Some((asked, house)) = self.asked.clone().zip(house.cloned()) else { return };
        if *asked != house.plan {
            // Another floor lies on the table: nobody waits for this any more.
            self.asked = None;
            self.compared.stop();
            return;
        }
        self.compared.ask(asked, at_once, ctx, move |watch| {
            // The search is left out: what parts directions is far more than it gains.
            let quick = House { plan: Plan { effort: 0, ..house.plan.clone() }, ..House::clone(&house) };
            pipeline::directions_while(&quick, &[], &|done, of| watch.goes_on(done, of))?.ok()
        });
    }

    fn show(&mut self, ui: &mut Ui, facts: &Facts<'_>, house: &House, actions: &mut Actions) {
        heading(ui, "Directions of the rows");
        if let Some((done, of)) = self.compared.progress() {
            ui.horizontal_wrapped(|ui| {
                note(ui, format!("laying the floor each way: {done} of {of}"));
                if act(ui, "stop").clicked() {
                    self.compared.stop();
                }
            });
            return;
        }
        let known = self.compared.known().filter(|(plan, _)| **plan == house.plan);
        let Some((plan, all)) = known else {
            if act(ui, "compare them").clicked() {
                self.asked = Some(Arc::new(house.plan.clone()));
                self.compared.try_again();
                ui.ctx().request_repaint();
            }
            return;
        };
        let units = plan.units;
        egui::Grid::new("directions").num_columns(5).spacing([10.0, 4.0]).striped(true).show(ui, |ui| {
            for word in ["", "narrowest", "boards", "faults", ""] {
                ui.weak(word);
            }
            ui.end_row();
            for direction in all {
                let reasons: Vec<String> =
                    direction.reasons.iter().map(|reason| reason.words(plan)).collect();
                ui.label(format!("{}°", (direction.angle * 10.0).round() / 10.0))
                    .on_hover_text(reasons.join(", "));
                ui.label(direction.narrowest.map_or("–".into(), |mm| names::length(round_tenth(mm), units)));
                ui.label(direction.opened.to_string());
                ui.label(direction.faults.to_string());
                let angle = direction.angle;
                if (angle - facts.plan.rows_at).abs() > 1e-9 && act(ui, "use").clicked() {
                    actions.edit("turn the rows", move |plan| plan.rows_at = half_turn(angle));
                }
                ui.end_row();
            }
        });
        // In words: the job is too narrow for two columns more.
        let line_out = setout::line_out(plan);
        for direction in all {
            let reasons: Vec<String> = direction.reasons.iter().map(|reason| reason.words(plan)).collect();
            let [drawn, out] =
                [direction.short_as_drawn, direction.short_length].map(|short| names::tape(short, units));
            note(
                ui,
                format!(
                    "{}°: {} {drawn}, {line_out} {out}; {}",
                    (direction.angle * 10.0).round() / 10.0,
                    setout::UNDER_LEAST,
                    reasons.join(", ")
                ),
            );
        }
    }
}

fn round_tenth(mm: f64) -> f64 {
    (mm * 10.0).round() / 10.0
}

/// The same direction in -90..=90: rows have no head.
fn half_turn(degrees: f64) -> f64 {
    let turned = degrees.rem_euclid(180.0);
    if turned > 90.0 { turned - 180.0 } else { turned }
}

#[cfg(test)]
mod tests {
    #[test]
    fn rows_have_no_head() {
        for (typed, stored) in [(0.0, 0.0), (90.0, 90.0), (-90.0, 90.0), (135.0, -45.0), (725.0, 5.0)] {
            assert_eq!(super::half_turn(typed), stored);
        }
    }
}
