//! Tiny floors and an exhaustive search over their joints and cuts, written apart from the bound that it is held against.

use crate::Dice;
use order::{Edge, Parted, RunNeed, Side, Width, least};
use plan::{BoardLength, Stock};

const PITCH: f64 = 190.0;
/// Joints are tried at these steps from a run's end, mm, and wherever they use up what is left of a board.
const STEP: f64 = 50.0;
const EXACT: f64 = 1e-6;
/// Tells the dice of walls from those of the floor they stand on.
const PARTED: u64 = 0x5eed_0a11;
/// Boards over a bound that are looked for.
const UPWARDS: usize = 4;

/// A floor of a few short runs, each as stretches along it: length, width and the long edge needed.
#[derive(Debug)]
pub struct Case {
    runs: Vec<Vec<Width>>,
    /// Its boards.
    pub stock: Stock,
    packs: u32,
    least_end: f64,
}

impl Case {
    /// The tiny floor of a seed.
    pub fn new(seed: u64) -> Self {
        let dice = &mut Dice::new(seed);
        let longest = dice.mm(100.0, 200.0) * 10.0;
        let mut lengths = vec![BoardLength { length: longest, per_pack: 1 + dice.below(3) as u32 }];
        if dice.one_in(2) {
            let length = (longest * dice.between(0.4, 0.9)).round();
            lengths.push(BoardLength { length, per_pack: 1 + dice.below(2) as u32 });
        }
        let stock = Stock {
            lengths,
            kerf: [0.0, 3.0, 3.0, 20.0][dice.below(4)],
            end_match: !dice.one_in(5),
            ..Stock::default()
        };
        let ripped = dice.one_in(3);
        // Rooms are mostly square: runs of one length.
        let usual = dice.mm(30.0, 320.0) * 10.0;
        let runs = (0..2 + dice.below(4))
            .map(|_| {
                let length = if dice.one_in(2) { usual } else { dice.mm(30.0, 320.0) * 10.0 };
                // A notch or a taper leaves a run narrower in part.
                let parted = if ripped && dice.one_in(2) { length * dice.between(0.1, 0.9) } else { 0.0 };
                let mut stretch = |length: f64| {
                    let width = if ripped && dice.one_in(2) { dice.mm(20.0, 180.0) } else { PITCH };
                    let edge = [Edge::Neither, Edge::Groove, Edge::Tongue][dice.below(3)];
                    Width::new(length, width, edge)
                };
                let both = [stretch(parted), stretch(length - parted)];
                both.into_iter().filter(|stretch| stretch.length > 0.0).collect()
            })
            .collect();
        let least_end = dice.mm(5.0, 40.0) * 10.0;
        Self { runs, stock, packs: 1 + dice.below(12) as u32, least_end }
    }

    /// A tiny floor in which walls part some of the stretches: a side that keeps the groove, the wall, a side that keeps the tongue.
    pub fn parted(seed: u64) -> Self {
        let mut case = Self::new(seed);
        let dice = &mut Dice::new(seed ^ PARTED);
        for stretch in case.runs.iter_mut().flatten() {
            if dice.one_in(2) {
                continue;
            }
            let groove = dice.mm(10.0, 120.0);
            let tongue = dice.mm(10.0, 150.0 - groove);
            let [groove, tongue] =
                [(groove, Edge::Groove), (tongue, Edge::Tongue)].map(|(width, edge)| Side { width, edge });
            let both = Side { width: PITCH, edge: Edge::Neither };
            let least = groove.width.min(tongue.width);
            let parted = Some(Parted { sides: [groove, tongue], both });
            *stretch = Width { parted, ..Width::new(stretch.length, least, Edge::Neither) };
        }
        case
    }

    /// Whether every run is of whole width all along.
    pub fn is_whole(&self) -> bool {
        self.runs.iter().flatten().all(|stretch| stretch.width > PITCH - EXACT)
    }

    /// The fewest boards of `from` or a few more that the exhaustive search finds; `None` where it finds none or gives up.
    pub fn fewest(&self, from: usize) -> Option<usize> {
        (from..from + UPWARDS).find(|limit| self.opens(*limit))
    }

    /// Whether a floor of at most `limit` boards was found.
    pub fn opens(&self, limit: usize) -> bool {
        Search::finds(self, limit)
    }

    /// The bound on boards opened.
    pub fn bound(&self) -> usize {
        self.bound_for(|stretch| *stretch)
    }

    /// The same where only the narrower side of each parted stretch is charged.
    pub fn bound_of_one_side(&self) -> usize {
        self.bound_for(|stretch| Width { parted: None, ..*stretch })
    }

    fn bound_for(&self, charged: impl Fn(&Width) -> Width) -> usize {
        let runs: Vec<RunNeed> = self
            .runs
            .iter()
            .map(|widths| RunNeed {
                length: widths.iter().map(|stretch| stretch.length).sum(),
                least_end: self.least_end,
                widths: widths.iter().map(&charged).collect(),
                slants: [0.0; 2],
            })
            .collect();
        least(&runs, &self.stock, PITCH, self.packs).boards
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Piece {
    Alone,
    Starter,
    Closer,
    /// A whole board of this length, by its place in the stock.
    Whole(usize),
}

/// A piece, its length, how wide it is and whether it needs the groove and the tongue.
type Need = (Piece, f64, f64, [bool; 2]);

/// What each piece of a run, from its left end, may need: it is as wide as the run is anywhere along it, and has every long
/// edge that is needed there. Along a stretch that is parted it covers both sides, or one, and a second piece, which needs no
/// ends, the other.
fn needs(run: &[Width], pieces: &[(Piece, f64)]) -> Vec<Vec<Vec<Need>>> {
    let mut from = 0.0;
    let of = |(piece, length): &(Piece, f64)| {
        let mut at = 0.0;
        let mut ways: Vec<(Vec<Side>, Vec<Need>)> = vec![Default::default()];
        for stretch in run {
            let to = at + stretch.length;
            if from < to - EXACT && from + length > at + EXACT {
                let beside = (to.min(from + length) - at.max(from)).max(0.0);
                let choices = match stretch.parted {
                    None => vec![(Side { width: stretch.width, edge: stretch.edge }, None)],
                    Some(Parted { sides: [low, high], both }) => {
                        vec![(both, None), (low, Some(high)), (high, Some(low))]
                    }
                };
                let with = |(sides, others): &(Vec<Side>, Vec<Need>)| {
                    let with = |(side, other): &(Side, Option<Side>)| {
                        let other = other.map(|other| need(Piece::Alone, beside, &[other]));
                        let others = others.iter().copied().chain(other);
                        ([&sides[..], &[*side]].concat(), others.collect())
                    };
                    choices.iter().map(with).collect::<Vec<_>>()
                };
                ways = ways.iter().flat_map(with).collect();
            }
            at = to;
        }
        from += length;
        let all = |(sides, others): (Vec<Side>, Vec<Need>)| {
            std::iter::once(need(*piece, *length, &sides)).chain(others).collect()
        };
        ways.into_iter().map(all).collect()
    };
    pieces.iter().map(of).collect()
}

/// What a piece needs that covers all of these.
fn need(piece: Piece, length: f64, sides: &[Side]) -> Need {
    let width = sides.iter().map(|side| side.width).fold(0.0, f64::max);
    let has = |edge: Edge| sides.iter().any(|side| side.width < PITCH - EXACT && side.edge == edge);
    let edges = [Edge::Groove, Edge::Tongue].map(has);
    // With both edges it is as wide as the board.
    let width = if edges == [true; 2] { PITCH } else { width };
    (piece, length, width, if width > PITCH - EXACT { [false; 2] } else { edges })
}

/// Every order of whole boards of two kinds.
fn orders(many: usize, other: usize) -> Vec<Vec<usize>> {
    if many == 0 || other == 0 {
        return vec![[vec![0; many], vec![1; other]].concat()];
    }
    let begun =
        |kind: usize, rest: Vec<Vec<usize>>| rest.into_iter().map(move |rest| [vec![kind], rest].concat());
    begun(0, orders(many - 1, other)).chain(begun(1, orders(many, other - 1))).collect()
}

/// What is left of an opened board, or of a strip of it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Left {
    kind: usize,
    /// Length left, with one saw cut more.
    room: f64,
    left: bool,
    right: bool,
    width: f64,
    /// Which long edges it has besides that of the pieces cut from it.
    groove: bool,
    tongue: bool,
}

/// Looks for any way to lay a case with so many boards: every composition of every run, every piece from every board.
struct Search<'a> {
    case: &'a Case,
    limit: usize,
    opened: Vec<u32>,
    left: Vec<Left>,
    nodes: usize,
}

const MOST_NODES: usize = 3000;

impl Search<'_> {
    /// Whether a floor of at most `limit` boards was found.
    fn finds(case: &Case, limit: usize) -> bool {
        let opened = vec![0; case.stock.lengths.len()];
        Search { case, limit, opened, left: Vec::new(), nodes: 0 }.run(0)
    }

    fn run(&mut self, index: usize) -> bool {
        let Some(run) = self.case.runs.get(index) else { return true };
        let length = run.iter().map(|stretch| stretch.length).sum();
        self.nodes += 1;
        if self.nodes > MOST_NODES {
            return false;
        }
        for pieces in self.compositions(length) {
            if self.place(index, &[], &needs(run, &pieces)) {
                return true;
            }
        }
        false
    }

    fn compositions(&self, length: f64) -> Vec<Vec<(Piece, f64)>> {
        let (stock, least) = (&self.case.stock, self.case.least_end);
        let longest = stock.longest();
        let mut all = Vec::new();
        if length <= longest {
            all.push(vec![(Piece::Alone, length)]);
        }
        let kinds: Vec<f64> = stock.lengths.iter().map(|l| l.length).collect();
        let second = kinds.get(1).copied().unwrap_or(f64::INFINITY);
        for many in 0..=(length / kinds[0]) as usize {
            for other in 0..=(length / second) as usize {
                let whole = many as f64 * kinds[0] + other as f64 * if other > 0 { second } else { 0.0 };
                let rest = length - whole;
                if rest < -EXACT {
                    continue;
                }
                let whole_boards = |order: Vec<usize>| -> Vec<(Piece, f64)> {
                    order.into_iter().map(|kind| (Piece::Whole(kind), kinds[kind])).collect()
                };
                let bases: Vec<_> = orders(many, other).into_iter().map(whole_boards).collect();
                if rest < EXACT {
                    all.extend(bases);
                    continue;
                }
                if rest >= least && rest <= longest && many + other > 0 {
                    for base in &bases {
                        all.push([vec![(Piece::Starter, rest)], base.clone()].concat());
                        all.push([base.clone(), vec![(Piece::Closer, rest)]].concat());
                    }
                }
                let mut starters: Vec<f64> =
                    (0..=(longest / STEP) as usize).map(|i| least + i as f64 * STEP).collect();
                for left in &self.left {
                    starters.push(left.room - stock.kerf);
                    starters.push(rest - (left.room - stock.kerf));
                }
                starters.push(rest / 2.0);
                for starter in starters {
                    let closer = rest - starter;
                    if starter.min(closer) >= least && starter.max(closer) <= longest {
                        let ends = [vec![(Piece::Starter, starter)], vec![(Piece::Closer, closer)]];
                        for base in &bases {
                            all.push([&ends[0][..], base, &ends[1]].concat());
                        }
                    }
                }
            }
        }
        all
    }

    /// Cuts these pieces, and then the others in any of their ways.
    fn place(&mut self, run: usize, pieces: &[Need], others: &[Vec<Vec<Need>>]) -> bool {
        let Some(((piece, length, width, edges), rest)) = pieces.split_first() else {
            let Some((ways, others)) = others.split_first() else { return self.run(run + 1) };
            return ways.iter().any(|way| self.place(run, way, others));
        };
        let width = *width;
        self.nodes += 1;
        if self.nodes > MOST_NODES {
            return false;
        }
        let stock = &self.case.stock;
        let kerf = stock.kerf;
        let mut tried: Vec<Left> = Vec::new();
        for i in 0..self.left.len() {
            let left = self.left[i];
            let has_edge = (!edges[0] || left.groove) && (!edges[1] || left.tongue);
            if tried.contains(&left) || left.width < width - EXACT || !has_edge {
                continue;
            }
            tried.push(left);
            if let Some(after) = cut(left, *piece, *length, stock) {
                self.left[i] = after;
                if self.place(run, rest, others) {
                    return true;
                }
                self.left[i] = left;
            }
        }
        if self.opened.iter().sum::<u32>() as usize >= self.limit {
            return false;
        }
        for (kind, l) in stock.lengths.iter().enumerate() {
            if self.opened[kind] >= l.per_pack * self.case.packs {
                continue;
            }
            // The strip beside a rip keeps both ends, and the long edge that the rip does without.
            for keeps_groove in [true, false] {
                if edges[usize::from(keeps_groove)] {
                    continue;
                }
                let room = l.length + kerf;
                let is_whole = width > PITCH - EXACT;
                let (groove, tongue) = (keeps_groove || is_whole, !keeps_groove || is_whole);
                let fresh = Left { kind, room, left: true, right: true, width, groove, tongue };
                let Some(after) = cut(fresh, *piece, *length, stock) else { continue };
                self.opened[kind] += 1;
                let before = self.left.len();
                self.left.push(after);
                let beside = PITCH - width - kerf;
                self.left.push(Left { width: beside, groove: !groove, tongue: groove, ..fresh });
                if self.place(run, rest, others) {
                    return true;
                }
                self.left.truncate(before);
                self.opened[kind] -= 1;
            }
        }
        false
    }
}

/// What is left when a piece is cut from what was left.
fn cut(left: Left, piece: Piece, length: f64, stock: &Stock) -> Option<Left> {
    let after = Left { room: left.room - length - stock.kerf, ..left };
    if after.room < -EXACT {
        return None;
    }
    if !stock.end_match {
        return Some(after);
    }
    match piece {
        Piece::Alone => Some(after),
        Piece::Starter if left.right => Some(Left { right: false, ..after }),
        Piece::Closer if left.left => Some(Left { left: false, ..after }),
        Piece::Whole(kind) if kind == left.kind && left.left && left.right => {
            Some(Left { left: false, right: false, ..after })
        }
        _ => None,
    }
}
