//! Lengths as they are typed.

use super::{FOOT, INCH, LengthError, Units};

/// A longer length is a slip of the hand, mm.
const FARTHEST: f64 = 1_000_000.0;

/// Reads a typed length into millimetres.
///
/// A bare number is millimetres, or inches with [`Units::FeetInches`]; `mm`, `cm`, `m`, `in` or `"`, and `ft`
/// or `'` may follow it in either, feet may be followed by inches, and inches may have a fraction: `2806`,
/// `2 806`, `2.806 m`, `280.6 cm`, `9' 2 1/2"`, `110.5"`, `9ft 2in`.
///
/// A comma followed by exactly three digits sets off thousands (`2,806` is 2806), unless the number begins
/// with 0; any other comma is a decimal comma (`2,8` is 2.8, `0,125` is 0.125). A point is always decimal.
///
/// # Errors
/// When the text is no length, or one of more than a kilometre.
pub fn parse_length(text: &str, units: Units) -> Result<f64, LengthError> {
    let plain = plain(text);
    let (is_negative, unsigned) = match plain.strip_prefix(['-', '+']) {
        Some(rest) => (plain.starts_with('-'), rest.trim_start()),
        None => (false, plain.as_str()),
    };
    let fail = |what: String| LengthError { what, mend: what_is_read(units).into() };
    if unsigned.is_empty() {
        return Err(fail("there is no length".into()));
    }
    let length = read_parts(unsigned, units).map_err(|what| fail(format!("`{}` {what}", text.trim())))?;
    if length > FARTHEST {
        return Err(fail(format!("`{}` is more than a kilometre", text.trim())));
    }
    // Conversions leave the last binary digits off: 2.806 m is 2806 mm.
    let length = (length * 1e6).round() / 1e6;
    Ok(if is_negative { -length } else { length })
}

fn what_is_read(units: Units) -> &'static str {
    match units {
        Units::Metric => "type millimetres such as 2806, or 2.806 m, 280.6 cm, 9' 2 1/2\"",
        Units::FeetInches => "type feet and inches such as 9' 2 1/2\", inches such as 110.5, or 2806 mm",
    }
}

/// One kind of blank, minus, quote; lower case.
fn plain(text: &str) -> String {
    let same = |letter: char| match letter {
        letter if letter.is_whitespace() => ' ',
        '\u{2212}' | '\u{2013}' => '-',
        '\u{2032}' | '\u{2019}' | '\u{2018}' => '\'',
        '\u{2033}' | '\u{201d}' | '\u{201c}' => '"',
        letter => letter.to_ascii_lowercase(),
    };
    text.trim().chars().map(same).collect::<String>().replace("''", "\"")
}

/// Reads `number unit`, or feet followed by inches.
fn read_parts(text: &str, units: Units) -> Result<f64, &'static str> {
    let (feet_or_all, unit, rest) = read_part(text)?;
    let size = match (unit, units) {
        (Unit::Foot, _) if !rest.is_empty() => {
            let (inches, unit, rest) = read_part(rest)?;
            if !matches!(unit, Unit::Inch | Unit::None) {
                return Err("has something other than inches after the feet");
            }
            if !rest.is_empty() {
                return Err("goes on after the inches");
            }
            return Ok(feet_or_all.value * FOOT + inches.value * INCH);
        }
        (Unit::None, Units::Metric) | (Unit::Millimetre, _) => 1.0,
        (Unit::None, Units::FeetInches) | (Unit::Inch, _) => INCH,
        (Unit::Centimetre, _) => 10.0,
        (Unit::Metre, _) => 1000.0,
        (Unit::Foot, _) => FOOT,
    };
    if !rest.is_empty() {
        return Err("goes on after the length");
    }
    if feet_or_all.is_fraction && size != INCH && size != FOOT {
        return Err("has a fraction, and only inches and feet have those");
    }
    Ok(feet_or_all.value * size)
}

#[derive(Clone, Copy)]
enum Unit {
    None,
    Millimetre,
    Centimetre,
    Metre,
    Inch,
    Foot,
}

struct Number {
    value: f64,
    is_fraction: bool,
}

/// A number with its unit, and what follows.
fn read_part(text: &str) -> Result<(Number, Unit, &str), &'static str> {
    let (number, rest) = read_number(text)?;
    let rest = rest.trim_start();
    let (unit, rest) = match rest.chars().next() {
        Some('\'') => (Unit::Foot, &rest[1..]),
        Some('"') => (Unit::Inch, &rest[1..]),
        Some(letter) if letter.is_alphabetic() => {
            let end = rest.find(|letter: char| !letter.is_alphabetic()).unwrap_or(rest.len());
            let unit = match &rest[..end] {
                "mm" => Unit::Millimetre,
                "cm" => Unit::Centimetre,
                "m" => Unit::Metre,
                "in" | "inch" | "inches" => Unit::Inch,
                "ft" | "foot" | "feet" => Unit::Foot,
                _ => return Err("has a unit that is not known"),
            };
            (unit, rest[end..].strip_prefix('.').unwrap_or(&rest[end..]))
        }
        _ => (Unit::None, rest),
    };
    Ok((number, unit, rest.trim_start()))
}

/// `2806`, `2 806`, `2,806`, `2.5`, `2,5`, `2 1/2`, `2-1/2` or `1/2`.
fn read_number(text: &str) -> Result<(Number, &str), &'static str> {
    let (whole, rest) = read_decimal(text)?;
    if let Some(below) = rest.strip_prefix('/') {
        let (value, rest) = fraction(whole, below)?;
        return Ok((Number { value, is_fraction: true }, rest));
    }
    if let Some(top) = rest.strip_prefix([' ', '-'])
        && top.starts_with(|letter: char| letter.is_ascii_digit())
    {
        let digits = top.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(top.len());
        if let Some(below) = top[digits..].strip_prefix('/') {
            let (part, rest) = fraction(top[..digits].parse().map_err(|_| "is no number")?, below)?;
            return Ok((Number { value: whole + part, is_fraction: true }, rest));
        }
    }
    Ok((Number { value: whole, is_fraction: false }, rest))
}

fn fraction(above: f64, below: &str) -> Result<(f64, &str), &'static str> {
    let end = below.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(below.len());
    match below[..end].parse::<f64>() {
        Ok(divisor) if divisor > 0.0 => Ok((above / divisor, &below[end..])),
        _ => Err("has a fraction that divides by nothing"),
    }
}

fn read_decimal(text: &str) -> Result<(f64, &str), &'static str> {
    let bytes = text.as_bytes();
    let digits_from =
        |from: usize| bytes[from.min(bytes.len())..].iter().take_while(|b| b.is_ascii_digit()).count();
    let mut at = digits_from(0);
    let mut digits = text[..at].to_owned();
    // Thousands: one to three digits, then groups of exactly three that do not belong to a fraction.
    if (1..=3).contains(&at) && !text.starts_with('0') {
        while matches!(bytes.get(at), Some(b' ' | b','))
            && digits_from(at + 1) == 3
            && bytes.get(at + 4) != Some(&b'/')
        {
            digits.push_str(&text[at + 1..at + 4]);
            at += 4;
        }
    }
    if matches!(bytes.get(at), Some(b'.' | b',')) {
        let decimals = digits_from(at + 1);
        if decimals > 0 || at > 0 {
            digits.push('.');
            digits.push_str(&text[at + 1..at + 1 + decimals]);
            at += 1 + decimals;
        }
    }
    if digits.is_empty() || digits == "." {
        return Err("is no number");
    }
    Ok((digits.parse().map_err(|_| "is no number")?, &text[at..]))
}
