//! Damaged and made-up files: whatever the bytes, an answer in bounded time, and no panic.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use startrow_import::{Ask, FaultKind, FileKind, Unit, contents, outlines};
use std::time::{Duration, Instant};

const DXF: &[u8] = include_bytes!("files/metres-2010.dxf");
const SVG: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50">
  <g id="rooms" transform="rotate(10) scale(2 3)"><path d="M0 0 H40 V30 A9 9 0 0 1 0 30 z m2 2 q1 1 2 0 t3 3 z"/>
  <rect x="50" width="20" height="9" id="Hall"/><circle cx="80" cy="20" r="5"/><text x="1" y="2">Hall</text></g></svg>"##;
const JSON: &str = r#"{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Hall","layer":"a"},
  "geometry":{"type":"Polygon","coordinates":[[[0,0],[4000,0],[4000,3000],[0,3000],[0,0]],[[1,1],[9,1],[9,9],[1,1]]]}}]}"#;

fn kinds() -> impl Strategy<Value = FileKind> {
    prop_oneof![Just(FileKind::Dxf), Just(FileKind::Svg), Just(FileKind::GeoJson)]
}

/// Reads whatever it is; what it gives can be computed.
fn read(bytes: &[u8], kind: FileKind) {
    let _ = contents(bytes, kind);
    let layers: Vec<String> = contents(bytes, kind)
        .map_or(Vec::new(), |all| all.layers.into_iter().map(|layer| layer.name).collect());
    let ask = Ask { layers, unit: Some(Unit::Millimetre), ..Ask::new(kind) };
    match outlines(bytes, &ask) {
        Ok(found) => {
            let mut plan = plan::Plan::new("Brought in");
            found.add_to(&mut plan);
            assert_eq!(plan.problems(), []);
        }
        Err(error) => {
            assert!(!error.faults.is_empty());
            for fault in error.faults {
                assert!(!fault.place.is_empty() && !fault.what.is_empty() && !fault.mend.is_empty());
            }
        }
    }
}

/// The text with a stretch taken out and something put in its place.
fn damaged(text: &[u8], at: usize, cut: usize, put: &[u8]) -> Vec<u8> {
    let from = at % (text.len() + 1);
    let to = (from + cut).min(text.len());
    [&text[..from], put, &text[to..]].concat()
}

proptest! {
    #[test]
    fn any_bytes_are_answered(bytes in proptest::collection::vec(any::<u8>(), 0..400), kind in kinds()) {
        read(&bytes, kind);
    }

    #[test]
    fn a_damaged_dxf_is_answered(at in 0..DXF.len(), cut in 0..60_usize, put in "[-0-9eE.\n A-Z$%^\\\\]{0,12}") {
        read(&damaged(DXF, at, cut, put.as_bytes()), FileKind::Dxf);
    }

    #[test]
    fn a_damaged_svg_is_answered(at in 0..SVG.len(), cut in 0..40_usize, put in "[-0-9eE.,mMzZaAqQtTcC<>/\"' ]{0,12}") {
        read(&damaged(SVG.as_bytes(), at, cut, put.as_bytes()), FileKind::Svg);
    }

    #[test]
    fn a_damaged_geojson_is_answered(at in 0..JSON.len(), cut in 0..40_usize, put in "[-0-9eE.,\\[\\]{}\":a-z]{0,12}") {
        read(&damaged(JSON.as_bytes(), at, cut, put.as_bytes()), FileKind::GeoJson);
    }

    #[test]
    fn any_path_data_is_answered(d in "[mMlLhHvVcCsSqQtTaAzZ]?[-0-9eE., mMlLhHvVcCsSqQtTaAzZ]{0,80}") {
        read(format!("<svg><path d='M0 0 H5000 {d}'/></svg>").as_bytes(), FileKind::Svg);
    }

    #[test]
    fn any_polygon_is_a_room_or_refused(
        points in proptest::collection::vec((-9e3..9e3_f64, -9e3..9e3_f64, -2.0..2.0_f64), 0..12),
    ) {
        let mut text = String::from("0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nA\n");
        text.push_str(&format!("90\n{}\n70\n1\n", points.len()));
        for (x, y, bulge) in points {
            text.push_str(&format!("10\n{x}\n20\n{y}\n42\n{bulge}\n"));
        }
        text.push_str("0\nENDSEC\n0\nEOF\n");
        read(text.as_bytes(), FileKind::Dxf);
    }
}

/// Files made to be slow or to take much memory are answered within seconds, unoptimised.
#[test]
fn files_made_to_be_slow_are_answered() {
    let deep = format!("<svg>{}<rect width='9' height='9'/>", "<g id='a'>".repeat(500_000));
    let closed = format!("{deep}{}</svg>", "</g>".repeat(500_000));
    let arcs = format!("<svg><path d='M0 0 {}z'/></svg>", "A999999 9 5 0 1 999 99 0 0 ".repeat(100_000));
    let curves =
        format!("<svg><path d='M0 0{}'/></svg>", "C900000 0 0 900000 900000 900000 z".repeat(200_000));
    let bulges = format!(
        "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nA\n70\n1\n{}0\nENDSEC\n0\nEOF\n",
        "10\n0\n20\n0\n42\n1\n10\n90000\n20\n0\n42\n1\n".repeat(100_000)
    );
    let nested: String = (0..400)
        .map(|i| {
            let (low, high) = (f64::from(i), 90_000.0 - f64::from(i));
            format!("<rect x='{low}' y='{low}' width='{0}' height='{0}'/>", high - low)
        })
        .collect();
    let lists = format!("{}{}", "[".repeat(1_000_000), "]".repeat(1_000_000));
    let many = format!("<svg>{}</svg>", "<circle r='400000'/>".repeat(100_000));
    let cases: [(&str, Vec<u8>, FileKind); 8] = [
        ("deep", closed.into_bytes(), FileKind::Svg),
        ("unclosed", deep.into_bytes(), FileKind::Svg),
        ("arcs", arcs.into_bytes(), FileKind::Svg),
        ("curves", curves.into_bytes(), FileKind::Svg),
        ("bulges", bulges.into_bytes(), FileKind::Dxf),
        ("nested", format!("<svg>{nested}</svg>").into_bytes(), FileKind::Svg),
        ("lists", lists.into_bytes(), FileKind::GeoJson),
        ("many", many.into_bytes(), FileKind::Svg),
    ];
    for (name, bytes, kind) in cases {
        let start = Instant::now();
        read(&bytes, kind);
        println!("{name}: {:?}", start.elapsed());
        assert!(start.elapsed() < Duration::from_secs(60), "{name}: {:?}", start.elapsed());
    }
}

/// Entities that name one another ten deep, ten times each, do not blow up.
#[test]
fn entities_that_multiply_are_refused() {
    let mut text = String::from("<!DOCTYPE svg [<!ENTITY a0 'M0 0 H9 V9 z '>");
    for i in 1..12 {
        text.push_str(&format!("<!ENTITY a{i} '{}'>", format!("&a{};", i - 1).repeat(10)));
    }
    text.push_str("]><svg><path d='&a11;'/></svg>");
    let error =
        outlines(text.as_bytes(), &Ask { unit: Some(Unit::Metre), ..Ask::new(FileKind::Svg) }).unwrap_err();
    assert_eq!(error.faults[0].kind, FaultKind::Unreadable);
}
