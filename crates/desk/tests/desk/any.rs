//! Any hands: commands, clicks, drags and keys by chance. Nothing panics, the plan can be written and read after each,
//! and undo leads back to the very first plan, redo to the last.
//!
//! `STARTROW_HANDS` asks for more of them than the few of the usual run, `STARTROW_FROM` for others.

use crate::hands::{Hands, one_room};
use egui::{Key, Modifiers};
use startrow_desk::Command;

/// Hands of the usual run, and what each does.
const HANDS: u64 = 10;
const GESTURES: usize = 25;

/// Numbers that look like chance and are the same each time.
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn of(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) + 1)
    }

    pub(crate) fn below(&mut self, count: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % count
    }

    /// A place on the floor or beside it, now and then on a corner or a wall.
    pub(crate) fn place(&mut self) -> (f64, f64) {
        let mut along = |marks: [f64; 3], from: f64, to: f64| match self.below(3) {
            0 => marks[self.below(3)],
            _ => from + (to - from) * self.below(10_000) as f64 / 10_000.0,
        };
        (along([0.0, 2000.0, 4000.0], -600.0, 4600.0), along([0.0, 1500.0, 3000.0], -600.0, 3600.0))
    }
}

/// What leaves this plan, asks the system for a file, or takes long.
pub(crate) fn is_left_out(command: Command) -> bool {
    use Command as C;
    matches!(
        command,
        C::New
            | C::Sample
            | C::Open
            | C::OpenByPath
            | C::Save
            | C::SaveAs
            | C::SaveByPath
            | C::BringIn
            | C::BringInByPath
            | C::LayPicture
            | C::LayPictureByPath
            | C::WriteSheets
            | C::LookAtSheets
            | C::Quit
            | C::BetterJoints
    )
}

pub(crate) fn asked(variable: &str, usual: u64) -> u64 {
    std::env::var(variable).ok().and_then(|count| count.parse().ok()).unwrap_or(usual)
}

#[test]
fn any_hands_leave_a_plan_that_can_be_undone() {
    let commands: Vec<Command> = Command::all().filter(|command| !is_left_out(*command)).collect();
    let keys =
        [Key::Enter, Key::Escape, Key::Delete, Key::Tab, Key::ArrowLeft, Key::ArrowUp, Key::Num1, Key::Num9];
    let from = asked("STARTROW_FROM", 0);
    for seed in from..from + asked("STARTROW_HANDS", HANDS) {
        let chance = &mut Chance::of(seed);
        let start = one_room();
        let mut hands = Hands::with_plan(start.clone());
        let mut done = Vec::new();
        for _ in 0..GESTURES {
            match chance.below(8) {
                0..=2 => {
                    let command = commands[chance.below(commands.len())];
                    done.push(format!("{command:?}"));
                    hands.run(command);
                }
                3 | 4 => {
                    let at = chance.place();
                    done.push(format!("click {at:?}"));
                    hands.click(at);
                }
                5 => {
                    let (from, to) = (chance.place(), chance.place());
                    done.push(format!("drag {from:?} {to:?}"));
                    hands.drag(from, to);
                }
                6 => {
                    let text = ["1200", "3 4", "0", "-5", "x", "1e9", "2000.5", ""][chance.below(8)];
                    done.push(format!("type {text:?}"));
                    hands.letters(text);
                }
                _ => {
                    let key = keys[chance.below(keys.len())];
                    done.push(format!("{key:?}"));
                    hands.key(Modifiers::NONE, key);
                }
            }
            let text = plan::write(hands.plan());
            let read = plan::read_unchecked(&text);
            assert_eq!(read.as_ref(), Ok(hands.plan()), "hands {seed} after {done:?}");
        }
        // A gesture under way is kept by the first undo, as a step of its own.
        hands.keys(&[Key::Escape, Key::Escape]);
        let last = hands.plan().clone();
        let mut steps = 0;
        while hands.desk().undo_name().is_some() {
            hands.run(Command::Undo);
            steps += 1;
            assert!(steps < 1000, "hands {seed}: undo goes nowhere after {done:?}");
        }
        assert_eq!(hands.plan(), &start, "hands {seed} undone after {done:?}");
        for _ in 0..steps {
            hands.run(Command::Redo);
        }
        assert_eq!(hands.plan(), &last, "hands {seed} done again after {done:?}");
    }
}
