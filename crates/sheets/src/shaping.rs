//! Writing as glyphs of the built-in fonts: a plan of shaping is made once for each font, direction and script.

use crate::{SheetError, font};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use rustybuzz::{Direction, Face, Script, ShapePlan, UnicodeBuffer, script, shape_with_plan};
use std::collections::HashMap;
use unicode_bidi::{BidiInfo, Level};

/// One font: what the writer embeds, what shapes its writing, the plans made so far, and the words shaped so far.
struct Hand {
    font: Font,
    face: Face<'static>,
    plans: Vec<(Direction, Script, ShapePlan)>,
    words: HashMap<String, Vec<Glyph>>,
}

/// A shaped glyph: its letters are those of its word from `start` to `end`.
#[derive(Clone)]
struct Glyph {
    id: GlyphId,
    advance: (f32, f32),
    offset: (f32, f32),
    start: usize,
    end: usize,
}

/// More words than this are not kept: what is written only once is not worth its room.
const WORDS: usize = 20_000;

/// Both fonts at work.
pub(crate) struct Shaper {
    hands: [Hand; 2],
}

impl Shaper {
    /// # Errors
    /// [`SheetError::Font`] for damaged assets.
    pub(crate) fn new() -> Result<Self, SheetError> {
        let hand = |bold: bool, name| {
            let font = Font::new(font::bytes(bold).into(), 0);
            let face = Face::from_slice(font::bytes(bold), 0);
            let (font, face) = font.zip(face).ok_or(SheetError::Font(name))?;
            Ok(Hand { font, face, plans: Vec::new(), words: HashMap::new() })
        };
        Ok(Self { hands: [hand(false, "Inter Regular")?, hand(true, "Inter SemiBold")?] })
    }

    /// The glyphs of a line of writing, their advances as parts of the type size, and the font they are of.
    pub(crate) fn shape(&mut self, text: &str, bold: bool) -> (Vec<KrillaGlyph>, Font) {
        let hand = &mut self.hands[usize::from(bold)];
        let mut glyphs = Vec::with_capacity(text.len());
        if is_plain(text) {
            // Lists say the same few words and figures over and over: each is shaped once, its space with it.
            // A multiplication sign looks at the figures about it, past spaces too.
            let whole = text.contains('×').then_some((0, text));
            for (from, word) in whole.into_iter().chain(words(text).filter(|_| whole.is_none())) {
                if let Some(known) = hand.words.get(word) {
                    glyphs.extend(known.iter().map(|glyph| glyph.at(from)));
                    continue;
                }
                let shaped = hand.shape(word, Direction::LeftToRight);
                glyphs.extend(shaped.iter().map(|glyph| glyph.at(from)));
                if hand.words.len() < WORDS {
                    hand.words.insert(word.to_owned(), shaped);
                }
            }
        } else {
            for (from, run, direction) in runs(text) {
                glyphs.extend(hand.shape(run, direction).iter().map(|glyph| glyph.at(from)));
            }
        }
        (glyphs, hand.font.clone())
    }
}

/// Whether writing may be shaped word by word: letters of Latin, figures and signs, from left to right.
fn is_plain(text: &str) -> bool {
    text.chars().all(
        |c| matches!(c, ' '..='\u{24f}' | '\u{2010}'..='\u{2027}' | '\u{2030}'..='\u{205e}' | '\u{2212}'),
    )
}

/// The stretches of a line in the order in which they stand from the left, each with where it begins and which way it is
/// written (Unicode Standard Annex 9). The line itself runs from left to right, as the sheets' own words do: only a name that is
/// written the other way turns, and no figure ever.
fn runs(text: &str) -> Vec<(usize, &str, Direction)> {
    let told = BidiInfo::new(text, Some(Level::ltr()));
    let mut runs = Vec::new();
    for paragraph in &told.paragraphs {
        let (levels, ranges) = told.visual_runs(paragraph, paragraph.range.clone());
        for range in ranges {
            let is_turned = levels.get(range.start).is_some_and(Level::is_rtl);
            let direction = if is_turned { Direction::RightToLeft } else { Direction::LeftToRight };
            if let Some(run) = text.get(range.clone()) {
                runs.push((range.start, run, direction));
            }
        }
    }
    runs
}

/// The words of a text with the space after them, and where each begins.
fn words(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.split_inclusive(' ').scan(0, |from, word| {
        let own = *from;
        *from += word.len();
        Some((own, word))
    })
}

impl Glyph {
    /// The same where its word begins at a place of a line.
    fn at(&self, from: usize) -> KrillaGlyph {
        let Self { id, advance, offset, start, end } = *self;
        KrillaGlyph::new(id, advance.0, offset.0, offset.1, advance.1, from + start..from + end, None)
    }
}

impl Hand {
    fn shape(&mut self, text: &str, direction: Direction) -> Vec<Glyph> {
        let Self { face, plans, .. } = self;
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        buffer.set_direction(direction);
        let of = buffer.script();
        let known = plans.iter().position(|(d, s, _)| (*d, *s) == (direction, of));
        let known = known.unwrap_or_else(|| {
            let named = Some(of).filter(|of| *of != script::UNKNOWN);
            let plan = ShapePlan::new(face, direction, named, buffer.language().as_ref(), &[]);
            plans.push((direction, of, plan));
            plans.len() - 1
        });
        let shaped = shape_with_plan(face, &plans[known].2, buffer);
        let infos = shaped.glyph_infos();
        let mut starts: Vec<usize> = infos.iter().map(|info| info.cluster as usize).collect();
        starts.sort_unstable();
        let units = face.units_per_em() as f32;
        let part = |figure: i32| figure as f32 / units;
        infos
            .iter()
            .zip(shaped.glyph_positions())
            .map(|(info, place)| {
                // Its letters run to where the next cluster begins, whichever way it is written.
                let start = info.cluster as usize;
                let end = starts.get(starts.partition_point(|s| *s <= start)).copied();
                Glyph {
                    id: GlyphId::new(info.glyph_id),
                    advance: (part(place.x_advance), part(place.y_advance)),
                    offset: (part(place.x_offset), part(place.y_offset)),
                    start,
                    end: end.unwrap_or(text.len()),
                }
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_shaped_one_by_one_stand_as_the_whole_line_does() {
        let mut shaper = Shaper::new().expect("both fonts");
        for text in [
            "Row 12 of 57: keep 103.5, take 86.7 off",
            "7' 2 5/8\" from wall",
            " two  spaces ",
            "2\u{a0}200 × 95",
        ] {
            assert!(is_plain(text));
            for bold in [false, true] {
                // Twice: the second time every word is known.
                let by_words = [shaper.shape(text, bold).0, shaper.shape(text, bold).0];
                let whole = shaper.hands[usize::from(bold)].shape(text, Direction::LeftToRight);
                for glyphs in by_words {
                    let told: Vec<_> = glyphs.iter().map(|g| (g.glyph_id, g.text_range.clone())).collect();
                    let expected: Vec<_> = whole.iter().map(|g| (g.id, g.start..g.end)).collect();
                    assert_eq!(told, expected, "{text}");
                }
            }
        }
        for text in ["בית", "ห้องนั่งเล่น", "🏡", "e\u{301}"] {
            assert!(!is_plain(text), "{text}");
        }
    }

    #[test]
    fn a_name_written_from_right_to_left_turns_neither_words_nor_figures_about_it() {
        let told = |text: &'static str| -> Vec<(&str, bool)> {
            let turned =
                |(_, run, way): (usize, &'static str, Direction)| (run, way == Direction::RightToLeft);
            runs(text).into_iter().map(turned).collect()
        };
        // By the rules of the annex, worked by hand: the line's level is 0, the letters' 1, a figure after them 2.
        assert_eq!(told("בית, walls 3 and 4: 15"), [("בית", true), (", walls 3 and 4: 15", false)]);
        assert_eq!(
            told("Oak 190 × 15 · חדר שינה · face 190"),
            [("Oak 190 × 15 · ", false), ("חדר שינה", true), (" · face 190", false)]
        );
        // A figure within such a name is read on in it, and its own digits stay as they are.
        assert_eq!(told("חדר 12"), [("12", false), ("חדר ", true)]);
        let mut shaper = Shaper::new().expect("both fonts");
        let text = "בית, wall 12";
        let places: Vec<usize> = shaper.shape(text, false).0.iter().map(|g| g.text_range.start).collect();
        // Three letters of two bytes from the last to the first, then the rest in its order.
        let after: Vec<usize> = (6..text.len()).collect();
        assert_eq!(places, [vec![4, 2, 0], after].concat());
    }
}
