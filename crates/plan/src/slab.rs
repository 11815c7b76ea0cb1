//! The slab as it was found and made ready: what it is, its readings and what is signed off.

use serde::{Deserialize, Serialize};

/// What is known of the slab before a pack is opened. Everything may be left out: what is not filled in stands open
/// on the list.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Slab {
    /// What it is made of.
    #[serde(default, skip_serializing_if = "is_default")]
    pub kind: SlabKind,
    /// Thickness of what has to dry, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thickness: Option<f64>,
    /// Days since it began to dry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub age: Option<f64>,
    /// Whether heating lies in it.
    #[serde(default, skip_serializing_if = "is_default")]
    pub heated: bool,
    /// Dryness readings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub dryness: Vec<DrynessReading>,
    /// A limit on relative humidity, %, in place of the published one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub humidity_limit: Option<OwnLimit>,
    /// A limit on carbide readings, CM-%, in place of the published one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carbide_limit: Option<OwnLimit>,
    /// Flatness readings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub flatness: Vec<FlatnessReading>,
    /// The limit that flatness is held to; `None` until one is chosen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flatness_limit: Option<FlatnessLimit>,
    /// Hours the boards have lain in the rooms they are for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub acclimatised: Option<f64>,
    /// Hours they have to, in place of the usual figure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub acclimatise: Option<OwnLimit>,
    /// Whether the bundles are opened.
    #[serde(default, skip_serializing_if = "is_default")]
    pub bundles_opened: bool,
    /// Coats of the moisture barrier that are on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub barrier_coats: Option<u32>,
    /// Who declares adhesive and barrier compatible, in the user's words; empty while nobody does.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub compatible: String,
    /// Points signed off, each once.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub signed: Vec<Signed>,
}

/// What a slab is made of: published limits differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum SlabKind {
    /// Concrete, or a screed of cement.
    #[default]
    Cement,
    /// A screed of calcium sulphate (anhydrite).
    CalciumSulphate,
}

/// One reading of how dry the slab is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DrynessReading {
    /// Room in which it was taken, by name.
    pub room: String,
    /// How.
    pub method: DrynessMethod,
    /// The reading in the method's unit, %.
    pub reading: f64,
}

/// How dryness is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum DrynessMethod {
    /// Relative humidity by a probe in the slab or under a sealed box, % RH.
    Humidity,
    /// A crushed sample in a carbide bottle, CM-%.
    Carbide,
}

impl DrynessMethod {
    /// The unit of its readings.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Humidity => "% RH",
            Self::Carbide => "CM-%",
        }
    }
}

/// One reading of how flat the slab is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FlatnessReading {
    /// Room in which it was taken, by name.
    pub room: String,
    /// Length of the straightedge, mm.
    pub straightedge: f64,
    /// The widest gap under it, mm.
    pub gap: f64,
}

/// A limit typed over a published one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnLimit {
    /// The limit, in the unit of what it limits.
    pub at: f64,
    /// Where it comes from, in the user's words, such as the adhesive maker's sheet.
    pub from: String,
}

/// A limit on flatness: gaps allowed under straightedges of given lengths.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum FlatnessLimit {
    /// BS 8204, surface regularity 1.
    Sr1,
    /// BS 8204, surface regularity 2.
    Sr2,
    /// BS 8204, surface regularity 3.
    Sr3,
    /// DIN 18202, table 3, row 3.
    DinRow3,
    /// DIN 18202, table 3, row 4.
    DinRow4,
    /// NF DTU 51.11, 2009.
    Dtu,
    /// NWFA, for floors glued down.
    Nwfa,
    /// The user's own: a gap under one straightedge.
    Own {
        /// Length of the straightedge, mm.
        straightedge: f64,
        /// Widest gap allowed, mm.
        gap: f64,
    },
}

/// SR1, SR2 and SR3 are read under this straightedge, mm.
const BS_8204: f64 = 2000.0;
/// Lengths of DIN 18202 table 3, mm; between them its figures are read on a straight line.
const DIN_LENGTHS: [f64; 5] = [100.0, 1000.0, 4000.0, 10_000.0, 15_000.0];
const DIN_ROW_3: [f64; 5] = [2.0, 4.0, 10.0, 12.0, 15.0];
const DIN_ROW_4: [f64; 5] = [1.0, 3.0, 9.0, 12.0, 15.0];
/// A straightedge this much off the length a limit names still counts as that length, as a share: a 1.8 m level
/// stands in for 6 ft, not for 2 m.
const SAME_EDGE: f64 = 0.03;

impl FlatnessLimit {
    /// The gap allowed under a straightedge of `length`, mm; `None` where the limit names no such length.
    ///
    /// SR1, SR2, SR3: 3, 5, 10 mm under 2 m (BS 8204, as quoted by others). DIN 18202 table 3: row 3 2, 4, 10, 12,
    /// 15 mm and row 4 1, 3, 9, 12, 15 mm at 0.1, 1, 4, 10, 15 m (as quoted by others), between them on a straight line.
    /// NF DTU 51.11 P1-1 (2009) §9.1: 5 mm under 2 m and 1 mm under 0.2 m, written for the finished floor. NWFA: 3/16 in
    /// in 10 ft or 1/8 in in 6 ft (as quoted by others).
    pub fn gap_under(self, length: f64) -> Option<f64> {
        let listed = |of: &[(f64, f64)]| {
            of.iter().find(|(edge, _)| (edge - length).abs() <= edge * SAME_EDGE).map(|(_, gap)| *gap)
        };
        match self {
            Self::Sr1 => listed(&[(BS_8204, 3.0)]),
            Self::Sr2 => listed(&[(BS_8204, 5.0)]),
            Self::Sr3 => listed(&[(BS_8204, 10.0)]),
            Self::DinRow3 => between(&DIN_ROW_3, length),
            Self::DinRow4 => between(&DIN_ROW_4, length),
            Self::Dtu => listed(&[(2000.0, 5.0), (200.0, 1.0)]),
            Self::Nwfa => listed(&[(3048.0, 4.7625), (1828.8, 3.175)]),
            Self::Own { straightedge, gap } => listed(&[(straightedge, gap)]),
        }
    }

    /// Lengths of straightedge that the limit can be read under, in words of the trade.
    pub fn edges(self) -> &'static str {
        match self {
            Self::Sr1 | Self::Sr2 | Self::Sr3 => "a 2 m straightedge",
            Self::DinRow3 | Self::DinRow4 => "a straightedge of 0.1 to 15 m",
            Self::Dtu => "a straightedge of 2 m or of 0.2 m",
            Self::Nwfa => "a straightedge of 10 ft or of 6 ft",
            Self::Own { .. } => "the straightedge your limit names",
        }
    }

    /// Where the limit is from.
    pub fn source(self) -> &'static str {
        match self {
            Self::Sr1 => "BS 8204, SR1",
            Self::Sr2 => "BS 8204, SR2",
            Self::Sr3 => "BS 8204, SR3",
            Self::DinRow3 => "DIN 18202, table 3, row 3",
            Self::DinRow4 => "DIN 18202, table 3, row 4",
            Self::Dtu => "NF DTU 51.11, 2009, finished floor",
            Self::Nwfa => "NWFA, glued down",
            Self::Own { .. } => "your own limit",
        }
    }
}

/// A DIN row's figure at a length between its columns.
fn between(row: &[f64; 5], length: f64) -> Option<f64> {
    let columns = DIN_LENGTHS.windows(2).zip(row.windows(2));
    columns
        .filter(|(lengths, _)| (lengths[0]..=lengths[1]).contains(&length))
        .map(|(lengths, gaps)| {
            gaps[0] + (gaps[1] - gaps[0]) * (length - lengths[0]) / (lengths[1] - lengths[0])
        })
        .next()
}

/// A point of the list that is gone through before a pack is opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum SlabPoint {
    /// Age of the slab against the rule of thumb for drying.
    Age,
    /// Dryness by reading.
    Dryness,
    /// Flatness by reading.
    Flatness,
    /// Old adhesive and old floor looked for, and tested before anything is ground.
    OldAdhesive,
    /// Heating in the slab run up, and off or low while boards are laid.
    Heating,
    /// Low spots and rebates filled, and cured.
    Filled,
    /// Slab sound, cracks seen to, swept and vacuumed.
    Clean,
    /// Coats of the moisture barrier on, without pinholes, and cured.
    Barrier,
    /// Adhesive and barrier declared compatible.
    Compatible,
    /// Boards acclimatised in the rooms they are for, bundles opened.
    Acclimatised,
}

impl SlabPoint {
    /// Every point, in the order in which they are gone through.
    pub const ALL: [Self; 10] = [
        Self::Age,
        Self::Dryness,
        Self::Flatness,
        Self::OldAdhesive,
        Self::Heating,
        Self::Filled,
        Self::Clean,
        Self::Barrier,
        Self::Compatible,
        Self::Acclimatised,
    ];

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Age => "Age of the slab",
            Self::Dryness => "Dryness",
            Self::Flatness => "Flatness",
            Self::OldAdhesive => "Old adhesive",
            Self::Heating => "Heating in the slab",
            Self::Filled => "Low spots and rebates",
            Self::Clean => "Sound and clean",
            Self::Barrier => "Moisture barrier",
            Self::Compatible => "Adhesive on the barrier",
            Self::Acclimatised => "Acclimatised",
        }
    }
}

/// A point signed off.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Signed {
    /// The point.
    pub point: SlabPoint,
    /// What is said of it.
    #[serde(default, skip_serializing_if = "is_default")]
    pub mark: Mark,
    /// Date, in the user's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub date: String,
    /// Initials.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub by: String,
}

/// What is said of a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Mark {
    /// Seen to. It does not make good a reading over its limit.
    #[default]
    Done,
    /// Does not apply on this site.
    NotApplicable,
}

impl Slab {
    /// How a point is signed, if it is.
    pub fn signature(&self, point: SlabPoint) -> Option<&Signed> {
        self.signed.iter().find(|signed| signed.point == point)
    }

    /// The room names that readings give.
    pub(crate) fn rooms(&mut self) -> impl Iterator<Item = &mut String> {
        let dryness = self.dryness.iter_mut().map(|reading| &mut reading.room);
        dryness.chain(self.flatness.iter_mut().map(|reading| &mut reading.room))
    }
}

fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flatness_limits_are_the_published_ones() {
        // BS 8204: 3, 5, 10 mm under 2 m. NF DTU 51.11 P1-1 (2009) §9.1: 5 mm/2 m, 1 mm/0.2 m.
        for (limit, gap) in [(FlatnessLimit::Sr1, 3.0), (FlatnessLimit::Sr2, 5.0), (FlatnessLimit::Sr3, 10.0)]
        {
            assert_eq!(limit.gap_under(2000.0), Some(gap));
            assert_eq!(limit.gap_under(3000.0), None, "read under 2 m only");
        }
        assert_eq!(FlatnessLimit::Dtu.gap_under(2000.0), Some(5.0));
        assert_eq!(FlatnessLimit::Dtu.gap_under(200.0), Some(1.0));
        // NWFA: 3/16 in in 10 ft, 1/8 in in 6 ft; 1 in = 25.4 mm.
        assert_eq!(FlatnessLimit::Nwfa.gap_under(3048.0), Some(4.7625));
        assert_eq!(FlatnessLimit::Nwfa.gap_under(1828.8), Some(3.175));
        assert_eq!(FlatnessLimit::Nwfa.gap_under(1800.0), Some(3.175), "a 1.8 m level stands in for 6 ft");
    }

    #[test]
    fn din_rows_are_read_on_a_straight_line_between_their_columns() {
        // DIN 18202, table 3.
        for (column, (three, four)) in
            DIN_LENGTHS.iter().zip([(2.0, 1.0), (4.0, 3.0), (10.0, 9.0), (12.0, 12.0), (15.0, 15.0)])
        {
            assert_eq!(FlatnessLimit::DinRow3.gap_under(*column), Some(three));
            assert_eq!(FlatnessLimit::DinRow4.gap_under(*column), Some(four));
        }
        // A third of the way from 1 m to 4 m: 4 + 6/3 and 3 + 6/3.
        assert_eq!(FlatnessLimit::DinRow3.gap_under(2000.0), Some(6.0));
        assert_eq!(FlatnessLimit::DinRow4.gap_under(2000.0), Some(5.0));
        assert_eq!(FlatnessLimit::DinRow3.gap_under(16_000.0), None);
    }
}
