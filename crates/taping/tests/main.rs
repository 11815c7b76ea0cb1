//! Taped rooms against published and general reckonings.

mod published;
mod rooms;
