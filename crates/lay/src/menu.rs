//! What a shelf offers while one run is laid.

use crate::shelf::EXACT;
use crate::yard::below;
use rand_pcg::Pcg64Mcg;
use smallvec::SmallVec;

/// Boards of one length as they are offered while one run is laid.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Dish {
    pub(crate) length: f64,
    /// How many of them are in a pack.
    pub(crate) share: u64,
    pub(crate) price: f64,
    pub(crate) left_whole: f64,
}

/// The boards of a shelf that never runs out, by kind, while nothing is taken off it: asked for at every joint that is tried.
#[derive(Debug, Clone)]
pub(crate) struct Menu(SmallVec<[Dish; 4]>);

impl Menu {
    pub(crate) fn new(dishes: impl Iterator<Item = Dish>) -> Self {
        Self(dishes.collect())
    }

    pub(crate) fn length(&self, kind: u32) -> f64 {
        self.0[kind as usize].length
    }

    /// What a board costs that is opened and used whole, and the wood that stays whole in its pack for it, mm.
    pub(crate) fn whole(&self, kind: u32) -> (f64, f64) {
        let Dish { price, left_whole, .. } = self.0[kind as usize];
        (price, left_whole)
    }

    /// What any board costs at least when it is opened.
    pub(crate) fn least_price(&self) -> f64 {
        self.0.iter().map(|dish| dish.price).fold(f64::INFINITY, f64::min)
    }

    /// See [`crate::shelf::Shelf::some`].
    pub(crate) fn some(&self, most: f64, rng: &mut Pcg64Mcg) -> Option<u32> {
        let share = |dish: &Dish| if dish.length <= most + EXACT { dish.share } else { 0 };
        let total: u64 = self.0.iter().map(share).sum();
        let mut ticket = below(rng, total as usize) as u64;
        for (kind, dish) in self.0.iter().enumerate() {
            let share = share(dish);
            if ticket < share {
                return Some(kind as u32);
            }
            ticket -= share;
        }
        None
    }

    /// See [`crate::shelf::Shelf::next`].
    pub(crate) fn next(&self, kind: u32, most: f64) -> Option<u32> {
        let after = kind as usize + 1;
        let mut round = (after..self.0.len()).chain(0..kind as usize);
        let fits = |i: &usize| self.0[*i].share > 0 && self.0[*i].length <= most + EXACT;
        round.find(fits).map(|i| i as u32)
    }
}

#[cfg(test)]
mod tests {
    use crate::shelf::Shelf;
    use plan::{BoardLength, Stock};
    use rand_core::SeedableRng;
    use rand_pcg::Pcg64Mcg;

    /// Of every stock, with a length that no pack holds, what the shelf itself gives, by the same throws.
    #[test]
    fn a_menu_offers_what_the_shelf_does() {
        for (number, lengths) in
            [vec![2200.0], vec![2200.0, 1800.0, 1100.0], vec![900.0, 2400.0, 1500.0, 1200.0, 600.0]]
                .into_iter()
                .enumerate()
        {
            let per_pack = |place: usize| if place == 1 { 0 } else { 1 + (place as u32 * 5) % 4 };
            let lengths = lengths.into_iter().enumerate();
            let lengths = lengths.map(|(i, length)| BoardLength { length, per_pack: per_pack(i) }).collect();
            let mut shelf = Shelf::new(&Stock { lengths, ..Stock::default() }, 0, 4000.0);
            (0..7).for_each(|_| shelf.take(0));
            let menu = shelf.menu().expect("packs without end");
            let [mut one, mut other] = [0, 0].map(|_| Pcg64Mcg::seed_from_u64(number as u64));
            for most in [f64::INFINITY, 2300.0, 1800.0, 1500.0, 1199.0, 1000.0, 500.0].repeat(20) {
                let drawn = menu.some(most, &mut one);
                assert_eq!(drawn, shelf.some(most, &[], &mut other), "{most}");
                assert_eq!(one, other, "a throw more or less");
                let Some(kind) = drawn else { continue };
                assert_eq!(menu.next(kind, most), shelf.next(kind, most, &[]));
                assert_eq!((menu.length(kind), menu.whole(kind).0), (shelf.length(kind), shelf.price(kind)));
                assert!(menu.least_price() <= shelf.price(kind));
            }
        }
    }

    /// A board of random length, or the last of what is on hand, is not there for every run: such a shelf has no menu.
    #[test]
    fn what_may_run_out_has_no_menu() {
        let lengths = vec![BoardLength { length: 2200.0, per_pack: 4 }];
        let counted = Stock { lengths: lengths.clone(), packs: Some(3), ..Stock::default() };
        assert!(Shelf::new(&counted, 0, 4000.0).menu().is_none());
        let random = Some(plan::RandomLengths { shortest: 600.0, longest: 2000.0, per_pack: 8 });
        let random = Stock { lengths: Vec::new(), random, ..Stock::default() };
        assert!(Shelf::new(&random, 0, 4000.0).menu().is_none());
    }
}
