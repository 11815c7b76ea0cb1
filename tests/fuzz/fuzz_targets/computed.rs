//! A plan computed through all stages, with what must hold of every house.

use plan::Plan;
use std::sync::atomic::{AtomicU64, Ordering};

/// Larger floors only take time here, mm².
const LARGEST: f64 = 40e6;
/// More boards than these, likewise.
const MOST_BOARDS: f64 = 600.0;
/// Moves of the search, likewise.
const MOST_EFFORT: u64 = 5;

/// Houses computed by this run: told now and then, since a case may be no plan at all.
static COMPUTED: AtomicU64 = AtomicU64::new(0);

/// Computes a plan where it can be: no figure is missing, and the checker reads the result of one in eight.
pub(crate) fn compute(plan: &Plan, bytes: &[u8]) {
    let area = plan.rooms.iter().map(|room| room.area()).sum::<f64>();
    let board = plan.stock.face_width * plan.stock.shortest();
    if area > LARGEST || area > MOST_BOARDS * board || plan.effort > MOST_EFFORT {
        return;
    }
    let Ok(house) = pipeline::run(plan) else { return };
    let document = house.document();
    assert_eq!(startrow_tests::figures::unsound(&document), None, "a figure is none");
    let computed = COMPUTED.fetch_add(1, Ordering::Relaxed) + 1;
    if computed.is_multiple_of(1000) {
        eprintln!("houses computed: {computed}");
    }
    // By the bytes, so that a case does the same alone.
    if bytes.iter().fold(0_u8, |sum, byte| sum.wrapping_mul(31).wrapping_add(*byte)) % 8 == 0 {
        let result = serde_json::to_string(&document).expect("a result is written");
        recheck::recheck(&plan::write(plan), &result).expect("a result is read");
    }
}
