//! Hands that drive a desk without a window: gestures, keys, typed letters.

use egui::{Event, Key, Modifiers, Pos2, Rect, Shape};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use plan::{Plan, Point};
use startrow_desk::{Command, Desk, Setup};

/// The desk and how it starts: fonts must be in place a frame before it is first shown.
pub(crate) struct Table {
    setup: Option<Setup>,
    pub(crate) desk: Option<Desk>,
}

pub(crate) struct Hands {
    pub(crate) harness: Harness<'static, Table>,
    /// Threads begun by a command may go on asking for frames for a while.
    pub(crate) waits: bool,
}

impl Hands {
    pub(crate) fn at(setup: Setup) -> Self {
        Self::at_size(setup, [1400.0, 900.0])
    }

    pub(crate) fn at_size(setup: Setup, size: [f32; 2]) -> Self {
        let setup = Setup { synchronous: true, ..setup };
        let harness = Harness::builder().with_size(size).build_ui_state(
            |ui, table: &mut Table| match (&mut table.desk, table.setup.take()) {
                (Some(desk), _) => desk.show(ui),
                (none, Some(setup)) => {
                    *none = Some(Desk::new(ui.ctx(), setup));
                    ui.ctx().request_repaint();
                }
                (None, None) => {}
            },
            Table { setup: Some(setup), desk: None },
        );
        let mut hands = Self { harness, waits: false };
        hands.settle();
        hands
    }

    pub(crate) fn with_plan(plan: Plan) -> Self {
        Self::at(Setup { plan: Some(plan), ..Setup::default() })
    }

    pub(crate) fn desk(&self) -> &Desk {
        self.harness.state().desk.as_ref().expect("shown")
    }

    pub(crate) fn plan(&self) -> &Plan {
        self.desk().plan()
    }

    pub(crate) fn house(&self) -> &pipeline::House {
        self.desk().house().expect("a house")
    }

    /// Frames until none is asked for, within a few; where threads are waited for, without end is a fault.
    pub(crate) fn settle(&mut self) {
        if !self.waits {
            self.harness.run();
            return;
        }
        let at_rest = (0..600).any(|_| {
            let rests = self.harness.run_ok().is_some();
            if !rests {
                std::thread::sleep(std::time::Duration::from_millis(20));
            }
            rests
        });
        assert!(at_rest, "the desk does not come to rest");
    }

    pub(crate) fn run(&mut self, command: Command) {
        let ctx = self.harness.ctx.clone();
        self.harness.state_mut().desk.as_mut().expect("shown").run(&ctx, command);
        self.settle();
    }

    pub(crate) fn key(&mut self, modifiers: Modifiers, key: Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.settle();
    }

    pub(crate) fn keys(&mut self, keys: &[Key]) {
        for key in keys {
            self.key(Modifiers::NONE, *key);
        }
    }

    /// Holds these keys down until others are held.
    pub(crate) fn hold(&mut self, modifiers: Modifiers) {
        self.harness.event(Event::ModifiersChanged(modifiers));
        self.settle();
    }

    pub(crate) fn letters(&mut self, text: &str) {
        self.harness.event(Event::Text(text.into()));
        self.settle();
    }

    /// Whether anything on the table says these words.
    pub(crate) fn says(&self, words: &str) -> bool {
        self.harness.query_all_by_label_contains(words).next().is_some()
    }

    /// What is painted in the last frame that a piece of `wanted` can be made of, one after the other.
    fn painted<T>(&self, wanted: impl Fn(&Shape) -> Option<T>) -> Vec<T> {
        fn leaves<'a>(shape: &'a Shape, all: &mut Vec<&'a Shape>) {
            match shape {
                Shape::Vec(inner) => inner.iter().for_each(|shape| leaves(shape, all)),
                shape => all.push(shape),
            }
        }
        let mut all = Vec::new();
        self.harness.output().shapes.iter().for_each(|clipped| leaves(&clipped.shape, &mut all));
        all.into_iter().filter_map(wanted).collect()
    }

    /// Every writing that is painted, and where.
    pub(crate) fn written(&self) -> Vec<(String, Rect)> {
        self.painted(|shape| match shape {
            Shape::Text(text) => Some((text.galley.text().to_owned(), text.visual_bounding_rect())),
            _ => None,
        })
    }

    /// The lines of two ends that are painted.
    pub(crate) fn lines(&self) -> Vec<[Pos2; 2]> {
        self.painted(|shape| match shape {
            Shape::LineSegment { points, .. } => Some(*points),
            _ => None,
        })
    }

    /// The circles that are painted: where, and how large.
    pub(crate) fn circles(&self) -> Vec<(Pos2, f32)> {
        self.painted(|shape| match shape {
            Shape::Circle(circle) => Some((circle.center, circle.radius)),
            _ => None,
        })
    }

    /// Whether one thing has this label.
    pub(crate) fn shows(&self, label: &str) -> bool {
        self.harness.query_by_label(label).is_some()
    }

    /// Clicks what has this label, brought into sight first.
    pub(crate) fn press(&mut self, label: &str) {
        self.harness.get_by_label(label).scroll_to_me();
        self.settle();
        self.harness.get_by_label(label).click();
        self.settle();
    }

    /// Types over what stands in a field, and Enter.
    pub(crate) fn type_into(&mut self, field: &str, text: &str) {
        let role = egui::accesskit::Role::TextInput;
        self.harness.get_all_by_role_and_label(role, field).next().expect("a field").focus();
        self.settle();
        self.key(Modifiers::COMMAND, Key::A);
        self.letters(text);
        self.keys(&[Key::Enter]);
    }

    /// Types a path where a command asks for one.
    pub(crate) fn type_path(&mut self, command: Command, path: &std::path::Path) {
        self.run(command);
        self.type_into("path of the file", &path.display().to_string());
    }

    pub(crate) fn screen(&self, p: (f64, f64)) -> Pos2 {
        self.desk().screen_from_plan(p.into())
    }

    pub(crate) fn click(&mut self, p: (f64, f64)) {
        let at = self.screen(p);
        self.harness.hover_at(at);
        self.settle();
        self.harness.drag_at(at);
        self.settle();
        self.harness.drop_at(at);
        self.settle();
        // Two clicks in a hurry would be a double click.
        for _ in 0..3 {
            self.harness.step();
        }
    }

    pub(crate) fn drag_on_screen(&mut self, from: Pos2, to: Pos2) {
        self.harness.hover_at(from);
        self.settle();
        self.harness.drag_at(from);
        self.settle();
        for step in 1..=4 {
            self.harness.hover_at(from.lerp(to, step as f32 / 4.0));
            self.settle();
        }
        self.harness.drop_at(to);
        self.settle();
    }

    pub(crate) fn drag(&mut self, from: (f64, f64), to: (f64, f64)) {
        let (from, to) = (self.screen(from), self.screen(to));
        self.drag_on_screen(from, to);
    }
}

/// One boarded room of 4000 × 3000 with its lower left corner at the origin.
pub(crate) fn one_room() -> Plan {
    let mut plan = Plan::new("Box");
    let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)];
    plan::edit::add_room(&mut plan, &corners.map(Point::from)).expect("a room");
    // Without play in the gaps a rip is what its definition says.
    plan.rules.wall_gap.greatest = plan.rules.wall_gap.least;
    plan
}

pub(crate) fn corners(plan: &Plan) -> Vec<(f64, f64)> {
    plan.rooms[0].walls.iter().map(|wall| wall.corner.into()).collect()
}
