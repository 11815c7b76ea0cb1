//! What the seasons do: moisture, coefficients, the longest stretches of floor and the tightest, gaps that close and open.

use super::Scene;
use super::chords::{Chord, chords};
use crate::plan::{Air, Climate, Construction, Species, Wood};
use crate::report::{Promise, Report};
use crate::result::{Change, Edge, Seasons, Stretch};
use geo::Coord;

/// Figures follow from others given in full.
const EXACT: f64 = 1e-6;
/// An extent, mm: stretches that differ by less than 0.01 are alike.
const EXTENT: f64 = 0.02;
/// A flag's figure may lie so near to its limit, mm (docs/rules.md).
const LIMIT: f64 = 0.05;

/// Radial and tangential change for each percent of moisture: Wood Handbook, FPL-GTR-190, 2010, table 13-5; of a hardwood
/// or softwood not named NF DTU 51.2 P1-1, 2020, §7.2. Taken from the table in docs/rules.md.
const WOODS: [(Species, f64, f64); 11] = [
    (Species::WhiteOak, 0.00180, 0.00365),
    (Species::RedOak, 0.00158, 0.00369),
    (Species::WhiteAsh, 0.00169, 0.00274),
    (Species::Beech, 0.00190, 0.00431),
    (Species::YellowBirch, 0.00256, 0.00338),
    (Species::SugarMaple, 0.00165, 0.00353),
    (Species::RedMaple, 0.00137, 0.00289),
    (Species::BlackWalnut, 0.00190, 0.00274),
    (Species::BlackCherry, 0.00126, 0.00248),
    (Species::Hardwood, 0.0033, 0.0033),
    (Species::Softwood, 0.0025, 0.0025),
];

/// Moisture of wood at rest in air: Wood Handbook, equation 4-5.
fn at_rest(air: Climate) -> f64 {
    let (t, h) = match air {
        Climate::Moisture(percent) => return percent,
        Climate::Air { degrees, humidity } => (degrees, humidity / 100.0),
    };
    let squared = t * t;
    let weight = 349.0 + 1.29 * t + 0.0135 * squared;
    let kh = h * (0.805 + 0.000_736 * t - 0.000_002_73 * squared);
    let one = kh * (6.27 - 0.009_38 * t - 0.000_303 * squared);
    let two = one * kh * (1.91 + 0.040_7 * t - 0.000_293 * squared);
    1800.0 / weight * (kh / (1.0 - kh) + (one + two + two) / (1.0 + one + two))
}

/// What the wood does for each percent, and over the year.
struct Year {
    free: f64,
    built: f64,
    along: f64,
    let_through: f64,
    rise: f64,
    fall: f64,
}

impl Year {
    fn of(wood: &Wood, air: &Air) -> Self {
        let (_, radial, tangential) = WOODS.into_iter().find(|w| w.0 == wood.species).unwrap_or(WOODS[0]);
        let free = if wood.construction == Construction::QuarterSawn { radial } else { tangential };
        let built = match wood.construction {
            Construction::FlatSawn | Construction::QuarterSawn => free,
            // NF DTU 51.11 P1-1, 2009, §7.5.
            Construction::Multilayer => 0.0003,
            Construction::Stated(percent) => percent / 100.0,
        };
        let [laid, driest, dampest] = [air.laid, air.driest, air.dampest].map(at_rest);
        Self {
            free,
            built,
            // Wood Handbook, chapter 4: 0.2 % from green to oven-dry; over 30 % of moisture, from memory.
            along: 0.002 / 30.0,
            let_through: 1.0 - wood.held_back,
            rise: (driest.max(dampest) - laid).max(0.0),
            fall: (laid - driest.min(dampest)).max(0.0),
        }
    }

    /// Free, built and expected change of an extent (equation 13-2).
    fn change(&self, extent: f64, is_along: bool, moisture: f64) -> [f64; 3] {
        let [free, built] = if is_along { [self.along; 2] } else { [self.free, self.built] };
        [free, built, built * self.let_through].map(|each| each * extent * moisture)
    }
}

pub(super) fn check(scene: &Scene, report: &mut Report) {
    let said = scene.house.movement.as_ref().and_then(|movement| movement.seasons.as_ref());
    let asked = scene.plan.stock.wood.as_ref().zip(scene.plan.air.as_ref());
    if said.is_some() != asked.is_some() {
        report.hold(Promise::Seasons, false, || {
            let what = if said.is_some() { "seasons without wood and air" } else { "nothing of the seasons" };
            ("the plan".into(), what.into())
        });
    }
    let (Some(said), Some((wood, air))) = (said, asked) else { return };
    let year = Year::of(wood, air);
    figures(scene, report, said, &year, wood, air);
    for (stretches, is_along) in [(&said.widths, false), (&said.lengths, true)] {
        for stretch in stretches {
            arithmetic(report, stretch, &year, is_along, wood.held_back > 0.0);
        }
        for index in 0..scene.house.regions.len() {
            let of_region: Vec<&Stretch> = stretches.iter().filter(|s| s.region == index).collect();
            region(scene, report, index, &of_region, &year, is_along);
        }
    }
    joints(scene, report);
}

fn figures(scene: &Scene, report: &mut Report, said: &Seasons, year: &Year, wood: &Wood, air: &Air) {
    let mut same = |what: &str, said: f64, found: f64| {
        report.same(Promise::Seasons, "the seasons", what, said, found, EXACT);
    };
    same("moisture when laid", said.moisture.laid, at_rest(air.laid));
    same("moisture at its driest", said.moisture.driest, at_rest(air.driest));
    same("moisture at its dampest", said.moisture.dampest, at_rest(air.dampest));
    let coefficients = &said.coefficients;
    for (what, said, found) in [
        ("free coefficient, of a thousand", coefficients.free, year.free),
        ("built coefficient, of a thousand", coefficients.built, year.built),
        ("coefficient along, of a thousand", coefficients.along, year.along),
    ] {
        same(what, 1000.0 * said, 1000.0 * found);
    }
    same("share held back", coefficients.held_back, wood.held_back);
    let pitch = scene.plan.stock.pitch();
    same("opening of joints", said.opening, year.change(pitch, false, year.fall)[2]);
    // NF DTU 51.2 P1-1, 2020, §7.2.
    let greatest = if pitch <= 140.0 { (pitch / 50.0).min(2.0) } else { 3.0 };
    same("greatest opening", said.greatest_opening, greatest);
    let flags: Vec<_> = scene.house.flags.iter().filter(|flag| flag.kind == "open-joints").collect();
    let over = said.opening - greatest;
    let is_over = wood.held_back > 0.0 && over > LIMIT;
    let is_near = wood.held_back > 0.0 && (over - LIMIT).abs() < EXACT;
    report.hold(Promise::Seasons, is_near || flags.len() == usize::from(is_over), || {
        ("every board".into(), format!("joints open {over} past their limit, {} flags", flags.len()))
    });
}

/// What follows from a stretch's own figures.
fn arithmetic(report: &mut Report, stretch: &Stretch, year: &Year, is_along: bool, is_bonded: bool) {
    let place = format!("region {}, {} mm", stretch.region, stretch.extent);
    let mut changes = |what: &str, said: &Change, moisture: f64| {
        let found = year.change(stretch.extent, is_along, moisture);
        for (said, found) in [said.free, said.built, said.expected].into_iter().zip(found) {
            report.same(Promise::Seasons, &place, what, said, found, EXACT);
        }
    };
    changes("swells", &stretch.swells, year.rise);
    changes("shrinks", &stretch.shrinks, year.fall);
    let rooms: Vec<Option<f64>> = stretch.ends.iter().map(|end| end.room).collect();
    let known: Vec<f64> = rooms.iter().copied().flatten().collect();
    let room = match (known.as_slice(), is_bonded) {
        ([a, b], false) => Some(a + b),
        ([_, ..], true) => known.iter().copied().reduce(f64::min).map(|least| 2.0 * least),
        _ => None,
    };
    let near = |said: Option<f64>, found: Option<f64>| match (said, found) {
        (Some(said), Some(found)) => (said - found).abs() <= EXACT,
        (said, found) => said.is_none() && found.is_none(),
    };
    report.hold(Promise::Seasons, rooms.len() == 2 && near(stretch.room, room), || {
        (place.clone(), format!("room {:?} of its ends {rooms:?}", stretch.room))
    });
    let left = stretch.room.map(|room| room - stretch.swells.expected);
    report.hold(Promise::Seasons, near(stretch.left, left), || {
        (place.clone(), format!("left {:?}, found {left:?}", stretch.left))
    });
    // NF DTU 51.2 P1-1, 2020, §6.2 and NF DTU 51.11 P1-1, 2009, §8.2.
    let published =
        if is_bonded { (5.0, Some(8.0)) } else { ((stretch.extent * 15.0 / 10_000.0).max(8.0), None) };
    let gap = &stretch.published_gap;
    let holds = (gap.least - published.0).abs() <= EXACT && near(gap.greatest, published.1);
    report.hold(Promise::Seasons, holds, || (place, format!("published gap {gap:?}, found {published:?}")));
}

/// The room an edge leaves to swell into; `None` without a bound.
fn room(scene: &Scene, edge: &Edge) -> Option<f64> {
    match edge.edge.as_str() {
        "kick" | "nosing" => None,
        "end under the leaf" => {
            let ends = scene.house.regions.iter().flat_map(|region| region.rings.iter().flatten());
            let opening = scene.ground.openings.iter().find(|opening| opening.door.name == edge.place)?;
            // Boards come from both sides where the far room is boarded, too.
            let is_met = opening.far.is_some_and(|far| scene.ground.is_boarded(far))
                && ends.filter(|end| end.edge == edge.edge && end.place == edge.place).count() > 1;
            is_met.then_some(scene.plan.rules.tile_end_gap / 2.0)
        }
        "jamb" if edge.gap < 0.0 => {
            let door = scene.plan.doorways.iter().find(|door| door.name == edge.place)?;
            Some(((door.rough_width? - door.width) / 2.0 + edge.gap).max(0.0))
        }
        _ => Some(edge.gap),
    }
}

/// The longest stretch of a region and the tightest, and what its edges do.
fn region(scene: &Scene, report: &mut Report, index: usize, said: &[&Stretch], year: &Year, is_along: bool) {
    let rings = &scene.house.regions[index].rings;
    let place = |p: [f64; 2]| {
        let p = scene.turn.rows(p);
        if is_along { Coord { x: p.y, y: p.x } } else { p }
    };
    let points: Vec<Vec<Coord>> =
        rings.iter().map(|ring| ring.iter().map(|edge| place(edge.from)).collect()).collect();
    let all = chords(&points);
    let name = format!("region {index}, {} the boards", if is_along { "along" } else { "across" });
    // A side that runs more than four times as far along a chord as across it ends none, unless nothing else does; so near
    // to that slope either may.
    let facing = |steep: f64| -> Vec<&Chord> {
        let faces = |(ring, side): (usize, usize)| {
            let (a, b) = (points[ring][side], points[ring][(side + 1) % points[ring].len()]);
            (b.y - a.y).abs() <= steep * (b.x - a.x).abs()
        };
        all.iter().filter(|chord| faces(chord.below) && faces(chord.above)).collect()
    };
    let (strict, loose) = (facing(3.99), facing(4.01));
    let (strict, loose) =
        if loose.is_empty() { (all.iter().collect(), all.iter().collect()) } else { (strict, loose) };
    let longest = |chords: &mut dyn Iterator<Item = &Chord>| chords.map(Chord::extent).fold(0.0, f64::max);
    let sure = longest(&mut strict.iter().copied().filter(|chord| chord.is_sure));
    let most = longest(&mut loose.iter().copied());
    let is_bonded = year.let_through < 1.0;
    let left = |chord: &Chord| {
        let [a, b] = [chord.below, chord.above].map(|(ring, side)| room(scene, &rings[ring][side]));
        let room = match (a, b) {
            (Some(a), Some(b)) if is_bonded => Some(2.0 * a.min(b)),
            (Some(a), Some(b)) => Some(a + b),
            (Some(one), None) | (None, Some(one)) if is_bonded => Some(2.0 * one),
            _ => None,
        };
        room.map(|room| room - year.change(chord.extent(), is_along, year.rise)[2])
    };
    let Some(first) = said.first() else {
        report.hold(Promise::Seasons, sure <= EXTENT, || (name, "no stretch is told".into()));
        return;
    };
    report.hold(Promise::Seasons, first.extent >= sure - EXTENT && first.extent <= most + EXTENT, || {
        (name.clone(), format!("the longest stretch is said to be {}, found {sure} to {most}", first.extent))
    });
    // Each lies where it is said to lie, between the edges it names.
    for stretch in said {
        let (from, to) = (place(stretch.from), place(stretch.to));
        let holds = (to.y - from.y - stretch.extent).abs() <= EXTENT && (to.x - from.x).abs() <= EXTENT;
        let named = all.iter().any(|chord| {
            let ends = [(chord.below, &stretch.ends[0]), (chord.above, &stretch.ends[1])];
            ends.iter().all(|((ring, side), end)| {
                let edge = &rings[*ring][*side];
                edge.edge == end.edge && edge.place == end.place
            }) && chord.extents.iter().any(|extent| (extent - stretch.extent).abs() <= EXTENT)
        });
        report.hold(Promise::Seasons, stretch.ends.len() == 2 && holds && named, || {
            (name.clone(), format!("no stretch of {} between {:?}", stretch.extent, stretch.ends))
        });
    }
    let tightest =
        |chords: &mut dyn Iterator<Item = &Chord>| chords.filter_map(left).fold(f64::INFINITY, f64::min);
    let sure = tightest(&mut strict.iter().copied().filter(|chord| chord.is_sure));
    let most = tightest(&mut loose.iter().copied());
    let told = said.iter().filter_map(|stretch| stretch.left).fold(f64::INFINITY, f64::min);
    let is_told =
        told <= sure + EXTENT && told >= most - EXTENT || (told.is_infinite() && sure.is_infinite());
    report.hold(Promise::Seasons, is_told, || {
        (name.clone(), format!("the tightest is said to have {told} left, found {most} to {sure}"))
    });
    let flags = scene.house.flags.iter().filter(|flag| flag.kind == "swelling");
    let tight = said.iter().filter(|stretch| stretch.left.is_some_and(|left| left < -LIMIT - EXACT));
    let worst = tight.min_by(|a, b| a.left.unwrap_or(0.0).total_cmp(&b.left.unwrap_or(0.0)));
    if let Some(worst) = worst {
        let mut flags = flags;
        let holds = flags.any(|flag| (flag.figure - worst.swells.expected).abs() <= EXACT);
        report.hold(Promise::Seasons, holds, || {
            (name, format!("{} swells past its gaps and is not flagged", worst.extent))
        });
    }
    edges(
        report,
        index,
        rings,
        &points,
        &all,
        &|extent, moisture| year.change(extent, is_along, moisture)[2] / 2.0,
        [year.rise, year.fall],
    );
}

/// Every edge closes and opens by half of what the longest stretch that ends there does, as `half` has it of an extent and
/// a change of moisture.
fn edges(
    report: &mut Report,
    region: usize,
    rings: &[Vec<Edge>],
    points: &[Vec<Coord>],
    all: &[Chord],
    half: &dyn Fn(f64, f64) -> f64,
    [rise, fall]: [f64; 2],
) {
    for (ring, of_ring) in rings.iter().enumerate() {
        for (side, edge) in of_ring.iter().enumerate() {
            let (a, b) = (points[ring][side], points[ring][(side + 1) % of_ring.len()]);
            // Stretches the other way count at edges nearer to square; so near to 45° either may.
            if (b.x - a.x).abs() <= 1.002 * (b.y - a.y).abs() {
                continue;
            }
            let longest = |is_sure: bool| {
                let here =
                    all.iter().filter(|chord| chord.below == (ring, side) || chord.above == (ring, side));
                here.filter(|chord| chord.is_sure || !is_sure).map(Chord::extent).fold(0.0, f64::max)
            };
            let (sure, most) = (longest(true), longest(false));
            for (what, said, moisture) in [("closes", edge.closes, rise), ("opens", edge.opens, fall)] {
                let (least, greatest) = (half(sure - EXTENT, moisture), half(most + EXTENT, moisture));
                let holds = said.is_some_and(|said| said >= least - EXACT && said <= greatest + EXACT);
                report.hold(Promise::Seasons, holds, || {
                    let place = format!("region {region}, {} `{}`", edge.edge, edge.place);
                    (place, format!("{what} by {said:?}, found {least} to {greatest}"))
                });
            }
        }
    }
}

/// A joint closes and opens by what the edges on both its sides do.
fn joints(scene: &Scene, report: &mut Report) {
    let Some(movement) = &scene.house.movement else { return };
    for joint in &movement.joints {
        // By side: the floor lies to the left of an edge.
        let mut sides = [[0.0_f64; 2]; 2];
        for ring in scene.house.regions.iter().flat_map(|region| &region.rings) {
            for (i, edge) in ring.iter().enumerate() {
                if edge.edge != "movement joint" || edge.place != joint.name {
                    continue;
                }
                let (a, b) = (scene.turn.rows(edge.from), scene.turn.rows(ring[(i + 1) % ring.len()].from));
                let is_first = if (b.y - a.y).abs() <= (b.x - a.x).abs() { b.x > a.x } else { b.y > a.y };
                let side = &mut sides[usize::from(is_first)];
                side[0] = side[0].max(edge.closes.unwrap_or(0.0));
                side[1] = side[1].max(edge.opens.unwrap_or(0.0));
            }
        }
        for (what, said, i) in [("closes", joint.closes, 0), ("opens", joint.opens, 1)] {
            let found = sides[0][i] + sides[1][i];
            report.hold(Promise::Seasons, said.is_some_and(|said| (said - found).abs() <= EXACT), || {
                (joint.name.clone(), format!("{what} by {said:?}, its sides by {found}"))
            });
        }
    }
}
