//! Fields for figures and words: typed over, taken on Enter or on leaving, dropped on Escape.

use egui::{Align, Id, Key, Response, TextEdit, Ui};
use plan::{Units, format_length, parse_length};
use taping::Leg;

/// Text of a field while it is being typed, kept between frames.
#[derive(Clone, Default)]
struct Typed {
    text: String,
    trouble: Option<String>,
    /// Typing began before the field had the focus: what is there stays.
    begun: bool,
}

fn begin_id(name: &str) -> Id {
    Id::unique(("typing begins", name))
}

/// Letters typed before their field has the keys, and the pass in which they were.
#[derive(Clone, Default)]
struct Begun {
    pass: u64,
    letters: String,
}

/// Starts typing in the field of this name with these letters, in place of those begun before, once it is shown in this
/// pass or the next.
pub(crate) fn begin(ctx: &egui::Context, name: &str, letters: &str) {
    let begun = Begun { pass: ctx.cumulative_pass_nr(), letters: letters.to_owned() };
    ctx.data_mut(|data| match letters {
        "" => data.remove::<Begun>(begin_id(name)),
        _ => drop(data.insert_temp(begin_id(name), begun)),
    });
}

/// What has been begun in the field of this name and waits for it to be shown.
pub(crate) fn begun(ctx: &egui::Context, name: &str) -> String {
    take_begun(ctx, name, false).unwrap_or_default()
}

fn take_begun(ctx: &egui::Context, name: &str, takes: bool) -> Option<String> {
    let pass = ctx.cumulative_pass_nr();
    ctx.data_mut(|data| {
        let begun = data.get_temp::<Begun>(begin_id(name))?;
        let is_fresh = begun.pass + 2 > pass;
        if takes || !is_fresh {
            data.remove::<Begun>(begin_id(name));
        }
        is_fresh.then_some(begun.letters)
    })
}

/// The field that has the keys, and the pass in which it had them.
fn keys_id() -> Id {
    Id::unique("the field that has the keys")
}

/// The name of the field that had the keys when this pass began: an Escape of this pass is meant for it, and has already
/// taken the keys from it.
pub(crate) fn had_keys(ctx: &egui::Context) -> Option<String> {
    let pass = ctx.cumulative_pass_nr();
    let (last, name) = ctx.data(|data| data.get_temp::<(u64, String)>(keys_id()))?;
    (last + 2 > pass).then_some(name)
}

/// A field to go to: asked for in this pass, with letters that were typed ahead.
#[derive(Clone, Default)]
struct Next {
    pass: u64,
    letters: String,
}

/// The field that was asked for last: until it has the keys, what is typed belongs to it.
fn awaited_id() -> Id {
    Id::unique("the field that is gone to")
}

/// The field that is gone to and has not got the keys yet, and what was typed ahead for it.
pub(crate) fn awaited(ctx: &egui::Context) -> Option<(String, String)> {
    let pass = ctx.cumulative_pass_nr();
    ctx.data(|data| {
        let name = data.get_temp::<String>(awaited_id())?;
        let next = data.get_temp::<Next>(focus_id(&name))?;
        (next.pass + 2 > pass).then_some((name, next.letters))
    })
}

/// Types ahead for the field that is gone to: all that is to stand in it.
pub(crate) fn type_ahead(ctx: &egui::Context, name: &str, letters: &str) {
    ctx.data_mut(|data| {
        if let Some(next) = data.get_temp::<Next>(focus_id(name)) {
            data.insert_temp(focus_id(name), Next { letters: letters.to_owned(), ..next });
        }
    });
}

/// Gives up going to a field.
pub(crate) fn forget_awaited(ctx: &egui::Context, name: &str) {
    ctx.data_mut(|data| data.remove::<Next>(focus_id(name)));
}

fn focus_id(name: &str) -> Id {
    Id::unique(("goes there next", name))
}

/// Goes to the field of this name, all of it selected, the next time it is shown.
pub(crate) fn focus(ctx: &egui::Context, name: &str) {
    // Not in this pass: the Enter that left one field would leave the next one, too. Letters that came with it wait.
    let mut letters = String::new();
    ctx.input(|input| {
        for event in &input.events {
            match event {
                egui::Event::Key { key: Key::Enter, pressed: true, .. } => letters.clear(),
                egui::Event::Text(text) => letters.push_str(text),
                _ => {}
            }
        }
        if !input.key_pressed(Key::Enter) {
            letters.clear();
        }
    });
    let next = Next { pass: ctx.cumulative_pass_nr(), letters };
    ctx.data_mut(|data| {
        data.insert_temp(focus_id(name), next);
        data.insert_temp(awaited_id(), name.to_owned());
    });
    ctx.request_repaint();
}

/// A one-line field that shows `value` until it is typed over. Gives what `parse` makes of the text
/// when Enter is pressed or the field is left; text that cannot be read stays, with its trouble below.
fn typed_field<T>(
    ui: &mut Ui,
    salt: &str,
    name: &str,
    value: &str,
    width: f32,
    align: Align,
    parse: impl Fn(&str) -> Result<T, String>,
) -> (Response, Option<T>) {
    let id = ui.make_persistent_id(salt);
    let state_id = id.with("typed");
    let mut typed = ui.data(state_id).unwrap_or_else(|| Typed { text: value.to_owned(), ..Typed::default() });
    // Escape takes the keys away before the field is shown: what an Enter before it takes is still there.
    let editing = ui.memory(|memory| memory.has_focus(id) || memory.had_focus_last_frame(id));
    if !editing && typed.trouble.is_none() {
        typed.text = value.to_owned();
    }
    // While a card is only measured its fields cannot have the keys: what is begun waits for the next pass.
    let is_ready = ui.is_enabled();
    if let Some(letters) = is_ready.then(|| take_begun(ui.ctx(), name, true)).flatten() {
        let end = egui::text::CCursor::new(letters.chars().count());
        let mut state = TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
        state.cursor.set_char_range(Some(egui::text::CCursorRange::one(end)));
        TextEdit::store_state(ui.ctx(), id, state);
        typed = Typed { text: letters, trouble: None, begun: true };
        ui.memory_mut(|memory| memory.request_focus(id));
    }
    let asked = ui.ctx().data(|data| data.get_temp::<Next>(focus_id(name)));
    if let Some(next) = asked.filter(|next| is_ready && next.pass < ui.ctx().cumulative_pass_nr()) {
        ui.ctx().data_mut(|data| data.remove_temp::<Next>(focus_id(name)));
        if !next.letters.is_empty() {
            let end = egui::text::CCursor::new(next.letters.chars().count());
            let mut state = TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
            state.cursor.set_char_range(Some(egui::text::CCursorRange::one(end)));
            TextEdit::store_state(ui.ctx(), id, state);
            typed = Typed { text: next.letters, trouble: None, begun: true };
        }
        ui.memory_mut(|memory| memory.request_focus(id));
        ui.scroll_to_cursor(None);
    }
    let asked = width.max(24.0);
    crate::job::squeezed(ui, asked - ui.available_width());
    let response = ui
        .add(
            TextEdit::singleline(&mut typed.text)
                .id(id)
                .desired_width(width)
                .align(egui::Align2([align, Align::Center])),
        )
        .accessible_name(name);
    if response.has_focus() {
        let now = (ui.ctx().cumulative_pass_nr(), name.to_owned());
        ui.ctx().data_mut(|data| data.insert_temp(keys_id(), now));
    }
    // What is typed in the pass that brings the focus stays.
    if response.gained_focus() && !std::mem::take(&mut typed.begun) && !response.changed() {
        select_all(ui, id, &typed.text);
    }
    let mut given = None;
    if response.changed() {
        typed.trouble = None;
    }
    if response.lost_focus() {
        if is_left_by_escape(ui) {
            typed = Typed { text: value.to_owned(), ..Typed::default() };
        } else if typed.text.trim() != value.trim() {
            match parse(typed.text.trim()) {
                Ok(parsed) => {
                    given = Some(parsed);
                    typed.trouble = None;
                }
                Err(trouble) => typed.trouble = Some(trouble),
            }
        } else {
            typed.trouble = None;
        }
    }
    if let Some(trouble) = &typed.trouble {
        let color = ui.visuals().error_fg_color;
        response.show_tooltip_text(trouble.as_str());
        ui.painter().rect_stroke(
            response.rect,
            3.0,
            egui::Stroke::new(1.5, color),
            egui::StrokeKind::Outside,
        );
    }
    ui.set_data(state_id, typed);
    (response, given)
}

/// Whether Escape left the field, and not an Enter before it in the same frame: a quick hand presses one after the other.
fn is_left_by_escape(ui: &Ui) -> bool {
    ui.input(|input| {
        // As they came: a command has used up its own Escape.
        let first = input.raw.events.iter().find_map(|event| match event {
            egui::Event::Key { key: key @ (Key::Enter | Key::Escape), pressed: true, .. } => Some(*key),
            _ => None,
        });
        first == Some(Key::Escape)
    })
}

/// Selects a field's whole text, so that typing replaces it.
fn select_all(ui: &Ui, id: Id, text: &str) {
    let Some(mut state) = TextEdit::load_state(ui.ctx(), id) else { return };
    let end = egui::text::CCursor::new(text.chars().count());
    state.cursor.set_char_range(Some(egui::text::CCursorRange::two(egui::text::CCursor::default(), end)));
    TextEdit::store_state(ui.ctx(), id, state);
}

trait FieldMemory {
    fn data(&self, id: Id) -> Option<Typed>;
    fn set_data(&self, id: Id, typed: Typed);
}

impl FieldMemory for Ui {
    fn data(&self, id: Id) -> Option<Typed> {
        self.ctx().data(|data| data.get_temp(id))
    }

    fn set_data(&self, id: Id, typed: Typed) {
        self.ctx().data_mut(|data| data.insert_temp(id, typed));
    }
}

/// Width of a field for a length, points: `26' 2 15/16"` is longer than any house in millimetres.
fn width_for(units: Units) -> f32 {
    match units {
        Units::Metric => 84.0,
        Units::FeetInches => 104.0,
    }
}

/// A field for a length in the plan's units; mm when it was changed.
pub(crate) fn length(ui: &mut Ui, name: &str, mm: f64, units: Units) -> Option<f64> {
    let shown = format_length(mm, units);
    typed_field(ui, name, name, &shown, width_for(units), Align::RIGHT, |text| {
        parse_length(text, units).map_err(|error| error.to_string())
    })
    .1
}

/// A length that may be left empty.
pub(crate) fn optional_length(ui: &mut Ui, name: &str, mm: Option<f64>, units: Units) -> Option<Option<f64>> {
    let shown = mm.map(|mm| format_length(mm, units)).unwrap_or_default();
    typed_field(ui, name, name, &shown, width_for(units), Align::RIGHT, |text| {
        if text.is_empty() {
            return Ok(None);
        }
        parse_length(text, units).map(Some).map_err(|error| error.to_string())
    })
    .1
}

/// A field of a table that is gone through with Enter: a length that may be left empty, and whether Enter left it.
pub(crate) fn entry(ui: &mut Ui, name: &str, mm: Option<f64>, units: Units) -> (Option<Option<f64>>, bool) {
    let shown = mm.map(|mm| format_length(mm, units)).unwrap_or_default();
    let (response, given) = typed_field(ui, name, name, &shown, 74.0, Align::RIGHT, |text| {
        if text.is_empty() {
            return Ok(None);
        }
        match parse_length(text, units) {
            Ok(length) if length >= 1.0 => Ok(Some(length)),
            Ok(_) => Err("type what the tape showed, 1 mm or more".to_owned()),
            Err(error) => Err(error.to_string()),
        }
    });
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    (given, entered)
}

/// A field of a table that is gone through with Enter: a wall as it is taped going round, with a minus before one that turns
/// back; and whether Enter left it.
pub(crate) fn leg(ui: &mut Ui, name: &str, leg: Option<Leg>, units: Units) -> (Option<Option<Leg>>, bool) {
    let shown = leg.map(|leg| {
        let sign = if leg.turns_back { "-" } else { "" };
        format!("{sign}{}", format_length(leg.length, units))
    });
    // What cannot be read keeps the row from being left.
    let unread = std::cell::Cell::new(false);
    let (response, given) =
        typed_field(ui, name, name, &shown.unwrap_or_default(), 84.0, Align::RIGHT, |text| {
            let turns_back = text.starts_with('-');
            unread.set(true);
            let read = match text.trim_start_matches(['-', '+']).trim() {
                "" => Ok(None),
                text => match parse_length(text, units) {
                    Ok(length) if length >= 1.0 => Ok(Some(Leg { length, turns_back })),
                    Ok(_) => Err("type what the tape showed, 1 mm or more".to_owned()),
                    Err(error) => Err(error.to_string()),
                },
            };
            unread.set(read.is_err());
            read
        });
    let entered = response.lost_focus() && !unread.get() && ui.input(|input| input.key_pressed(Key::Enter));
    (given, entered)
}

/// Whether something stands in this empty field of `ui` that is not taken yet.
pub(crate) fn is_half_typed(ui: &Ui, name: &str) -> bool {
    let id = ui.make_persistent_id(name);
    ui.memory(|memory| memory.has_focus(id))
        && ui.data(id.with("typed")).is_some_and(|typed| !typed.text.is_empty())
}

/// A narrow field for a whole number from 0.
pub(crate) fn small_whole(ui: &mut Ui, name: &str, value: u64) -> Option<u64> {
    typed_field(ui, name, name, &value.to_string(), 30.0, Align::RIGHT, |text| {
        text.parse::<u64>().map_err(|_| "type a whole number, 0 or more".to_owned())
    })
    .1
}

/// A field for a plain number.
pub(crate) fn number(ui: &mut Ui, name: &str, value: f64) -> Option<f64> {
    typed_field(ui, name, name, &format!("{value}"), 84.0, Align::RIGHT, read_number).1
}

/// A number that may be left empty.
pub(crate) fn optional_number(ui: &mut Ui, name: &str, value: Option<f64>) -> Option<Option<f64>> {
    let shown = value.map(|value| format!("{value}")).unwrap_or_default();
    typed_field(ui, name, name, &shown, 84.0, Align::RIGHT, |text| {
        if text.is_empty() { Ok(None) } else { read_number(text).map(Some) }
    })
    .1
}

/// A field for a whole number from 0.
pub(crate) fn whole(ui: &mut Ui, name: &str, value: u64) -> Option<u64> {
    typed_field(ui, name, name, &value.to_string(), 84.0, Align::RIGHT, |text| {
        text.parse::<u64>().map_err(|_| "type a whole number, 0 or more".to_owned())
    })
    .1
}

/// A field for words; what was typed, if anything.
pub(crate) fn words(ui: &mut Ui, name: &str, value: &str, width: f32) -> Option<String> {
    typed_field(ui, name, name, value, width, Align::LEFT, |text| {
        if text.is_empty() { Err("type at least one letter".to_owned()) } else { Ok(text.to_owned()) }
    })
    .1
}

/// A field for words that may be left empty.
pub(crate) fn loose_words(ui: &mut Ui, name: &str, value: &str, width: f32) -> Option<String> {
    typed_field(ui, name, name, value, width, Align::LEFT, |text| Ok(text.to_owned())).1
}

fn read_number(text: &str) -> Result<f64, String> {
    match text.replace(',', ".").parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err("type a number".to_owned()),
    }
}
