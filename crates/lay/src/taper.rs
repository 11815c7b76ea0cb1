//! Tapered rips: one long edge as the factory made it, the other sawn along a wall that is out of true or bowed.

use crate::{Board, Outline};
use site::Uv;

/// A sawn edge steeper than this is a notch or a point, not a rip. It is the slope past which the set-out reads no rip
/// along an edge either; larger, the shoulders of notches would be read as tapers.
const STEEPEST: f64 = 0.1;
/// Places of a sawn edge this close to a straight line need no mark of their own, mm: a saw follows no less. Larger, a
/// bow would be lost.
const STRAIGHT: f64 = 0.5;
/// An end out of square by less is cut square, mm: as for boards that are not ripped.
const SQUARE: f64 = 1.0;
/// A corner this close to the factory's edge lies on it, mm. Larger than rounding.
const ON: f64 = 0.05;
/// A place on an edge: along the board, and the wood from the kept edge.
type Place = (f64, f64);

/// The long edge that a rip keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum KeptEdge {
    /// The groove.
    Groove,
    /// The tongue.
    Tongue,
}

impl KeptEdge {
    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Groove => "groove",
            Self::Tongue => "tongue",
        }
    }
}

/// Where the saw's line across a board is marked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RipMark {
    /// From the board's left end, mm.
    pub at: f64,
    /// Width kept there, from the edge that is kept, mm.
    pub width: f64,
}

/// A rip that changes its width along the board, in the board's own frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Taper {
    /// The long edge it keeps from end to end.
    pub keeps: KeptEdge,
    /// Widths at its left end, where the sawn edge bends, and at its right end; between them it is straight.
    pub marks: Vec<RipMark>,
}

impl Taper {
    /// The narrowest place: a straight line has its least at one of its ends.
    pub fn narrowest(&self) -> RipMark {
        let least = |a: RipMark, b: &RipMark| if b.width < a.width { *b } else { a };
        self.marks.iter().fold(RipMark { at: 0.0, width: f64::INFINITY }, least)
    }

    /// The widths from left to right as one marks them, each but the ends' with its place: `152 → 148 at 900 → 151`.
    pub fn words(&self, length: impl Fn(f64) -> String) -> String {
        let last = self.marks.len().saturating_sub(1);
        let word = |(i, mark): (usize, &RipMark)| match i == 0 || i == last {
            true => length(mark.width),
            false => format!("{} at {}", length(mark.width), length(mark.at)),
        };
        let mut words: Vec<String> = self.marks.iter().enumerate().map(word).collect();
        // Two ends that read the same on the tape are one setting.
        if words.len() == 2 {
            words.dedup();
        }
        words.join(" → ")
    }
}

impl Board {
    /// The tapered rip that it is; `None` for whole boards, straight rips, notched ones and blocks aslant.
    pub fn taper(&self, pitch: f64) -> Option<Taper> {
        if !self.shaped || self.is_block() || self.lean != 0.0 || !self.outline.holes.is_empty() {
            return None;
        }
        let ring = self.own_rings(pitch).next()?;
        let kept = |keeps: KeptEdge, ring: Vec<Place>| {
            let marks = sawn(ring, self.length())?;
            Some(Taper { keeps, marks: marks.into_iter().map(|(at, width)| RipMark { at, width }).collect() })
        };
        // Seen from the tongue the other way round, so that the wood still lies to the left of its outline.
        let from_tongue = |ring: &[Place]| ring.iter().rev().map(|(x, y)| (*x, pitch - y)).collect();
        let other = from_tongue(&ring);
        kept(KeptEdge::Groove, ring).or_else(|| kept(KeptEdge::Tongue, other))
    }
}

/// The narrowest place of an outline that is a tapered rip: its width and where that is.
pub(crate) fn narrowest(outline: &Outline) -> Option<(f64, Uv)> {
    // Most outlines that are looked at are notched: those have more corners within than a bow would.
    if !outline.holes.is_empty() || outline.outer.len() < 3 {
        return None;
    }
    let ((left, right), (low, high)) =
        (crate::slice::extent(&outline.outer), crate::slice::rise(&outline.outer));
    let up: Vec<Place> = outline.outer.iter().map(|p| (p.u - left, p.v - low)).collect();
    let down = || -> Vec<Place> { outline.outer.iter().rev().map(|p| (p.u - left, high - p.v)).collect() };
    let least = |marks: Vec<Place>| marks.into_iter().min_by(|a, b| a.1.total_cmp(&b.1));
    let length = right - left;
    let from_low =
        sawn(up, length).and_then(least).map(|(x, width)| (width, Uv::new(left + x, low + width / 2.0)));
    from_low.or_else(|| {
        let (x, width) = sawn(down(), length).and_then(least)?;
        Some((width, Uv::new(left + x, high - width / 2.0)))
    })
}

/// The sawn edge over a kept one that lies on 0 from end to end, left to right; `None` where the outline is another
/// shape, or does not taper. `ring` goes anticlockwise.
fn sawn(mut ring: Vec<Place>, length: f64) -> Option<Vec<Place>> {
    let is_on = |p: &Place| p.1.abs() < ON;
    let right =
        (0..ring.len()).filter(|i| is_on(&ring[*i])).max_by(|a, b| ring[*a].0.total_cmp(&ring[*b].0))?;
    if ring[right].0 < length - SQUARE {
        return None;
    }
    ring.rotate_left(right);
    let back = 1 + ring.iter().skip(1).position(is_on)?;
    // Past the left end only the kept edge is left to go.
    if ring[back].0 > SQUARE || !ring[back..].iter().all(is_on) {
        return None;
    }
    let mut edge: Vec<Place> = ring[..=back].to_vec();
    edge.reverse();
    // At its ends the outline goes up square: what counts is where it gets to.
    let first = edge.iter().rposition(|p| p.0 <= SQUARE)?;
    let last = edge.iter().position(|p| p.0 >= length - SQUARE)?;
    if first >= last {
        return None;
    }
    let edge = straightened(&edge[first..=last]);
    let is_rip = |pair: &[Place]| {
        let along = pair[1].0 - pair[0].0;
        along > 0.0 && (pair[1].1 - pair[0].1).abs() <= STEEPEST * along
    };
    let spread = |pick: fn(f64, f64) -> f64, start: f64| edge.iter().map(|p| p.1).fold(start, pick);
    let tapers = spread(f64::max, f64::NEG_INFINITY) - spread(f64::min, f64::INFINITY) >= STRAIGHT;
    (tapers && edge.windows(2).all(is_rip)).then_some(edge)
}

/// The line without places that lie within [`STRAIGHT`] of it.
fn straightened(edge: &[Place]) -> Vec<Place> {
    if edge.len() <= 2 {
        return edge.to_vec();
    }
    let line: geo::LineString = edge.iter().map(|p| geo::Coord { x: p.0, y: p.1 }).collect();
    geo::Simplify::simplify(&line, STRAIGHT).coords().map(|c| (c.x, c.y)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::Rules;

    const PITCH: f64 = 190.0;

    fn board(outer: &[(f64, f64)], turned: bool) -> Board {
        let outer: Vec<Uv> = outer.iter().map(|p| Uv::new(p.0, p.1)).collect();
        let (left, right) = crate::slice::extent(&outer);
        let outline = Outline { outer, holes: Vec::new() };
        Board {
            label: "1-1".into(),
            region: 0,
            row: 0,
            run: 0,
            along: Uv::new(1.0, 0.0),
            left,
            right,
            base: 0.0,
            lean: 0.0,
            hand: None,
            in_border: false,
            area: outline.area(),
            outline,
            turned,
            left_end: crate::End::Cut,
            right_end: crate::End::Cut,
            starts_run: true,
            ends_run: true,
            shaped: true,
            width: PITCH,
            stock: 0,
            from: 0.0,
        }
    }

    fn marks(taper: &Taper) -> Vec<(f64, f64)> {
        taper.marks.iter().map(|mark| (mark.at, mark.width)).collect()
    }

    /// A wall that comes 12 mm nearer over 2000 mm: 150 kept at one end, 138 at the other. Turned, left and right and
    /// groove and tongue change places. By hand.
    #[test]
    fn a_wall_out_of_true_gives_a_width_at_each_end() {
        let outer = [(500.0, 0.0), (2500.0, 0.0), (2500.0, 138.0), (500.0, 150.0)];
        let taper = board(&outer, false).taper(PITCH).unwrap();
        assert_eq!((taper.keeps, marks(&taper)), (KeptEdge::Groove, vec![(0.0, 150.0), (2000.0, 138.0)]));
        let taper = board(&outer, true).taper(PITCH).unwrap();
        assert_eq!((taper.keeps, marks(&taper)), (KeptEdge::Tongue, vec![(0.0, 138.0), (2000.0, 150.0)]));
        assert_eq!(taper.words(|mm| mm.to_string()), "138 → 150");
        assert_eq!(taper.words(|mm| format!("{}", (mm / 100.0).round())), "1 → 2");
        assert_eq!(taper.words(|mm| format!("{}", (mm / 200.0).round())), "1");
    }

    /// A bow 9 mm deep in the middle of 1800 mm, measured at one mark; the ends' corners with joints on them are no marks,
    /// nor is a place on the straight line. By hand.
    #[test]
    fn a_bow_gives_a_width_at_its_mark() {
        let outer = [
            (0.0, 190.0),
            (0.0, 95.0),
            (0.0, 60.0),
            (450.0, 55.5),
            (900.0, 51.0),
            (1800.0, 60.0),
            (1800.0, 120.0),
            (1800.0, 190.0),
        ];
        let taper = board(&outer, false).taper(PITCH).unwrap();
        let expected = vec![(0.0, 130.0), (900.0, 139.0), (1800.0, 130.0)];
        assert_eq!((taper.keeps, marks(&taper)), (KeptEdge::Tongue, expected));
        assert_eq!(taper.words(|mm| mm.to_string()), "130 → 139 at 900 → 130");
    }

    /// The same rip under a wall that stands above it or below it: 138 kept at its right end, half of that inside the edge
    /// that is kept. By hand.
    #[test]
    fn the_narrowest_place_is_found_from_either_edge() {
        let outline = |outer: &[(f64, f64)]| {
            let outer = outer.iter().map(|p| Uv::new(p.0, p.1)).collect();
            narrowest(&Outline { outer, holes: Vec::new() })
        };
        let up = outline(&[(500.0, 20.0), (2500.0, 20.0), (2500.0, 158.0), (500.0, 170.0)]);
        assert_eq!(up, Some((138.0, Uv::new(2500.0, 89.0))));
        let down = outline(&[(500.0, 20.0), (2500.0, 32.0), (2500.0, 170.0), (500.0, 170.0)]);
        assert_eq!(down, Some((138.0, Uv::new(2500.0, 101.0))));
    }

    /// Running out to nothing is a taper still; a notch's shoulder, a slanted end and a rip that is straight are none.
    #[test]
    fn wedges_taper_and_notches_do_not() {
        let wedge = board(&[(0.0, 0.0), (1500.0, 0.0), (0.0, 90.0)], false).taper(PITCH).unwrap();
        assert_eq!((marks(&wedge), wedge.narrowest().at), (vec![(0.0, 90.0), (1500.0, 0.0)], 1500.0));
        let notched =
            [(0.0, 0.0), (900.0, 0.0), (900.0, 100.0), (500.0, 100.0), (500.0, 190.0), (0.0, 190.0)];
        let slanted = [(0.0, 0.0), (900.0, 0.0), (880.0, 150.0), (0.0, 150.0)];
        let straight = [(0.0, 0.0), (900.0, 0.0), (900.0, 150.3), (0.0, 150.0)];
        for outer in [&notched[..], &slanted, &straight] {
            assert_eq!(board(outer, false).taper(PITCH), None, "{outer:?}");
        }
    }

    /// A bow that leaves 45 at one mark only, of 2000 mm: under 50 for a fifth of its length, and a sliver there.
    #[test]
    fn a_tapered_rip_is_a_sliver_by_its_narrowest_place() {
        let outer = [(0.0, 0.0), (2000.0, 0.0), (2000.0, 70.0), (1000.0, 45.0), (600.0, 60.0), (0.0, 70.0)]
            .map(|p| Uv::new(p.0, p.1));
        let outline = Outline { outer: outer.to_vec(), holes: Vec::new() };
        let rules = Rules { least_rip: 50.0, ..Rules::default() };
        let found = crate::narrow(&outline, &rules).unwrap();
        assert!(
            found.is_sliver && (found.figure - 45.0).abs() < 1e-9 && found.at == Uv::new(1000.0, 22.5),
            "{found:?}"
        );
        assert_eq!(crate::narrow(&outline, &Rules { least_rip: 45.0, ..rules }), None);
    }
}
