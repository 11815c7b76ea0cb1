//! Labels boards: row by row, in each row from the left.

use crate::{Board, Floor};

/// Rows are counted one by one where there are no more than so many for each run.
const MOST_EMPTY: usize = 16;

/// Labels boards row by row from the lowest, left to right.
pub(crate) fn label(floor: &mut Floor) {
    let order = run_by_run(floor).unwrap_or_else(|| board_by_board(floor));
    let (mut previous, mut number) = (None, 0);
    let mut row_label = String::new();
    for index in order {
        let row = floor.boards[index].row;
        if previous != Some(row) {
            (previous, number) = (Some(row), 0);
            row_label = format!("{}-", floor.row_number(row));
        }
        number += 1;
        floor.boards[index].label = numbered(&row_label, number);
    }
}

/// What boards are ordered by as they are labelled, beside their place in the list.
fn place_in_row(board: &Board) -> (i32, f64, usize) {
    (board.row, board.left, board.region)
}

/// A run's boards, by the place of the first.
type PlacedRun = ((i32, f64, usize), std::ops::Range<usize>);

fn in_order(a: (i32, f64, usize), b: (i32, f64, usize)) -> std::cmp::Ordering {
    a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2))
}

/// Boards in the order of their labels by that of their runs, which are far fewer; `None` where runs are not of one row each.
/// In a row where that is another order, as where a wall parts a run lengthways, its boards are put in order themselves.
fn run_by_run(floor: &Floor) -> Option<Vec<usize>> {
    let firsts = floor.runs.iter().filter_map(|run| {
        floor
            .boards
            .get(run.boards.start)
            .filter(|_| !run.boards.is_empty())
            .map(|board| (place_in_row(board), run.boards.clone()))
    });
    let mut runs = by_row(firsts.collect());
    for row in runs.chunk_by_mut(|a, b| a.0.0 == b.0.0) {
        row.sort_by(|a, b| in_order(a.0, b.0));
    }
    let mut order: Vec<usize> = Vec::with_capacity(floor.boards.len());
    for row in runs.chunk_by(|a, b| a.0.0 == b.0.0) {
        let (first, mut is_sorted) = (order.len(), true);
        let mut last: Option<(i32, f64, usize)> = None;
        for index in row.iter().flat_map(|(_, boards)| boards.clone()) {
            let place = place_in_row(floor.boards.get(index)?);
            if place.0 != row[0].0.0 {
                return None;
            }
            is_sorted &= last.is_none_or(|last| in_order(last, place).is_lt());
            last = Some(place);
            order.push(index);
        }
        if !is_sorted {
            let place = |index: usize| place_in_row(&floor.boards[index]);
            order[first..].sort_unstable_by(|a, b| in_order(place(*a), place(*b)).then(a.cmp(b)));
        }
    }
    (order.len() == floor.boards.len()).then_some(order)
}

/// Runs from the lowest row up, those of one row as they came: counted by row, since they come region by region and a floor of
/// many has as many orders to put together.
fn by_row(runs: Vec<PlacedRun>) -> Vec<PlacedRun> {
    let rows = || runs.iter().map(|(place, _)| i64::from(place.0));
    let (Some(lowest), Some(highest)) = (rows().min(), rows().max()) else { return runs };
    let count = usize::try_from(highest - lowest).map_or(usize::MAX, |rows| rows.saturating_add(1));
    if count > MOST_EMPTY * runs.len() {
        let mut runs = runs;
        runs.sort_by_key(|(place, _)| place.0);
        return runs;
    }
    let row = |run: &PlacedRun| (i64::from(run.0.0) - lowest) as usize;
    let mut next = vec![0; count + 1];
    runs.iter().for_each(|run| next[row(run) + 1] += 1);
    (0..count).for_each(|k| next[k + 1] += next[k]);
    let mut order = vec![0; runs.len()];
    for (index, run) in runs.iter().enumerate() {
        let place = &mut next[row(run)];
        order[*place] = index;
        *place += 1;
    }
    order.into_iter().map(|index| runs[index].clone()).collect()
}

fn board_by_board(floor: &Floor) -> Vec<usize> {
    let mut order: Vec<(usize, (i32, f64, usize))> =
        floor.boards.iter().enumerate().map(|(index, board)| (index, place_in_row(board))).collect();
    order.sort_by(|a, b| in_order(a.1, b.1));
    order.into_iter().map(|(index, _)| index).collect()
}

/// A row's label with a number after it. A floor has tens of thousands, so that writing them counts.
fn numbered(row_label: &str, number: u32) -> String {
    let digits = number.checked_ilog10().unwrap_or_default() as usize + 1;
    let mut label = String::with_capacity(row_label.len() + digits);
    label.push_str(row_label);
    label.extend((0..digits as u32).rev().filter_map(|i| char::from_digit(number / 10_u32.pow(i) % 10, 10)));
    label
}

#[cfg(test)]
mod tests {
    use super::*;

    /// As the standard library's stable sort puts them, whether rows lie close together or far apart.
    #[test]
    fn runs_counted_by_row_stand_as_sorted() {
        let run = |row: i32, n: usize| ((row, n as f64, 0), n..n + 1);
        let near = (0..50).map(|n| run((n as i32 * 7) % 11 - 5, n)).collect();
        let far = (0..5).map(|n| run((n as i32 * 3) % 5 * 100_000 - 200_000, n)).collect();
        for runs in [near, far, Vec::new()] {
            let mut sorted: Vec<PlacedRun> = runs.clone();
            sorted.sort_by_key(|(place, _)| place.0);
            assert_eq!(by_row(runs), sorted);
        }
    }
}
