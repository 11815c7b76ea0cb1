//! Cuts a chosen floor: exact outlines, the place of every piece on its stock board, end joints, labels.

use crate::ground::{Ground, Lie, TRUE, is_shaped};
use crate::label::label;
use crate::lots::Lots;
use crate::nest::{Nested, SQUARE, Shifts};
use crate::slice::{Slicer, Strip, extent, rise};
use crate::state::{Cut, State, Task, places};
use crate::yard::{NONE, Need, Source, Want, Yard};
use crate::{Board, End, Floor, Joint, Outline, Piece, Short, StockBoard};
use plan::{Plan, Stock};
use rayon::prelude::*;
use site::Uv;
use smallvec::SmallVec;
use std::collections::BTreeMap;

/// A side this close to an end joint's place lies on it, mm.
const ON_CUT: f64 = 0.001;
/// Fewer runs than this are parted faster by one thread.
const FEW: usize = 400;

/// Cuts every run's outline at the chosen joints and every piece from its stock.
pub(crate) fn cut(plan: &Plan, state: State) -> Floor {
    let State { task, yard, cuts: all, .. } = state;
    let ground = task.ground;
    let mut work = Work {
        ground,
        saw: Saw::of(plan, task, yard),
        floor: Floor { pitch: ground.pitch, lines: ground.lines.clone(), ..Floor::default() },
        starts: Vec::new(),
        stretch_of: Vec::new(),
        legs: BTreeMap::new(),
    };
    let sliced: Vec<Vec<Strip>> = if all.len() < 2 * FEW {
        let mut slicer = Slicer::default();
        ground.lies.iter().zip(&all).map(|(lie, cuts)| strips(lie, cuts, &mut slicer)).collect()
    } else {
        let runs = ground.lies.par_iter().zip(&all).with_min_len(FEW);
        runs.map_init(Slicer::default, |slicer, (lie, cuts)| strips(lie, cuts, slicer)).collect()
    };
    let (mut places, legs) = work.saw.place_all(ground, &all, &sliced);
    work.legs = legs;
    let count = sliced.iter().map(Vec::len).sum();
    work.floor.boards.reserve_exact(count);
    work.floor.joints.reserve(count);
    work.floor.runs.reserve_exact(sliced.len());
    let mut left = places.as_mut_slice();
    for (run, strips) in sliced.into_iter().enumerate() {
        let (own, others) = left.split_at_mut(all[run].len());
        left = others;
        work.run(run, &all[run], strips, own);
    }
    let Work { saw, mut floor, .. } = work;
    floor.first_row = floor.runs.iter().map(|run| run.row).min().unwrap_or(0);
    floor.stock = saw.done();
    label(&mut floor);
    floor
}

/// A run's outline parted at its joints, left to right on the plan.
pub(crate) fn strips(lie: &Lie, cuts: &[Cut], slicer: &mut Slicer) -> Vec<Strip> {
    if cuts.is_empty() {
        return Vec::new();
    }
    if cuts.len() == 1 {
        return vec![(0, lie.outline.clone())];
    }
    let mut joints: SmallVec<[f64; 16]> = SmallVec::new();
    joints.push(lie.run.left - 1.0);
    joints.extend(places(lie, cuts));
    joints[1..].sort_by(f64::total_cmp);
    joints.push(lie.run.right + 1.0);
    slicer.run(&lie.outline, &joints)
}

/// The stock board of a piece and its start there.
type Place = (usize, f64);

/// Places of the other parts of pieces that fall in two, by run and piece.
type Legs = BTreeMap<(usize, usize), Place>;

/// What is still free of a bar, on its stock board.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    stock: usize,
    from: f64,
    to: f64,
}

/// Cuts pieces from the yard's boards and notes where each lies on its board.
#[derive(Debug)]
pub(crate) struct Saw {
    yard: Yard,
    lots: Lots,
    pub(crate) stock: Vec<StockBoard>,
    of_bar: Vec<Option<Stretch>>,
    kerf: f64,
}

impl Saw {
    /// A saw for what a yard holds; from a yard that nothing is cut from yet, packs are opened as they are needed.
    pub(crate) fn new(stock: &Stock, seed: u64, yard: Yard) -> Self {
        let packs = match yard.shelf.packs_used() {
            0 => stock.packs.unwrap_or(u32::MAX),
            used => used,
        };
        let lots = Lots::new(stock, seed, packs);
        let opened = Vec::with_capacity(yard.opened);
        Self { of_bar: vec![None; yard.bars.len()], lots, yard, stock: opened, kerf: stock.kerf }
    }

    /// A saw for a floor: the boards opened for what is laid come first, as the yard has them.
    fn of(plan: &Plan, task: &Task, yard: Yard) -> Self {
        let ground = task.ground;
        let mut saw = Self::new(&plan.stock, plan.seed, yard);
        let Some(taken) = &ground.taken else { return saw };
        for (index, opened) in taken.laid.stock.iter().enumerate() {
            let pack = opened.pack as usize;
            let is_it = |length: &plan::BoardLength| (length.length - opened.length).abs() < TRUE;
            if let Some(length) = plan.stock.lengths.iter().position(is_it) {
                saw.lots.take(pack, length);
            }
            saw.stock.push(StockBoard { length: opened.length, pack, pieces: Vec::new() });
            // As it was sawn: boards measured otherwise since change nothing of it.
            let (from, to) = opened.square_rest(plan.stock.kerf, taken.laid.pitch);
            saw.of_bar[index] = Some(Stretch { stock: index, from, to });
        }
        let first = taken.laid.stock.len();
        for (place, held) in task.laid_strips.iter().enumerate() {
            let strip = &held.strip;
            saw.of_bar[first + place] = Some(Stretch { stock: strip.stock, from: strip.from, to: strip.to });
        }
        saw
    }

    /// A piece from the best offcut or a fresh board: its stock board and its start from that board's left end.
    /// `board` is the number it will have among the floor's boards. `None` where the stock on hand does not reach.
    pub(crate) fn take(&mut self, length: f64, need: Need, board: usize) -> Option<Place> {
        let want = Want::square(length, need);
        let bar = match self.yard.best(&want, &[0], (&[], &[]), &mut Vec::new())?.source {
            Source::Bar(bar) => bar,
            Source::Fresh(kind) => self.yard.draw(kind),
            Source::Rest => return None,
        };
        self.yard.cut(bar, &want, NONE);
        let place = self.place(bar, length, need);
        self.note(place, (length, SQUARE), board, false);
        Some(place)
    }

    /// What is free of a bar; a bar not met before is a board opened now.
    fn free(&mut self, number: u32) -> Stretch {
        if self.of_bar.len() < self.yard.bars.len() {
            self.of_bar.resize(self.yard.bars.len(), None);
        }
        let bar = &self.yard.bars[number as usize];
        *self.of_bar[number as usize].get_or_insert_with(|| {
            let pack = self.yard.shelf.pack_of(bar.kind).unwrap_or_else(|| self.lots.draw(bar.kind as usize));
            let pieces = Vec::with_capacity(bar.pieces as usize);
            self.stock.push(StockBoard { length: bar.length, pack, pieces });
            Stretch { stock: self.stock.len() - 1, from: 0.0, to: bar.length }
        })
    }

    /// The place of a piece on its bar's stock board: a starter lies at the right, everything else at the left.
    fn place(&mut self, number: u32, length: f64, need: Need) -> Place {
        let mut free = self.free(number);
        let from = if need == Need::Right && self.yard.end_match() {
            free.to - length
        } else {
            let from = free.from;
            free.from += length + self.kerf;
            self.yard.use_left_end(number);
            from
        };
        self.of_bar[number as usize] = Some(free);
        (free.stock, from)
    }

    /// Whether a piece this high can be ripped from a stretch's board beside the one this high that is cut from it.
    fn parts(&self, (low, high): (f64, f64), own: (f64, f64)) -> bool {
        low >= own.1 + self.kerf || own.0 >= high + self.kerf
    }

    /// Places the pieces of a bar some of whose ends slant, so that those of one slant lie side by side.
    pub(crate) fn place_nest(&mut self, number: u32, cuts: &[(&Cut, usize)], places: &mut [Option<Place>]) {
        let free = self.free(number);
        let nested = |(cut, _): &(&Cut, usize)| Nested { owner: 0, need: cut.need, shifts: cut.shifts };
        let pieces: Vec<Nested> = cuts.iter().map(nested).collect();
        let parting = self.yard.parting();
        let sides = self.yard.bars[number as usize].sides();
        let (_, order) = parting.arranged(&pieces, sides);
        let (mut at, mut to, mut before) = (free.from, free.to, sides[0]);
        for (cut, place) in order.into_iter().map(|i| cuts[i]) {
            let [left, right] = cut.shifts;
            let is_last = self.yard.end_match() && cut.need == Need::Right;
            let from = if is_last { to - cut.length } else { at - parting.saved_between(before, left) };
            if is_last {
                to = from - self.kerf;
            } else {
                (at, before) = (from + cut.length + self.kerf, right);
            }
            if cut.strip != NONE {
                let stretch = Stretch { stock: free.stock, from, to: from + cut.length };
                self.of_bar[cut.strip as usize] = Some(stretch);
            }
            places[place] = Some((free.stock, from));
        }
        self.of_bar[number as usize] = Some(Stretch { from: at, to, ..free });
        self.yard.settle(number, to - at);
        // Whichever lies first has the left end, whether it asked for it or not.
        if at > free.from {
            self.yard.use_left_end(number);
        }
    }

    fn note(&mut self, (stock, from): Place, (length, shifts): (f64, Shifts), board: usize, strip: bool) {
        let piece = Piece::of_reach(board, from, length, shifts);
        self.stock[stock].pieces.push(Piece { strip, ..piece });
    }

    /// Places every piece of a chosen floor that has a stretch of floor to lie on, one after another, run by run. Pieces
    /// that keep an end come before those that lie between them, and strips after the pieces they are left from.
    fn place_all(
        &mut self,
        ground: &Ground,
        cuts: &[Vec<Cut>],
        sliced: &[Vec<Strip>],
    ) -> (Vec<Option<Place>>, Legs) {
        let legs: Vec<((usize, usize), Cut)> = cuts
            .iter()
            .enumerate()
            .flat_map(|(run, cuts)| {
                let with_leg = cuts.iter().enumerate().filter(|(_, cut)| cut.leg.is_some());
                with_leg.flat_map(move |(i, cut)| cut.parts().skip(1).map(move |part| ((run, i), part)))
            })
            .collect();
        let count: usize = cuts.iter().map(Vec::len).sum();
        // Pieces by whether they come from strips and whether they keep no end, each with its place in the list.
        let mut turns: [Vec<(&Cut, usize)>; 4] = Default::default();
        // Most pieces keep an end and come from no strip.
        turns[0].reserve(count);
        let mut first = 0;
        let mut next_legs = legs.iter().enumerate().peekable();
        for (run, ((lie, cuts), strips)) in ground.lies.iter().zip(cuts).zip(sliced).enumerate() {
            let mut last = None;
            let mut visit = |stretch: usize| {
                if last.replace(stretch) == Some(stretch) {
                    return;
                }
                let i = if lie.run.is_turned() { cuts.len() - 1 - stretch } else { stretch };
                let Some(cut) = cuts.get(i) else { return };
                if cut.kind != NONE {
                    self.free(cut.bar);
                }
                let turn = 2 * usize::from(cut.kind == NONE) + usize::from(cut.need == Need::Neither);
                turns[turn].push((cut, first + i));
            };
            let stretches = strips.iter().map(|(stretch, _)| *stretch);
            match lie.run.is_turned() {
                true => stretches.rev().for_each(&mut visit),
                false => stretches.for_each(&mut visit),
            }
            first += cuts.len();
            while let Some((leg, (_, cut))) = next_legs.next_if(|(_, ((of, _), _))| *of == run) {
                if cut.kind != NONE {
                    self.free(cut.bar);
                }
                let turn = 2 * usize::from(cut.kind == NONE) + usize::from(cut.need == Need::Neither);
                turns[turn].push((cut, count + leg));
            }
        }
        let mut places: Vec<Option<Place>> = vec![None; count + legs.len()];
        let mut nests: BTreeMap<u32, Vec<(&Cut, usize)>> = BTreeMap::new();
        let [ends, alone, strip_ends, strips_alone] = turns;
        for (cut, at) in ends.into_iter().chain(alone) {
            match self.yard.bars[cut.bar as usize].is_slanting() {
                true => nests.entry(cut.bar).or_default().push((cut, at)),
                false => self.put((cut, at), &mut places),
            }
        }
        for (bar, cuts) in nests {
            self.place_nest(bar, &cuts, &mut places);
        }
        for (cut, at) in strip_ends.into_iter().chain(strips_alone) {
            if self.of_bar.get(cut.bar as usize).copied().flatten().is_none() {
                continue;
            }
            self.put((cut, at), &mut places);
        }
        let of_legs = places.split_off(count);
        let legs = legs.into_iter().zip(of_legs).filter_map(|((at, _), place)| Some((at, place?))).collect();
        (places, legs)
    }

    /// Places a piece of a bar whose ends are square, and notes where its strip is left.
    fn put(&mut self, (cut, at): (&Cut, usize), places: &mut [Option<Place>]) {
        let (stock, from) = self.place(cut.bar, cut.length, cut.need);
        if cut.strip != NONE {
            self.of_bar[cut.strip as usize] = Some(Stretch { stock, from, to: from + cut.length });
        }
        places[at] = Some((stock, from));
    }

    /// The boards opened, each with its pieces from left to right.
    pub(crate) fn done(mut self) -> Vec<StockBoard> {
        for board in &mut self.stock {
            board.pieces.sort_by(|a, b| a.from.total_cmp(&b.from).then(a.strip.cmp(&b.strip)));
        }
        self.stock
    }
}

struct Work<'a> {
    ground: &'a Ground<'a>,
    saw: Saw,
    floor: Floor,
    /// Of the run being cut: how far from its first end each piece begins, and the stretch of each board.
    starts: Vec<f64>,
    stretch_of: Vec<usize>,
    /// Where the other parts of pieces lie that fall in two and come from two boards.
    legs: Legs,
}

impl Work<'_> {
    fn run(&mut self, run: usize, cuts: &[Cut], strips: Vec<Strip>, places: &mut [Option<Place>]) {
        let lie = &self.ground.lies[run];
        let (left, right, turned) = (lie.run.left, lie.run.right, lie.run.is_turned());
        let first_board = self.floor.boards.len();
        if cuts.is_empty() {
            self.floor.short.push(bare(lie, run, left, right));
        }
        let count = cuts.len();
        self.starts.clear();
        self.starts.extend(cuts.iter().scan(0.0, |at, cut| Some(std::mem::replace(at, *at + cut.length))));
        self.stretch_of.clear();
        // Where the stretch's own board is and how high the piece lies that it gives.
        let mut own: Option<(Place, (f64, f64))> = None;
        let mut last = None;
        // Boards are numbered as they stand in the list: left to right on the plan.
        let mut strips = strips.into_iter().peekable();
        while let Some((stretch, piece)) = strips.next() {
            let i = if turned { count - 1 - stretch } else { stretch };
            if last.replace(stretch) != Some(stretch) {
                own = None;
            }
            let start = self.starts[i];
            let (from, to) = extent(&piece.outer);
            let own_left = if turned { right - to } else { from - left };
            let joined_left = (i > 0 || lie.joined[0]) && own_left < start + TRUE;
            let joined_right =
                (i + 1 < count || lie.joined[1]) && own_left + to - from > start + cuts[i].length - TRUE;
            // A piece that ends at a wall inside its stretch of the run needs no end-match there.
            let need = match (joined_left, joined_right) {
                (true, true) => Need::Both,
                (true, false) => Need::Left,
                (false, true) => Need::Right,
                (false, false) => Need::Neither,
            };
            // Corners put on a cut may make it longer than its stretch by a hair.
            let length = (to - from).min(cuts[i].length);
            let board = self.floor.boards.len();
            let mut shifts = SQUARE;
            // The part at the row's upper side does not reach its lower line.
            let is_above = rise(&piece.outer).0 - lie.base > TRUE;
            let leg = cuts[i].leg.filter(|leg| leg.is_above == is_above);
            let of_leg = leg.and_then(|leg| Some((leg, self.legs.remove(&(run, i))?)));
            let own_place = if of_leg.is_none() { places[i].take() } else { None };
            let place = match own_place {
                _ if let Some((leg, place)) = of_leg => {
                    let length = length.min(leg.length);
                    let later = if need == Need::Right { leg.length - length } else { 0.0 };
                    let place = (place.0, place.1 + later);
                    self.saw.note(place, (length, SQUARE), board, leg.kind == NONE);
                    Some(place)
                }
                Some(place) => {
                    shifts = cuts[i].shifts;
                    self.saw.note(place, (cuts[i].length, shifts), board, cuts[i].kind == NONE);
                    // Only another piece of the same stretch asks.
                    let has_others =
                        cuts[i].leg.is_none() && strips.peek().is_some_and(|(next, _)| *next == stretch);
                    let is_whole = cuts[i].kind != NONE && cuts[i].strip == NONE && shifts == SQUARE;
                    own = (has_others && is_whole).then(|| (place, rise(&piece.outer)));
                    // A piece that begins later than its stretch of the run is cut later from the board.
                    Some((place.0, place.1 + own_left - start))
                }
                // A second piece beside a wall or fixture inside the row lies on the first piece's board as it lies on the
                // floor, so that it has the same factory ends, and what the wall takes is ripped out.
                None => match own.filter(|(_, own)| self.saw.parts(rise(&piece.outer), *own)) {
                    Some((place, _)) => {
                        own = None;
                        let place = (place.0, place.1 + (own_left - start).max(0.0));
                        self.saw.note(place, (length, SQUARE), board, true);
                        Some(place)
                    }
                    // Where there is no room beside it, or a third piece lies there, it needs wood of its own.
                    None => self.saw.take(length, need, board),
                },
            };
            match place {
                Some(place) => {
                    let board = self.board(run, piece, (need, shifts), place);
                    self.floor.boards.push(board);
                    self.stretch_of.push(stretch);
                }
                None => self.floor.short.push(bare(lie, run, from, to)),
            }
        }
        let boards = first_board..self.floor.boards.len();
        self.floor.runs.push(crate::Run { boards, ..lie.run.clone() });
        self.push_joints(first_board);
    }

    fn board(
        &self,
        run: usize,
        outline: Outline,
        (need, shifts): (Need, Shifts),
        (stock, from): Place,
    ) -> Board {
        let lie = &self.ground.lies[run];
        let (left, right) = extent(&outline.outer);
        let (low, high) = rise(&outline.outer);
        let (to, area) = (from + (right - left), outline.area());
        let end =
            |shift: f64, is_factory: bool| if is_factory && shift == 0.0 { End::Factory } else { End::Cut };
        Board {
            label: String::new(),
            region: lie.run.region,
            row: lie.run.row,
            run,
            along: Uv::new(1.0, 0.0),
            left,
            right,
            base: lie.base,
            lean: 0.0,
            hand: None,
            in_border: false,
            area,
            turned: lie.run.is_turned(),
            left_end: end(shifts[0], from < TRUE),
            right_end: end(shifts[1], to > self.saw.stock[stock].length - TRUE),
            starts_run: matches!(need, Need::Right | Need::Neither),
            ends_run: matches!(need, Need::Left | Need::Neither),
            shaped: is_shaped(&outline, area, (left, low), (right, high)),
            width: if high - low > lie.height - TRUE { self.ground.pitch } else { high - low },
            outline,
            stock,
            from,
        }
    }

    /// Finds the end joints among a run's boards: where one's right end meets another's left end.
    fn push_joints(&mut self, first: usize) {
        let (boards, joints, stretch_of) = (&self.floor.boards, &mut self.floor.joints, &self.stretch_of);
        for b in first..boards.len() {
            // Boards meet end to end only across one cut.
            let before = |a: &usize| stretch_of[*a - first] + 1 >= stretch_of[b - first];
            let neighbours = (first..b).rev().take_while(before).count();
            for a in b - neighbours..b {
                let (left, right) = (&boards[a], &boards[b]);
                let u = left.right;
                if (right.left - u).abs() > TRUE {
                    continue;
                }
                let plain = [&left.outline, &right.outline].map(|outline| only_side(outline, u));
                let row = left.row;
                let joint = |(low, high)| Joint { row, u, low, high, left: a, right: b };
                match plain {
                    [Some(left), Some(right)] => joints.extend(shared(left, right).map(joint)),
                    _ => joints.extend(meeting(&left.outline, &right.outline, u).into_iter().map(joint)),
                }
            }
        }
    }
}

/// A stretch of a run that no stock reaches.
fn bare(lie: &Lie, run: usize, left: f64, right: f64) -> Short {
    let (low, high) = rise(&lie.outline.outer);
    let at = Uv::new((left + right) / 2.0, (low + high) / 2.0);
    Short { run, left, right, at, length: right - left, in_border: false }
}

/// What two stretches share, if it is more than a touch.
fn shared(a: (f64, f64), b: (f64, f64)) -> Option<(f64, f64)> {
    let (low, high) = (a.0.max(b.0), a.1.min(b.1));
    (high - low > TRUE).then_some((low, high))
}

/// The side that an outline of four corners has on the line across the rows at `u`, if it is just one.
fn only_side(outline: &Outline, u: f64) -> Option<(f64, f64)> {
    let [a, b, c, d] = outline.outer.as_slice() else { return None };
    if !outline.holes.is_empty() {
        return None;
    }
    let is_on = |p: &Uv| (p.u - u).abs() < ON_CUT;
    let mut sides = [(a, b), (b, c), (c, d), (d, a)].into_iter().filter(|(p, q)| is_on(p) && is_on(q));
    let (p, q) = sides.next()?;
    sides.next().is_none().then(|| (p.v.min(q.v), p.v.max(q.v)))
}

/// Stretches along which two outlines share the line across the rows at `u`.
pub(crate) fn meeting(left: &Outline, right: &Outline, u: f64) -> Vec<(f64, f64)> {
    let sides = |outline: &Outline| {
        let mut found: Vec<(f64, f64)> = Vec::new();
        for ring in outline.rings() {
            for (i, a) in ring.iter().enumerate() {
                let b = ring[(i + 1) % ring.len()];
                if (a.u - u).abs() < ON_CUT && (b.u - u).abs() < ON_CUT {
                    found.push((a.v.min(b.v), a.v.max(b.v)));
                }
            }
        }
        found
    };
    let (left, right) = (sides(left), sides(right));
    left.iter().flat_map(|a| right.iter().filter_map(|b| shared(*a, *b))).collect()
}
