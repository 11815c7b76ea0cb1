//! What keeps work safe between saves: the journal on a thread of its own, and what the plan's file held when it was
//! last read or saved.

use egui::Context;
use keep::{Entry, Journal, Orphan, Stamp};
use plan::Plan;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// Work is in the journal no later than this after it was done. Longer, and a crash takes more; shorter, and a drag
/// writes all the time.
const PACE: Duration = Duration::from_secs(1);
/// The plan's file is looked at for changes by others no more often than this.
const LOOK: Duration = Duration::from_secs(2);

/// Unsaved work as it was last seen, for a journal written when the program comes to grief.
static LATEST: Mutex<Option<Work>> = Mutex::new(None);

/// What is written to the journal.
#[derive(Clone)]
struct Work {
    journal: Arc<Journal>,
    plan: Arc<Plan>,
    file: Option<PathBuf>,
    known: Option<Stamp>,
}

impl Work {
    fn write(&self) -> Result<(), keep::Trouble> {
        self.journal.write(&Entry::now(self.file.clone(), self.known, plan::write(&self.plan)))
    }
}

/// Writes the unsaved work of this program to its journal now; whether there was any, and it is written. For the moment
/// in which the program comes to grief: it waits for nothing.
pub fn journal_now() -> Option<bool> {
    let latest = LATEST.try_lock().ok()?.clone()?;
    Some(latest.write().is_ok())
}

enum Job {
    Write(Box<Work>),
    Clear(Arc<Journal>),
}

/// Work found in the journal of a program that ended without saving it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Recovered {
    /// The house's name.
    pub(crate) name: String,
    /// The file it belongs to.
    pub(crate) file: Option<PathBuf>,
    /// Seconds since it was written.
    pub(crate) ago: u64,
    /// How many more wait behind it.
    pub(crate) more: usize,
}

/// What keeps work safe.
#[derive(Default)]
pub(crate) struct Keeping {
    folder: Option<PathBuf>,
    journal: Option<Arc<Journal>>,
    worker: Option<(Sender<Job>, JoinHandle<()>)>,
    at_once: bool,
    /// What the plan's file held when it was last read or saved here.
    known: Option<Stamp>,
    /// The revision that is in the journal; `None` where nothing is.
    written: Option<u64>,
    last: Option<Instant>,
    looked: Option<Instant>,
    /// Length and time of the file when it was last looked at.
    seen: Option<(u64, Option<std::time::SystemTime>)>,
    found: Vec<Orphan>,
}

impl Keeping {
    /// Keeps its journal in a folder; without one there is none. Journals found there are offered.
    pub(crate) fn new(folder: Option<PathBuf>, at_once: bool) -> Self {
        let found = folder.as_deref().map_or_else(Vec::new, keep::orphans);
        Self { folder, at_once, found, ..Self::default() }
    }

    /// What the plan's file held when it was last read or saved here.
    pub(crate) fn known(&self) -> Option<Stamp> {
        self.known
    }

    /// The plan's file was read or saved.
    pub(crate) fn now_known(&mut self, known: Option<Stamp>) {
        self.known = known;
        self.seen = None;
    }

    /// Looks after unsaved work; what there is to say of it.
    pub(crate) fn tick(
        &mut self,
        ctx: &Context,
        plan: &Arc<Plan>,
        file: Option<&Path>,
        (revision, is_dirty): (u64, bool),
    ) -> Option<String> {
        let mut said = None;
        if !is_dirty {
            self.forget();
        } else if self.written != Some(revision) {
            let due = self.last.map_or(Duration::ZERO, |last| PACE.saturating_sub(last.elapsed()));
            if due.is_zero() || self.at_once {
                said = self.write(plan, file, revision);
            } else {
                // Seen at once for a crash, and on disk when it is due.
                self.note(plan, file);
                ctx.request_repaint_after(due);
            }
        }
        said.or_else(|| self.look(file))
    }

    fn note(&self, plan: &Arc<Plan>, file: Option<&Path>) {
        let Some(journal) = self.journal.clone().filter(|_| !self.at_once) else { return };
        if let Ok(mut latest) = LATEST.lock() {
            *latest =
                Some(Work { journal, plan: plan.clone(), file: file.map(Path::to_owned), known: self.known });
        }
    }

    fn write(&mut self, plan: &Arc<Plan>, file: Option<&Path>, revision: u64) -> Option<String> {
        let folder = self.folder.as_deref()?;
        let journal = match &self.journal {
            Some(journal) => journal.clone(),
            None => match Journal::open(folder) {
                Ok(journal) => Arc::new(journal),
                Err(trouble) => {
                    // Said once: a home that cannot be written is no reason to stop work.
                    self.folder = None;
                    return Some(format!("No journal of unsaved work can be kept: {trouble}"));
                }
            },
        };
        self.journal = Some(journal.clone());
        (self.written, self.last) = (Some(revision), Some(Instant::now()));
        self.note(plan, file);
        let work = Work { journal, plan: plan.clone(), file: file.map(Path::to_owned), known: self.known };
        if self.at_once {
            return work.write().err().map(|trouble| format!("The journal is behind: {trouble}"));
        }
        self.send(Job::Write(Box::new(work)));
        None
    }

    /// Nothing is unsaved any more.
    fn forget(&mut self) {
        if self.written.take().is_none() {
            return;
        }
        if let (false, Ok(mut latest)) = (self.at_once, LATEST.lock()) {
            *latest = None;
        }
        if let Some(journal) = self.journal.clone() {
            if self.at_once { journal.clear() } else { self.send(Job::Clear(journal)) }
        }
    }

    fn send(&mut self, job: Job) {
        if self.worker.is_none() {
            let (sender, receiver) = channel();
            let spawned =
                std::thread::Builder::new().name("journal".into()).spawn(move || work_off(&receiver));
            self.worker = spawned.ok().map(|thread| (sender, thread));
        }
        match &self.worker {
            Some((sender, _)) => {
                let _ = sender.send(job);
            }
            // Without a thread the desk waits for the disk.
            None => work(job),
        }
    }

    /// Says so when something else has changed the plan's file.
    fn look(&mut self, file: Option<&Path>) -> Option<String> {
        let (file, known) = (file?, self.known?);
        if self.looked.is_some_and(|looked| looked.elapsed() < LOOK) && !self.at_once {
            return None;
        }
        self.looked = Some(Instant::now());
        let now = std::fs::metadata(file).ok().map(|data| (data.len(), data.modified().ok()));
        if now == self.seen {
            return None;
        }
        // Read only where its length or time has changed, and said once.
        self.seen = now;
        let changed = matches!(Stamp::on_disk(file), Ok(Some(stamp)) if stamp != known);
        changed.then(|| {
            let name = file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            format!("Something else has changed {name}; it is not written over unless you say so")
        })
    }

    /// The newest work found, if it has not been answered yet.
    pub(crate) fn recovered(&self) -> Option<Recovered> {
        let orphan = self.found.first()?;
        let name = plan::read_unchecked(&orphan.entry.text).map_or_else(|_| String::new(), |plan| plan.name);
        let ago = Entry::now(None, None, String::new()).at.saturating_sub(orphan.entry.at);
        let more = self.found.len() - 1;
        Some(Recovered { name, file: orphan.entry.file.clone(), ago, more })
    }

    /// Takes the newest work found out of the list.
    pub(crate) fn take_found(&mut self) -> Option<Orphan> {
        (!self.found.is_empty()).then(|| self.found.remove(0))
    }

    /// Leaves what is found where it lies, for the next time.
    pub(crate) fn leave_found(&mut self) {
        self.found.clear();
    }

    /// The program ends as it should: nothing of the journal stays.
    pub(crate) fn close(&mut self) {
        if let Ok(mut latest) = LATEST.lock()
            && !self.at_once
        {
            *latest = None;
        }
        if let Some((sender, thread)) = self.worker.take() {
            drop(sender);
            let _ = thread.join();
        }
        if let Some(journal) = self.journal.take().and_then(Arc::into_inner) {
            journal.close();
        }
    }
}

fn work(job: Job) {
    match job {
        // What cannot be written now is tried again with the next change.
        Job::Write(work) => match work.write() {
            Ok(()) => tracing::debug!("journal written"),
            Err(trouble) => tracing::warn!(%trouble, "journal"),
        },
        Job::Clear(journal) => journal.clear(),
    }
}

/// Works jobs off, the newest first: what it replaces need not be written.
fn work_off(receiver: &Receiver<Job>) {
    while let Ok(mut job) = receiver.recv() {
        while let Ok(newer) = receiver.try_recv() {
            job = newer;
        }
        work(job);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The thread and the moment of grief: what was on the table last is in the journal, whether it was due or not.
    #[test]
    fn the_newest_work_is_written_when_the_program_comes_to_grief() {
        let folder = tempfile::tempdir().unwrap();
        let mut keeping = Keeping::new(Some(folder.path().to_owned()), false);
        let ctx = Context::default();
        for revision in 1..=5 {
            let plan = Arc::new(Plan::new(format!("House {revision}")));
            assert_eq!(keeping.tick(&ctx, &plan, None, (revision, true)), None);
        }
        assert_eq!(journal_now(), Some(true));
        let Keeping { worker, journal, .. } = keeping;
        let (sender, thread) = worker.unwrap();
        drop(sender);
        thread.join().unwrap();
        // The thread may have written an older one after it only if it was asked to before.
        assert_eq!(journal_now(), Some(true));
        *LATEST.lock().unwrap() = None;
        drop(journal);
        let found = keep::orphans(folder.path());
        assert_eq!(plan::read_unchecked(&found[0].entry.text).unwrap().name, "House 5");
        assert_eq!(journal_now(), None);
    }

    #[test]
    fn work_is_in_the_journal_within_two_seconds() {
        let folder = tempfile::tempdir().unwrap();
        let mut keeping = Keeping::new(Some(folder.path().to_owned()), true);
        let begun = Instant::now();
        let plan = Arc::new(Plan::new("House"));
        keeping.tick(&Context::default(), &plan, None, (2, true));
        assert!(begun.elapsed() < Duration::from_secs(2) && PACE < Duration::from_secs(2));
        // It goes once there is nothing to lose.
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2);
        keeping.tick(&Context::default(), &plan, None, (2, false));
        keeping.close();
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    }
}
