//! What to undercut and which boards to shave, before the first is laid.

use crate::bound::List;
use crate::flow::{Flow, tick_box};
use crate::page::Type;
use crate::words::{figure, label, labels};
use fit::{Motion, Undercut, WayIn};
use pipeline::House;

/// From the box to the height of a cut, and to the words beside it, mm.
const FIGURE: f64 = 8.0;
const WORDS: f64 = 28.0;

/// The sheet, or nothing where every board goes in as usual and no jamb is undercut.
pub(crate) fn fit_sheet(house: &House) -> Option<List<'_>> {
    let fit = &house.fit;
    if fit.undercuts.is_empty() && fit.ways.is_empty() {
        return None;
    }
    let note = format!("boards {} unless they stand here", fit.usual.word());
    Some(List::new("Undercut and shave", note, move |flow| {
        flow.paragraph(
        "Extract the dust at the saw; mask, eye and ear protection. Old paint may hold lead and old adhesive asbestos: \
         have them tested first. Local rules and the makers' sheets come first.",
        Type::plain(3.4),
    );
        if !fit.undercuts.is_empty() {
            flow.heading("Undercut, architraves too where they stand");
            flow.table(&[("height", FIGURE, 0), ("jamb, boards under it", WORDS, 0)]);
        }
        for pair in fit.undercuts.chunks(2) {
            put_undercuts(flow, house, pair);
        }
        let blocked: Vec<&WayIn> = fit.ways.iter().filter(|way| way.motion == Motion::Blocked).collect();
        let others: Vec<&WayIn> = fit.ways.iter().filter(|way| way.motion != Motion::Blocked).collect();
        for (heading, ways) in [("No way in", blocked), ("Go in another way", others)] {
            if !ways.is_empty() {
                flow.heading(heading);
                flow.table(&[]);
            }
            // Boards that go in alike stand together.
            let mut alike: Vec<(String, Vec<usize>)> = Vec::new();
            for way in ways {
                let words = way.words(&house.plan);
                match alike.iter_mut().find(|(known, _)| *known == words) {
                    Some((_, boards)) => boards.push(way.board),
                    None => alike.push((words, vec![way.board])),
                }
            }
            for (words, boards) in &alike {
                put_ways(flow, house, words, boards);
            }
        }
    }))
}

/// One jamb or two, side by side.
fn put_undercuts(flow: &mut Flow, house: &House, jambs: &[Undercut]) {
    let (plain, quiet) = (Type::plain(4.0), Type::quiet(3.6));
    let half = flow.width() / 2.0;
    let room = half - WORDS - 3.0;
    let said: Vec<(Vec<String>, Vec<String>)> = jambs
        .iter()
        .map(|jamb| {
            let boards = format!("for {}", labels(house, &jamb.boards));
            (plain.wrapped(&jamb.name(&house.plan), room), quiet.wrapped(&boards, room))
        })
        .collect();
    let most = said.iter().map(|(names, boards)| names.len() + boards.len()).max().unwrap_or(0);
    let top = flow.take(3.4 + 4.9 * most as f64);
    for (place, (jamb, (names, boards))) in jambs.iter().zip(&said).enumerate() {
        let (x, row) = (flow.x() + half * place as f64, flow.row());
        let page = flow.page();
        tick_box(page, x, top + 0.8);
        page.begin(row.cell(0));
        page.write(&figure(house, jamb.height), x + FIGURE, top + 5.6, Type::bold(6.2));
        page.begin(row.head(1));
        let kinds = names.iter().map(|line| (line, plain)).chain(boards.iter().map(|line| (line, quiet)));
        for (i, (line, kind)) in kinds.enumerate() {
            page.write(line, x + WORDS, top + 5.2 + 4.9 * i as f64, kind);
        }
    }
}

/// From the box to what is said of boards, past their labels, mm.
const SAID: f64 = 48.0;

/// Boards that go in alike, and beside them how.
fn put_ways(flow: &mut Flow, house: &House, words: &str, boards: &[usize]) {
    let (bold, plain) = (Type::bold(4.0), Type::plain(3.8));
    let names: Vec<&str> = boards.iter().map(|board| label(house, *board)).collect();
    let names = bold.wrapped(&names.join("  "), SAID - FIGURE - 3.0);
    let words = plain.wrapped(words, flow.width() - SAID);
    let top = flow.take(3.4 + 4.9 * names.len().max(words.len()) as f64);
    let (x, row) = (flow.x(), flow.row());
    let page = flow.page();
    tick_box(page, x, top + 0.8);
    page.begin(row.head(0));
    page.write_lines(&names, x + FIGURE, top + 5.2, 4.9, bold);
    page.begin(row.cell(1));
    page.write_lines(&words, x + SAID, top + 5.2, 4.9, plain);
}
