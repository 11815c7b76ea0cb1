//! What may be asked on the command line.

use clap::{Parser, Subcommand, ValueEnum};
use std::path::{Path, PathBuf};

/// Plan a plank floor through a whole house: where the first chalk line goes, every board, the flags, the cut list.
#[derive(Debug, Parser)]
#[command(name = "startrow", version, args_conflicts_with_subcommands = true)]
pub(crate) struct Args {
    /// Plan to open on the desk; without one, the sample house.
    pub(crate) plan: Option<PathBuf>,
    /// Run one stage headless instead.
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
}

/// Exit status of every command: 0 done, 1 the floor has faults (check only), 2 bad input, 3 a fault of the program.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Find the start line: pulls to snap it, first rip, the rip to expect at every edge.
    Setout {
        /// Plan file.
        plan: PathBuf,
        /// Compare directions of the rows in a table: as planned, along the hallway and the longest sight line, with
        /// the light, along the walls.
        #[arg(long)]
        directions: bool,
        /// Lay each of the best few lines and compare what they leave and open.
        #[arg(long, conflicts_with_all = ["directions", "angle", "json"])]
        lines: bool,
        /// Compare this direction with them, in degrees anticlockwise from the plan's x axis; may be given more than once.
        #[arg(long, value_name = "DEG", allow_negative_numbers = true, value_parser = angle)]
        angle: Vec<f64>,
        /// Write the result as JSON to a file, or to standard output with `-`.
        #[arg(long, value_name = "FILE")]
        json: Option<PathBuf>,
    },
    /// Go through the slab's list: dryness, flatness, what is open before a pack is opened.
    Slab {
        /// Plan file.
        plan: PathBuf,
        /// Write the list as JSON to a file, or to standard output with `-`.
        #[arg(long, value_name = "FILE")]
        json: Option<PathBuf>,
    },
    /// Say what taped walls and diagonals make of each room: residuals, what misses, the length most likely wrong.
    Tape {
        /// Plan file.
        plan: PathBuf,
        /// This room only.
        #[arg(long, value_name = "NAME")]
        room: Option<String>,
        /// Wall that keeps its line as drawn, and its corner its place.
        #[arg(long, value_name = "WALL", default_value_t = 1)]
        hold: usize,
        /// Set the corners by the tape and write the plan to this file; `-` is standard output. While a length is doubted
        /// nothing is written.
        #[arg(long, value_name = "FILE")]
        save: Option<PathBuf>,
        /// Write the result as JSON to a file, or to standard output with `-`.
        #[arg(long, value_name = "FILE", conflicts_with = "save")]
        json: Option<PathBuf>,
    },
    /// Lay the house in its stages: day plan, boards and materials of each, where one takes over from another.
    Stages {
        /// Plan file.
        plan: PathBuf,
        /// Write the stages as JSON to a file, or to standard output with `-`.
        #[arg(long, value_name = "FILE")]
        json: Option<PathBuf>,
    },
    /// Lay the boards row by row.
    Lay {
        #[command(flatten)]
        plans: Plans,
        /// Write line, regions, boards, joints, flags and stock use of the one plan as JSON to a file, or to standard
        /// output with `-`.
        #[arg(long, value_name = "FILE", conflicts_with = "out")]
        json: Option<PathBuf>,
        /// Write each plan's JSON to this folder under the plan's name; made if missing.
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
    },
    /// Search for joints that open fewer boards and raise fewer flags.
    Search {
        /// Plan file.
        plan: PathBuf,
        /// Moves the search takes; it goes in rounds, and the last is finished.
        #[arg(long, value_name = "N", allow_negative_numbers = true, default_value_t = 100_000, value_parser = moves)]
        moves: u64,
        /// Stop after so many seconds with what is found; Ctrl-C does the same.
        #[arg(long, value_name = "S", allow_negative_numbers = true, value_parser = seconds)]
        seconds: Option<f64>,
        /// Write the plan with the moves made to this file, so that the floor found comes of it; `-` is standard output.
        #[arg(long, value_name = "FILE")]
        save: Option<PathBuf>,
    },
    /// Mark boards as laid, measure laid rows, and say what rip every edge to come will get.
    Laid {
        /// Plan file.
        plan: PathBuf,
        #[command(flatten)]
        marks: Marks,
        /// Write the plan to this file; `-` is standard output.
        #[arg(long, value_name = "FILE")]
        save: Option<PathBuf>,
        /// Write the result as JSON to a file, or to standard output with `-`.
        #[arg(long, value_name = "FILE", conflicts_with = "save")]
        json: Option<PathBuf>,
    },
    /// Flag slivers, short ends, close joints and wide floor; exit 1 if there are faults.
    Check {
        #[command(flatten)]
        plans: Plans,
    },
    /// Tell how the boards go in: jambs to undercut, locks to shave, the slip tongue, boards with no way in, and the
    /// order of laying.
    Fit {
        /// Plan file.
        plan: PathBuf,
        /// Write the whole result as JSON, the way of each board and the order in `fitting`, to a file, or to standard
        /// output with `-`.
        #[arg(long, value_name = "FILE")]
        json: Option<PathBuf>,
        /// List the end joints of every row as pulls, from the wall or what else the row begins at.
        #[arg(long, conflicts_with = "json")]
        joints: bool,
    },
    /// Say what the seasons do to the floor: air, moisture, change of each width against its gaps, movement joints.
    Movement {
        /// Plan file.
        plan: PathBuf,
        /// Propose joints for what is over its limits.
        #[arg(long)]
        propose: bool,
        /// Write the plan with the proposed joints in it to this file; `-` is standard output.
        #[arg(long, value_name = "FILE", requires = "propose")]
        save: Option<PathBuf>,
        /// Write the result as JSON to a file, or to standard output with `-`.
        #[arg(long, value_name = "FILE")]
        json: Option<PathBuf>,
    },
    /// Print every doorway's stop line, levels, step and leaf, the cover over every gap, and what goes under kicks.
    Doorways {
        /// Plan file.
        plan: PathBuf,
        /// Write the result as JSON to a file, or to standard output with `-`.
        #[arg(long, value_name = "FILE")]
        json: Option<PathBuf>,
    },
    /// Print the saw list, the pack count and the materials.
    Order {
        #[command(flatten)]
        plans: Plans,
        /// Write the saw list of the one plan as CSV to a file, or to standard output with `-`.
        #[arg(long, value_name = "FILE", conflicts_with = "out")]
        csv: Option<PathBuf>,
        /// Write the materials of the one plan as CSV to a file, or to standard output with `-`.
        #[arg(long, value_name = "FILE", conflicts_with_all = ["csv", "out"])]
        materials: Option<PathBuf>,
        /// Write each plan's saw list, and its materials if it names any, as CSV to this folder under the plan's name;
        /// made if missing.
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Print a saw list for each stage; without it one serves all of them. The CSV is one list, with a column for the stage.
        #[arg(long, conflicts_with_all = ["csv", "out", "materials"])]
        by_stage: bool,
    },
    /// Write the sheets, the floor and the lists as files.
    Sheets {
        #[command(flatten)]
        plans: Plans,
        /// Folder to write to, of several plans each into a folder of its own in it; made if missing.
        #[arg(long, value_name = "DIR")]
        out: PathBuf,
        /// Paper.
        #[arg(long, value_enum, default_value_t = Paper::A4)]
        paper: Paper,
        /// Date to print on the sheets, in your own words; none is printed without it.
        #[arg(long)]
        date: Option<String>,
        /// Scale at which the floor is drawn over as many pages as it takes, with marks to join them: 20 for 1:20. Without
        /// it that is done only where one page shows the labels too small.
        #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = scale)]
        floor_scale: Option<f64>,
        /// A saw list for each stage, on pages of its own; without it one serves all of them.
        #[arg(long)]
        by_stage: bool,
        /// What to write, separated by commas.
        #[arg(long, value_name = "KINDS", value_enum, value_delimiter = ',', default_values = ["pdf", "svg", "png", "csv"])]
        write: Vec<Output>,
        /// Sheets that the PDF holds, separated by commas; all without it.
        #[arg(long, value_name = "SHEETS", value_delimiter = ',', value_parser = sheet)]
        only: Vec<sheets::Sheet>,
        /// Width of the picture, pixels; 2400 without it.
        #[arg(long, value_name = "PIXELS", allow_negative_numbers = true, conflicts_with = "png_dpi", value_parser = pixels)]
        png_width: Option<u32>,
        /// Fineness of the picture at its scale on the paper, dots per inch.
        #[arg(long, value_name = "DPI", allow_negative_numbers = true, value_parser = dpi)]
        png_dpi: Option<f64>,
    },
    /// Make a plan from room outlines that another program drew: DXF, SVG, or GeoJSON on a plane.
    Import(Import),
    /// Print a script that completes commands and options in a shell.
    Completions {
        /// The shell.
        shell: clap_complete::Shell,
    },
    /// Write the manual pages, one of the program and one of each command.
    Man {
        /// Folder to write to; made if missing.
        #[arg(long, value_name = "DIR")]
        out: PathBuf,
    },
}

/// What is asked of a drawing with outlines.
#[derive(Debug, clap::Args)]
pub(crate) struct Import {
    /// Drawing with closed outlines at the finished wall face; its ending says how it is written.
    pub(crate) file: PathBuf,
    /// Layer (in an SVG, group; in GeoJSON, the property `layer`) of the outlines; may be given more than once.
    /// Without it the only one that has any.
    #[arg(long, value_name = "NAME")]
    pub(crate) layer: Vec<String>,
    /// Layer whose writing names the rooms in which it stands; without it the outlines' own.
    #[arg(long, value_name = "NAME")]
    pub(crate) names: Vec<String>,
    /// What the number 1 stands for; without it, what the file says.
    #[arg(long, value_enum)]
    pub(crate) unit: Option<Unit>,
    /// Of an SVG on paper: its scale, 50 for 1:50.
    #[arg(long, value_name = "N", allow_negative_numbers = true, conflicts_with = "unit", value_parser = scale)]
    pub(crate) scale: Option<f64>,
    /// How far straight pieces may lie off a curve, mm.
    #[arg(long, value_name = "MM", allow_negative_numbers = true, default_value_t = import::FLATTEN, value_parser = millimetres)]
    pub(crate) flatten: f64,
    /// List the layers instead, with what lies on each.
    #[arg(long, conflicts_with_all = ["out", "into"])]
    pub(crate) list: bool,
    /// Plan to which the rooms are added; without it, a new one with the usual stock and rules.
    #[arg(long, value_name = "PLAN")]
    pub(crate) into: Option<PathBuf>,
    /// Write the plan to this file; `-` is standard output.
    #[arg(long, value_name = "FILE", required_unless_present = "list")]
    pub(crate) out: Option<PathBuf>,
}

/// A kind of file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Output {
    /// All sheets.
    Pdf,
    /// The floor, to scale.
    Svg,
    /// The floor as a picture.
    Png,
    /// The floor on layers, in mm.
    Dxf,
    /// The lists as a workbook.
    Xlsx,
    /// The lists as text, a file each.
    Csv,
    /// The whole result, for programs.
    Json,
}

/// What the number 1 stands for in a drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Unit {
    /// Millimetres.
    Mm,
    /// Centimetres.
    Cm,
    /// Metres.
    M,
    /// Inches.
    In,
    /// Feet.
    Ft,
}

/// What is marked as laid, and what is measured.
#[derive(Debug, clap::Args)]
pub(crate) struct Marks {
    /// Mark rows as laid: `20` the first 20 above the start line, `-5` the first 5 below it, `7..26` rows by their numbers
    /// on paper; may be given more than once.
    #[arg(long, value_name = "ROWS", allow_hyphen_values = true)]
    pub(crate) rows: Vec<String>,
    /// Mark everything up to a board as laid, from the start line on; may be given more than once.
    #[arg(long, value_name = "LABEL")]
    pub(crate) up_to: Vec<String>,
    /// Mark one board as laid; may be given more than once.
    #[arg(long, value_name = "LABEL")]
    pub(crate) board: Vec<String>,
    /// Take the mark off a board, or off rows such as `7..26`; may be given more than once.
    #[arg(long, value_name = "WHAT", allow_hyphen_values = true)]
    pub(crate) unmark: Vec<String>,
    /// Rows measured together, side to side: `20=2806`, `-5=701` or `7..26=2806`, in the plan's units; 0 takes the pull
    /// out. May be given more than once.
    #[arg(long, value_name = "ROWS=WIDTH", allow_hyphen_values = true)]
    pub(crate) pull: Vec<String>,
    /// Rows and pulls of the floor in this room only.
    #[arg(long, value_name = "NAME")]
    pub(crate) room: Option<String>,
    /// Take the rows to come as wide as the stock's boards, not as the measured rows.
    #[arg(long, conflicts_with = "as_measured")]
    pub(crate) as_planned: bool,
    /// Take them as wide as the measured rows again.
    #[arg(long)]
    pub(crate) as_measured: bool,
}

/// The plans of one call.
#[derive(Debug, clap::Args)]
pub(crate) struct Plans {
    /// Plan files; several are computed side by side.
    #[arg(required = true, value_name = "PLAN")]
    pub(crate) plans: Vec<PathBuf>,
    /// Threads to compute on; as many as the machine has without it. The result is the same with any number.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = threads)]
    pub(crate) threads: Option<u16>,
}

impl Plans {
    /// The plan, where there is only one.
    pub(crate) fn only(&self) -> Option<&Path> {
        match self.plans.as_slice() {
            [one] => Some(one),
            _ => None,
        }
    }
}

/// Paper of the sheets.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum Paper {
    /// 210 × 297 mm.
    A4,
    /// 297 × 420 mm.
    A3,
    /// 8.5 × 11 in.
    Letter,
    /// 11 × 17 in.
    Tabloid,
}

/// A number in a range.
fn within(text: &str, range: std::ops::RangeInclusive<f64>, what: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(number) if range.contains(&number) => Ok(number),
        _ => Err(format!("give {what} from {} to {}", range.start(), range.end())),
    }
}

fn dpi(text: &str) -> Result<f64, String> {
    within(text, 10.0..=2400.0, "dots per inch")
}

/// A whole number in a range.
fn whole(text: &str, range: std::ops::RangeInclusive<u64>, what: &str) -> Result<u64, String> {
    match text.trim().parse::<u64>() {
        Ok(number) if range.contains(&number) => Ok(number),
        _ => Err(format!("give {what} from {} to {}, in digits", range.start(), range.end())),
    }
}

fn moves(text: &str) -> Result<u64, String> {
    whole(text, 1..=10_000_000_000, "a number of moves")
}

fn pixels(text: &str) -> Result<u32, String> {
    let pixels = whole(text, 1..=12_000, "pixels")?;
    u32::try_from(pixels).map_err(|error| error.to_string())
}

fn threads(text: &str) -> Result<u16, String> {
    let threads = whole(text, 1..=u64::from(u16::MAX), "threads")?;
    u16::try_from(threads).map_err(|error| error.to_string())
}

/// A sheet by its key.
fn sheet(text: &str) -> Result<sheets::Sheet, String> {
    let known = sheets::Sheet::ALL.into_iter().find(|sheet| sheet.key() == text.trim());
    known.ok_or_else(|| {
        let keys: Vec<&str> = sheets::Sheet::ALL.into_iter().map(sheets::Sheet::key).collect();
        format!("name sheets out of {}", keys.join(", "))
    })
}

fn scale(text: &str) -> Result<f64, String> {
    within(text.trim().trim_start_matches("1:"), 0.001..=100_000.0, "a scale such as 50 for 1:50,")
}

fn millimetres(text: &str) -> Result<f64, String> {
    within(text, 0.05..=50.0, "millimetres")
}

/// A time in seconds.
fn seconds(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(seconds) if (0.0..=1e6).contains(&seconds) => Ok(seconds),
        _ => Err("give seconds from 0 to a million, such as 20".into()),
    }
}

/// A direction in degrees.
fn angle(text: &str) -> Result<f64, String> {
    match text.trim().trim_end_matches('°').parse::<f64>() {
        Ok(angle) if angle.abs() <= 360.0 => Ok(angle),
        _ => Err("give degrees between -360 and 360, such as 30 or -12.5".into()),
    }
}
