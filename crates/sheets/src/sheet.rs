//! The sheets of a set, to be chosen by name.

/// A sheet; of most plans some have nothing to say and are left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sheet {
    /// The slab's list.
    Slab,
    /// The line: pulls, check, first rip.
    SetOut,
    /// Every edge's rip, and the line snapped again.
    Control,
    /// What lies, and what that does to rips to come.
    Laid,
    /// What the seasons do to the floor.
    Movement,
    /// The boards with their labels and flags.
    Floor,
    /// Doorways and edges.
    Doorways,
    /// What is undercut and shaved.
    Fitting,
    /// What is sawn.
    SawList,
    /// The boards in the order of laying.
    LayList,
    /// Flags, and packs to buy.
    Flags,
    /// What is bought besides boards.
    Materials,
    /// Stages and days.
    Stages,
    /// The floor for who will live on it.
    Owner,
}

impl Sheet {
    /// Every sheet, in the order of the set.
    pub const ALL: [Self; 14] = [
        Self::Slab,
        Self::SetOut,
        Self::Control,
        Self::Laid,
        Self::Movement,
        Self::Floor,
        Self::Doorways,
        Self::Fitting,
        Self::SawList,
        Self::LayList,
        Self::Flags,
        Self::Materials,
        Self::Stages,
        Self::Owner,
    ];

    /// Its name on the command line.
    pub fn key(self) -> &'static str {
        match self {
            Self::Slab => "slab",
            Self::SetOut => "set-out",
            Self::Control => "control",
            Self::Laid => "laid",
            Self::Movement => "movement",
            Self::Floor => "floor",
            Self::Doorways => "doorways",
            Self::SawList => "saw-list",
            Self::Fitting => "fitting",
            Self::LayList => "lay-list",
            Self::Flags => "flags",
            Self::Materials => "materials",
            Self::Stages => "stages",
            Self::Owner => "owner",
        }
    }
}
