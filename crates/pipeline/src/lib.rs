//! The stages run one after the other, shared by window, command line and sheets.

mod choices;
mod contest;
mod directions;
mod drift_words;
mod laid;
mod laid_facts;
mod proposing;
mod reads;
mod result;
mod row_words;
mod short_rips;
mod workbench;

pub use choices::{Brings, Choice, Figures, Mend};
pub use contest::{LaidLine, lay_lines};
pub use directions::{Direction, Reason, directions, directions_while};
pub use drift_words::FEW_EDGES;
pub use laid::LaidError;
pub use lay::Progress;
pub use result::{Document, SCHEMA};
pub use short_rips::ShortRip;
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
    run_with(plan, None)
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
    let searched = |plan: &Plan, site: &Site, setout: &SetOut| lay::search(plan, site, setout, effort, watch);
    let mut house = run_with(plan, Some(&searched))?;
    house.plan.effort = house.floor.moves;
    Ok(house)
}

/// Lays a site from its line.
type Lay<'a> = &'a dyn Fn(&Plan, &Site, &SetOut) -> Floor;

/// Runs every stage, with other laying than the plan's own where any is given.
fn run_with(plan: &Plan, lay: Option<Lay<'_>>) -> Result<House, Vec<Problem>> {
    let problems = plan.problems();
    if !problems.is_empty() {
        return Err(problems);
    }
    let surveyed = site::survey(plan);
    let (setout, tried) = contest::set_out(plan, &surveyed);
    let house = match (lay, tried) {
        (None, Some(tried)) => tried.house(plan, surveyed, setout),
        (lay, _) => {
            let site = site::eased(&surveyed, &setout.eases);
            let floor = lay.unwrap_or(&lay::lay)(plan, &site, &setout);
            house(plan, (surveyed, site), setout, floor, Found::default())
        }
    };
    Ok(house)
}

/// What is known of a floor already, from the house before.
#[derive(Debug, Default)]
struct Found {
    fit: Option<Fit>,
    flags: Option<Vec<Flag>>,
    order: Option<Order>,
}

/// A house of a floor that is laid; what is looked for on it and what is counted for it do not ask one another.
fn house(
    plan: &Plan,
    (surveyed, site): (Site, Site),
    setout: SetOut,
    floor: Floor,
    Found { fit, flags, order }: Found,
) -> House {
    let found = || {
        let fit = fit.unwrap_or_else(|| fit::fit(plan, &site, &floor));
        let flags = flags.unwrap_or_else(|| findings::inspect(plan, &site, &floor, &fit));
        (fit, flags)
    };
    let counted = || order.unwrap_or_else(|| order::order(plan, &site, &floor));
    let ((fit, flags), order) = rayon::join(found, counted);
    let floor = stage_by_stage(plan, &site, floor);
    House { plan: plan.clone(), surveyed, site, setout, floor, fit, flags, order }
}

/// A floor with its packs dealt stage by stage, so that none is opened before boards of it are laid. Nothing that is looked for
/// or counted hangs on which pack of its length a board is from.
fn stage_by_stage(plan: &Plan, site: &Site, mut floor: Floor) -> Floor {
    if plan.stages.len() > 1 {
        let stages = order::stage_shares(plan, site, &floor).of_board;
        let stage = |piece: &lay::Piece| stages.get(piece.board).copied().flatten();
        // Boards in no stage come last.
        let first = |board: &lay::StockBoard| board.pieces.iter().filter_map(stage).min();
        let turns: Vec<usize> = floor.stock.iter().map(|board| first(board).unwrap_or(usize::MAX)).collect();
        lay::deal(plan, &mut floor, &turns);
    }
    floor
}

/// A site with its boards and what is found on them.
#[derive(Debug)]
struct Boarded {
    site: Site,
    floor: Floor,
    fit: Fit,
    flags: Vec<Flag>,
}

impl Boarded {
    fn new(plan: &Plan, site: Site, floor: Floor) -> Self {
        let fit = fit::fit(plan, &site, &floor);
        let flags = findings::inspect(plan, &site, &floor, &fit);
        Self { site, floor, fit, flags }
    }

    fn house(self, plan: &Plan, surveyed: Site, setout: SetOut) -> House {
        let Self { site, floor, fit, flags } = self;
        let order = order::order(plan, &site, &floor);
        let floor = stage_by_stage(plan, &site, floor);
        House { plan: plan.clone(), surveyed, site, setout, floor, fit, flags, order }
    }
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

    /// The long edge that a rip keeps: where a room is laid back from a doorway it is the other one than from the line.
    pub fn keeps(&self, rip: &setout::Rip) -> setout::Profile {
        use setout::Profile::{Groove, Tongue};
        let edge = self.site.fields().get(rip.edge.region).and_then(|field| {
            let ring = field.rings().nth(rip.edge.ring)?;
            ring.edges.get(rip.edge.edge)
        });
        let backwards = || self.floor.runs.iter().filter(|run| run.backwards);
        let boards = || backwards().filter_map(|run| self.floor.boards.get(run.boards.clone())).flatten();
        match (edge.is_some_and(|edge| boards().any(|board| board.lies_along(edge))), rip.keeps) {
            (false, keeps) => keeps,
            (true, Groove) => Tongue,
            (true, Tongue) => Groove,
        }
    }

    /// Strips beside rips that lie, wide enough for a rip and long enough to keep, each with the boards still to come that
    /// are cut from it.
    pub fn strips_in_hand(&self) -> Vec<(plan::LaidStrip, Vec<usize>)> {
        let Some(laid) = &self.plan.laid else { return Vec::new() };
        let stock = &self.plan.stock;
        let strips = laid.strips(stock.pitch(), stock.kerf, self.plan.rules.least_rip);
        let long = strips.into_iter().filter(|strip| strip.to - strip.from >= lay::WORTH_KEEPING);
        let with_use = long.map(|strip| {
            let of = self.floor.stock.get(strip.stock).map_or(&[][..], |stock| stock.pieces.as_slice());
            let is_of = |piece: &&lay::Piece| {
                let shared = piece.to.min(strip.to) - piece.from.max(strip.from);
                piece.strip && shared > 1.0 && !self.floor.is_laid(piece.board)
            };
            (strip, of.iter().filter(is_of).map(|piece| piece.board).collect())
        });
        with_use.collect()
    }

    /// The gaps that are to be left wider than their least, so that no strip is left beside a whole board.
    pub fn gaps_to_leave(&self) -> Vec<setout::GapToLeave> {
        setout::gaps_to_leave(&self.surveyed, &self.setout)
    }

    /// The triangle that proves a line square to the start line.
    pub fn square(&self) -> Option<setout::Square> {
        setout::square(&self.plan, &self.site, &self.setout)
    }

    /// The order in which the boards are laid: stage by stage where the plan names stages.
    pub fn sequence(&self) -> fit::Sequence {
        let stages = order::stage_shares(&self.plan, &self.site, &self.floor);
        fit::sequence(&self.plan, &self.site, &self.floor, &stages.of_board)
    }

    /// Where each board's far joint is pulled from, in the order of the floor's boards.
    pub fn joint_pulls(&self) -> Vec<Option<fit::JointPull>> {
        fit::joint_pulls(&self.site, &self.floor)
    }

    /// How far a board's far joint lies from what the tape is hooked on, and that; `None` for the last of a row, and
    /// where no tape is hooked.
    pub fn joint_pull(&self, board: usize) -> Option<(f64, fit::JointPull)> {
        let pull = fit::joint_pull(&self.site, &self.floor, board)?;
        Some((pull.joint(self.floor.boards.get(board)?), pull))
    }

    /// The saw list, one for each stage.
    pub fn saw_parts(&self) -> Vec<order::SawPart> {
        let shares = order::stage_shares(&self.plan, &self.site, &self.floor);
        order::saw_parts(&self.plan, &self.floor, &self.order, &shares)
    }

    /// What no legal stagger of this floor goes below.
    pub fn bound(&self) -> Bound {
        order::bound(&self.plan, &self.floor, &self.order)
    }
}
