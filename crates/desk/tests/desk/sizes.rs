//! Everything at one to three times its size, in a small window and a large one: nothing is cut, nothing lies over another,
//! and the way back leads to where it began.

use crate::hands::{Hands, one_room};
use egui::accesskit::Role;
use egui::{Key, Modifiers, Rect, Vec2, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use startrow_desk::{Command, Selected, Setup};

const WINDOWS: [Vec2; 2] = [vec2(1280.0, 800.0), vec2(1920.0, 1080.0)];

/// What is shown: role, words, and where on the screen.
type Shown = (Role, String, Rect);

/// What can be used or read of one panel or card, given by the node that holds it.
fn inside(node: &egui_kittest::Node<'_>) -> Vec<Shown> {
    let is_used = |role: Role| {
        matches!(
            role,
            Role::Button | Role::TextInput | Role::CheckBox | Role::ComboBox | Role::Slider | Role::Label
        )
    };
    node.children_recursive()
        .filter(|node| node.accesskit_node().bounding_box().is_some())
        .filter(|node| is_used(node.accesskit_node().role()))
        .map(|node| {
            let words = node.accesskit_node().label().or(node.accesskit_node().value()).unwrap_or_default();
            (node.accesskit_node().role(), words, node.rect())
        })
        .filter(|(_, _, rect)| rect.is_positive())
        .collect()
}

/// The job's panel and the header, each with what is in it. A panel has no place of its own in the tree: the job is as wide as
/// its steps' lines with their margins, the header lies over the table.
fn panels(hands: &Hands) -> Vec<(bool, Rect, Vec<Shown>)> {
    let window = hands.harness.ctx.content_rect();
    let table = hands.harness.get_all_by_role(Role::Canvas).next().expect("a table").rect();
    let panes = hands.harness.get_all_by_role(Role::Pane).map(|pane| inside(&pane));
    panes
        .filter_map(|shown| {
            let line = |words: &str| {
                shown.iter().find(|(_, said, _)| said.starts_with(words)).map(|(.., rect)| *rect)
            };
            let pane = match (line("Slab:"), line("pick")) {
                (Some(line), _) => {
                    Rect::from_x_y_ranges(line.left() - 22.0..=line.right() + 14.0, window.y_range())
                }
                (None, Some(_)) => {
                    // In a narrow window it goes over the job, too.
                    let is_over_all = window.width() < 700.0;
                    let across = if is_over_all { window.x_range() } else { table.x_range() };
                    Rect::from_x_y_ranges(across, window.top()..=table.top())
                }
                (None, None) => return None,
            };
            Some((line("Slab:").is_some(), pane, shown))
        })
        .collect()
}

/// Cards and everything else, for comparing two layouts.
fn everything(hands: &Hands) -> Vec<Shown> {
    inside(&hands.harness.root())
}

fn scale_to(hands: &mut Hands, window: Vec2, percent: u16) {
    if percent == 100 {
        hands.run(Command::UsualSize);
    }
    while (hands.harness.ctx.zoom_factor() * 100.0).round() as u16 != percent {
        let is_less = hands.harness.ctx.zoom_factor() * 100.0 < f32::from(percent);
        hands.run(if is_less { Command::Larger } else { Command::Smaller });
    }
    // A real window's points grow as its writing does.
    hands.harness.set_size(window / (f32::from(percent) / 100.0));
    for _ in 0..3 {
        hands.harness.run();
    }
}

/// Nothing is cut at the sides, nothing of a panel lies over another thing of it.
fn check(hands: &Hands, what: &str) {
    let window = hands.harness.ctx.content_rect().expand(1.0);
    let panels = panels(hands);
    assert!(panels.iter().any(|(is_job, ..)| !is_job), "{what}: the header is there");
    for (is_job, pane, shown) in panels {
        assert!(window.contains_rect(pane), "{what}: panel {pane:?} in {window:?}");
        for (role, words, rect) in &shown {
            // The job is scrolled up and down; nothing else is.
            let is_in = match is_job {
                true => rect.left() >= pane.left() && rect.right() <= pane.right(),
                false => pane.expand(1.0).contains_rect(*rect),
            };
            assert!(is_in, "{what}: {role:?} {words:?} at {rect:?} is cut by its panel {pane:?}");
        }
        for (i, (_, one, a)) in shown.iter().enumerate() {
            for (_, other, b) in &shown[i + 1..] {
                let common = a.shrink(1.5).intersect(b.shrink(1.5));
                let is_same = a.contains_rect(*b) || b.contains_rect(*a);
                assert!(!common.is_positive() || is_same, "{what}: {one:?} at {a:?} and {other:?} at {b:?}");
            }
        }
    }
}

/// What stands over everything fits into the window, or is scrolled in it: it is not wider, and begins in it.
fn check_card(hands: &Hands, label: &str, what: &str) {
    let window = hands.harness.ctx.content_rect().expand(1.0);
    let rect = hands.harness.get_all_by_label_contains(label).last().expect("shown").rect();
    let is_in = rect.left() >= window.left() && rect.right() <= window.right() && rect.top() >= window.top();
    assert!(is_in, "{what}: {label:?} at {rect:?} in {window:?}");
}

#[test]
fn nothing_is_cut_at_any_size_and_the_way_back_leads_home() {
    for (window, setup) in
        [(WINDOWS[0], Setup::default()), (WINDOWS[1], Setup { plan: Some(one_room()), ..Setup::default() })]
    {
        let mut hands = Hands::at_size(setup, window.into());
        hands.run(Command::OpenAllSteps);
        hands.run(Command::Fit);
        let (before, corner) = (everything(&hands), hands.screen((0.0, 0.0)));
        for percent in [100, 150, 200, 300] {
            scale_to(&mut hands, window, percent);
            let what = format!("{window:?} at {percent} %");
            check(&hands, &what);
            if !hands.says("Slab:") {
                // Folded away where there is no room for it: brought back, it is whole, and folded again.
                hands.keys(&[Key::F3]);
                assert!(hands.says("Slab:"), "{what}: the job comes back");
                check(&hands, &what);
                hands.keys(&[Key::F3]);
                hands.keys(&[Key::F4]);
                check(&hands, &what);
                hands.keys(&[Key::F4]);
            }
        }
        // A flag's card, the finder and a question, at their largest.
        hands.run(Command::NextFlag);
        hands.key(Modifiers::COMMAND, Key::K);
        check_card(&hands, "New house", "the finder");
        hands.keys(&[Key::Escape]);
        hands.run(Command::SaveByPath);
        check_card(&hands, "Save the plan to a path", "a question");
        hands.keys(&[Key::Escape, Key::Escape]);
        hands.run(Command::Fit);
        scale_to(&mut hands, window, 100);
        let after = everything(&hands);
        for (before, after) in before.iter().zip(&after) {
            assert_eq!(before, after, "{window:?}: the way back leads to where it began");
        }
        assert_eq!(before.len(), after.len());
        assert!((hands.screen((0.0, 0.0)) - corner).length() < 0.5, "the view is fitted as before");
    }
}

#[test]
fn a_flags_card_at_three_times_its_size_is_scrolled_to_its_end() {
    let mut hands = Hands::at_size(Setup::default(), WINDOWS[0].into());
    scale_to(&mut hands, WINDOWS[0], 300);
    hands.keys(&[Key::G]);
    hands.key(Modifiers::SHIFT, Key::M);
    let window = hands.harness.ctx.content_rect();
    let next = |hands: &Hands| hands.harness.get_all_by_label("next flag").last().expect("a card").rect();
    hands.harness.get_all_by_label("next flag").last().expect("a card").scroll_to_me();
    hands.harness.run();
    assert!(window.contains_rect(next(&hands)), "{:?} in {window:?}", next(&hands));
}

/// The job is narrowed by a small window and as wide as before in a large one; what the hand chose stays chosen.
#[test]
fn panels_come_back_to_the_size_they_had() {
    let mut hands = Hands::at_size(Setup { plan: Some(one_room()), ..Setup::default() }, [1600.0, 1000.0]);
    let job =
        |hands: &Hands| panels(hands).into_iter().find(|(is_job, ..)| *is_job).expect("the job").1.width();
    let wide = job(&hands);
    for size in [vec2(800.0, 600.0), vec2(1600.0, 1000.0)] {
        hands.harness.set_size(size);
        hands.harness.run();
    }
    assert_eq!(job(&hands), wide);
    let edges = hands.harness.get_all_by_label("Resize panel");
    let edge = edges.map(|edge| edge.rect()).find(|edge| edge.height() > 500.0).expect("the job's edge");
    // The table ends in the middle of the handle: its outer half is the panel's.
    let edge = edge.center() + vec2(3.0, 0.0);
    hands.drag_on_screen(edge, edge - vec2(90.0, 0.0));
    let dragged = job(&hands);
    assert!((dragged - wide - 90.0).abs() < 8.0, "{dragged} {wide}");
    for size in [vec2(800.0, 600.0), vec2(1600.0, 1000.0)] {
        hands.harness.set_size(size);
        hands.harness.run();
    }
    assert_eq!(job(&hands), dragged);
}

/// Tools and words of the header stay where they are whatever is done: nobody's second click lands on another one.
#[test]
fn tools_never_move_under_the_pointer() {
    for width in [1000.0, 1280.0, 1600.0, 1920.0] {
        let mut hands = Hands::at_size(Setup::default(), [width, 900.0]);
        let names = ["pick", "draw room", "doorway", "fixture", "joint", "do again", "curve", "job"];
        let places = |hands: &Hands| {
            let mut places: Vec<f32> =
                names.iter().map(|name| hands.harness.get_by_label(name).rect().left()).collect();
            let undo = hands.harness.get_all_by_label_contains("undo").map(|node| node.rect().left());
            places.push(undo.fold(f32::INFINITY, f32::min));
            places
        };
        let before = places(&hands);
        let table = hands.harness.get_all_by_role(Role::Canvas).next().expect("a table").rect();
        hands.key(Modifiers::ALT, Key::ArrowUp);
        assert!(hands.desk().undo_name().is_some());
        assert_eq!(places(&hands), before, "{width}: something can be undone");
        hands.run(Command::ToggleUnits);
        assert_eq!(places(&hands), before, "{width}: feet and inches");
        hands.run(Command::Undo);
        assert_eq!(places(&hands), before, "{width}: something can be done again");
        hands.keys(&[Key::R]);
        assert_eq!(places(&hands), before, "{width}: another tool");
        let now = hands.harness.get_all_by_role(Role::Canvas).next().expect("a table").rect();
        assert_eq!(now, table, "{width}: nor does the table");
    }
}

/// At twice its size in a small window, too, a flag's card leaves the flag in sight.
#[test]
fn a_flags_card_keeps_off_its_pennant_in_a_small_window() {
    let mut hands = Hands::at_size(Setup::default(), WINDOWS[0].into());
    scale_to(&mut hands, WINDOWS[0], 200);
    for _ in 0..hands.house().flags.len() {
        hands.keys(&[Key::G]);
        let Selected::Flag(flag) = hands.desk().selected() else { panic!("no flag") };
        let at = hands.desk().screen_from_plan(hands.house().flags[flag].at);
        let of_card = ["what would mend it", "next flag"].map(|label| {
            hands.harness.get_all_by_label(label).map(|node| node.rect()).next_back().expect("its card")
        });
        let card = of_card[0].union(of_card[1]).expand(8.0);
        let table = hands.harness.get_all_by_role(Role::Canvas).next().expect("a table").rect();
        assert!(table.contains(at), "flag {flag}");
        assert!(
            !card.x_range().contains(at.x) || !card.y_range().contains(at.y),
            "flag {flag}: {card:?} {at:?}"
        );
    }
}

/// A board's card leaves the board and those that it touches in sight, wherever it lies in the sample house.
#[test]
fn a_boards_card_keeps_off_the_board_and_its_neighbours() {
    for size in [[1000.0, 700.0], [1600.0, 1000.0]] {
        let mut hands = Hands::at_size(Setup::default(), size);
        let house = hands.house();
        let boards = house.floor.boards.iter().enumerate().step_by(house.floor.boards.len() / 12);
        let boards: Vec<(usize, plan::Point)> =
            boards.map(|(index, board)| (index, house.site.frame.plan_from_row(board.middle()))).collect();
        let mut seen = 0;
        for (index, at) in boards {
            hands.keys(&[Key::Escape]);
            hands.click((at.x, at.y));
            if hands.desk().selected() != Selected::Board(index) {
                continue;
            }
            seen += 1;
            hands.harness.run();
            let house = hands.house();
            let own = &house.floor.boards[index];
            let labels = [format!("Board {}", own.label), "From stock board".to_owned()];
            let parts = labels.iter().map(|label| {
                let nodes = hands.harness.query_all_by_label_contains(label);
                nodes.map(|node| node.rect()).next_back().expect("its card")
            });
            let card = parts.reduce(|a, b| a.union(b)).expect("two parts");
            let touched = house.floor.boards.iter().filter(|other| {
                let rows = other.row.abs_diff(own.row);
                let beside = other.left < own.right - 1.0 && other.right > own.left + 1.0;
                let follows = (other.left - own.right).abs() < 1.0 || (own.left - other.right).abs() < 1.0;
                other.region == own.region && ((rows == 0 && follows) || (rows <= 1 && beside))
            });
            for board in touched {
                let corners = board.outline.outer.iter().map(|p| {
                    let p = house.site.frame.plan_from_row(*p);
                    hands.desk().screen_from_plan(p)
                });
                let corners: Vec<egui::Pos2> = corners.collect();
                let board_on_screen = egui::Rect::from_points(&corners);
                let what = format!("{size:?}: {} of {}", board.label, own.label);
                assert!(!board_on_screen.intersects(card), "{what}: {board_on_screen:?} under {card:?}");
            }
        }
        assert!(seen > 6, "{seen} boards were picked");
    }
}
