//! Keys, nudges and dropped files: what they ask for.

use super::Desk;
use crate::action::{Action, Actions};
use crate::canvas::Canvas;
use crate::command::Command;
use crate::select::Selected;
use crate::tool::{Event, nudge};
use egui::{Context, Key, Modifiers};
use plan::{Plan, Point};
use std::path::{Path, PathBuf};

impl Desk {
    /// Keys that are not a text field's, one after the other as they were pressed: a quick hand on a slow machine presses
    /// several in one frame, and the next may mean what the one before led to.
    pub(super) fn keys(&mut self, ctx: &Context, actions: &mut Actions) {
        let mut events = std::mem::take(&mut self.later);
        events.append(&mut ctx.input_mut(|input| std::mem::take(&mut input.events)));
        // An Enter takes what stands in a field when that is shown: an Escape on its heels comes after.
        let is = |event: &egui::Event, of: Key| matches!(event, egui::Event::Key { key, pressed: true, .. } if *key == of);
        let entered = events.iter().position(|event| is(event, Key::Enter));
        if let Some(escape) = events.iter().rposition(|event| is(event, Key::Escape))
            && entered.is_some_and(|entered| entered < escape)
        {
            self.later = events.split_off(escape);
            ctx.request_repaint();
        }
        // So do letters on its heels: the field is left only when it is shown, and would take them or lose them.
        let entered = entered.filter(|_| ctx.text_edit_focused());
        let next = |event: &egui::Event| {
            matches!(event, egui::Event::Key { pressed: true, .. } | egui::Event::Text(_))
        };
        if let Some(entered) = entered
            && let Some(after) = events.iter().skip(entered + 1).position(next)
        {
            let mut rest = events.split_off(entered + 1 + after);
            rest.append(&mut self.later);
            self.later = rest;
            ctx.request_repaint();
        }
        let mut pressed = one_by_one(events);
        let last = pressed.pop().unwrap_or_default();
        let mut left = Vec::new();
        for events in pressed {
            ctx.input_mut(|input| input.events = events);
            self.key(ctx, actions);
            self.apply(ctx, actions);
            left.append(&mut ctx.input_mut(|input| std::mem::take(&mut input.events)));
        }
        ctx.input_mut(|input| input.events = last);
        self.key(ctx, actions);
        ctx.input_mut(|input| {
            left.append(&mut input.events);
            input.events = left;
        });
    }

    /// What is pressed at once: a tool's keys first, then the commands'.
    fn key(&mut self, ctx: &Context, actions: &mut Actions) {
        // An open menu or list has its own Escape, arrows and Enter.
        if self.prompt.is_some()
            || self.finder.is_open()
            || self.preview.is_open()
            || egui::Popup::is_any_open(ctx)
        {
            return;
        }
        let typing = ctx.text_edit_focused();
        let focused = ctx.memory(|memory| memory.focused());
        let on_canvas = !typing && focused.is_none_or(|id| id == Canvas::id());
        let mut figure = false;
        if on_canvas && self.owner.walks() {
            self.owner.keys(ctx);
        } else if on_canvas && self.tool.takes_keys() {
            self.tool_keys(ctx, actions);
        } else if on_canvas {
            self.nudge(ctx);
            figure = self.begin_figure(ctx);
        }
        let plain = !typing && !figure && !self.tool.is_typing();
        if plain && on_canvas {
            self.catch_word(ctx);
        }
        for command in Command::pressed(ctx, plain) {
            match self.waits(ctx, command) {
                Some(words) => self.said = Some(words),
                None => actions.run(command),
            }
        }
        if plain && on_canvas {
            // Letters that were commands are no writing: a field that gets the keys in this frame must not take them.
            ctx.input_mut(|input| input.events.retain(|event| !matches!(event, egui::Event::Text(_))));
        }
    }

    /// Hands letters, Enter and arrows to the tool.
    pub(super) fn tool_keys(&mut self, ctx: &Context, actions: &mut Actions) {
        let arrows = [
            (Key::ArrowLeft, Point::new(-1.0, 0.0)),
            (Key::ArrowRight, Point::new(1.0, 0.0)),
            (Key::ArrowUp, Point::new(0.0, 1.0)),
            (Key::ArrowDown, Point::new(0.0, -1.0)),
        ];
        let is_typing = self.tool.is_typing();
        let takes_turns = self.tool.takes_turns();
        let mut events = Vec::new();
        ctx.input_mut(|input| {
            if takes_turns {
                // The pad's own signs turn walls while a room is drawn; nearer and farther wait.
                let is_sign = |key: &Key| matches!(key, Key::Plus | Key::Minus | Key::Slash);
                input.events.retain(|event| !matches!(event, egui::Event::Key { key, modifiers, .. } if is_sign(key) && modifiers.is_none()));
            }
            let mut starts_length = is_typing;
            input.events.retain(|event| match event {
                egui::Event::Text(text) => {
                    starts_length |= text.starts_with(|c: char| c.is_ascii_digit() || c == '.')
                        || takes_turns && text.starts_with(['+', '-', '*', '/']);
                    if starts_length {
                        events.push(Event::Text(text.clone()));
                    }
                    !starts_length
                }
                _ => true,
            });
            if input.consume_key(Modifiers::NONE, Key::Enter) {
                events.push(Event::Enter);
            }
            if input.consume_key(Modifiers::NONE, Key::Backspace) {
                events.push(Event::Backspace);
            }
            for (key, direction) in arrows {
                if input.consume_key(Modifiers::NONE, key) {
                    events.push(Event::Arrow(direction));
                }
            }
        });
        for event in events {
            self.tool_event(ctx, event, actions);
        }
    }

    pub(super) fn tool_event(&mut self, ctx: &Context, event: Event, actions: &mut Actions) {
        let tool = std::mem::take(&mut self.tool);
        let shown = self.shown();
        let next = tool.handle(event, &self.canvas.surroundings(ctx, &shown), actions);
        self.tool = next;
    }

    /// Arrow keys move what is selected by 1 mm, with Shift by 10.
    pub(super) fn nudge(&mut self, ctx: &Context) {
        let mut by = Point::default();
        // With Alt the arrows move the start line, whatever is selected. Each key tells of itself: where a frame takes
        // long, Alt may be up again when it is read.
        ctx.input_mut(|input| {
            input.events.retain(|event| {
                let egui::Event::Key { key, pressed: true, modifiers, .. } = event else { return true };
                if modifiers.alt || modifiers.command || modifiers.ctrl {
                    return true;
                }
                let step = if modifiers.shift { 10.0 } else { 1.0 };
                match key {
                    Key::ArrowRight => by.x += step,
                    Key::ArrowLeft => by.x -= step,
                    Key::ArrowUp => by.y += step,
                    Key::ArrowDown => by.y -= step,
                    _ => return true,
                }
                false
            });
        });
        if by != Point::default() {
            self.nudge_selected(self.selected, by);
            self.refresh(ctx);
        }
    }

    pub(super) fn nudge_selected(&mut self, selected: Selected, by: Point) {
        if selected.thing().is_some() {
            return self.move_several(by);
        }
        let line_now = self.house().map(|house| house.setout.chosen.offset);
        let mut trial = Plan::clone(self.document.plan());
        match nudge(&mut trial, selected, by, line_now) {
            Ok(None) => {}
            Ok(Some(name)) => self.edit(&name, move |plan| {
                *plan = trial;
                Ok(())
            }),
            Err(problem) => self.said = Some(super::several::in_words(&problem)),
        }
    }

    /// Files dropped on the window: the first is taken, and which are left is said.
    pub(super) fn drops(&self, ctx: &Context, actions: &mut Actions) {
        let dropped: Vec<PathBuf> =
            ctx.input(|input| input.raw.dropped_files.iter().map(|file| file.path().to_owned()).collect());
        let Some((path, left)) = dropped.split_first() else { return };
        let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        actions.push(match ending.as_deref() {
            Some("png" | "jpg" | "jpeg") => Action::LayPicture(path.clone()),
            _ if import::FileKind::of_name(&path.to_string_lossy()).is_some() => {
                Action::BringIn(path.clone())
            }
            _ => Action::Open(path.clone()),
        });
        if let Some(words) = left_out(path, left) {
            actions.push(Action::Say(words));
        }
    }
}

/// Files that are named of those left; the rest are counted.
const NAMED: usize = 3;

/// That one file is taken at a time, and which were not; nothing where there were no others.
fn left_out(taken: &Path, left: &[PathBuf]) -> Option<String> {
    let name =
        |path: &Path| path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let mut names: Vec<String> = left.iter().take(NAMED).map(|path| name(path)).collect();
    if left.len() > NAMED {
        names.push(format!("{} more", left.len() - NAMED));
    }
    let last = names.pop()?;
    let listed = if names.is_empty() { last } else { format!("{} and {last}", names.join(", ")) };
    Some(format!("One file is taken at a time: {}; left out: {listed}", name(taken)))
}

/// The events of a frame in their order, parted so that each part holds one key with the letter it gives.
fn one_by_one(events: Vec<egui::Event>) -> Vec<Vec<egui::Event>> {
    let mut parts: Vec<Vec<egui::Event>> = Vec::new();
    // Whether the last part holds a key that gives no letter, or its letter already.
    let mut is_full = true;
    let mut is_key = false;
    for event in events {
        let begins = match &event {
            egui::Event::Key { pressed: true, .. } => is_key || parts.is_empty() || is_full,
            egui::Event::Text(_) => is_full,
            _ => parts.is_empty(),
        };
        if begins {
            parts.push(Vec::new());
            is_key = false;
        }
        match &event {
            egui::Event::Key { pressed: true, key, .. } => {
                is_key = true;
                is_full = matches!(
                    key,
                    Key::Enter
                        | Key::Backspace
                        | Key::Escape
                        | Key::Delete
                        | Key::Tab
                        | Key::ArrowLeft
                        | Key::ArrowRight
                        | Key::ArrowUp
                        | Key::ArrowDown
                );
            }
            egui::Event::Text(_) => is_full = true,
            _ if begins => is_full = false,
            _ => {}
        }
        if let Some(part) = parts.last_mut() {
            part.push(event);
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::Event;

    #[test]
    fn keys_are_parted_with_their_letters() {
        let key = |key, pressed| Event::Key {
            key,
            physical_key: None,
            pressed,
            repeat: false,
            modifiers: Modifiers::NONE,
        };
        let text = |text: &str| Event::Text(text.into());
        let events = vec![
            Event::PointerGone,
            key(Key::W, true),
            text("w"),
            key(Key::W, false),
            key(Key::R, true),
            text("r"),
            text("4001"),
            key(Key::Enter, true),
            key(Key::Enter, false),
            text("30"),
            key(Key::Enter, true),
        ];
        let parts = one_by_one(events.clone());
        let sizes: Vec<usize> = parts.iter().map(Vec::len).collect();
        assert_eq!(sizes, [4, 2, 1, 2, 1, 1], "{parts:?}");
        assert_eq!(parts.concat(), events, "in their order, none lost");
        assert!(one_by_one(Vec::new()).is_empty());
    }
}
