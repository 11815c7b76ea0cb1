//! What the boards are made of: how much they move with their moisture.

use serde::{Deserialize, Serialize};

/// What the boards are made of, and how much of their movement the adhesive holds back.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wood {
    /// The wood of the face; that of a solid board.
    pub species: Species,
    /// How the boards are built up.
    pub construction: Construction,
    /// Share of the movement that the adhesive is taken to hold back, 0 to 1: 0 for a floor that lies loose. An
    /// assumption, never a measured figure.
    #[serde(default, skip_serializing_if = "is_nothing")]
    pub held_back: f64,
}

/// A species whose change with moisture is published.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Species {
    /// Red oak, commercial.
    RedOak,
    /// White oak, commercial.
    WhiteOak,
    /// Sugar maple.
    SugarMaple,
    /// Red maple.
    RedMaple,
    /// Beech, American.
    Beech,
    /// Yellow birch.
    YellowBirch,
    /// White ash.
    WhiteAsh,
    /// Black walnut.
    BlackWalnut,
    /// Black cherry.
    BlackCherry,
    /// Any hardwood.
    Hardwood,
    /// Any softwood.
    Softwood,
}

/// How the boards are built up, across their width.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Construction {
    /// Solid wood, its growth rings flat in the board: it moves most.
    FlatSawn,
    /// Solid wood, its growth rings upright in the board.
    QuarterSawn,
    /// A face of wood on a core of crossing layers.
    Multilayer,
    /// A figure of the maker's: percent of the width for each percent of moisture content.
    Stated(f64),
}

impl Species {
    /// Every species, in the order in which they are offered.
    pub const ALL: [Self; 11] = [
        Self::WhiteOak,
        Self::RedOak,
        Self::WhiteAsh,
        Self::Beech,
        Self::YellowBirch,
        Self::SugarMaple,
        Self::RedMaple,
        Self::BlackWalnut,
        Self::BlackCherry,
        Self::Hardwood,
        Self::Softwood,
    ];

    /// Its name in words.
    pub fn word(self) -> &'static str {
        match self {
            Self::RedOak => "red oak",
            Self::WhiteOak => "white oak",
            Self::SugarMaple => "sugar maple",
            Self::RedMaple => "red maple",
            Self::Beech => "beech",
            Self::YellowBirch => "yellow birch",
            Self::WhiteAsh => "white ash",
            Self::BlackWalnut => "black walnut",
            Self::BlackCherry => "black cherry",
            Self::Hardwood => "a hardwood",
            Self::Softwood => "a softwood",
        }
    }
}

impl Construction {
    /// What it is in words.
    pub fn word(self) -> &'static str {
        match self {
            Self::FlatSawn => "solid, flat-sawn",
            Self::QuarterSawn => "solid, quarter-sawn",
            Self::Multilayer => "multilayer",
            Self::Stated(_) => "by the maker's figure",
        }
    }

    /// Whether the board is one piece of wood.
    pub fn is_solid(self) -> bool {
        matches!(self, Self::FlatSawn | Self::QuarterSawn)
    }
}

impl Default for Wood {
    /// What is offered first: white oak on a core, lying loose.
    fn default() -> Self {
        Self { species: Species::WhiteOak, construction: Construction::Multilayer, held_back: 0.0 }
    }
}

fn is_nothing(share: &f64) -> bool {
    *share == 0.0
}
