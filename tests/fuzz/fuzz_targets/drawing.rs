//! Any bytes as a drawing of another program's: outlines that can be computed, or faults. The first byte chooses the kind.
//! The library that reads DXF gives up on some files by panicking, which the importer answers as a fault: only a panic
//! that comes out of the importer counts.
#![no_main]

use import::{Ask, FileKind, Unit, contents, outlines};
use std::sync::Once;

static HOOK: Once = Once::new();

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    // The fuzzer's own hook would end at the first panic, answered or not.
    HOOK.call_once(|| {
        std::panic::set_hook(Box::new(|panic| {
            let is_of_library = |place: &std::panic::Location| place.file().contains("registry");
            if !panic.location().is_some_and(is_of_library) {
                eprintln!("{panic}");
            }
        }));
    });
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
