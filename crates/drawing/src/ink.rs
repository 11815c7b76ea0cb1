//! The ink of each role on paper: one table for PDF, SVG and PNG.
//!
//! The palette is our own. Warm against blue keeps apart what red against green would not for some
//! eyes; what matters differs in lightness and in shape too, so that a grey copy still reads.

use crate::Role;

/// A colour, 0..=255 each of red, green and blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rgb(pub u8, pub u8, pub u8);

impl Rgb {
    /// Paper.
    pub const PAPER: Self = Self(255, 255, 255);
    /// Ink for writing and outlines.
    pub const INK: Self = Self(28, 27, 25);
    /// Ink for what is read second.
    pub const QUIET: Self = Self(104, 99, 92);

    /// Perceived lightness from 0 (black) to 1 (white): the luma of ITU-R BT.601, weights from memory.
    pub fn lightness(self) -> f64 {
        (0.299 * f64::from(self.0) + 0.587 * f64::from(self.1) + 0.114 * f64::from(self.2)) / 255.0
    }
}

/// How a role is drawn on paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ink {
    /// Colour inside a path, or of the plate behind writing.
    pub fill: Option<Rgb>,
    /// Colour of a path's line, or of the plate's.
    pub stroke: Option<Rgb>,
    /// Weight of the line, paper mm.
    pub weight: f64,
    /// Dashes: drawn and left out, paper mm.
    pub dash: Option<(f64, f64)>,
    /// Colour of writing.
    pub text: Rgb,
    /// Whether writing is semi-bold.
    pub bold: bool,
}

const CHALK: Rgb = Rgb(30, 91, 168);
const FAULT: Rgb = Rgb(168, 52, 20);
const OCHRE: Rgb = Rgb(122, 88, 0);
const WALL: Rgb = Rgb(58, 55, 51);

/// Shades of wood for the lots, light enough for labels and for a printer's ink.
const WOOD: [Rgb; 8] = [
    Rgb(242, 227, 201),
    Rgb(236, 218, 188),
    Rgb(230, 209, 176),
    Rgb(239, 221, 194),
    Rgb(225, 202, 167),
    Rgb(233, 213, 182),
    Rgb(228, 205, 171),
    Rgb(221, 196, 159),
];

/// Oak as oiled, for who will live on the floor: a shade for each of four lots. Dark enough to look like wood, light enough
/// that a grey copy shows the joints.
const OAK: [Rgb; 4] = [Rgb(214, 178, 130), Rgb(203, 164, 114), Rgb(208, 169, 117), Rgb(195, 155, 107)];

/// A shade of wood: boards of a lot differ by up to a tenth in lightness, and a little in warmth.
fn oak(tone: u8) -> Rgb {
    let Rgb(red, green, blue) = OAK[usize::from(tone / 8) % OAK.len()];
    // Neighbours in the count lie apart in shade.
    let step = f64::from((tone % 8) * 5 % 8) / 7.0 - 0.5;
    let part = |value: u8, by: f64| (f64::from(value) * (1.0 + by * step)).round().clamp(0.0, 255.0) as u8;
    Rgb(part(red, 0.09), part(green, 0.11), part(blue, 0.17))
}

/// The ink of a role on white paper. Weights follow the series 0.18, 0.25, 0.35, 0.5, 0.7 mm.
pub fn paper_ink(role: Role) -> Ink {
    let none = Ink { fill: None, stroke: None, weight: 0.0, dash: None, text: Rgb::INK, bold: false };
    let line = |stroke, weight| Ink { stroke: Some(stroke), weight, ..none };
    let area = |fill, stroke, weight| Ink { fill: Some(fill), ..line(stroke, weight) };
    match role {
        Role::OtherFloor | Role::OtherOpening | Role::TileArea => {
            Ink { fill: Some(Rgb(231, 235, 237)), ..none }
        }
        Role::BareFloor | Role::Opening => Ink { fill: Some(Rgb::PAPER), ..none },
        Role::WallBody => Ink { fill: Some(WALL), ..none },
        Role::WallFace => line(WALL, 0.25),
        Role::Glazing => area(Rgb(176, 208, 230), WALL, 0.25),
        Role::Cabinets => area(Rgb(214, 209, 200), WALL, 0.25),
        Role::Board { tone: tone @ 8.. } => area(oak(tone - 8), Rgb(114, 80, 46), 0.1),
        Role::Board { tone } => area(WOOD[usize::from(tone) % WOOD.len()], Rgb(140, 112, 76), 0.1),
        Role::BoardOutline => line(Rgb(206, 198, 186), 0.1),
        Role::LaidHatch => line(Rgb(140, 112, 76), 0.18),
        Role::Joint => line(Rgb(140, 112, 76), 0.25),
        Role::Boundary => line(Rgb::QUIET, 0.25),
        Role::FlaggedBoard => area(Rgb(236, 176, 140), FAULT, 0.35),
        Role::Fixture => Ink { text: Rgb::QUIET, ..area(Rgb(246, 243, 237), Rgb::INK, 0.35) },
        Role::UnderFloor => Ink { dash: Some((1.2, 0.9)), ..line(Rgb::QUIET, 0.25) },
        Role::Leaf => area(Rgb(222, 217, 208), Rgb::INK, 0.18),
        Role::Stop => line(Rgb::INK, 0.5),
        Role::MovementJoint => area(Rgb(150, 139, 124), Rgb::INK, 0.35),
        Role::JointName => Ink { fill: Some(Rgb::PAPER), bold: true, ..none },
        Role::StopFigure => Ink { fill: Some(Rgb::PAPER), bold: true, ..none },
        Role::StepMark => Ink { bold: true, ..area(Rgb::PAPER, Rgb::INK, 0.35) },
        Role::Slab => area(Rgb(214, 214, 211), Rgb::INK, 0.25),
        Role::Bed => area(Rgb(168, 160, 148), Rgb::INK, 0.1),
        Role::WearLayer => line(Rgb(140, 112, 76), 0.18),
        Role::Sealant => area(Rgb(120, 116, 110), Rgb::INK, 0.1),
        Role::TrimStrip => area(Rgb(246, 243, 237), Rgb::INK, 0.35),
        Role::StartLine => Ink { fill: Some(Rgb::PAPER), text: CHALK, bold: true, ..line(CHALK, 0.7) },
        Role::Pull => Ink { fill: Some(Rgb::PAPER), bold: true, ..line(Rgb::INK, 0.35) },
        Role::CheckPull => {
            Ink { fill: Some(Rgb::PAPER), dash: Some((1.6, 1.0)), bold: true, ..line(Rgb::INK, 0.35) }
        }
        Role::Dimension => Ink { fill: Some(Rgb::PAPER), ..line(Rgb::INK, 0.18) },
        Role::RipFigure => Ink { bold: true, ..area(Rgb::PAPER, Rgb::INK, 0.35) },
        Role::ShortRipFigure => Ink { text: Rgb::PAPER, bold: true, ..area(FAULT, FAULT, 0.35) },
        Role::Fault => Ink { text: Rgb::PAPER, bold: true, ..area(FAULT, FAULT, 0.35) },
        Role::Look => Ink { text: OCHRE, bold: true, ..area(Rgb(255, 250, 232), OCHRE, 0.35) },
        Role::RoomName => Ink { fill: Some(Rgb(253, 251, 246)), bold: true, ..none },
        Role::FixtureName => Ink { text: Rgb::QUIET, ..none },
        Role::BoardLabel => Ink { text: Rgb(70, 54, 32), ..none },
        Role::CornerLetter => Ink { text: Rgb::PAPER, bold: true, ..area(Rgb::INK, Rgb::INK, 0.25) },
        Role::ControlLine => Ink { dash: Some((3.0, 1.2)), ..line(CHALK, 0.5) },
        Role::ControlNumber => Ink { text: CHALK, bold: true, ..area(Rgb::PAPER, CHALK, 0.35) },
        Role::ControlPull => Ink { fill: Some(Rgb::PAPER), bold: true, ..line(Rgb::INK, 0.25) },
        Role::WallNumber => Ink { text: Rgb::QUIET, ..none },
        Role::Triangle => {
            Ink { fill: Some(Rgb::PAPER), dash: Some((1.0, 0.8)), bold: true, ..line(Rgb::INK, 0.25) }
        }
        Role::Arrow => Ink { fill: Some(Rgb::INK), ..none },
        Role::ArrowWord => Ink { fill: Some(Rgb::PAPER), bold: true, ..none },
        Role::Grain => line(Rgb(152, 112, 66), 0.1),
        Role::RoomArea => Ink { fill: Some(Rgb(253, 251, 246)), ..none },
        Role::Leader => area(Rgb::INK, Rgb::INK, 0.18),
        Role::KeyMark => Ink { bold: true, ..area(Rgb::PAPER, Rgb::INK, 0.35) },
        Role::Note => Ink { text: Rgb::QUIET, ..none },
        Role::SawnBoard => area(WOOD[0], Rgb::INK, 0.5),
        Role::Waste => area(Rgb::PAPER, Rgb::INK, 0.25),
        Role::Hatch => line(Rgb::QUIET, 0.18),
        Role::StageHatch { .. } => line(Rgb(70, 60, 48), 0.18),
        Role::Tongue => area(Rgb(233, 213, 182), Rgb::QUIET, 0.18),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn writing_stands_off_its_plate_in_grey_too() {
        // Lightness difference of at least 0.5 between writing and plate: rule of thumb for 4.5:1, no source.
        for role in [
            Role::RipFigure,
            Role::ShortRipFigure,
            Role::Fault,
            Role::Look,
            Role::RoomName,
            Role::CornerLetter,
            Role::Pull,
            Role::Dimension,
            Role::JointName,
            Role::StopFigure,
            Role::StepMark,
            Role::ControlNumber,
            Role::ControlPull,
            Role::Triangle,
            Role::ArrowWord,
            Role::RoomArea,
            Role::KeyMark,
        ] {
            let ink = paper_ink(role);
            let plate = ink.fill.expect("a plate");
            assert!((plate.lightness() - ink.text.lightness()).abs() > 0.5, "{role:?}");
        }
        for wood in WOOD {
            assert!(wood.lightness() - paper_ink(Role::BoardLabel).text.lightness() > 0.5);
        }
    }

    #[test]
    fn wood_shows_its_joints_and_grain_in_grey() {
        // A line a tenth of the scale darker than what it lies on is seen: rule of thumb, no source.
        let grain = paper_ink(Role::Grain).stroke.expect("a line").lightness();
        for tone in 8..40 {
            let ink = paper_ink(Role::Board { tone });
            let wood = ink.fill.expect("wood");
            let joint = ink.stroke.expect("a joint").lightness();
            assert!(wood.lightness() - joint > 0.25, "{tone}: {wood:?}");
            assert!(wood.lightness() - grain > 0.08, "{tone}: {wood:?}");
            // Oak is warm: red over green over blue.
            assert!(wood.0 > wood.1 && wood.1 > wood.2, "{wood:?}");
        }
    }

    #[test]
    fn a_fault_is_dark_and_a_look_is_light() {
        let dark = |role| paper_ink(role).fill.expect("a plate").lightness() < 0.5;
        assert!(dark(Role::Fault) && !dark(Role::Look));
        assert!(dark(Role::ShortRipFigure) && !dark(Role::RipFigure));
    }
}
