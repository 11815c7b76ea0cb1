//! Print: set-out sheet, saw list and floor, written into a folder.

use super::Facts;
use super::parts::{act, choose, note, with};
use crate::action::{Action, Actions};
use crate::field;
use crate::palette::Palette;
use egui::Ui;
use sheets::Paper;
use std::path::PathBuf;

/// Where sheets go.
#[derive(Default)]
pub(crate) struct Print {
    /// The folder; none until one is chosen, then the plan file's own serves.
    pub(crate) folder: Option<PathBuf>,
    pub(crate) paper: Paper,
    /// Whether the folder dialog is asked for.
    pub(crate) choose: bool,
}

pub(super) fn state(facts: &Facts<'_>) -> String {
    match facts.sheets {
        Some(Ok(_)) => "written".into(),
        Some(Err(_)) => "not written".into(),
        None if facts.house.is_none() => "waits for boards".into(),
        None => "set-out, saw list, floor".into(),
    }
}

impl Print {
    pub(super) fn show(&mut self, ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
        note(ui, "Set-out sheet and saw list as PDF, the floor as SVG and PNG.");
        let shown = self.folder.as_ref().map(|folder| folder.display().to_string()).unwrap_or_default();
        with(ui, "Folder", |ui| {
            if act(ui, "choose…").clicked() {
                self.choose = true;
            }
            let width = (ui.available_width() - 8.0).clamp(60.0, 220.0);
            if let Some(folder) = field::words(ui, "folder for the sheets", &shown, width) {
                self.folder = Some(PathBuf::from(folder));
            }
        });
        with(ui, "Paper", |ui| {
            const PAPERS: [(Paper, &str); 4] = [
                (Paper::A4, "A4"),
                (Paper::A3, "A3"),
                (Paper::Letter, "Letter"),
                (Paper::Tabloid, "Tabloid"),
            ];
            let words = PAPERS.map(|(_, word)| word);
            let current =
                PAPERS.iter().find(|(paper, _)| *paper == self.paper).map_or("A4", |(_, word)| *word);
            if let Some(chosen) = choose(ui, "paper", current, &words) {
                self.paper = PAPERS[chosen].0;
            }
        });
        let ready = facts.house.is_some() && facts.is_current && self.folder.is_some();
        let button = ui.add_enabled(ready, egui::Button::new("Write the sheets"));
        if button.clicked()
            && let Some(folder) = &self.folder
        {
            actions.push(Action::WriteSheets(folder.clone()));
        }
        if self.folder.is_none() {
            note(ui, "Choose a folder first.");
        }
        let palette = Palette::current(ui.ctx());
        match facts.sheets {
            Some(Ok(said)) => note(ui, said),
            Some(Err(trouble)) => {
                ui.colored_label(palette.fault, trouble);
            }
            None => {}
        }
    }
}
