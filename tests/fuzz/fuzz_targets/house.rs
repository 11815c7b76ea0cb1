//! Any bytes as a plan file, computed through all stages where it can be; no figure is missing, and the checker reads
//! the result of one in eight.
#![no_main]

mod computed;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let Ok(plan) = plan::read(&text) else { return };
    computed::compute(&plan, bytes);
});
