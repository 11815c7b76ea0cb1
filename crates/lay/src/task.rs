//! What never changes while joints are chosen, and what it makes of the pieces of one run.

use crate::cut::strips;
use crate::ground::{Ground, Lie, TRUE, is_shaped};
use crate::narrow::{is_narrow, narrow};
use crate::nest::{SQUARE, Shifts};
use crate::rips::{Rips, Use};
use crate::rules::{CROWDED, FORK, FORK_APART, Judge, Marks};
use crate::seen::Seen;
use crate::shorts::Crowds;
use crate::slice::{Slicer, Strip, extent, rise};
use crate::yard::{AS_SOLD, NONE, Need, Source, Want};
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
    /// Where it falls in two beside a wall or thing within the row, and each part comes from a board or strip of its own: the
    /// other part.
    pub(crate) leg: Option<Leg>,
}

/// The other part of a piece that falls in two. Fields as a piece's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Leg {
    pub(crate) length: f64,
    pub(crate) need: Need,
    pub(crate) bar: u32,
    pub(crate) kind: u32,
    pub(crate) strip: u32,
    pub(crate) class: u16,
    /// Whether it lies at the row's upper side on the plan.
    pub(crate) is_above: bool,
}

/// How a piece falls in two.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Apart {
    /// What strips have to do with the part as long as the piece.
    pub(crate) own: Use,
    /// What the other part asks of its bar, and what strips have to do with it.
    pub(crate) other: Want,
    pub(crate) of_other: Use,
    /// Whether the other part lies at the row's upper side on the plan.
    pub(crate) is_above: bool,
}

impl Cut {
    /// A piece with square ends that comes from no board yet.
    pub(crate) fn square(length: f64, need: Need) -> Self {
        Self { length, need, bar: NONE, kind: NONE, strip: NONE, class: 0, shifts: SQUARE, leg: None }
    }

    /// What it asks of its bar.
    pub(crate) fn want(&self) -> Want {
        Want { length: self.length, need: self.need, shifts: self.shifts }
    }

    /// The piece, or each of its parts, with the bar it comes from.
    pub(crate) fn parts(&self) -> impl Iterator<Item = Cut> + use<> {
        let other = self.leg.map(|leg| {
            let Leg { length, need, bar, kind, strip, class, is_above: _ } = leg;
            Cut { bar, kind, strip, class, ..Cut::square(length, need) }
        });
        std::iter::once(Cut { leg: None, ..*self }).chain(other)
    }
}

impl Leg {
    /// The other part, as it is cut.
    pub(crate) fn new(Cut { length, need, bar, kind, strip, class, .. }: Cut, is_above: bool) -> Self {
        Self { length, need, bar, kind, strip, class, is_above }
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
    /// Whether the parts of a piece that falls in two may come from two boards: of fixed lengths that do not run out, so that for
    /// one between two others there is always a whole board as long.
    may_part: bool,
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
            may_part: is_searched
                && ground.taken.is_none()
                && plan.stock.random.is_none()
                && plan.stock.packs.is_none(),
            laid_strips,
            rules: &plan.rules,
            seen: Seen::new(ground, plan),
            crowds: Crowds::new(ground, &plan.stock),
            narrow: OnceLock::new(),
        }
    }

    pub(crate) fn judge(&self) -> Judge<'a> {
        let fork = if self.may_part { FORK_APART } else { FORK };
        Judge { ground: self.ground, rules: self.rules, fork }
    }

    /// How a piece falls in two beside a wall or thing within the row, so that each part may come from a board of its own. Only
    /// where joints are searched for, nothing lies yet and boards do not run out: else both come from one board.
    pub(crate) fn apart(&self, run: usize, want: &Want, (from, to): (f64, f64)) -> Option<Apart> {
        if !self.may_part {
            return None;
        }
        let [(_, own), (leg, other)] = self.rips.legs(run, (from, to))?;
        let reaches = (leg.from - from < TRUE, to - leg.to < TRUE);
        let (at_left, at_right) =
            if self.ground.lies[run].run.is_turned() { (reaches.1, reaches.0) } else { reaches };
        let left = at_left && matches!(want.need, Need::Left | Need::Both);
        let right = at_right && matches!(want.need, Need::Right | Need::Both);
        let need = match (left, right) {
            (false, false) => Need::Neither,
            (false, true) => Need::Right,
            (true, false) => Need::Left,
            (true, true) => Need::Both,
        };
        // Where it ends is known to a hair.
        let length = match reaches {
            (true, true) => want.length,
            _ => (leg.to - leg.from + TRUE).min(want.length),
        };
        Some(Apart { own, other: Want::square(length, need), of_other: other, is_above: leg.is_above })
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
