//! What a flag says.

use crate::FlagKind;
use crate::kind::{FINE, Measure};
use plan::{Point, Units};
use site::Source;

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
