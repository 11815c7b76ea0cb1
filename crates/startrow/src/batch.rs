//! Several plans in one call: computed side by side, told in the order in which they were named.

use crate::load;
use indicatif::{ProgressBar, ProgressStyle};
use pipeline::House;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::io::Write;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// What is said of one plan.
pub(crate) struct Said {
    /// For standard output.
    pub(crate) text: String,
    /// Whether the command counts the plan as faulty.
    pub(crate) faulty: bool,
}

impl Said {
    pub(crate) fn sound(text: String) -> Self {
        Self { text, faulty: false }
    }
}

/// Computes every plan and does `each` with its house; a bad plan is told on standard error and does not stop
/// the rest. Exit code 2 if one was bad, else 1 if one was faulty, else 0.
pub(crate) fn run(
    plans: &[PathBuf],
    each: impl Fn(&House, &Path) -> anyhow::Result<Said> + Sync,
) -> anyhow::Result<ExitCode> {
    let bar = progress(plans.len());
    let done: Vec<anyhow::Result<Said>> = plans
        .par_iter()
        .map(|plan| {
            let said = guarded(|| load::house(plan).and_then(|house| each(&house, plan)));
            bar.inc(1);
            said
        })
        .collect();
    bar.finish_and_clear();
    let (mut bad, mut faulty) = (false, false);
    for (plan, said) in plans.iter().zip(done) {
        match said {
            Ok(said) => {
                faulty |= said.faulty;
                crate::print(&said.text)?;
            }
            Err(error) => {
                bad = true;
                // With standard error closed there is no one left to tell.
                let said = crate::printable(&named(plan, &format!("{error:#}")));
                let _ = writeln!(std::io::stderr(), "startrow: {said}");
            }
        }
    }
    Ok(ExitCode::from(match (bad, faulty) {
        (true, _) => crate::BAD_INPUT,
        (_, true) => crate::FAULTS,
        _ => 0,
    }))
}

/// What is said of a plan, with its name before it where it is not told with every line.
fn named(plan: &Path, said: &str) -> String {
    let name = plan.display().to_string();
    if said.contains(&name) { said.to_owned() } else { format!("{name}: {said}") }
}

/// A fault of the program on one plan must not take the others with it.
fn guarded(run: impl FnOnce() -> anyhow::Result<Said>) -> anyhow::Result<Said> {
    catch_unwind(AssertUnwindSafe(run))
        .unwrap_or_else(|_| anyhow::bail!("a fault of the program; report it with the file"))
}

/// A bar on standard error; none where that is no terminal.
fn progress(count: usize) -> ProgressBar {
    let bar = ProgressBar::new(count as u64);
    let style = ProgressStyle::with_template("{bar:30} {pos} of {len} plans  {elapsed}");
    bar.with_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()))
}

/// Where a plan's result goes: its own name in a folder, with another ending, or none for a folder of its own.
pub(crate) fn place(out: &Path, plan: &Path, ending: &str) -> PathBuf {
    let mut name = plan.file_stem().unwrap_or_default().to_owned();
    name.push(ending);
    out.join(name)
}

/// Makes the folder, and refuses plans whose results would overwrite one another. Some file systems take large
/// and small letters for the same.
pub(crate) fn prepare(out: &Path, plans: &[PathBuf]) -> anyhow::Result<()> {
    let mut first: BTreeMap<String, &Path> = BTreeMap::new();
    for plan in plans {
        let name = plan.file_stem().unwrap_or_default().to_string_lossy().to_lowercase();
        if let Some(earlier) = first.insert(name, plan) {
            anyhow::bail!(
                "{} and {} have one name, and would be written over one another; rename one, or give them folders of their own in two calls",
                earlier.display(),
                plan.display()
            );
        }
    }
    std::fs::create_dir_all(out).map_err(|error| load::unmade(out, &error))
}
