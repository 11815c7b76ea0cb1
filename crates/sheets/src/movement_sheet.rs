//! The movement sheet: joints to be left open, and what the seasons do to the floor against its gaps.

use crate::bound::List;
use crate::flow::{Flow, tick_box};
use crate::page::Type;
use crate::words::{corner_of, figure, setting};
use drawing::Rgb;
use fit::{Change, JointLaid, Movement, Stretch};
use pipeline::House;
use plan::Units;
use site::Source;

/// Height of one joint, mm.
const JOINT: f64 = 13.5;
/// Height of one stretch, mm.
const STRETCH: f64 = 10.6;

/// Sets the page; none for a plan with neither joints nor wood and air.
pub(crate) fn movement_sheet(house: &House) -> Option<List<'_>> {
    let laid: Vec<&JointLaid> = house.fit.joints.iter().filter(|joint| !joint.stretches.is_empty()).collect();
    if laid.is_empty() && house.fit.movement.is_none() {
        return None;
    }
    Some(List::new("Movement", &house.plan.name, move |flow| {
        if !laid.is_empty() {
            put_joints(flow, house, &laid);
        }
        if let Some(movement) = &house.fit.movement {
            put_seasons(flow, house, movement);
            put_beyond(flow, house);
            put_stretches(flow, house, "Across the boards, region by region", &movement.widths);
            put_stretches(flow, house, "Along the boards", &movement.lengths);
        }
    }))
}

fn put_joints(flow: &mut Flow, house: &House, laid: &[&JointLaid]) {
    flow.heading("Joints to leave open");
    let text = "Keep them free of adhesive, grit and tongues down to the slab; fill them last. Sealant and primer \
         give off solvent: air the room, gloves on; the maker's sheet comes first.";
    flow.paragraph(text, Type::plain(3.4));
    flow.gap(1.5);
    flow.table(&[]);
    for joint in laid {
        put_joint(flow, house, joint);
    }
    for line in &house.order.filler {
        flow.paragraph(&format!("Filler: {}", line.arithmetic(house.plan.units)), Type::plain(3.6));
    }
    if !house.order.filler.is_empty() {
        flow.paragraph("To the boards' full thickness; over a backing rod less.", Type::quiet(3.4));
    }
}

fn put_joint(flow: &mut Flow, house: &House, joint: &JointLaid) {
    let column = flow.width() * 0.34;
    let (kind, quiet, plain) = (Type::bold(4.4), Type::quiet(3.3), Type::bold(3.8));
    let names = kind.wrapped(&Source::Joint(joint.joint).name(&house.plan), column - 9.0);
    let size = format!("{} wide, {} long", figure(house, joint.width), figure(house, joint.length));
    let (what, note) = how(house, joint);
    let room = flow.width() - column;
    let (whats, notes) = (plain.wrapped(&what, room), quiet.wrapped(&note, room));
    let own = 5.0 * names.len() as f64 + 4.2;
    let beside = 5.0 * whats.len() as f64 + 4.2 * notes.len() as f64;
    let height = JOINT + (own.max(beside) - 9.2).max(0.0);
    let top = flow.take(height);
    let (x, right, row) = (flow.x(), flow.right(), flow.row());
    let page = flow.page();
    tick_box(page, x, top + 1.2);
    page.begin(row.head(0));
    let under = page.write_lines(&names, x + 7.0, top + 5.0, 5.0, kind);
    page.begin(row.cell(1));
    page.write(&size, x + 7.0, under - 0.4, quiet);
    page.begin(row.cell(2));
    let under = page.write_lines(&whats, x + column, top + 5.0, 5.0, plain);
    page.write_lines(&notes, x + column, under - 0.4, 4.2, quiet);
    page.line((x, top + height - 1.4), (right, top + height - 1.4), 0.18, Rgb::QUIET);
}

/// How a joint is found on the floor: by its row, or by its marks.
fn how(house: &House, joint: &JointLaid) -> (String, String) {
    let marks: Vec<String> = fit::joint_marks(&house.plan, &house.site, joint)
        .iter()
        .map(|mark| {
            let corner = corner_of(house, mark.room, mark.corner).replace("corner of walls", "walls");
            match mark.is_at_corner() {
                true => format!("at {corner}"),
                false => format!("{} from {corner}", figure(house, mark.distance)),
            }
        })
        .collect();
    let marked = match marks.is_empty() {
        // In a doorway its ends meet jambs, not walls.
        true => match fit::marks_in_words(&house.plan, &house.site, joint, |mm| figure(house, mm)).pop() {
            Some(jambs) => jambs,
            None => "no wall at its ends: measure it on the floor sheet".to_owned(),
        },
        false => format!("its middle {}", marks.join("; ")),
    };
    match (joint.above_row, joint.along_rows) {
        (Some(row), _) => (
            format!("After row {}, before the next", house.floor.row_name(joint.region.unwrap_or(0), row)),
            format!("whole boards on both sides, the next rows moved on by it; {marked}"),
        ),
        (None, true) => ("Rip the boards along it".into(), marked),
        (None, false) => ("Cut the boards' ends along it".into(), marked),
    }
}

fn put_seasons(flow: &mut Flow, house: &House, movement: &Movement) {
    let moisture = &movement.moisture;
    flow.heading("What the seasons do");
    flow.paragraph(
        &format!(
            "Moisture of the wood: laid at {:.1} %, driest {:.1} %, dampest {:.1} %.",
            moisture.laid, moisture.driest, moisture.dampest
        ),
        Type::plain(4.2),
    );
    let Some(wood) = house.plan.stock.wood else { return };
    let c = &movement.coefficients;
    let per_length = |part: f64| match house.plan.units {
        Units::Metric => format!("{:.2} mm", part * 1000.0),
        Units::FeetInches => format!("{:.3}\"", part * 120.0),
    };
    let over = match house.plan.units {
        Units::Metric => "a metre",
        Units::FeetInches => "over ten feet",
    };
    let text = format!(
        "Boards of {}, {}: for each percent {} {over} across ({}); the face's wood alone, free, {}. Along {} ({}).",
        wood.species.word(),
        wood.construction.word(),
        per_length(c.built),
        fit::source(&wood),
        per_length(c.free),
        per_length(c.along),
        fit::ALONG_SOURCE
    );
    flow.paragraph(&text, Type::plain(3.6));
    let held = match c.held_back > 0.0 {
        true => format!(
            "The adhesive is taken to hold back {:.0} % of it. That is an assumption; joints between boards then open by \
             {} at the driest, {} being the most.",
            c.held_back * 100.0,
            setting(house, movement.opening),
            setting(house, movement.greatest_opening)
        ),
        false => "It lies loose: nothing is taken to be held back, and the gaps at its edges open and close."
            .into(),
    };
    flow.paragraph(&held, Type::plain(3.6));
    let text = "Wood follows the air over weeks, and a finish slows it: these are the ends it moves between. \
         Let the packs take on the room's air before laying, as their maker says.";
    flow.paragraph(text, Type::quiet(3.4));
}

/// Floors that the seasons move more than joints could take.
fn put_beyond(flow: &mut Flow, house: &House) {
    let all = house.beyond_joints(usize::MAX);
    if all.is_empty() {
        return;
    }
    flow.heading("Where joints do not help");
    for words in all {
        flow.paragraph(&format!("{words}."), Type::plain(3.6));
    }
}

fn put_stretches(flow: &mut Flow, house: &House, heading: &str, stretches: &[Stretch]) {
    if stretches.is_empty() {
        return;
    }
    flow.heading(heading);
    flow.table(&[]);
    for stretch in stretches {
        let middle = site::Uv::new(
            f64::midpoint(stretch.from.u, stretch.to.u),
            f64::midpoint(stretch.from.v, stretch.to.v),
        );
        let place = house.plan.place_at(house.site.frame.plan_from_row(middle)).unwrap_or("the floor");
        let named: Vec<String> = stretch.ends.iter().map(|end| end.source.name(&house.plan)).collect();
        let all = |c: &Change| {
            format!(
                "{} ({} built, {} free)",
                setting(house, c.expected),
                setting(house, c.built),
                setting(house, c.free)
            )
        };
        let room = match stretch.room() {
            Some(room) => format!("gaps take {}", setting(house, room)),
            None => "no bound at an end".to_owned(),
        };
        let moves = format!(
            "swells {}; shrinks {}; {room}; published {}",
            all(&stretch.swells),
            setting(house, stretch.shrinks.expected),
            stretch.published_gap().words(|mm| setting(house, mm))
        );
        let (bold, quiet, plain) = (Type::bold(3.6), Type::quiet(3.3), Type::plain(3.4));
        let first = format!("{place}: {}", figure(house, stretch.extent));
        let after = bold.width(&first) + 3.0;
        let ends = format!("{} to {}", named[0], named[1]);
        // Beside the place, or under it where that has no room.
        let is_beside = after + quiet.width(&crate::page::clean(&ends)) <= flow.width();
        let ends = if is_beside { vec![ends] } else { quiet.wrapped(&ends, flow.width()) };
        let moves = plain.wrapped(&moves, flow.width());
        let under = if is_beside { 0.0 } else { 4.2 * ends.len() as f64 };
        let height = STRETCH + under + 4.4 * (moves.len().max(1) - 1) as f64;
        let top = flow.take(height);
        let (x, right, row) = (flow.x(), flow.right(), flow.row());
        let page = flow.page();
        page.begin(row.head(0));
        page.write(&first, x, top + 3.9, bold);
        page.begin(row.cell(1));
        let from = if is_beside { (x + after, top + 3.9) } else { (x, top + 8.1) };
        page.write_lines(&ends, from.0, from.1, 4.2, quiet);
        page.begin(row.cell(2));
        page.write_lines(&moves, x, top + 8.4 + under, 4.4, plain);
        page.line((x, top + height - 0.6), (right, top + height - 0.6), 0.18, Rgb::QUIET);
    }
    let bonded = stretches.iter().any(|stretch| stretch.is_bonded);
    let text = match bonded {
        true => "A bonded floor takes half at each end: the narrower gap counts twice.",
        false => "A loose floor may shift: both gaps count together.",
    };
    let source = stretches.first().map_or("", |stretch| stretch.published_gap().source);
    let text = format!(
        "{text} Published for the gap at each end ({source}); makers' sheets and local codes come first."
    );
    flow.paragraph(&text, Type::quiet(3.3));
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::{Mark, Paper};
    use plan::{Climate, MovementJoint, Plan, Point, Room, Seasons, StartLine, Wood};

    type Line = ((f64, f64), (f64, f64));

    fn house(joints: &[Line], is_known: bool) -> House {
        let mut plan = Plan::new("Barn");
        let corners = [(0.0, 0.0), (6000.0, 0.0), (6000.0, 9000.0), (0.0, 9000.0)];
        plan.rooms.push(Room::boarded("Barn", corners.map(Point::from)));
        plan.start_line = StartLine::At(110.0);
        plan.joints.extend(joints.iter().map(|(a, b)| MovementJoint::new((*a).into(), (*b).into())));
        if is_known {
            plan.stock.wood = Some(Wood { held_back: 0.5, ..Wood::default() });
            let at = Climate::Moisture;
            plan.air = Some(Seasons { laid: at(9.0), driest: at(6.0), dampest: at(12.0) });
        }
        pipeline::run(&plan).unwrap()
    }

    fn texts(house: &House) -> String {
        let pages = movement_sheet(house).map_or_else(Vec::new, |list| list.alone(Paper::A4));
        let marks = pages.iter().flat_map(|page| &page.marks);
        let texts = marks.filter_map(|mark| match mark {
            Mark::Text { text, .. } => Some(text.as_str()),
            Mark::Path { .. } | Mark::Within { .. } => None,
        });
        texts.collect::<Vec<_>>().join("\n")
    }

    #[test]
    fn nothing_that_moves_no_page() {
        assert!(movement_sheet(&house(&[], false)).is_none());
    }

    #[test]
    fn joints_are_found_by_their_row_and_their_marks() {
        let house = house(&[((0.0, 4000.0), (6000.0, 4000.0)), ((2000.0, 0.0), (2000.0, 3900.0))], false);
        let text = texts(&house);
        let row = house.floor.row_number(house.fit.joints[0].above_row.unwrap());
        assert!(text.contains(&format!("After row {row}, before the next")), "{text}");
        assert!(text.contains("Cut the boards' ends along it"), "{text}");
        // The second is marked along the lower wall, from its nearer corner.
        let mark = format!("{} from Barn, walls 4 and 1", figure(&house, 2000.0));
        assert!(text.contains(&mark), "{text}");
        // 10 wide, 15 deep, between the gaps of 10.
        assert!(text.contains("Filler: 10 mm × 15 mm"), "{text}");
    }

    #[test]
    fn the_seasons_are_told_with_what_is_assumed() {
        let text = texts(&house(&[], true));
        for words in
            ["laid at 9.0 %", "hold back 50 %", "assumption", "NF DTU 51.11", "Barn, wall 1 to Barn, wall 3"]
        {
            assert!(text.contains(words), "no {words:?} in\n{text}");
        }
        // 8980 · 0.0003 · 3 = 8.1 built, half of it expected; free 8980 · 0.00365 · 3 = 98.3.
        assert!(text.contains("swells 4 (8.1 built, 98.3 free)"), "{text}");
    }

    /// Solid boards, loose: 8980 across them swell by 8980 · 0.00365 · 3 = 98.3.
    #[test]
    fn a_floor_that_joints_do_not_serve_is_told() {
        let mut plan = house(&[], true).plan;
        plan.stock.wood =
            Some(Wood { construction: plan::Construction::FlatSawn, held_back: 0.0, ..Wood::default() });
        let text = texts(&pipeline::run(&plan).unwrap()).replace('\n', " ");
        for words in
            ["Where joints do not help", "swells 98.3", "no floor to lay loose: glue or nail it down"]
        {
            assert!(text.contains(words), "no {words:?} in\n{text}");
        }
    }
}
