//! The desk driven by gestures and keys, without a window: what is done on it must be in the plan.

mod any;
mod beside;
mod drawing;
mod files;
mod fingers;
mod guarded;
mod hands;
mod joints;
mod keyboard;
mod laying;
mod line;
mod looks;
mod marks;
mod objects;
mod picture;
mod rest;
mod safe;
mod saved;
mod several;
mod sizes;
mod steps;
mod table;
mod tape;
mod things;
mod typed;
mod walls;
