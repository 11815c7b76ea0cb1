//! What goes to the saw and what is bought: saw list, packs, cost.

mod bound;
#[cfg(test)]
mod bound_tests;
mod count;
mod counter;
#[cfg(test)]
mod counter_tests;
mod cutting;
mod filler;
mod lists;
mod materials;
mod mitre;
mod parted;
mod random;
mod saw;
mod saw_parts;
mod skim;
mod stages;
mod table;
mod types;

pub use bound::{
    Bound, Edge, Parted, RunNeed, Side, Width, area_bound, bound, least, needs, needs_with_legs_together,
};
pub use count::{fewest, order};
pub use counter::{CountError, Demand, Ends, fewest_boards};
pub use cutting::{CutLength, Cutting, cut_lengths};
pub use filler::FillerLine;
pub use lists::{ListError, csv, notch_table, row_cell, saw_table, taper_table, text};
pub use materials::{
    Material, MaterialLine, MaterialList, MouldingPiece, materials, materials_csv, materials_table,
    materials_text,
};
pub use random::{drawn_words, line_words};
pub use saw_parts::{SawPart, saw_parts, whole_saw_list};
pub use skim::{SawnAt, Skim, skim_words};
pub use stages::{
    Boundary, DayStep, StagePart, StagePlan, StageShares, StepKind, stage_shares, stages, stages_text,
};
pub use table::{Cell, Column, Table};
pub use types::{
    HandLine, Leftover, MitreEntry, Notch, Order, PackLine, PartedCut, SawEntry, SawList, TaperEntry,
    YieldBar,
};
