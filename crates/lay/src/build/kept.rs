//! A run laid with the joints it had, its pieces from whatever boards serve best now.

use super::job::Job;
use super::{Builder, Way, weight};
use crate::rules::{CROWDED, Marks};
use crate::shelf::EXACT;
use crate::state::Cut;
use crate::yard::{AS_SOLD, Need, Offer, Want};

impl Builder {
    /// Offers a run's former pieces, from the worker's left. Nothing where some board is not to be had.
    pub(super) fn as_before(&mut self, job: &Job, cuts: &[Cut]) {
        self.pieces.clear();
        self.taken.clear();
        self.spoken.clear();
        let (mut at, mut cost, mut loss) = (0.0, 0.0, 0.0);
        let mut marks = Marks::default();
        let yard = &job.state.yard;
        let count = cuts.len();
        for (i, cut) in cuts.iter().enumerate() {
            let want = cut.want();
            let offer = match cut.need {
                Need::Both if yard.end_match() => self.between(job, at, &want),
                // The first piece has none before it to come from.
                _ if i + 1 == count => self.closer(job, at, &want),
                _ => {
                    let spoken_for = (self.taken.as_slice(), self.spoken.as_slice());
                    yard.best(&want, job.classes(at, cut.length), spoken_for, &mut self.scratch)
                }
            };
            let Some(offer) = offer else { return };
            cost += offer.cost + job.short(at, cut.length);
            loss += offer.loss;
            self.push(want, offer.source);
            at += cut.length;
            if i + 1 < count {
                let Some(joint) = job.marks(at, false) else { return };
                marks += joint;
            }
        }
        let least = job.state.task.rules.least_end - EXACT;
        let [starts_joined, ends_joined] = job.joined();
        let is_short = |cut: Option<&Cut>, joined: bool| !joined && cut.is_some_and(|cut| cut.length < least);
        if count > 1 {
            marks.hard += i64::from(is_short(cuts.first(), starts_joined));
            marks.hard += i64::from(is_short(cuts.last(), ends_joined));
        }
        let crowd = CROWDED * job.state.task.crowded(job.run, cuts) as f64;
        let cost = cost + crowd + weight(&marks);
        let Marks { hard, looks, .. } = marks;
        self.keep_if_best(Way { cost, hard, looks, loss, crowd, ..Way::default() }, None);
    }

    /// A board between two others, just so long: a strip with both its ends, else a whole board.
    fn between(&mut self, job: &Job, at: f64, want: &Want) -> Option<Offer> {
        let yard = &job.state.yard;
        let strips = &job.classes(at, want.length)[1..];
        if let Some(bar) = yard.strip_between(want.length, strips, &self.taken) {
            return Some(yard.of_bar(bar, want));
        }
        yard.shelf.fits(want.length, 0.0, &self.spoken, &mut self.scratch);
        let is_whole = |kind: &&u32| yard.shelf.length(**kind) <= want.length + AS_SOLD;
        let kind = self.scratch.iter().find(is_whole).copied()?;
        Some(yard.of_fresh(kind, want.length))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::again::Memory;
    use crate::ground::Ground;
    use crate::search::{first_floor, trade};
    use crate::state::{State, Task};
    use crate::yard::NONE;
    use plan::{BoardLength, GapRange, Plan, Point, Room, StartLine};
    use rand_core::SeedableRng;
    use rand_pcg::Pcg64Mcg;
    use setout::SetOut;
    use site::Site;

    /// Three whole rows between two rips of 90, the one with its tongue and the other with its groove, so that one lies beside
    /// the other in their boards.
    fn two_rips() -> (Plan, Site, SetOut) {
        let mut plan = Plan::new("t");
        plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
        plan.start_line = StartLine::At(100.0);
        let corners = [(0.0, 0.0), (6020.0, 0.0), (6020.0, 770.0), (0.0, 770.0)].map(Point::from);
        plan.rooms.push(Room::boarded("Room", corners));
        plan.stock.lengths = [2000.0, 1600.0].map(|length| BoardLength { length, per_pack: 3 }).to_vec();
        let site = site::survey(&plan);
        let mut setout = setout::set_out(&plan, &site);
        setout.region_lines[0] = -90.0;
        (plan, site, setout)
    }

    fn lengths(state: &State) -> Vec<Vec<f64>> {
        state.cuts.iter().map(|cuts| cuts.iter().map(|cut| cut.length).collect()).collect()
    }

    /// Of five runs only the first and the last are rips, and the strips of each serve the other. A floor that is not searched
    /// pairs none.
    #[test]
    fn rips_that_lie_side_by_side_are_partners() {
        let (plan, site, setout) = two_rips();
        let ground = Ground::new(&plan, &site, &setout);
        for is_searched in [true, false] {
            let rips = Task::new(&ground, &plan, is_searched).rips;
            let pairs = (0..5).flat_map(|a| (0..5).map(move |b| (a, b)));
            let serving: Vec<_> = pairs.filter(|(a, b)| rips.serves(*a, *b)).collect();
            assert_eq!(serving, [(0, 4), (4, 0)]);
            assert_eq!(rips.leaving(), if is_searched { &[0, 4][..] } else { &[] });
        }
    }

    /// Boards are traded for as long as nothing will do: every joint stays, and the floor is worth no less.
    #[test]
    fn a_trade_moves_no_joint() {
        let (plan, site, setout) = two_rips();
        let ground = Ground::new(&plan, &site, &setout);
        for is_searched in [true, false] {
            let task = Task::new(&ground, &plan, is_searched);
            for seed in 0..10 {
                let plan = Plan { seed, ..plan.clone() };
                let mut state = first_floor(&task, &plan, 0.0, &mut Memory::default());
                state.recount();
                let traded = trade(state.clone(), seed, |_| false);
                assert_eq!(lengths(&traded), lengths(&state));
                assert!(
                    traded.weight() <= state.weight() + 1e-6,
                    "{} of {}",
                    traded.weight(),
                    state.weight()
                );
            }
        }
    }

    /// Every run that is taken up, with what hangs on its strips, and tried no other way, comes back with its joints, and opens
    /// no more boards.
    #[test]
    fn a_run_may_keep_its_joints() {
        let (plan, site, setout) = two_rips();
        let ground = Ground::new(&plan, &site, &setout);
        let task = Task::new(&ground, &plan, true);
        let mut state = first_floor(&task, &plan, 0.0, &mut Memory::default());
        assert!(state.cuts.iter().flatten().any(|cut| cut.strip != NONE), "no strip is left");
        state.recount();
        let mut rng = Pcg64Mcg::seed_from_u64(1);
        let mut builder = Builder::default();
        for run in 0..state.cuts.len() {
            let (before, value) = (lengths(&state), state.value());
            assert!(before[run].len() > 2, "{before:?}");
            let mut runs = vec![run];
            state.add_dependents(&mut runs);
            let taken = state.take_up(&runs);
            for (run, had) in runs.iter().zip(&taken) {
                builder.build_or_keep(&mut state, *run, (0, true), had, &mut rng).unwrap();
            }
            assert_eq!(lengths(&state), before);
            assert!(state.value().costs_no_more(&value), "{:?} after {value:?}", state.value());
        }
    }
}
