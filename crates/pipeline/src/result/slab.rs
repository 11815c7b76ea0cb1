//! The slab's list.

use crate::House;
use findings::{PointState, SlabItem};
use plan::{Signed, SlabPoint};
use serde::Serialize;

/// A point of the list that is gone through before a pack is opened.
#[derive(Debug, Serialize)]
pub struct SlabPart {
    /// Key of the point.
    pub point: &'static str,
    /// What it is called.
    pub name: &'static str,
    /// `open`, `within`, `over` or `not-applicable`.
    pub state: &'static str,
    /// What was found.
    pub found: String,
    /// What it is held to and where that is from.
    pub limit: String,
    /// What is missing, or why it does not apply.
    pub missing: String,
    /// Who signed it and when.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub signed: Option<SignedPart>,
}

/// A signature.
#[derive(Debug, Serialize)]
pub struct SignedPart {
    /// Date, in the user's words.
    pub date: String,
    /// Initials.
    pub by: String,
}

impl House {
    /// The list that is gone through before a pack is opened, each point with its state.
    pub fn slab(&self) -> Vec<SlabItem> {
        findings::slab_list(&self.plan, self.site.bare_area)
    }

    pub(super) fn slab_part(&self) -> Vec<SlabPart> {
        self.slab().into_iter().map(part).collect()
    }
}

fn part(item: SlabItem) -> SlabPart {
    SlabPart {
        point: match item.point {
            SlabPoint::Age => "age",
            SlabPoint::Dryness => "dryness",
            SlabPoint::Flatness => "flatness",
            SlabPoint::OldAdhesive => "old-adhesive",
            SlabPoint::Heating => "heating",
            SlabPoint::Filled => "filled",
            SlabPoint::Clean => "clean",
            SlabPoint::Barrier => "barrier",
            SlabPoint::Compatible => "compatible",
            SlabPoint::Acclimatised => "acclimatised",
        },
        name: item.point.name(),
        state: match item.state {
            PointState::Open => "open",
            PointState::Within => "within",
            PointState::Over => "over",
            PointState::NotApplicable => "not-applicable",
        },
        found: item.found,
        limit: item.limit,
        missing: item.missing,
        signed: item.signed.map(|Signed { date, by, .. }| SignedPart { date, by }),
    }
}
