//! Rows that are counted from a line of a room's own have a letter, so that no row of the house is called as another.

use crate::Floor;
use plan::{ONE_LINE, Plan};
use setout::SetOut;
use site::{Region, Site, Source};
use std::collections::{BTreeMap, BTreeSet};

/// Letters before a row's number. `B` stands before a border's course; `I` and `O` read as figures.
const LETTERS: &[u8] = b"ACDEFGHJKLMNPQRSTUVWXYZ";

/// Gives the rows of each line beside the house's a letter, and names every board by it.
pub(crate) fn name_rows(plan: &Plan, site: &Site, setout: &SetOut, floor: &mut Floor) {
    floor.letters = letters(plan, site, setout, floor.lines.len());
    if !floor.letters.is_empty() {
        label(floor);
    }
}

/// What stands before the number of each region's rows; nothing at all where all rows go by one line.
///
/// The plan alone says whose they are, by its list of own lines: what lies keeps its label, whatever is set out round it, and a
/// line that is added later takes no letter away. Floors of one row that are not named there come after it; what lies in one is.
fn letters(plan: &Plan, site: &Site, setout: &SetOut, regions: usize) -> Vec<String> {
    let place = |choice: &setout::RegionChoice| {
        let is_of = |own: &plan::OwnLine| {
            let mut rooms = choice.rooms.iter().filter_map(|room| plan.rooms.get(*room));
            rooms.any(|room| room.name == own.room)
        };
        plan.own_lines.iter().position(is_of)
    };
    let mut all = vec![String::new(); regions];
    let lines = |part: usize| setout.line_as_shared(part);
    let mut next = plan.own_lines.len();
    for choice in setout.regions.iter().filter(|choice| choice.has_own) {
        let is_laid = setout.laid.get(choice.region).is_some_and(Option::is_some);
        let place = match place(choice) {
            Some(place) => place,
            None if is_laid => continue,
            None => {
                next += 1;
                next - 1
            }
        };
        // Movement joints part a floor, but not its rows.
        let is_led = |part: &usize| {
            let mut rooms = site.fields().get(*part).into_iter().flat_map(rooms_of);
            rooms.all(|room| choice.rooms.contains(&room))
                && (lines(*part) - lines(choice.region)).abs() <= ONE_LINE
        };
        for part in (0..site.fields().len()).filter(|part| *part == choice.region || is_led(part)) {
            if let Some(letter_of) = all.get_mut(site.region_of(part)) {
                *letter_of = letter(place);
            }
        }
    }
    if all.iter().all(String::is_empty) { Vec::new() } else { all }
}

/// The rooms whose walls bound a part of the floor.
fn rooms_of(region: &Region) -> impl Iterator<Item = usize> + '_ {
    region.edges().filter_map(|edge| match edge.source {
        Source::Wall { room, .. } => Some(room),
        _ => None,
    })
}

/// The letter of a line by its place in the plan: `A`, `C` and so on, then two of them.
fn letter(place: usize) -> String {
    let (before, last) = (place / LETTERS.len(), char::from(LETTERS[place % LETTERS.len()]));
    match before {
        0 => last.to_string(),
        before => format!("{}{last}", letter(before - 1)),
    }
}

/// Labels every board anew by its row's name: laid ones keep their numbers in the row, the others take those that are free, in
/// the order of the numbers they have.
fn label(floor: &mut Floor) {
    let number = |label: &str| label.rsplit('-').next().and_then(|number| number.parse::<u32>().ok());
    let mut rows: BTreeMap<(&str, i32), Vec<(u32, usize)>> = BTreeMap::new();
    for (index, board) in floor.boards.iter().enumerate() {
        let row = (floor.letter(board.region), board.row);
        rows.entry(row).or_default().push((number(&board.label).unwrap_or_default(), index));
    }
    let mut labels: Vec<(usize, String)> = Vec::with_capacity(floor.boards.len());
    for ((letter, row), mut boards) in rows {
        boards.sort_unstable();
        let kept = boards.iter().filter(|(_, board)| floor.is_laid(*board));
        let used: BTreeSet<u32> = kept.map(|(number, _)| *number).collect();
        let mut free = (1..).filter(|number| !used.contains(number));
        for (number, board) in boards {
            let number = if floor.is_laid(board) { Some(number) } else { free.next() };
            let number = number.unwrap_or_default();
            labels.push((board, format!("{letter}{}-{number}", floor.row_number(row))));
        }
    }
    for (board, label) in labels {
        floor.boards[board].label = label;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_past_the_last_one() {
        let all: Vec<String> = (0..3 * LETTERS.len()).map(letter).collect();
        assert_eq!((all[0].as_str(), all[1].as_str(), all[22].as_str()), ("A", "C", "Z"));
        assert_eq!((all[23].as_str(), all[24].as_str(), all[46].as_str()), ("AA", "AC", "CA"));
        let apart: BTreeSet<&String> = all.iter().collect();
        assert_eq!(apart.len(), all.len());
        assert!(all.iter().all(|letter| !letter.starts_with('B')));
    }
}
