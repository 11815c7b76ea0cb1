//! The search for better joints on the command line: progress on standard error, stopped by a clock or Ctrl-C.

use crate::load;
use indicatif::{ProgressBar, ProgressStyle};
use pipeline::{House, Progress};
use plan::Plan;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Searches and says what was won. The plan, written with the moves made, gives the floor found again.
pub(crate) fn run(
    path: &Path,
    moves: u64,
    seconds: Option<f64>,
    save: Option<PathBuf>,
) -> anyhow::Result<String> {
    let plan = load::plan(path)?;
    let first = load::computed(&Plan { effort: 0, ..plan.clone() })?;
    let start = Instant::now();
    let patience = seconds.map(Duration::from_secs_f64);
    let stop = Arc::new(AtomicBool::new(false));
    let theirs = stop.clone();
    // Without it Ctrl-C ends the program as it always did.
    let _ = ctrlc::set_handler(move || theirs.store(true, Ordering::Relaxed));
    let bar = ProgressBar::new(moves).with_style(style());
    let watch = |now: Progress| {
        bar.set_position(now.moves);
        bar.set_message(format!("{} boards, {} faults, {} to look at", now.opened, now.faults, now.looks));
        let is_over = patience.is_some_and(|patience| start.elapsed() >= patience);
        if is_over || stop.load(Ordering::Relaxed) {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    };
    let found = load::searched(&plan, moves, &watch)?;
    bar.finish_and_clear();
    let mut text = format!(
        "{} — {} moves, in whole rounds\n\nfirst floor   {}\nfound         {}\n",
        plan.name,
        found.floor.moves,
        figures(&first),
        figures(&found)
    );
    if let Some(to) = save {
        let plan = Plan { effort: found.floor.moves, ..plan };
        load::save(&to, &plan::write(&plan))?;
        text += &format!("\n{}\n", to.display());
    }
    Ok(text)
}

fn figures(house: &House) -> String {
    let order = &house.order;
    let faults = house.flags.iter().filter(|flag| flag.severity == findings::Severity::Fault).count();
    format!(
        "{} boards opened, none under {}; {} packs; {}, {} to look at",
        order.opened,
        house.bound().boards,
        order.packs,
        crate::words::faults(faults),
        house.flags.len() - faults
    )
}

fn style() -> ProgressStyle {
    let style = ProgressStyle::with_template("{bar:30} {pos} of {len} moves  {msg}  {elapsed}");
    style.unwrap_or_else(|_| ProgressStyle::default_bar())
}
