//! How far a floor may go on without a joint and beside one, and floors that no joint serves.

use crate::wood::Coefficients;
use crate::{FILLER_TAKES, Moisture, Movement, Stretch};
use plan::{JOINT_WIDTH, Plan, format_length, format_tape};

/// The widest joint that is proposed, mm: practice makes them 10 wide, and nobody walks over one much wider than twice that.
/// Ours, no source.
pub const WIDEST_JOINT: f64 = 25.0;
/// Where joints would have to part a floor sooner than this they are no answer, mm: half of the 6 m by which practice sets the
/// first. Ours, no source.
const LEAST_STRETCH: f64 = 3000.0;

/// How far a floor may go on in one direction, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Reach {
    /// From edge to edge, without a joint.
    pub(crate) whole: f64,
    /// Beside a joint, so that it need be no wider than [`WIDEST_JOINT`].
    pub(crate) parted: f64,
    /// How far apart joints would have to lie, where that is too near: the seasons are no longer joints' to mend.
    pub(crate) beyond: Option<f64>,
}

impl Reach {
    /// By the rules alone.
    fn by_rule(plan: &Plan, across: bool) -> f64 {
        if across { plan.rules.greatest_width } else { plan.rules.greatest_length }
    }

    /// By the rules and, where they are known, the seasons.
    pub(crate) fn of(plan: &Plan, seasons: Option<(&Moisture, &Coefficients)>, across: bool) -> Self {
        let by_rule = Self::by_rule(plan, across);
        let rule = Self { whole: by_rule, parted: by_rule, beyond: None };
        let Some((moisture, coefficients)) = seasons else { return rule };
        let per_mm = |moisture: f64| match across {
            true => coefficients.across(1.0, moisture).expected,
            false => coefficients.along(1.0, moisture).expected,
        };
        let (swells, shrinks) = (per_mm(moisture.rise()).max(0.0), per_mm(moisture.fall()).max(0.0));
        // Between a wall's gap and half a joint; a bonded floor needs half of it at either end.
        let (wall, half, is_bonded) =
            (plan.rules.wall_gap.least, JOINT_WIDTH / 2.0, coefficients.held_back > 0.0);
        let room = if is_bonded { 2.0 * wall.min(half) } else { wall + half };
        // Stretches on both sides of a joint move it by half of what each does.
        let by_gaps = room / swells;
        let by_filler = FILLER_TAKES * WIDEST_JOINT / swells.max(shrinks);
        let least = LEAST_STRETCH.min(by_rule);
        // What a bonded floor shrinks opens the joints between its boards as well: there the gaps decide.
        if by_gaps < least || (!is_bonded && by_filler < least) {
            return Self { beyond: Some(by_gaps.min(by_filler)), ..rule };
        }
        let whole = by_rule.min(by_gaps);
        Self { whole, parted: if by_filler < least { whole } else { whole.min(by_filler) }, beyond: None }
    }

    /// The same of a floor's movement.
    pub(crate) fn of_movement(plan: &Plan, movement: Option<&Movement>, across: bool) -> Self {
        Self::of(plan, movement.map(|movement| (&movement.moisture, &movement.coefficients)), across)
    }
}

/// A stretch that the seasons move more than joints of a sensible width could take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beyond {
    /// The longest of its region.
    pub stretch: Stretch,
    /// Whether it runs across the boards.
    pub across: bool,
    /// How far apart joints would have to lie, mm.
    pub apart: f64,
}

/// Those of a floor: of each region the longest across the boards and along them, where its gaps or the rules do not take it.
pub(crate) fn beyond(plan: &Plan, movement: &Movement) -> Vec<Beyond> {
    let mut found = Vec::new();
    for (stretches, across) in [(&movement.widths, true), (&movement.lengths, false)] {
        let reach = Reach::of_movement(plan, Some(movement), across);
        let Some(apart) = reach.beyond else { continue };
        for of_region in stretches.chunk_by(|a, b| a.region == b.region) {
            let is_too_much = |stretch: &&Stretch| {
                stretch.extent > reach.whole || stretch.left().is_some_and(|left| left < 0.0)
            };
            let longest = of_region.first().filter(|_| of_region.iter().any(|s| is_too_much(&s)));
            found.extend(longest.map(|stretch| Beyond { stretch: *stretch, across, apart }));
        }
    }
    found
}

impl Beyond {
    /// What is to be done instead: `glue or nail it down, or take boards that move less`.
    pub fn mend(&self) -> &'static str {
        match self.stretch.is_bonded {
            true => "keep the air more even, or take boards that move less",
            false => "glue or nail it down, or take boards that move less",
        }
    }

    /// Why joints do not help: `joints no wider than 25 would have to lie 570 apart, which is no floor to lay loose`.
    pub fn why(&self, plan: &Plan) -> String {
        let length = |mm: f64| format_tape(mm, plan.units);
        let verdict = match self.stretch.is_bonded {
            true => "too near for joints",
            false => "which is no floor to lay loose",
        };
        let (widest, apart) = (length(WIDEST_JOINT), length((self.apart / 10.0).floor() * 10.0));
        format!("joints no wider than {widest} would have to lie {apart} apart, {verdict}")
    }

    /// All of it: place, what it does, why joints do not help, and what does.
    pub fn words(&self, plan: &Plan, place: &str) -> String {
        let tenth = |mm: f64| format_length((mm * 10.0).round() / 10.0, plan.units);
        let way = if self.across { "across the boards" } else { "along the boards" };
        let Stretch { extent, swells, shrinks, .. } = self.stretch;
        format!(
            "{place}, {} {way}: swells {}, shrinks {}; {}: {}",
            format_tape(extent, plan.units),
            tenth(swells.expected),
            tenth(shrinks.expected),
            self.why(plan),
            self.mend()
        )
    }
}
