//! How the boards go in and in which order, and where their joints lie, in plain words.

use pipeline::House;
use plan::format_tape;
use std::fmt::Write;

/// Boards named by their labels on one line before the rest are counted only.
const NAMED: usize = 12;

/// Undercuts, shaved locks, the slip tongue, boards without a way in, and the order of laying.
pub(crate) fn fitting(house: &House) -> String {
    let length = |mm: f64| format_tape(mm, house.plan.units);
    let (fit, floor) = (&house.fit, &house.floor);
    let label = |board: &usize| floor.boards.get(*board).map_or("", |board| board.label.as_str());
    let labels = |boards: &[usize]| {
        let named: Vec<&str> = boards.iter().take(NAMED).map(label).collect();
        let more = boards.len() - named.len();
        let rest = if more > 0 { format!(" and {more} more") } else { String::new() };
        named.join(" ") + &rest
    };
    let mut out = String::new();
    let mut say = |line: String| {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{line}");
    };
    let usual = floor.boards.len() - fit.ways.len();
    say(format!(
        "{} — {} boards {}, {} another way",
        house.plan.name,
        usual,
        fit.usual.word(),
        fit.ways.len()
    ));
    if !fit.undercuts.is_empty() {
        say(String::new());
        say("Undercut, architraves too where they stand".into());
        say(
            "  Take care: extract the dust, wear eye, ear and breathing protection; old paint may hold lead."
                .into(),
        );
    }
    for jamb in &fit.undercuts {
        say(format!(
            "  [ ] {} above the slab  {}  for {}",
            length(jamb.height),
            jamb.name(&house.plan),
            labels(&jamb.boards)
        ));
    }
    let blocked = || fit.ways.iter().filter(|way| way.motion == fit::Motion::Blocked);
    if blocked().next().is_some() {
        say(String::new());
        say("No way in".into());
    }
    for way in blocked() {
        say(format!("  [ ] {:>7}  {}", label(&way.board), way.words(&house.plan)));
    }
    let others: Vec<_> = fit.ways.iter().filter(|way| way.motion != fit::Motion::Blocked).collect();
    if !others.is_empty() {
        say(String::new());
        say("Go in another way".into());
    }
    for way in others {
        say(format!("  [ ] {:>7}  {}", label(&way.board), way.words(&house.plan)));
    }
    if !fit.slips.is_empty() {
        say(String::new());
        let is_on_line = fit.slips.iter().all(|slip| slip.doorway.is_none());
        let what = if is_on_line { "along the start line" } else { "where the direction reverses" };
        say(format!("Slip tongue {what}: {} in all", length(fit.slip_length())));
        let of = |doorway: Option<usize>| -> Vec<String> {
            let own = fit.slips.iter().filter(|slip| slip.doorway == doorway);
            own.map(|slip| length(slip.length())).collect()
        };
        let on_line = of(None);
        if !on_line.is_empty() {
            let head = if is_on_line { "" } else { "along the start line: " };
            say(format!("  {head}{}", on_line.join(" + ")));
        }
        for (index, door) in house.plan.doorways.iter().enumerate() {
            let back = of(Some(index));
            if !back.is_empty() {
                say(format!("  to lay back from {}: {}", door.name, back.join(" + ")));
            }
        }
    }
    let sequence = house.sequence();
    say(String::new());
    say(format!("Order of laying: {} runs, {} boards", sequence.steps.len(), sequence.len()));
    // Runs of one place that follow one another are told together, as long as there is nothing to say in between.
    let steps = &sequence.steps;
    let mut at = 0;
    let shares = house.stage_shares();
    let mut stage = None;
    while let Some(first) = steps.get(at) {
        if stage != Some(first.stage) && !shares.order.is_empty() {
            let of = first.stage.and_then(|place| house.plan.stages.get(*shares.order.get(place)?));
            let none = || " In no stage".to_owned();
            say(of.map_or_else(none, |stage| format!(" {}, day {}", stage.name, stage.day)));
        }
        stage = Some(first.stage);
        let notes = sequence.notes(&house.plan, floor, at);
        let goes_on = |next: &usize| {
            steps.get(*next).is_some_and(|step| {
                step.place == first.place
                    && step.stage == first.stage
                    && is_below(house, step) == is_below(house, first)
                    && sequence.notes(&house.plan, floor, *next).is_empty()
            })
        };
        let end = (at + 1..).take_while(goes_on).last().unwrap_or(at) + 1;
        let name = |step: &fit::LaidRun| {
            floor.runs.get(step.run).map_or_else(String::new, |run| floor.row_name(run.region, run.row))
        };
        let (from, to) = (name(first), steps.get(end - 1).map_or_else(String::new, name));
        let rows = if from == to { format!("row {from}") } else { format!("rows {from} to {to}") };
        let boards: usize = steps[at..end].iter().map(|step| step.boards.len()).sum();
        let place = first.place.as_deref().unwrap_or("between rooms");
        say(format!("  {rows:<15}  {place}, {boards} board{}", if boards == 1 { "" } else { "s" }));
        for note in notes {
            say(format!("  {:<15}  · {note}", ""));
        }
        at = end;
    }
    out
}

/// The end joints of every row in the order of laying, each as far as a tape along the middle of the row finds it.
pub(crate) fn joints(house: &House) -> String {
    let floor = &house.floor;
    let pulls = house.joint_pulls();
    let mut out = format!("{}: end joints, gap counted in, along the middle of each row\n", house.plan.name);
    for step in &house.sequence().steps {
        let Some(run) = floor.runs.get(step.run) else { continue };
        for (pull, boards) in fit::hooks(&step.boards, &pulls) {
            let all = boards.iter().filter_map(|board| floor.boards.get(*board));
            let joints: Vec<String> = all
                .map(|board| {
                    let distance = format_tape(pull.joint(board), house.plan.units);
                    format!("{} {distance}", board.label)
                })
                .collect();
            let (row, from) = (floor.row_name(run.region, run.row), pull.words(&house.plan));
            // Writing to a String cannot fail.
            let _ = writeln!(out, "  row {row:<4} from {from}: {}", joints.join(" · "));
        }
    }
    out
}

fn is_below(house: &House, step: &fit::LaidRun) -> bool {
    house.floor.runs.get(step.run).is_some_and(|run| run.row < 0)
}
