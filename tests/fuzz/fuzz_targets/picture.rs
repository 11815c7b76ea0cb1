//! Any bytes as a picture to draw over: shown no larger than it may be, or refused.
#![no_main]

#[path = "../../../crates/desk/src/picture/decode.rs"]
mod decode;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    if let Ok(decoded) = decode::decode(bytes) {
        let (wide, high) = decoded.pixels;
        assert!(wide.max(high) <= decode::MOST_SIDE && wide.min(high) > 0);
        assert!(decoded.shown.width().max(decoded.shown.height()) <= 4096);
    }
});
