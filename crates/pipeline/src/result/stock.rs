//! Boards opened and counted.

use super::floor::hand_key;
use crate::House;
use order::Ends;
use serde::Serialize;

/// A board opened.
#[derive(Debug, Serialize)]
pub struct StockPart {
    /// Length, mm.
    pub length: f64,
    /// Pack, from 1.
    pub pack: usize,
    /// Pieces: board, from and to in mm.
    pub pieces: Vec<PiecePart>,
    /// Longest stretch left, mm.
    pub left_over: f64,
}

/// A piece of a stock board.
#[derive(Debug, Serialize)]
pub struct PiecePart {
    /// Board.
    pub board: usize,
    /// From the left end along the groove edge, mm.
    pub from: f64,
    /// To, mm.
    pub to: f64,
    /// How much further along its left end lies at the tongue edge, mm; left out for a square one.
    #[serde(skip_serializing_if = "is_square")]
    pub shift: f64,
    /// The same of its right end, where that is not as its left end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub right_shift: Option<f64>,
    /// Whether it is cut from the strip that another piece's rip leaves beside it.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub strip: bool,
}

/// Serde asks by reference.
fn is_square(shift: &f64) -> bool {
    *shift == 0.0
}

/// Blocks of one hand.
#[derive(Debug, Serialize)]
pub struct HandPart {
    /// `left` or `right`.
    pub hand: &'static str,
    /// Boards opened.
    pub opened: usize,
    /// Packs to buy.
    pub packs: u32,
}

/// Counts.
#[derive(Debug, Serialize)]
pub struct UsePart {
    /// Boards opened.
    pub opened: usize,
    /// Of those, boards opened for what lies already; left out where nothing does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub opened_before: Option<usize>,
    /// Packs to buy.
    pub packs: u32,
    /// Boards and packs of each hand; empty where boards lie either way.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub hands: Vec<HandPart>,
    /// No legal stagger opens fewer from these packs.
    pub bound: usize,
    /// Moves the search took; the plan's effort that gives this floor again.
    pub moves: u64,
    /// Opened over the bound.
    pub gap: usize,
    /// No fewer boards have the area laid.
    pub area_bound: usize,
    /// No legal stagger needs fewer packs.
    pub packs_bound: u32,
    /// m.
    pub opened_length: f64,
    /// No legal stagger opens less length, m.
    pub length_bound: f64,
    /// By length of board.
    pub lengths: Vec<LengthPart>,
    /// Stretches left that are long enough to end a row elsewhere, longest first.
    pub leftovers: Vec<LeftoverPart>,
    /// What fills the movement joints, by section; left out where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub filler: Vec<FillerPart>,
    /// m².
    pub opened_area: f64,
    /// m².
    pub laid_area: f64,
}

/// What is opened of one length.
#[derive(Debug, Serialize)]
pub struct LengthPart {
    /// Length, mm; the longest there is where lengths are random.
    pub length: f64,
    /// Boards opened.
    pub opened: usize,
    /// Boards in the packs to buy.
    pub bought: usize,
    /// m.
    pub opened_length: f64,
    /// m.
    pub laid_length: f64,
}

/// Filler of joints of one section.
#[derive(Debug, Serialize)]
pub struct FillerPart {
    /// Width, mm.
    pub width: f64,
    /// Depth, mm.
    pub depth: f64,
    /// m.
    pub length: f64,
    /// L.
    pub litres: f64,
}

/// A stretch left of an opened board.
#[derive(Debug, Serialize)]
pub struct LeftoverPart {
    /// Stock board.
    pub stock: usize,
    /// Length, mm, saw cuts taken off.
    pub length: f64,
    /// `left`, `right`, `both` or `neither`.
    pub ends: &'static str,
}

impl House {
    pub(super) fn use_part(&self) -> UsePart {
        let (order, bound) = (&self.order, self.bound());
        let ends = |ends: Ends| match ends {
            Ends::Neither => "neither",
            Ends::Left => "left",
            Ends::Right => "right",
            Ends::Both => "both",
        };
        UsePart {
            opened: order.opened,
            opened_before: Some(order.opened_before).filter(|count| *count > 0),
            packs: order.packs,
            hands: order
                .hands
                .iter()
                .filter_map(|h| {
                    let hand = hand_key(h.hand?);
                    Some(HandPart { hand, opened: h.opened, packs: h.packs })
                })
                .collect(),
            bound: bound.boards,
            moves: self.floor.moves,
            gap: bound.gap(order.opened),
            area_bound: bound.area,
            packs_bound: bound.packs,
            opened_length: order.wood_opened,
            length_bound: bound.wood,
            lengths: order
                .lines
                .iter()
                .map(|line| LengthPart {
                    length: line.length,
                    opened: line.opened,
                    bought: line.bought,
                    opened_length: line.opened_length,
                    laid_length: line.laid_length,
                })
                .collect(),
            leftovers: order
                .leftovers
                .iter()
                .map(|left| LeftoverPart { stock: left.stock, length: left.length, ends: ends(left.ends) })
                .collect(),
            filler: order
                .filler
                .iter()
                .map(|line| FillerPart {
                    width: line.width,
                    depth: line.depth,
                    length: line.length,
                    litres: line.litres,
                })
                .collect(),
            opened_area: order.opened_area,
            laid_area: order.laid_area,
        }
    }
}
