//! Chevron: blocks with mitred ends that meet along straight lines, the head joints.
//!
//! Columns lie between mitre lines H = L·cos(mitre) apart; along a mitre line each block takes
//! w / cos(mitre). Points stand on every second mitre line, from the anchor's.

use super::Field;
use super::layer::{Layer, Place};
use super::turn::{Turn, rings_of};
use crate::slice::{rise, slice};
use crate::{Hand, Outline};
use site::Uv;

/// A chevron set out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Chevron {
    pitch: f64,
    sin: f64,
    cos: f64,
    length: f64,
    /// A point: where the blocks of two columns meet forwards, row coordinates.
    anchor: Uv,
}

impl Chevron {
    /// `mitre` in degrees, between a block's long edge and the line square to the mitre line.
    pub(super) fn new(length: f64, pitch: f64, mitre: f64, anchor: Uv) -> Self {
        let mitre = mitre.to_radians();
        Self { pitch, sin: libm::sin(mitre), cos: libm::cos(mitre), length, anchor }
    }

    /// v of a mitre line; points stand on the even ones.
    fn line(&self, number: i32) -> f64 {
        self.anchor.v + f64::from(number) * self.length * self.cos
    }

    pub(super) fn lay(&self, field: Field<'_>, layer: &mut Layer) {
        let region = field.region;
        let rings = rings_of(field.shape);
        let Some((low, high)) = rings.first().map(|ring| rise(ring)) else { return };
        let step = self.length * self.cos;
        let first = ((low - self.anchor.v) / step - 1e-9).floor() as i32;
        let last = ((high - self.anchor.v) / step + 1e-9).ceil() as i32;
        let lines: Vec<f64> = (first..=last).map(|n| self.line(n)).collect();
        for (column, strip) in (first..last).zip(slice(&rings, &lines)) {
            let run = layer.runs.len();
            let mut pieces: Vec<(i32, Place, Outline)> = Vec::new();
            for outline in &strip {
                self.blocks(region, column, run, outline, &mut pieces);
            }
            layer.lay_column(region, column, pieces);
        }
    }

    /// The pieces of one column's blocks.
    fn blocks(
        &self,
        region: usize,
        column: i32,
        run: usize,
        strip: &Outline,
        pieces: &mut Vec<(i32, Place, Outline)>,
    ) {
        // Above a line of points the blocks fall away from it, below it they rise to it.
        let falling = column % 2 == 0;
        let (sin, cos) = (self.sin, self.cos);
        let along = Uv::new(sin, if falling { -cos } else { cos });
        let turn = Turn::to(along);
        let rings = turn.rings_into(strip);
        let Some((low, high)) = rings.first().map(|ring| rise(ring)) else { return };
        let points = self.line(if falling { column } else { column + 1 });
        // v of the point in the blocks' own direction, and from there every pitch.
        let zero = if falling { self.anchor.u * cos } else { -self.anchor.u * cos } + points * sin;
        let first = ((low - zero) / self.pitch - 1e-9).floor() as i32;
        let last = ((high - zero) / self.pitch + 1e-9).ceil() as i32;
        let base = |band: i32| zero + f64::from(band) * self.pitch;
        let cuts: Vec<f64> = (first..=last).map(base).collect();
        for (band, outlines) in (first..last).zip(slice(&rings, &cuts)) {
            let side = base(band);
            let from = if falling {
                (side * sin - self.line(column + 1)) / cos
            } else {
                (self.line(column) - side * sin) / cos
            };
            let place = Place {
                region,
                row: column,
                run,
                along,
                base: side,
                from,
                to: from + self.length,
                lean: if falling { sin / cos } else { -sin / cos },
                turned: !falling,
                hand: Some(if falling { Hand::Right } else { Hand::Left }),
                in_border: false,
                slants: [0.0; 2],
                joined: (true, true),
            };
            let order = if falling { band } else { -band };
            pieces.extend(outlines.into_iter().map(|outline| (order, place, turn.outline_back(outline))));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every piece of a column lies within the block that is told for it, corner by corner with the mitre taken out, and a
    /// piece of a whole block's area from one end of it to the other: by plain projection on to the block's direction.
    #[test]
    fn pieces_lie_where_their_blocks_are_told_to() {
        for mitre in [30.0, 45.0, 60.0] {
            let (length, pitch) = (600.0, 90.0);
            let chevron = Chevron::new(length, pitch, mitre, Uv::new(170.0, -40.0));
            for column in [-1, 0, 3] {
                let (low, high) = (chevron.line(column), chevron.line(column + 1));
                let corners = [(-900.0, low), (2100.0, low), (2100.0, high), (-900.0, high)];
                let outer = corners.map(|(u, v)| Uv::new(u, v)).to_vec();
                let mut pieces = Vec::new();
                chevron.blocks(0, column, 0, &Outline { outer, holes: Vec::new() }, &mut pieces);
                let mut whole = 0;
                for (_, place, outline) in &pieces {
                    let (du, dv) = (place.along.u, place.along.v);
                    let ends = outline.outer.iter().map(|p| {
                        let (s, t) = (p.u * du + p.v * dv, p.v * du - p.u * dv);
                        s - (t - place.base) * place.lean
                    });
                    let (from, to) =
                        ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), s| (a.min(s), b.max(s)));
                    let told = (place.from, place.to);
                    assert!(
                        from > told.0 - 1e-6 && to < told.1 + 1e-6,
                        "{mitre} {column}: {from} to {to}, {told:?}"
                    );
                    if outline.area() > length * pitch - 1.0 {
                        whole += 1;
                        assert!(
                            (from - told.0).abs() < 1e-6 && (to - told.1).abs() < 1e-6,
                            "{mitre} {column}"
                        );
                    }
                }
                assert!(whole > 10, "{mitre} {column}: {whole} of {}", pieces.len());
            }
        }
    }
}
