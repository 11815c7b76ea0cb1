//! What is typed over the floor: figures go to what is selected, a word goes to its name, and letters that would change the
//! whole floor wait until nothing is selected.

use super::Desk;
use crate::command::Command;
use crate::field;
use crate::job::Step;
use crate::select::Selected;
use crate::tool::Tool;
use egui::{Context, Event, Key, Modifiers};
use plan::{Place, StartLine, edit, parse_length};

/// Letters that follow each other quicker than this are typed as a word, s: commands are pressed one by one, with a look
/// at what each did. Shorter, and a practised hand's words are taken for commands; longer, and quick commands for words.
const QUICK: f64 = 0.35;
/// So many different letters make a word. Two are often two commands.
const WORD: usize = 3;

/// Letters typed quickly one after the other, and how the desk stood before the first.
#[derive(Default)]
pub(crate) struct Burst {
    letters: String,
    last: f64,
    before: Option<Before>,
}

struct Before {
    selected: Selected,
    steps: usize,
}

impl Desk {
    /// The figure that digits go to while this is selected.
    fn figure_field(&self) -> Option<&'static str> {
        match self.selected {
            Selected::Wall(..) => Some("length of the wall"),
            Selected::Doorway(_) => Some("distance from the corner"),
            Selected::Line => Some("offset of the start line"),
            _ => None,
        }
    }

    /// A figure typed over the floor goes to the figure of what is selected; its Enter, where it comes before the figure's
    /// field is shown, takes it. Whether what is typed now belongs to a figure.
    pub(super) fn begin_figure(&mut self, ctx: &Context) -> bool {
        if let Some((name, letters)) = field::awaited(ctx) {
            self.type_ahead(ctx, &name, letters);
            return true;
        }
        let named =
            self.name_field().map(|(_, name)| name).filter(|name| !field::begun(ctx, name).is_empty());
        let Some(name) = named.or(self.figure_field()) else { return false };
        let mut typed = field::begun(ctx, name);
        let before = typed.clone();
        let mut enters = false;
        ctx.input_mut(|input| {
            input.events.retain(|event| match event {
                Event::Text(text) if !typed.is_empty() || begins_figure(text) => {
                    typed.push_str(text);
                    false
                }
                Event::Key { key: Key::Enter, pressed: true, .. } if !typed.is_empty() => {
                    enters = true;
                    false
                }
                Event::Key { key: Key::Backspace, pressed: true, .. } if !typed.is_empty() => {
                    typed.pop();
                    false
                }
                _ => true,
            });
        });
        if typed == before && !enters {
            return !typed.is_empty();
        }
        if let Some(pinned) = self.pinned_selection() {
            field::begin(ctx, name, "");
            self.said = Some(format!("{pinned} is pinned down: take its pin out first"));
            return true;
        }
        field::begin(ctx, name, if enters { "" } else { &typed });
        if enters {
            self.take_figure(&typed);
        } else {
            self.show_selected();
        }
        true
    }

    /// What is typed before the field that is gone to has the keys waits for it; a name and its Enter are taken at once.
    fn type_ahead(&mut self, ctx: &Context, name: &str, mut letters: String) {
        let is_name = self.name_field().is_some_and(|(_, field)| field == name);
        let mut enters = false;
        ctx.input_mut(|input| {
            input.events.retain(|event| match event {
                Event::Text(text) => {
                    letters.push_str(text);
                    false
                }
                Event::Key { key: Key::Backspace, pressed: true, .. } => {
                    letters.pop();
                    false
                }
                Event::Key { key: Key::Enter, pressed: true, .. } if is_name && !letters.is_empty() => {
                    enters = true;
                    false
                }
                _ => true,
            });
        });
        if enters {
            field::forget_awaited(ctx, name);
            self.take_name(&letters);
        } else {
            field::type_ahead(ctx, name, &letters);
        }
    }

    /// Takes a name for what is selected, as its field would.
    fn take_name(&mut self, typed: &str) {
        let name = typed.trim().to_owned();
        match self.selected {
            Selected::Room(room) => {
                self.edit("rename room", move |plan| edit::rename_room(plan, room, &name))
            }
            Selected::Doorway(index) => {
                self.edit("rename doorway", move |plan| edit::rename_doorway(plan, index, &name));
            }
            Selected::Fixture(index) => {
                self.edit("rename fixture", move |plan| edit::rename_fixture(plan, index, &name));
            }
            Selected::Joint(index) => self.edit("rename joint", move |plan| {
                if let Some(joint) = plan.joints.get_mut(index) {
                    joint.name = name;
                }
                Ok(())
            }),
            _ => {}
        }
    }

    /// The name of what is selected, if it is pinned down.
    fn pinned_selection(&self) -> Option<String> {
        let plan = self.document.plan();
        let place = match self.selected {
            Selected::Wall(room, _) | Selected::Corner(room, _) => Place::Room(room),
            other => other.thing()?,
        };
        plan.is_pinned(&place).then(|| place.name(plan))
    }

    /// Takes a figure for what is selected, as its field would.
    fn take_figure(&mut self, typed: &str) {
        let length = match parse_length(typed, self.document.plan().units) {
            Ok(length) => length,
            Err(error) => {
                self.said = Some(error.to_string());
                return;
            }
        };
        match self.selected {
            Selected::Wall(room, wall) if length > 0.0 => {
                let name = format!("wall length, {}", crate::names::wall(self.document.plan(), room, wall));
                let (gives, keep) = self.giving;
                self.edit(&name, move |plan| edit::set_wall_length_by(plan, room, wall, length, keep, gives));
            }
            Selected::Doorway(index) => {
                self.edit("move doorway", move |plan| edit::place_doorway(plan, index, length));
            }
            Selected::Line => {
                let pitch = self.house().map_or(0.0, |house| house.setout.pitch);
                if pitch > 0.0 {
                    self.set_line(StartLine::At(length.rem_euclid(pitch)), "move start line");
                }
            }
            _ => {}
        }
    }

    /// Brings what is selected into view where it is not.
    pub(super) fn show_selected(&mut self) {
        let extent = crate::canvas::extent_of(self.selected, self.document.plan(), self.house());
        let Some(extent) = extent else { return };
        let view = &self.canvas.view;
        if view.rect.is_positive() && !view.rect.contains(view.screen_from_plan(extent.centre())) {
            self.canvas.wanted = Some(crate::canvas::Wanted::Span(extent));
        }
    }

    /// Goes to a figure of what is selected, all of it marked: a length on the table is typed where it is clicked.
    pub(super) fn type_into(&mut self, ctx: &Context, name: &str) {
        match self.pinned_selection() {
            Some(pinned) => self.said = Some(format!("{pinned} is pinned down: take its pin out first")),
            None => {
                field::focus(ctx, name);
                self.show_selected();
            }
        }
    }

    /// Letters typed so quickly over something that has a name that they are a word: what they did as commands is taken
    /// back, and they go to its name.
    pub(super) fn catch_word(&mut self, ctx: &Context) {
        let has_name = self.name_field().is_some();
        let (now, letters) = ctx.input(|input| {
            let plain = !input.modifiers.any() || input.modifiers.shift_only();
            let letters = input.events.iter().filter_map(|event| match event {
                Event::Text(text) if plain && text.chars().all(char::is_alphabetic) => Some(text.as_str()),
                _ => None,
            });
            (input.time, letters.collect::<String>())
        });
        if letters.is_empty() {
            return;
        }
        if self.burst.before.is_none() || now - self.burst.last > QUICK {
            self.burst = Burst::default();
            if !has_name {
                return;
            }
            let steps = self.document.steps();
            self.burst.before = Some(Before { selected: self.selected, steps });
        }
        self.burst.letters.push_str(&letters);
        self.burst.last = now;
        // The next room, then its next wall, as quickly as one likes: no name begins so. What is typed after that may be one.
        let walked = self.burst.letters.to_lowercase();
        if ['m', 'w'].iter().all(|letter| walked.contains(*letter))
            && walked.chars().all(|c| "mw".contains(c))
        {
            self.burst = Burst::default();
            return;
        }
        let mut different: Vec<char> = self.burst.letters.chars().flat_map(char::to_lowercase).collect();
        different.sort_unstable();
        different.dedup();
        if different.len() < WORD {
            return;
        }
        let burst = std::mem::take(&mut self.burst);
        let Some(before) = burst.before else { return };
        while self.document.steps() > before.steps && self.document.undo().is_some() {}
        self.tool = Tool::default();
        self.owner.leave(&mut self.canvas);
        self.beside.leave(&mut self.canvas);
        self.laying.stop();
        self.selected = before.selected;
        ctx.input_mut(|input| {
            input.events.retain(|event| !matches!(event, Event::Text(_) | Event::Key { pressed: true, .. }));
        });
        if let Some(name) = self.name_it(ctx) {
            field::type_ahead(ctx, name, &burst.letters);
            self.said = Some("Typed as a name · letters pressed one by one are commands".into());
        }
    }

    /// The field for the name of what is selected, and what must be selected for it to be shown.
    fn name_field(&self) -> Option<(Selected, &'static str)> {
        Some(match self.selected {
            Selected::Room(room) | Selected::Wall(room, _) | Selected::Corner(room, _) => {
                (Selected::Room(room), "name of the room")
            }
            Selected::Doorway(_) => (self.selected, "name of the doorway"),
            Selected::Fixture(_) => (self.selected, "name of the fixture"),
            Selected::Joint(_) => (self.selected, "name of the joint"),
            _ => return None,
        })
    }

    /// Goes to the name of what is selected, of a wall or a corner its room's; the field's name.
    pub(super) fn name_it(&mut self, ctx: &Context) -> Option<&'static str> {
        let Some((selected, name)) = self.name_field() else {
            self.said =
                Some("Select a room, a doorway, a fixture or a joint first, then it can be named".into());
            return None;
        };
        self.take(Tool::default());
        self.selected = selected;
        if matches!(selected, Selected::Doorway(_)) {
            // Its card holds figures alone.
            self.job.open(Step::Measure);
        }
        field::focus(ctx, name);
        Some(name)
    }

    /// Whether a bare letter must wait: it would change the whole floor while something of the drawing is selected, as
    /// when a name is meant. What is said then.
    pub(super) fn waits(&self, ctx: &Context, command: Command) -> Option<String> {
        let is_whole = matches!(
            command,
            Command::AnotherStagger
                | Command::BetterJoints
                | Command::RowsAlongX
                | Command::RowsAlongY
                | Command::BestLine
                | Command::RunnerUp
                | Command::ToggleUnits
        );
        let is_bare = command.keys().is_some_and(|keys| is_bare(keys.modifiers));
        let is_drawn = self.selected.room().is_some() || self.selected.thing().is_some();
        (is_whole && is_bare && is_drawn).then(|| {
            format!(
                "{} is “{}”, for the whole floor: Esc first, so that nothing is selected · {} names what is selected",
                command.keys_text(ctx),
                command.name(),
                Command::NameIt.keys_text(ctx)
            )
        })
    }
}

/// Whether a key with these is a letter as it is typed.
pub(super) fn is_bare(modifiers: Modifiers) -> bool {
    modifiers.is_none() || modifiers == Modifiers::SHIFT
}

fn begins_figure(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit() || c == '.')
}
