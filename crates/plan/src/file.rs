//! The plan file: versioned RON, written so that a change of one thing changes few lines.

use crate::check;
use crate::locate::Outline;
use crate::{
    Backdrop, Border, Dimension, Doorway, Fixture, Laid, Materials, MovementJoint, OwnLine, Pattern, Pinned,
    Plan, Room, Rules, Seasons, Slab, Stage, StartLine, Stock, Units, Waits,
};
use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::{Deserialize, Serialize};

/// Version of the format this program writes.
pub const FORMAT: u32 = 1;

/// A file with more bytes is no plan: the largest plan within the limits stays well under it.
pub const GREATEST_FILE: usize = 16 * 1024 * 1024;

/// Why a plan file cannot be opened.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("line {line}: {}{what}; {mend}", if place.is_empty() { String::new() } else { format!("{place}: ") })]
pub struct FileError {
    /// Line of the file, from 1.
    pub line: usize,
    /// Where in the plan, in words, where that is known.
    pub place: String,
    /// What is wrong.
    pub what: String,
    /// What would mend it.
    pub mend: String,
}

/// The plan as it stands in the file.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename = "Plan")]
struct Filed {
    format: u32,
    name: String,
    units: Units,
    rows_at: f64,
    start_line: StartLine,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    own_lines: Vec<OwnLine>,
    #[serde(default, skip_serializing_if = "Pattern::is_irregular")]
    pattern: Pattern,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    border: Option<Border>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    light_from: Option<f64>,
    seed: u64,
    #[serde(default, skip_serializing_if = "is_zero")]
    effort: u64,
    stock: Stock,
    rules: Rules,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    slab: Option<Slab>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    materials: Option<Materials>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    stages: Vec<Stage>,
    #[serde(default, skip_serializing_if = "Waits::are_unknown")]
    waits: Waits,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    air: Option<Seasons>,
    rooms: Vec<Room>,
    doorways: Vec<Doorway>,
    fixtures: Vec<Fixture>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    joints: Vec<MovementJoint>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    laid: Option<Laid>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    dimensions: Vec<Dimension>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pinned: Vec<Pinned>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    backdrop: Option<Backdrop>,
}

/// Reads a plan from the text of a plan file and validates it. A plan without a boarded room yet is read:
/// it is unfinished, not wrong.
///
/// # Errors
/// Every reason why the text is no plan, each with its line, place and mend; only the first one where the
/// text cannot be read on.
pub fn read(text: &str) -> Result<Plan, Vec<FileError>> {
    let plan = read_unchecked(text)?;
    let problems = check::faults(&plan);
    if problems.is_empty() {
        return Ok(plan);
    }
    let outline = Outline::new(text);
    Err(problems
        .into_iter()
        .map(|problem| FileError {
            line: outline.line_of(&problem.place),
            place: problem.place_name,
            what: problem.what,
            mend: problem.mend,
        })
        .collect())
}

/// Reads a plan from the text of a plan file without validating it: for a drawing saved while some of it
/// was still wrong. Nothing may be computed from it before [`Plan::problems`] is empty.
///
/// # Errors
/// The reason why the text cannot be read.
pub fn read_unchecked(text: &str) -> Result<Plan, Vec<FileError>> {
    if text.len() > GREATEST_FILE {
        return Err(vec![FileError {
            line: 1,
            place: String::new(),
            what: format!("the file has more than {GREATEST_FILE} bytes"),
            mend: "this is no plan of a house; open the plan file itself".into(),
        }]);
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let outline = Outline::new(text);
    check_format(&outline).map_err(|error| vec![error])?;
    let filed: Filed = options().from_str(text).map_err(|error| vec![in_words(&outline, error)])?;
    Ok(filed.into())
}

fn is_zero(count: &u64) -> bool {
    *count == 0
}

/// Takes every field over by name, either way, so that a field added to one is missed in the other by the compiler.
macro_rules! same_fields {
    ($($field:ident),*) => {
        impl From<Filed> for Plan {
            fn from(filed: Filed) -> Self {
                let Filed { format: _, $($field),* } = filed;
                Self { $($field),* }
            }
        }

        impl From<Plan> for Filed {
            fn from(plan: Plan) -> Self {
                let Plan { $($field),* } = plan;
                Self { format: FORMAT, $($field),* }
            }
        }
    };
}

same_fields!(
    name, units, rows_at, start_line, own_lines, pattern, border, light_from, seed, effort, stock, rules,
    slab, materials, stages, waits, air, rooms, doorways, fixtures, joints, laid, dimensions, pinned,
    backdrop
);

/// The text of the plan file for this plan. Reading and writing it again gives the same bytes.
pub fn write(plan: &Plan) -> String {
    let filed = Filed::from(plan.clone());
    // Four levels: the plan, a list, a room, its walls; a wall stands on one line.
    let layout = PrettyConfig::new().depth_limit(4).new_line("\n");
    let text = options().to_string_pretty(&filed, layout);
    // The writer fails on a bad layout or too deep a value, and neither depends on the plan. An empty
    // text in place of the plan would be worse than stopping.
    let mut text = join_small_values(&text.expect("a plan is always written"));
    text.push('\n');
    text
}

/// `Some` is understood, so that a value which may be left out is written like any other.
fn options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// Puts a value of plain fields, such as a leaf or a gap, on one line; doorways and fixtures keep a line a field.
fn join_small_values(text: &str) -> String {
    const LEVEL: usize = 4;
    let lines: Vec<&str> = text.lines().collect();
    let mut joined = String::with_capacity(text.len());
    let mut at = 0;
    while at < lines.len() {
        let line = lines[at];
        let indent = line.len() - line.trim_start().len();
        let has_key = line.trim_start().len() > 1;
        let is_small = line.ends_with('(') && indent >= if has_key { 2 * LEVEL } else { 3 * LEVEL };
        let fields = lines[at + 1..].iter().take_while(|next| !next.trim_start().starts_with(')'));
        let fields: Vec<&str> =
            if is_small { fields.map(|field| field.trim()).collect() } else { Vec::new() };
        let is_plain = !fields.is_empty() && !fields.iter().any(|field| field.ends_with(['(', '[']));
        if at > 0 {
            joined.push('\n');
        }
        joined.push_str(line);
        if is_plain {
            joined.push_str(fields.join(" ").trim_end_matches(','));
            at += fields.len() + 1;
            joined.push_str(lines.get(at).map_or("", |close| close.trim_start()));
        }
        at += 1;
    }
    joined
}

fn check_format(outline: &Outline<'_>) -> Result<(), FileError> {
    let error = |line, what: String, mend: String| Err(FileError { line, place: String::new(), what, mend });
    if !outline.has_plan() {
        return error(
            1,
            "this is no plan file: there is no value in round brackets".into(),
            "open a .ron file written by Startrow".into(),
        );
    }
    let Some((format, line)) = outline.field("format") else {
        return error(
            1,
            "the file does not say its format".into(),
            format!("begin it with `format: {FORMAT},`"),
        );
    };
    match format.parse::<u32>() {
        Ok(FORMAT) => Ok(()),
        Ok(newer) if newer > FORMAT => error(
            line,
            format!("this file is format {newer}, this program reads format {FORMAT}"),
            "open it with a newer Startrow".into(),
        ),
        _ => error(
            line,
            format!("`{format}` is no format that was ever written, this program reads format {FORMAT}"),
            format!("write `format: {FORMAT},`"),
        ),
    }
}

/// What the parser says, in the plan's words.
fn in_words(outline: &Outline<'_>, error: ron::error::SpannedError) -> FileError {
    use ron::Error as E;
    let at = error.span.end;
    let (mut place, (holder, start)) = outline.place_at(at.line, at.col);
    let owner = |outer: &Option<String>| match outer.as_deref() {
        Some("Plan") => "the plan",
        Some("Stock") => "the stock",
        Some("BoardLength") => "the board length",
        Some("RandomLengths") => "the random lengths",
        Some("OwnLine") => "the line of its own",
        Some("Border") => "the border",
        Some("Pattern") => "the pattern",
        Some("Laid") => "what is laid",
        Some("LaidPart") => "the laid part",
        Some("LaidStock") => "the board opened",
        Some("LaidBoard") => "the laid board",
        Some("RowPull") => "the rows measured",
        Some("Rules") => "the rules",
        Some("GapRange") => "the gap",
        Some("KindGaps") => "the gaps",
        Some("CoverRules") => "the cover",
        Some("LevelRules") => "the levels",
        Some("Surface") => "the surface",
        Some("Appliance") => "the appliance",
        Some("Room") => "the room",
        Some("Wall") => "the wall",
        Some("Bow") => "the bow offset",
        Some("Doorway") => "the doorway",
        Some("Leaf") => "the leaf",
        Some("Wood") => "the wood",
        Some("Seasons") => "the air",
        Some("Air" | "Climate") => "this season's air",
        Some("MovementJoint") => "the movement joint",
        Some("Fixture") => "the fixture",
        Some("FixtureKind") => "the fixture's kind",
        Some("Dimension" | "DimensionEnd") => "the dimension",
        Some("Pinned") => "the pin",
        Some("Slab") => "the slab",
        Some("DrynessReading" | "FlatnessReading") => "the reading",
        Some("OwnLimit" | "FlatnessLimit") => "the limit",
        Some("Signed") => "the signature",
        Some("Materials") => "the materials",
        Some("Adhesive") => "the adhesive",
        Some("AdhesiveRate") => "the adhesive's rate",
        Some("Coating") => "the coating",
        Some("Hired") => "the hired tool",
        Some("Leveller") => "the leveller",
        Some("Sheet") => "the sheet",
        Some("Sealant") => "the sealant",
        Some("Moulding") => "the moulding",
        Some("Architrave") => "the architrave",
        Some("Stage") => "the stage",
        Some("Waits") => "the waits",
        _ => "this value",
    };
    let one_of = |names: &[&str]| names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ");
    let (line, what, mend) = match &error.code {
        _ if outline.is_end(at.line, at.col) => {
            (at.line, "the file breaks off".into(), "close what is open, or take a whole copy".into())
        }
        E::MissingStructField { field, outer } => {
            place = holder;
            (start, format!("`{field}` is missing from {}", owner(outer)), format!("add `{field}: …,` to it"))
        }
        E::NoSuchStructField { expected, found, outer } => (
            at.line,
            format!("{} has no `{found}`", owner(outer)),
            format!("take it out or write one of {}", one_of(expected)),
        ),
        E::DuplicateStructField { field, outer } => {
            (at.line, format!("`{field}` stands twice in {}", owner(outer)), "take one of them out".into())
        }
        E::NoSuchEnumVariant { expected, found, .. } => {
            (at.line, format!("`{found}` is no choice here"), format!("write one of {}", one_of(expected)))
        }
        E::InvalidValueForType { expected, found } => {
            (at.line, format!("there is {found}"), format!("write {expected}"))
        }
        E::ExpectedDifferentLength { expected, found } => {
            (at.line, format!("there are {found} values"), format!("write {expected}"))
        }
        E::ExpectedFloat | E::ExpectedInteger => {
            (at.line, "there is no number here".into(), "write a number such as `92.0`".into())
        }
        E::IntegerOutOfBounds => {
            (at.line, "the number is out of bounds".into(), "write a whole number from 0 up".into())
        }
        E::ExpectedComma => (
            at.line,
            "a comma is missing, or the value does not end here".into(),
            "put a comma after each value; a whole number takes no decimals".into(),
        ),
        E::ExpectedString => (at.line, "there is no text here".into(), "write a text in quotes".into()),
        E::Message(message) => (at.line, message.clone(), "correct the value".into()),
        other => {
            let what = other.to_string();
            let mut letters = what.chars();
            let what = letters.next().map_or(String::new(), |c| c.to_lowercase().chain(letters).collect());
            (
                at.line,
                what,
                "correct the signs here; brackets, commas and quotes come in pairs or between values".into(),
            )
        }
    };
    FileError { line, place, what, mend }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        Adhesive, AdhesiveRate, Appliance, Architrave, Arris, Border, Bow, Climate, Coating, Construction,
        Corners, Covering, DrynessMethod, DrynessReading, FixtureKind, FlatnessLimit, FlatnessReading,
        GapRange, Hired, Leveller, Mark, Moulding, OwnLimit, OwnLine, Pattern, Point, RandomLengths, Sealant,
        Sheet, Sight, Signed, Skirting, SlabKind, SlabPoint, Species, Surface, SurfaceKind, WallFace, Wood,
    };
    use proptest::prelude::*;

    const HOUSE: &str = include_str!("../../../sample-plans/hazel-court.ron");
    const ONE_ROOM: &str = include_str!("../../../sample-plans/one-room.ron");

    fn first(text: &str) -> FileError {
        read(text).unwrap_err().swap_remove(0)
    }

    #[test]
    fn the_samples_are_written_as_they_were_read() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../sample-plans");
        let mut count = 0;
        for entry in std::fs::read_dir(folder).unwrap() {
            let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
            let plan = read(&text).unwrap();
            assert_eq!(write(&plan), text, "{}", plan.name);
            assert_eq!(plan.problems(), [], "{}", plan.name);
            count += 1;
        }
        assert!(count >= 7);
    }

    /// Areas against geo's; the house is one of about 140 m².
    #[test]
    fn the_sample_houses_rooms_have_their_areas() {
        use geo::{Area, Coord, LineString, Polygon};
        let plan = read(HOUSE).unwrap();
        let mut total = 0.0;
        for room in &plan.rooms {
            let ring = room.outline().into_iter().map(|(p, _)| Coord { x: p.x, y: p.y }).collect();
            let expected = Polygon::new(LineString::new(ring), Vec::new()).unsigned_area();
            assert!((room.area() - expected).abs() < 1e-3, "{}", room.name);
            println!("{:8} {:6.2} m²", room.name, room.area() / 1e6);
            total += room.area() / 1e6;
        }
        println!("together {total:6.2} m²");
        assert!((135.0..145.0).contains(&total));
    }

    #[test]
    fn a_wall_and_a_leaf_stand_on_one_line() {
        assert!(HOUSE.contains("\n                (corner: (10497.0, -702.0), face: Glazing),\n"));
        assert!(HOUSE.contains("\n            leaf: (closes_on: Near, thickness: 36.0),\n"));
        let mut plan = read(HOUSE).unwrap();
        plan.rooms[3].walls[2].corner.x += 1.0;
        let text = write(&plan);
        assert_eq!(HOUSE.lines().zip(text.lines()).filter(|(a, b)| a != b).count(), 1);
        assert_eq!(HOUSE.lines().count(), text.lines().count());
    }

    #[test]
    fn formats_this_program_does_not_read_are_named() {
        let newer = first(&ONE_ROOM.replace("format: 1", "format: 7, surprise: [1, 2]"));
        assert_eq!(
            newer.to_string(),
            "line 2: this file is format 7, this program reads format 1; open it with a newer Startrow"
        );
        assert!(
            first(&ONE_ROOM.replace("format: 1", "format: 0"))
                .what
                .contains("no format that was ever written")
        );
        assert!(first(&ONE_ROOM.replace("format: 1", "format: one")).what.contains("`one`"));
        assert!(first(&ONE_ROOM.replace("format: 1,\n", "\n")).what.contains("does not say its format"));
        for text in ["", "hello", "[1, 2]", "{\"format\": 1}"] {
            assert!(first(text).what.contains("no plan file"), "{text}");
        }
    }

    #[test]
    fn what_cannot_be_read_is_named_with_its_line_and_place() {
        let cases = [
            ("kerf: 3.0,", "", 8, "stock", "`kerf` is missing from the stock"),
            ("kerf: 3.0,", "kerf: \"3\",", 20, "stock, kerf", "no number"),
            ("kerf: 3.0,", "kerff: 3.0,", 20, "stock, kerff", "the stock has no `kerff`"),
            ("kerf: 3.0,", "kerf: 3.0, kerf: 3.0,", 20, "stock, kerf", "twice in the stock"),
            ("tongue: 6.0,", "tongue: 6.0", 20, "stock, tongue", "comma is missing"),
            ("lock: T", "lock: S", 17, "stock, lock", "no choice here"),
            ("(length: 2200.0, ", "(", 13, "stock, lengths, entry 1", "`length` is missing"),
            ("seed: 1", "seed: -1", 7, "seed", "out of bounds"),
            ("name: \"One room\"", "name: 5", 3, "name", "no text"),
            ("wall_thickness: 112.0,", "", 0, "Door", "`wall_thickness` is missing from the doorway"),
            ("wall: 1,", "wall: 0,", 0, "Door, wall", "counted from 1"),
            ("thickness: 40.0", "thick: 40.0", 0, "Door, leaf, thick", "the leaf has no `thick`"),
            ("(corner: (4200.0, 0.0))", "(corner: (4200.0))", 0, "Bedroom, wall 2", ""),
            ("(corner: (4200.0, 0.0))", "()", 0, "Bedroom, wall 2", "`corner` is missing from the wall"),
            ("(corner: (4200.0, 0.0))", "(corner: (x, 0.0))", 0, "Bedroom, wall 2, corner", "no number"),
        ];
        for (good, bad, line, place, what) in cases {
            let text = ONE_ROOM.replace(good, bad);
            assert_ne!(text, ONE_ROOM, "{good}");
            let error = first(&text);
            assert!(error.what.contains(what) && error.place.starts_with(place), "{bad}: {error}");
            assert!(line == 0 || error.line == line, "{bad}: {error}");
            assert!(!error.mend.is_empty());
        }
        let cut = first(&ONE_ROOM[..ONE_ROOM.len() - 4]);
        assert!(cut.what.contains("breaks off") || cut.what.contains("expected"), "{cut}");
    }

    /// What the text says is right but cannot be: all of it, each at its line.
    #[test]
    fn what_cannot_be_computed_is_named_with_its_line_and_place() {
        let line_of = |text: &str, part: &str| 1 + text.lines().position(|line| line.contains(part)).unwrap();
        let swap = "(corner: (4200.0, 0.0)),\n                (corner: (4200.0, 3600.0)),";
        let cases = [
            (
                swap,
                "(corner: (4200.0, 3600.0)),\n                (corner: (4200.0, 0.0)),",
                "(corner: (0.0, 0.0))",
                "Bedroom, wall 1",
                "crosses",
            ),
            ("(4200.0, 0.0)", "(NaN, 0.0)", "NaN", "Bedroom, wall 2", "corner's x is NaN"),
            ("(4200.0, 0.0)", "(1e999, 0.0)", "1e999", "Bedroom, wall 2", "corner's x is inf"),
            ("(4200.0, 0.0)", "(-inf, 0.0)", "-inf", "Bedroom, wall 2", "corner's x is -inf"),
            ("(4200.0, 0.0)", "(42e8, 0.0)", "42e8", "Bedroom, wall 2", "more than a kilometre"),
            ("at: 600.0", "at: 4000.0", "name: \"Door\"", "Door", "which is 4\u{a0}200 mm long"),
            ("wall: 1", "wall: 9", "name: \"Door\"", "Door", "Bedroom has no wall 9"),
            ("kerf: 3.0", "kerf: 300.0", "kerf", "stock, kerf", "kerf is 300 mm"),
            ("least_rip: 50.0", "least_rip: 500.0", "least_rip", "rules, least rip", "least rip is 500 mm"),
            ("rows_at: 0.0", "rows_at: 500.0", "rows_at", "plan, rows at", "500 degrees"),
        ];
        for (good, bad, at, place, what) in cases {
            let text = ONE_ROOM.replacen(good, bad, 1);
            let errors = read(&text).unwrap_err();
            // A thing of several lines is named at the line of its bracket.
            let line = line_of(&text, at) - usize::from(at.starts_with("name"));
            let found = errors.iter().find(|error| error.place == place && error.what.contains(what));
            assert_eq!(found.map(|error| error.line), Some(line), "{bad}: {errors:#?}");
            assert!(read_unchecked(&text).is_ok());
        }
        let both = ONE_ROOM.replace("kerf: 3.0", "kerf: 300.0").replace("at: 600.0", "at: 4000.0");
        assert_eq!(read(&both).unwrap_err().len(), 2);
    }

    #[test]
    fn counts_beyond_a_house_are_named() {
        let room = "(name: \"R\", covering: Boards, walls: []),";
        let text = ONE_ROOM.replace("rooms: [", &format!("rooms: [{}", room.repeat(2000)));
        let error = first(&text);
        assert_eq!(
            (error.place.as_str(), error.what.as_str()),
            ("plan, rooms", "there are 2001 rooms, more than 2000")
        );
        let walls = "(corner: (0.0, 0.0)),".repeat(2001);
        let error = first(&ONE_ROOM.replace("(corner: (0.0, 0.0)),", &walls));
        assert_eq!(
            (error.place.as_str(), error.what.as_str()),
            ("Bedroom", "there are 2004 walls, more than 2000")
        );
    }

    #[test]
    fn a_plan_without_rooms_is_read_again() {
        let plan = Plan::new("To be drawn");
        assert_eq!(read(&write(&plan)), Ok(plan));
    }

    #[test]
    fn a_file_too_long_is_refused_unread() {
        let error = first(&" ".repeat(GREATEST_FILE + 1));
        assert!(error.what.contains("more than 16777216 bytes"), "{error}");
    }

    #[test]
    fn windows_line_ends_comments_and_a_byte_order_mark_are_read() {
        let text = format!("\u{feff}// by hand\r\n{}", ONE_ROOM.replace('\n', "\r\n"));
        assert_eq!(read(&text), read(ONE_ROOM));
    }

    /// A slab's record and materials with all that they can hold.
    fn record_all(plan: &mut Plan, record: u8, figure: f64, words: &str) {
        let from = || OwnLimit { at: figure / 5.0, from: format!("sheet {words}") };
        plan.slab = Some(Slab {
            kind: SlabKind::CalciumSulphate,
            thickness: Some(figure + 1.0),
            heated: record > 3,
            humidity_limit: Some(from()),
            flatness_limit: Some(FlatnessLimit::Own { straightedge: 1500.0, gap: figure / 9.0 }),
            acclimatise: Some(from()),
            barrier_coats: Some(2),
            compatible: words.to_owned(),
            signed: vec![
                Signed {
                    point: SlabPoint::Heating,
                    mark: Mark::NotApplicable,
                    date: String::new(),
                    by: words.to_owned(),
                },
                Signed { point: SlabPoint::Clean, mark: Mark::Done, date: words.to_owned(), by: "j".into() },
            ],
            ..Slab::default()
        });
        let coating = || Coating {
            name: words.to_owned(),
            coats: vec![0.35, figure / 90.0],
            pack: 10.0,
            price: Some(figure),
        };
        let sheet = || Sheet {
            name: String::new(),
            width: 1000.0,
            length: 25_000.0,
            lap: 100.0,
            off_walls: Some(50.0),
            price: None,
        };
        let moulding = || Moulding {
            name: words.to_owned(),
            lengths: vec![2400.0, 5400.0],
            kerf: 3.0,
            add: figure / 90.0,
            price: None,
        };
        let rate = match record % 3 {
            0 => AdhesiveRate::Bead { diameter: 7.0, spacing: 64.0 },
            1 => AdhesiveRate::Trowel { width: 6.0, depth: 5.0, pitch: 11.0 },
            _ => AdhesiveRate::Rate { least: 0.9, greatest: 1.4 },
        };
        plan.materials = Some(Materials {
            adhesive: Some(Adhesive { name: words.to_owned(), rate, pack: 0.6, price: Some(figure) }),
            barrier: Some(coating()),
            primer: Some(Coating { name: String::new(), price: None, ..coating() }),
            leveller: (record > 1).then(|| Leveller {
                name: String::new(),
                powder: Some(1.7),
                pack: 25.0,
                price: None,
            }),
            underlay: Some(sheet()),
            protection: Some(Sheet { lap: 0.0, ..sheet() }),
            sealant: Some(Sealant { name: words.to_owned(), depth: Some(15.0), pack: 0.6, price: None }),
            skirting: Some(moulding()),
            architrave: Some(Architrave { width: 70.0, height: 2040.0, moulding: moulding() }),
            trim: Some(Moulding { add: 0.0, ..moulding() }),
            nosing: None,
            hired: vec![Hired {
                name: format!("x{words}"),
                count: 1 + u32::from(record % 2),
                days: 3,
                price: None,
            }],
            allowance: Some(10.0),
        });
    }

    prop_compose! {
        /// A plan of one to six rooms in a row, with all that a file can hold.
        fn any_plan()(
            name in "\\PC{1,40}",
            (seed, at, rows_at) in (any::<u64>(), proptest::option::of(-1e5..1e5_f64), -90.0..=90.0_f64),
            (ten, price) in (1700.0..2100.0_f64, proptest::option::of(0.0..1e4_f64)),
            rooms in proptest::collection::vec((1500.0..9000.0_f64, 1500.0..9000.0_f64, -20.0..20.0_f64, 0..4_u8), 1..6),
            kinds in proptest::collection::vec(0..9_u8, 0..6),
            imperial in any::<bool>(),
            (record, figure, words) in (0..8_u8, 0.5..400.0_f64, "\\PC{0,20}"),
            (pattern, border, light, effort, random) in
                (0..5_u8, 0..3_u32, proptest::option::of(-180.0..180.0_f64), 0..9_u64, any::<bool>()),
        ) -> Plan {
            let mut plan = Plan::new(format!("x{name}"));
            plan.seed = seed;
            plan.rows_at = rows_at;
            plan.start_line = at.map_or(StartLine::Best, StartLine::At);
            plan.units = if imperial { Units::FeetInches } else { Units::Metric };
            plan.stock.ten_boards = Some(ten);
            plan.stock.pack_price = price;
            plan.stock.currency = if imperial { "(\"(\\".into() } else { String::new() };
            plan.pattern = match pattern {
                0 => Pattern::Irregular,
                1 => Pattern::Half,
                2 => Pattern::Third,
                3 => Pattern::Herringbone { block: 1250.0, abreast: 2 },
                _ => Pattern::Chevron { block: 2200.0, mitre: 30.0 },
            };
            plan.border = (border > 0).then_some(Border { boards: border, corners: Corners::Butted });
            plan.light_from = light;
            plan.effort = effort;
            plan.rules.travel = light.map(|light| light.abs() / 4.0);
            plan.rules.slide_room = imperial.then_some(6.5);
            plan.rules.tilt_room = random.then_some(0.7);
            if effort > 3 {
                let built = [Construction::Multilayer, Construction::FlatSawn, Construction::Stated(0.031)];
                let species = Species::ALL[effort as usize];
                let construction = built[effort as usize % 3];
                plan.stock.wood = Some(Wood { species, construction, held_back: f64::from(border) / 4.0 });
                let dampest = Climate::Moisture(11.5);
                plan.air = Some(Seasons { dampest, ..Seasons::default() });
                plan.joints.push(MovementJoint::new(Point::new(0.0, 700.5), Point::new(1500.0, 700.5)));
                plan.joints.push(MovementJoint { name: "\"Second\" (".into(), ..plan.joints[0].clone() });
                let picture = crate::Backdrop::new("scans/\"ground\" floor (1).png", (1200, 900), "0badcafe");
                let turn = if imperial { 0.0 } else { rows_at };
                plan.backdrop = Some(crate::Backdrop { turn, scale: 0.1 + 0.2, over: random, ..picture });
            }
            if effort > 5 {
                plan.pinned.push(crate::Pinned::Joint(1));
            }
            if random && plan.pattern.is_irregular() && border == 0 {
                plan.stock.lengths.clear();
                plan.stock.random = Some(RandomLengths { shortest: 400.0, longest: 2200.0, per_pack: 8 });
                plan.stock.packs = Some(40);
            }
            if record > 0 {
                record_all(&mut plan, record, figure, &words);
            }
            let mut x = 0.0;
            for (i, (w, h, skew, kind)) in rooms.into_iter().enumerate() {
                let corners = [(x, 0.0), (x + w, skew), (x + w, h), (x, h - skew)].map(Point::from);
                let mut room = Room::boarded(format!("{name} room ({i}"), corners);
                if imperial {
                    let doubted = crate::Taped { good_to: Some(1.5), set_aside: true, ..crate::Taped::new(0, 2, h) };
                    room.tape = vec![crate::Taped::new(0, 1, w), doubted];
                }
                match kind {
                    0 => room.walls[0].bow = vec![Bow { along: w / 3.0, back: skew }, Bow { along: w / 2.0, back: 0.1 }],
                    1 => room.walls[1].gap = Some(GapRange { least: 8.0, greatest: 9.5 }),
                    2 => room.walls[2].face = WallFace::Glazing,
                    _ => room.covering = Covering::Other(format!("stone \"{name}\"")),
                }
                if kind < 3 {
                    crate::edit::add_room(&mut plan, &corners).unwrap();
                    plan.rooms.pop();
                    plan.rooms.push(room);
                    let last = plan.rooms.len() - 1;
                    crate::edit::add_doorway(&mut plan, last, 2, w / 2.0).unwrap();
                } else {
                    plan.rooms.push(room);
                }
                x += w + 700.0;
            }
            let levels = effort % 2 == 0;
            if levels {
                (plan.stock.wear_layer, plan.stock.bed) = (Some(4.0), Some(1.5));
                plan.rules.gaps.glazing = Some(GapRange { least: 5.0, greatest: 8.0 });
                plan.rules.gaps.tile_sides = Some(GapRange { least: 6.0, greatest: 6.0 });
                plan.rules.cover.skirting = Some(18.0);
                plan.rules.levels.leaf = Some(4.0);
                let surface = Some(Surface { kind: SurfaceKind::Carpet, height: 17.5 });
                let last = plan.rooms.len() - 1;
                (plan.rooms[last].slab_level, plan.rooms[last].surface) = (-12.5, surface);
                plan.rooms[0].walls[0].skirting = Some(Skirting::Thick(11.0));
                plan.rooms[0].walls[1].skirting = Some(Skirting::Without);
                for door in &mut plan.doorways {
                    (door.arris, door.outside) = (Some(Arris::Chamfered(2.0)), surface);
                    door.under_lining = Some(22.5);
                    door.leaf.iter_mut().for_each(|leaf| (leaf.above_slab, leaf.slides) = (Some(22.0), random));
                }
            }
            plan.rooms[0].sight = Sight::Closed;
            if plan.rooms[0].is_boarded() {
                let lines = [StartLine::Best, StartLine::Safest, StartLine::At(12.5)];
                let line = lines[effort as usize % 3];
                plan.own_lines = vec![OwnLine { room: plan.rooms[0].name.clone(), line }];
            }
            let named: Vec<String> =
                plan.rooms.iter().filter(|room| room.is_boarded()).map(|room| room.name.clone()).collect();
            if record > 2 {
                plan.stages = vec![
                    Stage { name: format!("s{words}"), rooms: named.clone(), day: 1, hours: Some(figure) },
                    Stage { name: "(later".into(), rooms: Vec::new(), day: 2, hours: None },
                ];
                plan.waits = Waits { leveller: Some(figure), load: Some(0.0), ..Waits::default() };
            }
            if let (Some(slab), Some(room)) = (&mut plan.slab, named.first()) {
                let (room, straightedge) = (room.clone(), 2000.0);
                slab.dryness = vec![DrynessReading { room: room.clone(), method: DrynessMethod::Carbide, reading: 1.9 }];
                slab.flatness = vec![FlatnessReading { room, straightedge, gap: figure / 10.0 }; 2];
            }
            if imperial {
                let room = plan.rooms[0].name.clone();
                let corner = crate::DimensionEnd::Corner { room: room.clone(), corner: 2 };
                let ends = [
                    crate::DimensionEnd::Point(Point::new(figure, -0.1)),
                    crate::DimensionEnd::Wall { room: room.clone(), wall: 0, at: figure },
                ];
                let beside = if random { figure / 3.0 } else { 0.0 };
                plan.dimensions.extend(ends.map(|to| Dimension { beside, ..Dimension::new(corner.clone(), to) }));
                let jamb = |jamb| crate::DimensionEnd::Jamb { doorway: plan.doorways[0].name.clone(), jamb };
                if !plan.doorways.is_empty() {
                    plan.dimensions.push(Dimension::new(jamb(0), jamb(1)));
                    plan.pinned.push(Pinned::Doorway(plan.doorways[0].name.clone()));
                }
                plan.pinned.push(Pinned::Room(room));
            }
            for kind in kinds {
                let kind = match kind {
                    0 => FixtureKind::Island,
                    1 => FixtureKind::Kick { clearance: 18.5, tuck: 25.0 },
                    2 => FixtureKind::Column,
                    3 => FixtureKind::Hearth,
                    4 => FixtureKind::TileArea { trim: 12.0 },
                    5 => FixtureKind::Rebate { depth: 11.0 },
                    6 => FixtureKind::LowSpot { depth: 0.1 + 0.2 },
                    7 => FixtureKind::Vent,
                    _ => FixtureKind::Stair { nosing: 60.0 },
                };
                let outline = [(100.0, 100.0), (600.0, 100.0), (1.0 / 3.0, 600.0)].map(Point::from);
                let index = crate::edit::add_fixture(&mut plan, kind, &outline).unwrap();
                if levels {
                    plan.fixtures[index].cover = Some(15.0);
                    plan.fixtures[index].appliance = Some(Appliance { height: 818.0, opening: 835.0 });
                }
            }
            plan
        }
    }

    proptest! {
        #[test]
        fn a_plan_comes_back_as_it_was_written(plan in any_plan()) {
            let text = write(&plan);
            prop_assert_eq!(check::faults(&plan), vec![]);
            let again = read(&text).unwrap();
            prop_assert_eq!(&again, &plan);
            prop_assert_eq!(write(&again), text);
        }

        /// Whatever a slip of the hand does to a file, it is read or refused, at a line that it has.
        #[test]
        fn a_damaged_file_is_refused_with_a_line(at in 0..HOUSE.len(), cut in 0..40_usize, put in "[-()\\[\\]{},:\"'/*r#0-9aeNi.\n ]{0,6}") {
            let from = (0..=at).rev().find(|&i| HOUSE.is_char_boundary(i)).unwrap();
            let to = (from + cut..HOUSE.len()).find(|&i| HOUSE.is_char_boundary(i)).unwrap_or(HOUSE.len());
            let text = format!("{}{put}{}", &HOUSE[..from], &HOUSE[to..]);
            if let Err(errors) = read(&text) {
                prop_assert!(!errors.is_empty());
                for error in errors {
                    prop_assert!((1..=text.lines().count() + 1).contains(&error.line), "{}", error);
                    prop_assert!(!error.what.is_empty() && !error.mend.is_empty());
                }
            }
        }
    }
}
