//! Writes the sheets into a folder, off the window's thread.

use egui::Context;
use pipeline::House;
use sheets::{SetOptions, WriteOptions};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};
use std::time::{SystemTime, UNIX_EPOCH};

/// What was written or why not, in words.
type Said = Result<String, String>;

/// Sheets being written, and how the last ones went.
#[derive(Default)]
pub(crate) struct Writing {
    under_way: Option<Receiver<Said>>,
    last: Option<Said>,
}

impl Writing {
    pub(crate) fn last(&self) -> Option<&Said> {
        self.last.as_ref()
    }

    pub(crate) fn forget(&mut self) {
        self.last = None;
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
        if self.under_way.is_some() {
            return;
        }
        if at_once {
            self.last = Some(write(&house, &folder, &stem, options));
            return;
        }
        let (sender, receiver) = channel();
        let ctx = ctx.clone();
        let spawned = std::thread::Builder::new().name("sheets".into()).spawn(move || {
            let _ = sender.send(write(&house, &folder, &stem, options));
            ctx.request_repaint();
        });
        match spawned {
            Ok(_) => {
                self.under_way = Some(receiver);
                self.last = Some(Ok("writing…".into()));
            }
            Err(error) => self.last = Some(Err(format!("the sheets could not be started: {error}"))),
        }
    }

    /// Takes over what has been written; whether there is something new to say.
    pub(crate) fn poll(&mut self) -> bool {
        use std::sync::mpsc::TryRecvError;
        let Some(receiver) = &self.under_way else { return false };
        match receiver.try_recv() {
            Ok(said) => self.last = Some(said),
            Err(TryRecvError::Disconnected) => self.last = Some(Err("the sheets could not be drawn".into())),
            Err(TryRecvError::Empty) => return false,
        }
        self.under_way = None;
        true
    }
}

fn write(house: &House, folder: &Path, stem: &str, options: WriteOptions) -> Said {
    std::fs::create_dir_all(folder)
        .map_err(|error| format!("{} cannot be used: {error}", folder.display()))?;
    let options = WriteOptions { set: SetOptions { date: today(), ..options.set }, ..options };
    let files = sheets::write_set(house, &options).map_err(|error| error.to_string())?;
    let mut names = Vec::new();
    for file in &files {
        let name = format!("{stem}-{}", file.name);
        let path = folder.join(&name);
        keep::write_whole(&path, &file.bytes).map_err(|trouble| trouble.to_string())?;
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
