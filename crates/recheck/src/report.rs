//! What was checked, and what does not hold.

use std::collections::BTreeMap;
use std::fmt;

/// A promise of a result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Promise {
    /// The result is this plan's.
    SamePlan,
    /// The bare floor is rooms and doorways less what stands on the floor.
    BareFloor,
    /// Every edge keeps its gap from what it names, within what the plan gives.
    Gaps,
    /// Nothing laid comes nearer to a thing than its least gap.
    Clearance,
    /// What of the bare floor is no region lies within the gaps.
    NothingLeftOut,
    /// Boards tile the regions.
    Tiling,
    /// Rows lie a pitch apart from the start line, every board in its row.
    Rows,
    /// Pulls from corners to the line.
    Pulls,
    /// The rip at every edge.
    Rips,
    /// Where joints are.
    Joints,
    /// Joints too close, in line or stepping are flagged, and no others.
    Staggers,
    /// Short ends and slivers are flagged.
    Ends,
    /// Every board is cut from one stretch of one stock board, kerf and profile kept.
    Stock,
    /// Boards opened, packs, leftovers.
    Counts,
    /// The order of laying can be followed.
    Order,
    /// Areas, lengths and materials.
    Amounts,
    /// Moisture, swelling and shrinkage, gaps that close and open.
    Seasons,
    /// Levels, steps and leaves in doorways, where boards stop there, appliances.
    Doorways,
    /// What covers the gaps, and what is left of it.
    Covers,
    /// The rips of lines that were not chosen, their order and the curve.
    Lines,
    /// What a line is worth, part by part, and how far it may be off.
    Worth,
    /// How far the tape may be out.
    Tape,
    /// How every board goes in.
    Ways,
    /// Blocks, bonds, and joints of a border.
    Patterns,
}

/// Every promise with its name.
pub const PROMISES: [(Promise, &str); 24] = [
    (Promise::SamePlan, "the result is this plan's"),
    (Promise::BareFloor, "bare floor"),
    (Promise::Gaps, "gap at every edge"),
    (Promise::Clearance, "nothing nearer than the least gap"),
    (Promise::NothingLeftOut, "no floor left out"),
    (Promise::Tiling, "boards tile the floor"),
    (Promise::Rows, "rows a pitch apart"),
    (Promise::Pulls, "pulls to the line"),
    (Promise::Rips, "rip at every edge"),
    (Promise::Joints, "end joints"),
    (Promise::Staggers, "staggers flagged"),
    (Promise::Ends, "short ends and slivers flagged"),
    (Promise::Stock, "cuts from stock boards"),
    (Promise::Counts, "boards opened and packs"),
    (Promise::Order, "order of laying"),
    (Promise::Amounts, "quantities"),
    (Promise::Seasons, "the seasons"),
    (Promise::Doorways, "levels and stops in doorways"),
    (Promise::Covers, "covers over gaps"),
    (Promise::Lines, "lines that were not chosen"),
    (Promise::Worth, "what lines are worth"),
    (Promise::Tape, "how far the tape may be out"),
    (Promise::Ways, "how boards go in"),
    (Promise::Patterns, "patterns and borders"),
];

impl Promise {
    fn name(self) -> &'static str {
        PROMISES.iter().find(|(promise, _)| *promise == self).map_or("", |(_, name)| name)
    }
}

/// A promise that does not hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Complaint {
    /// Which.
    pub promise: Promise,
    /// Where, in words.
    pub place: String,
    /// What was found.
    pub what: String,
}

/// What was checked: how many things under each promise, and the complaints.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Report {
    /// Things looked at, by promise; one without an entry was not looked at at all.
    pub checked: BTreeMap<Promise, usize>,
    /// What does not hold.
    pub complaints: Vec<Complaint>,
}

impl Report {
    /// Notes one thing checked; a complaint where it does not hold.
    pub(crate) fn hold(&mut self, promise: Promise, holds: bool, say: impl FnOnce() -> (String, String)) {
        *self.checked.entry(promise).or_default() += 1;
        if !holds {
            let (place, what) = say();
            self.complaints.push(Complaint { promise, place, what });
        }
    }

    /// Holds a figure of the result to one found here.
    pub(crate) fn same(
        &mut self,
        promise: Promise,
        place: &str,
        what: &str,
        said: f64,
        found: f64,
        within: f64,
    ) {
        self.hold(promise, (said - found).abs() <= within, || {
            (place.to_owned(), format!("{what}: the result says {said}, found {found}"))
        });
    }

    /// Whether something under this promise was complained of.
    pub fn complains_of(&self, promise: Promise) -> bool {
        self.complaints.iter().any(|complaint| complaint.promise == promise)
    }
}

impl fmt::Display for Report {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (promise, name) in PROMISES {
            let bad = self.complaints.iter().filter(|complaint| complaint.promise == promise).count();
            match self.checked.get(&promise) {
                None => writeln!(out, "{name}: nothing to check in this plan")?,
                Some(count) if bad == 0 => writeln!(out, "{name}: {count} hold")?,
                Some(count) => writeln!(out, "{name}: {bad} of {count} do not hold")?,
            }
        }
        for Complaint { promise, place, what } in &self.complaints {
            writeln!(out, "{}: {place}: {what}", promise.name())?;
        }
        Ok(())
    }
}
