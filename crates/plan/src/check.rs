//! Validation: every reason why a plan cannot be computed, with its place and mend.
//!
//! First the numbers themselves and the counts (nothing else is looked at while one of them is wrong),
//! then stock and rules, rooms, doorways, fixtures, and what makes and takes movement.

mod doorways;
mod fixtures;
mod laid;
mod marks;
mod materials;
mod movement;
mod numbers;
mod rooms;
mod slab;
mod stages;
mod stock;
mod tape;

pub(crate) use fixtures::fixture_fault;
pub(crate) use rooms::shape_fault;

use crate::{GapRange, Places, Plan, Units, format_length, shape};

/// A plan with more than this many faults is listed no further.
const MOST_PROBLEMS: usize = 200;
/// Letters of a place's name that are told: more than two names have.
const LONGEST_PLACE: usize = 250;
/// Letters of the rest: more than the names of a house's rooms have.
const LONGEST_WORDS: usize = 1500;

/// Where in the plan something is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// The plan as a whole, or one of its named values.
    Plan(&'static str),
    /// A value of the stock.
    Stock(&'static str),
    /// A value of the rules.
    Rules(&'static str),
    /// A value of the slab's record.
    Slab(&'static str),
    /// A product among the materials.
    Materials(&'static str),
    /// A stage by index.
    Stage(usize),
    /// A wait between steps.
    Waits(&'static str),
    /// A room by index.
    Room(usize),
    /// A wall of a room, both by index.
    Wall(usize, usize),
    /// A doorway by index.
    Doorway(usize),
    /// A fixture by index.
    Fixture(usize),
    /// A movement joint by index.
    Joint(usize),
    /// A dimension by index.
    Dimension(usize),
}

impl Place {
    /// The place in words, such as `Hall, wall 3`; things without a name by kind and number.
    pub fn name(&self, plan: &Plan) -> String {
        let named = |name: Option<&str>, kind: &str, index: usize| match name {
            Some(name) if !name.trim().is_empty() => name.to_owned(),
            _ => format!("{kind} {}", index + 1),
        };
        let room = |index: usize| named(plan.rooms.get(index).map(|room| room.name.as_str()), "room", index);
        match *self {
            Self::Plan(field) => format!("plan, {}", field.replace('_', " ")),
            Self::Stock(field) => format!("stock, {}", field.replace('_', " ")),
            Self::Rules(field) => format!("rules, {}", field.replace('_', " ")),
            Self::Slab(field) => format!("slab, {}", field.replace('_', " ")),
            Self::Materials(field) => format!("materials, {}", field.replace('_', " ")),
            Self::Stage(index) => named(plan.stages.get(index).map(|s| s.name.as_str()), "stage", index),
            Self::Waits(field) => format!("waits, {}", field.replace('_', " ")),
            Self::Room(index) => room(index),
            Self::Wall(index, wall) => format!("{}, wall {}", room(index), wall + 1),
            Self::Doorway(index) => {
                named(plan.doorways.get(index).map(|d| d.name.as_str()), "doorway", index)
            }
            Self::Fixture(index) => {
                named(plan.fixtures.get(index).map(|f| f.name.as_str()), "fixture", index)
            }
            Self::Joint(index) => {
                named(plan.joints.get(index).map(|joint| joint.name.as_str()), "movement joint", index)
            }
            Self::Dimension(index) => crate::Dimension::called(index),
        }
    }
}

/// One reason why a plan cannot be computed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{place_name}: {what}; {mend}")]
pub struct Problem {
    /// Where.
    pub place: Place,
    /// The place in words, such as `Hall, wall 3`.
    pub place_name: String,
    /// What is wrong.
    pub what: String,
    /// What would mend it.
    pub mend: String,
}

/// Everything that stands in the way of computing a floor.
pub(crate) fn problems(plan: &Plan) -> Vec<Problem> {
    let mut checker = Checker::new(plan);
    checker.found = faults(plan);
    if !plan.rooms.iter().any(|room| room.is_boarded()) {
        checker.add(Place::Plan("rooms"), "no room is to be boarded yet", "draw one, or give one boards");
    }
    checker.found
}

/// What is wrong with the plan, leaving out what is merely not drawn yet.
pub(crate) fn faults(plan: &Plan) -> Vec<Problem> {
    let mut checker = Checker::new(plan);
    check(&mut checker);
    checker.found.truncate(MOST_PROBLEMS);
    checker.found
}

/// What keeps the plan from being shown and mended: numbers that are none, absurd sizes and counts.
pub(crate) fn absurd(plan: &Plan) -> Vec<Problem> {
    let mut checker = Checker::new(plan);
    numbers::check(&mut checker);
    checker.found.truncate(MOST_PROBLEMS);
    checker.found
}

fn check(checker: &mut Checker<'_>) {
    numbers::check(checker);
    if !checker.found.is_empty() {
        return;
    }
    let places = Places::new(checker.plan);
    stock::check(checker);
    rooms::check(checker, &places);
    tape::check(checker);
    doorways::check(checker, &places);
    fixtures::check(checker, &places);
    slab::check(checker, &places);
    materials::check(checker);
    stages::check(checker, &places);
    laid::check(checker);
    movement::check(checker);
    marks::check(checker);
    if checker.steps.are_spent() {
        checker.add(
            Place::Plan("rooms"),
            "the outlines lie over one another too densely to be checked through",
            "draw fewer corners, and no room over another",
        );
    }
}

/// Words as they are told: a name in them may be as long as the file.
fn shortened(words: String, longest: usize) -> String {
    match words.char_indices().nth(longest) {
        Some((end, _)) => format!("{}…", &words[..end]),
        None => words,
    }
}

/// Collects problems.
struct Checker<'a> {
    plan: &'a Plan,
    found: Vec<Problem>,
    steps: shape::Steps,
}

impl<'a> Checker<'a> {
    fn new(plan: &'a Plan) -> Self {
        Self { plan, found: Vec::new(), steps: shape::Steps::new() }
    }

    fn add(&mut self, place: Place, what: impl Into<String>, mend: impl Into<String>) {
        let place_name = shortened(place.name(self.plan), LONGEST_PLACE);
        let [what, mend] = [what.into(), mend.into()].map(|words| shortened(words, LONGEST_WORDS));
        self.found.push(Problem { place, place_name, what, mend });
    }

    fn is_full(&self) -> bool {
        self.found.len() >= MOST_PROBLEMS
    }

    /// A length with its unit, as the plan shows lengths.
    fn length(&self, mm: f64) -> String {
        match self.plan.units {
            Units::Metric => format!("{} mm", format_length(mm, Units::Metric)),
            Units::FeetInches => format_length(mm, Units::FeetInches),
        }
    }

    /// A length that must lie in a range, mm; whether it does.
    fn within(&mut self, place: Place, what: &str, value: f64, least: f64, greatest: f64) -> bool {
        let is_within = (least..=greatest).contains(&value);
        if !is_within {
            let exact = format!("{value} mm");
            let (value, least, greatest) = (self.length(value), self.length(least), self.length(greatest));
            // A hair past a limit it must not read as that.
            let value =
                if value == least || value == greatest || value == self.length(0.0) { exact } else { value };
            self.add(
                place,
                format!("its {what} is {value}"),
                format!("type one between {least} and {greatest}"),
            );
        }
        is_within
    }

    fn gap(&mut self, place: Place, what: &str, gap: GapRange) {
        if !(0.0 <= gap.least && gap.least <= gap.greatest && gap.greatest <= 100.0) {
            let (least, greatest) = (self.length(gap.least), self.length(gap.greatest));
            let limit = self.length(100.0);
            self.add(
                place,
                format!("its {what} goes from {least} to {greatest}"),
                format!("type a least that is no greater than the greatest, both between 0 and {limit}"),
            );
        }
    }

    /// Names are not empty, short, on one line and unique.
    fn names<'n>(&mut self, kind: &str, names: impl Iterator<Item = &'n str>, place: fn(usize) -> Place) {
        let mut first = std::collections::BTreeMap::new();
        for (index, name) in names.enumerate() {
            self.name(kind, name, place(index));
            if let Some(earlier) = first.insert(name, index).filter(|_| !name.trim().is_empty()) {
                self.add(
                    place(index),
                    format!("{kind} {} has the same name as {kind} {}", index + 1, earlier + 1),
                    "give one of them another name",
                );
            }
        }
    }

    fn name(&mut self, kind: &str, name: &str, place: Place) {
        if name.trim().is_empty() {
            self.add(place, format!("the {kind} has no name"), "give it one");
        } else if name.chars().count() > 100 || name.chars().any(char::is_control) {
            self.add(
                place,
                format!(
                    "the {kind}'s name is too long, or has more than one line or a sign that does not print"
                ),
                "use at most 100 letters on one line",
            );
        }
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::{Doorway, Leaf, Lining, Point, Room, Side};

    /// Two boarded rooms either side of a 100 mm wall with a door between them.
    pub(crate) fn two_rooms() -> Plan {
        let rect = |x: f64, y: f64, w: f64, h: f64| {
            [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from)
        };
        let mut plan = Plan::new("Two rooms");
        plan.rooms = vec![
            Room::boarded("Left", rect(0.0, 0.0, 4000.0, 3000.0)),
            Room::boarded("Right", rect(4100.0, 0.0, 3500.0, 3000.0)),
        ];
        plan.doorways = vec![Doorway {
            rough_width: Some(860.0),
            leaf: Some(Leaf::swinging(Side::Near, 40.0)),
            lining: Lining::Fitted,
            ..Doorway::plain("Door", "Left", 1, 1000.0, 800.0)
        }];
        plan
    }

    /// The problems of the plan after a change, as place name and the rest.
    #[track_caller]
    pub(crate) fn expect(change: impl FnOnce(&mut Plan), place: &str, what: &str) {
        let mut plan = two_rooms();
        assert_eq!(problems(&plan), []);
        change(&mut plan);
        let found = problems(&plan);
        assert!(
            found.iter().any(|p| p.place_name == place && p.what.contains(what) && !p.mend.is_empty()),
            "{found:#?}"
        );
    }

    /// No problem of the plan after a change.
    #[track_caller]
    pub(crate) fn accept(change: impl FnOnce(&mut Plan)) {
        let mut plan = two_rooms();
        change(&mut plan);
        assert_eq!(problems(&plan), []);
    }

    #[test]
    fn an_empty_plan_is_unfinished_but_not_wrong() {
        let plan = Plan::new("New");
        assert_eq!(faults(&plan), []);
        assert_eq!(problems(&plan).len(), 1);
        assert_eq!(problems(&plan)[0].place, Place::Plan("rooms"));
    }

    #[test]
    fn every_problem_is_listed() {
        let mut plan = two_rooms();
        plan.stock.kerf = 40.0;
        plan.rules.least_rip = -3.0;
        plan.rooms[0].name = "  ".into();
        plan.doorways[0].width = 5.0;
        let found = problems(&plan);
        let names: Vec<&str> = found.iter().map(|p| p.place_name.as_str()).collect();
        assert_eq!(names, ["stock, kerf", "rules, least rip", "room 1", "Door", "Door"], "{found:#?}");
        let said = found[0].to_string();
        assert_eq!(said, "stock, kerf: its kerf is 40 mm; type one between 0 mm and 20 mm");
    }

    #[test]
    fn names_are_short_and_unique() {
        expect(|plan| plan.name = " ".into(), "plan, name", "no name");
        expect(|plan| plan.rooms[1].name = "Left".into(), "Left", "room 2 has the same name as room 1");
        expect(|plan| plan.doorways[0].name = "a\nb".into(), "a\nb", "more than one line");
        expect(|plan| plan.rooms[1].name = "x".repeat(101), &"x".repeat(101), "too long");
        expect(|plan| plan.rooms[1].name = "a\u{1b}[2J".into(), "a\u{1b}[2J", "a sign that does not print");
        // Of a name as long as a file its beginning is told.
        let told = format!("{}…", "é".repeat(250));
        expect(|plan| plan.rooms[1].name = "é".repeat(300_000), &told, "too long");
    }

    #[test]
    fn figures_follow_the_plans_units() {
        expect(
            |plan| {
                plan.units = Units::FeetInches;
                plan.stock.kerf = 25.4;
            },
            "stock, kerf",
            "its kerf is 1\"",
        );
    }

    #[test]
    fn a_plan_made_to_be_slow_is_stopped_and_told() {
        let plan = two_rooms();
        let mut checker = Checker { steps: shape::Steps::of(10), ..Checker::new(&plan) };
        check(&mut checker);
        assert_eq!(checker.found.len(), 1);
        assert!(checker.found[0].what.contains("too densely"));
    }
}
