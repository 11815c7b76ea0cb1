//! The rip left at one edge as a function of the offset of the row lines: a sawtooth.

use crate::EdgeRef;
use crate::joints::Joints;
use crate::pace::Pace;
use crate::play::{Room, rooms_for_play};
use crate::sight::Sights;
use plan::Plan;
use site::{Ease, Edge, Region, Site, Span};

/// A wall out of square by more than one in ten leaves wedges, not rips: it is judged by its
/// point pieces, and would only drown the walls that can be helped.
pub(crate) const RIP_SLOPE: f64 = 0.1;

/// An edge shorter than this is a jog between two gaps or a chip of a corner, not a place where a rip is
/// seen, mm. Common practice, no source.
const SHORTEST: f64 = 20.0;
/// One of that length counts wherever the house lies: rounding moves its ends by far less than this, mm.
const ROUNDED: f64 = 0.01;

/// Offsets this close together are one offset, mm; far below what a chalk line can show.
pub(crate) const SAME: f64 = 1e-7;

/// One edge along the rows as the set-out sees it.
///
/// Away from its cliff, the offset at which it ends in a whole board and a hair further in a sliver, its rip
/// grows evenly to a whole board. The gap's play moves the cliff: strips no wider than it are taken up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tooth {
    pub(crate) edge: EdgeRef,
    /// Least v of the edge, mm.
    pub(crate) low: f64,
    /// Greatest v.
    pub(crate) high: f64,
    pub(crate) floor_is_above: bool,
    /// How far boards go under something, where their last width is hidden, mm. Such an edge has no play.
    pub(crate) hidden: f64,
    /// Length of the edge, mm.
    pub(crate) length: f64,
    /// The widest strip that the gap can take up, mm.
    pub(crate) play: f64,
    /// Width kept just past the cliff, mm: no strip is narrower than what the play leaves of the taper.
    pub(crate) foot: f64,
    /// Least distance to an edge that faces it, mm, where that is under a board and no narrower than the least
    /// rip: no rip here is wider. Infinite elsewhere.
    pub(crate) cap: f64,
    /// Least distance to an edge that faces it, mm; infinite where it is a board or more.
    pub(crate) facing: f64,
    /// Greatest distance to edges that face it, mm, where they do along all of it; infinite where some of its
    /// wood goes on to a row line.
    pub(crate) facing_most: f64,
    /// What a millimetre of the edge counts, in hundredths.
    pub(crate) weight: i64,
    /// Whether it is seen at all: not so behind doors that are mostly shut.
    pub(crate) in_view: bool,
}

/// An offset brought into 0..pitch by whole pitches.
pub(crate) fn turned(offset: f64, pitch: f64) -> f64 {
    // The remainder by hand: valuing lines asks for it more than for anything else.
    // So is the floor, which is a call where the processor is not known to have it.
    let turns = offset / pitch;
    let whole = turns as i64 as f64;
    let whole = if whole > turns { whole - 1.0 } else { whole };
    let rest = offset - whole * pitch;
    // Added to nothing, since the remainder of nothing below 0 is nothing.
    if rest >= 0.0 && rest < pitch { rest + 0.0 } else { 0.0 }
}

/// Whether a stretch along the rows is long enough to count.
pub(crate) fn is_long(run: f64) -> bool {
    run >= SHORTEST - ROUNDED
}

/// Whether rips are read along an edge: it lies along the rows, true enough and long enough.
pub(crate) fn has_rip(edge: &Edge) -> bool {
    let (low, high) = edge.v_range();
    let run = (edge.b.u - edge.a.u).abs();
    is_long(run) && high - low <= RIP_SLOPE * run
}

impl Tooth {
    fn new(edge: &Edge, at: EdgeRef, room: Room, least: f64, (weight, in_view): (i64, bool)) -> Self {
        let (low, high) = edge.v_range();
        // Of two zeros `max` may give either, so that of a gap of nothing is made the plain one.
        let hidden = (-edge.gap).max(0.0) + 0.0;
        Self {
            edge: at,
            low,
            high,
            floor_is_above: edge.floor_is_above(),
            hidden,
            length: edge.length(),
            play: room.play,
            foot: (room.play - (high - low)).max(0.0),
            cap: if room.facing >= hidden + least { room.facing } else { f64::INFINITY },
            facing: room.facing,
            facing_most: room.facing_most,
            weight,
            in_view,
        }
    }

    /// The same edge when the line may be off by `by` either way: its worst rip within that is the
    /// rip of an edge that much more out of square.
    pub(crate) fn widened(self, by: f64) -> Self {
        Self { low: self.low - by, high: self.high + by, ..self }
    }

    /// The edge as a pattern of blocks has it: moved, and with no board's width that an edge facing it could
    /// bound.
    pub(crate) fn moved(self, pace: &Pace) -> Self {
        let by = if self.floor_is_above { pace.low_edges } else { pace.high_edges };
        let [cap, facing, facing_most] = [f64::INFINITY; 3];
        Self { low: self.low + by, high: self.high + by, cap, facing, facing_most, ..self }
    }

    /// The edge read as if its row lines lay where the shared ones do: `by` mm lower than they are.
    pub(crate) fn lowered(self, by: f64) -> Self {
        Self { low: self.low - by, high: self.high - by, ..self }
    }

    pub(crate) fn taper(&self) -> f64 {
        self.high - self.low
    }

    /// An offset at which it ends in a whole board and, a hair further, in a sliver.
    pub(crate) fn cliff(&self) -> f64 {
        if self.floor_is_above { self.low + self.play } else { self.high - self.play }
    }

    /// The same of what is seen. Where boards go under something the eye takes its front for the end of the floor, so that the
    /// strip it sees is read from there: a last strip that lies wholly under it leaves a part of the row before to be seen.
    pub(crate) fn front(&self) -> f64 {
        if self.floor_is_above { self.cliff() + self.hidden } else { self.cliff() - self.hidden }
    }

    /// The edge as the wood has it, with nothing hidden.
    pub(crate) fn wood(self) -> Self {
        Self { hidden: 0.0, ..self }
    }

    /// How far the row lines are past a cliff, on the side where the rip grows: above 0, up to the pitch.
    fn past(&self, cliff: f64, offset: f64, pitch: f64) -> f64 {
        let distance = if self.floor_is_above { offset - cliff } else { cliff - offset };
        let past = turned(distance, pitch);
        // Rounding must not turn a whole board into a sliver.
        if past < SAME { pitch } else { past }
    }

    /// What is added to the distance past the cliff to give the rip, mm.
    pub(crate) fn start(&self) -> f64 {
        self.play - self.taper()
    }

    /// Narrowest kept width along the edge, mm; a row line on the edge leaves a whole board, and
    /// one that crosses it leaves nothing. What the play takes up is no strip.
    pub(crate) fn rip(&self, offset: f64, pitch: f64) -> f64 {
        self.up_to_row_line(offset, pitch).min(self.cap)
    }

    /// Narrowest width between the edge and the row line, whatever stands between them, mm.
    fn up_to_row_line(&self, offset: f64, pitch: f64) -> f64 {
        self.kept(self.past(self.cliff(), offset, pitch), pitch)
    }

    /// The narrowest strip where the row lines are so far past its cliff, mm.
    fn kept(&self, past: f64, pitch: f64) -> f64 {
        let kept = (past + self.start()).max(self.foot).min(pitch);
        if kept < SAME { 0.0 } else { kept }
    }

    /// The narrowest strip that is seen along the edge, mm: of the rip what nothing hides, or, where all of it is hidden, of
    /// the row before it.
    pub(crate) fn seen(&self, offset: f64, pitch: f64) -> f64 {
        self.kept(self.past(self.front(), offset, pitch), pitch).min(self.cap - self.hidden)
    }

    /// Widest kept width along the edge, mm: beside a thing that faces a part of it only, the wood goes on to the
    /// row line.
    pub(crate) fn widest(&self, offset: f64, pitch: f64) -> f64 {
        let to_row_line = match self.up_to_row_line(offset, pitch) {
            rip if rip > 0.0 => (rip + self.taper()).min(pitch),
            _ => pitch,
        };
        to_row_line.min(self.facing_most)
    }

    /// How much of the play a line uses, mm: the strip that the gap takes up at its widest.
    pub(crate) fn play_used(&self, offset: f64, pitch: f64) -> f64 {
        let used = self.past(self.cliff(), offset, pitch) + self.play - pitch;
        if self.play > 0.0 && used > SAME { used } else { 0.0 }
    }

    /// How the edge moves to use its play; `None` where it does not. It was [`Self::lowered`] by `shift`.
    pub(crate) fn ease(&self, edge: &Edge, shift: f64, offset: f64, pitch: f64) -> Option<Ease> {
        let used = self.play_used(offset, pitch);
        let EdgeRef { region, ring, edge: index } = self.edge;
        let at = |v: f64| match self.floor_is_above {
            true => (self.low + shift + used - v).max(0.0),
            false => (v - self.high - shift + used).max(0.0),
        };
        (used > 0.0).then(|| Ease { region, ring, edge: index, start: at(edge.a.v), end: at(edge.b.v) })
    }

    /// Whether the board along the whole edge needs no rip.
    pub(crate) fn is_whole(&self, offset: f64, pitch: f64) -> bool {
        self.rip(offset, pitch) >= pitch - SAME
    }

    /// Widest seen rip any line can leave, mm.
    pub(crate) fn ceiling(&self, pitch: f64) -> f64 {
        (pitch + self.start().min(0.0)).min(self.cap - self.hidden)
    }

    /// Whether its taper alone keeps every line from the least rip here.
    pub(crate) fn is_beyond_help(&self, least: f64, pitch: f64) -> bool {
        self.ceiling(pitch) < least - SAME && pitch >= least
    }

    /// Offset at which the row lines are `past` the cliff of what is seen, in 0..pitch.
    pub(crate) fn offset_past(&self, past: f64, pitch: f64) -> f64 {
        turned(if self.floor_is_above { self.front() + past } else { self.front() - past }, pitch)
    }

    /// Distance past that cliff up to which the seen rip is under `least`; `None` where it never is.
    pub(crate) fn short_until(&self, least: f64) -> Option<f64> {
        (self.foot < least - SAME).then(|| least - self.start())
    }

    /// Distances past that cliff at which the seen rip bends or passes `least`.
    fn bends(&self, least: f64, pitch: f64) -> [f64; 5] {
        let start = self.start();
        let places = [0.0, self.foot, pitch, least, self.cap - self.hidden];
        places.map(|kept| if kept > 0.0 { (kept - start).clamp(0.0, pitch) } else { (-start).max(0.0) })
    }

    /// Offsets at which the seen rip bends, jumps or passes `least`, in 0..pitch.
    pub(crate) fn breakpoints(&self, least: f64, pitch: f64) -> [f64; 6] {
        let [a, b, c, d, e] = self.bends(least, pitch).map(|past| self.offset_past(past, pitch));
        [self.offset_past(0.0, pitch), a, b, c, d, e]
    }

    /// How far the line may move down and up before the seen rip is under `least`; `None` if it is already.
    pub(crate) fn room_to_move(&self, offset: f64, least: f64, pitch: f64) -> Option<(f64, f64)> {
        if self.seen(offset, pitch) < least - SAME {
            return None;
        }
        let past = self.past(self.front(), offset, pitch);
        let Some(short) = self.short_until(least) else { return Some((f64::INFINITY, f64::INFINITY)) };
        let (to_narrow, to_cliff) = ((past - short).max(0.0), pitch - past);
        Some(if self.floor_is_above { (to_narrow, to_cliff) } else { (to_cliff, to_narrow) })
    }

    /// How far the line may move each way before the seen rip is under `least`; `None` if it is already.
    pub(crate) fn slack(&self, offset: f64, least: f64, pitch: f64) -> Option<f64> {
        self.room_to_move(offset, least, pitch).map(|(down, up)| down.min(up))
    }
}

/// The edges of a site's boundary, each with its place.
fn edges(site: &Site) -> impl Iterator<Item = (EdgeRef, &Edge)> {
    site.regions.iter().enumerate().flat_map(|(region, r)| {
        r.rings().enumerate().flat_map(move |(ring, edges)| {
            edges.edges.iter().enumerate().map(move |(edge, e)| (EdgeRef { region, ring, edge }, e))
        })
    })
}

/// The teeth of a site's edges, in the site's order, given the spans of each region. An edge whose taper spans
/// a whole board has none, nor has one of a joint that moves out of a sliver's way.
pub(crate) fn teeth(plan: &Plan, site: &Site, spans: &[Vec<Span>], joints: &Joints) -> Vec<Tooth> {
    let pitch = plan.stock.pitch();
    let sights = Sights::new(plan, site);
    let rooms: Vec<Vec<Room>> =
        site.regions.iter().zip(spans).map(|(region, spans)| rooms_for_play(region, spans, pitch)).collect();
    let firsts: Vec<Vec<usize>> = site.regions.iter().map(first_edges).collect();
    edges(site)
        .filter(|(_, edge)| has_rip(edge) && rise(edge) < pitch && !joints.keeps_clear(edge))
        .map(|(at, edge)| {
            let room = rooms[at.region][firsts[at.region][at.ring] + at.edge];
            Tooth::new(edge, at, room, plan.rules.least_rip, sights.of(edge))
        })
        .collect()
}

/// Number of each ring's first edge among all edges of a region.
pub(crate) fn first_edges(region: &Region) -> Vec<usize> {
    let lengths = region.rings().map(|ring| ring.edges.len());
    lengths
        .scan(0, |sum, length| {
            *sum += length;
            Some(*sum - length)
        })
        .collect()
}

fn rise(edge: &Edge) -> f64 {
    let (low, high) = edge.v_range();
    high - low
}

/// Edges of each region along the rows that show every rip, since they rise by a board or more.
pub(crate) fn steep_edges(site: &Site, pitch: f64) -> Vec<usize> {
    let is_steep =
        |edge: &&Edge| edge.is_along_rows() && is_long((edge.b.u - edge.a.u).abs()) && rise(edge) >= pitch;
    site.regions.iter().map(|region| region.edges().filter(is_steep).count()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::{Point, Room};

    /// A jamb of a door: the lining's face at 4190, boards 12 under it, to 4178. Boards 180.3 wide. What lies above 4190 is seen.
    #[test]
    fn a_strip_that_lies_wholly_under_a_lining_leaves_the_row_before_it_to_be_seen() {
        let tooth = |low: f64, high: f64, floor_is_above: bool| Tooth {
            edge: EdgeRef { region: 0, ring: 0, edge: 0 },
            low,
            high,
            floor_is_above,
            hidden: 12.0,
            length: 30.0,
            play: 0.0,
            foot: 0.0,
            cap: f64::INFINITY,
            facing: f64::INFINITY,
            facing_most: f64::INFINITY,
            weight: 100,
            in_view: true,
        };
        let (pitch, least) = (180.3, 50.0);
        let jamb = tooth(4178.0, 4178.0, true);
        // A row line at 4184.2 leaves a strip of 6.2, all of it hidden; the row after it ends at 4364.5, 174.5 above 4190. One
        // at 4190 itself hides 12 and leaves a whole row; one at 4191 leaves 1 to be seen, and one at 4240 the least, 50.
        for (line, wood, seen) in [
            (4184.2, 6.2, 174.5),
            (4190.0, 12.0, 180.3),
            (4191.0, 13.0, 1.0),
            (4240.0, 62.0, 50.0),
            (4178.0, 180.3, 168.3),
        ] {
            assert!((jamb.rip(line, pitch) - wood).abs() < 1e-9, "{line}: {}", jamb.rip(line, pitch));
            assert!((jamb.seen(line, pitch) - seen).abs() < 1e-9, "{line}: {}", jamb.seen(line, pitch));
        }
        // From 4184.2 the line may go up 5.8, to the lining's face, before a sliver shows; down 124.5, until the strip that
        // shows is 50: 174.5 − 50.
        let (down, up) = jamb.room_to_move(4184.2, least, pitch).unwrap();
        assert!((up - 5.8).abs() < 1e-9 && (down - 124.5).abs() < 1e-9, "{down}, {up}");
        // Upside down, the floor below a lining's face at −4190, the same.
        let below = tooth(-4178.0, -4178.0, false);
        assert!(
            (below.seen(-4184.2, pitch) - 174.5).abs() < 1e-9
                && (below.rip(-4184.2, pitch) - 6.2).abs() < 1e-9
        );
        // Out of true by 3, from 4178 to 4181, its lining's face from 4190 to 4193: a row line at 4184.2 is hidden all along,
        // and 4364.5 is 171.5 above the nearer end; one at 4191 crosses the face, so that what shows runs out to nothing.
        let turned = tooth(4178.0, 4181.0, true);
        assert!((turned.seen(4184.2, pitch) - 171.5).abs() < 1e-9 && turned.seen(4191.0, pitch) == 0.0);
        // Boards that go 200 under show what they would 19.7 under, but for a whole row more.
        let deep = Tooth { hidden: 200.0, ..jamb };
        assert!((deep.seen(4184.2, pitch) - (6.2 + 180.3 - 19.7)).abs() < 1e-9);
    }

    /// A wall that rises by a board or more shows every rip there is; one that rises by less does not, nor does one across
    /// the rows.
    #[test]
    fn walls_that_rise_by_a_board_are_steep() {
        let steep = |rise: f64| {
            let mut plan = Plan::new("t");
            let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0 + rise), (0.0, 3000.0)];
            plan.rooms.push(Room::boarded("Hall", corners.map(|(x, y)| Point::new(x, y))));
            steep_edges(&site::survey(&plan), 190.0)
        };
        assert_eq!([steep(0.0), steep(150.0), steep(300.0), steep(2000.0)], [[0], [0], [1], [1]]);
    }
}
