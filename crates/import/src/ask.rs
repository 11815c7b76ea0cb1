//! What is asked of a file.

use crate::limits::FLATTEN;

/// How a file is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// Drawing exchange format, text or binary.
    Dxf,
    /// Scalable Vector Graphics.
    Svg,
    /// GeoJSON with planar coordinates.
    GeoJson,
}

impl FileKind {
    /// The kind that a file's name tells by its ending; large and small letters are one.
    pub fn of_name(name: &str) -> Option<Self> {
        let (_, ending) = name.rsplit_once('.')?;
        match ending.to_ascii_lowercase().as_str() {
            "dxf" => Some(Self::Dxf),
            "svg" => Some(Self::Svg),
            "geojson" | "json" => Some(Self::GeoJson),
            _ => None,
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Dxf => "DXF",
            Self::Svg => "SVG",
            Self::GeoJson => "GeoJSON",
        }
    }
}

/// What the number 1 stands for in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Millimetre.
    Millimetre,
    /// Centimetre.
    Centimetre,
    /// Metre.
    Metre,
    /// Inch of 25.4 mm.
    Inch,
    /// Foot of 304.8 mm.
    Foot,
}

impl Unit {
    /// Every unit.
    pub const ALL: [Self; 5] = [Self::Millimetre, Self::Centimetre, Self::Metre, Self::Inch, Self::Foot];

    /// Millimetres in one; inch and foot are the international ones of 1959, exact.
    pub fn millimetres(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Metre => 1000.0,
            Self::Inch => 25.4,
            Self::Foot => 304.8,
        }
    }

    /// As it is written: `mm`, `cm`, `m`, `in`, `ft`.
    pub fn key(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Metre => "m",
            Self::Inch => "in",
            Self::Foot => "ft",
        }
    }
}

/// What is asked of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// How the file is written.
    pub kind: FileKind,
    /// Layers whose outlines are taken, as the file spells them; with none, the only layer that has outlines.
    pub layers: Vec<String>,
    /// Layers whose writing names the rooms in which it stands; with none, the outlines' own layers.
    pub names: Vec<String>,
    /// What the number 1 stands for; with none, what the file says.
    pub unit: Option<Unit>,
    /// Of an SVG without `unit`: how many times smaller than the house it is on its paper, 50 for 1:50.
    pub scale: Option<f64>,
    /// How far a curve may lie from the straight pieces that stand for it, mm.
    pub flatten: f64,
}

impl Ask {
    /// Everything left to the file.
    pub fn new(kind: FileKind) -> Self {
        Self { kind, layers: Vec::new(), names: Vec::new(), unit: None, scale: None, flatten: FLATTEN }
    }
}
