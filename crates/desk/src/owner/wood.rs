//! Wood to look at: planks as a saw would open them from a log, made by arithmetic, the same every time.
//!
//! Each strip of the sheet is one face: growth rings cut at some distance from the pith, which wander along the board,
//! fibres drawn out along it, and a knot or two round which the rings bend. Nothing of the floor comes of it.

use egui::{Color32, ColorImage};

/// Faces on the sheet, one over the other.
pub(super) const FACES: usize = 12;
/// Length of wood on a face, mm; its ends meet.
pub(super) const LENGTH: f32 = 2600.0;
/// Width of wood on a face, mm, whatever the board's.
const WIDTH: f32 = 190.0;
/// Pixels along and across a face.
const ALONG: usize = 1024;
const ACROSS: usize = 80;

/// The sheet of faces, as light and dark on white: a board's colour is laid over it.
pub(super) fn sheet() -> ColorImage {
    let mut pixels = Vec::with_capacity(ALONG * ACROSS * FACES);
    for face in 0..FACES {
        let face = Face::new(face as u32);
        for row in 0..ACROSS {
            let y = (row as f32 + 0.5) / ACROSS as f32 * WIDTH;
            for column in 0..ALONG {
                let x = (column as f32 + 0.5) / ALONG as f32 * LENGTH;
                let light = (face.light(x, y).clamp(0.0, 1.0) * 255.0) as u8;
                // Darker wood is redder: late wood and knots.
                let warm = f32::from(light) / 255.0;
                let part = |power: f32| (warm.powf(power) * 255.0) as u8;
                pixels.push(Color32::from_rgb(part(0.82), part(1.0), part(1.22)));
            }
        }
    }
    ColorImage::new([ALONG, ACROSS * FACES], pixels)
}

/// A knot in a face.
#[derive(Clone, Copy)]
struct Knot {
    x: f32,
    y: f32,
    radius: f32,
}

/// One face: how far from the pith it was sawn, and what grew in it.
struct Face {
    seed: u32,
    /// Distance of the saw's plane from the pith, mm: near it the rings open in arches, far off they run straight.
    depth: f32,
    /// Where across the face the pith lies, mm.
    pith: f32,
    /// Width of a ring, mm.
    ring: f32,
    knots: Vec<Knot>,
}

impl Face {
    fn new(index: u32) -> Self {
        let seed = index.wrapping_mul(0x9e37_79b9) ^ 0x51ed_270b;
        let part = |salt: u32| unit(hash(seed, salt, 7));
        // Every third face is sawn towards the quarter, from further off.
        let (depth, off) =
            if index % 3 == 2 { (34.0 + 30.0 * part(1), 260.0) } else { (8.0 + 46.0 * part(1), 60.0) };
        let count = [0, 1, 0, 2, 0, 1][index as usize % 6];
        let knot = |i: u32| Knot {
            x: LENGTH * (0.12 + 0.76 * part(20 + i)),
            y: WIDTH * (0.2 + 0.6 * part(30 + i)),
            radius: 5.0 + 9.0 * part(40 + i),
        };
        Self {
            seed,
            depth,
            pith: WIDTH / 2.0 + off * (part(2) - 0.5) * 2.0,
            ring: 3.4 + 3.2 * part(3),
            knots: (0..count).map(knot).collect(),
        }
    }

    /// How light the wood is at a point of the face, 0 to 1.
    fn light(&self, x: f32, y: f32) -> f32 {
        // The trunk is no cylinder: it wanders, once and again over the board's length, and meets itself at its ends.
        let turn = std::f32::consts::TAU * x / LENGTH;
        let wander = 16.0 * (turn + self.phase(1)).sin() + 7.0 * (2.0 * turn + self.phase(2)).sin();
        let taper = 9.0 * (turn + self.phase(3)).cos();
        let (mut across, depth) = (y - self.pith + wander, self.depth + taper);
        let (mut dark, mut swirl) = (0.0_f32, 0.0_f32);
        for knot in &self.knots {
            let (dx, dy) = ((x - knot.x) / 3.2, y - knot.y);
            let distance = (dx * dx + dy * dy).sqrt() / knot.radius;
            // Rings part before a knot and close behind it.
            let pull = (-(distance * distance) / 9.0).exp();
            across += dy.signum() * knot.radius * 0.9 * pull * (1.0 - (-(dy * dy) / 40.0).exp());
            swirl += pull;
            let round = ((x - knot.x).powi(2) + dy * dy).sqrt() / knot.radius;
            let core = (1.15 - round).clamp(0.0, 1.0);
            dark += 0.5 * core.powf(0.6) + 0.22 * (1.0 - (round - 1.05).abs() * 5.0).clamp(0.0, 1.0);
        }
        let from_pith = (across * across + depth * depth).sqrt() + 3.0 * self.noise(x / 210.0, y / 22.0, 11);
        let ring = from_pith / self.ring;
        let in_ring = ring - ring.floor();
        // Early wood is light; late wood darkens towards the ring's end and stops short.
        let late = if in_ring < 0.9 { (in_ring / 0.9).powi(3) } else { (1.0 - in_ring) / 0.1 };
        let strength = 0.12 + 0.07 * unit(hash(self.seed, ring.floor() as i32 as u32, 3));
        let fibre = self.noise(x / 95.0, y / 1.1, 5) * 0.055 + self.noise(x / 34.0, y / 0.55, 6) * 0.035;
        let pore = (self.noise(x / 13.0, y / 0.7, 8) - 0.42).max(0.0) * 0.5 * (1.0 - late * 0.5);
        let cloud = self.noise(x / 640.0, y / 120.0, 9) * 0.06;
        0.93 - strength * late + fibre + cloud - pore - dark * 0.85 - swirl * 0.03
    }

    fn phase(&self, salt: u32) -> f32 {
        std::f32::consts::TAU * unit(hash(self.seed, salt, 101))
    }

    /// Smooth noise about 0, within ±1; it meets itself at the board's ends.
    fn noise(&self, x: f32, y: f32, salt: u32) -> f32 {
        let (x0, y0) = (x.floor(), y.floor());
        let (fx, fy) = (ease(x - x0), ease(y - y0));
        let at = |dx: f32, dy: f32| {
            let place = hash(
                self.seed ^ salt.wrapping_mul(0x85eb_ca6b),
                (x0 + dx) as i32 as u32,
                (y0 + dy) as i32 as u32,
            );
            unit(place) * 2.0 - 1.0
        };
        let low = at(0.0, 0.0) + (at(1.0, 0.0) - at(0.0, 0.0)) * fx;
        let high = at(0.0, 1.0) + (at(1.0, 1.0) - at(0.0, 1.0)) * fx;
        low + (high - low) * fy
    }
}

fn ease(t: f32) -> f32 {
    t * t * (3.0 - 2.0 * t)
}

/// A number of 32 well mixed bits for three.
pub(super) fn hash(a: u32, b: u32, c: u32) -> u32 {
    let mut h = a ^ b.wrapping_mul(0x27d4_eb2f) ^ c.wrapping_mul(0x1656_67b1);
    h ^= h >> 15;
    h = h.wrapping_mul(0x85eb_ca77);
    h ^= h >> 13;
    h = h.wrapping_mul(0xc2b2_ae3d);
    h ^ (h >> 16)
}

/// Such a number from 0 to 1.
pub(super) fn unit(h: u32) -> f32 {
    (h >> 8) as f32 / (1_u32 << 24) as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faces_are_the_same_every_time_and_differ_from_one_another() {
        let face = |index| -> Vec<f32> {
            let face = Face::new(index);
            (0..200).map(|i| face.light(13.0 * i as f32, (i % 19) as f32 * 10.0)).collect()
        };
        assert_eq!(face(3), face(3));
        for other in 0..FACES as u32 {
            assert!(other == 3 || face(other) != face(3));
        }
        // Light enough to take a board's colour, and neither flat nor wild.
        let all: Vec<f32> = (0..FACES as u32).flat_map(face).collect();
        let mean = all.iter().sum::<f32>() / all.len() as f32;
        let spread = (all.iter().map(|light| (light - mean).powi(2)).sum::<f32>() / all.len() as f32).sqrt();
        assert!((0.7..0.97).contains(&mean) && (0.02..0.2).contains(&spread), "{mean} {spread}");
    }
}
