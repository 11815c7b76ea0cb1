//! The desk driven by gestures and keys, without a window: what is done on it must be in the plan.

mod any;
mod fingers;
mod hands;
mod looks;
mod rest;
mod steps;
mod tape;
mod walls;

use egui::{Key, Modifiers, Pos2};
use egui_kittest::kittest::Queryable;
use hands::{Hands, corners, one_room};
use plan::{Plan, Point, StartLine};
use startrow_desk::{Command, Selected, Setup};
use std::path::PathBuf;

#[test]
fn a_room_is_drawn_by_a_click_and_typed_lengths() {
    let mut hands = Hands::with_plan(Plan::new("Empty"));
    hands.keys(&[Key::R]);
    hands.click((1000.0, 1000.0));
    for (arrow, length) in [(Key::ArrowRight, "4250"), (Key::ArrowUp, "3100"), (Key::ArrowLeft, "4250")] {
        hands.keys(&[arrow]);
        hands.letters(length);
        hands.keys(&[Key::Enter]);
    }
    assert!(hands.plan().rooms.is_empty(), "not yet closed");
    hands.keys(&[Key::Enter]);
    let drawn = corners(hands.plan());
    let (x, y) = drawn[0];
    assert_eq!(drawn, [(x, y), (x + 4250.0, y), (x + 4250.0, y + 3100.0), (x, y + 3100.0)]);
    // Closed form.
    assert!((hands.house().site.bare_area - 4250.0 * 3100.0).abs() < 1.0);
    assert_eq!(hands.desk().undo_name(), Some("draw room"), "drawing is one step");
    assert_eq!(hands.desk().selected(), Selected::Room(0));
}

#[test]
fn a_room_is_drawn_by_clicks_at_right_angles() {
    let mut hands = Hands::with_plan(Plan::new("Empty"));
    hands.keys(&[Key::R]);
    // The third and fourth clicks are a little off: right angles take them up.
    for corner in [(500.0, 500.0), (5500.0, 530.0), (5480.0, 4000.0), (520.0, 4030.0), (500.0, 500.0)] {
        hands.click(corner);
    }
    let drawn = corners(hands.plan());
    assert_eq!(drawn.len(), 4, "{drawn:?}");
    for i in 0..4 {
        let (a, b) = (drawn[i], drawn[(i + 1) % 4]);
        assert!((a.0 == b.0) != (a.1 == b.1), "walls run along x or y: {drawn:?}");
    }
    assert!((drawn[0].0 - 500.0).abs() < 60.0 && (drawn[1].0 - 5500.0).abs() < 60.0, "{drawn:?}");
}

#[test]
fn a_typed_room_that_nearly_closes_is_closed() {
    let mut hands = Hands::with_plan(Plan::new("Empty"));
    hands.keys(&[Key::R]);
    hands.click((1000.0, 1000.0));
    let walls = [
        (Key::ArrowRight, "4000"),
        (Key::ArrowUp, "3000"),
        (Key::ArrowLeft, "4000"),
        (Key::ArrowDown, "2988"),
    ];
    for (arrow, length) in walls {
        hands.keys(&[arrow]);
        hands.letters(length);
        hands.keys(&[Key::Enter]);
    }
    assert_eq!(corners(hands.plan()).len(), 4, "12 mm of misclosure close");
}

#[test]
fn escape_backs_out_of_drawing() {
    let mut hands = Hands::with_plan(one_room());
    let before = hands.plan().clone();
    hands.keys(&[Key::R]);
    hands.click((6000.0, 0.0));
    hands.letters("12");
    hands.keys(&[Key::Escape, Key::Escape, Key::Escape, Key::Enter]);
    assert_eq!(*hands.plan(), before);
    assert_eq!(hands.desk().undo_name(), None);
}

/// What a rip at a wall along the rows must be, from the set-out's definition: the floor lies above
/// the lower wall and below the upper one; a remainder of nothing is a whole board.
fn expected_rips(offset: f64, pitch: f64, gap: f64) -> [f64; 2] {
    let kept = |mm: f64| {
        let rest = mm.rem_euclid(pitch);
        if rest < 1e-6 || pitch - rest < 1e-6 { pitch } else { rest }
    };
    [kept(offset - gap), kept(3000.0 - gap - offset)]
}

fn assert_rips_follow(hands: &Hands, offset: f64) {
    let house = hands.house();
    let chosen = &house.setout.chosen;
    assert!(
        (chosen.offset - offset.rem_euclid(house.setout.pitch)).abs() < 1e-6,
        "{} {offset}",
        chosen.offset
    );
    let gap = house.plan.rules.wall_gap.least;
    let mut expected = expected_rips(offset, house.setout.pitch, gap);
    let mut rips: Vec<f64> = chosen.rips.iter().map(|rip| rip.least).collect();
    rips.sort_by(f64::total_cmp);
    expected.sort_by(f64::total_cmp);
    assert_eq!(rips.len(), 2);
    for (rip, expected) in rips.iter().zip(expected) {
        assert!((rip - expected).abs() < 0.01, "{rips:?} {expected}");
    }
    // The boards are the new line's: one of their lower edges lies on it.
    let pitch = house.setout.pitch;
    let on_line = |v: f64| {
        let rest = (v - offset).rem_euclid(pitch);
        rest.min(pitch - rest) < 1e-6
    };
    let whole = house.floor.boards.iter().filter(|board| !board.shaped);
    for board in whole {
        assert!(board.outline.outer.iter().any(|p| on_line(p.v)), "board {}", board.label);
    }
}

#[test]
fn dragging_the_start_line_moves_rips_and_boards() {
    let mut hands = Hands::with_plan(one_room());
    let line = hands.house().setout.line.clone().expect("a line");
    let middle = line.from.lerp(line.to, 0.4);
    let before = line.v;
    hands.drag((middle.x, middle.y), (middle.x + 15.0, middle.y + 61.0));
    let StartLine::At(offset) = hands.plan().start_line else { panic!("still the best line") };
    let moved = (offset - before).rem_euclid(190.0);
    assert!((moved - 61.0).abs() < 6.0, "moved by {moved}");
    assert_rips_follow(&hands, offset);
    assert_eq!(hands.desk().undo_name(), Some("move start line"));
    hands.run(Command::Undo);
    assert_eq!(hands.plan().start_line, StartLine::Best);
    assert_eq!(hands.desk().undo_name(), None, "the drag was one step");
}

#[test]
fn dragging_the_mark_on_the_strip_moves_the_line() {
    let mut hands = Hands::with_plan(one_room());
    let strip = hands.harness.get_by_role(egui::accesskit::Role::Slider).rect();
    let inner = strip.shrink2(egui::vec2(10.0, 16.0));
    let x = |offset: f64| inner.left() + inner.width() * (offset / 190.0) as f32;
    let now = hands.house().setout.chosen.offset;
    hands.drag_on_screen(Pos2::new(x(now), inner.center().y), Pos2::new(x(57.0), inner.center().y));
    let StartLine::At(offset) = hands.plan().start_line else { panic!("still the best line") };
    assert!((offset - 57.0).abs() < 1.0, "{offset}");
    assert_rips_follow(&hands, offset);
    hands.run(Command::BestLine);
    assert_eq!(hands.plan().start_line, StartLine::Best);
}

#[test]
fn a_wall_is_dragged_square_to_itself() {
    let mut hands = Hands::with_plan(one_room());
    hands.drag((4000.0, 1100.0), (4300.0, 1500.0));
    let moved = corners(hands.plan());
    let x = moved[1].0;
    assert!((x - 4300.0).abs() < 10.0, "{moved:?}");
    assert_eq!(moved, [(0.0, 0.0), (x, 0.0), (x, 3000.0), (0.0, 3000.0)]);
    assert!((hands.house().site.bare_area - x * 3000.0).abs() < 1.0);
    assert_eq!(hands.desk().undo_name(), Some("move wall, Room 1"));
    hands.run(Command::Undo);
    assert_eq!(*hands.plan(), one_room());
}

#[test]
fn a_drag_that_is_escaped_or_returns_leaves_no_step() {
    let mut hands = Hands::with_plan(one_room());
    let (from, to) = (hands.screen((4000.0, 1100.0)), hands.screen((4300.0, 1100.0)));
    hands.harness.hover_at(from);
    hands.harness.run();
    hands.harness.drag_at(from);
    hands.harness.run();
    hands.harness.hover_at(to);
    hands.harness.run();
    assert_ne!(*hands.plan(), one_room(), "follows live");
    hands.keys(&[Key::Escape]);
    assert_eq!(*hands.plan(), one_room());
    hands.harness.drop_at(to);
    hands.harness.run();
    assert_eq!(*hands.plan(), one_room());
    assert_eq!(hands.desk().undo_name(), None);
}

#[test]
fn a_typed_length_changes_the_selected_wall() {
    let mut hands = Hands::with_plan(one_room());
    hands.click((2000.0, 0.0));
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 0));
    let field = hands.harness.get_by_label("length of the wall");
    field.focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters("4321");
    hands.keys(&[Key::Enter]);
    assert_eq!(corners(hands.plan()), [(0.0, 0.0), (4321.0, 0.0), (4321.0, 3000.0), (0.0, 3000.0)]);
}

#[test]
fn figures_typed_over_the_floor_go_to_the_selected_wall() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::M, Key::W, Key::W]);
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 1));
    for letter in ["2", "8", "0", "5"] {
        hands.letters(letter);
    }
    hands.keys(&[Key::Enter]);
    assert_eq!(corners(hands.plan()), [(0.0, 0.0), (4000.0, 0.0), (4000.0, 2805.0), (0.0, 2805.0)]);
}

#[test]
fn sheets_are_written_into_the_folder() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("box.ron");
    let mut hands = Hands::with_plan(one_room());
    type_path(&mut hands, Command::SaveByPath, &path);
    hands.run(Command::WriteSheets);
    let pdf = std::fs::read(folder.path().join("box-sheets.pdf")).expect("a PDF");
    assert!(pdf.starts_with(b"%PDF-"));
    let svg = std::fs::read_to_string(folder.path().join("box-floor.svg")).expect("an SVG");
    assert!(svg.contains("<svg") && svg.contains("Room 1"));
    let png = std::fs::read(folder.path().join("box-floor.png")).expect("a PNG");
    assert!(png.starts_with(b"\x89PNG"));
}

#[test]
fn what_is_no_length_leaves_the_wall() {
    let mut hands = Hands::with_plan(one_room());
    hands.click((2000.0, 0.0));
    hands.harness.get_by_label("length of the wall").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters("about four");
    hands.keys(&[Key::Enter]);
    assert_eq!(*hands.plan(), one_room());
}

#[test]
fn arrows_nudge_and_delete_removes() {
    let mut hands = Hands::with_plan(one_room());
    hands.click((4000.0, 3000.0));
    assert_eq!(hands.desk().selected(), Selected::Corner(0, 2));
    hands.keys(&[Key::ArrowRight, Key::ArrowRight, Key::ArrowDown]);
    hands.key(Modifiers::SHIFT, Key::ArrowRight);
    assert_eq!(corners(hands.plan())[2], (4012.0, 2999.0));
    hands.keys(&[Key::Delete]);
    assert_eq!(corners(hands.plan()).len(), 3);
}

#[test]
fn a_doorway_is_placed_and_slides_along_its_wall() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::D]);
    hands.click((1500.0, 0.0));
    assert_eq!(hands.plan().doorways.len(), 1);
    let at = hands.plan().doorways[0].at;
    // Its middle is where the click was, within what the screen can tell.
    assert!((at + 410.0 - 1500.0).abs() < 10.0, "{at}");
    hands.drag((1500.0, -50.0), (2100.0, -20.0));
    let moved = hands.plan().doorways[0].at - at;
    assert!((moved - 600.0).abs() < 10.0, "{moved}");
    assert_eq!(corners(hands.plan()), corners(&one_room()), "the wall stays");
}

/// A new doorway to the outside has a 40 mm leaf flush with the far face: in a wall 250 thick the boards stop 230 in.
#[test]
fn a_doorways_card_says_where_boards_stop() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::D]);
    hands.click((1500.0, 0.0));
    hands.keys(&[Key::Escape]);
    hands.click((1500.0, -60.0));
    assert_eq!(hands.desk().selected(), Selected::Doorway(0));
    let stop = hands.house().fit.doorways[0].stops[0];
    assert!((stop.pulls()[0] - 230.0).abs() < 1e-6, "{stop:?}");
    hands.harness.get_by_label_contains("Stop line: 230 in from");
}

#[test]
fn a_fixture_is_dragged_out() {
    let mut hands = Hands::with_plan(one_room());
    let before = hands.house().site.boarded_area();
    hands.keys(&[Key::X]);
    hands.drag((1000.0, 1000.0), (1800.0, 1600.0));
    assert_eq!(hands.plan().fixtures.len(), 1);
    let outline = &hands.plan().fixtures[0].outline;
    let (width, height) = (outline[1].x - outline[0].x, outline[2].y - outline[1].y);
    // Taken out with its gap of 10 all round: closed form.
    let expected = before - (width + 20.0) * (height + 20.0);
    assert!((hands.house().site.boarded_area() - expected).abs() < 1.0);
    assert_eq!(hands.desk().selected(), Selected::Fixture(0));
}

#[test]
fn everything_is_undone_and_done_again() {
    let mut hands = Hands::with_plan(one_room());
    let mut states = vec![hands.plan().clone()];
    hands.run(Command::AnotherStagger);
    states.push(hands.plan().clone());
    hands.run(Command::RowsAlongY);
    states.push(hands.plan().clone());
    hands.drag((4000.0, 1100.0), (4200.0, 1100.0));
    states.push(hands.plan().clone());
    hands.run(Command::ToggleUnits);
    states.push(hands.plan().clone());
    hands.click((0.0, 0.0));
    hands.keys(&[Key::ArrowLeft]);
    states.push(hands.plan().clone());
    for pair in states.windows(2) {
        assert_ne!(pair[0], pair[1], "each of these changes something");
    }
    for state in states.iter().rev().skip(1) {
        hands.key(Modifiers::COMMAND, Key::Z);
        assert_eq!(hands.plan(), state);
        assert_eq!(hands.house().plan, *state, "the floor follows");
    }
    assert!(!hands.desk().is_dirty());
    for state in &states[1..] {
        hands.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
        assert_eq!(hands.plan(), state);
    }
}

#[test]
fn a_command_is_found_by_its_words() {
    let mut hands = Hands::with_plan(one_room());
    let seed = hands.plan().seed;
    hands.key(Modifiers::COMMAND, Key::K);
    hands.letters("stagger");
    assert!(hands.harness.query_by_label("Another stagger").is_some());
    assert!(hands.harness.query_by_label("Draw a room").is_none());
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().seed, seed + 1);
    assert!(hands.harness.query_by_label("Another stagger").is_none(), "closed again");
}

#[test]
fn a_bad_file_leaves_the_plan_on_the_table() {
    let folder = tempfile::tempdir().expect("a folder");
    let bad = folder.path().join("bad.ron");
    std::fs::write(&bad, "(\n    format: 99,\n    name: \"From tomorrow\",\n)\n").expect("written");
    let mut hands = Hands::with_plan(one_room());
    for path in [bad, folder.path().join("missing.ron")] {
        type_path(&mut hands, Command::OpenByPath, &path);
        assert_eq!(*hands.plan(), one_room());
        let title = format!("{} cannot be opened", path.file_name().expect("named").to_string_lossy());
        assert!(hands.harness.query_by_label(&title).is_some(), "said in the window");
        hands.harness.get_by_label("Close").click();
        hands.harness.run();
    }
    assert!(hands.house().plan == one_room(), "the floor stays");
}

fn type_path(hands: &mut Hands, command: Command, path: &std::path::Path) {
    hands.run(command);
    hands.harness.get_by_label("path of the file").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters(&path.display().to_string());
    hands.keys(&[Key::Enter]);
}

#[test]
fn a_plan_is_saved_and_opened_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let path: PathBuf = folder.path().join("box.ron");
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::AnotherStagger);
    assert!(hands.desk().is_dirty());
    type_path(&mut hands, Command::SaveByPath, &path);
    assert!(!hands.desk().is_dirty());
    let saved = hands.plan().clone();
    assert_eq!(std::fs::read_to_string(&path).expect("saved"), plan::write(&saved));
    let left: Vec<_> = std::fs::read_dir(folder.path()).expect("a folder").collect();
    assert_eq!(left.len(), 1, "nothing is left beside it");
    let again = Hands::at(Setup { path: Some(path), ..Setup::default() });
    assert_eq!(*again.plan(), saved);
}

#[test]
fn unsaved_work_is_asked_about() {
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::AnotherStagger);
    let changed = hands.plan().clone();
    hands.run(Command::New);
    assert!(hands.harness.query_by_label("Box is not saved").is_some());
    hands.harness.get_by_label("Stay").click();
    hands.harness.run();
    assert_eq!(*hands.plan(), changed);
    hands.run(Command::New);
    hands.harness.get_by_label("Leave without saving").click();
    hands.harness.run();
    assert!(hands.plan().rooms.is_empty());
}

#[test]
fn the_window_is_not_closed_over_unsaved_work() {
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::AnotherStagger);
    let root = egui::ViewportId::ROOT;
    let close = egui::ViewportEvent::Close;
    hands.harness.input_mut().viewports.entry(root).or_default().events.push(close);
    hands.harness.step();
    let cancels =
        hands.harness.output().viewport_output[&root].commands.contains(&egui::ViewportCommand::CancelClose);
    assert!(cancels);
    hands.harness.input_mut().viewports.entry(root).or_default().events.clear();
    hands.harness.run();
    assert!(hands.harness.query_by_label("Box is not saved").is_some());
}

#[test]
fn a_plan_with_problems_keeps_the_last_floor() {
    let mut hands = Hands::with_plan(one_room());
    let boards = hands.house().floor.boards.len();
    hands.run(Command::OpenAllSteps);
    let role = egui::accesskit::Role::TextInput;
    hands.harness.get_by_role_and_label(role, "Face width as sold").scroll_to_me();
    hands.harness.run();
    hands.harness.get_by_role_and_label(role, "Face width as sold").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters("0");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().stock.face_width, 0.0);
    assert!(!hands.plan().problems().is_empty());
    assert_eq!(hands.house().floor.boards.len(), boards);
    hands.run(Command::Undo);
    assert_eq!(*hands.plan(), one_room());
}

#[test]
fn the_sample_house_is_on_the_table_at_first() {
    let mut hands = Hands::at(Setup::default());
    let house = hands.house();
    // Some 140 m² of house with its stone floors; the boards lie in the rest.
    let all: f64 = house.site.rooms.iter().map(|room| room.area).sum();
    assert!((110e6..170e6).contains(&all), "{all}");
    assert!(house.floor.boards.len() > 300);
    let flags = house.flags.len();
    hands.run(Command::NextFlag);
    if flags > 0 {
        assert_eq!(hands.desk().selected(), Selected::Flag(0));
        hands.run(Command::PreviousFlag);
        assert_eq!(hands.desk().selected(), Selected::Flag(flags - 1));
    }
    // A click on bare boards picks one.
    let board = &hands.house().floor.boards[hands.house().floor.boards.len() / 2];
    let frame = hands.house().site.frame;
    let corners = board.outline.outer.iter().map(|uv| frame.plan_from_row(*uv));
    let sum = corners.clone().fold(Point::default(), |sum, p| sum.moved(p.x, p.y));
    let count = board.outline.outer.len() as f64;
    hands.run(Command::Fit);
    hands.click((sum.x / count, sum.y / count));
    assert!(!matches!(hands.desk().selected(), Selected::Nothing));
}

#[test]
fn the_table_speaks() {
    let hands = Hands::with_plan(one_room());
    let canvas = hands.harness.get_by_role(egui::accesskit::Role::Canvas);
    let label = egui_kittest::kittest::NodeT::accesskit_node(&canvas).label().expect("a label");
    assert!(label.starts_with("Floor of Box: 1 room,"), "{label}");
}

#[test]
fn the_house_menu_closes_on_escape() {
    let mut hands = Hands::with_plan(one_room());
    hands.harness.get_by_role_and_label(egui::accesskit::Role::Button, "Box").click();
    hands.harness.run();
    assert!(hands.harness.query_by_label_contains("Save by path").is_some());
    hands.keys(&[Key::Escape]);
    assert!(hands.harness.query_by_label_contains("Save by path").is_none());
    hands.key(Modifiers::COMMAND, Key::N);
    assert!(hands.plan().rooms.is_empty());
    assert!(hands.harness.query_by_label_contains("Save by path").is_none());
}

#[test]
fn a_path_that_cannot_be_saved_to_is_mended_where_it_was_typed() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::AnotherStagger);
    type_path(&mut hands, Command::SaveByPath, &folder.path().join("missing").join("box.ron"));
    assert!(hands.desk().is_dirty());
    assert!(hands.harness.query_by_label("Not saved: there is no such folder").is_some());
    hands.harness.get_by_label("path of the file").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters(&folder.path().join("box.ron").display().to_string());
    hands.keys(&[Key::Enter]);
    assert!(!hands.desk().is_dirty());
    assert!(folder.path().join("box.ron").exists());
}

#[test]
fn a_room_is_picked_by_its_name_and_its_card_renames_it() {
    let mut hands = Hands::with_plan(one_room());
    // The name stands in the middle of the widest open floor.
    let found =
        (0..40).flat_map(|i| (0..30).map(move |j| (100.0 * f64::from(i), 100.0 * f64::from(j)))).find(|p| {
            let at = hands.screen(*p);
            hands.harness.hover_at(at);
            hands.harness.run();
            hands.click(*p);
            hands.desk().selected() == Selected::Room(0)
        });
    assert!(found.is_some(), "the name can be clicked");
    hands.harness.get_by_label("name of the room").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters("Hall");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().rooms[0].name, "Hall");
}

#[test]
fn a_fixture_is_sized_and_stood_by_its_tape_measures() {
    let mut hands = Hands::with_plan(one_room());
    hands.keys(&[Key::X]);
    hands.drag((1000.0, 1000.0), (1800.0, 1600.0));
    for (label, typed) in [
        ("Size across the page", "1400"),
        ("Size up the page", "900"),
        ("From the wall at its left", "650"),
        ("From the wall below", "1020"),
    ] {
        let role = egui::accesskit::Role::TextInput;
        hands.harness.get_by_role_and_label(role, label).focus();
        hands.harness.run();
        hands.key(Modifiers::COMMAND, Key::A);
        hands.letters(typed);
        hands.keys(&[Key::Enter]);
    }
    let outline: Vec<(f64, f64)> = hands.plan().fixtures[0].outline.iter().map(|p| (*p).into()).collect();
    assert_eq!(outline, [(650.0, 1020.0), (2050.0, 1020.0), (2050.0, 1920.0), (650.0, 1920.0)]);
}

#[test]
fn the_view_follows_walls_typed_off_the_table() {
    let mut hands = Hands::with_plan(Plan::new("Empty"));
    hands.keys(&[Key::R]);
    hands.click((1000.0, 1000.0));
    hands.keys(&[Key::ArrowRight]);
    hands.letters("40 m");
    hands.keys(&[Key::Enter]);
    let canvas = hands.harness.get_by_role(egui::accesskit::Role::Canvas).rect();
    assert!(
        canvas.contains(hands.screen((1000.0, 1000.0))) && canvas.contains(hands.screen((41000.0, 1000.0)))
    );
}

#[test]
fn crowded_slivers_share_a_pennant_that_steps_through_them() {
    // A line that leaves 20 along the lower wall: every board there is a sliver.
    let mut hands = Hands::with_plan(one_room());
    let pitch = hands.house().setout.pitch;
    let mut plan = hands.plan().clone();
    plan.start_line = StartLine::At((plan.rules.wall_gap.least + 20.0).rem_euclid(pitch));
    hands = Hands::with_plan(plan);
    let slivers = hands.house().flags.iter().filter(|flag| flag.kind == findings::FlagKind::Sliver).count();
    assert!(slivers >= 2, "{slivers}");
    for _ in 0..14 {
        hands.run(Command::ZoomOut);
    }
    let at = hands.house().flags[0].at;
    let foot = hands.screen(at.into());
    let mut seen = std::collections::BTreeSet::new();
    for _ in 0..slivers {
        hands.harness.hover_at(foot);
        hands.harness.run();
        hands.click(at.into());
        if let Selected::Flag(flag) = hands.desk().selected() {
            seen.insert(flag);
        }
    }
    assert_eq!(seen.len(), slivers, "each click picks the next of them");
}

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

/// A room 4 m by 9 m across the boards: over the width that a floor may be.
fn deep_room() -> Plan {
    let mut plan = one_room();
    for wall in [2, 3] {
        plan.rooms[0].walls[wall].corner.y = 9000.0;
    }
    plan
}

/// Opens the step that tells of movement, and no other, so that all of it is in sight.
fn only_fit(hands: &mut Hands) {
    hands.run(Command::CloseAllSteps);
    hands.harness.get_by_label_contains("Fit: ").click();
    hands.harness.run();
}

#[test]
fn a_joint_is_drawn_dragged_typed_and_taken_out() {
    let mut hands = Hands::with_plan(deep_room());
    assert!(hands.house().flags.iter().any(|flag| flag.kind == findings::FlagKind::WideFloor));
    hands.keys(&[Key::J]);
    hands.drag((0.0, 4000.0), (4000.0, 4010.0));
    assert_eq!(hands.plan().joints.len(), 1);
    let joint = hands.plan().joints[0].clone();
    assert_eq!((joint.from.y, joint.to.y, joint.width), (joint.from.y, joint.from.y, 10.0));
    assert_eq!(hands.desk().selected(), Selected::Joint(0));
    assert_eq!(hands.house().site.regions.len(), 2);
    assert!(hands.house().flags.is_empty(), "{:?}", hands.house().flags);
    // It lies on a row line, and the rows past it are moved on.
    assert!(hands.house().fit.joints[0].above_row.is_some());
    let shifts = &hands.house().setout.shifts;
    assert!((shifts[0] - shifts[1]).abs() == 10.0, "{shifts:?}");

    hands.harness.get_by_label("width of the joint").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters("14");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().joints[0].width, 14.0);

    // Dragged square to itself: sideways moves do nothing.
    let y = hands.house().fit.joints[0].stretches[0].from.v;
    hands.keys(&[Key::Escape]);
    hands.drag((1000.0, y), (1300.0, y + 600.0));
    let moved = &hands.plan().joints[0];
    assert!((moved.from.y - joint.from.y - 600.0).abs() < 40.0 && moved.from.x == joint.from.x, "{moved:?}");
    // By an end, to the left wall's line at an angle with Shift; without it the joint stays square.
    let end = hands.plan().joints[0].to;
    hands.drag((end.x, end.y), (end.x - 1500.0, end.y + 30.0));
    let joint = hands.plan().joints[0].clone();
    assert!((joint.to.x - end.x + 1500.0).abs() < 60.0 && joint.to.y == joint.from.y, "{joint:?}");
    assert!(hands.house().flags.iter().any(|flag| flag.kind == findings::FlagKind::JointShort));

    hands.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(hands.plan().joints[0].to, end);
    hands.keys(&[Key::Delete]);
    assert!(hands.plan().joints.is_empty());
    hands.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(hands.plan().joints.len(), 1);
}

#[test]
fn a_joint_that_would_help_is_put_in_from_the_job() {
    let mut hands = Hands::with_plan(deep_room());
    only_fit(&mut hands);
    hands.harness.get_by_label("put it in").click();
    hands.harness.run();
    assert_eq!(hands.plan().joints.len(), 1);
    assert_eq!(hands.desk().undo_name(), Some("put in movement joint"));
    assert!(hands.house().fit.widths.iter().all(|width| width.extent <= 8000.0));
    assert!(hands.harness.query_by_label("put it in").is_none());
}

#[test]
fn wood_and_air_are_named_and_their_movement_is_told() {
    let mut hands = Hands::with_plan(one_room());
    only_fit(&mut hands);
    for word in ["say what the boards are made of", "say what the air is like"] {
        hands.harness.get_by_label(word).click();
        hands.harness.run();
    }
    let movement = hands.house().fit.movement.clone().expect("movement");
    // 20 °C and 50 %: 9.271 % by the published equation.
    assert!((movement.moisture.laid - 9.271_141).abs() < 1e-6);
    hands.harness.get_by_label("share held back by the adhesive").focus();
    hands.harness.run();
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters("40");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().stock.wood.map(|wood| wood.held_back), Some(0.4));
    let held = hands.house().fit.movement.clone().expect("movement");
    let swells = |m: &fit::Movement| m.widths[0].swells.expected;
    assert!((swells(&held) - 0.6 * swells(&movement)).abs() < 1e-9);
    hands.key(Modifiers::COMMAND, Key::Z);
    hands.key(Modifiers::COMMAND, Key::Z);
    hands.key(Modifiers::COMMAND, Key::Z);
    assert_eq!((hands.plan().stock.wood, hands.plan().air), (None, None));
}

/// A chevron's points are named with their tapes under Set out, and drawn on the floor with the pulls.
#[test]
fn a_patterns_points_are_marked_on_the_desk() {
    let plan = plan::read(include_str!("../../../../sample-plans/lark-study.ron")).expect("a plan");
    let mut hands = Hands::with_plan(plan);
    hands.run(Command::CloseAllSteps);
    hands.harness.get_by_label_contains("Set out: ").click();
    hands.harness.run();
    let points = hands.house().setout.points.clone().expect("points");
    for (mark, words) in
        [(points.first, "First point D from Study door"), (points.last, "Last point E from Study")]
    {
        assert!(mark.is_some());
        assert!(hands.harness.query_by_label_contains(words).is_some(), "{words}");
    }
}
