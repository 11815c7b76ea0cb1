//! End-to-end and property tests on the whole, as one program; `--test whole NAME::` runs one file of them.

mod borders;
mod bound;
mod bowed;
mod fitting;
mod floors;
mod geometry;
mod hostile;
mod laid;
mod lines;
mod movement;
mod narrow;
mod old_plans;
mod packs;
mod patterns;
mod points;
mod recheck;
mod rows;
mod seen;
mod setout;
mod shorts;
mod stock;
mod structure;
mod supply;
mod trade;
mod turned;
mod workbench;
