//! Files in and out.

use crate::args;
use anyhow::Context;
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
    let bytes = read(path).with_context(|| format!("cannot read {}", path.display()))?;
    tracing::info!(file = %path.display(), bytes = bytes.len(), "read");
    let text = String::from_utf8(bytes)
        .map_err(|_| BadInput(vec![format!("{} is not a plan file: it is not text", path.display())]))?;
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
    keep::write_whole(to, text.as_bytes())?;
    tracing::info!(file = %to.display(), bytes = text.len(), "written");
    Ok(())
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
    std::fs::create_dir_all(out).with_context(|| format!("cannot make the folder {}", out.display()))?;
    let mut written = String::new();
    for file in files {
        let to = out.join(&file.name);
        keep::write_whole(&to, &file.bytes)?;
        written.push_str(&format!("{}\n", to.display()));
    }
    Ok(written)
}
