//! Where along the rows the joints of a bond fall, chosen exactly.

/// Both ends of every run, each less its row's step, mm.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Ends {
    pub(super) left: Vec<f64>,
    pub(super) right: Vec<f64>,
}

/// Pieces are compared in steps of this, mm, since rounding must not choose.
const STEP: f64 = 0.01;
/// A joint this close to an end lies on it, mm.
const ON_END: f64 = 1e-6;

/// What a shift is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Value {
    shift: f64,
    short: usize,
    narrowest: f64,
}

/// The place of the joints, in 0..length, that leaves the fewest pieces at run ends shorter than `least`, even
/// when laid off by `tolerance`; of those the one whose shortest piece is longest, then the least shift.
///
/// A piece at a left end grows with the shift, one at a right end shrinks; both jump where a joint passes an
/// end. So the count changes only where some piece passes the least or an end, and between such places the
/// shortest piece is longest where a growing one meets a shrinking one: trying those is exact.
pub(super) fn best_shift(ends: &Ends, length: f64, least: f64, tolerance: f64) -> f64 {
    let on_circle = |values: &[f64]| {
        let mut values: Vec<f64> = values.iter().map(|v| v.rem_euclid(length)).collect();
        values.sort_by(f64::total_cmp);
        values
    };
    let (left, right) = (on_circle(&ends.left), on_circle(&ends.right));
    let mut at: Vec<f64> = vec![0.0, length];
    for value in &left {
        at.extend([0.0, least + tolerance, -tolerance].map(|by| (value + by).rem_euclid(length)));
    }
    for value in &right {
        at.extend([0.0, -least - tolerance, tolerance].map(|by| (value + by).rem_euclid(length)));
    }
    at.sort_by(f64::total_cmp);
    at.dedup_by(|b, a| *b - *a < ON_END);
    let mut best: Option<Value> = None;
    for pair in at.windows(2) {
        let middle = f64::midpoint(pair[0], pair[1]);
        let mut tried = vec![pair[0], middle];
        let grown = since(&left, middle, length);
        let shrunk = until(&right, middle, length);
        if let (Some(grown), Some(shrunk)) = (grown, shrunk) {
            tried.push((middle + (shrunk - grown) / 2.0).clamp(pair[0], pair[1]));
        }
        for shift in tried {
            let value = Value {
                shift,
                short: between(&left, shift - least - tolerance, shift + tolerance, length)
                    + between(&right, shift - tolerance, shift + least + tolerance, length),
                narrowest: since(&left, shift, length)
                    .into_iter()
                    .chain(until(&right, shift, length))
                    .fold(length, f64::min),
            };
            if best.is_none_or(|best| better(&value, &best)) {
                best = Some(value);
            }
        }
    }
    best.map_or(0.0, |best| best.shift)
}

fn better(a: &Value, b: &Value) -> bool {
    let steps = |v: &Value| (v.narrowest / STEP).round();
    (a.short, -steps(a)) < (b.short, -steps(b))
}

/// Distance back from a place on the circle to the nearest value before it; one that lies on it leaves a whole board.
fn since(values: &[f64], at: f64, circle: f64) -> Option<f64> {
    let before = values.partition_point(|v| *v < at - ON_END);
    let value = if before > 0 { values[before - 1] } else { values.last()? - circle };
    Some(at - value)
}

/// Distance on to the nearest value after a place.
fn until(values: &[f64], at: f64, circle: f64) -> Option<f64> {
    let after = values.partition_point(|v| *v <= at + ON_END);
    let value = values.get(after).copied().or_else(|| Some(values.first()? + circle))?;
    Some(value - at)
}

/// How many sorted values lie between two places on the circle, ends left out.
fn between(values: &[f64], from: f64, to: f64, circle: f64) -> usize {
    if to - from >= circle {
        return values.len();
    }
    let turns = (from / circle).floor() * circle;
    let (from, to) = (from - turns, to - turns);
    let up_to = |at: f64| values.partition_point(|v| *v < at - ON_END);
    let past = |at: f64| values.partition_point(|v| *v <= at + ON_END);
    if to <= circle {
        up_to(to).saturating_sub(past(from))
    } else {
        (values.len() - past(from)) + up_to(to - circle)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Pieces that a shift leaves, by walking along a row: at a left end to the first joint past it, at a right end from
    /// the last joint before it. Joints stand `length` apart from the shift on.
    fn pieces(ends: &Ends, shift: f64, length: f64) -> Vec<f64> {
        let whole = |piece: f64| if piece < ON_END { length } else { piece };
        let left = ends.left.iter().map(|end| whole((shift - end).rem_euclid(length)));
        left.chain(ends.right.iter().map(|end| whole((end - shift).rem_euclid(length)))).collect()
    }

    /// Ends shorter than the least somewhere within the tolerance: the shortest a piece gets is so much shorter, unless a
    /// joint passes its end there, which leaves next to nothing.
    fn short(ends: &Ends, shift: f64, (length, least, tolerance): (f64, f64, f64)) -> usize {
        let pieces = pieces(ends, shift, length);
        pieces
            .iter()
            .filter(|piece| **piece - tolerance < least - ON_END || **piece + tolerance > length + ON_END)
            .count()
    }

    #[test]
    fn distances_on_a_circle_are_worked_out_by_hand() {
        let values = [100.0, 400.0, 900.0];
        assert_eq!(since(&values, 450.0, 1000.0), Some(50.0));
        // On a value, a whole board back to the one before; before the first, round to the last.
        assert_eq!(since(&values, 400.0, 1000.0), Some(300.0));
        assert_eq!(since(&values, 50.0, 1000.0), Some(150.0));
        assert_eq!(until(&values, 450.0, 1000.0), Some(450.0));
        assert_eq!(until(&values, 400.0, 1000.0), Some(500.0));
        assert_eq!(until(&values, 950.0, 1000.0), Some(150.0));
        assert_eq!((since(&[], 5.0, 1000.0), until(&[], 5.0, 1000.0)), (None, None));
        // Ends left out; across the circle's end; all of it.
        assert_eq!(between(&values, 100.0, 900.0, 1000.0), 1);
        assert_eq!(between(&values, 99.0, 901.0, 1000.0), 3);
        assert_eq!(between(&values, 850.0, 1150.0, 1000.0), 2);
        assert_eq!(between(&values, -150.0, 150.0, 1000.0), 2);
        assert_eq!(between(&values, 0.0, 1000.0, 1000.0), 3);
    }

    /// Ends at 298 and 878, and at 295, 756, 771 and 875, boards of 1000, least 228. With joints at 527 two pieces are 229, and
    /// laid off by 2 one of them is 227; at 0 only the piece from 878 is short, with 122. By hand.
    #[test]
    fn a_piece_that_the_tolerance_takes_under_the_least_counts_as_short() {
        let ends = Ends { left: vec![298.0, 878.0], right: vec![295.0, 756.0, 771.0, 875.0] };
        let limits = (1000.0, 228.0, 2.0);
        assert_eq!((short(&ends, 527.0, limits), short(&ends, 0.0, limits)), (2, 1));
        let chosen = best_shift(&ends, 1000.0, 228.0, 2.0);
        assert!(short(&ends, chosen, limits) <= 1, "{chosen}");
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]
        /// Against shifts every half millimetre, walked along the rows.
        #[test]
        fn no_other_shift_leaves_fewer_short_ends_or_a_longer_shortest(
            left in proptest::collection::vec(0_u32..3000, 1..5),
            right in proptest::collection::vec(0_u32..3000, 0..5),
            least in 50_u32..250,
        ) {
            let of = |ends: Vec<u32>| ends.into_iter().map(f64::from).collect();
            let (ends, length, tolerance) = (Ends { left: of(left), right: of(right) }, 1000.0, 2.0);
            let limits = (length, f64::from(least), tolerance);
            let chosen = best_shift(&ends, length, f64::from(least), tolerance);
            prop_assert!((0.0..length).contains(&chosen));
            let worth = |shift: f64| {
                let shortest = pieces(&ends, shift, length).into_iter().fold(length, f64::min);
                (short(&ends, shift, limits), shortest)
            };
            let (count, shortest) = worth(chosen);
            for half in 0..2000 {
                let (others, other) = worth(f64::from(half) / 2.0);
                prop_assert!(count <= others, "{chosen}: {count}, {}: {others}", f64::from(half) / 2.0);
                prop_assert!(count < others || shortest >= other - STEP, "{shortest} {other}");
            }
        }
    }
}
