//! The last house and what of it an edit leaves as it is.

use crate::House;
use lay::Layer;
use plan::{CoverRules, LevelRules, Plan, Problem};
use site::Surveyor;
use std::sync::Arc;

/// Runs the stages on one plan after another and keeps the last house, so that an edit costs what it touches.
/// It gives what [`crate::run`] gives.
///
/// The site is computed anew only where rooms joined to one another have changed; set-out and laying only where
/// what they are given has changed, laying from the first run on that has. Names, prices and what boards pass over change
/// neither.
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
}

impl Workbench {
    /// Runs every stage on a plan, or takes its result over from the last house.
    ///
    /// # Errors
    /// The plan's problems, if it has any; the last house is kept for the next plan.
    pub fn run(&mut self, plan: &Plan) -> Result<Arc<House>, Vec<Problem>> {
        if let Some(last) = self.last.as_ref().filter(|last| last.plan == *plan) {
            self.kept = Kept { setout: true, floor: true };
            self.laid_again = 0;
            return Ok(last.clone());
        }
        let problems = plan.problems();
        if !problems.is_empty() {
            return Err(problems);
        }
        let surveyed = self.surveyor.survey(plan);
        let last = self.last.as_deref();
        let reads_same = |last: &&House| {
            // The seed is read where lines worth the same are laid to choose among them.
            let seed_is_read = crate::contest::is_contested(plan, &last.setout);
            last.surveyed == surveyed
                && setout_reads(&last.plan) == setout_reads(plan)
                && (last.plan.seed == plan.seed || !seed_is_read)
        };
        let kept_setout = last.filter(reads_same);
        let (setout, tried) = match kept_setout {
            Some(last) => (last.setout.clone(), None),
            None => crate::contest::set_out(plan, &surveyed),
        };
        let site = match &tried {
            Some(tried) => tried.site.clone(),
            None => site::eased(&surveyed, &setout.eases),
        };
        let lays_same = |last: &&House| {
            last.site == site && last.setout == setout && lay_reads(&last.plan) == lay_reads(plan)
        };
        let same = last.filter(lays_same);
        self.kept = Kept { setout: kept_setout.is_some(), floor: same.is_some() };
        self.laid_again = 0;
        let house = match (tried, same) {
            // Laid to choose its line, and looked through.
            (Some(tried), _) => tried.house(plan, surveyed, setout),
            (None, Some(last)) => crate::house(plan, (surveyed, site), setout, last.floor.clone()),
            (None, None) => {
                let floor = self.layer.lay(plan, &site, &setout);
                self.laid_again = self.layer.laid_again();
                crate::house(plan, (surveyed, site), setout, floor)
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

/// The plan without what no set-out reads: prices, levels, covers, the slab, materials and stages, the seed and the
/// search's moves, what lies under the boards.
/// Whatever is not taken out counts as read, so that a new field is safe until someone thinks about it.
fn setout_reads(plan: &Plan) -> Plan {
    let mut read = without_prices(plan);
    without_seasons(&mut read);
    read.name.clear();
    (read.seed, read.effort) = (0, 0);
    without_ways_in(&mut read);
    read.fixtures.retain(|fixture| !is_passed_over(fixture));
    read
}

/// Takes out what only the ways in read.
fn without_ways_in(plan: &mut Plan) {
    let rules = &mut plan.rules;
    (rules.travel, rules.tilt_room, rules.slide_room) = (None, None, None);
}

/// The plan without what no laying reads: names, prices, levels, covers, units, and what lies under the boards.
fn lay_reads(plan: &Plan) -> Plan {
    let mut read = without_prices(plan);
    without_seasons(&mut read);
    read.name.clear();
    read.units = plan::Units::Metric;
    without_ways_in(&mut read);
    read.rooms.iter_mut().for_each(|room| room.name.clear());
    read.doorways.iter_mut().for_each(|door| {
        door.name.clear();
        door.room.clear();
    });
    read.own_lines.iter_mut().for_each(|line| line.room.clear());
    read.laid.iter_mut().flat_map(|laid| &mut laid.parts).for_each(|part| part.room.clear());
    read.fixtures.retain(|fixture| !is_passed_over(fixture));
    read.fixtures.iter_mut().for_each(|fixture| fixture.name.clear());
    read
}

fn without_prices(plan: &Plan) -> Plan {
    let mut read = plan.clone();
    take_levels(&mut read);
    read.stock.name.clear();
    read.stock.pack_price = None;
    read.stock.currency.clear();
    // The slab's record, materials and stages are reckoned beside the floor and change none of it.
    (read.slab, read.materials) = (None, None);
    read.stages.clear();
    read.waits = plan::Waits::default();
    // A picture is drawn over, and computed from by nobody.
    read.backdrop = None;
    read
}

/// What moves the floor moves no board; joints are read from the site, their names are not.
fn without_seasons(read: &mut Plan) {
    read.stock.wood = None;
    read.air = None;
    read.joints.iter_mut().for_each(|joint| joint.name.clear());
}

/// Takes out levels and covers: they are read once the floor lies.
fn take_levels(read: &mut Plan) {
    (read.stock.wear_layer, read.stock.bed) = (None, None);
    (read.rules.cover, read.rules.levels) = (CoverRules::default(), LevelRules::default());
    for room in &mut read.rooms {
        (room.slab_level, room.surface) = (0.0, None);
        room.walls.iter_mut().for_each(|wall| wall.skirting = None);
    }
    for door in &mut read.doorways {
        (door.arris, door.outside) = (None, None);
        door.leaf.iter_mut().for_each(|leaf| leaf.above_slab = None);
    }
    read.fixtures.iter_mut().for_each(|fixture| (fixture.cover, fixture.appliance) = (None, None));
}

fn is_passed_over(fixture: &plan::Fixture) -> bool {
    use plan::FixtureKind::{LowSpot, Rebate};
    matches!(fixture.kind, Rebate { .. } | LowSpot { .. })
}
