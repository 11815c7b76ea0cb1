//! The desk driven by gestures and keys, without a window: what is done on it must be in the plan.

mod any;
mod beside;
mod drawing;
mod files;
mod hands;
mod joints;
mod laying;
mod line;
mod looks;
mod marks;
mod objects;
mod safe;
mod saved;
mod several;
mod table;
mod tape;
mod things;
mod walls;
