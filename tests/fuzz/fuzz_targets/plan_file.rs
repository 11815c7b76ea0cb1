//! Any bytes as a plan file: read or refused with a reason; what is read is written and read back the same.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    match plan::read(&text) {
        Ok(read) => assert_eq!(plan::read(&plan::write(&read)).as_ref(), Ok(&read)),
        Err(errors) => assert!(errors.iter().all(|error| !error.what.is_empty() && !error.mend.is_empty())),
    }
});
