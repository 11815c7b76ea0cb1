//! Turning outlines into a board's direction and back.

use crate::Outline;
use site::{Region, Uv};

/// The turn to a direction: u then runs along it, v square to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Turn(Uv);

impl Turn {
    /// To a unit vector.
    pub(super) fn to(along: Uv) -> Self {
        Self(along)
    }

    pub(super) fn into(self, p: Uv) -> Uv {
        Uv::new(p.u * self.0.u + p.v * self.0.v, p.v * self.0.u - p.u * self.0.v)
    }

    pub(super) fn back(self, p: Uv) -> Uv {
        Uv::new(p.u * self.0.u - p.v * self.0.v, p.u * self.0.v + p.v * self.0.u)
    }

    pub(super) fn rings_into(self, outline: &Outline) -> Vec<Vec<Uv>> {
        outline.rings().map(|ring| ring.iter().map(|p| self.into(*p)).collect()).collect()
    }

    pub(super) fn outline_back(self, mut outline: Outline) -> Outline {
        outline.outer.iter_mut().chain(outline.holes.iter_mut().flatten()).for_each(|p| *p = self.back(*p));
        outline
    }
}

/// The corners of a region, ring by ring.
pub(super) fn rings_of(region: &Region) -> Vec<Vec<Uv>> {
    region.rings().map(|ring| ring.edges.iter().map(|edge| edge.a).collect()).collect()
}
