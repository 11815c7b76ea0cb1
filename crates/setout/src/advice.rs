//! Everything that is said about the line in use besides its rips.

use crate::SetOut;
use crate::choose::{Work, field_of};
use crate::control::{ControlLine, control_lines};
use crate::explain::{Why, explain_of};
use crate::robust::{Robust, robust_of};
use crate::width::{WidthEffect, width_of};
use plan::Plan;
use site::Site;

/// What a careful person wants to know about the line in use.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Advice {
    /// Why this line.
    pub why: Why,
    /// How far the tape may be out.
    pub robust: Robust,
    /// The line snapped again in every room and beside what rows go round.
    pub control: Vec<ControlLine>,
    /// What boards wider or narrower than in the plan would do.
    pub width: WidthEffect,
}

/// Works out the advice on a set-out. It is not part of [`set_out`](crate::set_out), which runs while a hand
/// drags; this looks at more lines than one.
pub fn advise(plan: &Plan, site: &Site, set: &SetOut) -> Advice {
    let field = field_of(plan, site);
    let work = Work::new(plan, &field);
    let robust = robust_of(&work, set);
    let why = explain_of(&work, set, &robust);
    Advice { why, robust, control: control_lines(plan, site, set), width: width_of(&work, set) }
}
