//! Which pack each board is drawn from, so that lots mix on the floor.

use crate::shelf::OPEN_PACKS;
use crate::yard::below;
use plan::Stock;
use rand_core::SeedableRng;
use rand_pcg::Pcg64Mcg;

/// Keeps the lots' chance apart from the joints'.
const OWN_CHANCE: u64 = 0x4c4f_5453;

/// Packs opened in order, three at a time where the floor needs so many.
#[derive(Debug)]
pub(crate) struct Lots {
    per_pack: Vec<u32>,
    /// Packs the floor needs in all.
    packs: usize,
    /// Open packs: number and boards left in it of each length.
    open: Vec<(usize, Vec<u32>)>,
    opened: usize,
    rng: Pcg64Mcg,
}

impl Lots {
    pub(crate) fn new(stock: &Stock, seed: u64, packs: u32) -> Self {
        let per_pack: Vec<u32> = stock.lengths.iter().map(|l| l.per_pack).collect();
        let rng = Pcg64Mcg::seed_from_u64(seed ^ OWN_CHANCE);
        Self { per_pack, packs: packs as usize, open: Vec::new(), opened: 0, rng }
    }

    /// The pack that the next board of a length comes from.
    pub(crate) fn draw(&mut self, length: usize) -> usize {
        self.open.retain(|(_, left)| left.iter().any(|n| *n > 0));
        while self.open.len() < OPEN_PACKS && self.opened < self.packs {
            self.open_next();
        }
        // Packs of many lengths run out of one before the others: then the next is opened for its sake.
        while !self.open.iter().any(|(_, left)| left[length] > 0) && self.per_pack[length] > 0 {
            self.open_next();
        }
        let holders = self.open.iter().filter(|(_, left)| left[length] > 0).count();
        let place = below(&mut self.rng, holders);
        let Some((pack, left)) = self.open.iter_mut().filter(|(_, left)| left[length] > 0).nth(place) else {
            return 0;
        };
        left[length] -= 1;
        *pack
    }

    /// Takes out a board that was drawn before.
    pub(crate) fn take(&mut self, pack: usize, length: usize) {
        while self.opened <= pack && self.opened < self.packs {
            self.open_next();
        }
        let left = self.open.iter_mut().find(|(number, _)| *number == pack);
        if let Some(left) = left.and_then(|(_, left)| left.get_mut(length)) {
            *left = left.saturating_sub(1);
        }
    }

    fn open_next(&mut self) {
        self.open.push((self.opened, self.per_pack.clone()));
        self.opened += 1;
    }
}
