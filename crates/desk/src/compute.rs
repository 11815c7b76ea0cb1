//! Runs the stages off the window's thread; while they fit in a frame, the frame waits for them.

use pipeline::{House, Workbench};
use plan::{Place, Plan, Problem};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex, PoisonError, TryLockError};
use std::time::{Duration, Instant};

/// So long a frame waits for its own floor, while floors take no longer: what is dragged and its boards move together.
/// Longer, and a frame at 120 a second has no time left to be drawn; shorter, and boards of a house trail the hand.
const HELD: Duration = Duration::from_micros(3500);

/// A revision of the plan, and whether all its effort goes into it: while a gesture lasts, the first
/// floor found is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
struct Asked {
    revision: u64,
    whole: bool,
}

/// What one run gave.
struct Outcome {
    asked: Asked,
    result: Result<Arc<House>, Vec<Problem>>,
    took: Duration,
    /// Whether moves of the search went into it: what it took says nothing about the next draft.
    searched: bool,
}

/// The newest plan the worker has not taken up yet.
#[derive(Default)]
struct Slot {
    job: Mutex<SlotState>,
    wake: Condvar,
}

#[derive(Default)]
struct SlotState {
    job: Option<(Asked, Arc<Plan>)>,
    closed: bool,
}

/// The worker's side of the desk; closing the slot ends the thread.
struct Worker {
    slot: Arc<Slot>,
    results: Receiver<Outcome>,
}

impl Drop for Worker {
    fn drop(&mut self) {
        self.slot.job.lock().unwrap_or_else(PoisonError::into_inner).closed = true;
        self.slot.wake.notify_all();
    }
}

/// The computed house and how it is kept up with the plan.
pub(crate) struct Compute {
    synchronous: bool,
    /// Lays floors without search.
    drafts: Option<Worker>,
    /// Lays floors with the moves of search that their plan names: that may take seconds.
    searches: Option<Worker>,
    bench: Arc<Mutex<Workbench>>,
    last_took: Duration,
    requested: Asked,
    shown: Asked,
    house: Option<Arc<House>>,
    problems: Vec<Problem>,
    generation: u64,
}

impl Compute {
    /// With `synchronous`, every run is done at once however long it takes.
    pub(crate) fn new(synchronous: bool) -> Self {
        Self {
            synchronous,
            drafts: None,
            searches: None,
            bench: Arc::default(),
            last_took: Duration::ZERO,
            requested: Asked::default(),
            shown: Asked::default(),
            house: None,
            problems: Vec::new(),
            generation: 0,
        }
    }

    /// The last house that could be computed.
    pub(crate) fn house(&self) -> Option<&Arc<House>> {
        self.house.as_ref()
    }

    /// Why the newest plan computed gave no house; empty if it did.
    pub(crate) fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// Whether the house shown is that of the plan as it is now.
    pub(crate) fn is_current(&self) -> bool {
        self.shown == self.requested && self.problems.is_empty() && self.house.is_some()
    }

    /// Whether a run is under way.
    pub(crate) fn is_busy(&self) -> bool {
        self.shown != self.requested
    }

    /// Counts up with every house taken over.
    pub(crate) fn generation(&self) -> u64 {
        self.generation
    }

    /// Forgets the house: another document is open.
    pub(crate) fn forget(&mut self) {
        self.house = None;
        self.problems.clear();
        (self.drafts, self.searches) = (None, None);
        self.requested = Asked::default();
        self.shown = Asked::default();
        self.generation += 1;
    }

    /// Asks for the house of this revision of the plan, unless it has been asked for. A draft is laid
    /// without search.
    pub(crate) fn request(&mut self, revision: u64, plan: &Arc<Plan>, draft: bool, ctx: &egui::Context) {
        let asked = Asked { revision, whole: !draft || plan.effort == 0 };
        // A gesture that begins changes nothing: the floor shown stays.
        if self.requested.revision == revision && self.requested.whole >= asked.whole {
            return;
        }
        self.requested = asked;
        let searches = asked.whole && plan.effort > 0;
        if self.synchronous {
            let outcome = compute(asked, plan, &self.bench);
            self.accept(outcome);
            return;
        }
        let mut held = asked;
        if searches {
            let is_sent = send(&mut self.searches, asked, plan, &self.bench, ctx);
            if self.shown.revision == revision && is_sent {
                return;
            }
            // Something to look at until the search is through.
            held = Asked { revision, whole: false };
        }
        if !send(&mut self.drafts, held, plan, &self.bench, ctx) {
            let outcome = compute(asked, plan, &self.bench);
            self.accept(outcome);
        } else if self.last_took < HELD {
            self.wait_for(held);
        }
    }

    /// Waits a little for a floor that is likely to be there soon.
    fn wait_for(&mut self, held: Asked) {
        let begun = Instant::now();
        while self.shown < held {
            let left = HELD.saturating_sub(begun.elapsed());
            let Some(worker) = &self.drafts else { return };
            match worker.results.recv_timeout(left) {
                Ok(outcome) => self.accept(outcome),
                Err(_) => return,
            }
        }
    }

    /// Takes over what the workers have finished.
    pub(crate) fn poll(&mut self) {
        let workers = [&self.drafts, &self.searches];
        let outcomes: Vec<_> =
            workers.into_iter().flatten().flat_map(|worker| worker.results.try_iter()).collect();
        for outcome in outcomes {
            self.accept(outcome);
        }
    }

    /// Takes over a house found elsewhere as that of this revision.
    pub(crate) fn take(&mut self, revision: u64, house: House) {
        let asked = Asked { revision, whole: true };
        self.requested = asked;
        let result = Ok(Arc::new(house));
        self.accept(Outcome { asked, result, took: self.last_took, searched: true });
    }

    fn accept(&mut self, outcome: Outcome) {
        if outcome.asked < self.shown {
            return;
        }
        if !outcome.searched {
            self.last_took = outcome.took;
        }
        self.shown = outcome.asked;
        match outcome.result {
            Ok(house) => {
                self.problems.clear();
                if let Some(before) = self.house.replace(house) {
                    crate::tidy::let_go(before);
                }
                self.generation += 1;
            }
            Err(problems) => self.problems = problems,
        }
    }
}

/// Runs on the bench that keeps the last house, or, while another run holds it, from the ground up.
fn compute(asked: Asked, plan: &Plan, bench: &Mutex<Workbench>) -> Outcome {
    let start = Instant::now();
    let draft;
    let plan = if asked.whole {
        plan
    } else {
        draft = Plan { effort: 0, ..plan.clone() };
        &draft
    };
    // The window holds unsaved work: a fault in a stage must not take it down.
    let run_on_bench = || match bench.try_lock() {
        Ok(mut bench) => bench.run(plan),
        Err(TryLockError::Poisoned(held)) => {
            // What a fault left half done is thrown away.
            bench.clear_poison();
            let mut bench = held.into_inner();
            *bench = Workbench::default();
            bench.run(plan)
        }
        Err(TryLockError::WouldBlock) => pipeline::run(plan).map(Arc::new),
    };
    // A search would keep drafts waiting for the bench, and gains nothing from the house before.
    let run = || if plan.effort > 0 { pipeline::run(plan).map(Arc::new) } else { run_on_bench() };
    let result = catch_unwind(AssertUnwindSafe(run)).unwrap_or_else(|_| {
        Err(vec![Problem {
            place: Place::Plan("floor"),
            place_name: "the floor".into(),
            what: "could not be computed: a fault of the program".into(),
            mend: "undo the last step, save, and report it with the file".into(),
        }])
    });
    Outcome { asked, result, took: start.elapsed(), searched: plan.effort > 0 }
}

/// Hands a plan to a worker, which is started where there is none yet; `false` where no thread can be had.
fn send(
    worker: &mut Option<Worker>,
    asked: Asked,
    plan: &Arc<Plan>,
    bench: &Arc<Mutex<Workbench>>,
    ctx: &egui::Context,
) -> bool {
    if worker.is_none() {
        *worker = start_worker(ctx.clone(), bench.clone());
    }
    let Some(worker) = worker else { return false };
    worker.slot.job.lock().unwrap_or_else(PoisonError::into_inner).job = Some((asked, plan.clone()));
    worker.slot.wake.notify_one();
    true
}

fn start_worker(ctx: egui::Context, bench: Arc<Mutex<Workbench>>) -> Option<Worker> {
    let slot = Arc::new(Slot::default());
    let (sender, results) = channel();
    let theirs = slot.clone();
    std::thread::Builder::new()
        .name("floor".into())
        .spawn(move || work(&theirs, &sender, &bench, &ctx))
        .ok()?;
    Some(Worker { slot, results })
}

fn work(slot: &Slot, sender: &Sender<Outcome>, bench: &Mutex<Workbench>, ctx: &egui::Context) {
    loop {
        let mut state = slot.job.lock().unwrap_or_else(PoisonError::into_inner);
        let (asked, plan) = loop {
            if state.closed {
                return;
            }
            match state.job.take() {
                Some(job) => break job,
                None => state = slot.wake.wait(state).unwrap_or_else(PoisonError::into_inner),
            }
        };
        drop(state);
        if sender.send(compute(asked, &plan, bench)).is_err() {
            return;
        }
        ctx.request_repaint();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::Point;

    fn one_room(width: f64) -> Arc<Plan> {
        let mut plan = Plan::new("Box");
        let corners = [(0.0, 0.0), (width, 0.0), (width, 3000.0), (0.0, 3000.0)];
        plan::edit::add_room(&mut plan, &corners.map(Point::from)).unwrap();
        Arc::new(plan)
    }

    #[test]
    fn the_newest_plan_wins_on_the_worker() {
        let ctx = egui::Context::default();
        // A last run that took long sends the next to the worker.
        let mut compute = Compute { last_took: Duration::from_secs(1), ..Compute::new(false) };
        for revision in 1..=20 {
            compute.request(revision, &one_room(4000.0 + revision as f64), false, &ctx);
        }
        assert!(compute.is_busy() && compute.house().is_none());
        let start = Instant::now();
        while compute.is_busy() && start.elapsed() < Duration::from_secs(60) {
            compute.poll();
            std::thread::sleep(Duration::from_millis(1));
        }
        let house = compute.house().expect("a house");
        assert_eq!(house.plan, *one_room(4020.0));
        assert!(compute.is_current());
        assert!(compute.generation() <= 20);
    }

    #[test]
    fn a_gesture_shows_drafts_and_its_end_the_whole_effort() {
        let ctx = egui::Context::default();
        let mut compute = Compute::new(true);
        let plan = Arc::new(Plan { effort: 50, ..Plan::clone(&one_room(4000.0)) });
        compute.request(1, &plan, true, &ctx);
        assert_eq!(compute.house().expect("a draft").plan.effort, 0);
        compute.request(1, &plan, false, &ctx);
        assert_eq!(compute.house().expect("the whole").plan, *plan);
        let shown = compute.generation();
        compute.request(1, &plan, true, &ctx);
        assert_eq!(compute.generation(), shown, "a gesture that begins throws nothing away");
    }

    #[test]
    fn a_plan_with_problems_keeps_the_last_house() {
        let ctx = egui::Context::default();
        let mut compute = Compute::new(true);
        compute.request(1, &one_room(4000.0), false, &ctx);
        let mut broken = Plan::clone(&one_room(4000.0));
        broken.stock.face_width = f64::NAN;
        compute.request(2, &Arc::new(broken), false, &ctx);
        assert!(!compute.problems().is_empty() && !compute.is_current());
        assert_eq!(compute.house().expect("the last").plan, *one_room(4000.0));
        compute.request(3, &one_room(4100.0), false, &ctx);
        assert!(compute.problems().is_empty() && compute.is_current());
    }
}
