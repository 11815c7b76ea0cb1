//! The laying gone through, boards marked as laid, rows measured.

use crate::hands::{Hands, one_room};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use plan::StartLine;
use startrow_desk::{Command, Selected};

/// The sentence under **Laying** with these words, if there is one; it is read out as it changes.
fn laying_said(hands: &Hands, words: &str) -> Option<String> {
    use egui_kittest::kittest::NodeT as _;
    let is_sentence =
        |node: &egui_kittest::Node<'_>| node.accesskit_node().role() == egui::accesskit::Role::Label;
    let said = hands.harness.query_all_by_label_contains(words).find(is_sentence)?;
    let node = said.accesskit_node();
    assert_eq!(node.live(), egui::accesskit::Live::Polite);
    node.value().or_else(|| node.label())
}

#[test]
fn the_laying_is_gone_through_board_by_board_and_row_by_row() {
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::CloseAllSteps);
    let sequence = hands.house().sequence();
    let order: Vec<usize> = sequence.boards().collect();
    let labels: Vec<String> =
        order.iter().map(|board| hands.house().floor.boards[*board].label.clone()).collect();
    let count = order.len();
    let expect = |hands: &Hands, place: usize| {
        let words = format!("Next {}, ", labels[place]);
        let figure = format!(" · {} of {count}", place + 1);
        let said = laying_said(hands, "Next ").expect("a next board");
        assert!(said.starts_with(&words) && said.ends_with(&figure), "{said}, not {words}{figure}");
    };
    // The first step shows the first board with nothing down, and opens the step that says it.
    hands.keys(&[Key::Period]);
    expect(&hands, 0);
    assert!(hands.harness.query_all_by_label_contains("hold it with weights").next().is_some());
    hands.keys(&[Key::Period, Key::Period]);
    expect(&hands, 2);
    hands.keys(&[Key::Comma]);
    expect(&hands, 1);
    let first_row = sequence.steps[0].boards.len();
    hands.key(Modifiers::ALT, Key::Period);
    expect(&hands, first_row);
    hands.key(Modifiers::ALT, Key::Period);
    hands.key(Modifiers::ALT, Key::Comma);
    expect(&hands, first_row);
    // Another floor is counted anew, from as many boards down.
    hands.run(Command::AnotherStagger);
    assert!(laying_said(&hands, "Next ").is_some());
    hands.run(Command::WholeFloor);
    assert!(laying_said(&hands, "Next ").is_none());
    // Back from the whole floor the last board is taken up.
    hands.run(Command::Undo);
    hands.run(Command::BoardBefore);
    expect(&hands, count - 1);
    assert_eq!(hands.desk().undo_name(), None, "looking changes nothing");
}

#[test]
fn the_laying_goes_on_by_itself_until_every_board_is_down() {
    let mut hands = Hands::with_plan(one_room());
    let count = hands.house().sequence().len();
    hands.harness.key_press(Key::P);
    // A board every 0.4 s of the window's clock; a step of it is 1/4 s.
    for _ in 0..3 * count + 20 {
        hands.harness.step();
    }
    assert!(laying_said(&hands, &format!("All {count} boards are down")).is_some());
    // Then nothing is drawn any more: `run` fails where repainting does not end.
    hands.harness.run();
    hands.key(Modifiers::SHIFT, Key::P);
    assert!(laying_said(&hands, "are down").is_none());
}

/// Boards marked on the floor stay where they lie, whatever is planned again; one undo takes the marks back.
#[test]
fn boards_are_marked_as_laid_and_stay() {
    let mut hands = Hands::with_plan(one_room());
    let before = hands.plan().clone();
    // The third row above the line, wherever that runs.
    let house = hands.house();
    let board = house.floor.boards.iter().find(|board| board.row == 2).expect("a third row");
    let (label, at) = (board.label.clone(), house.site.frame.plan_from_row(board.middle()));
    let count = house.floor.boards.iter().filter(|b| (0..2).contains(&b.row)).count();
    hands.click((at.x, at.y));
    assert!(matches!(hands.desk().selected(), Selected::Board(_)), "{:?}", hands.desk().selected());
    hands.key(Modifiers::NONE, Key::Y);
    let laid = hands.plan().laid.clone().expect("marks");
    assert!(laid.boards.len() > count, "{} of more than {count}", laid.boards.len());
    let selected = hands.desk().selected();
    assert!(matches!(selected, Selected::Board(board) if hands.house().floor.boards[board].label == label));
    assert!(matches!(hands.plan().start_line, StartLine::At(_)), "the line they lie by is kept");
    let lying = |hands: &Hands| {
        let floor = &hands.house().floor;
        let boards = floor.boards.iter().enumerate().filter(|(index, _)| floor.is_laid(*index));
        let mut all: Vec<_> = boards.map(|(_, b)| (b.label.clone(), b.outline.clone())).collect();
        all.sort_by(|a, b| a.0.cmp(&b.0));
        all
    };
    let lies = lying(&hands);
    assert_eq!(lies.len(), laid.boards.len());
    hands.run(Command::AnotherStagger);
    assert_eq!(lying(&hands), lies);
    // The line is no longer free.
    let offset = hands.house().setout.chosen.offset;
    hands.run(Command::LineUp);
    assert_eq!(hands.house().setout.chosen.offset, offset);
    hands.run(Command::Undo);
    hands.run(Command::Undo);
    assert_eq!(*hands.plan(), before);
}

/// Rows measured on the desk move the rest: 3 rows of 190 typed as 573 are 1 a row too wide.
#[test]
fn measured_rows_move_the_rest() {
    let mut hands = Hands::with_plan(one_room());
    let house = hands.house();
    let last = house.floor.boards.iter().filter(|b| b.row == 2).max_by(|a, b| a.left.total_cmp(&b.left));
    let at = house.site.frame.plan_from_row(last.expect("a third row").middle());
    hands.click((at.x, at.y));
    hands.key(Modifiers::NONE, Key::Y);
    hands.harness.run();
    hands.harness.get_by_label_contains("measure the 3 rows").click();
    hands.harness.run();
    let laid = hands.plan().laid.clone().expect("laid");
    assert_eq!(laid.parts[0].pulls, [plan::RowPull { first: 0, last: 2, across: 570.0 }]);
    let mut plan = hands.plan().clone();
    plan.laid.as_mut().expect("laid").parts[0].pulls[0].across = 573.0;
    let mut hands = Hands::with_plan(plan);
    hands.run(Command::OpenAllSteps);
    let floor = &hands.house().floor;
    assert!((floor.row_low(0, 3) - floor.row_low(0, 0) - 573.0).abs() < 1e-9);
    assert!((floor.row_low(0, 4) - floor.row_low(0, 3) - 191.0).abs() < 1e-9);
    assert!(hands.harness.query_by_label_contains("a row measures 191 where 190 was planned").is_some());
}
