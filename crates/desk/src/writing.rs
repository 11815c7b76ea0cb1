//! Writes the sheets into a folder, off the window's thread, with progress and a way to stop.

use crate::reckon::{Reckoned, Watch};
use egui::Context;
use pipeline::House;
use sheets::{OutFile, SetOptions, WriteOptions};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

/// What was written or why not, in words.
type Said = Result<String, String>;

/// Sheets being written, and how the last ones went.
#[derive(Default)]
pub(crate) struct Writing {
    under_way: Reckoned<u64, Said>,
    /// How many times sheets were asked for.
    asked: u64,
    is_stopped: bool,
    last: Option<Said>,
}

impl Writing {
    pub(crate) fn last(&self) -> Option<&Said> {
        self.last.as_ref()
    }

    /// How many of how many kinds of file are drawn; `None` while nothing is written.
    pub(crate) fn progress(&self) -> Option<(usize, usize)> {
        self.under_way.progress()
    }

    pub(crate) fn forget(&mut self) {
        self.last = None;
    }

    /// Gives up what is being written: no file of it is left.
    pub(crate) fn stop(&mut self) {
        self.is_stopped = true;
        self.under_way.stop();
    }

    /// Starts writing, unless sheets are being written already.
    pub(crate) fn start(
        &mut self,
        house: Arc<House>,
        folder: PathBuf,
        stem: String,
        options: WriteOptions,
        at_once: bool,
        ctx: &Context,
    ) {
        if self.under_way.progress().is_some() {
            return;
        }
        self.asked += 1;
        self.is_stopped = false;
        self.last = None;
        self.under_way
            .ask(self.asked, at_once, ctx, move |watch| write(&house, &folder, &stem, options, watch));
        if self.under_way.progress().is_none() {
            self.take();
        }
    }

    fn take(&mut self) {
        let nothing = || match self.is_stopped {
            true => Ok("Stopped: nothing was written".to_owned()),
            false => Err("the sheets could not be drawn".to_owned()),
        };
        self.last = Some(self.under_way.get_for(&self.asked).cloned().unwrap_or_else(nothing));
    }

    /// Takes over what has been written; whether there is something new to say.
    pub(crate) fn poll(&mut self) -> bool {
        let is_new = self.under_way.poll();
        if is_new {
            self.take();
        }
        is_new
    }
}

/// Draws one kind of file after the other, then writes them all: stopped before that, none is written.
fn write(house: &House, folder: &Path, stem: &str, options: WriteOptions, watch: &Watch) -> Option<Said> {
    let options = WriteOptions { set: SetOptions { date: today(), ..options.set }, ..options };
    let count = options.outputs.len();
    let mut files = Vec::new();
    for (done, output) in options.outputs.iter().enumerate() {
        if !watch.goes_on(done, count) {
            return None;
        }
        let one = WriteOptions { outputs: [*output].into(), ..options.clone() };
        match sheets::write_set(house, &one) {
            Ok(drawn) => files.extend(drawn),
            Err(error) => return Some(Err(error.to_string())),
        }
    }
    if !watch.goes_on(count, count) {
        return None;
    }
    Some(put_down(&files, folder, stem))
}

fn put_down(files: &[OutFile], folder: &Path, stem: &str) -> Said {
    std::fs::create_dir_all(folder)
        .map_err(|error| format!("{} cannot be used: {error}", folder.display()))?;
    let mut names = Vec::new();
    for file in files {
        let name = format!("{stem}-{}", file.name);
        keep::write_whole(&folder.join(&name), &file.bytes).map_err(|trouble| trouble.to_string())?;
        names.push(name);
    }
    Ok(format!("Written to {}: {}", folder.display(), names.join(", ")))
}

/// The day, UTC, as year-month-day.
pub(crate) fn today() -> Option<String> {
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).ok()?.as_secs();
    let (year, month, day) = date_of(i64::try_from(seconds / 86_400).ok()?);
    Some(format!("{year}-{month:02}-{day:02}"))
}

/// The proleptic Gregorian date of a day counted from 1970-01-01, by counting from a 1st of March, so
/// that leap days fall at a year's end.
fn date_of(day: i64) -> (i64, i64, i64) {
    // 719 468 days lie between 0000-03-01 and 1970-01-01.
    let day = day + 719_468;
    let era = day.div_euclid(146_097);
    let of_era = day.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted = (5 * of_year + 2) / 153;
    let month = if shifted < 10 { shifted + 3 } else { shifted - 9 };
    let year = era * 400 + year_of_era + i64::from(month <= 2);
    (year, month, of_year - (153 * shifted + 2) / 5 + 1)
}

#[cfg(test)]
mod tests {
    use super::date_of;

    // Days of well-known dates: Unix time 951 782 400 s and 1 000 000 000 s (2000-02-29, 2001-09-09), from memory.
    #[test]
    fn days_have_their_dates() {
        assert_eq!(date_of(0), (1970, 1, 1));
        assert_eq!(date_of(951_782_400 / 86_400), (2000, 2, 29));
        assert_eq!(date_of(1_000_000_000 / 86_400), (2001, 9, 9));
        assert_eq!(date_of(-1), (1969, 12, 31));
    }
}
