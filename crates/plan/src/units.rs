//! Lengths as people type and read them: millimetres, or feet and inches to a sixteenth.
//!
//! An inch is the international inch, 25.4 mm exactly.

mod read;

pub use read::parse_length;
use serde::{Deserialize, Serialize};

/// International inch (1959), exact.
const INCH: f64 = 25.4;
const FOOT: f64 = 12.0 * INCH;

/// How lengths are shown and typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Units {
    /// Millimetres.
    #[default]
    Metric,
    /// Feet, inches and sixteenths.
    FeetInches,
}

/// Why a typed length cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{what}; {mend}")]
pub struct LengthError {
    /// What is wrong with the text.
    pub what: String,
    /// What would be read.
    pub mend: String,
}

/// Shows a length (mm): `2 806` with a no-break space between thousands and tenths where there are any, or
/// `9' 2 1/2"` to the nearest sixteenth. Halves are rounded away from zero.
pub fn format_length(length: f64, units: Units) -> String {
    if !length.is_finite() {
        return "?".into();
    }
    let text = match units {
        Units::Metric => format_metric(length.abs()),
        Units::FeetInches => format_feet(length.abs()),
    };
    let is_zero = !text.bytes().any(|byte| matches!(byte, b'1'..=b'9'));
    if length < 0.0 && !is_zero { format!("\u{2212}{text}") } else { text }
}

/// A length as a tape reads it: to the millimetre, or to the sixteenth of an inch that is nearest to the length itself. A length
/// that is first brought to whole millimetres may read another sixteenth.
pub fn format_tape(length: f64, units: Units) -> String {
    match units {
        Units::Metric => format_length(nearest_whole(length), units),
        Units::FeetInches => format_length(length, units),
    }
}

/// The nearest whole number, halves away from zero. What is short of a half by what arithmetic leaves is that half: a rip of
/// 25.5 reads 26 wherever it is told, whichever way it was reckoned.
pub fn nearest_whole(figure: f64) -> f64 {
    (figure + 1e-6_f64.copysign(figure)).round()
}

/// A length to be cut (mm) as it is set and told, everywhere alike: whole millimetres, rounded down, so that nothing is
/// longer than its place. What is short of a whole millimetre by what arithmetic leaves is that millimetre.
pub fn cut_down(length: f64) -> f64 {
    (length + 1e-6).floor()
}

/// A figure as it is told beside the limit it is judged by (mm), in steps of `step`: one that lies under its limit is
/// never told as the limit or more, one over it never as the limit or less, however little it is off. Nothing is never
/// told as less than nothing, nor a figure by another sign than its own.
pub fn judged(figure: f64, limit: f64, step: f64) -> f64 {
    let in_steps = figure / step;
    let (told, at) = (nearest_whole(in_steps), nearest_whole(limit / step));
    let steps = if figure < limit && told >= at {
        in_steps.floor().min(at - 1.0)
    } else if figure > limit && told <= at {
        in_steps.ceil().max(at + 1.0)
    } else {
        told
    };
    if figure >= 0.0 { steps.max(0.0) * step } else { steps.min(0.0) * step }
}

/// The step in which a tape shows lengths: a millimetre, or a sixteenth of an inch (mm).
pub fn tape_step(units: Units) -> f64 {
    match units {
        Units::Metric => 1.0,
        Units::FeetInches => INCH / 16.0,
    }
}

/// Shows an area (mm²): `61.30 m²`, or `659.8 sq ft (61.30 m²)`; materials are sold and spread by the square metre or the
/// litre whatever the tape shows, so sums can be followed in either.
pub fn format_area(area: f64, units: Units) -> String {
    // A sum of nothing may be less than nothing by its sign.
    let area = area + 0.0;
    let metric = format!("{:.2} m²", area / 1e6);
    match units {
        Units::Metric => metric,
        Units::FeetInches => format!("{:.1} sq ft ({metric})", area / (FOOT * FOOT)),
    }
}

/// Shows how much of something runs along (mm): `12.34 m`, or `40.5 ft (12.34 m)`.
pub fn format_run(length: f64, units: Units) -> String {
    let length = length + 0.0;
    let metric = format!("{:.2} m", length / 1000.0);
    match units {
        Units::Metric => metric,
        Units::FeetInches => format!("{:.1} ft ({metric})", length / FOOT),
    }
}

/// Shows a small measure that a sum in millimetres is made of (mm): `7 mm`, or `1/4" (7 mm)`.
pub fn format_small(length: f64, units: Units) -> String {
    let metric = format!("{} mm", nearest_whole(length * 1000.0) / 1000.0);
    match units {
        Units::Metric => metric,
        Units::FeetInches => format!("{} ({metric})", format_length(length, units)),
    }
}

/// Shows a measure finer than a tape's step, such as the pitch reckoned from rows measured together (mm): `190.43 mm`, or
/// `7.497"`, a thousandth of an inch.
pub fn format_fine(length: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} mm", nearest_whole(length * 100.0) / 100.0 + 0.0),
        Units::FeetInches => format!("{:.3}\"", length / INCH),
    }
}

/// A sum of money with two decimals and its thousands apart, as lengths are written: `7\u{a0}122.50`.
pub fn format_money(amount: f64) -> String {
    let plain = format!("{:.2}", amount.abs());
    let (whole, cents) = plain.split_at(plain.len() - 3);
    let mut text = if amount < 0.0 { "−".to_owned() } else { String::new() };
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i) % 3 == 0 {
            text.push('\u{a0}');
        }
        text.push(digit);
    }
    text + cents
}

fn format_metric(length: f64) -> String {
    let tenths = format!("{:02.0}", nearest_whole(length * 10.0));
    let (whole, tenth) = tenths.split_at(tenths.len() - 1);
    let mut text = String::with_capacity(whole.len() + 6);
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i) % 3 == 0 {
            text.push('\u{a0}');
        }
        text.push(digit);
    }
    if tenth != "0" {
        text.push('.');
        text.push_str(tenth);
    }
    text
}

fn format_feet(length: f64) -> String {
    // Everything is counted in sixteenths, so that 16/16 and 12 in carry by themselves.
    let sixteenths = nearest_whole(length / INCH * 16.0);
    let feet = (sixteenths / 192.0).floor();
    let rest = (sixteenths - feet * 192.0) as u32;
    let (inches, part) = (rest / 16, rest % 16);
    let mut text = if feet > 0.0 { format!("{feet:.0}' ") } else { String::new() };
    if part == 0 {
        text.push_str(&inches.to_string());
    } else {
        let halvings = part.trailing_zeros();
        if inches > 0 {
            text.push_str(&format!("{inches} "));
        }
        text.push_str(&format!("{}/{}", part >> halvings, 16_u32 >> halvings));
    }
    text.push('"');
    text
}

#[cfg(test)]
mod tests {
    use super::Units::{FeetInches, Metric};
    use super::*;

    /// A rip as sums leave it: half way between two millimetres by hand, a hair under or over that by arithmetic. It reads
    /// alike.
    #[test]
    fn a_half_reads_alike_whichever_way_it_was_reckoned() {
        for reckoned in [25.5, 25.499999999999545, 25.500000000000455] {
            assert_eq!(format_tape(reckoned, Metric), "26");
            assert_eq!(format_tape(-reckoned, Metric), "\u{2212}26");
            assert_eq!(judged(reckoned, 50.0, 1.0), 26.0);
        }
        // What a tape could tell from a half stays under it.
        assert_eq!(format_tape(25.49, Metric), "25");
        // 1/32 of an inch is half way between two sixteenths.
        assert_eq!(format_tape(25.4 / 32.0 - 1e-12, FeetInches), "1/16\"");
        assert_eq!(format_length(0.05 - 1e-12, Metric), "0.1");
    }

    /// An inch is 25.4 mm by definition: 190.5 / 25.4 = 7.5, 190.4 / 25.4 = 7.49606…
    #[test]
    fn fine_figures_tell_apart_what_a_tape_cannot() {
        let told = [190.5, 190.4].map(|mm| (format_fine(mm, Metric), format_fine(mm, FeetInches)));
        assert_eq!(told[0], ("190.5 mm".into(), "7.500\"".into()));
        assert_eq!(told[1], ("190.4 mm".into(), "7.496\"".into()));
        assert_eq!(format_length(190.5, FeetInches), format_length(190.4, FeetInches));
    }

    #[test]
    fn a_figure_off_its_limit_is_never_told_as_the_limit() {
        // By hand: 49.7 rounds to 50, the limit, so it is told as 49; 50.3 over 50 as 51. What is well off is rounded.
        let under = [49.7, 49.999, 33.4, 33.6, 50.0, 50.4].map(|mm| judged(mm, 50.0, 1.0));
        assert_eq!(under, [49.0, 49.0, 33.0, 34.0, 50.0, 51.0]);
        assert_eq!([judged(126.9, 127.28, 1.0), judged(8000.2, 8000.0, 1.0)], [126.0, 8001.0]);
        assert!((judged(4.96, 5.0, 0.1) - 4.9).abs() < 1e-9);
        // 2 in are 50.8 mm: a sixteenth less, 49.2125, is told of 50.7.
        assert!((judged(50.7, 50.8, tape_step(FeetInches)) - 49.2125).abs() < 1e-9);
        // A joint that closes on nothing, with 0.5 wanted: no sixteenth lies between, and nothing is not -1/16".
        assert_eq!([judged(0.0, 0.5, tape_step(FeetInches)), judged(0.3, 0.4, 1.0)], [0.0, 0.0]);
        assert_eq!([judged(-0.2, -0.3, 1.0), judged(-1.4, -1.0, 1.0)], [0.0, -2.0]);
    }

    #[test]
    fn sums_of_money_are_written_like_lengths() {
        let said = [0.0, 8.9, 999.999, 7122.5, 1_234_567.0, -12.5].map(format_money);
        assert_eq!(
            said,
            ["0.00", "8.90", "1\u{a0}000.00", "7\u{a0}122.50", "1\u{a0}234\u{a0}567.00", "−12.50"]
        );
    }

    #[test]
    fn sums_are_shown_in_feet_beside_metres() {
        // 100 sq ft are 100 · 0.3048² = 9.290304 m²; 50 ft are 15.24 m; 1/4 in is 6.35 mm: by definition of the inch.
        assert_eq!(format_area(9.290304e6, Units::FeetInches), "100.0 sq ft (9.29 m²)");
        assert_eq!(format_area(9.290304e6, Units::Metric), "9.29 m²");
        assert_eq!(format_run(15_240.0, Units::FeetInches), "50.0 ft (15.24 m)");
        assert_eq!(format_run(15_240.0, Units::Metric), "15.24 m");
        assert_eq!(format_small(6.35, Units::FeetInches), "1/4\" (6.35 mm)");
        assert_eq!(format_small(7.0, Units::Metric), "7 mm");
    }
    use proptest::prelude::*;

    #[test]
    fn millimetres_are_shown_with_thousands_and_tenths() {
        let cases = [
            (0.0, "0"),
            (0.04, "0"),
            (0.05, "0.1"),
            (-0.04, "0"),
            (7.0, "7"),
            (2806.0, "2\u{a0}806"),
            (2806.25, "2\u{a0}806.3"),
            (-2806.25, "\u{2212}2\u{a0}806.3"),
            (999.96, "1\u{a0}000"),
            (1_234_567.0, "1\u{a0}234\u{a0}567"),
            (f64::NAN, "?"),
        ];
        for (length, text) in cases {
            assert_eq!(format_length(length, Metric), text);
        }
    }

    /// 1 in = 25.4 mm exactly and 1/16 in = 1.5875 mm (international inch of 1959).
    #[test]
    fn feet_and_inches_are_shown_to_a_sixteenth() {
        let cases = [
            (0.0, "0\""),
            (25.4, "1\""),
            (1.5875, "1/16\""),
            (12.7, "1/2\""),
            (9.0 * 304.8 + 2.5 * 25.4, "9' 2 1/2\""),
            (304.8, "1' 0\""),
            (304.8 + 19.05, "1' 3/4\""),
            (304.8 - 0.5, "1' 0\""),
            (25.4 - 0.5, "1\""),
            (-63.5, "\u{2212}2 1/2\""),
            (-0.1, "0\""),
        ];
        for (length, text) in cases {
            assert_eq!(format_length(length, FeetInches), text, "{length}");
        }
    }

    #[test]
    fn lengths_are_read_as_they_are_typed() {
        let cases = [
            ("2806", Metric, 2806.0),
            (" 2 806 ", Metric, 2806.0),
            ("2\u{a0}806.5", Metric, 2806.5),
            ("1 234 567", Metric, f64::NAN),
            ("2,806", Metric, 2806.0),
            ("2,8", Metric, 2.8),
            ("0,125 m", Metric, 125.0),
            ("12,5 cm", Metric, 125.0),
            ("2.806", Metric, 2.806),
            ("2.806 m", Metric, 2806.0),
            ("280.6cm", Metric, 2806.0),
            (".5", Metric, 0.5),
            ("-12", Metric, -12.0),
            ("\u{2212}12 mm", FeetInches, -12.0),
            ("9' 2 1/2\"", Metric, 2806.7),
            ("9\u{2032} 2 1/2\u{2033}", FeetInches, 2806.7),
            ("9'2-1/2\"", FeetInches, 2806.7),
            ("9' 2 1/2", FeetInches, 2806.7),
            ("110.5\"", Metric, 2806.7),
            ("110.5", FeetInches, 2806.7),
            ("110 1/2", FeetInches, 2806.7),
            ("9ft 2in", Metric, 2794.0),
            ("9 ft. 2 in.", Metric, 2794.0),
            ("9'", FeetInches, 2743.2),
            ("1/16\"", Metric, 1.5875),
            ("5 100/200 in", Metric, 139.7),
            ("2806MM", FeetInches, 2806.0),
        ];
        for (text, units, length) in cases {
            let read = parse_length(text, units);
            if length.is_nan() {
                assert!(read.unwrap_err().what.contains("kilometre"), "{text}");
            } else {
                assert_eq!(read, Ok(length), "{text}");
            }
        }
    }

    #[test]
    fn what_is_no_length_says_what_would_be_read() {
        let cases = [
            ("", "no length"),
            ("-", "no length"),
            ("abc", "no number"),
            (".", "no number"),
            ("12 furlongs", "unit that is not known"),
            ("2 1/2", "only inches and feet"),
            ("1/0\"", "divides by nothing"),
            ("1/\"", "divides by nothing"),
            ("9' 2 m", "other than inches"),
            ("9' 2\" 3", "after the inches"),
            ("1.2.3", "goes on"),
            ("2806 1", "goes on"),
            ("12 mm 3", "goes on"),
            ("--5", "no number"),
            ("1e5", "unit that is not known"),
            ("nan", "no number"),
            ("9999 m", "more than a kilometre"),
        ];
        for (text, what) in cases {
            let error = parse_length(text, Metric).unwrap_err();
            assert!(error.what.contains(what), "{text}: {error}");
            assert!(error.mend.contains("2806"));
        }
        let error = parse_length("x", FeetInches).unwrap_err();
        assert_eq!(
            error.to_string(),
            "`x` is no number; type feet and inches such as 9' 2 1/2\", inches such as 110.5, or 2806 mm"
        );
    }

    proptest! {
        #[test]
        fn what_is_shown_is_read_again(length in -999_999.0..999_999.0_f64) {
            let metric = parse_length(&format_length(length, Metric), Metric).unwrap();
            prop_assert!((metric - length).abs() <= 0.05 + 1e-9);
            let feet = parse_length(&format_length(length, FeetInches), FeetInches).unwrap();
            prop_assert!((feet - length).abs() <= 1.5875 / 2.0 + 1e-6);
            // And in the other units too, since the signs for feet and inches are always read.
            prop_assert_eq!(parse_length(&format_length(length, FeetInches), Metric), Ok(feet));
        }

        #[test]
        fn showing_settles(length in -999_999.0..999_999.0_f64) {
            for units in [Metric, FeetInches] {
                let text = format_length(length, units);
                let again = format_length(parse_length(&text, units).unwrap(), units);
                prop_assert_eq!(&again, &text);
            }
        }

        #[test]
        fn no_text_panics(text in "\\PC{0,20}") {
            let _ = parse_length(&text, Metric);
            let _ = parse_length(&text, FeetInches);
        }

        #[test]
        fn no_length_text_panics(text in "[-0-9 .,/'\"mcinft\u{2032}]{0,14}") {
            let _ = parse_length(&text, Metric);
            let _ = parse_length(&text, FeetInches);
        }
    }
}
