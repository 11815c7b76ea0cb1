//! Limits on steps between floors, and on what has to pass over or under the boards.

use serde::{Deserialize, Serialize};

/// Limits on steps, leaves, appliances and kicks, mm; what is left out has the usual figure.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LevelRules {
    /// A step up to this counts as flush.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flush: Option<f64>,
    /// A step up to this may stand upright.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub upright: Option<f64>,
    /// A step up to this is bevelled by a reducer; a higher one takes a ramp.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bevelled: Option<f64>,
    /// Least room under a closed leaf.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leaf: Option<f64>,
    /// Least room over an appliance that is drawn out under its worktop.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub appliance: Option<f64>,
    /// Least room over a board that goes under a kick.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kick: Option<f64>,
}

impl LevelRules {
    /// Common practice, no source: a millimetre is felt by nobody.
    pub const FLUSH: f64 = 1.0;
    /// 2010 ADA Standards, 303.2: a change in level of up to 1/4 in may be vertical.
    pub const UPRIGHT: f64 = 6.4;
    /// 2010 ADA Standards, 303.3: up to 1/2 in it is bevelled.
    pub const BEVELLED: f64 = 13.0;
    /// Bevels run at least this much for each mm of step: 2010 ADA Standards, 303.3.
    pub const BEVEL_RUN: f64 = 2.0;
    /// Ramps run at least this much for each mm of step: 2010 ADA Standards, 405.2.
    pub const RAMP_RUN: f64 = 12.0;
    /// Common practice, no source.
    pub const LEAF: f64 = 5.0;
    /// Ours.
    pub const APPLIANCE: f64 = 3.0;
    /// Ours: the bed is never quite even.
    pub const KICK: f64 = 1.0;

    /// Steps up to this are flush, mm.
    pub fn flush(&self) -> f64 {
        self.flush.unwrap_or(Self::FLUSH)
    }

    /// Steps up to this may stand upright, mm.
    pub fn upright(&self) -> f64 {
        self.upright.unwrap_or(Self::UPRIGHT)
    }

    /// Steps up to this are bevelled, mm.
    pub fn bevelled(&self) -> f64 {
        self.bevelled.unwrap_or(Self::BEVELLED)
    }

    /// Least room under a leaf, mm.
    pub fn leaf(&self) -> f64 {
        self.leaf.unwrap_or(Self::LEAF)
    }

    /// Least room over an appliance, mm.
    pub fn appliance(&self) -> f64 {
        self.appliance.unwrap_or(Self::APPLIANCE)
    }

    /// Least room over a board under a kick, mm.
    pub fn kick(&self) -> f64 {
        self.kick.unwrap_or(Self::KICK)
    }

    /// The limits in force with the names of their fields.
    pub fn all(&self) -> [(&'static str, f64); 6] {
        [
            ("flush", self.flush()),
            ("upright", self.upright()),
            ("bevelled", self.bevelled()),
            ("leaf", self.leaf()),
            ("appliance", self.appliance()),
            ("kick", self.kick()),
        ]
    }

    /// Whether nothing is given.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
