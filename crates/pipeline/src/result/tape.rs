//! Rooms as their tape has them.

use super::{Xy, xy};
use crate::House;
use serde::Serialize;
use taping::{Doubt, RoomTape};

/// A taped room.
#[derive(Debug, Serialize)]
pub struct TapePart {
    /// The room.
    pub room: String,
    /// Why its corners cannot be found; left out where they are.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trouble: Option<String>,
    /// What its lengths came to; left out where they come to nothing.
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    pub solved: Option<SolvedPart>,
}

/// What a room's lengths came to.
#[derive(Debug, Serialize)]
pub struct SolvedPart {
    /// Every taped length.
    pub lengths: Vec<LengthPart>,
    /// Lengths more than the shape needs.
    pub redundancy: usize,
    /// How far out they are against how good they were said to be; left out without redundancy.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<f64>,
    /// `unchecked`, `none`, `one` or `among`.
    pub doubt: &'static str,
    /// Corners where the tape has them.
    pub corners: Vec<Xy>,
    /// How far the corner drawn furthest off stands from its place here, mm.
    pub off_mm: f64,
    /// How far the walls laid off as drawn miss, mm; left out where one is not taped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub misclosure_mm: Option<f64>,
}

/// A taped length.
#[derive(Debug, Serialize)]
pub struct LengthPart {
    /// Its corners, from 1.
    pub corners: [usize; 2],
    /// What it is called.
    pub name: String,
    /// What the tape showed, mm.
    pub taped_mm: f64,
    /// Its length between the corners found, mm.
    pub solved_mm: f64,
    /// The length found less the one taped, mm.
    pub residual_mm: f64,
    /// What the other lengths say it is, mm; left out where none checks it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by_others_mm: Option<f64>,
    /// The residual over its own standard deviation; left out where no other length checks it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub score: Option<f64>,
    /// Whether it is kept but not used.
    pub set_aside: bool,
    /// Whether it, or one of several with it, is most likely wrong.
    pub doubted: bool,
}

impl House {
    /// Every taped room, the wall of each with this number from 0 held; its first one where it has none such.
    pub(super) fn tape_part(&self, hold: usize) -> Vec<TapePart> {
        let rooms = self.plan.rooms.iter().enumerate().filter(|(_, room)| !room.tape.is_empty());
        rooms
            .map(|(index, room)| {
                let hold = if hold < room.walls.len() { hold } else { 0 };
                let found = taping::room_tape(&self.plan, index, hold);
                TapePart {
                    room: room.name.clone(),
                    trouble: found.as_ref().err().map(ToString::to_string),
                    solved: found.ok().map(solved),
                }
            })
            .collect()
    }
}

fn solved(tape: RoomTape) -> SolvedPart {
    SolvedPart {
        redundancy: tape.redundancy,
        unit: tape.unit,
        doubt: match tape.doubt {
            Doubt::Unchecked => "unchecked",
            Doubt::None => "none",
            Doubt::Together => "together",
            Doubt::One(_) => "one",
            Doubt::Among(_) => "among",
        },
        corners: tape.corners.iter().map(|p| xy(*p)).collect(),
        off_mm: tape.off,
        misclosure_mm: tape.closing.map(|closing| closing.length),
        lengths: tape
            .lines
            .into_iter()
            .map(|line| LengthPart {
                corners: [line.from + 1, line.to + 1],
                name: line.name,
                taped_mm: line.taped,
                solved_mm: line.solved,
                residual_mm: line.residual,
                by_others_mm: line.by_others,
                score: line.score,
                set_aside: line.set_aside,
                doubted: line.doubted,
            })
            .collect(),
    }
}
