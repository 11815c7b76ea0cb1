//! Writing as glyphs of the built-in fonts: a plan of shaping is made once for each font, direction and script.

use crate::{SheetError, font};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use rustybuzz::{Direction, Face, Script, ShapePlan, UnicodeBuffer, script, shape_with_plan};

/// One font: what the writer embeds, what shapes its writing, and the plans made so far.
struct Hand {
    font: Font,
    face: Face<'static>,
    plans: Vec<(Direction, Script, ShapePlan)>,
}

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
            Ok(Hand { font, face, plans: Vec::new() })
        };
        Ok(Self { hands: [hand(false, "Inter Regular")?, hand(true, "Inter SemiBold")?] })
    }

    /// The glyphs of a line of writing, their advances as parts of the type size, and the font they are of.
    pub(crate) fn shape(&mut self, text: &str, bold: bool) -> (Vec<KrillaGlyph>, Font) {
        let Hand { font, face, plans } = &mut self.hands[usize::from(bold)];
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        let (direction, of) = (buffer.direction(), buffer.script());
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
        let glyphs = infos
            .iter()
            .zip(shaped.glyph_positions())
            .map(|(info, place)| {
                // Its letters run to where the next cluster begins, whichever way it is written.
                let start = info.cluster as usize;
                let end = starts.get(starts.partition_point(|s| *s <= start)).copied();
                KrillaGlyph::new(
                    GlyphId::new(info.glyph_id),
                    part(place.x_advance),
                    part(place.x_offset),
                    part(place.y_offset),
                    part(place.y_advance),
                    start..end.unwrap_or(text.len()),
                    None,
                )
            })
            .collect();
        (glyphs, font.clone())
    }
}
