//! How few boards any legal stagger could open: a bound on the floor, not on the pieces that were chosen.

mod divide;
mod need;
mod prices;
mod refine;
mod shares;

pub use need::{Edge, Parted, RunNeed, Side, Width, needs, needs_with_legs_together};

use crate::Order;
use lay::Floor;
use need::{settled, step};
use plan::{Plan, Stock};
use prices::{Aim, Charged, Market};
use refine::refined;
use shares::Shares;

const MM_PER_M: f64 = 1000.0;
/// A bound this little over a whole number of boards is that number: sums of thousands of lengths round.
const ROUNDING: f64 = 1e-6;

/// What no legal stagger of a floor's runs goes below.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Bound {
    /// Boards opened, from the packs given.
    pub boards: usize,
    /// Boards of the packs given that have the area; no more than `boards`, and 0 where only runs are looked at.
    pub area: usize,
    /// Length of the boards opened from the packs given, m.
    pub wood: f64,
    /// Packs, where every pack is the same.
    pub packs: u32,
}

impl Bound {
    /// Boards opened over the bound.
    pub fn gap(&self, opened: usize) -> usize {
        opened.saturating_sub(self.boards)
    }
}

/// What no legal stagger of a laid floor goes below, with as many packs as its order has. It takes longer than the
/// order itself, so whoever shows it asks for it.
pub fn bound(plan: &Plan, floor: &Floor, order: &Order) -> Bound {
    let stock = &plan.stock;
    let least = least(&needs(floor, &plan.rules), stock, floor.pitch, order.packs);
    let area = area_bound(order.laid_area, stock, floor.pitch, order.packs);
    Bound { boards: least.boards.max(area), area, ..least }
}

/// Numbers of boards, wood and packs below which no legal stagger of these runs goes, whatever its joints.
/// `pitch` is the boards' face width, mm; `packs` those whose boards are at hand for [`Bound::boards`] and
/// [`Bound::wood`].
///
/// # Theorem
///
/// Give wood a price λ ≥ 0 a metre, a factory end a price π ≥ 0, and each board length k a scarcity μₖ ≥ 0 a
/// board, such that λ·(Lₖ + kerf) + 2π ≤ 1 + μₖ. Charge a piece that is sawn from a board λ·(length + kerf),
/// and π more if it is a starter or closer and so needs an end-match; charge a board used whole 1 + μₖ. Then
/// every legal floor opens at least Σ (least charge of each run) − Σ μₖ·(boards of length k at hand) boards.
///
/// *Proof.* The pieces of one board, with a saw cut each, are no longer than the board with one saw cut, for
/// the last may fall off its end; they need no more than its two ends; so together they are charged no more
/// than 1 + μₖ. Summed over the boards opened, all pieces are charged at most their number plus Σ μₖ·(boards
/// at hand). And a run is charged at least what its cheapest legal division is: one piece, if a board is so
/// long; else a starter and a closer, each a whole board or between the least end and the longest board,
/// with whole boards between them, since only they keep both ends. With square ends every piece may be sawn,
/// and the run has at least as many as the longest board goes into it. ∎
///
/// This is weak duality for the cutting-stock problem with free joints (P. C. Gilmore and R. E. Gomory, *A
/// linear programming approach to the cutting-stock problem*, Operations Research 9, 1961; from memory), so
/// any prices give a valid bound; a small linear programme finds good ones. Wood and packs are bounded alike,
/// with a board costing its length, or a share of a pack.
///
/// A strip left beside a rip may serve elsewhere, so a piece is charged a share of the above, by its width and
/// by the long edge it needs for the row beside it. Shares are such that pieces that can lie side by side on a
/// board, with a saw cut between them, at most one with its groove and one with its tongue, have no more than 1
/// together. Then the proof holds at every line across a board and at its ends, and so for the whole. A linear
/// programme finds the shares that make most of the floor's rips (as dual feasible functions: S. P. Fekete and
/// J. Schepers, *New classes of fast lower bounds for bin packing problems*, Mathematical Programming 91, 2001;
/// from memory). Of many widths it takes the best limit t instead: one piece of a board needs its groove and takes
/// more than t, or its tongue and what is left beside t, for two such do not fit. Where no pieces but these two kinds
/// lie side by side, no shares do better for stretches: the pieces that fit beside one another are nested by width, and in such
/// a graph the most pairs are as many as the fewest limits cover (König). But a run is charged for whole pieces, and a short
/// wide stretch lies in a long one: so the shares of several limits are mixed, which fit in any proportions, until the runs'
/// cheapest divisions are charged most (`bound/refine.rs`).
///
/// Along a run the share differs. Let s be the least of it. A piece with the share σ ≥ s, charged c, is charged
/// σc ≥ sc + (σ − s)·λ·length, since no piece is charged less than its wood. So the run is charged at least s times
/// its cheapest division, and λ times what its shares over s come to along its length.
///
/// Where boards are whole numbers of cells of a few millimetres long, that run's own cheapest division is found instead,
/// every piece charged the greatest share along it (`bound/divide.rs`), and of the two the dearer counts.
///
/// Joints are held to run across the whole of a run, and a piece to take a rectangle of its board, as wide as the
/// floor is anywhere along it; a place is charged for the narrowest such piece that can hold it. What is
/// relaxed: everything that joins one run to another (stagger, H joints, stairs, the order of laying, whole
/// numbers of cutting patterns).
///
/// Where a wall or thing parts a run lengthways into two sides, a piece there is one of three: it covers both sides and what
/// stands between them, or one of them from end to end, and a second piece the other. The second is charged its share of
/// the wood as far as it lies beside the first, since no piece is charged less; its own ends and saw cuts are not. So the
/// run is charged at least what the division costs for whose pieces the cheapest of the three was taken. This is charged where
/// divisions are found in cells; elsewhere the side charged less, alone, and so where three or more pieces lie beside one another.
///
/// # Slanting ends
///
/// Pieces at a wall aslant to the rows take of their boards what lies behind one slanting line, so that two of them may
/// overlap along the board. Draw a line along every board at the same share of its width: of the pieces it crosses no two
/// overlap on it, and between two lies a saw cut at least. So with every piece charged by the length of it that the line
/// crosses, and of rips only those that cannot lie beside it, the proof holds along the line. A run is then as long as the
/// line crosses it, its least end shorter by what the line misses; a board between two ends is crossed from end to end. Where
/// the line misses more of an end than the least end, no division is told from another there, and what is missed is charged
/// nothing. The bound is the best of a few lines, and of what the shares above charge between the slants alone.
pub fn least(runs: &[RunNeed], stock: &Stock, pitch: f64, packs: u32) -> Bound {
    if runs.iter().all(RunNeed::is_square) {
        return least_of(runs, (stock, pitch, packs), shares_of);
    }
    let of = (stock, pitch, packs);
    let between: Vec<RunNeed> = runs.iter().map(RunNeed::between_slants).collect();
    let ripped = Shares::best_line(&between, pitch, stock.kerf);
    let mut best = match ripped {
        Some(_) => least_of(&between, of, shares_of),
        None => Bound::default(),
    };
    for line in [0.0, 0.5, 1.0].into_iter().chain(ripped) {
        let crossed: Vec<RunNeed> = runs.iter().map(|run| run.along_line(line)).collect();
        let by_line =
            least_of(&crossed, of, |runs, pitch, _| Shares::across_line(runs, pitch, stock.kerf, line));
        best = Bound {
            boards: best.boards.max(by_line.boards),
            area: 0,
            wood: best.wood.max(by_line.wood),
            packs: best.packs.max(by_line.packs),
        };
    }
    best
}

/// The shares by which runs of square ends are charged most.
fn shares_of(runs: &[RunNeed], pitch: f64, market: &Market) -> Shares {
    refined(Shares::of(runs, pitch, market.kerf * MM_PER_M), runs, market)
}

/// The bound for runs with square ends and what pieces of them are charged.
fn least_of(
    runs: &[RunNeed],
    (stock, pitch, packs): (&Stock, f64, u32),
    shares: impl Fn(&[RunNeed], f64, &Market) -> Shares,
) -> Bound {
    let market = Market::new(stock, packs, step(runs.len()));
    if market.kinds.is_empty() || runs.is_empty() {
        return Bound::default();
    }
    let runs: Vec<RunNeed> = runs.iter().map(|run| settled(run, stock)).collect();
    let shares = shares(&runs, pitch, &market);
    let charged = Charged::new(&runs, &shares, stock, &market.kinds);
    let rounded = |value: f64| (value - ROUNDING).ceil().max(0.0);
    Bound {
        boards: rounded(market.bound(&charged, Aim::Boards)) as usize,
        area: 0,
        wood: market.bound(&charged, Aim::Wood),
        packs: rounded(market.bound(&charged, Aim::Packs)) as u32,
    }
}

/// The fewest boards that have this area, m², taken from the packs longest first.
pub fn area_bound(area: f64, stock: &Stock, pitch: f64, packs: u32) -> usize {
    let mut kinds: Vec<(f64, u32)> = stock.lengths.iter().map(|l| (l.length, l.per_pack)).collect();
    kinds.extend(stock.random.map(|random| (random.longest, random.per_pack)));
    kinds.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut rest = area;
    let mut boards = 0;
    for (length, per_pack) in kinds.into_iter().filter(|(length, _)| *length > 0.0 && pitch > 0.0) {
        let each = length * pitch / (MM_PER_M * MM_PER_M);
        let needed = (rest / each - ROUNDING).ceil().max(0.0) as u64;
        let taken = needed.min(u64::from(per_pack) * u64::from(packs));
        boards += taken as usize;
        rest -= taken as f64 * each;
    }
    boards
}
