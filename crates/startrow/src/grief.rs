//! When the program itself is at fault: unsaved work goes to the journal, a report is written that can be read, and
//! nothing is sent anywhere.

use std::backtrace::Backtrace;
use std::io::Write;
use std::panic::PanicHookInfo;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{SystemTime, UNIX_EPOCH};

/// Reports written by one run: a fault that comes back with every frame must not fill the disk.
const MOST_REPORTS: usize = 3;
static REPORTS: AtomicUsize = AtomicUsize::new(0);

/// From here on a fault of the program is told in words.
pub(crate) fn install() {
    std::panic::set_hook(Box::new(|info| {
        let saved = desk::journal_now();
        let report = (REPORTS.fetch_add(1, Ordering::Relaxed) < MOST_REPORTS)
            .then(|| {
                desk::state_folder().and_then(|folder| write(&folder.join("reports"), &text(info, saved)))
            })
            .flatten();
        // With standard error closed there is no one left to tell.
        let _ = writeln!(std::io::stderr(), "{}", told(info, saved, report.as_deref()));
    }));
}

fn what(info: &PanicHookInfo) -> String {
    let said = info.payload();
    let said = said.downcast_ref::<&str>().map(|text| (*text).to_owned());
    said.or_else(|| info.payload().downcast_ref::<String>().cloned()).unwrap_or_else(|| "no words".into())
}

fn told(info: &PanicHookInfo, saved: Option<bool>, report: Option<&Path>) -> String {
    let mut told =
        format!("startrow: a fault of the program: {}", what(info).lines().next().unwrap_or_default());
    match saved {
        Some(true) => told += "\n          unsaved work is in the journal; it is offered at the next start",
        Some(false) => told += "\n          unsaved work could not be written to the journal",
        None => {}
    }
    if let Some(report) = report {
        told += &format!("\n          a report is in {}; nothing is sent anywhere", report.display());
    }
    told
}

/// The report: enough to find the fault, and nothing of the plan.
fn text(info: &PanicHookInfo, saved: Option<bool>) -> String {
    let place = info.location().map_or_else(String::new, ToString::to_string);
    let thread = std::thread::current();
    let work = match saved {
        Some(true) => "in the journal",
        Some(false) => "could not be written to the journal",
        None => "none",
    };
    format!(
        "Startrow {} on {} {}\nA fault of the program. This file lies here only; nothing is sent anywhere.\n\n\
         What: {}\nWhere: {place}\nThread: {}\nUnsaved work: {work}\n\n{}\n",
        env!("CARGO_PKG_VERSION"),
        std::env::consts::OS,
        std::env::consts::ARCH,
        what(info),
        thread.name().unwrap_or("without a name"),
        Backtrace::force_capture(),
    )
}

fn write(folder: &Path, text: &str) -> Option<PathBuf> {
    std::fs::create_dir_all(folder).ok()?;
    let now = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_millis());
    let path = folder.join(format!("{now}-{}.txt", std::process::id()));
    keep::write_whole(&path, text.as_bytes()).ok()?;
    Some(path)
}

#[cfg(test)]
mod tests {
    use std::process::Command;

    /// The program that comes to grief, when it is asked to.
    #[test]
    fn comes_to_grief() {
        if std::env::var_os("STARTROW_COMES_TO_GRIEF").is_none() {
            return;
        }
        super::install();
        for round in 0..5 {
            let done = std::thread::Builder::new().name("worker".into()).spawn(move || {
                assert!(round > 5, "round {round} went wrong");
            });
            assert!(done.unwrap().join().is_err());
        }
    }

    #[test]
    fn a_fault_of_the_program_is_reported_in_words_and_nowhere_else() {
        let state = tempfile::tempdir().unwrap();
        let output = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "grief::tests::comes_to_grief", "--nocapture"])
            .env("STARTROW_COMES_TO_GRIEF", "1")
            .env("XDG_STATE_HOME", state.path())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{said}");
        assert!(said.contains("startrow: a fault of the program: round 0 went wrong"), "{said}");
        assert!(said.contains("nothing is sent anywhere"), "{said}");
        let reports: Vec<_> = std::fs::read_dir(state.path().join("startrow/reports")).unwrap().collect();
        assert!((1..=super::MOST_REPORTS).contains(&reports.len()), "{}", reports.len());
        let text = std::fs::read_to_string(reports[0].as_ref().unwrap().path()).unwrap();
        assert!(text.contains("Where: crates/startrow/src/grief.rs:"), "{text}");
        assert!(text.contains("Thread: worker") && text.contains("Unsaved work: none"), "{text}");
    }
}
