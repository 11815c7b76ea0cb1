//! Writing in drawings: what it says once its codes are read.

/// A name fit for a room: one line, no control characters, at most so many letters as a plan takes; `None` for
/// nothing but spaces.
pub(crate) fn name(text: &str) -> Option<String> {
    let words: Vec<&str> = text.split(|c: char| c.is_whitespace() || c.is_control()).collect();
    let joined = words.into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ");
    let short: String = joined.chars().take(LONGEST).collect();
    let short = short.trim_end();
    (!short.is_empty()).then(|| short.to_owned())
}

/// Letters in a name, with room for a number behind it.
const LONGEST: usize = 90;

/// Whether writing looks like a name rather than a figure: its first sign is a letter.
pub(crate) fn is_name(text: &str) -> bool {
    text.chars().next().is_some_and(char::is_alphabetic)
}

/// The words of a TEXT: `%%u` and `%%o` begin and end lines, `%%d`, `%%p` and `%%c` are signs, `%%%` is a percent
/// sign, `%%065` a letter by number (DXF reference, appendix on text codes).
pub(crate) fn plain(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find("%%") {
        out.push_str(&rest[..at]);
        rest = &rest[at + 2..];
        let Some(code) = rest.chars().next() else { break };
        let mut taken = code.len_utf8();
        match code.to_ascii_lowercase() {
            'u' | 'o' | 'k' => {}
            'd' => out.push('°'),
            'p' => out.push('±'),
            'c' => out.push('⌀'),
            '%' => out.push('%'),
            '0'..='9' => {
                taken = rest.bytes().take(3).take_while(u8::is_ascii_digit).count();
                out.extend(rest[..taken].parse().ok().and_then(char::from_u32));
            }
            other => out.push(other),
        }
        rest = &rest[taken..];
    }
    out.push_str(rest);
    out
}

/// The words of an MTEXT: `\P` ends a line, `\S…;` stacks, `\f…;` and the like set type, brackets group.
pub(crate) fn rich(text: &str) -> String {
    let mut out = String::new();
    let mut letters = text.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '{' | '}' => {}
            '\\' => match letters.next() {
                Some('P' | 'N' | 'X' | '~') => out.push(' '),
                Some('L' | 'l' | 'O' | 'o' | 'K' | 'k') | None => {}
                Some('S') => {
                    let stack = letters.by_ref().take_while(|c| *c != ';');
                    out.extend(stack.map(|c| if matches!(c, '^' | '#') { '/' } else { c }));
                }
                Some('A' | 'C' | 'c' | 'F' | 'f' | 'H' | 'p' | 'Q' | 'T' | 'W') => {
                    letters.by_ref().find(|c| *c == ';');
                }
                Some(other) => out.push(other),
            },
            other => out.push(other),
        }
    }
    plain(&out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_read_and_words_stay() {
        assert_eq!(plain("%%uHall%%u 20%%d %%% %%065"), "Hall 20° % A");
        assert_eq!(plain("50%%%%%% off"), "50%% off");
        assert_eq!(plain("100%%"), "100");
        assert_eq!(rich("{\\fArial|b1;Hall}\\P12 m\\S2^;"), "Hall 12 m2/");
        assert_eq!(rich("a\\\\b \\{c\\}"), "a\\b {c}");
        assert_eq!(name("  two\n lines\u{7} "), Some("two lines".into()));
        assert_eq!(name(" \t"), None);
        assert_eq!(name(&"ח".repeat(400)).map(|n| n.chars().count()), Some(90));
        assert!(is_name("Hall") && is_name("חדר") && !is_name("12.3 m²"));
    }
}
