//! A picture from the bytes of a file, within limits on its size; nothing of the window.

use image::{DynamicImage, ImageDecoder, ImageError, ImageReader, Limits, RgbaImage};
use std::io::Cursor;

/// Most pixels to a side, as a plan takes them.
pub(crate) const MOST_SIDE: u32 = 20_000;
/// Most memory to read it in, bytes: a hundred million pixels.
const MOST_MEMORY: u64 = 400 << 20;
/// Longest side of what is shown, pixels; a larger picture is shown coarser.
const SHOWN_SIDE: u32 = 4096;

/// A picture as it was seen.
pub(crate) struct Decoded {
    /// Its own size, turned as it was held.
    pub(crate) pixels: (u32, u32),
    /// What is shown of it, no longer than 4096 pixels to a side.
    pub(crate) shown: RgbaImage,
}

/// Reads a picture of whatever bytes.
///
/// # Errors
/// When it is no PNG or JPEG, is damaged, or has more pixels than are taken.
pub(crate) fn decode(bytes: &[u8]) -> Result<Decoded, ImageError> {
    let mut limits = Limits::default();
    limits.max_image_width = Some(MOST_SIDE);
    limits.max_image_height = Some(MOST_SIDE);
    limits.max_alloc = Some(MOST_MEMORY);
    let mut reader =
        ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(ImageError::IoError)?;
    reader.limits(limits);
    let mut decoder = reader.into_decoder()?;
    // A camera notes how it was held; the picture is shown as it was seen.
    let held = decoder.orientation()?;
    let mut picture = DynamicImage::from_decoder(decoder)?;
    picture.apply_orientation(held);
    let pixels = (picture.width(), picture.height());
    if pixels.0.max(pixels.1) > SHOWN_SIDE {
        picture = picture.thumbnail(SHOWN_SIDE, SHOWN_SIDE);
    }
    Ok(Decoded { pixels, shown: picture.to_rgba8() })
}

#[cfg(test)]
mod tests {
    use super::*;

    const PICTURES: [(&[u8], (u32, u32)); 9] = [
        (include_bytes!("../../../../tests/fuzz/seeds/picture/clear.png"), (2, 2)),
        (include_bytes!("../../../../tests/fuzz/seeds/picture/colour.png"), (2, 2)),
        (include_bytes!("../../../../tests/fuzz/seeds/picture/deep.png"), (2, 1)),
        (include_bytes!("../../../../tests/fuzz/seeds/picture/few-colours.png"), (8, 2)),
        (include_bytes!("../../../../tests/fuzz/seeds/picture/grey.png"), (3, 2)),
        (include_bytes!("../../../../tests/fuzz/seeds/picture/woven.png"), (2, 2)),
        (include_bytes!("../../../../tests/fuzz/seeds/picture/plain.jpg"), (9, 6)),
        (include_bytes!("../../../../tests/fuzz/seeds/picture/step-by-step.jpg"), (9, 6)),
        // Exif's orientation 6, as sizes say: the camera was held upright, and 9 by 6 is seen as 6 by 9.
        (include_bytes!("../../../../tests/fuzz/seeds/picture/held.jpg"), (6, 9)),
    ];

    #[test]
    fn pictures_have_their_size_as_seen() {
        for (index, (bytes, pixels)) in PICTURES.iter().enumerate() {
            let decoded = decode(bytes).expect("a picture");
            assert_eq!(decoded.pixels, *pixels, "picture {index}");
            assert_eq!(decoded.shown.dimensions(), *pixels, "picture {index}");
        }
    }

    /// Stretches taken out, doubled and changed; a fuzzer's target, `picture`, goes on where this ends.
    #[test]
    fn damaged_pictures_are_shown_or_refused() {
        let mut state = 1961_u64;
        let mut below = |count: usize| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            ((state >> 33) as usize) % count
        };
        let (mut shown, cases) = (0, 3000);
        for _ in 0..cases {
            let mut bytes = PICTURES[below(PICTURES.len())].0.to_vec();
            for _ in 0..1 + below(3) {
                let at = below(bytes.len());
                let to = (at + below(12)).min(bytes.len());
                match below(4) {
                    0 if to - at < bytes.len() => drop(bytes.drain(at..to)),
                    1 => bytes.extend_from_within(at..to),
                    _ => bytes[at] = below(256) as u8,
                }
            }
            if let Ok(decoded) = decode(&bytes) {
                shown += 1;
                assert!(decoded.pixels.0.max(decoded.pixels.1) <= MOST_SIDE);
            }
        }
        assert!(shown > 0 && shown < cases, "{shown} of {cases} shown");
    }
}
