//! Which pieces can be cut from the strips that other pieces' rips leave.

use crate::ground::{Ground, Lie};
use crate::profile::{Leg, Profile, Rip};

/// Widths equal to this are the same, mm.
const SAME_WIDTH: f64 = 0.05;
/// Widths are rounded by less than this, mm.
const EXACT: f64 = 1e-6;
/// Widths that strips are told apart by, for each long edge, at most: few enough to look through for every piece of a
/// large floor while a hand drags; where a floor is searched, enough that hardly any strip is too narrow by the step alone.
const MOST_WIDTHS: usize = 16;
const MOST_SEARCHED: usize = 1000;
/// In a floor that is not searched wider rips than this part of a board are not cut from strips: those of narrower ones are few.
const WIDEST_STRIP: f64 = 0.65;

/// What strips have to do with a piece: the list of classes that serve it, and the class of the strip it leaves.
pub(crate) type Use = (u16, Option<u16>);

/// Kinds of strip on a ground. Class 0 is a board of whole width.
#[derive(Debug)]
pub(crate) struct Rips {
    pitch: f64,
    kerf: f64,
    /// Widths of rips that keep the tongue, and the groove, narrowest first.
    wanted: [Vec<f64>; 2],
    /// Of each run the use of its pieces; where it is of several widths, of the narrowest.
    of_run: Vec<Use>,
    /// Lists of classes, whole width first.
    serves: Vec<Vec<u16>>,
    /// Runs best laid when the others have left their strips.
    waits: Vec<bool>,
    /// Runs whose pieces leave strips that some rip wants, where the floor is searched.
    leaving: Vec<usize>,
    /// Runs' widths true to their outlines, where the floor is searched.
    fine: Vec<Profile>,
}

impl Rips {
    /// A strip left from a rip is as wide as the pitch less the rip and the saw cut and keeps the other long
    /// edge; it serves rips that keep that edge and are no wider. A rip that tapers counts with its greatest width.
    pub(crate) fn new(ground: &Ground, kerf: f64, is_searched: bool) -> Self {
        let (most, widest) = if is_searched { (MOST_SEARCHED, 1.0) } else { (MOST_WIDTHS, WIDEST_STRIP) };
        let fine = if is_searched { ground.lies.iter().map(fine).collect() } else { Vec::new() };
        let wanted = [false, true].map(|groove| widths(ground, &fine, groove, (most, widest * ground.pitch)));
        let mut serves = vec![vec![0]];
        for edge in 0..2 {
            let (first, count) = (first_class(&wanted, edge), wanted[edge].len());
            serves.extend((0..count).map(|place| {
                [0].into_iter().chain((first + place..first + count).map(small)).collect::<Vec<u16>>()
            }));
        }
        let pitch = ground.pitch;
        let mut rips = Self {
            pitch,
            kerf,
            wanted,
            of_run: Vec::new(),
            serves,
            waits: Vec::new(),
            leaving: Vec::new(),
            fine,
        };
        for (run, lie) in ground.lies.iter().enumerate() {
            let rips_of_run =
                rips_of(lie, rips.fine.get(run)).map(|(rip, _)| rip).filter(Rip::is_of_one_edge);
            let narrowest = rips_of_run.min_by(|a, b| a.width.total_cmp(&b.width));
            rips.of_run.push(narrowest.map_or((0, None), |rip| rips.of(&rip)));
            rips.waits.push(narrowest.is_some_and(|rip| 2.0 * rip.width <= pitch));
        }
        if is_searched {
            let leaves = |run: &usize| rips.of_run[*run].1.is_some();
            rips.leaving = (0..rips.of_run.len()).filter(leaves).collect();
        }
        rips
    }

    fn of(&self, rip: &Rip) -> Use {
        if !rip.is_of_one_edge() {
            return (0, None);
        }
        let own = usize::from(rip.keeps_groove);
        let strip = self.pitch - rip.width - self.kerf;
        // A strip may be narrower than its class by as much as widths are told apart by: what it serves may not be wider besides.
        let wider = self.wanted[own].partition_point(|width| *width < rip.width - EXACT);
        let first = |edge: usize| first_class(&self.wanted, edge);
        // Wider than every width told apart is none.
        let served = if wider < self.wanted[own].len() { small(first(own) + wider) } else { 0 };
        (served, self.class_of(strip, !rip.keeps_groove))
    }

    /// The class of a strip of this width, by the edge it keeps; none where nothing so narrow wants one.
    pub(crate) fn class_of(&self, width: f64, keeps_groove: bool) -> Option<u16> {
        let edge = usize::from(keeps_groove);
        let narrower = self.wanted[edge].partition_point(|wanted| *wanted <= width + SAME_WIDTH);
        narrower.checked_sub(1).map(|place| small(first_class(&self.wanted, edge) + place))
    }

    /// Whether as many classes of strip serve alike, whatever their widths.
    pub(crate) fn is_alike(&self, other: &Self) -> bool {
        (self.pitch, self.kerf, &self.serves) == (other.pitch, other.kerf, &other.serves)
    }

    /// Whether strips are told apart by the same widths.
    pub(crate) fn has_widths_of(&self, other: &Self) -> bool {
        self.wanted == other.wanted
    }

    /// What strips have to do with a run, and whether it waits for them.
    pub(crate) fn of_run(&self, run: usize) -> (Use, bool) {
        (self.of_run[run], self.waits[run])
    }

    /// Runs whose pieces leave strips that some rip wants; none where the floor is not searched.
    pub(crate) fn leaving(&self) -> &[usize] {
        &self.leaving
    }

    /// Whether the strips that a run's narrowest pieces leave serve some piece of another.
    pub(crate) fn serves(&self, run: usize, other: usize) -> bool {
        self.of_run[run].1.is_some_and(|class| self.serving_some(other).contains(&class))
    }

    /// Kinds of strip.
    pub(crate) fn count(&self) -> usize {
        self.serves.len() - 1
    }

    /// Classes that serve some piece of a run, whole width first.
    pub(crate) fn serving_some(&self, run: usize) -> &[u16] {
        &self.serves[self.of_run[run].0 as usize]
    }

    /// The classes of a use, whole width first.
    pub(crate) fn serving_use(&self, of: Use) -> &[u16] {
        &self.serves[of.0 as usize]
    }

    /// Classes that serve a piece of a run between two places on the plan, whole width first.
    pub(crate) fn serving(&self, run: usize, lie: &Lie, (from, to): (f64, f64)) -> &[u16] {
        &self.serves[self.of_piece(run, lie, (from, to)).0 as usize]
    }

    /// The class of the strip that such a piece leaves, where any wants it.
    pub(crate) fn strip_of(&self, run: usize, lie: &Lie, (from, to): (f64, f64)) -> Option<u16> {
        self.of_piece(run, lie, (from, to)).1
    }

    /// The narrowest part that a piece of a run between two places on the plan falls in, mm.
    pub(crate) fn narrowest(&self, run: usize, lie: &Lie, (from, to): (f64, f64)) -> f64 {
        if let Some(legs) = self.legs(run, (from, to)) {
            return legs.iter().map(|(leg, _)| leg.rip.width).fold(f64::INFINITY, f64::min);
        }
        let profile = self.profile(run, lie);
        if profile.is_even() { lie.run.width } else { profile.rip(from, to).width }
    }

    /// Whether some piece of a run may be cut from a strip, or leaves one that some rip wants.
    pub(crate) fn is_ripped(&self, run: usize) -> bool {
        self.serving_some(run).len() > 1 || self.leaving.binary_search(&run).is_ok()
    }

    /// Which lines along the boards a rip crosses, from one to before another, by the class of strip that serves it, and how many lines
    /// there are. At each, one after another, begin the rips that keep the groove and are wider than those before; it crosses
    /// them, the wider ones, and those that keep the tongue and have no room beside any of them.
    pub(crate) fn lines(&self) -> (Vec<(u16, u16)>, usize) {
        let [tongue, groove] = &self.wanted;
        let count = groove.len() + 1;
        let has_room = |one: f64, other: f64| one + other + self.kerf <= self.pitch + EXACT;
        let of_tongue = tongue
            .iter()
            .map(|width| (small(groove.partition_point(|other| has_room(*width, *other))), small(count)));
        let of_groove = (0..groove.len()).map(|place| (0, small(place + 1)));
        (std::iter::once((0, small(count))).chain(of_tongue).chain(of_groove).collect(), count)
    }

    /// Where a run's width changes, on the plan.
    pub(crate) fn corners<'l>(&'l self, run: usize, lie: &'l Lie) -> impl Iterator<Item = f64> + 'l {
        self.profile(run, lie).corners()
    }

    /// The first class of strip that keeps the groove.
    pub(crate) fn first_groove(&self) -> u16 {
        small(first_class(&self.wanted, 1))
    }

    /// What strips have to do with a piece of a run between two places on the plan.
    pub(crate) fn of_piece(&self, run: usize, lie: &Lie, (from, to): (f64, f64)) -> Use {
        let profile = self.profile(run, lie);
        if profile.is_even() { self.of_run[run] } else { self.of(&profile.rip(from, to)) }
    }

    /// The legs of a piece that falls in two beside a wall or thing within the row, the one as long as the piece first, and what
    /// strips have to do with each; where the floor is searched.
    pub(crate) fn legs(&self, run: usize, (from, to): (f64, f64)) -> Option<[(Leg, Use); 2]> {
        let profile = self.fine.get(run).filter(|profile| profile.is_parted())?;
        Some(profile.legs(from, to)?.map(|leg| (leg, self.of(&leg.rip))))
    }

    fn profile<'l>(&'l self, run: usize, lie: &'l Lie) -> &'l Profile {
        self.fine.get(run).unwrap_or(&lie.profile)
    }

    /// Whether strips have to do with all pieces of a run alike.
    pub(crate) fn is_even(&self, run: usize, lie: &Lie) -> bool {
        self.profile(run, lie).is_even()
    }

    /// Whether a run is best laid when the others have left their strips: it is narrow somewhere.
    pub(crate) fn waits(&self, run: usize) -> bool {
        self.waits[run]
    }
}

/// The first class of those for an edge: the lists of classes are numbered likewise.
fn first_class(wanted: &[Vec<f64>; 2], edge: usize) -> usize {
    1 + if edge == 0 { 0 } else { wanted[0].len() }
}

/// The widths of a run true to its outline. One that only ends aslant is even: no piece of it leaves a strip.
fn fine(lie: &Lie) -> Profile {
    if !lie.run.shaped {
        return Profile::default();
    }
    let fine = lie.profile.fine(&lie.outline);
    let is_ripped =
        fine.is_even() || fine.is_parted() || parts(&fine, lie).any(|(rip, _)| rip.is_of_one_edge());
    if is_ripped { fine } else { Profile::default() }
}

/// What short parts of a run between its slanting ends are ripped to, and how long they are.
fn parts<'p>(fine: &'p Profile, lie: &Lie) -> impl Iterator<Item = (Rip, f64)> + 'p {
    let [left, right] = lie.run.slants;
    fine.parts(left.abs().max(right.abs()))
}

/// What a run's pieces are ripped to, stretch by stretch, and how long these are; part by part where its width is known finely.
fn rips_of<'l>(lie: &'l Lie, fine: Option<&'l Profile>) -> impl Iterator<Item = (Rip, f64)> + 'l {
    let run = &lie.run;
    let whole = Rip { width: run.width, keeps_groove: run.keeps_groove, keeps_tongue: run.keeps_tongue };
    let is_even = fine.unwrap_or(&lie.profile).is_even();
    let parts = fine.filter(|_| !is_even).map(|fine| parts(fine, lie));
    let stretches = fine.is_none().then(|| lie.profile.rips());
    let all = parts.into_iter().flatten().chain(stretches.into_iter().flatten());
    all.chain(is_even.then_some((whole, lie.length())))
}

/// The widths of rips that keep this edge and that a strip may have, narrowest first; of many a few, so that about
/// as much is ripped to each, the widest among them.
fn widths(ground: &Ground, fine: &[Profile], groove: bool, (count, most): (usize, f64)) -> Vec<f64> {
    let is_wanted = |rip: &Rip| rip.is_of_one_edge() && rip.keeps_groove == groove && rip.width <= most;
    let of_run = |(run, lie)| rips_of(lie, fine.get(run));
    let all = ground.lies.iter().enumerate().flat_map(of_run).filter(|(rip, _)| is_wanted(rip));
    let mut wanted: Vec<(f64, f64)> = all.map(|(rip, length)| (rip.width, length)).collect();
    wanted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let each = wanted.iter().map(|(_, length)| length).sum::<f64>() / count as f64;
    let mut widths: Vec<f64> = Vec::new();
    // The widest of those put together stands for them.
    let mut length = 0.0;
    for (i, (width, own)) in wanted.iter().enumerate() {
        length += own;
        let next = wanted.get(i + 1).map(|next| next.0);
        if next.is_none() || (length >= each && next.is_some_and(|next| next - width > SAME_WIDTH)) {
            widths.push(*width);
            length = 0.0;
        }
    }
    widths
}

/// There are far fewer classes than the type holds.
fn small(class: usize) -> u16 {
    u16::try_from(class).unwrap_or(0)
}
