//! Print: the sheets, the floor and the lists, written into a folder as the kinds of file that are chosen.

use super::Facts;
use super::parts::{act, choose, note, with, with_several};
use crate::action::{Action, Actions};
use crate::command::Command;
use crate::field;
use crate::palette::Palette;
use egui::Ui;
use sheets::{Output, PNG_SIDE_LIMIT, Paper, PngSize, WriteOptions};
use std::path::PathBuf;

/// Where sheets go, and what is written.
#[derive(Default)]
pub(crate) struct Print {
    /// The folder; none until one is chosen, then the plan file's own serves.
    pub(crate) folder: Option<PathBuf>,
    pub(crate) options: WriteOptions,
    /// Whether the folder dialog is asked for.
    pub(crate) choose: bool,
}

pub(super) fn state(facts: &Facts<'_>) -> String {
    match facts.sheets {
        _ if facts.writing.is_some() => "being drawn".into(),
        Some(Ok(_)) => "written".into(),
        Some(Err(_)) => "not written".into(),
        None if facts.house.is_none() => "waits for boards".into(),
        None => "set-out, saw list, floor".into(),
    }
}

/// An inch, mm.
const INCH: f64 = 25.4;

/// How large the picture is to be: so many pixels across, or so fine at its scale on the paper.
fn picture_size(ui: &mut Ui, size: &mut PngSize) {
    const WORDS: [&str; 2] = ["pixels across", "dots per inch"];
    let is_fine = matches!(size, PngSize::PerMillimetre(_));
    match *size {
        PngSize::Width(width) => {
            if let Some(typed) = field::whole(ui, "pixels across", width.into()) {
                let width = u32::try_from(typed).unwrap_or(PNG_SIDE_LIMIT).clamp(1, PNG_SIDE_LIMIT);
                *size = PngSize::Width(width);
            }
        }
        PngSize::PerMillimetre(fine) => {
            let dots = (fine * INCH).round().clamp(10.0, 2400.0) as u64;
            if let Some(typed) = field::whole(ui, "dots per inch", dots) {
                let dots = u32::try_from(typed).unwrap_or(2400).clamp(10, 2400);
                *size = PngSize::PerMillimetre(f64::from(dots) / INCH);
            }
        }
    }
    if let Some(chosen) = choose(ui, "size of the picture", WORDS[usize::from(is_fine)], &WORDS) {
        *size = match chosen {
            0 => PngSize::Width(sheets::PICTURE_WIDTH),
            // As fine as print usually is (common practice, no source).
            _ => PngSize::PerMillimetre(300.0 / INCH),
        };
    }
}

impl Print {
    pub(super) fn show(&mut self, ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
        for output in Output::ALL {
            let mut is_wanted = self.options.outputs.contains(&output);
            let words = format!("{}: {}", output.key().to_uppercase(), output.words());
            if ui.checkbox(&mut is_wanted, words).changed() {
                if is_wanted {
                    self.options.outputs.insert(output);
                } else {
                    self.options.outputs.remove(&output);
                }
            }
        }
        if self.options.outputs.contains(&Output::Png) {
            with_several(ui, "Picture", |ui| picture_size(ui, &mut self.options.picture));
        }
        let shown = self.folder.as_ref().map(|folder| folder.display().to_string()).unwrap_or_default();
        with_several(ui, "Folder", |ui| {
            if let Some(folder) = field::words(ui, "folder for the sheets", &shown, 170.0) {
                self.folder = Some(PathBuf::from(folder));
            }
            if act(ui, "choose…").clicked() {
                self.choose = true;
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
            let current = PAPERS
                .iter()
                .find(|(paper, _)| *paper == self.options.set.paper)
                .map_or("A4", |(_, word)| *word);
            if let Some(chosen) = choose(ui, "paper", current, &words) {
                self.options.set.paper = PAPERS[chosen].0;
            }
        });
        with(ui, "Floor in parts", |ui| {
            const SCALES: [(Option<f64>, &str); 6] = [
                (None, "where labels need it"),
                (Some(10.0), "1:10"),
                (Some(20.0), "1:20"),
                (Some(25.0), "1:25"),
                (Some(50.0), "1:50"),
                (Some(75.0), "1:75"),
            ];
            let words = SCALES.map(|(_, word)| word);
            let current = SCALES
                .iter()
                .find(|(scale, _)| *scale == self.options.set.floor_scale)
                .map_or(words[0], |(_, word)| *word);
            if let Some(chosen) = choose(ui, "scale of the floor in parts", current, &words) {
                self.options.set.floor_scale = SCALES[chosen].0;
            }
        });
        if facts.plan.stages.len() > 1 {
            let words = "a saw list for each stage";
            let about = "On pages of its own, to be sawn on its day; without it one list serves all stages.";
            ui.checkbox(&mut self.options.set.saw_by_stage, words).on_hover_text(about);
        }
        let has_floor = facts.house.is_some() && facts.is_current;
        let look = ui.add_enabled(has_floor, egui::Button::new("Look at the sheets, and print"));
        if look.on_hover_text(Command::LookAtSheets.about()).clicked() {
            actions.run(Command::LookAtSheets);
        }
        let is_any = !self.options.outputs.is_empty();
        let ready = facts.house.is_some() && facts.is_current && self.folder.is_some() && is_any;
        let button = ui.add_enabled(ready, egui::Button::new("Write the sheets"));
        if button.clicked()
            && let Some(folder) = &self.folder
        {
            actions.push(Action::WriteSheets(folder.clone()));
        }
        if self.folder.is_none() {
            note(ui, "Choose a folder first.");
        } else if !is_any {
            note(ui, "Choose something to write.");
        }
        if let Some((done, of)) = facts.writing {
            ui.horizontal_wrapped(|ui| {
                note(ui, format!("drawing: {done} of {of} kinds of file"));
                if act(ui, "stop").clicked() {
                    actions.push(Action::StopWriting);
                }
            });
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
