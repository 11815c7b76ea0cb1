//! Pins that guard, layers that hide, mends that are none, flags gone to, first steps that end.

use crate::hands::{Hands, one_room};
use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use plan::{FixtureKind, Place, Plan, Point, edit};
use startrow_desk::{Command, Selected, Setup};

fn with_things() -> Plan {
    let mut plan = one_room();
    edit::add_doorway(&mut plan, 0, 0, 2000.0).expect("a doorway");
    let island = [(1000.0, 1000.0), (1900.0, 1000.0), (1900.0, 1600.0), (1000.0, 1600.0)].map(Point::from);
    edit::add_fixture(&mut plan, FixtureKind::Island, &island).expect("an island");
    plan
}

fn is_usable(hands: &Hands, role: Role, label: &str) -> Option<bool> {
    let found = hands.harness.query_all_by_role_and_label(role, label).last()?;
    Some(!found.accesskit_node().is_disabled())
}

#[test]
fn what_is_pinned_down_offers_nothing_that_would_move_it() {
    let mut hands = Hands::with_plan(with_things());
    hands.run(Command::CloseAllSteps);
    let width = hands.plan().doorways[0].width;
    hands.click((2000.0, -40.0));
    assert_eq!(hands.desk().selected(), Selected::Doorway(0));
    assert_eq!(is_usable(&hands, Role::TextInput, "width of the doorway"), Some(true));
    assert!(hands.shows("remove"));
    hands.keys(&[Key::I]);
    assert!(hands.plan().is_pinned(&Place::Doorway(0)));
    for field in ["width of the doorway", "distance from the corner"] {
        assert_eq!(is_usable(&hands, Role::TextInput, field), Some(false), "{field}");
    }
    assert!(!hands.shows("remove") && hands.shows("unpin"));
    assert!(hands.says("Pinned down: no hand moves, reshapes or removes it"));
    // A figure typed over the floor is refused with the reason.
    hands.letters("500");
    hands.keys(&[Key::Enter]);
    assert_eq!(hands.plan().doorways[0].width, width);
    assert!(hands.desk().said().is_some_and(|said| said.contains("pinned down")));
    let mut plan = hands.plan().clone();
    let refused = edit::set_doorway_width(&mut plan, 0, 900.0).expect_err("the pin guards its width");
    assert!(refused.what.contains("pinned"));
    hands.keys(&[Key::I]);
    assert_eq!(is_usable(&hands, Role::TextInput, "width of the doorway"), Some(true));
    // A wall of a pinned room.
    hands.keys(&[Key::Escape, Key::M, Key::I, Key::W]);
    assert_eq!(is_usable(&hands, Role::TextInput, "length of the wall"), Some(false));
    assert!(hands.says("Its room is pinned down"));
}

#[test]
fn what_is_hidden_is_not_selected_any_more() {
    let mut hands = Hands::with_plan(with_things());
    hands.click((1450.0, 1300.0));
    assert_eq!(hands.desk().selected(), Selected::Fixture(0));
    hands.key(Modifiers::COMMAND, Key::Num2);
    assert_eq!(hands.desk().selected(), Selected::Nothing);
    hands.key(Modifiers::COMMAND, Key::Num2);
    hands.keys(&[Key::M, Key::W]);
    hands.key(Modifiers::COMMAND, Key::Num2);
    assert_eq!(hands.desk().selected(), Selected::Wall(0, 0), "walls are still shown");
    hands.key(Modifiers::COMMAND, Key::Num1);
    assert_eq!(hands.desk().selected(), Selected::Nothing);
}

#[test]
fn the_list_follows_to_the_flag_that_is_gone_to() {
    let mut hands = Hands::at_size(Setup::default(), [1280.0, 700.0]);
    hands.run(Command::OpenAllSteps);
    let flags = hands.house().flags.len();
    assert!(flags > 1, "the sample has flags");
    for key in [Key::G, Key::G] {
        hands.keys(&[key]);
        let Selected::Flag(flag) = hands.desk().selected() else { panic!("no flag") };
        let line = format!("flag {}: ", flag + 1);
        let rect = hands.harness.get_by_label_contains(&line).rect();
        assert!(rect.top() > 0.0 && rect.bottom() < 700.0, "{line} at {rect:?}");
    }
}

/// A mend that only moves a flag is said to be none, and its key does not take it.
#[test]
fn a_mend_that_lowers_no_flags_is_not_taken_for_one() {
    let mut hands = Hands::at(Setup::default());
    // A wall 40 longer and the line a millimetre beside the best: some flags of that floor have a mend, some have none.
    hands.keys(&[Key::M, Key::W]);
    let (a, b) = hands.plan().rooms[0].wall_line(0).expect("a wall");
    hands.letters(&format!("{:.0}", a.distance(b) + 40.0));
    hands.keys(&[Key::Enter]);
    hands.key(Modifiers::ALT, Key::ArrowUp);
    let (before, figures) = (hands.plan().clone(), hands.house().figures());
    let is_lower = |figures: &pipeline::Figures, after: &pipeline::Figures| {
        (after.faults, after.looks) < (figures.faults, figures.looks)
    };
    let mut none = None;
    for _ in 0..hands.house().flags.len().min(8) {
        hands.keys(&[Key::G]);
        let Selected::Flag(flag) = hands.desk().selected() else { panic!("no flag") };
        hands.key(Modifiers::ALT, Key::M);
        if *hands.plan() == before {
            none = Some(flag);
            break;
        }
        assert!(is_lower(&figures, &hands.house().figures()), "flag {flag}: what is taken leaves fewer");
        hands.key(Modifiers::COMMAND, Key::Z);
    }
    let flag = none.expect("a flag of it that the plan alone does not mend");
    assert!(
        hands.desk().said().is_some_and(|said| said.starts_with("Nothing ")),
        "{:?}",
        hands.desk().said()
    );
    let mends = hands.house().mends(flag);
    assert!(mends.iter().all(|mend| !mend.lowers(&figures) && !is_lower(&figures, &mend.figures)));
    assert_eq!(hands.says("No mend: this flag would go"), !mends.is_empty());
}

#[test]
fn the_first_steps_lead_to_a_house_of_ones_own_and_end_with_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let settings_path = Some(folder.path().join("desk.ron"));
    let mut hands = Hands::at(Setup { settings_path, ..Setup::default() });
    assert!(hands.shows("Pick a room"));
    // On to the last card, which must not stay over a new house.
    for _ in 0..6 {
        hands.press("go on");
    }
    assert!(hands.shows("That is the whole job"));
    hands.key(Modifiers::COMMAND, Key::N);
    assert!(!hands.shows("That is the whole job"));
    assert!(hands.shows("Draw the first room"));
    hands.keys(&[Key::R]);
    for length in ["6000", "1200", "6000"] {
        hands.letters(length);
        hands.keys(&[Key::Enter]);
    }
    hands.keys(&[Key::Enter]);
    assert!(hands.shows("Draw the room behind a wall"));
    hands.keys(&[Key::W, Key::W, Key::W, Key::R]);
    for length in ["3600", "3000", "3600"] {
        hands.letters(length);
        hands.keys(&[Key::Enter]);
    }
    hands.keys(&[Key::Enter]);
    assert!(hands.shows("Name a room"));
    hands.keys(&[Key::F2]);
    hands.letters("Bedroom");
    hands.keys(&[Key::Enter]);
    assert!(hands.shows("Open a doorway"));
    hands.keys(&[Key::Escape, Key::M, Key::W, Key::W, Key::W, Key::D, Key::Enter]);
    assert!(hands.shows("Stand a fixture in a room"), "{:?}", hands.plan().doorways.len());
    hands.keys(&[Key::Escape, Key::M, Key::X]);
    for size in ["900", "500"] {
        hands.letters(size);
        hands.keys(&[Key::Enter]);
    }
    assert!(hands.shows("Your house is drawn"));
    hands.press("put this away");
    assert!(!hands.shows("Your house is drawn"));
}

/// Of a plan with one length twice no floor can be laid: the old one must not pass for it, wherever it is read.
#[test]
fn a_floor_that_is_not_the_plans_says_so_everywhere() {
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::OpenAllSteps);
    let second = hands.plan().stock.lengths[1].length;
    hands.type_into("board length", &format!("{second:.0}"));
    assert!(!hands.plan().problems().is_empty());
    let said = |hands: &Hands, words: &str| hands.harness.query_all_by_label_contains(words).count();
    // Set-out, lay, check, fit, order, stages, print, laid.
    assert_eq!(said(&hands, "of the last floor that fits"), 8);
    assert_eq!(said(&hands, "Not this plan's: of the last floor that could be laid"), 8);
    assert!(said(&hands, "An older floor: this plan gives none") > 0);
    hands.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(said(&hands, "of the last floor that fits"), 0);
    assert_eq!(said(&hands, "Not this plan's"), 0);
}

#[test]
fn first_steps_on_a_floor_without_a_good_line_say_so() {
    let folder = tempfile::tempdir().expect("a folder");
    let settings_path = Some(folder.path().join("desk.ron"));
    let mut hands = Hands::at(Setup { settings_path, ..Setup::default() });
    let setout = &hands.house().setout;
    let reaches = setout.curve.iter().any(|point| point.rip >= setout.least);
    hands.press("go on");
    hands.press("go on");
    assert!(hands.shows("Move the start line"));
    assert_eq!(hands.says("keep it over the shaded band"), reaches);
    assert_eq!(hands.says("every place leaves some rip under the least"), !reaches);
}
