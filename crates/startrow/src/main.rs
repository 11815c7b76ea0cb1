//! Startrow: plan a plank floor through a whole house. Opens the desk, or runs a stage headless.

mod args;
mod batch;
mod bring;
mod doorways;
mod fitting;
mod grief;
mod laid;
mod load;
mod log;
mod manual;
mod misspelt;
mod movement;
mod rows;
mod search;
mod several;
mod slab;
mod tape;
mod words;

use args::{Args, Command};
use clap::Parser;
use std::io::Write;
use std::panic::catch_unwind;
use std::process::ExitCode;

/// The floor has faults.
const FAULTS: u8 = 1;
/// The input cannot be read or computed.
const BAD_INPUT: u8 = 2;

/// The program itself is at fault.
const OWN_FAULT: u8 = 3;

fn main() -> ExitCode {
    log::install();
    grief::install();
    let words: Vec<std::ffi::OsString> = std::env::args_os().collect();
    if let Some(said) = misspelt::command(&words) {
        // With standard error closed there is no one left to tell.
        let _ = writeln!(std::io::stderr(), "startrow: {said}");
        return ExitCode::from(BAD_INPUT);
    }
    match catch_unwind(|| run(Args::try_parse().unwrap_or_else(|error| misspelt::refuse(&error)))) {
        // What went wrong was told where it did.
        Err(_) => ExitCode::from(OWN_FAULT),
        Ok(Ok(code)) => code,
        Ok(Err(error)) => {
            // With standard error closed there is no one left to tell.
            let _ = writeln!(std::io::stderr(), "startrow: {}", printable(&format!("{error:#}")));
            ExitCode::from(BAD_INPUT)
        }
    }
}

fn run(args: Args) -> anyhow::Result<ExitCode> {
    let Some(command) = args.command else {
        desk::open(args.plan).map_err(|error| anyhow::anyhow!("{error}"))?;
        return Ok(ExitCode::SUCCESS);
    };
    match command {
        Command::Setout { plan, lines, directions, angle, json } => {
            let house = load::house(&plan)?;
            if lines {
                print(&words::lines(&house, &pipeline::lay_lines(&house)))?;
                return Ok(ExitCode::SUCCESS);
            }
            // An angle is asked for to be compared.
            let compared =
                (directions || !angle.is_empty()).then(|| load::directions(&house, &angle)).transpose()?;
            match (json, compared) {
                (Some(to), Some(all)) => load::write(&to, &json_text(&house.directions_document(&all))?)?,
                (Some(to), None) => load::write(&to, &json_text(&house.setout_document())?)?,
                (None, Some(all)) => print(&words::directions(&house, &all))?,
                (None, None) => print(&words::setout(&house))?,
            }
        }
        Command::Slab { plan, json } => {
            let house = load::house(&plan)?;
            match json {
                Some(to) => load::write(&to, &json_text(&house.slab_document())?)?,
                None => print(&slab::words(&house))?,
            }
        }
        Command::Tape { plan, room, hold, save, json } => print(&tape::run(&plan, room, hold, save, json)?)?,
        Command::Stages { plan, json } => {
            let house = load::house(&plan)?;
            match json {
                Some(to) => load::write(&to, &json_text(&house.stages_document())?)?,
                None => {
                    let (plan, site, set) = (&house.plan, &house.site, &house.setout);
                    print(&order::stages_text(plan, site, set, &house.floor, &house.stages()))?;
                }
            }
        }
        Command::Lay { plans, json, out } => return several::lay(&plans, json, out),
        Command::Search { plan, moves, seconds, save } => print(&search::run(&plan, moves, seconds, save)?)?,
        Command::Fit { plan, json, joints } => {
            let house = load::house(&plan)?;
            match json {
                Some(to) => load::write(&to, &json_text(&house.document())?)?,
                None if joints => print(&fitting::joints(&house))?,
                None => print(&fitting::fitting(&house))?,
            }
        }
        Command::Laid { plan, marks, save, json } => print(&laid::run(&plan, &marks, save, json)?)?,
        Command::Movement { plan, propose, save, json } => movement::run(&plan, propose, save, json)?,
        Command::Check { plans } => return several::check(&plans),
        Command::Doorways { plan, json } => {
            let house = load::house(&plan)?;
            match json {
                Some(to) => load::write(&to, &json_text(&house.edges_document())?)?,
                None => print(&doorways::doorways(&house))?,
            }
        }
        Command::Order { plans, csv, materials, out, by_stage } => {
            return several::order(&plans, csv, materials, out, by_stage);
        }
        Command::Sheets {
            plans,
            out,
            paper,
            date,
            floor_scale,
            by_stage,
            write,
            only,
            png_width,
            png_dpi,
        } => {
            let mut options = load::write_options(paper, date, &write, png_width, png_dpi, floor_scale);
            options.set.only = only.into_iter().collect();
            options.set.saw_by_stage = by_stage;
            return several::sheets(&plans, &out, &options);
        }
        Command::Import(ask) => print(&bring::import(&ask)?)?,
        Command::Completions { shell } => print(&manual::completions(shell)?)?,
        Command::Man { out } => print(&manual::pages(&out)?)?,
    }
    Ok(ExitCode::SUCCESS)
}

/// Words for a terminal: what a file or its name holds beside letters is written out, since signs of control could clear the
/// screen or hide what is said.
pub(crate) fn printable(words: &str) -> String {
    let mut all = String::with_capacity(words.len());
    for sign in words.chars() {
        match sign.is_control() && sign != '\n' {
            true => all.extend(sign.escape_default()),
            false => all.push(sign),
        }
    }
    all
}

pub(crate) fn json_text(document: &pipeline::Document) -> anyhow::Result<String> {
    Ok(serde_json::to_string_pretty(document)? + "\n")
}

/// Prints to standard output; a reader that has seen enough and closed it is no error.
fn print(text: &str) -> anyhow::Result<()> {
    match std::io::stdout().write_all(text.as_bytes()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => Err(error.into()),
        _ => Ok(()),
    }
}
