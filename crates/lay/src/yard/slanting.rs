//! Pieces with slanting ends on the boards in hand.

use super::bar::NEEDS;
use super::{Bar, NONE, Need, WORTH_KEEPING, Want, Yard};
use crate::nest::{Nested, Parting, SQUARE, Shifts};
use crate::ranked::Ranked;
use crate::shelf::EXACT;
use smallvec::SmallVec;

impl Yard {
    /// Has pieces with slanting ends share saw cuts. `slants` are those that are told apart, mm over the pitch.
    pub(crate) fn nest(&mut self, slants: Vec<f64>, pitch: f64) {
        self.parting = Parting { kerf: self.kerf, pitch, end_match: self.end_match };
        self.nests = vec![Default::default(); slants.len()];
        self.slants = slants;
    }

    pub(crate) fn parting(&self) -> Parting {
        self.parting
    }

    /// How long a piece with these ends a bar gives, mm.
    pub(crate) fn room(&self, number: u32, need: Need, shifts: Shifts) -> f64 {
        let bar = &self.bars[number as usize];
        bar.free + self.saved_more(bar, &Want { length: 0.0, need, shifts })
    }

    /// What the pieces of a bar save by a further one, mm; less than nothing where it keeps others apart.
    pub(super) fn saved_more(&self, bar: &Bar, want: &Want) -> f64 {
        match &bar.nest {
            Some(nest) if bar.class == 0 => {
                let saved = self.parting.saved(nest, &[want.nested(NONE)]);
                saved.map_or(f64::NEG_INFINITY, |saved| saved - nest.saved)
            }
            _ => 0.0,
        }
    }

    /// Where boards stand on which a slanting end of a piece saves wood, by the room they have for it.
    pub(super) fn nests_for(&self, want: &Want) -> impl Iterator<Item = &Ranked> {
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

    /// Takes pieces with slanting ends for what is left of their bar once they are placed on it: nothing nests there any
    /// more.
    pub(crate) fn settle(&mut self, number: u32, free: f64) {
        self.strike(number);
        let bar = &mut self.bars[number as usize];
        (bar.free, bar.nest) = (free, None);
        self.enlist(number);
    }

    /// Notes a piece among those of its bar, or takes it out, and reckons anew what they save.
    pub(super) fn note(&mut self, number: u32, piece: Nested, is_cut: bool) {
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

    /// Puts a bar with slanting ends into its pools, by the room it has for square pieces and for those of each slant by
    /// which it saves wood.
    pub(super) fn enlist_nest(&mut self, number: u32) {
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
    pub(super) fn nest_pool(&mut self, pool: u16) -> &mut Ranked {
        match usize::from(pool).checked_sub(NEEDS.len()) {
            Some(nest) => &mut self.nests[nest / 4][nest % 4],
            None => &mut self.pools[0][usize::from(pool)],
        }
    }
}
