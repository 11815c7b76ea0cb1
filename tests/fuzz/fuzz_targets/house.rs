//! Any bytes as a plan file, computed through all stages where it can be; the checker reads the result.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let Ok(plan) = plan::read(&text) else { return };
    // Floors of palaces only take time here.
    if plan.rooms.iter().map(|room| room.area()).sum::<f64>() > 1e9 || plan.effort > 200 {
        return;
    }
    let Ok(house) = pipeline::run(&plan) else { return };
    let result = serde_json::to_string(&house.document()).expect("a result is written");
    recheck::recheck(&plan::write(&plan), &result).expect("a result is read");
});
