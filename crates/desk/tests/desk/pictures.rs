//! How the desk looks, compared with small pictures that somebody has looked at: the window's own triangles filled here, so
//! that no driver has a say, and the sheets' drawing by their own renderer.
//!
//! After a change that is meant, `STARTROW_PICTURES=renew cargo test -p startrow-desk --test desk pictures` writes them anew
//! to `tests/pictures`. Look at each of them before it is committed.

use crate::hands::{Hands, one_room};
use egui::epaint::{Primitive, Vertex};
use egui::{Color32, Key, Modifiers, Rect, TextureId, vec2};
use image::imageops::{FilterType, blur, resize};
use image::{Rgb, RgbImage};
use startrow_desk::{Command, Setup};
use std::path::PathBuf;

/// Width of a stored picture, pixels.
const SMALL: u32 = 400;
/// So many pixels of the window are one of the picture that is filled: thin lines and letters become grey, as they do in
/// the small picture anyway.
const COARSE: f32 = 2.0;
/// Blur before two pictures are compared, pixels: a letter that moved by a hair is no other picture.
const BLUR: f32 = 1.6;
/// Greatest root mean square of the differences, of 255. Higher, and a lost panel's writing goes unseen; lower, and a word
/// that was changed is another picture.
const ALIKE: f64 = 3.0;
/// The pictures are held against each other square by square too, pixels to a side: a mark that is gone is small.
const SQUARE: u32 = 20;
/// Greatest mean difference within one square, of 255.
const ALIKE_IN_SQUARE: f64 = 16.0;

/// What the table shows now, filled triangle by triangle, a part of its size. Pictures loaded by the desk are left white.
fn filled(hands: &Hands) -> RgbImage {
    let ctx = &hands.harness.ctx;
    let window = ctx.content_rect().size();
    let letters = ctx.fonts(|fonts| fonts.image());
    let shapes = hands.harness.output().shapes.clone();
    let mut paper = Paper {
        width: (window.x / COARSE) as usize,
        height: (window.y / COARSE) as usize,
        pixels: Vec::new(),
        letters,
    };
    paper.pixels = vec![[0.0; 3]; paper.width * paper.height];
    for part in ctx.tessellate(shapes, ctx.pixels_per_point()) {
        let Primitive::Mesh(mesh) = &part.primitive else { continue };
        let has_letters = mesh.texture_id == TextureId::default();
        for corners in mesh.indices.chunks_exact(3) {
            let corners = [corners[0], corners[1], corners[2]].map(|i| mesh.vertices[i as usize]);
            paper.fill(corners, part.clip_rect, has_letters);
        }
    }
    RgbImage::from_fn(paper.width as u32, paper.height as u32, |x, y| {
        Rgb(paper.pixels[y as usize * paper.width + x as usize].map(|part| part.clamp(0.0, 255.0) as u8))
    })
}

struct Paper {
    width: usize,
    height: usize,
    pixels: Vec<[f32; 3]>,
    letters: egui::ColorImage,
}

impl Paper {
    /// Fills a triangle: colours run from corner to corner, premultiplied, as a graphics card has them.
    fn fill(&mut self, corners: [Vertex; 3], clip: Rect, has_letters: bool) {
        let [a, b, c] = corners.map(|corner| corner.pos / COARSE);
        let clip = Rect::from_min_max(clip.min / COARSE, clip.max / COARSE);
        let area = (b - a).x * (c - a).y - (b - a).y * (c - a).x;
        if area == 0.0 {
            return;
        }
        let bounds = Rect::from_points(&[a, b, c]).intersect(clip);
        let from = |at: f32| (at - 0.5).ceil().max(0.0) as usize;
        let is_plain =
            corners.iter().all(|corner| (corner.color, corner.uv) == (corners[0].color, corners[0].uv));
        let channels = |color: Color32| color.to_array().map(f32::from);
        let plain = channels(corners[0].color);
        let is_white = [0.0, 0.0] == [corners[0].uv.x, corners[0].uv.y] || !has_letters;
        for y in from(bounds.top())..from(bounds.bottom()).min(self.height) {
            let down = y as f32 + 0.5;
            let (mut left, mut right) = (bounds.left(), bounds.right());
            for (p, q) in [(a, b), (b, c), (c, a)] {
                let (run, rise) = ((q - p).x * area.signum(), (q - p).y * area.signum());
                // Inside where run · (down − p.y) ≥ rise · (x − p.x).
                match rise {
                    0.0 if run * (down - p.y) < 0.0 => right = left - 1.0,
                    0.0 => {}
                    rise if rise > 0.0 => right = right.min(p.x + run * (down - p.y) / rise),
                    rise => left = left.max(p.x + run * (down - p.y) / rise),
                }
            }
            for x in from(left)..from(right).min(self.width) {
                if is_plain && is_white {
                    let under = &mut self.pixels[y * self.width + x];
                    let through = 1.0 - plain[3] / 255.0;
                    *under = [
                        plain[0] + under[0] * through,
                        plain[1] + under[1] * through,
                        plain[2] + under[2] * through,
                    ];
                    continue;
                }
                let at = egui::pos2(x as f32 + 0.5, down);
                let side = |p: egui::Pos2, q: egui::Pos2| (q - p).x * (at - p).y - (q - p).y * (at - p).x;
                let parts = [side(b, c) / area, side(c, a) / area, side(a, b) / area];
                let mixed = |of: fn(&Vertex) -> [f32; 4]| -> [f32; 4] {
                    let all: [[f32; 4]; 3] = [0, 1, 2].map(|i| of(&corners[i]));
                    [0, 1, 2, 3].map(|part| (0..3).map(|i| all[i][part] * parts[i]).sum())
                };
                let mut color = match is_plain {
                    true => plain,
                    false => mixed(|corner| corner.color.to_array().map(f32::from)),
                };
                if has_letters {
                    let [u, v, ..] = match is_plain {
                        true => [corners[0].uv.x, corners[0].uv.y, 0.0, 0.0],
                        false => mixed(|corner| [corner.uv.x, corner.uv.y, 0.0, 0.0]),
                    };
                    let texel = self.letter(u, v);
                    color = [0, 1, 2, 3].map(|part| color[part] * texel[part] / 255.0);
                }
                let under = &mut self.pixels[y * self.width + x];
                for part in 0..3 {
                    under[part] = color[part] + under[part] * (1.0 - color[3] / 255.0);
                }
            }
        }
    }

    /// The sheet of letters at a place, the mean of what a coarse pixel covers.
    fn letter(&self, u: f32, v: f32) -> [f32; 4] {
        let [width, height] = self.letters.size;
        let (x, y) = ((u * width as f32) as usize, (v * height as f32) as usize);
        let texel = |dx: usize, dy: usize| {
            let at = (y + dy).min(height - 1) * width + (x + dx).min(width - 1);
            self.letters.pixels[at].to_array().map(f32::from)
        };
        if (x, y) == (0, 0) {
            // White, by which everything without letters is filled.
            return texel(0, 0);
        }
        let four = [texel(0, 0), texel(1, 0), texel(0, 1), texel(1, 1)];
        [0, 1, 2, 3].map(|part| four.iter().map(|texel| texel[part]).sum::<f32>() / 4.0)
    }
}

/// As it is stored.
fn small(picture: &RgbImage) -> RgbImage {
    let height = SMALL * picture.height() / picture.width();
    resize(picture, SMALL, height, FilterType::Triangle)
}

/// How far two pictures are from each other: over all, and in the square where they are farthest.
fn apart(one: &RgbImage, other: &RgbImage) -> (f64, f64) {
    assert_eq!(one.dimensions(), other.dimensions());
    let (one, other) = (blur(one, BLUR), blur(other, BLUR));
    let across = one.width().div_ceil(SQUARE);
    let mut squares = vec![(0.0, 0.0); (across * one.height().div_ceil(SQUARE)) as usize];
    let mut sum = 0.0;
    for ((x, y, a), b) in one.enumerate_pixels().zip(other.pixels()) {
        let by = |part: usize| (f64::from(a.0[part]) - f64::from(b.0[part])).abs();
        let square = &mut squares[(y / SQUARE * across + x / SQUARE) as usize];
        *square = (square.0 + (by(0) + by(1) + by(2)) / 3.0, square.1 + 1.0);
        sum += (0..3).map(|part| by(part) * by(part)).sum::<f64>();
    }
    let pixels = f64::from(one.width() * one.height() * 3);
    let worst = squares.into_iter().map(|(sum, count)| sum / count).fold(0.0, f64::max);
    ((sum / pixels).sqrt(), worst)
}

fn are_alike(one: &RgbImage, other: &RgbImage) -> bool {
    let (all, square) = apart(one, other);
    all <= ALIKE && square <= ALIKE_IN_SQUARE
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/pictures")
}

/// Holds a picture against the stored one of this name; what is wrong, if anything.
fn compare(name: &str, picture: &RgbImage) -> Option<String> {
    let (path, now) = (folder().join(format!("{name}.png")), small(picture));
    if std::env::var_os("STARTROW_PICTURES").is_some_and(|wanted| wanted == "renew") {
        now.save(&path).expect("a picture is written");
        return None;
    }
    let stored = match image::open(&path) {
        Ok(stored) => stored.into_rgb8(),
        Err(error) => return Some(format!("{name}: {error}")),
    };
    if stored.dimensions() == now.dimensions() && are_alike(&stored, &now) {
        return None;
    }
    let seen = std::env::temp_dir().join(format!("startrow-{name}.png"));
    now.save(&seen).expect("a picture is written");
    let far = if stored.dimensions() == now.dimensions() { apart(&stored, &now) } else { (255.0, 255.0) };
    Some(format!(
        "{name}: {far:.1?} apart, at most {ALIKE} over all and {ALIKE_IN_SQUARE} in a square; now {seen:?}"
    ))
}

#[test]
fn the_window_looks_as_it_was_reviewed() {
    let mut hands = Hands::at_size(Setup::default(), [1280.0, 800.0]);
    let mut wrong = Vec::new();
    let sample = filled(&hands);
    wrong.extend(compare("sample", &sample));
    hands.run(Command::ToggleTheme);
    let slate = filled(&hands);
    wrong.extend(compare("slate", &slate));
    hands.run(Command::ToggleContrast);
    wrong.extend(compare("slate-hard", &filled(&hands)));
    hands.run(Command::ToggleTheme);
    hands.run(Command::ToggleContrast);
    hands.keys(&[Key::Escape]);
    // What a lost part looks like is farther away than anything that is let pass.
    let sample = small(&sample);
    assert!(!are_alike(&sample, &small(&slate)), "other colours");
    for lost in [Command::FoldJob, Command::ShowBoards, Command::ShowFlags] {
        hands.run(lost);
        assert!(!are_alike(&sample, &small(&filled(&hands))), "{lost:?}");
        hands.run(lost);
        hands.keys(&[Key::Escape]);
    }
    hands.keys(&[Key::G]);
    wrong.extend(compare("flag", &filled(&hands)));
    hands.keys(&[Key::Escape]);
    hands.run(Command::Fit);
    hands.run(Command::OpenAllSteps);
    hands.key(Modifiers::COMMAND, Key::Plus);
    hands.harness.set_size(vec2(1280.0, 800.0) / 1.25);
    hands.harness.run();
    wrong.extend(compare("larger", &filled(&hands)));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A switch of the light begins the sheet of letters anew, on which every letter then has another place.
#[test]
fn figures_on_the_floor_are_the_same_after_a_switch_of_the_light() {
    let mut hands = Hands::at_size(Setup::default(), [1280.0, 800.0]);
    hands.keys(&[Key::Escape]);
    let light = filled(&hands);
    for _ in 0..2 {
        // By its key, in the midst of a frame that has begun with the old sheet.
        hands.key(Modifiers::COMMAND, Key::L);
        let slate = filled(&hands);
        // At another size and back everything is made anew.
        hands.run(Command::Larger);
        hands.run(Command::UsualSize);
        assert_eq!(unlike(&slate, &filled(&hands)), 0, "slate");
        hands.key(Modifiers::COMMAND, Key::L);
        assert_eq!(unlike(&light, &filled(&hands)), 0, "light");
    }
}

/// Pixels by which two pictures differ over the foot of the table, where what was done last is said.
fn unlike(one: &RgbImage, other: &RgbImage) -> usize {
    let table = (one.height() as usize * 2 / 3) * one.width() as usize;
    let differs = |(a, b): (&Rgb<u8>, &Rgb<u8>)| (0..3).any(|part| a.0[part].abs_diff(b.0[part]) > 24);
    one.pixels().zip(other.pixels()).take(table).filter(|pair| differs(*pair)).count()
}

#[test]
fn a_house_being_drawn_looks_as_it_was_reviewed() {
    let mut hands = Hands::at_size(Setup { plan: Some(one_room()), ..Setup::default() }, [1280.0, 800.0]);
    hands.keys(&[Key::M, Key::W, Key::W, Key::R]);
    for length in ["3000", "2500"] {
        hands.letters(length);
        hands.keys(&[Key::Enter]);
    }
    hands.letters("3000");
    let wrong = compare("drawing", &filled(&hands));
    assert!(wrong.is_none(), "{wrong:?}");
}

/// The drawing that window and paper share, filled by the renderer that fills the sheets' pictures.
#[test]
fn the_shared_drawing_looks_as_it_was_reviewed() {
    let mut wrong = Vec::new();
    for sample in ["hazel-court", "plover-parlour", "tern-point"] {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("../../sample-plans/{sample}.ron"));
        let plan = plan::read(&std::fs::read_to_string(path).expect("a sample")).expect("a plan");
        let house = pipeline::run(&plan).expect("a house");
        let drawn = |options: &drawing::Options| {
            let svg = sheets::floor_svg(&house, options);
            let png = sheets::png(&svg, sheets::PngSize::Width(2 * SMALL)).expect("a picture");
            image::load_from_memory(&png).expect("a picture").into_rgb8()
        };
        let all = drawing::Options::all(80.0, plan.units);
        let picture = drawn(&all);
        wrong.extend(compare(&format!("drawing-{sample}"), &picture));
        let bare = RgbImage::from_pixel(picture.width(), picture.height(), Rgb([255; 3]));
        assert!(!are_alike(&small(&picture), &small(&bare)), "{sample}: there is something on it");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
