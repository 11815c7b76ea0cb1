//! Drawings of other programs looked into, and their outlines taken, off the window's thread.

use crate::bringing::Bringing;
use crate::files::Unreadable;
use crate::reckon::Reckoned;
use egui::Context;
use import::{ImportError, Outlines};
use std::path::PathBuf;

/// A drawing that was looked into, or why not.
type Looked = Result<Box<Bringing>, Unreadable>;
/// What was chosen of a drawing, and what came of it.
type Taken = (Box<Bringing>, Result<Outlines, ImportError>);

/// What of a drawing is under way.
#[derive(Default)]
pub(crate) struct Importing {
    /// Counts what was asked for.
    asked: u64,
    looked: Reckoned<u64, Looked>,
    taken: Reckoned<u64, Taken>,
}

/// What has come of it.
pub(crate) enum Came {
    Looked(Looked),
    Taken(Taken),
    /// The drawing brought the reader to grief.
    Nothing,
}

impl Importing {
    pub(crate) fn is_under_way(&self) -> bool {
        self.looked.progress().is_some() || self.taken.progress().is_some()
    }

    /// Leaves it: nothing comes of it any more.
    pub(crate) fn leave(&mut self) {
        self.asked += 1;
        self.looked.forget();
        self.taken.forget();
    }

    /// Looks into a drawing.
    pub(crate) fn look(&mut self, path: PathBuf, at_once: bool, ctx: &Context) {
        self.leave();
        self.looked.ask(self.asked, at_once, ctx, move |_| Some(Bringing::of(&path).map(Box::new)));
    }

    /// Takes what was chosen of a drawing.
    pub(crate) fn take(&mut self, bringing: Box<Bringing>, at_once: bool, ctx: &Context) {
        self.leave();
        self.taken.ask(self.asked, at_once, ctx, move |_| {
            let outlines = bringing.outlines();
            Some((bringing, outlines))
        });
    }

    /// What has come since the last time.
    pub(crate) fn poll(&mut self) -> Option<Came> {
        self.looked.poll();
        self.taken.poll();
        if let Some(looked) = self.looked.take_out(&self.asked) {
            return Some(Came::Looked(looked));
        }
        if let Some(taken) = self.taken.take_out(&self.asked) {
            return Some(Came::Taken(taken));
        }
        let came_to_grief = self.looked.is_given_up(&self.asked) || self.taken.is_given_up(&self.asked);
        came_to_grief.then(|| {
            self.leave();
            Came::Nothing
        })
    }
}
