//! Which pieces can be cut from the strips that other pieces' rips leave.

use crate::ground::{Ground, Lie};
use crate::profile::Rip;

/// Widths equal to this are the same, mm.
const SAME_WIDTH: f64 = 0.05;
/// Widths that strips are told apart by, for each long edge, at most: enough that hardly any strip is too narrow by
/// the step alone, and few enough to look through for every piece of a large floor.
const MOST_WIDTHS: usize = 8;

/// What strips have to do with a piece: the list of classes that serve it, and the class of the strip it leaves.
type Use = (u16, Option<u16>);

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
}

impl Rips {
    /// A strip left from a rip is as wide as the pitch less the rip and the saw cut and keeps the other long
    /// edge; it serves rips that keep that edge and are no wider. A rip that tapers counts with its greatest width.
    pub(crate) fn new(ground: &Ground, kerf: f64) -> Self {
        let wanted = [false, true].map(|groove| widths(ground, groove));
        let mut serves = vec![vec![0]];
        for edge in 0..2 {
            let (first, count) = (first_class(&wanted, edge), wanted[edge].len());
            serves.extend((0..count).map(|place| {
                [0].into_iter().chain((first + place..first + count).map(small)).collect::<Vec<u16>>()
            }));
        }
        let pitch = ground.pitch;
        let mut rips = Self { pitch, kerf, wanted, of_run: Vec::new(), serves, waits: Vec::new() };
        for lie in &ground.lies {
            let narrowest =
                rips_of(lie).filter(Rip::is_of_one_edge).min_by(|a, b| a.width.total_cmp(&b.width));
            rips.of_run.push(narrowest.map_or((0, None), |rip| rips.of(&rip)));
            rips.waits.push(narrowest.is_some_and(|rip| 2.0 * rip.width <= pitch));
        }
        rips
    }

    fn of(&self, rip: &Rip) -> Use {
        if !rip.is_of_one_edge() {
            return (0, None);
        }
        let own = usize::from(rip.keeps_groove);
        let strip = self.pitch - rip.width - self.kerf;
        let wider = self.wanted[own].partition_point(|width| *width < rip.width - SAME_WIDTH);
        let narrower = self.wanted[1 - own].partition_point(|width| *width <= strip + SAME_WIDTH);
        let first = |edge: usize| first_class(&self.wanted, edge);
        // Wider than every width told apart is none.
        let served = if wider < self.wanted[own].len() { small(first(own) + wider) } else { 0 };
        (served, narrower.checked_sub(1).map(|place| small(first(1 - own) + place)))
    }

    /// Kinds of strip.
    pub(crate) fn count(&self) -> usize {
        self.serves.len() - 1
    }

    /// Classes that serve some piece of a run, whole width first.
    pub(crate) fn serving_some(&self, run: usize) -> &[u16] {
        &self.serves[self.of_run[run].0 as usize]
    }

    /// Classes that serve a piece of a run between two places on the plan, whole width first.
    pub(crate) fn serving(&self, run: usize, lie: &Lie, (from, to): (f64, f64)) -> &[u16] {
        let list =
            if lie.profile.is_even() { self.of_run[run].0 } else { self.of(&lie.profile.rip(from, to)).0 };
        &self.serves[list as usize]
    }

    /// The class of the strip that such a piece leaves, where any wants it.
    pub(crate) fn strip_of(&self, run: usize, lie: &Lie, (from, to): (f64, f64)) -> Option<u16> {
        if lie.profile.is_even() { self.of_run[run].1 } else { self.of(&lie.profile.rip(from, to)).1 }
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

/// What a run's pieces are ripped to, stretch by stretch.
fn rips_of(lie: &Lie) -> impl Iterator<Item = Rip> {
    let (run, is_even) = (&lie.run, lie.profile.is_even());
    let whole = Rip { width: run.width, keeps_groove: run.keeps_groove, keeps_tongue: run.keeps_tongue };
    lie.profile.rips().map(|(rip, _)| rip).chain(is_even.then_some(whole))
}

/// The widths of rips that keep this edge, narrowest first; of many a few, spread evenly, the widest among them.
fn widths(ground: &Ground, groove: bool) -> Vec<f64> {
    let wanted = |rip: &Rip| rip.is_of_one_edge() && rip.keeps_groove == groove;
    let mut widths: Vec<f64> =
        ground.lies.iter().flat_map(rips_of).filter(wanted).map(|rip| rip.width).collect();
    widths.sort_by(f64::total_cmp);
    // The widest of each kind stands for it.
    widths.reverse();
    widths.dedup_by(|narrower, wider| *wider - *narrower < SAME_WIDTH);
    widths.reverse();
    let count = widths.len();
    if count > MOST_WIDTHS {
        widths = (1..=MOST_WIDTHS).map(|i| widths[i * count / MOST_WIDTHS - 1]).collect();
    }
    widths
}

/// There are far fewer classes than the type holds.
fn small(class: usize) -> u16 {
    u16::try_from(class).unwrap_or(0)
}
