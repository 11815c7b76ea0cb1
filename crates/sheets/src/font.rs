//! The two built-in fonts: their bytes and how wide writing is in them.

use crate::SheetError;
use std::sync::OnceLock;
use ttf_parser::Face;

/// Family name of both fonts, as SVG asks for it.
pub(crate) const FAMILY: &str = "Inter";
/// Height of capitals and figures as a part of the type size (Inter's OS/2 table: 2048 of 2816 units).
pub(crate) const CAP_HEIGHT: f64 = 2048.0 / 2816.0;

static REGULAR: &[u8] = include_bytes!("../../../assets/fonts/Inter-Regular.otf");
static SEMI_BOLD: &[u8] = include_bytes!("../../../assets/fonts/Inter-SemiBold.otf");

/// The bytes of the regular or the semi-bold font.
pub(crate) fn bytes(bold: bool) -> &'static [u8] {
    if bold { SEMI_BOLD } else { REGULAR }
}

/// Checks that both fonts can be read.
///
/// # Errors
/// [`SheetError::Font`] for damaged assets.
pub(crate) fn check() -> Result<(), SheetError> {
    face(false).ok_or(SheetError::Font("Inter Regular"))?;
    face(true).ok_or(SheetError::Font("Inter SemiBold"))?;
    Ok(())
}

fn face(bold: bool) -> Option<&'static Face<'static>> {
    static FACES: [OnceLock<Option<Face<'static>>>; 2] = [OnceLock::new(), OnceLock::new()];
    FACES[usize::from(bold)].get_or_init(|| Face::parse(bytes(bold), 0).ok()).as_ref()
}

/// Width of writing at a type size, in the size's unit: the sum of its advances, kerning left out.
pub(crate) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let Some(face) = face(bold) else { return drawing::rough_width(text, size) };
    let units = f64::from(face.units_per_em());
    let known = plain_advances(face, bold);
    let sum: u64 = text
        .chars()
        .map(|c| known.get(c as usize).copied().unwrap_or_else(|| advance(face, c)))
        .map(u64::from)
        .sum();
    sum as f64 / units * size
}

fn advance(face: &Face, c: char) -> u16 {
    face.glyph_hor_advance(face.glyph_index(c).unwrap_or_default()).unwrap_or_default()
}

/// Advances of the ASCII characters, which nearly all writing on the sheets is of.
fn plain_advances(face: &Face, bold: bool) -> &'static [u16; 128] {
    static KNOWN: [OnceLock<[u16; 128]>; 2] = [OnceLock::new(), OnceLock::new()];
    KNOWN[usize::from(bold)].get_or_init(|| std::array::from_fn(|c| advance(face, char::from(c as u8))))
}

/// The text, or as much of it as fits before an ellipsis.
pub(crate) fn fitted(text: &str, size: f64, bold: bool, room: f64) -> String {
    if width(text, size, bold) <= room {
        return text.to_owned();
    }
    let room = room - width("…", size, bold);
    let mut kept = String::new();
    let mut used = 0.0;
    for c in text.chars() {
        used += width(c.encode_utf8(&mut [0; 4]), size, bold);
        if used > room {
            break;
        }
        kept.push(c);
    }
    format!("{}…", kept.trim_end())
}

/// The words of a text; feet, inches and their fraction are one word: `7' 2 5/8"`.
fn unparted(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let is_number = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let part = word.split('"').next().unwrap_or(word);
        let is_fraction = part.split_once('/').is_some_and(|(a, b)| is_number(a) && is_number(b));
        let goes_on = words.last().is_some_and(|last| {
            let last = last.rsplit(' ').next().unwrap_or(last);
            let is_inches = is_fraction || is_number(part);
            (is_inches && last.strip_suffix('\'').is_some_and(is_number)) || (is_fraction && is_number(last))
        });
        match words.last_mut().filter(|_| goes_on) {
            Some(last) => last.extend([" ", word]),
            None => words.push(word.to_owned()),
        }
    }
    words
}

/// The text in lines no wider than `room`, broken at spaces; a word wider than that is broken inside.
pub(crate) fn wrapped(text: &str, size: f64, bold: bool, room: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in &unparted(text) {
        let joined = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(&joined, size, bold) <= room {
            line = joined;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            line.push(c);
            if width(&line, size, bold) > room && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::take(&mut line));
                line.push(c);
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fonts_are_read_and_hold_what_the_sheets_write() {
        check().expect("both fonts");
        for bold in [false, true] {
            let face = face(bold).expect("a face");
            for c in "0123456789 ABCabcäß·–−×½′″±²\u{2009}…".chars() {
                assert!(face.glyph_index(c).is_some(), "{c:?}");
            }
            let cap = face.capital_height().map(|h| f64::from(h) / f64::from(face.units_per_em()));
            assert!(cap.is_some_and(|cap| (cap - CAP_HEIGHT).abs() < 0.01), "{cap:?}");
        }
    }

    #[test]
    fn feet_inches_and_their_fraction_stay_together() {
        let text = "keep 3 13/16\", take 3 1/4\" off, 5 rows of 7' 2 5/8\".";
        let words = unparted(text);
        assert!(
            ["3 13/16\",", "3 1/4\"", "7' 2 5/8\"."]
                .iter()
                .all(|length| words.iter().any(|word| word == length)),
            "{words:?}"
        );
        assert_eq!(words.join(" "), text);
    }

    #[test]
    fn wrapping_keeps_every_word_and_the_width() {
        let text = "Saw dust and grinding dust: extract, mask and eye protection Donaudampfschifffahrt";
        let lines = wrapped(text, 3.0, false, 30.0);
        assert!(lines.iter().all(|line| width(line, 3.0, false) <= 30.0), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
        assert!(width(&fitted(text, 3.0, false, 20.0), 3.0, false) <= 20.0);
    }
}
