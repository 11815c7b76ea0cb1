use super::*;

fn laid(pulls: &[(i32, i32, f64)]) -> Laid {
    let pulls = pulls.iter().map(|&(first, last, across)| RowPull { first, last, across }).collect();
    Laid {
        rows_at: 0.0,
        pitch: 140.0,
        first_row: -4,
        to_come: ToCome::AsMeasured,
        parts: vec![LaidPart { room: "Hall".into(), line: 1000.0, pulls, as_marked: Vec::new() }],
        stock: Vec::new(),
        boards: Vec::new(),
    }
}

fn board(row: i32) -> LaidBoard {
    LaidBoard::plain(row, 1, 10.0, 2210.0)
}

/// Twenty rows of boards sold as 140 that measure 2806 together: 2806 / 20 = 140.3 a row, so that the twentieth
/// line lies at 1000 + 2806 = 3806, 6 past the plan's, and the thirtieth at 3806 + 10 · 140.3 = 5209.
#[test]
fn rows_lie_as_they_are_measured() {
    let lines = laid(&[(0, 19, 2806.0)]).row_lines(0, 140.0);
    assert!((lines.at(20) - 3806.0).abs() < 1e-9);
    assert!((lines.at(10) - 2403.0).abs() < 1e-9);
    assert!((lines.at(30) - 5209.0).abs() < 1e-9);
    assert_eq!(lines.at(0), 1000.0);
    assert!((lines.at(-3) - (1000.0 - 3.0 * 140.3)).abs() < 1e-9);
    assert_eq!((lines.row_of(3805.9), lines.row_of(3806.1)), (19, 20));
    assert_eq!((lines.row_of(999.0), lines.row_of(1000.0)), (-1, 0));
    // Rows to come as the stock has them.
    let as_planned = Laid { to_come: ToCome::AsPlanned, ..laid(&[(0, 19, 2806.0)]) };
    assert!((as_planned.row_lines(0, 140.0).at(30) - 5206.0).abs() < 1e-9);
}

/// Ten rows make 1402, twenty 2806: the second ten are 1404, 140.4 each.
#[test]
fn a_longer_pull_says_what_a_shorter_one_leaves() {
    let laid = laid(&[(0, 19, 2806.0), (0, 9, 1402.0)]);
    let lines = laid.row_lines(0, 140.0);
    assert!((lines.at(10) - 2402.0).abs() < 1e-9);
    assert!((lines.at(11) - 2542.4).abs() < 1e-9);
    assert!((laid.measured_pitch(0).unwrap() - 140.3).abs() < 1e-9);
    let whole = RowPull { first: 0, last: 9, across: 1402.0 };
    assert_eq!(laid.contradiction(0, &whole), None);
}

#[test]
fn pulls_across_the_start_line_move_both_sides() {
    let lines = laid(&[(-10, 9, 2810.0)]).row_lines(0, 140.0);
    assert!((lines.at(10) - 2405.0).abs() < 1e-9);
    assert!((lines.at(-10) - (1000.0 - 1405.0)).abs() < 1e-9);
}

#[test]
fn without_pulls_the_lines_are_the_plans_to_the_last_bit() {
    let lines = laid(&[]).row_lines(0, 140.0);
    assert_eq!(lines, RowLines::even(1000.0, 140.0));
    // Boards measured since then are wider: those that lie keep their place.
    let mut since = laid(&[]);
    since.boards = vec![board(0), board(1)];
    let lines = since.row_lines(0, 141.0);
    assert_eq!([0, 1, 2, 3].map(|row| lines.at(row)), [1000.0, 1140.0, 1280.0, 1421.0]);
}

#[test]
fn sides_on_row_lines_move_and_others_stay() {
    let laid = laid(&[(0, 19, 2806.0)]);
    let lines = laid.row_lines(0, 140.0);
    let whole = &laid.rings(&board(19), &lines)[0];
    assert!((whole[0].1 - (1000.0 + 19.0 * 140.3)).abs() < 1e-9);
    assert!((whole[2].1 - 3806.0).abs() < 1e-9);
    // A rip of 60 against a wall at 3720: the rows came 5.7 nearer, so that 54.3 of it lie there.
    let rip = LaidBoard { high: Some(3720.0), ..board(19) };
    let rip = &laid.rings(&rip, &lines)[0];
    assert!((rip[2].1 - rip[0].1 - 54.3).abs() < 1e-9);
    // A strip of 5 that the measured rows have no room for is left as it was marked.
    let strip = LaidBoard { high: Some(3665.0), ..board(19) };
    let strip = &laid.rings(&strip, &lines)[0];
    assert_eq!((strip[0].1, strip[2].1), (1000.0 + 19.0 * 140.0, 3665.0));
}

/// Rows of 140 measured at 140.3: row 19 lies from 3665.7 to 3806, as planned from 3660 to 3800. What is marked between its
/// lines comes out as it lies: a plain board, one whose notch ends 3 over its lower line, a leg whose sides meet 2 under that,
/// one whose notch ends 3 under its upper line, which as planned would be gone, and a film 0.14 high whose wall would lead it
/// away by metres, 0.14 in 353. The last two are kept as they lie.
#[test]
fn what_is_marked_between_measured_lines_lies_there() {
    let laid = laid(&[(0, 19, 2806.0)]);
    let lines = laid.row_lines(0, 140.0);
    let (low, high) = (lines.at(19), lines.at(20));
    let plain = vec![(10.0, low), (2210.0, low), (2210.0, high), (10.0, high)];
    let notched =
        vec![(10.0, low), (90.0, low), (90.0, low + 3.0), (200.0, low + 3.0), (200.0, high), (10.0, high)];
    let leg =
        vec![(100.0, low), (104.0, low), (110.0, low + 5.0), (110.0, high), (10.0, high), (95.0, low + 5.0)];
    let upper =
        vec![(10.0, low), (200.0, low), (200.0, high - 3.0), (90.0, high - 3.0), (90.0, high), (10.0, high)];
    let film = vec![(0.0, low), (353.0, low), (0.0003, low + 0.142)];
    for (ring, moves) in [(plain, true), (notched, true), (leg, true), (upper, false), (film, false)] {
        let kept = laid.kept_rings((0, 19), [true; 2], &lines, std::slice::from_ref(&ring));
        assert_eq!(kept[0] != ring, moves, "{kept:?}");
        let across = kept[0].iter().flat_map(|p| [p.0 - 2210.0, 0.0 - p.0]).fold(0.0, f64::max);
        assert!(across < 30.0, "{kept:?}");
        let left = ring.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
        let board = LaidBoard { left, outline: kept[0].clone(), starts: true, ends: true, ..board(19) };
        for (a, b) in laid.rings(&board, &lines)[0].iter().zip(&ring) {
            assert!((a.0 - b.0).abs().max((a.1 - b.1).abs()) < 1e-6, "{ring:?}: {a:?} for {b:?}");
        }
    }
}

#[test]
fn a_place_counts_in_rows() {
    let lines = laid(&[(0, 19, 2806.0)]).row_lines(0, 140.0);
    for (v, place) in [(1000.0, 0.0), (1070.15, 0.5), (3806.0, 20.0), (3876.15, 20.5), (929.85, -0.5)] {
        assert!((lines.place(v) - place).abs() < 1e-9, "{v}");
    }
    let (line, next) = lines.near(3900.0);
    assert!((line - 3806.0).abs() < 1e-9 && (next - 140.3).abs() < 1e-9);
}
