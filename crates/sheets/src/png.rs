//! PNG: an SVG drawn as a picture with the built-in fonts.

use crate::{SheetError, font};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};
use std::sync::Arc;

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

/// Draws an SVG of [`crate::svg`] as a PNG. Only the built-in fonts are used, so that the picture is the
/// same everywhere.
///
/// # Errors
/// [`SheetError::Svg`] for text that is no SVG, [`SheetError::PictureSize`] for a picture of no size or
/// over the limit, [`SheetError::Png`] where packing fails.
pub fn png(svg: &str, size: PngSize) -> Result<Vec<u8>, SheetError> {
    font::check()?;
    let mut options = Options { font_family: font::FAMILY.into(), ..Options::default() };
    let fonts = options.fontdb_mut();
    for bold in [false, true] {
        fonts.load_font_source(resvg::usvg::fontdb::Source::Binary(Arc::new(font::bytes(bold))));
    }
    fonts.set_sans_serif_family(font::FAMILY);
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
    let factor = factor as f32;
    resvg::render(&tree, Transform::from_scale(factor, factor), &mut pixels.as_mut());
    pixels.encode_png().map_err(|error| SheetError::Png(error.to_string()))
}
