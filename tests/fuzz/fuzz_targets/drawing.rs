//! Any bytes as a drawing of another program's: outlines that can be computed, or faults. The first byte chooses the kind.
#![no_main]

use import::{Ask, FileKind, Unit, contents, outlines};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let Some((first, bytes)) = bytes.split_first() else { return };
    let kind = [FileKind::Dxf, FileKind::Svg, FileKind::GeoJson][usize::from(*first) % 3];
    let layers = contents(bytes, kind).map_or(Vec::new(), |all| all.layers.into_iter().map(|l| l.name).collect());
    let ask = Ask { layers, unit: Some(Unit::Millimetre), ..Ask::new(kind) };
    match outlines(bytes, &ask) {
        Ok(found) => {
            let mut plan = plan::Plan::new("Brought in");
            found.add_to(&mut plan);
            assert_eq!(plan.problems(), []);
        }
        Err(error) => assert!(!error.faults.is_empty()),
    }
});
