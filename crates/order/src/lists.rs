//! The saw list and the pack count as text and CSV.

use crate::{Bound, Cell, Ends, Order, SawEntry, SawList, SawPart, StageShares, Table};
use fit::{Fit, shaved_words};
use lay::{Floor, Hand};
use plan::{Plan, Units, format_area, format_length, format_run};
use std::cmp::Ordering;
use std::fmt::Write;

/// Why a list could not be written as CSV.
#[derive(Debug, thiserror::Error)]
#[error("the list could not be written as CSV: {0}")]
pub struct ListError(#[from] csv::Error);

type Group<'a> = (&'static str, &'static str, &'a [SawEntry]);

/// The groups of the saw list in the order in which they are cut: lengths before widths, since a rip
/// is cut from the crosscut piece.
fn groups(saw: &SawList) -> [Group<'_>; 6] {
    [
        ("crosscut", "keep left end", &saw.crosscuts_keep_left),
        ("crosscut", "keep right end", &saw.crosscuts_keep_right),
        ("crosscut", "cut both ends", &saw.crosscuts_both),
        ("rip", "keep tongue", &saw.rips_keep_tongue),
        ("rip", "keep groove", &saw.rips_keep_groove),
        ("rip", "cut both edges", &saw.rips_keep_neither),
    ]
}

/// The saw list and the packs in plain words, in the plan's units; with the proven fewest boards, where
/// that could be proven (see [`crate::fewest`]). Boards whose lock is shaved carry a star. `parts` are the saw lists to write, one
/// or one for each stage.
pub fn text(
    plan: &Plan,
    floor: &Floor,
    fit: &Fit,
    (order, parts): (&Order, &[SawPart]),
    bound: &Bound,
    fewest: Option<usize>,
) -> String {
    let length = |mm: f64| format_length(mm, plan.units);
    let wide = column(plan);
    let mut out = String::new();
    // Writing to a String cannot fail.
    let mut line = |text: String| {
        let _ = writeln!(out, "{text}");
    };
    line(format!("{} — saw list and packs", plan.name));
    line(format!("{} · pitch {} · kerf {}", plan.stock.name, length(floor.pitch), length(plan.stock.kerf)));
    line("Take care: extract dust, wear eye, ear and breathing protection, keep the guard on, and rip before you cut to length: no short piece goes along a fence; the makers' sheets and local codes come first.".into());
    if let Some(words) = crate::drawn_words(plan) {
        line(String::new());
        line(words);
    }
    for part in parts {
        saw_text(&mut line, (plan, floor, fit), part);
    }
    line(String::new());
    line("Packs".into());
    let run = |metres: f64| format_run(metres * 1000.0, plan.units);
    let of_length = |mm: f64| crate::line_words(plan, mm);
    for pack in &order.lines {
        // Of what is not opened nothing is laid, and nothing lost.
        if pack.opened == 0 {
            line(format!("  {:>wide$}  none opened of {:>4} bought", of_length(pack.length), pack.bought));
            continue;
        }
        line(format!(
            "  {:>wide$}  {:>4} opened of {:>4} bought; {} laid of {}: {:.1} % waste",
            of_length(pack.length),
            pack.opened,
            pack.bought,
            run(pack.laid_length),
            run(pack.opened_length),
            waste(pack.laid_length, pack.opened_length)
        ));
    }
    for hand in &order.hands {
        if let Some(word) = hand.hand.map(hand_word) {
            line(format!("  {word}: {} opened, {} packs", hand.opened, hand.packs));
        }
    }
    line(format!(
        "  {} packs; {} boards opened, {} over the bound",
        order.packs,
        order.opened,
        bound.gap(order.opened)
    ));
    if let Some(words) = order.left_whole_words(bound) {
        line(format!("  {words}"));
    }
    if order.opened_before > 0 {
        let (before, to_open) = (order.opened_before, order.to_open());
        line(format!("  {before} of them opened for what lies; {to_open} still to open"));
    }
    // A bound of nothing says nothing.
    let wood = match bound.wood > 0.0 {
        true => format!(" or {} (opened {})", run(bound.wood), run(order.wood_opened)),
        false => String::new(),
    };
    let packs = match bound.packs > 0 {
        true => format!("; none needs fewer than {} packs", bound.packs),
        false => String::new(),
    };
    line(format!(
        "  no legal stagger opens fewer than {} boards{wood} of so many packs{packs}; by area alone {} boards",
        bound.boards, bound.area
    ));
    if let Some(fewest) = fewest {
        line(format!(
            "  these pieces, as their joints lie, need {fewest} boards at the least, with any number of each length at hand"
        ));
    }
    line(format!(
        "  {} laid from {} opened: {:.1} % left over or cut off",
        format_area(order.laid_area * 1e6, plan.units),
        format_area(order.opened_area * 1e6, plan.units),
        waste(order.laid_area, order.opened_area)
    ));
    if let Some(price) = order.price {
        line(format!("  {price:.2} {}", plan.stock.currency));
    }
    if !order.filler.is_empty() {
        line(String::new());
        line("Filler of the movement joints — to the boards' full thickness; over a backing rod less".into());
    }
    for filler in &order.filler {
        line(format!("  {}", filler.arithmetic(plan.units)));
    }
    if !order.leftovers.is_empty() {
        line(String::new());
        line("Left over, long enough to end a row elsewhere".into());
    }
    for left in &order.leftovers {
        let pack = floor.stock[left.stock].pack + 1;
        line(format!(
            "  [ ] {:>wide$}  {:<19}  board {}, pack {pack}",
            length(left.cut_length()),
            ends_word(left.ends),
            left.stock + 1
        ));
    }
    out
}

/// A saw list in plain words, a line each.
fn saw_text(line: &mut dyn FnMut(String), (plan, floor, fit): (&Plan, &Floor, &Fit), part: &SawPart) {
    let length = |mm: f64| format_length(mm, plan.units);
    let label = |board: &usize| floor.saw_label(*board) + fit.mark(*board);
    let (saw, wide) = (&part.saw, column(plan));
    if let Some(heading) = part.heading() {
        line(String::new());
        line(format!("Stage {heading}"));
    }
    for (cut, keep, entries) in groups(saw) {
        if entries.is_empty() {
            continue;
        }
        line(String::new());
        line(format!("{} — {keep}", if cut == "rip" { "Fence" } else { "Stop" }));
        for entry in entries {
            let labels: Vec<String> = entry.boards.iter().map(label).collect();
            line(format!(
                "  [ ] {:>wide$}  {:>3} ×  {}",
                length(entry.setting),
                entry.boards.len(),
                labels.join(" ")
            ));
        }
    }
    if let Some(words) = crate::skim_words(plan, floor, saw) {
        line(String::new());
        line(words);
    }
    if !saw.mitres.is_empty() {
        line(String::new());
        line("Mitre — long point to long point, ends as seen from the groove edge".into());
        for entry in &saw.mitres {
            let labels: Vec<String> = entry.boards.iter().map(label).collect();
            let (setting, count) = (length(entry.setting), entry.boards.len());
            line(format!("  [ ] {setting:>wide$}  {count:>3} ×  {}  {}", entry.words(), labels.join(" ")));
        }
    }
    if !saw.parted.is_empty() {
        line(String::new());
        line(
            "One slanting cut for two — from the left end of the board opened, groove edge towards you"
                .into(),
        );
        for cut in &saw.parted {
            let (left, right) = (label(&cut.left), label(&cut.right));
            let words = cut.words(|mm| length(tenth(mm)));
            line(format!("  [ ] board {:>4}  {words}: {left} and {right}", cut.stock + 1));
        }
    }
    if !saw.tapers.is_empty() {
        line(String::new());
        line("Tapered rip — widths kept from the left end to the right, with the marks between; saw from mark to mark".into());
    }
    for entry in &saw.tapers {
        let widths = entry.taper.words(|mm| length(tenth(mm)));
        let keeps = entry.taper.keeps.word();
        line(format!("  [ ] {:>7}  {widths}, keep {keeps}  {}", label(&entry.board), entry.round));
    }
    if !saw.notches.is_empty() {
        line(String::new());
        line("Notched and shaped — measures from the left end, of a point from its tip, and from the groove edge, gap included".into());
        for notch in &saw.notches {
            let own = |board: &usize| floor.boards[*board].label.clone() + fit.mark(*board);
            let alike: Vec<String> = notch.alike.iter().map(own).collect();
            let labels = if alike.is_empty() {
                label(&notch.board)
            } else {
                format!("{} × {} {}", alike.len() + 1, own(&notch.board), alike.join(" "))
            };
            line(format!("  [ ] {labels}  {}", notch.round));
            let corners: Vec<String> = notch
                .measures(&notch.outline)
                .iter()
                .map(|(x, y)| format!("{} / {}", length(notch.marked(floor, *x)), length(*y)))
                .collect();
            line(format!("        {}", corners.join("  ")));
        }
    }
    let shaves = part.shaves(fit);
    if !shaves.is_empty() {
        line(String::new());
        line("Shave the lock — boards with a star; glue and tape the joint".into());
    }
    for (parts, boards) in shaves {
        let labels: Vec<String> = boards.iter().map(label).collect();
        line(format!("  [ ] {}  {:>3} ×  {}", shaved_words(&parts), boards.len(), labels.join(" ")));
    }
    let shared = [
        (Ordering::Less, "Sawn out of what an earlier stage left of these boards"),
        (Ordering::Greater, "Keep what is left of these boards for a later stage, marked with their numbers"),
    ];
    for (other, said) in shared {
        let boards: Vec<String> =
            part.shared(floor, other).iter().map(|stock| (stock + 1).to_string()).collect();
        if !boards.is_empty() {
            line(String::new());
            line(format!("{said}: {}", boards.join(" ")));
        }
    }
}

/// How wide the column of lengths is, characters: the longest of `2 179` or of `10' 11 15/16"`.
fn column(plan: &Plan) -> usize {
    match plan.units {
        Units::Metric => 10,
        Units::FeetInches => 13,
    }
}

fn tenth(mm: f64) -> f64 {
    (mm * 10.0).round() / 10.0
}

fn hand_word(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left-hand",
        Hand::Right => "right-hand",
    }
}

fn waste(laid: f64, opened: f64) -> f64 {
    100.0 * (1.0 - laid / opened.max(f64::MIN_POSITIVE))
}

fn ends_word(ends: Ends) -> &'static str {
    match ends {
        Ends::Neither => "both ends cut",
        Ends::Left => "keeps its left end",
        Ends::Right => "keeps its right end",
        Ends::Both => "keeps both ends",
    }
}

/// The saw list as CSV, as [`saw_table`] gives it.
///
/// # Errors
/// When the writer fails; it writes to memory, so this does not happen in practice.
pub fn csv(
    plan: &Plan,
    floor: &Floor,
    fit: &Fit,
    order: &Order,
    shares: &StageShares,
) -> Result<String, ListError> {
    saw_table(plan, floor, fit, order, shares).csv()
}

/// The saw list: one row a board and cut, in the order in which they are cut, with its stage; a shaved lock counts as a cut.
pub fn saw_table(plan: &Plan, floor: &Floor, fit: &Fit, order: &Order, shares: &StageShares) -> Table {
    let mut table = Table::new(
        "saw-list",
        "Saw list",
        &[
            ("cut", "Cut"),
            ("keep", "Keep"),
            ("setting_mm", "Setting"),
            ("board", "Board"),
            ("row", "Row"),
            ("length_mm", "Length"),
            ("width_mm", "Width"),
            ("stock_board", "Stock board"),
            ("stock_length_mm", "Its length"),
            ("from_mm", "From its left end"),
            ("pack", "Pack"),
            ("notched_round", "Notched round"),
            ("stage", "Stage"),
        ],
    );
    let stage = |board: usize| {
        let place = shares.of_board.get(board).copied().flatten();
        let stage = place.and_then(|place| shares.order.get(place)).and_then(|stage| plan.stages.get(*stage));
        stage.map_or(Cell::Empty, |stage| Cell::text(stage.name.as_str()))
    };
    let mut add = |cut: &str, keep: &str, setting: Cell, index: usize, round: &str| {
        let Some(board) = floor.boards.get(index) else { return };
        let (length, pack) = match floor.stock.get(board.stock) {
            Some(stock) => (Cell::Length(stock.length), Cell::count(stock.pack + 1)),
            None => (Cell::Empty, Cell::Empty),
        };
        table.rows.push(vec![
            Cell::text(cut),
            Cell::text(keep),
            setting,
            Cell::text(board.label.as_str()),
            row_cell(floor, board),
            Cell::Length(board.length()),
            Cell::Length(board.width),
            Cell::count(board.stock + 1),
            length,
            Cell::Length(board.from),
            pack,
            Cell::text(round),
            stage(index),
        ]);
    };
    for (cut, keep, entries) in groups(&order.saw) {
        for entry in entries {
            for board in &entry.boards {
                add(cut, keep, Cell::Length(entry.setting), *board, "");
            }
        }
    }
    for entry in &order.saw.mitres {
        for board in &entry.boards {
            add("mitre", &entry.words(), Cell::Length(entry.setting), *board, "");
        }
    }
    for cut in &order.saw.parted {
        let label = |board: usize| floor.boards.get(board).map_or("", |board| board.label.as_str());
        for (board, other) in [(cut.left, cut.right), (cut.right, cut.left)] {
            let keep = format!("one cut with {}, {}", label(other), cut.words(written));
            add("slanting cut for two", &keep, Cell::Length(cut.at), board, "");
        }
    }
    for entry in &order.saw.tapers {
        let keeps = format!("keep {}", entry.taper.keeps.word());
        add("tapered rip", &keeps, Cell::Empty, entry.board, &entry.round);
    }
    for notch in &order.saw.notches {
        for board in std::iter::once(&notch.board).chain(&notch.alike) {
            add("notch", "", Cell::Empty, *board, &notch.round);
        }
    }
    for (parts, boards) in fit.shaves() {
        for board in boards {
            add("shave", &shaved_words(&parts), Cell::Empty, board, "");
        }
    }
    table
}

/// A row as tables have it: its number, behind its letter where it has one.
pub fn row_cell(floor: &Floor, board: &lay::Board) -> Cell {
    match board.in_border || floor.letter(board.region).is_empty() {
        true => Cell::Count(floor.row_number(board.row).into()),
        false => Cell::Text(floor.row_name(board.region, board.row)),
    }
}

/// Millimetres as a table has them in words.
fn written(mm: f64) -> String {
    format!("{}", (mm * 10.0).round() / 10.0)
}

/// The marks of every tapered rip: one row a mark, from its left end, in its own frame.
pub fn taper_table(floor: &Floor, order: &Order) -> Table {
    let mut table = Table::new(
        "tapers",
        "Tapered rips",
        &[
            ("board", "Board"),
            ("keep", "Keep"),
            ("ripped_along", "Ripped along"),
            ("mark", "Mark"),
            ("from_left_end_mm", "From the left end"),
            ("width_mm", "Width kept"),
        ],
    );
    for entry in &order.saw.tapers {
        let label = floor.boards.get(entry.board).map_or("", |board| board.label.as_str());
        for (mark, place) in entry.taper.marks.iter().enumerate() {
            table.rows.push(vec![
                Cell::text(label),
                Cell::text(entry.taper.keeps.word()),
                Cell::text(entry.round.as_str()),
                Cell::count(mark + 1),
                Cell::Length(place.at),
                Cell::Length(place.width),
            ]);
        }
    }
    table
}

/// The measures of every notched and shaped board: one row a corner of its outline, then of its holes, in its
/// own frame, gap included.
pub fn notch_table(floor: &Floor, order: &Order) -> Table {
    let mut table = Table::new(
        "notches",
        "Notches",
        &[
            ("board", "Board"),
            ("alike", "Alike"),
            ("notched_round", "Notched round"),
            ("ring", "Ring"),
            ("corner", "Corner"),
            ("from_left_end_mm", "From the left end"),
            ("from_groove_edge_mm", "From the groove edge"),
        ],
    );
    let label = |board: &usize| floor.boards.get(*board).map_or("", |board| board.label.as_str());
    for notch in &order.saw.notches {
        let alike = notch.alike.iter().map(label).collect::<Vec<_>>().join(" ");
        for (ring, corners) in std::iter::once(&notch.outline).chain(&notch.holes).enumerate() {
            for (corner, (x, y)) in notch.measures(corners).iter().enumerate() {
                table.rows.push(vec![
                    Cell::text(label(&notch.board)),
                    Cell::text(alike.as_str()),
                    Cell::text(notch.round.as_str()),
                    Cell::text(if ring == 0 { "outline" } else { "hole" }),
                    Cell::count(corner + 1),
                    Cell::Length(*x),
                    Cell::Length(*y),
                ]);
            }
        }
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::{Point, Room};

    /// Of a length of which no board is opened nothing is lost.
    #[test]
    fn what_is_not_opened_has_no_waste() {
        let mut plan = Plan::new("t");
        plan.rooms.push(Room::boarded(
            "Room",
            [(0.0, 0.0), (4200.0, 0.0), (4200.0, 3600.0), (0.0, 3600.0)].map(Point::from),
        ));
        let site = site::survey(&plan);
        let floor = lay::lay(&plan, &site, &setout::set_out(&plan, &site));
        let mut order = crate::order(&plan, &site, &floor);
        let unopened =
            crate::PackLine { opened: 0, laid_length: -0.0, opened_length: -0.0, ..order.lines[0] };
        order.lines = vec![unopened];
        let said = text(&plan, &floor, &Fit::default(), (&order, &[]), &Bound::default(), None);
        let line = said.lines().find(|line| line.contains("none opened of")).expect("the length's line");
        assert!(!line.contains("waste") && !line.contains('-'), "{line}");
    }

    /// Stretches left over stand under their heading, one a line; without any there is no heading.
    #[test]
    fn what_is_left_over_has_its_heading() {
        let mut plan = Plan::new("t");
        let corners = [(0.0, 0.0), (4200.0, 0.0), (4200.0, 3600.0), (0.0, 3600.0)].map(Point::from);
        plan.rooms.push(Room::boarded("Room", corners));
        let site = site::survey(&plan);
        let floor = lay::lay(&plan, &site, &setout::set_out(&plan, &site));
        let mut order = crate::order(&plan, &site, &floor);
        assert!(!order.leftovers.is_empty());
        let said =
            |order: &Order| text(&plan, &floor, &Fit::default(), (order, &[]), &Bound::default(), None);
        let after =
            |text: &str| text.split("Left over, long enough").nth(1).map(|rest| rest.lines().count() - 1);
        assert_eq!(after(&said(&order)), Some(order.leftovers.len()));
        order.leftovers.clear();
        assert_eq!(after(&said(&order)), None);
    }
}
