//! Everything that is said about the line in use besides its rips.

use crate::SetOut;
use crate::control::{ControlLine, control_lines};
use crate::explain::{Why, explain};
use crate::robust::{Robust, robust};
use crate::width::{WidthEffect, width_effect};
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
    let control = control_lines(plan, site, set);
    let robust = robust(plan, site, set, &control);
    let why = explain(plan, site, set, &robust);
    Advice { why, robust, control, width: width_effect(plan, site, set) }
}
