//! What a floor, or a part of it, has to be covered, filled and edged.

use super::faces::{Stretch, stretches};
use lay::Floor;
use plan::{FixtureKind, Plan, Point};
use site::Site;

/// A hollow to be filled.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fill {
    /// Its fixture.
    pub(crate) fixture: usize,
    /// Area of its outline, mm².
    pub(crate) area: f64,
    /// Depth, mm.
    pub(crate) depth: f64,
}

/// Areas, faces and hollows that materials are reckoned from.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Takings {
    /// Boards' outlines, mm².
    pub(crate) laid: f64,
    /// Slab under the boarded floor, mm².
    pub(crate) bare: f64,
    /// Faces along its edges.
    pub(crate) stretches: Vec<Stretch>,
    /// Hollows.
    pub(crate) fills: Vec<Fill>,
    /// Doorways that belong to it, by index.
    pub(crate) doorways: Vec<usize>,
}

impl Takings {
    /// What the whole floor has.
    pub(crate) fn of(plan: &Plan, surveyed: &Site, site: &Site, floor: &Floor) -> Self {
        Self {
            laid: floor.boards.iter().map(|board| board.area).sum(),
            bare: site.bare_area,
            stretches: stretches(surveyed, site),
            fills: fills(plan),
            doorways: (0..plan.doorways.len()).collect(),
        }
    }
}

fn fills(plan: &Plan) -> Vec<Fill> {
    let fixtures = plan.fixtures.iter().enumerate();
    fixtures
        .filter_map(|(fixture, of)| match of.kind {
            FixtureKind::LowSpot { depth } | FixtureKind::Rebate { depth } => {
                Some(Fill { fixture, area: area(&of.outline), depth })
            }
            _ => None,
        })
        .collect()
}

/// Area of an outline, mm².
fn area(outline: &[Point]) -> f64 {
    let sides = outline.iter().zip(outline.iter().cycle().skip(1));
    sides.map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>().abs() / 2.0
}
