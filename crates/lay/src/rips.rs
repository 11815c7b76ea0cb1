//! Which runs can be laid from the strips that other runs' rips leave.

use crate::ground::Ground;

/// Widths equal to this make the same kind of rip, mm.
const SAME_WIDTH: f64 = 0.05;

/// A kind of rip: what its runs keep.
#[derive(Debug, Clone, Copy)]
struct Rip {
    width: f64,
    keeps_groove: bool,
}

/// Kinds of rip on a ground. Kind 0 is whole width; a strip's class is the kind of rip it is left from.
#[derive(Debug)]
pub(crate) struct Rips {
    /// Kind of each run.
    of_run: Vec<u16>,
    /// Classes of boards and strips that serve each kind, whole width first.
    serves: Vec<Vec<u16>>,
    /// Whether strips of a kind serve any run.
    is_wanted: Vec<bool>,
}

impl Rips {
    /// A strip left from a rip is as wide as the pitch less the rip and the saw cut and keeps the other long
    /// edge; it serves straight rips that keep that edge and are no wider.
    pub(crate) fn new(ground: &Ground, kerf: f64) -> Self {
        let mut rips: Vec<Rip> = Vec::new();
        let mut of_run = Vec::with_capacity(ground.lies.len());
        for lie in &ground.lies {
            if !lie.is_rip() {
                of_run.push(0);
                continue;
            }
            let (width, keeps_groove) = (lie.run.width, lie.run.keeps_groove);
            let same = |rip: &Rip| rip.keeps_groove == keeps_groove && (rip.width - width).abs() < SAME_WIDTH;
            let place = rips.iter().position(same).unwrap_or_else(|| {
                rips.push(Rip { width, keeps_groove });
                rips.len() - 1
            });
            of_run.push(u16::try_from(place + 1).unwrap_or(0));
        }
        let mut serves = vec![vec![0]];
        let mut is_wanted = vec![false; rips.len() + 1];
        for rip in &rips {
            let mut classes = vec![0];
            for (i, from) in rips.iter().enumerate() {
                let strip = ground.pitch - from.width - kerf;
                if from.keeps_groove != rip.keeps_groove && strip + SAME_WIDTH >= rip.width {
                    classes.push(u16::try_from(i + 1).unwrap_or(0));
                    is_wanted[i + 1] = true;
                }
            }
            serves.push(classes);
        }
        Self { of_run, serves, is_wanted }
    }

    /// Kinds of rip beside whole width.
    pub(crate) fn count(&self) -> usize {
        self.serves.len() - 1
    }

    /// Classes that serve a run, whole width first.
    pub(crate) fn serving(&self, run: usize) -> &[u16] {
        &self.serves[self.of_run[run] as usize]
    }

    /// The class of the strips a run's pieces leave, where any run wants them.
    pub(crate) fn strip_of(&self, run: usize) -> Option<u16> {
        let kind = self.of_run[run];
        self.is_wanted[kind as usize].then_some(kind)
    }
}
