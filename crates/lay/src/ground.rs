//! The ground of a floor: its regions sliced into runs once, each with what the choice of joints must know.

use crate::backwards::{Meeting, RunPlace, entered, meeting};
use crate::nest::{SQUARE as SQUARE_ENDS, shifts_of};
use crate::profile::Profile;
use crate::slice::{Slicer, extent, rise, sides};
use crate::taken::Taken;
use crate::{Outline, Run, pattern};
use plan::{Places, Plan, RowLines};
use setout::SetOut;
use site::{Frame, Region, Site, Uv};
use smallvec::SmallVec;
use std::collections::BTreeSet;

/// Places closer together than this are one, mm.
pub(crate) const TRUE: f64 = 0.1;
/// Corners this close to a run's end belong to the end, mm.
const AT_END: f64 = 30.0;
/// A rip that tapers by less than this is ripped straight, mm. Common practice, no source.
pub(crate) const STRAIGHT: f64 = 0.5;
/// An end out of square by less than this is cut square, mm; the skirting covers it. Common practice, no source.
pub(crate) const SQUARE: f64 = 1.0;
/// Slants told apart: a floor round a curved wall has one for each row.
const MOST_SLANTS: usize = 8;
/// Rows this close to a board's width are as wide, mm.
const AS_WIDE: f64 = 0.01;
/// Room is made at once for so many runs; more take it as they come.
const MOST_ROWS: usize = 100_000;
/// How many rows away joints still matter to each other.
const ROWS: usize = 3;

/// Stretches along the rows, least and greatest u.
type Spans = SmallVec<[(f64, f64); 1]>;

/// One run with its geometry; of a run that is partly laid, what is left of it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Lie {
    /// The light description; its boards are not laid yet.
    pub(crate) run: Run,
    pub(crate) outline: Outline,
    /// v of the lower side of its row.
    pub(crate) base: f64,
    /// Where it reaches the lower and the upper side of its row.
    lower: Spans,
    upper: Spans,
    /// Corners of notches, sorted.
    notches: Vec<f64>,
    /// Stretches in which walls part it lengthways.
    forks: Spans,
    /// Its row among all regions' rows: the row above has the next number, and beyond a region's first and last
    /// row three numbers are left empty.
    pub(crate) lane: usize,
    /// How wide it is along its length.
    pub(crate) profile: Profile,
    /// Width of its row, mm.
    pub(crate) height: f64,
    /// Whether it goes on from a laid board at the worker's left end and right end.
    pub(crate) joined: [bool; 2],
}

impl Lie {
    pub(crate) fn length(&self) -> f64 {
        self.run.right - self.run.left
    }

    /// A distance from the worker's left end as a place on the plan. Below the start line the worker faces
    /// the other way.
    pub(crate) fn plan_u(&self, s: f64) -> f64 {
        if self.run.is_turned() { self.run.right - s } else { self.run.left + s }
    }

    /// Whether a joint at `u` reaches the upper or the lower side of the row.
    pub(crate) fn touches(&self, above: bool, u: f64) -> bool {
        within_any(if above { &self.upper } else { &self.lower }, u)
    }

    /// Whether walls part the run lengthways at `u`.
    pub(crate) fn is_forked(&self, u: f64) -> bool {
        within_any(&self.forks, u)
    }

    /// Whether a notch's corner lies within `reach` of `u`.
    pub(crate) fn is_by_notch(&self, u: f64, reach: f64) -> bool {
        let first = self.notches.partition_point(|notch| *notch < u - reach);
        self.notches.get(first).is_some_and(|notch| *notch <= u + reach)
    }

    /// Notes where its ends slant: of a run as wide as a board from end to end.
    pub(crate) fn note_slants(&mut self, pitch: f64) {
        let run = &mut self.run;
        let is_whole = run.keeps_groove && run.keeps_tongue && (self.height - pitch).abs() < AS_WIDE;
        // A piece that covers a slant from end to end is as wide as the row and leaves no strip.
        if !run.shaped || !is_whole || !self.forks.is_empty() {
            return;
        }
        let row = (self.base, self.base + self.height);
        let [left, right] = shifts_of(&self.outline, row, (run.left, run.right));
        run.slants = if run.is_turned() { [right, left] } else { [left, right] };
    }

    /// Shifts of the ends of a piece of it: from the worker's left end on or up to the right end, or both. Within a slanting
    /// end a joint leaves no piece with one line for an end.
    pub(crate) fn shifts(&self, length: f64, [at_left, at_right]: [bool; 2]) -> [f64; 2] {
        if self.run.slants == SQUARE_ENDS {
            return SQUARE_ENDS;
        }
        let [left, right] = self.run.slants;
        let shift = |is_there: bool, shift: f64| if is_there && length >= shift.abs() { shift } else { 0.0 };
        [shift(at_left, left), shift(at_right, right)]
    }

    /// Whether walls part it lengthways anywhere.
    pub(crate) fn has_forks(&self) -> bool {
        !self.forks.is_empty()
    }
}

/// Whether a place lies in one of some stretches that are sorted and lie apart.
fn within_any(spans: &Spans, u: f64) -> bool {
    let next = spans.partition_point(|(from, _)| *from <= u);
    next > 0 && u <= spans[next - 1].1
}

/// All runs of a site's field, in order of laying: each part upwards from its line, then downwards past the slip
/// tongue.
#[derive(Debug)]
pub(crate) struct Ground<'a> {
    pub(crate) pitch: f64,
    /// The line of each region, as [`crate::Floor::lines`] has it.
    pub(crate) lines: Vec<f64>,
    pub(crate) lies: Vec<Lie>,
    pub(crate) lanes: usize,
    /// What of it is laid; its lies are then what is left to lay.
    pub(crate) taken: Option<Taken<'a>>,
}

impl<'a> Ground<'a> {
    pub(crate) fn new(plan: &'a Plan, site: &Site, setout: &SetOut) -> Self {
        let mut ground = Self {
            pitch: setout.pitch,
            lines: pattern::lines_of(site, setout),
            lies: Vec::new(),
            lanes: 0,
            taken: Taken::new(plan, setout),
        };
        let is_asked = plan.doorways.iter().any(|door| door.slip_tongue);
        let doorways = is_asked.then(|| (plan, Places::new(plan), site.frame));
        // A run is large, and copied whenever the list grows: most rows are one run.
        let rows = |part: &Region| {
            let (low, high) = part.outer.edges.iter().fold((0.0_f64, 0.0_f64), |(low, high), edge| {
                let v = edge.a.v - part.outer.edges[0].a.v;
                (low.min(v), high.max(v))
            });
            ((high - low) / ground.pitch.max(1.0)) as usize + 2
        };
        let count: usize = site.fields().iter().map(rows).sum();
        ground.lies.reserve(count.min(MOST_ROWS));
        let mut slicer = Slicer::default();
        for (field, part) in site.fields().iter().enumerate() {
            let lines = setout.row_lines(field);
            ground.field(site.region_of(field), part, (&lines, &mut slicer), doorways.as_ref());
        }
        if let Some(taken) = &mut ground.taken {
            taken.close();
            taken.runs.iter_mut().for_each(|run| run.lie.note_slants(ground.pitch));
        }
        ground.lies.iter_mut().for_each(|lie| lie.note_slants(ground.pitch));
        ground
    }

    /// Slants of the ends of its runs, mm, as they are told apart: the most frequent, least first.
    pub(crate) fn slants(&self) -> Vec<f64> {
        let slants = self.lies.iter().flat_map(|lie| lie.run.slants).filter(|slant| *slant != 0.0);
        let mut slants: Vec<f64> = slants.collect();
        slants.sort_by(f64::total_cmp);
        let mut kinds: Vec<&[f64]> = slants.chunk_by(|a, b| b - a < SQUARE).collect();
        kinds.sort_by_key(|kind| std::cmp::Reverse(kind.len()));
        let mut told: Vec<f64> = kinds.iter().take(MOST_SLANTS).map(|kind| kind[kind.len() / 2]).collect();
        told.sort_by(f64::total_cmp);
        told
    }

    /// Adds the runs of a part of the field. `doorways` is given where a room may have to be laid back from one.
    fn field(
        &mut self,
        region: usize,
        part: &Region,
        (lines, slicer): (&RowLines, &mut Slicer),
        doorways: Option<&(&Plan, Places<'_>, Frame)>,
    ) {
        let rings: Vec<Vec<Uv>> =
            part.rings().map(|ring| ring.edges.iter().map(|edge| edge.a).collect()).collect();
        let Some((low, high)) = rings.first().map(|ring| rise(ring)) else { return };
        let first = (lines.place(low) - 1e-9).floor() as i32;
        let last = (lines.place(high) + 1e-9).ceil() as i32;
        let cuts: Vec<f64> = (first..=last).map(|row| lines.at(row)).collect();
        let rows = cuts.len().saturating_sub(1);
        let lane = self.lanes + ROWS;
        self.lanes = lane + rows + ROWS;
        // The runs of all rows, from the lowest up, and where each row's begin.
        let mut outlines: Vec<Option<Outline>> = Vec::with_capacity(rows + rows / 2);
        let mut firsts: Vec<usize> = Vec::with_capacity(rows + 1);
        slicer.each(&rings, &cuts, |row, outline| {
            firsts.resize(firsts.len().max(row + 1), outlines.len());
            outlines.push(Some(outline));
        });
        firsts.resize(rows + 1, outlines.len());
        let upwards = 0.max(first)..last;
        let downwards = (first..0.min(last)).rev();
        let back = doorways.map_or_else(BTreeSet::new, |(plan, places, frame)| {
            let row_of = |place: usize| first.saturating_add(i32::try_from(place).unwrap_or(i32::MAX));
            let of_row = |place: usize| outlines[firsts[place]..firsts[place + 1]].iter().flatten();
            let numbered = |place| of_row(place).enumerate().map(move |(number, run)| ((place, number), run));
            laid_back(plan, places, *frame, ((0..rows).flat_map(numbered), &cuts), row_of)
        });
        for row in upwards.chain(downwards) {
            let place = (row - first) as usize;
            let outlines = outlines[firsts[place]..firsts[place + 1]].iter_mut().filter_map(Option::take);
            for (number, outline) in outlines.enumerate() {
                let sides = (cuts[place], cuts[place + 1]);
                let backwards = back.contains(&(place, number));
                let whole = lie(region, (row, lane + place), outline, sides, backwards);
                match &mut self.taken {
                    Some(taken) => self.lies.extend(taken.part(whole, sides, self.lies.len(), &rings)),
                    None => self.lies.push(whole),
                }
            }
        }
    }
}

/// The runs of a part's rows, by row and number, that are to be laid back from a doorway.
fn laid_back<'o>(
    plan: &Plan,
    places: &Places<'_>,
    frame: Frame,
    (outlines, cuts): (impl Iterator<Item = ((usize, usize), &'o Outline)>, &[f64]),
    row_of: impl Fn(usize) -> i32,
) -> BTreeSet<(usize, usize)> {
    let mut names: Vec<(usize, usize)> = Vec::new();
    let mut runs: Vec<RunPlace> = Vec::new();
    let mut sides: Vec<[Vec<Meeting>; 2]> = vec![[Vec::new(), Vec::new()]; cuts.len()];
    for (run, ((place, number), outline)) in outlines.enumerate() {
        names.push((place, number));
        let ((left, right), (low, high)) = (extent(&outline.outer), rise(&outline.outer));
        let (least, greatest) = (Uv::new(left, low), Uv::new(right, high));
        runs.push(RunPlace { run, row: row_of(place), least, greatest });
        for (line, side) in [(place, 1), (place + 1, 0)] {
            if let (Some(sides), Some(v)) = (sides.get_mut(line), cuts.get(line)) {
                sides[side].extend(along(outline, *v).into_iter().map(|(from, to)| (from, to, run)));
            }
        }
    }
    let (mut before, mut after) = (vec![Vec::new(); names.len()], vec![Vec::new(); names.len()]);
    for (line, [below, above]) in sides.into_iter().enumerate() {
        for (low, high) in meeting(below, above) {
            let (first, second) = if row_of(line) > 0 { (low, high) } else { (high, low) };
            before[second].push(first);
            after[first].push(second);
        }
    }
    let entered = entered(plan, places, frame, &runs, (&before, &after));
    let asked = entered.iter().filter(|room| plan.doorways[room.doorway].slip_tongue);
    asked.flat_map(|room| &room.runs).map(|run| names[*run]).collect()
}

/// A run of the row between these sides.
pub(crate) fn lie(
    region: usize,
    (row, lane): (i32, usize),
    outline: Outline,
    (row_low, row_high): (f64, f64),
    backwards: bool,
) -> Lie {
    let (left, right) = extent(&outline.outer);
    let (low, high) = rise(&outline.outer);
    let (keeps_low, keeps_high) = (low - row_low < TRUE, row_high - high < TRUE);
    let turned = (row < 0) != backwards;
    let is_plain = outline.holes.is_empty() && outline.outer.len() == 4;
    let mut notches: Vec<f64> = Vec::new();
    let mut forks = Spans::new();
    if !is_plain {
        let inner = |u: &f64| *u > left + AT_END && *u < right - AT_END;
        notches.extend(outline.rings().flatten().map(|p| p.u).filter(inner));
        notches.sort_by(f64::total_cmp);
        forks = forked(&outline);
    }
    let shaped = is_shaped(&outline, outline.area(), (left, low), (right, high));
    let profile =
        if shaped { Profile::new(&outline, (row_low, row_high), turned) } else { Profile::default() };
    Lie {
        run: Run {
            region,
            row,
            left,
            right,
            boards: 0..0,
            width: high - low,
            keeps_groove: if turned { keeps_high } else { keeps_low },
            keeps_tongue: if turned { keeps_low } else { keeps_high },
            shaped,
            backwards,
            slants: SQUARE_ENDS,
        },
        lower: along(&outline, row_low),
        upper: along(&outline, row_high),
        notches,
        forks,
        lane,
        profile,
        base: row_low,
        height: row_high - row_low,
        joined: [false; 2],
        outline,
    }
}

/// Where an outline lies along a row line.
fn along(outline: &Outline, line: f64) -> Spans {
    let is_on = |p: Uv| (p.v - line).abs() < TRUE;
    let mut spans = Spans::new();
    for ring in outline.rings() {
        for (a, b) in sides(ring) {
            if is_on(a) && is_on(b) {
                spans.push((a.u.min(b.u), a.u.max(b.u)));
            }
        }
    }
    if spans.len() > 1 {
        spans.sort_by(|a, b| a.0.total_cmp(&b.0));
        // A corner a hair off the line begins a stretch that lies on another.
        spans.dedup_by(|next, before| {
            let is_one = next.0 < before.1;
            before.1 = if is_one { before.1.max(next.1) } else { before.1 };
            is_one
        });
    }
    spans
}

/// Stretches between neighbouring corners in which a line across the rows meets the outline more than once.
fn forked(outline: &Outline) -> Spans {
    let mut corners: Vec<f64> = outline.rings().flatten().map(|p| p.u).collect();
    corners.sort_by(f64::total_cmp);
    let stretches = corners.windows(2).filter(|pair| pair[1] - pair[0] > TRUE);
    stretches
        .filter(|pair| outline.chords((pair[0] + pair[1]) / 2.0).len() > 1)
        .map(|pair| (pair[0], pair[1]))
        .collect()
}

/// Whether an outline of this area is more than its rectangle ripped straight and cut square: a notch, a hole, a taper, a
/// slant.
pub(crate) fn is_shaped(
    outline: &Outline,
    area: f64,
    (left, low): (f64, f64),
    (right, high): (f64, f64),
) -> bool {
    let inside = |p: &Uv| (p.v - low).min(high - p.v) > STRAIGHT && (p.u - left).min(right - p.u) > SQUARE;
    let missing = (high - low) * (right - left) - area;
    // Corners inside the rectangle are notches; a taper or slant has none, but misses a wedge of it.
    !outline.holes.is_empty()
        || outline.outer.iter().any(inside)
        || missing > STRAIGHT / 2.0 * (right - left) + SQUARE / 2.0 * (high - low)
        // Of a tip a millimetre or two large that is more than there is; half of its rectangle is missing all the same.
        || missing > (high - low) * (right - left) / 3.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is_shaped_of(outer: &[(f64, f64)], holes: Vec<Vec<Uv>>) -> bool {
        let outer = outer.iter().map(|(u, v)| Uv::new(*u, *v)).collect();
        let outline = Outline { outer, holes };
        is_shaped(&outline, outline.area(), (100.0, 50.0), (1100.0, 250.0))
    }

    #[test]
    fn a_tip_is_shaped_however_small() {
        // A wall square to the axis of a chevron leaves of a block a triangle 2 long and 1 high: half of its rectangle is missing,
        // and nobody rips it to 1.
        let tip = [(0.0, 0.0), (2.0, 0.0), (1.0, 1.0)].map(|(u, v)| Uv::new(u, v));
        let outline = Outline { outer: tip.to_vec(), holes: Vec::new() };
        assert!(is_shaped(&outline, outline.area(), (0.0, 0.0), (2.0, 1.0)));
        // A strip as small is sawn straight and square.
        let strip = [(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0)].map(|(u, v)| Uv::new(u, v));
        let outline = Outline { outer: strip.to_vec(), holes: Vec::new() };
        assert!(!is_shaped(&outline, outline.area(), (0.0, 0.0), (2.0, 1.0)));
    }

    /// A board 1000 × 200. What may be missing of it and still be sawn straight and square: a taper of half a
    /// millimetre takes 250 mm², an end a millimetre off square 100.
    #[test]
    fn a_board_is_shaped_where_more_than_two_straight_cuts_are_missing() {
        let whole = [(100.0, 50.0), (1100.0, 50.0), (1100.0, 250.0), (100.0, 250.0)];
        assert!(!is_shaped_of(&whole, vec![]));
        let taper = |by: f64| [(100.0, 50.0), (1100.0, 50.0 + by), (1100.0, 250.0), (100.0, 250.0)];
        assert!(!is_shaped_of(&taper(0.69), vec![]));
        assert!(is_shaped_of(&taper(0.71), vec![]));
        let slant = |by: f64| [(100.0, 50.0), (1100.0 - by, 50.0), (1100.0, 250.0), (100.0, 250.0)];
        assert!(!is_shaped_of(&slant(3.4), vec![]));
        assert!(is_shaped_of(&slant(3.6), vec![]));
        // Notches at each corner, of 0.6 by 1.2 mm: too little wood to count, but a corner stands inside.
        for (u, v) in [(100.0, 50.0), (1100.0, 50.0), (1100.0, 250.0), (100.0, 250.0)] {
            let notched = |deep: f64, long: f64| {
                let (du, dv) = (if u < 500.0 { long } else { -long }, if v < 100.0 { deep } else { -deep });
                let corner = [(u, v + dv), (u + du, v + dv), (u + du, v)];
                let mut all = Vec::new();
                for (i, at) in whole.into_iter().enumerate() {
                    match at == (u, v) {
                        // Anticlockwise: at the lower left and the upper right the upright side comes first.
                        true if i % 2 == 0 => all.extend(corner),
                        true => all.extend(corner.into_iter().rev()),
                        false => all.push(at),
                    }
                }
                is_shaped_of(&all, vec![])
            };
            assert!(notched(0.6, 1.2), "{u}, {v}");
            assert!(!notched(0.4, 1.2) && !notched(0.6, 0.8), "{u}, {v}");
        }
        let hole = [(500.0, 100.0), (500.0, 101.0), (501.0, 101.0), (501.0, 100.0)];
        assert!(is_shaped_of(&whole, vec![hole.map(|(u, v)| Uv::new(u, v)).to_vec()]));
    }

    /// The upper side from 0 to 3000, at whose beginning the wall's corner stands 0.04 under the line, 0.6 along: a joint
    /// anywhere on it reaches the row above. So on the lower side, where the corner stands at its end.
    #[test]
    fn a_corner_a_hair_off_a_line_hides_nothing_of_it() {
        let upper = [(3000.0, 200.0), (0.0, 200.0), (0.6, 199.96), (0.6, 100.0)];
        let lower =
            [(-40.0, 100.0), (-40.0, 0.0), (3000.0, 0.0), (2999.4, 0.04), (2999.4, 80.0), (3000.0, 80.0)];
        let outer = lower.into_iter().chain(upper).map(|(u, v)| Uv::new(u, v)).collect();
        let lie = lie(0, (0, 0), Outline { outer, holes: Vec::new() }, (0.0, 200.0), false);
        for u in [0.3, 1.0, 1500.0, 2990.0] {
            assert!(lie.touches(true, u) && lie.touches(false, u), "{u}");
        }
        assert!(!lie.touches(true, -20.0) && lie.touches(false, -20.0));
    }

    /// A notch from 2000 to 2600: the corners count within reach, its middle does not.
    #[test]
    fn a_place_is_by_a_notch_within_reach_of_its_corners() {
        let lower = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 200.0), (2600.0, 200.0)];
        let upper = [(2600.0, 120.0), (2000.0, 120.0), (2000.0, 200.0), (0.0, 200.0)];
        let outer = lower.into_iter().chain(upper).map(|(u, v)| Uv::new(u, v)).collect();
        let lie = lie(0, (0, 0), Outline { outer, holes: Vec::new() }, (0.0, 200.0), false);
        for (u, is_by) in [
            (1969.0, false),
            (1971.0, true),
            (2029.0, true),
            (2300.0, false),
            (2629.0, true),
            (2631.0, false),
        ] {
            assert_eq!(lie.is_by_notch(u, 30.0), is_by, "{u}");
        }
    }
}
