//! Reading the floor: flags and what would mend them, another floor beside.

use super::Desk;
use crate::canvas::{Span, Wanted, extent_of};
use crate::mending::{Key, Tried};
use crate::select::Selected;
use crate::tool::Tool;
use egui::Context;
use findings::FlagKind;

impl Desk {
    /// Tries what would mend the selected flag; its card tells it.
    pub(super) fn try_mends(&mut self, ctx: &Context) {
        let Some(key) = self.selected_flag() else {
            self.said = Some("Select a flag first: G steps through them".into());
            return;
        };
        let current = self.compute.is_current();
        let Some(house) = self.compute.house().filter(|_| current).cloned() else {
            self.said = Some(self.not_yet());
            return;
        };
        self.mending.ask(key, house, self.synchronous, ctx);
        if let Tried::Through(_) = self.mending.of(key) {
            self.mends_came(key);
        }
    }

    /// Carries out the first mend tried; tries first where that was not done.
    pub(super) fn first_mend(&mut self, ctx: &Context) {
        match self.selected_flag().map(|key| (key, self.mending.of(key))) {
            Some((key, Tried::Through(_))) => self.carry_out_first(key),
            Some((_, Tried::Trying(..))) => self.mending.take_first = true,
            _ => {
                self.try_mends(ctx);
                match self.selected_flag().map(|key| (key, self.mending.of(key))) {
                    Some((key, Tried::Through(_))) => self.carry_out_first(key),
                    Some((_, Tried::Trying(..))) => self.mending.take_first = true,
                    _ => {}
                }
            }
        }
    }

    /// Takes over mends that have been tried since the last frame.
    pub(super) fn poll_mends(&mut self, ctx: &Context) {
        let generation = self.compute.generation();
        let came = self.mending.poll(generation, self.compute.house(), self.synchronous, ctx);
        if let Some(key) = came {
            self.mends_came(key);
            if std::mem::take(&mut self.mending.take_first) {
                self.carry_out_first(key);
                self.refresh(ctx);
            }
        }
    }

    fn mends_came(&mut self, key: Key) {
        let Tried::Through(mends) = self.mending.of(key) else { return };
        if self.selected_flag() != Some(key) {
            return;
        }
        let Some(house) = self.house() else { return };
        let before = house.figures();
        if mends.iter().any(|mend| mend.lowers(&before)) {
            return;
        }
        let mend = house.flags.get(key.1).map(|flag| flag.mend.clone()).unwrap_or_default();
        let kind = house.flags.get(key.1).map(|flag| flag.kind);
        let is_wide = matches!(kind, Some(FlagKind::WideFloor | FlagKind::LongFloor));
        // To have read that nothing helps is all that can be done about it here.
        self.first_steps.has_mended = true;
        self.said = Some(match mends.is_empty() {
            true if is_wide => {
                format!("A joint or a trim does away with it; under Fit stands which would: {mend}")
            }
            true => format!("Nothing in the plan alone does away with it: {mend}"),
            false => format!(
                "Nothing tried leaves the floor better; its card says what would move it elsewhere. {mend}"
            ),
        });
    }

    /// Carries out the first mend that leaves lighter flags. What only moves a flag elsewhere is no mend: it is said, and
    /// left to the hand.
    fn carry_out_first(&mut self, key: Key) {
        let Tried::Through(mends) = self.mending.of(key) else { return };
        let before = self.house().map(|house| house.figures());
        let first = before.and_then(|before| mends.iter().position(|mend| mend.lowers(&before)));
        match first {
            Some(index) => self.carry_out(key, index),
            None => self.mends_came(key),
        }
    }

    /// Carries out one of the mends tried for the selected flag.
    pub(super) fn do_mend(&mut self, index: usize) {
        if let Some(key) = self.selected_flag() {
            self.carry_out(key, index);
        }
    }

    fn carry_out(&mut self, key: Key, index: usize) {
        let Tried::Through(mends) = self.mending.of(key) else { return };
        let Some(mend) = mends.get(index).cloned() else { return };
        self.first_steps.has_mended = true;
        self.replace(&mend.name, mend.plan);
    }

    /// Why there is no floor of the plan as it is now.
    pub(super) fn not_yet(&self) -> String {
        match self.compute.problems().first() {
            Some(first) => {
                format!("Mend this first · {}: {}; {}", first.place_name, first.what, first.mend)
            }
            None if self.document.plan().rooms.is_empty() => {
                "There is no floor yet: draw a room first".into()
            }
            None => "The floor is still being laid on the table: ask again when it is".into(),
        }
    }

    /// The selected flag of the floor on the table.
    fn selected_flag(&self) -> Option<Key> {
        match self.selected {
            Selected::Flag(flag) => Some((self.compute.generation(), flag)),
            _ => None,
        }
    }

    /// How far it is with the mends of the selected flag.
    pub(super) fn mends_of_selected(&self) -> Tried<'_> {
        self.selected_flag().map_or(Tried::Not, |key| self.mending.of(key))
    }

    pub(super) fn side_by_side(&mut self) {
        let current = self.compute.is_current();
        let Some(house) = self.compute.house().filter(|_| current).cloned() else {
            self.said = Some(self.not_yet());
            return;
        };
        self.take(Tool::default());
        self.owner.leave(&mut self.canvas);
        if !self.beside.next(&house, self.compute.generation()) {
            self.said = Some("No other floor to hold beside this one".into());
        }
    }

    pub(super) fn step_flag(&mut self, by: i64) {
        let Some(house) = self.compute.house().cloned() else { return };
        let count = house.flags.len() as i64;
        if count == 0 {
            self.said = Some("No flags on this floor".into());
            return;
        }
        let next = match self.selected {
            Selected::Flag(flag) => (flag as i64 + by).rem_euclid(count),
            _ if by < 0 => count - 1,
            _ => 0,
        };
        self.selected = Selected::Flag(next as usize);
        if let Some(at) = extent_of(self.selected, self.document.plan(), Some(&house)) {
            self.canvas.wanted = Some(Wanted::Span(Span::round(at.centre(), 1800.0)));
        }
    }
}
