//! What is reckoned only while the step that shows it stands open, once for each house.

use crate::compute::Compute;
use crate::job::{Job, Step};

/// A value reckoned for the house of one generation.
pub(crate) struct Kept<T>(Option<(u64, T)>);

impl<T> Default for Kept<T> {
    fn default() -> Self {
        Self(None)
    }
}

impl<T> Kept<T> {
    /// The last value reckoned; while nothing newer is wanted it may be that of an earlier house.
    pub(crate) fn get(&self) -> Option<&T> {
        self.0.as_ref().map(|(_, value)| value)
    }

    fn keep_up(&mut self, generation: u64, is_wanted: bool, reckon: impl FnOnce() -> Option<T>) {
        let is_known = self.0.as_ref().is_some_and(|(known, _)| *known == generation);
        if is_wanted && !is_known {
            self.0 = reckon().map(|value| (generation, value));
        }
    }
}

/// Everything that is reckoned on demand.
#[derive(Default)]
pub(crate) struct OnDemand {
    /// What is said about the line in use.
    pub(crate) advice: Kept<setout::Advice>,
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
    /// Reckons what an open step shows and the last house has changed. Nothing while something is dragged.
    pub(crate) fn keep_up(&mut self, compute: &Compute, job: &Job, in_gesture: bool) {
        if in_gesture {
            return;
        }
        let generation = compute.generation();
        let is_open = |step| job.is_open(step);
        let house = || compute.house();
        self.advice.keep_up(generation, is_open(Step::SetOut), || house().map(|house| house.advice()));
        self.proposals.keep_up(generation, is_open(Step::Fit), || house().map(|house| house.proposals()));
        self.bought.keep_up(generation, is_open(Step::Order), || house().map(|house| house.materials()));
        self.stages.keep_up(generation, is_open(Step::Stages), || house().map(|house| house.stages()));
        self.drift.keep_up(generation, is_open(Step::Laid), || house().map(|house| house.drift()));
        self.bound.keep_up(generation, is_open(Step::Lay), || house().map(|house| house.bound()));
    }
}
