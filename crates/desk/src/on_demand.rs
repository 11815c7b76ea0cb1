//! What is reckoned only while the step that shows it stands open, once for each house and off the window's thread.

use crate::compute::Compute;
use crate::job::{Job, Step};
use crate::reckon::{Reckoned, Watch};
use crate::strip::Peak;
use egui::Context;
use pipeline::{Brings, House};
use plan::MovementJoint;
use std::sync::Arc;

/// A value with the house it was reckoned for: what it names by number is looked up there, not in a newer one.
pub(crate) struct Made<T> {
    pub(crate) house: Arc<House>,
    pub(crate) value: T,
}

/// The last value of each kind, reckoned for the house of some generation.
pub(crate) type Kept<T> = Reckoned<u64, Made<T>>;

/// What joints that are proposed bring in, each laid through; what cannot be laid brings in nothing that could be told.
pub(crate) struct Joined {
    /// For each of the first proposals.
    pub(crate) each: Vec<Option<Brings>>,
    /// With all of them put in.
    pub(crate) all: Option<Brings>,
}

/// Proposals that are laid through one by one.
pub(crate) const JOINED: usize = 8;

impl Joined {
    fn of(house: &House, watch: &Watch) -> Option<Self> {
        let joints: Vec<MovementJoint> =
            house.proposals().into_iter().map(|proposal| proposal.joint).collect();
        let of = joints.len().min(JOINED) + usize::from(joints.len() > 1);
        let mut each = Vec::new();
        for (done, joint) in joints.iter().take(JOINED).enumerate() {
            if !watch.goes_on(done, of) {
                return None;
            }
            each.push(house.with_joints(std::slice::from_ref(joint)));
        }
        if !watch.goes_on(each.len(), of) {
            return None;
        }
        let all = if joints.len() > 1 { house.with_joints(&joints) } else { None };
        Some(Self { each, all })
    }
}

/// Everything that is reckoned on demand, each for the house of one generation.
#[derive(Default)]
pub(crate) struct OnDemand {
    /// What is said about the line in use.
    pub(crate) advice: Kept<setout::Advice>,
    /// Where the gap is to be wider than its least.
    pub(crate) gaps: Kept<Vec<setout::GapToLeave>>,
    /// Movement joints that would bring the floor within its limits.
    pub(crate) proposals: Kept<Vec<fit::Proposal>>,
    /// What each of these would bring in that is not there now, and all of them together.
    pub(crate) joined: Kept<Joined>,
    /// What is bought besides boards.
    pub(crate) bought: Kept<order::MaterialList>,
    /// The stages.
    pub(crate) stages: Kept<order::StagePlan>,
    /// What the rows that lie do to the edges to come.
    pub(crate) drift: Kept<Vec<setout::Drift>>,
    /// What no stagger goes below.
    pub(crate) bound: Kept<order::Bound>,
    /// The highest peak of the strip's curve, where that is higher than the lines that are marked.
    pub(crate) peak: Kept<Option<Peak>>,
}

impl OnDemand {
    /// Reckons what an open step, or the strip, shows and the last house has changed. Nothing while something is dragged: the last
    /// figures stay until the hand lets go.
    pub(crate) fn keep_up(
        &mut self,
        compute: &Compute,
        (job, has_strip): (&Job, bool),
        in_gesture: bool,
        at_once: bool,
        ctx: &Context,
    ) {
        let generation = compute.generation();
        let asks = Asks { compute, generation, in_gesture, at_once, ctx };
        asks.keep(&mut self.advice, job.is_open(Step::SetOut), House::advice);
        asks.keep(&mut self.gaps, job.is_open(Step::SetOut), House::gaps_to_leave);
        asks.keep(&mut self.proposals, job.is_open(Step::Fit), House::proposals);
        asks.keep_while(&mut self.joined, job.is_open(Step::Fit), Joined::of);
        asks.keep(&mut self.bought, job.is_open(Step::Order), House::materials);
        asks.keep(&mut self.stages, job.is_open(Step::Stages), House::stages);
        asks.keep(&mut self.drift, job.is_open(Step::Laid), House::drift);
        asks.keep(&mut self.peak, has_strip, Peak::of);
        asks.keep(&mut self.bound, job.is_open(Step::Lay) || job.is_open(Step::Order), House::bound);
    }
}

/// What is asked of the house now.
struct Asks<'a> {
    compute: &'a Compute,
    generation: u64,
    in_gesture: bool,
    at_once: bool,
    ctx: &'a Context,
}

impl Asks<'_> {
    fn keep<T: Send + 'static>(
        &self,
        kept: &mut Kept<T>,
        is_wanted: bool,
        reckon: impl FnOnce(&House) -> T + Send + 'static,
    ) {
        self.keep_while(kept, is_wanted, |house, _| Some(reckon(house)));
    }

    /// The same of what takes so long that it is given up where it is no longer wanted.
    fn keep_while<T: Send + 'static>(
        &self,
        kept: &mut Kept<T>,
        is_wanted: bool,
        reckon: impl FnOnce(&House, &Watch) -> Option<T> + Send + 'static,
    ) {
        kept.poll();
        let Some(house) = self.compute.house().filter(|_| is_wanted && !self.in_gesture) else { return };
        let house = house.clone();
        kept.ask(self.generation, self.at_once, self.ctx, move |watch| {
            let value = reckon(&house, watch)?;
            Some(Made { house, value })
        });
    }
}
