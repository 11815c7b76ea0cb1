//! Boards that are whole but for ends sawn at an angle.

use crate::MitreEntry;
use lay::{Board, End};
use std::collections::BTreeMap;

/// An end less than this off square is squared up, or marked by hand, degrees. Common practice, no source.
const LEAST_ANGLE: f64 = 5.0;
/// A corner this close to a long edge lies on it, mm.
const TRUE: f64 = 0.1;
/// Angles this close are one setting of the saw, degrees: finer than its scale.
const SAME_ANGLE: f64 = 0.05;

/// Tenths of a degree at the left and right end, and whole millimetres.
type Setting = (Option<i32>, Option<i32>, i64);

impl MitreEntry {
    /// How the ends are sawn: `left end 45° leaning right, right end square`, seen from the groove edge.
    pub fn words(&self) -> String {
        let end = |name: &str, angle: Option<f64>| {
            angle.map(|angle| match angle {
                a if a.abs() < SAME_ANGLE => format!("{name} end square"),
                a if a > 0.0 => format!("{name} end {a}° leaning right"),
                a => format!("{name} end {}° leaning left", -a),
            })
        };
        let ends = [end("left", self.left), end("right", self.right)];
        ends.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

/// Boards by their angles and length.
#[derive(Default)]
pub(crate) struct Mitres(BTreeMap<Setting, Vec<usize>>);

impl Mitres {
    /// Adds a board if it is cut at an angle and otherwise whole.
    pub(crate) fn add(&mut self, index: usize, board: &Board, pitch: f64) -> bool {
        let Some(ends) = ends(board, pitch) else { return false };
        let factory = libm::atan(board.lean).to_degrees();
        let sawn = |angle: f64, end: End| {
            let as_made = (angle - factory).abs() < SAME_ANGLE && end == End::Factory;
            (!as_made).then_some(angle)
        };
        let (left, right) = (sawn(ends.left, board.left_end), sawn(ends.right, board.right_end));
        let aslant = |angle: Option<f64>| angle.is_some_and(|angle| angle.abs() >= LEAST_ANGLE);
        let fit =
            |angle: Option<f64>| angle.is_none_or(|angle| aslant(Some(angle)) || angle.abs() < SAME_ANGLE);
        if !(aslant(left) || aslant(right)) || !fit(left) || !fit(right) {
            return false;
        }
        let tenths = |angle: f64| (angle * 10.0).round() as i32;
        let length = plan::cut_down(ends.length) as i64;
        self.0.entry((left.map(tenths), right.map(tenths), length)).or_default().push(index);
        true
    }

    /// By angles, longest first: a piece spoiled at one setting still serves at a later one.
    pub(crate) fn done(self) -> Vec<MitreEntry> {
        let mut all: Vec<(Setting, Vec<usize>)> = self.0.into_iter().collect();
        all.sort_by_key(|((left, right, length), _)| (*left, *right, -length));
        let degrees = |tenths: i32| f64::from(tenths) / 10.0;
        all.into_iter()
            .map(|((left, right, length), boards)| MitreEntry {
                left: left.map(degrees),
                right: right.map(degrees),
                setting: length as f64,
                boards,
            })
            .collect()
    }
}

/// Angles of a board's ends off square, degrees, and its length from long point to long point, mm.
struct Ends {
    left: f64,
    right: f64,
    length: f64,
}

/// The ends of a board that keeps both its long edges and has straight ends.
fn ends(board: &Board, pitch: f64) -> Option<Ends> {
    if !board.outline.holes.is_empty() || board.outline.outer.len() != 4 {
        return None;
    }
    let ring = board.own_rings(pitch).next()?;
    let side = |y: f64| -> Option<(f64, f64)> {
        let on: Vec<f64> = ring.iter().filter(|p| (p.1 - y).abs() < TRUE).map(|p| p.0).collect();
        match on.as_slice() {
            [a, b] => Some((a.min(*b), a.max(*b))),
            _ => None,
        }
    };
    let ((left, right), (left_up, right_up)) = (side(0.0)?, side(pitch)?);
    let angle = |lean: f64| libm::atan2(lean, pitch).to_degrees();
    Some(Ends {
        left: angle(left_up - left),
        right: angle(right_up - right),
        length: right.max(right_up) - left.min(left_up),
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use lay::Outline;
    use site::Uv;

    /// A block with ends at 45°, as made at its left end, sawn to the same angle at its right one.
    fn block(right_end: End) -> Board {
        let corners = [(0.0, 0.0), (500.0, 0.0), (600.0, 100.0), (100.0, 100.0)];
        let outer = corners.map(|(u, v)| Uv::new(u, v)).to_vec();
        Board {
            label: String::new(),
            region: 0,
            row: 0,
            run: 0,
            along: Uv::new(1.0, 0.0),
            left: 0.0,
            right: 600.0,
            base: 0.0,
            lean: 1.0,
            hand: None,
            in_border: false,
            area: 50_000.0,
            turned: false,
            left_end: End::Factory,
            right_end,
            starts_run: false,
            ends_run: false,
            shaped: false,
            width: 100.0,
            outline: Outline { outer, holes: Vec::new() },
            stock: 0,
            from: 0.0,
        }
    }

    #[test]
    fn an_end_as_it_was_made_is_not_sawn() {
        let mut mitres = Mitres::default();
        assert!(!mitres.add(0, &block(End::Factory), 100.0));
        assert!(mitres.add(1, &block(End::Cut), 100.0));
        let [entry] = mitres.done().try_into().unwrap();
        assert_eq!((entry.left, entry.right, entry.setting), (None, Some(45.0), 600.0));
    }

    #[test]
    fn an_end_is_told_by_its_angle_and_the_way_it_leans() {
        let entry = |left, right| MitreEntry { left, right, setting: 500.0, boards: Vec::new() };
        let words = |left, right| entry(left, right).words();
        assert_eq!(words(Some(45.0), Some(0.0)), "left end 45° leaning right, right end square");
        assert_eq!(words(None, Some(-30.5)), "right end 30.5° leaning left");
    }
}
