//! The program run as a user runs it.

mod beside;
mod cli;
mod feet;
mod files;
mod hostile;
mod laid;
mod several;
mod tape;
