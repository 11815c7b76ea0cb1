//! Startrow: plan a plank floor through a whole house. Opens the desk, or runs a stage headless.

mod args;
mod load;
mod words;

use args::{Args, Command};
use clap::Parser;
use std::io::Write;
use std::process::ExitCode;

/// The floor has faults.
const FAULTS: u8 = 1;
/// The input cannot be read or computed.
const BAD_INPUT: u8 = 2;

fn main() -> ExitCode {
    match run(Args::parse()) {
        Ok(code) => code,
        Err(error) => {
            // With standard error closed there is no one left to tell.
            let _ = writeln!(std::io::stderr(), "startrow: {error:#}");
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
        Command::Setout { plan, directions, angle, json } => {
            let house = load::house(&plan)?;
            let compared = directions.then(|| load::directions(&house, &angle)).transpose()?;
            match (json, compared) {
                (Some(to), Some(all)) => load::write(&to, &json_text(&house.directions_document(&all))?)?,
                (Some(to), None) => load::write(&to, &json_text(&house.setout_document())?)?,
                (None, Some(all)) => print(&words::directions(&house, &all))?,
                (None, None) => print(&words::setout(&house))?,
            }
        }
        Command::Lay { plan, json } => {
            let house = load::house(&plan)?;
            match json {
                Some(to) => load::write(&to, &json_text(&house.document())?)?,
                None => print(&words::lay(&house))?,
            }
        }
        Command::Check { plan } => {
            let house = load::house(&plan)?;
            print(&words::flags(&house))?;
            if house.flags.iter().any(|flag| flag.severity == findings::Severity::Fault) {
                return Ok(ExitCode::from(FAULTS));
            }
        }
        Command::Order { plan, csv } => {
            let house = load::house(&plan)?;
            match csv {
                Some(to) => load::write(&to, &order::csv(&house.floor, &house.order)?)?,
                None => {
                    // Only small floors can be proven; on others the bound stands alone.
                    let fewest = order::fewest(&house.plan, &house.floor).ok();
                    print(&order::text(&house.plan, &house.floor, &house.order, fewest))?;
                }
            }
        }
        Command::Sheets { plan, out, paper, date } => {
            let house = load::house(&plan)?;
            let written = load::write_sheets(&house, &out, paper, date)?;
            print(&written)?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn json_text(document: &pipeline::Document) -> anyhow::Result<String> {
    Ok(serde_json::to_string_pretty(document)? + "\n")
}

/// Prints to standard output; a reader that has seen enough and closed it is no error.
fn print(text: &str) -> anyhow::Result<()> {
    match std::io::stdout().write_all(text.as_bytes()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => Err(error.into()),
        _ => Ok(()),
    }
}
