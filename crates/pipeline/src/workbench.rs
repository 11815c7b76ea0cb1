//! The last house and what of it an edit leaves as it is.

use crate::{Found, House};
use lay::Layer;
use plan::{CoverRules, LevelRules, Plan, Problem};
use site::Surveyor;
use std::collections::BTreeMap;
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
    last: Option<(Arc<House>, Reads)>,
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
        if let Some((last, _)) = self.last.as_ref().filter(|(last, _)| last.plan == *plan) {
            self.kept = Kept::ALL;
            self.laid_again = 0;
            return Ok(last.clone());
        }
        let problems = plan.problems();
        if !problems.is_empty() {
            return Err(problems);
        }
        let surveyed = self.surveyor.survey(plan);
        let reads = Reads::of(plan);
        let last = self.last.as_ref().map(|(last, read)| (&**last, read));
        let sets_out_same = |(last, read): &(&House, &Reads)| {
            // Lines worth the same are laid, and looked through for faults, to choose among them: all is read but names.
            let is_contested = crate::contest::is_contested(plan, &last.setout);
            let is_tried_same = || {
                let beside = |plan: &Plan| (plan.slab.clone(), plan.materials.clone());
                read.fit == reads.fit && beside(&last.plan) == beside(plan)
            };
            last.surveyed == surveyed && read.setout == reads.setout && (!is_contested || is_tried_same())
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
        let lays_same = |(last, read): &(&House, &Reads)| {
            last.site == site && last.setout == setout && read.lay == reads.lay
        };
        let same = last.filter(lays_same);
        let fits_same = same.filter(|(_, read)| read.fit == reads.fit);
        let flags_same = same.filter(|(_, read)| read.flags == reads.flags);
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
        self.last = Some((house.clone(), reads));
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

/// What stages read of a plan, beside what stages before them give: the plan without what they do not. Whatever is not taken
/// out counts as read, so that a new field is safe until someone thinks about it.
#[derive(Debug)]
struct Reads {
    setout: Plan,
    lay: Plan,
    fit: Plan,
    /// The same is read for the order but for its price.
    flags: Plan,
}

impl Reads {
    fn of(plan: &Plan) -> Self {
        let flags = without_prices(plan);
        let mut fit = flags.clone();
        number_names(&mut fit);
        // The slab's record and materials are reckoned beside the floor and change none of it.
        (fit.slab, fit.materials) = (None, None);
        let mut computed = fit.clone();
        take_levels(&mut computed);
        without_seasons(&mut computed);
        without_ways_in(&mut computed);
        computed.fixtures.retain(|fixture| !is_passed_over(fixture));
        Self { setout: setout_reads(computed.clone()), lay: lay_reads(computed), fit, flags }
    }
}

/// The plan without what no set-out reads beside levels, covers, seasons and the like: the seed and the search's moves.
fn setout_reads(mut read: Plan) -> Plan {
    (read.seed, read.effort) = (0, 0);
    read
}

/// The plan without what no laying reads beside the same: units, and which room is named by what.
fn lay_reads(mut read: Plan) -> Plan {
    read.units = plan::Units::Metric;
    read.doorways.iter_mut().for_each(|door| door.room.clear());
    read.own_lines.iter_mut().for_each(|line| line.room.clear());
    read.laid.iter_mut().flat_map(|laid| &mut laid.parts).for_each(|part| part.room.clear());
    read
}

/// Takes out names, and names rooms by their number: that a doorway stands in another room is read, not what either is called.
fn number_names(plan: &mut Plan) {
    let mut numbers: BTreeMap<String, usize> = BTreeMap::new();
    for (number, room) in plan.rooms.iter_mut().enumerate() {
        numbers.entry(std::mem::take(&mut room.name)).or_insert(number);
    }
    let number = |name: &mut String| {
        if let Some(number) = numbers.get(name) {
            *name = number.to_string();
        }
    };
    for door in &mut plan.doorways {
        door.name.clear();
        number(&mut door.room);
    }
    plan.own_lines.iter_mut().for_each(|line| number(&mut line.room));
    plan.laid.iter_mut().flat_map(|laid| &mut laid.parts).for_each(|part| number(&mut part.room));
    plan.fixtures.iter_mut().for_each(|fixture| fixture.name.clear());
    plan.joints.iter_mut().for_each(|joint| joint.name.clear());
}

/// Takes out what only the ways in read.
fn without_ways_in(plan: &mut Plan) {
    let rules = &mut plan.rules;
    (rules.travel, rules.tilt_room, rules.slide_room) = (None, None, None);
}

/// The plan without what no stage reads but the price of the order: prices, stages, what is said of the whole.
fn without_prices(plan: &Plan) -> Plan {
    let mut read = plan.clone();
    read.name.clear();
    read.stock.name.clear();
    read.stock.pack_price = None;
    read.stock.currency.clear();
    read.stages.clear();
    read.waits = plan::Waits::default();
    // A picture is drawn over, and computed from by nobody.
    read.backdrop = None;
    read
}

/// What moves the floor moves no board.
fn without_seasons(read: &mut Plan) {
    read.stock.wood = None;
    read.air = None;
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
