//! The look of floors whose joints are written down by hand; figures worked out beside each.
#![allow(clippy::unwrap_used)]

use crate::tests::{plan, rows};
use crate::{Look, look};
use lay::{Floor, StockBoard};

fn look_of(floor: &Floor) -> Look {
    let mut plan = plan();
    plan.stock.lengths.truncate(1);
    plan.stock.lengths[0].length = 2100.0;
    look(&plan, floor)
}

/// Rows of 6000 with boards of 2100, each row a third of a length off the one before.
fn thirds(count: usize) -> Floor {
    let first = |row: usize| [700.0, 1400.0, 2100.0][row % 3];
    let places: Vec<Vec<f64>> = (0..count)
        .map(|row| (0..3).map(|i| first(row) + 2100.0 * f64::from(i)).filter(|u| *u < 6000.0).collect())
        .collect();
    rows(&places.iter().map(Vec::as_slice).collect::<Vec<_>>())
}

#[test]
fn thirds_step_alike_and_repeat_every_third_row() {
    let look = look_of(&thirds(12));
    let spacing = look.spacing.unwrap();
    // Thirty joints have one above; every step is 700 to the right, but from 5600 it is 1400 to the left, to 4200, in
    // four of the rows.
    assert_eq!((spacing.joints, spacing.least), (30, 700.0));
    assert!((spacing.mean - (26.0 * 700.0 + 4.0 * 1400.0) / 30.0).abs() < 1e-9);
    let entropy = -(26.0_f64 / 30.0) * libm::log(26.0 / 30.0) - (4.0 / 30.0) * libm::log(4.0 / 30.0);
    assert!((spacing.irregularity - entropy / libm::log(30.0)).abs() < 1e-12, "{spacing:?}");
    // Rows 1 to 9 stand again as rows 4 to 12.
    assert_eq!(look.repeat, 9);
    assert_eq!(look.h_joints, 0);
    // Steps of 700 over four rows are read as a stair.
    assert!(look.stairs > 0);
}

/// Forty rows of thirds: of 104 steps 13 are 1400 to the left. Steps of 50 over a board of 2100 either way come in 84
/// classes: no more could they be spread.
#[test]
fn many_steps_are_held_against_the_classes_there_are() {
    let spacing = look_of(&thirds(40)).spacing.unwrap();
    assert_eq!(spacing.joints, 104);
    let entropy = (91.0 / 104.0) * libm::log(104.0_f64 / 91.0) + (13.0 / 104.0) * libm::log(8.0);
    assert!((spacing.irregularity - entropy / libm::log(84.0)).abs() < 1e-12, "{spacing:?}");
}

#[test]
fn spacing_is_the_distance_to_the_nearest_joint_above() {
    // 1000 → 1350 (350), 3000 → 2500 (500), 1350 → 900 (450), 2500 → 3100 (600).
    let spacing = look_of(&rows(&[&[1000.0, 3000.0], &[1350.0, 2500.0], &[900.0, 3100.0]])).spacing.unwrap();
    assert_eq!((spacing.joints, spacing.least, spacing.mean), (4, 350.0, 475.0));
    // Mean of the squares of 125, 25, 25 and 125.
    assert!((spacing.spread - 8125.0_f64.sqrt()).abs() < 1e-9);
    // Four steps in four classes: as irregular as four can be.
    assert!((spacing.irregularity - 1.0).abs() < 1e-12);
}

#[test]
fn a_repeat_is_counted_in_rows_and_broken_by_one_joint() {
    let (a, b, c): (&[f64], &[f64], &[f64]) = (&[800.0, 2900.0], &[1500.0, 3600.0], &[2200.0]);
    assert_eq!(look_of(&rows(&[a, b, c])).repeat, 0);
    assert_eq!(look_of(&rows(&[a, b, c, a, b])).repeat, 2);
    assert_eq!(look_of(&rows(&[a, b, c, a, &[1511.0, 3600.0]])).repeat, 1);
    assert_eq!(look_of(&rows(&[a, b, c, a, &[1510.0, 3600.0]])).repeat, 2);
    // A joint no further from a row's end than the in-line figure is none to the eye.
    assert_eq!(look_of(&rows(&[&[5.0, 800.0], &[1500.0], &[2200.0], &[800.0]])).repeat, 1);
    // A row without joints repeats nothing.
    assert_eq!(look_of(&rows(&[&[], &[], &[]])).repeat, 0);
}

#[test]
fn joints_in_line_two_rows_apart_are_counted() {
    let look = look_of(&rows(&[&[1000.0], &[2000.0], &[1010.0], &[2500.0], &[1000.0]]));
    assert_eq!(look.h_joints, 2);
    assert_eq!(look.repeat, 1);
}

#[test]
fn lots_are_mixed_where_neighbours_come_from_other_packs() {
    // Two rows of two boards; boards 0 and 1 from pack 0, 2 and 3 from pack 1. Neighbours: 0-1, 2-3 end to end,
    // 0-2, 1-2, 1-3 side by side (0 ends at 2000, 2 at 3000).
    let mut floor = rows(&[&[2000.0], &[3000.0]]);
    let board = |pack| StockBoard { length: 4000.0, pack, pieces: Vec::new() };
    floor.stock = vec![board(0), board(1)];
    for (index, board) in floor.boards.iter_mut().enumerate() {
        board.stock = index / 2;
    }
    assert_eq!(look_of(&floor).same_pack, Some(2.0 / 5.0));
    // Courses of a border have no neighbours row by row: end to end alone they are of one pack each.
    floor.boards.iter_mut().for_each(|board| board.in_border = true);
    assert_eq!(look_of(&floor).same_pack, Some(1.0));
    assert_eq!(look_of(&rows(&[])).same_pack, None);
}
