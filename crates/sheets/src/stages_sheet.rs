//! Stages: the floor with each stage hatched, the day plan with boxes, what each stage takes, and where stages meet.

use crate::Paper;
use crate::bound::{List, Sheaf};
use crate::floor_sheet::{fitted_either, scale_bar};
use crate::flow::{self, Flow, tick_box};
use crate::page::{Page, Type};
use crate::paper::{LEFT, MARGIN};
use crate::told::Told;
use drawing::{Anchor, Options, Rgb};
use order::{DayStep, StagePart, StagePlan, StepKind};
use pipeline::House;

/// The day plan, then the stages on the floor; none for a plan without stages.
pub(crate) fn stages_sheet<'a>(house: &'a Told<'_>, paper: Paper) -> Sheaf<'a> {
    let all = house.stages();
    if all.stages.is_empty() {
        return Sheaf::default();
    }
    let drawings = vec![floor_page(house, &all, paper)];
    let list = List::new("Day plan", "every day is a working day here", move |flow| {
        let note = "Waits are the makers': their sheets and local code come first. Keep off what is wet; fresh air, gloves, no \
                flame while coatings and adhesive cure.";
        flow.paragraph(note, Type::plain(3.4));
        if let Some(words) = all.work_words() {
            flow.paragraph(words, Type::plain(3.4));
        }
        for caution in &all.cautions {
            flow.gap(0.8);
            flow.paragraph(&format!("! {}", capital(caution)), Type::bold(3.8));
        }
        put_days(flow, house, &all);
        for (place, part) in all.stages.iter().enumerate() {
            put_stage(flow, house, &all, place, part);
        }
        if !all.unstaged.is_empty() {
            let rooms: Vec<&str> =
                all.unstaged.iter().map(|room| house.plan.rooms[*room].name.as_str()).collect();
            flow.gap(2.0);
            flow.paragraph(&format!("In no stage: {}.", rooms.join(", ")), Type::plain(3.8));
        }
        if !all.boundaries.is_empty() {
            flow.heading("Where stages meet");
            for boundary in &all.boundaries {
                let names = [boundary.first, boundary.next].map(|place| house.stage_name(&all, place));
                let head = format!("{}: from {} to {}", boundary.place, names[0], names[1]);
                flow.paragraph(&head, Type::bold(4.2));
                for sentence in house.boundary_words(&all, boundary) {
                    flow.paragraph(&sentence, Type::plain(3.8));
                }
                flow.gap(2.0);
            }
        }
    });
    Sheaf { list: Some(list), drawings }
}

fn floor_page(house: &Told<'_>, all: &StagePlan, paper: Paper) -> Page {
    let options = |scale, units| Options {
        flags: false,
        dimensions: false,
        start_line: true,
        stages: true,
        ..Options::laying(scale, units)
    };
    let (short, long) = paper.size();
    let foot = flow::FOOT + 7.0;
    let area = |w: f64, h: f64| (w - LEFT - MARGIN, h - MARGIN - flow::HEAD - foot);
    let (plan, stands) = fitted_either(house, area(long, short), area(short, long), options);
    let (width, height) = if stands { (short, long) } else { (long, short) };
    let mut page = Page::new(width, height, "Stages");
    page.sheets.push(("Stages".into(), 0.0));
    page.scale = Some(plan.scale_name());
    let names: Vec<String> = (0..all.stages.len())
        .map(|place| format!("{} {}, day {}", place + 1, house.stage_name(all, place), all.stages[place].day))
        .collect();
    crate::page_head::head(&mut page, &names.join(" · "));
    let (room_w, room_h) = area(width, height);
    let x = LEFT + (room_w - plan.extent.width()) / 2.0;
    let y = MARGIN + flow::HEAD + (room_h - plan.extent.height()) / 2.0;
    page.figure("The floor, a hatch for each stage".into(), plan.marks_at(x, y));
    let note = "One hatch a stage. A board through a doorway is laid with the stage that comes first.";
    let kind = Type::quiet(3.2);
    // Bar and note share a line: on a standing page the bar is the shorter.
    let room = (width - LEFT - MARGIN - kind.width(note) - 14.0).min(80.0);
    scale_bar(&mut page, house, plan.scale, (LEFT + 2.0, height - foot + 3.0), room);
    page.write_as(note, width - MARGIN, height - foot + 3.0, kind, Anchor::End);
    page
}

/// One line a step, the day once.
fn put_days(flow: &mut Flow, house: &House, all: &StagePlan) {
    flow.heading("Days");
    flow.table(&[]);
    let mut last = None;
    for step in &all.steps {
        put_step(flow, house, all, step, (last != Some(step.day), last.is_some()));
        last = Some(step.day);
    }
}

fn put_step(
    flow: &mut Flow,
    house: &House,
    all: &StagePlan,
    step: &DayStep,
    (with_day, with_rule): (bool, bool),
) {
    const BOX: f64 = 24.0;
    const WHAT: f64 = 32.0;
    let kind = if step.kind == StepKind::Lay { Type::bold(4.2) } else { Type::plain(3.9) };
    let what = format!("{}: {}", house.stage_name(all, step.stage), step.words());
    let hours = all.stages.get(step.stage).and_then(|part| house.plan.stages[part.stage].hours);
    let what = match (step.kind, hours) {
        (StepKind::Lay, Some(hours)) => format!("{what}, {hours} h"),
        _ => what,
    };
    let room = flow.width() - WHAT;
    let lines = kind.wrapped(&what, room);
    let times = Type::quiet(3.4).wrapped(&step.time_words(), room);
    let top = flow.take(3.6 + 4.8 * (lines.len() + times.len()) as f64);
    let (x, right, row) = (flow.x(), flow.right(), flow.row());
    let page = flow.page();
    if with_day && with_rule {
        page.line((x, top + 0.4), (right, top + 0.4), 0.25, Rgb::INK);
    }
    if with_day {
        page.begin(row.head(0));
        page.write(&format!("Day {}", step.day), x, top + 5.4, Type::bold(4.6));
    }
    tick_box(page, x + BOX, top + 1.6);
    let mut y = top + 5.2;
    page.begin(row.cell(1));
    for line in &lines {
        page.write(line, x + WHAT, y, kind);
        y += 4.8;
    }
    page.begin(row.cell(2));
    for line in &times {
        page.write(line, x + WHAT, y, Type::quiet(3.4));
        y += 4.8;
    }
}

fn put_stage(flow: &mut Flow, house: &House, all: &StagePlan, place: usize, part: &StagePart) {
    flow.heading(&format!("{}. {}, day {}", place + 1, house.stage_name(all, place), part.day));
    let rooms: Vec<&str> = part.rooms.iter().map(|room| house.plan.rooms[*room].name.as_str()).collect();
    let plain = Type::plain(3.8);
    flow.paragraph(&rooms.join(", "), plain);
    let boards = crate::words::count(part.boards.len(), "board");
    flow.paragraph(
        &format!(
            "{boards}, {}. Opened for it: {}, {}.",
            plan::format_area(part.area * 1e6, house.plan.units),
            part.opened_words(&house.plan),
            part.pack_words()
        ),
        plain,
    );
    flow.paragraph(&format!("Carry in and open {}.", part.carry_words()), plain);
    let lines = part.materials.lines.iter();
    let materials: Vec<String> =
        lines.map(|line| format!("{}: {}", capital(&line.title()), line.quantity_words())).collect();
    if !materials.is_empty() {
        flow.paragraph(&format!("{}.", materials.join("; ")), plain);
    }
    flow.paragraph(&format!("{}.", part.protection_words(&house.plan)), plain);
    if !part.materials.lines.is_empty() {
        flow.paragraph("Packs are counted for the whole house, on the sheet of materials.", Type::quiet(3.4));
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Mark, font, page::Part};

    #[test]
    fn the_bar_under_the_stages_keeps_clear_of_the_note() {
        let plan =
            plan::read(include_str!("../../../sample-plans/tern-point.ron")).expect("the sample reads");
        let house = pipeline::run(&plan).expect("the sample is sound");
        for paper in [Paper::A4, Paper::Letter, Paper::A3] {
            let told = Told::new(&house);
            let pages = stages_sheet(&told, paper).drawings;
            let page = pages.first().expect("a page");
            let beside = || page.by_parts().filter(|(part, _)| !matches!(part, Part::Figure(_)));
            let note = beside().flat_map(|(_, marks)| marks).find_map(|mark| match mark {
                Mark::Text { text, at, size, .. } if text.starts_with("One hatch") => {
                    Some(at.x - font::width(text, *size, false))
                }
                _ => None,
            });
            let note = note.expect("a note");
            let paths =
                beside().flat_map(|(_, marks)| marks).filter(|mark| matches!(mark, Mark::Path { .. }));
            let bar = paths.map(|mark| mark.bounds().x1).fold(0.0, f64::max);
            assert!(bar > LEFT && bar + 4.0 < note, "{paper:?}: bar to {bar}, note from {note}");
        }
    }
}
