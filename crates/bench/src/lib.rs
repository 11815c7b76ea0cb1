//! Plans that the benches run on, and the stages one by one.

pub mod cutting;
pub mod floors;
pub mod stages;

use plan::Plan;

/// The sample house.
pub fn sample() -> Plan {
    read(include_str!("../../../sample-plans/hazel-court.ron"))
}

fn read(text: &str) -> Plan {
    plan::read(text).unwrap_or_else(|errors| panic!("a sample plan does not read: {errors:?}"))
}
