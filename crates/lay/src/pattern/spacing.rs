//! Where the joints of a border's strip go: apart from those beside it, out of line with those beyond, and with
//! no short ends.

use plan::{Rules, Stock};

/// A board is that much longer than it measures at most, mm.
const EXACT: f64 = 1e-6;
/// Places this close are one, mm.
const TRUE: f64 = 0.1;
/// Lengths of a strip's first piece that are tried, beside those that whole boards and joints nearby name.
const TRIED: usize = 48;
/// First pieces are cut in steps of this, mm, so that one setting of the stop serves several.
const STOP_STEP: f64 = 10.0;

/// Joints along a strip that its own are held against, each list sorted, mm along it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Near {
    /// Those of the courses, or the row, side by side with it.
    pub(super) beside: Vec<f64>,
    /// Those one course or row further off.
    pub(super) beyond: Vec<f64>,
}

impl Near {
    pub(super) fn sort(&mut self) {
        self.beside.sort_by(f64::total_cmp);
        self.beyond.sort_by(f64::total_cmp);
    }
}

/// What some joints break, the less the better in this order: short ends, joints too close, joints in line with
/// one two courses off, their number.
type Faults = (usize, usize, usize, usize);

/// A strip that is to be parted.
struct Strip<'a> {
    from: f64,
    to: f64,
    /// Lengths of whole boards, the longest first.
    lengths: Vec<f64>,
    near: &'a Near,
    rules: &'a Rules,
}

/// Joints of a strip from `from` to `to`, mm: a first piece, whole boards, a last piece. Of the first pieces that
/// are tried, the one whose joints break least; of equals the one that is tried first, a whole board.
pub(super) fn joints(from: f64, to: f64, stock: &Stock, near: &Near, rules: &Rules) -> Vec<f64> {
    let mut lengths: Vec<f64> = stock.lengths.iter().filter(|l| l.per_pack > 0).map(|l| l.length).collect();
    lengths.sort_by(|a, b| b.total_cmp(a));
    let Some(&longest) = lengths.first() else { return Vec::new() };
    let strip = Strip { from, to, lengths, near, rules };
    let length = to - from;
    if length <= longest {
        return Vec::new();
    }
    let (least, stagger) = (rules.least_end, rules.least_stagger);
    let rest = length.rem_euclid(longest);
    let mut firsts = strip.lengths.clone();
    firsts.extend([rest, (rest - least).rem_euclid(longest), least, (rest + longest) / 2.0, rest / 2.0]);
    let first_reached = near.beside.partition_point(|joint| *joint < from);
    for joint in near.beside[first_reached..].iter().take_while(|joint| **joint < from + longest) {
        firsts.extend([joint - from + stagger, joint - from - stagger]);
    }
    let step = ((longest - least) / TRIED as f64 / STOP_STEP).ceil().max(1.0) * STOP_STEP;
    let count = ((longest - least) / step).max(0.0) as usize;
    firsts.extend((0..=count).map(|i| least + step * i as f64));
    firsts
        .into_iter()
        .filter(|first| *first > TRUE && *first <= longest && *first < length)
        .map(|first| strip.joints(first))
        .min_by_key(|joints| strip.faults(joints))
        .unwrap_or_default()
}

impl Strip<'_> {
    /// Joints after a first piece: each board the longest whose far end stands well and leaves a last piece that is
    /// not short.
    fn joints(&self, first: f64) -> Vec<f64> {
        let mut joints = vec![self.from + first];
        let mut at = self.from + first;
        while self.to - at > self.lengths[0] + EXACT {
            let worth = |length: f64| {
                let (next, rest) = (at + length, self.to - at - length);
                (rest < self.rules.least_end - TRUE, self.is_close(next), self.is_in_line(next))
            };
            let lengths = self.lengths.iter().copied();
            let best = lengths.min_by_key(|length| worth(*length)).unwrap_or(self.lengths[0]);
            at += best;
            joints.push(at);
        }
        joints
    }

    fn is_close(&self, at: f64) -> bool {
        has_near(&self.near.beside, at, self.rules.least_stagger - TRUE)
    }

    fn is_in_line(&self, at: f64) -> bool {
        has_near(&self.near.beyond, at, self.rules.in_line + TRUE)
    }

    fn faults(&self, joints: &[f64]) -> Faults {
        let short = |piece: f64| usize::from(piece < self.rules.least_end - TRUE);
        let ends = joints.first().map_or(0, |j| short(j - self.from))
            + joints.last().map_or(0, |j| short(self.to - j));
        let close = joints.iter().filter(|j| self.is_close(**j)).count();
        let in_line = joints.iter().filter(|j| self.is_in_line(**j)).count();
        (ends, close, in_line, joints.len())
    }
}

/// Whether one of some sorted places lies nearer than this.
fn has_near(sorted: &[f64], at: f64, reach: f64) -> bool {
    let first = sorted.partition_point(|place| *place <= at - reach);
    sorted.get(first).is_some_and(|place| *place < at + reach)
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::{BoardLength, Plan};

    fn case(lengths: &[f64]) -> (Stock, Rules) {
        let mut plan = Plan::new("t");
        plan.stock.lengths =
            lengths.iter().map(|length| BoardLength { length: *length, per_pack: 4 }).collect();
        (plan.rules.least_end, plan.rules.least_stagger, plan.rules.in_line) = (300.0, 300.0, 10.0);
        (plan.stock, plan.rules)
    }

    /// 5000 in boards of 2000: two whole and 1000; with a joint beside at 2100 the first goes elsewhere. Arithmetic.
    #[test]
    fn a_strip_starts_with_a_whole_board_unless_a_joint_beside_forbids() {
        let (stock, rules) = case(&[2000.0]);
        assert_eq!(joints(0.0, 5000.0, &stock, &Near::default(), &rules), [2000.0, 4000.0]);
        let near = Near { beside: vec![2100.0], beyond: vec![] };
        let moved = joints(0.0, 5000.0, &stock, &near, &rules);
        assert!(moved.iter().all(|j| (j - 2100.0).abs() >= 300.0 - TRUE), "{moved:?}");
        assert!(moved[0] >= 300.0 && 5000.0 - moved.last().copied().unwrap_or(0.0) >= 300.0, "{moved:?}");
    }

    /// Where one comb of boards must run into a joint, a shorter board between them gets past it: joints beside at
    /// every 1000 leave 400 between their reaches, which boards of 2000 and 1500 can stand in.
    #[test]
    fn boards_of_other_lengths_step_past_joints_beside() {
        let (stock, rules) = case(&[2000.0, 1300.0]);
        let beside: Vec<f64> = [1700.0, 3900.0, 5100.0, 7700.0].to_vec();
        let near = Near { beside: beside.clone(), beyond: vec![] };
        let found = joints(0.0, 9000.0, &stock, &near, &rules);
        let apart = |j: f64| beside.iter().map(|b| (b - j).abs()).fold(f64::INFINITY, f64::min);
        assert!(found.iter().all(|j| apart(*j) >= 300.0 - TRUE), "{found:?}");
    }

    #[test]
    fn a_strip_of_one_board_has_no_joint() {
        let (stock, rules) = case(&[2000.0]);
        assert!(joints(0.0, 2000.0, &stock, &Near::default(), &rules).is_empty());
    }
}
