//! Boards not cut yet: what the packs hold, pack by pack in order.

use crate::menu::{Dish, Menu};
use crate::yard::{below, unit};
use plan::{LaidStock, RandomLengths, Stock};
use rand_core::SeedableRng;
use rand_pcg::Pcg64Mcg;

/// Packs kept open at once, so that boards of several packs mix on the floor.
pub(crate) const OPEN_PACKS: usize = 3;
/// Random lengths are drawn in steps of this, mm: as fine as one sorts boards by eye.
const LENGTH_STEP: f64 = 10.0;
/// A piece measured on the floor may exceed the board it fills by rounding, mm.
pub(crate) const EXACT: f64 = 1e-6;
/// Boards as long as this are of one length, mm.
const SAME_LENGTH: f64 = 0.1;
/// What each board opened is held to cost beside its wood, mm of board: of two ways that open the same
/// wood the one with longer, fewer boards is taken.
pub(crate) const PER_BOARD: f64 = 800.0;
/// What a pack's lead over the others in one length is held to cost while lengths are balanced, mm of board, and the
/// leads beyond which it costs no more: behind the others, ahead of them, and where leads are watched.
const BALANCE: f64 = 400.0;
const MOST_LEADS: [f64; 3] = [-2.0, 4.0, 16.0];
/// A board of a length that leads by more packs than this leaves others whole in theirs, where leads are watched.
const WATCHED: f64 = 1.0;
/// A floor that takes this share more packs than its boards fill, and a pack besides, has drawn one length out of
/// proportion.
const LOPSIDED: f64 = 1.05;

/// Boards of one length in every pack.
#[derive(Debug, Clone)]
struct Kind {
    length: f64,
    per_pack: u32,
    used: u32,
    /// What its lead over the others costs while lengths are balanced, mm of board.
    lead: f64,
}

/// Boards not cut yet. A *kind* is an index into the stock's lengths or, where lengths are random, the number
/// of one board, counted through all packs.
#[derive(Debug, Clone)]
pub(crate) struct Shelf {
    kinds: Vec<Kind>,
    /// Boards of all kinds used, and in a pack.
    used: u32,
    in_pack: u32,
    random: Option<RandomLengths>,
    packs: Option<u32>,
    seed: u64,
    /// Wood that must lie open for one run, mm: random boards are chosen from what is at hand.
    at_hand: f64,
    /// Random boards: the length of each in the opened packs, how many of each pack are used, and
    /// those not used by length.
    lengths: Vec<f64>,
    used_of_pack: Vec<u32>,
    empty_packs: usize,
    fresh: Vec<(f64, u32)>,
    fresh_wood: f64,
    /// Length of the boards opened for what is laid, mm.
    pub(crate) opened_wood: f64,
    /// Packs the floor is meant to need: beyond them every board costs its share of another pack.
    pub(crate) target: u32,
    /// Whether lengths are drawn in the proportions of the pack, as for a first floor and in half of all rounds of the
    /// searches.
    pub(crate) balancing: bool,
    /// What each board opened costs beside its wood, mm of board.
    per_board: f64,
    /// Whether a length that leads counts as waste too, so that a run is not laid from it for want of another look.
    is_watching: bool,
}

impl Shelf {
    pub(crate) fn new(stock: &Stock, seed: u64, longest_run: f64) -> Self {
        let kind =
            |l: &plan::BoardLength| Kind { length: l.length, per_pack: l.per_pack, used: 0, lead: 0.0 };
        let mut shelf = Self {
            kinds: stock.lengths.iter().map(kind).collect(),
            used: 0,
            in_pack: stock.lengths.iter().map(|l| l.per_pack).sum(),
            random: stock.random.filter(|_| stock.lengths.is_empty()),
            packs: stock.packs,
            seed,
            at_hand: 1.5 * longest_run,
            lengths: Vec::new(),
            used_of_pack: Vec::new(),
            empty_packs: 0,
            fresh: Vec::new(),
            fresh_wood: 0.0,
            opened_wood: 0.0,
            target: 0,
            balancing: true,
            per_board: PER_BOARD,
            is_watching: false,
        };
        shelf.top_up();
        shelf
    }

    /// From here on a board costs no more than its wood. Packs hold their lengths in proportion, so that of a floor of many packs as many
    /// short boards are opened as long ones are, wherever they lie.
    pub(crate) fn price_by_length(&mut self) {
        if self.random.is_none() {
            self.per_board = 0.0;
        }
    }

    /// Wood in one pack, mm.
    pub(crate) fn pack_wood(&self) -> f64 {
        match self.random {
            Some(random) => f64::from(random.per_pack) * (random.shortest + random.longest) / 2.0,
            None => self.kinds.iter().map(|kind| kind.length * f64::from(kind.per_pack)).sum(),
        }
    }

    fn top_up(&mut self) {
        let Some(random) = self.random else { return };
        while (self.used_of_pack.len() - self.empty_packs) < OPEN_PACKS || self.fresh_wood < self.at_hand {
            if !self.open_pack(random) {
                return;
            }
        }
    }

    /// Opens the next pack of random lengths; its content hangs on its own number alone.
    fn open_pack(&mut self, random: RandomLengths) -> bool {
        let pack = self.used_of_pack.len() as u32;
        if self.packs.is_some_and(|packs| pack >= packs) || random.per_pack == 0 {
            return false;
        }
        // Neighbouring numbers must not give neighbouring streams: the golden ratio's bits spread them.
        let own = self.seed ^ u64::from(pack + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let mut rng = Pcg64Mcg::seed_from_u64(own);
        let steps = ((random.longest - random.shortest) / LENGTH_STEP + EXACT).floor().max(0.0) + 1.0;
        for _ in 0..random.per_pack {
            let length = random.shortest + LENGTH_STEP * (unit(&mut rng) * steps).floor().min(steps - 1.0);
            let number = self.lengths.len() as u32;
            self.lengths.push(length);
            self.fresh.push((length, number));
            self.fresh_wood += length;
        }
        self.fresh.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        self.used_of_pack.push(0);
        true
    }

    pub(crate) fn length(&self, kind: u32) -> f64 {
        match self.random {
            Some(_) => self.lengths[kind as usize],
            None => self.kinds[kind as usize].length,
        }
    }

    /// Takes off the shelf what was opened before. Of random lengths a pack's nearest in length stands for it.
    pub(crate) fn was_opened(&mut self, stock: &LaidStock) {
        self.opened_wood += stock.length;
        let Some(random) = self.random else {
            let kind = self.kinds.iter().position(|kind| (kind.length - stock.length).abs() < SAME_LENGTH);
            if let Some(kind) = kind {
                self.take(kind as u32);
            }
            return;
        };
        while self.used_of_pack.len() <= stock.pack as usize {
            if !self.open_pack(random) {
                return;
            }
        }
        let in_pack = self.fresh.iter().filter(|(_, kind)| *kind / random.per_pack == stock.pack);
        let off = |length: f64| (length - stock.length).abs();
        let nearest = in_pack.min_by(|a, b| off(a.0).total_cmp(&off(b.0)));
        if let Some(kind) = nearest.map(|(_, kind)| *kind) {
            self.take(kind);
        }
    }

    /// Takes a board of a kind off the shelf.
    pub(crate) fn take(&mut self, kind: u32) {
        let Some(random) = self.random else {
            self.kinds[kind as usize].used += 1;
            self.used += 1;
            self.balance();
            return;
        };
        if let Ok(place) = self.place(kind) {
            self.fresh_wood -= self.fresh.remove(place).0;
        }
        let used = &mut self.used_of_pack[(kind / random.per_pack) as usize];
        *used += 1;
        self.empty_packs += usize::from(*used == random.per_pack);
        self.top_up();
    }

    /// Puts a board back that was not cut after all.
    pub(crate) fn put_back(&mut self, kind: u32) {
        let Some(random) = self.random else {
            self.kinds[kind as usize].used -= 1;
            self.used -= 1;
            self.balance();
            return;
        };
        if let Err(place) = self.place(kind) {
            self.fresh.insert(place, (self.lengths[kind as usize], kind));
            self.fresh_wood += self.lengths[kind as usize];
        }
        let used = &mut self.used_of_pack[(kind / random.per_pack) as usize];
        self.empty_packs -= usize::from(*used == random.per_pack);
        *used -= 1;
    }

    /// Reckons what each length's lead costs; asked for far more often than boards are taken.
    fn balance(&mut self) {
        let all = self.filled();
        let [behind, ahead, watched] = MOST_LEADS;
        let most = if self.is_watching { watched } else { ahead };
        for kind in &mut self.kinds {
            let lead = f64::from(kind.used) / f64::from(kind.per_pack.max(1)) - all;
            kind.lead = BALANCE * lead.clamp(behind, most);
        }
    }

    /// Packs that the boards used would fill.
    fn filled(&self) -> f64 {
        f64::from(self.used) / f64::from(self.in_pack.max(1))
    }

    /// Packs that hold as much wood as is used, whatever lengths it is: no fewer serve.
    pub(crate) fn fewest_packs(&self) -> u32 {
        let used: f64 = self.kinds.iter().map(|kind| kind.length * f64::from(kind.used)).sum();
        (used / self.pack_wood().max(1.0)).ceil() as u32
    }

    /// Whether packs are bought for one length while boards of the others stay whole in many of them.
    pub(crate) fn is_lopsided(&self) -> bool {
        let is_mixed = self.random.is_none() && self.kinds.len() > 1;
        is_mixed && f64::from(self.packs_used()) > LOPSIDED * self.filled() + 1.0
    }

    /// Counts a length that leads as waste from now on, or no longer.
    pub(crate) fn watch(&mut self, is_watching: bool) {
        self.is_watching = is_watching;
        self.balance();
    }

    /// What of the others stays whole in its packs for a board of a kind that leads, mm of board; nothing where leads are not
    /// watched.
    pub(crate) fn left_whole(&self, kind: u32) -> f64 {
        let lead = self.kinds.get(kind as usize).filter(|_| self.is_watching).map_or(0.0, |kind| kind.lead);
        if lead > BALANCE * WATCHED { lead } else { 0.0 }
    }

    fn place(&self, kind: u32) -> Result<usize, usize> {
        let length = self.lengths[kind as usize];
        self.fresh.binary_search_by(|(l, k)| l.total_cmp(&length).then(k.cmp(&kind)))
    }

    /// Whether one more board of a kind is at hand when these are spoken for.
    fn has(&self, kind: usize, spoken: &[u32]) -> bool {
        let k = &self.kinds[kind];
        let drawn = || spoken.iter().filter(|other| **other as usize == kind).count() as u64;
        k.per_pack > 0
            && self
                .packs
                .is_none_or(|packs| u64::from(k.used) + drawn() < u64::from(packs) * u64::from(k.per_pack))
    }

    /// Boards at least this long, the closest fits first; of random lengths only the closest fit and the
    /// closest that leaves `worth` as well.
    pub(crate) fn fits(&self, length: f64, worth: f64, spoken: &[u32], found: &mut Vec<u32>) {
        found.clear();
        if self.random.is_some() {
            for least in [length, length + worth] {
                let first = self.fresh.partition_point(|(l, _)| l + EXACT < least);
                let fit = self.fresh[first..].iter().find(|(_, kind)| !spoken.contains(kind));
                found.extend(fit.map(|(_, kind)| *kind));
            }
            return;
        }
        let fits = |i: &usize| self.kinds[*i].length + EXACT >= length && self.has(*i, spoken);
        found.extend((0..self.kinds.len()).filter(fits).map(|i| i as u32));
    }

    /// Whether a board so long is at hand whatever is spoken for.
    pub(crate) fn never_lacks(&self, length: f64) -> bool {
        let is_endless = self.random.is_none() && self.packs.is_none();
        is_endless && self.kinds.iter().any(|kind| kind.per_pack > 0 && kind.length + EXACT >= length)
    }

    /// The boards that may be drawn; `None` where lengths are random or packs may run out.
    pub(crate) fn menu(&self) -> Option<Menu> {
        let is_endless = self.random.is_none() && self.packs.is_none();
        let dish = |kind: u32| Dish {
            length: self.length(kind),
            share: u64::from(self.kinds[kind as usize].per_pack),
            price: self.price(kind),
            left_whole: self.left_whole(kind),
        };
        is_endless.then(|| Menu::new((0..self.kinds.len() as u32).map(dish)))
    }

    /// Some board no longer than `most` by chance, with the shortest tried last so that one is found if there is one.
    pub(crate) fn some(&self, most: f64, spoken: &[u32], rng: &mut Pcg64Mcg) -> Option<u32> {
        if self.random.is_some() {
            let count = self.fresh.partition_point(|(l, _)| *l <= most + EXACT);
            let start = below(rng, count);
            return (0..count).map(|i| self.fresh[(start + i) % count].1).find(|kind| !spoken.contains(kind));
        }
        let fits = |i: &usize| self.kinds[*i].length <= most + EXACT && self.has(*i, spoken);
        let total: u64 = (0..self.kinds.len()).filter(fits).map(|i| u64::from(self.kinds[i].per_pack)).sum();
        let mut ticket = below(rng, total as usize) as u64;
        for i in (0..self.kinds.len()).filter(fits) {
            let share = u64::from(self.kinds[i].per_pack);
            if ticket < share {
                return Some(i as u32);
            }
            ticket -= share;
        }
        None
    }

    /// The next board after this one that is no longer than `most`, in the order of the shelf, going round once.
    pub(crate) fn next(&self, kind: u32, most: f64, spoken: &[u32]) -> Option<u32> {
        if self.random.is_some() {
            let count = self.fresh.partition_point(|(l, _)| *l <= most + EXACT);
            // Boards beside it are as long; a third of the way round they are not.
            let place = self.place(kind).ok()? + 1 + count / 3;
            let round = (0..count).map(|i| self.fresh[(place + i) % count].1);
            return round.into_iter().find(|other| *other != kind && !spoken.contains(other));
        }
        let count = self.kinds.len();
        let after = kind as usize + 1;
        let mut round = (after..count).chain(0..kind as usize);
        round.find(|i| self.kinds[*i].length <= most + EXACT && self.has(*i, spoken)).map(|i| i as u32)
    }

    /// The shortest board on the shelf.
    pub(crate) fn shortest(&self, spoken: &[u32]) -> Option<u32> {
        if self.random.is_some() {
            return self.fresh.iter().map(|(_, kind)| *kind).find(|kind| !spoken.contains(kind));
        }
        let at_hand = (0..self.kinds.len()).filter(|i| self.has(*i, spoken));
        at_hand.min_by(|a, b| self.kinds[*a].length.total_cmp(&self.kinds[*b].length)).map(|i| i as u32)
    }

    /// What a board of a kind costs when it is opened, mm of board.
    pub(crate) fn price(&self, kind: u32) -> f64 {
        let own = self.length(kind) + self.per_board;
        if let Some(random) = self.random {
            let pack = kind / random.per_pack;
            return if pack < self.packs_used() { own } else { own + 0.1 * self.pack_wood() };
        }
        let k = &self.kinds[kind as usize];
        if self.balancing {
            return own + k.lead;
        }
        // A board of a pack that is open anyhow costs no more than itself.
        let beyond = (k.used + 1).div_ceil(k.per_pack.max(1)) > self.packs_used().max(self.target);
        own + if beyond { self.pack_wood() / f64::from(k.per_pack.max(1)) } else { 0.0 }
    }

    /// What boards of a kind cost whichever pack they are from, mm of board.
    pub(crate) fn plain_price(&self, kind: u32) -> f64 {
        self.length(kind) + self.per_board
    }

    /// Wood in all packs from which boards are used, mm.
    pub(crate) fn packs_wood(&self) -> f64 {
        self.pack_wood() * f64::from(self.packs_used())
    }

    /// What the packs opened beyond the target cost, mm of board.
    pub(crate) fn packs_price(&self) -> f64 {
        if self.random.is_some() {
            return 0.1 * self.pack_wood() * f64::from(self.packs_used());
        }
        let share = |kind: &Kind| f64::from(kind.used) / f64::from(kind.per_pack.max(1));
        let most = self.kinds.iter().map(share).fold(0.0, f64::max);
        self.pack_wood() * (most - f64::from(self.target)).max(0.0)
    }

    /// Packs from which the boards used can be taken.
    pub(crate) fn packs_used(&self) -> u32 {
        if self.random.is_some() {
            return self.used_of_pack.iter().rposition(|used| *used > 0).map_or(0, |last| last as u32 + 1);
        }
        let packs = self.kinds.iter().filter(|k| k.per_pack > 0).map(|k| k.used.div_ceil(k.per_pack));
        packs.max().unwrap_or(0)
    }

    /// The pack a random board was drawn from.
    pub(crate) fn pack_of(&self, kind: u32) -> Option<usize> {
        self.random.map(|random| (kind / random.per_pack.max(1)) as usize)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::BoardLength;

    #[test]
    fn a_board_opened_before_is_off_the_shelf() {
        let lengths = [2200.0, 1100.0].map(|length| BoardLength { length, per_pack: 4 }).to_vec();
        let mut shelf = Shelf::new(&Stock { lengths, ..Stock::default() }, 0, 4000.0);
        shelf.was_opened(&LaidStock { length: 1100.0, pack: 0, rest: None, rest_shifts: None });
        assert_eq!(shelf.kinds.iter().map(|kind| kind.used).collect::<Vec<_>>(), [0, 1]);
    }

    fn random(shortest: f64, longest: f64, per_pack: u32) -> Shelf {
        let random = Some(RandomLengths { shortest, longest, per_pack });
        Shelf::new(&Stock { lengths: Vec::new(), random, ..Stock::default() }, 7, 4000.0)
    }

    /// Steps of 10 from 600 to 2000, each as likely: of n of them the middle is 1300 and strays by 1400 / √12 / √n; five
    /// times that is never seen. Every step but a few in a hundred of 141 is drawn among 1000 (each is missed with e^−7).
    #[test]
    fn every_length_is_drawn_as_often() {
        let shelf = random(600.0, 2000.0, 1000);
        let all = &shelf.lengths[..1000];
        assert!(all.iter().all(|length| (600.0..=2000.0).contains(length) && (length / 10.0).fract() == 0.0));
        let mean = all.iter().sum::<f64>() / 1000.0;
        assert!((mean - 1300.0).abs() < 5.0 * 1400.0 / (12.0_f64 * 1000.0).sqrt(), "{mean}");
        let mut steps: Vec<u64> = all.iter().map(|length| length.to_bits()).collect();
        steps.sort_unstable();
        steps.dedup();
        assert!(steps.len() > 135, "{}", steps.len());
    }

    /// A board exactly as long as the piece fits, and one that rounding has made a hair too short; a millimetre less does not.
    #[test]
    fn a_board_as_long_as_the_piece_fits() {
        let shelf = random(600.0, 2000.0, 30);
        let mut found = Vec::new();
        for place in [0, 20, 45, 89] {
            let (length, _) = shelf.fresh[place];
            let closest = |asked: f64, found: &mut Vec<u32>| {
                shelf.fits(asked, 0.0, &[], found);
                found.first().map(|kind| shelf.length(*kind))
            };
            assert_eq!(closest(length, &mut found), Some(length));
            assert_eq!(closest(length + EXACT / 2.0, &mut found), Some(length));
            assert!(closest(length + 1.0, &mut found).is_none_or(|other| other > length));
        }
    }

    /// Nine boards in a pack of three lengths each: from any of them the next is the one a third of the way round past its
    /// neighbour, here four places on, by counting them off.
    #[test]
    fn the_next_board_is_one_of_another_length() {
        let shelf = random(600.0, 2000.0, 3);
        assert_eq!(shelf.fresh.len(), 9);
        for (place, (_, kind)) in shelf.fresh.iter().enumerate() {
            let expected = shelf.fresh[(place + 4) % 9].1;
            assert_eq!(shelf.next(*kind, 2000.0, &[]), Some(expected), "{place}");
            // Where that one is spoken for, the one after it.
            assert_eq!(shelf.next(*kind, 2000.0, &[expected]), Some(shelf.fresh[(place + 5) % 9].1));
        }
    }

    /// Packs of one long board and four short ones, ten long boards drawn and none of the others: ten packs are bought, the
    /// boards fill two, and their 19,000 mm are the wood of 2.75 packs of 6900. The long ones lead by 10 − 10 / 5 = 8 packs,
    /// 8 · 400 mm, of which 4 count until leads are watched.
    #[test]
    fn a_length_that_is_drawn_alone_leaves_packs_lopsided() {
        let lengths =
            vec![BoardLength { length: 1900.0, per_pack: 1 }, BoardLength { length: 1250.0, per_pack: 4 }];
        let mut shelf = Shelf::new(&Stock { lengths, ..Stock::default() }, 0, 4000.0);
        (0..10).for_each(|_| shelf.take(0));
        assert!(shelf.is_lopsided());
        assert_eq!(shelf.fewest_packs(), 3);
        assert_eq!((shelf.price(0), shelf.left_whole(0)), (1900.0 + 800.0 + 1600.0, 0.0));
        shelf.watch(true);
        assert_eq!((shelf.price(0), shelf.left_whole(0), shelf.left_whole(1)), (5900.0, 3200.0, 0.0));
        // Forty short ones more, and every pack is used up.
        (0..40).for_each(|_| shelf.take(1));
        assert!(!shelf.is_lopsided());
        assert_eq!(shelf.fewest_packs(), 10);
        assert_eq!((shelf.packs_used(), shelf.price(0), shelf.left_whole(0)), (10, 2700.0, 0.0));
    }
}
