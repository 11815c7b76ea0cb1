//! The adjustment in plain words.

use crate::room::length_words;
use crate::{AGREED, DOUBTED, Doubt, RoomTape, RoomTrouble};
use plan::{Plan, span_name};
use std::fmt::Write;

/// What is doubted and why, in one sentence without its end.
pub fn doubt_words(plan: &Plan, tape: &RoomTape) -> String {
    let mm = |length: f64| length_words(length, plan.units);
    let count = tape.corners.len();
    match &tape.doubt {
        Doubt::Unchecked => match tape.next {
            Some((a, b)) => format!("nothing checks these lengths: tape {}, too", span_name(a, b, count)),
            None => "nothing checks these lengths".into(),
        },
        Doubt::None => {
            format!("the lengths agree: none stands out beyond {DOUBTED} times what it may be out")
        }
        Doubt::Together => format!(
            "the lengths do not agree: lengths as good as they were said to be are so far out together less than {:.0} time in 100, though none stands out beyond {DOUBTED}; measure them again, the diagonals first",
            100.0 * AGREED
        ),
        Doubt::One(one) => {
            let Some(line) = tape.lines.get(*one) else { return String::new() };
            let others = line.by_others.map(|by| format!(", by the others {}", mm(by))).unwrap_or_default();
            format!("{} is most likely wrong: taped {}{others}", line.name, mm(line.taped))
        }
        Doubt::Among(several) => {
            let names: Vec<&str> =
                several.iter().filter_map(|i| tape.lines.get(*i)).map(|line| line.name.as_str()).collect();
            let next = match tape.next {
                Some((a, b)) => format!("; tape {} to find which", span_name(a, b, count)),
                None => "; measure each of them again".into(),
            };
            // The misclosure is one; put on any of them it shows as so much there, and no less on any.
            let out = several.iter().filter_map(|i| tape.lines.get(*i));
            let least = out.filter_map(|line| Some((line.by_others? - line.taped).abs())).reduce(f64::min);
            let least = least.map(|out| format!(" by {} or more", mm(out))).unwrap_or_default();
            format!("one of these is out{least}: {}{next}", names.join(", "))
        }
    }
}

/// What keeps the corners from being set out by, in one sentence without its end; `None` where the lengths agree.
pub fn corners_warning(tape: &RoomTape) -> Option<&'static str> {
    match tape.doubt {
        Doubt::None => None,
        Doubt::Unchecked => Some("No length checks these corners: one that is wrong would not show"),
        _ => Some("Do not set out by these corners yet: a length that is wrong has drawn them away"),
    }
}

/// How far the lengths are out against how good they were said to be, in one sentence without its end; `None` where nothing
/// checks them.
pub fn unit_words(tape: &RoomTape) -> Option<String> {
    let unit = tape.unit?;
    let chance = match tape.doubt == Doubt::None && unit > 1.0 {
        true => ", no more than chance has it",
        false => "",
    };
    Some(format!("The lengths are out {unit:.2} times as far as they were said to be{chance}"))
}

/// The adjustment of a room as a table with what it says, or why there is none.
pub fn room_words(plan: &Plan, room: usize, found: &Result<RoomTape, RoomTrouble>) -> String {
    let mut out = String::new();
    let mut say = |line: String| {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{line}");
    };
    let name = plan.rooms.get(room).map_or("", |room| &room.name);
    let mm = |length: f64| length_words(length, plan.units);
    let tape = match found {
        Ok(tape) => tape,
        Err(trouble) => {
            say(format!("{name}: {}; {}", trouble.what, trouble.mend));
            return out;
        }
    };
    let checks = match tape.redundancy {
        0 => "no length more than the shape needs".to_owned(),
        1 => "1 length more than the shape needs".to_owned(),
        n => format!("{n} lengths more than the shape needs"),
    };
    say(format!("{name}: {} taped, {checks}", tape.lines.len()));
    let width = tape.lines.iter().map(|line| line.name.chars().count()).max().unwrap_or(0).max(6);
    say(format!(
        "  {:width$}  {:>12}  {:>12}  {:>9}  {:>12}  {:>6}",
        "", "taped", "solved", "residual", "by others", "score"
    ));
    for line in &tape.lines {
        let by = line.by_others.map_or("—".to_owned(), mm);
        let score = line.score.map_or("—".to_owned(), |score| format!("{:.2}", score.abs()));
        let mark = match (line.set_aside, line.doubted) {
            (true, _) => "  set aside",
            (_, true) => "  doubted",
            _ => "",
        };
        say(format!(
            "  {:width$}  {:>12}  {:>12}  {:>9}  {by:>12}  {score:>6}{mark}",
            line.name,
            mm(line.taped),
            mm(line.solved),
            signed(plan, line.residual)
        ));
    }
    say(format!("  {}", upper(&doubt_words(plan, tape))));
    if let Some(words) = unit_words(tape) {
        say(format!("  {words}"));
    }
    if let Some(closing) = tape.closing.filter(|closing| closing.length >= 0.5) {
        let one_in = closing.one_in().map_or(String::new(), |n| format!(", 1 in {n:.0}"));
        say(format!("  Its walls laid off as drawn miss by {}{one_in}", mm(closing.length)));
    }
    if tape.off >= 0.05 {
        say(format!("  Corner {} is drawn {} from where the tape has it", tape.off_corner + 1, mm(tape.off)));
    } else {
        say("  It is drawn as the tape has it".into());
    }
    if let Some(warning) = corners_warning(tape) {
        say(format!("  {warning}"));
    }
    for (i, corner) in tape.corners.iter().enumerate() {
        say(format!("  corner {}  {:>12}  {:>12}", i + 1, mm(corner.x), mm(corner.y)));
    }
    out
}

/// A residual with its sign.
fn signed(plan: &Plan, mm: f64) -> String {
    let words = length_words(mm.abs(), plan.units);
    // What is less than half a step of the units is shown as nothing, without a sign.
    let shows = words != length_words(0.0, plan.units);
    match (shows, mm < 0.0) {
        (false, _) => words,
        (_, true) => format!("−{words}"),
        (_, false) => format!("+{words}"),
    }
}

fn upper(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
