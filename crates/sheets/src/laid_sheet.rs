//! The sheet of what lies: the rip each edge to come will get, what to correct, offcuts in hand.

use crate::bound::List;
use crate::flow::{Flow, tick_box};
use crate::page::Type;
use crate::words::{count, figure};
use pipeline::House;

/// Height of one offcut's line, mm.
const LINE: f64 = 7.0;

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
        for drift in house.drift() {
            let mut sentences = house.drift_words(&drift, usize::MAX).into_iter();
            let title = match sentences.next() {
                Some(first) => first,
                None => continue,
            };
            flow.heading("Rows that lie, and what comes of them");
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
    flow.heading("Offcuts in hand");
    flow.table(&[("length", 8.0, 0), ("of board", 30.0, 0), ("wanted for", 62.0, 0)]);
    for (rest, index) in rests {
        let top = flow.take(LINE);
        let (x, row) = (flow.x(), flow.row());
        let pieces = house.floor.stock.get(index).map_or(&[][..], |stock| stock.pieces.as_slice());
        let labels: Vec<String> = pieces
            .iter()
            .filter(|piece| !piece.strip && !house.floor.is_laid(piece.board))
            .map(|piece| house.floor.saw_label(piece.board))
            .collect();
        let wanted = if labels.is_empty() { "not needed so far".to_owned() } else { labels.join(" ") };
        let page = flow.page();
        tick_box(page, x, top + 0.8);
        page.begin(row.head(0));
        page.write(&figure(house, plan::cut_down(rest)), x + 8.0, top + 5.0, Type::bold(4.2));
        page.begin(row.cell(1));
        page.write(&format!("of board {}", index + 1), x + 30.0, top + 5.0, Type::quiet(3.6));
        page.begin(row.cell(2));
        page.write(&wanted, x + 62.0, top + 5.0, Type::plain(3.8));
    }
}

/// Strips beside rips that lie.
fn strips(flow: &mut Flow, house: &House) {
    let strips = house.strips_in_hand();
    if strips.is_empty() {
        return;
    }
    flow.heading("Strips in hand, beside rips that lie");
    flow.table(&[("length × width", 8.0, 0), ("of board", 40.0, 0), ("wanted for", 76.0, 0)]);
    for (strip, boards) in strips {
        let top = flow.take(LINE);
        let (x, row) = (flow.x(), flow.row());
        let labels: Vec<String> = boards.iter().map(|board| house.floor.saw_label(*board)).collect();
        let wanted = if labels.is_empty() { "not needed so far".to_owned() } else { labels.join(" ") };
        let keeps = if strip.keeps_groove { "groove" } else { "tongue" };
        let size = format!(
            "{} × {}",
            figure(house, (strip.to - strip.from).floor()),
            figure(house, strip.width.floor())
        );
        let page = flow.page();
        tick_box(page, x, top + 0.8);
        page.begin(row.head(0));
        page.write(&size, x + 8.0, top + 5.0, Type::bold(4.2));
        page.begin(row.cell(1));
        page.write(&format!("of board {}, {keeps}", strip.stock + 1), x + 40.0, top + 5.0, Type::quiet(3.6));
        page.begin(row.cell(2));
        page.write(&wanted, x + 76.0, top + 5.0, Type::plain(3.8));
    }
}
