//! What somebody who had never seen the program stumbled over while reading: the keys' way through the job, flags said over
//! and over, what a mend brings in, what moved or vanished under the hand.

use crate::hands::{Hands, one_room};
use egui::accesskit::Role;
use egui::{Key, Modifiers, Rect};
use egui_kittest::kittest::{NodeT, Queryable};
use plan::{
    Climate, DrynessMethod, DrynessReading, FlatnessLimit, FlatnessReading, Plan, Seasons, Slab, Stage,
    StartLine,
};
use startrow_desk::{Command, Setup};

/// A plan with something in every row of the job that holds several things.
fn full() -> Plan {
    let mut plan = one_room();
    let room = plan.rooms[0].name.clone();
    plan.slab = Some(Slab {
        dryness: vec![DrynessReading { room: room.clone(), method: DrynessMethod::Humidity, reading: 70.0 }],
        flatness: vec![FlatnessReading { room: room.clone(), straightedge: 2000.0, gap: 2.0 }],
        flatness_limit: Some(FlatnessLimit::Own { straightedge: 2000.0, gap: 3.0 }),
        ..Slab::default()
    });
    plan.stages = vec![Stage { name: "First".into(), rooms: vec![room], day: 1, hours: None }];
    let hired = |name: &str| plan::Hired { name: name.into(), count: 1, days: 2, price: None };
    plan.materials =
        Some(plan::Materials { hired: vec![hired("saw"), hired("roller")], ..plan::Materials::default() });
    plan.air = Some(Seasons { driest: Climate::Moisture(6.0), ..Seasons::default() });
    plan
}

/// What has the keys: its words, and where it lies.
fn focused(hands: &Hands) -> Option<(String, Rect)> {
    let root = hands.harness.root();
    let node = root.children_recursive().find(|node| node.accesskit_node().is_focused())?;
    let words = node.accesskit_node().label().unwrap_or_default();
    Some((words, node.rect()))
}

#[test]
fn tab_goes_through_every_row_of_the_job_as_it_reads() {
    let mut hands = Hands::at_size(Setup { plan: Some(full()), ..Setup::default() }, [1400.0, 12_000.0]);
    hands.keys(&[Key::M]);
    hands.run(Command::OpenAllSteps);
    hands.run(Command::TapeRoom);
    let mut seen: Vec<(String, Rect)> = Vec::new();
    for _ in 0..500 {
        hands.keys(&[Key::Tab]);
        let Some(now) = focused(&hands) else { continue };
        // Round once.
        if seen.len() > 50 && seen.first().is_some_and(|first| *first == now) {
            break;
        }
        seen.push(now);
    }
    for field in [
        "dryness reading",
        "gap allowed under it",
        "name of the stage",
        "day on which laying begins",
        "what hired tool 2 is",
        "how many of hired tool 1",
        "days of hired tool 1",
        "to corner",
        "humidity, As laid",
    ] {
        assert!(seen.iter().any(|(words, _)| words == field), "{field} is never reached: {seen:?}");
    }
    let job = hands.harness.get_by_label_contains("Slab:").rect();
    for pair in seen.windows(2) {
        let [(before, one), (after, other)] = pair else { continue };
        let is_in_job = [one, other].iter().all(|rect| job.x_range().expand(20.0).contains(rect.center().x));
        // In one row where each lies beside the other's middle.
        let is_one_row =
            is_in_job && one.y_range().contains(other.center().y) && other.y_range().contains(one.center().y);
        assert!(
            !is_one_row || other.left() > one.left(),
            "“{after}” {other:?} comes after “{before}” {one:?}"
        );
    }
}

#[test]
fn flags_that_one_sentence_mends_are_one_entry() {
    // A line that leaves 20 along the lower wall: every board there is a sliver.
    let mut plan = one_room();
    let pitch = Hands::with_plan(one_room()).house().setout.pitch;
    plan.start_line = StartLine::At((plan.rules.wall_gap.least + 20.0).rem_euclid(pitch));
    let mut hands = Hands::with_plan(plan);
    let slivers: Vec<usize> = (0..hands.house().flags.len())
        .filter(|flag| hands.house().flags[*flag].kind == findings::FlagKind::Sliver)
        .collect();
    assert!(slivers.len() >= 2);
    // In full it would be said once for each of them.
    let head = format!("{} slivers, least 20: limit ", slivers.len());
    assert_eq!(hands.harness.query_all_by_label_contains(&head).count(), 1);
    // Each is still there to be gone to.
    let last = slivers[slivers.len() - 1];
    let line = format!("flag {}: sliver 20", last + 1);
    hands.harness.get_by_label_contains(&line).scroll_to_me();
    hands.harness.run();
    hands.harness.get_by_label_contains(&line).click();
    hands.harness.run();
    assert_eq!(hands.desk().selected(), startrow_desk::Selected::Flag(last));
}

/// Loose solid oak that takes up 2 % in a room of 3 m swells by more than joints would take: it is said where joints are offered.
#[test]
fn a_floor_that_joints_do_not_serve_is_told_so() {
    let mut plan = one_room();
    plan.stock.wood =
        Some(plan::Wood { construction: plan::Construction::FlatSawn, ..plan::Wood::default() });
    let at = Climate::Moisture;
    plan.air = Some(Seasons { laid: at(9.0), driest: at(7.0), dampest: at(12.0) });
    let mut hands = Hands::at_size(Setup { plan: Some(plan), ..Setup::default() }, [1400.0, 6000.0]);
    assert!(!hands.shows("Where joints do not help"), "before its step is open");
    hands.run(Command::OpenAllSteps);
    assert!(hands.shows("Where joints do not help"));
    assert!(hands.harness.query_all_by_label_contains("no floor to lay loose").next().is_some());
    assert!(!hands.shows("Joints that would help"));
}

/// The joints that would help a floor too wide are laid through, one by one and all together, and what they bring in is what
/// stands on the floor once they are put in.
#[test]
fn what_joints_bring_in_is_said_before_they_are_put_in() {
    let mut plan = Plan::new("Hall");
    let corners = [(0.0, 0.0), (6000.0, 0.0), (6000.0, 26_000.0), (0.0, 26_000.0)];
    plan::edit::add_room(&mut plan, &corners.map(plan::Point::from)).expect("a room");
    let mut hands = Hands::with_plan(plan);
    hands.run(Command::OpenAllSteps);
    let before = hands.house().flags.clone();
    let proposals = hands.house().proposals();
    assert!(proposals.len() > 1, "{}", proposals.len());
    let said = hands.harness.query_all_by_label_contains("All of them together").count();
    assert_eq!(said, 1);
    let joints: Vec<_> = proposals.iter().map(|proposal| proposal.joint.clone()).collect();
    let told = hands.house().with_joints(&joints).expect("a floor");
    let words = told.words().map_or_else(
        || "All of them together bring in no other flag.".to_owned(),
        |words| format!("All of them together: {words}."),
    );
    assert!(hands.says(&words), "{words}");
    hands.press("put them all in");
    assert_eq!(hands.plan().joints.len(), joints.len());
    assert_eq!(pipeline::Brings::between(&before, &hands.house().flags), told);
}

/// The field that is typed in stays where it is when the plan does not fit any more.
#[test]
fn what_does_not_fit_moves_nothing_under_the_hand() {
    let mut hands = Hands::with_plan(one_room());
    hands.run(Command::OpenAllSteps);
    let field = |hands: &Hands| {
        let mut fields = hands.harness.get_all_by_role_and_label(Role::TextInput, "board length");
        fields.next().expect("a field").rect()
    };
    hands
        .harness
        .get_all_by_role_and_label(Role::TextInput, "board length")
        .next()
        .expect("a field")
        .scroll_to_me();
    hands.harness.run();
    hands.harness.get_all_by_role_and_label(Role::TextInput, "board length").next().expect("a field").focus();
    hands.harness.run();
    let before = field(&hands);
    assert!(before.bottom() < 600.0, "in sight, over the foot of the job: {before:?}");
    let second = hands.plan().stock.lengths[1].length;
    hands.key(Modifiers::COMMAND, Key::A);
    hands.letters(&format!("{second:.0}"));
    hands.keys(&[Key::Enter]);
    let problem = hands.plan().problems().into_iter().next().expect("one length twice");
    assert_eq!(field(&hands), before);
    // It is said at the foot of the job.
    let line = format!("{}: {}", problem.place_name, problem.what);
    let told = hands.harness.get_all_by_label(&line).next().expect("it is said").rect();
    assert!(told.top() > 600.0 && told.bottom() < 900.0, "{told:?}");
    hands.key(Modifiers::COMMAND, Key::Z);
    assert!(!hands.says(&line));
}

/// How the plan stands is said in the same words whatever was done and taken back: the figures stay.
#[test]
fn the_figures_beside_the_name_stay_after_a_step_is_taken_back() {
    for width in [1280.0, 1440.0, 1600.0, 1920.0] {
        let mut hands = Hands::at_size(Setup::default(), [width, 1000.0]);
        let said = |hands: &Hands| {
            let states = ["not saved", "no file yet"];
            let all = states.iter().flat_map(|state| hands.harness.query_all_by_label_contains(state));
            let words: Vec<String> = all
                .filter_map(|node| node.accesskit_node().value().or(node.accesskit_node().label()))
                .collect();
            words
                .first()
                .map(|words| words.split_once(" · ").map_or(String::new(), |(_, rest)| rest.to_owned()))
        };
        let figures = said(&hands);
        hands.run(Command::ToggleGrid);
        hands.run(Command::ToggleUnits);
        hands.run(Command::ToggleUnits);
        assert_eq!(said(&hands), figures, "{width}");
        hands.key(Modifiers::COMMAND, Key::Z);
        hands.key(Modifiers::COMMAND, Key::Z);
        assert_eq!(said(&hands), figures, "{width}");
    }
}

#[test]
fn the_first_steps_cover_no_room() {
    for size in
        [[1600.0, 1000.0], [1280.0, 800.0], [1000.0, 700.0], [1024.0, 700.0], [900.0, 600.0], [600.0, 400.0]]
    {
        let folder = tempfile::tempdir().expect("a folder");
        let setup = Setup { settings_path: Some(folder.path().join("desk.ron")), ..Setup::default() };
        let hands = Hands::at_size(setup, size);
        // Open, or folded to a line.
        let all = ["Pick a room", "A room is picked by its name", "show how", "leave the first"];
        let labels = all.iter().flat_map(|text| hands.harness.query_all_by_label_contains(text));
        let card = labels.map(|label| label.rect()).reduce(Rect::union).expect("a card");
        // With its margin.
        let card = card.expand2(egui::vec2(14.0, 10.0));
        let table =
            hands.harness.ctx.read_response(egui::Id::unique("startrow canvas")).expect("a table").rect;
        for room in &hands.plan().rooms {
            let corners = room.walls.iter().map(|wall| hands.desk().screen_from_plan(wall.corner));
            let corners: Vec<egui::Pos2> = corners.collect();
            let room_on_screen = Rect::from_points(&corners);
            assert!(!room_on_screen.intersects(card), "{size:?}: {} under {card:?}", room.name);
            assert!(table.contains_rect(room_on_screen), "{size:?}: {} is out of sight", room.name);
        }
    }
}
