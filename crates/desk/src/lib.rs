//! The drawing table: canvas, set-out strip and the job in order.
//!
//! The desk shows and changes a [`plan::Plan`]; every figure it shows comes from the stages. Panels
//! never change the plan: they send actions, and one place ([`Desk::show`]) applies them and
//! records a step to undo.
// Screen geometry is no part of the floor: it never reaches the plan's computed floor, so it need
// not be bit-equal between platforms.
#![allow(clippy::disallowed_methods)]

mod action;
mod app;
mod beside;
mod bringing;
mod canvas;
mod card;
mod command;
mod compute;
mod covering;
mod dialogs;
mod document;
mod field;
mod files;
mod finder;
mod first_steps;
mod geometry;
mod header;
mod importing;
mod job;
mod keeping;
mod laying;
mod mending;
mod names;
mod on_demand;
mod owner;
mod palette;
mod picture;
mod preview;
mod prompt;
mod reckon;
mod search;
mod select;
mod settings;
mod spent;
mod strip;
mod tape;
mod tidy;
mod tool;
mod viewer;
mod writing;

pub use app::{Desk, Setup};
pub use command::Command;
pub use keeping::journal_now;
pub use select::Selected;
pub use settings::state_folder;
pub use spent::{Clock, Spent};

use std::path::PathBuf;

/// Why the desk could not start.
#[derive(Debug)]
pub struct Error(eframe::Error);

impl std::fmt::Display for Error {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            out,
            "the window could not be opened: {}; a display with OpenGL 2.1 or better is needed",
            without_source_place(&self.0.to_string())
        )
    }
}

/// A message without the source file and line that the window library puts into it: they say nothing to a user.
fn without_source_place(message: &str) -> String {
    match (message.find(" at /"), message.rfind(".rs:")) {
        (Some(start), Some(end)) if start < end => {
            let rest = message[end + 4..].trim_start_matches(|c: char| c.is_ascii_digit() || c == ':');
            format!("{}:{rest}", &message[..start])
        }
        _ => message.to_owned(),
    }
}

impl std::error::Error for Error {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&self.0)
    }
}

/// Opens the window with the plan at `path`, or with the sample house, and stays until it is closed.
/// A file that cannot be read is reported in the window, over the sample house.
///
/// # Errors
/// When the system gives no window.
pub fn open(path: Option<PathBuf>) -> Result<(), Error> {
    let settings_path = settings::default_path();
    let left = settings::Settings::load(settings_path.as_deref()).window;
    let size = left.map_or([1600.0, 1000.0], |(width, height)| [f32::from(width), f32::from(height)]);
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Startrow")
            .with_app_id("startrow")
            .with_inner_size(size)
            .with_min_inner_size([760.0, 520.0]),
        multisampling: 4,
        ..Default::default()
    };
    let make: eframe::AppCreator<'static> = Box::new(move |context| {
        let setup = Setup {
            path,
            settings_path: settings_path.clone(),
            journal_folder: state_folder().map(|folder| folder.join("journal")),
            ..Setup::default()
        };
        Ok(Box::new(Desk::new(&context.egui_ctx, setup)))
    });
    eframe::run_native("startrow", options, make).map_err(Error)
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_user_reads_no_source_places() {
        let said = "os error at /build/linux/mod.rs:788: no connection to the display";
        assert_eq!(super::without_source_place(said), "os error: no connection to the display");
        assert_eq!(super::without_source_place("no display"), "no display");
    }
}
