//! Strips beside rips that lie: wood of boards opened that is still in hand.

use crate::Laid;

/// A side this close to its row's line lies on it, mm: larger than rounding, smaller than any rip.
const ON_LINE: f64 = 0.1;
/// Pieces that share less of their stock board's length than this lie one after the other, mm.
const APART: f64 = 1.0;

/// What a rip that lies has left of its board along the same stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LaidStrip {
    /// The laid board, as an index of [`Laid::boards`].
    pub board: usize,
    /// The stock board, as an index of [`Laid::stock`].
    pub stock: usize,
    /// Its left end on that, mm.
    pub from: f64,
    /// Its right end, mm.
    pub to: f64,
    /// Its width; beside a rip that tapers the narrowest, mm.
    pub width: f64,
    /// Whether the long edge it keeps is the groove; else it is the tongue.
    pub keeps_groove: bool,
}

impl Laid {
    /// The strips in hand, at least `least` wide, in the order of the boards they lie beside. A board `pitch` wide, ripped so
    /// that it keeps one long edge, leaves its other one on a strip, less the saw cut; none is left where another laid board
    /// was cut from it, nor where it is marked as gone.
    pub fn strips(&self, pitch: f64, kerf: f64, least: f64) -> Vec<LaidStrip> {
        let strip = |(board, laid): (usize, &crate::LaidBoard)| {
            if laid.strip || laid.strip_gone {
                return None;
            }
            let planned = self.planned_lines(laid.part);
            let (row_low, row_high) = (planned.at(laid.row), planned.at(laid.row.saturating_add(1)));
            let (mut low, mut high) = (laid.low.unwrap_or(row_low), laid.high.unwrap_or(row_high));
            if !laid.outline.is_empty() {
                let across = || laid.outline.iter().map(|p| p.1);
                (low, high) =
                    (across().fold(f64::INFINITY, f64::min), across().fold(f64::NEG_INFINITY, f64::max));
            }
            let (on_low, on_high) = (low - row_low < ON_LINE, row_high - high < ON_LINE);
            if on_low == on_high {
                return None;
            }
            // Below the start line boards lie turned.
            let rip_keeps_groove = if (laid.row < 0) != laid.backwards { on_high } else { on_low };
            let width = pitch - (high - low) - kerf;
            let found = LaidStrip {
                board,
                stock: laid.stock,
                from: laid.from,
                to: laid.to,
                width,
                keeps_groove: !rip_keeps_groove,
            };
            (width >= least).then_some(found)
        };
        let mut found: Vec<LaidStrip> = self.boards.iter().enumerate().filter_map(strip).collect();
        let mut used: Vec<(usize, f64, f64)> =
            self.boards.iter().filter(|b| b.strip).map(|b| (b.stock, b.from, b.to)).collect();
        used.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        found.retain(|strip| {
            let first = used.partition_point(|(stock, ..)| *stock < strip.stock);
            let of_stock = used[first..].iter().take_while(|(stock, ..)| *stock == strip.stock);
            !of_stock.into_iter().any(|(_, from, to)| to.min(strip.to) - from.max(strip.from) > APART)
        });
        found
    }
}

#[cfg(test)]
mod tests {
    use crate::{Laid, LaidBoard, LaidPart, LaidStock, ToCome};

    fn board(row: i32, (low, high): (Option<f64>, Option<f64>), (from, to): (f64, f64)) -> LaidBoard {
        LaidBoard { low, high, from, to, starts: true, ..LaidBoard::plain(row, 1, 0.0, to - from) }
    }

    fn laid(boards: Vec<LaidBoard>) -> Laid {
        let part = LaidPart { room: "A".into(), line: 0.0, pulls: Vec::new(), as_marked: Vec::new() };
        let stock = vec![LaidStock { length: 2200.0, pack: 0, rest: None, rest_shifts: None }];
        Laid {
            rows_at: 0.0,
            pitch: 190.0,
            first_row: -1,
            to_come: ToCome::default(),
            parts: vec![part],
            stock,
            boards,
        }
    }

    /// A rip of 80 of a board 190 wide leaves 190 − 80 − 3 = 107. Above the start line a rip at its row's lower side keeps
    /// the groove, its strip the tongue; below the line, where boards are turned, the other way round. By hand.
    #[test]
    fn a_rip_that_lies_leaves_a_strip() {
        let found = laid(vec![board(0, (None, Some(80.0)), (0.0, 1500.0))]).strips(190.0, 3.0, 50.0);
        assert_eq!(found.len(), 1);
        assert!((found[0].width - 107.0).abs() < 1e-9 && !found[0].keeps_groove, "{found:?}");
        let below = laid(vec![board(-1, (Some(-80.0), None), (0.0, 1500.0))]).strips(190.0, 3.0, 50.0);
        assert!(!below[0].keeps_groove && below[0].width == found[0].width, "{below:?}");
        let upper = laid(vec![board(0, (Some(110.0), None), (0.0, 1500.0))]).strips(190.0, 3.0, 50.0);
        assert!(upper[0].keeps_groove, "{upper:?}");
    }

    /// Whole boards and rips that lost both edges leave none; nor does a rip so wide that the strip is under what is asked,
    /// one whose strip lies elsewhere already, or one whose strip is marked as gone. A taper counts by its wide end.
    #[test]
    fn strips_that_are_not_there_are_not_counted() {
        let whole = board(0, (None, None), (0.0, 1500.0));
        let neither = board(0, (Some(50.0), Some(140.0)), (0.0, 1500.0));
        let wide = board(0, (None, Some(150.0)), (0.0, 1500.0));
        assert_eq!(laid(vec![whole, neither, wide]).strips(190.0, 3.0, 50.0), []);
        let rip = board(0, (None, Some(80.0)), (0.0, 1500.0));
        let used = LaidBoard { strip: true, ..board(5, (Some(1040.0), None), (0.0, 900.0)) };
        assert_eq!(laid(vec![rip.clone(), used]).strips(190.0, 3.0, 50.0), []);
        assert_eq!(laid(vec![LaidBoard { strip_gone: true, ..rip.clone() }]).strips(190.0, 3.0, 50.0), []);
        let outline = vec![(0.0, 0.0), (1500.0, 0.0), (1500.0, 92.0), (0.0, 80.0)];
        let taper = laid(vec![LaidBoard { outline, high: None, ..rip }]).strips(190.0, 3.0, 50.0);
        assert!((taper[0].width - 95.0).abs() < 1e-9, "{taper:?}");
    }
}
