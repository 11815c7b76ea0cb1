//! Fits a floor: goes over its boards once and gathers what stands in their way.

use crate::contact::Contacts;
use crate::continuous::{longest, widest};
use crate::slip::slips;
use crate::undercut::Undercuts;
use crate::ways::{Around, Needs, way_in};
use crate::{Fit, Way};
use lay::Floor;
use plan::{Places, Plan};
use site::Site;

/// How the floor goes in.
pub fn fit(plan: &Plan, site: &Site, floor: &Floor) -> Fit {
    let regions = || site.regions.iter().enumerate();
    let needs = Needs::of(plan);
    let places = Places::new(plan);
    let contacts = Contacts::new(plan, &places, site);
    let mut undercuts = Undercuts::new(plan, &places, site.frame);
    let mut ways = Vec::new();
    for (index, board) in floor.boards.iter().enumerate() {
        let around = contacts.of(board, floor.pitch);
        if around.is_empty() {
            continue;
        }
        undercuts.see(index, &around);
        ways.extend(way_in(&needs, index, &Around::new(board, &around, &needs)));
    }
    Fit {
        widths: regions().filter_map(|(i, r)| widest(r, i)).collect(),
        lengths: regions().filter_map(|(i, r)| longest(r, i)).collect(),
        usual: Way::usual(plan.stock.lock),
        ways,
        undercuts: undercuts.done(),
        slips: slips(floor),
    }
}
