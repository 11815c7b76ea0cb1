//! How wide a run is along its length, where it is not one rip from end to end.

use crate::Outline;
use crate::ground::TRUE;
use crate::slice::{SNAP, extent, rise};
use smallvec::SmallVec;

/// A run that misses less than this share of its rectangle is ripped as one.
const LEAST_MISSING: f64 = 0.06;
/// Nor is one parted whose narrow stretches are all shorter than this, mm: a piece there reaches into the next.
const LEAST_STRETCH: f64 = 200.0;
/// A profile that is true to its outline tells widths that differ by more than this, mm.
const SAME_WIDTH: f64 = 0.5;
/// A piece falls in two legs only where it ends so far at least from what holds it together, mm.
const CLEAR: f64 = 1.0;
/// A taper is looked at in steps in which it changes by this, mm, but not shorter ones than the least stretch.
const TAPER_STEP: f64 = 10.0;

/// What a piece must be ripped to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rip {
    /// Extent across the rows, mm.
    pub(crate) width: f64,
    pub(crate) keeps_groove: bool,
    pub(crate) keeps_tongue: bool,
}

impl Rip {
    /// Whether it keeps just one long edge, so that a strip with the other is left beside it.
    pub(crate) fn is_of_one_edge(&self) -> bool {
        self.keeps_groove != self.keeps_tongue
    }
}

/// A stretch of a run, on the plan, and how far it reaches across the row.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stretch {
    from: f64,
    to: f64,
    /// Where it begins and where it ends.
    low: (f64, f64),
    high: (f64, f64),
    between: Between,
}

/// What stands within a row beside its boards.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Between {
    Nothing,
    /// One thing, from a place across the row to another: a leg of the row lies on either side.
    One(f64, f64),
    Several,
}

/// The part of a piece on one side of a wall or thing within the row, where nothing joins it to the part on the other side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Leg {
    pub(crate) rip: Rip,
    /// On the plan.
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// Whether it lies at the row's upper side on the plan.
    pub(crate) is_above: bool,
}

impl Stretch {
    /// How far the part of it between two places reaches.
    fn reach(&self, from: f64, to: f64) -> (f64, f64) {
        let part = |u: f64| ((u - self.from) / (self.to - self.from)).clamp(0.0, 1.0);
        let (start, end) = (part(from), part(to));
        let at = |side: (f64, f64), part: f64| side.0 + (side.1 - side.0) * part;
        let low = at(self.low, start).min(at(self.low, end));
        (low, at(self.high, start).max(at(self.high, end)))
    }
}

/// Stretches of a run of several widths; none where one rip does for all.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Profile {
    stretches: Vec<Stretch>,
    row: (f64, f64),
    turned: bool,
}

impl Profile {
    /// The profile of a run's outline in the row between two lines; `turned` below the start line.
    pub(crate) fn new(outline: &Outline, row: (f64, f64), turned: bool) -> Self {
        let ((left, right), (low, high)) = (extent(&outline.outer), rise(&outline.outer));
        let none = Self { stretches: Vec::new(), row, turned };
        if outline.area() > (1.0 - LEAST_MISSING) * (right - left) * (high - low) {
            return none;
        }
        let stretches: Vec<Stretch> = stretches(outline).iter().flat_map(stepped).collect();
        let is_narrow = |s: &&Stretch| s.high.0 - s.low.0 < (high - low) * (1.0 - LEAST_MISSING);
        let narrow: f64 = stretches.iter().filter(is_narrow).map(|s| s.to - s.from).sum();
        if narrow < LEAST_STRETCH { none } else { Self { stretches, ..none } }
    }

    /// The profile of the same run true to its outline: no taper is stepped, and a little less width is told too.
    pub(crate) fn fine(&self, outline: &Outline) -> Self {
        let (low, high) = rise(&outline.outer);
        let stretches = stretches(outline);
        let least = |s: &Stretch| (s.high.0 - s.low.0).min(s.high.1 - s.low.1);
        let is_even =
            stretches.iter().all(|s| s.between == Between::Nothing && high - low - least(s) <= SAME_WIDTH);
        Self { stretches: if is_even { Vec::new() } else { stretches }, ..*self }
    }

    /// Where its width changes.
    pub(crate) fn corners(&self) -> impl Iterator<Item = f64> {
        self.stretches.iter().skip(1).map(|stretch| stretch.from)
    }

    pub(crate) fn is_even(&self) -> bool {
        self.stretches.is_empty()
    }

    /// What a piece between two places on the plan must be ripped to: as wide as the run is anywhere between, to the corners that
    /// lie on its cuts.
    pub(crate) fn rip(&self, from: f64, to: f64) -> Rip {
        let touched = self.stretches.iter().filter(|s| s.to > from + SNAP && s.from < to - SNAP);
        let (low, high) = touched.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), s| {
            let (lowest, highest) = s.reach(from, to);
            (low.min(lowest), high.max(highest))
        });
        self.between(low, high)
    }

    /// Whether a wall or thing parts the run lengthways somewhere.
    pub(crate) fn is_parted(&self) -> bool {
        self.stretches.iter().any(|s| s.between != Between::Nothing)
    }

    /// The two legs of a piece between two places on the plan that falls in two, one along each side of the row; the one that
    /// is as long as the piece first. `None` where it holds together, or falls in others.
    pub(crate) fn legs(&self, from: f64, to: f64) -> Option<[Leg; 2]> {
        let touched = || self.stretches.iter().filter(|s| s.to > from - CLEAR && s.from < to + CLEAR);
        // Where both legs are, what stands between them.
        let (mut below, mut above) = (f64::NEG_INFINITY, f64::INFINITY);
        for s in touched() {
            match s.between {
                Between::Nothing => {}
                Between::One(low, high) => (below, above) = (below.max(low), above.min(high)),
                Between::Several => return None,
            }
        }
        if above - below < TRUE || !above.is_finite() {
            return None;
        }
        // Each leg's stretches: along the plan, and across the row.
        let mut legs = [None::<(f64, f64, f64, f64)>; 2];
        for s in touched() {
            let (low, high) = s.reach(from, to);
            let parts = match s.between {
                Between::Nothing if high < above => [Some((low, high)), None],
                Between::Nothing if low > below => [None, Some((low, high))],
                Between::Nothing => return None,
                _ => [Some((low, below)), Some((above, high))],
            };
            for (leg, part) in legs.iter_mut().zip(parts) {
                let Some((low, high)) = part else { continue };
                let (begin, end) = (s.from.max(from), s.to.min(to));
                if end - begin < TRUE {
                    continue;
                }
                *leg = match *leg {
                    None => Some((begin, end, low, high)),
                    // It goes on from where it came to.
                    Some((first, last, least, most)) if begin - last < TRUE => {
                        Some((first, end, least.min(low), most.max(high)))
                    }
                    Some(_) => return None,
                };
            }
        }
        let leg = |place: usize| {
            let (from, to, low, high) = legs[place]?;
            let rip = self.between(low, high);
            rip.is_of_one_edge().then_some(Leg { rip, from, to, is_above: place == 1 })
        };
        let (low, high) = (leg(0)?, leg(1)?);
        if low.rip.keeps_groove == high.rip.keeps_groove {
            return None;
        }
        let is_all = |leg: &Leg| leg.from - from < TRUE && to - leg.to < TRUE;
        match (is_all(&low), is_all(&high)) {
            (true, true) if high.rip.width > low.rip.width => Some([high, low]),
            (true, _) => Some([low, high]),
            (false, true) => Some([high, low]),
            (false, false) => None,
        }
    }

    fn between(&self, low: f64, high: f64) -> Rip {
        let (keeps_low, keeps_high) = (low - self.row.0 < TRUE, self.row.1 - high < TRUE);
        let (keeps_groove, keeps_tongue) =
            if self.turned { (keeps_high, keeps_low) } else { (keeps_low, keeps_high) };
        Rip { width: (high - low).max(0.0), keeps_groove, keeps_tongue }
    }

    /// What each stretch long enough for a piece is ripped to, with its length.
    pub(crate) fn rips(&self) -> impl Iterator<Item = (Rip, f64)> {
        let long = self.stretches.iter().filter(|s| s.to - s.from > LEAST_STRETCH - TRUE);
        long.map(|s| {
            let (low, high) = s.reach(s.from, s.to);
            (self.between(low, high), s.to - s.from)
        })
    }

    /// What short parts of the run, one after another and from a distance off its ends, are ripped to, with their length: no
    /// piece is narrower than all that it reaches into.
    pub(crate) fn parts(&self, off: f64) -> impl Iterator<Item = (Rip, f64)> {
        let from = self.stretches.first().map_or(0.0, |s| s.from) + off;
        let to = self.stretches.last().map_or(0.0, |s| s.to) - off;
        let count = ((to - from) / LEAST_STRETCH).floor().max(1.0);
        let each = (to - from) / count;
        let parts = if each > TRUE { count as usize } else { 0 };
        (0..parts).flat_map(move |part| {
            let at = from + each * part as f64;
            let legs = self.legs(at, at + each).map(|legs| legs.map(|leg| (leg.rip, each)));
            let whole = legs.is_none().then(|| (self.rip(at, at + each), each));
            legs.into_iter().flatten().chain(whole)
        })
    }
}

/// The parts of an outline between its corners, with how far the sides that span each reach where it begins and ends.
fn stretches(outline: &Outline) -> Vec<Stretch> {
    let mut corners: Vec<f64> = outline.rings().flatten().map(|p| p.u).collect();
    corners.sort_by(f64::total_cmp);
    corners.dedup_by(|b, a| *b - *a < TRUE);
    let mut stretches: Vec<Stretch> = Vec::new();
    for pair in corners.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        // Sides that span it, where it begins and where it ends.
        let mut sides: SmallVec<[[f64; 2]; 4]> = SmallVec::new();
        for ring in outline.rings() {
            for (i, a) in ring.iter().enumerate() {
                let b = ring[(i + 1) % ring.len()];
                let (a, b) = if a.u < b.u { (*a, b) } else { (b, *a) };
                if a.u > from + TRUE || b.u < to - TRUE || b.u - a.u < TRUE {
                    continue;
                }
                sides.push([from, to].map(|u| a.v + (b.v - a.v) * ((u - a.u) / (b.u - a.u)).clamp(0.0, 1.0)));
            }
        }
        sides.sort_by(|a, b| (a[0] + a[1]).total_cmp(&(b[0] + b[1])));
        let end = |most: fn(f64, f64) -> f64, none: f64, place: usize| {
            sides.iter().map(|side| side[place]).fold(none, most)
        };
        let low = [0, 1].map(|place| end(f64::min, f64::INFINITY, place));
        let high = [0, 1].map(|place| end(f64::max, f64::NEG_INFINITY, place));
        let between = match sides.as_slice() {
            [] | [_] | [_, _] => Between::Nothing,
            [_, low, high, _] => Between::One(low[0].max(low[1]), high[0].min(high[1])),
            _ => Between::Several,
        };
        if low[0] <= high[0] {
            let [low, high] = [low, high].map(|[begin, end]| (begin, end));
            stretches.push(Stretch { from, to, low, high, between });
        }
    }
    stretches
}

/// The steps of a stretch that tapers, each as wide as it is anywhere; of any other itself.
fn stepped(s: &Stretch) -> impl Iterator<Item = Stretch> + use<> {
    let Stretch { from, to, low, high, between } = *s;
    let change = (low.1 - low.0).abs().max((high.1 - high.0).abs());
    let parts = (change / TAPER_STEP).min((to - from) / LEAST_STRETCH).floor().max(1.0);
    let at = move |i: usize, (a, b): (f64, f64)| a + (b - a) * (i as f64 / parts);
    (0..parts as usize).map(move |part| {
        let lowest = at(part, low).min(at(part + 1, low));
        let highest = at(part, high).max(at(part + 1, high));
        Stretch {
            from: at(part, (from, to)),
            to: at(part + 1, (from, to)),
            low: (lowest, lowest),
            high: (highest, highest),
            between,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use site::Uv;

    fn outline(corners: &[(f64, f64)]) -> Outline {
        Outline { outer: corners.iter().map(|(u, v)| Uv::new(*u, *v)).collect(), holes: Vec::new() }
    }

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-9
    }

    /// A run 4000 long that tapers from 100 to 92 of 190: taken as one it is 100 wide. True to its outline, what lies from
    /// 1000 to 3000 is 98 wide and keeps the groove, what ends it from 3000 on 94. By hand.
    #[test]
    fn a_fine_profile_has_the_width_of_each_piece() {
        let tapered = outline(&[(0.0, 0.0), (4000.0, 0.0), (4000.0, 92.0), (0.0, 100.0)]);
        let coarse = Profile::new(&tapered, (0.0, 190.0), false);
        assert!(coarse.is_even());
        let fine = coarse.fine(&tapered);
        for (from, to, width) in [(1000.0, 3000.0, 98.0), (3000.0, 4000.0, 94.0), (0.0, 4000.0, 100.0)] {
            let rip = fine.rip(from, to);
            assert!(near(rip.width, width), "{rip:?} from {from} to {to}");
            assert!(rip.keeps_groove && !rip.keeps_tongue);
        }
        let parts: Vec<_> = fine.parts(0.0).collect();
        assert_eq!(parts.len(), 20);
        assert!(near(parts[0].0.width, 100.0) && near(parts[19].0.width, 92.4), "{parts:?}");
        assert!(near(parts.iter().map(|part| part.1).sum(), 4000.0));
        assert!(near(fine.parts(500.0).map(|part| part.1).sum(), 3000.0));
        assert_eq!(fine.parts(2000.0).count(), 0);
    }

    /// What differs by less than is told apart is even, and a notch is told where it is.
    #[test]
    fn a_fine_profile_tells_notches_and_no_hairs() {
        let hair = outline(&[(0.0, 0.0), (4000.0, 0.0), (4000.0, 99.6), (0.0, 100.0)]);
        assert!(Profile::new(&hair, (0.0, 190.0), false).fine(&hair).is_even());
        let corners =
            [(0.0, 0.0), (4000.0, 0.0), (4000.0, 100.0), (2000.0, 100.0), (2000.0, 130.0), (0.0, 130.0)];
        let notched = outline(&corners);
        let coarse = Profile::new(&notched, (0.0, 190.0), false);
        for profile in [coarse.fine(&notched), coarse] {
            assert!(near(profile.rip(0.0, 2500.0).width, 130.0));
            assert!(near(profile.rip(2000.0, 4000.0).width, 100.0));
        }
    }

    /// A row 190 wide, in which a partition stands from 60 to 120, from 1000 on: a piece from 1500 to 3700 falls in a leg of 60
    /// with the groove and one of 70 with the tongue, the wider first. One that reaches the whole row, or comes within a
    /// millimetre of it, holds together. Where the lower leg ends at 3000 the upper one alone is as long as the piece, and beyond
    /// there is no other.
    #[test]
    fn a_piece_beside_a_partition_falls_in_two_legs() {
        let fine = |lower_ends: f64| {
            let corners = [
                (0.0, 0.0),
                (lower_ends, 0.0),
                (lower_ends, 60.0),
                (1000.0, 60.0),
                (1000.0, 120.0),
                (4000.0, 120.0),
                (4000.0, 190.0),
                (0.0, 190.0),
            ];
            let outline = outline(&corners);
            Profile::new(&outline, (0.0, 190.0), false).fine(&outline)
        };
        let told = |legs: Option<[Leg; 2]>| {
            legs.map(|legs| {
                legs.map(|leg| (leg.rip.width, leg.rip.keeps_groove, leg.from, leg.to, leg.is_above))
            })
        };
        let even = fine(4000.0);
        assert!(even.is_parted());
        let (upper, lower) = ((70.0, false, 1500.0, 3700.0, true), (60.0, true, 1500.0, 3700.0, false));
        assert_eq!(told(even.legs(1500.0, 3700.0)), Some([upper, lower]));
        for (from, holds) in [(900.0, true), (1000.5, true), (1001.5, false)] {
            assert_eq!(even.legs(from, 3000.0).is_none(), holds, "{from}");
        }
        let short = fine(3000.0);
        let lower = (60.0, true, 1500.0, 3000.0, false);
        assert_eq!(told(short.legs(1500.0, 3700.0)), Some([upper, lower]));
        assert_eq!(told(short.legs(3100.0, 3700.0)), None);
    }

    /// Of a leg that reaches neither long edge of the row, and of three, both edges of a board or none would be kept: they stay one
    /// piece.
    #[test]
    fn other_parts_beside_a_partition_stay_one_piece() {
        let islands = |holes: &[(f64, f64)]| {
            let ring = |(low, high): &(f64, f64)| {
                [(500.0, *low), (500.0, *high), (3500.0, *high), (3500.0, *low)]
                    .map(|(u, v)| Uv::new(u, v))
                    .to_vec()
            };
            let mut outline = outline(&[(0.0, 0.0), (4000.0, 0.0), (4000.0, 190.0), (0.0, 190.0)]);
            outline.holes = holes.iter().map(ring).collect();
            Profile::new(&outline, (0.0, 190.0), false).fine(&outline)
        };
        assert!(islands(&[(60.0, 120.0)]).legs(1000.0, 3000.0).is_some());
        assert!(islands(&[(40.0, 80.0), (110.0, 150.0)]).legs(1000.0, 3000.0).is_none());
        // A third leg beside a part of a piece: one wall along all of it, another only from 2000 to 2500.
        let mut third = outline(&[(0.0, 0.0), (4000.0, 0.0), (4000.0, 190.0), (0.0, 190.0)]);
        let hole = |left: f64, right: f64, low: f64, high: f64| {
            [(left, low), (left, high), (right, high), (right, low)].map(|(u, v)| Uv::new(u, v)).to_vec()
        };
        third.holes = vec![hole(500.0, 3500.0, 60.0, 120.0), hole(2000.0, 2500.0, 150.0, 170.0)];
        let fine = Profile::new(&third, (0.0, 190.0), false).fine(&third);
        assert!(fine.legs(1000.0, 1900.0).is_some() && fine.legs(1000.0, 3000.0).is_none());
        // The wall reaches the lower side from 1800 to 2200: two legs there.
        let broken = outline(&[
            (0.0, 0.0),
            (1800.0, 0.0),
            (1800.0, 60.0),
            (500.0, 60.0),
            (500.0, 120.0),
            (3500.0, 120.0),
            (3500.0, 60.0),
            (2200.0, 60.0),
            (2200.0, 0.0),
            (4000.0, 0.0),
            (4000.0, 190.0),
            (0.0, 190.0),
        ]);
        let fine = Profile::new(&broken, (0.0, 190.0), false).fine(&broken);
        assert!(fine.legs(1000.0, 1700.0).is_some() && fine.legs(1000.0, 3000.0).is_none());
        let corners = [(0.0, 30.0), (4000.0, 30.0), (4000.0, 190.0), (0.0, 190.0)];
        let mut lifted = outline(&corners);
        lifted.holes = vec![
            [(500.0, 80.0), (500.0, 120.0), (3500.0, 120.0), (3500.0, 80.0)]
                .map(|(u, v)| Uv::new(u, v))
                .to_vec(),
        ];
        let fine = Profile::new(&lifted, (0.0, 190.0), false).fine(&lifted);
        assert!(fine.is_parted() && fine.legs(1000.0, 3000.0).is_none());
    }

    /// A run 190 wide as far as 1000 and 60 from there on, and the same the other way round: cut near the corner, the narrow piece is
    /// ripped to what the cut leaves of it, a hair of the wide part with it.
    #[test]
    fn a_piece_is_ripped_to_what_the_cut_leaves_of_it() {
        let narrow_right =
            [(0.0, 0.0), (2000.0, 0.0), (2000.0, 60.0), (1000.0, 60.0), (1000.0, 190.0), (0.0, 190.0)];
        let narrow_left = narrow_right.map(|(u, v)| (2000.0 - u, v));
        for (mut corners, is_right) in [(narrow_right, true), (narrow_left, false)] {
            if !is_right {
                corners.reverse();
            }
            let run = outline(&corners);
            let profile = Profile::new(&run, (0.0, 190.0), false);
            for (by, width) in [(0.0, 60.0), (0.004, 60.0), (0.02, 190.0), (0.09, 190.0), (2.0, 190.0)] {
                let joint = if is_right { 1000.0 - by } else { 1000.0 + by };
                let pieces = crate::slice::slice_run(&run, &[-1.0, joint, 2001.0]);
                let (piece, from, to) =
                    if is_right { (&pieces[1], joint, 2000.0) } else { (&pieces[0], 0.0, joint) };
                let (low, high) = rise(&piece.1.outer);
                assert!(
                    near(high - low, width) && near(profile.rip(from, to).width, width),
                    "{by} {is_right}"
                );
            }
        }
    }
}
