//! The counter against published cutting-stock examples.
#![allow(clippy::unwrap_used)]

use crate::{Demand, Ends, fewest_boards};
use plan::{BoardLength, Stock};

fn stock(length: f64, kerf: f64) -> Stock {
    Stock { lengths: vec![BoardLength { length, per_pack: 1 }], kerf, end_match: false, ..Stock::default() }
}

fn pieces(list: &[(f64, usize)]) -> Vec<Demand> {
    list.iter()
        .map(|(length, count)| Demand { length: *length, ends: Ends::Neither, count: *count })
        .collect()
}

/// The worked example of the encyclopedia article "Cutting stock problem": rolls of 5600, thirteen
/// widths; proven optimum 73.
const PAPER: [(f64, usize); 13] = [
    (1380.0, 22),
    (1520.0, 25),
    (1560.0, 12),
    (1710.0, 14),
    (1820.0, 18),
    (1880.0, 18),
    (1930.0, 20),
    (2000.0, 10),
    (2050.0, 12),
    (2100.0, 14),
    (2140.0, 16),
    (2150.0, 18),
    (2200.0, 20),
];

#[test]
fn paper_rolls_take_73() {
    assert_eq!(fewest_boards(&pieces(&PAPER), &stock(5600.0, 0.0)).unwrap(), 73);
}

#[test]
fn the_same_with_a_saw_cut_of_3_takes_74() {
    // LP bound 73.071, optimum 74: computed beforehand with a separate program.
    assert_eq!(fewest_boards(&pieces(&PAPER), &stock(5600.0, 3.0)).unwrap(), 74);
}

/// Seventy pieces of 900, each listed by itself, are seventy of one kind: two fit a board of 2000, so 35.
#[test]
fn equal_pieces_listed_one_by_one_are_one_kind() {
    assert_eq!(fewest_boards(&pieces(&[(900.0, 1); 70]), &stock(2000.0, 3.0)).unwrap(), 35);
}

#[test]
fn three_lengths_from_2000_take_9() {
    // LP bound 8.143, optimum 9: computed beforehand with a separate program.
    let list = [(255.0, 10), (750.0, 7), (550.0, 13)];
    assert_eq!(fewest_boards(&pieces(&list), &stock(2000.0, 0.0)).unwrap(), 9);
}

#[test]
fn four_widths_from_100_take_453() {
    // P. C. Gilmore and R. E. Gomory, Operations Research 9 (1961), as it is often retold (from memory):
    // LP bound 452.25, optimum 453.
    let list = [(14.0, 211), (31.0, 395), (36.0, 610), (45.0, 97)];
    assert_eq!(fewest_boards(&pieces(&list), &stock(100.0, 0.0)).unwrap(), 453);
}

#[test]
fn end_match_gives_each_board_one_starter_and_one_closer() {
    // Two starters of 900 and two closers of 900 fit two boards of 2000; three starters need three.
    let stock = Stock { end_match: true, ..stock(2000.0, 3.0) };
    let demand = |ends, count| Demand { length: 900.0, ends, count };
    assert_eq!(fewest_boards(&[demand(Ends::Right, 2), demand(Ends::Left, 2)], &stock).unwrap(), 2);
    assert_eq!(fewest_boards(&[demand(Ends::Right, 3)], &stock).unwrap(), 3);
    assert_eq!(fewest_boards(&[demand(Ends::Neither, 3)], &stock).unwrap(), 2);
}

#[test]
fn a_piece_longer_than_every_board_is_named() {
    let error = fewest_boards(&pieces(&[(2500.0, 1)]), &stock(2000.0, 0.0)).unwrap_err();
    assert!(error.to_string().contains("2500"));
}
