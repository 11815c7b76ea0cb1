//! Two simpler ways to place the joints on a floor's runs, to hold its look against: drawn by lot, and fixed thirds.
//!
//! Both give rows, joints and boards as rectangles, without stock: enough to measure the look, not to cut.

use lay::{Board, End, Floor, Joint, Outline, Run};
use plan::Plan;
use site::Uv;
use startrow_tests::Dice;
use std::collections::BTreeMap;

/// A run is drawn anew this often before the last draw is kept, legal or not.
const DRAWS: usize = 400;

/// Every starter drawn evenly between the least end and the longest board, then whole boards drawn from the
/// pack, until the rest is a closer; drawn anew while an end is short or a joint is too close to one in the
/// row before. Neither wood, H joints nor stairs are looked at.
pub fn by_lot(plan: &Plan, floor: &Floor) -> Floor {
    let dice = &mut Dice::new(plan.seed);
    let mut laid: BTreeMap<(usize, i32), Vec<f64>> = BTreeMap::new();
    let mut order: Vec<usize> = (0..floor.runs.len()).collect();
    order.sort_by_key(|i| (floor.runs[*i].region, floor.runs[*i].row));
    let mut joints = vec![Vec::new(); floor.runs.len()];
    for index in order {
        let run = &floor.runs[index];
        let below = laid.get(&(run.region, run.row - 1)).cloned().unwrap_or_default();
        let least = plan.rules.least_stagger;
        let is_legal = |u: f64| below.iter().all(|other| (other - u).abs() >= least);
        let mut drawn = Vec::new();
        for _ in 0..DRAWS {
            let (places, is_whole) = draw(plan, run, dice);
            drawn = places;
            if is_whole && drawn.iter().all(|u| is_legal(*u)) {
                break;
            }
        }
        laid.entry((run.region, run.row)).or_default().extend(&drawn);
        joints[index] = drawn;
    }
    with_joints(floor, &joints)
}

/// Joints of one run, and whether both its ends are legal.
fn draw(plan: &Plan, run: &Run, dice: &mut Dice) -> (Vec<f64>, bool) {
    let (least, longest) = (plan.rules.least_end, plan.stock.longest());
    if run.right - run.left <= longest {
        return (Vec::new(), true);
    }
    let mut pack: Vec<f64> = Vec::new();
    for length in &plan.stock.lengths {
        pack.extend(std::iter::repeat_n(length.length, length.per_pack as usize));
    }
    let mut places = vec![run.left + dice.between(least, longest)];
    loop {
        let at = places[places.len() - 1];
        let rest = run.right - at;
        // A closer as soon as one reaches, half of the time while another board would fit too.
        let fits = |length: &f64| rest - length >= least;
        if rest <= longest && (!pack.iter().any(fits) || dice.one_in(2)) {
            return (places, rest >= least);
        }
        if pack.is_empty() {
            return (places, false);
        }
        let next = at + pack[dice.below(pack.len())];
        if next >= run.right {
            return (places, false);
        }
        places.push(next);
    }
}

/// Joints a board's length apart, each row a third of it off the row before, counted from the region's left.
pub fn thirds(plan: &Plan, floor: &Floor) -> Floor {
    let length = plan.stock.longest();
    let mut left: BTreeMap<usize, f64> = BTreeMap::new();
    for run in &floor.runs {
        let least = left.entry(run.region).or_insert(run.left);
        *least = least.min(run.left);
    }
    let joints: Vec<Vec<f64>> = floor
        .runs
        .iter()
        .map(|run| {
            let first = left[&run.region] + f64::from(1 + run.row.rem_euclid(3)) * length / 3.0;
            let skipped = ((run.left - first) / length).ceil().max(0.0);
            (0..)
                .map(|i| first + (skipped + f64::from(i)) * length)
                .skip_while(|u| *u <= run.left)
                .take_while(|u| *u < run.right)
                .collect()
        })
        .collect();
    with_joints(floor, &joints)
}

/// The floor's runs with these joints, each run a whole row high.
fn with_joints(floor: &Floor, joints: &[Vec<f64>]) -> Floor {
    let mut made = Floor {
        pitch: floor.pitch,
        lines: floor.lines.clone(),
        first_row: floor.first_row,
        ..Floor::default()
    };
    for (index, (run, places)) in floor.runs.iter().zip(joints).enumerate() {
        let low = floor.row_low(run.region, run.row);
        let high = low + floor.pitch;
        let first = made.boards.len();
        let ends: Vec<f64> =
            std::iter::once(run.left).chain(places.iter().copied()).chain([run.right]).collect();
        for pair in ends.windows(2) {
            made.boards.push(rectangle(run, index, (pair[0], pair[1]), (low, high)));
        }
        for (i, u) in places.iter().enumerate() {
            let left = first + i;
            made.joints.push(Joint { row: run.row, u: *u, low, high, left, right: left + 1 });
        }
        made.runs.push(Run { boards: first..made.boards.len(), ..run.clone() });
    }
    made
}

fn rectangle(run: &Run, index: usize, (left, right): (f64, f64), (low, high): (f64, f64)) -> Board {
    let corners = [(left, low), (right, low), (right, high), (left, high)];
    Board {
        label: String::new(),
        region: run.region,
        row: run.row,
        run: index,
        along: Uv::new(1.0, 0.0),
        left,
        right,
        base: low,
        lean: 0.0,
        hand: None,
        in_border: false,
        outline: Outline { outer: corners.map(|(u, v)| Uv::new(u, v)).to_vec(), holes: Vec::new() },
        area: (right - left) * (high - low),
        turned: run.is_turned(),
        left_end: End::Factory,
        right_end: End::Factory,
        starts_run: left <= run.left,
        ends_run: right >= run.right,
        shaped: false,
        width: high - low,
        stock: 0,
        from: 0.0,
    }
}
