//! The sheet of what lies: the rip each edge to come will get, what to correct, offcuts in hand.

use crate::bound::List;
use crate::flow::{Flow, tick_box};
use crate::page::Type;
use crate::words::{count, figure};
use pipeline::House;

/// Height of one offcut's line, mm.
const LINE: f64 = 7.0;
/// Room for a box before a row, mm.
const BOX: f64 = 8.0;
/// Between two columns, mm.
const BETWEEN: f64 = 3.0;

/// Sets the page; none where nothing is marked as laid.
pub(crate) fn laid_sheet(house: &House) -> Option<List<'_>> {
    let laid = house.plan.laid.as_ref()?;
    Some(List::new("As laid", &house.plan.name, move |flow| {
        let (boards, all) = (laid.boards.len(), house.floor.boards.len());
        let text = format!(
            "{} of {all} laid, hatched on the floor sheet and ticked on the lay list; {} still to open.",
            count(boards, "board"),
            count(house.order.to_open(), "board")
        );
        flow.paragraph(&text, Type::plain(4.2));
        for (number, drift) in house.drift().into_iter().enumerate() {
            let mut sentences = house.drift_words(&drift, usize::MAX).into_iter();
            let title = match sentences.next() {
                Some(first) => first,
                None => continue,
            };
            // Each side of the line, and each floor, begins with words in bold.
            match number {
                0 => flow.heading("Rows that lie, and what comes of them"),
                _ => flow.gap(2.0),
            }
            flow.paragraph(&title, Type::bold(4.2));
            flow.gap(1.0);
            for sentence in sentences {
                flow.paragraph(&sentence, Type::plain(4.0));
                flow.gap(0.8);
            }
        }
        offcuts(flow, house, laid);
        strips(flow, house);
    }))
}

fn offcuts(flow: &mut Flow, house: &House, laid: &plan::Laid) {
    let mut rests: Vec<(f64, usize)> = Vec::new();
    for (index, stock) in laid.stock.iter().enumerate() {
        rests.extend(stock.rest.map(|(from, to)| (to - from, index)));
    }
    if rests.is_empty() {
        return;
    }
    rests.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let rows = rests.into_iter().map(|(rest, index)| {
        let pieces = house.floor.stock.get(index).map_or(&[][..], |stock| stock.pieces.as_slice());
        let labels: Vec<String> = pieces
            .iter()
            .filter(|piece| !piece.strip && !house.floor.is_laid(piece.board))
            .map(|piece| house.floor.saw_label(piece.board))
            .collect();
        [figure(house, plan::cut_down(rest)), format!("of board {}", index + 1), wanted(&labels)]
    });
    flow.heading("Offcuts in hand");
    put_rows(flow, "length", [22.0, 32.0], &rows.collect::<Vec<_>>());
}

/// Strips beside rips that lie.
fn strips(flow: &mut Flow, house: &House) {
    let strips = house.strips_in_hand();
    if strips.is_empty() {
        return;
    }
    let rows = strips.into_iter().map(|(strip, boards)| {
        let labels: Vec<String> = boards.iter().map(|board| house.floor.saw_label(*board)).collect();
        let keeps = if strip.keeps_groove { "groove" } else { "tongue" };
        let (length, width) = ((strip.to - strip.from).floor(), strip.width.floor());
        let size = format!("{} × {}", figure(house, length), figure(house, width));
        [size, format!("of board {}, {keeps}", strip.stock + 1), wanted(&labels)]
    });
    flow.heading("Strips in hand, beside rips that lie");
    put_rows(flow, "length × width", [32.0, 36.0], &rows.collect::<Vec<_>>());
}

/// The boards that a piece is for.
fn wanted(labels: &[String]) -> String {
    if labels.is_empty() { "not needed so far".to_owned() } else { labels.join(" ") }
}

/// Pieces in hand with a box each: their size, the board they are of, what they are for. The first two columns are at least as
/// wide as `least`, and wider where their words are: feet and inches take more room.
fn put_rows(flow: &mut Flow, size: &'static str, least: [f64; 2], rows: &[[String; 3]]) {
    let (bold, quiet) = (Type::bold(4.2), Type::quiet(3.6));
    let widest = |column: usize, kind: Type| {
        rows.iter().map(|row| kind.width(&row[column]) + BETWEEN).fold(least[column], f64::max)
    };
    let of_board = BOX + widest(0, bold);
    let wanted_for = of_board + widest(1, quiet);
    flow.table(&[(size, BOX, 0), ("of board", of_board, 0), ("wanted for", wanted_for, 0)]);
    for [size, board, wanted] in rows {
        let top = flow.take(LINE);
        let (x, row) = (flow.x(), flow.row());
        let page = flow.page();
        tick_box(page, x, top + 0.8);
        page.begin(row.head(0));
        page.write(size, x + BOX, top + 5.0, bold);
        page.begin(row.cell(1));
        page.write(board, x + of_board, top + 5.0, quiet);
        page.begin(row.cell(2));
        page.write(wanted, x + wanted_for, top + 5.0, Type::plain(3.8));
    }
}
