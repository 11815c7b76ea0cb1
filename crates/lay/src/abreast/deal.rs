//! Which rip is cut from the strip beside which other, while runs come and go.
//!
//! Every rip keeps the groove or the tongue; the strip left beside it keeps the other edge. A rip has a board of its own, and
//! then its strip may serve others, or it is cut from such a strip. What comes, and what loses its place, takes the best place
//! there is, even another's, as long as wood is saved by it.

use crate::rips::Use;
use crate::shelf::EXACT;
use crate::state::Cut;
use crate::yard::{AS_SOLD, NONE, Need};
use smallvec::SmallVec;

/// Places taken at most until a change has settled: each saves wood, but chains of them may be long.
const MOST_STEPS: usize = 60;
/// A place must save so much to be taken, mm of board.
const LEAST_GAIN: f64 = 1.0;
/// Of places that save alike the one that fits best: what each wider class of strip, and each mm that is left of it, counts
/// for, and at most what all of it does, mm of board.
const WIDER: f64 = 0.3;
const LONGER: f64 = 0.02;
const MOST_SLACK: f64 = 20.0;

/// A piece of a ripped run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rip {
    /// mm.
    pub(super) length: f64,
    pub(super) need: Need,
    /// What strips have to do with it.
    pub(super) strips: Use,
    /// What a board of its own costs, mm of board.
    pub(super) cost: f64,
}

#[derive(Debug, Clone)]
struct Place {
    rip: Rip,
    /// The rip whose strip it is cut from; none where it has a board of its own.
    from: u32,
    /// Its strip: the longest piece that is left of it, mm, and the ends it still has.
    room: f64,
    left: bool,
    right: bool,
    /// What is cut from its strip.
    mates: SmallVec<[u32; 2]>,
    is_there: bool,
}

/// A change that can be taken back.
#[derive(Debug, Clone, Copy)]
enum Change {
    Came(u32),
    Went(u32),
    Served(u32, u32),
    Freed(u32, u32),
}

/// How a rip may find its place.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Way {
    /// Cut from another's strip, or this one's strip serves another.
    From,
    Serving,
}

/// Rips and what each is cut from.
#[derive(Debug)]
pub(super) struct Deal {
    kerf: f64,
    end_match: bool,
    places: Vec<Place>,
    idle: Vec<u32>,
    /// Rips by the class of strip they leave, and by the least class that serves them.
    leaving: Vec<Vec<u32>>,
    asking: Vec<Vec<u32>>,
    /// The first class that keeps the groove.
    groove: usize,
    changes: Vec<Change>,
    waiting: Vec<u32>,
    /// What the boards cost that rips have of their own, mm of board.
    pub(super) cost: f64,
}

impl Deal {
    /// No rips yet. `classes` counts the kinds of strip, of which those from `groove` on keep the groove.
    pub(super) fn new(classes: usize, groove: u16, kerf: f64, end_match: bool) -> Self {
        Self {
            kerf,
            end_match,
            places: Vec::new(),
            idle: Vec::new(),
            leaving: vec![Vec::new(); classes + 1],
            asking: vec![Vec::new(); classes + 1],
            groove: usize::from(groove),
            changes: Vec::new(),
            waiting: Vec::new(),
            cost: 0.0,
        }
    }

    /// From here on changes can be taken back.
    pub(super) fn begin(&mut self) {
        // What went is gone for good now.
        for change in std::mem::take(&mut self.changes) {
            if let Change::Went(rip) = change {
                self.idle.push(rip);
            }
        }
        self.waiting.clear();
    }

    /// Adds a rip, which waits for its place.
    pub(super) fn add(&mut self, rip: Rip) -> u32 {
        let has = |end: Need| !self.end_match || rip.need == end || rip.need == Need::Both;
        let place = Place {
            rip,
            from: NONE,
            room: rip.length,
            left: has(Need::Left),
            right: has(Need::Right),
            mates: SmallVec::new(),
            is_there: true,
        };
        let number = match self.idle.pop() {
            Some(number) => {
                self.places[number as usize] = place;
                number
            }
            None => {
                self.places.push(place);
                self.places.len() as u32 - 1
            }
        };
        self.list(number);
        self.changes.push(Change::Came(number));
        self.waiting.push(number);
        number
    }

    /// Takes a rip away; what was cut from its strip, and the strip it was cut from, wait.
    pub(super) fn remove(&mut self, number: u32) {
        let from = self.places[number as usize].from;
        if from != NONE {
            self.free(number);
            self.waiting.push(from);
        }
        self.free_mates(number);
        self.strike(number);
        self.changes.push(Change::Went(number));
    }

    /// Takes back all changes since they were begun.
    pub(super) fn back(&mut self) {
        self.waiting.clear();
        while let Some(change) = self.changes.pop() {
            match change {
                Change::Came(rip) => {
                    self.strike(rip);
                    self.idle.push(rip);
                }
                Change::Went(rip) => self.list(rip),
                Change::Served(rip, from) => self.part(rip, from),
                Change::Freed(rip, from) => self.join(rip, from),
            }
        }
    }

    /// A rip as a piece that comes from no board yet.
    pub(super) fn cut(&self, number: u32) -> Cut {
        let Rip { length, need, .. } = self.places[number as usize].rip;
        Cut::square(length, need)
    }

    pub(super) fn length(&self, number: u32) -> f64 {
        self.places[number as usize].rip.length
    }

    /// Whose strip a rip is cut from, if any.
    pub(super) fn from(&self, number: u32) -> Option<u32> {
        Some(self.places[number as usize].from).filter(|from| *from != NONE)
    }

    /// The class of strip that a rip leaves, where any wants it.
    pub(super) fn leaves(&self, number: u32) -> Option<u16> {
        self.places[number as usize].rip.strips.1
    }

    fn list(&mut self, number: u32) {
        let place = &mut self.places[number as usize];
        place.is_there = true;
        self.cost += place.rip.cost;
        let (asked, left) = place.rip.strips;
        if asked > 0 {
            self.asking[usize::from(asked)].push(number);
        }
        if let Some(left) = left {
            self.leaving[usize::from(left)].push(number);
        }
    }

    fn strike(&mut self, number: u32) {
        let place = &mut self.places[number as usize];
        place.is_there = false;
        self.cost -= place.rip.cost;
        let (asked, left) = place.rip.strips;
        let take = |list: &mut Vec<u32>| {
            if let Some(at) = list.iter().rposition(|other| *other == number) {
                list.swap_remove(at);
            }
        };
        if asked > 0 {
            take(&mut self.asking[usize::from(asked)]);
        }
        if let Some(left) = left {
            take(&mut self.leaving[usize::from(left)]);
        }
    }

    fn join(&mut self, number: u32, from: u32) {
        let place = &mut self.places[number as usize];
        place.from = from;
        let Rip { length, need, cost, .. } = place.rip;
        self.cost -= cost;
        let (kerf, end_match) = (self.kerf, self.end_match);
        let of = &mut self.places[from as usize];
        of.mates.push(number);
        of.room -= length + kerf;
        if end_match {
            of.left &= !matches!(need, Need::Left | Need::Both);
            of.right &= !matches!(need, Need::Right | Need::Both);
        }
    }

    fn part(&mut self, number: u32, from: u32) {
        let place = &mut self.places[number as usize];
        place.from = NONE;
        let Rip { length, need, cost, .. } = place.rip;
        self.cost += cost;
        let kerf = self.kerf;
        let of = &mut self.places[from as usize];
        of.mates.retain(|mate| *mate != number);
        of.room += length + kerf;
        of.left |= matches!(need, Need::Left | Need::Both);
        of.right |= matches!(need, Need::Right | Need::Both);
    }

    fn serve(&mut self, number: u32, from: u32) {
        self.join(number, from);
        self.changes.push(Change::Served(number, from));
    }

    fn free(&mut self, number: u32) {
        let from = self.places[number as usize].from;
        self.part(number, from);
        self.changes.push(Change::Freed(number, from));
    }

    fn free_mates(&mut self, number: u32) {
        while let Some(mate) = self.places[number as usize].mates.last().copied() {
            self.free(mate);
            self.waiting.push(mate);
        }
    }

    /// What boards of their own would cost for all that is cut from a rip's strip.
    fn held(&self, place: &Place) -> f64 {
        place.mates.iter().map(|mate| self.places[*mate as usize].rip.cost).sum()
    }

    /// Whether a rip can be cut from the strip of another while nothing is cut from that; the classes fit.
    fn could(&self, rip: &Rip, of: &Rip) -> bool {
        rip.length <= of.length + EXACT
            && (!self.end_match
                || match rip.need {
                    Need::Neither => true,
                    // Between two others a strip is used whole.
                    Need::Both => of.need == Need::Both && rip.length >= of.length - AS_SOLD,
                    need => of.need == need || of.need == Need::Both,
                })
    }

    /// Whether it can be beside what is cut from that strip.
    fn has_room(&self, rip: &Rip, of: &Place) -> bool {
        of.room + EXACT >= rip.length
            && match rip.need {
                Need::Neither => true,
                Need::Both => of.mates.is_empty() || !self.end_match,
                Need::Left => of.left,
                Need::Right => of.right,
            }
    }

    /// Finds places for all that wait.
    pub(super) fn settle(&mut self) {
        for _ in 0..MOST_STEPS {
            let Some(number) = self.waiting.pop() else { return };
            let place = &self.places[number as usize];
            if !place.is_there || place.from != NONE {
                continue;
            }
            let Some((way, other)) = self.best_place(place) else { continue };
            let (served, from) = if way == Way::From { (number, other) } else { (other, number) };
            self.free_mates(served);
            if !self.has_room(&self.places[served as usize].rip, &self.places[from as usize]) {
                self.free_mates(from);
            }
            self.serve(served, from);
            // What is left of the strip may serve more.
            self.waiting.push(from);
        }
        self.waiting.clear();
    }

    /// The place of a rip with a board of its own that saves most, of those that save alike the one that fits best.
    fn best_place(&self, place: &Place) -> Option<(Way, u32)> {
        let (asked, left) = place.rip.strips;
        let own = self.held(place);
        let mut best = (LEAST_GAIN, None);
        let mut offer = |gain: f64, classes: usize, longer: f64, found: (Way, u32)| {
            let slack = (WIDER * classes as f64 + LONGER * longer).min(MOST_SLACK);
            if gain > LEAST_GAIN && gain - slack > best.0 {
                best = (gain - slack, Some(found));
            }
            best.0
        };
        // Whether nothing further off, which saves so much at most, is better.
        let is_enough =
            |classes: usize, most: f64, best: f64| most - (WIDER * classes as f64).min(MOST_SLACK) <= best;
        let mut so_far = LEAST_GAIN;
        if asked > 0 {
            let asked = usize::from(asked);
            let end = if asked < self.groove { self.groove } else { self.leaving.len() };
            let gain = place.rip.cost - own;
            for (classes, list) in self.leaving[asked..end.max(asked)].iter().enumerate() {
                if is_enough(classes, gain, so_far) {
                    break;
                }
                for number in list {
                    let of = &self.places[*number as usize];
                    if of.from == NONE && self.could(&place.rip, &of.rip) {
                        let lost = if self.has_room(&place.rip, of) { 0.0 } else { self.held(of) };
                        let longer = (of.room - place.rip.length).abs();
                        so_far = offer(gain - lost, classes, longer, (Way::From, *number));
                    }
                }
            }
        }
        if let Some(left) = left {
            let left = usize::from(left);
            let first = if left < self.groove { 1 } else { self.groove };
            for (classes, list) in self.asking[first..=left].iter().rev().enumerate() {
                // What is cut from a strip is no dearer than what leaves it.
                if is_enough(classes, place.rip.cost, so_far) {
                    break;
                }
                for number in list {
                    let other = &self.places[*number as usize];
                    if other.from == NONE && self.could(&other.rip, &place.rip) {
                        let lost = if self.has_room(&other.rip, place) { 0.0 } else { own };
                        let gain = other.rip.cost - self.held(other) - lost;
                        let longer = place.rip.length - other.rip.length;
                        so_far = offer(gain, classes, longer, (Way::Serving, *number));
                    }
                }
            }
        }
        best.1
    }
}
