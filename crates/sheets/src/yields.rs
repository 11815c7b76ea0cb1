//! What each opened board yields: a bar for each, with its pieces, what is left, and which board to pick up.

use crate::flow::{Flow, Row, tick_box};
use crate::page::{Page, Type};
use crate::words::{figure, label, setting};
use drawing::{Anchor, Rgb, paper_ink};
use kurbo::{BezPath, PathEl, Rect};
use lay::StockBoard;
use order::{SawPart, YieldBar};
use pipeline::House;
use std::cmp::Ordering;
use std::collections::BTreeMap;

/// From a bar's left side to its board, mm.
const BAR: f64 = 15.0;
/// From one bar to the next, mm.
const BAR_LINE: f64 = 7.8;
/// What is no wider on the board than this (mm) is no waste to hatch: it goes to dust and rounding.
const DUST: f64 = 6.0;

/// Bars of the stock boards that give more than one piece.
pub(crate) fn put_yields(flow: &mut Flow, house: &House, part: &SawPart) {
    if part.yields.is_empty() {
        return;
    }
    flow.heading("What each board yields");
    let kerf = setting(house, house.plan.stock.kerf);
    let mitred = match house.order.saw.mitres.is_empty() {
        true => "",
        false => ", mitred pieces from long point to long point",
    };
    let about = format!(
        "Boards as they are opened, numbered, sawn from left to right; right of each its length and pack; kerf {kerf} at each cut. Lengths as the stop is \
         set{mitred}. Hatched: left over."
    );
    let stops = stops(house);
    flow.paragraph(&about, Type::quiet(3.4));
    let has_shared = |other| part.yields.iter().any(|bar| part.shares_with(&house.floor, bar.stock, other));
    if has_shared(Ordering::Greater) {
        let keep = "Pale, in thin writing: for a later stage. Keep it in one piece, with the board's number and its left end marked on it.";
        flow.paragraph(keep, Type::plain(3.6));
    }
    if has_shared(Ordering::Less) {
        let begun = "Begun: what an earlier stage left of the board is sawn on. Struck through: sawn then.";
        flow.paragraph(begun, Type::plain(3.6));
    }
    flow.gap(1.5);
    let longest = house.floor.stock.iter().map(|stock| stock.length).fold(1.0, f64::max);
    let bars: Vec<(&YieldBar, &StockBoard)> =
        (part.yields.iter()).filter_map(|bar| Some((bar, house.floor.stock.get(bar.stock)?))).collect();
    let (several, single): (Vec<_>, Vec<_>) = bars.into_iter().partition(|(_, stock)| stock.pieces.len() > 1);
    let beside = right_of(house, part, &several);
    flow.table(&[("board", 0.0, 0), ("pieces", BAR, 0), ("left over", flow.width() - 14.0, 0)]);
    for bar in several {
        let width = flow.width();
        let mm = (width - BAR - beside) / longest;
        let narrow = NARROW.wrapped(&narrow_pieces(house, &stops, bar.1, mm), width - BAR);
        let top = flow.take(BAR_LINE + NARROW_LINE * narrow.len() as f64);
        let (x, right, row) = (flow.x() + BAR, flow.right(), flow.row());
        let place = BarPlace { x, right, top, mm, row, stops: &stops, part };
        put_bar(flow.page(), house, bar, &place);
        flow.page().write_lines(&narrow, x, top + 9.7, NARROW_LINE, NARROW);
    }
    if single.is_empty() {
        return;
    }
    flow.gap(1.0);
    flow.paragraph("Boards that give one cut piece each:", Type::quiet(3.4));
    flow.gap(1.0);
    flow.table(&[]);
    let beside = right_of(house, part, &single);
    for pair in single.chunks(2) {
        let half = flow.width() / 2.0;
        let mm = (half - 4.0 - BAR - beside) / longest;
        let narrow =
            pair.iter().map(|bar| NARROW.wrapped(&narrow_pieces(house, &stops, bar.1, mm), half - 4.0 - BAR));
        let narrow: Vec<Vec<String>> = narrow.collect();
        let most = narrow.iter().map(Vec::len).max().unwrap_or(0);
        let top = flow.take(BAR_LINE + NARROW_LINE * most as f64);
        for (i, (bar, narrow)) in pair.iter().zip(&narrow).enumerate() {
            let (x, row) = (flow.x() + half * i as f64, flow.row());
            let (from, right) = (x + BAR, x + half - 4.0);
            let place = BarPlace { x: from, right, top, mm, row, stops: &stops, part };
            put_bar(flow.page(), house, *bar, &place);
            flow.page().write_lines(narrow, from, top + 9.7, NARROW_LINE, NARROW);
        }
    }
}

/// What stands under a bar of pieces too narrow for their words, and the height of its lines, mm.
const NARROW: Type = Type { size: 3.2, bold: false, colour: Rgb::INK };
const NARROW_LINE: f64 = 4.2;

/// The setting at which a board is crosscut or mitred, mm, by its index: one cut has one figure on every list.
type Stops = BTreeMap<usize, f64>;

fn stops(house: &House) -> Stops {
    let saw = &house.order.saw;
    let crosscuts = [&saw.crosscuts_keep_left, &saw.crosscuts_keep_right, &saw.crosscuts_both];
    let crosscuts = crosscuts.into_iter().flatten().map(|entry| (&entry.boards, entry.setting));
    let mitres = saw.mitres.iter().map(|entry| (&entry.boards, entry.setting));
    let all = crosscuts.chain(mitres);
    all.flat_map(|(boards, setting)| boards.iter().map(move |board| (*board, setting))).collect()
}

/// A piece's label with the strips beside it, and its length.
fn piece_words(house: &House, stops: &Stops, stock: &StockBoard, piece: &lay::Piece) -> (String, String) {
    // A strip lies beside the rip that leaves it.
    let strips = stock.pieces.iter().filter(|strip| strip.strip);
    let beside = strips.filter(|strip| house.floor.strip_beside(strip.board) == Some(piece.board));
    let name = beside.clone().fold(label(house, piece.board).to_owned(), |name, strip| {
        format!("{name} + {}", label(house, strip.board))
    });
    let length_of = |piece: &lay::Piece| {
        stops.get(&piece.board).copied().unwrap_or_else(|| piece.reach().1 - piece.reach().0)
    };
    // What is sawn off the board is as long as the longest of those ripped from it.
    let length = beside.map(length_of).fold(length_of(piece), f64::max);
    (name, setting(house, length))
}

/// What is written on a piece: words, type size and baseline under the bar's top, mm. In one line, in two small ones, or its
/// label alone; `None` where not even that has room.
fn on_piece(name: &str, length: &str, room: f64, lean: f64) -> Option<Vec<(String, f64, f64)>> {
    // A mitred end leans over writing by as much of its lean as that takes of the bar's height.
    let fits = |text: &str, size: f64, part: f64| Type::plain(size).width(text) + part * lean.abs() <= room;
    let one = format!("{name} · {length}");
    if fits(&one, 3.4, 0.45) {
        return Some(vec![(one, 3.4, 4.4)]);
    }
    let two = [2.9, 2.6].into_iter().find(|size| fits(name, *size, 0.9) && fits(length, *size, 0.9));
    if let Some(size) = two {
        return Some(vec![(name.to_owned(), size, 2.8), (length.to_owned(), size, 5.8)]);
    }
    let alone = [3.4, 3.0, 2.6].into_iter().find(|size| fits(name, *size, 0.45))?;
    Some(vec![(name.to_owned(), alone, 4.4)])
}

/// How far a piece's ends lean over the writing on it, mm of board: the more of the two, and both where they lean apart.
fn lean(piece: &lay::Piece) -> f64 {
    let (left, right) = (piece.shift, piece.right_shift);
    if left == right { left } else { left.abs().max(right.abs()).max((left - right).abs()) }
}

/// The pieces of a board whose label or length has no room on its bar, from the left.
fn narrow_pieces(house: &House, stops: &Stops, stock: &StockBoard, mm: f64) -> String {
    let mut pieces: Vec<&lay::Piece> = stock.pieces.iter().filter(|piece| !piece.strip).collect();
    pieces.sort_by(|a, b| a.from.total_cmp(&b.from));
    let unsaid = pieces.into_iter().filter_map(|piece| {
        let (name, length) = piece_words(house, stops, stock, piece);
        let written = on_piece(&name, &length, (piece.to - piece.from) * mm - 1.0, lean(piece) * mm);
        let is_whole = written.is_some_and(|lines| lines.len() > 1 || lines[0].0.ends_with(&length));
        (!is_whole).then(|| format!("{name} · {length}"))
    });
    let unsaid: Vec<String> = unsaid.collect();
    if unsaid.is_empty() { String::new() } else { format!("narrow, from the left: {}", unsaid.join(", ")) }
}

/// Where a bar stands.
struct BarPlace<'a> {
    /// Left side of the board, mm; its number and box stand before it.
    x: f64,
    /// Right side of what is left over.
    right: f64,
    top: f64,
    /// Paper mm to a mm of board.
    mm: f64,
    row: Row,
    /// What each piece is cut at.
    stops: &'a Stops,
    /// The list it stands on.
    part: &'a SawPart,
}

/// One opened board with its pieces; what is left is hatched, and said where it is worth keeping.
fn put_bar(page: &mut Page, house: &House, (bar, stock): (&YieldBar, &StockBoard), place: &BarPlace<'_>) {
    let BarPlace { x, right, top, mm, row, stops, part } = *place;
    tick_box(page, x - BAR, top + 0.8);
    page.begin(row.head(0));
    page.write_as(&(bar.stock + 1).to_string(), x - 1.5, top + 4.6, Type::bold(3.8), Anchor::End);
    let whole = Rect::new(x, top, x + stock.length * mm, top + 6.4);
    page.rect(whole, None, Some((Rgb::QUIET, 0.18)));
    let mut pieces: Vec<&lay::Piece> = stock.pieces.iter().filter(|piece| !piece.strip).collect();
    pieces.sort_by(|a, b| a.from.total_cmp(&b.from));
    // What no piece takes, from the left.
    let starts = pieces.iter().map(|piece| piece.from).chain([stock.length]);
    let ends = std::iter::once(0.0).chain(pieces.iter().map(|piece| piece.to));
    let shifted = pieces.iter().any(|piece| piece.shift.abs().max(piece.right_shift.abs()) > 0.5);
    for (from, to) in ends.zip(starts).filter(|(from, to)| to - from > DUST && !shifted) {
        page.hatch(Rect::new(x + from * mm, top, x + to * mm, top + 6.4), 0.18, Rgb::QUIET);
    }
    // Between mitred ends lie points; what is left past the last of them is hatched all the same.
    let last = pieces.iter().map(|piece| piece.reach().1).fold(0.0, f64::max);
    if shifted && stock.length - last > DUST {
        page.hatch(Rect::new(x + last * mm, top, x + stock.length * mm, top + 6.4), 0.18, Rgb::QUIET);
    }
    page.begin(row.cell(1));
    for piece in pieces {
        let area = Rect::new(x + piece.from * mm, top, x + piece.to * mm, top + 6.4);
        // The groove edge lies at the bottom; mitred ends lean from there.
        let (left, right) = (piece.shift * mm, piece.right_shift * mm);
        let corners =
            [(area.x0, area.y1), (area.x1, area.y1), (area.x1 + right, area.y0), (area.x0 + left, area.y0)];
        let mut shape = BezPath::from_iter(corners.iter().enumerate().map(|(i, p)| match i {
            0 => PathEl::MoveTo((*p).into()),
            _ => PathEl::LineTo((*p).into()),
        }));
        shape.close_path();
        let turn = turn_of(house, part, stock, piece);
        let (fill, ink) = match turn {
            Ordering::Equal => (paper_ink(drawing::Role::SawnBoard).fill, Rgb::INK),
            _ => (None, Rgb::QUIET),
        };
        page.shape(&shape, fill, Some((ink, 0.25)));
        if turn.is_lt() {
            page.line((area.x0, area.y1), (area.x1, area.y0), 0.25, Rgb::QUIET);
        }
        let (name, length) = piece_words(house, stops, stock, piece);
        for (text, size, y) in
            on_piece(&name, &length, area.width() - 1.0, lean(piece) * mm).unwrap_or_default()
        {
            page.write_as(
                &text,
                area.center().x + (left + right) / 4.0,
                top + y,
                Type { colour: ink, ..Type::plain(size) },
                Anchor::Middle,
            );
        }
    }
    for (line, y) in source_lines(house, part, bar.stock, stock) {
        page.write(&line, whole.x1 + SOURCE_OFF, top + y, SOURCE);
    }
    if let Some((text, kind)) = left_words(house, bar) {
        page.begin(row.cell(2));
        page.write_as(&text, right, top + 4.4, kind, Anchor::End);
    }
}

/// Whether a piece, or a strip beside it, is sawn for this stage, and else whether it was sawn before.
fn turn_of(house: &House, part: &SawPart, stock: &StockBoard, piece: &lay::Piece) -> Ordering {
    let strips = stock.pieces.iter().filter(|strip| strip.strip);
    let mut beside = strips.filter(|strip| house.floor.strip_beside(strip.board) == Some(piece.board));
    match part.takes(piece.board) || beside.any(|strip| part.takes(strip.board)) {
        true => Ordering::Equal,
        false => part.turn(piece.board),
    }
}

/// What is left of a board, where that is more than dust.
fn left_words(house: &House, bar: &YieldBar) -> Option<(String, Type)> {
    let keep: Vec<String> = (house.order.leftovers.iter())
        .filter(|left| left.stock == bar.stock)
        .map(|left| figure(house, left.cut_length()))
        .collect();
    match (keep.is_empty(), bar.left_over >= DUST) {
        (false, _) => Some((format!("keep {}", keep.join(" + ")), Type::bold(3.6))),
        (true, true) => Some((format!("left {}", figure(house, bar.left_over)), Type::quiet(3.4))),
        (true, false) => None,
    }
}

/// Writing right of a bar, and how far off it stands, mm.
const SOURCE: Type = Type { size: 2.8, bold: false, colour: Rgb::QUIET };
const SOURCE_OFF: f64 = 1.2;

/// Which board to pick up: its length, where boards are sold in several, and its pack, or that it was begun before; each with its baseline under the bar's
/// top, mm.
fn source_lines(house: &House, part: &SawPart, index: usize, stock: &StockBoard) -> Vec<(String, f64)> {
    let pack = match part.shares_with(&house.floor, index, Ordering::Less) {
        true => "begun".to_owned(),
        false => format!("pack {}", stock.pack + 1),
    };
    match house.plan.stock.longest() - house.plan.stock.shortest() < 0.05 {
        true => vec![(pack, 4.2)],
        false => vec![(setting(house, stock.length), 2.8), (pack, 5.8)],
    }
}

/// Room that bars need at their right for which boards they are and what is left, mm.
fn right_of(house: &House, part: &SawPart, bars: &[(&YieldBar, &StockBoard)]) -> f64 {
    let room = |(bar, stock): &(&YieldBar, &StockBoard)| {
        let lines = source_lines(house, part, bar.stock, stock);
        let source = lines.iter().map(|(line, _)| SOURCE.width(line)).fold(0.0, f64::max);
        let left = left_words(house, bar).map_or(0.0, |(text, kind)| kind.width(&text) + 1.5);
        SOURCE_OFF + source + left + 1.0
    };
    bars.iter().map(room).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A strip longer than the piece that it is ripped beside, as in the robe of a house where one row lies on both sides of a
    /// wall: what is sawn off the board is as long as the strip, or that could not be had of it.
    #[test]
    fn a_piece_is_as_long_as_the_longest_ripped_from_it() {
        let mut plan = plan::Plan::new("t");
        let corners = |x: f64, y: f64, w: f64, h: f64| {
            [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(plan::Point::from)
        };
        // By hand: the row line at 3234 leaves 56 below the gap at the bedroom's wall and 22 above that of the robe, of one row.
        plan.start_line = plan::StartLine::At(3234.0);
        plan.rules.wall_gap = plan::GapRange { least: 10.0, greatest: 10.0 };
        plan.rooms.push(plan::Room::boarded("Bed", corners(0.0, 0.0, 5200.0, 3300.0)));
        plan.rooms.push(plan::Room::boarded("Robe", corners(0.0, 3392.0, 4200.0, 600.0)));
        let door = plan::Doorway::plain("Door", "Bed", 2, 3100.0, 1800.0);
        plan.doorways.push(plan::Doorway { wall_thickness: 92.0, beyond: plan::Beyond::RunThrough, ..door });
        let mut longer = 0;
        for seed in 1..40 {
            let house = pipeline::run(&plan::Plan { seed, ..plan.clone() }).expect("it is sound");
            let stops = stops(&house);
            for stock in &house.floor.stock {
                for strip in stock.pieces.iter().filter(|piece| piece.strip) {
                    let Some(of) = house.floor.strip_beside(strip.board) else { continue };
                    let main = stock.pieces.iter().find(|piece| piece.board == of && !piece.strip);
                    let Some(main) = main else { continue };
                    let (_, told) = piece_words(&house, &stops, stock, main);
                    let length = |board: usize| house.floor.boards[board].length();
                    let longest = length(of).max(length(strip.board)).floor();
                    longer += usize::from(length(strip.board) > length(of) + 1.0);
                    assert_eq!(told, setting(&house, longest), "seed {seed}");
                }
            }
        }
        assert!(longer > 0, "a strip is the longer one somewhere");
    }
}
