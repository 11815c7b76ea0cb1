//! What the desk remembers between runs: recent files, the table's colour, the sheets' paper.

use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// Recent files kept.
const RECENT_LIMIT: usize = 10;

/// Which table to show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) enum Table {
    /// As the system has it.
    #[default]
    System,
    /// Light.
    Paper,
    /// Dark.
    Slate,
}

/// Remembered settings. Unknown or unreadable settings are no trouble: the defaults serve.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct Settings {
    pub(crate) recent: Vec<PathBuf>,
    pub(crate) table: Table,
    /// Hard contrast.
    pub(crate) hard: bool,
    /// Size of everything, per cent of the usual; 0 where it was never changed.
    pub(crate) scale: u16,
    /// Width and height of the window as it was left, points of the screen at the usual size.
    pub(crate) window: Option<(u16, u16)>,
    /// Width of the job and height of the strip as the hand left them, points; nothing where it never did.
    pub(crate) job: Option<u16>,
    pub(crate) strip: Option<u16>,
    /// The first steps were gone through, or left.
    pub(crate) shown_first_steps: bool,
    /// A house of one's own was begun: its steps were shown.
    pub(crate) shown_own_house: bool,
}

/// Least and greatest size of everything, per cent.
pub(crate) const SCALES: (u16, u16) = (100, 300);

impl Settings {
    /// The settings at `path`, or the defaults.
    pub(crate) fn load(path: Option<&Path>) -> Self {
        Self::read(path).unwrap_or_default()
    }

    /// Writes the settings where that can be done; a read-only home is no reason to stop work. Another window may have opened
    /// plans since these were read: its recent ones stay.
    pub(crate) fn store(&mut self, path: Option<&Path>) {
        if let Some(now) = Self::read(path) {
            self.recent = now.recent;
        }
        self.write(path);
    }

    fn read(path: Option<&Path>) -> Option<Self> {
        ron::from_str(&std::fs::read_to_string(path?).ok()?).ok()
    }

    fn write(&self, path: Option<&Path>) {
        let Some(path) = path else { return };
        if let Some(folder) = path.parent() {
            let _ = std::fs::create_dir_all(folder);
        }
        if let Ok(text) = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::default()) {
            let _ = keep::write_whole(path, text.as_bytes());
        }
    }

    /// Size of everything, per cent.
    pub(crate) fn scale(&self) -> u16 {
        if self.scale == 0 { SCALES.0 } else { self.scale.clamp(SCALES.0, SCALES.1) }
    }

    /// Puts a file first among the recent ones, those of other windows with it, and writes the settings.
    pub(crate) fn used(&mut self, path: &Path, settings: Option<&Path>) {
        if let Some(now) = Self::read(settings) {
            self.recent = now.recent;
        }
        self.recent.retain(|other| other != path);
        self.recent.insert(0, path.to_owned());
        self.recent.truncate(RECENT_LIMIT);
        self.write(settings);
    }
}

/// Where this system keeps a program's settings; `None` where it says nothing.
pub(crate) fn default_path() -> Option<PathBuf> {
    let folder = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let base = if cfg!(windows) {
        folder("APPDATA")
    } else if cfg!(target_os = "macos") {
        folder("HOME").map(|home| home.join("Library/Application Support"))
    } else {
        folder("XDG_CONFIG_HOME").or_else(|| folder("HOME").map(|home| home.join(".config")))
    };
    base.map(|base| base.join("startrow").join("desk.ron"))
}

/// Where this system keeps what a program must find again after a crash: journals and reports; `None` where it says
/// nothing.
pub fn state_folder() -> Option<PathBuf> {
    let folder = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let base = if cfg!(windows) {
        folder("LOCALAPPDATA")
    } else if cfg!(target_os = "macos") {
        folder("HOME").map(|home| home.join("Library/Application Support"))
    } else {
        folder("XDG_STATE_HOME").or_else(|| folder("HOME").map(|home| home.join(".local/state")))
    };
    base.map(|base| base.join("startrow"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn recent_files_come_newest_first_and_once() {
        let mut settings = Settings::default();
        for name in ["a", "b", "a"] {
            settings.used(Path::new(name), None);
        }
        assert_eq!(settings.recent, [PathBuf::from("a"), PathBuf::from("b")]);
    }

    /// Two windows, each with a plan of its own, one closed after the other: both plans are found the next time.
    #[test]
    fn recent_files_of_two_windows_are_kept() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("desk.ron");
        let at = Some(file.as_path());
        let mut windows = [Settings::load(at), Settings::load(at)];
        for (window, name) in windows.iter_mut().zip(["a", "b"]) {
            window.used(Path::new(name), at);
        }
        windows[0].hard = true;
        windows[0].store(at);
        let next = Settings::load(at);
        assert_eq!((next.recent, next.hard), (vec![PathBuf::from("b"), PathBuf::from("a")], true));
    }

    #[test]
    fn unwritable_and_unreadable_settings_are_no_trouble() {
        let nowhere = Path::new("/proc/none/desk.ron");
        Settings::default().store(Some(nowhere));
        assert_eq!(Settings::load(Some(nowhere)), Settings::default());
    }
}
