//! The slab's list in plain words.

use pipeline::House;
use std::fmt::Write;

/// Width of the states' column, letters.
const STATE: usize = 14;

/// What is gone through before a pack is opened, each point with its state and what is missing.
pub(crate) fn words(house: &House) -> String {
    let mut out = String::new();
    let mut say = |line: String| {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{line}");
    };
    say(format!("{} — before a pack is opened", house.plan.name));
    say("Local code and the makers' sheets come first; their limits can be typed over these.".into());
    say(String::new());
    let indent = " ".repeat(STATE + 4);
    for item in house.slab() {
        say(format!("  {:<STATE$}  {}", item.state_word(), item.point.name()));
        let missing = if item.missing.is_empty() { String::new() } else { format!("— {}", item.missing) };
        let limit = if item.limit.is_empty() { String::new() } else { format!("limit: {}", item.limit) };
        for line in [item.found.clone(), limit, missing].iter().filter(|line| !line.is_empty()) {
            say(format!("{indent}{line}"));
        }
        if let Some(signed) = &item.signed {
            let words = [signed.date.as_str(), signed.by.as_str()];
            let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
            if !words.is_empty() {
                say(format!("{indent}signed {}", words.join(", ")));
            }
        }
    }
    say(String::new());
    for (of, caution) in findings::CAUTIONS {
        say(format!("{of}: {caution}"));
    }
    out
}
