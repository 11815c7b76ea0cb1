//! Runs between two level sides, parted at their joints without a walk along the boundary.

use crate::Outline;
use crate::slice::{Strip, rise};
use site::Uv;

/// A strip between two level sides with straight ends, however they lean: so are most runs between walls that are not quite
/// square.
#[derive(Debug)]
pub(crate) struct Level {
    /// From the lower left corner anticlockwise.
    corners: [Uv; 4],
    /// Whether its ring begins at the left: then pieces without an end begin on the lower side.
    begins_left: bool,
}

/// Joints of a level strip stand this far from its ends, and its sides this far apart, mm: nothing is healed then.
const CLEAR: f64 = 1.0;

impl Level {
    pub(crate) fn of(outline: &Outline) -> Option<Self> {
        let ring: &[Uv; 4] = outline.outer.as_slice().try_into().ok()?;
        let (low, high) = rise(ring);
        // The lower side is the one edge that runs to the right along the least v.
        let first = (0..4).find(|i| {
            let (a, b) = (ring[*i], ring[(i + 1) % 4]);
            a.v == low && b.v == low && b.u > a.u
        })?;
        let corners = [0, 1, 2, 3].map(|i| ring[(first + i) % 4]);
        let [left, right, upper_right, upper_left] = corners;
        let leans = (upper_left.u - left.u).abs().max((upper_right.u - right.u).abs());
        let is_level = upper_right.v == high && upper_left.v == high && upper_left.u < upper_right.u;
        let is_sound = is_level && high - low > CLEAR && leans <= high - low && outline.holes.is_empty();
        is_sound.then_some(Self { corners, begins_left: first < 2 })
    }

    /// Whether there are joints, and they stand well inside, each past the one before.
    pub(crate) fn holds(&self, joints: &[f64]) -> bool {
        if joints.is_empty() {
            return false;
        }
        let [left, right, upper_right, upper_left] = self.corners.map(|corner| corner.u);
        let mut from = left.max(upper_left);
        let mut is_past = |joint: f64| std::mem::replace(&mut from, joint) + CLEAR < joint;
        joints.iter().all(|joint| is_past(*joint)) && is_past(right.min(upper_right))
    }

    /// Its pieces, corner for corner as a walk along the boundary gives them.
    pub(crate) fn parted(&self, joints: &[f64]) -> Vec<Strip> {
        let [left, right, upper_right, upper_left] = self.corners;
        // Added to 0 as on that walk: so a side at −0 comes out with the same sign.
        let [low, high] = [left.v, upper_left.v].map(|v| -(-v + 0.0));
        let ends = |u: f64| [Uv::new(u, low), Uv::new(u, high)];
        let mut pieces = Vec::with_capacity(joints.len() + 1);
        let mut push = |corners: [Uv; 4]| {
            pieces.push((pieces.len(), Outline { outer: corners.to_vec(), holes: Vec::new() }));
        };
        let (Some(first), Some(last)) = (joints.first(), joints.last()) else { return pieces };
        let [foot, head] = ends(*first);
        push([head, upper_left, left, foot]);
        for pair in joints.windows(2) {
            let ([a, d], [b, c]) = (ends(pair[0]), ends(pair[1]));
            push(if self.begins_left { [a, b, c, d] } else { [c, d, a, b] });
        }
        let [foot, head] = ends(*last);
        push([foot, right, upper_right, head]);
        pieces
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::slice::Slicer;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]
        /// Corner for corner, and to the last bit, what a walk along the boundary gives, at whatever corner the ring begins.
        #[test]
        fn pieces_are_those_of_a_walk_along_the_boundary(
            ends in (-4000.0..0.0_f64, 20.0..9000.0_f64),
            leans in (-150.0..150.0_f64, -150.0..150.0_f64),
            sides in (-2000.0..2000.0_f64, 1.5..200.0_f64),
            (begins, at_zero) in (0..4_usize, 0..3_usize),
            joints in proptest::collection::vec(0.0..1.0_f64, 1..7),
        ) {
            let (left, right) = (ends.0, ends.0 + ends.1);
            let (low, high) = match at_zero {
                0 => (0.0, sides.1),
                1 => (-sides.1, 0.0),
                _ => (sides.0, sides.0 + sides.1),
            };
            let corners = [(left, low), (right, low), (right + leans.1, high), (left + leans.0, high)];
            let outer: Vec<Uv> = (0..4).map(|i| corners[(begins + i) % 4]).map(|(u, v)| Uv::new(u, v)).collect();
            let run = Outline { outer, holes: Vec::new() };
            let Some(level) = Level::of(&run) else { return Ok(()) };
            let (from, to) = (left.max(left + leans.0), right.min(right + leans.1));
            let mut joints: Vec<f64> = joints.iter().map(|share| from + share * (to - from)).collect();
            joints.sort_by(f64::total_cmp);
            if level.holds(&joints) {
                let mut cuts = vec![left.min(left + leans.0) - 1.0];
                cuts.extend(&joints);
                cuts.push(right.max(right + leans.1) + 1.0);
                let mut walked = Vec::new();
                Slicer::default().across(run.rings(), &cuts, |stretch, piece| walked.push((stretch, piece)));
                // As text a side at -0 is told from one at 0.
                prop_assert_eq!(format!("{:?}", level.parted(&joints)), format!("{walked:?}"));
            }
        }
    }

    /// A run of one board is itself, however its ends lean.
    #[test]
    fn a_run_without_joints_is_one_piece() {
        let corners = [(0.0, 0.0), (3000.0, 0.0), (3004.0, 190.0), (-6.0, 190.0)];
        let run = Outline { outer: corners.map(|(u, v)| Uv::new(u, v)).to_vec(), holes: Vec::new() };
        let pieces = crate::slice_run(&run, &[-7.0, 3005.0]);
        // 190 · (3000 + 3010) / 2 by hand.
        assert!(matches!(&pieces[..], [(0, piece)] if (piece.area() - 570_950.0).abs() < 1e-6), "{pieces:?}");
    }

    /// A notched run is none, nor is one that tapers; joints by an end are left to the walk.
    #[test]
    fn what_is_not_level_is_left_to_the_walk() {
        let run = |corners: &[(f64, f64)]| Outline {
            outer: corners.iter().map(|(u, v)| Uv::new(*u, *v)).collect(),
            holes: Vec::new(),
        };
        let level = run(&[(0.0, 0.0), (3000.0, 0.0), (3004.0, 190.0), (-6.0, 190.0)]);
        assert!(Level::of(&level).is_some_and(|level| level.holds(&[1200.0, 2400.0])));
        assert!(Level::of(&level).is_some_and(|level| !level.holds(&[0.5, 2400.0])));
        assert!(Level::of(&level).is_some_and(|level| !level.holds(&[1200.0, 2999.5])));
        assert!(Level::of(&run(&[(0.0, 0.0), (3000.0, 1.0), (3000.0, 190.0), (0.0, 190.0)])).is_none());
        let notched =
            [(0.0, 0.0), (3000.0, 0.0), (3000.0, 190.0), (900.0, 190.0), (900.0, 100.0), (0.0, 100.0)];
        assert!(Level::of(&run(&notched)).is_none());
        let leaning = run(&[(0.0, 0.0), (3000.0, 0.0), (3000.0, 190.0), (-400.0, 190.0)]);
        assert!(Level::of(&leaning).is_none());
    }
}
