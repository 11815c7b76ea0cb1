//! Print: the sheets as a PDF, handed to whatever the system shows a PDF with.

use sheets::Page;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Writes the pages as a PDF among the system's passing files and opens it; what was done, or why not and what mends it.
pub(crate) fn print(pages: &[Page], name: &str) -> Result<String, String> {
    let bytes = sheets::pdf(pages, name, "Sheets for laying the floor").map_err(|error| error.to_string())?;
    let path = place(&bytes)
        .map_err(|error| format!("no place to print from: {error}; write the sheets instead"))?;
    keep::write_whole(&path, &bytes).map_err(|trouble| format!("{trouble}; or write the sheets instead"))?;
    open(&path).map_err(|error| {
        format!(
            "no viewer could be opened: {error}; open {} yourself and print it from there",
            path.display()
        )
    })?;
    Ok(format!("Opened in the system's viewer: {}. Print at full size.", path.display()))
}

/// A folder of this run's own, and in it a name by the pages' bytes: two prints are two files.
fn place(bytes: &[u8]) -> std::io::Result<PathBuf> {
    let folder = std::env::temp_dir().join(format!("startrow-{}", std::process::id()));
    match std::fs::create_dir(&folder) {
        Err(error) if error.kind() != std::io::ErrorKind::AlreadyExists => return Err(error),
        _ => {}
    }
    Ok(folder.join(format!("sheets-{}.pdf", sheets::mark(bytes))))
}

/// Opens a file with what the system opens its kind with, and does not wait for it.
fn open(path: &Path) -> std::io::Result<()> {
    let mut command = if cfg!(target_os = "windows") {
        let mut command = Command::new("explorer");
        command.arg(path);
        command
    } else if cfg!(target_os = "macos") {
        let mut command = Command::new("open");
        command.arg(path);
        command
    } else {
        let mut command = Command::new("xdg-open");
        command.arg(path);
        command
    };
    let mut child = command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn()?;
    // Somebody must hear that it ended, or it stays listed until the desk closes.
    std::thread::Builder::new().name("viewer".into()).spawn(move || {
        let _ = child.wait();
    })?;
    Ok(())
}
