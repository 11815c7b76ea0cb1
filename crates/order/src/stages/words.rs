//! Stages in plain words.

use super::{Boundary, DayStep, StagePlan, StepKind};
use lay::Floor;
use plan::{Plan, format_area, format_tape};
use setout::SetOut;
use site::Site;
use std::fmt::Write;

/// Labels named of boards that cross; more are counted.
const NAMED: usize = 12;

impl DayStep {
    /// What is done, without its day and stage.
    pub fn words(&self) -> String {
        match self.kind {
            StepKind::Fill => "fill low spots and rebates".into(),
            StepKind::Prime => "prime the slab".into(),
            StepKind::Coat(coat, of) => format!("moisture barrier, coat {coat} of {of}"),
            StepKind::Lay => "lay".into(),
            StepKind::Walk => "may be walked on: protection down".into(),
            StepKind::Load => "packs and furniture may stand on it".into(),
        }
    }

    /// When in the day, and how long is waited.
    pub fn time_words(&self) -> String {
        let wait = self.wait.map_or_else(String::new, |wait| {
            let taken = if self.wait_is_taken { ", taken: none is typed" } else { "" };
            format!("{wait} h{taken}")
        });
        // What has to be done by an hour is told no later than that, what may begin from one no earlier.
        let hour = self.hour.unwrap_or(0.0);
        match (self.kind, self.begun) {
            (StepKind::Lay, _) => String::new(),
            (StepKind::Walk | StepKind::Load, _) => {
                format!("from {:.0} o'clock, {wait} after the last board", hour.ceil())
            }
            (_, Some(begun)) => {
                format!("begun by {:.0}, done by {:.0} o'clock, then {wait}", begun.floor(), hour.floor())
            }
            (_, None) => format!("done by {:.0} o'clock, then {wait}", hour.floor()),
        }
    }
}

impl Boundary {
    /// What crosses and who lays it, where the next stage picks up, and the pull that checks it: a sentence each.
    pub fn sentences(
        &self,
        plan: &Plan,
        site: &Site,
        set: &SetOut,
        floor: &Floor,
        names: [&str; 2],
    ) -> Vec<String> {
        let length = |mm: f64| format_tape(mm, plan.units);
        let [first, next] = names;
        let mut all = Vec::new();
        let reach = match self.reach {
            Some(reach) if reach > 0.5 => format!(", up to {} into the room,", length(reach)),
            _ => String::new(),
        };
        if self.crossing.is_empty() {
            all.push("No board crosses.".into());
        } else {
            let boards = labels(floor, &self.crossing);
            all.push(format!("The boards that cross{reach} are laid with {first}: {boards}."));
        }
        if !self.ends.is_empty() {
            all.push(format!("At their ends {} of {next} go on.", labels(floor, &self.ends)));
        }
        if !self.rows.is_empty() {
            let rows: Vec<String> =
                self.rows.iter().take(NAMED).map(|(region, row)| floor.row_name(*region, *row)).collect();
            let word = if rows.len() == 1 { "row" } else { "rows" };
            all.push(format!("Along them {next} picks up with {word} {}.", rows.join(", ")));
        }
        if let Some(line) = &self.control {
            let pulls: Vec<String> = line
                .pulls
                .iter()
                .map(|pull| {
                    let room = plan.rooms.get(pull.room).map_or("", |room| room.name.as_str());
                    format!("{} from {room}, corner {}", length(pull.distance), pull.wall + 1)
                })
                .collect();
            let pulls = match pulls.is_empty() {
                true => "no corner in reach".into(),
                false => pulls.join("; "),
            };
            let place = line.place.name(plan, site);
            let second =
                line.second_point(plan, site, set, length).map_or(String::new(), |how| format!("; {how}"));
            all.push(format!(
                "Check before going on, in {place}: {}; {pulls}{second}.",
                line.rows_in_words(site, set)
            ));
        }
        all
    }
}

pub(super) fn labels(floor: &Floor, boards: &[usize]) -> String {
    let named = boards.iter().take(NAMED).filter_map(|board| floor.boards.get(*board));
    let mut words: Vec<String> = named.map(|board| board.label.clone()).collect();
    if boards.len() > NAMED {
        words.push(format!("and {} more", boards.len() - NAMED));
    }
    words.join(" ")
}

/// The stages in plain words; what to do where the plan has none.
pub fn stages_text(plan: &Plan, site: &Site, set: &SetOut, floor: &Floor, all: &StagePlan) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let mut say = |line: String| {
        let _ = writeln!(out, "{}", line.trim_end());
    };
    say(format!("{} — stages", plan.name));
    if all.stages.is_empty() {
        say("The house is laid in one: the plan names no stages.".into());
        return out;
    }
    let name = |place: usize| {
        let stage = all.stages.get(place).and_then(|part| plan.stages.get(part.stage));
        stage.map_or("", |stage| stage.name.as_str())
    };
    say("Waits are the makers': their sheets and local code come first. Every day is a working day here."
        .into());
    if let Some(words) = all.work_words() {
        say(words.into());
    }
    for caution in &all.cautions {
        say(format!("  ! {caution}"));
    }
    say(String::new());
    say("Day plan".into());
    for step in &all.steps {
        say(format!("  day {:>3}  {}: {}  {}", step.day, name(step.stage), step.words(), step.time_words()));
    }
    for (place, part) in all.stages.iter().enumerate() {
        let rooms: Vec<&str> = part.rooms.iter().map(|room| plan.rooms[*room].name.as_str()).collect();
        say(String::new());
        let hours =
            plan.stages[part.stage].hours.map_or_else(String::new, |hours| format!(", {hours} h of laying"));
        say(format!("{}. {}, day {}{hours}: {}", place + 1, name(place), part.day, rooms.join(", ")));
        say(format!(
            "   {} boards, {}; opened for it {}, {}",
            part.boards.len(),
            format_area(part.area * 1e6, plan.units),
            part.opened_words(plan),
            part.pack_words()
        ));
        say(format!("   carry in and open: {}", part.carry_words()));
        for line in &part.materials.lines {
            say(format!("   {}: {}", line.title(), line.quantity_words()));
        }
        say(format!("   {}.", part.protection_words(plan)));
    }
    if !all.unstaged.is_empty() {
        let rooms: Vec<&str> = all.unstaged.iter().map(|room| plan.rooms[*room].name.as_str()).collect();
        say(String::new());
        say(format!("In no stage: {}", rooms.join(", ")));
    }
    for boundary in &all.boundaries {
        let names = [name(boundary.first), name(boundary.next)];
        say(String::new());
        say(format!("{}: from {} to {}", boundary.place, names[0], names[1]));
        for sentence in boundary.sentences(plan, site, set, floor, names) {
            say(format!("   {sentence}"));
        }
    }
    out
}
