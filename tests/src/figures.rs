//! Figures that are none: JSON writes them as `null`, where they look like something that was left out.

use serde::Serialize;

/// The first figure of a value that is no number or has no bound, with what stands before it; `None` if all are sound.
///
/// # Panics
/// When the value cannot be written at all.
pub fn unsound(value: &impl Serialize) -> Option<String> {
    let text = ron::to_string(value).expect("a value is written");
    // Most hold no such letters at all, and are long.
    if !["NaN", "inf"].iter().any(|none| text.contains(none)) {
        return None;
    }
    let mut is_word = false;
    let mut last = ' ';
    for (at, sign) in text.char_indices() {
        let is_quote = sign == '"' && last != '\\';
        // After an escaped backslash a quote is a quote.
        last = if sign == '\\' && last == '\\' { ' ' } else { sign };
        is_word ^= is_quote;
        let before = text[..at].chars().next_back().unwrap_or(' ');
        if !is_word
            && ":([{,-".contains(before)
            && ["NaN", "inf"].iter().any(|none| text[at..].starts_with(none))
        {
            let from = text[..at].char_indices().rev().nth(80).map_or(0, |(from, _)| from);
            return Some(text[from..at + 3].to_owned());
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_number_is_found_wherever_it_stands() {
        assert_eq!(unsound(&(1.0, Some(2.5), "NaN, inf, \\\"(NaN", ["inf"], vec![("inf", -1e300)])), None);
        for none in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(unsound(&vec![("a", Some(none))]).is_some(), "{none}");
            assert!(unsound(&[0.0, none]).is_some(), "{none}");
            let map = std::collections::BTreeMap::from([("x", none)]);
            assert!(unsound(&map).is_some(), "{none}");
        }
    }
}
