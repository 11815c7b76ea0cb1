//! PNG: an SVG drawn as a picture with the built-in fonts.

use crate::{Page, SheetError, font, svg};
use ::png::{BitDepth, ColorType, Encoder, EncodingError, PixelDimensions, Unit};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::fontdb::{Database, Source};
use resvg::usvg::{Options, Tree};
use std::sync::{Arc, OnceLock};

/// Greatest side of a picture, pixels.
pub const PNG_SIDE_LIMIT: u32 = 12_000;
/// Greatest count of pixels of a picture: four bytes each while it is drawn.
const PIXEL_LIMIT: f64 = 100e6;

/// How large a picture is to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PngSize {
    /// Pixels to a paper millimetre.
    PerMillimetre(f64),
    /// Pixels across.
    Width(u32),
}

/// A picture: four bytes a pixel (red, green, blue, opacity), row by row from the top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// The bytes.
    pub rgba: Vec<u8>,
}

/// A page as a picture so many pixels wide, for looking at on a screen. It is drawn from the same marks as the page of
/// the PDF.
///
/// # Errors
/// As [`png`].
pub fn page_picture(page: &Page, width: u32) -> Result<Picture, SheetError> {
    let (pixels, _) = drawn(&svg(page, ""), PngSize::Width(width))?;
    // The paper covers all of it, so that no pixel lets anything through.
    Ok(Picture { width: pixels.width(), height: pixels.height(), rgba: pixels.take() })
}

/// Draws an SVG of [`crate::svg`] as a PNG. Only the built-in fonts are used, so that the picture is the
/// same everywhere.
///
/// # Errors
/// [`SheetError::Svg`] for text that is no SVG, [`SheetError::PictureSize`] for a picture of no size or
/// over the limit, [`SheetError::Png`] where packing fails.
pub fn png(svg: &str, size: PngSize) -> Result<Vec<u8>, SheetError> {
    let (pixels, per_millimetre) = drawn(svg, size)?;
    packed(&pixels, per_millimetre).map_err(|error| SheetError::Png(error.to_string()))
}

/// A picture as a file that says how large it is on paper (PNG, third edition, 11.3.4.3: pixels to a metre).
fn packed(pixels: &Pixmap, per_millimetre: f64) -> Result<Vec<u8>, EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, pixels.width(), pixels.height());
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    let to_a_metre = (per_millimetre * 1000.0).round().clamp(1.0, f64::from(u32::MAX)) as u32;
    encoder.set_pixel_dims(Some(PixelDimensions { xppu: to_a_metre, yppu: to_a_metre, unit: Unit::Meter }));
    let mut writer = encoder.write_header()?;
    // The paper covers all of it, so that no pixel lets anything through.
    let colours: Vec<u8> =
        pixels.data().chunks_exact(4).flat_map(|pixel| [pixel[0], pixel[1], pixel[2]]).collect();
    writer.write_image_data(&colours)?;
    writer.finish()?;
    Ok(bytes)
}

/// The built-in fonts, read once.
fn fonts() -> Arc<Database> {
    static FONTS: OnceLock<Arc<Database>> = OnceLock::new();
    let read = || {
        let mut fonts = Database::new();
        for bold in [false, true] {
            fonts.load_font_source(Source::Binary(Arc::new(font::bytes(bold))));
        }
        fonts.set_sans_serif_family(font::FAMILY);
        Arc::new(fonts)
    };
    FONTS.get_or_init(read).clone()
}

/// The picture, and its pixels to a millimetre of paper.
fn drawn(svg: &str, size: PngSize) -> Result<(Pixmap, f64), SheetError> {
    font::check()?;
    let options = Options { font_family: font::FAMILY.into(), fontdb: fonts(), ..Options::default() };
    let tree = Tree::from_str(svg, &options).map_err(|error| SheetError::Svg(error.to_string()))?;
    // usvg gives sizes in CSS pixels, 96 to an inch of 25.4 mm.
    let millimetre = 96.0 / 25.4;
    let factor = match size {
        PngSize::PerMillimetre(pixels) => pixels / millimetre,
        PngSize::Width(pixels) => f64::from(pixels) / f64::from(tree.size().width()),
    };
    let width = (f64::from(tree.size().width()) * factor).round();
    let height = (f64::from(tree.size().height()) * factor).round();
    let limit = f64::from(PNG_SIDE_LIMIT);
    let is_fit = (1.0..=limit).contains(&width) && (1.0..=limit).contains(&height);
    let too_large = SheetError::PictureSize { width, height, limit: PNG_SIDE_LIMIT };
    if !is_fit || width * height > PIXEL_LIMIT {
        return Err(too_large);
    }
    let mut pixels = Pixmap::new(width as u32, height as u32).ok_or(too_large)?;
    let scale = factor as f32;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
    Ok((pixels, factor * millimetre))
}
