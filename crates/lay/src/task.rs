//! What never changes while joints are chosen, and what it makes of the pieces of one run.

use crate::cut::strips;
use crate::ground::{Ground, Lie, TRUE, is_shaped};
use crate::narrow::{is_narrow, narrow};
use crate::nest::Shifts;
use crate::rips::Rips;
use crate::rules::{CROWDED, Judge, Marks};
use crate::seen::Seen;
use crate::shorts::Crowds;
use crate::slice::{Slicer, Strip, extent, rise};
use crate::yard::{AS_SOLD, Need, Source, Want};
use plan::{Laid, LaidStrip, Plan, Rules};
use std::sync::OnceLock;

/// Lengths are held to limits to this accuracy, mm.
const ACCURATE: f64 = 0.05;

/// A piece of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Cut {
    pub(crate) length: f64,
    pub(crate) need: Need,
    pub(crate) bar: u32,
    /// What the bar was on the shelf; for a strip the kind is none.
    pub(crate) kind: u32,
    /// The strip its rip leaves; none where nobody wants it.
    pub(crate) strip: u32,
    /// That strip's class.
    pub(crate) class: u16,
    /// How much further along its ends lie at the tongue edge, mm.
    pub(crate) shifts: Shifts,
}

impl Cut {
    /// What it asks of its bar.
    pub(crate) fn want(&self) -> Want {
        Want { length: self.length, need: self.need, shifts: self.shifts }
    }
}

/// A piece planned for a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Planned {
    pub(crate) length: f64,
    pub(crate) need: Need,
    pub(crate) shifts: Shifts,
    pub(crate) source: Source,
}

impl Planned {
    /// What is asked for, and where it comes from.
    pub(crate) fn new(Want { length, need, shifts }: Want, source: Source) -> Self {
        Self { length, need, shifts, source }
    }

    /// What it asks of its source.
    pub(crate) fn want(&self) -> Want {
        Want { length: self.length, need: self.need, shifts: self.shifts }
    }
}

/// What never changes while joints are chosen.
#[derive(Debug)]
pub(crate) struct Task<'a> {
    pub(crate) ground: &'a Ground<'a>,
    pub(crate) rips: Rips,
    /// Whether better joints are searched for: then strips are looked for with more care.
    pub(crate) is_searched: bool,
    pub(crate) rules: &'a Rules,
    pub(crate) seen: Seen,
    /// Short boards, where the stock has any.
    pub(crate) crowds: Option<Crowds>,
    /// Whether each run is somewhere so narrow that its pieces must be looked at one by one; found once it is asked for.
    narrow: OnceLock<Vec<bool>>,
    /// Strips beside rips that lie, as far as anything still to be laid could be cut from them. Their bars come right
    /// after those of the boards opened for what lies.
    pub(crate) laid_strips: Vec<InHand>,
}

/// A strip in hand: its class among rips, and the ends it keeps.
#[derive(Debug, Clone, Copy)]
pub(crate) struct InHand {
    pub(crate) strip: LaidStrip,
    pub(crate) class: u16,
    pub(crate) ends: Need,
}

impl<'a> Task<'a> {
    /// `is_searched` by the moves that are asked for, which need not be the plan's.
    pub(crate) fn new(ground: &'a Ground<'a>, plan: &'a Plan, is_searched: bool) -> Self {
        let rips = Rips::new(ground, plan.stock.kerf, is_searched);
        let laid = ground.taken.as_ref().map(|taken| taken.laid);
        let laid_strips = laid.map_or_else(Vec::new, |laid| in_hand(laid, plan, &rips));
        Self {
            ground,
            rips,
            is_searched,
            laid_strips,
            rules: &plan.rules,
            seen: Seen::new(ground, plan),
            crowds: Crowds::new(ground, &plan.stock),
            narrow: OnceLock::new(),
        }
    }

    pub(crate) fn judge(&self) -> Judge<'a> {
        Judge { ground: self.ground, rules: self.rules }
    }

    fn is_narrow(&self, run: usize) -> bool {
        let is_narrow = |lie: &Lie| match lie.run.shaped {
            true => is_narrow(&lie.outline, self.rules),
            false => lie.run.width < self.rules.least_rip - ACCURATE,
        };
        self.narrow.get_or_init(|| self.ground.lies.iter().map(is_narrow).collect())[run]
    }

    /// How short the boards of a run are where they are seen, in boards of no length.
    pub(crate) fn seen_short(&self, run: usize, cuts: &[Cut]) -> f64 {
        if !self.seen.asks() {
            return 0.0;
        }
        let mut at = 0.0;
        let short = |cut: &Cut| {
            at += cut.length;
            self.seen.short(run, self.ground.lies[run].plan_u(at - cut.length / 2.0), cut.length)
        };
        cuts.iter().map(short).sum()
    }

    /// Short boards of a run beyond those that may lie end to end.
    pub(crate) fn crowded(&self, run: usize, cuts: &[Cut]) -> usize {
        let lengths = || cuts.iter().map(|cut| cut.length);
        self.crowds.as_ref().map_or(0, |crowds| crowds.in_run(run, lengths()))
    }

    /// Marks against the pieces of one run, whatever lies beside it.
    pub(crate) fn own_marks(&self, run: usize, cuts: &[Cut]) -> Marks {
        let lie = &self.ground.lies[run];
        let mut marks = Marks { faint: CROWDED * self.crowded(run, cuts) as f64, ..Marks::default() };
        // A run that goes on from a laid board has no end there.
        let has_joints = cuts.len() > 1 || lie.joined != [false; 2];
        if let (Some(first), Some(last), true) = (cuts.first(), cuts.last(), has_joints) {
            for (cut, _) in [first, last].into_iter().zip(lie.joined).filter(|(_, joined)| !joined) {
                marks.hard += i64::from(cut.length < self.rules.least_end - ACCURATE);
            }
        }
        if !lie.run.shaped {
            marks.hard += if self.is_narrow(run) { cuts.len() as i64 } else { 0 };
            return marks;
        }
        let by_notch = |u: f64| lie.is_by_notch(u, self.rules.least_leg);
        if !self.is_narrow(run) && !lie.has_forks() && !places(lie, cuts).any(by_notch) {
            return marks;
        }
        let pieces = strips(lie, cuts, &mut Slicer::default());
        let is_short = |length: f64| length < self.rules.least_end - ACCURATE;
        let can_grow = lie.length() >= self.rules.least_end || lie.joined != [false; 2];
        for pieces in pieces.chunk_by(|a: &Strip, b: &Strip| a.0 == b.0) {
            // A second piece beside a thing within the row may be short where the stretch is not. As the findings have it: one
            // that is an end of its run, square, in a run that leaves it room to be longer, is a fault.
            let is_several = pieces.len() > 1;
            for (stretch, outline) in pieces {
                let ((left, right), (low, high)) = (extent(&outline.outer), rise(&outline.outer));
                let is_shaped = is_shaped(outline, outline.area(), (left, low), (right, high));
                if is_several && is_short(right - left) {
                    match is_end(lie, cuts, *stretch, (left, right)) {
                        true if !is_shaped && can_grow => marks.hard += 1,
                        true => marks.looks += 1,
                        false => {}
                    }
                }
                if !is_shaped {
                    marks.hard += i64::from(high - low < self.rules.least_rip - ACCURATE);
                } else if let Some(found) = narrow(outline, self.rules) {
                    marks.hard += i64::from(found.is_sliver);
                    marks.looks += i64::from(!found.is_sliver);
                }
            }
        }
        marks
    }
}

/// Whether a piece of a stretch of a run, counted from the left on the plan, ends at a wall and not at a joint.
fn is_end(lie: &Lie, cuts: &[Cut], stretch: usize, (left, right): (f64, f64)) -> bool {
    let mut joints: Vec<f64> = places(lie, cuts).collect();
    joints.sort_by(f64::total_cmp);
    let mut joined = lie.joined;
    if lie.run.is_turned() {
        joined.reverse();
    }
    let first = joined[0].then_some(lie.run.left);
    let before = stretch.checked_sub(1).map_or(first, |before| joints.get(before).copied());
    let after = joints.get(stretch).copied().or(joined[1].then_some(lie.run.right));
    !(before.is_some_and(|u| left < u + TRUE) && after.is_some_and(|u| right > u - TRUE))
}

/// The strips beside rips that lie that some rip still to come wants.
fn in_hand(laid: &Laid, plan: &Plan, rips: &Rips) -> Vec<InHand> {
    let strips = laid.strips(plan.stock.pitch(), plan.stock.kerf, plan.rules.least_rip);
    let wanted = strips.into_iter().filter_map(|strip| {
        let class = rips.class_of(strip.width, strip.keeps_groove)?;
        let length = laid.stock.get(strip.stock)?.length;
        // It has the ends of its board where it reaches them.
        let ends = match (strip.from <= AS_SOLD, strip.to >= length - AS_SOLD) {
            (true, true) => Need::Both,
            (true, false) => Need::Left,
            (false, true) => Need::Right,
            (false, false) => Need::Neither,
        };
        Some(InHand { strip, class, ends })
    });
    wanted.collect()
}

/// Where the joints between a run's pieces stand, from the worker's left.
pub(crate) fn places(lie: &Lie, cuts: &[Cut]) -> impl Iterator<Item = f64> {
    let joined = &cuts[..cuts.len().saturating_sub(1)];
    joined.iter().scan(0.0, |s, cut| {
        *s += cut.length;
        Some(lie.plan_u(*s))
    })
}
