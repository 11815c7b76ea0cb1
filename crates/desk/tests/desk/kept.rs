//! Any hands on everything that can be pressed or typed into, with saving, opening and a crash in between. Nothing panics;
//! undo leads back to what was opened and redo to the last, byte for byte; what is saved and opened again is the same plan
//! and the same floor; a crash loses nothing that was done.
//!
//! `STARTROW_HANDS` asks for more of them than the few of the usual run, `STARTROW_FROM` for others.

use crate::any::{Chance, asked, is_left_out};
use crate::hands::{Hands, one_room};
use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::NodeT;
use plan::Plan;
use startrow_desk::{Command, Setup};
use std::path::{Path, PathBuf};

/// Hands of the usual run, and what each does.
const HANDS: u64 = 4;
const GESTURES: usize = 30;

/// Names of files as they come: with blanks, letters of other languages, without an ending, long.
const NAMES: [&str; 5] = ["a b.ron", "Küche größer, 2. Stock.ron", "plan", "Ελιά 3.ron", "..ron"];

/// What is typed into fields, sense and nonsense.
const TYPED: [&str; 18] = [
    "0",
    "1",
    "-1",
    "7",
    "12",
    "90",
    "190",
    "1200",
    "2400.5",
    "9999999",
    "1e9",
    "x",
    "",
    " ",
    "6' 2 1/2\"",
    "Küche",
    "-0",
    "NaN",
];

/// What would leave the test's folder, ask the system, or take long.
fn is_kept_from(words: &str) -> bool {
    [
        "write",
        "sheets",
        "play",
        "find a command",
        "look for better",
        "print",
        "choose a folder",
        "save",
        "open",
        "system",
        "close",
        "resize",
        "new house",
        "sample house",
        "bring in",
        "picture",
        "recent",
    ]
    .iter()
    .any(|part| words.to_lowercase().contains(part))
}

/// One desk with its files.
struct Work {
    hands: Hands,
    folder: tempfile::TempDir,
    /// The plan as it was opened, or begun.
    first: Plan,
    done: Vec<String>,
}

impl Work {
    fn setup(folder: &Path) -> Setup {
        Setup { journal_folder: Some(folder.join("journal")), ..Setup::default() }
    }

    fn new(first: Plan) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let setup = Setup { plan: Some(first.clone()), ..Self::setup(folder.path()) };
        let mut hands = Hands::at(setup);
        hands.waits = true;
        Self { hands, folder, first, done: Vec::new() }
    }

    /// Something that is pressed, or a field that is typed into, by chance.
    fn use_something(&mut self, chance: &mut Chance) {
        let root = self.hands.harness.root();
        let usable: Vec<_> = root
            .children_recursive()
            .filter(|node| {
                let node = node.accesskit_node();
                let is_used = matches!(
                    node.role(),
                    Role::Button
                        | Role::TextInput
                        | Role::CheckBox
                        | Role::ComboBox
                        | Role::Slider
                        | Role::RadioButton
                );
                let words = node.label().or(node.value()).unwrap_or_default();
                is_used && !node.is_disabled() && !is_kept_from(&words)
            })
            .collect();
        if usable.is_empty() {
            return;
        }
        let node = &usable[chance.below(usable.len())];
        let (role, words) = (node.accesskit_node().role(), node.accesskit_node().label().unwrap_or_default());
        self.done.push(format!("{role:?} {words:?}"));
        if role == Role::TextInput {
            let text = TYPED[chance.below(TYPED.len())];
            self.done.push(format!("typed {text:?}"));
            node.focus();
            drop(usable);
            self.hands.settle();
            self.hands.key(Modifiers::COMMAND, Key::A);
            self.hands.letters(text);
            self.hands.keys(&[Key::Enter]);
        } else {
            node.click();
            drop(usable);
            self.hands.settle();
        }
    }

    fn check_written(&self) {
        let text = plan::write(self.hands.plan());
        let read = plan::read_drawn(&text);
        assert_eq!(read.as_ref(), Ok(self.hands.plan()), "{:?}", self.done);
        assert_eq!(read.map(|plan| plan::write(&plan)).as_ref(), Ok(&text), "{:?}", self.done);
    }

    /// Saved under a name, then opened by another desk: the same plan to the byte, and the same floor.
    fn save_and_open(&mut self, name: &str) -> PathBuf {
        self.done.push(format!("save {name:?}"));
        let path = self.folder.path().join(name);
        self.rest();
        self.hands.type_path(Command::SaveByPath, &path);
        if self.hands.says("is there already") {
            self.hands.press("Save over it");
        }
        let path = if path.is_file() { path } else { self.folder.path().join(format!("{name}.ron")) };
        assert!(!self.hands.desk().is_dirty(), "{:?}: {:?}", self.hands.desk().said(), self.done);
        let text = std::fs::read_to_string(&path).expect("saved");
        assert_eq!(text, plan::write(self.hands.plan()), "{:?}", self.done);
        let again = Hands::at(Setup { path: Some(path.clone()), ..Setup::default() });
        assert_eq!(plan::write(again.plan()), text, "{:?}", self.done);
        if self.hands.plan().problems().is_empty() {
            let (one, other) = (self.hands.house(), again.house());
            assert_eq!(one.plan, other.plan);
            assert_eq!(one.floor, other.floor, "{:?}", self.done);
        }
        path
    }

    /// The program is gone without a word, and the next one takes up what was not saved.
    fn crash(&mut self, saved: Option<&Path>) {
        self.done.push("crash".into());
        let (work, is_dirty) = (self.hands.plan().clone(), self.hands.desk().is_dirty());
        let base = saved.map(Path::to_owned);
        let started = || Setup {
            path: base.clone(),
            plan: base.is_none().then(one_room),
            ..Self::setup(self.folder.path())
        };
        // The journal of a desk that is dropped without being closed is an orphan.
        self.hands = Hands::with_plan(one_room());
        let mut next = Hands::at(started());
        assert_eq!(next.says("Work that was not saved"), is_dirty, "{:?}", self.done);
        if is_dirty {
            next.press("Take it up");
            assert_eq!(plan::write(next.plan()), plan::write(&work), "{:?}", self.done);
        }
        next.waits = true;
        self.hands = next;
        self.first = self.undone();
    }

    /// Nothing is open or under way.
    fn rest(&mut self) {
        self.hands.keys(&[Key::Escape, Key::Escape, Key::Escape]);
    }

    /// The plan once everything is undone; then all is done again.
    fn undone(&mut self) -> Plan {
        self.rest();
        let last = plan::write(self.hands.plan());
        let mut steps = 0;
        while self.hands.desk().undo_name().is_some() {
            self.hands.run(Command::Undo);
            steps += 1;
            assert!(steps < 1000, "undo goes nowhere: {:?}", self.done);
        }
        let first = self.hands.plan().clone();
        for _ in 0..steps {
            self.hands.run(Command::Redo);
        }
        assert_eq!(plan::write(self.hands.plan()), last, "done again: {:?}", self.done);
        first
    }
}

fn starts() -> Vec<Plan> {
    let sample = |text: &str| plan::read(text).expect("a sample reads");
    vec![
        one_room(),
        Plan::new("New house"),
        sample(include_str!("../../../../sample-plans/dunlin-flat.ron")),
        sample(include_str!("../../../../sample-plans/lark-study.ron")),
        sample(include_str!("../../../../sample-plans/one-room.ron")),
    ]
}

#[test]
fn nothing_that_is_done_is_lost() {
    let commands: Vec<Command> = Command::all()
        .filter(|command| !is_left_out(*command) && !matches!(command, Command::LayOn | Command::Find))
        .collect();
    let keys =
        [Key::Enter, Key::Escape, Key::Delete, Key::Tab, Key::ArrowLeft, Key::ArrowUp, Key::Num1, Key::Num9];
    let starts = starts();
    let from = asked("STARTROW_FROM", 0);
    for seed in from..from + asked("STARTROW_HANDS", HANDS) {
        let chance = &mut Chance::of(seed);
        let mut work = Work::new(starts[seed as usize % starts.len()].clone());
        work.done.push(format!("hands {seed}"));
        if chance.below(2) == 0 {
            work.hands.run(Command::OpenAllSteps);
        }
        let mut saved = None;
        for _ in 0..GESTURES {
            match chance.below(16) {
                0..=3 => {
                    let command = commands[chance.below(commands.len())];
                    work.done.push(format!("{command:?}"));
                    work.hands.run(command);
                }
                4 | 5 => {
                    let at = chance.place();
                    work.done.push(format!("click {at:?}"));
                    work.hands.click(at);
                }
                6 => {
                    let (from, to) = (chance.place(), chance.place());
                    work.done.push(format!("drag {from:?} {to:?}"));
                    work.hands.drag(from, to);
                }
                7..=12 => work.use_something(chance),
                13 => {
                    let key = keys[chance.below(keys.len())];
                    work.done.push(format!("{key:?}"));
                    work.hands.key(Modifiers::NONE, key);
                }
                14 => saved = Some(work.save_and_open(NAMES[chance.below(NAMES.len())])),
                _ if chance.below(3) == 0 => work.crash(saved.as_deref()),
                _ => {}
            }
            work.check_written();
        }
        assert_eq!(plan::write(&work.undone()), plan::write(&work.first), "undone: {:?}", work.done);
        work.save_and_open(NAMES[chance.below(NAMES.len())]);
    }
}
