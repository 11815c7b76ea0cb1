//! What a tape measured in a room: lengths between its corners.

use crate::{Plan, Room};
use serde::{Deserialize, Serialize};

/// One length measured with the tape between two corners of a room: a wall, or a diagonal.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Taped {
    /// The corner from which it was measured, counted from 0 here and from 1 in the file and on paper.
    #[serde(with = "crate::doorway::one_based")]
    pub from: usize,
    /// The corner to which it was measured, counted alike.
    #[serde(with = "crate::doorway::one_based")]
    pub to: usize,
    /// What the tape showed, mm.
    pub length: f64,
    /// How far it may be out (one standard deviation), mm; `None` takes [`Taped::GOOD_TO`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub good_to: Option<f64>,
    /// Kept but not used: doubted, and not measured again yet.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub set_aside: bool,
}

impl Taped {
    /// How far a taped length is usually out, one standard deviation, mm: common practice, no source.
    pub const GOOD_TO: f64 = 3.0;

    /// A length as it was read.
    pub fn new(from: usize, to: usize, length: f64) -> Self {
        Self { from, to, length, good_to: None, set_aside: false }
    }

    /// How far it may be out, mm.
    pub fn good_to(&self) -> f64 {
        self.good_to.unwrap_or(Self::GOOD_TO)
    }

    /// Whether it lies between these corners, either way round.
    pub fn is_between(&self, a: usize, b: usize) -> bool {
        (self.from, self.to) == (a, b) || (self.from, self.to) == (b, a)
    }

    /// What it is called in a room of `corners` corners: `wall 3`, or `corner 1 to corner 3`.
    pub fn name(&self, corners: usize) -> String {
        span_name(self.from, self.to, corners)
    }
}

/// What a stretch between two corners of a room of `corners` corners is called.
pub fn span_name(from: usize, to: usize, corners: usize) -> String {
    let (a, b) = (from.min(to), from.max(to));
    if b == a + 1 {
        format!("wall {}", a + 1)
    } else if a == 0 && b + 1 == corners {
        format!("wall {corners}")
    } else {
        format!("corner {} to corner {}", a + 1, b + 1)
    }
}

impl Room {
    /// Renumbers the tape after a corner was put in before what was corner `at`, counted from 0.
    pub(crate) fn tape_after_insert(&mut self, at: usize) {
        let count = self.walls.len();
        let moved = |corner: usize| if corner >= at { corner + 1 } else { corner };
        // The wall that is split is measured no longer: its two parts are.
        let split = (at + count - 1) % count;
        self.tape.retain(|taped| !taped.is_between(split, at % count));
        for taped in &mut self.tape {
            (taped.from, taped.to) = (moved(taped.from), moved(taped.to));
        }
    }

    /// Drops what was measured to a corner that is taken out, and renumbers the rest.
    pub(crate) fn tape_after_remove(&mut self, gone: usize) {
        self.tape.retain(|taped| taped.from != gone && taped.to != gone);
        let moved = |corner: usize| if corner > gone { corner - 1 } else { corner };
        for taped in &mut self.tape {
            (taped.from, taped.to) = (moved(taped.from), moved(taped.to));
        }
    }
}

impl Plan {
    /// Whether any room holds taped lengths.
    pub fn is_taped(&self) -> bool {
        self.rooms.iter().any(|room| !room.tape.is_empty())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::tests::{expect, two_rooms};
    use crate::edit::{remove_corner, split_wall};

    #[test]
    fn walls_and_diagonals_have_their_names() {
        assert_eq!(span_name(0, 1, 4), "wall 1");
        assert_eq!(span_name(3, 2, 4), "wall 3");
        assert_eq!(span_name(0, 3, 4), "wall 4");
        assert_eq!(span_name(3, 1, 4), "corner 2 to corner 4");
        assert_eq!(span_name(1, 2, 3), "wall 2");
        assert_eq!(span_name(2, 0, 3), "wall 3");
    }

    #[test]
    fn the_tape_follows_corners_put_in_and_taken_out() {
        let mut plan = two_rooms();
        let taped = |a, b| Taped::new(a, b, 4000.0);
        plan.rooms[0].tape = vec![taped(0, 1), taped(2, 3), taped(0, 2), taped(3, 0)];
        split_wall(&mut plan, 0, 2, 1500.0).unwrap();
        let pairs = |plan: &Plan| plan.rooms[0].tape.iter().map(|t| (t.from, t.to)).collect::<Vec<_>>();
        assert_eq!(pairs(&plan), [(0, 1), (0, 2), (4, 0)], "wall 3 is two walls now");
        remove_corner(&mut plan, 0, 3).unwrap();
        assert_eq!(pairs(&plan), [(0, 1), (0, 2), (3, 0)]);
        split_wall(&mut plan, 0, 3, 1500.0).unwrap();
        assert_eq!(pairs(&plan), [(0, 1), (0, 2)], "the last wall is split");
        assert_eq!(plan.problems(), []);
        remove_corner(&mut plan, 0, 1).unwrap();
        assert_eq!(pairs(&plan), [(0, 1)], "the diagonal from corner 1 is a wall now");
    }

    #[test]
    fn a_taped_length_lies_between_two_corners() {
        let with = |taped: Taped| move |plan: &mut Plan| plan.rooms[0].tape.push(taped);
        expect(with(Taped::new(0, 4, 3000.0)), "Left", "corner 5");
        expect(with(Taped::new(2, 2, 3000.0)), "Left", "corner 3 to itself");
        expect(with(Taped::new(0, 2, -3.0)), "Left", "corner 1 to corner 3 is \u{2212}3 mm");
        expect(with(Taped { good_to: Some(0.0), ..Taped::new(0, 2, 5e3) }), "Left", "out by some is 0 mm");
        expect(with(Taped::new(0, 2, f64::NAN)), "Left", "NaN");
    }

    #[test]
    fn the_file_keeps_the_tape() {
        let mut plan = two_rooms();
        let bare = crate::write(&plan);
        assert!(!bare.contains("tape"));
        plan.rooms[0].tape = vec![
            Taped::new(0, 1, 4003.0),
            Taped { good_to: Some(2.0), set_aside: true, ..Taped::new(0, 2, 5001.5) },
        ];
        let text = crate::write(&plan);
        assert!(text.contains("(from: 1, to: 3, length: 5001.5, good_to: 2.0, set_aside: true)"), "{text}");
        let again = crate::read(&text).unwrap();
        assert_eq!((again == plan, crate::write(&again)), (true, text));
    }
}
