//! Any bytes as a plan file, computed through all stages where it can be; no figure is missing, and the checker reads
//! the result.
#![no_main]

/// Larger floors only take time here, mm².
const LARGEST: f64 = 60e6;
/// Moves of the search, likewise.
const MOST_EFFORT: u64 = 20;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let Ok(plan) = plan::read(&text) else { return };
    let area = plan.rooms.iter().map(|room| room.area()).sum::<f64>();
    let board = plan.stock.face_width * plan.stock.shortest();
    if area > LARGEST || area > 3000.0 * board || plan.effort > MOST_EFFORT {
        return;
    }
    let Ok(house) = pipeline::run(&plan) else { return };
    let document = house.document();
    assert_eq!(startrow_tests::figures::unsound(&document), None, "a figure is none");
    let result = serde_json::to_string(&document).expect("a result is written");
    recheck::recheck(&plan::write(&plan), &result).expect("a result is read");
});
