//! The usual cautions before and while a floor is laid, in plain words.

/// Each caution: what of, and what to do. Local codes, the makers' sheets and licensed practice come before all of them.
pub const CAUTIONS: [(&str, &str); 7] = [
    (
        "Damp slab",
        "boards on it swell, cup or come loose, and mould grows below. A reading decides, not the calendar.",
    ),
    (
        "Old adhesive, old floor",
        "may hold asbestos. Have it tested before anything is ground, scraped, drilled or swept; if it does, a licensed \
         firm takes it out.",
    ),
    (
        "Grinding",
        "concrete, screed and leveller set free silica dust. Extraction at the tool, a fitted mask, no dry sweeping.",
    ),
    (
        "Saws",
        "guards on, cable out before the blade is touched, eyes and ears covered. Wood dust harms lungs: extract it, wear \
         a mask.",
    ),
    (
        "Solvents, isocyanates, epoxies",
        "open windows, no flame or spark, gloves, no bare skin. Read the safety sheet first; who has become sensitive stays \
         away.",
    ),
    (
        "Heavy packs",
        "two people, or a trolley. Spread them along walls, not in one heap, and off fresh leveller and adhesive.",
    ),
    (
        "First of all",
        "local codes, the makers' sheets and licensed practice. Where they differ from this page, they hold.",
    ),
];
