//! The lists as a workbook of a spreadsheet (Office Open XML, `.xlsx`).

use crate::SheetError;
use crate::page::clean;
use crate::told::Told;
use ::order::{Cell, Column, Table};
use pipeline::House;
use plan::{Units, format_length};
use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Workbook, Worksheet, XlsxError,
};

/// Widest column, letters: a longer text is cut off on the screen, not in the file.
const WIDEST: usize = 60;
/// Most letters of the plan's name in a printed page's header, where each may be written as two: the format takes 255
/// in all.
const HEADER: usize = 100;

/// The lists as a workbook, one sheet a list: lengths are numbers in millimetres; in a plan shown in feet and
/// inches each has its text beside it. Words stand as text, whatever they begin with.
///
/// # Errors
/// [`SheetError::Workbook`] when the writer refuses something, such as more rows than a sheet may have.
pub fn workbook(house: &House) -> Result<Vec<u8>, SheetError> {
    workbook_of(&Told::new(house))
}

/// The same of a house of which something may have been asked already.
pub(crate) fn workbook_of(house: &Told<'_>) -> Result<Vec<u8>, SheetError> {
    book_of(house).map_err(|error| SheetError::Workbook(error.to_string()))
}

fn book_of(house: &Told<'_>) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // A fixed day instead of the clock's, so that the same plan gives the same bytes.
    let created = ExcelDateTime::from_ymd(2000, 1, 1)?;
    let title = clean(&house.plan.name);
    book.set_properties(&DocProperties::new().set_title(&title).set_creation_datetime(&created));
    for table in house.tables() {
        let sheet = book.add_worksheet();
        put_table(sheet, table, house.plan.units)?;
        let name = title.chars().take(HEADER).collect::<String>().replace('&', "&&");
        sheet.set_header(format!("&L{name} — {}&R&P / &N", table.title));
    }
    book.save_to_buffer()
}

/// A column of the workbook: one of the table's, or its lengths as text in feet and inches.
struct Shown<'a> {
    index: usize,
    column: &'a Column,
    is_text: bool,
}

fn put_table(sheet: &mut Worksheet, table: &Table, units: Units) -> Result<(), XlsxError> {
    let head = Format::new().set_bold().set_border_bottom(FormatBorder::Thin).set_text_wrap();
    let length = Format::new().set_num_format("#,##0.0");
    let whole = Format::new().set_num_format("0");
    let right = Format::new().set_align(FormatAlign::Right);
    sheet.set_name(table.title)?;
    let mut shown = Vec::new();
    for (index, column) in table.columns.iter().enumerate() {
        shown.push(Shown { index, column, is_text: false });
        if units == Units::FeetInches && is_length(column) {
            shown.push(Shown { index, column, is_text: true });
        }
    }
    for (at, Shown { index, column, is_text }) in shown.iter().enumerate() {
        let at = u16::try_from(at).unwrap_or(u16::MAX);
        let unit = match (is_length(column), is_text) {
            (true, false) => " (mm)",
            (true, true) => " (ft in)",
            (false, _) => "",
        };
        let words = format!("{}{unit}", column.words);
        let mut widest = words.chars().count();
        sheet.write_string_with_format(0, at, &words, &head)?;
        for (row, cells) in (1..).zip(&table.rows) {
            let Some(cell) = cells.get(*index) else { continue };
            let letters = match cell {
                Cell::Empty => 0,
                Cell::Text(text) => {
                    let text = clean(text);
                    sheet.write_string(row, at, &text)?;
                    text.chars().count()
                }
                Cell::Count(count) => {
                    sheet.write_number_with_format(row, at, *count as f64, &whole)?;
                    count.to_string().len()
                }
                Cell::Length(mm) if *is_text => {
                    let text = format_length(*mm, Units::FeetInches);
                    sheet.write_string_with_format(row, at, &text, &right)?;
                    text.chars().count()
                }
                // What is written to a tenth in the CSV is the same number here.
                Cell::Length(mm) => {
                    sheet.write_number_with_format(row, at, (mm * 10.0).round() / 10.0, &length)?;
                    format!("{mm:.1}").len() + 1
                }
                Cell::Figure(figure, decimals) => {
                    let format = Format::new().set_num_format(format!("#,##0.{}", "0".repeat(*decimals)));
                    sheet.write_number_with_format(row, at, *figure, &format)?;
                    format!("{figure:.decimals$}").len() + 1
                }
            };
            widest = widest.max(letters);
        }
        sheet.set_column_width(at, (widest.min(WIDEST) + 2) as f64)?;
    }
    let last_row = u32::try_from(table.rows.len()).unwrap_or(u32::MAX);
    let last_column = u16::try_from(shown.len().saturating_sub(1)).unwrap_or(u16::MAX);
    sheet.set_freeze_panes(1, 0)?;
    if last_row > 0 {
        sheet.autofilter(0, 0, last_row, last_column)?;
    }
    sheet.set_repeat_rows(0, 0)?;
    sheet.set_landscape().set_print_fit_to_pages(1, 0);
    Ok(())
}

fn is_length(column: &Column) -> bool {
    column.key.ends_with("_mm")
}
