//! What is taken of another program's drawing: its layers, its unit, and what stood in the way.

use crate::field;
use crate::files::Unreadable;
use crate::job::with;
use crate::palette::{Palette, strong_font};
use crate::prompt::title;
use egui::{Grid, RichText, ScrollArea, Ui};
use import::{Ask, Contents, Fault, FileKind, ImportError, Outlines, Unit};
use plan::FileError;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A drawing that was looked into, and what is chosen of it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bringing {
    path: PathBuf,
    kind: FileKind,
    bytes: Arc<Vec<u8>>,
    contents: Contents,
    /// For each layer, whether its outlines become rooms, and whether its writing names them.
    chosen: Vec<(bool, bool)>,
    unit: Option<Unit>,
    /// Of an SVG on paper: its scale.
    scale: Option<f64>,
    /// Why it could not be taken as it was last asked for.
    pub(crate) trouble: Vec<Fault>,
}

fn unreadable(path: &Path, faults: Vec<Fault>) -> Unreadable {
    let reason = |fault: Fault| FileError { line: 0, place: fault.place, what: fault.what, mend: fault.mend };
    Unreadable { path: path.to_owned(), reasons: faults.into_iter().map(reason).collect() }
}

impl Bringing {
    /// Looks into a file.
    pub(crate) fn of(path: &Path) -> Result<Self, Unreadable> {
        let refused = |what: String, mend: &str| {
            let reason = FileError { line: 0, place: "the file".into(), what, mend: mend.into() };
            Unreadable { path: path.to_owned(), reasons: vec![reason] }
        };
        let kind = FileKind::of_name(&path.to_string_lossy()).ok_or_else(|| {
            refused("its ending says nothing".into(), "call it .dxf, .svg or .geojson, as it is written")
        })?;
        let bytes = read(path).map_err(|error| {
            refused(
                format!("cannot be read: {error}"),
                "check that the path is right and that you may read it",
            )
        })?;
        let contents = import::contents(&bytes, kind).map_err(|error| unreadable(path, error.faults))?;
        let with_outlines = contents.layers.iter().filter(|layer| layer.closed > 0).count();
        // The only layer with outlines is the one that is meant.
        let chosen =
            contents.layers.iter().map(|layer| (layer.closed > 0 && with_outlines == 1, false)).collect();
        let unit = contents.unit;
        Ok(Self {
            path: path.to_owned(),
            kind,
            bytes: Arc::new(bytes),
            contents,
            chosen,
            unit,
            scale: None,
            trouble: Vec::new(),
        })
    }

    /// The outlines as they are chosen.
    pub(crate) fn outlines(&self) -> Result<Outlines, ImportError> {
        let named = |pick: fn(&(bool, bool)) -> bool| {
            let layers = self.contents.layers.iter().zip(&self.chosen);
            layers.filter(|(_, chosen)| pick(chosen)).map(|(layer, _)| layer.name.clone()).collect()
        };
        let ask = Ask {
            layers: named(|chosen| chosen.0),
            names: named(|chosen| chosen.1),
            unit: self.unit,
            scale: self.scale,
            ..Ask::new(self.kind)
        };
        import::outlines(&self.bytes, &ask)
    }

    /// Shows what can be chosen: `Some(true)` when it is to be brought in, `Some(false)` when left.
    pub(crate) fn show(&mut self, ui: &mut Ui) -> Option<bool> {
        let palette = Palette::current(ui.ctx());
        let name = self.path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        title(ui, &format!("Bring in outlines from {name}"));
        ui.label(RichText::new(self.path.display().to_string()).size(12.0).weak());
        ui.label(
            "Closed outlines at the finished wall face become rooms; what lies within one becomes a column.",
        );
        ui.add_space(6.0);
        self.layers(ui);
        ui.add_space(6.0);
        self.sizes(ui);
        if !self.trouble.is_empty() {
            ui.add_space(6.0);
            ScrollArea::vertical().id_salt("troubles").max_height(160.0).show(ui, |ui| {
                for fault in &self.trouble {
                    ui.label(RichText::new(&fault.place).font(strong_font(13.0)));
                    ui.colored_label(palette.fault, &fault.what);
                    ui.label(RichText::new(&fault.mend).weak());
                }
            });
        }
        ui.add_space(8.0);
        ui.horizontal_wrapped(|ui| {
            let is_sized = self.unit.is_some() || self.scale.is_some();
            let is_chosen = self.chosen.iter().any(|chosen| chosen.0);
            if ui.add_enabled(is_sized && is_chosen, egui::Button::new("Bring in")).clicked() {
                return Some(true);
            }
            if ui.button("Stay").clicked() {
                return Some(false);
            }
            let missing = match (is_chosen, is_sized) {
                (false, _) if self.chosen.is_empty() => "nothing in it is an outline",
                (false, _) => "choose a layer of rooms",
                (_, false) => "choose the unit",
                _ => "",
            };
            ui.label(RichText::new(missing).weak());
            None
        })
        .inner
    }

    fn layers(&mut self, ui: &mut Ui) {
        ScrollArea::vertical().id_salt("layers").max_height(220.0).show(ui, |ui| {
            Grid::new("layers").num_columns(4).spacing([14.0, 4.0]).striped(true).show(ui, |ui| {
                for head in ["rooms", "names", "layer", "on it"] {
                    ui.label(RichText::new(head).font(strong_font(12.5)));
                }
                ui.end_row();
                for (layer, chosen) in self.contents.layers.iter().zip(&mut self.chosen) {
                    let shown = if layer.name.is_empty() { "(none)" } else { layer.name.as_str() };
                    let can_be_rooms = layer.closed > 0;
                    let rooms = ui.add_enabled(can_be_rooms, egui::Checkbox::without_text(&mut chosen.0));
                    let _ = rooms.accessible_name(format!("rooms of {shown}"));
                    let names = egui::Checkbox::without_text(&mut chosen.1);
                    let names = ui.add_enabled(layer.writing > 0, names);
                    let _ = names.accessible_name(format!("names of {shown}"));
                    ui.label(short(shown)).on_hover_text(shown);
                    let counts = [(layer.closed, "closed"), (layer.open, "open"), (layer.writing, "written")];
                    let held = counts.iter().filter(|(count, _)| *count > 0);
                    let held: Vec<String> = held.map(|(count, word)| format!("{count} {word}")).collect();
                    ui.label(RichText::new(held.join(", ")).weak());
                    ui.end_row();
                }
            });
        });
    }

    fn sizes(&mut self, ui: &mut Ui) {
        with(ui, "One unit of the drawing is", |ui| {
            let current = self.unit.map_or("choose…", Unit::key);
            let words = Unit::ALL.map(Unit::key);
            if let Some(index) = crate::job::choose(ui, "unit of the drawing", current, &words) {
                (self.unit, self.scale) = (Some(Unit::ALL[index]), None);
            }
            if self.contents.unit.is_some() && self.unit == self.contents.unit {
                ui.label(RichText::new("as the file says").weak());
            }
        });
        if self.kind == FileKind::Svg {
            with(ui, "or on its paper it stands at 1 :", |ui| {
                if let Some(scale) = field::optional_number(ui, "scale of the drawing", self.scale) {
                    self.scale = scale.filter(|scale| *scale > 0.0);
                    if self.scale.is_some() {
                        self.unit = None;
                    }
                }
            });
        }
    }
}

/// A layer's name as far as its column goes.
fn short(name: &str) -> String {
    if name.chars().count() <= 28 { name.to_owned() } else { name.chars().take(27).chain(['…']).collect() }
}

/// The bytes of a file; of one too long, no more than show that.
fn read(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    std::fs::File::open(path)?.take(import::GREATEST_FILE as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}
