//! Why a sheet cannot be written.

/// Why a sheet cannot be written.
#[derive(Debug, thiserror::Error)]
pub enum SheetError {
    /// A built-in font cannot be read.
    #[error(
        "the built-in font {0} cannot be read; the program was built from damaged assets, build it again"
    )]
    Font(&'static str),
    /// The PDF writer refused the pages.
    #[error(
        "the PDF cannot be written: {0}; take out unusual characters from names, or write the SVG instead"
    )]
    Pdf(String),
    /// A page whose size is no paper.
    #[error("page {number} measures {width} × {height} mm, which no PDF holds; use one of the papers")]
    PageSize {
        /// Page, from 1.
        number: usize,
        /// mm.
        width: f64,
        /// mm.
        height: f64,
    },
    /// None of the sheets that were named has anything on it.
    #[error("sheets: this plan has nothing for {0}; name other sheets, or leave them out to have all")]
    Nothing(String),
    /// The SVG cannot be read for drawing it as a picture.
    #[error("the SVG cannot be read: {0}; give one that this program wrote")]
    Svg(String),
    /// A picture with a side over the limit, or of no size.
    #[error(
        "a picture of {width} × {height} pixels cannot be drawn; each side may have 1 to {limit} pixels, \
         ask for fewer pixels per millimetre"
    )]
    PictureSize {
        /// Pixels.
        width: f64,
        /// Pixels.
        height: f64,
        /// Greatest side, pixels.
        limit: u32,
    },
    /// The DXF writer refused the drawing.
    #[error(
        "the DXF cannot be written: {0}; take out unusual characters from names, or write the SVG instead"
    )]
    Dxf(String),
    /// The workbook writer refused the lists.
    #[error("the workbook cannot be written: {0}; write the lists as CSV instead")]
    Workbook(String),
    /// A list cannot be written as CSV.
    #[error("a list cannot be written: {0}; write the workbook instead")]
    Csv(String),
    /// The result cannot be written as JSON.
    #[error("the result cannot be written as JSON: {0}; write the lists as CSV instead")]
    Json(String),
    /// The picture cannot be packed.
    #[error("the picture cannot be packed as PNG: {0}; ask for a smaller one")]
    Png(String),
}
