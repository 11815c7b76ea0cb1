//! The last house and what of it an edit leaves as it is.

use crate::reads::Alike;
use crate::{Found, House};
use lay::Layer;
use plan::{Plan, Problem};
use site::Surveyor;
use std::sync::Arc;

/// Runs the stages on one plan after another and keeps the last house, so that an edit costs what it touches.
/// It gives what [`crate::run`] gives.
///
/// The site is computed anew only where rooms joined to one another have changed; set-out and laying only where
/// what they are given has changed, laying from the first run on that has. Names, prices and what boards pass over change
/// neither.
///
/// What goes in, what is flagged and what is ordered are taken over where boards are and what each of them reads: names are
/// read by flags and lists, a price by nothing but the price of the order.
#[derive(Debug, Default)]
pub struct Workbench {
    surveyor: Surveyor,
    layer: Layer,
    laid_again: usize,
    last: Option<Arc<House>>,
    kept: Kept,
}

/// Which stages the last run took over from the house before.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Kept {
    /// The set-out.
    pub setout: bool,
    /// The boards.
    pub floor: bool,
    /// How they go in.
    pub fit: bool,
    /// Flags, and the order but for its price.
    pub flags: bool,
}

impl Kept {
    /// A house after which nothing was changed.
    const ALL: Self = Self { setout: true, floor: true, fit: true, flags: true };
}

impl Workbench {
    /// Runs every stage on a plan, or takes its result over from the last house.
    ///
    /// # Errors
    /// The plan's problems, if it has any; the last house is kept for the next plan.
    pub fn run(&mut self, plan: &Plan) -> Result<Arc<House>, Vec<Problem>> {
        if let Some(last) = self.last.as_ref().filter(|last| last.plan == *plan) {
            self.kept = Kept::ALL;
            self.laid_again = 0;
            return Ok(last.clone());
        }
        let problems = plan.problems();
        if !problems.is_empty() {
            return Err(problems);
        }
        let surveyed = self.surveyor.survey(plan);
        let last = self.last.as_deref().map(|last| (last, Alike::of(&last.plan, plan)));
        let sets_out_same = |(last, alike): &(&House, Alike)| {
            // Lines worth the same are laid, and looked through for faults, to choose among them: all is read but names.
            let is_contested = crate::contest::is_contested(plan, &last.setout);
            let is_tried_same = || {
                let beside_it = (&last.plan.slab, &last.plan.materials) == (&plan.slab, &plan.materials);
                alike.fit && beside_it
            };
            alike.setout && last.surveyed == surveyed && (!is_contested || is_tried_same())
        };
        let kept_setout = last.filter(sets_out_same);
        let (setout, tried) = match kept_setout {
            Some((last, _)) => (last.setout.clone(), None),
            None => crate::contest::set_out(plan, &surveyed),
        };
        let site = match &tried {
            Some(tried) => tried.site.clone(),
            None => site::eased(&surveyed, &setout.eases),
        };
        let lays_same =
            |(last, alike): &(&House, Alike)| alike.lay && last.setout == setout && last.site == site;
        let same = last.filter(lays_same);
        let fits_same = same.filter(|(_, alike)| alike.fit);
        let flags_same = same.filter(|(_, alike)| alike.flags);
        self.kept = Kept {
            setout: kept_setout.is_some(),
            floor: same.is_some(),
            fit: tried.is_none() && fits_same.is_some(),
            flags: tried.is_none() && flags_same.is_some(),
        };
        self.laid_again = 0;
        let house = match (tried, same) {
            // Laid to choose its line, and looked through.
            (Some(tried), _) => tried.house(plan, surveyed, setout),
            (None, Some((last, _))) => {
                let found = Found {
                    fit: fits_same.map(|(last, _)| last.fit.clone()),
                    flags: flags_same.map(|(last, _)| last.flags.clone()),
                    order: flags_same.map(|(last, _)| last.order.clone().priced(&plan.stock)),
                };
                crate::house(plan, (surveyed, site), setout, last.floor.clone(), found)
            }
            (None, None) => {
                let floor = self.layer.lay(plan, &site, &setout);
                self.laid_again = self.layer.laid_again();
                crate::house(plan, (surveyed, site), setout, floor, Found::default())
            }
        };
        let house = Arc::new(house);
        self.last = Some(house.clone());
        Ok(house)
    }

    /// How many runs the last run laid as in the floor before without looking for another way: those before the first that
    /// an edit touches, in order of laying. None where all boards were taken over.
    pub fn runs_laid_again(&self) -> usize {
        self.laid_again
    }

    /// What the last run that gave a house took over.
    pub fn kept(&self) -> Kept {
        self.kept
    }
}
