//! Ways in, starts and undercuts in words, the same in the window, on paper and on the command line.

use crate::{Fit, Meets, Motion, Part, Sequence, Start, Undercut, WayIn};
use lay::Floor;
use plan::{Plan, format_length};

impl Motion {
    /// What one does.
    pub fn word(self) -> &'static str {
        match self {
            Self::Fold => "fold down",
            Self::Tilt => "tilt in",
            Self::Slide => "slide",
            Self::Drop => "drop in",
            Self::Blocked => "no way in",
        }
    }

    /// Its name in a result for other programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Fold => "fold",
            Self::Tilt => "tilt",
            Self::Slide => "slide",
            Self::Drop => "drop",
            Self::Blocked => "blocked",
        }
    }
}

/// The name of a board's side.
pub fn side_word(part: Part) -> &'static str {
    match part {
        Part::Groove => "groove edge",
        Part::Tongue => "tongue edge",
        Part::Left => "left end",
        Part::Right => "right end",
    }
}

/// Sides whose lock is shaved, as a list: `groove edge and left end`.
pub fn shaved_words(parts: &[Part]) -> String {
    let words: Vec<&str> = parts.iter().map(|part| side_word(*part)).collect();
    words.join(" and ")
}

/// What something is and whose, once each: `jamb of Study door`, `kick of Bench`.
fn things(plan: &Plan, all: impl Iterator<Item = Meets>) -> String {
    let mut words: Vec<String> = Vec::new();
    for at in all {
        let word = format!("{} of {}", at.kind.word(), at.source.name(plan));
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words.join(" and ")
}

impl WayIn {
    /// How the board goes in, in a few words: `slide under jamb of Study door from the tongue edge; shave groove
    /// edge, glue and tape`.
    pub fn words(&self, plan: &Plan) -> String {
        let mut words = match self.motion {
            Motion::Blocked if !self.astride.is_empty() => {
                format!("no way in: a leg on both sides of {}", self.astride_of(plan))
            }
            Motion::Slide if !self.astride.is_empty() => {
                let from = self.from.map_or(String::new(), |from| format!(" from its {}", side_word(from)));
                let under = things(plan, self.under.iter().copied());
                let under = if under.is_empty() { under } else { format!(", under {under}") };
                format!("slide along the row{from}{under}: a leg on both sides of {}", self.astride_of(plan))
            }
            Motion::Blocked => format!("no way in under {}", things(plan, self.under.iter().copied())),
            Motion::Slide => {
                let from = match (self.tuck, self.from) {
                    (Some(tuck), _) => format!(", {}", tuck.word()),
                    (None, Some(from)) => format!(", coming from its {}", side_word(from)),
                    (None, None) => String::new(),
                };
                format!("slide under {}{from}", things(plan, self.under.iter().copied()))
            }
            motion => {
                let tight = things(plan, self.tight.iter().map(|tight| tight.at));
                if tight.is_empty() {
                    motion.word().to_owned()
                } else {
                    format!("{}, tight at {tight}", motion.word())
                }
            }
        };
        if !self.shaved.is_empty() {
            words.push_str(&format!("; shave {}, glue and tape the joint", shaved_words(&self.shaved)));
        }
        words
    }

    /// What its legs lie on both sides of: `jamb of Study door`.
    pub fn astride_of(&self, plan: &Plan) -> String {
        things(plan, self.astride.iter().map(|between| between.at))
    }
}

impl Fit {
    /// How a board goes in, in words.
    pub fn words(&self, plan: &Plan, board: usize) -> String {
        match self.other_way(board) {
            Some(way) => way.words(plan),
            None => self.usual.word().to_owned(),
        }
    }
}

impl Start {
    /// What to do before the run is laid; nothing where it lies against the row before.
    pub fn note(self) -> Option<&'static str> {
        match self {
            Self::OnLine => {
                Some("lay it to the line and hold it with weights or a batten before the next row")
            }
            Self::OnSlip => Some("glue the slip tongue into the start row's groove first; boards turned"),
            Self::Anew => Some("begins anew: lay it to a control line and hold it with weights or a batten"),
            Self::AroundField => Some(
                "the border comes last: saw the field true along its line, rout a groove for the border's tongue or shave that, and glue",
            ),
            // Said with the doorway's name.
            Self::Back(_) | Self::OnRow | Self::Lies => None,
        }
    }
}

impl Sequence {
    /// Notes on a step, in the order in which they matter; what holds on from the step before is not said again.
    pub fn notes(&self, plan: &Plan, floor: &Floor, at: usize) -> Vec<String> {
        let Some(step) = self.steps.get(at) else { return Vec::new() };
        if step.start == Start::Lies {
            return Vec::new();
        }
        let mut notes: Vec<String> = step.start.note().map(str::to_owned).into_iter().collect();
        let door = |doorway: usize| plan.doorways.get(doorway).map_or("", |door| door.name.as_str());
        if let Start::Back(doorway) = step.start {
            notes = vec![format!(
                "the direction reverses: glue a slip tongue into the groove of the row that runs on through {}, and lay back from it, boards turned",
                door(doorway)
            )];
        }
        notes.extend(step.begins_with.iter().map(|rip| rip.words(plan, floor)));
        if let Some(doorway) = step.could_lie_back {
            notes.push(format!(
                "or run the row through {} first and lay back from it on a slip tongue: say so at that doorway",
                door(doorway)
            ));
        }
        if !step.joins.is_empty() {
            let first = |run: &usize| {
                let boards = floor.runs.get(*run)?.boards.clone();
                floor.boards.get(boards.start).map(|board| board.label.clone())
            };
            let runs: Vec<String> = step.joins.iter().filter_map(first).collect();
            notes.push(format!(
                "rows come together: check that those of {} stand in line",
                runs.join(" and ")
            ));
        }
        if !step.closes_on.is_empty() {
            let row = |run: &usize| floor.runs.get(*run).map(|run| floor.row_name(run.region, run.row));
            let mut rows: Vec<String> = step.closes_on.iter().filter_map(row).collect();
            rows.dedup();
            let word = if rows.len() == 1 { "row" } else { "rows" };
            notes.push(format!(
                "closes up to {word} {} of an earlier stage: no side is free to fold it in from; slide it in, or shave the \
                 lock, drop it in, glue and tape",
                rows.join(" and ")
            ));
        }
        if !step.ends_on.is_empty() {
            let label = |board: &usize| floor.boards.get(*board).map(|board| board.label.as_str());
            let boards: Vec<&str> = step.ends_on.iter().filter_map(label).collect();
            notes.push(format!("its end meets {} of an earlier stage", boards.join(" and ")));
        }
        let before = at.checked_sub(1).and_then(|before| self.steps.get(before));
        let holds_on = before.is_some_and(|before| before.from_laid);
        if step.from_laid && !holds_on {
            notes.push(
                "from here on no doorway can be reached over bare floor: work from boards that hold".into(),
            );
        }
        notes
    }
}

impl Undercut {
    /// Which jamb, as it is found on the plan: `Study door, jamb nearer to corner 5 of Hall`.
    pub fn name(&self, plan: &Plan) -> String {
        let Some(door) = plan.doorways.get(self.doorway) else { return String::new() };
        let side = if self.farther { "farther from" } else { "nearer to" };
        format!("{}, jamb {side} corner {} of {}", door.name, door.wall + 1, door.room)
    }

    /// The height of the cut in the plan's units.
    pub fn height_words(&self, plan: &Plan) -> String {
        format_length(self.height, plan.units)
    }
}
