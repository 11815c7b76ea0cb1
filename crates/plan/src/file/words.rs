//! What the parser says of a plan file, in the plan's words.

use super::FileError;
use crate::locate::Outline;

/// What the parser says, in the plan's words.
pub(super) fn in_words(outline: &Outline<'_>, error: ron::error::SpannedError) -> FileError {
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
            let mend = "write a whole number from 0 up, of fewer digits where it is large";
            (at.line, "the number is out of bounds".into(), mend.into())
        }
        E::ExpectedComma => (
            at.line,
            "a comma is missing, or the value does not end here".into(),
            "put a comma after each value; a whole number takes no decimals".into(),
        ),
        E::ExpectedString => (at.line, "there is no text here".into(), "write a text in quotes".into()),
        E::InvalidIdentifier(found) | E::SuggestRawIdentifier(found)
            if found.starts_with(|first: char| first.is_ascii_digit()) =>
        {
            let what = format!("`{found}` stands where the name of a value belongs");
            (
                at.line,
                what,
                format!(
                    "a decimal takes a point, not a comma: `….{found}`; after a comma the next name comes"
                ),
            )
        }
        E::ExpectedStructLikeEnd | E::ExpectedArrayEnd => {
            let sign = if matches!(error.code, E::ExpectedArrayEnd) { ']' } else { ')' };
            let mend = format!("close it with `{sign}`; a decimal takes a point, not a comma: `4200.5`");
            (at.line, "there is more here than belongs to this value".into(), mend)
        }
        E::ExpectedStructLike | E::ExpectedNamedStructLike(_)
            if !outline.word_before(at.line, at.col).is_empty() =>
        {
            let word = outline.word_before(at.line, at.col);
            let (what, mend) = match word {
                "At" => (
                    "a place in millimetres",
                    "write it in round brackets, `At(offset)`: `At(42.0)`".to_owned(),
                ),
                _ => ("what belongs to it", format!("write it in round brackets, `{word}(…)`")),
            };
            (at.line, format!("`{word}` stands without {what}"), mend)
        }
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
