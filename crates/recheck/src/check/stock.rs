//! Every board is cut from one stretch of one stock board; kerf, ends and long edges are kept; counts follow.

use super::{Scene, extent};
use crate::plan::Pattern;
use crate::report::{Promise, Report};
use crate::result::{Board, Piece, StockBoard};
use std::collections::BTreeMap;

/// Lengths on a stock board agree to this, mm.
const TRUE: f64 = 1e-3;
/// A board no more than this longer than a piece is that piece as it is sold, mm (docs/rules.md).
const HAIR: f64 = 0.1;
/// Rips no further apart than this are one setting of the saw, mm: a strip and what it lies beside may take so much more.
const WIDE: f64 = 0.05;

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let house = scene.house;
    let mut cut = vec![0_usize; house.boards.len()];
    for (index, stock) in house.stock.iter().enumerate() {
        let place = format!("stock board {index}");
        is_sold(scene, report, stock, &place);
        pieces(scene, report, index, &place);
        for piece in &stock.pieces {
            cut[piece.board] += 1;
        }
        let left = left_over(stock, scene.plan.stock.kerf);
        report.same(Promise::Counts, &place, "left over", stock.left_over, left, TRUE);
    }
    for (board, count) in house.boards.iter().zip(&cut) {
        report
            .hold(Promise::Stock, *count == 1, || (board.label.clone(), format!("it is cut {count} times")));
    }
    ends(scene, report);
    counts(scene, report);
}

/// Its length is one that is sold.
fn is_sold(scene: &Scene, report: &mut Report, board: &StockBoard, place: &str) {
    let stock = &scene.plan.stock;
    let listed = stock.lengths.iter().any(|l| l.per_pack > 0 && (l.length - board.length).abs() <= TRUE);
    let random = stock.random.as_ref();
    let drawn = random.is_some_and(|r| (r.shortest - TRUE..=r.longest + TRUE).contains(&board.length));
    // What was opened before came from packs of then.
    report.hold(Promise::Stock, listed || drawn || house_is_laid(scene), || {
        (place.to_owned(), format!("no board of {} is sold", board.length))
    });
    report.hold(Promise::Stock, !board.pieces.is_empty() || house_is_laid(scene), || {
        (place.to_owned(), "it is opened and nothing is cut from it".into())
    });
}

fn house_is_laid(scene: &Scene) -> bool {
    scene.house.laid.is_some()
}

/// Pieces lie on their board a saw cut apart, and each is as long as the board it makes.
fn pieces(scene: &Scene, report: &mut Report, index: usize, place: &str) {
    let (house, kerf) = (scene.house, scene.plan.stock.kerf);
    let board = &house.stock[index];
    for strip in [false, true] {
        let mut before: Option<&Piece> = None;
        for piece in board.pieces.iter().filter(|piece| piece.strip == strip) {
            let made = &house.boards[piece.board];
            // Blocks sold with mitred ends are cut from boards whose own ends slant alike.
            let (from, to) = if is_sold_mitred(scene, made) { (piece.from, piece.to) } else { piece.reach() };
            report.hold(Promise::Stock, from >= -TRUE && to <= board.length + TRUE, || {
                (place.to_owned(), format!("{} reaches from {from} to {to} of {}", made.label, board.length))
            });
            if let Some(before) = before {
                // Along either long edge: pieces whose ends slant lie into one another, and the saw that parts them goes
                // across by as much more as the flatter of them slants.
                let (after, ended) = (piece.shifts()[0], before.shifts()[1]);
                let apart = (piece.from - before.to).min(piece.from + after - before.to - ended);
                let lean = after.abs().max(ended.abs()) / scene.plan.stock.pitch();
                // Ends that lean apart may be crosscut first.
                let are_nested = after * ended > 0.0;
                let kerf = if are_nested { kerf * (1.0 + lean * lean).sqrt() } else { kerf };
                report.hold(Promise::Stock, apart >= kerf - TRUE, || {
                    (
                        place.to_owned(),
                        format!(
                            "{} is cut {apart} after the piece before it, the saw takes {kerf}",
                            made.label
                        ),
                    )
                });
            }
            before = Some(piece);
            report.hold(Promise::Stock, made.stock == index, || {
                (made.label.clone(), format!("it says it is cut from {}, {index} has it", made.stock))
            });
            // What lies was cut as it was cut.
            if !made.laid {
                let long = piece.to - piece.from;
                // A short piece may be sawn from a longer one that is safe to hold.
                let (begins, ends) = (made.stock_from, made.stock_from + made.length);
                let is_block = !made.is_in_row();
                let (from, to) = if is_block { (piece.from, piece.to) } else { (from, to) };
                let holds = begins >= from - TRUE && ends <= to + TRUE;
                report.hold(Promise::Stock, holds, || {
                    let what = format!(
                        "{} long from {}, its piece {long} from {}",
                        made.length, made.stock_from, piece.from
                    );
                    (made.label.clone(), what)
                });
                profile(scene, report, board, piece, place);
                behind_its_ends(scene, report, piece);
            }
            if strip {
                beside(scene, report, board, piece);
            }
        }
    }
}

fn is_sold_mitred(scene: &Scene, made: &Board) -> bool {
    let plan = scene.plan;
    plan.stock.end_match
        && !made.is_in_row()
        && !made.border
        && matches!(plan.pattern, Pattern::Chevron { .. })
}

/// An end that is a factory end lies at that end of the stock board.
fn profile(scene: &Scene, report: &mut Report, board: &StockBoard, piece: &Piece, place: &str) {
    let made = &scene.house.boards[piece.board];
    // Blocks may be sold mitred.
    let are_square = made.is_in_row() || piece.shifts() == [0.0; 2];
    let [at_left, at_right] = piece.shifts().map(|shift| shift == 0.0);
    let left = made.left_end != "factory" || (at_left && piece.from.abs() <= HAIR);
    let right = made.right_end != "factory" || (at_right && (piece.to - board.length).abs() <= HAIR);
    report.hold(Promise::Stock, !are_square || (left && right), || {
        let ends = format!("ends {} and {}", made.left_end, made.right_end);
        (made.label.clone(), format!("{ends}, cut from {} to {} of {place}", piece.from, piece.to))
    });
}

/// A board in a row lies on its stock board behind the lines in which its piece ends.
fn behind_its_ends(scene: &Scene, report: &mut Report, piece: &Piece) {
    let made = &scene.house.boards[piece.board];
    if !made.is_in_row() || piece.shifts() == [0.0; 2] {
        return;
    }
    let pitch = scene.plan.stock.pitch();
    let ([left, right], [low, high]) = extent(&scene.rows[piece.board]);
    let past = |groove: f64| {
        let mut off = 0.0_f64;
        for corner in scene.rows[piece.board].exterior().coords() {
            // In the board's own frame, tongue away: past a slip tongue it lies turned half round.
            let (x, y) = match made.turned {
                true => (right - corner.x, high - corner.y),
                false => (corner.x - left, corner.y - low),
            };
            let at = made.stock_from + x;
            let [after, before] = piece.shifts().map(|shift| shift * (y + groove) / pitch);
            off = off.max(piece.from + after - at).max(at - piece.to - before);
        }
        off
    };
    // One that is notched along a long edge reaches to the other.
    let off = past(0.0).min(past((pitch - (high - low)).max(0.0)));
    report.hold(Promise::Stock, off <= WIDE, || {
        (made.label.clone(), format!("it reaches {off} past the slanting ends of its piece"))
    });
}

/// A strip lies beside one piece, both fit in the board's width with the saw cut, and no long edge is kept twice.
fn beside(scene: &Scene, report: &mut Report, board: &StockBoard, strip: &Piece) {
    let made = &scene.house.boards[strip.board];
    let holder = board
        .pieces
        .iter()
        .find(|piece| !piece.strip && piece.from <= strip.from + TRUE && strip.to <= piece.to + TRUE);
    let Some(holder) = holder else {
        report.hold(Promise::Stock, false, || (made.label.clone(), "it is a strip beside nothing".into()));
        return;
    };
    let (pitch, kerf) = (scene.plan.stock.pitch(), scene.plan.stock.kerf);
    let wide = |board: usize| {
        let (_, [low, high]) = extent(&scene.rows[board]);
        high - low
    };
    if !scene.house.boards[holder.board].is_in_row() || !made.is_in_row() {
        return;
    }
    let both = wide(strip.board) + wide(holder.board) + kerf;
    report.hold(Promise::Stock, both <= pitch + WIDE, || {
        let other = &scene.house.boards[holder.board].label;
        (made.label.clone(), format!("with {other} and the saw cut it takes {both} of a board {pitch} wide"))
    });
}

/// Boards that meet end to end show factory ends to one another where ends join.
fn ends(scene: &Scene, report: &mut Report) {
    if !scene.plan.stock.end_match {
        return;
    }
    for joint in &scene.house.joints {
        let [left, right] = joint.boards.map(|board| &scene.house.boards[board]);
        let (at_left, at_right) = match left.turned {
            true => (&left.left_end, &right.right_end),
            false => (&left.right_end, &right.left_end),
        };
        let holds = at_left == "factory" && at_right == "factory" && left.turned == right.turned;
        report.hold(Promise::Stock, holds || left.laid || right.laid, || {
            (format!("{} and {}", left.label, right.label), format!("ends {at_left} and {at_right} meet"))
        });
    }
}

/// The longest stretch left, saw cuts taken off; none where the saw cut takes it.
fn left_over(board: &StockBoard, kerf: f64) -> f64 {
    stretches(board, kerf).into_iter().fold(0.0, f64::max)
}

/// Stretches between pieces and at the ends, saw cuts taken off.
fn stretches(board: &StockBoard, kerf: f64) -> Vec<f64> {
    let pieces: Vec<&Piece> = board.pieces.iter().filter(|piece| !piece.strip).collect();
    let mut all = Vec::new();
    let mut at: Option<f64> = None;
    for piece in &pieces {
        let start = at.map_or(0.0, |at| at + kerf);
        all.push(piece.reach().0 - kerf - start);
        at = Some(piece.reach().1);
    }
    all.push(board.length - at.map_or(0.0, |at| at + kerf));
    all
}

fn counts(scene: &Scene, report: &mut Report) {
    let (house, stock) = (scene.house, &scene.plan.stock);
    let used = &house.use_of_stock;
    let count = |what: &str, said: usize, found: usize, report: &mut Report| {
        report.same(Promise::Counts, "the stock", what, said as f64, found as f64, 0.0);
    };
    count("boards opened", used.opened, house.stock.len(), report);
    count("opened less the bound", used.gap, used.opened.saturating_sub(used.bound), report);
    let bounds =
        used.bound <= used.opened && used.area_bound <= used.opened && used.packs_bound <= used.packs;
    report.hold(Promise::Counts, bounds && used.length_bound <= used.opened_length + 1e-9, || {
        ("the stock".into(), "a bound lies over what is opened".into())
    });
    let metres = house.stock.iter().map(|board| board.length).sum::<f64>() / 1000.0;
    report.same(Promise::Counts, "the stock", "length opened", used.opened_length, metres, 1e-6);
    // Of one length no more boards come out of a pack than are in it, and the packs bought hold all of them.
    let mut packs: BTreeMap<(usize, u64), usize> = BTreeMap::new();
    for board in &house.stock {
        let hand = board.pieces.first().and_then(|piece| house.boards[piece.board].hand.as_ref());
        if hand.is_none() {
            *packs.entry((board.pack, board.length.to_bits())).or_default() += 1;
        }
        report.hold(Promise::Counts, board.pack >= 1, || ("the stock".into(), "a board from pack 0".into()));
    }
    for ((pack, length), taken) in &packs {
        let length = f64::from_bits(*length);
        let listed = stock.lengths.iter().find(|l| l.length == length);
        let holds = listed.is_none_or(|l| *taken <= l.per_pack as usize);
        report.hold(Promise::Counts, holds || house_is_laid(scene), || {
            (format!("pack {pack}"), format!("{taken} boards of {length} are taken from it"))
        });
    }
    for line in &used.lengths {
        let listed = stock.lengths.iter().find(|l| (l.length - line.length).abs() <= TRUE && l.per_pack > 0);
        let is_of = |board: &&StockBoard| match listed {
            Some(l) => board.length == l.length,
            None => !stock.lengths.iter().any(|l| l.length == board.length),
        };
        let of: Vec<&StockBoard> = house.stock.iter().filter(is_of).collect();
        let per_pack =
            listed.map(|l| l.per_pack).or(stock.random.as_ref().map(|r| r.per_pack)).unwrap_or(0) as usize;
        let what = |what: &str| format!("{what} of {}", line.length);
        count(&what("boards opened"), line.opened, of.len(), report);
        count(&what("boards bought"), line.bought, used.packs * per_pack, report);
        report.hold(Promise::Counts, line.bought >= line.opened, || {
            ("the stock".into(), format!("{} of {} bought, {} opened", line.bought, line.length, line.opened))
        });
        let opened = of.iter().map(|board| board.length).sum::<f64>() / 1000.0;
        report.same(Promise::Counts, "the stock", &what("length opened"), line.opened_length, opened, 1e-6);
        let whole = of.iter().flat_map(|board| &board.pieces).filter(|piece| !piece.strip);
        let laid = whole.map(Piece::length).sum::<f64>() / 1000.0;
        report.same(Promise::Counts, "the stock", &what("length laid"), line.laid_length, laid, 1e-6);
    }
    if let Some(most) = stock.packs {
        let short = house.flags.iter().any(|flag| flag.kind == "stock-short");
        report.hold(Promise::Counts, used.packs <= most as usize || short, || {
            ("the stock".into(), format!("{} packs, {most} are on hand", used.packs))
        });
    }
    leftovers(scene, report);
}

fn leftovers(scene: &Scene, report: &mut Report) {
    let house = scene.house;
    let least = scene.plan.rules.least_end;
    let mut found: Vec<(usize, f64)> = Vec::new();
    for (index, board) in house.stock.iter().enumerate().filter(|(_, board)| !board.pieces.is_empty()) {
        let long = stretches(board, scene.plan.stock.kerf).into_iter().filter(|long| *long >= least);
        found.extend(long.map(|long| (index, long)));
    }
    let said: Vec<(usize, f64)> = house.use_of_stock.leftovers.iter().map(|l| (l.stock, l.length)).collect();
    let has = |all: &[(usize, f64)], one: &(usize, f64)| {
        all.iter().any(|other| other.0 == one.0 && (other.1 - one.1).abs() <= TRUE)
    };
    let near_limit = |one: &(usize, f64)| (one.1 - least).abs() <= TRUE;
    for one in found.iter().filter(|one| !near_limit(one)) {
        report.hold(Promise::Counts, has(&said, one) || house_is_laid(scene), || {
            (format!("stock board {}", one.0), format!("{} left that is not listed", one.1))
        });
    }
    for one in said.iter().filter(|one| !near_limit(one)) {
        report.hold(Promise::Counts, has(&found, one) || house_is_laid(scene), || {
            (format!("stock board {}", one.0), format!("{} listed as left, and is not", one.1))
        });
    }
    report.hold(Promise::Counts, house.use_of_stock.opened_before <= house.use_of_stock.opened, || {
        ("the stock".into(), "more opened before than opened".into())
    });
}
