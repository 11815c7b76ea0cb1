//! The stages run one after the other, shared by window, command line and sheets.

mod choices;
mod contest;
mod directions;
mod drift_words;
mod laid;
mod result;
mod workbench;

pub use choices::{Choice, Figures, Mend};
pub use contest::{LaidLine, lay_lines};
pub use directions::{Direction, Reason, directions};
pub use laid::LaidError;
pub use lay::Progress;
pub use result::{Document, SCHEMA};
pub use workbench::{Kept, Workbench};

use findings::Flag;
use fit::Fit;
use lay::Floor;
use order::{Bound, Order};
use plan::{Plan, Problem};
use setout::{Advice, Drift, SetOut};
use site::Site;
use std::ops::ControlFlow;

/// A plan computed through every stage.
#[derive(Debug, Clone, PartialEq)]
pub struct House {
    /// The plan it was computed from.
    pub plan: Plan,
    /// What is to be boarded, every gap at its least.
    pub surveyed: Site,
    /// What is to be boarded, with the gaps that the set-out makes wider.
    pub site: Site,
    /// Where the start line goes.
    pub setout: SetOut,
    /// The boards.
    pub floor: Floor,
    /// How they go in.
    pub fit: Fit,
    /// What is wrong with the floor.
    pub flags: Vec<Flag>,
    /// What to cut and to buy.
    pub order: Order,
}

/// Runs every stage on a plan, with the moves of search that the plan names.
///
/// # Errors
/// The plan's problems, if it has any; a plan without problems always gives a house.
pub fn run(plan: &Plan) -> Result<House, Vec<Problem>> {
    run_with(plan, lay::lay)
}

/// Runs every stage and searches for better joints for up to `effort` moves; `watch` is told how far it is
/// and may end it. The house's plan names the moves made: running it gives the same house.
///
/// # Errors
/// The plan's problems, if it has any.
pub fn search(
    plan: &Plan,
    effort: u64,
    watch: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
) -> Result<House, Vec<Problem>> {
    let mut house = run_with(plan, |plan, site, setout| lay::search(plan, site, setout, effort, watch))?;
    house.plan.effort = house.floor.moves;
    Ok(house)
}

fn run_with(plan: &Plan, lay: impl FnOnce(&Plan, &Site, &SetOut) -> Floor) -> Result<House, Vec<Problem>> {
    let problems = plan.problems();
    if !problems.is_empty() {
        return Err(problems);
    }
    let surveyed = site::survey(plan);
    let setout = contest::set_out(plan, &surveyed);
    let site = site::eased(&surveyed, &setout.eases);
    let floor = lay(plan, &site, &setout);
    let fit = fit::fit(plan, &site, &floor);
    let flags = findings::inspect(plan, &site, &floor, &fit);
    let order = order::order(plan, &site, &floor);
    Ok(House { plan: plan.clone(), surveyed, site, setout, floor, fit, flags, order })
}

impl House {
    /// What the rows that lie do to the edges still to come.
    pub fn drift(&self) -> Vec<Drift> {
        setout::drift(&self.plan, &self.surveyed, &self.setout)
    }

    /// The table of gaps and covers, edges of which the same is said in one line.
    pub fn cover_lines(&self) -> Vec<fit::CoverLine> {
        fit::cover_lines(&self.plan, &self.fit.covers)
    }

    /// Why this line, how far the tape may be out, control lines, and what other board widths would do.
    pub fn advice(&self) -> Advice {
        setout::advise(&self.plan, &self.surveyed, &self.setout)
    }

    /// The triangle that proves a line square to the start line.
    pub fn square(&self) -> Option<setout::Square> {
        setout::square(&self.plan, &self.site, &self.setout)
    }

    /// The order in which the boards are laid.
    pub fn sequence(&self) -> fit::Sequence {
        fit::sequence(&self.plan, &self.site, &self.floor)
    }

    /// What no legal stagger of this floor goes below.
    pub fn bound(&self) -> Bound {
        order::bound(&self.plan, &self.floor, &self.order)
    }
}
