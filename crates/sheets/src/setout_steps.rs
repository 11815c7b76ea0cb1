//! The steps of setting out, in words: what to pull, snap, square, check and rip first.

use crate::lay_sheet::{stage_name, stages_in_words};
use crate::told::Told;
use crate::words::{across, corner, corner_of, count, cut_length, figure, setting, towards};
use kurbo::Rect;
use lay::KeptEdge;
use pipeline::House;
use setout::{Candidate, Pull, RegionChoice, Rip, SnapLine};
use site::EdgeKind;

/// One step of snapping the line.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Step {
    /// A pull from a lettered corner: the figure is the thing to read.
    Pull { letter: char, figure: String, note: String },
    /// Something to do, with a big word and a note.
    Do { what: String, note: String },
}

/// The steps in order, in plain words.
pub(crate) fn steps(house: &Told<'_>) -> Vec<Step> {
    let Some(line) = &house.setout.line else {
        let note = match house.floor.boards.is_empty() {
            true => "Draw a boarded room, and set out again.",
            false => {
                "It is one row wide, or too short for a tape: lay along a wall, to the width measured there."
            }
        };
        return vec![Step::Do { what: "No row line to snap.".into(), note: note.into() }];
    };
    let pull = |pull: &Pull, note: String| Step::Pull {
        letter: pull.letter,
        figure: figure(house, pull.distance),
        note,
    };
    let mut steps: Vec<Step> = line
        .pulls
        .iter()
        .map(|p| pull(p, format!("from {}, square to the line", corner(house, p))))
        .collect();
    let letters: Vec<String> = line.pulls.iter().map(|p| p.letter.to_string()).collect();
    if letters.is_empty() {
        let note = "No corner is in reach of a tape: set the line by the rip to expect at a wall beside it, its \
                    gap included, at both ends.";
        steps.push(Step::Do { what: "Snap the line.".into(), note: note.into() });
    } else {
        steps.push(snap(house, line, &letters));
    }
    if let Some(check) = &line.check {
        let tolerance = figure(house, house.plan.rules.line_tolerance);
        let note = format!("check, from {}. Out by more than {tolerance}: pull again", corner(house, check));
        steps.push(pull(check, note));
    }
    steps.extend(square(house, line));
    steps.extend(first_rip(house, &house.setout.chosen, line));
    steps.extend(points(house));
    steps.extend(own_lines(house));
    steps.extend(start(house, line));
    steps.extend(way(house));
    steps
}

/// The line snapped through its pulls.
fn snap(house: &Told<'_>, line: &SnapLine, letters: &[String]) -> Step {
    let room = line.room.and_then(|room| house.plan.rooms.get(room));
    let note = room.map_or(String::new(), |room| match goes_on(house, line, room) {
        true => format!("in {}; carry it on through the doorways", room.name),
        false => format!("in {}", room.name),
    });
    Step::Do { what: format!("Snap the line through {}.", letters.join(" and ")), note }
}

/// Whether the line goes on past a room into others.
fn goes_on(house: &House, line: &SnapLine, room: &plan::Room) -> bool {
    // Boards reach into a doorway's opening; the next room begins past the thickest wall.
    const WALL: f64 = 400.0;
    let many = house.plan.rooms.iter().filter(|room| room.is_boarded()).nth(1).is_some();
    let corners = room.outline().into_iter().map(|(corner, _)| (corner.x, corner.y));
    let bounds = corners.map(|p| Rect::from_points(p, p)).reduce(|all, one| all.union(one));
    let own = bounds.unwrap_or_default().inflate(WALL, WALL);
    many && [line.from, line.to].iter().any(|end| !own.contains((end.x, end.y)))
}

/// The triangle that proves a line square to the start line.
fn square(house: &Told<'_>, line: &SnapLine) -> Option<Step> {
    let square = house.square()?;
    let [along, across, between] =
        [square.along_length, square.across_length, square.between].map(|length| figure(house, length));
    let note = match &line.check {
        Some(check) if square.proves_check => format!(
            "{along} along the line from the foot of {0}, {across} on the pull to {0}: {between} between their ends \
             proves the pull square",
            check.letter
        ),
        _ => format!(
            "{along} along the line, {across} across, as drawn: {between} between their ends is square"
        ),
    };
    Some(Step::Do { what: format!("Square it: {along}, {across}, {between}."), note })
}

/// The corner to start from, and the first board.
fn start(house: &Told<'_>, line: &SnapLine) -> Option<Step> {
    let first = house.first_board()?;
    let board = house.floor.boards.get(first.board)?;
    let away = |p: plan::Point| {
        (p.x - first.corner.x) * (p.x - first.corner.x) + (p.y - first.corner.y) * (p.y - first.corner.y)
    };
    let nearest = line.pulls.iter().min_by(|a, b| away(a.foot).total_cmp(&away(b.foot)));
    let middle = house.site.frame.plan_from_row(board.middle());
    let room = house.plan.rooms.iter().position(|room| room.is_boarded() && room.contains(middle));
    // Behind a wall the line is not the one that was pulled: there it is snapped by that room's own corners.
    let elsewhere = room.filter(|room| nearest.is_some_and(|pull| pull.room != *room));
    // Where rows lie, one goes on from them, not from the line.
    let (begin, from) = match (nearest, house.floor.laid.of_board.iter().any(Option::is_some)) {
        (_, true) => ("Go on".to_owned(), ""),
        (Some(pull), false) => match elsewhere {
            Some(room) => {
                (format!("Start in {}", house.plan.rooms[room].name), "to the control line there; ")
            }
            None => (format!("Start at {}", pull.letter), ""),
        },
        (None, false) => ("Start".to_owned(), ""),
    };
    let rooms = house.plan.rooms.iter().enumerate().filter(|(_, room)| room.is_boarded());
    let corners =
        rooms.flat_map(|(i, room)| room.walls.iter().enumerate().map(move |(w, wall)| (i, w, wall.corner)));
    let place = corners
        .min_by(|a, b| away(a.2).total_cmp(&away(b.2)))
        .map_or(String::new(), |(room, wall, _)| format!(", nearest to {}", corner_of(house, room, wall)));
    let (label, length) = (&board.label, cut_length(house, board));
    let sequence = house.sequence();
    let begun = sequence.steps.iter().find(|step| step.boards.contains(&first.board));
    let follow = towards(first.along);
    if let (Some(said), Some(step)) = (stages_in_words(house), begun) {
        let room = step.place.as_deref().map_or_else(String::new, |place| format!(" in {place}"));
        let line = if step.start == fit::Start::Anew { "to the control line there; " } else { "" };
        return Some(Step::Do {
            what: format!(
                "Start with {}: board {label}{room}, {length} long.",
                stage_name(house, step.stage)
            ),
            note: format!("{line}boards follow {follow}. In stages: {said}"),
        });
    }
    let end = fit::first_end(&house.site, &house.floor, board.run).map_or_else(
        || "its left end a gap off what it meets".to_owned(),
        |(off, pull)| match pull.kind {
            EdgeKind::UnderLeaf | EdgeKind::MovementJoint => {
                format!("its left end at {}", pull.words(&house.plan))
            }
            _ => format!("its left end {} off {}", figure(house, off), pull.words(&house.plan)),
        },
    );
    Some(Step::Do {
        what: format!("{begin}: board {label}, {length} long."),
        note: format!("{from}{end}{place}; boards follow {follow}"),
    })
}

/// The first point marked on the line, and the last one for a check.
fn points(house: &House) -> Vec<Step> {
    let Some(points) = &house.setout.points else { return Vec::new() };
    let step = |mark: &setout::PointMark, note: String| Step::Pull {
        letter: mark.letter,
        figure: figure(house, mark.distance),
        note,
    };
    let from = |mark: &setout::PointMark| mark.source.name(&house.plan);
    let is = match house.plan.pattern {
        plan::Pattern::Chevron { .. } => "the tip of two blocks",
        _ => "the middle of a right-hand block's forward end",
    };
    let first = points
        .first
        .iter()
        .map(|mark| step(mark, format!("along the line from {}: mark the first point, {is}", from(mark))));
    let steps = count(points.steps, "step");
    let last = points.last.iter().map(|mark| {
        let apart = setting(house, points.step);
        step(
            mark,
            format!("check, along the line from {}: the last point, {steps} of {apart} on", from(mark)),
        )
    });
    first.chain(last).collect()
}

/// More lines of rooms' own than this are left to the control sheet.
const MOST_OWN: usize = 4;

/// The lines that rooms have of their own: a step for each, or one for all where they are many.
fn own_lines(house: &Told<'_>) -> Vec<Step> {
    let lines: Vec<_> = house.setout.own_lines().collect();
    if lines.len() > MOST_OWN {
        let what = format!("Snap {} more, of rooms' own.", count(lines.len(), "line"));
        return vec![Step::Do { what, note: "their pulls and rips stand under Set-out, control".into() }];
    }
    let step = |(choice, line): &(&RegionChoice, &SnapLine)| {
        let room = |room: &usize| house.plan.rooms.get(*room).map_or("", |room| room.name.as_str());
        let name = choice.rooms.first().map_or("", room);
        let pulls: Vec<String> = line
            .pulls
            .iter()
            .chain(&line.check)
            .map(|pull| format!("{} from {}", figure(house, pull.distance), corner(house, pull)))
            .collect();
        let rip = match first_rip(house, &choice.own, line) {
            Some(Step::Do { what, note }) => format!("; {what} {note}"),
            _ => String::new(),
        };
        let letter = match house.floor.letter(house.site.region_of(choice.region)) {
            "" => String::new(),
            letter => format!("; {letter} stands before its rows' numbers"),
        };
        let note = format!("{}{rip}{letter}", pulls.join(", "));
        Step::Do { what: format!("{name}: a line of its own."), note }
    };
    lines.iter().map(step).collect()
}

/// The first rip at the wall from which a line is pulled.
fn first_rip(house: &House, of: &Candidate, line: &SnapLine) -> Option<Step> {
    let rip = of.rips.get(line.first_rip?)?;
    if house.setout.along.is_some() {
        let reach = match rip.greatest - rip.least < 1.0 {
            true => figure(house, rip.least),
            false => format!("{} to {}", figure(house, rip.least), figure(house, rip.greatest)),
        };
        let lines = count(line.rows_to_wall, "whole space");
        let note =
            format!("the smallest pieces at that wall; {lines} between axis lines from there to the line");
        return Some(Step::Do { what: format!("First pieces: {reach} at the wall."), note });
    }
    let fence = house.setout.fence(rip, &of.rips, house.plan.units);
    let rows = count(line.rows_to_wall, "whole row");
    let whole =
        fence.whole_wall.map_or(String::new(), |whole| format!("; {whole} along the whole of that wall"));
    let between = format!("{rows} between that wall's rip and the line{whole}");
    let Some(off) = fence.off else {
        let what = "First rip: none, a whole board.".into();
        return Some(Step::Do { what, note: between });
    };
    let kept = fence.kept;
    let side = match kept_side(house, rip) {
        Some(Kept::Tongue) => "off the groove side, keep the tongue; ",
        Some(Kept::Groove) => "off the tongue side, keep the groove; ",
        None => "",
    };
    Some(Step::Do {
        what: format!("First rip: keep {kept}, take {off} off."),
        note: format!("{side}{between}"),
    })
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kept {
    Tongue,
    Groove,
}

/// Which side the boards along a rip's edge keep, where the saw list agrees on it.
fn kept_side(house: &House, rip: &Rip) -> Option<Kept> {
    let ring = house.site.fields().get(rip.edge.region)?.rings().nth(rip.edge.ring)?;
    let edge = ring.edges.get(rip.edge.edge)?;
    let (low, high) = edge.v_range();
    let (left, right) = (edge.a.u.min(edge.b.u), edge.a.u.max(edge.b.u));
    let touches = |index: &usize| {
        house.floor.boards.get(*index).is_some_and(|board| {
            board.region == rip.edge.region
                && board.right > left
                && board.left < right
                && board.outline.outer.iter().any(|p| (low - 0.5..=high + 0.5).contains(&p.v))
        })
    };
    let any = |entries: &[order::SawEntry]| entries.iter().flat_map(|entry| &entry.boards).any(touches);
    let saw = &house.order.saw;
    // A notched board keeps the side on which its outline reaches its edge.
    let notched = |edge: f64| {
        saw.notches.iter().filter(|notch| touches(&notch.board)).any(|notch| {
            notch.outline.iter().zip(notch.outline.iter().cycle().skip(1)).any(|(a, b)| {
                let length = house.floor.boards.get(notch.board).map_or(f64::INFINITY, lay::Board::length);
                let on = |p: &(f64, f64)| (p.1 - edge).abs() < 0.5;
                on(a) && on(b) && (a.0 - b.0).abs() > 0.9 * length
            })
        })
    };
    let tapered = |keeps| saw.tapers.iter().any(|entry| entry.taper.keeps == keeps && touches(&entry.board));
    match (
        any(&saw.rips_keep_tongue) || tapered(KeptEdge::Tongue) || notched(house.floor.pitch),
        any(&saw.rips_keep_groove) || tapered(KeptEdge::Groove) || notched(0.0),
    ) {
        (true, false) => Some(Kept::Tongue),
        (false, true) => Some(Kept::Groove),
        _ => None,
    }
}

/// Which way to lay, by the boarded rooms farthest either side of the line.
fn way(house: &Told<'_>) -> Option<Step> {
    if house.setout.along.is_some() {
        let what = "Lay from the first point.".into();
        let note = "the first pair of blocks as drawn, then along the line, then column by column".into();
        return Some(Step::Do { what, note });
    }
    if stages_in_words(house).is_some() {
        let what = "Lay stage by stage, as on the lay list.".into();
        let note = format!(
            "in each {} from its line first; rows {} go on a slip tongue, once what they join lies",
            across(house, 1.0),
            across(house, -1.0)
        );
        return Some(Step::Do { what, note });
    }
    let rows = || house.floor.boards.iter().map(|board| board.row);
    let (above, below) = (rows().any(|row| row >= 0), rows().any(|row| row < 0));
    let towards = |sign: f64| {
        let line = house.floor.lines.first().copied().unwrap_or(0.0);
        house
            .plan
            .rooms
            .iter()
            .filter(|room| room.covering == plan::Covering::Boards)
            .map(|room| {
                let across = room.walls.iter().map(|wall| house.site.frame.row_from_plan(wall.corner).v);
                let middle = across.sum::<f64>() / room.walls.len().max(1) as f64;
                ((middle - line) * sign, room.name.as_str())
            })
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, name)| name)
    };
    // Rows from 0 up lie tongue away from the line; those below need the slip tongue.
    let first = 1.0;
    let far_room = |sign: f64| towards(sign).filter(|name| towards(-sign) != Some(*name));
    let named = |sign: f64| far_room(sign).map_or(String::new(), |name| format!(", towards {name}"));
    match (above, below) {
        (true, true) => Some(Step::Do {
            what: format!("Lay {} first{}.", across(house, first), named(first)),
            note: format!("then a slip tongue on the line, and {}{}", across(house, -first), named(-first)),
        }),
        (true, false) | (false, true) => {
            let sign = if above { 1.0 } else { -1.0 };
            let what = format!("Lay from the line {}{}.", across(house, sign), named(sign));
            Some(Step::Do { what, note: String::new() })
        }
        (false, false) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::small_house;

    #[test]
    fn the_first_rip_says_what_to_keep_and_what_goes() {
        // 1055 − 10 gap − 5 · 190 = 95 kept, 190 − 95 = 95 off: worked by hand.
        let house = small_house("Hut");
        let all = steps(&Told::new(&house));
        let expected = "First rip: keep 95, take 95 off.";
        assert!(all.iter().any(|step| matches!(step, Step::Do { what, .. } if what == expected)), "{all:?}");
        let notes = |needle: &str| {
            all.iter().any(|step| matches!(step, Step::Do { note, .. } if note.contains(needle)))
        };
        // Window, text and sheet share the words.
        let rip = &house.setout.chosen.rips[house.setout.line.as_ref().unwrap().first_rip.unwrap()];
        let fence = house.setout.fence(rip, &house.setout.chosen.rips, house.plan.units);
        assert_eq!((fence.kept.as_str(), fence.off.as_deref()), ("95", Some("95")));
        assert!(notes("keep the groove") && notes("5 whole rows"), "{all:?}");
    }

    /// Two rooms with a wall between and a hall along both: the longer one has the pulls, and the rows begin in the other.
    #[test]
    fn one_starts_at_a_pull_only_in_the_room_where_it_was_pulled() {
        let mut plan = plan::Plan::new("Terrace");
        let rectangle = |x: f64, y: f64, wide: f64, high: f64| {
            [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)].map(plan::Point::from)
        };
        plan.rooms = vec![
            plan::Room::boarded("Parlour", rectangle(0.0, 0.0, 4000.0, 3600.0)),
            plan::Room::boarded("Kitchen", rectangle(4100.0, 0.0, 9000.0, 3600.0)),
            plan::Room::boarded("Hall", rectangle(0.0, 3700.0, 6000.0, 1100.0)),
        ];
        for (name, at) in [("Parlour door", 1500.0), ("Kitchen door", 4700.0)] {
            plan.doorways.push(plan::Doorway {
                wall_thickness: 100.0,
                beyond: plan::Beyond::RunThrough,
                ..plan::Doorway::plain(name, "Hall", 0, at, 800.0)
            });
        }
        let house = pipeline::run(&plan).unwrap();
        let line = house.setout.line.as_ref().unwrap();
        assert!(line.pulls.iter().all(|pull| pull.room == 1), "{:?}", line.pulls);
        let Some(Step::Do { what, note }) = start(&Told::new(&house), line) else { panic!("no first board") };
        assert!(what.starts_with("Start in Parlour: board "), "{what}");
        assert!(note.starts_with("to the control line there; its left end "), "{note}");
    }
}
