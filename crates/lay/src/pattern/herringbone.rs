//! Herringbone: square-ended blocks at 45° either side of the axis, one or several abreast.
//!
//! In the blocks' own frame (x along the blocks that fall away from the axis line, y along those that rise
//! from it) a block at the origin and its partner repeat by (W, W) along the axis and by (L, -L) across it, W
//! being the width of the blocks abreast. Columns lie between axis lines L·√2 apart.

use super::Field;
use super::layer::{Layer, Place};
use super::turn::{Turn, rings_of};
use crate::slice::{rise, slice, slice_across};
use crate::{Hand, Outline};
use site::Uv;
use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};

/// How far beyond its blocks a column is cut from the field, so that the cut bounds none of them, mm.
const BEYOND: f64 = 1.0;

/// A herringbone set out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Herringbone {
    length: f64,
    pitch: f64,
    abreast: i32,
    /// Corner of a falling block from which the pattern repeats, row coordinates.
    corner: Uv,
    handed: bool,
}

/// The two directions of the blocks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Way {
    /// Away from the axis line, forwards and down.
    Falling,
    /// Forwards and up.
    Rising,
}

impl Way {
    fn along(self) -> Uv {
        match self {
            Self::Falling => Uv::new(FRAC_1_SQRT_2, -FRAC_1_SQRT_2),
            Self::Rising => Uv::new(FRAC_1_SQRT_2, FRAC_1_SQRT_2),
        }
    }
}

/// A piece with what orders it within its column: which repeat, direction, block abreast, place along it.
type Ordered = ((i32, Way, i32), Place, Outline);

impl Herringbone {
    /// `anchor` is the middle of a forward point: its v the axis line the points stand on.
    pub(super) fn new(length: f64, pitch: f64, abreast: u32, anchor: Uv, handed: bool) -> Self {
        let abreast = i32::try_from(abreast).unwrap_or(1).max(1);
        let across = f64::from(abreast) * pitch;
        let corner = Uv::new(anchor.u, anchor.v + (length - across / 2.0) * FRAC_1_SQRT_2);
        Self { length, pitch, abreast, corner, handed }
    }

    /// Width of the blocks abreast, mm.
    fn across(&self) -> f64 {
        f64::from(self.abreast) * self.pitch
    }

    /// Least and greatest v of a column's blocks.
    fn column(&self, column: i32) -> (f64, f64) {
        let high = self.corner.v + f64::from(column) * self.length * SQRT_2;
        (high - self.length * SQRT_2, high + self.across() * FRAC_1_SQRT_2)
    }

    pub(super) fn lay(&self, field: Field<'_>, layer: &mut Layer) {
        let region = field.region;
        let rings = rings_of(field.shape);
        let Some((low, high)) = rings.first().map(|ring| rise(ring)) else { return };
        let step = self.length * SQRT_2;
        let first = ((low - self.column(0).1) / step).floor() as i32;
        let last = ((high - self.column(0).0) / step).ceil() as i32;
        // Columns reach into one another, but not into the next but one.
        let mut strips: Vec<(i32, Vec<Outline>)> = Vec::new();
        for odd in 0..2 {
            let columns: Vec<i32> = (first..=last).filter(|c| (c - first) % 2 == odd).collect();
            let edges = columns.iter().map(|c| self.column(*c));
            let cuts: Vec<f64> = edges.flat_map(|(low, high)| [low - BEYOND, high + BEYOND]).collect();
            let mut bands = slice(&rings, &cuts).into_iter().step_by(2);
            strips.extend(columns.into_iter().map(|c| (c, bands.next().unwrap_or_default())));
        }
        strips.sort_by_key(|(column, _)| *column);
        for (column, strip) in strips {
            let run = layer.runs.len();
            let mut pieces: Vec<Ordered> = Vec::new();
            for outline in &strip {
                for way in [Way::Falling, Way::Rising] {
                    self.blocks(way, region, column, run, outline, &mut pieces);
                }
            }
            layer.lay_column(region, column, pieces);
        }
    }

    /// The pieces of one direction's blocks within a column's strip.
    fn blocks(
        &self,
        way: Way,
        region: usize,
        column: i32,
        run: usize,
        strip: &Outline,
        pieces: &mut Vec<Ordered>,
    ) {
        let along = way.along();
        let turn = Turn::to(along);
        let rings = turn.rings_into(strip);
        let Some((low, high)) = rings.first().map(|ring| rise(ring)) else { return };
        // The corner in the blocks' frame, which is the falling blocks' own.
        let corner = Turn::to(Way::Falling.along()).into(self.corner);
        let (x, y) = (corner.u, corner.v);
        let (length, across, aside) = (self.length, self.across(), f64::from(-column) * self.length);
        // Lower side of the band of number 0, along its own direction's v.
        let zero = match way {
            Way::Falling => y - aside,
            Way::Rising => -(x + length + aside),
        };
        let first = ((low - zero) / self.pitch).floor() as i32;
        let last = ((high - zero) / self.pitch).ceil() as i32;
        let base = |band: i32| zero + f64::from(band) * self.pitch;
        let cuts: Vec<f64> = (first..=last).map(base).collect();
        for (band, outlines) in (first..last).zip(slice(&rings, &cuts)) {
            let number = if way == Way::Falling { band } else { -band - 1 };
            let (repeat, beside) = (number.div_euclid(self.abreast), number.rem_euclid(self.abreast));
            let forwards = f64::from(repeat) * across;
            let from = match way {
                Way::Falling => x + forwards + aside,
                Way::Rising => y + forwards - aside + across - length,
            };
            let hand = match way {
                Way::Falling => Hand::Right,
                Way::Rising => Hand::Left,
            };
            let place = Place {
                region,
                row: column,
                run,
                along,
                base: base(band),
                from,
                to: from + length,
                lean: 0.0,
                turned: way == Way::Rising,
                hand: self.handed.then_some(hand),
                in_border: false,
                slants: [0.0; 2],
                joined: (true, true),
            };
            for outline in outlines {
                let rings: Vec<Vec<Uv>> = outline.rings().cloned().collect();
                let on_block = slice_across(&rings, &[from, from + length]).into_iter().flatten();
                pieces.extend(on_block.map(|piece| ((repeat, way, beside), place, turn.outline_back(piece))));
            }
        }
    }
}
