//! What a flag says.

use crate::FlagKind;
use crate::kind::{FINE, Measure};
use plan::{Point, Units};
use site::Source;
use std::collections::BTreeMap;

/// How much a flag matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Severity {
    /// Breaks a rule: mend before laying.
    Fault,
    /// Breaks no rule, but look at it.
    Look,
}

/// What a flag stands on; indices into the floor's lists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Subject {
    /// One board.
    Board(usize),
    /// Several boards, at least one.
    Boards(Vec<usize>),
    /// Joints, two or more.
    Joints(Vec<usize>),
    /// A region.
    Region(usize),
    /// A room of the plan.
    Room(usize),
    /// A thing of the plan.
    Thing(Source),
}

/// One flag.
#[derive(Debug, Clone, PartialEq)]
pub struct Flag {
    /// Kind.
    pub kind: FlagKind,
    /// Severity.
    pub severity: Severity,
    /// What it stands on.
    pub subject: Subject,
    /// Where the pennant stands, on the plan.
    pub at: Point,
    /// The place in words, such as `Study, row 12, board 12-3`.
    pub place: String,
    /// The measured figure, mm, or what [`FlagKind::measure`] says.
    pub figure: f64,
    /// The limit it is held to, in the same unit.
    pub limit: f64,
    /// What would mend it.
    pub mend: String,
    /// What other flags may stand for as well, such as `skirting 18 thick`; `None` where it is its own cause.
    pub cause: Option<String>,
}

/// Flags told as one: those of one kind that share a cause, or their figure and mend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Together {
    /// Their places in the list, in its order; at least one.
    pub flags: Vec<usize>,
    /// The one furthest past its limit.
    pub worst: usize,
}

/// Places named of flags told as one; more are counted.
const NAMED: usize = 40;

/// Puts together what is told as one, in the order of the first of each.
pub fn together(flags: &[Flag]) -> Vec<Together> {
    type Key<'a> = (FlagKind, Severity, u64, Option<(u64, &'a str)>, Option<&'a str>);
    let mut all: Vec<Together> = Vec::new();
    let mut known: BTreeMap<Key<'_>, usize> = BTreeMap::new();
    for (index, flag) in flags.iter().enumerate() {
        let cause = flag.cause.as_deref();
        let own = cause.is_none().then_some((flag.figure.to_bits(), flag.mend.as_str()));
        let key = (flag.kind, flag.severity, flag.limit.to_bits(), own, cause);
        let place = *known.entry(key).or_insert_with(|| {
            all.push(Together { flags: Vec::new(), worst: index });
            all.len() - 1
        });
        let of = &mut all[place];
        of.flags.push(index);
        let past = |at: usize| (flags[at].figure - flags[at].limit).abs();
        if past(index) > past(of.worst) {
            of.worst = index;
        }
    }
    all
}

impl Together {
    /// Where they stand: the place of one alone; of several the cause, how many, and each with its figure where they differ.
    pub fn places(&self, flags: &[Flag], say: impl Fn(&Flag) -> String) -> String {
        let own = || self.flags.iter().filter_map(|index| flags.get(*index));
        let Some(first) = own().next() else { return String::new() };
        if self.flags.len() == 1 {
            return first.place.clone();
        }
        let more = self.flags.len().saturating_sub(NAMED);
        let more = if more > 0 { format!("; and {more} more") } else { String::new() };
        let is_same = own().all(|flag| flag.figure == first.figure);
        let names: Vec<String> = own()
            .take(NAMED)
            .map(|flag| if is_same { flag.place.clone() } else { format!("{} {}", flag.place, say(flag)) })
            .collect();
        let cause = first.cause.as_ref().map_or_else(String::new, |cause| format!("{cause}, "));
        format!("{cause}{} places: {}{more}", self.flags.len(), names.join("; "))
    }
}

/// What is only looked at weighs no more than this, of whatever kind.
const LOOK: u32 = 2;

impl Flag {
    /// How bad it is among others (see [`FlagKind::weight`]).
    pub fn weight(&self) -> u32 {
        match self.severity {
            Severity::Fault => self.kind.weight(),
            Severity::Look => self.kind.weight().min(LOOK),
        }
    }

    /// Its figure as it is told beside its limit, to a whole step of the tape, of lengths under 10 mm to a tenth: one
    /// that breaks the limit never reads as keeping it.
    pub fn told(&self, units: Units) -> f64 {
        match (self.kind.measure(), units) {
            (Measure::Length, Units::Metric) if self.figure.abs() < FINE => {
                plan::judged(self.figure, self.limit, 0.1)
            }
            (Measure::Length, _) => plan::judged(self.figure, self.limit, plan::tape_step(units)),
            _ => self.figure,
        }
    }
}
