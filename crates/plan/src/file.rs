//! The plan file: versioned RON, written so that a change of one thing changes few lines.

#[cfg(test)]
mod any_plan;
#[cfg(test)]
mod tests;
mod words;

use crate::check;
use crate::locate::Outline;
use crate::{
    Backdrop, Border, Dimension, Doorway, Fixture, Laid, Materials, MovementJoint, OwnLine, Pattern, Pinned,
    Plan, Room, Rules, Seasons, Slab, Stage, StartLine, Stock, Units, Waits,
};
use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::{Deserialize, Serialize};
use words::in_words;

/// Version of the format this program writes.
pub const FORMAT: u32 = 1;

/// A file with more bytes is no plan: the largest plan within the limits stays well under it.
pub const GREATEST_FILE: usize = 16 * 1024 * 1024;

/// Why a plan file cannot be opened.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("line {line}: {}{what}; {mend}", if place.is_empty() { String::new() } else { format!("{place}: ") })]
pub struct FileError {
    /// Line of the file, from 1.
    pub line: usize,
    /// Where in the plan, in words, where that is known.
    pub place: String,
    /// What is wrong.
    pub what: String,
    /// What would mend it.
    pub mend: String,
}

/// The plan as it stands in the file.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "Plan")]
struct Filed {
    format: u32,
    name: String,
    units: Units,
    rows_at: f64,
    start_line: StartLine,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    own_lines: Vec<OwnLine>,
    #[serde(default, skip_serializing_if = "Pattern::is_irregular")]
    pattern: Pattern,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    border: Option<Border>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    light_from: Option<f64>,
    seed: u64,
    #[serde(default, skip_serializing_if = "is_zero")]
    effort: u64,
    stock: Stock,
    rules: Rules,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    slab: Option<Slab>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    materials: Option<Materials>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    stages: Vec<Stage>,
    #[serde(default, skip_serializing_if = "Waits::are_unknown")]
    waits: Waits,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    air: Option<Seasons>,
    rooms: Vec<Room>,
    doorways: Vec<Doorway>,
    fixtures: Vec<Fixture>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    joints: Vec<MovementJoint>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    laid: Option<Laid>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    dimensions: Vec<Dimension>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pinned: Vec<Pinned>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    backdrop: Option<Backdrop>,
}

/// Reads a plan from the text of a plan file and validates it. A plan without a boarded room yet is read:
/// it is unfinished, not wrong.
///
/// # Errors
/// Every reason why the text is no plan, each with its line, place and mend; only the first one where the
/// text cannot be read on.
pub fn read(text: &str) -> Result<Plan, Vec<FileError>> {
    sound(text, check::faults)
}

/// Reads a plan to be shown and drawn on: it may have been saved while some of it was still wrong, a doorway past the end
/// of its wall, a room over another. Nothing may be computed from it before [`Plan::problems`] is empty.
///
/// # Errors
/// As [`read`], but of a text that can be read only for numbers that are none, and sizes and counts beyond a house.
pub fn read_drawn(text: &str) -> Result<Plan, Vec<FileError>> {
    sound(text, check::absurd)
}

/// The plan in a text, unless these problems are found in it: then each with its line.
fn sound(text: &str, found: fn(&Plan) -> Vec<crate::Problem>) -> Result<Plan, Vec<FileError>> {
    let plan = read_unchecked(text)?;
    let problems = found(&plan);
    if problems.is_empty() {
        return Ok(plan);
    }
    let outline = Outline::new(text);
    Err(problems
        .into_iter()
        .map(|problem| FileError {
            line: outline.line_of(&problem.place),
            place: problem.place_name,
            what: problem.what,
            mend: problem.mend,
        })
        .collect())
}

/// Reads a plan from the text of a plan file without validating it: for what this program wrote itself and nobody has had in
/// hand. Nothing may be computed from it before [`Plan::problems`] is empty.
///
/// # Errors
/// The reason why the text cannot be read.
pub fn read_unchecked(text: &str) -> Result<Plan, Vec<FileError>> {
    if text.len() > GREATEST_FILE {
        return Err(vec![FileError {
            line: 1,
            place: String::new(),
            what: format!("the file has more than {GREATEST_FILE} bytes"),
            mend: "this is no plan of a house; open the plan file itself".into(),
        }]);
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let outline = Outline::new(text);
    check_format(&outline).map_err(|error| vec![error])?;
    let filed: Filed = options().from_str(text).map_err(|error| vec![in_words(&outline, error)])?;
    Ok(filed.into())
}

fn is_zero(count: &u64) -> bool {
    *count == 0
}

/// Takes every field over by name, either way, so that a field added to one is missed in the other by the compiler.
macro_rules! same_fields {
    ($($field:ident),*) => {
        impl From<Filed> for Plan {
            fn from(filed: Filed) -> Self {
                let Filed { format: _, $($field),* } = filed;
                Self { $($field),* }
            }
        }

        impl From<Plan> for Filed {
            fn from(plan: Plan) -> Self {
                let Plan { $($field),* } = plan;
                Self { format: FORMAT, $($field),* }
            }
        }
    };
}

same_fields!(
    name, units, rows_at, start_line, own_lines, pattern, border, light_from, seed, effort, stock, rules,
    slab, materials, stages, waits, air, rooms, doorways, fixtures, joints, laid, dimensions, pinned,
    backdrop
);

/// The text of the plan file for this plan. Reading and writing it again gives the same bytes.
pub fn write(plan: &Plan) -> String {
    let filed = Filed::from(plan.clone());
    // Four levels: the plan, a list, a room, its walls; a wall stands on one line.
    let layout = PrettyConfig::new().depth_limit(4).new_line("\n");
    let text = options().to_string_pretty(&filed, layout);
    // The writer fails on a bad layout or too deep a value, and neither depends on the plan. An empty
    // text in place of the plan would be worse than stopping.
    let mut text = join_small_values(&text.expect("a plan is always written"));
    text.push('\n');
    text
}

/// `Some` is understood, so that a value which may be left out is written like any other.
fn options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// Puts a value of plain fields, such as a leaf or a gap, on one line; doorways and fixtures keep a line a field.
fn join_small_values(text: &str) -> String {
    const LEVEL: usize = 4;
    let lines: Vec<&str> = text.lines().collect();
    let mut joined = String::with_capacity(text.len());
    let mut at = 0;
    while at < lines.len() {
        let line = lines[at];
        let indent = line.len() - line.trim_start().len();
        let has_key = line.trim_start().len() > 1;
        let is_small = line.ends_with('(') && indent >= if has_key { 2 * LEVEL } else { 3 * LEVEL };
        let fields = lines[at + 1..].iter().take_while(|next| !next.trim_start().starts_with(')'));
        let fields: Vec<&str> =
            if is_small { fields.map(|field| field.trim()).collect() } else { Vec::new() };
        let is_plain = !fields.is_empty() && !fields.iter().any(|field| field.ends_with(['(', '[']));
        if at > 0 {
            joined.push('\n');
        }
        joined.push_str(line);
        if is_plain {
            joined.push_str(fields.join(" ").trim_end_matches(','));
            at += fields.len() + 1;
            joined.push_str(lines.get(at).map_or("", |close| close.trim_start()));
        }
        at += 1;
    }
    joined
}

fn check_format(outline: &Outline<'_>) -> Result<(), FileError> {
    let error = |line, what: String, mend: String| Err(FileError { line, place: String::new(), what, mend });
    if !outline.has_plan() {
        return error(
            1,
            "this is no plan file: there is no value in round brackets".into(),
            "open a .ron file written by Startrow".into(),
        );
    }
    let Some((format, line)) = outline.field("format") else {
        return error(
            1,
            "the file does not say its format".into(),
            format!("begin it with `format: {FORMAT},`"),
        );
    };
    match format.parse::<u32>() {
        Ok(FORMAT) => Ok(()),
        Ok(newer) if newer > FORMAT => error(
            line,
            format!("this file is format {newer}, this program reads format {FORMAT}"),
            "open it with a newer Startrow".into(),
        ),
        _ => error(
            line,
            format!("`{format}` is no format that was ever written, this program reads format {FORMAT}"),
            format!("write `format: {FORMAT},`"),
        ),
    }
}
