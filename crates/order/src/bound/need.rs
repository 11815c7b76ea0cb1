//! What a run needs whatever its joints: its length, the least end, and how wide it is along the way.

use super::MM_PER_M;
use super::shares::Shares;
use lay::{Board, Floor, Run};
use plan::{Rules, Stock};
use std::collections::BTreeMap;

/// A run's end lies at a board's end within this, mm; lengths this close to a limit keep it. Wider only
/// weakens the bound.
pub(super) const TRUE: f64 = 0.1;
/// Runs are put together in steps of this, mm, rounded down: what that takes off the bound cannot be seen.
const STEP: f64 = 0.05;
/// From so many runs on they are put together in wider steps, mm: a thousandth of a board a run at most.
const MANY_RUNS: usize = 2000;
const WIDE_STEP: f64 = 1.0;
/// Stretches of a run shorter than this are corners rounded off, mm.
const CORNER: f64 = 0.02;
/// A taper is looked at in steps in which it changes by this, mm, and of this length at least; wider and longer ones
/// only weaken the bound.
const TAPER_STEP: f64 = 0.2;
const TAPER_LENGTH: f64 = 40.0;

/// The long edge that a rip needs whole, for the row beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Edge {
    /// Neither, or not known.
    Neither,
    /// The groove.
    Groove,
    /// The tongue.
    Tongue,
}

/// A stretch of a run and the least width across the row in it, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Width {
    /// Length along the row.
    pub length: f64,
    /// Narrowest part of the floor across it, 0 to the pitch.
    pub width: f64,
    /// The long edge that a piece there cannot do without.
    pub edge: Edge,
    /// Where a wall or thing parts it lengthways: what lies on its two sides. Then `width` and `edge` are the least that any
    /// piece there needs.
    pub parted: Option<Parted>,
}

impl Width {
    /// A stretch that nothing parts.
    pub fn new(length: f64, width: f64, edge: Edge) -> Self {
        Self { length, width, edge, parted: None }
    }

    /// The least that any piece there needs.
    pub(super) fn least(&self) -> Side {
        Side { width: self.width, edge: self.edge }
    }

    /// What lies beside one another there.
    pub(super) fn sides(&self) -> impl Iterator<Item = Side> + use<> {
        let (sides, least) = match self.parted {
            Some(parted) => (Some(parted.sides), None),
            None => (None, Some(self.least())),
        };
        sides.into_iter().flatten().chain(least)
    }

    fn is_like(&self, other: &Self) -> bool {
        Self { length: other.length, ..*self } == *other
    }
}

/// What a piece covers across the row, mm, and the long edge it cannot do without.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// Its narrowest place along the stretch.
    pub width: f64,
    /// The long edge.
    pub edge: Edge,
}

/// A stretch of a run along which a wall or thing stands within the row. One piece covers both sides and what stands between
/// them, or each side has a piece of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parted {
    /// The lower and the upper side.
    pub sides: [Side; 2],
    /// Both with what stands between them.
    pub both: Side,
}

/// A run as every legal stagger finds it, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct RunNeed {
    /// Length along the row.
    pub length: f64,
    /// The shortest starter or closer that is allowed.
    pub least_end: f64,
    /// Widths from one end to the other; where its ends slant, from its boards' left to their right.
    pub widths: Vec<Width>,
    /// How much further along its left and right end lie at the tongue edge, mm; 0 for square ends. A piece there takes no
    /// more of its board than lies behind that line.
    pub slants: [f64; 2],
}

impl RunNeed {
    /// A run of whole width.
    pub fn whole(length: f64, least_end: f64, pitch: f64) -> Self {
        let widths = vec![Width::new(length, pitch, Edge::Neither)];
        Self { length, least_end, widths, slants: [0.0; 2] }
    }

    /// Whether no end slants.
    pub(super) fn is_square(&self) -> bool {
        self.slants == [0.0; 2]
    }

    /// How far a line along the board, at a share of its width from the groove edge, misses its left and its right end.
    fn missed(&self, line: f64) -> [f64; 2] {
        let [left, right] = self.slants;
        let share = |leans_in: bool| if leans_in { line } else { 1.0 - line };
        [left.abs() * share(left > 0.0), right.abs() * share(right < 0.0)]
    }

    /// The run as a line along its boards crosses it, at a share of their width from the groove edge: a run of square ends. It
    /// keeps its slants where no division may be charged.
    pub(super) fn along_line(&self, line: f64) -> Self {
        if self.is_square() {
            return self.clone();
        }
        let [left, right] = self.missed(line);
        let most = left.max(right);
        if most <= self.least_end {
            return Self { least_end: self.least_end - most, ..self.shortened(left, right) };
        }
        // A joint may stand before the line meets the wall: what is not crossed is there, and charged nothing.
        let bare = |length: f64| Width::new(length, 0.0, Edge::Neither);
        let crossed = self.shortened(left, right);
        let all = std::iter::once(bare(left)).chain(crossed.widths).chain([bare(right)]);
        Self { widths: all.filter(|width| width.length > 0.0).collect(), ..self.clone() }
    }

    /// The run between its slants: a run of square ends.
    pub(super) fn between_slants(&self) -> Self {
        let [left, right] = self.slants.map(f64::abs);
        Self { least_end: (self.least_end - left.max(right)).max(0.0), ..self.shortened(left, right) }
    }

    /// The run without so much of its ends.
    fn shortened(&self, left: f64, right: f64) -> Self {
        let length = (self.length - left - right).max(0.0);
        let mut from = -left;
        let part = |width: &Width| {
            let (begin, end) = (from.max(0.0), (from + width.length).min(length));
            from += width.length;
            (end > begin).then_some(Width { length: end - begin, ..*width })
        };
        Self {
            length,
            widths: self.widths.iter().filter_map(part).collect(),
            slants: [0.0; 2],
            ..self.clone()
        }
    }
}

/// How the pieces on both sides of a wall or thing within a row are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Legs {
    /// Each from any board.
    Apart,
    /// Both from one board, which is as wide as they are together with what stands between them.
    Together,
}

/// The runs of a floor. A run that is not laid from end to end, for want of boards, is left out. Where the
/// floor itself has a shorter end than the rules allow, that end is allowed to all staggers of its run, so
/// that the bound never passes the floor.
pub fn needs(floor: &Floor, rules: &Rules) -> Vec<RunNeed> {
    needs_by(floor, rules, Legs::Apart)
}

/// The same runs where both legs beside a wall within a row come from one board, as without a search: what no such floor goes
/// below. Other legal staggers may.
pub fn needs_with_legs_together(floor: &Floor, rules: &Rules) -> Vec<RunNeed> {
    needs_by(floor, rules, Legs::Together)
}

fn needs_by(floor: &Floor, rules: &Rules, legs: Legs) -> Vec<RunNeed> {
    let mut rows = Rows::new();
    // Blocks and borders are no runs of a stagger: charging nothing for them keeps the bound sound.
    let is_of_rows = |run: &&Run| !boards_of_run(floor, run).iter().any(|b| b.is_block() || b.in_border);
    let runs: Vec<&Run> = floor.runs.iter().filter(is_of_rows).collect();
    for run in &runs {
        rows.entry((run.region, run.row)).or_default().push(run);
    }
    runs.into_iter().filter_map(|run| need((floor, &rows), run, rules, legs)).collect()
}

fn boards_of_run<'a>(floor: &'a Floor, run: &Run) -> &'a [Board] {
    floor.boards.get(run.boards.clone()).unwrap_or_default()
}

/// Runs by region and row.
type Rows<'a> = BTreeMap<(usize, i32), Vec<&'a Run>>;

fn need((floor, rows): (&Floor, &Rows), run: &Run, rules: &Rules, legs: Legs) -> Option<RunNeed> {
    let boards = floor.boards.get(run.boards.clone())?;
    let length = run.right - run.left;
    let laid: f64 = boards.iter().map(Board::length).sum();
    if length <= 0.0 || laid < length - TRUE {
        return None;
    }
    let at_left = |b: &&Board| b.left < run.left + TRUE;
    let at_right = |b: &&Board| b.right > run.right - TRUE;
    let ends = boards.iter().filter(|b| at_left(b) != at_right(b));
    let least_end = ends.map(Board::length).fold(rules.least_end, f64::min);
    let is_whole = |b: &Board| !b.shaped && b.width > floor.pitch - TRUE;
    let widths = if boards.iter().all(is_whole) {
        vec![Width::new(length, floor.pitch, Edge::Neither)]
    } else {
        widths((floor, rows), run, boards, legs)
    };
    if run.slants == [0.0; 2] {
        return Some(RunNeed { length, least_end, widths, slants: run.slants });
    }
    let widths = beside_slants(floor, run, boards, widths)?;
    Some(RunNeed { length, least_end, widths, slants: run.slants })
}

/// Widths of a run with slanting ends, from its boards' left to their right: whole where the ends slant. `None` where these
/// lie over one another and it is not one plain piece, which is then charged nothing.
fn beside_slants(floor: &Floor, run: &Run, boards: &[Board], widths: Vec<Width>) -> Option<Vec<Width>> {
    let length = run.right - run.left;
    let [left, right] = run.slants.map(f64::abs);
    let whole = |length: f64| Width::new(length, floor.pitch, Edge::Neither);
    if left + right >= length {
        let is_plain = boards.len() == 1
            && boards.iter().all(|b| b.outline.outer.len() == 4 && b.outline.holes.is_empty());
        return is_plain.then(|| vec![whole(length)]);
    }
    let own = if run.is_turned() { widths.into_iter().rev().collect() } else { widths };
    let all = RunNeed { length, least_end: 0.0, widths: own, slants: [0.0; 2] };
    let between = all.shortened(left, right).widths;
    Some(
        std::iter::once(whole(left))
            .chain(between)
            .chain([whole(right)])
            .filter(|w| w.length > 0.0)
            .collect(),
    )
}

/// Widths of a run between the corners of its boards and of those beside it.
fn widths((floor, rows): (&Floor, &Rows), run: &Run, boards: &[Board], legs: Legs) -> Vec<Width> {
    let beside = [run.row - 1, run.row + 1].map(|row| boards_of(floor, rows, (run.region, row), run));
    let mut corners: Vec<f64> = boards
        .iter()
        .chain(beside.iter().flatten().copied())
        .flat_map(|b| b.outline.rings())
        .flatten()
        .map(|corner| corner.u.clamp(run.left, run.right))
        .collect();
    corners.sort_by(f64::total_cmp);
    let mut widths: Vec<Width> = Vec::new();
    let corners: Vec<&[f64]> = together(&corners).collect();
    for pair in corners.windows(2) {
        let (from, to) = (pair[0][0], pair[1][0]);
        // Straight sides: the narrowest place is at an end. Between corners close together a side may stand nearly across the row.
        let last = pair[0][pair[0].len() - 1];
        let off = (CORNER / 2.0).min((to - last) / 4.0);
        let places = [last + off, to - off];
        let own: Vec<&Board> = boards.iter().collect();
        let chords = chords(&own, places);
        let at = |u: f64| narrowest(own.iter().copied(), u, floor.pitch, legs);
        let (start, end) = (at(places[0]), at(places[1]));
        let is_whole = start.min(end) > floor.pitch - TRUE;
        let edge_of = |chords: &[(f64, f64)]| edge(floor, run, &beside, places, chords);
        let edge = if is_whole { Edge::Neither } else { edge_of(&chords) };
        let parts = (legs == Legs::Apart && !is_whole).then(|| places.map(|u| legs_at(&own, u)));
        let parts = parts.and_then(|[start, end]| Some([start?, end?]));
        // Between corners sides are straight, so the narrowest chord is nowhere less than on the line between.
        let slices = ((end - start).abs() / TAPER_STEP).min((to - from) / TAPER_LENGTH).ceil().max(1.0);
        for slice in 0..slices as usize {
            let least = |start: f64, end: f64| {
                let at = |i: usize| start + (end - start) * (i as f64 / slices);
                at(slice).min(at(slice + 1))
            };
            let narrowest = least(start, end);
            // A hair off the pitch is rounding.
            let (width, edge) =
                if narrowest > floor.pitch - TRUE { (floor.pitch, Edge::Neither) } else { (narrowest, edge) };
            let side = |[start, end]: [(f64, f64); 2]| Side {
                width: least(start.1 - start.0, end.1 - end.0).min(floor.pitch),
                edge: edge_of(&[start, end]),
            };
            let parted = parts.map(|[start, end]| Parted {
                sides: [0, 1].map(|i| side([start[i], end[i]])),
                both: side([start, end].map(|[low, high]| (low.0, high.1))),
            });
            let next = Width { length: (to - from) / slices, width, edge, parted };
            match widths.last_mut() {
                Some(last) if last.is_like(&next) => last.length += next.length,
                _ => widths.push(next),
            }
        }
    }
    widths
}

/// Corners sorted along the row in groups that reach over less than [`CORNER`].
fn together(corners: &[f64]) -> impl Iterator<Item = &[f64]> {
    let mut rest = corners;
    std::iter::from_fn(move || {
        let first = rest.first()?;
        let count = rest.partition_point(|corner| corner - first < CORNER);
        let group;
        (group, rest) = rest.split_at(count);
        Some(group)
    })
}

/// The narrowest stretch across the row that boards take at a place along it. Beside a hole each leg is a place of its own, or
/// all are one.
fn narrowest<'a>(boards: impl Iterator<Item = &'a Board>, u: f64, pitch: f64, legs: Legs) -> f64 {
    let here = boards.filter(|b| b.left <= u && u <= b.right);
    let chords = here.flat_map(|b| b.outline.chords(u));
    match legs {
        Legs::Apart => chords.map(|(low, high)| high - low).fold(pitch, f64::min),
        Legs::Together => {
            let ends = chords.reduce(|(low, high), chord| (low.min(chord.0), high.max(chord.1)));
            ends.map_or(pitch, |(low, high)| (high - low).min(pitch))
        }
    }
}

/// The two stretches across the row that boards take at a place along it, the lower first; `None` where they take another
/// number.
fn legs_at(boards: &[&Board], u: f64) -> Option<[(f64, f64); 2]> {
    let mut chords = chords(boards, [u]);
    chords.sort_by(|a, b| a.0.total_cmp(&b.0));
    <[(f64, f64); 2]>::try_from(chords).ok().filter(|[low, high]| low.1 < high.0)
}

/// Boards of a row that lie beside a run.
fn boards_of<'a>(floor: &'a Floor, rows: &Rows, row: (usize, i32), run: &Run) -> Vec<&'a Board> {
    let runs = rows.get(&row).map_or(&[][..], Vec::as_slice);
    let near = |b: &&Board| b.left < run.right && b.right > run.left;
    runs.iter().flat_map(|other| &floor.boards[other.boards.clone()]).filter(near).collect()
}

/// Stretches across the row that boards take at places along it.
fn chords<const N: usize>(boards: &[&Board], places: [f64; N]) -> Vec<(f64, f64)> {
    let at = |u: f64| boards.iter().filter(move |b| b.left <= u && u <= b.right);
    places.into_iter().flat_map(|u| at(u).flat_map(move |b| b.outline.chords(u))).collect()
}

/// The long edge that the pieces of a stretch keep, if boards of the next row lie all along it.
fn edge(
    floor: &Floor,
    run: &Run,
    [below, above]: &[Vec<&Board>; 2],
    places: [f64; 2],
    own: &[(f64, f64)],
) -> Edge {
    let low = boards_of_run(floor, run).first().map_or(0.0, |board| board.base);
    let high = low + floor.pitch;
    let is_at = |v: f64, side: f64| (v - side).abs() < TRUE;
    let joined = |side: f64, others: &[&Board]| {
        places.iter().all(|u| {
            let mut chords = chords(others, [*u; 2]).into_iter();
            chords.any(|(low, high)| is_at(low, side) || is_at(high, side))
        })
    };
    let keeps_low = own.iter().all(|chord| is_at(chord.0, low)) && joined(low, below);
    let keeps_high = own.iter().all(|chord| is_at(chord.1, high)) && joined(high, above);
    // Turned boards have their tongue towards the plan's low side.
    match (keeps_low, keeps_high, run.is_turned()) {
        (true, false, false) | (false, true, true) => Edge::Groove,
        (false, true, false) | (true, false, true) => Edge::Tongue,
        _ => Edge::Neither,
    }
}

/// The same run with every stretch as wide as a piece that lies in it must be.
pub(super) fn settled(run: &RunNeed, stock: &Stock) -> RunNeed {
    let own: Vec<f64> = run.widths.iter().map(|w| w.width).collect();
    let held = held(run, stock, &own);
    let mut settled: Vec<Width> = Vec::with_capacity(own.len());
    for (own, width) in run.widths.iter().zip(held) {
        let next = Width { width, ..*own };
        match settled.last_mut() {
            Some(last) if last.is_like(&next) => last.length += next.length,
            _ => settled.push(next),
        }
    }
    RunNeed { widths: settled, ..run.clone() }
}

/// Of each stretch of a run the least that a piece holding it can have, where a piece has the greatest of the values
/// of the stretches it touches.
///
/// A piece takes a rectangle of its board, so that it is as wide as the floor is anywhere along it. A starter reaches
/// from the run's left end over the least end at least, a closer from its right end; a board between two others lies
/// between both and is as long as some whole board, or of any length where ends are square. The shortest starters
/// and closers have the least; of boards between, one that begins or ends where a stretch does.
fn held(run: &RunNeed, stock: &Stock, values: &[f64]) -> Vec<f64> {
    if values.len() < 2 {
        return values.to_vec();
    }
    let mut length = 0.0;
    let mut spans: Vec<(f64, f64)> = Vec::with_capacity(values.len());
    for width in &run.widths {
        spans.push((length, length + width.length));
        length += width.length;
    }
    // Pieces are held to be shorter by a hair, which only weakens the bound.
    let least_end = (run.least_end.min(stock.shortest()) - TRUE).clamp(0.0, length);
    let least_middle = if stock.end_match { (stock.shortest() - TRUE).max(0.0) } else { 0.0 };
    let greatest = |from: f64, to: f64| {
        let touched = spans.iter().zip(values).filter(|(span, _)| span.1 > from + TRUE && span.0 < to - TRUE);
        touched.map(|(_, value)| *value).fold(0.0, f64::max)
    };
    let (first, last) = (least_end, length - least_end - least_middle);
    let mut middles: Vec<(f64, f64)> = Vec::new();
    if first <= last {
        let begins = spans.iter().flat_map(|(from, to)| [*from, *to - least_middle]);
        let begins = begins.chain([first, last]).map(|begin| begin.clamp(first, last));
        middles.extend(begins.map(|begin| (begin, greatest(begin, begin + least_middle))));
    }
    let held = |(own, (from, to)): (&f64, &(f64, f64))| {
        let starter = greatest(0.0, from.max(least_end));
        let closer = greatest(to.min(length - least_end), length);
        let holding = middles.iter().filter(|(begin, _)| begin <= to && begin + least_middle >= *from);
        let between = holding.map(|(_, value)| *value).fold(f64::INFINITY, f64::min);
        starter.min(closer).min(between).max(*own)
    };
    values.iter().zip(&spans).map(held).collect()
}

/// Runs that are charged alike, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Class {
    pub(super) count: f64,
    pub(super) length: f64,
    pub(super) least_end: f64,
    /// The least share of its charge that any piece of such a run pays.
    pub(super) share: f64,
    /// Length times what is charged along it over that least share.
    pub(super) more: f64,
}

/// The step in which this many runs are put together, mm.
pub(super) fn step(runs: usize) -> f64 {
    if runs < MANY_RUNS { STEP } else { WIDE_STEP }
}

/// Puts runs of one length and one share together, rounded down to whole steps. `count` is that of all runs, by which the
/// step goes.
pub(super) fn classes(runs: &[&RunNeed], of: &Shares, stock: &Stock, count: usize) -> Vec<Class> {
    let mut classes: BTreeMap<[u64; 4], Class> = BTreeMap::new();
    for run in runs {
        let class = own_class(run, of, stock, count);
        let key = [class.length, class.least_end, class.more, class.share].map(f64::to_bits);
        classes.entry(key).or_insert(Class { count: 0.0, ..class }).count += 1.0;
    }
    classes.into_values().collect()
}

/// The class of one run, its lengths rounded down to whole steps.
pub(super) fn own_class(run: &RunNeed, of: &Shares, stock: &Stock, count: usize) -> Class {
    let step = step(count);
    let metres = |mm: f64| (mm.max(0.0) / step).floor() * step / MM_PER_M;
    let own: Vec<f64> = run.widths.iter().map(|w| of.share(&w.least())).collect();
    let shares = held(run, stock, &own);
    let share = shares.iter().copied().fold(1.0, f64::min);
    let more: f64 = run.widths.iter().zip(&shares).map(|(w, own)| w.length * (own - share)).sum();
    Class {
        count: 1.0,
        length: metres(run.length),
        least_end: metres(run.least_end),
        share,
        more: metres(more),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use plan::{GapRange, Plan, Point, Room, StartLine};

    /// Up to 1999 runs by 0.05 mm; 2000 of them in steps of 1 mm are 2 m at most.
    #[test]
    fn two_thousand_runs_are_put_together_in_wider_steps() {
        assert_eq!((step(1), step(1999), step(2000), step(50_000)), (0.05, 0.05, 1.0, 1.0));
    }

    /// A room 4 m long whose far wall comes in by 60 over its length. Row lines at 10, 200, …, 1910: the last row is
    /// 2060 − 0.015 · 10 − 10 − 1910 = 139.8 wide at its left end, and loses 15 mm a metre. It lies on the row before it,
    /// so that its pieces keep their grooves.
    #[test]
    fn a_tapered_row_needs_what_it_is_wide_and_keeps_its_groove() {
        let mut plan = Plan::new("t");
        plan.rules.wall_gap = GapRange { least: 10.0, greatest: 10.0 };
        plan.start_line = StartLine::At(10.0);
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 2000.0), (0.0, 2060.0)].map(Point::from);
        plan.rooms.push(Room::boarded("Room", corners));
        let site = site::survey(&plan);
        let floor = lay::lay(&plan, &site, &setout::set_out(&plan, &site));
        let all = needs(&floor, &plan.rules);
        let tapered: Vec<&RunNeed> = all.iter().filter(|need| need.widths.len() > 1).collect();
        let [row] = tapered[..] else { panic!("{tapered:?}") };
        let mut at = 0.0;
        for stretch in &row.widths {
            at += stretch.length;
            let narrowest = 139.85 - 0.015 * at;
            assert!((stretch.width - narrowest).abs() < 0.1, "{stretch:?} ends {at} along: {narrowest}");
            assert_eq!(stretch.edge, Edge::Groove);
        }
        assert!((at - 3980.0).abs() < 0.1 && row.widths.len() > 5, "{at}");
        // Every other row is of whole boards.
        let whole = |need: &RunNeed| need.widths == RunNeed::whole(need.length, need.least_end, 190.0).widths;
        assert_eq!(all.iter().filter(|need| whole(need)).count(), all.len() - 1);
    }

    #[test]
    fn stretches_alike_are_one() {
        let stretch = |length, width| Width::new(length, width, Edge::Groove);
        let widths = vec![stretch(1000.0, 120.0), stretch(1500.0, 120.0)];
        let run = RunNeed { length: 2500.0, least_end: 300.0, widths, slants: [0.0; 2] };
        assert_eq!(settled(&run, &Stock::default()).widths, [stretch(2500.0, 120.0)]);
    }
}
