//! Drying: the rule of thumb by thickness, limits on readings, and how many readings make a picture.

use plan::{DrynessMethod, OwnLimit, Slab, SlabKind};

/// Up to this thickness a screed dries by about a millimetre a day, mm.
const DAY_A_MM: f64 = 40.0;
/// Days for each millimetre above it.
const DAYS_ABOVE: f64 = 2.0;
/// Readings for the first hundred square metres.
const FIRST_READINGS: usize = 3;
/// Floor that they stand for, and that one more reading stands for, mm².
const READINGS_AREA: f64 = 100.0e6;

/// Days in which a slab of a thickness (mm) dries in good conditions, by rule of thumb: a day a millimetre up to 40 mm
/// (BS 5385-3:2014, as quoted in the trade), two days a millimetre above (as suppliers of screeds publish it: 75 mm in
/// 110 days). It tells when a reading is worth taking, never that a slab is dry.
pub fn days_to_dry(thickness: f64) -> f64 {
    thickness.min(DAY_A_MM) + DAYS_ABOVE * (thickness - DAY_A_MM).max(0.0)
}

/// The limit a dryness reading is held to, in the method's unit, and where it is from.
///
/// 75 % RH: ASTM F710 with F2170, and BS 8201 appendix A, as quoted by others; F710 is written for resilient floors.
/// Carbide: cement 2.0 CM-%, heated 1.8; calcium sulphate 0.5, heated 0.3 (joint declaration of the German screed
/// trade's two associations, on the coordination paper for heated floors of February 2005).
pub fn dryness_limit(slab: &Slab, method: DrynessMethod) -> (f64, String) {
    let own = match method {
        DrynessMethod::Humidity => &slab.humidity_limit,
        DrynessMethod::Carbide => &slab.carbide_limit,
    };
    if let Some(OwnLimit { at, from }) = own {
        return (*at, from.clone());
    }
    match (method, slab.kind, slab.heated) {
        (DrynessMethod::Humidity, ..) => (75.0, "ASTM F710, BS 8201".into()),
        (DrynessMethod::Carbide, SlabKind::Cement, false) => (2.0, "German trade, cement".into()),
        (DrynessMethod::Carbide, SlabKind::Cement, true) => (1.8, "German trade, heated cement".into()),
        (DrynessMethod::Carbide, SlabKind::CalciumSulphate, false) => {
            (0.5, "German trade, calcium sulphate".into())
        }
        (DrynessMethod::Carbide, SlabKind::CalciumSulphate, true) => {
            (0.3, "German trade, heated calcium sulphate".into())
        }
    }
}

/// Probes in the slab for a floor of an area (mm²): three for the first 100 m², one more for each further 100 m²
/// (ASTM F2170, as its users' lists quote it).
pub fn readings_needed(area: f64) -> usize {
    let further = ((area - READINGS_AREA) / READINGS_AREA).ceil().max(0.0);
    FIRST_READINGS + further as usize
}
