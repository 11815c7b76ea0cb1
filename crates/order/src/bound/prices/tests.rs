//! First prices and what classes stand for, by hand.

use super::*;
use plan::BoardLength;

/// Boards of 2400 and 1200 with a saw cut of 3. Where 1200 is the shortest that is needed and ends cost nothing, wood costs
/// 1/1.203 a metre, and a board of 2400 gives 2.403/1.203 of that; with ends at a tenth of a board, 0.9/1.203 a metre, and
/// 0.9 · 2.403/1.203 + 0.1. Where 2400 is, none is scarce, and a metre of the shorter ones binds no more than theirs. By hand.
#[test]
fn longer_boards_begin_scarce_by_what_they_give_more() {
    let length = |length| BoardLength { length, per_pack: 1 };
    let lengths = [2400.0, 1200.0].map(length).to_vec();
    let stock = Stock { lengths, kerf: 3.0, ..Stock::default() };
    let firsts = Market::new(&stock, 5, 0.05).firsts(Aim::Boards);
    let has = |wood: f64, end: f64, long: f64| {
        let is = |p: &Prices| {
            let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
            near(p.wood, wood) && near(p.end, end) && near(p.boards[0], long) && near(p.boards[1], 1.0)
        };
        assert!(firsts.iter().any(is), "{wood} {end} {long}: {firsts:?}");
    };
    has(1.0 / 1.203, 0.0, 2.403 / 1.203);
    has(0.9 / 1.203, 0.05, 0.9 * 2.403 / 1.203 + 0.1);
    has(1.0 / 2.403, 0.0, 1.0);
}

/// Of 500 classes 100 are looked at, charged for as much length as all: counts times share and length, summed.
#[test]
fn classes_looked_at_stand_for_all() {
    let class = |i: u32| {
        let i = f64::from(i);
        let (share, more) = (0.2 + (i % 5.0) * 0.2, i * 0.001);
        Class { count: 1.0 + i % 3.0, length: 2.0 + i * 0.01, least_end: 0.3, share, more }
    };
    let all: Vec<Class> = (0..500).map(class).collect();
    let few = sample(&all);
    assert!(few.len() <= MOST_CLASSES && few.len() > 50, "{}", few.len());
    let length =
        |classes: &[Class]| -> f64 { classes.iter().map(|c| c.count * (c.share * c.length + c.more)).sum() };
    assert!((length(&few) - length(&all)).abs() < 1e-6 * length(&all));
}
