//! What rows are called where rooms have lines of their own.

use crate::House;
use std::collections::BTreeMap;

impl House {
    /// A sentence for each letter that stands before rows' numbers: whose rows they are. None where all are counted from one
    /// line.
    pub fn letter_words(&self) -> Vec<String> {
        let mut rooms: BTreeMap<(usize, &str), Vec<&str>> = BTreeMap::new();
        for choice in &self.setout.regions {
            let letter = self.floor.letter(self.site.region_of(choice.region));
            let names = choice.rooms.iter().filter_map(|room| self.plan.rooms.get(*room));
            if !letter.is_empty() {
                // `A` to `Z` stand before `AA`.
                rooms.entry((letter.len(), letter)).or_default().extend(names.map(|room| room.name.as_str()));
            }
        }
        let words = |((_, letter), rooms): ((usize, &str), Vec<&str>)| {
            let example = self.first_row_of(letter).map_or_else(String::new, |row| format!(", as {row}"));
            format!(
                "Rows in {} are counted from a line of their own: {letter} stands before them{example}.",
                rooms.join(", ")
            )
        };
        rooms.into_iter().map(words).collect()
    }

    /// The name of the lowest row of a letter.
    fn first_row_of(&self, letter: &str) -> Option<String> {
        let runs = self.floor.runs.iter().filter(|run| self.floor.letter(run.region) == letter);
        let lowest = runs.min_by_key(|run| run.row)?;
        Some(self.floor.row_name(lowest.region, lowest.row))
    }
}
