//! What would mend a flag: asked for, tried off the window's thread, told.

use crate::reckon::Reckoned;
use egui::Context;
use pipeline::{House, Mend};
use std::sync::Arc;

/// A flag of the floor of one generation.
pub(crate) type Key = (u64, usize);

/// The mends of the flag that was asked about last.
#[derive(Default)]
pub(crate) struct Mending {
    asked: Option<Key>,
    /// Whether the first of them is to be carried out as soon as it is known.
    pub(crate) take_first: bool,
    tried: Reckoned<Key, Vec<Mend>>,
}

/// How far it is with the mends of a flag.
#[derive(Clone, Copy)]
pub(crate) enum Tried<'a> {
    /// Nobody has asked, or the trying was stopped.
    Not,
    /// So many of so many are tried.
    Trying(usize, usize),
    /// What was tried and helps.
    Through(&'a [Mend]),
}

impl Mending {
    /// Asks what would mend a flag.
    pub(crate) fn ask(&mut self, key: Key, house: Arc<House>, at_once: bool, ctx: &Context) {
        if self.asked != Some(key) {
            self.take_first = false;
        }
        self.asked = Some(key);
        self.tried.try_again();
        let goes =
            move |watch: &crate::reckon::Watch| house.mends_while(key.1, &|done, of| watch.goes_on(done, of));
        self.tried.ask(key, at_once, ctx, goes);
    }

    /// Gives up what is being tried.
    pub(crate) fn stop(&mut self) {
        self.take_first = false;
        self.asked = None;
        self.tried.stop();
    }

    /// Goes on; the key whose mends have come since the last time. What was asked for while another flag was under way
    /// is taken up now; what belongs to another floor than the one of `generation` is given up.
    pub(crate) fn poll(
        &mut self,
        generation: u64,
        house: Option<&Arc<House>>,
        at_once: bool,
        ctx: &Context,
    ) -> Option<Key> {
        let asked = self.asked?;
        if asked.0 != generation {
            self.stop();
            return None;
        }
        let is_new = self.tried.poll();
        if self.tried.get_for(&asked).is_some() {
            return is_new.then_some(asked);
        }
        if let Some(house) = house.filter(|_| self.tried.progress().is_none()) {
            let house = house.clone();
            self.tried.ask(asked, at_once, ctx, move |watch| {
                house.mends_while(asked.1, &|done, of| watch.goes_on(done, of))
            });
        }
        None
    }

    /// How far it is with a flag's mends.
    pub(crate) fn of(&self, key: Key) -> Tried<'_> {
        match (self.tried.get_for(&key), self.tried.progress()) {
            (Some(mends), _) => Tried::Through(mends),
            (None, Some((done, of))) if self.asked == Some(key) => Tried::Trying(done, of),
            _ => Tried::Not,
        }
    }
}
