//! The stock on site: fresh boards, boards cut into, and strips left from rips.

use crate::nest::{Nest, Nested, Parting, SQUARE, Shifts};
use crate::ranked::Ranked;
use crate::shelf::{EXACT, Shelf};
use plan::{LaidStock, Rules, Stock};
use rand_core::Rng;
use rand_pcg::Pcg64Mcg;
use smallvec::SmallVec;

/// A piece shorter than this is not worth carrying back, mm. Common practice, no source.
pub const WORTH_KEEPING: f64 = 200.0;
/// What an offcut that can end a run is held to be worth, as a share of its length, and what more it is worth as a
/// share of its length squared over a whole board's, so that what is left over gathers in few boards until one of
/// them is not needed.
const OFFCUT_WORTH: f64 = 0.85;
const LONG_WORTH: f64 = 0.1;
/// The share of its length that an offcut without an end is worth: only a run of one piece uses it.
const ENDLESS_WORTH: f64 = 0.3;
/// Offcuts are worth less once they are more than this part of the runs left to be laid in a first floor, down to
/// the least share.
const OFFCUTS_PER_RUN: f64 = 0.67;
const LEAST_WORTH: f64 = 0.3;
/// The share of its length that an offcut too short to end a run is worth.
const SHORT_WORTH: f64 = 0.05;
/// A board no more than this longer than a piece is that piece as it is sold, mm.
pub(crate) const AS_SOLD: f64 = 0.1;
/// No strip, no kind.
pub(crate) const NONE: u32 = u32::MAX;
/// The kind of a board opened for what is laid: it never goes back on the shelf.
pub(crate) const LAID: u32 = u32::MAX - 1;

/// What a piece needs of its ends. The piece is seen in the board's own frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Need {
    /// A starter: the right-hand end-match.
    Right,
    /// A closer: the left-hand end-match.
    Left,
    /// A piece that is a whole run.
    Neither,
    /// A board between two others.
    Both,
}

/// A piece that is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Want {
    /// From long point to long point, mm.
    pub(crate) length: f64,
    pub(crate) need: Need,
    /// How much further along its ends lie at the tongue edge, mm.
    pub(crate) shifts: Shifts,
}

impl Want {
    /// A piece with square ends.
    pub(crate) fn square(length: f64, need: Need) -> Self {
        Self { length, need, shifts: SQUARE }
    }

    /// What a nest holds of it.
    fn nested(&self, owner: u32) -> Nested {
        Nested { owner, need: self.need, shifts: self.shifts }
    }
}

/// A board cut into, or a strip of one.
#[derive(Debug, Clone)]
pub(crate) struct Bar {
    pub(crate) length: f64,
    /// What it was on the shelf; [`NONE`] for a strip.
    pub(crate) kind: u32,
    /// 0 for whole width; else the kind of rip it is the strip of.
    pub(crate) class: u16,
    /// The longest further piece it gives, mm.
    pub(crate) free: f64,
    pub(crate) pieces: u32,
    /// Whether its left and right end-match are still to be had.
    pub(crate) left: bool,
    pub(crate) right: bool,
    /// Runs that hold a piece of it, one entry for each piece.
    pub(crate) owners: SmallVec<[u32; 4]>,
    is_live: bool,
    /// Its pieces by their ends, where some of the floor's slant.
    nest: Option<Box<Nest>>,
}

impl Bar {
    /// Whether any of its ends slants.
    pub(crate) fn is_slanting(&self) -> bool {
        self.nest.as_ref().is_some_and(|nest| nest.is_slanting())
    }

    /// Shifts of the lines between which its pieces lie, mm.
    pub(crate) fn sides(&self) -> Shifts {
        self.nest.as_ref().map_or(SQUARE, |nest| nest.sides)
    }

    fn serves(&self, need: Need) -> bool {
        match need {
            Need::Right => self.right,
            Need::Left => self.left,
            Need::Neither => true,
            Need::Both => self.left && self.right && self.pieces == 0,
        }
    }

    /// Whether it stands among the offcuts for a need: a board cut into lies between no two others.
    fn is_listed(&self, need: Need) -> bool {
        self.serves(need) && (need != Need::Both || self.class > 0)
    }
}

/// Where a piece comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Source {
    /// A board cut into.
    Bar(u32),
    /// A fresh board, by kind.
    Fresh(u32),
    /// What the first piece of the same run leaves of its board.
    Rest,
}

/// A source and what it costs, mm of board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Offer {
    pub(crate) source: Source,
    pub(crate) cost: f64,
    /// Wood that is then good for nothing, mm.
    pub(crate) loss: f64,
}

/// Offcuts of one class sorted by length, for each of the needs they can serve: right end, left end, any, both ends.
type Pool = [Ranked; 4];
const NEEDS: [Need; 4] = [Need::Right, Need::Left, Need::Neither, Need::Both];
/// Boards looked at for a slanting end.
const LOOKED_AT: usize = 8;
/// What each wider class of strip than is needed costs, mm of board: wide strips are kept for wide rips.
const WIDER: f64 = 5.0;

/// The stock on site.
#[derive(Debug, Clone)]
pub(crate) struct Yard {
    pub(crate) shelf: Shelf,
    pub(crate) bars: Vec<Bar>,
    kerf: f64,
    end_match: bool,
    longest: f64,
    least_end: f64,
    idle: Vec<u32>,
    pools: Vec<Pool>,
    /// Slants of the floor's ends, mm, as they are told apart, and the boards of whole width on which an end of each saves
    /// wood, by the room they then have: for a starter's left end, a closer's right end, and either end of a piece that is
    /// a whole run.
    slants: Vec<f64>,
    nests: Vec<[Ranked; 4]>,
    parting: Parting,
    /// Boards opened.
    pub(crate) opened: usize,
    /// What part of their worth offcuts have: less where few runs are left that could use them.
    scale: f64,
    /// What the boards opened cost less what their offcuts are worth, mm of board.
    pub(crate) wood: f64,
}

impl Yard {
    /// A yard before anything is cut. `classes` counts the kinds of strip beside whole width.
    pub(crate) fn new(stock: &Stock, rules: &Rules, seed: u64, longest_run: f64, classes: usize) -> Self {
        Self {
            shelf: Shelf::new(stock, seed, longest_run),
            bars: Vec::new(),
            kerf: stock.kerf,
            end_match: stock.end_match,
            longest: stock.longest().max(1.0),
            least_end: rules.least_end,
            idle: Vec::new(),
            pools: vec![Pool::default(); classes + 1],
            slants: Vec::new(),
            nests: Vec::new(),
            parting: Parting::default(),
            opened: 0,
            scale: 1.0,
            wood: 0.0,
        }
    }

    /// Has pieces with slanting ends share saw cuts. `slants` are those that are told apart, mm over the pitch.
    pub(crate) fn nest(&mut self, slants: Vec<f64>, pitch: f64) {
        self.parting = Parting { kerf: self.kerf, pitch, end_match: self.end_match };
        self.nests = vec![Default::default(); slants.len()];
        self.slants = slants;
    }

    pub(crate) fn parting(&self) -> Parting {
        self.parting
    }

    pub(crate) fn longest(&self) -> f64 {
        self.longest
    }

    pub(crate) fn end_match(&self) -> bool {
        self.end_match
    }

    /// What an offcut of this length is worth, mm of board, whether it can end a run or lie between two sawn ends only.
    fn worth(&self, free: f64, has_end: bool) -> f64 {
        self.scale * self.whole_worth(free, has_end)
    }

    fn whole_worth(&self, free: f64, has_end: bool) -> f64 {
        if free < WORTH_KEEPING {
            0.0
        } else if free < self.least_end {
            SHORT_WORTH * free
        } else if !has_end {
            ENDLESS_WORTH * free
        } else {
            OFFCUT_WORTH * free + LONG_WORTH * free * free / self.longest
        }
    }

    /// Values offcuts by how many runs are left to be laid with them; with none given at their whole worth.
    pub(crate) fn rate(&mut self, runs_left: Option<usize>) {
        let offcuts = self.pools[0][place_of(Need::Neither)].len();
        let needed = offcuts as f64 / OFFCUTS_PER_RUN;
        self.scale = match runs_left {
            Some(runs) if needed > 0.0 => (runs as f64 / needed).clamp(LEAST_WORTH, 1.0),
            _ => 1.0,
        };
        if runs_left.is_none() {
            let live = self.bars.iter().filter(|bar| bar.is_live);
            self.wood = live.map(|bar| self.cost(bar)).sum();
        }
    }

    /// What part of their worth offcuts have.
    pub(crate) fn scale(&self) -> f64 {
        self.scale
    }

    fn cost(&self, bar: &Bar) -> f64 {
        if bar.class > 0 || bar.pieces == 0 {
            0.0
        } else if bar.kind == LAID {
            -self.worth(bar.free, bar.left || bar.right)
        } else {
            self.shelf.plain_price(bar.kind) - self.worth(bar.free, bar.left || bar.right)
        }
    }

    /// Whether pieces may come from offcuts of this class at all.
    pub(crate) fn has_offcuts(&self, class: u16, need: Need) -> usize {
        self.pools[class as usize][place_of(need)].len()
    }

    /// The offcut at a place in the list of those that serve a need, by length: how long a piece it gives, and its bar.
    pub(crate) fn offcut(&self, class: u16, need: Need, place: usize) -> Option<(f64, u32)> {
        self.pools[class as usize][place_of(need)].get(place).copied()
    }

    /// How long a piece with these ends a bar gives, mm.
    pub(crate) fn room(&self, number: u32, need: Need, shifts: Shifts) -> f64 {
        let bar = &self.bars[number as usize];
        bar.free + self.saved_more(bar, &Want { length: 0.0, need, shifts })
    }

    /// What the pieces of a bar save by a further one, mm; less than nothing where it keeps others apart.
    fn saved_more(&self, bar: &Bar, want: &Want) -> f64 {
        match &bar.nest {
            Some(nest) if bar.class == 0 => {
                let saved = self.parting.saved(nest, &[want.nested(NONE)]);
                saved.map_or(f64::NEG_INFINITY, |saved| saved - nest.saved)
            }
            _ => 0.0,
        }
    }

    /// Where boards stand on which a slanting end of a piece saves wood, by the room they have for it.
    fn nests_for(&self, want: &Want) -> impl Iterator<Item = &Ranked> {
        let pools = match want.need {
            _ if !self.end_match => [0, 1],
            Need::Right => [0, 3],
            Need::Left => [2, 1],
            Need::Neither | Need::Both => [2, 3],
        };
        let of_end = want.shifts.into_iter().zip(pools);
        of_end.filter_map(|(shift, pool)| Some(&self.nests[self.slant_of(shift)?][pool]))
    }

    /// The slant nearest to a shift among those told apart that lean its way.
    fn slant_of(&self, shift: f64) -> Option<usize> {
        let off = |slant: &f64| (slant - shift).abs();
        let leans = (0..self.slants.len()).filter(|i| self.slants[*i] * shift > 0.0);
        leans.min_by(|a, b| off(&self.slants[*a]).total_cmp(&off(&self.slants[*b])))
    }

    /// Some board on which an end of such a piece saves wood: the one at this place among them, counted round.
    pub(crate) fn nesting(&self, want: &Want, place: usize) -> Option<u32> {
        let count: usize = self.nests_for(want).map(Ranked::len).sum();
        let mut place = place.checked_rem(count)?;
        for pool in self.nests_for(want) {
            if let Some((_, bar)) = pool.get(place) {
                return Some(*bar);
            }
            place -= pool.len();
        }
        None
    }

    /// A piece taken off a bar.
    pub(crate) fn of_bar(&self, number: u32, want: &Want) -> Offer {
        let Want { length, need, .. } = *want;
        let bar = &self.bars[number as usize];
        let source = Source::Bar(number);
        if bar.class > 0 {
            // A strip is there for nothing; the shortest that serves is taken.
            return Offer { source, cost: 0.01 * (bar.free - length), loss: 0.0 };
        }
        let (left, right) = self.ends_after((bar.left, bar.right), need);
        let rest = bar.free - length - self.kerf + self.saved_more(bar, want);
        let cost = self.worth(bar.free, bar.left || bar.right) - self.worth(rest, left || right);
        Offer { source, cost, loss: self.lost(rest, left || right) }
    }

    /// What of a board cut into is good for nothing, mm.
    pub(crate) fn loss_of(&self, bar: &Bar) -> f64 {
        if bar.pieces == 0 || bar.class > 0 { 0.0 } else { self.lost(bar.free, bar.left || bar.right) }
    }

    /// What of a rest is good for nothing, mm.
    fn lost(&self, rest: f64, has_end: bool) -> f64 {
        if rest >= self.least_end && has_end { 0.0 } else { rest.max(0.0) }
    }

    /// Which end-matches are left, left and right, once a piece is cut.
    fn ends_after(&self, (left, right): (bool, bool), need: Need) -> (bool, bool) {
        let kept = |taken: bool| !self.end_match || !taken;
        let both = need == Need::Both;
        (left && kept(both || need == Need::Left), right && kept(both || need == Need::Right))
    }

    /// A piece of a fresh board.
    pub(crate) fn of_fresh(&self, kind: u32, length: f64) -> Offer {
        let rest = self.shelf.length(kind) - length - self.kerf;
        let cost = self.shelf.price(kind) - self.worth(rest, true);
        Offer { source: Source::Fresh(kind), cost, loss: self.lost(rest, true) }
    }

    /// A piece taken off what the first piece of its run leaves.
    pub(crate) fn of_rest(&self, rest: f64, length: f64) -> Offer {
        let (after, has_end) = (rest - length - self.kerf, !self.end_match);
        let cost = self.worth(rest, true) - self.worth(after, has_end);
        Offer { source: Source::Rest, cost, loss: self.lost(after, has_end) - self.lost(rest, true) }
    }

    /// What is left of a piece's board when the piece is cut off, and how much less than its length another piece then
    /// takes of it, mm.
    pub(crate) fn rest(&self, source: Source, first: &Want, other: &Want) -> (f64, f64) {
        let (whole, bar) = match source {
            Source::Bar(bar) => (self.bars[bar as usize].free, Some(&self.bars[bar as usize])),
            Source::Fresh(kind) => (self.shelf.length(kind), None),
            Source::Rest => (0.0, None),
        };
        let rest = whole - first.length - self.kerf;
        if self.slants.is_empty() || first.shifts == SQUARE || other.shifts == SQUARE {
            return (rest, 0.0);
        }
        let none = Nest::default();
        let nest = bar.and_then(|bar| bar.nest.as_deref()).unwrap_or(&none);
        let (first, other) = (first.nested(NONE), other.nested(NONE));
        let saved = |more: &[Nested]| self.parting.saved(nest, more).unwrap_or(f64::NEG_INFINITY);
        let (one, both) = (saved(&[first]), saved(&[first, other]));
        (rest + one - nest.saved, both - one)
    }

    /// The cheapest source of a piece among offcuts of these classes and fresh boards. `spoken` names fresh
    /// boards and `taken` bars that are spoken for.
    pub(crate) fn best(
        &self,
        want: &Want,
        classes: &[u16],
        (taken, spoken): (&[u32], &[u32]),
        scratch: &mut Vec<u32>,
    ) -> Option<Offer> {
        let Want { length, need, .. } = *want;
        let mut best: Option<Offer> = None;
        let mut consider = |offer: Offer| {
            if best.is_none_or(|b| offer.cost < b.cost) {
                best = Some(offer);
            }
        };
        // A board between two others keeps both its ends, so it is used whole.
        let keeps_both = need == Need::Both && self.end_match;
        for (place, class) in classes.iter().enumerate().take(if keeps_both { 0 } else { classes.len() }) {
            // Square ends serve every need.
            let pool = &self.pools[*class as usize][if self.end_match { place_of(need) } else { 0 }];
            let wider = WIDER * place as f64;
            for least in [length, length + self.kerf + self.least_end.max(WORTH_KEEPING)] {
                if let Some((_, bar)) = pool.from(least - EXACT).find(|(_, bar)| !taken.contains(bar)) {
                    let offer = self.of_bar(*bar, want);
                    consider(Offer { cost: offer.cost + wider, ..offer });
                }
            }
        }
        if want.shifts != SQUARE {
            for pool in self.nests_for(want) {
                for least in [length, length + self.kerf + self.least_end.max(WORTH_KEEPING)] {
                    // Slants are told apart roughly: not every one of them has the room it is listed with.
                    let serves = |bar: u32| {
                        !taken.contains(&bar) && self.room(bar, need, want.shifts) + EXACT >= length
                    };
                    if let Some((_, bar)) =
                        pool.from(least - EXACT).take(LOOKED_AT).find(|entry| serves(entry.1))
                    {
                        consider(self.of_bar(*bar, want));
                    }
                }
            }
        }
        self.shelf.fits(length, self.kerf + self.least_end.max(WORTH_KEEPING), spoken, scratch);
        let is_whole = |kind: &u32| self.shelf.length(*kind) <= length + AS_SOLD;
        if keeps_both && scratch.iter().any(is_whole) {
            scratch.retain(is_whole);
        }
        for kind in scratch.iter() {
            consider(self.of_fresh(*kind, length));
        }
        best
    }

    /// Brings a board opened for what is laid, by boards of that pitch, with what of it is in hand. Bars are numbered as they
    /// are brought.
    pub(crate) fn bring(&mut self, stock: &LaidStock, pitch: f64) {
        self.shelf.was_opened(stock);
        let number = self.free_slot();
        let (from, to) = stock.rest.unwrap_or_default();
        let (square_from, square_to) = stock.square_rest(self.kerf, pitch);
        let square = !self.end_match;
        let bar = &mut self.bars[number as usize];
        (bar.length, bar.kind, bar.class, bar.is_live) = (stock.length, LAID, 0, true);
        bar.nest = stock
            .rest_shifts
            .filter(|_| !self.slants.is_empty())
            .map(|(left, right)| Box::new(Nest { sides: [left, right], ..Nest::default() }));
        // What lies counts as a piece, so that the board is never taken for whole.
        (bar.free, bar.pieces) = (square_to - square_from, 1);
        bar.left = square || from <= AS_SOLD;
        bar.right = square || to >= stock.length - AS_SOLD;
        self.wood += self.cost(&self.bars[number as usize]);
        self.enlist(number);
    }

    /// Opens a fresh board.
    pub(crate) fn draw(&mut self, kind: u32) -> u32 {
        let bar = self.free_slot();
        self.revive(bar, kind);
        bar
    }

    /// Opens a fresh board under the number it had before.
    pub(crate) fn revive(&mut self, bar: u32, kind: u32) {
        let length = self.shelf.length(kind);
        self.shelf.take(kind);
        let bar = &mut self.bars[bar as usize];
        (bar.length, bar.kind, bar.class, bar.is_live) = (length, kind, 0, true);
        (bar.free, bar.left, bar.right) = (length, true, true);
        bar.nest = None;
    }

    pub(crate) fn is_live(&self, bar: u32) -> bool {
        self.bars[bar as usize].is_live
    }

    /// Lays aside the strip that a rip of this class and length leaves; it has the ends its piece has.
    pub(crate) fn lay_aside(&mut self, class: u16, length: f64, need: Need, number: Option<u32>) -> u32 {
        let number = number.unwrap_or_else(|| self.free_slot());
        let square = !self.end_match;
        let bar = &mut self.bars[number as usize];
        (bar.length, bar.kind, bar.class, bar.is_live) = (length, NONE, class, true);
        bar.nest = None;
        bar.free = length;
        bar.left = square || matches!(need, Need::Left | Need::Both);
        bar.right = square || matches!(need, Need::Right | Need::Both);
        self.enlist(number);
        number
    }

    /// Throws a strip away that nothing was cut from.
    pub(crate) fn throw_away(&mut self, strip: u32) {
        self.strike(strip);
        self.bars[strip as usize].is_live = false;
        self.idle.push(strip);
    }

    fn free_slot(&mut self) -> u32 {
        while let Some(bar) = self.idle.pop() {
            if !self.bars[bar as usize].is_live {
                return bar;
            }
        }
        let empty = Bar {
            length: 0.0,
            kind: NONE,
            class: 0,
            free: 0.0,
            pieces: 0,
            left: true,
            right: true,
            owners: SmallVec::new(),
            is_live: false,
            nest: None,
        };
        self.bars.push(empty);
        self.bars.len() as u32 - 1
    }

    /// Forgets numbers noted as free more than once.
    pub(crate) fn tidy(&mut self) {
        let bars = &self.bars;
        self.idle = (0..bars.len() as u32).rev().filter(|bar| !bars[*bar as usize].is_live).collect();
    }

    /// Notes that what is left of a bar has lost its left end-match.
    pub(crate) fn use_left_end(&mut self, number: u32) {
        if self.end_match && self.bars[number as usize].left {
            self.strike(number);
            self.bars[number as usize].left = false;
            self.enlist(number);
        }
    }

    /// Takes pieces with slanting ends for what is left of their bar once they are placed on it: nothing nests there any
    /// more.
    pub(crate) fn settle(&mut self, number: u32, free: f64) {
        self.strike(number);
        let bar = &mut self.bars[number as usize];
        (bar.free, bar.nest) = (free, None);
        self.enlist(number);
    }

    /// Notes a piece among those of its bar, or takes it out, and reckons anew what they save.
    fn note(&mut self, number: u32, piece: Nested, is_cut: bool) {
        let bar = &mut self.bars[number as usize];
        if self.slants.is_empty() || bar.class > 0 {
            return;
        }
        let nest = bar.nest.get_or_insert_default();
        match nest.pieces.iter().position(|other| *other == piece) {
            _ if is_cut => nest.pieces.push(piece),
            Some(place) => drop(nest.pieces.swap_remove(place)),
            None => {}
        }
        let saved = self.parting.saved(nest, &[]).unwrap_or(0.0);
        bar.free += saved - nest.saved;
        nest.saved = saved;
    }

    /// Cuts a piece off a bar.
    pub(crate) fn cut(&mut self, number: u32, want: &Want, owner: u32) {
        let Want { length, need, .. } = *want;
        self.strike(number);
        let before = self.cost(&self.bars[number as usize]);
        let (end_match, kerf) = (self.end_match, self.kerf);
        let bar = &mut self.bars[number as usize];
        if bar.pieces == 0 && bar.class == 0 {
            self.opened += 1;
        }
        bar.pieces += 1;
        bar.free -= length + kerf;
        if end_match {
            bar.left &= !matches!(need, Need::Left | Need::Both);
            bar.right &= !matches!(need, Need::Right | Need::Both);
        }
        bar.owners.push(owner);
        self.note(number, want.nested(owner), true);
        self.wood += self.cost(&self.bars[number as usize]) - before;
        self.enlist(number);
    }

    /// Undoes a cut; a board without pieces goes back on the shelf.
    pub(crate) fn undo(&mut self, number: u32, want: &Want, owner: u32) {
        let Want { length, need, .. } = *want;
        self.strike(number);
        let before = self.cost(&self.bars[number as usize]);
        let kerf = self.kerf;
        let bar = &mut self.bars[number as usize];
        bar.pieces -= 1;
        if bar.pieces == 0 {
            (bar.free, bar.nest) = (bar.length, None);
        } else {
            bar.free += length + kerf;
        }
        bar.left |= matches!(need, Need::Left | Need::Both);
        bar.right |= matches!(need, Need::Right | Need::Both);
        if let Some(place) = bar.owners.iter().position(|other| *other == owner) {
            bar.owners.swap_remove(place);
        }
        if bar.nest.is_some() {
            self.note(number, want.nested(owner), false);
        }
        let bar = &self.bars[number as usize];
        let (class, is_empty, kind) = (bar.class, bar.pieces == 0, bar.kind);
        self.wood += self.cost(&self.bars[number as usize]) - before;
        if is_empty && class == 0 {
            self.opened -= 1;
            self.shelf.put_back(kind);
            self.bars[number as usize].is_live = false;
            self.idle.push(number);
        } else {
            self.enlist(number);
        }
    }

    /// Puts a bar with something left into its pools.
    fn enlist(&mut self, number: u32) {
        let bar = &self.bars[number as usize];
        if bar.is_slanting() {
            return self.enlist_nest(number);
        }
        if (bar.pieces == 0 && bar.class == 0) || bar.free < WORTH_KEEPING {
            return;
        }
        let entry = (bar.free, number);
        let pool = &mut self.pools[bar.class as usize];
        for (pool, need) in pool.iter_mut().zip(NEEDS) {
            if bar.is_listed(need) {
                pool.insert(entry);
            }
        }
    }

    /// Puts a bar with slanting ends into its pools, by the room it has for square pieces and for those of each slant by
    /// which it saves wood.
    fn enlist_nest(&mut self, number: u32) {
        let bar = &self.bars[number as usize];
        let mut listed: SmallVec<[(u16, f64); 6]> = SmallVec::new();
        for (pool, need) in NEEDS.into_iter().enumerate().filter(|(_, need)| bar.is_listed(*need)) {
            let room = self.room(number, need, SQUARE);
            if room >= WORTH_KEEPING {
                listed.push((pool as u16, room));
            }
            let ends: &[usize] = match need {
                Need::Right => &[0],
                Need::Left => &[1],
                Need::Neither if self.end_match => &[2, 3],
                Need::Neither | Need::Both => &[],
            };
            for (slant, shift) in self.slants.iter().enumerate() {
                for end in ends {
                    let shifts = if end % 2 == 0 { [*shift, 0.0] } else { [0.0, *shift] };
                    let nested = self.room(number, need, shifts);
                    if nested >= WORTH_KEEPING && nested > room.max(0.0) + EXACT {
                        listed.push(((NEEDS.len() + 4 * slant + end) as u16, nested));
                    }
                }
            }
        }
        for (pool, room) in &listed {
            self.nest_pool(*pool).insert((*room, number));
        }
        if let Some(nest) = &mut self.bars[number as usize].nest {
            nest.listed = listed;
        }
    }

    /// A pool by the number under which nests note it.
    fn nest_pool(&mut self, pool: u16) -> &mut Ranked {
        match usize::from(pool).checked_sub(NEEDS.len()) {
            Some(nest) => &mut self.nests[nest / 4][nest % 4],
            None => &mut self.pools[0][usize::from(pool)],
        }
    }

    fn strike(&mut self, number: u32) {
        let nest = self.bars[number as usize].nest.as_mut();
        if let Some(nest) = nest.filter(|nest| nest.is_slanting()) {
            for (pool, room) in std::mem::take(&mut nest.listed) {
                self.nest_pool(pool).remove(&(room, number));
            }
            return;
        }
        let bar = &self.bars[number as usize];
        if (bar.pieces == 0 && bar.class == 0) || bar.free < WORTH_KEEPING {
            return;
        }
        let entry = (bar.free, number);
        for (pool, need) in self.pools[bar.class as usize].iter_mut().zip(NEEDS) {
            if bar.is_listed(need) {
                pool.remove(&entry);
            }
        }
    }
}

fn place_of(need: Need) -> usize {
    match need {
        Need::Right => 0,
        Need::Left => 1,
        Need::Neither => 2,
        Need::Both => 3,
    }
}

/// A number in 0..count; 0 for an empty range. The slight bias is far below what a floor can show.
pub(crate) fn below(rng: &mut Pcg64Mcg, count: usize) -> usize {
    if count == 0 { 0 } else { (rng.next_u64() % count as u64) as usize }
}

/// A number in 0..1.
pub(crate) fn unit(rng: &mut Pcg64Mcg) -> f64 {
    (rng.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::BoardLength;

    /// Of a board of 2200 the stretch from 500 to 2200 is in hand: 1700, with its right end, and worth something.
    #[test]
    fn what_is_in_hand_of_an_opened_board_is_an_offcut() {
        let lengths = vec![BoardLength { length: 2200.0, per_pack: 4 }];
        let stock = Stock { lengths, end_match: true, ..Stock::default() };
        let mut yard = Yard::new(&stock, &Rules::default(), 0, 4000.0, 0);
        let opened = LaidStock { length: 2200.0, pack: 0, rest: Some((500.0, 2200.0)), rest_shifts: None };
        yard.bring(&opened, 190.0);
        let bar = &yard.bars[0];
        assert_eq!((bar.free, bar.left, bar.right), (1700.0, false, true));
        assert_eq!(yard.offcut(0, Need::Right, 0), Some((1700.0, 0)));
        assert!(yard.wood < -WORTH_KEEPING, "{}", yard.wood);
    }
}
