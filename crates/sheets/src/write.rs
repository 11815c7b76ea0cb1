//! Every file that comes of a house: which there are, and their bytes.

use crate::book::workbook_of;
use crate::floor_sheet::{FittedPlan, fitted};
use crate::lay_sheet::summary;
use crate::paper::MARGIN;
use crate::pdf::pdf_of;
use crate::set::set_of;
use crate::svg::svg_of;
use crate::told::Told;
use crate::{PngSize, SetOptions, SheetError, floor_dxf, font, png};
use drawing::Options;
use pipeline::House;
use std::collections::BTreeSet;
use std::thread::Builder;

/// A kind of file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Output {
    /// All sheets as one PDF.
    Pdf,
    /// The floor as SVG.
    Svg,
    /// The floor as a picture.
    Png,
    /// The floor on layers in millimetres, for programs that draw on.
    Dxf,
    /// The lists as a workbook.
    Xlsx,
    /// The lists as CSV, a file each.
    Csv,
    /// The result as JSON.
    Json,
}

impl Output {
    /// Every kind.
    pub const ALL: [Self; 7] =
        [Self::Pdf, Self::Svg, Self::Png, Self::Dxf, Self::Xlsx, Self::Csv, Self::Json];

    /// Its usual ending, which also names it.
    pub fn key(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Svg => "svg",
            Self::Png => "png",
            Self::Dxf => "dxf",
            Self::Xlsx => "xlsx",
            Self::Csv => "csv",
            Self::Json => "json",
        }
    }

    /// What is in it, in a few words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Pdf => "all sheets",
            Self::Svg => "the floor, to scale",
            Self::Png => "the floor as a picture",
            Self::Dxf => "the floor on layers, in mm",
            Self::Xlsx => "the lists as a workbook",
            Self::Csv => "the lists as text",
            Self::Json => "the whole result, for programs",
        }
    }
}

/// What is written, and how.
#[derive(Debug, Clone, PartialEq)]
pub struct WriteOptions {
    /// Paper and marks of the sheets.
    pub set: SetOptions,
    /// Kinds of files.
    pub outputs: BTreeSet<Output>,
    /// Size of the picture.
    pub picture: PngSize,
}

impl Default for WriteOptions {
    /// Sheets, floor and lists as text: what is printed, looked at, and read by other programs.
    fn default() -> Self {
        Self {
            set: SetOptions::default(),
            outputs: [Output::Pdf, Output::Svg, Output::Png, Output::Csv].into(),
            picture: PngSize::Width(PICTURE_WIDTH),
        }
    }
}

/// Width of the picture of the floor where nothing else is asked for, pixels.
pub const PICTURE_WIDTH: u32 = 2400;

/// A file to be written.
#[derive(Debug, Clone, PartialEq)]
pub struct OutFile {
    /// Its name.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// The files of a house, in the order of [`Output::ALL`]. The same house and options give the same bytes.
///
/// # Errors
/// What the writer of a kind says; no file is given then.
pub fn write_set(house: &House, options: &WriteOptions) -> Result<Vec<OutFile>, SheetError> {
    font::check()?;
    let house = &Told::new(house);
    // The lists, while the sheets are drawn.
    std::thread::scope(|scope| {
        let thread = (house.floor.boards.len() <= MANY).then(|| {
            let thread = Builder::new().name("lists".into());
            thread.spawn_scoped(scope, || lists_of(house, options))
        });
        let sheets = sheets_of(house, options);
        let lists = match thread {
            Some(Ok(lists)) => lists.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            // Without a second thread it takes longer.
            _ => lists_of(house, options),
        };
        let mut files = sheets?;
        files.extend(lists?);
        Ok(files)
    })
}

/// The lists of a floor with more boards are written after its sheets, whose pages have gone by then: both at once would hold
/// more memory than that saves time.
const MANY: usize = 5000;

/// A file with its name.
fn file(name: &str, bytes: Vec<u8>) -> OutFile {
    OutFile { name: name.into(), bytes }
}

/// The sheets and the floor.
fn sheets_of(house: &Told<'_>, options: &WriteOptions) -> Result<Vec<OutFile>, SheetError> {
    let mut files = Vec::new();
    let mut add = |name: &str, bytes: Vec<u8>| files.push(file(name, bytes));
    let wants = |output| options.outputs.contains(&output);
    if wants(Output::Pdf) {
        let pages = set_of(house, &options.set);
        let only: Vec<&str> = options.set.only.iter().map(|sheet| sheet.key()).collect();
        if pages.is_empty() {
            return Err(SheetError::Nothing(only.join(", ")));
        }
        let sheets = match only.is_empty() {
            true => "Slab, set-out, floor, doorways, saw list, lay list, flags and packs".to_owned(),
            false => only.join(", "),
        };
        let subject = format!("{sheets}: {}", summary(house));
        add("sheets.pdf", pdf_of(pages, &house.plan.name, &subject)?);
    }
    if [Output::Svg, Output::Png, Output::Dxf].into_iter().any(wants) {
        // The floor alone stands at the scale at which it would fill the paper.
        let (short, long) = options.set.paper.size();
        let area = (long - 2.0 * MARGIN, short - 2.0 * MARGIN);
        let units = house.plan.units;
        let wants_picture = wants(Output::Svg) || wants(Output::Png);
        let FittedPlan { drawing, scale, .. } = fitted(house, area, Options::whole);
        let svg = if wants_picture { svg_of(house, &drawing, scale) } else { String::new() };
        if wants(Output::Png) {
            let picture = png(&svg, options.picture)?;
            if wants(Output::Svg) {
                add("floor.svg", svg.into_bytes());
            }
            add("floor.png", picture);
        } else if wants(Output::Svg) {
            add("floor.svg", svg.into_bytes());
        }
        if wants(Output::Dxf) {
            add("floor.dxf", floor_dxf(house, &Options::every_line(scale, units))?);
        }
    }
    Ok(files)
}

/// The lists and the result.
fn lists_of(house: &Told<'_>, options: &WriteOptions) -> Result<Vec<OutFile>, SheetError> {
    let mut files = Vec::new();
    let mut add = |name: &str, bytes: Vec<u8>| files.push(file(name, bytes));
    let wants = |output| options.outputs.contains(&output);
    if wants(Output::Xlsx) {
        add("lists.xlsx", workbook_of(house)?);
    }
    if wants(Output::Csv) {
        for table in house.tables() {
            let text = table.csv().map_err(|error| SheetError::Csv(error.to_string()))?;
            add(&format!("{}.csv", table.file), text.into_bytes());
        }
    }
    if wants(Output::Json) {
        let text = serde_json::to_string_pretty(&house.document());
        let text = text.map_err(|error| SheetError::Json(error.to_string()))?;
        add("result.json", (text + "\n").into_bytes());
    }
    Ok(files)
}
