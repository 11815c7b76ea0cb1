//! Floors whose joints follow a pattern: rows by halves or thirds, herringbone, chevron; and borders.
//!
//! A pattern is a set of whole boards' places. Each kind slices the field along the lines its places share,
//! so that no place is clipped by itself, and hands what lies on each place to [`layer::Layer`], which finds
//! the wood and makes the board.

mod bond;
mod border;
mod chevron;
mod corner;
mod heap;
mod herringbone;
mod layer;
mod rings;
mod shift;
mod spacing;
mod turn;
mod wood;

pub(crate) use border::lay_border;

use crate::Floor;
use layer::Layer;
use plan::{Pattern, Plan};
use setout::SetOut;
use site::{Region, Site, Uv};
use std::f64::consts::FRAC_1_SQRT_2;
use wood::Wood;

/// Lays the field of a plan whose pattern is not the irregular one.
pub(crate) fn lay(plan: &Plan, site: &Site, setout: &SetOut) -> Floor {
    let pitch = plan.stock.pitch();
    let mut layer = Layer::new(pitch, Wood::new(plan));
    let along = setout.along.unwrap_or(0.0);
    let line = |field: usize| setout.region_lines.get(field).copied().unwrap_or(setout.chosen.offset);
    let fields = || {
        let all = site.fields().iter().enumerate();
        all.map(|(i, region)| Field { region: site.region_of(i), line: line(i), shape: region })
    };
    let anchor_u = match plan.pattern {
        Pattern::Irregular | Pattern::Half => bond::lay(plan, fields(), 2, &mut layer),
        Pattern::Third => bond::lay(plan, fields(), 3, &mut layer),
        Pattern::Herringbone { block, abreast } => {
            for field in fields() {
                let anchor = Uv::new(along, field.line);
                let handed = plan.stock.end_match;
                herringbone::Herringbone::new(block, pitch, abreast, anchor, handed).lay(field, &mut layer);
            }
            // The middle of a right-hand block's forward end, which the axis line halves.
            along + (block + f64::from(abreast) * pitch / 2.0) * FRAC_1_SQRT_2
        }
        Pattern::Chevron { block, mitre } => {
            for field in fields() {
                let anchor = Uv::new(along, field.line);
                chevron::Chevron::new(block, pitch, mitre, anchor).lay(field, &mut layer);
            }
            along
        }
    };
    let anchor = Uv::new(anchor_u, line(0));
    layer.finish(plan, lines_of(site, setout), Some(anchor))
}

/// A connected part of the field.
#[derive(Debug, Clone, Copy)]
struct Field<'a> {
    /// The region it lies in.
    region: usize,
    /// v of the line its rows or columns are counted from.
    line: f64,
    shape: &'a Region,
}

/// The line of each region: that of a part of the field in it.
pub(crate) fn lines_of(site: &Site, setout: &SetOut) -> Vec<f64> {
    let mut lines = vec![setout.chosen.offset; site.regions.len()];
    for (field, line) in setout.region_lines.iter().enumerate() {
        if let Some(of_region) = lines.get_mut(site.region_of(field)) {
            *of_region = *line;
        }
    }
    lines
}
