//! Names that no two things share.

use std::collections::{BTreeMap, BTreeSet};

/// Names that are taken.
#[derive(Debug, Default)]
pub(crate) struct Names {
    taken: BTreeSet<String>,
    /// The number to try next behind a name.
    next: BTreeMap<String, usize>,
}

impl Names {
    pub(crate) fn of<'a>(taken: impl Iterator<Item = &'a str>) -> Self {
        Self { taken: taken.map(str::to_owned).collect(), next: BTreeMap::new() }
    }

    /// The name itself, or with the first number from 2 that makes it free.
    pub(crate) fn free(&mut self, name: &str) -> String {
        if self.taken.insert(name.to_owned()) { name.to_owned() } else { self.counted(name, 2) }
    }

    /// The name with the first number from 1 that makes it free.
    pub(crate) fn next(&mut self, name: &str) -> String {
        self.counted(name, 1)
    }

    fn counted(&mut self, name: &str, from: usize) -> String {
        let next = self.next.entry(name.to_owned()).or_insert(from);
        loop {
            let full = format!("{name} {next}");
            *next += 1;
            if self.taken.insert(full.clone()) {
                return full;
            }
        }
    }
}
