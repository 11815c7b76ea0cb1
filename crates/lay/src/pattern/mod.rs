//! Floors whose joints follow a pattern: rows by halves or thirds, herringbone, chevron; and borders.
//!
//! A pattern is a set of whole boards' places. Each kind slices the field along the lines its places share,
//! so that no place is clipped by itself, and hands what lies on each place to [`layer::Layer`], which finds
//! the wood and makes the board.

mod bond;
mod border;
mod chevron;
mod corner;
mod herringbone;
mod layer;
mod shift;
mod turn;
mod wood;

pub(crate) use border::lay_border;

use crate::Floor;
use layer::Layer;
use plan::{Pattern, Plan};
use setout::SetOut;
use site::{Site, Uv};
use wood::{Wood, block_stock};

/// Lays the field of a plan whose pattern is not the irregular one.
pub(crate) fn lay(plan: &Plan, site: &Site, setout: &SetOut) -> Floor {
    let pitch = plan.stock.pitch();
    let stock = block_stock(plan);
    let handed = stock.handed;
    let mut layer = Layer::new(pitch, Wood::new(&stock, plan.seed));
    let line = |region: usize| setout.region_lines.get(region).copied().unwrap_or(setout.chosen.offset);
    let along = setout.along.unwrap_or(0.0);
    let fields = || site.fields().iter().enumerate().map(|(i, field)| (site.region_of(i), field));
    let anchor_u = match plan.pattern {
        Pattern::Irregular | Pattern::Half => bond::lay(plan, fields(), line, 2, &mut layer),
        Pattern::Third => bond::lay(plan, fields(), line, 3, &mut layer),
        Pattern::Herringbone { block, abreast } => {
            for (region, field) in fields() {
                let anchor = Uv::new(along, line(region));
                herringbone::Herringbone::new(block, pitch, abreast, anchor, handed)
                    .lay(region, field, &mut layer);
            }
            along
        }
        Pattern::Chevron { block, mitre } => {
            for (region, field) in fields() {
                let anchor = Uv::new(along, line(region));
                chevron::Chevron::new(block, pitch, mitre, anchor).lay(region, field, &mut layer);
            }
            along
        }
    };
    let anchor = Uv::new(anchor_u, line(0));
    layer.finish(setout.region_lines.clone(), Some(anchor))
}
