//! Offcuts by length, in chunks, so that putting one in stays cheap however many there are.

use std::cmp::Ordering;

/// A chunk this long is parted.
const LONGEST: usize = 256;

/// A bar and what is free of it, mm.
pub(crate) type Entry = (f64, u32);

/// Entries in order of length, then number.
#[derive(Debug, Clone, Default)]
pub(crate) struct Ranked {
    /// Sorted, one after another; none is empty.
    chunks: Vec<Vec<Entry>>,
    len: usize,
}

impl Ranked {
    pub(crate) fn len(&self) -> usize {
        self.len
    }

    /// The entry at a place.
    pub(crate) fn get(&self, place: usize) -> Option<&Entry> {
        let mut place = place;
        for chunk in &self.chunks {
            if place < chunk.len() {
                return chunk.get(place);
            }
            place -= chunk.len();
        }
        None
    }

    /// Entries at least this long, the shortest first.
    pub(crate) fn from(&self, least: f64) -> impl Iterator<Item = &Entry> {
        let first = self.chunks.partition_point(|chunk| chunk.last().is_some_and(|last| last.0 < least));
        let skipped =
            self.chunks.get(first).map_or(0, |chunk| chunk.partition_point(|entry| entry.0 < least));
        self.chunks[first..].iter().flatten().skip(skipped)
    }

    pub(crate) fn insert(&mut self, entry: Entry) {
        if self.chunks.is_empty() {
            self.chunks.push(Vec::new());
        }
        let number = self.chunk_of(&entry).min(self.chunks.len() - 1);
        let chunk = &mut self.chunks[number];
        if let Err(place) = chunk.binary_search_by(|other| order(other, &entry)) {
            chunk.insert(place, entry);
            self.len += 1;
        }
        if self.chunks[number].len() >= LONGEST {
            let upper = self.chunks[number].split_off(LONGEST / 2);
            self.chunks.insert(number + 1, upper);
        }
    }

    pub(crate) fn remove(&mut self, entry: &Entry) {
        let number = self.chunk_of(entry);
        let Some(chunk) = self.chunks.get_mut(number) else { return };
        if let Ok(place) = chunk.binary_search_by(|other| order(other, entry)) {
            chunk.remove(place);
            self.len -= 1;
            if chunk.is_empty() {
                self.chunks.remove(number);
            }
        }
    }

    /// The chunk that holds an entry, if any does.
    fn chunk_of(&self, entry: &Entry) -> usize {
        self.chunks.partition_point(|chunk| chunk.last().is_some_and(|last| order(last, entry).is_lt()))
    }
}

fn order(a: &Entry, b: &Entry) -> Ordering {
    a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))
}
