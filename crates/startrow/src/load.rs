//! Files in and out.

use crate::args;
use pipeline::{House, Progress};
use plan::Plan;
use std::fmt;
use std::io::Read;
use std::ops::ControlFlow;
use std::path::Path;

/// Every reason why a plan cannot be computed, as lines that name file, line, place and mend.
#[derive(Debug)]
pub(crate) struct BadInput(Vec<String>);

impl BadInput {
    fn of(problems: &[plan::Problem]) -> Self {
        Self(problems.iter().map(|p| format!("{}: {}; {}", p.place_name, p.what, p.mend)).collect())
    }
}

impl fmt::Display for BadInput {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.join("\n          "))
    }
}

impl std::error::Error for BadInput {}

/// Reads a plan and computes its house.
pub(crate) fn house(path: &Path) -> anyhow::Result<House> {
    computed(&plan(path)?)
}

/// Computes a plan's house.
pub(crate) fn computed(plan: &Plan) -> anyhow::Result<House> {
    let begun = std::time::Instant::now();
    let house = pipeline::run(plan).map_err(|problems| BadInput::of(&problems))?;
    tracing::info!(boards = house.floor.boards.len(), flags = house.flags.len(), took = ?begun.elapsed(), "computed");
    Ok(house)
}

/// Computes a plan's house with the best joints a search finds.
pub(crate) fn searched(
    plan: &Plan,
    moves: u64,
    watch: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
) -> anyhow::Result<House> {
    Ok(pipeline::search(plan, moves, watch).map_err(|problems| BadInput::of(&problems))?)
}

/// Reads a plan.
pub(crate) fn plan(path: &Path) -> anyhow::Result<Plan> {
    let bytes = read(path).map_err(|error| BadInput(vec![unread(path, "plan file", &error)]))?;
    tracing::info!(file = %path.display(), bytes = bytes.len(), "read");
    let text = String::from_utf8(bytes).map_err(|error| BadInput(vec![no_text(path, error.as_bytes())]))?;
    Ok(plan::read(&text).map_err(|errors| {
        BadInput(
            errors
                .iter()
                .map(|e| {
                    let place = if e.place.is_empty() { String::new() } else { format!("{}: ", e.place) };
                    format!("{}:{}: {place}{}; {}", path.display(), e.line, e.what, e.mend)
                })
                .collect(),
        )
    })?)
}

/// Why a file cannot be read, and what would mend it.
pub(crate) fn unread(path: &Path, what: &str, error: &std::io::Error) -> String {
    use std::io::ErrorKind;
    let mend = match error.kind() {
        ErrorKind::NotFound | ErrorKind::NotADirectory => "look at its name and folder".to_owned(),
        ErrorKind::IsADirectory => format!("it is a folder; name a {what} in it"),
        ErrorKind::PermissionDenied => "have it opened to you, or name a copy".to_owned(),
        _ => format!("name a {what} that can be read"),
    };
    format!("cannot read {}: {error}; {mend}", path.display())
}

/// Why a folder cannot be made, and what would mend it.
pub(crate) fn unmade(path: &Path, error: &std::io::Error) -> anyhow::Error {
    use std::io::ErrorKind;
    let mend = match error.kind() {
        ErrorKind::AlreadyExists | ErrorKind::NotADirectory => "a file has that name; name another folder",
        ErrorKind::StorageFull => "make room, or name a folder on another disk",
        _ => "name a folder you may write in",
    };
    anyhow::anyhow!("cannot make the folder {}: {error}; {mend}", path.display())
}

/// What is said of a room that the plan does not have, with some of those that may be named.
pub(crate) fn no_room(plan: &Plan, name: &str, may_be_named: impl Fn(&plan::Room) -> bool) -> String {
    let all = plan.rooms.iter().filter(|room| may_be_named(room));
    let names: Vec<&str> = all.take(20).map(|room| room.name.as_str()).collect();
    match plan.room_index(name) {
        Some(_) => format!("no boards lie in `{name}`; name one of {}", names.join(", ")),
        None => format!("there is no room `{name}`; name one of {}", names.join(", ")),
    }
}

/// What to do with a file whose bytes are no UTF-8. Two bytes at its beginning, or every other byte nought, tell UTF-16.
fn no_text(path: &Path, bytes: &[u8]) -> String {
    let is_wide =
        matches!(bytes, [0xff, 0xfe, ..] | [0xfe, 0xff, ..]) || bytes.iter().take(64).any(|b| *b == 0);
    let has_brackets = bytes.contains(&b'(');
    let mend = match is_wide && has_brackets {
        true => "if it is text of another encoding, such as UTF-16, save it as UTF-8",
        false => "open a .ron file written by Startrow, or save it as UTF-8",
    };
    format!("{} is not a plan file: it is no text in UTF-8; {mend}", path.display())
}

/// Whether a plan can be computed.
pub(crate) fn sound(plan: &Plan) -> anyhow::Result<()> {
    let problems = plan.problems();
    if problems.is_empty() { Ok(()) } else { Err(BadInput::of(&problems).into()) }
}

/// Compares directions of the rows.
pub(crate) fn directions(house: &House, typed: &[f64]) -> anyhow::Result<Vec<pipeline::Direction>> {
    Ok(pipeline::directions(house, typed).map_err(|problems| BadInput::of(&problems))?)
}

/// The bytes of a file; of one too long for a plan, or without an end, no more than show that.
pub(crate) fn read(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    std::fs::File::open(path)?.take(plan::GREATEST_FILE as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Writes text to a file, or to standard output for `-`.
pub(crate) fn write(to: &Path, text: &str) -> anyhow::Result<()> {
    if to == Path::new("-") {
        return crate::print(text);
    }
    write_bytes(to, text.as_bytes())
}

/// Writes what is made of a plan to a file. No plan is written over: a name typed twice would cost the work.
pub(crate) fn write_bytes(to: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    if is_plan(to) {
        anyhow::bail!("{}: that is a plan, which this would write over; name another file", to.display());
    }
    keep::write_whole(to, bytes)?;
    tracing::info!(file = %to.display(), bytes = bytes.len(), "written");
    Ok(())
}

/// Whether a file holds a plan; a device or pipe does not, and is not read.
fn is_plan(path: &Path) -> bool {
    let text = || String::from_utf8(read(path).ok()?).ok();
    path.is_file() && text().is_some_and(|text| plan::read(&text).is_ok())
}

/// Writes a plan to a file, what it held before kept beside it; or to standard output for `-`.
pub(crate) fn save(to: &Path, text: &str) -> anyhow::Result<()> {
    if to == Path::new("-") {
        return crate::print(text);
    }
    keep::save(to, text.as_bytes(), None)?;
    Ok(())
}

/// What is written of a plan, as it was asked for.
pub(crate) fn write_options(
    paper: args::Paper,
    date: Option<String>,
    kinds: &[args::Output],
    width: Option<u32>,
    dpi: Option<f64>,
    floor_scale: Option<f64>,
) -> sheets::WriteOptions {
    use sheets::{Output, Paper, PngSize, SetOptions};
    let paper = match paper {
        args::Paper::A4 => Paper::A4,
        args::Paper::A3 => Paper::A3,
        args::Paper::Letter => Paper::Letter,
        args::Paper::Tabloid => Paper::Tabloid,
    };
    let output = |kind: &args::Output| match kind {
        args::Output::Pdf => Output::Pdf,
        args::Output::Svg => Output::Svg,
        args::Output::Png => Output::Png,
        args::Output::Dxf => Output::Dxf,
        args::Output::Xlsx => Output::Xlsx,
        args::Output::Csv => Output::Csv,
        args::Output::Json => Output::Json,
    };
    let picture = match (width, dpi) {
        (Some(width), _) => PngSize::Width(width),
        // 25.4 mm to an inch.
        (None, Some(dpi)) => PngSize::PerMillimetre(dpi / 25.4),
        (None, None) => PngSize::Width(sheets::PICTURE_WIDTH),
    };
    sheets::WriteOptions {
        set: SetOptions { paper, date, floor_scale, ..SetOptions::default() },
        outputs: kinds.iter().map(output).collect(),
        picture,
    }
}

/// Writes a plan's files to a folder and says what was written.
pub(crate) fn write_sheets(
    house: &House,
    out: &Path,
    options: &sheets::WriteOptions,
) -> anyhow::Result<String> {
    let files = sheets::write_set(house, options)?;
    std::fs::create_dir_all(out).map_err(|error| unmade(out, &error))?;
    let mut written = String::new();
    for file in files {
        let to = out.join(&file.name);
        write_bytes(&to, &file.bytes)?;
        written.push_str(&format!("{}\n", to.display()));
    }
    Ok(written)
}
