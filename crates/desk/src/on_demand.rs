//! What is reckoned only while the step that shows it stands open, once for each house and off the window's thread.

use crate::compute::Compute;
use crate::job::{Job, Step};
use crate::reckon::Reckoned;
use egui::Context;
use pipeline::House;
use std::sync::Arc;

/// A value with the house it was reckoned for: what it names by number is looked up there, not in a newer one.
pub(crate) struct Made<T> {
    pub(crate) house: Arc<House>,
    pub(crate) value: T,
}

/// The last value of each kind, reckoned for the house of some generation.
pub(crate) type Kept<T> = Reckoned<u64, Made<T>>;

/// Everything that is reckoned on demand, each for the house of one generation.
#[derive(Default)]
pub(crate) struct OnDemand {
    /// What is said about the line in use.
    pub(crate) advice: Kept<setout::Advice>,
    /// Where the gap is to be wider than its least.
    pub(crate) gaps: Kept<Vec<setout::GapToLeave>>,
    /// Movement joints that would bring the floor within its limits.
    pub(crate) proposals: Kept<Vec<fit::Proposal>>,
    /// What is bought besides boards.
    pub(crate) bought: Kept<order::MaterialList>,
    /// The stages.
    pub(crate) stages: Kept<order::StagePlan>,
    /// What the rows that lie do to the edges to come.
    pub(crate) drift: Kept<Vec<setout::Drift>>,
    /// What no stagger goes below.
    pub(crate) bound: Kept<order::Bound>,
}

impl OnDemand {
    /// Reckons what an open step shows and the last house has changed. Nothing while something is dragged: the last
    /// figures stay until the hand lets go.
    pub(crate) fn keep_up(
        &mut self,
        compute: &Compute,
        job: &Job,
        in_gesture: bool,
        at_once: bool,
        ctx: &Context,
    ) {
        let generation = compute.generation();
        let asks = Asks { compute, generation, in_gesture, at_once, ctx };
        asks.keep(&mut self.advice, job.is_open(Step::SetOut), House::advice);
        asks.keep(&mut self.gaps, job.is_open(Step::SetOut), House::gaps_to_leave);
        asks.keep(&mut self.proposals, job.is_open(Step::Fit), House::proposals);
        asks.keep(&mut self.bought, job.is_open(Step::Order), House::materials);
        asks.keep(&mut self.stages, job.is_open(Step::Stages), House::stages);
        asks.keep(&mut self.drift, job.is_open(Step::Laid), House::drift);
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
        kept.poll();
        let Some(house) = self.compute.house().filter(|_| is_wanted && !self.in_gesture) else { return };
        let house = house.clone();
        kept.ask(self.generation, self.at_once, self.ctx, move |_| {
            let value = reckon(&house);
            Some(Made { house, value })
        });
    }
}
