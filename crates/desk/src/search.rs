//! Looks for better joints on a thread of its own, with progress and a way to stop.

use egui::Context;
use pipeline::{House, Progress};
use plan::{Plan, Problem};
use std::ops::ControlFlow;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Moves of a search nobody stops.
pub(crate) const MOST_MOVES: u64 = 2_000_000;
/// How long a search goes on by itself. The clock only stops it: the moves made are what the plan keeps.
const PATIENCE: Duration = Duration::from_secs(20);

/// What a search found.
pub(crate) struct Found {
    /// Revision of the plan that was searched.
    pub(crate) revision: u64,
    /// The floor; its plan holds the moves that lead to it.
    pub(crate) house: Result<House, Vec<Problem>>,
}

/// A search under way.
struct Run {
    revision: u64,
    stop: Arc<AtomicBool>,
    progress: Arc<Mutex<Option<Progress>>>,
    found: Receiver<Found>,
}

impl Drop for Run {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

/// The search for better joints.
#[derive(Default)]
pub(crate) struct Search {
    run: Option<Run>,
}

impl Search {
    /// Where the search under way stands; `None` while there is none.
    pub(crate) fn progress(&self) -> Option<Progress> {
        let run = self.run.as_ref()?;
        Some(run.progress.lock().unwrap_or_else(PoisonError::into_inner).unwrap_or_default())
    }

    /// Starts a search on this plan; one under way is given up.
    pub(crate) fn start(&mut self, revision: u64, plan: Arc<Plan>, ctx: &Context) {
        let stop = Arc::new(AtomicBool::new(false));
        let progress = Arc::new(Mutex::new(None));
        let (sender, found) = channel();
        let (their_stop, their_progress, ctx) = (stop.clone(), progress.clone(), ctx.clone());
        let spawned = std::thread::Builder::new().name("search".into()).spawn(move || {
            let start = Instant::now();
            let watch = |now: Progress| {
                *their_progress.lock().unwrap_or_else(PoisonError::into_inner) = Some(now);
                ctx.request_repaint();
                if their_stop.load(Ordering::Relaxed) || start.elapsed() > PATIENCE {
                    ControlFlow::Break(())
                } else {
                    ControlFlow::Continue(())
                }
            };
            let search = || pipeline::search(&plan, MOST_MOVES, &watch);
            if let Ok(house) = catch_unwind(AssertUnwindSafe(search)) {
                let _ = sender.send(Found { revision, house });
            }
            ctx.request_repaint();
        });
        self.run = spawned.ok().map(|_| Run { revision, stop, progress, found });
    }

    /// Asks the search under way to end with what it has.
    pub(crate) fn stop(&self) {
        if let Some(run) = &self.run {
            run.stop.store(true, Ordering::Relaxed);
        }
    }

    /// Gives up a search whose plan has changed since; whether there was one.
    pub(crate) fn keep_only(&mut self, revision: u64) -> bool {
        let is_over = self.run.as_ref().is_some_and(|run| run.revision != revision);
        if is_over {
            self.run = None;
        }
        is_over
    }

    /// What a search that has ended found.
    pub(crate) fn poll(&mut self) -> Option<Found> {
        let run = self.run.as_ref()?;
        let found = match run.found.try_recv() {
            Ok(found) => Some(found),
            Err(TryRecvError::Disconnected) => None,
            Err(TryRecvError::Empty) => return None,
        };
        self.run = None;
        found
    }
}
