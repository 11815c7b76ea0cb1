//! What is cut from lengths: skirting, architrave, trims and nosings.

use super::faces::Stretch;
use super::reckon::{Reckoning, count};
use super::{Material, MaterialLine, MouldingPiece};
use crate::{Cutting, cut_lengths};
use plan::{Architrave, Beyond, Lining, Moulding};
use site::EdgeKind;

const MM_PER_M: f64 = 1000.0;
/// A shorter end of a wall longer than any length is not made: the last two pieces share what is left, mm. Ours.
const SHORTEST_END: f64 = 300.0;
/// A shorter stretch takes no piece, mm: what a jog of plaster leaves.
const NO_PIECE: f64 = 10.0;

pub(super) fn skirting(with: &Reckoning<'_>, of: &Moulding) -> MaterialLine {
    let architrave = with.plan.materials.as_ref().and_then(|all| all.architrave.as_ref());
    let width = architrave.map_or(0.0, |of| of.width);
    let stretches = with.takings.stretches.iter();
    let walls =
        stretches.filter(|stretch| stretch.kind == EdgeKind::Wall && !stretch.is_bare_wall(with.plan));
    let lengths: Vec<(String, f64)> = walls
        .map(|wall: &Stretch| {
            (wall.source.name(with.plan), wall.length - width * f64::from(wall.doorway_ends))
        })
        .collect();
    let source = match architrave {
        Some(_) => {
            "walls less doorways, glazing, cabinets and what stands against them, up to the architraves"
        }
        None => "walls less doorways, glazing, cabinets and what stands against them",
    };
    cut(with, Material::Skirting, of, lengths, source)
}

/// Two legs and a head on each face of every doorway whose lining is to come. Mitred: legs and head reach to the
/// outer corners.
pub(super) fn architrave(with: &Reckoning<'_>, of: &Architrave) -> MaterialLine {
    let mut lengths = Vec::new();
    for index in &with.takings.doorways {
        let Some(door) = with.plan.doorways.get(*index).filter(|door| door.lining == Lining::ToCome) else {
            continue;
        };
        let faces = 1 + usize::from(door.far_room(with.plan).is_some());
        for _ in 0..faces {
            let leg = of.height + of.width;
            lengths.extend([(door.name.clone(), leg), (door.name.clone(), leg)]);
            lengths.push((door.name.clone(), door.width + 2.0 * of.width));
        }
    }
    let source = "two legs and a head on each face of a doorway whose lining is to come; where it stands, so does its \
                  architrave";
    cut(with, Material::Architrave, &of.moulding, lengths, source)
}

pub(super) fn trim(with: &Reckoning<'_>, of: &Moulding) -> MaterialLine {
    let doorways = with.takings.doorways.iter().filter_map(|index| with.plan.doorways.get(*index));
    let doorways = doorways.filter(|door| matches!(door.beyond, Beyond::Trim(width) if width > 0.0));
    let mut lengths: Vec<(String, f64)> = doorways.map(|door| (door.name.clone(), door.width)).collect();
    lengths.extend(along(with, EdgeKind::TileTrim));
    cut(with, Material::Trim, of, lengths, "doorways with a trim, and the edges of tile that boards meet")
}

pub(super) fn nosing(with: &Reckoning<'_>, of: &Moulding) -> MaterialLine {
    let lengths = along(with, EdgeKind::Nosing);
    cut(with, Material::Nosing, of, lengths, "the edges of stairs that boards meet")
}

fn along(with: &Reckoning<'_>, kind: EdgeKind) -> Vec<(String, f64)> {
    let of_kind = with.takings.stretches.iter().filter(|stretch| stretch.kind == kind);
    of_kind.map(|stretch| (stretch.source.name(with.plan), stretch.length)).collect()
}

/// A line for what is cut from lengths.
fn cut(
    with: &Reckoning<'_>,
    material: Material,
    of: &Moulding,
    places: Vec<(String, f64)>,
    source: &str,
) -> MaterialLine {
    let longest = of.lengths.iter().copied().fold(0.0, f64::max);
    let places: Vec<(String, f64)> = places.into_iter().filter(|(_, length)| *length > NO_PIECE).collect();
    let mut pieces = Vec::new();
    for (place, length) in &places {
        let parts = parts(*length, longest - of.add);
        for part in &parts {
            pieces.push(MouldingPiece { place: place.clone(), length: (part + of.add).ceil() });
        }
    }
    let lengths: Vec<f64> = pieces.iter().map(|piece| piece.length).collect();
    // Parts are no longer than the longest length: every piece fits.
    let cutting = cut_lengths(&lengths, &of.lengths, of.kerf).unwrap_or_default();
    // The sum of no lengths has a sign: it begins at -0.
    let along = places.iter().map(|(_, length)| length).sum::<f64>() + 0.0;
    let net = along / MM_PER_M;
    let (bought, packs) =
        (cutting.bought() / MM_PER_M, u32::try_from(cutting.lengths.len()).unwrap_or(u32::MAX));
    let mut sums = vec![format!("{} in {}", with.run(along), count(pieces.len() as u32, "piece"))];
    if of.add > 0.0 {
        sums.push(format!("{} added to each for its mitres", with.small(of.add)));
    }
    if packs > 0 {
        sums.push(format!(
            "cut with a {} saw cut from {} = {}{}",
            with.small(of.kerf),
            by_length(with, &cutting),
            with.run(bought * MM_PER_M),
            waste(with, &cutting, &lengths)
        ));
    }
    let allowance = net * with.allowance;
    let more = (bought.max(net) + allowance - bought) * MM_PER_M / longest;
    MaterialLine {
        material,
        name: of.name.clone(),
        least: net,
        greatest: net,
        unit: "m",
        sums,
        source: source.to_owned(),
        packs,
        allowance,
        allowance_packs: (more - 1e-9).ceil().max(0.0) as u32,
        price: of.price.map(|price| price * bought),
        pieces,
        cutting: Some(cutting),
        units: with.plan.units,
    }
}

/// A stretch in pieces no longer than `longest`: whole lengths and a rest, and no rest too short to fix.
fn parts(length: f64, longest: f64) -> Vec<f64> {
    if length <= longest || longest <= 0.0 {
        return vec![length];
    }
    let whole = (length / longest).floor() as usize;
    let rest = length - whole as f64 * longest;
    let mut parts = vec![longest; whole];
    if rest >= SHORTEST_END.min(longest / 2.0) {
        parts.push(rest);
    } else if rest > 0.0 {
        let half = (longest + rest) / 2.0;
        parts.pop();
        parts.extend([half, half]);
    }
    parts
}

/// `4 × 3 600 and 2 × 2 400`.
fn by_length(with: &Reckoning<'_>, cutting: &Cutting) -> String {
    let mut lengths: Vec<f64> = cutting.lengths.iter().map(|of| of.length).collect();
    lengths.sort_by(|a, b| b.total_cmp(a));
    let groups = lengths.chunk_by(|a, b| a == b);
    let words: Vec<String> =
        groups.map(|group| format!("{} × {}", group.len(), with.length(group[0]))).collect();
    words.join(" and ")
}

fn waste(with: &Reckoning<'_>, cutting: &Cutting, pieces: &[f64]) -> String {
    let (bought, used) = (cutting.bought(), pieces.iter().sum::<f64>());
    let share = 100.0 * (1.0 - used / bought.max(f64::MIN_POSITIVE));
    let over = with.run(bought - cutting.bound);
    match cutting.is_proven {
        true => format!(", {share:.1} % left over: the least there is"),
        false => format!(", {share:.1} % left over, at most {over} more than the least"),
    }
}
