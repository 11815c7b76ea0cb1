//! What may take longer than a frame, reckoned on a thread of its own: the last value stays until the next is there, the
//! newest asked for wins, and it can be stopped.

use egui::Context;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// How far a reckoning is, and whether it is still wanted.
#[derive(Debug, Clone)]
pub(crate) struct Watch {
    stop: Arc<AtomicBool>,
    done: Arc<AtomicUsize>,
    of: Arc<AtomicUsize>,
    ctx: Context,
}

impl Watch {
    fn new(ctx: &Context) -> Self {
        let none = || Arc::new(AtomicUsize::new(0));
        Self { stop: Arc::default(), done: none(), of: none(), ctx: ctx.clone() }
    }

    /// Notes how far it is; whether it is to go on.
    pub(crate) fn goes_on(&self, done: usize, of: usize) -> bool {
        self.of.store(of, Ordering::Relaxed);
        if self.done.swap(done, Ordering::Relaxed) != done {
            self.ctx.request_repaint();
        }
        !self.stop.load(Ordering::Relaxed)
    }
}

/// A reckoning under way.
struct Run<K, T> {
    key: K,
    watch: Watch,
    result: Receiver<Option<T>>,
    /// Something newer is wanted: what this one still gives is shown until then, and it may be asked for again.
    overtaken: bool,
}

impl<K, T> Drop for Run<K, T> {
    fn drop(&mut self) {
        self.watch.stop.store(true, Ordering::Relaxed);
    }
}

/// A value for a key: the last one known, and the one that is being reckoned.
pub(crate) struct Reckoned<K, T> {
    known: Option<(K, T)>,
    run: Option<Run<K, T>>,
    /// What gave nothing or was stopped: it is not tried again by itself.
    given_up: Option<K>,
}

impl<K, T> Default for Reckoned<K, T> {
    fn default() -> Self {
        Self { known: None, run: None, given_up: None }
    }
}

impl<K: Clone + PartialEq, T: Send + 'static> Reckoned<K, T> {
    /// The last value reckoned, of whatever key.
    pub(crate) fn get(&self) -> Option<&T> {
        self.known.as_ref().map(|(_, value)| value)
    }

    /// The last key reckoned and its value.
    pub(crate) fn known(&self) -> Option<&(K, T)> {
        self.known.as_ref()
    }

    /// The value of this key, if it is known.
    pub(crate) fn get_for(&self, key: &K) -> Option<&T> {
        self.known.as_ref().filter(|(known, _)| known == key).map(|(_, value)| value)
    }

    /// Takes the value of this key out, if it is known.
    pub(crate) fn take_out(&mut self, key: &K) -> Option<T> {
        self.known.take_if(|(known, _)| known == key).map(|(_, value)| value)
    }

    /// Whether this key gave nothing, or was stopped.
    pub(crate) fn is_given_up(&self, key: &K) -> bool {
        self.given_up.as_ref() == Some(key)
    }

    /// How much of how much is done of the reckoning under way; `None` while there is none.
    pub(crate) fn progress(&self) -> Option<(usize, usize)> {
        let watch = &self.run.as_ref()?.watch;
        Some((watch.done.load(Ordering::Relaxed), watch.of.load(Ordering::Relaxed)))
    }

    /// Gives the reckoning under way up: nothing comes of it.
    pub(crate) fn stop(&mut self) {
        if let Some(run) = &self.run {
            run.watch.stop.store(true, Ordering::Relaxed);
        }
    }

    /// Forgets everything.
    pub(crate) fn forget(&mut self) {
        *self = Self::default();
    }

    /// Takes over what is finished; whether there is something new, be it that nothing came of it.
    pub(crate) fn poll(&mut self) -> bool {
        let Some(run) = &self.run else { return false };
        let result = match run.result.try_recv() {
            Ok(result) => result,
            Err(TryRecvError::Disconnected) => None,
            Err(TryRecvError::Empty) => return false,
        };
        let (key, is_stopped) = (run.key.clone(), run.watch.stop.load(Ordering::Relaxed));
        let overtaken = run.overtaken;
        self.run = None;
        match (overtaken, result) {
            // Older than what is wanted, newer than what is known: better than nothing new while a drag goes on.
            (true, Some(value)) => self.know(key, value),
            (true, None) => {}
            (false, result) => self.take(key, result.filter(|_| !is_stopped)),
        }
        true
    }

    fn take(&mut self, key: K, result: Option<T>) {
        match result {
            Some(value) => self.know(key, value),
            None => self.given_up = Some(key),
        }
    }

    fn know(&mut self, key: K, value: T) {
        if let Some((_, before)) = self.known.replace((key, value)) {
            crate::tidy::let_go(before);
        }
    }

    /// Asks for the value of a key, unless it is known, given up or under way. While another is under way that one is
    /// told to stop, and this is to be asked for again once it has. With `at_once` it is reckoned here and now.
    pub(crate) fn ask(
        &mut self,
        key: K,
        at_once: bool,
        ctx: &Context,
        reckon: impl FnOnce(&Watch) -> Option<T> + Send + 'static,
    ) {
        self.poll();
        if self.get_for(&key).is_some() || self.is_given_up(&key) {
            return;
        }
        if let Some(run) = &mut self.run {
            if run.key != key {
                run.overtaken = true;
                run.watch.stop.store(true, Ordering::Relaxed);
            }
            return;
        }
        let watch = Watch::new(ctx);
        if at_once {
            let result = reckon(&watch);
            self.take(key, result);
            return;
        }
        let (sender, result) = channel();
        let theirs = watch.clone();
        let spawned = std::thread::Builder::new().name("reckoning".into()).spawn(move || {
            // The window holds unsaved work: a fault here must not take it down.
            let value = catch_unwind(AssertUnwindSafe(|| reckon(&theirs))).unwrap_or(None);
            let _ = sender.send(value);
            theirs.ctx.request_repaint();
        });
        match spawned {
            Ok(_) => self.run = Some(Run { key, watch, result, overtaken: false }),
            Err(_) => self.given_up = Some(key),
        }
    }

    /// Asks anew for a key that was given up.
    pub(crate) fn try_again(&mut self) {
        self.given_up = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::mpsc::sync_channel;
    use std::time::{Duration, Instant};

    fn until(mut is_so: impl FnMut() -> bool) {
        let begun = Instant::now();
        while !is_so() {
            assert!(begun.elapsed() < Duration::from_secs(20), "it never came");
            std::thread::sleep(Duration::from_millis(1));
        }
    }

    #[test]
    fn the_last_value_stays_until_the_newest_is_there() {
        let ctx = Context::default();
        let mut reckoned = Reckoned::default();
        reckoned.ask(1, true, &ctx, |_| Some("one"));
        let (go, gate) = sync_channel::<()>(0);
        reckoned.ask(2, false, &ctx, move |watch| {
            gate.recv().ok()?;
            watch.goes_on(1, 2).then_some("two")
        });
        // Newer than what is under way: that one is stopped, and nothing of it is shown.
        reckoned.ask(3, false, &ctx, |_| Some("not yet"));
        assert_eq!((reckoned.get(), reckoned.get_for(&2)), (Some(&"one"), None));
        go.send(()).unwrap();
        until(|| reckoned.poll());
        assert_eq!(reckoned.get(), Some(&"one"), "what was stopped gives nothing");
        reckoned.ask(3, false, &ctx, |_| Some("three"));
        until(|| reckoned.poll());
        assert_eq!(reckoned.get_for(&3), Some(&"three"));
        reckoned.ask(2, true, &ctx, |_| Some("two after all"));
        assert_eq!(reckoned.get(), Some(&"two after all"));
    }

    #[test]
    fn what_comes_to_grief_is_not_tried_again_by_itself() {
        let ctx = Context::default();
        let mut reckoned: Reckoned<u8, u8> = Reckoned::default();
        reckoned.ask(1, false, &ctx, |_| None);
        until(|| reckoned.poll());
        assert!(reckoned.is_given_up(&1));
        reckoned.ask(1, true, &ctx, |_| Some(1));
        assert_eq!(reckoned.get(), None);
        reckoned.try_again();
        reckoned.ask(1, true, &ctx, |_| Some(1));
        assert_eq!(reckoned.get(), Some(&1));
    }
}
