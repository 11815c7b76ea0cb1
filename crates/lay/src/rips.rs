//! Which runs can be laid from the strips that other runs' rips leave.

use crate::ground::{Ground, Lie};

/// Widths equal to this are the same, mm.
const SAME_WIDTH: f64 = 0.05;
/// Widths that strips are told apart by, for each long edge, at most: enough that hardly any strip is too narrow by
/// the step alone, and few enough to look through for every piece of a large floor.
const MOST_WIDTHS: usize = 8;

/// Kinds of strip on a ground. Class 0 is a board of whole width.
#[derive(Debug)]
pub(crate) struct Rips {
    /// Of each run: the list of classes that serve it, and the class of the strips it leaves.
    of_run: Vec<(u16, Option<u16>)>,
    /// Lists of classes, whole width first.
    serves: Vec<Vec<u16>>,
}

impl Rips {
    /// A strip left from a rip is as wide as the pitch less the rip and the saw cut and keeps the other long
    /// edge; it serves rips that keep that edge and are no wider. A rip that tapers counts with its greatest width.
    pub(crate) fn new(ground: &Ground, kerf: f64) -> Self {
        let wanted = [false, true].map(|groove| widths(ground, groove));
        let firsts = [1, 1 + wanted[0].len()];
        let mut serves = vec![vec![0]];
        for (widths, first) in wanted.iter().zip(firsts) {
            for place in 0..widths.len() {
                serves
                    .push([0].into_iter().chain((first + place..first + widths.len()).map(small)).collect());
            }
        }
        let of_run = ground.lies.iter().map(|lie| {
            if !lie.is_rip() {
                return (0, None);
            }
            let own = usize::from(lie.run.keeps_groove);
            let strip = ground.pitch - lie.run.width - kerf;
            let wider = wanted[own].partition_point(|width| *width < lie.run.width - SAME_WIDTH);
            let narrower = wanted[1 - own].partition_point(|width| *width <= strip + SAME_WIDTH);
            // Wider than every width told apart is none: the widest wanted is always one of them.
            let served = if wider < wanted[own].len() { small(firsts[own] + wider) } else { 0 };
            (served, narrower.checked_sub(1).map(|place| small(firsts[1 - own] + place)))
        });
        Self { of_run: of_run.collect(), serves }
    }

    /// Kinds of strip.
    pub(crate) fn count(&self) -> usize {
        self.serves.len() - 1
    }

    /// Classes that serve a run, whole width first.
    pub(crate) fn serving(&self, run: usize) -> &[u16] {
        &self.serves[self.of_run[run].0 as usize]
    }

    /// The class of the strips a run's pieces leave, where any run wants them.
    pub(crate) fn strip_of(&self, run: usize) -> Option<u16> {
        self.of_run[run].1
    }
}

/// The widths of rips that keep this edge, narrowest first; of many a few, spread evenly, the widest among them.
fn widths(ground: &Ground, groove: bool) -> Vec<f64> {
    let is_wanted = |lie: &&Lie| lie.is_rip() && lie.run.keeps_groove == groove;
    let mut widths: Vec<f64> = ground.lies.iter().filter(is_wanted).map(|lie| lie.run.width).collect();
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
