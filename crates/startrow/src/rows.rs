//! Rows and boards as they are typed: by their names on paper, or counted from the start line.

use anyhow::bail;
use pipeline::{House, LaidError};
use std::ops::RangeInclusive;

/// Rows by their names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Rows {
    /// What stands before their numbers.
    letter: String,
    /// Their numbers.
    pub(crate) numbers: RangeInclusive<i32>,
}

impl Rows {
    /// Whether a board lies in one of them: where no letter was typed, a room that is named says which line they are counted
    /// from, and the house's line is meant where none is.
    fn has(&self, house: &House, board: usize, region: Option<usize>) -> bool {
        let Some(board) = house.floor.boards.get(board) else { return false };
        let is_by_room = self.letter.is_empty() && region.is_some();
        self.numbers.contains(&house.floor.row_number(board.row))
            && (is_by_room || house.floor.letter(board.region) == self.letter)
    }

    /// Their boards; of one region where that is named.
    ///
    /// # Errors
    /// When a row has no boards there.
    pub(crate) fn boards(&self, house: &House, region: Option<usize>) -> Result<Vec<usize>, LaidError> {
        let floor = &house.floor;
        if floor.letters.is_empty() && self.letter.is_empty() {
            return house.boards_of_rows(self.numbers.clone(), region);
        }
        let number = |board: &usize| floor.row_number(floor.boards[*board].row);
        let all = Self { letter: self.letter.clone(), numbers: i32::MIN..=i32::MAX };
        let is_here = |board: &usize| {
            !floor.boards[*board].in_border && region.is_none_or(|r| floor.boards[*board].region == r)
        };
        let here: Vec<usize> =
            (0..floor.boards.len()).filter(is_here).filter(|board| all.has(house, *board, region)).collect();
        let ends = [*self.numbers.start(), *self.numbers.end()];
        let missing = ends.into_iter().find(|row| !here.iter().any(|board| number(board) == *row));
        if let Some(row) = missing {
            let rows = || here.iter().map(number);
            let (lowest, highest) = (rows().min().unwrap_or(0), rows().max().unwrap_or(0));
            return Err(LaidError::Row { row, lowest, highest });
        }
        Ok(here.into_iter().filter(|board| self.has(house, *board, region)).collect())
    }

    /// A room in which most of them lie, where rows are counted from several lines.
    pub(crate) fn room(&self, house: &House) -> Option<String> {
        let laid = house.plan.laid.as_ref().filter(|_| !house.floor.letters.is_empty())?;
        let mut counts = vec![0_usize; laid.parts.len()];
        for (board, of) in house.floor.laid.of_board.iter().enumerate() {
            let Some(part) = of.and_then(|of| laid.boards.get(of)).map(|board| board.part) else { continue };
            if self.has(house, board, None)
                && let Some(count) = counts.get_mut(part)
            {
                *count += 1;
            }
        }
        let most = counts.iter().enumerate().max_by(|a, b| a.1.cmp(b.1).then(b.0.cmp(&a.0)))?;
        laid.parts.get(most.0).filter(|_| *most.1 > 0).map(|part| part.room.clone())
    }
}

/// A row's letter, and what stands behind it.
fn lettered(text: &str) -> (String, String) {
    let text = text.trim().to_ascii_uppercase();
    let figures = text.trim_start_matches(|letter: char| letter.is_ascii_uppercase());
    (text[..text.len() - figures.len()].to_owned(), figures.to_owned())
}

/// The board with a label. One that was marked before its room's rows had a letter is found by its label without it, too.
///
/// # Errors
/// When there is none.
pub(crate) fn board_called(house: &House, label: &str) -> Result<usize, LaidError> {
    let found = house.board_called(&label.trim().to_ascii_uppercase());
    found.or_else(|unknown| {
        let is_it = |board: &usize| {
            house.floor.is_laid(*board) && lettered(&house.floor.boards[*board].label).1 == label.trim()
        };
        let mut known = (0..house.floor.boards.len()).filter(is_it);
        match (known.next(), known.next()) {
            (Some(board), None) => Ok(board),
            _ => Err(unknown),
        }
    })
}

/// Why rows counted from the start line do not all lie in a room's floor.
pub(crate) fn counted_past(
    house: &House,
    (typed, room): (&str, &str),
    numbers: RangeInclusive<i32>,
    (lowest, highest): (i32, i32),
) -> String {
    let (first, last) = (*numbers.start(), *numbers.end());
    let rows = if first == last { format!("row {first}") } else { format!("rows {first} to {last}") };
    // The start line lies under row 0.
    let line = house.floor.row_number(0);
    let is_outside = line < lowest || line > highest.saturating_add(1);
    let outside = if is_outside { ", and the start line lies outside it" } else { "" };
    format!(
        "`{typed}`, counted from the start line, is {rows}; the floor of `{room}` has rows {lowest} to {highest}{outside}: \
         name them by their numbers, as `{lowest}..{highest}`"
    )
}

/// Rows as typed, by their numbers on paper.
///
/// # Errors
/// When it names no rows of the floor.
pub(crate) fn of(house: &House, text: &str) -> anyhow::Result<Rows> {
    let wrong = || format!("`{text}` names no rows; type 20, -5 or 7..26");
    let number = |text: &str| text.trim().parse::<i32>().map_err(|_| anyhow::anyhow!(wrong()));
    if let Some((first, last)) = text.split_once("..") {
        let ((letter, first), (same, last)) = (lettered(first), lettered(last));
        if !same.is_empty() && same != letter {
            bail!("`{text}` names rows that are counted from two lines; type them one after the other");
        }
        let (first, last) = (number(&first)?, number(&last)?);
        return Ok(Rows { letter, numbers: first.min(last)..=first.max(last) });
    }
    let (letter, _) = lettered(text);
    if house.floor.letters.contains(&letter) && !letter.is_empty() {
        bail!("`{text}` names no rows; a row by its name is typed as `{text}..{text}`");
    }
    let from_line = |numbers| Rows { letter: String::new(), numbers };
    let on_paper = |row: i32| house.floor.row_number(row);
    // A count from the start line that goes past the floor is told as it was typed, not as the row it comes to.
    let rows = || house.floor.boards.iter().filter(|board| !board.in_border).map(|board| board.row);
    let (above, below) = (rows().max().map_or(0, |row| row + 1), rows().min().map_or(0, |row| -row));
    let too_many = |count: i32, has: i32, side: &str| {
        let has = if has == 1 { "1 row lies".into() } else { format!("{} rows lie", has.max(0)) };
        anyhow::anyhow!(
            "only {has} {side} the start line, not {}; a row by its number on paper is typed as `7..7`",
            count.unsigned_abs()
        )
    };
    match number(text)? {
        0 => bail!(wrong()),
        count if count > above => Err(too_many(count, above, "above")),
        count if count > 0 => Ok(from_line(on_paper(0)..=on_paper(count - 1))),
        count if -i64::from(count) > i64::from(below) => Err(too_many(count, below, "below")),
        count => Ok(from_line(on_paper(count)..=on_paper(-1))),
    }
}
